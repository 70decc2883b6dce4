"""What stands beside a panel schedule, a legend, notes or another table, gives its rows no marks."""

from __future__ import annotations

import pytest

from cordpath.circuits import read_panels
from cordpath.model import Answer

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
COLUMNS = [("CKT", 30), ("DESCRIPTION", 140), ("AMPS", 40), ("POLES", 40), ("TYPE", 80)]
ROWS = [["1", "BATH", "20", "1", "GFCI"], ["3", "HALL", "20", "1", ""], ["5", "DEN", "20", "1", "AFCI"],
        ["7", "SHOP", "20", "1", ""], ["9", "POOL", "20", "1", "GFPE"]]  # fmt: skip
LEGEND = ("GFCI", "GFI", "DF", "LED", "GFCI BREAKER", "WP")


def marked(trade, words, *, ruled, columns=COLUMNS, rows=ROWS, align="left"):
    """Circuits whose breakers count as GFCI, with more words on the sheet than the schedule's own."""
    drawn = trade.draw(columns, rows, "PANEL A", ruled=ruled, align=align)
    panels = read_panels(trade.sheet(drawn, (words, [])))
    return {number: row.gfci for panel in panels for row in panel.rows for number in row.circuits}


def listed(trade, texts, x, y=107.0, pitch=12.0, align="left"):
    """A list of texts, the first one at the height of the schedule's header."""
    words = []
    for k, said in enumerate(texts):
        trade.text(words, 700 + k, x, y + k * pitch, said, align=align)
    return words


@pytest.mark.parametrize("gap", [14.0, 45.0, 110.0])
@pytest.mark.parametrize("pitch", [12.0, 14.0])
def test_a_legend_beside_a_ruled_schedule_is_no_column_of_it(trade, gap, pitch):
    """Its first row, at the height of the header, reads like a column headed GFCI."""
    got = marked(trade, listed(trade, LEGEND, 430.0 + gap, pitch=pitch), ruled=True)
    assert got == {"1": YES, "3": NO, "5": NO, "7": NO, "9": NO}


def test_a_legend_at_the_left_of_a_ruled_schedule_is_no_column_of_it(trade):
    got = marked(trade, listed(trade, LEGEND, 80.0, align="right"), ruled=True)
    assert got == {"1": YES, "3": NO, "5": NO, "7": NO, "9": NO}


@pytest.mark.parametrize("gap", [14.0, 45.0, 110.0])
def test_a_legend_beside_a_schedule_without_rulings_clears_none_of_its_circuits(trade, gap):
    got = marked(trade, listed(trade, LEGEND, 430.0 + gap), ruled=False)
    assert [number for number, answer in got.items() if answer is YES] == ["1"]


def test_a_heading_of_notes_beside_a_schedule_is_no_column_of_it(trade):
    notes = listed(trade, ("NOTES:", "1. GFCI BREAKER", "2. GFI", "3. VERIFY", "4. GFCI"), 452.0, pitch=11.0)
    plain = [row[:4] for row in ROWS]
    got = marked(trade, notes, ruled=False, columns=COLUMNS[:4], rows=plain)
    assert YES not in got.values()


def test_a_wide_last_column_takes_no_words_of_the_table_beside_it(trade):
    """A description runs on as far as it needs to the right; the next list's lines follow another pitch."""
    columns = [("CKT", 30), ("AMPS", 40), ("DESCRIPTION", 140)]
    rows = [[number, amps, name] for number, name, amps, *_ in ROWS]
    beside = listed(trade, ("GFCI BREAKER", "LED", "GFCI BREAKER", "20", "WP"), 326.0, y=118.0, pitch=17.0)
    got = marked(trade, beside, ruled=False, columns=columns, rows=rows)
    assert set(got.values()) == {NO}


@pytest.mark.parametrize("shift", [0.0, 4.0])
def test_a_column_of_ticks_at_the_side_of_a_schedule_without_rulings_is_read(trade, shift):
    """All of them may be set a little lower than the row."""
    ticks = listed(trade, ("GFCI",), 445.0)
    for k, tick in enumerate(["X", "", "", "X", ""]):
        trade.text(ticks, 800 + k, 452.0, 121.0 + 14 * k + shift, tick)
    plain = [row[:4] for row in ROWS]
    got = marked(trade, ticks, ruled=False, columns=COLUMNS[:4], rows=plain)
    assert got == {"1": YES, "3": NO, "5": NO, "7": YES, "9": NO}


