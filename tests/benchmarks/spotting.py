"""How well and how fast symbols are spotted on random sheets: recall, precision, silent losses, CPU seconds.

    python tests/benchmarks/spotting.py [--strokes 10000] [--sheets 2] [--seed 1] [--style beziers]

The sheets are invented: twenty designs, ten of each, at any angle, half of them mirrored, drawn in one of three
ways that plotters have (Bezier arcs; polylines on a 1/600 in grid; loose pieces in random order on that grid), with
walls, hatch, dimensions, notes, furniture and wires around, a tenth of them drawn over symbols.
"""

from __future__ import annotations

import cordpath  # noqa: F401  # before numpy: it sets numpy to one thread, as in the program

# isort: split
import argparse
import math
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import shapely

from cordpath.model import (
    ArcMark,
    CircleMark,
    Drawing,
    Fills,
    LineMark,
    Mapping,
    Mark,
    PolylineMark,
    Sheet,
    Spotting,
    Strokes,
    SymbolEntry,
    TextMark,
    View,
    Word,
)  # fmt: skip

GRID = 0.12  # pt, 1/600 in
PT = 1 / 72
STYLES = ("beziers", "polylines", "loose")


def line(x0: float, y0: float, x1: float, y1: float) -> LineMark:
    return LineMark((x0 * PT, y0 * PT), (x1 * PT, y1 * PT))


def circle(x: float, y: float, r: float) -> CircleMark:
    return CircleMark((x * PT, y * PT), r * PT)


def arc(x: float, y: float, r: float, start: float, end: float) -> ArcMark:
    return ArcMark((x * PT, y * PT), r * PT, start, end)


def text(value: str, x: float, y: float) -> TextMark:
    return TextMark(value, (x * PT, y * PT))


def rect(w: float, h: float, x: float = 0, y: float = 0) -> PolylineMark:
    x0, x1, y0, y1 = (v * PT for v in (x - w / 2, x + w / 2, y - h / 2, y + h / 2))
    return PolylineMark(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)


def rounded(w: float, h: float, r: float, x: float = 0, y: float = 0) -> tuple[Mark, ...]:
    x0, x1, y0, y1 = x - w / 2, x + w / 2, y - h / 2, y + h / 2
    return (line(x0 + r, y0, x1 - r, y0), arc(x1 - r, y0 + r, r, 0, 90), line(x1, y0 + r, x1, y1 - r),
            arc(x1 - r, y1 - r, r, 270, 360), line(x1 - r, y1, x0 + r, y1), arc(x0 + r, y1 - r, r, 180, 270),
            line(x0, y1 - r, x0, y0 + r), arc(x0 + r, y0 + r, r, 90, 180))  # fmt: skip


def _polygon(points: Sequence[tuple[float, float]], filled: bool = False) -> PolylineMark:
    return PolylineMark(tuple((x * PT, y * PT) for x, y in points), closed=True, filled=filled)


