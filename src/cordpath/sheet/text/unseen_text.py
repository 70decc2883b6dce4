"""Invisible text: a layer that a scanner or a plotter laid under its letters, or what somebody left on the page.

Such a word is no ink.  Where the ink at its place was read as letters, those letters count and not the word; where
ink stands at its place that was not read, the word may say what it is and settles nothing; where there is none, it
says nothing at all.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import Fills, IntArray, Strokes, Word
from cordpath.sheet.lettering.trust import DOUBTFUL

LEAST_PIECES = 3  # strokes or fills wholly at the place of a word: fewer are a dash or a leader that lies there


def borne_out(words: tuple[Word, ...], read: tuple[Word, ...], strokes: Strokes, fills: Fills) -> tuple[Word, ...]:
    """The words without invisible ones of which no ink speaks; ``read``: words made out from strokes and fills."""
    unseen = [word for word in words if word.origin == "hidden"]
    if not unseen:
        return words
    middles = shapely.points([word.at for word in unseen])
    seen = [shapely.box(*word.box) for word in (*read, *words) if word.origin != "hidden"]
    said = np.bincount(shapely.STRtree(seen).query(middles)[0], minlength=len(unseen)) > 0
    spoken = ~said & (_pieces(unseen, strokes, fills) >= LEAST_PIECES)
    kept = iter(spoken.tolist())
    return tuple(
        replace(word, confidence=min(word.confidence, DOUBTFUL)) if word.origin == "hidden" else word
        for word in words
        if word.origin != "hidden" or next(kept)
    )


def _pieces(words: list[Word], strokes: Strokes, fills: Fills) -> IntArray:
    """(w,) strokes and fills that lie wholly in the box of each word."""
    tree = shapely.STRtree([shapely.box(*word.box) for word in words])
    ink = strokes.xy[strokes.ink()]
    _, by_stroke = tree.query(geometry.lines(ink), predicate="within")
    _, by_fill = tree.query(fills.shape, predicate="within")
    return np.bincount(np.r_[by_stroke, by_fill].astype(np.int64), minlength=len(words))
