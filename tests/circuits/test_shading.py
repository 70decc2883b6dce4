"""Notes that speak of the shaded rows of a schedule; schedules made up, no source."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.circuits import read_panels
from cordpath.model import Answer, Fills

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
COLUMNS = [("CKT", 40), ("DESCRIPTION", 150), ("BKR", 40), ("POLES", 40)]
TOP, PITCH, RIGHT = 114.0, 14.0, 370.0
GREY, LIGHT, WHITE = 0.8, 0.9, 1.0


def answers(trade, note, *shades, loads=("LOAD",) * 6):
    """The answers of six circuits; ``shades``: (row, luminance, right end) of fills in paint order."""
    rows = [[str(k + 1), load, "20", "1"] for k, load in enumerate(loads)]
    words, strokes = trade.draw(COLUMNS, rows, "PANEL A")
    trade.text(words, 60, 102, TOP + 8 * PITCH, note)
    shapes = [shapely.box(100, TOP + r * PITCH, end, TOP + (r + 1) * PITCH) for r, _, end in shades]
    n = len(shapes)
    fills = Fills(
        np.array([*shapes, None], object)[:-1], np.array([[shade] * 3 for _, shade, _ in shades]).reshape(-1, 3),
        np.ones(n), np.zeros(n, np.int64), np.arange(n),
    )  # fmt: skip
    (panel,) = read_panels(replace(trade.sheet((words, strokes)), fills=fills))
    return [row.gfci for row in panel.rows]


SHADED = [(0, GREY, RIGHT), (2, GREY, RIGHT), (3, GREY, RIGHT)]
SETTLED = [YES, NO, YES, YES, NO, NO]


@pytest.mark.parametrize(
    "note", ["SHADED = GFCI BREAKER", "NOTE: SHADED CIRCUITS ARE PROVIDED WITH GFCI CIRCUIT BREAKERS"]
)
def test_shaded_rows_are_what_the_note_says(trade, note):
    """All six rows were questions."""
    assert answers(trade, note, *SHADED) == SETTLED
    # White below the table's words, and white over a row that was shaded before.
    assert answers(trade, note, (5, WHITE, RIGHT), *SHADED, (4, GREY, RIGHT), (4, WHITE, RIGHT)) == SETTLED


@pytest.mark.parametrize(
    ("note", "shaded"),
    [("SHADED BREAKERS GFCI BY OTHERS", UNKNOWN), ("SHADED CIRCUITS GFCI, SEE SPECIFICATION", UNKNOWN),
     ("SHADED = GFCI OR AFCI BREAKER", UNKNOWN)],
)  # fmt: skip
def test_a_note_that_is_not_plain_leaves_the_shaded_rows_open(trade, note, shaded):
    assert answers(trade, note, *SHADED) == [shaded, NO, shaded, shaded, NO, NO]


@pytest.mark.parametrize(
    "shades",
    [[], [(r, GREY, RIGHT) for r in range(6)], [(r, GREY, RIGHT) for r in (0, 2, 4)],
     [(0, GREY, RIGHT), (2, LIGHT, RIGHT), (3, GREY, RIGHT)], [*SHADED, (5, GREY, 250.0)]],
    ids=["none", "all", "every second", "two shades", "a part of a row"],
)  # fmt: skip
def test_shading_that_is_not_plain_leaves_every_row_open(trade, shades):
    assert answers(trade, "SHADED = GFCI BREAKER", *shades) == [UNKNOWN] * 6


def test_a_note_that_leaves_the_shaded_rows_out_is_asked_about(trade):
    assert YES not in answers(trade, "ALL BREAKERS GFCI EXCEPT SHADED CIRCUITS", *SHADED)
    assert answers(trade, "ALL BREAKERS GFCI EXCEPT SHADED CIRCUITS", *SHADED)[1] is UNKNOWN


def test_a_shaded_space_has_no_breaker_yet(trade):
    loads = ["BATH", "HALL", "FUTURE SPA", "GARAGE", "DEN", "ATTIC"]
    assert answers(trade, "SHADED = GFCI BREAKER", *SHADED, loads=loads) == [YES, NO, UNKNOWN, YES, NO, NO]
