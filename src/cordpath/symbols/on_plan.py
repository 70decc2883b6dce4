"""Which symbols are devices of the plan, and which are samples in a legend, a schedule or a note."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import in_box
from cordpath.model import Region, Sheet, Symbol
from cordpath.symbols.label_words import read
from cordpath.symbols.stray_labels import BESIDE_PT


def on_plan(symbols: tuple[Symbol, ...], sheet: Sheet) -> tuple[tuple[Symbol, ...], list[str]]:
    """Without the samples in legends, schedules, notes, key plans, details and title blocks, which are counted.

    An outlet in a title block is kept: nobody draws samples there, so the block may have been taken too large. So
    is one in a legend with a circuit beside it, as a doubt: a legend's samples are on no circuit.
    """
    counts: Counter[str] = Counter()
    kept = []
    circuits = _circuits(sheet)
    for symbol in symbols:
        region = next((r for r in sheet.regions if in_box(symbol.at, r.box)), None)
        if region is None or (region.kind == "title block" and symbol.is_outlet):
            kept.append(symbol)
        elif _on_a_circuit(symbol, region, circuits):
            reason = "it stands in what looks like the legend of the sheet, with a circuit beside it"
            kept.append(replace(symbol, found=False, reasons=(*symbol.reasons, reason)))
        else:
            counts[region.kind] += 1
    notes = [f"{n} symbol{'s' if n > 1 else ''} in the {kind} {'are' if n > 1 else 'is'} no device of the plan: "
             "not counted" for kind, n in sorted(counts.items())]  # fmt: skip
    kept.sort(key=lambda s: (round(s.at[1], 1), round(s.at[0], 1), s.entry.name))
    return tuple(kept), notes


def _circuits(sheet: Sheet) -> NDArray[np.object_]:
    """The boxes of the words that are surely circuits."""
    boxes = [
        word.box for word in sheet.words if (said := read(word.text, ())) is not None and said.kind == "circuit"
    ]
    return np.array([shapely.box(*box) for box in boxes], dtype=object)


def _on_a_circuit(symbol: Symbol, region: Region, circuits: NDArray[np.object_]) -> bool:
    if not symbol.is_outlet or region.kind != "legend" or not len(circuits):
        return False
    return bool(shapely.distance(circuits, symbol.footprint).min() <= BESIDE_PT)
