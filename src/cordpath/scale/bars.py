"""Graphic scale bars: a ruler drawn on the sheet, with the lengths in the building written along it.

Terms: *bar*, filled and empty boxes in turn, or a line with ticks.  *Figure*, a number written at a mark of
the bar.  *Row*, the figures of one bar, from 0 to the right.  *Mark*, an edge of a box or a tick.  *Along* and
*across*, coordinates in the frame of the row's reading direction.

A bar shrinks with the print, so unlike a note it tells the scale of the very sheet that it is on.  How bars are
drawn: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np
import shapely

from cordpath.geometry import group_boxes, hull
from cordpath.model import POINTS_PER_INCH, Box, FloatArray, Sheet, Strokes, Word
from cordpath.units import INCHES_PER_METRE, inches, plain

UNITS_IN = {
    "'": 12.0, "FT": 12.0, "FEET": 12.0, "FOOT": 12.0, "M": INCHES_PER_METRE, "METERS": INCHES_PER_METRE,
    "METRES": INCHES_PER_METRE, "METER": INCHES_PER_METRE, "METRE": INCHES_PER_METRE, "MM": INCHES_PER_METRE / 1000,
    "CM": INCHES_PER_METRE / 100, "IN": 1.0, "INCHES": 1.0, '"': 1.0,
}  # fmt: skip
NUMBER = re.compile(r"(?P<value>\d{1,5}(?:\.\d+)?)\s*(?P<unit>'|\"|[A-Z]{1,6}\.?)?")
ROW = 0.5  # of the text size: how far figures of one row stand off its line
SAME_SIZE = 0.15  # relative: figures of one row are written in one size
WIDEST = 40.0  # of the text size, between neighbouring figures of a row
WINDOW = 3.5  # of the text size, from the figures to the bar
OFFSET = 1.5  # of the text size, from a figure to its mark: figures stand over, or just beside it
EVEN = 0.8  # of the text size: figures of one bar all stand off their marks alike, as far as this
EXACT = 0.5  # pt: how far marks may lie off even spacing: rounding at both ends and half a thin pen
SHORTEST = 40.0  # pt drawn; over a shorter bar rounding and pen width are about 1 %
TALLEST = 30.0  # pt across: longer strokes are walls and sheet borders
COVERED = 0.95  # of the bar's length: how much of it lines or boxes fill
UNIT_REACH = 8.0  # of the text size, from the bar to a word that tells its unit
MOST_MARKS = 6  # tried for one figure
MOST_FIGURES = 12
FEWEST_BARE = 3  # figures of a bar without a unit: fewer may be any numbers at any marks
LEAST_RATIO = 4.0  # a ruler that shows the house larger than this tells the size of the print


@dataclass(frozen=True)
class Bar:
    """A bar with its ratio; ``drawn`` is its length, points.

    ``bare``: no unit is written, and the ratio is that for feet.
    """

    ratio: float
    drawn: float
    text: str
    box: Box
    words: tuple[Word, ...]
    bare: bool = False


def find_bars(sheet: Sheet) -> tuple[Bar, ...]:
    """The bars of a sheet, in the order of their zeros among its words."""
    zeros = [word for word in sheet.words if (said := _figure(word)) is not None and said[0] == 0.0]
    found = []
    for angle in sorted({round(word.angle % 360.0, 1) for word in zeros}):
        field = Field.of(sheet, angle)
        found += [bar for zero in zeros if round(zero.angle % 360.0, 1) == angle
                  and (bar := field.bar(zero)) is not None]  # fmt: skip
    return tuple(bar for bar in found if bar.ratio >= LEAST_RATIO)


def _figure(word: Word) -> tuple[float, str | None] | None:
    """The number that a word is, with the unit written to it."""
    said = plain(word.text)
    match = NUMBER.fullmatch(said)
    if match is not None:
        unit = (match["unit"] or "").rstrip(".") or None
        return (float(match["value"]), unit) if unit is None or unit in UNITS_IN else None
    length = inches(said) if said[:1].isdigit() and len(said) < 10 else None
    return (length / 12.0, "'") if length is not None else None


@dataclass(frozen=True, eq=False)
class Field:
    """The sheet in the frame of one reading direction."""

    turn: FloatArray  # (2, 2) page to (along, across)
    words: list[tuple[float, float, float, Word]]  # along, across, half length of every word of this direction
    marks: FloatArray  # (m, 3) along, least and most across: strokes and box edges that stand across
    bodies: FloatArray  # (b, 4) along from and to, least and most across: lines and boxes that run along

    @staticmethod
    def of(sheet: Sheet, angle: float) -> Field:
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        turn = np.array([[c, -s], [s, c]])
        words = []
        for word in sheet.words:
            if abs((word.angle - angle + 180.0) % 360.0 - 180.0) < 2.0:
                at, across = turn @ np.array(word.at)
                x0, y0, x1, y1 = word.box
                half = float(np.abs(turn[0]) @ np.array([x1 - x0, y1 - y0])) / 2
                words.append((float(at), float(across), half, word))
        marks, bodies = _drawn(sheet.strokes, sheet, turn)
        return Field(turn, words, marks, bodies)

    def bar(self, zero: Word) -> Bar | None:
        """The bar that begins at a zero: its longest row of figures that fits marks."""
        row = self._row(zero)
        if len(row) < 2:
            return None
        size, across = zero.size, float((self.turn @ np.array(zero.at))[1])
        near = (self.marks[:, 1] <= across + WINDOW * size) & (self.marks[:, 2] >= across - WINDOW * size)
        marks = np.unique(self.marks[near, 0].round(2))
        tried = (self._bar(zero, row[:count], marks) for count in range(len(row), 1, -1))
        return next((bar for bar in tried if bar is not None), None)

    def _bar(self, zero: Word, row: list[tuple[float, float, float, Word]], marks: FloatArray) -> Bar | None:
        size, across = zero.size, float((self.turn @ np.array(zero.at))[1])
        figures = self._read(row)
        fit = _fitted(figures, marks, size)
        if fit is None:
            return None
        start, end = fit
        inside = (self.bodies[:, 2] <= across + WINDOW * size) & (self.bodies[:, 3] >= across - WINDOW * size)
        if _share(self.bodies[inside, :2], start, end) < COVERED:
            return None
        unit = self._unit(row, across, (start, end), size)
        words = tuple(word for _, _, _, word in row)
        written = any(said is not None and said[1] for said in map(_figure, words))
        if unit is None and (written or len(row) < FEWEST_BARE):
            return None
        ratio = figures[-1][0] * UNITS_IN[unit or "FT"] * POINTS_PER_INCH / (end - start)
        text = " ".join(word.text for word in words)
        if unit is not None and not written:
            text = f"{text} {unit}"
        return Bar(ratio, end - start, text, hull(word.box for word in words), words, unit is None)

    def _row(self, zero: Word) -> list[tuple[float, float, float, Word]]:
        """The zero and the growing numbers to its right."""
        at, across = self.turn @ np.array(zero.at)
        level = [w for w in self.words if w[0] >= at and abs(w[1] - across) <= ROW * zero.size]
        right = sorted(
            (w for w in level if abs(w[3].size - zero.size) <= SAME_SIZE * zero.size), key=lambda w: w[0]
        )
        row: list[tuple[float, float, float, Word]] = []
        for word in right[: 2 * MOST_FIGURES]:
            said = _figure(word[3])
            if said is None:
                continue
            last = _figure(row[-1][3]) if row else None
            far = bool(row) and word[0] - row[-1][0] > WIDEST * zero.size
            if far or (last is not None and said[0] <= last[0]):
                break
            row.append(word)
        return row[:MOST_FIGURES]

    def _read(self, row: list[tuple[float, float, float, Word]]) -> list[tuple[float, float]]:
        """(value, place along) of the figures; the place is the middle of the digits, without the unit."""
        read = []
        for at, _, half, word in row:
            said = _figure(word)
            text = plain(word.text)
            digits = len(re.match(r"[\d.]+", text).group()) if said else len(text)  # type: ignore[union-attr]
            read.append((said[0] if said else 0.0, at - half + half * digits / max(len(text), 1)))
        return read

    def _unit(
        self, row: list[tuple[float, float, float, Word]], across: float, span: tuple[float, float], size: float
    ) -> str | None:
        """The unit at a figure, else the one in the words nearest to the bar; None where two are told or none."""
        told = [said[1] for _, _, _, w in row if (said := _figure(w)) is not None and said[1]]
        if told:
            return told[-1] if len({UNITS_IN[unit] for unit in told}) == 1 else None
        mine = {id(w) for _, _, _, w in row}
        near: list[tuple[float, str]] = []
        for at, off, half, word in self.words:
            unit = re.sub(r"[^A-Z]", "", plain(word.text))
            away = max(span[0] - at - half, at - half - span[1], 0.0) + abs(off - across)
            # The word IN stands in "scale in feet" more often than for inches.
            if id(word) not in mine and unit in UNITS_IN and unit != "IN" and away <= UNIT_REACH * size:
                near.append((away, unit))
        return min(near)[1] if near else None


def _drawn(strokes: Strokes, sheet: Sheet, turn: FloatArray) -> tuple[FloatArray, FloatArray]:
    """What may be marks and bodies: strokes that a reader sees, and boxes that are filled."""
    xy = strokes.xy[strokes.ink()]
    ends = (xy.reshape(-1, 2) @ turn.T).reshape(-1, 4)
    run = np.abs(ends[:, 2:] - ends[:, :2])
    low, high = np.minimum(ends[:, 1], ends[:, 3]), np.maximum(ends[:, 1], ends[:, 3])
    across = (run[:, 0] < 0.1 * run[:, 1]) & (run[:, 1] <= TALLEST) & (run[:, 1] > 0.5)
    along = (run[:, 1] < 0.05 * run[:, 0]) & (run[:, 0] > 1.0)
    marks = [np.column_stack([(ends[across, 0] + ends[across, 2]) / 2, low[across], high[across]])]
    left, right = np.minimum(ends[along, 0], ends[along, 2]), np.maximum(ends[along, 0], ends[along, 2])
    bodies = [np.column_stack([left, right, low[along], high[along]])]
    if len(sheet.fills):
        bounds = shapely.bounds(sheet.fills.shape)
        slight = np.minimum(bounds[:, 2] - bounds[:, 0], bounds[:, 3] - bounds[:, 1]) <= TALLEST
        corner, owner = shapely.get_coordinates(sheet.fills.shape[slight], return_index=True)
        turned = corner @ turn.T
        box = group_boxes(np.hstack([turned, turned]), owner, int(owner.max(initial=-1)) + 1)
        box = box[(box[:, 3] - box[:, 1] <= TALLEST) & np.isfinite(box).all(axis=1)]
        marks += [box[:, [0, 1, 3]], box[:, [2, 1, 3]]]
        bodies.append(box[:, [0, 2, 1, 3]])
    return np.concatenate(marks), np.concatenate(bodies)


def _fitted(figures: list[tuple[float, float]], marks: FloatArray, size: float) -> tuple[float, float] | None:
    """The marks of the first and the last figure, where every figure between has a mark in its place."""
    values = np.array([value for value, _ in figures])
    places = np.array([place for _, place in figures])
    if not len(marks) or values[-1] <= values[0]:
        return None
    share = (values - values[0]) / (values[-1] - values[0])
    best: tuple[float, float, float, float] | None = None
    for start, end in product(_close(marks, places[0], size), _close(marks, places[-1], size)):
        if end - start < SHORTEST:
            continue
        wanted = start + share * (end - start)
        off = np.abs(marks[:, None] - wanted[None, :]).min(axis=0)
        lean = places - wanted
        spread = float(lean.max() - lean.min())
        if off.max() > EXACT or spread > EVEN * size or (len(values) == 2 and not _divided(marks, start, end)):
            continue
        if not _rival(best, spread, lean):
            best = (round(spread, 2), float(np.abs(lean).mean()), start, end)
    return (best[2], best[3]) if best else None


def _rival(best: tuple[float, float, float, float] | None, spread: float, lean: FloatArray) -> bool:
    """Is what was found before better."""
    return best is not None and (best[0], best[1]) <= (round(spread, 2), float(np.abs(lean).mean()))


def _divided(marks: FloatArray, start: float, end: float) -> bool:
    """Is the way between two marks divided evenly: two figures alone are too little to make a bar."""
    for count in range(2, 11):
        wanted = start + (end - start) * np.arange(1, count) / count
        if np.abs(marks[:, None] - wanted[None, :]).min(axis=0).max() <= EXACT:
            return True
    return False


def _close(marks: FloatArray, place: float, size: float) -> Iterator[float]:
    away = np.abs(marks - place)
    order = np.argsort(away, kind="stable")[:MOST_MARKS]
    return (float(marks[k]) for k in order if away[k] <= OFFSET * size)


def _share(spans: FloatArray, start: float, end: float) -> float:
    """How much of start to end the spans cover together, 0 to 1."""
    cut = np.clip(spans, start, end)
    cut = cut[np.argsort(cut[:, 0])]
    if not len(cut):
        return 0.0
    reached = np.concatenate([[start], np.maximum.accumulate(cut[:, 1])[:-1]])
    return float(np.maximum(cut[:, 1] - np.maximum(cut[:, 0], reached), 0.0).sum() / (end - start))
