"""The one transform between PDF user space and page coordinates.

Terms: *user space*, the coordinates that the page's content stream and its annotations use: origin anywhere, y up,
one unit is ``UserUnit`` points.  *Page coordinates*, what the rest of the program uses: points (1/72 inch) on the
page as displayed, origin at its top left corner, x right, y down.  *Crop box*, the part of the media box that is
shown.

Source: ISO 32000-2:2020, 8.3.2.3 (user space, UserUnit), 14.11.2 (page boundaries) and table 31 (Rotate).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from pymupdf import mupdf

from cordpath.model import Box, FloatArray

LETTER: Box = (0.0, 0.0, 612.0, 792.0)  # the size that PDF readers show where a page states none
LARGEST = 1.0e6  # pt; a page larger than this (350 m) is damage, not a sheet

Affine = tuple[float, float, float, float, float, float]  # a b c d e f: x' = a x + c y + e, y' = b x + d y + f


def _apply(matrix: Affine, points: FloatArray) -> FloatArray:
    a, b, c, d, e, f = matrix
    flat = np.asarray(points, float)
    pairs = flat.reshape(-1, 2)
    moved = pairs @ np.array([[a, b], [c, d]]) + np.array([e, f])
    return moved.reshape(flat.shape)


def inverse(matrix: Affine) -> Affine:
    """The map back; raises ZeroDivisionError where there is none."""
    a, b, c, d, e, f = matrix
    det = a * d - b * c
    return (d / det, -b / det, -c / det, a / det, (c * f - d * e) / det, (b * e - a * f) / det)


def after(first: Affine, then: Affine) -> Affine:
    """The map that does ``first`` and then ``then``."""
    a, b, c, d, e, f = first
    p, q, r, s, t, u = then
    return (a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u)


@dataclass(frozen=True)
class PageFrame:
    """How a page is shown.  ``crop`` is the visible box in user space; ``rotate`` is clockwise: 0, 90, 180, 270."""

    crop: Box
    rotate: int = 0
    user_unit: float = 1.0

    @staticmethod
    def of(media: Box, crop: Box | None = None, rotate: int = 0, user_unit: float = 1.0) -> PageFrame:
        """The frame of a page's entries: the crop box is cut to the media box, the rotation to quarter turns."""
        shown = media
        if crop is not None:
            cut = (max(media[0], crop[0]), max(media[1], crop[1]), min(media[2], crop[2]), min(media[3], crop[3]))
            if cut[0] < cut[2] and cut[1] < cut[3]:
                shown = cut
        quarter = 90 * (round(rotate / 90) % 4)
        return PageFrame(shown, quarter, user_unit if user_unit > 0 else 1.0)

    @property
    def size(self) -> tuple[float, float]:
        """Width and height as displayed, points."""
        wide = (self.crop[2] - self.crop[0]) * self.user_unit
        high = (self.crop[3] - self.crop[1]) * self.user_unit
        return (high, wide) if self.rotate in (90, 270) else (wide, high)

    @property
    def matrix(self) -> Affine:
        """User space to page coordinates."""
        u = self.user_unit
        x0, y0, x1, y1 = self.crop
        return {
            0: (u, 0.0, 0.0, -u, -u * x0, u * y1),
            90: (0.0, u, u, 0.0, -u * y0, -u * x0),
            180: (-u, 0.0, 0.0, u, u * x1, -u * y0),
            270: (0.0, -u, -u, 0.0, u * y1, u * x1),
        }[self.rotate]

    def to_page(self, points: FloatArray) -> FloatArray:
        """Points in user space, any shape of pairs (``(n, 2)``, ``(n, 4)``), to page coordinates."""
        return _apply(self.matrix, points)

    def to_user(self, points: FloatArray) -> FloatArray:
        """Page coordinates back to user space, for annotations."""
        return _apply(inverse(self.matrix), points)

    def box_to_user(self, box: Box) -> Box:
        """A box in page coordinates as a box in user space (x0, y0, x1, y1 with x0 <= x1 and y0 <= y1)."""
        xs, ys = self.to_user(np.array(box, float)).reshape(2, 2).T
        return (float(xs.min()), float(ys.min()), float(xs.max()), float(ys.max()))


# ---------------------------------------------------------------------------------------- a page's entries


def inherited(entries: mupdf.PdfObj, name: str) -> mupdf.PdfObj:
    """An entry of a page that it may have from the nodes above it."""
    return mupdf.pdf_dict_get_inheritable(entries, mupdf.pdf_new_name(name))


def page_box(entries: mupdf.PdfObj, name: str) -> Box | None:
    """A box of a page, its corners in order; None where there is none that makes sense."""
    value = inherited(entries, name)
    if not mupdf.pdf_is_array(value):
        return None
    rect = mupdf.pdf_to_rect(value)
    box = (float(rect.x0), float(rect.y0), float(rect.x1), float(rect.y1))
    sound = box[2] - box[0] > 1.0 and box[3] - box[1] > 1.0 and max(map(abs, box)) < LARGEST
    return box if sound else None


def page_frame(entries: mupdf.PdfObj) -> PageFrame:
    """How a page is shown; what makes no sense counts as not stated."""
    rotate = mupdf.pdf_to_int(inherited(entries, "Rotate"))
    unit = float(mupdf.pdf_to_real(mupdf.pdf_dict_gets(entries, "UserUnit")))
    media = page_box(entries, "MediaBox") or LETTER
    return PageFrame.of(media, page_box(entries, "CropBox"), rotate, unit if 0 < unit < LARGEST else 1.0)


def apply(matrix: Affine, points: FloatArray) -> FloatArray:
    """Map points of any shape of pairs."""
    return _apply(matrix, points)
