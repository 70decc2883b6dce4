"""Editions side by side: what changes, outlet by outlet, in one reading of the sheets."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from cordpath.batch import tasks
from cordpath.cli import main
from cordpath.report import CAUTIONS

SAMPLES = Path(__file__).parent.parent / "sample_plans"
SYMBOLS = SAMPLES / "symbols.yaml"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="module")
def compared(tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    out = tmp_path_factory.mktemp("compare")
    words = ["compare", SAMPLES / "marlow-court.pdf", "--symbols", SYMBOLS, "--out", out, "--jobs", "0"]
    return run(*words, "--code", "2017", "--code", "2023"), out


def test_the_files_and_the_console_tell_the_same(compared: tuple[Result, Path]) -> None:
    result, out = compared
    assert result.exit_code == 1, result.output
    data = json.loads((out / "compare.json").read_text())
    assert data["format"] == "cordpath-comparison/1" and data["editions"] == ["2017", "2023"]
    changed = [o for o in data["outlets"] if o["changes"]]
    assert len(changed) == data["changed"] > 0
    assert all(o["editions"]["2017"]["verdict"] != o["editions"]["2023"]["verdict"] for o in changed)
    with (out / "compare.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    for name, told in (("number", "outlet"), ("kind", "kind"), ("symbol", "symbol")):
        assert [row[name] for row in rows] == [o[told] for o in data["outlets"]]
    assert {row["cautions"] for row in rows} == {" ".join(CAUTIONS)}
    assert {row["kind"] for row in rows} <= {"receptacle", "hardwired outlet", "light"}
    assert [row["changes"] == "yes" for row in rows] == [o["changes"] for o in data["outlets"]]
    for outlet in changed:
        assert outlet["outlet"] in result.output
    assert f"{len(changed)} of {len(rows)} outlets change" in " ".join(result.output.split())
    for year in ("2017", "2023"):
        assert sum(data["totals"][year].values()) == len(rows)
    assert data["cautions"] == list(CAUTIONS) and "licensed practice decide" in " ".join(result.output.split())


def test_each_edition_is_judged_as_check_judges_it(compared: tuple[Result, Path], tmp_path: Path) -> None:
    data = json.loads((compared[1] / "compare.json").read_text())
    words = ["check", SAMPLES / "marlow-court.pdf", "--symbols", SYMBOLS, "--out", tmp_path / "r", "--jobs", "0"]
    run(*words, "--code", "2017")
    sheets = json.loads((tmp_path / "r" / "results.json").read_text())["sheets"]
    want = {o["id"]: o["verdict"] for sheet in sheets for o in sheet["outlets"]}
    assert {o["outlet"]: o["editions"]["2017"]["verdict"] for o in data["outlets"]} == want


def test_every_sheet_is_read_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls = []
    read = tasks.read_page

    def counted(task: tasks.PageTask) -> tasks.PageDone:
        calls.append(task.page)
        return read(task)

    monkeypatch.setattr(tasks, "read_page", counted)
    words = ["compare", SAMPLES / "tern-street.pdf", "--symbols", SYMBOLS, "--out", tmp_path, "--jobs", "0"]
    run(*words, "--code", "2014", "--code", "2020", "--code", "2023", "--code", "2026")
    assert 0 < len(calls) == len(set(calls))


def test_one_edition_is_no_comparison_and_strange_files_are_kept(tmp_path: Path) -> None:
    words = ["compare", SAMPLES / "tern-street.pdf", "--symbols", SYMBOLS, "--out", tmp_path]
    assert run(*words, "--code", "2020").exit_code == 2
    assert run(*words, "--code", "2020", "--code", "2020").exit_code == 2
    (tmp_path / "compare.json").write_text("{}")
    refused = run(*words, "--code", "2020", "--code", "2023")
    assert refused.exit_code == 2 and "--force" in refused.output
    assert (tmp_path / "compare.json").read_text() == "{}"


def test_a_sheet_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    bad = tmp_path / "bad.pdf"
    bad.write_text("no PDF")
    done = run(
        "compare", bad, "--symbols", SYMBOLS, "--out", tmp_path / "o", "--code", "2020", "--code", "2023", "-q"
    )
    assert done.exit_code == 3
    assert json.loads((tmp_path / "o" / "compare.json").read_text())["not checked"][0]["status"] == "failed"
