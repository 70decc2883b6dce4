"""Shapes taken from a box on a page, or from the sheet's legend."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import (
    CircleMark,
    Drawing,
    Fills,
    FloatArray,
    LineMark,
    Mapping,
    Mark,
    Picked,
    PolylineMark,
    Scale,
    Sheet,
    Strokes,
    SymbolEntry,
    TextMark,
    Word,
)  # fmt: skip
from cordpath.symbols import NO_EXAMPLES, Examples, gather_examples, load_mapping, spot
from cordpath.symbols.examples.page_marks import from_box
from drawn_page import duplex, frame, from_legend, kinds, legend_sheet, ring, sheet, words
from symbols.test_spot import in_pieces

CONFIGS = Path(__file__).parents[2] / "configs"


# --------------------------------------------------------------------------------------------- a box


def test_a_box_gives_circles_and_lines_about_their_middle() -> None:
    marks = from_box(sheet([duplex(100, 100)]), (85, 85, 115, 115))
    assert kinds(marks) == {"CircleMark": 1, "LineMark": 2}
    (circle,) = [mark for mark in marks if isinstance(mark, CircleMark)]
    assert circle.radius * 72 == pytest.approx(5.4, abs=0.05)
    # The strokes run from 10 above the circle's middle to 7.5 below it: their middle is 1.25 pt higher.
    assert circle.center == pytest.approx((0, 1.25 / 72), abs=0.001)
    ends = sorted((mark.start, mark.end) for mark in marks if isinstance(mark, LineMark))
    assert np.array(ends).ravel() * 72 == pytest.approx([-2, -8.75, -2, 8.75, 2, -8.75, 2, 8.75], abs=1e-6)


def test_lines_in_splinters_are_learnt_whole_and_dashes_as_they_are() -> None:
    whole = from_box(sheet([duplex(100, 100)]), (85, 85, 115, 115))
    assert kinds(from_box(sheet([in_pieces(duplex(100, 100), 0.5)]), (85, 85, 115, 115))) == kinds(whole)
    dashes = np.array([(90.0 + 4 * k, 110.0, 92.0 + 4 * k, 110.0) for k in range(5)])
    assert kinds(from_box(sheet([duplex(100, 100), dashes]), (85, 85, 115, 115)))["LineMark"] == 2 + 5


def test_walls_and_hatch_through_the_box_drop_out() -> None:
    wall = np.array([[0.0, 90, 400, 90], [0, 86, 400, 86], [95, 0, 95, 400]])
    alone = from_box(sheet([duplex(100, 100)]), (85, 85, 115, 115))
    assert from_box(sheet([wall, duplex(100, 100)]), (85, 85, 115, 115)) == alone


def test_white_doubled_and_covered_strokes_do_not_count() -> None:
    xy = np.concatenate([duplex(100, 100), duplex(100, 100), [[90.0, 90, 110, 110]]])
    strokes = Strokes.of(xy)
    strokes.colour[-1] = 1.0
    page = Sheet("f", 1, None, None, 800, 600, strokes, Fills.none(), (), (), (), ())
    assert kinds(from_box(page, (85, 85, 115, 115))) == {"CircleMark": 1, "LineMark": 2}


def test_dark_fills_are_marks_and_pale_ones_are_paper() -> None:
    shapes = [shapely.Polygon([(96, 104), (104, 104), (100, 96)]), shapely.box(94, 94, 106, 106)]
    colour = np.array([[0.0, 0, 0], [1, 1, 1]])
    fills = Fills(np.array(shapes, object), colour, np.ones(2), np.full(2, -1), np.arange(2))
    marks = from_box(sheet([ring(100, 100, 6)], fills=fills), (85, 85, 115, 115))
    assert kinds(marks) == {"CircleMark": 1, "PolylineMark": 1}
    (filled,) = [mark for mark in marks if isinstance(mark, PolylineMark)]
    assert filled.filled and filled.closed and len(filled.points) == 3


def test_letters_inside_the_box_are_marks() -> None:
    page = sheet([ring(100, 100, 6)], words("R", 98, 100) + words("KITCHEN", 130, 100))
    texts = [mark for mark in from_box(page, (85, 85, 115, 115)) if isinstance(mark, TextMark)]
    assert [mark.value for mark in texts] == ["R"]
    assert texts[0].at == pytest.approx((0, 0), abs=0.002)


def test_an_empty_box_gives_nothing() -> None:
    assert from_box(sheet([duplex(100, 100)]), (300, 300, 320, 320)) == ()
    assert from_box(sheet([]), (0, 0, 20, 20)) == ()


@given(st.floats(20, 700), st.floats(20, 500), st.floats(0, 6.28))
@settings(max_examples=40, deadline=None)
def test_the_marks_do_not_depend_on_the_place(x: float, y: float, turn: float) -> None:
    here = from_box(sheet([duplex(100, 100)]), (80, 80, 120, 120))
    there = from_box(sheet([duplex(x, y)]), (x - 20, y - 20, x + 20, y + 20))
    assert kinds(here) == kinds(there)
    for one, two in zip(here, there, strict=True):
        if isinstance(one, CircleMark) and isinstance(two, CircleMark):
            assert two.center == pytest.approx(one.center, abs=1e-4)
            assert two.radius == pytest.approx(one.radius, abs=1e-4)
    turned = duplex(0, 0).reshape(-1, 2) @ [[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]]
    assert kinds(from_box(sheet([turned.reshape(-1, 4) + 200]), (180, 180, 220, 220))) == kinds(here)


# --------------------------------------------------------------------------------------------- gathering


def mapping(*entries: SymbolEntry) -> Mapping:
    return Mapping("m.yaml", Drawing(), entries)


def test_a_dimension_of_the_plan_beside_the_legend_is_no_letter_of_a_symbol() -> None:
    page = legend_sheet(rules=False)
    beside = Word("10'-0\"", (506.0, 78.0, 514.0, 102.0), 90.0, 7.0, 99)
    plain, turned = (from_legend(replace(page, words=words), "DUPLEX RECEPTACLE")
                     for words in (page.words, (*page.words, beside)))  # fmt: skip
    assert plain is not None and turned == plain


def test_picked_and_legend_entries_are_gathered() -> None:
    picked = SymbolEntry("outlet", "receptacle", picked=Picked("a.pdf", 2, (85, 85, 115, 115)))
    row = SymbolEntry("duplex", "receptacle", legend="DUPLEX RECEPTACLE")
    found = gather_examples(mapping(picked, row), {("a.pdf", 2): sheet([duplex(100, 100)])}, sheet=legend_sheet())
    assert kinds(found.marks("outlet")) == kinds(found.marks("duplex")) == {"CircleMark": 1, "LineMark": 2}
    assert found.marks("other") == ()
    assert found.notes[:2] == (
        "outlet is looked for as drawn on f.pdf page 1 (2 lines, 1 circle)",
        "duplex is looked for as drawn on f.pdf page 1 (2 lines, 1 circle)",
    )


def test_a_box_that_ends_on_the_wall_takes_the_lines_that_end_there() -> None:
    """The box was drawn to the wall's face; the bars end there, a hair beyond it."""
    for top in (90.0, 90.4):
        entry = SymbolEntry("outlet", "receptacle", picked=Picked("a.pdf", 1, (92, top, 108, 108)))
        wall = np.array([[0.0, 90, 400, 90]])
        found = gather_examples(mapping(entry), {("a.pdf", 1): sheet([wall, duplex(100, 100)])})
        assert kinds(found.marks("outlet")) == {"CircleMark": 1, "LineMark": 2}
        assert len(found.notes) == 1


