"""Drawn words laid across a symbol, and outlined letters in it that nobody read.  Terms: see ``glyphs``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import FIXTURE_KINDS, BoolArray, Box, FloatArray, IntArray, Word
from cordpath.symbols.ink.grid import sorted_unique
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.letters.drawn_letters import SURE, SURE_ALONE, UPRIGHT
from cordpath.symbols.letters.drawn_words import may_be_left_of
from cordpath.symbols.letters.glyphs import (
    CAP,
    WIDEST,
    GlyphReader,
    Glyphs,
    area_glyphs,
    joined,
    letter_height,
    short_strokes,
    spots_of,
    turned,
    whole_rows,
)
from cordpath.symbols.letters.strangers import LONGEST_MARK
from cordpath.symbols.letters.text_bands import CENTRAL, band_of, in_band
from cordpath.symbols.matching.paint import Paint, has_bays
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.templates.template import Template

BARS = "I1L|'/-O0C"  # letters that may be a line, a corner or a circle of something else
LETTER = 0.5  # chance of any letter from which an area may be one: arrowheads and dots are none
UNLIKELY = 0.02  # chance of a letter that an area is not, where it is a letter beyond doubt: I and L share the rest
TIGHT = 0.1  # of a row's height: letters of two texts laid over each other stand as near, those of one seldom
LEAST = 2  # sure letters of a row; an outline beside one is a bar or a ring seldom, strokes often
BAR = 3.0  # times as long as wide: an I
ASIDE = 2.0  # pt: more than an arc of a letter bows out over its chord


Row = tuple[Glyphs, list[int]]  # letters of a row, among the glyphs in its reading frame


@dataclass(frozen=True, eq=False)
class _About:
    """A body, and how far about it letters across it are looked for."""

    template: Template
    pose: FloatArray
    centre: FloatArray
    reach: float
    height: float  # of letters

    @staticmethod
    def of(template: Template, pose: FloatArray) -> _About:
        centre = place(pose[None], template.centre[None])[0, 0]
        reach = template.radius * float(pose[SCALE])
        return _About(template, pose, centre, reach, letter_height(template, pose))

    @cached_property
    def body(self) -> BaseGeometry:
        """With what is clear around it."""
        return shapely.Polygon(place(self.pose[None], self.template.outline)[0]).buffer(self.template.clear)

    @property
    def around(self) -> float:
        return self.reach + 1.5 * self.height

    def meets(self, seen: Glyphs, turn: FloatArray) -> BoolArray:
        """(g,) glyphs that may have to do with what is in the body: what continues a row of strokes is taken for
        letters as well, and may lie farther along it."""
        body = shapely.get_coordinates(self.body) @ turn
        apart = (seen.box[:, :2] > body.max(0) + ASIDE) | (seen.box[:, 2:] < body.min(0) - ASIDE)
        return np.asarray(~apart[:, 0 if seen.filled else 1 :].any(1), bool)


def strokes_over(
    template: Template, pose: FloatArray, ink: Ink, but: str | None = None, known: IntArray = NOBODYS,
    *, read: GlyphReader,
) -> IntArray:  # fmt: skip
    """Segments of words that are laid across the body: drawn letters side by side, each of them sure, that reach
    out of it.  Letters wholly inside it, or a few about its middle, may be its marks and are not among them, nor
    are words beside it.  With ``but``, of all such words about the body that may be no part of it.

    ``known``: segments that are known to be letters; those run into the others, and are not among the found.
    """
    if len(template.outline) < 4:
        return NOBODYS
    about = _About.of(template, pose)
    # the bow of a D makes it one, and joins it to what it touches
    bowed = short_strokes(template, pose, ink, about.centre, about.around, about.height, known, bows=True)
    short = bowed[ink.run[bowed] <= about.height]
    drawn = [short] if len(short) == len(bowed) else [short, bowed]
    rows = [
        [_across(glyphs, angle, about, read, but) for angle in UPRIGHT]
        for glyphs in (joined(ink, k, about.height) for k in drawn)
    ]
    found = _made_of([row for some in rows for row in some])
    if but is None and len(found):
        for k, some in zip(drawn, rows, strict=True):
            found = np.union1d(found, _beside(some, k, ink.xy[k], about.centre, CENTRAL * about.reach))
    return found


def areas_over(
    template: Template, pose: FloatArray, but: str | None = None, *, paint: Paint, read: GlyphReader
) -> IntArray:
    """The same of outlined letters: numbers of their painted areas.  No letter makes another fixture of a rich one:
    in it, words that lie wholly inside are among them."""
    if len(template.outline) < 4:
        return NOBODYS
    if but is None and template.entry.kind in FIXTURE_KINDS and not template.weak_body:
        but = ""
    about = _About.of(template, pose)
    glyphs = area_glyphs(paint, about.centre, about.around, about.height)
    return _made_of([_across(glyphs, angle, about, read, but) for angle in UPRIGHT])


def _beside(rows: list[list[Row]], short: IntArray, xy: FloatArray, centre: FloatArray, near: float) -> IntArray:
    """Those of the ``short`` segments, drawn as ``xy``, that belong to the letters' own rows: letters that run into
    other ink, or of which a part lies on a mark of the symbol.  ``near`` its ``centre`` may be marks of it."""
    found = [NOBODYS]
    for angle, some in zip(UPRIGHT, rows, strict=True):
        turn = turned(angle)
        seen_xy = (xy.reshape(-1, 2) @ turn).reshape(-1, 4)
        bands = (band_of(seen.box[row]) for seen, row in some)
        found += [short[in_band(band, seen_xy, centre @ turn, near)] for band in bands if band is not None]
    return sorted_unique(np.concatenate(found))


def _made_of(rows: Sequence[Sequence[Row]]) -> IntArray:
    found = [seen.segments[k] for some in rows for seen, row in some for k in row]
    return sorted_unique(np.concatenate([NOBODYS, *found]))


def _across(glyphs: Glyphs | None, angle: float, about: _About, read: GlyphReader, but: str | None) -> list[Row]:
    """The sure letters of the rows across the body that are read in the direction."""
    if glyphs is None or len(glyphs.xy) < 2:
        return []
    found = []
    seen, turn = glyphs.seen(angle), turned(angle)
    meets = np.ones(len(seen.xy), bool) if but is not None else about.meets(seen, turn)
    for row in whole_rows(seen, overlaid=but is None) if meets.any() else ():
        low, high = seen.box[row][:, :2].min(0), seen.box[row][:, 2:].max(0)
        corners = np.array([low, (low[0], high[1]), high, (high[0], low[1])]) @ turn.T
        out = not about.body.covers(shapely.MultiPoint(corners).convex_hull)
        central = float(np.hypot(*(corners.mean(0) - about.centre))) <= CENTRAL * about.reach
        if not meets[row].any() or (but is None and (not out or (central and len(row) <= LONGEST_MARK))):
            continue
        sure = sure_letters(seen, row, read, but or "")
        if but is not None or not central or len(sure) > LONGEST_MARK:
            found.append((seen, sure if but is not None or not seen.filled else _with_bars(seen, row, sure)))
    return [(seen, row) for seen, row in found if row]


def sure_letters(seen: Glyphs, row: list[int], read: GlyphReader, but: str) -> list[int]:
    """The sure letters of a row, if there are two, of strokes not of shapes that many things have, and it is no
    part of ``but``.  A letter close beside one that is not sure may be two, with one of ``but``: G and F under a W.
    One of ``but`` that overlaps another letter is of another text than that one, and may be the mark's."""
    told = read([seen.xy[k] for k in row], seen.filled)
    best = [max(chances.items(), key=lambda each: each[1], default=("", 0.0)) for chances in told]
    sure = [n for n, (letter, share) in enumerate(best) if share >= SURE and letter.isalnum()]
    if but:
        sure = [n for n in sure if not _crowded(seen.box[row], n, sure)]
        sure = [n for n in sure if best[n][0].upper() not in but.upper() or not _overlaid(seen, row[n])]
    plain = sum(best[n][0] in BARS for n in sure)
    said = [_may_say(chances, seen.filled) for chances in told]
    barred = bool(but) and may_be_left_of(said, but, seen.filled)
    shaped = len(sure) - plain
    enough = len(sure) >= LEAST and shaped >= (1 if seen.filled else LEAST)
    return [row[n] for n in sure] if enough and not barred else []