def test_marks_between_the_rows_of_two_poles_stay_in_the_last_column(trade):
    columns = COLUMNS
    rows = [["1", "RANGE", "40", "2", ""], ["3", "", "", "", ""], ["5", "DRYER", "30", "2", ""],
            ["7", "", "", "", ""], ["9", "BATH", "20", "1", "GFCI"]]  # fmt: skip
    words = []
    for k in (0, 2):
        trade.text(words, 800 + k, 352.0, 114.0 + 14 * (k + 1), "GFCI")
    got = marked(trade, words, ruled=False, rows=rows, columns=columns)
    assert got == {"1": YES, "3": YES, "5": YES, "7": YES, "9": YES}


@pytest.mark.parametrize("gap", [20.0, 45.0])
def test_marks_in_step_with_the_rows_beside_a_schedule_without_rulings_clear_none(trade, gap):
    """They begin beyond the last header: a column without a name, or a list of something else."""
    beside = listed(trade, ("", "", "GFCI", "GFI", "GFCI BREAKER"), 430.0 + gap, pitch=14.0)
    got = marked(trade, beside, ruled=False)
    assert [number for number, answer in got.items() if answer is YES] == ["1"]
    assert got["3"] is UNKNOWN


def test_a_list_between_the_schedules_of_two_panels_clears_no_circuit_of_either(trade):
    plain = [row[:4] for row in ROWS]
    one = trade.draw(COLUMNS[:4], plain, "PANEL A", ruled=False)
    two = trade.draw(COLUMNS[:4], plain, "PANEL B", ruled=False, origin=(600.0, 100.0))
    beside = listed(trade, ("", "GFCI", "GFI", "GFCI BREAKER"), 400.0, pitch=14.0)
    panels = read_panels(trade.sheet(one, two, (beside, [])))
    assert [panel.name for panel in panels] == ["A", "B"]
    assert YES not in {row.gfci for panel in panels for row in panel.rows}


def test_a_heading_of_notes_higher_than_the_header_is_no_column_though_its_lines_are_in_step(trade):
    plain = [row[:4] for row in ROWS]
    words = listed(trade, ("NOTES:",), 375.0, y=97.0)
    words += listed(trade, ("", "GFCI BREAKER", "GFI", "", "GFCI"), 375.0, y=100.0, pitch=14.0)
    got = marked(trade, words, ruled=False, columns=COLUMNS[:4], rows=plain)
    assert YES not in got.values()


@pytest.mark.parametrize("both", [False, True])
def test_a_mark_at_the_height_of_the_header_does_not_shift_the_halves(trade, both):
    """GFCI BREAKER at the left of the header was the first half's column of marks, and the ticks of each half
    were its neighbour's."""
    columns = [("NO.", 30), ("DESCRIPTION", 140), ("GFCI", 40), ("AMPS", 40), ("POLES", 40)]
    rows = [[str(2 * k + 1), "BATH", "X" if k % 2 else "", "20", "1", str(2 * k + 2), "HALL", "", "20", "1"]
            for k in range(5)]  # fmt: skip
    beside = listed(trade, ("GFCI BREAKER", "LED", "GFCI", "LED"), 80.0, align="right")
    beside += listed(trade, ("GFCI", "LED", "GFCI", "LED"), 710.0) if both else []
    got = marked(trade, beside, ruled=False, columns=columns * 2, rows=rows)
    assert [number for number, answer in got.items() if answer is YES] == ["3", "7"]


def test_a_header_of_gfci_at_the_side_over_words_is_that_of_a_list(trade):
    """Though its lines stand in step with the rows, they clear none of them."""
    beside = listed(trade, ("GFCI", "GFCI", "LED", "DF", "WP", "GFCI"), 445.0, pitch=14.0)
    got = marked(trade, beside, ruled=False, columns=COLUMNS[:4], rows=[row[:4] for row in ROWS])
    assert YES not in got.values() and got["1"] is UNKNOWN
