"""What a way of drawing walls gives: the bodies of its strokes and bands, as evidence of walls.

Terms: *body*, the area that a stroke or a pair of strokes stands for; *thin*, of a face that is drawn as a line.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import lines
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.rooms.ink import Ink
from cordpath.rooms.walls.bands import Bands, merge_runs
from cordpath.rooms.walls.curves import curved_walls

# Half width given to a wall face that is drawn as a line.  The face is the middle of its line, whatever the pen: a
# half-size print has the same house with pens twice as wide in the building.
THIN_IN = 0.5


@dataclass(frozen=True, eq=False)
class Raw:
    """Evidence of one way: solid pieces with their place in the paint order, bands, and the strokes used."""

    route: str
    solid: NDArray[np.object_]
    order: IntArray
    bands: FloatArray  # (b, 4, 2)
    thin: NDArray[np.object_]
    used: BoolArray  # over the ink
    heal_in: float = 1.0
    weight: float = 0.0  # pen width of the walls, pt
    mixed: bool = False  # so much of the class does not run in pairs that it draws more than walls


def no_bodies() -> NDArray[np.object_]:
    return np.zeros(0, object)


def stroke_bodies(ink: Ink, half: FloatArray | float, cap: str = "square") -> NDArray[np.object_]:
    return np.asarray(shapely.buffer(lines(ink.xy), half, cap_style=cap), object)


def around(ink: Ink, half: FloatArray) -> FloatArray:
    """(n, 4, 2) rectangles around strokes, as bands."""
    normal = np.stack([-ink.unit[:, 1], ink.unit[:, 0]], 1) * half[:, None]
    a, b = ink.xy[:, :2], ink.xy[:, 2:]
    return np.stack([a - normal, b - normal, b + normal, a + normal], 1)


def joined(ink: Ink, mask: BoolArray) -> tuple[FloatArray, FloatArray, FloatArray, IntArray]:
    """Collinear pieces joined: coordinates, directions, lengths, and the joined stroke of every stroke."""
    xy, label = merge_runs(ink.xy[mask], ink.unit[mask])
    span = xy[:, 2:] - xy[:, :2]
    size = np.hypot(span[:, 0], span[:, 1])
    return xy, span / np.maximum(size, 1e-9)[:, None], size, label


def thin_bodies(xy: FloatArray, half: float) -> NDArray[np.object_]:
    return np.asarray(shapely.buffer(lines(xy), half, cap_style="square"), object)


def band_polygons(bands: Bands) -> NDArray[np.object_]:
    return np.asarray(shapely.buffer(shapely.polygons(bands.corners), 0), object) if len(bands) else no_bodies()


def with_curves(raw: Raw, ink: Ink, mask: BoolArray, gap_in: tuple[float, float], inch: float) -> Raw:
    """The same walls with the curved ones among the strokes of the mask."""
    curved = curved_walls(ink, mask, gap_in, inch)
    if not len(curved.used):
        return raw
    used = raw.used.copy()
    used[curved.used] = True
    late = np.full(len(curved.sectors), int(ink.order[curved.used].max()), np.int64)
    thin = thin_bodies(ink.xy[curved.used], THIN_IN * inch)
    return replace(
        raw,
        solid=np.concatenate([raw.solid, curved.sectors]),
        order=np.concatenate([raw.order, late]),
        bands=np.concatenate([raw.bands, curved.bands]),
        thin=np.concatenate([raw.thin, thin]),
        used=used,
    )
