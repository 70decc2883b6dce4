"""Notes beside the lists of a sheet that claim GFCI protection: ALL OUTLETS IN THIS ROOM GFCI PROTECTED.

They are claims as those of the general notes, and show nothing at any outlet. In a room, one that names no kind of
place speaks of that room, unless it is of breakers; so does GFI TYP., at an outlet or by itself. In the yard,
outside the plans, or behind a gap from the other notes under a schedule it is a general note. What speaks of one
device only is a label, and no claim.

Terms: *block*, the lines of one text, one under the other.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np
import shapely

from cordpath.circuits.notes import Claim, claim_of, claims
from cordpath.circuits.panels.marks import speaks_of_gfci
from cordpath.circuits.panels.panels import table_boxes
from cordpath.circuits.panels.words import Reading as Level
from cordpath.circuits.panels.words import Text, joined, lines, phrases, readings
from cordpath.geometry import in_box
from cordpath.model import Point, Reading, Room, Sheet

STEP = 2.0  # text sizes from one line of a block to the next
ALIKE = 1.15  # ratio of the text sizes of one block
LINES = 5  # of a block above, and below, the line that speaks of ground faults
SIGN = 2.75  # text sizes between words with a dash or a bracket between, in letters of one width
WIDE = 60.0  # text sizes to either side that are looked at: a line of a note in a room is shorter
_FREE = "a note on"
_ENTRY = re.compile(r"(?:^|\s)(?:\(?\d{1,2}[.)]|\*+|[•-])\s+")
_HERE = re.compile(r"\b(?:(?:IN|OF|WITHIN|AT) )?(?:THIS|THESE) (?:ROOM|RM|AREA|SPACE)S?\b")
_MANY = re.compile(
    r"\b(?:ALL|EACH|EVERY|RECEPTACLES|RECEPTS|RECEPS|OUTLETS|PLUGS|DEVICES|BREAKERS|BKRS|CIRCUITS|CKTS)\b"
)
_MARKS = re.compile(r"[ (]*(?:(?:GFC?I|WP|WR|TYP|TYPICAL|ALL|EACH|OF|U\.?N\.?O|\(\d\)|\d|\((?:E|N)\))[ .:,/()-]*)+")
_TYPICAL = re.compile(r"\b(?:TYP|TYPICAL|ALL|EACH)\b|\(\d\)|\bOF \d")
_OF_PANELS = re.compile(r"\b(?:BREAKERS?|BKRS?|CIRCUITS?|CKTS?|PANEL(?:BOARD)?S?)\b")


def plan_claims(reading: Reading) -> tuple[Claim, ...]:
    """Claims of the notes in the rooms of a sheet; what stands in its lists, legends and tables is none of them."""
    return tuple(claim for claim in _all_claims(reading) if claim.stands != _FREE)


def file_claims(readings: Iterable[Reading]) -> tuple[Claim, ...]:
    """Claims of the general notes on all sheets of a file, then of notes by themselves; each text once."""
    read = tuple(readings)
    free = [claim for reading in read for claim in _all_claims(reading) if claim.stands == _FREE]
    return tuple({claim.text: claim for claim in (*free[::-1], *claims(read)[::-1])}.values())[::-1]


def _all_claims(reading: Reading) -> Iterator[Claim]:
    label = reading.sheet.number or f"page {reading.sheet.page}"
    rooms = [room for plan in reading.plans for room in plan.rooms]
    for block in _blocks(reading.sheet):
        at = shapely.Point(block.x, block.y)
        room = next((room for room in rooms if room.polygon.contains(at)), None)
        if room is not None and _is_of_several(block.text):
            yield Claim(block.text, label, frozenset(), False, True, stands=f"a note in {room.name} on", room=room)
            continue
        for said in _ENTRY.split(block.text):
            if _MANY.search(said):
                yield from _claims(said, label, room)


def _is_of_several(text: str) -> bool:
    """Is a text a mark that is said to be of more than one outlet, and nothing else?"""
    return _TYPICAL.search(text) is not None and _MARKS.fullmatch(_HERE.sub(" ", text)) is not None


def _claims(said: str, label: str, room: Room | None) -> Iterator[Claim]:
    """What a note claims that stands in a room, or in none."""
    here = _HERE.search(said) is not None
    free = room is None or (not here and (room.kind == "outdoors" or _OF_PANELS.search(said) is not None))
    text = _HERE.sub(" ", said)
    # It may be the note of a key in a schedule, which speaks of one row.
    claim = claim_of(text, label, keyed=True) if free else None
    if claim is None and room is not None:
        claim, free = claim_of(text, label, of_room=here), False
    if claim is None:
        return
    claim = replace(claim, text=" ".join(claim.text.split()), stands=_FREE)
    if not free and room is not None:
        claim = replace(claim, stands=f"a note in {room.name} on")
        claim = replace(claim, room=room) if claim.everywhere else claim
    yield claim


def _blocks(sheet: Sheet) -> Iterator[Text]:
    """The blocks of level text beside lists and tables that speak of ground faults, each once."""
    if not any((_MANY.fullmatch(text := word.text.upper().strip(".,:")) or _TYPICAL.search(text))
               and _free(word.at, sheet) for word in sheet.words):  # fmt: skip
        return
    level = next((each for each in readings(sheet) if each.turn == 0), None)
    tables = [] if level is None else table_boxes(level)
    words = [] if level is None else [
        w for w in level.words
        if not w.struck and _free((w.x, w.y), sheet) and not any(in_box((w.x, w.y), box) for box in tables)
    ]  # fmt: skip
    at = np.array([(word.x, word.y) for word in words]).reshape(-1, 2)
    done: set[Text] = set()
    for word in words:
        if level is None or not ("FAULT" in word.text or speaks_of_gfci(word.text)):
            continue
        reach = WIDE * word.size, STEP * (LINES + 1) * word.size
        near = [words[k] for k in np.flatnonzero((np.abs(at - (word.x, word.y)) <= reach).all(axis=1)).tolist()]
        for block in dict.fromkeys(_block(word, near, level, over_signs) for over_signs in (False, True)):
            if block not in done:
                done.add(block)
                yield block


def _free(at: Point, sheet: Sheet) -> bool:
    """Is a place in a drawing, and in no list, legend or table?"""
    return not any(in_box(at, region.box) for region in sheet.regions)


def _block(word: Text, near: list[Text], level: Level, over_signs: bool) -> Text:
    """The lines around a word that run on from each other."""
    told = (phrases(line, level) for line in lines(near))
    rows = [part for line in told for part in (_over_signs(line) if over_signs else line) if _alike(part, word)]
    own = next((k for k, part in enumerate(rows) if abs(part.y - word.y) < 0.5 * word.size
                and part.x0 <= word.x <= part.x1), None)  # fmt: skip
    if own is None:
        return word
    block = rows[own]
    for part in reversed(rows[:own]):
        if _runs_on(part, block):
            block = joined(part, block)
    for part in rows[own + 1 :]:
        if _runs_on(block, part):
            block = joined(block, part)
    return block


def _over_signs(line: list[Text]) -> list[Text]:
    """The phrases of a line, plotted ones joined where a sign that was not read may stand between: GFI - TYP."""
    found: list[Text] = []
    for part in line:
        if found and part.plotted and found[-1].plotted and part.x0 - found[-1].x1 <= SIGN * part.size:
            part = joined(found.pop(), part)
        found.append(part)
    return found


def _alike(one: Text, two: Text) -> bool:
    return max(one.size, two.size) <= ALIKE * min(one.size, two.size)


def _runs_on(upper: Text, lower: Text) -> bool:
    """Does a line stand close below a block, and not beside it?"""
    gap = lower.y0 - upper.y1
    over = min(upper.x1, lower.x1) - max(upper.x0, lower.x0)
    return -0.5 * lower.size < gap < (STEP - 1.0) * lower.size and over > 0
