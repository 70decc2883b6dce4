"""An output is there whole or not at all."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from cordpath.errors import OutputRefused
from cordpath.report import write_whole


def test_a_new_folder_is_made_and_the_file_has_the_usual_rights(tmp_path: Path) -> None:
    target = tmp_path / "deep" / "er" / "a.txt"
    mask = os.umask(0o022)
    try:
        write_whole(target, lambda part: part.write_text("whole") and None)
    finally:
        os.umask(mask)
    assert target.read_text() == "whole"
    assert stat.S_IMODE(target.stat().st_mode) == 0o644


@pytest.mark.parametrize("kind", [ValueError, KeyboardInterrupt, SystemExit, MemoryError])
def test_after_any_exception_the_old_file_stands_and_nothing_else(
    tmp_path: Path, kind: type[BaseException]
) -> None:
    target = tmp_path / "a.txt"
    target.write_text("old")

    def half(part: Path) -> None:
        part.write_text("ha")
        raise kind()

    with pytest.raises(kind):
        write_whole(target, half)
    assert target.read_text() == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["a.txt"]


def test_the_temporary_file_lies_beside_its_target(tmp_path: Path) -> None:
    seen: list[Path] = []

    def writer(part: Path) -> None:
        seen.append(part)
        part.write_text("x")

    write_whole(tmp_path / "a.txt", writer)
    assert seen[0].parent == tmp_path and seen[0].name != "a.txt"


def test_what_cannot_be_written_is_refused_with_the_path_and_a_cure(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    with pytest.raises(OutputRefused, match=r"folder.*--out"):
        write_whole(tmp_path / "folder", lambda part: part.write_text("x") and None)
    assert [p.name for p in tmp_path.iterdir()] == ["folder"]


def test_inputs_are_refused_through_links_and_odd_spellings(tmp_path: Path) -> None:
    source = tmp_path / "in.pdf"
    source.write_text("in")
    (tmp_path / "soft.pdf").symlink_to(source)
    os.link(source, tmp_path / "hard.pdf")
    (tmp_path / "sub").mkdir()
    for target in (source, tmp_path / "soft.pdf", tmp_path / "hard.pdf", tmp_path / "sub" / ".." / "in.pdf"):
        with pytest.raises(OutputRefused, match="input"):
            write_whole(target, lambda part: part.write_text("x") and None, inputs=[source])
    assert source.read_text() == "in"
