"""Is any outlet ever found under the name of its near twin because of what is drawn beside it?

    python tests/benchmarks/twins.py [--cases 400] [--seed 1] [--ratio 48] [--style loose] [--print 0.5] [--list]

Every outlet of the ready mapping files is drawn, and beside it something of a plan so placed that one of its
strokes may pass for a mark that another outlet of the file has more: a wall, a counter, a fixture, a dimension, a
grid line, a wire, hatch, a door, a letter, a solid wall.  Wrong names must be none; questions are counted.
"""

from __future__ import annotations

import argparse
import math
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

import numpy as np
import shapely
from spotting import STYLES, Pen

from cordpath.model import OUTLET_KINDS, Mapping, Scale, Sheet, SymbolEntry
from cordpath.sheet import read_glyphs
from cordpath.symbols import load_mapping, spot
from cordpath.symbols.templates.marks import Drawn, draw

CONFIGS = Path(__file__).parents[2] / "configs"
FILES = ("receptacle-bars-and-letters", "receptacle-lines-through", "receptacle-lines-to-wall")
CELL = 220.0  # pt between cases
MISPLACED = 0.3  # pt: how far the neighbour's stroke may miss the place of the twin's mark
RATIOS = (96.0, 64.0, 48.0, 50.0, 100.0)
NEIGHBOURS = (
    "wall", "solid wall", "counter", "fixture", "cabinet", "dimension", "grid line", "wire", "hatch", "door",
    "window", "letter", "tag", "stair", "none",
)  # fmt: skip
Lines = list[np.ndarray]  # polylines, (k, 2) each


@dataclass
class Case:
    entry: str
    twin: str
    beside: str
    at: tuple[float, float]


@dataclass
class Tally:
    right: int = 0
    either: int = 0
    asked: int = 0
    lost: int = 0
    wrong: list[str] = field(default_factory=list)
    phantom: list[str] = field(default_factory=list)
    why: Counter[str] = field(default_factory=Counter)
    beside: Counter[str] = field(default_factory=Counter)
    seconds: float = 0.0

    @property
    def all(self) -> int:
        return self.right + self.either + self.asked + self.lost + len(self.wrong)


def ring(x0: float, y0: float, x1: float, y1: float) -> np.ndarray:
    return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)], float)


def fixture_lines(entry: SymbolEntry, ratio: float) -> Lines:
    drawn = draw(entry.shape or (), 72.0 / ratio)
    xy, _ = drawn.chords()
    return [row.reshape(2, 2) for row in xy]


def neighbour(kind: str, length: float, ratio: float, mapping: Mapping, rng: np.random.Generator) -> Lines:
    """What may stand beside an outlet, its first polyline being the one that passes for a mark of ``length`` pt."""
    foot = 864.0 / ratio
    if kind in ("wall", "window"):
        t = rng.choice([3.5, 5.5]) / 12 * foot
        n = min(rng.uniform(2, 12) * foot, 90.0)
        start = rng.choice([-n / 2, -0.5, 0.0, 0.5])
        rows = [np.array([(start, y), (start + n, y)]) for y in (0, t)]
        if kind == "window":
            rows = [np.array([(start, y), (start + 3 * foot, y)]) for y in (0, t / 2, t)]
            rows += [np.array([(start, 0), (start, t)]), np.array([(start + 3 * foot, 0), (start + 3 * foot, t)])]
        return rows
    if kind == "counter":
        n = rng.uniform(0.8, 1.1) * length if rng.random() < 0.5 else rng.uniform(1, 6) * foot
        return [np.array([(0, 0), (n, 0)]), np.array([(n, 0), (n, -4 * foot)])]
    if kind == "cabinet":
        n = length * rng.uniform(0.85, 1.15)
        box = ring(0, 0, n, rng.choice([-1, 1]) * rng.uniform(0.5, 3) * foot)
        return [np.array(pair) for pair in pairwise(box)]
    if kind == "stair":
        tread = 0.9 * foot
        return [np.array([(0, k * tread), (length * rng.uniform(1, 1.3), k * tread)]) for k in range(8)]
    if kind == "fixture":
        chosen = [e for e in mapping.symbols if e.size == "real" and e.shape]
        rows = fixture_lines(chosen[rng.integers(len(chosen))], ratio)
        sizes = np.array([np.hypot(*(r[1] - r[0])) for r in rows])
        fit = np.flatnonzero(sizes > 0.6 * length)
        first = int(rng.choice(fit)) if len(fit) else int(np.argmax(sizes))
        return [rows[first], *rows[:first], *rows[first + 1 :]]
    if kind == "dimension":
        n = min(rng.uniform(2, 8) * foot, 90.0)
        return [np.array([(0, 0), (n, 0)]), *(np.array([(x - 2, 2), (x + 2, -2)]) for x in (0.0, n)),
                *(np.array([(x, -6), (x, 14)]) for x in (0.0, n))]  # fmt: skip
    if kind == "grid line":
        return [np.array([(-48.0, 0.0), (48.0, 0.0)])]
    if kind == "wire":
        a = np.linspace(0, 0.9, 24)
        r = rng.uniform(40, 120)
        return [np.c_[r * np.sin(a), r * (1 - np.cos(a))]]
    if kind == "hatch":
        gap = rng.uniform(1.6, 5)
        return [np.array([(-20, k * gap), (rng.choice([-4.0, 20.0]) + length, k * gap)]) for k in range(14)]
    if kind == "door":
        r = rng.uniform(2.3, 3) * foot
        a = np.linspace(0, math.pi / 2, 20)
        return [np.array([(0, 0), (r, 0)]), np.c_[r * np.cos(a), r * np.sin(a)]]
    return []


