"""Pages that draw their lines as thin filled rectangles."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cordpath.geometry import lengths
from cordpath.sheet import read_sheet
from cordpath.sheet.ink.pen_areas import FEWEST, middles, tracks

Maker = Callable[..., Path]


def track(x: float, y: float, length: float, width: float, angle: float) -> str:
    """A filled rectangle from (x, y) along an angle, degrees, as operators."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    across = (-s * width / 2, c * width / 2)
    ends = [(x, y), (x + c * length, y + s * length)]
    corners = [(u + k * across[0], v + k * across[1]) for k, (u, v) in ((1, ends[0]), (1, ends[1]), (-1, ends[1]))]
    corners.append((ends[0][0] - across[0], ends[0][1] - across[1]))
    first, *rest = [f"{u:.4f} {v:.4f}" for u, v in corners]
    return f"{first} m " + " ".join(f"{at} l" for at in rest) + " h f "


def page_of(count: int) -> str:
    return "".join(track(10 + 6 * (k % 30), 10 + 4 * (k // 30), 5.0, 0.5, 17.0 * k) for k in range(count))


def test_tracks_of_a_pen_are_strokes_where_the_page_is_drawn_so(make: Maker) -> None:
    sheet = read_sheet(make(page_of(FEWEST + 40) + "150 90 20 8 re f "), 1)
    assert len(sheet.strokes) == FEWEST + 40 and len(sheet.fills) == 1
    assert lengths(sheet.strokes.xy) == pytest.approx(np.full(FEWEST + 40, 5.0), abs=0.01)
    assert sheet.strokes.width == pytest.approx(np.full(FEWEST + 40, 0.5), abs=0.01)
    assert any("thin filled areas" in said for said in sheet.assumptions)


def test_a_few_thin_fills_beside_strokes_stay_fills(make: Maker) -> None:
    few = read_sheet(make(page_of(60)), 1)
    assert len(few.strokes) == 0 and len(few.fills) == 60
    assert any("60 filled areas of this page are as thin as lines" in said for said in few.assumptions)
    strokes = "".join(f"{10 + k % 100} 10 m {10 + k % 100} 60 l S " for k in range(300))
    both = read_sheet(make(page_of(FEWEST + 40) + strokes), 1)
    assert len(both.fills) == FEWEST + 40
    assert not any("thin filled areas" in said for said in both.assumptions)


def test_a_page_of_strokes_with_a_few_thin_fills_or_stems_of_letters_says_nothing_of_them(make: Maker) -> None:
    stems = "".join(f"{10 + k % 100} 10 m {10 + k % 100} 60 l S " for k in range(30)) + page_of(60)
    for page in (STROKED + page_of(60), stems, page_of(10)):
        assert not any("thin as lines" in said for said in read_sheet(make(page), 1).assumptions)


STROKED = "".join(f"{10 + k % 100} 10 m {10 + k % 100} 22 l S " for k in range(300))  # the page has strokes too


def lines_of_a_pen(lengths_pt: list[float]) -> str:
    """Long tracks of one pen, and short ones of the same pen."""
    every = enumerate([*lengths_pt, *[4.0] * 20])
    return "".join(track(20, 4 + k, length, 0.4, 2.0 * (k % 7)) for k, length in every)


def test_the_straight_lines_alone_are_tracks_of_pens(make: Maker) -> None:
    """As browsers print boxes; a filled bar of another breadth, which no line has, stays a fill."""
    sheet = read_sheet(make(STROKED + lines_of_a_pen([20.0 + k for k in range(50)]) + "150 90 8 1 re f "), 1)
    assert (len(sheet.strokes), len(sheet.fills)) == (300 + 50 + 20, 1)
    assert any("thin filled areas: 70 of them" in said for said in sheet.assumptions)


@pytest.mark.parametrize("lengths_pt", [[30.0] * 60, [20.0 + k for k in range(30)]])
def test_strips_of_few_lengths_and_the_rules_of_a_table_are_no_sign_of_it(
    make: Maker, lengths_pt: list[float]
) -> None:
    sheet = read_sheet(make(STROKED + lines_of_a_pen(lengths_pt)), 1)
    assert (len(sheet.strokes), len(sheet.fills)) == (300, len(lengths_pt) + 20)


def test_a_page_that_strokes_its_lines_keeps_its_thin_areas(make: Maker) -> None:
    walls = "".join(f"{10 + k % 100} 10 m {10 + k % 100} 60 l S " for k in range(300))
    sheet = read_sheet(make(walls + lines_of_a_pen([20.0 + k for k in range(50)])), 1)
    assert (len(sheet.strokes), len(sheet.fills)) == (300, 70)


@given(st.floats(0, 360), st.floats(1.0, 50.0), st.floats(0.1, 0.9))
def test_the_middle_runs_along_the_long_side(angle: float, length: float, slim: float) -> None:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    width = length * slim
    local = np.array([(0, -width / 2), (length, -width / 2), (length, width / 2), (0, width / 2)])
    corner = local @ np.array([[c, s], [-s, c]])
    for start in range(4):
        xy, wide = middles(np.roll(corner, start, axis=0)[None])
        ends = sorted(map(tuple, xy.reshape(2, 2).round(6)))
        assert np.array(ends) == pytest.approx(np.array(sorted([(0.0, 0.0), (c * length, s * length)])), abs=1e-5)
        assert wide[0] == pytest.approx(width)


def dashes(x: float, y: float, length: float, angle: float, pattern: tuple[float, float] = (1.6, 1.1)) -> str:
    """A dashed line as thin filled rectangles, without the painting operator."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    starts = np.arange(0.0, length, sum(pattern))
    return "".join(
        track(x + c * d, y + s * d, min(pattern[0], length - d), 0.5, angle).removesuffix("f ") for d in starts
    )


@pytest.mark.parametrize("angle", [0.0, 33.0, 90.0, 250.0])
def test_dashes_of_one_path_are_dashed_lines(make: Maker, angle: float) -> None:
    """A browser's print of a dashed device among solid lines, and its stem, too short for two dashes."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    box = dashes(100, 60, 9.4, angle) + dashes(100 + 9.4 * c, 60 + 9.4 * s, 9.4, angle + 90)
    sheet = read_sheet(make("10 10 m 90 10 l S " + box + "f " + track(50, 50, 1.4, 0.5, angle)), 1)
    assert len(sheet.fills) == 0 and sheet.strokes.dashed.tolist() == [False, True, True, True]
    assert lengths(sheet.strokes.xy)[1:] == pytest.approx([9.4, 9.4, 1.4], abs=0.05)
    assert sheet.strokes.width[1:] == pytest.approx(np.full(3, 0.5), abs=0.01)


@pytest.mark.parametrize(
    "body",
    [
        track(20, 20, 6.0, 0.6, 0.0).removesuffix("f ") + track(20, 23, 6.0, 0.6, 0.0),  # an equals sign
        "".join(track(20 + 3 * k, 20, 2.0, w, 90.0).removesuffix("f ") for k, w in enumerate((0.5, 0.9, 1.4)))
        + "f ",
        "".join(track(20 + 3 * k, 20, 2.0 + 3 * k, 0.5, 90.0).removesuffix("f ") for k in range(6)) + "f ",
        dashes(20, 20, 20, 0.0) + "60 60 20 20 re f ",
    ],
)
def test_other_paths_of_several_areas_stay_areas(make: Maker, body: str) -> None:
    sheet = read_sheet(make("10 10 m 90 10 l S " + body), 1)
    assert len(sheet.fills) == 1 and len(sheet.strokes) == 1


@pytest.mark.parametrize("start", [0.0, 11.0])
def test_dashes_along_a_circle_are_lines_along_it(make: Maker, start: float) -> None:
    """Sectors of a ring, as a browser prints a dashed circle, the last one cut short: a whole circle."""
    body, turn = "", 33.0
    for k, span in enumerate((20.0,) * 10 + (7.0,)):
        at = [math.radians(start + turn * k + span * t / 4) for t in range(5)]
        polar = [(r, a) for r, way in ((5.0, 1), (4.5, -1)) for a in at[::way]]
        points = [(50 + r * math.cos(a), 50 + r * math.sin(a)) for r, a in polar]
        first, *rest = [f"{x:.4f} {y:.4f}" for x, y in points]
        body += f"{first} m " + " ".join(f"{p} l" for p in rest) + " h "
    sheet = read_sheet(make("10 10 m 90 10 l S " + body + "f "), 1)
    assert len(sheet.fills) == 0 and len(sheet.strokes) > 20
    middle = sheet.strokes.xy[1:].reshape(-1, 2)
    assert np.hypot(middle[:, 0] - 50, middle[:, 1] - 50) == pytest.approx(np.full(len(middle), 4.75), abs=0.06)
    assert (
        sheet.strokes.width[1:] == pytest.approx(np.full(len(middle) // 2, 0.5), abs=0.02)
        and sheet.strokes.dashed[1:].all()
    )
    assert lengths(sheet.strokes.xy)[1:].sum() == pytest.approx(2 * math.pi * 4.75, rel=0.01)


def test_the_short_sides_of_a_dashed_box_reach_their_corners(make: Maker) -> None:
    """Of a side hardly longer than a dash one dash is left between the bent ones at its corners."""
    straight = track(61.6, 60, 1.4, 0.5, 0) + track(64, 60, 1.4, 0.5, 0) + track(66.4, 60, 1.4, 0.5, 0)
    straight += track(69, 61.2, 1.4, 0.5, 90) + track(66.4, 63.6, 1.4, 0.5, 180) + track(64, 63.6, 1.4, 0.5, 180)
    straight += track(60, 62.4, 1.4, 0.5, 270)
    sheet = read_sheet(make("10 10 m 90 10 l S " + straight.replace("f ", "") + "f "), 1)
    box = sheet.strokes.xy[1:]
    assert len(sheet.fills) == 0 and len(box) == 4
    assert lengths(box).sum() == pytest.approx(2 * (9.0 + 3.6), abs=0.1)


@pytest.mark.parametrize(
    ("corners", "told"),
    [
        ([(0, 0), (9, 0), (9, 1), (0, 1)], True),
        ([(0, 0), (6.36, 6.36), (5.66, 7.07), (-0.71, 0.71)], True),  # the same, turned
        ([(0, 0), (1, 0), (1, 1), (0, 1)], False),  # which way it was drawn cannot be told
        ([(0, 0), (1.1, 0), (1.1, 1), (0, 1)], True),
        ([(0, 0), (30, 0), (30, 3), (0, 3)], False),  # broader than a pen
        ([(0, 0), (9, 0), (9.5, 1), (0.5, 1)], False),  # askew
        ([(0, 0), (9, 0), (8.5, 1), (0.5, 1)], False),  # a wedge
        ([(0, 0), (9, 0), (9, 1)], False),
    ],
)
def test_which_areas_are_tracks_of_a_pen(corners: list[tuple[float, float]], told: bool) -> None:
    shape = np.array([shapely.Polygon(corners)], object)
    assert tracks(shape, np.array([True]))[1].tolist() == [told]
    assert not tracks(shape, np.array([False]))[1].any(), "what lies beneath shines through"


CIRCLE = "5 0 m 5 2.76 2.76 5 0 5 c -2.76 5 -5 2.76 -5 0 c -5 -2.76 -2.76 -5 0 -5 c 2.76 -5 5 -2.76 5 0 c S"


@pytest.mark.parametrize(("width", "lines"), [(1.0, 3), (1.3, 0)])
def test_bars_at_a_circle_are_lines_where_they_have_its_pen(make: Maker, width: float, lines: int) -> None:
    """A plain circle was a light for certain, and its bars, as wide as its pen, were areas beside it: an outlet was
    lost, and nothing said so."""
    bars = track(48, 54, 8, width, 90) + track(52, 54, 8, width, 90) + track(46, 62, 8, width, 0)  # the last across
    away = track(120, 20, 8, width, 90)  # a letter's stem, as far as anybody can tell
    sheet = read_sheet(make(f"1 w q 1 0 0 1 50 50 cm {CIRCLE} Q {bars} {away}"), 1)
    assert (sheet.strokes.curve < 0).sum() == lines and len(sheet.fills) == 4 - lines
    assert len(sheet.bars) == 4 - lines


def round_ended(x0: float, y0: float, x1: float, y1: float, pen: float = 0.5) -> str:
    """A dash with half discs at its ends, as an area without the painting operator."""
    area = shapely.LineString([(x0, y0), (x1, y1)]).buffer(pen / 2, quad_segs=4)
    first, *rest = [f"{x:.4f} {y:.4f}" for x, y in area.exterior.coords[:-1]]
    return f"{first} m " + " ".join(f"{at} l" for at in rest) + " h "


def test_dashes_with_round_ends_are_dashed_lines(make: Maker) -> None:
    """Browsers print dashes of a round cap so: a dashed dishwasher, and a removed device, had no line at all."""
    seam = "119.75 36 m 119.75 40.25 l 124 40.25 l 124 39.75 l 120.25 39.75 l 120.25 36 l h "  # last dash and first
    sides = "".join(round_ended(126.5 + 6.5 * k, 40, 130.5 + 6.5 * k, 40) for k in range(8))
    stem = round_ended(20, 20, 24, 20) + round_ended(26.5, 20, 29, 20)
    sheet = read_sheet(make("0.5 w 10 90 m 60 90 l S " + seam + sides + "f " + stem + "f "), 1)
    drawn = sheet.strokes.xy[sheet.strokes.dashed]
    assert len(sheet.fills) == 0
    ends = sorted(drawn[np.isclose(drawn[:, 1], drawn[:, 3])][:, [0, 2]].min(axis=1))
    assert ends[0] == pytest.approx(20, abs=0.1) and ends[-1] == pytest.approx(126.5, abs=0.1)
    assert lengths(drawn).max() == pytest.approx(49.5, abs=0.1)


@pytest.mark.parametrize("pen", [0.7, 0.885, 0.905, 1.2])
def test_chords_as_short_as_their_pen_is_broad_are_lines_along_their_arc(make: Maker, pen: float) -> None:
    """A half disc of short chords was loose pieces and no body: its outlet was lost, and nothing said so."""
    angle = np.linspace(0, math.pi, 13)
    at = np.c_[100 + 3.4 * np.cos(angle), 60 + 3.4 * np.sin(angle)]
    step = np.diff(at, axis=0)
    far, way = np.hypot(*step.T), np.degrees(np.arctan2(step[:, 1], step[:, 0]))
    arc = "".join(track(*at[k], far[k], pen, way[k]) for k in range(12))
    flat = track(96.6, 60, 6.8, pen, 0.0)
    dot = track(150, 60, pen, pen, 0.0)  # it meets nothing: no line
    sheet = read_sheet(make(page_of(FEWEST + 40) + arc + flat + dot), 1)
    near = np.hypot(*(sheet.strokes.xy[:, :2] - [100, sheet.height - 60]).T) < 4.5
    chords = sheet.strokes.xy[near & (np.abs(sheet.strokes.width - pen) < 0.01)]
    assert np.sort(lengths(chords)) == pytest.approx([*far, 6.8], abs=0.01)
    assert len(sheet.fills) == 1
