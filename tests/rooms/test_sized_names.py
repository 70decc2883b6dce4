"""Names of rooms with their size or area on the same line.  Common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cordpath.model import Word
from cordpath.rooms.names.tags import find_tags
from drawn_page import sheet, words


def tags(text: str) -> list[tuple[str, str | None]]:
    page = sheet([], words(text, 150, 200))
    strong, odd = find_tags(page, page.views[0], ())
    return [(tag.text, tag.meaning.kind if tag.meaning else None) for tag in (*strong, *odd)]


@pytest.mark.parametrize(
    ("text", "name", "kind"),
    [
        ("BEDROOM 12.4 m2", "BEDROOM", "bedroom"),
        ("KITCHEN 13'-0\" x 12'-6\"", "KITCHEN", "kitchen"),
        ("Bath (60 SF)", "Bath", "bathroom"),
        ("GARAGE 5,80 x 6,10", "GARAGE", "garage"),
        ("BED 2 3.20 x 4.10", "BED 2", "bedroom"),
    ],
)
def test_the_size_is_no_part_of_the_name(text: str, name: str, kind: str) -> None:
    assert tags(text) == [(name, kind)]


@pytest.mark.parametrize("text", ['GARAGE 4" BELOW', "12.4 m2", "BEAM 3 1/2 x 9 1/4", "13'-0\" x 12'-6\""])
def test_other_figures_name_no_room(text: str) -> None:
    assert not [kind for _, kind in tags(text) if kind is not None]


@pytest.mark.parametrize(("sure", "names"), [(0.97, ["UNFINISHED BASEMENT"]), (1.0, ["BASEMENT", "UNFINISHED"])])
def test_words_of_plotted_letters_of_one_width_are_one_name(sure: float, names: list[str]) -> None:
    """Their space is a letter wide: the two words named two rooms, and parted the one that they stand in."""
    boxes = {"UNFINISHED": (100.0, 200.0, 163.0, 209.0), "BASEMENT": (172.0, 200.0, 221.0, 209.0)}
    drawn = tuple(Word(text, box, 0.0, 9.0, 12, confidence=sure) for text, box in boxes.items())
    page = replace(sheet([], []), words=drawn)
    assert sorted(tag.text for tag in find_tags(page, page.views[0], ())[0]) == names
