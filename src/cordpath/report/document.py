"""results.json: everything that was found, for programs.

Coordinates are page coordinates in points, lengths in feet, both rounded to hundredths (0.01 pt is 1/7200 inch on
paper, 0.01 ft an eighth of an inch in the building: finer than any drawing is).  The document holds no time stamp
and no chance order, so the same results give the same bytes.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import in_box
from cordpath.model import (
    Border,
    Finding,
    Fixture,
    Learnt,
    Proposal,
    Reading,
    Requirement,
    Room,
    Run,
    Scale,
    SheetResult,
    Standing,
    Unexplained,
    View,
)
from cordpath.report.atomic import write_whole
from cordpath.report.rows import count_verdicts, findings_of, number_or_none, sheet_name, told_once
from cordpath.report.seals import Seal

LED_BY = re.compile(r"^SCALE\s*[:=]?\s*", re.IGNORECASE)  # says nothing in a column of scales
FORMAT = "cordpath-results/1"
NEAR_ROOM_PT = 36.0  # half an inch on paper: a thing this far outside a room is still said to be near it

LEFTOVERS_MOST = 40  # lines a sheet in the tables for people; a badly mapped sheet may have thousands

Json = dict[str, Any]


def results_document(
    results: tuple[SheetResult, ...], run: Run, proposals: tuple[Proposal, ...] = (),
    seals: Mapping[str, tuple[Seal, ...]] | None = None,
) -> Json:  # fmt: skip
    """The whole batch as plain dictionaries, lists, strings, finite numbers and None."""
    return {
        "format": FORMAT,
        "run": {
            **{key: plain(value) for key, value in sorted(run.extra.items())},
            "version": run.version,
            "code": {
                "edition": run.edition,
                "amendments": list(run.amendments),
                "permit_date": run.permit_date,
            },
            "symbols": run.symbols,
        },
        "totals": totals(results),
        "learnt": [_learnt(one) for one in learnt_of(results)],
        "signatures": [{"file": file, **seal.data} for file, each in (seals or {}).items() for seal in each],
        "sheets": [_sheet(result) for result in results],
        "proposals": [_proposal(proposal) for proposal in proposals],
    }


def learnt_of(results: Iterable[SheetResult]) -> tuple[Learnt, ...]:
    """Symbols that were taken from drawings, each shape of each place once, by name."""
    found: dict[Any, Learnt] = {}
    for result in results:
        for one in result.reading.spotting.learnt if result.reading else ():
            found.setdefault((one.name, one.file, one.page, one.box), one)
    return tuple(sorted(found.values(), key=lambda one: (one.name, one.file, one.page, one.box or ())))


def _learnt(one: Learnt) -> Json:
    return {
        "name": one.name,
        "source": one.source,
        "file": one.file,
        "page": one.page,
        "box": _point(one.box) if one.box else None,
        "marks": len(one.marks),
    }


def results_schema() -> Json:
    """The JSON Schema (draft 2020-12) that every results document validates against."""
    text = files("cordpath.report").joinpath("results.schema.json").read_text(encoding="utf-8")
    schema: Json = json.loads(text)
    return schema


def write_results(path: Path, document: Json) -> None:
    """Raises OutputRefused where the file cannot be written, ValueError for a number that JSON cannot hold."""

    def fill(part: Path) -> None:
        """In pieces: a thousand sheets are some 100 MB of text, which would lie in memory several times over."""
        with part.open("w", encoding="utf-8", newline="") as file:
            file.writelines(json.JSONEncoder(indent=1, ensure_ascii=False, allow_nan=False).iterencode(document))
            file.write("\n")

    write_whole(path, fill)


def totals(results: Iterable[SheetResult]) -> Json:
    results = tuple(results)
    verdicts = count_verdicts(results)
    statuses = [result.status for result in results]
    return {
        "sheets": len(results),
        "checked": statuses.count("checked"),
        "skipped": statuses.count("skipped"),
        "failed": statuses.count("failed"),
        "outlets": sum(verdicts.values()),
        **{str(verdict): count for verdict, count in verdicts.items()},
        "unexplained": sum(item.count for result in results for item in unexplained_of(result)),
    }


def unexplained_of(result: SheetResult) -> tuple[Unexplained, ...]:
    """What nothing accounts for, each once, whether the reading or its spotting named it."""
    if result.reading is None:
        return ()
    both = (*result.reading.unexplained, *result.reading.spotting.unexplained)
    return tuple({(item.what, item.at): item for item in both}.values())


def leftovers(results: Iterable[SheetResult]) -> list[tuple[str, list[str]]]:
    """For people: what nothing accounts for and what was taken for granted, as headings with lines; none empty."""
    things, said, against = [], [], []
    for result in results:
        name = sheet_name(result)
        things += _at_most([f"{name}: {item.what} ({item.count})" for item in unexplained_of(result)])
        against += [f"{name}: {each.what} ({', '.join(each.outlets)})" for each in result.conflicts]
        said += _at_most([f"{name}: {text}" for text in dict.fromkeys(result.assumptions)])
    both = (
        ("Contradictions about circuits", against),
        ("Drawn, and not accounted for", things),
        ("Taken for granted", said),
    )
    return [(heading, lines) for heading, lines in both if lines]


def _at_most(lines: list[str]) -> list[str]:
    more = len(lines) - LEFTOVERS_MOST
    rest = [f"… and {more} more on this sheet; all are in the results file"] if more > 0 else []
    return lines[:LEFTOVERS_MOST] + rest


def plain(value: Any) -> Any:
    """Anything as JSON holds it: numbers finite and rounded, unknown types as text."""
    if value is None or isinstance(value, (bool, str, int)):
        return value
    if isinstance(value, float):
        return round(value, 4) if math.isfinite(value) else None
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    return str(value)


def _number(value: float | None, digits: int = 2) -> float | None:
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), digits) + 0.0


def _point(point: Iterable[float]) -> list[float]:
    return [_number(value) or 0.0 for value in point]


def _points(points: Iterable[Iterable[float]]) -> list[list[float]]:
    return [_point(point) for point in points]


# ------------------------------------------------------------------------------------------------ a sheet


def _sheet(result: SheetResult) -> Json:
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
        "revision_clouds": [_point(box) for box in reading.revision_clouds] if reading else [],
        "unexplained": [_unexplained(item, reading) for item in unexplained_of(result)] if reading else [],
        "assumptions": list(dict.fromkeys(result.assumptions + (reading.sheet.assumptions if reading else ()))),
    }


def _proposal(proposal: Proposal) -> Json:
    return {
        "files": list(proposal.files),
        "steps": [
            {
                "kind": step.kind,
                "at": step.at,
                "protects": list(step.protects),
                "because": step.because,
                "assumes": step.assumes,
            }
            for step in proposal.steps
        ],
        "left": [{"outlet": name, "why": why} for name, why in proposal.left],
    }


def main_scale(reading: Reading) -> Scale | None:
    """The scale of the view that holds the most outlets; among equals, the first that can be measured in."""
    outlets = [outlet.symbol.view for outlet in reading.outlets]
    return max(reading.scales, key=lambda s: (outlets.count(s.view), s.measurable), default=None)


def scale_words(scale: Scale | None, brief: bool = False) -> str:
    """A scale for people: as it is written, and its standing; ``brief`` leaves out that it is proved."""
    if scale is None:
        return ""
    written = LED_BY.sub("", scale.text).strip() or scale.source
    return written if brief and scale.status == "proved" else f"{written} ({scale.status})"


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
        "box": _point(view.box),
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
        "lines": [_points(np.asarray(line.coords)[:, :2].tolist()) for line in lines],
        "confidence": _number(border.confidence),
    }


def _rings(shape: BaseGeometry) -> list[list[list[float]]]:
    """Outer ring of the largest part, then its holes; rings are not closed by a repeated point."""
    parts = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and not part.is_empty]
    if not parts:
        return []
    largest = max(parts, key=lambda part: float(part.area))
    return [_points(np.asarray(ring.coords)[:-1, :2].tolist()) for ring in (largest.exterior, *largest.interiors)]


def _fixture(fixture: Fixture) -> Json:
    symbol = fixture.symbol
    return {
        "id": fixture.id,
        "kind": symbol.kind,
        "symbol": symbol.entry.name,
        "at": _point(symbol.at),
        "angle": _number(symbol.angle),
        "room": fixture.room,
        "view": symbol.view,
        "confidence": _number(symbol.confidence),
        "found": bool(symbol.found),
        "reasons": list(symbol.reasons),
    }


# ----------------------------------------------------------------------------------------------- an outlet


def _outlet(finding: Finding) -> Json:
    outlet = finding.outlet
    symbol = outlet.symbol
    protection = finding.protection
    return {
        "id": outlet.id,
        "kind": symbol.kind,
        "symbol": symbol.entry.name,
        "at": _point(symbol.at),
        "angle": _number(symbol.angle),
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
        "path": _points(requirement.path),
        "question": requirement.question,
    }


def _standing(standing: Standing) -> Json:
    return {
        "anchor": _point(standing.anchor),
        "facing": _point(standing.facing) if standing.facing else None,
        "anchor_tolerance_ft": _number(standing.anchor_tolerance_ft),
        "at_counter": standing.at_counter.value,
        "why": standing.why,
    }


def _unexplained(item: Unexplained, reading: Reading) -> Json:
    return {
        "what": item.what,
        "count": item.count,
        "at": _points(item.at),
        "box": _point(item.box) if item.box else None,
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
