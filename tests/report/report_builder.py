"""Synthetic sheets for the report's tests: outlets and fixtures placed by hand, judged by hand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from shapely import box
from shapely.geometry import Polygon

from cordpath.model import (
    Answer,
    Fills,
    Finding,
    Fixture,
    FloorPlan,
    Label,
    Outlet,
    Protection,
    Reading,
    Requirement,
    Room,
    Run,
    Scale,
    ScaleEvidence,
    Sheet,
    SheetResult,
    Spotting,
    Standing,
    Strokes,
    Symbol,
    SymbolEntry,
    Unexplained,
    View,
    Word,
)

RUN = Run("0.1.0", "2023", ("city.yaml",), "symbols.yaml")
DUPLEX = SymbolEntry("duplex receptacle", "receptacle", volts=125.0)
SINK = SymbolEntry("kitchen sink", "sink", size="real", edge="inner")


def symbol(entry: SymbolEntry, at: tuple[float, float], half: float = 5.0, **more: Any) -> Symbol:
    x, y = at
    defaults: dict[str, Any] = {
        "mirrored": False,
        "drawn_size": 1.0,
        "confidence": 0.98,
        "found": True,
        "view": "v1",
    }
    return Symbol(
        entry, at, 90.0, footprint=box(x - half, y - half, x + half, y + half),
        strokes=np.zeros(0, np.int64), **{**defaults, **more},
    )  # fmt: skip


def outlet(number: str, at: tuple[float, float], room: str | None = "r1", **more: Any) -> Outlet:
    labels = (Label("WP", (at[0] + 9, at[1]), (("weatherproof", True), ("height_in", 42.0))),)
    return Outlet(number, symbol(DUPLEX, at, labels=labels, **more), Standing(at, (0.0, 1.0), room, 0.1))


def requirement(at: tuple[float, float], end: tuple[float, float], **more: Any) -> Requirement:
    defaults: dict[str, Any] = {
        "cite": "210.8(A)(8)", "because": "4.3 ft along the cord path from the bowl of f1", "holds": Answer.YES,
        "distance_ft": 4.304, "to": "f1", "path": (at, (end[0], at[1]), end),
    }  # fmt: skip
    return Requirement(**{**defaults, **more})


def missing(number: str, at: tuple[float, float], to: tuple[float, float], room: Room | None = None) -> Finding:
    asks = (requirement(at, to), Requirement("210.8(A)(6)", "it stands in the kitchen", Answer.YES))
    return Finding(
        outlet(number, at), "missing", asks,
        Protection(Answer.NO, None, None, "A-12", ("no mark beside it and no GFCI breaker on A-12",)),
        ("It stands in the kitchen, and its cord reaches the bowl of f1 in 4.3 ft.", "No protection is shown."),
        room, 0.97,
    )  # fmt: skip


def unresolved(number: str, at: tuple[float, float], to: tuple[float, float], room: Room | None = None) -> Finding:
    asks = (
        requirement(at, to, distance_ft=6.02, holds=Answer.UNKNOWN, question="How far is it from the bowl of f1?"),
    )
    return Finding(
        outlet(number, at), "unresolved", asks, Protection(Answer.NO, None, None),
        ("The cord path of 6.0 ft is within its uncertainty of the limit of 6 ft.",), room, 0.7,
    )  # fmt: skip


def protected(number: str, at: tuple[float, float], room: Room | None = None) -> Finding:
    asks = (Requirement("210.8(A)(1)", "it stands in a bathroom", Answer.YES),)
    shown = Protection(Answer.YES, "device", 'label "GFI" beside it', "A-3")
    return Finding(outlet(number, at), "protected", asks, shown, ("Label GFI beside it.",), room, 0.99)


def free(number: str, at: tuple[float, float], room: Room | None = None) -> Finding:
    return Finding(outlet(number, at), "not required", (), Protection(Answer.NO, None, None), (), room, 0.9)


def kitchen(shape: Polygon | None = None) -> Room:
    return Room("r1", "KITCHEN", "kitchen", shape or box(40, 40, 360, 260), 0.97, "v1", number="101")


def result(
    findings: Iterable[Finding] = (),
    *,
    file: str = "plans/set.pdf",
    page: int = 1,
    size: tuple[float, float] = (612.0, 396.0),
    number: str | None = "E-101",
    title: str | None = "POWER PLAN",
    words: Sequence[Word] = (),
    extra_outlets: Sequence[Outlet] = (),
    unexplained: Sequence[Unexplained] = (),
) -> SheetResult:
    """A sheet that was checked, with those findings."""
    findings = tuple(findings)
    sheet = Sheet(
        file, page, number, title, *size, Strokes.of(np.zeros((0, 4))), Fills.none(), tuple(words), (),
        (View("v1", "MAIN FLOOR", (0.0, 0.0, *size), '1/4" = 1\'-0"'),), (),
    )  # fmt: skip
    scale = Scale(
        "v1", 48.0, "note", '1/4" = 1\'-0"', "proved",
        (ScaleEvidence("note", 48.0, '1/4" = 1\'-0"'), ScaleEvidence("dimension", 48.01, "12'-0\"", 9)), 0.005,
    )  # fmt: skip
    room = kitchen()
    nothing = Polygon()
    plan = FloorPlan("v1", (room,), nothing, nothing, (), (), None)
    outlets = (*(finding.outlet for finding in findings), *extra_outlets)
    sink = Fixture("f1", symbol(SINK, (300.0, 150.0), 12.0), "r1")
    symbols = (*(o.symbol for o in outlets), sink.symbol)
    reading = Reading(sheet, (scale,), Spotting(symbols), (plan,), outlets, (sink,), (), (), tuple(unexplained))
    return SheetResult(file, page, "checked", None, reading, findings, ("one stroke was clipped",))


def failed(file: str = "plans/set.pdf", page: int = 1, why: str = "the page holds only a picture") -> SheetResult:
    return SheetResult(file, page, "failed", why)


def judged_on(found: SheetResult, page: int, file: str | None = None) -> SheetResult:
    """The same findings on another page."""
    return replace(found, page=page, file=file or found.file)
