"""Circles that are polygons to a reader: an octagon with two lines in it, where a circle with them is known too."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.spatial import cKDTree

from cordpath.symbols.matching.evidence import CERTAIN, Candidate
from cordpath.symbols.matching.sides import off_sides
from cordpath.symbols.pose import SCALE

SAME = 0.1  # of the radius: between the middles and the sizes of a polygon and its circle


def against_polygons(candidates: Sequence[Candidate]) -> list[Candidate]:
    """The candidates, those with a circle in doubt where the straight sides of another's polygon are drawn in its
    place: coarse circles and polygons look alike to the search, and the circle has more ink."""
    polygons = [c for c in candidates if c.coverage >= CERTAIN and _straight(c)]
    if not polygons:
        return list(candidates)
    tree = cKDTree([c.centre for c in polygons])
    return [_heard(c, [polygons[k] for k in tree.query_ball_point(c.centre, SAME * c.radius)]) for c in candidates]


def _heard(c: Candidate, polygons: list[Candidate]) -> Candidate:
    arcs = c.template.drawn.arcs
    radii = arcs[arcs[:, 4] - arcs[:, 3] > 6.28, 2] * float(c.pose[SCALE])
    for p in polygons:
        radius = float(p.template.circles[0, 2] * p.pose[SCALE])
        if (np.abs(radii - radius) < SAME * radius).any():
            return c.doubted(f"the straight sides of {p.template.name!r} are drawn here, and no circle")
    return c


def _straight(c: Candidate) -> bool:
    if c.template.text_only or c.by is None:
        return False
    off = off_sides(c.template, c.ink, c.pose, (c.segments, c.lengths))
    return off is not None and off <= 1.0
