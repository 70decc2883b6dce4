"""MuPDF's list of what a page paints by path operators, taken in path by path.

Terms: *level*, how many clips and groups enclose a path; *veil*, a group that is blended with what was painted
before it so that this shows through.

Nothing but plain numbers and tuples is kept: a million strokes are no million objects.
"""

from __future__ import annotations

from array import array
from collections import deque
from typing import Any

import numpy as np
import pymupdf

from cordpath.model import WHITE, BoolArray, Box, FloatArray, IntArray
from cordpath.sheet.cells import CELL, DRAWN_CELL, SOLID_CELL, Cell
from cordpath.sheet.ink.beneath import Beneath
from cordpath.sheet.ink.blends import (
    BLENDED,
    HIDING,
    LIGHTENED,
    LIGHTENING,
    OPAQUE,
    PLAIN,
    THROUGH_MASK,
    UNSURE,
    VEILED,
    is_mask,
    may_hide,
)  # fmt: skip
from cordpath.sheet.ink.clip_shapes import Clip
from cordpath.sheet.ink.devices import common
from cordpath.sheet.ink.paths import COVERS, Paths
from cordpath.sheet.ink.pens import BUTT, dashes_of, flags_of, pattern
from cordpath.sheet.unprinted import is_unprinted

MOST_PIECES = 6_000_000  # edges and bends a page; the largest real plots measured have 0.1 million

BLACK = (0.0, 0.0, 0.0)
LAST = 1 << 60  # after all that is painted
OPEN = (-1, True, -1, PLAIN)  # no clip, visible, no veil, an ordinary blend
NOTHING_MORE = Beneath()


class TooMuch(Exception):
    """More pieces on a page than any drawing has."""


