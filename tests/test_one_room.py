"""One room through all stages: figured and spatial lengths, a room stated by hand, a scale that cannot be right."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from reportlab.pdfgen.canvas import Canvas

from cordpath.check import judge_file, load_mapping, understand
from cordpath.model import Reading
from cordpath.rules import load_edition
from drawn_room import DUPLEX, FOOT, THICK, duplex, walls

WEST, SOUTH = 200.0, 200.0  # inner corner of the room
ALONG_FT = 6.0 - 11 / 12  # from the middle of the outlet to the side of the sink, 22 in. wide
MAPPING = (
    "cordpath: 1\nsymbols:\n"
    + DUPLEX
    + """\
  - name: sink
    kind: sink
    size: real
    rim_in: 36
    shape:
      - polyline: {points: [[-11, -8], [11, -8], [11, 8], [-11, 8]], closed: true}
      - circle: {center: [0, 0], radius: 1.75}
labels:
  - text: '\\+42"?'
    sets: {height_in: 42}
rooms:
  - at: [260, 500]
    sheet: E-101
    kind: laundry
    name: HOBBY ROOM
"""
)


def draw(path: Path, figure: str = "", leaf: float = 1.0, style: str = "tick") -> None:
    """A room of 14 x 11 ft: an outlet 3 ft from the west corner of the north wall, a sink 9 ft from it."""
    page = Canvas(str(path), pagesize=(864, 864))
    wide, deep = 14 * FOOT, 11 * FOOT
    north = SOUTH + deep
    walls(page, WEST, SOUTH, wide, deep, (4 * FOOT - THICK, 6.5 * FOOT))
    page.setLineWidth(0.5)
    for hinge in (WEST + 4 * FOOT - THICK, WEST + 6 * FOOT, WEST + 9 * FOOT):  # one in the opening, two below it
        r = leaf * 2.5 * FOOT
        y = SOUTH - (0 if hinge < WEST + 5 * FOOT else 8 * FOOT)
        page.line(hinge, y, hinge, y + r)
        page.arc(hinge - r, y - r, hinge + r, y + r, 0, 90)
    x, y = duplex(page, WEST + 3 * FOOT, north)
    page.setFont("Helvetica", 7)
    page.drawString(x + 8, y - 2, '+42"')
    sink = (WEST + 9 * FOOT, north - 1.0 * FOOT)
    page.rect(sink[0] - 11 * 1.5, sink[1] - 8 * 1.5, 22 * 1.5, 16 * 1.5)
    page.circle(*sink, 1.75 * 1.5)
    if figure:
        dimension(page, x, sink[0] - 11 * 1.5, north + 30, figure, style)
    dimension(page, WEST, WEST + wide, north + 60, "14'-0\"")
    dimension(page, WEST, WEST + 9 * FOOT, north + 85, "9'-0\"")
    page.setFont("Helvetica", 8)
    page.drawString(WEST + 5 * FOOT, SOUTH + 5 * FOOT, "ZORBLE")
    page.setFont("Helvetica-Bold", 12)
    page.drawString(WEST, 90, "POWER PLAN")
    page.setFont("Helvetica", 8)
    page.drawString(WEST, 78, 'SCALE: 1/4" = 1\'-0"')
    page.setFont("Helvetica-Bold", 24)
    page.drawString(770, 30, "E-101")
    page.save()


def dimension(page: Canvas, a: float, b: float, y: float, text: str, style: str = "tick") -> None:
    page.setLineWidth(0.4)
    page.line(a, y, b, y)
    for x, inward in ((a, 1), (b, -1)):
        page.line(x, y - 18, x, y + 4)
        if style == "tick":
            page.line(x - 3, y - 3, x + 3, y + 3)
        elif style == "dot":
            page.circle(x, y, 1.5, stroke=0, fill=1)
        elif style == "open":
            page.line(x, y, x + inward * 6, y + 2)
            page.line(x, y, x + inward * 6, y - 2)
        else:
            head = page.beginPath()
            head.moveTo(x, y)
            head.lineTo(x + inward * 6, y + 1.5)
            head.lineTo(x + inward * 6, y - 1.5)
            head.close()
            page.drawPath(head, stroke=0, fill=1)
    page.setFont("Helvetica", 7)
    page.drawCentredString((a + b) / 2, y + 2, text)


def read(folder: Path, **more: object) -> Reading:
    draw(folder / "plan.pdf", **more)  # type: ignore[arg-type]
    (folder / "symbols.yaml").write_text(MAPPING)
    return understand(folder / "plan.pdf", 1, load_mapping(folder / "symbols.yaml"))


def test_figured_and_spatial_lengths_and_a_room_stated_by_hand(tmp_path: Path) -> None:
    reading = read(tmp_path, figure="5'-1\"")
    assert [scale.status for scale in reading.scales] == ["proved"]
    assert [e.source for e in reading.scales[0].evidence] == ["note", "dimension", "doors"]
    for path in reading.paths:
        assert path.figured
        assert path.length_ft == pytest.approx(ALONG_FT, abs=0.02)
        assert path.length_3d_ft == pytest.approx(np.hypot(path.length_ft, 0.5), abs=1e-6), (
            "42 in. over a rim at 36"
        )
    (room,) = [room for room in reading.plans[0].rooms if room.kind != "outdoors"]
    assert (room.name, room.kind) == ("HOBBY ROOM", "laundry")
    assert any("states the room ZORBLE" in said for said in reading.plans[0].assumptions)


@pytest.mark.parametrize(
    ("style", "figure"),
    [("tick", "5'-1\" V.I.F."), ("arrow", "1549 mm"), ("open", '61"'), ("dot", "1.55 m"), ("arrow", "±5'-1\"")],
)
def test_a_figure_in_any_style_states_the_length(tmp_path: Path, style: str, figure: str) -> None:
    for path in read(tmp_path, figure=figure, style=style).paths:
        assert path.figured
        assert path.length_ft == pytest.approx(ALONG_FT, abs=0.025)
        assert path.length_3d_ft == pytest.approx(np.hypot(path.length_ft, 0.5), abs=1e-6)


def test_without_a_figure_the_path_is_scaled(tmp_path: Path) -> None:
    reading = read(tmp_path)
    assert reading.paths
    assert not any(path.figured for path in reading.paths)
    assert reading.paths[0].length_ft == pytest.approx(ALONG_FT, abs=0.02)


def test_a_figure_that_was_not_drawn_to_scale_is_taken_with_its_doubt(tmp_path: Path) -> None:
    path = read(tmp_path, figure="6'-9\"").paths[0]
    assert path.figured
    assert path.length_ft == pytest.approx(6.75, abs=0.02)
    assert path.length_ft - path.uncertainty_ft < ALONG_FT < 6.0 < path.length_ft


def test_doors_of_twice_the_width_of_doors_leave_nothing_measured(tmp_path: Path) -> None:
    reading = read(tmp_path, leaf=2.0)
    (scale,) = reading.scales
    assert scale.status == "conflict"
    assert scale.why is not None
    assert "scale not plausible" in scale.why
    assert reading.paths == ()
    (result,) = judge_file("plan.pdf", {1: reading}, load_edition("2023"))
    assert [finding.verdict for finding in result.findings if finding.verdict == "not required"] == []


@pytest.mark.parametrize("crossed", [False, True])
def test_a_label_that_is_crossed_out_protects_nothing(tmp_path: Path, crossed: bool) -> None:
    page = Canvas(str(tmp_path / "plan.pdf"), pagesize=(864, 864))
    wide, deep = 14 * FOOT, 11 * FOOT
    walls(page, WEST, SOUTH, wide, deep, (4 * FOOT - THICK, 6.5 * FOOT))
    x, y = duplex(page, WEST + 6 * FOOT, SOUTH + deep)
    page.setFont("Helvetica", 7)
    page.drawString(x + 8, y - 2, "GFI")
    if crossed:
        page.line(x + 7, y + 0.5, x + 9 + page.stringWidth("GFI", "Helvetica", 7), y + 0.5)
    page.setFont("Helvetica", 8)
    page.drawString(WEST + 5 * FOOT, SOUTH + 5 * FOOT, "GARAGE")
    page.drawString(WEST, 78, 'SCALE: 1/4" = 1\'-0"')
    page.save()
    (tmp_path / "symbols.yaml").write_text("cordpath: 1\nsymbols:\n" + DUPLEX, "utf-8")
    reading = understand(tmp_path / "plan.pdf", 1, load_mapping(tmp_path / "symbols.yaml"))
    (result,) = judge_file("plan.pdf", {1: reading}, load_edition("2023"))
    assert [found.verdict for found in result.findings] == ["unresolved" if crossed else "protected"]
    assert any("a line runs through the word 'GFI'" in said for said in result.assumptions) == crossed
