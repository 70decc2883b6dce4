"""Strips of hatch that are exactly as wide as the bars of a symbol are long.

Rows of such a strip end where bars would end, so that a duplex in it looks like a triplex.

Terms: *row* and *gap* as in ``hatch_rows``.  A line is *in step* where lines of its length, which are no lines of
symbols, lie at one gap beside it, each after the other without a hole.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cordpath.geometry import rows_beside
from cordpath.model import OUTLET_KINDS, BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import among
from cordpath.symbols.ink.hatch import NARROWEST, WIDEST
from cordpath.symbols.ink.normalise import NOBODYS
from cordpath.symbols.matching.bodies import Bodies, Pairs, together
from cordpath.symbols.matching.borrowed import drawn_on, drawn_sharply, drawn_under, ends_meet, runs_on_lines
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.matching.hatch_rows import OUTSIDE, SAME_END, beside
from cordpath.symbols.matching.hatch_rows import WIDEST as ACROSS

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
    out = list(winners)
    asked = [k for k, c in enumerate(winners) if _may_be_rows(c)]
    for which, bodies in together([winners[k] for k in asked]):
        some = [asked[k] for k in which]
        runs = Pairs.of([_runs(winners[k]) for k in some])
        in_step = runs.where(_in_step(bodies, runs, spoken[id(bodies.ink)]))
        for k, rows in zip(some, in_step.by_body(len(some)), strict=True):
            if len(rows) and _drawn_by(winners[k], rows):
                out[k] = winners[k].doubted(IN_STEP)
    return tuple(out)


def _may_be_rows(c: Candidate) -> bool:
    """Is it an outlet for certain, with lines of the pen that end where the marks end?"""
    outlet = c.found and not c.template.text_only and c.template.entry.kind in OUTLET_KINDS
    return outlet and len(c.template.drawn.penned) > 0 and (ends_meet(c) or drawn_sharply(c))


def _runs(c: Candidate) -> IntArray:
    """Numbers of the runs on the candidate's lines, those among them that a longer one lies over as well."""
    under = [run for runs in drawn_under(c).values() for run in runs]
    return np.union1d(runs_on_lines(c), np.array(under, np.int64))


def _drawn_by(c: Candidate, runs: IntArray) -> bool:
    """Is one of the candidate's penned lines drawn by these runs alone?"""
    straight = c.segments[~c.ink.curved[c.segments]]
    rows = straight[among(c.ink.run_of[straight], runs)]
    alone = drawn_on(c, rows)
    for line, under in drawn_under(c).items():
        if under:  # what lies over them ends elsewhere
            alone[line] = np.isin(under, runs).all()
    return bool(alone[c.template.drawn.penned].any())


def _in_step(bodies: Bodies, runs: Pairs, spoken: IntArray) -> BoolArray:
    """(r,) of the runs on the lines of bodies: in step.  ``spoken``: numbers of the runs that are lines of winners,
    these among them."""
    ink = bodies.ink
    around = bodies.near(bodies.radii + OUTSIDE * WIDEST)
    lines = around.where(~ink.curved[around.item]).by(ink.run_of)
    shortest = np.full(len(bodies.radii), np.inf)
    np.minimum.at(shortest, runs.body, ink.run_lengths[runs.item])
    lines = lines.where(ink.run_lengths[lines.item] > shortest[lines.body] - 2 * SAME_END).once()
    of, line, along, aside = beside(bodies, runs, lines)
    half = ink.run_lengths[runs.item] / 2
    same = (np.abs(along - np.c_[-half, half][of]) < SAME_END).all(1)
    of, aside, theirs = of[same], aside[same], among(lines.item[line[same]], spoken)
    cut = np.searchsorted(of, np.arange(len(runs) + 1))
    out = np.bincount(of[~theirs], minlength=len(runs)) >= OUTSIDE
    for k in np.flatnonzero(out):
        mine = slice(cut[k], cut[k + 1])
        out[k] = _is_row(aside[mine], theirs[mine])
    return out


def _gaps_beside(aside: FloatArray, widest: float) -> FloatArray:
    """(g,) gaps (pt) at which rows may follow a line with parallel lines ``aside`` from it."""
    gaps = np.unique(np.round(np.abs(aside[np.abs(aside) <= widest]), 1))
    return np.asarray(gaps[gaps >= NARROWEST], float)


def _is_row(aside: FloatArray, theirs: BoolArray) -> bool:
    """Do enough lines, all of one length, lie at one gap beside a run; ``theirs``: those that symbols are drawn of,
    which fill no gap but their own?"""
    # among rows that lie closer every fourth is about where any line is
    gaps = _gaps_beside(aside, max(ACROSS, min(WIDEST, 1.05 * float(np.abs(aside[~theirs]).min(initial=np.inf)))))
    if not len(gaps):
        return False
    rows = rows_beside(aside, gaps)
    joined = rows.even & (-rows.before[:, None] <= rows.number) & (rows.number <= rows.beyond[:, None])
    free = [np.unique(number[here & ~theirs]) for number, here in zip(rows.number, joined, strict=True)]
    return max(map(len, free)) >= OUTSIDE
