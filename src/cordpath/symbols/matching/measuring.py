"""What is drawn at fitted poses: ink on every mark and beyond its ends, clutter in the body, and whose it is.

Terms: *clutter*, ink inside the body that lies on no mark; *run-on*, a free end of the template beyond which the
line goes on; *decoy*, the template laid beside the true place: coverage there tells what chance would give.

Strokes of hatch, and walls or wires that run through, are neutral as clutter.  What begins and ends inside the body
is a mark of it, however evenly it lies, as a fill drawn as strokes is as even as a hatch; but not the short rows in
the corner of a hatch that is broader than the body.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from itertools import pairwise

import numpy as np

from cordpath.geometry import midpoints
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import among, sorted_unique
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.matching.coverage import coverage, spread
from cordpath.symbols.matching.pieces import Pieces, pieces, touching
from cordpath.symbols.pose import SCALE, TURN, place
from cordpath.symbols.templates.association import INSIDE, NEAR
from cordpath.symbols.templates.template import Template

SHARE = 0.025  # of the ink that an element has before its own coverage matters
ROUGH = 0.15  # coverage by which the raster may fall short of it
CHANCE = 0.30  # coverage must exceed that of decoys by this
DECOYS = ((0.0, 1.2), (0.48, 3.6), (0.0, 6.3), (1.16, 2.4), (0.0, -3.0), (-0.68, -5.1))  # turn, way of the shift
# Of the body's radius, a ring up to which it is a mark on the symbol: larger circles are symbols themselves.
RING, CLOSED = 0.3, 330.0  # degrees of chords from which a circle is whole, as in page_marks
ASTRIDE = 0.2  # share of a ring that lies in the body, on no mark, from which it is a mark: of one on an edge half
# Share of a line in the body that is on no mark, from which it may be one, for those no shorter than half the body
# is wide, and for shorter ones: a slash crosses bars, and a dash of a broken line lies beside one.
ON_NONE = 0.5, 0.7
# Of a line that reaches out of the body and is a mark all the same, a slash or a bar across others: its length in
# radii of the body at most, the share of it inside at least, and how far its middle is off the body's, in radii.
ACROSS = 2.2, 0.55, 0.2
OWN = 0.6  # share of a stroke on the marks from which the symbol explains it


@dataclass(frozen=True, eq=False)
class Body:
    """Ink in the bodies at some poses, whosever it is: a row for each segment near one, in order of the poses.

    Lengths are points of the template.
    """

    pose: IntArray  # (r,)
    segment: IntArray  # (r,)
    inner: FloatArray  # (r,) in the body
    loose: FloatArray  # (r,) of that, on no mark
    off: FloatArray  # (r,) from the body's middle to that of the straight line that it is a part of

    def at(self, k: int) -> Body:
        """That at one of the poses."""
        mine = slice(*np.searchsorted(self.pose, [k, k + 1]).tolist())
        return Body(self.pose[mine] - k, self.segment[mine], self.inner[mine], self.loose[mine], self.off[mine])


@dataclass(frozen=True, eq=False)
class Measured:
    element: FloatArray  # (n, elements) coverage of each
    covered: FloatArray  # (n,)
    quiet: FloatArray  # (n,) coverage without hatch
    run_on: FloatArray  # (n,) share of free ends
    clutter: FloatArray  # (n,) over the template's ink
    borrowed: FloatArray  # (n,) pt of the template's ink
    marks: FloatArray  # (n,) pt of clutter that begins and ends inside the body
    owned: tuple[tuple[IntArray, FloatArray, IntArray], ...]  # segments, lengths on marks, whole ones
    body: Body

    def at(self, k: int) -> Measured:
        """What was measured at one of the poses."""
        one = slice(k, k + 1)
        return Measured(self.element[one], self.covered[one], self.quiet[one], self.run_on[one], self.clutter[one],
                        self.borrowed[one], self.marks[one], self.owned[one], self.body.at(k))  # fmt: skip

    def loose(self, ink: Ink) -> IntArray:
        """Segments in the bodies that may be clutter: those of lines that lie on no mark somewhere in them."""
        line = ink.line_of[self.body.segment]
        return self.body.segment[(self.body.inner > 0) & among(line, line[self.body.loose > 0])]

    def without(self, template: Template, ink: Ink, others: IntArray) -> Measured:
        """The same where segments are known to belong to others, and so are no clutter."""
        clutter, marks = _clutter(template, ink, self.body, len(self.covered), others)
        return replace(self, clutter=clutter / template.ink, marks=marks)


def chance(template: Template, ink: Ink, poses: FloatArray, covered: FloatArray, matters: BoolArray) -> FloatArray:
    """(n,) best coverage of six decoys; only where coverage is high enough to matter."""
    out = np.zeros(len(poses))
    k = np.flatnonzero(matters)
    if not len(k):
        return out
    shift = max(2.5 * template.small, 0.3 * template.radius)
    of, decoys = np.tile(k, len(DECOYS)), np.tile(poses[k], (len(DECOYS), 1))
    for n, (turn, angle) in enumerate(DECOYS):
        mine = slice(n * len(k), (n + 1) * len(k))
        decoys[mine, 0] += shift * math.cos(angle)
        decoys[mine, 1] += shift * math.sin(angle)
        decoys[mine, TURN] += turn
    # the raster shows more ink than there is: most decoys have so little that they need no closer look
    rough = ink.raster.share(decoys, template.points, template.tangents)
    worth = np.flatnonzero(rough >= covered[of] - CHANCE - ROUGH)
    np.maximum.at(out, of[worth], coverage(template, ink, decoys[worth]))
    return out


def measure(template: Template, ink: Ink, poses: FloatArray) -> Measured:
    n, samples = len(poses), len(template.points)
    hit, quiet = np.zeros((n, samples), bool), np.zeros((n, samples), bool)
    past = np.zeros((n, len(template.probes[2])), bool)
    bodies: list[Body] = []
    owned: list[tuple[IntArray, FloatArray, IntArray]] = []
    for part, p in pieces(template, ink, poses, 0.5 * template.step):
        k, j = touching(template, p, template.tolerance)
        row = p.row[k]
        pose = p.of_pose[row] + part.start
        hit[pose, j] = True
        calm = ~ink.hatch[p.of_segment[row]]
        quiet[pose[calm], j[calm]] = True
        _mark_past(template, p, past[part])
        body, on = _in_body(template, p, part.start, ink, poses[part])
        bodies.append(body)
        owned += _owned(ink, p, on, poses[part, SCALE])
    body = Body(*(np.concatenate([getattr(b, f.name) for b in bodies]) for f in fields(Body)))
    clutter, marks = _clutter(template, ink, body, n)
    hit, quiet = spread(template, hit), spread(template, quiet)
    share = np.bincount(template.element, template.weight, template.elements)
    matters = np.flatnonzero((share >= SHARE * template.ink) & (share > 0))
    element = np.stack([(hit[:, template.element == e] * template.weight[template.element == e]).sum(1) / share[e]
                        for e in matters], 1) if len(matters) else np.ones((n, 1))  # fmt: skip
    run_on, both = _running_on(template, past)
    borrowed = np.asarray(both @ share[: len(template.drawn.lines)], float)
    weight = template.weight / template.ink
    return Measured(element, hit @ weight, quiet @ weight, run_on, clutter / template.ink, borrowed, marks,
                    tuple(owned), body)  # fmt: skip


def _mark_past(template: Template, p: Pieces, past: BoolArray) -> None:
    """Sets (poses, probes) where a line's ink goes on at a probe."""
    probes, k, q = template.probes, *p.at_probes(template.maps)
    tangent, row = probes[1][q], p.row[k]
    dx, dy = p.x[k] - probes[0][q, 0], p.y[k] - probes[0][q, 1]
    ok = np.abs(-dx * np.sin(tangent) + dy * np.cos(tangent)) < template.tolerance
    ok &= np.abs(p.way_x[row] * np.sin(tangent) - p.way_y[row] * np.cos(tangent)) < p.like[row]
    past[p.of_pose[row[ok]], q[ok]] = True


