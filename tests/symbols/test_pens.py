"""Twins that only the pen tells apart: by the pens of their examples; without these dashes are asked about, and two
widths or tones of one kind are told."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from cordpath.model import Drawing, Mapping, Picked, Region, Sheet, Spotting, Strokes, SymbolEntry
from cordpath.symbols import gather_examples, spot
from cordpath.symbols.examples.example_pens import pen_of
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


Stroke = tuple[bool, float]  # dashed or not, and the grey
NEW, OLD = (False, 0.0), (True, 0.0)
PALE = (False, 0.5)
FACTS = {"old": {"status": "existing"}, "gfci": {"protection": "device"}}


def with_strokes(*pens: Stroke | tuple[Stroke, Stroke]) -> Sheet:
    """One symbol at (100, 100), (200, 100), ... in each of these pens; of two, one draws every other stroke."""
    each = [strokes_of(BARS, at(100.0 * k + 100, 100)) for k in range(len(pens))]
    both = [pen if isinstance(pen[0], tuple) else (pen, pen) for pen in pens]
    of = [two[n % 2] for two, lines in zip(both, each, strict=True) for n in range(len(lines))] + [NEW] * len(FRAME)
    sheet = sheet_of([*each, FRAME])
    dashed, grey = np.array([pen[0] for pen in of], bool), np.array([pen[1] for pen in of], float)
    return replace(sheet, strokes=replace(sheet.strokes, dashed=dashed, colour=grey[:, None] * np.ones(3)))


def told(
    sheet: Sheet, first: str = "new", second: str = "old", *more: SymbolEntry
) -> list[tuple[str, bool, tuple[str, ...]]]:
    """Names, certainty and rivals of the symbols, those of the first two picked as what these are."""
    boxes = zip((first, second), BOXES, strict=False)
    entries = [SymbolEntry(name, "receptacle", picked=Picked("s.pdf", 1, box)) for name, box in boxes]
    entries = [replace(each, **FACTS.get(each.name, {})) for each in entries]
    mapping = Mapping("m.yaml", Drawing(), (*entries, *more))
    result = spot(sheet, mapping, (), gather_examples(mapping, {("s.pdf", 1): sheet}))
    return [(s.entry.name, s.found, s.rivals) for s in sorted(result.symbols, key=lambda s: s.at)]


@pytest.mark.parametrize("other", [OLD, PALE, (True, 0.5)])
def test_entries_of_one_shape_are_told_by_the_pens_of_their_examples(other: tuple[bool, float]) -> None:
    """Common practice, no source: what exists is drawn dashed or grey as the symbol of what is new."""
    sheet = with_strokes(NEW, other, NEW, other, other)
    drawn_as = [name for name, found, rivals in told(sheet) if found and not rivals]
    assert drawn_as == ["new", "old", "new", "old", "old"]
    assert [name for name, found, _ in told(sheet, "old", "new") if found] == ["old", "new", "old", "new", "new"]


@pytest.mark.parametrize("between", [(NEW, OLD), (True, 0.25), (False, 0.5)])
def test_a_pen_between_two_examples_leaves_both_names(between: tuple[bool, float] | tuple[Stroke, Stroke]) -> None:
    said = told(with_strokes(NEW, OLD, between))
    assert [found for _, found, _ in said] == [True, True, False]
    assert {said[2][0], *said[2][2]} == {"new", "old"}


def test_pens_that_are_alike_or_not_known_tell_nothing() -> None:
    for one, other in ((NEW, (False, 0.2)), ((NEW, OLD), OLD), (NEW, (NEW, PALE))):
        assert not any(found for _, found, _ in told(with_strokes(one, other, one, other)))
    shape = entry("written", BARS, volts=240)  # of a shape that is written down no pen is known
    assert not any(found for _, found, _ in told(with_strokes(NEW, OLD, NEW, OLD), "new", "old", shape))


@pytest.mark.parametrize("other", [OLD, PALE])
def test_a_pen_tells_of_no_protection(other: Stroke) -> None:
    """A receptacle printed pale as a background is not the GFCI whose sample is pale."""
    assert not any(found for _, found, _ in told(with_strokes(NEW, other, NEW, other), "new", "gfci"))


def test_a_pen_is_that_of_the_example_and_not_of_the_table_around_it() -> None:
    """An example of a sheet without a table, and the other in a frame of the table of a legend."""
    frame = np.array([[180.0, 85, 220, 85], [220, 85, 220, 115], [220, 115, 180, 115], [180, 115, 180, 85]])
    sheet = with_strokes(NEW, OLD)
    bare = pen_of(tuple(BARS), sheet, BOXES[1])
    assert bare is not None and bare.dashed
    solid = Strokes.of(np.r_[frame, frame + 1])
    both = Strokes(
        *(np.concatenate([getattr(sheet.strokes, f.name), getattr(solid, f.name)]) for f in fields(Strokes))
    )
    assert pen_of(tuple(BARS), replace(sheet, strokes=both), (170.0, 80.0, 230.0, 120.0)) == bare


def test_one_symbol_drawn_over_the_other_leaves_both_names() -> None:
    sheet = with_strokes(NEW, OLD, NEW)
    again = np.flatnonzero(sheet.strokes.xy[:, 0] > 250)
    order = np.r_[np.arange(len(sheet.strokes)), again]
    strokes = sheet.strokes.take(order)
    over = replace(strokes, dashed=np.r_[sheet.strokes.dashed, np.ones(len(again), bool)])
    assert [found for _, found, _ in told(replace(sheet, strokes=over))] == [True, True, False]
