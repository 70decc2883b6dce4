"""Faults of workers: an exception, a hang and a death are each the failure of one sheet."""

from __future__ import annotations

import operator
import os
import threading
import time
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from cordpath import batch
from cordpath.errors import CordpathError, UsageRefused
from cordpath.order import copy_names
from cordpath.workers import Limits, local_workers, map_calls

GROWS = "(lambda held: __import__('time').sleep(5))(b'xy' * 450_000_000)"
KEEPS = "len(__import__('builtins').__dict__.setdefault('kept', b'xy' * 200_000_000))"


def test_a_dead_a_hanging_and_a_growing_worker_lose_their_own_task_only() -> None:
    calls = [(str, "a"), (os._exit, 7), (time.sleep, 60), (eval, GROWS), (str, "b")]
    with local_workers(2) as workers:
        done = list(map_calls(workers, operator.call, calls, Limits(3.0, 700.0)))
    assert done[0] == "a" and done[4] == "b"
    assert isinstance(done[1], CordpathError) and "7" in str(done[1])
    assert isinstance(done[2], CordpathError) and "3 s" in str(done[2]) and "--sheet-timeout" in done[2].cure
    assert isinstance(done[3], CordpathError) and "700 MB" in str(done[3]) and "--sheet-memory" in done[3].cure


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
    with local_workers(1) as workers:
        done = list(map_calls(workers, operator.call, [(eval, KEEPS), (os.getpid,)] * 2, Limits(30.0, 900.0)))
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
        "set/notes.txt",
    ):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(b"")
    found = batch.find_sheets([str(tmp_path / "set"), str(tmp_path / "set" / "*.pdf")], tmp_path / "set" / "review")
    assert [path.name for path in found] == ["B.PDF", "a.pdf", "c.pdf"]


def test_links_to_nowhere_and_pipes_are_not_passed_over(tmp_path: Path) -> None:
    (tmp_path / "gone.pdf").symlink_to(tmp_path / "nowhere")
    os.mkfifo(tmp_path / "pipe.pdf")
    (tmp_path / "folder.pdf").mkdir()
    found = batch.find_sheets([str(tmp_path)], tmp_path / "review")
    assert [path.name for path in found] == ["gone.pdf", "pipe.pdf"]


@example(["\udd00"])
@given(st.lists(st.text(st.characters(exclude_characters="/\0"), min_size=1, max_size=80), max_size=8))
def test_no_two_copies_share_a_name_or_leave_the_folder(stems: list[str]) -> None:
    paths = tuple(Path("in") / str(k) / f"{stem}.pdf" for k, stem in enumerate(stems))
    names = list(copy_names(paths, Path("out")))
    assert len({name.name.casefold() for name in names}) == len(paths)
    for name in names:
        assert name.parent == Path("out") and name.name.isprintable() and len(name.name.encode()) < 255


def test_numbered_copies_keep_clear_of_names_that_look_like_them() -> None:
    paths = (Path("a/plan-2.pdf"), Path("a/plan.pdf"), Path("b/Plan.pdf"), Path("c/plan.pdf"))
    names = [path.name for path in copy_names(paths, Path("out"))]
    assert len({name.casefold() for name in names}) == 4 and names[:2] == ["plan-2.marked.pdf", "plan.marked.pdf"]


def test_a_name_that_fits_nothing_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UsageRefused, match="no PDF file found"):
        batch.find_sheets([str(tmp_path)], tmp_path / "review")
