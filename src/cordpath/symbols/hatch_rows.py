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

from cordpath.geometry import lengths
from cordpath.model import FloatArray, IntArray
from cordpath.symbols.evidence import Candidate
from cordpath.symbols.hatch import MEMBERS, NARROWEST
from cordpath.symbols.normalise import Ink
from cordpath.symbols.pose import place

WIDEST = 7.0  # pt between rows; wider ones are few across a symbol
PARALLEL = math.sin(math.radians(1.0))  # rows are drawn parallel; and see ROUNDING
ROUNDING = 0.12  # pt: the plotter's grid, by which ends are off
EVEN = 0.15  # pt, two roundings, by which a row is off its place
SAME_END = 0.6  # pt along the rows by which an end is off the line through those of its siblings
OUT = 1.0  # pt by which a row goes out of the body
OUTSIDE = MEMBERS // 2  # siblings side by side outside the body from which a row may lie wholly in it
NOBODYS: IntArray = np.zeros(0, np.int64)


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
    out = shapely.distance(ends, body).max(1) >= OUT
    rim = shapely.get_coordinates(body)
    way, size = lines[:, 2:] - lines[:, :2], np.maximum(lengths(lines), 1e-9)
    rows = [run for run, leaves in zip(across.tolist(), out.tolist(), strict=True)
            if _is_row(ink.runs[run], lines, way, size, None if leaves else rim)]  # fmt: skip
    return near[np.isin(ink.run_of[near], rows)]


def _is_row(line: FloatArray, lines: FloatArray, way: FloatArray, size: FloatArray, rim: FloatArray | None) -> bool:
    """Is a run a row among ``lines``, with their ways from end to end and lengths?

    ``rim``: corners of the body, where the run does not go out of it: then its hatch must.
    """
    length = math.dist(line[:2], line[2:])
    if length < 1e-6:
        return False
    unit = (line[2:] - line[:2]) / length
    off = np.abs(way[:, 0] * unit[1] - way[:, 1] * unit[0]) / size
    parallel = off < PARALLEL + ROUNDING / size + ROUNDING / length
    from_here = lines[parallel].reshape(-1, 2, 2) - (line[:2] + line[2:]) / 2
    along = np.sort(from_here @ unit, axis=1)
    aside = (from_here @ np.array([-unit[1], unit[0]])).mean(1)
    half = length / 2
    across = None
    if rim is not None:
        off_row = (rim - (line[:2] + line[2:]) / 2) @ np.array([-unit[1], unit[0]])
        across = float(off_row.min()), float(off_row.max())
    beside = (along[:, 0] < half) & (along[:, 1] > -half) & (np.abs(aside) > NARROWEST - EVEN)
    along, aside = along[beside], aside[beside]
    gaps = np.unique(np.round(np.abs(aside[np.abs(aside) <= WIDEST]), 1))
    return any(_evenly(float(gap), along, aside, half, across) for gap in gaps if gap >= NARROWEST)


def _evenly(
    gap: float, along: FloatArray, aside: FloatArray, half: float, across: tuple[float, float] | None
) -> bool:
    """Do siblings lie at multiples of the gap, without a hole and enough of them, that end as the row does?

    ``across``: from where to where, if anywhere, a body reaches out of which enough of them must go, on one side.
    """
    number = np.round(aside / gap).astype(np.int64)
    even = (np.abs(aside - number * gap) < EVEN + 0.02 * gap * np.abs(number)) & (number != 0)
    here = set(number[even].tolist())
    low = high = 0
    while low - 1 in here:
        low -= 1
    while high + 1 in here:
        high += 1
    if high - low + 1 < MEMBERS:
        return False
    if across is not None and max(across[0] / gap - low, high - across[1] / gap) < OUTSIDE:
        return False
    own = (-half, half)
    return all(_ends_alike(own[side], number[even], along[even][:, side]) for side in (0, 1))


def _ends_alike(mine: float, number: IntArray, ends: FloatArray) -> bool:
    """Does the row end on the line through the ends of two siblings beside it, one on each side or both on one?"""
    at = {n: ends[number == n] for n in (-2, -1, 1, 2)}
    for near, far, share in ((-1, 1, 0.5), (1, 2, 2.0), (-1, -2, 2.0)):
        told = share * at[near][:, None] + (1 - share) * at[far][None]
        if (np.abs(told - mine) < SAME_END).any():
            return True
    return False
