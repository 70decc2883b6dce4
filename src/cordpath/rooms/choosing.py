"""Which of the ways that walls may be drawn in a view is the one that was used."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from cordpath.model import FloatArray, RoomKind
from cordpath.rooms.building import Building, raise_building, score
from cordpath.rooms.ink import Evidence
from cordpath.rooms.shut_off import astray, bared
from cordpath.rooms.walls.together import BODIES, EVERY, stands_out, surer, with_more
from cordpath.rooms.walls.walls import (
    Walls,
    hatched_candidates,
    screened_candidates,
    several_candidates,
    wall_candidates,
)

_Ways = Callable[[Evidence], Iterable[Walls]]

FIRST_BONUS = 1.5  # a later way of drawing walls must separate this many names more than the surest one
# Part of the names that these ways must separate for no other way to be tried: a name of a layer is telling, and
# where one pen draws everything, taking every line for a wall would separate any names.
ENOUGH = {"layer": 0.5, "pairs": 0.4}
ONE_WEIGHT = ("pairs", "single")  # where no weight tells walls, what is hatch may be walls, or as well the floor
# Ways that find the walls of one kind only, where a sheet draws new walls, or outer ones, otherwise than the rest.
PARTLY = ("fill", "thick", "double", "single", "pairs", "hatch")
MOST_KINDS = 3  # ways of drawing walls on one sheet
# Names that walls of one more kind must separate besides: half of what a room that closes counts more
CLEARER = 0.5
TOGETHER = "walls taken together that are drawn in several ways"
ALIKE = 1e-6  # of a name: between marks of the same names apart
TOLD_APART = 0.5  # part of the names that dark lines must separate for walls not to be looked for among pale ones
# Tried after the usual ways: is it wanted, where few names are apart, or after the way so far; the candidates; how
# many names more than so far they must separate; what is said.
LATER_WAYS: tuple[tuple[Callable[[bool, str | None], bool], _Ways, float, str], ...] = (
    (lambda few, so_far: few or so_far in ONE_WEIGHT, hatched_candidates, 0.0,
     "walls taken from hatch without an outline"),
    (lambda few, so_far: few and so_far in PARTLY, several_candidates, FIRST_BONUS,
     "walls taken from lines of several pens, or from fills and lines"),
    (lambda few, so_far: few, screened_candidates, 0.0,
     "walls taken from lines printed in grey, as a base under other work is"),
)  # fmt: skip


def best_building(
    ev: Evidence, seeds: FloatArray, kinds: tuple[RoomKind | None, ...], patterns: tuple[str, ...], wet: FloatArray
) -> tuple[Building | None, list[str]]:
    """The way of drawing walls that separates the names best; the first of those that are there has a bonus.

    ``kinds``: what the names at ``seeds`` (s, 2) mean; None for parts of rooms.  Where rooms that walls shut off,
    as bathrooms, come out open to others, by their names or by what stands at ``wet`` (w, 2) in them, walls of
    another kind are looked for as well.
    """
    said: list[str] = []
    mark, building, followed = _best_of(wall_candidates(ev, patterns), ev, seeds)
    if building is not None and followed:
        return building, ["walls taken from the layers that the mapping file names"]
    if patterns and not followed:
        said.append("the wall layers of the mapping file hold nothing in this view: walls were told by their looks")
    for is_wanted, candidates, ahead, told in LATER_WAYS:
        few = building is None or mark - FIRST_BONUS <= TOLD_APART * len(seeds)
        if not is_wanted(few, building.walls.route if building is not None else None):
            continue
        better, other, _ = _best_of(((walls, False) for walls in candidates(ev)), ev, seeds)
        if other is not None and better > mark + ahead:
            mark, building = better, other
            said.append(told)
    if building is None:
        return None, said
    if lost := astray(building, seeds, kinds) + _of_any_pen(building, ev):
        whole = _with_other_kinds(building, ev, seeds, kinds, lost)
        if whole is not building:
            building = whole
            said.append(TOGETHER)
    elif building.walls.route == "layer":
        said.append("walls taken from the layers whose names say wall")
    if bare := bared(building, seeds, kinds, wet):
        whole = _with_bath_walls(building, ev, seeds, kinds, wet, bare)
        if whole is not building:
            building = whole
            said += [] if TOGETHER in said else [TOGETHER]
    return building, said


def _with_bath_walls(
    building: Building,
    ev: Evidence,
    seeds: FloatArray,
    kinds: tuple[RoomKind | None, ...],
    wet: FloatArray,
    bare: int,
) -> Building:
    """The building with the walls of one more kind that shut off baths without names, where bodies of walls do and
    the names stay apart as they are; else as it was."""
    mark, lost = score(building, seeds), astray(building, seeds, kinds)
    best, left = building, bare
    for walls in with_more(building.walls, ev, BODIES):
        more = raise_building(walls, ev, seeds)
        if more is None or score(more, seeds) < mark - ALIKE or astray(more, seeds, kinds) > lost:
            continue
        if (still := bared(more, seeds, kinds, wet)) < left:
            best, left = more, still
    return best


def _best_of(
    candidates: Iterable[tuple[Walls, bool]], ev: Evidence, seeds: FloatArray
) -> tuple[float, Building | None, bool]:
    """The best mark and its building, and whether candidates follow the user's layers; the first has a bonus."""
    best: tuple[float, Building | None] = (0.0, None)
    followed = False
    for walls, followed in candidates:
        building = raise_building(walls, ev, seeds)
        if building is None:
            continue
        if followed:
            return 0.0, building, True
        mark = score(building, seeds) + (0.0 if best[1] else FIRST_BONUS)
        if best[1] is None or mark > best[0]:
            best = (mark, building)
        if walls.route in ENOUGH and mark - FIRST_BONUS > ENOUGH[walls.route] * len(seeds):
            break
    return *best, followed


