"""Groups of linked things, by the sparse matrix and by following few links."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from cordpath.symbols.arcs import FEW_LINKS, components


@st.composite
def linked(draw: st.DrawFn) -> tuple[int, list[tuple[int, int]]]:
    count = draw(st.integers(1, 40))
    member = st.integers(0, count - 1)
    return count, draw(st.lists(st.tuples(member, member), max_size=FEW_LINKS))


@given(linked())
def test_few_links_make_the_same_groups_as_many(drawn: tuple[int, list[tuple[int, int]]]) -> None:
    count, links = drawn
    a, b = np.array(links, np.int64).reshape(-1, 2).T
    filler = np.zeros(FEW_LINKS + 1, np.int64)  # links of a thing with itself change nothing
    few, many = components(a, b, count), components(np.r_[a, filler], np.r_[b, filler], count)
    assert few[0] == many[0] and few[1].tolist() == many[1].tolist()
