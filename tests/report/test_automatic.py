"""Scripts and programs of an input do not run in its marked copy; its bytes and harmless things stay."""

from __future__ import annotations

from pathlib import Path

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, Page, Pdf
from report_builder import RUN, missing, result
from report_pdfs import simple_pdf

from cordpath.report import write_marked

SCRIPT = {"/S": Name.JavaScript, "/JS": "app.alert(1)"}
SHEET = result([missing("E-101.1", (100.0, 100.0), (300.0, 150.0))])


def script(**more: object) -> Dictionary:
    return Dictionary({**SCRIPT, **{f"/{key}": value for key, value in more.items()}})


def opening_script(pdf: Pdf) -> None:
    pdf.Root.OpenAction = pdf.make_indirect(script())


def opening_program(pdf: Pdf) -> None:
    pdf.Root.OpenAction = Dictionary(S=Name.Launch, F="/bin/sh")


def opening_address(pdf: Pdf) -> None:
    pdf.Root.OpenAction = Dictionary(S=Name.URI, URI="http://127.0.0.1:9/")


def after_a_place(pdf: Pdf) -> None:
    pdf.Root.OpenAction = Dictionary(S=Name.GoTo, D=Array([pdf.pages[0].obj, Name.Fit]), Next=Array([script()]))


def events_of_the_file(pdf: Pdf) -> None:
    pdf.Root.AA = Dictionary(WC=script(), WP=script())


def scripts_by_name(pdf: Pdf) -> None:
    pdf.Root.Names = pdf.make_indirect(Dictionary(JavaScript=Dictionary(Names=Array(["a", script()]))))


def events_of_a_page(pdf: Pdf) -> None:
    pdf.pages[1].AA = Dictionary(O=script())


def events_of_an_annotation(pdf: Pdf) -> None:
    note = Dictionary(
        Type=Name.Annot,
        Subtype=Name.Screen,
        Rect=[9, 9, 20, 20],
        AA=pdf.make_indirect(Dictionary(PO=script(), E=script())),
    )
    pdf.pages[1].Annots = Array([pdf.make_indirect(note)])


AUTOMATIC = [
    opening_script, opening_program, opening_address, after_a_place, events_of_the_file, scripts_by_name,
    events_of_a_page, events_of_an_annotation,
]  # fmt: skip


def automatic(pdf: Pdf) -> list[str]:
    """What is left that runs by itself, by another reader."""
    root = pdf.Root
    found = [f"catalog {key}" for key in ("/OpenAction", "/AA") if key in root]
    found += ["names"] if "/JavaScript" in root.get("/Names", Dictionary()) else []
    for page in map(Page, pdf.pages):
        found += ["page"] if "/AA" in page.obj else []
        for annotation in page.get("/Annots", []):
            events = annotation.get("/AA", Dictionary())
            found += [f"annotation {key}" for key in ("/PO", "/PC", "/PV", "/PI") if key in events]
    return found


def marked(tmp_path: Path, spoil) -> tuple[Path, Path, tuple[str, ...]]:
    source, target = tmp_path / "plan.pdf", tmp_path / "marked.pdf"
    simple_pdf(tmp_path / "bare.pdf", pages=2)
    with pikepdf.open(tmp_path / "bare.pdf") as pdf:
        spoil(pdf)
        pdf.save(source)
    return source, target, write_marked(source, target, (SHEET,), RUN)


@pytest.mark.parametrize("spoil", AUTOMATIC)
def test_nothing_runs_by_itself_in_the_copy_and_it_is_told(tmp_path: Path, spoil) -> None:
    source, target, notes = marked(tmp_path, spoil)
    with pikepdf.open(source) as pdf:
        assert automatic(pdf)
    assert target.read_bytes().startswith(source.read_bytes())
    with pikepdf.open(target) as pdf:
        assert automatic(pdf) == [] and pdf.check_pdf_syntax() == []
    kind = {opening_program: "Launch", opening_address: "URI"}.get(spoil, "JavaScript")
    assert [note for note in notes if kind in note and "the marked copy does not" in note]


def test_an_opening_view_and_what_has_to_be_clicked_are_kept(tmp_path: Path) -> None:
    def spoil(pdf: Pdf) -> None:
        pdf.Root.OpenAction = Array([pdf.pages[1].obj, Name.Fit])
        pdf.pages[1].AA = Dictionary(O=Dictionary(S=Name.GoTo, D=Array([pdf.pages[0].obj, Name.Fit])))
        link = Dictionary(Type=Name.Annot, Subtype=Name.Link, Rect=[9, 9, 20, 20], A=script())
        pdf.pages[0].Annots = Array([pdf.make_indirect(link)])

    _, target, notes = marked(tmp_path, spoil)
    with pikepdf.open(target) as pdf:
        assert pdf.Root.OpenAction[0].objgen == pdf.pages[1].objgen
        assert any(a.get("/A", Dictionary()).get("/S") == Name.JavaScript for a in pdf.pages[0].Annots)
    assert len(notes) == 1 and "(1)" in notes[0] and "clicked" in notes[0]


def test_chains_in_a_circle_end(tmp_path: Path) -> None:
    def spoil(pdf: Pdf) -> None:
        one, two = pdf.make_indirect(script()), pdf.make_indirect(script())
        one.Next, two.Next = two, one
        pdf.Root.OpenAction = one

    _, target, notes = marked(tmp_path, spoil)
    with pikepdf.open(target) as pdf:
        assert automatic(pdf) == []
    assert len(notes) == 1