class _Collector:
    def __init__(self, beneath: Beneath) -> None:
        self.beneath, self.unlisted = beneath, deque(beneath.unlisted())
        self.edge, self.edge_path = array("f"), array("i")
        self.bend, self.bend_path, self.bend_before = array("f"), array("i"), array("i")
        self.flags, self.layer, self.clip, self.order = array("B"), array("i"), array("i"), array("i")
        self.framed = -1  # level within the clip that was told last, if nothing came since
        self.solid = -1  # clip that a cell of one colour was painted through
        self.track: dict[str, Any] | None = None  # of a pen, where that clip is one
        self.since, self.unsure, self.veiling = array("i"), array("B"), array("B")
        self.width, self.pen, self.paint, self.opacity = array("d"), array("d"), array("d"), array("d")
        self.scissors: list[Box] = []
        self.clips: list[Clip] = []
        self.cells: list[Cell] = []
        self.layers: dict[str, int] = {}
        self.dashes: dict[int, tuple[tuple[float, ...], float]] = {}
        self.gaps: dict[int, tuple[tuple[float, ...], float]] = {}
        # For each level: scissor index, is it visible, first path within the veil, how it is blended.
        self.stack: list[tuple[int, bool, int, int]] = []
        self.filled: tuple[list[Any], int] | None = None  # pieces and clip of the path before, if it was a fill
        self.failure: BaseException | None = None

    def __call__(self, item: dict[str, Any]) -> None:
        # An exception that leaves a callback of MuPDF ends the whole process (segmentation fault, measured).
        if self.failure is None:
            try:
                self._take(item)
            except BaseException as error:
                self.failure = error

    def _take(self, item: dict[str, Any]) -> None:
        kind, level = item["type"], item.get("level") or 0
        clip, visible, since, blend = self.stack[min(level, len(self.stack)) - 1] if level and self.stack else OPEN
        framed, self.framed = self.framed == level, -1
        if "seqno" in item:
            self._hang(item["seqno"])
            visible = visible and item["seqno"] not in self.beneath.through
        if kind == "clip":
            self.framed, self.track = level + 1, self._track(item, clip)
            self._enter(level, self._scissor(item, clip), visible, since, blend)
        elif kind == "group":
            opacity, mode = item.get("opacity", 1.0), item.get("blendmode", "Normal")
            veil = opacity < OPAQUE or mode not in HIDING
            own = LIGHTENED if mode in LIGHTENING else BLENDED if mode in UNSURE or is_mask(opacity) else PLAIN
            own = VEILED if mode == "Normal" and may_hide(opacity) else own
            self._enter(level, clip, visible and opacity != 0, len(self.flags) if veil else since, max(own, blend))
        elif visible and item.get("layer") == SOLID_CELL and (framed or clip == self.solid):
            if clip != self.solid:  # the next copies of the cell paint the same
                self._solid(item, clip, since, blend)
        elif visible and item.get("layer") in (CELL, DRAWN_CELL, SOLID_CELL):
            self.cells.append(Cell(tuple(item["rect"]), clip, item["layer"] == DRAWN_CELL))
        elif visible:
            self._path(item, kind, clip, since, blend)

    def end(self) -> None:
        """The page has no more paths; pictures may lie over the last one."""
        self._hang(LAST)

    def _track(self, item: dict[str, Any], around: int) -> dict[str, Any] | None:
        """The path of a pen whose track is a clip, as MuPDF tells of strokes; ``clip``: that around it."""
        pen = self.beneath.pens.get(len(self.scissors)) if item.get("even_odd") is None else None
        if pen is None:
            return None
        return {
            "items": item.get("items") or [], "layer": "", "width": pen.width, "lineCap": pen.caps, "clip": around,
            "lineJoin": pen.join, "dashes": "[1] 0" if pen.dashed else "[] 0",
        }  # fmt: skip

    def _solid(self, item: dict[str, Any], clip: int, since: int, blend: int) -> None:
        """What a cell of one colour paints: the clip around it, or the track of a pen."""
        self.solid = clip
        if self.track is not None:
            self._path({**item, "color": item.get("fill"), **self.track}, "s", self.track["clip"], since, blend)
            return
        area = ("re", self.scissors[clip], 1)
        self._path({**item, "items": [area], "layer": ""}, "f", clip, since, blend)

    def _hang(self, order: int) -> None:
        """What MuPDF's list leaves out and was painted before."""
        while self.unlisted and self.unlisted[0][0] < order:
            number, clip, item = self.unlisted.popleft()
            self._path({**item, "seqno": number}, item["type"], clip, -1, PLAIN)

    def _enter(self, level: int, clip: int, visible: bool, since: int, blend: int) -> None:
        del self.stack[level:]
        self.stack.extend([self.stack[-1] if self.stack else OPEN] * (level - len(self.stack)))
        self.stack.append((clip, visible, since, blend))

    def _scissor(self, item: dict[str, Any], parent: int) -> int:
        box, items, even_odd = item["scissor"], item.get("items") or [], item.get("even_odd")
        # Without a fill rule the track of a pen is the clip, which is taken for the rectangle around it.
        upright = len(items) == 1 and items[0][0] == "re"
        self.clips.append((parent, None if upright or even_odd is None else items, bool(even_odd)))
        self.scissors.append(tuple(box) if parent < 0 else common(box, self.scissors[parent]))
        return len(self.scissors) - 1

    def _path(self, item: dict[str, Any], kind: str, clip: int, since: int, blend: int) -> None:
        # An outline that follows the fill of the same path: MuPDF tells them one after the other.
        outline = kind == "s" and self.filled == (item["items"], clip)
        number = len(self.flags) - outline
        stroke, width, pen = self._stroke(item, kind, number), item.get("width") or 0.0, item.get("color") or BLACK
        if outline:
            self.flags[-1] |= stroke
            self.width[-1] = width
            self.pen[-3:] = array("d", pen)
            self.filled = None
            return
        self.filled = (item["items"], clip) if kind == "f" else None
        self._pieces(item["items"], number)
        filled = "f" in kind and item.get("fill_opacity", 1.0) != 0
        self.flags.append(stroke | filled << 1 | bool(item.get("even_odd")) << 2)
        self.layer.append(self.layers.setdefault(item.get("layer") or "", len(self.layers)))
        self.clip.append(clip)
        self.order.append(item.get("seqno", number))
        self.width.append(width)
        self.pen.extend(pen)
        paint = item.get("fill") or BLACK
        self.paint.extend(paint)
        self._seen(item, [ink for ink, used in ((paint, filled), (pen, stroke)) if used], number, since, blend)
        if len(self.edge_path) + len(self.bend_path) > MOST_PIECES:
            raise TooMuch

    def _stroke(self, item: dict[str, Any], kind: str, number: int) -> int:
        """The flags of the pen, 0 where it leaves nothing; dashes that others ask for are kept."""
        if "s" not in kind or item.get("stroke_opacity", 1.0) == 0:
            return 0
        dashes = dashes_of(item.get("dashes"))
        if dashes.blank and item.get("lineCap", BUTT) == BUTT:
            return 0
        if dashes.broken and dashes.wide:
            self.gaps[number] = pattern(item["dashes"])
        if dashes.broken and (item.get("width") or 0.0) >= COVERS and min(item.get("color") or BLACK) >= WHITE:
            self.dashes[number] = pattern(item["dashes"])
        return True | dashes.broken << 3 | flags_of(item)

    def _seen(self, item: dict[str, Any], inks: list[Any], number: int, since: int, blend: int) -> None:
        """How far a path is seen, and over what, by the inks of its pen and its paint."""
        lightened = blend == LIGHTENED and any(min(ink) < WHITE for ink in inks)
        self.since.append(number if lightened else since)
        masked = is_mask(item.get("fill_opacity")) or is_mask(item.get("stroke_opacity"))
        unprinted = any(map(is_unprinted, inks))
        self.unsure.append(masked or unprinted or blend in (BLENDED, VEILED) or lightened)
        opacity, over = item.get("fill_opacity"), item.get("seqno") in self.beneath.overprinted
        self.veiling.append(over or blend == VEILED or may_hide(opacity) or may_hide(item.get("stroke_opacity")))
        self.opacity.append(THROUGH_MASK if unprinted or over else opacity if opacity is not None else 1.0)

    def _pieces(self, items: list[tuple[Any, ...]], number: int) -> None:
        for piece in items:
            kind = piece[0]
            if kind == "l":
                self.edge.extend(piece[1])
                self.edge.extend(piece[2])
                self.edge_path.append(number)
            elif kind == "c":
                for point in piece[1:5]:
                    self.bend.extend(point)
                self.bend_path.append(number)
                self.bend_before.append(len(self.edge_path))
            else:
                self._four(piece, number)

    def _four(self, piece: tuple[Any, ...], number: int) -> None:
        if piece[0] == "re":
            x0, y0, x1, y1 = piece[1]
            corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
            if piece[2] > 0:  # the other way round: matters to the nonzero rule
                corners.reverse()
        else:
            upper_left, upper_right, lower_left, lower_right = piece[1]
            corners = [upper_left, upper_right, lower_right, lower_left]
        for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
            self.edge.extend(start)
            self.edge.extend(end)
            self.edge_path.append(number)


