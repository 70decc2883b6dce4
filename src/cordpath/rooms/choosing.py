"""Which of the ways that walls may be drawn in a view is the one that was used."""

from __future__ import annotations

from collections.abc import Iterable

from cordpath.model import FloatArray
from cordpath.rooms.building import Building, raise_building, score
from cordpath.rooms.ink import Evidence
from cordpath.rooms.walls.walls import (
    Walls,
    hatched_candidates,
    screened_candidates,
    several_candidates,
    wall_candidates,
)

FIRST_BONUS = 1.5  # a later way of drawing walls must separate this many names more than the surest one
# Part of the names that these ways must separate for no other way to be tried: a name of a layer is telling, and
# where one pen draws everything, taking every line for a wall would separate any names.
ENOUGH = {"layer": 0.5, "pairs": 0.4}
ONE_WEIGHT = ("pairs", "single")  # where no weight tells walls, what is hatch may be walls, or as well the floor
# Ways that find the walls of one kind only, where a sheet draws new walls, or outer ones, otherwise than the rest.
PARTLY = ("fill", "thick", "double", "single", "pairs", "hatch")
TOLD_APART = 0.5  # part of the names that dark lines must separate for walls not to be looked for among pale ones


def best_building(ev: Evidence, seeds: FloatArray, patterns: tuple[str, ...]) -> tuple[Building | None, list[str]]:
    """The way of drawing walls that separates the names best; the first of those that are there has a bonus."""
    said: list[str] = []
    mark, building, followed = _best_of(wall_candidates(ev, patterns), ev, seeds)
    if building is not None and followed:
        return building, ["walls taken from the layers that the mapping file names"]
    if patterns and not followed:
        said.append("the wall layers of the mapping file hold nothing in this view: walls were told by their looks")
    few = building is None or mark - FIRST_BONUS <= TOLD_APART * len(seeds)
    if few or (building is not None and building.walls.route in ONE_WEIGHT):
        filled, hatched, _ = _best_of(((walls, False) for walls in hatched_candidates(ev)), ev, seeds)
        if hatched is not None and filled > mark:
            mark, building = filled, hatched
            said.append("walls taken from hatch without an outline")
    few = building is None or mark - FIRST_BONUS <= TOLD_APART * len(seeds)
    if few and building is not None and building.walls.route in PARTLY:
        more, whole, _ = _best_of(((walls, False) for walls in several_candidates(ev)), ev, seeds)
        if whole is not None and more > mark + FIRST_BONUS:
            mark, building = more, whole
            said.append("walls taken from lines of several pens, or from fills and lines")
    if building is None or mark - FIRST_BONUS <= TOLD_APART * len(seeds):
        pale, base, _ = _best_of(((walls, False) for walls in screened_candidates(ev)), ev, seeds)
        if base is not None and pale > mark:
            building = base
            said.append("walls taken from lines printed in grey, as a base under other work is")
    if building is not None and building.walls.route == "layer":
        said.append("walls taken from the layers whose names say wall")
    return building, said


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
