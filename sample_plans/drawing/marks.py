"""Drawing marks: what every PDF writer here can put on paper.

Glossary
- mark: a line, arc, path or text, in points on the sheet as displayed, origin top left, x right, y down.
- pen: width in points, grey (0 black to 1 white), dash pattern, layer name.
- picture: marks with their pens, in paint order.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Literal

from reportlab.pdfbase.pdfmetrics import stringWidth

XY = tuple[float, float]
Box = tuple[float, float, float, float]
CAP_HEIGHT = 0.72  # cap height of Helvetica over its size (font metrics)


@dataclass(frozen=True)
class Pen:
    width: float
    grey: float = 0.0
    dash: tuple[float, ...] = ()
    layer: str = ""


@dataclass(frozen=True)
class Line:
    a: XY
    b: XY


@dataclass(frozen=True)
class Arc:
    """Part of a circle from ``start`` over ``sweep`` degrees, counter-clockwise as seen; 360 is a circle."""

    centre: XY
    radius: float
    start: float = 0.0
    sweep: float = 360.0

    def point(self, degrees: float) -> XY:
        t = math.radians(degrees)
        return (self.centre[0] + self.radius * math.cos(t), self.centre[1] - self.radius * math.sin(t))

    def chords(self, count: int) -> list[XY]:
        return [self.point(self.start + self.sweep * i / count) for i in range(count + 1)]


@dataclass(frozen=True)
class Path:
    points: tuple[XY, ...]
    closed: bool = False
    fill: float | None = None  # grey of the filling
    stroke: bool = True


@dataclass(frozen=True)
class Text:
    """``at``: the middle height of the capitals, at the start, middle or end of the line."""

    at: XY
    value: str
    size: float
    anchor: Literal["start", "middle", "end"] = "middle"
    angle: float = 0.0
    bold: bool = False

    @property
    def font(self) -> str:
        return "Helvetica-Bold" if self.bold else "Helvetica"

    @property
    def width(self) -> float:
        return float(stringWidth(self.value, self.font, self.size))

    def baseline(self) -> XY:
        """Where the first letter stands, after the turn."""
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * self.width
        down = CAP_HEIGHT * self.size / 2
        t = math.radians(self.angle)
        return (
            self.at[0] - back * math.cos(t) + down * math.sin(t),
            self.at[1] + back * math.sin(t) + down * math.cos(t),
        )

    def box(self) -> Box:
        """Box of the capitals as displayed."""
        x, y = self.baseline()
        t = math.radians(self.angle)
        along, up = (math.cos(t), -math.sin(t)), (-math.sin(t), -math.cos(t))
        high = CAP_HEIGHT * self.size
        xs = [x + i * self.width * along[0] + j * high * up[0] for i in (0, 1) for j in (0, 1)]
        ys = [y + i * self.width * along[1] + j * high * up[1] for i in (0, 1) for j in (0, 1)]
        return (min(xs), min(ys), max(xs), max(ys))


Mark = Line | Arc | Path | Text


@dataclass
class Picture:
    """Marks in paint order; filled by the drawing functions."""

    width: float
    height: float
    marks: list[tuple[Mark, Pen]] = field(default_factory=list)
    layer: str = ""  # given to marks whose pen names no layer

    def add(self, mark: Mark, pen: Pen) -> None:
        if self.layer and not pen.layer:
            pen = replace(pen, layer=self.layer)
        self.marks.append((mark, pen))

    def line(self, a: XY, b: XY, pen: Pen) -> None:
        self.add(Line(a, b), pen)

    def path(self, points: Iterable[XY], pen: Pen, closed: bool = False, fill: float | None = None) -> None:
        self.add(Path(tuple(points), closed, fill), pen)

    def rect(self, box: Box, pen: Pen, fill: float | None = None) -> None:
        x0, y0, x1, y1 = box
        self.path([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], pen, closed=True, fill=fill)

    def circle(self, centre: XY, radius: float, pen: Pen) -> None:
        self.add(Arc(centre, radius), pen)

    def text(self, text: Text, pen: Pen) -> None:
        self.add(text, pen)
