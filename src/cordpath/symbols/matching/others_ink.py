"""Ink in a symbol's body that belongs to something which is drawn around it: told by the whole of that thing.

Terms: *chain*, lines that are joined end to end: a polyline, the sides of a rectangle, a leader with its arrow;
*tick*, a short stroke whose middle lies on a longer line, as at the ends of a dimension line; *in order*, placed
as marks of a symbol are: through its middle, or mirrored where the symbol is.

A line that goes far out of a body is no mark of it, and neither is what is joined to it.  Lines that meet a longer
one on its way are not joined to it: the bars of outlets end on walls.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import shapely
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import components, lengths
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import sorted_unique, within
from cordpath.symbols.ink.normalise import BUSIEST_NODE, NOBODYS, Ink
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.letters.strangers import strangers_in
from cordpath.symbols.matching.borrowed import JOINT, OWN_ENDS, ends_meet
from cordpath.symbols.matching.evidence import CERTAIN, Candidate, weighed_again
from cordpath.symbols.matching.hatch_rows import rows_across
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.matching.texture import beads_across
from cordpath.symbols.pose import NO_POSES, SCALE, into_frame, place
from cordpath.symbols.templates.orbits import orbit

HATCHED = "hatching makes up part of it"
LARGEST = 40.0  # pt of radius: larger bodies have hatch and lines of their own
AROUND = 5.0  # body radii within which chains are followed
OUT = 2.2  # body radii from the middle to which a chain reaches: a square around a body reaches 1.5
LONGER = 2.2, 4.0  # times its length in the body, and pt at full size: what counts as passing, as for one line
CROSSING = 2.0  # times its length in the body: the same of a chain that begins and ends outside it
LENGTH = 3.0  # body radii of a chain, at least
MIDDLE = 0.12  # body radii from the middle within which a line goes through it, or has its own middle or an end
BEYOND = 1.3  # body radii: a mark through the middle ends before
MIRRORED = 0.8  # share of a line that has its mirror image
OFF = 0.5  # pt at full size between a line and a mirror image
ORDERED = 0.4  # share of a chain's length in the body that may be in order by accident
STEP = 0.5  # pt
TICK = 2.0, 14.0  # pt: lengths of ticks
SAME_TICK = 0.25, math.sin(math.radians(3.0))  # pt, and sine of the angle: by which the ticks of a line differ
ALONG = 2.0  # times a tick: least length of its line
LEAST_TURN = math.sin(math.radians(20.0))  # between a tick and its line
BESIDE = 1.5  # of a figure's size, from its middle to its dimension line
FIGURE = re.compile(r"[\d\s'\"\-/.½¼¾]*\d[\d\s'\"\-/.½¼¾]*")
NOWORDS: frozenset[int] = frozenset()


def without_others(c: Candidate, letters: Letters, paint: Paint) -> Candidate:
    """The candidate without the doubts that only other things' ink across it had raised: rows of hatch, chains that
    lead out of it, ticks, beads of a texture."""
    drawn = c.coverage >= CERTAIN and not c.template.text_only and c.radius <= LARGEST
    if not drawn or not any(d.inside or d.what == HATCHED for d in c.doubts):
        return c
    rows = rows_across(c)
    # rows may be what looks like its own lines
    sharp = len(c.template.circles) > 0 and ends_meet(c, OWN_ENDS, rows)
    doubts = tuple(d for d in c.doubts if d.what != HATCHED or not sharp)
    others = NOBODYS
    if any(d.inside for d in doubts):
        others = np.unique(np.r_[others_across(c, rows), beads_across(c), rows if sharp else NOBODYS])
    words = _dimensions(c, letters) if any(d.inside for d in doubts) else NOWORDS
    if len(others) or words:
        again = weighed_again(c, letters, paint, others, words)
        still = {d.what for d in (again or c).doubts}
        doubts = tuple(d for d in doubts if not d.inside or d.what in still)
    return c if len(doubts) == len(c.doubts) else replace(c, doubts=doubts)


def others_across(c: Candidate, rows: IntArray) -> IntArray:
    """Segments in the candidate's body that belong to chains which lead out of it, or are ticks of lines there.

    ``rows``: segments that are rows of hatch.
    """
    if len(c.template.outline) < 4:
        return NOBODYS
    body = shapely.Polygon(place(c.pose[None], c.template.outline)[0]).buffer(c.template.clear)
    inside = _near(c, c.radius + c.template.clear, rows)
    inside = inside[shapely.intersects(_lines(c.ink.xy[inside]), body)]
    if not len(inside):
        return NOBODYS
    return np.union1d(_chained(c, body, _near(c, AROUND * c.radius, rows), inside), _ticks(c, inside))


def _near(c: Candidate, reach: float, rows: IntArray) -> IntArray:
    """Drawn segments within reach of the candidate's middle that are neither its own nor rows of hatch."""
    _, near = c.ink.grid.near(c.centre[None], reach)
    near = near[near < c.ink.count]
    return near[~np.isin(near, np.r_[c.whole, rows])]


