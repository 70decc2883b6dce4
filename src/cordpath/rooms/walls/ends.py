"""Ends of walls, and what lies between an end and the next wall along its axis.

Terms: *end*, a place where a wall stops: a point, the direction in which the wall would go on, its thickness.
*Gap*, the way from an end to the next wall straight on; its *cover* is the part of the way along which strokes
run in the wall's band: window lines and door panels run there, an open doorway has none.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import lines
from cordpath.model import FloatArray
from cordpath.rooms.ink import Ink
from cordpath.rooms.walls.bands import PARALLEL, STUBBY, THICKEST_IN

FAR_FT = 20.0  # widest opening looked for: two sectional doors side by side
HEADER_FT = 8.0  # widest doorway whose head is drawn in dashes
CAP_IN = (2.0, THICKEST_IN + 1.0)  # thickness of a wall end read from a wall's outline
CAP_OVER = 0.6  # of the thickness: strokes taken for walls are drawn on by half of it at their ends, and a bit
BESIDE_IN = 1.5  # from the side of a wall's end to a wall that goes through there
OVER_IN = 1.5  # a wall drawn as one stroke may stand out of one that it meets by this (half a wide cap)
WINDOW_IN = THICKEST_IN / 2 + 0.5  # off its axis to the outer line of a window, with a pen
# Both faces of the wall and the glass, along as much of an opening as closes it (GLAZED of openings.py); a sliding
# door's leaves are half as long (common practice, no source).
WINDOW_LINES, LINED = 3, 0.85
CELLS = 240


@dataclass(frozen=True, eq=False)
class End:
    at: FloatArray
    out: FloatArray  # unit vector
    thick: float


@dataclass(frozen=True, eq=False)
class Gap:
    end: End
    length: float
    cover: float
    corner: bool = False
    single: bool = False  # no more than one line runs along most of it
    window: bool = False  # three lines or more run along most of it: a window's, or of a closed leaf and its sill
    floor: bool = False  # the lines go on to both sides of the band: a floor pattern

    @property
    def far(self) -> FloatArray:
        return self.end.at + self.end.out * self.length


def _covered(shape: BaseGeometry, points: FloatArray) -> NDArray[np.bool_]:
    return np.asarray(shapely.intersects_xy(shape, points[..., 0], points[..., 1]), bool)


def _band_ends(bands: FloatArray, walls: BaseGeometry, inch: float) -> list[End]:
    """Short sides of bands with no wall 3 and 5 in ahead, and none on both sides: walls drawn as one stroke end
    in the middle of those that they meet, in their far faces, or a little beyond."""
    if not len(bands):
        return []
    p, q = (bands[:, 0] + bands[:, 3]) / 2, (bands[:, 1] + bands[:, 2]) / 2
    thick = np.hypot(*(bands[:, 0] - bands[:, 3]).T)
    length = np.hypot(*(q - p).T)
    along = (q - p) / np.maximum(length, 1e-9)[:, None]
    at, out = np.concatenate([q, p]), np.concatenate([along, -along])
    thick, length = np.r_[thick, thick], np.r_[length, length]
    side = np.stack([-out[:, 1], out[:, 0]], 1)
    probes = [(3.0, 0.0), (3.0, 0.3), (3.0, -0.3), (5.0, 0.0)]
    points = np.stack(
        [at + out * ahead * inch + side * (share * thick)[:, None] for ahead, share in probes], axis=1
    )
    aside = side * (thick / 2 + BESIDE_IN * inch)[:, None]
    meets = np.zeros(len(at), bool)
    for over in (0.0, OVER_IN):
        back = at - over * inch * out
        meets |= _covered(walls, np.stack([back + aside, back - aside], axis=1)).all(1)
    free = ~_covered(walls, points).any(1) & ~meets
    free &= (length > 2 * inch) & (length >= STUBBY * thick)
    return [End(at[k], out[k], float(thick[k])) for k in np.flatnonzero(free)]


def _outline_ends(walls: BaseGeometry, inch: float) -> list[End]:
    """Short edges of the outline whose neighbours both turn back, with open air ahead."""
    found: list[End] = []
    for part in shapely.get_parts(walls):
        if part.geom_type != "Polygon":
            continue
        part = part.simplify(0.4 * inch)
        for ring in [part.exterior, *part.interiors]:
            found += _ring_ends(shapely.get_coordinates(ring)[:-1], walls, inch)
    return found


def _ring_ends(c: FloatArray, walls: BaseGeometry, inch: float) -> list[End]:
    if len(c) < 4:
        return []
    p, q = c, np.roll(c, -1, axis=0)
    before, after = np.roll(c, 1, axis=0) - p, np.roll(c, -2, axis=0) - q
    edge = q - p
    thick = np.hypot(*edge.T)
    unit = edge / np.maximum(thick, 1e-9)[:, None]
    middle = (p + q) / 2
    out = np.stack([unit[:, 1], -unit[:, 0]], 1)
    inside = _covered(walls, middle + out * 0.8 * inch)
    out[inside] *= -1
    blocked = _covered(walls, middle + out * 0.8 * inch)
    la, lb = np.hypot(*before.T), np.hypot(*after.T)
    back = ((before * out).sum(1) < -0.85 * la) & ((after * out).sum(1) < -0.85 * lb)
    keep = back & ~blocked & (la > 2 * inch) & (lb > 2 * inch)
    keep &= (thick > CAP_IN[0] * inch) & (thick < CAP_IN[1] * inch) & (np.maximum(la, lb) > CAP_OVER * thick)
    return [End(middle[k], out[k], float(thick[k])) for k in np.flatnonzero(keep)]


def wall_ends(bands: FloatArray, walls: BaseGeometry, inch: float) -> list[End]:
    """Every place where a wall stops, each once."""
    shapely.prepare(walls)
    found: list[End] = []
    at, out = np.zeros((0, 2)), np.zeros((0, 2))
    for end in _outline_ends(walls, inch) + _band_ends(bands, walls, inch):
        twin = (np.hypot(*(at - end.at).T) < 3 * inch) & (out @ end.out > 0.99)
        if not twin.any():
            found.append(end)
            at, out = np.vstack([at, end.at]), np.vstack([out, end.out])
    return found


def find_gaps(ends: list[End], walls: BaseGeometry, ink: Ink, inch: float) -> list[Gap]:
    """From every end along its axis to the next wall, and glazed corners."""
    parts = shapely.get_parts(walls)
    wall_tree = shapely.STRtree(parts)
    every, solid = (
        (some, shapely.STRtree(lines(some.xy)))
        for some in (ink.take(ink.length > inch), ink.take((ink.length > inch) & ~ink.dashed))
    )
    gaps: list[Gap] = []
    runs: list[Gap] = []
    for end in ends:
        reach = _next_wall(end, parts, wall_tree, inch)
        length = FAR_FT * 12 * inch if reach is None else reach
        half = 0.5 * end.thick + 1.5 * inch
        headed = (
            length <= HEADER_FT * 12 * inch
        )  # dashes over a doorway are its head, over a wide gap a garage door
        count = _cells(end, length, *(solid if headed else every), inch, (-half, half))
        cover = float((count > 0).mean())
        if reach is not None and reach >= 1.2 * inch:
            beside = [_cells(end, length, *every, inch, band) for band in _sides(half, inch)]
            floor = all((c > 0).mean() > 0.7 for c in beside) if cover > 0.5 else False
            single = float((count > 1).mean()) < 0.5
            window = float((count >= WINDOW_LINES).mean()) >= LINED
            gaps.append(Gap(end, reach, cover, single=single, window=window, floor=floor))
        if reach is None or cover < 0.85:
            run = _run(count, length, inch)
            if run > 18 * inch:
                runs.append(Gap(end, run, 1.0, corner=True))
    return gaps + _corners(runs, inch)


def _sides(half: float, inch: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Strips 14 in wide on either side of the band, 1.5 in off it and clear of a window's own lines.

    Where a wall is one line, its windows are drawn as thick as it is built.
    """
    near = max(half + 1.5 * inch, WINDOW_IN * inch)
    far = near + 14.0 * inch
    return (-far, -near), (near, far)


