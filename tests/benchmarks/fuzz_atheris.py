"""Coverage-guided fuzzing of one reader, run by hand:  pip install atheris, then

    python tests/benchmarks/fuzz_atheris.py mapping -max_total_time=300

Readers: see ``READERS``; what follows the reader's name goes to libFuzzer.  A reader gives a value or one of the
errors that it names; anything else, a hang of 30 s or 2 GB of memory is written to ``fuzz-findings`` in the working
directory, to be cut down and kept as a case of tests/hostile.  The readers start from sound files of their kind.
"""

from __future__ import annotations

import gzip
import json
import sys
import tempfile
import zlib
from collections.abc import Callable
from pathlib import Path

import atheris

GUIDED = [
    "cordpath.batch.archive",
    "cordpath.decisions",
    "cordpath.resubmittal.recheck",
    "cordpath.resubmittal.report",
]
GUIDED += [
    "cordpath.rules",
    "cordpath.symbols.mapping_file.mapping",
    "cordpath.symbols.mapping_file.desk",
    "cordpath.symbols.mapping_file.yaml_tree",
    "cordpath.report.comments",
]
GUIDED += [
    "cordpath.symbols.mapping_file.entries",
    "cordpath.symbols.mapping_file.rooms",
    "cordpath.report.pdf.replies",
]
GUIDED += ["cordpath.report.comments"]
with atheris.instrument_imports(include=GUIDED):  # all of the program would take minutes to begin with
    from cordpath.batch.archive import NotArchived, pack, unpack
    from cordpath.batch.bare import without_ink
    from cordpath.check import load_mapping, understand
    from cordpath.decisions import decisions_of
    from cordpath.errors import CordpathError
    from cordpath.report import load_register, read_answers
    from cordpath.resubmittal.report import load_old, write_recheck
    from cordpath.resubmittal.resubmittal import compared
    from cordpath.rules import amend, load_amendment, load_edition
    from cordpath.sheet import read_sheet
    from cordpath.symbols.mapping_file.mapping import mapping_of

ROOT = Path(__file__).parent.parent.parent
SAMPLES = ROOT / "sample_plans"
SCRATCH = Path(tempfile.mkdtemp(prefix="cordpath-fuzz-"))
FINDINGS = Path("fuzz-findings")
DICTIONARY = SCRATCH / "words"
WORDS = """
shape: circle: center: radius: polyline: points: picked: legend: labels: text: sets: rooms: polygon: kind: scale:
cordpath: symbols: drawing: rules: when: all: any: not: cite: decisions: ruling: place: .nan .inf 1e999 &a *a << !!
{} [] null true "noun" "is" "wkb" "array" "dtype" "shape" "items" "outlets" "verdict" "sheets" "at" BT ET Tj Tf
cm Do BI ID EI BDC EMC re /Type /Annot /IRT /State /StateModel /Contents /T (x) <</ >> R obj
"""
PAGE = (
    b"%%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj 2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"
    b"3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 999 999]/Contents 4 0 R/Annots[5 0 R]/Resources<</Font<</F"
    b"<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>>>endobj\n4 0 obj<</Length %d/Filter/FlateDecode>>stream\n"
    b"%s\nendstream endobj\n%s\ntrailer<</Root 1 0 R>>"
)
CONTENT = b"q 1 0 0 1 9 9 cm 1 w 0 0 m 90 9 l 9 9 9 9 9 90 c h S Q 9 9 80 70 re f BT /F 9 Tf 9 9 Td (BATH) Tj ET\n"
MARK = (
    b"5 0 obj<</Type/Annot/Subtype/Square/Rect[0 0 9 9]/T(cordpath)/NM(E-101.1)/Contents(missing)>>endobj\n"
    b"6 0 obj<</Type/Annot/Subtype/Text/IRT 5 0 R/State(Accepted)/StateModel(Review)/T(me)/Contents(fine)>>endobj"
)


def written(data: bytes, name: str) -> Path:
    path = SCRATCH / name
    path.write_bytes(data)
    return path


def page_of(content: bytes, objects: bytes = MARK) -> bytes:
    body = zlib.compress(content, 1)
    return PAGE % (len(body), body, objects)


