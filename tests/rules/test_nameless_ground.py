"""Ground that a line which may be a wall shuts off from every room's name."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import box
from tests.rules.records import HERE, NOT_SHOWN, finding, fixture, reading, room

from cordpath.model import Disputed, Finding
from cordpath.rules import judge, load_edition

X, Y = HERE


def _judged(cut: bool, feet: float | None) -> Finding:
    """An outlet at an outer wall of a bath, beyond a line from its name or not, and a tub so far off across it."""
    there = room("bathroom", id="r1", polygon=box(X - 200, Y, X + 200, Y + 100))
    tub = fixture("bathtub", feet, id="f1", at=(X + 90, Y + 20), room="r1")
    ground = (Disputed(("r1", None), box(X - 100, Y, X + 45, Y + 100)),) if cut else ()
    outside = box(X - 300, Y - 200, X + 300, Y - 5)
    found = reading(
        rooms=there, why="a line may be a wall" if cut else None, fixtures=(tub,) if feet else (), outside=outside
    )
    (plan,) = found.plans
    found = replace(found, plans=(replace(plan, disputed=ground),))
    (finding,) = judge(found, (), (NOT_SHOWN,), load_edition("2023"), ())
    return finding


@pytest.mark.parametrize("feet", [None, 3.0])
def test_an_outlet_in_nameless_ground_beside_a_bath_is_asked_about(feet: float | None) -> None:
    """The bath was all that it could be in, and the tub was near: its bedroom's wall was not recognised."""
    assert _judged(False, feet).verdict == "missing"
    told = _judged(True, feet)
    assert told.verdict == "unresolved"
    assert feet is None or any("over a line that may be a wall" in reason for reason in told.reasons)


@pytest.mark.parametrize("other", [None, "r2"])
@pytest.mark.parametrize(("line", "verdict"), [(45, "unresolved"), (-10, "missing")])
def test_a_shower_right_behind_a_line_that_may_be_a_wall_is_asked_about(
    other: str | None, line: float, verdict: str
) -> None:
    """A bath's wall that was not recognised, with the shower's edge on its face (plan types 2665), or beyond which
    the ground has a name (2668); with ``line`` -10 the outlet stands on the shower's side of it."""
    rooms = (
        room("bathroom", id="r1", polygon=box(X - 70, Y, X + 200, Y + 100), open_to=("r2",)),
        room("bedroom", id="r2", polygon=box(X - 200, Y, X - 70, Y + 100), open_to=("r1",)),
    )
    shower, feet = fixture("shower", 2.6, at=(X + 60, Y + 20), room="r1")
    found = reading(rooms=rooms, fixtures=((shower, feet),), outside=box(X - 300, Y - 200, X + 300, Y - 5))
    ground = Disputed(("r1", other), box(X - 70, Y, X + line, Y + 100))
    (plan,), (path,) = found.plans, found.paths
    path = replace(path, points=(HERE, (X + 47, Y)))
    found = replace(found, plans=(replace(plan, disputed=(ground,)),), paths=(path,))
    (outlet,) = found.outlets
    found = replace(found, outlets=(replace(outlet, standing=replace(outlet.standing, room="r2")),))
    (judged,) = judge(found, (), (NOT_SHOWN,), load_edition("2023"), ())
    assert judged.verdict == verdict


@pytest.mark.parametrize(("why", "verdict"), [(None, "missing"), ("it stands far off the building", "unresolved")])
def test_what_is_far_off_the_building_is_not_outdoors_for_certain(why: str | None, verdict: str) -> None:
    found = reading(standing_room=None, why=why, outside=box(X - 300, Y - 200, X + 300, Y + 200))
    (finding,) = judge(found, (), (NOT_SHOWN,), load_edition("2023"), ())
    assert finding.verdict == verdict


@pytest.mark.parametrize(("edition", "verdict"), [("2020", "not required"), ("2023", "unresolved")])
def test_ground_in_one_space_with_a_kitchen_alone_asks_where_the_whole_kitchen_is_protected(
    edition: str, verdict: str
) -> None:
    why = "no wall divides KITCHEN from ground 14 ft off all its counters and appliances"
    far = (fixture("sink", 14.0),)
    assert finding(edition, rooms=room("kitchen"), why=why, fixtures=far).verdict == verdict


@pytest.mark.parametrize(("pane", "verdict"), [(True, "unresolved"), (False, "missing")])
def test_what_may_be_a_window_between_two_rooms_asks_whether_a_cord_goes_through_it(
    pane: bool, verdict: str
) -> None:
    """A window between a bath and a dining room passed for a sliding door (plan type 1614; a window ends a path in
    2020)."""
    tub = fixture("bathtub", 4.0, id="f1", at=(X, Y + 72), room="r2")
    found = reading(rooms=room("dining"), fixtures=(tub,))
    strip = box(X - 20, Y + 30, X + 20, Y + 37)
    (plan,) = found.plans
    plan = replace(plan, doors=(strip,), panes=(strip,) if pane else ())
    (judged,) = judge(replace(found, plans=(plan,)), (), (NOT_SHOWN,), load_edition("2020"))
    assert judged.verdict == verdict


@pytest.mark.parametrize(("edition", "verdict"), [("2017", "unresolved"), ("2023", "missing")])
@pytest.mark.parametrize("open_to", [(), ("r2",)])
def test_an_opening_between_two_rooms_that_was_not_found_may_be_a_doorway(
    open_to: tuple[str, ...], edition: str, verdict: str
) -> None:
    """At the ragged end of a hatched wall no opening was found; a doorway ends a path in 2017 (plan type 2896)."""
    rooms = (
        room("dining", id="r1", polygon=box(X - 80, Y, X + 80, Y + 40), open_to=open_to),
        room("kitchen", id="r2", polygon=box(X - 80, Y + 40, X + 80, Y + 120)),
    )
    sink = fixture("sink", 4.0, at=(X, Y + 76), room="r2")
    judged = finding(edition, rooms=rooms, fixtures=(sink,), doors="blocking" if edition == "2017" else "open")
    assert judged.verdict == ("missing" if open_to else verdict)