_BARS = (circle(0, 0, 6), line(-9, -2, 9, -2), line(-9, 2, 9, 2))
_HALF = [(6 * math.cos(t), 6 * math.sin(t)) for t in np.linspace(0, math.pi, 17)]
_TRIANGLE = [(4.8 * math.cos(a), 4.8 * math.sin(a)) for a in (0, 2 * math.pi / 3, 4 * math.pi / 3)]
DESIGNS: dict[str, tuple[str, tuple[Mark, ...]]] = {
    "simplex": ("receptacle", (circle(0, 0, 6), line(-9, 0, 9, 0))),
    "duplex": ("receptacle", _BARS),
    "duplex GFI": ("receptacle", (*_BARS, text("GFI", 0, -11))),
    "triplex": ("receptacle", (circle(0, 0, 6), line(-9, -3, 9, -3), line(-9, 0, 9, 0), line(-9, 3, 9, 3))),
    "quad": ("receptacle", (*_BARS, line(-2, -9, -2, 9), line(2, -9, 2, 9))),
    "half": ("receptacle", (*_BARS, _polygon(_HALF, filled=True))),
    "special": ("receptacle", (circle(0, 0, 6), _polygon(_TRIANGLE), line(6, 0, 10, 0))),
    "light": ("light", (circle(0, 0, 6), line(6, 0, 9, 0), line(-6, 0, -9, 0), line(0, 6, 0, 9),
                        line(0, -6, 0, -9))),
    "smoke": ("other", (circle(0, 0, 6), text("SD", 0, 0))),
    "junction box": ("hardwired outlet", (circle(0, 0, 6), text("J", 0, 0))),
    "column": ("other", (circle(0, 0, 6), *(line(-math.sqrt(36 - d * d), d, math.sqrt(36 - d * d), d)
                                            for d in (-4, -2, 0, 2, 4)))),
    "switch": ("switch", (text("S", 0, 0),)),
    "switch 3": ("switch", (text("S", 0, 0), text("3", 6, 3))),
    "door": ("door", (line(0, 0, 30, 0), arc(0, 0, 30, 270, 360))),
    "sink": ("sink", (*rounded(22, 18, 2), *rounded(16, 11, 3, 0, 1.5), circle(0, 1.5, 1.5))),
    "tub": ("bathtub", (rect(60, 30), *rounded(54, 24, 6), circle(22, 0, 1.5))),
    "toilet": ("water closet", (rect(18, 8, 0, -13), line(-7, -9, -7, 0), line(7, -9, 7, 0),
                                arc(0, 0, 7, 180, 360))),
    "range": ("range", (rect(30, 25), circle(-7, -6, 3.5), circle(7, -6, 3.5), circle(-7, 6, 4.5),
                        circle(7, 6, 4.5))),
    "panel": ("panel", (rect(24, 7), line(-12, -3.5, 12, 3.5))),
    "shower": ("shower", (rect(36, 36), line(-18, -18, -2, -2), line(18, 18, 2, 2), line(-18, 18, -2, 2),
                          line(18, -18, 2, -2), circle(0, 0, 2))),
}  # fmt: skip


def mapping(names: Sequence[str] = tuple(DESIGNS), scales: tuple[float, float] = (0.95, 1.05)) -> Mapping:
    entries = tuple(SymbolEntry(n, DESIGNS[n][0], shape=DESIGNS[n][1], scales=scales) for n in names)  # type: ignore[arg-type]
    return Mapping("random.yaml", Drawing(), entries)


@dataclass
class Truth:
    name: str
    at: tuple[float, float]
    crossed: bool = False  # ink of the clutter lies in its body


@dataclass
class Pen:
    """Collects strokes, fills and words in one style."""

    style: str
    rng: np.random.Generator
    xy: list[np.ndarray] = field(default_factory=list)
    curve: list[np.ndarray] = field(default_factory=list)
    words: list[Word] = field(default_factory=list)
    fills: list[shapely.Polygon] = field(default_factory=list)
    curves: int = 0
    count: int = 0
    by_others: bool = False  # what is drawn is no part of a symbol, nor a wire that ends on it

    def poly(self, points: np.ndarray, curve: int = -1) -> None:
        points = np.asarray(points, float)
        self.xy.append(np.c_[points[:-1], points[1:]])
        self.curve.append(np.full(len(points) - 1, curve))
        self.count += len(points) - 1

    def line(self, a: Sequence[float], b: Sequence[float], split: bool = False) -> None:
        cuts = np.sort(self.rng.uniform(0.2, 0.8, self.rng.integers(1, 3))) if split else np.zeros(0)
        t = np.r_[0, cuts, 1][:, None]
        self.poly(np.asarray(a) + (np.asarray(b) - np.asarray(a)) * t)

    def arc(self, move, x: float, y: float, r: float, start: float, sweep: float) -> None:
        """Angles in radians, y down."""
        if self.style == "beziers":
            parts = max(1, math.ceil(abs(sweep) / (math.pi / 2) - 1e-6))
            for k in range(parts):
                a = np.linspace(start + sweep * k / parts, start + sweep * (k + 1) / parts,
                                max(3, int(abs(sweep) / parts / math.sqrt(0.16 / r)) + 2))  # fmt: skip
                self.curves += 1
                self.poly(move(np.c_[x + r * np.cos(a), y + r * np.sin(a)]), self.curves)
            return
        full = self.rng.choice([16, 24, 32, 48]) if self.style == "loose" else self.rng.choice([24, 36])
        n = max(3, round(full * abs(sweep) / (2 * math.pi)))
        phase = self.rng.uniform(0, 6.28) if abs(sweep) > 6.28 else 0.0
        a = np.linspace(start + phase, start + phase + sweep, n + 1)
        self.poly(move(np.c_[x + r * np.cos(a), y + r * np.sin(a)]))

    def text(self, value: str, x: float, y: float, h: float, angle: float = 0.0, line: int | None = None) -> None:
        w = 0.6 * h * len(value)
        c, s = abs(math.cos(math.radians(angle))), abs(math.sin(math.radians(angle)))
        bw, bh = (w * c + h * s) / 2, (w * s + h * c) / 2
        self.words.append(Word(value, (x - bw, y - bh, x + bw, y + bh), angle, h / 0.72,
                               len(self.words) if line is None else line))  # fmt: skip

    def sheet(self, width: float, height: float, regions=()) -> Sheet:
        xy, curve = np.concatenate(self.xy), np.concatenate(self.curve)
        if self.style != "beziers":
            xy = np.round(xy / GRID) * GRID
        if self.style == "loose":
            order = self.rng.permutation(len(xy))
            xy, curve = xy[order], curve[order]
        n = len(xy)
        strokes = Strokes(xy, np.full(n, 0.5), np.zeros((n, 3)), np.full(n, -1), np.arange(n), curve,
                          np.zeros(n, bool), np.zeros(n, bool))  # fmt: skip
        f = len(self.fills)
        shapes = np.empty(f, object)
        shapes[:] = self.fills
        fills = Fills(shapes, np.zeros((f, 3)), np.ones(f), np.full(f, -1), np.arange(f))
        view = View("v1", "PLAN", (0.0, 0.0, width, height))
        return Sheet("random.pdf", 1, "E-101", None, width, height, strokes, fills, tuple(self.words), (), (view,),
                     tuple(regions))  # fmt: skip


