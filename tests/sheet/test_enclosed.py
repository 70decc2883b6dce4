"""What clips, groups, masks and patterns do to the paint within them."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pymupdf
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cordpath.geometry import lengths, lines
from cordpath.sheet import read_sheet
from cordpath.sheet.cells import Cell, painted
from cordpath.sheet.ink.clip_shapes import RIM, clip_shapes, cut_areas, cut_strokes, seen_points
from cordpath.sheet.pictures import images_of
from sheet.conftest import HELVETICA

Maker = Callable[..., Path]
TEXT = "BT /F 8 Tf 20 50 Td (GFI) Tj ET "
LINE = "10 20 m 50 20 l S "
GROUP = "<</Type/XObject/Subtype/Form/BBox[0 0 200 100]/Group<</S/Transparency/CS/DeviceGray>>"
FORM = f"{GROUP}/Resources<</Font<</F {HELVETICA}>>>>>>"
FRAME = "0 0 200 100 re 4 4 192 92 re W* n "  # a clip whose box is the whole page, and which shows next to nothing
SAME = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def seen(path: Path) -> tuple[list[str], float]:
    sheet = read_sheet(path, 1)
    return [word.text for word in sheet.words], float(lengths(sheet.strokes.xy).sum())


# --------------------------------------------------------------------------------------------------------- groups


@pytest.mark.parametrize("deep", [False, True])
def test_a_group_of_no_opacity_shows_neither_lines_nor_words(make: Maker, deep: bool) -> None:
    states = "/ExtGState<</G<</ca 0/CA 0>>>>"
    outer = (FORM.replace("/Resources<<", "/Resources<</XObject<</B 6 0 R>>"), "/B Do")
    objects = (outer, (FORM, TEXT + LINE)) if deep else ((FORM, TEXT + LINE),)
    path = make(f"q /G gs /A Do Q {LINE}", resources=f"{states}/XObject<</A 5 0 R>>", objects=objects)
    assert seen(path) == ([], pytest.approx(40))


def test_words_seen_through_a_soft_mask_settle_nothing_and_others_do(make: Maker) -> None:
    mask = (
        "<</Type/XObject/Subtype/Form/BBox[0 0 90 90]/Group<</S/Transparency/CS/DeviceGray>>>>",
        "1 g 0 0 60 90 re f",
    )
    states = "/ExtGState<</G<</SMask<</S/Luminosity/G 5 0 R>>>>/H<</ca .5>>>>"
    other = TEXT.replace("20 50", "90 50").replace("GFI", "BATH")
    sheet = read_sheet(make(f"q /G gs {TEXT} Q /H gs {other}", resources=states, objects=(mask,)), 1)
    assert [(word.text, word.confidence < 1) for word in sheet.words] == [("GFI", True), ("BATH", False)]


# ---------------------------------------------------------------------------------------------------------- clips


def test_a_clip_that_is_no_rectangle_cuts_lines_words_dots_and_areas(make: Maker) -> None:
    inside = f"{LINE} {TEXT} 1 J 4 w 30 30 m 30 30 l S 30 60 9 9 re f "
    sheet = read_sheet(make(f"q {FRAME} {inside} Q 0 J 1 w 0 2 m 20 2 l S"), 1)
    assert sheet.words == () and len(sheet.fills) == 0
    assert np.allclose(sheet.strokes.xy, [[0, 98, 20, 98]])


def test_a_line_along_its_own_clip_stays_whole(make: Maker) -> None:
    triangle = "20 20 m 80 20 l 50 70 l h "
    strokes = read_sheet(make(f"q {triangle} W n {triangle} S Q"), 1).strokes
    assert len(strokes) == 3 and lengths(strokes.xy).sum() == pytest.approx(60 + 2 * math.hypot(30, 50), abs=0.3)


def test_a_mark_painted_through_its_outline_is_its_area(make: Maker) -> None:
    """A half disc, as a rectangle through a clip."""
    half = "60 50 m 60 61 42 61 42 50 c h W n 40 40 30 30 re f"
    (area,) = read_sheet(make(f"q {half} Q"), 1).fills.shape
    assert 0.6 < area.area / (18 * 8.25) < 0.85
    assert area.bounds == pytest.approx((42, 41.75, 60, 50), abs=0.1)


def test_a_clip_within_an_odd_clip_shows_what_both_show(make: Maker) -> None:
    clip = (
        "q 0 0 m 100 0 l 0 100 l h W n q 0 0 100 30 re W n 0 20 m 200 20 l S Q 0 40 m 200 40 l S Q 0 60 m 9 60 l S"
    )
    assert np.allclose(
        read_sheet(make(clip), 1).strokes.xy, [[0, 80, 80, 80], [0, 60, 60, 60], [0, 40, 9, 40]], atol=0.2
    )


points = st.tuples(st.integers(0, 40), st.integers(0, 40))


@given(
    st.lists(st.tuples(points, points), min_size=1, max_size=8),
    st.lists(points, min_size=3, max_size=7, unique=True),
)
def test_cutting_leaves_what_lies_in_the_clip(segments: list, corners: list) -> None:
    items = [("l", a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    shapes = clip_shapes(((-1, items, True), (0, None, False)), SAME)
    xy = np.array([[*a, *b] for a, b in segments], float)
    clip = np.arange(len(xy)) % 3 - 1
    left, of = cut_strokes(xy, clip, shapes)
    assert (np.diff(of) >= 0).all()
    for k, line in enumerate(lines(xy)):
        whole = shapes.get(int(clip[k]))
        wanted = line if whole is None else shapely.intersection(line, shapely.buffer(whole, RIM))
        assert lengths(left[of == k]).sum() == pytest.approx(wanted.length, abs=1e-6)
    if 1 in shapes:
        assert shapes[1].equals(shapes[0])
        area = cut_areas(np.array([shapely.box(0, 0, 40, 40)], object), np.zeros(1, np.int64), shapes)[0]
        assert area.symmetric_difference(shapes[0]).area == pytest.approx(0, abs=1e-6)
        middle = shapes[0].representative_point()
        far = seen_points(np.array([[middle.x, middle.y], [99.0, 99.0]]), np.zeros(2, np.int64), shapes)
        assert far.tolist() == [True, False]


@pytest.mark.parametrize("items", [
    [("l", (0, 0), (9, 0)), ("l", (9, 0), (9, 5)), ("l", (9, 5), (0, 5)), ("l", (0, 5), (0, 0))],
    [("l", (0, 0), (9, 0))],
    [("l", (0, 0), (math.nan, 0)), ("l", (math.nan, 0), (9, 5)), ("l", (9, 5), (0, 5))],
    [],
])  # fmt: skip
def test_upright_rectangles_and_paths_without_area_are_no_odd_clips(items: list) -> None:
    assert clip_shapes(((-1, items, False),), SAME) == {}


def test_a_clip_of_lines_that_enclose_nothing_shows_nothing() -> None:
    flat = [("l", (0, 0), (9, 0)), ("l", (9, 0), (20, 0)), ("l", (20, 0), (0, 0))]
    aside = [(kind, (x, x + 5), (u, u + 5)) for kind, (x, _), (u, _) in flat]
    assert clip_shapes(((-1, flat + aside, True),), SAME)[0].is_empty


# ------------------------------------------------------------------------------------------------------------- text


def test_a_single_letter_that_is_filled_and_outlined_is_one(make: Maker) -> None:
    """Circuit 1 was circuit 11."""
    shown = "2 Tr .1 w BT /F 8 Tf 20 50 Td (1) Tj ET BT /F 8 Tf 60 50 Td (11) Tj ET BT /F 8 Tf 90 50 Td (GFI) Tj ET"
    assert seen(make(shown))[0] == ["1", "11", "GFI"]


def test_texts_that_are_only_clips_are_told_with_their_places(make: Maker) -> None:
    clip = f"q {TEXT.replace('BT', 'BT 7 Tr')} 18 48 30 12 re f Q "
    both = "q BT 4 Tr /F 8 Tf 90 50 Td (GENERAL NOTES) Tj ET Q"
    sheet = read_sheet(make(clip + both + " 0 0 m 90 0 l S"), 1)
    assert [word.text for word in sheet.words] == ["GENERAL", "NOTES"]
    assert len(sheet.unread_at) >= 1 and math.dist(sheet.unread_at[-1], (26, 47)) < 5
    assert any("stencils" in said for said in sheet.assumptions)


@pytest.mark.parametrize(("wide", "high"), [(2384, 1684), (200, 100), (1191, 841.89)])
def test_a_white_mask_as_large_as_the_page_shows_all_of_it(make: Maker, wide: float, high: float) -> None:
    """MuPDF paints a sixteenth less of its last row: on most sizes of paper nothing that it shows was sure."""
    mask = f"<</Type/XObject/Subtype/Form/BBox[0 0 {wide} {high}]/Group<</S/Transparency/CS/DeviceGray>>>>"
    sheet = read_sheet(
        make(
            f"/M gs {TEXT}", media=f"[0 0 {wide} {high}]", objects=((mask, f"1 g 0 0 {wide} {high} re f"),),
            resources="/ExtGState<</M<</SMask<</S/Luminosity/G 5 0 R>>>>>>",
        ), 1,
    )  # fmt: skip
    assert [word.confidence for word in sheet.words] == [1.0] and not sheet.assumptions


def test_texts_that_nothing_is_painted_through_are_nothing(make: Maker) -> None:
    """What nobody sees asked about each outlet beside it."""
    clip = f"q {TEXT.replace('BT', 'BT 7 Tr')} 100 48 30 12 re f 5 5 m 90 5 l S Q 0 0 m 90 0 l S"
    # Another text cuts it away: what is painted over all of the page is seen through neither.
    other = f" q BT 7 Tr /F 8 Tf 120 80 Td (X) Tj ET {TEXT.replace('BT', 'BT 7 Tr')} 0 0 200 99 re f Q"
    sheet = read_sheet(make(clip + other), 1)
    assert sheet.unread_at == () and sheet.words == () and sheet.assumptions == ()


# --------------------------------------------------------------------------------------------- patterns, pictures


def cell(box: str, step: int, content: str, more: str = "") -> tuple[str, str]:
    kind = "<</Type/Pattern/PatternType 1/PaintType 1/TilingType 1"
    return (f"{kind}/BBox[{box}]/XStep {step}/YStep {step}{more}/Resources<</Font<</F {HELVETICA}>>>>>>", content)


def patterned(make: Maker, area: str, its_cell: tuple[str, str]) -> Path:
    return make(f"/Pattern cs /P scn {area} f 0 0 m 9 0 l S", resources="/Pattern<</P 5 0 R>>", objects=(its_cell,))


def test_a_plan_that_is_painted_as_one_cell_is_read(make: Maker) -> None:
    path = patterned(make, "0 0 200 100 re", cell("0 0 200 100", 200, LINE + TEXT))
    assert seen(path) == (["GFI"], pytest.approx(49))
    assert read_sheet(path, 1).damage is None


def test_copies_of_a_drawing_are_told(make: Maker) -> None:
    sheet = read_sheet(patterned(make, "0 0 200 100 re", cell("0 0 50 50", 50, LINE)), 1)
    assert sheet.damage is not None and "copies of a drawing" in sheet.damage


@pytest.mark.parametrize(("area", "told"), [
    (shapely.box(0, 0, 100, 60), 0),  # hatch of a wall
    (shapely.box(0, 0, 8, 20), 0),  # and of a short one
    (shapely.box(0, 0, 6, 6), 1),  # once: whatever the cell shows
    (shapely.Point(20, 20).buffer(6), 1),  # a disc, hatched
    (shapely.Point(50, 50).buffer(30), 0),  # a column
])  # fmt: skip
def test_which_painted_areas_may_be_marks(area: shapely.Polygon, told: int) -> None:
    scissors = np.array([area.bounds, (0.0, 0.0, 200.0, 100.0)])
    found = painted((Cell((0, 0, 5.0, 5.0), 0, False),), scissors, {0: area}, SAME)
    assert len(found.telling) == told and not found.copied


def test_pictures_of_one_pixel_with_a_mask_and_small_shadings_may_tell_something(make: Maker) -> None:
    image = "<</Type/XObject/Subtype/Image/Width 1/Height 1/BitsPerComponent 8/ColorSpace/DeviceGray"
    objects = (
        (f"{image}/SMask 6 0 R>>", "x"),
        ("<</Type/XObject/Subtype/Image/Width 8/Height 8/BitsPerComponent 1/ColorSpace/DeviceGray>>", "abcdefgh"),
        (f"{image}>>", "x"),
        "<</ShadingType 2/ColorSpace/DeviceGray/Coords[0 0 9 0]/Extend[true true]"
        "/Function<</FunctionType 2/Domain[0 1]/C0[0]/C1[0]/N 1>>>>",
    )
    shown = "q 9 0 0 9 10 10 cm /I Do Q q 9 0 0 9 40 10 cm /J Do Q q 70 10 9 4 re W n /S sh Q"
    path = make(shown, resources="/XObject<</I 5 0 R/J 7 0 R>>/Shading<</S 8 0 R>>", objects=objects)
    with pymupdf.open(path) as document:
        telling = images_of(document[0], SAME).telling
    assert sorted(round(box[0]) for box in telling) == [10, 70]
