"""Letters of a mark that stand one by one, one under the other or along an arc: G, F and I; or G over FCI.

No reader of lines joins them.  The nearest outlet may be protected, which is a question there; they clear none.
Terms: *step*, from the middle of a letter to that of the next.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely

from cordpath import units
from cordpath.model import Label, Point, Symbol
from cordpath.symbols.labels.nearness import REACH
from cordpath.symbols.labels.runs import Run
from cordpath.symbols.labels.words import closed_up

FARTHEST = 1.7  # of the text size: lines of letters stand 1.2 to 1.6 apart
BENT = math.radians(60.0)  # a step turns less from the one before it, on any arc that is read as a word
MARKS = "GFI", "GFCI"
PIECES = frozenset({"G", "F", "C", "I", "FI", "CI", "FCI", "GFC"})  # GF by itself is a mark
WHY = "letters of GFI that stand one by one"


def scattered(runs: tuple[Run, ...], symbols: tuple[Symbol, ...]) -> Iterator[tuple[int, Label]]:
    """Outlets, as indices, beside which the letters of a mark stand one by one."""
    letters = [run for run in runs if _is_piece(run.text)]
    outlets = [k for k, symbol in enumerate(symbols) if symbol.is_outlet]
    if len(letters) < 2 or not outlets:
        return
    bodies = [symbols[k].footprint for k in outlets]
    for chain in filter(None, (_chain([run], letters) for run in letters)):
        areas = shapely.union_all([run.area for run in chain])
        away = shapely.distance(areas, bodies)
        nearest = int(np.argmin(away))
        if away[nearest] <= REACH:
            x, y = areas.centroid.coords[0]
            yield outlets[nearest], Label("GFI?", (x, y), (("protection_unsure", WHY),))


def _is_piece(text: str) -> bool:
    """Is a text a letter or a few of a mark?  G F, read as one line, leaves its I behind."""
    letters = closed_up(text)
    return letters in PIECES or (letters == "GF" and units.plain(text) != letters)


def _chain(chain: list[Run], letters: list[Run]) -> list[Run] | None:
    """The letters that follow one another from the last of the chain, to the I."""
    said = "".join(closed_up(run.text) for run in chain)
    if said in MARKS:
        return chain
    if not any(mark.startswith(said) for mark in MARKS):
        return None
    last = chain[-1]
    reach = FARTHEST * last.size + _beyond(last)
    near = [run for run in letters if any(mark.startswith(said + closed_up(run.text)) for mark in MARKS)
            and math.dist(run.at, last.at) <= reach and _straight(chain, run.at)]  # fmt: skip
    near.sort(key=lambda run: math.dist(run.at, last.at))
    whole = next((found for run in near if (found := _chain([*chain, run], letters))), None)
    drawn = all(run.confidence < 1.0 for run in chain)
    return whole or (chain if drawn and said.startswith("GF") else None)  # a drawn I by itself is read by none


def _beyond(run: Run) -> float:
    """How far beyond a letter's half a piece reaches from its middle, pt."""
    return max(0.0, (run.line[2] - run.line[0] - run.size) / 2)


def _straight(chain: list[Run], at: Point) -> bool:
    if len(chain) < 2:
        return True
    (x0, y0), (x1, y1) = chain[-2].at, chain[-1].at
    before, after = math.atan2(y1 - y0, x1 - x0), math.atan2(at[1] - y1, at[0] - x1)
    return abs(math.remainder(after - before, math.tau)) < BENT
