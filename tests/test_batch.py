"""Faults of workers: an exception, a hang and a death are each the failure of one sheet."""

from __future__ import annotations

import json
import operator
import os
import pickle
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing.process import BaseProcess
from pathlib import Path
from types import FrameType, SimpleNamespace
from typing import Any

import psutil
import pytest
from click.testing import CliRunner
from hypothesis import example, given
from hypothesis import strategies as st

import small_house
from cordpath.batch import batch, tasks
from cordpath.batch.bare import for_tables, lendable, without_ink
from cordpath.batch.child import Limits
from cordpath.batch.keep import library_versions
from cordpath.batch.order import copy_names, copy_targets
from cordpath.batch.spool import Chosen, Spool
from cordpath.batch.workers import Here, local_workers, map_calls
from cordpath.check import judge_file, load_mapping, propose, understand
from cordpath.circuits import is_one_set
from cordpath.cli import main
from cordpath.decisions import blank
from cordpath.errors import CordpathError, OutputRefused, UnreadablePage, UsageRefused
from cordpath.lending import lending, wants_panels
from cordpath.model import Reading, Run
from cordpath.report import results_document
from cordpath.report.page.page import write_html
from cordpath.rules import load_edition
from cordpath.symbols import Examples
from sheet.conftest import pdf

SAMPLES = Path(__file__).parent.parent / "sample_plans"
SHEET, SYMBOLS = small_house.files()

GROWS = "(lambda held: __import__('time').sleep(9))(b'xy' * 450_000_000)"
KEEPS = "len(__import__('builtins').__dict__.setdefault('kept', b'xy' * 200_000_000))"


def test_a_dead_a_hanging_and_a_growing_worker_lose_their_own_task_only() -> None:
    calls = [(str, "a"), (os._exit, 7), (time.sleep, 60), (eval, GROWS), (str, "b")]
    with local_workers(2) as workers:
        done = list(map_calls(workers, operator.call, calls, Limits(10.0, 700.0)))
    assert done[0] == "a" and done[4] == "b"
    assert isinstance(done[1], CordpathError) and "7" in str(done[1])
    assert isinstance(done[2], CordpathError) and "10 s" in str(done[2]) and "--sheet-timeout" in done[2].cure
    assert isinstance(done[3], CordpathError) and "700 MB" in str(done[3]) and "--sheet-memory" in done[3].cure


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal")
def test_a_worker_that_was_killed_from_outside_is_not_laid_to_its_sheet() -> None:
    suicide = "(lambda os: os.kill(os.getpid(), 9))(__import__('os'))"
    with local_workers(1) as workers:
        (done,) = map_calls(workers, operator.call, [(eval, suicide)], Limits(30.0, 2000.0))
    assert isinstance(done, CordpathError) and "killed from outside" in str(done) and "--resume" in done.cure


