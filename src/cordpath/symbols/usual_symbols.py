"""Symbols of ``usual: true`` entries: appliances with their letters, basins and tubs by their shape.

Terms: as in usual_shapes.py.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import in_box, lines
from cordpath.model import (
    BASIN_KINDS,
    TUB_KINDS,
    BoolArray,
    Box,
    FloatArray,
    IntArray,
    Kind,
    Mapping,
    Mark,
    Point,
    PolylineMark,
    Scale,
    Sheet,
    Symbol,
    SymbolEntry,
    TextMark,
    View,
)  # fmt: skip
from cordpath.symbols.appliance_shapes import SIZES, named_boxes
from cordpath.symbols.fixture_shapes import LONGEST, Drained, drained, measured_views, owned_ink
from cordpath.symbols.normalise import Ink
from cordpath.symbols.rings import share_of
from cordpath.symbols.usual_shapes import BETWEEN, Basin, off_middle, rimmed, usual_kind

ROOMY = 0.3  # of a box's side by which its letters stand off its middle at most
PLAIN = 0.98  # of its rectangle that a plain box covers
AROUND = 30.0  # inches about a basin within which ink may be its rim, or make something else of it
SAME_BOWL = 1.02  # of its area up to which an outline is the same
OVERFLOW = 0.6  # of the drain's size that a second circle in the bowl may have: an overflow, a tap hole
LINE = 0.6  # pt that a stroke of an outline may lie off it
CONFIDENCE = 0.95  # under that of a shape of the mapping file that is drawn in full


def usual_entries(mapping: Mapping) -> dict[Kind, SymbolEntry]:
    """The entries that are drawn in the usual way, by their kind; the first of each counts."""
    out: dict[Kind, SymbolEntry] = {}
    for entry in mapping.symbols:
        if entry.usual:
            out.setdefault(entry.kind, entry)
    return out


def usual_boxes(
    sheet: Sheet, ink: Ink, symbols: tuple[Symbol, ...], scales: tuple[Scale, ...], mapping: Mapping
) -> tuple[Symbol, ...]:
    """Appliances as a plain box of their size with their letters in its middle."""
    entries = {kind: entry for kind, entry in usual_entries(mapping).items() if kind in SIZES}
    if not entries:
        return ()
    taken = shapely.union_all([symbol.footprint for symbol in symbols if symbol.found and symbol.is_fixture])
    out: list[Symbol] = []
    for view, inch in measured_views(sheet, scales):
        for box in named_boxes(sheet, ink, symbols, view, inch):
            entry = entries.get(box.kind)
            if entry is None or box.letters is None or taken.intersects(box.footprint.centroid):
                continue
            if _lettered(box.letters, box.footprint):
                words = tuple(word.text for word in sheet.words if in_box(word.at, box.letters))
                out.append(_boxed(entry, box.footprint, words, ink, view, inch))
    return tuple(out)


def _lettered(letters: Box, box: BaseGeometry) -> bool:
    """Do the letters stand about the middle of a plain box?"""
    x0, y0, x1, y1 = letters
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2, 0.0])
    return share_of(box) >= PLAIN and max(off_middle(box, middle)) <= ROOMY


def _boxed(
    entry: SymbolEntry, box: BaseGeometry, words: tuple[str, ...], ink: Ink, view: View, inch: float
) -> Symbol:
    middle = (float(box.centroid.x), float(box.centroid.y))
    ring = tuple(_in_inches(point, middle, inch) for point in shapely.get_coordinates(box)[:-1])
    shape: tuple[Mark, ...] = (PolylineMark(ring, closed=True), *(TextMark(text, (0.0, 0.0)) for text in words))
    return as_found(replace(entry, shape=shape), box, box, ink, view)


def _in_inches(point: FloatArray, middle: Point, inch: float) -> Point:
    return (float(point[0] - middle[0]) / inch, float(point[1] - middle[1]) / inch)


def as_found(entry: SymbolEntry, outline: BaseGeometry, edge: BaseGeometry, ink: Ink, view: View) -> Symbol:
    """A fixture told by its usual shape; the strokes within its outline are its own."""
    x0, y0, x1, y1 = outline.bounds
    xy = ink.xy[: ink.count]
    near = (np.minimum(xy[:, :2], xy[:, 2:]) >= (x0 - 1, y0 - 1)).all(1)
    own = np.flatnonzero(near & (np.maximum(xy[:, :2], xy[:, 2:]) <= (x1 + 1, y1 + 1)).all(1))
    own = own[shapely.covers(outline.buffer(LINE), lines(xy[own]))]
    return Symbol(
        entry=entry, at=(float(outline.centroid.x), float(outline.centroid.y)), angle=0.0, mirrored=False,
        drawn_size=1.0, confidence=CONFIDENCE, found=True, view=view.id, footprint=outline,
        strokes=ink.strokes_of(own), edge=edge,
    )  # fmt: skip


def measured_to(entry: SymbolEntry, bowls: BaseGeometry, outline: BaseGeometry) -> BaseGeometry:
    """Distances run to the bowls of a basin and to the outside of a tub, unless the mapping file says otherwise."""
    inner = entry.edge == "inner" or (entry.edge is None and entry.kind in BASIN_KINDS)
    return bowls if inner else outline


def reopened(symbols: tuple[Symbol, ...], usual: dict[Kind, SymbolEntry]) -> tuple[Symbol, ...]:
    """Doubtful basins and tubs, of which the usual drawing may be what is there."""
    kinds: set[str] = set()
    for group in (BASIN_KINDS, TUB_KINDS):
        kinds |= group if group & set(usual) else frozenset()
    return tuple(symbol for symbol in symbols if symbol.kind in kinds and not symbol.found)


def without_doubles(
    symbols: tuple[Symbol, ...], more: tuple[Symbol, ...], usual: dict[Kind, SymbolEntry]
) -> tuple[Symbol, ...]:
    """The symbols without doubtful basins and tubs at the place of one that is drawn in the usual way."""
    doubtful = {id(symbol) for symbol in reopened(symbols, usual)}
    sure = shapely.union_all([symbol.footprint for symbol in more if symbol.found])
    return tuple(s for s in symbols if id(s) not in doubtful or not sure.covers(s.footprint.centroid))


def usual_basins(
    sheet: Sheet, ink: Ink, symbols: tuple[Symbol, ...], scales: tuple[Scale, ...], mapping: Mapping
) -> tuple[Symbol, ...]:
    """``symbols`` with the basins and tubs drawn in the usual way, in place of doubts about the same ink."""
    usual = usual_entries(mapping)
    doubtful = {id(symbol) for symbol in reopened(symbols, usual)}
    settled = tuple(symbol for symbol in symbols if id(symbol) not in doubtful)
    if not usual:
        return symbols
    words = np.array([word.at for word in sheet.words], float).reshape(-1, 2)
    owned = owned_ink(ink, symbols)
    out: list[Symbol] = []
    for view, inch in measured_views(sheet, scales):
        found = drained(sheet, ink, settled, view, inch)
        for basin in _basins(found if isinstance(found, list) else [], inch):
            near = ink.xy[_near(ink, owned, basin.outline, inch)]
            basin = rimmed(basin, near, inch)
            kind = usual_kind(basin, near, words, inch)
            entry = usual.get(kind) if kind is not None else None
            if entry is not None:
                edge = measured_to(entry, shapely.union_all(list(basin.bowls)), basin.outline)
                out.append(as_found(entry, basin.outline, edge, ink, view))
    return without_doubles(symbols, tuple(out), usual) + tuple(out)


def _near(ink: Ink, owned: BoolArray, outline: BaseGeometry, inch: float) -> IntArray:
    """Segments near an outline that no symbol explains, and that are no walls."""
    x0, y0, x1, y1 = outline.buffer(AROUND * inch).bounds
    xy = ink.xy[: ink.count]
    near = (np.minimum(xy[:, :2], xy[:, 2:]) >= (x0, y0)).all(1) & (
        np.maximum(xy[:, :2], xy[:, 2:]) <= (x1, y1)
    ).all(1)
    short = (ink.run[: ink.count] < LONGEST * inch) | ink.curved[: ink.count]
    return np.flatnonzero(near & short & ~owned[: ink.count])


def _basins(found: list[Drained], inch: float) -> list[Basin]:
    """Basins with their own bowls: what surrounds a tap's circle is no bowl; two bowls without a rim are one."""
    out = [_basin(each) for each in found]
    lone = [basin for basin in out if basin.rim is None and len(basin.bowls) == 1]
    taken: set[int] = set()
    for k, one in enumerate(lone):
        near = [
            b for b in lone[k + 1 :] if id(b) not in taken and b.outline.distance(one.outline) <= BETWEEN * inch
        ]
        if len(near) == 1 and id(one) not in taken:
            taken |= {id(one), id(near[0])}
            out.append(Basin(one.bowls + near[0].bowls, None, np.concatenate([one.drains, near[0].drains])))
    return [basin for basin in out if id(basin) not in taken]


def _basin(found: Drained) -> Basin:
    bowls: list[BaseGeometry] = []
    drains: list[FloatArray] = []
    for bowl, drain in sorted(found.parts, key=lambda part: (part[0].area, -part[1][2])):
        if any(bowl.covers(old.representative_point()) for old in bowls):
            same = next((k for k, old in enumerate(bowls) if bowl.area < SAME_BOWL * old.area), None)
            if same is not None and drain[2] > OVERFLOW * drains[same][2]:
                drains.append(drain)  # two drains in one bowl: it is not clear what that is
            continue
        bowls.append(bowl)
        drains.append(drain)
    whole = shapely.union_all(bowls)
    rim = found.rim if found.rim.area > SAME_BOWL * whole.area else None
    return Basin(tuple(bowls), rim, np.array(drains))
