"""How well symbols are found on random plans written by different PDF writers: the table of the README.

    python tests/benchmarks/spotting_writers.py [--strokes 10000] [--sheets 1] [--seed 1] [--writer NAME]
                                                [--crossed 0.1] [--why]

The designs and clutter are those of ``spotting.py``; here every outlet that stands on walls has its wall and, as
on a power plan, four of five have a circuit tag.  Each sheet goes through a PDF writer and is read from the file.
*found*: settled under the right name; *asked*: found, but left as a question; *told*: neither, but its place is
among the unexplained shapes; *silent*: none of them.  *Crossed*: outlets with ink of others in their body or over
their letters, of the clutter, a line or a word; *clear ones found*: the share of the rest.  CPU seconds are those
of spotting and of reading, and their ratio.
"""

from __future__ import annotations

import cordpath  # noqa: F401  # before numpy: it sets numpy to one thread, as in the program

# isort: split
import argparse
import importlib.util
import math
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random

import numpy as np
import shapely

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1] / "tools")]

from house_ink import Arc, Item, Note, Paper, Poly  # noqa: E402
from house_writers import WRITERS  # noqa: E402
from spotting import DESIGNS, Pen, Truth, clutter, mapping, symbol  # noqa: E402

from cordpath.model import FIXTURE_KINDS, OUTLET_KINDS, IntArray, Mapping, Sheet, Spotting, Symbol, View  # noqa: E402
from cordpath.sheet import read_glyphs, read_sheet  # noqa: E402
from cordpath.symbols import spot  # noqa: E402

SIZE = (2592.0, 1728.0)
# Outlets that stand on a wall: how far the wall's face is from the origin, pt of the design, on its wall side.
ON_WALL = {"simplex": 9.0, "duplex": 9.0, "duplex GFI": 9.0, "triplex": 9.0, "quad": 9.0, "half": 9.0}
WALL_SIDE = dict.fromkeys(ON_WALL, (1.0, 0.0))  # their bars run to the wall
TAGGED = 0.8
BODY = 9.0  # pt from the origin of an outlet's design to the ends of its bars
NEAR = 3.0  # pt between where a symbol is drawn and where it is found
MARKED = 14.0  # pt: a mark on an unexplained shape points to what is within
BLACK = (0.0, 0.0, 0.0)


@dataclass
class Paperwork(Pen):
    """The pen of the other benchmark, drawing on paper for a PDF writer: curves stay curves."""

    items: list[Item] = field(default_factory=list)
    others: list[int] = field(default_factory=list)  # those of ``items`` that others have drawn over symbols

    def _draw(self, item: Item) -> None:
        self.others += [len(self.items)] * self.by_others
        self.items.append(item)

    def poly(self, points: np.ndarray, curve: int = -1) -> None:
        self._draw(Poly(tuple((float(x), float(y)) for x, y in points)))
        self.count += len(points) - 1

    def arc(self, move, x: float, y: float, r: float, start: float, sweep: float) -> None:  # type: ignore[no-untyped-def]
        at = move(np.array([[x, y], *([x + r * math.cos(a), y + r * math.sin(a)] for a in (start, start + sweep / 3,
                            start + sweep))]))  # fmt: skip
        centre, spokes = at[0], at[1:] - at[0]
        radius = float(np.hypot(*spokes[0]))
        angle = np.degrees(np.arctan2(-spokes[:, 1], spokes[:, 0]))
        turns = (angle[1] - angle[0]) % 360 < 180  # counter-clockwise as seen
        size = math.degrees(abs(sweep))
        first = float(angle[0] if turns else angle[2] if size < 359.9 else angle[0])
        self._draw(Arc((float(centre[0]), float(centre[1])), radius, first, first + size))
        self.count += max(8, int(size / 15))

    def text(self, value: str, x: float, y: float, h: float, angle: float = 0.0, line: int | None = None) -> None:
        self._draw(Note((float(x), float(y)), value, h / 0.72))

    def paper(self, width: float, height: float) -> Paper:
        areas: list[Item] = [Poly(tuple(s.exterior.coords)[:-1], None, True, BLACK) for s in self.fills]
        return Paper(width, height, [*areas, *self.items])


