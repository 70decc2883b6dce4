"""Legends in other layouts than sign and description: more columns, two signs a row, texts on end."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import Drawing, Mapping, Sheet, SymbolEntry, TextMark, Word
from cordpath.symbols import gather_examples, spot
from cordpath.symbols.learning.samples import legend_samples
from cordpath.symbols.learning.starter import entries, starter_text
from drawn_page import LEGEND, duplex, frame, from_legend, kinds, ring, sheet, words
from symbols.test_twins import painted

PITCH = 24.0
NAMES = ("DUPLEX RECEPTACLE", "FLOOR BOX", "CEILING LIGHT", "JUNCTION BOX", "DISCONNECT SWITCH")
PLAIN = ({"CircleMark": 1, "LineMark": 2}, {"LineMark": 4}, {"CircleMark": 1}, {"CircleMark": 1, "LineMark": 1},
         {"LineMark": 5})  # fmt: skip


def sign(k: int, x: float, y: float) -> np.ndarray:
    ticked = np.array([[x - 7, y, x - 4, y]])
    return (
        duplex(x, y),
        frame(x - 6, y - 6, x + 6, y + 6),
        ring(x, y, 6),
        np.r_[ring(x, y, 4), ticked],
        np.r_[frame(x - 6, y - 4, x + 6, y + 4), [[x - 6, y + 4, x + 6, y - 4]]],
    )[k]


def rows(beside: tuple[str, ...], at: float, text: float, signs: float = 520.0) -> Sheet:
    """A legend of five rows with further texts ``at`` a place between the signs and the descriptions."""
    drawings, texts = [], []
    for k, name in enumerate(NAMES):
        y = 80 + PITCH * k
        drawings.append(sign(k, signs, y))
        texts += words(name, text, y, 2 * k) + words(beside[k], at, y, 2 * k + 1)
    return sheet(drawings, texts, legend=True)


@pytest.mark.parametrize(
    ("beside", "at", "text"),
    [
        (("DR", "FB", "LT", "JB", "DS"), 550.0, 580.0),
        (("ELEC-DR-01", "ELEC-FB-01", "ELEC-LT-01", "ELEC-JB-01", "ELEC-DS-01"), 548.0, 625.0),
        (('+18"', '+0"', '+96"', '+42"', '+60"'), 545.0, 580.0),
        (('+18"', '+12"', '+96"', '+42"', '+60"'), 690.0, 550.0),
    ],
    ids=["abbreviations", "block names", "heights", "heights behind"],
)
def test_a_column_of_other_texts_is_no_description_and_no_mark(
    beside: tuple[str, ...], at: float, text: float
) -> None:
    page = rows(beside, at, text)
    assert [kinds(from_legend(page, name)) for name in NAMES] == list(PLAIN)
    assert [(s.text, kinds(s.marks)) for s in legend_samples(page)] == list(zip(NAMES, PLAIN, strict=True))


def test_letters_close_to_every_sign_are_marks() -> None:
    page = rows(("GFI", "WP", "TR", "IG", "USB"), 530.0, 560.0)
    marks = [from_legend(page, name) or () for name in NAMES]
    assert [[m.value for m in each if isinstance(m, TextMark)] for each in marks] == [
        ["GFI"], ["WP"], ["TR"], ["IG"], ["USB"]
    ]  # fmt: skip


def test_letters_alone_are_signs_and_no_column() -> None:
    texts = []
    for k, letters in enumerate(("S", "S3", "S4", "SD", "SK")):
        texts += words(letters, 520, 80 + PITCH * k, 2 * k) + words(NAMES[k], 560, 80 + PITCH * k, 2 * k + 1)
    page = sheet([ring(700, 240, 5)], texts, legend=True)
    assert [kinds(s.marks) for s in legend_samples(page)] == [{"TextMark": 1}] * 5


def test_of_two_signs_alike_in_a_row_one_is_taken() -> None:
    page = rows(("",) * 5, 0.0, 600.0)
    turned = [sign(0, 560, 80)[:, [1, 0, 3, 2]] + np.array([480.0, -480.0] * 2), sign(4, 560, 80 + 4 * PITCH)]
    two = replace(page, strokes=sheet([page.strokes.xy, *turned]).strokes)
    assert [kinds(from_legend(two, name)) for name in NAMES] == list(PLAIN)


def two_different() -> Sheet:
    page = rows(("",) * 5, 0.0, 600.0)
    return replace(page, strokes=sheet([page.strokes.xy, sign(1, 560, 80 + 4 * PITCH)]).strokes)


def test_of_two_different_signs_none_is_taken_and_that_is_told_where_the_row_is() -> None:
    page = two_different()
    mapped = tuple(SymbolEntry(name, "receptacle", legend=name) for name in NAMES)
    rules = Mapping("m.yaml", Drawing(), mapped)
    examples = gather_examples(rules, {}, sheet=page)
    assert not examples.marks(NAMES[4]) and examples.marks(NAMES[0])
    told = [each for each in spot(page, rules, (), examples).unexplained if NAMES[4] in each.what]
    assert len(told) == 1 and told[0].is_outlet and "2 different signs" in told[0].what
    assert 590 < told[0].at[0][0] < 700 and told[0].at[0][1] == pytest.approx(80 + 4 * PITCH)
    refused = [s for s in legend_samples(page) if s.text == NAMES[4]]
    assert len(refused) == 1 and not refused[0].marks and "2 different signs" in refused[0].said[0]


def test_an_outlet_whose_words_stand_beside_no_sign_is_told() -> None:
    page = rows(("",) * 5, 0.0, 600.0)
    page = replace(page, words=(*page.words, *words("RANGE OUTLET", 200, 300, 90)))
    mapped = tuple(
        SymbolEntry(name, "receptacle", legend=name) for name in (*NAMES, "RANGE OUTLET", "DRYER OUTLET")
    )
    missed = gather_examples(Mapping("m.yaml", Drawing(), mapped), {}, sheet=page).missed
    assert [each.at[0] for each in missed] == [(pytest.approx(224, abs=3), pytest.approx(300))]


def on_end(page: Sheet, angle: float) -> Sheet:
    """The page with its legend turned to read upwards (90), upside down (180) or downwards (270)."""

    def turn(x: float, y: float) -> tuple[float, float]:
        return {90: (y + 400, 900 - x), 180: (1100 - x, 700 - y), 270: (700 - y, x - 400)}[int(angle)]

    def box(b: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
        (x0, y0), (x1, y1) = turn(*b[:2]), turn(*b[2:])
        return (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))

    def word(each: Word) -> Word:
        return replace(each, box=box(each.box), angle=angle)

    xy = np.array([[*turn(*row[:2]), *turn(*row[2:])] for row in page.strokes.xy.tolist()])
    region = replace(page.regions[0], box=box(LEGEND))
    strokes = sheet([xy]).strokes
    return replace(page, strokes=strokes, words=tuple(map(word, page.words)), regions=(region,))


@pytest.mark.parametrize("angle", [90.0, 180.0, 270.0])
def test_a_legend_on_end_is_read(angle: float) -> None:
    page = on_end(rows(("",) * 5, 0.0, 560.0), angle)
    assert [kinds(from_legend(page, name)) for name in NAMES] == list(PLAIN)
    assert [s.text for s in legend_samples(page)] == list(NAMES)
    mapped = (SymbolEntry("box", "receptacle", legend=NAMES[1]),)
    learnt = gather_examples(Mapping("m.yaml", Drawing(), mapped), {}, sheet=page).learnt[0]
    signs = frame(514, 98, 526, 110)
    drawn = on_end(sheet([signs], legend=True), angle).strokes.xy
    assert learnt.box is not None
    assert learnt.box[0] <= drawn.min(0)[0] and learnt.box[3] >= drawn.max(0)[3]


def test_signs_right_of_their_texts_in_two_columns() -> None:
    drawings, texts = [], []
    for k, name in enumerate(NAMES):
        x, y = 505.0 + 130 * (k // 3), 80 + PITCH * (k % 3)
        texts += words(name, x, y, k)
        drawings.append(sign(k, x + 100, y))
    page = sheet(drawings, texts, legend=True)
    assert [kinds(from_legend(page, name)) for name in NAMES] == list(PLAIN)


def test_frames_about_every_sign_are_no_marks() -> None:
    page = rows(("",) * 5, 0.0, 560.0)
    frames = [frame(506, 80 + PITCH * k - 11.5, 534, 80 + PITCH * k + 11.5) for k in range(5)]
    page = replace(page, strokes=sheet([page.strokes.xy, *frames]).strokes)
    assert [kinds(from_legend(page, name)) for name in NAMES] == list(PLAIN)


def test_leaders_that_bend_are_no_marks() -> None:
    page = rows(("",) * 5, 0.0, 575.0)
    y = [80 + PITCH * k for k in range(5)]
    bent = [np.array([[532, at - 3, 545, at], [545, at, 572, at]]) for at in y]
    page = replace(page, strokes=sheet([page.strokes.xy, *bent]).strokes)
    assert [kinds(from_legend(page, name)) for name in NAMES] == list(PLAIN)


def test_the_number_of_a_solid_sign_is_no_mark() -> None:
    texts = []
    for k in range(3):
        texts += words(str(k + 1), 508, 80 + 24 * k, 2 * k) + words(NAMES[k], 560, 80 + 24 * k, 2 * k + 1)
    bubbles = [ring(510, 80 + 24 * k, 7) for k in range(3)]
    solid = painted(shapely.Polygon([(530, 133), (542, 133), (536, 122)]))
    page = sheet([*bubbles, *(sign(k, 536, 80 + 24 * k) for k in range(2))], texts, solid, legend=True)
    assert [kinds(from_legend(page, name)) for name in NAMES[:3]] == [*PLAIN[:2], {"PolylineMark": 1}]


@pytest.mark.parametrize(
    ("text", "letters", "left_out"),
    [
        ("GROUND FAULT INTERRUPTER", "GFI", True),
        ("ABOVE FINISHED FLOOR", "AFF", True),
        ("SINGLE POLE SWITCH", "S", False),
        ("SMOKE DETECTOR", "SD", False),
    ],
)
def test_letters_that_abbreviate_are_no_symbol(text: str, letters: str, left_out: bool) -> None:
    """GFI as a receptacle of letters would have every label beside an outlet for an outlet that protects itself."""
    page = sheet([], words(letters, 520, 80, 0) + words(text, 560, 80, 1), legend=True)
    assert [entry.refused is not None for entry in entries(legend_samples(page), ())] == [left_out]


@pytest.mark.parametrize("text", ["- RANGE OUTLET", "RANGE OUTLET .......", "= RANGE OUTLET"])
def test_dots_and_dashes_about_a_description_are_no_name(text: str) -> None:
    page = sheet([duplex(520, 80)], words(text, 560, 80), legend=True)
    assert [entry.name for entry in entries(legend_samples(page), ())] == ["range outlet"]


def bars(x: float, y: float, count: int) -> list[shapely.Polygon]:
    """Upright bars as wide as a pen, side by side: letters that nobody can read."""
    return [shapely.box(x + 3 * k, y - 3, x + 3 * k + 1, y + 3) for k in range(count)]


def test_drawn_letters_of_a_side_text_and_dots_are_no_marks() -> None:
    page = rows(("ELEC-DR-01", "ELEC-FB-01", "ELEC-LT-01", "ELEC-JB-01", "ELEC-DS-01"), 548.0, 625.0)
    drawn = tuple(replace(word, origin="outline") if word.box[0] < 600 else word for word in page.words)
    y = [80 + PITCH * k for k in range(5)]
    ink = [bar for at in y for bar in bars(550, at, 8)]
    ink += [shapely.box(532 + 2 * k, at - 0.5, 533 + 2 * k, at + 0.5) for at in y for k in range(6)]
    page = replace(page, words=drawn, fills=painted(*ink))
    assert [kinds(from_legend(page, name)) for name in NAMES] == list(PLAIN)


def test_a_text_beside_a_sign_that_nobody_can_read_is_told_and_not_learnt() -> None:
    """A sign with a text that was taken with it is drawn nowhere on the plan, and its outlets would be lost."""
    page = replace(rows(("",) * 5, 0.0, 600.0), fills=painted(*bars(528, 80, 5)))
    mapped = tuple(SymbolEntry(name, "receptacle", legend=name) for name in NAMES[:2])
    rules = Mapping("m.yaml", Drawing(), mapped)
    examples = gather_examples(rules, {}, sheet=page, read=lambda glyphs, filled: [{"X": 0.1} for _ in glyphs])
    assert not examples.marks(NAMES[0]) and examples.marks(NAMES[1])
    assert len(examples.missed) == 1 and "could not be read" in examples.missed[0].what
    refused = entries(legend_samples(page), ())[0].refused
    assert refused is not None and "could not be read" in refused


def test_an_abbreviation_keeps_its_dot() -> None:
    page = sheet([duplex(520, 80)], words("DUPLEX RECEPT.", 560, 80), legend=True)
    assert [entry.name for entry in entries(legend_samples(page), ())] == ["duplex recept."]


def test_signs_right_of_their_texts_stand_behind_the_longest() -> None:
    """A short text stood 1.5 in. and more from its sign, and its row was left out as one that shows nothing."""
    drawings, texts = [], []
    names = ("DUPLEX", "QUAD", "RANGE OUTLET WITH A LONG DESCRIPTION", "LIGHT")
    for k, name in enumerate(names):
        drawings.append(duplex(735, 80 + 30.0 * k))
        texts += words(name, 510, 80 + 30.0 * k, k)
    page = sheet(drawings, texts, legend=True)
    narrow = replace(page.regions[0], box=(500.0, 40.0, 670.0, 260.0))
    assert [len(s.marks) for s in legend_samples(replace(page, regions=(narrow,)))] == [3] * 4


def test_a_row_that_shows_nothing_is_left_out_for_that_reason() -> None:
    """It was said of it that a line or two cannot be told from other lines."""
    page = sheet([duplex(520, 80)], words("RANGE OUTLET", 560, 80) + words("QUAD OUTLET", 560, 140, 1), legend=True)
    made = entries(legend_samples(page), ())
    assert [entry.refused for entry in made] == [None, "nothing was found drawn beside its words"]
    assert starter_text(made).count("nothing was found drawn beside its words") == 1


def test_a_description_is_not_cut_where_the_region_ends() -> None:
    """Its last word, in drawn letters, would be marks of a sign."""
    page = sheet([duplex(520, 80), frame(630, 76, 640, 84)], words("RANGE RECEPTACLE", 560, 80), legend=True)
    narrow = replace(page.regions[0], box=(500.0, 40.0, 600.0, 260.0))
    assert [s.text for s in legend_samples(replace(page, regions=(narrow,)))] == ["RANGE RECEPTACLE"]


def test_drawn_letters_that_do_not_begin_in_one_line_are_lines_of_one_row() -> None:
    drawings, texts = [], []
    for k, name in enumerate(NAMES):
        y = 80 + 34.0 * k
        drawings.append(sign(k, 520, y))
        texts += words(name, 561.2 - 0.5 * k, y - 4.5, 2 * k) + words("SEE NOTES", 560, y + 4.5, 2 * k + 1)
    page = sheet(drawings, texts, legend=True)
    assert [(s.text, kinds(s.marks)) for s in legend_samples(page)] == [
        (f"{name} SEE NOTES", marks) for name, marks in zip(NAMES, PLAIN, strict=True)
    ]


def boxed(x: float, y: float, up: int = 1) -> np.ndarray:
    """A square with two lines that lead out of it, upwards (1) or downwards (-1)."""
    stems = [[x + off, y + 5 * up, x + off, y - 12 * up] for off in (-2, 2)]
    return np.r_[frame(x - 5, y - 5, x + 5, y + 5), stems]


def test_the_stems_of_a_plain_sample_show_its_wall_side() -> None:
    """An entry need not name what its legend shows; stems that lead away from the wall show none."""
    wall = np.array([[60.0, 88.0, 400.0, 88.0], [60.0, 80.0, 400.0, 80.0]])
    drawn = [boxed(520, 80), boxed(120, 100), boxed(220, 100), boxed(320, 93, -1), boxed(220, 300)]
    page = sheet([*drawn, wall], words("DUPLEX RECEPTACLE", 560, 80), legend=True)
    mapping = Mapping("m.yaml", Drawing(), (SymbolEntry("duplex", "receptacle", legend="DUPLEX RECEPTACLE"),))
    found = spot(page, mapping, (), gather_examples(mapping, {}, sheet=page)).symbols
    assert [(round(s.at[0] / 10) * 10, s.found) for s in found if s.at[1] < 200] == [
        (120, True), (220, True), (320, False)
    ]  # fmt: skip
    assert [s.found for s in found if s.at[1] > 200] == [False]


def test_the_stems_of_a_sign_are_the_wall_side_of_its_entry() -> None:
    """Without one a plain square with two stems was asked about on every wall, and named a richer one."""
    page = sheet([boxed(520, 80), duplex(520, 120)], words("WALL OUTLET", 560, 80) + words("LIGHT", 560, 120, 1),
                 legend=True)  # fmt: skip
    made = entries(legend_samples(page), ())
    assert [entry.wall_side for entry in made] == [(0.0, -1.0), None]
    assert "wall_side: [0, -1]  # the ends of its lines lead there" in starter_text(made)


def test_both_columns_of_two_signs_a_row_are_columns_of_samples() -> None:
    drawings, texts = [], []
    for k, name in enumerate(NAMES):
        y = 80 + PITCH * k
        drawings += [sign(k, 520, y), sign(k, 560, y)]
        texts += words(name, 600, y, k)
    page = sheet(drawings, texts, legend=True)
    mapping = Mapping("m.yaml", Drawing(), tuple(SymbolEntry(name, "receptacle", legend=name) for name in NAMES))
    assert not spot(page, mapping, (), gather_examples(mapping, {}, sheet=page)).symbols


@pytest.mark.parametrize("letter", ["G", "WP", "GFI"])
@pytest.mark.parametrize("gap", [1.0, 8.0, 14.0])
def test_a_letter_of_a_sign_that_stands_near_its_words_is_none_of_them(letter: str, gap: float) -> None:
    """It was the first word of the description, and the sign was learnt without it: as a plain outlet."""
    drawings = [duplex(520, 80), duplex(520, 104), ring(520, 128, 6), duplex(520, 152), duplex(520, 176)]
    names = ("DUPLEX RECEPTACLE", "GFCI RECEPTACLE", "CEILING LIGHT", "RANGE OUTLET", "FLOOR OUTLET")
    texts = [word for k, name in enumerate(names) for word in words(name, 556, 80 + PITCH * k, k)]
    texts += words(letter, 527 + gap, 104, 9) + words("F", 527 + gap, 176, 10)
    page = sheet(drawings, texts, legend=True)
    samples = {sample.text: sample.marks for sample in legend_samples(page)}
    assert [*samples] == list(names)
    for marks in (samples["GFCI RECEPTACLE"], from_legend(page, "GFCI RECEPTACLE") or ()):
        assert [mark.value for mark in marks if isinstance(mark, TextMark)] == [letter]


def test_a_short_first_word_in_the_column_of_the_descriptions_is_one_of_its_words() -> None:
    names = ("DUPLEX RECEPTACLE", "AC OUTLET", "TV OUTLET", "CEILING LIGHT")
    texts = [word for k, name in enumerate(names) for word in words(name, 556, 80 + PITCH * k, k)]
    page = sheet([duplex(520, 80 + PITCH * k) for k in range(4)], texts, legend=True)
    assert [sample.text for sample in legend_samples(page)] == list(names)


@pytest.mark.parametrize("heights", [(18, 18, 18, 48, 48), (18, 48, 18, 18, 18)])
def test_a_column_that_says_the_same_in_many_rows_is_none_of_signs(heights: tuple[int, ...]) -> None:
    """Heights in drawn letters far behind the descriptions, with a heading: every row had something right of it,
    one more than signs, and all outlets of a legend were learnt as the letters of their height."""
    page = rows(("",) * 5, 0.0, 550.0)
    ink = [bar for k, height in enumerate(heights) for bar in bars(735, 80 + PITCH * k, height // 12)]
    head = words("DESCRIPTION", 550, 60, 20) + words("MTG. HT.", 700, 60, 21)
    page = replace(page, words=(*page.words, *head), fills=painted(*ink, *bars(735, 60, 2)))
    assert [kinds(from_legend(page, name)) for name in NAMES] == list(PLAIN)
    assert [(s.text, kinds(s.marks)) for s in legend_samples(page)] == list(zip(NAMES, PLAIN, strict=True))


@pytest.mark.parametrize(("confidence", "told"), [(1.0, False), (0.6, True)])
def test_a_row_whose_words_were_not_read_for_sure_is_to_be_looked_over(confidence: float, told: bool) -> None:
    """Of SPECIAL PURPOSE RECEPTACLE, 240V the 0V was lost: nothing said that its 125 V rest on a piece of them."""
    page = sheet([duplex(520, 80)], words("SPECIAL PURPOSE RECEPTACLE, 24", 560, 80), legend=True)
    drawn = replace(page, words=tuple(replace(word, confidence=confidence) for word in page.words))
    (entry,) = entries(legend_samples(drawn), ())
    assert any("read for sure" in remark for remark in entry.remarks) is told and entry.refused is None
