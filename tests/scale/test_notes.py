"""Scale notes in every spelling, and text that is none."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cordpath.units import find_scale_note, inches, parse_scale_note, scale_ratio


@pytest.mark.parametrize("text", [
    "1/4\" = 1'-0\"", "1/4\"=1'", "1/4 IN = 1 FT", ".25\"=1'-0\"", "1'-0\" = 1/4\"", "1:48", "1 : 48",
    "0.25\" = 1'",
    "SCALE: 1/4\" = 1'-0\" U.N.O.", "¼\" = 1'-0\"", "1/4″ = 1′-0″", "1/4'' = 1'-0''",
    "SCALE : 1 / 4 \" = 1 ' - 0 \"",
    "1/4\" PER FOOT", "1/4\" = 1 FOOT", "SCALE 1/48", "1/4\" = 1'-0\" UNLESS NOTED OTHERWISE", "1⁄4\" = 1'–0\"",
])  # fmt: skip
def test_a_quarter_inch_in_all_spellings(text: str) -> None:
    assert scale_ratio(text) == pytest.approx(48)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("AS NOTED", "as noted"), ("SCALE: AS NOTED", "as noted"), ("VARIES", "as noted"), ("AS SHOWN", "as noted"),
        ("NTS", "not to scale"), ("N.T.S.", "not to scale"), ("NOT TO SCALE", "not to scale"),
        ("SCALE: NONE", "not to scale"), ("SCALE: N.T.S.", "not to scale"),
        ("1/4\" = 1'-0\" HALF SIZE", "unclear"),
    ],
)  # fmt: skip
def test_notes_without_one_ratio(text: str, kind: str) -> None:
    note = parse_scale_note(text)
    assert note is not None
    assert note.kind == kind
    assert note.ratio is None


@pytest.mark.parametrize("text", [
    "", "KITCHEN", "4:12", "1:12 MAX SLOPE", "10:30", "1:50:30", "3'-4 1/2\"", "1/4 = 1-0", "1/0\" = 1'", "A-12",
    "MOUNT 1/4\" = 1'-0\" ABOVE FLOOR", "3/16\" 1'-0\"", "SCALE: 3/16\" 6'-0\"", "DATE 1:50",
    "1:99999999", "= 1'-0\"",
])  # fmt: skip
def test_text_that_is_no_scale_note(text: str) -> None:
    assert parse_scale_note(text) is None
    assert scale_ratio(text) is None


def test_a_note_behind_its_title_is_found_and_a_slope_is_not() -> None:
    note = find_scale_note('FIRST FLOOR PLAN   SCALE: 1/4" = 1\'-0"')
    assert note is not None
    assert note.ratio == 48
    assert find_scale_note("RAMP 1:12") is None
    assert find_scale_note("PLAN SCALE 1:50").ratio == 50  # type: ignore[union-attr]


def test_half_the_size_written_in_figures_leaves_a_note_unclear() -> None:
    note = find_scale_note('SCALE: 1/4" = 1\'-0" (1/2 SIZE PRINT)')
    assert note is not None and note.kind == "unclear"


def test_two_scales_for_two_papers_are_told_apart_by_the_page() -> None:
    note = parse_scale_note("1:50 @ A1 / 1:100 @ A3")
    assert note is not None
    assert note.ratio is None
    assert note.at(16.54, 11.69) == 100
    assert note.at(33.1, 23.4) == 50
    assert note.at(36, 24) is None


@given(st.text(max_size=300))
def test_no_text_breaks_the_reader(text: str) -> None:
    for read in (parse_scale_note, find_scale_note):
        note = read(text)
        assert note is None or all(0.1 <= ratio <= 10_000 for ratio, _ in note.options)


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("11/2\" = 1'-0\"", 8), ("SCALE: 1=48", 48), ("SCALE: 3/16\" 1'-0\"", 64),
        ("1/4´´ = 1´-0´´", 48), ("1/4ʺ = 1ʹ-0ʺ", 48),
        ("1/4\" = 1'-0\" @ 24\"X36\"", None), ("1/4\" = 1'-0\" WHEN PRINTED ON 24x36", None),
    ],
)  # fmt: skip
def test_rarer_spellings(text: str, ratio: float | None) -> None:
    note = find_scale_note(text) or parse_scale_note(text)
    assert note is not None
    assert note.at(36, 24) == pytest.approx(ratio or 48)
    assert note.at(18, 12) == pytest.approx(ratio or 96)


def test_a_note_for_paper_of_another_shape_does_not_tell_the_scale_of_a_fitted_print() -> None:
    note = parse_scale_note('1/4" = 1\'-0" (24x36)')
    assert note is not None
    assert note.at(17, 11) is None
    assert note.at(36.5, 24.5) == 48


def test_an_approximate_scale_is_none() -> None:
    note = find_scale_note('APPROX. SCALE 1/4" = 1\'-0"')
    assert note is not None
    assert (note.kind, note.ratio) == ("unclear", None)


@pytest.mark.parametrize(
    ("text", "length"),
    [
        ("12'-63/8\"", 150.375), ("12'-6 3/8\"", 150.375), ("113/16\"", None), ("73/16\"", 7.1875),
        ("15/8\"", 1.625),
        ("111/16\"", None), ("6 11/8\"", None), ("8/8\"", None), ("0/4\"", 0.0), ("12'-10/2\"", None),
    ],
)  # fmt: skip
def test_a_fraction_set_close_to_its_whole_number(text: str, length: float | None) -> None:
    assert inches(text) == length


@given(st.integers(1, 11), st.sampled_from([2, 4, 8, 16, 32]), st.data())
def test_whatever_was_set_close_is_read_so_or_not_at_all(whole: int, bottom: int, data: st.DataObject) -> None:
    top = 2 * data.draw(st.integers(0, bottom // 2 - 1)) + 1
    assume(int(f"{whole}{top}") >= bottom)  # 1 1/16 set close is 11/16 to anybody
    got = inches(f'{whole}{top}/{bottom}"')
    assert got in (None, whole + top / bottom)


@pytest.mark.parametrize(("text", "size"), [("@ ARCH D", (36.0, 24.0)), ("(ANSI D)", (34.0, 22.0)),
                                            ("ON ARCH. E1 SHEET", (42.0, 30.0))])  # fmt: skip
def test_a_note_for_a_sheet_size_by_its_name(text: str, size: tuple[float, float]) -> None:
    """Sizes of ASME Y14.1; the half of one is a print of half size."""
    note = parse_scale_note(f'SCALE: 1/4" = 1\'-0" {text}')
    assert note is not None
    assert note.at(*size) == 48.0
    assert note.at(size[0] / 2, size[1] / 2) == pytest.approx(96.0)