def outlined(paper: Paper) -> Paper:
    """Letters as filled outlines of a font."""
    from matplotlib.textpath import TextPath

    items: list[Item] = []
    for item in paper.items:
        if not isinstance(item, Note):
            items.append(item)
            continue
        path = TextPath((0, 0), item.text, size=item.size)
        rings = [ring for ring in path.to_polygons() if len(ring) > 3]
        if not rings:
            continue
        (x0, y0), (x1, y1) = np.concatenate(rings).min(0), np.concatenate(rings).max(0)
        moved = [[(float(item.at[0] + x - (x0 + x1) / 2), float(item.at[1] - y + (y0 + y1) / 2)) for x, y in ring]
                 for ring in rings]  # fmt: skip
        areas = [shapely.Polygon(ring) for ring in moved]
        inside = [sum(a is not area and a.contains(area) for a in areas) % 2 > 0 for area in areas]
        holes = [ring for ring, hole in zip(moved, inside, strict=True) if hole]
        for ring, area, hole in zip(moved, areas, inside, strict=True):
            if hole:
                continue
            own = [h for h in holes if area.contains(shapely.Point(h[0]))]
            items.append(Poly(tuple(ring[:-1]), None, True, BLACK, tuple(tuple(h[:-1]) for h in own)))
    return replace_items(paper, items)


def stroked(paper: Paper) -> Paper:
    """Letters as single lines, as plotters draw them."""
    from lettering_fonts import hershey

    items: list[Item] = []
    for item in paper.items:
        if not isinstance(item, Note):
            items.append(item)
            continue
        glyphs = [hershey("futural", letter) for letter in item.text]
        size = 0.72 * item.size
        x = item.at[0] - size * sum(g.advance for g in glyphs if g) / 2
        for glyph in glyphs:
            if glyph is None:
                continue
            for a, b, c, d in glyph.xy.tolist():
                y = item.at[1] + size / 2
                items.append(Poly(((x + size * a, y + size * b), (x + size * c, y + size * d))))
            x += size * glyph.advance
    return replace_items(paper, items)


def replace_items(paper: Paper, items: list[Item]) -> Paper:
    return Paper(paper.width, paper.height, items, paper.blocks)


Writer = tuple[Callable[[Paper, Path, Random], None], Callable[[Paper], Paper] | None]


def writers() -> dict[str, Writer]:
    out: dict[str, Writer] = {name: (write, None) for name, write in WRITERS.items() if name != "matplotlib"}
    if importlib.util.find_spec("matplotlib"):
        out["matplotlib"] = (WRITERS["matplotlib"], None)
        out["outlined text"] = (WRITERS["pymupdf"], outlined)
    if importlib.util.find_spec("HersheyFonts"):
        out["plotter, stroked text"] = (WRITERS["plotter"], stroked)
    return out


def plan(seed: int, strokes: int, per: int = 10, crossed: float | None = None) -> tuple[Paper, list[Truth]]:
    """``crossed``: share of the symbols that the clutter may cross; None: as it falls."""
    rng = np.random.default_rng(seed)
    pen = Paperwork("beziers", rng)
    width, height = SIZE
    spots = [(x, y) for x in np.arange(120, width - 110, 95) for y in np.arange(120, height - 80, 95)]
    rng.shuffle(spots)
    truth: list[Truth] = []
    bodies: list[shapely.Geometry] = []
    for name in DESIGNS:
        for k in range(per):
            at = np.array(spots[len(truth)]) + rng.uniform(-12, 12, 2)
            turn = float(rng.uniform(0, 2 * math.pi) if rng.random() < 0.5 else rng.integers(0, 4) * math.pi / 2)
            mirror = bool(rng.random() < 0.5)
            first = len(pen.items)
            symbol(pen, name, at, turn, mirror, 1.0)
            own = [pen.items[n] for n in range(first, len(pen.items)) if n not in pen.others]
            bodies.append(_body(at, own))
            if name in ON_WALL:
                surroundings(pen, name, at, turn, mirror, k, len(truth))
            truth.append(Truth(name, (float(at[0]), float(at[1]))))
    drawn = len(pen.items)
    clutter(pen, truth, strokes, width, height, 0.1)
    others = np.r_[pen.others, drawn : len(pen.items)].astype(np.int64)
    if crossed is not None:
        others = keep_clear(bodies, pen, others, crossed)
    for k in np.unique(_crossings(bodies, [pen.items[k] for k in others])[0]):
        truth[k].crossed = True
    return pen.paper(width, height), truth


