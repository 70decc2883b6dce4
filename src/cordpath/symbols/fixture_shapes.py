"""Sinks, tubs and showers of a design that no entry names, told by their drain: evidence of doubt, never of a find.

Terms: *drain*, a small whole circle of a drain's real size; *ring*, a closed outline of strokes that touch; *bowl*,
the smallest ring of a basin's or a tub's size around a drain; *rim*, a ring close around the bowl; *falls*, lines
across a shower's floor that run through its drain.

A mapping file seldom holds every fixture of a submittal.  A bar sink of another maker would then be nowhere, and an
outlet beside it "not required": what has a drain in a bowl is told as a fixture that is not settled, so that the
distance to it becomes a question.  A bowl that is a plain rectangle without a rim is a box of anything.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import in_box
from cordpath.model import BoolArray, FloatArray, IntArray, Kind, Scale, Sheet, Symbol, SymbolEntry, View
from cordpath.symbols.compete import AS_WELL
from cordpath.symbols.normalise import Ink
from cordpath.symbols.rings import RIM, is_rim, is_rounded, is_soft, rings, sides_of

# Sizes in inches of the building: common practice, no source.
DRAIN = 0.9, 4.6  # across: strainers, overflows and shower drains; a can light is drawn larger on most plans
GRATE = 6.6  # across at most, where lines of a shower's floor run to it
DRAIN_PT = 0.9  # across on paper: smaller circles are dots of a pattern
ROUND = 295.0  # degrees of the drain's circle that are drawn
BOWL_LEAST, BOWL_MOST = 8.5, 84.0
BASIN = 36.0, 26.0  # longest and widest bowl of a sink
TUB = 42.0, 20.0  # a tub is at least so long and so wide
STALL = 24.0, 72.0  # least and most of a side of a shower
LONGEST = 108.0  # longer lines are walls, dimensions and counters
REACH = 76.0  # from a drain at the end of a tub to its far corner
PAIR = 2.5  # one bowl of a double sink over the other, areas
WEB = 5.0  # between the two bowls of a sink
KNOBS = 3  # like circles in one bowl: burners, knobs and feet
MOST_DRAINS = 150  # of a view: more small circles are a pattern
BODY = 0.4  # of a symbol's width, from which a circle in it may be its body; a bowl's drain is a fifth of it


@dataclass(frozen=True, eq=False)
class Drained:
    """A drain in a bowl, and the bowls and drains that share its rim."""

    kind: Kind
    bowl: BaseGeometry
    rim: BaseGeometry
    sides: tuple[float, float]  # inches, longer first
    parts: tuple[tuple[BaseGeometry, FloatArray], ...]  # each bowl, and its drain: centre and radius


def unnamed_fixtures(
    sheet: Sheet, ink: Ink, symbols: tuple[Symbol, ...], scales: tuple[Scale, ...]
) -> tuple[tuple[Symbol, ...], list[str]]:
    """Unsettled symbols for what has a drain in a bowl and belongs to none of ``symbols``, and what to say."""
    out: list[Symbol] = []
    said: list[str] = []
    for view, unit in measured_views(sheet, scales):
        found = drained(sheet, ink, symbols, view, unit)
        if isinstance(found, int):
            said.append(f"{found} small circles are drawn in {view.title or view.id}: sinks were not told by them")
        else:
            out += [_symbol(each, view) for each in found]
    if out:
        said.append(
            f"{len(out)} thing{'s' if len(out) > 1 else ''} with a drain in a bowl "
            f"{'are' if len(out) > 1 else 'is'} drawn like no fixture of the mapping file"
        )
    return tuple(out), said


def measured_views(sheet: Sheet, scales: tuple[Scale, ...]) -> Iterator[tuple[View, float]]:
    """The views that can be measured, and the points of an inch of the building in each."""
    for scale in scales:
        view = next((v for v in sheet.views if v.id == scale.view), None)
        if view is not None and scale.measurable and scale.ratio is not None:
            yield view, 72.0 / scale.ratio


def drained(sheet: Sheet, ink: Ink, symbols: tuple[Symbol, ...], view: View, unit: float) -> list[Drained] | int:
    """What has a drain in a bowl in a view and is of no symbol; the number of drains where they are too many."""
    drains = _drains(sheet, ink, view, unit, symbols)
    if len(drains) > MOST_DRAINS:
        return len(drains)
    owned = owned_ink(ink, symbols)
    return _joined([each for drain in drains for each in _around(ink, owned, drain, unit)])


def owned_ink(ink: Ink, symbols: tuple[Symbol, ...]) -> BoolArray:
    """(count,) drawn segments that found symbols explain."""
    mine = np.zeros(len(ink.segment_of), bool)
    for symbol in symbols:
        if symbol.found:
            mine[symbol.strokes] = True
    return np.asarray(mine[ink.stroke], bool)


def _drains(sheet: Sheet, ink: Ink, view: View, unit: float, symbols: tuple[Symbol, ...]) -> FloatArray:
    """(n, 3) centre and radius of circles of a drain's size that nothing explains."""
    circles = ink.arcs.circles
    across = 2 * circles[:, 2] / unit
    x0, y0, x1, y1 = view.box
    ok = (across >= DRAIN[0]) & (across <= GRATE) & (circles[:, 3] >= ROUND) & (2 * circles[:, 2] >= DRAIN_PT)
    ok &= (circles[:, 0] > x0) & (circles[:, 0] < x1) & (circles[:, 1] > y0) & (circles[:, 1] < y1)
    drains = circles[ok, :3]
    drains = drains[~_of_a_doubtful_outlet(drains, symbols)]
    taken = [symbol.footprint for symbol in symbols if _explains(symbol)]
    taken += [shapely.box(*word.box) for word in sheet.words if word.origin != "font"]
    taken += [shapely.box(*region.box) for region in sheet.regions]
    taken += [shapely.box(*v.box) for v in sheet.views if v is not view and _within(v, view)]
    if not len(drains) or not taken:
        return drains
    at, _ = shapely.STRtree(np.array(taken, object)).query(shapely.points(drains[:, :2]), predicate="intersects")
    free = np.ones(len(drains), bool)
    free[at] = False
    return drains[free]


