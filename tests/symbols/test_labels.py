"""Texts beside symbols: what they say, and to whom they are given."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import (
    Drawing,
    Fills,
    Label,
    LabelEntry,
    Mapping,
    Region,
    RoomEntry,
    Sheet,
    Strokes,
    Symbol,
    SymbolEntry,
    TextMark,
    Unexplained,
    View,
    Word,
)  # fmt: skip
from cordpath.rules import load_edition
from cordpath.symbols.labels.labels import attach
from cordpath.symbols.labels.words import read

DUPLEX = SymbolEntry("duplex", "receptacle")
LIGHT = SymbolEntry("light", "light")
APPLIANCES = (
    ("DISHW.", "dishwasher"), ("DISH WASHER", "dishwasher"), ("MWO", "microwave"), ("CLOTHES DRYER", "dryer"),
    ("STOVE", "range"), ("OVEN", "oven"), ("WALL OVEN", "wall oven"), ("DBL. OVEN", "wall oven"),
    ("COOKTOP", "cooktop"), ("COOK TOP", "cooktop"), ("WARMING DRAWER", "warming drawer"),
    ("EJECTOR PUMP", "ejector pump"), ("WATER COOLER", "water cooler"), ("DRINKING FTN.", "drinking fountain"),
    ("JACUZZI", "whirlpool"), ("HYDROMASSAGE TUB", "whirlpool"), ("POOL PUMP", "pool pump"), ("SPA", "hot tub"),
    ("HEATED FLOOR", "heated floor"), ("BOAT HOIST", "boat lift"), ("EV CHARGER", "electric vehicle"),
)  # fmt: skip
RADIUS = 5.4  # pt, the body of a receptacle of 0.15 in


def symbol(x: float, y: float, entry: SymbolEntry = DUPLEX, radius: float = RADIUS) -> Symbol:
    outline = shapely.Point(x, y).buffer(radius)
    return Symbol(entry, (x, y), 0.0, False, 1.0, 0.99, True, "v1", outline, np.zeros(0, np.int64))


def word(text: str, x: float, y: float, angle: float = 0.0, sure: float = 1.0) -> Word:
    size = 7.0
    half = (0.28 * size * len(text), 0.5 * size)
    half = half if angle % 180 == 0 else (half[1], half[0])
    box = (x - half[0], y - half[1], x + half[0], y + half[1])
    return Word(text, box, angle, size, -1, confidence=sure)


def sheet(words: list[Word], strokes: Sequence[tuple[float, ...]] = (), regions: tuple[Region, ...] = (),
          views: tuple[View, ...] = ()) -> Sheet:  # fmt: skip
    xy = np.array(strokes, float).reshape(-1, 4)
    return Sheet("f.pdf", 1, None, None, 2000, 2000, Strokes.of(xy), Fills.none(), tuple(words), (), views, regions)


def given_to(
    symbols: list[Symbol],
    words: list[Word],
    strokes: Sequence[tuple[float, ...]] = (),
    **more: Any,
) -> tuple[list[dict[str, tuple[tuple[str, Any], ...]]], list[Symbol], tuple[Unexplained, ...]]:
    mapping = Mapping("m", Drawing(), (DUPLEX,), more.pop("labels", ()), more.pop("rooms", ()))
    done, lost = attach(tuple(symbols), sheet(words, strokes, **more), mapping)
    return [{label.text: label.sets for label in s.labels} for s in done], list(done), lost


PROTECTED = (("protection", "device"),)
UNSURE = (("protection_unsure", "device"),)


# --------------------------------------------------------------------------------------- what a text says


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("GFI", {"protection": "device"}),
        ("gfci", {"protection": "device"}),
        ("GFI/WP", {"protection": "device", "weatherproof": True}),
        ("WP, GFI", {"protection": "device", "weatherproof": True}),
        ("GFI TYP.", {"protection": "device"}),
        ('GFI @ 42"', {"protection": "device", "height_in": 42.0}),
        ('+42"', {"height_in": 42.0}),
        ("+18", {"height_in": 18.0}),
        ('42" AFF', {"height_in": 42.0}),
        ("+3'-6\"", {"height_in": 42.0}),
        ("A-12", {"circuit": "A-12"}),
        ("LP1-7", {"circuit": "LP1-7"}),
        ("A-12,14", {"circuit": "A-12,14"}),
        ("(A12)", {"circuit": "A-12"}),
        ("CKT 4", {"circuit": "4"}),
        ("Ckt. #12", {"circuit": "12"}),
        ("CIR 2,4", {"circuit": "2,4"}),
        ("CKT A12", {"circuit": "A-12"}),
        ("240V", {"volts": 240.0}),
        ("L6-30R", {"volts": 240.0}),
        ("50A", {"amperes": 50.0}),
        ("DW", {"serves": "dishwasher"}),
        ("DISP/GD", {"serves": "disposer"}),
        ("MW", {"serves": "microwave"}),
        ("(E)", {"status": "existing"}),
        ("WR", {}),
        ("1/2 HOT", {}),
        ("GFI.", {"protection": "device"}),
        ("GFI W/ USB", {"protection": "device"}),  # with, and no washer
        ('+42" W/USB', {"height_in": 42.0}),
        ("W/D", {"serves": "dryer"}),  # washer and dryer
        ('GFI 42"', {"protection": "device", "height_in": 42.0}),
        *((text, {"serves": served}) for text, served in APPLIANCES),
    ],
)
def test_the_usual_labels_are_understood(text: str, facts: dict[str, Any]) -> None:
    reading = read(text, ())
    assert reading is not None and not reading.doubt
    assert dict(reading.sets) == facts


def test_an_appliance_of_a_rule_is_understood_as_that_rule_writes_it() -> None:
    """WALL OVEN and COOKTOP beside an outlet were no labels at all, DISHW. and OVEN labels that said nothing:
    210.8(D) passed over these outlets, which were cleared."""
    rules = load_edition("2023").rules
    named = {word for rule in rules for clause in rule.where for c in clause.conditions if c.name == "serves"
             for word in c.value}  # fmt: skip
    assert {served for _, served in APPLIANCES} <= named


@pytest.mark.parametrize("text", ["BATH 2", "NON-GFI", '42"', "S3", "E-101", "A-99", "NOTE 5", "12'-6\"", "", "?"])
def test_other_texts_say_nothing(text: str) -> None:
    assert read(text, ()) is None


@pytest.mark.parametrize("text", ["1-5", "2/14", "(1.5)", "CKT 2-10"])
def test_what_may_be_a_circuit_of_a_panel_that_a_digit_names_is_a_label_without_facts(text: str) -> None:
    """No outlet had it, so that no panel schedule could tell its circuit."""
    (labels,), (outlet,), _ = given_to([symbol(100, 100)], [word(text, 112, 108)])
    assert labels == {text: ()} and not outlet.reasons


@pytest.mark.parametrize("text", ["NO GFI", "GFI BY OTHERS", "GFI REQD"])
def test_protection_with_a_word_that_is_not_understood_is_a_doubt(text: str) -> None:
    (labels,), (outlet,), _ = given_to([symbol(100, 100)], [word(text, 130, 100)])
    assert labels == {text: UNSURE}
    assert outlet.fact("protection") is None
    assert outlet.reasons == (f"label {text} is not understood as a whole",)


def test_a_mark_and_one_more_tells_no_height_of_an_inch() -> None:
    _, (outlet,), _ = given_to([symbol(100, 100)], [word("GFI + 1", 130, 100)])
    assert outlet.fact("protection") is None and outlet.fact("protection_unsure") == "device"


@pytest.mark.parametrize(
    ("text", "fact"),
    [('+3 6"', "height_in"), ("A-3 OFFX", "circuit"), ("DW NOTX", "serves"), ("208V NOTX", "volts")],
)
def test_no_fact_of_a_label_that_is_not_understood_as_a_whole_is_sure(text: str, fact: str) -> None:
    """+3'-6" that is read as +3 6" was a height of 3 in, for certain."""
    _, (outlet,), _ = given_to([symbol(100, 100)], [word(text, 100, 113)])
    assert outlet.fact(fact) is None and outlet.fact(f"{fact}_unsure") is not None


