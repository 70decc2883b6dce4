"""Unruled panel schedules side by side whose headers differ in height and in lines; sheets made up, no source."""

from __future__ import annotations

import pytest

from cordpath.circuits import protection_of, read_panels
from cordpath.circuits.panels.halves import in_halves
from cordpath.circuits.panels.words import Text
from cordpath.model import Answer

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
FLAT = [("CIR", 53), ("POLE", 47), ("LOAD SERVED", 156), ("BKR", 48)] * 2
TALL = [("|CIR", 53), ("|POLE", 47), ("|LOAD SERVED", 156), ("BKR|AMPS", 48)] * 2
FULL = [("CKT|NO.", 53), ("|POLE", 47), ("LOAD|SERVED", 156), ("BKR|AMPS", 48)] * 2
RIGHT = 100.0 + sum(width for _, width in FLAT)  # where the right table begins


def rows(first, number=4):
    """Odd circuits at the left, even ones at the right; ``first`` is the load of circuit 1, HALL all others."""
    return [
        [str(2 * k + 1), "1", "HALL" if k else first, "20", str(2 * k + 2), "1", "HALL", "20"]
        for k in range(number)
    ]


def answers(panel):
    return {number: row.gfci for row in panel.rows for number in row.circuits}


@pytest.mark.parametrize("tall", [TALL, FULL])
@pytest.mark.parametrize(("lower", "pitch"), [(2, 14), (18, 14), (20, 14), (17, 11)])
def test_neither_of_two_tables_is_lost(trade, tall, lower, pitch):
    """At 2 pt the left table was not there at all, and circuit 1 of the right one cleared outlets tagged 1."""
    left = trade.draw(FLAT, rows("BATH"), "PANEL A", (100.0, 120.0), pitch=pitch, ruled=False)
    right = trade.draw(tall, rows("KITCHEN - GFCI BKR"), "PANEL B", (RIGHT, 120.0 + lower), heads=2, pitch=12,
                       ruled=False)  # fmt: skip
    panels = read_panels(trade.sheet(left, right))
    by_name = {panel.name: answers(panel) for panel in panels}
    plain = {str(k): NO for k in range(1, 9)}
    assert by_name == {"A": plain, "B": {**plain, "1": YES}}
    assert protection_of(trade.outlet("1"), panels).shown is UNKNOWN


def test_a_title_that_stands_lower_than_the_table_beside_it_names_its_own(trade):
    """Circuits of B that A has not were A's, and cleared outlets tagged with them."""
    left = trade.draw(FLAT, rows("BATH"), "PANEL A", (100.0, 120.0), pitch=11, ruled=False)
    more = [*rows("HALL", 4), ["9", "1", "KITCHEN - GFCI BKR", "20", "10", "1", "HALL", "20"]]
    right = trade.draw(FULL, more, "PANEL B", (RIGHT, 137.0), heads=2, pitch=12, ruled=False)
    panels = read_panels(trade.sheet(left, right))
    assert protection_of(trade.outlet("A-9"), panels).shown is UNKNOWN
    assert protection_of(trade.outlet("B-9"), panels).shown is YES


def test_a_heading_over_headers_without_a_row_that_could_be_read_is_told(trade):
    """PANEL A alone does not promise a table as PANEL A SCHEDULE does; headers under it do."""
    blank = [["", *row[1:4], "", *row[5:]] for row in rows("BATH")]
    lost = trade.draw(FLAT, blank, "PANEL A", (100.0, 120.0))
    read = trade.draw(FLAT, rows("KITCHEN - GFCI BKR"), "PANEL B", (100.0, 400.0))
    panels = {panel.name: panel for panel in read_panels(trade.sheet(lost, read))}
    assert not panels["A"].rows and panels["A"].problems == ("no table could be read under 'PANEL A'",)
    assert protection_of(trade.outlet("1"), tuple(panels.values())).shown is UNKNOWN


@pytest.mark.parametrize(("sign", "want"), [("G", UNKNOWN), ("X", UNKNOWN), ("NO", NO), ("", NO)])
def test_a_sign_that_is_not_known_under_one_of_two_headers_of_gfci_side_by_side_asks(trade, sign, want):
    """A font's dot that is read as a letter: its header was no column's, and the row a plain one for certain."""
    columns = [("CKT", 40), ("LOAD", 120), ("BKR", 36), ("GFCI", 36), ("GFCI", 36), ("BKR", 36), ("LOAD", 120),
               ("CKT", 40)]  # fmt: skip
    body = [[str(2 * k + 1), "HALL", "20", "", "", "20", "HALL", str(2 * k + 2)] for k in range(4)]
    body[1][4] = sign
    panels = read_panels(trade.sheet(trade.draw(columns, body, "PANEL A", ruled=False)))
    assert {number: answer for number, answer in answers(panels[0]).items() if answer is not NO} == (
        {} if want is NO else {"4": want}
    )


