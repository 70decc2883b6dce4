"""Dashed lines that a writer drew as one filled path with a small area a dash.

Terms: *dash*, such an area, a thin rectangle, also with half discs at its ends, or one bent round a corner or along
a curve; *row*, straight dashes of one path one after the other on one line.  A row is one dashed line, as if the
file had drawn it with a pattern.  Browsers print dashed outlines so, on pages whose other lines are strokes:
the lines of existing and removed devices, too, which nothing could be compared with as they are.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import SAGITTA_PT, chords, circle, lengths
from cordpath.model import BoolArray, FloatArray, IntArray, Strokes
from cordpath.sheet.ink.dash_shapes import ONE_PEN, bent, bent_round, round_ended
from cordpath.sheet.ink.paths import Paths
from cordpath.sheet.ink.pen_areas import middles, tracks

FEWEST = 3  # dashes of a path; two thin rectangles are an equals sign
ALIKE = 0.1  # of the area, by which whole dashes of a pattern differ; those at ends are cut
MANY, MOSTLY = 8, 0.6  # parts of a path of dashes that are joined or bent with round ends, and share alike: no word
WHOLE = 0.4  # of a path's dashes at least that are whole ones
SLIM = 1.5  # times as long as wide, at least, is a whole dash
LONGEST = 15.0  # pt of a dash (0.2 in); longer bars are louvres and steps
ASIDE = 0.1  # pt that a dash may lie beside the line of the one before it
GAP = 4.0  # times the dash: a longer way to the next one is another line
AT_CORNER = 2.0  # times the dash, what of a row may lie in a gap and a bent dash at its corner
BEYOND = 1.5  # pens by which a mitred dash may be longer than a straight one
SLANT = 0.17  # sine of the least angle between the rows at a corner, 10 degrees

_Dashed = tuple[slice, FloatArray, float]  # parts of one path, the (m, 4) lines that they are, and their pen
_Pens = dict[tuple[float, ...], float]  # by width and colour: the length of the longest dash


def dashed_lines(
    paths: Paths, ring: NDArray[np.object_], owner: IntArray, scissors: FloatArray
) -> tuple[Strokes, BoolArray]:
    """Dashed strokes in place of dashes, and (r,) which rings of the filled paths are none.

    ``ring`` (r,) in drawn order and ``owner``, the path of each; ``scissors`` (p, 4) what each path may draw in.
    One or two rectangles of the same pen and no longer than its dashes are a line too short for more of them.
    """
    parts = _Parts.of(paths, ring, owner, scissors)
    found, known, firm = _patterns(parts, paths.paint)
    is_dash = np.zeros(len(ring), bool)
    for mine, _, _ in found:
        is_dash[mine] = True
    for mine, line, pen in _remnants(parts, paths.paint, is_dash, known, firm):
        found.append((mine, line, pen))
        is_dash[mine] = True
    count = [len(line) for _, line, _ in found]
    line_of = np.repeat(np.array([owner[mine.start] for mine, _, _ in found], np.int64), count)
    n = len(line_of)
    drawn = Strokes(
        np.concatenate([np.zeros((0, 4)), *(line for _, line, _ in found)]),
        np.repeat(np.array([pen for _, _, pen in found], float), count), paths.paint[line_of],
        paths.layer[line_of], line_of, np.full(n, -1), np.ones(n, bool), np.zeros(n, bool),
    )  # fmt: skip
    return drawn, ~is_dash


@dataclass(frozen=True, eq=False)
class _Parts:
    """Parts (r,) of the filled paths, in drawn order.  Round ends are looked for where they are asked for."""

    ring: NDArray[np.object_]
    owner: IntArray
    area: NDArray[np.object_]
    size: FloatArray
    seen: BoolArray  # opaque, and not cut off by a clip
    many: IntArray  # parts of the path of each
    middle: FloatArray  # (r, 4)
    width: FloatArray
    thin: BoolArray  # which may be straight dashes

    @staticmethod
    def of(paths: Paths, ring: NDArray[np.object_], owner: IntArray, scissors: FloatArray) -> _Parts:
        area = shapely.polygons(ring)
        bounds = shapely.bounds(area).reshape(-1, 4)
        seen = (bounds[:, :2] >= scissors[owner, :2]).all(axis=1)
        seen &= (bounds[:, 2:] <= scissors[owner, 2:]).all(axis=1) & (paths.opacity[owner] >= 1.0)
        corner, thin = tracks(area, seen)
        many = np.bincount(owner, minlength=len(paths.opacity))[owner]
        return _Parts(ring, owner, area, shapely.area(area), seen, many, *middles(corner), thin)

    def read_round(self, which: BoolArray) -> None:
        """Those with half discs at their ends are straight dashes, too."""
        at = np.flatnonzero(which & ~self.thin)
        self.middle[at], self.width[at], self.thin[at] = round_ended(self.area[at])


def _patterns(parts: _Parts, paint: FloatArray) -> tuple[list[_Dashed], _Pens, _Pens]:
    """The dashed lines of paths with many dashes; how long the dashes of each of their pens are at most, and of
    those of paths that are no words."""
    likely = _likely(parts.owner, parts.size, parts.seen)
    blunt = np.zeros(len(parts.ring), bool)
    for first, last in likely:
        blunt[first:last] = last - first >= MANY  # counters of letters are round-ended, too
    parts.read_round(blunt)
    found: list[_Dashed] = []
    known: _Pens = {}
    firm: _Pens = {}
    for first, last in likely:
        mine = slice(first, last)
        dashes = _dashes(
            parts.size[mine], parts.ring[mine], parts.thin[mine], parts.middle[mine], parts.width[mine]
        )
        if dashes is None:
            continue
        found.append((mine, *dashes))
        pen = _pen(dashes[1], paint[parts.owner[first]])
        known[pen] = max(known.get(pen, 0.0), float(parts.size[mine].max()) / dashes[1])
        if last - first >= MANY:
            firm[pen] = known[pen]
    return found, known, firm


def _remnants(parts: _Parts, paint: FloatArray, is_dash: BoolArray, known: _Pens, firm: _Pens) -> Iterator[_Dashed]:
    """Lines of pens that draw dashes, too short for more than a few of them."""
    largest = max((pen[0] * dash for pen, dash in firm.items()), default=0.0)
    few, square = ~is_dash & (parts.many < MANY), parts.thin.copy()
    parts.read_round(parts.seen & few & (parts.size <= (1 + SLIM * ALIKE) * largest))
    for first, last in _short(parts.owner, parts.thin & few & bool(known)):
        pen = _pen(parts.width[first], paint[parts.owner[first]])
        mine = slice(first, last)
        dash = (known if square[first] and last == first + 1 else firm).get(pen, 0.0)
        if (parts.size[mine] / parts.width[mine] <= (1 + ALIKE) * dash).all():
            yield mine, _rows(parts.middle[mine]), float(parts.width[first])


def _short(owner: IntArray, dash: BoolArray) -> list[tuple[int, int]]:
    """First part and end of each path all of whose parts may be dashes."""
    first = np.flatnonzero(np.r_[True, owner[1:] != owner[:-1]][: len(owner)])
    end = np.r_[first[1:], len(owner)].astype(np.int64)
    whole = np.logical_and.reduceat(dash, first) if len(first) else np.zeros(0, bool)
    return [(int(a), int(b)) for a, b in zip(first[whole], end[whole], strict=True)]


def _likely(owner: IntArray, area: FloatArray, seen: BoolArray) -> list[tuple[int, int]]:
    """First part and end of each path many of whose parts have one area; parts of a path follow one another."""
    if not len(owner):
        return []
    first = np.flatnonzero(np.r_[True, owner[1:] != owner[:-1]])
    count = np.diff(np.r_[first, len(owner)])
    most = np.maximum.reduceat(area, first)
    alike = _share(area, most, first, count)
    # The last dash of a closed line may be joined to the first one; letters of a word are not so much alike.
    middle = area[np.lexsort([area, owner])][first + count // 2]
    joined = (count >= MANY) & (most < 3 * middle) & (_share(area, middle, first, count) >= MOSTLY)
    whole = np.logical_and.reduceat(seen, first) & (count >= FEWEST) & ((alike >= WHOLE) | joined)
    return [(int(a), int(a + n)) for a, n in zip(first[whole], count[whole], strict=True)]


def _share(area: FloatArray, wanted: FloatArray, first: IntArray, count: IntArray) -> FloatArray:
    """(p,) which share of a path's parts is as large as ``wanted`` (p,)."""
    each = np.repeat(wanted, count)
    near = (np.abs(area - each) <= ALIKE * each).astype(float)
    return np.asarray(np.add.reduceat(near, first) / count, float)


