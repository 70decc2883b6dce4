"""Appliances with no outlet near them: its outlet may be one that the mapping file lacks, or none is drawn.

A washer, a dryer, a range and a refrigerator stand on a cord that is seldom longer than four feet, those on gas as
well as those on 240 V, and plans that show the outlets of some appliances show those of all (common practice, no
source).  It is a remark and no verdict: a range may be wired directly, and an outlet may be meant to be added.
"""

from __future__ import annotations

from collections.abc import Iterable

import shapely

from cordpath.geometry import from_the_top
from cordpath.model import Point, Scale, Symbol, Unexplained

ON_CORDS = ("dryer", "range", "refrigerator", "washer")
CORD_IN = 48.0  # inches of the building from the appliance's outline to its outlet
MOSTLY = 0.5  # of a view's appliances that have one near: otherwise their outlets are on another sheet


def unfed(
    symbols: tuple[Symbol, ...], scales: tuple[Scale, ...], told: Iterable[Unexplained]
) -> tuple[Unexplained, ...]:
    """One remark for each kind of appliance; ``told``: places about which something is said already."""
    known = [shapely.Point(at) for item in told for at in item.at]
    lonely: dict[str, list[Point]] = {}
    for scale in scales:
        if not scale.measurable or scale.ratio is None:
            continue
        reach = CORD_IN * 72.0 / scale.ratio
        here = [symbol for symbol in symbols if symbol.view == scale.view]
        outlets = [symbol.footprint for symbol in here if symbol.is_outlet]
        appliances = [symbol for symbol in here if symbol.kind in ON_CORDS]
        without = [each for each in appliances if not _near(each, outlets, reach)]
        if len(without) > (1 - MOSTLY) * len(appliances):
            continue
        for each in without:
            if not _near(each, known, reach):
                lonely.setdefault(each.kind, []).append(each.at)
    return tuple(_said(kind, at) for kind, at in sorted(lonely.items()))


def _near(appliance: Symbol, places: list[shapely.Point], reach: float) -> bool:
    return any(shapely.distance(appliance.footprint, place) <= reach for place in places)


def _said(kind: str, at: list[Point]) -> Unexplained:
    one = f"a {kind} with no outlet" if len(at) == 1 else f"{len(at)} {kind}s with no outlet"
    what = f"{one} within {CORD_IN / 12:g} ft: is it drawn as the mapping file says, or is there none?"
    return Unexplained(what, from_the_top(at))
