"""Circles that a writer drew as areas between two circles, a pen's width apart, and not as lines.

Terms: *ring*, such an area.  A letter O is one too, and so is a mark of a symbol that is meant to be broad: only
rings of symbol size, as broad as a pen that draws long lines of the page, or bars that touch such rings (no letter
touches an O), are circles of that pen.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import chords, distinct_rows, lengths, lines, midpoints
from cordpath.model import BoolArray, Fills, FloatArray, Strokes
from cordpath.sheet.ink.pen_areas import LONG, OF_A_PEN, WIDEST_LINE, as_lines, drawn_as, middles, together, tracks

ACROSS = 3.5, 30.0  # pt of radius: circles of symbols; a letter so high is a title's
ROUND = 0.1  # pt that the corners of a ring stray from a circle
LEAST_CORNERS = 8  # of each of its sides: what has fewer is meant with its corners
MIDDLES = 0.05  # pt between the middles of the two circles
SAME_PEN = 0.02  # pt of width, and of 1 in each colour
JOINED = 0.25  # pt between a ring and a bar drawn onto it: two steps of 1/600 in; letters stand farther apart


def with_rings(strokes: Strokes, fills: Fills) -> tuple[Strokes, Fills, tuple[str, ...]]:
    """Strokes and fills, rings of the page's pens as circles, and the tracks that touch these as lines; and what is
    said."""
    at, width = rings(fills.shape, fills.opacity >= 1.0)
    ring = np.flatnonzero(np.isfinite(width))
    of_pen = _of_pens(width[ring], fills.colour[ring], strokes)
    of_pen[~of_pen] = _of_bars(
        fills.shape[ring[~of_pen]], _pens(width, fills.colour)[ring[~of_pen]], strokes, fills
    )
    doubt = _may_be_circles(np.column_stack([at[ring, 2], width[ring]])[~of_pen])
    ring = ring[of_pen]
    if not len(ring):
        return strokes, fills, doubt
    whole = np.column_stack([at[ring], np.zeros(len(ring)), np.full(len(ring), 2 * math.pi)])
    xy, owner = chords(whole)
    of = ring[owner]
    both = together(strokes, drawn_as(fills.take(of), xy, width[of]))
    left = np.ones(len(fills), bool)
    left[ring] = False
    strokes, fills, _ = as_lines(both, fills.take(left))
    bars = f"{len(strokes) - len(both)} thin filled areas that touch them are lines of that pen, too"
    said = f"{len(ring)} circles of this page are drawn as areas: they are read as lines of a pen"
    return strokes, fills, ((said, bars) if len(strokes) > len(both) else (said,)) + doubt


def _may_be_circles(round_: FloatArray) -> tuple[str, ...]:
    """What is said of rings, (n, 2) radius and width, whose pen draws no long lines: letters O, or circles."""
    _, like = distinct_rows((round_ / SAME_PEN).round())
    many = int((np.bincount(like)[like] >= OF_A_PEN).sum()) if len(like) else 0
    if not many:
        return ()
    return (
        f"{many} areas of this page are rings as large as symbols, of a pen that draws no long lines: they are read"
        " as areas, and symbols that are drawn so may not be found",
    )


def rings(shape: NDArray[np.object_], opaque: BoolArray) -> tuple[FloatArray, FloatArray]:
    """(f, 3) middle and radius of the areas that are rings, and (f,) their widths, NaN of those that are none."""
    at, width = np.zeros((len(shape), 3)), np.full(len(shape), np.nan)
    may = (shapely.get_type_id(shape) == shapely.GeometryType.POLYGON) & opaque
    may[may] = shapely.get_num_interior_rings(shape[may]) == 1
    member = np.flatnonzero(may)
    if not len(member):
        return at, width
    outer, outer_fits = _circles(shapely.get_exterior_ring(shape[member]))
    inner, inner_fits = _circles(shapely.get_interior_ring(shape[member], 0))
    radius, broad = (outer[:, 2] + inner[:, 2]) / 2, outer[:, 2] - inner[:, 2]
    fits = outer_fits & inner_fits & (np.hypot(*(outer - inner)[:, :2].T) <= MIDDLES)
    fits &= (radius >= ACROSS[0]) & (radius <= ACROSS[1]) & (broad <= WIDEST_LINE)
    at[member[fits]] = np.column_stack([outer[fits, :2], radius[fits]])
    width[member[fits]] = broad[fits]
    return at, width


def _circles(line: NDArray[np.object_]) -> tuple[FloatArray, BoolArray]:
    """(n, 3) middle and radius of the circle in each closed line's box, and (n,) is the line this circle."""
    box = shapely.bounds(line)
    circle = np.column_stack([midpoints(box), (box[:, 2:] - box[:, :2]).mean(axis=1) / 2])
    corner, owner = shapely.get_coordinates(line, return_index=True)
    off = np.abs(np.hypot(*(corner - circle[owner, :2]).T) - circle[owner, 2])
    most = np.zeros(len(line))
    np.maximum.at(most, owner, off)
    return circle, (most <= ROUND) & (np.bincount(owner, minlength=len(line)) > LEAST_CORNERS)


def _pens(width: FloatArray, colour: FloatArray) -> FloatArray:
    return np.column_stack([width, colour])


def _of_bars(shape: NDArray[np.object_], pen: FloatArray, strokes: Strokes, fills: Fills) -> BoolArray:
    """(n,) which rings, with their pens (n, 4), are of one that draws bars onto such rings: a pen of symbols."""
    corner, track = tracks(fills.shape, fills.opacity >= 1.0)
    straight = strokes.ink() & (strokes.curve < 0)
    xy, width = middles(corner[track])
    bar = np.concatenate([xy, strokes.xy[straight]])
    wide = np.concatenate([width, strokes.width[straight]])
    other = _pens(wide, np.concatenate([fills.colour[track], strokes.colour[straight]]))
    ring, near = shapely.STRtree(lines(bar)).query(shape, predicate="dwithin", distance=JOINED + WIDEST_LINE / 2)
    on = shapely.distance(shape[ring], lines(bar[near])) <= JOINED + wide[near] / 2
    on &= np.all(np.abs(pen[ring] - other[near]) <= SAME_PEN, axis=1)
    touched = pen[np.unique(ring[on])]
    alike = np.all(np.abs(pen[:, None] - touched[None]) <= SAME_PEN, axis=2)
    return np.asarray(alike.sum(axis=1) >= OF_A_PEN, bool)


def _of_pens(width: FloatArray, colour: FloatArray, strokes: Strokes) -> BoolArray:
    """(n,) is there a pen of that width and colour that draws long lines?"""
    long = (strokes.curve < 0) & ~strokes.dashed & (lengths(strokes.xy) > LONG)
    pens, pen = distinct_rows(np.column_stack([strokes.width, strokes.colour])[long])
    pens = pens[np.bincount(pen, minlength=len(pens)) >= OF_A_PEN]
    off = np.abs(_pens(width, colour)[:, None] - pens[None])
    return np.asarray(np.any(np.all(off <= SAME_PEN, axis=2), axis=1), bool)
