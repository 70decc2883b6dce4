"""Early or late, an interrupt ends a command with the shells' status for it, and outputs are whole."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest
from click.testing import CliRunner, Result

import small_house
from cordpath import cli, report, rulebook
from cordpath.batch import batch
from cordpath.batch.batch import stop_on_interrupt
from cordpath.batch.child import Limits
from cordpath.batch.workers import local_workers, map_calls
from cordpath.cli import main
from cordpath.commands import batches, drawings
from cordpath.resubmittal import resubmittal

SHEET, SYMBOLS = small_house.files()
COMMAND = [sys.executable, "-c", "from cordpath.cli import main; main()"]


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [*map(str, words)])


def interrupted(*_: object, **__: object) -> None:
    raise KeyboardInterrupt


def sent(what: Callable[..., object]) -> Callable[..., object]:
    """The function, and a Ctrl-C when it has done its work."""

    def done(*words: object, **named: object) -> object:
        value = what(*words, **named)
        os.kill(os.getpid(), signal.SIGINT)
        return value

    return done


@pytest.fixture(scope="module")
def review(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The outputs of a run that nothing disturbed."""
    out = tmp_path_factory.mktemp("whole") / "review"
    assert run("check", SHEET, "--symbols", SYMBOLS, "--out", out, "--jobs", "0").exit_code == 1
    return out


def names_in(out: Path) -> set[str]:
    return {path.name for path in out.iterdir()}


def test_an_interrupt_while_a_command_is_being_loaded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cli, "import_module", interrupted)
    assert run("check", SHEET).exit_code == 130


@pytest.mark.parametrize(
    ("place", "name", "words"),
    [
        (batches, "configuration", ["check", SHEET, "--symbols", SYMBOLS]),
        (batches, "configuration", ["compare", SHEET, "--symbols", SYMBOLS, "--code", "2020", "--code", "2023"]),
        (drawings, "load_mapping", ["show", SHEET, "--symbols", SYMBOLS]),
        (drawings, "tell_notes", ["learn", SHEET, "--jobs", "0"]),
        (rulebook, "plain_table", ["rules"]),
        (rulebook, "plain_entry", ["explain", "210.8(A)(1)"]),
    ],
)
def test_an_interrupt_before_or_after_the_work(
    place: object, name: str, words: list[str | Path], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(place, name, interrupted)
    result = run(*words)
    assert result.exit_code == 130 and "stopped" in result.output and "Aborted" not in result.output


@pytest.mark.parametrize("command", ["check", "recheck"])
def test_an_interrupt_while_the_tables_are_printed(
    command: str, review: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(batches, "tell", interrupted)
    old = [review] if command == "recheck" else []
    result = run(command, *old, SHEET, "--symbols", SYMBOLS, "--out", tmp_path / "out", "--jobs", "0")
    assert result.exit_code == 130
    assert names_in(tmp_path / "out") >= names_in(review) and not list(tmp_path.rglob("*.part"))


@pytest.mark.parametrize("command", ["check", "recheck"])
def test_an_interrupt_when_all_is_done_is_told_by_the_exit_status(
    command: str, review: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = resubmittal if command == "recheck" else batch
    name = "write_recheck" if command == "recheck" else "_write_letters"
    monkeypatch.setattr(place, name, sent(getattr(place, name)))
    old = [review] if command == "recheck" else []
    result = run(command, *old, SHEET, "--symbols", SYMBOLS, "--out", tmp_path / "out", "--jobs", "0")
    assert result.exit_code == 130 and "stopping" in result.output and "Written to" in result.output
    assert names_in(tmp_path / "out") >= names_in(review) and not list(tmp_path.rglob("*.part"))


def test_the_second_interrupt_breaks_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def twice(*_: object, **__: object) -> None:
        os.kill(os.getpid(), signal.SIGINT)
        os.kill(os.getpid(), signal.SIGINT)

    monkeypatch.setattr(report, "write_schedule_xlsx", twice)
    result = run("check", SHEET, "--symbols", SYMBOLS, "--out", tmp_path / "out", "--jobs", "0")
    assert result.exit_code == 130 and "half-written" in result.output
    assert not list(tmp_path.rglob("*.part"))


def test_an_interrupt_that_breaks_into_a_line_being_printed_is_heard() -> None:
    """Python refuses to print from a signal handler while it prints: the batch stops without the line."""

    def cannot_say() -> None:
        raise RuntimeError("reentrant call")

    with stop_on_interrupt(cannot_say) as stop:
        os.kill(os.getpid(), signal.SIGINT)
        assert stop.is_set()


def test_a_request_to_end_that_is_heard_twice_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """``timeout`` sends SIGTERM to the process and then to its group; what was done would not be written."""
    clock = [100.0]
    monkeypatch.setattr(batch, "time", SimpleNamespace(monotonic=lambda: clock[0]))
    with stop_on_interrupt(lambda: None) as stop:
        os.kill(os.getpid(), signal.SIGTERM)
        os.kill(os.getpid(), signal.SIGTERM)
        assert stop.is_set()
        clock[0] += 5.0
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGTERM)


def test_a_recheck_that_is_refused_leaves_no_numbers_behind(review: Path, tmp_path: Path) -> None:
    """They were copied into the output folder before anybody had asked whether the sheets are there."""
    out = tmp_path / "out"
    assert run("recheck", review, tmp_path / "none.pdf", "--symbols", SYMBOLS, "--out", out).exit_code == 2
    assert not out.exists()


def test_calls_end_when_their_workers_are_stopped_meanwhile() -> None:
    """A call that no thread had taken up was waited for without end."""
    done: list[object] = []
    with local_workers(1) as workers:
        calls = [("__import__('time').sleep(60)",)] * 3
        asking = threading.Thread(
            target=lambda: done.extend(map_calls(workers, eval, calls, Limits(90, 2000))), daemon=True
        )
        asking.start()
        workers.stop()
        asking.join(60)
        assert not asking.is_alive()
        done += map_calls(workers, eval, calls, Limits(90, 2000))
    assert len(done) == 6 and all("stopped" in str(each) for each in done)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux")
def test_a_full_disk_under_the_printed_tables_is_told(review: Path, tmp_path: Path) -> None:
    shutil.copytree(review, tmp_path / "out")
    words = [*COMMAND, "check", str(SHEET), "--symbols", str(SYMBOLS), "--out", str(tmp_path / "out"), "--resume"]
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(words, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 2 and done.stderr.startswith("cordpath: ") and len(done.stderr.splitlines()) == 1


def test_a_reader_that_has_enough_changes_no_exit_status(review: Path, tmp_path: Path) -> None:
    shutil.copytree(review, tmp_path / "out")
    ours, theirs = os.pipe()
    os.close(ours)
    words = [
        *COMMAND,
        "check",
        str(SHEET),
        "--symbols",
        str(SYMBOLS),
        "--out",
        str(tmp_path / "out"),
        "--resume",
        "--code",
        "2017",
    ]
    done = subprocess.run(words, stdout=theirs, stderr=subprocess.PIPE, text=True, check=False)
    os.close(theirs)
    assert (done.returncode, done.stderr) == (1, "")
