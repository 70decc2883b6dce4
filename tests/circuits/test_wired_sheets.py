"""Wired sheets from the PDF to the verdict: what a wire, a gap and a panel in another file make of each outlet."""

from __future__ import annotations

import importlib.util
import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from cordpath.check import judge_file, load_mapping, understand
from cordpath.cli import main
from cordpath.rules import amend, load_edition
from cordpath.rules.load import parse_amendment

_spec = importlib.util.spec_from_file_location("wired_plan", Path(__file__).parent / "wired_plan.py")
wired_plan = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(wired_plan)


@pytest.fixture(scope="module")
def mapping(tmp_path_factory):
    path = tmp_path_factory.mktemp("map") / "symbols.yaml"
    path.write_text(wired_plan.MAPPING)
    return load_mapping(path)


def judged(path, mapping, edition=None):
    reading = understand(path, 1, mapping)
    (result,) = judge_file(str(path), {1: reading}, edition or load_edition("2023"))
    assert len(result.findings) == 5, result
    return result


def shown(result):
    return [(f.verdict, f.protection.by) for f in sorted(result.findings, key=lambda f: f.outlet.symbol.at[0])]


MISSING, DEVICE, FED, ASKED = ("missing", None), ("protected", "device"), ("protected", "feed-through"), (
    "unresolved", None)  # fmt: skip


@pytest.mark.parametrize(
    ("wires", "dashed", "filled"),
    [("arc", False, True), ("arc", True, False), ("line", False, False), ("chords", False, True)],
)
def test_after_the_device_protected_and_before_it_missing(tmp_path, mapping, wires, dashed, filled):
    result = judged(wired_plan.plan(tmp_path / "a.pdf", wires, dashed, filled), mapping)
    assert shown(result) == [MISSING, DEVICE, FED, FED, FED]
    (wiring,) = result.reading.wiring
    assert wiring.tag == "A-12" and wiring.whole


def test_a_gap_in_the_wiring_protects_nobody_beyond_it(tmp_path, mapping):
    result = judged(wired_plan.plan(tmp_path / "a.pdf", skip=(2,)), mapping)
    assert shown(result)[:3] == [MISSING, DEVICE, FED] and not {FED} & set(shown(result)[3:])


def test_without_a_homerun_the_order_is_a_question(tmp_path, mapping):
    assert shown(judged(wired_plan.plan(tmp_path / "a.pdf", tag=None), mapping)) == [
        ASKED,
        DEVICE,
        ASKED,
        ASKED,
        ASKED,
    ]


def test_without_wires_nothing_is_fed_through(tmp_path, mapping):
    result = judged(wired_plan.plan(tmp_path / "a.pdf", skip=(0, 1, 2, 3)), mapping)
    assert shown(result) == [MISSING, DEVICE, MISSING, MISSING, MISSING]


def test_the_same_circuit_is_a_question_or_by_the_policy_missing(tmp_path, mapping):
    path = wired_plan.plan(tmp_path / "a.pdf", skip=(0, 1, 2, 3), tag=None, tags=["A-12"] * 5)
    assert shown(judged(path, mapping)) == [ASKED, DEVICE, ASKED, ASKED, ASKED]
    strict = parse_amendment("cordpath: 1\namendment: Order 3\npolicy: {same_circuit: missing}\n", "a.yaml")
    result = judged(path, mapping, amend(load_edition("2023"), strict))
    assert shown(result) == [MISSING, DEVICE, MISSING, MISSING, MISSING]
    assert any("Order 3" in said for said in result.assumptions)


def check(folder, *more):
    (folder / "symbols.yaml").write_text(wired_plan.MAPPING)
    words = ["check", folder, "--symbols", folder / "symbols.yaml", "--out", folder / "out", "--jobs", "0", *more]
    ran = CliRunner().invoke(main, [str(word) for word in words])
    assert ran.exit_code in (0, 1), ran.output
    return json.loads((folder / "out" / "results.json").read_text()), ran


def test_a_panel_in_another_file_of_the_set(tmp_path):
    wired_plan.plan(tmp_path / "E-101.pdf", gfi=None)
    wired_plan.schedule(tmp_path / "E-601.pdf")
    data, _ = check(tmp_path)
    outlets = [outlet for sheet in data["sheets"] for outlet in sheet["outlets"]]
    assert [o["protection"]["by"] for o in outlets] == ["breaker"] * 5
    assert all("E-601" in o["protection"]["evidence"] for o in outlets)
    assert data["proposals"] == []


def test_two_buildings_in_one_folder_lend_each_other_no_breaker(tmp_path):
    wired_plan.plan(tmp_path / "north.pdf", gfi=None)
    wired_plan.schedule(tmp_path / "south.pdf", number="E-101")
    data, _ran = check(tmp_path)
    outlets = [outlet for sheet in data["sheets"] for outlet in sheet["outlets"]]
    assert [o["verdict"] for o in outlets] == ["unresolved"] * 5
    assert all("another building" in " ".join(o["protection"]["reasons"]) for o in outlets)


def test_the_proposal_is_one_device_at_the_first_and_in_every_output(tmp_path):
    wired_plan.plan(tmp_path / "E-101.pdf", gfi=None)
    data, ran = check(tmp_path)
    (proposal,) = data["proposals"]
    (step,) = proposal["steps"]
    assert step["kind"] == "device" and len(step["protects"]) == 5 and step["assumes"] is None
    assert "1 GFCI device would protect 5 outlets" in " ".join(ran.output.split())
    assert "1 GFCI device would protect 5 outlets" in (tmp_path / "out" / "report.html").read_text()


def test_a_tag_of_no_panel_is_a_conflict_in_the_results(tmp_path):
    wired_plan.plan(tmp_path / "E-101.pdf", gfi=None, tag=None, skip=(0, 1, 2, 3), tags=["A-77", "A-12"])
    wired_plan.schedule(tmp_path / "E-601.pdf")
    data, _ = check(tmp_path)
    (conflict,) = [c for sheet in data["sheets"] for c in sheet["conflicts"]]
    assert "A-77" in conflict["what"] and len(conflict["outlets"]) == 1
    assert "A-77 is in no panel schedule" in (tmp_path / "out" / "report.html").read_text()
