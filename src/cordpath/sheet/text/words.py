"""The words of a page, in page coordinates.

Terms: *glyph*, one shown character; *baseline*, the line it stands on; *along* and *across*, a glyph's place in the
frame of its reading direction; *line*, glyphs on one baseline with no wide gap: a run as a reader sees it.

Words are built from single glyphs because the ready word lists of PDF libraries break turned text into letters,
join invisible text with its neighbours, and trust the writer's order.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
import pymupdf

from cordpath.frame import Affine, apply
from cordpath.geometry import box_around
from cordpath.model import BoolArray, Box, Fills, FloatArray, IntArray, Point, TextOrigin, Word
from cordpath.sheet.ink.clip_shapes import Shapes
from cordpath.sheet.ink.paths import Paths
from cordpath.sheet.ink.veils import Veils
from cordpath.sheet.lettering.trust import DOUBTFUL
from cordpath.sheet.text.around_text import MASKED, STRETCHED, UNSEEN, Showings, enclosed, height, uncut
from cordpath.sheet.text.backwards import Row, forwards
from cordpath.sheet.text.ciphers import plain
from cordpath.sheet.text.clipped_text import Place, cut_away, on_paper, place
from cordpath.sheet.text.colours import is_white, rgb
from cordpath.sheet.text.covered_words import shown
from cordpath.sheet.text.font_maps import Denied
from cordpath.sheet.text.sizes import KIND, true_sizes
from cordpath.sheet.unprinted import is_unprinted

WORD_GAP = 0.18  # of the font size: a space is 0.25 or more, a gap inside a word rarely over 0.12
LINE_GAP = 1.5  # of the font size: wider gaps separate runs (columns of a schedule)
BACK = 0.6  # of the font size: a glyph may start this far before the end of the last one (kerning, overstrike)
BASELINE = 0.25  # of the font size: glyphs this far across are on another line
SAME_ANGLE = 2.0  # degrees
TWIN = 0.12  # of the font size: the same word this close is the same ink (fill and outline, false bold)
INVISIBLE = 3  # text render mode
LEAST_SIZE = 0.5  # pt; smaller text is a speck: the smallest on sheets, printed at half size, has 2 pt
NOTHING = Denied()
ALONE, WHOLE = Showings(), Shapes()
FEET_MISNAMED = re.compile(r"\d+©-\d")
MISNAMED = str.maketrans("©º¤", "'\"/")  # quotesingle, quotedblright, fraction: codes A9, BA, A4

Glyphs = list[tuple[str, Point, Point, float, float, int]]


@dataclass(frozen=True, eq=False)
class _Table:
    """g glyphs in paint order; places in page coordinates."""

    text: list[str]
    start: FloatArray  # (g, 2) on the baseline
    width: FloatArray  # (g,) advance, pt
    size: FloatArray  # (g,) along the line: of letters of half the width half their height
    angle: FloatArray  # (g,) degrees, as displayed
    span: IntArray  # (g,) index into spans
    denied: BoolArray  # (g,) drawn as another letter than it is said to be
    spans: list[dict[str, Any]]

    @cached_property
    def direction(self) -> FloatArray:
        """(g, 2) unit vector along the line."""
        radians = np.radians(self.angle)
        return np.column_stack([np.cos(radians), -np.sin(radians)])


def words(
    page: pymupdf.Page, to_page: Affine, fills: Fills, paths: Paths, veils: Veils, against: Denied = NOTHING,
    around: Showings = ALONE, shapes: Shapes = WHOLE,
) -> tuple[Word, ...]:  # fmt: skip
    """All words that a reader sees, and invisible ones with origin ``hidden``; ``paths`` are those of the page and
    its fills, ``veils`` what may hide a part of them, ``around`` what encloses each text, ``shapes`` the odd clips.
    Words with a letter that is drawn as another, that is seen through a soft mask or of which a part is painted out
    or is under a veil, are doubtful."""
    away = cut_away(page) if len(paths.scissors) else frozenset()
    traced = uncut(enclosed(page.get_texttrace(), around), shapes, to_page)
    spans = _once([span for span in traced if _sound(span)])
    table = _glyphs(spans, to_page, against, away, tuple(page.bound()))
    if not table.text:
        return ()
    found, number = _build(table)
    spans = [table.spans[n] for n in number]
    reach = np.array([_reach(span) for span in spans])
    seen, partly = shown(found, [int(span["seqno"]) for span in spans], reach, fills, paths, veils)
    for k in np.flatnonzero(partly):
        found[k] = replace(found[k], confidence=min(found[k].confidence, DOUBTFUL))
    return tuple(_renumbered(_without_twins([word for word, ok in zip(found, seen, strict=True) if ok])))


def _glyphs(
    spans: list[dict[str, Any]], to_page: Affine, against: Denied, away: frozenset[Place], paper: Box
) -> _Table:
    """The glyphs on the paper, a box in MuPDF's frame."""
    text: list[str] = []
    start, extent, owner, wrong = [], [], [], []
    for number, span in enumerate(spans):
        font, unsure = plain(span["font"]), span.get(MASKED, False) or is_unprinted(span["color"])
        for code, glyph, origin, box in span["chars"]:
            if away and place(origin) in away:
                continue
            text.append(_letter(code))
            wrong.append((font, glyph, code) in against.glyphs or unsure)
            start.append(origin)
            extent.append(box)
            owner.append(number)
    index = np.array(owner, np.int64)
    places = np.array(start, float).reshape(-1, 2)
    boxes = np.array(extent, float).reshape(-1, 4)
    kept, cut = on_paper(boxes, index, paper)
    text, denied = [text[k] for k in kept], np.array(wrong, bool)[kept] | cut[kept]
    index, places, boxes = index[kept], places[kept], boxes[kept]
    heading = np.array([span["dir"] for span in spans], float).reshape(-1, 2)
    size = np.array([span["size"] for span in spans], float)
    turned = heading @ np.array(to_page[:4]).reshape(2, 2)
    angle = np.degrees(np.arctan2(-turned[:, 1], turned[:, 0])) if len(spans) else np.zeros(0)
    width = _advance(boxes, places, heading[index]) * float(np.hypot(*to_page[:2]))
    drawn = np.array([bool(letter.strip()) for letter in text], bool)
    size = true_sizes(size[index], width, _own_units(spans)[index], drawn)
    return _Table(text, apply(to_page, places), width, size, angle[index], index, denied, spans)


