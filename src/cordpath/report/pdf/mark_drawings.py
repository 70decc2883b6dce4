"""How the review marks of a sheet are drawn: operators of clouds, tags, paths and banners, each with its box."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from cordpath.geometry import overlap
from cordpath.model import Box, Point
from cordpath.report.pdf.canvas import BLUE, GREY, INK, PAPER, VERMILION, Canvas, Colour, FaceName, text_width
from cordpath.report.pdf.cloud import cloud_curves
from cordpath.report.pdf.marks import (
    CLOUD_PEN,
    LABEL_SIZE,
    PAD,
    TAG_SIZE,
    OutletMark,
    PathMark,
    cloud_unit,
    tag_size,
)

UNNAMED_SIZE = 7.4  # pt: quieter than everything that asks for an answer
PATH_PEN = 1.2
CASING = 2.6  # pt: white under a path so that it shows on walls and hatches
DASH = (4.0, 3.0)
LEADER_FROM = 5.0  # pt between a length and its path from which a thin line joins them


def draw_cloud(mark: OutletMark) -> tuple[Canvas, Box]:
    """Operators of the cloud and the box that holds them."""
    return cloud_canvas(mark.cloud, mark.missing, cloud_unit(mark.unit)), mark.extent


def cloud_canvas(box: Box, missing: bool, unit: float = 1.0, canvas: Canvas | None = None) -> Canvas:
    canvas = canvas or Canvas()
    start, curves = cloud_curves(box, unit)
    colour, dash = (VERMILION, ()) if missing else (BLUE, DASH)
    canvas.curves(start, curves, stroke=colour, width=CLOUD_PEN * unit, dash=[length * unit for length in dash])
    return canvas


def draw_tag(mark: OutletMark) -> tuple[Canvas, Box]:
    """The number in its frame, and a leader to the cloud where the tag stands off."""
    canvas = Canvas()
    start, end = leader(mark.tag, mark.cloud)  # the arcs stand on the rectangle: the line ends on them
    if math.dist(start, end) > 1.0:
        canvas.line([start, end], mark.colour, 0.9 * mark.unit)
    _framed(
        canvas, mark.tag, mark.text, TAG_SIZE, mark.colour, "CpB", () if mark.missing else (2.5, 2.0), mark.unit
    )
    return canvas, _around([*_corners(mark.tag), start, end], mark.unit)


def draw_path(path: PathMark, colour: Colour, unit: float = 1.0) -> tuple[Canvas, Box]:
    """The measured way with a dot at its ends, and its length."""
    canvas = Canvas()
    canvas.line(path.points, PAPER, CASING * unit)
    canvas.line(path.points, colour, PATH_PEN * unit)
    for end in (path.points[0], path.points[-1]):
        canvas.dot(end, 2.2 * unit, colour)
    start, end = _nearest(path.label_box, path.points)
    if math.dist(start, end) > LEADER_FROM * unit:
        canvas.line([start, end], colour, 0.5 * unit)
    _framed(canvas, path.label_box, path.label, LABEL_SIZE, colour, "CpR", (), unit, edge=0.5)
    return canvas, _around([*path.points, *_corners(path.label_box)], 3.0 * unit)


def _nearest(box: Box, points: Sequence[Point]) -> tuple[Point, Point]:
    """Nearest points of a box and a path."""
    pair = shapely.shortest_line(shapely.box(*box), shapely.LineString(points))
    (x0, y0), (x1, y1) = pair.coords
    return (x0, y0), (x1, y1)


def draw_banner(text: str, width: float, unit: float = 1.0) -> tuple[Canvas, Box]:
    """A framed line at the top left corner of a sheet: that it was not checked, or what the copy is."""
    canvas = Canvas()
    size = TAG_SIZE + 1.0
    wide, high = tag_size(text, size, "CpB", unit)
    edge = 6.0 * unit
    box = (edge, edge, min(edge + wide, max(width - edge, 20.0)), edge + high)
    _framed(canvas, box, text, size, VERMILION, "CpB", (), unit)
    return canvas, _around(_corners(box), 1.0)


def draw_unnamed(shape: Box, text: str, avoid: Sequence[Box], unit: float = 1.0) -> tuple[Canvas, Box, Box]:
    """A thin dashed box around a shape with a line of small text beside it, where it covers least.

    Returns the canvas, the box that holds all, and the box of the text.
    """
    canvas = Canvas()
    size = UNNAMED_SIZE * unit
    x0, y0, x1, y1 = _around(_corners(shape), 3.0 * unit)
    wide = text_width(text, size)
    high, middle, gap = 1.3 * size, (y0 + y1) / 2 - 0.65 * size, 0.4 * size
    corners = [(x0, y0 - high), (x0, y1), (x1 + gap, middle), (x0 - gap - wide, middle)]
    places = [(x, y, x + wide, y + high) for x, y in corners]
    label = min(places, key=lambda place: (min(place[:2]) < 0, sum(overlap(place, other) for other in avoid)))
    canvas.box((x0, y0, x1, y1), stroke=GREY, width=0.6 * unit, dash=[2.0 * unit, 2.0 * unit])
    canvas.text((label[0], label[3] - 0.3 * size), text, size, GREY, "CpR")
    return canvas, _around([(x0, y0), (x1, y1), *_corners(label)], unit), label


def _framed(
    canvas: Canvas, box: Box, text: str, size: float, colour: Colour, name: FaceName, dash: Sequence[float],
    unit: float = 1.0, edge: float = 0.9,
) -> None:  # fmt: skip
    canvas.box(box, fill=PAPER, stroke=colour, width=edge * unit, dash=[length * unit for length in dash])
    at = (box[0] + PAD * unit, box[3] - PAD * unit)
    canvas.text(at, text, size * unit, colour if name == "CpB" else INK, name)


def leader(tag: Box, cloud: Box) -> tuple[Point, Point]:
    """Nearest points of two boxes: where a leader leaves the tag, and where it meets the cloud."""
    ends: list[tuple[float, float]] = []
    for axis in (0, 1):
        low, high = max(tag[axis], cloud[axis]), min(tag[axis + 2], cloud[axis + 2])
        if low <= high:
            ends.append(((low + high) / 2, (low + high) / 2))
        else:
            ends.append(
                (tag[axis + 2], cloud[axis]) if tag[axis + 2] < cloud[axis] else (tag[axis], cloud[axis + 2])
            )
    return (ends[0][0], ends[1][0]), (ends[0][1], ends[1][1])


def _corners(box: Box) -> list[Point]:
    return [(box[0], box[1]), (box[2], box[3])]


def _around(points: Sequence[Point], margin: float) -> Box:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs) - margin, min(ys) - margin, max(xs) + margin, max(ys) + margin)
