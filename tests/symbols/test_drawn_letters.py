"""Letters that are drawn: read where a symbol has them, and no lines of nobody's where a word lies across one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import ArcMark, CircleMark, LineMark, PolylineMark, Sheet, Spotting, TextMark, Word
from cordpath.sheet import read_glyphs
from cordpath.symbols import spot
from cordpath.symbols.letters.drawn_words import may_be_left_of, may_be_part
from cordpath.symbols.letters.glyphs import Glyphs, whole_rows
from cordpath.symbols.letters.words_over import sure_letters
from sheet.stroke_face import strokes
from symbols.test_spot import DUPLEX, QUAD, R, at, entry, names, rules, sheet_of, strokes_of, word
from symbols.test_twins import painted

CIRCLE = CircleMark((0, 0), R)
BOXES = rules(
    entry("junction box", (CIRCLE, TextMark("J", (0, 0))), "hardwired outlet"),
    entry("smoke alarm", (CIRCLE, TextMark("SD", (0, 0))), "other"),
)
GFI = rules(entry("duplex", DUPLEX), entry("gfi", (*DUPLEX, TextMark("GFI", (0, 0.17))), protection="device"))
CAP = 5.5


def lettered(text: str, x: float, y: float, cap: float = CAP) -> np.ndarray:
    """Strokes of the text with its middle at a point."""
    xy = strokes(text, (0.0, 0.0), cap).reshape(-1, 2)
    return (xy - (xy.min(0) + xy.max(0)) / 2 + [x, y]).reshape(-1, 4)


def reading(xy: list[np.ndarray], mapping=BOXES, **more: object) -> Spotting:  # type: ignore[no-untyped-def]
    return spot(sheet_of(xy, **more), mapping, (), read=read_glyphs)  # type: ignore[arg-type]


def letter_j() -> np.ndarray:
    a = np.radians(np.linspace(0, 180, 9))
    points = np.r_[[[1.4, -2.6]], np.c_[1.4 * np.cos(a), 1.4 + 1.6 * np.sin(a)]] + 100.0
    return np.c_[points[:-1], points[1:]]


def ring() -> np.ndarray:
    return strokes_of((CIRCLE,), at(100, 100))


def test_a_letter_in_a_circle_is_read() -> None:
    assert names(reading([ring(), letter_j()])) == ["junction box"]


def test_a_line_that_goes_through_a_letter_does_not_hide_it() -> None:
    wire = np.array([[60.0, 83.0, 140.0, 113.0]])
    assert names(reading([ring(), letter_j(), wire])) == ["junction box"]


def test_an_outlined_letter_in_a_circle_is_read() -> None:
    hook = [
        (-0.2, -3),
        (0.6, -3),
        (0.6, 2.2),
        (0.3, 3),
        (-0.4, 3.4),
        (-1.4, 3.4),
        (-1.4, 2.8),
        (-0.6, 2.7),
        (-0.2, 2),
    ]
    fills = painted(shapely.Polygon(np.array(hook) + 100.0))
    assert names(reading([ring()], fills=fills)) == ["junction box"]


@pytest.mark.parametrize("letter", ["U", "T", "F", "W", "8", "JA", "TJ", "L"])
def test_another_letter_is_not_taken_for_it(letter: str) -> None:
    result = reading([ring(), lettered(letter, 100, 100, 4.0)])
    assert not names(result)


def test_letters_that_touch_their_symbol_are_read() -> None:
    """The label lies on the circle's rim: the reader of lettering leaves it alone."""
    xy = [strokes_of(DUPLEX, at(100, 100)), lettered("GFI", 100, 110.0)]
    assert names(reading(xy, GFI)) == ["gfi"]


@pytest.mark.parametrize("label", ["GEL", "CFI", "OF", "GF", "AGFI", "GFIX"])
def test_no_other_label_is_taken_for_one_that_protects(label: str) -> None:
    xy = [strokes_of(DUPLEX, at(100, 100)), lettered(label, 100, 111.5)]
    assert "gfi" not in names(reading(xy, GFI))


