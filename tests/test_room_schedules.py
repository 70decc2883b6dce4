"""A room schedule on another page of the file names the rooms of a plan that shows their numbers."""

from __future__ import annotations

from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from cordpath.check import load_mapping, understand
from cordpath.sheet import pages_that_say
from drawn_room import DUPLEX, FOOT, duplex, walls

ROWS = (("101", "BATH"), ("102", "BEDROOM"))


def plan(page: Canvas) -> None:
    for k, (mark, _) in enumerate(ROWS):
        west = 100 + 320 * k
        walls(page, west, 200, 14 * FOOT, 12 * FOOT, (3 * FOOT, 6 * FOOT))
        duplex(page, west + 7 * FOOT, 200 + 12 * FOOT)
        page.setFont("Helvetica", 9)
        page.drawCentredString(west + 7 * FOOT, 300, mark)
    page.setFont("Helvetica-Bold", 11)
    page.drawString(100, 140, "POWER PLAN")
    page.setFont("Helvetica", 8)
    page.drawString(100, 128, 'SCALE: 1/4" = 1\'-0"')
    page.showPage()


def schedule(page: Canvas, title: str, rows: tuple[tuple[str, str], ...]) -> None:
    page.setFont("Helvetica-Bold", 10)
    page.drawString(100, 500, title)
    page.setFont("Helvetica", 8)
    for k, (mark, name) in enumerate((("NO.", "ROOM NAME"), *rows)):
        page.drawString(105, 480 - 16 * k, mark)
        page.drawString(145, 480 - 16 * k, name)
    for k in range(len(rows) + 2):
        page.line(100, 492 - 16 * k, 300, 492 - 16 * k)
    for x in (100, 140, 300):
        page.line(x, 492, x, 476 - 16 * len(rows))
    page.showPage()


def drawn(path: Path, *schedules: tuple[str, tuple[tuple[str, str], ...]]) -> Path:
    page = Canvas(str(path), pagesize=(800, 600), invariant=1)
    plan(page)
    for title, rows in schedules:
        schedule(page, title, rows)
    page.save()
    path.with_suffix(".yaml").write_text(f"cordpath: 1\nsymbols:\n{DUPLEX}")
    return path


def rooms(path: Path) -> dict[str | None, tuple[str, str]]:
    reading = understand(path, 1, load_mapping(path.with_suffix(".yaml")))
    return {room.number: (room.name, room.kind) for room in reading.plans[0].rooms if room.kind != "outdoors"}


def test_the_schedule_of_another_page_names_the_rooms(tmp_path: Path) -> None:
    path = drawn(tmp_path / "a.pdf", ("ROOM FINISH SCHEDULE", ROWS))
    assert rooms(path) == {"101": ("BATH", "bathroom"), "102": ("BEDROOM", "bedroom")}


@pytest.mark.parametrize(
    "others",
    [
        (),
        (("DOOR SCHEDULE", ROWS),),
        (("ROOM SCHEDULE", ROWS), ("ROOM SCHEDULE", (("101", "HALL"), ("102", "DEN")))),
    ],
)
def test_no_schedule_or_two_that_disagree_name_nothing(
    others: tuple[tuple[str, tuple[tuple[str, str], ...]], ...], tmp_path: Path
) -> None:
    assert {kind for _, kind in rooms(drawn(tmp_path / "a.pdf", *others)).values()} == {"unknown"}


def test_pages_are_skimmed_by_their_text(tmp_path: Path) -> None:
    path = drawn(tmp_path / "a.pdf", ("DOOR SCHEDULE", ROWS), ("ROOM SCHEDULE", ROWS))
    assert pages_that_say(path, ["Room schedule"]) == (3,)
    assert pages_that_say(path, ["ROOM SCHEDULE"], most=2) == ()