@pytest.mark.parametrize("fault", [OSError(11, "Resource temporarily unavailable"), None])
def test_a_worker_that_cannot_start_is_not_laid_to_the_page(
    fault: OSError | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """None: it starts and ends before it is ready, as where its libraries cannot be loaded."""

    def started(process: BaseProcess) -> None:
        if fault is not None:
            raise fault
        start(process)
        process.kill()
        process.join()

    start = BaseProcess.start
    monkeypatch.setattr(BaseProcess, "start", started)
    with local_workers(1) as workers:
        (done,) = map_calls(workers, operator.call, [(str, "a")], Limits(30.0, 2000.0))
    assert isinstance(done, CordpathError) and done.what.startswith("a worker process could not be started (")
    assert "temporarily" in done.what if fault is not None else "exit code -9" in done.what
    assert "page" not in str(done) and "fewer --jobs" in done.cure


def test_an_exception_of_a_task_is_an_error_of_that_task() -> None:
    with local_workers(2) as workers:
        done = list(map_calls(workers, operator.call, [(int, "x"), (int, "7")], Limits(30.0, 2000.0)))
    assert isinstance(done[0], CordpathError) and "invalid literal" in str(done[0])
    assert done[1] == 7


def test_what_cannot_be_sent_back_is_an_error_of_that_task() -> None:
    with local_workers(1) as workers:
        done = list(map_calls(workers, operator.call, [(threading.Lock,), (str, "b")], Limits(30.0, 2000.0)))
    assert isinstance(done[0], CordpathError) and done[1] == "b"


def test_a_large_process_is_not_held_against_the_next_task() -> None:
    limits = Limits(30.0, 750.0)  # 400 MB are more than half of it, whatever the libraries take
    with local_workers(1) as workers:
        done = list(map_calls(workers, operator.call, [(eval, KEEPS), (os.getpid,)] * 2, limits))
    assert done[0] == done[2] == 400_000_000
    assert done[1] != done[3], "a process over half of the limit is replaced"


def test_the_serial_twin_gives_the_same() -> None:
    calls = [(str, "a"), (int, "x"), (str, "b")]
    with local_workers(0) as here, local_workers(1) as workers:
        limits = Limits(30.0, 2000.0)
        there = list(map_calls(workers, operator.call, calls, limits))
        assert list(map(str, map_calls(here, operator.call, calls, limits))) == list(map(str, there))


def test_what_c_code_prints_does_not_reach_standard_output(capfd: pytest.CaptureFixture[str]) -> None:
    call = [(os.write, 1, b"noise\n")]
    for jobs in (0, 1):
        with local_workers(jobs) as workers:
            assert list(map_calls(workers, operator.call, call, Limits(30.0, 2000.0))) == [6]
    os.write(1, b"results\n")
    assert capfd.readouterr().out == "results\n"


@given(st.sets(st.integers(1, 500), min_size=1, max_size=20))
def test_page_lists_round_trip(pages: set[int]) -> None:
    assert batch.pages_wanted(",".join(map(str, sorted(pages)))) == pages


def test_figures_that_are_no_digits_are_refused() -> None:
    with pytest.raises(UsageRefused):
        batch.pages_wanted("²")


def test_page_ranges() -> None:
    assert batch.pages_wanted("1,3-5") == {1, 3, 4, 5}


@given(st.text(max_size=15))
def test_any_page_list_is_read_or_refused(text: str) -> None:
    try:
        assert all(1 <= page <= 100_000 for page in batch.pages_wanted(text))
    except UsageRefused as error:
        assert error.cure


def test_folders_are_searched_and_own_outputs_left_out(tmp_path: Path) -> None:
    for name in (
        "set/a.pdf",
        "set/B.PDF",
        "set/deep/c.pdf",
        "set/old.marked.pdf",
        "set/review/x.pdf",
        "set/review/results.json",
        "set/notes.txt",
    ):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(b"")
    found = batch.find_sheets([str(tmp_path / "set"), str(tmp_path / "set" / "*.pdf")], tmp_path / "set" / "review")
    assert [path.name for path in found] == ["B.PDF", "a.pdf", "c.pdf"]


def test_a_file_that_is_named_twice_is_one_sheet_however_it_is_spelt(tmp_path: Path) -> None:
    """Its outlets were counted twice, and its letter was written twice."""
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "x.pdf").touch()
    (tmp_path / "a" / "link.pdf").symlink_to("x.pdf")
    spelt = [str(tmp_path / "a" / "x.pdf"), str(tmp_path / "a" / ".." / "a" / "x.pdf"), str(tmp_path / "a")]
    found = batch.find_sheets(spelt, tmp_path / "review")
    assert [path.name for path in found] == ["link.pdf", "x.pdf"], "a link may be a sheet of another submittal"


