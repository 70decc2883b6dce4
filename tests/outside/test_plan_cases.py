"""What may lie between an outlet and a tub: published readings, drawn as plans and read from the PDF.

Sources, paraphrased (sections are those of NEC 210.8; see also test_code_cases.py):

- electricallicenserenewal.com, 2020 NEC, change of the measuring rule: since 2020 a door or doorway does not end a
  cord path, a window does.
- EC&M, Practically Speaking, measurement methods need clarification (2023): windows are no longer named.
- captaincode2017.leviton.com, 2017, 210.8(A)(7): a door or doorway ends it.
- Mike Holt forum, a receptacle close to a sink in another room (2023): a wall ends it, a doorway does not.
- captaincode2014.leviton.com, 2014, 210.8(A)(9): a receptacle of another room within 6 ft of a tub counts.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from cordpath.check import judge_file, load_mapping, understand
from cordpath.model import Reading
from cordpath.rules import load_edition
from drawn_room import BATHTUB, LAVATORY

FOOT = 18.0  # pt, 1/4" = 1'-0"
WEST, SOUTH = 200.0, 250.0  # inner corner of the bedroom
WALL = 0.4 * FOOT
MAPPING = (
    """\
cordpath: 1
symbols:
  - name: duplex receptacle
    kind: receptacle
    shape:
      - circle: {center: [0, 0], radius: 0.0625}
      - line: {from: [-0.11, -0.025], to: [0.0573, -0.025]}
      - line: {from: [-0.11, 0.025], to: [0.0573, 0.025]}
    wall_side: [-1, 0]
