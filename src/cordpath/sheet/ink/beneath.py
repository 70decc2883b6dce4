"""What lies beneath pictures and what is seen through stencils only, which MuPDF's list of paths does not say.

The page is run once more for it where it paints pictures, or has text that is a clip.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import pymupdf
from pymupdf import mupdf

from cordpath.model import Box
from cordpath.sheet.ink.devices import Pen
from cordpath.sheet.ink.painted import Overlay, Painted, Unlisted

PAPER = (1.0, 1.0, 1.0)


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


def beneath(page: pymupdf.Page, pens: dict[int, Pen], needed: bool) -> Beneath:
    """``needed``: has the page pictures, shadings, stencils, groups that knock out, or overprint.

    Raises what MuPDF raises on a damaged page."""
    if not needed:
        return Beneath(pens)
    device = Painted(tuple(page.bound()))
    mupdf.fz_run_page(page.this, device, mupdf.FzMatrix(), mupdf.FzCookie())
    device.fz_close_device()
    return Beneath(
        pens, tuple(device.pictures), frozenset(device.through), tuple(device.shadings), tuple(device.overlays),
        frozenset(device.used), paint=tuple(device.paint), overprinted=frozenset(device.overprinted),
    )  # fmt: skip