def _chained(c: Candidate, body: BaseGeometry, near: IntArray, inside: IntArray) -> IntArray:
    """Those of the segments ``inside`` the body whose chains, of segments ``near``, lead out of it, far enough."""
    ink = c.ink
    near, inside = near[~ink.hatch[near]], inside[~ink.hatch[inside]]
    if not len(inside):
        return NOBODYS
    count, chain = chains(ink, near)
    xy = ink.xy[near]
    at = np.searchsorted(near, inside)  # segments near a place come in ascending order
    within = shapely.length(shapely.intersection(_lines(ink.xy[inside]), body))
    total = np.bincount(chain, lengths(xy), count)
    inner = np.bincount(chain[at], within, count)
    away = np.maximum(np.hypot(*(xy[:, :2] - c.centre).T), np.hypot(*(xy[:, 2:] - c.centre).T))
    far = np.zeros(count)
    np.maximum.at(far, chain, away)
    small = c.template.small * float(c.pose[SCALE])
    leads_out = total > LONGER[0] * inner + LONGER[1] * max(0.2, small)
    leads_out |= _crossing(c, near, chain, count, body) & (total > CROSSING * inner)
    leads_out &= (total > LENGTH * c.radius) & (far > OUT * c.radius)
    leads_out &= np.bincount(chain[at], minlength=count) > 0
    if not leads_out.any():
        return NOBODYS
    asked = ink.line_of[near[leads_out[chain]]]
    ordered = np.isin(ink.line_of[inside], _in_order(c, inside, asked))
    leads_out &= np.bincount(chain[at], within * ordered, count) < ORDERED * inner
    return inside[leads_out[chain[at]]]


def _crossing(c: Candidate, near: IntArray, chain: IntArray, count: int, body: BaseGeometry) -> BoolArray:
    """(count,) chains of segments ``near`` that turn, pass the middle and have free ends, all outside the body.

    A straight line across a circle may be a slash, one through its middle a bolt: those make it another symbol.
    """
    ink = c.ink
    half = np.r_[near, near + ink.count]
    _, at, ends = np.unique(ink.node[half], return_inverse=True, return_counts=True)
    free = ends[at] == 1
    of = np.r_[chain, chain][free]
    within = np.bincount(of, shapely.contains_xy(body, ink.ends[half[free]]), count) > 0
    first, line = np.full(count, ink.line_of.max(initial=0)), ink.line_of[near]
    np.minimum.at(first, chain, line)
    turns = np.bincount(chain, ink.curved[near] | (line != first[chain]), count) > 0
    close = shapely.distance(_lines(ink.xy[near]), shapely.Point(c.centre)) < MIDDLE * c.radius
    middle = np.bincount(chain, close, count) > 0
    return turns & ~middle & ~within & (np.bincount(of, minlength=count) > 1)


def chains(ink: Ink, near: IntArray) -> tuple[int, IntArray]:
    """How many chains segments form, and (n,) which: joined at their ends, or of one run or arc."""
    n = len(near)
    node = np.r_[ink.node[near], ink.node[near + ink.count]]
    _, at, ends = np.unique(node, return_inverse=True, return_counts=True)
    few = np.flatnonzero(ends[at] <= BUSIEST_NODE)
    a, b = (few[each] % n for each in _alike_in_order(node[few]))
    c, d = _alike_in_order(ink.line_of[near])
    return components(np.r_[a, c], np.r_[b, d], n)


