"""What becomes of outlets and fixtures whose entry the mapping file lacks: each entry is taken out in turn.

    python tests/benchmarks/lacking_entries.py [--samples] [--real] [--count 6] [--start 7001] [--jobs 1] [--list]
                                               [--of outlets|fixtures|appliances|both] [--alone]
                                               [--no-legends]

With ``--no-legends`` nothing is learnt from the rows of legends, as on sheets without one.

The sheets: the sample plans, the real plan with its layer of outlets, and random houses of ``house_bench.py``.
Every outlet of an entry that was taken out must be told at its place: among what is unexplained, by a label
without its symbol, or by a question about what stands there.  An outlet that stays must not be cleared by what
lacks: neither by a label of the lost one, nor because a sink, tub or shower was not looked for.  Both are *silent*.

With ``--alone`` all entries of outlets but one are taken out, one after the other.

*Needless*: places that are told with the whole mapping file and hold no outlet or fixture of the truth.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field, replace
from functools import lru_cache
from multiprocessing import get_context
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parent))

from house_bench import cases, table, write_house
from house_truth import EDITIONS

import powerlayer
from cordpath import check
from cordpath.model import BASIN_KINDS, FIXTURE_KINDS, OUTLET_KINDS, TUB_KINDS, Mapping, Reading, SheetResult
from cordpath.rules import load_edition
from cordpath.symbols import load_mapping

ROOT = Path(__file__).parents[2]
REAL = ROOT / "tests" / "data" / "real_house_plan.pdf"
SAMPLES = ("marlow-court", "harrow-bend", "tern-street", "quarry-yard")
HERE_PT = 14.0  # a shape told so near the place of an outlet is told of it, as in house_score.py
LABEL_PT = 40.0  # a label of an outlet stands at most this far from it
CLEARED = ("protected", "not required")
MEASURED_TO = BASIN_KINDS | TUB_KINDS


@dataclass(frozen=True)
class Case:
    name: str
    pdf: Path
    mapping: Path
    truth: dict[str, Any]  # of the page, with its views


@dataclass
class Lacks:
    """Counts over entries that were taken out."""

    entries: int = 0
    outlets: int = 0  # of the entries taken out
    told: Counter[str] = field(default_factory=Counter)  # by what
    silent: int = 0  # of those, told by nothing
    cleared: int = 0  # verdicts of other outlets that what lacks has cleared
    questions: int = 0  # verdicts of other outlets that are questions now and were none before
    verdicts: int = 0
    sheets: int = 0
    needless: Counter[str] = field(default_factory=Counter)  # with the whole mapping file, by what is said
    said: list[str] = field(default_factory=list)

    def add(self, other: Lacks) -> None:
        for name in self.__dataclass_fields__:
            setattr(self, name, getattr(self, name) + getattr(other, name))


def sample_cases() -> Iterator[Case]:
    for stem in SAMPLES:
        truth = json.loads((ROOT / "sample_plans" / f"{stem}.truth.json").read_text())
        yield Case(stem, ROOT / "sample_plans" / f"{stem}.pdf", ROOT / "sample_plans" / truth["mapping"], truth)


def real_case(folder: Path) -> Case:
    layer = powerlayer.write_power_layer(REAL, folder)
    return Case("real plan", layer.pdf, layer.mapping, layer.truth)


def house_case(seed: int, family: str, writer: str, folder: Path) -> Case:
    house, pdf = write_house(seed, family, writer, folder)
    return Case(pdf.stem, pdf, pdf.with_suffix(".yaml"), json.loads(json.dumps(house.truth)))


def lacks_of(case: Case, kinds: frozenset[str], alone: bool = False) -> Lacks:
    """Every entry of these kinds taken out in turn, or all but each in turn."""
    mapping = load_mapping(case.mapping)
    drawn = {outlet["symbol"] for view in case.truth["views"] for outlet in view["outlets"]}
    drawn |= {fixture["symbol"] for view in case.truth["views"] for fixture in view["fixtures"]}
    whole = _judged(case, mapping)
    before = _verdicts(case, whole)
    out = Lacks(sheets=1)
    _needless(out, case, whole)
    chosen = frozenset(e.name for e in mapping.symbols if e.kind in kinds and e.name in drawn)
    for name in sorted(chosen):
        lost = chosen - {name} if alone else frozenset({name})
        less = replace(mapping, symbols=tuple(e for e in mapping.symbols if e.name not in lost))
        results = _judged(case, less)
        out.entries += 1
        _lost_outlets(out, case, lost, results)
        _others(out, case, lost, before, _verdicts(case, results))
    return out


@lru_cache(maxsize=2)
def _sheet(path: Path, page: int, password: str | None) -> Any:
    return _read_sheet(path, page, password)


_read_sheet = check.read_sheet
check.read_sheet = _sheet  # a page is read once for all its mapping files


def _judged(case: Case, mapping: Mapping) -> dict[str, SheetResult]:
    page = case.truth.get("page", 1)
    readings = {page: check.understand(case.pdf, page, mapping)}
    return {year: check.judge_file(case.pdf.name, readings, load_edition(year))[0] for year in EDITIONS}


def _wanted(case: Case) -> Iterator[dict[str, Any]]:
    for view in case.truth["views"]:
        yield from view["outlets"]


def _reading(results: dict[str, SheetResult]) -> Reading:
    reading = next(iter(results.values())).reading
    assert reading is not None
    return reading


def _verdicts(case: Case, results: dict[str, SheetResult]) -> dict[tuple[int, str], tuple[str, str]]:
    """(outlet of the truth, edition) -> verdict and what it says, of outlets that were found."""
    outlets = _reading(results).outlets
    out: dict[tuple[int, str], tuple[str, str]] = {}
    for k, wanted in enumerate(_wanted(case)):
        near = [i for i, o in enumerate(outlets) if math.dist(o.symbol.at, wanted["at"]) < 6.0]
        for year, result in results.items():
            if near and result.findings:
                finding = result.findings[near[0]]
                out[k, year] = finding.verdict, f"{outlets[near[0]].symbol.entry.name}: {' '.join(finding.reasons)}"
    return out


def _told_by(at: list[float], reading: Reading, failed: bool) -> str | None:
    """What tells that something stands here."""
    for outlet in reading.outlets:
        if math.dist(outlet.symbol.at, at) < HERE_PT and not outlet.symbol.found:
            return "a question"
    for outlet in reading.outlets:
        if math.dist(outlet.symbol.at, at) < HERE_PT / 2:
            return "an outlet of another name"
    for rest in reading.unexplained:
        if not rest.is_label and any(math.dist(place, at) < HERE_PT for place in rest.at):
            return "a shape" if "shape" in rest.what or "mapping file does not name" in rest.what else "a remark"
    for rest in reading.unexplained:
        if rest.is_label and any(math.dist(place, at) < LABEL_PT for place in rest.at):
            return "a label"
    return "the sheet failed" if failed else None


def _lost_outlets(out: Lacks, case: Case, lost: frozenset[str], results: dict[str, SheetResult]) -> None:
    reading = _reading(results)
    failed = next(iter(results.values())).status == "failed"
    for wanted in _wanted(case):
        if wanted["symbol"] not in lost:
            continue
        out.outlets += 1
        by = _told_by(wanted["at"], reading, failed)
        out.told[by or "NOTHING"] += 1
        if by is None:
            out.silent += 1
            place = f"in {wanted['room']} at {wanted['at']} labels {wanted.get('labels')} {wanted.get('circuit')}"
            out.said.append(f"{case.name}: without '{wanted['symbol']}': SILENT {place}")


def _others(
    out: Lacks, case: Case, lost: frozenset[str], before: dict[tuple[int, str], tuple[str, str]],
    now: dict[tuple[int, str], tuple[str, str]],
) -> None:  # fmt: skip
    for k, wanted in enumerate(_wanted(case)):
        for year in EDITIONS:
            verdict, why = now.get((k, year), ("", ""))
            expected = wanted["verdict"].get(year)
            if expected is None or not verdict:
                continue
            out.verdicts += 1
            place = f"{wanted['symbol']} in {wanted['room']} at {wanted['at']}"
            if verdict in CLEARED and expected not in CLEARED:
                out.cleared += 1
                was = before.get((k, year), ("", ""))[0]
                out.said.append(
                    f"{case.name}: without {sorted(lost)}: CLEARED {year} {place}: {verdict}, expected {expected}, "
                    f"with it {was}; {why}"
                )
            elif verdict == "unresolved" and before.get((k, year), ("", ""))[0] != "unresolved":
                out.questions += wanted["symbol"] not in lost


def _needless(out: Lacks, case: Case, results: dict[str, SheetResult]) -> None:
    reading = _reading(results)
    places = [o["at"] for o in _wanted(case)]
    for conflict in next(iter(results.values())).conflicts:
        if not conflict.outlets:
            out.needless["loads that no outlet carries"] += 1
            out.said.append(f"{case.name}: needless: {conflict.what}")
    for rest in reading.unexplained:
        stray = [p for p in rest.at if all(math.dist(p, at) > HERE_PT for at in places)]
        if stray or not rest.at:
            out.needless["a label" if rest.is_label else rest.what] += max(len(stray), 1)
            out.said.append(f"{case.name}: needless: {rest.what} at {[tuple(map(round, p)) for p in stray[:6]]}")


def kinds_of(name: str) -> frozenset[str]:
    chosen = {"outlets": OUTLET_KINDS, "fixtures": MEASURED_TO, "both": OUTLET_KINDS | MEASURED_TO,
              "appliances": FIXTURE_KINDS - MEASURED_TO}  # fmt: skip
    return frozenset(chosen[name])


def _job(arguments: tuple[str, Any, str, bool, bool, Path]) -> tuple[str, Lacks]:
    group, what, of, legends, alone, folder = arguments
    if not legends:
        sys.modules["cordpath.symbols.devices"].unmapped_rows = lambda *_: ()  # type: ignore[attr-defined]
    if group == "houses":
        case = house_case(*what, folder)
    elif group == "real":
        case = real_case(folder)
    else:
        case = next(case for case in sample_cases() if case.name == what)
    return group, lacks_of(case, kinds_of(of), alone)


HEAD = ("", "sheets", "entries", "outlets", "shape", "label", "question", "other name", "remark", "SILENT",
        "verdicts", "CLEARED", "questions", "needless")  # fmt: skip


def row(name: str, t: Lacks) -> tuple[str, ...]:
    told = [t.told[key] for key in ("a shape", "a label", "a question", "an outlet of another name", "a remark")]
    numbers = (t.sheets, t.entries, t.outlets, *told, t.silent, t.verdicts, t.cleared, t.questions,
               sum(t.needless.values()))  # fmt: skip
    return (name, *map(str, numbers))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--samples", action="store_true")
    parser.add_argument("--real", action="store_true")
    parser.add_argument("--count", type=int, default=6, help="random houses")
    parser.add_argument("--start", type=int, default=7001)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--of", choices=("outlets", "fixtures", "appliances", "both"), default="both")
    parser.add_argument("--alone", action="store_true", help="take out all entries of outlets but one")
    parser.add_argument("--no-legends", action="store_true", help="as if the sheets had no legend")
    parser.add_argument("--list", action="store_true", help="every silent outlet and needless place")
    a = parser.parse_args()
    folder, legends = Path(tempfile.mkdtemp()), not a.no_legends
    sheets: list[tuple[str, Any]] = [("samples", stem) for stem in SAMPLES if a.samples]
    sheets += [("real", None)] * a.real
    sheets += [("houses", case) for case in cases(a.start, a.count)]
    jobs = [(group, what, a.of, legends, a.alone, folder) for group, what in sheets]
    sums: dict[str, Lacks] = {}
    with ProcessPoolExecutor(a.jobs, mp_context=get_context("spawn")) as pool:
        for (group, what, *_), (_, one) in zip(jobs, pool.map(_job, jobs), strict=True):
            sums.setdefault(group, Lacks()).add(one)
            print(group, what, *row("", one)[2:], flush=True)
            if a.list:
                print("\n".join(f"    {line}" for line in one.said), flush=True)
    print(table([HEAD, *(row(name, total) for name, total in sums.items())]))
    for name, total in sums.items():
        print(f"\nneedless on {name}:")
        print("\n".join(f"{n:5d}  {what}" for what, n in total.needless.most_common()))


if __name__ == "__main__":
    main()
