"""Appliances and water closets that a new office draws, as proposals for its mapping file.

They are told by what is written in them (REF, DW, W, D, WH), by the burners of a range, by the tank and the bowl of
a water closet, and last by a bowl in a rim that has no drain.  Sinks, tubs and showers with a drain are
fixture_shapes.py's.  All of it is a guess from proportions: nothing here is more than a proposal.

Terms: *ring*, a closed outline of strokes that touch; *footprint*, the outline that the strokes of a thing lie in.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import in_box
from cordpath.model import Box, FloatArray, Kind, Scale, Sheet, Symbol, View
from cordpath.symbols.fixture_shapes import BASIN, BOWL_LEAST, LONGEST, ROUND
from cordpath.symbols.label_runs import Run, runs_of
from cordpath.symbols.label_words import read
from cordpath.symbols.normalise import Ink, normalise
from cordpath.symbols.rings import Sides, faces, is_rim, is_soft, rings, share_of, sides_of, within

# Sizes in inches of the building, least and most of the longer and of the shorter side: common practice, no source.
SIZES: dict[Kind, tuple[Sides, Sides]] = {
    "refrigerator": ((24, 50), (20, 38)),
    "dishwasher": ((17, 28), (17, 28)),
    "washer": ((22, 36), (22, 34)),
    "dryer": ((22, 36), (22, 34)),
    "range": ((19, 62), (17, 34)),
    "microwave": ((17, 32), (11, 26)),
    "water heater": ((12, 34), (12, 34)),
    "sump pump": ((10, 32), (10, 32)),
    "disposer": ((5, 14), (5, 14)),
}
BURNER = 2.2, 6.5  # radius
BURNERS = 4, 6
TANK = (13.0, 25.0), (4.5, 11.0)
BOWL = (13.5, 25.0), (10.5, 18.0)
OVAL = 0.72, 0.95  # of its rectangle: an ellipse covers .785, a bowl that is straight where it meets the tank more
GAP = 4.0  # between tank and bowl
ABREAST = 3.0  # by which the middle of a bowl lies off the middle of its tank
NEAR = 64.0  # about a word: the farthest corner of what it may stand in
SQUARE = 0.98  # of its rectangle that a plain box covers
MOST_RINGS = 4000  # of a view: more are a pattern


@dataclass(frozen=True, eq=False)
class Proposal:
    """``why``: what tells it.  ``letters``: the box, on the page, of the words in it that are a part of it."""

    kind: Kind
    footprint: BaseGeometry
    why: str
    view: str
    letters: Box | None = None


def appliances(
    sheet: Sheet, symbols: tuple[Symbol, ...], scales: tuple[Scale, ...]
) -> tuple[tuple[Proposal, ...], tuple[str, ...]]:
    """What looks like an appliance or a fixture in views that can be measured, and what was not looked for."""
    free = sheet.strokes.ink()
    for symbol in symbols:
        if symbol.found:
            free[symbol.strokes] = False
    ink = normalise(sheet.strokes.xy, sheet.strokes.curve, free, np.zeros((0, 4)))
    named = _named(runs_of(sheet, symbols))
    taken = [symbol.footprint for symbol in symbols if symbol.is_fixture]
    found: list[Proposal] = []
    said: list[str] = []
    for scale in scales:
        view = next((v for v in sheet.views if v.id == scale.view), None)
        if view is not None and scale.measurable and scale.ratio is not None:
            more, why = _in_view(_View(ink, view, 72.0 / scale.ratio), named, taken)
            found += more
            said += why
    return tuple(found), tuple(said)


@dataclass(frozen=True, eq=False)
class _View:
    ink: Ink
    view: View
    inch: float  # pt of an inch of the building

    def strokes(self, box: Box) -> FloatArray:
        """(n, 4) strokes that may be of a fixture and meet the box."""
        ink = self.ink
        xy = ink.xy[: ink.count]
        fit = ~ink.hatch[: ink.count] & ((ink.run[: ink.count] < LONGEST * self.inch) | ink.curved[: ink.count])
        fit &= (np.minimum(xy[:, :2], xy[:, 2:]) <= box[2:]).all(axis=1)
        return xy[fit & (np.maximum(xy[:, :2], xy[:, 2:]) >= box[:2]).all(axis=1)]


def _named(runs: tuple[Run, ...]) -> list[tuple[Kind, Run]]:
    """Texts that name an appliance and nothing else."""
    out: list[tuple[Kind, Run]] = []
    for run in runs:
        said = read(run.text, ())
        served = said.sets if said is not None and not said.doubt else ()
        if len(served) == 1 and served[0][0] == "serves" and served[0][1] in SIZES:
            out.append((served[0][1], run))
    return out


def named_boxes(
    sheet: Sheet, ink: Ink, symbols: tuple[Symbol, ...], view: View, inch: float
) -> tuple[Proposal, ...]:
    """The boxes of a view with an appliance's name in them; ``inch``: points of an inch of the building."""
    return tuple(_boxes(_View(ink, view, inch), _named(runs_of(sheet, symbols))))


def _boxes(view: _View, named: list[tuple[Kind, Run]]) -> list[Proposal]:
    boxes = [_box_of(view, kind, run) for kind, run in named if in_box(run.at, view.view.box)]
    return _once([each for each in boxes if each is not None])