def _own_units(spans: list[dict[str, Any]]) -> IntArray:
    """(spans,) a number for each font whose unit is its own affair, -1 for the others."""
    names = [str(span["font"]) for span in spans]
    known = {name: number for number, name in enumerate(dict.fromkeys(names)) if name.startswith(KIND)}
    return np.array([known.get(name, -1) for name in names], np.int64)


def _sound(span: dict[str, Any]) -> bool:
    """Has the span a size, a direction and finite places (damaged text matrices give none)."""
    numbers = [span["size"], *span["dir"], *span["bbox"]]
    return all(map(math.isfinite, numbers)) and span["size"] > 0 and math.hypot(*span["dir"]) > 0.5


def _once(spans: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Without the outlines of letters that were filled before: a single narrow letter would be two, 1 an 11.

    Of hollow letters, filled with white, the outline is what is seen."""
    out: list[dict[str, Any]] = []
    for span in spans:
        if not (out and _outlines(span, out[-1])):
            out.append(span)
        elif is_white(rgb(out[-1]["color"])):
            out[-1] = span
    return out


def _outlines(span: dict[str, Any], before: dict[str, Any]) -> bool:
    """Are the same letters shown at the same places, in another way."""
    if span["type"] == before["type"] or _unseen(span) != _unseen(before):
        return False
    one, other = ([(code, origin) for code, _, origin, _ in each["chars"]] for each in (span, before))
    return one == other


def _unseen(span: dict[str, Any]) -> bool:
    if span["type"] == INVISIBLE or span["opacity"] <= 0 or span.get(UNSEEN):
        return True
    return not str(span["font"]).startswith(KIND) and not (  # a Type 3 font has any unit
        span["size"] >= LEAST_SIZE and STRETCHED[0] < height(span) < STRETCHED[1]
    )


def _letter(code: int) -> str:
    if code < 32 or 0x7F <= code < 0xA0 or 0xD800 <= code < 0xE000 or code > 0x10FFFF:
        return " " if code in (9, 10, 13) else "\ufffd"
    if 0x202A <= code <= 0x202E or 0x2066 <= code <= 0x2069:  # turns the text around it on screens, not on paper
        return "\ufffd"
    letter = chr(code)
    if letter.isspace():
        return " "
    return unicodedata.normalize("NFKC", letter) if 0xFB00 <= code <= 0xFB06 else letter  # ligatures


def _advance(boxes: FloatArray, origin: FloatArray, heading: FloatArray) -> FloatArray:
    """Width of glyphs from the upright boxes around them, which depend on the font's height where text is turned.

    With u the reading direction and v the direction up, a glyph's corners are  a u + t v  from its origin, a in
    (0, width) and t in (descent, ascent).  On the axis where v is large, the edge of the box that lies on the side
    of a = 0 gives t; with that t, the edge of the box on the other axis gives the width.
    """
    if not len(boxes):
        return np.zeros(0)
    edge = boxes.reshape(-1, 2, 2) - origin[:, None, :]  # low and high, x and y
    up = np.column_stack([heading[:, 1], -heading[:, 0]])
    row = np.arange(len(boxes))
    k = np.abs(heading).argmax(axis=1)
    j = 1 - k
    side = np.where(heading[row, j] >= 0, 0, 1)
    t = edge[row, side, j] / up[row, j]
    end = np.where(heading[row, k] > 0, 1, 0)
    width = (edge[row, end, k] - t * up[row, k]) / heading[row, k]
    return np.maximum(width, 0.0)


def _build(table: _Table) -> tuple[list[Word], list[int]]:
    """Words in paint order, and the span of each."""
    blank = np.array([not letter.strip() for letter in table.text], bool)
    solid = np.flatnonzero(~blank)
    if not len(solid):
        return [], []
    new_line, _ = _breaks(table, solid, np.cumsum(blank))
    row = Row(*(values[solid] for values in (table.start, table.width, table.size, table.angle, table.direction)))
    solid = solid[forwards(row, new_line)]
    new_line, new_word = _breaks(table, solid, np.cumsum(blank))
    pieces = np.split(solid, np.flatnonzero(new_word)[1:])
    line_of = (np.cumsum(new_line) - 1)[np.flatnonzero(new_word)]
    found = [_word(table, piece, int(line)) for piece, line in zip(pieces, line_of, strict=True)]
    return found, [int(table.span[piece[0]]) for piece in pieces]


def _breaks(table: _Table, solid: IntArray, blanks: IntArray) -> tuple[BoolArray, BoolArray]:
    """For the visible glyphs in order: does a line, does a word begin here."""
    size, angle = table.size[solid], table.angle[solid]
    direction = table.direction[solid]
    kind = np.array([_unseen(span) for span in table.spans])[table.span[solid]]
    step = np.diff(table.start[solid], axis=0)
    along = (step * direction[:-1]).sum(axis=1)
    across = np.abs(step[:, 0] * direction[:-1, 1] - step[:, 1] * direction[:-1, 0])
    gap = along - table.width[solid][:-1]
    small = np.minimum(size[1:], size[:-1])
    turn = np.abs((np.diff(angle) + 180) % 360 - 180)
    line = (turn > SAME_ANGLE) | (across > BASELINE * small) | (gap > LINE_GAP * small) | (gap < -BACK * small)
    line |= (np.maximum(size[1:], size[:-1]) > 1.3 * small) | (kind[1:] != kind[:-1])
    word = line | (gap > WORD_GAP * small) | (np.diff(blanks[solid]) != 0)
    first = np.ones(1, bool)
    return np.concatenate([first, line]), np.concatenate([first, word])


def _word(table: _Table, glyphs: IntArray, line: int) -> Word:
    span = table.spans[int(table.span[glyphs[0]])]
    text = _feet("".join(table.text[g] for g in glyphs))
    high = 1.0 if str(span["font"]).startswith(KIND) else height(span)  # a Type 3 font has any unit
    size, angle = float(table.size[glyphs[0]]) * high, float(table.angle[glyphs[0]])
    along = table.direction[glyphs[0]]
    up = np.array([along[1], -along[0]])  # a quarter turn counter-clockwise as seen, y down
    start, last = table.start[glyphs[0]], glyphs[-1]
    end = table.start[last] + along * table.width[last]
    top, bottom = _reach(span)
    corners = np.array([p + up * size * h for p in (start, end) for h in (top, bottom)])
    origin: TextOrigin = "hidden" if _unseen(span) else "font"
    return Word(
        text, box_around(corners), _tidy(angle), size, line,
        str(span["font"]), rgb(span["color"]), origin, DOUBTFUL if table.denied[glyphs].any() else 1.0,
        str(span.get("layer") or ""),
    )  # fmt: skip


def _feet(text: str) -> str:
    """A length whose marks are told by their codes in the standard encoding (ISO 32000-2, annex D.2), read as
    Latin-1: so some programs write the maps of fonts that they convert."""
    return text.translate(MISNAMED) if FEET_MISNAMED.match(text) else text


def _reach(span: dict[str, Any]) -> tuple[float, float]:
    """How far letters reach above and below the baseline, parts of the size; fonts that state nonsense get usual
    values (0.8 and -0.2, common practice, no source)."""
    top, bottom = float(span["ascender"]), float(span["descender"])
    return (top if 0.4 <= top <= 1.3 else 0.8), (bottom if -0.6 <= bottom <= 0.0 else -0.2)


def _tidy(angle: float) -> float:
    nearest = round(angle / 90.0) * 90.0
    angle = nearest if abs(angle - nearest) < 0.5 else angle
    return angle % 360.0


def _without_twins(found: list[Word]) -> list[Word]:
    """One of each group of equal words at one place, a painted one if there is one."""
    kept: list[int] = []
    places: dict[str, list[Word]] = {}
    for k in sorted(range(len(found)), key=lambda k: found[k].origin == "hidden"):
        word = found[k]
        others = places.setdefault(word.text, [])
        near = TWIN * word.size
        if any(max(abs(a - b) for a, b in zip(word.box, other.box, strict=True)) <= near
               for other in others):  # fmt: skip
            continue
        others.append(word)
        kept.append(k)
    return [found[k] for k in sorted(kept)]


def _renumbered(found: list[Word]) -> list[Word]:
    numbers: dict[int, int] = {}
    return [replace(word, line=numbers.setdefault(word.line, len(numbers))) for word in found]
