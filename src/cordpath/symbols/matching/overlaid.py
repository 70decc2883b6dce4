"""Symbols and letters that lie on a fixture are no evidence against the fixture.

Terms: *owner*, another symbol that was found with nothing against it, or an outlet that is drawn in full, whichever
of several it may be; *owned*, its strokes and its letters.

An outlet stands on the dryer that it serves, a circuit number on the refrigerator: until both are known, their ink
and letters look like marks that the fixture does not have.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from cordpath.geometry import hanging_together, nodes
from cordpath.model import FIXTURE_KINDS, OUTLET_KINDS, IntArray, Symbol
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.letters.strangers import STRANGER, strangers_in
from cordpath.symbols.matching.borrowed import JOINT
from cordpath.symbols.matching.evidence import CERTAIN, Candidate, weighed_again
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.pose import place

OUTSIDE = 1.0  # pt from the hull of an outlet's own lines: marks that may make it another end before


def relieved(winners: tuple[Candidate, ...], letters: Letters, paint: Paint) -> tuple[Candidate, ...]:
    """The winners, without the doubts that only ink and letters of owners had raised.

    Fixtures first: an outlet on a dryer is then rid of the dryer's letter.  Of its strokes it is rid only of those
    that lead out of it: others may be marks that make it another.
    """
    owners = [c for c in winners if _owns(c)]
    winners = tuple(_weighed_again(c, owners, letters, paint) if _overlaid(c) else c for c in winners)
    fixtures = [c for c in winners if c.found and c.template.entry.kind in FIXTURE_KINDS]
    winners = tuple(_without_lines(c, fixtures, letters, paint) for c in winners)
    lettered = [c for c in fixtures if c.words]
    return tuple(_without_letters(c, lettered, letters) if lettered else c for c in winners)


def without_fixture_letters(
    candidates: list[Candidate], winners: tuple[Candidate, ...], letters: Letters
) -> list[Candidate] | None:
    """The candidates that are outlets, without the doubts that only letters of fixtures under them had raised; None
    where there are none.

    A winner is rid of them too late: while it was in doubt, a simpler symbol at its place had won.
    """
    fixtures = [c for c in winners if c.words and c.template.entry.kind in FIXTURE_KINDS and _drawn_in_full(c)]
    out, changed = list(candidates), False
    for k, c in enumerate(candidates):
        if not fixtures or c.template.entry.kind not in OUTLET_KINDS or not any(d.inside for d in c.doubts):
            continue
        strangers = strangers_in(letters, c.template, c.pose, c.words, c.whole, c.ink)
        if strangers and all(_is_mark_of(fixtures, n, c, letters) for n in strangers):
            said = {STRANGER.format(letters.text[n]) for n in strangers}
            out[k] = replace(c, doubts=tuple(d for d in c.doubts if d.what not in said))
            changed |= len(out[k].doubts) < len(c.doubts)
    return out if changed else None


def _drawn_in_full(c: Candidate) -> bool:
    return c.coverage >= CERTAIN and all(d.inside for d in c.doubts)


def _without_lines(c: Candidate, fixtures: list[Candidate], letters: Letters, paint: Paint) -> Candidate:
    """An outlet without the doubt that a found fixture's lines across it had raised, as those of burners do."""
    if not _is_asked(c):
        return c
    passing = [_leading_out(o, c) for o in fixtures if _over(o, c)]
    return _without(c, np.concatenate(passing), frozenset(), letters, paint) if passing else c


def _is_asked(c: Candidate) -> bool:
    """Is it an outlet that something in it made a question, and no rival?  While it was in doubt, those were only
    noted."""
    return c.template.entry.kind in OUTLET_KINDS and not c.rivals and any(d.inside for d in c.doubts)


