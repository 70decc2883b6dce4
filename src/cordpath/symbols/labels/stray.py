"""Labels of shapes that the mapping file does not name, taken for those of an outlet nearby.

A special outlet that nobody named has its GFI beside it: the next outlet within reach, which has no label of its
own, got it and was cleared.  A label that stands clearly nearer to a shape that nothing explains is in doubt.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import in_box
from cordpath.model import FloatArray, Label, Sheet, Symbol
from cordpath.symbols.labels.labels import NEARER, SETTLES, UNSURE

BESIDE_PT = 12.0  # from a shape to its label: most stand within 1/8 in of it (common practice, no source)


def doubted_by_shapes(symbols: tuple[Symbol, ...], sheet: Sheet, shapes: FloatArray) -> tuple[Symbol, ...]:
    """The symbols, with labels of outlets that a shape has nearer as unsure ones.

    ``shapes``: (n, 4) boxes of what has the size and the body of a symbol and is explained by nothing.
    """
    if not len(shapes):
        return symbols
    boxes = shapely.box(*shapes.T)
    return tuple(_doubted(each, sheet, boxes) if each.is_outlet and each.labels else each for each in symbols)


def _doubted(symbol: Symbol, sheet: Sheet, shapes: NDArray[np.object_]) -> Symbol:
    labels = tuple(_weighed(label, symbol, sheet, shapes) for label in symbol.labels)
    said = tuple(
        f"label {new.text} stands nearer to a shape that the mapping file does not name"
        for old, new in zip(symbol.labels, labels, strict=True)
        if new is not old
    )
    fresh = tuple(dict.fromkeys(reason for reason in said if reason not in symbol.reasons))
    return replace(symbol, labels=labels, reasons=(*symbol.reasons, *fresh)) if said else symbol


def _weighed(label: Label, symbol: Symbol, sheet: Sheet, shapes: NDArray[np.object_]) -> Label:
    if not any(name in SETTLES for name, _ in label.sets):
        return label
    text = next((shapely.box(*w.box) for w in sheet.words if in_box(label.at, w.box)), shapely.Point(label.at))
    mine = float(shapely.distance(symbol.footprint, text))
    if float(shapely.distance(shapes, text).min()) > min(NEARER * mine, BESIDE_PT):
        return label
    sets = tuple((f"{name}_unsure" if name in UNSURE else name, value) for name, value in label.sets)
    return replace(label, sets=sets)
