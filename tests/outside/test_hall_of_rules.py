"""A house with an outlet of every kind that the editions treat apart, drawn, read from its PDF and judged.

What each edition is expected to say is worked out by hand from published accounts of 210.8, 422.5, 424.44, 625.54
and 680 (those that the edition files name); M: protection is missing, N: not required, U: a question that no plan
answers.  In the order of 2014, 2017, 2020, 2023, 2026; the permit is of 1 October 2026.  For cars 2017 has
625.54 by an interim amendment alone (NECA, Code question of the day of 13 June 2018).
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from cordpath.check import judge_file, load_mapping, understand
from cordpath.model import Finding, Reading
from cordpath.rules import dated, load_edition
from drawn_room import BATHTUB, DUPLEX, LAMPHOLDER, LAVATORY

FOOT = 18.0  # pt, 1/4" = 1'-0"
INCH = FOOT / 12
WEST, SOUTH = 150.0, 500.0  # inner corner of the hall
THICK = 0.4 * FOOT
DEEP, HALL = 12 * FOOT, 6 * FOOT
DAY = dt.date(2026, 10, 1)
YEARS = ("2014", "2017", "2020", "2023", "2026")
WORDS = {"M": "missing", "N": "not required", "U": "unresolved"}
MAPPING = (
    """\
cordpath: 1
symbols:
"""
    + DUPLEX
    + """\
  - name: 240 volt receptacle
    kind: receptacle
    volts: 240
    shape:
      - circle: {center: [0, 0], radius: 0.09}
      - line: {from: [-0.05, -0.11], to: [-0.05, 0.0748]}
      - line: {from: [0, -0.11], to: [0, 0.09]}
      - line: {from: [0.05, -0.11], to: [0.05, 0.0748]}
    wall_side: [0, -1]
  - name: equipment connection
    kind: hardwired outlet
    shape:
      - polyline: {points: [[-0.07, -0.11], [0.07, -0.11], [0.07, 0.03], [-0.07, 0.03]], closed: true}
      - line: {from: [-0.07, -0.11], to: [0.07, 0.03]}
      - line: {from: [-0.07, 0.03], to: [0.07, -0.11]}
    wall_side: [0, -1]
"""
    + LAMPHOLDER
    + """\
  - name: sink
    kind: sink
    size: real
    shape:
      - polyline: {points: [[-12, -11], [12, -11], [12, 11], [-12, 11]], closed: true}
      - polyline: {points: [[-9, -8], [9, -8], [9, 8], [-9, 8]], closed: true}
"""
    + LAVATORY
    + BATHTUB
    + """\
labels:
  - {text: OVEN, sets: {serves: wall oven, volts: 240, amperes: 40}}
  - {text: FLR HEAT, sets: {serves: floor heat}}
  - {text: WHIRLPOOL, sets: {serves: whirlpool tub}}
  - {text: EVSE 50, sets: {serves: evse, volts: 240, amperes: 50}}
  - {text: EVSE 60, sets: {serves: evse, volts: 240, amperes: 60}}
  - {text: DRYER 30, sets: {serves: dryer, volts: 240, amperes: 30}}
  - {text: CU, sets: {serves: condensing unit, volts: 240, amperes: 40}}
  - {text: YARD LT, sets: {serves: lighting}}
  - {text: POOL PUMP, sets: {serves: pool pump, volts: 240, amperes: 20}}
  - {text: SPA, sets: {serves: hot tub, volts: 240, amperes: 50}}
  - {text: SERVICE, sets: {serves: hvac service}}
  - {text: SUMP, sets: {serves: sump pump}}
  - {text: ALARM, sets: {serves: burglar alarm}}
  - {text: FIRE, sets: {serves: fire alarm}}
"""
)


@dataclass(frozen=True)
class Place:
    """An outlet on the north wall of its room, ``feet`` from the room's west wall; ``wants`` by edition."""

    wants: str
    feet: float
    symbol: str
    label: str = ""


