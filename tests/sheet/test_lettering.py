"""Lettering that is drawn: read in every direction, believed only as far as it is sure, and never seen in hatch."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pymupdf
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.geometry import group_boxes
from cordpath.model import Fills, Strokes, Word
from cordpath.sheet import read_sheet
from cordpath.sheet.lettering import Lettering, lettering
from cordpath.sheet.lettering.features import describe, upside_down
from cordpath.sheet.lettering.grammar import vocabulary

sys.path[:0] = [str(Path(__file__).parent)]

from stroke_face import strokes  # noqa: E402

TEXTS = (
    "KITCHEN", "MASTER BATH", "GARAGE", "BEDROOM 2", "LAUNDRY", "12'-6\"", "8'-4 1/2\"", "10'-0\"", "GFCI", "GFI",
    "A-12", "B-23", "1/4\" = 1'-0\"", "PANEL SCHEDULE", "UNFINISHED BASEMENT", "+42\"",
)  # fmt: skip
SURE = 0.8  # words under it are doubtful to those who use them


def sheet_of(angle: float, cap: float = 9.0, texts: tuple[str, ...] = TEXTS, seed: int = 3) -> Strokes:
    """Lines of text below each other as read, as loose strokes in any order, rounded to 1/600 in."""
    t = np.radians(angle)
    down = np.array([np.sin(t), np.cos(t)])
    xy = np.concatenate([
        strokes(text, tuple(np.array([1000.0, 1000.0]) + down * 4 * cap * k), cap, angle)
        for k, text in enumerate(texts)
    ])  # fmt: skip
    rng = np.random.default_rng(seed)
    xy = xy[rng.permutation(len(xy))]
    turn = rng.random(len(xy)) < 0.5
    xy[turn] = xy[turn][:, [2, 3, 0, 1]]
    return Strokes.of(np.round(xy / 0.12) * 0.12)


def said(found: Lettering) -> list[str]:
    """Lines as read, blanks left out."""
    lines: dict[int, list[Word]] = {}
    for word in found.words:
        lines.setdefault(word.line, []).append(word)
    return ["".join(word.text for word in line) for line in lines.values()]


@pytest.mark.parametrize("angle", [0.0, 90.0, 180.0, 270.0, 45.0])
@pytest.mark.parametrize("cap", [6.75, 13.5])
def test_strokes_are_read_in_every_direction(angle: float, cap: float) -> None:
    found = lettering(sheet_of(angle, cap), Fills.none(), ())
    wanted = [text.replace(" ", "") for text in TEXTS]
    right = [text for text in said(found) if text in wanted]
    assert len(right) >= 0.75 * len(wanted), said(found)
    turned = [abs((word.angle - angle + 180) % 360 - 180) for word in found.words if len(word.text) > 3]
    assert np.median(turned) < 2.5
    sure = {word.text for word in found.words if word.confidence >= SURE}
    assert sure <= {part for text in TEXTS for part in text.split()} | set(wanted), sure


def test_words_lie_where_they_are_drawn() -> None:
    ink = sheet_of(0.0)
    found = lettering(ink, Fills.none(), ())
    kitchen = next(word for word in found.words if word.text == "KITCHEN")
    assert kitchen.box[0] == pytest.approx(1000, abs=1) and kitchen.box[2] == pytest.approx(1000 + 6.67 * 9, abs=1)
    assert kitchen.box[1] < 991 and 1000 < kitchen.box[3] < 1004
    assert kitchen.size == pytest.approx(9 / 0.72, rel=0.05) and kitchen.origin == "stroke"


@pytest.mark.parametrize("scale", [0.25, 4.0])
def test_sheets_plotted_small_or_large_are_read(scale: float) -> None:
    ink = sheet_of(0.0)
    found = lettering(Strokes.of(ink.xy * scale), Fills.none(), ())
    assert {"KITCHEN", "LAUNDRY", "GARAGE"} <= {word.text for word in found.words}


def test_a_letter_lost_in_other_ink_leaves_no_sure_word() -> None:
    texts = tuple(f"A-1{k}" for k in range(2, 9)) + TEXTS
    ink = sheet_of(0.0, texts=texts)
    rows = 1000 + 36 * np.arange(7)
    blots = [[1027 + d, y - 10, 1037 + d, y + 1] for y in rows for d in (-2, 0, 2, 4)]  # over the last figure
    found = lettering(Strokes.of(np.concatenate([ink.xy, np.array(blots, float)])), Fills.none(), ())
    cut = [word for word in found.words if word.text.startswith("A-1") and word.text not in texts]
    assert all(word.confidence < SURE for word in cut), cut


def test_hatch_stipple_and_symbols_are_no_words() -> None:
    rng = np.random.default_rng(5)
    at = rng.uniform(100, 1500, (4000, 2))
    stipple = np.column_stack([at, at + rng.uniform(-0.6, 0.6, at.shape)])
    k = np.arange(400) * 4.0
    hatch = np.column_stack([k, 0 * k, k + 8, 0 * k + 8]) + 200
    corner = rng.uniform(100, 1500, (300, 2))
    brick = np.concatenate([np.column_stack([corner, corner + np.array(step)]) for step in ((12, 0), (0, 4))])
    t = np.linspace(0, 2 * np.pi, 17)
    ring = 5 * np.column_stack([np.cos(t), np.sin(t)])
    rings = [np.column_stack([ring[:-1], ring[1:]]) + np.tile(p, 2) for p in rng.uniform(100, 1500, (100, 2))]
    found = lettering(Strokes.of(np.concatenate([stipple, hatch, brick, *rings])), Fills.none(), ())
    assert len([word for word in found.words if word.confidence >= SURE]) == 0
    assert len(found.words) <= 5


def page(texts: tuple[str, ...] = TEXTS, font: str = "helv") -> pymupdf.Document:
    document = pymupdf.open()
    sheet = document.new_page(width=800, height=800)
    for k, text in enumerate(texts):
        sheet.insert_text((60, 60 + 30 * k), text, fontsize=11, fontname=font)
        sheet.insert_text((700, 60 + 30 * k), text, fontsize=9, fontname=font, rotate=90 if k % 4 == 0 else 0)
    return document


def outlined(document: pymupdf.Document) -> bytes:
    svg = document[0].get_svg_image(text_as_path=True)
    return bytes(pymupdf.open(stream=svg.encode(), filetype="svg").convert_to_pdf())


@pytest.mark.parametrize("font", ["helv", "cour", "hebo"])
def test_outlines_of_letters_are_read(font: str, tmp_path: Path) -> None:
    path = tmp_path / "outlined.pdf"
    path.write_bytes(outlined(page(font=font)))
    sheet = read_sheet(path, 1)
    assert {word.origin for word in sheet.words} == {"outline"}
    wanted = [word for text in TEXTS for word in text.split()] * 2
    got = [word.text for word in sheet.words]
    right = sum(min(got.count(word), wanted.count(word)) for word in set(wanted))
    assert right >= 0.8 * len(wanted), sorted(set(wanted) - set(got))
    assert any("lettering of this sheet is drawn" in line for line in sheet.assumptions)


def test_text_is_not_read_twice(tmp_path: Path) -> None:
    path = tmp_path / "text.pdf"
    page().save(path)
    sheet = read_sheet(path, 1)
    assert {word.origin for word in sheet.words} == {"font"}
    assert not any("lettering" in line for line in sheet.assumptions)


def test_an_invisible_layer_confirms_what_the_strokes_say_and_no_more() -> None:
    ink = sheet_of(0.0, texts=('+18"', '+42"', *TEXTS))
    plain = {word.text: word for word in lettering(ink, Fills.none(), ()).words}
    box = plain["KITCHEN"].box
    layer = (
        Word("KITCHEN", box, 0.0, 12.0, 1, origin="hidden"),
        Word("GARBAGE", plain["GARAGE"].box, 0.0, 12.0, 2, origin="hidden"),
    )
    both = {word.text: word for word in lettering(ink, Fills.none(), layer).words}
    assert both["KITCHEN"].confidence >= plain["KITCHEN"].confidence
    assert both["GARAGE"].confidence == plain["GARAGE"].confidence and "GARBAGE" not in both


def test_white_letters_and_covered_ones_are_not_read() -> None:
    ink = sheet_of(0.0)
    white = Strokes(
        ink.xy, ink.width, ink.colour + 1.0, ink.layer, ink.path, ink.curve, ink.dashed, ink.covered
    )  # fmt: skip
    assert lettering(white, Fills.none(), ()) == Lettering()


def test_vocabulary_has_no_word_twice_as_another() -> None:
    words = vocabulary()
    assert {"KITCHEN", "GFCI", "GFI", "GARAGE"} <= words and all(word == word.upper() for word in words)
    # So rooms are called (common practice, no source); a drawn name that the vocabulary lacks is doubted.
    assert {"FAM.", "OFC", "BDRM", "LIV.", "DIN.", "KITCH.", "LAUND", "TLT", "UNFIN."} <= words


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.booleans())
def test_upside_down_features_are_those_of_the_turned_glyph(seed: int, filled: bool) -> None:
    rng = np.random.default_rng(seed)
    if filled:
        ring = np.array(shapely.MultiPoint(rng.uniform(0, 5, (8, 2))).convex_hull.exterior.coords)
        xy = np.column_stack([ring[:-1], ring[1:]])
    else:
        xy = rng.uniform(0, 5, (6, 4))
    owner, one = np.zeros(len(xy), np.int64), np.array([filled])

    def seen(strokes_: np.ndarray, base: float) -> np.ndarray:
        box = group_boxes(strokes_, owner, 1)
        return describe(strokes_, owner, one, np.array([base]), np.array([5.0]), box)

    here, there = seen(xy, 5.0), seen(-xy, 0.0)
    assert np.abs(upside_down(here) - there).max() < (0.3 if filled else 1e-3)  # rows of pixels fall either side


def readings_of(text: str, cap: float = 9.0, slant: float = 0.0) -> list[str]:
    xy = strokes(text, (0.0, 0.0), cap)
    points = xy.reshape(-1, 2)
    leaned = np.column_stack([points[:, 0] - points[:, 1] * np.tan(np.radians(slant)), points[:, 1]])
    others = strokes("KITCHEN", (0.0, 60.0), cap)
    ink = np.concatenate([leaned.reshape(-1, 4), others])
    found = lettering(Strokes.of(np.round((ink + 400) / 0.12) * 0.12), Fills.none(), ())
    return [word.text for word in found.words if word.text != "KITCHEN" and word.confidence >= SURE]


@pytest.mark.parametrize("text", ["A-11", "P-11", "H-16", "11'-9\"", '+18"', "A-1,11"])
def test_the_room_of_a_narrow_figure_is_no_blank(text: str) -> None:
    """In letters of one width 1 has white on both sides: P-11 is not circuit P-1."""
    assert set(readings_of(text)) <= {text}


@pytest.mark.parametrize("text", ["26'-4\"", "12'-6\"", "8'-0\""])
def test_a_slanted_prime_and_its_dash_are_no_figure(text: str) -> None:
    assert set(readings_of(text, slant=14.0)) <= {text}


def test_ratings_keep_their_letter() -> None:
    """20A and 220V are one word each: between 20 and A is no blank."""
    assert readings_of("220V") in ([], ["220V"])
    assert readings_of("20A/1P") in ([], ["20A/1P"])


def test_a_face_that_mostly_makes_no_sense_settles_nothing() -> None:
    """Letters that nobody knows, and a few among them that look like a word: what is said may be another word."""
    rng = np.random.default_rng(5)
    names = ["".join(rng.choice(list("BDFGHKMNPRSW"), 6)) for _ in range(24)]
    found = lettering(sheet_of(0.0, texts=("KITCHEN", "A-12", "GARAGE", *names)), Fills.none(), ())
    assert {"KITCHEN", "GARAGE"} <= {word.text for word in found.words}
    assert found.strange and all(word.confidence < SURE for word in found.words)


@pytest.mark.parametrize("x", [18.5, 19.5, 21.5])
def test_a_comma_under_a_slanted_figure_is_not_lost_in_it(x: float) -> None:
    """Without its comma, P-9,5 is circuit P-95."""
    xy = np.concatenate([strokes("P-9", (0.0, 0.0), 9.0), strokes("5", (28.0, 0.0), 9.0)])
    comma = np.array([[x, 2.6, x + 1.0, 0.8]])  # it stands under the 9
    points = np.concatenate([xy, comma, strokes("KITCHEN", (0.0, 60.0), 9.0)])
    found = lettering(Strokes.of(np.round((points + 400) / 0.12) * 0.12), Fills.none(), ())
    assert "P-9,5" in [word.text for word in found.words]


WORDS = ("GARAGE", "LIGHTING", "KITCHEN", "BEDROOM", "LAUNDRY", "MASTER BATH", "DINING", "PANTRY", "STORAGE")


def lone(text: str, angle: float = 0.0) -> list[tuple[str, float]]:
    """What a text alone is read as, beside words in the same face."""
    words = sheet_of(0.0, texts=WORDS)
    alone = strokes(text, (600.0, 600.0), 9.0, angle)
    found = lettering(Strokes.of(np.concatenate([words.xy, np.round(alone / 0.12) * 0.12])), Fills.none(), ())
    return [
        (word.text, word.confidence) for word in found.words if abs(word.at[0] - 600) < 40 > abs(word.at[1] - 600)
    ]


@pytest.mark.parametrize("text", ["G", "R", "E"])
def test_a_letter_alone_is_known_by_its_shape_in_the_words_of_the_sheet(text: str) -> None:
    """G as in GARAGE and LIGHTING."""
    assert lone(text) == [(text, 0.85)]
    assert all(word == text or confidence < SURE for word, confidence in lone(text, 90.0))


@pytest.mark.parametrize("text", ["K", "W", "O", "I", "6", "8", "L"])
def test_a_plain_shape_or_a_letter_of_one_word_stays_a_doubt(text: str) -> None:
    assert all(confidence < SURE for _, confidence in lone(text))
