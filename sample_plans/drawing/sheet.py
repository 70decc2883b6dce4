"""The sheet around the plans: border, title block, legend, notes, panel schedule, titles, north arrow."""

from __future__ import annotations

import math
from pathlib import Path as FilePath

from .house import House, View
from .marks import XY, Box, Pen, Picture, Text
from .plan import draw_view
from .symbols import DEVICE_PEN, Symbols

WIDTH, HEIGHT = 2592.0, 1728.0  # ARCH D, 36 x 24 in
BORDER: Box = (54.0, 36.0, 2556.0, 1692.0)
STRIP = 2376.0  # left edge of the title block
COLUMN: tuple[float, float] = (1836.0, 2350.0)  # legend, notes and schedule stand here
HEAVY, MEDIUM, FINE, INK = Pen(2.2), Pen(1.1), Pen(0.4), Pen(0.5)
ROW = 25.0
SCHEDULE_ROW = 13.0


def compose(house: House, folder: FilePath) -> Picture:
    """The whole sheet."""
    picture = Picture(WIDTH, HEIGHT)
    symbols = Symbols(folder / house.mapping)
    picture.rect(BORDER, HEAVY)
    _title_block(picture, house)
    y = _legend(picture, house, symbols, 60.0)
    y = _notes(picture, house, y + 26)
    _schedule(picture, house, y + 26)
    for view in house.views:
        draw_view(picture, house, view, symbols)
        _view_title(picture, view)
    _north(picture, (1770.0, 1630.0))
    return picture


def _title_block(picture: Picture, house: House) -> None:
    x0, x1 = STRIP, BORDER[2]
    mid = (x0 + x1) / 2
    picture.line((x0, BORDER[1]), (x0, BORDER[3]), MEDIUM)
    for y in (190, 640, 980, 1200, 1320, 1440, 1540):
        picture.line((x0, y), (x1, y), FINE)
    picture.text(Text((mid, 90), "SAMPLE SET", 13, bold=True), INK)
    picture.text(Text((mid, 112), "INVENTED HOUSE", 9), INK)
    picture.text(Text((mid, 128), "NOT FOR CONSTRUCTION", 9), INK)
    picture.text(Text((mid + 8, 415), house.project, 20, angle=90, bold=True), INK)
    picture.text(Text((mid, 660), "REVISIONS", 8, bold=True), INK)
    for i in range(8):
        y = 675 + i * 36
        picture.line((x0, y), (x1, y), FINE)
    picture.line((x0 + 34, 675), (x0 + 34, 980), FINE)
    picture.line((x1 - 62, 675), (x1 - 62, 980), FINE)
    for label, y in (("NO.", 682), ("DATE", 682)):
        picture.text(Text((x0 + 17 if label == "NO." else x1 - 31, y), label, 6.8), INK)
    picture.text(Text((mid, 1000), "DO NOT SCALE DRAWINGS.", 8), INK)
    picture.text(Text((mid, 1014), "WRITTEN DIMENSIONS GOVERN.", 8), INK)
    for y, label, value in (
        (1212, "DATE", "2024-03-04"),
        (1332, "SCALE", "AS NOTED" if len(house.views) > 1 else house.views[0].note),
        (1452, "SHEET TITLE", house.title),
    ):
        picture.text(Text((x0 + 8, y), label, 6.8, "start"), INK)
        picture.text(Text((mid, y + 44), value, 13, bold=True), INK)
    picture.text(Text((x0 + 8, 1552), "SHEET NO.", 6.8, "start"), INK)
    picture.text(Text((mid, 1620), house.sheet, 40, bold=True), INK)


def legend_rows(house: House, symbols: Symbols) -> list[str]:
    """Plotted symbols of the mapping file, in its order."""
    return [n for n in symbols.entries if symbols.plotted(n) and n not in house.legend_skip]


