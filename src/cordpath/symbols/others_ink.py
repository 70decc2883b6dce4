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

from cordpath.geometry import lengths
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.arcs import components
from cordpath.symbols.borrowed import JOINT, OWN_ENDS, ends_meet
from cordpath.symbols.evidence import CERTAIN, Candidate, weighed_again
from cordpath.symbols.hatch_rows import rows_across
from cordpath.symbols.letters import Letters
from cordpath.symbols.normalise import Ink, meeting, nodes
from cordpath.symbols.orbits import orbit
from cordpath.symbols.paint import Paint
from cordpath.symbols.pose import SCALE, into_frame, place
from cordpath.symbols.strangers import strangers_in

HATCHED = "hatching makes up part of it"
LARGEST = 40.0  # pt of radius: larger bodies have hatch and lines of their own
AROUND = 5.0  # body radii within which chains are followed
OUT = 2.2  # body radii from the middle to which a chain reaches: a square around a body reaches 1.5
LONGER = 2.2, 4.0  # times its length in the body, and pt at full size: what counts as passing, as for one line
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
NOBODYS: IntArray = np.zeros(0, np.int64)


def without_others(c: Candidate, letters: Letters, paint: Paint) -> Candidate:
    """The candidate without the doubts that only other things' ink across it had raised: rows of hatch, chains that
    lead out of it, ticks."""
    drawn = c.coverage >= CERTAIN and not c.template.text_only and c.radius <= LARGEST
    if not drawn or not any(d.inside or d.what == HATCHED for d in c.doubts):
        return c
    rows = rows_across(c)
    # rows may be what looks like its own lines
    sharp = len(c.template.circles) > 0 and ends_meet(c, OWN_ENDS, rows)
    doubts = tuple(d for d in c.doubts if d.what != HATCHED or not sharp)
    others = NOBODYS
    if any(d.inside for d in doubts):
        others = np.union1d(others_across(c, rows), rows if sharp else NOBODYS)
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
    _, near = c.ink.grid.near(c.centre[None], AROUND * c.radius)
    near = near[(near < c.ink.count) & ~np.isin(near, c.whole) & ~np.isin(near, rows)]
    inside = shapely.intersects(_lines(c.ink.xy[near]), body)
    if not inside.any():
        return NOBODYS
    return np.union1d(_chained(c, body, near, inside), _ticks(c, near[inside]))


def _chained(c: Candidate, body: BaseGeometry, near: IntArray, inside: BoolArray) -> IntArray:
    """Those of the segments ``near`` that lie ``inside`` and whose chains lead out of the body, far enough."""
    ink = c.ink
    calm = ~ink.hatch[near]
    near, inside = near[calm], inside[calm]
    if not inside.any():
        return NOBODYS
    count, chain = chains(ink.xy[near], ink.line_of[near])
    xy = ink.xy[near]
    within = np.zeros(len(near))
    within[inside] = shapely.length(shapely.intersection(_lines(xy[inside]), body))
    total = np.bincount(chain, lengths(xy), count)
    inner = np.bincount(chain, within, count)
    away = np.maximum(np.hypot(*(xy[:, :2] - c.centre).T), np.hypot(*(xy[:, 2:] - c.centre).T))
    far = np.zeros(count)
    np.maximum.at(far, chain, away)
    small = c.template.small * float(c.pose[SCALE])
    leads_out = (total > LONGER[0] * inner + LONGER[1] * max(0.2, small)) & (total > LENGTH * c.radius)
    leads_out &= far > OUT * c.radius
    if not (inside & leads_out[chain]).any():
        return NOBODYS
    ordered = np.isin(ink.line_of[near], _in_order(c, near[inside]))
    leads_out &= np.bincount(chain, within * ordered, count) < ORDERED * inner
    return near[inside & leads_out[chain]]


def chains(xy: FloatArray, line: IntArray) -> tuple[int, IntArray]:
    """How many chains segments form, and (n,) which: joined at their ends, or of one run or arc."""
    n = len(xy)
    i, j = meeting(nodes(np.r_[xy[:, :2], xy[:, 2:]]))
    order = np.argsort(line, kind="stable")
    same = line[order][1:] == line[order][:-1]
    a, b = np.r_[i % n, order[:-1][same]], np.r_[j % n, order[1:][same]]
    return components(a, b, n)


