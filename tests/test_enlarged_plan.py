"""An enlarged plan that falls under the scale of the plan beside it: what was measured in it cleared outlets."""

from __future__ import annotations

from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from cordpath.check import judge_file, load_mapping, understand
from cordpath.rules import load_edition
from drawn_room import DUPLEX, FOOT, LAVATORY
from small_house import SYMBOLS

HIGH, HALF = 792.0, 7.92


def _room(page: Canvas, west: float, south: float, foot: float, name: str, leaf: float, outer: float = 0.5) -> None:
    """Ten feet square, an outlet 4 1/2 ft from a lavatory; a room beside it.  ``leaf``: of its door, ft, or 0;
    ``outer``: thickness of the walls around them, ft."""
    side, thick, north = 10 * foot, 0.5 * foot, south + 10 * foot
    page.setLineWidth(1)
    around = outer * foot
    page.rect(west - around, south - around, side + thick + 2 * around + 12 * foot, side + 2 * around)
    page.rect(west, south, side, side)
    page.rect(west + side + thick, south, 12 * foot, side)
    page.setLineWidth(0.6)
    k, x = foot / 12, west + 8 * foot  # pt an inch
    page.rect(x - 10 * k, north - 18 * k, 20 * k, 18 * k)
    page.circle(x, north - 9 * k, 7 * k)
    x = west + 3 * foot
    page.circle(x, north - HALF, 4.5)
    for side_of in (-1.8, 1.8):
        page.line(x + side_of, north, x + side_of, north - HALF - 4.1256)
    if leaf:
        hinge, wide = (west + foot, south), leaf * foot
        page.line(*hinge, hinge[0], hinge[1] + wide)
        page.arc(hinge[0] - wide, hinge[1] - wide, hinge[0] + wide, hinge[1] + wide, 0, 90)
    page.setFont("Helvetica", 8)
    page.drawString(west + 5 * foot, south + 4 * foot, name)


def _verdicts(
    folder: Path, foot: float, leaf: float, title: str, block: bool = True, outer: float = 0.5
) -> dict[str, str]:
    page = Canvas(str(folder / "e.pdf"), pagesize=(1624, HIGH), invariant=1)
    _room(page, 100, 450, FOOT, "BEDROOM", leaf)
    _room(page, 560, 250, foot, "STUDY", leaf, outer)
    page.rect(1440, 20, 164, HIGH - 40)
    lines = [(100, 400, 12, "FLOOR PLAN"), (560, 180, 12, title), (1450, 140, 12, "POWER PLAN")]
    lines += [(1450, 160, 6, "SHEET TITLE"), (1450, 70, 6, "SHEET NO."), (1450, 40, 24, "E-101")]
    lines += [(1450, 100, 6, "SCALE"), (1450, 92, 7, '1/4" = 1\'-0"')] if block else []
    lines += [] if block else [(x, y, 8, 'SCALE: 1/4" = 1\'-0"') for x, y in ((100, 386), (560, 166))]
    for x, y, size, text in lines:
        page.setFont("Helvetica", size)
        page.drawString(x, y, text)
    page.save()
    (folder / "s.yaml").write_text("cordpath: 1\nsymbols:\n" + DUPLEX + LAVATORY, encoding="utf-8")
    reading = understand(folder / "e.pdf", 1, load_mapping(folder / "s.yaml"))
    (result,) = judge_file("e.pdf", {1: reading}, load_edition("2023"))
    return {
        plan.room(outlet.standing.room).name: finding.verdict  # type: ignore[union-attr]
        for outlet, finding in zip(reading.outlets, result.findings, strict=True)
        for plan in reading.plans
        if plan.room(outlet.standing.room) is not None
    }


@pytest.mark.parametrize("title", ["", "STUDY PLAN"])
@pytest.mark.parametrize("leaf", [0, 2.5])
def test_what_is_drawn_larger_is_not_measured_at_the_scale_of_its_neighbour(
    tmp_path: Path, title: str, leaf: float
) -> None:
    assert _verdicts(tmp_path, 2 * FOOT, leaf, title) == {"BEDROOM": "missing", "STUDY": "unresolved"}


