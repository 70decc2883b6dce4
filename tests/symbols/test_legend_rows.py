"""Rows of legends: which ink is a row's symbol."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import Drawing, Fills, FloatArray, Mapping, Mark, Sheet, Strokes, SymbolEntry, TextMark
from cordpath.symbols import gather_examples, spot
from drawn_page import duplex, frame, from_legend, kinds, legend_sheet, ring, sheet, words
from symbols.test_twins import painted


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("rules", [True, False])
def test_the_symbol_of_a_row_is_taken(side: str, rules: bool) -> None:
    page = legend_sheet(side, rules)
    assert kinds(from_legend(page, "duplex  receptacle")) == {"CircleMark": 1, "LineMark": 2}
    assert kinds(from_legend(page, "GROUND FAULT RECEPTACLE WEATHERPROOF")) == {"CircleMark": 1, "LineMark": 3}
    letters = from_legend(page, "SWITCH")
    assert letters is not None and [mark.value for mark in letters if isinstance(mark, TextMark)] == ["S"]


def test_a_description_of_two_lines() -> None:
    texts = words("DUPLEX RECEPTACLE", 560, 90, 1) + words("ABOVE COUNTER", 560, 99, 2)
    texts += words("SWITCH", 560, 130, 3)
    page = sheet([duplex(530, 94)], texts, legend=True)
    assert kinds(from_legend(page, "DUPLEX RECEPTACLE ABOVE COUNTER")) == {"CircleMark": 1, "LineMark": 2}


def test_two_columns_do_not_mix() -> None:
    texts = words("DUPLEX", 540, 90, 1) + words("LIGHT", 640, 90, 2)
    page = sheet([duplex(525, 90), ring(620, 90, 6)], texts, legend=True)
    assert kinds(from_legend(page, "DUPLEX")) == {"CircleMark": 1, "LineMark": 2}
    assert kinds(from_legend(page, "LIGHT")) == {"CircleMark": 1}


def test_a_mounting_height_beside_a_sign_is_no_description_and_no_letter_of_it() -> None:
    """It was the row's text to which the sign belongs, and the row itself had none: no outlet was looked for."""
    names = ("DUPLEX RECEPTACLE", "COUNTER RECEPTACLE", "FLOOR BOX")
    texts = [w for k, name in enumerate(names) for w in words(name, 570, 90 + 40 * k, line=2 * k)]
    texts += words('+18"', 538, 90, 11, 5.0) + words("+42 AFF", 538, 130, 13, 5.0)
    page = sheet([duplex(525, 90), duplex(525, 130), ring(525, 170, 6)], texts, legend=True)
    assert [kinds(from_legend(page, name)) for name in names[:2]] == [{"CircleMark": 1, "LineMark": 2}] * 2


def test_the_bubble_of_a_rows_number_may_stand_behind_the_sign() -> None:
    """It made two signs of each row, so that none was looked for."""
    names = ("DUPLEX RECEPTACLE", "FLOOR BOX", "JUNCTION BOX")
    texts = [w for k, name in enumerate(names) for w in words(name, 590, 90 + 40 * k, line=2 * k)]
    texts += [w for k in range(3) for w in words(str(k + 1), 558, 90 + 40 * k, line=2 * k + 1, size=6)]
    bubbles = [ring(559.65, 90 + 40 * k, 6) for k in range(3)]
    signs = [duplex(525, 90), frame(519, 124, 531, 136), ring(525, 170, 4)]
    page = sheet([*signs, *bubbles], texts, legend=True)
    assert [kinds(from_legend(page, name)) for name in names] == [
        {"CircleMark": 1, "LineMark": 2}, {"LineMark": 4}, {"CircleMark": 1}
    ]  # fmt: skip


