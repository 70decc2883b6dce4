"""Shapes of single dashes that were drawn as areas: straight ones with half discs at their ends, and bent ones."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import lengths
from cordpath.model import BoolArray, FloatArray
from cordpath.sheet.ink.pen_areas import LEFT, WIDEST_PEN, cores, middles

ROUND_ENDED = 9  # corners of a dash with half discs at its ends, at least
ONE_PEN = 0.06  # of the width, by which dashes of one pen differ
BLUNT = math.radians(60)  # the least turn at the corners of a dash's end


def round_ended(area: NDArray[np.object_]) -> tuple[FloatArray, FloatArray, BoolArray]:
    """(n, 4) middle lines between the middles of the half discs at the ends of areas, (n,) how broad they are, and
    (n,) which are straight dashes with such ends: what fills as much of the box along it."""
    if not len(area):
        return np.zeros((0, 4)), np.zeros(0), np.zeros(0, bool)
    box = shapely.oriented_envelope(area)
    flat = shapely.get_type_id(box) == shapely.GeometryType.POLYGON
    corner = np.zeros((len(area), 4, 2))
    corner[flat] = shapely.get_coordinates(shapely.get_exterior_ring(box[flat])).reshape(-1, 5, 2)[:, :4]
    middle, width = middles(corner)
    long = np.maximum(lengths(middle), 1e-9)
    wanted = width * (long - width) + math.pi / 4 * width**2
    round_ = flat & (np.abs(shapely.area(area) - wanted) <= ONE_PEN / 2 * wanted)
    round_ &= (
        (width <= WIDEST_PEN) & (long - width >= width / 2) & (shapely.get_num_coordinates(area) >= ROUND_ENDED)
    )
    inward = (middle[:, 2:] - middle[:, :2]) * (width / long / 2)[:, None]
    return np.concatenate([middle[:, :2] + inward, middle[:, 2:] - inward], axis=1), width, round_


def bent(ring: FloatArray) -> tuple[FloatArray, float] | None:
    """(2, 4) the middle line of a bent dash, in two pieces, and its width; None where it has not two blunt ends."""
    side = np.diff(ring, axis=0)
    edge = np.hypot(*side.T)
    n = len(edge)
    before = np.roll(side, 1, axis=0)
    turn = np.arctan2(before[:, 0] * side[:, 1] - before[:, 1] * side[:, 0], (before * side).sum(axis=1))
    turn *= np.sign(turn.sum())  # outward corners turn the way that the ring runs
    blunt = np.flatnonzero((turn > BLUNT) & (np.roll(turn, -1) > BLUNT))
    if n < 5 or len(blunt) < 2:
        return None
    i, j = sorted(int(k) for k in blunt[np.argsort(edge[blunt], kind="stable")[:2]])
    if abs(edge[j] - edge[i]) > ONE_PEN * edge[i] or min(j - i, n - j + i) < 2:
        return None
    open_ring = ring[:-1]
    one = open_ring[np.arange(i + 1, j + 1) % n]
    other = open_ring[np.arange(j + 1, i + n + 1) % n][::-1]
    line = np.array([(one[0] + other[0]) / 2, (_halfway(one) + _halfway(other)) / 2, (one[-1] + other[-1]) / 2])
    return np.concatenate([line[:-1], line[1:]], axis=1), float((edge[i] + edge[j]) / 2)


def bent_round(ring: FloatArray) -> tuple[FloatArray, float] | None:
    """As :func:`bent`, of a dash with half discs at its ends: of one w broad and L long, A = wL + πw²/4 and the
    way around it P = 2L + πw."""
    area = shapely.Polygon(ring)
    spread = area.length**2 - 4 * math.pi * area.area
    width = (area.length - math.sqrt(max(spread, 0.0))) / math.pi
    if len(ring) < ROUND_ENDED or spread <= 0 or not area.is_valid or not 2 * LEFT < width <= WIDEST_PEN:
        return None
    (core,), (is_line,) = cores(np.array([area]), np.array([width]))
    if not is_line:
        return None
    at = shapely.get_coordinates(core.exterior)[:-1]
    apart = np.hypot(*np.moveaxis(at[:, None] - at[None], 2, 0))
    i, j = sorted(int(k) for k in np.unravel_index(apart.argmax(), apart.shape))
    if j - i < 2 or len(at) - j + i < 2:
        return None
    one, other = at[i : j + 1], np.concatenate([at[j:], at[: i + 1]])[::-1]
    line = np.array([at[i], (_halfway(one) + _halfway(other)) / 2, at[j]])
    return np.concatenate([line[:-1], line[1:]], axis=1), width


def _halfway(chain: FloatArray) -> FloatArray:
    """(2,) the corner of a chain of three points, the middle of its way otherwise."""
    if len(chain) == 3:
        corner: FloatArray = chain[1]
        return corner
    way = np.r_[0.0, np.cumsum(np.hypot(*np.diff(chain, axis=0).T))]
    return np.array([np.interp(way[-1] / 2, way, chain[:, k]) for k in (0, 1)])
