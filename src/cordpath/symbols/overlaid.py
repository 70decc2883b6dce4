"""What was drawn over a fixture and is somebody else's says nothing against the fixture.

Terms: *owner*, another symbol that was found with nothing against it, or an outlet that is drawn in full, whichever
of several it may be; *owned*, its strokes and its letters.

An outlet stands on the dryer that it serves, a circuit number on the refrigerator: until both are known, their ink
and letters look like marks that the fixture does not have.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from cordpath.model import FIXTURE_KINDS, OUTLET_KINDS, Symbol
from cordpath.symbols.evidence import CERTAIN, Candidate, weigh
from cordpath.symbols.letters import Letters
from cordpath.symbols.paint import Paint

STRANGER = "the text {!r} inside belongs to no mark of it"


def relieved(winners: tuple[Candidate, ...], letters: Letters, paint: Paint) -> tuple[Candidate, ...]:
    """The winners, fixtures without the doubts that only ink and letters of owners had raised."""
    owners = [c for c in winners if _owns(c)]
    return tuple(_weighed_again(c, owners, letters, paint) if _overlaid(c) else c for c in winners)


def _owns(c: Candidate) -> bool:
    return c.found or (c.template.entry.kind in OUTLET_KINDS and c.coverage >= CERTAIN)


def _overlaid(c: Candidate) -> bool:
    return c.template.entry.kind in FIXTURE_KINDS and any(d.inside for d in c.doubts)


def _weighed_again(c: Candidate, owners: list[Candidate], letters: Letters, paint: Paint) -> Candidate:
    near = [o for o in owners if o is not c and _over(o, c)]
    if not near:
        return c
    strokes = np.concatenate([o.whole for o in near])
    words = frozenset(word for o in near for word in o.words)
    again = weigh(c.template, c.ink, c.pose[None], letters, paint, strokes, words)
    if not again:
        return c
    still = {d.what for d in again[0].doubts}
    doubts = tuple(d for d in c.doubts if not d.inside or d.what in still)
    return replace(c, doubts=doubts, clutter=again[0].clutter)


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
