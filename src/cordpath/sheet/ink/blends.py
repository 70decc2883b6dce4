"""How paint of a group, or through a soft mask, joins what was painted before (ISO 32000-2, 11.3.5, 11.6.5)."""

from __future__ import annotations

OPAQUE = 0.99  # of 1
PLAIN, BLENDED, VEILED, LIGHTENED = 0, 1, 2, 3  # how sure it is that paint of a group is seen as it is painted
# Blend modes in which paint can hide dark lines below it (ISO 32000-2, 11.3.5); through the others, such as that of
# highlighters, they show.
HIDING = frozenset(("Normal", "Screen", "Lighten", "ColorDodge", "HardLight", "Luminosity"))
# Through these only white hides.  A page is an isolated group (11.4.7): on bare paper dark paint of these modes is
# seen as it is (so MuPDF, PDFium, Poppler and Ghostscript draw it), and over a white area it shows nothing.
LIGHTENING = frozenset(("Screen", "Lighten", "ColorDodge"))
UNSURE = LIGHTENING | {"Difference", "Exclusion"}
# Opacities that stand for a soft mask, by which it is told: of one that may be opaque somewhere, so that it hides
# what is below for a question only; of one that is not, so that it hides nothing.
THROUGH_MASK, THROUGH_FAINT = 0.4937, 0.4932
MASK, SAME = 1e-3, 1e-4  # by which an opacity is one of them, and the same one


def is_mask(opacity: float | None) -> bool:
    """Does this opacity stand for a soft mask."""
    return opacity is not None and abs(opacity - THROUGH_MASK) < MASK


def may_hide(opacity: float | None) -> bool:
    """Does this opacity stand for a soft mask through which paint may be opaque."""
    return opacity is not None and abs(opacity - THROUGH_MASK) < SAME
