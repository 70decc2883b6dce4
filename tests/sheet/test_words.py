"""Words as a reader sees them, whatever way a writer shows them."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from cordpath.sheet import read_sheet

Maker = Callable[..., Path]


def texts(path: Path) -> list[str]:
    return [word.text for word in read_sheet(path, 1).words]


def shown(text: str, x: float = 20, y: float = 50, size: float = 8, angle: float = 0, more: str = "") -> str:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return f"BT {more} /F {size} Tf {c:.6f} {s:.6f} {-s:.6f} {c:.6f} {x} {y} Tm ({text}) Tj ET "


@pytest.mark.parametrize("angle", [0, 30, 45, 90, 135, 180, 270, 315])
def test_turned_words_stay_whole(make: Maker, angle: float) -> None:
    words = read_sheet(make(shown("PRIMARY BATH", 100, 100, 8, angle), media="[0 0 200 200]"), 1).words
    assert [word.text for word in words] == ["PRIMARY", "BATH"]
    assert all(word.angle == pytest.approx(angle, abs=0.6) for word in words)
    assert words[0].line == words[1].line


def test_letter_by_letter_is_one_word(make: Maker) -> None:
    widths = {"K": 0.667, "I": 0.278, "T": 0.611, "C": 0.722, "H": 0.722, "E": 0.667, "N": 0.722}  # Helvetica
    content, x = "", 20.0
    for letter in "KITCHEN":
        content += shown(letter, x)
        x += widths[letter] * 8
    assert texts(make(content)) == ["KITCHEN"]


def test_letters_from_the_last_to_the_first_are_words(make: Maker) -> None:
    """Found by tests/benchmarks/rewritten.py, "letters one by one"."""
    widths = {"1": 0.556, "'": 0.222, "-": 0.333, "0": 0.556, "G": 0.778, "F": 0.611, "I": 0.278}  # Helvetica
    content, x = "", 100.0
    for letter in reversed("1'-0"):
        x -= widths[letter] * 8
        content += shown(letter, x)
    x -= 0.278 * 8  # a space
    for letter in reversed("GFI"):
        x -= widths[letter] * 8
        content += shown(letter, x)
    assert texts(make(content)) == ["GFI", "1’-0"]  # the standard encoding's quote


def test_what_is_written_left_of_a_word_is_not_put_into_it(make: Maker) -> None:
    assert texts(make(shown("GFI", 60) + shown("A", 52))) == ["GFI", "A"]
    assert texts(make(shown("A", 60) + shown("GFI", 45))) == ["A", "GFI"]


def test_hollow_letters_are_read(make: Maker) -> None:
    """White within, their outline dark: only the white fill was looked at, and the word was lost."""
    assert texts(make("1 g 0 G .2 w " + shown("GFI", more="2 Tr"))) == ["GFI"]
    assert texts(make("1 g 1 G .2 w " + shown("GFI", more="2 Tr") + "0 g 0 Tr " + shown("SEEN", 100))) == ["SEEN"]


def test_columns_are_different_lines(make: Maker) -> None:
    words = read_sheet(make(shown("12", 20) + shown("DISPOSAL", 60) + shown("20 A", 130)), 1).words
    assert [word.text for word in words] == ["12", "DISPOSAL", "20", "A"]
    assert len({word.line for word in words}) == 3


def test_invisible_words_count_only_where_ink_stands_and_settle_nothing(make: Maker) -> None:
    hidden = shown("GFI", 60, more="3 Tr") + "0 Tr "
    assert texts(make(shown("PAINTED", 10) + hidden)) == ["PAINTED"]
    assert texts(make(shown("PAINTED", 10) + hidden + shown("GFI", 60))) == ["PAINTED", "GFI"]
    ink = "61 51 m 64 53 l S 64 51 m 62 54 l S 66 51 m 66 55 l S 68 51 m 70 55 l S "
    words = read_sheet(make(shown("PAINTED", 10) + hidden + ink), 1).words
    assert [(word.text, word.origin) for word in words] == [("PAINTED", "font"), ("GFI", "hidden")]
    assert words[1].confidence < 0.75
    part = "60.6 51 m 62 53 l S 60.6 53 m 62 51 l S 61 51 m 61 55 l S 62 51 m 62 55 l S "
    assert texts(make(shown("PAINTED", 10) + hidden + part)) == ["PAINTED"]  # of a symbol that the word runs into


def test_words_without_opacity_are_invisible(make: Maker) -> None:
    states = "/ExtGState<</None<</ca 0>>/All<</ca 1>>>>"
    assert texts(make("/None gs " + shown("GFI") + "/All gs " + shown("SEEN", 100), resources=states)) == ["SEEN"]


@pytest.mark.parametrize("angle", [0, 90])
def test_words_that_a_clip_cuts_away_are_not_read(make: Maker, angle: float) -> None:
    outside = shown("GFI", 20, 50, angle=angle)
    assert texts(make("q 100 20 80 60 re W n " + outside + shown("INSIDE", 110) + "Q")) == ["INSIDE"]
    assert texts(make("q 100 20 80 60 re W n " + outside + "Q " + shown("INSIDE", 110))) == ["INSIDE"]
    assert texts(make("q 100 20 80 60 re W n " + outside + "Q " + outside)) == ["GFI"]
    assert texts(make("q 24 20 80 60 re W n " + shown("PARTLY") + "Q")) == ["PARTLY"]


def test_words_painted_twice_are_one(make: Maker) -> None:
    assert texts(make(shown("BOLD") + shown("BOLD", 20.3))) == ["BOLD"]
    assert texts(make(shown("BOLD", more="2 Tr"))) == ["BOLD"]


def test_white_words_count_only_on_dark_ground(make: Maker) -> None:
    assert texts(make("1 g " + shown("LOST") + "0 g " + shown("SEEN", 100))) == ["SEEN"]
    assert texts(make("0 g 0 40 80 30 re f 1 g " + shown("REVERSED"))) == ["REVERSED"]
    assert texts(make(".9 g 0 40 80 30 re f 1 g " + shown("LOST") + "0 g " + shown("SEEN", 100))) == ["SEEN"]


def test_words_under_a_later_fill_are_gone(make: Maker) -> None:
    assert texts(make(shown("GONE") + "1 g 0 0 100 100 re f 0 g " + shown("KEPT", 20, 20))) == ["KEPT"]


def test_words_of_a_layer_that_is_off_are_left_out(make: Maker) -> None:
    content = "/OC /L BDC " + shown("OFF") + " EMC " + shown("ON", 20, 20)
    catalog = "/OCProperties<</OCGs[5 0 R]/D<</OFF[5 0 R]>>>>"
    path = make(content, resources="/Properties<</L 5 0 R>>", catalog=catalog, objects=("<</Type/OCG/Name(A)>>",))
    assert texts(path) == ["ON"]


def test_size_font_and_colour(make: Maker) -> None:
    (word,) = read_sheet(make("1 0 0 rg " + shown("RED", size=12)), 1).words
    assert word.size == pytest.approx(12)
    assert "Helvetica" in word.font
    assert word.colour == pytest.approx((1, 0, 0))


@pytest.mark.parametrize(
    ("shown", "wide"),
    [
        ("/F 8 Tf .5 0 0 1 20 60 Tm", 0.5),
        ("/F 8 Tf 50 Tz 20 60 Td", 0.5),
        ("/F 4 Tf 2 0 0 2 20 60 Tm", 1.0),
        ("/F 16 Tf .9 0 0 .5 20 60 Tm", 1.8),
        ("/F 8 Tf 0 .5 -1 0 20 20 Tm", 0.5),
        ("/F 8 Tf 1 0 .3 1 20 60 Tm", 1.0),
    ],
)
def test_the_size_of_condensed_and_wide_letters_is_their_height(make: Maker, shown: str, wide: float) -> None:
    """It was told along the line: a legend's heading in letters of half the width was no heading."""
    (word,) = read_sheet(make(f"0.5 w 10 80 m 100 80 l S BT {shown} (GFI) Tj ET "), 1).words
    x0, y0, x1, y1 = word.box
    (width, height), plain = sorted([x1 - x0, y1 - y0], reverse=wide > 1), 13.3
    assert word.size == pytest.approx(8.0, abs=0.01)
    assert (width, height) == pytest.approx((plain * wide, 11.0), abs=0.1) or wide == 1.0


