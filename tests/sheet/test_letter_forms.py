"""Words in a sheet's own letter forms: found stroke by stroke under other ink, and nowhere else."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.model import Fills, Strokes, Word
from cordpath.sheet.lettering import lettering
from cordpath.sheet.lettering.hand import Chain, Ends, Hit
from cordpath.sheet.lettering.hand_words import _Book
from cordpath.sheet.lettering.letter_forms import GRID, Form, paired
from sheet.stroke_face import strokes

CAP = 6.0
# Clear words of the sheet: they show every letter that the tests ask for, the figures in circuits.
SHOWN = ("KITCHEN", "GARAGE", "BEDROOM", "WATER", "PANEL", "LIGHTING", "DRYER", "WASHER", "GFI", "GFI", "GFI",
         "A-12", "A-34", "A-56", "A-78", "A-19", "B-20", "B-35", "B-47", "B-68", "B-10")  # fmt: skip
AT = (300.0, 300.0)


def page(*more: np.ndarray) -> Strokes:
    """Clear words in two columns, and what a test adds, on a plotter's grid."""
    rows = [
        strokes(text, (40.0 + 100 * column, 30.0 + 14 * row), CAP)
        for column in (0, 1) for row, text in enumerate(SHOWN)
    ]  # fmt: skip
    xy = np.concatenate([*rows, *more])
    return Strokes.of(np.round(xy / GRID) * GRID)


def circle(x: float, y: float, r: float = 6.0) -> np.ndarray:
    a = np.linspace(0, 2 * np.pi, 17)
    points = np.c_[x + r * np.cos(a), y + r * np.sin(a)]
    return np.c_[points[:-1], points[1:]]


def crossed() -> np.ndarray:
    """A circle with two bars and a broken line, over what stands at ``AT``."""
    x, y = AT[0] + 5.0, AT[1] - 3.0
    bars = np.array([[x - 9, y - 2, x + 9, y - 2], [x - 9, y + 2, x + 9, y + 2], [x - 4, y - 7, x + 7, y + 5]])
    return np.concatenate([circle(x, y), bars])


def read(strokes_: Strokes) -> list[Word]:
    return [
        word for word in lettering(strokes_, Fills.none(), ()).words
        if AT[0] - 20 < word.at[0] < AT[0] + 40 and AT[1] - 20 < word.at[1] < AT[1] + 20
    ]  # fmt: skip


@pytest.mark.parametrize("text", ["WA", "GFI", "A-34"])
def test_a_word_over_a_symbol_is_read_in_the_sheets_own_forms(text: str) -> None:
    (word,) = read(page(strokes(text, AT, CAP), crossed()))
    assert word.text == text
    assert word.box[0] == pytest.approx(AT[0], abs=2.0)


def test_its_strokes_are_known_one_by_one() -> None:
    sheet = page(strokes("WA", AT, CAP), crossed())
    found = lettering(sheet, Fills.none(), ())
    (word,) = [word for word in found.words if word.text == "WA"]
    own = sheet.xy[found.lettered == word.line]
    wanted = np.round(strokes("WA", AT, CAP) / GRID) * GRID
    assert sorted(map(tuple, own.round(3).tolist())) == sorted(map(tuple, wanted.round(3).tolist()))


@pytest.mark.parametrize("left_out", range(4))
def test_a_letter_without_one_of_its_strokes_is_not_read(left_out: int) -> None:
    """A W is four strokes: no three of them are one, and an A alone between lines is nobody's word."""
    letters = np.delete(strokes("WA", AT, CAP), left_out, axis=0)
    assert "WA" not in {word.text for word in read(page(letters, crossed()))}


def test_no_f_is_seen_in_an_e() -> None:
    texts = {word.text for word in read(page(strokes("GEI", AT, CAP), crossed()))}
    assert "GFI" not in texts


def test_a_circuit_with_something_unread_beside_its_last_figure_is_not_sure() -> None:
    """The comma and the figure in no known form may make it another circuit."""
    odd = strokes("A-3", AT, CAP)
    more = np.array([[18.0, 0.0, 16.5, -2.0], [16.5, -2.0, 19.0, -5.5], [19.0, -5.5, 17.0, -6.0]])
    words = read(page(odd, more + np.tile(AT, 2), crossed()))
    assert all(word.confidence < 0.8 for word in words if word.text == "A-3")


def test_letters_of_another_size_are_found_where_the_sheet_letters_in_it() -> None:
    alone = [strokes("S", (400.0, 40.0 + 30 * k), 7.2) for k in range(4)]
    names = [strokes("WASHER", (40.0, 420.0 + 14 * k), CAP) for k in range(3)]
    words = read(page(*alone, *names, strokes("S", (AT[0] + 3, AT[1]), 7.2), crossed()))
    assert [word.text for word in words] == ["S"]


def test_a_sheet_without_lettering_says_nothing() -> None:
    found = lettering(Strokes.of(crossed()), Fills.none(), ())
    assert not found.words


