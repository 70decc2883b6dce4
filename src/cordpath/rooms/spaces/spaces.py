"""The parts that free space was divided into, with what each is open to.

Terms: as in ``throats.py``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import IntArray
from cordpath.rooms.ink import polygons_only
from cordpath.rooms.spaces.merging import State

OUT = -1
OPEN_FT = 5.0  # a way as wide as this may join two names into one open plan
POCKET_FT = 4.5  # a way narrower than this keeps a part without a name by itself
WIDE_RATIO = 0.45  # an opening of this part of the width is no doorway
UNSHOWN_FT = 3.5  # a way wider than a single door between two names, where no opening was recognised: a guess
SMALL_SF, SMALL_IN = 6.0, 18.0  # untagged spaces below this are niches, chases, double walls

Throats = dict[tuple[int, int], tuple[float, float, bool]]


@dataclass(frozen=True, eq=False)
class Space:
    """A part of the free space.  ``seeds`` are the names in it; ``open_with`` the names it shares a space with;
    ``throat_ft`` and ``ratio`` of its widest way to another part; ``out_ratio`` the same towards the outdoors."""

    polygon: BaseGeometry
    seeds: tuple[int, ...]
    open_with: tuple[int, ...] = ()
    wide_with: tuple[int, ...] = ()  # names beyond an opening without a door, wider than a doorway
    near_with: tuple[int, ...] = ()  # names beyond any way that is no doorway
    throat_ft: float = 0.0
    ratio: float = 0.0
    out_ft: float = 0.0
    out_ratio: float = 0.0
    reaches_frame: bool = False


def keeps(part: BaseGeometry, inch: float) -> bool:
    """Is a part without a name large enough for a room?"""
    return bool(part.area > SMALL_SF * 144 * inch**2 and not part.buffer(-SMALL_IN / 2 * inch).is_empty)


def collect(state: State, label: IntArray, throats: Throats, shared: dict[int, tuple[int, ...]],
            edge: BaseGeometry | None) -> tuple[list[Space], list[BaseGeometry]]:  # fmt: skip
    """Spaces, and the parts of the outdoors; ``label`` (t,) the part of every triangle."""
    seeds, foot = state.merge.seeds, state.foot
    spaces: list[Space] = []
    outside: list[BaseGeometry] = []
    for x in np.unique(label).tolist():
        polygon = _area_of(state.mesh.triangles[label == x])
        names = tuple(sorted(k for k in seeds[x] if k != OUT))
        if OUT in seeds[x] and not names:
            outside.append(polygon)
            continue
        ways = [(t, r, OUT in seeds[a] | seeds[b]) for (a, b), (t, r, _) in throats.items() if x in (a, b)]
        out = max(((t, r) for t, r, o in ways if o), default=(0.0, 0.0))
        if not names and out[0] > 0 and out[0] > POCKET_FT * foot:
            outside.append(polygon)  # a nook of the outdoors
            continue
        if not names and not keeps(polygon, state.inch):
            continue
        way = max(((t, r) for t, r, _ in ways), default=(0.0, 0.0))
        reaches = OUT in seeds[x] or (edge is not None and polygon.distance(edge) < 1e-6 * max(1.0, foot))
        together = tuple(k for k in shared.get(x, ()) if k not in names)
        near, wide = _names_beyond(x, state, throats)
        beyond = tuple(sorted(wide - {OUT, *names, *together}))
        beside = tuple(sorted(near - {OUT, *names}))
        spaces.append(
            Space(
                polygon,
                names,
                together,
                beyond,
                beside,
                way[0] / foot,
                way[1],
                out[0] / foot,
                out[1],
                bool(reaches),
            )
        )
    return spaces, outside


def _names_beyond(x: int, state: State, throats: Throats) -> tuple[set[int], set[int]]:
    """The names beyond the ways out of a part that are wide for their length, and those beyond open ways."""
    seeds = state.merge.seeds
    ways = [
        (t, shown, seeds[a] | seeds[b])
        for (a, b), (t, r, shown) in throats.items()
        if x in (a, b) and r >= WIDE_RATIO
    ]
    open_ = [there for t, shown, there in ways if t > (OPEN_FT if shown else UNSHOWN_FT) * state.foot]
    return {k for *_, there in ways for k in there}, {k for there in open_ for k in there}


def _area_of(triangles: NDArray[np.object_]) -> BaseGeometry:
    return polygons_only(shapely.union_all(triangles))
