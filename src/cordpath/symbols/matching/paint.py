"""Filled marks: is the paint where the template has it, and nowhere else in its body?

Only fills up to a few times the body count: room, floor and page backgrounds are fills too.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree

from cordpath.geometry import lengths
from cordpath.model import WHITE, BoolArray, Fills, FloatArray, IntArray, Word
from cordpath.symbols.ink.grid import among, within
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.pose import SCALE, into_frame, place
from cordpath.symbols.templates.template import Template

LARGEST = 2.5  # areas of the body; larger fills are backgrounds (measured on plans)
FAINTEST = 0.02  # opacity
# Share of a filled mark that must lie apart from the symbol's lines for strokes to show that it is filled
TOLD = 0.25
PAINTED = 0.8  # share of a filled mark that must be painted
NEARLY = 0.7  # share from which it is not bare either: of a disc with one half filled, no more than 0.6 is painted
SPILLED = 0.55  # share of the bare body from which it counts as painted
UNEXPECTED = 0.15  # share of the body that fills of nobody's may cover
# The same of those that lie in it: as much as for lines, a dot of a quarter of a circle's radius is less
SPECK = 0.03
BEYOND = 0.25  # share of a piece of paint that may lie outside the body whose mark it fills
OFF_EDGE = 0.25, 0.02  # pt and share of the body's radius, on average, from the edges of paint to those of marks
LONGER = 1.1  # times the body: longer strokes paint something else, and are not looked at
QUARTER = 16  # segments of a quarter circle about a body's corners
QUORUM = 4  # points of a quarter of a mark from which a share of them tells something
Pairs = tuple[IntArray, IntArray]  # of poses, in ascending order, and what is near each
HOLLOWED = 0.85  # of its hull's area: what fills less has the bays of a letter, in whatever face
STROKE_GAP = 0.45  # pt; strokes this close paint an area (fills exploded to strokes)


class Paint:
    """The sheet's dark fills that are small enough to be marks of a symbol, each piece by itself."""

    def __init__(self, fills: Fills, largest_body: float) -> None:
        self.largest_body = largest_body
        self.shapes = np.zeros(0, object)
        if len(fills):
            dark = (fills.luminance < WHITE) & (fills.opacity > FAINTEST)
            self.shapes = np.asarray(shapely.get_parts(fills.shape[dark]))
            self.shapes = self.shapes[shapely.area(self.shapes) <= LARGEST * largest_body]
        self.area = shapely.area(self.shapes)
        self.tree = STRtree(self.shapes)
        self._edges: dict[int, FloatArray] = {}
        self._letters: dict[bool, tuple[tuple[Word, ...], IntArray]] = {}

    def edges(self, piece: int) -> FloatArray:
        """(n, 4) edges of the rings of one piece."""
        if piece not in self._edges:
            shape = self.shapes[piece]
            rings = [np.asarray(ring.coords) for ring in (shape.exterior, *shape.interiors)]
            self._edges[piece] = np.concatenate([np.c_[ring[:-1], ring[1:]] for ring in rings])
        return self._edges[piece]

    def marks(self, template: Template, poses: FloatArray, ink: Ink) -> FloatArray:
        """(n,) least painted share of the template's filled marks at each pose; 0 where bare parts of the body are
        painted too.

        Only paint that ends with the body fills a mark: a solid wall that reaches into a circle does not.
        """
        own = self._own(template, poses)
        short = _short_strokes(template, poses, ink)
        shares = [self._share(template, poses, k, own, ink, short) for k in range(len(template.fill_points))]
        least = np.asarray(np.min(shares, axis=0), float)
        clear = _off_lines(template, template.bare_points)[None] * poses[:, SCALE, None] > STROKE_GAP
        k = np.flatnonzero(clear.any(1))
        if len(k):
            points = place(poses, template.bare_points)
            low = np.where(clear[..., None], points, np.inf)[k].min(1)
            high = np.where(clear[..., None], points, -np.inf)[k].max(1)
            pose, piece = self.tree.query(shapely.box(*low.T, *high.T))
            # where paint fills the marks, strokes side by side in the rest are rows of hatch
            paintless = ~self._filled(template, poses, own)[short[0]]
            strokes = (short[0][paintless], short[1][paintless])
            bare = self._painted(points, (k[pose], piece), ink.xy, strokes) & clear
            least[k[bare[k].sum(1) / clear[k].sum(1) > SPILLED]] = 0.0
        return least

    def on_marks(self, template: Template, pose: FloatArray) -> IntArray:
        """The pieces of paint that lie on the template's filled marks at the pose (5,), but for a little."""
        if not template.drawn.fills or not len(self.shapes):
            return NOBODYS
        rings = [shapely.make_valid(shapely.Polygon(place(pose[None], ring)[0])) for ring in template.drawn.fills]
        marks = shapely.union_all(rings).buffer(template.clear)
        piece = self.tree.query(marks)
        inside = shapely.area(shapely.intersection(self.shapes[piece], marks))
        return np.asarray(piece[inside >= (1 - BEYOND) * self.area[piece]], np.int64)

    def off_edges(self, template: Template, pose: FloatArray) -> float:
        """How far the edges of the paint lie from those of the filled marks, on average, over what they may at the
        pose (5,); 0 where no areas fill the marks: the edges of strokes side by side are no edges.

        A disc is painted wherever a square is that has it in it, but for the corners.
        """
        _, piece = own = self._own(template, pose[None])
        if not len(piece) or not self._filled(template, pose[None], own)[0]:
            return 0.0
        rings = [shapely.make_valid(shapely.Polygon(place(pose[None], ring)[0])) for ring in template.drawn.fills]
        marks, painted = shapely.union_all(rings), self.shapes[piece]
        inside = shapely.area(shapely.intersection(painted, marks))
        painted = shapely.union_all(painted[inside > self.area[piece] / 2])  # not letters that stand beside
        off = float(shapely.area(shapely.symmetric_difference(marks, painted)) / shapely.length(marks))
        return off / (OFF_EDGE[0] + OFF_EDGE[1] * template.radius * float(pose[SCALE]))

    def _filled(self, template: Template, poses: FloatArray, own: Pairs) -> BoolArray:
        """(n,) Are all filled marks painted, with no stroke counted as paint?"""
        nothing = np.zeros((0, 4))
        shares = [self._painted(place(poses, points), own, nothing, (NOBODYS, NOBODYS)).mean(1)
                  for points in template.fill_points]  # fmt: skip
        return np.asarray(np.min(shares, axis=0) >= PAINTED, bool)

    def _share(
        self, template: Template, poses: FloatArray, mark: int, own: Pairs, ink: Ink, short: Pairs
    ) -> FloatArray:
        """(n,) painted share of the template's filled mark of that number: by areas, or by strokes side by side.

        Strokes that fill it paint all of it evenly and end at its edge: beads over the bare half of a disc are no
        fill, nor is a dense hatch of half its width.
        """
        fill = template.fill_points[mark]
        points = place(poses, fill)
        area = self._painted(points, own, ink.xy, (NOBODYS, NOBODYS)).mean(1)
        # what the symbol's own lines are near to anyway tells nothing: a face of a wall across a tiny symbol would
        # paint the rest; where they are near to nearly all of it, no strokes do
        off = _off_lines(template, fill)[None] * poses[:, SCALE, None] > STROKE_GAP
        told = off.mean(1) > TOLD
        pose, stroke = (each[told[short[0]]] for each in short)
        ring, whole = template.drawn.fills[mark], _whole(ink, stroke)
        inside = _end_in(ring, poses[pose], whole, STROKE_GAP + template.tolerance)
        pose, stroke, whole = pose[inside], stroke[inside], whole[inside]
        painted = self._painted(points, (NOBODYS, NOBODYS), ink.xy, (pose, stroke))
        between = (painted & off).sum(1) / np.maximum(1, off.sum(1))
        share = np.minimum(painted.mean(1), between)
        even = np.min([painted[:, part].mean(1) for part in _quarters(fill)], axis=0) >= PAINTED
        rows = ~ink.curved[stroke]  # rings within each other fill a disc and end nowhere
        off_edge = _off_ring(ring, poses[pose[rows]], whole[rows], pose[rows], len(poses))
        even &= off_edge <= OFF_EDGE[0] + OFF_EDGE[1] * template.radius
        share = np.where(even, share, np.minimum(share, NEARLY))
        return np.asarray(np.maximum(area, np.where(told, share, 0.0)), float)

    def _own(self, template: Template, poses: FloatArray) -> Pairs:
        """Poses and the pieces of paint that lie in their bodies, but for a little."""
        if not len(self.shapes) or len(template.outline) < 4:
            return NOBODYS, NOBODYS
        body = shapely.buffer(shapely.polygons(place(poses, template.outline)), template.clear, quad_segs=QUARTER)
        pose, piece = self.tree.query(body)
        inside = shapely.area(shapely.intersection(self.shapes[piece], body[pose]))
        own = inside >= (1 - BEYOND) * self.area[piece]
        return pose[own], piece[own]

    def _painted(self, points: FloatArray, pieces: Pairs, xy: FloatArray, strokes: Pairs) -> BoolArray:
        """(n, m) points (n, m, 2) on one of the pieces of paint of their pose, or close to one of its strokes of
        ``xy``: strokes side by side paint an area."""
        painted = np.zeros(points.shape[:2], bool)
        pose, piece = pieces
        on = shapely.intersects_xy(self.shapes[piece][:, None], points[pose, :, 0], points[pose, :, 1])
        np.logical_or.at(painted, pose, on)
        start = np.searchsorted(strokes[0], np.arange(len(points) + 1))
        for k in np.flatnonzero(~painted.all(1) & (np.diff(start) > 0)):
            painted[k] |= _beside(points[k], xy[strokes[1][start[k] : start[k + 1]]])
        return painted

    def unexpected(self, template: Template, poses: FloatArray, others: IntArray = NOBODYS) -> FloatArray:
        """(n,) how much of the body is painted beside its filled marks, over what may be; ``others`` do not count.

        What fills seem to cover of a plain body may be a background's; a piece that lies wholly in it is a mark.
        """
        most = np.zeros(len(poses))
        if not len(self.shapes) or len(template.outline) < 4:
            return most
        body = shapely.polygons(place(poses, template.outline))
        area = shapely.area(body)
        pose, piece = self.tree.query(body)
        near = (self.area[piece] <= LARGEST * area[pose]) & ~among(piece, others) & (area[pose] > 0)
        pose, piece = pose[near], piece[near]
        within = shapely.intersection(self.shapes[piece], body[pose])
        own = shapely.area(within) >= (1 - BEYOND) * self.area[piece]
        if template.drawn.fills:
            marks = [shapely.polygons(place(poses, ring)) for ring in template.drawn.fills]
            marks = shapely.buffer(shapely.union_all(shapely.make_valid(np.stack(marks)), axis=0), template.clear)
            within = shapely.difference(within, marks[pose])
        else:
            most = np.bincount(pose, shapely.area(within) / area[pose], len(poses)) / UNEXPECTED
        under = np.bincount(pose, own * shapely.area(within) / area[pose], len(poses))
        return np.asarray(np.maximum(most, under / SPECK), float)

    def letters(self, words: tuple[Word, ...], sure: float, doubtful: bool = False) -> IntArray:
        """The pieces that are letters of words which were read from outlines, and with that confidence at least.

        ``doubtful``: with those of words that were read with less: of two pieces or more, not all of them solid, as
        dots and halves are.
        """
        if doubtful not in self._letters or self._letters[doubtful][0] is not words:
            outlined = [w for w in words if w.origin == "outline" and (doubtful or w.confidence >= sure)]
            boxes = np.array([word.box for word in outlined]).reshape(-1, 4)
            empty = (NOBODYS, NOBODYS)
            of, piece = self.tree.query(shapely.box(*boxes.T), predicate="covers") if len(boxes) else empty
            told = np.array([w.confidence >= sure for w in outlined], bool)
            if doubtful and len(piece):
                bays = has_bays(self.shapes[piece])
                told |= (np.bincount(of, minlength=len(told)) > 1) & (np.bincount(of, bays, len(told)) > 0)
            self._letters[doubtful] = (words, np.unique(piece[told[of]]))
        return self._letters[doubtful][1]


