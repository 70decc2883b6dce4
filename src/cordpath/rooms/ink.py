"""The strokes, fills and words of one view, ready for the search for walls.

Terms: *inch*, points on the page for one inch in the building (1.5 at 1/4" = 1'-0").  *Explained* strokes belong
to a mapped symbol and are neither wall nor opening evidence.  *Covers*, white strokes and light fills: whatever
was painted before them is hidden where they lie.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import lengths, midpoints, points_in_box
from cordpath.model import WHITE, BoolArray, Box, Drawing, FloatArray, IntArray, Sheet, Symbol, View, layers_like
from cordpath.rooms.walls.dashes import in_rows

FRAME = 0.85  # strokes longer than this part of the sheet's side are frames, title lines and match lines
OPENING_KINDS = frozenset({"door", "window"})  # mapped, but still the best evidence of openings
IN_FULL = 0.42  # confidence of an unsettled symbol of which nothing is missing; a doubt halves it
STICKS_OUT = 1.5  # pt, and 4 % of the symbol's size: farther out a stroke is none of its own
SMALL = 0.2  # pt; shorter strokes are dots


@dataclass(frozen=True, eq=False)
class Ink:
    """Visible strokes of a view that no symbol explains; arrays of one length n."""

    xy: FloatArray
    length: FloatArray
    unit: FloatArray  # (n, 2) directions
    width: FloatArray
    luminance: FloatArray
    layer: IntArray
    order: IntArray  # number of the path in paint order
    dashed: BoolArray

    def __len__(self) -> int:
        return len(self.xy)

    def take(self, which: BoolArray | IntArray) -> Ink:
        return Ink(
            self.xy[which], self.length[which], self.unit[which], self.width[which], self.luminance[which],
            self.layer[which], self.order[which], self.dashed[which],
        )  # fmt: skip


@dataclass(frozen=True, eq=False)
class Paint:
    """Areas with their place in the paint order."""

    shape: NDArray[np.object_]
    luminance: FloatArray
    colour: FloatArray
    order: IntArray
    layer: IntArray

    def __len__(self) -> int:
        return len(self.shape)

    def take(self, which: BoolArray | IntArray) -> Paint:
        return Paint(
            self.shape[which], self.luminance[which], self.colour[which], self.order[which], self.layer[which]
        )


@dataclass(frozen=True, eq=False)
class Evidence:
    """All that a view offers: ``fills`` dark and coloured areas, ``covers`` white ones (strokes included)."""

    ink: Ink
    fills: Paint
    covers: Paint
    inch: float
    box: Box
    layers: tuple[str, ...]

    @property
    def foot(self) -> float:
        return 12.0 * self.inch


def matching_layers(layers: tuple[str, ...], patterns: tuple[str, ...]) -> IntArray:
    """Indices of the layers whose name matches one of the patterns (case ignored)."""
    return np.flatnonzero(layers_like(layers, patterns))


def make_ink(xy: FloatArray, width: FloatArray, luminance: FloatArray, layer: IntArray, order: IntArray,
             dashed: BoolArray) -> Ink:  # fmt: skip
    size = lengths(xy)
    unit = (xy[:, 2:] - xy[:, :2]) / np.maximum(size, 1e-9)[:, None]
    return Ink(xy, size, unit, width, luminance, layer, order, dashed)


def _drawn_in_full(symbol: Symbol) -> bool:
    plain = any(reason.startswith("weak shape") for reason in symbol.reasons)
    return symbol.is_fixture and symbol.confidence >= IN_FULL and not plain


def _explained(sheet: Sheet, symbols: tuple[Symbol, ...]) -> BoolArray:
    """Strokes of settled symbols; those that stick far out of their symbol (a wall that it borrowed) stay.

    An unsettled match may well be a piece of wall that looks like a symbol: it takes nothing away, unless all of it
    is drawn as a fixture is (an outlet over a range makes the range a question, but no walls of its burners).
    """
    mask = np.zeros(len(sheet.strokes), bool)
    for symbol in symbols:
        if not (symbol.found or _drawn_in_full(symbol)) or symbol.kind in OPENING_KINDS or not len(symbol.strokes):
            continue
        index = np.asarray(symbol.strokes, np.int64)
        index = index[(index >= 0) & (index < len(mask))]
        x0, y0, x1, y1 = symbol.footprint.bounds if not symbol.footprint.is_empty else (0.0, 0.0, 0.0, 0.0)
        reach = 1.5 * float(np.hypot(x1 - x0, y1 - y0)) + 1.0
        own = lengths(sheet.strokes.xy[index]) <= reach
        width = sheet.strokes.width[index]
        own &= width <= 1.5 * np.median(width) + 0.1 if len(index) else own  # a heavier line is the wall behind it
        own &= ~_sticks_out(sheet.strokes.xy[index], symbol, STICKS_OUT + 0.04 * reach)
        mask[index[own]] = True
    return mask


def _sticks_out(xy: FloatArray, symbol: Symbol, slack: float) -> BoolArray:
    """Strokes that go on beyond their symbol: the face of a wall that the edge of a tub lies on."""
    if symbol.footprint.is_empty:
        return np.zeros(len(xy), bool)
    away = shapely.distance(symbol.footprint, shapely.points(xy.reshape(-1, 2)))
    return np.asarray(away.reshape(-1, 2).max(1) > slack, bool)


def gather(sheet: Sheet, view: View, drawing: Drawing, symbols: tuple[Symbol, ...], inch: float) -> Evidence:
    """Everything of the view that may tell walls and openings."""
    s, box = sheet.strokes, view.box
    size = lengths(s.xy)
    span = np.abs(s.xy[:, 2:] - s.xy[:, :2])
    keep = points_in_box(midpoints(s.xy), box) & (size > SMALL)
    keep &= (span[:, 0] < FRAME * sheet.width) & (span[:, 1] < FRAME * sheet.height)
    ignored = matching_layers(sheet.layers, drawing.ignore_layers)
    keep &= ~np.isin(s.layer, ignored)
    for region in sheet.regions:
        keep &= ~points_in_box(midpoints(s.xy), region.box)
    seen = keep & s.ink() & ~_explained(sheet, symbols)
    luminance = s.luminance
    rows, xy = in_rows(s.xy[seen])
    ink = make_ink(
        xy, s.width[seen], luminance[seen], s.layer[seen], s.path[seen], s.dashed[seen] | rows
    )  # fmt: skip
    masks = np.flatnonzero(keep & (luminance >= WHITE) & (s.width > 0.5) & ~s.dashed)
    fills, light = _fills(sheet, box, ignored)
    fills = fills.take(~_of_devices(fills, symbols))
    strips = shapely.buffer(
        shapely.linestrings(s.xy[masks].reshape(-1, 2, 2)), s.width[masks] / 2, cap_style="flat"
    )
    covers = Paint(
        np.concatenate([light.shape, strips]), np.concatenate([light.luminance, luminance[masks]]),
        np.concatenate([light.colour, s.colour[masks]]), np.concatenate([light.order, s.path[masks]]),
        np.concatenate([light.layer, s.layer[masks]]),
    )  # fmt: skip
    return Evidence(ink, fills, covers, inch, box, sheet.layers)


def _fills(sheet: Sheet, box: Box, ignored: IntArray) -> tuple[Paint, Paint]:
    """Visible fills of the view: the dark and coloured ones, and the white ones."""
    f = sheet.fills
    frame = shapely.box(*box)
    page = max(sheet.width * sheet.height, 1.0)
    keep = (f.opacity > 0.05) & ~np.isin(f.layer, ignored)
    if len(f):
        keep &= shapely.intersects(frame, f.shape) & (shapely.area(f.shape) < 0.8 * page)
    paint = Paint(f.shape, f.luminance, f.colour, f.path, f.layer)
    for region in sheet.regions:
        keep &= ~shapely.within(f.shape, shapely.box(*region.box)) if len(f) else keep
    opaque = f.opacity > 0.95
    return paint.take(keep & (f.luminance < WHITE)), paint.take(keep & (f.luminance >= WHITE) & opaque)


def _of_devices(fills: Paint, symbols: tuple[Symbol, ...]) -> BoolArray:
    """(n,) fills of settled devices: they lie wholly in one, and meet no other fill.

    Where walls are solid a disc of an outlet is as dark and as thick as they are.  A piece of a wall that is drawn
    in pieces meets the next one.
    """
    drawn = [s.footprint for s in symbols if s.found and not s.is_fixture and s.kind not in OPENING_KINDS]
    own = np.zeros(len(fills), bool)
    if not drawn or not len(fills):
        return own
    tree = shapely.STRtree(fills.shape)
    held = tree.query(shapely.buffer(np.array(drawn, object), STICKS_OUT), predicate="covers")[1]
    one, two = tree.query(fills.shape[held], predicate="intersects")
    own[held] = True
    own[held[one[~own[two]]]] = False
    return own


def union(shapes: NDArray[np.object_] | list[BaseGeometry]) -> BaseGeometry:
    """Union of the polygons among the shapes; an empty polygon for none."""
    array = np.asarray(shapes, object)
    if not len(array):
        return shapely.Polygon()
    return polygons_only(shapely.union_all(array))


def polygons_only(shape: BaseGeometry) -> BaseGeometry:
    """The areal parts of a geometry as polygon or multipolygon."""
    parts = [p for p in shapely.get_parts(shapely.get_parts(shape)) if p.geom_type == "Polygon" and not p.is_empty]
    if len(parts) == 1:
        return parts[0]
    return shapely.multipolygons(parts) if parts else shapely.Polygon()
