"""Which rooms and openings of random houses are not found, why, and in which ways of drawing.

    python tests/benchmarks/room_losses.py [--count 24] [--start 1101] [--variant NAME ...] [--jobs 2] [--list]

Without ``--variant`` the sheets are those of ``house_bench.py``; with it the houses are drawn in the ways of
``house_hard.py`` and ``house_offices.py`` (``all`` for every one of them).  ``--cache`` keeps the sheets as read,
so that only the rooms are found again.  A room is right where it covers its true outline (IoU 0.8; 0.5 in an open
plan) under its own name; *silent* is a wrong room, outdoors for an indoor room above all, that gives no reason.
"""

from __future__ import annotations

import argparse
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

import shapely

sys.path.insert(0, str(Path(__file__).parent))

from house_bench import cases, table, write_house
from house_hard import VARIANTS, hard_house
from house_offices import OFFICES
from house_plan import FAMILIES
from house_score import _plain
from house_writers import WRITERS
from shapely.geometry import Polygon

from cordpath.model import FloorPlan, Mapping, Room, Scale, Sheet, Symbol
from cordpath.rooms import find_rooms
from cordpath.scale import prove_scales
from cordpath.sheet import read_sheet
from cordpath.symbols import load_mapping, spot

RIGHT, SHARED_RIGHT = 0.8, 0.5  # overlap over union
HARD_WRITERS = ("reportlab", "fpdf2", "plotter")
Inputs = tuple[dict[str, Any], Sheet, tuple[Scale, ...], tuple[Symbol, ...], Mapping]
Job = tuple[int, str, str, str, Path]


@dataclass
class Losses:
    wanted: Counter[tuple[str, str]] = field(default_factory=Counter)  # (heading, value)
    right: Counter[tuple[str, str]] = field(default_factory=Counter)
    silent: Counter[tuple[str, str]] = field(default_factory=Counter)
    extra: Counter[tuple[str, str]] = field(default_factory=Counter)
    causes: Counter[str] = field(default_factory=Counter)
    openings: Counter[tuple[str, str]] = field(default_factory=Counter)  # (true kind, found as)
    said: list[str] = field(default_factory=list)
    seconds: float = 0.0

    def add(self, other: Losses) -> None:
        for name in ("wanted", "right", "silent", "extra", "causes", "openings"):
            getattr(self, name).update(getattr(other, name))
        self.said += other.said
        self.seconds += other.seconds


def inputs_of(job: Job) -> Inputs:
    """What the rooms of one house are found from; kept as a file."""
    seed, family, writer, variant, folder = job
    kept = folder / f"{seed}-{family}-{writer}-{variant}.pickle".replace(" ", "_")
    if kept.exists():
        found: Inputs = pickle.loads(kept.read_bytes())
        return found
    if variant:
        way = OFFICES.get(variant)
        house = way(seed, family) if way is not None else hard_house(seed, family, variant)
        path = kept.with_suffix(".pdf")
        WRITERS[writer](house.paper, path, Random(seed))
        import json

        import yaml

        path.with_suffix(".yaml").write_text(yaml.safe_dump(json.loads(json.dumps(house.mapping)), sort_keys=False))
    else:
        house, path = write_house(seed, family, writer, folder)
    mapping = load_mapping(path.with_suffix(".yaml"))
    sheet = read_sheet(path, 1)
    scales = prove_scales(sheet, mapping.drawing)
    found = (house.truth, sheet, scales, spot(sheet, mapping, scales).symbols, mapping)
    kept.write_bytes(pickle.dumps(found))
    return found


def losses_of(job: Job) -> Losses:
    truth, sheet, scales, symbols, mapping = inputs_of(job)
    started = time.process_time()
    plans = [
        find_rooms(sheet, view, scale, mapping, tuple(s for s in symbols if s.view == view.id))
        for view, scale in zip(sheet.views, scales, strict=True)
    ]
    out = Losses(seconds=time.process_time() - started)
    seed, family, writer, variant, _ = job
    keys = [("writer", writer), ("family", family), ("", "all"), ("variant", variant)][: 4 if variant else 3]
    name = f"{seed} {family} {writer} {variant}".strip()
    _compare(out, truth["views"][0], plans, keys, name)
    _compare_openings(out, truth["views"][0], plans, name)
    return out


def _compare(
    out: Losses, view: dict[str, Any], plans: list[FloorPlan], keys: list[tuple[str, str]], name: str
) -> None:
    rooms = [room for plan in plans for room in plan.rooms]
    true = [(wanted, Polygon(wanted["polygon"]).buffer(0)) for wanted in view["rooms"]]
    met: set[str] = set()
    for wanted, shape in true:
        out.wanted.update(keys)
        fits = [(r.polygon.intersection(shape).area, r) for r in rooms]
        fits = sorted((f for f in fits if f[0] > 0.05 * shape.area), key=lambda f: (-f[0], f[1].id))
        cause, best = _cause(wanted, shape, fits, true)
        met.update(r.id for _, r in fits[:1])
        if cause is None:
            out.right.update(keys)
            continue
        quiet = best is not None and not best.reasons
        if quiet:
            out.silent.update(keys)
        why = "; ".join(plan.why for plan in plans if plan.why)
        said = f" ({'; '.join(best.reasons)})" if best is not None and best.reasons else ""
        out.causes[f"{'SILENT ' if quiet else ''}{cause.split(':')[0]}"] += 1
        out.said.append(
            f"{name}: {wanted['name']} [{wanted['kind']}] {'SILENT ' if quiet else ''}{cause}{said} {why}"
        )
    for room in rooms:
        if room.id not in met and room.kind != "outdoors":
            out.extra.update(keys)
            out.said.append(f"{name}: extra {room.name} [{room.kind}] {room.polygon.area:.0f} pt2 {room.reasons}")


