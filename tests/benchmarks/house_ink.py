"""Marks on paper for the random houses: what a drafter puts down, before any PDF writer has its say.

Coordinates are points on the displayed page, origin top left, x right, y down; arcs run counter-clockwise as seen.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import pymupdf

Pt = tuple[float, float]
Rgb = tuple[float, float, float]
BLACK: Rgb = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Pen:
    width: float = 0.5
    colour: Rgb = BLACK
    dash: tuple[float, float] | None = None


@dataclass(frozen=True)
class Poly:
    points: tuple[Pt, ...]
    pen: Pen | None = Pen()
    closed: bool = False
    fill: Rgb | None = None
    holes: tuple[tuple[Pt, ...], ...] = ()
    layer: str = "0"
    block: int = 0


@dataclass(frozen=True)
class Arc:
    centre: Pt
    radius: float
    start: float = 0.0
    end: float = 360.0
    pen: Pen = Pen()
    layer: str = "0"
    block: int = 0

    @property
    def whole(self) -> bool:
        return self.end - self.start >= 359.99

    def point(self, degrees: float) -> Pt:
        a = math.radians(degrees)
        return (self.centre[0] + self.radius * math.cos(a), self.centre[1] - self.radius * math.sin(a))

    def chords(self, count: int) -> tuple[Pt, ...]:
        return tuple(self.point(self.start + (self.end - self.start) * k / count) for k in range(count + 1))

    def beziers(self) -> Iterator[tuple[Pt, Pt, Pt, Pt]]:
        """Cubic pieces of at most 90 degrees (control length 4/3 tan(step/4), the usual fit; from memory)."""
        count = max(1, math.ceil((self.end - self.start) / 90 - 1e-6))
        step = math.radians((self.end - self.start) / count)
        h = 4 / 3 * math.tan(step / 4) * self.radius
        for k in range(count):
            a = math.radians(self.start) + k * step
            b = a + step
            p, q = self.point(math.degrees(a)), self.point(math.degrees(b))
            yield (
                p,
                (p[0] - h * math.sin(a), p[1] - h * math.cos(a)),
                (q[0] + h * math.sin(b), q[1] + h * math.cos(b)),
                q,
            )


@dataclass(frozen=True)
class Note:
    """Text by its middle; ``angle`` 0 or 90 (reading upwards)."""

    at: Pt
    text: str
    size: float = 7.0
    angle: int = 0
    layer: str = "0"
    block: int = 0
    bold: bool = False

    @property
    def width(self) -> float:
        return pymupdf.get_text_length(self.text, "hebo" if self.bold else "helv", self.size)

    @property
    def base(self) -> Pt:
        """Start of the baseline."""
        half, drop = self.width / 2, 0.36 * self.size
        x, y = self.at
        return (x - half, y + drop) if self.angle == 0 else (x + drop, y + half)

    @property
    def box(self) -> tuple[float, float, float, float]:
        w, h = self.width / 2, self.size * 0.5
        if self.angle:
            w, h = h, w
        return (self.at[0] - w, self.at[1] - h, self.at[0] + w, self.at[1] + h)


Item = Poly | Arc | Note


@dataclass
class Paper:
    """A sheet being drawn."""

    width: float
    height: float
    items: list[Item] = field(default_factory=list)
    blocks: int = 0

    def line(self, points: Sequence[Pt], width: float = 0.5, layer: str = "0", **more: Any) -> None:
        pen = Pen(width, more.pop("colour", BLACK), more.pop("dash", None))
        self.items.append(Poly(tuple(points), pen, layer=layer, **more))

    def box(self, x0: float, y0: float, x1: float, y1: float, width: float = 0.5, layer: str = "0") -> None:
        self.line([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], width, layer, closed=True)

    def add(self, item: Item) -> None:
        self.items.append(item)

    def new_block(self) -> int:
        self.blocks += 1
        return self.blocks


def shrunk(paper: Paper, by: float) -> Paper:
    """The whole sheet printed smaller."""

    def p(pt: Pt) -> Pt:
        return (pt[0] * by, pt[1] * by)

    def pen(old: Pen) -> Pen:
        dash = (old.dash[0] * by, old.dash[1] * by) if old.dash else None
        return Pen(old.width * by, old.colour, dash)

    items: list[Item] = []
    for item in paper.items:
        if isinstance(item, Poly):
            holes = tuple(tuple(p(q) for q in ring) for ring in item.holes)
            own = pen(item.pen) if item.pen else None
            items.append(replace(item, points=tuple(p(q) for q in item.points), holes=holes, pen=own))
        elif isinstance(item, Arc):
            items.append(replace(item, centre=p(item.centre), radius=item.radius * by, pen=pen(item.pen)))
        else:
            items.append(replace(item, at=p(item.at), size=item.size * by))
    return Paper(paper.width * by, paper.height * by, items, paper.blocks)
