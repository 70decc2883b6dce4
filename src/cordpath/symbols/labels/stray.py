"""Labels of shapes that the mapping file does not name, taken for those of an outlet nearby.

A special outlet that nobody named has its GFI beside it: the next outlet within reach, which has no label of its
own, got it and was cleared.  A label that stands nearer to a shape that nothing explains, or that a leader joins to
one, is in doubt.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely

from cordpath.geometry import boxes_around, near_boxes
from cordpath.model import BoolArray, FloatArray, Label, Point, Sheet, Symbol, Word
from cordpath.symbols.labels.doubts import SETTLES, UNSURE
from cordpath.symbols.labels.leaders import Leaders, Loose
from cordpath.symbols.labels.nearness import unowned
from cordpath.symbols.labels.rings import RING

LINE_GAP = 4.0  # pt, half of a usual text's height: between lines of one label
LETTER = 0.3  # of the text size: half of a letter's width
EDGE = 0.5  # pt, about a pen: a stroke may reach so far out of its shape's box
TAGS, AT_OUTLET = 3, 9.0  # rings with one text, each so near an outlet (pt, 1/8 in), that are the tags of these
CIRCUIT = "circuit"
BESIDE_PT = 24.0  # from a shape to its label: most within 1/8 in, few beyond 3/8 (common practice, no source)


def doubted_by_shapes(symbols: tuple[Symbol, ...], sheet: Sheet, shapes: FloatArray) -> tuple[Symbol, ...]:
    """The symbols, with labels of outlets that a shape has nearer, or that a leader joins to it, as unsure ones.

    ``shapes``: (n, 4) boxes of what has the size and the body of a symbol and is explained by nothing.
    """
    outlets = [symbol for symbol in symbols if symbol.is_outlet]
    shapes = shapes[~_tags(shapes, outlets, sheet)] if len(shapes) else shapes
    labels = list(dict.fromkeys(label for each in outlets for label in each.labels if _settles(label)))
    if not len(shapes) or not labels:
        return symbols
    boxes = shapely.box(*shapes.T)
    words = _Words(sheet)
    texts = np.array([words.area(label) for label in labels], dtype=object)
    loose = Loose.of(sheet, unowned(symbols, sheet))
    inside = np.zeros(len(loose.xy), bool)
    inside[loose.which] = _inside(shapes, loose.xy[loose.which])
    leaders = Leaders.of(texts, loose.but(inside))
    led, _ = leaders.to(boxes)
    own = zip(*leaders.to(np.array([symbol.footprint for symbol in outlets], dtype=object)), strict=True)
    nearest = shapely.STRtree(boxes).query_nearest(texts, return_distance=True, all_matches=False)[1]
    near = _Near(
        dict(zip(labels, texts, strict=True)), dict(zip(labels, nearest.tolist(), strict=True)),
        frozenset(labels[k] for k in led.tolist()), frozenset((labels[k], outlets[s].at) for k, s in own),
    )  # fmt: skip
    done = tuple(_doubted(each, near) if each.is_outlet and each.labels else each for each in symbols)
    lost = [one.footprint for one, two in zip(symbols, done, strict=True) if one is not two]
    return tuple(_pushed(each, lost, near) if each.is_outlet and each.labels else each for each in done)


def _tags(shapes: FloatArray, outlets: list[Symbol], sheet: Sheet) -> BoolArray:
    """(n,) True for rings around a label where the sheet writes it so: several of them, and every one at the outlet
    that has the label.  One that stands by itself, or that no outlet has, may be an outlet drawn so.  Of circuits,
    each of which says something else, those count that outlets have."""
    areas = shapely.box(*np.array([word.box for word in sheet.words]).reshape(-1, 4).T)
    word, shape = shapely.STRtree(shapely.box(*shapes.T)).query(areas, predicate="covered_by")
    room = np.array([RING * 2 * each.size for each in sheet.words])[word]
    sides = [each[:, 2:] - each[:, :2] for each in (shapes[shape], shapely.bounds(areas)[word])]
    ring = (sides[0] <= sides[1] + room[:, None]).all(1)
    given = [(label, each.footprint) for each in outlets for label in each.labels if _settles(label)]
    alike = {label.text: CIRCUIT for label, _ in given if label.sets and label.sets[0][0] == CIRCUIT}
    at: dict[str, set[int]] = {}
    for k in word[ring].tolist():
        at.setdefault(alike.get(sheet.words[k].text, sheet.words[k].text), set()).add(k)
    found = np.zeros(len(shapes), bool)
    for said, ringed in at.items():
        own = [(label.at, body) for label, body in given if alike.get(label.text, label.text) == said]
        has = {
            k for k in ringed
            if any(math.dist(sheet.words[k].at, place) <= EDGE and shapely.distance(areas[k], body) <= AT_OUTLET
                   for place, body in own)
        }  # fmt: skip
        ringed = has if said == CIRCUIT else ringed
        if len(ringed) >= TAGS and ringed == has:
            found[shape[ring & np.isin(word, list(ringed))]] = True
    return found


def _inside(shapes: FloatArray, xy: FloatArray) -> BoolArray:
    """(n,) True for strokes of the shapes themselves: a bar of one that points at an outlet is no leader to it."""
    boxes = boxes_around(xy)
    near = np.flatnonzero(near_boxes(boxes, shapes, EDGE))
    around = shapely.buffer(shapely.box(*shapes.T), EDGE, join_style="mitre")
    stroke, _ = shapely.STRtree(around).query(shapely.box(*boxes[near].T), predicate="covered_by")
    found = np.zeros(len(xy), bool)
    found[near[stroke]] = True
    return found


@dataclass(frozen=True)
class _Near:
    """Labels that may clear an outlet: the area of each, the gap in pt to the nearest shape, those with a leader to
    a shape, and those with one to an outlet, by its place."""

    text: dict[Label, Any]
    gap: dict[Label, float]
    led: frozenset[Label]
    own: frozenset[tuple[Label, Point]]

    def why(self, label: Label, symbol: Symbol) -> str | None:
        """Why a label of an outlet may be a shape's; None where nothing speaks for it."""
        if label in self.led:
            return f"a line leads from label {label.text} to a shape that the mapping file does not name"
        if label not in self.text or (label, symbol.at) in self.own:
            return None
        if self.gap[label] > min(float(shapely.distance(symbol.footprint, self.text[label])), BESIDE_PT):
            return None
        return f"label {label.text} stands nearer to a shape that the mapping file does not name"

    def pushed(self, label: Label, symbol: Symbol, lost: list[Any]) -> bool:
        """Does a label stand nearer to an outlet whose own label is now a shape's?  That one had pushed it off."""
        if label not in self.text or (label, symbol.at) in self.own:
            return False
        here = float(shapely.distance(symbol.footprint, self.text[label]))
        return any(shapely.distance(other, self.text[label]) < here for other in lost)

    def stand_together(self, one: Label, other: Label) -> bool:
        """Is a label another one, or a line over or under it?"""
        return one in self.text and shapely.distance(self.text[one], self.text[other]) <= LINE_GAP


