"""A mapping entry ready to be compared with ink, at one drawn size.

Terms: *template frame*, points on paper, y down, origin as in the mapping file; *sample*, a point on the
template's marks with its tangent, element and weight (length it stands for); *element*, one line, arc or circle;
*body*, the convex hull of the marks without text; *association map*, for each direction bin a picture of the
frame whose cells name the nearest sample of a like direction; *probe*, a point just past a line's free end.

Every length scales with the body, because real symbols can be 2 pt in radius: ``small`` is 1 from a radius of
9 pt (a receptacle of 1/8 in with its bars) and shrinks below it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
import shapely
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import lengths
from cordpath.model import BoolArray, FloatArray, IntArray, Mark, SymbolEntry
from cordpath.symbols.ink.hatch import hatched
from cordpath.symbols.templates.association import INSIDE, NEAR, Maps, boxes, stamped
from cordpath.symbols.templates.features import Features, features
from cordpath.symbols.templates.marks import Drawn, draw
from cordpath.symbols.templates.sampling import drawn_once, inner_points, points_in, sampled
from cordpath.symbols.templates.symmetries import near_symmetries, symmetries
from cordpath.symbols.templates.weak_lines import weak_lines

FULL_SIZE = 9.0  # pt of body radius from which lengths no longer shrink
MARGIN = 2.5  # pt around the body that the maps show; ink is looked at up to 1.5 pt around it
CELLS = 100  # of a map from the middle of a large body to its rim
APART = 2.0  # cells between samples: a cell names one sample only, and each must have cells of its own
CELL = 0.12  # pt of a map's cell: it only names the sample, distances are computed
MOST_SAMPLES = 6000  # about; more marks than that are sampled more coarsely
KEPT = 96  # maps kept from sheet to sheet, about 1 MB each: they cost more to draw than most sheets to read
MADE = 800  # templates kept without their maps, a few kB each; looking for symbols of any size takes nine an entry


@dataclass(frozen=True, eq=False)
class Template:
    """``unit``: points per inch of the mapping file; ``lowest`` and ``highest``: allowed scale about it."""

    entry: SymbolEntry
    marks: tuple[Mark, ...]
    unit: float
    lowest: float
    highest: float
    ratio: float | None  # scale of the views it is for; None: plotted size, any view
    drawn: Drawn
    points: FloatArray  # (n, 2) samples
    tangents: FloatArray  # (n,) radians
    element: IntArray  # (n,)
    weight: FloatArray  # (n,)
    step: float  # pt between samples

    @property
    def name(self) -> str:
        return self.entry.name

    @property
    def text_only(self) -> bool:
        return not len(self.points)

    @cached_property
    def elements(self) -> int:
        return len(self.drawn.lines) + len(self.drawn.arcs)

    @cached_property
    def ink(self) -> float:
        return float(self.weight.sum())

    @cached_property
    def body(self) -> BaseGeometry:
        points = self.points
        if self.text_only:
            points = np.array([t[1:] for t in self.drawn.texts], float).reshape(-1, 2)
        return shapely.MultiPoint(points).convex_hull

    @cached_property
    def outline(self) -> FloatArray:
        """(k, 2) corners of the body."""
        return shapely.get_coordinates(self.body)

    @cached_property
    def centre(self) -> FloatArray:
        return np.array([self.body.centroid.x, self.body.centroid.y])

    @cached_property
    def radius(self) -> float:
        return max(0.5, float(np.hypot(*(self.outline - self.centre).T).max()))

    @cached_property
    def small(self) -> float:
        return min(1.0, self.radius / FULL_SIZE)

    @cached_property
    def tolerance(self) -> float:
        """pt: how far ink may lie from a mark; the plotter's grid is the floor."""
        return float(np.clip(0.028 * self.radius, 0.12, 0.25))

    @cached_property
    def clear(self) -> float:
        """pt: ink farther than this from every mark is not this symbol's."""
        return 0.5 * float(np.clip(self.small, 0.5, 1.0)) + (0.008 * self.radius if self.radius > 20 else 0.0)

    @property
    def reach(self) -> float:
        """pt: how far the fit may pull a mark; the rims of large bodies move more with turn and scale."""
        return float(np.clip(0.04 * self.radius, max(0.35, self.small), 3.0))

    @cached_property
    def lines(self) -> BaseGeometry:
        """All marks without text as one shape."""
        return shapely.multilinestrings(shapely.linestrings(self.drawn.chords()[0].reshape(-1, 2, 2)))

    @cached_property
    def tree(self) -> cKDTree:
        return cKDTree(self.points)

    @cached_property
    def features(self) -> Features:
        """Of all marks."""
        return features(*self.drawn.chords(), self.small, self.radius)

    @cached_property
    def penned(self) -> Features:
        """Of what a pen draws: all but the edges of fills."""
        return self._features(~self._painted)

    @cached_property
    def painted(self) -> Features:
        """Of the edges of fills."""
        return self._features(self._painted)

    @cached_property
    def angular(self) -> Features | None:
        """Of its lines where a polygon of them passes for a circle, None where none does.  On a sheet whose lines
        are cut into pieces it does not, and is found by its corners."""
        lines = self.drawn.lines
        if not (self.features.round_strokes < len(lines)).any():
            return None
        return features(lines, np.full(len(lines), -1), self.small, self.radius, bent=False)

    @cached_property
    def cornered(self) -> Features | None:
        """Of the edges of fills where some of them pass for a circle, None where none does: a sheet's do not where
        the area begins at another of its corners."""
        if not self.painted.ink.curved.any():
            return None
        edges = self.drawn.lines[self.drawn.filled]
        return features(edges, np.full(len(edges), -1), self.small, self.radius, bent=False)

    @property
    def _painted(self) -> BoolArray:
        """(n,) of the chords of all marks: an edge of a fill."""
        xy, curve = self.drawn.chords()
        return (curve < 0) & np.isin(np.arange(len(xy)), self.drawn.filled)

    def _features(self, mine: BoolArray) -> Features:
        xy, curve = self.drawn.chords()
        return features(xy[mine], curve[mine], self.small, self.radius)

    @property
    def circles(self) -> FloatArray:
        """(k, 4) centre, radius, degrees covered: whole circles first, then larger ones."""
        return self.features.circles

    @cached_property
    def round(self) -> bool:
        """Nothing but circles about one centre: it has no direction."""
        arcs = self.drawn.arcs
        whole = len(arcs) > 0 and bool((arcs[:, 4] - arcs[:, 3] > 6.28).all())
        return whole and not len(self.drawn.lines) and float(np.ptp(arcs[:, :2], axis=0).max()) < 0.1

    @cached_property
    def solid(self) -> bool:
        """Nothing but fills, whose edges then count as its lines."""
        return not len(self.drawn.arcs) and 0 < len(self.drawn.filled) == len(self.drawn.lines)

    @cached_property
    def hatch_share(self) -> float:
        """Share of the template's own ink that looks like hatch."""
        if len(self.drawn.lines) < 6:
            return 0.0
        mine = hatched(self.drawn.lines, np.ones(len(self.drawn.lines), bool), 6)
        return float(lengths(self.drawn.lines)[mine].sum() / self.ink)

    @cached_property
    def weak_body(self) -> str | None:
        """Why the lines alone are no evidence, None if they are."""
        return weak_lines(self.drawn, self.features, self.tolerance, self.ink)

    @property
    def weak(self) -> str | None:
        """Why this shape alone is no evidence, None if it is: letters and paint make up for plain lines."""
        if self.text_only:
            return "letters alone"
        return None if self.drawn.texts or self.drawn.fills else self.weak_body

    @cached_property
    def symmetry(self) -> tuple[tuple[float, int], ...]:
        """Turns (radians) and mirrors about the centre that leave the marks without text and fill unchanged."""
        return symmetries(self.points, self.weight, self.centre, self.tree, self._same)

    def near_symmetry(self, least: float) -> FloatArray:
        """(k, 5) poses in the template frame that lay ``least`` of the lines on themselves, but not all marks."""
        penned = self.drawn.lines[self.drawn.penned]
        return near_symmetries(self.points, self.weight, penned, self.tree, self._same, least)

    @property
    def _same(self) -> float:
        """pt between two samples that are taken for the same."""
        return 0.55 * self.step + 0.06

    @cached_property
    def probes(self) -> tuple[FloatArray, FloatArray, IntArray]:
        """Points past the lines' ends, tangents, and the number of the end each belongs to."""
        lines = self.drawn.lines
        unit = (lines[:, 2:] - lines[:, :2]) / np.maximum(lengths(lines), 1e-9)[:, None]
        ends = np.r_[lines[:, :2], lines[:, 2:]]
        outward = np.r_[-unit, unit]
        away = np.array([0.9, 1.5, 2.1]) * max(0.4, self.small)
        points = (ends[:, None] + outward[:, None] * away[None, :, None]).reshape(-1, 2)
        tangents = np.repeat(np.arctan2(outward[:, 1], outward[:, 0]), len(away))
        end = np.repeat(np.arange(len(ends)), len(away))
        if not len(points):
            return points, tangents, end
        # an end whose extension lies on the template's own ink is not free
        taken = self.tree.query(points)[0] < 0.7 * max(0.4, self.small)
        free = ~np.isin(end, np.unique(end[taken]))
        return points[free], tangents[free], end[free]

    @cached_property
    def fill_points(self) -> tuple[FloatArray, ...]:
        """For each filled mark, points well inside it."""
        return tuple(inner_points(ring, self.small) for ring in self.drawn.fills)

    @cached_property
    def bare_points(self) -> FloatArray:
        """Points of the body well outside every filled mark: they must not be painted."""
        if not self.drawn.fills:
            return np.zeros((0, 2))
        painted = shapely.unary_union([shapely.make_valid(shapely.Polygon(r)) for r in self.drawn.fills])
        bare = self.body.buffer(-0.5 * self.small).difference(painted.buffer(0.8 * self.small))
        if bare.is_empty or bare.area < 0.1 * self.body.area:
            return np.zeros((0, 2))
        return points_in(bare, 0.53 * self.small, bare)

    @property
    def maps(self) -> Maps:
        return _maps(self)

    def _drawn_maps(self) -> Maps:
        margin = self.radius + MARGIN
        cell = max(CELL, self.radius / CELLS)
        low = self.centre - margin
        side = int(2 * margin / cell) + 2
        reach = self.reach
        sample, distance = stamped(self.points, self.tangents, low, cell, side, reach)
        probe = None
        if len(self.probes[0]):
            probe, _ = stamped(self.probes[0], self.probes[1], low, cell, side, 0.45 * max(0.5, self.small))
        axis = (np.arange(side) + 0.5) * cell
        x, y = np.meshgrid(axis + low[0], axis + low[1], indexing="ij")
        body = self.body.buffer(0.3 * self.small)
        shapely.prepare(body)
        near, inside = distance < self.clear, shapely.contains_xy(body, x, y)
        for ring in self.drawn.fills:
            near |= shapely.contains_xy(shapely.Polygon(ring).buffer(self.clear), x, y)
        zone = (near * NEAR + inside * INSIDE).astype(np.uint8)
        return Maps(low, cell, side, sample, probe, zone, boxes(sample, low, cell))


