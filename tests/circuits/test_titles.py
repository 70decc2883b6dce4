"""Whose title is whose: over a table or under it, of one panel or several, of a table that was not read."""

from __future__ import annotations

import pytest

from cordpath.circuits import protection_of, read_panels
from cordpath.circuits.panels.headings import panel_name
from cordpath.model import Answer

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
COLUMNS = [("CKT", 30), ("DESCRIPTION", 150), ("AMP", 36), ("P", 20), ("TYPE", 70)]
FIRST = [[str(n), "BATH", "20", "1", "GFCI" if n == 1 else ""] for n in (1, 3, 5, 7)]
SECOND = [[str(n), "DEN", "20", "1", "GFCI" if n == 3 else ""] for n in (1, 3, 5, 7)]


def titled(trade, y, value):
    words = []
    trade.text(words, 0, 100, y, value, 10)
    return words, []


def shown(trade, tags, *drawn):
    panels = read_panels(trade.sheet(*drawn))
    return [protection_of(trade.outlet(tag), panels).shown for tag in tags]


@pytest.mark.parametrize("second", ["PANEL B SCHEDULE", "PANEL B"])
def test_titles_under_their_tables(trade, second):
    """The second table had the first one's name, and its breakers cleared the other's outlets."""
    drawn = (
        trade.draw(COLUMNS, FIRST), titled(trade, 190, "PANEL A SCHEDULE"),
        trade.draw(COLUMNS, SECOND, origin=(100, 240)), titled(trade, 330, second),
    )  # fmt: skip
    assert shown(trade, ["A-1", "A-3", "B-1", "B-3"], *drawn) == [YES, NO, NO, YES]


def test_titles_under_tables_whose_first_column_is_wide(trade):
    """The title at the left edge stood beside the first header, and was the next table's."""
    columns = [("DESCRIPTION", 220), *COLUMNS[:1], *COLUMNS[2:]]
    one, two = ([[d, n, a, p, t] for n, d, a, p, t in rows] for rows in (FIRST, SECOND))
    drawn = (
        trade.draw(columns, one), titled(trade, 190, "PANEL A"),
        trade.draw(columns, two, origin=(100, 240)), titled(trade, 330, "PANEL B"),
    )  # fmt: skip
    assert shown(trade, ["A-1", "A-3", "B-1", "B-3"], *drawn) == [YES, NO, NO, YES]


def test_titles_under_tables_side_by_side(trade):
    left, right = trade.draw(COLUMNS, FIRST), trade.draw(COLUMNS, SECOND, origin=(430, 104))
    for (words, _), x, name in ((left, 100, "PANEL A"), (right, 430, "PANEL SCHEDULE: B")):
        trade.text(words, 0, x, 240 if name == "PANEL A" else 192, name, 10)
    assert shown(trade, ["B-1", "B-3"], left, right) == [NO, YES]
    assert YES not in shown(trade, ["A-3"], left, right)


def test_a_title_halfway_between_two_tables_is_either_s(trade):
    drawn = (
        trade.draw(COLUMNS, FIRST), titled(trade, 195, "PANEL A SCHEDULE"),
        trade.draw(COLUMNS, SECOND, origin=(100, 220)),
    )  # fmt: skip
    assert shown(trade, ["A-1", "A-3", "A-5"], *drawn) == [UNKNOWN, UNKNOWN, NO]
    (why,) = {each for panel in read_panels(trade.sheet(*drawn)) for each in panel.problems}
    assert why == "'PANEL A SCHEDULE' may be the title of the table over it or of that under it"


def test_a_title_close_over_its_table_is_its_own(trade):
    drawn = trade.draw(COLUMNS, FIRST), trade.draw(COLUMNS, SECOND, "PANEL A SCHEDULE", origin=(100, 260))
    assert shown(trade, ["A-1", "A-3"], *drawn) == [NO, YES]


def test_the_name_again_under_its_table_is_no_other_table(trade):
    panels = read_panels(trade.sheet(trade.draw(COLUMNS, FIRST, "PANEL A"), titled(trade, 190, "PANEL A SCHEDULE")))
    assert [(panel.name, panel.problems) for panel in panels] == [("A", ())]


