"""Pages that are pictures: scans, and plots made of image tiles under a few vectors.

Terms: *covered share*, the part of the page that images lie on.
"""

from __future__ import annotations

import numpy as np
import pymupdf

from cordpath.errors import UnreadablePage
from cordpath.frame import Affine, apply
from cordpath.geometry import midpoints
from cordpath.model import BoolArray, Fills, Strokes, Word

GRID = 200  # cells along each side of the page
PICTURE = 0.4  # covered share from which a page with little drawing on the images is a picture
MENTION = 0.05  # covered share from which it is said that images were not read
DRAWING = 300  # strokes on the images from which there is a drawing over them; smallest real plan measured: 6000


def judge(
    page: pymupdf.Page, to_page: Affine, size: tuple[float, float], strokes: Strokes, fills: Fills,
    words: tuple[Word, ...], faults: tuple[str, ...], where: str,
) -> tuple[str, ...]:  # fmt: skip
    """Assumptions about images on the page; raises UnreadablePage where there is nothing that can be read.

    ``faults``: what was complained about while the page was drawn; a page that shows nothing then is not empty.
    """
    cells = _covered(page, to_page, size)
    share = float(cells.mean())
    if share >= PICTURE and _strokes_on(cells, strokes, size) < DRAWING:
        raise UnreadablePage(
            f"the page is a picture (scan): {share:.0%} covered by images", where=where,
            cure="ask for the vector PDF, plotted from the drawing program",
        )  # fmt: skip
    dark = bool(len(fills)) and bool((fills.luminance < 0.95).any())
    if not strokes.ink().any() and not dark and not any(word.origin != "hidden" for word in words):
        if faults:
            raise UnreadablePage(
                f"the page is damaged: nothing of it could be shown ({'; '.join(faults[:2])})", where=where,
                cure="send the file again, or print it from the drawing program once more",
            )  # fmt: skip
        raise UnreadablePage("the page is empty", where=where, cure="check that the right pages were plotted")
    if share >= MENTION:
        return (f"images cover {share:.0%} of the page: what they show was not read",)
    return ()


def _covered(page: pymupdf.Page, to_page: Affine, size: tuple[float, float]) -> BoolArray:
    """(GRID, GRID) True where an image lies."""
    cells = np.zeros((GRID, GRID), bool)
    boxes = np.array([image["bbox"] for image in page.get_image_info()], float).reshape(-1, 4)
    scale = np.array([*size, *size]) / GRID
    for x0, y0, x1, y1 in apply(to_page, boxes) / scale:
        columns, rows = sorted((x0, x1)), sorted((y0, y1))
        left, right = np.clip(np.round(columns), 0, GRID).astype(int)
        top, bottom = np.clip(np.round(rows), 0, GRID).astype(int)
        cells[top:bottom, left:right] = True
    return cells


def _strokes_on(cells: BoolArray, strokes: Strokes, size: tuple[float, float]) -> int:
    middle = midpoints(strokes.xy[strokes.ink()])
    at = np.clip((middle / np.array(size) * GRID).astype(int), 0, GRID - 1)
    return int(cells[at[:, 1], at[:, 0]].sum())
