"""Colours of letters as MuPDF tells them."""

from __future__ import annotations

from typing import Any

import numpy as np

from cordpath.model import LUMINANCE, WHITE

Colour = tuple[float, float, float]


def rgb(value: Any) -> Colour:
    """Red, green and blue of a grey, of three, or of cyan, magenta, yellow and black."""
    parts = [float(v) for v in value] if isinstance(value, tuple | list) else [float(value)]
    if len(parts) == 4:
        c, m, y, k = parts
        return ((1 - c) * (1 - k), (1 - m) * (1 - k), (1 - y) * (1 - k))
    return (parts[0], parts[1], parts[2]) if len(parts) == 3 else (parts[0],) * 3


def is_white(colour: tuple[float, ...]) -> bool:
    """Are letters of this colour paper on paper (red, green, blue)."""
    return bool(np.dot(colour, LUMINANCE) >= WHITE)
