"""Walls drawn as hatch without an outline.

Terms: *family*, strokes of one pen and one direction.  *Pitch*, the distance from one line of a hatch to the next.
*Cell*, the strip between two lines that are one pitch apart, as far as both go.  The cells of a hatched wall fill
it from face to face, but for corners: no line of the hatch ends just there.  *Bevel*, what such a corner becomes.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import directions, lines
from cordpath.model import FloatArray, IntArray
from cordpath.rooms.ink import Evidence, Ink, polygons_only
from cordpath.rooms.walls.bodies import Raw, no_bodies
from cordpath.rooms.walls.routes import thin_network

FAINT = 0.9  # luminance from which a line is no hatch: hatches are printed finer and paler than walls are
BIN, TURN = np.radians(1.0), np.radians(1.5)  # directions of one family, and how far a long stroke is off it
STEP_PT = 0.17  # what rounding to 1/600 in moves an end by: short strokes turn by it
LEAST = 60  # lines of a family: a house has some hundreds, a fireplace or a step some tens
FAMILIES = 12  # directions that are looked at, those of most lines first
SAMPLE = 300  # lines of a family that its pitch is taken from
FINEST_PT, WIDEST_IN = 0.1, 12.0  # pitch; a hatch at 45 degrees that is coarser does not fill a wall of studs
EVEN = 0.6  # part of a family that has its next line at the family's pitch; furniture has lines of its direction
SAME, SAME_PT = 0.05, 0.25  # how far pitches differ, of the pitch, and by rounding to 1/600 in at both lines
SLANT = 4.0  # pitches that the ends of two neighbours differ by along a face at most, 14 degrees to the hatch
APART = 0.5  # pitches between neighbours that do not run beside each other: a coarse hatch in a thin wall
SEAM_PT = 0.05  # between two cells, from rounding
BEVEL = 1.6  # pitches; shorter sides of an outline are bevels: two lines at 45 degrees to a face end 1.4 apart
CORNER = 3.0  # pitches from a bevel to the corner that it cuts
ROUNDED_PT = 0.2  # ends of lines on one straight face


def by_hatch(ev: Evidence, easing: float) -> Raw | None:
    """Hatches whose cells make thin areas that hang together over the building; None where there are none."""
    bodies: list[BaseGeometry] = []
    for family, axis in _families(ev.ink):
        pitch = _pitch(ev.ink.xy[family], axis, ev.inch)
        if pitch is None:
            continue
        parts = shapely.get_parts(polygons_only(_filled(ev.ink.xy[family], axis, pitch)))
        walls = parts[thin_network(parts, ev, easing)]
        bodies += [without_bevels(part, pitch) for part in walls]
    if not bodies:
        return None
    body = polygons_only(shapely.union_all(np.array(bodies, object)))
    around = shapely.buffer(body, 0.4 * ev.inch)
    shapely.prepare(around)
    used = np.asarray(shapely.covers(around, lines(ev.ink.xy)), bool)
    shapes = shapely.get_parts(body)
    order = np.full(len(shapes), int(ev.ink.order[used].max(initial=0)), np.int64)
    return Raw("hatch", shapes, order, np.zeros((0, 4, 2)), no_bodies(), used)


def _families(ink: Ink) -> Iterator[tuple[IntArray, float]]:
    """Strokes of one direction (indices into the ink) and that direction, radians; those of most strokes first."""
    pick = np.flatnonzero((ink.luminance < FAINT) & ~ink.dashed)
    angle = directions(ink.xy[pick])
    slack = TURN + np.arctan2(STEP_PT, ink.length[pick])
    left = np.ones(len(pick), bool)
    for _ in range(FAMILIES):
        count = np.bincount((angle[left] / BIN).astype(np.int64), minlength=int(np.pi / BIN) + 1)
        if count.max(initial=0) < LEAST // 4:
            return
        middle = (int(np.argmax(count)) + 0.5) * BIN
        off = (angle - middle + np.pi / 2) % np.pi - np.pi / 2
        mine = left & (np.abs(off) < slack)
        left &= ~mine
        if mine.sum() >= LEAST:
            longest = mine & (ink.length[pick] >= np.median(ink.length[pick][mine]))
            yield pick[mine], middle + float(np.median(off[longest]))


def _placed(xy: FloatArray, axis: float) -> tuple[FloatArray, FloatArray]:
    """(n, 2) where strokes begin and end along an axis, and (n,) where they lie across it."""
    u = np.array([np.cos(axis), np.sin(axis)])
    ends = xy.reshape(-1, 2, 2)
    return np.sort(ends @ u, axis=1), (ends @ np.array([-u[1], u[0]])).mean(1)


def _overlap(along: FloatArray, i: IntArray, j: IntArray) -> FloatArray:
    return np.asarray(np.minimum(along[i, 1], along[j, 1]) - np.maximum(along[i, 0], along[j, 0]), float)


def _pitch(xy: FloatArray, axis: float, inch: float) -> float | None:
    """The distance at which most strokes of a family have the next one; None where they are not evenly spaced."""
    along, across = _placed(xy, axis)
    sample = np.random.default_rng(0).permutation(len(xy))[:SAMPLE]
    shapes = lines(xy)
    q, j = shapely.STRtree(shapes).query(shapes[sample], predicate="dwithin", distance=WIDEST_IN * inch)
    gap = np.abs(across[j] - across[sample[q]])
    beside = (gap > FINEST_PT) & (_overlap(along, sample[q], j) > -APART * gap)
    nearest = np.full(len(sample), np.inf)
    np.minimum.at(nearest, q[beside], gap[beside])
    if np.isinf(nearest).mean() > 1 - EVEN:
        return None
    pitch = float(np.median(nearest[np.isfinite(nearest)]))
    return pitch if (np.abs(nearest - pitch) < SAME * pitch + SAME_PT).mean() >= EVEN else None


def _filled(xy: FloatArray, axis: float, pitch: float) -> BaseGeometry:
    """The cells of a family, put together."""
    along, across = _placed(xy, axis)
    i, j = shapely.STRtree(lines(xy)).query(lines(xy), predicate="dwithin", distance=1.5 * pitch + SAME_PT)
    gap = across[j] - across[i]
    beside = (np.abs(gap - pitch) < SAME * pitch + SAME_PT) & (_overlap(along, i, j) > -APART * pitch)
    i, j = i[beside], j[beside]
    start, stop = along[:, 0], along[:, 1]
    # A line that goes on where its neighbour ends runs into another wall: the cell ends with the shorter one.
    low, high = np.abs(start[i] - start[j]) > SLANT * pitch, np.abs(stop[i] - stop[j]) > SLANT * pitch
    both = np.maximum(start[i], start[j]), np.minimum(stop[i], stop[j])
    sides = [np.stack([np.where(low, both[0], start[k]), np.where(high, both[1], stop[k])], 1) for k in (i, j)]
    keep = (sides[0][:, 1] > sides[0][:, 0]) & (sides[1][:, 1] > sides[1][:, 0])
    u = np.array([np.cos(axis), np.sin(axis)])
    normal = np.array([-u[1], u[0]])
    one, other = (
        side[keep][..., None] * u + across[k[keep]][:, None, None] * normal
        for side, k in zip(sides, (i, j), strict=True)
    )
    cells = shapely.polygons(np.concatenate([one, other[:, ::-1]], axis=1))
    return shapely.union_all(shapely.buffer(cells, SEAM_PT, join_style="mitre"))


def without_bevels(shape: BaseGeometry, pitch: float) -> BaseGeometry:
    """A polygon whose corners are cut by sides of at most ``BEVEL`` pitches, with its corners where the faces on
    either side of them meet."""
    plain = shape.simplify(ROUNDED_PT)
    rings = [_cornered(shapely.get_coordinates(ring)[:-1], pitch) for ring in (plain.exterior, *plain.interiors)]
    made = shapely.make_valid(shapely.Polygon(rings[0], [ring for ring in rings[1:] if len(ring) > 2]))
    return polygons_only(made)


def _cornered(ring: FloatArray, pitch: float) -> FloatArray:
    """(m, 2) the ring with the corners of its faces."""
    after = np.roll(ring, -1, axis=0)
    face = np.flatnonzero(np.hypot(*(after - ring).T) > BEVEL * pitch)
    if len(face) < 3:
        return ring
    following = np.roll(face, -1)
    a, b, c, d = ring[face], after[face], ring[following], after[following]
    u, v = b - a, d - c
    cross = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    slanted = np.abs(cross) > 0.3 * np.hypot(*u.T) * np.hypot(*v.T)
    way = c - a
    t = (way[:, 0] * v[:, 1] - way[:, 1] * v[:, 0]) / np.where(slanted, cross, 1.0)
    corner = a + u * t[:, None]
    near = np.maximum(np.hypot(*(corner - b).T), np.hypot(*(corner - c).T)) < CORNER * pitch
    pieces: list[NDArray[np.float64]] = []
    for k, (here, there) in enumerate(zip(face, following, strict=True)):
        between = np.arange(here + 1, there + 1 + (len(ring) if there <= here else 0)) % len(ring)
        pieces.append(corner[k : k + 1] if slanted[k] and near[k] and len(between) > 1 else ring[between])
    return np.concatenate(pieces)