@dataclass(frozen=True)
class Part:
    """A room of a row; ``fixtures`` (kind, feet from the west wall, feet from the north wall)."""

    name: str
    wide: float
    places: tuple[Place, ...]
    fixtures: tuple[tuple[str, float, float], ...] = ()
    counter: float = 0.0  # feet of counter along the north wall, from the west wall


D, V, J, L = "duplex", "volts", "junction", "light"
FLOOR = (
    Part("BATH", 16, (Place("MMMMM", 15, D), Place("MMMMM", 12, J, "FLR HEAT"), Place("MMMMM", 9, J, "WHIRLPOOL")),
         (("lavatory", 1, 8), ("bathtub", 3, 1.4))),
    Part("GARAGE", 14, (Place("MMMMM", 3, D, "GDO"), Place("NUMMM", 7, V, "EV"), Place("NNNMM", 11, J, "EVSE 50"))),
    Part("STORAGE SHED", 9, (Place("MMMMM", 4, D),)),
    Part("KITCHEN", 24, (Place("MMMMM", 2, D), Place("MUMMM", 6.5, D, "DISP"), Place("MMMMM", 9.5, J, "DW"),
                         Place("NNNMM", 17, D, "REF"), Place("NNNMM", 21, J, "OVEN")),
         (("sink", 5, 1.05),), 12),
    Part("DINING", 12, (Place("NNNNN", 6, D),)),
    Part("WET BAR", 14, (Place("MMMMM", 3, D), Place("NNNMM", 12, D)), (("sink", 1.5, 1.05),)),
    Part("LAUNDRY", 14, (Place("MMMMM", 3, D), Place("NNMMM", 7, V, "DRYER 30"),
                         Place("NNNMM", 11, J, "DRYER 30"))),
    Part("BOATHOUSE", 10, (Place("MMMMM", 5, D),)),
)  # fmt: skip
UPPER = (
    Part("BEDROOM", 12, (Place("NNNNN", 6, D),)),
    Part("ATTIC", 12, (Place("NNMMM", 6, D, "SERVICE"),)),
    Part("SAUNA", 12, (Place("NNMMM", 6, D),)),
)
YARD = (
    Place("MMMMM", 6, D), Place("NNMMM", 14, J, "CU"), Place("NNNNM", 22, J, "EVSE 60"),
    Place("NNNNN", 30, J, "YARD LT"), Place("MMMMM", 38, J, "POOL PUMP"), Place("UUMMM", 46, J, "SPA"),
)  # fmt: skip
CELLAR = (
    Part("UNFINISHED BASEMENT", 18, (Place("MMMMM", 3, D), Place("NNNNN", 8, D, "ALARM"),
                                     Place("NNNUU", 13, D, "FIRE"))),
    Part("BEDROOM", 12, (Place("NNMMM", 6, D),)),
    Part("MECHANICAL", 12, (Place("UUMMM", 3, D), Place("NNMMM", 8, J, "SUMP"))),
)  # fmt: skip
CRAWL = (Part("CRAWL SPACE", 16, (Place("MMMMM", 4, D), Place("NMMMM", 10, L))), Part("STAIR HALL", 10, ()))
SHEETS = (("FIRST FLOOR POWER PLAN", FLOOR, YARD), ("SECOND FLOOR POWER PLAN", UPPER, ()),
          ("BASEMENT POWER PLAN", CELLAR, ()), ("CRAWL SPACE POWER PLAN", CRAWL, ()))  # fmt: skip


def draw(path: Path) -> list[list[tuple[tuple[float, float], Place, str]]]:
    """Every sheet on a page; the middles of its outlets as on the page, y down."""
    page = Canvas(str(path), pagesize=(2592, 1296), invariant=1)
    told = []
    for title, parts, yard in SHEETS:
        told.append(row(page, parts, yard))
        name(page, title)
        page.showPage()
    page.save()
    return told