def _explains(symbol: Symbol) -> bool:
    """Is the ink at a symbol its own: found, or drawn in full as one or the other of the mapping file's designs?"""
    twins = bool(symbol.reasons) and all(reason.startswith(AS_WELL) for reason in symbol.reasons)
    return symbol.found or symbol.is_fixture or twins


def _of_a_doubtful_outlet(drains: FloatArray, symbols: tuple[Symbol, ...]) -> BoolArray:
    """(n,) True for the circles that may be the body of an unsettled symbol.

    A round bowl is a circle of the size of an outlet's: the doubt about it must not hide the sink that it is, which
    the small circle in its middle tells.
    """
    body = np.zeros(len(drains), bool)
    for symbol in symbols:
        if _explains(symbol):
            continue
        x0, y0, x1, y1 = symbol.footprint.bounds
        inside = shapely.intersects_xy(symbol.footprint, drains[:, 0], drains[:, 1])
        body |= inside & (2 * drains[:, 2] > BODY * min(x1 - x0, y1 - y0))
    return body


def _within(inner: View, outer: View) -> bool:
    x0, y0, x1, y1 = inner.box
    smaller = (x1 - x0) * (y1 - y0) < (outer.box[2] - outer.box[0]) * (outer.box[3] - outer.box[1])
    return smaller and in_box(((x0 + x1) / 2, (y0 + y1) / 2), outer.box)


def _around(ink: Ink, owned: BoolArray, drain: FloatArray, unit: float) -> Iterator[Drained]:
    """The fixture around one drain, if it is one."""
    _, near = ink.grid.near(drain[None, :2], REACH * unit)
    near = np.unique(near[near < ink.count])
    near = near[~owned[near] & ~ink.hatch[near] & ((ink.run[near] < LONGEST * unit) | ink.curved[near])]
    centre = shapely.Point(drain[:2])
    core = centre.buffer(1.05 * float(drain[2]))
    closed = rings(ink.xy[near])
    around = [ring for ring in closed if ring.covers(core) and ring.area > 1.5 * core.area]
    around.sort(key=lambda ring: ring.area)
    sized = [(ring, sides_of(ring, unit)) for ring in around]
    sized = [(ring, s) for ring, s in sized if s[1] >= BOWL_LEAST and s[0] <= BOWL_MOST + RIM]
    if not sized:
        return
    bowl, sides = sized[0]
    rim = next((r for r, s in sized[1:] if is_rim(bowl, sides, r, s)), None)
    kind = _kind(sides)
    falls = _falls(ink.xy[near], drain) if kind == "shower" else 0
    shaped = (
        rim is not None or is_soft(bowl) or is_rounded(bowl, unit) or falls > 1 or _paired(ink, bowl, closed, unit)
    )
    if kind is None or not shaped or (falls == 0 and 2 * drain[2] > DRAIN[1] * unit):
        return
    if _knobs(ink, bowl, drain) >= KNOBS:
        return
    yield Drained(kind, bowl, rim or bowl, sides, ((bowl, drain),))


