"""Which small ink may be a letter, and which gaps are blanks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
import shapely.affinity

from cordpath.model import Fills, FloatArray, Strokes
from cordpath.sheet.lettering.blanks import EVENLY, MAYBE, units
from cordpath.sheet.lettering.classify import CLASSES, INDEX
from cordpath.sheet.lettering.glyph_table import glyph_table
from cordpath.sheet.lettering.glyphs import Reading
from cordpath.sheet.lettering.parts import Band, parts

BAND: Band = (6.0, 9.0)
CORNER = np.array([(10, 10), (11, 10), (11, 16), (14, 16), (14, 17), (10, 17), (10, 10)], float)  # an L
Xy = list[tuple[float, float, float, float]]


def letter_t(x: float, y: float, high: float = 7.0) -> Xy:
    """A T of two strokes with its upper left corner at (x, y)."""
    return [(x, y, x + high * 0.7, y), (x + high * 0.35, y, x + high * 0.35, y + high)]


def ring(x: float, y: float, radius: float) -> Xy:
    t = np.linspace(0, 2 * np.pi, 17)
    at = np.column_stack([x + radius * np.cos(t), y + radius * np.sin(t)])
    return [(*a, *b) for a, b in zip(at[:-1].tolist(), at[1:].tolist(), strict=True)]


def middles(strokes: Xy) -> list[tuple[int, int]]:
    found = parts(Strokes.of(np.array(strokes)), Fills.none(), BAND)
    return sorted((round((b[0] + b[2]) / 2), round((b[1] + b[3]) / 2)) for b in found.box)


@pytest.mark.parametrize("elsewhere", [0, 12])
def test_a_row_of_hatch_beside_a_letter_is_none_however_many_letters_stand_elsewhere(elsewhere: int) -> None:
    hatch = [(20.0 + 3 * k, 0.0, 20.0 + 3 * k, 7.0) for k in range(7)]
    far = [line for k in range(elsewhere) for line in letter_t(200.0 + 8 * k, 0.0)]
    letters = [(12, 4), *sorted((round(200 + 8 * k + 2.45), 4) for k in range(elsewhere))]
    assert middles(letter_t(10, 0) + hatch + far) == letters


def test_a_stroke_among_letters_may_be_one() -> None:
    row = [line for k in range(4) for line in letter_t(10.0 + 8 * k, 0.0)]
    assert (44, 4) in middles([*row, (44.0, 0.0, 44.0, 7.0)])


@pytest.mark.parametrize(("inside", "filled", "framed"), [
    (letter_t(47.55, 46.5), False, True),
    ([], True, True),
    ([(50.0, 46.5, 50.0, 53.5)], False, False),  # a circle with one bar is a symbol
    ([], False, False),
])  # fmt: skip
def test_a_circle_around_a_letter_is_no_letter(inside: Xy, filled: bool, framed: bool) -> None:
    letter = [shapely.box(47.5, 46.5, 52.5, 53.5)] if filled else []
    around = parts(Strokes.of(np.array(ring(50, 50, 5.5) + inside)), _areas(letter), BAND)
    assert (not any(box[2] - box[0] > 10 for box in around.box)) == framed


@pytest.mark.parametrize(("stroked", "letters"), [
    (CORNER, 1),  # the edge of the filled letter, drawn anew: writers part "fill and stroke" in two
    (CORNER[:-1] + np.array([0.02, 0.0]), 1),
    ([(10.0, 10.0), (14.0, 17.0), (14.0, 10.0), (10.0, 17.0)], 2),  # of the same box, and no edge
])  # fmt: skip
def test_an_area_and_its_edge_are_one_letter(stroked: FloatArray, letters: int) -> None:
    points = np.asarray(stroked)
    edge = Strokes.of(np.column_stack([points[:-1], points[1:]]))
    edge = replace(edge, path=np.full(len(edge), 7))
    fills = replace(_areas([shapely.Polygon(CORNER)]), path=np.array([3]))
    assert len(parts(edge, fills, BAND)) == letters


def _areas(shapes: list[shapely.Polygon]) -> Fills:
    n = len(shapes)
    if not n:
        return Fills.none()
    return Fills(np.array(shapes, object), np.zeros((n, 3)), np.ones(n), np.full(n, -1), np.full(n, 9999))


# --------------------------------------------------------------------------------------------------------- blanks


def reading(text: str, box: FloatArray) -> Reading:
    chance = np.full((len(text), len(CLASSES)), np.log(1e-6))
    chance[np.arange(len(text)), [INDEX[letter] for letter in text]] = np.log(0.99)
    none = np.zeros(0)
    return Reading(0.0, 0.0, 1.0, chance, box, (), False, none, none, False)


@pytest.mark.parametrize(("text", "width", "chance"), [
    ("AI", 0.1, EVENLY),  # an I alone in the room of a wide letter
    ("AI", 0.4, MAYBE),  # an I with serifs fills its room
    ("A-", 0.1, MAYBE),  # no other narrow sign has room of its own
])  # fmt: skip
def test_how_likely_a_gap_before_a_narrow_letter_is_a_blank(text: str, width: float, chance: float) -> None:
    box = np.array([[0.0, 0, 0.6, 1], [0.6 + 0.62, 0, 1.22 + width, 1]])
    found, blank = units(glyph_table([reading(text, box)]), 0, 1, 1.0)
    assert found == [(0, 0), (1, 1)]
    assert blank == pytest.approx([1.0, chance])


def test_letters_of_one_path_that_touch_are_letters_each() -> None:
    """R and A of many faces meet at their feet; in a word that is one path they are one area."""
    a = shapely.Polygon([(0, 7), (2.2, 0), (3.2, 0), (5.4, 7), (4.4, 7), (2.7, 1.5), (1, 7)])
    w = shapely.Polygon([(0, 0), (2, 7), (3, 7), (4, 3), (5, 7), (6, 7), (8, 0), (7, 0), (5.5, 5.5), (4.5, 1),
                         (3.5, 1), (2.5, 5.5), (1, 0)])  # fmt: skip
    pair = shapely.union(a, shapely.affinity.translate(a, 5.37))
    turned = shapely.affinity.rotate(pair, 90, origin=(0, 0))
    for shape, count in ((pair, 2), (turned, 2), (a, 1), (w, 1)):
        assert len(parts(Strokes.of(np.zeros((0, 4))), _areas([shape]), BAND)) == count
