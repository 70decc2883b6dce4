"""Rows of hatch across a symbol, recognised one by one.

Where several hatches overlap, or the symbol's own lines stand between the rows, the lines are not evenly spaced as
a whole, and single rows look like marks of the symbol.

Terms: *row*, a run of the hatch; *gap*, from row to row; *sibling*, a row of the same hatch.  A run across a body
is a row if siblings lie at even gaps on its sides, enough of them and none missing, if its ends lie where those of
its siblings do, and if it or several siblings in a row go out of the body: no mark does.  Where rows lie, rows may
be what looks like the symbol's own lines; but those end where the marks end, to a pen's width, and rows where
their hatch ends.  A line *out of step* lies where a row may be and ends where none would.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cordpath.geometry import EVEN, EVEN_PT, lengths, midpoints
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import sorted_unique
from cordpath.symbols.ink.hatch import MEMBERS, NARROWEST
from cordpath.symbols.ink.hatch import WIDEST as HATCH_GAP
from cordpath.symbols.ink.normalise import NOBODYS
from cordpath.symbols.matching.bodies import Bodies, Pairs, counted, together
from cordpath.symbols.matching.evidence import Candidate

WIDEST = 7.0  # pt between rows; wider ones are few across a symbol
PARALLEL = math.sin(math.radians(1.0))  # rows are drawn parallel; and see ROUNDING
ROUNDING = 0.12  # pt: the plotter's grid, by which ends are off
SHORTEST = 1e-6  # pt; shorter runs have no direction
SAME_END = 0.6  # pt along the rows by which an end is off the line through those of its siblings
OUT = 1.0  # pt by which a row goes out of the body
FARTHEST = 1e4  # pt, more than any line is looked at aside: to order lines by their run and that
BATCH = 200_000  # runs compared at once: what more of them need leaves the processor's cache
# two siblings that tell where a row between or beside them ends, and the share of the nearer in it
BY_SIBLINGS = (-1, 1, 0.5), (1, 2, 2.0), (-1, -2, 2.0)
SIBLINGS = 2  # rows aside that tell where a row ends
OUTSIDE = MEMBERS // 2  # siblings side by side outside the body from which a row may lie wholly in it


def rows_across(candidates: Sequence[Candidate]) -> list[IntArray]:
    """Segments of the sheet in the body of each candidate that are rows of a hatch and no marks of its own."""
    keys = [(c.template, c.pose.tobytes(), c.whole.tobytes()) for c in candidates]
    fresh = [c for c, key in zip(candidates, keys, strict=True) if key not in c.ink.known.rows]
    for which, bodies in together(fresh):
        for k, rows in zip(which, rows_in(bodies).by_body(len(which)), strict=True):
            c = fresh[k]
            c.ink.known.rows[c.template, c.pose.tobytes(), c.whole.tobytes()] = rows
    return [c.ink.known.rows.get(key, NOBODYS) for c, key in zip(candidates, keys, strict=True)]


def rows_in(bodies: Bodies) -> Pairs:
    """Segments about bodies that are rows of a hatch across them there, none of their own."""
    ink = bodies.ink
    near = bodies.near(bodies.radii + 1.0)
    near = near.where(~ink.curved[near.item] & ~ink.hatch[near.item])
    near = near.where(~near.among(bodies.own))
    if not len(near):
        return near
    around = bodies.near(bodies.radii + (MEMBERS - 1) * WIDEST)
    around = around.where(~ink.curved[around.item])
    runs = near.by(ink.run_of)
    across, lines = runs.once(), around.by(ink.run_of).once()
    return near.where(runs.among(across.where(_are_rows(bodies, across, lines))))


def are_rows(c: Candidate, runs: IntArray, but: IntArray = NOBODYS) -> BoolArray:
    """(r,) runs about the candidate that are rows of a hatch there; ``but``: runs that are none of its rows."""
    bodies = Bodies.of([c])
    around = bodies.near(bodies.radii + (MEMBERS - 1) * WIDEST)
    lines = around.where(~c.ink.curved[around.item]).by(c.ink.run_of).once()
    lines = lines.where(~np.isin(lines.item, but))
    return _are_rows(bodies, Pairs(np.zeros(len(runs), np.int64), runs), lines)


def out_of_step(c: Candidate, segments: IntArray, among_own: bool = True) -> BoolArray:
    """(s,) segments of the candidate's lines whose runs have parallel lines on two or more even places beside them,
    and end, at one end or both, where no such line nor two of them tell: no rows, however even they lie.  A line
    beside a run that ends as it does at both ends is its like wherever it lies: rows of bricks end so every other
    time.

    ``among_own``: the candidate's own lines, too, may be the parallel ones; opposite sides of a box end alike.
    """
    which, lines = _beside_own(c, segments, among_own)
    gaps, out = _gaps_of(lines, HATCH_GAP), np.zeros(len(lines.half), bool)
    out[gaps.run[gaps.told]] = True
    out[gaps.run[gaps.alike]] = False
    ends = np.c_[-lines.half, lines.half][lines.run]
    out[lines.run[(np.abs(lines.along - ends) < SAME_END).all(1)]] = False
    return out[which]


def no_siblings(c: Candidate, segments: IntArray) -> BoolArray:
    """(s,) segments of the candidate's lines whose runs have no two parallel lines on even places beside them:
    there is no hatch about them, and a long line beside them is a row of one farther on."""
    which, lines = _beside_own(c, segments, True)
    gaps, out = _gaps_of(lines, HATCH_GAP), np.ones(len(lines.half), bool)
    out[gaps.run[gaps.told]] = False
    return out[which]


def _beside_own(c: Candidate, segments: IntArray, among_own: bool) -> tuple[IntArray, _Beside]:
    """The run of each segment (s,), by number, and the lines beside these runs."""
    ink, run = c.ink, c.ink.run_of[segments]
    across = Pairs(np.zeros(len(segments), np.int64), run).once()
    bodies = Bodies.of([c])
    around = bodies.near(bodies.radii + SIBLINGS * HATCH_GAP)
    if not among_own:
        around = around.where(~around.among(bodies.own))
    lines = around.where(~ink.curved[around.item]).by(ink.run_of).once()
    of, _, along, aside = beside(bodies, across, lines)
    half = ink.run_lengths[across.item] / 2
    return np.searchsorted(across.item, run), _Beside.of(of, along, aside, half)


def _are_rows(bodies: Bodies, across: Pairs, lines: Pairs) -> BoolArray:
    """(p,) Is each of the runs ``across`` a body a row among the ``lines`` about it, which are runs as well?

    Siblings lie at multiples of a gap, without a hole and enough of them, and end as the row does.  A row goes out
    of the body; where it does not, enough of them must, on one side.
    """
    runs = bodies.ink.runs[across.item]
    size = lengths(runs)
    run, _, along, aside = beside(bodies, across, lines)
    many = (np.bincount(run, minlength=len(runs)) >= MEMBERS - 1) & (size > SHORTEST)
    many_here = many[run]
    near = _Beside.of(run[many_here], along[many_here], aside[many_here], size / 2)
    gaps = _gaps_of(near, WIDEST)
    of, gap = gaps.run[gaps.alike], gaps.gap[gaps.alike]
    before, beyond = _in_a_row(near, of, gap)
    out_at = _reach(bodies, across, many)[of] / gap[:, None]
    row = before + beyond + 1 >= MEMBERS
    row &= np.maximum(out_at[:, 0] + before, beyond - out_at[:, 1]) >= OUTSIDE
    out = np.zeros(len(runs), bool)
    out[of[row]] = True
    return out


def _reach(bodies: Bodies, across: Pairs, wanted: BoolArray) -> FloatArray:
    """(p, 2) from where to where beside each wanted run its body reaches, pt; from anywhere, where the run goes out
    of it."""
    runs = bodies.ink.runs[across.item]
    ends = shapely.points(runs.reshape(-1, 2, 2))
    leaves = shapely.distance(ends, bodies.shapes[across.body, None]).max(1) >= OUT
    out = np.full((len(runs), 2), np.inf)
    inside = np.flatnonzero(wanted & ~leaves)
    corners, which = shapely.get_coordinates(bodies.shapes[across.body[inside]], return_index=True)
    if len(inside):
        way, middle = _ways(runs[inside])[1], midpoints(runs[inside])
        aside = ((corners - middle[which]) * np.c_[-way[:, 1], way[:, 0]][which]).sum(1)
        first = np.searchsorted(which, np.arange(len(inside)))
        out[inside] = np.c_[np.minimum.reduceat(aside, first), np.maximum.reduceat(aside, first)]
    return out


def beside(bodies: Bodies, across: Pairs, lines: Pairs) -> tuple[IntArray, IntArray, FloatArray, FloatArray]:
    """The lines that are parallel to a run across their body and lie beside it: the run's place in ``across``, that
    of the line in ``lines``, from where to where each is along it from its middle (m, 2; pt), and how far aside;
    in order of the runs."""
    runs, others = bodies.ink.runs[across.item], bodies.ink.runs[lines.item]
    (length, unit), (size, way) = _ways(runs), _ways(others)
    start = np.searchsorted(lines.body, np.arange(len(bodies.shapes) + 1))
    count, found = np.diff(start)[across.body], [(NOBODYS, NOBODYS)]
    cut = np.searchsorted(np.cumsum(count), np.arange(BATCH, count.sum(), BATCH))
    for part in np.split(np.arange(len(runs)), cut):
        run, line = counted(count[part])
        run = part[run]
        line += start[across.body[run]]
        off = np.abs(unit[run, 1] * way[line, 0] - unit[run, 0] * way[line, 1])
        level = np.flatnonzero(off < PARALLEL + ROUNDING / size[line] + ROUNDING / length[run])
        found.append((run[level], line[level]))
    run, line = (np.concatenate(each) for each in zip(*found, strict=True))
    from_here = others[line].reshape(-1, 2, 2) - midpoints(runs)[run, None]
    normal, half = np.c_[-unit[:, 1], unit[:, 0]], length / 2
    along = np.sort((from_here * unit[run, None]).sum(2), axis=1)
    aside = (from_here * normal[run, None]).sum(2).mean(1)
    level = (along[:, 0] < half[run]) & (along[:, 1] > -half[run]) & (np.abs(aside) > NARROWEST - EVEN_PT)
    return run[level], line[level], along[level], aside[level]


def _ways(runs: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(n,) lengths of runs (n, 4), and (n, 2) their directions."""
    size = np.maximum(lengths(runs), 1e-9)
    return size, (runs[:, 2:] - runs[:, :2]) / size[:, None]


