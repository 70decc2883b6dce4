"""Rows of a panel schedule that are the poles of one breaker, joined."""

from __future__ import annotations

from dataclasses import replace

from cordpath.circuits.panels import marks
from cordpath.circuits.panels.cells import Cells


def joined(cells: list[Cells], problems: list[str]) -> list[Cells]:
    """Two- and three-pole breakers: blank or repeated rows below the first belong to it."""
    found: list[Cells] = []
    middle = _at_middle(cells)
    i = 0
    while i < len(cells):
        first = cells[i]
        if i in middle and found[-1].blank and len(found[-1].circuits) == 1:
            above = found.pop()
            first = replace(first.with_pole(above), circuits=above.circuits + first.circuits)
        told = marks.breaker(first.amperes, first.poles)[1]
        poles = told or 1
        i += 1
        while i < len(cells) and (
            _continues(first, cells[i])
            if len(first.circuits) < poles
            else told is None and _signed(first, cells[i])
        ):
            first = first.with_pole(cells[i])
            i += 1
        if len(first.circuits) < poles and not _is_space(first) and not _each_pole_listed(first, cells):
            problems.append(f"circuit {first.circuits[0]}: {poles} poles, but the next circuits read otherwise")
        found.append(first)
    return found


def _at_middle(cells: list[Cells]) -> frozenset[int]:
    """Three-pole breakers written at their middle pole, as in a cell merged over their rows.

    Blank rows stand over and under all of them, and for one of them a third row below is missing.
    """
    three = [i for i, row in enumerate(cells) if marks.breaker(row.amperes, row.poles)[1] == marks.MOST_POLES]
    blank = frozenset(i for i, row in enumerate(cells) if row.blank and not row.own_mark)
    around = all({i - 1, i + 1} <= blank and _next_pole(cells[i - 1], cells[i]) for i in three)
    return frozenset(three) if around and any(i + 2 not in blank for i in three) else frozenset()


def _each_pole_listed(row: Cells, cells: list[Cells]) -> bool:
    """Is there another row, of the circuit two on or before, that says all the same: a breaker listed at each pole?

    In one column of all circuits the other pole's row is not the next one.
    """
    number = row.circuits[0]
    same = [
        other for other in cells
        if other.signs == row.signs and replace(other, circuits=row.circuits, number=row.number) == row
    ]  # fmt: skip
    apart = (
        abs(int(n) - int(number)) for other in same for n in other.circuits if n.isdigit() and number.isdigit()
    )
    return any(steps == 2 for steps in apart)


def _continues(first: Cells, following: Cells) -> bool:
    if not _next_pole(first, following):
        return False
    same = following.description == first.description and following.notes in ("", first.notes)
    return (
        following.blank or same or (following.description in marks.DITTO and following.notes in ("", first.notes))
    )


def _signed(first: Cells, following: Cells) -> bool:
    """Where no poles are told: does a sign of repetition, with nothing else in the row, make it the next pole's?"""
    signed = following.description.strip() in marks.REPEATS and following.blank and not following.notes.strip()
    return (
        signed and len(first.circuits) < marks.MOST_POLES and not _is_space(first) and _next_pole(first, following)
    )


def may_run_on(first: Cells, following: Cells) -> bool:
    """May a row be the next pole of the breaker above, or repeat its mark, although nothing settles it?"""
    if following.notes.strip() in marks.REPEATS:
        return True
    told = marks.breaker(first.amperes, first.poles)[1]
    if not _next_pole(first, following):
        return False
    if told is None:
        return following.blank
    # Two circuits on one breaker of two poles: each has a description of its own, and the breaker stands once.
    return len(first.circuits) < told and not following.amperes.strip() and not following.notes.strip()


def _next_pole(first: Cells, following: Cells) -> bool:
    return len(following.circuits) == 1 and _steps_on(first.circuits[-1], following.circuits[0])


def _steps_on(before: str, after: str) -> bool:
    """Poles of one breaker have circuit numbers two apart (a half holds the odd or the even), or one apart."""
    return before.isdigit() and after.isdigit() and int(after) - int(before) in (1, 2)


def _is_space(cells: Cells) -> bool:
    return cells.description.strip() in ("", "SPACE", "SPARE", "BLANK", "BUSSED SPACE")