def _may_say(chances: dict[str, float], filled: bool) -> str:
    """The letters that one of a row may be, "" for any; an area that is a letter beyond doubt is no two."""
    least = SURE if not filled or sum(chances.values()) < SURE_ALONE else UNLIKELY
    return "".join(letter for letter, share in chances.items() if share >= least).upper()


def _with_bars(seen: Glyphs, row: list[int], sure: list[int]) -> list[int]:
    """The sure letters of a row of outlines, and what stands between two of them from their feet to their heads: an
    I is a bar to the reader, and a bar is an I there."""
    if len(sure) < 2:
        return sure
    feet, heads = (float(np.median(seen.box[sure][:, k])) for k in (3, 1))
    near = TIGHT * (feet - heads)
    level = (np.abs(seen.box[:, 3] - feet) < near) & (np.abs(seen.box[:, 1] - heads) < near)
    between = [b for a, b, c in zip(row, row[1:], row[2:], strict=False) if a in sure and c in sure]
    return sure + [n for n in between if n not in sure and level[n]]


def _crowded(box: FloatArray, n: int, sure: list[int]) -> bool:
    """Does a letter of a row with the boxes (g, 4) stand close beside one that is not sure?"""
    close = TIGHT * (box[n, 3] - box[n, 1])
    before = n > 0 and n - 1 not in sure and box[n, 0] - box[n - 1, 2] < close
    after = n + 1 < len(box) and n + 1 not in sure and box[n + 1, 0] - box[n, 2] < close
    return bool(before or after)