def test_sheets_in_a_folder_that_is_to_become_the_output_are_not_passed_over(tmp_path: Path) -> None:
    """``check plans --out plans/house-2`` left the sheets of house 2 out without a word."""
    for name in ("plans/house-1/a.pdf", "plans/house-2/b.pdf"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(b"")
    for out in ("plans/house-2", "plans"):
        with pytest.raises(UsageRefused, match=r"\.pdf is in the output folder"):
            batch.find_sheets([str(tmp_path / "plans")], tmp_path / out)
    assert len(batch.find_sheets([str(tmp_path / "plans")], tmp_path / "review")) == 2


def test_links_to_nowhere_and_pipes_are_not_passed_over(tmp_path: Path) -> None:
    (tmp_path / "gone.pdf").symlink_to(tmp_path / "nowhere")
    os.mkfifo(tmp_path / "pipe.pdf")
    (tmp_path / "folder.pdf").mkdir()
    (tmp_path / "self.pdf").symlink_to(tmp_path / "self.pdf")
    found = batch.find_sheets([str(tmp_path)], tmp_path / "review")
    assert [path.name for path in found] == ["gone.pdf", "pipe.pdf", "self.pdf"]
    assert list(copy_targets(found, order_into(tmp_path / "review")))


def order_into(out: Path) -> Any:
    return SimpleNamespace(out=out, force=False)


def test_an_output_folder_that_may_not_be_looked_into_is_refused_with_its_cure() -> None:
    class Shut(type(Path())):  # type: ignore[misc]
        def exists(self) -> bool:
            raise PermissionError(13, "Permission denied", str(self))

    with pytest.raises(OutputRefused, match=r"/shut/x: cannot be written to \(Permission denied\); choose another"):
        copy_targets((Path("a.pdf"),), order_into(Shut("/shut/x")))


def test_links_to_folders_are_searched_and_those_that_lead_back_end(tmp_path: Path) -> None:
    """A desk's folder of links to submittals that lie elsewhere is searched like any other."""
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "a.pdf").write_bytes(b"")
    (tmp_path / "desk").mkdir()
    (tmp_path / "desk" / "job-1").symlink_to(tmp_path / "elsewhere")
    (tmp_path / "desk" / "back").symlink_to(tmp_path / "desk")
    found = batch.find_sheets([str(tmp_path / "desk")], tmp_path / "review")
    assert found == (tmp_path / "desk" / "job-1" / "a.pdf",)


def test_a_folder_that_may_not_be_read_is_not_passed_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "good.pdf").write_bytes(b"")
    (tmp_path / "shut").mkdir()
    scan = os.scandir

    def refused(path: Any) -> Any:
        if Path(path).name == "shut":
            raise PermissionError(13, "Permission denied", str(path))
        return scan(path)

    monkeypatch.setattr(os, "scandir", refused)
    with pytest.raises(UsageRefused, match=r"shut: the folder cannot be searched \(Permission denied\)"):
        batch.find_sheets([str(tmp_path)], tmp_path / "review")


@example(["\udd00"])
@given(st.lists(st.text(st.characters(exclude_characters="/\0"), min_size=1, max_size=80), max_size=8))
def test_no_two_copies_share_a_name_or_leave_the_folder(stems: list[str]) -> None:
    paths = tuple(Path("in") / str(k) / f"{stem}.pdf" for k, stem in enumerate(stems))
    names = list(copy_names(paths, Path("out")))
    assert len({name.name.casefold() for name in names}) == len(paths)
    for name in names:
        assert name.parent == Path("out") and name.name.isprintable() and len(name.name.encode()) < 255


def test_numbered_copies_keep_clear_of_names_that_look_like_them() -> None:
    paths = (
        Path("1/a/plan-2.pdf"),
        Path("1/a plan-2.pdf"),
        Path("2/a/plan.pdf"),
        Path("3/A/Plan.pdf"),
        Path("c/plan.pdf"),
    )
    names = [path.name for path in copy_names(paths, Path("out"))]
    assert len({name.casefold() for name in names}) == 5
    assert names[1:] == ["a plan-2.marked.pdf", "a plan.marked.pdf", "A Plan-3.marked.pdf", "c plan.marked.pdf"]


def test_a_copy_keeps_its_name_when_a_submittal_is_added() -> None:
    """With running numbers, the copy of one house would be written over by that of another."""
    before = [path.name for path in copy_names((Path("2/E-101.pdf"), Path("3/E-101.pdf")), Path("out"))]
    after = copy_names((Path("1/E-101.pdf"), Path("2/E-101.pdf"), Path("3/E-101.pdf")), Path("out"))
    assert before == ["2 E-101.marked.pdf", "3 E-101.marked.pdf"] and {path.name for path in after} > set(before)


