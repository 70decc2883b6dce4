"""Where tasks are done: in this process, or in many spawned ones (``child.py``), each fed by a thread of this one.

A process that dies, hangs, or grows too large is the failure of its own task; the next task gets a fresh one.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor, wait
from contextlib import contextmanager
from typing import Any, Protocol

from cordpath.batch.child import LOOK, Child, Limits, T
from cordpath.errors import CordpathError, UnreadablePage, unreadable

STOPPED = "stopped before it was checked"


class Workers(Protocol):
    """Something that does tasks.  A future of it gives the function's value or raises CordpathError."""

    window: int  # tasks worth having under way at once

    def submit(self, function: Callable[..., T], call: tuple[Any, ...], limits: Limits) -> Future[T]: ...
    def stop(self) -> None:
        """Give up what is under way and what waits: their futures are cancelled or raise CordpathError."""
        ...


def outcome(future: Future[Any]) -> Any:
    """What came of a future that is done: the value, or a CordpathError that says why there is none."""
    if future.cancelled():
        return stopped()
    error = future.exception()
    if error is None:
        return future.result()
    if isinstance(error, Exception):
        return unreadable(error)
    raise error


def stopped() -> CordpathError:
    return UnreadablePage(STOPPED, cure="run the same command with --resume to do the rest")


def map_calls(
    workers: Workers, function: Callable[..., T], calls: list[tuple[Any, ...]], limits: Limits
) -> Iterator[T | CordpathError]:
    """Results in the order of the calls; a call that is lost gives the error that says why."""
    futures = [workers.submit(function, call, limits) for call in calls]
    for future in futures:
        while not future.done():  # ``wait`` alone never sees one that was cancelled before a thread took it up
            wait([future], LOOK)
        yield outcome(future)


# --------------------------------------------------------------------------------------------- this process


class Here:
    """The serial twin: no process, no limits.  A crash of the PDF library ends the whole run."""

    window = 1

    def submit(self, function: Callable[..., T], call: tuple[Any, ...], limits: Limits) -> Future[T]:
        future: Future[T] = Future()
        try:
            with _no_standard_output():
                future.set_result(function(*call))
        except Exception as error:
            future.set_exception(error)
        return future

    def stop(self) -> None:
        """Nothing is ever under way between two calls."""


@contextmanager
def _no_standard_output() -> Iterator[None]:
    """Whatever C libraries print goes to standard error: standard output belongs to the results."""
    sys.stdout.flush()
    try:
        kept = os.dup(1)
    except OSError:  # there is no standard output
        yield
        return
    os.dup2(2, 1)
    try:
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)


# -------------------------------------------------------------------------------------------- many processes


class Pool:
    """``jobs`` children on this machine, each fed by a thread."""

    def __init__(self, jobs: int) -> None:
        self.window = 2 * jobs
        self._threads = ThreadPoolExecutor(jobs, thread_name_prefix="cordpath")
        self._own = threading.local()
        self._lock = threading.Lock()
        self._children: list[Child] = []
        self._stopping = False

    def submit(self, function: Callable[..., T], call: tuple[Any, ...], limits: Limits) -> Future[T]:
        try:
            return self._threads.submit(self._do, function, call, limits)
        except RuntimeError:  # they were stopped
            never: Future[T] = Future()
            never.set_exception(stopped())
            return never

    def _do(self, function: Callable[..., T], call: tuple[Any, ...], limits: Limits) -> T:
        child: Child | None = getattr(self._own, "child", None)
        if child is None or not child.usable:
            child = self._own.child = Child()
            with self._lock:
                self._children = [*(each for each in self._children if each.usable), child]
        if self._stopping:
            child.kill(STOPPED)
            raise stopped()
        return child.call(function, call, limits)

    def stop(self) -> None:
        self._stopping = True
        self._threads.shutdown(wait=False, cancel_futures=True)
        with self._lock:
            for child in self._children:
                child.kill(STOPPED)

    def close(self) -> None:
        self.stop()
        self._threads.shutdown(wait=True)


@contextmanager
def local_workers(jobs: int) -> Iterator[Workers]:
    """``jobs`` isolated processes; 0: this process."""
    if jobs == 0:
        yield Here()
        return
    pool = Pool(jobs)
    try:
        yield pool
    finally:
        pool.close()
