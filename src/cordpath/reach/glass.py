"""Paths that are short only by way of a window or a fixed pane.

Whether one ends a path differs between editions, and no plan tells whether it opens; so these are told apart from
the paths round it.  *Pane*: a connected part of the glazing that is no part of a door.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import shapely

from cordpath.model import BASIN_KINDS, TUB_KINDS, CordPath, Fixture, FloorPlan, Outlet, Scale
from cordpath.reach.barriers import glazing_of
from cordpath.reach.paths import NEAR_FT, cord_paths

SASH_PT = 3.0  # the lines of one window lie this near to each other (2 in. at 1/4 in. = 1 ft) and count as one pane
SHORTER_FT = 0.05  # by which a way through glass must be shorter than the way round to be told


def through_glass(
    outlets: tuple[Outlet, ...],
    fixtures: tuple[Fixture, ...],
    plan: FloorPlan,
    scale: Scale,
    known: Iterable[CordPath],
) -> tuple[CordPath, ...]:
    """Paths to bowls, tubs and showers within reach that go through just one pane, doors taken as open.

    ``known``: the paths round the glass.  A cord goes out of one window and in at the next on no plan, so ways
    through two are left out.
    """
    glazing = shapely.union_all(glazing_of(plan))
    fixtures = tuple(f for f in fixtures if f.symbol.kind in BASIN_KINDS | TUB_KINDS)
    if glazing.is_empty or not fixtures or not outlets:
        return ()
    panes = shapely.get_parts(shapely.buffer(glazing, SASH_PT, join_style="mitre"))
    shapely.prepare(panes)
    round_it = {(path.outlet, path.fixture): path.length_ft for path in known if path.doors == "open"}
    open_plan = replace(plan, glazing=shapely.Polygon())
    found = cord_paths(outlets, fixtures, open_plan, scale, "open", NEAR_FT)
    return tuple(
        replace(path, glass=True)
        for path in found
        if path.length_ft < round_it.get((path.outlet, path.fixture), float("inf")) - SHORTER_FT
        and int(shapely.intersects(panes, shapely.LineString(path.points)).sum()) == 1
    )