def _strip(end: End, band: tuple[float, float], start: float, stop: float) -> BaseGeometry:
    side = np.array([-end.out[1], end.out[0]])
    low, high = side * band[0], side * band[1]
    a, b = end.at + end.out * start, end.at + end.out * stop
    return shapely.Polygon([a + high, a + low, b + low, b + high])


def _next_wall(end: End, parts: NDArray[np.object_], tree: shapely.STRtree, inch: float) -> float | None:
    half = max(0.3 * end.thick, 0.4 * inch)
    strip = _strip(end, (-half, half), 2.5 * inch, FAR_FT * 12 * inch)
    hits = tree.query(strip, predicate="intersects")
    if not len(hits):
        return None
    points = shapely.get_coordinates(shapely.intersection(parts[hits], strip))
    return float(((points - end.at) @ end.out).min()) if len(points) else None


def _cells(end: End, length: float, ink: Ink, tree: shapely.STRtree, inch: float,
           band: tuple[float, float]) -> NDArray[np.int64]:  # fmt: skip
    """(CELLS,) number of strokes along each cell of the way; lines that run past both ends by a foot
    (grids, dimensions, hatch) do not count."""
    side = np.array([-end.out[1], end.out[0]])
    pick = tree.query(_strip(end, band, 0.0, length), predicate="intersects")
    pick = pick[np.abs(ink.unit[pick] @ side) < PARALLEL]
    points = ink.xy[pick].reshape(-1, 2, 2) - end.at
    aside = (points @ side).mean(1)
    pick_side = (aside > band[0]) & (aside < band[1])
    along = np.sort((points @ end.out)[pick_side], axis=1)
    through = (along[:, 0] < -12 * inch) & (along[:, 1] > length + 12 * inch)
    along = np.clip(along[~through], 0, length) / max(length, 1e-9) * CELLS
    along = along[along[:, 1] > along[:, 0]]
    steps = np.zeros(CELLS + 1, np.int64)
    np.add.at(steps, along[:, 0].astype(int), 1)
    np.add.at(steps, np.minimum(np.ceil(along[:, 1]).astype(int), CELLS), -1)
    return np.cumsum(steps)[:CELLS]


