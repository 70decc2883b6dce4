"""Cord paths whose length a dimension on the drawing states, and lengths in space where heights are known.

Terms: *figure*, the length that a dimension states; drawings say that figures govern over what is scaled from them
(common practice).  *Along* and *across*, the parts of a straight path in the direction of a dimension line and
square to it.  *Remainder*, the short way along between the end of a dimension and the end of the path.
*Rim*, the upper edge of a bowl or tub.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely

from cordpath.model import TUB_KINDS, CordPath, Dimension, Fixture, FloatArray, Outlet, Scale

COINCIDE_PT = 7.2  # 0.1 in. on paper: a dimension's end this near belongs to the outlet or the fixture
EXACT_PT = 2.0  # the end of a dimension that was not drawn to scale: an extension line stands on the very thing
BESIDE_PT = 216.0  # 3 in. on paper: dimension lines farther away belong to other parts of the plan
MOSTLY_ALONG = 0.9  # of the path: a dimension across it says little about its length
FIGURE_FT = 0.5 / 12  # figures are written to the half inch or finer (common practice)
DRAWN_TO_SCALE = 0.01  # relative
HEIGHT_IN = 1.0  # how exactly a height is given: to the middle of the box, to the inch


def figured(
    paths: tuple[CordPath, ...], dimensions: tuple[Dimension, ...], outlets: tuple[Outlet, ...],
    fixtures: tuple[Fixture, ...], scale: Scale,
) -> tuple[CordPath, ...]:  # fmt: skip
    """The paths, with the figure of a dimension for the straight ones whose two ends it joins.

    The ends of a dimension are an outlet's anchor or centre and a fixture's edge or centre, seen along the
    dimension line.  What remains along is scaled, as is the part across.  Where the drawing is not to scale the
    figure is taken, and the uncertainty reaches from it to the scaled length: a verdict that differs between them
    stays open.
    """
    if not dimensions or not scale.measurable:
        return paths
    here, bowls = {o.id: o for o in outlets}, {f.id: f for f in fixtures}
    return tuple(_figured(path, dimensions, here[path.outlet], bowls[path.fixture], scale) for path in paths)


def _figured(
    path: CordPath, dimensions: tuple[Dimension, ...], outlet: Outlet, fixture: Fixture, scale: Scale
) -> CordPath:
    start, end = np.array(path.points[0]), np.array(path.points[-1])
    straight = float(np.hypot(*(end - start)))
    if len(path.points) != 2 or straight < 1.0:
        return path
    found = [
        told for dimension in dimensions
        if (told := _told(dimension, path, (start, end), outlet, fixture, scale)) is not None
    ]  # fmt: skip
    return min(found, key=lambda told: (told.uncertainty_ft, told.length_ft)) if found else path


def _told(
    dimension: Dimension, path: CordPath, ends: tuple[FloatArray, FloatArray], outlet: Outlet, fixture: Fixture,
    scale: Scale,
) -> CordPath | None:  # fmt: skip
    """The path as one dimension tells it; None where it does not join outlet and fixture."""
    a, b = np.array(dimension.start), np.array(dimension.end)
    drawn = float(np.hypot(*(b - a)))
    if drawn < 1.0:
        return None
    unit = (b - a) / drawn
    way = ends[1] - ends[0]
    if float(way @ unit) < 0:
        a, b, unit = b, a, -unit
    along, across = float(way @ unit), abs(float(way[0] * unit[1] - way[1] * unit[0]))
    beside = max(abs(float((end - a) @ np.array([-unit[1], unit[0]]))) for end in ends)
    if along < MOSTLY_ALONG * float(np.hypot(along, across)) or beside > BESIDE_PT:
        return None
    foot = scale.points_per_foot
    true = abs(drawn / foot / dimension.length_ft - 1) <= DRAWN_TO_SCALE
    off = max(
        _off(_outlet_places(outlet, ends[0]), unit, a), _off(_fixture_places(fixture, ends[1], unit), unit, b)
    )
    if off > (COINCIDE_PT if true else EXACT_PT):
        return None
    remainder = (along - drawn) / foot
    length = float(np.hypot(max(dimension.length_ft + remainder, 0.0), across / foot))
    slack = FIGURE_FT + off / foot * scale.tolerance + (abs(remainder) + across / foot) * scale.tolerance
    slack += outlet.standing.anchor_tolerance_ft * (1.0 if off > EXACT_PT else _across_wall(outlet, unit))
    slack = (
        min(slack, path.uncertainty_ft) if true else max(slack, abs(length - path.length_ft) + path.uncertainty_ft)
    )
    return replace(path, length_ft=length, uncertainty_ft=slack, figured=True)


def _across_wall(outlet: Outlet, unit: FloatArray) -> float:
    """0 to 1: how far a direction runs across the outlet's wall.

    A dimension that ends at a wall's line tells where that line is, and not which line is the face of the wall.
    """
    facing = outlet.standing.facing
    return 1.0 if facing is None else min(1.0, abs(float(unit @ np.array(facing))))


def _outlet_places(outlet: Outlet, start: FloatArray) -> Iterator[FloatArray]:
    yield start
    yield np.array(outlet.standing.anchor)
    yield np.array(outlet.symbol.at)


def _fixture_places(fixture: Fixture, end: FloatArray, unit: FloatArray) -> Iterator[FloatArray]:
    """The end of the path, the centre, and the outermost points of the edge along the dimension."""
    yield end
    yield np.array(fixture.symbol.at)
    edge = fixture.symbol.edge
    if edge is not None and not edge.is_empty:
        middle = edge.centroid
        yield np.array([middle.x, middle.y])
        corners = shapely.get_coordinates(edge)
        reach = corners @ unit
        yield corners[int(np.argmin(reach))]
        yield corners[int(np.argmax(reach))]


def _off(places: Iterator[FloatArray], unit: FloatArray, end: FloatArray) -> float:
    """How far along the nearest of the places lies from the end of a dimension, points."""
    return min(abs(float((place - end) @ unit)) for place in places)


# ------------------------------------------------------------------------------------------------- heights


def in_space(
    paths: tuple[CordPath, ...], outlets: tuple[Outlet, ...], fixtures: tuple[Fixture, ...]
) -> tuple[CordPath, ...]:
    """The paths, with the length in space where the outlet's height and the fixture's rim are known.

    Walls stand upright, so a path unrolled along them is flat: its length is the hypotenuse of the length in the
    plan and the difference of heights.  The side of a tub or shower is an edge as well: an outlet below its rim is
    at no height from it.  The uncertainty becomes that of the length in space.
    """
    here, bowls = {o.id: o for o in outlets}, {f.id: f for f in fixtures}
    return tuple(_raised(path, here[path.outlet], bowls[path.fixture]) for path in paths)


def _raised(path: CordPath, outlet: Outlet, fixture: Fixture) -> CordPath:
    height, rim = outlet.symbol.fact("height_in"), fixture.symbol.entry.rim_in
    if not isinstance(height, int | float) or rim is None:
        return path
    rise = (float(height) - rim) / 12.0
    rise = max(rise, 0.0) if fixture.symbol.kind in TUB_KINDS else abs(rise)
    length = float(np.hypot(path.length_ft, rise))
    share = rise / length if length > 0 else 0.0
    slack = path.uncertainty_ft + share * 2 * HEIGHT_IN / 12.0
    return replace(path, length_3d_ft=length, uncertainty_ft=slack)
