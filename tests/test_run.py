"""A batch as a process: stopped, taken up again, locked out, out of room, and what it prints meanwhile."""

from __future__ import annotations

import errno
import gzip
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pikepdf
import psutil
import pytest
from click.testing import CliRunner

import small_house
from cordpath.batch import keep
from cordpath.batch.archive import NotArchived, unpack
from cordpath.cli import main
from cordpath.errors import OutputRefused

SHEET, SYMBOLS = small_house.files()
COMMAND = [sys.executable, "-c", "from cordpath.cli import main; main()", "check"]
HALTING = """
import os, signal
from cordpath.batch import progress
from cordpath.cli import main

step = progress.Lines.step
def halted(lines, stage, *rest):
    step(lines, stage, *rest)
    if stage == "marking":
        progress.Lines.step = step
        os.kill(os.getpid(), signal.SIGSTOP)

progress.Lines.step = halted
main()
"""  # the command, which halts when a first sheet is done: on a busy machine it might end before a signal is sent


def check(*words: str | Path) -> int:
    return CliRunner().invoke(main, ["check", *map(str, words), "--symbols", str(SYMBOLS), "--jobs", "0"]).exit_code


def contents(out: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in out.iterdir() if path.is_file()}


@pytest.fixture(scope="module")
def plans(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("many")
    for k in range(4):
        shutil.copy(SHEET, folder / f"plan-{k}.pdf")
    return folder


@pytest.fixture(scope="module")
def whole(plans: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The outputs of a run that nothing disturbed."""
    out = tmp_path_factory.mktemp("whole") / "review"
    assert check(plans, "--out", out) in (0, 1)
    return out


def wait_until_it_halts(process: subprocess.Popen[str]) -> None:
    wait_for_a_sheet(process)
    while psutil.Process(process.pid).status() != psutil.STATUS_STOPPED:
        time.sleep(0.05)


def start(plans: Path, out: Path, *more: str, halting: bool = False) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", HALTING, "check"] if halting else COMMAND
    words = [*command, str(plans), "--symbols", str(SYMBOLS), "--out", str(out), "--jobs", "1",
             "--sheet-timeout", "300", "--progress", "json", *more]  # fmt: skip
    return subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def wait_for_a_sheet(process: subprocess.Popen[str]) -> list[dict[str, object]]:
    """The progress until a first sheet was read."""
    events: list[dict[str, object]] = []
    assert process.stderr is not None
    for line in process.stderr:
        events.append(json.loads(line))
        if events[-1]["event"] == "step" and events[-1]["stage"] == "marking":
            return events
    raise AssertionError("the run ended without a sheet")


@pytest.fixture(scope="module", params=[signal.SIGINT, signal.SIGTERM], ids=["ctrl-c", "sigterm"])
def broken_off(
    plans: Path, tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest
) -> tuple[int, str, Path]:
    """Exit status, standard error and outputs of a run that Ctrl-C or the system stopped after the first sheet."""
    out = tmp_path_factory.mktemp("stopped") / "review"
    process = start(plans, out, halting=True)
    wait_until_it_halts(process)
    process.send_signal(request.param)
    process.send_signal(signal.SIGCONT)
    _, errors = process.communicate(timeout=180)
    return process.returncode, errors, out


def test_an_interrupt_keeps_what_is_done_and_marks_the_rest(broken_off: tuple[int, str, Path]) -> None:
    status, errors, out = broken_off
    assert status == 130 and "Traceback" not in errors
    sheets = json.loads((out / "results.json").read_text())["sheets"]
    done = [sheet for sheet in sheets if sheet["status"] == "checked"]
    rest = [sheet for sheet in sheets if sheet["status"] == "failed"]
    assert len(sheets) == 4 and done and rest
    assert all("stopped" in sheet["why"] and "--resume" in sheet["why"] for sheet in rest)
    assert not list(out.rglob(".*.part"))


def test_a_run_taken_up_again_is_the_same_as_a_whole_one(
    broken_off: tuple[int, str, Path], plans: Path, whole: Path
) -> None:
    _, _, out = broken_off
    process = start(plans, out, "--resume")
    _, errors = process.communicate(timeout=300)
    events = [json.loads(line) for line in errors.splitlines() if line.startswith("{")]
    said = [event["said"] for event in events if event["event"] == "step" and event["stage"] == "reading"]
    assert "kept" in said and "read" in said
    assert contents(out) == contents(whole)


def test_a_killed_run_is_taken_up_again_without_force_and_writes_over_its_own_copies_only(
    plans: Path, whole: Path, tmp_path: Path
) -> None:
    """A run that the system killed (out of memory, kill -9) leaves copies and no results to know them by."""
    out = tmp_path / "review"
    process = start(plans, out, halting=True)
    wait_until_it_halts(process)
    process.kill()
    process.communicate(timeout=60)
    assert list(out.glob("*.marked.pdf")) and not (out / "results.json").exists()
    other = tmp_path / "other.pdf"
    shutil.copy(sorted(plans.glob("*.pdf"))[0], other)
    (out / "other.marked.pdf").write_bytes(b"of somebody else")
    assert check(other, "--out", out) == 2
    assert (out / "other.marked.pdf").read_bytes() == b"of somebody else"
    (out / "other.marked.pdf").unlink()
    process = start(plans, out, "--resume")
    _, errors = process.communicate(timeout=300)
    assert process.returncode in (0, 1), errors
    assert any('"kept"' in line for line in errors.splitlines())
    assert contents(out) == contents(whole)


@pytest.mark.parametrize("name", ["results.json", "schedule.csv", "report.html", "comments.docx"])
def test_tables_of_somebody_else_are_not_written_over(name: str, plans: Path, tmp_path: Path) -> None:
    (tmp_path / name).write_bytes(b"of somebody else")
    assert check(plans, "--out", tmp_path) == 2
    assert (tmp_path / name).read_bytes() == b"of somebody else"


def test_a_second_interrupt_ends_at_once_and_leaves_nothing_half_written(plans: Path, tmp_path: Path) -> None:
    process = start(
        plans, tmp_path / "out", halting=True
    )  # both interrupts are there before the first is done with
    wait_until_it_halts(process)
    process.send_signal(signal.SIGINT)
    process.send_signal(signal.SIGCONT)
    process.send_signal(signal.SIGINT)
    process.communicate(timeout=180)
    assert process.returncode == 130
    assert not list((tmp_path / "out").rglob(".*.part"))


def resumed(out: Path, *words: str | Path) -> dict[str, str]:
    """What each sheet's reading was: kept or read."""
    result = CliRunner().invoke(main, ["check", *map(str, words), "--out", str(out), "--jobs", "0", "--resume",
                                       "--progress", "json"])  # fmt: skip
    events = [json.loads(line) for line in result.stderr.splitlines() if line.startswith("{")]
    return {Path(e["file"]).name: e["said"] for e in events if e["event"] == "step" and e["stage"] == "reading"}


def test_marks_beside_the_copy_that_are_of_an_earlier_run_are_told(tmp_path: Path) -> None:
    words = ["check", str(SHEET), "--symbols", str(SYMBOLS), "--out", str(tmp_path), "--jobs", "0", "--resume"]
    with_marks = CliRunner().invoke(main, [*words, "--xfdf"])
    assert "earlier run" not in with_marks.output
    again = CliRunner().invoke(main, words)
    (beside,) = tmp_path.glob("*.xfdf")
    assert f"{beside.name} is from an earlier run" in again.output and again.exit_code == with_marks.exit_code


def test_only_what_changed_is_read_again(tmp_path: Path) -> None:
    for name in ("a.pdf", "b.pdf"):
        shutil.copy(SHEET, tmp_path / name)
    symbols, out = tmp_path / "symbols.yaml", tmp_path / "out"
    shutil.copy(SYMBOLS, symbols)
    ask = (tmp_path / "a.pdf", tmp_path / "b.pdf", "--symbols", symbols)
    assert resumed(out, *ask) == {"a.pdf": "read", "b.pdf": "read"}
    before = contents(out)
    assert resumed(out, *ask) == {"a.pdf": "kept", "b.pdf": "kept"}
    assert contents(out) == before
    with pikepdf.open(tmp_path / "b.pdf", allow_overwriting_input=True) as document:
        document.pages[0].contents_add(b"q 1 0 0 1 5 5 cm 0 0 m 9 9 l S Q")
        document.save()
    assert resumed(out, *ask) == {"a.pdf": "kept", "b.pdf": "read"}
    everything = {"a.pdf": "kept", "b.pdf": "kept"}
    assert resumed(out, *ask, "--code", "2020") == everything, "a reading holds for all editions"
    assert "0.0625" in symbols.read_text()
    symbols.write_text(symbols.read_text().replace("0.0625", "0.0626"))
    assert set(resumed(out, *ask).values()) == {"read"}
    assert len(list((out / ".cordpath" / "readings").iterdir())) == 2, "readings of no use any more are taken away"


def test_kept_readings_that_are_damaged_are_read_again(tmp_path: Path) -> None:
    ask = (SHEET, "--symbols", SYMBOLS)
    out = tmp_path / "out"
    assert set(resumed(out, *ask).values()) == {"read"}
    before = contents(out)
    (kept,) = (out / ".cordpath" / "readings").iterdir()
    kept.write_bytes(kept.read_bytes()[:-100])
    assert set(resumed(out, *ask).values()) == {"read"}
    assert contents(out) == before


@pytest.mark.parametrize(
    "data", [b"", b"\x1f\x8b", b"[1,[],{}]", b"cos\nsystem\n(S'true'\ntR.", pytest.param(b"x" * 50, id="x")]
)
def test_no_bytes_make_anything_but_a_reading(data: bytes) -> None:
    for packed in (data, gzip.compress(data)):
        with pytest.raises(NotArchived):
            unpack(packed)


def test_an_archive_makes_nothing_that_is_not_ours() -> None:
    for node in (
        '{"noun":"Popen","is":{}}',
        '{"noun":"__import__","is":{}}',
        '{"array":"","dtype":"|O","shape":[0]}',
    ):
        with pytest.raises(NotArchived):
            unpack(gzip.compress(f'[1,[{node}],{{"n":0}}]'.encode()))


def test_two_runs_into_one_folder_are_refused(tmp_path: Path) -> None:
    out = tmp_path / "out"
    with keep.locked(out):
        result = CliRunner().invoke(main, ["check", str(SHEET), "--symbols", str(SYMBOLS), "--out", str(out)])
        assert result.exit_code == 2 and "another run" in result.output and str(os.getpid()) in result.output
        assert not (out / "results.json").exists()
    with keep.locked(out):
        pass


def test_the_lock_of_a_dead_run_is_taken_over(tmp_path: Path) -> None:
    code = ("import os, pathlib, sys; from cordpath.batch import keep\n"
            "with keep.locked(pathlib.Path(sys.argv[1])):\n    os.kill(os.getpid(), 9)")  # fmt: skip
    assert subprocess.run([sys.executable, "-c", code, str(tmp_path)], check=False).returncode == -9
    long = f"{'REVIEW OF THE HOUSE ' * 6}.marked.pdf"  # of such a name a part keeps 60 characters, no ending
    left, cut = tmp_path / ".results.json.ab12cd_x.part", tmp_path / f".{long[:60]}.ab12cd_x.part"
    left.write_text("half")
    cut.write_text("half")
    (tmp_path / ".mine.part").write_text("of somebody else")
    with keep.locked(tmp_path):
        assert not left.exists() and not cut.exists(), "what a killed run left half-written is taken away"
    assert (tmp_path / ".mine.part").exists()


def test_a_folder_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputRefused), keep.locked(tmp_path / "file" / "out"):
        pass


@pytest.mark.parametrize("which", ["write_bytes", "replace"])
def test_a_full_disk_leaves_nothing_half_written(
    which: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second run meets a full disk: outputs of the first are whole, old or new."""
    out = tmp_path / "out"
    assert check(SHEET, "--out", out) in (0, 1)
    before = contents(out)
    sound = getattr(Path, which)

    def full(path: Path, *words: object) -> object:
        if ".part" in path.name:
            if which == "write_bytes":
                sound(path, b"half")
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return sound(path, *words)

    monkeypatch.setattr(Path, which, full)
    result = CliRunner().invoke(
        main, ["check", str(SHEET), "--symbols", str(SYMBOLS), "--out", str(out), "--jobs", "0"]
    )
    assert result.exit_code == 2 and "No space left" in result.output and "Traceback" not in result.output
    monkeypatch.undo()
    after = contents(out)
    assert before == after and not list(out.rglob(".*.part"))


def test_standard_error_is_silent_in_a_pipe_and_standard_output_holds_results_only(tmp_path: Path) -> None:
    words = [*COMMAND, str(SHEET), "--symbols", str(SYMBOLS), "--out", str(tmp_path / "out"), "--jobs", "0"]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert done.stderr == "" and "Written to" in done.stdout
    quiet = subprocess.run([*words, "-q", "--resume"], capture_output=True, text=True, check=False)
    assert (quiet.stdout, quiet.stderr) == ("", "") and quiet.returncode == done.returncode
    told = subprocess.run([*words, "-v", "--resume"], capture_output=True, text=True, check=False)
    assert told.stdout == done.stdout
    assert f"reading 1/1: {SHEET} page 1: " in told.stderr


def test_versions_of_the_libraries_are_told() -> None:
    result = CliRunner().invoke(main, ["--version"])
    assert result.exit_code == 0
    for name in ("cordpath", *keep.LIBRARIES):
        assert f"{name} " in result.output


def test_readings_of_locked_files_are_not_kept_where_anybody_could_open_them(tmp_path: Path) -> None:
    for name, encryption in (("plain.pdf", None), ("owned.pdf", ""), ("locked.pdf", "secret")):
        with pikepdf.open(SHEET) as document:
            locks = False if encryption is None else pikepdf.Encryption(owner="boss", user=encryption)
            document.save(tmp_path / name, encryption=locks)
    (tmp_path / "word").write_text("secret\n")
    out = tmp_path / "out"
    ask = (tmp_path, "--symbols", SYMBOLS, "--password-file", tmp_path / "word")
    assert set(resumed(out, *ask).values()) == {"read"}
    assert len(list((out / ".cordpath" / "readings").iterdir())) == 2
    before = contents(out)
    assert resumed(out, *ask) == {"plain.pdf": "kept", "owned.pdf": "kept", "locked.pdf": "read"}
    after = contents(out)
    # Encryption takes chance numbers, so two copies of the same are never alike.
    assert {name: after[name] for name in after if ".marked" not in name} == {
        name: before[name] for name in before if ".marked" not in name
    }
    help_text = " ".join(CliRunner().invoke(main, ["check", "--help"]).output.split())
    assert "locked with a password are read again" in help_text


def test_what_people_wrote_into_outputs_is_kept_when_they_are_written_anew(tmp_path: Path) -> None:
    """States in a marked copy and responses in a letter were gone after the next run, without a word."""
    out = tmp_path / "out"
    assert check(SHEET, "--out", out) == 1
    plain = contents(out)
    assert check(SHEET, "--out", out, "--resume") == 1
    assert contents(out) == plain and not (out / "changed-1").exists(), "nothing was changed"
    marked = next(name for name in plain if name.endswith(".marked.pdf"))
    (out / marked).write_bytes(plain[marked] + b"% a state")
    (out / "comments.docx").write_bytes(b"answered")
    told = CliRunner().invoke(
        main, ["check", str(SHEET), "--symbols", str(SYMBOLS), "--jobs", "0", "--out", str(out), "--resume"]
    )
    assert contents(out) == plain
    assert contents(out / "changed-1") == {marked: plain[marked] + b"% a state", "comments.docx": b"answered"}
    note = " ".join(told.output.split())
    assert f"changed since they were written, and kept in {out / 'changed-1'}: comments.docx, {marked}" in note
    assert check(SHEET, "--out", out, "--resume") == 1 and not (out / "changed-2").exists()


def test_changes_for_which_there_is_no_room_are_not_written_over(tmp_path: Path) -> None:
    (tmp_path / keep.FOLDER).mkdir()
    (tmp_path / "a.marked.pdf").write_bytes(b"as written")
    keep.remember(tmp_path, [tmp_path / "a.marked.pdf"])
    (tmp_path / "a.marked.pdf").write_bytes(b"answered")
    with (
        pytest.MonkeyPatch.context() as patch,
        pytest.raises(OutputRefused, match="changed by hand and cannot be kept"),
    ):
        patch.setattr(shutil, "copy2", full_disk)
        keep.set_aside_changed(tmp_path)
    assert (tmp_path / "a.marked.pdf").read_bytes() == b"answered"
    (tmp_path / keep.FOLDER / keep.WRITTEN).write_text('{"../x": "1"}')
    assert keep.set_aside_changed(tmp_path) == ()


def full_disk(*_: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")