def test_thousands_of_equal_names_are_numbered_in_one_go() -> None:
    paths, looks = tuple(Path(str(k)) / "set" / "plan.pdf" for k in range(2000)), 0

    def count(_frame: FrameType, event: str, what: Any) -> None:
        nonlocal looks
        looks += event == "c_call" and what.__name__ == "casefold"

    sys.setprofile(count)
    try:
        names = {path.name for path in copy_names(paths, Path("out"))}
    finally:
        sys.setprofile(None)
    assert {"set plan.marked.pdf", "set plan-2.marked.pdf", "set plan-2000.marked.pdf"} < names
    assert len(names) == 2000
    assert looks < 10 * len(paths), "work in proportion to the sheets, not to their square"


def test_a_name_that_fits_nothing_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UsageRefused, match="no PDF file found"):
        batch.find_sheets([str(tmp_path)], tmp_path / "review")


def test_pictures_are_held_on_the_disk_and_come_back(tmp_path: Path) -> None:
    spool: Spool[tuple[str, int]] = Spool(tmp_path / "new" / "folder")
    try:
        for k in range(20):
            spool.put(("a", k), bytes([k]) * k)
        assert dict(spool) == {("a", k): bytes([k]) * k for k in range(20)}
        assert spool.size(("a", 7)) == 7 and spool.size(("b", 1)) == 0 and spool.problem is None
        some = Chosen(spool, frozenset({("a", 3), ("b", 1)}))
        assert dict(some) == {("a", 3): b"\3\3\3"} and ("a", 4) not in some and len(some) == 1
        assert some.get(("a", 4)) is None
        assert list((tmp_path / "new" / "folder").iterdir()) == [], "the file has no name that could be left behind"
    finally:
        spool.close()


