"""Low walls and openings for serving that a note on the plan tells of: drawn as walls, but a cord goes over them.

A plan draws a wall of 42 in. like any other.  Where a note near the straight line to a sink or tub speaks of a low
wall, that no short way leads round it proves nothing.
"""

from __future__ import annotations

import re

from cordpath.model import Point, Sheet, Word
from cordpath.units import plain

# How such walls are noted; common practice, no source.
_ALONE = re.compile(r"(?:HALF|LOW|PONY|KNEE|1/2)-?WALLS?|PASS-?THR(?:U|OUGH)|HALF-HEIGHT")
_LOW = re.compile(r"HALF|LOW|PONY|KNEE|PARTIAL|1/2")
_HIGH = re.compile(r"HIGH|TALL|H\.?|HT\.?|HGT\.?|HEIGHT|A\.?F\.?F\.?")  # 42" HIGH WALL, HALF HEIGHT WALL
_UP_TO = re.compile(
    r"\+?[2-6]\d(?:\"|IN\.?)?|[2-4]'-?\d{0,2}\"?|HALF|LOW|PARTIAL|1/2"
)  # heights that cords go over
_WALL = re.compile(r"WALLS?|PARTITIONS?")
_SERVING = re.compile(r"THRU|THROUGH")
NEXT = 1.5  # font sizes between words of one note, also on two lines


def low_wall_notes(sheet: Sheet) -> tuple[Point, ...]:
    """Where a sheet's notes speak of low walls and of openings for serving."""
    texts = [plain(word.text).strip(",;:()") for word in sheet.words]
    found = [word.at for word, text in zip(sheet.words, texts, strict=True) if _ALONE.fullmatch(text)]
    for k, text in enumerate(texts):
        if (_WALL.fullmatch(text) and _is_low(k, sheet.words, texts)) or (
            text == "PASS" and any(_SERVING.fullmatch(texts[i]) for i in _beside(k, sheet.words))
        ):
            found.append(sheet.words[k].at)
    return tuple(found)


def _is_low(k: int, words: tuple[Word, ...], texts: list[str]) -> bool:
    """Does a word beside WALL call it low, or tell that it is so and so high?"""
    beside = _beside(k, words)
    high = [i for i in beside if _HIGH.fullmatch(texts[i])]
    figures = [i for each in high for i in _beside(each, words)]
    return any(_LOW.fullmatch(texts[i]) for i in beside) or any(_UP_TO.fullmatch(texts[i]) for i in figures)


def _beside(k: int, words: tuple[Word, ...]) -> list[int]:
    """The words next to a word: before and behind it, and on the lines above and below."""
    x0, y0, x1, y1 = words[k].box
    reach = NEXT * words[k].size
    return [
        i
        for i, word in enumerate(words)
        if i != k
        and max(word.box[0] - x1, x0 - word.box[2]) <= reach
        and max(word.box[1] - y1, y0 - word.box[3]) <= reach
    ]
