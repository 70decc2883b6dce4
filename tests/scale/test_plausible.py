"""What rooms, doors and walls tell about a scale."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from cordpath.model import Drawing, Fills, FloorPlan, Room, Scale, ScaleEvidence, Sheet, Strokes, View, Word
from cordpath.scale import prove_scales, weigh
from cordpath.scale.leaves import leaf_widths
from read_once import sample

VIEW = View("v1", "PLAN", (0.0, 0.0, 2000.0, 2000.0), '1/4" = 1\'-0"')
NOTE = ScaleEvidence("note", 48.0, '1/4" = 1\'-0"')
SINGLE = Scale("v1", 48.0, "note", NOTE.text, "single", (NOTE,), 0.03, "only the note states the scale")
PROVED = replace(SINGLE, status="proved", evidence=(NOTE, ScaleEvidence("dimension", 48.0, "12'-0\"", 6)), why=None)
SAID = replace(SINGLE, status="proved", evidence=(NOTE, ScaleEvidence("viewport", 48.0, "1 in = 4 ft")), why=None)
INCH = 1.5  # pt for an inch of the building at 1:48


def swing(
    x: float, y: float, radius: float, pieces: int = 12, turn: float = 0.0, leaf: bool = True, sweep: float = 90.0
) -> list[list[float]]:
    angle = np.radians(turn) + np.linspace(0, np.radians(sweep), pieces + 1)
    points = np.column_stack([x + radius * np.cos(angle), y + radius * np.sin(angle)])
    strokes = np.column_stack([points[:-1], points[1:]]).tolist()
    return strokes + ([[x, y, *points[-1]]] if leaf else [])


def sheet(strokes: list[list[float]], words: tuple[Word, ...] = ()) -> Sheet:
    drawn = Strokes.of(np.array(strokes, float).reshape(-1, 4))
    return Sheet("t.pdf", 1, "A-1", None, 2000.0, 2000.0, drawn, Fills.none(), words, (), (VIEW,), ())


def doors(widths: tuple[float, ...], leaf: bool = True) -> Sheet:
    return sheet(
        [s for k, w in enumerate(widths) for s in swing(200.0 + 150 * k, 300.0, w * INCH, turn=90.0 * k, leaf=leaf)]
    )


def plan(rooms: tuple[Room, ...] = (), walls: shapely.Geometry | None = None) -> FloorPlan:
    return FloorPlan("v1", rooms, walls or shapely.Polygon(), shapely.Polygon(), (), (), None)


def room(name: str, x: float, wide_ft: float, deep_ft: float, **more: object) -> Room:
    shape = box(x, 500.0, x + wide_ft * 12 * INCH, 500.0 + deep_ft * 12 * INCH)
    return Room(name, name, "bedroom", shape, 0.9, "v1", **more)  # type: ignore[arg-type]


def note(text: str, x: float, line: int, angle: float = 0.0) -> tuple[Word, ...]:
    """The text word by word, in the middle of a room that begins at ``x``."""
    return tuple(
        Word(part, (x + 60 + 12 * k, 560.0, x + 70 + 12 * k, 566.0), angle, 6.0, line)
        for k, part in enumerate(text.split())
    )


# --------------------------------------------------------------------------------------------------- doors


@settings(deadline=None, max_examples=50)
@given(st.floats(6.0, 200.0), st.integers(3, 40), st.floats(0, 360), st.integers(0, 999))
def test_the_width_of_a_leaf(radius: float, pieces: int, turn: float, seed: int) -> None:
    """Any number of pieces, any direction, in any order, rounded to 1/600 in."""
    strokes = np.array(swing(1000.0, 1000.0, radius, pieces, turn))
    strokes = (strokes / 0.12).round() * 0.12
    np.random.default_rng(seed).shuffle(strokes)
    if radius * np.pi / 2 / pieces < 0.8 or radius * np.pi / 2 / pieces > 38:
        return  # pieces as short as the rounding, or longer than any plot makes them
    assert leaf_widths(sheet(strokes.tolist()), VIEW.box) == pytest.approx([radius], rel=0.03, abs=0.5)


@pytest.mark.parametrize(("thick_in", "leaves"), [(4.5, 0), (0.5, 1), (60.0, 2)])
def test_the_faces_of_a_curved_wall_in_the_corner_of_a_house_are_no_door_leaves(
    thick_in: float, leaves: int
) -> None:
    """The house's own walls lay where leaves would: three of 129 in refuted a scale of 1:48 that was right.  A
    swing that is drawn twice is a leaf, and so are two that are a door apart."""
    faces = [s for r in (80.0, 80.0 + thick_in) for s in swing(300.0, 300.0, r * INCH, pieces=24)]
    assert len(leaf_widths(sheet(faces), VIEW.box)) == leaves


def test_arcs_without_a_leaf_and_other_arcs_are_no_doors() -> None:
    assert len(leaf_widths(doors((30.0,) * 4, leaf=False), VIEW.box)) == 0
    ring = np.linspace(0, 2 * np.pi, 40)
    table = np.column_stack([500 + 40 * np.cos(ring), 500 + 40 * np.sin(ring)])
    strokes = np.column_stack([table[:-1], table[1:]]).tolist()
    assert len(leaf_widths(sheet([*strokes, [500.0, 500.0, 540.0, 500.0]]), VIEW.box)) == 0


@pytest.mark.parametrize("scale", [SINGLE, PROVED])
def test_usual_doors_are_evidence_and_change_nothing(scale: Scale) -> None:
    weighed = weigh(scale, doors((32.0, 30.0, 28.0, 36.0, 18.0)), VIEW, plan())
    assert (weighed.status, weighed.ratio, weighed.why) == (scale.status, 48.0, scale.why)
    (told,) = [e for e in weighed.evidence if e.source == "doors"]
    assert told.count == 5
    assert weighed.agrees == scale.agrees, "doors are too coarse to agree"
    assert told.ratio == pytest.approx(48, rel=0.02)


@pytest.mark.parametrize("scale", [SINGLE, PROVED])
@pytest.mark.parametrize("times", [2.0, 0.5])
def test_doors_of_twice_or_half_the_width_make_a_scale_implausible(scale: Scale, times: float) -> None:
    widths = tuple(times * w for w in (32.0, 30.0, 28.0, 36.0, 24.0))
    weighed = weigh(scale, doors(widths), VIEW, plan())
    assert weighed.status == "conflict"
    assert not weighed.measurable
    assert weighed.ratio is None
    assert weighed.why is not None
    assert "scale not plausible" in weighed.why


@pytest.mark.parametrize("sweep", [45.0, 30.0])
def test_doors_drawn_half_open_make_a_scale_implausible_as_well(sweep: float) -> None:
    """A note of 1/8 in. on a plan of 1/4 in. was believed where its leaves stand open at 45 degrees."""
    rows = enumerate((64.0, 60.0, 56.0, 72.0))
    drawn = [s for k, w in rows for s in swing(200.0 + 150 * k, 300.0, w * INCH, 8, 90.0 * k, sweep=sweep)]
    assert weigh(SINGLE, sheet(drawn), VIEW, plan()).status == "conflict"


def test_two_odd_doors_question_a_note_and_only_doubt_a_proof() -> None:
    odd = doors((60.0, 64.0))
    assert weigh(SINGLE, odd, VIEW, plan()).status == "conflict"
    doubted = weigh(PROVED, odd, VIEW, plan())
    assert (doubted.status, doubted.ratio) == ("proved", 48.0)
    assert doubted.why is not None
    assert "door leaves" in doubted.why


def test_no_usual_door_among_small_ones_is_implausible_however_mixed_they_are() -> None:
    small = tuple(w / 2 for w in (28.0, 28.0, 30.0, 30.0, 32.0, 36.0, 36.0, 36.0))
    assert weigh(SINGLE, doors(small), VIEW, plan()).status == "conflict"
    assert weigh(PROVED, doors(small), VIEW, plan()).status == "conflict"
    assert weigh(PROVED, doors((*small, 30.0)), VIEW, plan()).status == "proved", "one door as doors are"


@pytest.mark.parametrize("times", [0.647, 1 / 0.647])
def test_a_fitted_print_is_told_by_its_doors_where_only_a_note_states_the_scale(times: float) -> None:
    fitted = doors(tuple(w * times for w in (28.0, 28.0, 30.0, 30.0, 32.0, 32.0, 36.0, 24.0)))
    assert weigh(SINGLE, fitted, VIEW, plan()).status == "conflict"
    assert times > 1 or weigh(PROVED, fitted, VIEW, plan()).status == "proved"


@pytest.mark.parametrize("widths", [(40.0, 40.0), (32.0, 37.3, 42.7), (37.3, 40.0, 40.0, 42.7, 48.0), (60.0,)])
def test_leaves_that_are_mostly_too_wide_refute_a_note_alone(widths: tuple[float, ...]) -> None:
    """A drawing at 1/4 in. under the note of another, 3/16 in., and an enlarged bath with one door under that of
    its plan: every distance would be too long, and outlets within reach would be cleared."""
    assert weigh(SINGLE, doors(widths), VIEW, plan()).status == "conflict"
    assert weigh(PROVED, doors(widths[:2]), VIEW, plan()).status == "proved"


@pytest.mark.parametrize("widths", [(36.0, 36.0, 42.0), (32.0, 48.0), (42.0,), (30.0, 42.0, 42.0, 36.0)])
def test_some_wide_leaves_refute_nothing(widths: tuple[float, ...]) -> None:
    assert weigh(SINGLE, doors(widths), VIEW, plan()).measurable


def test_one_wide_gate_among_doors_says_nothing() -> None:
    assert weigh(SINGLE, doors((30.0, 32.0, 72.0)), VIEW, plan()).status == "single"


@pytest.mark.parametrize("name", ["tern-street", "marlow-court", "quarry-yard"])
def test_whole_sheets_at_twice_and_half_their_scale(name: str) -> None:
    read = sample(name)
    view, scale = read.views[0], prove_scales(read, Drawing())[0]
    assert weigh(scale, read, view, plan()).status == "proved"
    assert scale.ratio is not None
    for times in (0.5, 2.0):
        false = replace(scale, ratio=scale.ratio * times, status="single", evidence=())
        assert weigh(false, read, view, plan()).status == "conflict"


# --------------------------------------------------------------------------------------------------- rooms


@pytest.mark.parametrize(
    "text",
    [
        "12'-0\" x 14'-6\"",
        "14'-6\" X 12'-0\"",
        "12' x 14'6\"",
        "174 SF",
        "174 SQ. FT.",
        "16.16 m²",
        "3.66m x 4.42m",
    ],
)
def test_sizes_in_rooms_that_fit_are_recorded(text: str) -> None:
    weighed = weigh(SINGLE, sheet([], note(text, 100.0, 1)), VIEW, plan((room("BEDROOM", 100.0, 12.0, 14.5),)))
    (told,) = [e for e in weighed.evidence if e.source == "rooms"]
    assert told.ratio == pytest.approx(48, rel=0.01)
    assert told.count == 1
    assert "BEDROOM" in told.text
    assert weighed.status == "single"
    assert weighed.why == SINGLE.why


def rooms_and_words(times: float, texts: tuple[str, ...]) -> tuple[FloorPlan, Sheet]:
    sizes = ((12.0, 14.5), (10.0, 11.0), (20.0, 13.0))
    rooms = tuple(room(f"R{k}", 100.0 + 600 * k, times * a, times * b) for k, (a, b) in enumerate(sizes))
    words = tuple(w for k, text in enumerate(texts) for w in note(text, 100.0 + 600 * k, k))
    return plan(rooms), sheet([], words)


TEXTS = ("12'-0\" x 14'-6\"", "10' x 11'", "260 SF")


@pytest.mark.parametrize("times", [0.5, 0.85, 1.5])
def test_sizes_in_rooms_that_contradict_a_note(times: float) -> None:
    drawn, read = rooms_and_words(times, TEXTS)
    weighed = weigh(SINGLE, read, VIEW, drawn)
    assert weighed.status == "conflict"
    assert weighed.why is not None
    assert "3 of 3 rooms" in weighed.why
    doubted = weigh(PROVED, read, VIEW, drawn)
    assert (doubted.status, doubted.ratio) == ("proved", 48.0)
    assert doubted.why is not None
    assert "3 of 3 rooms" in doubted.why


def test_one_room_that_does_not_fit_is_said_and_refutes_nothing() -> None:
    drawn, read = rooms_and_words(0.5, TEXTS[:1])
    weighed = weigh(SINGLE, read, VIEW, drawn)
    assert weighed.status == "single"
    assert weighed.why is not None
    assert "1 of 1 rooms" in weighed.why


def test_sizes_that_tell_nothing() -> None:
    """Another shape, a room without one length and width, an area in an open plan, two sizes in one room."""
    bent = shapely.union_all([box(100, 500, 400, 600), box(100, 500, 200, 800)])
    for rooms, words in (
        ((room("A", 100.0, 12.0, 30.0),), note("12' x 14'", 100.0, 1)),
        ((replace(room("A", 100.0, 12.0, 14.0), polygon=bent),), note("12' x 14'", 100.0, 1)),
        ((room("A", 100.0, 12.0, 14.0, open_to=("B",)),), note("400 SF", 100.0, 1)),
        ((room("A", 100.0, 12.0, 14.0),), note("12' x 14'", 100.0, 1) + note("6' x 7'", 100.0, 2)),
        ((room("A", 100.0, 12.0, 14.0),), note("PANTRY 40 SFX", 100.0, 1)),
    ):
        weighed = weigh(SINGLE, sheet([], words), VIEW, plan(rooms))
        assert [e.source for e in weighed.evidence] == ["note"]
        assert weighed.why == SINGLE.why


# --------------------------------------------------------------------------------------------------- walls


@pytest.mark.parametrize(("thick_in", "status"), [(4.5, "single"), (12.0, "single"), (24.0, "conflict")])
def test_walls(thick_in: float, status: str) -> None:
    thick = thick_in * INCH
    walls = box(100, 100, 700, 700).difference(box(100 + thick, 100 + thick, 700 - thick, 700 - thick))
    assert weigh(SINGLE, sheet([]), VIEW, plan((), walls)).status == status
    assert weigh(PROVED, sheet([]), VIEW, plan((), walls)).status == "proved"


def test_a_note_and_a_viewport_are_refuted_like_a_note_alone() -> None:
    """Neither shrinks with the print: that two agree tells nothing of the paper."""
    drawn, read = rooms_and_words(0.5, TEXTS)
    thick = box(100, 100, 700, 700).difference(box(136, 136, 664, 664))
    for told, planned in ((read, drawn), (doors((60.0, 64.0)), plan()), (sheet([]), plan((), thick))):
        weighed = weigh(SAID, told, VIEW, planned)
        assert (weighed.status, weighed.ratio) == ("conflict", None)
        assert weigh(PROVED, told, VIEW, planned).status == "proved"


def test_a_scale_that_measures_nothing_is_left_alone() -> None:
    for status in ("conflict", "unknown", "not to scale"):
        scale = replace(SINGLE, status=status, ratio=None)  # type: ignore[arg-type]
        assert weigh(scale, doors((60.0,) * 4), VIEW, plan()) is scale


def test_fixtures_of_another_size_refute_a_note_alone() -> None:
    drawn = ScaleEvidence("fixtures", 96.0, "3 fixtures of the sizes in the mapping file", 3)
    weighed = weigh(SINGLE, doors(()), VIEW, plan(), drawn)
    assert (weighed.status, weighed.ratio) == ("conflict", None)
    assert weighed.why is not None and "fitting is 1:96 (+100 %)" in weighed.why and drawn in weighed.evidence
