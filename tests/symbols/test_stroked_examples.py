"""Examples whose letters are single lines: they were learnt as lines, which are found at the example's own turn
only; elsewhere the lettered symbol was its plain twin for certain."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import CircleMark, Drawing, LineMark, Mapping, Mark, Picked, PolylineMark, SymbolEntry, TextMark
from cordpath.sheet import read_glyphs
from cordpath.symbols import gather_examples, spot
from cordpath.symbols.examples.examples import Examples
from cordpath.symbols.examples.outlined_letters import likeliest
from cordpath.symbols.examples.stroked_letters import perhaps_text, strokes_as_text
from cordpath.symbols.pose import place
from cordpath.symbols.templates.same_lines import laid_on, on_the_other
from cordpath.symbols.templates.template import Template, make
from cordpath.symbols.templates.templates import free_templates, templates_of
from cordpath.symbols.templates.weak_lines import straightened
from symbols.test_drawn_letters import lettered
from symbols.test_spot import sheet_of

CIRCLE = CircleMark((0.0, 0.0), 6 / 72)
PLAIN, MARKED = "plain", "weatherproof"
BODY = np.array(
    [[-6, 0, 0, -6], [0, -6, 6, 0], [6, 0, 0, 6], [0, 6, -6, 0], [-2, -1, 2, -1], [0, -6, 0, -12]], float
)
BESIDE = np.array([0.0, 12.0])  # pt, where the letters of the marked one have their middle


def lines_of(xy: np.ndarray) -> tuple[Mark, ...]:
    return tuple(LineMark((a, b), (c, d)) for a, b, c, d in (xy / 72).tolist())


def texts(marks: tuple[Mark, ...]) -> list[str]:
    return [mark.value for mark in marks if isinstance(mark, TextMark)]


@pytest.mark.parametrize("text", ["WP", "IG", "GFI", "G", "R"])
def test_stroked_letters_of_an_example_are_letters(text: str) -> None:
    learnt = strokes_as_text((CIRCLE, *lines_of(lettered(text, 0, 12))), read_glyphs)
    assert learnt[0] == CIRCLE and texts(learnt) == [text] and len(learnt) == 2


def test_a_row_of_letters_may_be_larger_than_its_symbol() -> None:
    small = lines_of(np.array([[-1, -1, 1, -1], [1, -1, 1, 1], [1, 1, -1, 1], [-1, 1, -1, -1]], float) * 2)
    assert texts(strokes_as_text((*small, *lines_of(lettered("WP", 0, 8))), read_glyphs)) == ["WP"]


@pytest.mark.parametrize("letter", ["G"])
def test_a_letter_that_reaches_the_lines_of_its_body_is_a_letter(letter: str) -> None:
    """With those it was one part, and no letter: of the lettered ones the upright ones alone were found."""
    tight = lines_of(0.7 * BODY[:4])
    learnt = strokes_as_text((*tight, *lines_of(lettered(letter, 0, 0))), read_glyphs)
    assert texts(learnt) == [letter] and learnt[:4] == tight


@pytest.mark.parametrize("letter", ["T", "X"])
def test_a_letter_that_reaches_out_of_its_body_is_a_letter(letter: str) -> None:
    """The hull of both went around the letter, whose ends were the rim and the body's sides were not: a pill that
    stood turned on the plan was lost in silence, its letter upright in it."""
    long = [(x, y) for x, y in ((-3, -2.5), (3, -2.5), (4.6, -1.6), (5.5, 0), (4.6, 1.6), (3, 2.5))]
    ring = [*long, *((-x, -y) for x, y in long)]
    pill = lines_of(np.array([(*a, *b) for a, b in pairwise([*dict.fromkeys(ring), ring[0]])]))
    learnt = perhaps_text((*pill, *lines_of(lettered(letter, 0, 0))), read_glyphs)
    assert texts(learnt) == [letter] and learnt[:-1] == pill


def test_a_line_is_a_body_that_encloses_nothing() -> None:
    bar = lines_of(np.array([[-9.0, 9.0, 9.0, 9.0]]))
    assert texts(strokes_as_text((*bar, *lines_of(lettered("GFI", 0, 0))), read_glyphs)) == ["GFI"]


def test_letters_read_up_the_sheet_are_letters() -> None:
    up = lettered("WP", 0, 0).reshape(-1, 2) @ np.array([[0.0, -1.0], [1.0, 0.0]]) + (12.0, 0.0)
    learnt = strokes_as_text((CIRCLE, *lines_of(up.reshape(-1, 4))), read_glyphs)
    assert texts(learnt) == ["WP"] and np.allclose(learnt[-1].at, (12 / 72, 0.0), atol=0.02)  # type: ignore[union-attr]


@pytest.mark.parametrize("letter", ["X", "T"])
def test_a_letter_of_straight_lines_may_be_lines_of_the_symbol(letter: str) -> None:
    marks = (CIRCLE, *lines_of(lettered(letter, 0, 0)))
    assert strokes_as_text(marks, read_glyphs) == marks
    assert texts(perhaps_text(marks, read_glyphs)) == [letter]


def test_a_body_is_no_letter() -> None:
    dot = PolylineMark(((0.2, 0.0), (0.22, 0.0), (0.22, 0.02)), True, True)
    body = (*lines_of(lettered("D", 0, 0)), dot)
    assert strokes_as_text(body, read_glyphs) == body and perhaps_text(body, read_glyphs) == ()
    bars = (CIRCLE, *lines_of(np.array([[-2, -3, -2, 3], [2, -3, 2, 3]], float)))
    assert strokes_as_text(bars, read_glyphs) == bars and perhaps_text(bars, read_glyphs) == ()


def test_a_bar_beside_sure_letters_is_an_i() -> None:
    assert likeliest({"I": 0.66, "'": 0.2, "L": 0.14}) == ("I", pytest.approx(1.0))
    assert likeliest({"L": 0.9, "I": 0.1}) == ("L", 0.9)
    assert likeliest({}) == ("", 0.0)


# ------------------------------------------------------------------------------------- at other turns


def drawn(x: float, y: float, degrees: float, text: str) -> list[np.ndarray]:
    """The body turned about (x, y), and its letters at their place, upright."""
    t = math.radians(degrees)
    turn = np.array([[math.cos(t), math.sin(t)], [-math.sin(t), math.cos(t)]])
    body = (BODY.reshape(-1, 2) @ turn + (x, y)).reshape(-1, 4)
    at = BESIDE @ turn + (x, y)
    return [body, *([lettered(text, *at)] if text else [])]


def entry(name: str, box: tuple[float, float, float, float], **more: object) -> SymbolEntry:
    return SymbolEntry(name, "receptacle", picked=Picked("f.pdf", 1, box), **more)  # type: ignore[arg-type]


TURNS = (0.0, 90.0, 180.0, 270.0, 37.0, 200.0)


def test_a_picked_symbol_with_stroked_letters_is_no_plain_twin_at_any_turn() -> None:
    pieces = [piece for k, turn in enumerate(TURNS) for piece in drawn(100 + 60 * k, 100, turn, "WP")]
    pieces += [piece for k, turn in enumerate(TURNS) for piece in drawn(100 + 60 * k, 200, turn, "")]
    pieces += [*drawn(100, 300, 0.0, "WP"), *drawn(200, 300, 120.0, "")]
    page = replace(sheet_of(pieces, []), file="f.pdf")
    mapping = Mapping(
        "m.yaml",
        Drawing(),
        (entry(PLAIN, (185, 285, 215, 315)), entry(MARKED, (85, 285, 115, 320), protection="device")),
    )
    examples = gather_examples(mapping, {("f.pdf", 1): page}, sheet=page, read=read_glyphs)
    assert texts(examples.marks(MARKED)) == ["WP"] and texts(examples.marks(PLAIN)) == []
    found = spot(page, mapping, (), examples, read_glyphs).symbols
    for k in range(len(TURNS)):
        marked = [s for s in found if math.dist(s.at, (100 + 60 * k, 100)) < 8]
        plain = [s for s in found if math.dist(s.at, (100 + 60 * k, 200)) < 8]
        assert marked and not any(s.found and s.entry.name == PLAIN for s in marked), TURNS[k]
        assert [s.entry.name for s in plain if s.found] == [PLAIN], TURNS[k]


@pytest.mark.parametrize("letter", ["X", "C"])
def test_what_may_be_a_letter_is_looked_for_as_lines_and_as_a_letter(letter: str) -> None:
    """A C was taken for an open ring of the symbol: turned ones, with an upright C, were lost (design 3127)."""
    page = replace(sheet_of([*drawn(100, 100, 0.0, letter)], []), file="f.pdf")
    mapping = Mapping("m.yaml", Drawing(), (entry("one", (85, 85, 115, 120)),))
    examples = gather_examples(mapping, {("f.pdf", 1): page}, sheet=page, read=read_glyphs)
    made, _ = templates_of(mapping, examples, ())
    assert [[value for value, _, _ in t.drawn.texts] for t in made] == [[], [letter]]
    free = free_templates(mapping, examples, set(), (0.6, 0.65))  # of another size too (random design 3415)
    assert [[value for value, _, _ in t.drawn.texts] for t in free] == [[], [letter]]
    assert gather_examples(mapping, {}, examples, read=read_glyphs).lettered == examples.lettered
    assert len(templates_of(mapping, Examples(examples.shapes), ())[0]) == 1


def template(xy: np.ndarray, name: str, picked: bool = True) -> Template:
    own = entry(name, (0, 0, 1, 1)) if picked else SymbolEntry(name, "receptacle", shape=lines_of(xy))
    return make(own, lines_of(xy), 72.0, 1.0, 1.0, None)


@settings(max_examples=10, deadline=None)
@given(st.floats(0, 360), st.booleans(), st.floats(-9, 9))
def test_lines_of_two_examples_are_the_same_at_any_turn(degrees: float, mirrored: bool, away: float) -> None:
    t, flip = math.radians(degrees), -1.0 if mirrored else 1.0
    turn = np.array([[math.cos(t), -math.sin(t)], [math.sin(t), math.cos(t)]]) @ np.diag([flip, 1.0])
    moved = (BODY.reshape(-1, 2) @ turn.T + away).reshape(-1, 4)
    one, other = template(BODY, "one"), template(moved, "other")
    poses = on_the_other(one, other, np.array([[100.0, 50.0, 0.3, 0.0, 1.0]]))
    assert len(poses) == len(laid_on(one, other)) >= 1
    here = place(np.array([[100.0, 50.0, 0.3, 0.0, 1.0]]), BODY.reshape(-1, 2))[0]
    off = [np.abs(place(pose[None], moved.reshape(-1, 2))[0] - here).max() for pose in poses]
    assert min(off) < 0.35  # to the step of the turns that are tried


def test_shapes_that_are_written_down_have_one_frame_and_others_are_not_the_same() -> None:
    turned = BODY[:, [1, 0, 3, 2]]
    assert laid_on(template(BODY, "a", False), template(BODY, "b", False)) == ((0.0, 0),)
    assert laid_on(template(BODY, "a", False), template(turned, "b", False)) == ()
    moved = BODY.copy()
    moved[4] += (0, 3, 0, 3)
    assert laid_on(template(BODY, "a"), template(moved, "b")) == ()


# ------------------------------------------------------------------------------------------- weak shapes

BOX = np.array([(2.58, 2.58), (1.62, -3.3), (-2.58, -2.58), (-1.5, 3.3)])  # an open box, its last side not drawn


def on_a_grid(points: np.ndarray) -> np.ndarray:
    """The open line in pieces of a third, rounded as plotters do."""
    rows = [a + (b - a) * part for a, b in pairwise(points) for part in (0, 1 / 3, 2 / 3)]
    grid = np.round(np.array([*rows, points[-1]]) / 0.12) * 0.12
    return np.c_[grid[:-1], grid[1:]]


def test_lines_in_pieces_on_a_plotters_grid_are_as_weak_as_whole_ones() -> None:
    pieces, whole = on_a_grid(BOX), np.c_[BOX[:-1], BOX[1:]]
    assert len(straightened(pieces, 0.13)) == 3
    assert template(whole, "whole").weak_body == template(pieces, "pieces").weak_body is not None


def test_a_corner_and_a_curve_are_not_straightened() -> None:
    assert len(straightened(np.c_[BOX[:-1], BOX[1:]], 0.13)) == 3
    angle = np.linspace(0, math.pi, 9)
    arc = 6 * np.c_[np.cos(angle), np.sin(angle)]
    assert len(straightened(np.c_[arc[:-1], arc[1:]], 0.13)) == 8
    tee = np.array([[-4, 0, 0, 0], [0, 0, 4, 0], [0, 0, 0, 4]], float)
    assert len(straightened(tee, 0.13)) == 3
