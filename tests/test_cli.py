"""The command as a user types it: exit statuses, messages, outputs."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import click
import jsonschema
import pikepdf
import pymupdf
import pytest
from click.testing import CliRunner, Result

import small_house
from cordpath import report
from cordpath.cli import main
from cordpath.commands.drawings import _named_png
from cordpath.commands.said import files_written
from hostile import pdfs

SAMPLES = Path(__file__).parent.parent / "sample_plans"
SHEET, SYMBOLS = small_house.files()
OUTPUTS = {
    "results.json", "schedule.csv", "schedule.xlsx", "report.html",
    "comments.md", "comments.docx", "comments.json", "decisions.blank.yaml",
}  # fmt: skip


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture(scope="module")
def plans(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with one good sheet and three that cannot be checked."""
    folder = tmp_path_factory.mktemp("plans")
    shutil.copy(SHEET, folder / "good.pdf")
    (folder / "damaged.pdf").write_bytes(SHEET.read_bytes()[:1200] + b"\x00" * 300)  # cut within its content
    (folder / "text.pdf").write_text("this is no PDF")
    with pikepdf.open(SHEET) as document:
        document.save(folder / "locked.pdf", encryption=pikepdf.Encryption(owner="o", user="u"))
    return folder


@pytest.fixture(scope="module")
def batch(plans: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Result, Path]:
    out = tmp_path_factory.mktemp("out") / "review"
    return run("check", plans, "--symbols", SYMBOLS, "--out", out, "--jobs", "2"), out


def test_one_bad_file_does_not_end_the_batch(batch: tuple[Result, Path]) -> None:
    result, out = batch
    assert result.exit_code == 3, result.output
    sheets = {Path(s["file"]).name: s for s in json.loads((out / "results.json").read_text())["sheets"]}
    assert sheets["good.pdf"]["status"] == "checked" and sheets["good.pdf"]["outlets"]
    for name in ("damaged.pdf", "text.pdf", "locked.pdf"):
        assert sheets[name]["status"] == "failed" and sheets[name]["why"], name
    assert "password" in sheets["locked.pdf"]["why"]


def test_all_outputs_are_there_and_no_part_is_left(batch: tuple[Result, Path]) -> None:
    _, out = batch
    assert {path.name for path in out.iterdir()} == OUTPUTS | {"good.marked.pdf", ".cordpath"}
    assert not list(out.rglob(".*.part"))


def test_results_validate_against_the_shipped_schema(batch: tuple[Result, Path]) -> None:
    document = json.loads((batch[1] / "results.json").read_text())
    jsonschema.Draft202012Validator(report.results_schema()).validate(document)


def test_inputs_are_never_modified(plans: Path, batch: tuple[Result, Path]) -> None:
    assert (plans / "good.pdf").read_bytes() == SHEET.read_bytes()
    assert (batch[1] / "good.marked.pdf").read_bytes().startswith(SHEET.read_bytes())


def test_the_same_call_writes_the_same_bytes(plans: Path, tmp_path: Path) -> None:
    for out in ("a", "b"):
        assert (
            run("check", plans / "good.pdf", "--symbols", SYMBOLS, "--out", tmp_path / out, "--jobs", "0").exit_code
            == 1
        )
    for name in sorted(OUTPUTS | {"good.marked.pdf"}):
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes(), name


def test_a_wrong_mapping_file_is_told_before_any_sheet_is_read(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.yaml"
    wrong.write_text(
        "cordpath: 1\nsymbols:\n  - name: x\n    kind: receptcle\n"
        "    shape:\n      - circle: {center: [0, 0], radius: -1}\n"
    )
    result = run("check", tmp_path / "none.pdf", "--symbols", wrong, "--out", tmp_path / "out")
    assert result.exit_code == 2
    lines = result.output.splitlines()
    assert any(line.startswith(f"{wrong}:4:") for line in lines) and any(
        line.startswith(f"{wrong}:6:") for line in lines
    )
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["nowhere.pdf"], "there is no such file or folder"),
        (["no*where.pdf"], "no PDF file found for 'no*where.pdf'; name"),
        ([SHEET, "--pages", ""], "no list of pages"),
        ([SHEET, "--permit-date", "10/15/2026"], "year first, like 2026-10-15"),
        ([SHEET, "--pages", "5-2"], "runs backwards"),
        ([SHEET, "--pages", "x"], "1,3-5"),
        ([SHEET, "--code", "1999"], "1999"),
        ([SHEET, "--amend", "missing.yaml"], "missing.yaml"),
    ],
)
def test_wrong_calls_end_with_status_2_and_the_cure(words: list[str | Path], says: str, tmp_path: Path) -> None:
    result = run("check", *words, "--symbols", SYMBOLS, "--out", tmp_path / "out")
    assert result.exit_code == 2 and says in result.output
    assert not (tmp_path / "out").exists()


