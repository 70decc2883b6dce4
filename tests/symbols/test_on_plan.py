"""No outlet of the mapping file is lost for where it stands: in a plan, beside it, or in a part that is no plan."""

from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

import drawn_page as page
from cordpath.model import CircleMark, Drawing, LineMark, Mapping, Sheet, Spotting, SymbolEntry
from cordpath.scale import prove_scales
from cordpath.sheet import read_sheet
from cordpath.symbols import gather_examples, load_mapping, spot
from drawn_room import BATHTUB, DUPLEX, duplex

WIDE, HIGH = 1224.0, 792.0
LEGEND = ("DUPLEX RECEPTACLE", "SMOKE DETECTOR", "CEILING LIGHT", "EXHAUST FAN")
SAMPLE = (860.0, HIGH - 94.0)  # of the legend's first row


def text(page: Canvas, said: str, x: float, y: float, size: float = 8) -> None:
    page.setFont("Helvetica", size)
    page.drawString(x, HIGH - y, said)


def drawn(page: Canvas) -> None:
    """A plan, an elevation, a legend and notes without frames, a ruled schedule, a strip for the title."""
    for inset in (0, 8):
        page.rect(100 + inset, HIGH - 500 + inset, 500 - 2 * inset, 360 - 2 * inset)
    page.line(350, HIGH - 148, 350, HIGH - 492)
    for name, x in (("KITCHEN", 200), ("BEDROOM", 440)):
        text(page, name, x, 300, 9)
    for said, y in (("FIRST FLOOR POWER PLAN", 540), ('SCALE: 1/4" = 1\'-0"', 556)):
        text(page, said, 200, y, 12 if y == 540 else 8)
    page.rect(680, HIGH - 700, 260, 120)
    page.line(680, HIGH - 650, 940, HIGH - 650)
    for said, y in (("KITCHEN ELEVATION", 730), ('SCALE: 1/2" = 1\'-0"', 746)):
        text(page, said, 720, y, 12 if y == 730 else 8)
    text(page, "ELECTRICAL LEGEND", 850, 70, 11)
    for k, said in enumerate(LEGEND):
        text(page, said, 885, 96 + 26 * k)
        if k:
            page.circle(860, HIGH - 94 - 26 * k, 5 + k)
            page.circle(860, HIGH - 94 - 26 * k, 2)
    duplex(page, SAMPLE[0], SAMPLE[1] + 0.11 * 72)
    text(page, "GENERAL NOTES", 850, 240, 11)
    for k in range(4):
        text(page, f"{k + 1}. VERIFY ALL OF THE WORK IN FIELD", 850, 262 + 16 * k)
    text(page, "PANEL SCHEDULE - A", 850, 372, 10)
    for k in range(9):
        page.line(850, HIGH - 380 - 15 * k, 1040, HIGH - 380 - 15 * k)
        if k < 8:
            text(page, str(2 * k + 1), 856, 391 + 15 * k, 7)
            text(page, "LIGHTING", 900, 391 + 15 * k, 7)
    for x in (850, 880, 1040):
        page.line(x, HIGH - 380, x, HIGH - 500)
    page.line(1070, 20, 1070, HIGH - 20)
    page.rect(20, 20, WIDE - 40, HIGH - 40)
    for k, (label, said) in enumerate((("DRAWN BY", "XY"), ("DATE", "2024-01-02"), ("SHEET NO.", "E-101"))):
        page.line(1070, HIGH - 560 - 60 * k, WIDE - 20, HIGH - 560 - 60 * k)
        text(page, label, 1076, 570 + 60 * k, 5)
        text(page, said, 1110, 600 + 60 * k, 10)


def seen(folder: Path, places: list[tuple[float, float]], label: str = "") -> tuple[Sheet, Spotting]:
    """``places``: of outlets, in page coordinates."""
    page = Canvas(str(folder / "sheet.pdf"), pagesize=(WIDE, HIGH), invariant=1)
    drawn(page)
    for x, y in places:
        duplex(page, x, HIGH - y + 0.11 * 72)
        if label:
            text(page, label, x + 9, y + 3, 7)
    page.save()
    (folder / "m.yaml").write_text(f"cordpath: 1\nsymbols:\n{DUPLEX}{BATHTUB}")
    mapping = load_mapping(folder / "m.yaml")
    sheet = read_sheet(folder / "sheet.pdf", 1)
    return sheet, spot(sheet, mapping, prove_scales(sheet, mapping.drawing))


