"""Which of the candidates at one place is meant.

Simple symbols are contained in richer ones: a duplex receptacle in a quadruplex, a circle in everything.  The
candidate that explains the most ink wins; one that explains ink which the winner does not, or explains nearly as
much, makes the winner doubtful, and both names are told.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy.spatial import cKDTree

from cordpath.model import FIXTURE_KINDS, OUTLET_KINDS, FloatArray, IntArray
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.matching.evidence import CERTAIN, ELEMENT, LEAST_MARK, Candidate
from cordpath.symbols.matching.failed_examples import with_failed_examples
from cordpath.symbols.matching.in_common import (
    OWN_INK,
    drawn_beyond,
    marks_beyond,
    own_share,
    paint_shared,
    same_facts,
    shared,
    strokes_on,
)
from cordpath.symbols.matching.in_passing import passes
from cordpath.symbols.matching.lettered_twins import WITHOUT_TEXT, explains_more_without_letters, with_twins
from cordpath.symbols.matching.others_marks import has_a_mark_more, is_more, perhaps_others, runs_on_alone
from cordpath.symbols.matching.plain import plain_checked, with_passing_lines
from cordpath.symbols.matching.round_twins import against_polygons
from cordpath.symbols.matching.small_fills import painted_beside, perhaps_filled
from cordpath.symbols.matching.verify import ANOTHER_CIRCLE, IN_FULL
from cordpath.symbols.pose import place

AS_WELL = "it may as well be"  # reasons that begin so name another design that is drawn here in full too
SHARED = 0.5  # share of a candidate's ink that another must explain for them to stand at one place
SAME_PLACE = 0.5  # of the smaller radius: distance of centres at which candidates of like size are at one place
PART_OF = 0.8  # share of a winner's ink that a larger shape explains from which the winner may be a part of it
MORE = 1.15  # times the ink of the winner from which a softly doubted rival counts
TIE = 0.93
OUTSIDE = 0.25  # share of an outlet's marks away from a fixture's, from which it is no part of that fixture
SAME_MARKS = 0.02  # the same, up to which the rival is wholly contained in the winner
RIVAL = 0.85  # coverage
UNDRAWN = 0.25  # share of the marks that a winner has more than another, under which those are not drawn here


def compete(candidates: list[Candidate], letters: Letters) -> tuple[Candidate, ...]:
    """One candidate for each place, with doubts and rivals that the others raise."""
    heard = [with_passing_lines(c) for c in candidates if not c.anothers]
    ranked = sorted(against_polygons(heard), key=_rank)
    if not ranked:
        return ()
    centres = np.array([c.centre for c in ranked])
    largest = max(c.radius for c in ranked)
    tree = cKDTree(centres)
    ink = [strokes_on(c) for c in ranked]
    winners: dict[int, Candidate] = {}
    losers: dict[int, list[Candidate]] = {}
    for k, candidate in enumerate(ranked):
        near = sorted(j for j in tree.query_ball_point(centres[k], candidate.radius + largest) if j in winners)
        holder = next((j for j in near if _one_place(candidate, ink[k], winners[j], ink[j])), None)
        if holder is not None and _taken_in(candidate, winners[holder]):
            winners[k] = candidate.doubted(f"{winners[holder].template.name!r} was learnt with these lines in it")
        elif holder is None:
            parts = [j for j in near if _is_part(winners[j], ink[j], candidate, ink[k])]
            for j in parts:
                candidate = candidate.doubted(f"it may be {winners[j].template.name!r}", winners[j].template.name)
                if _may_hide(winners[j], candidate):
                    losers.setdefault(k, []).append(winners.pop(j))
                else:
                    name = candidate.template.name
                    winners[j] = winners[j].doubted(f"{name!r} explains lines here that it does not", name)
            winners[k] = candidate
        else:
            winners[holder] = _challenged(winners[holder], candidate)
            losers.setdefault(holder, []).append(candidate)
    settled = tuple(_outlet_first(winner, losers.get(k, [])) for k, winner in winners.items())
    settled = (
        *settled,
        *(c for k, winner in winners.items() for c in _over_fixture(winner, losers.get(k, []), settled)),
    )
    settled = with_failed_examples(plain_checked(settled, letters), candidates)
    return with_twins(settled, candidates, letters)


def _outlet_first(winner: Candidate, losers: list[Candidate]) -> Candidate:
    """A doubtful shape that may be an outlet is shown as that outlet: questions about outlets must be asked."""
    if winner.found or winner.template.entry.kind in OUTLET_KINDS:
        return winner
    plain = winner.template.entry.kind not in FIXTURE_KINDS  # an outlet over a fixture is told of beside it
    asked = [c for c in losers if c.template.name in winner.rivals and c.template.entry.kind in OUTLET_KINDS]
    outlets = [c for c in asked if _may_be_outlet(c, winner) or (plain and c.found)]
    if not outlets:
        return winner
    names = (winner.template.name, *(n for n in winner.rivals if n != outlets[0].template.name))
    return outlets[0].doubted(f"it may be {winner.template.name!r}").with_rivals(names)


def _over_fixture(
    winner: Candidate, losers: list[Candidate], settled: tuple[Candidate, ...]
) -> tuple[Candidate, ...]:
    """The outlet that stands over a fixture's lines, which do not explain it: the one does not rule out the other,
    and an outlet behind a washer is asked about, unless one of those that are ``settled`` is it."""
    if winner.template.entry.kind not in FIXTURE_KINDS:
        return ()
    over = [c for c in losers if _stands_over(c, winner) and not _may_be_outlet(c, winner)]
    outlets = [(c, strokes_on(c)) for c in settled if c.template.entry.kind in OUTLET_KINDS] if over else []
    over = [c for c in over if not any(_one_place(c, strokes_on(c), *other) for other in outlets)]
    return (over[0].doubted(f"it may be part of {winner.template.name!r}"),) if over else ()


def _stands_over(c: Candidate, fixture: Candidate) -> bool:
    least = CERTAIN if any(d.weak for d in c.doubts) else RIVAL
    if c.template.entry.kind not in OUTLET_KINDS or c.radius > fixture.radius or c.coverage < least:
        return False
    named = c.found and c.coverage >= CERTAIN and c.template.name in fixture.rivals
    return named or own_share(c, fixture) > OUTSIDE


def _may_be_outlet(c: Candidate, winner: Candidate) -> bool:
    lettered = len(c.words) == len(c.template.drawn.texts) or not winner.words  # or neither could be read
    return c.template.entry.kind in OUTLET_KINDS and lettered and c.explained > 0.9 * winner.explained


def _rank(c: Candidate) -> tuple[bool, int, float, float, float]:
    # a plain shape with a part missing is next to nothing
    hard = sum((not d.soft) + d.grave + 2 * (d.weak and c.coverage < RIVAL) for d in c.doubts)
    return (not c.found, hard, -round(c.score, 3), round(float(c.centre[0]), 2), round(float(c.centre[1]), 2))


def _one_place(
    weaker: Candidate, a: tuple[IntArray, FloatArray], winner: Candidate, b: tuple[IntArray, FloatArray]
) -> bool:
    """Is most of the weaker candidate's ink the winner's as well?

    Candidates of like size about one centre are rivals whatever they share, but for an outlet drawn over a fixture:
    on small drawings the two cover each other, and both are meant.  Nothing is seen of paint on paint: what paints
    the same stands at one place, wherever the marks beside it are.
    """
    if paint_shared(weaker, winner) >= SHARED:
        return True
    gap = float(np.hypot(*(weaker.centre - winner.centre)))
    small, large = sorted((weaker.radius, winner.radius))
    total = float(a[1].sum())
    both = shared(a, b)
    if _outlet_over(weaker, winner) and total and (both < SHARED * total or own_share(weaker, winner) > OUTSIDE):
        return False
    if _another_circle(weaker, winner):
        return False
    if small > 0.6 * large and gap < SAME_PLACE * small:
        return True
    if weaker.template.text_only or winner.template.text_only:  # letters of its own stand for themselves
        return bool(set(weaker.words) & set(winner.words)) or gap < SAME_PLACE * small
    if not total or not len(b[0]):  # paint alone has no strokes: what it is of the other's marks counts
        painted, other = (weaker, winner) if not total else (winner, weaker)
        return gap < SAME_PLACE * small or own_share(painted, other) <= OWN_INK
    return both >= SHARED * total


def _another_circle(weaker: Candidate, winner: Candidate) -> bool:
    """Is the weaker one drawn in full around a circle of its own, over the winner?  Two outlets back to back in a
    wall, or one that slid over the other: both are told."""
    if weaker.coverage < IN_FULL or not len(weaker.template.circles) or not len(winner.template.circles):
        return False
    mine = place(weaker.pose[None], weaker.template.circles[:, :2])[0]
    theirs = place(winner.pose[None], winner.template.circles[:, :2])[0]
    apart = np.sqrt(((mine[:, None] - theirs) ** 2).sum(2)).min() > ANOTHER_CIRCLE
    return bool(apart) and own_share(weaker, winner) > OUTSIDE


def _is_part(
    winner: Candidate, a: tuple[IntArray, FloatArray], larger: Candidate, b: tuple[IntArray, FloatArray]
) -> bool:
    """Is the winner nothing but a part of a larger shape that is drawn in full, whatever disturbs that one?"""
    total = float(a[1].sum())
    if not total or larger.coverage < CERTAIN or any(d.grave or d.weak for d in larger.doubts):
        return False
    if not _richer(larger, winner) or larger.template.name == winner.template.name:
        return False
    return shared(a, b) >= PART_OF * total


def _richer(one: Candidate, other: Candidate) -> bool:
    """Does it explain more?  Lines are compared with lines: letters are none; paint and a line are more."""
    more = one.explained > MORE * other.explained or one.lengths.sum() > MORE * other.lengths.sum() > 0
    return bool(more or (other.template.solid and one.template.drawn.fills and not one.template.solid))


def _may_hide(winner: Candidate, larger: Candidate) -> bool:
    """May the larger shape be shown in place of the winner?  Not where a question about an outlet would be lost."""
    return larger.template.entry.kind in OUTLET_KINDS or winner.template.entry.kind not in OUTLET_KINDS


def _outlet_over(weaker: Candidate, winner: Candidate) -> bool:
    """Is one of the two an outlet drawn in full, the other none?"""
    outlets = [c.template.entry.kind in OUTLET_KINDS for c in (weaker, winner)]
    plain = any(d.weak for d in weaker.doubts)  # of a light's circle and a passing line, for one
    return outlets[0] != outlets[1] and weaker.coverage >= CERTAIN and not plain


def _taken_in(weaker: Candidate, winner: Candidate) -> bool:
    """Is the weaker an outlet drawn in full that the example of a fixture has taken in, being drawn over it?

    Nobody writes an outlet into the shape of a washer, but a box drawn round one holds the receptacle behind it.
    """
    learnt = winner.template.entry.kind in FIXTURE_KINDS and winner.template.entry.shape is None
    return learnt and winner.radius > weaker.radius and _outlet_over(weaker, winner)


def _challenged(winner: Candidate, rival: Candidate) -> Candidate:
    """The winner after a rival at its place has been heard."""
    name, simpler = rival.template.name, winner.template.name
    if name == simpler:
        return winner
    if not all(d.what.startswith(AS_WELL) for d in winner.doubts):  # of one design in two sizes the rest is heard
        return winner.with_rivals((*winner.rivals, name)) if _as_good(rival, winner) else winner
    if _has_what_ran_on(rival, winner):
        return _either(winner, rival, f"a line that runs on may make {name!r} look like it")
    if rival.found and rival.coverage >= IN_FULL > winner.coverage:
        there = drawn_beyond(winner, rival)
        if there < UNDRAWN:
            return rival.with_rivals((*rival.rivals, simpler, *winner.rivals))
        if there < ELEMENT:
            return winner.doubted(f"{AS_WELL} {name!r}", name)
    more = marks_beyond(winner, rival) if _in_full(rival) else None
    if _in_full(rival) and perhaps_others(winner, rival, more):
        what = f"lines that run on or belong to something else may make {name!r} look like it"
        return _either(winner, rival, what)
    if explains_more_without_letters(rival, winner):
        return winner.doubted(WITHOUT_TEXT.format(name, simpler), name)
    if perhaps_filled(rival, winner) or painted_beside(rival, winner):
        return _either(winner, rival, f"the filled part of {name!r} may be drawn here")
    return _outdone(winner, rival, contained=more is not None and own_share(rival, winner) <= SAME_MARKS)


def _outdone(winner: Candidate, rival: Candidate, contained: bool) -> Candidate:
    """The winner beside a rival that may explain more; ``contained``: all of the rival is the winner's as well."""
    name, full = rival.template.name, _in_full(rival)
    # found or not: about a larger body there is more of somebody else's lines, which count against it
    marked = full and has_a_mark_more(rival, winner)
    more_drawn = marked or (full and _ticked(rival, winner))
    richer = rival.coverage > RIVAL and (rival.soft or full) and _richer(rival, winner)
    if not (rival.found or more_drawn or richer):
        return winner
    if not contained and rival.found and rival.score > TIE * winner.score:
        if is_more(rival, winner):
            return rival.with_rivals((*rival.rivals, winner.template.name, *winner.rivals))
        return winner.doubted(f"{AS_WELL} {name!r}", name)
    more_drawn = more_drawn or own_share(rival, winner) > OWN_INK
    # in a body that its letters tell, rows of hatch are no mark
    if more_drawn and not ((bool(winner.words) or not marked) and passes(rival, winner)):
        return winner.doubted(f"{name!r} explains lines here that {winner.template.name!r} does not", name)
    return winner


