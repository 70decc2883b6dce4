"""Lines that a plotter drew as thin filled rectangles: the pen's track, its width and its ends, and no stroke.

Pages that are drawn so as a whole are read so, and the pens of those that draw their straight lines so and the rest
as strokes: elsewhere a thin filled rectangle is a letter's stem, a mark of a symbol or a wall.

Terms: *track*, such a rectangle; *long track*, one that no letter and no mark of a symbol reaches.
"""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath.geometry import boxes_around, components, group_boxes, lengths, lines, near_boxes
from cordpath.model import WHITE, BoolArray, Fills, FloatArray, Strokes
from cordpath.sheet.ink.short_tracks import SHORT, in_line

WIDEST_PEN = 2.5  # pt, 0.9 mm: wider tracks are walls and bars
LEAST_LENGTH = 1.05  # times the width: which way a square piece was drawn cannot be told
SQUARE = 0.03  # of the long side: corners of a track are right angles but for the rounding of their places
ROUNDING = 0.02  # pt
FEWEST = 500  # tracks; a page with fewer shows no plan
OVER_STROKES = 3  # times as many tracks as strokes: the page draws its lines so
LONG = 18.0  # pt, 1/4 in: longer than the stems of all but titles' letters and the marks of symbols
WIDEST_LINE = 1.5  # pt; walls are wider: 4 1/2 in at 1/16" = 1'-0" is 1.7 pt
LONG_LINES = 40  # long tracks of a page that draws its straight lines so; the frames of notes and tables have fewer
SHARE = 0.5  # of the long straight strokes, that there are of long tracks at least
LENGTHS = 20  # different ones among these: strips that fill an area have few
OF_A_PEN = 3  # long tracks that show a pen
TOLD = 20  # tracks of a page with fewer strokes from which it is told that they may be lines: a few outlets' bars
# Pt from the edge of a track to a stroke that it is drawn together with: rounding, and half a thin pen
TOUCHING = 0.5
LEAST_ROWS = 6  # of pixels that show something, as in pictures
LEFT = 0.03  # pt that a core is left broad to each side, so that rounding leaves one at all
SLACK = 0.02  # pt that the width of an area strays from that of its pen: places are rounded
SHADE = 0.01  # of a colour's parts, by which one is another
STEP = 0.02, 0.1  # pt of width and of length that are told apart


def as_lines(strokes: Strokes, fills: Fills) -> tuple[Strokes, Fills, tuple[str, ...]]:
    """Strokes and fills, tracks of a pen as strokes where the page draws its lines as areas; and what is said."""
    corner, slim = _rectangles(fills.shape, fills.opacity >= 1.0)
    track = slim & ~_square(corner)
    xy, width = middles(corner)
    doubt = _may_be_lines(corner[track], len(strokes))
    if track.sum() >= max(FEWEST, OVER_STROKES * len(strokes)):
        xy[slim], width[slim], track[slim] = _with_short(corner[slim])
    else:
        stroked = int(((strokes.curve < 0) & (lengths(strokes.xy) > LONG)).sum())
        of_pen = _of_line_pens(corner[track], fills.colour[track], max(LONG_LINES, SHARE * stroked))
        track[track] = of_pen | _of_stroked_pens(corner[track], fills.colour[track], strokes)
    if not track.any():
        return strokes, fills, doubt
    said = (
        f"the lines of this page are drawn as thin filled areas: {track.sum()} of them are read as lines of a pen"
    )
    drawn = drawn_as(fills.take(track), xy[track], width[track])
    return together(strokes, drawn), fills.take(~track), (said,)