def row(
    page: Canvas, parts: tuple[Part, ...], yard: tuple[Place, ...]
) -> list[tuple[tuple[float, float], Place, str]]:
    """Rooms side by side north of a hall, each with a door to it, and the hall with one to the outside."""
    floor, north = SOUTH + HALL + THICK, SOUTH + HALL + THICK + DEEP
    wide = sum(part.wide for part in parts) * FOOT + (len(parts) - 1) * THICK
    page.setLineWidth(0.5)
    solid(page, WEST - THICK, north, wide + 2 * THICK, THICK)
    doored(page, WEST - THICK, SOUTH - THICK, wide + 2 * THICK, [WEST + wide - 5 * FOOT])
    for x in (WEST - THICK, WEST + wide):
        solid(page, x, SOUTH - THICK, THICK, north - SOUTH + THICK)
    found, doors, x = [], [], WEST
    for part in parts:
        doors.append(x + part.wide * FOOT - 4 * FOOT)
        found += [(put(page, place, x, north), place, part.name) for place in part.places]
        furnish(page, part, x, north)
        page.setFont("Helvetica", 8)
        page.drawString(x + 1.5 * FOOT, floor + 5.5 * FOOT, part.name)
        x += part.wide * FOOT
        if part is not parts[-1]:
            solid(page, x, floor, THICK, DEEP)
            x += THICK
    doored(page, WEST, floor - THICK, wide, doors)
    page.drawString(WEST + 10 * FOOT, SOUTH + 2.5 * FOOT, "HALL")
    face = SOUTH - THICK  # the yard's outlets stand on the south face of the house
    found += [(put(page, place, WEST, face), place, "yard") for place in yard]
    dimension(page, WEST, WEST + parts[0].wide * FOOT, north + 60, f"{parts[0].wide}'-0\"")
    dimension(page, WEST, WEST + wide, north + 90, feet_inches(wide / FOOT))
    return found


def solid(page: Canvas, x: float, y: float, wide: float, high: float) -> None:
    page.rect(x, y, wide, high, stroke=0, fill=1)


def doored(page: Canvas, x: float, y: float, wide: float, doors: list[float]) -> None:
    """A level wall with doors of 3 ft that open northwards; ``doors``: the west jambs."""
    ends = [x, *(e for d in doors for e in (d, d + 3 * FOOT)), x + wide]
    for a, b in zip(ends[::2], ends[1::2], strict=True):
        solid(page, a, y, b - a, THICK)
    page.setLineWidth(0.5)
    for jamb in doors:
        top, leaf = y + THICK, 3 * FOOT
        page.line(jamb, top, jamb, top + leaf)
        page.arc(jamb - leaf, top - leaf, jamb + leaf, top + leaf, 0, 90)


def put(page: Canvas, place: Place, west: float, north: float) -> tuple[float, float]:
    """An outlet on the wall whose face is at ``north``, its label below it; its middle on the page, y down."""
    x, y = west + place.feet * FOOT, north - 0.11 * 72
    page.setLineWidth(0.72)
    if place.symbol == J:
        left, low = x - 0.07 * 72, y - 0.03 * 72
        page.rect(left, low, 0.14 * 72, 0.14 * 72)
        page.line(left, low, left + 0.14 * 72, low + 0.14 * 72)
        page.line(left, low + 0.14 * 72, left + 0.14 * 72, low)
    elif place.symbol == L:
        y = north - 6 * FOOT
        page.circle(x, y, 7.2)
        page.line(x - 7.2, y, x + 7.2, y)
        page.line(x, y - 7.2, x, y + 7.2)
    else:
        bars = (
            ((-0.025, 0.0573), (0.025, 0.0573))
            if place.symbol == D
            else ((-0.05, 0.0748), (0, 0.09), (0.05, 0.0748))
        )
        page.circle(x, y, (0.0625 if place.symbol == D else 0.09) * 72)
        for side, low in bars:
            page.line(x + side * 72, north, x + side * 72, y - low * 72)
    page.setFont("Helvetica", 6)
    page.drawCentredString(x, y - 14, place.label)
    return x, 1296 - y


