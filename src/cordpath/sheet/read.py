"""One page of a PDF as a :class:`~cordpath.model.Sheet`."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pymupdf

from cordpath.errors import UnreadablePage
from cordpath.frame import PageFrame, after, inverse
from cordpath.model import Fills, Region, Sheet, Strokes, View, Word
from cordpath.sheet import opening, regions, titleblock, views
from cordpath.sheet.fills import covered, fills
from cordpath.sheet.paths import Paths, TooMuch, collect
from cordpath.sheet.ruled import rules
from cordpath.sheet.strokes import page_scissors, pieces, rings, strokes
from cordpath.sheet.textlines import inside, rows, runs
from cordpath.sheet.words import words


def page_count(path: Path, password: str | None = None) -> int:
    """Number of pages; raises UnreadableFile, LockedFile."""
    with opening.opened(path, password) as document:
        return int(document.page_count)


def read_sheet(path: Path, page: int, password: str | None = None) -> Sheet:
    """Read page ``page`` (from 1).  Raises UnreadableFile, LockedFile, UnreadablePage."""
    with opening.opened(path, password) as document:
        handle = opening.load(document, page, path.name)
        frame, reader = opening.bare(handle)
        marks, areas, text, layers = _content(handle, frame, inverse(reader), path.name, page)
        assumptions = _repairs(document)
    block, parts, drawings = _layout(marks, text, frame.size)
    return Sheet(
        path.name, page, block.number, block.title, *frame.size, marks, areas, text, layers, drawings, parts,
        assumptions,
    )  # fmt: skip


def _layout(
    marks: Strokes, text: tuple[Word, ...], size: tuple[float, float]
) -> tuple[titleblock.TitleBlock, tuple[Region, ...], tuple[View, ...]]:
    """What lies where on the sheet."""
    found = rows(runs(text))
    ruled = rules(marks)
    block = titleblock.find(found, ruled, *size)
    blocks = (Region("title block", block.box),) if block.box else ()
    free = [run for run in found if not any(inside(run.box, region.box) for region in blocks)]
    parts = blocks + regions.find(free, ruled, marks, size)
    drawings, others = views.find(found, text, marks, parts, block.title, size)
    return block, parts + others, drawings


def _content(
    handle: pymupdf.Page, frame: PageFrame, to_user: tuple[float, float, float, float, float, float],
    file: str, page: int,
) -> tuple[Strokes, Fills, tuple[Word, ...], tuple[str, ...]]:  # fmt: skip
    where = f"{file}, page {page}"
    try:
        paths = collect(handle)
    except TooMuch:
        raise UnreadablePage(
            "the page has more lines than any drawing", where=where, cure="plot it without hatch or 3-D shading"
        ) from None
    except Exception as error:
        raise UnreadablePage("the page's content is damaged", where=where, cure="save the PDF again") from error
    to_page = after(to_user, frame.matrix)
    marks, areas = _marks(paths, to_page, frame.size)
    text = words(handle, to_page, areas, paths.order)
    layers, number = _layers(paths)
    marks = Strokes(
        marks.xy, marks.width, marks.colour, number[marks.layer], marks.path, marks.curve,
        marks.dashed, covered(marks, areas, frame.size[0] * frame.size[1]),
    )  # fmt: skip
    areas = Fills(areas.shape, areas.colour, areas.opacity, number[areas.layer], areas.path)
    return marks, areas, text, layers


def _marks(
    paths: Paths, to_page: tuple[float, float, float, float, float, float], size: tuple[float, float]
) -> tuple[Strokes, Fills]:
    parts = pieces(paths, to_page)
    scissors = page_scissors(paths, to_page, size)
    drawn, dots = strokes(paths, parts, scissors)
    ring, owner = rings(paths, parts)
    return drawn, fills(paths, ring, owner, dots, scissors)


def _layers(paths: Paths) -> tuple[tuple[str, ...], np.ndarray]:
    """Layer names, and the map from MuPDF's layer index to ours (-1 where the name is empty)."""
    names = tuple(name for name in paths.layers if name)
    number = np.array([names.index(name) if name else -1 for name in paths.layers] or [-1], np.int64)
    return names, number


def _repairs(document: pymupdf.Document) -> tuple[str, ...]:
    said = opening.complaints()
    if document.is_repaired:
        return ("the file was repaired while reading: some of it may be missing", *said)
    return tuple(f"the reader complained: {line}" for line in said)
