"""Plain bodies without their letters: no symbols, but told where a device would stand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from cordpath.model import (
    CircleMark,
    Drawing,
    LineMark,
    Mapping,
    Picked,
    Region,
    Spotting,
    SymbolEntry,
    TextMark,
    Word,
)  # fmt: skip
from cordpath.symbols import gather_examples, spot
from cordpath.symbols.letters.strangers import STRANGER
from cordpath.symbols.matching.evidence import Candidate, Doubt
from cordpath.symbols.unexplained.bare import _device
from symbols.test_spot import at, sheet_of, strokes_of, word

R = 0.0625  # in
STEM = (CircleMark((0, 0), R), LineMark((0, -R), (0, -0.12)))
RANGE = SymbolEntry("range outlet", "receptacle", shape=(*STEM, TextMark("R", (0.0, 0.0))))
JBOX = SymbolEntry("box", "hardwired outlet", shape=(CircleMark((0, 0), R), TextMark("J", (0.0, 0.0))))
WALL = np.array([[100.0, 191.36, 300, 191.36], [100, 186.0, 300, 186.0]])  # at the foot of a stem at (200, 200)
CIRCLE, DRAWN = (strokes_of(marks, at(200, 200)) for marks in (STEM[:1], STEM))
FAR_LINE = np.array([[100.0, 400, 300, 400]])


def told(xy: list[np.ndarray], words: tuple[Word, ...] = (), regions: tuple[Region, ...] = ()) -> Spotting:
    return spot(sheet_of(xy, words, regions=regions), Mapping("m.yaml", Drawing(), (RANGE, JBOX)), ())


def test_a_circle_on_a_stem_to_a_wall_is_told_without_its_letter() -> None:
    result = told([DRAWN, WALL])
    assert not result.symbols
    (rest,) = [u for u in result.unexplained if "without its letters" in u.what]
    assert rest.what.startswith("a shape like 'range outlet' without its letters")
    assert len(rest.at) == 1 and np.hypot(rest.at[0][0] - 200, rest.at[0][1] - 200) < 6


def test_with_its_letter_it_is_the_symbol_and_nothing_is_left() -> None:
    result = told([DRAWN, WALL], (word("R", 200, 200),))
    assert [s.entry.name for s in result.symbols] == ["range outlet"]
    assert not [u for u in result.unexplained if "without its letters" in u.what]


def test_a_circle_with_a_circuit_tag_is_told() -> None:
    result = told([CIRCLE, FAR_LINE], (word("A-17", 200, 188),))
    assert [u.at for u in result.unexplained if "'box' without its letters" in u.what]


@pytest.mark.parametrize(
    ("xy", "words"),
    [
        ([DRAWN, FAR_LINE], ()),  # nothing to stand on
        ([CIRCLE, FAR_LINE], ()),  # a column, a burner
        ([DRAWN, WALL], (word("7", 200, 200),)),  # a keynote's bubble
        ([CIRCLE, np.array([[200.0, 195.5, 200, 120]]), WALL - (0, 75, 0, 75)], ()),  # a leader
    ],
    ids=["no wall", "circle", "bubble", "leader"],
)
def test_other_circles_are_not_told(xy: list[np.ndarray], words: tuple[Word, ...]) -> None:
    assert not [u for u in told(xy, words).unexplained if "without its letters" in u.what]


def test_a_sample_in_a_legend_is_not_told() -> None:
    result = told([DRAWN, WALL], regions=(Region("legend", (150, 150, 250, 250)),))
    assert not [u for u in result.unexplained if "without its letters" in u.what]


OTHERS = (word("WA", 300, 98), word("WA", 448, 100))


@pytest.mark.parametrize(
    ("stems", "more", "untold"),
    [
        ((-0.02, 0.02), (), 3),
        ((-0.02, 0.02), OTHERS[:1], 2),
        ((-0.02, 0.02), OTHERS, 0),
        ((-0.04, 0, 0.04), OTHERS, 1),
    ],
    ids=["letters in its box alone", "at one of the others", "at most of them", "of many lines"],
)
def test_boxes_without_the_letters_of_their_example_are_told(
    stems: tuple[float, ...], more: tuple[Word, ...], untold: int
) -> None:
    """A word of something else was learnt as a mark, and every other symbol of its kind was lost in silence."""
    h = 0.09
    box = (*(LineMark(a, b) for a, b in (((-h, -h), (-h, h)), ((-h, h), (h, h)), ((h, h), (h, -h)))),
           *(LineMark((h, y), (h + 0.06, y)) for y in stems))  # fmt: skip
    places = [(150.0, 100.0), (300.0, 100.0), (450.0, 100.0), (300.0, 200.0)]
    xy = np.concatenate([strokes_of(box, at(*place, 90.0 * k)) for k, place in enumerate(places)])
    entry = SymbolEntry("floor box", "receptacle", picked=Picked("s.pdf", 1, (140.0, 90.0, 165.0, 111.0)))
    sheet = sheet_of([xy], (word("WA", 152, 100), *more))
    mapping = Mapping("m.yaml", Drawing(), (entry,))
    result = spot(sheet, mapping, (), gather_examples(mapping, {("s.pdf", 1): sheet}))
    assert len(result.symbols) == 1 + len(more)
    assert sum(len(u.at) for u in result.unexplained if "without its letters" in u.what) == untold


def test_a_mark_more_than_an_example_that_took_a_word_in_is_a_question() -> None:
    """A box with a stem and the word over it was the open box that had been learnt with that word, for certain."""
    h = 0.09
    box = tuple(LineMark(a, b) for a, b in (((-h, -h), (-h, h)), ((-h, h), (h, h)), ((h, h), (h, -h))))
    stem = (*box, LineMark((h, 0), (h + 0.06, 0)))
    lines = [strokes_of(box, at(150, 100)), strokes_of(stem, at(300, 100))]
    plain = SymbolEntry("plain", "receptacle", picked=Picked("s.pdf", 1, (140.0, 90.0, 160.0, 111.0)))
    sheet = sheet_of(lines, (word("WA", 152, 100), word("WA", 302, 100)))
    mapping = Mapping("m.yaml", Drawing(), (plain, SymbolEntry("stem", "receptacle", shape=stem)))
    result = spot(sheet, mapping, (), gather_examples(mapping, {("s.pdf", 1): sheet}))
    assert [s.found for s in result.symbols if s.at[0] > 200] == [False]


@pytest.mark.parametrize("others", [(), (word("WA", 302, 92),)])
def test_circles_with_a_tick_are_told_where_no_other_has_the_letters(others: tuple[Word, ...]) -> None:
    """The example's box held a word of something else, and its likes that stood at no wall were lost in silence."""
    tick = (CircleMark((0, 0), R), LineMark((-0.1, R), (0.1, R)))
    places = [(150.0, 100.0), (300.0, 100.0), (450.0, 100.0), (300.0, 200.0)]
    xy = [strokes_of(tick, at(*place)) for place in places]
    entry = SymbolEntry("ticked", "receptacle", picked=Picked("s.pdf", 1, (141.0, 90.0, 159.0, 109.0)))
    sheet = sheet_of(xy, (word("WA", 152, 92), *others))
    mapping = Mapping("m.yaml", Drawing(), (entry,))
    result = spot(sheet, mapping, (), gather_examples(mapping, {("s.pdf", 1): sheet}))
    assert sum(len(u.at) for u in result.unexplained if "'WA' its own" in u.what) == (0 if others else 3)


@pytest.mark.parametrize(("text", "told"), [("WA", True), ("J", False)])
def test_the_letters_of_its_example_at_another_place_do_not_hide_a_body(text: str, told: bool) -> None:
    """WA of WALL ran over another circle as well, so that one was neither asked about nor told."""
    drawn = SimpleNamespace(texts=(("WA", 0.0, 0.0),))
    template = SimpleNamespace(entry=RANGE, ratio=None, drawn=drawn)
    doubt = Doubt(STRANGER.format(text), inside=True)
    body = SimpleNamespace(template=template, coverage=1.0, radius=7.0, doubts=(doubt,))
    assert _device(cast(Candidate, body)) == told
