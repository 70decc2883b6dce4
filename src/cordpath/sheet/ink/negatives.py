"""Sheets drawn light on dark: plots of a model's dark screen, and prints that look like blueprints.

White is paper to every later stage, and on such a sheet it is the ink: all of it would be lost, and the sheet
skipped as one without outlets.  Its colours are told as if it were dark on light.

Terms: *ground*, the dark areas of one colour that cover most of the page and on which the drawing is lighter.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import distinct_rows, midpoints
from cordpath.model import LUMINANCE, WHITE, BoolArray, Fills, FloatArray, Strokes, Word
from cordpath.sheet.ink.paths import Paths
from cordpath.sheet.ink.veils import Veils

SAID = "this sheet is drawn light on dark: it is read as dark on light"
SHARE = 0.6  # of the page: the margins of a plot may stay white; no wall, room or picture of a plan covers so much
LIGHTER = 0.3  # of luminance, by which what is drawn on a ground is lighter than it: else it is not read by anybody
MOST = 0.5  # of all that is drawn on the page
LARGE = 0.01  # of the page: smaller areas on a ground are things of the drawing (poche, symbols, letters)
ONE_COLOUR = 50  # steps between black and white that are told apart


@dataclass(frozen=True, eq=False)
class Ground:
    """``colour`` (3,) as it is seen, the ``first`` path of it and which ``paths`` it is made of."""

    colour: FloatArray
    first: int
    paths: tuple[int, ...]


def dark_on_light(paths: Paths, ground: Ground) -> Paths:
    """The paths with the colours of what lies on a dark ground, and of the ground, as on white paper.

    A colour becomes white less its distance from the ground's: the ground is white and hides what lies below it.
    """
    later = np.arange(len(paths)) >= ground.first
    pen, paint = paths.pen.copy(), paths.paint.copy()
    pen[later], paint[later] = 1 - np.abs(pen[later] - ground.colour), 1 - np.abs(paint[later] - ground.colour)
    paint[list(ground.paths)] = 1.0
    return replace(paths, pen=pen, paint=paint)


def seen_on(ground: Ground, words: tuple[Word, ...]) -> tuple[Word, ...]:
    """The words; those of the ground's colour are hidden."""
    return tuple(
        replace(word, origin="hidden")
        if _luma(1 - np.abs(np.array(word.colour) - ground.colour)) >= WHITE
        else word
        for word in words
    )


def ground_of(paths: Paths, marks: Strokes, areas: Fills, over: Veils, size: tuple[float, float]) -> Ground | None:
    """The dark ground of a page of ``size``, if it has one; ``over``: pictures and shadings.

    What its clips leave of the areas counts, and what lies on them in a light colour is no ground: black below a
    white sheet is its border.
    """
    page, share = size[0] * size[1], shapely.area(areas.shape)
    colour = 1 - (1 - areas.colour) * areas.opacity[:, None]
    dark = (_luma(colour) < MOST) & ~paths.unsure[areas.path]
    if share[dark].sum() < SHARE * page:
        return None
    steps, which = distinct_rows((colour * ONE_COLOUR).round())
    k = int(np.argmax(np.bincount(which[dark], share[dark], len(steps))))
    mine = dark & (which == k)
    first, luma = int(areas.path[mine].min()), float(_luma(colour[mine][0]))
    light = (areas.path > first) & (share >= LARGE * page) & (_luma(colour) > luma + LIGHTER)
    above = [*areas.shape[light], *over.shape[over.order > paths.order[first]]]
    shape = shapely.difference(shapely.union_all(areas.shape[mine]), shapely.union_all(above))
    if shapely.area(shape) < SHARE * page or not _drawn_lighter(shape, first, luma, mine | light, marks, areas):
        return None
    return Ground(np.asarray(colour[mine][0]), first, tuple(np.unique(areas.path[mine]).tolist()))


def _drawn_lighter(
    shape: BaseGeometry, first: int, luma: float, grounds: BoolArray, marks: Strokes, areas: Fills
) -> bool:
    """Is most that is drawn on the page on that ``shape``, after its ``first`` path, and lighter?"""
    rest = ~grounds
    at = np.concatenate([midpoints(marks.xy), _inside(areas, rest)])
    bright = np.concatenate([marks.luminance, areas.luminance[rest]]) > luma + LIGHTER
    later = np.concatenate([marks.path, areas.path[rest]]) > first
    shapely.prepare(shape)
    on = shapely.contains_xy(shape, *at.T)
    return bool((on & bright & later).sum() > MOST * later.sum())


def _inside(areas: Fills, which: BoolArray) -> FloatArray:
    return np.asarray(shapely.get_coordinates(shapely.point_on_surface(areas.shape[which])).reshape(-1, 2))


def _luma(colour: FloatArray) -> FloatArray:
    return np.asarray(colour @ np.array(LUMINANCE), float)