def has_bays(shapes: NDArray[np.object_]) -> BoolArray:
    """(n,) Has each area's outline the bays of most letters?  Holes do not count: rings are drawn for other
    reasons."""
    whole = shapely.area(shapely.polygons(shapely.get_exterior_ring(shapes)))
    return np.asarray(whole < HOLLOWED * shapely.area(shapely.convex_hull(shapes)), bool)


def _short_strokes(template: Template, poses: FloatArray, ink: Ink) -> Pairs:
    """Pairs of poses and strokes about their bodies that are not longer than these.

    Rows of hatch are none, unless they begin and end with the body: a fill drawn as strokes lies as evenly.
    """
    reach = template.radius * poses[:, SCALE]
    centres = place(poses, template.centre[None])[:, 0]
    pose, stroke = ink.grid.near(centres, float(reach.max()) + 0.5)
    kept = within(ink.xy[stroke], centres[pose], reach[pose] + 0.5) & ~ink.standin[stroke]
    kept &= ink.run[stroke] <= 2 * LONGER * reach[pose]
    pose, stroke = pose[kept], stroke[kept]
    hatch = np.flatnonzero(ink.hatch[stroke])
    kept = np.ones(len(pose), bool)
    kept[hatch] = _end_in(template.outline, poses[pose[hatch]], _whole(ink, stroke[hatch]), template.clear)
    return pose[kept], stroke[kept]


