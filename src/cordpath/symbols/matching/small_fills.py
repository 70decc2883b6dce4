"""Filled marks so small that the pen paints them anyway: whether strokes fill them cannot be seen.

A pointer of 1.5 pt beside an outlet is its outline and a stroke or two in it.  Without it the outlet is its plain
twin, so where the outline is drawn that is a question.
"""

from __future__ import annotations

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.model import FloatArray
from cordpath.symbols.matching.evidence import UNFILLED, Candidate
from cordpath.symbols.matching.in_common import LEAST_SMALL, OFF
from cordpath.symbols.matching.paint import NEARLY, told_by_strokes
from cordpath.symbols.matching.verify import LEAST
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.templates.orbits import orbit

THEIRS = 0.5  # share of a filled mark under the winner's own fills from which the paint is the winner's


def perhaps_filled(rival: Candidate, winner: Candidate) -> bool:
    """Is next to nothing against the rival but that its filled marks are not filled, where no strokes could show
    that they are, and are their edges drawn where the winner has no mark?"""
    template = rival.template
    unfilled = any(d.what == UNFILLED for d in rival.doubts)
    unfilled &= all(d.soft or d.what == UNFILLED for d in rival.doubts)
    if not unfilled or told_by_strokes(template, float(rival.pose[SCALE])):
        return False
    edges = template.points[np.isin(template.element, template.drawn.filled)]
    theirs = cKDTree(place(winner.pose[None], winner.template.points)[0])
    small = min(winner.template.small, template.small)
    # which way round it is meant the paint would have told
    for points in place(orbit(template, rival.pose), edges):
        own = points[theirs.query(points)[0] > OFF * max(LEAST_SMALL, small)]
        if len(own) and _drawn(rival, own):
            return True
    return False


def painted_beside(rival: Candidate, winner: Candidate) -> bool:
    """Are the rival's filled marks painted, or nearly, one of them apart from the winner's, and is nothing else
    against it but that its lines are not quite as written, or a text inside?  That paint is somebody's, the winner
    does not say whose.
    """
    painted = rival.by.here.painted if rival.by is not None else None
    if (
        painted is None
        or painted < NEARLY
        or not all(d.soft or d.inside or d.what == UNFILLED for d in rival.doubts)
    ):
        return False
    theirs = [
        shapely.make_valid(shapely.Polygon(place(winner.pose[None], ring)[0]))
        for ring in winner.template.drawn.fills
    ]
    ground = shapely.union_all(theirs) if theirs else shapely.Polygon()
    each = (place(rival.pose[None], points)[0] for points in rival.template.fill_points if len(points))
    return any(shapely.contains_xy(ground, *points.T).mean() < THEIRS for points in each)


def _drawn(rival: Candidate, points: FloatArray) -> bool:
    """Are nearly all of the points (p, 2) on strokes?"""
    point, stroke = rival.ink.grid.near(points, rival.template.clear)
    on = ~rival.ink.standin[stroke] & ~rival.ink.hatch[stroke]
    return bool(len(np.unique(point[on])) >= LEAST * len(points))
