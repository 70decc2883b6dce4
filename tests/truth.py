"""Compare a results document with a truth file: outlets by place, verdicts, rooms, fixtures, scale.

A *silent pass* is an outlet that truth says is missing or unresolved and that the results clear (protected, not
required) or do not have at all: the worst defect there is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

NEAR_PT = 5.0  # two places within this distance on paper are the same symbol (symbols are at least 9 pt across)
CLEARED = ("protected", "not required")


@dataclass
class Score:
    outlets: int = 0
    found: int = 0
    false: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    verdicts_right: int = 0
    wrong: list[str] = field(default_factory=list)
    silent: list[str] = field(default_factory=list)
    rooms: int = 0
    rooms_right: int = 0
    rooms_wrong: list[str] = field(default_factory=list)
    outlet_rooms_wrong: list[str] = field(default_factory=list)
    fixtures: int = 0
    fixtures_found: int = 0
    fixtures_lost: list[str] = field(default_factory=list)

    def lines(self) -> Iterator[str]:
        yield f"outlets {self.found} of {self.outlets}, {len(self.false)} false"
        yield f"verdicts {self.verdicts_right} right"
        yield f"rooms {self.rooms_right} of {self.rooms}; fixtures {self.fixtures_found} of {self.fixtures}"
        yield f"silent {len(self.silent)}"
        for name in ("silent", "lost", "false", "wrong", "rooms_wrong", "outlet_rooms_wrong", "fixtures_lost"):
            yield from (f"  {name}: {item}" for item in getattr(self, name))


def compare(truth: dict[str, Any], sheet: dict[str, Any], edition: str) -> Score:
    """``truth``: one page of a truth file; ``sheet``: the same page in results.json."""
    score = Score()
    names = {room["id"]: room for room in sheet["rooms"]}
    for view in truth["views"]:
        _rooms(score, view, sheet)
        for wanted in view["fixtures"]:
            score.fixtures += 1
            alike = (f["at"] for f in sheet["fixtures"] if f["kind"] == wanted["kind"])
            if any(_near(at, wanted["at"], 3 * NEAR_PT) for at in alike):
                score.fixtures_found += 1
            else:
                score.fixtures_lost.append(f"{wanted['symbol']} in {wanted.get('room')} at {wanted['at']}")
    wanted_outlets = [outlet for view in truth["views"] for outlet in view["outlets"]]
    unmatched = list(sheet["outlets"])
    for wanted in wanted_outlets:
        score.outlets += 1
        got = min(unmatched, key=lambda o: math.dist(o["at"], wanted["at"]), default=None)
        expected = wanted["verdict"][edition]
        place = f"{wanted['symbol']} in {wanted.get('room')} at {wanted['at']}"
        if got is None or not _near(got["at"], wanted["at"], NEAR_PT):
            score.lost.append(f"{place}: expected {expected}")
            if expected not in CLEARED:
                score.silent.append(f"{place}: not found")
            continue
        unmatched.remove(got)
        score.found += 1
        _verdict(score, got, expected, place)
        room = names.get(got["room"] or "", {}).get("name")
        if room != wanted.get("room"):
            score.outlet_rooms_wrong.append(f"{got['id']} {place}: room {room}")
    score.false = [f"{o['id']} {o['symbol']} at {o['at']} {o['verdict']}" for o in unmatched]
    return score


def _verdict(score: Score, got: dict[str, Any], expected: str, place: str) -> None:
    if got["verdict"] == expected:
        score.verdicts_right += 1
        return
    said = f"{got['id']} {place}: {got['verdict']}, expected {expected}; {'; '.join(got.get('reasons', []))}"
    score.wrong.append(said)
    if got["verdict"] in CLEARED and expected not in CLEARED:
        score.silent.append(said)


def _rooms(score: Score, view: dict[str, Any], sheet: dict[str, Any]) -> None:
    got = [(room["name"], room["kind"]) for room in sheet["rooms"]]
    for wanted in view["rooms"]:
        score.rooms += 1
        if (wanted["name"], wanted["kind"]) in got:
            score.rooms_right += 1
            got.remove((wanted["name"], wanted["kind"]))
        else:
            alike = [name for name in got if name[0] == wanted["name"]]
            score.rooms_wrong.append(f"{wanted['name']} [{wanted['kind']}]: {alike}")


def _near(a: list[float], b: list[float], within: float) -> bool:
    return math.dist(a, b) <= within
