"""Words that are two texts laid over each other, which a PDF reader takes for one: 'JWA' of a J and a WA over it.

Only what the sheet's other words show is taken apart: both texts stand elsewhere by themselves, and together they
are wider than the word, or it is taller than either: they do overlap, or stand on lines of their own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from cordpath.model import Word

OVERLAP = 0.97  # of both texts' widths: a word narrower than this is two texts that overlap
TALLER = 1.08  # times the taller text's height: a word taller than this is two texts, one a little higher
LOWER = 0.95  # times the taller text's height, under which a word is too low to have it in it
APART = 1.15  # times both texts' widths: those of a word no wider stand side by side
LEAST_TIMES = 2  # that the text over the mark stands elsewhere by itself


def taken_apart(words: tuple[Word, ...], marks: frozenset[str]) -> tuple[Word, ...]:
    """The words, with every mark of a symbol and the text laid over it as two words in place of the one."""
    wanted = sorted({mark.upper() for mark in marks if mark.isalnum()}, key=lambda mark: (-len(mark), mark))
    ends = tuple(wanted)
    sizes: dict[str, list[tuple[float, float]]] = {}  # width and height
    for word in words:
        if word.angle == 0.0 and word.text.isalnum():
            x0, y0, x1, y1 = word.box
            sizes.setdefault(word.text.upper(), []).append((x1 - x0, y1 - y0))
    out: list[Word] = []
    for word in words:
        text = word.text.strip().upper()
        marked = word.angle == 0.0 and (text.startswith(ends) or text.endswith(ends))
        parts = next(_parts(word, wanted, sizes), None) if marked else None
        out += [word] if parts is None else list(parts)
    return tuple(out)


def _parts(
    word: Word, marks: list[str], sizes: dict[str, list[tuple[float, float]]]
) -> Iterator[tuple[Word, Word]]:
    """``marks``: the longest first."""
    text = word.text.strip().upper()
    for mark in marks:
        if not (text.startswith(mark) or text.endswith(mark)):
            continue
        for first in (True, False):
            rest = text[len(mark) :] if first else text[: -len(mark)]
            whole = (text.startswith(mark) if first else text.endswith(mark)) and len(rest) > 1
            if not whole or not sizes.get(mark) or len(sizes.get(rest, ())) < LEAST_TIMES:
                continue
            (own, high), (other, tall) = np.median(sizes[mark], axis=0), np.median(sizes[rest], axis=0)
            x0, y0, x1, y1 = word.box
            if y1 - y0 < LOWER * max(high, tall):
                continue  # it holds neither text in the size that it has elsewhere
            most = APART if y1 - y0 > TALLER * max(high, tall) else OVERLAP
            if max(own, other) <= x1 - x0 < most * (own + other):
                left, right = (own, other) if first else (other, own)
                boxes = ((x0, y0, x0 + left, y1), (x1 - right, y0, x1, y1))
                texts = (mark, rest) if first else (rest, mark)
                one, two = (replace(word, text=t, box=b) for t, b in zip(texts, boxes, strict=True))
                yield one, two
