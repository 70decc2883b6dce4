"""Columns that an office names in its own way, and cells merged over the poles of a breaker; schedules made up."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cordpath.circuits import read_panels
from cordpath.model import Answer, Word

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
COLUMNS = [("CKT", 40), ("DESCRIPTION", 150), ("TRIP", 40)]
LOADS = ["BATH", "BEDS", "KITCHEN", "DINING", "GARAGE"]


def ticked(trade, head, ticks, notes=()):
    """The answers of a list whose last column has a header of an office's own."""
    rows = [[str(k + 1), load, "20", tick] for k, (load, tick) in enumerate(zip(LOADS, ticks, strict=True))]
    words, strokes = trade.draw([*COLUMNS, (head, 90)], rows, "PANEL A")
    for k, note in enumerate(notes):
        trade.text(words, 60 + k, 102, 100 + 14 * (len(rows) + 2 + k), note)
    (panel,) = read_panels(trade.sheet((words, strokes)))
    return [row.gfci for row in panel.rows]


@pytest.mark.parametrize("head", ["DUAL FUNCTION", "DUAL-FUNCTION BKR", "DF", "G.F.C.I."])
def test_a_tick_under_a_header_of_dual_function_is_a_mark(trade, head):
    """Each was a question, while DF in a cell of notes was a mark."""
    assert ticked(trade, head, "X-X-X") == [YES, NO, YES, NO, YES]


@pytest.mark.parametrize("mark", ["GFCI", "DF", "GF/AF"])
@pytest.mark.parametrize("last", [True, False])
def test_marks_in_a_ruled_column_without_a_header_are_questions(trade, mark, last):
    """They were no marks for certain, and the outlets of their circuits missing protection."""
    columns = [*COLUMNS, ("", 90)] if last else [("", 90), *COLUMNS]
    rows = [[str(k + 1), load, "20"] for k, load in enumerate(LOADS)]
    rows = [
        [*row, sign] if last else [sign, *row] for row, sign in zip(rows, [mark, "", mark, "", ""], strict=True)
    ]
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A")))
    assert [row.gfci for row in panel.rows] == [UNKNOWN, NO, UNKNOWN, NO, NO]


def test_factors_of_demand_are_no_ticks(trade):
    """DF heads them as well."""
    assert ticked(trade, "DF", ["1.00", "0.8", "65%", "1.0", ""]) == [NO] * 5


@pytest.mark.parametrize("head", ["G", "D"])
def test_a_tick_under_a_header_that_may_be_for_gfci_is_a_question(trade, head):
    """It was no protection for certain."""
    assert ticked(trade, head, "X-X-X") == [UNKNOWN, NO, UNKNOWN, NO, UNKNOWN]


@pytest.mark.parametrize(("head", "cells"), [("G", ["12"] * 5), ("L", "X-X-X"), ("M", "XXXXX")])
def test_ground_wires_and_kinds_of_loads_ask_nothing(trade, head, cells):
    assert ticked(trade, head, cells) == [NO] * 5


@pytest.mark.parametrize(
    ("said", "ticks"),
    [("G = GFCI BREAKER", YES), ("G = GFCI RECEPTACLE AT LOAD", UNKNOWN), ("G = GFCI BREAKER BY OTHERS", UNKNOWN)],
)
def test_the_key_of_a_header_tells_what_its_ticks_are(trade, said, ticks):
    assert ticked(trade, "G", "Y-Y-N", [said]) == [ticks, NO, ticks, NO, NO]


@pytest.mark.parametrize(
    ("said", "marked"),
    [
        ("GF = GROUND FAULT CIRCUIT INTERRUPTER BREAKER, 5 MA", YES),
        ("GF = GROUND FAULT CIRCUIT INTERRUPTER", YES),
        ("GF = GROUND FAULT CIRCUIT INTERRUPTER RECEPTACLE", UNKNOWN),
        ("GF = GROUND FAULT CIRCUIT INTERRUPTER, 30 MA", UNKNOWN),
    ],
)
def test_a_mark_that_its_key_only_spells_out_is_a_mark(trade, said, marked):
    """It was a question whatever the key said."""
    assert ticked(trade, "TYPE", ["GF", "", "GF", "", ""], [said]) == [marked, NO, marked, NO, NO]


def test_ticks_under_a_turned_header_of_gfci_are_questions(trade):
    """The header was not seen, and its ticks were no protection for certain."""
    rows = [[str(k + 1), load, "20", tick, ""] for k, (load, tick) in enumerate(zip(LOADS, "X X X", strict=True))]
    rows = [[cell.strip() for cell in row] for row in rows]
    sheet = trade.sheet(trade.draw([*COLUMNS, ("", 24), ("", 24)], rows, "PANEL A"))
    x = 100 + 230 + 12.0
    turned = Word("GFCI", (x - 4, 98, x + 4, 116), 90.0, 8.0, 99)
    (panel,) = read_panels(replace(sheet, words=(*sheet.words, turned)))
    assert [row.gfci for row in panel.rows] == [UNKNOWN, NO, UNKNOWN, NO, UNKNOWN]
    (panel,) = read_panels(replace(sheet, words=(*sheet.words, replace(turned, text="MOTOR"))))
    assert [row.gfci for row in panel.rows] == [NO] * 5


def three_poles(trade, *rows):
    cells = [[str(1 + 2 * k), load, "30" if load else "", "3" if load else "", mark]
             for k, (load, mark) in enumerate(rows)]  # fmt: skip
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("TRIP", 40), ("POLES", 40), ("TYPE", 60)]
    (panel,) = read_panels(trade.sheet(trade.draw(columns, cells, "PANEL A")))
    return [(row.circuits, row.gfci) for row in panel.rows]


