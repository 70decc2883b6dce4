"""Words of a panel schedule that stand in another column, row or table than they look to at first.

Each of these was found by 500 random sheets of schedules whose truth is known; the sheets are made up, no source.
"""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.circuits import read_panels
from cordpath.model import Answer

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
PLAIN = [("CKT", 40), ("DESCRIPTION", 150), ("BKR", 40), ("TYPE", 70)]


def answers(panel):
    return {number: row.gfci for row in panel.rows for number in row.circuits}


@pytest.mark.parametrize("ruled", [True, False])
def test_a_load_that_is_a_panel_is_no_heading_of_the_next_table(trade, ruled):
    """Circuits of A were those of B, and cleared the outlets tagged B-1."""
    over = [
        ["1", "HALL", "20", ""],
        ["3", "BATH", "20", ""],
        ["5", "KITCHEN", "20", ""],
        ["7", "SUB PANEL B", "60", ""],
    ]
    under = [["1", "BATH", "20", "GFCI"], ["3", "HALL", "20", ""], ["5", "DEN", "20", ""], ["7", "BED", "20", ""]]
    # The load stands right of the next table's title, over the headers of its second half.
    wide = [("CKT", 40), ("BKR", 90), ("TYPE", 70), ("DESCRIPTION", 150)]
    top = trade.draw(wide, [[c, a, t, d] for c, d, a, t in over], "PANEL C", ruled=ruled)
    low = trade.draw([*PLAIN, *PLAIN], [[*row, str(int(row[0]) + 1), *row[1:3], ""] for row in under], "PANEL A",
                     (100.0, 205.0), ruled=ruled)  # fmt: skip
    panels = read_panels(trade.sheet(top, low))
    assert [panel.name for panel in panels] == ["C", "A"]
    assert answers(panels[1])["1"] is YES


def test_a_note_that_makes_the_breaker_gfci_against_its_column_is_a_question(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("BKR", 40), ("NOTES", 60), ("GFCI", 40)]
    rows = [["1", "BATH", "20", "1", "NO"], ["3", "HALL", "20", "1", ""], ["5", "DEN", "20", "", "NO"],
            ["7", "BED", "20", "", ""]]  # fmt: skip
    words, strokes = trade.draw(columns, rows, "PANEL A")
    trade.text(words, 90, 100, 186, "1. PROVIDE GFCI BREAKER")
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert answers(panel) == {"1": UNKNOWN, "3": YES, "5": NO, "7": NO}


def unruled(trade, columns, rows):
    """``columns``: (header, width, side at which its cells stand)."""
    words = []
    edges = 100.0 + np.concatenate([[0], np.cumsum([width for _, width, _ in columns])])
    trade.text(words, 0, 102, 83, "PANEL A", 10.0)
    for i, (head, _, side) in enumerate(columns):
        trade.text(words, 1, (edges[i] + edges[i + 1]) / 2, 107, head, align="middle")
        at = edges[i] + 2 if side == "left" else edges[i + 1] - 2
        for r, cells in enumerate(rows):
            trade.text(words, 10 + r, at, 125 + 18 * r, cells[i], align=side)
    return words


def test_poles_in_the_place_of_a_key_are_no_key(trade):
    columns = [("CKT", 37, "right"), ("LOAD VA", 44, "right"), ("POLE", 46, "right"), ("BKR TYPE", 100, "left"),
               ("DESCRIPTION OF LOAD", 161, "left"), ("BKR", 42, "right")]  # fmt: skip
    rows = [["1", "#12", "1", "", "SPARE", "20A"], ["2", "1500", "1", "", "LIVING", "20"],
            ["3", "1500", "1", "DF", "BATH RECEPTS", "20A"],
            ["4", "180", "1", "AFCI/GFCI", "LTG", "20"]]  # fmt: skip
    words = unruled(trade, columns, rows)
    trade.text(words, 90, 100, 204, "1. PROVIDE GFCI BREAKER.")
    (panel,) = read_panels(trade.sheet((words, [])))
    assert answers(panel)["1"] is not YES and answers(panel)["2"] is not YES


