"""Lines that a writer drew as the areas that its pens cover: bent lines, arcs and closed ones, besides the straight
lines of :mod:`~cordpath.sheet.ink.pen_areas` and the circles of :mod:`~cordpath.sheet.ink.ring_areas`.

Only pages that draw nearly all lines so are read so: elsewhere an area as broad as a pen is a letter or a mark, if
it is no part of a symbol: a triangle touches the bars of its symbol, areas of its pen, and no letter another one.

Terms: *track*, a thin rectangle; *core*, what is left of an area when half the pen is taken off all around it: of
what a pen covers nothing but the line itself, walked there and back.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath.geometry import components, distinct_rows, lengths, lines
from cordpath.model import WHITE, BoolArray, Fills, FloatArray, IntArray, Strokes
from cordpath.sheet.ink.pen_areas import (
    LEFT,
    LONG,
    OF_A_PEN,
    OVER_STROKES,
    SHADE,
    SLACK,
    WIDEST_LINE,
    WIDEST_PEN,
    cores,
    drawn_as,
    middles,
    together,
    tracks,
)
from cordpath.sheet.ink.ring_areas import JOINED

SAME_PEN = 0.1  # of the width that is reckoned of an area, which round ends and joins change a little
SCRAP = 0.05  # of an area
DASHES = 3  # parts of one area, which a pen with gaps covers; two are an equals sign
GROWN = 0.95  # of an area that the pen covers anew along the core
END = 3 * LEFT  # pt that an end of a core is long at most
FACING = 0.5  # pt between the way there and the way back, of which one is longer at each bend
LOOKED_AT = 7  # places along a line where its two ways must face each other


def with_outlined(strokes: Strokes, fills: Fills, drawn: Strokes) -> tuple[Strokes, Fills, tuple[str, ...]]:
    """Strokes and fills, areas that pens cover as lines where some were read so; and what is said.

    ``drawn``: the page's strokes without the areas that were read as lines before.
    """
    known = strokes.take(~np.isin(strokes.path, drawn.path))
    part, owner = shapely.get_parts(fills.shape, return_index=True)
    colour, opaque = fills.colour[owner], fills.opacity[owner] >= 1.0
    corner, track = tracks(part, opaque)
    width = _widths(part, opaque)
    thin = np.flatnonzero(np.isfinite(width))
    before = len(np.unique(known.path))
    if not before or before + len(thin) < OVER_STROKES * int((~drawn.dashed).sum()):
        thin = thin[(width[thin] <= WIDEST_LINE) & (fills.luminance < WHITE)[owner[thin]]]
        thin = thin[_of_symbols(part[thin], width[thin], colour[thin], track[thin], known)]
    else:
        thin = thin[_of_pens(part[thin], width[thin], colour[thin], strokes)]
    line, across = middles(corner[thin[track[thin]]])
    bent = thin[~track[thin]]
    xy, core = _cores(part[bent], width[bent])
    line, across = np.concatenate([line, xy]), np.concatenate([across, width[bent][core]])
    of = np.concatenate([thin[track[thin]], bent[core]])
    unread = np.ones(len(part), bool)
    unread[of] = False
    # An area is lines in all its parts or none, but for the dash that is cut at the end of a line.
    content, parts = shapely.area(part), np.bincount(owner, minlength=len(fills))
    left = np.bincount(owner, content * unread, len(fills)) > SCRAP * np.bincount(owner, content, len(fills))
    line, across, of = line[~left[owner[of]]], across[~left[owner[of]]], owner[of[~left[owner[of]]]]
    if not len(of):
        return strokes, fills, ()
    read = drawn_as(fills.take(of), line, across, parts[of] >= DASHES)
    said = f"{(~left).sum()} more areas of this page are what its pens cover: they are read as lines"
    return together(strokes, read), fills.take(left), (said,)


def _widths(shape: NDArray[np.object_], opaque: BoolArray) -> FloatArray:
    """(f,) how broad the pen is that covers an area, of its content and its border; NaN where none can.

    Of a closed line the border is twice its length; an open one has two ends besides, w each, so that with content
    wL and border 2L + 2w the width solves 2w² - Pw + 2A = 0.
    """
    out = np.full(len(shape), np.nan)
    whole = np.flatnonzero(opaque & (shapely.get_type_id(shape) == shapely.GeometryType.POLYGON))
    content, border = shapely.area(shape[whole]), shapely.length(shape[whole])
    open_ = (border - np.sqrt(np.maximum(border**2 - 16 * content, 0.0))) / 4
    width = np.where(
        shapely.get_num_interior_rings(shape[whole]) > 0, 2 * content / np.maximum(border, 1e-9), open_
    )
    out[whole] = np.where((width > 2 * LEFT) & (width <= WIDEST_PEN), width, np.nan)
    return out


def _of_symbols(
    shape: NDArray[np.object_], width: FloatArray, colour: FloatArray, bar: BoolArray, known: Strokes
) -> BoolArray:
    """(n,) which areas hang together with a line of their own pen that was read of an area, or, where a pen draws
    several such marks or such a line elsewhere, bars with other areas."""
    pen = _apart(np.append(known.width, width), np.concatenate([known.colour, colour]))
    every = np.concatenate([shapely.buffer(lines(known.xy), known.width / 2, cap_style="flat"), shape])
    one, two = shapely.STRtree(every).query(every, predicate="dwithin", distance=JOINED)
    same = np.abs(pen[one] - pen[two]).max(axis=1) <= 1.0
    count, group = components(one[same], two[same], len(every))
    mine = group[len(known) :]
    of_lines = np.bincount(group[: len(known)], minlength=count) > 0
    mark = (np.bincount(mine, bar, count) > 0) & (np.bincount(mine, ~bar, count) > 0) & ~of_lines
    if mark.any():
        tree = cKDTree(pen[np.unique(group, return_index=True)[1][mark]])
        several = tree.query_ball_point(tree.data, 1.0, p=np.inf, return_length=True) >= OF_A_PEN
        mark[mark] = several | (cKDTree(pen[: len(known)]).query(tree.data, p=np.inf)[0] <= 1.0)
    return np.asarray((of_lines | mark)[mine], bool)


def _of_pens(shape: NDArray[np.object_], width: FloatArray, colour: FloatArray, strokes: Strokes) -> BoolArray:
    """(n,) which areas are longer than any letter, or of a pen that draws several lines."""
    step = np.array([SLACK / 2, *[SHADE] * 3])
    own = np.column_stack([np.append(strokes.width, width), np.concatenate([strokes.colour, colour])])
    pens, pen = distinct_rows((own / step).round())
    pens = pens[np.bincount(pen, minlength=len(pens)) >= OF_A_PEN] * step
    long: BoolArray = shapely.length(shape) > 4 * LONG
    if not len(pens):
        return long
    far, _ = cKDTree(_apart(pens[:, 0], pens[:, 1:])).query(_apart(width, colour), p=np.inf)
    return long | (far <= 1.0)


def _apart(width: FloatArray, colour: FloatArray) -> FloatArray:
    """(n, 4) places of pens, 1 apart where they are different ones."""
    return np.column_stack([np.log(np.maximum(width, LEFT)) / SAME_PEN, colour / SHADE])


def _cores(shape: NDArray[np.object_], width: FloatArray) -> tuple[FloatArray, IntArray]:
    """(m, 4) the lines that pens of these widths cover areas along, and whose each is; none of other areas."""
    core, line = cores(shape, width)
    some = np.flatnonzero(line)
    grown = shapely.buffer(core[some], width[some] / 2, join_style="mitre")
    kept = shapely.area(shapely.intersection(grown, shape[some])) >= GROWN * shapely.area(shape[some])
    some = some[kept]
    slim = shapely.simplify(core[some], LEFT / 2)
    slim = np.where(shapely.is_empty(slim), core[some], slim)
    holes = shapely.get_num_interior_rings(slim)
    xy, owner, end = _one_way(shapely.get_exterior_ring(slim), holes > 0)
    end |= holes[owner] > 1
    # Of a frame with a bar across every side of the core is a line of it.
    more = np.flatnonzero(holes > 1)
    inner, of = shapely.get_parts(shapely.boundary(slim[more]), return_index=True)
    hole_xy, hole_owner = _segments(inner)
    return np.concatenate([xy[~end], hole_xy]), some[np.concatenate([owner[~end], more[of][hole_owner]])]


def _segments(line: NDArray[np.object_]) -> tuple[FloatArray, IntArray]:
    """(m, 4) segments of lines, and whose each is."""
    at, owner = shapely.get_coordinates(line, return_index=True)
    inside = owner[1:] == owner[:-1]
    return np.column_stack([at[:-1], at[1:]])[inside], owner[1:][inside]


def _one_way(ring: NDArray[np.object_], closed: BoolArray) -> tuple[FloatArray, IntArray, BoolArray]:
    """(m, 4) segments of the borders of cores, whose each is, and (m,) which are the way back or an end.

    The border of an open line's core turns at two ends.  A middle of a short segment is one where the places as far
    along the border to both sides of it face each other all along.  Where none does, as of a fork, both ways stay.
    """
    xy, owner = _segments(ring)
    long = lengths(xy)
    until = np.cumsum(long)
    first = np.searchsorted(owner, np.arange(len(ring)))
    around = shapely.length(ring)
    middle = until - long / 2 - (until - long)[np.minimum(first[owner], len(xy) - 1)]
    short = np.flatnonzero((long <= END) & ~closed[owner])
    away = np.arange(1, LOOKED_AT + 1) / (LOOKED_AT + 1) / 2 * around[owner[short], None]
    line = np.repeat(ring[owner[short]], LOOKED_AT)

    def along(side: int) -> FloatArray:
        at = (middle[short, None] + side * away) % around[owner[short], None]
        return shapely.get_coordinates(shapely.line_interpolate_point(line, at.ravel())).reshape(*away.shape, 2)

    gap = np.hypot(*np.moveaxis(along(1) - along(-1), 2, 0)).max(axis=1, initial=0.0)
    order = np.lexsort([gap, owner[short]])
    best = order[np.flatnonzero(np.diff(owner[short][order], prepend=-1))]
    best = best[gap[best] <= FACING]
    start = np.full(len(ring), np.nan)
    start[owner[short[best]]] = middle[short[best]]
    since = (middle - start[owner]) % around[owner]
    half = around[owner] / 2
    back = (since > half) | (since == 0.0) | ((np.abs(since - half) <= FACING) & (long <= END))
    return xy, owner, back & np.isfinite(start[owner])
