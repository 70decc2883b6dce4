"""Shapes of a symbol's size that a later area hides as a whole, such as the white box of a note: a reader of the
sheet cannot know that they are there.

What only begins under such an area is seen beside it: hatch behind a text, the floor under a fixture.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import WHITE, BoolArray, FloatArray, IntArray, Mapping, Sheet, Symbol, Unexplained
from cordpath.symbols.unexplained.groups import profiled
from cordpath.symbols.unexplained.left_ink import LONGEST, on_layers, once
from cordpath.symbols.unexplained.likely import LARGEST, like_symbols

LIGHT = 0.75  # luminance of an area on which notes are written
OPAQUE = 0.99  # of 1
MARGIN = 0.5  # pt by which a shape under an area reaches over its edge at most: half of a broad pen
SLACK = 0.05  # pt: rounding of boxes that are worked out twice
WHOLE = 0.9  # of the page: an area this large paints all of it anew, and what was there is an older drawing


def told_painted_over(sheet: Sheet, symbols: Iterable[Symbol], mapping: Mapping) -> tuple[Unexplained, ...]:
    """The hidden shapes, but where a symbol is drawn over them and where they go on in ink that is seen."""
    cover = _covers(sheet)
    short = geometry.lengths(sheet.strokes.xy) <= LONGEST
    short &= (sheet.strokes.luminance < WHITE) & on_layers(sheet, mapping)
    gone = sheet.painted_out[geometry.lengths(sheet.painted_out) <= LONGEST]
    hidden = np.concatenate([sheet.strokes.xy[short & sheet.strokes.covered], gone])
    if not len(cover) or not len(hidden):
        return ()
    hidden = once(hidden)
    groups = profiled(hidden, like_symbols)
    inner = groups.box + np.array([MARGIN, MARGIN, -MARGIN, -MARGIN])
    over, under = shapely.STRtree(shapely.box(*inner.T)).query(sheet.fills.shape[cover], predicate="contains")
    keep = np.zeros(len(groups), bool)
    keep[under] = True
    last = np.full(len(groups), -1)
    np.maximum.at(last, under, sheet.fills.path[cover[over]])
    before = short & ~sheet.strokes.covered & (sheet.strokes.path < last.max(initial=-1))
    keep &= _by_itself(groups.box, hidden, sheet.strokes.xy[before])
    drawn = np.array([symbol.footprint for symbol in symbols], object)
    middle = shapely.points((groups.box[:, :2] + groups.box[:, 2:]) / 2)
    keep[shapely.STRtree(drawn).query(middle, predicate="within")[0]] = False
    at = tuple((float(point.x), float(point.y)) for point in middle[keep])
    if not at:
        return ()
    what = "a shape" if len(at) == 1 else f"{len(at)} shapes"
    which = "it" if len(at) == 1 else "them"
    return (Unexplained(f"{what} of the size of a symbol that nobody sees: an area is painted over {which}", at),)


def _covers(sheet: Sheet) -> IntArray:
    """Areas that hide what is below and on which something may be written, but of the page as a whole."""
    fills = sheet.fills
    light = np.flatnonzero((fills.opacity >= OPAQUE) & (fills.luminance >= LIGHT))
    return light[shapely.area(fills.shape[light]) < WHOLE * sheet.width * sheet.height]


def _by_itself(boxes: FloatArray, hidden: FloatArray, seen: FloatArray) -> BoolArray:
    """(g,) shapes that are no larger with the ink that goes on from them where it is seen."""
    near = geometry.near_boxes(geometry.boxes_around(seen), boxes, LARGEST)
    whole = profiled(np.concatenate([hidden, seen[near]]), lambda groups: groups.size <= LARGEST)
    grown = whole.box + np.array([-SLACK, -SLACK, SLACK, SLACK])
    found = shapely.STRtree(shapely.box(*grown.T)).query(shapely.box(*boxes.T), predicate="within")[0]
    return np.isin(np.arange(len(boxes)), found)
