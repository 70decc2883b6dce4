"""The fonts of the text that a page shows, and what encloses each text: groups that nobody sees, soft masks, clips.

MuPDF's list of texts says nothing of it: a word in a group of no opacity reads like any other.  So the page is run
once more for its texts, clips and groups alone.

Terms: *showing*, one call to show text, in paint order; *stencil*, text that is no ink but a clip, through which
something else is painted.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np
import pymupdf
import shapely
from pymupdf import mupdf

from cordpath.frame import Affine, apply
from cordpath.geometry import midpoints
from cordpath.model import Box, Point, Word
from cordpath.sheet.ink.blends import UNSURE, is_mask
from cordpath.sheet.ink.clip_shapes import Shapes, seen_points
from cordpath.sheet.ink.devices import Device, Pen, box_of
from cordpath.sheet.text.glyph_outlines import ShownFont

MOST_GLYPHS = 400  # of one font: more letters than any alphabet's are not needed to judge it
UNSEEN, MASKED, CLIP, FRAME = "unseen", "masked", "clip", "frame"  # what is added to MuPDF's spans of text
STRETCHED = 0.1, 10.0  # times as high as wide: beyond it nobody reads the letters
GlyphFrame = tuple[float, float, float, float]  # x and y of the right, then of the up of a glyph of size 1, pt
CALLS = (
    "fill_text", "stroke_text", "ignore_text", "clip_text", "clip_stroke_text", "clip_path", "clip_stroke_path",
    "clip_image_mask", "pop_clip", "begin_group", "end_group", "fill_image", "fill_image_mask",
    "fill_shade",
)  # fmt: skip


class Around(NamedTuple):
    """``masked``: seen through a soft mask, or blended so that what is seen depends on what is below;
    ``clip``: number of the innermost clip by a path, as :class:`Paths` counts them; -1 for none."""

    unseen: bool = False
    masked: bool = False
    clip: int = -1


@dataclass(frozen=True)
class Showings:
    """``around`` each showing; ``stencils``: boxes of texts that are clips, in MuPDF's frame; ``pens``: of clips
    that are the track of a pen, by their number; ``pictures``: how many the page paints, with its shadings, and
    its groups that knock out; ``fonts``: those of the text that is painted; ``frames``: for each showing where the
    right and the up of its glyphs, of size 1, go in MuPDF's frame, for each of its spans."""

    around: tuple[Around, ...] = ()
    stencils: tuple[Box, ...] = ()
    clips: int = 0
    pens: dict[int, Pen] = field(default_factory=dict)
    pictures: int = 0
    fonts: tuple[ShownFont, ...] = ()
    frames: tuple[tuple[GlyphFrame, ...], ...] = ()


class _Texts(Device):
    stack: list[Around]

    def __init__(self) -> None:
        super().__init__(CALLS, Around())
        self.around: list[Around] = []
        self.frames: list[tuple[GlyphFrame, ...]] = []
        self.stencils: list[Box] = []
        self.pictures = 0
        self.pens: dict[int, Pen] = {}
        self.fonts: dict[int, mupdf.FzFont] = {}
        self.letters: dict[int, dict[tuple[int, int], None]] = {}
        self.failure: BaseException | None = None

    def fill_text(self, *call: Any) -> None:
        # the context, the text, its matrix, colour space and colour, opacity
        self._text(call[1], call[2], len(call) > 5 and is_mask(call[5]))

    def stroke_text(self, *call: Any) -> None:
        self._text(call[1], call[3], len(call) > 6 and is_mask(call[6]))

    def _text(self, text: Any, matrix: Any, masked: bool) -> None:
        here = self.stack[-1]
        self.around.append(here._replace(masked=here.masked or masked))
        self.frames.append(())
        if self.failure is None:
            try:
                self.frames[-1] = tuple(_frames(text.head, matrix))
                self._letters(text.head)
            except BaseException as error:  # one that leaves a call of MuPDF's ends the process
                self.failure = error

    def _letters(self, span: Any) -> None:
        while span is not None:
            shown = mupdf.FzTextSpan(span)
            font = shown.font()
            key = int(font.m_internal_value())
            self.fonts.setdefault(key, font)
            letters = self.letters.setdefault(key, {})
            for i in range(span.len):
                item = shown.items(i)
                if item.gid >= 0 and item.ucs > 0 and len(letters) < MOST_GLYPHS:
                    letters[item.gid, item.ucs] = None
            span = span.next

    def ignore_text(self, *_: Any) -> None:
        self.around.append(self.stack[-1])
        self.frames.append(())

    def _stencil(self, text: Any, m: Any) -> None:
        self._enter()
        try:
            box = box_of(mupdf.ll_fz_bound_text(text, None, m))
        except Exception:
            return
        if not self.stack[-1].unseen:
            self.stencils.append(box)

    def clip_path(self, *_: Any) -> None:
        self._clip()

    def clip_stroke_path(self, *call: Any) -> None:
        pen = call[2] if len(call) > 3 else None
        if isinstance(pen, mupdf.fz_stroke_state) and isinstance(call[3], mupdf.fz_matrix):
            m = call[3]
            wide = float(pen.linewidth) * math.sqrt(abs(m.a * m.d - m.b * m.c))
            self.pens[self.clips] = Pen(wide, (pen.start_cap,) * 3, pen.linejoin, pen.dash_len > 0)
        self._clip()

    def fill_image(self, *_: Any) -> None:
        self.pictures += 1

    fill_shade = fill_image_mask = fill_image

    def clip_image_mask(self, *_: Any) -> None:
        self._enter()

    def begin_group(self, *call: Any) -> None:
        here, opacity = self.stack[-1], float(call[6])
        self.pictures += bool(call[4])
        unsure = is_mask(opacity) or mupdf.fz_blendmode_name(call[5]) in UNSURE
        self._enter(unseen=here.unseen or opacity == 0, masked=here.masked or unsure)


