"""Circuits that a schedule leaves out between others; schedules made up, no source."""

from __future__ import annotations

import dataclasses

import pytest

from cordpath.circuits import protection_of, read_panels
from cordpath.model import Answer

COLUMNS = [("CKT", 40), ("DESCRIPTION", 150), ("POLES", 40), ("BKR", 40)]


@pytest.mark.parametrize(
    ("circuits", "said"),
    [
        ("1 3 15 17", "3 and 15"),
        ("2 4 6 16", "6 and 16"),
        ("1 2 3 9 10 14", "3 and 9, nor between 10 and 14"),
        ("1 3 5 7", None),
        ("1 2 3 4", None),
        ("1 3:2 7 9", None),  # a breaker of two poles told in one row
        (
            "1 2,4:2 3 5 6,8:2 7 9",
            None,
        ),  # in the order of their first pole; 3 and 5 have 4 between them, told above
        ("1 2,4:2 3 9", "4 and 9"),
        ("21 23 35 37", None),  # goes on from another table, or is of a panel's own numbers
    ],
)
def test_numbers_left_out_are_told(trade, circuits, said):
    rows = [[n, "HALL", poles or "1", "20"] for n, _, poles in (c.partition(":") for c in circuits.split())]
    (panel,) = read_panels(trade.sheet(trade.draw(COLUMNS, rows, "PANEL A")))
    told = [problem for problem in panel.problems if problem.startswith("rows may be missing")]
    assert told == ([f"rows may be missing: no circuit stands between {said}"] if said else [])


def test_an_outlet_of_a_row_left_out_asks_and_says_why(trade):
    rows = [[n, "HALL", "1", "20"] for n in ("1", "3", "15", "17")]
    panels = read_panels(trade.sheet(trade.draw(COLUMNS, rows, "PANEL A")))
    for tag in ("A-7", "7"):
        got = protection_of(trade.outlet(tag), panels)
        assert got.shown is Answer.UNKNOWN and "rows may be missing" in got.reasons[0]
    assert protection_of(trade.outlet("A-15"), panels).shown is Answer.NO


@pytest.mark.parametrize(("second", "told"), [("50A 2P", []), ("50A 2P GFCI", ["circuit 2:", "circuit 4:"])])
def test_a_breaker_listed_at_each_of_its_poles_in_a_column_of_all_circuits_is_no_problem(trade, second, told):
    """It was a problem of its row, told with every outlet whose circuit the schedule lacks."""
    rows = [["1", "BATH", "20A 1P"], ["2", "RANGE", "50A 2P"], ["3", "HALL", "20A 1P"], ["4", "RANGE", second]]
    rows += [["5", "DEN", "20A 1P"], ["6", "ATTIC", "20A 1P"]]
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("BREAKER", 90)]
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A")))
    assert [problem[:10] for problem in panel.problems if "poles" in problem] == told


def test_the_problem_of_a_row_is_told_with_the_circuits_that_its_breaker_may_have(trade):
    panel = trade.panel("A", {"1": Answer.NO, "5": Answer.NO})
    short = dataclasses.replace(panel, problems=("circuit 5: 2 poles, but the next circuits read otherwise",))
    lost = {n: protection_of(trade.outlet(f"A-{n}"), (short,)).reasons[0] for n in ("7", "40")}
    assert "2 poles" in lost["7"] and "2 poles" not in lost["40"]
