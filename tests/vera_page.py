"""A page whose labels are set in an embedded subset of an open font."""

from __future__ import annotations

from pathlib import Path

import reportlab
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen import canvas

VERA = Path(reportlab.__file__).parent / "fonts" / "Vera.ttf"


def vera_page(path: Path, texts: tuple[str, ...], size: tuple[float, float]) -> Path:
    """``texts`` in a subset of Vera, below each other, beside a word in Helvetica half across the page.

    Its codes happen to be those of letters, as most writers count them.
    """
    wide, high = size
    pdfmetrics.registerFont(TTFont("Vera", str(VERA)))
    page = canvas.Canvas(str(path), pagesize=size, invariant=1)
    page.setFont("Vera", 9)
    for k, text in enumerate(texts):
        page.drawString(50, high * 5 / 6 - 20 * k, text)
    page.setFont("Helvetica", 9)
    page.drawString(wide / 2, high * 5 / 6, "PANTRY")
    page.save()
    return path
