"""How well symbols of designs that nobody chose are found: each sheet has ten random designs of its own.

    python tests/benchmarks/random_designs.py [--start 1] [--count 8] [--strokes 3000] [--by shape] [--why]

A design is a body (a circle, a polygon, a pill, something solid, arcs) with a feature (bars, stems, a cross, a dot,
a pointer, a tail, a letter in it or beside it).  Six of the ten are receptacles and one a hardwired outlet, drawn
five times each at any turn among clutter; the writers of ``spotting_writers.py`` take turns.  ``--by legend``: the
mapping file names rows of a legend that is drawn on the sheet, in place of the shapes.  *found*, *asked*, *told*
and *silent* as there; plain bodies are asked about by design, since their shapes alone are no evidence.
"""

from __future__ import annotations

import argparse
import math
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from random import Random

import numpy as np

sys.path[:0] = [str(Path(__file__).parent)]

import spotting  # noqa: E402
import spotting_writers  # noqa: E402
from house_ink import Note, Paper  # noqa: E402
from spotting import PT, arc, circle, line, rect, text  # noqa: E402
from spotting_writers import Paperwork, Tally, judged, writers  # noqa: E402

from cordpath.model import Drawing, Mapping, Mark, PolylineMark, Sheet, Spotting, SymbolEntry, TextMark  # noqa: E402
from cordpath.symbols import gather_examples, spot  # noqa: E402

Design = tuple[str, tuple[Mark, ...]]  # kind and marks
Move = Callable[[np.ndarray], np.ndarray]
KINDS = (*["receptacle"] * 6, "hardwired outlet", "light", "switch", "other")
ROWS = ("DUPLEX RECEPTACLE", "FLOOR BOX", "DEDICATED OUTLET", "QUAD RECEPTACLE", "SPECIAL OUTLET", "RANGE OUTLET",
        "JUNCTION BOX", "CEILING LIGHT", "WALL SWITCH", "SMOKE DETECTOR")  # fmt: skip
BODIES = ("circle", "circle", "square", "diamond", "octagon", "star", "two squares", "crossed box", "pill", "arcs",
          "solid disc", "solid triangle", "solid square", "open box", "solid half")  # fmt: skip
FEATURES = ("bars", "stems", "inner lines", "cross", "dot", "two dots", "solid corner", "pointer", "tail", "tick",
            "letter in it", "letters beside", "nothing")  # fmt: skip
OUTSIDE = ("bars", "stems", "pointer", "tail", "tick", "letters beside", "nothing")  # seen beside what is solid
PER = 5
LEGEND = (2700.0, 300.0, 45.0)  # pt: the first sign of the legend, right of the plan, and from row to row
WIDTH = 3100.0  # pt of a sheet with a legend
OFF = 10.0  # pt: the middle of what a legend shows may lie so far from the origin that it was drawn about
SMALL, LETTER = 5.5, 6.0  # pt of letters beside and in a symbol


def ring(sides: int, radius: float, first: float = 0.0) -> list[tuple[float, float]]:
    angles = [math.radians(first) + k * 2 * math.pi / sides for k in range(sides)]
    return [(radius * math.cos(a), radius * math.sin(a)) for a in angles]


def polyline(points: Sequence[tuple[float, float]], closed: bool = True, filled: bool = False) -> PolylineMark:
    return PolylineMark(tuple((x * PT, y * PT) for x, y in points), closed=closed, filled=filled)


