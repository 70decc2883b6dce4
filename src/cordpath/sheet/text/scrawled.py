"""Words that somebody crossed out by hand: a stroke of a pen over each letter, or a wave along all of them.

Terms
    *slopes*     strokes that rise over a letter aslant; some lie over a crossed out word and none like them beside.
    *wave*       strokes that meet end to end and run along the middle of a word, to and fro or up and down, and end
                 with it.  What runs on is something of the drawing; a ring around a word has nothing in its middle.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import chain

import numpy as np
from scipy.spatial import cKDTree

from cordpath.geometry import hanging_together, near_points, nodes
from cordpath.model import BoolArray, FloatArray, IntArray, Word

MIDDLE = 0.25  # of the height of a word, by which what crosses it out may pass its middle
COVERED = 0.7  # of the length of a word
OVERHANG = 1.0  # heights of a word by which it may run on at either end
PLACES = 50  # along a word, that are looked at
PEN, LABEL = 3, 8  # strokes, at least; letters of a label, at most: longer texts are struck by a line
# Of the text size that they rise, over set letters, and over drawn ones, which rise 0.72 themselves.
ACROSS = 0.6, 0.8
SLOPE = 0.2  # times as far along as up, at least: an upright line is a post, an I, or the edge of something
JOINT_PT = 0.3  # between ends that meet: two roundings to a plotter's grid of 0.12 pt, and a little
PARTS, REACHED = 5, 4  # of the length of a word, and of these those whose middle a wave comes to
WIDEST = 1.2  # of the text size: a letter by itself, such as a W, is no wave over drawn letters
SURE = 0.8  # confidence of drawn words; what was read with less settles nothing as it is
AT_ONCE = 1000  # words that are looked at together: a dense sheet has hundreds of lines about each
LETTER = 0.6  # of the text size: least ink of a drawn letter that a wave leaves over, as of an I


@dataclass(frozen=True, eq=False)
class _Near:
    """Lines (n, 2, 2) about words, as seen from the middle of each one's word, read level: whose they are (n,)."""

    words: list[Word]
    length: FloatArray  # (w,)
    height: FloatArray
    word: IntArray
    ends: FloatArray

    @staticmethod
    def of(words: list[Word], lines: FloatArray) -> _Near:
        box, at = np.array([word.box for word in words]), np.array([word.at for word in words])
        upright = np.array([round(word.angle / 90.0) % 2 == 1 for word in words])
        size = box[:, 2:] - box[:, :2]
        length, height = np.where(upright[:, None], size[:, ::-1], size).T
        middle = lines.mean(axis=1)
        near = near_points(middle, box, 2 * OVERHANG * float(height.max()))
        lines, middle = lines[near], middle[near]
        tree = cKDTree(middle, balanced_tree=False, compact_nodes=False)
        found = tree.query_ball_point(at, length / 2 + 2 * OVERHANG * height)
        word = np.repeat(np.arange(len(words)), [len(each) for each in found])
        ends = lines[np.fromiter(chain.from_iterable(found), np.int64, len(word))] - at[word][:, None]
        return _Near(words, length, height, word, np.where(upright[word][:, None, None], ends[..., ::-1], ends))

    def of_words(self, which: list[int]) -> _Near:
        """What is about some of the words, no higher and lower than they may be crossed out."""
        kept = np.isin(self.word, which)
        kept &= np.abs(self.ends[..., 1]).min(axis=1) <= OVERHANG * self.height[self.word]
        return replace(self, word=self.word[kept], ends=self.ends[kept])


def scrawled(words: list[Word], lines: FloatArray) -> set[int]:
    """Which of the words are crossed out by hand with some of the lines (n, 2, 2)."""
    high = [min(word.box[2] - word.box[0], word.box[3] - word.box[1]) > 0 for word in words]
    which = [k for k, word in enumerate(words) if len(word.text) <= LABEL and high[k]]
    if not which or not len(lines):
        return set()
    some = [which[k : k + AT_ONCE] for k in range(0, len(which), AT_ONCE)]
    return {own[k] for own in some for k in _crossed_out(_Near.of([words[k] for k in own], lines))}


def _crossed_out(near: _Near) -> set[int]:
    sure = [k for k, word in enumerate(near.words) if word.confidence >= SURE]
    return _by_letter(near) | _waved(near.of_words(sure))


