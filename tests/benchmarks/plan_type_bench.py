"""Rooms, cord reach and verdicts on plans of many types, drawn in many ways, against independent truth.

    python tests/benchmarks/plan_type_bench.py [--start 1] [--count 40] [--type NAME] [--walls NAME] [--jobs 2]
                                               [--cache DIR] [--list]

Every seed gives a type, random sizes, a way of drawing, and things that look like walls and are none.  No outlet is
protected, so that a room that is taken for another shows in the verdict.  Printed first: *silent*, an outlet that
is cleared though its place asks for protection; then *astray*, one that stands for certain in a room of another
kind; distances that are off by more than they say; then needless questions and why.  ``--cache`` keeps the sheets
as read, so that a change of rooms or reach is measured in seconds.
"""

from __future__ import annotations

import argparse
import json
import math
import pickle
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from multiprocessing import get_context
from pathlib import Path
from random import Random
from typing import Any
from unittest import mock

import yaml

sys.path.insert(0, str(Path(__file__).parent))

from house_bench import table
from house_score import CLEARED, EDITIONS, NEAR_PT, ROUNDING_IN
from house_writers import WRITERS
from plan_type_maps import TYPES
from plan_type_sheet import draw_plan
from plan_type_ways import WAYS, Drawn

from cordpath import check
from cordpath.model import Reading
from cordpath.rules import load_edition
from cordpath.symbols import load_mapping

WRITER = ("reportlab", "fpdf2", "plotter", "pymupdf")
PLAIN = frozenset({"living", "dining", "bedroom", "hall", "closet", "utility", "other"})
ROOM_FLOOR = 0.65  # confidence under which a room settles no verdict (rules)


@dataclass
class Tally:
    sheets: int = 0
    outlets: int = 0
    found: int = 0
    verdicts: int = 0
    right: int = 0
    silent: int = 0
    astray: int = 0
    off: int = 0
    false: int = 0
    needless: int = 0
    errors_in: list[float] = field(default_factory=list)
    whys: Counter[str] = field(default_factory=Counter)
    said: list[str] = field(default_factory=list)
    seconds: float = 0.0

    def add(self, other: Tally) -> None:
        for name in self.__dataclass_fields__:
            setattr(self, name, getattr(self, name) + getattr(other, name))


@dataclass(frozen=True)
class Case:
    seed: int
    type: str
    folder: Path
    walls: str | None = None

    @property
    def stem(self) -> Path:
        return self.folder / f"{self.seed}-{self.type}-{self.walls or ''}".replace(" ", "_")

    @property
    def writer(self) -> str:
        return WRITER[self.seed % len(WRITER)]


Inputs = tuple[dict[str, Any], Drawn, Any, Any, Any, Any]


def inputs_of(case: Case) -> Inputs:
    """What rooms and reach begin with; kept as a file."""
    kept = case.stem.with_suffix(".pickle")
    if kept.exists():
        found: Inputs = pickle.loads(kept.read_bytes())
        return found
    sheet, truth, mapping_data, drawn = draw_plan(case.seed, case.type, case.walls)
    path = kept.with_suffix(".pdf")
    WRITERS[case.writer](sheet.paper, path, Random(case.seed))
    path.with_suffix(".yaml").write_text(yaml.safe_dump(json.loads(json.dumps(mapping_data)), sort_keys=False))
    mapping = load_mapping(path.with_suffix(".yaml"))
    read = check.read_sheet(path, 1)
    scales = check.prove_scales(read, mapping.drawing)
    examples = check.gather_examples(mapping, {}, check.NO_EXAMPLES, read)
    spotting = check.spot(read, mapping, scales, examples, check.read_glyphs)
    found = (truth, drawn, mapping, read, scales, spotting)
    kept.write_bytes(pickle.dumps(found))
    return found


def understood(case: Case) -> tuple[dict[str, Any], Drawn, Reading]:
    """Truth, and the reading from the rooms on."""
    truth, drawn, mapping, read, scales, spotting = inputs_of(case)
    with (
        mock.patch.object(check, "read_sheet", lambda *_, **__: read),
        mock.patch.object(check, "prove_scales", lambda *_: scales),
        mock.patch.object(check, "spot", lambda *_: spotting),
    ):
        return truth, drawn, check.understand(case.stem.with_suffix(".pdf"), 1, mapping)


def try_case(case: Case) -> tuple[Case, str, Tally]:
    t = Tally(sheets=1)
    try:
        started = time.process_time()
        truth, drawn, reading = understood(case)
        t.seconds = time.process_time() - started
    except Exception as error:
        t.said.append(f"FAILED {error!r}")
        return case, "", t
    results = {e: check.judge_file("x.pdf", {1: reading}, load_edition(e))[0] for e in EDITIONS}
    (view,) = truth["views"]
    left = set(range(len(reading.outlets)))
    rooms = {room.id: room for plan in reading.plans for room in plan.rooms}
    for wanted in view["outlets"]:
        t.outlets += 1
        best = min(left, key=lambda k: math.dist(reading.outlets[k].symbol.at, wanted["at"]), default=None)
        if best is None or math.dist(reading.outlets[best].symbol.at, wanted["at"]) > NEAR_PT:
            t.said.append(f"lost: {wanted['symbol']} in {wanted['room']} at {wanted['at']}")
            continue
        left.discard(best)
        t.found += 1
        _verdicts(t, wanted, best, reading, results, rooms)
        _distances(t, wanted, best, reading, view)
    name = f"{case.seed} {case.type}: {case.writer}, {drawn.walls}, doors {drawn.doors}, {'+'.join(drawn.extras)}"
    return case, name + (", one pen" if drawn.one_pen else ""), t