def test_files_that_are_not_ours_are_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "results.json").write_text("{}")
    refused = run("check", SHEET, "--symbols", SYMBOLS, "--out", tmp_path, "--jobs", "0")
    assert refused.exit_code == 2 and "--force" in refused.output
    assert (tmp_path / "results.json").read_text() == "{}"
    assert run("check", SHEET, "--symbols", SYMBOLS, "--out", tmp_path, "--jobs", "0", "--force").exit_code == 1


def test_equal_stems_do_not_write_over_each_other(tmp_path: Path) -> None:
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        shutil.copy(SHEET, tmp_path / folder / "plan.pdf")
    out = tmp_path / "review"
    run("check", tmp_path, "--symbols", SYMBOLS, "--out", out, "--jobs", "0")
    assert {"a plan.marked.pdf", "b plan.marked.pdf"} <= {path.name for path in out.iterdir()}


def test_show_draws_a_picture(tmp_path: Path) -> None:
    result = run("show", SHEET, "--symbols", SYMBOLS, "--out", tmp_path / "v1.2", "--dpi", "40")
    assert result.exit_code == 0, result.output
    assert (tmp_path / "v1.2.png").read_bytes().startswith(b"\x89PNG")  # no viewer knows a name without its ending
    assert "v1.2.png" in result.output and [path.name for path in tmp_path.iterdir()] == ["v1.2.png"]


@pytest.mark.parametrize(("out", "written"), [("a", "a.png"), ("a.PNG", "a.PNG"), ("a.pdf", "a.pdf.png")])
def test_a_picture_is_named_as_one(out: str, written: str) -> None:
    assert _named_png(Path(out)) == Path(written)


def test_help_of_every_command_has_examples_and_its_exit_statuses() -> None:
    assert run("--help").exit_code == 0
    for command in COMMANDS:
        told = run(command, "--help").output
        assert f"cordpath {command} " in told and "Examples" in told and "Exit status" in told, command


def test_a_power_plan_for_another_mapping_file_does_not_pass_silently(tmp_path: Path) -> None:
    result = run(
        "check",
        SAMPLES / "quarry-yard.pdf",
        "--symbols",
        SAMPLES / "symbols.yaml",
        "--out",
        tmp_path / "out",
        "--jobs",
        "1",
    )
    sheet = json.loads((tmp_path / "out" / "results.json").read_text())["sheets"][0]
    assert result.exit_code == 3 and sheet["status"] == "failed"
    assert "another mapping file" in sheet["why"] and sheet["unexplained"]


def test_a_sheet_without_outlets_is_skipped_with_its_reason(tmp_path: Path) -> None:
    with pymupdf.open() as document:
        page = document.new_page(width=800, height=600)
        page.draw_rect((100, 100, 500, 400), width=3)
        page.insert_text((150, 200), "COVER SHEET")
        document.save(tmp_path / "cover.pdf")
    result = run("check", tmp_path / "cover.pdf", "--symbols", SYMBOLS, "--out", tmp_path / "out", "--jobs", "0")
    sheet = json.loads((tmp_path / "out" / "results.json").read_text())["sheets"][0]
    assert sheet["status"] == "skipped" and "mapping file" in sheet["why"]
    assert result.exit_code == 3 and "no sheet was checked" in result.output  # 0 says that a set is clean


BATCH_OPTIONS = {
    "--password-file", "--jobs", "--pages", "--sheet-timeout", "--sheet-memory", "--resume", "--cluster",
    "--progress", "--quiet", "--verbose", "--force", "--out", "--symbols", "--amend", "--permit-date", "--code",
}  # fmt: skip


CONTEXT = click.Context(main)
COMMANDS = {name: command for name in main.list_commands(CONTEXT) if (command := main.get_command(CONTEXT, name))}


def options_of(command: str) -> set[str]:
    return {option for parameter in COMMANDS[command].params for option in parameter.opts if "--" in option}


