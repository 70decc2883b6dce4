"""Pictures and drawn marks in the rows of a panel schedule: what one shows was not read.

It may be the breaker's GFCI: a dot in the column of GFCI, a tick of three strokes, a filled circle with a key.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely

from cordpath.circuits.panels.anchors import pitch
from cordpath.circuits.panels.columns import Field
from cordpath.circuits.panels.marks import is_yes, may_head_ticks
from cordpath.circuits.panels.tables import Half
from cordpath.circuits.panels.words import SKEW, TURNS, Text, is_read
from cordpath.geometry import boxes_around, hanging_together, lines, nodes
from cordpath.model import WHITE, Answer, BoolArray, FloatArray, Panel, PanelRow, Sheet
from cordpath.units import plain

IN_ROW = 0.6  # row pitches from the circuit's number to the middle of a picture in its row, as of its cells
IN_CELL = 0.8  # of the row pitch and of the column's width: larger fills are shading, longer strokes are rules
LEAST_MARK = 1.0  # pt: smaller pieces are specks
QUARTER = 90.0  # degrees by which the text of a header over a narrow column is turned
MARKED = ("gfci", "notes")  # columns in which a mark may stand for GFCI
SIZES = ("amperes", "poles")  # and those where a dot or a ring beside the size may
BESIDE = 2.0  # font sizes from a word to what is drawn as part of it; a gap between columns is wider
TOUCH = 0.35  # pt between the ends of the pieces of a ring: pens round to 1/600 in
LEAST_PIECES = 4  # of a ring or a box: fewer strokes are a tick, a dash or a piece of a rule


def with_unread(panel: Panel, halves: Sequence[Half], sheet: Sheet) -> Panel:
    """The panel; a row that shows no GFCI breaker and has a picture or a drawn mark in it is not known to lack one.

    ``halves`` of the panel; the sheet is in the frame in which they are read, see :func:`turned_sheet`."""
    pictures = np.array(sheet.unread_areas, float).reshape(-1, 4)
    for what, found in (
        ("picture", [(half, half, pictures) for half in halves]),
        ("mark", [(half, f, _marks(half, f, sheet)) for half in halves for f in half.fields if f.kind in MARKED]),
        ("dot or ring", [(h, f, _rounds(h, f, sheet)) for h in halves for f in h.fields if f.kind in SIZES]),
        ("tick under a turned header", _under_turned(halves, sheet)),
    ):
        asked = {name for half, across, areas in found for name in _beside(half, across, areas)}
        rows = tuple(_asked(row, what) if asked & set(row.circuits) else row for row in panel.rows)
        told = tuple(
            f"circuit {'/'.join(now.circuits)}: a {what} in its row was not read"
            for now, before in zip(rows, panel.rows, strict=True)
            if now is not before
        )
        panel = replace(panel, rows=rows, problems=(*panel.problems, *told))
    return panel


def turned_sheet(sheet: Sheet, turn: int) -> Sheet:
    """The sheet with its words, ink and unread areas in the frame of words that are read at ``turn`` degrees."""
    if not turn:
        return sheet
    turned = TURNS[turn].T

    def boxes(areas: FloatArray) -> FloatArray:
        ends = areas.reshape(-1, 2, 2) @ turned
        return np.concatenate([ends.min(axis=1), ends.max(axis=1)], axis=1)

    words = boxes(np.array([word.box for word in sheet.words], float)).tolist()
    return replace(
        sheet,
        words=tuple(
            replace(word, box=tuple(box), angle=(word.angle - turn) % 360)
            for word, box in zip(sheet.words, words, strict=True)
        ),
        fills=replace(sheet.fills, shape=shapely.transform(sheet.fills.shape, lambda xy: xy @ turned)),
        strokes=replace(sheet.strokes, xy=(sheet.strokes.xy.reshape(-1, 2, 2) @ turned).reshape(-1, 4)),
        unread_areas=tuple(map(tuple, boxes(np.array(sheet.unread_areas, float)).tolist())),
    )


def _under_turned(halves: Sequence[Half], sheet: Sheet) -> list[tuple[Half, Half | Field, FloatArray]]:
    """Ticks under headers of GFCI whose text is turned, as over a narrow column: half, column and (k, 4) boxes."""
    found: list[tuple[Half, Half | Field, FloatArray]] = []
    for word in sheet.words:
        if not QUARTER - SKEW <= word.angle % 180 <= QUARTER + SKEW or not may_head_ticks(plain(word.text)):
            continue
        x0, y0, x1, y1 = word.box
        beside = [half for half in halves if any(f.head.y1 >= y0 and f.head.y0 <= y1 for f in half.fields)]
        if not beside:
            continue
        half = min(beside, key=lambda half: max(half.x0 - x1, x0 - half.x1))
        head = Text(plain(word.text), x0, y0, x1, y1, word.size)
        over = Field("gfci", head, x0 - word.size, x1 + word.size)
        ticks = [
            w.box for w in sheet.words
            if is_yes(plain(w.text)) and over.x0 <= w.at[0] <= over.x1 and half.top < w.at[1] < half.bottom
        ]  # fmt: skip
        found.append((half, over, np.array(ticks, float).reshape(-1, 4)))
    return found


def _beside(half: Half, across: Half | Field, areas: FloatArray) -> set[str]:
    """Numbers of the circuits in whose row one of the (k, 4) areas stands, as far as ``across`` reaches."""
    x0, y0, x1, y1 = areas.T
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    rows = np.array([anchor.y for anchor in half.anchors])
    apart = np.abs(rows[:, None] - y[None, (x >= across.x0) & (x <= across.x1)])
    near = (apart <= IN_ROW * pitch(half.anchors)) & (apart == apart.min(axis=0, initial=np.inf))
    return {half.anchors[k].text for k in np.flatnonzero(near.any(axis=1))}


def _marks(half: Half, field: Field, sheet: Sheet) -> FloatArray:
    """(k, 4) boxes of small dark fills and strokes in a column, those at its words left out: their own, or a frame
    around one.  Of two columns with one header, the words of the one are not beside the marks of the other."""
    boxes = _small(
        half, field, np.concatenate([_filled(sheet), boxes_around(sheet.strokes.xy[sheet.strokes.ink()])])
    )
    words = [
        w for w in sheet.words
        if field.x0 <= w.at[0] <= field.x1 and half.top <= w.at[1] <= half.bottom and is_read(w)
    ]  # fmt: skip
    if not len(boxes) or not words:
        return boxes
    # A frame stands up to half a letter's size off.
    spare = [(w.box, w.size / 2, BESIDE * w.size) for w in words]
    rows = shapely.STRtree([shapely.box(x0 - x, y0 - y, x1 + x, y1 + y) for (x0, y0, x1, y1), y, x in spare])
    beside = rows.query(shapely.box(*boxes.T), predicate="intersects")[0]
    return np.delete(boxes, np.unique(beside), axis=0)


def _rounds(half: Half, field: Field, sheet: Sheet) -> FloatArray:
    """(k, 4) boxes of dots, and of rings of strokes, beside the words of a column: none in, under or around
    a word, nor on a line, as the joints of a drawn bus are."""
    xy = sheet.strokes.xy[sheet.strokes.ink()]
    small = _is_small(half, field, boxes_around(xy), least=0.0)
    boxes = _small(half, field, np.concatenate([_filled(sheet), _rings(xy[small])]))
    if not len(boxes):
        return boxes
    others = [*(shapely.box(*word.box) for word in sheet.words), *lines(xy[~small])]
    at = shapely.STRtree(others).query(shapely.box(*boxes.T), predicate="intersects")[0]
    return np.delete(boxes, np.unique(at), axis=0)


def _rings(xy: FloatArray) -> FloatArray:
    """(k, 4) boxes of strokes (n, 4) that hang together, where they are as many as a ring has."""
    if not len(xy):
        return np.zeros((0, 4))
    which = hanging_together(nodes(xy.reshape(-1, 2), TOUCH))
    order = np.argsort(which, kind="stable")
    first = np.searchsorted(which[order], np.arange(which.max() + 1))
    box = boxes_around(xy)[order]
    around = np.hstack([np.minimum.reduceat(box[:, :2], first), np.maximum.reduceat(box[:, 2:], first)])
    return np.asarray(around[np.bincount(which) >= LEAST_PIECES])


def _filled(sheet: Sheet) -> FloatArray:
    """(k, 4) boxes of dark fills."""
    fills = sheet.fills
    return shapely.bounds(fills.shape[(fills.luminance < WHITE) & (fills.opacity > 0)]).reshape(-1, 4)


def _small(half: Half, field: Field, boxes: FloatArray) -> FloatArray:
    """(k, 4) those of some boxes that lie in a column and are neither larger than a mark nor specks."""
    return np.asarray(boxes[_is_small(half, field, boxes, LEAST_MARK)])


def _is_small(half: Half, field: Field, boxes: FloatArray, least: float) -> BoolArray:
    """(n,) does a box lie in a column, and is it no larger than a mark?"""
    wide, high = (boxes[:, 2:] - boxes[:, :2]).T
    small = (wide <= IN_CELL * (field.x1 - field.x0)) & (high <= IN_CELL * pitch(half.anchors))
    inside = (boxes[:, 0] > field.x0) & (boxes[:, 2] < field.x1)
    inside &= (boxes[:, 1] > half.top) & (boxes[:, 3] < half.bottom)
    return np.asarray(small & inside & (wide + high >= least), bool)


def _asked(row: PanelRow, what: str) -> PanelRow:
    if row.gfci is not Answer.NO:
        return row
    return replace(row, gfci=Answer.UNKNOWN, text=f"{row.text} (and a {what} that was not read)")
