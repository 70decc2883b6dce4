"""Where things lie on a sheet: title block, legends, schedules, notes and drawings, in several arrangements."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path

import pytest
from reportlab.pdfgen import canvas

from cordpath.model import Box, Sheet, Word
from cordpath.sheet import read_sheet
from cordpath.sheet.layout.regions import written
from cordpath.sheet.layout.titleblock import _one_scale
from cordpath.sheet.text.textlines import Run
from read_once import real_plan

NOTE = '1/4" = 1\'-0"'


class Page:
    """A sheet drawn in page coordinates: y down, points."""

    def __init__(self, path: Path, width: float = 1728, height: float = 1296) -> None:
        self.path, self.width, self.height = path, width, height
        self.canvas = canvas.Canvas(str(path), pagesize=(width, height), invariant=1)

    def box(self, x0: float, y0: float, x1: float, y1: float) -> None:
        self.canvas.rect(x0, self.height - y1, x1 - x0, y1 - y0)

    def line(self, x0: float, y0: float, x1: float, y1: float) -> None:
        self.canvas.line(x0, self.height - y0, x1, self.height - y1)

    def text(self, text: str, x: float, y: float, size: float = 8, centred: bool = False) -> None:
        self.canvas.setFont("Helvetica", size)
        draw = self.canvas.drawCentredString if centred else self.canvas.drawString
        draw(x, self.height - y, text)

    def house(self, x: float, y: float, wide: float = 500, high: float = 360) -> Box:
        """Walls, rooms, room names and a chain of dimensions above; returns the box of its ink."""
        for inset in (0, 8):
            self.box(x + inset, y + inset, x + wide - inset, y + high - inset)
        for part in (0.3, 0.6):
            self.line(x + part * wide, y + 8, x + part * wide, y + high - 8)
        for part, name in ((0.15, "KITCHEN"), (0.45, "BATH"), (0.8, "BEDROOM 2")):
            self.text(name, x + part * wide, y + high / 2, 9, centred=True)
        self.line(x, y - 30, x + wide, y - 30)
        for part in (0, 0.3, 0.6, 1):
            self.line(x + part * wide, y - 40, x + part * wide, y - 10)
        self.text(f"{wide / 18:.0f}'-0\"", x + wide / 2, y - 33, 7, centred=True)
        return (x, y - 40, x + wide, y + high)

    def strip(
        self, number: str = "E-101", title: tuple[str, ...] = ("POWER PLAN",), scale: str = "AS NOTED"
    ) -> None:
        """A frame with a title block along the right edge."""
        self.box(20, 20, self.width - 20, self.height - 20)
        left = self.width - 170
        self.line(left, 20, left, self.height - 20)
        rows = [("DRAWN BY", ("XY",), 8), ("DATE", ("2024-01-02",), 8), ("SCALE", (scale,), 9),
                ("SHEET TITLE", title, 11), ("SHEET NO.", (number,), 24)]  # fmt: skip
        top = self.height - 420
        for label, values, size in rows:
            self.line(left, top, self.width - 20, top)
            self.text(label, left + 5, top + 9, 5)
            for k, value in enumerate(values):
                self.text(value, left + 75, top + 34 + 1.25 * size * k, size, centred=True)
            top += 80

    def rows(self, x: float, y: float, heading: str, texts: list[str], signs: bool = False) -> Box:
        self.text(heading, x, y, 11)
        for k, text in enumerate(texts):
            self.text(text, x + (45 if signs else 0), y + 22 + 18 * k, 7)
            if signs:
                self.canvas.circle(x + 12, self.height - (y + 19 + 18 * k), 5)
                self.line(x + 12, y + 12 + 18 * k, x + 12, y + 26 + 18 * k)
        return (x, y - 9, x + 250, y + 22 + 18 * len(texts))

    def read(self) -> Sheet:
        self.canvas.save()
        return read_sheet(self.path, 1)


@pytest.fixture
def page(tmp_path: Path) -> Page:
    return Page(tmp_path / "sheet.pdf")


def holds(outer: Box, inner: Box, slack: float = 7.0) -> bool:
    return all(outer[k] - slack <= inner[k] for k in (0, 1)) and all(outer[k] + slack >= inner[k] for k in (2, 3))


def apart(a: Box, b: Box) -> bool:
    return a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def check_separate(sheet: Sheet) -> None:
    boxes = [view.box for view in sheet.views]
    assert all(apart(a, b) for k, a in enumerate(boxes) for b in boxes[k + 1 :])


SYMBOLS = ["DUPLEX RECEPTACLE", "GFCI RECEPTACLE", "SWITCH", "CEILING LIGHT", "SMOKE DETECTOR"]


@pytest.mark.parametrize("number", ["E-101", "E1.1", "A5", "A-1.0", "E-1", "A101"])
def test_the_title_block_tells_number_and_title(page: Page, number: str) -> None:
    page.strip(number, ("SECOND FLOOR", "POWER PLAN"))
    page.house(200, 200)
    sheet = page.read()
    assert sheet.number == number
    assert sheet.title == "SECOND FLOOR POWER PLAN"
    block = next(region for region in sheet.regions if region.kind == "title block")
    assert block.box[0] == pytest.approx(page.width - 170, abs=2)


def test_the_scale_note_of_a_low_drawing_belongs_to_no_title_block(page: Page) -> None:
    """A strip along the bottom with SCALE and DATE, and a plan above it whose own note begins with SCALE."""
    page.box(20, 20, page.width - 20, page.height - 20)
    page.line(20, 1190, page.width - 20, 1190)
    for x in (420, 800, 1180, 1500):
        page.line(x, 1190, x, page.height - 20)
    for x, value, size in ((220, "INVENTED HOUSE", 12), (610, "POWER PLAN", 12), (990, "SCALE: AS NOTED", 12),
                           (1340, "DATE: 03/14", 12), (1600, "E-101", 24)):  # fmt: skip
        page.text(value, x, 1235, size, centred=True)
    house = page.house(700, 560, high=480)
    page.text("MAIN FLOOR POWER PLAN", 720, 1085, 14)
    page.text('SCALE: 1/4" = 1\'-0"', 720, 1100, 8)
    sheet = page.read()
    block = next(region for region in sheet.regions if region.kind == "title block")
    assert block.box[1] == pytest.approx(1190, abs=4) and apart(block.box, house)
    (view,) = sheet.views
    assert holds(view.box, house)


def test_a_title_block_in_the_corner_or_along_the_bottom(page: Page) -> None:
    page.box(20, 20, page.width - 20, page.height - 20)
    page.line(20, 1180, page.width - 20, 1180)
    cells = [
        (60, "PROJECT", "INVENTED HOUSE", 9),
        (700, "DATE", "2024-01-02", 9),
        (1000, "SHEET TITLE", "LIGHTING PLAN", 12),
        (1500, "SHEET", "E2.0", 26),
    ]
    for x, label, value, size in cells:
        page.text(label, x, 1195, 6)
        page.text(value, x, 1230, size)
    house = page.house(200, 200)
    sheet = page.read()
    assert (sheet.number, sheet.title) == ("E2.0", "LIGHTING PLAN")
    block = next(region for region in sheet.regions if region.kind == "title block")
    assert block.box[1] == pytest.approx(1180, abs=4)
    assert apart(block.box, house)


def test_a_low_title_block_whose_only_labels_ask_for_the_sheets_title_and_number(page: Page) -> None:
    """Both begin with SHEET and counted as one: there was no title block, and its title was a second drawing."""
    page.box(20, 20, page.width - 20, page.height - 20)
    page.line(20, 1180, page.width - 20, 1180)
    page.text("FLOOR PLAN - ELECTRICAL", 350, 600, 13)
    page.text(f"SCALE: {NOTE}", 350, 615, 8)
    cells = [(100, "", "OFFICE", 12), (500, "", "INVENTED HOUSE", 10), (1200, "SHEET TITLE", "ELECTRICAL PLAN", 12)]
    for x, label, value, size in [*cells, (1500, "SHEET NO.", "E1", 26)]:
        page.text(label, x, 1195, 6)
        page.text(value, x, 1230, size)
    page.rows(200, 800, "GENERAL NOTES", ["1. VERIFY ALL DIMENSIONS", "2. COORDINATE ALL HEIGHTS"])
    page.house(200, 200)
    sheet = page.read()
    assert (sheet.number, sheet.title) == ("E1", "ELECTRICAL PLAN")
    assert [view.title for view in sheet.views] == ["FLOOR PLAN - ELECTRICAL"]
    assert any(region.kind == "title block" and region.box[1] > 1170 for region in sheet.regions)


@pytest.mark.parametrize("scale", [False, True])
def test_a_title_block_along_the_left_edge(page: Page, scale: bool) -> None:
    """The sheet had no number, and the words of its title block were the plan's.  A scale note is a drawing's."""
    page.box(20, 20, page.width - 20, page.height - 20)
    page.line(170, 20, 170, page.height - 20)
    cells = [("PROJECT", "INVENTED HOUSE", 9), ("DATE", "2024-01-02", 8), ("SHEET TITLE", "LIGHTING PLAN", 11)]
    cells += [("SHEET", "E2.0", 26)] + ([("SCALE", NOTE, 8)] if scale else [])
    for k, (label, value, size) in enumerate(cells):
        page.text(label, 26, 700 + 90 * k, 6)
        page.text(value, 40, 730 + 90 * k, size)
    house = page.house(300, 200)
    sheet = page.read()
    blocks = [region.box for region in sheet.regions if region.kind == "title block"]
    if scale:
        assert not any(box[0] == 0 for box in blocks)
    else:
        assert (sheet.number, sheet.title) == ("E2.0", "LIGHTING PLAN")
        assert blocks[0][2] == pytest.approx(170, abs=4) and apart(blocks[0], house)


@pytest.mark.parametrize("where", ["strip", "low strip", "corner", "framed corner"])
@pytest.mark.parametrize("title", ["BASEMENT POWER PLAN", "LOWER LEVEL ELECTRICAL"])
def test_a_title_block_without_labels_tells_the_title(page: Page, where: str, title: str) -> None:
    """Number, title and scale alone: unread, a basement's bedrooms passed for those of another floor."""
    right, low = page.width - 20, page.height - 20
    page.box(20, 20, right, low)
    if where == "strip":
        page.line(right - 150, 20, right - 150, low)
        page.text("GENERAL NOTES", right - 140, 60, 12)
    elif where == "low strip":
        page.line(20, low - 60, right, low - 60)
    elif where == "framed corner":
        page.box(right - 200, low - 90, right, low)
    page.text(title, right - 145, low - 42, 8.5)
    page.text('SCALE: 1/4" = 1\'-0"', right - 145, low - 32, 6)
    page.text("E2.1", right - 100, low - 5, 24)
    page.text("SEE FOUNDATION PLAN FOR ALL ANCHOR BOLTS OF THE HOUSE", 400, 1150, 8)
    page.house(200, 200)
    sheet = page.read()
    assert (sheet.number, sheet.title) == ("E2.1", title)
    assert [view.title for view in sheet.views] == [title]


