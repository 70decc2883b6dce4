"""In which columns a sheet's legends draw their samples, and how far from their texts.

A legend is laid over a part of the plan, or its part of the sheet is taken too large: an outlet of the plan there
stands level with some text as a sample does, but in no column of samples and not at their distance.

Terms: *row*, *cell* as in examples/legend.py.  *Step*, from the middle of a sample to where its text begins.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import Box, FloatArray, Region, Sheet, Symbol
from cordpath.symbols.examples import legend
from cordpath.symbols.examples.legend_captions import row_at
from cordpath.symbols.examples.legend_ink import row_ink
from cordpath.symbols.examples.legend_lines import Row
from cordpath.symbols.examples.legend_marks import MOST_ROWS, stand_right
from cordpath.symbols.examples.legend_signs import signs
from cordpath.symbols.examples.legend_turned import ways

IN_COLUMN = 6.0  # pt: middles of samples that stand in one column, an odd stroke of a letter among their ink
FEWEST = 3  # rows with ink beside them that tell where samples stand
SECOND = 0.5  # of the fullest column's samples, that another column of the legend has at least


@dataclass(frozen=True, eq=False)
class SampleColumns:
    """``text`` (n, 4): the boxes of rows, one for each sign beside it; ``middle`` (n,): x of the signs.
    ``captioned``: the boxes of the signs over or under their texts, in legends that are a grid of such."""

    text: FloatArray
    middle: FloatArray
    captioned: tuple[Box, ...] = ()

    @staticmethod
    def of(sheet: Sheet) -> SampleColumns:
        read = tuple(ways(sheet))
        captioned = tuple(way.back((0.0, row_at(k), 0.0, row_at(k))) for way in read for k in range(len(way.cells)))
        sheet = read[0].sheet  # without those legends
        rows = legend.descriptions(sheet)[:MOST_ROWS]
        side = int(stand_right(sheet)) if len(rows) >= FEWEST else 0
        drawn = [(row.box, x) for row in rows for x in _middles(sheet, legend.cells_of(sheet, row)[side], row)]
        text, middle = [box for box, _ in drawn], [x for _, x in drawn]
        return SampleColumns(np.array(text, float).reshape(-1, 4), np.array(middle, float), captioned)

    def in_grid(self, symbol: Symbol, region: Region) -> bool | None:
        """Is a symbol one of the samples of a legend that is a grid of captions?  None where it is no grid."""
        signs = [box for box in self.captioned if geometry.middle_in_box(box, region.box)]
        return any(geometry.in_box(symbol.at, box) for box in signs) if signs else None

    def lacks(self, symbol: Symbol, region: Region) -> bool:
        """Does a symbol in a legend stand in none of its columns, nor at the usual step from a text level with it?

        False where too few rows tell.
        """
        x0, y0, x1, y1 = region.box
        at = shapely.centroid(shapely.envelope(symbol.footprint))
        down = (self.text[:, 1] + self.text[:, 3]) / 2
        here = (self.text[:, 0] < x1) & (self.text[:, 2] > x0) & (down >= y0) & (down <= y1)
        text, middle = self.text[here], self.middle[here]
        if len(middle) < FEWEST:
            return False
        full = _near(middle, middle)
        if full.max() < FEWEST:
            return False
        if _near(np.array([at.x]), middle)[0] >= SECOND * full.max():
            return False
        low, high = symbol.footprint.bounds[1], symbol.footprint.bounds[3]
        level = (text[:, 1] < high) & (text[:, 3] > low)
        step = text[:, 0] - middle
        usual = step[int(_near(step, step).argmax())]
        return not bool((np.abs(text[level, 0] - at.x - usual) <= IN_COLUMN).any())


def _near(these: FloatArray, among: FloatArray) -> FloatArray:
    """(n,) how many of the others lie within IN_COLUMN of each."""
    return np.asarray((np.abs(these[:, None] - among[None]) <= IN_COLUMN).sum(1), float)


def _middles(sheet: Sheet, cell: Box, row: Row) -> list[float]:
    """x of the middles of the signs that are drawn in a row's cell."""
    xy = sheet.strokes.xy[row_ink(sheet, cell, row).strokes]
    xy = xy[geometry.segments_in_box(xy, cell)]
    return [(x0 + x1) / 2 for x0, x1 in signs(geometry.boxes_around(xy), ())] if len(xy) else []
