"""Door swings: short strokes that follow each other round a circle.

Terms: *swing*, the quarter circle that a leaf sweeps; *hinge*, its centre; its *ends*, the latch in the closed
and in the open position (which is which, the walls tell).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cordpath.geometry import arc, bent_chains, group_boxes
from cordpath.model import FloatArray, IntArray
from cordpath.rooms.ink import Ink

TOUCH = 0.3  # pt between the ends of two strokes of one arc (rounding to 1/600 in moves each end by 0.17 at most)
LEAF_IN = (9.0, 55.0)  # radius: half leaves of bifolds to the widest single door
SWEEP = (0.3, 2.05)  # radians, 17 to 117 degrees
TURN = (0.014, 0.74)  # radians between neighbours: 0.8 to 42 degrees
NOISY = 4.0  # pt; shorter pieces turn more by rounding than by the arc, and may also go straight on
CHORD_IN = 19.0  # longest piece of an arc


@dataclass(frozen=True, eq=False)
class Swing:
    hinge: FloatArray
    radius: float
    ends: FloatArray  # (2, 2)
    sweep: float


def find_swings(ink: Ink, inch: float) -> tuple[Swing, ...]:
    """All arcs that may be door swings, in a fixed order, duplicates taken once."""
    short = np.flatnonzero((ink.length < CHORD_IN * inch) & (ink.length > 0.3))
    if len(short) < 3:
        return ()
    xy = ink.xy[short]
    label = chains(xy)
    count = np.bincount(label)
    ends = xy.reshape(-1, 2, 2)
    box = group_boxes(xy, label, len(count))
    side = (box[:, 2:] - box[:, :2]).max(1) / inch
    likely = np.flatnonzero((count >= 3) & (side > 5) & (side < 2 * LEAF_IN[1]))
    order = np.argsort(label, kind="stable")
    start = np.searchsorted(label[order], likely)
    stop = np.searchsorted(label[order], likely, side="right")
    runs = [ends[order[a:b]].reshape(-1, 2) for a, b in zip(start, stop, strict=True)]
    found = [(swing, run) for run in runs if (swing := _fit(run, inch)) is not None]
    swings: list[Swing] = []
    for swing in _mend(found, inch):
        if not any(_same(swing, other, inch) for other in swings):
            swings.append(swing)
    return tuple(swings)


def _mend(found: list[tuple[Swing, FloatArray]], inch: float) -> list[Swing]:
    """Parts of one swing whose chain was broken, fitted together."""
    parts = list(found)
    k = 0
    while k < len(parts):
        swing, points = parts[k]
        for m in range(k + 1, len(parts)):
            other, more = parts[m]
            near = np.hypot(*(swing.hinge - other.hinge)) < 0.25 * swing.radius
            meet = np.hypot(*(swing.ends[:, None] - other.ends[None]).reshape(-1, 2).T).min() < 4 * inch
            whole = _fit(np.concatenate([points, more]), inch) if near and meet else None
            if whole is not None and whole.sweep > max(swing.sweep, other.sweep) + 0.1:
                parts[k] = (whole, np.concatenate([points, more]))
                del parts[m]
                break
        else:
            k += 1
    return [swing for swing, _ in parts]


def chains(xy: FloatArray, least: float = TURN[0]) -> IntArray:
    """Number of the chain of every stroke: strokes that touch end to end and turn a little."""
    return bent_chains(xy, TOUCH, (least, TURN[1]), NOISY)


def _fit(points: FloatArray, inch: float) -> Swing | None:
    found = arc(points)
    if found is None:
        return None
    centre, radius, residual, along, sweep = found
    fits = LEAF_IN[0] * inch < radius < LEAF_IN[1] * inch and residual <= max(0.03 * radius, 0.5 * inch)
    return Swing(centre, radius, along[[0, -1]], sweep) if fits and SWEEP[0] < sweep < SWEEP[1] else None


def _same(a: Swing, b: Swing, inch: float) -> bool:
    near = np.hypot(*(a.hinge - b.hinge)) < inch
    return bool(near and np.hypot(*(a.ends.sum(0) - b.ends.sum(0))) < 4 * inch)
