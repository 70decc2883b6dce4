"""Keyed notes of the plan: a number in a hexagon beside an outlet, and ``3  GFCI TYPE RECEPTACLE`` in a list.

Terms: *heading*, KEYED NOTES or KEYNOTES; *entry*, a line below it that begins with a key, with the lines that run
on from it; *key*, its number or letters.

The same number may be a circuit or another list's, so that a keyed note shows nothing: it makes of missing
protection a question, and clears nothing.  A note with a word of denial, as REPLACE GFCI WITH DUPLEX, makes
a question of protection that is shown.  A key that could not be read in its bubble may be that of any bubble beside
an outlet that was not read either.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from cordpath.circuits.bubbles import UNREAD, with_unread_bubbles
from cordpath.circuits.denials import note_denies
from cordpath.circuits.panels.marks import speaks_of_gfci
from cordpath.circuits.panels.words import Reading, Text, lines, phrases, readings
from cordpath.circuits.questions import asked
from cordpath.geometry import in_box
from cordpath.model import Finding, Protection, Sheet

_HEADING = re.compile(
    r"(?:[A-Z]+ ){0,2}(?:KEYED (?:PLAN |SHEET )?NOTES?|KEY ?NOTES?|NOTES BY SYMBOL"
    r"|(?:SHEET|PLAN|FLAG|FLAGGED|REFERENCE|NUMBERED|CODED|TAGGED|HEXAGON) NOTES)\s*:?"
)
_DEVICE = re.compile(r"\b(?:RECEPT\w*|OUTLETS?|DEVICES?|DUPLEX|PLUGS?)\b")
_ENTRY = re.compile(r"[(\[<]?(?P<key>\d{1,2}|[A-Z]{1,2}|\ufffd)[)\]>.:]?(?:\s+(?P<text>\S.*))?")
BELOW = 4.0  # font sizes from the heading to the first entry
STEP = 4.0  # font sizes between entries
ASIDE = 4.0  # font sizes by which the keys may begin left of the heading
OFF = 1.0  # font sizes by which a key in a frame may stand above or below the middle of its line
BESIDE = 72.0  # pt, 1 in: a key is kept out of the drawing, with a leader (common practice, no source)
AS_NEAR = 1.25  # times as far as to the nearest outlet: the key may be this one's as well
MOST_SAID = 160  # characters of a note that are quoted


@dataclass(frozen=True)
class KeyedNote:
    """An entry that speaks of ground faults or denies a device, and the sheet it stands on."""

    key: str
    text: str
    sheet: str

    @property
    def denies(self) -> bool:
        """May it take back what is shown at the outlet?"""
        return note_denies(self.text.upper())


def keyed_notes(sheets: Iterable[Sheet]) -> tuple[KeyedNote, ...]:
    """Entries of all sheets that speak of ground-fault protection, or have a word of denial about a device."""
    return tuple(
        KeyedNote(key, text[:MOST_SAID], sheet.number or f"page {sheet.page}")
        for sheet in sheets
        for reading in _listed(sheet)
        for heading in lines(list(reading.words))
        for part in phrases(heading, reading)
        if _HEADING.fullmatch(part.text.upper())
        for key, text in _entries(reading, part)
        if speaks_of_gfci(text.upper()) or (note_denies(text.upper()) and _DEVICE.search(text.upper()))
    )


def _listed(sheet: Sheet) -> list[Reading]:
    """The sheet's level text with its unread bubbles, where it may have such a list."""
    level = [reading for reading in readings(sheet) if reading.turn == 0]
    if not any("NOTES" in word.text for reading in level for word in reading.words):
        return []
    return [reading for reading in readings(with_unread_bubbles(sheet)) if reading.turn == 0]


def _entries(reading: Reading, heading: Text) -> list[tuple[str, str]]:
    """Key and text of the entries below a heading, the runs-on joined."""
    low = heading.x0 - ASIDE * heading.size
    found: list[tuple[str, str, float]] = []
    last = heading.y
    for line in _with_keys(lines([w for w in reading.words if w.y > heading.y and w.x0 >= low])):
        if line[0].x0 > heading.x1 + ASIDE * heading.size:
            continue  # beside the list
        size = max(w.size for w in line)
        if line[0].y - last > (STEP if found else BELOW) * max(size, heading.size):
            break
        key, text = _entry(phrases(line, reading))
        if key is not None:
            found.append((key, text, line[0].x0))
        elif found and line[0].x0 > found[-1][2]:
            found[-1] = (found[-1][0], f"{found[-1][1]} {text}", found[-1][2])
        else:
            break
        last = line[0].y
    return [(key, text) for key, text, _ in found]