def test_a_drawn_word_across_a_symbol_is_no_line_inside_it() -> None:
    xy = [strokes_of(DUPLEX, at(100, 100)), lettered("WAR", 107, 103, 6.0)]
    plain = rules(entry("duplex", DUPLEX))
    assert not names(spot(sheet_of(xy), plain, ()))
    assert names(reading(xy, plain)) == ["duplex"]


def test_a_drawn_letter_inside_a_symbol_stays_a_doubt() -> None:
    """Nobody knows what a letter inside stands for; it may make another symbol of it."""
    plain = rules(entry("duplex", DUPLEX))
    assert not names(reading([strokes_of(DUPLEX, at(100, 100)), lettered("R", 100, 100, 3.2)], plain))
    assert not names(reading([strokes_of(DUPLEX, at(100, 100)), lettered("WA", 100, 100, 3.0)], plain))


def test_a_word_that_was_made_of_the_symbol_itself_is_no_letter_in_it() -> None:
    xy = strokes_of(QUAD, at(100, 100))
    misread = word("H", 100, 100, 12.0)
    box = (92.0, 92.0, 108.0, 108.0)
    result = spot(
        sheet_of(xy, [replace(misread, box=box, origin="stroke", confidence=0.5)]), rules(entry("quad", QUAD)), ()
    )
    assert names(result) == ["quad"]


# ------------------------------------------------------------------------------- texts laid over symbols


def test_two_texts_laid_over_each_other_are_taken_apart() -> None:
    """A PDF reader takes the J in the circle and the label over it for one word; both stand elsewhere alone."""
    alone = [word("J", 200, 100, 5), word("WA", 300, 300, 5), word("WA", 340, 300, 5)]
    over = replace(word("JWA", 103, 100, 5), box=(98.5, 95, 106.7, 105))
    xy = [ring(), strokes_of((CIRCLE,), at(200, 100))]
    assert names(spot(sheet_of(xy, [*alone, over]), BOXES, ())) == ["junction box"] * 2


def test_a_letter_run_together_with_a_word_is_a_question_and_not_lost() -> None:
    over = replace(word("JWA", 103, 100, 5), box=(98.5, 95, 107.5, 105))
    (symbol,) = spot(sheet_of([ring()], [over]), BOXES, ()).symbols
    assert symbol.entry.name == "junction box" and not symbol.found


def test_a_word_lower_than_a_mark_does_not_end_with_it() -> None:
    """The S of a switch is twice as large as the letters of IPS: the two texts that it was taken apart into did not
    overlap, and its S was a mark inside the outlet that it lies on."""
    alone = [word("S", 200, 100, 10), word("IP", 300, 300), word("IP", 340, 300)]
    both = rules(entry("duplex", DUPLEX), entry("switch", (TextMark("S", (0, 0)),), "switch"))
    over = [*alone, word("IPS", 96, 100)]
    (outlet,) = (
        s for s in spot(sheet_of([strokes_of(DUPLEX, at(100, 100))], over), both, ()).symbols if s.is_outlet
    )
    assert outlet.found


def test_a_note_across_a_circle_is_no_letter_in_it() -> None:
    note = replace(word("JUNCTION", 118, 100, 5), box=(92, 95, 144, 105))
    assert not spot(sheet_of([ring()], [note]), BOXES, ()).symbols


PLACES = [(-9, -7), (8, 9), (-2, 11), (12, -2), (-12, 3), (4, -11), (-8, 8), (9, -9), (3, 12)]


