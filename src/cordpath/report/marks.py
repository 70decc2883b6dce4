"""Review marks of one sheet: a cloud and a tag an outlet, and the cord paths that were measured.

Terms: *mark*, an outlet to be drawn; *cloud*, around its symbol: solid where protection is missing, dashed with a
question mark where the outlet is unresolved; *tag*, its number beside it.  Everything here is in page coordinates;
``annotate`` turns it into annotations of the page.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cordpath.model import Box, Finding, Point, Requirement
from cordpath.report.canvas import ASCENT, BLUE, INK, PAPER, VERMILION, Canvas, Colour, FaceName, text_width
from cordpath.report.cloud import cloud_box, cloud_curves, outer_box
from cordpath.report.place import Crowd

TAG_SIZE = 9.0  # pt, 1/8 in: the text of the tags
LABEL_SIZE = 7.5  # pt; plan text is at least 3/32 in (6.75 pt)
CLOUD_PEN = 1.6  # pt, heavier than plan lines
PATH_PEN = 1.2
CASING = 2.6  # pt: white under a path so that it shows on walls and hatches
MARGIN = 4.0  # pt between symbol and cloud
PAD = 2.5  # pt around the text of a tag
DASH = (4.0, 3.0)
MARKED = ("missing", "unresolved")


@dataclass(frozen=True)
class PathMark:
    """A measured cord path with its length label."""

    points: tuple[Point, ...]
    label: str
    label_box: Box
    to: str


@dataclass(frozen=True, eq=False)
class OutletMark:
    """An outlet to be drawn: ``cloud`` is the rectangle under the arcs."""

    finding: Finding
    cloud: Box
    tag: Box
    text: str
    paths: tuple[PathMark, ...]

    @property
    def missing(self) -> bool:
        return self.finding.verdict == "missing"

    @property
    def colour(self) -> Colour:
        return VERMILION if self.missing else BLUE

    @property
    def extent(self) -> Box:
        return outer_box(self.cloud, CLOUD_PEN)


def lay_out(findings: Sequence[Finding], crowd: Crowd) -> tuple[OutletMark, ...]:
    """Clouds where the symbols are; then tags and labels on the freest places beside them."""
    drawn = [finding for finding in findings if finding.verdict in MARKED]
    clouds = [cloud_box(_symbol_box(finding), MARGIN) for finding in drawn]
    for cloud in clouds:
        crowd.take(outer_box(cloud, CLOUD_PEN))
    marks = []
    for finding, cloud in zip(drawn, clouds, strict=True):
        text = finding.outlet.id if finding.verdict == "missing" else f"{finding.outlet.id} ?"
        tag = crowd.place(outer_box(cloud, CLOUD_PEN), *_tag_size(text, TAG_SIZE, "CpB"))
        marks.append(OutletMark(finding, cloud, tag, text, ()))
    return tuple(_with_paths(mark, crowd) for mark in marks)


def _with_paths(mark: OutletMark, crowd: Crowd) -> OutletMark:
    paths = tuple(_path_mark(requirement, crowd) for requirement in _measured(mark.finding))
    return OutletMark(mark.finding, mark.cloud, mark.tag, mark.text, paths)


def _symbol_box(finding: Finding) -> Box:
    symbol = finding.outlet.symbol
    if symbol.footprint.is_empty or not all(map(math.isfinite, symbol.footprint.bounds)):
        return (*symbol.at, *symbol.at)
    x0, y0, x1, y1 = (float(v) for v in symbol.footprint.bounds)
    return (x0, y0, x1, y1)


def _measured(finding: Finding) -> Iterator[Requirement]:
    """The shortest path to each fixture that a requirement names, shortest first."""
    known: dict[str, Requirement] = {}
    usable = [
        r for r in finding.requirements if len(r.path) > 1 and r.distance_ft is not None and r.holds.value != "no"
    ]
    for requirement in sorted(usable, key=lambda r: (r.distance_ft, r.cite)):
        known.setdefault(requirement.to or requirement.cite, requirement)
    yield from known.values()


def _tag_size(text: str, size: float, name: FaceName) -> tuple[float, float]:
    return text_width(text, size, name) + 2 * PAD, size * ASCENT + 2 * PAD


def _path_mark(requirement: Requirement, crowd: Crowd) -> PathMark:
    label = f"{requirement.distance_ft:.2f} ft"
    longest = max(
        zip(requirement.path, requirement.path[1:], strict=False), key=lambda pair: math.dist(pair[0], pair[1])
    )
    (ax, ay), (bx, by) = longest
    middle = ((ax + bx) / 2, (ay + by) / 2)
    box = crowd.place((*middle, *middle), *_tag_size(label, LABEL_SIZE, "CpR"))
    return PathMark(requirement.path, label, box, requirement.to or "")


# ------------------------------------------------------------------------------------------------ drawing


def draw_cloud(mark: OutletMark) -> tuple[Canvas, Box]:
    """Operators of the cloud and the box that holds them."""
    return cloud_canvas(mark.cloud, mark.missing), mark.extent


def cloud_canvas(box: Box, missing: bool, canvas: Canvas | None = None) -> Canvas:
    canvas = canvas or Canvas()
    start, curves = cloud_curves(box)
    colour, dash = (VERMILION, ()) if missing else (BLUE, DASH)
    canvas.curves(start, curves, stroke=colour, width=CLOUD_PEN, dash=dash)
    return canvas


def draw_tag(mark: OutletMark) -> tuple[Canvas, Box]:
    """The number in its frame, and a leader to the cloud where the tag stands off."""
    canvas = Canvas()
    start, end = leader(mark.tag, mark.extent)
    if math.dist(start, end) > 1.0:
        canvas.line([start, end], mark.colour, 0.9)
    _framed(canvas, mark.tag, mark.text, TAG_SIZE, mark.colour, "CpB", () if mark.missing else (2.5, 2.0))
    return canvas, _around([*_corners(mark.tag), start, end], 1.0)


def draw_path(path: PathMark, colour: Colour) -> tuple[Canvas, Box]:
    """The measured way with a dot at its ends, and its length."""
    canvas = Canvas()
    canvas.line(path.points, PAPER, CASING)
    canvas.line(path.points, colour, PATH_PEN)
    for end in (path.points[0], path.points[-1]):
        canvas.dot(end, 2.2, colour)
    _framed(canvas, path.label_box, path.label, LABEL_SIZE, colour, "CpR", (), edge=0.5)
    return canvas, _around([*path.points, *_corners(path.label_box)], 3.0)


def draw_banner(text: str, width: float) -> tuple[Canvas, Box]:
    """A framed line at the top left corner of a sheet that was not checked."""
    canvas = Canvas()
    size = TAG_SIZE + 1.0
    wide, high = _tag_size(text, size, "CpB")
    box = (6.0, 6.0, min(6.0 + wide, max(width - 6.0, 20.0)), 6.0 + high)
    _framed(canvas, box, text, size, VERMILION, "CpB", ())
    return canvas, _around(_corners(box), 1.0)


def _framed(
    canvas: Canvas,
    box: Box,
    text: str,
    size: float,
    colour: Colour,
    name: FaceName,
    dash: Sequence[float],
    edge: float = 0.9,
) -> None:
    canvas.box(box, fill=PAPER, stroke=colour, width=edge, dash=dash)
    canvas.text((box[0] + PAD, box[3] - PAD), text, size, colour if name == "CpB" else INK, name)


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
