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
from cordpath.model import BoolArray, Fills, Strokes, Word
from cordpath.sheet.lettering.trust import DOUBTFUL

LEAST_PIECES = 3  # strokes or fills wholly at the place of a word: fewer are a dash or a leader that lies there
# Of the longer and the shorter side of the word's box that they reach over: letters fill the line, and most of its
# height, what a symbol beside it has in the box does not.
SPAN = 0.6, 0.35


def borne_out(words: tuple[Word, ...], read: tuple[Word, ...], strokes: Strokes, fills: Fills) -> tuple[Word, ...]:
    """The words without invisible ones of which no ink speaks; ``read``: words made out from strokes and fills."""
    unseen = [word for word in words if word.origin == "hidden"]
    if not unseen:
        return words
    middles = shapely.points([word.at for word in unseen])
    seen = [shapely.box(*word.box) for word in (*read, *words) if word.origin != "hidden"]
    said = np.bincount(shapely.STRtree(seen).query(middles)[0], minlength=len(unseen)) > 0
    spoken = ~said & _inked(unseen, strokes, fills)
    kept = iter(spoken.tolist())
    return tuple(
        replace(word, confidence=min(word.confidence, DOUBTFUL)) if word.origin == "hidden" else word
        for word in words
        if word.origin != "hidden" or next(kept)
    )


def _inked(words: list[Word], strokes: Strokes, fills: Fills) -> BoolArray:
    """(w,) Do strokes and fills that lie wholly in the box of each word fill it as letters do."""
    box = np.array([word.box for word in words])
    ink = geometry.lines(strokes.xy[strokes.ink()])
    drawn = np.concatenate([ink, fills.shape])
    of, piece = shapely.STRtree(drawn).query(shapely.box(*box.T), predicate="contains")
    inked = geometry.group_boxes(shapely.bounds(drawn[piece]).reshape(-1, 4), of, len(words))
    sides = box[:, 2:] - box[:, :2]
    least = np.where(sides >= sides.max(axis=1, keepdims=True), *SPAN)
    wide = (inked[:, 2:] - inked[:, :2] >= least * sides).all(axis=1)
    return np.asarray((np.bincount(of, minlength=len(words)) >= LEAST_PIECES) & wide, bool)
