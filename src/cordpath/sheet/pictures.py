"""Pages that are pictures: scans, and plots made of image tiles under a few vectors.

Terms: *covered share*, the part of the page that images lie on; *picture*, images that touch, as the tiles of a
scan do, taken as one; *label*, a picture of the size of a label, which may be one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pymupdf
import shapely
from numpy.typing import NDArray

from cordpath.errors import UnreadablePage
from cordpath.frame import Affine, apply
from cordpath.geometry import boxes_around, group_boxes, midpoints
from cordpath.model import (
    POINTS_PER_INCH,
    BoolArray,
    Box,
    Fills,
    FloatArray,
    IntArray,
    Point,
    Region,
    Strokes,
    View,
    Word,
)

GRID = 200  # cells along each side of the page
PICTURE = 0.4  # covered share from which a page with little drawing on the images is a picture
MENTION = 0.05  # covered share from which it is said that images were not read
UNDERLAY = 0.25  # share of a view that a picture covers, from which the plan itself may be in it
LABEL = 3.0, 108.0  # pt, longer side: smaller is a speck, larger (1 1/2 in) is no label of a device
MARK = 1.0  # pt, the same of the marks of a symbol, as in panel schedules: a dot in it is small
LEAST_PIXELS = 6  # high and wide: letters have more
TOUCHING = 0.5  # pt between the tiles of one picture
TILED = 0.9  # of the box around pictures that touch, from which they are tiles of one; symbols in a row have less
NAMED = 3  # pictures told one by one; the others are counted
DRAWING = 300  # strokes on the images from which there is a drawing over them; smallest real plan measured: 6000


@dataclass(frozen=True, eq=False)
class Images:
    """``box`` (n, 4) in page coordinates; ``pixels`` (n,) of the shorter side, as many as need be where a mask or a
    shading shows more than they tell."""

    box: FloatArray
    pixels: IntArray

    @property
    def telling(self) -> FloatArray:
        """(m, 4) boxes of those that have enough pixels to show something, alone or as bands of one picture."""
        alone = self.pixels >= LEAST_PIXELS
        return np.concatenate([self.box[alone], _banded(self.box[~alone], self.pixels[~alone])])


def images_of(page: pymupdf.Page, to_page: Affine) -> Images:
    """The images of the page; MuPDF draws the whole page for them."""
    found = [image for image in page.get_image_info() if not _is_paint(image)]
    ends = apply(to_page, np.array([image["bbox"] for image in found], float).reshape(-1, 4))
    return Images(boxes_around(ends), np.array([_pixels(image) for image in found], np.int64))


def _is_paint(image: dict[str, Any]) -> bool:
    """Is it one pixel and no mask: a rectangle of one colour, and no picture."""
    return image["width"] == image["height"] == 1 and not image.get("has-mask")


def _pixels(image: dict[str, Any]) -> int:
    """Of the shorter side.  A picture of one black pixel may be cut out by a mask of any size, and MuPDF makes a
    picture of a shading, one pixel a point."""
    sides: list[int] = [image["width"], image["height"]]
    x0, y0, x1, y1 = image["bbox"]
    is_shading = sides == [round(x1 - x0), round(y1 - y0)]
    return LEAST_PIXELS if image.get("has-mask") or is_shading else min(sides)


def judge(
    images: Images, size: tuple[float, float], strokes: Strokes, fills: Fills, words: tuple[Word, ...],
    faults: tuple[str, ...], where: str,
) -> tuple[str, ...]:  # fmt: skip
    """Assumptions about images on the page; raises UnreadablePage where there is nothing that can be read.

    ``faults``: what was complained about while the page was drawn; a page that shows nothing then is not empty.
    """
    cells = _covered(images.box, size)
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


@dataclass(frozen=True)
class Unread:
    """What pictures in the drawings may hide: what is said about them, and the places of those like labels."""

    said: tuple[str, ...] = ()
    labels: tuple[Point, ...] = ()


def in_drawings(boxes: FloatArray, views: tuple[View, ...], regions: tuple[Region, ...]) -> Unread:
    """The pictures that lie in the sheet's drawings; those in title blocks, legends and notes are no labels."""
    labels: list[Point] = []
    others: list[str] = []
    areas = [shapely.box(*region.box) for region in regions]
    for box, parts in _pictures(boxes):
        picture = shapely.box(*box)
        shares = [shapely.box(*v.box).intersection(picture).area / shapely.box(*v.box).area for v in views]
        share, view = max(zip(shares, views, strict=True), key=lambda each: each[0], default=(0.0, None))
        if view is None or share <= 0 or any(area.contains(picture.centroid) for area in areas):
            continue
        size = max(box[2] - box[0], box[3] - box[1])
        if share >= UNDERLAY:
            others.append(f"an image covers {share:.0%} of {view.title or view.id}: what it shows was not read")
        elif small := small_ones(parts):
            labels.extend(((x0 + x1) / 2, (y0 + y1) / 2) for x0, y0, x1, y1 in small)
            others.append(f"image at {_place(box)}, not read: it may be a label")
        elif size > LABEL[1]:
            others.append(f"image at {_place(box)}, not read")
    more = (f"{len(others) - NAMED} more images in drawings, not read",) if len(others) > NAMED else ()
    return Unread((*others[:NAMED], *more), tuple(labels))


