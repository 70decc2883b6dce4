"""Twins that only the pen tells apart: dashes are asked about, two widths or tones of one kind are told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cordpath.model import Drawing, Mapping, Picked, Region, Sheet, Spotting, SymbolEntry
from cordpath.symbols import gather_examples, spot
from symbols.test_passing_lines import BARS
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of

FRAME = np.array([[20.0, 300, 580, 300], [20, 300, 20, 580], [580, 300, 580, 580]])
BOXES = [(100.0 * k + 88, 88.0, 100.0 * k + 112, 112.0) for k in range(3)]


def drawn(*, dashed: tuple[int, ...] = (), broad: tuple[int, ...] = (), grey: tuple[int, ...] = ()) -> Sheet:
    """Three of one symbol at (100, 100), (200, 100) and (300, 100), some of them with another pen."""
    each = [strokes_of(BARS, at(100.0 * k + 100, 100)) for k in range(3)]
    of = np.repeat(np.arange(4), [*map(len, each), len(FRAME)])
    sheet = sheet_of([*each, FRAME])
    grey_or_black = np.where(np.isin(of, grey)[:, None], 0.6, 0.0) * np.ones(3)
    strokes = replace(sheet.strokes, dashed=np.isin(of, dashed), colour=grey_or_black,
                      width=np.where(np.isin(of, broad), 1.44, 0.5))  # fmt: skip
    return replace(sheet, strokes=strokes)


def found(result: Spotting) -> list[bool]:
    return [s.found for s in sorted(result.symbols, key=lambda s: s.at)]


def test_a_dashed_outlet_among_others_is_a_question() -> None:
    """Common practice, no source: dashes are devices that are taken away, exist or come later."""
    result = spot(drawn(dashed=(1,)), rules(entry("duplex", BARS)), ())
    assert found(result) == [True, False, True]
    assert found(spot(drawn(dashed=(0, 1, 2)), rules(entry("duplex", BARS)), ())) == [True] * 3


@pytest.mark.parametrize(("picked", "certain"), [(0, [True, False, True]), (1, [False, True, False])])
def test_an_outlet_is_dashed_where_its_example_is(picked: int, certain: list[bool]) -> None:
    sheet = drawn(dashed=(1,))
    mapping = Mapping(
        "m.yaml", Drawing(), (SymbolEntry("gfci", "receptacle", picked=Picked("s.pdf", 1, BOXES[picked])),)
    )
    result = spot(sheet, mapping, (), gather_examples(mapping, {("s.pdf", 1): sheet}))
    assert found(result) == certain


@pytest.mark.parametrize("pens", [{"broad": (0,)}, {"grey": (1, 2)}])
def test_two_pens_of_one_kind_are_told(pens: dict[str, tuple[int, ...]]) -> None:
    sheet = drawn(**pens)
    result = spot(sheet, rules(entry("duplex", BARS)), ())
    assert found(result) == [True] * 3
    assert [n for n in result.assumptions if n.startswith("2 of 3 'duplex' are drawn with a finer or paler pen")]
    apart = replace(sheet, regions=(Region("legend", (60, 60, 130, 130)),))  # a sample is no device
    if "broad" in pens:
        assert not [n for n in spot(apart, rules(entry("duplex", BARS)), ()).assumptions if "pen" in n]
