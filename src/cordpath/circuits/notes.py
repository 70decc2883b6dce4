"""General notes that claim GFCI protection, and what becomes of the outlets that they speak of.

Terms: *claim*, a note such as ``ALL RECEPTACLES WITHIN 6' OF WATER SHALL BE GFCI PROTECTED``: it promises, and
shows nothing at any outlet.  *Reach* of a claim: the kinds of rooms that it names, water, or everything that
is required.
A note that names a place which is not understood claims nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from cordpath.circuits.panels.general import named_circuits
from cordpath.circuits.panels.words import Text, lines, readings
from cordpath.circuits.questions import asked
from cordpath.circuits.tags import readings as tag_readings
from cordpath.geometry import in_box
from cordpath.model import BASEMENT, Answer, Finding, Policy, Reading, Room, RoomKind, Sheet

MOST_SAID = 160  # characters of a note that are quoted
_GFCI = re.compile(
    r"(?<![A-Z])(?:GFCI|GFI|G\.F\.C\.I\.?|G\.F\.I\.?)(?![A-Z])|GROUND[- ]FAULT|DUAL[- ]FUNCTION"
    r"|\bDF (?:CIRCUIT )?(?:BREAKERS?|BKRS?|BRKRS?|C/?BS?)\b"
)
_WHAT = re.compile(
    r"RECEPT|\bRECS?\b(?!\.? R(?:OO)?M)|OUTLETS|\bDEVICES\b|\bPLUGS\b|\bBREAKERS?\b"
    r"|\b(?:ANY|EACH|EVERY)\b.*\bOUTLET\b|\bPROTECTION (?:AT|IN|FOR|TO) (?:ALL|EACH|EVERY|ANY)\b"
)
# ALL BATH RECEPTACLES GFCI, BATH GFCI BY BREAKER: notes do without a verb.
_MUST = re.compile(
    r"\b(?:SHALL|MUST|TO BE|WILL BE|ARE|PROVIDE|FURNISH|INSTALL|PROTECT|REQUIRED|REQ'?D|PER|TO HAVE|ALL|EACH|EVERY"
    r"|BY (?:CIRCUIT )?BREAKERS?)\b"
)
# BATH RECEPTS ON GFCI, TYP.: of a note that names a room, many devices or such a word are enough.
_OF_ROOM = re.compile(
    r"\b(?:RECEPTACLES|RECEPTS|RECEPS|OUTLETS|DEVICES|PLUGS|PROTECTED|EXCEPT\w*|TYP(?:ICAL)?|U\.?N\.?O)\b"
)
# Words with a full stop of their own
_SHORT = "RECEPTS|RECEPT|RECEP|RECS|REC|TYP|EXT|BSMT|GAR|KIT|LAV|RM|CKTS|CKT|PROT|EQUIP"
_SENTENCES = re.compile(
    r"(?<=[A-Z)])(?<!\.[A-Z])"  # no full stop of N.E.C. and G.F.I.
    + "".join(rf"(?<!\b{word})" for word in _SHORT.split("|"))
    + r"\.\s+(?!AND\b|OR\b)(?=[A-Z])|;\s"
)
_NOT = re.compile(
    r"\b(?:NOT|NO|NON|EXISTING|DELETE|REMOVE|THIS|THESE|OMIT\w*|OPTION\w*|ALTERNATE|FUTURE|WAIVE\w*|EXEMPT\w*"
    r"|IN LIEU|INSTEAD)\b"
)
# What leaves a note one of everything: ALL RECEPTACLES IN THIS DWELLING UNIT.  REPLACE EXISTING has new ones.
_WHOLE = re.compile(
    r"\b(?:IN|OF|ON|WITHIN|FOR|THROUGHOUT)(?: THE| THIS| EACH| ALL)* (?:DWELLINGS?|HOUSE|HOME|RESIDENCE|BUILDING"
    r"|UNITS?|SHEET|DRAWING|PLAN|PROJECT)(?: UNITS?)?\b(?! [A-Z]\b)|(?<=\bREPLACE )EXISTING\b"
    r"|\b(?:AT|FOR|OF|ON)(?= (?:ALL|ANY|EACH|EVERY) (?:RECEPT\w*|OUTLETS?|PLUGS?|DEVICES?)\b)"
)
# Of other places: a note without a room that is known claims nothing.
_OTHER = re.compile(r"\b(?:POOLS?|SPAS?|HOT TUBS?|ROOF\w*|ELEVATORS?)\b")
# GFCI RECEPTACLES SHALL BE WHITE, TEST ALL GFCI DEVICES: of those that are drawn as such, and of no others.
_OF_THOSE = re.compile(
    r"(?:\d{1,2} )?(?:(?:ALL|EACH|EVERY|TEST|LABEL|VERIFY|LOCATE|MOUNT|IDENTIFY) )*(?:GFCI|GFI)[- ](?:TYPE )?"
    r"(?:(?:RECEPT\w*|OUTLETS?|DEVICES?)\b.*\b(?:SHALL|MUST|ARE|WILL|TO|PRIOR)\b"
    r"|BREAKERS?\b.*\b(?:TESTED|LABEL\w*|MARKED|IDENTIFIED)\b)|.*\bWHERE (?:INDICATED|SHOWN|NOTED)\b"
    r"|(?:TEST|LABEL|VERIFY|LOCATE|MOUNT|IDENTIFY) (?:(?:ALL|EACH|EVERY) )?(?:GFCI|GFI)[- ]"
    r"(?:RECEPT\w*|OUTLETS?|DEVICES?|BREAKERS?)\b"
)
_START = re.compile(r"\(?(?:\d{1,2}|[A-Z])[.):]\s*|[•\-*]\s+")
# SHEET NOTES and PLAN NOTES are as often general notes.
_KEYED = re.compile(r"\bKEY(?:ED)?\b|\bKEYNOTES?\b|\b(?:FLAG|FLAGGED|CODED|TAGGED|HEXAGON) NOTES\b|\bBY SYMBOL\b")
_EACH = re.compile(r"\b(?:ALL|EACH|EVERY|ANY)\b|\bTYP(?:ICAL)?\b")
_CODE = re.compile(
    r"\b(?:CODE|NEC|N\.E\.C|NFPA ?70|ARTICLE 210|210\.8|AS REQ\w*|WHERE (?:REQUIRED|APPLICABLE))\b"
    r"|\bREQUIRED (?:BY|PER)\b|\bPER\b.*\bCODE\b"
)
_WATER = re.compile(
    r"\b(?:WATER|WET (?:AREA|ROOM|WALL)S?|PLUMBING FIXTURES?|SINKS?|WET BARS?|LAVATOR(?:Y|IES)|BASINS?|BATHTUBS?"
    r"|TUBS?|SHOWERS?)\b"
)
_PLACE = re.compile(
    r"\b(?:IN|AT|WITHIN|NEAR|ABOVE|BELOW|ALONG|SERVING|INSIDE|(?:OF|ON)(?! (?:A )?G\.?F)|FOR|ADJACENT|BEHIND)\b"
)
_EXCEPT = re.compile(r",?\s*\b(?:EXCEPT(?:ING|IONS?)?|EXCLUDING|OTHER THAN|BUT NOT)\b:?\s*")
_OPENER = re.compile(r"\bGARAGE DOOR(?: OP\w*)?")  # an appliance, and no garage
_COUNTER = re.compile(r"\bCOUNTER")
LEAST_ALIKE = 3  # letters of an appliance's name that a note shortens it to at least: REF for refrigerator
_ROOMS: tuple[tuple[str, tuple[RoomKind, ...]], ...] = (
    (r"\bBATH|\bPOWDER|\bTOILET|\bREST ?ROOM", ("bathroom",)),
    (r"\bKITCHEN|\bCOUNTER|\bKIT\b", ("kitchen", "food area")),
    (r"\bGARAGE|\bACCESSORY|\bCARPORT|\bGAR\b", ("garage", "accessory building")),
    (r"\bOUTDOOR|\bEXTERIOR|\bOUTSIDE|\bPATIO|\bDECK|\bWEATHERPROOF|\bPORCH|\bEXT\b", ("outdoors",)),
    (rf"\b{BASEMENT}S?\b|\bLOWER LEVEL\b", ("basement",)),
    (r"\bCRAWL", ("crawl space",)),
    (r"\bLAUNDRY|\bUTILITY", ("laundry", "utility")),
    (r"\bDAMP|\bWET LOC", ("damp or wet",)),
)
# DISHWASHER RECEPTACLE SHALL BE GFCI speaks of one outlet, in a room that has the appliance; common practice.
_COOKING: frozenset[str] = frozenset({"kitchen", "food area"})
_WASHING: frozenset[str] = frozenset(
    {"laundry", "utility", "closet", "bathroom", "garage", "basement", "hall", "kitchen"}
)
_APPLIANCES: tuple[tuple[str, str, frozenset[str]], ...] = (
    (r"DISH ?WASHER", "dishwasher", _COOKING), (r"DISPOS(?:ER|AL)", "disposer", _COOKING),
    (r"REFRIGERATOR", "refrigerator", _COOKING), (r"RANGE", "range", _COOKING),
    (r"MICROWAVE", "microwave", _COOKING), (r"WASH(?:ER|ING MACHINE)", "washer", _WASHING),
    (r"DRYER", "dryer", _WASHING),
)  # fmt: skip
_ANY_APPLIANCE = rf"\b(?:{'|'.join(pattern for pattern, _, _ in _APPLIANCES)})"
_OF_APPLIANCE = re.compile(rf"{_ANY_APPLIANCE} (?:RECEPT\w*|OUTLETS?|CIRCUITS?)\b")
_OUTLETS = re.compile(r"RECEPT|OUTLETS?\b|\bPLUGS?\b|\bDEVICES?\b|\bCIRCUITS?\b")
_BY_WATER: frozenset[str] = frozenset({"bathroom", "kitchen", "food area", "laundry", "utility"})


@dataclass(frozen=True)
class Claim:
    """A note as written, the sheet it stands on, and its reach; ``but``: what it leaves out, in its words."""

    text: str
    sheet: str
    rooms: frozenset[str]
    water: bool
    everywhere: bool
    counter: bool = False
    but: str = ""
    stands: str = "a general note on"
    room: Room | None = None  # it speaks of this one only
    circuits: frozenset[str] = frozenset()  # it speaks of these only
    appliances: frozenset[str] = frozenset()  # it speaks of the outlets of these only

    def reaches(self, finding: Finding) -> bool:
        """Does it speak of the outlet of a finding that asks for protection?"""
        if self.room is not None and (finding.room is None or not _same(self.room, finding.room)):
            return False
        own = _numbers(finding.protection.circuit or "")
        if self.circuits and (own or not self.rooms):
            return not self.circuits.isdisjoint(own)
        kind = finding.room.kind if finding.room is not None else "unknown"
        if self.appliances and not _may_serve(finding, self.appliances):
            return False
        near = any(r.to is not None or r.distance_ft is not None for r in finding.requirements)
        if _excepted(self.but, kind, str(finding.outlet.symbol.fact("serves") or "")):
            return False
        if self.counter and not near and finding.outlet.standing.at_counter is Answer.NO:
            return False
        return self.everywhere or kind in self.rooms or (self.water and (near or kind in _BY_WATER))


def _may_serve(finding: Finding, appliances: frozenset[str]) -> bool:
    """May an outlet serve one of the appliances, by its label or, without one, by its room?"""
    served = str(finding.outlet.symbol.fact("serves") or "").lower()
    if served:
        return served in appliances or all(served != name for _, name, _ in _APPLIANCES)
    kind = finding.room.kind if finding.room is not None else "unknown"
    return kind == "unknown" or any(name in appliances and kind in rooms for _, name, rooms in _APPLIANCES)


def _numbers(circuit: str) -> frozenset[str]:
    """The circuit numbers of a tag, without the panel's name."""
    return frozenset(number for way in tag_readings(circuit)[:1] for number in way.numbers)


