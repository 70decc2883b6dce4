"""The ink of a sheet that no symbol, word or region accounts for."""

from __future__ import annotations

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, Mapping, Sheet, Symbol, Word, layers_like
from cordpath.symbols.letters.letters import SURE

LONGEST = 30.0  # pt: longer strokes are walls, dimensions and wiring
SHAFT = 15.0  # pt: longer than any stroke of an arrowhead or a tick at the end of a line
AROUND = 1.0  # pt about a letter within which its strokes lie
SAME = 0.25  # pt: strokes whose ends agree so far were drawn twice


def left_ink(sheet: Sheet, symbols: tuple[Symbol, ...], mapping: Mapping) -> tuple[FloatArray, FloatArray]:
    """(n, 4) short strokes that nothing explains, with areas as thin as strokes, and (m, 4) the longer ones."""
    strokes = sheet.strokes
    free = strokes.ink()
    for symbol in symbols:
        free[symbol.strokes] = False
    free &= on_layers(sheet, mapping)
    length = geometry.lengths(strokes.xy)
    long = strokes.xy[free & (length > SHAFT)]
    free &= (length <= LONGEST) & (length > 0)
    xy = np.concatenate([strokes.xy[free], sheet.bars[geometry.lengths(sheet.bars) <= LONGEST]])
    return once(xy[~accounted(geometry.midpoints(xy), sheet, symbols)]), long


def on_layers(sheet: Sheet, mapping: Mapping) -> BoolArray:
    """(n,) True for strokes on layers where the mapping file looks for devices."""
    drawing = mapping.drawing
    away = layers_like(sheet.layers, (*drawing.wall_layers, *drawing.ignore_layers))
    if drawing.device_layers:
        away = ~layers_like(sheet.layers, drawing.device_layers)
    keep = ~np.append(away, bool(drawing.device_layers) and bool(sheet.layers))  # the last: strokes on no layer
    return keep[sheet.strokes.layer]


def accounted(at: FloatArray, sheet: Sheet, symbols: tuple[Symbol, ...]) -> BoolArray:
    """(n,) True for points in legend, schedule or title block, in a symbol, or in a word drawn as strokes."""
    found = np.zeros(len(at), bool)
    areas = [shapely.box(*region.box) for region in sheet.regions]
    areas += list(shapely.buffer(np.array([symbol.footprint for symbol in symbols], dtype=object), 1.0))
    # Words that are strokes, and letters that a hidden text layer repeats; text of a font is not among the strokes.
    drawn = [word for word in sheet.words if word.origin != "font" and not _doubtful(word)]
    boxes = shapely.box(*np.array([word.box for word in drawn]).reshape(-1, 4).T)
    areas += list(shapely.buffer(boxes, np.array([0.15 * word.size for word in drawn]), quad_segs=16))
    if areas and len(at):
        shapes = np.array(areas, dtype=object)
        near = np.flatnonzero(geometry.near_points(at, shapely.bounds(shapes), 1e-6))
        point, _ = shapely.STRtree(shapes).query(shapely.points(at[near]), predicate="intersects")
        found[near[point]] = True
    return found


def _doubtful(word: Word) -> bool:
    """A letter by itself, read from strokes and not for certain: half a circle with two bars reads like a G, a box
    with a stem and a stroke across like a P."""
    return word.origin == "stroke" and word.confidence < SURE and len(word.text.strip()) == 1


def once(xy: FloatArray) -> FloatArray:
    """Strokes that were drawn twice, once."""
    ends = geometry.forward(np.rint(xy / SAME).astype(np.int64))
    return xy[geometry.first_of_equal(ends)]
