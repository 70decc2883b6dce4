"""A ``picked:`` entry has to find the very example that it was picked from; where it does not, that is told."""

from __future__ import annotations

from pathlib import Path

import pymupdf
import pytest
from click.testing import CliRunner

from cordpath.check import examples_from_files
from cordpath.cli import main
from cordpath.errors import ConfigurationRefused
from cordpath.symbols import load_mapping

MAPPING = """cordpath: 1
symbols:
  - name: outlet
    kind: receptacle
    picked: {file: plan.pdf, page: 1, box: [88, 84, 112, 112]}
  - name: half an outlet
    kind: receptacle
    picked: {file: plan.pdf, page: 1, box: [196, 84, 212, 112]}
  - name: nothing
    kind: other
    picked: {file: plan.pdf, page: 1, box: [400, 400, 420, 420]}
"""


def drawn(folder: Path) -> Path:
    document = pymupdf.open()
    page = document.new_page(width=612, height=612)
    for x in (100, 200, 300):
        page.draw_circle((x, 100), 5.4, width=0.5)
        for u in (-2, 2):
            page.draw_line((x + u, 90), (x + u, 107.5), width=0.5)
    page.insert_text((72, 300), "FLOOR PLAN", fontsize=12)
    document.save(folder / "plan.pdf")
    (folder / "symbols.yaml").write_text(MAPPING, encoding="utf-8")
    return folder / "symbols.yaml"


def test_examples_that_do_not_find_themselves_are_told(tmp_path: Path) -> None:
    file = drawn(tmp_path)
    half, nothing = examples_from_files(load_mapping(file)).astray
    assert half.startswith(
        f"{file.as_posix()}:6: 'half an outlet' is not found again where it was picked, on page 1 "
    )
    assert "of plan.pdf in [196, 84, 212, 112]" in half
    assert nothing == (
        f"{file.as_posix()}:9: nothing could be taken for 'nothing' on page 1 of plan.pdf in [400, 400, 420, 420]"
    )


def test_an_example_whose_drawing_is_not_there_is_a_fault_of_the_file_like_others(tmp_path: Path) -> None:
    """It was told alone, when the batch had begun, without the line of the mapping file."""
    file = drawn(tmp_path)
    file.write_text(MAPPING.replace("plan.pdf", "plna.pdf", 1).replace("kind: other", "kind: outlet"), "utf-8")
    with pytest.raises(ConfigurationRefused) as told:
        load_mapping(file)
    missing, kind = str(told.value).splitlines()
    assert missing.startswith(f"{file.as_posix()}:5:20: there is no plna.pdf, and a PDF beside the mapping file")
    assert kind.startswith(f"{file.as_posix()}:10:11: kind is 'outlet', and one of receptacle, hardwired outlet,")


def test_the_command_says_so(tmp_path: Path) -> None:
    file = drawn(tmp_path)
    words = [
        "check",
        str(tmp_path / "plan.pdf"),
        "--symbols",
        str(file),
        "--out",
        str(tmp_path / "r"),
        "--jobs",
        "1",
    ]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 1, result.output
    assert f"note: {file.as_posix()}:6: 'half an outlet' is not found again" in result.output