def _running_on(template: Template, past: BoolArray) -> tuple[FloatArray, BoolArray]:
    """(n,) share of the free ends beyond which lines go on, and (n, lines) those that do at both ends."""
    lines, probes = len(template.drawn.lines), template.probes[2]
    ends = np.unique(probes)
    beyond = np.zeros((len(past), 2 * lines), bool)
    for e in ends:
        beyond[:, e] = past[:, probes == e].all(1)
    run_on = beyond[:, ends].mean(1) if len(ends) else np.zeros(len(past))
    return run_on, beyond[:, :lines] & beyond[:, lines:]


def _in_body(template: Template, p: Pieces, first: int, ink: Ink, poses: FloatArray) -> tuple[Body, FloatArray]:
    """Ink in the bodies at these poses, which count from ``first``, and (r,) that on the marks of each row."""
    counts = np.bincount(4 * p.row + template.maps.zone.reshape(-1)[p.cell], minlength=4 * len(p.of_pose))
    here = counts.reshape(-1, 4) * p.stands_for[:, None]
    inner = here[:, INSIDE] + here[:, INSIDE | NEAR]
    line = ink.line_of[p.of_segment]
    straight = np.flatnonzero((line >= 0) & (line < len(ink.runs)))
    away = midpoints(ink.runs[line[straight]]) - place(poses, template.centre[None])[p.of_pose[straight], 0]
    off = np.full(len(line), np.inf)
    off[straight] = np.hypot(away[:, 0], away[:, 1]) / poses[p.of_pose[straight], SCALE]
    on = here[:, NEAR] + here[:, INSIDE | NEAR]
    return Body(p.of_pose + first, p.of_segment, inner, here[:, INSIDE], off), on


