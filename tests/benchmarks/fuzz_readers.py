"""A fuzzer over the readers, run by hand:  python tests/benchmarks/fuzz_readers.py [--minutes 5] [--seed 1]

Mutates the bytes, objects and operators of sound PDFs and YAML files, and reads them in an isolated worker.  What
ends in anything but a result or a CordpathError (a crash, a hang, growth, another exception) is written to
``fuzz-findings`` in the working directory, to be cut down and kept as a case of tests/hostile.
"""

from __future__ import annotations

import argparse
import collections
import random
import sys
import tempfile
import time
import zlib
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pikepdf

from cordpath.batch.child import Limits
from cordpath.batch.workers import local_workers, map_calls
from cordpath.errors import ConfigurationRefused, CordpathError
from cordpath.rules import load_amendment
from cordpath.sheet import read_sheet
from cordpath.symbols import load_mapping

ROOT = Path(__file__).parent.parent.parent
SHEETS = sorted((ROOT / "sample_plans").glob("*.pdf"))
MAPPINGS = sorted((ROOT / "configs").glob("*.yaml")) + sorted((ROOT / "sample_plans").glob("*.yaml"))
LIMITS = Limits(30.0, 1500.0)
AT_ONCE = 40  # files between two looks at the clock
BAD = ("program failed", "not done within", "MB of memory", "process died")
NUMBERS = (b"0", b"-1", b"1e38", b"99999999999999999999", b"0.0000001", b"-2147483648", b"nan", b"4294967296")
WORDS = tuple(
    b"/ << >> [ ] ( ) R obj endobj stream null q Q Do BT ET cm re f W n sh /Kids /Parent /Length &a *a !! :".split()
)


def read_pdf(path: Path) -> str:
    read_sheet(path, 1)
    return "read"


def read_yaml(path: Path) -> str:
    (load_amendment if "amendment" in path.name else load_mapping)(path)
    return "read"


def plain(path: Path) -> bytes:
    """The file with its streams unpacked, so that operators can be mutated."""
    out = BytesIO()
    with pikepdf.open(path) as document:
        for page in document.pages:
            page.contents_coalesce()
        document.save(out, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.all)
    return out.getvalue()


def mutated(data: bytes, chance: random.Random, others: list[bytes]) -> bytes:
    out = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 5, 20))):
        at = chance.randrange(len(out) or 1)
        size = chance.choice((1, 4, 30, 500))
        kind = chance.randrange(8)
        if kind == 0:
            out[at : at + 1] = bytes([chance.randrange(256)])
        elif kind == 1:
            del out[at : at + size]
        elif kind == 2:
            out[at:at] = out[at : at + size] * chance.choice((1, 2, 50))
        elif kind == 3:
            out[at : at + chance.choice((0, 3))] = chance.choice(NUMBERS)
        elif kind == 4:
            out[at : at + chance.choice((0, 3))] = b" " + chance.choice(WORDS) + b" "
        elif kind == 5:
            other = chance.choice(others)
            there = chance.randrange(len(other))
            out[at : at + size] = other[there : there + size]
        elif kind == 6:
            out[at : at + size] = bytes(size)
        else:
            del out[at:]
            break
    return bytes(out)


def packed(data: bytes) -> bytes:
    """Sometimes: nested compression of the whole as a content stream of a small file."""
    body = zlib.compress(data)
    head = (
        b"%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj 2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"
        b"3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 999 999]/Contents 4 0 R>>endobj\n"
    )
    entries = b"4 0 obj<</Length %d/Filter/FlateDecode>>stream\n" % len(body)
    return head + entries + body + b"\nendstream endobj trailer<</Root 1 0 R>>"


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--minutes", type=float, default=5.0)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--jobs", type=int, default=1)
    told = ask.parse_args()
    chance = random.Random(told.seed)
    sheets = [path.read_bytes() for path in SHEETS] + [plain(path) for path in SHEETS]
    mappings = [(path.name, path.read_bytes()) for path in MAPPINGS]
    kept = Path("fuzz-findings")
    counts: collections.Counter[str] = collections.Counter()
    end = time.monotonic() + 60 * told.minutes
    with tempfile.TemporaryDirectory() as scratch, local_workers(told.jobs) as workers:
        while time.monotonic() < end:
            pdfs, yamls = [], []
            for k in range(AT_ONCE):
                data = mutated(chance.choice(sheets), chance, sheets)
                pdfs.append(Path(scratch) / f"{k}.pdf")
                pdfs[-1].write_bytes(packed(data[-20_000:]) if chance.random() < 0.05 else data)
                name, whole = chance.choice(mappings)
                yamls.append(Path(scratch) / f"{k}-{name}")
                yamls[-1].write_bytes(mutated(whole, chance, [each for _, each in mappings]))
            for reader, paths in ((read_pdf, pdfs), (read_yaml, yamls)):
                run(reader, paths, workers, kept, counts)
    for what, count in counts.most_common():
        print(f"{count:7} {what}")
    sys.exit(any(what.startswith("BAD") for what in counts))


def run(
    reader: Callable[[Path], str], paths: list[Path], workers: object, kept: Path, counts: collections.Counter[str]
) -> None:
    for path, done in zip(paths, map_calls(workers, reader, [(p,) for p in paths], LIMITS), strict=True):  # type: ignore[arg-type]
        what = done.what[:60] if isinstance(done, CordpathError) else done
        said = f"{reader.__name__}: {'refused' if isinstance(done, ConfigurationRefused) else what}"
        if any(bad in said or bad in str(done) for bad in BAD):
            kept.mkdir(exist_ok=True)
            (kept / f"{time.time_ns()}-{path.name}").write_bytes(path.read_bytes())
            said = f"BAD {reader.__name__}: {str(done)[:150]}"
        counts[said] += 1


if __name__ == "__main__":
    main()
