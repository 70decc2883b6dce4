"""Outlets with a ring or a box closely around them that is nobody's: another design, of which the mapping file has
only the inner part.

Terms: *frame*, lines that go all around a symbol between its body and a little beyond.
"""

from __future__ import annotations

import math

import numpy as np

from cordpath.model import OUTLET_KINDS, BoolArray, FloatArray
from cordpath.symbols.ink.grid import within
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.evidence import Candidate

FRAME = 0.6, 1.9  # radii of the body: between these from its middle lie the lines of a frame, corners too
TURNS = 48  # parts of the way round
ALL_ROUND = 0.9  # of them, from which a frame is closed: bars that end on it hide none of it, a door leaf does
FRAMED = "a line that is not its own is drawn all around it"


def in_frames(winners: tuple[Candidate, ...]) -> tuple[Candidate, ...]:
    """The winners, outlets in doubt that have a frame of nobody's."""
    out = list(winners)
    asked = [k for k, c in enumerate(winners) if c.found and c.template.entry.kind in OUTLET_KINDS and c.radius > 0]
    for ink in {id(winners[k].ink): winners[k].ink for k in asked}.values():
        free = np.ones(ink.count, bool)
        for c in winners:
            if c.ink is ink:
                free[c.whole[c.whole < ink.count]] = False
        mine = [k for k in asked if winners[k].ink is ink and not winners[k].template.text_only]
        bodies = np.array([[*winners[k].centre, winners[k].radius] for k in mine]).reshape(-1, 3)
        for k in np.flatnonzero(_framed(bodies, ink, free)):
            out[mine[k]] = out[mine[k]].doubted(FRAMED)
    return tuple(out)


def _framed(bodies: FloatArray, ink: Ink, free: BoolArray) -> BoolArray:
    """(n,) of bodies (n, 3), middle and radius: frames of ``free`` strokes are around them."""
    seen = np.zeros((len(bodies), TURNS), bool)
    if not len(bodies):
        return np.zeros(0, bool)
    body, k = ink.grid.near(bodies[:, :2], FRAME[1] * float(bodies[:, 2].max()))
    drawn = np.flatnonzero(k < ink.count)
    body, k = body[drawn], k[drawn]
    radius = bodies[body, 2]
    longest = 2 * FRAME[1] * radius * np.where(ink.curved[k], math.pi, 1.0)
    ends = ink.xy[k].reshape(-1, 2, 2) - bodies[body, None, :2]
    kept = free[k] & ~ink.hatch[k] & (ink.run[k] <= longest)
    kept &= (np.hypot(ends[..., 0], ends[..., 1]) <= FRAME[1] * radius[:, None]).all(1)
    kept &= ~within(ink.xy[k], bodies[body, :2], FRAME[0] * radius)
    body, ends = body[kept], ends[kept]
    turn = np.arctan2(ends[..., 1], ends[..., 0])
    sweep = (turn[:, 1] - turn[:, 0] + math.pi) % (2 * math.pi) - math.pi
    start = np.where(sweep < 0, turn[:, 1], turn[:, 0]) * TURNS / (2 * math.pi)
    end = start + np.abs(sweep) * TURNS / (2 * math.pi)
    first, last = (np.floor(each).astype(np.int64) for each in (start, end))
    count = last - first + 1
    row = np.repeat(np.arange(len(body)), count)
    step = np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)
    seen[body[row], (first[row] + step) % TURNS] = True
    return np.asarray(seen.mean(1) >= ALL_ROUND, bool)
