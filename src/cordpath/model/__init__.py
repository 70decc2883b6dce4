"""The shared nouns.  Stages know these, and never each other.

Frame: *page coordinates* are PDF points (1/72 inch, UserUnit already applied) on the page as displayed, after
crop box and /Rotate: origin top left, x right, y down.  Angles are degrees, counter-clockwise as seen on the
displayed page.  Real lengths are feet unless the name ends in another unit.

Everything is immutable.  Arrays inside a frozen dataclass are never written to by a stage that receives them.
"""

from cordpath.model.basic import (
    INCHES_PER_FOOT,
    LUMINANCE,
    POINTS_PER_INCH,
    WHITE,
    Answer,
    BoolArray,
    Box,
    FloatArray,
    IntArray,
    Point,
)
from cordpath.model.circuits import (
    CIRCUIT_WORD,
    Conflict,
    Panel,
    PanelRow,
    Policy,
    Proposal,
    Protection,
    Step,
    Wiring,
)
from cordpath.model.citations import cites_together, runs
from cordpath.model.findings import (
    NOT_SHOWN,
    Companion,
    Decision,
    Finding,
    Reading,
    Requirement,
    Ruling,
    Run,
    SheetResult,
    SheetStatus,
    Verdict,
)
from cordpath.model.mapping import (
    BASIN_KINDS,
    FIXTURE_KINDS,
    OUTLET_KINDS,
    TUB_KINDS,
    USUAL_KINDS,
    ArcMark,
    CircleMark,
    Drawing,
    Kind,
    LabelEntry,
    LineMark,
    Mapping,
    Mark,
    Picked,
    PolylineMark,
    RoomEntry,
    RoomKind,
    SymbolEntry,
    TextMark,
)
from cordpath.model.paths import CordPath, Doors, Fixture, Outlet
from cordpath.model.rooms import UNNAMED, Border, Disputed, FloorPlan, Room, ScheduledRoom, Standing
from cordpath.model.scale import Dimension, Scale, ScaleEvidence, ScaleSource, ScaleStatus
from cordpath.model.sheet import (
    Fills,
    Region,
    RegionKind,
    Sheet,
    Strokes,
    TextOrigin,
    View,
    Viewport,
    Word,
    layers_like,
    lines_of,
)
from cordpath.model.storeys import BASEMENT, CRAWL_SPACE, LOWER_LEVEL, OTHER_STOREY
from cordpath.model.symbols import Label, Learnt, Pen, Spotting, Symbol, Unexplained
