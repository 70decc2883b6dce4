"""The edges of a box that was drawn by hand round a symbol: what a tight one cuts, and what a wide one takes in."""

from __future__ import annotations

import numpy as np
import shapely

from cordpath import geometry
from cordpath.geometry import grown
from cordpath.model import BoolArray, Box, FloatArray, Sheet
from cordpath.symbols.examples.page_marks import letters_cut

SLACK = 1.0  # pt: a box drawn by hand is true to a point, and lines that meet the wall end on its edge
JOINED = 0.15  # pt: ends this near are one corner, whatever the writer's rounding (1/600 in is 0.12 pt)
CUT = 0.6  # share of a line's length inside the box, from which the box was perhaps drawn too tight


def widened(box: Box) -> Box:
    """The box with its slack."""
    return grown(box, SLACK)


def of_the_box(xy: FloatArray, box: Box) -> BoolArray:
    """(strokes,) False for those that only the slack brings in: beyond the edge, and they hang on nothing in it."""
    beyond = np.flatnonzero(geometry.segments_in_box(xy, widened(box)) & ~geometry.segments_in_box(xy, box))
    inner = shapely.length(shapely.intersection(geometry.lines(xy[beyond]), shapely.box(*box)))
    mostly_in = inner >= CUT * geometry.lengths(xy[beyond])
    ends, loose = xy[beyond[mostly_in]].reshape(-1, 2), beyond[~mostly_in]
    own = np.ones(len(xy), bool)
    own[loose] = False
    if len(ends) and len(loose):  # the edge of the symbol itself, just outside of a box drawn too tight
        apart = np.abs(xy[loose].reshape(-1, 2, 1, 2) - ends).max(axis=3).min(axis=(1, 2))
        own[loose[apart <= JOINED]] = True
    return own


def cut_off(name: str, page: Sheet, box: Box) -> list[str]:
    """A symbol without the lines that its box cuts is another symbol, so that is told."""
    xy = page.strokes.xy[page.strokes.ink() & ~geometry.segments_in_box(page.strokes.xy, box)]
    xy = xy[geometry.lengths(xy) > 0]
    near = (np.minimum(xy[:, :2], xy[:, 2:]) < np.array(box[2:])).all(axis=1)
    near &= (np.maximum(xy[:, :2], xy[:, 2:]) > np.array(box[:2])).all(axis=1)
    xy = xy[near]
    inner = shapely.length(shapely.intersection(geometry.lines(xy), shapely.box(*box)))
    cut = int((inner >= CUT * geometry.lengths(xy)).sum())
    cuts, wider = f"{name}: its box on {page.file} page {page.page} cuts", "draw the box wider if it should be with"
    said = [f"{cuts} a text, and was taken without its letters; {wider}"] if letters_cut(page, box) else []
    if not cut:
        return said
    lines = "a line that lies" if cut == 1 else f"{cut} lines that lie"
    return [*said, f"{cuts} {lines} mostly in it, and was taken without; {wider}"]
