"""Lengths that a dimension states, and lengths in space."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from cordpath.model import CordPath, Dimension, Fixture, Label, Outlet
from cordpath.reach import cord_paths, figured, in_space

WALL = box(0, 0, 20, 0.5)
AT = (2.0, 0.5)  # the outlet, ft: on the face of the wall
HAIR_FT = 0.001  # paths keep 0.01 pt off walls
BOWL = box(7.0, 0.8, 8.5, 2.0)


def scene(tiny, tolerance: float = 0.03, anchor_ft: float = 0.0):
    outlet = tiny.outlet(*AT, facing=(0.0, 1.0), tolerance_ft=anchor_ft)
    sink = tiny.fixture(BOWL)
    scale = tiny.scale(tolerance, "single")
    paths = cord_paths((outlet,), (sink,), tiny.plan(walls=[WALL]), scale, "open")
    assert len(paths) == 1
    return paths, (outlet,), (sink,), scale


def dimension(text: str, feet: float, x0: float, x1: float, y: float = -1.0) -> Dimension:
    """A level dimension line, its ends in feet on the drawing."""
    return Dimension(text, feet, (x0 * 18.0, y * 18.0), (x1 * 18.0, y * 18.0))


def test_a_dimension_from_outlet_to_bowl_states_the_length(tiny) -> None:
    paths, outlets, sinks, scale = scene(tiny, anchor_ft=0.2)
    (told,) = figured(paths, (dimension("5'-0\"", 5.0, 2.0, 7.0),), outlets, sinks, scale)
    assert told.figured
    assert told.length_ft == pytest.approx(math.hypot(5.0, 0.3), abs=HAIR_FT)
    assert told.length_ft == pytest.approx(paths[0].length_ft)
    assert told.uncertainty_ft < 0.08 < paths[0].uncertainty_ft
    assert told.points == paths[0].points


def test_a_dimension_from_the_line_of_the_outlets_own_wall_does_not_tell_its_face(tiny) -> None:
    """It ran from the middle of a wall that is one thick stroke, and the path was taken for exact to 1/2 in."""
    paths, outlets, sinks, scale = scene(tiny, anchor_ft=0.2)
    turned = tuple(replace(o, standing=replace(o.standing, facing=(1.0, 0.0))) for o in outlets)
    (told,) = figured(paths, (dimension("5'-0\"", 5.0, 2.0, 7.0),), turned, sinks, scale)
    assert told.figured and told.uncertainty_ft >= 0.2


def test_a_dimension_written_from_right_to_left_is_the_same(tiny) -> None:
    paths, outlets, sinks, scale = scene(tiny)
    one = figured(paths, (dimension("5'", 5.0, 2.0, 7.0),), outlets, sinks, scale)
    other = figured(paths, (dimension("5'", 5.0, 7.0, 2.0),), outlets, sinks, scale)
    assert one == other


def test_a_dimension_to_the_centre_keeps_the_rest_as_scaled(tiny) -> None:
    paths, outlets, sinks, scale = scene(tiny)
    (told,) = figured(paths, (dimension("5'-9\"", 5.75, 2.0, 7.75),), outlets, sinks, scale)
    assert told.figured
    assert told.length_ft == pytest.approx(paths[0].length_ft, abs=1e-6), "the bowl's edge, not its centre"


@pytest.mark.parametrize("feet", [6.5, 4.0])
def test_a_figure_that_was_not_drawn_to_scale_leaves_both_lengths_open(tiny, feet: float) -> None:
    paths, outlets, sinks, scale = scene(tiny)
    (told,) = figured(paths, (dimension("x", feet, 2.0, 7.0),), outlets, sinks, scale)
    assert told.figured
    assert told.length_ft == pytest.approx(math.hypot(feet, 0.3), abs=HAIR_FT)
    low, high = told.length_ft - told.uncertainty_ft, told.length_ft + told.uncertainty_ft
    assert low <= paths[0].length_ft <= high


@pytest.mark.parametrize(
    "other",
    [
        dimension("5'", 5.0, 3.0, 8.0),  # begins a foot beside the outlet
        dimension("3'", 3.0, 2.0, 5.0),  # ends before the bowl
        dimension("5'", 5.0, 2.0, 7.0, y=-20.0),  # belongs to another part of the plan
        dimension("9'", 9.0, 2.2, 6.8),  # not to scale, and its ends stand beside both
        Dimension("5'", 5.0, (36.0, 9.0), (36.0, 99.0)),  # across
        Dimension("0'", 0.0001, (36.0, 9.0), (36.0, 9.0)),
    ],
)
def test_other_dimensions_state_nothing(tiny, other: Dimension) -> None:
    paths, outlets, sinks, scale = scene(tiny)
    assert figured(paths, (other,), outlets, sinks, scale) == paths


def test_a_path_round_a_corner_is_not_figured(tiny) -> None:
    outlet = tiny.outlet(2.0, 0.5, facing=(0.0, 1.0))
    sink = tiny.fixture(BOWL)
    post = box(4.0, 0.4, 4.5, 3.0)
    paths = cord_paths((outlet,), (sink,), tiny.plan(walls=[WALL, post]), tiny.scale(), "open")
    assert len(paths[0].points) > 2
    told = figured(paths, (dimension("5'", 5.0, 2.0, 7.0),), (outlet,), (sink,), tiny.scale())
    assert told == paths


@settings(deadline=None, max_examples=60)
@given(st.floats(-0.35, 0.35), st.floats(-0.35, 0.35))
def test_a_true_dimension_changes_no_length_wherever_it_ends(tiny, left: float, right: float) -> None:
    """Where the drawing is to scale, a figure makes a length surer and not another."""
    paths, outlets, sinks, scale = scene(tiny)
    true = dimension("t", 5.0 + right - left, 2.0 + left, 7.0 + right)
    (told,) = figured(paths, (true,), outlets, sinks, scale)
    assert told.figured
    assert told.length_ft == pytest.approx(paths[0].length_ft, abs=1e-9)


# ------------------------------------------------------------------------------------------------- heights


def heights(tiny, height: float | None, rim: float | None, kind: str = "sink") -> tuple[CordPath, CordPath]:
    paths, (outlet,), (sink,), _ = scene(tiny, 0.0)
    labels = () if height is None else (Label(f"+{height}", (0.0, 0.0), (("height_in", height),)),)
    high: Outlet = replace(outlet, symbol=replace(outlet.symbol, labels=labels))
    entry = replace(sink.symbol.entry, rim_in=rim, kind=kind)
    bowl: Fixture = replace(sink, symbol=replace(sink.symbol, entry=entry))
    (path,) = in_space(paths, (high,), (bowl,))
    return paths[0], path


def test_the_length_in_space_of_a_box_corner(tiny) -> None:
    flat, path = heights(tiny, 42.0, 36.0)
    assert path.length_3d_ft == pytest.approx(math.hypot(flat.length_ft, 0.5))
    assert path.length_ft == flat.length_ft
    assert heights(tiny, 30.0, 36.0)[1].length_3d_ft == path.length_3d_ft
    assert path.uncertainty_ft > flat.uncertainty_ft


@pytest.mark.parametrize(("height", "rim"), [(None, 36.0), (42.0, None), (None, None)])
def test_one_height_alone_says_nothing(tiny, height: float | None, rim: float | None) -> None:
    flat, path = heights(tiny, height, rim)
    assert path == flat
    assert path.length_3d_ft is None


def test_the_side_of_a_tub_is_an_edge(tiny) -> None:
    flat, low = heights(tiny, 12.0, 20.0, "bathtub")
    assert low.length_3d_ft == pytest.approx(flat.length_ft)
    _, high = heights(tiny, 68.0, 20.0, "bathtub")
    assert high.length_3d_ft == pytest.approx(math.hypot(flat.length_ft, 4.0))


def test_what_a_dimension_leaves_over_is_as_uncertain_as_the_scale(tiny) -> None:
    """To the middle of a bowl 1 1/2 ft wide: 3/4 ft of the way back to its edge, and 0.3 ft across, are scaled."""
    paths, outlets, sinks, scale = scene(tiny, tolerance=0.03)
    (told,) = figured(paths, (dimension("5'-9\"", 5.75, 2.0, 7.75),), outlets, sinks, scale)
    assert told.uncertainty_ft == pytest.approx(0.5 / 12 + 0.03 * (0.75 + 0.3), abs=1e-4)
    (past,) = figured(
        paths, (dimension("4'-9\"", 4.75, 2.25, 7.0),), outlets, sinks, scale
    )  # 4.5 pt off the outlet
    assert past.uncertainty_ft == pytest.approx(0.5 / 12 + 0.03 * (0.25 + 0.25 + 0.3), abs=1e-4)


@pytest.mark.parametrize(("height", "rim"), [(12.0, 20.0), (20.0, 20.0), (0.5, 20.0)])
def test_an_outlet_below_the_rim_of_a_tub_is_no_farther_than_in_the_plan(tiny, height: float, rim: float) -> None:
    plan, space = heights(tiny, height, rim, kind="bathtub")
    assert space.length_3d_ft == pytest.approx(plan.length_ft, abs=1e-9)
    assert space.uncertainty_ft == pytest.approx(plan.uncertainty_ft, abs=1e-9)


def test_heights_are_exact_to_an_inch_each(tiny) -> None:
    """A rise of 3 ft and 4 ft in the plan: 3/5 of two inches come to the uncertainty."""
    plan, space = heights(tiny, 72.0, 36.0)
    share = 3.0 / math.hypot(plan.length_ft, 3.0)
    assert space.uncertainty_ft - plan.uncertainty_ft == pytest.approx(share * 2 / 12, abs=1e-6)
