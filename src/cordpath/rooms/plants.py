"""Round things outdoors with a circle in their middle: trees, shrubs, parasols and columns, which no basin is.

A basin that no entry names is told by a drain in a bowl, and so is every tree by its trunk.  Basins outdoors have
straight rims (outdoor kitchens) or are named; every outlet outdoors asks for protection without them.
"""

from __future__ import annotations

from dataclasses import replace

import shapely

from cordpath.geometry import sides_around
from cordpath.model import FloorPlan, Spotting, Standing, Symbol

ROUND = 0.755, 0.815  # of its rectangle: a circle covers .785
EVEN = 1.06  # the longer over the shorter side of a circle's rectangle, drawn in chords on a plotter's grid


def without_plants(spotting: Spotting, standings: dict[int, Standing], plans: tuple[FloorPlan, ...]) -> Spotting:
    """The spotting without round basins of no named design that stand in the yard; how many there were is said.

    ``standings``: by the symbols' indices.  What stands between the walls of a house stays a question, also where a
    gap in a wall makes outdoors of its room.
    """
    yards = {plan.view: plan.walls.convex_hull for plan in plans if plan.why is None and not plan.walls.is_empty}
    outdoors = {room.id for plan in plans for room in plan.rooms if room.kind == "outdoors"}
    plants = {
        k for k, symbol in enumerate(spotting.symbols)
        if symbol.unnamed and not symbol.entry.proposed and symbol.view in yards
        and standings[k].room in outdoors and not yards[symbol.view].intersects(symbol.footprint)
        and _is_round(symbol)
    }  # fmt: skip
    if not plants:
        return spotting
    n = len(plants)
    things = "1 round thing" if n == 1 else f"{n} round things"
    said = f"{things} outside the house with a circle inside: taken for plants or posts, not for basins"
    kept = tuple(symbol for k, symbol in enumerate(spotting.symbols) if k not in plants)
    return replace(spotting, symbols=kept, assumptions=(*spotting.assumptions, said))


def _is_round(symbol: Symbol) -> bool:
    """Are bowl and rim both circles?"""
    return all(_circle(shape) for shape in (symbol.footprint, symbol.edge) if shape is not None)


def _circle(shape: shapely.Geometry) -> bool:
    long, short = sides_around(shape)
    return ROUND[0] <= shape.area / max(long * short, 1e-9) <= ROUND[1] and long <= EVEN * max(short, 1e-9)