def _verdicts(
    t: Tally, wanted: dict[str, Any], k: int, reading: Reading, results: Any, rooms: dict[str, Any]
) -> None:
    outlet = reading.outlets[k]
    room = rooms.get(outlet.standing.room or "")
    place = f"{wanted['symbol']} in {wanted['room'] or 'a nameless'} ({wanted['kind']}) at {wanted['at']}"
    stands = f"stands in {room.name} [{room.kind}] {room.confidence}" if room else f"no room: {outlet.standing.why}"
    sure = room is not None and not outlet.standing.why and room.confidence >= ROOM_FLOOR and room.kind != "unknown"
    below = room is not None and room.kind == "basement" and wanted["below"]
    if sure and not below and _class(room.kind) != _class(wanted["kind"]) and outlet.symbol.found:
        t.astray += 1
        t.said.append(f"ASTRAY {place} {stands} {room.reasons}")
    for edition in EDITIONS:
        finding, expected = results[edition].findings[k], wanted["verdict"][edition]
        t.verdicts += 1
        if finding.verdict == expected or finding.verdict in wanted["also"].get(edition, ()):
            t.right += 1
            continue
        if finding.verdict in CLEARED and expected not in CLEARED:
            t.silent += 1
            head = "SILENT"
        elif finding.verdict == "unresolved":
            t.needless += 1
            t.whys[" ".join(finding.reasons)[:90]] += 1
            head = "needless"
        else:
            t.false += 1
            head = "false"
        t.said.append(f"{head} {edition}: {place}: {finding.verdict}, expected {expected}; {stands}; near "
                      f"{wanted['near']}; {' '.join(finding.reasons)[:300]}")  # fmt: skip


def _class(kind: str) -> str:
    return "plain" if kind in PLAIN else "garage" if kind == "accessory building" else kind


def _distances(t: Tally, wanted: dict[str, Any], k: int, reading: Reading, view: dict[str, Any]) -> None:
    for near in wanted["near"]:
        true = view["fixtures"][near["fixture"]]
        alike = [f for f in reading.fixtures if f.symbol.kind == true["kind"]]
        best = min(alike, key=lambda f: math.dist(f.symbol.at, true["at"]), default=None)
        if best is None or math.dist(best.symbol.at, true["at"]) > 3 * NEAR_PT:
            continue
        for path in reading.paths:
            if (path.outlet, path.fixture, path.doors, path.glass) == (
                reading.outlets[k].id,
                best.id,
                "open",
                False,
            ):
                error = path.length_ft * 12 - near["open_in"]
                t.errors_in.append(error)
                if abs(error) > max(4.0, path.uncertainty_ft * 12 + ROUNDING_IN):
                    t.off += 1
                    said = f"OFF by {error:.1f} in (says {path.uncertainty_ft * 12:.1f}): in {wanted['room']}"
                    t.said.append(f"{said} at {wanted['at']} to {best.id}, true {near['open_in']}")


HEAD = ("", "sheets", "outlets", "found", "verdicts", "right", "silent", "astray", "off", "false", "needless", "s")


def row(name: str, t: Tally) -> tuple[str, ...]:
    return (name, str(t.sheets), str(t.outlets), str(t.found), str(t.verdicts), str(t.right), str(t.silent),
            str(t.astray), str(t.off), str(t.false), str(t.needless), f"{t.seconds:.0f}")  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--start", type=int, default=1)
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--type")
    parser.add_argument("--walls", choices=list(WAYS))
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--cache", type=Path)
    parser.add_argument("--list", action="store_true", help="print every fault, the silent ones first")
    a = parser.parse_args()
    folder = a.cache or Path(tempfile.mkdtemp())
    folder.mkdir(parents=True, exist_ok=True)
    names = list(TYPES)
    cases = [Case(s, a.type or names[s % len(names)], folder, a.walls) for s in range(a.start, a.start + a.count)]
    sums: dict[str, Tally] = {}
    with ProcessPoolExecutor(a.jobs, mp_context=get_context("spawn")) as pool:
        for case, name, tally in pool.map(try_case, cases):
            for key in (case.type, name.split(", ")[1] if name else "?", "all"):
                sums.setdefault(key, Tally()).add(tally)
            print(*row(name or f"{case.seed} {case.type} FAILED", tally), flush=True)
            if a.list:
                order = ("FAILED", "SILENT", "ASTRAY", "OFF", "lost", "false", "needless")
                ranks = [(next((k for k, o in enumerate(order) if s.startswith(o)), 9), s) for s in tally.said]
                print("\n".join(f"    {said}" for _, said in sorted(ranks)))
    keys = [*sorted(key for key in sums if key != "all"), "all"]
    print(table([HEAD, *(row(key, sums[key]) for key in keys)]))
    print("\nneedless questions, why")
    print("\n".join(f"{n:5d}  {why}" for why, n in sums["all"].whys.most_common(25)))


if __name__ == "__main__":
    main()
