"""What a sheet says in its own letter forms where the reader of rows could not tell it.

Terms: *chain*, *hit*: see ``hand``; *lettered*, of a stroke: the line of words that it is a letter of.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import shapely

from cordpath.geometry import distinct_rows, forward, lengths
from cordpath.model import Box, IntArray, Strokes, Word
from cordpath.sheet.lettering.grammar import vocabulary
from cordpath.sheet.lettering.hand import BROAD, CLOSE, LEVEL, Chain, Ends, chains
from cordpath.sheet.lettering.letter_forms import GRID, letter_forms, without_doubt
from cordpath.sheet.lettering.parts import Parts
from cordpath.sheet.lettering.rows import ASCENT, CAP, DESCENT, Said, corners
from cordpath.sheet.lettering.runs import turned
from cordpath.sheet.lettering.trust import DOUBTFUL, LIKELY, PANEL_OF_TWO, PROBABLE, WEAK

LONGEST = 1.5  # of the largest cap height: no stroke of a letter is longer
ANGLES = 4  # directions that words run in, the most frequent ones
SELDOM = 0.02  # of the texts: directions of fewer are mostly misread
SURE = 3  # examples of a letter that was read the same way each time, where no word proves it
FIGURES = frozenset("0123456789")
MOST = 64  # texts that a chain may be
LEAST = 5  # strokes of what is told to be letters
ROUND = "O0QCcoeDU"  # alone, these may be any circle or corner
TAG = re.compile(r"[A-Z]{1,2}-?\d{1,2}([,/-]\d{1,2})*")  # of a circuit
SAME = 0.6  # share of a word's box that another covers, from which they are one
LARGER = 1.5  # times the height of the letters: what is so high is none of them
BELOW = 0.35  # of the cap height: how far a comma hangs under the base


@dataclass(frozen=True, eq=False)
class Handwritten:
    """``lettered`` (n,): of the sheet's strokes the line of the words that they are letters of, -1 for none."""

    words: list[Word]
    found: list[Word]  # those that only their forms told
    lettered: IntArray


def in_own_forms(words: list[Word], said: list[Said], ink: Parts, strokes: Strokes, line: int) -> Handwritten:
    """The words with those in the sheet's own letter forms; ``line``: number of the first line that is free."""
    lettered = np.full(len(strokes), -1, np.int64)
    forms = letter_forms(said, ink)
    if forms is None or not forms.forms:
        return Handwritten(words, [], lettered)
    use = strokes.ink() & ~strokes.dashed
    use &= lengths(strokes.xy) < LONGEST * forms.cap * max(forms.ratios)
    index = np.flatnonzero(use & (lengths(strokes.xy) > 0))
    if not len(index):
        return Handwritten(words, [], lettered)
    page, first = distinct_rows(np.round(forward(strokes.xy[index]), 2))  # strokes drawn again are one
    book, taken = _Book(words, line), np.zeros(len(page), bool)
    drawn, start = _drawn_as(first, len(page))
    figures = {letter for form in forms.forms for letter in form.letters} >= FIGURES
    for angle in _angles(said):
        ends = Ends(turned(page.reshape(-1, 2), angle).reshape(-1, 4))
        found = chains(ends, forms, angle, taken)
        letters = np.unique([k for chain in found for k in chain.strokes]).astype(np.int64)
        for chain in (found[k] for k in _whole(found)):
            number = book.enter(chain, partial(_clear, chain, ends, letters, figures))
            if number is not None:
                own = index[np.concatenate([drawn[start[k] : start[k + 1]] for k in chain.strokes])]
                lettered[own[lettered[own] < 0]] = number
    return Handwritten(book.words, book.new, lettered)


def _angles(said: list[Said]) -> list[float]:
    """The directions that texts without doubt about their letters run in, the most frequent first."""
    rows = [
        each.row.reading.angle
        for each in said
        if not each.row.reading.filled and any(without_doubt(token) for token, _ in each.kept)
    ]
    angle, times = np.unique(rows, return_counts=True)
    order = np.lexsort((angle, -times))
    return [float(angle[k]) for k in order if times[k] >= max(2, SELDOM * len(rows))][:ANGLES]


