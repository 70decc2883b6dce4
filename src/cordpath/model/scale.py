"""Nouns of the scale: the witnesses of a view's scale, and what they prove."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from cordpath.model.basic import INCHES_PER_FOOT, POINTS_PER_INCH, Point

# ``rooms``, ``doors`` and ``fixtures``: sizes written in rooms, usual widths of door leaves, sizes of fixtures in
# the mapping file; they make a scale plausible or not, and prove none.
ScaleSource = Literal["override", "note", "dimension", "bar", "viewport", "rooms", "doors", "fixtures", "none"]


@dataclass(frozen=True)
class ScaleEvidence:
    """One independent witness of a scale.  ``count`` tells how many readings agree (dimension strings)."""

    source: ScaleSource
    ratio: float
    text: str
    count: int = 1


@dataclass(frozen=True)
class Dimension:
    """A dimension string as read: the length written, and the two points on the drawing that it runs between."""

    text: str
    length_ft: float
    start: Point
    end: Point


ScaleStatus = Literal["proved", "single", "conflict", "not to scale", "unknown"]


@dataclass(frozen=True)
class Scale:
    """The scale of one view.  ``ratio`` is real length over drawn length (48 for 1/4" = 1'-0").

    ``status``: *proved* by two kinds of evidence within 1 %; *single*: one kind only, used with a wider
    ``tolerance`` (relative, one-sided); *conflict*, *not to scale*, *unknown*: nothing may be measured, ``why``
    says what is wrong.
    """

    view: str
    ratio: float | None
    source: ScaleSource
    text: str
    status: ScaleStatus
    evidence: tuple[ScaleEvidence, ...] = ()
    tolerance: float = 0.0
    why: str | None = None

    @property
    def measurable(self) -> bool:
        return self.ratio is not None and self.status in ("proved", "single")

    @property
    def agrees(self) -> tuple[str, ...]:
        """Sources other than the one used whose ratio is within 1 % of it, but for those that prove none."""
        if self.ratio is None:
            return ()
        ratio, left_out = self.ratio, (self.source, "rooms", "doors", "fixtures")
        return tuple(e.source for e in self.evidence
                     if e.source not in left_out and abs(e.ratio / ratio - 1) <= 0.01)  # fmt: skip

    @property
    def points_per_foot(self) -> float:
        """Points on the page for a foot in the building; raises ValueError where there is no ratio."""
        if self.ratio is None:
            raise ValueError(f"view {self.view} has no scale")
        return POINTS_PER_INCH * INCHES_PER_FOOT / self.ratio