@pytest.mark.parametrize("low", [True, False])
def test_the_name_in_a_title_block_without_labels_is_no_drawing(page: Page, low: bool) -> None:
    """It was a second plan, without a scale, or took the plan's scale note and a part of its rooms."""
    page.box(20, 20, page.width - 20, page.height - 20)
    if low:
        page.line(20, page.height - 90, page.width - 20, page.height - 90)
        for x in (300, 1150):
            page.line(x, page.height - 90, x, page.height - 20)
        page.text("A STUDIO", 100, page.height - 50, 10)
        page.text("POWER PLAN", 1200, page.height - 50, 12)
    else:
        page.line(page.width - 180, 20, page.width - 180, page.height - 20)
        for y in (150, page.height - 150):
            page.line(page.width - 180, y, page.width - 20, y)
        page.text("A STUDIO", page.width - 160, 60, 10)
        page.text("POWER PLAN", page.width - 160, page.height - 120, 12)
    page.text("E1.1", page.width - 120, page.height - 40, 24)
    page.house(400, 300)
    page.text("SECOND FLOOR PLAN", 400, 720, 12)
    page.text(f"SCALE: {NOTE}", 400, 735)
    sheet = page.read()
    assert [view.title for view in sheet.views] == ["SECOND FLOOR PLAN"]
    assert (sheet.number, sheet.title) == ("E1.1", "POWER PLAN")


@pytest.mark.parametrize("labels", [False, True])
def test_an_office_named_after_plans_is_no_title(page: Page, labels: bool) -> None:
    """In larger letters, far from the sheet's number: a basement's plan was titled OFFICE OF PLANS."""
    left, low = page.width - 170, page.height - 20
    page.line(left, 20, left, low)
    page.text("OFFICE OF PLANS", left + 20, 60, 9)
    page.text("BASEMENT POWER PLAN", left + 20, low - 60, 8)
    page.text("E2.1", left + 30, low - 15, 24)
    if labels:
        page.text("SHEET", left + 20, low - 42, 6)
        page.text("DATE 3-2-2026", left + 20, low - 110, 6)
    page.house(200, 200)
    sheet = page.read()
    assert (sheet.number, sheet.title) == ("E2.1", "BASEMENT POWER PLAN")


