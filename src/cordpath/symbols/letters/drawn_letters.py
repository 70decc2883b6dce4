"""The letters of a symbol where they are drawn as strokes or outlines: read at the one place where they must stand.

The reader of lettering believes no single letter, nor letters that touch something else: as often as not such marks
are no letters at all.  Here it is known which letter would stand where, and what else is drawn there.  Terms: see
``glyphs``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from cordpath.model import BoolArray, Box, FloatArray, IntArray, Word
from cordpath.symbols.ink.grid import within
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.letters.glyphs import (
    BODIES,
    CAP,
    TALLEST,
    GlyphReader,
    Glyphs,
    area_glyphs,
    every_spot,
    letter_height,
    on_own_marks,
    rows_at,
    short_of,
    stroke_glyphs,
    turned,
)
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.letters.no_letters import no_letters, ticks_at
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.templates.template import Template

SURE, SURE_ALONE = 0.9, 0.95  # chance of each letter of a row, and of one letter by itself
SHAPES = {"I": "I1L|'", "O": "O0"}  # letters that are one shape with others in many drafting fonts
UPRIGHT = (0.0, 90.0, 270.0)  # degrees in which letters are read
OFF = 0.2  # body radii from its place to the middle of a letter: drawn letters have their middle to a pen's width
IN_DOUBT = 0.5  # confidence of letters that are sure, and may be another word's
# share of a word along which lines run that strike it out: more than two letters of three; places looked at
STRUCK, STEPS = 0.7, 50
OTHER = 0.5  # chance of another letter, read upright, from which a sideways reading is none


def with_drawn_words(
    letters: Letters, found: Sequence[tuple[Template, FloatArray, Ink]], paint: Paint, read: GlyphReader
) -> tuple[Word, ...]:
    """The words of the sheet and those that the templates' letters are at their poses, in place of what was read
    there with less knowledge."""
    fresh: list[Word] = []
    line = 1 + max((word.line for word in letters.words), default=-1)
    for template, poses, ink in found:
        for value, x, y in template.drawn.texts:
            if template.text_only or not value.isalnum() or not len(poses):
                continue
            spots, kept = every_spot(template, poses, np.array([x, y]))
            for k in np.flatnonzero(_inked(template, poses, ink, paint, spots, kept)).tolist():
                pose, here = poses[k], spots[k][kept[k]]
                if _surely_read(letters, template, pose):
                    continue
                word = _exact(value.upper(), here, template, pose, letters)
                if word is None:
                    others = letters.of_others(template, pose, ink, value)
                    known = (value.upper(), here, template, pose, ink, paint, read, line + len(fresh))
                    word = _word(*known, others) or _between_ticks(*known, others) or _among_larger(*known, others)
                if word is not None and not any(_at_one_place(word, other) for other in fresh):
                    fresh.append(word)
    return (*_apart(letters.words, fresh), *fresh)


def _surely_read(letters: Letters, template: Template, pose: FloatArray) -> bool:
    words = letters.lettering(template, pose).words
    return len(words) == len(template.drawn.texts) and all(letters.words[k].confidence >= SURE for k in words)


def _at_one_place(word: Word, other: Word) -> bool:
    return math.dist(word.at, other.at) < 0.3 * word.size


def _apart(words: tuple[Word, ...], fresh: list[Word]) -> list[Word]:
    """The words without those that were made of the fresh ones' strokes before."""
    drawn = [k for k, word in enumerate(words) if word.is_drawn]
    boxes = shapely.box(*np.array([words[k].box for k in drawn], float).reshape(-1, 4).T)
    new = shapely.box(*np.array([word.box for word in fresh], float).reshape(-1, 4).T)
    other, own = shapely.STRtree(boxes).query(new)
    common = shapely.area(shapely.intersection(boxes[own], new[other]))
    again = {drawn[k] for k in own[common > 0.5 * shapely.area(boxes[own])].tolist()}
    return [word for k, word in enumerate(words) if k not in again]


