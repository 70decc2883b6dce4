"""Shapes of a mapping file as drawing marks."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path as FilePath
from typing import Any

import yaml

from .marks import XY, Arc, Line, Mark, Path, Pen, Picture, Text

DEVICE_PEN = Pen(0.85)
LETTER = 7.0  # size of letters inside a symbol, pt


@cache
def _entries(path: FilePath) -> dict[str, dict[str, Any]]:
    data = yaml.safe_load(path.read_text(encoding="utf-8"))
    return {entry["name"]: entry for entry in data["symbols"]}


class Symbols:
    """The entries of a mapping file, ready to be drawn."""

    def __init__(self, path: FilePath) -> None:
        self.entries = _entries(path)

    def kind(self, name: str) -> str:
        return str(self.entries[name]["kind"])

    def plotted(self, name: str) -> bool:
        return self.entries[name].get("size", "plotted") == "plotted"

    def stem(self, name: str) -> float:
        """Inches from the symbol's middle to its wall."""
        ys = [p[1] for mark in self.entries[name]["shape"] for p in _points(mark)]
        return -min(ys) if "wall_side" in self.entries[name] else 0.0

    def reach(self, name: str) -> float:
        """Inches from the middle to the farthest ink, about."""
        return max(math.hypot(*p) for mark in self.entries[name]["shape"] for p in _points(mark))

    def marks(self, name: str, at: XY, turn: float, per_inch: float, letter: float = LETTER) -> list[Mark]:
        """The symbol at ``at`` (points), turned counter-clockwise; ``per_inch``: points for an inch of shape."""
        t = math.radians(turn)
        c, s = math.cos(t), math.sin(t)

        def put(p: list[float] | tuple[float, float]) -> XY:
            x, y = p[0] * per_inch, p[1] * per_inch
            return (at[0] + x * c + y * s, at[1] - x * s + y * c)

        found: list[Mark] = []
        for shape in self.entries[name]["shape"]:
            ((what, data),) = shape.items()
            if what == "circle":
                found.append(Arc(put(data["center"]), data["radius"] * per_inch))
            elif what == "arc":
                sweep = (data["end"] - data["start"]) % 360 or 360
                found.append(Arc(put(data["center"]), data["radius"] * per_inch, data["start"] + turn, sweep))
            elif what == "line":
                found.append(Line(put(data["from"]), put(data["to"])))
            elif what == "polyline":
                fill = 0.0 if data.get("filled") else None
                found.append(Path(tuple(put(p) for p in data["points"]), bool(data.get("closed")), fill))
            else:
                found.append(Text(put(data["at"]), data["value"], letter))
        return found

    def draw(self, picture: Picture, name: str, at: XY, turn: float, per_inch: float, pen: Pen) -> None:
        for mark in self.marks(name, at, turn, per_inch):
            picture.add(mark, pen)


def _points(shape: dict[str, Any]) -> list[XY]:
    ((what, data),) = shape.items()
    if what in ("circle", "arc"):
        (x, y), r = data["center"], data["radius"]
        return [(x - r, y), (x + r, y), (x, y - r), (x, y + r)]
    if what == "line":
        return [tuple(data["from"]), tuple(data["to"])]
    if what == "polyline":
        return [tuple(p) for p in data["points"]]
    return [tuple(data["at"])]