def test_a_three_pole_breaker_written_at_its_middle_pole(trade):
    """Its first pole was a circuit of its own, and the first pole of the next breaker was protected by it."""
    blank = ("", "")
    rows = [blank, ("HEATER", "GFCI"), blank, blank, ("LIFT", ""), blank]
    assert three_poles(trade, *rows) == [(("1", "3", "5"), YES), (("7", "9", "11"), NO)]
    # Written at the first pole, with a blank space before one of them.
    rows = [("HEATER", "GFCI"), blank, blank, blank, ("LIFT", ""), blank, blank]
    assert three_poles(trade, *rows) == [(("1", "3", "5"), YES), (("7",), NO), (("9", "11", "13"), NO)]


def test_one_column_of_notes_beside_two_halves_asks_both(trade):
    """It was taken for a list beside the schedule, and its marks were nobody's."""
    half = [("CKT", 40), ("LOAD", 150), ("BKR", 40)]
    rows = [[str(1 + 2 * k), "LOAD", "20", "20", "LOAD", str(2 + 2 * k), note]
            for k, note in enumerate(["GFCI", "", "AFCI", "", "GFCI"])]  # fmt: skip
    (panel,) = read_panels(trade.sheet(trade.draw([*half, *half[::-1], ("NOTES", 60)], rows, "PANEL A")))
    asked = [row.circuits[0] for row in panel.rows if row.gfci is UNKNOWN]
    assert asked == ["1", "2", "9", "10"] and not any(row.gfci is YES for row in panel.rows)


SIZES = ["20", "20", "20", "20"]


def devices(trade, cells, sizes=None, head="DEVICE"):
    """The answers of a list with a column of devices, and with one of breakers if there are ``sizes``."""
    columns = [("CKT", 40), ("DESCRIPTION", 150), (head, 90), *([("BKR", 50)] if sizes else [])]
    rows = [[str(k + 1), "LOAD", cell, *([size] if size else [])]
            for k, (cell, size) in enumerate(zip(cells, sizes or [""] * len(cells), strict=True))]  # fmt: skip
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A")))
    return [row.gfci for row in panel.rows], [row.amperes for row in panel.rows]


@pytest.mark.parametrize("head", ["DEVICE", "DEVICE AMPS"])
def test_a_device_beside_the_breaker_may_be_the_outlets(trade, head):
    """GFCI under DEVICE was the breaker's for certain, though BKR stands beside it."""
    got, amperes = devices(trade, ["GFCI", "DUPLEX", "20A GFCI", ""], SIZES, head)
    assert got == [UNKNOWN, NO, UNKNOWN, NO] and amperes == [20.0] * 4


@pytest.mark.parametrize(
    ("cells", "want"),
    [
        (["20A GFCI", "20A", "20A", "15A"], [YES, NO, NO, NO]),
        (["20/1 GFCI", "20/1", "20/1", "15/1"], [YES, NO, NO, NO]),
        (["GFCI", "20A", "20A", "15A"], [UNKNOWN, NO, NO, NO]),
        (["20A GFCI", "DUPLEX", "SWITCH", "DUPLEX"], [UNKNOWN, NO, NO, NO]),
    ],
)
def test_a_column_of_devices_is_the_breakers_where_all_its_cells_are_written_as_breakers(trade, cells, want):
    assert devices(trade, cells)[0] == want


@pytest.mark.parametrize(
    ("cells", "want"),
    [(["GF", "FF", "GFCI", ""], [UNKNOWN, NO, YES, NO]), (["GF", "1F", "GF", "2F"], [UNKNOWN, NO, UNKNOWN, NO]),
     (["GF", "AF", "DF", ""], [YES, NO, YES, NO])],
)  # fmt: skip
def test_gf_beside_the_letters_of_other_floors_may_be_the_ground_floor(trade, cells, want):
    """It was a GFCI breaker for certain."""
    assert ticked(trade, "TYPE", [*cells, ""])[:4] == want


@pytest.mark.parametrize(("other", "want"), [("FF", UNKNOWN), ("AF", YES)])
def test_ticks_under_gf_beside_a_column_of_another_floor_are_questions(trade, other, want):
    rows = [[str(k + 1), load, "20", "X" if k % 2 else "", "" if k % 2 else "X"] for k, load in enumerate(LOADS)]
    words = trade.draw([*COLUMNS, (other, 40), ("GF", 40)], rows, "PANEL A")
    (panel,) = read_panels(trade.sheet(words))
    assert [row.gfci for row in panel.rows][::2] == [want] * 3


@pytest.mark.parametrize(
    ("head", "cells", "want"),
    [("TYPE", ["GFCI", "DUPLEX", "", "GFCI", ""], UNKNOWN), ("TYPE", ["GFCI", "LTG", "REC", "", ""], UNKNOWN),
     ("TYPE", ["GFCI", "AFCI", "TANDEM", "", ""], YES), ("BKR TYPE", ["GFCI", "WP", "", "", ""], YES),
     ("REMARKS", ["GFCI", "WP", "", "", ""], YES), ("TYPE", ["GFCI BREAKER", "LTG", "", "", ""], YES)],
)  # fmt: skip
def test_gfci_among_kinds_of_outlets_and_loads_may_be_a_receptacle(trade, head, cells, want):
    """GFCI under TYPE was the breaker for certain among DUPLEX and LTG."""
    assert ticked(trade, head, cells)[0] is want
