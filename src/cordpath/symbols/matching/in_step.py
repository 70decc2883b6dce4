"""A strip of hatch exactly as wide as the bars of a symbol are long: its rows end where the bars of a circle in it
would, and make a triplex of it.

Terms: *row* and *gap* as in ``hatch_rows``.  A line is *in step* where lines of its length, which are no lines of
symbols, lie at one gap beside it, each after the other without a hole.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cordpath.geometry import rows_beside
from cordpath.model import OUTLET_KINDS, BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.normalise import NOBODYS
from cordpath.symbols.matching.bodies import Bodies, Pairs
from cordpath.symbols.matching.borrowed import drawn_on, ends_meet, runs_on_lines
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.matching.hatch_rows import OUTSIDE, SAME_END, WIDEST, beside, gaps_beside

IN_STEP = "its lines are rows of the hatch it stands in"


def without_rows(winners: Sequence[Candidate]) -> tuple[Candidate, ...]:
    """The winners, in doubt where their lines end as their marks do because a hatch about them is as wide.

    One line in step is enough: a duplex with a row between its bars is no triplex.  Bars of other winners are no
    rows, however even outlets stand beside one another.
    """
    claimed: dict[int, list[IntArray]] = {}
    for c in winners:
        claimed.setdefault(id(c.ink), [NOBODYS]).append(runs_on_lines(c))
    spoken = {ink: np.unique(np.concatenate(runs)) for ink, runs in claimed.items()}
    return tuple(c.doubted(IN_STEP) if _in_step(c, spoken[id(c.ink)]) else c for c in winners)


def _in_step(c: Candidate, spoken: IntArray) -> bool:
    """``spoken``: numbers of the runs that are lines of the winners, this one among them."""
    outlet = c.found and not c.template.text_only and c.template.entry.kind in OUTLET_KINDS
    if not outlet or len(c.template.outline) < 4 or not ends_meet(c):
        return False
    penned = c.template.drawn.penned
    straight = c.segments[~c.ink.curved[c.segments]]
    if not len(penned) or not len(straight):
        return False
    rows = straight[np.isin(c.ink.run_of[straight], _rows_among(c, spoken))]
    return len(rows) > 0 and bool(drawn_on(c, rows)[penned].any())


def _rows_among(c: Candidate, spoken: IntArray) -> IntArray:
    """Numbers of the candidate's runs that are in step."""
    ink, bodies = c.ink, Bodies.of([c])
    runs = runs_on_lines(c)
    around = bodies.near(bodies.radii + OUTSIDE * WIDEST)
    lines = around.where(~ink.curved[around.item]).by(ink.run_of).once()
    own = lines.item[np.isin(lines.item, spoken)]
    if len(lines) - len(own) < OUTSIDE:
        return NOBODYS
    across = Pairs(np.zeros(len(runs), np.int64), runs)
    of, line, along, aside = beside(bodies, across, lines)
    theirs = np.isin(lines.item[line], spoken)
    half = ink.run_lengths[runs] / 2
    same = (np.abs(along - np.c_[-half, half][of]) < SAME_END).all(1)
    kept = [same & (of == k) for k in range(len(runs))]
    return runs[np.array([_is_row(aside[k], theirs[k]) for k in kept], bool)]


def _is_row(aside: FloatArray, theirs: BoolArray) -> bool:
    """Do enough lines, all of one length, lie at one gap beside a run; ``theirs``: those that symbols are drawn of,
    which fill no gap but their own?"""
    gaps = gaps_beside(aside, WIDEST)
    if not len(gaps) or (~theirs).sum() < OUTSIDE:
        return False
    rows = rows_beside(aside, gaps)
    joined = rows.even & (-rows.before[:, None] <= rows.number) & (rows.number <= rows.beyond[:, None])
    free = [np.unique(number[here & ~theirs]) for number, here in zip(rows.number, joined, strict=True)]
    return max(map(len, free)) >= OUTSIDE
