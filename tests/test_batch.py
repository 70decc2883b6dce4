"""Faults of workers: an exception, a hang and a death are each the failure of one sheet."""

from __future__ import annotations

import operator
import os
import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath import batch
from cordpath.errors import CordpathError, UsageRefused


def test_a_dead_and_a_hanging_worker_lose_their_own_task_only() -> None:
    calls = [(str, "a"), (os._exit, 7), (time.sleep, 60), (str, "b")]
    with batch._workers(2) as workers:
        done = list(workers.map(operator.call, calls, 3.0))
    assert done[0] == "a" and done[3] == "b"
    assert isinstance(done[1], CordpathError) and "7" in str(done[1])
    assert isinstance(done[2], CordpathError) and "3 s" in str(done[2])


def test_an_exception_of_a_task_is_an_error_of_that_task() -> None:
    with batch._workers(2) as workers:
        done = list(workers.map(operator.call, [(int, "x"), (int, "7")], 30.0))
    assert isinstance(done[0], CordpathError) and "invalid literal" in str(done[0])
    assert done[1] == 7


def test_the_serial_twin_gives_the_same() -> None:
    with batch._workers(1) as workers:
        assert list(workers.map(operator.call, [(str, "a"), (str, "b")], 1.0)) == ["a", "b"]


@given(st.sets(st.integers(1, 500), min_size=1, max_size=20))
def test_page_lists_round_trip(pages: set[int]) -> None:
    assert batch.pages_wanted(",".join(map(str, sorted(pages)))) == pages


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


def test_a_name_that_fits_nothing_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UsageRefused, match="no PDF file found"):
        batch.find_sheets([str(tmp_path)], tmp_path / "review")