@given(
    st.lists(
        st.tuples(*[st.integers(0, 50)] * 4).filter(lambda s: s[:2] != s[2:]), min_size=1, max_size=8, unique=True
    ),
    st.randoms(use_true_random=False),
)
def test_strokes_in_another_order_and_sense_are_one_form(drawn: list[tuple[int, ...]], order) -> None:  # type: ignore[no-untyped-def]
    one = np.array(drawn, float)
    if len({frozenset([s[:2], s[2:]]) for s in drawn}) < len(drawn):
        return  # the same line twice
    other = one[order.sample(range(len(one)), len(one))]
    back = np.array([order.random() < 0.5 for _ in range(len(one))])
    other[back] = other[back][:, [2, 3, 0, 1]]
    mates = paired(one, other)
    assert mates is not None and np.abs(mates - one).max() == 0


@given(st.integers(0, 40), st.integers(0, 40))
def test_a_form_is_found_where_it_is_drawn_and_nowhere_else(x: int, y: int) -> None:
    form = strokes("W", (0.0, 0.0), CAP)
    ends = Ends(np.concatenate([form + np.array([x, y, x, y]), crossed()]))
    at, own = ends.places(form)
    assert at == pytest.approx(np.array([[x, y]]))
    assert own.tolist() == [[0, 1, 2, 3]]  # W has four strokes, in the order of the form


@pytest.mark.parametrize(("wider", "line"), [("'88", None), ("J88", 4)])
def test_a_letter_that_was_read_as_a_mark_of_a_wider_word_is_none_of_its_letters(
    wider: str, line: int | None
) -> None:
    """A J over a label is its apostrophe to the reader of rows: its strokes are free for who asks about a J."""
    form = Form("J", np.array([[4.0, -6.0, 4.0, -2.0], *([k, 0.0, k + 1.0, 0.0] for k in range(5))]), 3, True)
    hit = Hit(form, (0.0, 6.0), 4.0, frozenset(range(6)))
    book = _Book([Word(wider, (-1.0, -1.0, 20.0, 8.0), 0.0, 8.0, 4, origin="stroke")], 9)
    assert book.enter(Chain((hit,), 0.0, CAP, hit.strokes), lambda: True) == line


@pytest.mark.parametrize("tag", ["A-6", "A-3", "B-7"])
@pytest.mark.parametrize("gap", [0.0, 1.0])
def test_a_circle_with_a_bar_at_the_end_of_a_circuit_is_no_figure_of_it(tag: str, gap: float) -> None:
    """A-6 beside a receptacle of one bar was A-66: another circuit."""
    letters = strokes(tag, AT, CAP)
    x, y = float(letters[:, [0, 2]].max()) + gap, AT[1] - 0.5 * CAP
    bar = np.array([[x, y, x + 17.0, y]])
    assert [word.text for word in read(page(letters, bar, circle(x + 8.6, y)))] == [tag]


def chain(letters: Sequence[str], times: int = 9) -> Chain:
    """A row of forms of five strokes, each of which may be any of its letters."""
    row = np.array([[k, 0.0, k + 1.0, -CAP] for k in np.linspace(0, 2, 5)])
    hits = [Hit(Form(own, row, times, times > 2), (5.0 * k, CAP), 3.0, frozenset(range(5 * k, 5 * k + 5)))
            for k, own in enumerate(letters)]  # fmt: skip
    return Chain(tuple(hits), 0.0, CAP, frozenset(range(5 * len(letters))))


@pytest.mark.parametrize(("letters", "text"), [(["G", "F", "I1L"], "GFI"), (["C", "I1L", "O0"], None)])
def test_gfi_is_no_circuit_of_a_panel_of_two_letters_where_i_is_drawn_like_1(
    letters: list[str], text: str | None
) -> None:
    """C10 of a panel of one letter stays as likely as a word."""
    book = _Book([], 0)
    book.enter(chain(letters), lambda: True)
    assert [word.text for word in book.words] == ([text] if text else [])


def test_a_piece_of_a_circuit_gives_way_to_the_whole_of_it_though_it_is_not_sure() -> None:
    """The 9 of A-19 is known from two examples only; A-1 is another circuit, and as unsure."""
    book = _Book([Word("A-1", (0.0, -1.0, 13.0, 8.0), 0.0, 8.0, 4, "", (0, 0, 0), "stroke", 0.6)], 9)
    book.enter(chain(["A", "-", "1", "9"], times=2), lambda: True)
    assert [word.text for word in book.words] == ["A-19"]


@pytest.mark.parametrize(("wider", "line"), [("JNAGJODJJIS", None), ("NOGFIS", 4)])
def test_a_mark_under_a_wider_word_that_does_not_say_it_is_no_letter_of_it(wider: str, line: int | None) -> None:
    """GFI with a note over it was of the note, and its outlet a plain duplex for certain."""
    book = _Book([Word(wider, (-9.0, -1.0, 40.0, 8.0), 0.0, 8.0, 4, "", (0, 0, 0), "stroke", 0.6)], 9)
    assert book.enter(chain(["G", "F", "I1L"]), lambda: True) == line
