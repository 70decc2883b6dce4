"""How much of a template lies on ink at a pose, and how the pose is bettered.

Terms: *association*, a short piece of the sheet's ink near a pose, brought to the template frame, with the
sample that it lies nearest to among those of a like direction; *coverage*, the share of a template's length that
has ink within the tolerance and of a like direction (0 to 1).

The sheet's ink is looked up in the template's association map, so the cost is that of the ink near the pose and
not of ink times samples.  One association gives coverage, the normal equations of the fit (point to line) and
the evidence.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from hashlib import blake2b

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.association import Maps
from cordpath.symbols.grid import BINS, within
from cordpath.symbols.normalise import Ink
from cordpath.symbols.pose import MIRROR, SCALE, TURN, into_frame, place
from cordpath.symbols.template import Template

LEAST = 0.80  # coverage under which a pose is no candidate at all
MOST_MOVE = np.array([0.8, 0.8, 0.08, 0.05])  # pt, pt, radians, share: one step of the fit
LIKE = math.sin(math.radians(15))  # of a like direction; 16-sided circles are off by 11 degrees
DRIFT = 1.0  # pt by which few poses move while they are fitted
LARGE = 20.0  # pt of body radius from which a pose's small errors of scale and turn move its rim off the ink
BATCH = 20_000  # associations at once: larger batches leave the processor's cache and are slower (measured)


@dataclass(frozen=True, eq=False)
class Pieces:
    """Pieces of ink in the template frame, cut from r rows: a segment near a pose is a row.

    Most pieces lie on no mark, so what they have from their rows is only spread out when it is asked for.
    """

    row: IntArray  # (k,) of each piece
    x: FloatArray  # (k,)
    y: FloatArray
    px: IntArray  # (k,) cell of the maps
    py: IntArray
    of_pose: IntArray  # (r,)
    of_segment: IntArray
    way_x: FloatArray  # (r,) direction of the segment
    way_y: FloatArray
    like: FloatArray  # (r,) sine of the angle that counts as a like direction
    stands_for: FloatArray  # (r,) length that a piece stands for, in the template frame
    bin: IntArray  # (r,) direction bin

    @cached_property
    def pose(self) -> IntArray:
        return self.of_pose[self.row]

    @cached_property
    def segment(self) -> IntArray:
        return self.of_segment[self.row]

    @cached_property
    def ux(self) -> FloatArray:
        return self.way_x[self.row]

    @cached_property
    def uy(self) -> FloatArray:
        return self.way_y[self.row]

    @cached_property
    def slack(self) -> FloatArray:
        return self.like[self.row]

    @cached_property
    def weight(self) -> FloatArray:
        return self.stands_for[self.row]

    @cached_property
    def sector(self) -> IntArray:
        return self.bin[self.row]

    def on(self, maps: Maps) -> IntArray:
        """(k,) the nearest sample of a like direction, -1 for none."""
        side = maps.side
        return maps.sample.reshape(-1)[(self.bin * (side * side))[self.row] + self.px * side + self.py]


@dataclass(frozen=True, eq=False)
class Near:
    """Segments near each of some poses, good for all poses whose centres have moved little since."""

    centres: FloatArray  # (n, 2)
    start: IntArray  # (n + 1,) where the segments of each begin
    segment: IntArray
    radius: float  # pt

    @staticmethod
    def of(template: Template, ink: Ink, poses: FloatArray) -> Near:
        centres = place(poses, template.centre[None])[:, 0]
        radius = (template.radius + 1.5) * float(poses[:, SCALE].max(initial=template.highest)) + DRIFT
        pose, segment = ink.grid.near(centres, radius)
        return Near(centres, np.searchsorted(pose, np.arange(len(poses) + 1)), segment, radius)

    def within(self, ink: Ink, part: slice, centres: FloatArray, radius: float) -> tuple[IntArray, IntArray] | None:
        """What ``ink.grid.near`` gives for poses of a part; None where one of them has moved too far for that."""
        moved = np.hypot(*(centres - self.centres[part]).T).max(initial=0.0)
        if moved + radius > self.radius:
            return None
        cut = self.start[part.start : part.stop + 1]
        segment = self.segment[cut[0] : cut[-1]]
        pose = np.repeat(np.arange(len(cut) - 1), np.diff(cut))
        close = within(ink.xy[segment], centres[pose], radius)
        return pose[close], segment[close]


def pieces(
    template: Template, ink: Ink, poses: FloatArray, step: float, near: Near | None = None, *, marks: bool = False
) -> Iterator[tuple[slice, Pieces]]:
    """Batches of poses (as a slice) with the ink near them; ``Pieces.pose`` counts from the slice's start.

    ``marks``: only the pieces that may lie on marks, so not those that are clutter.
    """
    size = max(1, int(BATCH / (3 * template.radius / step)))
    for start in range(0, len(poses), size):
        part = slice(start, min(start + size, len(poses)))
        yield part, _pieces(template, ink, poses[part], step, near, part, marks)


def _pieces(
    template: Template, ink: Ink, poses: FloatArray, step: float, near: Near | None, part: slice, marks: bool
) -> Pieces:
    maps, reach = template.maps, template.radius + 1.5
    centres = place(poses, template.centre[None])[:, 0]
    radius = reach * float(poses[:, SCALE].max())
    pairs = near.within(ink, part, centres, radius) if near is not None else None
    pose, segment = pairs if pairs is not None else ink.grid.near(centres, radius)
    q = into_frame(poses, ink.xy[segment], pose)
    d = q[:, 2:] - q[:, :2]
    length = np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-6)
    ux, uy = d[:, 0] / length, d[:, 1] / length
    # only the part of a segment within reach of the centre is cut into pieces
    ax, ay = template.centre[0] - q[:, 0], template.centre[1] - q[:, 1]
    along = ax * ux + ay * uy
    half = np.sqrt(np.maximum(0.0, reach**2 - (ax * uy - ay * ux) ** 2))
    t0, t1 = np.clip(along - half, 0, length), np.clip(along + half, 0, length)
    cut = t1 - t0
    parts = np.maximum(1, np.ceil(cut / step).astype(np.int64))
    sector = np.floor(np.mod(np.arctan2(uy, ux), np.pi) * (BINS / np.pi)).astype(np.int64) % BINS
    first, count = np.zeros(len(parts), np.int64), parts
    if marks:
        first, count = _inside(q[:, :2] + np.c_[ux, uy] * t0[:, None], np.c_[ux, uy], cut / parts, parts,
                               maps.reach[sector])  # fmt: skip
    i = np.repeat(np.arange(len(parts)), count)
    number = np.arange(len(i)) - np.repeat(np.cumsum(count) - count - first, count)
    t = t0[i] + cut[i] * (number + 0.5) / parts[i]
    x, y = q[i, 0] + ux[i] * t, q[i, 1] + uy[i] * t
    px = np.clip(((x - maps.low[0]) / maps.cell).astype(np.int64), 0, maps.side - 1)
    py = np.clip(((y - maps.low[1]) / maps.cell).astype(np.int64), 0, maps.side - 1)
    slack = LIKE + 0.1 / np.maximum(length, 0.1)
    return Pieces(i, x, y, px, py, pose, segment, ux, uy, slack, cut / parts, sector)


def _inside(
    start: FloatArray, unit: FloatArray, step: FloatArray, parts: IntArray, box: FloatArray
) -> tuple[IntArray, IntArray]:
    """Number of the first piece of each row that may lie in its box, and how many; most rows have none."""
    enter, leave = np.zeros(len(start)), parts * step
    outside = np.zeros(len(start), bool)
    for axis in (0, 1):
        way = unit[:, axis]
        flat = np.abs(way) < 1e-9
        with np.errstate(invalid="ignore"):
            low, high = box[:, axis] - start[:, axis], box[:, axis + 2] - start[:, axis]
            outside |= (low > high) | (flat & ((low > 0) | (high < 0)))
            over = np.where(flat, 1.0, way)
            one, two = low / over, high / over
        enter = np.where(flat, enter, np.maximum(enter, np.minimum(one, two)))
        leave = np.where(flat, leave, np.minimum(leave, np.maximum(one, two)))
    some = np.flatnonzero(~outside & (leave >= enter))
    size = np.maximum(step[some], 1e-12)
    first, count = np.zeros(len(start), np.int64), np.zeros(len(start), np.int64)
    first[some] = np.minimum(np.floor(enter[some] / size), parts[some] - 1).astype(np.int64)
    count[some] = np.minimum(np.floor(leave[some] / size) + 1, parts[some]).astype(np.int64) - first[some]
    return first, count


def touching(template: Template, p: Pieces, tolerance: float, loose: float = 0.0) -> tuple[IntArray, IntArray]:
    """Pieces that lie on a mark: their indices, and the sample that each lies on."""
    j = p.on(template.maps)
    k = np.flatnonzero(j >= 0)
    of = j[k].astype(np.int64)
    across, along, cross = _offset(template, p, k, of)
    ok = (np.abs(across) < tolerance) & (cross < p.like[p.row[k]])
    ok &= np.abs(along) < max(0.6 * template.step, 0.12) + 0.1 + loose * template.step
    return k[ok], of[ok]


def _offset(template: Template, p: Pieces, k: IntArray, j: IntArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    tx, ty = np.cos(template.tangents)[j], np.sin(template.tangents)[j]
    qx, qy = p.x[k] - template.points[:, 0][j], p.y[k] - template.points[:, 1][j]
    row = p.row[k]
    return -qx * ty + qy * tx, qx * tx + qy * ty, np.abs(p.way_x[row] * ty - p.way_y[row] * tx)


def coverage(
    template: Template, ink: Ink, poses: FloatArray, *, coarse: bool = False, near: Near | None = None
) -> FloatArray:
    """(n,) coverage of every pose; ``coarse``: with the tolerance of a pose that is not fitted yet."""
    out = np.zeros(len(poses))
    step = (1.0 if coarse else 0.5) * template.step
    tolerance = 0.7 * template.reach if coarse else template.tolerance
    for part, p in pieces(template, ink, poses, step, near, marks=True):
        k, j = touching(template, p, tolerance, 0.5 if coarse else 0.0)
        hit = np.zeros((part.stop - part.start, len(template.points)), bool)
        hit[p.of_pose[p.row[k]], j] = True
        out[part] = (spread(template, hit, coarse) * template.weight).sum(1) / template.ink
    return out


def spread(template: Template, hit: BoolArray, coarse: bool = False) -> BoolArray:
    """Samples closer together than the pieces of ink share their hits with neighbours of the same element."""
    fine = (template.weight < 0.6 * template.step) & (template.weight > 0)
    same = template.element[1:] == template.element[:-1]
    rounds = 1 if coarse else 0
    if fine.any():
        need = math.ceil(0.5 * template.step / max(0.02, float(template.weight[fine].min())))
        rounds = max(rounds, min(need, 4))
    wanted = np.ones(len(fine), bool) if coarse else fine
    for _ in range(rounds):
        wider = hit.copy()
        wider[:, 1:] |= hit[:, :-1] & same & wanted[1:]
        wider[:, :-1] |= hit[:, 1:] & same & wanted[:-1]
        hit = wider
    return hit


def fitted(template: Template, ink: Ink, poses: FloatArray, share: float, near: Near | None = None) -> FloatArray:
    """Poses after one step of least squares from samples to the ink within a share of the template's reach.

    Unknowns: shift, turn and scale about the body's centre; a little damping holds what the ink does not tell.
    """
    n = len(poses)
    normal = np.zeros((n, 4, 4))
    right = np.zeros((n, 4))
    limit = max(share * template.reach, 1.6 * template.tolerance)
    calm = (limit / 3) ** 2  # a wall's face beside a mark must not pull as hard as the mark's own line
    for part, p in pieces(template, ink, poses, template.step, near, marks=True):
        nearest = p.on(template.maps)
        k = np.flatnonzero(nearest >= 0)
        j: IntArray = nearest[k].astype(np.int64)
        across, _, cross = _offset(template, p, k, j)
        ok = (np.abs(across) < limit) & (cross < p.like[p.row[k]])
        k, j, across = k[ok], j[ok], across[ok]
        pose = p.of_pose[p.row[k]]
        nx, ny = -np.sin(template.tangents)[j], np.cos(template.tangents)[j]
        kx, ky = template.points[j, 0] - template.centre[0], template.points[j, 1] - template.centre[1]
        terms = (nx, ny, ny * kx - nx * ky, nx * kx + ny * ky)
        trust = calm / (calm + across * across)
        size = part.stop - part.start
        for a in range(4):
            right[part, a] = np.bincount(pose, trust * terms[a] * across, size)
            for b in range(a, 4):
                normal[part, a, b] = np.bincount(pose, trust * terms[a] * terms[b], size)
                normal[part, b, a] = normal[part, a, b]
    lever = max(0.2, template.small) ** 2
    normal += np.diag([0.5, 0.5, 20.0 * lever, 20.0 * lever])
    move = np.linalg.solve(normal, right[..., None])[..., 0]
    return _moved(template, poses, np.clip(move, -MOST_MOVE, MOST_MOVE))


def _moved(template: Template, poses: FloatArray, move: FloatArray) -> FloatArray:
    """Poses after shift, turn and scale in the template frame about the body's centre."""
    centre = place(poses, template.centre[None])[:, 0]
    flip = 1 - 2 * poses[:, MIRROR]
    c, s = np.cos(poses[:, TURN]), np.sin(poses[:, TURN])
    dx, dy = move[:, 0] * flip, move[:, 1]
    centre = centre + np.c_[c * dx - s * dy, s * dx + c * dy] * poses[:, SCALE : SCALE + 1]
    out = poses.copy()
    out[:, TURN] += flip * move[:, 2]
    out[:, SCALE] = np.clip(poses[:, SCALE] * (1 + move[:, 3]), template.lowest, template.highest)
    out[:, :2] = 0.0
    out[:, :2] = centre - place(out, template.centre[None])[:, 0]
    return out


