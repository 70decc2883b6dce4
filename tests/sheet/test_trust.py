"""How far words read from strokes are believed: whatever is in doubt settles nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.trust import (
    DOUBTFUL,
    DROPPED,
    FIGURE,
    LIKELY,
    MARGIN,
    PARTED,
    PROBABLE,
    SETTLED,
    WEAK,
    Trust,
    trust,
)

CLEAR = Token("GFCI", 0, 3, True, 0.99, 0.95, 1.0, 4)


@pytest.mark.parametrize(
    ("change", "around", "short"),
    [
        ({"text": "12", "span": 2}, {"like_text": False}, True),
        ({"text": "12", "span": 2}, {"like_text": False, "whole": False}, False),
        ({"text": "2", "hit": False, "span": 0}, {"filled": True}, True),
        ({"text": "2", "hit": False, "span": 0}, {"filled": True, "whole": False}, False),
        ({}, {}, False),
    ],
)
def test_what_only_its_shortness_speaks_against(change: dict, around: dict, short: bool) -> None:
    asked = {"like_text": True, "filled": False, "whole": True} | around
    assert trust(replace(CLEAR, **change), **asked).short is short


def told(token: Token = CLEAR, *, like_text: bool = True, filled: bool = False, whole: bool = True) -> Trust:
    return replace(trust(token, like_text, filled, whole), short=False)


def test_a_clear_word_of_the_vocabulary_is_believed() -> None:
    assert told() == told(filled=True) == Trust(True, SETTLED)


@pytest.mark.parametrize(
    ("change", "around", "want"),
    [
        ({"confidence": 0.89}, {}, DOUBTFUL),
        ({"least": 0.59}, {}, DOUBTFUL),
        ({}, {"whole": False}, PROBABLE),  # it may be the end of a longer word
        ({"text": "GARAGE", "span": 6}, {"whole": False}, SETTLED),  # as this can hardly be
        ({"text": "BR 10X12", "span": 8}, {"whole": False}, PROBABLE),
        ({"margin": MARGIN - 0.01}, {}, PROBABLE),
        ({"parted": PARTED - 0.01}, {}, PROBABLE),
        ({"text": "A-12", "least": FIGURE - 0.01}, {}, PROBABLE),
        ({"text": "A-12", "least": FIGURE}, {}, SETTLED),
        ({"least": FIGURE - 0.01}, {}, SETTLED),  # without figures
        ({"text": "LT-8"}, {}, PROBABLE),  # B-17 upside down
        ({"text": "+18'"}, {}, PROBABLE),  # +18" that lost a prime
        ({"text": "+18'-0\"", "span": 7}, {}, SETTLED),
        ({"text": "WP", "span": 2}, {}, LIKELY),
        ({"text": "WP", "span": 2, "least": 0.89}, {}, PROBABLE),
        ({"text": "WP", "span": 2}, {"like_text": False}, PROBABLE),
        ({"text": "WP", "span": 2, "confidence": 0.96}, {"like_text": False}, WEAK),
        ({}, {"like_text": False}, LIKELY),
        ({"least": 0.89}, {"like_text": False}, PROBABLE),
        ({"text": "GFI", "span": 3}, {}, SETTLED),
        ({"text": "GFI", "span": 3, "least": 0.89}, {}, PROBABLE),
    ],
)
def test_a_word_of_the_vocabulary_by_how_clear_it_is(change: dict, around: dict, want: float) -> None:
    assert told(replace(CLEAR, **change), **around) == Trust(True, want)


@pytest.mark.parametrize(
    ("change", "around", "want"),
    [
        ({"text": "--"}, {}, DROPPED),
        ({"text": "S"}, {}, Trust(True, WEAK)),
        ({"text": "S", "confidence": 0.89}, {}, Trust(False, WEAK)),
        ({"text": "O"}, {}, Trust(False, WEAK)),  # a circle
        ({"text": "O"}, {"filled": True}, Trust(True, WEAK)),
        ({"text": "X", "least": 0.98}, {"filled": True}, Trust(True, LIKELY)),  # the cell of a schedule
        ({"text": "X", "least": 0.98}, {"filled": True, "whole": False}, Trust(True, WEAK)),
        ({"text": "X", "least": 0.98}, {}, Trust(False, WEAK)),  # two lines that cross
        ({"text": "#", "least": 0.98}, {"filled": True}, Trust(True, LIKELY)),  # the header of a column
        ({"text": "*", "least": 0.98}, {"filled": True}, Trust(True, LIKELY)),  # the key of a note
        ({"text": "#"}, {"filled": True}, DROPPED),
        ({"text": "#"}, {}, DROPPED),  # hatch
        ({"text": "ZORB"}, {"like_text": False}, DROPPED),
        ({"text": "Z--/"}, {}, DROPPED),
        ({"text": "ZO"}, {}, Trust(True, WEAK)),
        ({"text": "ZO", "confidence": 0.96}, {}, Trust(False, WEAK)),
        ({"text": "ZORB"}, {}, Trust(True, DOUBTFUL)),
        ({"text": "ZORB", "confidence": 0.59}, {}, Trust(False, DOUBTFUL)),
    ],
)
def test_what_the_vocabulary_does_not_know(change: dict, around: dict, want: Trust) -> None:
    assert told(replace(CLEAR, hit=False, span=0, **change), **around) == want


@given(
    st.sampled_from(("GFI", "A-12", "WP", "KITCHEN", "S", "--", "LT-8")), st.booleans(), st.booleans(),
    st.tuples(*[st.floats(0, 1)] * 4), st.integers(0, 9),
)  # fmt: skip
def test_doubt_never_makes_a_word_surer(text: str, hit: bool, whole: bool, sure: tuple, span: int) -> None:
    token = Token(text, 0, len(text) - 1, hit, sure[0], sure[1], sure[2], span, sure[3])
    best = replace(token, confidence=1.0, least=1.0, margin=2.0, parted=1.0)
    for like_text in (True, False):
        found, at_best = trust(token, like_text, False, whole), trust(best, like_text, False, True)
        assert (found.kept, found.confidence) <= (at_best.kept, at_best.confidence) or not found.kept


@pytest.mark.parametrize(
    ("text", "least", "like_text", "kept"),
    [("-", 0.95, True, True), ("&", 0.95, True, True), ("-", 0.8, True, False), ("-", 0.99, False, False),
     (".", 0.99, True, False), ("'", 0.99, True, False)],
)  # fmt: skip
def test_a_dash_between_words_joins_them(text: str, least: float, like_text: bool, kept: bool) -> None:
    """GFI - TYP. THIS ROOM in outlines: without its dash the note was a label of no outlet and a text beside it."""
    token = replace(CLEAR, text=text, last=0, hit=False, confidence=0.99, least=least, span=1)
    assert told(token, like_text=like_text).kept is kept
