"""Fixtures drawn as the trade usually draws them, whatever their make: ``usual: true`` in the mapping file.

Terms: *drain*, *bowl* and *rim* as in fixture_shapes.py; *oval*, a ring that covers as much of its rectangle as an
ellipse does; *tap*, a line or small circles between bowl and rim; *tank*, the box behind a water closet's bowl.

One template serves one size and one radius of corners, and makers have a hundred.  What is told here has a drain in
each bowl, nothing else between drain and bowl, no writing, and the proportions of its kind; what lacks one of these
stays a question.  Round bowls in round rims are left to it: trees, columns and tables with a parasol look the same.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import lines, midpoints
from cordpath.model import FloatArray, Kind
from cordpath.symbols.appliance_shapes import TANK
from cordpath.symbols.rings import Sides, is_rounded, rings, share_of, sides_of, within

# Inches of the building, least and most of the longer and of the shorter side: common practice, no source.
SINK_RIM: tuple[Sides, Sides] = ((13, 49), (12.5, 27))
SINGLE_RIM = 37.0  # longest rim about one bowl
BASIN_BOWL: tuple[Sides, Sides] = ((9, 36), (8.5, 24))
LAVATORY_BOWL: tuple[Sides, Sides] = ((11.5, 21), (8.5, 17.5))
LONE_BOWL: tuple[Sides, Sides] = ((14.5, 22.5), (11.5, 18.5))  # an oval without a rim, set into a top
ROUND_BOWL: tuple[Sides, Sides] = ((10, 17.5), (10, 17.5))
ROUND_RIM: tuple[Sides, Sides] = ((15, 26), (12.5, 23))
TUB_RIM: tuple[Sides, Sides] = ((44, 85), (25, 50))
TUB_BOWL: tuple[Sides, Sides] = ((36, 80), (18, 46))
CORNER_RIM: tuple[Sides, Sides] = ((46, 74), (46, 74))
BASKET = 2.4, 4.7  # across a sink's drain
OUTLET = 0.9, 3.2  # across the drain of a lavatory or a tub
MARGIN = 7.0  # from a basin's bowl to its rim, and
DECK = 11.0  # from a tub's
BETWEEN = 5.0  # from one bowl to the next, where no rim holds them
# Shares.
OVAL = 0.755, 0.815  # of its rectangle: an ellipse covers .785, and a polygon of twenty sides .77
OBLONG = 1.12  # an oval is longer than it is wide
STRAIGHT = 0.86  # of its rectangle that a bowl with straight sides covers at least
BOXY = 0.94  # of its rectangle that a rim with straight sides covers
FILLS = 0.38, 0.50  # of a rim that one bowl, and that two bowls fill at least
OVAL_FILLS = 0.29  # and that an oval one fills
LIKE = 0.6  # one bowl's depth over the other's
MIDDLE = 0.36  # of a bowl's side by which its drain lies off the middle at most
END = 0.30  # of a tub's length within which the drain lies from an end, and of its width from a side
CUT = 0.78, 0.96  # of its square that the rim of a corner tub covers


@dataclass(frozen=True, eq=False)
class Basin:
    """Bowls with their drains, (k, 3) centre and radius, and the rim around them; all on the page."""

    bowls: tuple[BaseGeometry, ...]
    rim: BaseGeometry | None
    drains: FloatArray

    @property
    def outline(self) -> BaseGeometry:
        return self.rim if self.rim is not None else shapely.union_all(list(self.bowls))


def rimmed(basin: Basin, ink: FloatArray, inch: float) -> Basin:
    """Bowls that have no rim close around each, with the rim around both, or the square of a corner tub, as theirs
    where it is drawn."""
    if basin.rim is not None:
        return basin
    whole = shapely.union_all(list(basin.bowls))
    around = [ring for ring in rings(ink) if ring.covers(whole) and ring.area > 1.02 * whole.area]
    if len(basin.bowls) == 2:
        around = [ring for ring in around if _rimmed(whole, ring, SINK_RIM, MARGIN, FILLS[1], inch)]
    else:
        around = [ring for ring in around if _is_corner(ring, inch)]
    return replace(basin, rim=min(around, key=lambda ring: float(ring.area))) if around else basin


def _is_corner(rim: BaseGeometry, inch: float) -> bool:
    return within(sides_of(rim, inch), CORNER_RIM) and CUT[0] <= share_of(rim) <= CUT[1]


def usual_kind(basin: Basin, ink: FloatArray, words: FloatArray, inch: float) -> Kind | None:
    """What the usual drawing of a basin or tub shows, None where it is not drawn in full.

    ``ink``: (n, 4) strokes near it that nothing explains; ``words``: (m, 2) middles of the words of the sheet;
    ``inch``: points of an inch of the building.
    """
    if len(words) and shapely.contains_xy(basin.outline, words[:, 0], words[:, 1]).any():
        return None
    if len(basin.drains) != len(basin.bowls):
        return None
    closed = rings(ink)
    pairs = list(zip(basin.bowls, basin.drains, strict=True))
    if any(_between(bowl, drain, closed, inch) for bowl, drain in pairs):
        return None
    if len(pairs) == 2:
        return "sink" if _double(basin, inch) else None
    if len(pairs) != 1:
        return None
    if _tub(basin, inch):
        return "bathtub"
    if (_lavatory(basin, inch) or _round(basin, ink, inch)) and not _has_tank(basin.outline, closed, inch):
        return "lavatory"
    return "sink" if _single(basin, ink, inch) else None


def _between(bowl: BaseGeometry, drain: FloatArray, closed: list[BaseGeometry], inch: float) -> bool:
    """Is something larger than a drain drawn around it within its bowl: a lampshade, a burner?"""
    core = shapely.Point(drain[:2])
    around = (ring for ring in closed if ring.covers(core) and ring.area < 0.96 * bowl.area)
    return any(sides_of(ring, inch)[0] > BASKET[1] + 0.5 for ring in around)


def _double(basin: Basin, inch: float) -> bool:
    """Two bowls abreast of like depth, each with its drain, in one rim or close together."""
    one, two = basin.bowls
    if not all(within(sides_of(bowl, inch), BASIN_BOWL) and share_of(bowl) >= STRAIGHT for bowl in basin.bowls):
        return False
    if not all(_drained(bowl, drain, (OUTLET[0], BASKET[1]), inch) for bowl, drain in
               zip(basin.bowls, basin.drains, strict=True)):  # fmt: skip
        return False
    both = shapely.union(one, two)
    hull = shapely.minimum_rotated_rectangle(both)
    abreast = both.area >= 0.8 * hull.area and one.distance(two) <= BETWEEN * inch
    if not abreast or min(one.area, two.area) < LIKE**2 * max(one.area, two.area):
        return False
    if basin.rim is None:
        return all(is_rounded(bowl, inch) for bowl in basin.bowls)
    return _rimmed(both, basin.rim, SINK_RIM, MARGIN, FILLS[1], inch)


def _single(basin: Basin, ink: FloatArray, inch: float) -> bool:
    """One bowl with rounded corners in a rim, with a sink's drain, or a smaller one and a tap."""
    (bowl,), rim = basin.bowls, basin.rim
    if (
        rim is None
        or not is_rounded(bowl, inch)
        or share_of(bowl) < STRAIGHT
        or sides_of(rim, inch)[0] > SINGLE_RIM
    ):
        return False
    if not within(sides_of(bowl, inch), BASIN_BOWL) or not _rimmed(bowl, rim, SINK_RIM, MARGIN, FILLS[0], inch):
        return False
    drain = basin.drains[0]
    wanted = (OUTLET[0], BASKET[1]) if _tapped(bowl, rim, drain, ink, inch) else BASKET
    return _drained(bowl, drain, wanted, inch)


