"""How well symbols of designs that nobody chose are found: each sheet has ten random designs of its own.

    python tests/benchmarks/random_designs.py [--start 1] [--count 8] [--strokes 3000] [--by shape] [--why]

A design is a body (a circle, a polygon, a pill, something solid, arcs) with a feature (bars, stems, a cross, a dot,
a pointer, a tail, a letter in it or beside it).  Six of the ten are receptacles and one a hardwired outlet, drawn
five times each at any turn among clutter; the writers of ``spotting_writers.py`` take turns.  ``--by legend``: the
mapping file names rows of a legend that is drawn on the sheet, in place of the shapes; ``--by picked``: boxes about
symbols of the plan.  ``--wide``: more bodies and features, and more forms of legends; ``--pairs``: five pairs that
one small thing tells apart; ``--sized``: sheets with symbols of 0.7 to 1.4 of their size.  *found*, *asked*, *told*
and *silent* as there; plain bodies are asked about by design, since their shapes alone are no evidence.
"""

from __future__ import annotations

import argparse
import math
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path
from random import Random

import numpy as np
import shapely

sys.path[:0] = [str(Path(__file__).parent)]

import spotting  # noqa: E402
import spotting_writers  # noqa: E402
from house_ink import Note, Paper  # noqa: E402
from random_marks import Design, designs, twins  # noqa: E402
from spotting_writers import Paperwork, Tally, judged, writers  # noqa: E402

from cordpath.geometry import lines  # noqa: E402
from cordpath.model import (  # noqa: E402
    Box,
    Drawing,
    Mapping,
    Mark,
    Picked,
    PolylineMark,
    Sheet,
    Spotting,
    SymbolEntry,
    TextMark,
)  # fmt: skip
from cordpath.symbols import gather_examples, spot  # noqa: E402
from cordpath.symbols.examples.examples import Examples  # noqa: E402
from cordpath.symbols.examples.likeness import outline  # noqa: E402

Move = Callable[[np.ndarray], np.ndarray]
ROWS = ("DUPLEX RECEPTACLE", "FLOOR BOX", "DEDICATED OUTLET", "QUAD RECEPTACLE", "SPECIAL OUTLET", "RANGE OUTLET",
        "JUNCTION BOX", "CEILING LIGHT", "WALL SWITCH", "SMOKE DETECTOR")  # fmt: skip
PER = 5
LEGEND = (2700.0, 300.0, 45.0)  # pt: the first sign of the legend, right of the plan, and from row to row
WIDTH = 3300.0  # pt of a sheet with a legend
COLUMN = 250.0  # pt from one column of a legend to the next
LARGER = 1.5  # times the plan's symbols: the samples of some legends
SIZES = (0.7, 1.4)  # at one of which a sheet's symbols are drawn
AROUND = 0.8  # pt of a picked box around its symbol
OFF = 10.0  # pt: the middle of what a legend shows may lie so far from the origin that it was drawn about
SMALL, LETTER = 5.5, 6.0  # pt of letters beside and in a symbol


def drawn(pen: spotting.Pen, mark: Mark, move: Move, split: bool, again: bool, scale: float, turn: float) -> None:
    """As the other benchmark draws marks; open polylines stay open, and letters have one size."""
    if isinstance(mark, TextMark):
        (x, y), large = move(np.array([mark.at]) * 72)[0], len(mark.value) == 1
        if not again:
            pen.text(mark.value, x, y, LETTER if large else SMALL)
    elif isinstance(mark, PolylineMark) and not mark.closed:
        points = move(np.array(mark.points) * 72)
        for a, b in pairwise(points):
            pen.line(a, b, split)
    else:
        _drawn(pen, mark, move, split, again, scale, turn)


_drawn = spotting._mark


@dataclass(frozen=True)
class Way:
    """How the designs are chosen and told to the tool."""

    by: str = "shape"
    wide: bool = False  # more bodies and features; legends in two columns
    pairs: bool = (
        False  # five pairs that one small thing tells apart, the second of each with a device that protects
    )
    sized: bool = False  # a sheet's symbols are drawn at 0.7 to 1.4 of their size; samples of legends are larger


