"""Which fixtures of random houses are not found, why, and how near their edges are.

    python tests/benchmarks/fixture_losses.py [--count 24] [--start 1001] [--jobs 2] [--out DIR] [--list]

Prints recall by kind, writer and print, the causes of every loss, false fixtures, and the distance between the edge
that is measured to and the true one, in inches of the building.  The sheets are those of ``house_bench.py``.
"""

from __future__ import annotations

import argparse
import math
import re
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

sys.path.insert(0, str(Path(__file__).parent))

from house_bench import cases, table, write_house
from house_sheet import House

from cordpath.model import Scale, Spotting, Symbol
from cordpath.scale import prove_scales
from cordpath.sheet import read_sheet
from cordpath.symbols import load_mapping, spot

NEAR_PT = 18.0  # as in house_score.py


@dataclass
class Losses:
    wanted: Counter[tuple[str, str]] = field(default_factory=Counter)  # (heading, value)
    found: Counter[tuple[str, str]] = field(default_factory=Counter)
    doubted: Counter[tuple[str, str]] = field(default_factory=Counter)
    causes: Counter[str] = field(default_factory=Counter)
    false: Counter[str] = field(default_factory=Counter)
    edges_in: dict[str, list[float]] = field(default_factory=dict)
    said: list[str] = field(default_factory=list)
    seconds: float = 0.0

    def add(self, other: Losses) -> None:
        for name in ("wanted", "found", "doubted", "causes", "false"):
            getattr(self, name).update(getattr(other, name))
        for kind, errors in other.edges_in.items():
            self.edges_in.setdefault(kind, []).extend(errors)
        self.said += other.said
        self.seconds += other.seconds


def losses_of(seed: int, family: str, writer: str, folder: Path) -> Losses:
    house, path = write_house(seed, family, writer, folder)
    mapping = load_mapping(path.with_suffix(".yaml"))
    sheet = read_sheet(path, 1)
    scales = prove_scales(sheet, mapping.drawing)
    started = time.process_time()
    spotting = spot(sheet, mapping, scales)
    seconds = time.process_time() - started
    return compared(f"{seed}", house, writer, spotting, scales, seconds)


def compared(
    name: str, house: House, writer: str, spotting: Spotting, scales: tuple[Scale, ...], seconds: float
) -> Losses:
    """The fixtures of one sheet against the truth."""
    out = Losses(seconds=seconds)
    left = [s for s in spotting.symbols if s.is_fixture]
    for wanted in house.truth["views"][0]["fixtures"]:
        keys = [("kind", wanted["kind"]), ("writer", writer), ("print", house.style.print_), ("", "all")]
        out.wanted.update(keys)
        near = [s for s in left if math.dist(s.at, wanted["at"]) < NEAR_PT]
        near.sort(key=lambda s: (s.kind != wanted["kind"], not s.found, math.dist(s.at, wanted["at"])))
        place = f"{name} {writer} {house.style.print_}: {wanted['symbol']} in {wanted['room']} at {wanted['at']}"
        if not near:
            out.causes[f"{wanted['kind']}: nothing ({house.style.print_})"] += 1
            out.said.append(f"{place}: nothing")
            continue
        best = near[0]
        if best.kind == wanted["kind"] and best.found:
            out.found.update(keys)
            true = shapely.union_all([shapely.Polygon(ring) for ring in wanted["edge"]])
            _edges(out, wanted["kind"], best, true, scales)
        elif best.kind == wanted["kind"]:
            out.doubted.update(keys)
            said = "; ".join(re.sub(r"\d+%", "n%", r) for r in best.reasons) or "?"
            out.causes[f"{wanted['kind']}: {said} {best.rivals or ''}"] += 1
            out.said.append(f"{place}: {best.reasons} {best.rivals}")
        else:
            out.causes[f"{wanted['kind']}: read as {best.kind} found={best.found}"] += 1
            out.said.append(f"{place}: read as {best.entry.name} found={best.found} {best.reasons}")
        left.remove(best)
    for s in left:
        if s.found:
            out.false[s.kind] += 1
            out.said.append(f"{name} {writer}: FALSE {s.entry.name} at {s.at}")
    return out


def _edges(out: Losses, kind: str, symbol: Symbol, true: BaseGeometry, scales: tuple[Scale, ...]) -> None:
    """Largest distance between the two outlines."""
    scale = next((s for s in scales if s.view == symbol.view), None)
    if scale is None or scale.ratio is None or symbol.edge is None:
        return
    error = shapely.hausdorff_distance(
        shapely.segmentize(symbol.edge.boundary, 0.5), shapely.segmentize(true.boundary, 0.5)
    )
    out.edges_in.setdefault(kind, []).append(float(error) * scale.ratio / 72.0)


def _job(arguments: tuple[int, str, str, Path]) -> Losses:
    return losses_of(*arguments)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=24)
    parser.add_argument("--start", type=int, default=1001)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--writer")
    parser.add_argument("--out", type=Path)
    parser.add_argument("--list", action="store_true", help="print every loss")
    a = parser.parse_args()
    folder = a.out or Path(tempfile.mkdtemp())
    folder.mkdir(parents=True, exist_ok=True)
    jobs = [(*case, folder) for case in cases(a.start, a.count, a.writer)]
    total = Losses()
    with ProcessPoolExecutor(a.jobs, mp_context=get_context("spawn")) as pool:
        for one in pool.map(_job, jobs):
            total.add(one)
    _print(total, a.list)


def _print(total: Losses, every: bool) -> None:
    rows = [("", "wanted", "recall", "doubted", "nothing or other")]
    for key in sorted(total.wanted, key=lambda key: (key[0] == "", key)):
        n, found, doubted = total.wanted[key], total.found[key], total.doubted[key]
        rows.append((" ".join(key).strip(), str(n), f"{found / n:.3f}", str(doubted), str(n - found - doubted)))
    print(table(rows))
    print(f"\nfalse: {dict(total.false)}; CPU of spotting {total.seconds:.1f} s\n\ncauses")
    for cause, n in total.causes.most_common():
        print(f"{n:5d}  {cause}")
    rows = [("edge", "n", "median in", "p95 in", "most in")]
    for kind, errors in sorted(total.edges_in.items()):
        e = np.array(errors)
        rows.append((kind, str(len(e)), f"{np.median(e):.2f}", f"{np.percentile(e, 95):.2f}", f"{e.max():.2f}"))
    print(f"\n{table(rows)}")
    if every:
        print("\n" + "\n".join(total.said))


if __name__ == "__main__":
    main()
