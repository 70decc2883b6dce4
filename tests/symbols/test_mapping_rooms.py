"""Rooms stated by hand in the mapping file: what is read, and the place of everything that is wrong."""

from __future__ import annotations

import pytest

from cordpath.errors import ConfigurationRefused
from cordpath.model import RoomEntry
from cordpath.symbols.mapping_file.mapping import mapping_of

HEAD = "cordpath: 1\nsymbols:\n  - {name: a, kind: other, shape: [{circle: {center: [0, 0], radius: 1}}]}\nrooms:\n"


def rooms(text: str) -> tuple[RoomEntry, ...]:
    return mapping_of((HEAD + text).encode(), "m.yaml").rooms


def test_rooms_at_a_point_and_with_an_outline_are_read() -> None:
    named, point, outline = rooms(
        "  - {text: REC, kind: basement}\n"
        "  - {at: [612, 430.5], sheet: E-101, name: BATH 3, kind: bathroom, finished: true}\n"
        "  - polygon: [[0, 0], [90, 0], [90, 90], [0, 90]]\n"
        "    file: plans/a101.pdf\n    page: 2\n    kind: kitchen\n"
    )
    assert (named.pattern, named.kind, named.stated) == ("REC", "basement", False)
    assert (point.at, point.sheet, point.name, point.kind, point.finished, point.line) == (
        (612, 430.5), "E-101", "BATH 3", "bathroom", True, 6,
    )  # fmt: skip
    assert point.stated
    assert outline.polygon == ((0, 0), (90, 0), (90, 90), (0, 90))
    assert (outline.file, outline.page, outline.kind, outline.pattern) == ("a101.pdf", 2, "kitchen", "")


def test_a_name_alone_may_be_stated() -> None:
    (entry,) = rooms("  - {at: [6, 4], sheet: E1, name: SPA}\n")
    assert (entry.name, entry.kind) == ("SPA", "unknown")


PLACE = "at: [6, 4]"


@pytest.mark.parametrize(
    ("text", "column", "said"),
    [
        (f"{{{PLACE}, kind: hall}}", 5, "a place without a sheet"),
        (f"{{{PLACE}, sheet: E1}}", 5, "nothing is said"),
        (f"{{{PLACE}, sheet: E1, kind: halls}}", 35, "kind is 'halls'"),
        (f"{{{PLACE}, sheet: E1, kind: hall, text: X}}", 41, "text with a place"),
        (f"{{{PLACE}, kind: hall, file: a.pdf}}", 30, "file alone"),
        ("{at: [6], sheet: E1, kind: hall}", 10, "at"),
        ("{at: [6, x], sheet: E1, kind: hall}", 14, "'x'"),
        ("{at: [6, 1], polygon: [[0, 0], [9, 0], [9, 9]], sheet: E1, kind: hall}", 18, "both at and polygon"),
        ("{polygon: [[0, 0], [9, 0]], sheet: E1, kind: hall}", 15, "2 points"),
        ("{polygon: [[0, 0], [9, 9], [9, 0], [0, 9]], sheet: E1, kind: hall}", 15, "crosses itself"),
        ("{polygon: [[0, 0], [9, 0], [9, 9]], sheet: E1, finished: true}", 5, "without name and kind"),
        ("{polygon: 4, sheet: E1, kind: hall}", 15, "polygon"),
        ("{text: X, kind: hall, sheet: E1}", 27, "sheet without a place"),
        ("{name: X, kind: hall}", 6, "name without a place"),
        (f"{{{PLACE}, sheet: E1, kind: hall, roof: 1}}", 41, "roof"),
    ],
)
def test_faults_with_their_place(text: str, column: int, said: str) -> None:
    with pytest.raises(ConfigurationRefused) as refused:
        rooms(f"  - {text}\n")
    lines = [fault for fault in refused.value.faults if said in fault.what]
    assert lines, refused.value.faults
    assert (lines[0].line, lines[0].column) == (5, column)
