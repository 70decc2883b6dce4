"""Cells of tiling patterns that fill their area with one colour and without gaps: such an area is a plain fill.

Writers whose patterns are the rule (slides, presentation programs) paint white over what they hide in this way too.
A cell is drawn by itself, small, and looked at: what its content says is anybody's program.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pymupdf
from pymupdf import mupdf

MOST_BYTES = 4_000  # of content: one colour does not take more
SAMPLES = 24  # along each side of the cell that is drawn
GAP = 1.001  # times the cell: longer steps leave gaps between cells
OPAQUE = 255
OVER = 1.001  # times its size a cell is drawn: MuPDF paints a sixteenth less of an edge that lies a hair inside
COLOURED = 1  # paint type: the cell has colours of its own; else it is painted with the colour that is set


def mark_colour(pattern: Any, box: Any, content: bytes) -> bytes | None:
    """The operators that set the colour of a solid cell, none where it takes the colour set; else None.

    ``box`` of the cell, in its own units."""
    wide, high = box.x1 - box.x0, box.y1 - box.y0
    steps = [abs(float(mupdf.pdf_to_real(mupdf.pdf_dict_gets(pattern, key)))) for key in ("XStep", "YStep")]
    if not (wide > 0 and high > 0 and 0 < steps[0] <= GAP * wide and 0 < steps[1] <= GAP * high):
        return None
    if len(content) > MOST_BYTES or b"/OC" in content:  # layers are those of the sheet
        return None
    try:
        samples = drawn(mupdf.pdf_dict_gets(pattern, "Resources"), box, content)
    except Exception:  # whatever MuPDF raises: a cell that cannot be drawn is no plain fill
        return None
    if (samples[:, -1] < OPAQUE).any() or (samples != samples[0]).any():
        return None
    if int(mupdf.pdf_to_int(mupdf.pdf_dict_gets(pattern, "PaintType"))) != COLOURED:
        return b""
    red, green, blue = samples[0, :3] / 255.0
    return f"{red:.4f} {green:.4f} {blue:.4f} rg ".encode()


def drawn(resources: Any, box: Any, content: bytes) -> np.ndarray:
    """(SAMPLES^2, 4) red, green, blue and opacity of content within a box; raises what MuPDF raises."""
    x, y = OVER * SAMPLES / (box.x1 - box.x0), OVER * SAMPLES / (box.y1 - box.y0)
    rim = SAMPLES * (OVER - 1) / 2
    at = f"{-x * box.x0 - rim:.9f} {-y * box.y0 - rim:.9f}"
    placed = f"q {x:.9f} 0 0 {y:.9f} {at} cm\n".encode() + content + b"\nQ"
    with pymupdf.open() as alone:
        page = alone.new_page(width=SAMPLES, height=SAMPLES)
        number = alone.get_new_xref()
        alone.update_object(number, "<<>>")
        alone.update_stream(number, placed)
        page.set_contents(number)
        if mupdf.pdf_is_dict(resources):
            copy = mupdf.pdf_graft_object(pymupdf._as_pdf_document(alone), resources)
            mupdf.pdf_dict_puts(mupdf.pdf_page_from_fz_page(page.this).obj(), "Resources", copy)
        picture = page.get_pixmap(alpha=True, colorspace=pymupdf.csRGB)
        return np.frombuffer(picture.samples, np.uint8).reshape(-1, 4)