@dataclass(frozen=True, eq=False)
class _Beside:
    """Lines beside runs: the run, from where to where along it each is (m, 2; pt), and how far aside, of each run
    the nearest first; and ``half`` (r,) of each run's length."""

    run: IntArray
    along: FloatArray
    aside: FloatArray
    half: FloatArray

    @staticmethod
    def of(run: IntArray, along: FloatArray, aside: FloatArray, half: FloatArray) -> _Beside:
        order = np.lexsort((np.abs(aside), run))
        return _Beside(run[order], along[order], aside[order], half)

    def even(self, of: IntArray, gap: FloatArray, rows: float) -> tuple[IntArray, IntArray, IntArray]:
        """Lines at even places of gaps (g,), each beside a run ``of``: the gap, in order, the line, and its number
        as a row, of so many ``rows`` at the most."""
        place = self.run * FARTHEST + np.minimum(np.abs(self.aside), FARTHEST / 2)
        start = np.searchsorted(place, of * FARTHEST)
        reach = np.minimum(rows * gap * (1 + EVEN) + EVEN_PT, FARTHEST / 2)
        count, found = np.searchsorted(place, of * FARTHEST + reach, side="right") - start, []
        cut = np.searchsorted(np.cumsum(count), np.arange(BATCH, count.sum(), BATCH))
        for part in np.split(np.arange(len(of)), cut):
            at, line = counted(count[part])
            at = part[at]
            line += start[at]
            aside, gaps = self.aside[line], gap[at]
            number = np.rint(aside / gaps).astype(np.int64)
            even = np.abs(aside - number * gaps) < EVEN_PT + EVEN * gaps * np.abs(number)
            even &= (number != 0) & (np.abs(number) <= rows)
            found.append((at[even], line[even], number[even]))
        at, line, number = (np.concatenate(each) for each in zip(*found, strict=True))
        return at, line, number