def _as_good(rival: Candidate, doubtful: Candidate) -> bool:
    """Is a rival as likely as a winner that is in doubt itself, or has it lines of its own?"""
    if rival.coverage < RIVAL:
        return False
    # beside a weak shape that is drawn in full, one of which a line is missing is none
    whole = doubtful.coverage >= CERTAIN and all(d.weak for d in doubtful.doubts)
    drawn = rival.coverage >= (CERTAIN if whole else RIVAL)
    return rival.score > TIE * doubtful.score or (drawn and own_share(rival, doubtful) > OWN_INK)


def _has_what_ran_on(rival: Candidate, winner: Candidate) -> bool:
    """Without the lines that run on into the winner, has a rival that nothing else disturbs about as much ink?"""
    own = winner.explained - winner.borrowed
    clear = winner.borrowed and all(d.weak for d in rival.doubts)
    return bool(clear and rival.explained - rival.borrowed > TIE * own)


def _in_full(c: Candidate) -> bool:
    """Drawn in full, whatever disturbs it: a richer shape that is so speaks against a simpler one."""
    return c.coverage > CERTAIN and not any(d.grave for d in c.doubts)


def _ticked(rival: Candidate, winner: Candidate) -> bool:
    """Has a rival ticks which a plain winner lacks, nothing being against it but what is drawn inside?  A line
    between two of a lamp's stubs makes the line of a single receptacle of them."""
    if not winner.template.weak or not all(d.inside for d in rival.doubts):
        return False
    return own_share(rival, winner) * rival.template.ink >= LEAST_MARK * rival.template.small


def _either(winner: Candidate, rival: Candidate, what: str) -> Candidate:
    """The winner in doubt; only told as the other's twin where both come to the same verdict, or the other as its
    twin where the lines that tell them apart run on, or where paint is drawn that is the other's alone."""
    name = rival.template.name
    if same_facts(winner.template.entry, rival.template.entry):
        kept = rival.coverage >= RIVAL and all(d.inside or d.soft for d in rival.doubts)
        painted = kept and painted_beside(rival, winner)
        if painted or runs_on_alone(winner, rival):
            names = (*rival.rivals, winner.template.name, *winner.rivals)
            return replace(rival, doubts=()).with_rivals(names)
        return winner.with_rivals((*winner.rivals, name))
    return winner.doubted(what, name)