def near(at: tuple[float, float], place: tuple[float, float]) -> bool:
    return math.dist(at, place) < 9


@settings(max_examples=4, deadline=None)
@given(st.lists(st.tuples(st.floats(40, WIDE - 40), st.floats(40, HIGH - 40)), min_size=4, max_size=4))
@example([(700.0, 640.0)])
@example([(930.0, 285.0), (592.0, 200.0), (1120.0, 300.0)])
@example([(844.0, 122.0)])
def test_an_outlet_anywhere_on_the_page_is_found_or_told(
    tmp_path_factory: pytest.TempPathFactory, places: list[tuple[float, float]]
) -> None:
    assume(all(math.dist(a, b) > 40 for a, b in combinations(places, 2)))
    sheet, spotting = seen(tmp_path_factory.mktemp("page"), places)
    for x, y in places:
        found_or_told(sheet, spotting, x, y)


def found_or_told(sheet: Sheet, spotting: Spotting, x: float, y: float) -> None:
    if any(near((x, y), (860, 94 + 26 * k)) for k in range(len(LEGEND))):
        return  # drawn over a sample: one symbol
    found = [symbol for symbol in spotting.symbols if symbol.is_outlet and near(symbol.at, (x, y))]
    told = [rest for rest in spotting.unexplained for at in rest.at if near(at, (x, y))]
    legend = next(region for region in sheet.regions if region.kind == "legend")
    schedule = next(region for region in sheet.regions if region.kind == "schedule")
    samples = [said for said in spotting.assumptions if "not counted" in said]
    in_samples = any(b[0] <= x <= b[2] and b[1] <= y <= b[3] for b in (legend.box, schedule.box))
    if in_samples and x < 1040:
        in_samples = abs(x - SAMPLE[0]) < 7 or y > 300  # in the column of the legend, or in the schedule
    assert found or told or (in_samples and len(samples))


@pytest.mark.parametrize("place", [(975.0, 145.0), (866.0, 76.0), (930.0, 223.0)])
def test_an_outlet_in_a_legend_where_no_sample_stands_is_asked_about(
    tmp_path: Path, place: tuple[float, float]
) -> None:
    """Right of the texts, over the heading, and between two texts, where the samples stand left of theirs."""
    sheet, spotting = seen(tmp_path, [place])
    legend = next(region for region in sheet.regions if region.kind == "legend")
    (doubt,) = (symbol for symbol in spotting.symbols if near(symbol.at, place))
    held = legend.box[0] <= place[0] <= legend.box[2] and legend.box[1] <= place[1] <= legend.box[3]
    assert not held or (not doubt.found and "no description" in doubt.reasons[-1])
    assert "1 symbol in the legend is no device of the plan: not counted" in spotting.assumptions


@pytest.mark.parametrize("place", [(842.0, 120.0), (842.0, 148.0), (878.0, 133.0)])
def test_an_outlet_level_with_a_text_of_a_legend_but_in_no_column_of_its_samples_is_asked_about(
    tmp_path: Path, place: tuple[float, float]
) -> None:
    """A legend laid over the edge of the plan: the outlet on the wall there passed for a sample."""
    sheet, spotting = seen(tmp_path, [place])
    legend = next(region for region in sheet.regions if region.kind == "legend")
    assert legend.box[0] <= place[0] <= legend.box[2] and legend.box[1] <= place[1] <= legend.box[3]
    (doubt,) = (symbol for symbol in spotting.symbols if near(symbol.at, place))
    assert not doubt.found and "out of the column of its samples" in doubt.reasons[-1]
    assert "1 symbol in the legend is no device of the plan: not counted" in spotting.assumptions


