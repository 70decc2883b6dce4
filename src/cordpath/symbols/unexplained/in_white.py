"""Outlets that are drawn in white on a dark area: white lines are paper everywhere else, and never looked at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import WHITE, Mapping, Sheet, Unexplained
from cordpath.symbols.unexplained.groups import profiled
from cordpath.symbols.unexplained.left_ink import LONGEST, on_layers, once
from cordpath.symbols.unexplained.unexplained import Named, like_symbols, nearly

DARK = 0.6  # luminance below which white lines on an area are seen well
OPAQUE = 0.99  # of 1


def told_in_white(sheet: Sheet, outlets: Named, mapping: Mapping) -> Iterator[Unexplained]:
    """Shapes of white lines that lie on dark areas as a whole and are drawn much like one of ``outlets``: names
    with their marks, inches on paper."""
    strokes, fills = sheet.strokes, sheet.fills
    unseen = (strokes.luminance >= WHITE) & ~strokes.covered & on_layers(sheet, mapping)
    white = np.flatnonzero(unseen & (geometry.lengths(strokes.xy) <= LONGEST))
    dark = np.flatnonzero((fills.luminance < DARK) & (fills.opacity >= OPAQUE))
    if not len(white) or not len(dark):
        return
    xy = geometry.lines(strokes.xy[white])
    stroke, area = shapely.STRtree(fills.shape[dark]).query(xy, predicate="covered_by")
    seen = np.unique(stroke[strokes.path[white[stroke]] > fills.path[dark[area]]])
    if len(seen):
        groups = profiled(once(strokes.xy[white[seen]]), like_symbols)
        for each in nearly(groups, outlets, set()):
            yield replace(each, what=f"{each.what}: it is drawn in white on a dark area")
