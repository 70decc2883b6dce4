"""What kind of place a space is: from its name, and from the fixtures that stand in it.

Terms: *draft*, a room in the making.  Rule facts beat the tag: an area with a basin and a water closet, tub or
shower is a bathroom whatever its name (definition of bathroom, NEC Article 100, paraphrased).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import BASIN_KINDS, TUB_KINDS, UNNAMED, RoomKind, Symbol
from cordpath.rooms.names.tags import Tag
from cordpath.rooms.names.vocabulary import Meaning, normal, protects
from cordpath.rooms.names.words import PANTRY, UTILITY, WINE
from cordpath.rooms.openings.openings import Closer

COOKING = frozenset({"range", "cooktop", "wall oven"})
WASHING = frozenset({"washer", "dryer"})
SOFT_KINDS = frozenset({"unknown", "closet", "hall", "utility", "other"})  # a name that a fixture overrules
LIVING_KINDS = frozenset({"living", "bedroom", "dining"})
# Largest nameless rooms that fixtures tell: a bath with all fixtures, a closet for two machines side by side.  What
# is larger may be two rooms whose wall was not recognised.  How sure the fixtures are.
FIXTURES_SQFT: dict[RoomKind, float] = {"bathroom": 120.0, "laundry": 40.0}
TOLD = 0.8
# Parts of a bathroom that need no basin of their own; POWDER and LAVATORY tell of one.
COMPARTMENT = re.compile(
    r"(?:(?:WATER|WTR) (?:CLOSET|CLOS?|CL)|W/?C|TOILET|TLT|TOIL|SHOWER|SHWR|TUB)"
    r"(?: (?:RM|ROOM|AREA|CLOSET|CLOS?|CL))?"
)
MUD = re.compile(r"MUD|BOOT|DROP ZONE")  # halls that machines stand in without a closet
WALK_IN = re.compile(r"\bWIC\b|WALK IN")  # closets that machines stand in a corner of
DOUBT = 0.6  # confidence of a kind that a name and the fixtures do not agree on
SURE_READING = 0.8  # confidence of a name that was read from strokes; under it the name settles nothing
LEAST_NAME = 3  # letters of an unknown name; one or two are marks, as of windows and doors
VOCABULARY_HINT = "room name '{}' is not in the vocabulary: add it under rooms: in the mapping file"


@dataclass
class Draft:
    polygon: BaseGeometry
    tag: Tag | None
    seed: int | None = None
    name: str = UNNAMED
    kind: RoomKind = "unknown"
    finished: bool | None = None
    confidence: float = 0.95
    open_with: tuple[int, ...] = ()
    wide_with: tuple[int, ...] = ()
    reasons: list[str] = field(default_factory=list)
    holds: set[str] = field(default_factory=set)
    also: tuple[RoomKind, ...] = ()  # what else its name tells
    part_of: Draft | None = None  # of a compartment of a bathroom: where its basin is
    shared: str = ""  # names of laundry and utility beside each other: a doubt, unless washing stands there

    def doubt(self, reason: str, confidence: float) -> None:
        if reason not in self.reasons:
            self.reasons.append(reason)
        self.confidence = min(self.confidence, confidence)

    def become(self, kind: RoomKind, reason: str, confidence: float) -> None:
        self.kind = kind
        self.doubt(reason, confidence)


def settle_kinds(
    drafts: list[Draft], symbols: tuple[Symbol, ...], closers: tuple[Closer, ...], inch: float
) -> None:
    """Set name and kind of every draft, in place."""
    for draft in drafts:
        _by_name(draft)
    _place_fixtures(drafts, symbols)
    for draft in drafts:
        _bathroom(draft)
    _compartments(drafts, closers, inch)
    for draft in drafts:
        _basin_test(draft)
        _kitchen(draft, drafts)
        _laundry_and_food(draft)
        _told_by_fixtures(draft, inch)
    _kitchens_without_a_name(drafts)


def labels_a_part(tag: Tag, others: list[Tag]) -> bool:
    """TOILET in a BATH is a part of it; in a BEDROOM that no wall divides from it, it is the bath."""
    whole = [o for o in others if not o.weak]
    if tag.meaning is not None and tag.meaning.kind == "bathroom":
        whole = [o for o in whole if o.meaning is not None and o.meaning.kind == "bathroom"]
    return tag.weak and bool(whole)


def names_a_part(odd: Tag, meaning: Meaning) -> bool:
    """May an unknown name be that of a part of a space with rules of its own (KJØKKEN in a GREAT ROOM)?

    So may drawn lettering that was not read for sure, whatever the space is.
    """
    whole = odd.confidence >= SURE_READING
    return not whole or (not protects(meaning.kind) and sum(map(str.isalpha, odd.text)) >= LEAST_NAME)


def _by_name(draft: Draft) -> None:
    tag = draft.tag
    if tag is None:
        draft.doubt("the space has no name on the drawing", DOUBT)
        return
    draft.name = tag.text
    if tag.confidence < SURE_READING:
        draft.doubt(f"the room name '{tag.text}' was not read for sure: it is drawn, or covered in part", DOUBT)
    if tag.meaning is None:
        draft.become("unknown", tag.against or VOCABULARY_HINT.format(tag.text), DOUBT)
        return
    if tag.against is not None:
        draft.doubt(tag.against, DOUBT)
    draft.kind, draft.finished, draft.also = tag.meaning.kind, tag.meaning.finished, tag.meaning.also
    if not tag.meaning.sure:
        # COLD STORAGE, MUD/WASH: what is not known may say a place that a rule speaks of.
        sure = 0.75 if protects(draft.kind) else DOUBT
        draft.doubt(f"the room name '{tag.text}' is only partly known and was read as {draft.kind}", sure)
    if tag.meaning.doubt and tag.meaning.doubt not in (PANTRY, UTILITY, WINE):
        draft.doubt(f"'{tag.text}': {tag.meaning.doubt}", 0.75)


def _place_fixtures(drafts: list[Draft], symbols: tuple[Symbol, ...]) -> None:
    shapes = np.array([d.polygon for d in drafts], object)
    for symbol in symbols:
        if not symbol.is_fixture or not len(shapes):
            continue
        share = shapely.area(shapely.intersection(shapes, symbol.footprint))
        best = int(np.argmax(share))
        if share[best] <= 0:
            continue
        drafts[best].holds.add(symbol.kind if symbol.found else f"{symbol.kind}?")


def _has(draft: Draft, kinds: frozenset[str]) -> bool:
    return bool(draft.holds & kinds)


def _bathroom(draft: Draft) -> None:
    basin, closet = _has(draft, BASIN_KINDS), "water closet" in draft.holds
    tub = _has(draft, TUB_KINDS)
    if not basin or not (closet or tub):
        maybe = {h.rstrip("?") for h in draft.holds}
        if (maybe & BASIN_KINDS) and (maybe & (TUB_KINDS | {"water closet"})) and draft.kind != "bathroom":
            draft.doubt("fixtures in it that could not be settled would make it a bathroom", DOUBT)
        return
    if draft.kind in ("bathroom", "outdoors"):
        return
    other = "a water closet" if closet else "a tub or shower"
    was = "it has no name" if draft.tag is None else f"its name is '{draft.name}'"
    # No plumbing stands in such rooms: a wall around a bath beside them may not have been recognised.
    sure = DOUBT if draft.tag is not None and draft.kind in LIVING_KINDS else 0.8
    draft.become("bathroom", f"a basin and {other} stand in it, which makes it a bathroom; {was}", sure)


def _compartments(drafts: list[Draft], closers: tuple[Closer, ...], inch: float) -> None:
    """A space with a water closet, tub or shower and no basin belongs to the space with the basin that its door
    leads to."""
    for draft in drafts:
        wet = "water closet" in draft.holds or _has(draft, TUB_KINDS)
        named = draft.tag is not None and draft.tag.meaning is not None and not draft.tag.meaning.basin_test
        if not wet or _has(draft, BASIN_KINDS) or (named and draft.kind not in SOFT_KINDS):
            continue
        named_hall = named and draft.kind == "hall"  # in a hall none stands: a wall there was not recognised
        mates = [d for d in drafts if d is not draft and _has(d, BASIN_KINDS) and joined(draft, d, closers, inch)]
        mates = [d for d in mates if "lavatory" in d.holds or d.kind == "bathroom"] or mates
        if not mates:
            draft.doubt(
                "it has a water closet, tub or shower and no basin was found in it or beyond its door", DOUBT
            )
            continue
        mate = mates[0]
        draft.become("bathroom", f"compartment of {mate.name}, which has the basin",
                     DOUBT if named_hall else 0.85)  # fmt: skip
        if mate.kind == "bathroom" and (draft.tag is None or COMPARTMENT.fullmatch(normal(draft.name))):
            draft.part_of = mate
        if mate.kind in SOFT_KINDS:
            mate.become("bathroom", f"it has the basin of the compartment {draft.name}", 0.75)
        elif mate.kind != "bathroom":
            mate.doubt(
                f"it has a basin and leads to the compartment {draft.name}: a part of it may be a bathroom", 0.7
            )


def joined(a: Draft, b: Draft, closers: tuple[Closer, ...], inch: float) -> bool:
    """Is there a door or an opening between two spaces?"""
    if a.polygon.distance(b.polygon) < 0.3 * inch:
        return True
    near_a, near_b = a.polygon.buffer(8 * inch), b.polygon.buffer(8 * inch)
    for closer in closers:
        if closer.kind == "glazing" and closer.width > 60 * inch:
            continue
        middle = shapely.Point(closer.chord.mean(0))
        if near_a.intersects(middle) and near_b.intersects(middle):
            return True
    return False


def _basin_test(draft: Draft) -> None:
    test = draft.tag is not None and draft.tag.meaning is not None and draft.tag.meaning.basin_test
    if test and draft.kind == "bathroom" and not _has(draft, BASIN_KINDS) and not draft.reasons:
        draft.doubt(f"'{draft.name}' is a bathroom only with a basin in it, and no basin was found there", 0.75)


def _kitchen(draft: Draft, drafts: list[Draft]) -> None:
    """A sink and cooking in one space make a kitchen, unless a kitchen is named in the same open plan."""
    if not (_has(draft, BASIN_KINDS) and _has(draft, COOKING)) or draft.kind in ("kitchen", "outdoors", "bathroom"):
        return
    mates = [d for d in drafts if d.seed is not None and d.seed in draft.open_with]
    if any(d.kind == "kitchen" for d in mates):
        draft.become(
            "kitchen",
            f"sink and cooking stand in it, in one space with the kitchen; its name is '{draft.name}'",
            DOUBT,
        )
    elif draft.kind in ("unknown", "dining", "living", "hall", "food area", "other"):
        draft.become("kitchen", f"a sink and cooking stand in it; its name is '{draft.name}'", 0.75)


def _kitchens_without_a_name(drafts: list[Draft]) -> None:
    """Where no kitchen is named or told on a plan, a living space with a sink may be one: a bar is drawn so too."""
    if any(draft.kind == "kitchen" for draft in drafts):
        return
    for draft in drafts:
        if draft.kind in ("dining", "living", "other") and "sink" in draft.holds:
            why = f"a sink stands in it, and no kitchen is named on the plan; its name is '{draft.name}'"
            draft.become("kitchen", why, DOUBT)


def _told_by_fixtures(draft: Draft, inch: float) -> None:
    """A small nameless room with walls all round is what its fixtures make it: nothing else is in doubt."""
    most = FIXTURES_SQFT.get(draft.kind, 0.0) * (12 * inch) ** 2
    closed = not draft.open_with and not draft.wide_with
    if draft.tag is None and closed and draft.polygon.area <= most and len(draft.reasons) == 2 and draft.holds:
        draft.confidence = TOLD


def _laundry_and_food(draft: Draft) -> None:
    if draft.shared and not _has(draft, WASHING):
        draft.doubt(draft.shared, DOUBT)
    if _has(draft, WASHING) and (draft.kind in SOFT_KINDS or draft.shared):
        name = normal(draft.name)
        hall = draft.kind == "hall" and not MUD.search(name)  # its closet's front was not recognised
        part = hall or (draft.kind == "closet" and WALK_IN.search(name))
        draft.become("laundry", "a washer or dryer stands in it", DOUBT if part else TOLD)
    doubt = draft.tag.meaning.doubt if draft.tag is not None and draft.tag.meaning is not None else None
    if doubt in (PANTRY, WINE) and (_has(draft, BASIN_KINDS) or "countertop" in draft.holds):
        draft.become("food area", f"a {'pantry' if doubt == PANTRY else 'wine room'} with a sink or a counter", 0.8)
