"""Examples whose letters are outlines: an R in a circle was learnt as a solid blot of which one point was looked
at, and named as the G beside it in the legend, a receptacle that protects itself."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pymupdf
import pytest
import shapely
import shapely.affinity

from cordpath.check import understand
from cordpath.model import CircleMark, LineMark, PolylineMark, TextMark
from cordpath.sheet import read_glyphs, read_sheet
from cordpath.symbols import load_mapping
from cordpath.symbols.examples.outlined_letters import read_as_text
from cordpath.symbols.examples.page_marks import _ring, from_box
from cordpath.symbols.learning.samples import legend_samples
from cordpath.symbols.templates.sampling import inner_points
from drawn_page import ring, sheet
from symbols.test_drawn_letters import outlined
from symbols.test_twins import painted

MAPPING = """\
cordpath: 1
symbols:
  - {name: plain, kind: receptacle, legend: DUPLEX RECEPTACLE, wall_side: [0, -1]}
  - {name: gfci, kind: receptacle, protection: device, legend: GFCI RECEPTACLE, wall_side: [0, -1]}
  - {name: range outlet, kind: receptacle, volts: 240, legend: 240 VOLT RECEPTACLE, wall_side: [0, -1]}
"""
ROWS = {"DUPLEX RECEPTACLE": "", "GFCI RECEPTACLE": "G", "240 VOLT RECEPTACLE": "R"}
ON_WALLS = [  # letters, middle of the circle, step to the wall
    ("G", (150, 135), (0, -1)), ("R", (230, 135), (0, -1)), ("", (310, 135), (0, -1)),
    ("R", (150, 465), (0, 1)), ("G", (230, 465), (0, 1)), ("G", (115, 250), (-1, 0)), ("R", (505, 250), (1, 0)),
]  # fmt: skip
NAMES = {"": "plain", "G": "gfci", "R": "range outlet"}


def ring_mark(area: shapely.Polygon) -> PolylineMark:
    ring = _ring(area)[:-1] / 72
    return PolylineMark(tuple((float(x), float(y)) for x, y in ring), True, True)


def marks_of(text: str) -> tuple[PolylineMark, ...]:
    return tuple(ring_mark(part) for each in outlined(text, 0.0, 0.0) for part in shapely.get_parts(each))


def test_the_ring_round_an_area_leaves_its_holes_out() -> None:
    hole, other = shapely.Point(3, 0).buffer(1.0), shapely.Point(-3, 0).buffer(1.5)
    area = shapely.Point(0, 0).buffer(6.0) - hole - other
    again = shapely.make_valid(shapely.Polygon(_ring(area)))
    assert shapely.area(shapely.symmetric_difference(area, again)) < 1e-6


@pytest.mark.parametrize("text", ["G", "R", "GF", "WP", "C"])
def test_outlined_letters_of_an_example_are_letters(text: str) -> None:
    circle = CircleMark((0.0, 0.0), 0.09)
    assert [mark.value for mark in read_as_text((circle, *marks_of(text)), read_glyphs)[1:]] == [text]


def test_letters_beside_another_label_stay_marks() -> None:
    """Without its GFI a receptacle that protects itself was a plain one, and every plain one were such."""
    own, tag = (outlined(text, x, 0.0) for text, x in (("GFI", 0.0), ("A", 0.0)))
    letters = [part for each in own for part in shapely.get_parts(each)]
    x0, y0, x1, y1 = shapely.MultiPolygon(letters).bounds
    right = [part for each in tag for part in shapely.get_parts(each)]
    beside = [shapely.affinity.translate(part, x1 - shapely.MultiPolygon(right).bounds[0] + 2.0) for part in right]
    page = sheet([ring(0, y0 - 8, 5)], fills=painted(*letters, *beside))
    marks = from_box(page, (x0 - 1, y0 - 14, x1 + 1, y1 + 1))
    assert sum(isinstance(mark, PolylineMark) for mark in marks) == 3


@pytest.mark.parametrize(("text", "taken"), [("WALL", 0), ("A", 1), ("GF", 2)])
def test_letters_of_a_label_that_runs_out_of_the_box_are_no_marks(text: str, taken: int) -> None:
    """The A of WALL, of which the box cuts the W: every other symbol of the kind was asked about for lack of it."""
    letters = [part for each in outlined(text, 0.0, 0.0) for part in shapely.get_parts(each)]
    x0, y0, x1, y1 = shapely.MultiPolygon(letters).bounds
    left = x0 + 0.25 * (x1 - x0) if text == "WALL" else x0 - 1
    box = (left - 1, y0 - 12, max(left + 14, x1 * (text != "WALL")) + 1, y1 + 1)
    square = [[box[0] + 2, y0 - 10, box[0] + 12, y0 - 10], [box[0] + 2, y0 - 10, box[0] + 2, y0 - 2]]
    page = sheet([np.array(square)], fills=painted(*letters))
    marks = from_box(page, box)
    assert sum(isinstance(mark, PolylineMark) for mark in marks) == taken
    assert sum(isinstance(mark, LineMark) for mark in marks) == 2


def test_what_is_no_letter_stays_filled() -> None:
    disc = shapely.Point(0, 0).buffer(3.0)
    wedge = shapely.Polygon([(-3, 0), (3, 0), (0, 5)])
    bar, half = shapely.box(-4, -0.4, 4, 0.4), disc.intersection(shapely.box(0, -9, 9, 9))
    marks = tuple(ring_mark(area) for area in (disc, wedge, bar, half))
    assert all(isinstance(mark, PolylineMark) for mark in read_as_text(marks, read_glyphs))
    unsure = read_as_text(marks_of("R"), lambda glyphs, filled: [{"R": 0.6, "K": 0.4} for _ in glyphs])
    assert not any(isinstance(mark, TextMark) for mark in unsure)


def test_a_thin_mark_is_looked_at_all_along() -> None:
    """An L that the pen of a letter draws: one point of it is on many another letter."""
    ell = np.array([(0, 0), (0.5, 0), (0.5, 4), (3, 4), (3, 4.5), (0, 4.5)], float)
    points = inner_points(ell, 1.0)
    assert len(points) > 15 and np.ptp(points, axis=0).min() > 2
    assert bool(shapely.contains_xy(shapely.Polygon(ell), points).all())


def drawn(page: pymupdf.Page, letter: str, x: float, y: float, wall: tuple[float, float]) -> None:
    page.draw_circle((x, y), 4.5, width=0.5)
    page.draw_line((x + 4.5 * wall[0], y + 4.5 * wall[1]), (x + 10 * wall[0], y + 10 * wall[1]), width=0.5)
    if letter:
        wide = pymupdf.get_text_length(letter, fontsize=6)
        page.insert_text((x - wide / 2, y + 2.1), letter, fontsize=6)


def outlined_plan(path: Path) -> None:
    document = pymupdf.open()
    page = document.new_page(width=792, height=612)
    page.draw_rect((100, 120, 520, 480), width=2)
    page.draw_rect((105, 125, 515, 475), width=2)
    for letter, at, wall in ON_WALLS:
        drawn(page, letter, *at, wall)
    page.insert_text((280, 320), "BEDROOM", fontsize=8)
    page.insert_text((250, 520), "FIRST FLOOR POWER PLAN", fontsize=12)
    page.insert_text((250, 535), 'SCALE: 1/4" = 1\'-0"', fontsize=8)
    page.insert_text((600, 120), "SYMBOL LEGEND", fontsize=9)
    for k, (text, letter) in enumerate(ROWS.items()):
        drawn(page, letter, 590, 150 + 30 * k, (0, -1))
        page.insert_text((620, 152 + 30 * k), text, fontsize=8)
    svg = page.get_svg_image(text_as_path=True)
    path.write_bytes(pymupdf.open(stream=svg.encode(), filetype="svg").convert_to_pdf())


def test_a_letter_of_the_legend_names_the_symbol_at_every_wall(tmp_path: Path) -> None:
    path, mapping = tmp_path / "plan.pdf", tmp_path / "symbols.yaml"
    outlined_plan(path)
    mapping.write_text(MAPPING)
    understood = understand(path, 1, load_mapping(mapping))
    found = {tuple(np.rint(s.at).astype(int).tolist()): s for s in understood.spotting.symbols}
    for letter, at, _ in ON_WALLS:
        symbol = min(found.values(), key=lambda s: float(np.hypot(*np.subtract(s.at, at))))
        assert np.hypot(*np.subtract(symbol.at, at)) < 6
        assert (symbol.entry.name, symbol.found) == (NAMES[letter], True), (letter, at, symbol.reasons)


def test_learn_writes_the_letters_of_a_legend(tmp_path: Path) -> None:
    outlined_plan(tmp_path / "plan.pdf")
    learnt = {row.text: row.marks for row in legend_samples(read_sheet(tmp_path / "plan.pdf", 1), read_glyphs)}
    said = {text: [mark.value for mark in marks if isinstance(mark, TextMark)] for text, marks in learnt.items()}
    assert said == {text: [letter] if letter else [] for text, letter in ROWS.items()}
