"""Notes under a schedule that speak of many breakers, and signs in its rows that a note explains."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.circuits import across_parts, read_panels
from cordpath.model import Answer, Fills

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
COLUMNS = [("CKT", 40), ("DESCRIPTION", 150), ("AMP", 50), ("P", 20)]
ROWS = [["1", "BATH", "20", "1"], ["3", "HALL", "15", "1"], ["5", "KITCHEN", "20", "1"], ["7", "SPACE", "", ""]]


def marked(trade, notes, rows=ROWS, title="PANEL A", more=()):
    words, strokes = trade.draw(COLUMNS, rows, title)
    y = 114 + 14 * len(rows) + 14
    for k, note in enumerate(notes):
        trade.text(words, 90 + k, 100, y + 12 * k, note)
    panels = read_panels(trade.sheet((words, strokes), *more))
    return "".join({YES: "Y", NO: "n", UNKNOWN: "?"}[row.gfci] for panel in panels for row in panel.rows)


@pytest.mark.parametrize(
    ("notes", "want"),
    [
        (["ALL BREAKERS GFCI"], "???n"),  # nothing is in a space
        (["NOTES:", "1. ALL 20A BREAKERS SHALL BE GFCI"], "?n?n"),
        (["ALL 15 AND 20A BREAKERS GFCI"], "???n"),
        (["PROVIDE GFCI BREAKERS FOR ALL CIRCUITS EXCEPT CKT 3"], "?n?n"),
        (["CKTS 1, 3 SHALL HAVE GFCI BREAKERS"], "??nn"),
        (["SHADED = GFCI BREAKER"], "???n"),
        (["NO GFCI BREAKERS IN THIS PANEL"], "nnnn"),
        (["ALL GFCI RECEPTACLES TO BE WHITE"], "nnnn"),
        (["GFCI = GROUND FAULT CIRCUIT INTERRUPTER BREAKER"], "nnnn"),
        (["TOTAL GFCI BREAKERS: 4"], "nnnn"),
        (["1. PROVIDE GFCI BREAKER"], "nnnn"),  # the key stands in no row
        (["ALL BREAKERS AFCI"], "nnnn"),
    ],
)
def test_a_note_under_the_schedule_asks_of_the_rows_it_may_speak_of(trade, notes, want):
    """Plain breakers for certain before: every outlet of them was missing protection."""
    assert marked(trade, notes) == want


@pytest.mark.parametrize("place", [0, 1, 2])
@pytest.mark.parametrize(
    ("note", "want"),
    [
        ("* = GFCI BREAKER", "nYnn"), ("* INDICATES GFCI BREAKER", "nYnn"), ("* PROVIDE GFCI BREAKER", "nYnn"),
        ("* GFCI BREAKER NOT REQUIRED", "n?nn"), ("* GFCI RECEPTACLE", "n?nn"), ("* LOCK-ON DEVICE", "nnnn"),
        ("BREAKERS MARKED * ARE GFCI", "n?nn"), ("LOADS AS CONNECTED", "n?nn"),
    ],
)  # fmt: skip
def test_a_sign_in_a_row_is_looked_up(trade, place, note, want):
    rows = [list(row) for row in ROWS]
    rows[1][place] += "*" if place != 1 else " *"
    assert marked(trade, [note], rows) == want


def test_a_number_in_brackets_behind_amperes_is_the_key_of_a_note(trade):
    rows = [list(row) for row in ROWS]
    rows[0][2], rows[2][1] = "20 (1)", "PLUGS (1)"
    assert marked(trade, ["1. PROVIDE GFCI BREAKER"], rows) == "Yn?n"  # PLUGS (1) may be one plug
    assert marked(trade, ["2. PROVIDE GFCI BREAKER"], rows) == "nnnn"


def test_notes_under_the_last_part_of_a_schedule_hold_for_all_of_it(trade):
    rest = [["9", "DEN", "20", "1"], ["11", "BED", "20*", "1"], ["13", "BAR", "20", "1"]]
    first = [["1", "BATH", "20*", "1"], *ROWS[1:]]
    more = trade.draw(COLUMNS, rest, "PANEL A (CONT'D)", origin=(100, 250))
    trade.text(more[0], 95, 100, 320, "* GFCI BREAKER")
    assert marked(trade, [], first, more=[more]) == "YnnnnYn"


@pytest.mark.parametrize("sign", ["°", " §", "¶", "○", " ·", "O"])
def test_a_sign_behind_a_size_that_nothing_explains_is_a_question(trade, sign):
    """Only dots and stars were; behind a ring or a section sign the breaker was plain for certain."""
    rows = [[*ROWS[0][:2], f"20{sign}", "1"], *ROWS[1:]]
    assert marked(trade, [], rows) == "?nnn"


X, Y = 290.0, 121.0  # the left end of the size of the first row, and its middle


def ring(x, y, radius):
    angle = np.linspace(0.0, 2 * np.pi, 13)
    points = np.c_[x + radius * np.cos(angle), y + radius * np.sin(angle)]
    return np.c_[points[:-1], points[1:]].tolist()


@pytest.mark.parametrize(
    ("strokes", "dot", "want"),
    [
        (ring(X + 15, Y - 2, 1.5), None, "?nnn"),
        ([], (X + 15, Y - 2), "?nnn"),
        (ring(X + 6, Y, 6.5), None, "nnnn"),  # around the size
        ([[X + 14, Y, X + 18, Y]], None, "nnnn"),  # a dash
        ([[X + 30, Y - 14, X + 30, Y + 40]], (X + 30, Y), "nnnn"),  # the joint of a bus
    ],
)
def test_a_dot_or_a_ring_drawn_behind_a_size_is_a_question(trade, strokes, dot, want):
    """They were looked for in the columns of marks only."""
    words, ruled = trade.draw(COLUMNS, ROWS, "PANEL A")
    page = trade.sheet((words, [*ruled, *strokes]))
    if dot is not None:
        fill = np.array([shapely.Point(dot).buffer(1.2), None], object)[:1]
        fills = Fills(fill, np.zeros((1, 3)), np.ones(1), np.zeros(1, np.int64), np.zeros(1, np.int64))
        page = replace(page, fills=fills)
    rows = [row for panel in read_panels(page) for row in panel.rows]
    assert "".join({YES: "Y", NO: "n", UNKNOWN: "?"}[row.gfci] for row in rows) == want


def test_the_table_below_is_no_note(trade):
    below = trade.draw([*COLUMNS, ("TYPE", 60)], [[*row, "GFCI"] for row in ROWS], "PANEL B", origin=(100, 205))
    assert marked(trade, [], more=[below]).startswith("nnnn")


def test_figures_in_a_note_under_the_numbers_are_no_circuits(trade):
    """20A was a tandem circuit, and the note not one."""
    assert marked(trade, ["20A BREAKERS SHALL ALL BE GFCI"]) == "?n?n"


def test_the_next_pole_of_a_breaker_that_a_note_speaks_of_is_asked_as_well(trade):
    rows = [["1", "RANGE", "50", ""], ["3", "---", "", ""], ["5", "DEN", "20", ""], ["7", "BAR", "20", ""]]
    assert marked(trade, ["ALL BREAKERS GFCI EXCEPT CKT 5"], rows) == "??n?"


def test_ticks_in_a_column_of_gfci_that_is_of_neither_half(trade):
    """They were nobody's, and both breakers beside them were plain."""
    half = [("CKT", 30), ("DESCRIPTION", 120), ("AMP", 40)]
    rows = [[str(n), "BATH", "20", "X" if n in (1, 5) else "", "20", "DEN", str(n + 1)] for n in (1, 3, 5, 7)]
    words, strokes = trade.draw([*half, ("GFCI", 40), *half[::-1]], rows, "PANEL A")
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert [row.gfci for row in panel.rows] == [UNKNOWN, UNKNOWN, NO, NO] * 2


