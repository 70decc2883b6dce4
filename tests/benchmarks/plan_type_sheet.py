"""The sheet of a plan of ``plan_types.py``, its truth and its mapping file."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Any

from house_score import EDITIONS
from house_sheet import (
    NOTES,
    Sheet,
    Style,
    _lay_out,
    _mapping,
    _truth,
    dimensions,
    draw_fixtures,
    draw_others,
    draw_outlets,
    label,
    make_style,
    settle_outlets,
    tag_rooms,
    title_block,
    view_title,
)
from house_site import Outlet, Site, furnish, general_outlets
from house_symbols import device_family, fixtures, lookalikes
from plan_type_ways import WAYS, Drawn, build, choose
from plan_types import TypePlan, make_type
from shapely.geometry import Point

BELOW_WINDOW = 0.3  # of the windows have an outlet below the glass
DEVICES = ("duplex", "gfci", "quad", "heavy", "floor")
WANT = {"living": 4, "bedroom": 3, "garage": 3, "dining": 2, "hall": 2, "bathroom": 2, "kitchen": 2, "laundry": 2,
        "basement": 4, "utility": 2}  # fmt: skip


def draw_plan(
    seed: int, name: str, walls: str | None = None
) -> tuple[Sheet, dict[str, Any], dict[str, Any], Drawn]:
    """The sheet of one case, its truth and mapping file."""
    r = Random(f"{seed} {name}")
    plan, kind = make_type(name, r)
    several = plan.outline.geom_type != "Polygon"
    drawn = choose(r, several)
    drawn = replace(drawn, walls=walls) if walls else drawn
    style = _style(seed, drawn, r)
    site = Site(plan, {**device_family(style.devices, r), **fixtures(r)})
    furnish(site, r)
    general_outlets(site, r, WANT)
    below_windows(site, r)
    sheet = _lay_out(site, style, r, 72.0 / style.ratio)
    sheet.walls = sheet.shape(plan.walls)
    build(sheet, drawn)
    draw_fixtures(sheet)
    named = [room for room in plan.rooms if room.name]
    every, plan.rooms = plan.rooms, named
    tag_rooms(sheet)
    plan.rooms = every
    settle_outlets(sheet)
    _unprotected(sheet)
    for o in sheet.site.outlets:
        if o.serves == "range" or o.serves == "dryer":
            label(sheet, o, {"range": "RANGE", "dryer": "DRYER"}[o.serves])
    draw_outlets(sheet)
    others = lookalikes(r)
    counts = draw_others(sheet, others) if r.random() < 0.3 else {}
    dimensions(sheet)
    scale = NOTES[style.ratio]
    title_block(sheet, "E-101", scale)
    x0, _, _, y1 = sheet.shape(plan.outline).bounds
    low = y1 if plan.porch is None else max(y1, sheet.shape(plan.porch).bounds[3])
    title = _title(sheet, kind.title, (x0 + 40, low + 40), scale)
    words = {"words": {"RANGE": {"serves": "range"}, "DRYER": {"serves": "dryer"}}, "panel": None}
    truth = _truth(sheet, words, "E-101", title, scale, counts, others)
    _settle_truth(truth, plan, sheet)
    mapping = _mapping(site, {key: site.designs[key] for key in DEVICES}, others, words["words"], style, r)
    drawn_names = {o.design.name for o in site.outlets} | {f.design.name for f in site.fixtures}
    drawn_names |= {others[name].name for name in counts}
    mapping["symbols"] = [e for e in mapping["symbols"] if e["name"] in drawn_names]  # spotting in half the time
    return sheet, truth, mapping, drawn


def below_windows(site: Site, r: Random) -> None:
    """Outlets in the middle of windows: at the face of the wall that goes on under the glass."""
    for o in site.plan.openings:
        if o.kind != "window" or o.width < 30 or r.random() > BELOW_WINDOW:
            continue
        for side in (1, -1):
            n = (o.normal[0] * side, o.normal[1] * side)
            p = (o.at[0] + n[0] * o.thick / 2, o.at[1] + n[1] * o.thick / 2)
            ahead = Point(p[0] + n[0] * 4, p[1] + n[1] * 4)
            room = next((x for x in site.plan.rooms if x.area.contains(ahead)), None)
            taken = [*(f.body for f in site.fixtures), *site.counters]
            if room is None or any(shape.distance(ahead) < 12 for shape in taken):
                continue
            site.outlets.append(Outlet(site.designs["duplex"], p, n, room))
            break


def _style(seed: int, drawn: Drawn, r: Random) -> Style:
    style = make_style(seed, "type")
    look = WAYS[drawn.walls][0]
    grey = r.choice((0.75, 0.82)) if look == "grey" else style.grey
    look = "poche" if look == "grey" else look
    return replace(style, walls=look, grey=grey, print_="full", circuits=None, one_pen=drawn.one_pen,
                   layers=r.random() < 0.15, ratio=r.choice((48, 48, 48, 64, 50)))  # fmt: skip


def _unprotected(sheet: Sheet) -> None:
    for o in sheet.site.outlets:
        if o.device:
            o.design, o.device = sheet.site.designs["duplex"], False


def _title(sheet: Sheet, own: str, at: tuple[float, float], scale: str) -> str:
    if not own:
        return view_title(sheet, at, scale)
    before = len(sheet.paper.items)
    said = view_title(sheet, at, scale)
    for k, item in enumerate(sheet.paper.items[before:], before):
        if getattr(item, "text", None) == said:
            sheet.paper.items[k] = replace(item, text=own)  # type: ignore[type-var]
    return own


def _settle_truth(truth: dict[str, Any], plan: TypePlan, sheet: Sheet) -> None:
    """What this bench's plans have that the houses do not: nameless rooms, basements."""
    (view,) = truth["views"]
    basins = {f.room.seed for f in sheet.site.fixtures if f.design.kind in ("sink", "lavatory")}
    lacking = any(r.kind in ("kitchen", "bathroom") and r.name and r.seed not in basins for r in plan.rooms)
    for told, outlet in zip(view["outlets"], sheet.site.outlets, strict=True):
        room = outlet.room
        told["kind"] = room.kind if room is not None else "outdoors"
        told["below"] = plan.below
        for edition in EDITIONS:
            need = plan.below and told["kind"] != "outdoors" and (edition >= "2020" or told["kind"] == "basement")
            if need and told["verdict"][edition] == "not required":
                told["verdict"][edition] = "missing"
            open_ = (room is not None and not room.name) or (plan.below and edition == "2017") or told["serves"]
            open_ = open_ or lacking  # a bath or kitchen without a basin is asked about wherever one may be near
            if open_ and told["verdict"][edition] != "unresolved":
                told["also"].setdefault(edition, []).append("unresolved")


__all__ = ["draw_plan"]