"""
    + BATHTUB
    + LAVATORY
)

# Round both corners of the jamb, by hand: from (0, 2.2) ft to (0, 3.2), through 0.4 ft of wall to (0.4, 3.2), and
# up to the tub's outer edge, which ends 2.6 ft south of the north wall, 0.1 ft off the wall.
BY_DOOR_FT = 1.0 + 0.4 + 0.6083

WAYS = ("wall", "door", "doorway", "window", "far through the door")
CASES = {
    "wall": {"2017": "not required", "2020": "not required", "2023": "not required"},
    "door": {"2017": "not required", "2020": "missing", "2023": "missing"},
    "doorway": {"2017": "not required", "2020": "missing", "2023": "missing"},
    "window": {"2017": "not required", "2020": "not required"},
    "far through the door": {"2017": "not required", "2020": "not required", "2023": "not required"},
}


def draw(path: Path, way: str) -> None:
    """A bedroom of 12 x 12 ft, a bath of 9 x 12 ft east of it, or a patio with a tub.  The tub stands in the corner
    at the wall between, the outlet on the other side of that wall.  In the wall beside them there is nothing, a
    door, a cased opening or a window; to a bath without a way there a door is far to the south."""
    page = Canvas(str(path), pagesize=(864, 864))
    between = WEST + 12 * FOOT
    north, east = SOUTH + 12 * FOOT, between + WALL + 9 * FOOT
    low, high = north - 6.2 * FOOT, north - 3.2 * FOOT  # the opening beside the tub
    patio, far = way == "window", way in ("wall", "far through the door")
    gap = (SOUTH + 0.5 * FOOT, SOUTH + 3.0 * FOOT) if far else (low, high)
    end = between + WALL if patio else east + WALL
    for x, y, w, h in (
        (between, SOUTH, WALL, gap[0] - SOUTH),
        (between, gap[1], WALL, north - gap[1]),
        (WEST - WALL, north, end - WEST + WALL, WALL),
        (WEST - WALL, SOUTH - WALL, 4 * FOOT + WALL, WALL),
        (WEST + 6.5 * FOOT, SOUTH - WALL, end - WEST - 6.5 * FOOT, WALL),
        (WEST - WALL, SOUTH, WALL, north - SOUTH),
        *(() if patio else ((east, SOUTH, WALL, north - SOUTH),)),
    ):
        page.rect(x, y, w, h, stroke=0, fill=1)
    page.setLineWidth(0.5)
    leaf(page, WEST + 4 * FOOT, SOUTH, 2.5 * FOOT, upright=False)
    if patio:
        for k in range(4):
            page.line(between + k * WALL / 3, low, between + k * WALL / 3, high)
    elif way != "doorway":
        leaf(page, between, gap[0], gap[1] - gap[0], upright=True)
    tub = (between + WALL + 2.6 * FOOT, north - 1.35 * FOOT)
    for x, y in ((30, 15), (26, 11)):
        page.rect(tub[0] - x * 1.5, tub[1] - y * 1.5, 3 * x, 3 * y)
    basin = (east - 1.0 * FOOT, SOUTH + 3 * FOOT)
    if not patio:
        page.rect(basin[0] - 15, basin[1] - 13.5, 30, 27)
        page.circle(*basin, 10.5)
    at_west = way == "far through the door"
    outlet(page, WEST if at_west else between, north - (9.0 if at_west else 2.2) * FOOT, east=at_west)
    titles(page, between, north, east, "PATIO" if patio else "BATH")
    page.save()


def outlet(page: Canvas, wall: float, y: float, *, east: bool) -> None:
    """On the west face of a wall, or on the east face of the west wall."""
    way = 1 if east else -1
    x = wall + way * 0.11 * 72
    page.setLineWidth(0.72)
    page.circle(x, y, 4.5)
    for side in (-0.025, 0.025):
        page.line(wall, y + side * 72, x + way * 0.0573 * 72, y + side * 72)


def leaf(page: Canvas, x: float, y: float, wide: float, *, upright: bool) -> None:
    """A door that opens into the bedroom: hinge at the lower or left jamb."""
    if upright:
        page.line(x, y, x - wide, y)
        page.arc(x - wide, y - wide, x + wide, y + wide, 90, 90)
    else:
        page.line(x, y, x, y + wide)
        page.arc(x - wide, y - wide, x + wide, y + wide, 0, 90)


def titles(page: Canvas, between: float, north: float, east: float, name: str) -> None:
    page.setFont("Helvetica", 8)
    page.drawString(WEST + 3 * FOOT, SOUTH + 7 * FOOT, "BEDROOM")
    page.drawString(between + 3 * FOOT, SOUTH + 6 * FOOT, name)
    page.setLineWidth(0.4)
    for a, b, y, text in (
        (WEST, between, north + 40, "12'-0\""),
        (between, east, north + 40, "9'-4 3/4\""),
        (WEST, east, north + 65, "21'-4 3/4\""),
    ):
        page.line(a, y, b, y)
        for x in (a, b):
            page.line(x, y - 10, x, y + 4)
            page.line(x - 3, y - 3, x + 3, y + 3)
        page.drawCentredString((a + b) / 2, y + 2, text)
    page.setFont("Helvetica-Bold", 12)
    page.drawString(WEST, 120, "POWER PLAN")
    page.setFont("Helvetica", 8)
    page.drawString(WEST, 108, 'SCALE: 1/4" = 1\'-0"')


@pytest.fixture(scope="module", params=WAYS)
def drawn(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Reading]:
    folder = tmp_path_factory.mktemp("plan")
    draw(folder / "plan.pdf", request.param)
    (folder / "symbols.yaml").write_text(MAPPING)
    return request.param, understand(folder / "plan.pdf", 1, load_mapping(folder / "symbols.yaml"))


def test_the_plan_is_read_as_drawn(drawn: tuple[str, Reading]) -> None:
    way, reading = drawn
    (plan,) = reading.plans
    patio = way == "window"
    assert {room.kind for room in plan.rooms} == {"bedroom", "outdoors"} | (set() if patio else {"bathroom"})
    assert [scale.status for scale in reading.scales] == ["proved"]
    assert sorted(f.symbol.kind for f in reading.fixtures) == ["bathtub"] + ([] if patio else ["lavatory"])
    (outlet,) = reading.outlets
    assert plan.room(outlet.standing.room).kind == "bedroom"  # type: ignore[union-attr]
    assert len(plan.doors) == (1 if way in ("doorway", "window") else 2)
    assert len(plan.openings) == (way == "doorway")
    assert (plan.glazing.area > 0) == patio


def test_published_readings(drawn: tuple[str, Reading]) -> None:
    way, reading = drawn
    for year, verdict in CASES[way].items():
        (result,) = judge_file("plan.pdf", {1: reading}, load_edition(year))
        (finding,) = result.findings
        assert finding.verdict == verdict, (year, finding.reasons)


def test_a_way_that_no_edition_rules_out_for_sure_is_never_passed_silently(drawn: tuple[str, Reading]) -> None:
    """2014 has no measuring rule, and 2023 names windows no more: whether glass that may open ends a path is told
    by no plan.  Where a door lies on the way, 2014 must not pass it either."""
    way, reading = drawn
    if way == "window":
        for year in ("2014", "2023", "2026"):
            (result,) = judge_file("plan.pdf", {1: reading}, load_edition(year))
            assert result.findings[0].verdict == "unresolved", (year, result.findings[0].reasons)
            assert any("window" in reason for reason in result.findings[0].reasons)
    if way in ("door", "doorway"):
        (result,) = judge_file("plan.pdf", {1: reading}, load_edition("2014"))
        assert result.findings[0].verdict in ("missing", "unresolved"), result.findings[0].reasons
        (path,) = [p for p in reading.paths if p.doors == "open" and p.length_ft < 6]
        assert len(path.points) > 2, "round the jamb"
        assert path.length_ft == pytest.approx(BY_DOOR_FT, abs=0.1)