def _dashes(
    area: FloatArray, ring: NDArray[np.object_], thin: BoolArray, middle: FloatArray, width: FloatArray
) -> tuple[FloatArray, float] | None:
    """(k, 4) lines of a path all of whose parts are dashes of one pen, and the pen's width; None for others."""
    long = float(lengths(middle[thin]).max(initial=0.0))
    bends = []
    for part in ring[~thin]:
        points = shapely.get_coordinates(part)
        bend = bent(points) or (bent_round(points) if len(ring) >= MANY else None)
        if bend is not None:
            bends.append(bend)
        elif np.ptp(points, axis=0).max() > long + BEYOND * (area.max() / max(long, 1e-9)):
            return None  # not a dash that is mitred at a corner
    every = np.concatenate([width[thin], [bend[1] for bend in bends]])
    if not len(every):
        return None
    pen = float(np.median(every))
    if (np.abs(every - pen) > ONE_PEN * pen).any() or not SLIM * pen < area.max() / pen < LONGEST:
        return None
    turning = np.array([bend[0] for bend in bends]).reshape(-1, 4)
    if not thin.any():
        turning = _round(turning)
    return np.concatenate([_to_corners(_rows(middle[thin]), AT_CORNER * float(area.max()) / pen), turning]), pen


def _round(dash: FloatArray) -> FloatArray:
    """The whole circle or arc in chords that dashes along it show; the dashes where they show none."""
    points = np.unique(dash.reshape(-1, 2), axis=0)
    (x, y), radius, off = circle(points)
    if radius < SAGITTA_PT or off > ASIDE:
        return dash
    angle = np.sort(np.arctan2(points[:, 1] - y, points[:, 0] - x))
    step = np.diff(angle, append=angle[0] + 2 * math.pi)
    widest = int(step.argmax())
    span = 2 * math.pi - (step[widest] if step[widest] > GAP * np.median(step) else 0.0)
    first = angle[(widest + 1) % len(angle)]
    return chords(np.array([[x, y, radius, first, first + span]]))[0]