def _lavatory(basin: Basin, inch: float) -> bool:
    """An oval bowl with a small drain, in a rim of any form or set into a top."""
    (bowl,), rim = basin.bowls, basin.rim
    long, wide = sides_of(bowl, inch)
    if not OVAL[0] <= share_of(bowl) <= OVAL[1] or long < OBLONG * wide:
        return False
    if not _drained(bowl, basin.drains[0], OUTLET, inch):
        return False
    if rim is None:
        return within((long, wide), LONE_BOWL)
    return within((long, wide), LAVATORY_BOWL) and _rimmed(bowl, rim, SINK_RIM, MARGIN, OVAL_FILLS, inch)


def _round(basin: Basin, ink: FloatArray, inch: float) -> bool:
    """A round bowl with a small drain in a rim with straight sides, with its tap: without one it may be a lamp."""
    (bowl,), rim = basin.bowls, basin.rim
    if rim is None or share_of(rim) < BOXY or not OVAL[0] <= share_of(bowl) <= OVAL[1]:
        return False
    if not within(sides_of(bowl, inch), ROUND_BOWL) or not _rimmed(bowl, rim, ROUND_RIM, MARGIN, FILLS[0], inch):
        return False
    return _drained(bowl, basin.drains[0], OUTLET, inch) and _tapped(bowl, rim, basin.drains[0], ink, inch)


