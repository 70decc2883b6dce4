"""Circles through points, many at once, and the angles that chords cover on them.

Angles are radians, from +x towards +y of a page whose y runs down.
"""

from __future__ import annotations

import numpy as np

from cordpath.model import FloatArray, IntArray


def fit(x: FloatArray, y: FloatArray, group: IntArray, count: int) -> tuple[FloatArray, FloatArray]:
    """Least-squares circles of grouped points: (count, 3) centre and radius, (count,) worst residual.

    Source: I. Kasa, A circle fitting procedure and its error analysis, IEEE Trans. Instrum. Meas. 25, 1976.
    """

    def add(v: FloatArray) -> FloatArray:
        return np.asarray(np.bincount(group, v, count), float)

    n = np.maximum(np.bincount(group, minlength=count), 1).astype(float)
    mx, my = add(x) / n, add(y) / n
    u, v = x - mx[group], y - my[group]
    z = u * u + v * v
    suu, suv, svv, suz, svz, sz = add(u * u), add(u * v), add(v * v), add(u * z), add(v * z), add(z)
    det = suu * svv - suv * suv
    det = np.where(np.abs(det) < 1e-12, 1e-12, det)
    a, b = 0.5 * (suz * svv - svz * suv) / det, 0.5 * (svz * suu - suz * suv) / det
    r = np.sqrt(a * a + b * b + sz / n)
    worst = np.zeros(count)
    np.maximum.at(worst, group, np.abs(np.hypot(u - a[group], v - b[group]) - r[group]))
    return np.stack([a + mx, b + my, r], 1), worst


def swept(xy: FloatArray, circle: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Start angle and signed sweep of chords about their circles' centres."""
    a0 = np.arctan2(xy[:, 1] - circle[:, 1], xy[:, 0] - circle[:, 0])
    a1 = np.arctan2(xy[:, 3] - circle[:, 1], xy[:, 2] - circle[:, 0])
    return a0, (a1 - a0 + np.pi) % (2 * np.pi) - np.pi


def arc_pieces(xy: FloatArray, circle: FloatArray) -> FloatArray:
    """(k, 5): centre x, y, radius, start and end angle of chords (k, 4) of circles (k, 3), start <= end."""
    a0, sweep = swept(xy, circle)
    return np.c_[circle, np.minimum(a0, a0 + sweep), np.maximum(a0, a0 + sweep)]
