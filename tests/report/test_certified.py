"""A file that is certified and permits annotations stays certified: pyHanko takes nothing else for changed.

pyHanko's own policy knows what forms and metadata may change, and nothing of annotations ("not designed to support
DocMDP level 3").  The rule that is added here lets through what ISO 32000-2:2020, 12.8.2.2 and table 257 permit at
level 3, creating and deleting annotations: the list of a page, and new objects that only it leads to.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import pikepdf
import pypdf
import pytest
from pikepdf import Dictionary, Name
from pyhanko.pdf_utils.reader import HistoricalResolver, PdfFileReader
from pyhanko.sign import signers
from pyhanko.sign.diff_analysis import (
    DEFAULT_DIFF_POLICY,
    ModificationLevel,
    QualifiedWhitelistRule,
    ReferenceUpdate,
    StandardDiffPolicy,
)
from pyhanko.sign.diff_analysis.policies import SuspiciousModification
from pyhanko.sign.validation import PdfSignatureStatus, validate_pdf_signature
from pyhanko_certvalidator import ValidationContext
from report_builder import RUN, missing, result, unresolved
from report_pdfs import simple_pdf
from report_signing import make_signer, signed

from cordpath.report import schedule_beside, write_marked

SHEET = result([missing("E-101.1", (100.0, 100.0), (300.0, 150.0)), unresolved("E-101.2", (300.0, 200.0), (9, 9))])


class AnnotationsMayChange(QualifiedWhitelistRule):
    def apply_qualified(
        self, old: HistoricalResolver, new: HistoricalResolver
    ) -> Iterable[tuple[ModificationLevel, ReferenceUpdate]]:
        for number in range(int(old.root["/Pages"]["/Count"])):
            before, after = old.root["/Pages"]["/Kids"][number], new.root["/Pages"]["/Kids"][number]
            for key in {*before.keys(), *after.keys()} - {"/Annots"}:
                if before.raw_get(key) != after.raw_get(key):
                    raise SuspiciousModification(f"{key} of page {number + 1} was changed")
            yield (
                ModificationLevel.ANNOTATIONS,
                ReferenceUpdate(new.root["/Pages"]["/Kids"].raw_get(number).reference),
            )
            reached = new.collect_dependencies(after.raw_get("/Annots"), since_revision=new.revision)
            for reference in reached:
                if old.is_ref_unassignable(reference):  # not there before
                    yield ModificationLevel.ANNOTATIONS, ReferenceUpdate(reference)


POLICY = StandardDiffPolicy(
    [*DEFAULT_DIFF_POLICY.global_rules, AnnotationsMayChange()], DEFAULT_DIFF_POLICY.form_rule
)


@pytest.fixture(scope="module")
def signer() -> signers.SimpleSigner:
    return make_signer()


def status_of(path: Path, signer: signers.SimpleSigner) -> PdfSignatureStatus:
    with path.open("rb") as file:
        (embedded,) = PdfFileReader(file).embedded_signatures
        return validate_pdf_signature(
            embedded, ValidationContext(trust_roots=[signer.signing_cert]), diff_policy=POLICY
        )


def test_the_certification_holds(tmp_path: Path, signer: signers.SimpleSigner, caplog) -> None:
    source, target = signed(tmp_path, signer, 3), tmp_path / "marked.pdf"
    notes = write_marked(source, target, (SHEET,), RUN)
    assert any("permits annotations and nothing else" in note for note in notes)
    status = status_of(target, signer)
    assert status.intact and status.valid and status.docmdp_ok and status.bottom_line
    assert status.modification_level == ModificationLevel.ANNOTATIONS
    with pikepdf.open(source) as before, pikepdf.open(target) as after:
        assert after.check_pdf_syntax() == [] and len(after.pages) == len(before.pages)
        assert after.Root.unparse() == before.Root.unparse()
        ours = [a for a in after.pages[0].Annots if str(a.get("/NM", "")).startswith("cordpath")]
        texts = [str(a.Contents) for a in ours if a.Subtype == Name.FreeText]
        assert texts == ["Review copy: appended after signing", "E-101.1", "E-101.2 ?"]
        assert all("/OC" not in a and "/AP" in a for a in ours)
        fonts = ours[0].AP.N.Resources.Font
        assert all("/ToUnicode" in font for font in fonts.values())


@pytest.mark.parametrize("level", [None, 1, 2])
def test_other_copies_are_said_to_break_it_and_do(tmp_path: Path, signer: signers.SimpleSigner, level) -> None:
    """The check above can fail: schedule pages are no annotations."""
    source, target = signed(tmp_path, signer, level), tmp_path / "marked.pdf"
    notes = write_marked(source, target, (SHEET,), RUN)
    status = status_of(target, signer)
    assert status.intact and status.valid and not status.bottom_line
    assert level is None or any(f"DocMDP P {level}" in note and "broken" in note for note in notes)


def test_looks_of_earlier_annotations_are_left_alone(tmp_path: Path, signer: signers.SimpleSigner) -> None:
    """A note without a look of its own is drawn by viewers in their way; looking at the page gives it none."""
    plain = simple_pdf(tmp_path / "noted.pdf")
    with pikepdf.open(plain, allow_overwriting_input=True) as pdf:
        note = Dictionary(
            Type=Name.Annot, Subtype=Name.FreeText, Rect=[200, 200, 300, 240], Contents="mine", DA="/Helv 9 Tf 0 g"
        )
        pdf.pages[0].Annots = pdf.make_indirect([pdf.make_indirect(note)])
        pdf.save()
    source, target = signed(tmp_path, signer, 3, plain), tmp_path / "marked.pdf"
    write_marked(source, target, (SHEET,), RUN)
    assert status_of(target, signer).bottom_line
    with pikepdf.open(target) as after:
        assert "/AP" not in next(a for a in after.pages[0].Annots if str(a.get("/Contents")) == "mine")


def test_scripts_of_a_certified_file_are_told_and_left(tmp_path: Path, signer: signers.SimpleSigner) -> None:
    plain = simple_pdf(tmp_path / "script.pdf")
    with pikepdf.open(plain, allow_overwriting_input=True) as pdf:
        pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS="app.alert(1)")
        pdf.save()
    source, target = signed(tmp_path, signer, 3, plain), tmp_path / "marked.pdf"
    notes = write_marked(source, target, (SHEET,), RUN)
    assert any("JavaScript" in note and "so does the marked copy" in note for note in notes)
    assert status_of(target, signer).bottom_line


def test_the_schedule_of_a_copy_that_gets_no_pages_is_a_file_beside_it(
    tmp_path: Path, signer: signers.SimpleSigner
) -> None:
    source, target = signed(tmp_path, signer, 3), tmp_path / "plan.marked.pdf"
    write_marked(source, target, (SHEET,), RUN)
    beside = schedule_beside(source, target, (SHEET,), RUN)
    assert beside == tmp_path / "plan.marked.schedule.pdf"
    assert status_of(target, signer).bottom_line, "the copy is as it was"
    first = beside.read_bytes()
    assert schedule_beside(source, target, (SHEET,), RUN) and beside.read_bytes() == first
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(beside).pages)
    assert "E-101.1" in text and "E-101.2" in text and "Seal" in text and "cordpath" in text
    with pikepdf.open(beside) as pdf, pikepdf.open(target) as marked:
        assert pdf.check_pdf_syntax() == []
        with pdf.open_outline() as outline:
            assert len(outline.root) == 1
        links = [link for page in pdf.pages for link in page.get("/Annots", [])]
        assert len(links) == 2
        for link, number in zip(links, ("E-101.1", "E-101.2"), strict=True):
            assert Name.GoToR == link.A.S and str(link.A.F.UF) == target.name
            page, kind, *view = link.A.D
            (cloud,) = (
                a for a in marked.pages[int(page)].Annots if str(a.get("/NM", "")).endswith(f"{number}-cloud")
            )
            x0, y0, x1, y1 = map(float, cloud.Rect)
            assert kind == Name.FitR and view[0] < x0 < x1 < view[2] and view[1] < y0 < y1 < view[3]


@pytest.mark.parametrize("level", [None, 2])
def test_a_copy_with_its_own_schedule_pages_gets_no_file_beside_it(
    tmp_path: Path, signer: signers.SimpleSigner, level: int | None
) -> None:
    source, target = signed(tmp_path, signer, level), tmp_path / "plan.marked.pdf"
    write_marked(source, target, (SHEET,), RUN)
    assert schedule_beside(source, target, (SHEET,), RUN) is None
