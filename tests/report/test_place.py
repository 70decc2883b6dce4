"""Clouds and tags: around what they mark, beside it, on the page, and not on one another."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
import report_builder as build
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point

from cordpath.model import Box, Finding
from cordpath.report.pdf import place
from cordpath.report.pdf.canvas import wrap
from cordpath.report.pdf.cloud import LEAST_SIDE, cloud_box, cloud_curves, outer_box
from cordpath.report.pdf.mark_drawings import leader
from cordpath.report.pdf.marks import lay_out, mark_unit
from cordpath.report.pdf.place import INK_STEP, Crowd

sides = st.floats(0.0, 200.0)
coordinates = st.floats(-1000.0, 1000.0)
corners = st.integers(0, 750), st.integers(0, 450), st.integers(1, 60), st.integers(1, 40)
boxes = st.tuples(*corners).map(lambda b: (float(b[0]), float(b[1]), float(b[0] + b[2]), float(b[1] + b[3])))


def bezier(start, curve, t):
    a, b, c = curve
    p = [np.array(v) for v in (start, a, b, c)]
    return (1 - t) ** 3 * p[0] + 3 * t * (1 - t) ** 2 * p[1] + 3 * t**2 * (1 - t) * p[2] + t**3 * p[3]


@settings(deadline=None)
@given(coordinates, coordinates, sides, sides, st.sampled_from([1.0, 1.3, 1.5]))
def test_cloud_stays_outside_its_rectangle_and_inside_its_outer_box(x, y, wide, high, unit) -> None:
    box = cloud_box((x, y, x + wide, y + high), 4.0, unit)
    assert box[0] <= x - 3.99 and box[3] >= y + high + 3.99 and box[2] - box[0] >= LEAST_SIDE * unit - 1e-6
    outer = outer_box(box, 0.0, unit)
    here, curves = cloud_curves(box, unit)
    start = here
    for curve in curves:
        for t in (0.25, 0.5, 0.75):
            px, py = bezier(here, curve, t)
            assert not (box[0] + 1e-6 < px < box[2] - 1e-6 and box[1] + 1e-6 < py < box[3] - 1e-6)
            assert outer[0] - 1e-6 <= px <= outer[2] + 1e-6 and outer[1] - 1e-6 <= py <= outer[3] + 1e-6
        here = curve[2]
    assert here == pytest.approx(start)


@given(st.lists(st.tuples(st.floats(0, 600), st.floats(0, 400)), min_size=1, max_size=30))
@settings(max_examples=30, deadline=None)
def test_tags_are_on_the_page_wherever_the_outlets_are(spots) -> None:
    findings = tuple(build.missing(f"E-101.{k}", at, (300.0, 200.0)) for k, at in enumerate(spots))
    for mark in lay_out(findings, Crowd(612.0, 396.0)):
        for box in (mark.tag, *(path.label_box for path in mark.paths)):
            assert box[0] >= 0 and box[1] >= 0 and box[2] <= 612 and box[3] <= 396


def overlap(a, b) -> float:
    return max(0.0, min(a[2], b[2]) - max(a[0], b[0])) * max(0.0, min(a[3], b[3]) - max(a[1], b[1]))


def test_tags_of_a_row_of_outlets_overlap_neither_clouds_nor_one_another() -> None:
    findings = tuple(build.unresolved(f"E-101.{k}", (60.0 + 36 * k, 200.0), (300.0, 300.0)) for k in range(12))
    marks = lay_out(findings, Crowd(612.0, 396.0))
    tags = [mark.tag for mark in marks]
    for k, box in enumerate(tags):
        assert all(overlap(box, other) < 1e-6 for other in tags[:k])
        assert all(overlap(box, mark.extent) < 1e-6 for mark in marks)
    # Twelve lengths along one and the same line cannot all keep clear; most of each can be read.
    labels = [path.label_box for mark in marks for path in mark.paths]
    for box in labels:
        covered = sum(overlap(box, other) for other in tags + labels if other is not box)
        assert covered < 0.35 * (box[2] - box[0]) * (box[3] - box[1])


def test_tags_keep_off_words_and_ink_where_there_is_room() -> None:
    dark = np.zeros((198, 306))
    dark[:100] = 1.0  # everything above y = 200 is inked
    word = (320.0, 210.0, 420.0, 300.0)
    (mark,) = lay_out(
        (build.missing("E-101.1", (300.0, 200.0), (300.0, 200.0)),), Crowd(612.0, 396.0, dark, [word])
    )
    assert mark.tag[1] >= 200.0 - INK_STEP and overlap(mark.tag, word) == 0.0


def test_tags_keep_off_the_symbols_of_outlets_that_have_no_mark() -> None:
    asked = build.missing("E-101.1", (300.0, 200.0), (300.0, 250.0))
    (alone,) = lay_out((asked,), Crowd(612.0, 396.0))
    places = (alone.tag, alone.paths[0].label_box)
    others = [build.free(f"E-101.{k}", ((b[0] + b[2]) / 2, (b[1] + b[3]) / 2)) for k, b in enumerate(places, 2)]
    (mark,) = lay_out((asked, *others), Crowd(612.0, 396.0))
    for other in others:
        symbol = other.outlet.symbol.footprint.bounds
        assert overlap(mark.tag, symbol) == 0.0 and overlap(mark.paths[0].label_box, symbol) == 0.0


def test_a_question_mark_keeps_to_the_word_that_it_doubts() -> None:
    for width in range(40, 200, 7):
        lines = wrap("210.8(A)(5) ?, 210.8(A)(6) ?, 210.8(E) ?", float(width), 9.0)
        assert not any(line.startswith("?") for line in lines) or width < 65, lines
        assert " ".join(lines).replace(" ", "") == "210.8(A)(5)?,210.8(A)(6)?,210.8(E)?"


def test_a_tag_stands_beside_its_cloud_on_an_empty_page() -> None:
    (mark,) = lay_out((build.missing("E-101.1", (300.0, 200.0), (300.0, 250.0)),), Crowd(612.0, 396.0))
    assert math.dist(*leader(mark.tag, mark.extent)) <= 6.0
    assert overlap(mark.tag, mark.extent) == 0.0


def test_marks_grow_with_the_sheet_and_never_shrink() -> None:
    assert mark_unit(612, 792) == mark_unit(1224, 792) == 1.0
    assert mark_unit(2592, 1728) == mark_unit(3456, 2592) == 1.3
    assert 1.0 < mark_unit(1728, 1296) < 1.3


def test_the_shortest_path_to_each_fixture_is_drawn_once() -> None:
    at, sink = (100.0, 100.0), (200.0, 150.0)
    finding = build.missing("1", at, sink)
    asks = (
        build.requirement(at, sink, distance_ft=5.0),
        build.requirement(at, sink, distance_ft=4.0, cite="210.8(A)(7)"),
        build.requirement(at, sink, distance_ft=3.0, to="f2"),
        build.requirement(at, sink, distance_ft=2.0, to="f3", path=()),
    )
    (mark,) = lay_out(
        (type(finding)(finding.outlet, "missing", asks, finding.protection, (), None, 1.0),), Crowd(612, 396)
    )
    assert [path.label for path in mark.paths] == ["3.00 ft to f2", "4.00 ft to f1"]


@pytest.mark.parametrize("apart", [21.5, 24.0, 27.0])
def test_clouds_of_small_symbols_close_together_do_not_touch(apart: float) -> None:
    """As on half-size prints, where outlets on both sides of a wall stand a quarter of an inch apart."""
    found = [small(build.missing(f"E-101.{k}", (200.0 + apart * k, 200.0), (300.0, 350.0))) for k in range(3)]
    marks = lay_out(found, Crowd(612.0, 396.0))
    extents = [mark.extent for mark in marks]
    assert all(overlap(a, b) == 0 for a, b in itertools.combinations(extents, 2))
    for mark, finding in zip(marks, found, strict=True):
        x0, y0, x1, y1 = finding.outlet.symbol.footprint.bounds
        assert mark.cloud[0] < x0 and mark.cloud[1] < y0 and mark.cloud[2] > x1 and mark.cloud[3] > y1
    (alone,) = lay_out(found[:1], Crowd(612.0, 396.0))
    assert alone.cloud[2] - alone.cloud[0] == pytest.approx(LEAST_SIDE), (
        "one with room around it is as large as ever"
    )


def small(finding: Finding) -> Finding:
    """Its symbol as it is drawn on a half-size print: an eighth of an inch."""
    symbol = finding.outlet.symbol
    symbol = replace(symbol, footprint=Point(symbol.at).buffer(4.5))
    return replace(finding, outlet=replace(finding.outlet, symbol=symbol))


def test_a_length_stands_off_its_path_before_it_covers_words() -> None:
    finding = build.missing("E-101.1", (100.0, 200.0), (300.0, 200.0))
    rows = [(x, y, x + 30.0, y + 9.0) for x in range(60, 340, 32) for y in range(150, 250, 11)]
    (mark,) = lay_out([finding], Crowd(612.0, 396.0, words=rows))
    (path,) = mark.paths
    assert sum(overlap(path.label_box, word) for word in rows) == 0


@settings(deadline=None, max_examples=40)
@given(st.lists(boxes, max_size=12), st.lists(boxes, min_size=1, max_size=4), st.integers(1, 40))
def test_looking_at_the_likeliest_places_first_finds_the_place_that_is_best_of_all(
    obstacles: list[Box], marks: list[Box], at_a_time: int
) -> None:
    dark = np.random.default_rng(len(obstacles)).random((250, 400)) < 0.2
    with pytest.MonkeyPatch.context() as patch:
        places = []
        for some in (at_a_time, 10_000):
            patch.setattr(place, "LOOKED_AT", some)
            crowd = Crowd(800.0, 500.0, dark.astype(float), obstacles[::2], obstacles[1::3], list(obstacles[2::3]))
            places.append([crowd.place([mark, *marks], 40.0, 10.0) for mark in marks])
    assert places[0] == places[1]
