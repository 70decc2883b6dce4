"""Fixtures of a design that the mapping file does not name: no outlet beside one is cleared without a word."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from cordpath.check import judge_file, load_mapping, understand
from cordpath.model import Finding, Reading
from cordpath.rules import load_edition
from drawn_room import DUPLEX, FOOT, duplex, walls

INCH = FOOT / 12
WEST, SOUTH, WIDE, DEEP = 200.0, 200.0, 22 * FOOT, 14 * FOOT
NORTH = SOUTH + DEEP
MAPPING = (
    "cordpath: 1\nsymbols:\n"
    + DUPLEX
    + """\
  - name: sink
    kind: sink
    size: real
    shape:
      - polyline: {points: [[-16, -11], [16, -11], [16, 11], [-16, 11]], closed: true}
      - polyline: {points: [[-14, -9], [-1, -9], [-1, 8], [-14, 8]], closed: true}
      - polyline: {points: [[1, -9], [14, -9], [14, 8], [1, 8]], closed: true}
"""
)
Draw = Callable[[Canvas, float, float], None]


def sheet(path: Path, name: str, fixtures: list[tuple[Draw, float]], outlets: list[float]) -> None:
    """One room; fixtures and outlets along its north wall, at so many feet from the west corner."""
    page = Canvas(str(path), pagesize=(864, 864))
    walls(page, WEST, SOUTH, WIDE, DEEP, (9 * FOOT, 12 * FOOT))
    page.setLineWidth(0.5)
    page.line(WEST + 9 * FOOT, SOUTH, WEST + 9 * FOOT, SOUTH + 3 * FOOT)
    page.arc(WEST + 6 * FOOT, SOUTH - 3 * FOOT, WEST + 12 * FOOT, SOUTH + 3 * FOOT, 0, 90)
    for draw, feet in fixtures:
        draw(page, WEST + feet * FOOT, NORTH)
    for feet in outlets:
        duplex(page, WEST + feet * FOOT, NORTH)
    page.setFont("Helvetica", 9)
    page.drawCentredString(WEST + 11 * FOOT, SOUTH + 6 * FOOT, name)
    page.setFont("Helvetica", 8)
    for a, b, at, text in ((0, 22, 40, "22'-0\""), (0, 9, -60, "9'-0\"")):
        y = (NORTH if at > 0 else SOUTH) + at
        page.line(WEST + a * FOOT - 6, y, WEST + b * FOOT + 6, y)
        for feet in (a, b):
            page.line(WEST + feet * FOOT, y - 8, WEST + feet * FOOT, y + 8)
            page.line(WEST + feet * FOOT - 3, y - 3, WEST + feet * FOOT + 3, y + 3)
        page.drawCentredString(WEST + (a + b) / 2 * FOOT, y + 3, text)
    page.setFont("Helvetica-Bold", 12)
    page.drawString(WEST, 80, "POWER PLAN")
    page.setFont("Helvetica", 9)
    page.drawString(WEST, 66, 'SCALE: 1/4" = 1\'-0"')
    page.save()


def bar_sink(page: Canvas, x: float, wall: float) -> None:
    """Fifteen inches square with a rounded bowl, a drain and a tap: of no design in the mapping file."""
    y = wall - 12 * INCH
    page.rect(x - 7.5 * INCH, y - 7.5 * INCH, 15 * INCH, 15 * INCH)
    page.roundRect(x - 6 * INCH, y - 6.5 * INCH, 12 * INCH, 11 * INCH, 3 * INCH)
    page.circle(x, y - INCH, 1.6 * INCH)
    page.line(x, y + 6 * INCH, x, y + 1.5 * INCH)


def named_sink(page: Canvas, x: float, wall: float) -> None:
    y = wall - 12 * INCH
    page.rect(x - 16 * INCH, y - 11 * INCH, 32 * INCH, 22 * INCH)
    page.rect(x - 14 * INCH, y - 8 * INCH, 13 * INCH, 17 * INCH)
    page.rect(x + INCH, y - 8 * INCH, 13 * INCH, 17 * INCH)


def stall(page: Canvas, x: float, wall: float, short: float = 0.0) -> None:
    """A shower of 36 in: a square, its falls and its grate; ``short``: inches from its middle that they stop at."""
    y = wall - 18 * INCH
    page.rect(x - 18 * INCH, y - 18 * INCH, 36 * INCH, 36 * INCH)
    for a, b in ((-1, -1), (1, 1), (-1, 1), (1, -1)):
        page.line(x + 18 * a * INCH, y + 18 * b * INCH, x + short * a * INCH, y + short * b * INCH)
    page.circle(x, y, 2.5 * INCH)


def stall_apart(page: Canvas, x: float, wall: float) -> None:
    """Its falls stop an inch short of the grate."""
    stall(page, x, wall, short=2.5)


def table(page: Canvas, x: float, wall: float) -> None:
    """A table with a lamp, and a chair of rounded boxes: larger circles, and no drain."""
    y = wall - 20 * INCH
    page.rect(x - 12 * INCH, y - 12 * INCH, 24 * INCH, 24 * INCH)
    page.rect(x - 11 * INCH, y - 11 * INCH, 22 * INCH, 22 * INCH)
    page.circle(x, y, 5 * INCH)
    page.roundRect(x + 20 * INCH, y - 15 * INCH, 30 * INCH, 30 * INCH, 5 * INCH)
    page.roundRect(x + 24 * INCH, y - 12 * INCH, 22 * INCH, 22 * INCH, 3 * INCH)


def judged(
    tmp_path: Path, name: str, fixtures: list[tuple[Draw, float]], outlets: list[float], edition: str = "2023"
) -> tuple[Reading, list[Finding]]:
    sheet(tmp_path / "plan.pdf", name, fixtures, outlets)
    (tmp_path / "symbols.yaml").write_text(MAPPING)
    reading = understand(tmp_path / "plan.pdf", 1, load_mapping(tmp_path / "symbols.yaml"))
    (result,) = judge_file("plan.pdf", {1: reading}, load_edition(edition))
    return reading, list(result.findings)


def test_an_outlet_by_an_unnamed_bar_sink_is_a_question(tmp_path: Path) -> None:
    reading, (near, far) = judged(tmp_path, "LIVING ROOM", [(bar_sink, 4)], [6.5, 14])
    (sink,) = reading.fixtures
    assert (sink.symbol.kind, sink.symbol.found, sink.symbol.unnamed) == ("sink", False, True)
    assert near.verdict == "unresolved" and any("sink by its shape" in reason for reason in near.reasons)
    (asked,) = far.requirements  # 10 ft from the sink, perhaps in an area for food or drink about it
    assert far.verdict == "unresolved" and asked.cite == "210.8(A)(7)"
    _, (near, far) = judged(tmp_path, "LIVING ROOM", [(bar_sink, 4)], [6.5, 14], "2020")
    assert (near.verdict, far.verdict) == ("unresolved", "not required")
    assert any("like no fixture of the mapping file" in said for said in reading.spotting.assumptions)


def test_distances_to_an_unnamed_sink_run_to_its_bowl(tmp_path: Path) -> None:
    reading, _ = judged(tmp_path, "LIVING ROOM", [(bar_sink, 4)], [8])
    (path,) = [p for p in reading.paths if p.doors == "open"]
    edge = reading.fixtures[0].symbol.edge
    assert edge is not None
    assert path.length_ft == pytest.approx(4 - 6 / 12, abs=0.15)
    assert edge.area / INCH**2 == pytest.approx(12 * 11 - (4 - 3.1416) * 9, rel=0.02)


@pytest.mark.parametrize("drawn", [stall, stall_apart])
def test_an_unnamed_shower_beside_a_bedrooms_outlet_is_a_question(drawn: Draw, tmp_path: Path) -> None:
    """With falls that stop short of the drain it was nothing, and the outlet not required for certain."""
    _, (near, far) = judged(tmp_path, "BEDROOM", [(drawn, 5)], [9, 17])
    assert near.verdict == "unresolved" and any("shower by its shape" in reason for reason in near.reasons)
    assert far.verdict == "not required"


def test_furniture_is_no_sink(tmp_path: Path) -> None:
    reading, findings = judged(tmp_path, "LIVING ROOM", [(table, 4)], [8, 17])
    assert not reading.fixtures and [f.verdict for f in findings] == ["not required"] * 2


def test_a_named_sink_is_not_told_twice(tmp_path: Path) -> None:
    reading, (near,) = judged(tmp_path, "LIVING ROOM", [(named_sink, 4)], [8])
    (sink,) = reading.fixtures
    assert sink.symbol.found and not sink.symbol.unnamed and near.verdict == "missing"


def shrub(page: Canvas, x: float, wall: float) -> None:
    """In the yard, seven feet north of the wall: a crown of two feet and its trunk."""
    for radius in (12, 1.5):
        page.circle(x, wall + 7 * FOOT, radius * INCH)


def round_basin(page: Canvas, x: float, wall: float) -> None:
    for radius in (9, 7.5, 1):
        page.circle(x, wall - 12 * INCH, radius * INCH)


def test_a_shrub_in_the_yard_is_no_sink_and_a_round_basin_in_the_house_may_be_one(tmp_path: Path) -> None:
    reading, (near, _) = judged(tmp_path, "BEDROOM", [(shrub, 4), (shrub, 12)], [6.5, 17])
    assert not reading.fixtures and near.verdict == "not required"
    assert any("2 round things outside the house" in said for said in reading.spotting.assumptions)
    reading, (near, _) = judged(tmp_path, "BEDROOM", [(shrub, 4), (round_basin, 4)], [6.5, 17])
    assert [fixture.symbol.kind for fixture in reading.fixtures] == ["sink"] and near.verdict == "unresolved"


def ceiling_ring(page: Canvas, x: float, wall: float, across: float = 8.0) -> None:
    """A smoke alarm or a round light: two circles in one, as symbols are plotted at a quarter inch."""
    for size in (across, 3.0):
        page.circle(x, wall - 5 * FOOT, size / 2 * INCH)


def lamp_on_a_stand(page: Canvas, x: float, wall: float) -> None:
    y = wall - 10 * INCH
    for side in (18, 16):
        page.rect(x - side / 2 * INCH, y - side / 2 * INCH, side * INCH, side * INCH)
    for size in (8, 2):
        page.circle(x, y, size / 2 * INCH)


@pytest.mark.parametrize("across", [7.0, 9.3])
def test_rings_of_alarms_and_lamps_are_no_sinks(tmp_path: Path, across: float) -> None:
    def ring(page: Canvas, x: float, wall: float) -> None:
        ceiling_ring(page, x, wall, across)

    reading, findings = judged(tmp_path, "BEDROOM", [(ring, 5), (lamp_on_a_stand, 9)], [7, 17])
    assert not reading.fixtures and [f.verdict for f in findings] == ["not required"] * 2


def test_a_sink_with_a_disposer_under_its_drain_may_be_one(tmp_path: Path) -> None:
    def disposer(page: Canvas, x: float, wall: float) -> None:
        bar_sink(page, x, wall)
        page.circle(x, wall - 13 * INCH, 4 * INCH)

    reading, (near, _) = judged(tmp_path, "BEDROOM", [(disposer, 4)], [6.5, 17])
    assert [fixture.symbol.kind for fixture in reading.fixtures] == ["sink"] and near.verdict == "unresolved"
