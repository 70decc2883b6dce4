"""Words as marks of a template.

Terms: *place*, the page point where a text mark of a template must have its middle.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from cordpath.model import BoolArray, Box, FloatArray, IntArray, Mapping, Point, Word
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.letters.drawn_words import BOX_SLACK, NOT_DRAWN, Drawn, may_be_part
from cordpath.symbols.letters.glyphs import CAP, TALLEST
from cordpath.symbols.letters.near_reading import AreasOver, OtherLetter, Over, Painted, Rows, Turned
from cordpath.symbols.pose import SCALE, TURN, place
from cordpath.symbols.templates.orbits import orbit, orbits
from cordpath.symbols.templates.template import Template

SURE = 0.8  # confidence of a word that was read from strokes from which it is the mark that it looks like
RUN_INTO, AT_END = 30.0, 0.35  # pt to the middle of a word that begins with a mark; of its height, from its place
LABEL = 1.6  # times its distance in the example: how far from the body a label may stand on another side of it
STROKES_A_LETTER = 2.0  # length of a letter's strokes over the font size, about, for comparing ink
INNER = 0.8  # of a body's reach: words farther from its middle stand beside it
ROUNDING = 1e-6  # pt
FAR = 15.0  # pt about a body within which strokes may be letters of its marks
AROUND = 14.0  # pt about a text mark's place within which its word is looked for, or the body's radius


@dataclass(frozen=True, eq=False)
class Lettering:
    """The text marks of a template at a pose.  ``words``: numbers of the matched words."""

    pose: FloatArray
    matched: int
    wanted: int
    words: tuple[int, ...]
    ink: float  # pt of strokes that the letters stand for


class Letters:
    """The sheet's words, by place."""

    def __init__(
        self,
        words: tuple[Word, ...],
        mapping: Mapping,
        marks: frozenset[str],
        unread: tuple[Point, ...] = (),
        over: Over | None = None,
        painted: Painted | None = None,
        drawn: Drawn | None = None,
        rows: Rows | None = None,
        turned: Turned | None = None,
        other_letter: OtherLetter | None = None,
        areas_over: AreasOver | None = None,
    ) -> None:
        self.words = words
        self.drawn = drawn or NOT_DRAWN
        self.text = [word.text.strip() for word in words]
        self.shown = np.array([w.origin != "hidden" and bool(w.text.strip()) for w in words], bool)
        self.at: FloatArray = np.array([word.at for word in words], float).reshape(-1, 2)
        self.marks = marks
        self.unread: FloatArray = np.array(unread, float).reshape(-1, 2)  # places of lettering that nobody read
        self.labels = mapping.labels
        self.tree = cKDTree(self.at) if len(words) else None
        self.over = over  # finds words that are drawn across a body, where strokes can be read
        self.areas_over = areas_over
        self.painted = painted
        self.rows = rows
        self.turned = turned
        self.other_letter = other_letter
        self._by_value: dict[str, list[tuple[int, float]]] = {}  # see _longer

    @cached_property
    def _by_text(self) -> dict[str, IntArray]:
        """Numbers of the shown words by what they say, in upper case."""
        found: dict[str, list[int]] = {}
        for k in np.flatnonzero(self.shown).tolist():
            found.setdefault(self.text[k].upper(), []).append(k)
        return {text: np.array(numbers, np.int64) for text, numbers in found.items()}

    @cached_property
    def _by_line(self) -> dict[int, list[int]]:
        found: dict[int, list[int]] = defaultdict(list)
        for k in np.flatnonzero(self.shown).tolist():
            found[self.words[k].line].append(k)
        return found

    @cached_property
    def _shown_tree(self) -> cKDTree | None:
        return cKDTree(self.at[self.shown]) if self.shown.any() else None

    def near(self, point: FloatArray, radius: float) -> list[int]:
        if self.tree is None:
            return []
        return sorted(int(k) for k in self.tree.query_ball_point(point, radius) if self.shown[k])

    def strokes_of(self, words: tuple[int, ...], ink: Ink) -> IntArray:
        """Segments that make up words which were read from strokes."""
        found = [np.zeros(0, np.int64)]
        for k in words:
            word = self.words[k]
            if word.origin != "stroke":
                continue
            exact = self.drawn.segments(word, ink)
            if len(exact):
                found.append(exact)
                continue
            x0, y0, x1, y1 = word.box
            _, near = ink.grid.near(self.at[k][None], math.hypot(x1 - x0, y1 - y0) / 2)
            q = ink.xy[near]
            inside = (q[:, [0, 2]] > x0 - BOX_SLACK).all(1) & (q[:, [0, 2]] < x1 + BOX_SLACK).all(1)
            inside &= (q[:, [1, 3]] > y0 - BOX_SLACK).all(1) & (q[:, [1, 3]] < y1 + BOX_SLACK).all(1)
            found.append(near[inside & (near < ink.count)])
        return np.concatenate(found)

    def letterings(self, template: Template, poses: FloatArray) -> list[Lettering]:
        """The lettering at each pose; where none of the words is anywhere near, there is nothing to compare."""
        wanted = [self._by_text.get(value.upper()) for value, _, _ in template.drawn.texts]
        said = [numbers for numbers in wanted if numbers is not None]
        marks = np.array([[x, y] for _, x, y in template.drawn.texts]) - template.centre
        reach = float(np.hypot(*marks.T).max()) * LABEL * float(poses[:, SCALE].max())
        reach += max(AROUND, template.radius)
        near = np.zeros(len(poses), bool)
        if said:
            centres = place(poses, template.centre[None])[:, 0]
            near = cKDTree(self.at[np.concatenate(said)]).query(centres)[0] <= reach
        first = orbits(template, poses)[:, 0] if not template.round else poses
        none = len(template.drawn.texts)
        return [
            self.lettering(template, pose) if here else Lettering(unturned, 0, none, (), 0.0)
            for pose, unturned, here in zip(poses, first, near.tolist(), strict=True)
        ]

    def lettering(self, template: Template, pose: FloatArray) -> Lettering:
        """The pose of the symmetric ones at which most text marks have their word."""
        best = Lettering(pose, -1, len(template.drawn.texts), (), 0.0)
        for turned in self._turned(template, pose):
            words: list[int] = []
            for value, x, y in template.drawn.texts:
                at = place(turned[None], np.array([[x, y]]))[0, 0]
                word = self._word(value, at, template.radius)
                if word is None:
                    word = self._beside(value, np.array([x, y]) - template.centre, template, turned)
                if word is not None:
                    words.append(word)
            if len(words) > best.matched:
                ink = sum(STROKES_A_LETTER * self.words[k].size * len(self.text[k]) for k in words)
                best = Lettering(turned, len(words), best.wanted, tuple(words), ink)
        return best

    def _turned(self, template: Template, pose: FloatArray) -> FloatArray:
        if not template.round:
            return orbit(template, pose)
        value, x, y = template.drawn.texts[0]
        away = np.array([x, y]) - template.centre
        reach = float(np.hypot(*away))
        centre = place(pose[None], template.centre[None])[0, 0]
        if reach < 0.2 * template.radius:
            return pose[None]
        turned = [pose]  # a round body has no direction of its own: its text may stand on any side
        for k in self.near(centre, 1.3 * reach * pose[SCALE] + 4):
            if self.text[k].upper() == value.upper():
                d = self.at[k] - centre
                new = pose.copy()
                new[TURN] = math.atan2(d[1], d[0]) - math.atan2(away[1], away[0])
                new[:2] = 0.0
                new[:2] = centre - place(new[None], template.centre[None])[0, 0]
                turned.append(new)
        return np.array(turned)

    def _word(self, value: str, at: FloatArray, radius: float) -> int | None:
        best, least = None, math.inf
        for k in self.near(at, max(AROUND, 0.8 * radius)):
            gap = float(np.hypot(*(self.at[k] - at)))
            if self.text[k].upper() == value.upper() and gap <= self._slack(k, radius) and gap < least:
                best, least = k, gap
        return best

    def _beside(self, value: str, away: FloatArray, template: Template, pose: FloatArray) -> int | None:
        """The word of a mark that stands beside the body, as labels of a legend's row do, on any other side of it.

        Only for plain bodies, which are dropped without their letters.  No word is carried over that shows
        protection: it may be a neighbour's, and labels are dealt out with more care.
        """
        reach = float(np.hypot(*away))
        if template.weak_body is None or template.entry.protection is not None or reach <= template.radius:
            return None
        centre = place(pose[None], template.centre[None])[0, 0]
        for k in sorted(self.near(centre, LABEL * reach * float(pose[SCALE])),
                        key=lambda k: float(np.hypot(*(self.at[k] - centre)))):  # fmt: skip
            if self.text[k].upper() == value.upper():
                return k
        return None

    def inside(self, template: Template, poses: FloatArray) -> BoolArray:
        """(n,) poses with a word in the inner part of the body."""
        if self._shown_tree is None or not len(poses):
            return np.zeros(len(poses), bool)
        away, _ = self._shown_tree.query(place(poses, template.centre[None])[:, 0])
        return np.asarray(away <= INNER * template.radius * poses[:, SCALE] + ROUNDING, bool)

    def _slack(self, k: int, radius: float) -> float:
        """How far a word's middle may be from its mark: letters have no agreed middle."""
        return max(1.5, 0.6 * self.words[k].size, 0.15 * radius)

    def _run(self, k: int) -> list[int]:
        """The words that were read as one run with it, as far as letters of one word may be apart."""
        word = self.words[k]
        near = self.near(self.at[k], 1.5 * word.size)
        return [n for n in near if self.words[n].line == word.line and self.words[n].origin == word.origin] or [k]

    def run_text(self, k: int) -> str:
        """The letters of the run that a word of drawn letters belongs to, from left to right."""
        if not self.words[k].is_drawn:
            return self.text[k].upper()
        along = math.radians(self.words[k].angle)
        way = np.array([math.cos(along), -math.sin(along)])
        return "".join(self.text[n] for n in sorted(self._run(k), key=lambda n: float(self.at[n] @ way))).upper()

    def run_box(self, k: int) -> Box:
        """The box around the letters that were read as one run with the word, for words of drawn letters."""
        word = self.words[k]
        if not word.is_drawn:
            return word.box
        boxes = np.array([self.words[n].box for n in self._run(k)])
        low, high = boxes[:, :2].min(0).tolist(), boxes[:, 2:].max(0).tolist()
        return (low[0], low[1], high[0], high[1])

    def of_others(self, template: Template, pose: FloatArray, ink: Ink, value: str) -> IntArray:
        """Segments of drawn words around a place that are no part of the value."""
        about = self.drawn_about(template, pose, ink)
        known = np.concatenate([NOBODYS, *(own for k, own in about if not may_be_part(self.text[k], value))])
        return known if self.over is None else np.r_[known, self.over(template, pose, ink, value, known)]

    def is_lettering(self, k: int) -> bool:
        """Are the strokes of a drawn word letters beyond doubt?  A single letter that is not sure may be anything,
        and a letter taller than a symbol's may be the symbol, with its own letters."""
        word = self.words[k]
        return word.confidence >= SURE or (len(self.text[k]) > 1 and self.small(k))

    def small(self, k: int) -> bool:
        """Are its letters no taller than those beside symbols?"""
        return CAP * self.words[k].size <= TALLEST

    def drawn_about(self, template: Template, pose: FloatArray, ink: Ink) -> list[tuple[int, IntArray]]:
        """The words in and about a body whose strokes are known one by one, and their segments."""
        centre = place(pose[None], template.centre[None])[0, 0]
        lines = self.drawn.about(ink, centre, template.radius * float(pose[SCALE]) + FAR)
        words = [k for line in lines for k in self._by_line[line] if self.is_lettering(k)]
        found = [(k, self.drawn.segments(self.words[k], ink)) for k in words]
        return [(k, own) for k, own in found if len(own)]

    def unread_areas(self, template: Template, poses: FloatArray, ink: Ink, own: BaseGeometry) -> bool:
        """Are there outlined letters at a text mark, in one of the poses, that no word which is sure is made of and
        that are no filled mark of the template's twin there (``own``)?"""
        if self.painted is None:
            return False
        centre = place(poses[:1], template.centre[None])[0, 0]
        near = self.near(centre, 3 * template.radius * float(poses[0, SCALE]) + 30.0)
        sure = [self.words[k] for k in near if self.words[k].confidence >= SURE]
        return self.painted(template, poses[0], ink, sure, own)

    def _longer(self, value: str) -> list[tuple[int, float]]:
        """Numbers of the longer words that begin or end with the value, and its share of each; kept, since several
        templates have the value."""
        if value not in self._by_value:
            self._by_value[value] = [
                (k, len(value) / len(text))
                for text, words in self._by_text.items()
                if len(value) < len(text) and (text.startswith(value) or text.endswith(value))
                for k in words.tolist()
            ]
        return self._by_value[value]

    def run_into(self, values: list[str], spots: FloatArray) -> BoolArray:
        """(n,) Is there a longer word over the spot that begins or ends with a mark there: two texts laid over each
        other, which were read as one?"""
        out = np.zeros(len(spots), bool)
        over = [each for value in values for each in self._longer(value.upper())]
        if over and len(spots):
            number, share = np.array([k for k, _ in over]), np.array([share for _, share in over])
            near = cKDTree(self.at[number]).sparse_distance_matrix(cKDTree(spots), RUN_INTO, output_type="ndarray")
            word, spot, gap = near["i"], near["j"], near["v"]
            box = np.array([self.words[k].box for k in number[word].tolist()], float).reshape(-1, 4)
            high, wide = np.sort(box[:, 2:] - box[:, :2], axis=1).T
            inside = ((spots[spot] >= box[:, :2]) & (spots[spot] <= box[:, 2:])).all(1)
            # half the word less half the mark, from the word's middle to the mark's
            at_end = np.abs(0.5 * wide * (1 - share[word]) - gap) < AT_END * high
            out[spot[inside & at_end]] = True
        return out
