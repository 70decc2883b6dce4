"""Sheets drawn light on dark: plots of a model's dark screen, and prints that look like blueprints.

White is paper to every later stage, and on such a sheet it is the ink: all of it was lost, and the sheet skipped as
one without outlets.  Its colours are told as if it were dark on light.

Terms: *ground*, the dark area that covers most of the page and on which the drawing is lighter.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from cordpath.frame import Affine, apply
from cordpath.model import LUMINANCE, WHITE, FloatArray, Word
from cordpath.sheet.ink.paths import Paths

SAID = "this sheet is drawn light on dark: it is read as dark on light"
SHARE = 0.6  # of the page: the margins of a plot may stay white; no wall, room or picture of a plan covers so much
CORNERS = (3, 5)  # edges of a ground's path: a rectangle, closed by the fill, by an edge or by a point
LIGHTER = 0.3  # of luminance, by which what is drawn on a ground is lighter than it: else it is not read by anybody
MOST = 0.5  # of the paths that are drawn on it


def dark_on_light(paths: Paths, to_page: Affine, size: tuple[float, float]) -> tuple[Paths, FloatArray | None]:
    """The paths with the colours of what lies on a dark ground, and of the ground, as on white paper; and the
    ground's colour (3,), None without one.

    A colour becomes white less its distance from the ground's: the ground is white and hides what lies below it.
    """
    ground = _ground(paths, to_page, size)
    if ground is None:
        return paths, None
    colour, later = paths.paint[ground], np.arange(len(paths)) >= ground
    pen, paint = paths.pen.copy(), paths.paint.copy()
    pen[later], paint[later] = 1 - np.abs(pen[later] - colour), 1 - np.abs(paint[later] - colour)
    return replace(paths, pen=pen, paint=paint), colour


def seen_on(ground: FloatArray, words: tuple[Word, ...]) -> tuple[Word, ...]:
    """The words; those of the ground's colour are hidden."""
    return tuple(
        replace(word, origin="hidden") if _luma(1 - np.abs(np.array(word.colour) - ground)) >= WHITE else word
        for word in words
    )


def _ground(paths: Paths, to_page: Affine, size: tuple[float, float]) -> int | None:
    """Number of the first path that is a ground."""
    edges = np.bincount(paths.edge_path, minlength=len(paths))
    bends = np.bincount(paths.bend_path, minlength=len(paths))
    may = paths.filled & (paths.opacity >= 1.0) & ~paths.unsure & (bends == 0)
    may &= (edges >= CORNERS[0]) & (edges <= CORNERS[1]) & (_luma(paths.paint) < MOST)
    page = shapely.box(0.0, 0.0, *size)
    for k in np.flatnonzero(may).tolist():
        corner = apply(to_page, paths.edge[paths.edge_path == k])[:, :2]
        area = shapely.convex_hull(shapely.multipoints(corner)).intersection(page).area
        if area >= SHARE * page.area:
            on = (np.arange(len(paths)) > k) & paths.stroked
            lighter = _luma(paths.pen[on]) > _luma(paths.paint[k]) + LIGHTER
            return k if len(lighter) and lighter.mean() >= MOST else None
    return None


def _luma(colour: FloatArray) -> FloatArray:
    return np.asarray(colour @ np.array(LUMINANCE), float)
