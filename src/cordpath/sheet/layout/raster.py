"""A coarse picture of where anything is drawn on a sheet.

Terms: *ink raster*, the number of samples of strokes and words in each cell.  *Frame*, a line that bounds the sheet
and belongs to no drawing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from scipy import ndimage

from cordpath.geometry import grown, hull, lengths, midpoints, overlap
from cordpath.model import WHITE, BoolArray, Box, Fills, FloatArray, IntArray, Region, Strokes, Word

CELL = 6.0  # pt, 1/12 in. on a sheet at full size: finer than the white paper between two drawings
FULL_TEXT = 9.0  # pt: capitals of 3/32 in., the least that drafting standards ask for (common practice, no source)
SMALLEST = 0.3  # of full size: a print on a quarter of the paper's width is no drawing to read any more
LONG, WHOLE = 0.6, 0.85  # of the page: a line this long near the paper's edge, or anywhere, is a frame
RIM = 0.08  # of the page: near its edge
EDGE = 1.5  # pt; a part's own frame belongs to it
JOIN = 4  # cells, 24 pt: ink closer than this is one drawing
NEAR = 72.0  # pt; small pieces this close to a drawing belong to it (dimension strings, marks, leaders)
PIECE = 90.0  # pt, 5 ft at 1/4" = 1'-0": larger pieces always belong to it; smaller ones are north arrows


@dataclass(frozen=True, eq=False)
class Raster:
    ink: IntArray  # (rows, columns) number of samples in a cell
    size: float = 1.0  # of the print against full size, by its lettering: all lengths on paper shrink with it

    @property
    def cell(self) -> float:
        """The side of a cell, points."""
        return CELL * self.size

    @property
    def shape(self) -> tuple[int, int]:
        return (self.ink.shape[0], self.ink.shape[1])

    @staticmethod
    def of(
        strokes: Strokes, words: tuple[Word, ...], regions: tuple[Region, ...], anchors: list[Box],
        size: tuple[float, float],
    ) -> Raster:  # fmt: skip
        small = _print_size(words)
        cell_pt = CELL * small
        columns, rows = (int(np.ceil(side / cell_pt)) + 1 for side in size)
        points = np.concatenate([_samples(_free(strokes, regions), size, cell_pt), _word_points(words)])
        for box in [grown(box, EDGE) for box in [r.box for r in regions] + anchors]:
            out = (
                (points[:, 0] < box[0])
                | (points[:, 0] > box[2])
                | (points[:, 1] < box[1])
                | (points[:, 1] > box[3])
            )
            points = points[out]
        cell = np.clip((points / cell_pt).astype(np.int64), 0, [columns - 1, rows - 1])
        flat = np.bincount(cell[:, 1] * columns + cell[:, 0], minlength=rows * columns)
        return Raster(flat.reshape(rows, columns), small)

    def extent(self, top: int, left: int, bottom: int, right: int) -> Box | None:
        """The box around the drawing in a part, points, without small stray pieces; None where there is no ink."""
        part = self.ink[top:bottom, left:right]
        if not part.any():
            return None
        joined = ndimage.binary_dilation(part > 0, iterations=JOIN // 2)
        label, _ = ndimage.label(joined, structure=np.ones((3, 3)))
        boxes = [
            (sx.start + left, sy.start + top, sx.stop + left, sy.stop + top)
            for sy, sx in ndimage.find_objects(np.where(part > 0, label, 0)) if sy is not None
        ]  # fmt: skip
        side = self.cell
        return _gathered([(a * side, b * side, c * side, d * side) for a, b, c, d in boxes], self.size)


def outlined(strokes: Strokes, fills: Fills) -> Strokes:
    """What a reader sees as drawn: visible strokes, and the outlines of dark fills, such as walls without a pen."""
    seen = (fills.luminance < WHITE) & (fills.opacity > 0)
    xy, ring = shapely.get_coordinates(shapely.get_rings(fills.shape[seen]), return_index=True)
    pieces = np.concatenate([xy[:-1], xy[1:]], axis=1)[ring[:-1] == ring[1:]]
    return Strokes.of(np.concatenate([strokes.xy[strokes.ink()], pieces]))


def _print_size(words: tuple[Word, ...]) -> float:
    """The size of the print against full size, as its usual lettering tells it: 1 where that is not small."""
    sizes = [word.size for word in words if word.origin != "hidden"]
    return float(np.clip(np.median(sizes) / FULL_TEXT, SMALLEST, 1.0)) if sizes else 1.0


def _gathered(pieces: list[Box], size: float) -> Box:
    """The hull of the large pieces, grown by the small ones that lie near."""
    span = [max(box[2] - box[0], box[3] - box[1]) for box in pieces]
    large = [box for box, long in zip(pieces, span, strict=True) if long >= min(PIECE * size, max(span))]
    small = [box for box in pieces if box not in large]
    whole = hull(large)
    while near := [box for box in small if overlap(box, grown(whole, NEAR * size))]:
        whole = hull([whole, *near])
        small = [box for box in small if box not in near]
    return whole


def _free(strokes: Strokes, regions: tuple[Region, ...]) -> Strokes:
    """The strokes that neither begin nor end in a region: a heading's underline belongs to its part."""
    ends = strokes.xy.reshape(-1, 2, 2)
    bound = np.zeros(len(ends), bool)
    for x0, y0, x1, y1 in (grown(region.box, EDGE) for region in regions):
        x, y = ends[..., 0], ends[..., 1]
        held = (x >= x0) & (x <= x1) & (y >= y0) & (y <= y1)
        bound |= held[:, 0] | held[:, 1]
    return strokes.take(~bound)


def _samples(strokes: Strokes, size: tuple[float, float], cell: float) -> FloatArray:
    """Points at least every cell along the visible strokes, without the lines that frame the sheet."""
    xy = strokes.xy[strokes.ink()]
    frame = _frames(xy[:, 0], xy[:, 2], xy[:, 1], xy[:, 3], *size) | _frames(
        xy[:, 1], xy[:, 3], xy[:, 0], xy[:, 2], *size[::-1]
    )
    xy = xy[~frame]
    count = np.ceil(lengths(xy) / (0.7 * cell)).astype(np.int64) + 1
    owner = np.repeat(np.arange(len(xy)), count)
    step = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    t = (step / np.maximum(count[owner] - 1, 1))[:, None]
    return xy[owner, :2] * (1 - t) + xy[owner, 2:] * t


def _frames(
    start: FloatArray, end: FloatArray, across: FloatArray, other: FloatArray, along_page: float, across_page: float
) -> BoolArray:
    """Which lines along one axis are frames: they run past every drawing, or along the paper's edge."""
    run = np.abs(end - start)
    rim = np.minimum(across, across_page - across) < RIM * across_page
    straight = np.abs(across - other) < CELL
    return np.asarray(straight & ((run > WHOLE * along_page) | ((run > LONG * along_page) & rim)), bool)


def _word_points(words: tuple[Word, ...]) -> FloatArray:
    boxes = np.array([word.box for word in words if word.origin != "hidden"], float).reshape(-1, 4)
    corners = [boxes[:, [0, 1]], boxes[:, [2, 3]], midpoints(boxes)]
    return np.concatenate(corners)
