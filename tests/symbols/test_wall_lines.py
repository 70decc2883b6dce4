"""Legends draw their signs on a piece of wall, which is no part of them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from cordpath.model import Drawing, Fills, FloatArray, Mapping, Picked, Scale, Sheet, SymbolEntry
from cordpath.symbols import gather_examples, spot
from drawn_page import duplex, frame, kinds, sheet

WALL, SERIF = 8.0, 3.0  # pt, half the line across the foot
SCALE = Scale("v1", 48.0, "note", '1/4" = 1\'-0"', "proved")
PLACES = ((100.0, 200.0), (180.0, 200.0), (260.0, 200.0))
BOXES = (((500.0, 100.0), 2.0), ((560.0, 100.0), 4.0))  # boxes at walls, with half the length of the bar in each
PICKED = {"duplex": (500.0, 100.0), "quadruplex": (560.0, 100.0)}


def _sign(x: float, y: float, quadruplex: bool, foot: float | None) -> FloatArray:
    more = [[x - 5.4, y, x + 5.4, y]] if quadruplex else np.zeros((0, 4))
    line = [[x - foot, y - 10, x + foot, y - 10]] if foot else np.zeros((0, 4))
    return np.concatenate([duplex(x, y), more, line])


def _page(feet: tuple[float | None, float | None], plan: bool = True) -> tuple[Sheet, Mapping]:
    """The walls of the plan are areas; only the signs stand on lines."""
    signs = [_sign(*at, name == "quadruplex", foot) for (name, at), foot in zip(PICKED.items(), feet, strict=True)]
    drawn = [_sign(*at, k == 2, None) for k, at in enumerate(PLACES)] if plan else []
    wall = np.array([shapely.box(40, 182, 400, 190)], object)
    fills = Fills(wall, np.zeros((1, 3)), np.ones(1), np.full(1, -1), np.zeros(1, np.int64))
    entries = tuple(
        SymbolEntry(
            name, "receptacle", picked=Picked("f.pdf", 1, (x - 12, y - 12, x + 12, y + 12)), wall_side=(0, -1)
        )
        for name, (x, y) in PICKED.items()
    )
    return sheet([*signs, *drawn], fills=fills), Mapping("m.yaml", Drawing(), entries)


def test_a_line_that_all_outlets_stand_on_is_a_wall() -> None:
    """Every outlet on walls that are areas lacked one line: all were asked about, or taken for another symbol."""
    page, mapping = _page((WALL, WALL))
    examples = gather_examples(mapping, {("f.pdf", 1): page})
    assert kinds(examples.marks("duplex"))["LineMark"] == 2 and kinds(examples.marks("quadruplex"))["LineMark"] == 3
    assert (
        examples.notes[-1] == "quadruplex: the line that it stands on is taken for a wall, which is no part of it"
    )
    assert all(each.marks == examples.marks(each.name) for each in examples.learnt)
    again = gather_examples(mapping, {}, examples)
    assert again.shapes == examples.shapes
    found = spot(page, mapping, (SCALE,), examples).symbols
    assert [s.entry.name for s in sorted(found, key=lambda s: s.at) if s.found and s.at[0] < 300] == [
        "duplex", "duplex", "quadruplex",
    ]  # fmt: skip


@pytest.mark.parametrize("feet", [(WALL, None), (SERIF, SERIF), (None, None)])
def test_a_line_that_tells_signs_apart_or_is_a_serif_stays(feet: tuple[float | None, float | None]) -> None:
    page, mapping = _page(feet, plan=False)
    examples = gather_examples(mapping, {("f.pdf", 1): page})
    lines = [kinds(examples.marks(name))["LineMark"] for name in PICKED]
    assert lines == [2 + bool(feet[0]), 3 + bool(feet[1])]


def test_the_edge_of_a_box_is_no_wall() -> None:
    boxes = [np.concatenate([frame(x - 6, y - 6, x + 6, y + 6), [[x - k, y, x + k, y]]]) for (x, y), k in BOXES]
    _, mapping = _page((None, None))
    examples = gather_examples(mapping, {("f.pdf", 1): sheet(boxes)})
    assert [len(examples.marks(name)) for name in PICKED] == [5, 5]