@pytest.mark.parametrize(
    ("upper", "lower", "sure"),
    [("LINE SIDE", "GFCI", False), ("AHEAD OF", "GFCI", False), ("ALT. 2:", "GFCI", False), ("OPT", "GFCI", False),
     ("GFCI", "N.I.C.", False), ("GFCI", "BY OTHERS", False), ("GFCI", "SEE NOTE 3", False),
     ("GFCI", "UPPER HALF", False), ("GFCI", "1/2 HOT", False), ("SPLIT", "GFCI", False), ("GFCI", "-->", False),
     ("GFCI", "(R)", False), ("(X)", "GFCI", False), ("?", "GFCI", False), ("GFCI", "X", False),
     ("GFCI", "R", False), ("D", "GFI", False),
     ("GFCI", "*", False), ("GFCI", "#3", False), ("GFCI", "[D]", False), ("GFCI", "(E)", True),
     ("GFCI", "WP", True), ("GFCI", '+42"', True), ("A-12", "GFCI", True), ("GFCI", "TYP.", True),
     ("BATH", "GFCI", True), ("GFCI", "3'-6\"", True)],
)  # fmt: skip
def test_a_line_that_runs_on_from_a_mark_and_is_not_understood_is_a_doubt(
    upper: str, lower: str, sure: bool
) -> None:
    """In one line with the mark such words asked; in a line of their own they let it clear its outlet."""
    _, (outlet,), _ = given_to([symbol(100, 100)], [word(upper, 130, 96), word(lower, 130, 103.6)])
    assert (outlet.fact("protection") == "device") is sure
    assert (outlet.fact("protection_unsure") is not None) is not sure
    apart = [
        word(upper, 130, 84 if lower == "GFCI" else 103.6),
        word(lower, 130, 103.6 if lower == "GFCI" else 120),
    ]
    assert given_to([symbol(100, 100)], apart)[1][0].fact("protection") == "device"


@pytest.mark.parametrize("name", ["KITCHEN", "PRIMARY BATH"])
def test_the_larger_name_of_the_room_under_a_mark_is_no_line_of_it(name: str) -> None:
    """The outlet's GFI was a question wherever the name of its room stood close under it."""
    under = replace(word(name, 130, 107.5), size=10.0)
    _, (outlet,), _ = given_to([symbol(100, 100)], [word("GFI", 130, 99), under])
    assert outlet.fact("protection") == "device"


@pytest.mark.parametrize("name", ["split-wired receptacle", "half switched duplex"])
def test_a_mark_at_a_receptacle_of_halves_is_a_doubt(name: str) -> None:
    parted = symbol(100, 100, entry=SymbolEntry(name, "receptacle"))
    _, (outlet,), _ = given_to([parted], [word("GFI", 116, 100)])
    assert outlet.fact("protection") is None and outlet.fact("protection_unsure") == "device"
    _, (outlet,), _ = given_to([symbol(100, 100)], [word("GFI SPLIT", 126, 100)])
    assert outlet.fact("protection") is None


def test_the_users_own_entries_come_first() -> None:
    entries = (LabelEntry("GF", (("status", "gas fired"),)), LabelEntry("[CA]\\d+", (("weatherproof", True),)))
    assert read("GF", entries).sets == (("status", "gas fired"),)  # type: ignore[union-attr]
    assert read("a9", entries).sets == (("weatherproof", True),)  # type: ignore[union-attr]


@given(st.text(max_size=40))
@settings(max_examples=300, deadline=None)
def test_no_text_is_protection_by_accident(text: str) -> None:
    reading = read(text, ())
    if reading is not None and ("protection", "device") in reading.sets and not reading.doubt:
        assert "G" in text.upper() and "F" in text.upper()


# ----------------------------------------------------------------------------------- to whom it is given


def test_a_label_goes_to_the_nearest_outlet() -> None:
    labels, _, lost = given_to([symbol(100, 100), symbol(200, 100)], [word("GFI", 116, 100)])
    assert labels == [{"GFI": PROTECTED}, {}]
    assert lost == ()


def test_a_row_of_outlets_each_with_its_own() -> None:
    symbols = [symbol(100 + 22 * k, 100) for k in range(6)]
    labels, done, _ = given_to(symbols, [word("GFI", 100 + 22 * k, 112) for k in range(6)])
    assert labels == [{"GFI": PROTECTED}] * 6
    assert all(not s.reasons for s in done)


@pytest.mark.parametrize("shift", [-2.0, -1.0, 0.0, 1.0, 2.0])
def test_a_label_between_two_outlets_protects_neither(shift: float) -> None:
    labels, done, _ = given_to([symbol(100, 100), symbol(140, 100)], [word("GFI", 120 + shift, 100)])
    assert all(s.fact("protection") is None for s in done)
    assert all(s.fact("protection_unsure") == "device" and s.reasons for s in done)
    assert sorted(text for each in labels for text in each) == ["GFI", "GFI?"]


def test_one_label_for_three_outlets_never_protects_all() -> None:
    _, done, _ = given_to([symbol(100, 100), symbol(116, 100), symbol(132, 100)], [word("GFI", 116, 112)])
    assert sum(s.fact("protection") == "device" for s in done) <= 1


