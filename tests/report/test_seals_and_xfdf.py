"""Signed files: who signed is told, the seal holds as far as the standard lets it, marks go beside as XFDF."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pikepdf
import pypdf
import pytest
from lxml import etree
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign import signers
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko_certvalidator import ValidationContext
from report_builder import RUN, missing, result, unresolved
from report_pdfs import plan_pdf, simple_pdf
from report_signing import make_signer, signed

from cordpath.frame import PageFrame
from cordpath.model import SheetResult
from cordpath.report import CAUTIONS, read_seals, results_document, results_schema, write_marked, write_xfdf
from cordpath.report.pdf.marks import lay_out
from cordpath.report.pdf.place import Crowd

SINK = (300.0, 150.0)


@pytest.fixture(scope="module")
def signer() -> signers.SimpleSigner:
    return make_signer()


def sheet() -> SheetResult:
    return result([missing("E-101.1", (100.0, 100.0), SINK), unresolved("E-101.2", (300.0, 200.0), SINK)])


@pytest.mark.parametrize("level", [None, 1, 2, 3])
def test_the_seal_is_told_and_its_bytes_stay_valid(
    tmp_path: Path, signer: signers.SimpleSigner, level: int | None
) -> None:
    source, target = signed(tmp_path, signer, level), tmp_path / "marked.pdf"
    (seal,) = read_seals(source)
    assert (seal.field, seal.signer, seal.names) == ("Seal", "E. X. Ample", ("Seal For Tests",))
    assert (seal.covers, seal.after, seal.level) == (True, 0, level)
    notes = write_marked(source, target, (sheet(),), RUN)
    assert seal.told in notes and any("review copy" in note for note in notes)
    assert target.read_bytes().startswith(source.read_bytes())
    (later,) = read_seals(target)
    assert not later.covers and later.after == target.stat().st_size - source.stat().st_size
    with target.open("rb") as file:  # an independent reader: the signed bytes and the seal are as they were
        (embedded,) = PdfFileReader(file).embedded_signatures
        trusted = ValidationContext(trust_roots=[signer.signing_cert])
        status = validate_pdf_signature(embedded, trusted, skip_diff=True)
    assert status.intact and status.valid
    pages = pypdf.PdfReader(target).pages
    if level == 3:  # a page more would break the certification; see test_certified.py
        assert len(pages) == 1
    else:
        text = "".join(page.extract_text() for page in pages[1:])
        assert "E. X. Ample" in text and "REVIEW COPY" in text
    with pikepdf.open(target) as opened:
        assert opened.check_pdf_syntax() == []


def test_seals_are_in_the_results_and_fit_the_schema(tmp_path: Path, signer: signers.SimpleSigner) -> None:
    import jsonschema

    seals = read_seals(signed(tmp_path, signer, 2))
    document = results_document((sheet(),), RUN, (), {"plans/set.pdf": seals})
    jsonschema.validate(document, results_schema())
    assert document["signatures"][0]["level"] == 2 and "not verified" in document["signatures"][0]["told"]


def test_damaged_ranges_are_told_and_plain_files_have_no_seal(tmp_path: Path, signer: signers.SimpleSigner) -> None:
    assert read_seals(simple_pdf(tmp_path / "a.pdf")) == ()
    path = signed(tmp_path, signer, None)
    cut = tmp_path / "cut.pdf"
    data = path.read_bytes()
    at = data.index(b"[", data.index(b"/ByteRange"))
    cut.write_bytes(data[: at + 1] + b"9" + data[at + 2 :])
    (seal,) = read_seals(cut)
    assert not seal.covers and seal.after is None and "does not fit" in seal.told


def xfdf_of(
    folder: Path, frame: PageFrame, media: tuple[float, float, float, float]
) -> tuple[etree._Element, Path]:
    source, marked, target = folder / "set & 1.pdf", folder / "m.pdf", folder / "m.xfdf"
    plan_pdf(source, [(100.0, 100.0), (300.0, 200.0)], frame, media)
    write_marked(source, marked, (result(sheet().findings, size=frame.size),), RUN)
    assert write_xfdf(marked, target, source.name) > 0
    return etree.parse(str(target)).getroot(), marked


@pytest.mark.parametrize("frame", [PageFrame((0, 0, 612, 396)), PageFrame((50, 20, 446, 632), 90, 1.5)])
def test_another_reader_finds_the_same_marks_at_the_same_places(tmp_path: Path, frame: PageFrame) -> None:
    root, marked = xfdf_of(tmp_path, frame, (0.0, 0.0, 700.0, 700.0))
    space = "{http://ns.adobe.com/xfdf/}"
    assert root.tag == f"{space}xfdf" and root.find(f"{space}f").get("href") == "set & 1.pdf"
    with pikepdf.open(marked) as pdf:
        drawn = {str(a.NM): a for page in pdf.pages for a in page.get("/Annots", [])
                 if str(a.get("/NM", "")).startswith("cordpath-p") and a.Subtype != "/Link"}  # fmt: skip
        beside = {a.get("name"): a for a in root.find(f"{space}annots")}
        note = beside.pop("cordpath-cautions")
        assert note.tag == f"{space}text" and note.get("page") == "0"
        assert note.findtext(f"{space}contents").split("\n") == list(CAUTIONS)
        corner = frame.to_page(np.array([float(v) for v in note.get("rect").split(",")]).reshape(2, 2))
        assert corner.min() >= 0 and corner.max() <= 30, "in the upper left corner as displayed"
        assert set(beside) == set(drawn) and len(drawn) >= 6
        for name, made in drawn.items():
            other = beside[name]
            assert str(made.Subtype)[1:].lower() == etree.QName(other).localname
            assert [float(v) for v in other.get("rect").split(",")] == pytest.approx(
                [float(v) for v in made.Rect], abs=1e-3
            )
            assert other.findtext(f"{space}contents") == str(made.Contents)
            assert other.get("page") == "0" and other.get("title") == "cordpath" and "print" in other.get("flags")
            assert [int(other.get("color")[k : k + 2], 16) / 255 for k in (1, 3, 5)] == pytest.approx(
                [float(v) for v in made.C], abs=0.003
            )
            if "/Vertices" in made:
                pairs = [
                    float(v) for pair in other.findtext(f"{space}vertices").split(";") for v in pair.split(",")
                ]
                assert pairs == pytest.approx([float(v) for v in made.Vertices], abs=1e-3)
            if "/IRT" in made:
                assert other.get("inreplyto") == str(made.IRT.NM) and other.get("replyType") == "group"
        clouds = [a for n, a in beside.items() if n.endswith("-cloud")]
        assert all(cloud.get("style") == "cloudy" and cloud.get("intensity") == "1" for cloud in clouds)


def test_tags_keep_off_the_areas_that_are_kept_clear() -> None:
    found = sheet().findings
    plain = lay_out(found, Crowd(612, 396))
    clear = tuple(mark.tag for mark in plain) + tuple(path.label_box for mark in plain for path in mark.paths)
    moved = lay_out(found, Crowd(612, 396, forbidden=clear))
    boxes = [mark.tag for mark in moved] + [path.label_box for mark in moved for path in mark.paths]

    def apart(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
        return a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]

    assert all(apart(box, area) for box in boxes for area in clear)
