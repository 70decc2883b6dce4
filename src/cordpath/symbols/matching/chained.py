"""Chains that lead out of bodies: lines that are joined end to end, and go far out of a body.

Terms: *chain*, *in order* as in ``others_ink.py``.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath.geometry import components, lengths, lines
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import sorted_unique, within
from cordpath.symbols.ink.meeting import BUSIEST_NODE
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.bodies import Bodies, Pairs
from cordpath.symbols.matching.dashed import over_gaps
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.pose import NO_POSES, SCALE, into_frame, place
from cordpath.symbols.templates.orbits import orbit

AROUND = 5.0  # body radii within which chains are followed
OUT = 2.2  # body radii from the middle to which a chain reaches: a square around a body reaches 1.5
LONGER = 2.2, 4.0  # times its length in the body, and pt at full size: what counts as passing, as for one line
CROSSING = 2.0  # times its length in the body: the same of a chain that begins and ends outside it
WILD = 3, 2.0, 1.7  # lines of a chain, body radii of it outside and from the middle: the same without any order
RING = 340.0, 0.45, 0.05  # degrees of a circle that is whole, body radii of its own, and share of it outside
LENGTH = 3.0  # body radii of a chain, at least
MIDDLE = 0.12  # body radii from the middle within which a line goes through it, or has its own middle or an end
BEYOND = 1.3  # body radii: a mark through the middle ends before
MIRRORED = 0.8  # share of a line that has its mirror image
OFF = 0.5  # pt at full size between a line and a mirror image
ORDERED = 0.4  # share of a chain's length in the body that may be in order by accident
STEP = 0.5  # pt


def leading_out(
    candidates: Sequence[Candidate], bodies: Bodies, shapes: NDArray[np.object_], around: Pairs, inside: Pairs
) -> Pairs:
    """Those of the segments ``inside`` the ``shapes`` of bodies whose chains, of segments ``around``, lead out of
    them, far enough."""
    ink = bodies.ink
    inside = inside.where(~ink.hatch[inside.item])
    asked = np.zeros(len(shapes), bool)
    asked[inside.body] = True
    around = around.where(asked[around.body] & ~ink.hatch[around.item])
    if not len(inside):
        return inside
    count, chain = chains(ink, around)
    xy, radius, centre = ink.xy[around.item], bodies.radii, bodies.centres[around.body]
    of = np.zeros(count, np.int64)  # the body of each chain
    of[chain] = around.body
    at = chain[around.places(inside)]
    held = shapely.length(shapely.intersection(lines(ink.xy[inside.item]), shapes[inside.body]))
    total, inner = np.bincount(chain, lengths(xy), count), np.bincount(at, held, count)
    away = np.maximum(np.hypot(*(xy[:, :2] - centre).T), np.hypot(*(xy[:, 2:] - centre).T))
    far = np.zeros(count)
    np.maximum.at(far, chain, away)
    small = np.array([max(0.2, c.template.small * float(c.pose[SCALE])) for c in candidates])
    out = total > LONGER[0] * inner + LONGER[1] * small[of]
    out |= _crossing(bodies, shapes, around, chain, count) & (total > CROSSING * inner)
    out &= far > OUT * radius[of]
    turns = _lines_in(chain, ink.line_of[around.item], count)
    out |= (turns >= WILD[0]) & (total - inner > WILD[1] * radius[of]) & (far > WILD[2] * radius[of])
    out &= total > LENGTH * radius[of]
    rings, cross = _rings(candidates, bodies, around, chain, count)
    out |= rings & (cross | (total - inner > RING[2] * total)) & (inner > 0)
    out &= np.bincount(at, minlength=count) > 0
    if out.any():
        shut = (
            out
            & (turns >= WILD[0])
            & (np.bincount(np.r_[chain, chain][_free(bodies, around)], minlength=count) == 0)
        )
        asked_for, sides = (around.where(each[chain]).by(ink.line_of) for each in (out, shut))
        ordered = _in_order(candidates, bodies, inside, asked_for, sides)
        ordered &= ~_by_chance(candidates, bodies, inside, ordered, around.where(out[chain]))
        out &= np.bincount(at, held * ordered, count) < ORDERED * inner
    return inside.where(out[at])


def _crossing(bodies: Bodies, shapes: NDArray[np.object_], around: Pairs, chain: IntArray, count: int) -> BoolArray:
    """(count,) chains of segments ``around`` that turn, pass the middle and have free ends, all outside the body.

    A straight line across a circle may be a slash, one through its middle a bolt: those make it another symbol.
    """
    ink, near = bodies.ink, around.item
    free = _free(bodies, around)
    of, half = np.r_[chain, chain][free], np.r_[near, near + ink.count][free]
    held = shapely.contains_xy(shapes[np.r_[around.body, around.body][free]], ink.ends[half])
    ends_within = np.bincount(of, held, count) > 0
    first, line = np.full(count, ink.line_of.max(initial=0)), ink.line_of[near]
    np.minimum.at(first, chain, line)
    turns = np.bincount(chain, ink.curved[near] | (line != first[chain]), count) > 0
    close = within(ink.xy[near], bodies.centres[around.body], MIDDLE * bodies.radii[around.body])
    middle = np.bincount(chain, close, count) > 0
    return turns & ~middle & ~ends_within & (np.bincount(of, minlength=count) > 1)


def _free(bodies: Bodies, around: Pairs) -> BoolArray:
    """(2p,) half-edges of the segments ``around``, first ends before last ones, that no other there meets."""
    node = bodies.ink.node
    ends = np.r_[node[around.item], node[around.item + bodies.ink.count]]
    return _times(Pairs(np.r_[around.body, around.body], ends).keys()) == 1


def _rings(
    candidates: Sequence[Candidate], bodies: Bodies, around: Pairs, chain: IntArray, count: int
) -> tuple[BoolArray, BoolArray]:
    """(count,) chains of segments ``around`` that are one whole circle, not much smaller than the body, and those
    that cross the symbol's own circle.

    Where such a circle crosses the rim without any order it is another thing's, laid over the symbol.
    """
    ink = bodies.ink
    circles, line = ink.arcs.circles, ink.line_of[around.item] - len(ink.runs)
    if not len(circles):
        return np.zeros(count, bool), np.zeros(count, bool)
    of = circles[np.maximum(line, 0)]
    whole = (line >= 0) & (of[:, 3] > RING[0]) & (of[:, 2] > RING[1] * bodies.radii[around.body])
    own = np.array([_circle(c) for c in candidates])[around.body]
    apart, margin = np.hypot(*(of[:, :2] - own[:, :2]).T), MIDDLE * bodies.radii[around.body]
    cross = (np.abs(of[:, 2] - own[:, 2]) + margin < apart) & (apart < of[:, 2] + own[:, 2] - margin)
    alone = _lines_in(chain, ink.line_of[around.item], count) == 1
    return alone & (np.bincount(chain, ~whole, count) == 0), np.bincount(chain, cross, count) > 0


def _circle(c: Candidate) -> tuple[float, float, float]:
    """The middle and radius of its own circle, where it stands; of radius 0 where it has none."""
    if not len(c.template.circles):
        return (*c.centre.tolist(), 0.0)
    middle, radius = place(c.pose[None], c.template.circles[:1, :2])[0, 0], c.template.circles[0, 2]
    return (float(middle[0]), float(middle[1]), float(radius * c.pose[SCALE]))


def _lines_in(chain: IntArray, line: IntArray, count: int) -> IntArray:
    """(count,) how many different lines the segments of each chain are of."""
    return np.bincount(Pairs(chain, line + 1).once().body, minlength=count)


def chains(ink: Ink, around: Pairs) -> tuple[int, IntArray]:
    """How many chains the segments about bodies form, those of each body by themselves, and (p,) which: joined at
    their ends, of one run or arc, or dashes of one line."""
    n, body, segment = len(around), around.body, around.item
    node = Pairs(np.r_[body, body], np.r_[ink.node[segment], ink.node[segment + ink.count]]).keys()
    times = _times(node)
    few = np.flatnonzero(times <= BUSIEST_NODE)
    a, b = (few[each] % n for each in _alike_in_order(node[few]))
    c, d = _alike_in_order(around.by(ink.line_of).keys())
    e, f = over_gaps(ink, around, times == 1, (a, b))
    return components(np.r_[a, c, e], np.r_[b, d, f], n)


def _times(values: IntArray) -> IntArray:
    """(n,) how many times each of the values is among them."""
    _, at, times = np.unique(values, return_inverse=True, return_counts=True)
    return np.asarray(times[at])


def _alike_in_order(values: IntArray) -> tuple[IntArray, IntArray]:
    """Places of equal values, each paired with the next of them."""
    order = np.argsort(values, kind="stable")
    same = values[order][1:] == values[order][:-1]
    return order[:-1][same], order[1:][same]


def _in_order(
    candidates: Sequence[Candidate], bodies: Bodies, inside: Pairs, asked: Pairs, sides: Pairs
) -> BoolArray:
    """(p,) segments ``inside`` bodies whose lines are ``asked`` for (bodies and numbers of lines), and are placed
    as marks are.

    ``sides``: those of the lines that are sides of something closed, which no mark through the middle is.
    """
    ink = bodies.ink
    inner, some = inside.by(ink.line_of), np.bincount(asked.body, minlength=len(candidates)) > 0
    near = bodies.near(np.where(some, OUT * bodies.radii, 0.0))
    near = near.where(near.by(ink.line_of).among(inner))
    points, owner = shapely.get_coordinates(shapely.segmentize(lines(ink.xy[near.item]), STEP), return_index=True)
    drawn = near.where(owner).by(ink.line_of)
    mine = np.flatnonzero(drawn.among(asked))
    own = drawn.where(mine)
    once = own.once()
    at, count = once.places(own), len(once)
    radius = bodies.radii[own.body]
    away = np.hypot(*(points[mine] - bodies.centres[own.body]).T)
    middle = np.bincount(at, away < MIDDLE * radius, count) > 0
    ordered = middle & (np.bincount(at, away > BEYOND * radius, count) == 0) & _about_middle(bodies, once)
    ordered |= _mirrored(candidates, drawn.body, points, mine, at, count)
    ordered &= ~(middle & once.among(sides))
    return inner.among(once.where(ordered))


def _by_chance(
    candidates: Sequence[Candidate], bodies: Bodies, inside: Pairs, ordered: BoolArray, around: Pairs
) -> BoolArray:
    """(p,) those of the ``ordered`` segments ``inside`` bodies whose straight lines other straight lines of their
    chain lead far out of the body, at one end or both, and that are not placed as exactly as marks of a block are.

    A wire ends on a mark by chance as a polyline has a line where a mark may be; both at once is too much of it.
    ``around``: the segments of chains that lead out.
    """
    ink = bodies.ink
    straight = inside.where(~ink.curved[inside.item]).by(ink.run_of).once()
    lines = inside.where(ordered & ~ink.curved[inside.item]).by(ink.run_of).once()
    found = np.zeros(len(lines), bool)
    for n, (body, run) in enumerate(zip(lines.body.tolist(), lines.item.tolist(), strict=True)):
        own = ~ink.curved[around.item] & (ink.run_of[around.item] == run)
        ends, runs = ink.runs[run].reshape(2, 2), ink.runs[straight.item[straight.body == body]]
        found[n] = _led_out(bodies, around.where((around.body == body) & ~own), ends)
        found[n] &= not _exact(candidates[body], ends, runs)
    return inside.by(ink.run_of).among(lines.where(found)) & ~ink.curved[inside.item]


def _led_out(bodies: Bodies, rest: Pairs, ends: FloatArray) -> bool:
    """Do straight segments of the ``rest`` of its chain begin at the ends (2, 2) of a line, or at one of them, and
    go on far out of its body, of lines enough?"""
    if not len(rest):
        return False
    ink, body = bodies.ink, rest.body[0]
    xy = ink.xy[rest.item].reshape(-1, 2, 2)
    count, part = chains(ink, rest)
    far = np.zeros(count)
    np.maximum.at(far, part, np.hypot(*(xy - bodies.centres[body]).transpose(2, 0, 1)).max(1))
    begins = np.hypot(*(xy[:, :, None] - ends).transpose(3, 0, 1, 2)).min((1, 2)) < STEP
    begins &= ~ink.curved[rest.item] & (far > OUT * bodies.radii[body])[part]
    return int(_lines_in(part, ink.line_of[rest.item], count)[sorted_unique(part[begins])].sum()) >= WILD[0] - 1


def _exact(c: Candidate, ends: FloatArray, runs: FloatArray) -> bool:
    """Does a line with the ``ends`` (2, 2) begin or end in the middle of the symbol, or has one of the ``runs``
    (n, 4) the ends of its mirror image, or of itself turned about the middle?"""
    poses = NO_POSES if c.template.round else orbit(c.template, c.pose)[1:]
    here = into_frame(c.pose[None], ends.reshape(1, 4), np.zeros(1, np.int64)).reshape(2, 2)
    images = np.concatenate([place(poses, here), 2 * c.centre - ends[None]])[:, None]
    off = max(OFF * c.template.small * float(c.pose[SCALE]), STEP)
    theirs = runs.reshape(-1, 2, 2)
    gaps = [np.hypot(*(images - each).transpose(3, 0, 1, 2)).max(2) for each in (theirs, theirs[:, ::-1])]
    return bool(min(gap.min(initial=np.inf) for gap in gaps) < off or np.hypot(*(ends - c.centre).T).min() < off)


def _mirrored(
    candidates: Sequence[Candidate], body: IntArray, points: FloatArray, mine: IntArray, at: IntArray, count: int
) -> BoolArray:
    """(count,) lines of the ``points`` (q, 2) numbered ``mine`` that have their mirror images among those of their
    body; ``at``: the line of each of these."""
    out = np.zeros(count, bool)
    share = 1 / np.bincount(at)[at] if len(at) else np.zeros(0)
    all_of, own_of = (np.searchsorted(of, np.arange(len(candidates) + 1)) for of in (body, body[mine]))
    for k in np.flatnonzero(np.diff(own_of)).tolist():
        c, own = candidates[k], slice(own_of[k], own_of[k + 1])
        poses = NO_POSES if c.template.round else orbit(c.template, c.pose)[1:]
        xy = points[mine[own]]
        here = into_frame(c.pose[None], np.c_[xy, xy], np.zeros(len(xy), np.int64))[:, :2]
        off = max(OFF * c.template.small * float(c.pose[SCALE]), STEP)
        tree = cKDTree(points[all_of[k] : all_of[k + 1]])
        gaps, _ = tree.query(place(poses, here), distance_upper_bound=off)
        for fits in np.isfinite(gaps):
            out |= np.bincount(at[own], share[own] * fits, count) >= MIRRORED
    return out


def _about_middle(bodies: Bodies, asked: Pairs) -> BoolArray:
    """(p,) lines through the middle that are placed about it: their own middle is there, or one of their ends.

    Curved lines all count; lines on an axis of the symbol are told by their mirror image.
    """
    runs = bodies.ink.runs
    out = asked.item >= len(runs)
    body, line = asked.body[~out], asked.item[~out]
    ends = np.hypot(*(runs[line].reshape(-1, 2, 2) - bodies.centres[body, None]).transpose(2, 0, 1))
    off = MIDDLE * bodies.radii[body]
    out[~out] = (np.abs(ends[:, 0] - ends[:, 1]) < 2 * off) | (ends.min(1) < off)
    return out
