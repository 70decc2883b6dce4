"""Openings of walls: doors, glazing, cased openings.

Terms: *closer*, an opening with the strip that closes it: a *door* in its closed position, *glazing* (windows,
sidelights, sliders and sectional doors, told apart later by what they lead to), *cased*, a doorway without a leaf.
Doors and glazing close rooms; a cased opening only makes a throat narrower.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import middle_line, midpoints
from cordpath.model import FloatArray
from cordpath.rooms.ink import Evidence, Ink
from cordpath.rooms.openings.arcs import Swing
from cordpath.rooms.openings.folds import folding_pairs
from cordpath.rooms.openings.leaves import Leaves, Shown
from cordpath.rooms.walls.ends import FAR_FT, End, Gap

GLAZED = 0.85  # least cover of a gap that is closed by lines
CASED_FT = 8.0  # widest doorway without a leaf
IN_LINE_FT = 12.0  # widest opening in a wall that goes on beyond it: a wider one leaves no wall to speak of
HELD = 0.3  # a closed leaf goes on into wall at its hinge and at its latch
SLIDING_IN = 57.0  # panels half as wide as the opening: a door from 5 ft, a sliding window below (common practice)
DOOR_FT = 8.5  # widest gap closed by swings

Leaf = Literal["door", "glazing", "cased"]


@dataclass(frozen=True, eq=False)
class Closer:
    kind: Leaf
    strip: BaseGeometry
    chord: FloatArray  # (2, 2) from one side of the opening to the other
    cover: float = 0.0
    leaf: bool = False  # known from its swing only, not from wall ends
    panel: bool = False  # known from a panel in the wall only: indoors a pocket door, else the lines of a window
    single: bool = False  # one line runs along it: a threshold, or the edge of another floor
    window: bool = False  # its lines are as many as a window's

    @property
    def width(self) -> float:
        return float(np.hypot(*(self.chord[1] - self.chord[0])))


def _swings_close(gap: Gap, swings: tuple[Swing, ...], inch: float) -> bool:
    """A hinge at one end, and a latch at the other end or, for a pair, in the middle."""
    if gap.length > DOOR_FT * 12 * inch:
        return False
    side = np.array([-gap.end.out[1], gap.end.out[0]])
    near = max(gap.end.thick, 2 * inch) / 2 + 4 * inch
    for swing in swings:
        hinge = swing.hinge - gap.end.at
        place = float(hinge @ gap.end.out)
        if abs(hinge @ side) > near or min(abs(place), abs(place - gap.length)) > 7 * inch:
            continue
        for end in swing.ends:
            latch = end - gap.end.at
            if abs(latch @ side) > near:
                continue
            along = float(latch @ gap.end.out)
            whole = abs(abs(along - place) - gap.length) < 9 * inch
            pair = abs(2 * swing.radius - gap.length) < 12 * inch and abs(along - gap.length / 2) < 9 * inch
            part = swing.radius > 0.38 * gap.length and abs(along - place) > 0.3 * gap.length
            if whole or pair or (part and -6 * inch < along < gap.length + 6 * inch):
                return True
    return False


def _wall_beside(gap: Gap, walls: BaseGeometry, inch: float) -> bool:
    """Does another wall run 3 to 15 in beside the gap?  Then the lines are the edge of a counter or a shelf."""
    side = np.array([-gap.end.out[1], gap.end.out[0]])
    steps = (np.arange(24) + 0.5) / 24
    length = max(gap.length - 6 * inch, 1e-6)
    points = gap.end.at + gap.end.out * (3 * inch + steps * length)[:, None]
    for sign in (1.0, -1.0):
        near = points + side * sign * (gap.end.thick / 2 + 3 * inch)
        far = points + side * sign * (gap.end.thick / 2 + 15 * inch)
        rays = shapely.linestrings(np.stack([near, far], 1))
        if shapely.intersects(walls, rays).mean() > 0.6:
            return True
    return False


def _strip(end: End, length: float, inch: float) -> BaseGeometry:
    side = np.array([-end.out[1], end.out[0]]) * max(end.thick, 2 * inch) / 2
    a, b = end.at - end.out * 0.6 * inch, end.at + end.out * (length + 0.6 * inch)
    return shapely.Polygon([a + side, a - side, b - side, b + side])


def _close(gap: Gap, swings: tuple[Swing, ...], leaves: Leaves, walls: BaseGeometry, inch: float) -> Closer | None:
    shown: Shown | None = None
    lined = gap.length <= FAR_FT * 12 * inch and gap.cover >= GLAZED and not gap.floor
    kind: Leaf | None = "glazing" if lined else None
    if lined and gap.length > SLIDING_IN * inch and leaves.slides(gap):
        kind = "door"
    if _swings_close(gap, swings, inch):
        kind = "door"
    elif kind == "glazing" and not gap.corner and gap.length > 30 * inch and _wall_beside(gap, walls, inch):
        return None
    if kind is None:
        if gap.length > IN_LINE_FT * 12 * inch:
            return None
        leafless = gap.length > CASED_FT * 12 * inch or _wall_beside(gap, walls, inch)
        shown = None if leafless else leaves.close(gap)
        kind = "door" if shown is not None else "cased"
    chord = np.stack([gap.end.at, gap.far])
    return Closer(
        kind, _strip(gap.end, gap.length, inch), chord, gap.cover,
        single=gap.single, panel=shown == "panel", window=gap.window and kind == "glazing",
    )  # fmt: skip


def _chord_of(
    swing: Swing, ends: FloatArray, hinges: FloatArray, walls: BaseGeometry, inch: float
) -> Closer | None:
    """Hinge near a wall and latch near a wall or near the latch of a partner: the leaf in its closed position."""
    hinge = swing.hinge
    if walls.distance(shapely.Point(hinge)) > 7 * inch:
        return None
    best: tuple[float, Closer] | None = None
    for latch in swing.ends:
        to_wall = walls.distance(shapely.Point(latch))
        apart = np.hypot(*(ends - latch).T)
        others = np.hypot(*(hinges - hinge).T) > 1.2 * swing.radius  # a partner hangs on the other side
        to_pair = float(apart[others].min()) if others.any() else np.inf
        leaf = shapely.LineString([hinge, latch])
        inside = leaf.intersection(walls).length / max(leaf.length, 1e-9)
        if min(to_wall, to_pair) > 6 * inch or inside > 0.35:
            continue
        u = (latch - hinge) / max(float(np.hypot(*(latch - hinge))), 1e-9)
        ends_held = _held(hinge, -u, walls, inch), _held(latch, u, walls, inch)
        held = sum(ends_held)
        if ends_held[0] < HELD or (ends_held[1] < HELD and to_wall < to_pair):
            continue
        cost = min(to_wall, to_pair) / inch + 20 * inside - (1 if to_wall > to_pair else 0) - 6 * held
        a, b = hinge - u * 8 * inch, latch + u * (2 if to_pair < to_wall else 8) * inch
        strip = shapely.LineString([a, b]).buffer(2 * inch, cap_style="flat")
        if best is None or cost < best[0]:
            best = (cost, Closer("door", strip, np.stack([hinge, latch]), leaf=True))
    return best[1] if best else None


def _held(point: FloatArray, away: FloatArray, walls: BaseGeometry, inch: float) -> float:
    """Part of the 8 in beyond a point of the leaf's line that is wall."""
    beyond = shapely.LineString([point, point + away * 8 * inch]).buffer(1.5 * inch, cap_style="flat")
    return min(1.0, float(beyond.intersection(walls).area / (24 * inch**2)))


