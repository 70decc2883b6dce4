"""What a mapping file asks to ignore: all that is drawn and written on the layers that it names."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cordpath.geometry import midpoints
from cordpath.model import BoolArray, FloatArray, Sheet, Word, layers_like


def without_layers(sheet: Sheet, patterns: tuple[str, ...]) -> Sheet:
    """The sheet without the strokes, areas and words on layers whose names match, which its assumptions say.

    A word that is drawn lies on the layers of most of the ink in its box.
    """
    away = np.append(layers_like(sheet.layers, patterns), False)  # the last: on no layer
    on, under = away[sheet.strokes.layer], away[sheet.fills.layer]
    spoken = _ignored(sheet, on, under, patterns)
    if not (on.any() or under.any() or spoken.any()):
        return sheet
    names = {sheet.layers[k] for k in np.flatnonzero(away)}
    names |= {word.layer for word, out in zip(sheet.words, spoken, strict=True) if out and word.layer}
    said = f"what is drawn and written on layers {', '.join(sorted(names))} was left out, as the mapping file asks"
    return replace(
        sheet,
        strokes=sheet.strokes.take(~on),
        lettered=sheet.lettered[~on] if len(sheet.lettered) else sheet.lettered,
        fills=sheet.fills.take(~under),
        words=tuple(word for word, out in zip(sheet.words, spoken, strict=True) if not out),
        assumptions=(*sheet.assumptions, said),
    )


def _ignored(sheet: Sheet, on: BoolArray, under: BoolArray, patterns: tuple[str, ...]) -> BoolArray:
    """(words,) does a word lie on an ignored layer?  ``on``, ``under``: the strokes and the areas that do."""
    out = layers_like([word.layer for word in sheet.words], patterns)
    if not (on.any() or under.any()):
        return out
    bounds = np.array([shape.bounds for shape in sheet.fills.shape], float).reshape(-1, 4)
    at, away = np.concatenate([midpoints(sheet.strokes.xy), midpoints(bounds)]), np.concatenate([on, under])
    return out | np.array([word.origin != "font" and _most(word, at, away) for word in sheet.words], bool)


def _most(word: Word, at: FloatArray, away: BoolArray) -> bool:
    low, high = np.array(word.box).reshape(2, 2)
    inside = ((at >= low) & (at <= high)).all(axis=1)
    return bool(2 * away[inside].sum() > inside.sum())
