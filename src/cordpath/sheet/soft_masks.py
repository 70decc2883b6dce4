"""How much soft masks show of what is painted through them (ISO 32000-2, 11.6.5): all, nothing, or a part.

Writers that fade a group write a mask of one tone.  A mask is drawn by itself, small, and looked at.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pymupdf
from pymupdf import mupdf

from cordpath.model import LUMINANCE
from cordpath.sheet.ink.blends import THROUGH_FAINT, THROUGH_MASK
from cordpath.sheet.ink.overlays import SOLID
from cordpath.sheet.solid_cells import drawn

MOST_BYTES = 4_000  # of content: one tone does not take more
WHOLE_PAGE = 0.95  # of the page's area that a mask has to cover: beyond its box it shows nothing
FULL, NONE = 254, 1  # of 255


def opacity_of(document: pymupdf.Document, mask: Any, page_area: float) -> float:
    """1 for a soft mask that shows all, 0 for nothing, else the opacity that stands for a part."""
    group = mupdf.pdf_dict_gets(mask, "G")
    backdrop = mupdf.pdf_dict_gets(mask, "BC")
    if not mupdf.pdf_is_stream(group) or not mupdf.pdf_is_null(mupdf.pdf_dict_gets(mask, "TR")):
        return THROUGH_MASK
    if mupdf.pdf_is_array(backdrop) and any(_numbers(backdrop)):  # black but in colours of ink
        return THROUGH_MASK
    content = document.xref_stream(mupdf.pdf_to_num(group)) or b""
    box = mupdf.pdf_to_rect(mupdf.pdf_dict_gets(group, "BBox"))
    if len(content) > MOST_BYTES or not (box.x1 > box.x0 and box.y1 > box.y0) or b"/OC" in content:
        return THROUGH_MASK
    try:
        samples = drawn(mupdf.pdf_dict_gets(group, "Resources"), box, content).astype(float)
    except Exception:  # whatever MuPDF raises: a mask that cannot be drawn is not known
        return THROUGH_MASK
    # MuPDF's samples are red, green and blue times the opacity: over black, the colour that is seen.
    if mupdf.pdf_to_name(mupdf.pdf_dict_gets(mask, "S")) == "Alpha":
        tone = samples[:, 3]
    else:
        tone = samples[:, :3] @ np.array(LUMINANCE)
    if (tone <= NONE).all():
        return 0.0
    if tone.max() < SOLID and np.ptp(tone) <= NONE:  # a small part that is opaque is a shade in a small drawing
        return THROUGH_FAINT
    whole = (box.x1 - box.x0) * (box.y1 - box.y0) >= WHOLE_PAGE * page_area
    return 1.0 if whole and (tone >= FULL).all() else THROUGH_MASK


def _numbers(array: Any) -> list[float]:
    return [float(mupdf.pdf_to_real(mupdf.pdf_array_get(array, k))) for k in range(mupdf.pdf_array_len(array))]
