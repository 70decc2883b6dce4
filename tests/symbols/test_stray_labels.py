"""Labels of shapes that the mapping file does not name."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from cordpath.model import (
    CircleMark,
    Drawing,
    LabelEntry,
    LineMark,
    Mapping,
    Mark,
    PolylineMark,
    Scale,
    SymbolEntry,
    Word,
)
from cordpath.symbols import spot
from cordpath.symbols.labels.labels import attach
from cordpath.symbols.labels.stray import doubted_by_shapes
from symbols.test_labels import sheet as plain_sheet
from symbols.test_labels import symbol
from symbols.test_labels import word as small
from symbols.test_spot import at, sheet_of, strokes_of, word

PROVED = (Scale("v1", 48.0, "note", '1/4" = 1\'-0"', "proved"),)
DUPLEX = (
    CircleMark((0, 0), 0.0625),
    LineMark((-0.1, 0.025), (0.1, 0.025)),
    LineMark((-0.1, -0.025), (0.1, -0.025)),
)
SPECIAL = (PolylineMark(((0, 0), (0.09, 0.15), (-0.09, 0.15)), closed=True), LineMark((0, -0.06), (0, 0)))
PLUG = SymbolEntry("duplex", "receptacle", shape=DUPLEX)
MAPPING = Mapping("m", Drawing(), (PLUG,), (LabelEntry("GFI", (("protection", "device"),)),))


def drawn(marks: tuple[Mark, ...], x: float, y: float):  # type: ignore[no-untyped-def]
    return strokes_of(marks, at(x, y, 0.0), 72)


@pytest.mark.parametrize(("special", "sure"), [((324.0, 300.0), False), ((300.0, 350.0), True), (None, True)])
def test_a_label_nearer_to_an_unnamed_shape_clears_no_outlet(
    special: tuple[float, float] | None, sure: bool
) -> None:
    """``special``: the apex of a triangle of an office's own; the label is drawn right under the first one."""
    rows = [drawn(DUPLEX, 300, 300)] + ([drawn(SPECIAL, *special)] if special else [])
    text = word("GFI", 320, 315) if not sure else word("GFI", 296, 314)
    (plug,) = spot(sheet_of(rows, [text], side=900), MAPPING, PROVED).symbols
    assert (plug.fact("protection") == "device") is sure
    assert (plug.fact("protection_unsure") == "device") is not sure
    assert any("nearer to a shape" in reason for reason in plug.reasons) is not sure


def test_without_the_shape_the_same_label_is_the_outlets() -> None:
    text = word("GFI", 320, 315)
    (plug,) = spot(sheet_of([drawn(DUPLEX, 300, 300)], [text], side=900), MAPPING, PROVED).symbols
    assert plug.fact("protection") == "device"


LEAF = (  # of a bifold door at its jamb, on a half-size print
    PolylineMark(((-0.03, -0.03), (0, -0.03), (0, 0), (0.06, 0.08), (0.12, 0)), closed=False),
)
HOMERUN = (
    PolylineMark(((0, 0), (0.04, 0.05), (0.09, 0.085), (0.15, 0.1), (0.22, 0.105)), closed=False),
    PolylineMark(((0.26, 0.105), (0.22, 0.09), (0.22, 0.12)), closed=True),
)


@pytest.mark.parametrize("passing", [LEAF, HOMERUN])
def test_a_door_leaf_and_a_homerun_are_no_shape_with_a_label_of_its_own(passing: tuple[Mark, ...]) -> None:
    """Both are of the size of a symbol on half-size prints, where they took the circuit tags of outlets nearby."""
    text = word("GFI", 320, 315)
    rows = [drawn(DUPLEX, 300, 300), drawn(passing, 318, 301)]
    (plug,) = spot(sheet_of(rows, [text], side=900), MAPPING, PROVED).symbols
    assert plug.fact("protection") == "device"
    assert not any("nearer to a shape" in reason for reason in plug.reasons)