def test_the_slack_of_a_box_takes_nobody_elses_line() -> None:
    """A line just beyond the edge belongs to the symbol only where something of the symbol ends on it."""
    body = np.array([[100.0, 100, 160, 100], [160, 100, 160, 130], [160, 130, 100, 130], [100, 130, 100, 100]])
    shelf = np.array([[110.0, 99.2, 140, 99.2]])
    rim = np.array([[100.0, 99.3, 160, 99.3], [100, 99.3, 100, 101], [160, 99.3, 160, 101]])
    for beyond, count in ((shelf, 0), (rim, 3)):
        entry = SymbolEntry("tub", "bathtub", picked=Picked("a.pdf", 1, (99, 99.6, 161, 131)))
        found = gather_examples(mapping(entry), {("a.pdf", 1): sheet([body, beyond])})
        alone = gather_examples(mapping(entry), {("a.pdf", 1): sheet([body])})
        assert len(found.marks("tub")) == len(alone.marks("tub")) + count


def test_lines_that_a_box_cuts_are_told() -> None:
    entry = SymbolEntry("outlet", "receptacle", picked=Picked("a.pdf", 1, (92, 93, 108, 109)))
    wall = np.array([[0.0, 98, 400, 98]])
    found = gather_examples(mapping(entry), {("a.pdf", 1): sheet([wall, duplex(100, 100)])})
    assert kinds(found.marks("outlet")) == {"CircleMark": 1}
    assert found.notes[1] == (
        "outlet: its box on f.pdf page 1 cuts 2 lines that lie mostly in it, and was taken without; draw the box "
        "wider if it should be with"
    )


