"""Lays an old sheet over a new one: which shift, turn and scale brings the most of it into place.

Terms: *anchor*, a point of a sheet with a label (a room's middle by its name, a fixture or an outlet by its
symbol); *laying*, a similarity without mirroring, written as z' = turn · z + shift for points as complex numbers in
page coordinates; *support*, the share of old anchors that fall on new ones of their label.

Method: two pairs of equally labelled anchors fix a laying (random sample consensus after Fischler and Bolles, 1981,
here over all pairs of the rarest labels, so that the same input gives the same laying); the best one is refined by
least squares over a one-to-one assignment.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

from cordpath.model import FloatArray, Point

ComplexArray = NDArray[np.complex128]
CLOSE_PT = 9.0  # pt of the new sheet, 1/8 in: a device that is drawn anew at its place is within it
SCALES = (0.2, 5.0)  # from a full sheet to letter paper and back
PAIRS_MOST = 60  # pairs of anchors that layings are made of, rarest labels first
TRIED_MOST = 1500
APART = 0.08  # of the sheet's extent: nearer anchors fix a turn badly
ROUNDS = 4
LEAST = 3  # anchors in place; two are in place by construction


@dataclass(frozen=True)
class Laying:
    """``turn``: scale and rotation; ``support``: 0 to 1."""

    turn: complex
    shift: complex
    support: float

    def map(self, points: Sequence[Point] | FloatArray) -> FloatArray:
        moved = self.turn * _complex(points) + self.shift
        return np.column_stack([moved.real, moved.imag])


@dataclass(frozen=True)
class Anchors:
    points: tuple[Point, ...]
    labels: tuple[str, ...]


def lay_over(old: Anchors, new: Anchors) -> Laying | None:
    """The best laying; None where nothing holds it."""
    if len(old.points) < LEAST or len(new.points) < LEAST:
        return None
    a, b = _complex(old.points), _complex(new.points)
    same = np.array(old.labels)[:, None] == np.array(new.labels)[None, :]
    turns, shifts = _tried(a, b, old.labels, new.labels)
    scores = np.array([_score(t * a + s, b, same) for t, s in zip(turns, shifts, strict=True)])
    if not len(scores) or scores.max() <= 0:
        return None
    best = int(scores.argmax())
    turn, shift, count = _refined(complex(turns[best]), complex(shifts[best]), a, b, same)
    return Laying(turn, shift, count / len(a)) if count >= LEAST else None


def _complex(points: Sequence[Point] | FloatArray) -> ComplexArray:
    flat = np.asarray(points, float).reshape(-1, 2)
    return flat[:, 0] + 1j * flat[:, 1]


def _tried(
    a: ComplexArray, b: ComplexArray, old: Sequence[str], new: Sequence[str]
) -> tuple[ComplexArray, ComplexArray]:
    """Layings worth trying: the sheet as it was, then those that two pairs of anchors fix."""
    here, there = Counter(old), Counter(new)
    pairs = [
        (here[label] * there[label], i, j) for i, label in enumerate(old) for j, x in enumerate(new) if x == label
    ]
    pairs = sorted(pairs)[:PAIRS_MOST]
    extent = float(max(np.ptp(a.real), np.ptp(a.imag)))
    turns, shifts = [1.0 + 0j], [0j]
    for (_, i, j), (_, k, m) in combinations(pairs, 2):
        if i == k or j == m or abs(a[i] - a[k]) <= APART * extent or len(turns) >= TRIED_MOST:
            continue
        turn = (b[j] - b[m]) / (a[i] - a[k])
        if SCALES[0] <= abs(turn) <= SCALES[1]:
            turns.append(complex(turn))
            shifts.append(complex(b[j] - turn * a[i]))
    return np.array(turns), np.array(shifts)


def _score(moved: ComplexArray, b: ComplexArray, same: NDArray[np.bool_]) -> float:
    """How much of the old lies on the new, and of the new under the old, so that nothing is folded together."""
    worth = np.where(same, np.clip(1 - np.abs(moved[:, None] - b[None, :]) / CLOSE_PT, 0, None), 0)
    return float(min(worth.max(axis=1).sum(), worth.max(axis=0).sum()))


def _refined(
    turn: complex, shift: complex, a: ComplexArray, b: ComplexArray, same: NDArray[np.bool_]
) -> tuple[complex, complex, int]:
    count = 0
    for _ in range(ROUNDS):
        away = np.abs((turn * a + shift)[:, None] - b[None, :])
        away = np.where(same & (away <= CLOSE_PT), away, 1e6)
        rows, columns = linear_sum_assignment(away)
        held = away[rows, columns] <= CLOSE_PT
        count = int(held.sum())
        if count < LEAST:
            break
        p, q = a[rows[held]], b[columns[held]]
        spread = p - p.mean()
        norm = float((np.abs(spread) ** 2).sum())
        if norm <= 0:
            break
        turn = complex((np.conj(spread) * (q - q.mean())).sum() / norm)
        shift = complex(q.mean() - turn * p.mean())
    return turn, shift, count
