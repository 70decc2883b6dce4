"""Rooms that must have a sink or a tub, where what was found does not show that it is all there is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import box
from tests.rules.records import finding, fixture, room

from cordpath.model import Fixture

KITCHEN = room("kitchen", id="r2", open_to=("r1",), polygon=box(0, 0, 400, 100))
BEDROOM = room("bedroom", id="r1", open_to=("r2",))


def unnamed(each: tuple[Fixture, float | None]) -> tuple[Fixture, float | None]:
    symbol = replace(each[0].symbol, found=False, unnamed=True)
    return replace(each[0], symbol=symbol), each[1]


def test_what_may_be_a_sink_is_not_the_sink_that_a_kitchen_must_have() -> None:
    """It stands twenty feet off; the kitchen's own, which nobody found, may be nearer."""
    sink = fixture("sink", 20.0, at=(390.0, 10.0), room="r2")
    assert finding(rooms=(BEDROOM, KITCHEN), fixtures=(sink,)).verdict == "not required"
    told = finding(rooms=(BEDROOM, KITCHEN), fixtures=(unnamed(sink),))
    assert told.verdict == "unresolved" and any("no sink was found in" in reason for reason in told.reasons)


@pytest.mark.parametrize(
    ("feet", "name", "verdict"),
    [(5.0, "BATH 2", "not required"), (8.0, "BATH 2", "unresolved"), (8.0, "POWDER ROOM", "not required")],
)
def test_a_bathroom_of_the_size_for_a_tub_has_one(feet: float, name: str, verdict: str) -> None:
    """A tub of the other bath's design was found there; this one may have design."""
    wide = feet * 18.0
    bath = room("bathroom", name, id="r2", open_to=("r1",), polygon=box(60, 100 - 5 * 18.0, 60 + wide, 100))
    other = room("bathroom", "BATH 1", id="r3", polygon=box(600, 0, 740, 140))
    basin = fixture("lavatory", 7.0, id="f1", at=(140.0, 20.0), room="r2")
    fixtures = (
        basin,
        fixture("bathtub", None, id="f2", at=(620.0, 50.0), room="r3"),
        fixture("lavatory", None, id="f3", at=(700.0, 50.0), room="r3"),
    )
    assert finding(rooms=(BEDROOM, bath, other), fixtures=fixtures).verdict == verdict


def test_a_stall_behind_its_own_door_is_the_tub_of_its_bath() -> None:
    bath = room("bathroom", "BATH 2", id="r2", open_to=("r1",), polygon=box(60, 10, 204, 100))
    stall = room("bathroom", "SHOWER", id="r3", polygon=box(210, 10, 280, 100))
    fixtures = (
        fixture("lavatory", 7.0, id="f1", at=(140.0, 20.0), room="r2"),
        fixture("shower", 9.0, id="f2", at=(250.0, 30.0), room="r3"),
    )
    assert finding(rooms=(BEDROOM, bath, stall), fixtures=fixtures).verdict == "not required"


def test_a_compartment_has_its_basin_in_the_room_that_it_is_part_of() -> None:
    """Receptacles near the door of a W.C. were asked about a sink in it."""
    basin = fixture("lavatory", 20.0, id="f1", at=(640.0, 20.0), room="r3")
    bath = room("bathroom", "BATH", id="r3", polygon=box(600, 0, 740, 140))
    for part_of, verdict in ((None, "unresolved"), ("r3", "not required")):
        closet = replace(room("bathroom", "W.C.", id="r2", open_to=("r1",), polygon=box(60, 0, 150, 100)),
                         part_of=part_of)  # fmt: skip
        assert finding(rooms=(BEDROOM, closet, bath), fixtures=(basin,)).verdict == verdict
