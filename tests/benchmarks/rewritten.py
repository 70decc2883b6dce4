"""One drawing, its PDF rewritten in ways that change nothing that is seen: the verdicts must be the same.

    python tests/benchmarks/rewritten.py [--seeds 1 2 3] [--way NAME ...] [--verdicts] [--jobs 2] [--out DIR] [-v]
                                         [--list]

Each seed gives a random house (`house_sheet`), written once plainly and once in every way.  What is read of the two
is compared: places of ink and words (about a second a file).  With ``--verdicts`` the whole chain runs (some ten
seconds a file), and against the plain sheet are counted: outlets *lost* with no place in ``unexplained``, *silent*
passes, verdicts *changed* from one settled one to another, verdicts that are *asked* now, *extra* outlets; a sheet
that is refused says why.  In some ways the paper shows what no reader of vectors can read (symbols as pictures):
there the sheet has to say so.
"""

from __future__ import annotations

import argparse
import math
import sys
import tempfile
import traceback
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from multiprocessing import get_context
from pathlib import Path
from random import Random
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from house_bench import write_house
from house_ink import shrunk
from house_plan import FAMILIES
from house_score import CLEARED, _match
from house_sheet import make_house
from house_truth import EDITIONS
from rewritten_reading import difference
from rewritten_ways import WAYS, Way

from cordpath.check import judge_file, understand
from cordpath.errors import unreadable
from cordpath.model import Mapping, Reading
from cordpath.rules import load_edition
from cordpath.sheet import read_sheet
from cordpath.symbols import load_mapping

MARKED = 14.0  # pt from a lost outlet to the place that is told of it


@dataclass
class Read:
    """What came of one file."""

    verdicts: list[dict[str, str] | None] = field(default_factory=list)  # of each outlet of truth
    extra: int = 0
    marked: list[bool] = field(default_factory=list)
    said: tuple[str, ...] = ()
    refused: str = ""


@dataclass
class Change:
    seed: int
    way: str
    lost: int = 0
    marked: int = 0
    silent: int = 0
    changed: int = 0
    asked: int = 0
    settled: int = 0
    extra: int = 0
    refused: str = ""
    untold: bool = False
    said: list[str] = field(default_factory=list)

    @property
    def bad(self) -> bool:
        return bool(self.lost or self.silent or self.changed or self.untold or self.extra)


def read(path: Path, truth: dict[str, Any], mapping: Mapping) -> Read:
    try:
        readings = {1: understand(path, 1, mapping)}
        results = {year: judge_file(path.name, readings, load_edition(year))[0] for year in EDITIONS}
    except Exception as error:
        return Read(refused=unreadable(error).what)
    reading = next(iter(results.values())).reading
    if reading is None:
        return Read(refused=f"not checked: {next(iter(results.values())).why}")
    return _compared(truth, reading, results)


def _compared(truth: dict[str, Any], reading: Reading, results: dict[str, Any]) -> Read:
    (view,) = truth["views"]
    marks = [p for item in reading.unexplained for p in item.at]
    out = Read(said=reading.sheet.assumptions)
    pairs = _match(view["outlets"], reading)
    out.extra = len(reading.outlets) - sum(got is not None for _, got in pairs)
    for wanted, got in pairs:
        out.marked.append(any(math.dist(p, wanted["at"]) < MARKED for p in marks))
        out.verdicts.append(None if got is None else {e: results[e].findings[got].verdict for e in EDITIONS})
    return out


def change(seed: int, way: Way, truth: dict[str, Any], plain: Read, now: Read) -> Change:
    out = Change(seed, way.name, refused=now.refused)
    if now.refused:
        out.untold = way.must_read
        return out
    out.extra = max(0, now.extra - plain.extra)
    for k, wanted in enumerate(truth["views"][0]["outlets"]):
        before, after = plain.verdicts[k], now.verdicts[k]
        place = f"{wanted['symbol']} in {wanted['room']} at {wanted['at']}"
        if after is None:
            if before is not None:
                out.marked += now.marked[k]
                out.lost += not now.marked[k]
                out.said.append(f"lost{' (marked)' if now.marked[k] else ''}: {place}")
            continue
        if before is None:
            continue
        for e in EDITIONS:
            if before[e] == after[e]:
                continue
            out.said.append(f"{e}: {before[e]} -> {after[e]}: {place}")
            if after[e] == "unresolved":
                out.asked += 1
            elif before[e] == "unresolved":
                right = after[e] == wanted["verdict"][e]
                out.settled += right
                out.silent += not right and after[e] in CLEARED
            else:
                out.silent += after[e] in CLEARED and wanted["verdict"][e] not in CLEARED
                out.changed += 1
    if way.tells and not any(way.tells in text for text in now.said):
        out.untold = True
    return out