def _in_view(
    view: _View, named: list[tuple[Kind, Run]], taken: list[BaseGeometry]
) -> tuple[list[Proposal], list[str]]:
    found = _boxes(view, named)
    closed = rings(view.strokes(view.view.box))
    if len(closed) > MOST_RINGS:
        title = view.view.title or view.view.id
        return found, [f"{title} has {len(closed)} closed outlines: no range, water closet or bowl is told by them"]
    sized = [(ring, sides_of(ring, view.inch)) for ring in closed]
    for told in (_ranges, _closets, _bowls):
        known = shapely.union_all([*taken, *(each.footprint for each in found)])
        found += [each for each in told(view, sized) if not known.intersects(each.footprint.representative_point())]
    return found, []


def _box_of(view: _View, kind: Kind, run: Run) -> Proposal | None:
    """The largest box or ring of the appliance's size around its name: doors and drawers part smaller ones off."""
    reach, at = NEAR * view.inch, shapely.Point(run.at)
    around = faces(view.strokes((run.at[0] - reach, run.at[1] - reach, run.at[0] + reach, run.at[1] + reach)))
    fit = [ring for ring in around if ring.covers(at) and within(sides_of(ring, view.inch), SIZES[kind])]
    whole = [ring for ring in fit if share_of(ring) >= SQUARE] or fit
    if not whole:
        return None
    ring = max(whole, key=lambda ring: float(ring.area))
    return Proposal(kind, ring, f"'{run.text}' is written in it", view.view.id, run.box)


def _once(found: list[Proposal]) -> list[Proposal]:
    """One proposal a box, that of the letters nearest to its middle: labels of outlets name appliances too."""

    def off(each: Proposal) -> float:
        x0, y0, x1, y1 = each.letters or each.footprint.bounds
        return float(shapely.distance(each.footprint.centroid, shapely.Point((x0 + x1) / 2, (y0 + y1) / 2)))

    kept: list[Proposal] = []
    for each in sorted(found, key=off):
        if not any(old.footprint.intersects(each.footprint.representative_point()) for old in kept):
            kept.append(each)
    return kept


Sized = list[tuple[BaseGeometry, Sides]]


def _ranges(view: _View, sized: Sized) -> Iterator[Proposal]:
    """Boxes with four to six like circles in them."""
    circles = view.ink.arcs.circles
    radius = circles[:, 2] / view.inch
    circles = circles[(circles[:, 3] >= ROUND) & (radius >= BURNER[0]) & (radius <= BURNER[1])]
    for ring, sides in sorted(sized, key=lambda each: float(each[0].area)):
        if not within(sides, SIZES["range"]) or share_of(ring) < SQUARE:
            continue
        inside = circles[shapely.contains_xy(ring, circles[:, 0], circles[:, 1])]
        burners = len(
            np.unique(np.rint(inside[:, :2] / (BURNER[0] * view.inch)), axis=0)
        )  # rings of one count once
        if BURNERS[0] <= burners <= BURNERS[1]:
            yield Proposal("range", ring, f"it has {burners} burners", view.view.id)


def _closets(view: _View, sized: Sized) -> Iterator[Proposal]:
    """A tank with an oval bowl before it, which the tank may close."""
    for tank, sides in sized:
        if not within(sides, TANK) or share_of(tank) < SQUARE:
            continue
        x0, y0, x1, y1 = shapely.buffer(tank, (BOWL[0][1] + GAP) * view.inch).bounds
        near = sorted(faces(view.strokes((x0, y0, x1, y1))), key=lambda face: -float(face.area))
        bowl = next((face for face in near if _is_bowl(face, tank, view.inch)), None)
        if bowl is not None:
            outline = shapely.convex_hull(shapely.union(tank, bowl))
            yield Proposal("water closet", outline, "it has a tank and an oval bowl", view.view.id)


def _is_bowl(face: BaseGeometry, tank: BaseGeometry, inch: float) -> bool:
    oval = within(sides_of(face, inch), BOWL) and OVAL[0] <= share_of(face) <= OVAL[1]
    return oval and not tank.intersects(face.representative_point()) and _abreast(tank, face, inch)


def _abreast(tank: BaseGeometry, bowl: BaseGeometry, inch: float) -> bool:
    """Does the bowl stand before the middle of the tank's long side, lengthwise?"""
    if shapely.distance(tank, bowl) > GAP * inch:
        return False
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(tank))
    edges = np.diff(corners[:3], axis=0)
    along = edges[int(np.argmax(np.hypot(*edges.T)))]
    along = along / np.hypot(*along)
    away = np.array(bowl.centroid.coords[0]) - np.array(tank.centroid.coords[0])
    aside, before = abs(float(away @ along)), abs(float(away[0] * along[1] - away[1] * along[0]))
    return aside <= ABREAST * inch and before > aside


def _bowls(view: _View, sized: Sized) -> Iterator[Proposal]:
    """Basins without a drain: a soft bowl close inside a rim."""
    small = [(ring, s) for ring, s in sized if s[1] >= BOWL_LEAST and s[0] <= BASIN[0] and s[1] <= BASIN[1]]
    for bowl, sides in sorted(small, key=lambda each: float(each[0].area)):
        if not is_soft(bowl):
            continue
        rim = next((ring for ring, s in sized if ring is not bowl and is_rim(bowl, sides, ring, s)), None)
        if rim is not None:
            yield Proposal(
                "sink", rim, "it has a bowl in a rim, but no drain: it may be something else", view.view.id
            )
