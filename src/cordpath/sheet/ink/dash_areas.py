"""Dashed lines that a writer drew as one filled path with a small area a dash.

Terms: *dash*, such an area, a thin rectangle, also with half discs at its ends, or one bent round a corner or along
a curve; *row*, straight dashes of one path one after the other on one line.  A row is one dashed line, as if the
file had drawn it with a pattern.  Browsers print dashed outlines so, on pages whose other lines are strokes:
existing and removed devices had no line that could be compared with anything.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import SAGITTA_PT, chords, circle, lengths
from cordpath.model import BoolArray, FloatArray, IntArray, Strokes
from cordpath.sheet.ink.paths import Paths
from cordpath.sheet.ink.pen_areas import LEFT, WIDEST_PEN, cores, middles, tracks

ROUND_ENDED = 9  # corners of a dash with half discs at its ends, at least
FEWEST = 3  # dashes of a path; two thin rectangles are an equals sign
ONE_PEN = 0.06  # of the width, by which dashes of one pen differ
ALIKE = 0.1  # of the area, by which whole dashes of a pattern differ; those at ends are cut
MANY, MOSTLY = 8, 0.6  # parts of a path of dashes that are joined or bent with round ends, and share alike: no word
WHOLE = 0.4  # of a path's dashes at least that are whole ones
SLIM = 1.5  # times as long as wide, at least, is a whole dash
LONGEST = 15.0  # pt of a dash (0.2 in); longer bars are louvres and steps
ASIDE = 0.1  # pt that a dash may lie beside the line of the one before it
GAP = 4.0  # times the dash: a longer way to the next one is another line
AT_CORNER = 2.0  # times the dash, what of a row may lie in a gap and a bent dash at its corner
BLUNT = math.radians(60)  # the least turn at the corners of a dash's end
BEYOND = 1.5  # pens by which a mitred dash may be longer than a straight one
SLANT = 0.17  # sine of the least angle between the rows at a corner, 10 degrees


def dashed_lines(
    paths: Paths, ring: NDArray[np.object_], owner: IntArray, scissors: FloatArray
) -> tuple[Strokes, BoolArray]:
    """Dashed strokes in place of dashes, and (r,) which rings of the filled paths are none.

    ``ring`` (r,) in drawn order and ``owner``, the path of each; ``scissors`` (p, 4) what each path may draw in.
    One or two rectangles of the same pen and no longer than its dashes are a line too short for more of them.
    """
    area = shapely.polygons(ring)
    bounds = shapely.bounds(area).reshape(-1, 4)
    seen = (bounds[:, :2] >= scissors[owner, :2]).all(axis=1) & (bounds[:, 2:] <= scissors[owner, 2:]).all(axis=1)
    seen &= paths.opacity[owner] >= 1.0
    corner, thin = tracks(area, seen)
    middle, width = middles(corner)
    many = np.bincount(owner, minlength=len(paths.opacity))
    lines, pens, of, is_dash = [], [], [], np.zeros(len(ring), bool)
    known: dict[tuple[float, ...], float] = {}
    firm: dict[tuple[float, ...], float] = {}  # of paths that are no words
    size = shapely.area(area)
    likely = _likely(owner, size, seen)
    blunt = np.zeros(len(ring), bool)
    for first, last in likely:
        blunt[first:last] = ~thin[first:last] & (last - first >= MANY)  # counters of letters are round-ended, too
    at = np.flatnonzero(blunt)
    middle[at], width[at], thin[at] = _round_ended(area[at])
    for first, last in likely:
        path, mine = owner[first], slice(first, last)
        found = _dashes(size[mine], ring[mine], thin[mine], middle[mine], width[mine])
        if found is None:
            continue
        lines.append(found[0])
        pens.append(np.full(len(found[0]), found[1]))
        of.append(np.full(len(found[0]), path))
        is_dash[mine] = True
        pen = _pen(found[1], paths.paint[path])
        known[pen] = max(known.get(pen, 0.0), float(size[mine].max()) / found[1])
        if last - first >= MANY:
            firm[pen] = known[pen]
    largest = max((pen[0] * dash for pen, dash in firm.items()), default=0.0)
    round_ = ~thin
    at = np.flatnonzero(seen & ~thin & ~is_dash & (many[owner] < MANY) & (size <= (1 + SLIM * ALIKE) * largest))
    middle[at], width[at], thin[at] = _round_ended(area[at])
    for first, last in _short(owner, thin & ~is_dash & (many[owner] < MANY) & bool(known)):
        pen = _pen(width[first], paths.paint[owner[first]])
        mine = slice(first, last)
        dash = (firm if round_[first] or last > first + 1 else known).get(pen, 0.0)
        if (size[mine] / width[mine] <= (1 + ALIKE) * dash).all():
            lines.append(_rows(middle[mine]))
            pens.append(np.full(len(lines[-1]), width[first]))
            of.append(np.full(len(lines[-1]), owner[first]))
            is_dash[mine] = True
    line_of = np.concatenate([np.zeros(0, np.int64), *of])
    n = len(line_of)
    drawn = Strokes(
        np.concatenate([np.zeros((0, 4)), *lines]), np.concatenate([np.zeros(0), *pens]), paths.paint[line_of],
        paths.layer[line_of], line_of, np.full(n, -1), np.ones(n, bool), np.zeros(n, bool),
    )  # fmt: skip
    return drawn, ~is_dash


def _short(owner: IntArray, dash: BoolArray) -> list[tuple[int, int]]:
    """First part and end of each path all of whose parts may be dashes."""
    first = np.flatnonzero(np.r_[True, owner[1:] != owner[:-1]][: len(owner)])
    end = np.r_[first[1:], len(owner)].astype(np.int64)
    whole = np.logical_and.reduceat(dash, first) if len(first) else np.zeros(0, bool)
    return [(int(a), int(b)) for a, b in zip(first[whole], end[whole], strict=True)]


def _round_ended(area: NDArray[np.object_]) -> tuple[FloatArray, FloatArray, BoolArray]:
    """(n, 4) middle lines between the middles of the half discs at the ends of areas, (n,) how broad they are, and
    (n,) which are straight dashes with such ends: what fills as much of the box along it."""
    if not len(area):
        return np.zeros((0, 4)), np.zeros(0), np.zeros(0, bool)
    box = shapely.oriented_envelope(area)
    flat = shapely.get_type_id(box) == shapely.GeometryType.POLYGON
    corner = np.zeros((len(area), 4, 2))
    corner[flat] = shapely.get_coordinates(shapely.get_exterior_ring(box[flat])).reshape(-1, 5, 2)[:, :4]
    middle, width = middles(corner)
    long = np.maximum(lengths(middle), 1e-9)
    wanted = width * (long - width) + math.pi / 4 * width**2
    round_ = flat & (np.abs(shapely.area(area) - wanted) <= ONE_PEN / 2 * wanted)
    round_ &= (
        (width <= WIDEST_PEN) & (long - width >= width / 2) & (shapely.get_num_coordinates(area) >= ROUND_ENDED)
    )
    inward = (middle[:, 2:] - middle[:, :2]) * (width / long / 2)[:, None]
    return np.concatenate([middle[:, :2] + inward, middle[:, 2:] - inward], axis=1), width, round_


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
        bend = _bent(points) or (_bent_round(points) if len(ring) >= MANY else None)
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
    bent = np.array([bend[0] for bend in bends]).reshape(-1, 4)
    if not thin.any():
        bent = _round(bent)
    return np.concatenate([_to_corners(_rows(middle[thin]), AT_CORNER * float(area.max()) / pen), bent]), pen


def _round(bent: FloatArray) -> FloatArray:
    """The whole circle or arc in chords that dashes along it show; the dashes where they show none."""
    points = np.unique(bent.reshape(-1, 2), axis=0)
    (x, y), radius, off = circle(points)
    if radius < SAGITTA_PT or off > ASIDE:
        return bent
    angle = np.sort(np.arctan2(points[:, 1] - y, points[:, 0] - x))
    step = np.diff(angle, append=angle[0] + 2 * math.pi)
    widest = int(step.argmax())
    span = 2 * math.pi - (step[widest] if step[widest] > GAP * np.median(step) else 0.0)
    first = angle[(widest + 1) % len(angle)]
    return chords(np.array([[x, y, radius, first, first + span]]))[0]


def _bent(ring: FloatArray) -> tuple[FloatArray, float] | None:
    """(2, 4) the middle line of a bent dash, in two pieces, and its width; None where it has not two blunt ends."""
    side = np.diff(ring, axis=0)
    edge = np.hypot(*side.T)
    n = len(edge)
    before = np.roll(side, 1, axis=0)
    turn = np.arctan2(before[:, 0] * side[:, 1] - before[:, 1] * side[:, 0], (before * side).sum(axis=1))
    turn *= np.sign(turn.sum())  # outward corners turn the way that the ring runs
    blunt = np.flatnonzero((turn > BLUNT) & (np.roll(turn, -1) > BLUNT))
    if n < 5 or len(blunt) < 2:
        return None
    i, j = sorted(int(k) for k in blunt[np.argsort(edge[blunt], kind="stable")[:2]])
    if abs(edge[j] - edge[i]) > ONE_PEN * edge[i] or min(j - i, n - j + i) < 2:
        return None
    open_ring = ring[:-1]
    one = open_ring[np.arange(i + 1, j + 1) % n]
    other = open_ring[np.arange(j + 1, i + n + 1) % n][::-1]
    line = np.array([(one[0] + other[0]) / 2, (_halfway(one) + _halfway(other)) / 2, (one[-1] + other[-1]) / 2])
    return np.concatenate([line[:-1], line[1:]], axis=1), float((edge[i] + edge[j]) / 2)


def _bent_round(ring: FloatArray) -> tuple[FloatArray, float] | None:
    """As :func:`_bent`, of a dash with half discs at its ends: of one w broad and L long, A = wL + πw²/4 and the
    way around it P = 2L + πw."""
    area = shapely.Polygon(ring)
    spread = area.length**2 - 4 * math.pi * area.area
    width = (area.length - math.sqrt(max(spread, 0.0))) / math.pi
    if len(ring) < ROUND_ENDED or spread <= 0 or not area.is_valid or not 2 * LEFT < width <= WIDEST_PEN:
        return None
    (core,), (is_line,) = cores(np.array([area]), np.array([width]))
    if not is_line:
        return None
    at = shapely.get_coordinates(core.exterior)[:-1]
    apart = np.hypot(*np.moveaxis(at[:, None] - at[None], 2, 0))
    i, j = sorted(int(k) for k in np.unravel_index(apart.argmax(), apart.shape))
    if j - i < 2 or len(at) - j + i < 2:
        return None
    one, other = at[i : j + 1], np.concatenate([at[j:], at[: i + 1]])[::-1]
    line = np.array([at[i], (_halfway(one) + _halfway(other)) / 2, at[j]])
    return np.concatenate([line[:-1], line[1:]], axis=1), width


def _halfway(chain: FloatArray) -> FloatArray:
    """(2,) the corner of a chain of three points, the middle of its way otherwise."""
    if len(chain) == 3:
        corner: FloatArray = chain[1]
        return corner
    way = np.r_[0.0, np.cumsum(np.hypot(*np.diff(chain, axis=0).T))]
    return np.array([np.interp(way[-1] / 2, way, chain[:, k]) for k in (0, 1)])


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