def _alike_in_order(values: IntArray) -> tuple[IntArray, IntArray]:
    """Places of equal values, each paired with the next of them."""
    order = np.argsort(values, kind="stable")
    same = values[order][1:] == values[order][:-1]
    return order[:-1][same], order[1:][same]


def _in_order(c: Candidate, inside: IntArray, asked: IntArray) -> IntArray:
    """Those of the ``asked`` lines of segments ``inside`` the body (numbers) that are placed as marks are."""
    ink = c.ink
    _, near = ink.grid.near(c.centre[None], OUT * c.radius)
    near = near[(near < ink.count) & np.isin(ink.line_of[near], ink.line_of[inside])]
    points, owner = shapely.get_coordinates(shapely.segmentize(_lines(ink.xy[near]), STEP), return_index=True)
    tree = cKDTree(points)
    line = ink.line_of[near[owner]]
    mine = np.isin(line, asked)
    points = points[mine]
    number, at = np.unique(line[mine], return_inverse=True)
    size = c.template.small * float(c.pose[SCALE])
    share = 1 / np.bincount(at)[at]
    away = np.hypot(*(points - c.centre).T)
    middle = np.bincount(at, away < MIDDLE * c.radius, len(number)) > 0
    ordered = middle & (np.bincount(at, away > BEYOND * c.radius, len(number)) == 0)
    ordered &= _about_middle(c, number)
    poses = NO_POSES if c.template.round else orbit(c.template, c.pose)[1:]
    here = into_frame(c.pose[None], np.c_[points, points], np.zeros(len(points), np.int64))[:, :2]
    gaps, _ = tree.query(place(poses, here), distance_upper_bound=max(OFF * size, STEP))
    for fits in np.isfinite(gaps):
        ordered |= np.bincount(at, share * fits, len(number)) >= MIRRORED
    return number[ordered]


def _about_middle(c: Candidate, number: IntArray) -> BoolArray:
    """(n,) lines through the middle that are placed about it: their own middle is there, or one of their ends.

    Curved lines all count; lines on an axis of the symbol are told by their mirror image.
    """
    out = np.ones(len(number), bool)
    straight = number < len(c.ink.runs)
    ends = np.hypot(*(c.ink.runs[number[straight]].reshape(-1, 2, 2) - c.centre).transpose(2, 0, 1))
    off = MIDDLE * c.radius
    out[straight] = (np.abs(ends[:, 0] - ends[:, 1]) < 2 * off) | (ends.min(1) < off)
    return out


def _ticks(c: Candidate, inside: IntArray) -> IntArray:
    """Those of the segments ``inside`` the body that are ticks of a line which has another such tick outside, and
    those of the line."""
    ink = c.ink
    straight = inside[~ink.curved[inside]]
    own = ink.run_of[c.whole[~ink.curved[c.whole]]]
    found: dict[int, int] = {}  # ticks, and the line of each
    for tick, line, others in ticks_among(ink, np.unique(ink.run_of[straight])):
        if tick not in found and line not in own and _beyond(c, tick, others):
            found[tick] = line
    return straight[np.isin(ink.run_of[straight], [*found, *found.values()])]


def _beyond(c: Candidate, tick: int, others: list[int]) -> bool:
    """Does one of a line's other ticks lie outside the body by half a tick?"""
    away = np.hypot(*(_middles(c.ink.runs[others]) - c.centre).T)
    return bool(away.max() > c.radius + float(c.ink.run_lengths[tick]) / 2)


def ticks_among(ink: Ink, runs: IntArray) -> list[tuple[int, int, list[int]]]:
    """Those of some runs that are ticks, each with its line and the line's other ticks, in ascending order."""
    size = ink.run_lengths[runs]
    runs = runs[(TICK[0] <= size) & (size <= TICK[1])]
    tick, line = _runs_at(ink, _middles(ink.runs[runs]))
    ticks = _ticks_of(ink, np.unique(line))
    pairs = zip(runs[tick].tolist(), line.tolist(), strict=True)
    return [(one, own, [each for each in ticks[own] if each != one]) for one, own in pairs if one in ticks[own]]


