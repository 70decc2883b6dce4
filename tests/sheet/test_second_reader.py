"""The second reader of drawn lettering: what both read is believed sooner, what it reads otherwise is doubted.

The network itself is tried where the extra ``ocr`` is installed; everything around it is tried without.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
import shapely
from PIL import Image, ImageDraw

from cordpath.model import Fills, Strokes
from cordpath.sheet.lettering import lettering, second_reader
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.exclusive import exclusive
from cordpath.sheet.lettering.rows import Row, read_rows
from cordpath.sheet.lettering.second_reader import Second, compared_with, is_installed
from cordpath.sheet.lettering.trust import DOUBTFUL, trust

sys.path[:0] = [str(Path(__file__).parent)]

from stroke_face import strokes  # noqa: E402

TEXTS = (
    "KITCHEN",
    "MASTER BATH",
    "GARAGE",
    "BEDROOM 2",
    "LAUNDRY",
    "12'-6\"",
    "10'-0\"",
    "GFCI",
    "A-12",
    "PANEL SCHEDULE",
)
SURE = 0.8  # words under it are doubtful to those who use them


def sheet_of(angle: float) -> Strokes:
    """Lines of text below each other as read, as loose strokes."""
    t = np.radians(angle)
    down = np.array([np.sin(t), np.cos(t)])
    places = (tuple(np.array([1000.0, 1000.0]) + down * 36.0 * k) for k in range(len(TEXTS)))
    xy = np.concatenate([strokes(text, at, 9.0, angle) for text, at in zip(TEXTS, places, strict=True)])
    return Strokes.of(np.round(xy / 0.12) * 0.12)


TOKEN = Token("GFI", 0, 2, True, 0.93, 0.7, 0.1, 3)


def test_what_both_read_is_as_sure_as_the_surer_one_says() -> None:
    agreed = compared_with(TOKEN, Second("gfi", 0.99))
    assert agreed.seconded and agreed.confidence == agreed.least == 0.99 and agreed.margin >= 1.0
    assert trust(agreed, True, True, True).confidence >= SURE > trust(TOKEN, True, True, True).confidence


def test_two_readers_know_no_more_of_where_a_word_ends() -> None:
    """SHED of UNFINISHED is read alike by both."""
    agreed = compared_with(TOKEN, Second("GFI", 0.99))
    assert trust(agreed, True, True, False).confidence < SURE


@pytest.mark.parametrize(("text", "alike"), [("6FI", False), ("GFl", False), ("", None), ("OFF", False)])
def test_what_the_other_reads_otherwise_is_doubted(text: str, alike: bool | None) -> None:
    sure = Token("GFI", 0, 2, True, 0.99, 0.99, 2.0, 3)
    judged = compared_with(sure, Second(text, 0.9 if text else 0.0))
    assert judged.seconded is alike
    doubted = trust(judged, True, True, True).confidence
    assert doubted == (trust(sure, True, True, True).confidence if alike is None else DOUBTFUL)


def test_letters_of_one_shape_are_told_by_the_grammar_and_not_by_the_reader() -> None:
    tag = Token("A-10", 0, 3, True, 0.9, 0.7, 2.0, 4)
    assert compared_with(tag, Second("A-I0", 0.99)).seconded and compared_with(tag, Second("A-1O", 0.99)).seconded


def test_a_reader_that_is_not_sure_has_no_say() -> None:
    assert compared_with(TOKEN, Second("GFC", 0.7)) == TOKEN
    assert compared_with(TOKEN, Second("GFI", 0.9)) == TOKEN  # it does not deny, and adds nothing


def test_a_letter_is_read_once_for_as_long_as_it_lasts() -> None:
    chance = np.full((1, 7, 3), 0.05)
    for step, letter in enumerate((0, 1, 1, 0, 1, 2, 2)):  # nothing, A A, nothing, A, B B
        chance[0, step, letter] = 0.9
    (said,) = second_reader._said(chance, ["", "A", "B"])
    assert said.text == "AAB" and said.confidence == pytest.approx(0.9)


def test_areas_are_drawn_by_their_edges_in_any_order() -> None:
    """An O against Pillow's own polygons, which are drawn in order."""
    outer = np.array(shapely.Point(60, 50).buffer(40).exterior.coords)
    inner = np.array(shapely.Point(60, 50).buffer(22).exterior.coords)
    edges = np.concatenate([np.column_stack([ring[:-1], ring[1:]]) for ring in (outer, inner)])
    rng = np.random.default_rng(5)
    edges = edges[rng.permutation(len(edges))]
    turned = rng.random(len(edges)) < 0.5
    edges[turned] = edges[turned][:, [2, 3, 0, 1]]
    wanted = Image.new("L", (120, 100), 255)
    pen = ImageDraw.Draw(wanted)
    pen.polygon([tuple(p) for p in outer], 0)
    pen.polygon([tuple(p) for p in inner], 255)
    differ = np.asarray(second_reader._areas(edges, (120, 100))) != np.asarray(wanted)
    assert differ.sum() <= len(edges)  # pixels that an edge runs through


