"""Segments about circles, kept in one table: the same as the grid tells each time."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import FloatArray
from cordpath.symbols.ink.normalise import Ink, normalise
from cordpath.symbols.letters.glyphs import Glyphs, turned
from cordpath.symbols.letters.near_reading import asked_once
from cordpath.symbols.matching import about_circles
from cordpath.symbols.matching.about_circles import SHORTEST, AboutCircles
from cordpath.symbols.pose import place

CORNERS = 16


def _circle(x: float, y: float, radius: float) -> FloatArray:
    angle = np.linspace(0.0, 2 * np.pi, CORNERS + 1)
    at = np.c_[x + radius * np.cos(angle), y + radius * np.sin(angle)]
    return np.c_[at[:-1], at[1:]]


def _ink(seed: int) -> Ink:
    rng = np.random.default_rng(seed)
    start = rng.uniform(0, 60, (40, 2))
    lines = np.c_[start, start + rng.normal(0, 8, (40, 2))]
    xy = np.r_[lines, *(_circle(x, y, 3.0 + n) for n, (x, y) in enumerate(rng.uniform(0, 60, (4, 2)).tolist()))]
    return normalise(xy, np.full(len(xy), -1), np.ones(len(xy), bool), np.zeros((0, 4)))


def _asked_of_the_grid(ink: Ink, circles: list[int], reach: float) -> list[tuple[int, int]]:
    of, k = ink.grid.near(ink.arcs.circles[circles, :2], reach)
    straight = (k < ink.count) & ~ink.curved[k] & (ink.lengths[k] > SHORTEST)
    return list(zip(of[straight].tolist(), k[straight].tolist(), strict=True))


@settings(max_examples=20)
@given(st.integers(0, 200), st.lists(st.tuples(st.sets(st.integers(0, 3)), st.floats(0.5, 40.0)), max_size=6))
def test_the_table_tells_what_the_grid_tells_in_any_order_of_questions(
    seed: int, questions: list[tuple[set[int], float]]
) -> None:
    ink = _ink(seed)
    table = AboutCircles(ink)
    for chosen, reach in questions:
        circles = sorted(k for k in chosen if k < len(ink.arcs.circles))
        place_, segment = table.within(np.array(circles, np.int64), reach)
        assert list(zip(place_.tolist(), segment.tolist(), strict=True)) == _asked_of_the_grid(ink, circles, reach)


def test_there_are_circles_and_lines_about_them() -> None:
    ink = _ink(3)
    assert len(ink.arcs.circles) >= 3
    assert len(AboutCircles(ink).within(np.arange(len(ink.arcs.circles)), 30.0)[0]) > 20


def test_circles_are_looked_at_a_few_at_once_as_all_together(monkeypatch: pytest.MonkeyPatch) -> None:
    ink = _ink(3)
    circles = np.arange(len(ink.arcs.circles))
    every = AboutCircles(ink).within(circles, 30.0)
    monkeypatch.setattr(about_circles, "AT_ONCE", 2)
    few = AboutCircles(ink).within(circles, 30.0)
    assert all((one == two).all() for one, two in zip(every, few, strict=True))


def test_one_pose_is_placed_as_among_many_number_for_number() -> None:
    rng = np.random.default_rng(5)
    poses = np.c_[
        rng.uniform(-900, 900, (50, 2)), rng.uniform(-7, 7, 50), rng.integers(0, 2, 50), rng.uniform(0.4, 2, 50)
    ]
    points = rng.uniform(-20, 20, (30, 2))
    many = place(poses, points)
    assert all((place(pose[None], points)[0] == many[k]).all() for k, pose in enumerate(poses))


@pytest.mark.parametrize("angle", [0.0, 90.0, 270.0, 33.0])
def test_glyphs_are_turned_as_each_by_itself(angle: float) -> None:
    rng = np.random.default_rng(7)
    xy = [rng.uniform(0, 30, (n, 4)) for n in (1, 5, 3, 2)]
    seen = Glyphs(xy, [np.array([k]) for k in range(4)], np.zeros((4, 4)), False).seen(angle)
    assert (np.diff(seen.box[:, 0]) >= 0).all()
    for strokes, (which,), box in zip(seen.xy, seen.segments, seen.box, strict=True):
        alone = (xy[which].reshape(-1, 2) @ turned(angle)).reshape(-1, 4)
        assert np.allclose(strokes, alone, atol=1e-12)
        ends = alone.reshape(-1, 2)
        assert np.allclose(box, [*ends.min(0), *ends.max(0)], atol=1e-12)


def test_a_question_is_asked_again_only_where_it_is_another_one() -> None:
    asked = []

    def answer(name: str, pose: FloatArray, words: list[int]) -> float:
        asked.append(name)
        return float(pose.sum())

    ask = asked_once(answer)
    pose = np.arange(3.0)
    assert ask("a", pose, [1]) == ask("a", pose.copy(), [1]) == 3.0
    assert ask("a", pose + 1, [1]) == 6.0
    ask("a", pose, [2])
    ask("b", pose, [1])
    assert asked == ["a", "a", "a", "b"]
