"""A crawl space drawn whole: its lights are judged, those of the room beside it are none of ours."""

from __future__ import annotations

from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from cordpath.check import judge_file, load_mapping, understand
from cordpath.model import Finding
from cordpath.rules import load_edition
from drawn_room import LAMPHOLDER

FOOT = 18.0  # pt, at 1/4 in = 1 ft
SYMBOLS = (
    """\
cordpath: 1
symbols:
  - name: duplex receptacle
    kind: receptacle
    shape:
      - circle: {center: [0, 0], radius: 0.0625}
      - line: {from: [-0.03, -0.12], to: [-0.03, 0.1]}
      - line: {from: [0.03, -0.12], to: [0.03, 0.1]}
    wall_side: [0, -1]
"""
    + LAMPHOLDER
)


def light(canvas: Canvas, x: float, y: float) -> None:
    canvas.circle(x, y, 7.2)
    canvas.line(x - 7.2, y, x + 7.2, y)
    canvas.line(x, y - 7.2, x, y + 7.2)


def receptacle(canvas: Canvas, x: float, y: float) -> None:
    canvas.circle(x, y, 4.5)
    canvas.line(x - 2.16, y - 8.64, x - 2.16, y + 7.2)
    canvas.line(x + 2.16, y - 8.64, x + 2.16, y + 7.2)


def draw(path: Path) -> None:
    """Two rooms side by side, 6 in walls, a door between them; a crawl space of 16 ft and a hall of 10 ft."""
    canvas = Canvas(str(path), pagesize=(792, 612), invariant=1)
    left, bottom, high = 150.0, 200.0, 12 * FOOT
    first, second, thick = 16 * FOOT, 10 * FOOT, 0.5 * FOOT
    canvas.setLineWidth(1.0)
    wide = first + second + 3 * thick
    canvas.rect(left, bottom, wide, high + 2 * thick)
    canvas.rect(left + thick, bottom + thick, first, high)
    canvas.rect(left + 2 * thick + first, bottom + thick, second, high)
    canvas.setLineWidth(0.5)
    light(canvas, left + thick + 5 * FOOT, bottom + thick + 7 * FOOT)
    light(canvas, left + thick + 11 * FOOT, bottom + thick + 7 * FOOT)
    light(canvas, left + 2 * thick + first + 5 * FOOT, bottom + thick + 8 * FOOT)
    receptacle(canvas, left + thick + 8 * FOOT, bottom + thick + 8.64)
    canvas.setFont("Helvetica", 9)
    canvas.drawCentredString(left + thick + first / 2, bottom + thick + 3 * FOOT, "CRAWL SPACE")
    canvas.drawCentredString(left + 2 * thick + first + second / 2, bottom + thick + 3 * FOOT, "HALL")
    canvas.setFont("Helvetica-Bold", 12)
    canvas.drawString(left, 120, "POWER PLAN")
    canvas.setFont("Helvetica", 9)
    canvas.drawString(left, 104, 'SCALE: 1/4" = 1\'-0"')
    canvas.save()


@pytest.fixture(scope="module")
def findings(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Finding, ...]]:
    folder = tmp_path_factory.mktemp("crawl")
    draw(folder / "plan.pdf")
    (folder / "symbols.yaml").write_text(SYMBOLS)
    reading = understand(folder / "plan.pdf", 1, load_mapping(folder / "symbols.yaml"))
    found = {}
    for year in ("2014", "2017", "2023"):
        (sheet,) = judge_file("plan.pdf", {1: reading}, load_edition(year))
        found[year] = sheet.findings
    return found


def test_lights_of_the_crawl_space_are_judged_and_no_other(findings: dict[str, tuple[Finding, ...]]) -> None:
    for year, verdict, cite in (("2014", "not required", None), ("2017", "missing", "210.8(E)"),
                                ("2023", "missing", "210.8(C)")):  # fmt: skip
        lights = [each for each in findings[year] if each.outlet.symbol.kind == "light"]
        assert [each.verdict for each in lights] == [verdict, verdict], [each.reasons for each in lights]
        assert all(each.room is not None and each.room.kind == "crawl space" for each in lights)
        assert all([r.cite for r in each.requirements] == ([cite] if cite else []) for each in lights)


def test_its_receptacle_is_judged_as_ever(findings: dict[str, tuple[Finding, ...]]) -> None:
    (found,) = (each for each in findings["2023"] if each.outlet.symbol.kind == "receptacle")
    assert found.verdict == "missing" and [each.cite for each in found.requirements] == ["210.8(A)(4)"]
