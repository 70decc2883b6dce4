"""Curved walls: two chains of short strokes that run beside each other as far apart as the faces of a wall.

Terms: *curve*, a chain of strokes that bends to one side.  *Sector*, the strip between two curves as far as both
go; for the search for wall ends it is cut into bands, corners ordered as those of a band.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import arc
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.rooms.ink import Ink
from cordpath.rooms.openings.arcs import chains

LEAST_TURN = 0.002  # radians between chords: those of a wide bow turn less than those of a door
PIECE_IN = 30.0  # longest chord of a curve: a quarter circle of 5 ft in three pieces
RADIUS_IN = (20.0, 1200.0)  # of a wall's face: a round stair to a bow front
LONG_IN = 24.0  # least length of a curve
BENT = 0.05  # how far it may lie off a circle, of its radius: elliptic and drawn by hand
APART_IN = 0.5  # how much the distance of two faces may vary: chords of two curves differ by their rise
OVERLAP_IN = 12.0  # least length that two faces run together
STEP_IN = 4.0  # length of the bands that a sector is cut into


@dataclass(frozen=True, eq=False)
class Curve:
    strokes: IntArray  # index into the ink
    line: BaseGeometry


@dataclass(frozen=True, eq=False)
class Curved:
    """Curved walls of one class of strokes."""

    sectors: NDArray[np.object_]
    bands: FloatArray  # (b, 4, 2)
    used: IntArray  # strokes


def curved_walls(ink: Ink, mask: BoolArray, gap_in: tuple[float, float], inch: float) -> Curved:
    """Walls between two curves ``gap_in`` inches apart; a curve with more than two partners is a stair or a rug."""
    curves = find_curves(ink, mask, inch)
    pairs = [
        (a, b, quads)
        for i, a in enumerate(curves)
        for b in curves[:i]
        if (quads := _between(a, b, gap_in, inch)) is not None
    ]
    count = np.bincount([curves.index(c) for a, b, _ in pairs for c in (a, b)], minlength=len(curves))
    pairs = [p for p in pairs if max(count[curves.index(c)] for c in p[:2]) <= 2]
    sectors = [shapely.union_all(shapely.buffer(shapely.polygons(q), 0.02 * inch)) for _, _, q in pairs]
    used = np.unique(np.concatenate([c.strokes for p in pairs for c in p[:2]])) if pairs else np.zeros(0)
    bands = np.concatenate([q for _, _, q in pairs]) if pairs else np.zeros((0, 4, 2))
    return Curved(np.array(sectors, object), bands, used.astype(np.int64))


def find_curves(ink: Ink, mask: BoolArray, inch: float) -> list[Curve]:
    pick = np.flatnonzero(mask & (ink.length < PIECE_IN * inch) & (ink.length > 0.3))
    if len(pick) < 3:
        return []
    label = chains(ink.xy[pick], LEAST_TURN)
    total = np.bincount(label, weights=ink.length[pick])
    count = np.bincount(label)
    found = []
    for number in np.flatnonzero((total > LONG_IN * inch) & (count >= 3)):
        curve = _ordered(pick[label == number], ink, inch)
        if curve is not None:
            found.append(curve)
    return found


def _ordered(strokes: IntArray, ink: Ink, inch: float) -> Curve | None:
    """The chain as a line, in the order of the angle round its middle circle."""
    found = arc(ink.xy[strokes].reshape(-1, 2))
    if found is None:
        return None
    _, radius, residual, along, _ = found
    fits = RADIUS_IN[0] * inch < radius < RADIUS_IN[1] * inch and residual <= max(BENT * radius, 0.4)
    return Curve(strokes, shapely.linestrings(along)) if fits else None


def _between(a: Curve, b: Curve, gap_in: tuple[float, float], inch: float) -> FloatArray | None:
    """(n, 4, 2) bands between two curves where they run beside each other at the distance of a wall."""
    if shapely.distance(a.line, b.line) > gap_in[1] * inch:
        return None
    steps = max(4, int(np.ceil(a.line.length / (STEP_IN * inch))))
    here = shapely.line_interpolate_point(a.line, np.linspace(0, 1, steps + 1), normalized=True)
    there = shapely.line_interpolate_point(b.line, shapely.line_locate_point(b.line, here))
    p, q = shapely.get_coordinates(here), shapely.get_coordinates(there)
    away = np.hypot(*(q - p).T)
    fits = (away >= gap_in[0] * inch) & (away <= gap_in[1] * inch)
    if not fits.any():
        return None
    fits &= np.abs(away - np.median(away[fits])) < APART_IN * inch
    both = np.flatnonzero(fits[:-1] & fits[1:])
    if len(both) * a.line.length / steps < OVERLAP_IN * inch:
        return None
    return np.stack([p[both], p[both + 1], q[both + 1], q[both]], 1)
