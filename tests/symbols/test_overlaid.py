"""A label of another symbol that lies in a fixture says nothing against the fixture; any other text in it does."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import Kind, Label, Symbol, SymbolEntry
from cordpath.symbols.letters.strangers import STRANGER
from cordpath.symbols.matching.overlaid import settled_by_labels

TEXT = STRANGER.format("GFI")


def symbol(kind: Kind, x: float, y: float, half: float, *reasons: str, labels: tuple[Label, ...] = ()) -> Symbol:
    outline = shapely.box(x - half, y - half, x + half, y + half)
    return Symbol(
        SymbolEntry(kind, kind), (x, y), 0.0, False, 1.0, 0.5, not reasons, "v1", outline, np.zeros(0, np.int64),
        labels=labels, reasons=reasons,
    )  # fmt: skip


def label(x: float, y: float, text: str = "GFI", sets: bool = True) -> Label:
    return Label(text, (x, y), (("protection", "device"),) if sets else ())


DRYER = symbol("dryer", 100, 100, 20, TEXT)
OUTLET = symbol("receptacle", 100, 130, 5, labels=(label(100, 110),))


def first(*symbols: Symbol) -> Symbol:
    return settled_by_labels(symbols)[0]


def test_a_fixture_with_the_label_of_an_outlet_inside_is_found() -> None:
    settled = first(DRYER, OUTLET)
    assert settled.found and settled.reasons == () and settled.confidence == 1.0


@pytest.mark.parametrize(
    "other",
    [
        replace(OUTLET, labels=(label(100, 140),)),  # the same text, elsewhere
        replace(OUTLET, labels=(label(100, 110, "WP"),)),
        replace(OUTLET, labels=(label(100, 110, sets=False),)),
        replace(OUTLET, found=False, reasons=("weak shape",)),
        replace(OUTLET, labels=()),
    ],
)
def test_another_text_or_a_label_that_is_not_sure_settles_nothing(other: Symbol) -> None:
    assert first(DRYER, other) is DRYER


@pytest.mark.parametrize(
    "fixture",
    [
        replace(DRYER, reasons=(TEXT, "only 80% of its lines are drawn here")),
        replace(DRYER, rivals=("washer",)),
        replace(DRYER, view=None),
        symbol("receptacle", 100, 100, 20, TEXT),
    ],
)
def test_what_has_another_doubt_or_is_an_outlet_stays_a_question(fixture: Symbol) -> None:
    assert first(fixture, OUTLET) is fixture
