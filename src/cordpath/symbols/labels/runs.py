"""Words of the plan joined to the texts that a reader sees: ``+42`` and ``"``, ``GFI`` and ``/`` and ``WP``.

Writers cut texts anywhere, so words are joined by place and not by the number of the show string.

Terms: *run*, words on one baseline, each beginning where the one before ends.  *Along*, in reading direction.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath.geometry import components, hull
from cordpath.model import BoolArray, Box, FloatArray, IntArray, Point, Sheet, Symbol, TextMark, Word
from cordpath.symbols.labels.turns import box_tells, ends, on_page, reading_boxes

GLUED = 0.12  # of the text size: a smaller gap is no space
SPACED = 0.55  # of the text size: a wider gap ends the run (a space is about 0.3)
# Of the text size: letters of one width; a gap as wide is a monospaced space (0.5 to 0.62; slanted, 0.1 off).
EVEN, AS_WIDE, BROADEST = 0.05, 0.1, 0.72
PLOTTED = 0.9  # the same in drawn lettering: Hershey's space is 0.55 and its letters stand 0.25 apart
APART = 0.36  # of the text size: the same for words that were not shown as one run
OVERLAP = 0.25  # of the text size: boxes of neighbouring words may overlap so far
BASELINE = 0.3  # of the text size: words of one run stand on one line
SAME_SIZE = 1.4  # ratio of text sizes in one run
SMALL_CAPITALS = 1.55  # the same without a space between: small capitals are 0.65 to 0.8 of the large ones
AGAIN = 0.3  # of the text size: the same word so near is the same word
ANGLE_STEP = 2.0  # degrees


@dataclass(frozen=True)
class Run:
    """A text of one or more words.  ``confidence`` is that of its least certain word.

    ``stack`` numbers the label of several lines that it is part of, ``block`` is that label's reading box.
    """

    text: str
    box: Box  # upright, around it
    size: float
    words: tuple[int, ...]  # indices into Sheet.words
    confidence: float
    turn: float
    line: Box  # its reading box
    stack: int = -1
    tangled: bool = False  # stands evenly among labels of several symbols
    block: Box = (0.0, 0.0, 0.0, 0.0)

    @property
    def at(self) -> Point:
        return ((self.box[0] + self.box[2]) / 2, (self.box[1] + self.box[3]) / 2)

    @cached_property
    def area(self) -> Any:
        """The area of the page that it covers."""
        return on_page(np.array([self.line]), np.array([self.turn]))[0]

    @cached_property
    def block_area(self) -> Any:
        return on_page(np.array([self.block]), np.array([self.turn]))[0]


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
    if not len(which):
        return ()
    boxes, turn = reading_boxes(words, which)
    places, lines, turns = which.tolist(), boxes.tolist(), turn.tolist()
    return tuple(
        _run([words[places[k]] for k in group], tuple(places[k] for k in group), [lines[k] for k in group],
             turns[group[0]])
        for group in _groups(words, which, boxes, turn)
    )  # fmt: skip


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
    marks = tuple(mark.value for mark in symbol.entry.shape or () if isinstance(mark, TextMark))
    return frozenset(value.strip().upper() for value in marks + symbol.letters)


def _groups(words: tuple[Word, ...], which: IntArray, boxes: FloatArray, turn: FloatArray) -> list[list[int]]:
    """Places in ``which`` of words that belong together, each group in reading order."""
    angle = np.array([words[i].angle for i in which])
    size = np.maximum(np.array([words[i].size for i in which]), 0.5)
    letters = np.array([max(1, len(words[i].text)) for i in which])
    pitch = (boxes[:, 2] - boxes[:, 0]) / letters
    space = np.where([words[i].origin == "font" for i in which], SPACED, PLOTTED)
    later, first = _next(boxes, turn, angle, size, pitch, space, np.array([words[i].line for i in which]))
    _, label = components(first, later, len(which))
    order = np.lexsort((boxes[:, 0], label))
    cuts = [0, *(np.flatnonzero(np.diff(label[order])) + 1).tolist(), len(order)]
    every = order.tolist()
    return [every[one:two] for one, two in pairwise(cuts)]


def _next(
    boxes: FloatArray,
    turn: FloatArray,
    angle: FloatArray,
    size: FloatArray,
    pitch: FloatArray,
    space: FloatArray,
    line: IntArray,
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Pairs (later, earlier): for each word the nearest one that begins where it ends."""
    start, end = ends(boxes, turn)
    tree = cKDTree(start)
    near = tree.query_ball_point(end, r=1.2 * PLOTTED * size)
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
    even = np.abs(pitch[later] - pitch[earlier]) <= EVEN * unit
    even &= np.abs(along - pitch[earlier]) <= AS_WIDE * unit
    most = np.where(
        line[later] == line[earlier], np.where(even, np.maximum(BROADEST, space[earlier]), space[earlier]), APART
    )
    most_alike = np.where(along < GLUED * unit, SMALL_CAPITALS, SAME_SIZE)
    fits = (along <= most * unit) & (along >= -OVERLAP * unit) & (across <= BASELINE * unit)
    fits &= (turned <= ANGLE_STEP) & (alike <= most_alike) & (later != earlier)
    later, earlier, along = later[fits], earlier[fits], np.abs(along[fits])
    order = np.lexsort((later, along, earlier))
    later, earlier = later[order], earlier[order]
    first = np.r_[True, earlier[1:] != earlier[:-1]] if len(earlier) else np.zeros(0, bool)
    return later[first], earlier[first]


def _run(own: list[Word], which: tuple[int, ...], boxes: list[Box], turn: float) -> Run:
    """Of the words of a group in reading order, with their indices, their reading boxes and their turn."""
    text = own[0].text.strip()
    vague = not box_tells(turn)
    for (before, (_, _, end, _)), (word, (start, _, _, _)) in pairwise(zip(own, boxes, strict=True)):
        # Where boxes tell no gap, words that were shown in one line are words of it: writers part pieces otherwise.
        parted = vague and word.origin == before.origin == "font" and word.line == before.line
        text += ("" if start - end < GLUED * word.size and not parted else " ") + word.text.strip()
    return Run(
        text, hull([word.box for word in own]), max(word.size for word in own), which,
        min(word.confidence for word in own), turn, hull(boxes),
    )  # fmt: skip
