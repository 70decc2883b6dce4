"""Boxes of a device's size with a letter or a loose slash in them: devices, however few are drawn.

A bare box is a column, a duct or a drain.  With a letter it is a junction box or a chime, with a slash a switch
that cuts off a circuit (common practice, no source).

Terms: *slash*, a straight line aslant inside a box that touches none of its sides.
"""

from __future__ import annotations

import numpy as np

from cordpath.geometry import distances, from_the_top
from cordpath.model import FloatArray, Point, Sheet, Unexplained
from cordpath.symbols.unexplained.likely import SIDES, plain
from cordpath.symbols.unexplained.minor import LARGE, TAGS, letters_in, minor
from cordpath.symbols.unexplained.unexplained import Left, times_drawn


def told_boxes(left: Left | None, sheet: Sheet, known: list[Point]) -> tuple[Unexplained, ...]:
    """What to say of those that are not told yet; ``known``: places of what is."""
    if left is None:
        return ()
    groups = left.groups
    middle = (groups.box[:, :2] + groups.box[:, 2:]) / 2
    away = distances(middle, known)
    box = plain(groups) & (groups.lines == SIDES) & left.encloses
    fit = box & ~left.built_in & (away > groups.size / 2)
    which = np.flatnonzero(fit & ((groups.box[:, 2:] - groups.box[:, :2]).min(axis=1) <= LARGE))
    letters = letters_in(groups, sheet)
    if len(which) and minor(groups, which, letters) == TAGS:
        places = tuple(_place(middle[k]) for k in which)
        return (Unexplained(f"{len(which)} boxes {TAGS}, that the mapping file does not name", places, minor=True),)
    found: dict[str, list[Point]] = {}
    for k in which.tolist():
        found.setdefault(letters[k], []).append(_place(middle[k]))
    return tuple(_said(letter, at) for letter, at in sorted(found.items()))


def _place(at: FloatArray) -> Point:
    return (float(at[0]), float(at[1]))


def _said(letters: str, at: list[Point]) -> Unexplained:
    mark = f"the letters '{letters}'" if letters else "a slash"
    places = from_the_top(at)
    return Unexplained(
        f"a box with {mark}, drawn {times_drawn(len(at))}, that the mapping file does not name", places
    )