def _same(one: Room, two: Room) -> bool:
    return (one.view, one.id) == (two.view, two.id)


def _excepted(but: str, kind: str, serves: str) -> bool:
    """Does a note leave out the room's kind, or what the outlet serves?"""
    but = _OPENER.sub("OPENER", but)
    if any(kind in kinds for pattern, kinds in _ROOMS if re.search(pattern, but)):
        return True
    wanted = serves.upper().split()
    words = re.findall(rf"[A-Z]{{{LEAST_ALIKE},}}", but)
    return any(word.startswith(each) or each.startswith(word) for each in wanted for word in words)


def claims(readings: Iterable[Reading]) -> tuple[Claim, ...]:
    """Claims of all sheets, in order, each text once."""
    read = tuple(readings)
    rows = tuple(row.text for reading in read for panel in reading.panels for row in panel.rows)
    found = [claim for reading in read for claim in sheet_claims(reading.sheet, rows)]
    return tuple({claim.text: claim for claim in reversed(found)}.values())[::-1]


def sheet_claims(sheet: Sheet, rows: tuple[str, ...] = ()) -> tuple[Claim, ...]:
    """Claims in the notes of a sheet.  ``rows``: of panel schedules, with the notes that they have the keys of;
    these speak of their breakers unless they say more."""
    label = sheet.number or f"page {sheet.page}"
    made = (
        claim_of(text, label, keyed or any(f": {text}" in row for row in rows)) for text, keyed in _notes(sheet)
    )
    return tuple(claim for claim in made if claim is not None)