def old_results(data: bytes) -> None:
    before, numbers = load_old(written(data, "results.json"))
    done = compared(before, json.loads(results_seed()), numbers, SCRATCH)
    write_recheck(SCRATCH, done, ())


def results_seed() -> bytes:
    return (SCRATCH / "seed-results.json").read_bytes()


def reading_seed() -> bytes:
    mapping = load_mapping(SAMPLES / "symbols-b.yaml")
    return gzip.decompress(pack(without_ink(understand(SAMPLES / "quarry-yard.pdf", 1, mapping)).scales))


READERS: dict[str, Callable[[bytes], object]] = {
    "mapping": lambda data: mapping_of(data, "mapping.yaml"),
    "amendment": lambda data: amend(load_edition("2023"), load_amendment(written(data, "amendment.yaml"))),
    "decisions": lambda data: decisions_of(data, "decisions.yaml"),
    "archive": lambda data: unpack(gzip.compress(data, 1)),
    "results": old_results,
    "register": lambda data: load_register(written(data, "comments.json")),
    "content": lambda data: read_sheet(written(page_of(data), "content.pdf"), 1),
    "annotations": lambda data: read_answers(written(page_of(CONTENT, data), "marks.pdf")),
    "pdf": lambda data: read_sheet(written(data, "whole.pdf"), 1),
}


def seeds(reader: str) -> list[bytes]:
    """Sound files of the reader's kind."""
    if reader in ("mapping", "amendment"):
        where = (ROOT / "configs").glob("*.yaml") if reader == "mapping" else (ROOT / "configs").rglob("*am*.yaml")
        return [path.read_bytes() for path in where]
    if reader == "decisions":
        entry = "- {sheet: E-101, room: BATH, symbol: duplex, circuit: '3', place: [0.1, 0.2], ruling: accept}\n"
        return [f"cordpath-decisions: 1\ndecisions:\n{entry}".encode()]
    if reader == "archive":
        return [reading_seed()]
    if reader in ("results", "register"):
        return [(SCRATCH / f"seed-{'results' if reader == 'results' else 'comments'}.json").read_bytes()]
    return {"content": [CONTENT], "annotations": [MARK], "pdf": [page_of(CONTENT)]}[reader]


def a_review() -> None:
    """Results and comment numbers of a sample sheet, cut to two sheets' worth of outlets."""
    from click.testing import CliRunner

    from cordpath.cli import main

    out = SCRATCH / "review"
    words = ["check", SAMPLES / "quarry-yard.pdf", "--symbols", SAMPLES / "symbols-b.yaml", "--out", out, "-q"]
    CliRunner().invoke(main, [str(word) for word in words])
    document = json.loads((out / "results.json").read_text())
    for sheet in document["sheets"]:
        sheet["outlets"], sheet["rooms"], sheet["fixtures"] = sheet["outlets"][:3], sheet["rooms"][:2], []
    (SCRATCH / "seed-results.json").write_text(json.dumps(document))
    (SCRATCH / "seed-comments.json").write_bytes((out / "comments.json").read_bytes())


def main() -> None:
    reader = READERS[sys.argv[1]]
    if sys.argv[1] in ("results", "register"):
        a_review()
    corpus = SCRATCH / "corpus"
    corpus.mkdir()
    for number, data in enumerate(seeds(sys.argv[1])):
        (corpus / str(number)).write_bytes(data)
    DICTIONARY.write_text("".join(f'"{word}"\n' for word in (w.replace('"', '\\"') for w in WORDS.split())))
    FINDINGS.mkdir(exist_ok=True)

    def once(data: bytes) -> None:
        try:
            reader(data)
        except CordpathError as error:
            assert str(error).strip(), "an error without words"
        except NotArchived:
            assert sys.argv[1] == "archive"

    limits = ["-timeout=30", "-rss_limit_mb=2048", "-max_len=20000", f"-dict={DICTIONARY}"]
    atheris.Setup(
        [sys.argv[0], *limits, f"-artifact_prefix={FINDINGS}/{sys.argv[1]}-", *sys.argv[2:], str(corpus)], once
    )
    atheris.Fuzz()


if __name__ == "__main__":
    main()