def _overlaid(seen: Glyphs, k: int) -> bool:
    """Does the letter overlap another one?"""
    apart = (seen.box[:, :2] > seen.box[k, 2:]) | (seen.box[:, 2:] < seen.box[k, :2])
    near = [n for n in np.flatnonzero(~apart.any(1)).tolist() if n != k]
    lines = [shapely.multilinestrings(seen.xy[n].reshape(-1, 2, 2)) for n in (k, *near)]
    return bool(shapely.intersects(lines[0], lines[1:]).any())


def painted_rows(
    template: Template, pose: FloatArray, *, paint: Paint, read: GlyphReader
) -> list[tuple[str, Box, IntArray]]:
    """What outlined letters side by side about a body say, where every one of them is sure, with the box around
    them and the numbers of their areas."""
    height = letter_height(template, pose)
    centre = place(pose[None], template.centre[None])[0, 0]
    glyphs = area_glyphs(paint, centre, template.radius * float(pose[SCALE]) + 1.5 * height, height)
    out: list[tuple[str, Box, IntArray]] = []
    if glyphs is None or len(glyphs.xy) < 2:
        return out
    for angle in UPRIGHT:
        seen, turn = glyphs.seen(angle), turned(angle)
        for row in whole_rows(seen):
            told = read([seen.xy[k] for k in row], seen.filled)
            best = [max(chances.items(), key=lambda each: each[1], default=("", 0.0)) for chances in told]
            shaped = [letter for letter, _ in best if letter not in BARS]
            if len(shaped) < 2 or not all(share >= SURE and letter.isalnum() for letter, share in best):
                continue
            corners = np.r_[seen.box[row][:, :2], seen.box[row][:, 2:]] @ turn.T
            (x0, y0), (x1, y1) = corners.min(0).tolist(), corners.max(0).tolist()
            text = "".join(letter for letter, _ in best).upper()
            out.append((text, (x0, y0, x1, y1), np.concatenate([seen.segments[k] for k in row])))
    return out


def painted_letters(
    template: Template, pose: FloatArray, ink: Ink, words: Sequence[Word], own: BaseGeometry, *,
    paint: Paint, read: GlyphReader,
) -> bool:  # fmt: skip
    """Are there outlined letters at a text mark of the template that none of the ``words`` is made of, and that are
    no filled mark of its twin's ``own``?

    They may be the mark's, overlaid by something: the reader of lettering takes what overlaps for other words.
    """
    if template.drawn.fills or not len(paint.shapes):
        return False
    height = letter_height(template, pose)
    known = shapely.union_all([own, *(shapely.box(*word.box).buffer(CAP) for word in words)])
    for value, x, y in template.drawn.texts:
        elsewhere = areas_over(template, pose, value, paint=paint, read=read)
        for spot in spots_of(template, pose, np.array([x, y])):
            glyphs = area_glyphs(paint, spot, 0.0, height, WIDEST)
            if glyphs is None:
                continue
            free = [
                n
                for n, (area,) in enumerate(glyphs.segments)
                if area not in elsewhere and not known.covers(paint.shapes[area].centroid)
            ]
            told = [n for n in free if sum(read([glyphs.xy[n]], True)[0].values()) >= LETTER]
            if len(told) >= min(2, len(value)):
                return True
            shapes = paint.shapes[[int(glyphs.segments[n][0]) for n in free]]
            bays = int(has_bays(shapes).sum())
            if bays and bays + sum(_is_bar(shape) for shape in shapes) >= min(2, len(value)):
                return True
    return False


def _is_bar(shape: shapely.Polygon) -> bool:
    """Is it a bar, as an I is?"""
    sides = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))
    if len(sides) < 4:
        return False
    one, two = np.hypot(*(sides[1:3] - sides[:2]).T).tolist()
    return max(one, two) >= BAR * min(one, two)
