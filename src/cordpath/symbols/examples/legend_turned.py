"""Legends that are not written in rows from the left: on end or upside down, as on a plan laid so on its page, or
in a grid of captions.  They are turned, or laid out, and read as if they stood upright and in rows.

A turned or moved symbol is the same symbol, so nothing but the place of a row has to be put back.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely

from cordpath.geometry import grown, in_box
from cordpath.model import Box, FloatArray, Sheet, Word
from cordpath.symbols.examples.legend_captions import TEXT, Cell, cells_in, laid_out, row_at
from cordpath.symbols.examples.legend_lines import LINE_STEP, UPRIGHT, letters_of, lines_of, wrapped

MOSTLY = 0.5  # of the letters of a legend stand on end, or upside down
AROUND = 2.0  # pt about a sign: what its picture shows, and where it is known to be drawn


@dataclass(frozen=True, eq=False)
class Way:
    """A sheet as it is, or turned so that legends on end are upright.  ``quarters``: of a turn, clockwise;
    ``cells``: of a legend with captions, as they are laid out in rows."""

    sheet: Sheet
    quarters: int = 0
    cells: tuple[Cell, ...] = ()

    def back(self, box: Box) -> Box:
        """A box of the turned sheet on the page; of a cell that was laid out the sign's own, or the caption's."""
        if self.cells:
            middle = (box[1] + box[3]) / 2
            cell = min(enumerate(self.cells), key=lambda each: abs(row_at(each[0]) - middle))[1]
            box = grown(cell.sign, AROUND) if box[0] < TEXT else cell.caption
        return _box(box, -self.quarters)


def ways(sheet: Sheet) -> Iterator[Way]:
    """The sheet, then the sheet turned for each direction in which a legend's texts run, and after each its legends
    with captions, laid out in rows; the sheet itself has them no more."""
    for way in _upright(sheet):
        grids = {r: cells for r in way.sheet.regions if r.kind == "legend" and (cells := cells_in(way.sheet, r))}
        rest = tuple(region for region in way.sheet.regions if region not in grids)
        yield replace(way, sheet=replace(way.sheet, regions=rest)) if grids else way
        for cells in grids.values():
            yield Way(laid_out(way.sheet, cells), way.quarters, cells)


def _upright(sheet: Sheet) -> Iterator[Way]:
    yield Way(sheet)
    for quarters, angle in ((1, 90.0), (2, 180.0), (3, 270.0)):
        on_end = [r for r in sheet.regions if r.kind == "legend" and _share(sheet, r.box, angle) > MOSTLY]
        if on_end:
            regions = tuple(replace(r, box=_box(r.box, quarters)) for r in on_end)
            yield Way(replace(_turned(sheet, quarters), regions=regions), quarters)


def texts_like(sheet: Sheet, description: str) -> list[Box]:
    """Boxes of the texts anywhere on a sheet that are a description, of one line or two, in any direction."""
    wanted = letters_of(description)
    found: list[Box] = []
    for quarters in range(4):
        here = [word for word in sheet.words if round(word.angle / 90.0) % 4 == quarters]
        page = replace(sheet, words=tuple(_word(word, quarters) for word in here))
        firsts = [w for w in page.words if letters_of(w.text) and wanted.startswith(letters_of(w.text))]
        for word in firsts:
            lines = lines_of(
                page, (-np.inf, word.at[1] - word.size, np.inf, word.at[1] + (1 + LINE_STEP) * word.size)
            )
            rows = [row for row in (*lines, *wrapped(lines)) if letters_of(row.text) == wanted]
            found += [_box(row.box, -quarters) for row in rows]
    return list(dict.fromkeys(found))


def _share(sheet: Sheet, region: Box, angle: float) -> float:
    """Of the letters in a region, those of words that run in a direction."""
    words = [word for word in sheet.words if in_box(word.at, region)]
    told = sum(len(word.text) for word in words if abs(word.angle % 360.0 - angle) < UPRIGHT)
    return told / max(sum(len(word.text) for word in words), 1)


def _turned(sheet: Sheet, quarters: int) -> Sheet:
    words = tuple(_word(word, quarters) for word in sheet.words)
    strokes = replace(sheet.strokes, xy=_points(sheet.strokes.xy.reshape(-1, 2), quarters).reshape(-1, 4))
    shapes = shapely.transform(sheet.fills.shape, lambda xy: _points(xy, quarters))
    fills = replace(sheet.fills, shape=shapes)
    return replace(sheet, words=words, strokes=strokes, fills=fills, views=())


def _word(word: Word, quarters: int) -> Word:
    return replace(word, box=_box(word.box, quarters), angle=(word.angle - 90.0 * quarters + 180.0) % 360.0 - 180.0)


def _box(box: Box, quarters: int) -> Box:
    at = _points(np.array(box).reshape(2, 2), quarters)
    low, high = at.min(axis=0), at.max(axis=0)
    return (float(low[0]), float(low[1]), float(high[0]), float(high[1]))


def _points(at: FloatArray, quarters: int) -> FloatArray:
    """(n, 2) turned about the page's corner, clockwise as seen."""
    for _ in range(quarters % 4):
        at = np.c_[-at[:, 1], at[:, 0]]
    return at