def _legend(picture: Picture, house: House, symbols: Symbols, top: float) -> float:
    x0, x1 = COLUMN
    rows = legend_rows(house, symbols)
    half = math.ceil(len(rows) / 2)
    bottom = top + 26 + half * ROW
    picture.rect((x0, top, x1, bottom), MEDIUM)
    picture.line((x0, top + 26), (x1, top + 26), FINE)
    picture.text(Text(((x0 + x1) / 2, top + 13), "ELECTRICAL LEGEND", 10.5, bold=True), INK)
    middle = (x0 + x1) / 2
    picture.line((middle, top + 26), (middle, bottom), FINE)
    for i, name in enumerate(rows):
        left = x0 if i < half else middle
        y = top + 26 + ROW * (i % half) + ROW / 2
        symbols.draw(picture, name, (left + 28, y + 1), 0, 72.0, DEVICE_PEN)
        picture.text(Text((left + 58, y), name.upper(), 7.5, "start"), INK)
    return bottom


def _notes(picture: Picture, house: House, top: float) -> float:
    x0, x1 = COLUMN
    picture.text(Text((x0, top), "GENERAL NOTES", 10.5, "start", bold=True), INK)
    picture.line((x0, top + 9), (x1, top + 9), FINE)
    y = top + 24
    for i, note in enumerate(house.notes, 1):
        picture.text(Text((x0 + 2, y), f"{i}.", 7.5, "start"), INK)
        for line in wrap(note, x1 - x0 - 24, 7.5):
            picture.text(Text((x0 + 20, y), line, 7.5, "start"), INK)
            y += 11
        y += 4
    return y


def wrap(text: str, width: float, size: float) -> list[str]:
    """Break a text into lines no wider than ``width`` points."""
    lines, line = [], ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if Text((0, 0), longer, size).width > width and line:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line]


def _schedule(picture: Picture, house: House, top: float) -> None:
    x0, x1 = COLUMN
    columns = [("CKT", 62.0), ("DESCRIPTION", 246.0), ("POLES", 52.0), ("AMPS", 52.0), ("PROTECTION", 102.0)]
    bottom = top + 24 + 16 + SCHEDULE_ROW * len(house.circuits)
    picture.rect((x0, top, x1, bottom), MEDIUM)
    title = f"PANEL {house.panel} SCHEDULE - 120/240 V, 1 PH, 200 A MAIN"
    picture.text(Text(((x0 + x1) / 2, top + 12), title, 9.5, bold=True), INK)
    picture.line((x0, top + 24), (x1, top + 24), FINE)
    picture.line((x0, top + 40), (x1, top + 40), FINE)
    x = x0
    lefts = []
    for name, wide in columns:
        lefts.append((x, wide))
        picture.text(Text((x + wide / 2, top + 32), name, 7, bold=True), INK)
        if x > x0:
            picture.line((x, top + 24), (x, bottom), FINE)
        x += wide
    for i, c in enumerate(house.circuits):
        y = top + 40 + SCHEDULE_ROW * i
        if i:
            picture.line((x0, y), (x1, y), Pen(0.25))
        cells = (c.number, c.description, str(c.poles), str(c.amps), c.mark)
        for (left, wide), cell, place in zip(lefts, cells, "mlmmm", strict=True):
            if not cell:
                continue
            middle = y + SCHEDULE_ROW / 2
            if place == "l":
                picture.text(Text((left + 6, middle), cell, 7, "start"), INK)
            else:
                picture.text(Text((left + wide / 2, middle), cell, 7), INK)


def _view_title(picture: Picture, view: View) -> None:
    x, y = view.title_at
    picture.circle((x, y), 17, MEDIUM)
    picture.text(Text((x, y), view.number, 13, bold=True), INK)
    title = Text((x + 26, y - 9), view.floor.title, 13, "start", bold=True)
    picture.text(title, INK)
    picture.line((x + 17, y), (x + 40 + max(title.width, 150), y), MEDIUM)
    picture.text(Text((x + 26, y + 10), f"SCALE: {view.note}", 8.5, "start"), INK)


def _north(picture: Picture, at: XY) -> None:
    x, y = at
    picture.circle(at, 22, MEDIUM)
    picture.path([(x, y - 30), (x - 9, y + 14), (x, y + 6)], FINE, closed=True, fill=0.0)
    picture.path([(x, y - 30), (x + 9, y + 14), (x, y + 6)], FINE, closed=True)
    picture.text(Text((x, y - 40), "N", 11, bold=True), INK)