def test_what_cannot_be_used_is_said() -> None:
    nothing = SymbolEntry("outlet", "receptacle", picked=Picked("a.pdf", 2, (300, 300, 310, 310)))
    row = SymbolEntry("duplex", "receptacle", legend="TRIPLEX")
    found = gather_examples(mapping(nothing, row), {("a.pdf", 2): sheet([duplex(9, 9)])}, sheet=legend_sheet())
    assert found.shapes == {}
    assert found.notes[0].startswith("outlet: nothing is drawn wholly inside its box")
    assert found.notes[1] == "duplex: the legend has no row 'TRIPLEX', so it was not looked for"
    bare = gather_examples(mapping(row), {}, sheet=sheet([]))
    assert bare.notes == ("duplex: the sheet has no legend, so it was not looked for",)


def test_a_legend_on_another_sheet_keeps_serving() -> None:
    row = SymbolEntry("duplex", "receptacle", legend="DUPLEX RECEPTACLE")
    known = gather_examples(mapping(row), {}, sheet=legend_sheet())
    again = gather_examples(mapping(row), {}, known, sheet([]))
    assert again == known
    assert gather_examples(mapping(), {}, NO_EXAMPLES, sheet([])) == Examples()


def test_real_sizes_need_the_scale_of_the_example() -> None:
    sink = SymbolEntry("sink", "sink", size="real", picked=Picked("a.pdf", 1, (80, 80, 120, 120)))
    page = sheet([ring(100, 100, 12)], note='1/4" = 1\'-0"')
    found = gather_examples(mapping(sink), {("a.pdf", 1): page})
    (circle,) = found.marks("sink")
    assert isinstance(circle, CircleMark)
    assert circle.radius == pytest.approx(12 / 72 * 48, rel=0.01)  # 8 inches in the building
    found = gather_examples(mapping(sink), {("a.pdf", 1): sheet([ring(100, 100, 12)])})
    assert found.marks("sink") == ()
    assert found.notes == (
        "sink: the scale of its example on f.pdf page 1 is not stated, so it was not looked for",
    )


def test_a_picked_symbol_is_found_elsewhere() -> None:
    at = [(100.0, 100.0), (200.0, 300.0), (320.0, 80.0)]
    page = sheet([duplex(x, y) for x, y in at])
    entry = SymbolEntry("outlet", "receptacle", picked=Picked("f.pdf", 1, (85, 85, 115, 115)))
    found = gather_examples(mapping(entry), {("f.pdf", 1): page})
    scale = Scale("v1", 48.0, "note", "", "single")
    done = spot(page, mapping(entry), (scale,), found)
    places = sorted((round(symbol.at[0]), round(symbol.at[1])) for symbol in done.symbols if symbol.found)
    assert places == [(100, 99), (200, 299), (320, 79)]


