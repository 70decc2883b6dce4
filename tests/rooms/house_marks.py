"""How much of a drawn house a floor plan got right."""

from __future__ import annotations

from dataclasses import dataclass

from house_drawing import truth_on_page
from random_houses import House

from cordpath.model import FloorPlan


@dataclass
class Marks:
    right: int = 0
    total: int = 0
    leaks: int = 0
    silent: int = 0
    extra: int = 0

    def __add__(self, other: Marks) -> Marks:
        return Marks(self.right + other.right, self.total + other.total, self.leaks + other.leaks,
                     self.silent + other.silent, self.extra + other.extra)  # fmt: skip


def mark(house: House, plan: FloorPlan, turn: int, ratio: float) -> Marks:
    """Right: a room of the same kind with IoU over 0.85.  Silent: at the middle of a true room the plan tells
    another kind, with no reason given and confidence 0.85 or more.  Leak: a room that holds much of two."""
    truth = truth_on_page(house, turn, ratio)
    found = [r for r in plan.rooms if not r.id.endswith(".out")]
    marks = Marks(total=len(truth))
    for shape, (_, kind) in zip(truth, house.names, strict=True):
        same = [r.polygon for r in found if r.kind == kind]
        best = max((p.intersection(shape).area / p.union(shape).area for p in same), default=0.0)
        marks.right += best > 0.85
        middle = shape.centroid
        at = [r for r in plan.rooms if r.polygon.intersects(middle)]
        sure_wrong = [
            r for r in at if r.kind != kind and r.kind != "unknown" and r.confidence >= 0.85 and not r.reasons
        ]
        marks.silent += bool(sure_wrong)
    for room in found:
        marks.leaks += sum(room.polygon.intersection(t).area > 0.3 * t.area for t in truth) > 1
    if plan.outside is not None:
        marks.leaks += sum(plan.outside.intersection(t).area > 0.3 * t.area for t in truth)
    marks.extra = len(found) - len(truth)
    return marks
