"""One spawned process that does one call after the other, with a deadline and a memory limit.

Only such processes open untrusted PDFs.  Processes are spawned, never forked: a PDF library that was used before a
fork gives wrong data in the child without an exception (measured).
"""

from __future__ import annotations

import ctypes
import os
import pickle
import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import Any, TypeVar

import psutil

from cordpath.errors import NestedTooDeep, UnreadablePage, unreadable

T = TypeVar("T")
LOOK = 0.05  # s between looks at a child's memory; a child that grows by 2 GB/s is caught within 100 MB
START_SECONDS = 120.0  # loading the libraries takes a second; this long only on a machine that is out of memory
NOT_STARTED = "a worker process could not be started"
MEGABYTE = 1_000_000
PR_SET_PDEATHSIG = 1  # Linux, prctl(2)


@dataclass(frozen=True)
class Limits:
    """Of one task.  ``memory_mb``: resident memory of its process, in 10^6 bytes."""

    seconds: float
    memory_mb: float


class Child:
    """One spawned process that does one call after the other.  Not for two threads at once."""

    def __init__(self) -> None:
        context = get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs, os.getpid()), daemon=True)
        self._killed = ""
        try:
            with _interrupts_held_back():
                self._process.start()
            theirs.close()
            if not self._pipe.poll(START_SECONDS):
                raise TimeoutError(f"it was not ready after {START_SECONDS:g} s")
            self._pipe.recv()
        except (EOFError, OSError) as error:
            raise self._not_started(error) from None

    @property
    def usable(self) -> bool:
        return not self._killed and self._process.is_alive()

    def call(self, function: Callable[..., T], call: tuple[Any, ...], limits: Limits) -> T:
        """The function's value; raises what the function raised, or UnreadablePage with the reason of its death."""
        deadline = time.monotonic() + limits.seconds
        try:
            self._pipe.send_bytes(pickle.dumps((function, call)))
        except OSError:
            raise self._death() from None
        while not self._pipe.poll(LOOK):
            if time.monotonic() > deadline:
                self.kill(f"not done within {limits.seconds:g} s")
            elif self.memory_mb() > limits.memory_mb:
                self.kill(f"it needs more than {limits.memory_mb:g} MB of memory")
        value = self._receive()
        # What a task leaves behind must not be laid to the next one.
        if self.memory_mb() > limits.memory_mb / 2:
            self.kill("too large to go on")
        elif isinstance(getattr(value, "outcome", value), NestedTooDeep):  # its library is unsound now
            self.kill("its library is unsound")
        return value

    def memory_mb(self) -> float:
        """Resident memory, 0 for a process that is gone."""
        try:
            return float(psutil.Process(self._process.pid).memory_info().rss) / MEGABYTE
        except psutil.Error:
            return 0.0

    def kill(self, why: str) -> None:
        self._killed = self._killed or why
        self._process.kill()

    def _receive(self) -> Any:
        try:
            fine, value = self._pipe.recv()
        except (EOFError, OSError):
            raise self._death() from None
        if not fine:
            raise value
        return value

    def _not_started(self, error: Exception) -> UnreadablePage:
        """No page was sent to it: nothing is laid to one."""
        why = getattr(error, "strerror", None) or str(error)
        if self._process.pid is not None:
            self.kill(NOT_STARTED)
            self._process.join(5.0)
            why = why or f"it ended with exit code {self._process.exitcode}"
        return UnreadablePage(
            f"{NOT_STARTED} ({why})",
            cure="run the same command with --resume when the machine has memory and processes to spare, or fewer "
            "--jobs",
        )

    def _death(self) -> UnreadablePage:
        self._process.join(5.0)
        self._killed, why = self._killed or "died", self._killed
        if why.startswith("it needs"):
            return UnreadablePage(why, cure="raise --sheet-memory, or plot the sheet without hatch and 3-D shading")
        if why.startswith("not done"):
            return UnreadablePage(why, cure="raise --sheet-timeout, or split the sheet")
        if why:
            return UnreadablePage(why, cure="run the same command with --resume to do the rest")
        if sys.platform != "win32" and self._process.exitcode == -signal.SIGKILL:
            return UnreadablePage(
                "the worker process was killed from outside, as the system does when memory runs out",
                cure="run the same command with --resume, and fewer --jobs if it is killed again",
            )
        return UnreadablePage(
            f"the worker process died (exit code {self._process.exitcode})",
            cure="the page content may be damaged; print it to a new PDF and try again",
        )


@contextmanager
def _interrupts_held_back() -> Iterator[None]:
    """A child starts with Ctrl-C held back in it: stopping is for the parent to do."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _end_with(parent: int) -> None:
    """Let the system kill this process when its parent is killed: one that hangs in a library would go on for ever,
    since it never comes back to find its pipe closed.  On other systems than Linux that one case remains.
    """
    if sys.platform != "linux":
        return
    with suppress(OSError, AttributeError):
        ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
    if os.getppid() != parent:  # it was gone before
        os._exit(1)


def _serve(pipe: Connection, parent: int) -> None:
    """The child's side: do calls until the pipe is closed, which is also what happens when the parent is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _end_with(parent)
    with open(os.devnull, "w") as nowhere:  # noqa: PTH123 (not a path of ours)
        os.dup2(nowhere.fileno(), 1)
    pipe.send((True, None))
    while True:
        try:
            order = pipe.recv_bytes()
        except (EOFError, OSError):
            return
        try:
            function, call = pickle.loads(order)
            answer = (True, function(*call))
        except Exception as error:
            answer = (False, unreadable(error))
        try:
            pipe.send(answer)
        except OSError:
            return
        except Exception as error:  # a value that cannot be sent
            pipe.send((False, unreadable(error)))
