"""Nouns of judging: requirements, decisions, findings, and the run that they belong to."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field
from typing import Any, Literal

from cordpath.model.basic import Answer, Box, Point
from cordpath.model.circuits import Conflict, Panel, Protection, Wiring
from cordpath.model.paths import CordPath, Fixture, Outlet
from cordpath.model.rooms import FloorPlan, Room
from cordpath.model.scale import Scale
from cordpath.model.sheet import Sheet
from cordpath.model.symbols import Spotting, Unexplained

Verdict = Literal["missing", "protected", "not required", "unresolved"]


@dataclass(frozen=True)
class Requirement:
    """One rule that asks for protection at an outlet, or may ask for it (``holds`` UNKNOWN)."""

    cite: str
    because: str
    holds: Answer
    distance_ft: float | None = None
    to: str | None = None
    path: tuple[Point, ...] = ()
    question: str | None = None  # what to ask where ``holds`` is UNKNOWN
    cite_nec: str | None = None  # the section of the NEC, where ``cite`` is in another numbering


@dataclass(frozen=True)
class Companion:
    """What another rule of the edition asks of the same outlet (arc-fault protection, the type of receptacle).

    It informs the schedule and never bears on the verdict.
    """

    name: str  # afci, tamper-resistant, weather-resistant
    asked: Answer
    cite: str | None = None
    because: str = ""


Ruling = Literal["accept", "not applicable", "ask"]


@dataclass(frozen=True)
class Decision:
    """A reviewer's ruling on one outlet, found again by where it stands: it never changes a verdict.

    ``place``: from the upper left corner of the room's box, in shares of its width and height; of the sheet's
    where ``room`` is empty.  ``line``: of the decisions file, for messages.
    """

    sheet: str
    room: str
    symbol: str
    place: Point
    ruling: Ruling
    reason: str
    circuit: str | None = None
    file: str | None = None  # stem of the file's name, where a batch has several sheets of that number
    line: int = 0


NOT_SHOWN = "Protection is not shown."  # the reason of a finding that its protection is not


@dataclass(frozen=True, eq=False)
class Finding:
    """An outlet judged.  ``reasons`` are whole sentences, most important first."""

    outlet: Outlet
    verdict: Verdict
    requirements: tuple[Requirement, ...]
    protection: Protection
    reasons: tuple[str, ...]
    room: Room | None
    confidence: float
    companions: tuple[Companion, ...] = ()
    decision: Decision | None = None


@dataclass(frozen=True, eq=False)
class Reading:
    """A sheet understood, before any edition is applied: the same reading serves every edition."""

    sheet: Sheet
    scales: tuple[Scale, ...]
    spotting: Spotting
    plans: tuple[FloorPlan, ...]
    outlets: tuple[Outlet, ...]
    fixtures: tuple[Fixture, ...]
    paths: tuple[CordPath, ...]
    panels: tuple[Panel, ...]
    unexplained: tuple[Unexplained, ...] = ()
    reach_problems: tuple[tuple[str, str], ...] = ()  # (outlet id, why its cord path cannot be measured)
    wiring: tuple[Wiring, ...] = ()
    revision_clouds: tuple[Box, ...] = ()  # as drawn by the sheet's author, page coordinates


SheetStatus = Literal["checked", "skipped", "failed"]


@dataclass(frozen=True, eq=False)
class SheetResult:
    """One sheet of the batch.  ``reading`` None where the sheet was not checked; ``why`` says the reason."""

    file: str
    page: int
    status: SheetStatus
    why: str | None = None
    reading: Reading | None = None
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()

    @property
    def judged(self) -> bool:
        """Is something said of its outlets?  Also of a failed sheet on which some were found and others lost."""
        return self.status == "checked" or bool(self.findings or (self.reading and self.reading.outlets))


@dataclass(frozen=True)
class Run:
    """What a batch was asked to do: goes into every output."""

    version: str
    edition: str
    amendments: tuple[str, ...]
    symbols: str
    extra: MappingABC[str, Any] = field(default_factory=dict)
    permit_date: str | None = None  # ISO 8601 day that decides dated rules
    made_on: str | None = None  # ISO 8601 day of the review, for marks and letters; None leaves it out
