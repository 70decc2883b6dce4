"""A few drawn labels on a sheet whose text is in fonts: read where they are clear, told where not, never lost."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pymupdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import Fills, FloatArray, Strokes, Word
from cordpath.sheet import read_sheet
from cordpath.sheet.lettering import Lettering, lettering
from cordpath.sheet.lettering.grammar import turns_into_a_tag

sys.path[:0] = [str(Path(__file__).parent)]

from stroke_face import strokes  # noqa: E402

FONTS = tuple(Word("NOTE", (1500, 20 * k, 1540, 20 * k + 8), 0.0, 9.0, k, "F") for k in range(60))
LABELS = ("GFI", "WP", "A-12", "B-3", "GFCI")
GRID = 0.12  # pt: plotters' coordinates


def labels_of(texts: tuple[str, ...], cap: float = 6.75, angle: float = 0.0) -> FloatArray:
    parts = [
        strokes(text, (300 + 90.0 * (k % 3), 300 + 90.0 * (k // 3)), cap, angle) for k, text in enumerate(texts)
    ]
    return np.round(np.concatenate(parts) / GRID) * GRID


@pytest.mark.parametrize("angle", [0.0, 90.0])
@pytest.mark.parametrize("cap", [4.5, 6.75, 9.0])
def test_a_few_device_labels_are_read_beside_text_of_fonts(cap: float, angle: float) -> None:
    found = lettering(Strokes.of(labels_of(LABELS, cap, angle)), Fills.none(), FONTS)
    assert sorted(word.text for word in found.words) == sorted(LABELS)
    assert found.few and not found.unread
    pair = [word.confidence for word in found.words if len(word.text) == 2]
    assert pair and max(pair) < 0.8  # two marks are soon alike: such a word settles nothing


@pytest.mark.parametrize("text", [*LABELS, "AFCI", "DW", "REF", "WP/GFI", '+42"', "KITCHEN"])
def test_one_label_alone_is_read(text: str) -> None:
    found = lettering(Strokes.of(labels_of((text,))), Fills.none(), FONTS)
    assert [word.text for word in found.words] == [text]
    assert min(word.line for word in found.words) > max(word.line for word in FONTS)


@pytest.mark.parametrize("angle", [0.0, 90.0])
@pytest.mark.parametrize("text", ["A12", "D24", "M36"])
def test_a_circuit_tag_without_a_dash_is_read(text: str, angle: float) -> None:
    found = lettering(Strokes.of(labels_of((text,), angle=angle)), Fills.none(), FONTS)
    assert [(word.text, word.confidence >= 0.8) for word in found.words] == [(text, True)]


@pytest.mark.parametrize("text", ["B12", "E15", "L21"])
def test_a_tag_that_is_another_one_upside_down_is_told(text: str) -> None:
    found = lettering(Strokes.of(labels_of((text,))), Fills.none(), FONTS)
    assert not [word for word in found.words if word.confidence >= 0.8]
    assert found.words or found.unread


def test_tags_that_turn_into_others() -> None:
    assert all(map(turns_into_a_tag, ("B-17", "LT-8", "E15", "L-21", "TZ-7", "S13")))
    assert not any(map(turns_into_a_tag, ("A-12", "A12", "LP-3", "D12", "GFI", "KITCHEN", "12")))


@pytest.mark.parametrize("text", ["LT-8", "TZ-7", "HZ-6"])
def test_a_panel_of_two_letters_that_may_be_upside_down_settles_nothing(text: str) -> None:
    """L-21 upside down was read as TZ-7."""
    found = lettering(Strokes.of(labels_of((text, "LP-3"))), Fills.none(), FONTS)
    sure = {word.text for word in found.words if word.confidence >= 0.8}
    assert text not in sure and sure <= {"LP-3"}


@settings(max_examples=15, deadline=None)
@given(st.text("ABDEFGHKLMNPRSTWXYZ2345689", min_size=3, max_size=6))
def test_labels_that_say_nothing_known_are_told_or_read_and_never_sure_of_another_word(text: str) -> None:
    found = lettering(Strokes.of(labels_of((text,))), Fills.none(), FONTS)
    assert all(word.text in text for word in found.words if word.confidence >= 0.8), found.words


def test_a_label_of_letters_that_says_no_known_word_is_an_unread_place() -> None:
    found = lettering(Strokes.of(labels_of(("GFXK",))), Fills.none(), FONTS)
    assert not found.words and len(found.unread) == 1
    assert found.unread[0] == pytest.approx((300 + 2 * 6.75, 300 - 3), abs=4)


def test_marks_of_a_drawing_are_no_labels() -> None:
    k = np.arange(40) * 12.0
    ticks = np.column_stack([k, 0 * k, k, 0 * k + 6]) + 200
    boxes = [[x, y, x + 7, y] for x in (300.0, 309.0) for y in (300.0, 307.0)]
    boxes += [[x, 300, x, 307] for x in (300.0, 307.0, 309.0, 316.0)]
    ink = Strokes.of(np.concatenate([ticks, np.array(boxes, float)]))
    assert lettering(ink, Fills.none(), FONTS) == Lettering()


def test_a_sheet_of_fonts_tells_of_its_drawn_labels(tmp_path: Path) -> None:
    document = pymupdf.open()
    page = document.new_page(width=800, height=800)
    for k in range(40):
        page.insert_text((600, 30 + 15 * k), "GENERAL NOTE", fontsize=9)
    for x0, y0, x1, y1 in labels_of(("GFI", "A-12")):
        page.draw_line((x0, y0), (x1, y1), width=0.5)
    document.save(tmp_path / "a.pdf")
    sheet = read_sheet(tmp_path / "a.pdf", 1)
    drawn = {word.text for word in sheet.words if word.origin == "stroke"}
    assert drawn == {"GFI", "A-12"}
    assert any("some labels of this sheet are drawn" in said and "2 words" in said for said in sheet.assumptions)


@pytest.mark.parametrize("angle", [0.0, 90.0])
@pytest.mark.parametrize("text", ["G", "S", "P", "W", "GF", "TR", "S3", "A2"])
def test_one_or_two_letters_are_read_with_doubt_or_told(text: str, angle: float) -> None:
    """Nothing that looks like a label passes silently, and so short a one settles nothing."""
    ink = labels_of((text,), angle=angle)
    found = lettering(Strokes.of(ink), Fills.none(), FONTS)
    assert len(found.words) + len(found.unread) == 1
    middle = (ink.reshape(-1, 2).min(axis=0) + ink.reshape(-1, 2).max(axis=0)) / 2
    at = found.words[0].at if found.words else found.unread[0]
    assert at == pytest.approx(tuple(middle), abs=3.0)
    assert all(word.text in (text, "M") and word.confidence < 0.8 for word in found.words)  # M is W upside down


@pytest.mark.parametrize("angle", [0.0, 90.0])
def test_symbols_are_no_letters(angle: float) -> None:
    """A receptacle with its stem looks like 6, a telephone outlet like A."""
    t = np.linspace(0, 2 * np.pi, 25)
    ring = 5.0 * np.column_stack([np.cos(t), np.sin(t)])
    receptacle = np.concatenate([
        np.hstack([ring[:-1], ring[1:]]), [[-7, -1.6, 7, -1.6], [-7, 1.6, 7, 1.6], [0, -5, 0, -9]]
    ])  # fmt: skip
    telephone = np.array([[-6, 5, 6, 5], [6, 5, 0, -6], [0, -6, -6, 5.0]])
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    turn = np.array([[c, -s], [s, c]])
    ink = [
        (each.reshape(-1, 2) @ turn + (300 + 60.0 * k, 300)).reshape(-1, 4)
        for k, each in enumerate((receptacle, telephone, receptacle))
    ]
    assert lettering(Strokes.of(np.concatenate(ink)), Fills.none(), FONTS) == Lettering()


@pytest.mark.parametrize("pieces", [1, 4])
def test_a_dash_that_a_leader_meets_is_no_letter(pieces: int) -> None:
    """Seen on a real sheet, as R: a dash drawn in pieces, and the end of a slanted line on it."""
    ends = np.linspace(0.0, 9.6, pieces + 1)
    dash = np.c_[ends[:-1], np.zeros(pieces), ends[1:], np.zeros(pieces)]
    slant = np.array([[3.2, 0.0, -0.4, -4.2]])
    found = lettering(Strokes.of(np.r_[dash, slant] + 300.0), Fills.none(), FONTS)
    assert not found.words and not found.unread


def test_letters_among_other_ink_are_no_lone_labels() -> None:
    """A letter that a line touches or passes closely is part of the drawing."""
    ink = labels_of(("G", "R", "WG", "S3"))
    low, high = ink.reshape(-1, 2).min(axis=0), ink.reshape(-1, 2).max(axis=0)
    under = np.array([[low[0] - 60, y + 0.8, high[0] + 60, y + 0.8] for y in (300.0, 390.0)])
    found = lettering(Strokes.of(np.concatenate([ink, under])), Fills.none(), FONTS)
    assert not found.words and not found.unread
