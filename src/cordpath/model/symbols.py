"""Nouns of spotting: symbols found on a sheet, their labels, and what is left over."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal

from shapely.geometry.base import BaseGeometry

from cordpath.model.basic import Box, IntArray, Point
from cordpath.model.mapping import FIXTURE_KINDS, OUTLET_KINDS, Kind, Mark, SymbolEntry
from cordpath.model.scale import ScaleEvidence


@dataclass(frozen=True)
class Label:
    """Text that belongs to a symbol, and what it tells about it."""

    text: str
    at: Point
    sets: tuple[tuple[str, Any], ...] = ()


@dataclass(frozen=True, eq=False)
class Symbol:
    """A mapped symbol found on the sheet.

    ``found`` False: the shape is there but cannot be settled (a near twin, ink missing, a rival that explains
    as much); ``reasons`` says why and ``rivals`` names the other mapped symbols that it may be.
    ``edge``: the outline to which distances run (bowls, or the outside of tub or shower); None for devices.
    """

    entry: SymbolEntry
    at: Point
    angle: float
    mirrored: bool
    drawn_size: float  # drawn size over the size in the mapping file
    confidence: float
    found: bool
    view: str | None  # None: outside every view
    footprint: BaseGeometry  # convex hull of the symbol's marks, page coordinates
    strokes: IntArray  # indices into Sheet.strokes that the symbol explains
    edge: BaseGeometry | None = None
    wall_direction: Point | None = None  # unit vector from the symbol towards its wall, if the entry says so
    labels: tuple[Label, ...] = ()
    reasons: tuple[str, ...] = ()
    rivals: tuple[str, ...] = ()
    # Drawn like no entry of the mapping file and told by its shape or words, or like a proposed one: never found.
    unnamed: bool = False
    letters: tuple[str, ...] = ()  # the texts of its own shape, learnt ones as well

    @property
    def kind(self) -> Kind:
        return self.entry.kind

    @property
    def is_outlet(self) -> bool:
        return self.kind in OUTLET_KINDS

    @property
    def is_fixture(self) -> bool:
        return self.kind in FIXTURE_KINDS

    def doubted(self, why: str) -> Symbol:
        """Not found for certain, and half as sure as one that was."""
        confidence = self.confidence / 2 if self.found else self.confidence
        return replace(self, found=False, confidence=confidence, reasons=(*self.reasons, why))

    def fact(self, name: str) -> Any:
        """A fact told by a label beside the symbol, else by its mapping entry, else None."""
        for label in self.labels:
            for key, value in label.sets:
                if key == name:
                    return value
        return getattr(self.entry, name, None)


@dataclass(frozen=True)
class Unexplained:
    """Something that looks meant and that nothing accounts for."""

    what: str
    at: tuple[Point, ...]
    box: Box | None = None
    is_label: bool = False  # device text (GFI, WP, a circuit tag), not a shape
    marks: tuple[Mark, ...] = ()  # how a shape is drawn, inches on paper; empty where it is not one shape
    proposed: bool = False  # a shape of the mapping file that nobody has named yet
    is_outlet: bool = False  # an outlet by the words of the sheet's legend
    minor: bool = False  # most likely furniture or a tag: told last, and no finding

    @property
    def count(self) -> int:
        return len(self.at)


@dataclass(frozen=True)
class Pen:
    """With what lines are drawn: a dash pattern or none, and a colour (red, green and blue, 0 to 1)."""

    dashed: bool
    colour: tuple[float, float, float]


@dataclass(frozen=True)
class Learnt:
    """How a symbol is drawn, as taken from a drawing: from the row of a legend, or from a box picked by hand.

    ``marks``: about the middle of what was taken, inches on paper (in the building for ``size: real``).
    ``doubt``: why they may be those of another symbol.  ``pen``: None where it is not one that is known.
    """

    name: str
    source: Literal["legend", "picked"]
    file: str
    page: int
    box: Box | None
    marks: tuple[Mark, ...]
    doubt: str = ""
    pen: Pen | None = None


@dataclass(frozen=True, eq=False)
class Spotting:
    """What was found on a sheet: symbols (settled and not), and what is left over.

    ``learnt``: the shapes that were taken from drawings.  ``blind``: why outlets cannot be found on the sheet.
    ``against``: views whose scale nothing measures, each with another ratio that their fixtures agree on.
    """

    symbols: tuple[Symbol, ...]
    unexplained: tuple[Unexplained, ...] = ()
    assumptions: tuple[str, ...] = ()
    learnt: tuple[Learnt, ...] = ()
    blind: str | None = None
    against: tuple[tuple[str, ScaleEvidence], ...] = ()