def symbol(pen: Pen, name: str, at: np.ndarray, turn: float, mirror: bool, scale: float) -> None:
    rng = pen.rng
    c, s = math.cos(turn), math.sin(turn)
    turned = np.array([[c, -s], [s, c]]) @ np.diag([-1.0 if mirror else 1.0, 1.0]) * scale

    def move(points: np.ndarray) -> np.ndarray:
        return np.asarray(points, float).reshape(-1, 2) @ turned.T + at

    split, double = rng.random() < 0.3, rng.random() < 0.2
    for again in range(2 if double else 1):
        for mark in DESIGNS[name][1]:
            if again and rng.random() < 0.5:
                continue
            _mark(pen, mark, move, split, bool(again), scale, turn)
    if rng.random() < 0.35:  # a wall or wire straight through or beside
        a, off = rng.uniform(0, 6.28), rng.uniform(-7, 7)
        d, n = np.array([math.cos(a), math.sin(a)]), np.array([-math.sin(a), math.cos(a)])
        pen.by_others = True
        pen.line(at + n * off - d * 60, at + n * off + d * 60)
        pen.by_others = False
    if rng.random() < 0.4:  # a wire that ends on it
        a, r = rng.uniform(0, 6.28), rng.uniform(60, 150)
        end = at + 6 * np.array([math.cos(a), math.sin(a)])
        centre = end + r * np.array([math.cos(a + 1.2), math.sin(a + 1.2)])
        pen.arc(lambda p: p, centre[0], centre[1], r, a + 1.2 + math.pi, 0.7)
    if rng.random() < 0.2:
        pen.by_others = True
        pen.text("WA", at[0] + rng.uniform(-8, 8), at[1] + rng.uniform(-8, 8), 6)
        pen.by_others = False


