"""What a batch costs, by the clock:  python tests/benchmarks/batch_bench.py [--sheets 20] [--jobs 1 2] [--resumed]

Copies of the sample sheets, each in a folder of its own, go through ``cordpath check`` as a process.  Printed are
sheets a minute by the clock, processor seconds a sheet, the peak of the parent's and of the largest worker's
resident memory, and the sizes of what was written; beside them the seconds it takes only to read the strokes of the
same sheets, in one process.  ``--resumed`` takes the readings up from an earlier run: a thousand sheets tell the
parent's memory within minutes.  Meaningful on a quiet machine, with a program that nobody edits meanwhile.
"""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import psutil

from cordpath.sheet import read_sheet

SAMPLES = Path(__file__).parent.parent.parent / "sample_plans"
SETS = {"symbols.yaml": ("marlow-court", "tern-street"), "symbols-b.yaml": ("quarry-yard", "harrow-bend")}
COMMAND = [sys.executable, "-c", "from cordpath.cli import main; main()", "check"]
LOOK = 0.1  # s between looks at the memory
MB = 1e6


@dataclass
class Cost:
    """Of one run.  Memory: resident, 10^6 bytes."""

    clock: float = 0.0
    processor: float = 0.0
    parent_mb: float = 0.0
    worker_mb: float = 0.0
    status: int = 0


def lay_out(folder: Path, sheets: int, names: tuple[str, ...]) -> list[Path]:
    """``sheets`` copies under ``folder``; equal content has an equal name, so that readings are kept once each."""
    made = []
    for k in range(sheets):
        name = names[k % len(names)]
        place = folder / f"{k:05d}" / f"{name}.pdf"
        place.parent.mkdir(parents=True)
        shutil.copyfile(SAMPLES / f"{name}.pdf", place)
        made.append(place)
    return made


def run(plans: Path, symbols: Path, out: Path, jobs: int, resume: bool) -> Cost:
    cost, began = Cost(), time.monotonic()
    before = os.times()
    words = [*COMMAND, str(plans), "--symbols", str(symbols), "--out", str(out), "--jobs", str(jobs), "-q"]
    words += ["--sheet-timeout", "600", *(["--resume"] if resume else [])]
    process = psutil.Popen(words)
    while process.poll() is None:
        try:
            cost.parent_mb = max(cost.parent_mb, process.memory_info().rss / MB)
            for child in process.children():
                cost.worker_mb = max(cost.worker_mb, child.memory_info().rss / MB)
        except psutil.Error:
            pass
        time.sleep(LOOK)
    after = os.times()
    cost.clock, cost.status = time.monotonic() - began, process.returncode
    cost.processor = sum(after[2:4]) - sum(before[2:4])
    return cost


def strokes_alone(paths: list[Path]) -> tuple[float, float]:
    """Clock and processor seconds to read the strokes and words of these sheets, and nothing more."""
    began, spent = time.monotonic(), time.process_time()
    for path in paths:
        read_sheet(path, 1)
    return time.monotonic() - began, time.process_time() - spent


def size_of(paths: list[Path]) -> int:
    return sum(path.stat().st_size for path in paths)


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--sheets", type=int, default=20)
    ask.add_argument("--jobs", type=int, nargs="+", default=[1, 2])
    ask.add_argument("--symbols", choices=sorted(SETS), default="symbols-b.yaml")
    ask.add_argument("--resumed", action="store_true", help="take the readings up from a run over one of each")
    told = ask.parse_args()
    names = SETS[told.symbols]
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        paths = lay_out(folder / "plans", told.sheets, names)
        symbols = SAMPLES / told.symbols
        count = min(len(paths), 20)
        clock, processor = strokes_alone(paths[:count])
        print(f"strokes and words alone: {60 * count / clock:.0f} sheets a minute, {processor / count:.2f} s each")
        for jobs in told.jobs:
            out = folder / f"out-{jobs}"
            if told.resumed:
                lay_out(folder / f"first-{jobs}", len(names), names)
                run(folder / f"first-{jobs}", symbols, out, jobs, False)
            cost = run(folder / "plans", symbols, out, jobs, told.resumed)
            print(
                f"{jobs} jobs, {told.sheets} sheets{' taken up' if told.resumed else ''}: {cost.clock:.1f} s, "
                f"{60 * told.sheets / cost.clock:.1f} sheets a minute, {cost.processor / told.sheets:.2f} s of "
                f"processor a sheet; peak of the parent {cost.parent_mb:.0f} MB, of a worker {cost.worker_mb:.0f} "
                f"MB; exit status {cost.status}"
            )
            written = sorted(path for path in out.iterdir() if path.is_file())
            marked = [path for path in written if path.name.endswith(".marked.pdf")]
            print(f"   {len(marked)} marked copies: {size_of(marked) / size_of(paths):.2f} of their inputs' size")
            for path in written:
                if path not in marked:
                    print(f"   {path.name}: {path.stat().st_size / MB:.2f} MB")


if __name__ == "__main__":
    main()
