"""A view's rooms: the stage put together."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import (
    POINTS_PER_INCH,
    UNNAMED,
    FloatArray,
    FloorPlan,
    Mapping,
    Room,
    Scale,
    ScheduledRoom,
    Sheet,
    Symbol,
    View,
    Word,
)
from cordpath.rooms.beyond import divide_at_doorways, join_again, part_beyond_doorways
from cordpath.rooms.building import STRAY_FT, Building
from cordpath.rooms.choosing import best_building
from cordpath.rooms.counters import beside_words, find_counters, join_counters
from cordpath.rooms.disputed import disputed_grounds
from cordpath.rooms.fronts import open_fronts
from cordpath.rooms.guess import STANDARD, inch_of_leaves
from cordpath.rooms.ink import Evidence, gather, polygons_only, union
from cordpath.rooms.loose_doors import beyond_loose_doors
from cordpath.rooms.match_lines import cut_off, match_lines, strips
from cordpath.rooms.more_walls import beyond_more_walls
from cordpath.rooms.names.kinds import DOUBT, Draft, labels_a_part, settle_kinds
from cordpath.rooms.names.numbered import room_tags, told
from cordpath.rooms.names.stated import apply_stated
from cordpath.rooms.names.storeys import settle_storey
from cordpath.rooms.names.tags import Tag, places
from cordpath.rooms.names.unsure import doubt_unsure, name_and_doubt
from cordpath.rooms.names.worked import borders, follow_works
from cordpath.rooms.open_plans import tell_open_plans
from cordpath.rooms.openings.openings import Closer
from cordpath.rooms.round_corners import beyond_corners
from cordpath.rooms.shut_off import OPEN, OPEN_CONFIDENCE, wet_places
from cordpath.rooms.spaces.leaks import OPEN_WALLS, stranded, take_back
from cordpath.rooms.spaces.spaces import Space
from cordpath.rooms.works import worked_at

Schedule = tuple[ScheduledRoom, ...]

OUTDOORS = "OUTDOORS"
ROUTE_CONFIDENCE = {"fill": 0.97, "thick": 0.97, "double": 0.97, "layer": 0.97, "pairs": 0.9,
                    "hatch": 0.9, "several": 0.9, "single": 0.85}  # fmt: skip
LEAK_FT, LEAK_RATIO = 5.0, 0.5  # a way to the outdoors as wide as this is no missed window
GARAGE_DOOR_FT = 7.0
LEAST_NAMES = 2  # room names of a view without a scale for it to be taken for a plan
ONE_NAME = 10.0  # sizes between the middles of two words of one name: UTILITY / LAUNDRY has 7
SEPARATED = 0.5  # part of them that must lie in spaces of their own at a guessed scale
GUESSED = 0.95  # confidence of rooms that were found at a guessed scale, times that of the way of drawing
BAR_REACH_FT = 7.0  # from the name of a bar to the end of its counter


def find_rooms(
    sheet: Sheet, view: View, scale: Scale, mapping: Mapping, symbols: tuple[Symbol, ...], schedule: Schedule = ()
) -> FloorPlan:
    """Walls, openings and rooms of one view.

    ``symbols`` are those of the whole sheet or of the view: their strokes are not taken for walls, and fixtures
    help to tell what kind of room they stand in.  ``schedule`` names the rooms that show a number only.  Without a
    scale ratio, or where nothing looks like walls, the plan has no rooms and ``why`` says so.  Rooms stated by hand
    in the mapping file win over those found.  Never raises for what is drawn.
    """
    return apply_stated(_found(sheet, view, scale, mapping, symbols, schedule), sheet, view, mapping)


def _found(
    sheet: Sheet, view: View, scale: Scale, mapping: Mapping, symbols: tuple[Symbol, ...], schedule: Schedule
) -> FloorPlan:
    try:
        if scale.ratio is None or not 0 < scale.ratio < 1e5:
            return _find_by_guess(sheet, view, scale, mapping, symbols, schedule)
        return _find(sheet, view, scale.points_per_foot / 12.0, mapping, symbols, schedule)
    except shapely.errors.GEOSException as error:  # tangled beyond repair: no rooms rather than wrong ones
        return _nothing(view, f"the lines of this view could not be made into areas ({error})")


def _find_by_guess(
    sheet: Sheet, view: View, scale: Scale, mapping: Mapping, symbols: tuple[Symbol, ...], schedule: Schedule
) -> FloorPlan:
    """Rooms of a view without a scale: at the scale that its door leaves show, else at a usual one that separates
    the names.  Nothing is measured by it; a view without room names is no plan."""
    none = _nothing(view, f"no rooms without a scale: {scale.why or 'the view has none'}")
    mine = tuple(s for s in symbols if s.view in (None, view.id))
    strong, _ = room_tags(sheet, view, mapping.rooms, schedule)
    if len(strong) < LEAST_NAMES:
        return none
    leaves = inch_of_leaves(gather(sheet, view, mapping.drawing, mine, 1.5))
    tried = [leaves[0]] if leaves else [POINTS_PER_INCH / ratio for ratio in STANDARD]
    told = f"{leaves[1]} door leaves" if leaves else "what rooms it makes"
    for inch in tried:
        plan = _find(sheet, view, inch, mapping, symbols, schedule)
        named = sum(room.name != UNNAMED and room.kind != "outdoors" and not room.open_to for room in plan.rooms)
        if named < SEPARATED * len(strong):
            continue
        ratio = POINTS_PER_INCH / inch
        said = (f"the view has no scale: its rooms were found at about 1:{ratio:.0f}, guessed from {told}; "
                "no distance is taken from it")  # fmt: skip
        rooms = tuple(replace(room, confidence=round(GUESSED * room.confidence, 3)) for room in plan.rooms)
        return replace(plan, rooms=rooms, assumptions=(*plan.assumptions, said), guessed_ratio=ratio)
    return none


def _find(
    sheet: Sheet, view: View, inch: float, mapping: Mapping, symbols: tuple[Symbol, ...], schedule: Schedule
) -> FloorPlan:
    mine = tuple(s for s in symbols if s.view in (None, view.id))
    ev = gather(sheet, view, mapping.drawing, mine, inch)
    strong, odd = room_tags(sheet, view, mapping.rooms, schedule)
    kinds = tuple(None if t.weak or t.meaning is None else t.meaning.kind for t in strong)
    layers, wet = mapping.drawing.wall_layers, wet_places(mine)
    building, assumption = best_building(ev, places(strong), kinds, layers, wet)
    if building is None:
        return _nothing(view, "no walls were recognised in this view")
    cut = match_lines(sheet, view, inch)
    building = cut_off(building, cut)
    near = building.hull.buffer(STRAY_FT * 12 * inch)
    every, strong = strong, [t for t in strong if near.intersects(shapely.Point(t.at))]
    strong, spaces, outside = _spaces(building, strong)
    area = _view_area(view, building)
    outside = polygons_only(union([outside, area.difference(building.frame)]).intersection(area))
    drafts = [_draft(s, strong, building) for s in spaces]
    outside = take_back(drafts, outside, building.barrier, inch)
    drafts += strips(building, drafts, outside, cut)
    building = open_fronts(join_counters(drafts, mine, building), mine)
    divide_at_doorways(drafts, building)
    beyond = part_beyond_doorways(drafts, building)
    named, drafts = drafts, [*drafts, *(part for part, *_ in beyond)]
    name_and_doubt(drafts, odd, inch)
    doubt_unsure(drafts, sheet, view, mine)
    moved = follow_works(drafts, mine, inch)
    settle_kinds(drafts, mine, building.closers, inch)
    drafts = [*named, *join_again(beyond)]
    settle_storey(drafts, view.title, inch)
    tell_open_plans(drafts, outside, building)
    drafts = [d for d in drafts if not (d.tag is None and _is_outdoors(d, outside, building))]
    prefix = f"{view.id}." if len(sheet.views) > 1 else ""
    rooms = _rooms(drafts, view, prefix, outside, stranded(every, drafts, outside, view.title))
    said = [*assumption, *told(d.tag for d in drafts if d.tag is not None)]
    plan = _typed(view, building, rooms, outside, ev, mine, sheet.words, said)
    loose = ev.ink.take(~building.walls.used)
    disputed = disputed_grounds(drafts, rooms, mine, ev.ink, plan.walls, building)
    disputed += beyond_loose_doors(drafts, rooms, building, mine, loose, ev.fills)
    disputed += beyond_more_walls(drafts, rooms, building, ev, places(strong))
    disputed += beyond_corners(drafts, rooms, worked_at(mine, plan.counters, inch), inch)
    kitchens = {r.id for d in drafts if d.seed in moved for r in rooms if r.polygon is d.polygon}
    lines = borders(rooms, kitchens, building.exact, inch)
    return replace(plan, borders=lines, disputed=disputed, match_lines=None if cut.is_empty else cut)


def _nothing(view: View, why: str) -> FloorPlan:
    empty = shapely.Polygon()
    return FloorPlan(view.id, (), empty, empty, (), (), None, None, why)


def _spaces(building: Building, strong: list[Tag]) -> tuple[list[Tag], list[Space], BaseGeometry]:
    """Spaces; labels of parts of a room (SHOWER in a BATH) are taken out and the space divided anew."""
    for _ in range(2):
        spaces, outside = building.divide(places(strong), reach=_reach(strong, building.inch))
        drop: set[int] = set()
        for space in spaces:
            for k in space.seeds:
                meant = strong[k].meaning
                closet = meant is not None and meant.kind == "closet"  # a closet behind folding doors is a space
                near = () if closet else space.near_with
                others = [o for o in (*space.seeds, *space.open_with, *near) if o != k]
                if labels_a_part(strong[k], [strong[o] for o in others]):
                    drop.add(k)
        if not drop:
            return strong, spaces, outside
        strong = [t for i, t in enumerate(strong) if i not in drop]
    spaces, outside = building.divide(places(strong), reach=_reach(strong, building.inch))
    return strong, spaces, outside


def _reach(strong: list[Tag], inch: float) -> FloatArray:
    """A bar or a coffee station in an open plan is a corner of it, not half of it."""
    bars = [t.meaning is not None and t.meaning.kind == "food area" for t in strong]
    return np.where(bars, BAR_REACH_FT * 12 * inch, np.inf)


def _draft(space: Space, strong: list[Tag], building: Building) -> Draft:
    seed, tag = (space.seeds[0], strong[space.seeds[0]]) if space.seeds else (None, None)
    draft = Draft(space.polygon, tag, seed, confidence=ROUTE_CONFIDENCE[building.walls.route])
    draft.open_with = tuple(sorted({*space.seeds, *space.open_with} - {seed}))
    draft.wide_with = space.wide_with
    if len(space.seeds) > 1:
        tags = [strong[k] for k in space.seeds]
        told = _shared([tag.text for tag in tags[1:]])
        if _one_use(tags):
            draft.shared = told
        else:
            draft.doubt(told, OPEN_CONFIDENCE if all(t.meaning and t.meaning.kind in OPEN for t in tags) else DOUBT)
    outdoors = tag is not None and tag.meaning is not None and tag.meaning.kind == "outdoors"
    wide = space.out_ft > LEAK_FT and space.out_ratio > LEAK_RATIO
    if not outdoors and (space.reaches_frame or wide):
        draft.doubt(OPEN_WALLS, DOUBT)
    return draft


def _shared(names: list[str]) -> str:
    if len(names) == 1:
        return f"the name {names[0]} stands in the same space"
    return f"the names {', '.join(names)} stand in the same space"


def _one_use(tags: list[Tag]) -> bool:
    """UTILITY / LAUNDRY whose stroke was not read: names of the work done in one room, written as one name."""
    kinds = {tag.meaning.kind for tag in tags if tag.meaning is not None}
    apart = max(math.dist(tags[0].at, tag.at) for tag in tags)
    return kinds <= {"laundry", "utility"} and all(tag.meaning for tag in tags) and apart < ONE_NAME * tags[0].size


def _is_outdoors(draft: Draft, outside: BaseGeometry, building: Building) -> bool:
    """A nameless part that the outdoors nearly surrounds: a nook behind a column or a step."""
    shared = draft.polygon.buffer(0.5 * building.inch).intersection(outside).area
    return bool(shared > 0.25 * building.inch * draft.polygon.length)


def _view_area(view: View, building: Building) -> BaseGeometry:
    x0, y0, x1, y1 = building.barrier.bounds
    m = 36 * building.inch
    return shapely.union_all([shapely.box(*view.box), shapely.box(x0 - m, y0 - m, x1 + m, y1 + m)]).envelope


def _rooms(drafts: list[Draft], view: View, prefix: str, outside: BaseGeometry,
           stranded_there: str | None) -> tuple[Room, ...]:  # fmt: skip
    order = sorted(drafts, key=lambda d: (round(d.polygon.bounds[1], 1), round(d.polygon.bounds[0], 1)))
    ids = {id(d): f"{prefix}r{i}" for i, d in enumerate(order, 1)}
    by_seed = {d.seed: d for d in drafts if d.seed is not None}
    rooms = []
    for d in order:
        mates = tuple(sorted(ids[id(by_seed[k])] for k in (*d.open_with, *d.wide_with) if k in by_seed))
        number, source = (d.tag.number, d.tag.source) if d.tag is not None else (None, None)
        rooms.append(Room(ids[id(d)], d.name, d.kind, d.polygon, round(d.confidence, 3), view.id, d.finished,
                          number, mates, tuple(d.reasons), source, d.also,
                          None if d.part_of is None else ids.get(id(d.part_of))))  # fmt: skip
    if not outside.is_empty:
        open_air = Room(f"{view.id}.out", OUTDOORS, "outdoors", outside, 0.95, view.id)
        doubtful = replace(open_air, confidence=DOUBT, reasons=(stranded_there or "",))
        rooms.append(doubtful if stranded_there else open_air)
    return tuple(rooms)


def _typed(view: View, building: Building, rooms: tuple[Room, ...], outside: BaseGeometry, ev: Evidence,
           symbols: tuple[Symbol, ...], words: tuple[Word, ...], assumption: list[str]) -> FloorPlan:  # fmt: skip
    inside = [r for r in rooms if r.kind != "outdoors"]
    closers = [_told_apart(c, inside, ev.inch) for c in building.closers]
    doors, openings = (tuple(c.strip for c in closers if c.kind == kind) for kind in ("door", "cased"))
    panes = tuple(c.strip for c in closers if c.kind == "door" and c.window)
    glazing = union([c.strip for c in closers if c.kind == "glazing"])
    why = None if inside else "walls were found, but no closed space"
    faces = union([building.exact, glazing])
    plain = ev.ink.take(~building.walls.used)
    counters = find_counters(plain, inside, faces, symbols, ev.inch, beside_words(plain, words))
    return FloorPlan(
        view.id, rooms, building.exact, glazing, doors, openings, None if outside.is_empty else outside,
        None if counters.sure.is_empty else counters.sure, why, tuple(assumption),
        None if counters.doubtful.is_empty else counters.doubtful, panes=panes,
    )  # fmt: skip


def _told_apart(closer: Closer, inside: list[Room], inch: float) -> Closer:
    """Lines that close an opening between two rooms are a sliding, folding or pocket door, one line alone is a
    threshold; a wide one of a garage its door; all others stay glazing.  A panel over a part of an opening to the
    outdoors tells no door: the opening counts as open."""
    if closer.kind != "glazing" and not closer.panel:
        return closer
    middle, u = closer.chord.mean(0), closer.chord[1] - closer.chord[0]
    normal = np.array([-u[1], u[0]]) / max(float(np.hypot(*u)), 1e-9)
    sides = [shapely.Point(middle + s * normal * 14 * inch) for s in (1.0, -1.0)]
    found = [next((r for r in inside if r.polygon.intersects(p)), None) for p in sides]
    if all(r is not None for r in found):
        return replace(closer, kind="cased" if closer.single and not closer.panel else "door")
    if closer.panel:
        return replace(closer, kind="cased")
    garage = any(r is not None and r.kind in ("garage", "accessory building") for r in found)
    return replace(closer, kind="door") if garage and closer.width > GARAGE_DOOR_FT * 12 * inch else closer
