"""The scales that a PDF states for parts of a page.

Terms: *viewport*, a rectangle of the page with a *measure*; *rectilinear measure*, one that turns lengths in user
space into lengths in the building; *number format*, one step of that: a factor and a unit.

Source: ISO 32000-2:2020, 12.9.1 (viewports: user space, a later one lies over an earlier), 12.9.2 (measure, number
formats): ``X`` turns user units into the largest unit along x, ``Y`` along y (absent: as x), ``D`` that unit into
the one in which distances are shown, ``R`` is the ratio in words.  From memory.

What is stated is a claim like any note: a page that was scaled by a program that knows nothing of measures keeps
it.
"""

from __future__ import annotations

import math

import numpy as np
import pymupdf
from pymupdf import mupdf

from cordpath.frame import PageFrame
from cordpath.geometry import box_around
from cordpath.model import Viewport
from cordpath.units import INCHES_PER_METRE, plain, scale_ratio

UNITS_IN = {
    "IN": 1.0, "INCH": 1.0, "INCHES": 1.0, '"': 1.0, "FT": 12.0, "FOOT": 12.0, "FEET": 12.0, "'": 12.0, "YD": 36.0,
    "YARD": 36.0, "YARDS": 36.0, "M": INCHES_PER_METRE, "METER": INCHES_PER_METRE, "METERS": INCHES_PER_METRE,
    "METRE": INCHES_PER_METRE, "METRES": INCHES_PER_METRE, "CM": INCHES_PER_METRE / 100,
    "MM": INCHES_PER_METRE / 1000, "PT": 1 / 72.0,
}  # fmt: skip
SAME = 0.005  # relative: figures rounded by their writer still say the same
RATIOS = (0.1, 10_000.0)  # as for notes
MOST = 200  # viewports of one page; a sheet has a handful
LONGEST = 80  # characters of a name


def read_viewports(page: pymupdf.Page, frame: PageFrame) -> tuple[tuple[Viewport, ...], tuple[str, ...]]:
    """The viewports with a rectilinear measure, in the file's order, and what is wrong with them."""
    try:
        found = _viewports(mupdf.pdf_page_from_fz_page(page.this).obj(), frame)
    except Exception:  # what a viewport says is one witness of several: a sheet is read without it
        return (), ("the page's viewports are damaged, so the scale that they state was not read",)
    said = (f"a viewport of the page states no scale that can be used: {p.problem}" for p in found if p.problem)
    return found, tuple(dict.fromkeys(said))


def _viewports(entries: mupdf.PdfObj, frame: PageFrame) -> tuple[Viewport, ...]:
    listed = _get(entries, "VP")
    if not mupdf.pdf_is_array(listed):
        return ()
    items = [mupdf.pdf_array_get(listed, k) for k in range(min(mupdf.pdf_array_len(listed), MOST))]
    found = (_viewport(item, frame) for item in items if mupdf.pdf_is_dict(item))
    return tuple(port for port in found if port is not None)


def _viewport(item: mupdf.PdfObj, frame: PageFrame) -> Viewport | None:
    measure, box = _get(item, "Measure"), _get(item, "BBox")
    subtype = mupdf.pdf_to_name(_get(measure, "Subtype")) if mupdf.pdf_is_dict(measure) else ""
    if not mupdf.pdf_is_dict(measure) or subtype not in ("", "RL") or not mupdf.pdf_is_array(box):
        return None
    corners = np.array([mupdf.pdf_to_real(mupdf.pdf_array_get(box, k)) for k in range(4)])
    if not np.isfinite(corners).all():
        return None
    shown = box_around(frame.to_page(corners).reshape(2, 2))
    ratio, text, problem = _scale(measure, frame.user_unit)
    return Viewport(shown, ratio, text, _text(item, "Name"), problem)


def _scale(measure: mupdf.PdfObj, user_unit: float) -> tuple[float | None, str, str | None]:
    """Ratio, the ratio in words, and why there is none."""
    said = _text(measure, "R")
    x = _format(measure, "X")
    if x is None:
        return None, said, "it states no length for a unit of the page"
    factor, unit = x
    text = said or f"{72.0 * factor / user_unit:.6g} {unit.lower()} to the inch"
    ratio = _real(factor, unit, user_unit)
    distance = _format(measure, "D")
    if distance is not None and distance[1] in UNITS_IN:
        shown = _real(factor * distance[0], distance[1], user_unit)
        if ratio is not None and shown is not None and not _same(shown, ratio):
            return None, text, f"its lengths along x say 1:{ratio:.4g}, its distances 1:{shown:.4g}"
        ratio = shown if ratio is None else ratio
    if ratio is None:
        return None, text, f"its unit '{unit}' is not known"
    across = _format(measure, "Y")
    other = _real(*across, user_unit) if across is not None else ratio
    if other is None or not _same(other, ratio):
        return None, text, "it has another scale upwards than across"
    spoken = scale_ratio(said) if said else None
    if spoken is not None and not _same(spoken, ratio):
        return None, text, f"its words say 1:{spoken:.4g}, its figures 1:{ratio:.4g}"
    ratio = spoken or ratio  # words are exact where figures are rounded by their writer
    return (ratio, text, None) if RATIOS[0] <= ratio <= RATIOS[1] else (None, text, f"1:{ratio:.4g} is no scale")


def _real(factor: float, unit: str, user_unit: float) -> float | None:
    """Real over drawn length: ``factor`` units for one unit of user space, which is ``user_unit`` points."""
    return factor * UNITS_IN[unit] * 72.0 / user_unit if unit in UNITS_IN else None


def _format(measure: mupdf.PdfObj, key: str) -> tuple[float, str] | None:
    """Factor and unit of the first number format, which is the one of the largest unit."""
    formats = _get(measure, key)
    first = mupdf.pdf_array_get(formats, 0) if mupdf.pdf_is_array(formats) else None
    if first is None or not mupdf.pdf_is_dict(first):
        return None
    factor = float(mupdf.pdf_to_real(_get(first, "C")))
    if not math.isfinite(factor) or factor <= 0:
        return None
    return factor, plain(_text(first, "U")).rstrip(".")


def _same(a: float, b: float) -> bool:
    return abs(a / b - 1) <= SAME


def _get(entries: mupdf.PdfObj, key: str) -> mupdf.PdfObj:
    return mupdf.pdf_dict_gets(entries, key)


def _text(entries: mupdf.PdfObj, key: str) -> str:
    return str(mupdf.pdf_to_text_string(_get(entries, key)))[:LONGEST].strip()
