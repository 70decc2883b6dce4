"""Dimension strings: a length written beside a line that is drawn to it.

Terms: *string*, the written length (``written.py``).  *Carrier*, the dimension line that the string stands on or
breaks.  *Mark*, a place on the carrier where something ends or crosses it: tick, arrow tip, dot, extension line.
*Along* and *across*, coordinates in the frame of the string's reading direction.  *Reading*, one string with the
drawn length between the marks that it may belong to.

Which two marks a string belongs to is not always clear (walls and grid lines cross dimension lines), so each string
gives up to three readings, best first, and the scale on which most strings agree decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from cordpath.geometry import boxes_around
from cordpath.model import BoolArray, Fills, FloatArray, IntArray, Point, Strokes
from cordpath.scale.heads import TOUCH, Heads
from cordpath.scale.written import String

ACROSS = 2.2  # of the text size, from the middle of a string to its carrier: text over, on, or under the line
BEYOND = 12.0  # pt a mark may lie past the end of its carrier: the line stops at the base of an arrow head
GROUP = 0.8  # pt: marks closer than this are one
SAME_CARRIER = 0.5  # pt across
PARALLEL = np.radians(1.5)
TICK_LENGTH = (3.0, 20.0)  # pt; ticks are 1/16 to 3/16 in. long (common practice, no source), or drawn in halves
SHORTEST_CARRIER = 6.0  # pt; shorter lines beside a string are stipple and hatch
MOST_CARRIERS = 8  # lines tried for one string: floor hatch runs along with dimension lines
OTHER_COLOUR = 0.5  # cost of a line whose colour is not that of the string
NEARER = 0.2  # cost of each line that lies nearer to the string than the one tried
SHORTEST = 3.0  # pt drawn; below this rounding of the plot is over 1 %
SIDES = 6  # marks considered on each side of a string
CENTRED = 0.12  # of the drawn length: how far a string may stand off the middle of its segment
MOST_READINGS = 3
TICK, CROSSING, END = 2.0, 1.0, 0.5  # how much each kind of mark tells


@dataclass(frozen=True)
class Reading:
    """A string with one possible drawn length, points; ``rank`` 0 is the best reading of its string."""

    string: int
    drawn: float
    rank: int
    start: Point = (0.0, 0.0)  # page coordinates of the two marks, on the dimension line
    end: Point = (0.0, 0.0)


# ----------------------------------------------------------------------------------------------- readings


def readings(found: tuple[String, ...], strokes: Strokes, fills: Fills) -> tuple[Reading, ...]:
    """The possible drawn lengths of every string."""
    seen = strokes.ink()
    xy, colour = strokes.xy[seen], strokes.colour[seen]
    heads = Heads.of(fills)
    result: list[Reading] = []
    angles = np.array([string.angle % 180.0 for string in found]).round(1)
    for angle in np.unique(angles):
        field = _Field.of(xy, colour, heads, float(angle))
        for number in np.flatnonzero(angles == angle):
            spans = field.spans(found[number])
            result.extend(
                Reading(int(number), end - start, rank, field.page(start, place), field.page(end, place))
                for rank, (start, end, place) in enumerate(spans)
            )
    return tuple(result)


Span = tuple[float, float, float]  # from and to along, and the place across of the line


@dataclass(frozen=True, eq=False)
class _Field:
    """Strokes and heads in the frame of one reading direction."""

    turn: FloatArray  # (2, 2) page to (along, across)
    line: FloatArray  # (p, 3) across, from, to: strokes along the reading direction, sorted by their place across
    colour: FloatArray  # (p, 3) of those
    other: FloatArray  # (q, 4) along, across of both ends: all other strokes
    tick: BoolArray  # (q,) short and slanting
    heads: Heads

    @cached_property
    def _others(self) -> shapely.STRtree:
        """Of the boxes around the other strokes."""
        return shapely.STRtree(shapely.box(*boxes_around(self.other).T))

    @staticmethod
    def of(xy: FloatArray, colour: FloatArray, heads: Heads, angle: float) -> _Field:
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        turn = np.array([[c, -s], [s, c]])  # y down: along runs counter-clockwise as seen
        ends = (xy.reshape(-1, 2) @ turn.T).reshape(-1, 4)
        run = np.abs(ends[:, 2:] - ends[:, :2])
        slope = np.arctan2(run[:, 1], run[:, 0])
        flat = (slope < PARALLEL) & (run[:, 0] > 0)
        line = np.column_stack([
            (ends[flat, 1] + ends[flat, 3]) / 2,
            np.minimum(ends[flat, 0], ends[flat, 2]), np.maximum(ends[flat, 0], ends[flat, 2]),
        ])  # fmt: skip
        order = np.argsort(line[:, 0], kind="stable")
        steep = slope >= np.radians(8.0)
        long = np.hypot(run[:, 0], run[:, 1])
        slanting = (slope < np.radians(70.0)) & (long >= TICK_LENGTH[0]) & (long <= TICK_LENGTH[1])
        return _Field(turn, line[order], colour[flat][order], ends[steep], slanting[steep], heads.turned(turn))

    def _about(self, across: float, reach: float) -> slice:
        """The lines whose place across differs by no more than ``reach``."""
        low = np.searchsorted(self.line[:, 0], across - reach)
        return slice(int(low), int(np.searchsorted(self.line[:, 0], across + reach, "right")))

    def page(self, along: float, across: float) -> Point:
        x, y = self.turn.T @ np.array([along, across])
        return (float(x), float(y))

    def spans(self, string: String) -> list[Span]:
        """Where the drawn length may run that the string tells, at most MOST_READINGS, best first."""
        x0, y0, x1, y1 = string.box
        at, across = self.turn @ np.array([(x0 + x1) / 2, (y0 + y1) / 2])
        half = float(np.abs(self.turn[0]) @ np.array([x1 - x0, y1 - y0])) / 2
        options: list[tuple[float, Span]] = []
        for dearer, place in self._carriers(float(at), float(across), half, string):
            marks, weight = self._marks(place, float(at), half, string.size)
            found = _segments(marks, weight, float(at))
            options.extend((cost + dearer, (start, end, place)) for cost, start, end in found)
        options.sort(key=lambda option: (option[0], option[1][1] - option[1][0]))
        best: list[Span] = []
        for _, span in options:
            if all(abs((span[1] - span[0]) / (other[1] - other[0]) - 1) > 0.003 for other in best):
                best.append(span)
            if len(best) == MOST_READINGS:
                break
        return best

    def _carriers(self, at: float, across: float, half: float, string: String) -> list[tuple[float, float]]:
        """(cost, place across) of the lines near a string: the nearest, and those in its colour, cost least."""
        about = self._about(across, ACROSS * string.size)
        line, gap = self.line[about], half + 2 * string.size
        near = (line[:, 1] <= at + gap) & (line[:, 2] >= at - gap) & (line[:, 2] - line[:, 1] >= SHORTEST_CARRIER)
        found = line[near, 0]
        if not len(found):
            return []
        other = np.abs(self.colour[about][near] - np.array(string.colour)).max(axis=1) > 0.1
        groups = np.split(np.arange(len(found)), np.flatnonzero(np.diff(found) > SAME_CARRIER) + 1)
        places = [(OTHER_COLOUR * bool(other[g].all()), float(found[g].mean())) for g in groups]
        places.sort(key=lambda place: (place[0], abs(place[1] - across)))
        return [(cost + NEARER * n, place) for n, (cost, place) in enumerate(places[:MOST_CARRIERS])]

    def _marks(self, place: float, at: float, half: float, size: float) -> tuple[FloatArray, FloatArray]:
        """(m,) places along the carrier of its marks, and (m,) how much each tells."""
        low, high, ends = _reach(self.line[self._about(place, SAME_CARRIER)], at, half + size)
        along = shapely.box(low - BEYOND, place - TOUCH, high + BEYOND, place + TOUCH)
        touch = np.sort(self._others.query(along))
        a0, b0, a1, b1 = self.other[touch].T
        b0, b1 = b0 - place, b1 - place
        t = np.clip(b0 / np.where(b0 == b1, 1.0, b0 - b1), 0.0, 1.0)
        where = a0 + (a1 - a0) * t
        # A tick crosses the carrier at its middle; half a tick, or one line of an open arrow head, ends on it.
        stands = np.minimum(np.abs(b0 + b1) / 2, np.minimum(np.abs(b0), np.abs(b1))) < TOUCH
        ticked = stands & self.tick[touch]
        weight = np.where(ticked, TICK, CROSSING)
        tips = self.heads.places(place)
        places = np.concatenate([where, tips, ends])
        weights = np.concatenate([weight, np.full(len(tips), TICK), np.full(len(ends), END)])
        keep = (places >= low - BEYOND) & (places <= high + BEYOND)
        return _grouped(places[keep], weights[keep])


def _reach(line: FloatArray, at: float, gap: float) -> tuple[float, float, FloatArray]:
    """From where to where a carrier runs without a break other than its string, and the ends of its pieces."""
    order = np.argsort(line[:, 1])
    low, high = line[order, 1], np.maximum.accumulate(line[order, 2])
    open_gap = low[1:] - high[:-1]
    holds_text = (high[:-1] <= at + gap) & (low[1:] >= at - gap) & (open_gap <= 2 * gap)
    cut = np.flatnonzero((open_gap > 2.0) & ~holds_text)
    start = np.concatenate([[0], cut + 1])
    stop = np.concatenate([cut, [len(low) - 1]])
    distance = np.maximum(low[start] - at, at - high[stop])
    which = int(np.argmin(distance))
    return float(low[start[which]]), float(high[stop[which]]), np.array([low[start[which]], high[stop[which]]])


def _grouped(places: FloatArray, weights: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Marks closer than GROUP become one: it tells as much as the best of them, and lies where that one lies."""
    if not len(places):
        return places, weights
    order = np.argsort(places)
    places, weights = places[order], weights[order]
    group = np.concatenate([[0], np.cumsum(np.diff(places) > GROUP)])
    place = np.bincount(group, weights**4 * places) / np.bincount(group, weights**4)
    start = np.flatnonzero(np.diff(group, prepend=-1))
    return place, np.maximum.reduceat(weights, start)


