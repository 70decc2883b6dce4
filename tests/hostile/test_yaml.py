# ruff: noqa: E501 (lines of a YAML file read worse when they are broken up)
"""Hostile mapping, amendment and decision files: refused in clear lines, before any sheet is opened."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from click.testing import CliRunner

from cordpath.cli import main
from hostile import pdfs

PATIENCE = 20.0  # s of processor time; the slowest takes 1 s
ENTRY = b"  - name: x\n    kind: receptacle\n    shape:\n      - circle: {center: [0, 0], radius: 0.06}\n"
HEAD = b"cordpath: 1\nsymbols:\n"
WRONG: dict[str, bytes] = {
    "nothing": b"",
    "one_byte": b"{",
    "zeros": bytes(1000),
    "noise": bytes(range(256)) * 40,
    "utf16": (HEAD + ENTRY).decode().encode("utf-16"),
    "latin1": HEAD + ENTRY.replace(b"name: x", b"name: \xe9\xff"),
    "a_pdf": b"%PDF-1.7\n1 0 obj\n<<>>\nendobj",
    "number": b"5",
    "list": b"- cordpath: 1",
    "deep_lists": b"cordpath: 1\nsymbols: " + b"[" * 50_000,
    "deep_tables": b"cordpath: 1\nsymbols: " + b"{a: " * 50_000,
    "deep_indents": b"".join(b" " * n + b"a:\n" for n in range(700)),
    "laughs": b"a: &a [x,x,x,x,x,x,x,x,x]\n" + b"".join(
        b"%c: &%c [%s]\n" % (98 + n, 98 + n, b",".join([b"*%c" % (97 + n)] * 9)) for n in range(12)),
    "alias_of_itself": b"cordpath: 1\nsymbols: &s [*s]\n",
    "merge_of_itself": b"&m\n<<: *m\ncordpath: 1\n",
    "python_object": HEAD + b"  - !!python/object/apply:os.system ['touch evil']\n",
    "python_name": HEAD + b"  - !!python/name:os.system\n",
    "own_tag": b"!boom\ncordpath: 1\n",
    "two_documents": HEAD + ENTRY + b"---\n" + HEAD + ENTRY,
    "binary_tag": b"cordpath: !!binary aGVsbG8=\n",
    "tabs": b"cordpath: 1\nsymbols:\n\t- name: x\n",
    "same_key_twice": b"cordpath: 1\ncordpath: 2\n" + HEAD,
    "unknown_keys": HEAD + ENTRY + b"evil: true\n",
    "huge": b"#" * 40_000_000,
    "many_entries": HEAD + ENTRY * 60_000,
    "long_line": HEAD + b"  - name: " + b"x" * 2_000_000,
    "radius_nan": HEAD + ENTRY.replace(b"0.06", b".nan"),
    "radius_inf": HEAD + ENTRY.replace(b"0.06", b"1e999"),
    "radius_long": HEAD + ENTRY.replace(b"0.06", b"9" * 5000),
    "volts_word": HEAD + ENTRY + b"    volts: {a: b}\n",
    "pattern_that_explodes": HEAD + ENTRY + b"labels:\n  - text: '(a+)+$(a+)+$'\n    sets: {protection: device}\n" * 2
    + b"evil: 1\n",
    "pattern_open": HEAD + ENTRY + b"labels:\n  - text: '((((('\n    sets: {protection: device}\n",
    "path_out": HEAD + b"  - name: x\n    kind: receptacle\n    picked: {file: ../../../../etc/passwd, page: 1, box: [0, 0, 9, 9]}\n",
    "path_device": HEAD + b"  - name: x\n    kind: receptacle\n    picked: {file: /dev/zero, page: 1, box: [0, 0, 9, 9]}\n",
    "escapes": HEAD + b'  - name: "\\e[2J\\a"\n    kind: "\\e]0;x\\a"\n',
}  # fmt: skip


def call(tmp_path: Path, *words: str | Path) -> tuple[int, str, float]:
    began = time.process_time()
    result = CliRunner().invoke(
        main, ["check", str(pdfs.SMALL_HOUSE), "--out", str(tmp_path / "out"), *map(str, words)]
    )
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output, time.process_time() - began


def refused(tmp_path: Path, name: str, *words: str | Path) -> None:
    status, output, seconds = call(tmp_path, *words)
    assert status == 2, output[:500]
    lines = output.splitlines()
    assert lines and len(lines) < 500 and all(len(line) < 1000 for line in lines)
    assert all(line.isprintable() for line in lines), output[:500]
    assert any(name in line for line in lines) and "Traceback" not in output
    assert seconds < PATIENCE and not (tmp_path / "out" / "results.json").exists()


@pytest.mark.parametrize("name", sorted(WRONG))
def test_a_wrong_mapping_file_is_refused(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / f"{name}.yaml").write_bytes(WRONG[name])
    refused(tmp_path, "passwd" if name == "path_out" else "zero" if name == "path_device" else name,
            "--symbols", f"{name}.yaml")  # fmt: skip
    assert not (tmp_path / "evil").exists()


@pytest.mark.parametrize(
    "name", sorted(name for name in WRONG if not name.startswith(("path", "pattern", "radius")))
)
def test_a_wrong_amendment_file_is_refused(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / f"{name}.yaml").write_bytes(WRONG[name])
    refused(tmp_path, name, "--symbols", pdfs.SYMBOLS, "--amend", f"{name}.yaml")
    assert not (tmp_path / "evil").exists()


def test_folders_and_pipes_are_no_mapping_files(tmp_path: Path) -> None:
    (tmp_path / "folder.yaml").mkdir()
    refused(tmp_path, "folder.yaml", "--symbols", tmp_path / "folder.yaml")
