"""The marked PDF: the input's bytes, the annotations and their looks, what the file had before, what is refused."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pikepdf
import pymupdf
import pytest
import report_builder as build
import report_pdfs as pdfs
from pikepdf import Array, Dictionary, Name, OutlineItem, String

from cordpath.errors import LockedFile, OutputRefused, UnreadableFile
from cordpath.model import Unexplained
from cordpath.report import write_marked, write_xfdf

A, B, SINK = (100.0, 100.0), (300.0, 200.0), (200.0, 150.0)


def two_findings():
    return (build.missing("E-101.1", A, SINK, build.kitchen()), build.unresolved("E-101.2", B, SINK))


def mark(source: Path, *results, password: str | None = None) -> tuple[Path, tuple[str, ...]]:
    target = source.with_suffix(".marked.pdf")
    notes = write_marked(source, target, results or (build.result(two_findings()),), build.RUN, password)
    return target, notes


def named(page: pikepdf.Page) -> dict[str, pikepdf.Object]:
    return {str(annotation.NM): annotation for annotation in page.get("/Annots", [])}


def test_input_is_a_prefix_and_is_left_alone(tmp_path: Path) -> None:
    source = pdfs.simple_pdf(tmp_path / "plan.pdf")
    before = source.read_bytes()
    target, notes = mark(source)
    assert notes == ()
    assert source.read_bytes() == before
    assert target.read_bytes().startswith(before) and len(target.read_bytes()) > len(before)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["plan.marked.pdf", "plan.pdf"]


def test_same_input_same_bytes(tmp_path: Path) -> None:
    source = pdfs.simple_pdf(tmp_path / "plan.pdf")
    first = mark(source)[0].read_bytes()
    assert mark(source)[0].read_bytes() == first


def test_every_annotation_has_its_looks_name_author_and_layer(tmp_path: Path) -> None:
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"))
    with pikepdf.open(target) as pdf:
        layer = next(g for g in pdf.Root.OCProperties.OCGs if str(g.Name) == "cordpath review")
        assert any(g == layer for g in pdf.Root.OCProperties.D.ON)
        annotations = named(pdf.pages[0])
        kinds = sorted(str(a.Subtype) for a in annotations.values())
        assert kinds == [
            "/FreeText",
            "/FreeText",
            "/Link",
            "/Link",
            "/PolyLine",
            "/PolyLine",
            "/Polygon",
            "/Polygon",
        ]
        for name, annotation in annotations.items():
            assert name.startswith("cordpath-p1-E-101.")
            assert annotation.OC.objgen == layer.objgen
            assert int(annotation.F) == 4
            x0, y0, x1, y1 = (float(v) for v in annotation.Rect)
            assert 0 <= x0 < x1 <= 612 and 0 <= y0 < y1 <= 396
            if annotation.Subtype != Name.Link:
                form = annotation.AP.N
                assert form.Subtype == Name.Form and len(form.read_bytes()) > 20
                assert str(annotation.T) == "cordpath" and str(annotation.Subj)
                assert "/M" not in annotation and "/CreationDate" not in annotation
        solid, dashed = annotations["cordpath-p1-E-101.1-cloud"], annotations["cordpath-p1-E-101.2-cloud"]
        assert solid.BS.S == Name.S and dashed.BS.S == Name.D
        assert b"[] 0 d" in solid.AP.N.read_bytes() and b"[4 3] 0 d" in dashed.AP.N.read_bytes()
        tags = [str(annotations[f"cordpath-p1-E-101.{k}-tag"].Contents) for k in (1, 2)]
        assert tags == ["E-101.1", "E-101.2 ?"]
        for tag in (annotations["cordpath-p1-E-101.1-tag"], annotations["cordpath-p1-E-101.1-path-1"]):
            assert tag.IRT.objgen == solid.objgen and Name.Group == tag.RT


def test_notes_tell_rule_reason_evidence_and_question(tmp_path: Path) -> None:
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"))
    with pikepdf.open(target) as pdf:
        annotations = named(pdf.pages[0])
        missing = str(annotations["cordpath-p1-E-101.1-cloud"].Contents)
        for part in ("210.8(A)(8)", "4.3 ft", "KITCHEN", "A-12", "NEC 2023", "city.yaml", "duplex receptacle"):
            assert part in missing
        assert "violation" not in missing.lower()
        unresolved = str(annotations["cordpath-p1-E-101.2-cloud"].Contents)
        assert "Question: How far is it" in unresolved and "(may apply)" in unresolved
        assert "4.30 ft" in str(annotations["cordpath-p1-E-101.1-path-1"].Contents)


def test_links_lead_from_row_to_cloud_and_back(tmp_path: Path) -> None:
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"))
    with pikepdf.open(target) as pdf:
        plan, schedule = pdf.pages[0], pdf.pages[1]
        rows = named(schedule)
        assert len(rows) == 2
        for row in rows.values():
            assert row.Dest[0].objgen == plan.objgen and row.Dest[1] == Name.FitR
        back = named(plan)["cordpath-p1-E-101.1-back"]
        assert back.Dest[0].objgen == schedule.objgen and back.Dest[1] == Name.XYZ
        row_top = max(float(row.Rect[3]) for row in rows.values())
        assert row_top <= float(back.Dest[3]) <= row_top + 60
        cloud = [float(v) for v in named(plan)["cordpath-p1-E-101.1-cloud"].Rect]
        view = [float(v) for v in rows["cordpath-p2-E-101.1-row"].Dest[2:6]]
        assert view[0] <= cloud[0] and view[1] <= cloud[1] and view[2] >= cloud[2] and view[3] >= cloud[3]


def test_schedule_tells_what_is_missing_with_terms_and_cautions(tmp_path: Path) -> None:
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"), build.result(two_findings()), build.failed(page=2))
    with pymupdf.open(target) as pdf:
        text = " ".join(" ".join(page.get_text() for page in list(pdf)[1:]).split())
    for part in (
        "Schedule of outlets missing protection", "E-101.1", "KITCHEN 101", "duplex receptacle", "A-12",
        "210.8(A)(8)", "2023 edition", "city.yaml", "Unresolved", "E-101.2", "How far is it from the bowl of f1?",
        "only a picture",
        "authority having jurisdiction", "Do not scale where a dimension is given", "Turn the power off and test",
        "Schedule page 1 of", "1 sheet could not be checked",
    ):  # fmt: skip
        assert part in text, part


def test_nothing_missing_is_said_with_the_totals(tmp_path: Path) -> None:
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"), build.result((build.free("E-101.1", A),)))
    with pymupdf.open(target) as pdf:
        assert len(pdf) == 2
        text = " ".join(pdf[1].get_text().split())
    assert "No outlet is found missing protection" in text and "1 sheet 1 outlet 0 missing" in text


def test_sheets_on_which_nothing_was_found_are_not_called_clean(tmp_path: Path) -> None:
    empty = build.result((), unexplained=(Unexplained("a shape", ((1.0, 1.0), (2.0, 2.0))),))
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"), empty)
    with pymupdf.open(target) as pdf:
        text = " ".join(pdf[1].get_text().split())
    assert "No outlet was found" in text and "2 shapes" in text and "missing protection on the sheets" not in text


def test_a_file_of_failed_sheets_is_not_called_clean(tmp_path: Path) -> None:
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"), build.failed())
    with pymupdf.open(target) as pdf:
        text = " ".join(pdf[1].get_text().split())
        assert "No sheet of this file was checked" in text and "No outlet is found" not in text
    with pikepdf.open(target) as pdf:
        assert "only a picture" in str(named(pdf.pages[0])["cordpath-p1-not-checked"].Contents)


def test_long_schedules_run_over_pages_with_their_head(tmp_path: Path) -> None:
    many = tuple(build.missing(f"E-101.{k}", (20.0 + k, 100.0), SINK) for k in range(1, 61))
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"), build.result(many))
    with pymupdf.open(target) as pdf:
        texts = [page.get_text() for page in list(pdf)[1:]]
        found = [k for k in range(1, 61) if any(f"\nE-101.{k}\n" in text for text in texts)]
        assert found == list(range(1, 61)) and len(texts) > 2
        assert all("Required by" in text for text in texts[:3])
        assert f"Schedule page {len(texts)} of {len(texts)}" in texts[-1]
        for page in list(pdf)[1:]:  # nothing runs off the page
            for word in page.get_text("words"):
                assert page.rect.x0 <= word[0] and word[2] <= page.rect.x1 and word[3] <= page.rect.y1
        smallest = min(
            s["size"] for b in pdf[1].get_text("dict")["blocks"] for ln in b["lines"] for s in ln["spans"]
        )
        assert smallest >= 6.75


def test_outlines_labels_layers_and_annotations_survive(tmp_path: Path) -> None:
    source = tmp_path / "plan.pdf"
    pdfs.simple_pdf(tmp_path / "bare.pdf", pages=2)
    with pikepdf.open(tmp_path / "bare.pdf") as pdf:
        with pdf.open_outline() as outline:
            outline.root.append(OutlineItem("A-101", 0))
            outline.root.append(OutlineItem("E-101", 1))
        pdf.Root.PageLabels = Dictionary(Nums=Array([0, Dictionary(P=String("A-10"), S=Name.D)]))
        group = pdf.make_indirect(Dictionary(Type=Name.OCG, Name=String("E-POWR")))
        pdf.Root.OCProperties = Dictionary(
            OCGs=Array([group]), D=Dictionary(BaseState=Name.OFF, ON=Array([group]), Order=Array([group]))
        )
        note = pdf.make_indirect(
            Dictionary(Type=Name.Annot, Subtype=Name.Text, Rect=Array([9, 9, 20, 20]), NM=String("mine"))
        )
        shared = pdf.make_indirect(Array([note]))  # one list for two pages: marks must not show on both
        for page in pdf.pages:
            page.Annots = shared
        pdf.save(source)
    target, _ = mark(source, build.judged_on(build.result(two_findings()), 2))
    assert target.read_bytes().startswith(source.read_bytes())
    with pikepdf.open(target) as pdf:
        with pdf.open_outline() as outline:
            titles = [item.title for item in outline.root]
            assert titles[:2] == ["A-101", "E-101"] and len(titles) == 3 and "schedule" in titles[2]
            assert [child.title for child in outline.root[2].children] == ["E-101.1 missing", "E-101.2 unresolved"]
        assert [str(page.label) for page in pdf.pages][:2] == ["A-101", "A-102"]
        assert str(pdf.pages[2].label).startswith("Schedule ")
        assert [str(g.Name) for g in pdf.Root.OCProperties.OCGs] == ["E-POWR", "cordpath review"]
        assert list(named(pdf.pages[0])) == ["mine"]
        assert "mine" in named(pdf.pages[1]) and len(named(pdf.pages[1])) == 9
    with pymupdf.open(target) as pdf:
        assert {g["name"]: g["on"] for g in pdf.get_ocgs().values()} == {"E-POWR": True, "cordpath review": True}


def test_the_layer_switches_the_marks_off(tmp_path: Path) -> None:
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"))
    with pikepdf.open(target) as pdf:
        default = pdf.Root.OCProperties.D
        default.OFF = default.ON
        del default.ON
        pdf.save(tmp_path / "off.pdf")
    pictures = []
    for name in ("plan.pdf", "off.pdf", "plan.marked.pdf"):
        with pymupdf.open(tmp_path / name) as pdf:
            pictures.append(pdf[0].get_pixmap().samples)
    assert pictures[0] == pictures[1] != pictures[2]


def test_inherited_rotation_and_crop_do_not_turn_the_schedule(tmp_path: Path) -> None:
    source = tmp_path / "plan.pdf"
    pdfs.simple_pdf(tmp_path / "bare.pdf")
    with pikepdf.open(tmp_path / "bare.pdf") as pdf:
        for key in ("/Rotate", "/CropBox", "/MediaBox"):
            del pdf.pages[0].obj[key]
        pdf.Root.Pages.Rotate = 90
        pdf.Root.Pages.MediaBox = Array([0, 0, 612, 792])
        pdf.Root.Pages.CropBox = Array([0, 0, 300, 300])
        pdf.save(source)
    target, _ = mark(source)
    with pymupdf.open(target) as pdf:
        page = pdf[1]
        assert page.rotation == 0 and page.rect.width > page.rect.height > 500
        title = page.search_for("Schedule of outlets missing protection")[0]
        assert title.y1 < 90 and title.width > 150


def test_encrypted_input_with_its_password(tmp_path: Path) -> None:
    pdfs.simple_pdf(tmp_path / "bare.pdf")
    source = tmp_path / "plan.pdf"
    with pikepdf.open(tmp_path / "bare.pdf") as pdf:
        pdf.save(source, encryption=pikepdf.Encryption(owner="own", user="use", R=6))
    with pytest.raises(LockedFile):
        mark(source)
    with pytest.raises(LockedFile):
        mark(source, password="wrong")
    assert not (tmp_path / "plan.marked.pdf").exists()
    target, _ = mark(source, password="use")
    assert target.read_bytes().startswith(source.read_bytes())
    with pikepdf.open(target, password="use") as pdf:
        assert pdf.is_encrypted
        assert str(named(pdf.pages[0])["cordpath-p1-E-101.1-tag"].Contents) == "E-101.1"
    with pytest.raises(pikepdf.PasswordError):
        pikepdf.open(target)


def test_object_streams_are_added_to_as_they_are(tmp_path: Path) -> None:
    pdfs.simple_pdf(tmp_path / "bare.pdf")
    source = tmp_path / "plan.pdf"
    with pikepdf.open(tmp_path / "bare.pdf") as pdf:
        pdf.save(source, object_stream_mode=pikepdf.ObjectStreamMode.generate, linearize=True)
    target, notes = mark(source)
    assert notes == () and target.read_bytes().startswith(source.read_bytes())
    with pikepdf.open(target) as pdf:
        assert len(named(pdf.pages[0])) == 8 and not pdf.check_pdf_syntax()


@pytest.mark.parametrize("level", [None, 1, 3])
def test_signed_and_certified_files_are_told(tmp_path: Path, level: int | None) -> None:
    pdfs.simple_pdf(tmp_path / "bare.pdf")
    source = tmp_path / "plan.pdf"
    with pikepdf.open(tmp_path / "bare.pdf") as pdf:
        signature = pdf.make_indirect(
            Dictionary(Type=Name.Sig, Filter=Name("/Adobe.PPKLite"), ByteRange=Array([0, 1, 2, 3]))
        )
        field = pdf.make_indirect(Dictionary(FT=Name.Sig, T=String("seal"), V=signature))
        pdf.Root.AcroForm = Dictionary(Fields=Array([field]), SigFlags=3)
        if level:
            signature.Reference = Array(
                [Dictionary(TransformMethod=Name.DocMDP, TransformParams=Dictionary(P=level))]
            )
            pdf.Root.Perms = Dictionary(DocMDP=signature)
        pdf.save(source)
    target, notes = mark(source)
    assert "review copy: appended after signing" in notes[0]
    said = {None: "", 1: "DocMDP P 1", 3: "permits annotations and nothing else"}[level]
    assert said in notes[1] and len(notes) == (3 if level else 2)
    assert "field seal" in notes[-1] and "bytes were added since" in notes[-1]
    assert target.read_bytes().startswith(source.read_bytes())
    with pymupdf.open(target) as pdf:
        if level == 3:
            assert len(pdf) == 1 and any("appended after signing" in a.info["content"] for a in pdf[0].annots())
        else:
            assert "REVIEW COPY: APPENDED AFTER SIGNING" in pdf[1].get_text()


def test_a_damaged_file_is_written_anew_and_it_is_said(tmp_path: Path) -> None:
    source = tmp_path / "plan.pdf"
    data = pdfs.simple_pdf(tmp_path / "bare.pdf").read_bytes()
    source.write_bytes(data[: data.rindex(b"xref")] + b"garbage")
    target, notes = mark(source)
    assert len(notes) == 1 and "repaired" in notes[0]
    with pikepdf.open(target) as pdf:
        assert len(named(pdf.pages[0])) == 8 and len(pdf.pages) == 2


@pytest.mark.parametrize("content", [b"", b"not a PDF at all", b"%PDF-1.7\n%%EOF\n"])
def test_what_is_no_pdf_is_refused_and_leaves_nothing(tmp_path: Path, content: bytes) -> None:
    source = tmp_path / "plan.pdf"
    source.write_bytes(content)
    with pytest.raises(UnreadableFile):
        mark(source)
    assert [p.name for p in tmp_path.iterdir()] == ["plan.pdf"]


def test_an_input_is_never_written_to(tmp_path: Path) -> None:
    source = pdfs.simple_pdf(tmp_path / "plan.pdf")
    before = source.read_bytes()
    link, hard = tmp_path / "link.pdf", tmp_path / "hard.pdf"
    link.symlink_to(source)
    os.link(source, hard)
    for target in (source, link, hard, tmp_path / "x" / ".." / "plan.pdf"):
        (tmp_path / "x").mkdir(exist_ok=True)
        with pytest.raises(OutputRefused):
            write_marked(source, target, (build.result(two_findings()),), build.RUN)
    assert source.read_bytes() == before and link.is_symlink()


def test_a_second_run_replaces_the_marks_of_the_first(tmp_path: Path) -> None:
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"))
    with pymupdf.open(target) as pdf:
        pdf.set_layer(-1, off=[x for x, g in pdf.get_ocgs().items()])
        pdf.saveIncr()
    again = tmp_path / "again.pdf"
    notes = write_marked(target, again, (build.result((two_findings()[0],)),), build.RUN)
    assert any("earlier run" in note for note in notes)
    with pikepdf.open(again) as pdf:
        assert len(named(pdf.pages[0])) == 4
        assert [str(g.Name) for g in pdf.Root.OCProperties.OCGs] == ["cordpath review"]
    with pymupdf.open(again) as pdf:
        assert [g["on"] for g in pdf.get_ocgs().values()] == [True]


def test_pages_that_are_not_there_are_told(tmp_path: Path) -> None:
    _, notes = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"), build.judged_on(build.result(two_findings()), 7))
    assert any("page 7" in note for note in notes)


def test_odd_texts_reach_the_page(tmp_path: Path) -> None:
    room = replace(build.kitchen(), name="CUISINE É (½) 厨房 \x07")
    finding = build.missing("É(1)\\2", A, SINK, room)
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"), build.result((finding,)))
    with pikepdf.open(target) as pdf:
        assert "CUISINE É (½) 厨房" in str(named(pdf.pages[0])["cordpath-p1-É(1)\\2-cloud"].Contents)
    with pymupdf.open(target) as pdf:
        assert "CUISINE É (½)" in pdf[1].get_text() and "É(1)\\2" in pdf[1].get_text()


@pytest.mark.parametrize(
    "spoil",
    [
        lambda pdf: pdf.pages[0].__setitem__("/Annots", Dictionary(Odd=True)),
        lambda pdf: pdf.pages[0].__setitem__("/Annots", Array([None, 3, Dictionary(NM=5), Array([])])),
        lambda pdf: pdf.Root.__setitem__("/Outlines", Dictionary(Count=-3)),
        lambda pdf: pdf.Root.__setitem__(
            "/Outlines", pdf.make_indirect(Dictionary(First=7, Last=String("x"), Count=2))
        ),
        lambda pdf: pdf.Root.__setitem__("/OCProperties", Array([])),
        lambda pdf: pdf.Root.__setitem__(
            "/OCProperties", Dictionary(OCGs=3, D=Dictionary(ON=1, Order=String("a")))
        ),
        lambda pdf: pdf.Root.__setitem__("/PageLabels", Dictionary(Nums=Array([0]))),
        lambda pdf: pdf.Root.__setitem__("/PageLabels", Dictionary(Kids=Array([]))),
        lambda pdf: pdf.Root.__setitem__("/AcroForm", Array([1])),
        lambda pdf: pdf.Root.__setitem__("/Perms", Dictionary(DocMDP=Dictionary(Reference=Array([4])))),
        lambda pdf: pdf.pages[0].__setitem__("/MediaBox", Array([5, 5, 5, 5])),
        lambda pdf: pdf.pages[0].__setitem__("/CropBox", Array([9000, 9000, 9900, 9900])),
        lambda pdf: pdf.pages[0].__setitem__("/Rotate", 45),
        lambda pdf: pdf.pages[0].__setitem__("/UserUnit", -3),
        lambda pdf: pdf.pages[0].__setitem__("/Contents", pdf.make_stream(b"q q q 1 0 0 (((")),
    ],
)
def test_odd_structures_get_marks_all_the_same(tmp_path: Path, capfd, spoil) -> None:
    source = tmp_path / "plan.pdf"
    pdfs.simple_pdf(tmp_path / "bare.pdf")
    with pikepdf.open(tmp_path / "bare.pdf") as pdf:
        spoil(pdf)
        pdf.save(source)
    target, _ = mark(source)
    assert target.read_bytes().startswith(source.read_bytes())
    with pikepdf.open(target) as pdf:
        ours = [a for a in pdf.pages[0].Annots if isinstance(a, Dictionary) and str(a.get("/T", "")) == "cordpath"]
        assert len(ours) == 6 and len(pdf.pages) >= 2
    printed = capfd.readouterr()
    assert printed.out == printed.err == ""


def test_thousands_of_leftovers_do_not_flood_the_schedule(tmp_path: Path) -> None:
    things = tuple(Unexplained(f"shape {k}", ((1.0, 1.0),)) for k in range(3000))
    found = build.result(two_findings(), unexplained=things)
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf"), found)
    with pymupdf.open(target) as pdf:
        text = " ".join(page.get_text() for page in pdf)
        assert len(pdf) <= 5 and "2960 more" in " ".join(text.split())


def test_a_file_that_does_not_permit_annotations_is_told(tmp_path: Path) -> None:
    pdfs.simple_pdf(tmp_path / "bare.pdf")
    source = tmp_path / "plan.pdf"
    allow = pikepdf.Permissions(modify_annotation=False, modify_form=False)
    with pikepdf.open(tmp_path / "bare.pdf") as pdf:
        pdf.save(source, encryption=pikepdf.Encryption(owner="own", user="", R=6, allow=allow))
    target, notes = mark(source)
    assert any("did not permit annotations" in note for note in notes)
    assert target.read_bytes().startswith(source.read_bytes())


def test_an_old_header_is_raised_in_the_catalog_only(tmp_path: Path) -> None:
    source = tmp_path / "plan.pdf"
    pdfs.simple_pdf(tmp_path / "bare.pdf")
    with pikepdf.open(tmp_path / "bare.pdf") as pdf:
        pdf.save(source, force_version="1.3")
    target, _ = mark(source)
    assert target.read_bytes().startswith(b"%PDF-1.3")
    with pikepdf.open(target) as pdf:
        assert pdf.Root.Version == Name("/1.7")


@pytest.mark.parametrize(
    "size", [(612.0, 792.0), (792.0, 612.0), (1224.0, 792.0), (2592.0, 1728.0), (200.0, 100.0)]
)
def test_schedule_pages_fit_the_set_and_their_text_is_never_small(tmp_path: Path, size) -> None:
    target, _ = mark(pdfs.simple_pdf(tmp_path / "plan.pdf", size=size), build.result(two_findings(), size=size))
    with pymupdf.open(target) as pdf:
        page = pdf[1]
        wide, high = max(size), min(size)
        assert (page.rect.width, page.rect.height) == ((wide, high) if high >= 600 else (792, 612))
        spans = [s for b in page.get_text("dict")["blocks"] for ln in b["lines"] for s in ln["spans"]]
        assert min(s["size"] for s in spans) >= 6.75
        assert (
            max(s["bbox"][2] for s in spans) <= page.rect.width
            and max(s["bbox"][3] for s in spans) <= page.rect.height
        )


def test_marks_carry_the_day_of_the_review_and_nothing_finer(tmp_path: Path) -> None:
    source, target = pdfs.simple_pdf(tmp_path / "plan.pdf"), tmp_path / "m.pdf"
    run = replace(build.RUN, made_on="2026-02-03")
    write_marked(source, target, (build.result(two_findings()),), run)
    with pikepdf.open(target) as pdf:
        marks = [a for a in named(pdf.pages[0]).values() if a.Subtype != Name.Link]
        assert marks and all(str(a.M) == str(a.CreationDate) == "D:20260203" for a in marks)
    write_xfdf(target, tmp_path / "m.xfdf", "plan.pdf")
    text = (tmp_path / "m.xfdf").read_text("utf-8")
    assert text.count(' date="D:20260203"') == text.count(' creationdate="D:20260203"') == len(marks)
    with pymupdf.open(target) as pdf:
        assert "Reviewed on 2026-02-03." in pdf[1].get_text()
