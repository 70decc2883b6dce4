"""Symbols among loose strokes: found where they are, told from their twins, and never lost without a word."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.geometry import Similarity
from cordpath.model import (
    ArcMark,
    CircleMark,
    Drawing,
    Fills,
    Kind,
    LabelEntry,
    LineMark,
    Mapping,
    Mark,
    PolylineMark,
    Region,
    Scale,
    Sheet,
    Spotting,
    Strokes,
    SymbolEntry,
    TextMark,
    View,
    Word,
)  # fmt: skip
from cordpath.symbols import spot

GRID = 0.12  # pt, 1/600 in
R = 0.0625  # in
DUPLEX = (CircleMark((0, 0), R), LineMark((-0.1, 0.025), (0.1, 0.025)), LineMark((-0.1, -0.025), (0.1, -0.025)))
QUAD = (*DUPLEX, LineMark((0.025, -0.1), (0.025, 0.1)), LineMark((-0.025, -0.1), (-0.025, 0.1)))
ONE_SIDED = (CircleMark((0, 0), R), LineMark((0.02, 0.0), (0.02, 0.12)), LineMark((-0.02, 0.0), (-0.02, 0.12)))


def entry(name: str, shape: Sequence[Mark], kind: str = "receptacle", **more: object) -> SymbolEntry:
    return SymbolEntry(name, kind, shape=tuple(shape), **more)  # type: ignore[arg-type]


def strokes_of(
    marks: Sequence[Mark], pose: Similarity, unit: float = 72.0, sides: int = 24, grid: float = 0.0
) -> np.ndarray:
    """(n, 4) strokes of marks drawn at a pose; circles of ``sides`` chords, rounded to ``grid``."""
    lines: list[np.ndarray] = []
    for mark in marks:
        if isinstance(mark, LineMark):
            points = np.array([mark.start, mark.end])
        elif isinstance(mark, CircleMark):
            a = np.linspace(0, 2 * np.pi, sides + 1) + 0.1
            points = np.array(mark.center) + mark.radius * np.c_[np.cos(a), np.sin(a)]
        elif isinstance(mark, ArcMark):
            a = -np.radians(np.linspace(mark.start, mark.start + ((mark.end - mark.start) % 360 or 360), sides))
            points = np.array(mark.center) + mark.radius * np.c_[np.cos(a), np.sin(a)]
        elif isinstance(mark, PolylineMark):
            points = np.array([*mark.points, mark.points[0]] if mark.closed else mark.points)
        else:
            continue
        placed = replace(pose, scale=pose.scale * unit).apply(points)
        lines.append(np.c_[placed[:-1], placed[1:]])
    xy = np.concatenate(lines)
    return np.round(xy / grid) * grid if grid else xy


def sheet_of(
    xy: np.ndarray | Sequence[np.ndarray],
    words: Sequence[Word] = (),
    *,
    fills: Fills | None = None,
    layer: np.ndarray | None = None,
    layers: tuple[str, ...] = (),
    views: tuple[View, ...] = (),
    regions: tuple[Region, ...] = (),
    side: float = 600.0,
) -> Sheet:
    rows = xy if isinstance(xy, np.ndarray) else np.concatenate([np.reshape(x, (-1, 4)) for x in xy])
    strokes = Strokes.of(rows)
    if layer is not None:
        strokes = replace(strokes, layer=layer)
    views = views or (View("v1", "PLAN", (0, 0, side, side)),)
    return Sheet(
        "s.pdf", 1, "E1", None, side, side, strokes, fills or Fills.none(), tuple(words), layers, views, regions
    )


def in_pieces(xy: np.ndarray, longest: float) -> np.ndarray:
    """The strokes cut into equal pieces: polylines with far more points than they need."""
    out = []
    for row in xy:
        count = max(1, math.ceil(float(np.hypot(*(row[2:] - row[:2]))) / longest))
        points = row[:2] + (row[2:] - row[:2]) * np.linspace(0, 1, count + 1)[:, None]
        out.append(np.c_[points[:-1], points[1:]])
    return np.concatenate(out)


def word(text: str, x: float, y: float, size: float = 6.0, line: int = 0) -> Word:
    w = 0.3 * size * len(text)
    return Word(text, (x - w, y - size / 2, x + w, y + size / 2), 0.0, size, line)


def at(x: float, y: float, angle: float = 0.0, mirrored: bool = False, scale: float = 1.0) -> Similarity:
    return Similarity(scale, angle, mirrored, (x, y))


def rules(*entries: SymbolEntry, **drawing: object) -> Mapping:
    labels = (LabelEntry("WP", (("weatherproof", True),)),)
    return Mapping("m.yaml", Drawing(**drawing), entries, labels)  # type: ignore[arg-type]


def names(result: Spotting, found: bool | None = True) -> list[str]:
    return sorted(s.entry.name for s in result.symbols if found is None or s.found is found)


# ------------------------------------------------------------------------------------------------ finding


@settings(max_examples=30, deadline=None)
@given(
    x=st.floats(60, 540), y=st.floats(60, 540), angle=st.floats(0, 359.9), mirrored=st.booleans(),
    scale=st.floats(0.955, 1.045), sides=st.sampled_from([12, 16, 24, 36, 64]), grid=st.sampled_from([0.0, GRID]),
)  # fmt: skip
def test_a_symbol_is_found_at_any_pose(
    x: float, y: float, angle: float, mirrored: bool, scale: float, sides: int, grid: float
) -> None:
    shape = (*ONE_SIDED, LineMark((0.02, 0.12), (0.05, 0.12)))  # no symmetry at all
    pose = at(x, y, angle, mirrored, scale)
    result = spot(sheet_of(strokes_of(shape, pose, sides=sides, grid=grid)), rules(entry("a", shape)), ())
    assert names(result) == ["a"]
    symbol = result.symbols[0]
    assert np.hypot(symbol.at[0] - x, symbol.at[1] - y) < 0.25
    assert symbol.mirrored == mirrored
    assert abs((symbol.angle - angle + 180) % 360 - 180) < 1.5
    assert abs(symbol.drawn_size - scale) < 0.02
    assert len(symbol.strokes) == len(strokes_of(shape, pose, sides=sides))


@pytest.mark.parametrize("angle", [0.0, 90.0, 180.0, 270.0, 33.0])
@pytest.mark.parametrize("stub", [0.006, 0.01, 0.012])
def test_a_stub_shorter_than_a_point_does_not_hide_its_circle(angle: float, stub: float) -> None:
    """The stub gave the only poses that were tried, and its direction is noise on a sheet: none was found."""
    shape = (CircleMark((0, 0), 0.11), TextMark("REC", (0, 0)), LineMark((0, -0.11 - stub), (0, -0.11)))
    sheet = sheet_of(strokes_of(shape, at(300, 300, angle)), [word("REC", 300, 300, 5)])
    assert names(spot(sheet, rules(entry("receptacle", shape)), ())) == ["receptacle"]


@pytest.mark.parametrize("sides", [8, 10, 16, 32, 64])
def test_circles_of_few_and_many_sides(sides: int) -> None:
    xy = [
        strokes_of(DUPLEX, at(100, 100, 20), sides=sides),
        strokes_of(DUPLEX, at(300, 200, 0), sides=sides, grid=GRID),
    ]
    assert names(spot(sheet_of(xy), rules(entry("duplex", DUPLEX)), ())) == ["duplex", "duplex"]


@pytest.mark.parametrize("radius_pt", [1.8, 2.4, 4.5, 9.0])
def test_symbols_of_all_sizes_on_a_plotters_grid(radius_pt: float) -> None:
    k = radius_pt / 72 / R
    shape = tuple(
        CircleMark(m.center, m.radius * k) if isinstance(m, CircleMark)
        else LineMark((m.start[0] * k, m.start[1] * k), (m.end[0] * k, m.end[1] * k))
        for m in DUPLEX
    )  # fmt: skip
    xy = [strokes_of(shape, at(100 + 40 * i, 100, 17 * i), grid=GRID, sides=24) for i in range(6)]
    assert len(names(spot(sheet_of(xy), rules(entry("duplex", shape)), ()))) == 6


def test_lines_split_doubled_and_run_into_a_wire() -> None:
    circle = strokes_of(DUPLEX[:1], at(200, 200))
    bars = [(192.8, 201.8, 199, 201.8), (199, 201.8, 207.2, 201.8), (192.8, 201.8, 207.2, 201.8),
            (192.8, 198.2, 207.2, 198.2), (207.2, 198.2, 330, 198.2)]  # fmt: skip
    result = spot(sheet_of([circle, circle[::-1], np.array(bars)]), rules(entry("duplex", DUPLEX)), ())
    assert names(result) == ["duplex"]
    assert len(result.symbols[0].strokes) == 2 * len(circle) + 4  # the wire is not the symbol's


def test_bezier_chords_and_shuffled_pieces() -> None:
    xy = np.concatenate([strokes_of(QUAD, at(80 + 60 * k, 150, 33 * k), sides=40, grid=GRID) for k in range(8)])
    xy = xy[np.random.default_rng(3).permutation(len(xy))]
    flip = np.random.default_rng(4).random(len(xy)) < 0.5
    xy[flip] = xy[flip][:, [2, 3, 0, 1]]
    assert names(spot(sheet_of(xy), rules(entry("quad", QUAD)), ())) == ["quad"] * 8


def test_wide_ranges_of_size() -> None:
    sizes = (0.6, 0.75, 0.9, 1.1, 1.35, 1.6)
    xy = [strokes_of(DUPLEX, at(60 + 80 * k, 150, 50 * k, scale=s)) for k, s in enumerate(sizes)]
    result = spot(sheet_of(xy), rules(entry("duplex", DUPLEX, scales=(0.6, 1.6))), ())
    drawn = [s.drawn_size for s in sorted(result.symbols, key=lambda s: s.at)]
    assert np.allclose(drawn, sizes, rtol=0.012)
    assert names(result) == ["duplex"] * 6


def test_arcs_run_counter_clockwise_as_seen() -> None:
    shape = (ArcMark((0, 0), 0.1, 0, 90), LineMark((0, 0), (0.1, 0)), LineMark((0.1, 0), (0.15, 0.05)))
    # first quadrant as seen: up and right, so negative y on the page
    a = np.radians(np.linspace(0, 90, 20))
    points = np.array([200, 200]) + 7.2 * np.c_[np.cos(a), -np.sin(a)]
    xy = np.r_[np.c_[points[:-1], points[1:]], [[200, 200, 207.2, 200], [207.2, 200, 210.8, 203.6]]]
    result = spot(sheet_of(xy), rules(entry("a", shape)), ())
    assert names(result) == ["a"]
    assert (not result.symbols[0].mirrored and abs(result.symbols[0].angle) < 0.5) or result.symbols[
        0
    ].angle > 359.5


def test_strokes_that_nobody_sees_make_no_symbol() -> None:
    strokes = Strokes.of(np.r_[strokes_of(DUPLEX, at(100, 100)), strokes_of(DUPLEX, at(200, 100))])
    half = len(strokes) // 2
    white = replace(strokes, colour=np.where(np.arange(len(strokes))[:, None] < half, 1.0, 0.0) * np.ones(3))
    covered = replace(strokes, covered=np.arange(len(strokes)) < half)
    for hidden in (white, covered):
        result = spot(replace(sheet_of(strokes.xy), strokes=hidden), rules(entry("duplex", DUPLEX)), ())
        assert [round(s.at[0]) for s in result.symbols] == [200]


def test_an_empty_sheet_has_no_symbols() -> None:
    result = spot(
        sheet_of(np.zeros((0, 4))), rules(entry("duplex", DUPLEX), entry("S", [TextMark("S", (0, 0))])), ()
    )
    assert result.symbols == ()


# -------------------------------------------------------------------------------------------------- twins


def test_the_richer_symbol_wins_and_the_simpler_is_still_found_elsewhere() -> None:
    xy = [strokes_of(QUAD, at(100, 100, 30)), strokes_of(DUPLEX, at(200, 100, 60))]
    result = spot(sheet_of(xy), rules(entry("duplex", DUPLEX), entry("quad", QUAD)), ())
    assert sorted((round(s.at[0]), s.entry.name) for s in result.symbols) == [(100, "quad"), (200, "duplex")]
    assert names(result) == ["duplex", "quad"]


def test_a_quad_is_no_duplex_although_the_quad_is_not_mapped() -> None:
    result = spot(sheet_of(strokes_of(QUAD, at(100, 100))), rules(entry("duplex", DUPLEX)), ())
    assert names(result) == [] and names(result, False) == ["duplex"]
    assert "not its own" in result.symbols[0].reasons[0]


def test_two_entries_of_one_shape_are_a_tie_with_both_names() -> None:
    two = rules(entry("duplex", DUPLEX), entry("dedicated", DUPLEX, dedicated_circuit=True))
    (symbol,) = spot(sheet_of(strokes_of(DUPLEX, at(100, 100))), two, ()).symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"duplex", "dedicated"}


def test_letters_make_the_symbol() -> None:
    plain = entry("light", DUPLEX[:1], "hardwired outlet")
    junction = entry("box", (*DUPLEX[:1], TextMark("J", (0, 0))))
    xy = [strokes_of(DUPLEX[:1], at(x, 100)) for x in (100, 200, 300)]
    result = spot(sheet_of(xy, [word("J", 100.4, 99.8), word("K", 200, 100, line=1)]), rules(plain, junction), ())
    told = {round(s.at[0]): (s.entry.name, s.found) for s in result.symbols}
    assert told == {100: ("box", True), 200: ("light", False), 300: ("light", False)}
    assert any("'K'" in r for s in result.symbols if round(s.at[0]) == 200 for r in s.reasons)


def test_letters_beside_tell_a_twin_at_any_symmetric_pose() -> None:
    gfi = entry("gfi", (*DUPLEX, TextMark("GFI", (0, -0.15))), protection="device")
    both = rules(entry("duplex", DUPLEX), gfi)
    xy = [strokes_of(DUPLEX, at(x, 100)) for x in (100, 200, 300)]
    near = [word("GFI", 100, 89), word("GFI", 200, 111, line=1)]
    told = {round(s.at[0]): (s.entry.name, s.found) for s in spot(sheet_of(xy, near), both, ()).symbols}
    assert told == {100: ("gfi", True), 200: ("gfi", True), 300: ("duplex", True)}


def test_letters_somewhat_off_their_place_are_a_question() -> None:
    gfi = entry("gfi", (*DUPLEX, TextMark("GFI", (0, -0.15))), protection="device")
    sheet = sheet_of(strokes_of(DUPLEX, at(100, 100)), [word("GFI", 106, 85)])
    (symbol,) = spot(sheet, rules(entry("duplex", DUPLEX), gfi), ()).symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"duplex", "gfi"}


def test_letters_drawn_as_strokes_are_not_taken_for_absent() -> None:
    glyph = np.array([[99, 97, 101.5, 97], [101.5, 97, 101.5, 101], [101.5, 101, 100, 103], [100, 103, 98, 101]])
    circle = strokes_of(DUPLEX[:1], at(100, 100))
    both = rules(entry("plain", DUPLEX[:1], "hardwired outlet", wall_side=(0, -1)), entry("other", QUAD))
    wall = np.array([[50, 95.5, 150, 95.5], [150, 90, 50, 90]])
    assert names(spot(sheet_of([circle, wall]), both, ())) == ["plain"]
    assert names(spot(sheet_of([circle, wall, glyph]), both, ())) == []


def test_a_filled_half_tells_twins_apart() -> None:
    a = np.linspace(0, np.pi, 13)
    half = tuple((float(R * math.cos(t)), float(R * math.sin(t))) for t in a)
    filled = entry("half", (*DUPLEX, PolylineMark(half, closed=True, filled=True)))
    shapes = np.empty(2, object)
    shapes[0] = shapely.Polygon(np.array(half) * 72 + 100)
    shapes[1] = shapely.box(0, 0, 600, 600)  # a tinted page is no mark
    fills = Fills(shapes, np.array([[0.0] * 3, [0.9] * 3]), np.ones(2), np.full(2, -1), np.arange(2))
    xy = [strokes_of(DUPLEX, at(100, 100)), strokes_of(DUPLEX, at(200, 200))]
    both = spot(sheet_of(xy, fills=fills), rules(entry("duplex", DUPLEX), filled), ())
    assert {round(s.at[0]): (s.entry.name, s.found) for s in both.symbols} == {
        100: ("half", True), 200: ("duplex", True)}  # fmt: skip
    alone = spot(sheet_of(xy, fills=fills), rules(entry("duplex", DUPLEX)), ())
    assert {round(s.at[0]): s.found for s in alone.symbols} == {100: False, 200: True}


def test_weak_shapes_need_a_wall_or_a_label() -> None:
    simplex = entry("simplex", (DUPLEX[0], LineMark((-0.1, 0), (0.1, 0))), wall_side=(0, -1))
    xy = [strokes_of(simplex.shape or (), at(x, 100)) for x in (100, 200, 300)]
    wall = np.array([[150, 95, 250, 95], [150, 90, 250, 90]])
    result = spot(sheet_of([*xy, wall], [word("WP", 300, 110)]), rules(simplex), ())
    assert {round(s.at[0]): s.found for s in result.symbols} == {100: False, 200: True, 300: True}


@pytest.mark.parametrize(
    ("grey", "thick", "found"), [(0.0, 5, True), (0.95, 5, False), (0.6, 5, True), (0.6, 60, False)]
)
def test_a_solid_wall_without_an_outline_is_a_wall_too(grey: float, thick: float, found: bool) -> None:
    """Grey ones as well: every plain outlet of a sheet was asked about.  A tinted room is no wall."""
    simplex = entry("simplex", (DUPLEX[0], LineMark((-0.1, 0), (0.1, 0))), wall_side=(0, -1))
    fills = Fills(
        np.array([shapely.box(150, 95 - thick, 250, 95)], object), np.full((1, 3), grey), np.ones(1),
        np.zeros(1, np.int64), np.zeros(1, np.int64),
    )  # fmt: skip
    sheet = sheet_of(strokes_of(simplex.shape or (), at(200, 100)), fills=fills)
    (symbol,) = spot(sheet, rules(simplex), ()).symbols
    assert symbol.found is found


@pytest.mark.parametrize("off", [-0.3, 0.0, 0.3])
def test_the_wall_may_stand_at_the_origin_of_a_shape(off: float) -> None:
    """pt from the origin to the wall: only a wall beyond it counted, and rounding told which outlets had one."""
    box = PolylineMark(((-0.06, 0.06), (0.06, 0.06), (0.06, 0.18), (-0.06, 0.18)), closed=True)
    shape = (box, LineMark((-0.022, 0), (-0.022, 0.18)), LineMark((0.022, 0), (0.022, 0.18)))
    richer = entry("quad", (*shape, LineMark((-0.06, 0.12), (0.06, 0.12))), wall_side=(0, -1))
    wall = np.array([[50, 100 - off, 250, 100 - off], [50, 95, 250, 95]])
    sheet = sheet_of([strokes_of(shape, at(150, 100)), wall])
    (symbol,) = spot(sheet, rules(entry("duplex", shape, wall_side=(0, -1)), richer), ()).symbols
    assert symbol.found and symbol.entry.name == "duplex" and not symbol.rivals


# ---------------------------------------------------------------------------------------- views and scale


def test_samples_in_regions_are_counted_and_symbols_outside_views_are_told() -> None:
    xy = [strokes_of(DUPLEX, at(x, y)) for x, y in ((100, 100), (500, 100), (520, 140), (100, 500))]
    views = (View("v1", "PLAN", (0, 0, 400, 400)),)
    regions = (Region("legend", (450, 0, 600, 300)),)
    result = spot(sheet_of(xy, views=views, regions=regions), rules(entry("duplex", DUPLEX)), ())
    assert [(round(s.at[1]), s.found, s.view) for s in result.symbols] == [(100, True, "v1"), (500, False, None)]
    assert any("2 symbols in the legend" in note for note in result.assumptions)
    assert result.symbols[1].reasons


@pytest.mark.parametrize(
    ("text", "place", "kept"),
    [
        ("A-26", (500, 115), True), ("RECEPTACLE", (545, 100), False), ("RECEPTACLE", (500, 115), True),
        ("", (0, 0), False),
    ],
)  # fmt: skip
@pytest.mark.parametrize("kind", ["receptacle", "sink"])
def test_an_outlet_or_a_sink_in_a_legend_that_does_not_describe_it_is_asked_about(
    kind: Kind, text: str, place: tuple[float, float], kept: bool
) -> None:
    """The legend was taken too wide: an outdoor outlet beside it was counted as one of its samples, and so would be
    a sink, whose outlets would then be cleared."""
    if kind == "sink" and text == "A-26":
        kept = False  # a sink has no circuit, and no other text tells that the legend describes anything
    regions = (Region("legend", (450, 0, 600, 300)),)
    words = [word(text, *place)] if text else []
    result = spot(sheet_of([strokes_of(DUPLEX, at(500, 100))], words, regions=regions),
                  rules(replace(entry("duplex", DUPLEX), kind=kind)), ())  # fmt: skip
    assert [s.found for s in result.symbols] == [False] * kept
    assert all(any("looks like the legend" in reason for reason in s.reasons) for s in result.symbols)


def test_a_reduced_print_is_said_loudly_and_nothing_of_it_counts() -> None:
    xy = [strokes_of(DUPLEX, at(60 + 50 * k, 100, 20 * k, scale=0.5)) for k in range(5)]
    result = spot(sheet_of(xy), rules(entry("duplex", DUPLEX)), ())
    assert names(result) == [] and names(result, False) == ["duplex"] * 5
    assert any("duplex is drawn at 0.50 of the size" in note for note in result.assumptions)


@pytest.mark.parametrize("what", ["word", "line", "piece"])
def test_on_a_reduced_print_what_is_disturbed_is_told_at_its_place(what: str) -> None:
    xy = [strokes_of(DUPLEX, at(60 + 50 * k, 100, 20 * k, scale=0.5)) for k in range(5)]
    lost = strokes_of(DUPLEX, at(400, 300, scale=0.5), sides=24)
    words: list[Word] = []
    if what == "word":
        words = [word("Q", 400, 300, 2.5)]
    elif what == "line":
        lost = np.r_[lost, [[399.0, 298.5, 401.0, 301.5], [399.0, 301.5, 401.0, 298.5]]]
    else:
        lost = lost[5:]  # a fifth of the circle is missing
    result = spot(sheet_of([*xy, lost], words), rules(entry("duplex", DUPLEX)), ())
    places = [s.at for s in result.symbols] + [at for rest in result.unexplained for at in rest.at]
    assert min(math.dist(place, (400, 300)) for place in places) < 3
    assert names(result) == []


@pytest.mark.parametrize("over", [False, True])
def test_doors_of_a_reduced_print_keep_their_places(over: bool) -> None:
    """At half size a leaf with its swing is as plain as a circle with a line, and was dropped as such."""
    door = (LineMark((0, 0), (30 / 72, 0)), ArcMark((0, 0), 30 / 72, 270, 360))
    xy = [strokes_of(DUPLEX, at(60 + 50 * k, 100, 20 * k, scale=0.5)) for k in range(5)]
    xy += [strokes_of(door, at(100 + 100 * k, 300, 35 * k, scale=0.5), sides=12) for k in range(4)]
    words = [word("WA", 105, 304, 4)] if over else []
    both = rules(entry("duplex", DUPLEX), entry("door", door, "door"))
    result = spot(sheet_of(xy, words), both, ())
    assert names(result) == [] and sorted(names(result, False)) == ["door"] * 4 + ["duplex"] * 5


def rectangle(w: float, h: float, x: float = 0.0, y: float = 0.0) -> PolylineMark:
    x0, x1, y0, y1 = x - w / 2, x + w / 2, y - h / 2, y + h / 2
    return PolylineMark(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)


SINK = (rectangle(33, 22), rectangle(14, 16, -8, 1), rectangle(14, 16, 8, 1), CircleMark((-8, 1), 1.75),
        CircleMark((8, 1), 1.75))  # fmt: skip


def test_fixtures_in_real_size_follow_the_scale_of_their_view() -> None:
    views = (View("a", "PLAN", (0, 0, 300, 600)), View("b", "ENLARGED", (300, 0, 600, 600)))
    scales = (Scale("a", 48, "note", '1/4" = 1\'-0"', "proved"), Scale("b", 24, "note", '1/2" = 1\'-0"', "proved"))
    sink = entry("sink", SINK, "sink", size="real", scales=(0.8, 1.25))
    xy = [strokes_of(SINK, at(150, 100, 90), unit=72 / 48), strokes_of(SINK, at(150, 400), unit=72 / 24),
          strokes_of(SINK, at(450, 300, 200, scale=0.9), unit=72 / 24)]  # fmt: skip
    result = spot(sheet_of(xy, views=views), rules(sink), scales)
    assert [(s.view, round(s.drawn_size, 2)) for s in result.symbols if s.found] == [("a", 1.0), ("b", 0.9)]
    area = result.symbols[0].edge.area / (72 / 48) ** 2
    assert abs(area - 2 * 14 * 16) < 2  # both bowls, without their drains


def test_real_sizes_need_a_measurable_scale() -> None:
    sink = entry("sink", SINK, "sink", size="real")
    unknown = (Scale("v1", None, "none", "", "unknown", why="no note"),)
    result = spot(sheet_of(strokes_of(SINK, at(150, 100), unit=1.5)), rules(sink), unknown)
    assert result.symbols == () and any("sink" in note for note in result.assumptions)


def test_edges_inner_and_outer() -> None:
    scale = (Scale("v1", 48, "note", "", "proved"),)
    tub = (rectangle(60, 30), rectangle(54, 24), CircleMark((22, 0), 1.5))
    loose = tuple(LineMark(a, b) for m in tub[:2] if isinstance(m, PolylineMark)
                  for a, b in zip(m.points, (*m.points[1:], m.points[0]), strict=True))  # fmt: skip
    for shape in (tub, (*loose, tub[2])):
        for edge, want in ((None, 60 * 30), ("outer", 60 * 30), ("inner", 54 * 24)):
            e = entry("tub", shape, "bathtub", size="real", edge=edge)
            result = spot(sheet_of(strokes_of(shape, at(200, 200, 45), unit=1.5)), rules(e), scale)
            assert names(result) == ["tub"]
            assert abs(result.symbols[0].edge.area / 1.5**2 - want) < 2
    plain = (CircleMark((0, 0), 8), LineMark((0, -8), (0, -11)), LineMark((-2, -11), (2, -11)))
    e = entry("bowl", plain, "lavatory", size="real")
    (symbol,) = spot(sheet_of(strokes_of(plain, at(200, 200), unit=1.5)), rules(e), scale).symbols
    assert symbol.found and any("one closed outline" in r for r in symbol.reasons)
    assert abs(symbol.edge.area / 1.5**2 / (math.pi * 64) - 1) < 0.02


# --------------------------------------------------------------------------------------- walls and layers


@pytest.mark.parametrize(("angle", "wall"), [(0.0, (0, -1)), (180.0, (0, 1)), (90.0, (-1, 0)), (33.0, None)])
def test_the_wall_side_of_a_one_sided_symbol(angle: float, wall: tuple[int, int] | None) -> None:
    e = entry("a", ONE_SIDED, wall_side=(0, -1))
    (symbol,) = spot(sheet_of(strokes_of(ONE_SIDED, at(100, 100, angle))), rules(e), ()).symbols
    assert symbol.wall_direction is not None
    want = wall or at(0, 0, angle).direction((0, -1))
    assert np.hypot(symbol.wall_direction[0] - want[0], symbol.wall_direction[1] - want[1]) < 0.03


@pytest.mark.parametrize("side", [(0.0, -1.0), (0.0, 1.0)])
def test_a_symmetric_symbol_turns_its_wall_side_to_the_wall(side: tuple[float, float]) -> None:
    y = 100 + 7 * side[1]
    wall = np.array([[40, y, 160, y], [40, y + 6 * side[1], 160, y + 6 * side[1]]])
    shape = (DUPLEX[0], LineMark((0.025, -0.0625), (0.025, 0.0625)), LineMark((-0.025, -0.0625), (-0.025, 0.0625)))
    e = entry("duplex", shape, wall_side=(0, -1))
    (symbol,) = spot(sheet_of([strokes_of(shape, at(100, 100)), wall]), rules(e), ()).symbols
    assert symbol.found and symbol.wall_direction is not None
    assert np.allclose(symbol.wall_direction, side, atol=0.02)


def test_symmetric_symbols_without_a_wall_take_the_smallest_angle() -> None:
    (symbol,) = spot(sheet_of(strokes_of(DUPLEX, at(100, 100, 200, True))), rules(entry("d", DUPLEX)), ()).symbols
    assert not symbol.mirrored and abs(symbol.angle - 20) < 1


def test_outlets_are_looked_for_on_device_layers_where_these_exist() -> None:
    a, b = strokes_of(DUPLEX, at(100, 100)), strokes_of(DUPLEX, at(200, 100))
    layer = np.r_[np.zeros(len(a), np.int64), np.ones(len(b), np.int64)]
    sheet = sheet_of([a, b], layer=layer, layers=("A-FURN", "E-POWR-DEV"))
    only = spot(sheet, rules(entry("duplex", DUPLEX), device_layers=("E-POWR*",)), ())
    assert [round(s.at[0]) for s in only.symbols] == [200]
    absent = spot(sheet, rules(entry("duplex", DUPLEX), device_layers=("E-LITE*",)), ())
    assert len(absent.symbols) == 2 and any("E-LITE*" in note for note in absent.assumptions)
    ignored = spot(sheet, rules(entry("duplex", DUPLEX), ignore_layers=("a-furn",)), ())
    assert [round(s.at[0]) for s in ignored.symbols] == [200]


def test_the_same_sheet_gives_the_same_symbols() -> None:
    rng = np.random.default_rng(5)
    p = rng.uniform(0, 600, (800, 2))
    xy = [strokes_of(QUAD, at(80 + 60 * k, 150, 33 * k), grid=GRID) for k in range(8)]
    sheet = sheet_of([*xy, np.c_[p, p + rng.normal(0, 10, (800, 2))]])
    both = [spot(sheet, rules(entry("duplex", DUPLEX), entry("quad", QUAD)), ()) for _ in range(2)]
    assert [(s.at, s.angle, s.reasons) for s in both[0].symbols] == [
        (s.at, s.angle, s.reasons) for s in both[1].symbols
    ]
    assert len(both[0].symbols) == 8


# ------------------------------------------------------------------------------------------ untidy plots


def test_a_drain_of_five_chords_is_still_a_circle() -> None:
    scale = (Scale("v1", 48, "note", "", "proved"),)
    sink = entry("sink", SINK, "sink", size="real")
    for sides in (5, 6, 7):
        xy = strokes_of(SINK, at(200, 200, 30), unit=1.5, sides=sides, grid=GRID)
        assert names(spot(sheet_of(xy), rules(sink), scale)) == ["sink"]


def test_a_dashed_outline_of_loose_strokes() -> None:
    shape = (rectangle(24, 24), TextMark("DW", (0, 0)))
    e = entry("dishwasher", shape, "dishwasher", size="real")
    corners = np.array([(-18, -18), (18, -18), (18, 18), (-18, 18), (-18, -18)]) + 200.0
    dashes = []
    for a, b in pairwise(corners):
        for k in range(6):
            t0, t1 = k * 6.4, min(k * 6.4 + 4, 36.0)
            dashes.append([*(a + (b - a) / 36 * t0), *(a + (b - a) / 36 * t1)])
    scale = (Scale("v1", 48, "note", "", "proved"),)
    result = spot(sheet_of(np.array(dashes), [word("DW", 200, 200)]), rules(e), scale)
    assert names(result) == ["dishwasher"]
    assert len(result.symbols[0].strokes) == len(dashes)


def test_a_fixture_against_a_wall_keeps_to_its_own_lines() -> None:
    scale = (Scale("v1", 48, "note", "", "proved"),)
    tub = entry("tub", (rectangle(60, 30), rectangle(54, 24), CircleMark((22, 0), 1.5)), "bathtub", size="real")
    xy = strokes_of(tub.shape or (), at(200, 200), unit=1.5, grid=GRID)
    walls = np.array([[100, 176.8, 300, 176.8], [154.3, 150, 154.3, 300], [245.6, 150, 245.6, 300]])
    (symbol,) = spot(sheet_of([xy, walls]), rules(tub), scale).symbols
    assert symbol.found
    x0, y0, x1, y1 = symbol.edge.bounds
    assert np.allclose((x0, y0, x1, y1), (155, 177.5, 245, 222.5), atol=0.2)


def test_plain_shapes_among_other_lines_are_counted_not_listed() -> None:
    box = entry("speaker", (rectangle(0.2, 0.2),), "other")
    rng = np.random.default_rng(2)
    p = rng.uniform(95, 105, (40, 2))
    xy = [strokes_of(box.shape or (), at(100, 100)), np.c_[p, p + rng.normal(0, 3, (40, 2))]]
    result = spot(sheet_of(xy), rules(box), ())
    assert result.symbols == () and any(
        "1 place where lines like those of speaker" in n for n in result.assumptions
    )


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_no_mapping_and_no_sheet_breaks_the_search(seed: int) -> None:
    rng = np.random.default_rng(seed)

    def point() -> tuple[float, float]:
        x, y = np.round(rng.uniform(-0.15, 0.15, 2), 2)
        return float(x), float(y)

    def mark() -> Mark:
        size, a, b = rng.uniform(0.001, 0.15), *rng.uniform(0, 360, 2)
        closed, filled = bool(rng.integers(2)), bool(rng.integers(4) == 0)
        marks = (CircleMark(point(), size), LineMark(point(), point()), ArcMark(point(), size, a, b),
                 PolylineMark((point(), point(), point()), closed, filled), TextMark("J", point()))  # fmt: skip
        return marks[rng.integers(len(marks))]

    entries = [entry(f"e{k}", [mark() for _ in range(rng.integers(1, 5))], wall_side=(0, 1)) for k in range(3)]
    p = rng.uniform(0, 300, (int(rng.integers(0, 200)), 2))
    drawn = [strokes_of(e.shape or (), at(80, 100 * k + 50)) for k, e in enumerate(entries)
             if not all(isinstance(m, TextMark) for m in e.shape or ())]  # fmt: skip
    result = spot(
        sheet_of([np.c_[p, p + rng.normal(0, 5, p.shape)], *drawn], [word("J", 80, 50)]), rules(*entries), ()
    )
    assert all(s.found or s.reasons for s in result.symbols)


def test_a_line_that_passes_through_does_not_make_the_richer_twin() -> None:
    stems = (DUPLEX[0], LineMark((-0.03, -0.17), (-0.03, -0.0548)), LineMark((0.03, -0.17), (0.03, -0.0548)))
    double = (*stems, LineMark((-0.075, -0.11), (0.075, -0.11)))
    both = rules(entry("duplex", stems), entry("double", double, volts=240.0))
    passing = np.array([[20, 92.08, 180, 92.08]])
    (symbol,) = spot(sheet_of([strokes_of(stems, at(100, 100)), passing]), both, ()).symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"duplex", "double"}
    assert names(spot(sheet_of(strokes_of(double, at(100, 100))), both, ())) == ["double"]


def test_a_tick_inside_may_make_another_symbol() -> None:
    tick = np.array([[98.6, 98.9, 101.4, 101.1]])
    wire = np.array([[102.2, 97.0, 140.0, 60.0]])  # ends in the circle, and comes from outside
    assert names(spot(sheet_of([strokes_of(DUPLEX, at(100, 100)), wire]), rules(entry("duplex", DUPLEX)), ())) == [
        "duplex"
    ]
    (symbol,) = spot(sheet_of([strokes_of(DUPLEX, at(100, 100)), tick]), rules(entry("duplex", DUPLEX)), ()).symbols
    assert not symbol.found and "not its own" in symbol.reasons[0]


def test_a_filled_mark_may_lie_along_another_line_of_the_symbol() -> None:
    """The edge of the fill is the bar of the plain one: ink there belongs to both marks."""
    a = np.linspace(0, np.pi, 13)
    half = tuple((float(R * math.cos(t)), float(R * math.sin(t))) for t in a)
    plain = (DUPLEX[0], LineMark((-R, 0), (R, 0)), LineMark((0, -R), (0, -0.13)))
    filled = (*plain, PolylineMark(half, closed=True, filled=True))
    shapes = np.empty(1, object)
    shapes[0] = shapely.Polygon(np.array(half) * 72 + 100)
    fills = Fills(shapes, np.zeros((1, 3)), np.ones(1), np.full(1, -1), np.arange(1))
    both = rules(entry("plain", plain), entry("device", filled, protection="device"))
    xy = [strokes_of(plain, at(100, 100)), strokes_of(plain, at(200, 200))]
    told = {round(s.at[0]): (s.entry.name, s.found) for s in spot(sheet_of(xy, fills=fills), both, ()).symbols}
    assert told == {100: ("device", True), 200: ("plain", True)}


def test_marks_that_share_an_edge_are_covered_by_one_line() -> None:
    cells = (rectangle(0.2, 0.1, 0.0, -0.05), rectangle(0.2, 0.1, 0.0, 0.05), LineMark((-0.1, 0.1), (0.1, -0.1)))
    xy = strokes_of(cells, at(100, 100))
    once = xy[[0, 1, 2, 3, 5, 6, 7, 8]]
    assert names(spot(sheet_of(once), rules(entry("cells", cells)), ())) == ["cells"]


def test_a_small_tick_of_its_own_is_enough_for_the_richer_twin() -> None:
    ticked = (*DUPLEX, LineMark((-0.03, 0.095), (0.03, 0.095)))
    both = rules(entry("duplex", DUPLEX), entry("device", ticked, protection="device"))
    xy = [strokes_of(ticked, at(100, 100)), strokes_of(DUPLEX, at(200, 100))]
    told = {round(s.at[0]): (s.entry.name, s.found) for s in spot(sheet_of(xy), both, ()).symbols}
    assert told == {100: ("device", True), 200: ("duplex", True)}
    # a wire that ends where the tick would be may be the tick, or not
    wire = np.array([[97.84, 106.84, 140.0, 106.84]])
    (symbol,) = spot(sheet_of([strokes_of(DUPLEX, at(100, 100)), wire]), both, ()).symbols
    assert not (symbol.found and symbol.entry.name == "device")


def test_an_outlet_drawn_over_an_appliance_of_its_size_is_not_lost() -> None:
    """At 1/8 in = 1 ft a washer is as large as a receptacle, and the receptacle stands in it."""
    washer = (rectangle(24, 24), CircleMark((0, 0), 8), TextMark("W", (0, 0)))
    plug = (
        CircleMark((0, 0), 0.085),
        LineMark((-0.035, -0.15), (-0.035, 0.07)),
        LineMark((0.035, -0.15), (0.035, 0.07)),
    )
    both = rules(entry("duplex", plug), entry("washer", washer, "washer", size="real"))
    scale = Scale("v1", 96.0, "note", "1/8", "proved")
    xy = [strokes_of(washer, at(100, 100), 0.75), strokes_of(plug, at(100.5, 101.5))]
    told = spot(sheet_of(xy, [word("W", 100, 100)]), both, (scale,)).symbols
    assert {s.entry.name for s in told} == {"duplex", "washer"}


def test_a_mark_drawn_twice_counts_once() -> None:
    """The second of two equal lines takes no samples, wherever it stands among the marks."""
    flag = tuple(LineMark(a, b) for a, b in pairwise(((0, 0.2), (0, -0.1), (0.12, -0.05), (0, 0), (0.05, 0.1))))
    twice = (*flag, flag[0], flag[1])
    assert names(spot(sheet_of(strokes_of(flag, at(100, 100))), rules(entry("a", twice)), ())) == ["a"]


def test_an_outlet_in_a_title_block_is_kept_as_a_question() -> None:
    """A block that was taken too large must not swallow devices; legends hold samples and are only counted."""
    xy = [strokes_of(DUPLEX, at(x, 500)) for x in (100, 300)]
    regions = (Region("title block", (50, 450, 150, 550)), Region("legend", (250, 450, 350, 550)))
    views = (View("v1", "PLAN", (0, 0, 600, 400)),)
    (symbol,) = spot(sheet_of(xy, regions=regions, views=views), rules(entry("duplex", DUPLEX)), ()).symbols
    assert round(symbol.at[0]) == 100 and not symbol.found and "no view" in symbol.reasons[-1]


def test_an_outlet_among_the_burners_of_a_small_range_is_not_lost() -> None:
    """At 1/8 in = 1 ft the plug of a range covers its burners: many of its lines pass near theirs."""
    turn = np.radians(range(22, 382, 45))
    burners = [
        PolylineMark(tuple((x + 4 * math.cos(a), y + 4 * math.sin(a)) for a in turn), True)
        for x in (-7, 7)
        for y in (-5, 7)
    ]
    range_ = (rectangle(30, 26), *burners, LineMark((-15, -11), (15, -11)))
    x, y, tip = 0.028, -0.0553, -0.14
    plug = (
        CircleMark((0, 0), 0.062),
        LineMark((-x, y), (-x, tip)),
        LineMark((x, y), (x, tip)),
        LineMark((0, -0.062), (0, tip)),
    )
    both = rules(entry("plug", plug), entry("range", range_, "range", size="real"))
    scale = Scale("v1", 96.0, "note", "1/8", "proved")
    xy = [strokes_of(range_, at(100, 100), 0.75), strokes_of(plug, at(100, 100.1), sides=24)]
    told = spot(sheet_of(xy), both, (scale,)).symbols
    assert {s.entry.name for s in told} == {"plug", "range"}


@pytest.mark.parametrize("longest", [1.1, 0.6])
@pytest.mark.parametrize("shape", [DUPLEX, QUAD, ONE_SIDED])
def test_lines_drawn_in_splinters_are_lines(shape: Sequence[Mark], longest: float) -> None:
    xy = in_pieces(strokes_of(shape, at(100, 100, 30.0)), longest)
    assert names(spot(sheet_of(xy), rules(entry("outlet", shape)), ())) == ["outlet"]


@pytest.mark.parametrize("sides", [5, 6, 8, 10])
def test_a_polygon_that_passes_for_a_circle_is_found_where_its_sides_are_cut_into_pieces(sides: int) -> None:
    corners = tuple((1.5 * R * math.cos(a), 1.5 * R * math.sin(a)) for a in np.arange(sides) * 2 * math.pi / sides)
    marks = (PolylineMark(corners, closed=True), *DUPLEX[1:])
    whole = strokes_of(marks, at(150, 150, 20.0))
    pieces = in_pieces(strokes_of(marks, at(300, 300, 75.0)), 2.0)
    assert names(spot(sheet_of([whole, pieces]), rules(entry("boxed", marks)), ())) == ["boxed"] * 2
