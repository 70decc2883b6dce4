"""What two readings of one drawing show: the places of ink, the words, what is said to be unread."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from cordpath.model import FloatArray, Sheet, Word

CELL = 3.0  # pt; ink within a cell, or in one beside it, is at the same place
NEAR = 6.0  # pt between the middles of a word in two readings; texts that are narrowed begin where they began
PALE = 0.9  # luminance from which a fill is no ink

Places = set[tuple[int, int]]


@dataclass(frozen=True)
class Difference:
    """Ink of the first that the second lacks, in cells, and what it has more; words likewise.  ``doubted``: words
    of the second that settle nothing, more than of the first."""

    ink_lost: int
    ink_more: int
    words_lost: tuple[str, ...]
    words_more: tuple[str, ...]
    doubted: int
    said: tuple[str, ...]

    @property
    def any(self) -> bool:
        """Is something read otherwise; words that settle nothing only ask."""
        return bool(self.ink_lost or self.ink_more or self.words_lost or self.words_more)


def difference(first: Sheet, second: Sheet) -> Difference:
    here, there = _ink(first), _ink(second)
    return Difference(
        len(here - _around(there)),
        len(there - _around(here)),
        _lacking(first.words, second.words),
        _lacking(second.words, first.words),
        _doubted(second) - _doubted(first),
        tuple(said for said in second.assumptions if said not in first.assumptions),
    )


def _doubted(sheet: Sheet) -> int:
    return sum(word.confidence < 1 for word in sheet.words)


def _lacking(words: tuple[Word, ...], others: tuple[Word, ...]) -> tuple[str, ...]:
    """Words, those that settle something, that do not stand at the same place among the others."""
    places: dict[str, list[tuple[float, float]]] = {}
    for word in others:
        places.setdefault(word.text, []).append(word.at)
    return tuple(
        word.text
        for word in words
        if word.confidence >= 1
        and not any(max(abs(word.at[0] - x), abs(word.at[1] - y)) <= NEAR for x, y in places.get(word.text, ()))
    )


def _ink(sheet: Sheet) -> Places:
    xy = [sheet.strokes.xy[sheet.strokes.ink()]]
    for area in sheet.fills.shape[sheet.fills.luminance < PALE] if len(sheet.fills) else ():
        points = shapely.get_coordinates(shapely.boundary(area))
        xy.append(np.concatenate([points[:-1], points[1:]], axis=1))
    return _cells(np.concatenate(xy))


def _cells(xy: FloatArray) -> Places:
    steps = np.ceil(np.hypot(xy[:, 2] - xy[:, 0], xy[:, 3] - xy[:, 1]) / (CELL / 2)).astype(int) + 1
    owner = np.repeat(np.arange(len(xy)), steps)
    t = (np.arange(len(owner)) - np.repeat(np.cumsum(steps) - steps, steps)) / np.maximum(steps[owner] - 1, 1)
    at = xy[owner, :2] + (xy[owner, 2:] - xy[owner, :2]) * t[:, None]
    return set(map(tuple, np.unique(np.floor(at / CELL).astype(int), axis=0).tolist()))


def _around(places: Places) -> Places:
    return {(x + i, y + j) for x, y in places for i in (-1, 0, 1) for j in (-1, 0, 1)}