def test_a_breaker_that_runs_on_in_the_next_part_of_its_schedule(trade):
    """Its second pole, alone in the part below, was a plain breaker."""
    rest = [["9", "---", "", ""], ["11", "BED", "20", "1"], ["13", "", "", ""]]
    first = [*ROWS[:3], ["7", "RANGE *", "50", "2"]]
    more = trade.draw(COLUMNS, rest, "PANEL A (CONT'D)", origin=(100, 250))
    trade.text(more[0], 95, 100, 320, "* GFCI BREAKER")
    assert marked(trade, [], first, more=[more]) == "nnnY?nn"


def test_a_note_under_a_part_on_another_sheet_asks_as_well(trade):
    """A schedule that goes on over sheets: rows of the first were plain for certain, whatever the notes said."""
    first = read_panels(trade.sheet(trade.draw(COLUMNS, ROWS, "PANEL A")))
    words, strokes = trade.draw(COLUMNS, [["9", "DEN", "20", "1"], ["11", "ATTIC", "15", "1"]], "PANEL A (CONT'D)")
    trade.text(words, 90, 100, 156, "ALL 20A BREAKERS GFCI")
    second = read_panels(trade.sheet((words, strokes)))
    other = read_panels(trade.sheet(trade.draw(COLUMNS, ROWS, "PANEL B")))
    found = across_parts((*first, *second, *other))
    assert [[row.gfci for row in panel.rows] for panel in found] == [
        [UNKNOWN, NO, UNKNOWN, NO], [UNKNOWN, NO], [NO] * 4,
    ]  # fmt: skip
    assert any("under another part of it" in problem for problem in found[0].problems)
    assert across_parts(found) == found