@pytest.mark.parametrize("below", [False, True])
def test_a_plan_that_only_the_title_block_names_is_no_part_of_the_elevation_beside_it(
    page: Page, below: bool
) -> None:
    page.box(20, 20, page.width - 20, page.height - 20)
    page.line(page.width - 170, 20, page.width - 170, page.height - 20)
    page.text("POWER PLAN", page.width - 160, page.height - 60, 9)
    page.text("E2.1", page.width - 140, page.height - 25, 24)
    house = page.house(200, 160)
    x, y = (220, 700) if below else (860, 240)
    page.box(x, y, x + 300, y + 110)
    for k in range(4):
        page.box(x + 20 + 70 * k, y + 30, x + 55 + 70 * k, y + 75)
    page.text("REAR ELEVATION", x + 100, y + 135, 10)
    page.text('SCALE: 1/8" = 1\'-0"', x + 100, y + 147, 7)
    sheet = page.read()
    plan = next(view for view in sheet.views if holds(view.box, house))
    detail = next(region for region in sheet.regions if region.title == "REAR ELEVATION")
    assert plan.title == "POWER PLAN" and plan.note is None
    assert apart(detail.box, house) and holds(detail.box, (x, y, x + 300, y + 110))


@pytest.mark.parametrize(
    ("title", "told"),
    [("BASEMENT PLAN", "BASEMENT PLAN"), ("BSM'T. PLAN", "BSM'T. PLAN"), ("BASMT POWER", "BASMT POWER"),
     ("LWR. LVL. POWER", "LWR. LVL. POWER"), ("MAIN FLOOR PLAN", None)],
)  # fmt: skip
def test_without_a_number_the_corner_tells_a_basement_and_no_other_floor(
    page: Page, title: str, told: str | None
) -> None:
    page.box(20, 20, page.width - 20, page.height - 20)
    page.text(title, page.width - 180, page.height - 40, 9)
    page.house(200, 200)
    assert page.read().title == told


def test_one_plan_with_its_note(page: Page) -> None:
    page.strip()
    house = page.house(300, 300)
    page.text("MAIN FLOOR POWER PLAN", 330, 720, 12)
    page.text(f"SCALE: {NOTE}", 330, 735, 7)
    (view,) = page.read().views
    assert view.title == "MAIN FLOOR POWER PLAN"
    assert view.note is not None
    assert NOTE in view.note
    assert holds(view.box, house)


def test_a_plan_whose_walls_are_fills_without_a_pen_is_one_drawing(page: Page) -> None:
    """Walls are often filled, not stroked: nothing else joins the dimensions over a bare room to what is below."""
    for x, y, wide, high in ((300, 300, 500, 8), (300, 700, 500, 8), (300, 300, 8, 400), (792, 300, 8, 408)):
        page.canvas.rect(x, page.height - y - high, wide, high, stroke=0, fill=1)
    page.line(300, 270, 800, 270)
    page.text("27'-9 1/3\"", 550, 267, 7, centred=True)
    page.text("POWER PLAN", 300, 980, 12)
    page.text(f"SCALE: {NOTE}", 300, 994, 8)
    (view,) = page.read().views
    assert view.box[1] == pytest.approx(262, abs=12) and view.box[3] == pytest.approx(708, abs=12)
    assert view.box[0] == pytest.approx(300, abs=12) and view.box[2] == pytest.approx(800, abs=12)


@pytest.mark.parametrize("below", [True, False])
def test_a_title_and_its_note_at_the_two_ends_of_one_line(page: Page, below: bool) -> None:
    """The plan had the sheet's title: a basement was no basement."""
    page.house(400, 300)
    page.text("BASEMENT ELECTRICAL", 400, 720, 12)
    page.line(400, 724, 900, 724)
    page.text(NOTE, 852, 736 if below else 720)
    page.strip(title=("ELECTRICAL PLANS",))
    (view,) = page.read().views
    assert (view.title, view.note) == ("BASEMENT ELECTRICAL", NOTE)


def test_a_scale_only_in_the_title_block_serves_the_plan(page: Page) -> None:
    page.strip(scale=NOTE)
    house = page.house(300, 300)
    (view,) = page.read().views
    assert view.note == NOTE
    assert holds(view.box, house)


def test_a_plan_without_any_note(page: Page) -> None:
    house = page.house(300, 300)
    (view,) = page.read().views
    assert view.note is None
    assert holds(view.box, house)


@pytest.mark.parametrize("beside", [True, False])
@pytest.mark.parametrize("gap", [60, 150])
def test_two_plans_beside_or_above_each_other(page: Page, beside: bool, gap: float) -> None:
    page.strip()
    high = 360
    places = [(80, 120), (580 + gap, 120)] if beside else [(300, 100), (300, 100 + high + 90 + gap)]
    houses = [page.house(x, y, 500, high) for x, y in places]
    for (x, y), name, note in zip(
        places, ("FIRST FLOOR PLAN", "SECOND FLOOR PLAN"), (NOTE, '1/8" = 1\'-0"'), strict=True
    ):
        page.text(name, x + 20, y + high + 35, 11)
        page.text(note, x + 20, y + high + 48, 8)
    sheet = page.read()
    assert [view.title for view in sheet.views] == ["FIRST FLOOR PLAN", "SECOND FLOOR PLAN"]
    assert [view.note for view in sheet.views] == [NOTE, '1/8" = 1\'-0"']
    for view, house in zip(sheet.views, houses, strict=True):
        assert holds(view.box, house)
    check_separate(sheet)


def test_a_low_plan_beside_a_high_one_takes_neither_it_nor_its_title(page: Page) -> None:
    """The white paper under both was wider than that between them: the house bore the title of its shed."""
    page.strip()
    house, shed = page.house(100, 200, 600, 600), page.house(745, 300, 260, 200)
    for title, box in (("DWELLING UNIT - POWER", house), ("SHOP PLAN", shed)):
        page.text(title, box[0], box[3] + 90, 12)
        page.text(NOTE, box[0], box[3] + 104, 8)
    sheet = page.read()
    views = {view.title: view.box for view in sheet.views}
    assert holds(views["DWELLING UNIT - POWER"], house) and holds(views["SHOP PLAN"], shed)
    check_separate(sheet)


