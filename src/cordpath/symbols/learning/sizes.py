"""Is a symbol drawn larger or smaller on the plans than its sign in the legend is?

Legends are often drawn at a size of their own. With it in the mapping file each outlet of the plans is
a question, which the size on the plans answers for all.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from cordpath.model import Spotting

FEWEST = 5  # symbols of outlets that tell a size
ALIKE = 0.03  # relative: plotters and writers round lengths of 9 pt to a part of this
AGREE = 0.9  # of them
OTHER = 0.05  # relative: what spotting takes for the sign's own size

Size = tuple[str, float, bool]  # name of the entry, drawn size over the sign's, of an outlet


def sizes_of(spotting: Spotting) -> tuple[Size, ...]:
    """The sizes of the symbols of a sheet that are drawn as on paper, settled or not."""
    drawn = (symbol for symbol in spotting.symbols if symbol.entry.size == "plotted" and not symbol.unnamed)
    return tuple((symbol.entry.name, symbol.drawn_size, symbol.is_outlet) for symbol in drawn)


def plan_sizes(found: Iterable[Size], names: Iterable[str]) -> dict[str, float]:
    """The size by which each sign is drawn on the plans, where it is not its own and all outlets agree on it.

    A symbol that the plans draw at the sign's size keeps it, and one that they do not draw goes with the outlets.
    """
    found = tuple(found)
    common = _common([size for _, size, outlet in found if outlet])
    if common is None or abs(common - 1.0) <= OTHER:
        return {}
    told: dict[str, float] = {}
    for name in names:
        own = [size for each, size, _ in found if each == name]
        if not own or abs(float(np.median(own)) / common - 1.0) <= ALIKE:
            told[name] = common
    return told


def _common(sizes: list[float]) -> float | None:
    if len(sizes) < FEWEST:
        return None
    middle = float(np.median(sizes))
    alike = np.abs(np.array(sizes) / middle - 1.0) <= ALIKE
    return middle if alike.mean() >= AGREE else None
