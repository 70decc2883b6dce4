"""Ticks: short strokes whose middle lies on a longer line, alike at both its ends, as dimension lines have them."""

from __future__ import annotations

import math
import re

import numpy as np

from cordpath.geometry import midpoints
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import among, sorted_unique, within
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.letters.strangers import strangers_in
from cordpath.symbols.matching.borrowed import JOINT, runs_on_lines
from cordpath.symbols.matching.evidence import Candidate

TICK = 2.0, 14.0  # pt: lengths of ticks
SAME_TICK = 0.25, math.sin(math.radians(3.0))  # pt, and sine of the angle: by which the ticks of a line differ
ALONG = 2.0  # times a tick: least length of its line
LEAST_TURN = math.sin(math.radians(20.0))  # between a tick and its line
BESIDE = 1.5  # of a figure's size, from its middle to its dimension line
FIGURE = re.compile(r"[\d\s'\"\-/.½¼¾]*\d[\d\s'\"\-/.½¼¾]*")


def ticks_among(ink: Ink, runs: IntArray) -> list[tuple[int, int, list[int]]]:
    """Those of some runs that are ticks, each with its line and the line's other ticks, in ascending order: at an
    end of the line, or between them and alike, as in a chain of dimensions."""
    size = ink.run_lengths[runs]
    runs = runs[(TICK[0] <= size) & (size <= TICK[1])]
    tick, line = _runs_at(ink, midpoints(ink.runs[runs]))
    ticks = _ticks_of(ink, sorted_unique(line))
    pairs = zip(runs[tick].tolist(), line.tolist(), strict=True)
    return [
        (one, own, [each for each in ticks[own] if each != one])
        for one, own in pairs
        if one in ticks[own] or any(_alike(ink, one, each) for each in ticks[own])
    ]


def _ticks_of(ink: Ink, lines: IntArray) -> dict[int, list[int]]:
    """For each of some runs, those at its ends that are ticks on it: one at least at each end, alike; else none."""
    most = np.minimum(TICK[1], ink.run_lengths[lines] / ALONG)
    end, run = _runs_at(ink, ink.runs[lines].reshape(-1, 2), np.repeat(most / 2, 2))
    of = end // 2
    size = ink.run_lengths[run]
    fits = (TICK[0] <= size) & (size <= most[of])
    fits &= _sine(ink.runs[run], ink.runs[lines[of]]) > LEAST_TURN
    fits &= within(ink.runs[lines[of]], midpoints(ink.runs[run]), JOINT)
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


def ticks_on_lines(c: Candidate) -> IntArray:
    """Drawn segments on the candidate's lines that are ticks of a line which has another such tick outside."""
    ticks = [tick for tick, _, others in ticks_among(c.ink, runs_on_lines(c)) if beyond(c, tick, others)]
    straight = c.segments[~c.ink.curved[c.segments]]
    return straight[np.isin(c.ink.run_of[straight], ticks)]


def ticks_of_others(c: Candidate) -> IntArray:
    """Drawn segments on the candidate's lines that may be the tick of a line which leads out of the symbol, though
    it has no second: a dimension line that is broken at its figure, one whose other end is an arrow, a leader.

    Such a line ends at the tick, the only one of the symbol's lines that it passes through the middle of, or in the
    air on both sides of it; walls and wires that pass by end on others.
    """
    ink, runs = c.ink, runs_on_lines(c)
    size = ink.run_lengths[runs]
    runs = runs[(TICK[0] <= size) & (size <= TICK[1])]
    tick, line = _runs_at(ink, midpoints(ink.runs[runs]))
    tick = runs[tick]
    longer = (ink.run_lengths[line] >= ALONG * ink.run_lengths[tick]) & ~ink.hatch_runs[line]
    longer &= ~np.isin(line, ink.run_of[c.whole[c.whole < ink.count]])
    longer &= _sine(ink.runs[tick], ink.runs[line]) > LEAST_TURN
    longer[longer] = np.bincount(line[longer])[line[longer]] == 1  # stems side by side are the symbol's own
    tick, line = tick[longer], line[longer]
    ends = ink.runs[line].reshape(-1, 2, 2)
    out = np.hypot(*(ends - c.centre).transpose(2, 0, 1)).max(1) > c.radius + ink.run_lengths[tick] / 2
    near = np.hypot(*(ends - midpoints(ink.runs[tick])[:, None]).transpose(2, 0, 1)).min(1)
    others = out & ((near <= ink.run_lengths[tick]) | _ends_in_the_air(ink, line))
    straight = c.segments[~ink.curved[c.segments]]
    return straight[among(ink.run_of[straight], tick[others])]


def _ends_in_the_air(ink: Ink, lines: IntArray) -> BoolArray:
    """(n,) Does nothing touch either end of these runs but what goes on along them?"""
    at = ink.runs[lines].reshape(-1, 2)
    end, k = ink.grid.near(at, JOINT)
    across = _sine(ink.xy[k], ink.runs[lines[end // 2]]) > LEAST_TURN
    others = end[across & within(ink.xy[k], at[end], JOINT)]
    return ~np.isin(np.arange(len(lines)), others // 2)


def beyond(c: Candidate, tick: int, others: list[int]) -> bool:
    """Does one of a line's other ticks lie outside the body by half a tick?"""
    away = np.hypot(*(midpoints(c.ink.runs[others]) - c.centre).T)
    return bool(away.max() > c.radius + float(c.ink.run_lengths[tick]) / 2)


def dimensions_in(c: Candidate, letters: Letters) -> frozenset[int]:
    """Numbers of words in the candidate's body that are figures at the middle of a line with ticks at its ends."""
    words = strangers_in(letters, c.template, c.pose, c.words, c.whole, c.ink)
    return frozenset(k for k in words if FIGURE.fullmatch(letters.text[k]) and _on_dimension(k, c.ink, letters))


def _on_dimension(k: int, ink: Ink, letters: Letters) -> bool:
    word, at = letters.words[k], letters.at[k]
    way = np.array([math.cos(math.radians(word.angle)), -math.sin(math.radians(word.angle))])
    _, lines = _runs_at(ink, at[None], BESIDE * word.size)
    along, size = np.abs((at - midpoints(ink.runs[lines])) @ way), ink.run_lengths[lines]
    level = _sine(ink.runs[lines], np.r_[0.0, 0.0, way][None]) < SAME_TICK[1]
    lines = lines[level & (along < word.size) & (size > ALONG * TICK[0])]
    return any(_ticks_of(ink, lines).values())


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
