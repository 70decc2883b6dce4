"""The outline of a fixture to which distances run.

Terms: *closed outline*, a ring of marks, whether one mark or loose lines and arcs that touch; *bowl*, a closed
outline strictly inside the outermost one and not inside another; *drain*, a small ring in a bowl.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import FIXTURE_KINDS, SymbolEntry
from cordpath.symbols.rings import touching_faces
from cordpath.symbols.template import MADE, Template

INNER_KINDS = frozenset({"sink", "lavatory"})
DRAIN_IN = 4.0  # inches across, real size: drains and overflows are smaller, the smallest bowls are 9 in
DRAIN_SHARE = 0.2  # of the outline's width, where the real size is not known
WHOLE = 0.75  # share of the hull of all marks that the outermost outline covers: a tap may stand behind the rim


def edge_wanted(entry: SymbolEntry) -> str:
    """``inner`` or ``outer``: what the entry says, else the bowl of basins and the outside of all else."""
    return entry.edge or ("inner" if entry.kind in INNER_KINDS else "outer")


@lru_cache(maxsize=MADE)
def edge_of(template: Template) -> tuple[BaseGeometry | None, str | None]:
    """The edge in the template frame, and what there is to say about it.  None for what is no fixture."""
    if template.entry.kind not in FIXTURE_KINDS or template.text_only:
        return None, None
    outlines = closed_outlines(template)
    if not outlines:
        return template.body, "no closed outline: distances run to its hull"
    whole = outlines[0].convex_hull.area >= WHOLE * template.body.area
    outermost = outlines[0] if whole else template.body
    if edge_wanted(template.entry) == "outer":
        return outermost, None if whole else "its outline is not closed: distances run to its hull"
    bowls = _bowls(outlines[1:] if whole else outlines, outermost, _drain(template, outermost))
    if bowls:
        return shapely.unary_union(bowls), None
    if not whole:
        return outermost, "its outline is not closed and no bowl is: distances run to its hull"
    return outermost, "it has one closed outline only: distances run to that, not to a bowl inside"


def _drain(template: Template, outermost: BaseGeometry) -> float:
    x0, y0, x1, y1 = outermost.bounds
    if template.entry.size == "real":
        return DRAIN_IN * template.unit
    return DRAIN_SHARE * max(x1 - x0, y1 - y0)


def _bowls(outlines: list[BaseGeometry], outermost: BaseGeometry, drain: float) -> list[BaseGeometry]:
    inside = []
    for ring in outlines:
        x0, y0, x1, y1 = ring.bounds
        strict = outermost.buffer(1e-6).contains(ring) and ring.area < 0.98 * outermost.area
        if strict and max(x1 - x0, y1 - y0) >= drain:
            inside.append(ring)
    return [ring for k, ring in enumerate(inside)
            if not any(other.buffer(1e-6).contains(ring) for other in inside[:k])]  # fmt: skip


def closed_outlines(template: Template) -> list[BaseGeometry]:
    """Closed outlines of the template's marks, largest first; marks that touch make outlines together."""
    xy, _ = template.drawn.chords()
    found: list[BaseGeometry] = []
    for faces in touching_faces(xy):
        for part in shapely.get_parts(shapely.unary_union(faces)) if len(faces) else ():
            found.append(shapely.Polygon(part.exterior))
            found += _cores(faces, found[-1])
    return sorted(found, key=lambda ring: -ring.area)


def _cores(faces: NDArray[np.object_], whole: BaseGeometry) -> list[BaseGeometry]:
    """What is left of an outline without the faces along it: the bowl whose corners lines join to the rim's."""
    shared = shapely.length(shapely.intersection(shapely.boundary(faces), whole.exterior))
    inner = faces[(shared < 1e-6) & shapely.covered_by(faces, whole)]
    if not len(inner) or len(inner) == len(faces):
        return []
    return [shapely.Polygon(part.exterior) for part in shapely.get_parts(shapely.unary_union(inner))]
