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
from collections.abc import Callable, Sequence

import numpy as np
import shapely

from cordpath.geometry import EVEN_PT, lengths, midpoints, rows_beside
from cordpath.model import BoolArray, FloatArray, IntArray
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
    and end, at one end or both, where no such line nor two of them tell: no rows, however even they lie.

    ``among_own``: the candidate's own lines, too, may be the parallel ones; opposite sides of a box end alike.
    """
    return _told_beside(c, segments, among_own, _steps_out)


def no_siblings(c: Candidate, segments: IntArray) -> BoolArray:
    """(s,) segments of the candidate's lines whose runs have no two parallel lines on even places beside them:
    there is no hatch about them, and a long line beside them is a row of one farther on."""
    return _told_beside(c, segments, True, _stands_alone)


def _told_beside(
    c: Candidate, segments: IntArray, among_own: bool, told: Callable[[FloatArray, FloatArray, float], bool]
) -> BoolArray:
    """(s,) what is ``told`` of the run of each segment by the lines beside it: from where to where they are along
    it from its middle, how far aside, and half the run's length."""
    ink, run = c.ink, c.ink.run_of[segments]
    across = Pairs(np.zeros(len(segments), np.int64), run).once()
    bodies = Bodies.of([c])
    around = bodies.near(bodies.radii + SIBLINGS * HATCH_GAP)
    if not among_own:
        around = around.where(~around.among(bodies.own))
    lines = around.where(~ink.curved[around.item]).by(ink.run_of).once()
    of, _, along, aside = beside(bodies, across, lines)
    half = ink.run_lengths[across.item] / 2
    free = np.array([told(along[of == k], aside[of == k], float(half[k])) for k in range(len(across))], bool)
    return free[np.searchsorted(across.item, run)] if len(across) else np.zeros(len(segments), bool)


def _stands_alone(_: FloatArray, aside: FloatArray, __: float) -> bool:
    rows = rows_beside(aside, gaps_beside(aside, HATCH_GAP))
    return not any(_tell(number[even]) for number, even in zip(rows.number, rows.even, strict=True))


def _tell(number: IntArray) -> bool:
    """Do lines on those even places tell where a row ends?"""
    here = set(number.tolist())
    return any(near in here and far in here for near, far, _ in BY_SIBLINGS)


def _steps_out(along: FloatArray, aside: FloatArray, half: float) -> bool:
    """Do the lines ``aside`` of a run tell where a row ends, whatever the gap, and it does not end there?  A line
    that ends as the run does at both ends is its like wherever it lies: rows of bricks end so every other time."""
    alike = (np.abs(along - (-half, half)) < SAME_END).all(1)
    if alike.any():
        return False
    rows = rows_beside(aside, gaps_beside(aside, HATCH_GAP))
    told = False
    for number, even in zip(rows.number, rows.even, strict=True):
        told |= _tell(number[even])
        if _both_ends_alike(half, number[even], along[even]):
            return False
    return told


def _are_rows(bodies: Bodies, across: Pairs, lines: Pairs) -> BoolArray:
    """(p,) Is each of the runs ``across`` a body a row among the ``lines`` about it, which are runs as well?

    A row goes out of the body; where it does not, its hatch must.
    """
    runs = bodies.ink.runs[across.item]
    ends = shapely.points(runs.reshape(-1, 2, 2))
    leaves = shapely.distance(ends, bodies.shapes[across.body, None]).max(1) >= OUT
    size, way = _ways(runs)
    normal, middle = np.c_[-way[:, 1], way[:, 0]], midpoints(runs)
    run, _, along, aside = beside(bodies, across, lines)
    cut = np.searchsorted(run, np.arange(len(runs) + 1))
    out = np.zeros(len(runs), bool)
    for k in np.flatnonzero((np.diff(cut) >= MEMBERS - 1) & (size > SHORTEST)):
        mine, reach = slice(cut[k], cut[k + 1]), None
        if not leaves[k]:
            body = (shapely.get_coordinates(bodies.shapes[across.body[k]]) - middle[k]) @ normal[k]
            reach = (float(body.min()), float(body.max()))
        out[k] = _is_row(along[mine], aside[mine], float(size[k] / 2), reach)
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


def gaps_beside(aside: FloatArray, widest: float) -> FloatArray:
    """(g,) gaps (pt) at which rows may follow a line with parallel lines ``aside`` from it."""
    gaps = np.unique(np.round(np.abs(aside[np.abs(aside) <= widest]), 1))
    return np.asarray(gaps[gaps >= NARROWEST], float)


def _is_row(along: FloatArray, aside: FloatArray, half: float, across: tuple[float, float] | None) -> bool:
    """Is a run a row of a hatch with parallel lines ``aside`` from it, each from where to where ``along`` it?

    Siblings lie at multiples of a gap, without a hole and enough of them, and end as the row does.
    ``half``: of the run's length, from its middle; ``across``: from where to where, if anywhere, a body reaches out
    of which enough of them must go, on one side.
    """
    gaps = gaps_beside(aside, WIDEST)
    rows = rows_beside(aside, gaps)
    enough = rows.beyond + rows.before + 1 >= MEMBERS
    if across is not None:
        enough &= np.maximum(across[0] / gaps + rows.before, rows.beyond - across[1] / gaps) >= OUTSIDE
    number, even = rows.number, rows.even
    return any(_both_ends_alike(half, number[k, even[k]], along[even[k]]) for k in np.flatnonzero(enough))


def _both_ends_alike(half: float, number: IntArray, along: FloatArray) -> bool:
    return all(_ends_alike(end, number, along[:, side]) for side, end in enumerate((-half, half)))


def _ends_alike(mine: float, number: IntArray, ends: FloatArray) -> bool:
    """Does the row end on the line through the ends of two siblings beside it, one on each side or both on one?"""
    at = {n: ends[number == n] for n in (-2, -1, 1, 2)}
    for near, far, share in BY_SIBLINGS:
        told = share * at[near][:, None] + (1 - share) * at[far][None]
        if (np.abs(told - mine) < SAME_END).any():
            return True
    return False