@dataclass(frozen=True, eq=False)
class _Gaps:
    """Gaps at which rows may follow runs: the run, the gap (pt), whether lines lie where they tell the ends of a
    row, and whether the run ends there at both ends."""

    run: IntArray
    gap: FloatArray
    told: BoolArray
    alike: BoolArray


def _gaps_of(lines: _Beside, widest: float) -> _Gaps:
    """All gaps up to the widest at which lines are beside their run."""
    tenths = np.rint(np.abs(lines.aside) * 10).astype(np.int64)
    usual = (np.abs(lines.aside) <= widest) & (tenths >= round(10 * NARROWEST))
    each = 1 + round(10 * widest)
    which = sorted_unique(lines.run[usual] * each + tenths[usual])
    of, gap = which // each, (which % each) / 10
    at, line, number = lines.even(of, gap, SIBLINGS)
    here = np.zeros((len(gap), 2 * SIBLINGS + 1), bool)
    here[at, number] = True  # those before it from the end
    told = np.logical_or.reduce([here[:, near] & here[:, next_] for near, next_, _ in BY_SIBLINGS])
    return _Gaps(of, gap, told, _ends_alike(at, number, lines.along[line], lines.half[of]))


def _in_a_row(lines: _Beside, of: IntArray, gap: FloatArray) -> tuple[IntArray, IntArray]:
    """How many rows follow each other without one missing before a run and beyond it, at each gap (g,)."""
    at, _, number = lines.even(of, gap, np.inf)
    far = int(np.abs(number).max(initial=0)) + 1
    places = sorted_unique(at * (2 * far) + number + far)
    row, place = places // (2 * far), places % (2 * far) - far
    up, down = place > 0, (place < 0)[::-1]
    before = _following(row[::-1][down], -place[::-1][down], len(gap))
    return before, _following(row[up], place[up], len(gap))


