"""Where lettering was not read, the lack of a protection label proves nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from cordpath.circuits.unread import doubt_unread
from cordpath.model import (
    Answer,
    Fills,
    Outlet,
    Protection,
    Sheet,
    Standing,
    Strokes,
    Symbol,
    SymbolEntry,
    Word,
)

NOT_SHOWN = Protection(Answer.NO, None, None, None, ("no label",))
SHOWN = Protection(Answer.YES, "device", "label 'GFI'")


def outlet(name: str, x: float) -> Outlet:
    entry = SymbolEntry("duplex", "receptacle", shape=())
    body = shapely.Point(x, 100).buffer(5)
    symbol = Symbol(entry, (x, 100.0), 0.0, False, 1.0, 1.0, True, None, body, np.zeros(0, np.int64))
    return Outlet(name, symbol, Standing((x, 100.0), None, None, 0.0))


def sheet(words: int, unread: tuple[tuple[float, float], ...]) -> Sheet:
    word = Word("KITCHEN", (0, 0, 10, 10), 0.0, 8.0, 0, origin="stroke")
    return Sheet(
        "x.pdf", 1, None, None, 800.0, 600.0, Strokes.of(np.zeros((0, 4))), Fills.none(), (word,) * words, (), (),
        (), unread_at=unread,
    )  # fmt: skip


def test_only_the_outlet_beside_unread_lettering_is_in_doubt() -> None:
    outlets = (outlet("a", 100), outlet("b", 400), outlet("c", 110))
    got = doubt_unread(outlets, (NOT_SHOWN, NOT_SHOWN, SHOWN), sheet(50, ((115.0, 90.0),)))
    assert [each.shown for each in got] == [Answer.UNKNOWN, Answer.NO, Answer.YES]
    assert "could not be read" in got[0].reasons[0]


def test_a_sheet_that_cannot_be_read_shows_no_lack() -> None:
    places = tuple((700.0, 10.0 * k) for k in range(30))
    got = doubt_unread((outlet("a", 100),), (NOT_SHOWN,), sheet(20, places))
    assert got[0].shown is Answer.UNKNOWN and "30 lines" in got[0].reasons[0]


def test_text_sheets_are_left_alone() -> None:
    given = (NOT_SHOWN,)
    assert doubt_unread((outlet("a", 100),), given, sheet(0, ())) is given
    assert doubt_unread((), (), replace(sheet(1, ((1.0, 1.0),)))) == ()


def test_a_few_drawn_labels_on_a_sheet_of_fonts_do_not_speak_for_the_sheet() -> None:
    drawn = sheet(3, ((115.0, 90.0),))
    font = replace(drawn.words[0], origin="font")
    mixed = replace(drawn, words=drawn.words + (font,) * 200)
    got = doubt_unread((outlet("a", 100), outlet("b", 400)), (NOT_SHOWN, NOT_SHOWN), mixed)
    assert [each.shown for each in got] == [Answer.UNKNOWN, Answer.NO]
