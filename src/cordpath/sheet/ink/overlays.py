"""Where pictures and stencils that are no upright rectangles lie, and which part of them is painted.

Terms: *corners*, of a picture as it is placed, turned or skewed; *share*, the part of a picture within its mask.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from pymupdf import mupdf

from cordpath.model import LUMINANCE, WHITE, Box

MOST = 4_000_000  # pixels of a mask that are looked at; a larger one is taken to be opaque everywhere
NONE = 1  # of 255: less is seen by nobody

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
    try:
        if mask.w * mask.h > MOST:
            return (0.0, 0.0, 1.0, 1.0)
        pixels = mupdf.FzImage(mupdf.ll_fz_keep_image(mask)).fz_get_unscaled_pixmap_from_image()
        wide, high, parts = pixels.w(), pixels.h(), pixels.n()
        rows = np.frombuffer(pixels.fz_pixmap_samples_memoryview(), np.uint8).reshape(high, -1)
        seen = rows[:, : wide * parts].reshape(high, wide, parts).max(axis=2) > NONE
    except Exception:  # whatever MuPDF raises: none may leave a device
        return (0.0, 0.0, 1.0, 1.0)
    down, across = np.flatnonzero(seen.any(axis=1)), np.flatnonzero(seen.any(axis=0))
    if not len(down):
        return None
    return (across[0] / wide, down[0] / high, (across[-1] + 1) / wide, (down[-1] + 1) / high)


def is_paper(space: Any, colour: Any) -> bool:
    """Is paint of this colour as white as paper."""
    try:
        params = mupdf.FzColorParams()
        rgb = mupdf.ll_fz_convert_color(space, colour, mupdf.ll_fz_device_rgb(), None, params.internal())
        return bool(np.dot(rgb[:3], LUMINANCE) >= WHITE)
    except Exception:
        return True
