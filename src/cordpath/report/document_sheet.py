"""A sheet of results.json: its scale, views, rooms, fixtures and outlets."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import in_box
from cordpath.model import (
    Border,
    Finding,
    Fixture,
    Reading,
    Requirement,
    Room,
    Scale,
    SheetResult,
    Standing,
    Unexplained,
    View,
)
from cordpath.report.rows import findings_of, number_or_none, told_once
from cordpath.report.summary import Json, main_scale, unexplained_of

NEAR_ROOM_PT = 36.0  # half an inch on paper: a thing this far outside a room is still said to be near it


def _number(value: float | None, digits: int = 2) -> float | None:
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), digits) + 0.0


def _turn(angle: float) -> float | None:
    """Degrees from 0 up to, and not at, 360: what is a hair below a whole turn is none."""
    degrees = _number(angle)
    return None if degrees is None else degrees % 360.0


def rounded(point: Iterable[float]) -> list[float]:
    return [_number(value) or 0.0 for value in point]


def _all_rounded(points: Iterable[Iterable[float]]) -> list[list[float]]:
    return [rounded(point) for point in points]


def sheet_of(result: SheetResult) -> Json:
    reading = result.reading
    return {
        "file": result.file,
        "page": result.page,
        "sheet": reading.sheet.number if reading else None,
        "title": reading.sheet.title if reading else None,
        "status": result.status,
        "why": result.why,
        "width": _number(reading.sheet.width) if reading else None,
        "height": _number(reading.sheet.height) if reading else None,
        "scale": _scale(main_scale(reading)) if reading else None,
        "views": _views(reading) if reading else [],
        "rooms": [_room(room) for plan in reading.plans for room in plan.rooms] if reading else [],
        "borders": [_border(border) for plan in reading.plans for border in plan.borders] if reading else [],
        "fixtures": [_fixture(fixture) for fixture in reading.fixtures] if reading else [],
        "outlets": [_outlet(finding) for finding in findings_of(result)],
        "conflicts": [{"what": each.what, "outlets": list(each.outlets)} for each in result.conflicts],
        "revision_clouds": [rounded(box) for box in reading.revision_clouds] if reading else [],
        "unexplained": [_unexplained(item, reading) for item in unexplained_of(result)] if reading else [],
        "assumptions": list(dict.fromkeys(result.assumptions + (reading.sheet.assumptions if reading else ()))),
    }


def _scale(scale: Scale | None) -> Json | None:
    if scale is None:
        return None
    return {
        "ratio": _number(scale.ratio, 4),
        "source": scale.source,
        "text": scale.text,
        "agrees": list(dict.fromkeys(scale.agrees)),
        "status": scale.status,
        "tolerance": _number(scale.tolerance, 4),
        "why": scale.why,
        "evidence": [
            {"source": e.source, "ratio": _number(e.ratio, 4), "text": e.text, "count": e.count}
            for e in scale.evidence
        ],
    }


def _views(reading: Reading) -> list[Json]:
    scales = {scale.view: scale for scale in reading.scales}
    plans = {plan.view: plan for plan in reading.plans}
    return [_view(view, scales.get(view.id), plans[view.id].why if view.id in plans else None)
            for view in reading.sheet.views]  # fmt: skip


def _view(view: View, scale: Scale | None, why: str | None) -> Json:
    return {
        "id": view.id,
        "title": view.title,
        "box": rounded(view.box),
        "note": view.note,
        "scale": _scale(scale),
        "why": why,
    }


def _room(room: Room) -> Json:
    rings = _rings(room.polygon)
    return {
        "id": room.id,
        "name": room.name,
        "number": room.number,
        "named_by": room.named_by,
        "kind": room.kind,
        "finished": room.finished,
        "view": room.view,
        "polygon": rings[0] if rings else [],
        "holes": rings[1:],
        "confidence": _number(room.confidence),
        "open_to": list(room.open_to),
        "reasons": list(room.reasons),
    }


def _border(border: Border) -> Json:
    lines = [part for part in shapely.get_parts(border.line) if part.geom_type == "LineString"]
    return {
        "rooms": list(border.rooms),
        "lines": [_all_rounded(np.asarray(line.coords)[:, :2].tolist()) for line in lines],
        "confidence": _number(border.confidence),
    }


def _rings(shape: BaseGeometry) -> list[list[list[float]]]:
    """Outer ring of the largest part, then its holes; rings are not closed by a repeated point."""
    parts = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and not part.is_empty]
    if not parts:
        return []
    largest = max(parts, key=lambda part: float(part.area))
    return [
        _all_rounded(np.asarray(ring.coords)[:-1, :2].tolist()) for ring in (largest.exterior, *largest.interiors)
    ]


def _fixture(fixture: Fixture) -> Json:
    symbol = fixture.symbol
    return {
        "id": fixture.id,
        "kind": symbol.kind,
        "symbol": symbol.entry.name,
        "at": rounded(symbol.at),
        "angle": _turn(symbol.angle),
        "room": fixture.room,
        "view": symbol.view,
        "confidence": _number(symbol.confidence),
        "found": bool(symbol.found),
        "reasons": list(symbol.reasons),
    }


def _outlet(finding: Finding) -> Json:
    outlet = finding.outlet
    symbol = outlet.symbol
    protection = finding.protection
    return {
        "id": outlet.id,
        "kind": symbol.kind,
        "symbol": symbol.entry.name,
        "at": rounded(symbol.at),
        "angle": _turn(symbol.angle),
        "room": finding.room.id if finding.room else outlet.standing.room,
        "view": symbol.view,
        "labels": [label.text for label in symbol.labels],
        "circuit": protection.circuit,
        "height_in": number_or_none(symbol.fact("height_in")),
        "volts": number_or_none(symbol.fact("volts")),
        "confidence": _number(finding.confidence),
        "found": bool(symbol.found),
        "rivals": list(symbol.rivals),
        "verdict": finding.verdict,
        "reasons": told_once(finding.reasons + symbol.reasons),
        "requirements": [_requirement(requirement) for requirement in finding.requirements],
        "protection": {
            "by": protection.by,
            "evidence": protection.evidence,
            "shown": protection.shown.value,
            "reasons": list(protection.reasons),
        },
        "standing": _standing(outlet.standing),
        "companions": {
            each.name: {"asked": each.asked.value, "cite": each.cite, "because": each.because}
            for each in finding.companions
        },
        "decision": (
            {"ruling": finding.decision.ruling, "reason": finding.decision.reason} if finding.decision else None
        ),
    }


def _requirement(requirement: Requirement) -> Json:
    return {
        "cite": requirement.cite,
        "cite_nec": requirement.cite_nec or requirement.cite,
        "because": requirement.because,
        "holds": requirement.holds.value,
        "distance_ft": _number(requirement.distance_ft),
        "to": requirement.to,
        "path": _all_rounded(requirement.path),
        "question": requirement.question,
    }


def _standing(standing: Standing) -> Json:
    return {
        "anchor": rounded(standing.anchor),
        "facing": rounded(standing.facing) if standing.facing else None,
        "anchor_tolerance_ft": _number(standing.anchor_tolerance_ft),
        "at_counter": standing.at_counter.value,
        "why": standing.why,
    }


def _unexplained(item: Unexplained, reading: Reading) -> Json:
    return {
        "what": item.what,
        "count": item.count,
        "at": _all_rounded(item.at),
        "box": rounded(item.box) if item.box else None,
        "near": near(item, reading),
    }


def near(item: Unexplained, reading: Reading) -> list[str]:
    """Names of the rooms in or beside which the thing lies, sorted; where there are none, of the views."""
    rooms = [room for plan in reading.plans for room in plan.rooms if room.name and not room.polygon.is_empty]
    spots = shapely.points(np.asarray(item.at, float).reshape(-1, 2))
    named: set[str] = set()
    if rooms and len(spots):
        shapes = np.array([room.polygon for room in rooms], object)
        distance = shapely.distance(spots[:, None], shapes[None, :])
        nearest = distance.argmin(axis=1)
        close = distance[np.arange(len(spots)), nearest] <= NEAR_ROOM_PT
        named = {rooms[k].name for k in nearest[close]}
    if not named:
        views = reading.sheet.views
        named = {view.title or view.id for view in views if any(in_box(point, view.box) for point in item.at)}
    return sorted(named)
