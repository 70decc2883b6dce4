"""Nouns of the sheet: strokes, fills, words, regions and views of a page as read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from cordpath.model.basic import LUMINANCE, WHITE, BoolArray, Box, FloatArray, IntArray, Point


def layers_like(layers: Sequence[str], patterns: Sequence[str]) -> BoolArray:
    """(layers,) True where a layer's name matches one of the patterns of the shell, case ignored."""
    wanted = [pattern.upper() for pattern in patterns]
    return np.array([any(fnmatchcase(name.upper(), each) for each in wanted) for name in layers], bool)


@dataclass(frozen=True, eq=False)
class Strokes:
    """Straight pieces of stroked paths, in paint order; curves come as chords (sagitta under 0.02 pt).

    White strokes and strokes that a later opaque fill covers are kept (they cut openings into walls) and are
    told by :meth:`ink`.  Off-page, clipped-away and fully transparent strokes are not here.
    """

    xy: FloatArray  # (n, 4) x0, y0, x1, y1 in page coordinates
    width: FloatArray  # (n,) pen width, pt; 0 is legal and means the thinnest line of the device
    colour: FloatArray  # (n, 3) red, green, blue, 0 to 1
    layer: IntArray  # (n,) index into Sheet.layers, -1 for none
    path: IntArray  # (n,) number of the path in paint order, shared with Fills.path
    curve: IntArray  # (n,) number of the Bezier segment a chord was cut from, -1 for straight strokes
    dashed: BoolArray  # (n,) drawn with a dash pattern of the PDF (exploded dashes are plain strokes)
    covered: BoolArray  # (n,) wholly under a later opaque fill

    def __len__(self) -> int:
        return len(self.xy)

    def take(self, which: BoolArray | IntArray) -> Strokes:
        """The strokes of a boolean mask or an index array, in that order."""
        return Strokes(
            self.xy[which], self.width[which], self.colour[which], self.layer[which],
            self.path[which], self.curve[which], self.dashed[which], self.covered[which],
        )  # fmt: skip

    @property
    def luminance(self) -> FloatArray:
        """(n,) Rec. 601 luma of the pen colour, 0 black to 1 white."""
        return self.colour @ np.array(LUMINANCE)

    def ink(self) -> BoolArray:
        """(n,) True where a reader sees the stroke: not white and not covered; the caller may change it."""
        return self._ink.copy()

    @cached_property
    def _ink(self) -> BoolArray:
        return (self.luminance < WHITE) & ~self.covered

    @staticmethod
    def of(xy: FloatArray, *, width: float = 0.72, layer: int = -1) -> Strokes:
        """Plain black solid strokes from (n, 4) coordinates: for tests and for templates."""
        xy = np.asarray(xy, float).reshape(-1, 4)
        n = len(xy)
        return Strokes(
            xy, np.full(n, width), np.zeros((n, 3)), np.full(n, layer, np.int64), np.arange(n, dtype=np.int64),
            np.full(n, -1, np.int64), np.zeros(n, bool), np.zeros(n, bool),
        )  # fmt: skip


@dataclass(frozen=True, eq=False)
class Fills:
    """Filled areas in paint order, clipped to the page."""

    shape: NDArray[np.object_]  # (f,) shapely polygons or multipolygons, valid, in page coordinates
    colour: FloatArray  # (f, 3)
    opacity: FloatArray  # (f,) 0 to 1
    layer: IntArray  # (f,)
    path: IntArray  # (f,) number of the path in paint order, shared with Strokes.path

    def __len__(self) -> int:
        return len(self.shape)

    @property
    def luminance(self) -> FloatArray:
        """(f,) Rec. 601 luma of the fill colour."""
        return self.colour @ np.array(LUMINANCE)

    def take(self, which: BoolArray | IntArray) -> Fills:
        """The areas of a boolean mask or an index array, in that order."""
        return Fills(
            self.shape[which], self.colour[which], self.opacity[which], self.layer[which], self.path[which]
        )  # fmt: skip

    @staticmethod
    def none() -> Fills:
        return Fills(
            np.zeros(0, object), np.zeros((0, 3)), np.zeros(0), np.zeros(0, np.int64), np.zeros(0, np.int64)
        )