@pytest.mark.parametrize(
    "title", ["PANEL A & B", "PANELS A AND B", "PANEL 'A' & 'B' SCHEDULE", "PANEL A & PANEL B"]
)
def test_a_title_of_two_panels_is_neither_alone(trade, title):
    assert panel_name(title).replace("AND", "&") == "A & B"
    drawn = trade.draw(COLUMNS, FIRST, title)
    assert shown(trade, ["A-1", "B-1"], drawn) == [UNKNOWN, UNKNOWN]


def test_a_heading_over_headers_that_could_not_be_read_is_told(trade):
    """Nothing was said of it, and its circuits were those without GFCI breakers."""
    unread = trade.draw([("CKT", 40), ("WHAT", 150), ("AMP", 40)], [["1", "BATH", "20"]], "PANEL A", (100, 300))
    (panel,) = read_panels(trade.sheet(unread))
    assert (panel.rows, len(panel.problems)) == ((), 1)
    assert shown(trade, ["A-1"], unread) == [UNKNOWN]
    assert shown(trade, ["A-1"], trade.draw(COLUMNS, FIRST, "PANEL A"), unread) == [UNKNOWN]
    unread = trade.draw(
        [("NR", 20), ("POLE", 50), ("TRIP", 50), ("WHAT", 90)], [["1", "1", "20", "BATH"]], "PANEL A"
    )
    assert shown(trade, ["A-1"], unread) == [UNKNOWN]


def test_a_list_beside_the_upper_line_of_a_header(trade):
    """A panel schedule was lost in silence where a word of a legend stood as high as CKT over NO."""
    columns = [("DESCRIPTION", 150), ("AMP", 36), ("TYPE", 70), ("CKT|NO.", 40)]
    rows = [[d, a, t, n] for n, d, a, _, t in FIRST]
    words, strokes = trade.draw(columns, rows, "PANEL A", heads=1)
    for k, head in enumerate(("CKT", "NO.")):
        trade.text(words, 1 + k, 376, 103 + 9 * k, head, align="middle")
    words = [w for w in words if w.text != "CKT" or w.box[1] == 99.0]
    for k, value in enumerate(("GFI GROUND FAULT", "ABBREVIATIONS")):
        trade.text(words, 1 + k, 480, 103 + 9 * k, value)
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert [(row.circuits, row.gfci) for row in panel.rows][:2] == [(("1",), YES), (("3",), NO)]


def test_a_list_beside_between_the_lines_of_a_header(trade):
    """A ruled panel schedule was lost, and not told: a word of the list stood between CKT and the other headers."""
    columns = [("DESCRIPTION", 150), ("AMP", 36), ("TYPE", 70), ("CKT", 40)]
    words, strokes = trade.draw(columns, [[d, a, t, n] for n, d, a, _, t in FIRST], "PANEL A", pitch=20)
    for at, value in ((101, "CKT"), (119, "NO.")):
        trade.text(words, 1, 376, at, value, align="middle")
    words = [w for w in words if w.text != "CKT" or w.box[1] == 97.0]
    for k, value in enumerate(("X EXISTING", "DISHWASHER", "AFCI BREAKER")):
        trade.text(words, 50 + k, 420, 90 + 15.5 * k, value)
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert [row.gfci for row in panel.rows] == [YES, NO, NO, NO]


def test_a_mark_that_runs_up_to_the_numbers_of_the_half_beside_it(trade):
    """Without rulings it stood beside the right half's number, and the left one's breaker was plain."""
    rows = [
        [str(n), "1", "BATH", "20", "180", "", str(n + 1), "1", "DEN", "20", "180", ""] for n in range(1, 12, 2)
    ]
    columns = [
        ("CKT #", 50),
        ("POLES", 51),
        ("DESCRIPTION OF LOAD", 162),
        ("AMPS", 49),
        ("WIRE", 50),
        ("PROT.", 86),
    ]
    words, strokes = trade.draw(columns * 2, rows, "PANEL P", ruled=False)
    for row, mark in ((2, "AFCI"), (3, "1"), (5, "DF")):
        trade.text(words, 10 + row, 100 + 448 - 2, 114 + 14 * (row + 0.5), mark, align="right")
    (panel,) = read_panels(trade.sheet((words, strokes)))
    marked = {row.circuits[0]: row.gfci for row in panel.rows}
    assert [marked["7"], marked["11"]] == [UNKNOWN, UNKNOWN]
    assert YES not in (marked["8"], marked["12"])
    assert [marked[str(n)] for n in (1, 2, 3, 4, 9)] == [NO] * 5
