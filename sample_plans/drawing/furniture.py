"""Furniture and other light things of a plan, drawn in feet with a thin pen."""

from __future__ import annotations

from functools import partial

from .frame import Frame
from .house import Piece
from .marks import Pen, Picture, Text

LIGHT = Pen(0.3, 0.35)
DASHED = Pen(0.35, 0.2, (4.0, 2.5))


def draw_piece(picture: Picture, frame: Frame, piece: Piece) -> None:
    """One piece; ``box`` in feet; ``turn`` 0, 90, 180, 270: where its head or back is (0: at the top)."""
    x0, y0, x1, y1 = piece.box
    frame = frame.turned(piece.turn, ((x0 + x1) / 2, (y0 + y1) / 2))
    if piece.turn % 180 == 90:
        cx, cy, w, h = (x0 + x1) / 2, (y0 + y1) / 2, y1 - y0, x1 - x0
        x0, y0, x1, y1 = cx - w / 2, cy - h / 2, cx + w / 2, cy + h / 2
    _KINDS[piece.kind](picture, frame, x0, y0, x1, y1)


def _box(picture: Picture, frame: Frame, x0: float, y0: float, x1: float, y1: float, pen: Pen = LIGHT) -> None:
    picture.path([frame.at(p) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))], pen, closed=True)


def _bed(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    _box(p, f, x0, y0, x1, y1)
    half = (x0 + x1) / 2
    pillows = [(x0 + 0.3, half - 0.15), (half + 0.15, x1 - 0.3)] if x1 - x0 > 4 else [(x0 + 0.5, x1 - 0.5)]
    for a, b in pillows:
        _box(p, f, a, y0 + 0.3, b, y0 + 1.4)
    p.line(f.at((x0, y0 + 2.2)), f.at((x1, y0 + 2.2)), LIGHT)
    p.line(f.at((x0, y0 + 3.2)), f.at((x1 - 1.0, y0 + 2.2)), LIGHT)


def _sofa(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    _box(p, f, x0, y0, x1, y1)
    _box(p, f, x0 + 0.55, y0 + 0.7, x1 - 0.55, y1)
    seats = max(1, round((x1 - x0 - 1.1) / 2.2))
    step = (x1 - x0 - 1.1) / seats
    for i in range(1, seats):
        p.line(f.at((x0 + 0.55 + i * step, y0 + 0.7)), f.at((x0 + 0.55 + i * step, y1)), LIGHT)


def _table(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    _box(p, f, x0 + 1.0, y0 + 1.0, x1 - 1.0, y1 - 1.0)
    across = max(1, int((x1 - x0 - 2) / 2.2))
    step = (x1 - x0 - 2) / across
    for i in range(across):
        cx = x0 + 1 + step * (i + 0.5)
        for a, b in ((y0, y0 + 1.3), (y1 - 1.3, y1)):
            _box(p, f, cx - 0.7, a, cx + 0.7, b)


def _plain(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    _box(p, f, x0, y0, x1, y1)


def _desk(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    _box(p, f, x0, y0, x1, y1)
    mid = (x0 + x1) / 2
    p.circle(f.at((mid, y1 + 0.6)), 0.75 * f.per_foot, LIGHT)


def _shelf(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    """Closet shelf and rod, dashed."""
    p.line(f.at((x0, y1)), f.at((x1, y1)), DASHED)
    p.line(f.at((x0, (y0 + y1) / 2)), f.at((x1, (y0 + y1) / 2)), LIGHT)


def _upper(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    """Wall cabinet, attic hatch or opener: dashed outline."""
    _box(p, f, x0, y0, x1, y1, DASHED)


def _round(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    p.circle(f.at(((x0 + x1) / 2, (y0 + y1) / 2)), (x1 - x0) / 2 * f.per_foot, LIGHT)


def _car(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    w, h = x1 - x0, y1 - y0
    body = [(x0 + 0.1 * w, y0), (x1 - 0.1 * w, y0), (x1, y0 + 0.08 * h), (x1, y1 - 0.05 * h),
            (x1 - 0.1 * w, y1), (x0 + 0.1 * w, y1), (x0, y1 - 0.05 * h), (x0, y0 + 0.08 * h)]  # fmt: skip
    p.path([f.at(q) for q in body], DASHED, closed=True)
    _box(p, f, x0 + 0.12 * w, y0 + 0.3 * h, x1 - 0.12 * w, y1 - 0.15 * h, DASHED)


def _stairs(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float, way: str = "UP") -> None:
    """A straight flight, 10 in treads, walked towards the top, with arrow."""
    pen = Pen(0.4)
    count = int((y1 - y0) / (10 / 12))
    for i in range(count + 1):
        y = y1 - i * 10 / 12
        p.line(f.at((x0, y)), f.at((x1, y)), pen)
    p.line(f.at((x0, y1)), f.at((x0, y1 - count * 10 / 12)), pen)
    p.line(f.at((x1, y1)), f.at((x1, y1 - count * 10 / 12)), pen)
    mid = (x0 + x1) / 2
    p.line(f.at((mid, y1 + 0.1)), f.at((mid, y0 + 0.6)), pen)
    p.path([f.at((mid - 0.2, y0 + 1.1)), f.at((mid, y0 + 0.6)), f.at((mid + 0.2, y0 + 1.1))], pen)
    p.text(Text(f.at((mid, y1 + 0.6)), way, 7), pen)


def _island(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    _box(p, f, x0, y0, x1, y1, Pen(0.5))


def _furnace(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    _box(p, f, x0, y0, x1, y1, Pen(0.5))
    p.text(Text(f.at(((x0 + x1) / 2, (y0 + y1) / 2)), "FURN", 6.8), Pen(0.5))


def _condenser(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    _box(p, f, x0, y0, x1, y1, Pen(0.5))
    p.text(Text(f.at(((x0 + x1) / 2, (y0 + y1) / 2)), "A/C", 6.8), Pen(0.5))


def _grill(p: Picture, f: Frame, x0: float, y0: float, x1: float, y1: float) -> None:
    _box(p, f, x0, y0, x1, y1, Pen(0.5))
    for i in range(1, 8):
        x = x0 + (x1 - x0) * i / 8
        p.line(f.at((x, y0 + 0.3)), f.at((x, y1 - 0.3)), LIGHT)


_KINDS = {
    "bed": _bed, "sofa": _sofa, "table": _table, "plain": _plain, "desk": _desk, "shelf": _shelf,
    "upper": _upper, "round": _round, "car": _car, "stairs": _stairs, "island": _island,
    "stairs down": partial(_stairs, way="DN"),
    "furnace": _furnace, "condenser": _condenser, "grill": _grill,
}  # fmt: skip