def claim_of(text: str, sheet: str, keyed: bool = False, of_room: bool = False) -> Claim | None:
    """What a note, in capitals, claims; None where it claims nothing.

    ``keyed``: it stands in a list of keyed notes, and speaks of the outlets beside its key unless it says more;
    ``of_room``: it said that it is of the room that it stands in.
    """
    made = (_claim(said, sheet, keyed, of_room) for said in filter(None, _SENTENCES.split(text)))
    return next((claim for claim in made if claim is not None), None)


def _claim(said: str, sheet: str, keyed: bool, of_room: bool) -> Claim | None:
    """What a sentence of a note claims."""
    what, but = (*_EXCEPT.split(_WHOLE.sub(" ", said), maxsplit=1), "")[:2]
    rooms = frozenset(kind for pattern, kinds in _ROOMS if re.search(pattern, what) for kind in kinds)
    if not _claims(said, of_room or bool(rooms)):
        return None
    water, everywhere = bool(_WATER.search(what)), bool(_CODE.search(what))
    circuits = frozenset(named_circuits(what))
    if not (rooms or water or everywhere):
        everywhere = not (_PLACE.search(what) or _OTHER.search(what) or _OF_THOSE.match(what))
    everywhere = everywhere and not (keyed and not _EACH.search(said))
    if not (rooms or water or everywhere or circuits):
        return None
    everywhere = everywhere and not rooms
    of = _only_of(said, what) if everywhere else frozenset()
    counter = bool(_COUNTER.search(what)) and not water
    return Claim(_quoted(said), sheet, rooms, water, everywhere, counter, but, circuits=circuits, appliances=of)