def _inked(
    template: Template, poses: FloatArray, ink: Ink, paint: Paint, spots: FloatArray, kept: BoolArray
) -> BoolArray:
    """(n,) poses at whose spots short strokes or small areas lie that are no marks of the template's lines.

    ``spots`` (n, k, 2) and which of them are ``kept`` (n, k): see every_spot.
    """
    height = np.minimum(TALLEST, BODIES * template.radius * poses[:, SCALE])
    of, n = np.nonzero(kept)
    at = spots[of, n]
    c, k = ink.grid.near(at, 0.5 * float(height.max()))
    of_pose = of[c]
    short = (k < ink.count) & (ink.run[k] <= height[of_pose]) & ~ink.hatch[k]
    c, k, of_pose = c[short], k[short], of_pose[short]
    near = within(ink.xy[k], at[c], 0.5 * height[of_pose])
    k, of_pose = k[near], of_pose[near]
    strange = ~on_own_marks(template, poses, ink.xy[k], of_pose)
    out = np.bincount(of_pose[strange], minlength=len(poses)) > 0
    if len(paint.shapes):
        low = np.where(kept[..., None], spots, np.inf).min(1) - 0.3 * height[:, None]
        high = np.where(kept[..., None], spots, -np.inf).max(1) + 0.3 * height[:, None]
        painted, _ = paint.tree.query(shapely.box(*low.T, *high.T))
        out[painted] = True
    return out


def _exact(value: str, spots: FloatArray, template: Template, pose: FloatArray, letters: Letters) -> Word | None:
    """The word of the sheet at one of the mark's ``spots`` (s, 2), where it is known stroke by stroke; in doubt
    like others."""
    radius = template.radius * float(pose[SCALE])
    found: list[Word] = []
    for spot in spots:
        for k in letters.near(spot, max(1.5, 0.6 * letter_height(template, pose) / CAP, 0.15 * radius)):
            word = letters.words[k]
            if letters.text[k].upper() == value and word.line in letters.drawn.lines and word.confidence > 0:
                found.append(_of_body(replace(word, confidence=SURE_ALONE), spot, template, pose))
    return found[0] if len(found) == 1 else None


def _word(
    value: str, spots: FloatArray, template: Template, pose: FloatArray, ink: Ink, paint: Paint, read: GlyphReader,
    line: int, others: IntArray,
) -> Word | None:  # fmt: skip
    """``others``: segments of letters that say something else, and neither are the mark nor touch it."""
    height = letter_height(template, pose)
    reach = height * (0.5 + 0.45 * len(value))
    radius = template.radius * float(pose[SCALE])
    found: list[Word] = []
    solid = paint.on_marks(template, pose)
    for spot in spots:
        # a letter's side may lie on a mark: then the letter is whole only with the marks
        drawn = (stroke_glyphs(template, pose, ink, spot, reach, height, marks, others) for marks in (False, True))
        for glyphs in (*drawn, area_glyphs(paint, spot, reach, height, but=solid)):
            word = None if glyphs is None else _spelt(value, glyphs, spot, radius, read, line)
            if word is not None:
                found.append(_of_body(word, spot, template, pose))
                break
    return found[0] if len(found) == 1 else None  # on two sides of one body one may be a neighbour's


def _between_ticks(
    value: str, spots: FloatArray, template: Template, pose: FloatArray, ink: Ink, paint: Paint, read: GlyphReader,
    line: int, others: IntArray,
) -> Word | None:  # fmt: skip
    """The same where a dimension's tick runs through the letters: a single letter may be a tick itself."""
    ticks = ticks_at(ink, spots) if len(value) > 1 else NOBODYS
    if not len(short_of(ink, ticks, letter_height(template, pose))):
        return None  # longer lines were left out before
    return _word(value, spots, template, pose, ink, paint, read, line, np.union1d(others, ticks))


