"""A picture of what was understood of a sheet, for finding out why: strokes, walls, rooms, symbols, paths.

Drawn from the :class:`Reading` alone, not from the PDF: what is not in the picture was not read.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from PIL import Image, ImageDraw, ImageFont
from shapely.geometry.base import BaseGeometry

from cordpath.model import BASIN_KINDS, TUB_KINDS, Box, FloatArray, Reading, Symbol
from cordpath.report.page.captions import Caption, Colour, with_captions
from cordpath.report.rows import CAUTIONS

MAX_PIXELS = 60_000_000  # a 36 x 24 in sheet at 250 dpi; larger pictures help nobody

INK: Colour = (150, 150, 150, 255)
WALL: Colour = (60, 60, 60, 170)
GLASS: Colour = (0, 114, 178, 200)
DOOR: Colour = (230, 159, 0, 220)
OPENING: Colour = (240, 228, 66, 220)
COUNTER: Colour = (204, 121, 167, 70)
PATH: Colour = (213, 94, 0, 255)
OUTLET: Colour = (213, 94, 0, 255)
WATER: Colour = (0, 114, 178, 255)
OTHER: Colour = (90, 90, 90, 255)
REGION: Colour = (0, 158, 115, 255)
VIEW: Colour = (86, 180, 233, 255)
UNEXPLAINED: Colour = (170, 0, 170, 255)
UNSURE: Colour = (190, 30, 30, 255)
SURE = 0.995  # confidence from which a word is shown without it: text of a font has 1
KEY_LETTERS, KEY_STEP = 12, 17  # pixels
KEY_INDENT, KEY_GAP, FOOT_MARGIN = 18.0, 14.0, 6.0  # pixels
Font = ImageFont.FreeTypeFont | ImageFont.ImageFont
Placed = tuple[float, Colour | None, str]
KEY = (
    (INK, "ink and words as read"), (UNSURE, "words read with doubt (how sure)"), (WALL, "walls"),
    (GLASS, "windows and fixed glass"), (DOOR, "doors"), (OPENING, "cased openings"), (COUNTER, "countertops"),
    (OUTLET, "outlets and cord paths up to 8 ft"), (WATER, "sinks, tubs, showers and their edges"),
    (OTHER, "other symbols, rooms"), (UNEXPLAINED, "not accounted for"), (VIEW, "drawings (views)"),
    (REGION, "legend, notes, schedules, title block"),
)  # fmt: skip


class Canvas:
    """A page at some resolution; everything is drawn in page coordinates."""

    def __init__(self, width: float, height: float, dpi: float, crop: Box | None = None) -> None:
        x0, y0, x1, y1 = crop or (0.0, 0.0, width, height)
        scale = dpi / 72.0
        scale *= min(1.0, (MAX_PIXELS / max((x1 - x0) * (y1 - y0) * scale**2, 1.0)) ** 0.5)
        self.scale, self.origin = scale, np.array([x0, y0])
        size = (max(1, round((x1 - x0) * scale)), max(1, round((y1 - y0) * scale)))
        self.image = Image.new("RGBA", size, (255, 255, 255, 255))
        self.captions: list[Caption] = []

    def pixels(self, points: FloatArray) -> list[tuple[float, float]]:
        return [(float(x), float(y)) for x, y in (np.asarray(points, float)[:, :2] - self.origin) * self.scale]

    def segments(self, xy: FloatArray, colour: Colour, width: int = 1) -> None:
        draw = ImageDraw.Draw(self.image)
        ends = ((xy.reshape(-1, 2, 2) - self.origin) * self.scale).reshape(-1, 4)
        for row in ends.tolist():
            draw.line(row, fill=colour, width=width)

    def area(
        self, shape: BaseGeometry | None, fill: Colour | None, outline: Colour | None = None, width: int = 1
    ) -> None:
        """Fill a polygon with its holes; translucent colours show what is beneath."""
        for polygon in _polygons(shape):
            corner, size = self._pixels_of(polygon, margin=width + 1)
            if min(size) < 1:
                continue  # beside the picture
            layer = Image.new("RGBA", size, (0, 0, 0, 0))
            draw = ImageDraw.Draw(layer)
            rings = [
                [(x - corner[0], y - corner[1]) for x, y in self.pixels(shapely.get_coordinates(ring))]
                for ring in (polygon.exterior, *polygon.interiors)
            ]
            if fill:
                draw.polygon(rings[0], fill=fill)
                for hole in rings[1:]:
                    draw.polygon(hole, fill=(0, 0, 0, 0))
            if outline:
                draw.line(rings[0], fill=outline, width=width)
            self.image.alpha_composite(layer, corner)

    def _pixels_of(self, shape: BaseGeometry, margin: int) -> tuple[tuple[int, int], tuple[int, int]]:
        """Corner and size, in pixels, of the part of the picture that the shape touches."""
        bounds = np.array(self.pixels(np.reshape(shapely.bounds(shape), (2, 2))))
        low = np.clip(np.floor(bounds[0]) - margin, 0, self.image.size).astype(int)
        high = np.clip(np.ceil(bounds[1]) + margin, 0, self.image.size).astype(int)
        return (int(low[0]), int(low[1])), (int(high[0] - low[0]), int(high[1] - low[1]))

    def line(self, points: FloatArray, colour: Colour, width: int = 2) -> None:
        ImageDraw.Draw(self.image).line(self.pixels(points), fill=colour, width=width)

    def box(self, box: Box, colour: Colour, name: str = "") -> None:
        x0, y0, x1, y1 = box
        self.line(np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]), colour)
        if name:
            self.text((x0, y0), name, colour)

    def caption(self, text: str, mark: Box, colour: Colour, size: float) -> None:
        """To be written beside its mark when all marks are known; left out where the mark is beside the picture."""
        x0, y0, x1, y1 = (float(v) for v in (np.reshape(mark, (2, 2)) - self.origin).ravel())
        width, height = (length / self.scale for length in self.image.size)
        if x1 >= 0 and y1 >= 0 and x0 <= width and y0 <= height:
            self.captions.append(Caption(text, (x0, y0, x1, y1), colour, size))

    def captioned(self, words: FloatArray) -> Image.Image:
        """The picture with its captions, which keep off the (n, 4) boxes of words."""
        boxes = [tuple(row) for row in (words.reshape(-1, 2, 2) - self.origin).reshape(-1, 4).tolist()]
        return with_captions(self.image, self.captions, boxes, self.scale)

    def text(self, at: tuple[float, float], words: str, colour: Colour, size: float = 6.0) -> None:
        font = ImageFont.load_default(max(9.0, size * self.scale))
        ImageDraw.Draw(self.image).text(self.pixels(np.array([at]))[0], words, fill=colour, font=font)


def _polygons(shape: BaseGeometry | None) -> Iterator[shapely.Polygon]:
    if shape is not None and not shape.is_empty:
        yield from (part for part in shapely.get_parts(shape, return_index=False) if part.geom_type == "Polygon")


def show(reading: Reading, *, dpi: float = 100.0, crop: Box | None = None) -> Image.Image:
    """The picture, in RGB.  ``crop`` in page coordinates."""
    sheet = reading.sheet
    canvas = Canvas(sheet.width, sheet.height, dpi, crop)
    canvas.segments(sheet.strokes.xy[sheet.strokes.ink()], INK)
    _draw_plans(canvas, reading)
    for view in sheet.views:
        canvas.box(view.box, VIEW, f"view {view.id}: {view.title} {view.note or ''}")
    for region in sheet.regions:
        canvas.box(region.box, REGION, region.kind)
    for word in sheet.words:
        sure = word.confidence >= SURE
        said = word.text if sure else f"{word.text} ({word.confidence:.2f})"
        canvas.text((word.box[0], word.box[1]), said, INK if sure else UNSURE, 4.0)
    _draw_symbols(canvas, reading)
    for path in reading.paths:
        if path.doors == "open" and not path.glass and path.length_ft <= 8.0:
            canvas.line(np.array(path.points), PATH)
            half = shapely.LineString(path.points).interpolate(0.5, normalized=True)
            canvas.caption(f"{path.length_ft:.1f}'", (half.x, half.y, half.x, half.y), PATH, 5.0)
    _name_rooms(canvas, reading)
    canvas.image = canvas.captioned(np.array([word.box for word in sheet.words], float))
    return _with_foot(canvas.image).convert("RGB")


def _with_foot(image: Image.Image) -> Image.Image:
    """The picture, and below it, where they hide nothing of the plan, what its colours mean and the cautions."""
    font = ImageFont.load_default(KEY_LETTERS)
    words = [(None, f"{word} ") for word in " ".join(CAUTIONS).split()]
    longest = max(font.getlength(name) for _, name in KEY) + KEY_INDENT + 2 * FOOT_MARGIN
    wide = max(image.width, math.ceil(longest))  # a small picture gets a margin rather than half a word
    lines = [*_lines(list(KEY), font, wide), *_lines(words, font, wide)]
    whole = Image.new("RGBA", (wide, image.height + 8 + KEY_STEP * len(lines)), (255, 255, 255, 255))
    whole.paste(image)
    draw = ImageDraw.Draw(whole)
    draw.line((0, image.height, wide, image.height), fill=OTHER)
    for k, line in enumerate(lines):
        y = image.height + 4 + KEY_STEP * k
        for x, colour, text in line:
            if colour is not None:
                draw.rectangle((x, y + 2, x + 12, y + KEY_STEP - 4), fill=(*colour[:3], 255))
            draw.text((x + (0 if colour is None else KEY_INDENT), y), text, fill=(30, 30, 30, 255), font=font)
    return whole


def _lines(items: Sequence[tuple[Colour | None, str]], font: Font, wide: int) -> list[list[Placed]]:
    """Pieces of text, those of a colour behind a patch of it, in lines of the width; each with where it begins."""
    lines: list[list[Placed]] = [[]]
    x = FOOT_MARGIN
    for colour, text in items:
        takes = font.getlength(text) + (0 if colour is None else KEY_INDENT)
        if lines[-1] and x + takes > wide - FOOT_MARGIN:
            lines.append([])
            x = FOOT_MARGIN
        lines[-1].append((x, colour, text))
        x += takes + (0 if colour is None else KEY_GAP)
    return lines


def _draw_plans(canvas: Canvas, reading: Reading) -> None:
    for plan in reading.plans:
        for room in plan.rooms:
            canvas.area(room.polygon, _tint(room.id), OTHER)
        canvas.area(plan.counters, COUNTER)
        canvas.area(plan.walls, WALL)
        canvas.area(plan.glazing, GLASS)
        for shapes, colour in ((plan.doors, DOOR), (plan.openings, OPENING)):
            for shape in shapes:
                canvas.line(shapely.get_coordinates(shape), colour, 3)


def _name_rooms(canvas: Canvas, reading: Reading) -> None:
    """Last: a room has more places for its name than an outlet."""
    for room in (room for plan in reading.plans for room in plan.rooms):
        middle = room.polygon.representative_point()
        said = f"{room.name} [{room.kind}] {room.confidence:.2f}"
        canvas.caption(said, (middle.x, middle.y, middle.x, middle.y), OTHER, 6.0)


def _draw_symbols(canvas: Canvas, reading: Reading) -> None:
    numbers = {id(outlet.symbol): outlet for outlet in reading.outlets}
    for symbol in reading.spotting.symbols:
        colour = _colour_of(symbol)
        body: Box = tuple(shapely.bounds(symbol.footprint).tolist())
        canvas.box(body, colour)
        outlet = numbers.get(id(symbol))
        said = " ".join((outlet.id if outlet else symbol.entry.name, *(label.text for label in symbol.labels)))
        canvas.caption(said + ("" if symbol.found else " ?"), body, colour, 4.0)
        canvas.area(symbol.edge, None, WATER, 2)
        if outlet and outlet.standing.facing:
            start = np.array(outlet.standing.anchor)
            canvas.line(np.array([start, start + 9 * np.array(outlet.standing.facing)]), colour)
    for rest in reading.unexplained:
        for x, y in rest.at:
            canvas.box((x - 8, y - 8, x + 8, y + 8), UNEXPLAINED, "?")


def _colour_of(symbol: Symbol) -> Colour:
    if symbol.is_outlet:
        return OUTLET
    return WATER if symbol.kind in BASIN_KINDS | TUB_KINDS else OTHER


def _tint(name: str) -> Colour:
    """A pale colour of its own for each room, the same in every run."""
    red, green, blue = hashlib.sha256(name.encode()).digest()[:3]
    return (155 + red % 100, 155 + green % 100, 155 + blue % 100, 90)
