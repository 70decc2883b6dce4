"""Rows of hatch across a symbol, told one by one: where several hatches overlap, or a symbol's own lines stand
between the rows, no family is evenly spaced, and the rows look like marks.

Terms: *row*, a run of the hatch; *gap*, from row to row; *sibling*, a row of the same hatch.  A run across a body
is a row if siblings lie at even gaps on its sides, enough of them and none missing, if its ends lie where those of
its siblings do, and if it goes out of the body: no mark does.  Where rows lie, rows may be what looks like the
symbol's own lines; but those end where the marks end, to a pen's width, and rows where their hatch ends.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import shapely

from cordpath.geometry import lengths
from cordpath.model import FloatArray, IntArray
from cordpath.symbols.borrowed import OWN_ENDS, ends_meet
from cordpath.symbols.evidence import CERTAIN, Candidate, weigh
from cordpath.symbols.hatch import MEMBERS, NARROWEST
from cordpath.symbols.letters import Letters
from cordpath.symbols.paint import Paint
from cordpath.symbols.pose import place

WIDEST = 7.0  # pt between rows; wider ones are few across a symbol
LARGEST = 40.0  # pt of radius: larger bodies have hatch of their own
PARALLEL = math.sin(math.radians(1.0))  # rows are drawn parallel; and see ROUNDING
ROUNDING = 0.12  # pt: the plotter's grid, by which ends are off
EVEN = 0.15  # pt, two roundings, by which a row is off its place
SAME_END = 0.6  # pt along the rows by which an end is off the line through those of its siblings
OUT = 1.0  # pt by which a row goes out of the body
HATCHED = "hatching makes up part of it"


def without_rows(c: Candidate, letters: Letters, paint: Paint) -> Candidate:
    """The candidate without the doubts that only rows of hatch across it had raised."""
    drawn = c.coverage >= CERTAIN and not c.template.text_only and c.radius <= LARGEST
    if not drawn or not any(d.inside or d.what == HATCHED for d in c.doubts):
        return c
    if not len(c.template.circles) or not ends_meet(c, OWN_ENDS):
        return c
    doubts = tuple(d for d in c.doubts if d.what != HATCHED)
    rows = rows_across(c) if any(d.inside for d in doubts) else np.zeros(0, np.int64)
    if len(rows):
        again = weigh(c.template, c.ink, c.pose[None], letters, paint, rows)
        still = {d.what for each in again for d in each.doubts}
        doubts = tuple(d for d in doubts if not again or not d.inside or d.what in still)
    return c if len(doubts) == len(c.doubts) else replace(c, doubts=doubts)


def rows_across(c: Candidate) -> IntArray:
    """Segments of the sheet in the candidate's body that are rows of a hatch and no marks of its own."""
    ink = c.ink
    _, near = ink.grid.near(c.centre[None], c.radius + 1.0)
    near = near[near < ink.count]
    near = near[~ink.curved[near] & ~ink.hatch[near] & ~np.isin(near, c.whole)]
    if not len(near):
        return near
    _, around = ink.grid.near(c.centre[None], c.radius + (MEMBERS - 1) * WIDEST)
    around = around[around < ink.count]
    runs = np.unique(ink.run_of[around[~ink.curved[around]]])
    lines = ink.runs[runs]
    body = shapely.Polygon(place(c.pose[None], c.template.outline)[0]) if len(c.template.outline) > 3 else None
    if body is None:
        return near[:0]
    across = np.unique(ink.run_of[near])
    ends = shapely.points(ink.runs[across].reshape(-1, 2, 2))
    out = across[shapely.distance(ends, body).max(1) >= OUT]
    way, size = lines[:, 2:] - lines[:, :2], np.maximum(lengths(lines), 1e-9)
    rows = [run for run in out.tolist() if _is_row(ink.runs[run], lines, way, size)]
    return near[np.isin(ink.run_of[near], rows)]


def _is_row(line: FloatArray, lines: FloatArray, way: FloatArray, size: FloatArray) -> bool:
    """Is a run that goes out of the body a row among ``lines``, with their ways from end to end and lengths?"""
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
    beside = (along[:, 0] < half) & (along[:, 1] > -half) & (np.abs(aside) > NARROWEST - EVEN)
    along, aside = along[beside], aside[beside]
    gaps = np.unique(np.round(np.abs(aside[np.abs(aside) <= WIDEST]), 1))
    return any(_evenly(float(gap), along, aside, half) for gap in gaps if gap >= NARROWEST)


def _evenly(gap: float, along: FloatArray, aside: FloatArray, half: float) -> bool:
    """Do siblings lie at multiples of the gap, without a hole and enough of them, that end as the row does?"""
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