def showings(page: pymupdf.Page) -> Showings:
    """Every text of the page with what encloses it; raises what MuPDF raises on a damaged page."""
    device = _Texts()
    mupdf.fz_run_page(page.this, device, mupdf.FzMatrix(), mupdf.FzCookie())
    device.fz_close_device()
    if device.failure is not None:
        raise device.failure
    fonts = tuple(
        ShownFont(str(mupdf.fz_font_name(font)), font, tuple(device.letters[key]))
        for key, font in device.fonts.items()
    )
    return Showings(
        tuple(device.around), tuple(device.stencils), device.clips, device.pens, device.pictures, fonts,
        tuple(device.frames),
    )  # fmt: skip


def _frames(span: Any, matrix: Any) -> Iterator[GlyphFrame]:
    """Of each span of a text that begins with this."""
    while span is not None:
        m, n = span.trm, matrix
        yield (
            m.a * n.a + m.b * n.c, m.a * n.b + m.b * n.d, m.c * n.a + m.d * n.c, m.c * n.b + m.d * n.d,
        )  # fmt: skip
        span = span.next


def glyph_frame(span: dict[str, Any]) -> GlyphFrame:
    """Where the right and the up of a span's glyphs go; upright ones of its size along its line where it is not
    known."""
    (cos, sin), size = span["dir"], span["size"]
    frame: GlyphFrame = span.get(FRAME) or (size * cos, size * sin, size * sin, -size * cos)
    return frame


def height(span: dict[str, Any]) -> float:
    """What the letters are high in sizes as MuPDF tells them, along the line: of letters of half the width, 2."""
    a, b, c, d = glyph_frame(span)
    along = a * a + b * b
    return float(np.clip(abs(a * d - b * c) / along, *STRETCHED)) if along > 0 and not span["wmode"] else 1.0


def enclosed(spans: list[dict[str, Any]], told: Showings) -> list[dict[str, Any]]:
    """MuPDF's spans with what encloses each: UNSEEN, MASKED and CLIP, and with their FRAME.  Left as they are where
    the two runs of the page do not agree."""
    number = {order: k for k, order in enumerate(dict.fromkeys(span["seqno"] for span in spans))}
    if len(number) != len(told.around):
        return spans
    many, out = Counter(span["seqno"] for span in spans), []
    part: Counter[int] = Counter()
    for span in spans:
        order, k = span["seqno"], number[span["seqno"]]
        its, frames = told.around[k], told.frames[k]
        frame = frames[part[order]] if len(frames) == many[order] else None
        part[order] += 1
        out.append({**span, UNSEEN: its.unseen, MASKED: its.masked, CLIP: its.clip, FRAME: frame})
    return out


def uncut(spans: list[dict[str, Any]], shapes: Shapes, to_page: Affine) -> list[dict[str, Any]]:
    """The spans without letters whose middle an odd clip cuts away."""
    return [_uncut(span, shapes, to_page) if span.get(CLIP, -1) in shapes else span for span in spans]


def _uncut(span: dict[str, Any], shapes: Shapes, to_page: Affine) -> dict[str, Any]:
    box = np.array([letter[3] for letter in span["chars"]], float).reshape(-1, 4)
    middle = apply(to_page, midpoints(box))
    seen = seen_points(middle, np.full(len(middle), span[CLIP]), shapes)
    return {**span, "chars": [letter for letter, ok in zip(span["chars"], seen, strict=True) if ok]}


def unsaid(told: Showings, used: Collection[Box], words: tuple[Word, ...], to_page: Affine) -> tuple[Point, ...]:
    """Middles of stencils at which no word stands, in page coordinates; ``used``: those painted through."""
    stencils = [box for box in told.stencils if box in used]
    if not stencils:
        return ()
    box = apply(to_page, np.array(stencils, float).reshape(-1, 4))
    box = box[np.isfinite(box).all(axis=1)]
    tree = shapely.STRtree([shapely.box(*word.box) for word in words])
    said = np.unique(tree.query(shapely.box(*box.T))[0])
    middle = np.delete(midpoints(box), said, axis=0)
    return tuple((float(x), float(y)) for x, y in middle)
