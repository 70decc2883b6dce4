"""What is looked up of the ink near a pose."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.model import CircleMark, IntArray, LineMark, Mark, PolylineMark, SymbolEntry
from cordpath.symbols.ink.normalise import Ink, normalise
from cordpath.symbols.matching.coverage import coverage
from cordpath.symbols.matching.fit import fitted
from cordpath.symbols.matching.hypothesise import Places
from cordpath.symbols.matching.pieces import Beside, Near, Pieces, pieces
from cordpath.symbols.matching.verify import verified
from cordpath.symbols.pose import place
from cordpath.symbols.templates.template import Template, make

R = 0.0833
DUPLEX = (CircleMark((0, 0), R), LineMark((-0.12, -0.03), (0.12, -0.03)), LineMark((-0.12, 0.03), (0.12, 0.03)))
LONG = (LineMark((-0.2, 0), (0.2, 0)), LineMark((-0.2, 0.05), (0.2, 0.05)))
LARGE = (CircleMark((0, 0), 1.1), LineMark((-1.1, 0), (1.1, 0)))


def scattered(seed: int) -> Ink:
    rng = np.random.default_rng(seed)
    start = rng.uniform(0, 200, (400, 2))
    turn = rng.choice([0.0, 0.3, np.pi / 2, 2.0], 400)
    length = rng.choice([2.0, 12.0, 80.0], 400)
    xy = np.c_[start, start + np.c_[np.cos(turn), np.sin(turn)] * length[:, None]]
    return normalise(xy, np.full(400, -1), np.ones(400, bool), np.zeros((0, 4)))


def template_of(marks: tuple[Mark, ...]) -> Template:
    return make(SymbolEntry("x", "receptacle", shape=marks), marks, 72.0, 0.95, 1.05, None)


def coarsely_touching(template: Template, p: Pieces) -> tuple[IntArray, IntArray]:
    beside = Beside.of(template, p)
    on = beside.touching(template, 0.7 * template.reach, 0.5)
    return beside.piece[on], beside.sample[on]


@pytest.mark.parametrize("marks", [DUPLEX, LONG, LARGE])
@pytest.mark.parametrize("share", [0.5, 1.0])
def test_what_is_left_out_lies_on_no_mark(marks: tuple[Mark, ...], share: float) -> None:
    ink, rng = scattered(7), np.random.default_rng(3)
    template = template_of(marks)
    poses = np.c_[
        rng.uniform(0, 200, (60, 2)), rng.uniform(0, 7, 60), np.arange(60) % 2, rng.uniform(0.95, 1.05, 60)
    ]
    whole = pieces(template, ink, poses, share * template.step)
    some = pieces(template, ink, poses, share * template.step, marks=True)
    fewer = False
    for (_, p), (_, q) in zip(whole, some, strict=True):
        k, j = coarsely_touching(template, p)
        m, n = coarsely_touching(template, q)
        assert len(k)
        assert np.array_equal(
            np.c_[p.of_pose[p.row[k]], j, p.x[k], p.y[k]], np.c_[q.of_pose[q.row[m]], n, q.x[m], q.y[m]]
        )
        named = [np.flatnonzero(each.on(template.maps) >= 0) for each in (p, q)]
        assert np.array_equal(p.x[named[0]], q.x[named[1]])
        fewer |= len(q.x) < len(p.x)
    assert fewer


def among_lines(marks: tuple[Mark, ...]) -> tuple[Template, Ink, np.ndarray]:
    """The marks drawn at twelve poses among scattered lines, and poses that miss them by a little."""
    template, rng = template_of(marks), np.random.default_rng(5)
    at = rng.uniform(20, 180, (12, 2))
    poses = np.c_[at, rng.uniform(0, 7, 12), np.arange(12) % 2, rng.uniform(0.97, 1.03, 12)]
    chords, _ = template.drawn.chords()
    drawn = place(poses, chords.reshape(-1, 2)).reshape(-1, 4)
    xy = np.r_[drawn, scattered(7).xy]
    ink = normalise(xy, np.full(len(xy), -1), np.ones(len(xy), bool), np.zeros((0, 4)))
    missed = np.repeat(poses, 3, axis=0)
    missed[:, :3] += rng.uniform(-1, 1, (36, 3)) * [0.3, 0.3, 0.2 / template.radius]
    return template, ink, missed


@pytest.mark.parametrize("marks", [DUPLEX, LARGE])
def test_a_fit_finds_the_marks_and_the_ink_beside_them_tells_their_coverage(marks: tuple[Mark, ...]) -> None:
    template, ink, missed = among_lines(marks)
    poses, near = fitted(template, ink, missed, 0.0)
    assert len(poses) == len(missed)
    covered = coverage(template, ink, poses, near)
    assert covered.min() > 0.97
    assert np.array_equal(covered, coverage(template, ink, poses))


def test_what_is_hardly_drawn_is_not_fitted() -> None:
    template, ink, missed = among_lines(DUPLEX)
    elsewhere = missed + np.array([300.0, 0, 0, 0, 0])
    both = np.r_[elsewhere, missed]
    assert len(fitted(template, ink, both, 0.75)[0]) == len(missed)
    assert len(fitted(template, ink, elsewhere, 0.75)[0]) == 0


def test_a_pose_that_moves_on_sees_what_lies_there() -> None:
    template, ink, missed = among_lines(DUPLEX)
    poses, near = fitted(template, ink, missed, 0.0)
    assert near is not None
    swapped = Near(np.roll(near.poses, 3, axis=0), near.start, near.segment, near.drift)
    assert np.array_equal(coverage(template, ink, poses, swapped), coverage(template, ink, poses))


@pytest.mark.parametrize(("radius", "sides", "more", "weak"), [
    (2.0, 8, 0, "a bare circle or arc"), (2.0, 8, 1, "a circle or arc with one line"), (2.0, 8, 2, None),
    (6.0, 8, 0, None), (6.0, 24, 0, "a bare circle or arc"), (6.0, 6, 1, None),
])  # fmt: skip
def test_a_polygon_that_looks_like_a_circle_is_as_weak(
    radius: float, sides: int, more: int, weak: str | None
) -> None:
    """Circles of 2 pt in the clutter were found for certain as an octagon."""
    r = radius / 72
    angle = np.arange(sides) * 2 * np.pi / sides
    corners = tuple((float(r * x), float(r * y)) for x, y in zip(np.cos(angle), np.sin(angle), strict=True))
    bars = tuple(LineMark((-1.5 * r, 0.3 * k * r), (1.5 * r, 0.3 * k * r)) for k in range(more))
    assert template_of((PolylineMark(corners, closed=True), *bars)).weak == weak


def test_a_polygon_with_a_mark_is_found_by_whichever_side_is_drawn_in_one_piece() -> None:
    """Of random designs, a triangle with a tick and an octagon with a tail were the bare ones, for certain.

    As drawn on a grid: one side in one piece, which is not the first of the template, and a tick that is bent."""
    a = np.radians([90, 210, 330])
    corners = tuple((float(5 / 72 * x), float(5 / 72 * y)) for x, y in zip(np.cos(a), np.sin(a), strict=True))
    marks = (PolylineMark(corners, closed=True), LineMark((-1 / 72, -6.5 / 72), (1 / 72, -4 / 72)))
    triangle = [(5.88, 4.92), (10.2, 7.44), (10.56, 7.68), (13.44, 9.24), (13.44, 0.6), (8.4, 3.48), (8.04, 3.72)]
    tick = [(17.4, 5.88), (16.32, 5.16), (16.08, 4.92), (14.88, 3.96)]
    xy = np.concatenate([np.c_[line[:-1], line[1:]] for line in ([*triangle, triangle[0]], tick)])
    ink = normalise(xy, np.full(len(xy), -1), np.ones(len(xy), bool), np.zeros((0, 4)))
    template = template_of(marks)
    assert verified(template, ink, Places(ink).poses(template))[1].max() > 0.98
