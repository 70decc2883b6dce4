"""Homerun arrows that no line was found to lead to: a wire broken by ticks or by another wire was lost on the way.

Whose they are is not known.  An order of feeding that knows of another homerun of the same circuit is sure no
longer, and an outlet near one may be on its circuit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cordpath.circuits.wiring.arrows import HEAD_LEAST, SAME_TIP, Heads
from cordpath.circuits.wiring.homeruns import REACH, tag_nearest, tag_of
from cordpath.geometry import in_box
from cordpath.model import FloatArray, Point, Sheet, Symbol, Word

NEAR = 108.0  # pt, 1 1/2 in, from the tip to the symbol that a homerun begins at (common practice, no source)
AT_SYMBOL = 4.0  # pt: a head as near to a symbol points at it, as those of leaders do


@dataclass(frozen=True)
class Arrow:
    """``tip`` of a head, the ``tag`` beside it, the numbers of symbols ``near`` at which it may begin."""

    tip: Point
    tag: str
    near: frozenset[int]
    view: str | None


def unclaimed(sheet: Sheet, devices: tuple[Symbol, ...], heads: Heads, tips: Sequence[Point]) -> list[Arrow]:
    """Arrow heads beside a circuit, of no line.  ``tips``: those that lines lead to."""
    if not len(heads.tip) and not len(heads.barbs):
        return []
    served = [box for tip in tips if (box := tag_nearest(tip, sheet)) is not None]
    tags = [
        (word, tag) for word in sheet.words
        if (tag := tag_of(word.text)) is not None
        and not _taken(word, sheet, devices) and not any(in_box(word.at, box) for box in served)
    ]  # fmt: skip
    outline = shapely.STRtree([symbol.footprint for symbol in devices])
    letters = shapely.STRtree([shapely.box(*word.box) for word in sheet.words])
    middles = np.array([symbol.at for symbol in devices], float).reshape(-1, 2)
    found: list[Arrow] = []
    for word, tag in tags:
        around = heads.around(word.at, REACH + (word.box[2] - word.box[0] + word.box[3] - word.box[1]) / 2)
        for tip, way in zip(*around, strict=True):
            at, back = shapely.points([tip, tip - HEAD_LEAST * way])
            gap = shapely.distance(at, shapely.box(*word.box))
            behind = float((np.asarray(word.at) - tip) @ way) < -word.size
            own = any(np.hypot(*(tip - other)) <= SAME_TIP for other in tips)
            if gap > REACH or behind or own or len(outline.query(at, "dwithin", AT_SYMBOL)):
                continue
            if len(letters.query(shapely.LineString([at, back]), "within")) == 0:
                found.append(_arrow(tip, way, tag, middles, devices))
    return found


def _taken(word: Word, sheet: Sheet, devices: tuple[Symbol, ...]) -> bool:
    """Is it a symbol's label, or does it stand in a legend or a schedule?"""
    if any(in_box(word.at, region.box) for region in sheet.regions):
        return True
    return any(in_box(label.at, word.box) for symbol in devices for label in symbol.labels)


def _arrow(tip: FloatArray, way: FloatArray, tag: str, middles: FloatArray, devices: tuple[Symbol, ...]) -> Arrow:
    away = middles - tip
    far = np.hypot(*away.T)
    near = np.flatnonzero((far <= NEAR) & (away @ way <= 0))
    return Arrow((float(tip[0]), float(tip[1])), tag, frozenset(near.tolist()), devices[int(far.argmin())].view)