@lru_cache(maxsize=KEPT)
def _maps(template: Template) -> Maps:
    return template._drawn_maps()


@lru_cache(maxsize=MADE)
def make(
    entry: SymbolEntry, marks: tuple[Mark, ...], unit: float, lowest: float, highest: float, ratio: float | None
) -> Template:
    """A template of ``entry`` drawn with ``marks`` (inches) at ``unit`` points an inch."""
    drawn = draw(marks, unit)
    xy, _ = drawn.chords()
    size = np.ptp(xy.reshape(-1, 2), axis=0) if len(xy) else np.array([18.0, 18.0])
    extent = float(size.max()) / 2
    step = float(np.clip(extent / 18, 0.12, 0.5))
    step = max(step, APART * float(np.hypot(*size)) / 2 / CELLS)
    step = max(step, float(lengths(xy).sum()) / MOST_SAMPLES)
    points, tangents, element, weight = sampled(drawn, step)
    edge = np.isin(element, drawn.filled)
    if not edge.all():  # paint needs no pen: the edges of fills count as fills, not as lines
        weight = np.where(edge, 0.0, weight)
    once = drawn_once(points, tangents, element, weight, step)
    return Template(entry, marks, unit, lowest, highest, ratio, drawn,
                    points[once], tangents[once], element[once], weight[once], step)  # fmt: skip
