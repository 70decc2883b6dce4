"""Paint of the colorant *None*, which puts no ink on paper (ISO 32000-2, 8.6.6.4).

Some viewers leave it out, as the standard says (PDFium, Ghostscript), others show the colour that stands in for it
(MuPDF, Poppler): it is not sure whether anybody sees it.  MuPDF tells colours and not their names, so that the
stand-in is set to a colour of its own, by which such paint is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pymupdf import mupdf

UNPRINTED = (0.0431, 0.0137, 0.0549)  # red, green, blue: dark, and no program's black
NEAR = 1e-3  # by which a colour is that one
DEEPEST = 4  # colour spaces within one another: a pattern of an index of a separation


def is_unprinted(colour: Sequence[float] | None) -> bool:
    """Does this colour stand for paint that may not be seen."""
    return (
        colour is not None
        and len(colour) == len(UNPRINTED)
        and abs(colour[0] - UNPRINTED[0]) < NEAR  # hardly any paint goes on: every path of a page is asked
        and all(abs(a - b) < NEAR for a, b in zip(colour, UNPRINTED, strict=True))
    )


def mark(space: Any, depth: int = 0) -> None:
    """Set the stand-in of the colorant None in a colour space, or in the one that it is built on."""
    if not mupdf.pdf_is_array(space) or depth > DEEPEST:
        return
    kind = mupdf.pdf_to_name(mupdf.pdf_array_get(space, 0))
    if kind in ("Indexed", "I", "Pattern"):
        mark(mupdf.pdf_array_get(space, 1), depth + 1)
    elif kind == "Separation" and mupdf.pdf_to_name(mupdf.pdf_array_get(space, 1)) == "None":
        document = mupdf.pdf_get_bound_document(space)
        function = mupdf.pdf_new_dict(document, 5)
        mupdf.pdf_dict_put_int(function, mupdf.pdf_new_name("FunctionType"), 2)
        mupdf.pdf_dict_put_int(function, mupdf.pdf_new_name("N"), 1)
        for key, values in (("Domain", (0.0, 1.0)), ("C0", UNPRINTED), ("C1", UNPRINTED)):
            array = mupdf.pdf_dict_put_array(function, mupdf.pdf_new_name(key), len(values))
            for value in values:
                mupdf.pdf_array_push_real(array, value)
        mupdf.pdf_array_put(space, 2, mupdf.pdf_new_name("DeviceRGB"))
        mupdf.pdf_array_put(space, 3, mupdf.pdf_add_object(document, function))