def test_feet_under_the_name_of_another_sign(make: Maker) -> None:
    """The map of a converted font calls a quotesingle by its code in the standard encoding, A9."""
    content = shown("13\\251-6\\272") + shown("2024\\251", y=20)
    font = "/Font<</F <</Type/Font/Subtype/Type1/BaseFont/Helvetica/Encoding/WinAnsiEncoding>>>>"
    assert texts(make(content, resources=font)) == ["13'-6\"", "2024©"]


@pytest.mark.parametrize("unit", [0.0002, 0.001, 0.01, 1.0])
def test_a_font_of_any_unit_of_its_own_has_the_size_that_is_seen(make: Maker, unit: float) -> None:
    """A Type 3 font's matrix is free (ISO 32000-2, 9.6.4): the same letters, at a size that makes up for it."""
    shape = ("<<>>", "550 0 0 0 500 700 d1 0 0 500 700 re f")
    said = (
        "<<>>",
        "/CIDInit /ProcSet findresource begin begincmap 1 begincodespacerange <00> <FF> endcodespacerange "
        "3 beginbfchar <49> <0049> <4B> <004B> <54> <0054> endbfchar endcmap end",
    )
    font = (
        f"<</Type/Font/Subtype/Type3/FontBBox[0 0 500 700]/FontMatrix[{unit} 0 0 {unit} 0 0]"
        f"/FirstChar 73/LastChar 84/Widths[{'550 ' * 12}]"
        "/Encoding<</Type/Encoding/Differences[73/I 75/K 84/T]>>/CharProcs<</I 6 0 R/K 6 0 R"
        "/T 6 0 R>>/ToUnicode 7 0 R>>"
    )
    size = 8 / (1000 * unit)  # that eight points are seen
    kern = 600 / size  # 0.6 pt back, as between A and V
    content = f"q 0.02 0 0 0.02 0 0 cm BT /Own {size * 50} Tf 1 0 0 1 1000 2500 Tm [(KI) {kern} (T)] TJ ET Q"
    path = make(content, objects=(font, shape, said))
    path.write_bytes(path.read_bytes().replace(b"/Font<</F ", b"/Font<</Own 5 0 R/F ", 1))
    (word,) = read_sheet(path, 1).words
    assert word.text == "KIT" and word.size == pytest.approx(8, rel=0.1)


