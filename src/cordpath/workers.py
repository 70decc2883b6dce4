"""Processes that do the tasks: each in a process of its own kind of isolation, with a deadline and a memory limit.

Only these processes open untrusted PDFs.  A process that dies, hangs, or grows too large is killed from outside and
is the failure of its own task; the next task gets a fresh one.  Processes are spawned, never forked: a PDF library
that was used before a fork gives wrong data in the child without an exception (measured).

Terms: *child*, one such process, fed over a pipe by one thread of this one; *limits*, seconds and memory of a task.
"""

from __future__ import annotations

import ctypes
import os
import pickle
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor, wait
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import Any, Protocol, TypeVar

import psutil

from cordpath.check import unreadable
from cordpath.errors import CordpathError, UnreadablePage

T = TypeVar("T")

LOOK = 0.05  # s between looks at a child's memory; a child that grows by 2 GB/s is caught within 100 MB
START_SECONDS = 120.0  # loading the libraries takes a second; this long only on a machine that is out of memory
MEGABYTE = 1_000_000
STOPPED = "stopped before it was checked"


@dataclass(frozen=True)
class Limits:
    """Of one task.  ``memory_mb``: resident memory of its process, in 10^6 bytes."""

    seconds: float
    memory_mb: float


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


# ---------------------------------------------------------------------------------------------- one process


class Child:
    """One spawned process that does one call after the other.  Not for two threads at once."""

    def __init__(self) -> None:
        context = get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs, os.getpid()), daemon=True)
        with _interrupts_held_back():
            self._process.start()
        theirs.close()
        self._killed = ""
        if not self._pipe.poll(START_SECONDS):
            self.kill("it did not start")
        self._receive()

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
        if self.memory_mb() > limits.memory_mb / 2:  # what a task leaves behind must not be laid to the next one
            self.kill("too large to go on")
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


PR_SET_PDEATHSIG = 1  # Linux, prctl(2)


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