@given(
    st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=1, max_size=8, unique=True),
    st.lists(st.tuples(st.floats(0, 240), st.floats(0, 240)), max_size=6),
)
@settings(max_examples=60, deadline=None)
def test_a_label_is_a_fact_of_one_symbol_at_most(
    grid: list[tuple[int, int]], at: list[tuple[float, float]]
) -> None:
    symbols = [symbol(20.0 * x, 20.0 * y) for x, y in grid]
    _, done, lost = given_to(symbols, [word("GFI", x, y) for x, y in at])
    facts = [label.at for s in done for label in s.labels if ("protection", "device") in label.sets]
    assert len(set(facts)) == len(facts) <= len(at)
    assert sum(s.fact("protection") == "device" for s in done) == len(facts)
    for s in done:  # a fact is never given over more than the reach of a label
        assert all(math.dist(label.at, s.at) < 36 + RADIUS + 12 for label in s.labels)
    seen = [label.at for s in done for label in s.labels if not label.text.endswith("?")]
    told = [place for each in lost for place in each.at]
    assert len(seen) + len(told) >= len({w for w in at if w}) - _joined(at)  # nothing vanishes


def _joined(at: list[tuple[float, float]]) -> int:
    """Labels that stand so close that they may be read as one text, or as one label of several lines."""
    return sum(any(a is not b and math.dist(a, b) < 30 for b in at) for a in at)


def test_a_label_printed_twice_is_one_label() -> None:
    symbols = [symbol(100, 100), symbol(100, 120)]
    labels, _, lost = given_to(symbols, [word("GFI", 116, 98), word("GFI", 116.3, 98)])
    assert (labels, lost) == ([{"GFI": PROTECTED}, {}], ())


def test_lines_one_under_the_other_go_together() -> None:
    symbols = [symbol(100, 100), symbol(100, 60, LIGHT)]
    stack = [word("A-9", 100, 112), word("GFI", 100, 120), word('+42"', 100, 128)]
    labels, _, _ = given_to(symbols, stack)
    assert labels == [{"A-9": (("circuit", "A-9"),), "GFI": PROTECTED, '+42"': (("height_in", 42.0),)}, {}]


def test_lines_of_upright_text_go_together() -> None:
    stack = [word("A-9", 112, 100, angle=90), word("GFI", 120, 100, angle=90)]
    labels, _, _ = given_to([symbol(100, 100)], stack)
    assert labels == [{"A-9": (("circuit", "A-9"),), "GFI": PROTECTED}]


def test_the_lines_of_a_label_share_its_doubt() -> None:
    stack = [word("A-9", 120, 96), word("GFI", 120, 104)]
    _, done, _ = given_to([symbol(100, 100), symbol(140, 100)], stack)
    assert all(s.fact("protection") is None and s.fact("circuit") is None for s in done)


def test_pieces_of_a_text_are_joined() -> None:
    pieces = [word("+42", 118, 100), word('"', 125, 98), word("GFI", 116, 110)]
    pieces += [word("/", 124, 110), word("WP", 129.5, 110)]
    (labels,), _, _ = given_to([symbol(100, 100)], pieces)
    assert labels == {'+42"': (("height_in", 42.0),), "GFI/WP": (*PROTECTED, ("weatherproof", True))}


def test_a_leader_outweighs_distance() -> None:
    symbols = [symbol(100, 100), symbol(100, 160)]
    label = [word("GFI", 130, 124)]
    assert given_to(symbols, label)[0][0] != {}
    leader = [(122.0, 126.0, 104.5, 154.5)]
    assert given_to(symbols, label, leader)[0] == [{}, {"GFI": PROTECTED}]


def test_boards_of_a_floor_are_no_leaders() -> None:
    symbols = [symbol(100, 100), symbol(200, 82)]
    label = [word("GFI", 100, 82)]
    boards = [(108.0, y, 193.0, y) for y in np.arange(70.0, 130.0, 4.6)]
    assert given_to(symbols, label, boards)[0] == [{"GFI": PROTECTED}, {}]
    assert given_to(symbols, label, boards[2:3])[0] == [{}, {"GFI": PROTECTED}]  # alone it would be a leader


def test_a_leader_that_points_at_its_symbol_need_not_touch_it() -> None:
    symbols = [symbol(100, 100), symbol(100, 160)]
    label = [word("GFI", 130, 124)]
    short_of = [(122.0, 126.0, 107.0, 149.0)]  # 8 pt before the outline of the second
    assert given_to(symbols, label, short_of)[0] == [{}, {"GFI": PROTECTED}]
    elsewhere = [(122.0, 126.0, 85.0, 126.0)]
    assert given_to(symbols, label, elsewhere)[1][1].fact("protection") is None


@pytest.mark.parametrize("way", [1, -1])
def test_a_label_between_an_outlet_in_reach_and_one_just_out_of_it_is_a_doubt(way: int) -> None:
    """It cleared the one in reach for certain."""
    pair = [symbol(200 - way * 46, 100), symbol(200 + way * 48, 100)]
    labels, done, _ = given_to(pair, [word("GFI", 200, 100)])
    assert not any(each.fact("protection") for each in done), labels
    assert all(each.fact("protection_unsure") for each in done), labels
    far = [symbol(200 - way * 40, 100), symbol(200 + way * 80, 100)]
    labels, done, _ = given_to(far, [word("GFI", 200, 100)])
    assert [each.fact("protection") for each in done] == ["device", None], labels


def test_labels_of_neighbours_read_as_one_text_are_a_doubt() -> None:
    words = [word("A-1", 114, 112), word("A-3", 127, 112), word("GFI", 114, 120)]
    _, done, _ = given_to([symbol(100, 100), symbol(150, 100)], words)
    assert all(s.fact("circuit") is None and s.fact("protection") is None for s in done)


