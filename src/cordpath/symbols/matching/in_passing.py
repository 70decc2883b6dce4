"""Walls and wires that pass over a simple symbol, so that it looks like a design with more lines."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cordpath.symbols.matching.borrowed import (
    OWN_ENDS,
    borrowed_lines,
    drawn_on,
    ends_elsewhere,
    ends_meet,
    passing_lines,
    undrawn,
)
from cordpath.symbols.matching.evidence import CERTAIN, FILLED, MISSING, Candidate
from cordpath.symbols.matching.hatch_rows import rows_across
from cordpath.symbols.matching.in_common import OWN_INK, own_share
from cordpath.symbols.matching.others_ink import HATCHED, others_across

PASSABLE = (HATCHED, MISSING)  # doubts of a rival whose lines are in passing all the same
PASSING = 0.95  # share of what a rival has more that goes on beyond both ends, from which it is a line in passing


def passes(rival: Candidate, winner: Candidate) -> bool:
    """Is all that the rival has more a line that goes on beyond both its ends, or that is somebody else's and does
    not end where the rival's line would, across a body that tells what it is by its letters or a line of its own?
    A rival that lacks a line speaks no louder for it, and one of which so much is missing needs no such body."""
    painted = _own_paint(winner, rival)
    passable = (*PASSABLE, FILLED) if painted else PASSABLE
    if not all(d.weak or d.inside or d.soft or d.what in passable for d in rival.doubts):
        return False
    template, passing = rival.template, passing_lines(rival)
    lettered = bool(winner.words) and not template.drawn.texts
    lacking = rival.coverage < CERTAIN or any(d.what == MISSING for d in rival.doubts)
    if lacking and ends_meet(winner, OWN_ENDS):
        passing |= undrawn(rival) | (passing_lines(rival, once=True) & ends_elsewhere(rival))
    elif not lettered and not _own_line(winner, rival):
        return False
    if not passing.all() and not ends_meet(rival, OWN_ENDS):
        rows = rows_across([winner])
        hatch = np.flatnonzero(rival.ink.hatch)
        # a light's stubs lie outside the box that it is taken for
        beyond = rows_across([replace(rival, whole=winner.whole)])
        passing |= drawn_on(rival, np.r_[*others_across([winner], rows), *rows, *beyond, hatch])
    lines = template.weight[np.isin(template.element, np.flatnonzero(passing))].sum()
    return bool(lines >= PASSING * own_share(rival, winner) * template.ink)


def _own_line(winner: Candidate, rival: Candidate) -> bool:
    """Has the winner a line or paint that its rival lacks, and do all its lines end where its marks end, and turn
    nowhere?

    Chance does not draw that: a triplex has the line of a simplex too, and no less chance of a wall along its bars.
    """
    own = own_share(winner, rival) > OWN_INK or _own_paint(winner, rival)
    borrowed = np.flatnonzero(borrowed_lines(winner, between=False))
    # a wall runs on past any paint on it
    return own and ends_meet(winner, OWN_ENDS) and bool(np.isin(borrowed, winner.template.drawn.filled).all())


def _own_paint(winner: Candidate, rival: Candidate) -> bool:
    """Is the winner painted where a rival that has no paint is in doubt for just that?"""
    painted = len(winner.template.drawn.fills) > 0 and not rival.template.drawn.fills
    return painted and any(d.what == FILLED for d in rival.doubts)
