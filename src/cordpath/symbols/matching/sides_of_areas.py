"""Lines of a symbol that no pen has drawn, where the side of an area lies: the leg of an outlined A is no tick.

Edges of paint count as lines, since marks are often painted without a pen, and thin bars as areas.  An area that is
neither a filled mark of the symbol nor a bar along the line is somebody else's.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import FloatArray
from cordpath.symbols.matching.borrowed import PIECE, undrawn
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.matching.in_common import painted
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.pose import SCALE, place

BY_AREA = "one of its lines may be the side of a letter or of another area"
THICK = 2.0  # pt: bars of symbols that are drawn as areas are no thicker (common practice, no source)


def without_sides_of_areas(c: Candidate, paint: Paint) -> Candidate:
    """The candidate, in doubt where one of its lines is drawn by nothing but the side of another thing's area."""
    template = c.template
    if not c.found or template.text_only or not len(paint.shapes):
        return c
    bare = template.drawn.penned[undrawn(c)[template.drawn.penned]]
    samples = place(c.pose[None], template.points)[0]
    for line in bare.tolist():
        mine = samples[template.element == line]
        if len(mine) > 1 and _is_side(mine, _others(c, paint, mine), _close(c)):
            return c.doubted(BY_AREA)
    return c


def _close(c: Candidate) -> float:
    return c.template.clear * float(c.pose[SCALE]) + 0.1


def _others(c: Candidate, paint: Paint, samples: FloatArray) -> NDArray[np.object_]:
    """Areas at the samples (n, 2) of a line that are not for the most part the symbol's own paint."""
    near = paint.shapes[paint.tree.query(shapely.MultiPoint(samples), predicate="dwithin", distance=_close(c))]
    return near[shapely.area(shapely.intersection(near, painted(c))) < shapely.area(near) / 2]


def _is_side(samples: FloatArray, areas: NDArray[np.object_], close: float) -> bool:
    """Do the samples of a line (n, 2) lie for the most part on sides of areas, of which one is no bar along it?"""
    if not len(areas):
        return False
    way = (samples[-1] - samples[0]) / max(1e-9, float(np.hypot(*(samples[-1] - samples[0]))))
    points, owner = shapely.get_coordinates(areas, return_index=True)
    off = np.abs((points - samples[0]) @ np.array([-way[1], way[0]]))
    broad = areas[np.unique(owner[off > THICK + close])]
    sides = shapely.union_all(shapely.boundary(broad))
    on = shapely.distance(shapely.points(samples), sides) < close
    return len(broad) > 0 and bool(on.mean() > PIECE)