def _body(at: np.ndarray, own: Sequence[Item]) -> shapely.Geometry:
    """What others cross of a symbol: all that is drawn near its origin, and its letters."""
    letters = [_shape(item) for item in own if isinstance(item, Note)]
    return shapely.union_all([shapely.Point(at).buffer(BODY), *letters])


def keep_clear(bodies: Sequence[shapely.Geometry], pen: Paperwork, others: IntArray, share: float) -> IntArray:
    """Takes away what others have drawn across all symbols but a share of them; what is left of the others."""
    symbol_index, item = _crossings(bodies, [pen.items[k] for k in others])
    may_be = pen.rng.random(len(bodies)) < share
    gone = np.zeros(len(pen.items), bool)
    gone[others[item[~may_be[symbol_index]]]] = True
    left = np.cumsum(~gone) - 1
    pen.items = [each for each, off in zip(pen.items, gone, strict=True) if not off]
    return np.asarray(left[others[~gone[others]]], np.int64)


def _crossings(bodies: Sequence[shapely.Geometry], items: Sequence[Item]) -> tuple[np.ndarray, np.ndarray]:
    """Pairs of symbols and items that cross their bodies, by number."""
    shapes = np.array([_shape(item) for item in items], object)
    symbol_index, item = shapely.STRtree(shapes).query(np.array(bodies, object), predicate="intersects")
    return symbol_index, item


def _shape(item: Item) -> shapely.Geometry:
    if isinstance(item, Note):
        wide, high = item.width / 2, 0.36 * item.size
        return shapely.box(item.at[0] - wide, item.at[1] - high, item.at[0] + wide, item.at[1] + high)
    return shapely.LineString(item.points if isinstance(item, Poly) else item.chords(24))


def surroundings(pen: Paperwork, name: str, at: np.ndarray, turn: float, mirror: bool, k: int, n: int) -> None:
    """The two faces of the wall that the outlet stands on, and its circuit tag."""
    away = np.array([math.cos(turn), math.sin(turn)]) * (-1 if mirror else 1)
    along = np.array([-away[1], away[0]])
    low, high = pen.rng.uniform(12, 40, 2)
    for deep in (0.0, 5.0):
        face = at + away * (ON_WALL[name] + deep)
        pen.line(face - along * low, face + along * high)
    if (k + 1) % 5:
        side = at - away * 17 + along * pen.rng.uniform(-6, 6)
        pen.text(f"A-{n % 42 + 1}", side[0], side[1], 6)


@dataclass
class Tally:
    outlets: int = 0
    found: int = 0
    crossed: int = 0
    found_crossed: int = 0
    asked: int = 0
    told: int = 0
    silent: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    fixtures: int = 0
    fixtures_found: int = 0
    why: Counter[str] = field(default_factory=Counter)
    strokes: int = 0
    spotting: float = 0.0
    reading: float = 0.0


def rules() -> Mapping:
    plain = mapping()
    entries = tuple(replace(e, wall_side=WALL_SIDE.get(e.name)) for e in plain.symbols)
    return replace(plain, symbols=entries)


def tried(path: Path, truth: Sequence[Truth], t: Tally) -> None:
    start = time.process_time()
    sheet: Sheet = read_sheet(path, 1)
    t.reading += time.process_time() - start
    view = View("v1", "POWER PLAN", (0.0, 0.0, sheet.width, sheet.height))
    sheet = replace(sheet, views=(view,), regions=())
    start = time.process_time()
    result = spot(sheet, rules(), (), read=read_glyphs)
    t.spotting += time.process_time() - start
    t.strokes += len(sheet.strokes)
    judged(result, truth, t)