def _rows(dash: FloatArray) -> FloatArray:
    """(r, 4) lines from the first end of each row to its last; dashes of one path in drawn order."""
    if not len(dash):
        return dash.reshape(-1, 4)
    way = dash[:, 2:] - dash[:, :2]
    unit = way / np.maximum(np.hypot(*way.T), 1e-9)[:, None]
    step = (dash[1:, :2] + dash[1:, 2:] - dash[:-1, :2] - dash[:-1, 2:]) / 2
    aside = np.abs(step[:, 0] * unit[:-1, 1] - step[:, 1] * unit[:-1, 0])
    turn = np.abs(unit[1:, 0] * unit[:-1, 1] - unit[1:, 1] * unit[:-1, 0])
    whole = np.maximum(lengths(dash)[1:], lengths(dash)[:-1])
    on = (aside < ASIDE) & (turn < ASIDE) & (np.hypot(*step.T) < GAP * whole)
    first = np.flatnonzero(np.r_[True, ~on])
    last = np.r_[first[1:], len(dash)] - 1
    ends = np.concatenate([dash[first], dash[last]], axis=1).reshape(-1, 4, 2)
    along = (ends * unit[first][:, None]).sum(axis=2)
    take = np.arange(len(first))
    return np.concatenate([ends[take, along.argmin(axis=1)], ends[take, along.argmax(axis=1)]], axis=1)


def _to_corners(row: FloatArray, reach: float) -> FloatArray:
    """Rows of one path, one after the other, as far as the corner that they make: a gap may lie there."""
    out = row.copy()
    for i, j in zip(range(len(row)), np.roll(range(len(row)), -1), strict=True) if len(row) > 1 else ():
        meet = _crossing(row[i], row[j])
        if meet is None:
            continue
        near = [int(np.hypot(*(row[k].reshape(2, 2) - meet).T).argmin()) for k in (i, j)]
        away = [float(np.hypot(*(row[k].reshape(2, 2)[e] - meet))) for k, e in zip((i, j), near, strict=True)]
        if max(away) < reach:
            for k, e in zip((i, j), near, strict=True):
                out[k, 2 * e : 2 * e + 2] = meet
    return out


def _crossing(one: FloatArray, other: FloatArray) -> FloatArray | None:
    """(2,) where two lines that are no parallels cross, each drawn out as far as need be."""
    a, b = one[2:] - one[:2], other[2:] - other[:2]
    cross = a[0] * b[1] - a[1] * b[0]
    if abs(cross) < SLANT * np.hypot(*a) * np.hypot(*b):
        return None
    step = other[:2] - one[:2]
    meet: FloatArray = one[:2] + a * (step[0] * b[1] - step[1] * b[0]) / cross
    return meet


def _pen(width: float, colour: FloatArray) -> tuple[float, ...]:
    return (round(float(width), 1), *(round(float(c), 2) for c in colour))
