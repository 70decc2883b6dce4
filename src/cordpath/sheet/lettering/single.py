"""Glyphs by themselves, for those who know where a letter must stand and of what strokes it is made."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cordpath.geometry import group_boxes
from cordpath.model import FloatArray
from cordpath.sheet.lettering.classify import CLASSES, REJECT, network
from cordpath.sheet.lettering.features import describe

LETTERS = {letter: n for n, letter in enumerate(dict.fromkeys(c.upper() for c in CLASSES if c != REJECT))}
# (classes, letters) which classes are cases of each letter
CASES = np.array([[float(c != REJECT and c.upper() == letter) for letter in LETTERS] for c in CLASSES])


def read_glyphs(glyphs: Sequence[FloatArray], filled: bool) -> list[dict[str, float]]:
    """Probabilities of each glyph's letters, upper and lower case put together; what is no letter is left out.

    ``glyphs``: strokes (n, 4) of the letters of one row, y down as read; ``filled``: edges of areas, not strokes.
    The row's own letters tell its base and cap height; of one letter alone they are not known.
    """
    glyphs = [np.asarray(glyph, float).reshape(-1, 4) for glyph in glyphs]
    if not glyphs or not all(len(glyph) for glyph in glyphs):
        return [{} for _ in glyphs]
    xy = np.concatenate(glyphs)
    owner = np.repeat(np.arange(len(glyphs)), [len(glyph) for glyph in glyphs])
    box = group_boxes(xy, owner, len(glyphs))
    high = float((box[:, 3] - box[:, 1]).max())
    base, cap = np.full(len(glyphs), box[:, 3].max()), np.full(len(glyphs), high if len(glyphs) > 1 else 0.0)
    chance = np.exp(network().log_probabilities(describe(xy, owner, np.full(len(glyphs), filled), base, cap, box)))
    return [dict(zip(LETTERS, row, strict=True)) for row in (chance @ CASES).tolist()]
