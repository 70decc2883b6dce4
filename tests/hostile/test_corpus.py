"""Each hostile file ends in one clear line, within its limits; the good sheet beside them is checked as ever."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from hostile import pdfs

COMMAND = [sys.executable, "-c", "from cordpath.cli import main; main()", "check"]
LIMITS = ["--sheet-memory", "1500", "--sheet-timeout"]
LONG, SHORT = 60, 5  # s: what needs no limit has time on a slow machine, and what may need one is soon given up
NEED_A_LIMIT = {"forms_doubled_thirty_times"}
MAY_NEED_ONE = {  # as fast as the machine is
    "bomb_of_lines", "bomb_of_text", "one_path_of_a_million_points", "strokes_by_the_million",
    "contents_by_the_hundred_thousand", "layers_by_the_thousand",
}  # fmt: skip
MAY_BE_READ = {"twice", "xref_far_away", "xref_gone", "xref_negative"}  # whole in fact
NAMES = (  # names of good sheets that try something; Linux lets a name be any bytes without / and NUL
    b"=cmd|' C calc'!A0.pdf",
    b"<img src=x onerror=alert(1)>\x1b[2J\n\x07.pdf",
    b"\xff\xfe..%2f..%2fevil.pdf",
    "\N{RIGHT-TO-LEFT OVERRIDE}fdp.exe.pdf".encode(),
)


class Run:
    """A batch of some of the corpus, and what stands beside it: a good sheet, also under odd names."""

    def __init__(self, folder: Path, names: set[str], beside: tuple[bytes, ...], seconds: int) -> None:
        self.names = names
        self.plans, self.out = folder / "plans", folder / "out"
        self.plans.mkdir(parents=True)
        for name in names:
            (self.plans / f"{name}.pdf").write_bytes(pdfs.CORPUS[name]())
        for name in beside:
            Path(os.fsdecode(os.fsencode(self.plans) + b"/" + name)).write_bytes(pdfs.good())
        self.before = sorted(path for path in folder.rglob("*"))
        words = [
            *COMMAND,
            str(self.plans),
            "--symbols",
            str(pdfs.SYMBOLS),
            "--out",
            str(self.out),
            "--jobs",
            "2",
            *LIMITS,
            str(seconds),
        ]
        self.done = subprocess.run(words, capture_output=True, text=True, check=False, timeout=300, cwd=folder)
        sheets = json.loads((self.out / "results.json").read_text())["sheets"]
        self.sheets: dict[str, list[dict[str, Any]]] = {}
        for sheet in sheets:
            self.sheets.setdefault(Path(sheet["file"]).stem, []).append(sheet)
        self.left = sorted(path for path in folder.rglob("*") if self.out not in path.parents and path != self.out)


def test_the_corpus_is_large() -> None:
    assert len(pdfs.CORPUS) >= 100


def the_batch_goes_on_to_its_end(run: Run) -> None:
    assert run.done.returncode == 3
    assert "Traceback" not in run.done.stderr + run.done.stdout
    assert run.names <= set(run.sheets)


def each_ends_in_one_clear_line(run: Run) -> None:
    for name, sheet in ((key, each) for key in run.names for each in run.sheets[key]):
        if sheet["status"] == "checked":
            assert name in MAY_BE_READ and len(sheet["outlets"]) == len(run.sheets["good_sheet"][0]["outlets"])
            continue
        assert sheet["why"] and "\n" not in sheet["why"] and len(sheet["why"]) < 400
        assert "program failed" not in sheet["why"] and "worker process died" not in sheet["why"]
        limited = "not done within" in sheet["why"] or "MB of memory" in sheet["why"]
        assert limited == (name in NEED_A_LIMIT) or name in MAY_NEED_ONE, name


def the_good_sheet_is_checked_as_ever(run: Run, tmp_path: Path) -> None:
    words = [
        *COMMAND,
        str(run.plans / "good_sheet.pdf"),
        "--symbols",
        str(pdfs.SYMBOLS),
        "--out",
        str(tmp_path),
        "-q",
    ]
    assert subprocess.run(words, check=False).returncode == 1
    (alone,) = json.loads((tmp_path / "results.json").read_text())["sheets"]
    (among,) = run.sheets["good_sheet"]
    assert among == alone and among["outlets"]


def nothing_is_written_outside_and_no_input_is_changed(run: Run) -> None:
    assert run.left == run.before
    assert (run.plans / "good_sheet.pdf").read_bytes() == pdfs.good()
    assert all(path.name.isprintable() for path in run.out.iterdir())
    assert len(list(run.out.glob("*.marked.pdf"))) >= 1 + len(NAMES)


def what_is_printed_steers_no_terminal(run: Run) -> None:
    for line in (run.done.stdout + run.done.stderr).split("\n"):
        assert all(c.isprintable() for c in line), line


def no_cell_is_a_formula_and_no_name_is_markup(run: Run) -> None:
    with (run.out / "schedule.csv").open(newline="", encoding="utf-8-sig") as file:
        for row in csv.reader(file):
            assert not any(cell.startswith(("=", "+", "@", "\t", "\r")) for cell in row)
    for sheet in load_workbook(run.out / "schedule.xlsx"):
        assert not any(cell.data_type == "f" for row in sheet.iter_rows() for cell in row)
    page = (run.out / "report.html").read_text(encoding="utf-8")
    assert "<img src=x" not in page and "onerror=alert(1)>\x1b" not in page


def a_faulty_page_without_outlets_is_not_passed_over(run: Run) -> None:
    for name in ("resources_missing", "operators_unknown", "inline_image_cut_off", "font_of_nonsense"):
        (sheet,) = run.sheets[name]
        assert sheet["status"] == "failed", name


def test_a_batch_of_hostile_files(tmp_path_factory: pytest.TempPathFactory, tmp_path: Path) -> None:
    """One test, so that the batch is run once however many processes share the tests."""
    names = set(pdfs.CORPUS) - NEED_A_LIMIT - MAY_NEED_ONE
    run = Run(tmp_path_factory.mktemp("hostile"), names, (b"good_sheet.pdf", *NAMES), LONG)
    the_batch_goes_on_to_its_end(run)
    each_ends_in_one_clear_line(run)
    the_good_sheet_is_checked_as_ever(run, tmp_path)
    nothing_is_written_outside_and_no_input_is_changed(run)
    what_is_printed_steers_no_terminal(run)
    no_cell_is_a_formula_and_no_name_is_markup(run)
    a_faulty_page_without_outlets_is_not_passed_over(run)


def test_a_batch_of_endless_files(tmp_path: Path) -> None:
    run = Run(tmp_path, NEED_A_LIMIT | MAY_NEED_ONE, (), SHORT)
    the_batch_goes_on_to_its_end(run)
    each_ends_in_one_clear_line(run)
    what_is_printed_steers_no_terminal(run)