def test_tight_rows_keep_their_own_symbols() -> None:
    """The boxes of words are higher than the letters, and overlap where rows stand close together."""
    drawings = [ring(520, 80 + 9 * k, 3.5) if k % 2 else frame(517, 77 + 9 * k, 523, 83 + 9 * k) for k in range(4)]
    names = ("FLOOR BOX", "CEILING FAN", "DOOR BELL", "SMOKE ALARM")
    texts = [w for k, name in enumerate(names) for w in words(name, 550, 80 + 9 * k, line=k, size=11)]
    page = sheet(drawings, texts, legend=True)
    assert [kinds(from_legend(page, name)) for name in names] == [{"LineMark": 4}, {"CircleMark": 1}] * 2


def test_a_leader_to_the_text_is_dropped() -> None:
    texts = words("DUPLEX", 600, 90, 1)
    page = sheet([duplex(530, 90), np.array([[545.0, 90, 594, 90]])], texts, legend=True)
    assert kinds(from_legend(page, "DUPLEX")) == {"CircleMark": 1, "LineMark": 2}


def test_rows_that_are_not_there() -> None:
    assert from_legend(legend_sheet(), "TRIPLEX RECEPTACLE") is None
    assert from_legend(legend_sheet(), "DUPLEX") is None  # a part of a row is not the row
    assert from_legend(legend_sheet(), "") is None
    assert from_legend(sheet([duplex(1, 1)], words("DUPLEX", 20, 1)), "DUPLEX") is None


# ------------------------------------------------------------------------------------ symbols higher than a row


def stems(x: float, y: float, *at: float) -> FloatArray:
    """A circle joined by lines to a wall above it: 15 pt high about a point below its middle."""
    return np.r_[ring(x, y, 4.5), [[x + u, y - 10.5, x + u, y - np.sqrt(4.5**2 - u * u)] for u in at]]


NAMES = ("DUPLEX OUTLET", "FOURPLEX OUTLET", "RANGE OUTLET", "SPECIAL OUTLET")


def tight_legend(pitch: float) -> list[FloatArray]:
    y = [80.0 + pitch * k for k in range(4)]
    cross = [[515.5, y[1], 524.5, y[1]], [520, y[1] - 4.5, 520, y[1] + 4.5]]
    return [
        stems(520, y[0], -2, 2),
        np.r_[stems(520, y[1], -2, 2), cross],
        stems(520, y[2], -2.5, 0, 2.5),
        stems(520, y[3], -2, 2),
    ]


@pytest.mark.parametrize("pitch", [18.0, 20.0, 24.0, 40.0])
@pytest.mark.parametrize("ruled", [False, True])
def test_stems_that_reach_beside_the_row_above_stay_on_their_symbol(pitch: float, ruled: bool) -> None:
    """Without them the range outlet of a tight legend was learnt as a bare circle, at 240 V."""
    rows = [80.0 + pitch * k for k in range(4)]
    texts = [word for k, name in enumerate(NAMES) for word in words(name, 550, rows[k], line=k)]
    triangle = shapely.Polygon([(520, rows[3] - 3.8), (523.3, rows[3] + 1.9), (516.7, rows[3] + 1.9)])
    fills = Fills(np.array([triangle], object), np.zeros((1, 3)), np.ones(1), np.full(1, -1), np.zeros(1, int))
    rules = [np.array([[505.0, y - pitch / 2, 700, y - pitch / 2]]) for y in rows] if ruled and pitch > 30 else []
    page = sheet([*tight_legend(pitch), *rules], texts, fills, legend=True)
    assert [kinds(from_legend(page, name)) for name in NAMES] == [
        {"CircleMark": 1, "LineMark": 2},
        {"CircleMark": 1, "LineMark": 4},
        {"CircleMark": 1, "LineMark": 3},
        {"CircleMark": 1, "LineMark": 2, "PolylineMark": 1},
    ]