def _whole(ink: Ink, strokes: IntArray) -> FloatArray:
    """(k, 4) the runs of straight strokes from end to end, and chords of arcs as they are."""
    return np.where(ink.curved[strokes][:, None], ink.xy[strokes], ink.runs[ink.run_of[strokes]])


def _end_in(ring: FloatArray, poses: FloatArray, strokes: FloatArray, slack: float) -> BoolArray:
    """(k,) Do both ends of the strokes (k, 4) lie in the ring of the template at the poses (k, 5), to a ``slack``
    in pt of the template?  One line through two dots lies close to all of either and paints none."""
    if not len(strokes) or len(ring) < 3:
        return np.zeros(len(strokes), bool)
    area = shapely.make_valid(shapely.Polygon(ring)).buffer(slack, quad_segs=QUARTER)
    shapely.prepare(area)
    here = into_frame(poses, strokes, np.arange(len(strokes)))
    return np.asarray(shapely.intersects_xy(area, here[:, ::2], here[:, 1::2]).all(1), bool)


def _off_ring(ring: FloatArray, poses: FloatArray, strokes: FloatArray, of: IntArray, size: int) -> FloatArray:
    """(size,) pt of the template by which the ends of the strokes (k, 4) at the poses (k, 5), each one ``of`` a
    pose's, are off the ring on average, the long ones counting more: rows of a hatch end anywhere."""
    here = into_frame(poses, strokes, np.arange(len(strokes)))
    edge, far = shapely.linearrings(ring), lengths(strokes)
    off = shapely.distance(edge, shapely.points(here.reshape(-1, 2))).reshape(-1, 2).mean(1)
    return np.asarray(np.bincount(of, off * far, size) / np.maximum(np.bincount(of, far, size), 1e-9), float)