def test_doors_tell_an_enlargement_that_walls_do_not(tmp_path: Path) -> None:
    assert _verdicts(tmp_path, 1.5 * FOOT, 2.5, "STUDY PLAN")["STUDY"] == "unresolved"


def test_where_all_walls_are_half_as_thick_again_it_is_an_enlargement(tmp_path: Path) -> None:
    """Without a door the outlet beside the lavatory was cleared; a basement has thicker walls around it only."""
    assert _verdicts(tmp_path, 1.5 * FOOT, 0, "")["STUDY"] == "unresolved"
    assert _verdicts(tmp_path, FOOT, 0, "", outer=10 / 12)["STUDY"] == "missing"


@pytest.mark.parametrize("block", [True, False])
def test_two_drawings_of_one_scale_are_both_measured(tmp_path: Path, block: bool) -> None:
    assert _verdicts(tmp_path, FOOT, 2.5, "STUDY PLAN", block) == {"BEDROOM": "missing", "STUDY": "missing"}


def _bath(page: Canvas, west: float, south: float, foot: float, label: bool, side: float = 11) -> None:
    page.rect(west - 0.5 * foot, south - 0.5 * foot, 23.5 * foot, (side + 1) * foot)
    page.rect(west, south, 10 * foot, side * foot)
    page.rect(west + 10.5 * foot, south, 12 * foot, side * foot)
    x, y = west + 4 * foot, south + HALF
    page.circle(x, y, 4.5)
    for side in (-1.8, 1.8):
        page.line(x + side, south, x + side, y + 4.1256)
    page.setFont("Helvetica", 8)
    page.drawString(west + 3 * foot, south + 6 * foot, "BATH")
    if label:
        page.drawString(x + 9, y - 2, "GFI")


def test_a_device_that_one_of_two_drawings_shows_is_asked_about_in_the_other(tmp_path: Path) -> None:
    """The bath is judged twice; that was not said, and its outlet was missing a device that is drawn."""
    page = Canvas(str(tmp_path / "e.pdf"), pagesize=(1624, HIGH), invariant=1)
    for west, south, foot, label, title, scale in (
        (100, 450, FOOT, False, "FLOOR PLAN", "1/4"),
        (640, 280, 2 * FOOT, True, "ENLARGED BATH PLAN", "1/2"),
    ):
        _bath(page, west, south, foot, label)
        page.setFont("Helvetica", 12)
        page.drawString(west, south - 50, title)
        page.setFont("Helvetica", 8)
        page.drawString(west, south - 64, f'SCALE: {scale}" = 1\'-0"')
    page.save()
    (tmp_path / "s.yaml").write_text(SYMBOLS, encoding="utf-8")
    reading = understand(tmp_path / "e.pdf", 1, load_mapping(tmp_path / "s.yaml"))
    (result,) = judge_file("e.pdf", {1: reading}, load_edition("2023"))
    got = {f.room.view: f.verdict for f in result.findings if f.room is not None}
    titles = {view.id: view.title for view in reading.sheet.views}
    assert {titles[view]: verdict for view, verdict in got.items()} == {
        "FLOOR PLAN": "unresolved",
        "ENLARGED BATH PLAN": "protected",
    }
    told = "BATH is drawn in FLOOR PLAN and larger in ENLARGED BATH PLAN: what both show is counted in each"
    assert told in result.assumptions


