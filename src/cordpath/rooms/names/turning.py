"""The reading frame of text: x along it, y downwards as read."""

from __future__ import annotations

import numpy as np

from cordpath.model import FloatArray


def turned(points: FloatArray, angle: float) -> FloatArray:
    """(n, 2) page coordinates to the frame of text read at ``angle`` degrees; back with ``-angle``."""
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    return np.column_stack([points[:, 0] * c - points[:, 1] * s, points[:, 0] * s + points[:, 1] * c])
