"""Where pictures and stencils that are no upright rectangles lie, and which part of them is painted.

Terms: *corners*, of a picture as it is placed, turned or skewed; *share*, the part of a picture within its mask.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray
from pymupdf import mupdf

from cordpath.geometry import hull
from cordpath.model import LUMINANCE, WHITE, Box

MOST = 4_000_000  # pixels of a mask that are looked at; a larger one is taken to be opaque everywhere
MOST_LARGE = 100_000_000  # the same of a picture as large as the page: 36 x 48 in. at 200 dots an inch are 70
NONE = 1  # of 255: less is seen by nobody
SOLID = 230  # of 255: through less of it dark lines show
CELL = 3.0  # pt of a large mask that are looked at together: half of a small letter, twice the line of a broad pen
FULL = 0.7  # of a cell that is solid where it hides something: lines and letters of see-through ink are less
LIGHT = 0.25  # luminance of paint over which dark lines are seen; darker paint hides them, printed over or not
MOST_BLOTS = 2000  # boxes; more are taken together

MOST_OF_ONE_COLOUR = 64  # pixels of a picture that is asked whether it is one colour: programs write one, or a few

Rgb = tuple[float, float, float]
Corners = tuple[tuple[float, float], ...]


def corners(m: Any, part: Box) -> Corners:
    """Of a part (u0, v0, u1, v1) of a picture's unit square, its first row at v = 0, under MuPDF's matrix."""
    u0, v0, u1, v1 = part
    return tuple(
        (m.a * u + m.c * v + m.e, m.b * u + m.d * v + m.f) for u, v in ((u0, v0), (u1, v0), (u1, v1), (u0, v1))
    )


def size(of: Corners, within: Box) -> float:
    """Area of the box around the corners, within a box."""
    xy = np.array(of, float)
    low, high = np.maximum(xy.min(axis=0), within[:2]), np.minimum(xy.max(axis=0), within[2:])
    return float(np.prod(np.maximum(high - low, 0.0)))


def share(mask: Any) -> Box | None:
    """The box of what a mask lets through, in parts of the picture; None for nothing.  All where it cannot be
    read: it may hide something."""
    rows = _opacity(mask, MOST)
    if rows is None:
        return (0.0, 0.0, 1.0, 1.0)
    high, wide = rows.shape
    seen = rows > NONE
    down, across = np.flatnonzero(seen.any(axis=1)), np.flatnonzero(seen.any(axis=0))
    if not len(down):
        return None
    return (across[0] / wide, down[0] / high, (across[-1] + 1) / wide, (down[-1] + 1) / high)


def blots(mask: Any, across: float) -> list[Box]:
    """Boxes that cover what is solid in a large mask, ``across`` pt wide, in parts of the picture; all where it
    cannot be read."""
    rows = _opacity(mask, MOST_LARGE)
    if rows is None:
        return [(0.0, 0.0, 1.0, 1.0)]
    step = max(1, round(CELL * rows.shape[1] / max(across, CELL)))
    high, wide = -(-rows.shape[0] // step), -(-rows.shape[1] // step)
    solid = np.zeros((high * step, wide * step), bool)
    solid[: rows.shape[0], : rows.shape[1]] = rows >= SOLID
    full = solid.reshape(high, step, wide, step).mean(axis=(1, 3)) >= FULL
    edge = np.diff(np.pad(full, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    found: dict[tuple[int, int, int], list[int]] = {}  # by first and last column and first row, the rows
    above: dict[tuple[int, int], list[int]] = {}
    for row in np.flatnonzero(full.any(axis=1)).tolist():
        here: dict[tuple[int, int], list[int]] = {}
        ends = zip(np.flatnonzero(edge[row] > 0).tolist(), np.flatnonzero(edge[row] < 0).tolist(), strict=True)
        for run in ends:
            going = above.get(run)
            here[run] = going if going is not None and going[1] == row else [row, row]
            here[run][1] = row + 1
            found[(*run, here[run][0])] = here[run]
        above = here
    x, y = step / rows.shape[1], step / rows.shape[0]
    boxes = [(a * x, top * y, min(b * x, 1.0), min(end * y, 1.0)) for (a, b, _), (top, end) in found.items()]
    if len(boxes) <= MOST_BLOTS:
        return boxes
    return [hull(boxes)]


def _opacity(mask: Any, most: int) -> NDArray[np.uint8] | None:
    """(h, w) of a mask, the largest of its parts; None where it is too large or cannot be read."""
    try:
        if mask.w * mask.h > most:
            return None
        pixels = mupdf.FzImage(mupdf.ll_fz_keep_image(mask)).fz_get_unscaled_pixmap_from_image()
        wide, high, parts = pixels.w(), pixels.h(), pixels.n()
        rows = np.frombuffer(pixels.fz_pixmap_samples_memoryview(), np.uint8).reshape(high, -1)
        return np.asarray(rows[:, : wide * parts].reshape(high, wide, parts).max(axis=2), np.uint8)
    except Exception:  # whatever MuPDF raises: none may leave a device
        return None


def is_paper(space: Any, colour: Any) -> bool:
    """Is paint of this colour as white as paper."""
    rgb = _rgb(space, colour)
    return rgb is None or bool(np.dot(rgb, LUMINANCE) >= WHITE)


def one_colour(image: Any, space: Any = None, colour: Any = None) -> Rgb | None:
    """The colour of a picture, or of a stencil that paints a colour of a space, that is the same all over; None for
    a real picture, and for a stencil that leaves something out."""
    if image.w * image.h > MOST_OF_ONE_COLOUR or image.mask or image.use_colorkey:
        return None
    try:
        pixels = mupdf.FzImage(mupdf.ll_fz_keep_image(image)).fz_get_unscaled_pixmap_from_image()
        rows = np.frombuffer(pixels.fz_pixmap_samples_memoryview(), np.uint8).reshape(pixels.h(), -1)
        each = rows[:, : pixels.w() * pixels.n()].reshape(-1, pixels.n())
        if (each != each[0]).any() or ((image.imagemask or pixels.alpha()) and each[0, -1] < SOLID):
            return None
        if image.imagemask:
            return _rgb(space, colour)
        return _rgb(pixels.m_internal.colorspace, (each[0] / 255.0).tolist())
    except Exception:
        return None


def _rgb(space: Any, colour: Any) -> Rgb | None:
    try:
        params = mupdf.FzColorParams()
        red, green, blue, *_ = mupdf.ll_fz_convert_color(
            space, colour, mupdf.ll_fz_device_rgb(), None, params.internal()
        )
        return (float(red), float(green), float(blue))
    except Exception:  # whatever MuPDF raises: none may leave a device
        return None


def overprints(space: Any, colour: Any, how: Any) -> bool:
    """Does paint leave the inks below it: inks that it says nothing of (ISO 32000-2, 8.6.7), where it is light.

    Viewers that show this show what is below, others (MuPDF) the paint alone."""
    try:
        if not how.op or not (
            (mupdf.ll_fz_colorspace_is_cmyk(space) and how.opm) or mupdf.ll_fz_colorspace_is_device_n(space)
        ):
            return False
    except Exception:  # of no colour space, for one
        return False
    rgb = _rgb(space, colour)
    return rgb is None or bool(np.dot(rgb, LUMINANCE) >= LIGHT)