@pytest.mark.parametrize("command", ["check", "compare", "recheck"])
def test_commands_that_read_sheets_have_the_same_options(command: str) -> None:
    assert options_of(command) >= BATCH_OPTIONS


def test_every_command_that_opens_a_pdf_takes_a_password_and_limits() -> None:
    for command in ("check", "compare", "recheck", "show", "learn"):
        assert options_of(command) >= {"--password-file", "--sheet-timeout", "--sheet-memory"}, command
    for name in {name for command in COMMANDS for name in options_of(command)}:
        helps = {
            parameter.help for command in COMMANDS.values() for parameter in command.params
            if name in parameter.opts and name not in ("--out", "--force", "--code", "--page", "--marked")
        }  # fmt: skip
        assert len(helps) <= 1, f"{name} means the same everywhere"


@pytest.fixture(scope="module")
def locked(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A locked sheet and its password file."""
    folder = tmp_path_factory.mktemp("locked")
    with pikepdf.open(SHEET) as document:
        document.save(folder / "plan.pdf", encryption=pikepdf.Encryption(owner="o", user="sesame"))
    (folder / "word").write_text("sesame\n")
    return folder / "plan.pdf", folder / "word"


def test_show_opens_a_locked_sheet_and_tells_without_a_password(locked: tuple[Path, Path], tmp_path: Path) -> None:
    sheet, word = locked
    words = ["show", sheet, "--symbols", SYMBOLS, "--dpi", "20", "--out", tmp_path / "a.png"]
    refused = run(*words)
    assert (
        refused.exit_code == 2
        and "give the password with --password-file" in refused.output
        and not (tmp_path / "a.png").exists()
    )
    assert run(*words, "--password-file", word).exit_code == 0
    assert (tmp_path / "a.png").read_bytes().startswith(b"\x89PNG")


def test_show_never_writes_over_its_input(tmp_path: Path) -> None:
    sheet = tmp_path / "plan.pdf"
    shutil.copy(SHEET, sheet)
    refused = run("show", sheet, "--symbols", SYMBOLS, "--dpi", "20", "--out", sheet)
    assert refused.exit_code == 2 and "input" in refused.output
    assert sheet.read_bytes() == SHEET.read_bytes()


def test_show_gives_a_sheet_up_at_its_limit(tmp_path: Path) -> None:
    bomb = tmp_path / "bomb.pdf"
    bomb.write_bytes(pdfs.CORPUS["forms_doubled_thirty_times"]())
    words = ["show", bomb, "--symbols", SYMBOLS, "--out", tmp_path / "a.png", "--sheet-timeout", "2"]
    refused = run(*words)
    assert refused.exit_code == 2 and "--sheet-timeout" in refused.output and len(refused.output.splitlines()) == 1


def test_learn_opens_a_locked_sheet(locked: tuple[Path, Path], tmp_path: Path) -> None:
    sheet, word = locked
    assert run("learn", sheet, "--out", tmp_path / "a", "--jobs", "0").exit_code == 2
    done = run("learn", sheet, "--out", tmp_path / "b", "--password-file", word, "-q", "--jobs", "0")
    assert done.exit_code == 0 and done.output == "" and (tmp_path / "b" / "symbols.yaml").is_file()


def test_compare_lays_amendments_over_every_edition_and_opens_locked_sheets(
    locked: tuple[Path, Path], tmp_path: Path
) -> None:
    sheet, word = locked
    amendment = tmp_path / "local.yaml"
    amendment.write_text(
        'cordpath: 1\namendment: local\nsays: no outdoor fixed wiring\neditions: ["2020", "2023"]\n'
        "status: invented\nsources: [none]\ndrop: [210.8(F)]\n"
    )
    words = ["compare", sheet, "--symbols", SYMBOLS, "--password-file", word, "--code", "2020", "--code", "2023"]
    done = run(*words, "--amend", amendment, "--out", tmp_path / "c", "--jobs", "0")
    assert done.exit_code in (0, 1), done.output
    data = json.loads((tmp_path / "c" / "compare.json").read_text())
    assert data["amendments"] == [str(amendment)] and data["outlets"]


def test_names_in_a_pipe_are_not_broken_up(tmp_path: Path) -> None:
    long = "a-sheet-of-a-name-that-is-longer-than-a-terminal-has-room-for-beside-the-figures"
    shutil.copy(SHEET, tmp_path / f"{long}.pdf")
    (tmp_path / "other.pdf").write_text("no PDF")
    lines = run(
        "check", tmp_path, "--symbols", SYMBOLS, "--out", tmp_path / "out", "--jobs", "0"
    ).output.splitlines()
    assert any(long in line and "checked" not in line for line in lines[:8])
    assert any("checked" in line and len(line.split()) >= 8 for line in lines)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--symbols", SYMBOLS], "--symbols is given twice"),
        (["--code", "2020", "--code", "2023"], "cordpath compare"),
        (["--pages", "1", "--pages=2"], "in one list"),
        (["-q", "-v"], "leave one of the two out"),
        (["-q", "--progress", "json"], "leave one of the two out"),
        (["-v", "--progress", "none"], "leave one of the two out"),
        (["--cluster", "tcp://10.0.0.5:8786", "--jobs", "4"], "leave one of the two out"),
    ],
)
def test_nothing_of_a_call_is_passed_over(words: list[str | Path], says: str, tmp_path: Path) -> None:
    result = run("check", SHEET, "--symbols", SYMBOLS, "--out", tmp_path / "out", *words)
    assert result.exit_code == 2 and says in result.output
    assert not (tmp_path / "out").exists()


def test_options_that_take_several_values_and_flags_may_be_repeated(tmp_path: Path) -> None:
    words = ["--amend", "none-1.yaml", "--amend", "none-2.yaml", "--xfdf", "--xfdf"]
    result = run("check", SHEET, "--symbols", SYMBOLS, *words)
    assert result.exit_code == 2 and "none-1.yaml" in result.output and "none-2.yaml" in result.output


def test_a_call_without_a_mapping_file_is_told_where_to_get_one() -> None:
    result = run("check", SHEET)
    assert result.exit_code == 2 and "'cordpath learn SHEETS' writes one" in " ".join(result.output.split())


def test_the_list_of_commands_tells_each_whole_and_where_to_start() -> None:
    told = " ".join(run("--help").output.split())
    assert "..." not in told.partition("Commands:")[2] and "cordpath learn plans/ --out office" in told
    assert all(command.short_help in told for command in COMMANDS.values())


def test_show_tells_a_folder_from_a_file_that_is_not_there(tmp_path: Path) -> None:
    result = run("show", tmp_path, "--symbols", SYMBOLS, "--out", tmp_path / "x.png")
    assert result.exit_code == 2 and "it is a folder; name one PDF file" in result.output


def test_the_files_of_a_large_batch_are_counted_and_not_listed() -> None:
    names = [f"out/{k}.marked.pdf" for k in range(30)] + ["out/a.marked.xfdf", "out/results.json"]
    said = files_written(tuple(map(Path, names)))
    assert said == "30 files *.marked.pdf, a.marked.xfdf, results.json"


def test_a_mistyped_command_is_answered_with_the_one_that_was_meant() -> None:
    result = run("chek", SHEET)
    assert result.exit_code == 2 and "Did you mean 'check'?" in result.output
    assert "Did you mean" not in run("xyzzy").output


def test_a_folder_of_our_own_copies_is_not_called_empty(tmp_path: Path) -> None:
    (tmp_path / "a.marked.pdf").write_bytes(b"%PDF-")
    told = run("check", tmp_path, "--symbols", SYMBOLS).output
    assert "but copies that cordpath has written" in told
    (tmp_path / "a.marked.pdf").unlink()
    assert "a folder without any" in run("check", tmp_path, "--symbols", SYMBOLS).output


def test_pages_that_a_file_does_not_have_are_told(tmp_path: Path) -> None:
    """The page that is there is checked; the one that is not had been passed over in silence."""
    result = run("check", SHEET, "--symbols", SYMBOLS, "--out", tmp_path, "--jobs", "0", "--pages", "1,3")
    assert result.exit_code in (0, 1) and "has 1 page: there is no page 3" in " ".join(result.output.split())
    none = run("check", SHEET, "--symbols", SYMBOLS, "--out", tmp_path, "--jobs", "0", "--pages", "3")
    assert none.exit_code == 3 and "it has 1 page, none of those asked for" in " ".join(none.output.split())
    one = run("show", SHEET, "--symbols", SYMBOLS, "--page", "9", "--out", tmp_path / "x.png")
    assert one.exit_code == 2 and "there is no page 9; the file has one page" in one.output


def test_it_runs_as_a_module_too() -> None:
    done = subprocess.run([sys.executable, "-m", "cordpath", "--help"], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0 and "check" in done.stdout, done.stderr