def _among_larger(
    value: str, spots: FloatArray, template: Template, pose: FloatArray, ink: Ink, paint: Paint, read: GlyphReader,
    line: int, others: IntArray,
) -> Word | None:  # fmt: skip
    """The same where a wire in pieces, a polyline or a row of hatch runs through the letters, being too large for
    them; not where such things run along them, as what strikes them out does."""
    large = no_letters(ink, spots, len(value), joined=True) if len(value) > 1 else NOBODYS
    if not len(short_of(ink, large, letter_height(template, pose))):
        return None
    word = _word(value, spots, template, pose, ink, paint, read, line, np.union1d(others, large))
    pieces = large[ink.run[large] <= letter_height(template, pose)]  # longer lines were left out before
    return None if word is None or _struck(word, ink.xy[pieces]) else word


def _struck(word: Word, xy: FloatArray) -> bool:
    """Do lines (n, 4) run along the most of a word?"""
    parts = shapely.intersection(shapely.linestrings(xy.reshape(-1, 2, 2)), shapely.box(*word.box))
    points, of = shapely.get_coordinates(parts, return_index=True)
    turn = math.radians(word.angle)
    along = points @ np.array([math.cos(turn), -math.sin(turn)])
    corners = shapely.get_coordinates(shapely.box(*word.box)) @ np.array([math.cos(turn), -math.sin(turn)])
    low, high = np.full(len(xy), np.inf), np.full(len(xy), -np.inf)
    np.minimum.at(low, of, along)
    np.maximum.at(high, of, along)
    steps = np.linspace(corners.min(), corners.max(), STEPS)
    under = ((steps[:, None] >= low) & (steps[:, None] <= high)).any(1)
    return bool(under.mean() > STRUCK)


def _of_body(word: Word, spot: FloatArray, template: Template, pose: FloatArray) -> Word:
    """The word; in doubt if its mark stands in the body and it stands beside the mark and over the body's edge, as
    the letters of notes that run into a symbol do."""
    if len(template.outline) < 4 or math.dist(word.at, spot) <= OFF * template.radius * float(pose[SCALE]):
        return word
    body = shapely.Polygon(place(pose[None], template.outline)[0])
    within = body.contains(shapely.Point(spot)) and not body.buffer(template.clear).contains(shapely.box(*word.box))
    return replace(word, confidence=min(word.confidence, IN_DOUBT)) if within else word


def _spelt(
    value: str, glyphs: Glyphs, spot: FloatArray, radius: float, read: GlyphReader, line: int
) -> Word | None:
    """The row of glyphs at the spot, if it reads as the value and as nothing else."""
    for angle in UPRIGHT:
        seen, turn = glyphs.seen(angle), turned(angle)
        for row in rows_at(seen, len(value), spot @ turn, radius):
            sure = least_chance(value, [seen.xy[k] for k in row], seen.filled, read)
            if sure is None:
                return None
            if sure >= (SURE if len(value) > 1 else SURE_ALONE):
                box = seen.box[row]
                return _as_word(value, box, angle, turn, seen.filled, sure, line)
    return None


def least_chance(value: str, row: list[FloatArray], filled: bool, read: GlyphReader) -> float | None:
    """The chance of its least sure letter; None where other letters are likely."""
    least = 1.0
    for letter, told in zip(value, read(row, filled), strict=True):
        like = SHAPES.get(letter, letter)
        mine = sum(share for other, share in told.items() if other in like)
        if any(share >= OTHER for other, share in told.items() if other not in like):
            return None
        least = min(least, mine)
    return least


def _as_word(
    value: str, box: FloatArray, angle: float, turn: FloatArray, filled: bool, sure: float, line: int
) -> Word:
    low, high = box[:, :2].min(0), box[:, 2:].max(0)
    corners = np.array([low, (low[0], high[1]), high, (high[0], low[1])]) @ turn.T
    (x0, y0), (x1, y1) = corners.min(0).tolist(), corners.max(0).tolist()
    page: Box = (x0, y0, x1, y1)
    size = float(high[1] - low[1]) / CAP
    return Word(value, page, angle, size, line, "", (0.0, 0.0, 0.0), "outline" if filled else "stroke", sure)
