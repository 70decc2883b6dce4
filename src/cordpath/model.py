"""The shared nouns.  Stages know these, and never each other.

Frame: *page coordinates* are PDF points (1/72 inch, UserUnit already applied) on the page as displayed, after
crop box and /Rotate: origin top left, x right, y down.  Angles are degrees, counter-clockwise as seen on the
displayed page.  Real lengths are feet unless the name ends in another unit.

Everything is immutable.  Arrays inside a frozen dataclass are never written to by a stage that receives them.
"""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field
from enum import Enum
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]
Point = tuple[float, float]
Box = tuple[float, float, float, float]  # x0, y0, x1, y1 with x0 <= x1 and y0 <= y1

POINTS_PER_INCH = 72.0
INCHES_PER_FOOT = 12.0
WHITE = 0.95  # luminance from which a stroke or fill counts as paper, not ink (plots use pure white)


class Answer(Enum):
    """Three-valued truth.  Unknown travels to the verdict as ``unresolved``; it is never rounded to no."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"

    @staticmethod
    def of(value: bool | None) -> Answer:
        return Answer.UNKNOWN if value is None else (Answer.YES if value else Answer.NO)

    def __and__(self, other: Answer) -> Answer:
        if Answer.NO in (self, other):
            return Answer.NO
        return Answer.UNKNOWN if Answer.UNKNOWN in (self, other) else Answer.YES

    def __or__(self, other: Answer) -> Answer:
        if Answer.YES in (self, other):
            return Answer.YES
        return Answer.UNKNOWN if Answer.UNKNOWN in (self, other) else Answer.NO

    def __invert__(self) -> Answer:
        return {Answer.YES: Answer.NO, Answer.NO: Answer.YES}.get(self, self)


# ---------------------------------------------------------------------------------------------- the sheet


@dataclass(frozen=True, eq=False)
class Strokes:
    """Straight pieces of stroked paths, in paint order; curves come as chords (sagitta under 0.02 pt).

    White strokes and strokes that a later opaque fill covers are kept (they cut openings into walls) and are
    told by :meth:`ink`.  Off-page, clipped-away and fully transparent strokes are not here.
    """

    xy: FloatArray  # (n, 4) x0, y0, x1, y1 in page coordinates
    width: FloatArray  # (n,) pen width, pt; 0 is legal and means the thinnest line of the device
    colour: FloatArray  # (n, 3) red, green, blue, 0 to 1
    layer: IntArray  # (n,) index into Sheet.layers, -1 for none
    path: IntArray  # (n,) number of the path in paint order, shared with Fills.path
    curve: IntArray  # (n,) number of the Bezier segment a chord was cut from, -1 for straight strokes
    dashed: BoolArray  # (n,) drawn with a dash pattern of the PDF (exploded dashes are plain strokes)
    covered: BoolArray  # (n,) wholly under a later opaque fill

    def __len__(self) -> int:
        return len(self.xy)

    def take(self, which: BoolArray | IntArray) -> Strokes:
        """The strokes of a boolean mask or an index array, in that order."""
        return Strokes(
            self.xy[which], self.width[which], self.colour[which], self.layer[which],
            self.path[which], self.curve[which], self.dashed[which], self.covered[which],
        )  # fmt: skip

    @property
    def luminance(self) -> FloatArray:
        """(n,) Rec. 601 luma of the pen colour, 0 black to 1 white."""
        return self.colour @ np.array([0.299, 0.587, 0.114])

    def ink(self) -> BoolArray:
        """(n,) True where a reader sees the stroke: not white and not covered."""
        return (self.luminance < WHITE) & ~self.covered

    @staticmethod
    def of(xy: FloatArray, *, width: float = 0.72, layer: int = -1) -> Strokes:
        """Plain black solid strokes from (n, 4) coordinates: for tests and for templates."""
        xy = np.asarray(xy, float).reshape(-1, 4)
        n = len(xy)
        return Strokes(
            xy, np.full(n, width), np.zeros((n, 3)), np.full(n, layer, np.int64), np.arange(n, dtype=np.int64),
            np.full(n, -1, np.int64), np.zeros(n, bool), np.zeros(n, bool),
        )  # fmt: skip


@dataclass(frozen=True, eq=False)
class Fills:
    """Filled areas in paint order, clipped to the page."""

    shape: NDArray[np.object_]  # (f,) shapely polygons or multipolygons, valid, in page coordinates
    colour: FloatArray  # (f, 3)
    opacity: FloatArray  # (f,) 0 to 1
    layer: IntArray  # (f,)
    path: IntArray  # (f,) number of the path in paint order, shared with Strokes.path

    def __len__(self) -> int:
        return len(self.shape)

    @property
    def luminance(self) -> FloatArray:
        """(f,) Rec. 601 luma of the fill colour."""
        return self.colour @ np.array([0.299, 0.587, 0.114])

    @staticmethod
    def none() -> Fills:
        return Fills(
            np.zeros(0, object), np.zeros((0, 3)), np.zeros(0), np.zeros(0, np.int64), np.zeros(0, np.int64)
        )


TextOrigin = Literal["font", "hidden", "outline", "stroke", "ocr"]


@dataclass(frozen=True)
class Word:
    """A word of the sheet with its place.  ``size`` is the font size in points, ``angle`` the reading
    direction (0 = left to right, 90 = upwards).  Words with the same ``line`` were shown as one run."""

    text: str
    box: Box
    angle: float
    size: float
    line: int
    font: str = ""
    colour: tuple[float, float, float] = (0.0, 0.0, 0.0)
    origin: TextOrigin = "font"
    confidence: float = 1.0

    @property
    def at(self) -> Point:
        return ((self.box[0] + self.box[2]) / 2, (self.box[1] + self.box[3]) / 2)


RegionKind = Literal["title block", "legend", "schedule", "notes", "key plan", "detail"]


@dataclass(frozen=True)
class Region:
    """A part of the sheet that is not plan: its symbols are no devices of the house."""

    kind: RegionKind
    box: Box
    title: str = ""


@dataclass(frozen=True)
class View:
    """One drawing on the sheet, with its own scale and title: the frame for rooms and distances.

    ``note`` is the scale note as written (``1/4" = 1'-0"``), None where none was found.
    """

    id: str
    title: str
    box: Box
    note: str | None = None
    note_box: Box | None = None


@dataclass(frozen=True)
class Viewport:
    """A part of the page for which the file itself states a scale (ISO 32000-2:2020, 12.9, rectilinear measure).

    ``ratio`` None where its figures contradict each other or cannot be read; ``problem`` says why.
    """

    box: Box
    ratio: float | None
    text: str
    name: str = ""
    problem: str | None = None


@dataclass(frozen=True, eq=False)
class Sheet:
    """One page, read.  ``assumptions`` names what was repaired or taken for granted while reading."""

    file: str
    page: int  # counts from 1
    number: str | None
    title: str | None
    width: float  # displayed width, pt
    height: float
    strokes: Strokes
    fills: Fills
    words: tuple[Word, ...]
    layers: tuple[str, ...]
    views: tuple[View, ...]
    regions: tuple[Region, ...]
    assumptions: tuple[str, ...] = ()
    viewports: tuple[Viewport, ...] = ()  # in the file's order: a later one lies over an earlier
    unread_lettering: int = 0  # lines of drawn lettering (strokes, outlines) that could not be read
    unread_at: tuple[Point, ...] = ()  # where they are
    damage: str | None = None  # what was mended or left out while reading: some of the drawing may be missing


# ----------------------------------------------------------------------------------------------- the scale


# ``rooms`` and ``doors``: sizes written in rooms, usual widths of door leaves; they make a scale plausible or not,
# and prove none.
ScaleSource = Literal["override", "note", "dimension", "bar", "viewport", "rooms", "doors", "none"]


@dataclass(frozen=True)
class ScaleEvidence:
    """One independent witness of a scale.  ``count`` tells how many readings agree (dimension strings)."""

    source: ScaleSource
    ratio: float
    text: str
    count: int = 1


@dataclass(frozen=True)
class Dimension:
    """A dimension string as read: the length written, and the two points on the drawing that it runs between."""

    text: str
    length_ft: float
    start: Point
    end: Point


ScaleStatus = Literal["proved", "single", "conflict", "not to scale", "unknown"]


@dataclass(frozen=True)
class Scale:
    """The scale of one view.  ``ratio`` is real length over drawn length (48 for 1/4" = 1'-0").

    ``status``: *proved* by two kinds of evidence within 1 %; *single*: one kind only, used with a wider
    ``tolerance`` (relative, one-sided); *conflict*, *not to scale*, *unknown*: nothing may be measured, ``why``
    says what is wrong.
    """

    view: str
    ratio: float | None
    source: ScaleSource
    text: str
    status: ScaleStatus
    evidence: tuple[ScaleEvidence, ...] = ()
    tolerance: float = 0.0
    why: str | None = None

    @property
    def measurable(self) -> bool:
        return self.ratio is not None and self.status in ("proved", "single")

    @property
    def agrees(self) -> tuple[str, ...]:
        """Sources other than the one used whose ratio is within 1 % of it; rooms and doors are too coarse."""
        if self.ratio is None:
            return ()
        ratio, left_out = self.ratio, (self.source, "rooms", "doors")
        return tuple(e.source for e in self.evidence
                     if e.source not in left_out and abs(e.ratio / ratio - 1) <= 0.01)  # fmt: skip

    @property
    def points_per_foot(self) -> float:
        """Points on the page for a foot in the building; raises ValueError where there is no ratio."""
        if self.ratio is None:
            raise ValueError(f"view {self.view} has no scale")
        return POINTS_PER_INCH * INCHES_PER_FOOT / self.ratio


# --------------------------------------------------------------------------------------------- the mapping


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
    """One entry of ``symbols:`` in the mapping file; exactly one of shape, legend, picked is set."""

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


# --------------------------------------------------------------------------------------------- the symbols


@dataclass(frozen=True)
class Label:
    """Text that belongs to a symbol, and what it tells about it."""

    text: str
    at: Point
    sets: tuple[tuple[str, Any], ...] = ()


@dataclass(frozen=True, eq=False)
class Symbol:
    """A mapped symbol found on the sheet.

    ``found`` False: the shape is there but cannot be settled (a near twin, ink missing, a rival that explains
    as much); ``reasons`` says why and ``rivals`` names the other mapped symbols that it may be.
    ``edge``: the outline to which distances run (bowls, or the outside of tub or shower); None for devices.
    """

    entry: SymbolEntry
    at: Point
    angle: float
    mirrored: bool
    drawn_size: float  # drawn size over the size in the mapping file
    confidence: float
    found: bool
    view: str | None  # None: outside every view
    footprint: BaseGeometry  # convex hull of the symbol's marks, page coordinates
    strokes: IntArray  # indices into Sheet.strokes that the symbol explains
    edge: BaseGeometry | None = None
    wall_direction: Point | None = None  # unit vector from the symbol towards its wall, if the entry says so
    labels: tuple[Label, ...] = ()
    reasons: tuple[str, ...] = ()
    rivals: tuple[str, ...] = ()
    unnamed: bool = False  # drawn like no entry of the mapping file, and told by its shape or by words: never found

    @property
    def kind(self) -> Kind:
        return self.entry.kind

    @property
    def is_outlet(self) -> bool:
        return self.kind in OUTLET_KINDS

    @property
    def is_fixture(self) -> bool:
        return self.kind in FIXTURE_KINDS

    def fact(self, name: str) -> Any:
        """A fact told by a label beside the symbol, else by its mapping entry, else None."""
        for label in self.labels:
            for key, value in label.sets:
                if key == name:
                    return value
        return getattr(self.entry, name, None)


@dataclass(frozen=True)
class Unexplained:
    """Something that looks meant and that nothing accounts for."""

    what: str
    at: tuple[Point, ...]
    box: Box | None = None
    is_label: bool = False  # device text (GFI, WP, a circuit tag), not a shape
    marks: tuple[Mark, ...] = ()  # how a shape is drawn, inches on paper; empty where it is not one shape

    @property
    def count(self) -> int:
        return len(self.at)


@dataclass(frozen=True)
class Learnt:
    """How a symbol is drawn, as taken from a drawing: from the row of a legend, or from a box picked by hand.

    ``marks``: about the middle of what was taken, inches on paper (in the building for ``size: real``).
    """

    name: str
    source: Literal["legend", "picked"]
    file: str
    page: int
    box: Box | None
    marks: tuple[Mark, ...]


@dataclass(frozen=True, eq=False)
class Spotting:
    """What was found on a sheet: symbols (settled and not), and what is left over.

    ``learnt``: the shapes that were taken from drawings.  ``blind``: why outlets cannot be found on the sheet.
    """

    symbols: tuple[Symbol, ...]
    unexplained: tuple[Unexplained, ...] = ()
    assumptions: tuple[str, ...] = ()
    learnt: tuple[Learnt, ...] = ()
    blind: str | None = None


# ----------------------------------------------------------------------------------------------- the rooms


@dataclass(frozen=True, eq=False)
class Room:
    id: str
    name: str
    kind: RoomKind
    polygon: BaseGeometry  # page coordinates
    confidence: float
    view: str
    finished: bool | None = None
    number: str | None = None
    open_to: tuple[str, ...] = ()  # ids of rooms that share the space without a wall between
    reasons: tuple[str, ...] = ()  # why kind or extent is not sure


@dataclass(frozen=True, eq=False)
class Border:
    """The line between two rooms of an open plan, by id: a guess with its confidence."""

    rooms: tuple[str, str]
    line: BaseGeometry  # page coordinates
    confidence: float


@dataclass(frozen=True, eq=False)
class FloorPlan:
    """The building in one view, in page coordinates.  Typed polygons; never healed, closed or simplified for
    rooms' sake: cord paths are measured against them.

    ``walls`` includes low walls and heavy glass screens; ``glazing`` windows and fixed glass; ``doors`` the
    closed position of every leaf, one geometry each; ``openings`` cased openings.  ``outside``: what is
    outdoors, as far as the view reaches.  ``counters``: areas of countertop along walls and islands.
    """

    view: str
    rooms: tuple[Room, ...]
    walls: BaseGeometry
    glazing: BaseGeometry
    doors: tuple[BaseGeometry, ...]
    openings: tuple[BaseGeometry, ...]
    outside: BaseGeometry | None
    counters: BaseGeometry | None = None
    why: str | None = None  # why there are no rooms, or what is not sure about the plan as a whole
    assumptions: tuple[str, ...] = ()
    counters_doubtful: BaseGeometry | None = None  # lines that may be a counter's edge: they keep an answer open
    guessed_ratio: float | None = None  # the ratio its rooms were found at, where the view has none
    borders: tuple[Border, ...] = ()  # between rooms that no wall divides

    def room(self, room_id: str | None) -> Room | None:
        return next((room for room in self.rooms if room.id == room_id), None)


@dataclass(frozen=True)
class Standing:
    """Where a symbol stands: the point where it meets the wall, and the room that it faces.

    ``anchor_tolerance_ft``: how far the true place may be from ``anchor``.  ``room`` None with ``why``.
    ``perhaps``: ids of the rooms that it may stand in as well, where no wall divides them from its own.
    """

    anchor: Point
    facing: Point | None  # unit vector out of the wall, None for a symbol away from walls
    room: str | None
    anchor_tolerance_ft: float
    at_counter: Answer = Answer.UNKNOWN  # does it serve a countertop, as far as the drawing shows
    why: str | None = None
    perhaps: tuple[str, ...] = ()


# ------------------------------------------------------------------------------------------ outlets, paths


@dataclass(frozen=True, eq=False)
class Outlet:
    id: str  # sheet number or page, a dot, a running number: E-101.7
    symbol: Symbol
    standing: Standing


@dataclass(frozen=True, eq=False)
class Fixture:
    id: str  # f1, f2, ...
    symbol: Symbol
    room: str | None


Doors = Literal["open", "blocking"]


@dataclass(frozen=True)
class CordPath:
    """The shortest way of a supply cord in the plan: a lower bound of the real one, heights only add.

    ``doors`` tells which reading of doors and doorways it was measured under.  ``figured``: the length is the one
    that a dimension on the drawing states.  ``length_3d_ft``: with the heights of outlet and rim, where both are
    known.
    """

    outlet: str
    fixture: str
    doors: Doors
    length_ft: float
    uncertainty_ft: float
    points: tuple[Point, ...]
    figured: bool = False
    length_3d_ft: float | None = None
    glass: bool = False  # it goes through a window or a pane, and is longer or none without


# ---------------------------------------------------------------------------------------------- circuits


@dataclass(frozen=True)
class PanelRow:
    circuits: tuple[str, ...]  # ("12",) or ("1", "3") for two poles
    description: str
    poles: int | None
    amperes: float | None
    gfci: Answer
    afci: Answer
    text: str  # the row as read


@dataclass(frozen=True)
class Panel:
    name: str
    rows: tuple[PanelRow, ...]
    sheet: str
    problems: tuple[str, ...] = ()


@dataclass(frozen=True)
class Wiring:
    """Outlets that drawn wiring joins, with the homerun arrow that it leads to, where there is one.

    ``fed``: for every outlet whose place in the order of feeding is sure, the outlets between the homerun and it,
    nearest to the homerun first.  ``doubts``: for every other outlet why it is not.
    """

    view: str | None
    outlets: tuple[str, ...]  # ids
    tag: str | None  # the circuit as written at the homerun
    fed: tuple[tuple[str, tuple[str, ...]], ...] = ()
    doubts: tuple[tuple[str, str], ...] = ()
    whole: bool = True  # one homerun and no loose end: the tag holds for all of its outlets
    claimed: Point | None = (
        None  # a text nearer to the arrow than to the symbol of other wiring that has it as label
    )
    lines: tuple[tuple[Point, ...], ...] = ()  # the wires as drawn, page coordinates


@dataclass(frozen=True)
class Policy:
    """What a claim without proof counts for; ``ask`` makes it a question, ``missing`` nothing.

    ``same_circuit``: the outlet is on the circuit of a GFCI device, and the order of feeding is not drawn.
    ``general_note``: a note of the sheet claims protection for outlets of its kind.
    """

    same_circuit: Literal["ask", "missing"] = "ask"
    general_note: Literal["ask", "missing"] = "ask"


@dataclass(frozen=True)
class Conflict:
    """Two things on the drawing that cannot both be right, or a tag that leads nowhere."""

    what: str
    outlets: tuple[str, ...]  # ids


@dataclass(frozen=True)
class Step:
    """One device or breaker that a designer may choose.  ``at``: an outlet's id, or a circuit for a breaker."""

    kind: Literal["device", "breaker"]
    at: str
    protects: tuple[str, ...]  # ids of outlets, in reading order
    because: str
    assumes: str | None = None


@dataclass(frozen=True)
class Proposal:
    """The fewest devices and breakers for the outlets that miss protection; ``left``: (outlet id, why not)."""

    files: tuple[str, ...]
    steps: tuple[Step, ...]
    left: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Protection:
    """Is the outlet shown protected?  NO means *protection not shown*, never *violation*."""

    shown: Answer
    by: Literal["device", "breaker", "feed-through"] | None
    evidence: str | None
    circuit: str | None = None
    reasons: tuple[str, ...] = ()


# ------------------------------------------------------------------------------------------- the findings


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
