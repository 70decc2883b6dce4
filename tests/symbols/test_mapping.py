"""The mapping file: what is read, and the place of everything that is wrong."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
import shapely
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.errors import ConfigurationRefused, UnreadableFile
from cordpath.model import ArcMark, CircleMark, LineMark, Mapping, Picked, PolylineMark, TextMark
from cordpath.symbols import load_mapping
from cordpath.symbols.mapping_file import patterns
from cordpath.symbols.mapping_file.mapping import mapping_of
from cordpath.symbols.mapping_file.yaml_tree import MOST_BYTES

CONFIGS = Path(__file__).parents[2] / "configs"
WHOLE = """\
cordpath: 1
drawing:
  scale: auto
  wall_layers: [A-WALL*]
  device_layers: ["E-POWR*"]
  ignore_layers:
    - A-FURN*
symbols:
  - name: duplex receptacle
    kind: receptacle
    shape:
      - circle: {center: [0, 0], radius: 0.0625}
      - line: {from: [-0.1, 0.025], to: [0.1, 0.025]}
      - arc: {center: [0, 0], radius: 0.1, start: 0, end: 180}
      - polyline: {points: [[0, 0], [0.1, 0], [0.1, 0.1]], closed: true, filled: false}
      - text: {value: NO, at: [0, 0]}
    scales: [0.8, 1.25]
    wall_side: [0, -1]
  - name: range receptacle
    kind: receptacle
    volts: 240
    amperes: 50
    serves: Range
    legend: RANGE RECEPTACLE
  - name: kitchen sink
    kind: sink
    picked: {file: a101.pdf, page: 1, box: [100, 200, 140, 230]}
    size: real
    edge: inner
labels:
  - text: GFI|GFCI
    sets: {protection: device}
  - text: 42
    sets: {height_in: 42, weatherproof: yes, serves: Dishwasher}