def _mark(pen: Pen, mark: Mark, move, split: bool, again: bool, scale: float, turn: float) -> None:
    if isinstance(mark, LineMark):
        a, b = move(np.array([mark.start, mark.end]) * 72)
        pen.line(a, b, split)
    elif isinstance(mark, CircleMark):
        pen.arc(move, mark.center[0] * 72, mark.center[1] * 72, mark.radius * 72, 0, 2 * math.pi)
    elif isinstance(mark, ArcMark):
        sweep = math.radians((mark.end - mark.start) % 360 or 360)
        pen.arc(move, mark.center[0] * 72, mark.center[1] * 72, mark.radius * 72, -math.radians(mark.start), -sweep)
    elif isinstance(mark, PolylineMark):
        ring = move(np.array([*mark.points, mark.points[0]]) * 72)
        if mark.filled and not again:
            if pen.style == "loose":  # a fill exploded to strokes
                for v in np.arange(0.25, 6, 0.5):
                    u = math.sqrt(max(0.0, 36 - v * v))
                    pen.poly(move([(-u, v), (u, v)]))
            else:
                pen.fills.append(shapely.Polygon(ring))
        elif not mark.filled:
            for a, b in pairwise(ring):
                pen.line(a, b, split)
    elif isinstance(mark, TextMark) and not again:
        x, y = move(np.array([mark.at]) * 72)[0]
        size = {"GFI": 6, "SD": 5, "J": 7, "S": 10, "3": 5}[mark.value]
        upright = pen.rng.random() < 0.5 or mark.value in "S3"
        pen.text(mark.value, x, y, size * scale, 0.0 if upright else -math.degrees(turn) % 360)


def clutter(pen: Pen, truth: list[Truth], target: int, width: float, height: float, over: float) -> None:
    rng = pen.rng
    for x in np.arange(100, width - 100, 170):
        for y in np.arange(100, height - 100, 150):
            if rng.random() < 0.8:
                pen.line((x, y), (x + 140, y))
                pen.line((x, y + 5), (x + 140, y + 5))
            if rng.random() < 0.8:
                pen.line((x, y), (x, y + 120))
                pen.line((x + 5, y), (x + 5, y + 120))
    at = np.array([t.at for t in truth])
    while pen.count < target:
        x, y = rng.uniform(60, width - 60), rng.uniform(60, height - 60)
        if rng.random() > over and (np.abs(at - (x + 18, y + 18)) < 45).all(1).any():
            continue  # draughtsmen keep symbols clear
        _piece(pen, rng.random(), x, y)


def _piece(pen: Pen, k: float, x: float, y: float) -> None:
    rng = pen.rng
    here = lambda p: np.asarray(p, float)  # noqa: E731
    if k < 0.3:
        a, w = rng.choice([0.785, -0.785, 0, 1.57]), rng.uniform(10, 40)
        for i in range(rng.integers(10, 60)):
            p = (x - math.sin(a) * i * 2.5, y + math.cos(a) * i * 2.5)
            pen.line(p, (p[0] + math.cos(a) * w, p[1] + math.sin(a) * w))
    elif k < 0.45:
        w = rng.uniform(30, 120)
        pen.line((x, y), (x + w, y))
        pen.line((x - 2, y + 2), (x + 2, y - 2))
        pen.line((x + w - 2, y + 2), (x + w + 2, y - 2))
        pen.text(str(rng.integers(10, 99)), x + w / 2, y - 5, 6)
    elif k < 0.6:
        row = len(pen.words)
        for i in range(rng.integers(1, 5)):
            pen.text("".join(rng.choice(list("SJDGFIWPAENR"), rng.integers(2, 14))), x, y + i * 9, 6, line=row)
    elif k < 0.78:
        points = np.cumsum(rng.uniform(-15, 15, (rng.integers(3, 9), 2)), 0)
        pen.poly(points + np.array([x, y]))
    elif k < 0.86:
        w, h = rng.uniform(6, 50, 2)
        for e in ((0, 0, w, 0), (w, 0, w, h), (w, h, 0, h), (0, h, 0, 0)):
            pen.line((x + e[0], y + e[1]), (x + e[2], y + e[3]))
    elif k < 0.92:
        pen.arc(here, x, y, float(rng.choice([6, 2, 12, 20, 4.5])), 0, 2 * math.pi)
    elif k < 0.96:
        pen.arc(here, x, y, rng.uniform(3, 40), rng.uniform(0, 6), math.radians(rng.uniform(30, 200)))
    else:
        for q in range(3):
            pen.arc(here, x + q * 4, y, 2, 0, 2 * math.pi)