def test_titles_above_their_plans(page: Page) -> None:
    houses = [page.house(300, 160, 500, 360), page.house(300, 760, 500, 360)]
    for y, name in ((90, "FIRST FLOOR PLAN"), (690, "SECOND FLOOR PLAN")):
        page.text(name, 320, y, 11)
        page.text("SCALE 1:50", 320, y + 13, 8)
    sheet = page.read()
    assert [view.title for view in sheet.views] == ["FIRST FLOOR PLAN", "SECOND FLOOR PLAN"]
    for view, house in zip(sheet.views, houses, strict=True):
        assert holds(view.box, house)
    check_separate(sheet)


def test_circuit_tags_that_read_as_scales_are_no_notes_of_drawings(page: Page) -> None:
    """1:13 beside an outlet is circuit 13 of panel 1: each was a drawing's scale, the plan cut into as many views,
    and its outlets stood in none.  A bare ratio that drawings have stays one under the title of a drawing."""
    page.strip()
    house = page.house(100, 200, 900, 600)
    for k, tag in enumerate(("1:4", "1:13", "1:9", "1:7", "1:20", "1:24")):
        page.text(tag, 140 + 140 * k, 230, 7)
    page.text("FIRST FLOOR", house[0], house[3] + 60, 12)
    page.text("1:50", house[0], house[3] + 74, 8)
    (view,) = page.read().views
    assert (view.title, view.note) == ("FIRST FLOOR", "1:50") and holds(view.box, house)


@pytest.mark.parametrize("beside", [True, False])
@pytest.mark.parametrize("downwards", [False, True])
def test_titles_that_lie_sideways_part_their_plans(page: Page, beside: bool, downwards: bool) -> None:
    """Taken for one drawing, rooms of a basement passed for rooms of the first floor."""
    places = [(200, 120), (980, 120)] if beside else [(300, 100), (300, 620)]
    houses = [page.house(x, y, 500, 360) for x, y in places]
    for (x, y), name, note in zip(
        places, ("FIRST FLOOR PLAN", "BASEMENT PLAN"), (NOTE, '1/8" = 1\'-0"'), strict=True
    ):
        out, turn = (-30, -90) if downwards else (530, 90)
        for k, (text, size) in enumerate(((name, 12), (note, 8))):
            page.canvas.saveState()
            page.canvas.translate(x + out + (-14 if downwards else 14) * k, page.height - y - 180)
            page.canvas.rotate(turn)
            page.canvas.setFont("Helvetica", size)
            page.canvas.drawCentredString(0, 0, text)
            page.canvas.restoreState()
    sheet = page.read()
    assert [view.title for view in sheet.views] == ["FIRST FLOOR PLAN", "BASEMENT PLAN"]
    assert [view.note for view in sheet.views] == [NOTE, '1/8" = 1\'-0"']
    for view, house in zip(sheet.views, houses, strict=True):
        assert holds(view.box, house)
    check_separate(sheet)


@pytest.mark.parametrize("names", [("FIRST FLOOR", "BASEMENT"), ("MAIN LEVEL", "LOWER LEVEL")])
def test_titles_that_only_name_the_floor_part_their_plans(page: Page, names: tuple[str, str]) -> None:
    houses = [page.house(80, 200, 500, 360), page.house(760, 200, 500, 360)]
    page.text(names[0], 200, 600, 12)
    page.text(names[1], 900, 600, 12)
    sheet = page.read()
    assert [view.title for view in sheet.views] == list(names)
    for view, house in zip(sheet.views, houses, strict=True):
        assert holds(view.box, house)


def test_a_title_and_a_note_that_lost_their_dash_and_equals_sign_are_those_of_the_plan(page: Page) -> None:
    """Drawn lettering loses them: the sheet's plan had no scale, and ELECTRICAL was a room in its yard."""
    house = page.house(200, 200)
    page.text("FLOOR PLAN ELECTRICAL", 350, 620, 13)
    page.text(NOTE.replace(" =", "").replace("1/4", "SCALE: 1/4"), 380, 636, 8)
    (view,) = page.read().views
    assert (view.title, view.note) == ("FLOOR PLAN ELECTRICAL", 'SCALE: 1/4" 1\'-0"') and holds(view.box, house)


def test_a_room_named_basement_is_no_title(page: Page) -> None:
    house = page.house(300, 300)
    page.text("FIRST FLOOR PLAN", 420, 720, 14)
    page.text("BASEMENT", 420, 440, 10)
    (view,) = page.read().views
    assert holds(view.box, house)


def test_two_titled_plans_share_the_note_of_the_title_block(page: Page) -> None:
    page.strip(scale=NOTE)
    houses = [page.house(80, 200, 500, 360), page.house(760, 200, 500, 360)]
    page.text("FIRST FLOOR PLAN", 200, 600, 12)
    page.text("SECOND FLOOR PLAN", 900, 600, 12)
    sheet = page.read()
    assert [(view.title, view.note) for view in sheet.views] == [
        ("FIRST FLOOR PLAN", NOTE),
        ("SECOND FLOOR PLAN", NOTE),
    ]
    for view, house in zip(sheet.views, houses, strict=True):
        assert holds(view.box, house)


def test_an_enlarged_plan_without_a_note_has_not_that_of_the_title_block(page: Page) -> None:
    """Of 1/4" in the title block its ways were measured twice as long as they are: long enough to clear."""
    page.strip(scale=NOTE)
    for x, title in ((100, "POWER PLAN"), (850, "ENLARGED BATH PLAN")):
        page.house(x, 200)
        page.text(title, x + 20, 610, 14)
    assert [(view.title, view.note) for view in page.read().views] == [
        ("POWER PLAN", NOTE),
        ("ENLARGED BATH PLAN", None),
    ]


def test_a_plan_larger_than_its_title_is_not_cut(page: Page) -> None:
    """Room names that sound like titles, and a title far to the left, part nothing."""
    page.strip()
    house = page.house(150, 150, 1200, 800)
    page.text("OPEN PLAN LIVING", 700, 500, 9)
    page.text("GROUND FLOOR PLAN", 150, 1010, 12)
    page.text(NOTE, 150, 1024, 8)
    (view,) = page.read().views
    assert view.title == "GROUND FLOOR PLAN"
    assert holds(view.box, house)


