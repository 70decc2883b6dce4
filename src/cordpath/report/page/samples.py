"""Pictures of symbols: as they were learnt, beside what is drawn about them.

Terms: *mark*, a line, circle, filled shape or text of a symbol, in inches about its middle.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from cordpath.model import ArcMark, FloatArray, LineMark, Mark, PolylineMark, TextMark

INK = (0, 0, 0)
PALE = (130, 130, 130)
PAPER = (255, 255, 255)
RULE = (210, 210, 210)
SHARPER = 3  # pictures are drawn so much larger and then reduced, for smooth lines
FULL = 0.86  # of a picture's side that its symbol fills
LEAST_LETTER = 8  # of a picture's side: letters in a thing that is drawn to scale stay readable
TILE, PICTURE, MARGIN = (380, 124), 110, 18  # pixels: a tile of the contact sheet, its picture, about the sheet
COLUMNS = 3
LINE_STEP = 16  # pixels
LETTERS = 36  # of a line beside a picture
LINES = 7  # of a tile: the name, four facts, and where it is drawn, which takes two


@dataclass(frozen=True, eq=False)
class Tile:
    """A picture with lines of text beside it; the first line is the name.  ``around``: (n, 4) strokes, pt."""

    marks: tuple[Mark, ...]
    lines: tuple[str, ...]
    around: FloatArray | None = None


def picture(marks: tuple[Mark, ...], side: int = PICTURE, around: FloatArray | None = None) -> Image.Image:
    """The marks in black, (side, side) pixels; above them in grey what is drawn about them, where that is given."""
    large = side * SHARPER
    image = Image.new("RGB", (large, large), PAPER)
    draw = ImageDraw.Draw(image)
    if around is not None and len(around):
        middle, scale = _fit(around.reshape(-1, 2), large)
        ends = ((around.reshape(-1, 2) - middle) * scale + large / 2).reshape(-1, 4)
        for row in ends.tolist():
            draw.line(row, fill=PALE, width=SHARPER)
    else:
        points = np.concatenate([_extent(mark) for mark in marks]) if marks else np.zeros((1, 2))
        middle, scale = _fit(points, large)
        for mark in marks:
            _draw(draw, mark, middle, scale, large)
    return image.resize((side, side), Image.Resampling.LANCZOS)


def png(image: Image.Image) -> bytes:
    out = io.BytesIO()
    image.save(out, "PNG", optimize=True)
    return out.getvalue()


def _extent(mark: Mark) -> FloatArray:
    if isinstance(mark, LineMark):
        return np.array([mark.start, mark.end], float)
    if isinstance(mark, PolylineMark):
        return np.array(mark.points, float)
    if isinstance(mark, TextMark):
        return np.array([mark.at], float) + np.array([[-0.04, -0.05], [0.04, 0.05]])
    return np.array([mark.center], float) + mark.radius * np.array([[-1.0, -1.0], [1.0, 1.0]])


def _fit(points: FloatArray, side: int) -> tuple[FloatArray, float]:
    low, high = points.min(axis=0), points.max(axis=0)
    return (low + high) / 2, FULL * side / max(float((high - low).max()), 1e-6)


def _draw(draw: ImageDraw.ImageDraw, mark: Mark, middle: FloatArray, scale: float, side: int) -> None:
    def at(point: tuple[float, float]) -> tuple[float, float]:
        x, y = (np.array(point, float) - middle) * scale + side / 2
        return (float(x), float(y))

    width = 2 * SHARPER
    if isinstance(mark, LineMark):
        draw.line([at(mark.start), at(mark.end)], fill=INK, width=width)
    elif isinstance(mark, PolylineMark):
        points = [at(point) for point in mark.points]
        if mark.filled:
            draw.polygon(points, fill=INK)
        draw.line([*points, points[0]] if mark.closed else points, fill=INK, width=width)
    elif isinstance(mark, TextMark):
        font = ImageFont.load_default(min(max(0.1 * scale, side / LEAST_LETTER), side / 3))
        draw.text(at(mark.at), mark.value, fill=INK, font=font, anchor="mm")
    else:
        (x, y), r = at(mark.center), mark.radius * scale
        if isinstance(mark, ArcMark):
            draw.arc((x - r, y - r, x + r, y + r), -mark.end, -mark.start, fill=INK, width=width)
        else:
            draw.ellipse((x - r, y - r, x + r, y + r), outline=INK, width=width)


# --------------------------------------------------------------------------------------- the contact sheet


def contact_sheet(parts: tuple[tuple[str, tuple[Tile, ...]], ...]) -> Image.Image:
    """Tiles under headings.  Left in each tile the symbol as learnt, then what is drawn there, then its text."""
    wide = TILE[0] + PICTURE
    rows = [-(-len(tiles) // COLUMNS) for _, tiles in parts]
    size = (2 * MARGIN + COLUMNS * wide, 2 * MARGIN + sum(40 + n * TILE[1] for n in rows) or 1)
    image = Image.new("RGB", size, PAPER)
    draw = ImageDraw.Draw(image)
    y = MARGIN
    for (heading, tiles), n in zip(parts, rows, strict=True):
        draw.text((MARGIN, y + 6), heading, fill=INK, font=ImageFont.load_default(20))
        y += 40
        for k, tile in enumerate(tiles):
            _tile(image, tile, MARGIN + (k % COLUMNS) * wide, y + (k // COLUMNS) * TILE[1])
        y += n * TILE[1]
    return image


def _tile(image: Image.Image, tile: Tile, x: int, y: int) -> None:
    draw = ImageDraw.Draw(image)
    draw.rectangle((x, y, x + TILE[0] + PICTURE - 6, y + TILE[1] - 6), outline=RULE)
    image.paste(picture(tile.marks), (x + 4, y + 4))
    if tile.around is not None and len(tile.around):
        image.paste(picture((), around=tile.around), (x + 8 + PICTURE, y + 4))
    left, top = x + 16 + 2 * PICTURE, y + 4
    lines = [part for line in tile.lines for part in _wrapped(line)]
    if len(lines) > LINES:
        lines = [*lines[: LINES - 1], lines[LINES - 1] + " …"]
    for k, line in enumerate(lines):
        font = ImageFont.load_default(14 if k == 0 else 12)
        draw.text((left, top + k * LINE_STEP), line, fill=INK, font=font)


def _wrapped(text: str) -> list[str]:
    lines = [""]
    for word in text.split():
        word = word if len(word) <= LETTERS else word[: LETTERS - 1] + "…"
        if lines[-1] and len(lines[-1]) + 1 + len(word) > LETTERS:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return [line for line in lines if line]