def _only_of(said: str, what: str) -> frozenset[str]:
    """The appliances of whose one outlet alone a sentence speaks, which names no place."""
    alone = _OF_APPLIANCE.search(what) and len(_OUTLETS.findall(what)) == 1
    if not alone or _EACH.search(said) or _CODE.search(what):
        return frozenset()
    return frozenset(name for pattern, name, _ in _APPLIANCES if re.search(rf"\b{pattern}", what))


def _claims(said: str, of_room: bool) -> bool:
    """Does a sentence say that there shall be protection?  ``of_room``: it names a room."""
    must = bool(_MUST.search(said) or named_circuits(said))
    must = must or (of_room and bool(_OF_ROOM.search(said) or _GFCI.match(said)))
    of_outlets = _WHAT.search(said) or _CODE.search(said) or (of_room and _GFCI.match(said))
    return bool(_GFCI.search(said) and of_outlets and must) and not _NOT.search(_WHOLE.sub(" ", said))


def _quoted(said: str) -> str:
    quote = said.strip(" .")
    return quote if len(quote) <= MOST_SAID else quote[: MOST_SAID - 1].rsplit(" ", 1)[0] + "…"


def _notes(sheet: Sheet) -> list[tuple[str, bool]]:
    """Texts of the notes, their running-on lines joined, and whether they stand in a list of keyed notes."""
    level = next((reading for reading in readings(sheet) if reading.turn == 0), None)
    if level is None:
        return []
    found: list[tuple[str, bool]] = []
    for region in sheet.regions:
        if region.kind != "notes":
            continue
        inside = [w for w in level.words if in_box((w.x, w.y), region.box)]
        keyed = bool(_KEYED.search(region.title.upper()))
        found += [(text, keyed) for text in _joined([_said(line) for line in lines(inside)])]
    return found


def _said(line: list[Text]) -> str:
    return " ".join(word.text for word in line)


def _joined(rows: list[str]) -> list[str]:
    """Rows by note: a row that begins with a number or a dot is a new one; without any, every row is its own."""
    if not any(_START.match(row) for row in rows):
        return rows
    notes: list[str] = []
    for row in rows:
        if _START.match(row) or not notes:
            notes.append(_START.sub("", row, count=1))
        else:
            notes[-1] += f" {row}"
    return notes


def claimed(findings: tuple[Finding, ...], told: tuple[Claim, ...], policy: Policy) -> tuple[Finding, ...]:
    """Missing protection that a general note claims: a question, or by the policy still missing with a remark."""
    return tuple(_one(finding, told, policy) for finding in findings)


def _one(finding: Finding, told: tuple[Claim, ...], policy: Policy) -> Finding:
    claim = next((c for c in told if c.reaches(finding)), None) if finding.verdict == "missing" else None
    if claim is None:
        return finding
    quote = f"{claim.stands} sheet {claim.sheet} claims protection: '{claim.text}'"
    if policy.general_note == "missing":
        said = f"{_sentence(quote)}, which by the policy in force counts for nothing at an outlet."
        return replace(finding, reasons=(*finding.reasons, said))
    return asked(finding, quote, f"{_sentence(quote)}; nothing is shown at the outlet: show how it is protected.")


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:]
