"""Fractions that are set as two small figures: one above the other, or left and right of a slanted stroke.

Terms: *upper* and *lower*, the figures of a fraction.  *Host*, the text that a fraction stands in: a foot mark, a
dash or a whole number before it, or an inch mark behind it.  *Along* and *down*, places in the frame of a reading
direction.

Text is shown one size and one height at a time, so such a fraction comes as two words, and a length or a scale that
has one loses it: 1/4" = 1'-0" would become 4" = 1'-0".  Only what can be nothing else is joined: halves to
sixty-fourths with an odd upper figure, small or close together, with a host.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import numpy as np

from cordpath.geometry import hull
from cordpath.model import FloatArray, Word

LOWERS = frozenset({2, 4, 8, 16, 32, 64})
SMALL = 1.05  # of the host's size: fractions are set at 0.5 to 1 of it (common practice, no source)
DROP = (0.35, 1.7)  # of their size: how far the lower figure stands below the upper one
SHIFT = 1.3  # of their size: how far right it may stand, past a slanted stroke
CLOSE = 0.8  # of the host's size: gap between a fraction and its host
LEVEL = 0.5  # of the host's size: how far the middle of a fraction stands off its line
BEFORE = re.compile(r".*(?:\d|['’′]|-|=|:)")
BEHIND = re.compile(r"(?:[\"”″]|'{2}|’{2}|′{2}).*|IN(?:CH(?:ES)?)?\b.*", re.IGNORECASE)
FIGURE = re.compile(r"\d{1,2}")


@dataclass(frozen=True, eq=False)
class _Frame:
    """Words of one reading direction; all arrays are (n,) or (n, 2)."""

    words: list[Word]
    number: list[int]
    start: FloatArray
    end: FloatArray
    down: FloatArray
    size: FloatArray

    @staticmethod
    def of(words: tuple[Word, ...], number: list[int], angle: float) -> _Frame:
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        mine = [words[k] for k in number]
        box = np.array([word.box for word in mine])
        x, y = (box[:, 0] + box[:, 2]) / 2, (box[:, 1] + box[:, 3]) / 2
        along = x * c - y * s
        half = ((box[:, 2] - box[:, 0]) * abs(c) + (box[:, 3] - box[:, 1]) * abs(s)) / 2
        return _Frame(mine, number, along - half, along + half, y * c + x * s, np.array([w.size for w in mine]))

    def fraction(self, k: int) -> int | None:
        """The lower figure of the upper one ``k``."""
        size, upper = self.size[k], int(self.words[k].text)
        drop = (self.down - self.down[k]) / size
        shift = (self.start + self.end - self.start[k] - self.end[k]) / 2
        near = (drop >= DROP[0]) & (drop <= DROP[1]) & (np.abs(shift) <= SHIFT * size)
        near &= np.abs(self.size / size - 1) <= 0.1
        figures = [int(j) for j in np.flatnonzero(near) if FIGURE.fullmatch(self.words[j].text)]
        found = [j for j in figures if upper < int(self.words[j].text) and int(self.words[j].text) in LOWERS]
        return found[0] if len(found) == 1 else None

    def hosts(self, upper: int, lower: int) -> tuple[int | None, int | None]:
        """The words before and behind a fraction that it belongs to."""
        left, right = min(self.start[upper], self.start[lower]), max(self.end[upper], self.end[lower])
        middle = (self.down[upper] + self.down[lower]) / 2
        large = self.size * SMALL >= max(self.size[upper], self.size[lower])
        level = large & (np.abs(self.down - middle) <= LEVEL * self.size)
        level[[upper, lower]] = False
        gap_before, gap_behind = left - self.end, self.start - right
        before = np.flatnonzero(level & (gap_before <= CLOSE * self.size) & (gap_before >= -0.3 * self.size))
        behind = np.flatnonzero(level & (gap_behind <= CLOSE * self.size) & (gap_behind >= -0.3 * self.size))
        first = next((int(j) for j in before if BEFORE.fullmatch(self.words[j].text)), None)
        last = next((int(j) for j in behind if BEHIND.fullmatch(self.words[j].text)), None)
        return first, last


def with_fractions(words: tuple[Word, ...]) -> tuple[Word, ...]:
    """The words, with the two figures of such fractions as one word on the line of their host."""
    figures = [k for k, word in enumerate(words) if FIGURE.fullmatch(word.text) and word.origin != "hidden"]
    if len(figures) < 2:
        return words
    changed: dict[int, Word] = {}
    gone: set[int] = set()
    line = {word.line: word.line for word in words}
    angles = np.array([round(word.angle) % 360 for word in words])
    for angle in sorted({int(angles[k]) for k in figures}):
        frame = _Frame.of(words, np.flatnonzero(angles == angle).tolist(), float(angle))
        for k, word in enumerate(frame.words):
            if not FIGURE.fullmatch(word.text) or int(word.text) % 2 == 0 or frame.number[k] in gone:
                continue
            lower = frame.fraction(k)
            if lower is None or frame.number[lower] in gone:
                continue
            before, behind = frame.hosts(k, lower)
            if behind is None:
                continue
            host = frame.words[before if before is not None else behind]
            changed[frame.number[k]] = replace(
                word, text=f"{word.text}/{frame.words[lower].text}", line=host.line, size=host.size,
                box=hull([word.box, frame.words[lower].box]),
            )  # fmt: skip
            gone.add(frame.number[lower])
            line[frame.words[behind].line] = line[host.line]
    if not changed:
        return words
    kept = ((k, changed.get(k, word)) for k, word in enumerate(words) if k not in gone)
    return tuple(replace(word, line=line[word.line]) for _, word in kept)
