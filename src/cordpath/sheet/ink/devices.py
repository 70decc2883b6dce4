"""What MuPDF calls with all that a page paints: the clips and groups around it, and boxes in MuPDF's frame."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from pymupdf import mupdf

from cordpath.model import Box


@dataclass(frozen=True)
class Pen:
    """Of a line that a pattern is painted along; caps and joins as MuPDF numbers them."""

    width: float
    caps: tuple[int, int, int]
    join: int
    dashed: bool


class Device(mupdf.FzDevice2):  # type: ignore[misc]
    """A device of MuPDF: its methods are called with what is painted.  None may raise.

    ``stack``: what encloses it, innermost last, each with its ``clip``: the number of the innermost clip by a path
    or by the track of a pen, as ``Paths`` counts them; letters and masks are none."""

    def __init__(self, calls: Iterable[str], page: Any) -> None:
        super().__init__()
        for name in calls:
            getattr(self, f"use_virtual_{name}")()
        self.clips = 0
        self.stack = [page]

    def _enter(self, **more: Any) -> None:
        self.stack.append(self.stack[-1]._replace(**more))

    def _clip(self, **more: Any) -> None:
        self._enter(clip=self.clips, **more)
        self.clips += 1

    def pop_clip(self, *_: Any) -> None:
        if len(self.stack) > 1:
            self.stack.pop()

    end_group = end_tile = pop_clip

    def clip_text(self, *call: Any) -> None:
        self._stencil(call[1], call[2])

    def clip_stroke_text(self, *call: Any) -> None:
        self._stencil(call[1], call[3])

    def _stencil(self, text: Any, m: Any) -> None:
        """Text that is a clip, with its matrix."""


def box_of(rect: Any) -> Box:
    return (rect.x0, rect.y0, rect.x1, rect.y1)


def common(one: Box, other: Box) -> Box:
    return (max(one[0], other[0]), max(one[1], other[1]), min(one[2], other[2]), min(one[3], other[3]))


def within(around: Box, bound: Callable[[], Any]) -> Box:
    """What ``bound`` gives of a box; all of it where that fails: what is painted may lie anywhere in it."""
    try:
        return common(box_of(bound()), around)
    except Exception:
        return around
