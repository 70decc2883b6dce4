"""Basins, tubs and dishwashers drawn as the trade usually draws them.  Sizes: common practice, no source."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.errors import ConfigurationRefused
from cordpath.model import Drawing, FloatArray, Mapping, Scale, Sheet, Symbol, SymbolEntry, Word
from cordpath.symbols import load_mapping, spot
from cordpath.symbols.mapping_file.mapping import mapping_of
from symbols.test_spot import sheet_of, word

CONFIGS = sorted((Path(__file__).parents[2] / "configs").glob("receptacle*.yaml"))
INCH = 72.0 / 48.0  # pt an inch of the building
SCALE = (Scale("v1", 48.0, "note", "", "proved"),)
KINDS = ("sink", "lavatory", "bathtub", "dishwasher")
USUAL = Mapping(
    "m",
    Drawing(),
    tuple(SymbolEntry(kind, kind, usual=True, size="real") for kind in KINDS),  # type: ignore[arg-type]
)


def path(points: FloatArray) -> FloatArray:
    """(n, 4) strokes of a closed outline."""
    return np.c_[points, np.roll(points, -1, 0)]


def box(x0: float, y0: float, x1: float, y1: float, radius: float = 0.0) -> FloatArray:
    """Inches; with rounded corners."""
    if not radius:
        return path(np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], float))
    turn = np.radians(np.linspace(0, 90, 7))
    corners = ((x1, y1, 0), (x0, y1, 90), (x0, y0, 180), (x1, y0, 270))
    rounded = []
    for x, y, start in corners:
        a = turn + math.radians(start)
        away = np.array([math.cos(math.radians(start + 45)), math.sin(math.radians(start + 45))])
        rounded.append(np.array([x, y]) - radius * np.sign(away) + radius * np.c_[np.cos(a), np.sin(a)])
    return path(np.concatenate(rounded))


def oval(x: float, y: float, rx: float, ry: float, count: int = 32, degrees: float = 0.0) -> FloatArray:
    a, t = np.linspace(0, 2 * math.pi, count, endpoint=False), math.radians(degrees)
    u, v = rx * np.cos(a), ry * np.sin(a)
    return path(np.c_[x + u * math.cos(t) - v * math.sin(t), y + u * math.sin(t) + v * math.cos(t)])


def drain(x: float, y: float, radius: float) -> FloatArray:
    return oval(x, y, radius, radius, 20)


def line(x0: float, y0: float, x1: float, y1: float) -> FloatArray:
    return np.array([[x0, y0, x1, y1]], float)


def double(corner: float = 3.0, rim: float = 2.0, wide: float = 33.0, split: float = 0.5) -> list[FloatArray]:
    half, middle = wide / 2, (wide - 3) * (split - 0.5)
    return [
        box(-half, -11, half, 11, rim), box(1.5 - half, -7, middle - 0.8, 9, corner),
        box(middle + 0.8, -7, half - 1.5, 9, corner),
        drain((1.5 - half + middle) / 2, 1, 1.75), drain((middle + half - 1.5) / 2, 1, 1.75),
    ]  # fmt: skip


USUALLY: dict[str, tuple[str, list[FloatArray]]] = {
    "double, all rounded": ("sink", double()),
    "double, square rim": ("sink", double(rim=0, corner=2)),
    "double, larger": ("sink", double(wide=36, corner=4)),
    "double, uneven": ("sink", double(split=0.6)),
    "double, with a tap": ("sink", [*double(), drain(0, -9, 0.8), line(0, -9, 0, -2)]),
    "double, set under": ("sink", double()[1:]),
    "single": ("sink", [box(-12.5, -11, 12.5, 11, 2), box(-10.5, -7, 10.5, 9, 3), drain(0, 1, 1.75)]),
    "single, wide": ("sink", [box(-15, -10, 15, 10), box(-13.5, -6.5, 13.5, 8.5, 2.5), drain(0, -2, 1.75)]),
    "bar": ("sink", [box(-7.5, -7.5, 7.5, 7.5, 1), box(-6, -4.5, 6, 6, 2), drain(0, 0.8, 1.5)]),
    "oval": ("lavatory", [oval(0, 0, 10, 8.5), oval(0, 0.8, 8, 6), drain(0, 0.8, 1)]),
    "oval, drain behind": ("lavatory", [oval(0, 0, 9.5, 8), oval(0, 1, 7.5, 5.5), drain(0, -0.5, 0.9)]),
    "oval, with taps": (
        "lavatory",
        [oval(0, 0, 10, 8), oval(0, 1, 8, 5.5), drain(0, 1, 0.8), drain(-2.5, -6, 0.7), drain(2.5, -6, 0.7)],
    ),
    "oval, set into a top": ("lavatory", [oval(0, 0, 9.5, 7.5), drain(0, 0, 1)]),
    "oval in a box": ("lavatory", [box(-10, -9, 10, 9), oval(0, 1, 7.5, 5.5), drain(0, 0, 0.9)]),
    "round, with a tap": (
        "lavatory", [box(-10, -8.5, 10, 8.5), drain(0, 1, 6.5), drain(0, 1, 1), line(0, -8, 0, -4)],
    ),
    "tub, small corners": ("bathtub", [box(-30, -15, 30, 15), box(-27, -12, 27, 12, 2), drain(23, 0, 1.5)]),
    "tub, large corners": ("bathtub", [box(-30, -16, 30, 16), box(-27.5, -13, 27, 13, 8), drain(23, 0, 1.5)]),
    "tub of 54 in": ("bathtub", [box(-27, -15, 27, 15), box(-24.5, -12.5, 24, 12.5, 4), drain(20, 0, 1.2)]),
    "soaking tub": ("bathtub", [box(-30, -18, 30, 18), oval(0, 0, 27, 15, 48), drain(21, 0, 1.5)]),
    "tub, drain at the side": ("bathtub", [box(-36, -21, 36, 21), box(-32, -17, 32, 17, 12), drain(0, 14, 1.5)]),
    "corner tub": (
        "bathtub",
        [path(np.array([(-30, -30), (30, -30), (30, 0), (0, 30), (-30, 30)], float)),
         oval(-4, -4, 25, 17, 48, -45), drain(-13, -13, 1.5)],
    ),
}  # fmt: skip
NEVER: dict[str, list[FloatArray]] = {
    "tree": [drain(0, 0, 18), drain(0, 0, 1.5)],
    "parasol": [oval(0, 0, 24, 24), oval(0, 0, 24.5, 24.5), drain(0, 0, 1.5)],
    "round column": [oval(0, 0, 9, 9), drain(0, 0, 2)],
    "column on a plinth": [box(-8, -8, 8, 8), box(-6.5, -6.5, 6.5, 6.5), drain(0, 0, 2)],
    "lamp on a night stand": [box(-9, -8, 9, 8, 1), box(-8, -7, 8, 7, 1.5), drain(0, 0, 4), drain(0, 0, 1)],
    "lamp on a chest": [box(-10, -8.5, 10, 8.5), drain(0, 0, 6.5), drain(0, 0, 1)],
    "air conditioner": [box(-16, -16, 16, 16), oval(0, 0, 13, 13), drain(0, 0, 2)],
    "chair": [box(-11, -11, 11, 11, 4), box(-9, -9, 9, 9, 3)],
    "tufted stool": [box(-11, -11, 11, 11, 4), box(-9, -9, 9, 9, 3), drain(0, 0, 0.7)],
    "sofa": [box(-36, -16, 36, 16, 4), box(-30, -10, -1, 14, 2), box(1, -10, 30, 14, 2)],
    "range": [box(-15, -12.5, 15, 12.5), *(drain(x, y, 4) for x in (-7.5, 7.5) for y in (-5.5, 6))],
    "two burners": [box(-7, -10, 7, 10), drain(0, -5, 3), drain(0, 5, 3), drain(0, -5, 1), drain(0, 5, 1)],
    "table with a vase": [box(-30, -18, 30, 18, 4), box(-27, -15, 27, 15, 4), drain(0, 0, 1.6)],
    "water closet with a drain": [box(-10, -14, 10, -6), oval(0, 4, 7, 10), oval(0, 4, 5, 8), drain(0, 4, 1)],
    "billiards": [
        box(-48, -26, 48, 26, 2), box(-44, -22, 44, 22), *(drain(x, y, 2) for x in (-44, 44) for y in (-22, 22)),
    ],
    "three drains": [*double(), drain(-8, 6, 1.5)],
}  # fmt: skip


def placed(rows: list[FloatArray], x: float, y: float, degrees: float = 0.0, unit: float = INCH) -> FloatArray:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    turn = np.array([[c, s], [-s, c]])
    return (np.concatenate(rows).reshape(-1, 2) @ turn * unit + np.array([x, y])).reshape(-1, 4)


def page(rows: list[FloatArray], words: list[Word] | None = None) -> Sheet:
    return sheet_of(rows, words or [], side=900)


def found(sheet: Sheet, mapping: Mapping = USUAL) -> list[Symbol]:
    return [symbol for symbol in spot(sheet, mapping, SCALE).symbols if symbol.found]


@pytest.mark.parametrize("name", USUALLY)
@pytest.mark.parametrize("degrees", [0.0, 37.0])
def test_a_usual_drawing_is_found(name: str, degrees: float) -> None:
    kind, rows = USUALLY[name]
    (symbol,) = found(page([placed(rows, 400, 400, degrees)]))
    assert symbol.kind == kind and symbol.entry.name == kind and not symbol.unnamed and not symbol.reasons
    assert len(symbol.strokes) == len(np.concatenate(rows)), "all of it is explained"


@pytest.mark.parametrize("name", NEVER)
def test_what_looks_a_little_like_it_is_not_found(name: str) -> None:
    assert found(page([placed(NEVER[name], 400, 400)])) == []


@pytest.mark.parametrize("name", ["double, all rounded", "oval", "tub, small corners"])
def test_writing_in_it_leaves_it_a_question(name: str) -> None:
    result = spot(page([placed(USUALLY[name][1], 400, 400)], [word("X9", 402, 408)]), USUAL, SCALE)
    assert [symbol.found for symbol in result.symbols] == [False]


def test_the_label_of_an_outlet_on_the_rim_of_a_tub_is_no_writing_in_it() -> None:
    """The middle of a circuit number lay .01 in. inside the rim: all outlets near the tub were asked about."""
    tub = [box(-30, -15, 30, 15), box(-27, -12, 27, 12, 5), drain(23, 0, 1.5)]
    beside = [word("11", 420, 400 + y * INCH) for y in (-13.5, 14.0)]
    (symbol,) = found(page([placed(tub, 400, 400)], beside))
    assert symbol.entry.kind == "bathtub"


def test_distances_run_to_the_bowls_of_a_basin_and_to_the_outside_of_a_tub() -> None:
    (sink,) = found(page([placed(USUALLY["double, square rim"][1], 400, 400)]))
    assert sink.edge is not None and sink.edge.area / INCH**2 == pytest.approx(
        2 * 14.2 * 16 - 2 * 0.86 * 4, rel=0.01
    )
    (tub,) = found(page([placed(USUALLY["tub, small corners"][1], 400, 400)]))
    assert tub.edge is not None and tub.edge.area / INCH**2 == pytest.approx(1800, rel=0.01)


def test_kinds_that_the_mapping_file_does_not_ask_for_stay_questions() -> None:
    tubs = Mapping("m", Drawing(), tuple(entry for entry in USUAL.symbols if entry.kind == "bathtub"))
    result = spot(page([placed(double(), 400, 400)]), tubs, SCALE)
    assert [(symbol.found, symbol.unnamed) for symbol in result.symbols] == [(False, True)]


@settings(max_examples=20, deadline=None)
@given(
    corner=st.floats(1.5, 5.0), wide=st.floats(28.0, 42.0), split=st.floats(0.42, 0.58),
    degrees=st.floats(0, 360), shift=st.floats(0, 3),
)  # fmt: skip
def test_a_double_sink_of_any_proportions(
    corner: float, wide: float, split: float, degrees: float, shift: float
) -> None:
    rows = double(corner=corner, wide=wide, split=split)
    (symbol,) = found(page([placed(rows, 400 + shift, 400, degrees)]))
    assert symbol.kind == "sink" and symbol.edge is not None
    assert shapely.Point(400 + shift, 400).distance(symbol.footprint.centroid) < 0.5


# ------------------------------------------------------------------------------- boxes with letters


@pytest.mark.parametrize(("wide", "deep"), [(24, 25), (24, 24), (18, 24), (23.9, 26)])
@pytest.mark.parametrize("text", ["DW", "D.W."])
def test_a_dishwasher_of_any_depth(wide: float, deep: float, text: str) -> None:
    rows = [placed([box(-wide / 2, -deep / 2, wide / 2, deep / 2)], 400, 400)]
    (symbol,) = found(page(rows, [word(text, 400, 400)]))
    assert symbol.kind == "dishwasher" and symbol.footprint.area / INCH**2 == pytest.approx(wide * deep, rel=0.02)


def test_letters_beside_a_box_or_at_its_edge_make_no_dishwasher() -> None:
    rows = [placed([box(-12, -12.5, 12, 12.5)], 400, 400)]
    for x, y in ((430, 400), (400, 414)):
        assert found(page(rows, [word("DW", x, y)])) == []


# ------------------------------------------------------------------------------ the ready mapping files


def crowd() -> tuple[Sheet, list[str]]:
    """All usual drawings and the rest, each turned by a quarter more than the last, and a dishwasher."""
    everything = [(kind, rows) for kind, rows in USUALLY.values()] + [("", rows) for rows in NEVER.values()]
    rows = [placed(each, 70 + 150 * (k % 6), 70 + 135 * (k // 6), 90 * k) for k, (_, each) in enumerate(everything)]
    k = len(everything)
    x, y = 70 + 150 * (k % 6), 70 + 135 * (k // 6)
    rows.append(placed([box(-12, -12.5, 12, 12.5)], x, y))
    wanted = [*(kind for kind, _ in everything if kind), "dishwasher"]
    return sheet_of(rows, [word("DW", x, y)], side=1000), wanted


def test_a_ready_mapping_file_finds_the_usual_drawings_and_nothing_else() -> None:
    page, wanted = crowd()
    result = spot(page, load_mapping(CONFIGS[0]), SCALE)
    there = [s.kind for s in result.symbols if s.found and s.is_fixture]
    assert sorted(kind for kind in there if kind not in ("range", "water closet")) == sorted(wanted)
    assert not [s for s in result.symbols if s.found and s.is_outlet]


def test_the_ready_mapping_files_have_the_same_usual_entries() -> None:
    told = {path.name: {e.kind: e.edge for e in load_mapping(path).symbols if e.usual} for path in CONFIGS}
    edges = {"sink": "inner", "lavatory": "inner", "bathtub": "outer", "dishwasher": None}
    assert len(told) == 3 and all(each == edges for each in told.values())


# ---------------------------------------------------------------------------------- the mapping file


def test_usual_stands_in_place_of_a_shape_and_for_some_kinds_only() -> None:
    text = "cordpath: 1\nsymbols:\n  - {name: a, kind: KIND, usual: true}\n"
    (entry,) = mapping_of(text.replace("KIND", "sink").encode(), "m").symbols
    assert entry.usual and entry.size == "real" and entry.shape is None
    for wrong in (
        text.replace("KIND", "receptacle"), text.replace("KIND", "sink").replace("true", "false"),
        text.replace("KIND", "sink").replace("usual: true", "usual: true, legend: SINK"),
    ):  # fmt: skip
        with pytest.raises(ConfigurationRefused) as refused:
            mapping_of(wrong.encode(), "m")
        (fault,) = refused.value.faults
        assert fault.line == 3 and "usual" in fault.what


def test_two_sharp_bowls_far_from_their_rim_are_not_lost() -> None:
    """A wide rim is no rim of either bowl, and sharp corners are no sign of one: neither found nor asked."""
    sharp = [
        box(-18, -11, 18, 11),
        box(-16.5, -7, -0.8, 9),
        box(0.8, -7, 16.5, 9),
        drain(-8.5, 1, 1.75),
        drain(8.5, 1, 1.75),
    ]
    result = spot(page([placed(sharp, 400, 400)]), Mapping("m", Drawing(), ()), SCALE)
    assert [(symbol.kind, symbol.found) for symbol in result.symbols] == [("sink", False)] * 2
    (symbol,) = found(page([placed(sharp, 400, 400)]))
    assert symbol.kind == "sink"