def _in_order(c: Candidate, inside: IntArray) -> IntArray:
    """Numbers of the lines of segments ``inside`` the body that are placed as marks are."""
    ink = c.ink
    _, near = ink.grid.near(c.centre[None], OUT * c.radius)
    near = near[(near < ink.count) & np.isin(ink.line_of[near], ink.line_of[inside])]
    points, owner = shapely.get_coordinates(shapely.segmentize(_lines(ink.xy[near]), STEP), return_index=True)
    number, at = np.unique(ink.line_of[near[owner]], return_inverse=True)
    size = c.template.small * float(c.pose[SCALE])
    share = 1 / np.bincount(at)[at]
    away = np.hypot(*(points - c.centre).T)
    middle = np.bincount(at, away < MIDDLE * c.radius, len(number)) > 0
    ordered = middle & (np.bincount(at, away > BEYOND * c.radius, len(number)) == 0)
    ordered &= _about_middle(c, number)
    if c.template.round:
        return number[ordered]
    tree = cKDTree(points)
    here = into_frame(c.pose[None], np.c_[points, points], np.zeros(len(points), np.int64))[:, :2]
    for pose in orbit(c.template, c.pose)[1:]:
        near = tree.query(place(pose[None], here)[0])[0] < max(OFF * size, STEP)
        ordered |= np.bincount(at, share * near, len(number)) >= MIRRORED
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
    found = []
    for run in np.unique(ink.run_of[straight]).tolist():
        if TICK[0] <= float(ink.run_lengths[run]) <= TICK[1]:
            found += _with_line(c, run)
    return straight[np.isin(ink.run_of[straight], found)]


def _with_line(c: Candidate, tick: int) -> list[int]:
    """The run and that of its line, if it is a tick of a line that is none of the candidate's; else nothing."""
    size, middle = float(c.ink.run_lengths[tick]), _middle(c.ink.runs[tick])
    own = c.ink.run_of[c.whole[~c.ink.curved[c.whole]]]
    for line in runs_at(c.ink, middle):
        ticks = ticks_of(c.ink, line) if line not in own else []
        away = [float(np.hypot(*(_middle(c.ink.runs[t]) - c.centre))) for t in ticks if t != tick]
        if tick in ticks and max(away) > c.radius + size / 2:
            return [tick, line]
    return []


def ticks_of(ink: Ink, line: int) -> list[int]:
    """Runs at the ends of a run that are ticks on it: one at least at each end, alike; else nothing."""
    ends, length = ink.runs[line].reshape(2, 2), float(ink.run_lengths[line])
    most = min(TICK[1], length / ALONG)
    at_ends: list[list[int]] = []
    for end in ends:
        runs = [run for run in runs_at(ink, end, most / 2) if TICK[0] <= float(ink.run_lengths[run]) <= most]
        on = [run for run in runs if _sine(ink.runs[run], ink.runs[line]) > LEAST_TURN]
        middles = shapely.points(np.array([_middle(ink.runs[run]) for run in on]).reshape(-1, 2))
        gaps = shapely.distance(middles, shapely.LineString(ends))
        at_ends.append([run for run, gap in zip(on, gaps, strict=True) if gap < JOINT])
    pairs = [(a, b) for a in at_ends[0] for b in at_ends[1] if a != b and _alike(ink, a, b)]
    return sorted({run for pair in pairs for run in pair})


def _alike(ink: Ink, one: int, other: int) -> bool:
    size = float(ink.run_lengths[one])
    same = abs(float(ink.run_lengths[other]) - size) < SAME_TICK[0]
    return same and _sine(ink.runs[one], ink.runs[other]) < SAME_TICK[1] + SAME_TICK[0] / size


def _dimensions(c: Candidate, letters: Letters) -> frozenset[int]:
    """Numbers of words in the candidate's body that are figures at the middle of a line with ticks at its ends."""
    words = strangers_in(letters, c.template, c.pose, c.words, c.whole, c.ink)
    return frozenset(k for k in words if FIGURE.fullmatch(letters.text[k]) and _on_dimension(k, c.ink, letters))


def _on_dimension(k: int, ink: Ink, letters: Letters) -> bool:
    word, at = letters.words[k], letters.at[k]
    way = np.array([math.cos(math.radians(word.angle)), -math.sin(math.radians(word.angle))])
    for line in runs_at(ink, at, BESIDE * word.size):
        xy = ink.runs[line]
        off = at - _middle(xy)
        along, size = abs(float(off @ way)), float(ink.run_lengths[line])
        level = _sine(xy, np.r_[0.0, 0.0, way]) < SAME_TICK[1]
        if level and along < word.size and size > ALONG * TICK[0] and ticks_of(ink, line):
            return True
    return False


def _middle(line: FloatArray) -> FloatArray:
    return (line[:2] + line[2:]) / 2


def runs_at(ink: Ink, at: FloatArray, reach: float = JOINT) -> list[int]:
    """Numbers of the straight runs with a segment within ``reach`` of a place."""
    _, k = ink.grid.near(at[None], reach)
    k = k[k < ink.count]
    return [int(run) for run in np.unique(ink.run_of[k[~ink.curved[k]]])]


def _sine(one: FloatArray, other: FloatArray) -> float:
    """Of the angle between two lines (4,)."""
    a, b = one[2:] - one[:2], other[2:] - other[:2]
    return abs(float(a[0] * b[1] - a[1] * b[0])) / max(1e-9, math.hypot(*a) * math.hypot(*b))


def _lines(xy: FloatArray) -> np.ndarray[tuple[int, ...], np.dtype[np.object_]]:
    return np.asarray(shapely.linestrings(xy.reshape(-1, 2, 2)))
