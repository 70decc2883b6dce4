"""Lines of a candidate that may belong to something else of the drawing.

A third bar makes a 240 V receptacle of a duplex one, and the end of a counter that stands where the bar would
be is no bar.  A symbol's own line ends where its mark ends: in the air, on another of its marks, or on the wall.

Terms: *line*, a straight mark of the template; *run*, the straight line of the sheet that is drawn on it; *corner*,
an end of a run at which a stroke of nobody's begins; *stop*, an end at which such a stroke passes by, as walls do.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import lengths
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import among, square_gaps
from cordpath.symbols.ink.normalise import NOBODYS
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.templates.template import MADE, Template

Lines = NDArray[np.object_]  # of shapely

LONGER = 1.15  # times the longest line of the template there, from which a run goes on
JOINT = 0.3  # pt between ends that meet: two roundings to the plotter's grid, and a little
ASLANT = math.sin(math.radians(15))  # strokes within this of a run's direction do not turn off from it
END_SLACK = 0.03, 0.35  # share of a line, and pt: roundings, the pen, and a size that is fitted to 1 or 2 %
OWN_ENDS = 0.01, 0.35  # the same for lines that are surely its own: a fitted size, two roundings and a little
PAST = 2.0  # pt at full size beyond an end, from which a line goes on: twice what rounding and the pen can add
PART = 0.2  # share of a line that a run must cover to count as drawn on it
PIECE = 0.5  # share of a shorter run that the line must have on it alone to be made of it there


def borrowed_lines(
    c: Candidate, between: bool = True, but: IntArray = NOBODYS, letters: IntArray = NOBODYS
) -> BoolArray:
    """(lines of the template,) True where what is drawn on the line runs on, turns a corner, is of a wide arc, or,
    if ``between`` is asked for, ends between two strokes of others.

    ``but``: segments at which no line of something else ends: letters, rows of hatch.  ``letters``: those among
    them at which no line turns a corner either.
    """
    key = (c.template, *(each.tobytes() for each in (c.pose, c.segments, c.whole, but, letters)), between)
    if key not in c.ink.known.borrowed:
        c.ink.known.borrowed[key] = _borrowed(c, between, np.r_[but, letters], letters)
    return c.ink.known.borrowed[key]


def _borrowed(c: Candidate, between: bool, but: IntArray, letters: IntArray) -> BoolArray:
    out = np.zeros(len(c.template.drawn.lines), bool)
    if not len(out) or not len(c.segments):
        return out
    out[_of_wide_arcs(c)] = True
    pairs = [(line, run) for line, runs in enumerate(_runs_by_line(c)) for run in runs]
    line, run = np.array(pairs, np.int64).reshape(-1, 2).T
    longest = np.array(_longest_runs(c.template))[line] * float(c.pose[SCALE])
    goes_on = c.ink.run_lengths[run] > LONGER * longest + 0.5 * c.template.small
    out[line[goes_on]] = True
    asked = ~out[line]
    if asked.any():
        line, run = line[asked], run[asked]
        out[line[_held(c, line, run, between, but, letters)]] = True
    return out


def ends_meet(c: Candidate, allowed: tuple[float, float] = END_SLACK, but: IntArray = NOBODYS) -> bool:
    """Is every line of the template drawn from end to end and no farther?  What tells plain shapes from others is
    little more than how long their lines are.  Edges of fills are not looked at: paint needs no pen.

    ``but``: segments that are known to be somebody else's.
    """
    return not ends_elsewhere(c, allowed, but).any()


def ends_elsewhere(c: Candidate, allowed: tuple[float, float] = END_SLACK, but: IntArray = NOBODYS) -> BoolArray:
    """(lines of the template,) True where nothing is drawn on the line from end to end and no farther."""
    key = (c.template, c.pose.tobytes(), c.segments.tobytes(), but.tobytes(), *allowed)
    if key not in c.ink.known.ends_elsewhere:
        c.ink.known.ends_elsewhere[key] = _ends_elsewhere(c, allowed, but)
    return c.ink.known.ends_elsewhere[key]


def _ends_elsewhere(c: Candidate, allowed: tuple[float, float], but: IntArray) -> BoolArray:
    out = np.zeros(len(c.template.drawn.lines), bool)
    rounded = set(c.template.features.round_strokes.tolist())
    for line, runs in enumerate(_runs_by_line(c, but)):
        if not runs and line in rounded:  # drawn as it is, by a curve
            continue
        if (c.template.element == line).any() and line not in c.template.drawn.filled:
            out[line] = not _meets_ends(c, line, runs, allowed)
    return out


def _meets_ends(c: Candidate, line: int, runs: list[int], allowed: tuple[float, float]) -> bool:
    """Do the runs together begin and end where the line of the template does?"""
    start, end = place(c.pose[None], c.template.drawn.lines[line].reshape(2, 2))[0]
    length = float(np.hypot(*(end - start)))
    along = (c.ink.runs[runs].reshape(-1, 2) - start) @ ((end - start) / max(length, 1e-9))
    slack = allowed[0] * length + allowed[1] * min(1.0, max(float(c.pose[SCALE]), 0.5))
    low, high = float(along.min(initial=np.inf)), float(along.max(initial=-np.inf))
    return abs(low) <= slack and abs(high - length) <= slack


def drawn_by_one_of(c: Candidate, runs: IntArray) -> BoolArray:
    """(lines of the template,) True where one of these runs is drawn on the line from end to end and no farther."""
    mine = [np.intersect1d(on, runs).tolist() for on in _runs_by_line(c)]
    return np.array([any(_meets_ends(c, line, [run], OWN_ENDS) for run in each) for line, each in enumerate(mine)],
                    bool)  # fmt: skip


def drawn_sharply(c: Candidate, but: IntArray = NOBODYS) -> bool:
    """Is every line of the template drawn from end to end and no farther, whatever else is drawn along it?

    A row of hatch along a bar does not take the bar away: a run of the row's length hardly ends where both ends of
    the mark are.  ``but``: as for :func:`ends_meet`.
    """
    return all(drawn_under(c, but).values())


def drawn_under(c: Candidate, but: IntArray = NOBODYS) -> dict[int, list[int]]:
    """Lines of the template along which something longer or shorter is drawn, and the runs of each that are drawn
    on it from end to end."""
    elsewhere = np.flatnonzero(ends_elsewhere(c, OWN_ENDS, but)).tolist()
    runs = np.unique(c.ink.run_of[c.whole[~c.ink.curved[c.whole]]]).tolist() if elsewhere else []
    return {line: [run for run in runs if _is_drawn_by(c, line, run)] for line in elsewhere}


def drawn_over(c: Candidate) -> IntArray:
    """Numbers of the runs along lines of the template that other runs draw from end to end."""
    on = _runs_by_line(c)
    over = [run for line, own in drawn_under(c).items() if own for run in on[line] if run not in own]
    return np.unique(np.array(over, np.int64))


def _is_drawn_by(c: Candidate, line: int, run: int) -> bool:
    """Does a run lie along the line of the template, from end to end?"""
    start, end = place(c.pose[None], c.template.drawn.lines[line].reshape(2, 2))[0]
    along = (end - start) / max(float(np.hypot(*(end - start))), 1e-9)
    off = (c.ink.runs[run].reshape(2, 2) - start) @ np.array([-along[1], along[0]])
    close = c.template.clear * float(c.pose[SCALE]) + 0.1
    return bool((np.abs(off) < close).all()) and _meets_ends(c, line, [run], OWN_ENDS)


def passing_lines(c: Candidate, once: bool = False) -> BoolArray:
    """(lines of the template,) True where what is drawn on the line goes on beyond both its ends; ``once``: beyond
    one of them."""
    out = np.zeros(len(c.template.drawn.lines), bool)
    runs_by_line = _runs_by_line(c)
    past = PAST * c.template.small * float(c.pose[SCALE])
    for line, marks in enumerate(c.template.drawn.lines):
        start, end = place(c.pose[None], marks.reshape(2, 2))[0]
        length = float(np.hypot(*(end - start)))
        for run in runs_by_line[line]:
            along = (c.ink.runs[run].reshape(2, 2) - start) @ ((end - start) / max(length, 1e-9))
            before, beyond = float(along.min()) < -past, float(along.max()) > length + past
            out[line] |= before or beyond if once else before and beyond
    return out


def undrawn(c: Candidate) -> BoolArray:
    """(lines of the template,) True where no run is drawn on the line."""
    return np.array([not runs for runs in _runs_by_line(c)], bool)


def drawn_on(c: Candidate, segments: IntArray) -> BoolArray:
    """(lines of the template,) True where all that is drawn on the line is of these segments."""
    theirs = np.zeros(len(c.ink.run_lengths), bool)
    theirs[c.ink.run_of[segments[segments < c.ink.count]]] = True
    return np.array([bool(runs) and bool(theirs[runs].all()) for runs in _runs_by_line(c)], bool)


def runs_on_lines(c: Candidate) -> IntArray:
    """Numbers of the runs that are drawn on lines of the template, each once: not those that only touch a mark."""
    return np.unique(np.array([run for runs in _runs_by_line(c) for run in runs], np.int64))


def _runs_by_line(c: Candidate, but: IntArray = NOBODYS) -> list[list[int]]:
    """For each line of the template, numbers of the runs that are drawn on it by other segments than ``but``; kept
    with the ink, since several questions about a candidate begin with it."""
    key = (c.template, c.pose.tobytes(), c.segments.tobytes(), but.tobytes())
    if key not in c.ink.known.drawn_on:
        straight = c.segments[~c.ink.curved[c.segments]]
        c.ink.known.drawn_on[key] = _runs_on(c, np.setdiff1d(straight, but) if len(but) else straight)
    return c.ink.known.drawn_on[key]


def _of_wide_arcs(c: Candidate) -> list[int]:
    """Lines of the template on which nothing straight is drawn, but an arc that is longer than they are and too
    wide to be a part of the symbol: a wire, the swing of a door."""
    ink, scale, drawn = c.ink, float(c.pose[SCALE]), c.template.drawn
    circle = ink.arcs.circle_of(c.segments)
    arcs = c.segments[(circle >= 0) & (np.r_[ink.arcs.circles[:, 2], 0.0][circle] > c.radius)]
    if not len(arcs):
        return []
    samples = place(c.pose[None], c.template.points)[0]
    close = c.template.clear * scale + 0.1
    out = []
    for line in np.setdiff1d(np.flatnonzero(undrawn(c)), drawn.filled).tolist():
        longer = arcs[ink.run[arcs] > LONGER * scale * lengths(drawn.lines[line][None]) + 0.5 * c.template.small]
        on = square_gaps(ink.xy[longer], samples[c.template.element == line, None]) < close**2
        if on.size and on.any(1).mean() > PIECE:
            out.append(line)
    return out


def _runs_on(c: Candidate, segments: IntArray) -> list[list[int]]:
    """For each line of the template, numbers of the runs drawn on it by these segments; of a short piece of it only
    those that do not lead off it, nor lie along another run for the most part."""
    out: list[list[int]] = [[] for _ in c.template.drawn.lines]
    mine, ends, total = _samples_of_lines(c.template)
    if not len(mine) or not len(segments):
        return out
    samples, element = place(c.pose[None], c.template.points)[0], c.template.element[mine]
    gap = square_gaps(c.ink.xy[segments], samples[mine, None])
    nearest = gap.argmin(1)
    close = c.template.clear * float(c.pose[SCALE]) + 0.1
    on = np.flatnonzero(gap[np.arange(len(mine)), nearest] < close**2)
    runs = len(c.ink.run_lengths)
    key, counts = np.unique(element[on] * runs + c.ink.run_of[segments[nearest[on]]], return_counts=True)
    line, run = key // runs, key % runs
    start = samples[ends[line, 0]]
    way = samples[ends[line, 1]] - start  # along the line
    length = np.hypot(way[:, 0], way[:, 1])
    away = c.ink.runs[run].reshape(-1, 2, 2) - start[:, None]
    off = (away[..., 1] * way[:, :1] - away[..., 0] * way[:, 1:]) / np.maximum(1e-9, length)[:, None]
    kept = (np.abs(off) < close).all(1) & (counts * length >= PIECE * total[line] * c.ink.run_lengths[run])
    kept |= counts >= PART * total[line]
    for number, here in zip(line[kept].tolist(), run[kept].tolist(), strict=True):
        out[number].append(here)
    return out


@lru_cache(maxsize=MADE)
def _samples_of_lines(template: Template) -> tuple[IntArray, IntArray, IntArray]:
    """Numbers of the template's samples on lines, the first and the last one (lines, 2) of each line, and how many
    (lines,) it has."""
    lines = len(template.drawn.lines)
    mine = np.flatnonzero(template.element < lines)
    ends = np.zeros((lines, 2), np.int64)
    for line in np.unique(template.element[mine]).tolist():
        ends[line] = np.flatnonzero(template.element == line)[[0, -1]]
    return mine, ends, np.bincount(template.element[mine], minlength=lines)


def _held(
    c: Candidate, line: IntArray, run: IntArray, between: bool, but: IntArray, letters: IntArray
) -> BoolArray:
    """(r,) Does the run on a line turn a corner into a stroke of nobody's, or (``between``) end on such strokes at
    both ends?"""
    ink, template = c.ink, c.template
    ends = ink.runs[run].reshape(-1, 2)
    samples = place(c.pose[None], template.points)[0]
    away = np.hypot(*(samples - ends[:, None]).transpose(2, 0, 1))
    away[template.element == np.repeat(line, 2)[:, None]] = np.inf
    joint = away.min(1) < 0.7 * max(0.4, template.small) * float(c.pose[SCALE])  # with another of its marks
    end, k = ink.grid.near(ends, JOINT)
    others = (k < ink.count) & ~among(k, c.whole)
    end, k = end[others], k[others]
    unit = (ends[1::2] - ends[::2]) / np.maximum(ink.run_lengths[run], 1e-9)[:, None]
    turn = ink.xy[k, 2:] - ink.xy[k, :2]
    off = np.abs(turn[:, 0] * unit[end // 2, 1] - turn[:, 1] * unit[end // 2, 0])
    kept = (ink.run_of[k] != run[end // 2]) & ~ink.hatch[k] & (off > ASLANT * np.maximum(ink.lengths[k], 1e-9))
    kept &= ~(ink.curved[k] & joint[end])  # wires end on circles, and then perhaps where a bar begins
    end, k = end[kept], k[kept]
    stroke = np.where(ink.curved[k][:, None], ink.xy[k], ink.runs[ink.run_of[k]])
    tips = np.hypot(*(stroke.reshape(-1, 2, 2) - ends[end, None]).transpose(2, 0, 1)).min(1)
    corner, stop = np.zeros(len(ends), bool), np.zeros(len(ends), bool)
    corner[end[(tips < JOINT) & ~among(k, letters)]] = True
    if between:
        passing = shapely.distance(shapely.points(ends[end]), _lines(stroke)) < JOINT
        stop[end[passing & ~among(k, but) & ~joint[end]]] = True
    return np.asarray(corner[::2] | corner[1::2] | (stop[::2] & stop[1::2]))


@lru_cache(maxsize=MADE)
def _longest_runs(template: Template) -> list[float]:
    """Length of the longest of the template's own runs that samples of each of its lines lie nearest to."""
    own = template.features.ink
    drawn, run = _lines(own.xy[: own.count]), own.run[: own.count]
    out = []
    for line in range(len(template.drawn.lines)):
        mine = shapely.points(template.points[template.element == line])
        out.append(float(run[shapely.distance(mine[:, None], drawn[None]).argmin(1)].max(initial=0.0)))
    return out


def _lines(xy: FloatArray) -> Lines:
    return np.asarray(shapely.linestrings(xy.reshape(-1, 2, 2)))
