"""Notes written into a room that claim protection for the outlets there."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest
import shapely

from cordpath.circuits import claimed, file_claims, plan_claims
from cordpath.model import Answer, Finding, Policy, Protection, Region, Room, Word

GARAGE = Room("r1", "GARAGE", "garage", shapely.box(0, 0, 600, 400), 1.0, "v1")
BATH = Room("r2", "BATH", "bathroom", shapely.box(600, 0, 900, 400), 1.0, "v1")


def reading(trade, rows, at=(50.0, 60.0), regions=()):
    words = []
    for k, row in enumerate(rows):
        trade.text(words, k, at[0], at[1] + 11 * k, row)
    made = trade.sheet((words, []), regions=regions)
    return SimpleNamespace(sheet=made, plans=(SimpleNamespace(rooms=(GARAGE, BATH)),), panels=())


def asked(trade, read):
    """The rooms in which missing protection becomes a question, and the first finding."""
    shown = Protection(Answer.NO, None, None, None, ("no tag",))
    found = tuple(
        Finding(trade.outlet(None, "E.1"), "missing", (), shown, ("Protection is not shown.",), room, 1.0)
        for room in (GARAGE, BATH)
    )
    made = claimed(found, (*plan_claims(read), *file_claims([read])), Policy())
    assert {one.verdict for one in made} <= {"missing", "unresolved"}
    return [one.room.name for one in made if one.verdict == "unresolved"], made


@pytest.mark.parametrize(
    ("rows", "rooms"),
    [
        (["ALL RECEPTACLES IN GARAGE GFCI PROTECTED"], ["GARAGE"]),
        (["ALL RECEPTACLES IN THIS ROOM", "TO BE GFCI PROTECTED"], ["GARAGE"]),
        (["ALL OUTLETS", "SHALL BE", "GROUND FAULT", "PROTECTED"], ["GARAGE"]),
        (["NOTE: BATH RECEPTACLES", "SHALL BE GFCI TYPE"], ["BATH"]),
        (["PROVIDE GFCI PROTECTION", "AT ALL RECEPTACLES"], ["GARAGE"]),
        (["GFCI TYPICAL"], ["GARAGE"]),  # in no line with an outlet, or at one of several
        (["GFI - TYP. THIS ROOM"], ["GARAGE"]),
        (["RECEPTACLES IN THIS ROOM", "ON GFCI BREAKER"], ["GARAGE"]),  # was missing for certain
        (["ALL OUTLETS", "DOWNSTREAM OF GFCI"], ["GARAGE"]),  # so was this
        (["ALL REC. GFI"], ["GARAGE"]),  # and this
        (["ALL REC. ROOM LIGHTS ON DIMMERS, GFI BY OTHERS"], []),
        (["GFI ALL"], ["GARAGE"]),
        (["(2) GFI/WP"], ["GARAGE"]),
        (["GFI"], []),
        (["(2) GFI BATH"], []),
        (["PROVIDE GFCI RECEPTACLE"], []),  # of one outlet
        (["ALL RECEPTACLES NOT GFCI PROTECTED"], []),
        (["GARAGE", "20 AMP", "GFI"], []),
    ],
)
def test_what_a_note_in_a_room_asks_about(trade, rows, rooms):
    names, made = asked(trade, reading(trade, rows))
    assert names == rooms
    for one in made:
        if one.verdict == "unresolved":
            assert one.protection.shown is Answer.UNKNOWN and one.protection.by is None
            assert "a note in garage on sheet e-201 claims" in one.reasons[0].lower()
            assert "THIS ROOM" not in rows[0] or rows[-1].removeprefix("TO BE ") in one.reasons[0]


@pytest.mark.parametrize(
    ("rows", "rooms"),
    [
        (["ALL BREAKERS SHALL BE GFCI"], ["GARAGE", "BATH"]),
        (["3. ALL RECEPTACLES IN GARAGE GFCI PROTECTED"], ["GARAGE"]),
        (["1. PROVIDE GFCI BREAKERS", "2. ALL WIRE SHALL BE COPPER"], []),  # 1 may be the key of a row
        (["* PROVIDE GFCI BREAKERS"], []),
        (["ALL GFCI RECEPTACLES SHALL BE WHITE"], []),
    ],
)
def test_a_note_behind_a_gap_or_in_the_yard_is_a_general_one(trade, rows, rooms):
    """ALL BREAKERS SHALL BE GFCI, a gap below the notes under a schedule, was passed over without a word, and in
    the yard it spoke of the outlets of the yard only."""
    for at, yard in (((950.0, 60.0), False), ((50.0, 60.0), True)):
        read = reading(trade, rows, at)
        outside = Room("r0", "OUTDOORS", "outdoors", shapely.box(0, 0, 900, 400), 1.0, "v1")
        read.plans = (SimpleNamespace(rooms=(outside,)),) if yard else read.plans
        assert asked(trade, read)[0] == rooms


def test_a_note_on_breakers_in_a_room_is_a_general_one(trade):
    assert asked(trade, reading(trade, ["ALL BREAKERS SHALL BE GFCI"]))[0] == ["GARAGE", "BATH"]


def test_what_stands_in_a_list_claims_nothing_here(trade):
    row = ["ALL RECEPTACLES IN GARAGE GFCI PROTECTED"]
    listed = (Region("schedule", (40, 50, 600, 400), "FINISHES"),)
    assert asked(trade, reading(trade, row, regions=listed))[0] == []


def test_the_same_note_in_two_rooms_speaks_of_both(trade):
    words = []
    trade.text(words, 0, 50.0, 60.0, "ALL OUTLETS GFCI PROTECTED")
    trade.text(words, 1, 620.0, 60.0, "ALL OUTLETS GFCI PROTECTED")
    read = SimpleNamespace(
        sheet=trade.sheet((words, [])), plans=(SimpleNamespace(rooms=(GARAGE, BATH)),), panels=()
    )
    assert asked(trade, read)[0] == ["GARAGE", "BATH"]


def test_a_column_of_a_panel_schedule_is_no_note(trade):
    """GFCI RECEPTS BATH under LIGHTS, in a schedule that is no list of the sheet's layout, claimed protection for
    all baths, and each outlet without it was a question."""
    columns = [("CKT", 40), ("DESCRIPTION", 160), ("AMPS", 50), ("POLES", 50)]
    rows = [
        [str(k), load, "20", "1"] for k, load in enumerate(["HALL LIGHTS", "GFCI RECEPTS BATH", "RANGE", "SPARE"])
    ]
    at = (950.0, 200.0)
    for ruled in (True, False):
        table = trade.draw(columns, rows, "PANEL A", origin=at, ruled=ruled)
        read = SimpleNamespace(sheet=trade.sheet(table), plans=(SimpleNamespace(rooms=(GARAGE, BATH)),), panels=())
        assert asked(trade, read)[0] == []


@pytest.mark.parametrize(("said", "gap", "rooms"), [
    (["GFI", "TYP"], 2.7, ["GARAGE"]), (["ALL", "REC", "GFI"], 1.7, ["GARAGE"]), (["GFI", "TYP"], 4.0, []),
    (["GFI", "WP"], 2.7, []),
])  # fmt: skip
def test_a_sign_that_was_not_read_parts_no_note_of_plotted_lettering(trade, said, gap, rooms):
    """GFI - TYP. in letters of one width, whose dash was lost: its outlets were missing protection for certain."""
    words, x = [], 100.0
    for text in said:
        box = (x, 200.0, x + 4.0 * len(text), 207.0)
        words.append(Word(text, box, 0.0, 7.0, len(words), origin="stroke", confidence=0.97))
        x = box[2] + gap * 7.0
    made = replace(trade.sheet(([], [])), words=tuple(words))
    read = SimpleNamespace(sheet=made, plans=(SimpleNamespace(rooms=(GARAGE, BATH)),), panels=())
    assert asked(trade, read)[0] == rooms
