"""What lies beneath pictures and what is seen through stencils only, which MuPDF's list of paths does not say.

The page is run once more for it where it paints pictures, or has text that is a clip.

Terms: *number*, place in paint order, as MuPDF counts paths, texts, pictures and shadings; *stencil*, letters or a
mask through which something else is painted; *veil*, a group or clip of which it is not known what it hides;
*clear*, blended so that what lies below is seen; *overlay*, a picture or a white stencil that may hide something,
but is no upright rectangle: it is turned, lies in an odd clip, or has a mask.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import pymupdf
from pymupdf import mupdf

from cordpath.model import Box
from cordpath.sheet.ink.blends import OPAQUE, THROUGH_FAINT, may_hide
from cordpath.sheet.ink.overlays import Corners, Rgb, blots, corners, is_paper, one_colour, overprints, share, size

COUNTED = ("fill_text", "stroke_text", "ignore_text", "fill_shade", "fill_image_mask")
CALLS = (
    *COUNTED, "fill_path", "stroke_path", "fill_image", "clip_path", "clip_stroke_path", "clip_text",
    "clip_stroke_text", "clip_image_mask", "pop_clip", "begin_group", "end_group", "begin_tile", "end_tile",
)  # fmt: skip
PAPER = (1.0, 1.0, 1.0)
LEVEL = 1e-6  # of its size that a picture is turned at most; others are not taken for rectangles
FAR = 1e7  # pt; corners beyond are of a damaged matrix (pages have 14,400 units at most: ISO 32000-2, annex C)
WIDE = 0.5  # of the page that a picture with a mask covers: of a larger one, see-through ink over it all, only what
# is solid hides anything


Unlisted = tuple[int, int, Mapping[str, Any]]  # number, clip, and what MuPDF would tell of a path of it


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


class Overlay(NamedTuple):
    """``number`` in paint order, ``corners`` in MuPDF's frame, and the ``clip`` that it is seen through; ``told``:
    as a picture that was not read, if it is small."""

    number: int
    corners: Corners
    clip: int
    told: bool


@dataclass(frozen=True)
class Pen:
    """Of a line that a pattern is painted along; caps and joins as MuPDF numbers them."""

    width: float
    caps: tuple[int, int, int]
    join: int
    dashed: bool


@dataclass(frozen=True)
class Beneath:
    """What MuPDF's list of paths does not say.  ``pens`` of the clips that are a pen's track, by their number;
    ``pictures``: boxes that hide what is painted before them, and their numbers in paint order, rising;
    ``through``: numbers of paths that are seen through letters or a stencil only; ``shadings``: as ``pictures``,
    boxes in which a shading hides something.  MuPDF does not say how far a shading goes on beyond its axis.
    ``overlays``: what else may hide something, in paint order.
    ``stencils``: boxes of the texts that something is painted through, as ``Showings`` has them.
    ``glyphs``: symbols that are shown as text, by rising number.
    ``paint``: areas and lines that are drawn as pictures or stencils of one colour; ``overprinted``: numbers of
    light paths that are printed over what is below them, and do not hide it."""

    pens: Mapping[int, Pen] = field(default_factory=dict)
    pictures: tuple[tuple[int, Box], ...] = ()
    through: frozenset[int] = frozenset()
    shadings: tuple[tuple[int, Box], ...] = ()
    overlays: tuple[Overlay, ...] = ()
    stencils: frozenset[Box] = frozenset()
    glyphs: tuple[Unlisted, ...] = ()
    paint: tuple[Unlisted, ...] = ()
    overprinted: frozenset[int] = frozenset()

    def unlisted(self) -> list[Unlisted]:
        """What is painted and no path to MuPDF, in paint order: the symbols, pictures of one colour, and others as
        white areas, which are no ink and hide what is below them."""
        pictures = ((n, -1, {"type": "f", "items": [("re", box, 1)], "fill": PAPER}) for n, box in self.pictures)
        return sorted((*self.glyphs, *self.paint, *pictures), key=lambda each: each[0])


class Device(mupdf.FzDevice2):  # type: ignore[misc]
    """A device of MuPDF: its methods are called with what is painted.  None may raise.

    ``stack``: what encloses it, innermost last, each with its ``clip``: the number of the innermost clip by a path
    or by the track of a pen, as ``Paths`` counts them; letters and masks are none."""

    def __init__(self, calls: Iterable[str], page: Any) -> None:
        super().__init__()
        for name in calls:
            getattr(self, f"use_virtual_{name}")()
        self.clips = 0
        self.stack = [page]

    def _enter(self, **more: Any) -> None:
        self.stack.append(self.stack[-1]._replace(**more))

    def _clip(self, **more: Any) -> None:
        self._enter(clip=self.clips, **more)
        self.clips += 1

    def pop_clip(self, *_: Any) -> None:
        if len(self.stack) > 1:
            self.stack.pop()

    end_group = end_tile = pop_clip


class _Painted(Device):
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
            self._knock(call[1], call[3])
        if overprints(call[4], call[5], call[7]):
            self.overprinted.add(self.number)
        if self.stack[-1].stencil:
            self.through.add(self.number)
            self._paint(lambda: mupdf.ll_fz_bound_path(call[1], None, call[3]))
        self.number += 1

    def stroke_path(self, *call: Any) -> None:
        if overprints(call[4], call[5], call[7]):
            self.overprinted.add(self.number)
        if self.stack[-1].stencil:
            self.through.add(self.number)
            self._paint(lambda: mupdf.ll_fz_bound_path(call[1], call[2], call[3]))
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

    def _knock(self, path: Any, m: Any) -> None:
        try:
            box = mupdf.ll_fz_bound_path(path, None, m)
            box = _common((box.x0, box.y0, box.x1, box.y1), self.stack[-1].around)
        except Exception:
            box = self.stack[-1].around
        around = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
        self.overlays.append(Overlay(self.number, around, self.stack[-1].clip, False))

    def _paint(self, bound: Callable[[], Any] | None = None) -> None:
        """Something is painted, within what ``bound`` gives: which letters may be seen by it?"""
        box = self.stack[-1].around
        try:
            found = bound() if bound is not None else None
            box = box if found is None else _common((found.x0, found.y0, found.x1, found.y1), box)
        except Exception:
            pass  # it may be seen in all that the clips leave
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
        around = self.stack[-1].around
        if not self.stack[-1].clear and (opacity >= OPAQUE or may_hide(opacity)):
            try:
                found = mupdf.ll_fz_bound_shade(shade, m)
                around = _common((found.x0, found.y0, found.x1, found.y1), around)
            except Exception:
                pass  # it may lie in all that the clips leave
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
            box = _common(box, here.around)
            if box[0] < box[2] and box[1] < box[3]:
                self.pictures.append((self.number, box))
        else:
            self._overlay(m, image.mask, bool(image.mask))
        self._paint()
        self.number += 1

    def _plain(self, m: Any, colour: Rgb | None, opacity: float) -> bool:
        """Is a picture one colour and nothing else: then it is paint, a line or an area."""
        here, whole = self.stack[-1], corners(m, (0.0, 0.0, 1.0, 1.0))
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
        whole = corners(m, (0.0, 0.0, 1.0, 1.0))
        if max(abs(c) for point in whole for c in point) >= FAR:
            return
        if mask and size(whole, here.around) > WIDE * self.area:
            parts, told = blots(mask, math.hypot(m.a, m.b)), False
        else:
            part = share(mask) if mask else (0.0, 0.0, 1.0, 1.0)
            parts = [] if part is None else [part]
        self.overlays.extend(Overlay(self.number, corners(m, part), here.clip, told) for part in parts)

    def clip_path(self, _: Any, path: Any, even_odd: Any, m: Any, *rest: Any) -> None:
        here = self.stack[-1]
        around = here.around
        try:
            upright = bool(mupdf.ll_fz_path_is_rect(path, m))
            found = mupdf.ll_fz_bound_path(path, None, m)
            around = _common((found.x0, found.y0, found.x1, found.y1), around)
        except Exception:
            upright = False
        self._clip(around=around, veil=here.veil or not upright)

    def clip_stroke_path(self, *_: Any) -> None:
        self._clip(veil=True)

    def clip_text(self, *call: Any) -> None:
        self._letters(call[1], call[2])

    def clip_stroke_text(self, *call: Any) -> None:
        self._letters(call[1], call[3])

    def _letters(self, text: Any, m: Any) -> None:
        here = self.stack[-1]
        around, letters = here.around, here.letters
        try:
            found = mupdf.ll_fz_bound_text(text, None, m)
            self.texts.append((found.x0, found.y0, found.x1, found.y1))
            around, letters = _common(self.texts[-1], around), (*letters, len(self.texts) - 1)
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


def _common(one: Box, other: Box) -> Box:
    return (max(one[0], other[0]), max(one[1], other[1]), min(one[2], other[2]), min(one[3], other[3]))


def beneath(page: pymupdf.Page, pens: dict[int, Pen], needed: bool) -> Beneath:
    """``needed``: has the page pictures, shadings, stencils, groups that knock out, or overprint.

    Raises what MuPDF raises on a damaged page."""
    if not needed:
        return Beneath(pens)
    device = _Painted(tuple(page.bound()))
    mupdf.fz_run_page(page.this, device, mupdf.FzMatrix(), mupdf.FzCookie())
    device.fz_close_device()
    return Beneath(
        pens, tuple(device.pictures), frozenset(device.through), tuple(device.shadings), tuple(device.overlays),
        frozenset(device.used), paint=tuple(device.paint), overprinted=frozenset(device.overprinted),
    )  # fmt: skip