def body(name: str, q: float) -> tuple[Mark, ...]:
    """Marks about the origin, ``q`` pt large."""
    star = [(r * math.cos(k * math.pi / 5), r * math.sin(k * math.pi / 5)) for k, r in enumerate([q, 0.45 * q] * 5)]
    half = [(q * math.cos(a), -q * math.sin(a)) for a in np.linspace(0, math.pi, 16)]
    made: dict[str, tuple[Mark, ...]] = {
        "circle": (circle(0, 0, q),),
        "square": (rect(1.8 * q, 1.8 * q),),
        "diamond": (polyline(ring(4, q)),),
        "octagon": (polyline(ring(8, q, 22.5)),),
        "star": (polyline(star),),
        "two squares": (rect(2 * q, 2 * q), rect(1.2 * q, 1.2 * q)),
        "crossed box": (rect(2 * q, 1.2 * q), line(-q, -0.6 * q, q, 0.6 * q)),
        "pill": (line(-0.6 * q, -0.5 * q, 0.6 * q, -0.5 * q), line(-0.6 * q, 0.5 * q, 0.6 * q, 0.5 * q),
                 arc(0.6 * q, 0, 0.5 * q, 270, 90), arc(-0.6 * q, 0, 0.5 * q, 90, 270)),
        "arcs": (arc(0, 0, q, 20, 160), arc(0, 0, 0.6 * q, 20, 160)),
        "solid disc": (polyline(ring(24, 0.7 * q), filled=True),),
        "solid triangle": (polyline(ring(3, q), filled=True),),
        "solid square": (polyline(ring(4, q, 45), filled=True),),
        "open box": (polyline([(-q, -0.7 * q), (-q, 0.7 * q), (q, 0.7 * q), (q, -0.7 * q)], closed=False),),
        "solid half": (arc(0, 0, q, 180, 360), polyline(half, filled=True)),
    }  # fmt: skip
    return made[name]


def feature(name: str, q: float, rng: Random) -> tuple[Mark, ...]:
    count = rng.randint(1, 3)
    at = [(k - (count - 1) / 2) * 0.6 * q for k in range(count)]
    made: dict[str, tuple[Mark, ...]] = {
        "bars": tuple(line(-1.5 * q, y, 1.5 * q, y) for y in at),
        "stems": tuple(line(0.95 * q, y, 1.6 * q, y) for y in at),
        "inner lines": tuple(line(-0.5 * q, y, 0.5 * q, y) for y in at),
        "cross": (line(-0.6 * q, -0.6 * q, 0.6 * q, 0.6 * q), line(-0.6 * q, 0.6 * q, 0.6 * q, -0.6 * q)),
        "dot": (polyline(ring(16, 0.3 * q), filled=True),),
        "two dots": tuple(
            polyline([(x + dx, y) for x, y in ring(12, 0.18 * q)], filled=True) for dx in (0, 0.5 * q)
        ),
        "solid corner": (polyline([(-0.6 * q, -0.6 * q), (0.6 * q, -0.6 * q), (-0.6 * q, 0.6 * q)], filled=True),),
        "pointer": (polyline([(1.05 * q, -0.4 * q), (1.7 * q, 0), (1.05 * q, 0.4 * q)], filled=True),),
        "tail": (polyline([(q, 0), (1.3 * q, 0.3 * q), (1.6 * q, -0.3 * q), (1.9 * q, 0)], closed=False),),
        "tick": (line(-0.2 * q, -1.3 * q, 0.2 * q, -0.8 * q),),
        "letter in it": (text(rng.choice("GRDFTCMHX"), 0, 0),),
        "letters beside": (text(rng.choice(["WP", "GFI", "C", "D", "IG"]), 0, -1.9 * q),
                           line(-1.5 * q, 0, 1.5 * q, 0)),
        "nothing": (),
    }  # fmt: skip
    return made[name]


def designs(seed: int) -> dict[str, Design]:
    """Ten designs, no two of one body with one feature."""
    rng = Random(seed)
    q = rng.choice([4.5, 5, 6, 7, 9])
    out: dict[str, Design] = {}
    while len(out) < len(KINDS):
        one, other = rng.choice(BODIES), rng.choice(FEATURES)
        hidden = one.startswith("solid") and other not in OUTSIDE
        if not hidden and f"{one} with {other}" not in out:
            out[f"{one} with {other}"] = (KINDS[len(out)], (*body(one, q), *feature(other, q, rng)))
    return out


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