@pytest.mark.parametrize(("title", "verdict"), [("ENLARGED BATH PLAN", "unresolved"), ("FLOOR PLAN", "missing")])
def test_around_an_enlarged_part_lie_other_rooms(tmp_path: Path, title: str, verdict: str) -> None:
    """A receptacle of the living room behind the wall at which the drawing ends was outdoors for certain."""
    page = Canvas(str(tmp_path / "e.pdf"), pagesize=(1224, HIGH), invariant=1)
    west, south, foot = 200.0, 250.0, 2 * FOOT
    _bath(page, west, south, foot, True)
    x, wall = west + 4 * foot, south - 0.5 * foot
    page.circle(x, wall - HALF, 4.5)
    for side in (-1.8, 1.8):
        page.line(x + side, wall, x + side, wall - HALF - 4.1256)
    page.setFont("Helvetica", 12)
    page.drawString(west, south - 80, title)
    page.setFont("Helvetica", 8)
    page.drawString(west, south - 94, 'SCALE: 1/2" = 1\'-0"')
    page.save()
    (tmp_path / "s.yaml").write_text(SYMBOLS, encoding="utf-8")
    reading = understand(tmp_path / "e.pdf", 1, load_mapping(tmp_path / "s.yaml"))
    (result,) = judge_file("e.pdf", {1: reading}, load_edition("2023"))
    assert {f.room.name if f.room else None: f.verdict for f in result.findings} == {
        "BATH": "protected",
        "OUTDOORS": verdict,
    }


def _sheet(page: Canvas, foot: float, label: bool, title: str, scale: str, side: float = 11) -> None:
    _bath(page, 200, 250, foot, label, side)
    page.setFont("Helvetica", 12)
    page.drawString(200, 180, title)
    page.setFont("Helvetica", 8)
    page.drawString(200, 166, f'SCALE: {scale}" = 1\'-0"')
    page.showPage()


@pytest.mark.parametrize("side", [11, 9])
def test_an_enlarged_part_on_another_sheet_is_told_to_be_the_same_place(tmp_path: Path, side: float) -> None:
    """What two sheets show was counted in both and nothing said so; the plan's outlet was missing a device."""
    page, whole = Canvas(str(tmp_path / "e.pdf"), pagesize=(1224, HIGH), invariant=1), 11
    for foot, label, title, scale, high in (
        (FOOT, False, "FLOOR PLAN", "1/4", whole),
        (2 * FOOT, True, "ENLARGED BATH PLAN", "1/2", side),
    ):
        _sheet(page, foot, label, title, scale, high)
    page.save()
    (tmp_path / "s.yaml").write_text(SYMBOLS, encoding="utf-8")
    mapping = load_mapping(tmp_path / "s.yaml")
    readings = {k: understand(tmp_path / "e.pdf", k, mapping) for k in (1, 2)}
    plan, part = judge_file("e.pdf", readings, load_edition("2023"))
    assert [f.verdict for f in (*plan.findings, *part.findings)] == ["unresolved", "protected"]
    drawn = "is drawn" if side == whole else "is perhaps drawn"
    told = (
        f"BATH {drawn} in FLOOR PLAN (page 1) and larger in ENLARGED BATH PLAN (page 2): "
        "what both show is counted in each"
    )
    assert told in plan.assumptions
    assert told in part.assumptions
    (alone,) = judge_file("e.pdf", {2: readings[2]}, load_edition("2023"))
    assert (
        "ENLARGED BATH PLAN shows a part of a plan larger: what that plan shows as well is counted in each"
        in alone.assumptions
    )


def test_what_one_enlarged_plan_asks_another_one_does_not_take_back(tmp_path: Path) -> None:
    """Of two drawings of a bath the first showed its device: the second made the plan's outlet missing again."""
    page = Canvas(str(tmp_path / "e.pdf"), pagesize=(1224, HIGH), invariant=1)
    for foot, label, title, scale in (
        (FOOT, False, "FLOOR PLAN", "1/4"),
        (2 * FOOT, True, "ENLARGED BATH PLAN", "1/2"),
        (2 * FOOT, False, "ENLARGED TILE PLAN", "1/2"),
    ):
        _sheet(page, foot, label, title, scale)
    page.save()
    (tmp_path / "s.yaml").write_text(SYMBOLS, encoding="utf-8")
    mapping = load_mapping(tmp_path / "s.yaml")
    readings = {k: understand(tmp_path / "e.pdf", k, mapping) for k in (1, 2, 3)}
    verdicts = [f.verdict for each in judge_file("e.pdf", readings, load_edition("2023")) for f in each.findings]
    assert verdicts[:2] == ["unresolved", "protected"]
