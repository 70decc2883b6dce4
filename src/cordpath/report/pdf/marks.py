"""Review marks of one sheet: a cloud and a tag an outlet, and the cord paths that were measured.

Terms: *mark*, an outlet to be drawn; *cloud*, around its symbol: solid where protection is missing, dashed with a
question mark where the outlet is unresolved; *tag*, its number beside it.  Everything here is in page coordinates;
``annotate`` turns it into annotations of the page.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cordpath.geometry import overlap
from cordpath.model import Box, Finding, FloatArray, Point, Requirement
from cordpath.report.comments import MARKED
from cordpath.report.pdf.canvas import ASCENT, BLUE, VERMILION, Colour, FaceName, text_width
from cordpath.report.pdf.cloud import LEAST_SIDE, TIGHT_SIDE, around_words, cloud_box, outer_box
from cordpath.report.pdf.place import Crowd

TAG_SIZE = 9.0  # pt, 1/8 in: the text of the tags
LABEL_SIZE = 7.5  # pt; plan text is at least 3/32 in (6.75 pt), which capitals have too on a large sheet
CLOUD_PEN = 1.6  # pt, heavier than plan lines
MARGIN = 4.0  # pt between symbol and cloud
TIGHT_MARGIN = 2.0  # where symbols stand close together, as on reduced prints
PAD = 2.5  # pt around the text of a tag
SMALL_SHEET, LARGE_SHEET = 17 * 72.0, 34 * 72.0  # pt, long side: marks grow between these
LARGE_UNIT = 1.3  # tags of 11.7 pt: large beside notes, small beside rooms (judged by eye on 36 x 24 in. sheets)
PATH_STEP = 5.0  # pt between the places of a path that tags keep off
LABEL_PLACES = np.array(
    [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8]
)  # shares of the way where a path's length may be written
LABEL_GAPS = 3  # a length stands at its path where it can
STEPS_MOST = 200
PATHS_MOST = 3  # an outlet among five sinks needs no five lines to show why


@dataclass(frozen=True)
class PathMark:
    """A measured cord path with its length label."""

    points: tuple[Point, ...]
    label: str
    label_box: Box


@dataclass(frozen=True, eq=False)
class OutletMark:
    """An outlet to be drawn: ``cloud`` is the rectangle under the arcs."""

    finding: Finding
    cloud: Box
    tag: Box
    text: str
    paths: tuple[PathMark, ...]
    unit: float = 1.0

    @property
    def missing(self) -> bool:
        return self.finding.verdict == "missing"

    @property
    def colour(self) -> Colour:
        return VERMILION if self.missing else BLUE

    @property
    def extent(self) -> Box:
        return outer_box(self.cloud, CLOUD_PEN * cloud_unit(self.unit), cloud_unit(self.unit))


def lay_out(
    findings: Sequence[Finding], crowd: Crowd, kinds: Mapping[str, str] | None = None
) -> tuple[OutletMark, ...]:
    """Clouds where the symbols are; then tags and labels on the freest places beside them.

    ``kinds``: what the fixtures are, by their numbers.
    """
    drawn = [finding for finding in findings if finding.verdict in MARKED]
    unit = mark_unit(crowd.width, crowd.height)
    arc = cloud_unit(unit)
    clouds = _clouds(findings, drawn, crowd, arc)
    for cloud in clouds:
        crowd.take(outer_box(cloud, CLOUD_PEN * arc, arc))
    crowd.avoid([_symbol_box(finding) for finding in findings])  # an outlet under a tag is not seen
    crowd.avoid([spot for finding in drawn for r in _measured(finding) for spot in _steps(r.path)])
    marks = []
    for finding, cloud in zip(drawn, clouds, strict=True):
        text = finding.outlet.id if finding.verdict == "missing" else f"{finding.outlet.id} ?"
        around = outer_box(cloud, CLOUD_PEN * arc, arc)
        tag = crowd.place([around], *tag_size(text, TAG_SIZE, "CpB", unit), unit)
        marks.append(OutletMark(finding, cloud, tag, text, (), unit))
    return tuple(_with_paths(mark, crowd, kinds or {}) for mark in marks)


def _clouds(findings: Sequence[Finding], drawn: Sequence[Finding], crowd: Crowd, arc: float) -> list[Box]:
    """Around each symbol, and around labels of it that the cloud would strike through, where there is room.

    A label of another outlet is never taken in: it would be read as this one's.
    """
    symbols = {id(finding): _symbol_box(finding) for finding in findings}
    clouds = _apart({id(finding): symbols[id(finding)] for finding in drawn}, symbols, arc)
    words, pen = np.array(crowd.words, float).reshape(-1, 4), CLOUD_PEN * arc
    labels = {id(finding): _labels(finding, words) for finding in findings}
    owners = np.sum([*labels.values()], axis=0)
    for one in list(clouds):
        outer = [outer_box(box, pen, arc) for key, box in clouds.items() if key != one]
        lent = owners > labels[one]
        own = labels[one] & ~lent
        others = [*outer, *(box for key, box in symbols.items() if key != one), *words[lent]]
        obstacles = np.array(others, float).reshape(-1, 4)
        clouds[one] = around_words(clouds[one], words[own], obstacles, pen, arc, words[~own])
    return [clouds[id(finding)] for finding in drawn]


def _apart(drawn: Mapping[int, Box], symbols: Mapping[int, Box], arc: float) -> dict[int, Box]:
    """The clouds' rectangles by outlet.  One that would touch another outlet or its cloud is drawn tightly."""
    wide = {key: cloud_box(box, MARGIN, arc, LEAST_SIDE) for key, box in drawn.items()}
    outer = {key: outer_box(box, CLOUD_PEN * arc, arc) for key, box in wide.items()}

    def touches(key: int) -> bool:
        return any(overlap(outer[key], outer.get(other, box)) for other, box in symbols.items() if other != key)

    return {
        key: cloud_box(box, TIGHT_MARGIN, arc, TIGHT_SIDE) if touches(key) else wide[key]
        for key, box in drawn.items()
    }


