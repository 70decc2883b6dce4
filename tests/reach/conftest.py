"""Small plans in feet: 1 ft is 18 pt (1/4 in. = 1 ft)."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
import shapely
from shapely.geometry import MultiPolygon, Polygon, box

from cordpath.model import Fixture, FloorPlan, Outlet, Scale, Standing, Symbol, SymbolEntry

FOOT = 18.0


def scale(tolerance=0.0, status="proved"):
    return Scale("v1", 48.0, "note", '1/4" = 1\'-0"', status, tolerance=tolerance)


def _ft(geometry):
    return shapely.transform(geometry, lambda xy: xy * FOOT)


def plan(walls=(), glazing=(), doors=(), openings=()):
    """Geometries in feet."""
    return FloorPlan(
        "v1", (), _ft(shapely.union_all(list(walls))), _ft(shapely.union_all(list(glazing))),
        tuple(_ft(d) for d in doors), tuple(_ft(o) for o in openings), None,
    )  # fmt: skip


def _symbol(kind, at, edge=None, view="v1"):
    spot = shapely.Point(at).buffer(4.0)
    return Symbol(SymbolEntry(kind, kind), at, 0.0, False, 1.0, 1.0, True, view, spot, np.zeros(0, int), edge)


def outlet(x, y, facing=None, id="E.1", tolerance_ft=0.0, at=None, view="v1"):
    anchor = (x * FOOT, y * FOOT)
    body = anchor if at is None else (at[0] * FOOT, at[1] * FOOT)
    return Outlet(id, _symbol("receptacle", body, view=view), Standing(anchor, facing, "r1", tolerance_ft))


def fixture(*bowls, kind="sink", id="f1", view="v1"):
    edge = _ft(bowls[0] if len(bowls) == 1 else MultiPolygon(list(bowls)))
    middle = edge.centroid
    return Fixture(id, _symbol(kind, (middle.x, middle.y), edge, view), "r1")


@pytest.fixture(scope="session")
def tiny():
    return SimpleNamespace(
        plan=plan, outlet=outlet, fixture=fixture, scale=scale, box=box, polygon=Polygon, foot=FOOT
    )