def _by_letter(near: _Near) -> set[int]:
    """Which of the words are crossed out letter by letter."""
    word, ends, height = near.word, near.ends, near.height[near.word]
    size = np.array([each.size * ACROSS[each.origin == "stroke"] for each in near.words])[word]
    along, up = np.abs(ends[:, 1] - ends[:, 0]).T
    slopes = (up >= size) & (along >= SLOPE * up) & (up <= 2 * height)
    off, half = np.abs(ends.mean(axis=1)), near.length[word] / 2
    over = slopes & (off[:, 0] <= half) & (off[:, 1] <= MIDDLE * height)
    beside = slopes & ((off[:, 0] > half + OVERHANG * height / 2) | (off[:, 1] > height))
    most = np.bincount(word[over], minlength=len(near.words)) >= PEN
    cut = np.searchsorted(word, np.arange(len(near.words) + 1))  # what is about a word lies together
    found = set()
    for k in np.flatnonzero(most).tolist():
        mine = slice(cut[k], cut[k + 1])
        if _is_of_pen(ends[mine][over[mine]], ends[mine][beside[mine]], float(near.length[k])):
            found.add(k)
    return found


def _is_of_pen(over: FloatArray, beside: FloatArray, length: float) -> bool:
    """Do slopes (n, 2, 2) over a word run along nearly all of it, and are those beside it, if any, fewer?"""
    low, high = over[..., 0].min(axis=1), over[..., 0].max(axis=1)
    places = np.linspace(-length / 2, length / 2, PLACES)
    under = ((places[:, None] >= low) & (places[:, None] <= high)).any(axis=1)
    return bool(under.mean() >= COVERED and len(beside) < len(over) / 2)


def _waved(near: _Near) -> set[int]:
    """Which of the words have a wave along them."""
    word, half, height = near.word, near.length[near.word] / 2, near.height[near.word]
    # What is near two words is there once for each: their copies must not meet.
    apart = near.ends + 4 * (near.length.max() + near.height.max()) * word[:, None, None] * np.array([0.0, 1.0])
    wave = hanging_together(nodes(apart.reshape(-1, 2), JOINT_PT))
    part = np.floor((near.ends[..., 0].mean(axis=1) + half) / (2 * half) * PARTS).astype(np.int64)
    inner = (np.abs(near.ends[..., 1]).min(axis=1) <= MIDDLE * height) | (near.ends[..., 1].prod(axis=1) < 0)
    inner &= (part >= 0) & (part < PARTS)
    reached = np.unique(wave[inner] * PARTS + part[inner]) // PARTS
    count = int(wave.max(initial=-1)) + 1
    off = np.abs(near.ends).max(axis=1)
    beyond = (off[:, 0] > half + OVERHANG * height) | (off[:, 1] > height)
    runs_on = np.bincount(wave[beyond], minlength=count) > 0
    waves = (np.bincount(reached, minlength=count) >= REACHED) & ~runs_on
    waves &= np.bincount(wave, minlength=count) >= PEN
    return {int(word[first]) for first in _first(wave, waves) if _is_over(near, wave, first)}


def _first(wave: IntArray, waves: BoolArray) -> list[int]:
    """A line of each of the waves."""
    own = np.flatnonzero(waves[wave])
    return own[np.unique(wave[own], return_index=True)[1]].tolist()


def _is_over(near: _Near, wave: IntArray, first: int) -> bool:
    """Is a wave, told by a line of it, drawn over letters, and not the letters themselves, joined as a script's?"""
    word = near.words[near.word[first]]
    if word.origin != "stroke":
        return True
    k, own = near.word[first], (near.word == near.word[first]) & (wave != wave[first])
    if np.ptp(near.ends[wave == wave[first], :, 0]) < WIDEST * word.size:
        return False
    middle = np.abs(near.ends[own].mean(axis=1))
    inside = (middle[:, 0] <= near.length[k] / 2) & (middle[:, 1] <= near.height[k] / 2)
    ink = np.hypot(*(near.ends[own][:, 1] - near.ends[own][:, 0]).T)[inside].sum()
    return bool(ink >= LETTER * word.size * len(word.text))
