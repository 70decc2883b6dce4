"""A small writer of PDF content streams, for annotation appearances and for the schedule pages.

Terms: *canvas*, drawing operators in page coordinates (points, y down); a form or page matrix carries them to
user space.  *Face*, one of the two embedded typefaces.  Text is shown by glyph number (Identity-H), so every
viewer draws the same glyphs.  Operators: ISO 32000-2:2020, 8.5 and 9.4.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal, TypeAlias
from unicodedata import normalize

import pymupdf

from cordpath.frame import Affine
from cordpath.model import Box, Point

Colour: TypeAlias = tuple[float, float, float]
FaceName: TypeAlias = Literal["CpR", "CpB"]  # regular, bold: also their names in resource dictionaries
Curve: TypeAlias = tuple[Point, Point, Point]  # two control points and an end point

# Two hues that stay apart in the common forms of colour-blindness (after the palette of Okabe and Ito, from
# memory), darkened until text in them has a contrast of at least 4.5 to 1 on white.  Shape and label carry the
# meaning.
VERMILION: Colour = (0.72, 0.27, 0.0)
BLUE: Colour = (0.0, 0.36, 0.62)
INK: Colour = (0.1, 0.1, 0.1)
GREY: Colour = (0.4, 0.4, 0.4)
PALE: Colour = (0.93, 0.94, 0.95)
PAPER: Colour = (1.0, 1.0, 1.0)
NAVY: Colour = (0.12, 0.23, 0.37)

FACES: tuple[FaceName, ...] = ("CpR", "CpB")
_BUILT_IN = {"CpR": "helv", "CpB": "hebo"}
ASCENT = 0.73  # of the font size: height of capitals and figures of both faces, for centring (measured)


@lru_cache(maxsize=2)
def face(name: FaceName) -> pymupdf.Font:
    return pymupdf.Font(_BUILT_IN[name])


@lru_cache(maxsize=4096)
def _glyphs(name: FaceName, letter: str) -> tuple[tuple[int, float], ...]:
    """Glyph numbers and widths (of a size of 1) of a letter; letters that the face lacks fall to simpler ones."""
    font = face(name)
    for tried in (letter, normalize("NFKD", letter), "?"):
        known = [(font.has_glyph(ord(c)), font.glyph_advance(ord(c))) for c in tried]
        if known and all(glyph > 0 for glyph, _ in known):
            return tuple(known)
        simple = [pair for pair in known if pair[0] > 0]  # a base letter without its accent
        if simple and tried != letter:
            return tuple(simple)
    return ()


def text_width(text: str, size: float, name: FaceName = "CpR") -> float:
    return size * sum(width for letter in text for _, width in _glyphs(name, letter))


def wrap(text: str, width: float, size: float, name: FaceName = "CpR") -> list[str]:
    """Lines that fit the width; words longer than a line are cut.  At least one line."""
    lines: list[str] = []
    line = ""
    for word in _words(text):
        for piece in _cut(word, width, size, name):
            longer = f"{line} {piece}" if line else piece
            if line and text_width(longer, size, name) > width:
                lines.append(line)
                line = piece
            else:
                line = longer
    return [*lines, line] if line or not lines else lines


def _words(text: str) -> list[str]:
    """The words of a text; a question mark that stands alone keeps to the word that it doubts."""
    words: list[str] = []
    for word in text.split():
        if words and word.startswith("?"):
            words[-1] += f" {word}"
        else:
            words.append(word)
    return words


def _cut(word: str, width: float, size: float, name: FaceName) -> list[str]:
    pieces = [""]
    for letter in word:
        if pieces[-1] and text_width(pieces[-1] + letter, size, name) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def number(value: float, digits: int = 3) -> str:
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("", "-0") else text


def numbers(*values: float, digits: int = 3) -> str:
    return " ".join(number(value, digits) for value in values)


@dataclass
class Canvas:
    """Collects operators.  Every method leaves the graphics state as it found it."""

    operators: list[str] = field(default_factory=list)

    def bytes(self, matrix: Affine | None = None) -> bytes:
        head = [f"{numbers(*matrix)} cm"] if matrix else []
        return "\n".join(["q", *head, *self.operators, "Q", ""]).encode("ascii")

    def _path(
        self, path: str, *, stroke: Colour | None, fill: Colour | None, width: float, dash: Sequence[float]
    ) -> None:
        state = [f"{numbers(*fill)} rg"] if fill else []
        if stroke:
            state += [f"{numbers(*stroke)} RG {number(width)} w 1 J 1 j [{numbers(*dash)}] 0 d"]
        paint = {(True, True): "B", (True, False): "S", (False, True): "f"}.get(
            (stroke is not None, fill is not None), "n"
        )
        self.operators += ["q", *state, path, paint, "Q"]

    def line(self, points: Sequence[Point], colour: Colour, width: float, dash: Sequence[float] = ()) -> None:
        moves = [f"{numbers(*points[0])} m", *(f"{numbers(*point)} l" for point in points[1:])]
        self._path(" ".join(moves), stroke=colour, fill=None, width=width, dash=dash)

    def polygon(self, points: Sequence[Point], fill: Colour) -> None:
        moves = [f"{numbers(*points[0])} m", *(f"{numbers(*point)} l" for point in points[1:]), "h"]
        self._path(" ".join(moves), stroke=None, fill=fill, width=0, dash=())

    def box(self, box: Box, *, stroke: Colour | None = None, fill: Colour | None = None, width: float = 0.75,
            dash: Sequence[float] = ()) -> None:  # fmt: skip
        x0, y0, x1, y1 = box
        self._path(f"{numbers(x0, y0, x1 - x0, y1 - y0)} re", stroke=stroke, fill=fill, width=width, dash=dash)

    def curves(self, start: Point, curves: Sequence[Curve], *, stroke: Colour | None, width: float,
               dash: Sequence[float] = (), fill: Colour | None = None) -> None:  # fmt: skip
        moves = [f"{numbers(*start)} m", *(f"{numbers(*a, *b, *c)} c" for a, b, c in curves)]
        self._path("\n".join(moves), stroke=stroke, fill=fill, width=width, dash=dash)

    def dot(self, centre: Point, radius: float, colour: Colour) -> None:
        x, y = centre
        k = 0.5523 * radius  # four cubics make a circle to 0.03 % (usual constant, 4/3 tan(pi/8))
        r = radius
        around: list[Curve] = [
            ((x + r, y + k), (x + k, y + r), (x, y + r)), ((x - k, y + r), (x - r, y + k), (x - r, y)),
            ((x - r, y - k), (x - k, y - r), (x, y - r)), ((x + k, y - r), (x + r, y - k), (x + r, y)),
        ]  # fmt: skip
        self.curves((x + r, y), around, stroke=None, width=0, fill=colour)

    def text(self, at: Point, text: str, size: float, colour: Colour = INK, name: FaceName = "CpR") -> None:
        """``at``: left end of the baseline."""
        glyphs = "".join(f"{glyph:04X}" for letter in text for glyph, _ in _glyphs(name, letter))
        if glyphs:
            self.operators.append(
                f"BT /{name} {number(size)} Tf {numbers(*colour)} rg 1 0 0 -1 {numbers(*at)} Tm <{glyphs}> Tj ET"
            )