rooms:
  - {text: OWNER'S BATH, kind: bathroom}
  - {text: REC, kind: basement, finished: true}
"""


def read(text: str) -> Mapping:
    return mapping_of(text.encode(), "m.yaml")


def faults(text: str) -> list[str]:
    with pytest.raises(ConfigurationRefused) as refused:
        read(text)
    return str(refused.value).split("\n")


def symbol(*lines: str) -> str:
    """A mapping file with one symbol; its own lines begin in line 5, column 5."""
    return "\n".join(
        ["cordpath: 1", "symbols:", "  - name: thing", "    kind: receptacle", *(f"    {x}" for x in lines)]
    )


def shape(mark: str) -> str:
    """A mapping file with one mark, in line 6 from column 9."""
    return symbol("shape:", f"  - {mark}")


def test_everything_of_the_format_is_read() -> None:
    mapping = read(WHOLE)
    duplex, stove, sink = mapping.symbols
    assert duplex.shape == (
        CircleMark((0, 0), 0.0625),
        LineMark((-0.1, 0.025), (0.1, 0.025)),
        ArcMark((0, 0), 0.1, 0, 180),
        PolylineMark(((0, 0), (0.1, 0), (0.1, 0.1)), True, False),
        TextMark("NO", (0, 0)),  # YAML would make it false
    )
    assert (duplex.scales, duplex.wall_side, duplex.volts, duplex.size) == ((0.8, 1.25), (0, -1), 125.0, "plotted")
    assert (stove.legend, stove.volts, stove.amperes, stove.serves) == ("RANGE RECEPTACLE", 240.0, 50.0, "range")
    assert stove.scales == (0.95, 1.05)
    assert sink.picked == Picked("a101.pdf", 1, (100, 200, 140, 230))
    assert (sink.size, sink.edge, sink.volts, sink.line) == ("real", "inner", None, 25)
    assert mapping.drawing.wall_layers == ("A-WALL*",) and mapping.drawing.ignore_layers == ("A-FURN*",)
    assert [(entry.pattern, dict(entry.sets)) for entry in mapping.labels] == [
        ("GFI|GFCI", {"protection": "device"}),
        ("42", {"height_in": 42.0, "weatherproof": True, "serves": "dishwasher"}),
    ]
    assert [(room.pattern, room.kind, room.finished) for room in mapping.rooms] == [
        ("OWNER'S BATH", "bathroom", None),
        ("REC", "basement", True),
    ]


def test_values_that_stand_once_and_are_referred_to_are_read_as_if_written_out() -> None:
    """PyYAML writes a list that it was given twice as ``&id001`` and ``*id001``; so do other writers."""
    wall, marks = [0, -1], [{"circle": {"center": [0, 0], "radius": 0.06}}]
    sockets = [
        {"name": name, "kind": "receptacle", "shape": marks, "wall_side": wall} for name in ("duplex", "other")
    ]
    written = yaml.safe_dump({"cordpath": 1, "symbols": sockets}, sort_keys=False)
    assert "*id001" in written and "*id002" in written
    tagged = yaml.dump({"cordpath": 1, "symbols": [{**sockets[0], "wall_side": tuple(wall)}]})
    assert "!!python/tuple" in tagged and read(tagged).symbols[0].wall_side == (0, -1)
    out = yaml.safe_dump(json.loads(json.dumps({"cordpath": 1, "symbols": sockets})), sort_keys=False)
    first, second = read(written).symbols
    assert (
        (first.shape, first.wall_side) == (second.shape, second.wall_side) == ((CircleMark((0, 0), 0.06),), (0, -1))
    )
    assert [replace(entry, line=0) for entry in read(written).symbols] == [
        replace(entry, line=0) for entry in read(out).symbols
    ]


def test_a_fault_in_a_value_that_is_referred_to_is_told_once_and_where_it_is_written() -> None:
    text = WHOLE.replace("wall_side: [0, -1]", "wall_side: &up [0, up]").replace(
        "volts: 240", "volts: 240\n    wall_side: *up"
    )
    assert [fault[:12] for fault in faults(text)] == ["m.yaml:18:24"]


def test_a_filled_circle_is_the_area_in_it() -> None:
    (dot,) = read(shape("circle: {center: [0.1, -0.2], radius: 0.05, filled: true}")).symbols[0].shape
    assert isinstance(dot, PolylineMark) and dot.closed and dot.filled
    assert all(math.dist(point, (0.1, -0.2)) == pytest.approx(0.05) for point in dot.points)
    area = shapely.Polygon(dot.points).area
    assert area == pytest.approx(math.pi * 0.05**2, rel=0.01)
    (ring,) = read(shape("circle: {center: [0, 0], radius: 0.05, filled: false}")).symbols[0].shape
    assert ring == CircleMark((0, 0), 0.05)


@pytest.mark.parametrize(
    ("written", "ratio", "sheets"),
    [
        ("auto", None, ()),
        ("1:50", 50.0, ()),  # YAML 1.1 reads this as 110
        ("'1:50'", 50.0, ()),
        ("1/4in = 1ft", 48.0, ()),
        ("'1/8\" = 1''-0\"'", 96.0, ()),
        ("{E-101: 1:50, E-102: '1/4in = 1ft'}", None, (("E-101", 50.0), ("E-102", 48.0))),
    ],
)
def test_scales_are_read_as_written(
    written: str, ratio: float | None, sheets: tuple[tuple[str, float], ...]
) -> None:
    drawing = read(WHOLE.replace("scale: auto", f"scale: {written}")).drawing
    assert drawing.scale == ratio
    assert drawing.sheet_scales == sheets


# 10 lists, each of ten times the one before: a few hundred bytes that stand for 10,000,000,000 values.
BILLION = "n0: &a0 1\n" + "\n".join(f"n{k}: &a{k} [{', '.join([f'*a{k - 1}'] * 10)}]" for k in range(1, 11))

FAULTS = [
    # ------------------------------------------------------------------------ not YAML, or not this format
    ("", "1:1: the file is empty"),
    ("# only a remark", "1:1: the file is empty"),
    ("symbols: [}", "1:11: this is not YAML"),
    ("symbols:\n\t- name: x", "2:1: a tab at the head of a line is not YAML, and spaces"),
    ("a: *x", "1:4: a reference (*x), and a value marked &x above it"),
    ("a: &x [1, *x]", "1:11: a reference (*x)"),  # a list that would hold itself
    (BILLION, "6:30: over 60000 values"),
    ("a: &x [[[[[[[[[[[[[1]]]]]]]]]]]]]\nb: [[[[[[[[[[[*x]]]]]]]]]]]", "2:15: over 60000 values or 24 levels"),
    ("cordpath: !!python/object/apply:os.system [ls]", "1:11: a tag"),
    ("cordpath: 1\n---\ncordpath: 1", "2:1: a second document"),
    ("[" * 40, "1:25: over 60000 values or 24 levels"),
    ("a\x07", "1:2: a control character"),
    ("- 1", "1:1: the mapping file is a list, and a table"),
    (WHOLE.replace("cordpath: 1\n", ""), "1:1: the format version is missing"),
    (WHOLE.replace("cordpath: 1", "cordpath: 2"), "1:11: the format version is '2', and 1"),
    ("cordpath: 1", "1:1: no symbols"),
    ("cordpath: 1\nsymbols: []", "2:10: symbols is an empty list"),
    ("cordpath: 1\nsymbols: duplex", "2:10: symbols is 'duplex', and a list"),
    (WHOLE + "room: []\n", "38:1: unknown key 'room' in the mapping file, and 'rooms' was perhaps meant"),
    (WHOLE + "xyzzy: []\n", "38:1: unknown key 'xyzzy' in the mapping file, and one of cordpath, drawing"),
    (WHOLE + "rooms: []\n", "38:1: key 'rooms' in the mapping file again, first on line 35"),
    # ------------------------------------------------------------------------ drawing
    (WHOLE.replace("scale: auto", "scale: big"), "3:10: scale is 'big'"),
    (WHOLE.replace("scale: auto", "scale: 48"), "3:10: scale is '48'"),
    (WHOLE.replace("scale: auto", "scale: {}"), "3:10: scale is an empty table"),
    (WHOLE.replace("scale: auto", "scale: {E-1: 1:50, e-1: 1:20}"), "3:22: sheet 'e-1' a second time"),
    (WHOLE.replace("scale: auto", "scale: {E-1: 1:0}"), "3:16: scale is '1:0'"),
    (WHOLE.replace("[A-WALL*]", "A-WALL*"), "4:16: wall_layers is 'A-WALL*', and a list"),
    # ------------------------------------------------------------------------ a symbol
    (WHOLE.replace("  - name: duplex receptacle\n    kind", "  - kind"), "9:5: a symbol without name"),
    (WHOLE.replace("    kind: sink\n", ""), "25:5: a symbol without kind"),
    (WHOLE.replace("name: kitchen sink", "name:"), "25:10: name is nothing"),
    (WHOLE.replace("name: kitchen sink", "name: Duplex Receptacle"), "25:11: name 'Duplex Receptacle' is taken by"),
    (WHOLE.replace("kind: sink", "kind: sinc"), "26:11: kind is 'sinc', and 'sink' was perhaps meant"),
    (WHOLE.replace("size: real", "size: big"), "28:11: size is 'big', and one of plotted, real"),
    (WHOLE.replace("edge: inner", "edge: [inner]"), "29:11: edge is a list"),
    (WHOLE.replace("[0.8, 1.25]", "[1.25, 0.8]"), "17:13: scales is [1.25, 0.8], and 0 < least <= most"),
    (WHOLE.replace("[0.8, 1.25]", "[0, 1]"), "17:13: scales is [0, 1]"),
    (WHOLE.replace("[0.8, 1.25]", "1.25"), "17:13: scales is '1.25', and [least, most]"),
    (WHOLE.replace("[0, -1]", "[0, 0]"), "18:16: wall_side is [0, 0]"),
    (WHOLE.replace("[0, -1]", "[0, up]"), "18:20: a number of wall_side is 'up'"),
    (WHOLE.replace("volts: 240", "volts: 240 V"), "21:12: volts is '240 V', and a number"),
    (WHOLE.replace("volts: 240", "volts: 0"), "21:12: volts is 0, and a number above 0"),
    (WHOLE.replace("volts: 240", "volts: .nan"), "21:12: volts is '.nan'"),
    (WHOLE.replace("volts: 240", "protection: breaker"), "21:17: protection is 'breaker', and 'device'"),
    (WHOLE.replace("volts: 240", "weatherproof: maybe"), "21:19: weatherproof is 'maybe', and true or false"),
    (symbol(), "3:5: a symbol that is not drawn"),
    (symbol("legend: A", "shape: [{text: {value: S, at: [0, 0]}}]"), "5:5: both shape and legend"),
    (symbol("picked: a.pdf"), "5:13: picked is 'a.pdf', and a table"),
    (symbol("picked: {file: a.pdf, box: [0, 0, 1, 1]}"), "5:13: picked without page"),
    (symbol("picked: {file: a.pdf, page: 0, box: [0, 0, 1, 1]}"), "5:33: page is 0"),
    (symbol("picked: {file: a.pdf, page: 1, box: [1, 0, 0, 1]}"), "5:41: box has no area"),
    (symbol("picked: {file: a.pdf, page: 1, box: [1, 0, 0]}"), "5:41: box is a list of 3, and [x0, y0, x1, y1]"),
    # ------------------------------------------------------------------------ marks
    (symbol("shape: circle"), "5:12: shape is 'circle', and a list"),
    (shape("square: {}"), "6:9: unknown key 'square' in a mark, and one of circle, line, arc"),
    (shape("{circle: {center: [0, 0], radius: 1}, line: {}}"), "6:9: a mark with 2 keys"),
    (shape("circle: {center: [0, 0]}"), "6:17: circle without radius"),
    (shape("circle: {centre: [0, 0], radius: 1}"), "6:18: unknown key 'centre' in circle, and 'center' was"),
    (shape("circle: {center: [0, 0], radius: 0}"), "6:42: radius is 0, and a number above 0"),
    (shape("circle: {center: [0, 0], radius: -1}"), "6:42: radius is -1"),
    (shape("circle: {center: [0], radius: 1}"), "6:26: center is a list of 1, and [x, y]"),
    (shape("circle: {center: [0, 1e9], radius: 1}"), "6:30: a number of center is 1e9"),
    (shape("line: {from: [0, 0]}"), "6:15: line without to"),
    (shape("line: {from: [0, 0], to: [0, 0]}"), "6:15: a line without length"),
    (shape("arc: {center: [0, 0], radius: 1}"), "6:14: arc without start"),
    (shape("arc: {center: [0, 0], radius: 1, start: 5, end: 5}"), "6:14: an arc whose start is its end"),
    (shape("polyline: {points: [[0, 0]]}"), "6:28: points has 1, and at least 2"),
    (shape("polyline: {points: [[0, 0], [1, 1]], filled: true}"), "6:28: points has 2, and at least 3"),
    (shape("polyline: {points: [[0, 0], [0, 0]]}"), "6:19: a polyline without length"),
    (shape("polyline: {points: [[0, 0], [1, 0]], closed: 3}"), "6:54: closed is '3', and true or false"),
    (shape("text: {at: [0, 0]}"), "6:15: text without value"),
    (shape("text: {value: ~, at: [0, 0]}"), "6:23: value is nothing"),
    # ------------------------------------------------------------------------ labels and rooms
    (WHOLE.replace("text: GFI|GFCI", "text: GFI|(GFCI"), "31:11: not a regular expression"),
    (WHOLE.replace("text: GFI|GFCI", "text: G?"), "31:11: the pattern matches an empty text"),
    (WHOLE.replace("text: GFI|GFCI", "text: '" + "G" * 300 + "'"), "31:11: the pattern has 300 characters"),
    (WHOLE.replace("text: GFI|GFCI", "text: (G+)+I"), "31:11: the pattern repeats a group"),
    (WHOLE.replace("text: GFI|GFCI", "text: '42'"), "33:11: text '42' a second time, first on line 31"),
    (WHOLE.replace("- text: GFI|GFCI\n    sets", "- sets"), "31:5: a label without text"),
    (WHOLE.replace("    sets: {protection: device}\n", ""), "31:5: a label without sets"),
    (WHOLE.replace("{protection: device}", "{}"), "32:11: sets is empty"),
    (WHOLE.replace("{protection: device}", "{protection: yes}"), "32:24: protection is 'yes', and 'device'"),
    (WHOLE.replace("{protection: device}", "{circuit: A}"), "32:12: unknown key 'circuit' in sets"),
    (WHOLE.replace("height_in: 42", "height_in: high"), "34:23: height_in is 'high', and a number"),
    (WHOLE.replace("kind: bathroom", "kind: bath room"), "36:32: kind is 'bath room', and 'bathroom' was perhaps"),
    (WHOLE.replace(", kind: bathroom", ""), "36:5: a room without kind"),
    (WHOLE.replace("finished: true", "finished: partly"), "37:43: finished is 'partly', and true or false"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), FAULTS, ids=[expected[:48] for _, expected in FAULTS])
def test_a_fault_is_told_with_its_place(text: str, expected: str) -> None:
    told = faults(text)
    assert any(line.startswith(f"m.yaml:{expected}") for line in told), told
    assert len(told) == 1, told


def test_all_faults_come_at_once_sorted_by_place() -> None:
    text = WHOLE.replace("auto", "big").replace("kind: sink", "kind: sinc").replace("[0, -1]", "[0, 0]")
    places = [tuple(int(part) for part in line.split(":")[1:3]) for line in faults(text)]
    assert places == [(3, 10), (18, 16), (26, 11)]


def test_a_faulty_entry_does_not_hide_the_next() -> None:
    text = "cordpath: 1\nsymbols:\n  - 7\n  - name: a\n    kind: sink\n    shape:\n"
    text += "      - circle: 3\n      - line: {from: 1}\n"
    assert [line.split(": ")[0] for line in faults(text)] == ["m.yaml:3:5", "m.yaml:7:17", "m.yaml:8:15"]


def test_files_that_cannot_be_opened(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="No such file"):
        load_mapping(tmp_path / "none.yaml")
    with pytest.raises(UnreadableFile):
        load_mapping(tmp_path)


def test_a_huge_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "big.yaml"
    path.write_bytes(b"#" * (MOST_BYTES + 5))
    with pytest.raises(ConfigurationRefused, match=f"at most {MOST_BYTES} bytes were expected"):
        load_mapping(path)


def test_bytes_that_are_no_text() -> None:
    with pytest.raises(ConfigurationRefused, match=r"m\.yaml:2:3: a byte that is not UTF-8"):
        mapping_of(b"cordpath: 1\n# \xff", "m.yaml")


@pytest.mark.parametrize(
    ("head", "what"), [(b"%PDF-1.7\n%\xe2\xe3", "a PDF file"), (b"\xff\xfec\0o\0r\0d\0", "UTF-16 text")]
)
def test_another_file_in_its_place_is_named(head: bytes, what: str) -> None:
    """``--symbols plan.pdf`` was told of a byte that is not UTF-8, or of too many bytes."""
    for data in (head, head + bytes(MOST_BYTES)):
        with pytest.raises(ConfigurationRefused, match=rf"m\.yaml:1:1: this is {what}, and YAML .*learn"):
            mapping_of(data, "m.yaml")


def test_a_byte_order_mark_and_dos_lines_do_no_harm() -> None:
    mapping = mapping_of(b"\xef\xbb\xbf" + WHOLE.replace("\n", "\r\n").encode(), "m.yaml")
    assert mapping == read(WHOLE)


@given(st.binary(max_size=300))
@settings(max_examples=200, deadline=None)
def test_arbitrary_bytes_are_refused_and_nothing_else(data: bytes) -> None:
    with pytest.raises(ConfigurationRefused):
        mapping_of(data, "m.yaml")


@given(st.data())
@settings(max_examples=200, deadline=None)
def test_damaged_files_are_read_or_refused(data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(WHOLE)))
    until = data.draw(st.integers(at, min(len(WHOLE), at + 30)))
    put = data.draw(st.text(st.sampled_from("[]{}:,#&*!|>'\"%@- \n\tab09.é\x00"), max_size=12))
    try:
        mapping = read(WHOLE[:at] + put + WHOLE[until:])
    except ConfigurationRefused as refused:
        assert all(fault.line >= 1 and fault.column >= 1 and fault.what for fault in refused.faults)
    else:
        assert all(entry.shape or entry.legend or entry.picked for entry in mapping.symbols)
        assert all(math.isfinite(value) for entry in mapping.symbols for value in entry.scales)


_TREES = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(
            st.sampled_from(["name", "kind", "shape", "circle", "text", "sets", "box", "scale"]), inner
        ),
    ),
    max_leaves=12,
)


@given(_TREES, _TREES, _TREES)
@settings(max_examples=150, deadline=None)
def test_well_formed_nonsense_is_refused(drawing: object, symbols: object, labels: object) -> None:
    import json

    text = json.dumps({"cordpath": 1, "drawing": drawing, "symbols": symbols, "labels": labels}, default=str)
    with pytest.raises(ConfigurationRefused):
        read(text)


@pytest.mark.parametrize("pattern", ["(a+)+b", "(a|aa)+b", "(a*)*b", "((a?){9}){9}", "a*a*a*a*a*b", "(a|b|ab)*c"])
def test_patterns_that_could_take_for_ever_are_refused(pattern: str) -> None:
    assert patterns.fault(pattern) is not None


@pytest.mark.parametrize(
    ("pattern", "text"),
    [
        (r"GFI|GFCI", "gfci"),
        (r"[CA]\d+(,\d+){0,2}", "C9,11"),
        (r"(?:GFI|GFCI)/WP", "GFI/WP"),
        (r"\(E\) .*X", "(E) DUPLEX"),
        (r"[]()*+|]{1,3}", "(*)"),
    ],
)
def test_usual_patterns_are_taken(pattern: str, text: str) -> None:
    assert patterns.fault(pattern) is None
    assert patterns.matches(pattern, text)
    assert not patterns.matches(pattern, text + " X Y Z")


@given(st.text(st.sampled_from("ab()|*+?{}1,3[]\\."), max_size=24))
@settings(max_examples=300, deadline=2000)
def test_an_accepted_pattern_answers_soon(pattern: str) -> None:
    if patterns.fault(pattern) is None:
        patterns.matches(pattern, "a" * patterns.LONGEST_TEXT)
        patterns.matches(pattern, "ab" * (patterns.LONGEST_TEXT // 2 - 1) + "!")


@pytest.mark.parametrize("path", sorted(CONFIGS.glob("receptacle*.yaml")), ids=lambda path: path.name)
def test_the_ready_mapping_files_are_right(path: Path) -> None:
    mapping = load_mapping(path)
    kinds = {entry.kind for entry in mapping.symbols}
    wanted = {"receptacle", "sink", "lavatory", "bathtub", "shower", "water closet", "range", "refrigerator"}
    assert wanted | {"dishwasher", "washer", "dryer", "switch", "light"} <= kinds
    assert all(entry.size == "real" for entry in mapping.symbols if entry.kind in wanted - {"receptacle"})


def test_there_are_three_ready_mapping_files() -> None:
    assert len(list(CONFIGS.glob("receptacle*.yaml"))) == 3


def test_a_rim_belongs_to_a_fixture() -> None:
    text = "cordpath: 1\nsymbols:\n  - {name: a, kind: KIND, rim_in: 36, legend: A}\n"
    assert read(text.replace("KIND", "sink")).symbols[0].rim_in == 36
    with pytest.raises(ConfigurationRefused) as refused:
        read(text.replace("KIND", "receptacle"))
    (fault,) = refused.value.faults
    assert (fault.line, fault.column) == (3, 33)
    assert "rim_in" in fault.what


@pytest.mark.parametrize(
    ("areas", "what"),
    [("[[1, 2, 3]]", "[x0, y0, x1, y1]"), ("[[5, 5, 1, 9]]", "upper left corner first"),
     ("3", "a list was expected"), ("[[0, 0, 1, a]]", "a number")],
)  # fmt: skip
def test_areas_that_are_kept_clear_are_checked(areas: str, what: str) -> None:
    text = f"cordpath: 1\ndrawing:\n  keep_clear: {areas}\nsymbols:\n{ONE_SYMBOL}"
    with pytest.raises(ConfigurationRefused, match=re.escape(what)) as refused:
        mapping_of(text.encode(), "m.yaml")
    assert refused.value.faults[0].line == 3


def test_areas_that_are_kept_clear_are_read() -> None:
    text = f"cordpath: 1\ndrawing:\n  keep_clear: [[1, 2, 30, 40.5]]\nsymbols:\n{ONE_SYMBOL}"
    assert mapping_of(text.encode(), "m.yaml").drawing.keep_clear == ((1.0, 2.0, 30.0, 40.5),)


ONE_SYMBOL = "  - {name: a, kind: receptacle, shape: [{circle: {center: [0, 0], radius: 0.1}}]}\n"
