"""From painted paths to strokes and fills in page coordinates.

Terms: *piece*, an edge, or a chord cut from a bend; *sagitta*, the largest distance between a chord and its curve;
*ring*, pieces that follow one another and enclose an area.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.frame import Affine, apply
from cordpath.geometry import SAGITTA_PT, boxes_around, cubic, lengths
from cordpath.model import BoolArray, FloatArray, IntArray, Strokes
from cordpath.sheet.ink.clip_shapes import Shapes, cut_strokes, seen_points
from cordpath.sheet.ink.paths import Paths
from cordpath.sheet.ink.splinters import whole_lines

MOST_CHORDS = 512  # of one bend; reached only by curves over 100 in. across
NOTHING = 1e-6  # pt; shorter pieces are points
VOID = (1.0, 1.0, 0.0, 0.0)  # a box in which nothing lies
LEVEL = 0.01  # pt; control points of straight bends are rounded to hundredths of a point
DOT = 1.5  # pt; a point made with a round pen this wide is seen as a dot, a thinner one is the end of a line
NO_WIDTH = 1e-3  # pt across; coordinates are written to hundredths or thousandths of a point
FARTHEST = 1e7  # pt; coordinates beyond are damage


@dataclass(frozen=True, eq=False)
class Pieces:
    """Edges and chords of all paths, in paint order, page coordinates."""

    xy: FloatArray  # (n, 4)
    path: IntArray  # (n,)
    curve: IntArray  # (n,) number of the bend, -1 for edges


def pieces(paths: Paths, to_page: Affine) -> Pieces:
    """Reduce every path to straight pieces in page coordinates."""
    bends = apply(to_page, paths.bend)
    level = _straight(bends)
    start, end = bends[level, :2], bends[level, 6:]
    bends[level, 2:6] = np.concatenate([(2 * start + end) / 3, (start + 2 * end) / 3], axis=1)  # one chord will do
    chords, bend = _chords(bends)
    edges = apply(to_page, paths.edge)
    xy = np.concatenate([edges, chords])
    path = np.concatenate([paths.edge_path, paths.bend_path[bend]])
    curve = np.concatenate([np.full(len(edges), -1, np.int64), np.where(level[bend], -1, bend)])
    # An edge comes at 2 i + 1, a bend that had k edges before it at 2 k: a stable sort restores the drawn order.
    when = np.concatenate([2 * np.arange(len(edges)) + 1, 2 * paths.bend_before[bend]])
    order = np.argsort(when, kind="stable")
    sound = (np.isfinite(xy) & (np.abs(xy) < FARTHEST)).all(axis=1)[order]
    order = order[sound]
    return Pieces(xy[order], path[order], curve[order])


def _straight(bends: FloatArray) -> BoolArray:
    """(b,) bends that are straight lines: their control points lie on the line, between its ends."""
    start, along = bends[:, None, :2], bends[:, None, 6:] - bends[:, None, :2]
    off = bends[:, 2:6].reshape(-1, 2, 2) - start
    extent = np.hypot(along[..., 0], along[..., 1])
    with np.errstate(invalid="ignore"):
        across = np.abs(off[..., 0] * along[..., 1] - off[..., 1] * along[..., 0])
        on = (off * along).sum(axis=-1)
        level = (across <= LEVEL * extent) & (on >= -LEVEL * extent) & (on <= (extent + LEVEL) * extent)
        return np.asarray(level.all(axis=1) & (extent[:, 0] > NOTHING), bool)


def _chords(bends: FloatArray) -> tuple[FloatArray, IntArray]:
    """(m, 4) chords of (b, 8) cubic Beziers, and (m,) the bend each was cut from.

    The number of chords follows from the bound  sagitta <= max|B''| / (8 n^2),  with |B''| bounded by six times the
    second differences of the control points (standard bound, for instance Farin, Curves and Surfaces for CAGD).
    """
    p = np.where(np.isfinite(bends), bends, 0.0).reshape(-1, 4, 2)
    bend = np.abs(np.diff(p, n=2, axis=1))
    second = 6.0 * np.hypot(bend[..., 0], bend[..., 1]).max(axis=1, initial=0.0)
    count = np.clip(np.ceil(np.sqrt(second / (8.0 * SAGITTA_PT))), 1, MOST_CHORDS).astype(np.int64)
    owner = np.repeat(np.arange(len(p)), count)
    step = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    ends = [cubic(p[owner], (step + shift) / count[owner]) for shift in (0, 1)]
    chords = np.concatenate(ends, axis=1)
    broken = np.asarray(~np.isfinite(bends).all(axis=1), bool)
    chords[broken[owner]] = np.nan
    return chords, owner


def page_scissors(paths: Paths, to_page: Affine, size: tuple[float, float]) -> FloatArray:
    """(c + 1, 4) the box in page coordinates of each clip, cut to the page, and last the page itself: -1, for no
    clip, takes it."""
    page = np.array([0.0, 0.0, *size])
    boxes = boxes_around(apply(to_page, np.nan_to_num(paths.scissors, posinf=FARTHEST, neginf=-FARTHEST)))
    boxes[:, :2] = np.maximum(boxes[:, :2], page[:2])
    boxes[:, 2:] = np.minimum(boxes[:, 2:], page[2:])
    void = (paths.scissors[:, :2] >= paths.scissors[:, 2:]).any(axis=1)  # clips that share nothing
    boxes[void] = VOID
    return np.concatenate([boxes, page[None]])


def clipped(xy: FloatArray, box: FloatArray) -> tuple[FloatArray, BoolArray]:
    """Cut (n, 4) segments to (n, 4) boxes (Liang and Barsky 1984): the segments, and (n,) has it a part inside."""
    start, run = xy[:, :2], xy[:, 2:] - xy[:, :2]
    enter, leave = np.zeros(len(xy)), np.ones(len(xy))
    inside = (box[:, 0] <= box[:, 2]) & (box[:, 1] <= box[:, 3])
    for axis in (0, 1):
        low, high = box[:, axis] - start[:, axis], box[:, axis + 2] - start[:, axis]
        move = run[:, axis]
        still = move == 0
        safe = np.where(still, 1.0, move)
        first, last = np.minimum(low / safe, high / safe), np.maximum(low / safe, high / safe)
        enter = np.where(still, enter, np.maximum(enter, first))
        leave = np.where(still, leave, np.minimum(leave, last))
        inside &= ~still | ((low <= 0) & (high >= 0))
    inside &= enter <= leave
    cut = np.concatenate([start + run * enter[:, None], start + run * leave[:, None]], axis=1)
    whole = inside & (enter == 0) & (leave == 1)
    return np.where(whole[:, None], xy, cut), inside


def strokes(paths: Paths, all_pieces: Pieces, scissors: FloatArray, shapes: Shapes) -> tuple[Strokes, FloatArray]:
    """The visible strokes (``covered`` still unset), and (d, 3) dots: x, y, path of points made with a wide pen."""
    drawn = paths.stroked[all_pieces.path]
    xy, path, curve = all_pieces.xy[drawn], all_pieces.path[drawn], all_pieces.curve[drawn]
    xy, whole = whole_lines(xy, path, curve)
    xy, path, curve = xy[whole], path[whole], curve[whole]
    point = lengths(xy) < NOTHING
    xy_cut, inside = clipped(xy, scissors[path])
    is_dot = point & inside & ~paths.butt[path] & (paths.width[path] >= DOT)
    is_dot &= seen_points(xy[:, :2], paths.clip[path], shapes)
    dots = np.column_stack([xy[is_dot, :2], path[is_dot]])
    keep = inside & ~point & (lengths(xy_cut) >= NOTHING)
    xy, path, curve = xy_cut[keep], path[keep], curve[keep]
    if shapes:
        xy, of = cut_strokes(xy, paths.clip[path], shapes)
        path, curve = path[of], curve[of]
    return Strokes(
        xy, paths.width[path], paths.pen[path], paths.layer[path], path, curve,
        paths.dashed[path], np.zeros(len(path), bool),
    ), dots  # fmt: skip


def as_hairlines(paths: Paths, all_pieces: Pieces) -> Paths:
    """Fills that enclose nothing are lines as thin as the device draws (ISO 32000-2, 8.5.3.1 and 10.7.4).  Some
    viewers leave them out: it is not sure whether anybody sees them."""
    xy, path = all_pieces.xy, all_pieces.path
    used = paths.filled[path] & ~paths.stroked[path]
    xy, path = xy[used], path[used]
    if not len(xy):
        return paths
    ring = np.cumsum(_jumps(xy, path)) - 1
    first = np.flatnonzero(np.diff(ring, prepend=-1))
    out = xy[:, 2:] - xy[first[ring], :2]
    far = np.hypot(*out.T)
    most = np.maximum.reduceat(far, first)
    tip = np.full(len(first), len(xy))
    at_tip = np.flatnonzero(far >= most[ring])
    np.minimum.at(tip, ring[at_tip], at_tip)
    way = out[tip] / np.maximum(most, NOTHING)[:, None]
    off = np.abs(out[:, 0] * way[ring, 1] - out[:, 1] * way[ring, 0])
    broad = np.zeros(len(paths), bool)
    broad[path[off > NO_WIDTH]] = True
    line = np.unique(path[(most > NO_WIDTH)[ring] & ~broad[path]])
    if not len(line):
        return paths
    stroked, filled, unsure = paths.stroked.copy(), paths.filled.copy(), paths.unsure.copy()
    pen, width = paths.pen.copy(), paths.width.copy()
    stroked[line], filled[line], unsure[line] = True, False, True
    pen[line], width[line] = paths.paint[line], 0.0
    return replace(paths, stroked=stroked, filled=filled, unsure=unsure, pen=pen, width=width)


def _jumps(xy: FloatArray, path: IntArray) -> BoolArray:
    """(n,) pieces (n, 4) of paths (n,) that begin a ring: the one before is elsewhere or closes its ring."""
    jump = np.ones(len(xy), bool)
    jump[1:] = (path[1:] != path[:-1]) | (np.abs(xy[1:, :2] - xy[:-1, 2:]) > 1e-4).any(axis=1)
    first = np.flatnonzero(jump)[np.cumsum(jump) - 1]
    number = np.arange(len(xy)) - first
    closed = (np.abs(xy[:, 2:] - xy[first, :2]) <= 1e-4).all(axis=1) & (number >= 2)
    jump[1:] |= closed[:-1]
    return jump


def rings(paths: Paths, all_pieces: Pieces) -> tuple[NDArray[np.object_], IntArray]:
    """Closed linear rings of the filled paths (a fill closes every open part), and the path of each."""
    used = paths.filled[all_pieces.path]
    xy, path = all_pieces.xy[used], all_pieces.path[used]
    if not len(xy):
        return np.zeros(0, object), np.zeros(0, np.int64)
    jump = _jumps(xy, path)
    # Parts that begin where the last one ended are chained; the repair of invalid areas takes them apart again.
    ring = np.cumsum(jump) - 1
    size = np.bincount(ring)
    first = np.flatnonzero(jump)
    # Each ring's points: every start, and the end of its last piece.
    last = first + size - 1
    points = np.concatenate([xy[:, :2], xy[last, 2:]])
    owner = np.concatenate([ring, np.arange(len(first))])
    order = np.argsort(owner, kind="stable")
    points, owner = points[order], owner[order]
    enough = np.bincount(owner)[owner] >= 3
    kept, index = np.unique(owner[enough], return_inverse=True)
    if not len(kept):
        return np.zeros(0, object), np.zeros(0, np.int64)
    return shapely.linearrings(points[enough], indices=index), path[first[kept]]
