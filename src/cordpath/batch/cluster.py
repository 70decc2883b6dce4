"""The same tasks on a Dask scheduler that the user runs (the extra ``cluster``).

Input files and the output folder are named by path: every machine has to see them under the same path.  On each
Dask worker a task runs in an isolated child process with its limits, as on this machine: a sheet that crashes or
hangs costs its own child only.  A Dask worker that is lost loses nothing: the scheduler gives its tasks to others.
"""

from __future__ import annotations

import asyncio
import itertools
import multiprocessing
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager, suppress
from typing import Any, TypeVar

from cordpath.batch.child import Child, Limits
from cordpath.batch.keep import program_digest
from cordpath.batch.workers import stopped
from cordpath.errors import CordpathError, UnreadablePage, UsageRefused

T = TypeVar("T")

CONNECT_SECONDS = 10.0
WORKER_SECONDS = 60.0  # a scheduler without a single worker for this long is not going to check anything
ANOTHER_PROGRAM = "a worker of the cluster runs another version of cordpath or of its libraries"

_own = threading.local()  # on a Dask worker: the child of each of its threads


def isolated(program: str, function: Callable[..., T], call: tuple[Any, ...], limits: Limits) -> T:
    """Runs on a Dask worker: the call in a child process of the worker's thread."""
    if program != program_digest():
        raise UnreadablePage(ANOTHER_PROGRAM, cure="install the same on all machines")
    child: Child | None = getattr(_own, "child", None)
    if child is None or not child.usable:
        # Dask starts its workers as daemons, which multiprocessing lets have no children, since those would be
        # orphans if the daemon were ended roughly; ours end by themselves when the pipe to their parent closes.
        multiprocessing.current_process()._config["daemon"] = False  # type: ignore[attr-defined]
        child = _own.child = Child()
    return child.call(function, call, limits)


class Cluster:
    """Tasks on a Dask cluster."""

    window = 2000  # Dask keeps the queue; so many that no cluster runs dry, so few that the scheduler stays small

    def __init__(self, client: Any) -> None:
        self._client = client
        self._count = itertools.count()
        self._open: set[Any] = set()
        self._program = program_digest()

    def submit(self, function: Callable[..., T], call: tuple[Any, ...], limits: Limits) -> Future[T]:
        number = next(self._count)
        theirs = self._client.submit(
            isolated, self._program, function, call, limits, pure=False, key=f"cordpath-{id(self)}-{number}",
            priority=0 if function.__name__ == "read_page" else 1,
        )  # fmt: skip
        ours: Future[T] = Future()
        self._open.add(theirs)
        theirs.add_done_callback(lambda done: self._relay(done, ours))
        return ours

    def _relay(self, theirs: Any, ours: Future[Any]) -> None:
        try:
            value = theirs.result(timeout=CONNECT_SECONDS)
        except CordpathError as error:
            ours.set_exception(error)
        except BaseException as error:
            ours.set_exception(_lost(theirs, error))
        else:
            ours.set_result(value)
        finally:
            self._open.discard(theirs)
            with suppress(Exception):
                theirs.release()

    def stop(self) -> None:
        with suppress(Exception):
            self._client.cancel(list(self._open), force=True)


def _lost(theirs: Any, error: BaseException) -> CordpathError:
    if theirs.status == "cancelled":
        return stopped()
    kind = type(error).__name__
    if kind == "KilledWorker":
        return UnreadablePage(
            "several workers of the cluster died on this sheet", cure="look at the workers' logs, then try it alone"
        )
    return UnreadablePage(f"the cluster lost this sheet ({kind}: {error})", cure="run again with --resume")


async def _knock(address: str) -> None:
    """Is there anybody?  A client that finds nobody would go on trying to close itself for a minute."""
    from distributed.comm import connect

    await (await connect(address, timeout=CONNECT_SECONDS)).close()


@contextmanager
def cluster_workers(address: str) -> Iterator[Cluster]:
    """Raises UsageRefused where there is no such scheduler, or nobody works for it."""
    try:
        import distributed
    except ImportError:
        raise UsageRefused(
            "--cluster needs Dask", cure="install it with pip install '.[cluster]' in the clone of cordpath"
        ) from None
    try:
        asyncio.run(_knock(address))
        make_client: Any = distributed.Client
        client = make_client(address, timeout=CONNECT_SECONDS, set_as_default=False)
    except (
        OSError,
        ValueError,
        MemoryError,
    ) as error:  # the last: what answers there takes lengths for something else
        raise UsageRefused(
            f"no Dask scheduler at {address} ({error})", cure="start one with: dask scheduler"
        ) from error
    try:
        try:
            client.wait_for_workers(1, timeout=WORKER_SECONDS)
        except TimeoutError:
            raise UsageRefused(
                f"nobody works for the scheduler at {address}", cure=f"start workers with: dask worker {address}"
            ) from None
        cluster = Cluster(client)
        yield cluster
        cluster.stop()
    finally:
        with suppress(Exception):
            client.close(timeout=CONNECT_SECONDS)
