"""Rooms that show a number are named by the room schedule, and by nothing else."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from house_drawing import draw
from random_houses import build

from cordpath.model import Drawing, Fills, FloorPlan, Mapping, Region, ScheduledRoom, Sheet, Strokes, View, Word
from cordpath.rooms import find_rooms, read_schedule
from cordpath.rooms.names.numbered import numbered, room_tags
from cordpath.rooms.names.schedule import merged
from cordpath.rooms.names.tags import plan_runs

PLAIN = Mapping("m.yaml", Drawing(), ())
SIZE, PITCH = 6.0, 16.0
ROWS = (("101", "LIVING ROOM", "OAK"), ("102", "KITCHEN", "TILE"), ("103", "BATH", "TILE"))


def table(
    heads: tuple[str, ...], rows: tuple[tuple[str, ...], ...], title: str = "ROOM FINISH SCHEDULE",
    ruled: bool = True, wide: float = 80.0, confidence: float = 1.0,
) -> Sheet:  # fmt: skip
    """A table at (100, 100); ``\\n`` in a cell begins another line, half a row down."""
    words: list[Word] = []
    for r, row in enumerate((heads, *rows)):
        for c, cell in enumerate(row):
            for k, line in enumerate(cell.split("\n")):
                x, y = 104 + c * wide, 103 + r * PITCH + k * PITCH / 2
                for part in line.split():
                    box = (x, y, x + 0.6 * SIZE * len(part), y + SIZE)
                    words.append(Word(part, box, 0.0, SIZE, len(words), "F", confidence=confidence))
                    x = box[2] + 0.3 * SIZE
    x1, y1 = 100 + wide * len(heads), 100 + PITCH * (len(rows) + 1)
    level = [(100, 100 + k * PITCH, x1, 100 + k * PITCH) for k in range(len(rows) + 2)]
    upright = [(100 + c * wide, 100, 100 + c * wide, y1) for c in range(len(heads) + 1)]
    strokes = Strokes.of(np.array(level + upright if ruled else [(0, 0, 1, 1)], float))
    region = Region("schedule", (95, 90, x1 + 5, y1 + 5), title)
    return Sheet("a.pdf", 1, "A-601", None, 900, 600, strokes, Fills.none(), tuple(words), (), (), (region,))


def names(sheet: Sheet) -> dict[str, tuple[str, ...]]:
    return {room.mark: room.names for room in read_schedule(sheet)}


@pytest.mark.parametrize("ruled", [True, False])
@pytest.mark.parametrize(
    "heads", [("NO.", "ROOM NAME", "FLOOR"), ("MARK", "ROOM", "FLOOR"), ("ROOM", "NAME", "FLOOR"),
              ("RM NO", "NAME", "FLOOR"), ("#", "SPACE", "FLOOR")]
)  # fmt: skip
def test_a_room_schedule_is_read(heads: tuple[str, ...], ruled: bool) -> None:
    rooms = read_schedule(table(heads, ROWS, ruled=ruled))
    assert {room.mark: room.names for room in rooms} == {mark: (name,) for mark, name, _ in ROWS}
    assert {room.source for room in rooms} == {"ROOM FINISH SCHEDULE of sheet A-601"}


def test_two_halves_side_by_side_and_heads_of_two_lines() -> None:
    rows = (("101", "LIVING ROOM", "201", "BATH"), ("102", "KITCHEN", "202", "HALL"))
    both = table(("NO.", "NAME", "NO.", "NAME"), rows)
    assert names(both) == {"101": ("LIVING ROOM",), "102": ("KITCHEN",), "201": ("BATH",), "202": ("HALL",)}
    assert names(table(("ROOM\nNO.", "ROOM\nNAME", "FLOOR"), ROWS)) == {mark: (name,) for mark, name, _ in ROWS}


def test_a_name_of_two_lines_stays_in_its_row_and_a_row_without_number_names_nothing() -> None:
    rows = (("101", "PRIMARY\nBEDROOM", ""), ("", "CLOSET", ""), ("103", "BATH", ""))
    assert names(table(("NO.", "NAME", "FLOOR"), rows)) == {"101": ("PRIMARY BEDROOM",), "103": ("BATH",)}


@pytest.mark.parametrize(
    ("title", "heads"),
    [("DOOR SCHEDULE", ("NO.", "ROOM", "SIZE")), ("FINISH SCHEDULE", ("MARK", "DESCRIPTION", "MAKER")),
     ("PANEL A", ("NO.", "NAME", "POLES")), ("ROOM SCHEDULE", ("FLOOR", "BASE", "WALLS"))],
)  # fmt: skip
def test_other_tables_name_no_rooms(title: str, heads: tuple[str, ...]) -> None:
    assert not read_schedule(table(heads, ROWS, title))


def test_rows_that_disagree_are_kept_both() -> None:
    assert names(table(("NO.", "NAME"), (("101", "BATH"), ("101", "HALL"))))["101"] == ("BATH", "HALL")
    first, second = (read_schedule(table(("NO.", "NAME"), (("101", name),))) for name in ("BATH", "HALL"))
    assert merged(first, second)[0].names == ("BATH", "HALL") and merged(first, first)[0].names == ("BATH",)


def by_number(*, leave_out: str = "", double: str = "", frames: bool = True) -> tuple[FloorPlan, FloorPlan]:
    """(the plan with its names, the same with numbers and a schedule of them)."""
    sheet, view, scale = draw(build(3), "double", seed=0, turn=0, ratio=48.0)
    with_names = find_rooms(sheet, view, scale, PLAIN, ())
    called = sorted({room.name for room in with_names.rooms if room.kind != "outdoors"} - {"UNNAMED"})
    lines: dict[int, list[Word]] = {}
    for word in sheet.words:
        lines.setdefault(word.line, []).append(word)
    words, schedule, boxes = [], [], []
    for line in lines.values():
        text = " ".join(word.text for word in line)
        if text not in called:
            words += line
            continue
        mark = str(101 + len(schedule))
        x = (line[0].box[0] + line[-1].box[2]) / 2
        half = 0.9 * line[0].size
        words.append(replace(line[0], text=mark, box=(x - half, line[0].box[1], x + half, line[0].box[3])))
        boxes.append((x - half - 3, line[0].box[1] - 3, x + half + 3, line[0].box[3] + 3))
        said = (text, "HALL", "BATH") if text == double else (text,)
        schedule.append(ScheduledRoom(mark, said, "ROOM SCHEDULE"))
    strokes = sheet.strokes
    drawn = np.array([
        side for x0, y0, x1, y1 in boxes
        for side in ((x0, y0, x1, y0), (x1, y0, x1, y1), (x1, y1, x0, y1), (x0, y1, x0, y0))
    ])  # fmt: skip
    if frames:
        strokes = Strokes.of(np.concatenate([strokes.xy[strokes.ink()], drawn]))
    listed = tuple(room for room in schedule if room.names[0] != leave_out)
    numbers = find_rooms(replace(sheet, words=tuple(words), strokes=strokes), view, scale, PLAIN, (), listed)
    return with_names, numbers


@pytest.mark.parametrize("frames", [True, False])
def test_numbers_and_a_schedule_say_what_the_names_say(frames: bool) -> None:
    before, after = by_number(frames=frames)
    told = [(room.name, room.kind) for room in before.rooms]
    assert [(room.name, room.kind) for room in after.rooms] == told and len(told) > 4
    named = [room for room in after.rooms if room.kind != "outdoors"]
    assert all(room.named_by == "ROOM SCHEDULE" and room.number for room in named)
    if not frames:  # their frames are ink as well
        assert [room.confidence for room in after.rooms] == [room.confidence for room in before.rooms]
    assert any("shown by number, named by the ROOM SCHEDULE" in said for said in after.assumptions)


def test_a_number_that_no_row_lists_names_no_room() -> None:
    before, _ = by_number()
    name = next(room.name for room in before.rooms if room.kind == "bedroom")
    _, after = by_number(leave_out=name)
    lost = [room for room in after.rooms if any("is not in the room schedule" in why for why in room.reasons)]
    assert len(lost) == 1 and lost[0].kind == "unknown" and lost[0].named_by is None


def test_a_number_with_two_names_names_no_room() -> None:
    before, _ = by_number()
    name = next(room.name for room in before.rooms if room.kind == "bedroom")
    _, after = by_number(double=name)
    lost = [room for room in after.rooms if any("several names" in why for why in room.reasons)]
    assert len(lost) == 1 and lost[0].kind == "unknown" and lost[0].confidence < 0.7


def plan_of(*texts: tuple[str, float, float], framed: bool = False) -> tuple[Sheet, View]:
    words = tuple(
        Word(text, (x, y, x + 4.0 * len(text), y + 8.0), 0.0, 8.0, k, "F") for k, (text, x, y) in enumerate(texts)
    )
    sides = [
        side for word in words for x0, y0, x1, y1 in [word.box]
        for side in ((x0 - 3, y0 - 3, x1 + 3, y0 - 3), (x1 + 3, y0 - 3, x1 + 3, y1 + 3),
                     (x1 + 3, y1 + 3, x0 - 3, y1 + 3), (x0 - 3, y1 + 3, x0 - 3, y0 - 3))
    ]  # fmt: skip
    strokes = Strokes.of(np.array(sides if framed else [(0, 0, 1, 1)], float))
    view = View("v1", "PLAN", (0, 0, 900, 600))
    return Sheet("a.pdf", 1, "E-1", None, 900, 600, strokes, Fills.none(), words, (), (view,), ()), view


SHORT = (ScheduledRoom("1", ("KITCHEN",), "ROOM SCHEDULE"), ScheduledRoom("2", ("BATH",), "ROOM SCHEDULE"))
LONG = (ScheduledRoom("101", ("KITCHEN",), "ROOM SCHEDULE"), ScheduledRoom("102", ("BATH",), "ROOM SCHEDULE"))


def marks_of(sheet: Sheet, view: View, schedule: tuple[ScheduledRoom, ...]) -> tuple[list[str], list[str]]:
    sure, odd = numbered(plan_runs(sheet, view), schedule, (), sheet.strokes, ())
    return [tag.text for tag in sure], [tag.against or "" for tag in odd]


def test_circuit_numbers_are_no_rooms() -> None:
    bare = plan_of(("1", 100, 100), ("2", 300, 100))
    assert marks_of(*bare, SHORT) == ([], [])
    framed = plan_of(("1", 100, 100), ("2", 300, 100), framed=True)
    assert marks_of(*framed, SHORT) == (["KITCHEN", "BATH"], [])
    assert marks_of(*plan_of(("101", 100, 100), ("RM. 102", 300, 100)), LONG) == (["KITCHEN", "BATH"], [])


def test_a_number_that_stands_twice_or_alone_names_nothing() -> None:
    sure, odd = marks_of(*plan_of(("101", 100, 100), ("101", 300, 300), ("102", 300, 100)), LONG)
    assert sure == ["BATH"] and all("2 places" in why for why in odd) and len(odd) == 2
    assert marks_of(*plan_of(("101", 100, 100)), LONG) == ([], [])


def test_a_doubtful_row_gives_a_doubtful_name() -> None:
    rooms = read_schedule(table(("NO.", "NAME"), tuple(row[:2] for row in ROWS), confidence=0.6))
    sheet, view = plan_of(("101", 100, 100), ("102", 300, 100))
    sure, _ = numbered(plan_runs(sheet, view), rooms, (), sheet.strokes, ())
    assert {tag.confidence for tag in sure} == {0.6}


def test_a_circuit_tag_is_no_room_name() -> None:
    """A6 beside the refrigerator named the kitchen."""
    sheet, view, scale = draw(build(3), "double", seed=0, turn=0, ratio=48.0)
    plain = find_rooms(sheet, view, scale, PLAIN, ())
    words = tuple(replace(word, text="A6") for word in sheet.words if word.text.isalpha())
    assert "A6" not in {room.name for room in find_rooms(replace(sheet, words=words), view, scale, PLAIN, ()).rooms}
    assert len(plain.rooms) > 3


def test_a_name_is_doubted_where_the_schedule_has_another_for_its_number() -> None:
    """The number under the name is the name's: it makes no second room of the place."""
    sheet, view = plan_of(("HALL", 100, 100), ("101", 102, 110), ("102", 300, 100), ("103", 500, 100))
    named = {"101": "BATH", "102": "KITCHEN", "103": "LAUNDRY"}
    schedule = tuple(ScheduledRoom(mark, (name,), "ROOM SCHEDULE") for mark, name in named.items())
    tags, odd = room_tags(sheet, view, (), schedule)
    said = "the plan calls room 101 HALL, the ROOM SCHEDULE BATH"
    assert [(tag.text, tag.against) for tag in tags] == [("HALL", said), ("KITCHEN", None), ("LAUNDRY", None)]
    assert not odd
