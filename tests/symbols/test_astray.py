"""A label of protection from which a line leads away to no device that was found clears no outlet beside it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cordpath.model import Drawing, Mapping
from cordpath.symbols.labels.labels import attach
from cordpath.symbols.letters.glyphs import turned
from symbols.test_labels import DUPLEX, given_to, sheet, symbol, word

LABEL = (100.0, 116.0)  # its sides are at 94.1 and 105.9


def _headed(x: float, y: float, to: float, down: float) -> list[tuple[float, ...]]:
    """A line from a place to another, with an arrowhead."""
    way = np.array([to - x, down - y]) / np.hypot(to - x, down - y)
    (a, b), (c, d) = ((to, down) - 5 * (way @ [[0.9, s * 0.44], [-s * 0.44, 0.9]]) for s in (1, -1))
    return [(x, y, to, down), (to, down, a, b), (to, down, c, d)]


def _ring(x: float, y: float, radius: float, chords: int) -> list[tuple[float, ...]]:
    turn = np.linspace(0, 2 * np.pi, chords + 1)
    at = np.c_[x + radius * np.cos(turn), y + radius * np.sin(turn)]
    return [tuple(each) for each in np.c_[at[:-1], at[1:]].tolist()]


AWAY = [
    [*_headed(100.0, 121.0, 75.0, 146.0), *_headed(100.0, 121.0, 125.0, 146.0)],  # at a right angle
    [(107.0, 116.0, 130.0, 132.0)],
    [(93.0, 117.0, 84.0, 117.0), (84.0, 117.0, 70.0, 140.0)],  # with a landing
    [(107.0, 116.0, 130.0, 116.0), (130.0, 116.0, 127.0, 114.0), (130.0, 116.0, 127.0, 118.0)],  # with an arrowhead
    [(107.0, 116.0, 140.0, 116.0), (140.0, 116.0, 132.0, 113.0), (140.0, 116.0, 132.0, 119.0)],  # with a larger one
    [(93.0, 120.5, 107.0, 120.5), (107.0, 120.5, 125.0, 150.0)],  # from a line under the text
    [(107.0, 116.0, 130.0, 140.0), (60.0, 140.0, 200.0, 140.0)],  # to a wall
    [
        (107.0, 116.0, 140.0, 116.0),
        (140.0, 20.0, 140.0, 300.0),
        (140.0, 116.0, 135.0, 114.0),
        (140.0, 116.0, 135.0, 118.0),
    ],  # square to it, with an arrowhead
    _headed(107.0, 116.0, 117.0, 157.0),  # steep
    [(107.0, 116.0, 130.0, 132.0), *_ring(130.0, 132.0, 1.4, 12)],  # with a dot
    [(107.0, 116.0, 130.0, 132.0), *_ring(131.6, 133.2, 2.0, 4)],  # with a loop
    [(107.0, 116.0, 130.0, 132.0), *_ring(131.6, 133.2, 2.0, 24)],
    [(113.0, 116.0, 123.0, 157.0), *_ring(123.0, 157.0, 1.4, 12)],  # steep, with a dot, 7 pt off
    [(113.0, 116.0, 123.0, 157.0), (121.0, 159.0, 125.0, 155.0)],  # the same with a slash through its end
]
BOX = [(93.5, 111.5, 106.5, 111.5), (106.5, 111.5, 106.5, 120.5), (106.5, 120.5, 93.5, 120.5),
       (93.5, 120.5, 93.5, 111.5)]  # fmt: skip
OTHERS = {
    "to its outlet": [(107.0, 116.0, 112.0, 116.0 - 8), (112.0, 108.0, 105.0, 102.0)],
    "to its outlet from the middle": [(112.0, 111.0, 112.0, 106.0), (112.0, 106.0, 104.0, 103.0)],
    "an edge from below": [(100.0, 122.0, 100.0, 150.0), (100.0, 150.0, 130.0, 150.0),
                           (130.0, 150.0, 130.0, 180.0),
                           (130.0, 180.0, 160.0, 180.0), (160.0, 180.0, 160.0, 220.0)],
    "a box": BOX,
    "a corner": [(107.0, 120.5, 130.0, 120.5), (107.0, 120.5, 107.0, 150.0)],
    "along a side": [(94.0, 121.5, 120.0, 124.0)],
    "a wall below": [(80.0, 124.0, 140.0, 124.0)],
    "an edge with corners": [(107.0, 116.0, 130.0, 116.0), (130.0, 116.0, 130.0, 180.0),
                             (130.0, 180.0, 90.0, 180.0),
                             (90.0, 180.0, 90.0, 240.0), (90.0, 240.0, 130.0, 240.0)],
    "a branch": [(107.0, 116.0, 130.0, 132.0), (130.0, 132.0, 150.0, 132.0), (130.0, 132.0, 130.0, 160.0)],
    "underlined": [(93.0, 120.5, 107.0, 120.5)],
    "dashes": [(107.0 + 12 * k, 117.0, 115.0 + 12 * k, 117.0) for k in range(4)],
    "a line that the text breaks": [(60.0, 116.0, 93.0, 116.0), (107.0, 116.0, 140.0, 116.0)],
    "upright beside it": [(107.5, 117.0, 107.5, 160.0)],
    "an extension line": [(100.0, 128.0, 100.0, 160.0), (40.0, 156.0, 100.0, 156.0), (100.0, 156.0, 240.0, 156.0),
                          (97.0, 159.0, 103.0, 153.0)],
    "a wall that ends on a longer one": [(107.0, 116.0, 130.0, 116.0), (130.0, 20.0, 130.0, 300.0)],
}  # fmt: skip


TURN = np.linspace(0, np.pi / 2, 13)
BOW = np.c_[100.0 + 60 - 60 * np.cos(TURN), 121.0 + 60 * np.sin(TURN)]
FROM_BELOW = [
    [(100.0, 121.0, 125.0, 160.0)],
    [(98.0, 121.0, 98.0, 160.0)],
    [(101.0, 121.0, 101.0, 133.0), (101.0, 133.0, 130.0, 150.0)],  # with a landing
    [(107.0, 121.0, 130.0, 140.0)],  # from a corner
    [(107.0, 116.0, 300.0, 216.0)],  # longer than 2 in
    [tuple(each) for each in np.c_[BOW[:-1], BOW[1:]].tolist()],  # a curve as many strokes
    [(100.0, 121.0, 75.0, 160.0), (100.0, 121.0, 125.0, 160.0)],  # two that begin together
    [*BOX, (106.5, 116.0, 140.0, 150.0)],  # from a box around it
    [*BOX, (106.5, 120.5, 140.0, 150.0)],  # from the corner of a box
]
BOWED = np.c_[BOW[:-1], BOW[1:]]  # with an arrowhead, which lies far off from the way to its begin
FROM_BELOW.append([*map(tuple, BOWED.tolist()), (160.0, 181.0, 154.0, 178.5), (160.0, 181.0, 154.0, 183.5)])
BELOW = [
    "straight",
    "upright",
    "landing",
    "corner",
    "long",
    "curve",
    "fan",
    "boxed",
    "corner of a box",
    "curve with a head",
]


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0])
@pytest.mark.parametrize("lines", FROM_BELOW, ids=BELOW)
def test_a_line_may_leave_a_label_anywhere_and_be_as_long_as_it_is(
    lines: list[tuple[float, ...]], turn: float
) -> None:
    """Lines from the middle of a text's edge, from its corner, of more than 2 in, of many strokes, of a fan or from
    a box were none: the outlet beside the label was protected for certain.  The drawing is turned about the outlet.
    """
    points = (np.array(lines).reshape(-1, 2) - 100) @ turned(turn) + 100
    x, y = (np.array(LABEL) - 100) @ turned(turn) + 100
    drawn = [tuple(each) for each in points.reshape(-1, 4).tolist()]
    _, (done,), _ = given_to([symbol(100, 100)], [word("GFI", float(x), float(y), turn)], drawn)
    assert done.fact("protection") is None and done.fact("protection_unsure") == "device"


@pytest.mark.parametrize(
    "lines",
    AWAY,
    ids=[
        "two",
        "straight",
        "landing",
        "arrow",
        "larger arrow",
        "underline",
        "wall",
        "square to a wall",
        "steep",
        "dot",
        "loop",
        "round loop",
        "far off with a dot",
        "far off with a slash",
    ],
)
def test_a_label_with_a_line_that_leads_away_is_a_question(lines: list[tuple[float, ...]]) -> None:
    """The outlet beside the label was protected for certain."""
    _, (done,), _ = given_to([symbol(100, 100)], [word("GFI", *LABEL)], lines)
    assert done.fact("protection") is None and done.fact("protection_unsure") == "device"


@pytest.mark.parametrize("curve", [0, -1])
def test_a_bent_or_curved_line_to_another_outlet_asks_at_both(curve: int) -> None:
    """Nobody followed it: the outlet beside the label was protected for certain, the other plainly was not."""
    turn = np.linspace(0, np.pi / 2, 40 if curve == 0 else 4 + 1)
    points = np.c_[107.0 + 43 * np.sin(turn), 157.0 - 41 * np.cos(turn)]
    line = np.c_[points[:-1], points[1:]]
    drawn = sheet([word("GFI", *LABEL)], [tuple(each) for each in line.tolist()])
    strokes = replace(drawn.strokes, curve=np.full(len(line), curve, np.int64))
    near, far = symbol(100, 100), symbol(150, 164)
    done, _ = attach((near, far), replace(drawn, strokes=strokes), Mapping("m", Drawing(), (DUPLEX,), (), ()))
    assert [each.fact("protection") for each in done] == [None, None]
    assert [each.fact("protection_unsure") for each in done] == ["device", "device"]


def test_the_swing_of_a_door_through_a_label_leads_nowhere() -> None:
    """Its chords over the text were taken for letters, and the rest began at the text: every such label asked."""
    at = [122.2, 138.2] - 30 * np.c_[np.sin(TURN), np.cos(TURN)]
    line = np.c_[at[:-1], at[1:]]
    drawn = sheet([word("GFI", *LABEL)], [tuple(each) for each in line.tolist()])
    strokes = replace(drawn.strokes, curve=np.arange(len(line)) // 6)  # two curves that meet in the text
    mapping = Mapping("m", Drawing(), (DUPLEX,), (), ())
    (done,), _ = attach((symbol(100, 100),), replace(drawn, strokes=strokes), mapping)
    assert done.fact("protection") == "device"


RING = np.c_[140 + 14 * np.cos(4 * TURN[:-1]), 180 + 14 * np.sin(4 * TURN[:-1])]
DOWN = np.linspace(0, 1, 31)[:, None] * [-32.0, -64.0] + [138.0, 174.0]
HANGING = RING[8] + np.linspace(0, 1, 31)[:, None] * ([106.0, 109.0] - RING[8])
FAR = {
    "from a ring": [*np.c_[RING, np.roll(RING, -1, axis=0)].tolist(), (133.0, 167.88, 106.0, 109.0)],
    "from a box": [(128.0, 172.0, 152.0, 172.0), (152.0, 172.0, 152.0, 188.0), (152.0, 188.0, 128.0, 188.0),
                   (128.0, 188.0, 128.0, 172.0), (130.0, 172.0, 106.0, 109.0)],
    "with a short landing": [(132.5, 180.0, 129.0, 180.0), (129.0, 180.0, 106.0, 109.0)],
    "farther off": [(136.0, 168.0, 106.0, 109.0)],
    "from a ring that a curve hangs on": [
        *np.c_[RING, np.roll(RING, -1, axis=0)].tolist(),
        *np.c_[HANGING[:-1], HANGING[1:]].tolist(),
    ],
    "many strokes": np.c_[DOWN[:-1], DOWN[1:]].tolist(),
    "dashes": np.c_[DOWN[:-1:2], DOWN[1::2]].tolist(),
}  # fmt: skip


@pytest.mark.parametrize("lines", FAR.values(), ids=FAR)
def test_a_line_of_any_form_from_a_label_out_of_reach_asks_where_it_ends(lines: list[tuple[float, ...]]) -> None:
    """The outlet was missing protection for certain, and the label told as one with no symbol near."""
    _, (done, other), _ = given_to([symbol(100, 100), symbol(60, 100)], [word("GFI", 140, 180)], lines)
    assert done.fact("protection") is None and done.fact("protection_unsure") is not None
    assert not other.labels


@pytest.mark.parametrize("lines", [[(107.0, 116.0, 110.5, 116.0), (110.5, 116.0, 150.0, 140.0)],
                                   [(107.0 + 8 * k, 117.0 + 4 * k, 111.0 + 8 * k, 119.0 + 4 * k) for k in range(6)]
                                   + [(151.0, 139.0, 147.0, 139.5), (151.0, 139.0, 149.0, 135.5)]],
                         ids=["landing", "dashes with a head"])  # fmt: skip
def test_a_short_landing_and_dashes_lead_away_as_well(lines: list[tuple[float, ...]]) -> None:
    """The outlet beside the label was protected for certain."""
    _, (done,), _ = given_to([symbol(100, 100)], [word("GFI", *LABEL)], lines)
    assert done.fact("protection") is None and done.fact("protection_unsure") == "device"


@pytest.mark.parametrize("lines", [[(113.0, 116.0, 150.0, 138.0)], [(100.0, 126.0, 118.0, 170.0)],
                                   _headed(113.0, 116.0, 121.0, 160.0)],
                         ids=["aside", "below", "steep with a head"])  # fmt: skip
def test_a_line_that_begins_farther_off_leads_away_where_it_comes_from_the_label(
    lines: list[tuple[float, ...]],
) -> None:
    """More than 4.5 pt from the text it was none of it: the outlet was protected for certain."""
    _, (done,), _ = given_to([symbol(100, 100)], [word("GFI", *LABEL)], lines)
    assert done.fact("protection") is None and done.fact("protection_unsure") == "device"
    passing = [(113.0, 117.0, 113.0, 160.0)]
    _, (done,), _ = given_to([symbol(100, 100)], [word("GFI", *LABEL)], passing)
    assert done.fact("protection") == "device"


@pytest.mark.parametrize("lines", OTHERS.values(), ids=OTHERS)
def test_other_lines_beside_a_label_leave_it_its_outlet(lines: list[tuple[float, ...]]) -> None:
    _, (done,), _ = given_to([symbol(100, 100)], [word("GFI", *LABEL)], lines)
    assert done.fact("protection") == "device"


def test_a_label_that_a_label_astray_had_pushed_off_clears_nothing() -> None:
    """One of two labels leads away; the other may then be that of the outlet that it stands nearer to."""
    two = [symbol(100, 100), symbol(132, 100)]
    words = [word("GFI", 106, 116), word("GFCI", 112, 86)]
    assert [each.fact("protection") for each in given_to(two, words)[1]] == ["device", "device"]
    done = given_to(two, words, [(113.0, 116.0, 130.0, 150.0)])[1]
    assert [each.fact("protection") for each in done] == [None, None]


def test_a_stroke_of_a_drawn_letter_in_line_with_a_leader_is_none_of_it() -> None:
    """The leader seemed to run on beyond its text, as a wall does that a text breaks: the outlet was protected."""
    letter = (98.08, 118.0, 96.8, 116.0)
    _, (done,), _ = given_to([symbol(100, 100)], [word("GFI", *LABEL)], [(100.0, 121.0, 125.0, 160.0), letter])
    assert done.fact("protection") is None and done.fact("protection_unsure") == "device"
