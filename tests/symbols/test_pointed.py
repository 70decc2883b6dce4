"""Texts with lines to several outlets: each may be protected, and none is cleared by that."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from cordpath.model import Symbol
from symbols.test_labels import PROTECTED, given_to, symbol, word

FAN = [(150.0, 105.0, 101.0, 154.0), (150.0, 105.0, 150.0, 154.0), (150.0, 105.0, 199.0, 154.0)]
ROW = [symbol(100, 160), symbol(150, 160), symbol(200, 160)]


@pytest.mark.parametrize("text", ["GFI (TYP. OF 3)", "GFCI TYP", "PROVIDE GFCI PROTECTION AT THESE OUTLETS"])
def test_lines_that_begin_together_at_a_text_ask_at_each_outlet(text: str) -> None:
    _, done, _ = given_to(ROW, [word(text, 150, 99)], FAN)
    assert [each.fact("protection") for each in done] == [None] * 3
    assert all(each.fact("protection_unsure") == f"a line leads to it from '{text}'" for each in done)


def test_lines_that_begin_together_at_a_plain_label_out_of_reach_ask_at_each_outlet() -> None:
    """The label was told as one with no symbol near, and the outlets as plainly unprotected."""
    low = [symbol(x, 190) for x in (100, 200)]
    _, done, _ = given_to(low, [word("GFI", 150, 99)], [(150, 105, 101, 184), (150, 105, 199, 184)])
    assert [each.fact("protection") for each in done] == [None] * 2
    assert all(each.fact("protection_unsure") for each in done)


def test_of_several_leaders_of_a_plain_label_each_asks_or_protects() -> None:
    lines = [(144.0, 105.0, 101.0, 154.0), (156.0, 105.0, 199.0, 154.0)]
    labels, done, _ = given_to([ROW[0], ROW[2]], [word("GFI", 150, 99)], lines)
    assert sum(each.fact("protection") == "device" for each in done) <= 1
    assert all(each.fact("protection") or each.fact("protection_unsure") for each in done), labels


@pytest.mark.parametrize("text", ["GFI", "GFI TYP."])
@pytest.mark.parametrize("outlets", [ROW, ROW[::2]], ids=["one right under it", "none under it"])
@pytest.mark.parametrize("y", [99.0, 135.0])
def test_lines_that_begin_together_at_a_plain_label_ask_at_each_outlet(
    text: str, outlets: list[Symbol], y: float
) -> None:
    """The nearest outlet was protected for certain, and the others plainly unprotected."""
    fan = [(150.0, y + 6, x, 154.0) for x in (101.0, 150.0, 199.0)]
    near = [symbol(150, y - 20)]  # no line leads to it
    labels, done, _ = given_to([*outlets, *near], [word(text, 150, y)], fan)
    assert [each.fact("protection") for each in done] == [None] * len(done), labels
    assert all(each.fact("protection_unsure") for each in done[:-1]), labels


def test_wires_that_begin_at_the_outlet_of_a_label_are_no_leaders() -> None:
    wires = [(150 + side * 5.4, 160.0, 150 + side * 40, 160.0) for side in (-1, 1)]
    _, done, _ = given_to([symbol(x, 160) for x in (150, 104.6, 195.4)], [word("GFI", 150, 147)], wires)
    assert [each.fact("protection") for each in done] == ["device", None, None]
    assert not any(each.fact("protection_unsure") for each in done)


def test_an_outlet_with_a_label_of_its_own_stays_protected() -> None:
    labels, done, _ = given_to(ROW, [word("GFI (TYP. OF 3)", 150, 99), word("GFI", 100, 173)], FAN)
    assert labels[0] == {"GFI": PROTECTED} and done[1].fact("protection_unsure")


def test_texts_on_something_else_lead_to_no_question() -> None:
    _, done, _ = given_to(ROW, [word("UNDER CABINET LIGHTS, TYPICAL", 150, 99)], FAN)
    assert all(each.fact("protection_unsure") is None for each in done)


@pytest.mark.parametrize("head", [(), ((101.0, 184.0, 104.0, 179.0), (101.0, 184.0, 106.0, 182.0))])
def test_a_leader_that_forks_asks_at_both_its_outlets(head: tuple[tuple[float, ...], ...]) -> None:
    """One line from the label, two arrows: it ended where it forks, and both outlets were plainly unprotected."""
    fork = [(150.0, 105.0, 150.0, 140.0), (150.0, 140.0, 101.0, 184.0), (150.0, 140.0, 199.0, 184.0), *head]
    _, done, _ = given_to([symbol(x, 190) for x in (100, 200)], [word("GFI", 150, 99)], fork)
    assert [each.fact("protection") for each in done] == [None] * 2
    assert all(each.fact("protection_unsure") for each in done)


@pytest.mark.parametrize("text", ["GFI (TYP. OF 3)", "(3) GFI", "GFI"])
def test_a_leader_to_a_bar_with_a_leg_to_each_outlet_asks_or_protects_at_each(text: str) -> None:
    """The outlets but the one under the trunk were plainly unprotected."""
    legs = [(x, 130.0, x, 153.0) for x in (100.0, 150.0, 200.0)]
    comb = [(150.0, 105.0, 150.0, 130.0), (100.0, 130.0, 200.0, 130.0), *legs]
    labels, done, _ = given_to(ROW, [word(text, 150, 99)], comb)
    assert all(each.fact("protection") or each.fact("protection_unsure") for each in done), labels
    assert sum(each.fact("protection") == "device" for each in done) <= 1


@pytest.mark.parametrize(
    "more",
    [
        [(150.0, 154.6, 150.0, 130.0), (100.0, 130.0, 200.0, 130.0)],  # wires: no line begins at the text
        [(150.0, 105.0, 150.0, 130.0), (100.0, 130.0, 200.0, 130.0)]
        + [(100.0 + 9 * k, 130.0, 100.0 + 9 * k, 120.0) for k in range(12)],  # a fence, a rail
    ],
)
def test_lines_that_are_no_tree_of_a_text_ask_nothing(more: list[tuple[float, ...]]) -> None:
    legs = [(x, 130.0, x, 154.6) for x in (100.0, 200.0)]
    _, done, _ = given_to(ROW, [word("GFI (TYP. OF 3)", 150, 99)], [*more, *legs])
    assert not any(each.fact("protection_unsure") for each in done[::2])


BOW = np.linspace(0.0, 1.0, 25)
BRACES = {
    "bracket": [(95, 148), (95, 142), (205, 142), (205, 148)],
    "bow": np.c_[95 + 110 * BOW, 148 - 24 * BOW * (1 - BOW)],
    "brace": [(95, 148), (95.5, 146), (97, 145), (145, 145), (148.5, 144.5), (150, 142), (151.5, 144.5), (155, 145),
              (203, 145), (204.5, 146), (205, 148)],
    "line": [(94, 145), (206, 145)],
}  # fmt: skip


def line(points: Any) -> list[tuple[float, ...]]:
    at = np.array(points, float)
    return [tuple(each) for each in np.c_[at[:-1], at[1:]].tolist()]


@pytest.mark.parametrize("form", ["brace", "bracket", "line"])
def test_a_tick_leads_from_a_brace_to_its_text(form: str) -> None:
    """With it the brace was none: its outlets were missing protection for certain."""
    tick = (150.0, 145.0 if form == "line" else 142.0, 150.0, 136.0)
    _, done, _ = given_to(ROW, [word("GFI TYP.", 150, 128)], [*line(BRACES[form]), tick])
    assert all(each.fact("protection_unsure") for each in done)


@pytest.mark.parametrize("form", BRACES)
@pytest.mark.parametrize("flipped", [False, True])
def test_a_brace_about_several_outlets_asks_at_each(form: str, flipped: bool) -> None:
    """The outlet that lay nearest to the GFI was protected for certain, the others plainly were not."""
    drawn = np.array(BRACES[form], float)
    drawn = drawn[:, ::-1] if flipped else drawn
    row = [symbol(*(each.at[::-1] if flipped else each.at)) for each in ROW]
    gfi = word("GFI", 132, 150) if flipped else word("GFI", 150, 136)
    _, done, _ = given_to(row, [gfi], line(drawn))
    assert [each.fact("protection") for each in done] == [None] * 3
    assert all(each.fact("protection_unsure") for each in done)


@pytest.mark.parametrize(("form", "at"), [("bow", 132.5), ("line", 131.5)])
def test_a_brace_stands_farther_from_the_box_of_a_word_that_is_drawn(form: str, at: float) -> None:
    """It is 2 pt tighter than that of a font: all outlets were missing protection for certain."""
    gfi = replace(word("GFI", 150, at), origin="outline")
    _, done, _ = given_to(ROW, [gfi], line(BRACES[form]))
    assert all(each.fact("protection_unsure") for each in done)


def test_a_brace_about_several_outlets_asks_at_each_where_its_label_was_hardly_read() -> None:
    """The outer ones were missing protection for certain."""
    _, done, _ = given_to(ROW, [word("GFI", 150, 136, sure=0.4)], line(BRACES["bracket"]))
    assert all(each.fact("protection_unsure") for each in done)


@pytest.mark.parametrize(
    "points",
    [
        [(60, 142), (240, 142)],  # an edge
        [(94, 142), (206, 142), (206, 100)],  # a corner
        [(95, 136), (95, 142), (205, 142), (205, 136)],  # opens to the text
        [(95, 190), (95, 142), (205, 142), (205, 190)],  # a counter
        [(95, 148), (95, 142), (205, 142), (205, 148), (95, 148)],  # a box
    ],
)
def test_other_lines_beside_a_label_are_no_brace(points: list[tuple[float, float]]) -> None:
    _, done, _ = given_to(ROW, [word("GFI", 150, 136)], line(points))
    assert [each.fact("protection_unsure") for each in done][::2] == [None] * 2


def test_a_wire_between_two_outlets_is_no_brace() -> None:
    _, done, _ = given_to(ROW[:2], [word("GFI", 117, 152)], [(104.5, 159.5, 145.5, 159.5)])
    assert [each.fact("protection") for each in done] == ["device", None]
    assert not any(each.fact("protection_unsure") for each in done)


def test_a_fan_of_lines_longer_than_2_in_asks_at_each_outlet() -> None:
    """The outlet beside the label was protected for certain."""
    far = [symbol(150, 160), symbol(20, 330), symbol(280, 330)]
    fan = [(150.0, 181.0, 21.0, 324.0), (150.0, 181.0, 279.0, 324.0)]
    _, done, _ = given_to(far, [word("GFI", 150, 176)], fan)
    assert [each.fact("protection") for each in done] == [None] * 3
    assert all(each.fact("protection_unsure") for each in done)


@pytest.mark.parametrize(("sure", "asked"), [(0.9, True), (1.0, False)])
@pytest.mark.parametrize("words", ["GFI PROTECTED BY UPSTREAM", "DOWNSTREAM OF GFI"])
def test_a_line_that_leads_from_another_word_of_a_drawn_note_asks(words: str, sure: float, asked: bool) -> None:
    """Drawn letters of one width stand a letter apart from the next word: each word was a text of its own, and the
    outlet that the note's line leads to missing protection for certain.  Words of a font as far apart are two."""
    x, note = 0.0, []
    for text in words.split():
        x += 0.28 * 7.0 * len(text)
        note.append(replace(word(text, x, 99, sure=sure), origin="stroke" if sure < 1.0 else "font"))
        x += 0.28 * 7.0 * len(text) + 1.2 * 7.0
    at = {"GFI": 100.0, "DOWNSTREAM": 20.0}[words.split()[0]]
    _, done, _ = given_to([symbol(at, 160)], note, [(at, 105.0, at, 154.0)])
    assert bool(done[0].fact("protection_unsure")) is asked
