"""What is painted becomes strokes and fills; what is not painted does not."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cordpath.geometry import SAGITTA_PT, lengths
from cordpath.sheet import read_sheet
from cordpath.sheet.ink.splinters import whole_lines
from cordpath.sheet.ink.strokes import _chords, clipped

Maker = Callable[..., Path]
LINE = "10 20 m 50 20 l S "  # page coordinates on a 200 x 100 page: (10, 80) to (50, 80)


def total(path: Path) -> float:
    return float(lengths(read_sheet(path, 1).strokes.xy).sum())


def test_a_line_lies_where_it_is_seen(make: Maker) -> None:
    sheet = read_sheet(make("2 w 1 0 0 RG " + LINE), 1)
    assert sheet.strokes.xy.tolist() == [[10, 80, 50, 80]]
    assert sheet.strokes.width.tolist() == [2.0]
    assert sheet.strokes.colour.tolist() == [[1, 0, 0]]
    assert (sheet.width, sheet.height) == (200, 100)


@pytest.mark.parametrize(
    ("drawn", "edges", "length"),
    [
        ("10 10 40 20 re S", 4, 120),
        ("10 10 m 50 10 l 50 30 l 10 30 l h S", 4, 120),
        ("10 10 m 10 30 l 50 30 l 50 10 l s", 4, 120),
        ("10 10 m 50 10 l 50 30 l 10 30 l 10 10 l S", 4, 120),
        ("10 10 m 50 10 l 50 30 l 10 30 l S", 3, 100),
        ("50 50 -20 -10 re S", 4, 60),
        (".6 .8 -.8 .6 60 20 cm 0 0 40 20 re S", 4, 120),
        ("10 10 m 50 10 l 60 60 m 90 60 l S", 2, 70),
        ("0 0 m 10 10 l 20 10 l 20 20 l 10 20 l 10 10 l 30 30 l S", 6, 40 + 10 * math.sqrt(2) + 20 * math.sqrt(2)),
        ("10 10 m 20 10 l 20 20 l h 40 40 m 50 40 l 50 50 l S", 5, 40 + 10 * math.sqrt(2)),
        ("10 10 m 45 10 48 10 50 10 c 50 10 50 12 50 30 c S", 2, 60),  # straight lines as curves
        ("10 10 m 40 10 50 10 v 50 29 50 30 y S", 2, 60),
    ],
)
def test_every_way_of_writing_edges_gives_edges(make: Maker, drawn: str, edges: int, length: float) -> None:
    strokes = read_sheet(make(drawn), 1).strokes
    assert len(strokes) == edges and (strokes.curve < 0).all()
    assert lengths(strokes.xy).sum() == pytest.approx(length, abs=1e-3)


def test_a_circle_of_beziers_is_round_to_the_sagitta(make: Maker) -> None:
    k, r = 0.5522847, 30.0
    path = f"{r} 0 m {r} {k * r} {k * r} {r} 0 {r} c {-k * r} {r} {-r} {k * r} {-r} 0 c S"
    strokes = read_sheet(make("1 0 0 1 100 50 cm " + path), 1).strokes
    middle = (strokes.xy[:, :2] + strokes.xy[:, 2:]) / 2
    away = np.hypot(middle[:, 0] - 100, middle[:, 1] - 50)
    assert np.all(np.abs(away - r) < SAGITTA_PT + 0.01)  # the Bezier itself is off by 0.03 % of the radius
    assert sorted(set(strokes.curve.tolist())) == [0, 1]
    assert np.allclose(strokes.xy[1:, :2], strokes.xy[:-1, 2:], atol=1e-6), "chords follow one another"


# Coordinates of a PDF carry a few decimals; GEOS itself divides by zero on lengths like 1e-170.
@given(st.lists(st.floats(-200, 200).map(lambda v: round(v, 6)), min_size=8, max_size=8))
def test_chords_stay_within_the_sagitta(points: list[float]) -> None:
    bend = np.array([points])
    chords, _ = _chords(bend)
    t = np.linspace(0, 1, 400)[:, None]
    p = bend.reshape(4, 2)
    curve = (1 - t) ** 3 * p[0] + 3 * (1 - t) ** 2 * t * p[1] + 3 * (1 - t) * t * t * p[2] + t**3 * p[3]
    polyline = shapely.linestrings(np.vstack([chords[:, :2], chords[-1:, 2:]]))
    assert shapely.distance(polyline, shapely.points(curve)).max() <= SAGITTA_PT * 1.001


COORDINATE = st.floats(-50, 150, allow_nan=False).map(lambda v: round(v, 3))


@given(st.tuples(COORDINATE, COORDINATE, COORDINATE, COORDINATE))
def test_cutting_agrees_with_an_independent_intersection(segment: tuple[float, ...]) -> None:
    xy = np.array([segment])
    cut, inside = clipped(xy, np.array([[0.0, 0.0, 100.0, 80.0]]))
    other = shapely.LineString(xy.reshape(2, 2)).intersection(shapely.box(0, 0, 100, 80))
    assert (lengths(cut)[0] if inside[0] else 0.0) == pytest.approx(other.length, abs=1e-6)


def test_clips_and_the_page_cut_strokes(make: Maker) -> None:
    clip = "q 20 20 30 30 re W n 0 30 m 200 30 l S 100 80 m 150 80 l S Q -10 50 m 10 50 l S 300 300 m 400 300 l S"
    xy = read_sheet(make(clip), 1).strokes.xy
    assert np.allclose(xy, [[20, 70, 50, 70], [0, 50, 10, 50]])


def test_nested_clips_cut_to_what_they_share(make: Maker) -> None:
    clip = "q 20 20 100 60 re W n q 60 0 100 100 re W n 0 30 m 200 30 l S Q 0 40 m 200 40 l S Q 0 10 m 200 10 l S"
    xy = read_sheet(make(clip), 1).strokes.xy
    assert np.allclose(xy, [[60, 70, 120, 70], [20, 60, 120, 60], [0, 90, 200, 90]])


def test_clips_that_share_nothing_show_nothing(make: Maker) -> None:
    """What lies between them was read."""
    clip = "q 0 0 50 100 re W n 150 0 50 100 re W n 60 20 m 140 20 l S 80 40 9 9 re f Q 0 10 m 200 10 l S"
    sheet = read_sheet(make(clip), 1)
    assert np.allclose(sheet.strokes.xy, [[0, 90, 200, 90]]) and not len(sheet.fills)


def test_clips_that_share_an_area_and_touch_elsewhere_cut_to_the_area(make: Maker) -> None:
    two = "10 10 m 90 10 l 50 60 l h W n 20 5 m 60 5 l 40 30 l h 90 10 m 120 10 l 105 60 l h W n"
    sheet = read_sheet(make(f"q {two} 30 12 20 4 re f 150 60 20 20 re f Q 0 90 m 99 90 l S"), 1)
    assert [area.area for area in sheet.fills.shape] == pytest.approx([80]) and len(sheet.strokes) == 1


def test_forms_in_forms_are_placed_by_all_their_matrices(make: Maker) -> None:
    form = "<</Type/XObject/Subtype/Form/BBox[0 0 100 100]"
    outer = (f"{form}/Matrix[2 0 0 2 0 0]/Resources<</XObject<</B 6 0 R>>>>>>",
             "q 1 0 0 1 5 5 cm /B Do Q 0 0 m 10 0 l S")  # fmt: skip
    inner = (f"{form}/Matrix[0 1 -1 0 0 0]>>", "0 0 m 10 0 l S")
    path = make("q 1 0 0 1 20 10 cm /A Do Q", resources="/XObject<</A 5 0 R>>", objects=(outer, inner))
    assert np.allclose(read_sheet(path, 1).strokes.xy, [[30, 80, 30, 60], [20, 90, 40, 90]])


def test_transparent_strokes_are_left_out(make: Maker) -> None:
    states = "/ExtGState<</N<</CA 0>>/H<</CA .5>>>>"
    assert total(make("/N gs 0 50 m 9 50 l S /H gs " + LINE, resources=states)) == pytest.approx(40)


def test_a_dash_pattern_is_told(make: Maker) -> None:
    strokes = read_sheet(make("[3 2] 1 d 10 10 m 50 10 l S [] 0 d 10 20 m 50 20 l S"), 1).strokes
    assert strokes.dashed.tolist() == [True, False]


@pytest.mark.parametrize("dashes", ["[3 0]", "[3 0 2 0]", "[99999 1]"])
def test_dashes_without_a_gap_are_a_solid_line(make: Maker, dashes: str) -> None:
    """Walls drawn so were dashed, and their room was not closed."""
    assert not read_sheet(make(f"{dashes} 0 d 10 10 m 50 10 l S"), 1).strokes.dashed.any()


def test_points_are_no_strokes_and_wide_ones_are_dots(make: Maker) -> None:
    sheet = read_sheet(make("1 J 4 w 20 20 m 20 20 l S 1 w 40 20 m 40 20 l S 0 J 4 w 60 20 m 60 20 l S " + LINE), 1)
    assert len(sheet.strokes) == 1
    assert len(sheet.fills) == 1
    assert sheet.fills.shape[0].centroid.coords[0] == pytest.approx((20, 80), abs=1e-3)
    assert sheet.fills.shape[0].area == pytest.approx(math.pi * 4, rel=0.03)


def test_annotations_are_not_read(make: Maker) -> None:
    mark = ("<</Type/XObject/Subtype/Form/BBox[0 0 90 90]>>", "0 0 m 80 80 l S")
    page = "/Annots[<</Type/Annot/Subtype/Line/Rect[0 0 90 90]/L[0 0 80 80]/AP<</N 5 0 R>>>>]"
    assert total(make(LINE, page=page, objects=(mark,))) == pytest.approx(40)


def test_a_hatch_cell_is_not_a_drawing(make: Maker) -> None:
    cell = ("<</Type/Pattern/PatternType 1/PaintType 1/TilingType 1/BBox[0 0 9 9]/XStep 9/YStep 9/Resources<<>>>>",
            "0 0 m 9 9 l S")  # fmt: skip
    path = make("/Pattern cs /P scn 10 10 60 40 re f " + LINE, resources="/Pattern<</P 5 0 R>>", objects=(cell,))
    assert total(path) == pytest.approx(40)


def test_a_soft_mask_is_not_a_drawing(make: Maker) -> None:
    group = (
        "<</Type/XObject/Subtype/Form/BBox[0 0 90 90]/Group<</S/Transparency/CS/DeviceGray>>>>",
        "1 G 0 0 m 80 80 l S",
    )
    states = "/ExtGState<</G<</SMask<</S/Luminosity/G 5 0 R>>>>>>"
    assert total(make("/G gs " + LINE, resources=states, objects=(group,))) == pytest.approx(40)


def test_resources_that_name_the_form_that_they_are_of_are_no_damage(make: Maker) -> None:
    """Programs that share one dictionary among all forms write so; nothing is drawn in a ring."""
    form = ("<</Type/XObject/Subtype/Form/BBox[0 0 200 100]/Resources 6 0 R>>", LINE)
    names = "".join(f"/X{k} 5 0 R" for k in range(9))  # the complaint comes again and again
    path = make("/X0 Do", resources=f"/XObject<<{names}>>", objects=(form, f"<</XObject<<{names}>>>>"))
    sheet = read_sheet(path, 1)
    assert total(path) == pytest.approx(40) and sheet.damage is None


# ---------------------------------------------------------------------------------------------------- fills


@pytest.mark.parametrize(
    ("painted", "area"),
    [
        ("10 10 40 20 re f", 800),
        ("10 10 50 50 re 20 20 20 20 re f*", 2100),
        ("10 10 50 50 re 20 20 20 20 re f", 2500),  # both run the same way: nonzero fills the inner one too
        ("10 10 50 50 re 20 20 m 20 40 l 40 40 l 40 20 l h f", 2100),
        ("10 10 m 50 10 l 50 30 l f", 400),  # an open path is closed by filling
        ("10 10 m 50 50 l 50 10 l 10 50 l h f", 800),  # a bow tie
        ("10 10 20 20 re 50 10 20 20 re f", 800),
        ("q 0 0 20 100 re W n 10 10 40 20 re f Q", 200),
        ("-30 10 40 20 re f", 200),
    ],
)
def test_areas_follow_the_fill_rule_and_the_clip(make: Maker, painted: str, area: float) -> None:
    fills = read_sheet(make(painted), 1).fills
    assert len(fills) == 1
    assert fills.shape[0].is_valid
    assert fills.shape[0].area == pytest.approx(area, rel=1e-4)


@pytest.mark.parametrize(
    "spiked",
    [
        "10 10 m 30 10 l 30 30 l 50 50 l 30 30 l 10 30 l h f",  # goes out along a line and comes back on it
        "10 10 m 20 30 l 15 20 l 30 20 l h f",
        "0 0 30 30 re W n 10 10 m 20 10 l 20 30 l 40 30 l 40 50 l 10 50 l h f",  # touches its clip along a line
    ],
)
def test_a_fill_is_nothing_but_areas(make: Maker, spiked: str) -> None:
    fills = read_sheet(make(spiked), 1).fills
    assert len(fills) == 1
    assert {part.geom_type for part in shapely.get_parts(fills.shape)} == {"Polygon"}
    assert fills.shape[0].is_valid


def test_a_path_that_is_filled_and_stroked_is_both(make: Maker) -> None:
    sheet = read_sheet(make("0 1 0 rg 1 0 0 RG 10 10 40 20 re B"), 1)
    assert (len(sheet.strokes), len(sheet.fills)) == (4, 1)
    assert sheet.strokes.path[0] == sheet.fills.path[0]
    assert sheet.fills.colour.tolist() == [[0, 1, 0]]
    assert not sheet.strokes.covered.any(), "a path does not hide its own outline"


def test_a_later_opaque_fill_covers_and_an_earlier_one_does_not(make: Maker) -> None:
    drawn = "1 g 0 0 200 100 re f 20 20 m 30 20 l S 1 g 10 10 50 50 re f 20 40 m 30 40 l S 0 90 m 200 90 l S"
    strokes = read_sheet(make(drawn), 1).strokes
    assert strokes.covered.tolist() == [True, False, False]
    assert strokes.ink().tolist() == [False, True, True]


def test_an_area_that_was_painted_out_is_gone_and_others_stay(make: Maker) -> None:
    dark, white, veil = "0 g 20 20 20 20 re f ", "1 g 10 10 40 40 re f ", "/H gs "
    states = "/ExtGState<</H<</ca .5>>>>"
    for content, left in (
        (dark + white, 1),
        (white + dark, 2),
        (dark + veil + white, 2),
        (dark + white.replace("1 g", ".5 g"), 2),
        (dark + white.replace("40 40", "25 40"), 2),
    ):
        assert len(read_sheet(make(content + LINE, resources=states), 1).fills) == left


def test_the_rim_of_a_half_filled_circle_is_not_covered(make: Maker) -> None:
    """The chords of the rim lie a hair inside the half disc that is painted over them."""
    turns = np.linspace(0, 2 * np.pi, 49)
    rim = [f"{100 + 8.5 * np.cos(t):.4f} {60 + 8.5 * np.sin(t):.4f}" for t in turns]
    half = [f"{100 + 8.503 * np.cos(t):.4f} {60 + 8.503 * np.sin(t):.4f}" for t in turns[:25]]
    content = f"0.6 w {rim[0]} m " + " ".join(f"{p} l" for p in rim[1:]) + " S "
    content += "95 62 m 105 62 l S "  # under the paint
    content += f"0 g {half[0]} m " + " ".join(f"{p} l" for p in half[1:]) + " h f"
    strokes = read_sheet(make(content), 1).strokes
    assert strokes.covered.tolist() == [*[False] * 48, True]


def test_a_see_through_fill_covers_nothing(make: Maker) -> None:
    path = make("20 20 m 30 20 l S /H gs 0 0 100 100 re f", resources="/ExtGState<</H<</ca .5>>>>")
    assert not read_sheet(path, 1).strokes.covered.any()


def test_white_strokes_are_kept_and_are_no_ink(make: Maker) -> None:
    strokes = read_sheet(make("1 1 1 RG 10 10 m 50 10 l S 0 0 0 RG " + LINE), 1).strokes
    assert strokes.ink().tolist() == [False, True]


# --------------------------------------------------------------------------------------------------- layers

GROUPS = ("<</Type/OCG/Name(WALLS)>>", "<</Type/OCG/Name(HIDDEN)>>")
USED = "/Properties<</L1 5 0 R/L2 6 0 R/M 7 0 R>>"


def layered(tag: str) -> str:
    return f"/OC /{tag} BDC 0 10 m 9 10 l S EMC {LINE}"


@pytest.mark.parametrize(
    ("default", "tag", "shown"),
    [
        ("/OFF[6 0 R]", "L1", True),
        ("/OFF[6 0 R]", "L2", False),
        ("/BaseState/OFF/ON[6 0 R]", "L1", False),
        ("/BaseState/OFF/ON[6 0 R]", "L2", True),
        ("", "L2", True),
    ],
)
def test_layers_that_are_off_are_left_out(make: Maker, default: str, tag: str, shown: bool) -> None:
    catalog = f"/OCProperties<</OCGs[5 0 R 6 0 R]/D<<{default}>>>>"
    path = make(layered(tag), resources=USED, catalog=catalog, objects=(*GROUPS, "null"))
    sheet = read_sheet(path, 1)
    assert len(sheet.strokes) == 1 + shown
    if shown:
        assert sheet.layers[sheet.strokes.layer[0]] == ("WALLS" if tag == "L1" else "HIDDEN")
    assert sheet.strokes.layer[-1] == -1


@pytest.mark.parametrize(
    ("membership", "shown"),
    [
        ("/OCGs[5 0 R 6 0 R]/P/AllOn", False),
        ("/OCGs[5 0 R 6 0 R]/P/AnyOn", True),
        ("/OCGs[5 0 R 6 0 R]", True),
        ("/OCGs[5 0 R 6 0 R]/P/AnyOff", True),
        ("/OCGs[5 0 R 6 0 R]/P/AllOff", False),
        ("/OCGs 6 0 R/P/AllOff", True),
        ("/OCGs 6 0 R", False),
        ("/OCGs[]", True),
        ("/VE[/Not 6 0 R]", True),
        ("/VE[/And 5 0 R[/Not 6 0 R]]", True),
        ("/VE[/Or 6 0 R[/Not 5 0 R]]", False),
    ],
)
def test_memberships_follow_the_standard(make: Maker, membership: str, shown: bool) -> None:
    catalog = "/OCProperties<</OCGs[5 0 R 6 0 R]/D<</OFF[6 0 R]>>>>"
    path = make(
        layered("M"), resources=USED, catalog=catalog, objects=(*GROUPS, f"<</Type/OCMD{membership}>>")
    )  # fmt: skip
    assert len(read_sheet(path, 1).strokes) == 1 + shown


def test_usage_counts_only_where_the_viewer_is_told_to_apply_it(make: Maker) -> None:
    off = "<</Type/OCG/Name(X)/Usage<</View<</ViewState/OFF>>>>>>"
    for application, shown in (("", True), ("/AS[<</Event/View/OCGs[5 0 R]/Category[/View]>>]", False)):
        catalog = f"/OCProperties<</OCGs[5 0 R]/D<<{application}>>>>"
        path = make(layered("L1"), resources=USED, catalog=catalog, objects=(off, "null", "null"))
        assert len(read_sheet(path, 1).strokes) == 1 + shown


def test_a_form_on_a_layer_that_is_off_is_left_out_with_its_text(make: Maker) -> None:
    form = ("<</Type/XObject/Subtype/Form/BBox[0 0 100 100]/OC 6 0 R/Resources<</Font<</F 8 0 R>>>>>>",
            "0 0 m 10 5 l S BT /F 9 Tf 5 5 Td (GONE) Tj ET")  # fmt: skip
    font = "<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>"
    catalog = "/OCProperties<</OCGs[5 0 R 6 0 R]/D<</OFF[6 0 R]>>>>"
    path = make("/A Do " + LINE, resources="/XObject<</A 7 0 R>>", catalog=catalog, objects=(*GROUPS, form, font))
    sheet = read_sheet(path, 1)
    assert len(sheet.strokes) == 1
    assert not sheet.words


def polyline(points: np.ndarray) -> str:
    start, *rest = [f"{x:.4f} {y:.4f}" for x, y in points]
    return f"{start} m " + " ".join(f"{point} l" for point in rest) + " S "


def test_a_line_of_many_points_is_one_line_and_a_flat_curve_stays(make: Maker) -> None:
    across = np.linspace((10, 10), (190, 70), 400)
    there = read_sheet(make(polyline(across)), 1).strokes.xy
    assert there == pytest.approx(np.array([[10.0, 90.0, 190.0, 30.0]]), abs=1e-3)
    corner = np.concatenate([np.linspace((10, 10), (60, 10), 50), np.linspace((60, 10), (60, 40), 40)[1:]])
    assert len(read_sheet(make(polyline(corner)), 1).strokes) == 2
    angle = np.linspace(0, math.pi, 900)
    arch = np.column_stack([100 + 80 * np.cos(angle), 10 + 30 * np.sin(angle)])
    assert len(read_sheet(make(polyline(arch)), 1).strokes) > 800
    assert len(read_sheet(make(" ".join(polyline(across[k : k + 2]) for k in range(9))), 1).strokes) == 9


@given(
    st.lists(st.tuples(st.integers(0, 400), st.integers(0, 400)), min_size=2, max_size=8),
    st.floats(0.2, 5.0),
)
def test_whole_lines_cover_the_same_ink(corners: list[tuple[int, int]], longest: float) -> None:
    ends = np.array([corners[0], *(two for one, two in pairwise(corners) if one != two), (500, 500)], float)
    points = [ends[:1]]
    for one, two in pairwise(ends):
        count = max(1, math.ceil(float(np.hypot(*(two - one))) / longest))
        points.append(one + (two - one) * np.linspace(0, 1, count + 1)[1:, None])
    line = np.concatenate(points)
    xy = np.c_[line[:-1], line[1:]]
    none = np.full(len(xy), -1)
    joined, keep = whole_lines(xy, np.zeros(len(xy), np.int64), none)
    before, after = (shapely.union_all(shapely.linestrings(rows.reshape(-1, 2, 2))) for rows in (xy, joined[keep]))
    assert keep.sum() <= len(xy) and shapely.hausdorff_distance(before, after) < 0.03
    assert whole_lines(xy, np.zeros(len(xy), np.int64), np.zeros(len(xy), np.int64))[1].all()


@pytest.mark.parametrize("sides", [24, 128, 360])
def test_a_circle_of_many_chords_is_no_straight_line(make: Maker, sides: int) -> None:
    """Each chord goes on as the one before, and the last ends where the first began: all circles were lost."""
    turn = np.linspace(0, 2 * np.pi, sides + 1)
    points = "".join(
        f"{50 + 6 * c:.4f} {50 + 6 * s:.4f} l " for c, s in zip(np.cos(turn), np.sin(turn), strict=True)
    )
    assert total(make(f"56 50 m {points} S")) == pytest.approx(12 * math.pi, rel=0.01)


@pytest.mark.parametrize(("dashes", "shown"), [
    ("[0 5] 0 d", 0), ("[0 5] 0 d 1 J 2 w", 40), ("[1 1000] 500 d", 0), ("[5 300] 10 d", 0), ("[10 300] 0 d", 10),
    ("[10 30] 30 d", 10), ("[4 2] 0 d", 40), ("[0 0] 0 d", 40),
])  # fmt: skip
def test_dashes_that_show_nothing_are_no_ink(make: Maker, dashes: str, shown: float) -> None:
    """A line that lies in a gap of its dashes was a wall, or the bar of an outlet."""
    assert total(make(f"{LINE} 1 0 0 1 0 -10 cm {dashes} {LINE}")) == pytest.approx(40 + shown)


def test_the_outline_of_a_fill_lies_in_the_gaps_of_its_own_dashes(make: Maker) -> None:
    sheet = read_sheet(make(f"q [1 900] 500 d 10 50 40 20 re B Q {LINE}"), 1)
    assert sheet.strokes.xy.tolist() == [[10, 80, 50, 80]] and len(sheet.fills) == 1


# ------------------------------------------------------------------------------------------------- of no width

RING = "30 30 20 20 re "
BACK = "30 30 m 30 50 l 50 50 l 50 30 l h "  # the same outline the other way round


@pytest.mark.parametrize(
    "area", ["20 20 40 0 re f", "20 20 m 60 20 l f", "20 20 m 60 20 l h f*", "20 20 m 60 60 l 40 40 l f"]
)
def test_areas_of_no_width_are_hairlines_of_which_it_is_not_sure_who_sees_them(make: Maker, area: str) -> None:
    """PDFium and Ghostscript draw them, as the standard says, MuPDF does not: they were lost with nothing said."""
    sheet = read_sheet(make(LINE + area), 1)
    assert sheet.strokes.ink().sum() >= 2
    assert not len(sheet.fills)
    assert any("areas of no width" in said for said in sheet.assumptions)


@pytest.mark.parametrize(
    ("area", "seen"),
    [
        (f"{RING} {RING} f*", False), (f"{RING} {RING} {RING} f*", True), (f"{RING} {BACK} f", False),
        (f"{RING} {RING} f", True), (f"{BACK} {RING} {RING} f", True),
        (f"q {RING} {RING} W* n 0 0 200 100 re f Q", False), (f"q {RING} {BACK} W n 0 0 200 100 re f Q", False),
        (f"q {RING} {RING} W n 0 0 200 100 re f Q", True),
    ],
)  # fmt: skip
def test_an_outline_that_undoes_itself_paints_and_hides_nothing(make: Maker, area: str, seen: bool) -> None:
    """White of this kind hid what lies there, and through such a clip ink was read that nobody sees."""
    assert bool(len(read_sheet(make(LINE + area), 1).fills)) == seen
    below = read_sheet(make(f"{LINE} 35 40 m 45 40 l S 1 g {area}"), 1)
    assert below.strokes.ink().sum() == (1 if seen else 2)
