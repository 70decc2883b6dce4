"""Rows of a panel schedule that are shaded, for notes such as ``SHADED = GFCI BREAKER``.

A row is shaded where one colour lies under all of it, and bare where none does.  Only a schedule whose every row is
the one or the other tells, and one in which every second row is shaded does not: this is how tables are set.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np
import shapely

from cordpath.circuits.panels.anchors import pitch
from cordpath.circuits.panels.marks import circuits
from cordpath.circuits.panels.tables import Half
from cordpath.model import WHITE, FloatArray, Sheet

SAMPLES = 16  # places along a row at which its ground is looked at: about three a column
ALIKE = 0.02  # of full luminance by which one shade may differ from place to place
INSET = 2.0  # pt from the ends of a row's cells, whose rulings have a width
_SHADED = re.compile(r"\b(?:SHAD(?:ED|ING)|HIGHLIGHTED|SCREENED|GR[AE]YED)\b")
_SAYING = re.compile(
    rf"\bNOTE\b:?|=|(?:\bALL )?{_SHADED.pattern}(?: (?:CIRCUITS?|CKTS?|ROWS?|BREAKERS?|CELLS?|AREAS?))?"
    r"(?: (?:IS|ARE|HAVE|INDICATES?|DENOTES?|MEANS?|TO BE|SHALL BE|PROVIDED|WITH))*"
)


def of_shading(note: str) -> bool:
    """Does a note, in capitals, speak of rows that are shaded?"""
    return _SHADED.search(note) is not None


def without_shading(note: str) -> str:
    """What a note says of the rows that are shaded, of one of them."""
    return re.sub(r"\bBREAKERS\b", "BREAKER", _SAYING.sub(" ", note)).strip()


def shaded_circuits(halves: Sequence[Half], sheet: Sheet) -> dict[str, bool] | None:
    """Whether each circuit's row is shaded; None where it cannot be told of every row.

    ``halves`` of one panel, level on the sheet.
    """
    grounds = [_shaded(half, sheet) for half in halves]
    found = [ground for ground in grounds if ground is not None]
    if len(found) < len(grounds) or all(map(_is_every_second, found)):
        return None
    shades: dict[str, float] = {}
    for half, ground in zip(halves, found, strict=True):
        for anchor, shade in zip(half.anchors, ground.tolist(), strict=True):
            shades |= dict.fromkeys(circuits(anchor.text), shade)
    dark = [shade for shade in shades.values() if shade < WHITE]
    if not 0 < len(dark) < len(shades) or max(dark) - min(dark) > ALIKE:
        return None
    return {circuit: shade < WHITE for circuit, shade in shades.items()}


def _shaded(half: Half, sheet: Sheet) -> FloatArray | None:
    """(n,) luminance of the ground of each row, 1 where it is bare; None where one row has several."""
    heads = [field.head for field in half.fields]
    x = np.linspace(min(h.x0 for h in heads) + INSET, max(h.x1 for h in heads) - INSET, SAMPLES)
    y = np.array([anchor.y for anchor in half.anchors])
    step = pitch(half.anchors)
    ground = np.stack([_ground(x, y + part * step, sheet) for part in (-0.25, 0.25)], axis=1).reshape(len(y), -1)
    ground = np.where(ground < WHITE, ground, 1.0)
    return ground[:, 0] if (np.ptp(ground, axis=1) <= ALIKE).all() else None


def _ground(x: FloatArray, y: FloatArray, sheet: Sheet) -> FloatArray:
    """(len(y), len(x)) luminance of the last fill over each place, 1 where there is none."""
    fills = sheet.fills
    at = np.stack(np.meshgrid(x, y), axis=2).reshape(-1, 2)
    found = np.ones(len(at))
    seen = np.flatnonzero(fills.opacity > 0)
    point, fill = shapely.STRtree(fills.shape[seen]).query(shapely.points(at), predicate="within")
    order = np.argsort(fill)
    found[point[order]] = fills.luminance[seen[fill[order]]]  # the last one painted stays
    return found.reshape(len(y), len(x))


def _is_every_second(shades: FloatArray) -> bool:
    dark = shades < WHITE
    return bool((dark[1:] != dark[:-1]).all())
