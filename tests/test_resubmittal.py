"""The paper trail as a user types it: decisions, the letter's numbers, and a recheck of a sheet plotted anew."""

from __future__ import annotations

import json
import re
from pathlib import Path

import docx
import pikepdf
import pymupdf
import pytest
from click.testing import CliRunner, Result

from cordpath.batch.order import password_in
from cordpath.cli import main

SAMPLES = Path(__file__).parent.parent / "sample_plans"
SHEET, SYMBOLS = SAMPLES / "marlow-court.pdf", SAMPLES / "symbols.yaml"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The review of an encrypted first submittal, with the marks beside it too."""
    folder = tmp_path_factory.mktemp("first")
    with pikepdf.open(SHEET) as document:
        document.save(folder / "house.pdf", encryption=pikepdf.Encryption(owner="o", user="open it"))
    (folder / "password.txt").write_text("open it\n")
    found = run("check", folder / "house.pdf", "--symbols", SYMBOLS, "--out", folder / "review", "--jobs", "0",
                "--password-file", folder / "password.txt", "--xfdf")  # fmt: skip
    assert found.exit_code == 1, found.output
    return folder / "review"


def results(folder: Path) -> dict[str, dict]:
    document = json.loads((folder / "results.json").read_text("utf-8"))
    return {outlet["id"]: outlet for sheet in document["sheets"] for outlet in sheet["outlets"]}


def test_an_encrypted_sheet_is_read_and_marked_with_its_password(first: Path) -> None:
    assert (first / "house.marked.xfdf").stat().st_size > 5000
    with pytest.raises(pikepdf.PasswordError):
        pikepdf.open(first / "house.marked.pdf")
    with pikepdf.open(first / "house.marked.pdf", password="open it") as pdf:
        assert len(pdf.pages[0].Annots) > 20


@pytest.mark.parametrize("content", [None, b"", b"\xff\n"])
def test_a_password_file_that_is_none_is_refused(tmp_path: Path, content: bytes | None) -> None:
    if content is not None:
        (tmp_path / "p.txt").write_bytes(content)
    found = run(
        "check", SHEET, "--symbols", SYMBOLS, "--password-file", tmp_path / "p.txt", "--out", tmp_path / "o"
    )
    assert found.exit_code == 2 and "--password-file" in found.output


def test_a_password_file_of_an_editor_that_begins_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    (tmp_path / "p.txt").write_bytes(b"\xef\xbb\xbfopen it\r\n")
    assert password_in(str(tmp_path / "p.txt")) == "open it"


def test_a_recheck_of_a_sheet_plotted_anew(first: Path, tmp_path: Path) -> None:
    """Half the size, shifted, another file name; one ruling, one answer in the marked copy, one old number."""
    with pymupdf.open(SHEET) as old, pymupdf.open() as new:
        wide, tall = old[0].rect.width / 2, old[0].rect.height / 2
        page = new.new_page(width=wide + 60, height=tall + 80)
        page.show_pdf_page(pymupdf.Rect(40, 30, 40 + wide, 30 + tall), old, 0)
        new.save(tmp_path / "house.pdf")
    before = results(first)
    asked = [number for number, outlet in before.items() if outlet["verdict"] in ("missing", "unresolved")]
    with pikepdf.open(first / "house.marked.pdf", password="open it") as pdf:
        cloud = next(a for a in pdf.pages[0].Annots if str(a.NM).endswith(f"-{asked[0]}-cloud"))
        state = pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Text, Rect=[0, 0, 1, 1], IRT=cloud,
                                   T="owner", StateModel="Review", State="Accepted")  # fmt: skip
        pdf.pages[0].Annots.append(pdf.make_indirect(state))
        pdf.save(tmp_path / "house.marked.pdf")
    blank = (first / "decisions.blank.yaml").read_text("utf-8").split("\n- ")
    (tmp_path / "d.yaml").write_text("\n- ".join(blank[:2]).replace("ruling: ask", "ruling: accept") + "\n")
    found = run("recheck", first, tmp_path / "house.pdf", "--symbols", SYMBOLS, "--out", tmp_path / "again",
                "--jobs", "0", "--marked", tmp_path / "house.marked.pdf",
                "--decisions", tmp_path / "d.yaml")  # fmt: skip
    assert found.exit_code == 1, found.output
    done = json.loads((tmp_path / "again" / "recheck.json").read_text("utf-8"))
    followed = {
        item["old"]["outlet"]: item for item in done["items"] if item["status"] in ("unresolved", "resolved")
    }
    assert set(followed) == set(asked), "every finding was found again, and nothing moved"
    for number, item in followed.items():
        assert item["new"]["room"] == item["old"]["room"] and item["new"]["circuit"] == item["old"]["circuit"], (
            number
        )
        assert item["comment"] is not None
    assert followed[asked[0]]["review"] == {"owner": "Accepted"}
    assert done["totals"]["gone"] == done["totals"]["moved"] == done["totals"]["not checked"] == 0
    ruled = [outlet for outlet in results(tmp_path / "again").values() if outlet["decision"]]
    assert [outlet["decision"]["ruling"] for outlet in ruled] == ["accept"]
    assert ruled[0]["id"] == followed[asked[0]]["new"]["outlet"] and ruled[0]["verdict"] in (
        "missing",
        "unresolved",
    )
    table = docx.Document(str(tmp_path / "again" / "comments.docx")).tables[0]
    old = json.loads((first / "comments.json").read_text("utf-8"))
    assert {row.cells[0].text for row in table.rows[1:]} <= {str(c["number"]) for c in old["comments"]}


@pytest.mark.parametrize("text", ["", "[]", '{"format": "other"}'])
def test_old_results_that_are_none_are_refused_at_once(tmp_path: Path, text: str) -> None:
    (tmp_path / "results.json").write_text(text)
    found = run("recheck", tmp_path, SHEET, "--symbols", SYMBOLS, "--out", tmp_path / "o")
    assert found.exit_code == 2 and "old results cannot be read" in found.output and not (tmp_path / "o").exists()


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_old_results_with_numbers_that_are_none_are_refused_at_once(
    first: Path, tmp_path: Path, number: str
) -> None:
    """RFC 8259, section 6, knows no such numbers; a place that is none would lie beside every outlet or no one."""
    old = tmp_path / "old"
    old.mkdir()
    text, count = re.subn(r'("at": \[\s*)[-0-9.e]+', rf"\g<1>{number}", (first / "results.json").read_text("utf-8"))
    assert count
    (old / "results.json").write_text(text, "utf-8")
    found = run("recheck", old, SHEET, "--symbols", SYMBOLS, "--out", tmp_path / "o")
    assert found.exit_code == 2 and not (tmp_path / "o").exists()
    assert "old results cannot be read" in found.output and f"it holds {number}" in found.output
