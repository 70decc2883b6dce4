"""``cordpath learn``: the starter file is valid as it stands and finds the outlets; so do shapes, once named."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import pymupdf
import pytest
from click.testing import CliRunner, Result
from PIL import Image
from shapely import Point

from cordpath.cli import main
from cordpath.commands.drawings import _counts
from cordpath.learn import Lesson, PlanPage, legend_page, plan_page
from cordpath.model import Drawing, Mapping
from cordpath.scale import prove_scales
from cordpath.sheet import read_sheet
from cordpath.symbols import gather_examples, load_mapping, spot
from cordpath.symbols.examples.doubts import BETWEEN
from cordpath.symbols.learning.samples import legend_samples, merged
from cordpath.symbols.learning.starter import entries, starter_text
from cordpath.symbols.mapping_file.mapping import mapping_of
from drawn_page import duplex, legend_sheet, words
from drawn_page import sheet as drawn_sheet
from read_once import sample

SAMPLES = Path(__file__).resolve().parents[1] / "sample_plans"
STEMS = ("marlow-court", "quarry-yard")
NEAR = 5.0  # pt
FOUND = 0.95
BLANK = Mapping("", Drawing(), ())


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def outlets_of(stem: str) -> list[dict]:
    truth = json.loads((SAMPLES / f"{stem}.truth.json").read_text(encoding="utf-8"))
    return [outlet for view in truth["views"] for outlet in view["outlets"]]


@pytest.fixture(scope="module")
def learnt(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("learn") / "office"
    result = run("learn", *(SAMPLES / f"{stem}.pdf" for stem in STEMS), "--out", out, "--jobs", "0", "-v")
    assert result.exit_code == 0, result.output
    for stage in ("legends", "shapes"):
        told = [f"{stage} {k}/2: {stem}.pdf page 1" for k, stem in enumerate(STEMS, 1)]
        assert all(line in result.output for line in told), result.output
    assert "symbols from legends" in result.output
    return out


def test_rows_that_are_left_out_are_not_counted_as_symbols() -> None:
    page = drawn_sheet(
        [duplex(520, 80)], words("RANGE OUTLET", 560, 80) + words("QUAD OUTLET", 560, 140, 1), legend=True
    )
    made = entries(legend_samples(page), ())
    said = _counts(Lesson("", made, Image.new("L", (1, 1)), (), ()))
    assert said.startswith("1 symbol from legends,") and "1 left out" in said


@pytest.mark.parametrize("stem", STEMS)
def test_the_starter_file_finds_the_outlets(learnt: Path, stem: str) -> None:
    mapping = load_mapping(learnt / "symbols.yaml")
    sheet = sample(stem)
    found = [
        s for s in spot(sheet, mapping, prove_scales(sheet, mapping.drawing)).symbols if s.kind == "receptacle"
    ]
    truth = outlets_of(stem)
    hit = [any(math.dist(o["at"], s.at) <= NEAR and s.found for s in found) for o in truth]
    assert sum(hit) >= FOUND * len(truth)
    false = [s for s in found if not any(math.dist(o["at"], s.at) <= NEAR for o in truth)]
    assert len(false) <= (1 - FOUND) * len(truth)


def test_kinds_and_facts_come_from_the_legends_words(learnt: Path) -> None:
    by_name = {entry.name: entry for entry in load_mapping(learnt / "symbols.yaml").symbols}
    assert by_name["240 V receptacle"].volts == 240
    assert by_name["ground-fault receptacle"].protection == "device"
    assert by_name["duplex receptacle"].protection is None
    assert by_name["lighting panel"].kind == "panel" and by_name["data outlet"].kind == "other"
    assert by_name["ceiling light"].kind == "light" and by_name["switch"].kind == "switch"
    assert all(entry.shape for entry in by_name.values()), "the file stands alone"


def test_wall_sides_come_from_the_walls_that_symbols_touch(learnt: Path) -> None:
    """The mapping files of the samples give the same side for the same shapes."""
    by_name = {entry.name: entry for entry in load_mapping(learnt / "symbols.yaml").symbols}
    assert by_name["duplex receptacle"].wall_side == by_name["duplex receptacle (2)"].wall_side == (0, -1)
    assert by_name["ceiling light"].wall_side is None and by_name["floor receptacle"].wall_side is None


def test_fixtures_are_proposed_and_found_again(learnt: Path) -> None:
    """Sinks, a tub and a shower have drains; the proposals find every fixture that they were taken from.

    Until somebody confirms them they are questions.
    """
    proposed = load_mapping(learnt / "symbols.yaml")
    assert all(entry.proposed == (entry.size == "real") for entry in proposed.symbols)
    confirmed = (learnt / "symbols.yaml").read_text(encoding="utf-8").replace("    proposed: true\n", "")
    mapping = mapping_of(confirmed.encode(), "confirmed.yaml")
    fixtures = [entry for entry in mapping.symbols if entry.size == "real"]
    appliances = {"refrigerator", "dishwasher", "washer", "dryer", "range", "water heater", "water closet"}
    assert {"sink", "bathtub", "shower", "water closet", "range"} <= {entry.kind for entry in fixtures}
    assert {entry.kind for entry in fixtures} <= {"sink", "bathtub", "shower"} | appliances
    wet = {"sink", "lavatory", "bathtub", "shower"}
    for stem in STEMS:
        sheet = sample(stem)
        found = spot(sheet, mapping, prove_scales(sheet, mapping.drawing)).symbols
        truth = json.loads((SAMPLES / f"{stem}.truth.json").read_text(encoding="utf-8"))
        for view in truth["views"]:
            for each in (each for each in view["fixtures"] if each["kind"] in wet):
                here = [s for s in found if s.is_fixture and s.footprint.covers(Point(each["at"]))]
                assert here and all(s.found for s in here), (stem, each["kind"], each["at"])


def test_the_contact_sheet_is_a_picture_with_ink(learnt: Path) -> None:
    with Image.open(learnt / "contact-sheet.png") as image:
        assert image.format == "PNG" and image.width > 600 and image.height > 300
        assert image.convert("L").getextrema()[0] < 50


def test_nothing_is_written_over_unasked(learnt: Path) -> None:
    before = (learnt / "symbols.yaml").read_bytes()
    words = ("learn", SAMPLES / "quarry-yard.pdf", "--out", learnt, "--jobs", "0")
    result = run(*words)
    assert result.exit_code == 2 and "--force" in result.output
    assert (learnt / "symbols.yaml").read_bytes() == before


def test_pages_that_are_not_looked_at_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    document = pymupdf.open(SAMPLES / "quarry-yard.pdf")
    document.new_page()
    document.save(tmp_path / "two.pdf")
    monkeypatch.setattr("cordpath.learn.MOST_PAGES", 1)
    result = run("learn", tmp_path / "two.pdf", "--out", tmp_path / "office", "--jobs", "0")
    assert result.exit_code == 0
    assert "has 2 pages: only the first 1 were looked at; name others with --pages" in result.output
    result = run("learn", tmp_path / "two.pdf", "--out", tmp_path / "b", "--jobs", "0", "--pages", "1,3,7")
    assert result.exit_code == 0 and "has 2 pages: there is no page 3, 7" in result.output


def test_a_file_that_cannot_be_read_ends_with_status_3(tmp_path: Path) -> None:
    (tmp_path / "broken.pdf").write_bytes(b"%PDF-1.7 and no more")
    words = (
        tmp_path / "broken.pdf",
        SAMPLES / "quarry-yard.pdf",
        "--out",
        tmp_path / "office",
        "--jobs",
        "1",
        "-q",
    )
    result = run("learn", *words)
    assert result.exit_code == 3 and "broken.pdf" in result.output
    assert load_mapping(tmp_path / "office" / "symbols.yaml").symbols


def test_a_file_that_cannot_be_read_is_named_once(tmp_path: Path) -> None:
    (tmp_path / "notes.pdf").write_text("no PDF")
    told = run("learn", tmp_path / "notes.pdf", "--out", tmp_path / "out", "--jobs", "0").output
    assert told.count("notes.pdf") == 1 and "cannot be read as a PDF" in told


def test_sheets_that_teach_nothing_are_refused(tmp_path: Path) -> None:
    document = pymupdf.open()
    document.new_page().insert_text((72, 72), "GENERAL NOTES")
    document.save(tmp_path / "notes.pdf")
    result = run("learn", tmp_path / "notes.pdf", "--out", tmp_path / "office", "--jobs", "0")
    assert result.exit_code == 2 and "no legend, no fixture and no repeated shape" in result.output
    assert not (tmp_path / "office").exists()


@pytest.mark.parametrize("stem", ["quarry-yard", "tern-street"])
def test_without_a_legend_repeated_shapes_are_found_and_only_need_a_name(stem: str) -> None:
    page = plan_page(SAMPLES / f"{stem}.pdf", 1, BLANK)
    assert isinstance(page, PlanPage)
    shapes = tuple(sample for sample in page.shapes if sample.fixture is None)
    assert shapes[0].times >= 6
    mapping = mapping_of(starter_text(entries((), merged(shapes))).encode(), "m.yaml")
    assert {entry.kind for entry in mapping.symbols} == {"other"}
    named = replace(mapping, symbols=tuple(replace(entry, kind="receptacle") for entry in mapping.symbols))
    sheet = sample(stem)
    found = spot(sheet, named, prove_scales(sheet, named.drawing)).symbols
    truth = outlets_of(stem)
    hit = sum(any(math.dist(o["at"], s.at) <= NEAR for s in found) for o in truth)
    assert hit >= 0.9 * len(truth), "symbols drawn less than three times are not among the repeated ones"


def test_a_row_with_a_mark_of_its_neighbour_claims_no_protection() -> None:
    """Were the GFI that may be the next row's taken for granted, every plain outlet would be one that protects."""
    plain = legend_samples(legend_sheet())[1]
    doubted = replace(plain, said=(f"'GFI' {BETWEEN}",))
    sure, unsure = (starter_text(entries((one,), ())) for one in (plain, doubted))
    assert "protection: device" in sure and "may be a mark of either" not in sure
    assert "protection:" not in unsure and "may be a mark of either" in unsure


