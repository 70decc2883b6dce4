"""The glyphs that a page shows, as their fonts draw them.

Terms: *glyph*, one drawing of a font, called by its number there; *shown letter*, a glyph with the letter that the
page says it is; *plain name*, a font's name as :func:`cordpath.sheet.text.ciphers.plain` spells it.

MuPDF calls back for every piece of a glyph's path.  An exception that leaves such a call ends the process, so that
each call keeps what goes wrong for later.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from pymupdf import mupdf

from cordpath.geometry import cubic
from cordpath.model import FloatArray

CHORDS = 5  # pieces of a curve, as in the glyphs that the classifier was trained on
MOST_PIECES = 4000  # of one glyph: more are a picture
OTHERS = (
    "fill_text", "stroke_text", "fill_image", "fill_image_mask", "fill_shade", "clip_text", "clip_image_mask"
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class ShownFont:
    """A font of the page; ``letters``: number of a glyph and the code point that the page says it is, each once."""

    name: str
    drawn: mupdf.FzFont
    letters: tuple[tuple[int, int], ...]


Part = tuple[FloatArray, bool]  # (n, 4) pieces of a path, size 1, base 0, y down; edges of areas, or else strokes


def outline(font: mupdf.FzFont, glyph: int) -> Part:
    """The areas of a glyph, or its strokes where it has none."""
    return parts(font, glyph)[0]


def parts(font: mupdf.FzFont, glyph: int) -> tuple[Part, ...]:
    """What a glyph paints, one part or two: its areas, its strokes.

    One without pieces: the glyph is blank (told as areas), or, of a font of Type 3, a picture.
    """
    matrix = mupdf.FzMatrix(1, 0, 0, -1, 0, 0)
    if not mupdf.ll_fz_font_t3_procs(font.m_internal):
        path = mupdf.fz_outline_glyph(font, glyph, matrix)
        return (((_pieces(path, matrix=None) if path.m_internal else np.zeros((0, 4))), True),)
    device = _Painted()
    mupdf.fz_run_t3_glyph(font, glyph, matrix, device)
    mupdf.fz_close_device(device)
    if device.failure is not None:
        raise device.failure
    found = ((device.areas, True), (device.lines, False))
    painted = tuple((np.concatenate(pieces), areas) for pieces, areas in found if pieces)
    return painted or ((np.zeros((0, 4)), not device.others),)


class _Painted(mupdf.FzDevice2):  # type: ignore[misc]
    """The paths that a glyph of a font of Type 3 is made of."""

    def __init__(self) -> None:
        super().__init__()
        self.use_virtual_fill_path()
        self.use_virtual_stroke_path()
        self.areas: list[FloatArray] = []
        self.lines: list[FloatArray] = []
        self.others = 0  # pictures, shadings, letters
        for name in OTHERS:
            getattr(self, f"use_virtual_{name}")()
        self.failure: BaseException | None = None

    def fill_text(self, *_: Any) -> None:
        self.others += 1

    stroke_text = fill_image = fill_image_mask = fill_shade = clip_text = clip_image_mask = fill_text

    def fill_path(self, _: Any, path: Any, even_odd: Any, matrix: Any, *rest: Any) -> None:
        self._take(path, matrix, self.areas)

    def stroke_path(self, _: Any, path: Any, state: Any, matrix: Any, *rest: Any) -> None:
        self._take(path, matrix, self.lines)

    def _take(self, path: Any, matrix: Any, to: list[FloatArray]) -> None:
        if self.failure is None:
            try:
                to.append(_pieces(mupdf.FzPath(mupdf.ll_fz_keep_path(path)), matrix))
            except BaseException as error:
                self.failure = error


class _Walker(mupdf.FzPathWalker2):  # type: ignore[misc]
    def __init__(self) -> None:
        super().__init__()
        self.use_virtual_moveto()
        self.use_virtual_lineto()
        self.use_virtual_curveto()
        self.use_virtual_closepath()
        self.commands: list[tuple[float, ...]] = []

    def moveto(self, _: Any, x: float, y: float) -> None:
        self.commands.append((x, y))

    def lineto(self, _: Any, x: float, y: float) -> None:
        self.commands.append((x, y, 0.0))

    def curveto(self, _: Any, a: float, b: float, c: float, d: float, x: float, y: float) -> None:
        self.commands.append((a, b, c, d, x, y))

    def closepath(self, _: Any) -> None:
        self.commands.append(())


def _pieces(path: mupdf.FzPath, matrix: Any) -> FloatArray:
    walker = _Walker()
    mupdf.fz_walk_path(path, walker, walker.m_internal)
    found: list[tuple[float, float, float, float]] = []
    at = start = (0.0, 0.0)
    for command in walker.commands[:MOST_PIECES]:
        if len(command) == 2:
            at = start = (command[0], command[1])
            continue
        ends = [start] if not command else [(command[0], command[1])] if len(command) == 3 else _bend(at, command)
        for end in ends:
            found.append((*at, *end))
            at = end
    pieces = np.array(found, float).reshape(-1, 4)
    if matrix is None:
        return pieces
    turn = np.array([[matrix.a, matrix.b], [matrix.c, matrix.d]])
    return (pieces.reshape(-1, 2) @ turn + [matrix.e, matrix.f]).reshape(-1, 4)


def _bend(at: tuple[float, float], bend: tuple[float, ...]) -> list[tuple[float, float]]:
    on = cubic(np.array([[at, bend[:2], bend[2:4], bend[4:]]]), np.linspace(0, 1, CHORDS + 1)[1:])
    return [(float(x), float(y)) for x, y in on]
