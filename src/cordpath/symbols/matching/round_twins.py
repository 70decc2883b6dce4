"""Circles that are polygons to a reader: an octagon with two lines in it, where a circle with them is known too."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from scipy.spatial import cKDTree

from cordpath.model import FloatArray
from cordpath.symbols.matching.evidence import CERTAIN, Candidate
from cordpath.symbols.matching.sides import off_sides, polygon_radius, untold
from cordpath.symbols.pose import SCALE

UNTOLD = "whether a circle or a polygon is drawn cannot be told at this size: it may as well be {!r}"
SAME = 0.1  # of the radius: between the middles and the sizes of a polygon and its circle


def against_polygons(candidates: Sequence[Candidate]) -> list[Candidate]:
    """The candidates, those with a circle in doubt where the straight sides of another's polygon are drawn in its
    place: coarse circles and polygons look alike to the search, and the circle has more ink.  Of a polygon so small
    that its sides cannot be told, and a circle in its place, both are in doubt."""
    drawn = [c for c in candidates if c.coverage >= CERTAIN and not c.template.text_only and c.by is not None]
    small = [c for c in drawn if c.found and untold(c.template)]
    heard = list(candidates)
    for k, here in _in_place_of(heard, [c for c in drawn if _straight(c)]):
        name = here[0].template.name
        heard[k] = heard[k].doubted(f"the straight sides of {name!r} are drawn here, and no circle")
    rounds: dict[int, str] = {}  # of a small polygon, by its identity: the circle in its place
    for k, here in _in_place_of(heard, small):
        if not heard[k].found:
            continue
        name = heard[k].template.name
        for p in (p for p in here if p.template.name != name):
            heard[k] = heard[k].doubted(UNTOLD.format(p.template.name), p.template.name)
            rounds[id(p)] = name
    return [c.doubted(UNTOLD.format(rounds[id(c)]), rounds[id(c)]) if id(c) in rounds else c for c in heard]


def _in_place_of(candidates: list[Candidate], polygons: list[Candidate]) -> Iterator[tuple[int, list[Candidate]]]:
    """Candidates with a circle, by number, in the place of polygons of its size, and these."""
    tree = cKDTree([p.centre for p in polygons]) if polygons else None
    for k, c in enumerate(candidates):
        near = tree.query_ball_point(c.centre, SAME * c.radius) if tree is not None and len(_radii(c)) else ()
        if here := [polygons[n] for n in near if _same_size(c, polygons[n])]:
            yield k, here


def _radii(c: Candidate) -> FloatArray:
    """(k,) of its whole circles, pt on the page."""
    arcs = c.template.drawn.arcs
    return np.asarray(arcs[arcs[:, 4] - arcs[:, 3] > 6.28, 2] * float(c.pose[SCALE]))


def _same_size(c: Candidate, polygon: Candidate) -> bool:
    radius = polygon_radius(polygon.template) * float(polygon.pose[SCALE])
    return bool((np.abs(_radii(c) - radius) < SAME * radius).any())


def _straight(c: Candidate) -> bool:
    off = off_sides(c.template, c.ink, c.pose, (c.segments, c.lengths))
    return off is not None and off <= 1.0