def _others(ink: Ink, segment: IntArray, others: IntArray) -> BoolArray:
    """(r,) rows of the other segments, and of the stand-ins of arcs among them."""
    arcs = sorted_unique(ink.line_of[others[ink.curved[others]]])
    return among(segment, others) | (ink.standin[segment] & among(ink.line_of[segment], arcs))


def _clutter(
    template: Template, ink: Ink, body: Body, size: int, others: IntArray = NOBODYS
) -> tuple[FloatArray, FloatArray]:
    """(size,) length of unexplained ink inside the body, and of that on lines wholly inside, or small rings
    across its edge, as long as they are; template points."""
    segment = body.segment
    counts = ink.counts[segment]
    if len(others):
        counts = counts & ~_others(ink, segment, others)
    line = ink.line_of[segment] + 1
    lines = int(line.max(initial=0)) + 1
    key = body.pose * lines + line
    unique, first, inverse = np.unique(key, return_index=True, return_inverse=True)
    inner = np.bincount(inverse, body.inner * counts, len(unique))
    loose = np.bincount(inverse, body.loose * counts, len(unique))
    run, breadth = ink.run[segment[first]], ink.hatch_breadth[segment[first]]
    passing = (run > 2.2 * inner + 4 * max(0.2, template.small)) & (run > 3 * template.radius)
    least = np.where(run >= template.radius, *ON_NONE)
    across = (run <= ACROSS[0] * template.radius) & (inner > ACROSS[1] * run)
    across &= body.off[first] <= ACROSS[2] * template.radius
    whole = ((run < 1.15 * inner + 0.5 * template.small) | across) & (loose > least * inner)
    of = unique // lines
    clutter = np.asarray(np.bincount(of, loose * ~(passing | (breadth > 0)), size), float)
    astride = _small_rings(ink, template, unique % lines - 1) & (loose > ASTRIDE * run) & ~whole
    marks = np.where(astride, run, loose * whole) * (breadth <= 2 * template.radius)
    return clutter, np.asarray(np.bincount(of, marks, size), float)


def _small_rings(ink: Ink, template: Template, line: IntArray) -> BoolArray:
    """(u,) Is the line of that number a whole circle, and small beside the body?"""
    circle = line - len(ink.run_lengths)
    round_ = np.flatnonzero(circle >= 0)
    circles = ink.arcs.circles[circle[round_]]
    out = np.zeros(len(line), bool)
    out[round_] = (circles[:, 3] >= CLOSED) & (circles[:, 2] <= RING * template.radius)
    return out


def _owned(ink: Ink, p: Pieces, on: FloatArray, scale: FloatArray) -> list[tuple[IntArray, FloatArray, IntArray]]:
    """For each pose: drawn segments with ink on the marks, how much (page points), and those wholly on them.

    ``on``: (r,) of each row, template points.
    """
    some = np.flatnonzero((p.of_segment < ink.count) & (on > 0))
    of, segment = p.of_pose[some], p.of_segment[some]
    length = on[some] * scale[of]
    whole = length >= OWN * ink.lengths[segment]
    cut = np.searchsorted(of, np.arange(len(scale) + 1)).tolist()
    return [(segment[a:b], length[a:b], segment[a:b][whole[a:b]]) for a, b in pairwise(cut)]
