"""Short texts in outlines: the cells of a panel schedule and the tags of its circuits."""

from __future__ import annotations

import pymupdf
import pytest

from cordpath.model import Word
from cordpath.sheet import read_sheet
from sheet.test_lettering import SURE, TEXTS, outlined

HEADERS = ("#", "LOAD", "TRIP", "GFCI")
LOADS = ("KITCHEN", "GARAGE", "LAUNDRY", "BATH", "BASEMENT", "SPARE", "RANGE", "DRYER")
ROWS = tuple((str(k), load, "20A/1P", "X" if k % 2 else "GFCI BKR") for k, load in enumerate(LOADS, 5))
TAGS = ("A-5", "MDP-12", "L.10", "B2/11", "12", "8")


@pytest.fixture(scope="module")
def words(tmp_path_factory: pytest.TempPathFactory) -> tuple[Word, ...]:
    """A schedule, tags in ovals, and notes in one font, all of it outlines."""
    document = pymupdf.open()
    sheet = document.new_page(width=900, height=900)
    for row, cells in enumerate((HEADERS, *ROWS)):
        for x, cell in zip((60, 90, 190, 260), cells, strict=True):
            sheet.insert_text((x, 100 + 14 * row), cell, fontsize=7, fontname="helv")
    for k, tag in enumerate(TAGS):
        wide = pymupdf.get_text_length(tag, "helv", 7)
        sheet.insert_text((400, 100 + 30 * k), tag, fontsize=7, fontname="helv")
        sheet.draw_oval((394, 92 + 30 * k, 406 + wide, 106 + 30 * k))
    for k, text in enumerate((*TEXTS, "A-12", "A-34", "A-56", "A-78", "A-10", "A-29", "A-57", "A-25", "A-15")):
        sheet.insert_text((600, 60 + 24 * k), text, fontsize=7, fontname="helv")
    path = tmp_path_factory.mktemp("cells") / "cells.pdf"
    path.write_bytes(outlined(document))
    return read_sheet(path, 1).words


def near(words: tuple[Word, ...], x: float, y: float, wide: float = 22.0) -> list[Word]:
    own = [word for word in words if x - 4 < word.box[0] < x + wide and abs(word.at[1] - y + 2.5) < 4]
    return sorted(own, key=lambda word: word.box[0])


@pytest.mark.parametrize("row", range(len(ROWS)))
def test_numbers_and_ticks_in_their_cells_are_sure(words: tuple[Word, ...], row: int) -> None:
    number, _, _, mark = ROWS[row]
    y = 114 + 14 * row
    told = [*near(words, 60, y), *near(words, 260, y)]
    assert [word.text for word in told] == [number, *mark.split()]
    turned = {"6", "9"}  # they are each other upside down
    assert all(word.confidence >= SURE for word in told if word.text not in turned)


def test_the_header_of_the_circuits_is_read(words: tuple[Word, ...]) -> None:
    assert [word.text for word in near(words, 60, 100)] == ["#"]


@pytest.mark.parametrize("k", range(len(TAGS)))
def test_the_ring_around_a_tag_leaves_it_sure(words: tuple[Word, ...], k: int) -> None:
    (tag,) = near(words, 400, 100 + 30 * k)
    assert tag.text == TAGS[k] and tag.confidence >= SURE