@pytest.mark.parametrize("page", ["", "/CropBox[0 0 90 100]", "/CropBox[0 0 90 100]/Rotate 90/UserUnit 2"])
def test_letters_beside_the_paper_are_not_seen(make: Maker, page: str) -> None:
    """A label that lay beyond the edge of the paper, or of its crop box, was one that is seen."""
    edge = 90 if page else 200
    content = shown("INSIDE", 20) + shown("GFI", edge + 2) + shown("GFI", -15) + shown("GFI", 40, 110)
    assert texts(make(content, page=page)) == ["INSIDE"]
    words = read_sheet(make(shown("INSIDE", 20) + shown("WPX", edge - 12), page=page), 1).words
    assert [(word.text, word.confidence >= 1) for word in words] == [("INSIDE", True), ("WP", False)]


@pytest.mark.parametrize(
    "how", ["q .0001 0 0 .0001 50 50 cm {} Q", "q .0001 0 0 1 50 0 cm {} Q", "q 1 0 0 .001 0 50 cm {} Q"]
)
def test_text_that_is_a_speck_or_squeezed_to_a_line_says_nothing(make: Maker, how: str) -> None:
    assert texts(make(shown("KEPT") + how.format(shown("GFI")))) == ["KEPT"]


def test_letters_of_a_type_3_font_that_draw_nothing_settle_nothing(make: Maker) -> None:
    """So some programs lay invisible text over a scan; GFI of it was a mark for certain."""
    font = (
        "<</Type/Font/Subtype/Type3/FontBBox[0 0 700 700]/FontMatrix[.001 0 0 .001 0 0]/FirstChar 70/LastChar 73"
        "/Widths[600 600 600 600]/CharProcs<</F 6 0 R/G 6 0 R/I 6 0 R>>/Encoding<</Differences[70/F/G 73/I]>>>>"
    )
    content = shown("KEPT") + shown("GFI", 100).replace("/F ", "/T ")
    path = make(content, resources="/XObject<<>>", objects=(font, ("<<>>", "600 0 d0")))
    path.write_bytes(path.read_bytes().replace(b"/Font<</F ", b"/Font<</T 5 0 R/F "))
    sure = [word.text for word in read_sheet(path, 1).words if word.confidence >= 1]
    assert sure == ["KEPT"]