def with_legend(paper: Paper, mine: dict[str, Design], seed: int) -> Paper:
    """A legend right of the plan, every other one in a ruled table."""
    pen = Paperwork("beziers", np.random.default_rng(seed))
    x, top, pitch = LEGEND
    pen.text("ELECTRICAL LEGEND", x + 90, top - 30, 9)
    for k, (_, marks) in enumerate(mine.values()):
        here = np.array([x, top + pitch * k])
        for mark in marks:
            drawn(pen, mark, lambda p, here=here: np.reshape(p, (-1, 2)) + here, False, False, 1.0, 0.0)
        row = Note((0.0, float(here[1])), ROWS[k], 9.0)
        pen.items.append(replace(row, at=(x + 50 + row.width / 2, row.at[1])))
    if seed % 2:
        lines = [((x - 40, y), (x + 260, y)) for y in top - pitch / 2 + pitch * np.arange(len(mine) + 1)]
        lines += [((a, top - pitch / 2), (a, top + pitch * (len(mine) - 0.5))) for a in (x - 40, x + 35, x + 260)]
        for a, b in lines:
            pen.line(a, b)
    return replace(paper, width=WIDTH, items=[*paper.items, *pen.paper(WIDTH, paper.height).items])


def mapped(mine: dict[str, Design], by: str) -> Mapping:
    entries = [SymbolEntry(name, kind, legend=ROWS[k]) if by == "legend" else SymbolEntry(name, kind, shape=marks)
               for k, (name, (kind, marks)) in enumerate(mine.items())]  # type: ignore[arg-type]  # fmt: skip
    return Mapping("random.yaml", Drawing(), tuple(entries))


def tried(seed: int, strokes: int, by: str) -> tuple[str, Tally]:
    """One sheet of one seed: the name of its writer, and what became of its symbols."""
    mine = designs(seed)
    for module in (spotting, spotting_writers):
        module.DESIGNS.clear()
        module.DESIGNS.update(mine)
    spotting._mark = drawn  # type: ignore[assignment]
    spotting_writers.ON_WALL = dict.fromkeys(list(mine)[:6], 16.0) if seed % 2 else {}
    spotting_writers.NEAR = OFF if by == "legend" else 3.0
    rules = mapped(mine, by)
    name = list(writers())[seed % len(writers())]
    write, lettered = writers()[name]
    paper, truth = spotting_writers.plan(seed, strokes, PER)
    paper = with_legend(paper, mine, seed) if by == "legend" else paper
    tally = Tally()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plan.pdf"
        write(lettered(paper) if lettered else paper, path, Random(seed))
        sheet, found = understood(path, rules)
    plan = tuple(s for s in found.symbols if by == "shape" or s.at[0] < LEGEND[0] - 50)
    judged(replace(found, symbols=plan), truth, tally)
    tally.strokes = len(sheet.strokes)
    return name, tally


def understood(path: Path, rules: Mapping) -> tuple[Sheet, Spotting]:
    sheet = spotting_writers.read_sheet(path, 1)
    view = spotting_writers.View("v1", "POWER PLAN", (0.0, 0.0, 2592.0, sheet.height))
    sheet = replace(sheet, views=(view,))
    examples = gather_examples(rules, {}, sheet=sheet)
    return sheet, spot(sheet, rules, (), examples, read=spotting_writers.read_glyphs)


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--start", type=int, default=1)
    ask.add_argument("--count", type=int, default=8)
    ask.add_argument("--strokes", type=int, default=3_000)
    ask.add_argument("--by", choices=("shape", "legend"), default="shape")
    ask.add_argument("--why", action="store_true")
    given = ask.parse_args()
    total: Counter[str] = Counter()
    print("| seed | writer | outlets | found | asked | told | silent | wrong |")
    print("| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: |")
    for seed in range(given.start, given.start + given.count):
        name, t = tried(seed, given.strokes, given.by)
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