def test_bars_that_end_near_the_text_are_no_leaders() -> None:
    """The level bars of a quadruplex are as long as a leader: with its text near, it was learnt as a duplex."""
    bars = [[513.0, 88, 532, 88], [513, 92, 532, 92]]
    page = sheet([np.r_[duplex(522, 90), bars]], words("QUADRUPLEX", 540, 90, 1), legend=True)
    assert kinds(from_legend(page, "QUADRUPLEX")) == {"CircleMark": 1, "LineMark": 4}
    one = sheet(
        [np.r_[ring(522, 90, 5.4), [[513.0, 90, 534, 90]]]], words("SINGLE OUTLET", 540, 90, 1), legend=True
    )
    assert kinds(from_legend(one, "SINGLE OUTLET")) == {"CircleMark": 1, "LineMark": 1}


def test_the_rules_of_a_table_that_is_drawn_cell_by_cell_are_no_marks() -> None:
    """Under a heading the first row reaches higher than its cell: its upright rules were three signs."""
    names = ("DUPLEX RECEPTACLE", "FLOOR BOX", "CEILING LIGHT")
    texts = words("ELECTRICAL LEGEND", 512, 55)
    drawn = []
    for k, name in enumerate(names):
        y = 84.0 + 24 * k
        texts += words(name, 550, y, k + 1)
        drawn += [ring(522, y, 5), np.array([[522, y - 9, 522, y - 5.0]])]
        cell = [[510.0, y - 12, 720, y - 12], [510, y - 12, 510, y + 12], [540, y - 12, 540, y + 12]]
        drawn.append(np.array([*cell, [720.0, y - 12, 720, y + 12]]))
    page = sheet([*drawn, np.array([[510.0, 144, 720, 144]])], texts, legend=True)
    assert [kinds(from_legend(page, name)) for name in names] == [{"CircleMark": 1, "LineMark": 1}] * 3


def test_stems_as_high_as_a_row_are_no_rules() -> None:
    texts = words("DUPLEX", 550, 80, 1) + words("LIGHT", 550, 94, 2)
    light = np.array([[513.0, 94, 527, 94]])
    bars = np.r_[ring(520, 80, 4.5), [[518.0, 71.5, 518, 86], [522, 71.5, 522, 86]]]
    page = sheet([bars, np.r_[ring(520, 96, 4.5), light]], texts, legend=True)
    assert kinds(from_legend(page, "DUPLEX")) == {"CircleMark": 1, "LineMark": 2}


def test_a_sign_that_reaches_below_its_row_leaves_nothing_in_the_empty_cell_of_a_shorter_column() -> None:
    """The foot of the switch was a mark of the floor box in the other column: two inches apart, they were
    looked for as one symbol, and what was found of it stood an inch beside its outlet."""
    left, right = ("DUPLEX RECEPTACLE", "CEILING LIGHT", "FLOOR BOX"), ("DOOR BELL", "SWITCH")
    texts = [w for k, name in enumerate(left) for w in words(name, 510, 88 + 12 * k, line=k, size=5)]
    texts += [w for k, name in enumerate(right) for w in words(name, 630, 88 + 12 * k, line=9 + k, size=5)]
    signs = [duplex(590, 88), ring(590, 100, 4), frame(586, 108, 594, 116)]
    signs += [ring(710, 88, 4), ring(710, 101.5, 7)]
    page = sheet(signs, texts, legend=True)
    assert kinds(from_legend(page, "FLOOR BOX")) == {"LineMark": 4}
    assert kinds(from_legend(page, "SWITCH")) == {"CircleMark": 1}


def test_symbols_that_touch_are_cut_and_that_is_told() -> None:
    entry = SymbolEntry("fourplex", "receptacle", legend="FOURPLEX OUTLET")
    for pitch, told in ((15.0, True), (20.0, False)):
        texts = [word for k, name in enumerate(NAMES) for word in words(name, 550, 80 + pitch * k, line=k)]
        page = sheet(tight_legend(pitch), texts, legend=True)
        notes = gather_examples(Mapping("m.yaml", Drawing(), (entry,)), {}, sheet=page).notes
        assert any("touches that of the next row" in note for note in notes) == told


