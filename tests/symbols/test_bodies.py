"""Bodies that are looked at together are told the same as each by itself."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from cordpath.symbols import spot
from cordpath.symbols.candidates import candidates_of, sought_on
from cordpath.symbols.examples.examples import NO_EXAMPLES
from cordpath.symbols.ink.grid import Grid
from cordpath.symbols.matching.bodies import Pairs, together
from cordpath.symbols.matching.hatch_rows import rows_across
from cordpath.symbols.matching.others_ink import others_across
from symbols.test_others_ink import PLAIN, RECTANGLE, ZIGZAG, ticked
from symbols.test_spot import DUPLEX, at, sheet_of, strokes_of

ITEMS = st.lists(st.lists(st.integers(0, 9), max_size=6), min_size=1, max_size=4)


@given(ITEMS, ITEMS)
def test_pairs_are_sets_of_items_body_by_body(one: list[list[int]], other: list[list[int]]) -> None:
    count = max(len(one), len(other))
    mine, theirs = (Pairs.of([np.array(items, np.int64) for items in each]) for each in (one, other))
    once = mine.once()
    assert [items.tolist() for items in once.by_body(count)[: len(one)]] == [sorted(set(items)) for items in one]
    assert once.places(mine).tolist() == [
        once.body.searchsorted(k) + sorted(set(items)).index(n) for k, items in enumerate(one) for n in items
    ]
    known = [set(items) for items in other] + [set[int]()] * count
    assert mine.among(theirs).tolist() == [n in known[k] for k, items in enumerate(one) for n in items]


@given(st.integers(0, 999), st.integers(1, 6))
def test_what_is_near_places_with_reaches_of_their_own_is_what_is_near_each(seed: int, places: int) -> None:
    rng = np.random.default_rng(seed)
    begin = rng.uniform(0, 60, (30, 2))
    grid = Grid(np.c_[begin, begin + rng.normal(0, 12, (30, 2))])
    centres, reach = rng.uniform(-10, 70, (places, 2)), rng.uniform(0.1, 25, places)
    of, segment = grid.near(centres, reach)
    for k in range(places):
        assert segment[of == k].tolist() == grid.near(centres[k : k + 1], float(reach[k]))[1].tolist()


def test_candidates_judged_together_are_judged_as_each_alone() -> None:
    """A rectangle, a zigzag, a dimension line and rows of hatch, each across an outlet of its own."""
    rows = [np.array([[92.0, 100 + 3.1 * k, 130.0, 100 + 3.1 * k]]) for k in range(-12, 13)]
    over = [[RECTANGLE], [ZIGZAG], ticked(-1.3, 20.0), rows]
    shift = [np.array([dx, 0.0, dx, 0.0]) for dx in (0.0, 90.0, 180.0, 270.0)]
    xy = [part + move for parts, move in zip(over, shift, strict=True) for part in parts]
    sheet = sheet_of([*xy, *(strokes_of(DUPLEX, at(100 + move[0], 100)) for move in shift)], ())
    sought = sought_on(sheet, PLAIN, (), NO_EXAMPLES, None)
    candidates = candidates_of(sought).likely
    assert sum(len(which) for which, _ in together(candidates)) == len(candidates) >= 4
    hatch = rows_across(candidates)
    across = others_across(candidates, hatch)
    assert sum(len(each) > 0 for each in hatch) >= 1
    assert sum(len(each) > 0 for each in across) >= 3
    for c, own, others in zip(candidates, hatch, across, strict=True):
        assert rows_across([c])[0].tolist() == own.tolist()
        assert others_across([c], [own])[0].tolist() == others.tolist()
    assert len(spot(sheet, PLAIN, ()).symbols) == 4