def furnish(page: Canvas, part: Part, west: float, north: float) -> None:
    page.setLineWidth(0.5)
    if part.counter:
        page.line(west, north - 25 * INCH, west + part.counter * FOOT, north - 25 * INCH)
        page.line(west + part.counter * FOOT, north - 25 * INCH, west + part.counter * FOOT, north)
    for kind, east, south in part.fixtures:
        x, y = west + east * FOOT, north - south * FOOT
        sizes = {"sink": ((12, 11), (9, 8)), "bathtub": ((30, 15), (26, 11)), "lavatory": ((10, 9),)}[kind]
        for half_wide, half_high in sizes:
            page.rect(x - half_wide * INCH, y - half_high * INCH, 2 * half_wide * INCH, 2 * half_high * INCH)
        if kind == "lavatory":
            page.circle(x, y, 7 * INCH)


def dimension(page: Canvas, a: float, b: float, y: float, text: str) -> None:
    page.setLineWidth(0.4)
    page.line(a, y, b, y)
    for x in (a, b):
        page.line(x, y - 10, x, y + 4)
        page.line(x - 3, y - 3, x + 3, y + 3)
    page.setFont("Helvetica", 7)
    page.drawCentredString((a + b) / 2, y + 2, text)


def feet_inches(feet: float) -> str:
    whole, inches = divmod(round(feet * 12 * 16) / 16, 12)
    sixteenths = round((inches % 1) * 16)
    part = f" {sixteenths}/16" if sixteenths else ""
    return f"{whole:.0f}'-{int(inches)}{part}\""


def name(page: Canvas, title: str) -> None:
    page.setFont("Helvetica-Bold", 12)
    page.drawString(WEST, 300, title)
    page.setFont("Helvetica", 8)
    page.drawString(WEST, 286, 'SCALE: 1/4" = 1\'-0"')


Hall = tuple[dict[int, Reading], list[list[tuple[tuple[float, float], Place, str]]]]


@pytest.fixture(scope="module")
def hall(tmp_path_factory: pytest.TempPathFactory) -> Hall:
    folder = tmp_path_factory.mktemp("hall")
    told = draw(folder / "hall.pdf")
    (folder / "symbols.yaml").write_text(MAPPING)
    mapping = load_mapping(folder / "symbols.yaml")
    return {k: understand(folder / "hall.pdf", k, mapping) for k in range(1, len(SHEETS) + 1)}, told


def nearest(at: tuple[float, float], findings: tuple[Finding, ...]) -> Finding | None:
    near = [f for f in findings if abs(f.outlet.symbol.at[0] - at[0]) + abs(f.outlet.symbol.at[1] - at[1]) < 9]
    return near[0] if len(near) == 1 else None


@pytest.mark.parametrize("year", YEARS)
def test_every_kind_of_outlet_drawn_and_judged(hall: Hall, year: str) -> None:
    readings, told = hall
    results = judge_file("hall.pdf", dict(readings), dated(load_edition(year), DAY))
    wrong = []
    for result, places in zip(results, told, strict=True):
        assert len(result.findings) == len(places), result.page
        for at, place, room in places:
            found, want = nearest(at, result.findings), WORDS[place.wants[YEARS.index(year)]]
            if found is None or found.verdict != want:
                said = found and (
                    found.verdict,
                    found.reasons[:3],
                    [label.text for label in found.outlet.symbol.labels],
                )
                wrong.append(f"page {result.page} {room} {place.label}: expected {want}, found {said}")
    assert not wrong, "\n".join(wrong)


def test_the_hall_is_read_as_drawn(hall: Hall) -> None:
    readings, _ = hall
    for k, (_, parts, _) in enumerate(SHEETS, 1):
        (plan,) = readings[k].plans
        assert {part.name for part in parts} <= {room.name for room in plan.rooms}
        assert [scale.status for scale in readings[k].scales] == ["proved"]
        assert len(readings[k].fixtures) == sum(len(part.fixtures) for part in parts)
