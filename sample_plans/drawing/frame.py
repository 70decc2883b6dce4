"""From feet in the building to points on the sheet."""

from __future__ import annotations

import math
from dataclasses import dataclass

from .marks import XY

POINTS_PER_FOOT = 864.0  # full size: 72 points an inch, 12 inches a foot


@dataclass(frozen=True)
class Frame:
    """``origin``: points on the sheet where (0, 0) lies; ``turn``: degrees counter-clockwise about ``pivot``."""

    origin: XY
    ratio: float
    turn: float = 0.0
    pivot: XY = (0.0, 0.0)

    @property
    def per_foot(self) -> float:
        return POINTS_PER_FOOT / self.ratio

    def at(self, p: XY) -> XY:
        """Feet to points."""
        t = math.radians(self.turn)
        x, y = p[0] - self.pivot[0], p[1] - self.pivot[1]
        x, y = x * math.cos(t) + y * math.sin(t), -x * math.sin(t) + y * math.cos(t)
        k = self.per_foot
        return (self.origin[0] + (x + self.pivot[0]) * k, self.origin[1] + (y + self.pivot[1]) * k)

    def turned(self, degrees: float, pivot: XY) -> Frame:
        return Frame(self.origin, self.ratio, degrees, pivot) if degrees else self
