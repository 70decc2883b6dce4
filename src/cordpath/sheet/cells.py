"""Areas that are painted with copies of a pattern's cell.

Terms: *cell*, the picture that a tiling pattern repeats (ISO 32000-2, 8.7.3).  Most cells are hatch, which says
nothing that is read.  But some writers paint whatever they like as a pattern that fits into its area once: a
picture, a symbol, the plan.  So a mark is put into each cell before the page is read, on a layer of its own name,
and where it comes out in the page's paint, copies of a cell lie.  Large cells are drawings and are read, small ones
are emptied: MuPDF draws a cell once, where the pattern begins, and not where it is painted (measured).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pymupdf
import shapely
from pymupdf import mupdf
from shapely.geometry.base import BaseGeometry

from cordpath.frame import Affine, apply
from cordpath.model import Box, FloatArray
from cordpath.sheet.solid_cells import mark_colour

CELL, DRAWN_CELL, SOLID_CELL = "\x01cell", "\x01drawn cell", "\x01solid cell"  # layers of the marks; no program
# names its layers so
PROPERTY = "CordpathCell"
DRAWING = 36.0  # pt, shorter side of a cell that is a drawing (half an inch); cells of hatch are smaller
ONCE = 1.5  # of a cell: an area no larger shows it once, and is no hatch
SYMBOL = 36.0  # pt, longer side of an area that may be a part of a symbol: the dark half of a circle
RECTANGLE = 0.95  # of the smallest rectangle around it that an area fills: a piece of wall or a column
MOST_BYTES = 20_000_000  # of a cell that is read
COPIED = "an area is painted with copies of a drawing (a tiling pattern): one of them was read"


@dataclass(frozen=True)
class Cell:
    """A painted area: the box of one cell in MuPDF's frame, the clip that is the area, and was the cell read."""

    box: tuple[float, ...]
    clip: int
    drawn: bool


def settle(document: pymupdf.Document, pattern: Any) -> Any:
    """Put the mark into a cell; the resources of its content where that is to be read, else None.

    The mark of a solid cell has its colour: its area is read as a plain fill."""
    number = mupdf.pdf_to_num(pattern)
    content = document.xref_stream(number) or b""
    if not content.strip():
        return None
    box = mupdf.pdf_to_rect(mupdf.pdf_dict_gets(pattern, "BBox"))
    colour = mark_colour(pattern, box, content)
    drawing = colour is None and _short_side(pattern, box) >= DRAWING and len(content) <= MOST_BYTES
    resources = mupdf.pdf_dict_gets(pattern, "Resources")
    if not mupdf.pdf_is_dict(resources):
        resources = mupdf.pdf_dict_put_dict(pattern, mupdf.pdf_new_name("Resources"), 1)
    named = mupdf.pdf_dict_gets(resources, "Properties")
    if not mupdf.pdf_is_dict(named):
        named = mupdf.pdf_dict_put_dict(resources, mupdf.pdf_new_name("Properties"), 2)
    for key, name in ((PROPERTY, CELL), (PROPERTY + "Drawn", DRAWN_CELL), (PROPERTY + "Solid", SOLID_CELL)):
        layer = mupdf.pdf_dict_put_dict(named, mupdf.pdf_new_name(key), 2)
        mupdf.pdf_dict_put(layer, mupdf.pdf_new_name("Type"), mupdf.pdf_new_name("OCG"))
        mupdf.pdf_dict_put_text_string(layer, mupdf.pdf_new_name("Name"), name)
    key = PROPERTY + ("Solid" if colour is not None else "Drawn" if drawing else "")
    mark = f"/OC /{key} BDC {box.x0:f} {box.y0:f} {box.x1 - box.x0:f} {box.y1 - box.y0:f} re f EMC\n".encode()
    mark = b"q " + (colour or b"") + mark + b"Q\n"
    document.update_stream(number, mark + content if drawing else mark)
    return resources if drawing else None


def _short_side(pattern: Any, box: Any) -> float:
    """Of the cell, in units of the page: what forms around it do to it is not known here."""
    stated = mupdf.pdf_dict_gets(pattern, "Matrix")
    m = mupdf.pdf_to_matrix(stated) if mupdf.pdf_is_array(stated) else mupdf.FzMatrix()
    wide, high = (box.x1 - box.x0) * np.hypot(m.a, m.b), (box.y1 - box.y0) * np.hypot(m.c, m.d)
    return float(min(abs(wide), abs(high)))


@dataclass(frozen=True, eq=False)
class Painted:
    """``telling`` (n, 4): boxes of areas that may be symbols of their own; ``copied``: a drawing is painted several
    times and was read once."""

    telling: FloatArray
    copied: bool

    def also(self, boxes: FloatArray) -> Painted:
        """With (m, 4) more boxes that tell."""
        return Painted(np.concatenate([self.telling, boxes]), self.copied)


def painted(
    cells: tuple[Cell, ...], scissors: FloatArray, shapes: dict[int, BaseGeometry], to_page: Affine
) -> Painted:
    """What areas of cells may hide.  ``scissors`` (c + 1, 4) of the clips and the page, in page coordinates."""
    boxes: list[FloatArray] = []
    copied = False
    for cell in cells:
        ends = apply(to_page, np.array(cell.box, float))
        one = shapely.box(*ends)
        area = shapely.box(*scissors[cell.clip])
        whole = area if cell.clip not in shapes else shapely.intersection(area, shapes[cell.clip])
        if whole.is_empty:
            continue
        once = area.area <= ONCE * abs(one.area)
        if cell.drawn:
            copied |= not once
        elif once or (_long_side(area.bounds) <= SYMBOL and not _is_rectangle(whole)):
            boxes.append(np.array(whole.bounds))
    return Painted(np.array(boxes, float).reshape(-1, 4), copied)


def _long_side(box: Box) -> float:
    return max(box[2] - box[0], box[3] - box[1])


def _is_rectangle(area: BaseGeometry) -> bool:
    around = shapely.minimum_rotated_rectangle(area)
    return bool(area.area >= RECTANGLE * around.area)
