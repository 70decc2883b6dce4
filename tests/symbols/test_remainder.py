"""What nothing on a sheet accounts for is told, from whatever step it comes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cordpath.model import CircleMark, LineMark, Mark, PolylineMark, Scale
from cordpath.symbols import spot
from symbols.test_spot import DUPLEX, at, entry, names, rules, sheet_of, strokes_of, word

SCALE = (Scale("v1", 48.0, "note", "", "single"),)
INCH = 72.0 / 48.0  # pt of an inch of the building
FRIDGE = (
    PolylineMark(((-16, -15), (16, -15), (16, 15), (-16, 15)), closed=True),
    LineMark((-16, -15), (16, 15)), LineMark((-16, 11), (16, 11)), CircleMark((9, -6), 4),
)  # fmt: skip
SHELL: tuple[Mark, ...] = (
    PolylineMark(((-0.08, -0.08), (0.08, -0.08), (0.08, 0.04), (0, 0.1), (-0.08, 0.04)), closed=True),
    CircleMark((0, 0.03), 0.03),
    LineMark((-0.05, -0.03), (0.05, -0.03)),
)


def test_an_appliance_without_an_outlet_is_told_where_others_have_one() -> None:
    """Its outlet may be a symbol that the mapping file lacks."""
    fridges, outlets = [(100, 100), (300, 100), (500, 100)], [(100, 130), (300, 130)]
    xy = [strokes_of(FRIDGE, at(x, y), unit=INCH) for x, y in fridges]
    xy += [strokes_of(DUPLEX, at(x, y)) for x, y in outlets]
    mapping = rules(entry("duplex", DUPLEX), entry("REF", FRIDGE, "refrigerator", size="real"))
    spotting = spot(sheet_of(xy), mapping, SCALE)
    assert names(spotting) == ["REF"] * 3 + ["duplex"] * 2
    (rest,) = spotting.unexplained
    assert rest.what.startswith("a refrigerator with no outlet within 4 ft")
    assert np.allclose(rest.at, [(500, 100)], atol=0.5)


def barred(off: float) -> tuple[CircleMark, LineMark, LineMark]:
    """A circle with two bars, each so many inches off its middle."""
    bars = (LineMark((x, -0.139), (x, 0.104)) for x in (-off, off))
    return (CircleMark((0, 0), 0.075), *bars)


@pytest.mark.parametrize("off", [0.02, 0.032, 0.036])
def test_one_shape_drawn_much_like_an_outlet_is_told_by_its_name(off: float) -> None:
    """Its bars lie 0.3 to 0.6 pt beside those of the mapping file: no match, and it repeats nothing."""
    spotting = spot(sheet_of(strokes_of(barred(off), at(300, 300))), rules(entry("duplex", barred(0.028))), ())
    assert spotting.symbols == ()
    (rest,) = spotting.unexplained
    assert rest.what == "a shape drawn much like 'duplex' that could not be matched"


def told_beside(tag: str, away: float = 14.0, shape: tuple[Mark, ...] = SHELL) -> list[str]:
    """What is told of one unknown shape with a text beside it, on a sheet with two outlets of circuit A-1."""
    xy = [strokes_of(DUPLEX, at(100, 300)), strokes_of(DUPLEX, at(200, 300)), strokes_of(shape, at(400, 300))]
    words = (word("A-1", 100, 315), word("A-1", 200, 315), word(tag, 400, 300 + away))
    spotting = spot(sheet_of(xy, words), rules(entry("duplex", DUPLEX)), SCALE)
    assert len(spotting.symbols) == 2
    return [rest.what for rest in spotting.unexplained]


def test_a_shape_with_a_circuit_tag_is_told_though_others_have_the_same_circuit() -> None:
    """Its tag was taken for the end of a homerun, and a device of another make drawn once was lost in silence."""
    assert told_beside("A-1") == ["a shape with a circuit tag beside it that could not be matched"]


def test_without_a_tag_or_as_an_arrowhead_it_is_not() -> None:
    marked = ["a shape with a line or a mark, drawn once, that the mapping file does not name"]
    assert told_beside("TYP") == told_beside("A-1", away=40.0) == marked
    assert not told_beside("A-1", shape=(PolylineMark(((0, 0.04), (0.04, -0.05), (-0.04, -0.05)), closed=True),))


def test_pictures_of_a_symbol_s_size_are_told_with_their_places() -> None:
    """Outlets drawn as stencils were lost but for a line that told of the first three."""
    areas = ((90.0, 290.0, 110.0, 310.0), (292.0, 292.0, 308.0, 308.0), (492.0, 92.0, 508.0, 108.0))
    sheet = replace(
        sheet_of(strokes_of(DUPLEX, at(100, 300))),
        unread_areas=areas,
        unread_at=((300, 300), (500, 100), (100, 300)),
    )
    (rest,) = spot(sheet, rules(entry("duplex", DUPLEX)), ()).unexplained
    assert (rest.what, rest.at) == (
        "2 pictures of the size of a symbol or a label, not read", ((300, 300), (500, 100))
    )  # fmt: skip
