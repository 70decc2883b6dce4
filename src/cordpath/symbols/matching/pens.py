"""With which pen symbols are drawn: dashed or not, and how broad and dark.

Shapes say nothing of pens, so that a dashed duplex, which may be one that is taken away or comes later, was the
solid one for certain.  Two entries of one shape are told apart by the pens of their examples, what is drawn in
neither is asked about.  Other dashes are asked about; of broader or paler lines it is only told that there are two.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cordpath.geometry import in_box
from cordpath.model import OUTLET_KINDS, FloatArray, Learnt, Mapping, Pen, Sheet, Strokes
from cordpath.symbols.examples.example_pens import PALER, drawn_with, learnt_alike, told_by_pen, usual
from cordpath.symbols.examples.examples import Examples
from cordpath.symbols.matching.evidence import Candidate

DASHES = 0.5  # share of the ink that is dashed, from which a symbol is drawn in dashes
BROADER = 2.0  # times: pens of two steps of the usual series (0.18, 0.25, 0.35, 0.5 mm) are meant to look different
ONE_PLACE = 0.1  # of the radius: between the middles, and the sizes, of two entries of one shape at one place
THINNEST = 0.1  # pt: a pen of no width is the thinnest line of the device
ANOTHERS = "it is drawn with the pen of {!r}, which has the same shape"
UNLIKE_EXAMPLE = "it is drawn in dashes, and its example is not"
SOLID = "its example is drawn in dashes, and it is not"
UNLIKE_OTHERS = "it is drawn in dashes, and others of its kind are not: existing, removed or another device"


def in_their_pens(
    candidates: list[Candidate], sheet: Sheet, examples: Examples, mapping: Mapping
) -> list[Candidate]:
    """The candidates, those of outlets put aside that are drawn clearly in the pen in which another entry of their
    shape was learnt, if that is as likely here; else they are in doubt."""
    twins = _twins(examples.learnt, mapping)
    named: dict[str, list[Candidate]] = {name: [] for name in twins}
    for c in candidates:
        if c.template.name in twins:
            named[c.template.name].append(c)
    at = {name: np.array([[*c.centre, c.radius] for c in each]).reshape(-1, 3) for name, each in named.items()}
    put: dict[int, Candidate] = {}
    for name, each in named.items():
        for c in each:
            strokes, weight = _strokes_on(c, sheet)
            for other in (n for n, pen in twins[name].items() if drawn_with(pen, strokes, weight)):
                away = np.abs(at[other] - [*c.centre, c.radius]).max(1)
                here = [named[other][k] for k in np.flatnonzero(away <= ONE_PLACE * c.radius)]
                put[id(c)] = _put_aside(put.get(id(c), c), other, here)
    return [put.get(id(c), c) for c in candidates]


def _put_aside(c: Candidate, other: str, here: list[Candidate]) -> Candidate:
    """The candidate drawn in the pen of another entry; ``here``: the candidates for that at its place."""
    if any({d.what for d in twin.doubts} <= {d.what for d in c.doubts} for twin in here):
        return replace(c, anothers=True)
    return c.doubted(ANOTHERS.format(other), other)


def _twins(learnt: tuple[Learnt, ...], mapping: Mapping) -> dict[str, dict[str, Pen]]:
    """Of each entry those with its shape, by their names, and their pens, where the pens tell the two apart."""
    if len({one.pen for one in learnt}) < 2:
        return {}
    out: dict[str, dict[str, Pen]] = {}
    for one, other in learnt_alike(learnt):
        if one.pen is not None and other.pen is not None and told_by_pen(one, other, mapping):
            out.setdefault(one.name, {})[other.name] = other.pen
            out.setdefault(other.name, {})[one.name] = one.pen
    return out


def _strokes_on(c: Candidate, sheet: Sheet) -> tuple[Strokes, FloatArray]:
    """The strokes on a candidate's marks, also those that lie on each other, and the length (pt) of each there."""
    strokes = c.ink.strokes_of(c.segments)
    return sheet.strokes.take(strokes), c.lengths[np.searchsorted(c.segments, c.ink.segment_of[strokes])]


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
    pens_of = {one.name: one.pen for one in examples.learnt if one.pen is not None}
    out, notes = list(winners), []
    for name, which in sorted(kinds.items()):
        pens = np.array([_pen(winners[k], sheet) for k in which])
        dashed, example = pens[:, 0] >= DASHES, pens_of[name].dashed if name in pens_of else None
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
    return dashed, usual(strokes.width, c.lengths), usual(strokes.luminance, c.lengths)


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
