"""Panels that digits name: 112 as circuit 12 of panel 1, and 18 that may be circuit 8 of it."""

from __future__ import annotations

import dataclasses

import pytest
from tests.rules.records import reading

from cordpath.circuits import shown_protections, spelt_out
from cordpath.model import Answer, Label

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
PLACES = {str(number): NO for number in range(1, 21)}


def told(trade, tags, panels):
    outlets = tuple(trade.outlet(tag, f"E.{k}") for k, tag in enumerate(tags))
    page = spelt_out({1: dataclasses.replace(reading(), outlets=outlets)}, panels)[1]
    return [(each.shown, each.circuit) for each in shown_protections(page.outlets, panels)]


def test_a_panel_and_its_circuit_without_a_sign(trade):
    """18 had the breaker of circuit 18, and was protected by it."""
    panel = trade.panel("1", {**PLACES, "18": YES, "12": YES})
    got = told(trade, ["112", "114", "120", "18"], (panel,))
    assert got == [(YES, "1-12"), (NO, "1-14"), (NO, "1-20"), (NO, "1-8")]


def test_of_several_panels(trade):
    panels = (trade.panel("1", {**PLACES, "2": YES}), trade.panel("2", {**PLACES, "1": YES}))
    got = told(trade, ["112", "114", "220", "12", "21"], panels)
    assert got[3:] == [(YES, "1-2"), (YES, "2-1")]


def test_numbers_without_a_panel(trade):
    panel = trade.panel("1", {**PLACES, "18": YES})
    assert told(trade, ["7", "8", "9", "18", "11"], (panel,))[3:] == [(YES, "1-18"), (NO, "1-11")]


def test_numbers_without_a_panel_where_there_are_several(trade):
    one, two = trade.panel("1", {}), trade.panel("2", {**PLACES, "9": YES})
    for panels in ((one, two), (dataclasses.replace(one, headed=True), two)):
        assert told(trade, ["9", "7", "8", "14"], panels)[0] == (UNKNOWN, "9")


@pytest.mark.parametrize("tags", [["18"], ["18", "7", "112"], ["18", "11", "12", "13"]])
def test_where_nothing_tells_which_is_meant_both_are(trade, tags):
    panel = trade.panel("1", {**PLACES, "18": YES})
    assert told(trade, tags, (panel,))[0] == (UNKNOWN, "18")
    panel = trade.panel("1", {**PLACES, "8": YES})
    assert told(trade, tags, (panel,))[0] == (UNKNOWN, "18")
    assert told(trade, tags, (trade.panel("1", PLACES),))[0][0] is NO


@pytest.mark.parametrize("headed", [True, False])
def test_a_number_that_nobody_explained(trade, headed):
    """Its outlet was missing protection for certain, although circuit 12 of panel 1 has a GFCI breaker."""
    panels = (trade.panel("1", {**PLACES, "12": YES}), dataclasses.replace(trade.panel("2", {}), headed=headed))
    one, other = (trade.outlet(None, text, labels=[Label(text, (0.0, 0.0))]) for text in ("112", "212"))
    got = shown_protections((one, other), panels)
    assert [each.shown for each in got] == [UNKNOWN, UNKNOWN if headed else NO]