def touching_rows(first: str, second: str, reach: float) -> tuple[Sheet, Mapping]:
    """A legend of a duplex, and of one that has a line across its bars, whose circle touches the next row's bars;
    each of them on the plan as well."""
    barred = np.r_[ring(0, 0, 5.4), [[-2, -reach, -2, 5.0], [2, -reach, 2, 5]]]
    ticked = np.r_[barred, [[-5, -reach, 5, -reach]]]
    at = [(525, 60), (525, 94), (525, 111), (150, 150), (250, 150)]
    drawn = [
        np.asarray(one) + np.tile(to, 2)
        for one, to in zip((barred, ticked, barred, barred, ticked), at, strict=True)
    ]
    names = (first, second, "RANGE OUTLET")
    texts = [word for k, name in enumerate(names) for word in words(name, 550, at[k][1], line=k)]
    kind = {"LIGHT": "light"}
    entries = [SymbolEntry(n, kind.get(n.split()[-1], "receptacle"), legend=n) for n in names]
    entries[0] = replace(entries[0], protection="device" if "GFCI" in first else None)
    return sheet(drawn, texts, legend=True), Mapping("m.yaml", Drawing(), tuple(entries))


@pytest.mark.parametrize("first", ["GFCI OUTLET", "CEILING LIGHT"])
def test_an_outlet_whose_row_was_cut_has_no_other_name_for_certain(first: str) -> None:
    """Its bars reached the row above and belonged to neither: a bare circle was looked for, and every outlet of
    the row was the ground-fault one, or the light."""
    page, mapping = touching_rows(first, "COUNTER OUTLET", 18.0)
    examples = gather_examples(mapping, {}, sheet=page)
    assert kinds(examples.shapes["COUNTER OUTLET"])["LineMark"] >= 2
    done = spot(page, mapping, (), examples)
    here = [s for s in done.symbols if np.hypot(s.at[0] - 250, s.at[1] - 150) < 12]
    assert not any(symbol.found and symbol.entry.name != "COUNTER OUTLET" for symbol in here)
    assert any(s.is_outlet for s in here) or any(
        np.hypot(x - 250, y - 150) < 12 for u in done.unexplained for x, y in u.at
    )


def test_what_is_drawn_as_in_a_row_that_was_cut_is_asked_about() -> None:
    page, mapping = touching_rows("DUPLEX OUTLET", "COUNTER LIGHT", 14.0)
    done = spot(page, mapping, (), gather_examples(mapping, {}, sheet=page))
    cut = [s for s in done.symbols if s.entry.name in ("COUNTER LIGHT", "RANGE OUTLET") and s.view]
    assert not any(symbol.found for symbol in cut)
    lights = [s.at for s in cut if not s.is_outlet]
    assert all(at in [place for item in done.unexplained for place in item.at] for at in lights)


def test_a_leader_that_is_left_out_is_told() -> None:
    entry = SymbolEntry("duplex", "receptacle", legend="DUPLEX")
    page = sheet([duplex(530, 90), np.array([[545.0, 90, 594, 90]])], words("DUPLEX", 600, 90, 1), legend=True)
    notes = gather_examples(Mapping("m.yaml", Drawing(), (entry,)), {}, sheet=page).notes
    assert "duplex: a line to its text was taken for a leader" in notes


# -------------------------------------------------------------------------------------- the frame of a legend


@pytest.mark.parametrize(
    ("sides", "column", "symbol", "plan"), [((535, 640), 555, 545, 505), ((555, 630), 610, 620, 655)]
)
def test_ink_beyond_the_frame_is_no_part_of_a_symbol(
    sides: tuple[float, float], column: float, symbol: float, plan: float
) -> None:
    """A plan beside a small legend stands nearer to the text than symbols may."""
    names = ("DUPLEX", "FLOOR BOX", "SMOKE ALARM")
    texts = [w for k, name in enumerate(names) for w in words(name, 560, 80 + 9 * k, line=k, size=4)]
    rows = [frame(sides[0], 75.5 + 9 * k, sides[1], 84.5 + 9 * k) for k in range(3)]
    bars = [np.array([[column, 75.5 + 9 * k, column, 84.5 + 9 * k]]) for k in range(3)]
    beyond = [ring(plan, 80, 3.0), np.array([[plan, 91.0, plan + 3, 88.0], [plan, 100.0, plan + 3, 97.0]])]
    page = sheet(
        [*rows, *bars, *beyond, *(ring(symbol, 80 + 9 * k, 2 + k / 2) for k in range(3))], texts, legend=True
    )
    assert [kinds(from_legend(page, name)) for name in names] == [{"CircleMark": 1}] * 3


