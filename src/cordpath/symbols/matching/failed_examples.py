"""Picked examples that are found nowhere on the sheet, except perhaps where they were picked.

A box drawn too wide takes in a stray line or the first letter of a label, which no other occurrence of the symbol
has.  At all of those occurrences the symbol's plain twin is then found for certain, whether they have the mark that
tells the two apart or not.  So each of them is asked about where a mark of the failed example is drawn.

Terms: *mark more*, a line or an arc of the failed example that the winner does not have.
"""

from __future__ import annotations

from itertools import groupby

import numpy as np
from scipy.spatial import cKDTree

from cordpath.model import BoolArray
from cordpath.symbols.matching.borrowed import passing_lines
from cordpath.symbols.matching.evidence import LEAST_MARK, Candidate
from cordpath.symbols.matching.in_common import marks_beyond, same_facts
from cordpath.symbols.matching.plain import drawn_by_hatch
from cordpath.symbols.pose import place

DRAWN = 0.8  # share of a mark on strokes from which it is drawn; a line that happens to cross it covers less


def with_failed_examples(winners: tuple[Candidate, ...], candidates: list[Candidate]) -> tuple[Candidate, ...]:
    """The winners, in doubt where a mark more of a failed example is drawn."""
    failed = _failed(candidates)
    if not failed:
        return winners
    tree = cKDTree(np.array([c.centre for c in failed]))
    reach = max(c.radius for c in failed)
    return tuple(_asked(c, [failed[k] for k in sorted(tree.query_ball_point(c.centre, min(reach, c.radius)))])
                 if c.found else c for c in winners)  # fmt: skip


def _failed(candidates: list[Candidate]) -> list[Candidate]:
    """The candidates of learnt entries that are found at one place at most."""
    learnt = [c for c in candidates if c.template.entry.shape is None and not c.template.text_only]
    out: list[Candidate] = []
    for _, each in groupby(sorted(learnt, key=_name), key=_name):
        own = list(each)
        at = np.array([c.centre for c in own if all(d.weak for d in c.doubts)]).reshape(-1, 2)
        if not len(at) or float(np.ptp(at, axis=0).max()) < own[0].radius:
            out += own
    return out


def _name(c: Candidate) -> str:
    return c.template.name


def _asked(winner: Candidate, failed: list[Candidate]) -> Candidate:
    for other in failed:
        name = other.template.name
        same = same_facts(winner.template.entry, other.template.entry)
        if name != winner.template.name and not same and _mark_drawn(other, winner):
            return winner.doubted(
                f"a mark of {name!r} is drawn here, and {name!r} as it was learnt is found nowhere else: "
                "look at what was learnt",
                name,
            )
    return winner


def _mark_drawn(failed: Candidate, winner: Candidate) -> bool:
    """Is the failed example all of the winner, and is a mark more of it drawn here, by no line in passing?"""
    more = marks_beyond(failed, winner)
    if more is None:
        return False
    template = failed.template
    drawn = _on_strokes(failed)
    own = np.zeros(len(more), bool)
    nobodys = np.zeros(template.elements, bool)
    nobodys[: len(template.drawn.lines)] = passing_lines(failed) | drawn_by_hatch(failed)
    for e in np.unique(template.element[more]):
        mine = more & (template.element == e)
        if not nobodys[e] and drawn[mine].mean() >= DRAWN:
            own |= mine
    return float(template.weight[own].sum()) >= LEAST_MARK * template.small


def _on_strokes(c: Candidate) -> BoolArray:
    """(samples,) on a stroke that is no row of hatch."""
    out = np.zeros(len(c.template.points), bool)
    at, stroke = c.ink.grid.near(place(c.pose[None], c.template.points)[0], c.template.clear)
    out[at[~c.ink.standin[stroke] & ~c.ink.hatch[stroke]]] = True
    return out