def canonical(template: Template, poses: FloatArray) -> FloatArray:
    """One pose for each place, however many of the template's own symmetries lead there."""
    if not len(poses):
        return poses
    centre = place(poses, template.centre[None])[:, 0]
    out = poses.copy()
    if template.round:
        out[:, TURN] = out[:, MIRROR] = 0.0
    else:
        best = np.full(len(poses), np.inf)
        for turn, mirror in template.symmetry:
            angle = np.mod(poses[:, TURN] + (1 - 2 * poses[:, MIRROR]) * turn + 1e-3, 2 * np.pi) - 1e-3
            flip = np.mod(poses[:, MIRROR] + mirror, 2)
            rank = flip * 10 + np.round(angle / 0.05) * 0.05
            better = rank < best - 1e-9
            best = np.where(better, rank, best)
            out[:, TURN] = np.where(better, angle, out[:, TURN])
            out[:, MIRROR] = np.where(better, flip, out[:, MIRROR])
    out[:, :2] = 0.0
    out[:, :2] = centre - place(out, template.centre[None])[:, 0]
    key = np.c_[np.round(centre / 0.4), np.round(out[:, TURN] / 0.05), out[:, MIRROR], np.round(out[:, SCALE] * 40)]
    order = np.lexsort(key.T)  # stable: of equal keys the first pose comes first
    new = np.r_[True, (key[order][1:] != key[order][:-1]).any(1)]
    return out[np.sort(order[new])]


