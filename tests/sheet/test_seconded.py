"""What a second reader settles beyond letters: blanks, the side that a row is read from, names, cells of tables.

The network's part is played here by one that reads what the first reader reads, or what a test lets it say.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from cordpath.model import Fills, Strokes
from cordpath.sheet.lettering import lettering, second_reader
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.exclusive import exclusive
from cordpath.sheet.lettering.parts import parts
from cordpath.sheet.lettering.rows import Row, read_rows
from cordpath.sheet.lettering.runs import text_lines
from cordpath.sheet.lettering.second_reader import Second, is_upright, set_off
from cordpath.sheet.lettering.seconded import _upright
from cordpath.sheet.lettering.trust import trust

sys.path[:0] = [str(Path(__file__).parent)]

from stroke_face import strokes  # noqa: E402

SURE = 0.8  # words under it are doubtful to those who use them
GFI = Token("GFI", 3, 5, True, 0.99, 0.99, 2.0, 3, 0.4, True)
POTTING = Token("POTTING", 0, 6, False, 0.99, 0.99, 2.0, 7, 1.0, True)
NAMES = ("GARAGE", "KITCHEN", "LAUNDRY", "OUTDOOR", "LIGHTING", "BATHROOM")
CIRCUITS, AMPERES = ("2", "3", "4", "5", "6", "8"), ("20", "20", "15", "20", "15", "20")

Says = Callable[[str], str]


@pytest.mark.parametrize(
    ("says", "blank"),
    [
        ("PROVIDE GFI PROTECTION", True),
        ("PR0VLDE GFI PROTECTLON", True),  # of its neighbours it may think what it likes
        ("PROVIDE GFIPROTECTION", False),
        ("PROVIDEGFI PROTECTION", False),
        ("PROVIDE G FI PROTECTION", False),
        ("PROVIDE GFC PROTECTION", False),
        ("", False),
    ],
)
def test_gaps_that_both_take_for_blanks_are_blanks(says: str, blank: bool) -> None:
    judged = set_off(GFI, 1, 3, Second(says, 0.99 if says else 0.0))
    assert (judged.parted == 1.0) is blank
    assert (trust(judged, True, True, True).confidence >= SURE) is blank
    assert set_off(GFI, 1, 3, Second(says, 0.9)) == GFI


def test_a_row_is_upright_where_the_other_reader_cannot_read_it_upside_down() -> None:
    """WH is HM from the other side, to both."""
    assert is_upright(GFI, Second("IFC", 0.7)) and not is_upright(GFI, Second("HM", 0.99))
    assert not is_upright(replace(GFI, seconded=None), Second("", 0.0))


def test_what_a_picture_says_depends_on_none_beside_it() -> None:
    """One column of white more, beside a wider picture, made 20 less sure than it was by itself."""
    pictures = [np.full((second_reader.HIGH, wide), -1.0) for wide in (58, 59, 64, 65, 200)]
    groups = list(second_reader._of_one_width([picture.shape[1] for picture in pictures]))
    assert [sorted(group) for group in groups] == [[0, 1, 2], [3], [4]]
    alone, beside = (second_reader._input([pictures[k] for k in some])[0] for some in ([0], [0, 1, 2]))
    assert alone.shape == (3, second_reader.HIGH, 64) and np.array_equal(alone, beside)


def test_a_whole_name_that_both_read_is_believed_though_nobody_heard_of_it() -> None:
    def sure(token: Token, whole: bool = True) -> bool:
        return trust(token, True, True, whole).confidence >= SURE

    assert sure(POTTING)
    assert not sure(POTTING, whole=False) and not sure(replace(POTTING, parted=0.5))
    assert not sure(replace(POTTING, seconded=None)) and not sure(replace(POTTING, seconded=False))
    assert not sure(replace(POTTING, text="FCI")) and not sure(replace(POTTING, text="30A/2"))


def table(circuits: tuple[str, ...] = CIRCUITS, pitch: float = 24.0) -> Strokes:
    """A panel schedule: circuit, what it serves, amperes; and two figures that stand by themselves."""
    lines = []
    for k, (circuit, name, amperes) in enumerate(zip(circuits, NAMES, AMPERES, strict=True)):
        y = 500.0 + pitch * k
        lines += [
            strokes(circuit, (500.0, y), 8.0),
            strokes(name, (560.0, y), 8.0),
            strokes(amperes, (690.0, y), 8.0),
        ]
    lines += [strokes("20", (900.0, 500.0), 8.0), strokes("3", (1000.0, 800.0), 8.0)]
    return Strokes.of(np.round(np.concatenate(lines) / 0.12) * 0.12)


def believed(monkeypatch: pytest.MonkeyPatch, sheet: Strokes, says: Says) -> dict[str, list[float]]:
    """The words of a sheet with their confidence, where the second reader says ``says`` of what the first does."""
    seen: list[Row] = []

    def noted(rows: list[Row]) -> list[Row]:
        seen.extend(exclusive(rows))
        return seen

    def readings(ink: object, spans: list[tuple[object, int, int]], over: bool = False) -> list[Second]:
        out = []
        for reading, first, last in spans:
            tokens = next(row.tokens for row in seen if row.reading is reading)
            text = " ".join(token.text for token in tokens if first <= token.first and token.last <= last)
            out.append(Second(says(text), 0.5 if over else 0.99))
        return out

    monkeypatch.setattr("cordpath.sheet.lettering.read.exclusive", noted)
    monkeypatch.setattr(second_reader, "is_installed", lambda: True)
    monkeypatch.setattr(second_reader, "second_readings", readings)
    out: dict[str, list[float]] = {}
    for word in sorted(lettering(sheet, Fills.none(), ()).words, key=lambda word: word.at[1]):
        out.setdefault(word.text, []).append(word.confidence)
    return out


def test_figures_in_a_tables_columns_are_believed_and_others_are_not(monkeypatch: pytest.MonkeyPatch) -> None:
    words = believed(monkeypatch, table(), str)
    assert all(min(words[circuit]) >= SURE for circuit in CIRCUITS if circuit != "3")
    column, alone = words["3"]
    assert column >= SURE > alone
    far, *amperes = sorted(words["20"])
    assert len(amperes) == 4 and min(amperes) >= SURE > far


@pytest.mark.parametrize("says", [lambda text: text.replace("5", "6"), lambda text: "" if text.isdigit() else text])
def test_figures_that_the_other_reader_does_not_read_alike_are_not_believed(
    monkeypatch: pytest.MonkeyPatch, says: Says
) -> None:
    words = believed(monkeypatch, table(), says)
    assert all(sure < SURE for sure in words.get("5", []) + words.get("15", []))


def test_bars_in_a_column_are_no_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    words = believed(monkeypatch, table(("I",) * 6), str)
    assert all(sure < SURE for sure in words.get("1", []) + words.get("I", []))
    assert min(words["15"]) >= SURE


def test_figures_beside_which_another_may_be_lost_are_not_the_cell(monkeypatch: pytest.MonkeyPatch) -> None:
    """Other ink stands right behind the 20 of the second row, where a figure of it may be: both readers read 20."""
    ink = np.array([[705.0, 513.0, 705.0, 527.0]])
    words = believed(monkeypatch, Strokes.of(np.concatenate([table().xy, ink])), str)
    assert sum(sure >= SURE for sure in words["20"]) == 3  # of four in the column
    assert min(words["15"]) >= SURE


@pytest.mark.parametrize("mark", ["GF", "GFI"])
def test_marks_of_close_rows_are_read_along_them(mark: str) -> None:
    """Six letters G, one of each row, were read as a line that runs down, and the mark was lost or an F."""
    lines = [strokes(name, (560.0, 500.0 + 15.0 * k), 8.0) for k, name in enumerate(NAMES)]
    lines += [strokes(mark, (690.0, 500.0 + 15.0 * k), 8.0) for k in range(len(NAMES))]
    words = lettering(Strokes.of(np.round(np.concatenate(lines) / 0.12) * 0.12), Fills.none(), ()).words
    assert [word.text for word in words].count(mark) == len(NAMES)


@pytest.mark.parametrize(("text", "sure"), [("GFI", True), ("BATH 1", True), ("GFI 1", False), ("GFI D", False),
                                            ("X GFI", False)])  # fmt: skip
def test_a_letter_by_itself_beside_a_mark_of_protection_may_take_it_back(text: str, sure: bool) -> None:
    """It was dropped, and the GFI cleared its outlet: of a note 1, or one that is demolished."""
    lines = [strokes(name, (560.0, 500.0 + 24.0 * k), 8.0) for k, name in enumerate(NAMES)]
    sheet = Strokes.of(np.round(np.concatenate([*lines, strokes(text, (690.0, 560.0), 8.0)]) / 0.12) * 0.12)
    (word,) = (word for word in lettering(sheet, Fills.none(), ()).words if word.text in ("GFI", "BATH"))
    assert (word.confidence >= SURE) is sure


@pytest.mark.parametrize("pitch", [12.0, 15.0])
def test_figures_of_close_rows_are_read_along_them(monkeypatch: pytest.MonkeyPatch, pitch: float) -> None:
    """The last figures of 20, 15, 20 were read as a line that runs down: 2 was left of 20."""
    words = believed(monkeypatch, table(pitch=pitch), str)
    assert {text: len(words[text]) for text in ("2", "3", "15", "20")} == {"2": 1, "3": 2, "15": 2, "20": 5}


@pytest.mark.parametrize("other", [True, None])
def test_a_row_of_which_a_part_is_not_read_alike_may_stand_upside_down(
    monkeypatch: pytest.MonkeyPatch, other: bool | None
) -> None:
    """35 of 35'-10 1/2" under other ink, whose rest neither reader makes out."""
    sheet = Strokes.of(np.concatenate([strokes("35 10", (500.0, 500.0), 8.0)]))
    ink = parts(sheet, Fills.none(), (4.0, 20.0))
    (lines,) = [lines for lines in text_lines(ink, (4.0, 20.0), np.zeros((0, 4))) if lines.angle == 0.0]
    (row,) = read_rows(ink, [lines], [np.ones(len(lines.base), bool)], True).values()
    tokens = [replace(token, seconded=True) for token in row.tokens]
    tokens[-1] = replace(tokens[-1], seconded=other)
    monkeypatch.setattr(second_reader, "second_readings", lambda ink, spans, over: [Second("", 0.0)] * len(spans))
    (judged,) = _upright([replace(row, tokens=tokens, one_way=False)], ink)
    assert judged.one_way is (other is True)
