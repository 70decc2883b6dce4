"""How large letters are whose font does not say it.

A Type 3 font may draw its glyphs in any unit (ISO 32000-2, 9.6.4), so that the size in force when they are shown
says nothing: converters make fonts that are shown at a tenth of the size that they are seen at.  What letters are
apart says it: an advance is about half the size in every usual face.

Terms: *advance*, how far the next letter stands from the start of this one, along the line.
"""

from __future__ import annotations

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray

KIND = "Type3"  # as MuPDF names such fonts, which have no name of their own
# Advances in parts of the size, a face's letters and figures in the mean: usual faces lie at 0.5 to 0.65, narrow
# ones at 0.4, typewriters at 0.6 (widths of the standard fonts, Adobe AFM files).
USUAL = 0.57
NARROWEST, WIDEST = 0.25, 1.05  # of a few letters such as 1 and I, or W and M: beyond it the size is no size


def true_sizes(size: FloatArray, width: FloatArray, fonts: IntArray, drawn: BoolArray) -> FloatArray:
    """(g,) sizes in pt: those given, but one at which its font's letters are impossibly wide or narrow is replaced.

    ``size``, ``width``: (g,) as shown, and advances, pt.  ``fonts``: (g,) a number a Type 3 font, -1 for others.
    ``drawn``: (g,) no space.
    """
    found = size.copy()
    for font in np.unique(fonts[fonts >= 0]).tolist():
        mine = fonts == font
        seen = mine & drawn & (width > 0)
        if not seen.any():
            continue
        share = float(np.median(width[seen] / size[seen]))
        if not NARROWEST <= share <= WIDEST:
            found[mine] *= share / USUAL
    return found
