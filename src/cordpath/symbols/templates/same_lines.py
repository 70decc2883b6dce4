"""How the lines of one template lie on those of another: two examples may have been picked at any turn.

Terms: *turn*, radians and 1 where the shape is mirrored first, about its centre, as in ``symmetries``.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from cordpath.model import FloatArray
from cordpath.symbols.pose import MIRROR, TURN, about, place
from cordpath.symbols.templates.symmetries import FEW, Turn
from cordpath.symbols.templates.template import Template

INK = 0.05  # relative, by which the ink of the two differs at most
OFF = 0.4  # pt at full size between their lines
# pt that the lines of examples on a plotter's grid lie apart more: each of the two is up to 0.06 pt off, both ways
GRID = 0.17
STEP = 2  # degrees between the turns that are tried
APART = 15  # degrees between turns that are kept where all of them fit, as those of circles do
FINER = (0.0, -1.0, -0.5, 0.5, 1.0)  # degrees about a turn that nearly fits


def laid_on(one: Template, other: Template) -> tuple[Turn, ...]:
    """The turns that lay the lines of ``other`` on those of ``one``; none where they are not the same.

    Shapes that are written down have one frame; where one is a picked example, every turn is tried.
    """
    if one.text_only or other.text_only or abs(one.ink - other.ink) > INK * one.ink:
        return ()
    return _turns(one, other)


def on_the_other(one: Template, other: Template, poses: FloatArray) -> FloatArray:
    """(n * k, 5) the poses of ``one`` as poses of ``other``, for each of the turns in which it lies there: those of
    the first turn come first."""
    moved = []
    centre = place(poses, one.centre[None])[:, 0]
    for turn, mirror in laid_on(one, other):
        each = poses.copy()
        each[:, TURN] += (1 - 2 * poses[:, MIRROR]) * turn
        each[:, MIRROR] = (poses[:, MIRROR] + mirror) % 2
        moved.append(about(each, other.centre, centre))
    return np.concatenate(moved) if moved else poses[:0]


@lru_cache(maxsize=4096)
def _turns(one: Template, other: Template) -> tuple[Turn, ...]:
    allowed = OFF * max(0.4, one.small) + 0.5 * one.step
    straight: tuple[Turn, ...] = ((0.0, 0),) if _apart(one, other, [(0.0, 0)])[0] < allowed else ()
    if one.entry.picked is None and other.entry.picked is None:
        return straight
    allowed += GRID
    every: list[Turn] = [(math.radians(a), mirror) for mirror in (0, 1) for a in range(0, 360, STEP)]
    slack = allowed + math.radians(STEP / 2) * one.radius
    every = [t for t, off in zip(every, _apart(one, other, every, FEW), strict=True) if off < slack]
    off = _apart(one, other, every)
    kept: list[Turn] = []
    for k in np.argsort(off, kind="stable").tolist():
        if off[k] < slack and not any(_near(every[k], turn) for turn in kept):
            kept.append(every[k])
    finer = [[(turn + math.radians(a), mirror) for a in FINER] for turn, mirror in kept]
    tried = [(turns, _apart(one, other, turns)) for turns in finer]
    best = [turns[int(np.argmin(off))] for turns, off in tried if off.min() < allowed]
    return tuple(best)


def _near(one: Turn, other: Turn) -> bool:
    away = (one[0] - other[0] + math.pi) % (2 * math.pi) - math.pi
    return one[1] == other[1] and abs(math.degrees(away)) < APART


def _apart(one: Template, other: Template, turns: list[Turn], every: int = 1) -> FloatArray:
    """(k,) pt that some point of the one shape is off the other at most, and the other way round, for each turn;
    ``every`` so many points of them are looked at."""
    if not turns:
        return np.zeros(0)
    turn, mirror = np.array(turns, float).T
    mine, its = (one.points - one.centre)[::every], (other.points - other.centre)[::every]
    there = _moved(its, turn, mirror) + one.centre
    back = _moved(mine, np.where(mirror > 0, turn, -turn), mirror) + other.centre
    far = [
        tree.query(p.reshape(-1, 2))[0].reshape(len(turns), -1)
        for tree, p in ((one.tree, there), (other.tree, back))
    ]
    return np.asarray(np.maximum(far[0].max(1), far[1].max(1)))


def _moved(points: FloatArray, turn: FloatArray, mirror: FloatArray) -> FloatArray:
    """(k, n, 2) points mirrored and then turned."""
    c, s = np.cos(turn)[:, None], np.sin(turn)[:, None]
    x, y = points[:, 0] * (1 - 2 * mirror)[:, None], points[None, :, 1]
    return np.stack([c * x - s * y, s * x + c * y], 2)
