"""A marked copy that comes back is known by its name or by its outlets; what is neither is told."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from cordpath.report import Answer, last_states
from cordpath.resubmittal.resubmittal import of_drawings


def review(*files: tuple[str, int]) -> dict[str, Any]:
    """An old review of files with as many outlets."""
    outlets = [
        {"id": f"E-101.{k}", "symbol": "duplex", "room": None, "at": [0, 0], "labels": [], "circuit": None,
         "verdict": "missing", "reasons": []}
        for k in range(1, 10)
    ]  # fmt: skip
    return {"sheets": [
        {"file": file, "page": 1, "sheet": "E-101", "rooms": [], "fixtures": [], "scale": None,
         "outlets": outlets[:count]}
        for file, count in files
    ]}  # fmt: skip


def said(k: int) -> Answer:
    return Answer("as read", 1, f"E-101.{k}", "Ann", "Accepted", "", "D:2026")


@pytest.mark.parametrize(
    ("copy", "k", "drawing"),
    [
        ("a house.marked.pdf", 1, "in/a/house.pdf"),  # files of one name bear their folder's name in front
        ("B house.marked.pdf", 1, "in/b/house.pdf"),
        ("house.marked.pdf", 1, None),  # of which of the two?
        ("from the owner.pdf", 1, None),
        ("from the owner.pdf", 5, "in/b/house.pdf"),  # the only one with so many outlets
        ("barn.marked.pdf", 3, "in/BARN.PDF"),
        ("barn.marked.pdf", 7, None),  # its copy of another submittal: the outlets are numbered otherwise
    ],
)
def test_a_copy_is_laid_to_its_drawing_or_told(copy: str, k: int, drawing: str | None) -> None:
    before = review(("in/a/house.pdf", 4), ("in/b/house.pdf", 6), ("in/BARN.PDF", 4))
    shape = Answer("as read", 1, "unnamed-3", "Ann", "Accepted", "", "D:2026")
    answers, notes = of_drawings([(Path("mail") / copy, [said(k), shape]), (Path("none.pdf"), [shape])], before)
    states = {place: state for place, state in last_states(answers).items() if place[2] != "unnamed-3"}
    if drawing is None:
        assert len(notes) == 1 and copy in notes[0] and not {file for file, _, _ in states} & {
            "in/a/house.pdf", "in/b/house.pdf", "in/BARN.PDF",
        }  # fmt: skip
    else:
        assert not notes and states == {(drawing, 1, f"E-101.{k}"): {"Ann": "Accepted"}}