def _tub(basin: Basin, inch: float) -> bool:
    """A long bowl with rounded corners in a rim with straight sides, its drain at an end or at a side; or one in a
    square whose corner is cut."""
    (bowl,), rim = basin.bowls, basin.rim
    if rim is None or not is_rounded(bowl, inch) or not within(sides_of(bowl, inch), TUB_BOWL):
        return False
    drain = basin.drains[0]
    if not OUTLET[0] <= 2 * drain[2] / inch <= BASKET[1]:
        return False
    if _is_corner(rim, inch):
        return bowl.area >= FILLS[0] * rim.area
    if share_of(rim) < BOXY or not _rimmed(bowl, rim, TUB_RIM, DECK, FILLS[1], inch):
        return False
    along, across = off_middle(bowl, drain)
    return along >= 0.5 - END or across >= 0.5 - END


def _rimmed(
    bowls: BaseGeometry, rim: BaseGeometry, sizes: tuple[Sides, Sides], margin: float, fills: float, inch: float
) -> bool:
    around, inside = sides_of(rim, inch), sides_of(bowls, inch)
    close = all(a - b <= 2 * margin for a, b in zip(around, inside, strict=True))
    return close and within(around, sizes) and bowls.area >= fills * rim.area


def _drained(bowl: BaseGeometry, drain: FloatArray, across: Sides, inch: float) -> bool:
    """Is the drain of the size wanted, and about the middle of its bowl?"""
    return across[0] <= 2 * drain[2] / inch <= across[1] and max(off_middle(bowl, drain)) <= MIDDLE


def off_middle(bowl: BaseGeometry, drain: FloatArray) -> tuple[float, float]:
    """How far a drain lies off the middle, in shares of the bowl's length and width; .5 is its edge."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(bowl))
    one, two = corners[1] - corners[0], corners[2] - corners[1]
    away = drain[:2] - (corners[0] + corners[2]) / 2
    shares = [abs(float(away @ side)) / float(side @ side) for side in (one, two)]
    return (shares[0], shares[1]) if one @ one >= two @ two else (shares[1], shares[0])


def _tapped(bowl: BaseGeometry, rim: BaseGeometry, drain: FloatArray, ink: FloatArray, inch: float) -> bool:
    """Is a tap drawn: strokes inside the rim that are neither the bowl's nor the drain's?"""
    if not len(ink):
        return False
    middles = midpoints(ink)
    inside = shapely.contains_xy(rim.buffer(-0.6 * inch), middles[:, 0], middles[:, 1])
    own = shapely.distance(lines(ink), bowl.boundary) < 0.4 * inch
    own &= shapely.distance(shapely.points(middles), bowl.boundary) < 0.4 * inch
    own |= np.hypot(*(middles - drain[:2]).T) < drain[2] + 0.4 * inch
    return bool((inside & ~own).any())


def _has_tank(outline: BaseGeometry, closed: list[BaseGeometry], inch: float) -> bool:
    """Does a water closet's tank stand behind what would be an oval basin?"""
    near = (ring for ring in closed if within(sides_of(ring, inch), TANK) and share_of(ring) > 0.9)
    return any(ring.distance(outline) < 4 * inch and not outline.covers(ring) for ring in near)
