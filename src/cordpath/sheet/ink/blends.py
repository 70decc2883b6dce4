"""How paint of a group, or through a soft mask, joins what was painted before (ISO 32000-2, 11.3.5, 11.6.5)."""

from __future__ import annotations

OPAQUE = 0.99  # of 1
PLAIN, BLENDED, LIGHTENED = 0, 1, 2  # how sure it is that paint of a group is seen as it is painted
# Blend modes in which paint can hide dark lines below it (ISO 32000-2, 11.3.5); through the others, such as that of
# highlighters, they show.
HIDING = frozenset(("Normal", "Screen", "Lighten", "ColorDodge", "HardLight", "Luminosity"))
# Through these only white hides.  A page is an isolated group (11.4.7): on bare paper dark paint of these modes is
# seen as it is (so MuPDF, PDFium, Poppler and Ghostscript draw it), and over a white area it shows nothing.
LIGHTENING = frozenset(("Screen", "Lighten", "ColorDodge"))
UNSURE = LIGHTENING | {"Difference", "Exclusion"}
THROUGH_MASK = 0.4937  # opacity of what is painted through a soft mask: it is seen, and hides nothing; told by it
MASK = 1e-3  # by which an opacity is that one


def is_mask(opacity: float | None) -> bool:
    """Does this opacity stand for a soft mask."""
    return opacity is not None and abs(opacity - THROUGH_MASK) < MASK
