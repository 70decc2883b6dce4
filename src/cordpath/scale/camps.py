"""Which of two scales that contradict each other the doors of the house speak for.

Leaves prove no scale, but a scale under which nearly all doors are of the usual width is to be believed before one
under which hardly any is.
"""

from __future__ import annotations

from cordpath.model import POINTS_PER_INCH, FloatArray, ScaleEvidence
from cordpath.scale.plausible import USUAL_IN

FEWEST = 3  # leaves that may decide: one or two may be of closets and gates
MOSTLY, HARDLY = 0.75, 0.25  # of the leaves: scales a fifth apart leave more doors usual under both


def favoured(
    leaves: FloatArray, one: ScaleEvidence, other: ScaleEvidence
) -> tuple[ScaleEvidence, ScaleEvidence, str] | None:
    """The scale that the doors speak for, the other one, and what is to be said; None where they do not tell.

    ``leaves``: (d,) drawn widths, points.
    """
    if len(leaves) < FEWEST:
        return None
    for right, wrong in ((one, other), (other, one)):
        here, there = (_usual(leaves, scale.ratio) for scale in (right, wrong))
        if here >= MOSTLY * len(leaves) and there <= HARDLY * len(leaves):
            said = f"{here} of {len(leaves)} door leaves are of a usual width under 1:{right.ratio:.4g}"
            return right, wrong, f"{said}, {there} under 1:{wrong.ratio:.4g}"
    return None


def _usual(leaves: FloatArray, ratio: float) -> int:
    width = leaves * ratio / POINTS_PER_INCH
    return int(((width >= USUAL_IN[0]) & (width <= USUAL_IN[1])).sum())