def _of_stroked_pens(corner: FloatArray, colour: FloatArray, strokes: Strokes) -> BoolArray:
    """(n,) which tracks have width and colour of a pen that draws strokes, and touch a stroke: the bars of a symbol
    whose circle is a stroke.  Stems of letters that are areas touch none."""
    out = np.zeros(len(corner), bool)
    xy, width = middles(corner)
    free = np.flatnonzero(strokes.ink())
    scale = np.array([STEP[0], *[SHADE] * 3])
    pens = np.column_stack([strokes.width[free].round(3), strokes.colour[free].round(2)]) / scale
    used, count = np.unique(pens, axis=0, return_counts=True)
    if not (count >= OF_A_PEN).any():
        return out
    apart, _ = cKDTree(used[count >= OF_A_PEN]).query(np.column_stack([width, colour]) / scale, p=np.inf)
    some = np.flatnonzero(apart <= 1.0)
    if not len(some):
        return out
    near = free[near_boxes(boxes_around(strokes.xy[free]), boxes_around(xy[some]), TOUCHING + WIDEST_PEN)]
    bar, reach = lines(xy[some]), width[some] / 2 + TOUCHING
    line = shapely.STRtree(lines(strokes.xy[near])).query(bar, predicate="dwithin", distance=reach)[0]
    one, two = shapely.STRtree(bar).query(bar, predicate="dwithin", distance=2 * reach)
    _, group = components(one, two, len(some))  # a bar across two bars
    out[some] = np.isin(group, group[line])
    return out


def bars(fills: Fills) -> FloatArray:
    """(n, 4) middle lines of the dark areas as thin as lines that are read as areas: lines of a symbol, perhaps."""
    corner, track = tracks(fills.shape, (fills.opacity >= 1.0) & (fills.luminance < WHITE))
    return middles(corner[track])[0]


def rows_of_pixels(fills: Fills) -> FloatArray:
    """(m, 4) boxes around tracks that fill an area side by side: a picture written row by row as rectangles, or
    another area; they are no lines of a pen, whatever they are read as."""
    corner, track = tracks(fills.shape, fills.luminance < WHITE)
    xy, width = middles(corner[track])
    shape, along = fills.shape[track], xy[:, 2:] - xy[:, :2]
    one, two = shapely.STRtree(shape).query(shape, predicate="dwithin", distance=ROUNDING)
    one, two = one[one < two], two[one < two]
    long = np.maximum(lengths(xy), ROUNDING)
    way = along / long[:, None]
    off = (xy[two, :2] + xy[two, 2:] - xy[one, :2] - xy[one, 2:]) / 2
    apart = np.abs(off[:, 0] * way[one, 1] - off[:, 1] * way[one, 0])
    shift = np.abs((off * way[one]).sum(axis=1))
    level = np.abs(way[one, 0] * way[two, 1] - way[one, 1] * way[two, 0]) <= SQUARE
    beside = level & (np.abs(apart - (width[one] + width[two]) / 2) <= ROUNDING)
    beside &= shift < (long[one] + long[two]) / 2
    count, group = components(one[beside], two[beside], len(xy))
    box = group_boxes(shapely.bounds(shape).reshape(-1, 4), group, count)
    return box[np.bincount(group, minlength=count) >= LEAST_ROWS]


def _may_be_lines(corner: FloatArray, stroked: int) -> tuple[str, ...]:
    """What is said of tracks that are not read as lines, where the page has fewer strokes: too few to tell what
    they are, and more than walls and bars of a page that draws its lines as strokes."""
    long = int((lengths(middles(corner)[0]) > LONG).sum())
    if len(corner) < max(TOLD, stroked) or (stroked and long < OF_A_PEN):  # stems of outlined letters are short
        return ()
    return (
        f"{len(corner)} filled areas of this page are as thin as lines and too few to tell whether they are lines"
        " of a pen: they are read as areas, and symbols that are drawn so are not found",
    )


def _of_line_pens(corner: FloatArray, colour: FloatArray, fewest: float) -> BoolArray:
    """(n,) which tracks are of a pen that draws long ones, on a page with ``fewest`` of these or more."""
    xy, width = middles(corner)
    long = (width <= WIDEST_LINE) & (lengths(xy) > LONG)
    far = np.unique((lengths(xy[long]) / STEP[1]).round())
    if long.sum() < fewest or len(far) < LENGTHS:
        return np.zeros(len(xy), bool)
    pens = np.column_stack([(width / STEP[0]).round(), (colour * 255).round()]).astype(np.int64)
    _, pen = np.unique(pens, axis=0, return_inverse=True)
    shown: BoolArray = np.bincount(pen.ravel(), weights=long)[pen.ravel()] >= OF_A_PEN
    return shown & (width <= WIDEST_LINE)


def drawn_as(fills: Fills, xy: FloatArray, width: FloatArray, dashed: BoolArray | None = None) -> Strokes:
    """Strokes (n, 4) and their pens (n,) in place of as many areas, of their colours."""
    no = np.zeros(len(xy), bool)
    return Strokes(
        xy, width, fills.colour, fills.layer, fills.path, np.full(len(xy), -1), no if dashed is None else dashed, no
    )


