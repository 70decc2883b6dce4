"""Where a plan stops and another sheet goes on: the match line, and the rooms that it cuts.

Terms: *match line*, the long line, mostly of dashes and dots, along which two sheets meet, with MATCH LINE written
beside it; *strip*, what a match line leaves of a room on its side, however narrow.

What lies beyond is not on this sheet: a cut room is no outdoors, and a sink may stand one step beyond the line.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import directions, lengths, lines
from cordpath.model import FloatArray, Sheet, Strokes, View, Word
from cordpath.rooms.building import Building
from cordpath.rooms.ink import polygons_only, union
from cordpath.rooms.names.kinds import DOUBT, Draft

WHOLE = ("MATCHLINE", "MATCH-LINE", "MATCHLINES")
AROUND_FT = 12.0  # from a view to the name of its match line
BESIDE = 2.5  # sizes of the letters by which a match line lies off its name, and
ON = 8.0  # by which the name goes on after its first word
MOST = 60  # strokes near a name that are followed
ASIDE = 0.8  # pt by which pieces of one line may miss each other
LEAST_FT = 12.0  # a match line crosses a building
DRAWN = 0.4  # share of its length that dashes and dots cover
DASHES = 8  # pieces of a line of loose dashes; a wall has fewer on either side of its openings
ALONG = 5.0  # degrees by which a name may be turned from the line that it runs beside
THIN_IN = 1.0  # half the width of the barrier that it makes
STRIP_SQFT = 0.5  # least floor of a strip


def match_lines(sheet: Sheet, view: View, inch: float) -> BaseGeometry:
    """The match lines of a view, as lines from their first stroke to their last; empty where there are none.

    ``inch``: points of an inch of the building.
    """
    reach = shapely.box(*view.box).buffer(AROUND_FT * 12 * inch)
    named = [word for word in _names(sheet.words) if reach.intersects(_box(word))]
    if not named:
        return shapely.MultiLineString()
    ink = sheet.strokes.take(sheet.strokes.ink())
    ink = ink.take(lengths(ink.xy) > 0)
    found = [line for word in named if (line := _line(ink, word, 12 * inch)) is not None]
    return shapely.union_all(found) if found else shapely.MultiLineString()


def _box(word: Word) -> BaseGeometry:
    return shapely.box(*word.box)


def _names(words: tuple[Word, ...]) -> list[Word]:
    """The words MATCH before a LINE, and MATCHLINE."""
    out = []
    for k, word in enumerate(words):
        text = word.text.upper().strip(".:-")
        after = [w.text.upper().strip(".:-") for w in words[k + 1 : k + 2] if w.line == word.line]
        if text in WHOLE or (text == "MATCH" and after and after[0] in ("LINE", "LINES")):
            out.append(word)
    return out


def _line(ink: Strokes, word: Word, foot: float) -> BaseGeometry | None:
    """The line that a name is written at: one of dashes before others, of those one that the name runs beside,
    of those the longest.  A wall that runs past the name is longer than the match line as often as not."""
    name = _box(word).buffer((BESIDE + ON) * word.size)
    beside = _box(word).buffer(BESIDE * word.size)
    xy = ink.xy
    near = np.flatnonzero(shapely.intersects(lines(xy), name)) if len(xy) else np.zeros(0, np.int64)
    angle = directions(xy)
    best: tuple[tuple[bool, bool, float], BaseGeometry] | None = None
    for k in near[np.argsort(-lengths(xy[near]), kind="stable")][:MOST].tolist():
        line, drawn, dashed = _along(ink, float(angle[k]), xy[k, :2])
        if line.length < LEAST_FT * foot or drawn < DRAWN * line.length:
            continue
        turned = (float(np.degrees(angle[k])) + word.angle + 90) % 180 - 90  # y is down, the name's angle is not
        rank = (dashed, abs(turned) <= ALONG and beside.intersects(line), round(float(line.length), 1))
        if best is None or rank > best[0]:
            best = rank, line
    return None if best is None else best[1]


def _along(ink: Strokes, angle: float, through: FloatArray) -> tuple[BaseGeometry, float, bool]:
    """The line through a point, from the first to the last stroke that lies on it, how much of it they draw, and
    whether in dashes."""
    u = np.array([np.cos(angle), np.sin(angle)])
    n = np.array([-u[1], u[0]])
    offset = float(through @ n)
    mine = (np.abs(ink.xy.reshape(-1, 2) @ n - offset).reshape(-1, 2) <= ASIDE).all(1)
    ends = np.sort((ink.xy[mine].reshape(-1, 2) @ u).reshape(-1, 2), axis=1)
    ends = ends[np.argsort(ends[:, 0])]
    reach = np.maximum.accumulate(np.r_[ends[0, 0], ends[:-1, 1]])
    drawn = float(np.maximum(0.0, ends[:, 1] - np.maximum(reach, ends[:, 0])).sum())
    low, high = float(ends[:, 0].min()), float(ends[:, 1].max())
    dashed = bool(ink.dashed[mine].any() or len(ends) >= DASHES)
    return shapely.LineString([u * low + n * offset, u * high + n * offset]), drawn, dashed


def cut_off(building: Building, at: BaseGeometry) -> Building:
    """The building with its match lines as barriers, as far as it reaches: cut rooms are no outdoors."""
    if at.is_empty:
        return building
    reach = building.hull.buffer(12 * building.inch)
    strip = at.intersection(reach).buffer(THIN_IN * building.inch, cap_style="flat")
    return replace(building, barrier=polygons_only(union([building.barrier, strip])))


def strips(building: Building, drafts: list[Draft], outside: BaseGeometry, at: BaseGeometry) -> list[Draft]:
    """What match lines leave of rooms that is too narrow for a room."""
    inch = building.inch
    if at.is_empty:
        return []
    rest = building.hull.difference(union([building.barrier, outside, *(draft.polygon for draft in drafts)]))
    near = at.buffer((THIN_IN + 1.0) * inch)
    parts = shapely.get_parts(polygons_only(rest))
    return [
        Draft(part, None, None, confidence=DOUBT)
        for part in parts
        if part.area >= STRIP_SQFT * (12 * inch) ** 2 and part.intersects(near)
    ]