def _of_any_pen(building: Building, ev: Evidence) -> bool:
    """Are its walls lines of the pen that draws furniture and grids too?  These divide names as walls do."""
    return building.walls.route == "single" and not stands_out(building.walls.used, ev.ink)


def _with_other_kinds(
    building: Building, ev: Evidence, seeds: FloatArray, kinds: tuple[RoomKind | None, ...], lost: int
) -> Building:
    """The building with walls of more kinds, where these shut off rooms that come out open; else as it was.

    Where no weight tells walls, those that are filled or thick are the surer ones to begin with; lines of the pen
    that draws furniture as well are begun with only where there is nothing else.
    """
    first = score(building, seeds)
    begun = [building]
    if building.walls.route in ONE_WEIGHT:
        sure = [each for walls in surer(ev) if (each := raise_building(walls, ev, seeds)) is not None]
        begun = sure if sure and _of_any_pen(building, ev) else [*sure, building]
    best = (lost, -first - CLEARER, len(begun), building)
    for k, begin in enumerate(begun):
        left, mark, whole = _grown(begin, ev, seeds, kinds)
        if left < lost and (left, -mark, k) < best[:3]:
            best = (left, -mark, k, whole)
    return best[3]


def _grown(
    building: Building, ev: Evidence, seeds: FloatArray, kinds: tuple[RoomKind | None, ...]
) -> tuple[int, float, Building]:
    """The building with one more kind of walls at a time; how many names are astray in it, and its mark."""
    left, mark = astray(building, seeds, kinds), score(building, seeds)
    for _ in range(MOST_KINDS - 1):
        if not left:
            break
        found = [
            (astray(more, seeds, kinds), -now, k, more)
            for k, walls in enumerate(with_more(building.walls, ev, EVERY))
            if (more := raise_building(walls, ev, seeds)) is not None and (now := score(more, seeds)) > mark
        ]
        if not found:
            break
        left, mark, _, building = min(found, key=lambda each: each[:3])
        mark = -mark
    return left, mark, building