def _settles(label: Label) -> bool:
    return any(name in SETTLES for name, _ in label.sets)


class _Words:
    """The sheet's words by what they say and by place."""

    def __init__(self, sheet: Sheet) -> None:
        self.boxes = np.array([word.box for word in sheet.words]).reshape(-1, 4)
        self.said: dict[str, list[Word]] = {}
        for word in sheet.words:
            self.said.setdefault(word.text, []).append(word)

    def area(self, label: Label) -> Any:
        """The text of a label as an area of the sheet, its place where its words are not found."""
        half = LETTER * len(label.text)
        own = (word for text in set(label.text.split()) for word in self.said.get(text, ()))
        words = [word.box for word in own if math.dist(word.at, label.at) <= half * word.size]
        x, y = label.at
        x0, y0, x1, y1 = self.boxes.T
        words += self.boxes[(x0 <= x) & (x <= x1) & (y0 <= y) & (y <= y1)].tolist()
        return shapely.union_all(shapely.box(*np.array(words).T)).envelope if words else shapely.Point(label.at)


def _doubted(symbol: Symbol, near: _Near) -> Symbol:
    said = {label: why for label in symbol.labels if (why := near.why(label, symbol)) is not None}
    if not said:
        return symbol
    labels = tuple(
        _unsure(label) if any(near.stand_together(label, other) for other in said) else label
        for label in symbol.labels
    )
    fresh = tuple(dict.fromkeys(reason for reason in said.values() if reason not in symbol.reasons))
    return replace(symbol, labels=labels, reasons=(*symbol.reasons, *fresh))


def _pushed(symbol: Symbol, lost: list[Any], near: _Near) -> Symbol:
    """The outlet, with the labels that another's label, now doubted, had pushed to it as unsure ones."""
    off = [label for label in symbol.labels if near.pushed(label, symbol, lost)]
    if not off:
        return symbol
    labels = tuple(_unsure(label) if label in off else label for label in symbol.labels)
    fresh = tuple(dict.fromkeys(f"label {label.text} may belong to a neighbour" for label in off))
    return replace(symbol, labels=labels, reasons=tuple(dict.fromkeys((*symbol.reasons, *fresh))))


def _unsure(label: Label) -> Label:
    return replace(label, sets=tuple((f"{name}_unsure" if name in UNSURE else name, v) for name, v in label.sets))
