"""Labels that the assignment gave to one symbol, and that something else on the sheet may as well lay claim to.

What it looks at for each: a line of a stack that stands at another outlet, a leader, a light or a switch that the
label stands at, an appliance that lacks its outlet.  A label in doubt clears nothing; it stays a question.
"""

from __future__ import annotations

from dataclasses import replace

import shapely

from cordpath.model import FIXTURE_KINDS, Symbol
from cordpath.symbols.labels.matching import Match
from cordpath.symbols.labels.nearness import Pairs
from cordpath.symbols.labels.texts import Text

NEARER = 0.6  # of the gap to its outlet: a line of a stack that has another outlet within this may be that one's
LIT = frozenset({"light", "switch", "other"})  # devices that GFI is seldom written at
APPLIANCES = FIXTURE_KINDS - {"countertop"}
# What a doubt takes away: every fact, since each of them may clear an outlet under some edition or amendment.
UNSURE = ("protection", "circuit", "serves", "status", "volts", "amperes", "height_in", "weatherproof",
          "readily_accessible", "dedicated_circuit", "single_receptacle", "hard_wired")  # fmt: skip
# What may clear an outlet; a cover against rain only raises questions.
SETTLES = frozenset(UNSURE) - {"weatherproof"}


def weighed(match: Match, text: Text, pairs: Pairs, symbols: tuple[Symbol, ...]) -> Match:
    """The match, in doubt where something else may have the label."""
    if text.reading.kind not in UNSURE:
        return match
    match = _by_leader(_by_itself(match, text, pairs, symbols), text, pairs)
    return _by_light(_over_appliance(match, text, pairs, symbols), text, pairs, symbols)


def _by_itself(match: Match, text: Text, pairs: Pairs, symbols: tuple[Symbol, ...]) -> Match:
    """A line that its stack brought to one outlet is in doubt where it stands clearly nearer to another one.

    Two labels, one over the other at the pitch of lines, may be those of two outlets in a row.  No stroke between
    takes the doubt away: a label stands across the edge of the counter that its outlet lies on as well.
    """
    mine = pairs.run == match.run
    led = bool((mine & (pairs.symbol == match.symbol) & pairs.leader).any())
    if match.unsure or led or text.run.block == text.run.box:
        return match
    line = shapely.box(*text.run.box)
    near = {
        int(k): float(shapely.distance(line, symbols[int(k)].footprint))
        for k in pairs.symbol[mine]
        if symbols[int(k)].is_outlet
    }
    here = near.pop(match.symbol, None)
    if here is None or not near or min(near.values()) >= NEARER * here:
        return match
    return replace(match, unsure=True, rival=min(near, key=near.__getitem__))


def _by_leader(match: Match, text: Text, pairs: Pairs) -> Match:
    """A label whose leader ends at one symbol is in doubt at any other, whatever stands in its place there."""
    led = pairs.symbol[(pairs.run == match.run) & pairs.leader].tolist()
    if match.unsure or not led or match.symbol in led:
        return match
    return replace(match, unsure=True, rival=int(led[0]))


def _by_light(match: Match, text: Text, pairs: Pairs, symbols: tuple[Symbol, ...]) -> Match:
    """A label of protection that stands clearly nearer to a light or a switch may be that one's."""
    mine = pairs.run == match.run
    here = mine & (pairs.symbol == match.symbol)
    free = match.unsure or not symbols[match.symbol].is_outlet or bool(pairs.leader[here].any())
    if free or text.reading.kind != "protection":
        return match
    nearer = mine & ~pairs.parted & (pairs.gap < NEARER * float(pairs.gap[here][0]))
    other = any(symbols[k].kind in LIT for k in pairs.symbol[nearer].tolist())
    return replace(match, unsure=True) if other else match


def _over_appliance(match: Match, text: Text, pairs: Pairs, symbols: tuple[Symbol, ...]) -> Match:
    """A label over an appliance at which no outlet was found is in doubt at any other: it may be a lost one's."""
    led = ((pairs.run == match.run) & (pairs.symbol == match.symbol) & pairs.leader).any()
    if match.unsure or led or not symbols[match.symbol].is_outlet:
        return match
    middle = shapely.box(*text.run.box).centroid
    over = [s.footprint for s in symbols if s.kind in APPLIANCES and s.footprint.contains(middle)]
    served = [any(s.is_outlet and s.footprint.intersects(area) for s in symbols) for area in over]
    return match if all(served) else replace(match, unsure=True)
