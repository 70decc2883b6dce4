"""Loads of a panel schedule that no outlet carries."""

from __future__ import annotations

import pytest

from cordpath.circuits import unserved
from cordpath.circuits.unserved import is_load
from cordpath.model import Answer, Label, Panel, PanelRow, Unexplained


def panel(*rows: tuple[str, str], name: str = "A") -> Panel:
    made = (
        PanelRow(tuple(circuit.split("/")), said, None, 20.0, Answer.NO, Answer.NO, said) for circuit, said in rows
    )
    return Panel(name, tuple(made), "E-601")


LOADS = panel(
    ("1", "KITCHEN RECEPTACLES"), ("3", "BATH RECEPT"), ("5", "LIGHTING"), ("6/8", "DRYER"), ("7", "SPARE"),
    ("9", "FURNACE"), ("11", "WASHER"),
)  # fmt: skip


def said(trade, *tags: str | None, panels: tuple[Panel, ...] = (LOADS,), left: tuple[Unexplained, ...] = ()):
    return [each.what for each in unserved(tuple(trade.outlet(tag) for tag in tags), panels, left)]


def test_a_load_that_no_outlet_carries_is_told(trade):
    (what,) = said(trade, "A-1", "A-3", "A-11")
    assert what.startswith(
        "panel A lists loads that no outlet of the sheets read carries: 6/8 DRYER; are their outlets"
    )


@pytest.mark.parametrize("tag", ["A-6,8", "A-6", "A-8", "A6", "8"])
def test_a_load_that_an_outlet_carries_is_not_told(trade, tag):
    assert not said(trade, "A-1", "A-3", "A-11", tag)


def test_a_label_without_a_symbol_is_told_by_itself(trade):
    left = (Unexplained("an A-6,8 label with no symbol near", ((1.0, 1.0),), is_label=True),)
    assert not said(trade, "A-1", "A-3", "A-11", left=left)


def test_a_tag_that_may_be_a_neighbours_carries_its_circuit(trade):
    outlets = tuple(trade.outlet(tag) for tag in ("A-1", "A-3", "A-11"))
    unsure = trade.outlet(labels=[Label("A-6,8", (0, 0), (("circuit_unsure", "A-6,8"),))])
    assert not unserved((*outlets, unsure), (LOADS,))


def test_the_same_number_of_another_panel_carries_nothing(trade):
    assert len(said(trade, "A-1", "A-3", "A-11", "B-6,8")) == 1


@pytest.mark.parametrize(
    "tags",
    [
        ("A-1", None, None),  # outlets without tags
        ("A-1", "A-3", "A-11", None),  # the dryer's outlet may be the one without a tag
        ("B-1", "B-3"),  # the outlets of this panel are on another sheet
        ("A-1", "A-5"),
        (),
    ],
)
def test_where_tags_tell_nothing_nothing_is_told(trade, tags):
    assert not said(trade, *tags)


@pytest.mark.parametrize(
    ("description", "load"),
    [
        ("LTS & RECEPTS", True), ("DRYER", True), ("RANGE", True), ("REFRIG.", True), ("GARAGE DOOR OPENER", True),
        ("DW", True), ("DISPOSAL", True), ("LIGHTING", False), ("A/C CONDENSER", False), ("SPARE", False),
        ("SPACE", False), ("", False), ("WATER HEATER", False), ("RANGE HOOD", False), ("ORANGE ROOM LTS", False),
        ("SMOKE DETECTORS", False),
    ],
)  # fmt: skip
def test_what_stands_on_a_cord(description, load):
    assert is_load(description) is load