def _segments(marks: FloatArray, weight: FloatArray, at: float) -> list[tuple[float, float, float]]:
    """(cost, start, end) of the pairs of marks left and right of a string."""
    left = np.flatnonzero(marks < at)[::-1][: SIDES * 2]
    right = np.flatnonzero(marks > at)[: SIDES * 2]
    left, right = _strongest(left, weight), _strongest(right, weight)
    found = []
    for i, a in enumerate(left):
        for j, b in enumerate(right):
            length = float(marks[b] - marks[a])
            if length < SHORTEST:
                continue
            off = abs((marks[a] + marks[b]) / 2 - at) / length
            weak = sum(1.0 for mark in (a, b) if weight[mark] < TICK)
            skipped = _skipped(left[:i], weight, weight[a]) + _skipped(right[:j], weight, weight[b])
            found.append(
                (2.0 * max(off - 0.02, 0.0) / CENTRED + weak + 1.5 * skipped, float(marks[a]), float(marks[b]))
            )
    return found


def _strongest(side: IntArray, weight: FloatArray) -> IntArray:
    """The nearest marks of one side: at most SIDES, and of the weak ones only the nearest half."""
    strong = side[weight[side] >= TICK][:SIDES]
    weak = side[weight[side] < TICK][: SIDES // 2]
    return np.sort(np.concatenate([strong, weak])) if len(side) < 2 or side[0] < side[-1] else np.sort(
        np.concatenate([strong, weak]))[::-1]  # fmt: skip


def _skipped(nearer: IntArray, weight: FloatArray, chosen: float) -> float:
    """How many marks that tell at least as much lie nearer to the string."""
    return float(sum(1 for mark in nearer if weight[mark] >= min(chosen, TICK)))