def together(one: Strokes, other: Strokes) -> Strokes:
    """The strokes of both in paint order."""
    if not len(other):
        return one
    both = {f.name: np.concatenate([getattr(one, f.name), getattr(other, f.name)]) for f in fields(Strokes)}
    order = np.argsort(both["path"], kind="stable")
    return Strokes(**{name: values[order] for name, values in both.items()})


def _with_short(corner: FloatArray) -> tuple[FloatArray, FloatArray, BoolArray]:
    """The middle lines (n, 4) and widths of rectangles, and (n,) which are tracks: also those as long as broad that
    are joined on at both ends."""
    (along, width), (across, length) = middles(corner), _middles(np.roll(_along(corner), -1, axis=1))
    turned, joined = in_line(along, across, length < SHORT * width)
    xy = np.where(turned[:, None], across, along)
    return xy, np.where(turned, length, width), ~_square(corner) | joined


def tracks(shape: NDArray[np.object_], opaque: BoolArray) -> tuple[FloatArray, BoolArray]:
    """(f, 4, 2) corners of areas, zeros for those that have not four, and (f,) which are tracks of a pen."""
    corner, slim = _rectangles(shape, opaque)
    return corner, slim & ~_square(corner)


def _square(corner: FloatArray) -> BoolArray:
    side = np.hypot(*np.diff(corner[:, :3], axis=1).transpose(2, 0, 1))
    return np.asarray(side.max(axis=1) < LEAST_LENGTH * side.min(axis=1), bool)


def _rectangles(shape: NDArray[np.object_], opaque: BoolArray) -> tuple[FloatArray, BoolArray]:
    """Corners as in :func:`tracks`, and (f,) which areas are rectangles as thin as a pen."""
    corner = np.zeros((len(shape), 4, 2))
    whole = shapely.get_type_id(shape) == shapely.GeometryType.POLYGON
    whole &= (shapely.get_num_coordinates(shape) == 5) & opaque
    if not whole.any():
        return corner, whole
    corner[whole] = shapely.get_coordinates(shape[whole]).reshape(-1, 5, 2)[:, :4]
    side = np.roll(corner, -1, axis=1) - corner
    long = np.hypot(side[..., 0], side[..., 1])
    slack = SQUARE * long.max(axis=1) * long.min(axis=1) + ROUNDING * long.max(axis=1)
    level = np.abs((side[:, 0] * side[:, 1]).sum(axis=1)) <= slack
    equal = (np.abs(side[:, 0] + side[:, 2]) <= ROUNDING).all(axis=1)
    return corner, whole & level & equal & (long.min(axis=1) <= WIDEST_PEN)


def cores(shape: NDArray[np.object_], width: FloatArray) -> tuple[NDArray[np.object_], BoolArray]:
    """(n,) what is left of areas when half of a pen so broad is taken off all around, and (n,) where that is a
    line, so that the pen may have covered the area."""
    core = shapely.buffer(shape, -(width / 2 - LEFT), join_style="mitre")
    broad = 2 * shapely.area(core) / np.maximum(shapely.length(core), 1e-9)
    whole = (shapely.get_type_id(core) == shapely.GeometryType.POLYGON) & ~shapely.is_empty(core)
    return core, np.asarray(whole & (broad <= 2 * LEFT + SLACK), bool)


def middles(corner: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(n, 4) middle lines of rectangles along their long sides, and (n,) their widths."""
    return _middles(_along(corner))


def _along(corner: FloatArray) -> FloatArray:
    """The corners (n, 4, 2) with the long side first."""
    first = np.hypot(*(corner[:, 1] - corner[:, 0]).T) >= np.hypot(*(corner[:, 2] - corner[:, 1]).T)
    return np.where(first[:, None, None], corner, np.roll(corner, -1, axis=1))


def _middles(corner: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The same along the first side."""
    start, end = (corner[:, 0] + corner[:, 3]) / 2, (corner[:, 1] + corner[:, 2]) / 2
    return np.concatenate([start, end], axis=1), np.hypot(*(corner[:, 3] - corner[:, 0]).T)
