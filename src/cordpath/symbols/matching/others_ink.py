"""Ink in a symbol's body that is a part of something larger: recognised by looking at the whole of that thing.

Terms: *chain*, lines that are joined end to end: a polyline, the sides of a rectangle, a leader with its arrow;
*tick*, a short stroke whose middle lies on a longer line, as at the ends of a dimension line; *in order*, placed
as marks of a symbol are: through its middle, or mirrored where the symbol is.

A line that goes far out of a body is no mark of it, and neither is what is joined to it.  Lines that meet a longer
one on its way are not joined to it: the bars of outlets end on walls.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from cordpath.geometry import lines
from cordpath.model import IntArray
from cordpath.symbols.ink.grid import sorted_unique
from cordpath.symbols.ink.normalise import NOBODYS
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.matching.beside_hatch import drawn_beside_hatch
from cordpath.symbols.matching.bodies import Bodies, Pairs, together
from cordpath.symbols.matching.borrowed import OWN_ENDS, drawn_sharply
from cordpath.symbols.matching.chained import AROUND, leading_out
from cordpath.symbols.matching.evidence import CERTAIN, Candidate, weighed_again
from cordpath.symbols.matching.hatch_rows import rows_across
from cordpath.symbols.matching.measuring import CLOSED
from cordpath.symbols.matching.paint import QUARTER, Paint
from cordpath.symbols.matching.texture import beads_across
from cordpath.symbols.matching.ticks import beyond, dimensions_in, ticks_among
from cordpath.symbols.pose import SCALE, place

HATCHED = "hatching makes up part of it"
LARGEST = 40.0  # pt of radius: larger bodies have hatch and lines of their own


def without_others(candidates: Sequence[Candidate], letters: Letters, paint: Paint) -> list[Candidate]:
    """The candidates without the doubts that only other things' ink across them had raised: rows of hatch, chains
    that lead out of them, ticks, beads of a texture."""
    out = list(candidates)
    asked = [k for k, c in enumerate(candidates) if _may_be_calmed(c)]
    doubted = [candidates[k] for k in asked]
    rows = rows_across(doubted)
    for k, own, across in zip(asked, rows, others_across(doubted, rows), strict=True):
        out[k] = _calmed(candidates[k], own, across, letters, paint)
    return out


def _may_be_calmed(c: Candidate) -> bool:
    drawn = c.coverage >= CERTAIN and not c.template.text_only and c.radius <= LARGEST
    return drawn and any(d.inside or d.what == HATCHED for d in c.doubts)


def _calmed(c: Candidate, rows: IntArray, across: IntArray, letters: Letters, paint: Paint) -> Candidate:
    """The candidate without such doubts, where segments are known to be ``rows`` of hatch and ``across`` it."""
    # rows may be what looks like its own lines
    sharp = len(c.template.circles) > 0 and drawn_sharply(c, rows)
    doubts = tuple(d for d in c.doubts if d.what != HATCHED or not (sharp or drawn_beside_hatch(c)))
    if any(d.inside for d in doubts):
        others = sorted_unique(np.r_[across, beads_across(c), rows if sharp else NOBODYS])
        words = dimensions_in(c, letters)
        if len(others) or words:
            again = weighed_again(c, letters, paint, others, words)
            still = {d.what for d in (again or c).doubts}
            doubts = tuple(d for d in doubts if not d.inside or d.what in still)
    return c if len(doubts) == len(c.doubts) else replace(c, doubts=doubts)


def others_across(candidates: Sequence[Candidate], rows: Sequence[IntArray]) -> list[IntArray]:
    """Segments in the body of each candidate that belong to chains which lead out of it, or are ticks there, or
    lines of such ticks.

    ``rows``: for each, segments that are rows of hatch.
    """
    out = [NOBODYS] * len(candidates)
    for which, bodies in together(candidates):
        some, hatch = [candidates[k] for k in which], Pairs.of([rows[k] for k in which])
        for k, found in zip(which, _across(some, bodies, hatch).by_body(len(which)), strict=True):
            out[k] = found
    return out


def _across(candidates: Sequence[Candidate], bodies: Bodies, rows: Pairs) -> Pairs:
    clear = np.array([c.template.clear for c in candidates])
    shapes = shapely.buffer(bodies.shapes, clear, quad_segs=QUARTER)
    known = Pairs(np.r_[bodies.own.body, rows.body], np.r_[bodies.own.item, rows.item])
    # a chain goes on through what lies along a mark that is drawn without it
    spare = Pairs.of([_spare(c) for c in candidates])
    inside, around = bodies.near(bodies.radii + clear), bodies.near(AROUND * bodies.radii)
    inside, around = inside.where(~inside.among(known)), around.where(~around.among(known) | around.among(spare))
    inside = inside.where(shapely.intersects(lines(bodies.ink.xy[inside.item]), shapes[inside.body]))
    chained = leading_out(candidates, bodies, shapes, around, inside)
    ticks = _ticks(candidates, bodies, inside)
    return Pairs(np.r_[chained.body, ticks.body], np.r_[chained.item, ticks.item]).once()


def _spare(c: Candidate) -> IntArray:
    """Straight segments on the candidate's marks that draw none of them: each of its lines is drawn by another run
    from end to end, and its circles are whole.  None where a mark is not drawn so."""
    ink, template, scale = c.ink, c.template, float(c.pose[SCALE])
    straight = c.whole[(c.whole < ink.count) & ~ink.curved[c.whole]]
    runs = np.unique(ink.run_of[straight])
    if not len(runs) or not _circles_drawn(c):
        return straight[:0]
    drawn = template.drawn.lines.reshape(-1, 2)
    marks = place(c.pose[None], drawn)[0].reshape(-1, 1, 2, 2)
    length = np.maximum(np.hypot(*(marks[:, :, 1] - marks[:, :, 0]).T), 1e-9).T
    way = (marks[:, :, 1] - marks[:, :, 0]) / length[..., None]
    from_start = ink.runs[runs].reshape(1, -1, 2, 2) - marks[:, :, :1]
    along = np.sort((from_start * way[:, :, None]).sum(3), axis=2)
    off = np.abs(from_start[..., 0] * way[:, :, None, 1] - from_start[..., 1] * way[:, :, None, 0]).max(2)
    slack = OWN_ENDS[0] * length + OWN_ENDS[1] * min(1.0, max(scale, 0.5))
    by = (off < template.clear * scale + 0.1) & (np.abs(along[..., 0]) <= slack)
    by &= np.abs(along[..., 1] - length) <= slack
    if not by.any(1)[template.drawn.penned].all():
        return straight[:0]
    return straight[~np.isin(ink.run_of[straight], runs[by.any(0)])]


def _circles_drawn(c: Candidate) -> bool:
    """Is each whole circle of the template a whole circle of the sheet?"""
    circles, scale = c.template.circles, float(c.pose[SCALE])
    circles = circles[circles[:, 3] >= CLOSED]
    curved = c.whole[(c.whole < c.ink.count) & c.ink.curved[c.whole]]
    which = np.unique(c.ink.arcs.circle_of(curved))
    theirs = c.ink.arcs.circles[which[which >= 0]]
    theirs = theirs[theirs[:, 3] >= CLOSED]
    apart = np.abs(place(c.pose[None], circles[:, :2])[0][:, None] - theirs[:, :2]).max(2)
    off = np.maximum(apart, np.abs(circles[:, None, 2] * scale - theirs[:, 2]))
    return bool((off < c.template.clear * scale + 0.1).any(1).all())


def _ticks(candidates: Sequence[Candidate], bodies: Bodies, inside: Pairs) -> Pairs:
    """Those of the segments ``inside`` bodies that are ticks of a line which has another such tick outside, and
    those of the line."""
    ink = bodies.ink
    straight = inside.where(~ink.curved[inside.item])
    runs = straight.by(ink.run_of)
    lines_of: dict[int, list[tuple[int, list[int]]]] = {}  # of ticks: their lines, and the other ticks of each
    for tick, line, others in ticks_among(ink, sorted_unique(runs.item)):
        lines_of.setdefault(tick, []).append((line, others))
    ticks = runs.where(np.isin(runs.item, list(lines_of))).once()
    found: list[tuple[int, int]] = []
    for k, tick in zip(ticks.body.tolist(), ticks.item.tolist(), strict=True):
        c = candidates[k]
        own = ink.run_of[c.whole[~ink.curved[c.whole]]]
        on = [line for line, others in lines_of[tick] if line not in own and beyond(c, tick, others)]
        found += [(k, run) for line in on[:1] for run in (tick, line)]
    body, run = np.array(found, np.int64).reshape(-1, 2).T
    return straight.where(runs.among(Pairs(body, run)))