def family(seed: int) -> str:
    families = list(FAMILIES)
    return families[seed % len(families)]


def job(arguments: tuple[int, tuple[str, ...], Path]) -> list[Change]:
    seed, names, folder = arguments
    house, path = write_house(seed, family(seed), "by hand", folder)
    mapping = load_mapping(path.with_suffix(".yaml"))
    paper = make_house(seed, family(seed)).paper
    if house.style.print_ == "half":
        paper = shrunk(paper, 0.5)
    by_name = {way.name: way for way in WAYS}
    plain_path = folder / f"{seed}-plain.pdf"
    by_name["plain"].write(paper, plain_path, Random(seed))
    plain = read(plain_path, house.truth, mapping)
    out = []
    for name in names:
        target = folder / f"{seed}-{name.replace(' ', '-').replace('/', '-')}.pdf"
        try:
            by_name[name].write(paper, target, Random(seed))
            out.append(change(seed, by_name[name], house.truth, plain, read(target, house.truth, mapping)))
        except Exception:
            out.append(Change(seed, name, refused="BENCH: " + traceback.format_exc()[-400:]))
    return out


def run(seeds: Iterable[int], names: tuple[str, ...], folder: Path, jobs: int, chunk: int = 6) -> list[Change]:
    work = [(seed, names[k : k + chunk], folder) for seed in seeds for k in range(0, len(names), chunk)]
    if jobs == 1:
        return [each for one in work for each in job(one)]
    with ProcessPoolExecutor(jobs, get_context("spawn")) as pool:
        return [each for many in pool.map(job, work) for each in many]


def compare_readings(seed: int, names: tuple[str, ...], out: Path | None) -> None:
    """Print what each way changes in what is read."""
    paper = make_house(seed, family(seed)).paper
    by_name = {way.name: way for way in WAYS}
    with tempfile.TemporaryDirectory() as temporary:
        path = (out or Path(temporary)) / "rewritten.pdf"
        path.parent.mkdir(parents=True, exist_ok=True)
        by_name["plain"].write(paper, path, Random(seed))
        first = read_sheet(path, 1)
        for name in names:
            way = by_name[name]
            way.write(paper, path, Random(seed))
            try:
                its = difference(first, read_sheet(path, 1))
            except Exception as error:
                print(
                    f"{'BAD ' if way.must_read else 'asks'} {name:48s} {seed:6d} {unreadable(error).what}",
                    flush=True,
                )
                continue
            told = bool(way.tells) and any(way.tells in said for said in its.said)
            asks = bool(its.said or its.doubted)
            head = "told" if told else "BAD " if its.any else "asks" if asks else "ok  "
            print(
                f"{head} {name:48s} {seed:6d} ink -{its.ink_lost} +{its.ink_more} words -{len(its.words_lost)} "
                f"+{len(its.words_more)} doubted {its.doubted} {its.said[:1] or ''}",
                flush=True,
            )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, nargs="+", default=[1, 2, 3])
    parser.add_argument("--way", nargs="*", default=None)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--verdicts", action="store_true")
    parser.add_argument("--list", action="store_true")
    parser.add_argument("-v", action="store_true")
    options = parser.parse_args()
    if options.list:
        print("\n".join(f"{way.name:32s} {way.write.__doc__ or ''}" for way in WAYS))
        return
    names = tuple(w.name for w in WAYS if w.name != "plain" and (not options.way or w.name in options.way))
    if not options.verdicts:
        for seed in options.seeds:
            compare_readings(seed, names, options.out)
        return
    with tempfile.TemporaryDirectory() as temporary:
        folder = options.out or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        for c in sorted(run(options.seeds, names, folder, options.jobs), key=lambda c: (c.way, c.seed)):
            head = "BAD " if c.bad else "asks" if c.asked or c.marked or c.refused else "ok  "
            print(
                f"{head} {c.way:30s} {c.seed:6d} lost {c.lost} (marked {c.marked}) silent {c.silent} "
                f"changed {c.changed} asked {c.asked} settled {c.settled} extra {c.extra}"
                f"{' UNTOLD' if c.untold else ''} {c.refused}",
                flush=True,
            )
            if options.v:
                print("\n".join("      " + text for text in c.said[:12]))


if __name__ == "__main__":
    main()
