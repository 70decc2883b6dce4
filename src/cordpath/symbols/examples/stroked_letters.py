"""Letters of an example that its writer drew as strokes are letters: on the plan they stand upright at whatever
wall the symbol stands, and as lines they were found nowhere but where the symbol stands as in the example.

Terms: *part*, marks that hang together.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import components
from cordpath.model import POINTS_PER_INCH, BoolArray, FloatArray, IntArray, Mark, PolylineMark, TextMark
from cordpath.symbols.examples.likeness import outline
from cordpath.symbols.examples.outlined_letters import OPEN, likeliest
from cordpath.symbols.letters.drawn_letters import SURE, SURE_ALONE, UPRIGHT
from cordpath.symbols.letters.glyphs import JOINED, TALLEST, GlyphReader, Glyphs, turned, whole_rows
from cordpath.symbols.letters.turned_letters import LIKELY
from cordpath.symbols.letters.words_over import BARS

# Letters of straight lines alone: one by itself may as well be a cross, a tick or a zigzag of the symbol.
STRAIGHT = frozenset("AEFHKMNTVWXYZ147")
LEAST_BODY = 0.5  # of a text's height, how large something else of the symbol is at least
ENCLOSED = 0.5  # of its hull, how much of it a body encloses whose rim is told by that
ALONG = 0.7  # of a line of the rim, how much of it leads around what is enclosed: a letter's line only crosses it
MOST_MARKS = 400  # unfilled marks of an example in which letters are looked for; more is a part of the plan


@dataclass(frozen=True, eq=False)
class _Part:
    """``marks``: their numbers; ``xy``: (n, 4) their lines, pt; ``size``: the larger side of their box, pt."""

    marks: IntArray
    xy: FloatArray
    size: float
    filled: bool


@dataclass(frozen=True, eq=False)
class _Text:
    """``marks``: numbers of the marks that it is made of; ``sure``: it is nothing else; ``high``: pt."""

    said: TextMark
    marks: IntArray
    sure: bool
    high: float


def strokes_as_text(marks: tuple[Mark, ...], read: GlyphReader) -> tuple[Mark, ...]:
    """The marks with those that surely are letters as texts, those side by side as one."""
    return _instead(marks, [text for text in _texts(marks, read) if text.sure])


def perhaps_text(marks: tuple[Mark, ...], read: GlyphReader) -> tuple[Mark, ...]:
    """The marks with all that may be letters as texts; empty where none may."""
    texts = _texts(marks, read)
    return _instead(marks, texts) if texts else ()


def _instead(marks: tuple[Mark, ...], texts: list[_Text]) -> tuple[Mark, ...]:
    gone = {int(k) for text in texts for k in text.marks}
    return (*(mark for k, mark in enumerate(marks) if k not in gone), *(text.said for text in texts))


def _texts(marks: tuple[Mark, ...], read: GlyphReader) -> list[_Text]:
    """Sure rows first, then what else may be letters; the largest of the parts that those leave is the body."""
    parts = _parts(marks)
    texts: list[_Text] = []
    for sure in (True, False):
        for angle in UPRIGHT:
            taken = {int(k) for text in texts for k in text.marks}
            rest = [part for part in parts if taken.isdisjoint(part.marks.tolist())]
            glyphs = _glyphs(rest, with_largest=sure)
            for text in () if glyphs is None else _read(glyphs.seen(angle), angle, not sure, read):
                left = [part for part in rest if not np.isin(part.marks, text.marks).any()]
                if (text.sure or not sure) and _stay(left, text):
                    texts.append(text)
    return texts


def _read(seen: Glyphs, angle: float, alone: bool, read: GlyphReader) -> Iterator[_Text]:
    """What glyphs that are read at an angle may say; ``alone``: single letters as well."""
    rows = list(whole_rows(seen))
    if alone and angle == 0.0:  # turned, one letter is another: N and Z
        rows += [[k] for k in range(len(seen.xy)) if not any(k in row for row in rows)]
    for row in rows:
        said, sure = _said(seen, row, read)
        if said:
            low, top = seen.box[row][:, :2].min(0), seen.box[row][:, 2:].max(0)
            middle = (low + top) / 2 @ turned(angle).T / POINTS_PER_INCH
            own = np.concatenate([seen.segments[k] for k in row])
            text = TextMark(said, (float(middle[0]), float(middle[1])))
            yield _Text(text, own, sure, float(top[1] - low[1]))


def _stay(left: list[_Part], text: _Text) -> bool:
    """Is what is left large enough for a body: a D and a tick beside it are no text at a dot?"""
    return max((part.size for part in left), default=0.0) >= LEAST_BODY * text.high


def _said(seen: Glyphs, row: list[int], read: GlyphReader) -> tuple[str, bool]:
    """The letters of a row, and whether they are sure; "" where they may well be none, or bars and rings."""
    told = read([seen.xy[k] for k in row], False)
    best = [likeliest(chances) for chances in told]
    text = "".join(letter for letter, _ in best).upper()
    least = min(share for _, share in best)
    if least < LIKELY or not text.isalnum() or (text != OPEN and all(letter in BARS for letter in text)):
        return "", False
    if len(row) > 1:
        return text, least >= SURE
    return text, least >= SURE_ALONE and text not in STRAIGHT and text != OPEN  # or an open ring of the symbol


def _parts(marks: tuple[Mark, ...]) -> list[_Part]:
    """Marks that touch; the rim of the largest part holds nothing together, since letters in a body reach it."""
    drawn = [k for k, mark in enumerate(marks) if not isinstance(mark, TextMark)]
    if not 1 < len(drawn) <= MOST_MARKS:
        return []
    lines = [outline(marks[k]) * POINTS_PER_INCH for k in drawn]
    shapes = [shapely.linestrings(line) for line in lines]
    one, two = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=JOINED)
    one, two = one[one < two], two[one < two]
    _, label = components(one, two, len(drawn))
    rim = _rim(np.array(shapes, object), label)
    apart = rim[one] != rim[two]
    count, label = components(one[~apart], two[~apart], len(drawn))
    parts = []
    for own in (np.flatnonzero(label == k) for k in range(count)):
        xy = np.concatenate([np.c_[lines[k][:-1], lines[k][1:]] for k in own])
        numbers = np.array([drawn[k] for k in own])
        filled = any(isinstance(mark, PolylineMark) and mark.filled for mark in (marks[k] for k in numbers))
        parts.append(_Part(numbers, xy, float(np.ptp(xy.reshape(-1, 2), axis=0).max()), filled))
    return parts


def _rim(shapes: NDArray[np.object_], label: IntArray) -> BoolArray:
    """(n,) lines of the body's rim: of the largest of the parts that ``label`` numbers, those around what it
    encloses, out of which letters may reach; where that is little, those at its hull."""
    bounds = shapely.bounds(shapes)
    low, high = np.full((label.max() + 1, 2), np.inf), np.full((label.max() + 1, 2), -np.inf)
    np.minimum.at(low, label, bounds[:, :2])
    np.maximum.at(high, label, bounds[:, 2:])
    body = label == int(np.argmax((high - low).max(axis=1)))
    drawn = shapely.union_all(shapes[body])
    hull, inside = drawn.convex_hull, shapely.union_all(shapely.get_parts(shapely.polygonize([drawn])))
    if inside.area <= ENCLOSED * hull.area:  # both are nothing where the body is a line
        return np.asarray(body & (shapely.distance(shapes, hull.boundary) <= JOINED), bool)
    around = shapely.intersection(shapes, inside.boundary.buffer(JOINED))
    return np.asarray(body & (shapely.length(around) > ALONG * shapely.length(shapes)), bool)


def _glyphs(parts: list[_Part], with_largest: bool) -> Glyphs | None:
    """Unfilled parts of a letter's size; their ``segments`` are numbers of marks."""
    largest = max((part.size for part in parts), default=0.0)
    fit = [p for p in parts if not p.filled and 0 < p.size <= TALLEST and (with_largest or p.size < largest)]
    if not fit:
        return None
    return Glyphs([p.xy for p in fit], [p.marks for p in fit], np.zeros((len(fit), 4)), False)