def shifted(rows: Lines, mark: np.ndarray, rng: np.random.Generator, scale: float) -> Lines:
    """The first stroke is laid on the mark (4,): along it, with one end on one of its ends, or anywhere over it."""
    if not rows:
        return rows
    first = rows[0]
    way = rng.integers(2)
    p, q = (first[0], first[1]) if way else (first[-1], first[-2])
    a, b = (mark[:2], mark[2:]) if rng.random() < 0.5 else (mark[2:], mark[:2])
    turn = math.atan2(*(b - a)[::-1]) - math.atan2(*(q - p)[::-1])
    c, s = math.cos(turn), math.sin(turn)
    unit = (b - a) / np.hypot(*(b - a))
    slide = rng.choice([0.0, -rng.uniform(0, 8), rng.uniform(-0.6, 0.6)])
    miss = rng.normal(0, MISPLACED * min(scale, 1.0) / 2)
    to = a + unit * slide + np.array([-unit[1], unit[0]]) * miss
    return [(row - p) @ np.array([[c, s], [-s, c]]) + to for row in rows]


def extra_marks(one: Drawn, other: Drawn) -> np.ndarray:
    """(k, 4) lines that the other has and the one has not."""
    if not len(other.lines):
        return other.lines
    xy, _ = one.chords()
    mine = shapely.MultiLineString([row.reshape(2, 2).tolist() for row in xy]) if len(xy) else shapely.Point(99, 99)
    far = [
        shapely.LineString(row.reshape(2, 2)).interpolate(0.5, normalized=True).distance(mine) > 0.8
        for row in other.lines
    ]
    return other.lines[np.array(far, bool)]


def put(pen: Pen, drawn: Drawn, scale: float, move) -> None:  # type: ignore[no-untyped-def]
    filled = set(drawn.filled.tolist())
    for k, row in enumerate(drawn.lines):
        if k not in filled:
            a, b = move(row.reshape(2, 2))
            pen.line(a, b, bool(pen.rng.random() < 0.2))
    for x, y, r, start, end in drawn.arcs:
        pen.arc(move, x, y, r, start, end - start)
    for ring_ in drawn.fills:
        pen.fills.append(shapely.Polygon(move(ring_)))
    for value, x, y in drawn.texts:
        at = move(np.array([[x, y]]))[0]
        pen.text(value, at[0], at[1], 5.0 * scale)


