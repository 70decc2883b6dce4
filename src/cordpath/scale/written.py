"""Lengths as they are written on a drawing, in feet and inches, in metres, or without a unit.

Terms: *string*, a written length.  *Bare*, without a unit.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from cordpath.geometry import hull
from cordpath.model import Box, Word, lines_of
from cordpath.units import INCHES_PER_METRE, inches, plain

MOST_WORDS = 6  # 4' - 3 3/8" is four words in some writers' files
AROUND = "±~≈()[]<>*+"  # written round a length: about, existing, for reference
SHORTEST_IN, LONGEST_IN = 1.0, 12_000.0  # written lengths outside are no dimensions of a house
# What else than millimetres whole numbers without a unit are, centimetres or inches, and than metres those with
# decimals: feet, in tenths as surveyors write them.  True of whole numbers, else of those with decimals.
OTHER_UNITS = ((10.0, True), (25.4, True), (12.0 / INCHES_PER_METRE, False))
DECIMALS = re.compile(r"\d{1,2}(?:[.,]\d{2}|\.\d{3})")  # 12,345 are millimetres


@dataclass(frozen=True)
class String:
    """A written length: inches, and where it stands."""

    text: str
    length_in: float
    box: Box
    angle: float  # degrees, reading direction
    size: float
    colour: tuple[float, float, float] = (0.0, 0.0, 0.0)
    bare: bool = False  # no unit is written: taken as millimetres


def strings(words: tuple[Word, ...]) -> tuple[String, ...]:
    """The written lengths among the words; numbers without a unit are metric where no length has one."""
    ordered = lines_of(words)
    with_unit = tuple(found for line in ordered for found in _in_line(line, _length))
    if len(with_unit) >= 2:
        return with_unit
    bare = (replace(found, bare=True) for line in ordered for found in _in_line(line, _bare))
    return with_unit + tuple(bare)


def in_other_units(found: tuple[String, ...], off: float, within: float) -> tuple[String, ...]:
    """The strings, those without a unit read in the unit that makes them ``off`` times as long as they were read,
    give or take ``within`` of it; as they are where no unit does."""
    for factor, whole in OTHER_UNITS:
        if abs(factor / off - 1) <= within:
            return tuple(
                replace(string, length_in=factor * string.length_in) if string.bare and _whole(string) == whole
                else string
                for string in found
            )  # fmt: skip
    return found


def _whole(string: String) -> bool:
    return not DECIMALS.fullmatch(plain(string.text.strip(AROUND)))


def _in_line(line: list[Word], read: object) -> Iterator[String]:
    start = 0
    while start < len(line):
        for stop in range(min(start + MOST_WORDS, len(line)), start, -1):
            part = line[start:stop]
            text = " ".join(word.text for word in part)
            length = read(text)  # type: ignore[operator]
            if length is not None:
                box = hull(word.box for word in part)
                yield String(text, length, box, part[0].angle, part[0].size, part[0].colour)
                start = stop - 1
                break
        start += 1


def _length(text: str) -> float | None:
    said = text.strip(AROUND)
    if not said[:1].isdigit() or len(text) > 24:
        return None
    return _sane(inches(said))


def _bare(text: str) -> float | None:
    """Whole numbers are millimetres, and those with two or three decimals metres (common practice, no source)."""
    said = plain(text.strip(AROUND))
    if DECIMALS.fullmatch(said):
        return _sane(float(said.replace(",", ".")) * INCHES_PER_METRE)
    if not re.fullmatch(r"\d{2,5}|\d{1,2}[ ,]\d{3}", said):
        return None
    return _sane(float(re.sub(r"[ ,]", "", said)) / 25.4)


def _sane(length: float | None) -> float | None:
    return length if length is not None and SHORTEST_IN <= length <= LONGEST_IN else None