def _quarters(points: FloatArray) -> list[IntArray]:
    """The points (m, 2) of a mark, by number, in quarters about their middle that have enough of them."""
    right, low = (points > points.mean(0)).T
    quarter = 2 * right + low
    parts = [np.flatnonzero(quarter == k) for k in range(4)]
    return [part for part in parts if len(part) >= QUORUM] or [np.arange(len(points))]


def _beside(points: FloatArray, strokes: FloatArray) -> BoolArray:
    """(m,) points (m, 2) that lie close to one of the strokes (k, 4)."""
    x, y = points[:, :1] - strokes[:, 0], points[:, 1:] - strokes[:, 1]
    dx, dy = strokes[:, 2] - strokes[:, 0], strokes[:, 3] - strokes[:, 1]
    t = np.clip((x * dx + y * dy) / np.maximum(1e-9, dx * dx + dy * dy), 0, 1)
    return np.asarray((((x - dx * t) ** 2 + (y - dy * t) ** 2) < STROKE_GAP**2).any(1), bool)


def told_by_strokes(template: Template, scale: float) -> bool:
    """Could strokes show that the filled marks are filled?  Not where the lines of the symbol paint them anyway."""
    return all((_off_lines(template, fill) * scale > STROKE_GAP).mean() > TOLD for fill in template.fill_points)


def _off_lines(template: Template, points: FloatArray) -> FloatArray:
    """Distance of each of the template's ``points`` from its own lines, which paint all of a tiny symbol."""
    if not len(points) or not len(template.points):
        return np.full(len(points), np.inf)
    return np.asarray(template.tree.query(points)[0], float)