def sheet_of(
    mapping: Mapping, count: int, seed: int, ratio: float, style: str, print_: float
) -> tuple[Sheet, list[Case]]:
    """``print_``: size of the print over the plot."""
    rng = np.random.default_rng(seed)
    pen = Pen(style, rng)
    outlets = [e for e in mapping.symbols if e.kind in OUTLET_KINDS and e.size == "plotted"]
    drawings = {e.name: draw(e.shape or (), 72.0) for e in outlets}
    columns = math.ceil(math.sqrt(count * 1.5))
    cases = []
    for k in range(count):
        entry = outlets[rng.integers(len(outlets))]
        twins = [(e, extra_marks(drawings[entry.name], drawings[e.name])) for e in outlets if e is not entry]
        twins = [(e, lines) for e, lines in twins if len(lines)]
        twin, lines = twins[rng.integers(len(twins))]
        mark = lines[rng.integers(len(lines))]
        kind = str(rng.choice(NEIGHBOURS))
        scale = float(rng.uniform(0.95, 1.1)) * print_
        at = np.array([CELL * (k % columns + 1), CELL * (k // columns + 1)], float)
        turn = rng.uniform(0, 2 * math.pi) if rng.random() < 0.4 else rng.integers(4) * math.pi / 2
        c, s = math.cos(turn), math.sin(turn)

        def move(
            points: np.ndarray, scale: float = scale, at: np.ndarray = at, c: float = c, s: float = s
        ) -> np.ndarray:
            return scale * np.asarray(points, float).reshape(-1, 2) @ np.array([[c, s], [-s, c]]) + at

        put(pen, drawings[entry.name], scale, move)
        beside(pen, kind, mark, scale, ratio / print_, mapping, move)
        cases.append(Case(entry.name, twin.name, kind, (float(at[0]), float(at[1]))))
    side = CELL * (columns + 1)
    return pen.sheet(side, CELL * (count // columns + 2)), cases


def beside(pen: Pen, kind: str, mark: np.ndarray, scale: float, ratio: float, mapping: Mapping, move) -> None:  # type: ignore[no-untyped-def]
    rng = pen.rng
    placed = move(mark.reshape(2, 2)).ravel()
    length = float(np.hypot(*(placed[2:] - placed[:2])))
    middle = (placed[:2] + placed[2:]) / 2
    if kind == "letter":
        at = middle + rng.normal(0, 4, 2)
        pen.text(str(rng.choice(list("GRDCJWSX23"))), at[0], at[1], 5.0 * scale)
    elif kind == "tag":
        at = middle + rng.normal(0, 9, 2)
        pen.text(
            str(rng.choice(["A-12", "GFI", "WP", "REF", "DW", '+42"', "D", "R", "7"])), at[0], at[1], 5 * scale
        )
    elif kind == "solid wall":
        t = 4.5 / 12 * 864 / ratio
        away = rng.uniform(-6, 10)
        angle = rng.integers(4) * math.pi / 2 + rng.normal(0, 0.01)
        c, s = math.cos(angle), math.sin(angle)
        box = np.array([(-50, away), (50, away), (50, away + t), (-50, away + t)]) @ np.array([[c, s], [-s, c]])
        pen.fills.append(shapely.Polygon(box + move(np.zeros((1, 2)))[0]))
    else:
        for row in shifted(neighbour(kind, length, ratio, mapping, rng), mark=placed, rng=rng, scale=scale):
            pen.poly(row)


def tried(mapping: Mapping, sheet: Sheet, cases: Sequence[Case], ratio: float, near: float = 6.0) -> Tally:
    out = Tally()
    scale = Scale("v1", ratio, "note", "scale", "proved")
    start = time.process_time()
    symbols = [
        s
        for s in spot(sheet, mapping, (scale,), read=read_glyphs).symbols
        if s.is_outlet or s.kind in ("light", "other")
    ]
    out.seconds = time.process_time() - start
    at = np.array([s.at for s in symbols]).reshape(-1, 2)
    seen: set[int] = set()
    for case in cases:
        mine = np.flatnonzero(np.hypot(*(at - case.at).T) < near).tolist()
        seen |= set(mine)
        wrong = [symbols[k] for k in mine if symbols[k].found and symbols[k].entry.name != case.entry]
        either = [s for s in wrong if case.entry in s.rivals]  # twins that are the same to the rules
        wrong = [s for s in wrong if case.entry not in s.rivals]
        good = any(symbols[k].found and symbols[k].entry.name == case.entry for k in mine)
        if wrong:
            place = f"{case.at[0]:.0f},{case.at[1]:.0f}"
            out.wrong.append(
                f"{case.entry} beside {case.beside} (for {case.twin}) found as {wrong[0].entry.name} at {place}"
            )
        elif good:
            out.right += 1
        elif either:
            out.either += 1
        elif mine:
            out.asked += 1
            out.beside[case.beside] += 1
            s = symbols[mine[0]]
            out.why[f"{case.entry} as {s.entry.name}: {'; '.join(s.reasons)}"] += 1
        else:
            out.lost += 1
            out.why[f"{case.entry} beside {case.beside}: nothing"] += 1
    out.phantom = [f"{s.entry.name} at {s.at[0]:.0f},{s.at[1]:.0f}" for k, s in enumerate(symbols)
                   if s.found and k not in seen and s.is_outlet]  # fmt: skip
    return out


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--cases", type=int, default=400, help="on each sheet")
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--ratio", type=float, help="48 for 1/4 in = 1 ft; all when left out")
    ask.add_argument("--style", choices=STYLES)
    ask.add_argument("--print", dest="print_", type=float, default=1.0, help="size of the print over the plot")
    ask.add_argument("--list", action="store_true")
    given = ask.parse_args()
    wrong = phantom = 0
    for name in FILES:
        mapping = load_mapping(CONFIGS / f"{name}.yaml")
        for k, ratio in enumerate([given.ratio] if given.ratio else RATIOS):
            style = given.style or STYLES[(given.seed + k) % len(STYLES)]
            sheet, cases = sheet_of(mapping, given.cases, given.seed + 10 * k, ratio, style, given.print_)
            t = tried(mapping, sheet, cases, ratio / given.print_)
            wrong, phantom = wrong + len(t.wrong), phantom + len(t.phantom)
            print(f"{name:28s} 1:{ratio:<4g} {style:10s} right {t.right / t.all:.3f}  either {t.either}  "
                  f"asked {t.asked / t.all:.3f}  "
                  f"lost {t.lost}  WRONG {len(t.wrong)}  phantom {len(t.phantom)}  CPU {t.seconds:.1f} s",
                  flush=True)  # fmt: skip
            if given.list:
                print("\n".join(f"    {line}" for line in (*t.wrong, *t.phantom)))
                print("\n".join(f"    {n} {line}" for line, n in t.why.most_common(12)))
                print("   ", dict(t.beside))
    print(f"wrong names {wrong}, outlets where none is {phantom}")


if __name__ == "__main__":
    main()