def test_a_mark_that_a_column_cuts_from_its_other_words_is_a_question(trade):
    """GFCI | AT RECEPT: only the first word fell into the column, and was the breaker's mark."""
    columns = [("AMPS", 80, "left"), ("TYPE", 96, "right"), ("LOAD VA", 120, "left"), ("SERVES", 130, "right"),
               ("POLES", 60, "left"), ("NO.", 40, "left")]  # fmt: skip
    rows = [["20A", "SEE GFCI", "180", "LIVING", "1", "1"], ["", "LOCK-ON", "", "SPACE", "", "3"],
            ["15", "GFCI AT RECEPT", "1200", "WASHER", "1", "5"], ["20A", "CAFCI/GFCI", "1200", "BATH", "1", "7"],
            ["20A", "GFCI", "180", "DEN", "1", "9"]]  # fmt: skip
    (panel,) = read_panels(trade.sheet((unruled(trade, columns, rows), [])))
    assert answers(panel)["5"] is not YES


@pytest.mark.parametrize("ruled", [True, False])
def test_ticks_at_the_side_of_their_column_are_not_lost(trade, ruled):
    """A wide outer column whose ticks stand far from its header: the rows were plainly not GFCI."""
    columns = [("GFI", 84), ("TRIP", 60), ("DESCRIPTION", 150), ("CKT", 40)]
    rows = [["X", "20", "BATH", "1"], ["", "20", "HALL", "3"], ["X", "20", "DEN", "5"], ["", "20", "BED", "7"]]
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A", ruled=ruled)))
    got = answers(panel)
    assert got["3"] is got["7"] is NO
    assert got["1"] is got["5"] and got["1"] is not NO
    if ruled:
        assert got["1"] is YES


def test_a_tick_that_fell_into_the_description_is_a_question(trade):
    columns = [("CKT", 40), ("VA", 50), ("DESCRIPTION", 150), ("GFCI", 40), ("BKR", 40)]
    rows = [["1", "180", "BATH", "", "20"], ["3", "180", "X HALL", "", "20"], ["5", "180", "DEN", "X", "20"],
            ["7", "180", "BED", "", "20"]]  # fmt: skip
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A")))
    assert answers(panel) == {"1": NO, "3": UNKNOWN, "5": YES, "7": NO}


def test_tables_side_by_side_that_differ_are_parted_where_their_halves_are_alike(trade):
    """The first column of the right table was the last of the left one, and its marks cleared that one's rows."""
    left = [("CKT", 40), ("BKR", 40), ("DESCRIPTION", 120), ("DESCRIPTION", 120), ("BKR", 40), ("CKT", 40)]
    right = [("GFCI", 40), ("DESCRIPTION", 120), ("BKR", 40), ("CKT", 40), ("CKT", 40), ("BKR", 40),
             ("DESCRIPTION", 120), ("GFCI", 40)]  # fmt: skip
    a = [[str(k), "20", "HALL", "DEN", "20", str(k + 1)] for k in (1, 3, 5, 7)]
    b = [["X" if k < 4 else "", "BATH", "20", str(k), str(k + 1), "20", "BATH", ""] for k in (1, 3, 5, 7)]
    drawn = (trade.draw(left, a, "PANEL A", ruled=False, align="middle"),
             trade.draw(right, b, "PANEL B", (540.0, 100.0), ruled=False, align="middle"))  # fmt: skip
    one, two = read_panels(trade.sheet(*drawn))
    assert (one.name, two.name) == ("A", "B")
    assert set(answers(one).values()) == {NO}
    assert answers(two)["5"] is NO and answers(two)["1"] is not NO