def test_four_plans_in_a_square_with_centred_titles(page: Page) -> None:
    page.strip()
    places = [(80, 100), (820, 100), (80, 680), (820, 680)]
    houses = [page.house(x, y, 480, 380) for x, y in places]
    for k, (x, y) in enumerate(places):
        page.text(f"UNIT {'ABCD'[k]} PLAN", x + 240, y + 415, 11, centred=True)
        page.text(NOTE, x + 240, y + 428, 8, centred=True)
    sheet = page.read()
    assert {view.title for view in sheet.views} == {f"UNIT {c} PLAN" for c in "ABCD"}
    for k, house in enumerate(houses):
        view = next(v for v in sheet.views if v.title == f"UNIT {'ABCD'[k]} PLAN")
        assert holds(view.box, house)
    check_separate(sheet)


def test_a_detail_beside_the_plan_is_no_view(page: Page) -> None:
    page.strip()
    page.house(100, 200)
    page.text("FLOOR PLAN", 120, 600, 11)
    page.text(NOTE, 120, 613, 8)
    page.box(1000, 300, 1200, 500)
    page.line(1000, 300, 1200, 500)
    page.text("PANEL MOUNTING DETAIL", 1010, 600, 11)
    page.text("N.T.S.", 1010, 613, 8)
    sheet = page.read()
    assert [view.title for view in sheet.views] == ["FLOOR PLAN"]
    assert any(region.kind == "detail" and holds(region.box, (1000, 300, 1200, 500)) for region in sheet.regions)


@pytest.mark.parametrize("framed", [True, False])
def test_a_legend_holds_its_signs_and_no_plan(page: Page, framed: bool) -> None:
    page.strip()
    house = page.house(300, 300)
    legend = page.rows(1150, 100, "ELECTRICAL LEGEND", SYMBOLS, signs=True)
    if framed:
        page.box(1140, 80, 1440, 215)
    sheet = page.read()
    region = next(region for region in sheet.regions if region.kind == "legend")
    assert holds(region.box, (1157, 105, 1250, 195))
    assert apart(region.box, house)
    assert (region.box[2] - region.box[0]) * (region.box[3] - region.box[1]) < 2.2 * 300 * (legend[3] - legend[1])
    assert all(apart(view.box, region.box) for view in sheet.views)


def test_the_texts_of_a_legend_may_end_on_one_line_far_from_its_heading(page: Page) -> None:
    """Signs right of texts that end before them, under a short heading: the sheet had no legend, and failed."""
    page.house(100, 200)
    page.text("LEGEND", 1150, 100, 9)
    for k, text in enumerate(SYMBOLS):
        page.canvas.setFont("Helvetica", 6)
        page.canvas.drawRightString(1300, page.height - (130 + 24 * k), text)
        page.canvas.circle(1324, page.height - (128 + 24 * k), 5)
    (region,) = page.read().regions
    assert region.kind == "legend" and holds(region.box, (1245, 124, 1329, 229))


@pytest.mark.parametrize("heading", ["KEY", "ELECTRICAL KEY", "KEY TO SYMBOLS", "SYMBOLS KEY"])
def test_a_key_is_a_legend(page: Page, heading: str) -> None:
    """Sheets with nothing but a KEY failed: no legend showed how their outlets are drawn."""
    page.house(100, 200)
    page.rows(1150, 100, heading, SYMBOLS, signs=True)
    (region,) = page.read().regions
    assert region.kind == "legend" and holds(region.box, (1157, 105, 1250, 195))


def test_a_sign_that_reads_like_a_tall_letter_does_not_end_its_legend(page: Page) -> None:
    page.rows(200, 100, "ELECTRICAL LEGEND", SYMBOLS)
    page.canvas.setLineWidth(0.5)
    page.canvas.circle(178, page.height - 119, 5)  # the circle with a bar is read as an E, with doubt
    page.line(172, 119, 184, 119)
    sheet = page.read()
    drawn = [word for word in sheet.words if word.origin == "stroke"]
    region = next(region for region in sheet.regions if region.kind == "legend")
    assert holds(region.box, (172, 100, 270, 190), 2.0)
    assert [word.text for word in written(sheet.words)] == [w.text for w in sheet.words if w not in drawn]


def test_only_short_drawn_words_in_doubt_tell_nothing_of_parts() -> None:
    sign = Word("E", (0.0, 0.0, 8.0, 10.0), 0.0, 14.0, 1, "", (0.0, 0.0, 0.0), "stroke", 0.5)
    kept = (replace(sign, text="LEGEND"), replace(sign, confidence=0.75), replace(sign, origin="font"))
    assert written((sign, replace(sign, text="WP", origin="outline"), *kept)) == kept


@pytest.mark.parametrize("beyond", ["", "SD"])
def test_the_label_of_an_outlet_left_of_a_legend_is_no_row_of_it(page: Page, beyond: str) -> None:
    """Between two rows and 85 pt left of them: with it the legend's box covered the outlet outside the house; and
    with what stands left of the label, level with a row and far from it, it covered rooms of a plan."""
    page.house(100, 200)
    page.strip()
    page.rows(1150, 100, "ELECTRICAL LEGEND", SYMBOLS, signs=True)
    page.text("A-26", 1090, 131, 7)
    page.text(beyond, 1015, 140, 7)
    (region,) = (region for region in page.read().regions if region.kind == "legend")
    assert region.box[0] > 1130


def test_a_legend_right_beside_the_plan_swallows_none_of_it(page: Page) -> None:
    house = page.house(300, 300)
    page.rows(house[2] + 30, 320, "LEGEND", SYMBOLS, signs=True)
    sheet = page.read()
    region = next(region for region in sheet.regions if region.kind == "legend")
    assert apart(region.box, house)


@pytest.mark.parametrize("gap", [90])
def test_the_second_column_of_a_legend_without_a_frame_is_legend(page: Page, gap: int) -> None:
    """Its rows could not be named, and its signs were devices of a plan."""
    page.house(100, 400)
    first = page.rows(1000, 100, "ELECTRICAL LEGEND", SYMBOLS, signs=True)
    second = page.rows(1140 + gap, 100, "", SYMBOLS, signs=True)
    (region,) = (region for region in page.read().regions if region.kind == "legend")
    assert holds(region.box, (1007, 105, 1100, 195)) and holds(region.box, (1147 + gap, 105, 1240 + gap, 195))
    assert region.box[2] < second[2] and region.box[3] < first[3] + 20