@pytest.mark.parametrize("mark", [[[524.0, 78, 530, 82]], [[536.0, 90, 548, 90]]])
def test_a_solid_sign_is_no_background_of_the_line_at_its_side(mark: list[list[float]]) -> None:
    """A solid square with a tick or a stem was learnt as that line alone, and found nowhere."""
    page = sheet([np.array(mark)], words("FLOOR BOX", 570, 90), painted(shapely.box(524, 84, 536, 96)), legend=True)
    assert kinds(from_legend(page, "FLOOR BOX")) == {"PolylineMark": 1, "LineMark": 1}


def test_a_tinted_row_behind_its_sign_is_no_mark() -> None:
    tint = painted(shapely.box(505, 72, 555, 108))
    page = sheet([duplex(530, 90)], words("DUPLEX RECEPTACLE", 570, 90), tint, legend=True)
    assert kinds(from_legend(page, "DUPLEX RECEPTACLE")) == {"CircleMark": 1, "LineMark": 2}


@pytest.mark.parametrize(("radius", "sides", "learnt"), [(6, 8, {"LineMark": 8}), (6, 24, {"CircleMark": 1})])
def test_a_polygon_is_learnt_as_its_sides(radius: float, sides: int, learnt: dict[str, int]) -> None:
    """An octagon was learnt as a circle, and lost where the sheet draws its sides in pieces."""
    page = sheet([ring(530, 90, radius, sides)], words("FLOOR BOX", 570, 90), legend=True)
    assert kinds(from_legend(page, "FLOOR BOX")) == learnt


GUARDED = "GFCI DUPLEX RECEPTACLE"


def rows_with_gfi(apart: float, above: float, names: tuple[str, str], size: float = 7.0) -> Sheet:
    """Two outlets in a legend, GFI ``above`` the middle of the second."""
    texts = words(names[0], 560, 90, 1) + words(names[1], 560, 90 + apart, 2)
    texts += [
        replace(words("GFI", 0, 0, 3, size)[0], box=(523.0, 90 + apart - above - 3, 537.0, 90 + apart - above + 3))
    ]
    return sheet([level(530, 90), level(530, 90 + apart)], texts, legend=True)


def level(x: float, y: float) -> FloatArray:
    return np.r_[ring(x, y, 5.4), [[x - 9, y - 2, x + 9, y - 2], [x - 9, y + 2, x + 9, y + 2]]]


def texts_of(marks: tuple[Mark, ...] | None) -> list[str]:
    return [mark.value for mark in marks or () if isinstance(mark, TextMark)]


@pytest.mark.parametrize("apart", [20.0, 24.0, 30.0])
def test_letters_over_a_symbol_are_not_those_of_the_row_above(apart: float) -> None:
    """In tight rows the text above was nearer: the plain outlet was learnt with GFI and the guarded one without, so
    every plain outlet of the plans was one that protects itself."""
    page = rows_with_gfi(apart, 11.0, ("DUPLEX RECEPTACLE", GUARDED))
    assert [texts_of(from_legend(page, row)) for row in ("DUPLEX RECEPTACLE", GUARDED)] == [[], ["GFI"]]