def test_an_outlet_that_the_box_round_an_appliance_took_in_is_asked_about() -> None:
    """A washer is picked with the receptacle behind it: the receptacle must not vanish as lines of the washer."""
    washers, outlets = [(105.0, 310.0), (255.0, 310.0)], [(100.0, 100.0), (300.0, 110.0)]
    at_washers = [(x, y - 14) for x, y in washers]
    page = sheet([
        *(duplex(x, y) for x, y in (*outlets, *at_washers)),
        *(np.r_[frame(x - 20, y - 22, x + 20, y + 20), ring(x, y, 13.0)] for x, y in washers),
    ], note='1/4" = 1\'-0"')  # fmt: skip
    outlet = SymbolEntry("outlet", "receptacle", picked=Picked("f.pdf", 1, (92, 88, 108, 109)))
    washer = SymbolEntry("washer", "washer", size="real", picked=Picked("f.pdf", 1, (83, 285, 127, 332)))
    found = gather_examples(mapping(outlet, washer), {("f.pdf", 1): page})
    done = spot(page, mapping(outlet, washer), (Scale("v1", 48.0, "note", "", "single"),), found)
    seen = {(round(s.at[0]), round(s.at[1])): s.found for s in done.symbols if s.entry.kind == "receptacle"}
    assert seen == {
        **{(round(x), round(y - 1)): True for x, y in outlets},
        **{(round(x), round(y - 1)): False for x, y in at_washers},
    }
    told = [reason for s in done.symbols if not s.found for reason in s.reasons]
    assert any("'washer' was learnt with these lines" in reason for reason in told)
    assert sum(s.entry.name == "washer" for s in done.symbols) == 2


# --------------------------------------------------------------------------------------- ready mapping files


def drawn(marks: tuple[Mark, ...], x: float, y: float, unit: float) -> tuple[FloatArray, list[Word]]:
    """A shape of lines, circles and letters on the page, ``unit`` points an inch."""
    strokes, texts = [np.zeros((0, 4))], []
    for mark in marks:
        if isinstance(mark, CircleMark):
            strokes.append(ring(x + unit * mark.center[0], y + unit * mark.center[1], unit * mark.radius, 32))
        elif isinstance(mark, LineMark):
            strokes.append(unit * np.array([[*mark.start, *mark.end]]) + (x, y, x, y))
        elif isinstance(mark, PolylineMark):
            points = unit * np.array([*mark.points, mark.points[0]]) + (x, y)
            strokes.append(np.c_[points[:-1], points[1:]])
        elif isinstance(mark, TextMark):
            texts += words(mark.value, x - 2.0 * len(mark.value), y)
    return np.concatenate(strokes), texts


@pytest.mark.parametrize("path", sorted(CONFIGS.glob("receptacle*.yaml")), ids=lambda path: path.name)
def test_the_ready_files_find_what_they_describe(path: Path) -> None:
    ready = load_mapping(path)
    strokes, texts, wanted = [], [], []
    plain = [entry for entry in ready.symbols if entry.kind == "receptacle" and entry.shape is not None
             and not any(isinstance(mark, PolylineMark) and mark.filled for mark in entry.shape)]  # fmt: skip
    for k, entry in enumerate(plain):
        for n in range(2):
            x, y = 60.0 + 60 * k, 100.0 + 80 * n
            lines, letters = drawn(entry.shape or (), x, y, 72.0 * (1.0 if n else 1.3))
            strokes.append(lines)
            texts += letters
            wanted.append((entry.name, round(x), round(y)))
    done = spot(sheet(strokes, texts), ready, (Scale("v1", 48.0, "note", "", "single"),))
    told = {(name, round(s.at[0]), round(s.at[1])) for s in done.symbols for name in (s.entry.name, *s.rivals)}
    assert set(wanted) <= told


@pytest.mark.parametrize(
    ("file", "lines"),
    [
        ("receptacle-lines-through", [[-1.5, -9, -1.5, 9], [1.5, -9, 1.5, 9]]),
        ("receptacle-lines-to-wall", [[-1.5, -9, -1.5, -4.24], [1.5, -9, 1.5, -4.24]]),
        ("receptacle-lines-to-wall", [[-2.33, -9, -2.33, -3.85], [2.33, -9, 2.33, -3.85]]),
        ("receptacle-bars-and-letters", [[-4.24, -1.5, 4.24, -1.5], [-4.24, 1.5, 4.24, 1.5]]),
    ],
)
def test_the_ready_files_know_the_other_usual_proportions(file: str, lines: list[list[float]]) -> None:
    """Common practice, no source: lines a third of the radius from the middle, or half of it, the wall two away."""
    strokes, wanted = [], []
    for k in range(4):
        x, y = 80.0 + 60 * k, 100.0
        strokes += [ring(x, y, 4.5, 32), np.array(lines) + np.array([x, y] * 2)]
        strokes.append(np.array([[x - 25, y - 9, x + 25, y - 9]]))
        wanted.append((round(x), round(y)))
    ready = load_mapping(CONFIGS / f"{file}.yaml")
    ready = replace(ready, symbols=tuple(e for e in ready.symbols if e.size == "plotted"))
    done = spot(sheet([np.concatenate(strokes)]), ready, (Scale("v1", 48.0, "note", "", "single"),))
    found = [s for s in done.symbols if s.found and s.entry.name.startswith("duplex receptacle")]
    assert [(round(s.at[0]), round(s.at[1])) for s in found] == wanted