def test_letters_as_signs_part_no_second_column_from_its_legend(page: Page) -> None:
    """S  SWITCH and SD in a circle are read as one text with what they stand for, which begins elsewhere."""
    page.text("ELECTRICAL LEGEND", 1000, 100, 11)
    texts = ("CEILING FAN", "SMOKE DETECTOR", "TELEPHONE JACK", "SWITCH")
    for k, (one, two) in enumerate(zip(SYMBOLS, texts, strict=False)):
        for x, text, sign in ((1000, one, True), (1200, two, two != "SWITCH")):
            page.text(text, x + 34, 122 + 18 * k, 7)
            if sign:
                page.canvas.circle(x + 12, page.height - (119 + 18 * k), 6)
    page.text("SD", 1207, 142, 7)
    page.text("S", 1209, 178, 10)
    (region,) = (region for region in page.read().regions if region.kind == "legend")
    assert holds(region.box, (1206, 105, 1300, 178))


@pytest.mark.parametrize("what", ["labels", "wall", "no signs", "other heights"])
def test_a_plan_right_of_a_legend_is_no_column_of_it(page: Page, what: str) -> None:
    texts = ["GFI", "WP", "A-12", "A-14"] if what == "labels" else list(SYMBOLS)
    page.rows(1000, 100, "ELECTRICAL LEGEND", SYMBOLS, signs=True)
    if what == "wall":
        page.line(1200, 60, 1200, 600)
    page.rows(1230, 109 if what == "other heights" else 100, "", texts, signs=what != "no signs")
    (region,) = (region for region in page.read().regions if region.kind == "legend")
    assert region.box[2] < 1230


def test_a_heading_in_a_room_takes_no_room(page: Page) -> None:
    house = page.house(300, 300, 700, 500)
    page.text("NOTES", 800, 400, 9)
    sheet = page.read()
    assert not sheet.regions
    assert holds(sheet.views[0].box, house)


def test_labels_of_the_plan_level_with_notes_beside_it_are_no_rows_of_them(page: Page) -> None:
    """A corner of the plan became a part of the notes: two outlets there were lost."""
    house = page.house(300, 300)
    for name, x, y in (("OWNER'S SUITE", 725, 341), ("101", 765, 359), ("A-16", 770, 377)):
        page.text(name, x, y, 9)
    page.rows(835, 320, "GENERAL NOTES", ["1. VERIFY IN FIELD", "2. SEE PLAN", "3. BY OTHERS"])
    sheet = page.read()
    (region,) = sheet.regions
    assert region.kind == "notes" and apart(region.box, house)
    assert holds(sheet.views[0].box, house)


def test_labels_level_with_a_legend_lie_behind_the_wall_beside_it(page: Page) -> None:
    house = page.house(300, 300)
    page.rows(825, 320, "LEGEND", SYMBOLS, signs=True)
    for k in range(len(SYMBOLS)):
        page.text("GFI", 775, 342 + 18 * k, 7)
    sheet = page.read()
    (region,) = sheet.regions
    assert region.kind == "legend" and apart(region.box, house) and region.box[0] < 830


@pytest.mark.parametrize("x", [1105, 1288])
def test_a_heading_on_a_dimension_line_heads_its_legend(page: Page, x: float) -> None:
    """The heading and the length beside it were one text, no heading: the legend's samples became outlets."""
    page.house(300, 300)
    page.rows(1150, 100, "ELECTRICAL LEGEND", SYMBOLS, signs=True)
    page.line(900, 102, 1540, 102)
    page.text("12'-0\"", x, 100, 11)
    (region,) = page.read().regions
    assert region.kind == "legend" and region.title == "ELECTRICAL LEGEND"
    assert holds(region.box, (1150, 92, 1270, 195))


def test_notes_over_a_plan_end_above_its_dimensions(page: Page) -> None:
    house = page.house(300, 300)
    page.rows(500, 180, "GENERAL NOTES", ["1. VERIFY IN FIELD", "2. SEE PLAN", "3. BY OTHERS"])
    for text, y in (("4'-0\"", 288), ("A-16", 312), ("A-18", 333)):
        page.text(text, 530, y, 7)
    (region,) = page.read().regions
    assert region.kind == "notes" and region.box[3] < house[1] + 12  # its line of dimensions is 10 pt lower


def test_notes_and_a_ruled_schedule(page: Page) -> None:
    page.strip()
    house = page.house(200, 300)
    page.rows(1150, 100, "GENERAL NOTES:", [f"{k}. VERIFY ALL OF THE WORK IN FIELD" for k in range(1, 7)])
    page.text("PANEL SCHEDULE - A", 1160, 390, 10)
    for k in range(13):
        page.line(1150, 400 + 15 * k, 1450, 400 + 15 * k)
    for x in (1150, 1190, 1380, 1450):
        page.line(x, 400, x, 580)
    for k in range(12):
        page.text(f"{2 * k + 1}", 1160, 411 + 15 * k, 7)
        page.text("KITCHEN", 1200, 411 + 15 * k, 7)
    sheet = page.read()
    kinds = {region.kind: region.box for region in sheet.regions}
    assert set(kinds) == {"title block", "notes", "schedule"}
    assert holds(kinds["schedule"], (1150, 400, 1450, 580))
    assert all(apart(box, house) for box in kinds.values())
    assert all(apart(kinds["schedule"], view.box) for view in sheet.views)


def test_the_tag_of_a_panel_on_the_plan_is_no_schedule(page: Page) -> None:
    house = page.house(300, 300)
    page.box(330, 330, 440, 460)  # the closet in which it stands: a ruled box with text in it
    for k, text in enumerate(("PANEL L1", "L1-27", "STORAGE", "UP")):
        page.text(text, 340, 345 + 14 * k, 7)
    sheet = page.read()
    assert not sheet.regions
    assert holds(sheet.views[0].box, house)


@pytest.mark.parametrize("heading", ["PANEL A", "PANEL A  120/240V 1PH 200A MCB", "PANEL 'LP1' - 225 AMP, 3W"])
def test_a_table_headed_by_a_panel_name_is_a_schedule(page: Page, heading: str) -> None:
    page.house(200, 300)
    page.text(heading, 1160, 390, 8)
    for k in range(8):
        page.line(1150, 400 + 15 * k, 1450, 400 + 15 * k)
        if k < 7:
            page.text(f"{2 * k + 1}", 1160, 411 + 15 * k, 7)
            page.text("LIGHTING", 1250, 411 + 15 * k, 7)
    for x in (1150, 1190, 1450):
        page.line(x, 400, x, 505)
    (region,) = page.read().regions
    assert region.kind == "schedule"
    assert holds(region.box, (1150, 400, 1450, 505))


