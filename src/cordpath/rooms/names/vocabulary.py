"""Names of rooms and the kind of place that they mean.

Terms: *core*, the word or words that decide (BATH in HALL BATH 2); *qualifier*, words that may stand with a core
and change nothing (MASTER, FRONT, 2).  *Exact* names count only as the whole tag, because inside longer text
they mean other things (CL centre line, DR door).  *Basin test*: the name is a bathroom only with a basin in it.

Where a word may mean two kinds, the one that asks for protection is taken and the doubt is told.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from cordpath.model import RoomEntry, RoomKind
from cordpath.rooms.names.languages import FOREIGN, without_accents
from cordpath.rooms.names.words import (
    CORES,
    DEVICES,
    EXACT,
    PANTRY,
    PLACES,
    QUALIFIERS,
    STOP,
    STOP_WORDS,
    STRICT,
    WEAK,
    Row,
)
from cordpath.units import plain


@dataclass(frozen=True)
class Meaning:
    """What a tag says.  ``sure`` False: a known core among words that are not known."""

    kind: RoomKind
    finished: bool | None = None
    basin_test: bool = False
    doubt: str | None = None
    sure: bool = True
    stem: bool = False  # words stand before the core
    also: tuple[RoomKind, ...] = ()  # other places that the name tells and whose outlets are protected


_CORES = tuple((re.compile(row.pattern), row) for row in CORES)
_EXACT = {name: Meaning(kind, doubt=PANTRY if name == "PAN" else None) for name, kind in EXACT.items()}
_PLACES = tuple((kind, re.compile(words), plain_parts) for kind, words, plain_parts in PLACES)
_HABITABLE: tuple[RoomKind, ...] = ("bedroom", "living", "dining")
# Kinds whose outlets not every edition protects: what else the name tells (KITCHEN/LAUNDRY, PATIO BAR) may do so.
_PARTLY: frozenset[RoomKind] = frozenset({"kitchen", "food area", "damp or wet"})
# Places that a word before a core may name though no list of places has them (CRAWL STORAGE), with the kinds of
# parts that are not in them (COURTYARD BEDROOM, SAUNA DRESSING).
_IN_THEMSELVES: dict[RoomKind, tuple[RoomKind, ...]] = {
    "crawl space": (),
    "basement": ("hall",),
    "boathouse": ("hall",),
    "garage": ("hall",),
    "accessory building": ("hall", "bedroom"),
    "damp or wet": ("hall", "closet"),
    "outdoors": ("hall", "bedroom", "living", "dining"),
}
# PREP KITCHEN: with provisions for cooking in it, which not every plan draws, it is a kitchen (NEC Article 100).
_COOKED_IN = re.compile(r"\b(?:KIT|KITCHEN|KITCHENETTE|KETTE)\b")
# What stands in garages and basements as often as in a closet of its own: alone in a space it does not name it.
_EQUIPMENT = re.compile(r"W ?H|(?:WTR|WATER) (?:HTR|HEATER)|FURN(?:ACE)?|AHU")
_QUALIFIERS = re.compile(QUALIFIERS)
# What is done to a room, in brackets after its name: KITCHEN (REMODELED), BEDROOM (N).
_WORKED = re.compile(r"\((?:RE-?MODEL(?:ED)?|RENOVATED|EXPANDED|ENLARGED|ADDITION|NEW|N|EXISTING|EXIST|EXG|EX|E)\)")
_WEAK = re.compile(WEAK)
_DEVICE = re.compile(DEVICES)
_STOP = re.compile(rf"(?:{STOP}|.*\b(?:{STOP_WORDS})\b.*)")
# BATH 2, BEDROOM NO 3, BATH B, BATH-2
_NUMBERED = re.compile(r"(?: (?:NO )?\d+[A-Z]?|(?<=[A-Z]{3})-?\d{1,2}| [A-F]| I{1,3})+$")
# What stands after a name in its line: 9'-0" CLG. HT., VAULTED, (CARPET), 2-STORY.  Common practice, no source.
_CEILINGS = r"VAULTED|VAULT|TRAY|COFFERED|CATHEDRAL|BARREL|SLOPED"
_FLOORS = r"CARPET|TILE|TILED|HARDWOOD|HDWD|WOOD|OAK|VINYL|LVT|LVP|LAMINATE|CONC|CONCRETE|STONE|MARBLE|SLATE"
_FINISHES = re.compile(
    rf"(?!(?:{_CEILINGS}|{_FLOORS}|[\d-]+) )(.*?[A-Z0-9])"
    rf"(?: (?:\d+(?:-\d+)? )?(?:(?:{_CEILINGS}) )*(?:CLG|CEILING)(?: (?:HT|HGT|HEIGHT))?"
    rf"| (?:{_CEILINGS}|COND|CONDITIONED)| (?:{_FLOORS})(?: FLOOR| FLR)?| (?:2|TWO) STORY)+"
)
# EMMA'S BEDROOM: whose such a room is changes nothing.
_WHOSE = re.compile(r"\b[A-Z]+(?:'S|S')(?= (?:BED|BEDROOM|BEDRM|BDRM|BR|SUITE|OFFICE|STUDY|W\.?I\.?C)\b)")
_UNFINISHED = re.compile(r"\b(?:UNFIN|UNFINISHED|UNF)\b")
_FINISHED = re.compile(r"\b(?:FIN|FINISHED)\b")


def normal(text: str) -> str:
    """Upper case, one kind of quote, no dots, commas, quotes, or numbers of a room; single spaces."""
    text = plain(text).replace("&", " AND ").replace("+", " AND ")
    text = _WORKED.sub(" ", text)
    text = re.sub(r"\bW\.?C\.?(?=\s|$)", "WC", text)
    text = re.sub(r"\bW\.?[ /-]?I\.?[ /-]?C\.?(?=\s|$)", "WIC", text)
    text = re.sub(r"\bW[/-]I\b", "WI", re.sub(r"\bA/V\b", "AV", _WHOSE.sub("OWNERS", text)))
    text = re.sub(r"[.,'\"#:;()\[\]]", " " if "#" in text else "", text)
    text = re.sub(r"(?<=[A-Z0-9])-(?=[A-Z])", " ", text)
    text = re.sub(r"\s*-\s*$|^\s*-\s*", "", text)
    text = re.sub(r"\s+", " ", text).strip()
    finished = _FINISHES.fullmatch(text)
    return text if finished is None else finished[1]


def is_stop(text: str) -> bool:
    """Text that names no room, whatever words are in it."""
    name = normal(text)
    return not re.search(r"[A-Z]", name) or bool(_STOP.fullmatch(name)) or len(name) > 40


def meaning(text: str, entries: tuple[RoomEntry, ...] = ()) -> Meaning | None:
    """Kind of a room's name: the user's patterns first, then the built-in words; None for an unknown name."""
    for entry in entries:
        if re.fullmatch(entry.pattern, text.strip(), re.IGNORECASE):
            return Meaning(entry.kind, entry.finished)
    head, comma, tail = text.partition(", ")  # BATH, MASTER
    name = normal(f"{tail} {head}" if comma and re.fullmatch(r"[A-Za-z' .-]+", tail) else text)
    if _DEVICE.fullmatch(name):
        return None
    found = _whole(re.sub(r" OVER (?:THE )?[A-Z ]+$", "", name))  # LOFT OVER GARAGE is no garage
    if found is not None and found.sure and not found.stem:
        return found
    if is_stop(text):
        return None
    head, dash, rest = name.partition(" - ")
    if dash and (first := _whole(head)) is not None:
        return _part_of_a_place(rest.split(" "), first)  # STORAGE - GARAGE
    if found is not None and found.sure:
        return found
    return _several(name) or found


def is_weak(text: str) -> bool:
    """A name that beside another one in the same space is only a label of a part of it."""
    return bool(_WEAK.fullmatch(normal(text)))


def _whole(name: str) -> Meaning | None:
    if name in _EXACT:
        return _EXACT[name]
    bare = _NUMBERED.sub("", name)
    if bare in _EXACT:
        return _EXACT[bare]
    if bare in FOREIGN or (bare := without_accents(bare)) in FOREIGN:
        return Meaning(FOREIGN[bare])
    words = bare.split(" ")
    for skip in range(min(len(words), 5)):  # the longest core at the end of the name
        rest = " ".join(words[skip:])
        row = _core(rest)
        if row is None:
            continue
        known = all(map(_known, words[:skip]))
        if not known and skip > 2:
            return None
        found = Meaning(row.kind, _finish(name, row), row.basin_test, row.doubt, known, skip > 0)
        found = _besides(found, "kitchen") if found.kind == "food area" and _COOKED_IN.search(rest) else found
        found = found if known else _besides(found, "outdoors")  # GRILL KITCHEN, LANI BAR
        found = replace(found, also=(*found.also, "garage", "basement")) if _EQUIPMENT.fullmatch(name) else found
        return _part_of_a_place(words[:skip], found)
    return None


def _core(words: str) -> Row | None:
    return next((row for pattern, row in _CORES if pattern.fullmatch(words)), None)


def _known(word: str) -> bool:
    """Is all told that a word before a core may change?  Of places with rules of their own ``_places`` tells it."""
    if _QUALIFIERS.fullmatch(word):
        return True
    row = _core(word)
    return row is not None and (row.kind in _IN_THEMSELVES or (row.kind != "utility" and not protects(row.kind)))


def _part_of_a_place(words: list[str], part: Meaning) -> Meaning:
    """GARAGE STORAGE, KITCHEN DINING: the place asks for protection, the use of its part alone would not.

    A part of a basement is basement whatever it is used for; elsewhere the name may also mean a room beside the
    place, and that is told.
    """
    for kind, plain_parts in _places(words):
        if protects(part.kind):
            part = _besides(part, kind)
            continue
        if part.kind in plain_parts:
            continue
        doubt = f"the name tells several uses ({', '.join(sorted((kind, part.kind)))})"
        if kind == "basement" and part.kind != "hall":
            finished = True if part.finished is None and part.kind in _HABITABLE else part.finished
            return Meaning(kind, finished, sure=part.sure, stem=True)
        return Meaning(kind, part.finished, doubt=doubt, sure=part.sure, stem=True)
    return part


def _places(words: list[str]) -> Iterator[tuple[RoomKind, tuple[RoomKind, ...]]]:
    """The places that words before a core name, and the kinds of parts that are not in them."""
    for word in words:
        known = next(((kind, parts) for kind, pattern, parts in _PLACES if pattern.fullmatch(word)), None)
        if known is None and not _QUALIFIERS.fullmatch(word):
            row = _core(word)
            known = (row.kind, _IN_THEMSELVES[row.kind]) if row is not None and row.kind in _IN_THEMSELVES else None
        if known is not None:
            yield known


def protects(kind: RoomKind) -> bool:
    """Is it a kind of place whose outlets some edition protects?"""
    return STRICT.index(kind) < STRICT.index("utility")


def _besides(part: Meaning, *kinds: RoomKind) -> Meaning:
    """PATIO BAR: a kind that some editions protect, in a place that all do."""
    told = tuple(kind for kind in kinds if kind != part.kind and protects(kind) and kind not in part.also)
    below = tuple(kind for kind in told if kind == "basement")
    return replace(part, also=(*part.also, *(told if part.kind in _PARTLY else below)))


def _finish(name: str, row: Row) -> bool | None:
    if row.finished is not None:
        return row.finished
    return False if _UNFINISHED.search(name) else True if _FINISHED.search(name) else None


def _several(name: str) -> Meaning | None:
    """LIVING / DINING, MUD AND LAUNDRY: the use that asks for most decides, and that is told."""
    parts = [p.strip() for p in re.split(r"\s*/\s*|\s+AND\s+|\s+OR\s+", name) if p.strip()]
    if len(parts) < 2:
        return None
    found = [m for p in parts if (m := _whole(p)) is not None]
    if not found or (len(found) < len(parts) and len(parts) > 3):
        return None
    best = min(found, key=lambda m: STRICT.index(m.kind))
    kinds = sorted({m.kind for m in found})
    doubt = f"the name tells several uses ({', '.join(kinds)})" if len(kinds) > 1 else best.doubt
    return _besides(
        Meaning(best.kind, best.finished, best.basin_test, doubt, len(found) == len(parts), True), *kinds
    )