def test_the_first_row_beside_a_header_of_two_lines_is_read(trade):
    """The words of a row that stood as high as the other table's header were lost, its mark among them."""
    rows = [["1", "BATH", "20", "GFCI"], ["3", "HALL", "20", ""], ["5", "DEN", "20", ""], ["7", "BED", "20", ""]]
    tall = [("|VA", 40), ("|CKT", 40), ("|DESCRIPTION", 150), ("BKR||AMPS", 40), ("|TYPE", 70)]
    drawn = (trade.draw(tall, [["180", *row] for row in rows], "PANEL B", (60.0, 100.0), heads=3, pitch=12),
             trade.draw(PLAIN, rows, "PANEL A", (560.0, 100.0), pitch=16))  # fmt: skip
    panels = {panel.name: answers(panel) for panel in read_panels(trade.sheet(*drawn))}
    assert panels["A"] == {"1": YES, "3": NO, "5": NO, "7": NO}


def test_the_mark_of_a_second_pole_and_a_mark_beside_a_number_are_questions(trade):
    columns = [("CKT", 70), ("DESCRIPTION", 150), ("AMPS", 40), ("POLES", 40), ("GFCI", 50)]
    rows = [["1", "RANGE", "50", "2", ""], ["3", "", "", "", "X"], ["5 GFCI", "HALL", "20", "1", ""],
            ["9", "DEN", "20", "1", ""], ["7", "BED", "20", "1", ""]]  # fmt: skip
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A")))
    assert answers(panel) == {"1": UNKNOWN, "3": UNKNOWN, "5": UNKNOWN, "9": NO, "7": NO}


def test_a_lone_header_of_circuits_is_no_crash(trade):
    """NO. under CKT, as high as the other table's header, was a half of one header and failed the whole sheet."""
    rows = [["1", "BATH", "20", "GFCI"], ["3", "HALL", "20", ""], ["5", "DEN", "20", ""], ["7", "BED", "20", ""]]
    tall = [("CKT||NO.", 40), ("|DESCRIPTION", 150), ("|BKR", 40), ("|TYPE", 70)]
    drawn = (trade.draw(PLAIN, rows, "PANEL A", (100.0, 124.0), ruled=False),
             trade.draw(tall, rows, "PANEL B", (460.0, 101.0), heads=3, pitch=12, ruled=False))  # fmt: skip
    found = [answers(panel) for panel in read_panels(trade.sheet(*drawn))]
    assert all(answer is not YES for each in found for number, answer in each.items() if number != "1")


def test_a_ruled_table_takes_no_column_of_the_one_beside_it(trade):
    """NOTE 1 of the right table was a note of the left one's row, and the note below made its breaker GFCI."""
    left = [("KVA", 40), ("P", 40), ("LOAD", 120), ("BKR", 40), ("CKT", 40), ("CKT", 40), ("BKR", 40),
            ("LOAD", 120), ("P", 40), ("KVA", 40)]  # fmt: skip
    right = [("NOTES", 70), ("BKR", 40), ("LOAD", 120), ("CKT", 40)]
    a = [["180", "1", "DEN", "20", str(k), str(k + 1), "20", "HALL", "1", "180"] for k in (1, 3, 5, 7)]
    b = [["NOTE 1" if k == 7 else "", "20", "BATH", str(k)] for k in (1, 3, 5, 7)]
    drawn = trade.draw(left, a, "PANEL A"), trade.draw(right, b, "PANEL B", (720.0, 100.0))
    trade.text(drawn[1][0], 90, 720, 186, "1. PROVIDE GFCI BREAKER")
    one, two = read_panels(trade.sheet(*drawn))
    assert set(answers(one).values()) == {NO}
    assert answers(two)["7"] is YES