def test_the_underline_of_a_heading_is_no_drawing(page: Page) -> None:
    house = page.house(200, 300)
    page.rows(1150, 100, "GENERAL NOTES:", ["1. VERIFY IN FIELD", "2. SEE PLAN", "3. BY OTHERS"])
    page.line(1150, 106, 1600, 106)
    sheet = page.read()
    assert holds((house[0] - 80, house[1] - 80, house[2] + 80, house[3] + 80), sheet.views[0].box)


def test_the_real_sheet_has_its_two_floors() -> None:
    sheet = real_plan()
    assert [view.title for view in sheet.views] == ["2nd Floor", "3rd Floor"]
    assert [view.note for view in sheet.views] == [NOTE, NOTE]
    check_separate(sheet)
    upper, lower = sheet.views
    names = {word.text: word.at for word in sheet.words}
    for name, view in (
        ("KITCHEN", upper),
        ("LAUNDRY", upper),
        ("GARAGE", upper),
        ("DEN", lower),
        ("STORAGE", lower),
    ):
        x, y = names[name]
        assert view.box[0] < x < view.box[2]
        assert view.box[1] < y < view.box[3]
    assert len(sheet.strokes) > 30_000
    (said,) = sheet.assumptions  # the paper behind other figures lies over the ends of two dimensions
    assert said.startswith('2 words of text (such as 1/2", 3/8")') and "painted out" in said
    assert not any(region.kind != "title block" for region in sheet.regions)


def test_a_legend_under_its_heading_holds_the_rows_whose_text_was_not_read(page: Page) -> None:
    page.house(100, 200)
    page.strip()
    page.text("ELECTRICAL LEGEND", 900, 195, 9)
    for row in range(8):
        page.box(896, 200 + 22 * row, 1100, 222 + 22 * row)
        page.canvas.circle(920, page.height - 211 - 22 * row, 5)
        if row < 3:  # the text of the others is drawn, and could not be read
            page.text("DUPLEX RECEPTACLE", 950, 214 + 22 * row, 7)
    page.line(940, 200, 940, 200 + 22 * 8)
    region = next(region for region in page.read().regions if region.kind == "legend")
    assert region.box == pytest.approx((896, 186, 1100, 376), abs=4)


@pytest.mark.parametrize("rows", [2, 3, 5])
@pytest.mark.parametrize("high", [26, 40, 60])
def test_a_ruled_legend_is_one_however_high_its_rows(page: Page, high: int, rows: int) -> None:
    """Rows of 40 pt for large signs were further apart than lines of one text: the sheet had no legend."""
    page.text("LEGEND", 1150, 95, 9)
    for row in range(rows):
        top = 100 + high * row
        page.box(1100, top, 1340, top + high)
        page.line(1138, top, 1138, top + high)
        page.box(1112, top + high / 2 - 7, 1126, top + high / 2 + 7)
        page.text(SYMBOLS[row], 1150, top + high / 2 + 3, 7)
    page.house(200, 200)
    (region,) = (region for region in page.read().regions if region.kind == "legend")
    assert region.box[0] <= 1112 and region.box[3] >= 100 + high * (rows - 0.5) + 7
    assert region.box[3] <= 100 + high * rows + 4


def test_a_house_under_a_legend_is_no_table_of_it(page: Page) -> None:
    page.strip()
    page.text("LEGEND", 110, 170, 9)
    page.text("S SWITCH", 110, 182, 7)
    page.text("J JUNCTION BOX", 110, 191, 7)
    page.house(100, 236)
    region = next(region for region in page.read().regions if region.kind == "legend")
    assert region.box[3] < 232


@pytest.mark.parametrize(("own", "columns"), [("", 2), ("PLUMBING LEGEND", 1)])
def test_the_second_column_of_a_legend_is_legend(page: Page, own: str, columns: int) -> None:
    page.strip()
    page.house(100, 500)
    page.text("ELECTRICAL LEGEND", 404, 195, 9)
    page.text(own, 609, 195, 9)
    for left in (400, 605):
        for row in range(6):
            page.box(left, 200 + 22 * row, left + 190, 222 + 22 * row)
            page.canvas.circle(left + 24, page.height - 211 - 22 * row, 5)
            page.text("DUPLEX RECEPTACLE", left + 54, 214 + 22 * row, 7)
    legends = [region.box for region in page.read().regions if region.kind == "legend"]
    assert len(legends) == 3 - columns
    assert legends[0][2] == pytest.approx(795 if columns == 2 else 590, abs=3)


@pytest.mark.parametrize("pitch", [40, 60, 85])
def test_the_rows_of_a_legend_may_stand_far_apart(page: Page, pitch: int) -> None:
    page.house(200, 200)
    page.text("ELECTRICAL LEGEND", 1000, 200, 10)
    names = ("DUPLEX RECEPTACLE", "FLOOR BOX", "JUNCTION BOX", "CEILING LIGHT")
    for k, name in enumerate(names):
        page.text(name, 1000, 230 + pitch * k, 8)
        page.canvas.circle(970, page.height - 227 - pitch * k, 6)
    page.text("SEE ARCHITECTURAL SHEETS FOR HEIGHTS", 1000, 230 + pitch * len(names) + 150, 8)
    (region,) = page.read().regions
    assert region.kind == "legend"
    assert holds(region.box, (964, 190, 1080, 233 + pitch * (len(names) - 1)))
    assert region.box[3] < 240 + pitch * len(names)


@pytest.mark.parametrize("size", [7.2, 10.0])
def test_a_sign_of_letters_near_its_text_ends_no_legend(page: Page, size: float) -> None:
    """S3 and THREE-WAY SWITCH were one text that began left of the column: the rows below it were lost."""
    page.text("ELECTRICAL LEGEND", 1000, 200, 10)
    names = ("DUPLEX", "FLOOR BOX", "JUNCTION BOX", "THREE-WAY SWITCH", "CEILING LIGHT", "PANELBOARD")
    for k, name in enumerate(names):
        page.text(name, 1000, 230 + 32 * k, 7)
        if name.endswith("SWITCH"):
            page.text("S3", 976, 230 + 32 * k, size, centred=True)
        else:
            page.canvas.circle(970, page.height - 227 - 32 * k, 6)
    (region,) = page.read().regions
    assert region.kind == "legend" and holds(region.box, (964, 190, 1060, 230 + 32 * 5))


