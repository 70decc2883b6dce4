"""Words of the plan joined to the texts that a reader sees: ``+42`` and ``"``, ``GFI`` and ``/`` and ``WP``.

Writers cut texts anywhere, so words are joined by place and not by the number of the show string.

Terms: *run*, words on one baseline, each beginning where the one before ends.  *Along*, in reading direction.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath.geometry import components
from cordpath.model import BoolArray, Box, FloatArray, IntArray, Point, Sheet, Symbol, TextMark, Word

GLUED = 0.12  # of the text size: a smaller gap is no space
SPACED = 0.55  # of the text size: a wider gap ends the run (a space is about 0.3, monospaced 0.6 less bearings)
APART = 0.36  # of the text size: the same for words that were not shown as one run
OVERLAP = 0.25  # of the text size: boxes of neighbouring words may overlap so far
BASELINE = 0.3  # of the text size: words of one run stand on one line
SAME_SIZE = 1.4  # ratio of text sizes in one run
AGAIN = 0.3  # of the text size: the same word so near is the same word
ANGLE_STEP = 2.0  # degrees


@dataclass(frozen=True)
class Run:
    """A text of one or more words.  ``confidence`` is that of its least certain word.

    ``stack`` numbers the label of several lines that it is part of, ``block`` is that label's box.
    """

    text: str
    box: Box
    size: float
    words: tuple[int, ...]  # indices into Sheet.words
    confidence: float
    angle: float = 0.0
    stack: int = -1
    tangled: bool = False  # stands evenly among labels of several symbols
    block: Box = (0.0, 0.0, 0.0, 0.0)

    @property
    def at(self) -> Point:
        return ((self.box[0] + self.box[2]) / 2, (self.box[1] + self.box[3]) / 2)


def runs_of(sheet: Sheet, symbols: tuple[Symbol, ...]) -> tuple[Run, ...]:
    """The runs of the plan itself: no words of legend, schedule, notes or title block, none of a symbol's own."""
    words = sheet.words
    free = np.ones(len(words), bool)
    if not len(words):
        return ()
    at = sheet.words_at
    for region in sheet.regions:
        x0, y0, x1, y1 = region.box
        free &= ~((at[:, 0] >= x0) & (at[:, 0] <= x1) & (at[:, 1] >= y0) & (at[:, 1] <= y1))
    free &= ~_own_letters(words, at, symbols) & ~_printed_again(words, at)
    which = np.flatnonzero(free)
    return tuple(_run(words, group) for group in _groups(words, which))


def _printed_again(words: tuple[Word, ...], at: FloatArray) -> BoolArray:
    """(n,) True for words drawn a second time over the first, as some writers do for bold: one label, not two."""
    again = np.zeros(len(words), bool)
    pairs = cKDTree(at).query_pairs(AGAIN * max(word.size for word in words), output_type="ndarray")
    for one, two in np.sort(pairs, axis=1).tolist():
        apart = float(np.hypot(*(at[one] - at[two])))
        again[two] |= words[one].text == words[two].text and apart <= AGAIN * words[two].size
    return again


def _own_letters(words: tuple[Word, ...], at: FloatArray, symbols: tuple[Symbol, ...]) -> BoolArray:
    """(n,) True for words inside a symbol's outline that its own shape asks for (the R of a range receptacle).

    A fixture that is only proposed takes no label away.
    """
    own = np.zeros(len(words), bool)
    with_text = [symbol for symbol in symbols if _values(symbol) and not (symbol.unnamed and symbol.entry.proposed)]
    if not with_text:
        return own
    tree = shapely.STRtree(shapely.buffer([symbol.footprint for symbol in with_text], 1.0))
    word_index, symbol_index = tree.query(shapely.points(at), predicate="intersects")
    nearest: dict[tuple[int, str], tuple[float, int]] = {}
    for w, s in zip(word_index.tolist(), symbol_index.tolist(), strict=True):
        text = words[w].text.strip().upper()
        if text in _values(with_text[s]):
            away = float(np.hypot(*(at[w] - with_text[s].at)))
            # One word for each mark: a second REF over a refrigerator is the label of its outlet.
            nearest[s, text] = min(nearest.get((s, text), (away, w)), (away, w))
    own[[w for _, w in nearest.values()]] = True
    return own


def _values(symbol: Symbol) -> frozenset[str]:
    marks = symbol.entry.shape or ()
    return frozenset(mark.value.strip().upper() for mark in marks if isinstance(mark, TextMark))