def _with_keys(rows: list[list[Text]]) -> list[list[Text]]:
    """The rows; a key that stands by itself, a little above or below its line, at the head of the nearest row."""
    alone = [row[0] for row in rows if len(row) == 1 and _is_key(row[0])]
    rest = [row for row in rows if len(row) > 1 or not _is_key(row[0])]
    for key in alone:
        near = [k for k, row in enumerate(rest) if abs(row[0].y - key.y) <= OFF * max(key.size, row[0].size)
                and key.x1 <= row[0].x0 <= key.x1 + ASIDE * row[0].size]  # fmt: skip
        best = min(near, key=lambda k: abs(rest[k][0].y - key.y), default=None)
        if best is not None and not _is_key(rest[best][0]):
            rest[best] = [replace(key, y0=rest[best][0].y0, y1=rest[best][0].y1), *rest[best]]
    return rest


def _is_key(word: Text) -> bool:
    match = _ENTRY.fullmatch(word.text)
    return match is not None and match["text"] is None


def _entry(parts: list[Text]) -> tuple[str | None, str]:
    """The key of a line, None where it has none, and its text."""
    match = _ENTRY.fullmatch(parts[0].text)
    if match is None:
        return None, parts[0].text
    if match["text"]:
        return match["key"], match["text"]
    return (match["key"], parts[1].text) if len(parts) > 1 else (None, parts[0].text)


def by_keyed_notes(
    findings: tuple[Finding, ...], notes: tuple[KeyedNote, ...], sheet: Sheet | None = None
) -> tuple[Finding, ...]:
    """Questions: missing protection beside the key of such a note, and protection that such a note may deny.

    ``sheet``: where the outlets are drawn; a key in a hexagon is no label of theirs and is looked for on it.
    """
    if not notes:
        return findings
    framed = _framed(findings, {note.key for note in notes}, sheet) if sheet is not None else {}
    return tuple(_one(finding, notes, framed.get(k, set())) for k, finding in enumerate(findings))


def _framed(findings: tuple[Finding, ...], keys: set[str], sheet: Sheet) -> dict[int, set[str]]:
    """The keys on the plan by the finding whose outlet they stand next to, or about as near as to the next."""
    found: dict[int, set[str]] = {}
    if UNREAD in keys:
        sheet = with_unread_bubbles(sheet, [finding.outlet.symbol for finding in findings])
    for word in sheet.words:
        key = word.text.strip("()[]<>. ")
        if key not in keys or any(in_box(word.at, region.box) for region in sheet.regions):
            continue
        away = [math.dist(word.at, finding.outlet.symbol.at) for finding in findings]
        nearest = min(away, default=math.inf)
        for k, far in enumerate(away):
            if far <= min(BESIDE, AS_NEAR * nearest):
                found.setdefault(k, set()).add(key)
    return found


def _one(finding: Finding, notes: tuple[KeyedNote, ...], framed: set[str]) -> Finding:
    if finding.verdict not in ("missing", "protected"):
        return finding
    missing = finding.verdict == "missing"
    beside = _keys_beside(finding) | framed
    spoken = (n for n in notes if n.key in beside and (speaks_of_gfci(n.text.upper()) if missing else n.denies))
    note = next(spoken, None)
    if note is None:
        return finding
    key = "mark that was not read" if note.key == UNREAD else note.key
    said = "a keyed note whose key was not read" if note.key == UNREAD else f"keyed note {note.key}"
    quote = f"{said} on sheet {note.sheet} says: '{note.text}'"
    ask = f"is the {key} beside the outlet that note? Label the outlet itself."
    return asked(finding, quote, f"{quote[0].upper()}{quote[1:]}; {ask}", _evidence(finding.protection))


def _keys_beside(finding: Finding) -> set[str]:
    """Texts at the outlet that may be keys: labels of their own, and the numbers beside a mark in one."""
    found = set()
    for label in finding.outlet.symbol.labels:
        if not any(name == "circuit" for name, _ in label.sets):
            found |= {label.text.strip(), *re.findall(r"(?<![\w+-])\d{1,2}(?![\w\"'/-])", label.text)}
    return found


def _evidence(old: Protection) -> tuple[str, ...]:
    return (old.evidence,) if old.evidence else ()