def test_letters_that_may_be_of_either_row_settle_nothing() -> None:
    names = ("FLOOR BOX OUTLET", "SPECIAL OUTLET")
    page = rows_with_gfi(21.0, 10.5, names)
    entries = tuple(SymbolEntry(name, "receptacle", legend=name) for name in names)
    mapping = Mapping("m.yaml", Drawing(), entries)
    examples = gather_examples(mapping, {}, sheet=page)
    assert {each.name for each in examples.learnt if "may be a mark of either" in each.doubt} == set(names)
    plan = replace(page, strokes=Strokes.of(np.r_[page.strokes.xy, level(200, 200)]))
    found = [s for s in spot(plan, mapping, (), examples).symbols if s.at[0] < 450]
    assert found and not any(symbol.found for symbol in found)
    assert "is not sure" in found[0].reasons[-1]


def test_leaders_of_the_rows_above_and_below_are_no_bars() -> None:
    """Leaders that begin and end alike were taken for bars of symbols, each for the other's like."""
    texts = [w for k, name in enumerate(("DUPLEX", "QUADRUPLEX")) for w in words(name, 600, 90 + 30 * k, k)]
    lines = [np.array([[545.0, 90 + 30 * k, 594, 90 + 30 * k]]) for k in range(2)]
    page = sheet([duplex(530, 90), duplex(530, 120), *lines], texts, legend=True)
    assert kinds(from_legend(page, "DUPLEX")) == {"CircleMark": 1, "LineMark": 2}


def test_a_heading_over_the_symbols_does_not_cut_them_off() -> None:
    texts = words("DUPLEX RECEPTACLE", 560, 90, 1) + words("LIGHTING", 515, 115, 2)
    texts += words("CEILING LIGHT", 560, 140, 3)
    page = sheet([duplex(530, 90), ring(530, 140, 6)], texts, legend=True)
    assert kinds(from_legend(page, "CEILING LIGHT")) == {"CircleMark": 1}
    assert kinds(from_legend(page, "DUPLEX RECEPTACLE")) == {"CircleMark": 1, "LineMark": 2}


@pytest.mark.parametrize(("text", "x"), [("=", 546), ("1.", 508), ("-", 548)])
def test_a_number_or_a_dash_is_no_mark(text: str, x: float) -> None:
    """``1. symbol = DESCRIPTION``: with the text as a mark no outlet of the plans was found for certain."""
    page = sheet([duplex(530, 90)], words("DUPLEX", 560, 90, 1) + words(text, x, 90, 2), legend=True)
    assert kinds(from_legend(page, "DUPLEX")) == {"CircleMark": 1, "LineMark": 2}


def test_letters_of_four_over_a_symbol_are_its_mark() -> None:
    """GFCI was taken for a description, which ended the cell beside it."""
    texts = words(GUARDED, 560, 90, 1) + words("CEILING LIGHT", 560, 130, 2) + words("GFCI", 521, 78, 3, 5.0)
    page = sheet([duplex(530, 92), ring(530, 130, 6)], texts, legend=True)
    assert texts_of(from_legend(page, GUARDED)) == ["GFCI"]


def test_the_ground_of_a_cell_is_no_mark_of_its_symbol() -> None:
    """A table with every other row tinted: a solid symbol was learnt with the tint of its cell."""
    texts = words("DATA OUTLET", 560, 90, 1) + words("TELEPHONE OUTLET", 560, 116, 2)
    rules = [np.array([[x, 77, x, 129]]) for x in (505.0, 555.0, 700.0)]
    rules += [np.array([[505, y, 700, y]]) for y in (77.0, 103.0, 129.0)]
    fills = painted(shapely.box(505, 77, 555, 103), shapely.Polygon([(524, 95), (536, 95), (530, 84)]))
    fills = replace(fills, colour=np.array([[0.8] * 3, [0.0] * 3]))
    page = sheet([*rules, ring(530, 116, 6)], texts, fills, legend=True)
    marks = from_legend(page, "DATA OUTLET")
    assert marks is not None and len(marks) == 1