def _groups(words: tuple[Word, ...], which: IntArray) -> list[list[int]]:
    """Indices of words that belong together, each group in reading order."""
    if not len(which):
        return []
    angle = np.array([words[i].angle for i in which])
    size = np.maximum(np.array([words[i].size for i in which]), 0.5)
    start, end = _ends(words, which, angle)
    later, first = _next(start, end, angle, size, np.array([words[i].line for i in which]))
    n = len(which)
    count, label = components(first, later, n)
    radians = np.radians(angle)
    along = start[:, 0] * np.cos(radians) - start[:, 1] * np.sin(radians)
    order = np.lexsort((along, label))
    cuts = np.flatnonzero(np.diff(label[order])) + 1
    return [which[group].tolist() for group in np.split(order, cuts)] if count else []


def _ends(words: tuple[Word, ...], which: IntArray, angle: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Middles of the left and right ends of each word as it is read, (n, 2) each."""
    box = np.array([words[i].box for i in which])
    middle, half = (box[:, :2] + box[:, 2:]) / 2, (box[:, 2:] - box[:, :2]) / 2
    way = np.c_[np.cos(np.radians(angle)), -np.sin(np.radians(angle))]
    # Half the length along the reading direction: exact for upright and vertical text, close enough for others.
    reach = (np.abs(way) * half).sum(1) - np.minimum(np.abs(way[:, 0]), np.abs(way[:, 1])) * half.min(1)
    return middle - way * reach[:, None], middle + way * reach[:, None]


def _next(
    start: FloatArray, end: FloatArray, angle: FloatArray, size: FloatArray, line: IntArray
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Pairs (later, earlier): for each word the nearest one that begins where it ends."""
    tree = cKDTree(start)
    near = tree.query_ball_point(end, r=SPACED * size * 1.2)
    count = np.fromiter((len(group) for group in near), np.intp, len(near))
    earlier = np.repeat(np.arange(len(start)), count)
    later = np.fromiter((i for group in near for i in group), np.intp, int(count.sum()))
    radians = np.radians(angle[earlier])
    way = np.c_[np.cos(radians), -np.sin(radians)]
    step = start[later] - end[earlier]
    along = (step * way).sum(1)
    across = np.abs(step[:, 0] * -way[:, 1] + step[:, 1] * way[:, 0])
    unit = size[earlier]
    turned = np.abs((angle[later] - angle[earlier] + 180) % 360 - 180)
    alike = np.maximum(size[later] / unit, unit / size[later])
    # Quote and inch marks sit above the line, and some writers give them a box of their own height.
    fits = (
        (along <= np.where(line[later] == line[earlier], SPACED, APART) * unit)
        & (along >= -OVERLAP * unit)
        & (across <= BASELINE * unit)
    )
    fits &= (turned <= ANGLE_STEP) & (alike <= SAME_SIZE) & (later != earlier)
    later, earlier, along = later[fits], earlier[fits], np.abs(along[fits])
    order = np.lexsort((later, along, earlier))
    later, earlier = later[order], earlier[order]
    first = np.r_[True, earlier[1:] != earlier[:-1]] if len(earlier) else np.zeros(0, bool)
    return later[first], earlier[first]


def _run(words: tuple[Word, ...], group: list[int]) -> Run:
    text = words[group[0]].text.strip()
    if len(group) == 1:  # most texts of a plan
        word = words[group[0]]
        x0, y0, x1, y1 = (float(v) for v in word.box)
        return Run(text, (x0, y0, x1, y1), word.size, (group[0],), word.confidence, word.angle)
    for before, this in pairwise(group):
        space = "" if _gap(words[before], words[this]) < GLUED * words[this].size else " "
        text += space + words[this].text.strip()
    boxes = np.array([words[i].box for i in group])
    box = (*boxes[:, :2].min(0).tolist(), *boxes[:, 2:].max(0).tolist())
    return Run(
        text, (box[0], box[1], box[2], box[3]), max(words[i].size for i in group), tuple(group),
        min(words[i].confidence for i in group), words[group[0]].angle,
    )  # fmt: skip


def _gap(one: Word, two: Word) -> float:
    across = max(one.box[0], two.box[0]) - min(one.box[2], two.box[2])
    down = max(one.box[1], two.box[1]) - min(one.box[3], two.box[3])
    return max(across, down, 0.0)
