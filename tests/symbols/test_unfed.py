"""Appliances with no outlet near them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from cordpath.model import Kind, Scale, Symbol, SymbolEntry, Unexplained
from cordpath.symbols.unexplained.unfed import unfed

SCALE = (Scale("v1", 48.0, "note", "", "single"),)
FOOT = 18.0  # pt at 1/4 in = 1 ft


def symbol(kind: Kind, x_ft: float, y_ft: float, half_ft: float = 0.3, found: bool = True) -> Symbol:
    x, y, half = x_ft * FOOT, y_ft * FOOT, half_ft * FOOT
    outline = shapely.box(x - half, y - half, x + half, y + half)
    return Symbol(
        SymbolEntry(kind, kind), (x, y), 0.0, False, 1.0, 1.0, found, "v1", outline, np.zeros(0, np.int64)
    )


def appliance(kind: Kind, x_ft: float, y_ft: float) -> Symbol:
    return symbol(kind, x_ft, y_ft, 1.25)


FED = (appliance("refrigerator", 40, 40), symbol("receptacle", 40, 42), appliance("washer", 60, 40),
       symbol("receptacle", 60, 42))  # fmt: skip


@pytest.mark.parametrize("kind", ["dryer", "range", "refrigerator", "washer"])
def test_an_appliance_without_an_outlet_is_told(kind: Kind) -> None:
    (item,) = unfed((*FED, appliance(kind, 10, 10)), SCALE, ())
    assert item.what.startswith(f"a {kind} with no outlet within 4 ft")
    assert item.at == ((180.0, 180.0),)


@pytest.mark.parametrize(
    "outlet",
    [symbol("receptacle", 10, 15), symbol("hardwired outlet", 14, 10), symbol("receptacle", 10, 12, found=False)],
)
def test_any_outlet_within_a_cord_will_do(outlet: Symbol) -> None:
    assert not unfed((*FED, appliance("dryer", 10, 10), outlet), SCALE, ())


def test_an_outlet_beyond_a_cord_will_not_do() -> None:
    assert unfed((*FED, appliance("dryer", 10, 10), symbol("receptacle", 10, 16)), SCALE, ())


def test_a_place_that_is_told_is_not_told_again() -> None:
    said = (Unexplained("a shape drawn once", ((10 * FOOT, 13 * FOOT),)),)
    assert not unfed((*FED, appliance("dryer", 10, 10)), SCALE, said)


def test_a_sheet_that_shows_no_outlets_of_appliances_is_left_alone() -> None:
    lonely = tuple(appliance("range", 10 * k, 10) for k in range(3))
    assert not unfed((*FED, *lonely), SCALE, ())
    assert not unfed(lonely, SCALE, ())


def test_without_a_scale_nothing_is_told() -> None:
    scale = (Scale("v1", None, "none", "", "unknown"),)
    assert not unfed((*FED, appliance("dryer", 10, 10)), scale, ())


def test_sinks_and_water_heaters_need_no_cord() -> None:
    assert not unfed((*FED, appliance("sink", 10, 10), appliance("water heater", 20, 10)), SCALE, ())