def _leading_out(fixture: Candidate, c: Candidate) -> IntArray:
    """The fixture's strokes that are joined to some outside the outlet."""
    ends = c.ink.xy[fixture.whole].reshape(-1, 2)
    line = hanging_together(nodes(ends, JOINT))
    own = shapely.MultiPoint(c.ink.xy[c.whole].reshape(-1, 2)).convex_hull.buffer(OUTSIDE)
    out = ~shapely.covers(own, shapely.points(ends)).reshape(-1, 2).all(axis=1)
    return fixture.whole[np.isin(line, line[out])]


def _without_letters(c: Candidate, fixtures: list[Candidate], letters: Letters) -> Candidate:
    """An outlet without the doubt that a found fixture's letters inside it had raised."""
    if not _is_asked(c):
        return c
    strangers = strangers_in(letters, c.template, c.pose, c.words)
    if not strangers or not all(_is_mark_of(fixtures, k, c, letters) for k in strangers):
        return c
    said = {STRANGER.format(letters.text[k]) for k in strangers}
    return replace(c, doubts=tuple(d for d in c.doubts if d.what not in said))


def _is_mark_of(fixtures: list[Candidate], word: int, c: Candidate, letters: Letters) -> bool:
    """Does the word stand nearer to a fixture's mark for it than to the middle of the outlet?"""
    at = letters.at[word]
    away = float(np.hypot(*(at - c.centre)))
    for fixture in (each for each in fixtures if word in each.words):
        marks = np.array([[x, y] for _, x, y in fixture.template.drawn.texts])
        places = place(fixture.poses, marks).reshape(-1, 2)
        if float(np.hypot(*(places - at).T).min()) < away:
            return True
    return False


def _owns(c: Candidate) -> bool:
    return c.found or (c.template.entry.kind in OUTLET_KINDS and c.coverage >= CERTAIN)


def _overlaid(c: Candidate) -> bool:
    told = bool(c.words) or not c.rivals  # its own letters tell a dryer from a washer
    return c.template.entry.kind in FIXTURE_KINDS and told and any(d.inside for d in c.doubts)


def _weighed_again(c: Candidate, owners: list[Candidate], letters: Letters, paint: Paint) -> Candidate:
    near = [o for o in owners if o is not c and _over(o, c)]
    if not near:
        return c
    words = frozenset(word for o in near for word in o.words)
    return _without(c, np.concatenate([o.whole for o in near]), words, letters, paint)


def _without(c: Candidate, strokes: IntArray, words: frozenset[int], letters: Letters, paint: Paint) -> Candidate:
    """The candidate without the doubts that only these strokes and words had raised."""
    again = weighed_again(c, letters, paint, strokes, words)
    if again is None:
        return c
    still = {d.what for d in again.doubts}
    doubts = tuple(d for d in c.doubts if not d.inside or d.what in still)
    return replace(c, doubts=doubts, clutter=again.clutter)


def _over(owner: Candidate, c: Candidate) -> bool:
    apart = float(np.hypot(*(owner.centre - c.centre))) >= owner.radius + c.radius
    return not apart and owner.ink is c.ink and c.template.name not in owner.rivals


def settled_by_labels(symbols: tuple[Symbol, ...]) -> tuple[Symbol, ...]:
    """Fixtures whose only doubt is a text inside that is the label of another symbol are found."""
    labels = {label.text.strip() for symbol in symbols if symbol.found for label in symbol.labels}
    said = {STRANGER.format(text) for text in labels}
    return tuple(_settled(s, symbols) if s.is_fixture and set(s.reasons) <= said else s for s in symbols)


def _settled(symbol: Symbol, others: tuple[Symbol, ...]) -> Symbol:
    """The label must lie inside this fixture: the same text elsewhere explains nothing here."""
    if symbol.found or symbol.rivals or symbol.view is None or not symbol.reasons:
        return symbol
    inside = {
        STRANGER.format(label.text.strip())
        for other in others
        if other is not symbol and other.found
        for label in other.labels
        if label.sets and symbol.footprint.covers(shapely.Point(label.at))
    }
    if not set(symbol.reasons) <= inside:
        return symbol
    return replace(symbol, found=True, reasons=(), confidence=min(1.0, 2 * symbol.confidence))
