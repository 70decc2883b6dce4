"""Nouns of reach: outlets, fixtures, and the way of a cord between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from cordpath.model.basic import Point
from cordpath.model.rooms import Standing
from cordpath.model.symbols import Symbol


@dataclass(frozen=True, eq=False)
class Outlet:
    id: str  # sheet number or page, a dot, a running number: E-101.7
    symbol: Symbol
    standing: Standing


@dataclass(frozen=True, eq=False)
class Fixture:
    id: str  # f1, f2, ...
    symbol: Symbol
    room: str | None


Doors = Literal["open", "blocking"]


@dataclass(frozen=True)
class CordPath:
    """The shortest way of a supply cord in the plan: a lower bound of the real one, heights only add.

    ``doors`` tells which reading of doors and doorways it was measured under.  ``figured``: the length is the one
    that a dimension on the drawing states.  ``length_3d_ft``: with the heights of outlet and rim, where both are
    known.
    """

    outlet: str
    fixture: str
    doors: Doors
    length_ft: float
    uncertainty_ft: float
    points: tuple[Point, ...]
    figured: bool = False
    length_3d_ft: float | None = None
    glass: bool = False  # it goes through a window or a pane, and is longer or none without