@pytest.mark.parametrize("led", [True, False])
def test_a_label_with_a_leader_to_an_unnamed_shape_clears_no_outlet(led: bool) -> None:
    """The label stands nearer to the plain outlet: the line tells whose it is."""
    rows = [drawn(DUPLEX, 300, 300), drawn(SPECIAL, 350, 338)]
    if led:
        rows.append(np.array([[321.0, 321.0, 345.0, 341.0]]))
    (plug,) = spot(sheet_of(rows, [word("GFI", 312, 318)], side=900), MAPPING, PROVED).symbols
    assert (plug.fact("protection") == "device") is not led
    assert (plug.fact("protection_unsure") == "device") is led


def test_a_label_a_quarter_inch_from_an_unnamed_shape_clears_no_outlet_farther_off() -> None:
    rows = [drawn(DUPLEX, 300, 300), drawn(SPECIAL, 340, 300)]
    (plug,) = spot(sheet_of(rows, [word("GFI", 336, 330)], side=900), MAPPING, PROVED).symbols
    assert plug.fact("protection") is None
    assert plug.fact("protection_unsure") == "device"


def labelled(plugs: list[tuple[float, float]], words: list[Word], strokes: Sequence[tuple[float, ...]],
             shape: tuple[float, float, float, float]) -> list[bool]:  # fmt: skip
    """Is each plug surely protected, with one shape that nothing explains on the sheet?"""
    paper = plain_sheet(words, strokes)
    done, _ = attach(tuple(symbol(*plug) for plug in plugs), paper, MAPPING)
    done = doubted_by_shapes(done, paper, np.array([shape]))
    return [each.fact("protection") == "device" for each in done]


def test_a_bar_of_an_unnamed_shape_is_no_leader_from_its_label_to_an_outlet() -> None:
    """The bar of a circle with a bar begins at the shape's own label and points at the outlet behind it."""
    shape, bar = (158.0, 139.6, 174.0, 150.4), (158.0, 145.0, 174.0, 145.0)
    assert labelled([(144, 145)], [small("GFI", 179, 146)], [bar], shape) == [False]


def test_a_label_that_the_label_of_an_unnamed_shape_had_pushed_off_clears_nothing() -> None:
    """A line tells that one of two labels is the shape's; the other may then be that of the nearer outlet."""
    leader = [(199.0, 198.0, 208.0, 198.0), (208.0, 198.0, 217.0, 177.0)]
    words = [small("WP/GFI", 169, 146), small("GFCI", 190, 202)]
    assert labelled([(138, 154), (166, 169)], words, leader, (212.0, 163.0, 228.0, 174.0)) == [False, False]


@pytest.mark.parametrize(
    ("outlets", "alone", "sure"), [(1, False, False), (2, False, False), (3, False, True), (3, True, False)]
)
def test_rings_around_every_label_at_an_outlet_are_the_way_a_sheet_writes_them(
    outlets: int, alone: bool, sure: bool
) -> None:
    """One or two, or one more that no outlet has, may be outlets that are drawn so."""
    ring = (CircleMark((0, 0), 0.1),)
    places = [(300.0, 200.0 + 90 * k) for k in range(outlets)]
    rings = [(x + 20, y + 6) for x, y in places] + [(600.0, 300.0)] * alone
    rows = [drawn(DUPLEX, *each) for each in places] + [drawn(ring, *each) for each in rings]
    done = spot(sheet_of(rows, [word("GFI", *each) for each in rings], side=900), MAPPING, PROVED).symbols
    assert [each.fact("protection") == "device" for each in done] == [sure] * outlets
    assert [each.fact("protection_unsure") == "device" for each in done] == [not sure] * outlets


@pytest.mark.parametrize(("outlets", "sure"), [(3, True), (2, False)])
def test_rings_around_the_circuits_of_outlets_are_their_tags_though_each_says_another(
    outlets: int, sure: bool
) -> None:
    """A-1, A-3 and A-5 in rings were three texts with a ring each: every one was a question."""
    ring = (CircleMark((0, 0), 0.1),)
    places = [(300.0, 200.0 + 90 * k) for k in range(outlets)]
    rings = [(x + 20, y + 6) for x, y in places]
    rows = [drawn(DUPLEX, *each) for each in places] + [drawn(ring, *each) for each in rings]
    words = [word(f"A-{2 * k + 1}", *each) for k, each in enumerate(rings)]
    done = spot(sheet_of(rows, words, side=900), MAPPING, PROVED).symbols
    assert [each.fact("circuit") is not None for each in done] == [sure] * outlets
