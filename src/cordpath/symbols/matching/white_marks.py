"""What is drawn in white over the paint of a symbol: a letter in a solid disc, or the hole of a ring.

White is no ink to the search, so that a solid disc with a white R in it is the plain solid disc, for certain.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree

from cordpath.geometry import lines
from cordpath.model import WHITE, FloatArray, IntArray, Sheet
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.matching.in_common import painted
from cordpath.symbols.matching.paint import FAINTEST, SPECK

WHITE_OVER = "something is drawn in white over its filled part"
LEAST_LINE = 1.5  # pt of white lines over the paint: the shortest stroke of a letter that can be read
MOSTLY = 0.7  # of a white area lies over the paint: the patch behind a label beside a symbol does not


@dataclass(frozen=True, eq=False)
class White:
    """The white lines and areas of a sheet, and its dark areas, with the numbers of their paths in paint order."""

    lines: NDArray[np.object_]
    line_path: IntArray
    areas: NDArray[np.object_]
    area_path: IntArray
    dark: NDArray[np.object_]
    dark_path: IntArray

    @staticmethod
    def of(sheet: Sheet) -> White:
        strokes, fills = sheet.strokes, sheet.fills
        white = (strokes.luminance >= WHITE) & ~strokes.covered
        seen = fills.opacity > FAINTEST
        pale = (fills.luminance >= WHITE) & seen
        dark = ~pale & seen
        return White(lines(strokes.xy[white]), strokes.path[white], fills.shape[pale], fills.path[pale],
                     fills.shape[dark], fills.path[dark])  # fmt: skip


def with_white_marks(winners: tuple[Candidate, ...], sheet: Sheet) -> tuple[Candidate, ...]:
    """The winners, in doubt where something white is painted over their filled marks and later than those."""
    solid = [k for k, c in enumerate(winners) if c.template.drawn.fills]
    if not solid:
        return winners
    white = White.of(sheet)
    if not len(white.lines) and not len(white.areas):
        return winners
    marks = np.array([painted(winners[k]) for k in solid], dtype=object)
    over = _lines_over(marks, white) + _areas_over(marks, white)
    out = list(winners)
    for k in np.flatnonzero(over >= 1.0):
        out[solid[k]] = out[solid[k]].doubted(WHITE_OVER)
    return tuple(out)


def _lines_over(marks: NDArray[np.object_], white: White) -> FloatArray:
    """(m,) length of the white lines over each mark, in shortest letters' strokes."""
    mark, over = _seen(marks, white.lines, white.line_path, white)
    return np.asarray(np.bincount(mark, shapely.length(over), len(marks)) / LEAST_LINE, float)


def _areas_over(marks: NDArray[np.object_], white: White) -> FloatArray:
    """(m,) white area over each mark, in least areas that count."""
    mark, over = _seen(marks, white.areas, white.area_path, white)
    least = SPECK * np.maximum(shapely.area(marks), 1e-9)
    return np.asarray(np.bincount(mark, shapely.area(over), len(marks)) / least, float)


def _seen(
    marks: NDArray[np.object_], things: NDArray[np.object_], path: IntArray, white: White
) -> tuple[IntArray, NDArray[np.object_]]:
    """Numbers of marks, and what of white things is seen over each: of lines, and of areas that lie over it for the
    most part, painted later than the paint that they lie on."""
    mark, k = STRtree(things).query(marks, predicate="intersects")
    over = shapely.intersection(things[k], marks[mark])
    mostly = shapely.area(over) >= MOSTLY * shapely.area(things[k])
    mark, k, over = mark[mostly], k[mostly], over[mostly]
    at, dark = STRtree(white.dark).query(shapely.point_on_surface(over), predicate="intersects")
    last = np.full(len(k), np.iinfo(np.int64).max)  # on no paint: nobody knows what lies on what
    last[at] = -1
    np.maximum.at(last, at, white.dark_path[dark])
    seen = path[k] > last
    return mark[seen], over[seen]
