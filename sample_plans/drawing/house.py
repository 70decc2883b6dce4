"""The description of an invented house: walls, openings, rooms, fixtures and devices, in feet.

Glossary
- floor: one storey or building, drawn as one view.  x runs right, y runs down, in feet.
- ring: the outer face of the exterior walls.
- opening: a hole in a wall between two points of its middle line; a door's hinge is at the first point.
- cut: a line where one room ends and the next begins without a wall between.
- near: a place given roughly; the device is set on the nearest wall face of its room.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

XY = tuple[float, float]
EXTERIOR = 0.5  # ft; 6 in stud wall as drawn
INTERIOR = 0.375  # ft; 4-1/2 in
OpeningKind = Literal["door", "cased", "window", "garage", "slider", "bifold"]

SAME_CIRCUIT = "same circuit as a GFCI device: the order is not drawn"


@dataclass(frozen=True)
class Wall:
    a: XY
    b: XY
    thick: float = INTERIOR


@dataclass(frozen=True)
class Opening:
    """``side`` +1: the leaf swings to the right hand of a walk from ``a`` to ``b``."""

    kind: OpeningKind
    a: XY
    b: XY
    side: int = 1


@dataclass(frozen=True)
class Room:
    name: str
    number: str
    kind: str
    tag: XY  # middle of its name on the drawing
    finished: bool | None = None
    outline: tuple[XY, ...] = ()  # only for rooms without walls (porch, patio)


@dataclass(frozen=True)
class Fixture:
    symbol: str
    room: str
    at: XY
    turn: float = 0.0  # degrees counter-clockwise; at 0 its back is to a wall above it


@dataclass(frozen=True)
class Device:
    """An outlet or a look-alike.  ``facing`` set: stands free at ``near`` (island) and looks that way."""

    symbol: str
    room: str
    near: XY
    circuit: str = ""
    labels: tuple[str, ...] = ()
    counter: bool = False  # serves a countertop
    facing: XY | None = None
    expect: str = ""  # verdicts for 2017/2020/2023, one letter each: Missing Protected Not required Unresolved
    why: str = ""


@dataclass(frozen=True)
class Piece:
    """Furniture and other light things: see drawing/furniture.py for the kinds."""

    kind: str
    box: tuple[float, float, float, float]
    turn: float = 0.0


@dataclass(frozen=True)
class Dims:
    """A dimension string along a straight line: stations are feet along ``a`` to ``b``."""

    a: XY
    b: XY
    stations: tuple[float, ...]
    offset: float  # points from a-b to the string, to the left hand of the walk from a to b


@dataclass(frozen=True)
class Floor:
    title: str
    ring: tuple[XY, ...]
    walls: tuple[Wall, ...]
    openings: tuple[Opening, ...]
    cuts: tuple[tuple[XY, XY], ...]
    rooms: tuple[Room, ...]
    fixtures: tuple[Fixture, ...]
    devices: tuple[Device, ...]
    pieces: tuple[Piece, ...] = ()
    counters: tuple[tuple[XY, ...], ...] = ()
    dims: tuple[Dims, ...] = ()
    slabs: tuple[tuple[XY, ...], ...] = ()
    legs: tuple[tuple[XY, XY, float], ...] = ()  # switch legs: from, to, bulge as part of the length
    homeruns: tuple[tuple[XY, XY, str], ...] = ()
    demolished: tuple[Device, ...] = ()


@dataclass(frozen=True)
class Circuit:
    number: str
    description: str
    poles: int = 1
    amps: int = 20
    mark: Literal["", "GFCI", "AFCI", "DF"] = ""


@dataclass(frozen=True)
class View:
    floor: Floor
    origin: XY  # points on the sheet where the floor's (0, 0) lies
    ratio: float
    note: str  # scale note as written
    number: str = "1"
    title_at: XY = (0.0, 0.0)  # points


@dataclass(frozen=True)
class House:
    stem: str
    project: str
    sheet: str
    title: str
    mapping: str  # name of the mapping file
    writer: Literal["clean", "chords", "plotted", "layered"]
    views: tuple[View, ...]
    panel: str
    circuits: tuple[Circuit, ...]
    notes: tuple[str, ...]
    metric: bool = False
    poche: bool = False
    hatch: tuple[tuple[XY, ...], ...] = ()  # areas of the first floor drawn with hatching
    legend_skip: frozenset[str] = field(default_factory=frozenset)