def test_a_picture_without_room_is_told_and_left_out(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    spool: Spool[str] = Spool(tmp_path / "file")
    spool.put("a", b"data")
    assert "a" not in spool and spool.problem is not None and "report" in spool.problem


@pytest.fixture(scope="module")
def reading() -> Reading:
    return understand(SAMPLES / "harrow-bend.pdf", 1, load_mapping(SAMPLES / "symbols-b.yaml"))


def test_tables_show_the_same_of_a_result_that_was_made_light(reading: Reading, tmp_path: Path) -> None:
    results = judge_file("a.pdf", {1: reading}, load_edition("2023"))
    whole = judge_file("a.pdf", {1: without_ink(reading)}, load_edition("2023"))  # as the worker sends it
    light = tuple(map(for_tables, whole))
    run = Run("0", "2023", (), "symbols-b.yaml")
    assert results_document(light, run) == results_document(results, run)
    for name, each in (("light", light), ("whole", results)):
        write_html(tmp_path / name, each, run)
    assert (tmp_path / "light").read_bytes() == (tmp_path / "whole").read_bytes()
    assert propose(light) == propose(results) and blank(light) == blank(results)
    assert len(pickle.dumps(light)) < len(pickle.dumps(whole)), "lighter by the words and by other symbols"


def test_what_can_be_lent_hangs_on_the_light_reading_as_on_the_whole_one(reading: Reading) -> None:
    light = lendable(reading)
    assert wants_panels({1: light}) == wants_panels({1: reading})
    assert lending({1: light}).panels == lending({1: reading}).panels
    assert is_one_set([light.sheet]) == is_one_set([reading.sheet])
    assert len(pickle.dumps(light)) < 0.4 * len(pickle.dumps(without_ink(reading)))


def test_judging_that_hangs_is_the_failure_of_its_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Judging works on what a stranger drew: it runs in a worker, and what it does not finish is told."""
    for name in ("a.pdf", "b.pdf"):
        shutil.copy(SHEET, tmp_path / name)
    fine = tasks.judge_pages

    def hangs(file: str, *rest: Any) -> Any:
        return UnreadablePage("not done within 3 s", cure="raise it") if "a.pdf" in file else fine(file, *rest)

    monkeypatch.setattr(tasks, "judge_pages", hangs)
    words = ["check", str(tmp_path), "--symbols", str(SYMBOLS), "--out", str(tmp_path / "out")]
    assert CliRunner().invoke(main, [*words, "--jobs", "0"]).exit_code == 3
    a, b = json.loads((tmp_path / "out" / "results.json").read_text())["sheets"]
    assert (a["status"], b["status"]) == ("failed", "checked") and "not done within" in a["why"]


def test_judging_is_a_task_with_limits(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    asked: dict[str, Limits] = {}

    class Watched(Here):
        def submit(self, function: Any, call: Any, limits: Limits) -> Any:
            asked[function.__name__] = limits
            return super().submit(function, call, limits)

    @contextmanager
    def watched(_: int) -> Iterator[Here]:
        yield Watched()

    monkeypatch.setattr(batch, "local_workers", watched)
    words = ["check", str(SHEET), "--symbols", str(SYMBOLS)]
    CliRunner().invoke(main, [*words, "--out", str(tmp_path), "--sheet-timeout", "77", "--sheet-memory", "900"])
    assert set(asked) == {"open_file", "read_page", "judge_pages", "mark_file", "propose_for"}
    assert asked["judge_pages"].seconds < 100 and {limits.memory_mb for limits in asked.values()} == {900.0}


ORPHAN = """
import operator, sys, threading, time
from cordpath.batch.child import Limits
from cordpath.batch.keep import library_versions
from cordpath.batch.workers import local_workers
with local_workers(1) as workers:
    own = workers.submit(operator.call, (__import__("os").getpid,), Limits(60.0, 2000.0)).result()
    workers.submit(operator.call, (time.sleep, 300), Limits(600.0, 2000.0))
    time.sleep(1)
    print(own, flush=True)
    time.sleep(300)
"""


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux ends a process with its parent")
def test_a_worker_that_hangs_does_not_outlive_its_killed_parent() -> None:
    with subprocess.Popen([sys.executable, "-c", ORPHAN], stdout=subprocess.PIPE, text=True) as parent:
        assert parent.stdout is not None
        worker = psutil.Process(int(parent.stdout.readline()))
        parent.kill()
    _, alive = psutil.wait_procs([worker], timeout=60)
    assert not alive


def test_a_process_that_drew_forms_nested_too_deep_is_not_used_again(tmp_path: Path) -> None:
    """The library is unsound after them: the next file failed, and with --jobs 1 the run ended."""
    form = "<</Type/XObject/Subtype/Form/BBox[0 0 200 100]/Resources<</XObject<</X {} 0 R>>>>>>"
    nest = tuple((form.format(6 + k), "q /X Do Q") for k in range(60))
    last = (form.replace("{} 0 R", "null"), "20 20 m 90 20 l S")
    deep = pdf("20 40 m 90 40 l S /X Do", resources="/XObject<</X 5 0 R>>", objects=(*nest, last))
    (tmp_path / "deep.pdf").write_bytes(deep)
    tried = [tasks.PageTask(path, 1, load_mapping(SYMBOLS), Examples()) for path in (tmp_path / "deep.pdf", SHEET)]
    with local_workers(1) as workers:
        ask, limits = (operator.call, (os.getpid,)), Limits(60.0, 2000.0)
        first, bad, second, good = (
            workers.submit(function, call, limits).result()
            for function, call in (ask, (tasks.read_page, (tried[0],)), ask, (tasks.read_page, (tried[1],)))
        )
    assert first != second and "lie in one another" in str(bad.outcome)
    assert not isinstance(good.outcome, CordpathError)


def test_limits_of_no_process_are_refused(tmp_path: Path) -> None:
    words = ["check", str(SHEET), "--symbols", str(SYMBOLS), "--out", str(tmp_path), "--jobs", "0"]
    done = CliRunner().invoke(main, [*words, "--sheet-timeout", "9"])
    assert done.exit_code == 2 and "--jobs 1" in done.output and not any(tmp_path.iterdir())


def test_a_second_reader_of_another_distribution_stops_no_run(monkeypatch: pytest.MonkeyPatch) -> None:
    """onnxruntime may come with onnxruntime-gpu, and rapidocr of no distribution lie on the path: no version of
    that name is known, and every run ended with an error."""
    monkeypatch.setattr("cordpath.batch.keep.SECOND_READER", ("small_house",))
    assert library_versions()["small_house"] == "unknown"