def test_outlets_in_parts_that_are_no_plan(tmp_path: Path) -> None:
    notes, elevation = (930.0, 310.0), (760.0, 630.0)
    sheet, spotting = seen(tmp_path, [notes, elevation, (250.0, 200.0)])
    assert {region.kind for region in sheet.regions} == {"title block", "legend", "notes", "schedule", "detail"}
    (doubt,) = (symbol for symbol in spotting.symbols if near(symbol.at, notes))
    assert not doubt.found and "notes" in doubt.reasons[-1]
    assert not any(near(symbol.at, elevation) for symbol in spotting.symbols)
    (told,) = (rest for rest in spotting.unexplained if any(near(at, elevation) for at in rest.at))
    assert "1 x 'duplex receptacle' in 'KITCHEN ELEVATION'" in told.what
    assert [symbol.found for symbol in spotting.symbols if near(symbol.at, (250, 200))] == [True]
    assert "1 symbol in the legend is no device of the plan: not counted" in spotting.assumptions


@pytest.mark.parametrize(
    ("places", "kept"),
    [
        ([(520, 70), (600, 105), (680, 140), (560, 175), (640, 210)], 5),  # a plan that was taken for the legend
        ([(530, 70 + 35 * k) for k in range(5)], 0),
        ([(520 + 45 * k, 100) for k in range(5)], 0),
        ([(530 + 110 * (k % 2), 70 + 35 * (k // 2)) for k in range(6)], 0),
    ],
)
def test_outlets_in_no_column_and_no_row_are_no_samples_of_a_legend(
    places: list[tuple[float, float]], kept: int
) -> None:
    """Half of a sheet was taken for a legend, and words beside its outlets for descriptions."""
    names = [word for k, (x, y) in enumerate(places) for word in page.words("PORCH", x + 10, y, k)]
    sheet = page.sheet([page.duplex(x, y) for x, y in places], names, legend=True)
    marks = (CircleMark((0, 0), 0.075), LineMark((-2 / 72, -10 / 72), (-2 / 72, 7.5 / 72)),
             LineMark((2 / 72, -10 / 72), (2 / 72, 7.5 / 72)))  # fmt: skip
    mapping = Mapping("m.yaml", Drawing(), (SymbolEntry("duplex", "receptacle", shape=marks),))
    symbols = spot(sheet, mapping, ()).symbols
    assert len(symbols) == kept
    assert all("in no column and no row" in " ".join(s.reasons) and not s.found for s in symbols)


def test_a_sample_behind_a_short_text_stands_in_the_column_of_the_others() -> None:
    """Signs right of their texts stand behind the longest of them."""
    rows = ("RANGE RECEPTACLE AT THE COUNTER", "DUPLEX", "FLOOR RECEPTACLE IN THE GARAGE")
    texts = [word for k, row in enumerate(rows) for word in page.words(row, 505, 80 + 40 * k, k)]
    signs = [page.frame(690, 70, 714, 90), page.duplex(702, 120), page.ring(702, 160, 8)]
    sheet = page.sheet(signs, texts, legend=True)
    mapping = Mapping("m.yaml", Drawing(), tuple(SymbolEntry(row, "receptacle", legend=row) for row in rows))
    examples = gather_examples(mapping, {}, sheet=sheet)
    assert len(examples.learnt) == 3
    assert not spot(sheet, mapping, (), examples).symbols


def test_a_column_of_heights_in_drawn_letters_is_none_of_samples() -> None:
    """With their heading they were one more than the samples, which were asked about as outlets of the plan."""
    rows = ("RANGE RECEPTACLE", "DUPLEX RECEPTACLE", "FLOOR RECEPTACLE")
    texts = [word for k, row in enumerate(rows) for word in page.words(row, 550, 110 + 40 * k, k)]
    signs = [page.frame(508, 100, 532, 120), page.duplex(520, 150), page.ring(520, 190, 8)]
    heights = [np.array([[735.0, y - 3, 735.0, y + 3], [739.0, y - 3, 739.0, y + 3]]) for y in (80, 110, 150, 190)]
    sheet = page.sheet([*signs, *heights], [*texts, *page.words("MTG. HT.", 690, 80, 9)], legend=True)
    mapping = Mapping("m.yaml", Drawing(), tuple(SymbolEntry(row, "receptacle", legend=row) for row in rows))
    examples = gather_examples(mapping, {}, sheet=sheet)
    assert len(examples.learnt) == 3
    assert not spot(sheet, mapping, (), examples).symbols