def random_sheet(
    style: str, strokes: int, seed: int, per: int = 10, scale: tuple[float, float] = (1.0, 1.0),
    names: Sequence[str] = tuple(DESIGNS), over: float = 0.1, width: float = 2592.0, height: float = 1728.0,
) -> tuple[Sheet, list[Truth]]:  # fmt: skip
    rng = np.random.default_rng(seed)
    pen = Pen(style, rng)
    spots = [(x, y) for x in np.arange(120, width - 110, 95) for y in np.arange(120, height - 80, 95)]
    rng.shuffle(spots)
    truth = []
    for name in names:
        for _ in range(per):
            at = np.array(spots[len(truth)]) + rng.uniform(-12, 12, 2)
            turn = rng.uniform(0, 2 * math.pi) if rng.random() < 0.5 else rng.integers(0, 4) * math.pi / 2
            symbol(pen, name, at, turn, bool(rng.random() < 0.5), rng.uniform(*scale))
            truth.append(Truth(name, (float(at[0]), float(at[1]))))
    clutter(pen, truth, strokes, width, height, over)
    return pen.sheet(width, height), truth


@dataclass
class Score:
    right: int = 0
    queued: int = 0
    silent: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    extra_queue: int = 0
    why: Counter[str] = field(default_factory=Counter)


def score(result: Spotting, truth: Sequence[Truth], near: float = 3.0) -> Score:
    out = Score()
    at = np.array([s.at for s in result.symbols]).reshape(-1, 2)
    middle = np.array([s.footprint.centroid.coords[0] for s in result.symbols]).reshape(-1, 2)
    used = set()
    for t in truth:
        gap = np.hypot(*(at - t.at).T)
        mine = list(np.flatnonzero(gap < near)) or list(np.flatnonzero(np.hypot(*(middle - t.at).T) < 12))
        used.update(mine)
        good = [k for k in mine if result.symbols[k].found and result.symbols[k].entry.name == t.name]
        if good:
            out.right += 1
        elif any(not result.symbols[k].found for k in mine):
            out.queued += 1
            s = next(result.symbols[k] for k in mine if not result.symbols[k].found)
            out.why.update([f"{t.name} as {s.entry.name}: {'; '.join(s.reasons)}"])
        elif not mine:
            out.silent.append(f"{t.name} at {t.at[0]:.0f},{t.at[1]:.0f}")
        out.wrong += [f"{t.name} as {result.symbols[k].entry.name} at {t.at[0]:.0f},{t.at[1]:.0f}" for k in mine
                      if result.symbols[k].found and result.symbols[k].entry.name != t.name]  # fmt: skip
    for k, s in enumerate(result.symbols):
        if k not in used:
            if s.found:
                out.wrong.append(f"nothing as {s.entry.name} at {s.at[0]:.0f},{s.at[1]:.0f}")
            else:
                out.extra_queue += 1
    return out


def main() -> None:
    from cordpath.symbols import spot

    ask = argparse.ArgumentParser()
    ask.add_argument("--strokes", type=int, default=10_000)
    ask.add_argument("--sheets", type=int, default=2)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--style", choices=STYLES)
    ask.add_argument("--scale", type=float, nargs=2, default=(1.0, 1.0), help="range of drawn sizes")
    ask.add_argument("--allowed", type=float, nargs=2, default=(0.95, 1.05), help="scales of the mapping file")
    ask.add_argument("--why", action="store_true", help="print the reasons of doubtful symbols")
    given = ask.parse_args()
    rules = mapping(scales=tuple(given.allowed))
    for style in [given.style] if given.style else STYLES:
        for k in range(given.sheets):
            sheet, truth = random_sheet(style, given.strokes, given.seed + k, scale=tuple(given.scale))
            start = time.process_time()
            result = spot(sheet, rules, ())
            cpu = time.process_time() - start
            s = score(result, truth)
            n, found = len(truth), max(1, s.right + len(s.wrong))
            print(f"{style:10s} strokes {len(sheet.strokes):7d}  recall {s.right / n:.3f}  "
                  f"precision {s.right / found:.3f}  found or queued {(s.right + s.queued) / n:.3f}  "
                  f"silent {len(s.silent)}  queue besides {s.extra_queue}  CPU {cpu:.2f} s")  # fmt: skip
            for what in s.silent + s.wrong:
                print("   ", what)
            if given.why:
                for why, n in s.why.most_common():
                    print("   ", n, why)


if __name__ == "__main__":
    main()
