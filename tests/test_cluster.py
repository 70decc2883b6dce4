"""The same batch on a real Dask scheduler with two workers, one of which is killed on the way."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from click.testing import CliRunner

from cordpath.batch import cluster
from cordpath.cli import main
from cordpath.errors import UsageRefused

SAMPLES = Path(__file__).parent.parent / "sample_plans"
SYMBOLS = SAMPLES / "symbols-b.yaml"
SHEETS = 4
PATIENCE = 90.0  # s for the scheduler to come up on a busy machine


class Machines:
    """Processes that stand for machines; each in a process group of its own, so that it can die as a whole."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.running: list[subprocess.Popen[bytes]] = []

    def start(self, module: str, *words: str) -> subprocess.Popen[bytes]:
        log = (self.folder / f"{len(self.running)}.log").open("wb")
        process = subprocess.Popen(
            [sys.executable, "-m", module, *words], stdout=log, stderr=log, cwd=self.folder, start_new_session=True
        )
        log.close()
        self.running.append(process)
        return process

    @staticmethod
    def kill(process: subprocess.Popen[bytes]) -> None:
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()


@pytest.fixture(scope="module")
def machines(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Machines]:
    machines = Machines(tmp_path_factory.mktemp("cluster"))
    yield machines
    for process in machines.running:
        machines.kill(process)


@pytest.fixture(scope="module")
def scheduler(machines: Machines) -> str:
    """The address of a scheduler."""
    notes = machines.folder / "scheduler.json"
    machines.start("distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard",
                   "--scheduler-file", str(notes))  # fmt: skip
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        with suppress(OSError, ValueError):
            return str(json.loads(notes.read_text())["address"])
        time.sleep(0.1)
    raise AssertionError((machines.folder / "0.log").read_text())


def worker(machines: Machines, scheduler: str) -> subprocess.Popen[bytes]:
    return machines.start("distributed.cli.dask_worker", scheduler, "--nworkers", "1", "--nthreads", "1",
                          "--no-dashboard", "--local-directory", str(machines.folder))  # fmt: skip


def test_a_cluster_gives_the_same_results_though_one_machine_dies(
    machines: Machines, scheduler: str, tmp_path: Path
) -> None:
    doomed, lasting = worker(machines, scheduler), worker(machines, scheduler)
    plans = tmp_path / "plans"
    plans.mkdir()
    for k in range(SHEETS):
        shutil.copy(SAMPLES / "quarry-yard.pdf", plans / f"plan-{k}.pdf")
    (plans / "broken.pdf").write_bytes(b"%PDF-1.7\nnothing")
    words = [str(plans), "--symbols", str(SYMBOLS)]
    command = [sys.executable, "-c", "from cordpath.cli import main; main()", "check", *words,
               "--out", str(tmp_path / "there"), "--cluster", scheduler, "--progress", "json"]  # fmt: skip
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as batch:
        assert batch.stderr is not None
        for line in batch.stderr:
            if '"reading"' in line and '"step"' in line and "plan-" in line:
                break
        machines.kill(doomed)
        _, errors = batch.communicate(timeout=PATIENCE)
    assert lasting.poll() is None
    assert batch.returncode == 3, errors
    assert CliRunner().invoke(main, ["check", *words, "--out", str(tmp_path / "here")]).exit_code == 3
    names = {path.name for path in (tmp_path / "here").iterdir() if path.is_file()}
    assert sum(name.endswith(".marked.pdf") for name in names) == SHEETS
    for name in sorted(names):
        assert (tmp_path / "here" / name).read_bytes() == (tmp_path / "there" / name).read_bytes(), name


def test_a_hanging_task_on_the_cluster_is_its_own_failure(machines: Machines, scheduler: str) -> None:
    worker(machines, scheduler)
    code = (
        "import os, sys, time\n"
        "from cordpath.batch.cluster import cluster_workers\n"
        "from cordpath.batch.child import Limits\n"
        "from cordpath.batch.workers import map_calls\n"
        "calls = [(time.sleep, 60), (os._exit, 7), (str, 'fine'), (int, 'x')]\n"
        "import operator\n"
        "with cluster_workers(sys.argv[1]) as workers:\n"
        "    for done in map_calls(workers, operator.call, calls, Limits(2.0, 2000.0)):\n"
        "        print(done)\n"
    )
    done = subprocess.run([sys.executable, "-c", code, scheduler], capture_output=True, text=True, check=True)
    hung, died, fine, wrong = done.stdout.splitlines()
    assert "not done within 2 s" in hung and "died (exit code 7)" in died
    assert fine == "fine" and "invalid literal" in wrong


def test_an_address_without_a_scheduler_is_a_wrong_call(tmp_path: Path) -> None:
    command = [sys.executable, "-c", "from cordpath.cli import main; main()", "check",
               str(SAMPLES / "quarry-yard.pdf"), "--symbols", str(SYMBOLS), "--out", str(tmp_path / "out"),
               "--cluster", "nonsense://?"]  # fmt: skip
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 2 and "no Dask scheduler" in done.stderr and "dask scheduler" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_another_program_that_answers_at_the_address_is_no_scheduler(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its answer is read as the length of a message, for which no machine has room."""

    async def answered(address: str) -> None:
        raise MemoryError("Unable to allocate 3.07 EiB")

    monkeypatch.setattr(cluster, "_knock", answered)
    with (
        pytest.raises(UsageRefused, match="no Dask scheduler at tcp"),
        cluster.cluster_workers("tcp://10.0.0.5:80"),
    ):
        pass
