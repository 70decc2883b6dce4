"""How well the whole chain reads random houses from many PDF writers, against independent truth.

    python tests/benchmarks/house_bench.py [--count 60] [--start 1] [--out DIR] [--jobs 2] [--writer NAME] [--list]
                                          [--lettering FONT [--labels]]

Each seed gives a house of one of three families on a sheet of its own style, with its own symbols and mapping file;
the writers take turns.  With ``--out`` the sheets, mapping files, truths and faults stay there to be looked at.
Matplotlib is used as one of the writers where it is installed.  ``--lettering`` draws every text as strokes (an SVG
font of single lines) or outlines (any other font); with ``--labels`` only the labels of devices.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from random import Random

import numpy as np
import yaml

sys.path.insert(0, str(Path(__file__).parent))

from house_ink import shrunk
from house_lettering import lettered
from house_plan import FAMILIES
from house_score import Tally, score
from house_sheet import House, make_house
from house_truth import EDITIONS
from house_writers import WRITERS

from cordpath.check import judge_file, understand
from cordpath.errors import unreadable
from cordpath.rules import load_edition
from cordpath.symbols import load_mapping


def available() -> list[str]:
    return [name for name in WRITERS if name != "matplotlib" or importlib.util.find_spec("matplotlib")]


def cases(start: int, count: int, writer: str | None = None) -> Iterator[tuple[int, str, str]]:
    """Seed, family, writer: every writer meets every family."""
    names, families = available(), list(FAMILIES)
    for seed in range(start, start + count):
        family = families[(seed + seed // len(names)) % len(families)]
        name = names[seed % len(names)]
        if writer in (None, name):
            yield seed, family, name


def write_house(
    seed: int, family: str, writer: str, folder: Path, unnamed: float = 0.0,
    font: Path | None = None, labels_alone: bool = False,
) -> tuple[House, Path]:  # fmt: skip
    """PDF, mapping file and truth of one house; ``unnamed``: share of fixtures that the mapping file leaves out;
    ``font``: the texts are drawn in it."""
    house = make_house(seed, family)
    chosen = Random(f"unnamed {seed}")
    entries = house.mapping["symbols"]
    house.mapping["symbols"] = [e for e in entries if e.get("size") != "real" or chosen.random() >= unnamed]
    stem = folder / f"{seed:03d}-{family}-{writer.replace(' ', '-')}"
    paper = lettered(house.paper, font, labels_alone) if font is not None else house.paper
    paper = shrunk(paper, 0.5) if house.style.print_ == "half" else paper
    WRITERS[writer](paper, stem.with_suffix(".pdf"), Random(seed))
    stem.with_suffix(".yaml").write_text(
        yaml.safe_dump(json.loads(json.dumps(house.mapping)), sort_keys=False, allow_unicode=True)
    )
    stem.with_suffix(".truth.json").write_text(json.dumps(house.truth, indent=1))
    return house, stem.with_suffix(".pdf")


def try_house(
    seed: int, family: str, writer: str, folder: Path, unnamed: float = 0.0,
    font: Path | None = None, labels_alone: bool = False,
) -> tuple[str, Tally]:  # fmt: skip
    """Draw, read and score one house."""
    house, path = write_house(seed, family, writer, folder, unnamed, font, labels_alone)
    mapping = load_mapping(path.with_suffix(".yaml"))
    started = time.process_time()
    try:
        readings = {1: understand(path, 1, mapping)}
        results = {year: judge_file(path.name, readings, load_edition(year))[0] for year in EDITIONS}
    except Exception as error:  # the batch would tell this of the sheet and go on
        tally = Tally(sheets=1, said=[f"FAILED: {unreadable(error).what}"])
        tally.outlets = len(house.truth["views"][0]["outlets"])
        return path.stem, tally
    tally = score(house.truth, results)
    tally.seconds = time.process_time() - started
    style = house.style
    head = (
        f"{style.print_} 1:{style.ratio} walls {style.walls} doors {style.door} windows {style.window} "
        f"devices {style.devices} layers {style.layers} {style.page}"
    )
    path.with_suffix(".txt").write_text("\n".join([head, *tally.said]) + "\n")
    return path.stem, tally


def _job(arguments: tuple[int, str, str, Path, float, Path | None, bool]) -> tuple[str, str, str, Tally]:
    _, family, writer, *_ = arguments
    stem, tally = try_house(*arguments)
    return stem, family, writer, tally


HEAD = (
    "",
    "sheets",
    "outlets",
    "recall",
    "extra",
    "fixtures",
    "rooms",
    "kinds",
    "scale",
    "verdicts",
    "silent",
    "needless",
    "median in",
    "p95 in",
    "s/sheet",
)


def row(name: str, t: Tally) -> tuple[str, ...]:
    def share(a: int, b: int) -> str:
        return f"{a / b:.3f}" if b else "-"

    errors = np.abs(t.errors_in) if t.errors_in else np.array([np.nan])
    return (
        name,
        str(t.sheets),
        str(t.outlets),
        share(t.found, t.outlets),
        str(t.extra),
        share(t.fixtures_found, t.fixtures),
        share(t.named, t.rooms),
        share(t.kinds, t.rooms),
        share(t.scale_right, t.sheets),
        share(t.right, t.verdicts),
        str(t.silent),
        str(t.needless),
        f"{np.median(errors):.2f}",
        f"{np.percentile(errors, 95):.2f}",
        f"{t.seconds / t.sheets:.1f}",
    )


FAMILY_HEAD = (
    "family",
    "plans",
    "room kinds right",
    "scale right",
    "distances",
    "median in",
    "p95 in",
    "in uncertainty",
    "verdicts",
    "unresolved",
    "needless",
    "silent",
)


def family_row(name: str, t: Tally) -> tuple[str, ...]:
    """What a reviewer asks of a tool that measures: one layout family."""
    errors = np.abs(t.errors_in) if t.errors_in else np.array([np.nan])
    return (
        name,
        str(t.sheets),
        f"{t.kinds} of {t.rooms}",
        f"{t.scale_right} of {t.sheets}",
        str(len(t.errors_in)),
        f"{np.median(errors):.2f}",
        f"{np.percentile(errors, 95):.2f}",
        f"{100 * t.within / max(len(t.errors_in), 1):.1f} %",
        str(t.verdicts),
        f"{t.unresolved} ({100 * t.unresolved / max(t.verdicts, 1):.1f} %)",
        str(t.needless),
        str(t.silent),
    )


def whys(t: Tally) -> str:
    """Why verdicts are unresolved, most often first."""
    return "\n".join(f"{count:6d}  {name}" for name, count in t.whys.most_common())


def table(rows: list[tuple[str, ...]]) -> str:
    widths = [max(len(r[k]) for r in rows) for k in range(len(rows[0]))]
    return "\n".join(
        "  ".join(cell.rjust(w) if k else cell.ljust(w) for k, (cell, w) in enumerate(zip(r, widths, strict=True)))
        for r in rows
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--start", type=int, default=1)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--writer")
    parser.add_argument("--list", action="store_true", help="print every fault")
    parser.add_argument(
        "--unnamed", type=float, default=0.0, help="share of the fixtures left out of the mapping file (0 to 1)"
    )
    parser.add_argument("--lettering", type=Path, metavar="FONT", help="draw the texts in this font")
    parser.add_argument("--labels", action="store_true", help="draw the labels of devices only")
    a = parser.parse_args()
    folder = a.out or Path(tempfile.mkdtemp())
    folder.mkdir(parents=True, exist_ok=True)
    sums: dict[str, Tally] = {}
    jobs = [(*case, folder, a.unnamed, a.lettering, a.labels) for case in cases(a.start, a.count, a.writer)]
    with ProcessPoolExecutor(a.jobs, mp_context=get_context("spawn")) as pool:
        for stem, family, writer, tally in pool.map(_job, jobs):
            for key in (f"writer {writer}", f"family {family}", "all"):
                sums.setdefault(key, Tally()).add(tally)
            print(stem, *row("", tally)[2:], flush=True)
            if a.list:
                print("\n".join(f"    {line}" for line in tally.said))
    keys = [*sorted(key for key in sums if key != "all"), "all"]
    print(table([HEAD, *(row(key, sums[key]) for key in keys)]))
    families = [key for key in keys if key.startswith("family ")]
    rows = [family_row(key.removeprefix("family "), sums[key]) for key in families]
    print("\n" + table([FAMILY_HEAD, *rows, family_row("all", sums["all"])]))
    print(f"\nwhy {sums['all'].unresolved} verdicts are unresolved:\n{whys(sums['all'])}")


if __name__ == "__main__":
    main()
