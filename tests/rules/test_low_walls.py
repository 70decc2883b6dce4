"""Low walls are drawn like any other: a note that tells of one makes the straight way to a sink a question."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.rules.records import NOT_SHOWN, PER_FOOT, fixture, reading, room

from cordpath.model import CordPath, Point, Word
from cordpath.rules import judge, load_edition
from cordpath.rules.low_walls import low_wall_notes

SIZE = 6.0


def words(text: str, at: Point = (100.0, 150.0)) -> tuple[Word, ...]:
    """A note set from ``at`` on, ``|`` begins its next line."""
    found = []
    for row, line in enumerate(text.split("|")):
        x, y = at[0], at[1] + 1.2 * SIZE * row
        for part in line.split():
            wide = 0.6 * SIZE * len(part)
            found.append(Word(part, (x, y - SIZE / 2, x + wide, y + SIZE / 2), 0.0, SIZE, row))
            x += wide + 0.4 * SIZE
    return tuple(found)


def verdict(note: tuple[Word, ...], edition: str = "2023", feet: float = 4.0, **more: object) -> str:
    """An outlet in a hall; the sink of the kitchen stands ``feet`` off, behind what is drawn as a wall."""
    sink = fixture("sink", at=(100.0, 100.0 + feet * PER_FOOT + 4.0), room="r2", **more)
    read = reading(rooms=(room("hall"), room("kitchen", id="r2")), fixtures=(sink,))
    read = replace(read, sheet=replace(read.sheet, words=note))
    (found,) = judge(read, (), (NOT_SHOWN,), load_edition(edition))
    if found.verdict == "unresolved":
        assert any("low wall" in reason and "sink f1" in reason for reason in found.reasons)
    return found.verdict


NOTES = ("HALF WALL", "42\" HIGH WALL", "LOW|WALL", "PONY WALL", "KNEE WALL", "36\" H. WALL", "PASS-THRU",
         "PASS THROUGH", "HALF-WALL", "WALL|+42\" A.F.F.", "HALF HEIGHT WALL")  # fmt: skip


@pytest.mark.parametrize("edition", ["2014", "2017", "2020", "2023", "2026"])
@pytest.mark.parametrize("note", NOTES)
def test_a_sink_behind_a_wall_that_is_noted_as_low_is_asked_about(note: str, edition: str) -> None:
    assert verdict((), edition) == "not required"
    assert verdict(words(note), edition) == "unresolved"


@pytest.mark.parametrize(
    "note",
    [
        "FULL HEIGHT WALL",
        "9'-0\" HIGH WALL",
        "EXISTING WALL",
        "SHEAR WALL",
        "BELOW",
        "PASS",
        "HALF BATH",
        "HIGH CEILING",
        "LOW VOLTAGE",
    ],
)
def test_other_notes_tell_of_no_low_wall(note: str) -> None:
    assert verdict(words(note)) == "not required"


def test_only_a_note_near_the_straight_way_and_a_sink_within_reach_count() -> None:
    assert verdict(words("HALF WALL", at=(100.0, 400.0))) == "not required"
    assert verdict(words("HALF WALL", at=(130.0, 150.0))) == "unresolved"
    assert verdict(words("HALF WALL"), feet=6.0) == "unresolved"
    assert verdict(words("HALF WALL"), feet=6.3) == "not required"
    assert verdict(words("HALF WALL"), view="v2") == "not required"


def test_a_way_round_that_is_within_reach_decides_before_the_note() -> None:
    sink = fixture("sink", 5.0, at=(100.0, 172.0))
    read = reading(rooms=room("hall"), fixtures=(sink,))
    read = replace(read, sheet=replace(read.sheet, words=words("HALF WALL")))
    (found,) = judge(read, (), (NOT_SHOWN,), load_edition("2023"))
    assert found.verdict == "missing"
    longer = replace(read, paths=(CordPath("E1.1", "f1", "open", 9.0, 0.1, ((0.0, 0.0), (1.0, 1.0))),))
    (found,) = judge(longer, (), (NOT_SHOWN,), load_edition("2023"))
    assert found.verdict == "unresolved"


def test_a_note_is_read_once_for_each_wall_that_it_names() -> None:
    sheet = replace(reading().sheet, words=(*words("HALF WALL"), *words('42" HIGH WALL', at=(300.0, 300.0))))
    assert len(low_wall_notes(sheet)) == 2
