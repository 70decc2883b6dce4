"""An outlet's voltage against the breaker of its circuit."""

from __future__ import annotations

import pytest

from cordpath.circuits import shown_protections
from cordpath.circuits.misfits import fitted
from cordpath.model import Answer, Label, Panel, PanelRow


def row(circuits: tuple[str, ...], poles: int | None, amperes: float | None, said: str = "RECEPTACLES") -> PanelRow:
    return PanelRow(circuits, said, poles, amperes, Answer.NO, Answer.NO, f"{'/'.join(circuits)} | {said}")


def judged(trade, volts, tag, *rows: PanelRow, also: tuple[Panel, ...] = ()):
    labels = [] if volts is None else [Label(f"{volts:g} V", (0, 0), (("volts", volts),))]
    outlets = (trade.outlet(tag, labels=labels),)
    panels = (Panel("A", rows, "E-601"), *also)
    (outlet,) = fitted(outlets, shown_protections(outlets, panels), panels)
    return outlet.symbol


def test_a_240_volt_outlet_on_a_one_pole_breaker_is_read_wrongly(trade):
    symbol = judged(trade, 240.0, "A-2", row(("2",), 1, 20.0, "BATH RECEPTACLES"))
    assert not symbol.found
    assert "one pole" in symbol.reasons[-1] and "BATH RECEPTACLES" in symbol.reasons[-1]


def test_a_120_volt_outlet_on_a_large_two_pole_breaker_is_read_wrongly(trade):
    symbol = judged(trade, 120.0, "A-2", row(("2", "4"), 2, 50.0, "RANGE"))
    assert not symbol.found and "2 poles of 50 A" in symbol.reasons[-1]


def test_a_tag_of_both_poles_of_a_large_breaker_is_no_120_volt_outlets(trade):
    symbol = judged(trade, 120.0, "A-6,8", row(("6", "8"), 2, 30.0, "DRYER"))
    assert not symbol.found and "2 poles of 30 A" in symbol.reasons[-1]


@pytest.mark.parametrize(
    ("volts", "tag", "rows"),
    [
        (240.0, "A-2", [row(("2", "4"), 2, 30.0)]),
        (120.0, "A-2", [row(("2",), 1, 20.0)]),
        (120.0, "A-2", [row(("2", "4"), 2, 20.0)]),  # two circuits with one neutral
        (240.0, "A-2", [row(("2",), None, 20.0)]),  # the next row may be its second pole, and was not read
        (240.0, "A-2", [row(("2",), None, 20.0), row(("4",), None, 20.0, "")]),
        (240.0, "A-2", [row(("2",), None, 50.0), row(("4",), None, 20.0)]),
        (240.0, "A-2,4", [row(("2",), 1, 20.0), row(("4",), 1, 20.0)]),  # perhaps a row for each pole
        (240.0, "A-2,4", [row(("2", "4"), 2, 30.0)]),
        (120.0, "A-2,4", [row(("2", "4"), 2, 20.0)]),
        (120.0, "A-2,4", [row(("2",), 1, 20.0), row(("4",), 1, 20.0)]),
        (240.0, "A-6", [row(("2",), 1, 20.0)]),
        (None, "A-2", [row(("2",), 1, 20.0)]),
        (240.0, None, [row(("2",), 1, 20.0)]),
    ],
)
def test_what_is_no_contradiction(trade, volts, tag, rows):
    assert judged(trade, volts, tag, *rows).found


def test_without_poles_the_place_of_the_second_one_tells(trade):
    rows = row(("2",), None, 20.0), row(("4",), None, 20.0, "LIGHTING")
    assert not judged(trade, 240.0, "A-2", *rows).found


def test_a_number_without_a_panel_must_contradict_in_all(trade):
    other = Panel("B", (row(("2", "4"), 2, 30.0, "DRYER"),), "E-602")
    assert judged(trade, 240.0, "2", row(("2",), 1, 20.0), also=(other,)).found
    assert not judged(trade, 240.0, "2", row(("2",), 1, 20.0)).found


@pytest.mark.parametrize(("volts", "poles"), [(240.0, None), (125.0, 2)])
def test_a_breaker_without_amperes_contradicts_nothing(trade, volts, poles):
    """Neither one pole above a circuit that follows, nor two poles too large for 120 V."""
    assert judged(trade, volts, "A-2", row(("2",), poles, None), row(("4",), 1, 20.0, "OTHER")).found


def test_a_number_alone_is_held_against_every_panel_that_has_it(trade):
    """It contradicts the outlet only where the circuit of that number does so in each of them."""
    one_pole, two_poles = row(("2",), 1, 20.0), row(("2", "4"), 2, 50.0)
    assert not judged(trade, 240.0, "2", one_pole).found
    assert not judged(trade, 240.0, "2", one_pole, also=(Panel("B", (one_pole,), "E-601"),)).found
    assert judged(trade, 240.0, "2", one_pole, also=(Panel("B", (two_poles,), "E-601"),)).found


@pytest.mark.parametrize(
    ("volts", "rows"),
    [
        (240.0, [row(("2",), None, None), row(("4",), None, 20.0)]),
        (120.0, [row(("2", "4"), 2, None)]),
        (120.0, [row(("2", "4"), None, 50.0)]),
    ],
)
def test_amperes_or_poles_that_were_not_read_contradict_nothing(trade, volts, rows):
    assert judged(trade, volts, "A-2", *rows).found
