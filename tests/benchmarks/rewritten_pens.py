"""Lines and areas in other operators."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from random import Random

from house_ink import Arc, Paper, Pen, Poly, Pt
from house_writers import Stream, _num
from pikepdf import Array, Dictionary, Name
from rewritten_page import (
    WAYS,
    Leaf,
    Way,
    bounds,
    by_stream,
    cell,
    way,
)


class Rewritten(Stream):
    """A stream whose polylines are told as lists of rings."""

    def rings(self, item: Poly) -> list[list[Pt]]:
        return [[*ring, ring[0]] if item.closed else list(ring) for ring in (item.points, *item.holes)]


@by_stream("pens of no width")
class ZeroWidth(Stream):
    """Every pen 0: the thinnest line of the device."""

    def pen(self, item: Poly | Arc) -> None:
        if item.pen is not None:
            super().pen(replace(item, pen=replace(item.pen, width=0.0)))


@by_stream("stroke adjust, caps and joins")
class Adjusted(Stream):
    """Round and square caps, bevels, a flatness, a mitre limit."""

    def pen(self, item: Poly | Arc) -> None:
        super().pen(item)
        self.out.write("2 J 2 j 1.5 M 3 i\n")


@by_stream("loose pieces backwards")
class Loose(Rewritten):
    """Each edge a path of its own, written from its far end."""

    def poly(self, item: Poly) -> None:
        if item.fill is not None:
            super().poly(replace(item, pen=None))
        if item.pen is not None:
            self.pen(item)
            for ring in self.rings(item):
                for a, b in zip(ring[::-1], ring[-2::-1], strict=False):
                    self.out.write(f"{self.xy(a)} m {self.xy(b)} l S\n")

    def curve(self, arc: Arc) -> None:
        self.pen(arc)
        for a, b, c, d in list(arc.beziers())[::-1]:
            self.out.write(f"{self.xy(d)} m {self.xy(c)} {self.xy(b)} {self.xy(a)} c S\n")


@by_stream("pieces of a third of a point")
class Crumbs(Rewritten):
    """Every solid line in one path of pieces no longer than 0.35 pt, each begun anew."""

    def poly(self, item: Poly) -> None:
        if item.fill is not None or item.pen is None or item.pen.dash:
            return super().poly(item)
        self.pen(item)
        for ring in self.rings(item):
            for a, b in pairwise(ring):
                n = min(400, max(1, math.ceil(math.dist(a, b) / 0.35)))
                for k in range(n):
                    p, q = ((a[0] + (b[0] - a[0]) * t / n, a[1] + (b[1] - a[1]) * t / n) for t in (k, k + 1))
                    self.out.write(f"{self.xy(p)} m {self.xy(q)} l\n")
        self.out.write("S\n")
        return None


@by_stream("lines as curves")
class Curved(Rewritten):
    """Straight lines as cubic curves with their control points on the line, or at its ends."""

    def poly(self, item: Poly) -> None:
        if item.fill is not None or item.pen is None:
            return super().poly(item)
        self.pen(item)
        for n, ring in enumerate(self.rings(item)):
            self.out.write(f"{self.xy(ring[0])} m\n")
            for k, (a, b) in enumerate(pairwise(ring)):
                third = ((2 * a[0] + b[0]) / 3, (2 * a[1] + b[1]) / 3)
                way = (k + n) % 3
                if way == 0:
                    self.out.write(f"{self.xy(a)} {self.xy(b)} {self.xy(b)} c\n")
                elif way == 1:
                    self.out.write(f"{self.xy(third)} {self.xy(b)} v\n")
                else:
                    self.out.write(f"{self.xy(third)} {self.xy(b)} y\n")
        self.out.write("S\n")
        return None


@by_stream("circles from another start, halves")
class Halves(Stream):
    """Circles begin at any angle and come in chords of two paths."""

    def curve(self, arc: Arc) -> None:
        if not arc.whole:
            return super().curve(arc)
        self.pen(arc)
        start = (arc.centre[0] * 7) % 360
        for half in (0, 180):
            piece = replace(arc, start=start + half, end=start + half + 180)
            for k, (a, b, c, d) in enumerate(piece.beziers()):
                self.out.write(
                    (f"{self.xy(a)} m " if k == 0 else "") + f"{self.xy(b)} {self.xy(c)} {self.xy(d)} c "
                )
            self.out.write("S\n")
        return None


@by_stream("fills by clip")
class Clipped(Stream):
    """Areas as clips through which a rectangle is painted."""

    def poly(self, item: Poly) -> None:
        if item.fill is None:
            return super().poly(item)
        x0, y0, x1, y1 = bounds([item], 1.0)
        self.out.write("q " + " ".join(_num(v) for v in item.fill) + " rg\n")
        for ring in (item.points, *item.holes):
            self.out.write(f"{self.xy(ring[0])} m " + "".join(f"{self.xy(p)} l " for p in ring[1:]) + "h ")
        self.out.write(f"W* n {x0} {y0} {x1 - x0} {y1 - y0} re f Q\n")
        if item.pen is not None:
            super().poly(replace(item, fill=None))
        return None


@by_stream("fills by shading")
class Shaded(Stream):
    """Dark areas as clips through which a shading of one colour is painted."""

    def poly(self, item: Poly) -> None:
        if item.fill is None or max(item.fill) > 0.9:
            return super().poly(item)
        self.out.write("q ")
        for ring in (item.points, *item.holes):
            self.out.write(f"{self.xy(ring[0])} m " + "".join(f"{self.xy(p)} l " for p in ring[1:]) + "h ")
        self.out.write("W* n /S0 sh Q\n")
        if item.pen is not None:
            super().poly(replace(item, fill=None))
        return None


def _shaded(paper: Paper, path: Path, r: Random) -> None:
    leaf = Leaf(paper)
    black = Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=Array([0]), C1=Array([0]), N=1)
    leaf.name("Shading", Dictionary(
        ShadingType=2, ColorSpace=Name.DeviceGray, Coords=Array([0, 0, paper.width, 0]), Function=black,
        Extend=Array([True, True]),
    ))  # fmt: skip
    leaf.out.append(leaf.text(paper.items, Shaded))
    leaf.finish(path)


WAYS[-1] = Way("fills by shading", _shaded, "image")


@by_stream("fills by pattern")
class Patterned(Stream):
    """Dark areas filled with a tiling pattern whose cell is solid."""

    def poly(self, item: Poly) -> None:
        if item.fill is None or max(item.fill) > 0.9:
            return super().poly(item)
        self.out.write("q /Pattern cs /P0 scn ")
        for ring in (item.points, *item.holes):
            self.out.write(f"{self.xy(ring[0])} m " + "".join(f"{self.xy(p)} l " for p in ring[1:]) + "h ")
        self.out.write("f* Q\n")
        if item.pen is not None:
            super().poly(replace(item, fill=None))
        return None


def _patterned(paper: Paper, path: Path, r: Random) -> None:
    leaf = Leaf(paper)
    cell(leaf, "0 g 0 0 6 6 re f", (0, 0, 6, 6), (6, 6))
    leaf.out.append(leaf.text(paper.items, Patterned))
    leaf.finish(path)


WAYS[-1] = Way("fills by pattern", _patterned)


@way("lines by pattern")
def lines_by_pattern(paper: Paper, path: Path, r: Random) -> None:
    """Black lines painted with a tiling pattern whose cell is solid."""
    leaf = Leaf(paper)
    name = cell(leaf, "0 g 0 0 6 6 re f", (0, 0, 6, 6), (6, 6))
    leaf.out.append(leaf.text(paper.items).replace(" 0 0 0 RG\n", f" /Pattern CS /{name} SCN\n"))
    leaf.finish(path)


@by_stream("hatch clipped by the area")
class Hatched(Stream):
    """Over every dark area lines at 45 degrees, drawn through its box and clipped by its shape."""

    def poly(self, item: Poly) -> None:
        super().poly(item)
        x0, y0, x1, y1 = bounds([item])
        if item.fill is None or max(item.fill) > 0.9 or max(x1 - x0, y1 - y0) < 40:
            return
        self.out.write("q ")
        for ring in (item.points, *item.holes):
            self.out.write(f"{self.xy(ring[0])} m " + "".join(f"{self.xy(p)} l " for p in ring[1:]) + "h ")
        self.out.write("W* n 0.25 w [] 0 d 0 G\n")
        k = x0 - (y1 - y0)
        while k < x1:
            self.out.write(f"{_num(k)} {_num(y1)} m {_num(k + y1 - y0)} {_num(y0)} l S\n")
            k += 6
        self.out.write("Q\n")


@way("walls hatched by a clip, not filled")
def walls_hatched(paper: Paper, path: Path, r: Random) -> None:
    """The outline of large dark areas, and hatch lines across their box that their shape clips."""

    class Walls(Hatched):
        def poly(self, item: Poly) -> None:
            x0, y0, x1, y1 = bounds([item])
            large = item.fill is not None and max(item.fill) <= 0.9 and max(x1 - x0, y1 - y0) >= 40
            super().poly(item)
            if large and item.pen is None:
                Stream.poly(self, replace(item, fill=None, pen=Pen(0.5)))

    leaf = Leaf(paper)
    leaf.out.append(leaf.text(paper.items, Walls))
    leaf.finish(path)


@by_stream("discs as dots of a wide pen")
class Dots(Stream):
    """Round solid areas as lines of no length with round caps."""

    def poly(self, item: Poly) -> None:
        if item.fill is None or item.holes or len(item.points) < 10:
            return super().poly(item)
        x0, y0, x1, y1 = bounds([item])
        at, radius = ((x0 + x1) / 2, (y0 + y1) / 2), (x1 - x0) / 2
        off = max(abs(math.dist(p, at) - radius) for p in item.points)
        if off > 0.1 * radius:
            return super().poly(item)
        colour = " ".join(_num(v) for v in item.fill)
        self.out.write(f"q 1 J {colour} RG {_num(2 * radius)} w [] 0 d {self.xy(at)} m {self.xy(at)} l S Q\n")
        if item.pen is not None:
            super().poly(replace(item, fill=None))
        return None


@by_stream("negative rectangles, doubled parts")
class Negative(Rewritten):
    """Boxes as `re` with negative sides; other areas even-odd with a part drawn three times."""

    def poly(self, item: Poly) -> None:
        p = item.points
        if len(p) == 4 and item.closed and not item.holes and p[0][1] == p[1][1] and p[1][0] == p[2][0]:
            self.pen(item)
            if item.fill is not None:
                self.out.write(" ".join(_num(v) for v in item.fill) + " rg\n")
            w, h = p[0][0] - p[2][0], p[0][1] - p[2][1]
            paint = {(True, True): "B*", (True, False): "S", (False, True): "f*", (False, False): "n"}
            self.out.write(
                f"{self.xy(p[2])} {_num(w)} {_num(h)} re {paint[item.pen is not None, item.fill is not None]}\n"
            )
            return None
        if item.fill is not None and not item.holes and item.pen is None:
            return super().poly(replace(item, holes=(item.points, item.points)))
        return super().poly(item)
