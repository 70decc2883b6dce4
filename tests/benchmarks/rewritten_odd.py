"""Legal, and seldom written: what programs of one hand put on a page."""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from dataclasses import replace
from itertools import pairwise

from house_ink import Arc, Note, Poly, Pt
from house_writers import Stream, _num
from rewritten_page import by_stream
from rewritten_pens import Rewritten

WIDE = 6.0  # pt of a stroke that a clip cuts down to its pen


def _rows(a: Pt, b: Pt) -> str:
    """The frame that begins at a point and runs along a line, as an operator."""
    far = math.dist(a, b)
    x, y = (b[0] - a[0]) / far, (b[1] - a[1]) / far
    return f"{x:.7f} {y:.7f} {-y:.7f} {x:.7f} {_num(a[0])} {_num(a[1])} cm"


class _Edges(Rewritten, ABC):
    """Straight edges one by one."""

    @abstractmethod
    def edge(self, a: Pt, b: Pt, width: float) -> str: ...

    def poly(self, item: Poly) -> None:
        if item.pen is None or item.pen.dash or item.pen.width <= 0:
            return super().poly(item)
        if item.fill is not None:
            super().poly(replace(item, pen=None))
        colour = " ".join(_num(v) for v in item.pen.colour)
        for ring in self.rings(item):
            for a, b in pairwise(ring):
                if math.dist(a, b) > 0:
                    self.out.write(f"q {colour} rg {colour} RG {self.edge(a, b, item.pen.width)} Q\n")
        return None


@by_stream("lines as turned rectangles, circles as rings")
class Areas(_Edges):
    """Each line a rectangle under a matrix of its own, each circle the area between two circles."""

    def edge(self, a: Pt, b: Pt, width: float) -> str:
        return f"{_rows(a, b)} 0 {_num(-width / 2)} {_num(math.dist(a, b))} {_num(width)} re f"

    def curve(self, arc: Arc) -> None:
        if not arc.whole or arc.pen is None or arc.pen.dash or arc.pen.width <= 0:
            return super().curve(arc)
        self.out.write("q " + " ".join(_num(v) for v in arc.pen.colour) + " rg\n")
        for shift in (arc.pen.width / 2, -arc.pen.width / 2):
            for k, (a, b, c, d) in enumerate(replace(arc, radius=arc.radius + shift).beziers()):
                self.out.write(
                    (f"{self.xy(a)} m " if k == 0 else "") + f"{self.xy(b)} {self.xy(c)} {self.xy(d)} c "
                )
            self.out.write("h ")
        self.out.write("f* Q\n")
        return None


@by_stream("lines cut out of wide strokes")
class Cut(_Edges):
    """Each line a stroke that is far too wide and long, and a clip that leaves its pen's width."""

    def edge(self, a: Pt, b: Pt, width: float) -> str:
        far = math.dist(a, b)
        clip = f"0 {_num(-width / 2)} {_num(far)} {_num(width)} re W n"
        return f"{_rows(a, b)} {clip} {_num(WIDE)} w [] 0 d {_num(-WIDE)} 0 m {_num(far + WIDE)} 0 l S"


@by_stream("matrices there and back, unknown operators, empty paths")
class Wordy(Stream):
    """Every item in three states more than it needs, under matrices that undo each other, after a path of one point
    and operators that no reader knows."""

    def add(self, item: Poly | Arc | Note) -> None:
        self.out.write("BX 7 (what) xyzzy EX q q q 1 0 0 1 90 -40 cm 0 3 -3 0 0 0 cm 5 5 m n\n")
        self.out.write("0 -.333333333 .333333333 0 0 0 cm 1 0 0 1 -90 40 cm 9 9 m 99 9 l n\n")
        super().add(item)
        self.out.write("Q Q Q\n")


@by_stream("text of sizes below nought and twice as wide")
class Mirrored(Stream):
    """A size below nought under a matrix that turns it back; half the size, twice as wide, twice as high."""

    def note(self, item: Note) -> None:
        start = self.out.tell()
        super().note(item)
        self.out.seek(start)
        told = self.out.read()
        self.out.seek(start)
        self.out.truncate()
        self.out.write(_turned(told, len(item.text) % 2 == 0))


def _turned(told: str, below: bool) -> str:
    """One text's operators, its size and matrix told in another way."""
    words = told.split(" ")
    size, matrix = words.index("Tf") - 1, words.index("Tm") - 6
    a, b, c, d = (float(v) for v in words[matrix : matrix + 4])
    new = (-a, -b, -c, -d) if below else (a, b, 2 * c, 2 * d)
    words[matrix : matrix + 4] = [f"{v:.6f}" for v in new]
    words[size] = _num(-float(words[size]) if below else float(words[size]) / 2)
    wide = "" if below else "200 Tz "
    return " ".join(words).replace("BT ", f"BT {wide}", 1).replace(" ET", " 100 Tz ET")
