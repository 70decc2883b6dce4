"""Labels that were assigned to one symbol although something else on the sheet has as good a claim to them.

What it looks at for each: a line of a stack that stands at another outlet, a leader, a light or a switch that the
label stands at, an outlet just out of reach, an appliance that lacks its outlet.  A label in doubt clears nothing;
it stays a question.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from cordpath.model import FIXTURE_KINDS, Symbol
from cordpath.symbols.labels.matching import MARGIN, MARGIN_SHARE, Match
from cordpath.symbols.labels.nearness import REACH, Pairs
from cordpath.symbols.labels.texts import Text

NEARER = 0.6  # of the gap to its outlet: a line of a stack that has another outlet within this may be that one's
SURE_READING = 0.8  # confidence of a text that was read from strokes; under it what may clear an outlet is a doubt
LIT = frozenset({"light", "switch", "other"})  # devices that GFI is seldom written at
BELOW_LIGHTS = 54.0  # in: lights on walls hang higher, 60 in and more (common practice, no source)
# What an outlet may be drawn within: there is none in a lavatory, a tub or a shower, and labels often lie on them.
APPLIANCES = FIXTURE_KINDS - {"countertop", "lavatory", "bathtub", "shower"}
# What a doubt takes away: every fact, since each of them may clear an outlet under some edition or amendment.
UNSURE = ("protection", "circuit", "serves", "status", "volts", "amperes", "height_in", "weatherproof",
          "readily_accessible", "dedicated_circuit", "single_receptacle", "hard_wired")  # fmt: skip
# What may clear an outlet; a cover against rain only raises questions.
SETTLES = frozenset(UNSURE) - {"weatherproof"}


def weighed(match: Match, text: Text, pairs: Pairs, symbols: tuple[Symbol, ...], low: bool = False) -> Match:
    """The match, in doubt where something else may have the label; a leader to its symbol settles it.

    ``low``: a line of its stack tells a height under BELOW_LIGHTS, so that no light is meant.
    """
    mine = pairs.run == match.run
    led = pairs.symbol[mine & pairs.leader].tolist()
    if text.reading.kind not in UNSURE or match.unsure or match.symbol in led:
        return match
    nearer = _nearer_outlet(match, text, pairs.symbol[mine].tolist(), symbols)
    if nearer is not None:
        return replace(match, unsure=True, rival=nearer)
    if led:  # one to another symbol, whatever stands in the label's place there
        return replace(match, unsure=True, rival=int(led[0]))
    beyond = _beyond_reach(match, text, pairs, symbols)
    if beyond is not None:
        return replace(match, unsure=True, rival=beyond)
    kept = _kept_off(match, text, pairs, symbols)
    if kept is not None:
        return replace(match, unsure=True, rival=kept)
    if not symbols[match.symbol].is_outlet:
        return match
    lit = LIT - {"light"} if low else LIT
    at_light = text.reading.kind == "protection" and _at_light(match, pairs, symbols, lit)
    return replace(match, unsure=True) if at_light or _over_appliance(text, symbols) else match


def _nearer_outlet(match: Match, text: Text, near: list[int], symbols: tuple[Symbol, ...]) -> int | None:
    """The outlet that a line stands clearly nearer to than to the one that its stack brought it to.

    Two labels, one over the other at the pitch of lines, may be those of two outlets in a row.  No stroke between
    takes the doubt away: a label stands across the edge of the counter that its outlet lies on as well.
    """
    if text.run.block == text.run.line:
        return None
    line = text.run.area
    gaps = {k: float(shapely.distance(line, symbols[k].footprint)) for k in near if symbols[k].is_outlet}
    here = gaps.pop(match.symbol, None)
    if here is None or not gaps or min(gaps.values()) >= NEARER * here:
        return None
    return min(gaps, key=gaps.__getitem__)


def _kept_off(match: Match, text: Text, pairs: Pairs, symbols: tuple[Symbol, ...]) -> int | None:
    """The outlet that a mark of protection stands nearer to, where one line kept it off: maybe a counter's edge."""
    mine = pairs.run == match.run
    own = float(pairs.gap[mine & (pairs.symbol == match.symbol)][0])
    near = np.flatnonzero(mine & pairs.edge & (pairs.gap < own))
    outlets = [k for k in near.tolist() if symbols[pairs.symbol[k]].is_outlet]
    if text.reading.kind != "protection" or not outlets:
        return None
    return int(pairs.symbol[min(outlets, key=lambda k: float(pairs.gap[k]))])


def passed_over(match: Match, text: Text, pairs: Pairs, symbols: tuple[Symbol, ...]) -> int | None:
    """The outlet that a label in doubt stands clearly nearer to than to those that may have it.

    The edge of the counter before it kept the label from it, as a wall does: it may have it all the same.
    """
    if not match.unsure:
        return None
    near = pairs.symbol[pairs.run == match.run].tolist()
    gaps = {k: float(shapely.distance(text.run.area, symbols[k].footprint)) for k in near if symbols[k].is_outlet}
    own = [gaps.pop(k) for k in (match.symbol, match.rival) if k in gaps]
    if not gaps or not own or min(gaps.values()) >= NEARER * min(own):
        return None
    return min(gaps, key=gaps.__getitem__)


def _beyond_reach(match: Match, text: Text, pairs: Pairs, symbols: tuple[Symbol, ...]) -> int | None:
    """The nearest outlet just out of a label's reach that is about as near as its own, just within it."""
    own = float(pairs.gap[(pairs.run == match.run) & (pairs.symbol == match.symbol)][0])
    most = own * (1 + MARGIN_SHARE) + MARGIN
    if most <= REACH or text.reading.kind not in ("protection", "circuit"):
        return None
    gap = shapely.distance(text.run.block_area, [symbol.footprint for symbol in symbols])
    away = np.where([symbol.is_outlet for symbol in symbols], gap, np.inf)
    away[pairs.symbol[pairs.run == match.run]] = np.inf  # those within reach were weighed
    nearest = int(np.argmin(away))
    return nearest if away[nearest] < most else None


def low_stacks(texts: list[Text]) -> frozenset[int]:
    """The stacks that tell a height at which no light is mounted."""
    return frozenset(text.run.stack for text in texts if not text.reading.doubt and _is_low(text))


def _is_low(text: Text) -> bool:
    return any(name == "height_in" and float(value) < BELOW_LIGHTS for name, value in text.reading.sets)


def _at_light(match: Match, pairs: Pairs, symbols: tuple[Symbol, ...], lit: frozenset[str]) -> bool:
    """Does a label stand nearer to a light or a switch than to its outlet?

    Nearer at all: on 1,000 random sheets of labels "clearly nearer" cleared eight outlets that had none of their
    own, "nearer" three, for six questions more.
    """
    mine = pairs.run == match.run
    gap = float(pairs.gap[mine & (pairs.symbol == match.symbol)][0])
    nearer = mine & ~pairs.parted & (pairs.gap < gap)
    return any(symbols[k].kind in lit for k in pairs.symbol[nearer].tolist())


def _over_appliance(text: Text, symbols: tuple[Symbol, ...]) -> bool:
    """Does a label stand over an appliance at which no outlet was found?  It may be a lost one's."""
    areas = np.array([s.footprint for s in symbols if s.kind in APPLIANCES], dtype=object)
    over = areas[shapely.contains(areas, text.run.area.centroid)]
    return not all(any(s.is_outlet and s.footprint.intersects(area) for s in symbols) for area in over)
