"""Marks that a symbol has and a simpler one at the same place lacks: are they lines of something else?"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.model import BoolArray, FloatArray
from cordpath.symbols.matching.borrowed import JOINT, OWN_ENDS, borrowed_lines, drawn_on, ends_elsewhere, ends_meet
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.matching.hatch_rows import rows_across
from cordpath.symbols.matching.in_common import OWN_INK, marks_beyond, own_share, painted, same_facts
from cordpath.symbols.matching.plain import drawn_by_hatch
from cordpath.symbols.matching.ticks import ticks_of_others, ticks_on_lines
from cordpath.symbols.pose import place

BORROWED = 0.4  # share of the marks that tell the winner from its rival, from which they may be somebody else's
# Of a symbol's area: the dot or the arrowhead of a leader is smaller, the half of a circle larger.
LEADER_END = 0.25


def perhaps_others(winner: Candidate, rival: Candidate, more: BoolArray | None) -> bool:
    """May what the winner has more than a rival that is drawn in full be lines or paint of something else?

    ``more``: samples of the winner, None where its lines are no more than the rival's.
    """
    if more is not None and (may_be_others(winner, rival, more) or _ticks_a_line(winner, more)):
        return True
    return _ends_a_leader(winner, rival)


def may_be_others(winner: Candidate, rival: Candidate, more: BoolArray) -> bool:
    """May what the winner has more than its rival be somebody else's lines: the end of a wire, a counter's edge?

    Nobody's line ends on a row of hatch, unless it is one itself.  ``more``: samples of the winner.
    """
    template, borrowed = winner.template, borrowed_lines(winner)
    if borrowed.any():
        borrowed = borrowed & (borrowed_lines(winner, but=rows_across([winner])[0]) | drawn_by_hatch(winner))
    borrowed = borrowed | drawn_on(winner, ticks_on_lines(winner)) | _ends_beyond(winner, rival)
    others = np.flatnonzero(borrowed)
    weight = template.weight * more
    return bool(weight[np.isin(template.element, others)].sum() > BORROWED * weight.sum())


def _ticks_a_line(winner: Candidate, more: BoolArray) -> bool:
    """May what the winner has more (samples) be the tick of a line that leads out of it?"""
    ticks = np.flatnonzero(drawn_on(winner, ticks_of_others(winner)))
    weight = winner.template.weight * more
    return bool(weight[np.isin(winner.template.element, ticks)].sum() > BORROWED * weight.sum())


def has_a_mark_more(rival: Candidate, winner: Candidate) -> bool:
    """Is the rival the winner and a mark of its own more, and is nothing against it but what is drawn inside, or,
    where the winner has letters, that its lines are plain?  The letters of a note are no mark of either."""
    told = all(d.inside or (d.weak and bool(winner.words)) for d in rival.doubts)
    more = marks_beyond(rival, winner) if told else None
    return more is not None and not may_be_others(rival, winner, more)


def is_more(rival: Candidate, winner: Candidate) -> bool:
    """Is a rival that is found as well the winner and a mark more, to which the rules say the same?  What others
    draw across both counts against the longer lines of the richer one, and is no evidence for the plainer."""
    more = marks_beyond(rival, winner) if same_facts(winner.template.entry, rival.template.entry) else None
    return more is not None and not may_be_others(rival, winner, more)


def _ends_beyond(winner: Candidate, rival: Candidate) -> BoolArray:
    """(lines of the winner,) those that end elsewhere than its marks, where the rival's lines end sharply where its
    own do: a board of a deck between two bars is not as long as they are.

    A rival without lines says nothing of where lines end.
    """
    sharp = len(rival.template.drawn.penned) > 0 and ends_meet(rival, OWN_ENDS)
    return ends_elsewhere(winner) if sharp else np.zeros(len(winner.template.drawn.lines), bool)


def runs_on_alone(winner: Candidate, rival: Candidate) -> bool:
    """Is all that the winner has more of lines that run on, while the rival is drawn to a hair and found?"""
    more = marks_beyond(winner, rival)
    if more is None or not rival.found:
        return False
    lines = np.flatnonzero(borrowed_lines(winner, between=False) & _ends_beyond(winner, rival))
    return bool(np.isin(winner.template.element[more], lines).all())


def _ends_a_leader(winner: Candidate, rival: Candidate) -> bool:
    """Is a small filled mark that the winner has more the dot or the arrowhead of a leader?  A line that leads out
    of the symbol ends on it, and on nothing that the rival has as well."""
    if not winner.template.drawn.fills or own_share(rival, winner) > OWN_INK:
        return False
    most = LEADER_END * shapely.convex_hull(shapely.multipoints(_placed(winner))).area
    rings = (place(winner.pose[None], ring)[0] for ring in winner.template.drawn.fills)
    shapes = np.array([shapely.make_valid(shapely.Polygon(ring)) for ring in rings])
    own = shapely.area(shapely.difference(shapes, painted(rival))) > shapely.area(shapes) / 2
    shapes = shapes[own & (shapely.area(shapes) <= most)]
    ends = _ends_of_leaders(winner) if len(shapes) else np.zeros((0, 2))
    if not len(ends):
        return False
    points = shapely.points(ends)
    on = (shapely.distance(shapes[:, None], points) <= JOINT).any(0)
    return bool(
        (on & (shapely.distance(shapely.multipoints(_placed(rival)), points) > winner.template.clear)).any()
    )


def _ends_of_leaders(c: Candidate) -> FloatArray:
    """(n, 2) ends in the symbol of lines that are not its own and lead out of it, straight or bent."""
    ink = c.ink
    _, k = ink.grid.near(c.centre[None], c.radius)
    k = k[k < ink.count]
    k = k[~ink.standin[k] & ~ink.hatch[k] & ~np.isin(k, c.whole) & (ink.run[k] > c.radius)]
    ends = np.where(ink.curved[k][:, None], ink.xy[k], ink.runs[ink.run_of[k]]).reshape(-1, 2)
    return np.asarray(ends[np.hypot(*(ends - c.centre).T) <= c.radius])


def _placed(c: Candidate) -> FloatArray:
    return np.asarray(place(c.pose[None], c.template.points)[0])
