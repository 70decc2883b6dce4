"""Schedules with drawn lettering: figures are read with doubt one by one, and the table bears them out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cordpath.circuits import read_panels
from cordpath.model import Answer, PanelRow

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
COLUMNS = [("CKT", 40), ("DESCRIPTION", 150), ("POLES", 50), ("AMPS", 50), ("TYPE", 90)]


def rows_of(trade, numbers, notes, *, load="BATH", amperes="20", doubtful=(), likely=()) -> dict[str, PanelRow]:  # type: ignore[no-untyped-def]
    """The rows of a table whose figures are read with doubt, as are the words ``doubtful``."""
    rows = [[n, load, "1", amperes, note] for n, note in zip(numbers, notes, strict=True)]
    words, lines = trade.draw(COLUMNS, rows, "PANEL A")
    sure = dict.fromkeys(words, 0.97) | {w: 0.5 for w in words if w.text.isdigit() or w.text in doubtful}
    sure |= {w: 0.75 for w in words if w.text in likely}
    drawn = [replace(w, origin="outline", confidence=sure[w]) for w in words]
    (panel,) = read_panels(trade.sheet((drawn, lines)))
    return {number: row for row in panel.rows for number in row.circuits}


@pytest.mark.parametrize("numbers", [("1", "3", "5", "7", "9"), ("12", "13", "14", "15", "16")])
def test_numbers_in_a_run_and_usual_sizes_leave_the_marks_of_their_rows_sure(trade, numbers):
    """One figure by itself is never read for sure: every row of an outlined schedule was a question."""
    got = rows_of(trade, numbers, ("GFCI", "", "AFCI", "DF", ""))
    assert [got[n].gfci for n in numbers] == [YES, NO, NO, YES, NO]
    assert {row.amperes for row in got.values()} == {None}  # which size it is stays a question: 210.8(F)


def test_a_number_between_rows_that_leave_room_for_another_is_not_sure(trade):
    """9 may be an 11, or any that no other row has."""
    got = rows_of(trade, ("1", "2", "3", "9", "13"), ("", "", "", "GFCI", ""))
    assert [got[n].gfci for n in ("1", "2", "3", "9", "13")] == [NO, NO, UNKNOWN, UNKNOWN, UNKNOWN]


@pytest.mark.parametrize("wrong", ["8", "1", "6"])
def test_a_number_that_was_misread_is_not_sure(trade, wrong):
    """3 as 8, 7 as 1, 5 as 6: neither it nor, where it may be the wrong one, its neighbour."""
    numbers = {"8": ("1", "8", "5", "7"), "1": ("3", "5", "1", "9"), "6": ("1", "3", "6", "7")}[wrong]
    got = rows_of(trade, numbers, ("GFCI",) * 4)
    assert got[wrong].gfci is UNKNOWN


@pytest.mark.parametrize("amperes", ["206", "2O", "26"])
def test_a_size_that_no_breaker_has_may_hide_a_mark(trade, amperes):
    """20G with its G read as a 6."""
    got = rows_of(trade, ("1", "3", "5", "7"), ("", "", "", ""), amperes=amperes, doubtful=("2O",))
    assert {row.gfci for row in got.values()} == {UNKNOWN}


@pytest.mark.parametrize(
    ("load", "want"), [("OWNERS BATH", NO), ("GFCL BATH", UNKNOWN), ("GF1 BATH", UNKNOWN), ("BR BATH", UNKNOWN)]
)
def test_a_word_of_a_load_that_is_hardly_in_doubt_is_no_mark_unless_it_looks_like_one(trade, load, want):
    first = load.split()[0]
    got = rows_of(trade, ("1", "3", "5", "7"), ("", "", "", ""), load=load, likely=(first,))
    assert {row.gfci for row in got.values()} == {want}
    got = rows_of(trade, ("1", "3", "5", "7"), ("", "", "", ""), load=load, doubtful=(first,))
    assert {row.gfci for row in got.values()} == {UNKNOWN}


def test_a_mark_that_is_read_with_doubt_protects_nothing(trade):
    got = rows_of(trade, ("1", "3", "5", "7"), ("GFCI", "", "", ""), likely=("GFCI",))
    assert got["1"].gfci is UNKNOWN and got["3"].gfci is NO