def collect(page: pymupdf.Page, beneath: Beneath = NOTHING_MORE) -> Paths:
    """Every painted path of the page; raises :class:`TooMuch`, or what MuPDF raises on a damaged page."""
    collector = _Collector(beneath)
    page.get_cdrawings(extended=True, callback=collector)
    if collector.failure is not None:
        raise collector.failure
    collector.end()
    return _frozen(collector)


def _frozen(c: _Collector) -> Paths:
    flags = np.array(c.flags, np.uint8)

    def floats(values: array[float], columns: int) -> FloatArray:
        return np.array(values, np.float64).reshape(-1, columns)

    def ints(values: array[int]) -> IntArray:
        return np.array(values, np.int64)

    def flag(bit: int) -> BoolArray:
        return (flags >> bit & 1).astype(bool)

    return Paths(
        edge=floats(c.edge, 4), edge_path=ints(c.edge_path),
        bend=floats(c.bend, 8), bend_path=ints(c.bend_path), bend_before=ints(c.bend_before),
        stroked=flag(0), filled=flag(1), even_odd=flag(2), dashed=flag(3), butt=flag(4),
        round_cap=flag(5), mitred=flag(6), hiding=flag(7),
        width=np.array(c.width, np.float64), pen=floats(c.pen, 3), paint=floats(c.paint, 3),
        opacity=np.array(c.opacity, np.float64), unsure=np.array(c.unsure, bool),
        veiling=np.array(c.veiling, bool), since=ints(c.since),
        order=ints(c.order), layer=ints(c.layer), clip=ints(c.clip), dashes=c.dashes, gaps=c.gaps,
        scissors=np.array(c.scissors, np.float64).reshape(-1, 4), clips=tuple(c.clips), cells=tuple(c.cells),
        layers=tuple(c.layers), shadings=c.beneath.shadings, overlays=c.beneath.overlays,
    )  # fmt: skip
