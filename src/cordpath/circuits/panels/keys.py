"""Keyed notes of panel schedules: ``1`` in a NOTES column, and ``1. PROVIDE GFCI BREAKER`` below the table.

Terms: *key*, the number, letter or sign in the cell.  *Entry*, a line that begins with a key, with the lines that
run on from it.  *Legend*, the entries near one table: below it, or in the same ruled schedule.

A key counts only where the legend has it once, and a note makes a breaker GFCI only where it speaks of the breaker
outright; anything else that speaks of ground faults leaves the row open.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from cordpath.circuits.panels.headings import column, panel_name
from cordpath.circuits.panels.marks import explains_mark, may_take_back, speaks_of_breaker, speaks_of_gfci
from cordpath.circuits.panels.words import Reading, Text, lines, phrases
from cordpath.model import Answer, Box

_ENTRY = re.compile(r"[(\[]?(?P<key>\d{1,2}|[A-Z]{1,2}|\*{1,3}|†|‡)(?P<sign>[)\].:=]| ?[-–=])?\s+(?P<text>\S.*)")
_KEYS = re.compile(r"\d{1,2}|[A-Z]{1,2}|\*{1,3}|†|‡")
_HEADING = re.compile(r"(?:GENERAL |KEY(?:ED)? |PANEL )?(?:NOTES?|LEGENDS?|KEYS?|ABBREVIATIONS?|SYMBOLS?) ?:?")
BELOW = 6.0  # font sizes from the table to the first entry: a heading NOTES: may stand between
STEP = 2.2  # font sizes between the lines of a legend
ASIDE = 4.0  # font sizes by which a legend may begin left of its table
INDENT = 0.5  # font sizes: a line that runs on begins right of the keys

Legend = dict[str, str]


@dataclass(frozen=True)
class Notes:
    """What stands under one table: entries (key, text), and lines without a key."""

    entries: tuple[tuple[str, str], ...]
    loose: tuple[str, ...]

    @property
    def legend(self) -> Legend:
        """The entries by key; keys that come twice are left out."""
        often = [key for key, _ in self.entries]
        return {key: said for key, said in self.entries if often.count(key) == 1}

    @property
    def texts(self) -> tuple[str, ...]:
        """What all of them say."""
        return (*(said for _, said in self.entries), *self.loose)

    def __add__(self, other: Notes) -> Notes:
        """With those under another part of the same schedule."""
        entries, loose = (*self.entries, *other.entries), (*self.loose, *other.loose)
        return Notes(tuple(dict.fromkeys(entries)), tuple(dict.fromkeys(loose)))


def notes_of(reading: Reading, box: Box) -> Notes:
    """The notes below a table that lies in ``box`` (of the turned frame)."""
    x0, _, x1, bottom = box
    below = [
        w for w in reading.words
        if w.y > bottom and x0 - ASIDE * w.size <= w.x0 <= x1
    ]  # fmt: skip
    found: list[tuple[str, str, float]] = []
    loose: list[str] = []
    last = bottom
    for line in lines(below):
        starts = phrases(line, reading)
        size = max(w.size for w in line)
        if line[0].y - last > (BELOW if not found else STEP) * size or _is_of_table(starts):
            break
        text = " ".join(part.text for part in starts)
        match = _ENTRY.fullmatch(text)
        if match and (match["sign"] or not match["key"].isalpha()):
            found.append((match["key"], match["text"], line[0].x0))
        elif found and _HEADING.fullmatch(text):
            loose.append(text)
        elif found and line[0].x0 > found[-1][2] + INDENT * size:
            key, said, at = found[-1]
            found[-1] = (key, f"{said} {text}", at)
        else:
            loose.append(text)
            if found:
                break
        last = line[0].y
    return Notes(tuple((key, said) for key, said, _ in found), tuple(loose))


def _is_of_table(line: list[Text]) -> bool:
    """Does the next table begin with a line: its heading or its headers?"""
    return (
        any(panel_name(part.text) is not None for part in line)
        or sum(column(part.text) is not None for part in line) > 1
    )


def keys_in(cell: str) -> tuple[str, ...]:
    """The keys of a cell such as ``1``, ``(2)``, ``1, 3``; empty for any other text."""
    bare = re.sub(r"\bNOTES?\b|[()\[\].]", " ", cell).strip()
    parts = [part for part in re.split(r"[\s,/&]+", bare) if part]
    return tuple(parts) if parts and all(_KEYS.fullmatch(part) for part in parts) else ()


def looked_up(cell: str, legend: Legend) -> tuple[str, Answer] | None:
    """What the keys of a cell say, and whether they make the breaker GFCI; None where a key is unknown."""
    keys = keys_in(cell)
    if not keys or any(key not in legend for key in keys):
        return None
    answers = [Answer.YES if explains_mark(key, legend[key]) else _gfci(legend[key]) for key in keys]
    said = "; ".join(f"{key}: {legend[key]}" for key in keys)
    if Answer.UNKNOWN in answers:
        return said, Answer.UNKNOWN
    return said, Answer.YES if Answer.YES in answers else Answer.NO


def taken_back(cell: str, legend: Legend) -> str | None:
    """The first key in a cell, alone or beside a mark, whose note may take a GFCI mark of the row back."""
    keys = [part for part in _parts(cell) if part in legend]
    return next((key for key in keys if may_take_back(legend[key], its_own=speaks_of_gfci(key))), None)


def meant_otherwise(cell: str, legend: Legend) -> str | None:
    """The first GFCI mark in a cell that a note explains as something else."""
    own = (part for part in _parts(cell) if part in legend and speaks_of_gfci(part))
    return next((mark for mark in own if may_take_back(legend[mark], its_own=True)), None)


def speaks_in(cell: str, legend: Legend) -> str | None:
    """The first key among other words of a cell whose note speaks of ground faults."""
    return next((part for part in _parts(cell) if part in legend and _gfci(legend[part]) is not Answer.NO), None)


def _parts(cell: str) -> list[str]:
    return re.split(r"[\s,/&()\[\].-]+", cell)


def says_gfci(key: str, legend: Legend) -> bool:
    """Does the note of a key speak of ground faults?"""
    return _gfci(legend[key]) is not Answer.NO


def _gfci(text: str) -> Answer:
    if speaks_of_breaker(text):
        return Answer.YES
    hinted = speaks_of_gfci(text) or re.search(r"GROUND[- ]?FAULT|SEE |REFER|CLASS A", text)
    return Answer.UNKNOWN if hinted else Answer.NO
