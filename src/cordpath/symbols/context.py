"""What stands around a candidate: the wall on its wall side.

Terms: *wall-like*, a straight run much longer than the symbol; *contact*, such a run across the wall side's axis,
just beyond or at the body's edge.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import numpy as np
import shapely

from cordpath.geometry import in_box, lengths, lines
from cordpath.model import FloatArray, Point, Sheet, layers_like
from cordpath.symbols.ink.grid import Grid
from cordpath.symbols.pose import MIRROR, SCALE, TURN, place
from cordpath.symbols.templates.template import MADE, Template

LONG = 14.4  # pt (0.2 in): the shortest run that may be a piece of wall between openings
BODIES = 2.2  # body radii that it must exceed as well: no line of the symbol itself is longer than two
ACROSS = math.cos(math.radians(75))  # it must be within 15 degrees of square to the wall side
ONE_WAY = math.cos(math.radians(10))  # lines within this of each other lead one way
DARK, OPAQUE = 0.46, 0.95  # luminance below which an area may be a wall (as in the finding of rooms), and opacity
PALE = 0.9  # luminance below which a thin area may be one: walls are often painted grey
THICK = 20.25  # pt: the thickest wall (13.5 in, as in the finding of rooms) at 1/4" = 1'-0"; tinted rooms are wider
BEYOND = 4.5  # pt past the body's edge: half a wall's thickness plus a gap left for plotting


def on_plan(at: Point, sheet: Sheet) -> bool:
    """In a view, where the sheet has any, and in no legend, table or title block."""
    in_view = not sheet.views or any(in_box(at, view.box) for view in sheet.views)
    return in_view and not any(in_box(at, region.box) for region in sheet.regions)


def _edges_of_paint(sheet: Sheet) -> FloatArray:
    """(n, 4) long straight edges of dark areas and of thin grey ones: the faces of walls that are solid and have no
    outline."""
    areas = sheet.fills.shape
    thin = 2 * shapely.area(areas) < THICK * shapely.length(areas)
    wall = (sheet.fills.luminance < np.where(thin, PALE, DARK)) & (sheet.fills.opacity > OPAQUE)
    shapes = shapely.get_parts(areas[wall])
    rings = shapely.get_rings(shapes[shapely.length(shapes) > 2 * LONG])
    at, ring = shapely.get_coordinates(rings, return_index=True)
    xy = np.concatenate([at[:-1], at[1:]], axis=1)[ring[:-1] == ring[1:]] if len(at) else np.zeros((0, 4))
    return xy[lengths(xy) > LONG]


class Walls:
    """Wall-like runs of a sheet; only those on wall layers where these are named and present."""

    def __init__(self, sheet: Sheet, runs: FloatArray, wall_layers: tuple[str, ...]) -> None:
        chosen = np.concatenate([runs, _edges_of_paint(sheet)])
        named = layers_like(sheet.layers, wall_layers)
        if named.any():
            ink = sheet.strokes.ink()
            on = named[np.maximum(sheet.strokes.layer, 0)] & (sheet.strokes.layer >= 0) if len(ink) else ink
            if (on & ink).any():
                chosen = sheet.strokes.xy[on & ink]
        self.runs = chosen[lengths(chosen) > LONG]
        self.length = lengths(self.runs)
        self.grid = Grid(self.runs)
        self._gaps: dict[tuple[Template, bytes], float | None] = {}

    def gap(self, template: Template, pose: FloatArray) -> float | None:
        """Distance (pt) from the body's edge on its wall side to the nearest wall-like run there, None for none."""
        key = (template, pose.tobytes())
        if key not in self._gaps:
            self._gaps[key] = self._gap(template, pose)
        return self._gaps[key]

    def _gap(self, template: Template, pose: FloatArray) -> float | None:
        toward = wall_direction(template, pose)
        if toward is None or not len(self.runs):
            return None
        w = np.array(toward)
        origin = pose[:2]
        along = (place(pose[None], template.outline)[0] - origin) @ w
        edge, middle = float(along.max()), float(along.min() + along.max()) / 2
        reach = template.radius * float(pose[SCALE])
        _, k = self.grid.near((origin + w * max(edge, 0.0))[None], reach + BEYOND + 1)
        k = k[self.length[k] > BODIES * reach]
        if not len(k):
            return None
        q = self.runs[k]
        d = (q[:, 2:] - q[:, :2]) / self.length[k][:, None]
        square = np.abs(d @ w) < ACROSS
        t = ((origin - q[:, :2]) * d).sum(1)  # the foot on the run of the axis through the origin
        offset = ((q[:, :2] + d * t[:, None] - origin) @ w) / np.maximum(1e-6, 1 - (d @ w) ** 2)
        spans = (t > -0.3 * reach) & (t < self.length[k] + 0.3 * reach)
        gap = offset - edge
        ok = square & spans & (gap > -0.75 * reach) & (gap < BEYOND)
        ok &= offset > min(middle, 0.0)  # an entry's origin may lie anywhere in it, on the wall too
        return float(np.abs(gap[ok]).min()) if ok.any() else None


@lru_cache(maxsize=MADE)
def facing(template: Template) -> Template:
    """The template with the wall side that its drawing shows, where it is an example's and its entry names none:
    all of its free ends lead one way and lie farthest out there.  Stems of outlets end on their wall (common
    practice, no source)."""
    if template.entry.shape is not None or template.entry.wall_side is not None:
        return template
    xy, _ = template.drawn.chords()
    along = (xy[:, 2:] - xy[:, :2]) / np.maximum(lengths(xy), 1e-9)[:, None]
    ends, ways = np.r_[xy[:, :2], xy[:, 2:]], np.r_[-along, along]
    at_it = shapely.STRtree(lines(xy)).query(shapely.points(ends), predicate="dwithin", distance=template.tolerance)
    free = np.bincount(at_it[0], minlength=len(ends)) < 2  # the line itself is one
    if not free.any():
        return template
    way = ways[free].mean(axis=0)
    out = float((template.outline @ way).max()) - template.tolerance
    if (ways[free] @ way).min() < ONE_WAY or (ends[free] @ way).min() < out:
        return template
    return replace(template, entry=replace(template.entry, wall_side=(float(way[0]), float(way[1]))))


def wall_direction(template: Template, pose: FloatArray) -> Point | None:
    """Unit vector on the page from the symbol towards its wall, None where the entry names none."""
    side = template.entry.wall_side
    if side is None:
        return None
    x, y = side[0] * (1 - 2 * pose[MIRROR]), side[1]
    c, s = math.cos(pose[TURN]), math.sin(pose[TURN])
    vx, vy = c * x - s * y, s * x + c * y
    size = math.hypot(vx, vy) or 1.0
    return (float(vx / size), float(vy / size))


def oriented(template: Template, poses: FloatArray, walls: Walls) -> tuple[FloatArray, bool]:
    """The one of equivalent poses to report, and whether its wall side touches something wall-like.

    A wall decides; else the unmirrored pose with the smallest counter-clockwise angle as seen.
    """
    angle = np.round(np.degrees(-poses[:, TURN]) % 360.0, 3) % 360.0
    order = np.lexsort((angle, poses[:, MIRROR]))
    if template.entry.wall_side is None:
        return poses[order[0]], False
    gaps = [walls.gap(template, poses[k]) for k in order]
    touching = [(round(gap, 1), n) for n, gap in enumerate(gaps) if gap is not None]
    if not touching:
        return poses[order[0]], False
    return poses[order[min(touching)[1]]], True
