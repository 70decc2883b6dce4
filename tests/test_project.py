"""The project checks itself: the layering of the house, and what README and the package promise."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

from cordpath import report
from cordpath.cli import COMMANDS
from cordpath.symbols import load_mapping

ROOT = Path(__file__).parent.parent
SOURCE = ROOT / "src" / "cordpath"
STAGES = ("sheet", "scale", "symbols", "rooms", "reach", "circuits", "rules", "report")
SHARED = {"cordpath", "cordpath.model", "cordpath.geometry", "cordpath.frame", "cordpath.units", "cordpath.errors"}


def imports_of(path: Path) -> set[str]:
    """Modules of cordpath that a file imports."""
    named: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            named.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            if node.module == "cordpath":
                named.update(
                    f"cordpath.{alias.name}" if not alias.name.startswith("_") else "cordpath"
                    for alias in node.names
                )
            elif node.module:
                named.add(node.module)
    return {name for name in named if name.split(".")[0] == "cordpath"}


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_knows_the_shared_nouns_and_no_other_stage(stage: str) -> None:
    files = sorted((SOURCE / stage).rglob("*.py"))
    assert files
    for path in files:
        strangers = {
            name for name in imports_of(path)
            if name not in SHARED and name.split(".")[1] != stage
        }  # fmt: skip
        assert not strangers, f"{path.relative_to(ROOT)} imports {sorted(strangers)}"


@pytest.mark.parametrize("shared", ["model", "geometry", "frame", "units", "errors"])
def test_shared_modules_know_no_stage(shared: str) -> None:
    files = sorted((SOURCE / shared).glob("*.py")) or [SOURCE / f"{shared}.py"]
    for path in files:
        strangers = {
            name for name in imports_of(path) - SHARED if not name.startswith(f"cordpath.{shared}.")
        }  # fmt: skip
        assert not strangers, f"{path.relative_to(ROOT)} imports {sorted(strangers)}"


def test_workers_load_nothing_that_writes_word_or_excel_files() -> None:
    told = "import sys, cordpath.batch.tasks; print(*{'docx', 'openpyxl'} & sys.modules.keys())"
    found = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    assert not found.stdout.strip()
    assert all(callable(getattr(report, name)) for name in report.LATE)


def test_the_map_for_developers_names_every_place_and_none_that_is_not_there() -> None:
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    chart = guide.split("| --- | --- |")[1].split("Rules of the house")[0]
    named = set(re.findall(r"`([\w/.]+(?:\.py|/))`", chart))
    top = {path.name + "/" * path.is_dir() for path in SOURCE.iterdir() if path.suffix in (".py", "")}
    assert top - {"__init__.py", "__pycache__/"} <= named
    modules = {path.name for path in SOURCE.rglob("*.py")}
    folders = {f"{path.name}/" for path in SOURCE.rglob("*") if path.is_dir()}
    for name in named:
        assert name in modules | folders or (ROOT / name).exists() or (SOURCE / name).exists(), name


def test_top_level_holds_what_it_should_and_nothing_else() -> None:
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "src",
        "tests",
        "sample_plans",
        "configs",
        "LICENSE",
        "review",
        "review-b",
    }
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found <= allowed


def test_readme_opens_with_one_paragraph_that_states_the_job() -> None:
    blocks = (ROOT / "README.md").read_text(encoding="utf-8").split("\n\n")
    assert blocks[0].startswith("# cordpath")
    assert "GFCI" in blocks[1] and "PDF" in blocks[1] and not blocks[1].startswith(("#", "-", "!"))


def test_readme_names_both_commands_as_single_lines() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for mark in ("<!-- check command -->", "<!-- test command -->"):
        found = re.search(re.escape(mark) + r"\n```\w*\n(.+?)\n```", readme, re.S)
        assert found, mark
        assert "\n" not in found.group(1)


def test_readme_carries_the_cautions() -> None:
    readme = " ".join((ROOT / "README.md").read_text(encoding="utf-8").split()).lower()
    for caution in (
        "authority having jurisdiction",
        "do not scale where a dimension is given",
        "turn power off and test",
    ):
        assert caution in readme


def test_the_mapping_file_in_the_readme_is_valid(tmp_path: Path) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    found = re.search(r"```yaml\n(.+?)```", readme, re.S)
    assert found
    (tmp_path / "symbols.yaml").write_text(found.group(1), encoding="utf-8")
    mapping = load_mapping(tmp_path / "symbols.yaml")
    assert [entry.name for entry in mapping.symbols] == ["duplex receptacle", "lavatory"]


def test_every_command_is_in_the_readme() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for command in COMMANDS:
        assert re.search(rf"`cordpath {command}\b", readme) or f"cordpath {command} " in readme, command