def find_closers(
    gaps: list[Gap], swings: tuple[Swing, ...], ink: Ink, walls: BaseGeometry, inch: float
) -> list[Closer]:
    """Openings from wall ends and, where no wall end shows one, from door swings alone."""
    shapely.prepare(walls)
    leaves = Leaves(ink, inch)
    found = [c for gap in gaps if (c := _close(gap, swings, leaves, walls, inch)) is not None]
    ends = np.concatenate([s.ends for s in swings]) if swings else np.zeros((0, 2))
    hinges = np.repeat([s.hinge for s in swings], 2, axis=0) if swings else ends
    chords = [c for swing in swings if (c := _chord_of(swing, ends, hinges, walls, inch)) is not None]
    pairs = (_across(pair, walls, inch) for pair in folding_pairs(ink, walls, inch))
    return _once([*found, *chords, *(pair for pair in pairs if pair is not None)])


def _across(pair: FloatArray, walls: BaseGeometry, inch: float) -> Closer | None:
    """A pair of folding leaves, from foot to foot and into the walls beside them."""
    line = shapely.LineString(pair)
    if line.intersection(walls).length > HELD * line.length:
        return None
    into = (pair[1] - pair[0]) / line.length * 8 * inch
    strip = shapely.LineString([pair[0] - into, pair[1] + into]).buffer(2 * inch, cap_style="flat")
    return Closer("door", strip, pair, leaf=True)


def _once(closers: list[Closer]) -> list[Closer]:
    """The same opening seen from both ends is kept once, as its surest kind."""
    rank = {"door": 0, "glazing": 1, "cased": 2}
    kept: list[Closer] = []
    for closer in sorted(closers, key=lambda c: (rank[c.kind], c.leaf, -c.strip.area, *c.chord.ravel())):
        if not any(_same_opening(k, closer) for k in kept):
            kept.append(closer)
    return kept


def _same_opening(a: Closer, b: Closer) -> bool:
    """Strips that mostly coincide, or a leaf whose middle lies in an opening of about its width."""
    if a.strip.intersection(b.strip).area > 0.7 * max(b.strip.area, 1e-9):
        return True
    middle = shapely.Point(b.chord.mean(0))
    return bool(a.strip.distance(middle) < 0.1 * b.width and 0.7 < a.width / max(b.width, 1e-9) < 1.4)


def cut_closers(cuts: tuple[BaseGeometry, ...], swings: tuple[Swing, ...], ev: Evidence) -> list[Closer]:
    """Openings painted over a wall: a swing makes a door, lines along make glazing, else a doorway."""
    inch, ink = ev.inch, ev.ink
    found: list[Closer] = []
    leaves = Leaves(ink, inch) if cuts else None
    for cut in cuts:
        axis, thick = middle_line(cut)
        u = axis[1] - axis[0]
        length = max(float(np.hypot(*u)), 1e-9)
        gap = Gap(End(axis[0], u / length, thick), length, 0.0)
        kind: Leaf = "cased"
        if _swings_close(gap, swings, inch):
            kind = "door"
        else:
            body = cut.buffer(1.0 * inch)
            middle = midpoints(ink.xy)
            x0, y0, x1, y1 = body.bounds
            pick = (middle[:, 0] > x0) & (middle[:, 0] < x1) & (middle[:, 1] > y0) & (middle[:, 1] < y1)
            pick &= np.abs(ink.unit @ (u / length)) > 0.99
            pick[pick] = shapely.covers(body, shapely.linestrings(ink.xy[pick].reshape(-1, 2, 2)))
            if ink.length[pick].max(initial=0.0) > 0.7 * length:
                kind = "glazing"
            elif leaves is not None and length < CASED_FT * 12 * inch and leaves.close(gap):
                kind = "door"
        found.append(Closer(kind, cut, axis))
    return found