def test_a_mark_beside_a_space_is_no_breaker(trade):
    """The place of a breaker that is not there cleared the outlet that is tagged with it."""
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("BKR", 40), ("TYPE", 70)]
    rows = [["1", "SPACE", "", "GFCI"], ["3", "CRAWL SPACE", "20", "GFCI"], ["5", "SPARE", "20", "GFCI"],
            ["7", "FUTURE BATH", "20", "GFCI"], ["9", "HALL", "20", ""]]  # fmt: skip
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A")))
    assert answers(panel) == {"1": UNKNOWN, "3": YES, "5": YES, "7": UNKNOWN, "9": NO}


def test_where_words_of_one_table_stand_in_another_none_of_its_halves_is_sure(trade):
    """Only the half that held them was doubted; the other, of the table beside it, cleared the outlets tagged A1-1.

    What is left of two unruled tables (seed 2273 of random schedules): a legend at the height of the left table's
    header joins that header to the right one's title.
    """
    words = []
    for x, y, value in (
        (823, 130, "BKR"), (1127, 130, "BKR"), (1806, 134, "NOTES:"), (1806, 148, "ABBREVIATIONS"),
        (570, 140, "CIR"), (618, 140, "POLE"), (704, 140, "LOAD SERVED"),
        (874, 140, "CIR"), (922, 140, "POLE"), (1008, 140, "LOAD SERVED"), (821, 150, "AMPS"), (1125, 150, "AMPS"),
        (1501, 160, "2"), (1551, 160, "1"), (552, 170, "1"), (605, 170, "1"), (652, 170, "GARAGE - GFCI BKR"),
        (1275, 256, '"'), (1195, 272, "15"), (1448, 272, "20"), (1195, 288, "17"), (1247, 288, "1"),
        (1275, 288, "KITCHEN (GFCI BREAKER)"), (1448, 288, "20"), (1752, 288, "20"), (856, 290, "14"),
        (956, 290, "SPACE"),
    ):  # fmt: skip
        trade.text(words, 1, float(x), float(y), value)
    trade.text(words, 0, 1175.0, 100.8, "PANEL 'A1'", 10.0)
    (panel,) = read_panels(trade.sheet((words, [])))
    assert any("another table" in problem for problem in panel.problems)
    assert set(answers(panel).values()) == {UNKNOWN}


CLOSE = [("CKT NO", 28), ("DESCRIPTION", 52), ("BKR", 40), ("TYPE", 70)]


@pytest.mark.parametrize(
    "heads",
    [CLOSE, [("CKT", 18), ("DESCRIPTION", 52), *CLOSE[2:]], [("NO", 11), ("LOAD SERVED", 52), *CLOSE[2:]],
     [("CKT NO", 28), ("CIRCUIT DESCRIPTION", 86), *CLOSE[2:]]],
)  # fmt: skip
def test_headers_of_circuit_and_load_that_stand_close_are_two(trade, heads):
    """CKT NO DESCRIPTION was one column of loads, so that the left half had no circuits: its breakers and marks
    were read into the rows of the right half, and cleared the outlets of its circuits."""
    rows = [[str(k), "HALL", "20", "GFCI", "", "20", "BATH", str(k + 1)] for k in range(1, 12, 2)]
    columns = [*heads, ("TYPE", 70), ("BKR", 40), ("LOAD", 120), ("CKT", 40)]
    for ruled in (True, False):
        (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A", ruled=ruled)))
        read = answers(panel)
        assert [read[str(k)] for k in range(1, 13)] == [YES, NO] * 6


def test_rows_with_two_breakers_are_of_two_tables(trade):
    """Words between two headers hid a half: the marks of its rows were read as those of the other half's."""
    columns = [*PLAIN[:2], ("TYPE", 60), ("BKR", 40), ("NR AND LOADS", 120), ("TYPE", 60), ("BKR", 40)]
    rows = [[str(k), "HALL", "", "20/1", f"{k + 1} BATH", "GFCI", "20/1"] for k in range(1, 12, 2)]
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A", ruled=False)))
    assert set(answers(panel).values()) == {UNKNOWN}
