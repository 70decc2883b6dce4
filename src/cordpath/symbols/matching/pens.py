"""With which pen symbols are drawn: dashed or not, and how broad and dark.

Shapes say nothing of pens, so that a dashed duplex, which may be one that is taken away or comes later, was the
solid one for certain.  Dashes are asked about; of broader or paler lines it is only told that two kinds are drawn.
"""

from __future__ import annotations

import numpy as np

from cordpath.geometry import in_box, lengths, segments_in_box
from cordpath.model import OUTLET_KINDS, FloatArray, Sheet
from cordpath.symbols.examples.examples import Examples
from cordpath.symbols.matching.evidence import Candidate

DASHES = 0.5  # share of the ink that is dashed, from which a symbol is drawn in dashes
BROADER = 2.0  # times: pens of two steps of the usual series (0.18, 0.25, 0.35, 0.5 mm) are meant to look different
PALER = 0.25  # luminance between black and a grey that is printed for what exists
THINNEST = 0.1  # pt: a pen of no width is the thinnest line of the device
UNLIKE_EXAMPLE = "it is drawn in dashes, and its example is not"
SOLID = "its example is drawn in dashes, and it is not"
UNLIKE_OTHERS = "it is drawn in dashes, and others of its kind are not: existing, removed or another device"


def with_pens(
    winners: tuple[Candidate, ...], sheet: Sheet, examples: Examples
) -> tuple[tuple[Candidate, ...], list[str]]:
    """The winners, outlets in doubt that are dashed where their example or others of their kind are not, or not
    dashed where their example is; and what is said of kinds that two pens draw."""
    kinds: dict[str, list[int]] = {}
    for k, c in enumerate(winners):
        outlet = c.template.entry.kind in OUTLET_KINDS and c.found and len(c.segments) > 0
        at = (float(c.centre[0]), float(c.centre[1]))
        if outlet and not any(in_box(at, region.box) for region in sheet.regions):
            kinds.setdefault(c.template.name, []).append(k)
    out, notes = list(winners), []
    for name, which in sorted(kinds.items()):
        pens = np.array([_pen(winners[k], sheet) for k in which])
        dashed, example = pens[:, 0] >= DASHES, _example_dashed(name, sheet, examples)
        odd = dashed & (not dashed.all()) if example is None else dashed != example
        reason = UNLIKE_OTHERS if example is None else SOLID if example else UNLIKE_EXAMPLE
        for n in np.flatnonzero(odd):
            out[which[n]] = out[which[n]].doubted(reason)
        notes += _two_pens(name, pens[~odd, 1:])
    return tuple(out), notes


def _pen(c: Candidate, sheet: Sheet) -> tuple[float, float, float]:
    """Share of the candidate's ink that is dashed, and the width (pt) and luminance of most of it."""
    strokes = sheet.strokes.take(c.ink.stroke[c.segments])
    dashed = float(c.lengths[strokes.dashed].sum()) / max(float(c.lengths.sum()), 1e-9)
    return dashed, _usual(strokes.width, c.lengths), _usual(strokes.luminance, c.lengths)


def _usual(values: FloatArray, weight: FloatArray) -> float:
    """The weighted median."""
    order = np.argsort(values, kind="stable")
    total = np.cumsum(weight[order])
    return float(values[order][np.searchsorted(total, 0.5 * total[-1])])


def _example_dashed(name: str, sheet: Sheet, examples: Examples) -> bool | None:
    """Is the entry's example on this sheet drawn in dashes?  None where it has none here."""
    for learnt in examples.learnt:
        if (
            learnt.name == name
            and learnt.box is not None
            and (learnt.file, learnt.page) == (sheet.file, sheet.page)
        ):
            mine = segments_in_box(sheet.strokes.xy, learnt.box) & sheet.strokes.ink()
            long = lengths(sheet.strokes.xy[mine])
            if long.sum() > 0:
                return bool(long[sheet.strokes.dashed[mine]].sum() >= DASHES * long.sum())
    return None


def _two_pens(name: str, pens: FloatArray) -> list[str]:
    """What is said where lines of one kind (n, 2: width and luminance) are twice as broad or much paler."""
    if len(pens) < 2:
        return []
    width = np.maximum(pens[:, 0], THINNEST)
    other = (width * BROADER <= width.max()) | (pens[:, 1] >= pens[:, 1].min() + PALER)
    count = int(other.sum())
    if not count:
        return []
    is_drawn = "is drawn" if count == 1 else "are drawn"
    return [
        f"{count} of {len(pens)} {name!r} {is_drawn} with a finer or paler pen than the others: whether that means "
        "existing, or another device, is for you to say; nothing was made of it"
    ]
