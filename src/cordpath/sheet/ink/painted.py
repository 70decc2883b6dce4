"""What a page paints beyond the paths that MuPDF lists, call by call: pictures, stencils, shadings, overprint.

Terms: *number*, place in paint order, as MuPDF counts paths, texts, pictures and shadings; *stencil*, letters or a
mask through which something else is painted; *veil*, a group or clip of which it is not known what it hides;
*clear*, blended so that what lies below is seen; *overlay*, a picture or a white stencil that may hide something,
but is no upright rectangle: it is turned, lies in an odd clip, or has a mask.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from pymupdf import mupdf

from cordpath.model import Box
from cordpath.sheet.ink.blends import OPAQUE, THROUGH_FAINT, may_hide
from cordpath.sheet.ink.devices import Device, box_of, common, within
from cordpath.sheet.ink.overlays import Corners, Rgb, blots, corners, is_paper, one_colour, overprints, share, size

COUNTED = ("fill_text", "stroke_text", "ignore_text", "fill_shade", "fill_image_mask")
CALLS = (
    *COUNTED, "fill_path", "stroke_path", "fill_image", "clip_path", "clip_stroke_path", "clip_text",
    "clip_stroke_text", "clip_image_mask", "pop_clip", "begin_group", "end_group", "begin_tile", "end_tile",
)  # fmt: skip
LEVEL = 1e-6  # of its size that a picture is turned at most; others are not taken for rectangles
FAR = 1e7  # pt; corners beyond are of a damaged matrix (pages have 14,400 units at most: ISO 32000-2, annex C)
WIDE = 0.5  # of the page that a picture with a mask covers: of a larger one, see-through ink over it all, only what
# is solid hides anything
WHOLE = (0.0, 0.0, 1.0, 1.0)  # of a picture, in its own frame

Unlisted = tuple[int, int, Mapping[str, Any]]  # number, clip, and what MuPDF would tell of a path of it


class Overlay(NamedTuple):
    """``number`` in paint order, ``corners`` in MuPDF's frame, and the ``clip`` that it is seen through; ``told``:
    as a picture that was not read, if it is small."""

    number: int
    corners: Corners
    clip: int
    told: bool


class Place(NamedTuple):
    """What the clips leave; is there a veil, a stencil around it, is it clear; the innermost clip by a path, as
    ``Paths`` counts them, -1 for none; the stencils of letters around it, by their number; and does a group around
    it knock out: what is painted later, see-through or not, replaces what was painted before."""

    around: Box
    veil: bool = False
    stencil: bool = False
    clear: bool = False
    clip: int = -1
    letters: tuple[int, ...] = ()
    knockout: bool = False


class Painted(Device):
    stack: list[Place]

    def __init__(self, page: Box) -> None:
        super().__init__(CALLS, Place(page))
        self.number, self.area = 0, (page[2] - page[0]) * (page[3] - page[1])
        self.pictures: list[tuple[int, Box]] = []
        self.paint: list[Unlisted] = []
        self.shadings: list[tuple[int, Box]] = []
        self.overlays: list[Overlay] = []
        self.through: set[int] = set()
        self.overprinted: set[int] = set()
        self.texts: list[Box] = []  # those that are stencils
        self.used: set[Box] = set()  # of those, which something is painted through

    def fill_path(self, *call: Any) -> None:
        if self.stack[-1].knockout and float(call[6]) < OPAQUE:
            x0, y0, x1, y1 = self._within(lambda: mupdf.ll_fz_bound_path(call[1], None, call[3]))
            around = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
            self.overlays.append(Overlay(self.number, around, self.stack[-1].clip, False))
        self._path(call, None)

    def stroke_path(self, *call: Any) -> None:
        self._path(call, call[2])

    def _path(self, call: tuple[Any, ...], pen: Any) -> None:
        if overprints(call[4], call[5], call[7]):
            self.overprinted.add(self.number)
        if self.stack[-1].stencil:
            self.through.add(self.number)
            self._paint(lambda: mupdf.ll_fz_bound_path(call[1], pen, call[3]))
        self.number += 1

    def fill_text(self, *call: Any) -> None:
        if self.stack[-1].letters:
            self._paint(lambda: mupdf.ll_fz_bound_text(call[1], None, call[2]))
        self.number += 1

    def stroke_text(self, *call: Any) -> None:
        if self.stack[-1].letters:
            self._paint(lambda: mupdf.ll_fz_bound_text(call[1], call[2], call[3]))
        self.number += 1

    def ignore_text(self, *_: Any) -> None:
        self.number += 1

    def _within(self, bound: Callable[[], Any]) -> Box:
        return within(self.stack[-1].around, bound)

    def _paint(self, bound: Callable[[], Any] | None = None) -> None:
        """Something is painted, within what ``bound`` gives: which letters may be seen by it?"""
        box = self._within(bound) if bound is not None else self.stack[-1].around
        if box[0] > box[2] or box[1] > box[3]:
            return
        for text in (self.texts[k] for k in self.stack[-1].letters):
            if box[0] <= text[2] and text[0] <= box[2] and box[1] <= text[3] and text[1] <= box[3]:
                self.used.add(text)

    def fill_image_mask(
        self, _: Any, image: Any, m: Any, space: Any, colour: Any, opacity: float, *rest: Any
    ) -> None:
        plain = self._plain(m, one_colour(image, space, colour), opacity)
        if not plain and opacity >= OPAQUE and is_paper(space, colour):
            self._overlay(m, image, False)
        self._paint()
        self.number += 1

    def fill_shade(self, _: Any, shade: Any, m: Any, opacity: float, *rest: Any) -> None:
        if not self.stack[-1].clear and (opacity >= OPAQUE or may_hide(opacity)):
            around = self._within(lambda: mupdf.ll_fz_bound_shade(shade, m))
            if around[0] < around[2] and around[1] < around[3]:
                self.shadings.append((self.number, around))
        self._paint()
        self.number += 1

    def fill_image(self, _: Any, image: Any, m: Any, opacity: float, *rest: Any) -> None:
        here = self.stack[-1]
        plain = not (
            here.veil or here.stencil or opacity < OPAQUE or image.mask or image.use_colorkey or image.imagemask
        )
        most = max(abs(m.a), abs(m.b), abs(m.c), abs(m.d))
        level = min(max(abs(m.b), abs(m.c)), max(abs(m.a), abs(m.d))) <= LEVEL * most
        shown = opacity >= OPAQUE or may_hide(opacity)
        if not shown or image.use_colorkey or image.imagemask or self._plain(m, one_colour(image), opacity):
            pass
        elif plain and level and opacity >= OPAQUE:
            x, y = m.a + m.c, m.b + m.d
            box = (min(m.e, m.e + x), min(m.f, m.f + y), max(m.e, m.e + x), max(m.f, m.f + y))
            box = common(box, here.around)
            if box[0] < box[2] and box[1] < box[3]:
                self.pictures.append((self.number, box))
        else:
            self._overlay(m, image.mask, bool(image.mask))
        self._paint()
        self.number += 1

    def _plain(self, m: Any, colour: Rgb | None, opacity: float) -> bool:
        """Is a picture one colour and nothing else: then it is paint, a line or an area."""
        here, whole = self.stack[-1], corners(m, WHOLE)
        if colour is None or here.stencil or max(abs(c) for point in whole for c in point) >= FAR:
            return False
        if here.clear:
            opacity = THROUGH_FAINT
        quad = (whole[0], whole[1], whole[3], whole[2])
        path = {"type": "f", "items": [("qu", quad)], "fill": colour, "fill_opacity": opacity}
        self.paint.append((self.number, here.clip, path))
        return True

    def _overlay(self, m: Any, mask: Any, told: bool) -> None:
        """Something opaque that is painted; ``mask`` says where, None for everywhere."""
        here = self.stack[-1]
        if here.clear or here.letters:
            return
        whole = corners(m, WHOLE)
        if max(abs(c) for point in whole for c in point) >= FAR:
            return
        if mask and size(whole, here.around) > WIDE * self.area:
            parts, told = blots(mask, math.hypot(m.a, m.b)), False
        else:
            part = share(mask) if mask else WHOLE
            parts = [] if part is None else [part]
        self.overlays.extend(Overlay(self.number, corners(m, part), here.clip, told) for part in parts)

    def clip_path(self, _: Any, path: Any, even_odd: Any, m: Any, *rest: Any) -> None:
        try:
            upright = bool(mupdf.ll_fz_path_is_rect(path, m))
        except Exception:
            upright = False
        around = self._within(lambda: mupdf.ll_fz_bound_path(path, None, m))
        self._clip(around=around, veil=self.stack[-1].veil or not upright)

    def clip_stroke_path(self, *_: Any) -> None:
        self._clip(veil=True)

    def _stencil(self, text: Any, m: Any) -> None:
        here = self.stack[-1]
        around, letters = here.around, here.letters
        try:
            self.texts.append(box_of(mupdf.ll_fz_bound_text(text, None, m)))
            around, letters = common(self.texts[-1], around), (*letters, len(self.texts) - 1)
        except Exception:
            pass  # they are not told either
        self._enter(around=around, veil=True, stencil=True, letters=letters)

    def clip_image_mask(self, *_: Any) -> None:
        self._enter(veil=True, stencil=True)

    def begin_tile(self, *_: Any) -> int:
        # MuPDF draws a cell once, where its pattern begins: what it hides elsewhere is not known.
        self._enter(veil=True)
        return 0

    def begin_group(self, *call: Any) -> None:
        here = self.stack[-1]
        solid, mixed = float(call[6]) >= OPAQUE, mupdf.fz_blendmode_name(call[5]) != "Normal"
        clear = here.clear or mixed or not (solid or may_hide(float(call[6])))
        self._enter(
            veil=here.veil or mixed or not solid, clear=clear, knockout=here.knockout or bool(call[4])
        )  # fmt: skip
