"""The tasks of a batch in their order: each with its limits and with what its outcome leads to."""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable
from concurrent.futures import FIRST_COMPLETED, Future, wait
from dataclasses import dataclass, field
from typing import Any

from cordpath.batch.child import Limits
from cordpath.batch.workers import Workers, outcome, stopped

LOOK_SECONDS = 0.2  # between looks whether the user wants to stop


@dataclass(frozen=True)
class _Job:
    function: Callable[..., Any]
    call: tuple[Any, ...]
    limits: Limits
    then: Callable[[Any], None]


@dataclass
class Queue:
    """Once ``stop`` is set, what is under way is given up, and what waits ends as stopped."""

    workers: Workers
    stop: threading.Event
    memory_mb: float
    _jobs: deque[_Job] = field(default_factory=deque)

    def add(
        self, function: Callable[..., Any], call: tuple[Any, ...], seconds: float, then: Callable[[Any], None],
        first: bool = False,
    ) -> None:  # fmt: skip
        """``then`` gets the function's value, or the CordpathError that says why there is none; it may add more."""
        job = _Job(function, call, Limits(seconds, self.memory_mb), then)
        (self._jobs.appendleft if first else self._jobs.append)(job)

    def work_off(self) -> None:
        """Do everything in the queue, and what it brings up."""
        under_way: dict[Future[Any], _Job] = {}
        given_up = False
        while self._jobs or under_way:
            if self.stop.is_set():
                if not given_up:
                    self.workers.stop()
                    given_up = True
                while self._jobs:
                    self._jobs.popleft().then(stopped())
            while self._jobs and len(under_way) < self.workers.window and not self.stop.is_set():
                job = self._jobs.popleft()
                under_way[self.workers.submit(job.function, job.call, job.limits)] = job
            wait(under_way, LOOK_SECONDS, FIRST_COMPLETED)
            # Not what ``wait`` gives: it never sees a future that was cancelled before a thread took it up.
            for future in [each for each in under_way if each.done()]:
                under_way.pop(future).then(outcome(future))