@pytest.mark.parametrize("where", ["anywhere", "anywhere, and by fixtures", "one place"])
def test_a_code_that_goes_anywhere_is_a_label_and_one_with_a_place_of_its_own_a_mark(where: str) -> None:
    light = (
        CIRCLE,
        *(LineMark((a * R, b * R), (1.7 * a * R, 1.7 * b * R)) for a, b in ((1, 0), (-1, 0), (0, 1), (0, -1))),
    )
    table = (CircleMark((0, 0), 0.5), LineMark((-0.5, 0.1), (0.5, 0.1)), LineMark((-0.5, -0.2), (0.5, -0.2)))
    mapping = rules(
        entry("duplex", DUPLEX), entry("quad", QUAD), entry("light", light, "light"), entry("table", table, "other")
    )
    xy, words = [], []
    for k, (dx, dy) in enumerate(PLACES):
        x, y = 60.0 + 60 * k, 200.0
        xy.append(strokes_of((DUPLEX, QUAD, light)[k % 3], at(x, y)))
        away = (1, 2) if where == "one place" else (dx, dy)
        words.append(word("ZQ", x + away[0], y + away[1], 5))
        if "fixtures" in where:  # in radii of a large body its labels are near the middle
            x, y = 120.0 + 90 * (k % 6), 500.0 + 90 * (k // 6)
            xy.append(strokes_of(table, at(x, y)))
            words.append(word("ZQ", x + 4 + dx / 8, y + 8 + dy / 8, 5))
    xy.append(strokes_of(DUPLEX, at(300, 400)))
    words.append(word("ZQ", 301, 402, 5))
    result = spot(sheet_of(xy, words, side=700), mapping, ())
    over = next(symbol for symbol in result.symbols if 300 < symbol.at[1] < 450)
    assert over.found == (where != "one place")


def test_a_line_that_passes_through_a_lettered_circle_makes_no_other_outlet_of_it() -> None:
    one = rules(*BOXES.symbols, entry("single", (CIRCLE, LineMark((-0.125, 0), (0.125, 0)))))
    passing, own = (
        np.array([[60.0, 84, 140.0, 116]]),
        strokes_of((LineMark((-0.125, 0), (0.125, 0)),), at(100, 100)),
    )
    letter = [word("J", 100, 100, 5)]
    assert names(spot(sheet_of([ring(), passing], letter), one, ())) == ["junction box"]
    assert not names(spot(sheet_of([ring(), own], letter), one, ()))


@pytest.mark.parametrize("label", ["WA", "GH", "FR"])
def test_another_drawn_label_at_the_place_of_letters_that_protect_raises_no_question(label: str) -> None:
    """With one of their letters in it, it may be what is left of them."""
    xy = [strokes_of(DUPLEX, at(100, 100)), lettered(label, 100, 114)]
    found = names(reading(xy, GFI))
    assert found == (["duplex"] if label == "WA" else [])


def outlined(text: str, x: float, y: float) -> list[shapely.Polygon]:
    """Letters as areas, with their middle at a point."""
    step, middle = 4.6, (len(text) - 1) / 2
    letters = (lettered(letter, x + step * (k - middle), y) for k, letter in enumerate(text))
    return [shapely.unary_union(shapely.linestrings(xy.reshape(-1, 2, 2))).buffer(0.4) for xy in letters]


def test_outlined_letters_that_protect_are_asked_about_where_a_label_lies_over_them() -> None:
    """Two labels over each other are read as one that says nothing: the outlet is no plain one for that."""
    bars = strokes_of(DUPLEX, at(100, 100))
    both = painted(*outlined("GFI", 100, 111), *outlined("WA", 107, 112))
    misread = replace(word("GFWA", 103, 111.5), origin="outline", confidence=0.6)
    assert "duplex" not in names(reading([bars], GFI, fills=both, words=[misread]))
    other = painted(*outlined("WAR", 100, 112))
    assert names(reading([bars], GFI, fills=other)) == ["duplex"]


@pytest.mark.parametrize("label", ["A11", "IDPAJ"])
def test_outlined_letters_of_another_label_are_not_those_that_protect(label: str) -> None:
    """Two figures beside the letter of a circuit tag, and the I with which a note begins, were asked about."""
    sheet = reading([strokes_of(DUPLEX, at(100, 100))], GFI, fills=painted(*outlined(label, 100, 112)))
    assert names(sheet) == ["duplex"]


# A sans-serif J that hangs under the base line and the F that follows it, pt
HANGING_J = [(0.8, -6.1), (1.6, -6.1), (1.6, -0.4), (1.5, 0.5), (1.2, 1.2), (0.7, 1.5), (-0.1, 1.7), (-0.4, 1.7),
             (-0.4, 1.0), (-0.2, 1.0), (0.3, 0.9), (0.6, 0.7), (0.8, 0.2), (0.8, -0.4)]  # fmt: skip
NEXT_F = [(3.3, -6.1), (6.8, -6.1), (6.8, -5.4), (4.1, -5.4), (4.1, -3.6), (6.5, -3.6), (6.5, -2.9), (4.1, -2.9),
          (4.1, 0.0), (3.3, 0.0)]  # fmt: skip
MIDDLE = np.array([0.6, -2.2])  # of the J


@pytest.mark.parametrize(
    ("letters", "away", "found"),
    [
        ([HANGING_J], (0.0, 0.0), True),
        ([HANGING_J, NEXT_F], (-2.8, -1.6), False),
        ([HANGING_J, NEXT_F], (-1.0, 0.0), False),
        ([HANGING_J], (-2.8, -3.6), False),
    ],
)
def test_a_letter_of_an_outlined_note_is_none_of_the_circle_that_it_runs_into(
    letters: list[list[tuple[float, float]]], away: tuple[float, float], found: bool
) -> None:
    """The J hangs under the base of its word, so that its neighbours were not seen: the circle became a box."""
    placed = (0.75 * (np.array(letter) - MIDDLE + away) + 100 for letter in letters)
    fills = painted(*(shapely.Polygon(points) for points in placed))
    assert names(reading([ring()], fills=fills)) == ["junction box"] * found


def test_a_long_note_over_the_middle_of_a_symbol_is_no_mark_in_it() -> None:
    note = replace(word("NORTHWALL", 100, 101, 5), box=(82, 96, 118, 106))
    plain = rules(entry("duplex", DUPLEX))
    assert names(spot(sheet_of(strokes_of(DUPLEX, at(100, 100)), [note]), plain, ())) == ["duplex"]


def test_a_circle_of_the_symbol_that_was_read_as_a_letter_is_no_letter_in_it() -> None:
    ring_read = replace(word("O", 100, 100, 9.0), box=(95.5, 94.0, 104.5, 105.0), origin="outline", confidence=0.5)
    result = spot(sheet_of(strokes_of(QUAD, at(100, 100)), [ring_read]), rules(entry("quad", QUAD)), ())
    assert names(result) == ["quad"]


# ------------------------------------------------------------------- words whose strokes are known one by one


def known(text: str, x: float, y: float, line: int) -> tuple[Word, np.ndarray]:
    """A word in the sheet's own letter forms, and its strokes."""
    xy = lettered(text, x, y)
    ends = xy.reshape(-1, 2)
    low, high = ends.min(0), ends.max(0)
    box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return Word(text, box, 0.0, CAP / 0.72, line, "", (0, 0, 0), "stroke", 0.6), xy


def with_known(body: np.ndarray, *said: tuple[str, float, float]) -> Sheet:
    xy, words, line = [body], [], [np.full(len(body), -1)]
    for n, (text, x, y) in enumerate(said, 7):
        word_, strokes_ = known(text, x, y, n)
        words.append(word_)
        xy.append(strokes_)
        line.append(np.full(len(strokes_), n))
    return replace(sheet_of(xy, words), lettered=np.concatenate(line))


def test_strokes_that_are_letters_of_a_word_across_a_symbol_are_no_lines_inside_it() -> None:
    sheet = with_known(strokes_of(DUPLEX, at(100, 100)), ("WAR", 108.0, 102.0))
    plain = rules(entry("duplex", DUPLEX))
    assert not names(spot(replace(sheet, lettered=sheet.lettered[:0]), plain, ()))
    assert names(spot(sheet, plain, ())) == ["duplex"]


def test_letters_that_run_into_a_word_across_a_symbol_are_read_without_it() -> None:
    """They are no lines inside it either, though nobody knew their strokes."""
    sheet = with_known(strokes_of(DUPLEX, at(100, 100)), ("WAR", 93.0, 99.0))
    more = lettered("ENFA", 107.0, 101.0)
    xy, line = np.concatenate([sheet.strokes.xy, more]), np.r_[sheet.lettered, np.full(len(more), -1)]
    sheet = replace(sheet_of(xy, sheet.words), lettered=line)
    assert names(spot(sheet, rules(entry("duplex", DUPLEX)), (), read=read_glyphs)) == ["duplex"]


def gfi_with(*points: tuple[float, float]) -> list[str]:
    """What a duplex is found as, with GFI under it and a polyline from point to point, from its middle."""
    body, label = strokes_of(DUPLEX, at(100, 100)), lettered("GFI", 100.0, 100 + 0.17 * 72, CAP)
    path = np.array(points) + 100.0
    return names(reading([body, label, np.c_[path[:-1], path[1:]]], GFI))


def test_the_letters_of_a_mark_are_read_though_a_polyline_runs_through_one_of_them() -> None:
    """As found on a sheet: its pieces are no longer than a letter is high, and joined two letters to one."""
    through = [(-1.5, 21.0), (0.0, 15.5), (1.2, 11.5), (2.0, 7.5), (8.0, 9.0), (16.0, 13.0), (24.0, 16.0)]
    assert gfi_with(*through, (28.0, 24.0)) == ["gfi"]


def test_the_letters_of_a_mark_are_read_though_a_bent_line_that_is_longer_than_they_ends_on_one() -> None:
    assert gfi_with((-8.0, 28.0), (-8.0, 17.0), (-4.0, 12.0)) == ["gfi"]


@pytest.mark.parametrize(
    "strike",
    [
        [(-20, 13), (-14, 11.6), (-7, 13.0), (-2, 11.4), (3, 13.2), (8, 11.6), (14, 13.0), (20, 11.8)],
        [(-7, 14), (-4, 10), (-1, 14), (2, 10), (5, 14), (7, 10)],
        [(-6, 10), (-2, 14.5)],
        [(-7, 10), (-3, 14.5), (-1, 10), (2, 14.5), (4, 10), (7, 14.5), (14, 10), (20, 14), (26, 10)],
    ],
    ids=["along, far out", "over the letters", "one letter", "there and far out"],
)
def test_the_letters_of_a_mark_are_a_question_where_a_polyline_strikes_them_out(
    strike: list[tuple[float, float]],
) -> None:
    assert not gfi_with(*strike)


def round_d(x: float, y: float) -> np.ndarray:
    """A D whose bow is drawn finely, as pens draw it: longer than the letter is high."""
    a = np.radians(np.linspace(-90, 90, 11))
    bow = np.c_[1.2 + 2.9 * np.cos(a), 3 * np.sin(a)]
    points = np.r_[[[0, 3], [0, -3], [1, -3]], bow, [[1, 3], [0, 3]]] + [x, y]
    return np.c_[points[:-1], points[1:]]


@pytest.mark.parametrize("x", [104.0, 106.0])
def test_a_letter_with_a_long_bow_is_a_letter_of_its_word(x: float) -> None:
    """Without its bow the D was a line, and its word too short to be one."""
    body, plain = strokes_of(DUPLEX, at(100, 100)), rules(entry("duplex", DUPLEX))
    assert names(reading([body, round_d(x - 3, 100.5), lettered("E", x + 5, 100.5, 6.0)], plain)) == ["duplex"]
    touching = [lettered("E", x - 2, 100.5, 6.0), round_d(x + 2, 100.5), lettered("R", x + 8, 100.5, 6.0)]
    assert names(reading([body, *touching], plain)) == ["duplex"]


@pytest.mark.parametrize(
    "inside", [[(100.0, 100.5)], [(98.9, 100.5), (120.0, 100.5)], [(98.0, 100.5), (101.5, 100.5)]]
)
def test_a_letter_with_a_long_bow_may_be_the_mark_of_another(inside: list[tuple[float, float]]) -> None:
    """Alone in the body, with another too far away for its word, or two about the middle."""
    body, plain = strokes_of(DUPLEX, at(100, 100)), rules(entry("duplex", DUPLEX))
    assert not names(reading([body, *(0.6 * round_d(x / 0.6, y / 0.6) for x, y in inside)], plain))


def test_a_letter_in_a_circle_is_its_mark_though_a_word_lies_over_it() -> None:
    sheet = with_known(ring(), ("J", 100.0, 100.0), ("WASH", 109.0, 102.0))
    (symbol,) = spot(sheet, BOXES, (), read=read_glyphs).symbols
    assert symbol.found and symbol.entry.name == "junction box"


def test_a_letter_under_a_word_that_is_known_is_read() -> None:
    sheet = with_known(ring(), ("WA", 101.5, 100.2))
    xy = np.concatenate([sheet.strokes.xy, letter_j()])
    line = np.r_[sheet.lettered, np.full(len(letter_j()), -1)]
    sheet = replace(sheet_of(xy, sheet.words), lettered=line)
    assert names(spot(sheet, BOXES, (), read=read_glyphs)) == ["junction box"]


@pytest.mark.parametrize("text", ["WA", "R"])
def test_a_word_wholly_inside_a_symbol_stays_a_doubt(text: str) -> None:
    sheet = with_known(strokes_of(DUPLEX, at(100, 100)), (text, 100.0, 100.0))
    small = [replace(w, size=4.0) for w in sheet.words]
    assert not names(spot(replace(sheet, words=tuple(small)), rules(entry("duplex", DUPLEX)), ()))


@pytest.mark.parametrize("left", ["GF", "FI", "G", "AGFI", "GFI"])
def test_what_may_be_left_of_a_mark_explains_no_strokes_beside_its_twin(left: str) -> None:
    assert may_be_part(left, "GFI")


@pytest.mark.parametrize("other", ["A-16", "WA", "SMOKE", "FAN IN"])
def test_other_words_are_no_part_of_a_mark(other: str) -> None:
    assert not may_be_part(other, "GFI")


@pytest.mark.parametrize(
    "row", ["GFI", "AGFIB", "FI", "I", "GF", "?FI", "G?", "A?IB", "IAB", "ABG", "A??B", "?AB", "GX"]
)
def test_a_row_may_be_what_is_left_of_a_mark(row: str) -> None:
    assert may_be_left_of(["" if letter == "?" else letter for letter in row], "GFI")


@pytest.mark.parametrize("row", ["ISDFGSAAAPW", "WA", "A16", "SMOKE", "AGBFCI", "A?B", "NFPIS?S", "A-16"])
def test_a_row_of_other_letters_is_no_part_of_a_mark(row: str) -> None:
    assert not may_be_left_of(["" if letter == "?" else letter for letter in row], "GFI")


@pytest.mark.parametrize(("letters", "left"), [("IL", False), ("GL", True), ("", True)])
def test_a_letter_that_may_be_one_of_two_is_no_third(letters: str, left: bool) -> None:
    """A bar is I or L in a note NAPIF; as any letter it was the G of GFI beside its F."""
    assert may_be_left_of(["N", "A", "P", letters, "F", "W", "S"], "GFI") == left


@pytest.mark.parametrize(("row", "left"), [("ADJS", True), ("A?S", True), ("ADS", False)])
def test_a_mark_of_one_letter_may_be_any_such_letter(row: str, left: bool) -> None:
    assert may_be_left_of(["" if letter == "?" else letter for letter in row], "J") == left


def test_a_long_note_at_the_place_of_letters_that_protect_raises_no_question() -> None:
    xy = np.concatenate([strokes_of(DUPLEX, at(100, 100)), lettered("ISDFGSAAP", 108.0, 87.8)])
    (symbol,) = reading([xy], GFI).symbols
    assert symbol.found and symbol.entry.name == "duplex"


@pytest.mark.parametrize(("gap", "sure"), [(0.2, [0, 1, 3]), (1.2, [0, 1, 2, 3])])
def test_a_letter_close_beside_one_that_is_not_sure_may_be_two(gap: float, sure: list[int]) -> None:
    """GFI under JDPWWA, drawn: G, F and a W over them were read as one W, and the outlet was plain for certain."""
    told = [{"J": 0.99}, {"P": 0.92}, {"W": 0.93}, {"I": 0.67}, {"A": 0.99}]
    left = np.array([0.0, 4.0, 10.0, 15.0 + gap, 17.0])
    box = np.c_[left, np.zeros(5), [3.0, 8.0, 15.0, 15.0 + gap, 21.0], np.full(5, 6.0)]
    seen = Glyphs([np.zeros((1, 4))] * 5, [np.array([k]) for k in range(5)], box, False)
    found = sure_letters(seen, list(range(5)), lambda _, __: told, "GFI")
    assert found == [k if k < 3 else k + 1 for k in sure]


def test_letters_of_a_text_laid_over_another_are_a_row_of_their_own() -> None:
    """WA over FNEN, on one base: the F stood between both and in no row, and was a filled mark of the symbol."""
    box = np.array([(0, 0, 7, 6), (7.5, 0, 13, 6), (9, 0, 12.5, 6), (13.5, 0, 18, 6), (19, 0, 24, 6)], float)
    seen = Glyphs([np.zeros((1, 4))] * 5, [np.array([k]) for k in range(5)], box, True)
    assert list(whole_rows(seen)) == [[0, 1, 3, 4]]
    assert list(whole_rows(seen, overlaid=True)) == [[0, 1, 3, 4], [2, 3, 4]]


@pytest.mark.parametrize(("right", "sure"), [(9.0, [0, 1, 3, 4]), (7.5, [0, 1, 2, 3, 4])])
def test_a_letter_of_a_mark_that_overlaps_another_may_be_the_marks(right: float, sure: list[int]) -> None:
    """GFI over PRWESW in outlines: its F, between the S and the W, was one more letter of the note that was no part
    of GFI, and the outlet was plain for certain."""
    told: list[dict[str, float]] = [{letter: 0.99} for letter in "ESFWA"]
    ends = [(0.0, 3.0), (3.5, 6.5), (7.0, right), (8.0, 14.0), (13.5, 17.0)]  # W and A overlap: no letters of GFI
    xy = [np.array([[a, 0, b, 6], [a, 6, b, 0]], float) for a, b in ends]
    box = np.array([[a, 0, b, 6] for a, b in ends])
    seen = Glyphs(xy, [np.array([k]) for k in range(5)], box, True)
    assert sure_letters(seen, list(range(5)), lambda _, __: told, "GFI") == sure


def test_letters_across_a_symbol_do_not_make_the_plainer_one_of_it() -> None:
    """Only what is in doubt is read again without a word that lies across it: the richer symbol, which no line
    within makes doubtful, had that word against it, and gave way to the plainer one inside it."""
    r, turn = 0.0972, np.linspace(np.pi, 2 * np.pi, 17)
    ring = tuple((r * float(np.cos(a)), r * float(np.sin(a))) for a in turn)
    half = (ArcMark((0, 0), r, 180, 360), PolylineMark(ring, closed=True, filled=True))
    line, mark = LineMark((-1.5 * r, 0), (1.5 * r, 0)), TextMark("C", (0, -1.9 * r))
    pose = at(100, 100, -38)
    xy = [strokes_of((half[0], line, PolylineMark(ring, closed=True)), pose), np.array([[101.0, 0, 101, 300]])]
    letter = word("C", *pose.apply(np.array([mark.at]) * 72)[0], 4.0)
    fills = painted(shapely.Polygon(pose.apply(np.array(ring) * 72)))
    mapping = rules(entry("half", half), entry("half on a line", (*half, mark, line)))
    over = lettered("MWA", 97, 98.3, 6.5)
    assert names(reading([*xy, over], mapping, words=[letter], fills=fills)) == ["half on a line"]


@pytest.mark.parametrize(("rest", "settled"), [("RS", True), ("", False)])
def test_an_outlined_bar_between_letters_of_a_word_is_one_of_them(rest: str, settled: bool) -> None:
    """A bar is an I, or a stroke of something else; between two letters, as high as they, it is an I (100,000
    strokes, outlined text: a junction box under SDPPIS)."""

    def read(glyphs: Sequence[np.ndarray], filled: bool) -> list[dict[str, float]]:
        return [{k: min(v, 0.74) if k in "I1L" else v for k, v in each.items()}
                for each in read_glyphs(glyphs, filled)]  # fmt: skip

    shape, fills = (CircleMark((0, 0), 6 / 72),), painted(*outlined("WAIRS", 97, 103)[: 3 + len(rest)])
    box = entry("junction box", (*shape, TextMark("J", (0, 0))), "hardwired outlet")
    sheet = sheet_of(strokes_of(shape, at(100, 100)), [word("J", 100, 100, 7.0)], fills=fills)
    assert names(spot(sheet, rules(box), (), read=read)) == ["junction box"] * settled


RINGS = tuple(CircleMark((0, 0), r) for r in (0.215, 0.16, 0.02))
BASIN = (*RINGS, LineMark((-0.1, 0.05), (0.1, 0.05)))
OVER = {"letters": outlined("WAR", 100, 104), "dots": [shapely.Point(x, 104.0).buffer(2.5) for x in (96.0, 104.0)]}


@pytest.mark.parametrize(
    ("kind", "over", "found"),
    [("sink", "letters", True), ("receptacle", "letters", False), ("sink", "dots", False)],
)
def test_outlined_letters_over_a_fixture_are_no_fill_of_it(kind: str, over: str, found: bool) -> None:
    """Read with doubt, WAR over a sink made it a question: letters make no other fixture, but may make another
    outlet, and two dots that are read as letters may be marks."""
    read = replace(word("WAR", 100, 104.0, 16), origin="outline", confidence=0.6)
    mapping, fills = rules(entry("basin", BASIN, kind)), painted(*OVER[over])
    (symbol,) = reading([strokes_of(BASIN, at(100, 100))], mapping, fills=fills, words=[read]).symbols
    assert symbol.found == found


def test_letters_of_a_plain_body_that_are_likely_and_not_sure_are_a_question() -> None:
    """A wall ran through a C, which by itself was sure to 0.93: without it its box was no symbol, and the outlet
    lost in silence (random design 3103)."""
    corners = ((-0.1, -0.07), (-0.1, 0.07), (0.1, 0.07), (0.1, -0.07))
    body = (PolylineMark(corners), LineMark((-0.15, 0.0), (0.15, 0.0)))
    known = rules(entry("dedicated", (*body, TextMark("C", (0, 0.19)))))
    a = np.radians(np.linspace(70, 290, 17))
    points = np.c_[2.2 * np.cos(a), -3 * np.sin(a)] + [100.0, 100.0 + 72 * 0.19]
    letter = np.c_[points[:-1], points[1:]]
    drawn = strokes_of(body, at(100, 100))
    result = reading([drawn, letter], known)
    assert names(result, found=False) == ["dedicated"]
    assert not names(reading([drawn], known), found=None)


@pytest.mark.parametrize("angle", [0.0, 90.0])
def test_an_outlined_letter_is_read_though_a_solid_mark_stands_in_line_with_it(angle: float) -> None:
    """The solid square of the symbol, as high as the letter, was one of its row: C■ is no C, and the outlet was
    lost in silence (random design 3294)."""
    square = ((-0.033, -0.033), (0.033, -0.033), (0.033, 0.033), (-0.033, 0.033))
    bar = LineMark((-0.07, 0.0), (0.07, 0.0))
    known = rules(entry("dedicated", (PolylineMark(square, True, filled=True), bar, TextMark("C", (0, -0.09)))))
    pose = at(100.0, 100.0, angle)
    (x, y) = pose.apply(np.array([[0.0, -0.09 * 72]]))[0]
    fills = painted(shapely.Polygon(pose.apply(72 * np.array(square))), *outlined("C", float(x), float(y)))
    assert names(reading([strokes_of((bar,), pose)], known, fills=fills)) == ["dedicated"]


def test_the_solid_half_of_a_symbol_is_no_letter_of_its_twin() -> None:
    """The inner arc of a quad's sample may be the letter U: each solid GFCI symbol was asked about for that."""
    half = [(R * math.cos(k * math.pi / 12), R * math.sin(k * math.pi / 12)) for k in range(13)]
    cup = (ArcMark((0, 0), R, 180, 360), LineMark((-R, 0), (R, 0)), LineMark((0, 0), (0, -2 * R)))
    solid = entry("gfci", (*cup, PolylineMark(tuple(half), closed=True, filled=True)))
    twin = entry("quad", (*cup, TextMark("U", (0, 0.4 * R))))
    pose = at(100, 100)
    area = shapely.Polygon(pose.apply(np.array(half) * 72))
    assert names(reading([strokes_of(cup, pose)], rules(solid, twin), fills=painted(area))) == ["gfci"]
