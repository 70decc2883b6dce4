"""The name of a match line: MATCH before LINE in one line of text, or MATCHLINE."""

from __future__ import annotations

import pytest

from cordpath.model import Word
from cordpath.rooms.match_lines import _names


def words(*lines: str) -> tuple[Word, ...]:
    return tuple(
        Word(text, (40.0 * k, 10.0 * n, 40.0 * k + 30, 10.0 * n + 8), 0.0, 8.0, n)
        for n, line in enumerate(lines)
        for k, text in enumerate(line.split())
    )


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        (("MATCH LINE - SEE E-102",), ["MATCH"]),
        (("SEE E-102", "Match lines:"), ["Match"]),
        (("MATCHLINE A",), ["MATCHLINE"]),
        (("PAINT TO MATCH", "LINE VOLTAGE"), []),  # the word below is of another text
        (("MATCH EXISTING",), []),
        (("LINE MATCH",), []),
        (("MATCH",), []),
    ],
)
def test_which_words_name_a_match_line(lines: tuple[str, ...], found: list[str]) -> None:
    assert [word.text for word in _names(words(*lines))] == found
