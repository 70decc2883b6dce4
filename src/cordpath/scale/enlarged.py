"""Parts of a plan that are drawn larger than the scale note says which they fall under.

Terms: *part*, rooms and walls that stand apart from all others; *leaf*, of a door.

An enlarged plan without a title falls to the title beside it, and one without a note to that of the title block.
Its bowls are of no real size then and its distances twice too long: outlets beside a lavatory would be cleared.
Doors tell, since they are as wide in all parts of a house; where a part has none, the thickness of its walls.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import in_box
from cordpath.model import POINTS_PER_INCH, FloorPlan, Outlet, Scale, Sheet, View
from cordpath.scale.leaves import leaf_widths
from cordpath.scale.plausible import LINE_PT, USUAL_IN, WALL_IN

APART = 18.0  # pt: drawings stand half an inch apart at least, a room and its own walls less (common practice)
# Enlarged plans are 1 1/2, 2 or more times as large (common practice, no source).  A shed's wide door is 1.4 times
# as wide as those of a house, a basement's walls of concrete are 8 in. and 1.5 times as thick as the storeys'.
LARGER_LEAVES, LARGER_WALLS, THICK_IN = 1.45, 1.6, 8.5
# A basement or a store has thin walls inside, in an enlarged part all are thicker: the thinnest ones tell 1 1/2.
THINNEST_STEP_IN = 0.1  # to which the thickness is found
LARGER_THINNEST, MOST_THIN = 1.4, 0.05  # times; part of the walls' area that is thinner than the thinnest ones


@dataclass(frozen=True)
class _Part:
    view: str
    noted: bool  # a scale note stands under the drawing: that of the title block may be meant for others
    ratio: float
    outline: BaseGeometry
    leaf_in: float | None  # the middle of its leaves under its scale
    wall_in: float | None
    walls: BaseGeometry
    inch: float


def enlarged_parts(
    sheet: Sheet, plans: tuple[FloorPlan, ...], scales: tuple[Scale, ...], outlets: tuple[Outlet, ...]
) -> tuple[tuple[str, str], ...]:
    """(outlet id, why) of the outlets in parts that are drawn larger than another one under the same note: that no
    cord path was found there, or a long one, proves nothing."""
    parts = [
        part
        for view, plan, scale in zip(sheet.views, plans, scales, strict=True)
        if scale.measurable
        for part in _parts(sheet, view, plan, scale)
    ]
    larger = [
        (part, why)
        for part in parts
        if (why := next((why for other in parts if _alike(part, other) and (why := _larger(part, other))), None))
    ]
    return tuple(
        (outlet.id, why)
        for outlet in outlets
        for part, why in larger
        if outlet.symbol.view == part.view and part.outline.contains(shapely.Point(outlet.symbol.at))
    )


def _parts(sheet: Sheet, view: View, plan: FloorPlan, scale: Scale) -> list[_Part]:
    inner = [room.polygon for room in plan.rooms if room.kind != "outdoors" and not room.polygon.is_empty]
    if not inner or plan.walls.is_empty:
        return []
    drawn = shapely.union_all([*inner, plan.walls]).buffer(APART / 2)
    outlines = shapely.get_parts(drawn)
    return [_measured(sheet, view, plan, scale, shapely.convex_hull(outline)) for outline in outlines]


def _measured(sheet: Sheet, view: View, plan: FloorPlan, scale: Scale, outline: BaseGeometry) -> _Part:
    inch = POINTS_PER_INCH / (scale.ratio or 1.0)
    west, north, east, south = outline.bounds
    leaves = leaf_widths(sheet, (west, north, east, south))
    walls = plan.walls.intersection(outline)
    thick = 2 * walls.area / walls.length if walls.length > 0 else 0.0
    blocks = [region.box for region in sheet.regions if region.kind == "title block"]
    noted = view.note_box is not None and not any(in_box(view.note_box[:2], block) for block in blocks)
    return _Part(
        view.id, noted, scale.ratio or 1.0, outline, float(np.median(leaves)) / inch if len(leaves) else None,
        thick / inch if thick >= LINE_PT else None, walls, inch,
    )  # fmt: skip


def _alike(part: _Part, other: _Part) -> bool:
    """Have two parts their scale from one note, or the first from one that may be meant for the second?"""
    return part is not other and (part.view == other.view or (not part.noted and part.ratio == other.ratio))


def _larger(part: _Part, other: _Part) -> str | None:
    """Why a part cannot be at the scale of another one that is plausible under it."""
    if part.leaf_in is not None:
        usual = other.leaf_in is not None and USUAL_IN[0] <= other.leaf_in
        if usual and part.leaf_in > USUAL_IN[1] and part.leaf_in >= LARGER_LEAVES * (other.leaf_in or 0):
            return _said(part.leaf_in / (other.leaf_in or 1), "doors are {} times as wide as those")
        return None
    if part.wall_in is None or other.wall_in is None or other.wall_in < WALL_IN[0]:
        return None
    times = part.wall_in / other.wall_in
    larger = times >= LARGER_WALLS and part.wall_in >= THICK_IN
    if not larger and times >= LARGER_THINNEST:
        larger = _thinnest_in(part) >= LARGER_THINNEST * _thinnest_in(other)
    return _said(times, "walls are {} times as thick as those") if larger else None


def _thinnest_in(part: _Part) -> float:
    """The thickness, in, that hardly any of its walls stay below."""
    low, high = 0.0, 2.0 * (part.wall_in or 0.0)
    least = (1 - MOST_THIN) * part.walls.area
    while high - low > THINNEST_STEP_IN:
        middle = (low + high) / 2
        half = middle / 2 * part.inch
        kept = part.walls.buffer(-half, join_style="mitre").buffer(half, join_style="mitre")
        low, high = (middle, high) if kept.area >= least else (low, middle)
    return low


def _said(times: float, what: str) -> str:
    told = what.format(f"{times:.2g}")
    return f"it stands in a drawing whose {told} of the drawing beside it: perhaps one without its own scale"
