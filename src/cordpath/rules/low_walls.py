"""Low walls and openings for serving that a note on the plan tells of: drawn as walls, but a cord goes over them.

A plan draws a wall of 42 in. like any other.  Where a note near the straight line to a sink or tub speaks of a low
wall, that no short way leads round it proves nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import numpy as np

from cordpath.model import Point, Sheet
from cordpath.units import plain

# How such walls are noted; common practice, no source.
_ALONE = re.compile(r"(?:HALF|LOW|PONY|KNEE|1/2)-?WALLS?|PASS-?THR(?:U|OUGH)|HALF-HEIGHT")
_LOW = re.compile(r"HALF|LOW|PONY|KNEE|PARTIAL|1/2")
_HIGH = re.compile(r"HIGH|TALL|H\.?|HT\.?|HGT\.?|HEIGHT|A\.?F\.?F\.?")  # 42" HIGH WALL, HALF HEIGHT WALL
# Heights that cords go over: up to 69 in., or to 4 ft and some inches.
_UP_TO = re.compile(r"\+?[2-6]\d(?:\"|IN\.?)?|[2-4]'-?\d{0,2}\"?|HALF|LOW|PARTIAL|1/2")
_WALL = re.compile(r"WALLS?|PARTITIONS?")
_SERVING = re.compile(r"THRU|THROUGH")
NEXT = 1.5  # font sizes between words of one note, also on two lines


def low_wall_notes(sheet: Sheet) -> tuple[Point, ...]:
    """Where a sheet's notes speak of low walls and of openings for serving."""
    texts = [plain(word.text).strip(",;:()") for word in sheet.words]
    boxes = np.array([word.box for word in sheet.words]).reshape(-1, 4)
    sizes = np.array([word.size for word in sheet.words])

    def beside(k: int) -> list[int]:
        """The words next to a word: before and behind it, and on the lines above and below."""
        gap = np.maximum(boxes[:, :2] - boxes[k, 2:], boxes[k, :2] - boxes[:, 2:]).max(axis=1)
        return [i for i in np.flatnonzero(gap <= NEXT * sizes[k]).tolist() if i != k]

    return tuple(word.at for k, word in enumerate(sheet.words) if _tells(k, texts, beside))


def _tells(k: int, texts: list[str], beside: Callable[[int], list[int]]) -> bool:
    """Does a word, with those beside it, tell of a low wall or an opening for serving?"""
    if texts[k] == "PASS":
        return any(_SERVING.fullmatch(texts[i]) for i in beside(k))
    if not _WALL.fullmatch(texts[k]):
        return _ALONE.fullmatch(texts[k]) is not None
    near = beside(k)
    figures = [i for each in near if _HIGH.fullmatch(texts[each]) for i in beside(each)]
    return any(_LOW.fullmatch(texts[i]) for i in near) or any(_UP_TO.fullmatch(texts[i]) for i in figures)
