"""Shapes that nothing explains, with a circuit tag beside them that stands at no outlet.

A circuit tag is written for a device or for the end of a homerun.  Where its circuit has outlets of its own it is
taken for a homerun's; but a shape of a device's size beside it is what the tag was written for.

Terms: *body*, a left-over shape with ink enough to enclose something; *tag*, as in labels/texts.py.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import BoolArray, FloatArray, LabelEntry, Point, Sheet, Symbol, Unexplained
from cordpath.symbols.context import on_plan
from cordpath.symbols.labels.words import Reading, read
from cordpath.symbols.unexplained.unexplained import Left

CLOSE = 1.5  # text sizes between the shape and the middle of its tag; as far as most tags of devices stand
ARROWHEAD = 10.0  # pt: smaller shapes of few directions are the arrowheads of homeruns, which have tags as well
FEW_WAYS = 4
ROUNDING = 1e-6  # pt: of distances that are worked out twice


def told_tagged(
    left: Left | None, symbols: tuple[Symbol, ...], sheet: Sheet, labels: tuple[LabelEntry, ...], known: list[Point]
) -> tuple[Unexplained, ...]:
    """Bodies with a tag of their own; ``known``: places of what is told already."""
    boxes = _bodies(left)
    if not len(boxes) or not sheet.words:
        return ()
    outlets = np.array([symbol.footprint for symbol in symbols if symbol.is_outlet], object)
    places = shapely.box(*boxes.T)
    wanted = _with_tags(places, _tags(sheet, symbols, labels), outlets)
    told = shapely.points(np.array(known).reshape(-1, 2))
    wanted[shapely.STRtree(places).query(told, predicate="intersects")[1]] = False
    found = [middle for middle in map(_middle, places[wanted]) if on_plan(middle, sheet)]
    at = tuple(sorted(found, key=lambda point: (point[1], point[0])))
    if not at:
        return ()
    times = f", {len(at)} times" if len(at) > 1 else ""
    return (Unexplained(f"a shape with a circuit tag beside it that could not be matched{times}", at),)


def _bodies(left: Left | None) -> FloatArray:
    if left is None:
        return np.zeros((0, 4))
    groups = left.groups.take(~((left.groups.size <= ARROWHEAD) & (left.groups.ways <= FEW_WAYS)))
    return replace(left, groups=groups).bodies


def _middle(place: shapely.Polygon) -> Point:
    return float(place.centroid.x), float(place.centroid.y)


def _tags(sheet: Sheet, symbols: tuple[Symbol, ...], labels: tuple[LabelEntry, ...]) -> list[tuple[Point, float]]:
    """Middle and size of each circuit tag of the sheet's style."""
    panels = {
        str(value).rpartition("-")[0]
        for symbol in symbols if symbol.is_outlet
        for label in symbol.labels
        for name, value in label.sets if name == "circuit"
    }  # fmt: skip
    readings = ((word, read(word.text.strip(), labels)) for word in sheet.words)
    return [(word.at, word.size) for word, reading in readings if reading is not None and _is_tag(reading, panels)]


def _is_tag(reading: Reading, panels: set[str]) -> bool:
    if reading.kind == "circuit":
        return True
    return reading.kind == "number" and reading.panel is not None and reading.panel in panels


def _with_tags(
    places: NDArray[np.object_], tags: list[tuple[Point, float]], outlets: NDArray[np.object_]
) -> BoolArray:
    """(n,) shapes with a tag close to them that is closer to them than to any outlet."""
    points = shapely.points(np.array([at for at, _ in tags]).reshape(-1, 2))
    reach = CLOSE * np.array([size for _, size in tags])
    tag, place = shapely.STRtree(places).query(points, predicate="dwithin", distance=reach + ROUNDING)
    away = shapely.distance(places[place], points[tag])
    close = away <= reach[tag]
    tag, place, away = tag[close], place[close], away[close]
    pair, outlet = shapely.STRtree(outlets).query(points[tag], predicate="dwithin", distance=away + ROUNDING)
    nearer = shapely.distance(outlets[outlet], points[tag[pair]]) <= away[pair]
    own = np.ones(len(tag), bool)
    own[pair[nearer]] = False
    found = np.zeros(len(places), bool)
    found[place[own]] = True
    return found
