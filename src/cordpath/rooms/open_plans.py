"""What is told of rooms that share a space, that a wide opening joins, or that are open to the outdoors."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import sides_around
from cordpath.rooms.building import Building
from cordpath.rooms.ink import union
from cordpath.rooms.names.kinds import DOUBT, Draft
from cordpath.rooms.openings.openings import Closer
from cordpath.rooms.shut_off import never_open
from cordpath.rooms.spaces.spaces import OPEN_FT
from cordpath.rooms.undivided import PLAIN_KINDS

OPEN_AIR = (
    "an opening without a door leads from it to the outdoors, and no window or door does: it may be a porch within "
    "parapets"
)
SCREENS = (
    "its openings to the outdoors are drawn as one line, and windows of this plan as more: it may be a porch "
    "within screens"
)
RAILS = (
    "its outer walls have no window and are drawn otherwise than those of the rooms beside it: it may be a porch "
    "within railings"
)
OTHERWISE, BESIDE = 0.2, 0.2  # of a railing's area: as far as it may be a wall of the house, and along other rooms
SCREENED_FT = 8.0  # of such lines: sliding doors drawn as one line are narrower (common practice, no source)
SAT_IN = frozenset({"dining", "living", "hall", "other"})  # what a porch may be called that people sit in
PASSABLE_IN = 24.0  # least width of an opening that somebody walks through (common practice, no source)
ASIDE_IN = 14.0  # from the middle of an outer wall to the ground on either side
COLUMN_IN = 20.0  # between two openings of a row: columns with their finish are no wider (common practice)


def tell_open_plans(drafts: list[Draft], outside: BaseGeometry, building: Building) -> None:
    """Doubts of rooms that nothing divides from others, or from the outdoors, in place; kinds are settled."""
    _tell_open_air(drafts, outside, building)
    by_seed = {d.seed: d for d in drafts if d.seed is not None}
    _join_rows(by_seed, building)
    for draft in drafts:
        mates = [by_seed[k] for k in draft.open_with if k in by_seed]
        if mates:
            names = ", ".join(m.name for m in mates)
            same = all(m.kind == draft.kind for m in mates)
            draft.doubt(f"open plan: no wall divides it from {names}; the line between them is a guess",
                        0.85 if same else 0.7)  # fmt: skip
            pair = next((p for p in combinations((draft, *mates), 2) if never_open(p[0].kind, p[1].kind)), None)
            if pair is not None:
                draft.doubt(f"{pair[0].name} and {pair[1].name} came out in one space: walls there were not "
                            "recognised", DOUBT)  # fmt: skip
        beyond = [by_seed[k] for k in draft.wide_with if k in by_seed]
        if any(m.kind != draft.kind for m in beyond):
            names = ", ".join(m.name for m in beyond)
            draft.doubt(f"a wide opening without a door leads to {names}; the line between them is a guess", 0.85)


def _join_rows(by_seed: dict[int, Draft], building: Building) -> None:
    """Openings between two names that only columns part are one wide opening, in place."""
    inch, between = building.inch, dict[tuple[int, ...], list[Closer]]()
    seeds, shapes = np.array([*by_seed]), np.array([d.polygon for d in by_seed.values()], object)
    for closer in (c for c in building.closers if c.kind == "cased"):
        on = [seeds[shapely.intersects(shapes, side)] for side in _sides(closer, inch)]
        pair = tuple(np.unique(np.concatenate(on)).tolist())
        if len(pair) == 2 and not {*pair} <= {*by_seed[pair[0]].open_with, pair[0]}:
            between.setdefault(pair, []).append(closer)
    for pair, row in between.items():
        bands = shapely.buffer(shapely.linestrings([c.chord for c in row]), ASIDE_IN / 2 * inch, cap_style="flat")
        ways = shapely.get_parts(union(list(bands)))  # two readings of one opening are one way
        wide = np.array([max(sides_around(way)) for way in ways])
        joined = shapely.get_parts(union(list(shapely.buffer(ways, COLUMN_IN / 2 * inch))))
        of = [wide[shapely.intersects(ways, part)] for part in joined]
        if any(len(each) > 1 and each.sum() > OPEN_FT * 12 * inch for each in of):
            for seed in pair:
                by_seed[seed].wide_with = tuple(sorted({*by_seed[seed].wide_with, *pair} - {seed}))


def _tell_open_air(drafts: list[Draft], outside: BaseGeometry, building: Building) -> None:
    """A porch within walls of parapets has a plain name (SITTING), a gap to walk out by, and no windows; one within
    screens has wide openings of one line each, where windows are drawn as more; one within railings has a gate."""
    if outside.is_empty:
        return
    inch = building.inch
    shapely.prepare(outside)
    ways = [(c, ground) for c in building.closers if (ground := _outward(c, outside, inch)) is not None]
    lined = any(c.kind == "glazing" and not c.single for c, _ in ways)
    added = _added(building)
    for draft in drafts:
        if draft.tag is None or draft.kind not in PLAIN_KINDS:
            continue
        mine = [c for c, inner in ways if draft.polygon.intersects(inner)]
        gaps = [c for c in mine if c.kind == "cased" and c.width >= PASSABLE_IN * inch]
        if gaps and all(c.kind == "cased" for c in mine):
            draft.doubt(OPEN_AIR, DOUBT)
        panes = [c for c in mine if c.kind == "glazing"]
        wide = sum(c.width for c in panes) > SCREENED_FT * 12 * inch
        if lined and wide and draft.kind in SAT_IN and all(c.single for c in panes):
            draft.doubt(SCREENS, DOUBT)
        if not panes and len(added) and _railed(draft, drafts, outside, building, added):
            draft.doubt(RAILS, DOUBT)


def _added(building: Building) -> NDArray[np.object_]:
    """Pieces of walls of a kind that was added to the house's."""
    house = building.walls.first
    if house is None:
        return np.zeros(0, object)
    return shapely.get_parts(building.exact.difference(house.buffer(building.inch)))


def _railed(
    draft: Draft, drafts: list[Draft], outside: BaseGeometry, building: Building, added: NDArray[np.object_]
) -> bool:
    """Are its outer walls among those that were added to the house's, and the outer walls of no room beside it?"""
    near = ASIDE_IN * building.inch
    around = draft.polygon.buffer(near)
    outer = building.exact.intersection(around).intersection(outside.buffer(near))
    rails = union(added[shapely.intersects(added, outer)])
    if outer.is_empty or outer.difference(rails).area > OTHERWISE * outer.area:
        return False
    others = union([each.polygon.buffer(near) for each in drafts if each is not draft])
    return bool(rails.intersection(others).area <= BESIDE * rails.area)


def _outward(closer: Closer, outside: BaseGeometry, inch: float) -> shapely.Point | None:
    """The ground on its inner side, of an opening that has the outdoors on one side only."""
    inner = [side for side in _sides(closer, inch) if not outside.intersects(side)]
    return inner[0] if len(inner) == 1 else None


def _sides(closer: Closer, inch: float) -> list[shapely.Point]:
    """The ground on both sides of an opening."""
    u = closer.chord[1] - closer.chord[0]
    normal = np.array([-u[1], u[0]]) / max(float(np.hypot(*u)), 1e-9)
    return [shapely.Point(closer.chord.mean(0) + s * normal * ASIDE_IN * inch) for s in (1.0, -1.0)]