def _labels(finding: Finding, words: FloatArray) -> NDArray[np.bool_]:
    """(n,) which words are labels of the outlet."""
    at = [label.at for label in finding.outlet.symbol.labels]
    points = np.array(at, float).reshape(-1, 1, 2)
    held = ((points >= words[:, :2] - 1.0) & (points <= words[:, 2:] + 1.0)).all(axis=2)
    return np.asarray(held.any(axis=0), bool)


def mark_unit(width: float, height: float) -> float:
    """How much larger marks are on a large sheet, which is looked at from farther away and often printed at half
    size."""
    share = (max(width, height) - SMALL_SHEET) / (LARGE_SHEET - SMALL_SHEET)
    return 1.0 + (LARGE_UNIT - 1.0) * min(max(share, 0.0), 1.0)


def cloud_unit(unit: float) -> float:
    """Clouds grow a third as much as tags: symbols are no larger on a large sheet, and labels stand beside them."""
    return 1.0 + (unit - 1.0) / 3


def _with_paths(mark: OutletMark, crowd: Crowd, kinds: Mapping[str, str]) -> OutletMark:
    paths = tuple(_path_mark(requirement, crowd, mark.unit, kinds) for requirement in _measured(mark.finding))
    return replace(mark, paths=paths)


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
    yield from list(known.values())[:PATHS_MOST]


def tag_size(text: str, size: float, name: FaceName, unit: float = 1.0) -> tuple[float, float]:
    return (text_width(text, size, name) + 2 * PAD) * unit, (size * ASCENT + 2 * PAD) * unit


def _path_mark(requirement: Requirement, crowd: Crowd, unit: float, kinds: Mapping[str, str]) -> PathMark:
    named = " ".join(part for part in (kinds.get(requirement.to or ""), requirement.to) if part)
    end = f" to {named}" if named else ""
    label = f"{requirement.distance_ft:.2f} ft{end}"
    size = tag_size(label, LABEL_SIZE, "CpR", unit)
    box = crowd.place([(*at, *at) for at in _along(requirement.path, LABEL_PLACES)], *size, unit, LABEL_GAPS)
    return PathMark(requirement.path, label, box)


def _steps(path: Sequence[Point]) -> list[Box]:
    """Small boxes along a path."""
    count = min(int(sum(map(math.dist, path, path[1:])) / PATH_STEP) + 1, STEPS_MOST)
    half = PATH_STEP / 2
    return [(x - half, y - half, x + half, y + half) for x, y in _along(path, np.linspace(0.0, 1.0, count + 1))]


def _along(path: Sequence[Point], shares: FloatArray) -> list[Point]:
    """Points of a path at those shares of its way."""
    points = np.asarray(path, float)
    run = np.concatenate([[0.0], np.hypot(*np.diff(points, axis=0).T).cumsum()])
    xs, ys = (np.interp(run[-1] * shares, run, points[:, axis]) for axis in (0, 1))
    return [(float(x), float(y)) for x, y in zip(xs, ys, strict=True)]


# ------------------------------------------------------------------------------------------------ drawing
