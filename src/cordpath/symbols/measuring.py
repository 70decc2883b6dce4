"""What is drawn at fitted poses: ink on every mark and beyond its ends, clutter in the body, and whose it is.

Terms: *clutter*, ink inside the body that lies on no mark; *run-on*, a free end of the template beyond which the
line goes on; *decoy*, the template laid beside the true place: coverage there tells what chance would give.

Strokes of hatch, and walls or wires that run through, are neutral as clutter.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.normalise import Ink
from cordpath.symbols.pieces import pieces, touching
from cordpath.symbols.pose import SCALE, TURN
from cordpath.symbols.template import Template
from cordpath.symbols.verify import coverage, spread

SHARE = 0.025  # of the ink that an element has before its own coverage matters
ROUGH = 0.15  # coverage by which the raster may fall short of it
CHANCE = 0.30  # coverage must exceed that of decoys by this
DECOYS = ((0.0, 1.2), (0.48, 3.6), (0.0, 6.3), (1.16, 2.4), (0.0, -3.0), (-0.68, -5.1))  # turn, way of the shift
OWN = 0.6  # share of a stroke on the marks from which the symbol explains it


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


def measure(template: Template, ink: Ink, poses: FloatArray, others: IntArray) -> Measured:
    n, samples = len(poses), len(template.points)
    hit, quiet = np.zeros((n, samples), bool), np.zeros((n, samples), bool)
    probes = template.probes[2]
    past = np.zeros((n, len(probes)), bool)
    clutter, marks = np.zeros(n), np.zeros(n)
    owned: list[tuple[IntArray, FloatArray, IntArray]] = []
    unclaimed = ~_others(ink, others)
    maps = template.maps
    for part, p in pieces(template, ink, poses, 0.5 * template.step):
        size = part.stop - part.start
        k, j = touching(template, p, template.tolerance)
        hit[p.pose[k] + part.start, j] = True
        calm = ~ink.hatch[p.segment[k]]
        quiet[p.pose[k[calm]] + part.start, j[calm]] = True
        if maps.probe is not None:
            q = maps.probe[p.sector, p.px, p.py]
            k = np.flatnonzero(q >= 0)
            q = q[k].astype(np.int64)
            tangent = template.probes[1][q]
            dx, dy = p.x[k] - template.probes[0][q, 0], p.y[k] - template.probes[0][q, 1]
            ok = np.abs(-dx * np.sin(tangent) + dy * np.cos(tangent)) < template.tolerance
            ok &= np.abs(p.ux[k] * np.sin(tangent) - p.uy[k] * np.cos(tangent)) < p.slack[k]
            past[p.pose[k[ok]] + part.start, q[ok]] = True
        near = maps.near[p.px, p.py] | maps.painted[p.px, p.py]
        inside = maps.inside[p.px, p.py]
        clutter[part], marks[part] = _clutter(
            template, ink, p.pose, p.segment, p.weight * unclaimed[p.segment], inside, near, size
        )
        owned += _owned(ink, p.pose, p.segment, p.weight * near, size, poses[part, SCALE])
    hit, quiet = spread(template, hit), spread(template, quiet)
    share = np.bincount(template.element, template.weight, template.elements)
    matters = np.flatnonzero((share >= SHARE * template.ink) & (share > 0))
    element = np.stack([(hit[:, template.element == e] * template.weight[template.element == e]).sum(1) / share[e]
                        for e in matters], 1) if len(matters) else np.ones((n, 1))  # fmt: skip
    ends = np.unique(probes)
    beyond = np.zeros((n, 2 * len(template.drawn.lines)), bool)
    for e in ends:
        beyond[:, e] = past[:, probes == e].all(1)
    run_on = beyond[:, ends].mean(1) if len(ends) else np.zeros(n)
    both = beyond[:, : len(template.drawn.lines)] & beyond[:, len(template.drawn.lines) :]
    borrowed = np.asarray(both @ share[: len(template.drawn.lines)], float)
    weight = template.weight / template.ink
    return Measured(
        element, hit @ weight, quiet @ weight, run_on, clutter / template.ink, borrowed, marks, tuple(owned)
    )


def _others(ink: Ink, segments: IntArray) -> BoolArray:
    """(m,) True for the given segments, and for the stand-ins of arcs among them."""
    out = np.zeros(len(ink.xy), bool)
    out[segments] = True
    arcs = np.unique(ink.line_of[segments[ink.curved[segments]]])
    return out | (ink.standin & np.isin(ink.line_of, arcs))


def _clutter(
    template: Template, ink: Ink, pose: IntArray, segment: IntArray, weight: FloatArray,
    inside: np.ndarray[tuple[int, ...], np.dtype[np.bool_]], near: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
    size: int,
) -> tuple[FloatArray, FloatArray]:  # fmt: skip
    """(size,) length of unexplained ink inside the body, and of that on lines wholly inside; template points."""
    weight = weight * ink.counts[segment]
    lines = int(ink.line_of.max()) + 2 if len(ink.line_of) else 2
    key = pose * lines + ink.line_of[segment] + 1
    unique, first, inverse = np.unique(key, return_index=True, return_inverse=True)
    inner = np.bincount(inverse, weight * inside, len(unique))
    loose = np.bincount(inverse, weight * (inside & ~near), len(unique))
    run, hatch = ink.run[segment[first]], ink.hatch[segment[first]]
    passing = (run > 2.2 * inner + 4 * max(0.2, template.small)) & (run > 3 * template.radius)
    whole = (run < 1.15 * inner + 0.5 * template.small) & (loose > 0.7 * inner)
    of = unique // lines
    clutter = np.asarray(np.bincount(of, loose * ~(passing | hatch), size), float)
    return clutter, np.asarray(np.bincount(of, loose * (whole & ~hatch), size), float)


def _owned(
    ink: Ink, pose: IntArray, segment: IntArray, on: FloatArray, size: int, scale: FloatArray
) -> list[tuple[IntArray, FloatArray, IntArray]]:
    """For each pose: drawn segments with ink on the marks, how much (page points), and those wholly on them."""
    drawn = segment < ink.count
    key = pose[drawn] * max(1, ink.count) + segment[drawn]
    unique, inverse = np.unique(key, return_inverse=True)
    length = np.bincount(inverse, on[drawn], len(unique))
    of, which = unique // max(1, ink.count), unique % max(1, ink.count)
    length = length * scale[of]
    start = np.searchsorted(of, np.arange(size + 1))
    out = []
    for i in range(size):
        k, on_marks = which[start[i] : start[i + 1]], length[start[i] : start[i + 1]]
        some = on_marks > 0
        k, on_marks = k[some], on_marks[some]
        out.append((k, on_marks, k[on_marks >= OWN * ink.lengths[k]]))
    return out
