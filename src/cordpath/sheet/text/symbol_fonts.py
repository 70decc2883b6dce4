"""Glyphs that are ink: symbols that are shown as text, each a receptacle, a switch; and letters of fonts that say
nothing of them, to be read as they are drawn.

To a program they are letters (an A here and there), to a reader they are drawn.  Their outlines are ink: lines of a
pen where the text is only outlined, as the graphics of R (statistics) draw small circles; else filled and lined.
These are no lines of a pen: a shape that the mapping file draws with one is not recognised in them, but they are
told with their places where nothing names them.

Terms: *font of symbols*, one none of whose glyphs looks like the letter that it is said to be, or whose codes are
signs, and whose larger glyphs mostly stand alone: letters stand in words.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from cordpath.geometry import midpoints
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.sheet.ink.blends import THROUGH_MASK
from cordpath.sheet.ink.painted import Unlisted
from cordpath.sheet.text.around_text import CLIP, MASKED, UNSEEN, glyph_frame
from cordpath.sheet.text.ciphers import plain
from cordpath.sheet.text.colours import rgb
from cordpath.sheet.text.font_maps import LETTERS, Denied
from cordpath.sheet.text.glyph_outlines import Part, ShownFont, parts
from cordpath.sheet.text.legible import is_sign

LARGE, THICK = 6.0, 2.0  # pt, longer and shorter side: bullets and dashes of lists are smaller, no symbol is
ALONE = 0.75  # of a font's large glyphs: two symbols may stand side by side, letters stand in words
BESIDE = 0.18  # of the size, as between the letters of a word
OTHER_SIZE = 1.3  # of two letters of one word the larger is less than this times the smaller
PEN = 0.5  # pt, of glyphs of Type 3 that are drawn with a pen: a thin one (common practice, no source)
OUTLINED, INVISIBLE = 1, 3  # text render modes
BROAD = 0.2  # of the size: broader pens are not of this outline
# In the name of a font that has no letters at all: Zapf Dingbats, of every PDF reader; the circles of LaTeX's
# picture environment (lcircle10, lcirclew10 of every TeX).
NO_LETTERS = ("dingbats", "lcircle")
NOTHING_DRAWN: tuple[Part, ...] = ((np.zeros((0, 4)), False),)
MOST = 5000  # symbols of fonts on a page: more are text
MOST_LETTERS = 50_000  # of a font that says nothing of its letters: more are print, and no plan's


def candidates(fonts: tuple[ShownFont, ...], against: Denied) -> dict[str, list[ShownFont]]:
    """By plain name, the fonts that may be of symbols, by what they say and draw."""
    out: dict[str, list[ShownFont]] = defaultdict(list)
    for font in fonts:
        codes = [code for _, code in font.letters]
        signs = any(chr(c) in LETTERS or is_sign(chr(c)) for c in codes)
        if (plain(font.name) in against.unlike and signs) or is_of_signs(font.name):
            out[plain(font.name)].append(font)
    return out


def is_of_signs(font: str) -> bool:
    """Has the font no letters, by its name."""
    return any(name in font.lower() for name in NO_LETTERS)


@dataclass(frozen=True, eq=False)
class _Letters:
    """All letters of a page, MuPDF's frame: (n,) sizes, (n, 2) where each begins on its line, (n, 4) boxes."""

    size: FloatArray
    at: FloatArray
    box: FloatArray

    def over(self, near: IntArray, k: int) -> BoolArray:
        """(m,) which of the letters ``near`` begin where the ``k``-th does or have its middle: it is one itself."""
        middle = midpoints(self.box)
        return np.asarray(np.minimum(
            np.hypot(*(self.at[near] - self.at[k]).T), np.hypot(*(middle[near] - middle[k]).T)
        ) <= BESIDE * self.size[k], bool)  # fmt: skip


def symbols_of_fonts(
    spans: list[dict[str, Any]], fonts: dict[str, list[ShownFont]]
) -> tuple[tuple[Unlisted, ...], frozenset[str]]:
    """The glyphs of fonts of symbols as painted paths (:class:`cordpath.sheet.ink.beneath.Beneath`), and the plain
    names of these fonts.  ``spans``: MuPDF's, with what encloses them."""
    shown = _letters_shown(spans)
    letters = _Letters(
        np.array([span["size"] for span, _ in shown], float),
        np.array([letter[2] for _, letter in shown], float).reshape(-1, 2),
        np.array([letter[3] for _, letter in shown], float).reshape(-1, 4),
    )
    tree = shapely.STRtree(shapely.box(*letters.box.T))
    found: dict[str, list[Unlisted]] = defaultdict(list)
    alone: dict[str, list[bool]] = defaultdict(list)
    drawn: dict[tuple[str, int], tuple[Part, ...]] = {}
    for k, (span, (code, glyph, at, _)) in enumerate(shown):
        name = plain(span["font"])
        if name not in fonts or not is_shown(span) or len(alone[name]) > MOST:
            continue
        if (name, glyph) not in drawn:
            drawn[name, glyph] = glyph_parts(fonts[name], glyph, code)
        its = [(placed(xy, span, at), areas) for xy, areas in drawn[name, glyph]]
        whole = np.concatenate([xy for xy, _ in its])
        if _large(whole):
            alone[name].append(_by_itself(whole, k, letters, tree))
            found[name] += [(int(span["seqno"]), span.get(CLIP, -1), _path(*part, span)) for part in its]
    names = [name for name, its in alone.items() if its and len(its) <= MOST and np.mean(its) >= ALONE]
    glyphs = sorted((each for name in names for each in found[name]), key=lambda each: each[0])
    return tuple(glyphs), frozenset(names)


