"""Many bodies compared with a sheet's ink at once: a call of numpy or shapely costs more than its work on one body.

Term: *pair*, a body and a segment about it.  What lies about all the bodies is one array of pairs, by body.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import among, sorted_unique
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.pose import place

AT_ONCE = 128  # bodies: what is about more of them leaves the processor's cache


@dataclass(frozen=True, eq=False)
class Pairs:
    """Bodies and what is about each (segments, or other things that have numbers), in order of the bodies."""

    body: IntArray  # (p,)
    item: IntArray  # (p,)

    @staticmethod
    def of(items: Sequence[IntArray]) -> Pairs:
        """The items of each body in turn."""
        body = np.repeat(np.arange(len(items)), [len(each) for each in items])
        return Pairs(body, np.concatenate([NOBODYS, *items]))

    def __len__(self) -> int:
        return len(self.body)

    def where(self, kept: BoolArray | IntArray) -> Pairs:
        return Pairs(self.body[kept], self.item[kept])

    def by(self, numbers: IntArray) -> Pairs:
        """Each body with the number of its item, such as that of the run of a segment."""
        return Pairs(self.body, numbers[self.item])

    def keys(self, items: int | None = None) -> IntArray:
        """(p,) one number for each pair, in their order; ``items``: more than the largest number of any item."""
        return self.body * (int(self.item.max(initial=0)) + 1 if items is None else items) + self.item

    def among(self, others: Pairs) -> BoolArray:
        """(p,) those that are pairs of the others as well."""
        items = max(int(self.item.max(initial=0)), int(others.item.max(initial=0))) + 1
        return among(self.keys(items), others.keys(items))

    def places(self, some: Pairs) -> IntArray:
        """Where some of the pairs are among them; they are in order and come once each."""
        items = int(self.item.max(initial=0)) + 1
        return np.searchsorted(self.keys(items), some.keys(items))

    def once(self) -> Pairs:
        """In ascending order, each once."""
        items = int(self.item.max(initial=0)) + 1
        key = sorted_unique(self.keys(items))
        return Pairs(key // items, key % items)

    def by_body(self, count: int) -> list[IntArray]:
        """The items of each of ``count`` bodies."""
        cut = np.searchsorted(self.body, np.arange(count + 1)).tolist()
        return [self.item[a:b] for a, b in pairwise(cut)]


@dataclass(frozen=True, eq=False)
class Bodies:
    """``own``: the segments that are known to be each one's."""

    ink: Ink
    shapes: NDArray[np.object_]  # (n,) polygons
    centres: FloatArray  # (n, 2)
    radii: FloatArray  # (n,) pt
    own: Pairs

    @staticmethod
    def of(candidates: Sequence[Candidate]) -> Bodies:
        """Those of candidates on one ink whose templates have a body."""
        placed = (place(c.pose[None], c.template.outline)[0] for c in candidates)
        shapes = [shapely.Polygon(p) if len(p) > 3 else shapely.LineString(p) for p in placed]
        return Bodies(
            candidates[0].ink,
            np.array(shapes, object),
            np.array([c.centre for c in candidates]),
            np.array([c.radius for c in candidates]),
            Pairs.of([c.whole for c in candidates]),
        )

    def near(self, reach: FloatArray) -> Pairs:
        """Drawn segments within ``reach`` (n,) pt of the middle of each."""
        body, segment = self.ink.grid.near(self.centres, reach)
        return Pairs(body, segment).where(segment < self.ink.count)


def counted(count: IntArray) -> tuple[IntArray, IntArray]:
    """Which of the things with ``count`` (n,) parts each part is of, and its number among them."""
    of = np.repeat(np.arange(len(count)), count)
    return of, np.arange(len(of)) - np.repeat(np.cumsum(count) - count, count)


def together(candidates: Sequence[Candidate]) -> Iterator[tuple[list[int], Bodies]]:
    """The candidates that have a body, a number of them on one ink at a time: which they are, and their bodies."""
    by_ink: dict[int, list[int]] = {}
    for k, c in enumerate(candidates):
        if len(c.template.outline) >= 4:
            by_ink.setdefault(id(c.ink), []).append(k)
    for which in by_ink.values():
        for start in range(0, len(which), AT_ONCE):
            part = which[start : start + AT_ONCE]
            yield part, Bodies.of([candidates[k] for k in part])