def _ticks_of(ink: Ink, lines: IntArray) -> dict[int, list[int]]:
    """For each of some runs, those at its ends that are ticks on it: one at least at each end, alike; else none."""
    most = np.minimum(TICK[1], ink.run_lengths[lines] / ALONG)
    end, run = _runs_at(ink, ink.runs[lines].reshape(-1, 2), np.repeat(most / 2, 2))
    of = end // 2
    size = ink.run_lengths[run]
    fits = (TICK[0] <= size) & (size <= most[of])
    fits &= _sine(ink.runs[run], ink.runs[lines[of]]) > LEAST_TURN
    fits &= within(ink.runs[lines[of]], _middles(ink.runs[run]), JOINT)
    at_ends: dict[int, tuple[list[int], list[int]]] = {}
    for k in np.flatnonzero(fits).tolist():
        at_ends.setdefault(int(of[k]), ([], []))[int(end[k]) % 2].append(int(run[k]))
    out: dict[int, list[int]] = {int(line): [] for line in lines}
    for k, (first, last) in at_ends.items():
        pairs = [(a, b) for a in first for b in last if a != b and _alike(ink, a, b)]
        out[int(lines[k])] = sorted({tick for pair in pairs for tick in pair})
    return out


def _alike(ink: Ink, one: int, other: int) -> bool:
    size = float(ink.run_lengths[one])
    same = abs(float(ink.run_lengths[other]) - size) < SAME_TICK[0]
    turn = _sine(ink.runs[one][None], ink.runs[other][None])[0]
    return same and bool(turn < SAME_TICK[1] + SAME_TICK[0] / size)


def _dimensions(c: Candidate, letters: Letters) -> frozenset[int]:
    """Numbers of words in the candidate's body that are figures at the middle of a line with ticks at its ends."""
    words = strangers_in(letters, c.template, c.pose, c.words, c.whole, c.ink)
    return frozenset(k for k in words if FIGURE.fullmatch(letters.text[k]) and _on_dimension(k, c.ink, letters))


def _on_dimension(k: int, ink: Ink, letters: Letters) -> bool:
    word, at = letters.words[k], letters.at[k]
    way = np.array([math.cos(math.radians(word.angle)), -math.sin(math.radians(word.angle))])
    _, lines = _runs_at(ink, at[None], BESIDE * word.size)
    along, size = np.abs((at - _middles(ink.runs[lines])) @ way), ink.run_lengths[lines]
    level = _sine(ink.runs[lines], np.r_[0.0, 0.0, way][None]) < SAME_TICK[1]
    lines = lines[level & (along < word.size) & (size > ALONG * TICK[0])]
    return any(_ticks_of(ink, lines).values())


def _middles(lines: FloatArray) -> FloatArray:
    return (lines[:, :2] + lines[:, 2:]) / 2


def _runs_at(ink: Ink, at: FloatArray, reach: float | FloatArray = JOINT) -> tuple[IntArray, IntArray]:
    """Pairs (place, number of a straight run with a segment within ``reach`` of it), in ascending order."""
    reach = np.broadcast_to(reach, len(at))
    of, k = ink.grid.near(at, float(reach.max(initial=0.0)))
    drawn = (k < ink.count) & ~ink.curved[k]
    of, k = of[drawn], k[drawn]
    close = within(ink.xy[k], at[of], reach[of])
    runs = max(1, len(ink.runs))
    pair = sorted_unique(of[close] * runs + ink.run_of[k[close]])
    return pair // runs, pair % runs


def _sine(one: FloatArray, other: FloatArray) -> FloatArray:
    """(n,) of the angle between lines (n, 4)."""
    a, b = one[:, 2:] - one[:, :2], other[:, 2:] - other[:, :2]
    size = np.hypot(a[:, 0], a[:, 1]) * np.hypot(b[:, 0], b[:, 1])
    return np.asarray(np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]) / np.maximum(1e-9, size))


def _lines(xy: FloatArray) -> np.ndarray[tuple[int, ...], np.dtype[np.object_]]:
    return np.asarray(shapely.linestrings(xy.reshape(-1, 2, 2)))