def small_ones(boxes: FloatArray, least: float = LABEL[0]) -> tuple[Box, ...]:
    """Those that may be a label, or with ``least`` (pt) a mark, each by itself: paint of a symbol touches that of
    its wall."""
    size = (boxes[:, 2:] - boxes[:, :2]).max(axis=1, initial=0.0)
    some = boxes[(size >= least) & (size <= LABEL[1])].tolist()
    return tuple((x0, y0, x1, y1) for x0, y0, x1, y1 in some)


def _pictures(boxes: FloatArray) -> list[tuple[Box, FloatArray]]:
    """Box of each, and (n, 4) what it is made of: itself where it is tiles, else the pictures that touch."""
    if not len(boxes):
        return []
    shapes, group = _touching(boxes)
    whole = shapely.bounds(shapes)
    tiled = shapely.area(shapes) >= TILED * shapely.area(shapely.box(*whole.T))
    return [
        ((float(a), float(b), float(c), float(d)), whole[[k]] if tiled[k] else boxes[group == k])
        for k, (a, b, c, d) in enumerate(whole)
    ]


def _banded(boxes: FloatArray, pixels: IntArray) -> FloatArray:
    """(m, 4) what pictures of few pixels, ``pixels`` of the shorter side, show together: printer drivers write a
    picture in bands of a row or more, and leave out bands with nothing in them."""
    if not len(boxes):
        return boxes
    shapes, group = _touching(boxes)
    enough = np.bincount(group, pixels, minlength=len(shapes)) >= LEAST_PIXELS
    whole = group_boxes(boxes, group, len(shapes))
    label = (whole[:, 2:] - whole[:, :2]).max(axis=1) <= LABEL[1]
    return np.concatenate([whole[enough & label], boxes[(enough & ~label)[group]]])


def _touching(boxes: FloatArray) -> tuple[NDArray[np.object_], IntArray]:
    """(g,) areas of groups of boxes that touch, and (n,) of which of them each box is."""
    grown = shapely.box(*(boxes + np.array([-TOUCHING, -TOUCHING, TOUCHING, TOUCHING]) / 2).T)
    shapes = shapely.get_parts(shapely.union_all(grown))
    of, group = shapely.STRtree(shapes).query(shapely.points(midpoints(boxes)), predicate="within")
    number = np.zeros(len(boxes), np.int64)
    number[of] = group
    return shapes, number


def _place(box: Box) -> str:
    """The middle of a box, from the sheet's upper left corner."""
    x, y = (box[0] + box[2]) / 2 / POINTS_PER_INCH, (box[1] + box[3]) / 2 / POINTS_PER_INCH
    return f"{x:.1f} in from the left and {y:.1f} in from the top"


def _covered(boxes: FloatArray, size: tuple[float, float]) -> BoolArray:
    """(GRID, GRID) True where an image lies."""
    cells = np.zeros((GRID, GRID), bool)
    for left, top, right, bottom in np.clip(np.round(boxes / (np.array([*size, *size]) / GRID)), 0, GRID).astype(
        int
    ):
        cells[top:bottom, left:right] = True
    return cells


def _strokes_on(cells: BoolArray, strokes: Strokes, size: tuple[float, float]) -> int:
    middle = midpoints(strokes.xy[strokes.ink()])
    at = np.clip((middle / np.array(size) * GRID).astype(int), 0, GRID - 1)
    return int(cells[at[:, 1], at[:, 0]].sum())
