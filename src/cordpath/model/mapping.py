"""Nouns of the mapping file, checked: how symbols are drawn, what labels and room names mean."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from cordpath.model.basic import Box, Point
from cordpath.model.sheet import Sheet

Kind = Literal[
    "receptacle", "hardwired outlet", "sink", "lavatory", "bathtub", "shower", "water closet", "countertop",
    "range", "wall oven", "cooktop", "microwave", "refrigerator", "dishwasher", "disposer", "washer", "dryer",
    "water heater", "sump pump", "panel", "switch", "light", "door", "window", "other",
]  # fmt: skip
OUTLET_KINDS: frozenset[str] = frozenset({"receptacle", "hardwired outlet"})
FIXTURE_KINDS: frozenset[str] = frozenset({
    "sink", "lavatory", "bathtub", "shower", "water closet", "countertop", "range", "wall oven", "cooktop",
    "microwave", "refrigerator", "dishwasher", "disposer", "washer", "dryer", "water heater", "sump pump",
})  # fmt: skip
# Told by their usual drawing, whatever their make.
USUAL_KINDS: frozenset[str] = frozenset({
    "sink", "lavatory", "bathtub", "dishwasher", "refrigerator", "washer", "dryer",
})  # fmt: skip
BASIN_KINDS: frozenset[str] = frozenset({"sink", "lavatory"})
TUB_KINDS: frozenset[str] = frozenset({"bathtub", "shower"})

RoomKind = Literal[
    "bathroom", "kitchen", "food area", "laundry", "garage", "accessory building", "basement", "crawl space",
    "outdoors", "boathouse", "damp or wet", "dining", "living", "bedroom", "hall", "closet", "utility", "attic",
    "other", "unknown",
]  # fmt: skip


@dataclass(frozen=True)
class CircleMark:
    center: Point  # inches in the template's frame, x right, y down
    radius: float


@dataclass(frozen=True)
class LineMark:
    start: Point
    end: Point


@dataclass(frozen=True)
class ArcMark:
    center: Point
    radius: float
    start: float  # degrees from +x; runs counter-clockwise as seen, from start to end
    end: float


@dataclass(frozen=True)
class PolylineMark:
    points: tuple[Point, ...]
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True)
class TextMark:
    value: str
    at: Point  # middle of the text


Mark = CircleMark | LineMark | ArcMark | PolylineMark | TextMark


@dataclass(frozen=True)
class Picked:
    """An example on a page: ``box`` in page coordinates of that page."""

    file: str
    page: int
    box: Box


@dataclass(frozen=True)
class SymbolEntry:
    """One entry of ``symbols:`` in the mapping file; exactly one of shape, legend, picked, usual is set."""

    name: str
    kind: Kind
    shape: tuple[Mark, ...] | None = None
    legend: str | None = None
    picked: Picked | None = None
    size: Literal["plotted", "real"] = "plotted"
    scales: tuple[float, float] = (0.95, 1.05)
    wall_side: Point | None = None
    volts: float | None = None
    amperes: float | None = None
    protection: Literal["device"] | None = None
    weatherproof: bool | None = None
    serves: str | None = None
    height_in: float | None = None
    status: str | None = None
    edge: Literal["inner", "outer"] | None = None
    line: int = 0  # line of the mapping file, for messages
    rim_in: float | None = None  # height of a fixture's rim above the floor
    readily_accessible: bool | None = None
    dedicated_circuit: bool | None = None
    single_receptacle: bool | None = None
    hard_wired: bool | None = None
    usual: bool = False  # drawn as the trade usually draws its kind: found by proportions, not by a template
    proposed: bool = False  # by cordpath learn, and confirmed by nobody: it settles nothing


@dataclass(frozen=True)
class LabelEntry:
    """One entry of ``labels:``; ``pattern`` is matched against the whole text, case ignored."""

    pattern: str
    sets: tuple[tuple[str, Any], ...]  # facts by the names of SymbolEntry: protection, volts, serves, ...


@dataclass(frozen=True)
class RoomEntry:
    """One entry of ``rooms:``: a room name's pattern (whole match, case ignored) and its kind, or a room stated by
    hand: the one at a point, or one with its outline, both in page coordinates of the sheets that it names.

    ``pattern`` is empty for a room stated by hand; its ``kind`` is ``unknown`` where only a name is stated.
    """

    pattern: str
    kind: RoomKind
    finished: bool | None = None
    name: str | None = None
    at: Point | None = None
    polygon: tuple[Point, ...] | None = None
    sheet: str | None = None  # sheet number
    file: str | None = None
    page: int | None = None
    line: int = 0  # line of the mapping file, for messages

    @property
    def stated(self) -> bool:
        return self.at is not None or self.polygon is not None

    def meant(self, sheet: Sheet) -> bool:
        """Is the entry for this sheet."""
        number = self.sheet is None or self.sheet.upper() == (sheet.number or "").upper()
        return number and self.file in (None, sheet.file) and self.page in (None, sheet.page)


@dataclass(frozen=True)
class Drawing:
    """``drawing:`` of the mapping file.  ``scale`` is the ratio for every sheet, ``sheet_scales`` by sheet
    number; both None/empty for ``auto``."""

    scale: float | None = None
    scale_text: str = "auto"
    sheet_scales: tuple[tuple[str, float], ...] = ()
    wall_layers: tuple[str, ...] = ()
    device_layers: tuple[str, ...] = ()
    ignore_layers: tuple[str, ...] = ()
    keep_clear: tuple[Box, ...] = ()  # page coordinates: where no review mark may stand (stamps)


@dataclass(frozen=True)
class Mapping:
    """The mapping file, checked."""

    file: str
    drawing: Drawing
    symbols: tuple[SymbolEntry, ...]
    labels: tuple[LabelEntry, ...] = ()
    rooms: tuple[RoomEntry, ...] = ()