def judged(result: Spotting, truth: Sequence[Truth], t: Tally) -> None:
    marks = np.array([p for rest in result.unexplained for p in rest.at]).reshape(-1, 2)
    kinds = {name: design[0] for name, design in DESIGNS.items()}
    used: set[int] = set()
    for wanted in truth:
        here = _here(result.symbols, wanted)
        good = any(result.symbols[k].found and result.symbols[k].entry.name == wanted.name for k in here)
        false = [k for k in here if result.symbols[k].found and result.symbols[k].entry.name != wanted.name]
        used.update(here)
        place = f"{wanted.name} at {wanted.at[0]:.0f},{wanted.at[1]:.0f}"
        t.wrong += [f"{place} as {result.symbols[k].entry.name}" for k in false
                    if kinds[wanted.name] in OUTLET_KINDS or result.symbols[k].is_outlet]  # fmt: skip
        if kinds[wanted.name] in FIXTURE_KINDS:
            t.fixtures += 1
            t.fixtures_found += good
        if kinds[wanted.name] not in OUTLET_KINDS:
            continue
        t.outlets += 1
        t.crossed += wanted.crossed
        t.found_crossed += good and wanted.crossed
        if good:
            t.found += 1
        elif here and not false:
            t.asked += 1
            s = result.symbols[here[0]]
            t.why[f"{wanted.name} as {s.entry.name}: {'; '.join(s.reasons)}"] += 1
        elif len(marks) and float(np.hypot(*(marks - wanted.at).T).min()) < MARKED:
            t.told += 1
            t.why[f"{wanted.name}: unexplained"] += 1
        else:
            t.silent.append(place)
    t.wrong += [f"nothing as {s.entry.name} at {s.at[0]:.0f},{s.at[1]:.0f}" for k, s in enumerate(result.symbols)
                if k not in used and s.found and s.is_outlet]  # fmt: skip


def _here(symbols: Sequence[Symbol], wanted: Truth) -> list[int]:
    return [k for k, s in enumerate(symbols) if math.dist(s.at, wanted.at) < NEAR
            or math.dist(s.footprint.centroid.coords[0], wanted.at) < 2 * NEAR]  # fmt: skip


def row(name: str, t: Tally) -> str:
    sure, clear = max(1, t.found + len(t.wrong)), t.found - t.found_crossed
    return (f"| {name} | {t.strokes} | {t.found / t.outlets:.3f} | {t.found / sure:.3f} "
            f"| {(t.found + t.asked + t.told) / t.outlets:.3f} | {len(t.silent)} "
            f"| {t.fixtures_found / t.fixtures:.3f} | {t.crossed} of {t.outlets} "
            f"| {clear / max(1, t.outlets - t.crossed):.3f} "
            f"| {t.spotting:.1f} | {t.reading:.1f} | {t.spotting / t.reading:.2f} |")  # fmt: skip


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--strokes", type=int, default=10_000)
    ask.add_argument("--sheets", type=int, default=1)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--writer", choices=list(writers()))
    ask.add_argument("--crossed", type=float, help="share of the symbols that anything may cross (as it falls)")
    ask.add_argument("--why", action="store_true")
    given = ask.parse_args()
    print("| writer | strokes | outlets found | precision | found, asked or told | silent | fixtures found "
          "| crossed | clear ones found | spotting, CPU s | reading, CPU s | ratio |\n| --- | "
          + " | ".join(["---:"] * 11) + " |")  # fmt: skip
    for n, (name, (write, lettered)) in enumerate(writers().items()):
        if given.writer not in (None, name):
            continue
        t = Tally()
        for k in range(given.sheets):
            paper, truth = plan(given.seed + 100 * n + k, given.strokes, crossed=given.crossed)
            with tempfile.TemporaryDirectory() as folder:
                path = Path(folder) / "plan.pdf"
                write(lettered(paper) if lettered else paper, path, Random(given.seed + k))
                tried(path, truth, t)
        print(row(name, t), flush=True)
        for what in (*t.silent, *t.wrong):
            print("     ", what)
        if given.why:
            print("\n".join(f"      {count} {why}" for why, count in t.why.most_common()))


if __name__ == "__main__":
    main()
