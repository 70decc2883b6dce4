"""With which pen an example is drawn, where it is one: dashed or not, and its colour.

No widths: a pen of half the width is the same pen on a print of half the size.
"""

from __future__ import annotations

import numpy as np

from cordpath.geometry import lengths, segments_in_box
from cordpath.model import (
    LUMINANCE,
    OUTLET_KINDS,
    POINTS_PER_INCH,
    BoolArray,
    Box,
    FloatArray,
    Learnt,
    Mapping,
    Mark,
    Pen,
    Sheet,
    Strokes,
    TextMark,
)  # fmt: skip
from cordpath.symbols.examples.likeness import outline, pairs_alike, same_lines

CLEARLY = 0.9  # share of the ink in one pen: a wall's line lies along a bar, and strokes of others cross the marks
PALER = 0.25  # luminance between black and a grey that is printed for what exists
ROUNDED = 0.1  # pt, of a length
LIKE = PALER / 2  # of any of red, green and blue, within which two colours are one pen: never that of both of two


def pen_of(marks: tuple[Mark, ...], sheet: Sheet, box: Box) -> Pen | None:
    """The pen of marks (inches on paper) that were taken from a box; None where several are used there, or none.

    Strokes that are longer than the marks are wide are none of theirs: the edges of a legend's table, and rules.
    """
    strokes = sheet.strokes.take(segments_in_box(sheet.strokes.xy, box) & sheet.strokes.ink())
    lines = [outline(mark) for mark in marks if not isinstance(mark, TextMark)]
    points = np.concatenate([np.zeros((1, 2)), *lines])
    widest = POINTS_PER_INCH * float(np.hypot(*np.ptp(points, axis=0))) + ROUNDED
    strokes = strokes.take(lengths(strokes.xy) <= widest)
    weight = lengths(strokes.xy)
    if weight.sum() <= 0:
        return None
    red, green, blue = (usual(channel, weight) for channel in strokes.colour.T)
    pen = Pen(bool(usual(strokes.dashed.astype(float), weight) > 0), (red, green, blue))
    return pen if drawn_with(pen, strokes, weight) else None


def drawn_with(pen: Pen, strokes: Strokes, weight: FloatArray) -> bool:
    """Is nearly all of some strokes, which count by their ``weight``, drawn with a pen?"""
    like: BoolArray = (strokes.dashed == pen.dashed) & (np.abs(strokes.colour - pen.colour) < LIKE).all(1)
    return bool(len(weight)) and float(weight[like].sum()) >= CLEARLY * float(weight.sum())


def usual(values: FloatArray, weight: FloatArray) -> float:
    """The weighted median."""
    order = np.argsort(values, kind="stable")
    total = np.cumsum(weight[order])
    return float(values[order][np.searchsorted(total, 0.5 * total[-1])])


def told_by_pen(one: Learnt, other: Learnt, mapping: Mapping) -> bool:
    """Is one of two examples of outlets clearly dashed or paler, and the other not?  That one is protected and the
    other is not is nothing for a pen to tell: outlets are printed grey as a background too."""
    shields = [e.protection for e in mapping.symbols if e.name in (one.name, other.name) and e.kind in OUTLET_KINDS]
    return len(shields) == 2 and shields[0] == shields[1] and clearly_other(one.pen, other.pen)


def clearly_other(one: Pen | None, other: Pen | None) -> bool:
    """Is one of two pens, if both are known, dashed and the other not, or clearly paler?"""
    if one is None or other is None:
        return False
    paler = abs(float(np.dot(one.colour, LUMINANCE) - np.dot(other.colour, LUMINANCE))) >= PALER
    return one.dashed != other.dashed or paler


def learnt_alike(learnt: tuple[Learnt, ...]) -> list[tuple[Learnt, Learnt]]:
    """Pairs of examples that are one and the same drawing, whatever their pens."""
    drawn = [one for one in learnt if one.marks]
    pairs = [(drawn[one], drawn[other]) for one, other in pairs_alike([each.marks for each in drawn])]
    return [(one, other) for one, other in pairs if same_lines(one.marks, other.marks)]