@pytest.mark.parametrize("wide", [8.0, 16.0])
def test_signs_at_the_end_of_the_reach_belong_whole_to_their_legend(page: Page, wide: float) -> None:
    """A circle in short strokes, through which the reach for signs ended, was taught as the arcs left of it."""
    page.house(200, 200)
    page.text("ELECTRICAL LEGEND", 1000, 200, 10)
    for k, name in enumerate(("DUPLEX RECEPTACLE", "FLOOR BOX", "JUNCTION BOX", "CEILING LIGHT")):
        page.text(name, 1000, 230 + 22 * k, 8)
        turns = [math.tau * n / 32 for n in range(33)]
        at = [(1178 + wide * math.cos(t), 227 + 22 * k + 8 * math.sin(t)) for t in turns]
        for (x0, y0), (x1, y1) in itertools.pairwise(at):
            page.line(x0, y0, x1, y1)
    (region,) = (region for region in page.read().regions if region.kind == "legend")
    assert holds(region.box, (1000, 190, 1178 + wide, 296))


def test_letters_in_a_sign_reach_for_no_signs_left_of_it(page: Page) -> None:
    """SD in a circle counted as a text of the legend, with signs left of it: the lavatory of the bathroom beside
    the legend was a sample in it, and asked about."""
    page.text("ELECTRICAL LEGEND", 1000, 200, 10)
    for k, name in enumerate(("DUPLEX RECEPTACLE", "SMOKE ALARM", "JUNCTION BOX", "CEILING LIGHT")):
        page.text(name, 1000, 230 + 22 * k, 8)
        page.canvas.circle(970, page.height - 227 - 22 * k, 7)
    page.text("SD", 970, 252, 5, centred=True)
    page.box(890, 232, 904, 252)
    (region,) = page.read().regions
    assert holds(region.box, (963, 190, 1080, 296)) and region.box[0] > 955


def test_signs_right_of_their_texts_stand_behind_the_longest(page: Page) -> None:
    """Those of short texts were too far from them, and a legend of rows that stand far apart was none."""
    page.text("ELECTRICAL LEGEND", 1000, 200, 10)
    for k, name in enumerate(("QUADRUPLEX RECEPTACLE, FLUSH", "PANEL", "FAN", "SWITCH", "DATA")):
        page.text(name, 1000, 230 + 40 * k, 8)
        page.canvas.circle(1190, page.height - 227 - 40 * k, 6)
    (region,) = page.read().regions
    assert region.kind == "legend" and holds(region.box, (1000, 190, 1196, 230 + 40 * 4))


def test_names_that_stand_far_apart_without_signs_are_no_legend(page: Page) -> None:
    page.text("ELECTRICAL LEGEND", 1000, 200, 10)
    for k, name in enumerate(("ALPHA", "BETA", "GAMMA", "DELTA")):
        page.text(name, 1000, 230 + 60 * k, 8)
    assert not page.read().regions


@pytest.mark.parametrize("texts", [
    ("DATE", "SHEET NO."),  # a title block without a scale
    ("SCALE: 1/4\" = 1'-0\"", "SCALE: 1/8\" = 1'-0\""),  # notes of drawings, and no title block
    (),
])  # fmt: skip
def test_labels_without_a_scale_and_scales_alone_stay_as_they_are(texts: tuple[str, ...]) -> None:
    group = [Run(text, (0.0, 20.0 * k, 60.0, 20.0 * k + 8), 8.0) for k, text in enumerate(texts)]
    assert _one_scale(group, 100.0) == group


def test_of_several_scales_the_one_beside_the_labels_is_the_title_blocks() -> None:
    runs = [
        Run(text, (0.0, y, 60.0, y + 8), 8.0) for text, y in (("SCALE: A", 300), ("DATE", 20), ("SCALE: B", 50))
    ]
    assert [run.text for run in _one_scale(runs, 100.0)] == ["DATE", "SCALE: B"]


def test_a_scale_note_of_a_drawing_and_a_label_in_the_corner_make_no_title_block(page: Page) -> None:
    """What lay between the two, a part of the plan with its devices too, was a title block and no plan."""
    house = page.house(150, 700)
    page.text("POWER PLAN", 150, 1120, 12)
    page.text(f"SCALE: {NOTE}", 150, 1135)
    page.box(20, 20, 1708, 1276)
    page.box(1500, 1200, 1708, 1276)
    page.text("SHEET", 1505, 1270, 5)
    page.text("E-101", 1600, 1260, 16)
    sheet = page.read()
    assert not [region for region in sheet.regions if region.kind == "title block"]
    assert sheet.number == "E-101" and any(holds(view.box, house) for view in sheet.views)


@pytest.mark.parametrize("middles", [True, False])
def test_a_description_of_two_lines_ends_no_legend_of_even_rows(page: Page, middles: bool) -> None:
    """Its lines, or their middle, stand on the row of their sign; the rows below it were no legend."""
    page.text("ELECTRICAL LEGEND", 1000, 200, 10)
    names = (
        "JUNCTION BOX",
        "FLOOR BOX",
        "DIMMER",
        "DUPLEX RECEPTACLE,\nWEATHERPROOF",
        "FAN",
        "GROUND FAULT\nRECEPTACLE",
    )
    for k, name in enumerate(names):
        lines = name.split("\n")
        for n, line in enumerate(lines):
            page.text(line, 1000, 230 + 30 * k + 8 * (n - middles * (len(lines) - 1) / 2), 6)
        page.canvas.circle(1100, page.height - 228 - 30 * k, 6)
    (region,) = page.read().regions
    assert region.kind == "legend" and holds(region.box, (1000, 190, 1106, 382))


@pytest.mark.parametrize("column", [True, False])
def test_a_column_of_notes_is_no_list_of_notes(page: Page, column: bool) -> None:
    """The rows of a panel schedule were general notes that claim protection: every outlet without it was asked."""
    page.house(300, 300)
    page.text("POWER PLAN", 300, 700, 12)
    page.text('SCALE: 1/4" = 1\'-0"', 300, 715)
    page.box(900, 300, 1300, 400)
    cells = ["#", "LOAD", "AMP", "NOTES"], ["1", "GARAGE", "20", "GFCI"], ["2", "HALL", "20", ""]
    for k, row in enumerate(cells):
        for x, cell in zip((905, 940, 1100, 1200), row if column or k else ["", "", "", "NOTES"], strict=True):
            page.text(cell, x, 315 + 20 * k)
    kinds = {region.kind for region in page.read().regions}
    assert ("notes" in kinds) is not column