def _following(at: IntArray, number: IntArray, gaps: int) -> IntArray:
    """(g,) how many rows follow each other from number 1: rows (n,) at a gap each, in order, and their numbers."""
    place = np.arange(len(at))
    first = np.maximum.accumulate(np.where(np.diff(at, prepend=-1) != 0, place, 0))
    return np.bincount(at[number == place - first + 1], minlength=gaps)


def _ends_alike(at: IntArray, number: IntArray, along: FloatArray, half: FloatArray) -> BoolArray:
    """(g,) Does a run end, at both ends, on the line through the ends of two siblings beside it, one on each side
    or both on one?  Lines (m,) at a gap each, in order, their number as a row, and from where to where (m, 2)."""
    out = np.zeros((len(half), 2), bool)
    mine = np.c_[-half, half]
    for near, far, share in BY_SIBLINGS:
        one, two = np.flatnonzero(number == near), np.flatnonzero(number == far)
        first = np.searchsorted(at[two], at[one])
        which, k = counted(np.searchsorted(at[two], at[one], side="right") - first)
        one, two = one[which], two[first[which] + k]
        told = share * along[one] + (1 - share) * along[two]
        gap, end = np.nonzero(np.abs(told - mine[at[one]]) < SAME_END)
        out[at[one][gap], end] = True
    return np.asarray(out.all(1))
