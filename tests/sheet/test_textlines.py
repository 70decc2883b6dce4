"""Runs of text joined to rows."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.geometry import hull
from cordpath.model import TextOrigin, Word
from cordpath.sheet.text.textlines import MOST_OPEN, Run, _continues, rows, runs


def one_by_one(found: list[Run]) -> list[Run]:
    """The rule by itself: every run goes on the last row that it continues, of those that came last."""
    joined: list[Run] = []
    open_rows: list[Run] = []
    for run in sorted(found, key=lambda run: run.box[0]):
        match = next((row for row in reversed(open_rows) if _continues(row, run)), None)
        if match is not None:
            open_rows.remove(match)
            run = Run(f"{match.text} {run.text}", hull([match.box, run.box]), max(match.size, run.size))
        open_rows.append(run)
        if len(open_rows) > MOST_OPEN:
            joined.extend(open_rows[: MOST_OPEN // 2])
            open_rows = open_rows[MOST_OPEN // 2 :]
    return sorted(joined + open_rows, key=lambda run: (round(run.box[1], 1), run.box[0]))


@st.composite
def texts(draw: st.DrawFn) -> Run:
    x, y = draw(st.integers(0, 60)) / 2, draw(st.integers(-12, 40)) * 0.7
    wide, size = draw(st.sampled_from((1.0, 4.0, 9.0))), draw(st.sampled_from((0.0, 1.0, 3.0, 6.0, 9.0, 700.0)))
    return Run(draw(st.sampled_from("AB")), (x, y - size, x + wide, y), size)


@settings(max_examples=150, deadline=None)
@given(st.lists(texts(), max_size=40))
def test_rows_are_those_that_a_look_at_every_open_row_gives(found: list[Run]) -> None:
    assert rows(found) == one_by_one(found)


def test_rows_of_a_sheet_with_more_text_than_may_stay_open() -> None:
    found = [Run("A", (x * 0.3, y * 9.0, x * 0.3 + 5, y * 9.0 + 6), 6.0) for x in range(90) for y in range(12)]
    found += [Run("B", (k * 0.01, 200.0 + 7 * k, k * 0.01 + 4, 206.0 + 7 * k), 6.0) for k in range(500)]
    assert rows(found) == one_by_one(found)


def test_a_place_that_is_no_number_continues_nothing() -> None:
    odd = Run("A", (0.0, 0.0, 4.0, float("nan")), 6.0)
    assert [run.text for run in rows([odd, Run("B", (5.0, 0.0, 9.0, 6.0), 6.0)])] == ["A", "B"]


def test_runs_are_of_level_words_that_are_seen() -> None:
    def word(text: str, x: float, angle: float = 0.0, origin: TextOrigin = "font") -> Word:
        return Word(text, (x, 0.0, x + 20, 8.0), angle, 8.0, 3, origin=origin)

    found = runs((word("LINE", 30), word("MATCH", 0), word("UP", 60, 90.0), word("UNSEEN", 90, 0.0, "hidden")))
    assert [run.text for run in found] == ["MATCH LINE"]
    assert [run.text for run in runs((word("NEARLY", 0, 359.5),))] == ["NEARLY"]
