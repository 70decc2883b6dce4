"""Labels of several things that touch, read as one text that says nothing: what each may say is a question."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cordpath.circuits import protection_of
from cordpath.model import Answer, Outlet, Panel, PanelRow, Standing, Symbol, Word
from symbols.test_labels import given_to, symbol, word

TOUCHING, SPACED = -0.6, 2.0  # pt between the boxes of words


def _shown(text: str, x: float, y: float, line: int) -> Word:
    """A word that begins at a place."""
    made = word(text, x, y)
    half = (made.box[2] - made.box[0]) / 2
    return replace(made, box=(x, made.box[1], x + 2 * half, made.box[3]), line=line)


def _beside(parts: tuple[str, ...], style: str, gap: float) -> Symbol:
    """The outlet beside such words on a sheet where four others have tags of a style."""
    words = [_shown(style.format(2 * k + 1), 97.0 + 80 * k, 314, 10 + k) for k in range(4)]
    x = 95.0
    for n, part in enumerate(parts):
        words.append(_shown(part, x, 114, 50 + n))
        x = words[-1].box[2] + gap
    return given_to([symbol(100, 100), *(symbol(100 + 80 * k, 300) for k in range(4))], words)[1][0]


@pytest.mark.parametrize(
    ("parts", "style", "gap", "fact", "value"),
    [
        (("W", "6"), "{}", TOUCHING, "circuit_unsure", "6"),
        (("6", "W"), "{}", TOUCHING, "circuit_unsure", "6"),
        (("REF", "6"), "{}", TOUCHING, "circuit_unsure", "6"),
        (("S", "6"), "{}", TOUCHING, "circuit_unsure", "6"),
        (("S", "6"), "{}", SPACED, "circuit_unsure", "6"),
        (("REF", "6"), "{}", SPACED, "circuit_unsure", "6"),
        (("WP", "6"), "{}", SPACED, "circuit_unsure", "6"),
        (("REF", "A-6"), "A-{}", TOUCHING, "circuit_unsure", "A-6"),
        (("A-6", "WP"), "A-{}", TOUCHING, "circuit_unsure", "A-6"),
        (("REF", "GFI"), "A-{}", TOUCHING, "protection_unsure", "device"),
        (("GFI", '+42"'), "A-{}", TOUCHING, "protection_unsure", "device"),
        (("GARAGE", "GFI"), "A-{}", TOUCHING, "protection_unsure", "device"),
        (("GFI", "A-6"), "A-{}", TOUCHING, "protection_unsure", "device"),
    ],
)
def test_words_shown_apart_that_touch_may_be_labels_by_themselves(
    parts: tuple[str, ...], style: str, gap: float, fact: str, value: str
) -> None:
    """They were read as one text that nobody explained, and the outlet missed its protection for certain."""
    done = _beside(parts, style, gap)
    assert done.fact(fact) == value and done.fact(fact.removesuffix("_unsure")) is None


@pytest.mark.parametrize(
    ("parts", "style"), [(("W", "6"), "A-{}"), (("REF", "6"), "A-{}"), (("BATH", "6"), "{}"), (('4"', "-6"), "{}")]
)
def test_numbers_are_no_circuits_where_tags_have_letters_nor_in_names_and_measures(
    parts: tuple[str, ...], style: str
) -> None:
    assert _beside(parts, style, TOUCHING).fact("circuit_unsure") is None


def test_the_letter_of_a_washer_that_touches_a_circuit_names_no_panel() -> None:
    """The outlet, on a circuit with a GFCI breaker, was said to have no circuit tag."""
    place = Standing((100.0, 96.0), (0.0, 1.0), "r1", 0.0)
    outlet = Outlet("E-1.1", _beside(("W", "6"), "{}", TOUCHING), place)
    rows = [
        PanelRow((str(n),), "RECEPTACLES", 1, 20.0, (Answer.NO, Answer.YES)[n == 6], Answer.NO, "")
        for n in range(1, 9)
    ]
    assert protection_of(outlet, (Panel("A", tuple(rows), "E-1"),)).shown is Answer.UNKNOWN