def test_a_table_of_one_half_beside_one_of_two_is_parted_by_what_a_half_has_once() -> None:
    one, two = ("CKT", "DESCRIPTION", "AMPS"), ("CKT", "DESCRIPTION", "AMPS", "GFCI")
    names = enumerate((*one, *two, *two[::-1]))
    heads = [Text(name, 50.0 * k, 0.0, 50.0 * k + 40.0, 8.0, 8.0) for k, name in names]
    assert [tuple(head.text for head in half) for half in in_halves(heads)] == [one, two, two[::-1]]


@pytest.mark.parametrize("title", ["PANEL C", "PANEL", "HOUSE"])
def test_a_table_between_two_whose_headers_are_level_keeps_its_title(trade, title):
    """Where the name of the right one was not read, it had that of the middle one, and cleared its outlets."""
    left = trade.draw(FLAT, rows("BATH"), "PANEL A", (100.0, 120.0), ruled=False)
    middle = trade.draw(FLAT, rows("HALL"), "PANEL B", (RIGHT + 60.0, 132.0), ruled=False)
    right = trade.draw(FLAT, rows("KITCHEN - GFCI BKR"), title, (2 * RIGHT + 20.0, 120.0), ruled=False)
    panels = read_panels(trade.sheet(left, middle, right))
    assert [answers(panel)["1"] for panel in panels if panel.name == "B"] == [NO]
    assert protection_of(trade.outlet("B-1"), panels).shown is NO


@pytest.mark.parametrize("kind", ["GFCI", "AFCI", ""])
def test_a_row_of_the_table_beside_that_ends_with_gfci_is_no_header(trade, kind):
    """Of two unruled tables the left one's headers stood as high as the right one's first row: it had its title."""
    columns = [("#", 24), ("DESCRIPTION", 156), ("AMP", 48), ("TYPE", 48)] * 2
    right = 140.0 + sum(width for _, width in columns)

    def body(first):
        return [[str(2 * k + 1), "LAUNDRY", "20", first if not k else "", str(2 * k + 2), "HALL", "20", kind]
                for k in range(4)]  # fmt: skip

    one = trade.draw(columns, body("GFCI"), "PANEL A", (100.0, 131.0), pitch=11, ruled=False)
    two = trade.draw(columns, body(""), "PANEL B", (right, 120.0), pitch=11, ruled=False)
    panels = read_panels(trade.sheet(one, two))
    told = {panel.name: answers(panel)["1"] for panel in panels}
    assert told["A"] is YES and told["B"] is not YES


def test_two_titles_over_one_table_clear_nobody(trade):
    words, strokes = trade.draw(FLAT, rows("KITCHEN - GFCI BKR"), "PANEL A", ruled=False)
    trade.text(words, 0, 400.0, words[0].at[1], "PANEL B", 10.0)
    panels = read_panels(trade.sheet((words, strokes)))
    assert protection_of(trade.outlet("A-1"), panels).shown is UNKNOWN
    assert protection_of(trade.outlet("B-1"), panels).shown is UNKNOWN


def test_a_row_between_two_headers_is_of_the_table_between(trade):
    """No schedule of three was read for certain: the first row of the middle one stood as high as the headers."""
    columns = [("CIR", 24), ("LOAD", 130), ("GFCI", 48), ("AMP", 40), ("PH", 20), ("AMP", 40), ("GFCI", 48),
               ("LOAD", 130), ("CIR", 24)]  # fmt: skip

    def body(mark):
        return [[str(2 * k + 1), "HALL", "", "20", "AB"[k % 2], "20", mark, "HALL", str(2 * k + 2)]
                for k in range(4)]  # fmt: skip

    places = [(20.0, 131.0, "A", "YES"), (570.0, 120.0, "B", ""), (1120.0, 131.0, "C", "YES")]
    drawn = [trade.draw(columns, body(mark), f"PANEL {name}", (x, y), pitch=11, ruled=False)
             for x, y, name, mark in places]  # fmt: skip
    told = {panel.name: answers(panel) for panel in read_panels(trade.sheet(*drawn))}
    assert told["A"]["2"] is YES is told["C"]["2"] and told["B"]["2"] is not YES


def test_a_last_header_gfci_beside_a_row_of_the_next_table_is_a_header(trade):
    """It was taken for a cell of that row, and the rows that have a tick under it were without GFCI for certain."""
    columns = [("#", 24), ("LOAD", 150), ("AMP", 48), ("GFCI", 48)] * 2
    right = 120.0 + sum(width for _, width in columns)
    body = [[str(2 * k + 1), "HALL", "20", "", str(2 * k + 2), "HALL", "20", "" if k else "Y"] for k in range(4)]
    one = trade.draw(columns, body, "PANEL A", (100.0, 131.0), pitch=11)
    two = trade.draw(columns, body, "PANEL B", (right, 120.0), pitch=11)
    told = {panel.name: answers(panel) for panel in read_panels(trade.sheet(one, two))}
    assert told["A"]["2"] is YES
