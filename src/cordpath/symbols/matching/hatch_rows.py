"""Rows of hatch across a symbol, told one by one: where several hatches overlap, or a symbol's own lines stand
between the rows, no family is evenly spaced, and the rows look like marks.

Terms: *row*, a run of the hatch; *gap*, from row to row; *sibling*, a row of the same hatch.  A run across a body
is a row if siblings lie at even gaps on its sides, enough of them and none missing, if its ends lie where those of
its siblings do, and if it or several siblings in a row go out of the body: no mark does.  Where rows lie, rows may
be what looks like the symbol's own lines; but those end where the marks end, to a pen's width, and rows where
their hatch ends.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from cordpath.geometry import EVEN_PT, lengths, rows_beside
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.hatch import MEMBERS, NARROWEST
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.pose import place

WIDEST = 7.0  # pt between rows; wider ones are few across a symbol
PARALLEL = math.sin(math.radians(1.0))  # rows are drawn parallel; and see ROUNDING
ROUNDING = 0.12  # pt: the plotter's grid, by which ends are off
SHORTEST = 1e-6  # pt; shorter runs have no direction
SAME_END = 0.6  # pt along the rows by which an end is off the line through those of its siblings
OUT = 1.0  # pt by which a row goes out of the body
OUTSIDE = MEMBERS // 2  # siblings side by side outside the body from which a row may lie wholly in it


def rows_across(c: Candidate) -> IntArray:
    """Segments of the sheet in the candidate's body that are rows of a hatch and no marks of its own."""
    if len(c.template.outline) < 4:
        return NOBODYS
    body = shapely.Polygon(place(c.pose[None], c.template.outline)[0])
    return rows_in(c.ink, body, c.centre, c.radius, c.whole)


def rows_in(ink: Ink, body: shapely.Polygon, centre: FloatArray, radius: float, own: IntArray) -> IntArray:
    """Segments within the radius that are rows of a hatch across the body there, none of its ``own``."""
    _, near = ink.grid.near(centre[None], radius + 1.0)
    near = near[near < ink.count]
    near = near[~ink.curved[near] & ~ink.hatch[near] & ~np.isin(near, own)]
    if not len(near):
        return near
    _, around = ink.grid.near(centre[None], radius + (MEMBERS - 1) * WIDEST)
    around = around[around < ink.count]
    runs = np.unique(ink.run_of[around[~ink.curved[around]]])
    lines = ink.runs[runs]
    across = np.unique(ink.run_of[near])
    ends = shapely.points(ink.runs[across].reshape(-1, 2, 2))
    leaves = shapely.distance(ends, body).max(1) >= OUT
    rows = across[_are_rows(ink.runs[across], lines, leaves, shapely.get_coordinates(body))]
    return near[np.isin(ink.run_of[near], rows)]


def _are_rows(runs: FloatArray, lines: FloatArray, leaves: BoolArray, rim: FloatArray) -> BoolArray:
    """(n,) Is each of the runs (n, 4) a row among ``lines`` (m, 4)?

    ``leaves``: (n,) it goes out of the body with the corners ``rim``; where it does not, its hatch must.
    """
    length, size = np.maximum(lengths(runs), 1e-9), np.maximum(lengths(lines), 1e-9)
    unit, way = (runs[:, 2:] - runs[:, :2]) / length[:, None], (lines[:, 2:] - lines[:, :2]) / size[:, None]
    middle = (runs[:, :2] + runs[:, 2:]) / 2
    off = np.abs(np.outer(unit[:, 1], way[:, 0]) - np.outer(unit[:, 0], way[:, 1]))
    run, line = np.nonzero(off < PARALLEL + ROUNDING / size + (ROUNDING / length)[:, None])
    from_here = lines[line].reshape(-1, 2, 2) - middle[run, None]
    normal = np.c_[-unit[:, 1], unit[:, 0]]
    along = np.sort((from_here * unit[run, None]).sum(2), axis=1)
    aside = (from_here * normal[run, None]).sum(2).mean(1)
    half = length / 2
    beside = (along[:, 0] < half[run]) & (along[:, 1] > -half[run]) & (np.abs(aside) > NARROWEST - EVEN_PT)
    run, along, aside = run[beside], along[beside], aside[beside]
    cut = np.searchsorted(run, np.arange(len(runs) + 1))
    out = np.zeros(len(runs), bool)
    for k in np.flatnonzero((np.diff(cut) >= MEMBERS - 1) & (length > SHORTEST)):
        mine = slice(cut[k], cut[k + 1])
        body = (rim - middle[k]) @ normal[k]
        across = None if leaves[k] else (float(body.min()), float(body.max()))
        out[k] = _is_row(along[mine], aside[mine], float(half[k]), across)
    return out


def _is_row(along: FloatArray, aside: FloatArray, half: float, across: tuple[float, float] | None) -> bool:
    """Is a run a row of a hatch with parallel lines ``aside`` from it, each from where to where ``along`` it?

    Siblings lie at multiples of a gap, without a hole and enough of them, and end as the row does.
    ``half``: of the run's length, from its middle; ``across``: from where to where, if anywhere, a body reaches out
    of which enough of them must go, on one side.
    """
    gaps = np.unique(np.round(np.abs(aside[np.abs(aside) <= WIDEST]), 1))
    gaps = gaps[gaps >= NARROWEST]
    rows = rows_beside(aside, np.asarray(gaps, float))
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
    for near, far, share in ((-1, 1, 0.5), (1, 2, 2.0), (-1, -2, 2.0)):
        told = share * at[near][:, None] + (1 - share) * at[far][None]
        if (np.abs(told - mine) < SAME_END).any():
            return True
    return False