def _cause(
    wanted: dict[str, Any],
    shape: Polygon,
    fits: list[tuple[float, Room]],
    true: list[tuple[dict[str, Any], Polygon]],
) -> tuple[str | None, Room | None]:
    """Why a true room is not right (None where it is), and the room that stands there."""
    if not fits:
        return "nothing there", None
    common, best = fits[0]
    union = shape.area + best.polygon.area - common
    named = _plain(best.name) == _plain(wanted["name"])
    if wanted["kind"] == "outdoors":
        return (None, best) if best.kind == "outdoors" else (f"porch is indoors: {best.name}", best)
    if best.kind == "outdoors":
        return f"leaked outdoors: {common / shape.area:.2f} of it", best
    if common / union >= (SHARED_RIGHT if wanted["shared"] else RIGHT):
        if not named:
            return f"named otherwise: {best.name}", best
        return (None, best) if best.kind == wanted["kind"] else (f"kind: {best.kind}", best)
    others = [w["name"] for w, s in true if w is not wanted and best.polygon.intersection(s).area > 0.5 * s.area]
    if wanted["shared"] and named:
        return f"open plan divided elsewhere: IoU {common / union:.2f}", best
    if others:
        return f"merged: with {', '.join(others)}", best
    if common < RIGHT * shape.area:
        return f"cut up: {common / shape.area:.2f} of it is {best.name}", best
    return f"too large: {best.polygon.area / shape.area:.2f} times {best.name}", best


def _compare_openings(out: Losses, view: dict[str, Any], plans: list[FloorPlan], name: str) -> None:
    closers = [("door", d) for plan in plans for d in plan.doors]
    closers += [("cased", d) for plan in plans for d in plan.openings]
    closers += [("glazing", g) for plan in plans for g in shapely.get_parts(plan.glazing) if g.area > 0]
    met: set[int] = set()
    for wanted in view["openings"]:
        slot = Polygon(wanted["polygon"])
        over = [(slot.intersection(shape).area, k) for k, (_, shape) in enumerate(closers)]
        met.update(k for area, k in over if area > 0.1 * min(slot.area, closers[k][1].area))
        area, k = max(over, default=(0.0, -1))
        found = closers[k][0] if area > 0.25 * slot.area else "nothing"
        out.openings[wanted["kind"], found] += 1
        if found != EXPECTED[wanted["kind"]]:
            out.said.append(
                f"{name}: opening {wanted['kind']} at {[round(v) for v in slot.centroid.coords[0]]} is {found}"
            )
    for k, (kind, shape) in enumerate(closers):
        if k not in met:
            out.openings["none", kind] += 1
            out.said.append(f"{name}: false {kind} at {[round(v) for v in shape.centroid.coords[0]]}")


EXPECTED = {"window": "glazing", "cased": "cased"} | dict.fromkeys(
    ("door", "double", "slider", "pocket", "bifold", "garage"), "door"
)


def jobs_of(a: argparse.Namespace, folder: Path) -> list[Job]:
    if not a.variant:
        return [(seed, family, writer, "", folder) for seed, family, writer in cases(a.start, a.count, a.writer)]
    names = [*VARIANTS, *OFFICES] if "all" in a.variant else a.variant
    families = list(FAMILIES)
    return [
        (seed, families[seed % 3], HARD_WRITERS[(seed // 3) % 3], name, folder)
        for name in names
        for seed in range(a.start, a.start + a.count)
    ]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=24)
    parser.add_argument("--start", type=int, default=1101)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--writer")
    parser.add_argument("--variant", nargs="*", help=f"all, or of: {', '.join([*VARIANTS, *OFFICES])}")
    parser.add_argument("--cache", type=Path)
    parser.add_argument("--list", action="store_true", help="print every loss")
    a = parser.parse_args()
    folder = a.cache or Path(tempfile.mkdtemp())
    folder.mkdir(parents=True, exist_ok=True)
    total = Losses()
    with ProcessPoolExecutor(a.jobs, mp_context=get_context("spawn")) as pool:
        for one in pool.map(losses_of, jobs_of(a, folder)):
            total.add(one)
    _print(total, a.list)


def _print(total: Losses, every: bool) -> None:
    rows = [("", "rooms", "right", "silent", "extra")]
    for key in sorted(total.wanted, key=lambda key: (key[0] == "", key)):
        n = total.wanted[key]
        rows.append((" ".join(key).strip(), str(n), f"{total.right[key] / n:.3f}", str(total.silent[key]),
                     str(total.extra[key])))  # fmt: skip
    print(table(rows))
    print(f"\nCPU of rooms {total.seconds:.1f} s\n\ncauses")
    for cause, n in total.causes.most_common():
        print(f"{n:5d}  {cause}")
    found = ("door", "cased", "glazing", "nothing")
    rows = [("openings", "wanted", *found)]
    for kind in sorted({kind for kind, _ in total.openings}):
        counts = [total.openings[kind, f] for f in found]
        rows.append((kind, str(sum(counts)), *map(str, counts)))
    print(f"\n{table(rows)}")
    if every:
        print("\n" + "\n".join(total.said))


if __name__ == "__main__":
    main()