def _drawn_as(first: IntArray, count: int) -> tuple[IntArray, IntArray]:
    """Strokes (n,) by the one of ``count`` that is kept of each, and (count + 1,) where those of each begin."""
    order = np.argsort(first, kind="stable")
    return order, np.searchsorted(first[order], np.arange(count + 1))


def _whole(found: list[Chain]) -> list[int]:
    """Which chains are no single letter beside others on its base: what is left of a row that could not be told."""
    rows = np.array([chain.box for chain in found]).reshape(-1, 4)
    out = []
    for k, chain in enumerate(found):
        x0, _, x1, base = chain.box
        level = np.abs(rows[:, 3] - base) < 2 * LEVEL
        gap = np.maximum(rows[:, 0] - x1, x0 - rows[:, 2])
        beside = level & (gap < 2 * CLOSE * chain.cap)
        beside[k] = False
        if len(chain.hits) > 1 or not beside.any():
            out.append(k)
    return out


def _clear(chain: Chain, ends: Ends, letters: IntArray, figures: bool) -> bool:
    """Is nothing drawn beside the chain that may be one more letter: strokes that hang together and lie wholly
    where it would stand?  ``letters``: the strokes that are letters of some chain; ``figures``: the forms of all
    figures are known, so that one more would have been found.  Else nothing at all may be beside a figure."""
    x0, top, x1, base = chain.box
    cap = chain.cap
    numbered = not figures and any(letter.isdigit() for hit in chain.hits for letter in hit.form.letters)
    for low, high, close in ((x0 - 2 * CLOSE * cap, x0, x0), (x1, x1 + 2 * CLOSE * cap, x1)):
        box = np.array([low, top - 0.1 * cap, high, base + BELOW * cap])
        middle, half = (box[:2] + box[2:]) / 2, (box[2:] - box[:2]) / 2
        k = np.array(ends.tips.query_ball_point(middle, float(half.max()), p=np.inf), np.int64)
        k = np.unique(k % len(ends.xy))
        k = k[~np.isin(k, letters)]
        tips = ends.xy[k].reshape(-1, 2, 2)
        inside = np.asarray(((tips >= box[:2]) & (tips <= box[2:])).all(axis=2), bool)
        if numbered and inside.any():
            return False
        if _stands_alone(k[inside[:, 0] & inside[:, 1]], ends, close, CLOSE * cap):
            return False
    return True


def _stands_alone(k: IntArray, ends: Ends, side: float, close: float) -> bool:
    """Is one of the strokes so close to the side, and goes on in none that is not among them, as rims and leaders
    do?"""
    mine = set(k.tolist())
    for stroke in k.tolist():
        x = ends.xy[stroke, [0, 2]]
        joined = ends.tips.query_ball_point(ends.xy[stroke].reshape(2, 2), GRID, p=np.inf)
        others = {int(other) % len(ends.xy) for own in joined for other in own}
        if float(np.abs(x - side).min()) < close and others <= mine:
            return True
    return False


# ------------------------------------------------------------------------------------------------ words