@pytest.mark.parametrize(("drawn", "said"), [(6, True), (4, False)])
def test_outlets_that_lack_lines_one_like_the_other_tell_that_the_file_is_anothers(drawn: int, said: bool) -> None:
    """Forty questions did not say that the ready file has another design: one line does, and settles nothing."""
    shape = (CircleMark((0.0, 0.0), 0.0625), *(LineMark((x, -0.135), (x, -0.055)) for x in (-0.03, 0.0, 0.03)))
    mapping = Mapping("m.yaml", Drawing(), (SymbolEntry("range receptacle", "receptacle", shape),))
    two = np.array([[-2.16, -9.72, -2.16, -3.96], [2.16, -9.72, 2.16, -3.96]])
    places = [(60.0 + 50 * k, 100.0) for k in range(drawn)]
    outlets = []
    for x, y in places:
        wall = [[x - 20, y - 9.72, x + 20, y - 9.72]]
        outlets.append(np.r_[ring(x, y, 4.5, 32), two + np.array([x, y] * 2), wall])
    done = spot(sheet(outlets), mapping, (Scale("v1", 48.0, "note", "", "single"),))
    assert len(done.symbols) == drawn and not any(symbol.found for symbol in done.symbols)
    assert any("another office's" in note for note in done.assumptions) == said


def test_the_text_of_a_dimension_that_runs_through_the_box_is_no_mark() -> None:
    """Its words stand wholly inside one by one; the run that they belong to does not."""
    page = sheet([duplex(100, 100)], texts=[*words("8' - 0", 100, 104, line=3), *words('12"', 130, 104, line=3)])
    assert kinds(from_box(page, (85, 85, 115, 115))) == {"CircleMark": 1, "LineMark": 2}


@pytest.mark.parametrize(("protection", "found"), [(None, True), ("device", False)])
def test_a_letter_beside_a_plain_symbol_of_the_legend_may_stand_on_another_side(protection, found: bool) -> None:
    """The legend's R is right of the circle and its stem; on the plan it is below.  A label that shows protection
    is never carried over: it may be a neighbour's."""

    def plain(x: float, y: float) -> FloatArray:
        return np.r_[ring(x, y, 5.4), [[x, y - 12, x, y - 5.4]]]

    texts = words("RANGE RECEPTACLE", 560, 90, 1) + words("R", 538, 90, 0) + words("R", 98, 113, 2)
    page = sheet([plain(525, 90), plain(100, 100)], texts, legend=True)
    entry = SymbolEntry("range outlet", "receptacle", legend="RANGE RECEPTACLE", protection=protection)
    examples = gather_examples(mapping(entry), {}, sheet=page)
    assert kinds(examples.marks("range outlet")) == {"CircleMark": 1, "LineMark": 1, "TextMark": 1}
    done = spot(page, mapping(entry), (Scale("v1", 48.0, "note", "", "single"),), examples)
    assert [s.entry.name for s in done.symbols if s.at[0] < 200 and s.found] == ["range outlet"] * found


def test_entries_that_were_learnt_alike_are_told_with_their_sources() -> None:
    rows = {"duplex": "DUPLEX RECEPTACLE", "gfci": "GFCI RECEPTACLE", "quad": "QUAD OUTLET"}
    texts = [each for k, row in enumerate(rows.values()) for each in words(row, 560, 100 + 30 * k, k)]
    quad = np.r_[duplex(530, 160), [[520, 158, 540, 158], [520, 162, 540, 162]]]
    page = sheet([duplex(530, 100), duplex(530, 130), quad], texts, legend=True)
    entries = [SymbolEntry(name, "receptacle", legend=row) for name, row in rows.items()]
    found = gather_examples(mapping(*entries), {}, NO_EXAMPLES, page)
    notes = [note for note in found.notes if "alike" in note]
    assert len(notes) == 1
    assert "duplex and gfci were learnt alike" in notes[0] and "from the legend of f.pdf page 1" in notes[0]