def letters_of_fonts(
    spans: list[dict[str, Any]], fonts: dict[str, list[ShownFont]]
) -> tuple[tuple[Unlisted, ...], frozenset[str]]:
    """The glyphs of fonts that say nothing of their letters, as painted paths, and the plain names of those fonts
    of which every glyph can be drawn: none is a picture, or another in a font of the same name."""
    found: dict[str, list[Unlisted]] = defaultdict(list)
    drawn: dict[tuple[str, int], tuple[Part, ...]] = {}
    lost: set[str] = set()
    for span, (code, glyph, at, _) in _letters_shown(spans):
        name = plain(span["font"])
        if name not in fonts or name in lost or not is_shown(span):
            continue
        if (name, glyph) not in drawn:
            its = [font for font in fonts[name] if (glyph, code) in font.letters]
            drawn[name, glyph] = glyph_parts(its, glyph, code) if len(its) == 1 else NOTHING_DRAWN
        first, blank = drawn[name, glyph][0]
        if (not len(first) and not blank) or len(found[name]) > MOST_LETTERS:
            lost.add(name)
        for xy, areas in drawn[name, glyph] if len(first) else ():
            path = {**_path(placed(xy, span, at), areas, span), **({"type": "f"} if _filled(areas, span) else {})}
            found[name].append((int(span["seqno"]), span.get(CLIP, -1), path))
    names = frozenset(found) - lost
    return tuple(sorted((each for name in names for each in found[name]), key=lambda each: each[0])), names


def _letters_shown(spans: list[dict[str, Any]]) -> list[tuple[dict[str, Any], Any]]:
    return [(span, letter) for span in spans for letter in span["chars"] if chr(letter[0]).strip()]


def _filled(areas: bool, span: dict[str, Any]) -> bool:
    return areas and span["type"] != OUTLINED


def is_shown(span: dict[str, Any]) -> bool:
    return not span.get(UNSEEN) and span["type"] != INVISIBLE and bool(span["opacity"]) and span["size"] > 0


def _large(xy: FloatArray) -> bool:
    if not len(xy) or not np.isfinite(xy).all():
        return False
    sides = np.ptp(xy.reshape(-1, 2), axis=0)
    return bool(sides.min() >= THICK and sides.max() >= LARGE)


def _by_itself(xy: FloatArray, k: int, letters: _Letters, tree: shapely.STRtree) -> bool:
    """Has the glyph, the ``k``-th of the letters in ``tree``, none beside it of about its size.

    What is shown over it is not beside it: circles about one middle.
    """
    size, ends = letters.size, xy.reshape(-1, 2)
    low, high = ends.min(axis=0) - BESIDE * size[k], ends.max(axis=0) + BESIDE * size[k]
    near = tree.query(shapely.box(*low, *high))
    like = np.maximum(size[near], size[k]) < OTHER_SIZE * np.minimum(size[near], size[k])
    return not bool((like & ~letters.over(near, k)).any())


def glyph_parts(fonts: list[ShownFont], glyph: int, code: int) -> tuple[Part, ...]:
    """As :func:`parts`, of the font of this name that shows the glyph; none where it cannot be drawn."""
    font = next((font for font in fonts if (glyph, code) in font.letters), fonts[0])
    try:
        return parts(font.drawn, glyph)
    except Exception:
        return ((np.zeros((0, 4)), True),)


def placed(xy: FloatArray, span: dict[str, Any], at: tuple[float, float]) -> FloatArray:
    """The pieces (n, 4) of a glyph, size 1, where it is shown, in MuPDF's frame."""
    a, b, c, d = glyph_frame(span)
    turn = np.array([[a, b], [-c, -d]])
    return np.asarray((xy.reshape(-1, 2) @ turn + np.array(at)).reshape(-1, 4), float)


def _path(xy: FloatArray, areas: bool, span: dict[str, Any]) -> dict[str, Any]:
    """As MuPDF tells of a path."""
    colour = rgb(span["color"])
    opacity = THROUGH_MASK if span.get(MASKED) else float(span["opacity"])
    filled, outlined = _filled(areas, span), span["type"] == OUTLINED
    pen = float(span.get("linewidth") or 0.0)
    return {
        "items": [("l", (a, b), (c, d)) for a, b, c, d in xy.tolist()], "layer": span.get("layer", ""),
        "type": "fs" if filled else "s", "fill": colour, "color": colour, "fill_opacity": opacity,
        "stroke_opacity": opacity, "width": pen if outlined and 0 < pen <= BROAD * span["size"] else PEN,
    }  # fmt: skip