def existing_ones(path: Path, dashes: str | None, grey: float) -> None:
    """A legend whose second row draws the sign of the first with another pen, and a plan with three of each."""
    document = pymupdf.open()
    page = document.new_page(width=792, height=612)

    def symbol(x: float, y: float, other: bool) -> None:
        pen = {"width": 0.5, "dashes": dashes if other else None, "color": [grey if other else 0.0] * 3}
        page.draw_circle((x, y), 5, **pen)
        for off in (-1.7, 1.7):
            page.draw_line((x - 8, y + off), (x + 8, y + off), **pen)

    page.insert_text((600, 90), "ELECTRICAL LEGEND", fontsize=11)
    for k, text in enumerate(("DUPLEX RECEPTACLE", "EXISTING DUPLEX RECEPTACLE", "240 V RECEPTACLE")):
        symbol(610, 120 + 36 * k, k == 1)
        page.insert_text((640, 122 + 36 * k), text, fontsize=8)
    page.draw_line((602, 184), (618, 200), width=0.5)
    for k in range(6):
        symbol(100 + 60 * k, 200, k % 2 > 0)
    page.draw_rect((80, 180, 440, 520), width=0.5)
    page.insert_text((200, 560), "POWER PLAN", fontsize=12)
    document.save(path)


@pytest.mark.parametrize(("dashes", "grey"), [("[2 1] 0", 0.0), (None, 0.6)])
def test_signs_of_one_shape_that_their_pens_tell_apart_are_found_as_drawn(
    tmp_path: Path, dashes: str | None, grey: float
) -> None:
    """By their shapes alone new and existing outlets were one, and each of them a question."""
    existing_ones(tmp_path / "plan.pdf", dashes, grey)
    assert run("learn", tmp_path / "plan.pdf", "--out", tmp_path / "office", "--jobs", "0").exit_code == 0
    mapping = load_mapping(tmp_path / "office" / "symbols.yaml")
    assert [entry.shape is None for entry in mapping.symbols] == [True, True, False]
    sheet = read_sheet(tmp_path / "plan.pdf", 1)
    result = spot(sheet, mapping, (), gather_examples(mapping, {}, sheet=sheet))
    drawn_as = [s.entry.name for s in sorted(result.symbols, key=lambda s: s.at) if s.found]
    assert drawn_as == ["duplex receptacle", "existing duplex receptacle"] * 3


def test_descriptions_of_several_lines_are_one_row(tmp_path: Path) -> None:
    document = pymupdf.open()
    page = document.new_page(width=792, height=612)
    page.insert_text((100, 90), "ELECTRICAL LEGEND", fontsize=11)
    rows = (("DUPLEX RECEPTACLE,", "GFCI TYPE, WEATHERPROOF"), ("SMOKE DETECTOR",), ("CEILING LIGHT",))
    for k, lines in enumerate(rows):
        y = 130.0 + 36 * k
        for j, line in enumerate(lines):
            page.insert_text((140, y + 10 * j), line, fontsize=8)
        page.draw_circle((118, y + 2), 5 + k, width=0.5)
        page.draw_line((112, y + 2), (124, y + 2), width=0.5)
    document.save(tmp_path / "legend.pdf")
    found = legend_page(tmp_path / "legend.pdf", 1)
    assert isinstance(found, tuple)
    assert [sample.text for sample in found] == [" ".join(lines) for lines in rows]
    (first, *_) = entries(found, ())
    assert dict(first.guess.facts) == {"protection": "device", "weatherproof": True}