def _run(count: NDArray[np.int64], length: float, inch: float) -> float:
    """How far two or more lines go on from the end, holes up to 6 in allowed."""
    step = length / CELLS
    inked = np.flatnonzero(count >= 2)
    if not len(inked) or inked[0] * step > 6 * inch:
        return 0.0
    breaks = np.flatnonzero(np.diff(inked) * step > 6 * inch)
    last = inked[breaks[0]] if len(breaks) else inked[-1]
    return float((last + 1) * step)


def _corners(runs: list[Gap], inch: float) -> list[Gap]:
    """Window lines that go on from two ends and meet round a corner."""
    found: list[Gap] = []
    foot = 12 * inch
    for i, a in enumerate(runs):
        for b in runs[:i]:
            u, v = a.end.out, b.end.out
            cross = float(u[0] * v[1] - u[1] * v[0])
            if abs(cross) < 0.3:
                continue
            d = b.end.at - a.end.at
            s, t = float(d[0] * v[1] - d[1] * v[0]) / cross, float(d[0] * u[1] - d[1] * u[0]) / cross
            if not (foot < s < FAR_FT * foot and foot < t < FAR_FT * foot):
                continue
            if abs(s - a.length) < 1.5 * foot and abs(t - b.length) < 1.5 * foot:
                found.append(Gap(a.end, s + a.end.thick / 2, 1.0, corner=True))
                found.append(Gap(b.end, t + b.end.thick / 2, 1.0, corner=True))
    return found
