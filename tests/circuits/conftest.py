"""Schedules drawn as words and strokes, the way a sheet brings them."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
import shapely

from cordpath.model import (
    Fills,
    Label,
    Outlet,
    Panel,
    PanelRow,
    Sheet,
    Standing,
    Strokes,
    Symbol,
    SymbolEntry,
    Word,
)  # fmt: skip

SIZE = 8.0
CHAR = 0.55  # width of a letter, font sizes


def text(words, line, x, y, value, size=SIZE, align="left"):
    """Puts the words of one text at (x, y), y the middle of the line."""
    width = len(value) * CHAR * size
    x -= {"left": 0, "middle": width / 2, "right": width}[align]
    for part in value.split(" "):
        if part:
            words.append(Word(part, (x, y - size / 2, x + len(part) * CHAR * size, y + size / 2), 0.0, size, line))
        x += (len(part) + 1) * CHAR * size


def draw(
    columns, rows, title=None, origin=(100.0, 100.0), pitch=14.0, ruled=True, align="left", heads=1, title_gap=1.2
):
    """``columns``: (header, width); ``rows``: lists of cells, "" for empty.  Returns words and (n, 4) strokes.

    A header with "|" is stacked on two lines.
    """
    words: list[Word] = []
    strokes = []
    x0, y0 = origin
    edges = x0 + np.concatenate([[0], np.cumsum([w for _, w in columns])])
    if title:
        text(words, 0, x0 + 2, y0 - 1.2 * pitch, title, SIZE * 1.25)
    for k in range(heads):
        for i, (head, width) in enumerate(columns):
            part = head.split("|")
            if k < len(part):
                text(words, 1 + k, edges[i] + width / 2, y0 + (k + 0.5) * pitch, part[k], align="middle")
    top = y0 + heads * pitch
    for r, cells in enumerate(rows):
        for i, cell in enumerate(cells):
            at = {"left": edges[i] + 2, "middle": (edges[i] + edges[i + 1]) / 2, "right": edges[i + 1] - 2}[align]
            text(words, 10 + r, at, top + (r + 0.5) * pitch, cell, align=align)
    bottom = top + len(rows) * pitch
    if ruled:
        strokes += [(x, y0, x, bottom) for x in edges]
        strokes += [(edges[0], y, edges[-1], y) for y in (y0, *(top + r * pitch for r in range(len(rows) + 1)))]
    return words, strokes


def sheet(*drawn, regions=()):
    words = tuple(word for part, _ in drawn for word in part)
    strokes = [s for _, part in drawn for s in part]
    return Sheet(
        "a.pdf", 1, "E-201", None, 1700.0, 1100.0, Strokes.of(np.array(strokes, float).reshape(-1, 4)),
        Fills.none(),
        words, (), (), tuple(regions),
    )  # fmt: skip


def outlet(circuit=None, id="E-101.1", protection=None, found=True, labels=()):
    marks = list(labels)
    for tag in [circuit] if isinstance(circuit, str) else circuit or []:
        marks.append(Label(tag, (0, 0), (("circuit", tag),)))
    entry = SymbolEntry("duplex receptacle", "receptacle", protection=protection)
    symbol = Symbol(entry, (0, 0), 0.0, False, 1.0, 1.0, found, "v1", shapely.Point(0, 0).buffer(4),
    np.zeros(0, int),
                    labels=tuple(marks))  # fmt: skip
    return Outlet(id, symbol, Standing((0, 0), (0, 1), "r1", 0.0))


def panel(name, rows, problems=()):
    """``rows``: {"12": Answer} or {("1", "3"): Answer}."""
    made = tuple(
        PanelRow(key if isinstance(key, tuple) else (key,), "LOAD", None, 20.0, answer, answer, f"row {key}")
        for key, answer in (rows.items() if isinstance(rows, dict) else rows)
    )
    return Panel(name, made, "E-201", tuple(problems))


@pytest.fixture(scope="session")
def trade():
    return SimpleNamespace(draw=draw, sheet=sheet, outlet=outlet, panel=panel, text=text)
