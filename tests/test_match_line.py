"""Plans that stop at a match line: what lies beyond is neither outdoors nor nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely
from reportlab.pdfgen.canvas import Canvas

from cordpath.check import judge_file, load_mapping, understand
from cordpath.model import Finding, Reading
from cordpath.rules import load_edition
from drawn_room import DUPLEX, FOOT, THICK, duplex

WEST, SOUTH, WIDE, DEEP = 200.0, 200.0, 20 * FOOT, 12 * FOOT
NORTH, CUT = SOUTH + DEEP, WEST + WIDE
HALL = NORTH + THICK  # a passage north of the room, three feet deep, that the match line cuts as well
FAR, BY_THE_LINE, IN_THE_STRIP, OUTSIDE = 0, 1, 2, 3


def draw(
    path: Path,
    name: str = "MATCH LINE - SEE E102",
    room: str = "LIVING ROOM",
    upright: bool = False,
    beyond: float = 0.0,
) -> None:
    """The west half of a house: a room that the line cuts, and beside the line, behind a wall,
    a strip of a room whose name is on the other sheet.  ``beyond``: the wall goes on to there in another drawing,
    and the name stands beside it."""
    page = Canvas(str(path), pagesize=(864, 864))
    for x, y, w, h in (
        (WEST - THICK, SOUTH - THICK, WIDE + THICK, THICK),
        (WEST - THICK, NORTH, WIDE + THICK, THICK),
        (WEST - THICK, SOUTH - THICK, THICK, DEEP + 8 * FOOT),
        (WEST - THICK, NORTH + 8 * FOOT - THICK, WIDE + THICK, THICK),
        (CUT - 1.5 * FOOT, NORTH, THICK, 8 * FOOT),
    ):
        page.rect(x, y, w, h, stroke=0, fill=1)
    page.setLineWidth(1.2)
    page.setDash(18, 4)
    page.line(CUT, 110, CUT, 760)
    page.setDash()
    page.setFont("Helvetica", 7)
    page.saveState()
    up = NORTH - 1.5 * FOOT if beyond else 120
    page.translate(CUT - 4, up) if upright else page.translate(CUT + 3, up - 8)
    page.rotate(90 if upright else 0)
    page.drawString(0, 0, name)
    page.restoreState()
    if beyond:
        for y in (NORTH, NORTH + THICK):
            page.line(WEST - THICK, y, CUT, y)
            page.line(CUT + 4 * FOOT, y, beyond, y)
    duplex(page, WEST + 3 * FOOT, NORTH)
    duplex(page, CUT - 2 * FOOT, NORTH)
    east = CUT - 1.5 * FOOT + THICK
    page.setLineWidth(0.72)
    page.circle(east + 0.11 * 72, NORTH + 4 * FOOT, 0.0625 * 72)
    for side in (-0.025, 0.025):
        page.line(east, NORTH + 4 * FOOT + side * 72, east + (0.11 + 0.0573) * 72, NORTH + 4 * FOOT + side * 72)
    duplex(page, WEST + 6 * FOOT, SOUTH - THICK)
    page.setFont("Helvetica", 9)
    page.drawCentredString(WEST + 8 * FOOT, SOUTH + 5 * FOOT, room)
    page.drawCentredString(WEST + 8 * FOOT, NORTH + 4 * FOOT, "BEDROOM")
    page.setLineWidth(0.4)
    for a, b, text in ((WEST, CUT - 1.5 * FOOT, "18'-6\""), (WEST, WEST + 8 * FOOT, "8'-0\"")):
        y = 150 if b < CUT - 2 * FOOT else 130
        page.line(a, y, b, y)
        for x in (a, b):
            page.line(x, y - 6, x, y + 6)
            page.line(x - 3, y - 3, x + 3, y + 3)
        page.drawCentredString((a + b) / 2, y + 3, text)
    page.setFont("Helvetica-Bold", 12)
    page.drawString(WEST, 90, "POWER PLAN - WEST")
    page.setFont("Helvetica", 9)
    page.drawString(WEST, 76, 'SCALE: 1/4" = 1\'-0"')
    page.save()


def judged(tmp_path: Path, edition: str = "2023", **more: object) -> tuple[Reading, list[Finding]]:
    """The findings in the order of the names above."""
    draw(tmp_path / "plan.pdf", **more)  # type: ignore[arg-type]
    (tmp_path / "symbols.yaml").write_text("cordpath: 1\nsymbols:\n" + DUPLEX)
    reading = understand(tmp_path / "plan.pdf", 1, load_mapping(tmp_path / "symbols.yaml"))
    (result,) = judge_file("plan.pdf", {1: reading}, load_edition(edition))
    by_outlet = {finding.outlet.id: finding for finding in result.findings}
    places = ((WEST + 3 * FOOT, NORTH - 8), (CUT - 2 * FOOT, NORTH - 8), (CUT - 10, NORTH + 72), (WEST + 108, 180))
    outlets = [
        min(reading.outlets, key=lambda o: shapely.Point(o.symbol.at).distance(shapely.Point(x, 864 - y)))
        for x, y in places
    ]
    assert len({outlet.id for outlet in outlets}) == 4
    return reading, [by_outlet[outlet.id] for outlet in outlets]


@pytest.mark.parametrize("edition", ["2017", "2023"])
@pytest.mark.parametrize("upright", [False, True])
def test_what_hangs_on_the_other_sheet_is_a_question(tmp_path: Path, edition: str, upright: bool) -> None:
    reading, findings = judged(tmp_path, edition, upright=upright)
    assert [finding.verdict for finding in findings] == ["not required", "unresolved", "unresolved", "missing"]
    assert any("match line" in reason for reason in findings[BY_THE_LINE].reasons)
    assert any("match line" in reason for reason in findings[IN_THE_STRIP].reasons)
    (plan,) = reading.plans
    assert plan.match_lines is not None and plan.match_lines.length > 500
    assert [room.name for room in plan.rooms].count("UNNAMED") == 1, "the strip"


@pytest.mark.parametrize("upright", [False, True])
def test_a_wall_that_runs_past_the_name_is_no_match_line(tmp_path: Path, upright: bool) -> None:
    """Two parts of a plan on one sheet: their walls in line are longer than the line at which the plan stops."""
    reading, findings = judged(tmp_path, upright=upright, beyond=858.0)
    (plan,) = reading.plans
    assert plan.match_lines is not None
    assert plan.match_lines.bounds[0] == pytest.approx(plan.match_lines.bounds[2], abs=1)
    assert [finding.verdict for finding in findings][:3] == ["not required", "unresolved", "unresolved"]


@pytest.mark.parametrize("name", ["MATCHLINE", "MATCH LINE", "MATCH LINES SEE SHEET E-102", "Match-Line"])
def test_the_ways_it_is_written(tmp_path: Path, name: str) -> None:
    assert judged(tmp_path, name=name)[0].plans[0].match_lines is not None


@pytest.mark.parametrize("name", ["PROPERTY LINE", "MATCH EXISTING"])
def test_other_lines_are_no_match_lines(tmp_path: Path, name: str) -> None:
    assert judged(tmp_path, name=name)[0].plans[0].match_lines is None


def test_a_kitchen_that_is_cut_is_a_kitchen_all_the_same(tmp_path: Path) -> None:
    _, findings = judged(tmp_path, room="LAUNDRY")
    assert [findings[k].verdict for k in (FAR, BY_THE_LINE)] == ["missing", "missing"]