def _kind(sides: tuple[float, float]) -> Kind | None:
    long, wide = sides
    if long <= BASIN[0] and wide <= BASIN[1]:
        return "sink"
    if STALL[0] <= wide and long <= STALL[1] and long < 1.5 * wide:
        return "shower"
    if TUB[0] <= long and TUB[1] <= wide <= STALL[1]:
        return "bathtub"
    return None


def _falls(xy: FloatArray, drain: FloatArray) -> int:
    """Lines much longer than the drain that pass through it or end at it."""
    length = np.hypot(xy[:, 2] - xy[:, 0], xy[:, 3] - xy[:, 1])
    long = xy[length > 3 * drain[2]]
    if not len(long):
        return 0
    return int(
        (
            shapely.distance(shapely.linestrings(long.reshape(-1, 2, 2)), shapely.Point(drain[:2])) < 1.1 * drain[2]
        ).sum()
    )


def _paired(ink: Ink, bowl: BaseGeometry, closed: list[BaseGeometry], unit: float) -> bool:
    """Stands a bowl of like size with a drain of its own beside it?  The rim of two bowls is far from each."""
    beside = [ring for ring in closed if abs(math.log(ring.area / bowl.area)) < math.log(PAIR)]
    beside = [ring for ring in beside if ring.distance(bowl) <= WEB * unit and not ring.intersection(bowl).area]
    circles = ink.arcs.circles
    circles = circles[(2 * circles[:, 2] >= DRAIN[0] * unit) & (2 * circles[:, 2] <= DRAIN[1] * unit)]
    return any(shapely.contains_xy(ring, circles[:, 0], circles[:, 1]).any() for ring in beside)


def _knobs(ink: Ink, bowl: BaseGeometry, drain: FloatArray) -> int:
    """Circles in the bowl of about the drain's size, beside it."""
    circles = ink.arcs.circles
    like = (np.abs(circles[:, 2] / drain[2] - 1) < 0.6) & (circles[:, 3] > ROUND)
    like &= np.hypot(circles[:, 0] - drain[0], circles[:, 1] - drain[1]) > drain[2]
    return int(shapely.contains_xy(bowl, circles[like, 0], circles[like, 1]).sum())


def _joined(found: list[Drained]) -> list[Drained]:
    """One fixture for the bowls of one rim, and for the drain and the overflow of one bowl."""
    out: list[Drained] = []
    for each in sorted(found, key=lambda f: -f.rim.area):
        for k, old in enumerate(out):
            if old.rim.covers(each.bowl.representative_point()):
                out[k] = replace(
                    old, bowl=shapely.union_all([old.bowl, each.bowl]), parts=(*old.parts, *each.parts)
                )
                break
        else:
            out.append(each)
    return out


def _symbol(found: Drained, view: View) -> Symbol:
    size = " x ".join(f"{side:.0f}" for side in found.sides)
    entry = SymbolEntry(f"{found.kind} by its shape", found.kind, size="real")
    middle = found.rim.centroid
    none: IntArray = np.zeros(0, np.int64)
    return Symbol(
        entry=entry,
        at=(float(middle.x), float(middle.y)),
        angle=0.0,
        mirrored=False,
        drawn_size=1.0,
        confidence=0.5,
        found=False,
        view=view.id,
        footprint=found.rim,
        strokes=none,
        edge=found.bowl if found.kind == "sink" else found.rim,
        reasons=(
            f"it has a drain in a bowl of {size} in, as a {found.kind} has, and is drawn like no fixture of the "
            "mapping file",
        ),
        unnamed=True,
    )