@dataclass
class Drawings:
    """Where and how symbols were drawn."""

    size: float  # times that of the designs: a sheet is plotted at one size
    made: list[tuple[str, Move]] = field(default_factory=list)

    def symbol(self, pen: spotting.Pen, name: str, at: np.ndarray, turn: float, mirror: bool, scale: float) -> None:
        scale *= self.size
        c, s = math.cos(turn), math.sin(turn)
        turned = scale * np.array([[c, -s], [s, c]]) @ np.diag([-1.0 if mirror else 1.0, 1.0])
        self.made.append((name, lambda p: np.reshape(p, (-1, 2)) @ turned.T + at))
        _symbol(pen, name, at, turn, mirror, scale)


_symbol = spotting.symbol


def with_legend(paper: Paper, mine: dict[str, Design], seed: int, way: Way) -> Paper:
    """A legend right of the plan, every other one in a ruled table."""
    pen = Paperwork("beziers", np.random.default_rng(seed))
    x, top, pitch = LEGEND
    larger = LARGER if way.sized else 1.0
    pitch *= larger
    rows = (len(mine) + 1) // 2 if way.wide and seed % 3 == 0 else len(mine)
    pen.text("ELECTRICAL LEGEND", x + 90, top - 30 * larger, 9)
    for k, (_, marks) in enumerate(mine.values()):
        here = np.array([x + COLUMN * (k // rows), top + pitch * (k % rows)])
        for mark in marks:
            drawn(pen, mark, lambda p, here=here: larger * np.reshape(p, (-1, 2)) + here, False, False, larger, 0.0)
        row = Note((0.0, float(here[1])), ROWS[k], 9.0)
        pen.items.append(replace(row, at=(float(here[0]) + 50 + row.width / 2, row.at[1])))
    if seed % 2:
        for left in np.arange(x, x + COLUMN * (len(mine) / rows), COLUMN):
            lines = [((left - 40, y), (left + 200, y)) for y in top - pitch / 2 + pitch * np.arange(rows + 1)]
            lines += [
                ((a, top - pitch / 2), (a, top + pitch * (rows - 0.5))) for a in (left - 40, left + 35, left + 200)
            ]
            for a, b in lines:
                pen.line(a, b)
    return replace(paper, width=WIDTH, items=[*paper.items, *pen.paper(WIDTH, paper.height).items])


def mapped(mine: dict[str, Design], way: Way, sheet: Sheet, drawings: Drawings) -> tuple[Mapping, Examples]:
    """The mapping file, and what its entries look like on the sheet."""
    entries = []
    for k, (name, (kind, marks)) in enumerate(mine.items()):
        protects = "device" if way.pairs and k % 2 and kind == "receptacle" else None
        entry = SymbolEntry(name, kind, protection=protects, scales=SIZES if way.sized else (0.95, 1.05))  # type: ignore[arg-type]
        if way.by == "picked":
            entries.append(replace(entry, picked=Picked(sheet.file, 1, _box(name, marks, sheet, drawings))))
        else:
            entries.append(replace(entry, legend=ROWS[k]) if way.by == "legend" else replace(entry, shape=marks))
    mapping = Mapping("random.yaml", Drawing(), tuple(entries))
    return mapping, gather_examples(
        mapping, {(sheet.file, 1): sheet}, sheet=sheet, read=spotting_writers.read_glyphs
    )


def _box(name: str, marks: tuple[Mark, ...], sheet: Sheet, drawings: Drawings) -> Box:
    """A box around the one of the symbols that is drawn with the least ink of others about it, and with the fewest
    of their letters: a person picks a clear one."""
    boxes = []
    for move in (move for each, move in drawings.made if each == name):
        points = [move(outline(mark) * 72) for mark in marks if not isinstance(mark, TextMark)]
        for mark in marks:
            if isinstance(mark, TextMark):
                half = SMALL * np.array([0.35 * len(mark.value) + 0.15, 0.6])
                points.append(move(np.array([mark.at]) * 72) + np.array([[-1], [1]]) * half)
        at = np.concatenate(points)
        low, high = at.min(0) - AROUND, at.max(0) + AROUND
        boxes.append((float(low[0]), float(low[1]), float(high[0]), float(high[1])))
    xy, words = lines(sheet.strokes.xy), shapely.box(*np.array([w.box for w in sheet.words]).reshape(-1, 4).T)

    def of_others(box: Box) -> tuple[int, float]:
        here = shapely.box(*box)
        ink = float(shapely.length(shapely.intersection(xy, here)).sum())
        return int(shapely.intersects(words, here).sum()), ink

    return min(boxes, key=of_others)


def tried(seed: int, strokes: int, way: Way) -> tuple[str, Tally]:
    """One sheet of one seed: the name of its writer, and what became of its symbols."""
    mine = twins(seed) if way.pairs else designs(seed, way.wide)
    for module in (spotting, spotting_writers):
        module.DESIGNS.clear()
        module.DESIGNS.update(mine)
    spotting._mark = drawn  # type: ignore[assignment]
    spotting_writers.ON_WALL = dict.fromkeys(list(mine)[:6], 16.0) if seed % 2 else {}
    spotting_writers.NEAR = 3.0 if way.by == "shape" else OFF
    name = list(writers())[seed % len(writers())]
    write, lettered = writers()[name]
    drawings = Drawings(Random(seed).uniform(*SIZES) if way.sized else 1.0)
    spotting_writers.symbol = drawings.symbol  # type: ignore[assignment]
    paper, truth = spotting_writers.plan(seed, strokes, PER)
    paper = with_legend(paper, mine, seed, way) if way.by == "legend" else paper
    tally = Tally()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.pdf"
        write(lettered(paper) if lettered else paper, path, Random(seed))
        sheet, found = understood(path, mine, way, drawings)
    plan = tuple(s for s in found.symbols if way.by != "legend" or s.at[0] < LEGEND[0] - 50)
    judged(replace(found, symbols=plan), truth, tally)
    tally.strokes = len(sheet.strokes)
    return name, tally


def understood(path: Path, mine: dict[str, Design], way: Way, drawings: Drawings) -> tuple[Sheet, Spotting]:
    sheet = spotting_writers.read_sheet(path, 1)
    view = spotting_writers.View("v1", "POWER PLAN", (0.0, 0.0, 2592.0, sheet.height))
    sheet = replace(sheet, views=(view,))
    rules, examples = mapped(mine, way, sheet, drawings)
    return sheet, spot(sheet, rules, (), examples, read=spotting_writers.read_glyphs)


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--start", type=int, default=1)
    ask.add_argument("--count", type=int, default=8)
    ask.add_argument("--strokes", type=int, default=3_000)
    ask.add_argument("--by", choices=("shape", "legend", "picked"), default="shape")
    ask.add_argument("--wide", action="store_true")
    ask.add_argument("--pairs", action="store_true")
    ask.add_argument("--sized", action="store_true")
    ask.add_argument("--why", action="store_true")
    given = ask.parse_args()
    way = Way(given.by, given.wide, given.pairs, given.sized)
    total: Counter[str] = Counter()
    print("| seed | writer | outlets | found | asked | told | silent | wrong |")
    print("| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: |")
    for seed in range(given.start, given.start + given.count):
        name, t = tried(seed, given.strokes, way)
        row = {"outlets": t.outlets, "found": t.found, "asked": t.asked, "told": t.told,
               "silent": len(t.silent), "wrong": len(t.wrong)}  # fmt: skip
        total.update(row)
        print(f"| {seed} | {name} | {' | '.join(map(str, row.values()))} |", flush=True)
        print("".join(f"      {what}\n" for what in (*t.silent, *t.wrong)), end="")
        if given.why:
            print("".join(f"      {count} {why}\n" for why, count in t.why.most_common()), end="")
    print(f"| all | | {' | '.join(map(str, total.values()))} |")


if __name__ == "__main__":
    main()