TextOrigin = Literal["font", "hidden", "outline", "stroke", "ocr"]


@dataclass(frozen=True)
class Word:
    """A word of the sheet with its place.  ``size`` is the font size in points, ``angle`` the reading
    direction (0 = left to right, 90 = upwards).  Words with the same ``line`` were shown as one run.
    ``layer`` names that of a font's text; drawn text lies on the layers of its strokes."""

    text: str
    box: Box
    angle: float
    size: float
    line: int
    font: str = ""
    colour: tuple[float, float, float] = (0.0, 0.0, 0.0)
    origin: TextOrigin = "font"
    confidence: float = 1.0
    layer: str = ""

    @property
    def at(self) -> Point:
        return ((self.box[0] + self.box[2]) / 2, (self.box[1] + self.box[3]) / 2)

    @property
    def is_drawn(self) -> bool:
        """Is it lettering that is drawn as strokes or outlines, and no text of a font?"""
        return self.origin in ("stroke", "outline")


def lines_of(words: Iterable[Word]) -> list[list[Word]]:
    """The words that were shown as one run, each run from its first word to its last as read."""
    lines: dict[int, list[Word]] = {}
    for word in words:
        lines.setdefault(word.line, []).append(word)
    return [_as_read(line) for line in lines.values()]


def _as_read(line: list[Word]) -> list[Word]:
    turn = np.radians(line[0].angle)
    return sorted(line, key=lambda word: word.at[0] * np.cos(turn) - word.at[1] * np.sin(turn))


RegionKind = Literal["title block", "legend", "schedule", "notes", "key plan", "detail"]


@dataclass(frozen=True)
class Region:
    """A part of the sheet that is not plan: its symbols are no devices of the house."""

    kind: RegionKind
    box: Box
    title: str = ""


@dataclass(frozen=True)
class View:
    """One drawing on the sheet, with its own scale and title: the frame for rooms and distances.

    ``note`` is the scale note as written (``1/4" = 1'-0"``), None where none was found.
    """

    id: str
    title: str
    box: Box
    note: str | None = None
    note_box: Box | None = None


@dataclass(frozen=True)
class Viewport:
    """A part of the page for which the file itself states a scale (ISO 32000-2:2020, 12.9, rectilinear measure).

    ``ratio`` None where its figures contradict each other or cannot be read; ``problem`` says why.
    """

    box: Box
    ratio: float | None
    text: str
    name: str = ""
    problem: str | None = None


@dataclass(frozen=True, eq=False)
class Sheet:
    """One page, read.  ``assumptions`` names what was repaired or taken for granted while reading."""

    file: str
    page: int  # counts from 1
    number: str | None
    title: str | None
    width: float  # displayed width, pt
    height: float
    strokes: Strokes
    fills: Fills
    words: tuple[Word, ...]
    layers: tuple[str, ...]
    views: tuple[View, ...]
    regions: tuple[Region, ...]
    assumptions: tuple[str, ...] = ()
    viewports: tuple[Viewport, ...] = ()  # in the file's order: a later one lies over an earlier
    unread_at: tuple[Point, ...] = ()  # where lines of lettering, or pictures that may be labels, could not be read
    unread_areas: tuple[Box, ...] = ()  # pictures, shadings, patches of hatch that are small enough to be marks
    damage: str | None = None  # what was mended or left out while reading: some of the drawing may be missing
    # (n,) of the strokes, the line of the words that each is surely a letter of, -1 for none; empty where not known
    lettered: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))
    # (n, 4) outlines of dark areas that a white one hides, painted later: they are not among the fills
    painted_out: FloatArray = field(default_factory=lambda: np.zeros((0, 4)))
    bars: FloatArray = field(
        default_factory=lambda: np.zeros((0, 4))
    )  # (n, 4) middle lines of fills as thin as lines

    @cached_property
    def words_at(self) -> FloatArray:
        """(words, 2) their middles."""
        return np.array([word.at for word in self.words], float).reshape(-1, 2)

    def words_in(self, box: Box) -> IntArray:
        """Numbers of the words with their middle in the box."""
        x, y = self.words_at.T
        return np.flatnonzero((x >= box[0]) & (x <= box[2]) & (y >= box[1]) & (y <= box[3]))