def rows_of(angle: float) -> tuple[object, list[Row]]:
    from cordpath.sheet.lettering import read as reader

    sheet = sheet_of(angle)
    ink = reader.parts(sheet, Fills.none(), reader.BANDS[0])
    found = reader.text_lines(ink, reader.BANDS[0], np.zeros((0, 4)))
    rows = read_rows(ink, found, [np.ones(len(lines.base), bool) for lines in found], True)
    return ink, exclusive(list(rows.values()))


@pytest.mark.parametrize("angle", [90.0, 180.0, 45.0])
def test_pictures_stand_upright_whatever_way_the_text_runs(angle: float) -> None:
    def picture(turn: float) -> np.ndarray:
        ink, rows = rows_of(turn)
        row = next(row for row in rows if "".join(token.text for token in row.tokens) == "GARAGE")
        start = np.searchsorted(ink.owner, np.arange(len(ink) + 1))
        return second_reader._picture(ink, start, row.reading, 0, 5)

    upright, turned = picture(0.0), picture(angle)
    assert abs(upright.shape[1] - turned.shape[1]) <= 2
    wide = min(upright.shape[1], turned.shape[1])
    assert np.abs(upright[:, :wide] - turned[:, :wide]).mean() < 0.15


@pytest.mark.parametrize("says_so", [True, False])
def test_words_of_a_sheet_are_believed_by_what_the_second_reader_says(
    monkeypatch: pytest.MonkeyPatch, says_so: bool
) -> None:
    monkeypatch.setattr(second_reader, "_network", lambda: None)
    alone = {(word.text, word.box): word.confidence for word in lettering(sheet_of(0.0), Fills.none(), ()).words}
    monkeypatch.setattr(second_reader, "is_installed", lambda: True)

    def readings(ink: object, spans: list[tuple[object, int, int]], over: bool = False) -> list[Second]:
        texts = {id(row.reading): row for row in seen}
        found = [
            next(token.text for token in texts[id(reading)].tokens if (token.first, token.last) == (first, last))
            for reading, first, last in spans
        ]
        return [Second(text if says_so else text[:-1] + "X", 0.99) for text in found]

    seen: list[Row] = []
    real = exclusive

    def noted(rows: list[Row]) -> list[Row]:
        seen.extend(real(rows))
        return seen

    monkeypatch.setattr("cordpath.sheet.lettering.read.exclusive", noted)
    monkeypatch.setattr(second_reader, "second_readings", readings)
    found = lettering(sheet_of(0.0), Fills.none(), ())
    long = [word for word in found.words if len(word.text) >= 3]
    assert len(long) >= len(TEXTS) and bool(found.twice) is says_so
    if says_so:
        assert all(word.confidence >= alone.get((word.text, word.box), 0.0) for word in long)
    else:
        assert [word for word in long if word.confidence > DOUBTFUL] == []


@pytest.mark.skipif(not is_installed(), reason="the extra 'ocr' is not installed")
def test_with_the_extra_more_is_believed_and_nothing_that_is_wrong() -> None:
    def believed(installed: bool) -> list[str]:
        with pytest.MonkeyPatch.context() as patch:
            if not installed:
                patch.setattr(second_reader, "_network", lambda: None)
            found = lettering(slanted(), Fills.none(), ())
        return [word.text for word in found.words if word.confidence >= SURE]

    def slanted() -> Strokes:
        """Letters that lean and are narrow."""
        lines = []
        for k, text in enumerate(TEXTS * 2):
            xy = strokes(text, (0.0, 0.0), 9.0, 0.0)
            xy[:, 0::2] = xy[:, 0::2] * 0.7 - xy[:, 1::2] * 0.25
            lines.append(xy + np.array([500.0, 500.0 + 40 * k] * 2))
        return Strokes.of(np.round(np.concatenate(lines) / 0.12) * 0.12)

    wanted = {word for text in TEXTS for word in text.split()}
    alone, both = believed(False), believed(True)
    assert len(both) > len(alone) > len(TEXTS) and set(both) - wanted <= set(alone) - wanted


def test_nothing_of_the_package_runs_but_its_network() -> None:
    """rapidocr fetches models when it is imported and asked; cordpath reads a file of it."""
    source = Path(second_reader.__file__).read_text()
    assert "import rapidocr" not in source and "from rapidocr" not in source
