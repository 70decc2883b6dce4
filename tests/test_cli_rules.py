"""The commands ``rules`` and ``explain``, and the day of the permit in ``check``."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result
from rich.console import Console

from cordpath import report, rulebook
from cordpath.cli import main
from cordpath.rules import amend, edition_cautions, explain, load_amendment, load_edition, rule_lines

ROOT = Path(__file__).parent.parent
SHEET, SYMBOLS = ROOT / "sample_plans" / "marlow-court.pdf", ROOT / "sample_plans" / "symbols.yaml"
UTAH = ROOT / "configs" / "amendments" / "utah-2023.yaml"
NUMBERS = ROOT / "configs" / "amendments" / "residential-numbering.yaml"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def test_rules_are_plain_lines_where_piped() -> None:
    result = run("rules", "--code", "2023", "--amend", UTAH)
    assert result.exit_code == 0
    rows = list(csv.DictReader(io.StringIO(result.stdout), delimiter="\t", quoting=csv.QUOTE_NONE))
    by_cite = {row["citation"]: row for row in rows}
    assert by_cite["210.8(F)"]["mark"] == "dropped" and by_cite["210.8(A)(6)"]["mark"] == "changed"
    assert by_cite["210.8(A)(6)"]["volts"] == "125 V" and by_cite["210.8(C)"]["mark"] == ""
    assert "secondary source, verify" in result.stderr and "\x1b" not in result.output
    assert "note: not judged: 406.4(D)(3)" in result.stderr  # what the edition file leaves out is no secret


def test_a_terminal_gets_a_table_that_fits() -> None:
    edition = amend(load_edition("2023"), load_amendment(UTAH))
    console = Console(width=100, force_terminal=True, file=io.StringIO(), highlight=False)
    console.print(rulebook.table(rule_lines(edition, load_edition("2023")), edition, edition_cautions(edition)))
    shown = console.file.getvalue()  # type: ignore[attr-defined]
    assert "210.8(A)(12)" in shown and "Utah" in shown and "dropped" in shown
    plain = Console(width=100, file=io.StringIO(), highlight=False)
    plain.print(rulebook.table(rule_lines(edition, load_edition("2023")), edition, edition_cautions(edition)))
    assert max(len(line) for line in plain.file.getvalue().splitlines()) <= 100  # type: ignore[attr-defined]
    for line in rule_lines(edition, load_edition("2023"))[:3]:
        console.print(rulebook.entry(line, explain(line, edition), edition))
    assert "What it cannot see" in console.file.getvalue()  # type: ignore[attr-defined]


@pytest.mark.parametrize("width", [40, 80, 100, 129, 130, 200])
@pytest.mark.parametrize("year", ["2014", "2023"])
def test_words_of_the_table_of_rules_are_whole_on_any_terminal(width: int, year: str) -> None:
    edition = load_edition(year)
    plain = Console(width=width, file=io.StringIO(), highlight=False)
    lines = rule_lines(edition, edition)
    plain.print(rulebook.table(lines, edition, ()))
    shown = plain.file.getvalue()  # type: ignore[attr-defined]
    words = {part for word in shown.split() for part in (word, word.rstrip(";"))}
    for line in lines:
        told = " ".join((line.what, line.applies_to, line.says)).split()
        assert {word for word in told if len(word) <= 20} <= words, line.cite
    assert len(shown.splitlines()) < 40 * len(lines)


def test_explain_tells_one_rule() -> None:
    result = run("explain", "210.8(A)(8)", "--code", "2023")
    assert result.exit_code == 0
    for words in (
        "Sinks",
        "within 6 ft of a sink along the cord path",
        "Exceptions",
        "What it cannot see",
        "Sources",
    ):
        assert words in result.output
    local = run("explain", "E3902.7", "--code", "2017", "--amend", NUMBERS)
    assert local.exit_code == 0 and "Section of the NEC\n  210.8(A)(7)" in local.output
    dropped = run("explain", "210.8(F)", "--code", "2023", "--amend", UTAH)
    assert "dropped by Utah Code 15A-3-601" in dropped.output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["explain", "210.99"], "no rule is cited as '210.99'"),
        (["rules", "--amend", "missing.yaml"], "missing.yaml"),
        (["rules", "--code", "2020", "--amend", UTAH], "not for 2020"),
        (["rules", "--permit-date", "2026-13-01"], "2026-13-01"),
        (["rules", "--code", "1999"], "1999"),
    ],
)
def test_wrong_calls_end_with_status_2_and_the_cure(words: list[str | Path], says: str) -> None:
    result = run(*words)
    assert result.exit_code == 2 and says in result.output


@pytest.mark.parametrize("command", ["rules", "explain", "check"])
def test_help_has_examples_with_the_day_of_the_permit(command: str) -> None:
    result = run(command, "--help")
    assert result.exit_code == 0 and f"cordpath {command} " in result.output
    assert "--permit-date" in result.output and "Examples" in result.output


def test_the_day_of_the_permit_is_in_all_outputs(tmp_path: Path) -> None:
    result = run("check", SHEET, "--symbols", SYMBOLS, "--out", tmp_path / "o", "--jobs", "0", "--code", "2023",
                 "--amend", UTAH, "--permit-date", "2026-10-15")  # fmt: skip
    assert result.exit_code == 1, result.output
    document = json.loads((tmp_path / "o" / "results.json").read_text())
    jsonschema.Draft202012Validator(report.results_schema()).validate(document)
    assert document["run"]["code"]["permit_date"] == "2026-10-15"
    (sheet,) = document["sheets"]
    assert any("Utah Code 15A-3-601: secondary source, verify" in said for said in sheet["assumptions"])
    assert all(set(outlet["companions"]) == {"afci", "tamper-resistant", "weather-resistant"}
               for outlet in sheet["outlets"])  # fmt: skip
    assert all(each["cite_nec"] for outlet in sheet["outlets"] for each in outlet["requirements"])
    assert "2026-10-15" in (tmp_path / "o" / "report.html").read_text()
    rows = list(csv.DictReader((tmp_path / "o" / "schedule.csv").read_text(encoding="utf-8").splitlines()))
    assert {row["AFCI"] for row in rows} >= {"yes (210.12(B))", "no"}
    assert any(row["weather-resistant"] == "yes (406.9)" for row in rows)