def orbit(template: Template, pose: FloatArray) -> FloatArray:
    """All poses (k, 5) that put the marks on the same ink as ``pose`` (5,)."""
    return orbits(template, pose[None])[0]


def orbits(template: Template, poses: FloatArray) -> FloatArray:
    """(n, k, 5) the orbit of each pose."""
    turn, mirror = np.array(template.symmetry, float).T
    out = np.repeat(poses[:, None], len(turn), 1)
    out[..., TURN] += (1 - 2 * poses[:, MIRROR, None]) * turn
    out[..., MIRROR] = (poses[:, MIRROR, None] + mirror) % 2
    out[..., :2] = 0.0
    shift = place(out.reshape(-1, 5), template.centre[None]).reshape(len(poses), len(turn), 2)
    out[..., :2] = place(poses, template.centre[None]) - shift
    return out


def verified(template: Template, ink: Ink, poses: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Candidates among hypothetical poses: fitted poses and their coverage, best first, one a place.

    Entries whose lines are the same, and which only text or paint tells apart, are fitted once.
    """
    key = _lines_key(template, poses)
    if key not in ink.fits:
        ink.fits[key] = _verified(template, ink, poses)
    return ink.fits[key]


def _lines_key(template: Template, poses: FloatArray) -> bytes:
    digest = blake2b(repr((template.lowest, template.highest, template.step)).encode())
    lines = (template.points, template.tangents, template.element, template.weight)
    for values in (*lines, template.drawn.lines, template.drawn.arcs, poses):
        digest.update(repr(values.shape).encode())
        digest.update(np.ascontiguousarray(values).tobytes())
    return digest.digest()


def _verified(template: Template, ink: Ink, poses: FloatArray) -> tuple[FloatArray, FloatArray]:
    poses = canonical(template, poses)
    for count, least in ((24, 0.6), (96, LEAST - 0.04 if template.radius < LARGE else 0.6)):  # cheap look-ups first
        if len(poses):
            k = np.linspace(0, len(template.points) - 1, min(count, len(template.points))).astype(np.int64)
            poses = poses[ink.raster.share(poses, template.points[k], template.tangents[k]) >= least]
    if len(poses):
        centres = place(poses, template.centre[None])[:, 0]
        reach = (template.radius + 1.5) * poses[:, SCALE]
        poses = poses[ink.crowding.worth(centres, reach, template.step)]
    if len(poses) > 20:
        poses = poses[coverage(template, ink, poses, coarse=True) >= LEAST - 0.05]
    if not len(poses):
        return poses, np.zeros(0)
    near = Near.of(template, ink, poses)
    for share in (0.9, 0.6, 0.4, 0.25):  # of the template's reach
        poses = fitted(template, ink, poses, share, near)
    covered = coverage(template, ink, poses, near=near)
    order = np.argsort(-np.round(covered, 6), kind="stable")
    order = order[covered[order] >= LEAST]
    poses, covered = poses[order], covered[order]
    return _one_a_place(template, poses, covered)


def _one_a_place(template: Template, poses: FloatArray, covered: FloatArray) -> tuple[FloatArray, FloatArray]:
    from scipy.spatial import cKDTree

    if not len(poses):
        return poses, covered
    centre = place(poses, template.centre[None])[:, 0]
    near = cKDTree(centre).query_ball_point(centre, 0.35 * template.radius)
    taken = np.zeros(len(poses), bool)
    kept = []
    for i in range(len(poses)):  # candidates only: tens to hundreds
        if not taken[i]:
            kept.append(i)
            taken[near[i]] = True
    return poses[kept], covered[kept]
