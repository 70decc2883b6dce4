"""What a panel is called, by the heading over its schedule."""

from __future__ import annotations

import pytest

from cordpath.circuits import protection_of, read_panels
from cordpath.circuits.panels.headings import is_rating, is_titled, panel_name
from cordpath.model import Answer


# Headings as US and Canadian schedules have them; DB is a distribution board; common practice, no source.
@pytest.mark.parametrize(
    ("heading", "name"),
    [("PANEL A", "A"), ("PANEL 'LP1' SCHEDULE", "LP1"), ("PANELBOARD LP-1 120/240V", "LP-1"),
     ("MAIN PANEL", "MAIN"),
     ("DB C", "C"), ("DB C SCHEDULE", "C"), ("DISTRIBUTION BOARD 'DB1'", "DB1"), ("PANEL SCHEDULE: B", "B"),
     ("PANEL NO. A", "A"), ("PANEL SCHEDULE CONT'D", ""), ("PANEL SCHEDULE (CONT.)", ""),
     ("PNL. A", "A"), ("PANEL BOARD A", "A"),
     ("PANEL A CONTINUED FROM E-201", "A"), ("DBL OVEN", None), ("DB", ""), ("KITCHEN", None)],
)  # fmt: skip
def test_the_name_in_a_heading(heading: str, name: str | None) -> None:
    """DB C had no title, and the tags C-1 of its outlets led to no schedule."""
    assert panel_name(heading) == name
    assert is_titled(heading) is ("SCHED" in heading)


@pytest.mark.parametrize("heading", ["PANEL SCHEDULE NOTES:", "PANEL SCHEDULE LEGEND"])
def test_notes_about_panels_are_no_panel(heading: str) -> None:
    """They counted as a panel that was not read, and outlets tagged 1 on the only panel were asked about."""
    assert panel_name(heading) is None


@pytest.mark.parametrize("heads", [("", "", "", ""), ("NR", "WHAT", "SIZE?", "SORT")])
def test_rows_under_a_heading_without_headers_that_are_known_are_a_panel_that_was_not_read(trade, heads):
    """The 1 of an outlet was circuit 1 of the other panel for certain, and its breaker protected it; B-1 was
    missing protection for certain where B is the only panel."""
    columns, rows = TABLE
    read = trade.draw(columns, rows, "PANEL A")
    unread = trade.draw([(head, width) for head, (_, width) in zip(heads, columns, strict=True)], rows,
                        "SUB-PANEL B", origin=(700.0, 100.0))  # fmt: skip
    both = read_panels(trade.sheet(read, unread))
    assert [(panel.name, bool(panel.rows), panel.headed) for panel in both] == [
        ("A", True, False),
        ("B", False, True),
    ]
    assert protection_of(trade.outlet("A-1"), both).shown is Answer.YES
    assert protection_of(trade.outlet("1"), both).shown is Answer.UNKNOWN
    assert protection_of(trade.outlet("B-1"), read_panels(trade.sheet(unread))).shown is Answer.UNKNOWN


TABLE = [[("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("TYPE", 90)],
         [[str(n), "BATH", "20", "GFCI"] for n in (1, 3, 5, 7)]]  # fmt: skip


@pytest.mark.parametrize(
    ("heading", "under", "stands"),
    [("PANEL A", "", True), ("EXISTING PANEL A", "", True), ("PANEL NO. A", "", True),
     ("PANEL A", "100A MLO", True), ("PANEL A (CONT.)", "", True),
     ("PANEL A - DEMOLITION", "", False), ("EXISTING PANEL A TO BE REMOVED", "", False),
     ("PANEL A SCHEDULE - ALTERNATE 2", "", False), ("ALT. 2: PANEL A", "", False), ("PANEL A - VOID", "", False),
     ("PANEL A FOR REFERENCE ONLY", "", False), ("PANEL A", "(TO BE REMOVED)", False)],
)  # fmt: skip
def test_a_panel_that_may_not_be_built_protects_nothing(trade, heading, under, stands):
    """Schedules of demolition and of alternates cleared the outlets of their circuits."""
    words, strokes = trade.draw(*TABLE, heading)
    if under:
        trade.text(words, 1, 102, 93, under)
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert {row.gfci for row in panel.rows} == {Answer.YES if stands else Answer.UNKNOWN}


@pytest.mark.parametrize(
    ("text", "rated"),
    [("120/240V, 1PH, 3W", True), ("200A MCB", True), ("22K AIC", True), ("10,000 A", True), ("20", False),
     ("LOAD", False), ("A", False), ("2 POLE", False)],
)  # fmt: skip
def test_what_a_panel_is_rated_is_no_header(text: str, rated: bool) -> None:
    """22K AIC over the headers was a column between two of them, with descriptions in it."""
    assert is_rating(text) is rated