def test_an_even_column_of_labels_of_two_outlets_is_a_doubt() -> None:
    symbols = [symbol(100, 100), symbol(100, 132)]
    even = [word(text, 118, 100 + 9 * k) for k, text in enumerate(["A-1", "GFI", "A-3", '+42"'])]
    assert [s.fact("protection") for s in given_to(symbols, even)[1]] == [None, None]
    apart = [word(text, 118, 96 + 9 * k + 8 * (k // 2)) for k, text in enumerate(["A-1", "GFI", "A-3", '+42"'])]
    _, done, _ = given_to(symbols, apart)
    assert [(s.fact("circuit"), s.fact("protection")) for s in done] == [("A-1", "device"), ("A-3", None)]


def test_a_wall_between_makes_a_label_less_likely() -> None:
    symbols = [symbol(100, 100), symbol(146, 100)]
    label = [word("GFI", 122, 100)]
    assert given_to(symbols, label)[1][1].fact("protection") is None
    wall = [(x, 40.0, x, 160.0) for x in (108.0, 113.0)]
    labels, _, _ = given_to(symbols, label, wall)
    assert labels == [{}, {"GFI": PROTECTED}]
    # one line of the usual weight may be a counter's edge, and the label stands nearer to the outlet behind it
    labels, _, _ = given_to(symbols, label, wall[1:])
    assert labels == [{"GFI?": UNSURE}, {"GFI": UNSURE}]


def test_a_label_on_a_light_does_not_protect_an_outlet_beside_it() -> None:
    _, done, _ = given_to([symbol(100, 100, LIGHT), symbol(128, 100)], [word("GFI", 100, 108)])
    assert done[1].fact("protection") is None


def test_the_name_of_an_appliance_is_not_the_outlets() -> None:
    box = [(110, 90, 146, 90), (146, 90, 146, 126), (146, 126, 110, 126), (110, 126, 110, 90)]
    (labels,), (outlet,), _ = given_to([symbol(100, 100)], [word("DW", 128, 108)], box)
    assert outlet.fact("serves") is None
    assert labels == {"DW": (("serves_unsure", "dishwasher"),)}
    (labels,), (outlet,), _ = given_to([symbol(100, 100)], [word("DW", 113, 100)])
    assert outlet.fact("serves") == "dishwasher"


def test_the_letters_of_a_symbol_are_no_label() -> None:
    stove = SymbolEntry("range outlet", "receptacle", shape=(TextMark("R", (0, 0)),))
    (labels,), _, _ = given_to([symbol(100, 100, stove)], [word("R", 100, 100), word("GFI", 116, 100)])
    assert labels == {"GFI": PROTECTED}


def test_texts_of_legend_and_notes_are_no_labels() -> None:
    regions = (Region("legend", (90, 90, 200, 200)),)
    labels, _, lost = given_to([symbol(100, 85)], [word("GFI", 100, 96)], regions=regions)
    assert (labels, lost) == ([{}], ())


def test_text_that_was_read_with_doubt_protects_nothing() -> None:
    _, (outlet,), _ = given_to([symbol(100, 100)], [word("GFI", 116, 100, sure=0.6)])
    assert outlet.fact("protection") is None and outlet.fact("protection_unsure") == "device"
    assert outlet.reasons == ("label GFI was read with confidence 0.60 only",)


@pytest.mark.parametrize(
    ("text", "fact", "value"),
    [
        ("+42", "height_in", 42.0),
        ("240V", "volts", 240.0),
        ("30A", "amperes", 30.0),
        ("REF", "serves", "refrigerator"),
    ],
)
def test_no_fact_that_may_clear_an_outlet_is_sure_from_text_read_with_doubt(
    text: str, fact: str, value: object
) -> None:
    _, (outlet,), _ = given_to([symbol(100, 100)], [word(text, 116, 100, sure=0.6)])
    assert outlet.fact(fact) is None and outlet.fact(f"{fact}_unsure") == value
    _, (outlet,), _ = given_to([symbol(100, 100)], [word(text, 116, 100)])
    assert outlet.fact(fact) == value and outlet.fact(f"{fact}_unsure") is None


def test_a_fact_midway_between_two_outlets_is_sure_of_neither() -> None:
    """A height, or that it is wired in, clears an outlet as well as what it serves does."""
    entry = LabelEntry("HW", (("hard_wired", True),))
    for text, fact in (("+42", "height_in"), ("HW", "hard_wired")):
        symbols = [symbol(100, 100), symbol(134, 100)]
        _, done, _ = given_to(symbols, [word(text, 117, 100)], labels=(entry,))
        assert [s.fact(fact) for s in done] == [None, None], text
        assert all(s.fact(f"{fact}_unsure") and s.reasons for s in done), text


def test_a_label_far_from_every_symbol_is_told() -> None:
    _, _, lost = given_to([symbol(100, 100)], [word("GFI", 400, 400), word("GFI", 500, 400), word("A-3", 600, 400)])
    assert [(u.what, u.count) for u in lost] == [
        ("an A-3 label with no symbol near", 1),
        ("a GFI label with no symbol near", 2),
    ]
    assert given_to([], [word("WP", 10, 10)])[2][0].what == "a WP label with no symbol near"


def test_an_abbreviation_with_what_it_stands_for_is_no_lost_label() -> None:
    meaning = [word("GROUND", 440, 400), word("FAULT", 480, 400)]
    assert not given_to([], [word("GFI", 400, 400), *meaning])[2]
    below = [replace(each, box=(*np.add(each.box, (0, 12, 0, 12)),)) for each in meaning]
    assert len(given_to([], [word("GFI", 400, 400), *below])[2]) == 1


def test_the_number_of_the_sheet_is_no_lost_circuit() -> None:
    number = replace(word("A-3", 700, 700), size=22.0)
    for words, told in (([number], 0), ([number, word("A-3", 300, 300)], 1)):
        texts = tuple(words)
        page = replace(sheet(list(texts), ()), number="A-3")
        assert (
            sum(u.count for u in attach((symbol(100, 100),), page, Mapping("m", Drawing(), (DUPLEX,), ()))[1])
            == told
        )


def test_the_tag_of_a_homerun_is_not_told() -> None:
    words = [word("A-3", 100, 112), word("A-3", 300, 300)]
    assert given_to([symbol(100, 100)], words)[2] == ()


def test_walls_that_look_like_a_panel_take_no_label_from_an_outlet() -> None:
    """With a counter's edge as its leader such a panel had the tag of the outlet beside it, and told nothing."""
    phantom = replace(symbol(150, 130, SymbolEntry("panel", "panel")), found=False)
    _, (outlet, panel), _ = given_to([symbol(100, 100), phantom], [word("A-41", 100, 88)], [(110, 89, 146, 127)])
    assert outlet.fact("circuit") == "A-41" and not panel.labels


def test_a_tag_at_a_panel_is_told_where_outlets_have_tags_of_that_panel() -> None:
    """An outlet that was not recognised stood beside the panel: its tag was the panel's, and nothing was told."""
    panel = symbol(300, 100, SymbolEntry("panel", "panel"))
    words = [word("G-3", 100, 112), word("G-5", 320, 112)]
    told = ["a G-5 label more than the symbols near it need"]
    assert [u.what for u in given_to([symbol(100, 100), panel], words)[2]] == told
    assert given_to([symbol(100, 100), panel], [word("A-3", 100, 112), word("LP-1", 320, 112)])[2] == ()  # its name
    homerun = [*words, word("G-5", 200, 112)]
    assert given_to([symbol(100, 100), symbol(200, 100), panel], homerun)[2] == ()


def test_the_number_of_a_room_in_its_box_is_no_lost_tag() -> None:
    """G4 under TOILET was a lost tag of panel G on every plan with such numbers."""
    tags = [word("G-3", 100, 112)]
    number = word("G4", 100, 140)
    ring = [(87, 134, 113, 134), (113, 134, 113, 146), (113, 146, 87, 146), (87, 146, 87, 134)]
    name = replace(word("TOILET", 100, 126), size=9.0)
    assert given_to([symbol(100, 100)], [*tags, number, name], ring)[2] == ()
    for words, lines in (([number], ring), ([number, name], []), ([number, replace(name, size=7.0)], ring)):
        assert len(given_to([symbol(100, 100)], tags + words, lines)[2]) == 1


def test_labels_outside_every_drawing_are_not_told() -> None:
    views = (View("v1", "PLAN", (0, 0, 300, 300)),)
    assert given_to([symbol(100, 100)], [word("GFI", 900, 400)], views=views)[2] == ()


def test_two_labels_for_one_outlet() -> None:
    _, _, lost = given_to([symbol(100, 100)], [word("GFI", 116, 100), word("GFI", 84, 100)])
    assert [u.what for u in lost] == ["a GFI label more than the symbols near it need"]


def test_an_unknown_label_is_shown_without_effect() -> None:
    rooms = (RoomEntry("SNUG", "living"),)
    words = [word("K7X", 100, 112), word("SNUG", 100, 88), word("BATH", 118, 100), word("12'-6\"", 84, 100)]
    (labels,), _, _ = given_to([symbol(100, 100)], words, rooms=rooms)
    assert labels == {"K7X": ()}


# --------------------------------------------------------------------------------------- circuit tags


@pytest.mark.parametrize(
    ("texts", "circuits"),
    [
        (["A-1", "A-3", "A-5"], ["A-1", "A-3", "A-5"]),
        (["A1", "A3", "A5"], ["A-1", "A-3", "A-5"]),  # the style of the sheet
        (["A1", "A3", ""], [None, None, None]),  # too few to be a style: may be marks of windows
        (["A-1", "A3", ""], ["A-1", "A-3", None]),  # the panel is named by another tag
        (["1", "3", "5"], ["1", "3", "5"]),
        (["#1", "#3", "#5"], ["1", "3", "5"]),
        (["A/1", "A/3", "A/5"], ["A-1", "A-3", "A-5"]),
        (["A:1", "A:3", "A-5"], ["A-1", "A-3", "A-5"]),
        (["A.1", "A.3", ""], [None, None, None]),
        (["1-1", "1-11", "1-12"], ["1-1", "1-11", "1-12"]),  # of panel 1
        (["1-1", "2-11", ""], [None, None, None]),
        (["1/2", "1/2", "1/2"], [None, None, None]),
        (["CKT 1", "", ""], ["1", None, None]),
        (["1", "3", "A-5"], [None, None, "A-5"]),  # a sheet with panel letters has no bare numbers
        (["1", "", ""], [None, None, None]),
        (["S1", "S3", "S3"], [None, None, None]),  # switches
        (["S-1", "S-3", ""], [None, None, None]),
        (["101", "102", "103"], [None, None, None]),  # rooms
        (["112", "114", "117"], [None, None, None]),  # rooms, or of a panel that another sheet names
    ],
)
def test_doubtful_tags_count_only_where_the_sheet_uses_them(texts: list[str], circuits: list[str | None]) -> None:
    symbols = [symbol(100 + 100 * k, 100) for k in range(3)]
    words = [word(text, 100 + 100 * k, 112) for k, text in enumerate(texts) if text]
    _, done, _ = given_to(symbols, words)
    assert [s.fact("circuit") for s in done] == circuits


@pytest.mark.parametrize(
    ("texts", "circuits"),
    [
        (["112", "114", "17"], [None, None, None]),
        (["112", "114", "117"], ["112", "114", "117"]),
        (["112", "114", "117", "103"], [None] * 4),  # rooms
        (["1:12", "1:14", "1:1"], ["1-12", "1-14", "1-1"]),
        (["1.12", "1.12", "1.12"], [None] * 3),
        (["1/12", "1/14", "2/14"], [None] * 3),
    ],
)
def test_circuits_of_a_panel_that_a_digit_names_without_a_dash(
    texts: list[str], circuits: list[str | None]
) -> None:
    """112 was no tag: its outlet was missing protection for certain; 1:12 was one that is not sure."""
    symbols = [symbol(100 + 100 * k, 100) for k in range(len(texts))]
    words = [word(text, 100 + 100 * k, 112) for k, text in enumerate(texts)]
    words += [word("PANEL", 500, 500), word("SCHEDULE:", 540, 500), word("1", 570, 500)]
    _, done, _ = given_to(symbols, [replace(each, line=0) if each.at[1] == 500 else each for each in words])
    assert [s.fact("circuit") for s in done] == circuits


@pytest.mark.parametrize(("panels", "circuits"), [("A", ["1", "3", "5"]), ("AB", [None, None, None])])
def test_bare_numbers_are_tags_where_one_panel_is_named_and_no_letters_are_used(
    panels: str, circuits: list[str | None]
) -> None:
    """A house with the schedule of its only panel on the sheet needs no letters at the outlets."""
    symbols = [symbol(100 + 100 * k, 100) for k in range(3)]
    words = [word(text, 100 + 100 * k, 112) for k, text in enumerate("135")]
    for k, name in enumerate(panels):
        heading = [word(text, x, 400 + 50 * k) for text, x in (("PANEL", 400), (name, 430))]
        words += [replace(part, line=90 + k) for part in heading]
    _, done, _ = given_to(symbols, words)
    assert [s.fact("circuit") for s in done] == circuits
    # Of which of two panels it is, is a question, and not that no circuit is drawn.
    assert [s.fact("circuit_unsure") for s in done] == ([None] * 3 if panels == "A" else ["1", "3", "5"])


@pytest.mark.parametrize("name", ["T", "S", "R", "SD"])
def test_a_panel_with_the_letter_of_a_switch_or_a_thermostat_is_read_where_it_is_named(name: str) -> None:
    """Of T-5 nobody can tell otherwise: three of them are a question, one or two say nothing."""
    symbols = [symbol(100 + 100 * k, 100) for k in range(3)]
    tags = [f"{name}-{k}" for k in (1, 3, 5)]
    words = [word(tag, 100 + 100 * k, 112) for k, tag in enumerate(tags)]
    heading = [replace(word(text, x, 400), line=90) for text, x in (("PANEL", 400), (name, 430))]
    _, done, _ = given_to(symbols, words + heading)
    assert [s.fact("circuit") for s in done] == tags
    _, done, _ = given_to(symbols, words)
    assert [s.fact("circuit") for s in done] == [None] * 3
    assert [s.fact("circuit_unsure") for s in done] == tags


def test_bare_numbers_at_outlets_without_a_tag_are_a_question_where_others_have_letters() -> None:
    symbols = [symbol(100 + 100 * k, 100) for k in range(5)]
    words = [word(text, 100 + 100 * k, 112) for k, text in enumerate(["1", "3", "5", "A-7", "A-9"])]
    _, done, _ = given_to(symbols, words)
    assert [s.fact("circuit") for s in done] == [None, None, None, "A-7", "A-9"]
    assert [s.fact("circuit_unsure") for s in done] == ["1", "3", "5", None, None]
    _, done, _ = given_to(symbols[2:], words[2:])
    assert [s.fact("circuit_unsure") for s in done] == [None] * 3


def test_numbers_at_outlets_with_a_tag_of_their_own_say_nothing() -> None:
    symbols = [symbol(100 + 100 * k, 100) for k in range(3)]
    words = [word(f"A-{k}", 100 + 100 * k, 112) for k in range(1, 4)]
    words += [word(str(k), 100 + 100 * k, 84) for k in range(1, 4)]
    words = [replace(w, box=(w.box[0] - 100, w.box[1], w.box[2] - 100, w.box[3])) for w in words]
    _, done, _ = given_to(symbols, words)
    assert [s.fact("circuit") for s in done] == ["A-1", "A-2", "A-3"]


@pytest.mark.parametrize("text", ["(GFI)", "GFI*", "GFI?", "GFCIS", "GFI-30", "GFI-PROT."])
def test_a_ground_fault_mark_with_something_to_it_is_a_question(text: str) -> None:
    _, (done,), _ = given_to([symbol(100, 100)], [word(text, 100, 112)])
    assert done.fact("protection") is None and done.fact("protection_unsure") == "device"
    assert done.fact("circuit") is None


@pytest.mark.parametrize("text", ["NON-GFI", "GFEP", "GFPE", "EPD"])
def test_equipment_protection_and_a_denial_are_no_mark(text: str) -> None:
    _, (done,), _ = given_to([symbol(100, 100)], [word(text, 100, 112)])
    assert done.fact("protection") is None and done.fact("protection_unsure") is None


@pytest.mark.parametrize(("others", "sure"), [(["", ""], False), (["5", "7"], True), (["A-5", "A-7"], False)])
def test_a_bare_number_beside_a_mark_is_a_circuit_only_where_the_sheet_numbers_circuits_so(
    others: list[str], sure: bool
) -> None:
    """Elsewhere it may be the key of a note that takes the mark back."""
    symbols = [symbol(100 + 100 * k, 100) for k in range(3)]
    words = [word(text, 100 + 100 * k, 112) for k, text in enumerate(["GFI 3", *others]) if text]
    _, done, _ = given_to(symbols, words)
    assert (done[0].fact("protection"), done[0].fact("protection_unsure")) == (
        ("device", None) if sure else (None, "device")
    )


@pytest.mark.parametrize(
    "text",
    ["GFIC", "GCFI", "GFI1", "2GFI", "DUAL FUNCTION", "1-GFI", "G-F-I", "GFI·", "·FI", "GF·", "GFl", 3 * "\ufffd",
     "GFI=N", "GFI+AFCI", "AFCI+GFCI", "XGFI", "GFC I", "G FCI", "G.F.I.GFI.", "GFIGFI"],
)  # fmt: skip
def test_a_mark_misspelt_or_with_a_figure_is_a_question(text: str) -> None:
    _, (done,), _ = given_to([symbol(100, 100)], [word(text, 100, 112)])
    assert done.fact("protection") is None and done.fact("protection_unsure") == "device"


@pytest.mark.parametrize("text", ["GPI", "GPCI", "SCJ", "6FJ", "FCI", "GFC/-WR", "WP/6F/"])
def test_a_drawn_text_that_looks_like_a_mark_is_a_question(text: str) -> None:
    """GFI in slanted and written faces is read so; typed it says nothing, as words that somebody explained do."""
    for sure, asks in ((0.9, "device"), (1.0, None)):
        _, (done,), _ = given_to([symbol(100, 100)], [word(text, 100, 112, sure=sure)])
        assert (done.fact("protection"), done.fact("protection_unsure")) == (None, asks)
    _, (done,), _ = given_to([symbol(100, 100)], [word("CPT", 100, 112, sure=0.9)])
    assert done.fact("protection_unsure") is None


def test_a_drawn_text_that_is_hardly_read_is_a_question() -> None:
    """GFCI upside down was /OJO, and the outlet missing protection with nothing said; GFI A-12 was CF/A-12."""
    for text, sure, asks in (
        ("/OJO", 0.6, "device"), ("/OJO", 0.8, None), ("LNDRY", 0.6, None), ("CF/A-12", 0.6, "device")
    ):  # fmt: skip
        _, (done,), _ = given_to([symbol(100, 100)], [word(text, 100, 112, sure=sure)])
        assert done.fact("protection_unsure") == asks


@pytest.mark.parametrize(
    ("lines", "sure"),
    [(["G", "FCI"], 1.0), (["GFC", "I"], 1.0), (["G", "F", "I"], 1.0), (["G", "F"], 0.5)],
    ids=["G over FCI", "GFC over I", "one by one", "drawn, the I is read by none"],
)
def test_a_mark_in_pieces_over_each_other_is_a_question(lines: list[str], sure: float) -> None:
    words = [word(text, 100, 112 + 8.5 * n, sure=sure) for n, text in enumerate(lines)]
    _, (done,), _ = given_to([symbol(100, 100)], words)
    assert done.fact("protection") is None and done.fact("protection_unsure") is not None


def test_a_mark_in_letters_apart_on_a_line_is_a_question() -> None:
    _, (done,), _ = given_to([symbol(100, 100)], [word("G F", 98, 112), word("I", 112, 112)])
    assert done.fact("protection") is None and done.fact("protection_unsure") is not None


def test_two_letters_over_each_other_are_no_mark() -> None:
    _, (done,), _ = given_to([symbol(100, 100)], [word("G", 100, 112), word("F", 100, 120.5)])
    assert done.fact("protection_unsure") is None


@pytest.mark.parametrize("text", ["ＧＦＩ", "GFІ", "GF\u00adI", "GFI\u200b", "G F I"])
def test_a_mark_in_letters_that_only_look_like_these_is_one(text: str) -> None:
    """Of full width, with a Cyrillic or Greek capital, with signs that show nothing: the outlet had no label."""
    _, (done,), _ = given_to([symbol(100, 100)], [word(text, 100, 112)])
    assert done.fact("protection") == "device"


def test_a_number_in_a_hexagon_is_a_keynote() -> None:
    symbols = [symbol(100 + 100 * k, 100) for k in range(3)]
    words = [word(str(k + 1), 100 + 100 * k, 114) for k in range(3)]
    ring = [(math.cos(k * math.pi / 3), math.sin(k * math.pi / 3)) for k in range(7)]
    strokes = [
        (100 + 100 * n + 6 * a[0], 114 + 6 * a[1], 100 + 100 * n + 6 * b[0], 114 + 6 * b[1])
        for n in range(3) for a, b in pairwise(ring)
    ]  # fmt: skip
    _, done, _ = given_to(symbols, words, strokes)
    assert [s.fact("circuit") for s in done] == [None] * 3


@pytest.mark.parametrize("turn", [90, -90])
@pytest.mark.parametrize("radius", [10, 11, 13])
def test_a_number_in_a_triangle_is_a_keynote(turn: float, radius: float) -> None:
    """It was a circuit for certain, and one with a GFCI breaker cleared the outlet."""
    symbols = [symbol(100 + 100 * k, 100) for k in range(4)]
    words = [word(str(2 * k + 2), 100 + 100 * k, 122) for k in range(4)]
    corners = [math.radians(turn + 120 * k) for k in range(4)]
    ends = [(400 + radius * math.cos(a), 122 + radius * math.sin(a)) for a in corners]
    _, done, _ = given_to(symbols, words, [(*a, *b) for a, b in pairwise(ends)])
    assert [s.fact("circuit") for s in done] == ["2", "4", "6", None]


def test_a_number_in_a_niche_of_walls_is_no_keynote() -> None:
    symbols = [symbol(100 + 100 * k, 100) for k in range(3)]
    words = [word(str(2 * k + 2), 100 + 100 * k, 114) for k in range(3)]
    niche = [(88, 60, 88, 126), (88, 126, 113, 126), (113, 126, 113, 60), (113, 60, 88, 60), (88, 106, 113, 106)]
    _, done, _ = given_to(symbols, words, niche)
    assert [s.fact("circuit") for s in done] == ["2", "4", "6"]


def test_a_number_in_the_corner_of_an_appliance_is_no_keynote_for_certain() -> None:
    """Between an outlet, a washer's box and its drum, 4 was no tag, and its GFCI breaker not even asked about."""
    symbols = [symbol(100 + 100 * k, 100) for k in range(4)]
    words = [word(str(2 * k + 2), 100 + 100 * k, 114) for k in range(4)]
    box = [(392, 90, 408, 90), (408, 90, 408, 123), (408, 123, 392, 123), (392, 123, 392, 90)]
    around = [(394, 107, 406, 107), (394, 108, 394, 121), *box]  # of the outlet and the drum
    _, done, _ = given_to(symbols, words, around)
    assert [s.fact("circuit") for s in done] == ["2", "4", "6", None]
    assert done[3].fact("circuit_unsure") == "8"
    _, done, _ = given_to(
        symbols, words, [(392, 106, 408, 106), (392, 123, 392, 106), (408, 106, 408, 123), box[2]]
    )
    assert done[3].fact("circuit") is done[3].fact("circuit_unsure") is None


@pytest.mark.parametrize("settled", [True, False])
def test_a_number_in_a_bowl_is_no_keynote_for_certain(settled: bool) -> None:
    """The bowl was a keynote's bubble: a GFCI device had no circuit, and an outlet on its circuit was missing
    protection for certain."""
    symbols = [symbol(100 + 100 * k, 100) for k in range(4)]
    words = [word(str(2 * k + 2), 100 + 100 * k, 114) for k in range(4)]
    ring = [(400 + 7 * math.cos(k * math.pi / 8), 114 + 7 * math.sin(k * math.pi / 8)) for k in range(17)]
    bowl = [(*a, *b) for a, b in pairwise(ring)]
    _, done, _ = given_to(symbols, words, bowl)
    assert done[3].fact("circuit") is done[3].fact("circuit_unsure") is None
    basin = replace(symbol(400, 114, SymbolEntry("basin", "lavatory"), 7.0), found=settled, strokes=np.arange(16))
    _, done, _ = given_to([*symbols, basin], words, bowl)
    assert [s.fact("circuit") for s in done] == ["2", "4", "6", None, None]
    assert done[3].fact("circuit_unsure") == "8"


def test_the_circuit_between_two_outlets_is_a_doubt() -> None:
    _, done, _ = given_to([symbol(100, 100), symbol(140, 100)], [word("A-3", 120, 100)])
    assert [s.fact("circuit") for s in done] == [None, None]
    assert all(s.fact("circuit_unsure") == "A-3" for s in done)


def test_a_status_between_two_outlets_is_a_doubt() -> None:
    _, done, _ = given_to([symbol(100, 100), symbol(140, 100)], [word("(E)", 120, 100)])
    assert [s.fact("status") for s in done] == [None, None]
    _, done, _ = given_to([symbol(100, 100), symbol(180, 100)], [word("(E)", 114, 100)])
    assert [s.fact("status") for s in done] == ["existing", None]


def test_the_same_circuit_for_both_is_no_doubt() -> None:
    words = [word("A-3", 114, 112), word("A-3", 126, 88)]
    _, done, _ = given_to([symbol(100, 100), symbol(140, 100)], words)
    assert [s.fact("circuit") for s in done] == ["A-3", "A-3"]


def test_labels_do_not_depend_on_the_order_of_words() -> None:
    symbols = [symbol(100 + 30 * k, 100) for k in range(5)]
    words = [word(f"A-{k + 1}", 104 + 30 * k, 112) for k in range(5)] + [word("GFI", 134, 90)]
    one, two = given_to(symbols, words)[1], given_to(symbols, words[::-1])[1]

    def told(done: list[Symbol]) -> list[list[Label]]:
        return [sorted(s.labels, key=lambda label: label.text) for s in done]

    assert told(one) == told(two)


def test_a_crowd_is_settled_in_reasonable_time() -> None:
    rng = np.random.default_rng(5)
    symbols = [symbol(float(x), float(y)) for x, y in rng.uniform(0, 1500, (600, 2))]
    places = enumerate(rng.uniform(0, 1500, (900, 2)).tolist())
    words = [word("GFI" if k % 3 else f"A-{k % 80 + 1}", x, y) for k, (x, y) in places]
    _, done, _ = given_to(symbols, words)
    facts = [label.at for s in done for label in s.labels if ("protection", "device") in label.sets]
    assert len(facts) == len(set(facts)) > 20


def test_no_words_and_no_symbols() -> None:
    assert given_to([], [])[2] == ()
    assert given_to([symbol(1, 1)], [])[0] == [{}]


def test_a_line_of_a_stack_nearer_to_another_outlet_protects_neither() -> None:
    """A circuit tag below one outlet and GFI above the next, at the pitch of lines: two labels, or one."""
    symbols = [symbol(100, 100), symbol(100, 140)]
    words = [word("A-3", 100, 114.5), word("GFI", 100, 123.5), word("A-5", 100, 156)]
    _, done, _ = given_to(symbols, words)
    assert all(s.fact("protection") is None for s in done)
    assert any(s.fact("protection_unsure") for s in done)


def test_the_edge_of_a_counter_does_not_settle_whose_a_stacked_line_is() -> None:
    """GFI of the outlet on a counter, written across the counter's edge, right over the name of the next appliance:
    a wall's pen draws both, so the edge says nothing of whose label it is."""
    symbols = [symbol(100, 100), symbol(100, 140)]
    words = [word("GFI", 97, 116), word("DW", 97, 123.5)]
    edge = [(70, 109, 130, 109)]
    for lines in ([], edge):
        _, done, _ = given_to(symbols, words, lines)
        assert all(s.fact("protection") is None for s in done)
        assert [s.fact("protection_unsure") for s in done] == ["device", "device"]


def test_a_label_behind_the_edge_of_a_counter_stays_a_question_at_the_outlet_it_stands_at() -> None:
    """House 25048: the edge of the counter between GFI and its outlet weighs as a wall does, and the lines to the
    outlets above and below ran past its ends: those two were asked, and the one it stands at missed protection."""
    symbols = [symbol(101, 78), symbol(101, 100), symbol(101, 122)]
    edge = [(92.0, 89.5, 92.0, 110.5)]
    _, done, _ = given_to(symbols, [word("GFI", 83, 100)], edge)
    assert [s.fact("protection") for s in done] == [None] * 3
    assert done[1].fact("protection_unsure") == "device"


def test_a_stacked_line_no_nearer_to_the_other_outlet_keeps_its_owner() -> None:
    words = [word("GFI", 97, 121), word("DW", 97, 128.5)]
    _, done, _ = given_to([symbol(100, 100), symbol(100, 140)], words, [(70, 109, 130, 109)])
    assert [s.fact("protection") for s in done] == [None, "device"]


def test_a_label_over_an_appliance_whose_outlet_was_not_found_settles_nothing_elsewhere() -> None:
    stove = SymbolEntry("range", "range", shape=(TextMark("R", (0, 0)),))
    area = replace(symbol(100, 100, stove), footprint=shapely.box(80, 80, 120, 120))
    beside = symbol(134, 100)
    label = [word("GFI", 108, 100)]
    lost = given_to([area, beside], label)[0]
    assert lost[1] and "protection" not in dict(fact for sets in lost[1].values() for fact in sets)
    there = given_to([area, symbol(160, 100), symbol(100, 112)], label)[0]
    assert there[2] == {"GFI": PROTECTED}
    basin = SymbolEntry("lavatory", "lavatory", shape=(TextMark("L", (0, 0)),))
    told = given_to([replace(area, entry=basin), beside], label)[0]  # has none within: it was a question as well
    assert told[1] == {"GFI": PROTECTED}


@pytest.mark.parametrize(("letter", "appliance"), [("R", "range"), ("W", "washer"), ("D", "dryer")])
def test_a_letter_alone_names_an_appliance_for_sure_only_beside_a_receptacle_of_two_legs(
    letter: str, appliance: str
) -> None:
    """R beside a duplex over a counter may say that it is relocated: as a range's it would serve no counter."""
    words = [word(letter, 109, 100)]
    (told,), (outlet,), _ = given_to([symbol(100, 100)], words)
    assert told[letter] == (("serves_unsure", appliance),) and any(letter in reason for reason in outlet.reasons)
    plug = SymbolEntry("240 V receptacle", "receptacle", volts=240.0)
    (told,), _, _ = given_to([symbol(100, 100, plug)], words)
    assert told[letter] == (("serves", appliance),)
    own = (LabelEntry(letter, (("serves", appliance),)),)
    (told,), _, _ = given_to([symbol(100, 100)], words, labels=own)
    assert told[letter] == (("serves", appliance),)


# --------------------------------------------------------------------------------- whose label it surely is not


def sure_of(symbols: list[Symbol], words: list[Word], strokes: Sequence[tuple[float, ...]] = ()) -> list[bool]:
    """Which symbols are told to be protected, without a doubt."""
    said, _, _ = given_to(symbols, words, strokes)
    return [any(("protection", "device") in sets for sets in labels.values()) for labels in said]


def test_a_leader_is_not_overruled_by_a_label_too_many() -> None:
    """The far label has but the middle outlet to go to; the led one was pushed to the outlet that it stands at."""
    symbols = [symbol(100, 100), symbol(125, 100)]
    led = (130.5, 101.8, 107.5, 101.0)
    assert not sure_of(symbols, [word("GFI", 137, 102), word("GFI", 72, 122)], [led])[1]


@pytest.mark.parametrize("bend", [110.0, 100.0])
def test_a_leader_with_a_bend_at_an_outlet_does_not_end_there(bend: float) -> None:
    """Elbows of leaders lie beside outlets, and over them, that the leader passes on its way to another one."""
    symbols = [symbol(105, 104), symbol(70, 100)]
    leader = [(120.0, 109.0, bend, 109.0), (bend, 109.0, 76.0, 102.0)]
    assert not sure_of(symbols, [word("GFI", 127, 109)], leader)[0]


def test_a_leader_through_an_outlet_is_that_of_the_next() -> None:
    symbols = [symbol(144.8, 132.5), symbol(161.6, 132.5)]
    assert sure_of(symbols, [word("GFI WP", 100, 122)], [(114, 124, 154, 131)]) == [False, True]


@pytest.mark.parametrize("entry", [LIGHT, SymbolEntry("switch", "switch")])
def test_a_label_at_a_light_or_a_switch_clears_no_outlet_farther_off(entry: SymbolEntry) -> None:
    symbols = [symbol(100, 100), symbol(132.2, 100, entry)]
    assert sure_of(symbols, [word("GFI", 117.9, 102)]) == [False, False]
    assert sure_of(symbols, [word("GFI", 114, 102)]) == [True, False]


def test_a_label_a_little_nearer_to_a_light_clears_no_outlet() -> None:
    symbols = [symbol(100, 100), symbol(128, 103, LIGHT)]
    assert not any(sure_of(symbols, [word("GFI", 114.3, 102)]))
    assert sure_of(symbols, [word("GFI", 112.7, 102)]) == [True, False]


def test_a_leader_is_that_of_the_outlet_it_points_at_and_not_of_a_light_beside_its_end() -> None:
    """The label lies nearest to a third device, which it would else have cleared."""
    symbols = [symbol(210.7, 178.1, LIGHT), symbol(169.2, 164.2), symbol(219.1, 164.2)]
    assert sure_of(symbols, [word("GFI WP", 165.5, 187.9)], [(178, 192, 211, 169)]) == [False, False, True]


def test_a_label_that_another_pushed_to_a_farther_outlet_clears_nothing() -> None:
    """Two labels at one outlet, one of them of a device that is not drawn: the next outlet has none of its own."""
    symbols = [symbol(100, 100), symbol(132, 100)]
    assert not any(sure_of(symbols, [word("GFI", 96, 113), word("GFI", 107, 86)])[1:])


@pytest.mark.parametrize(
    ("height", "told"), [('+42"', PROTECTED), ('+60"', UNSURE), ('+3 6"', UNSURE), ("", UNSURE)]
)
def test_a_label_with_the_height_of_an_outlet_is_no_light_s_though_one_stands_nearer(
    height: str, told: tuple[tuple[str, str], ...]
) -> None:
    """By half a point, and by the writer's font: the boxes of words hold more above the letters or below them."""
    lines = ["A-9", "GFI", *([height] if height else [])]
    words = [word(line, 100, 114 + 7.6 * k) for k, line in enumerate(lines)]
    light = symbol(100, words[-1].box[3] + 4.4 + RADIUS, LIGHT)
    found, _, _ = given_to([symbol(100, 100), light], words)
    assert found[0]["GFI"] == told


def test_drawn_brackets_make_no_larger_text_of_a_line_that_runs_on() -> None:
    """(R) under a drawn GFI, read as (RD, was as large as the name of a room for its brackets: GFI cleared."""
    drawn = Word("(RD", (124.0, 104.0, 136.0, 114.6), 0.0, 10.6, -1, origin="stroke", confidence=0.6)
    _, (outlet,), _ = given_to([symbol(100, 100)], [word("GFI", 130, 100, sure=0.9), drawn])
    assert outlet.fact("protection") is None and outlet.fact("protection_unsure") is not None