def test_a_letter_of_a_learnt_shape_is_no_label_of_the_outlet() -> None:
    """A duplex drawn as a circle with D, by the legend's row, served a dryer: half of an office's outlets asked."""
    lettered = [np.r_[ring(x, y, 6), [[x, y - 10, x, y - 6]]] for x, y in ((520.0, 90.0), (100.0, 200.0))]
    texts = words("DUPLEX OUTLET", 560, 90, 1) + words("D", 518, 90, 2) + words("D", 98, 200, 3)
    page = sheet(lettered, texts, legend=True)
    mapping = Mapping("m.yaml", Drawing(), (SymbolEntry("duplex", "receptacle", legend="DUPLEX OUTLET"),))
    (outlet,) = spot(page, mapping, (), gather_examples(mapping, {}, sheet=page)).symbols
    assert outlet.found and outlet.letters == ("D",)
    assert outlet.labels == () and outlet.fact("serves") is None


def test_a_symbol_of_small_pieces_is_not_its_neighbours() -> None:
    """Two arcs that the line of their row does not cross, below an outlet and above a ring."""
    names = ("DUPLEX RECEPTACLE", "FLOOR BOX", "CEILING LIGHT")
    texts = [w for k, name in enumerate(names) for w in words(name, 560, 90 + 22 * k, k)]
    half = ring(530, 112, 6)
    arcs = half[np.abs(half[:, [1, 3]] - 112).min(axis=1) > 2.0]
    page = sheet([level(530, 90), arcs, ring(530, 134, 6)], texts, legend=True)
    assert kinds(from_legend(page, "FLOOR BOX")) == {"LineMark": len(arcs)}
    assert kinds(from_legend(page, "DUPLEX RECEPTACLE")) == {"CircleMark": 1, "LineMark": 2}
    assert kinds(from_legend(page, "CEILING LIGHT")) == {"CircleMark": 1}


@pytest.mark.parametrize(("said", "above", "taken"), [("GFI", 11.0, ["GFI"]), ("SYMBOL", 24.0, [])])
def test_a_word_over_the_first_row(said: str, above: float, taken: list[str]) -> None:
    """GFI stood outside of the first row's cell, which is as high as that of the others: it was learnt without."""
    texts = words(GUARDED, 560, 90, 1) + words("CEILING LIGHT", 560, 109, 2) + words("SWITCH", 560, 128, 3)
    texts += [replace(word, box=(523.0, 87 - above, 537.0, 93 - above)) for word in words(said, 0, 0, 4)]
    page = sheet([level(530, 90), ring(530, 109, 5), ring(530, 128, 4)], texts, legend=True)
    assert texts_of(from_legend(page, GUARDED)) == taken


@pytest.mark.parametrize("bubbles", [True, False])
def test_the_number_of_a_row_is_no_mark_and_its_bubble_neither(bubbles: bool) -> None:
    """Each symbol was learnt with the bubble left of it, and none was found on the plans."""
    texts, drawings = [], []
    for k, name in enumerate(("DUPLEX RECEPTACLE", "SPECIAL OUTLET", "CEILING LIGHT")):
        y = 90.0 + 28 * k
        texts += words(name, 580, y, k) + words(str(k + 8), 508 if k else 510, y, 10 + k)
        drawings += [duplex(545, y) if k else ring(545, y, 6), *([ring(512, y, 8)] if bubbles else [])]
    page = sheet(drawings, texts, legend=True)
    assert kinds(from_legend(page, "DUPLEX RECEPTACLE")) == {"CircleMark": 1}
    assert kinds(from_legend(page, "SPECIAL OUTLET")) == {"CircleMark": 1, "LineMark": 2}


def test_the_numbers_of_switches_are_their_marks() -> None:
    texts, drawings = [], []
    for k, name in enumerate(("SINGLE POLE SWITCH", "THREE WAY SWITCH", "FOUR WAY SWITCH")):
        y = 90.0 + 28 * k
        texts += words(name, 580, y, k) + words("S", 540, y, 10 + k) + words(str(k + 2), 545, y + 2, 20 + k, 5.0)
        drawings += [np.array([[532.0, y - 6, 532, y + 6]])]
    marks = from_legend(sheet(drawings, texts, legend=True), "THREE WAY SWITCH")
    assert texts_of(marks) == ["S", "3"]
