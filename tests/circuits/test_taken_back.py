"""A label of protection beside a word that denies it protects nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.circuits import shown_protections
from cordpath.circuits.taken_back import taken_back
from cordpath.model import Answer, Fills, Label, Outlet, Sheet, Standing, Strokes, Symbol, SymbolEntry, Word

GFI = Label("GFI", (100.0, 110.0), (("protection", "device"),))


def outlet(*labels: Label, name: str = "duplex") -> Outlet:
    entry = SymbolEntry(name, "receptacle", shape=())
    body = shapely.Point(100, 100).buffer(5)
    symbol = Symbol(entry, (100.0, 100.0), 0.0, False, 1.0, 1.0, True, None, body, np.zeros(0, np.int64))
    return Outlet("E.1", replace(symbol, labels=labels), Standing((100.0, 100.0), None, None, 0.0))


def word(text: str, x: float, y: float, angle: float = 0.0) -> Word:
    half = (1.6 * len(text), 3.0) if not angle else (3.0, 1.6 * len(text))
    return Word(text, (x - half[0], y - half[1], x + half[0], y + half[1]), angle, 5.5, 0, "Helv")


def sheet(*words: Word) -> Sheet:
    return Sheet(
        "x.pdf", 1, None, None, 800.0, 600.0, Strokes.of(np.zeros((0, 4))), Fills.none(), words, (), (), ()
    )


def shown(one: Outlet, *words: Word) -> Answer:
    (told,) = shown_protections(taken_back((one,), sheet(*words)), ())
    assert told.shown is not Answer.UNKNOWN or "the label" in told.reasons[0]
    return told.shown


@pytest.mark.parametrize("text", ["NO", "REMOVE", "(D)", "REPLACE", "Not", "DEMO", "TBR", "FUTURE", "EXCEPT", "?",
                                  "CAN'T", "DISCONNECTED", "CHANGE", "-NO", "= NO"])  # fmt: skip
def test_a_word_above_below_or_beside_the_label_takes_it_back(text: str) -> None:
    """In one line such words were read together with the label; stacked, GFI alone protected."""
    for at in ((100.0, 103.0), (100.0, 117.0), (109.0 + 1.6 * len(text), 110.0)):
        assert shown(outlet(GFI), word(text, *at)) is Answer.UNKNOWN


def test_so_does_a_label_of_its_own() -> None:
    assert shown(outlet(GFI, Label("(D)", (130.0, 90.0)))) is Answer.UNKNOWN
    told = Label("(D)", (130.0, 90.0), (("status", "demolished"),))
    assert shown(outlet(GFI, told)) is Answer.UNKNOWN


def test_so_does_a_word_of_the_label_that_is_understood_by_itself() -> None:
    demolished = (("status", "demolished"), ("protection", "device"))
    assert shown(outlet(Label("DEMO GFI", (100.0, 110.0), demolished))) is Answer.UNKNOWN
    assert shown(outlet(Label("REPLACE W/ GFI", (100.0, 110.0), GFI.sets))) is Answer.YES
    assert shown(outlet(Label("(E) GFI", (100.0, 110.0), (("status", "existing"), *GFI.sets)))) is Answer.YES


@pytest.mark.parametrize("text", ["WP", "(E)", "A-12", "NEW", "NORTH", "+42", "REF"])
def test_other_words_do_not(text: str) -> None:
    assert shown(outlet(GFI, Label(text, (100.0, 117.0))), word(text, 100.0, 117.0)) is Answer.YES


def test_nor_do_words_that_stand_apart() -> None:
    assert shown(outlet(GFI), word("REMOVE", 100.0, 130.0), word("NO", 140.0, 110.0)) is Answer.YES


@pytest.mark.parametrize(("text", "answer"), [("NOT FOR CONSTRUCTION", Answer.YES), ("REMOVE", Answer.UNKNOWN)])
def test_nor_does_a_stamp_across_the_sheet_but_a_large_word_by_itself_does(text: str, answer: Answer) -> None:
    stamp = [replace(word(each, 120.0 + 250 * k, 150.0), size=100.0) for k, each in enumerate(text.split())]
    assert shown(outlet(GFI), *stamp) is answer


def test_the_same_along_a_label_that_is_read_upwards() -> None:
    assert shown(outlet(GFI), word("REMOVE", 107.0, 110.0, 90.0)) is Answer.UNKNOWN
    assert shown(outlet(GFI), word("REMOVE", 125.0, 110.0, 90.0)) is Answer.YES


def test_a_breaker_still_protects_and_other_facts_stay() -> None:
    (got,) = taken_back(
        (outlet(replace(GFI, sets=(*GFI.sets, ("weatherproof", True)))),), sheet(word("NO", 100, 117))
    )
    assert got.symbol.fact("weatherproof") is True and got.symbol.fact("protection") is None
    plain = (outlet(Label("WP", (100.0, 110.0), (("weatherproof", True),))),)
    assert taken_back(plain, sheet(word("NO", 100, 117))) == plain