class _Book:
    """The words of the sheet, and those that chains say in place of them."""

    def __init__(self, words: list[Word], line: int) -> None:
        self.old: dict[int, Word] = dict(enumerate(words))
        self.new: list[Word] = []
        self.line = line
        self.tree = shapely.STRtree([shapely.box(*word.box) for word in words])

    @property
    def words(self) -> list[Word]:
        return [*self.old.values(), *self.new]

    def enter(self, chain: Chain, clear: Callable[[], bool]) -> int | None:
        """The line of the words that the chain's strokes are; None where they are none."""
        said = _said(chain, clear)
        if said is None:
            return None
        word = _word(chain, *said, self.line)
        here = self._over(word)
        if any(self.old[k].origin != "stroke" for k, _, _ in here):
            return None
        larger = {k for k, _, covers in here if covers > SAME and _runs_into_larger(self.old[k], word)}
        wider = [k for k, covered, covers in here if covers > SAME >= covered and k not in larger]
        if wider:
            old = self.old[wider[0]]
            # A letter that the wider word does not have was taken for something else, as a J for an apostrophe, and
            # GFI under it is another word.
            other = len(word.text) == 1 or word.confidence > DOUBTFUL
            return None if other and word.text not in old.text else old.line
        inside = [k for k, covered, _ in here if covered > SAME or k in larger]
        if len(inside) == 1 and self.old[inside[0]].text == word.text:
            old = self.old[inside[0]]
            self.old[inside[0]] = replace(old, confidence=max(old.confidence, word.confidence))
            return old.line
        read = "".join(self.old[k].text for k in sorted(inside, key=lambda k: self.old[k].at))
        if read == word.text:
            return self.old[inside[0]].line  # words apart are more than their letters
        if any(self.old[k].confidence >= LIKELY for k in inside) or (len(word.text) == 1 and inside):
            return None
        if word.confidence <= DOUBTFUL and any(
            len(self.old[k].text) > 1 for k in inside if not self._ends(k, word)
        ):
            return None  # what makes no sense takes the place of scattered letters and of its own pieces only
        for k in inside:
            del self.old[k]
        self.new.append(word)
        self.line += 1
        return word.line

    def _ends(self, k: int, word: Word) -> bool:
        return word.text.startswith(self.old[k].text) or word.text.endswith(self.old[k].text)

    def _over(self, word: Word) -> list[tuple[int, float, float]]:
        """The words there, the share of each that the word covers, and the share of the word that each does."""
        out = []
        for k in sorted(self.tree.query(shapely.box(*word.box)).tolist()):
            if k in self.old:
                both, one, other = _shared(word.box, self.old[k].box, word.angle)
                out.append((k, both / max(other, 1e-9), both / max(one, 1e-9)))
        return out


def _runs_into_larger(old: Word, word: Word) -> bool:
    """Is an unsure word one in the sheet's own forms and something larger beside it, as a symbol is to its tag?"""
    longer = len(old.text) > len(word.text) and word.text in old.text and " " not in old.text
    return longer and old.size > LARGER * word.size and old.confidence < LIKELY and word.confidence > DOUBTFUL


def _shared(one: Box, other: Box, angle: float) -> tuple[float, float, float]:
    """What two boxes share, and what each has: along the text where it is level or upright, since lines of letters
    that ink crosses have their height read wrong."""
    wide = (min(one[2], other[2]) - max(one[0], other[0]), one[2] - one[0], other[2] - other[0])
    high = (min(one[3], other[3]) - max(one[1], other[1]), one[3] - one[1], other[3] - other[1])
    across, along = (high, wide) if angle % 180 == 0 else (wide, high)
    if angle % 90:
        return max(wide[0], 0.0) * max(high[0], 0.0), wide[1] * high[1], wide[2] * high[2]
    level = across[0] > SAME * min(across[1], across[2])
    return max(along[0], 0.0) * level, along[1], along[2]


def _said(chain: Chain, clear: Callable[[], bool]) -> tuple[str, float] | None:
    """What a chain says, and how far that is believed; None where it may be no letters, or several texts."""
    forms = [hit.form for hit in chain.hits]
    if len(chain.strokes) < LEAST or all(len(form.xy) < BROAD for form in forms):
        return None
    texts = [""]
    for form in forms:
        texts = [text + letter for text in texts for letter in form.letters][:MOST]
    sense = [text for text in texts if TAG.fullmatch(text) or text in vocabulary()]
    if len(sense) > 1:  # GFI, where I is drawn like 1: panels have seldom two letters
        sense = [text for text in sense if not PANEL_OF_TWO.fullmatch(text)]
    if len(texts) > 1 and len(sense) != 1:
        return None
    text = sense[0] if sense else texts[0]
    if len(text) == 1:
        return None if text in ROUND else (text, WEAK)
    if not sense or not all(form.proved or form.times >= SURE for form in forms):
        return text, DOUBTFUL
    return text, LIKELY if clear() else PROBABLE


def _word(chain: Chain, text: str, sure: float, line: int) -> Word:
    x0, _, x1, base = chain.box
    size = chain.cap / CAP
    xs, ys = zip(*corners((x0, base - ASCENT * size, x1, base + DESCENT * size), chain.angle), strict=True)
    box: Box = (min(xs), min(ys), max(xs), max(ys))
    return Word(text, box, chain.angle, size, line, "", (0.0, 0.0, 0.0), "stroke", sure)
