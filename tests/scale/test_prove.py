"""Scales proved from notes and dimension strings on drawings of many styles."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pymupdf
import pytest
from dimension_chain import LENGTHS_FT, NOTE, Plan, feet_and_inches, imperial
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import Drawing, Sheet, View, Word
from cordpath.scale import prove_scales, read_dimensions
from cordpath.sheet import read_sheet
from read_once import REAL, real_plan


@pytest.mark.parametrize("turn", [False, True])
@pytest.mark.parametrize("place", ["above", "broken"])
@pytest.mark.parametrize("style", ["tick", "halves", "arrow", "open", "dot", "bare"])
def test_every_style_of_dimension_string_is_read(style: str, place: str, turn: bool) -> None:
    sheet = imperial(48, style=style, place=place, turned=turn).sheet(NOTE)
    (scale,) = prove_scales(sheet, Drawing())
    assert scale.status == "proved", scale
    assert scale.ratio == 48
    assert scale.agrees == ("dimension",)
    dimension = next(e for e in scale.evidence if e.source == "dimension")
    assert dimension.count == len(LENGTHS_FT)
    assert dimension.ratio == pytest.approx(48, rel=0.004)


@settings(deadline=None, max_examples=40)
@given(
    st.sampled_from([24.0, 48.0, 64.0, 96.0, 50.0]), st.sampled_from(["tick", "arrow", "dot"]), st.integers(0, 9999)
)
def test_rounding_of_the_plot_does_not_matter(ratio: float, style: str, seed: int) -> None:
    plan = imperial(ratio, style=style)
    rng = np.random.default_rng(seed)
    plan.segments = [tuple((np.array(s) + rng.uniform(-0.06, 0.06, 4)).tolist()) for s in plan.segments]
    (scale,) = prove_scales(plan.sheet(f"1:{ratio:g}"), Drawing())
    assert (scale.status, scale.ratio) == ("proved", ratio)


@pytest.mark.parametrize("shrink", [0.5, 0.97, 0.94, 1.03])
def test_a_fitted_print_is_measured_by_its_dimensions_and_its_note_called_false(shrink: float) -> None:
    (scale,) = prove_scales(imperial(48 / shrink).sheet(NOTE), Drawing())
    assert (scale.status, scale.source) == ("single", "dimension")
    assert scale.ratio == pytest.approx(48 / shrink, rel=0.004)
    assert scale.tolerance >= 0.01
    assert scale.why is not None
    assert f"{NOTE} (1:48) is false" in scale.why
    assert [e.source for e in scale.evidence] == ["note", "dimension"]


@pytest.mark.parametrize("count", [1, 2])
def test_too_few_dimensions_replace_no_note(count: int) -> None:
    texts = [feet_and_inches(length) for length in LENGTHS_FT[:count]]
    (scale,) = prove_scales(Plan(96.0).chain(texts, LENGTHS_FT[:count]).sheet(NOTE), Drawing())
    assert scale.status == ("conflict" if count == 2 else "single")
    assert scale.ratio in (None, 48.0)


@pytest.mark.parametrize(("count", "status"), [(4, "conflict"), (2, "single")])
def test_equal_dimensions_replace_no_note_and_confirm_none_two_at_a_time(count: int, status: str) -> None:
    """Two bays of a print at half size are as long as one bay at the scale of the note."""
    sheet = Plan(96.0).chain(["8'-0\""] * count, (8.0,) * count).sheet(NOTE)
    (scale,) = prove_scales(sheet, Drawing())
    assert scale.status == status
    assert scale.why is not None
    assert "dimension strings say 1:96" in scale.why


@pytest.mark.parametrize("other", [LENGTHS_FT[:2], LENGTHS_FT[:3], (8.0,) * 4])
def test_dimensions_of_two_drawings_in_one_view_replace_no_note(other: tuple[float, ...]) -> None:
    """Five strings of 1/8 in., and some that agree with the note of 1/4 in.: also four equal bays prove nothing."""
    plan = imperial(96)
    plan.point = 18.0
    plan.chain([feet_and_inches(length) for length in other], other, y=900.0)
    (scale,) = prove_scales(plan.sheet(NOTE), Drawing())
    assert (scale.status, scale.ratio) == ("conflict", None)


@pytest.mark.parametrize(("feet", "status"), [(LENGTHS_FT[:2], "unknown"), ((8.0,) * 4, "unknown"),
                                              (LENGTHS_FT[:3], "single")])  # fmt: skip
def test_without_a_note_strings_of_three_lengths_tell_a_scale_and_fewer_none(
    feet: tuple[float, ...], status: str
) -> None:
    """Two strings may both belong to other marks, and equal bays agree with several scales."""
    (scale,) = prove_scales(Plan(48).chain([feet_and_inches(f) for f in feet], feet).sheet(None), Drawing())
    assert (scale.status, scale.ratio is None) == (status, status == "unknown")


def test_dimension_strings_alone_are_single() -> None:
    (scale,) = prove_scales(imperial(48).sheet(None), Drawing())
    assert (scale.status, scale.source) == ("single", "dimension")
    assert scale.ratio == pytest.approx(48, rel=0.002)
    assert scale.tolerance >= 0.01


def test_a_note_alone_is_single_with_a_wider_tolerance() -> None:
    sheet = replace(imperial(48).sheet(NOTE), words=())
    (scale,) = prove_scales(sheet, Drawing())
    assert (scale.status, scale.ratio, scale.tolerance) == ("single", 48, 0.03)


@pytest.mark.parametrize(
    ("note", "status"), [("N.T.S.", "not to scale"), (None, "unknown"), ("AS NOTED", "unknown")]
)
def test_nothing_to_measure_with(note: str | None, status: str) -> None:
    sheet = replace(imperial(48).sheet(note), words=())
    (scale,) = prove_scales(sheet, Drawing())
    assert (scale.status, scale.ratio) == (status, None)
    assert scale.why


def test_not_to_scale_is_believed_even_with_dimensions() -> None:
    (scale,) = prove_scales(imperial(48).sheet("NOT TO SCALE"), Drawing())
    assert scale.status == "not to scale"


def test_the_mapping_file_overrides_the_note_only_with_the_drawing_on_its_side() -> None:
    half = imperial(96).sheet(NOTE)
    drawing = Drawing(scale=96.0, scale_text="1/8in = 1ft")
    (scale,) = prove_scales(half, drawing)
    assert (scale.status, scale.ratio, scale.source) == ("proved", 96.0, "override")
    (scale,) = prove_scales(imperial(48).sheet(NOTE), drawing)
    assert scale.status == "conflict"
    (scale,) = prove_scales(replace(half, words=()), drawing)
    assert scale.status == "conflict", "the note alone contradicts"


def test_a_scale_for_this_very_sheet_outweighs_its_note_and_says_so() -> None:
    drawing = Drawing(scale_text="by sheet", sheet_scales=(("A-1", 96.0),))
    silent = replace(imperial(96).sheet(NOTE), words=())
    (scale,) = prove_scales(silent, drawing)
    assert (scale.status, scale.ratio, scale.tolerance) == ("single", 96.0, 0.03)
    assert scale.why is not None
    assert NOTE in scale.why
    (scale,) = prove_scales(imperial(48).sheet(NOTE), drawing)
    assert scale.status == "conflict", "the drawing's own dimensions outweigh every statement"


def test_a_note_repeated_by_the_mapping_file_is_not_proved() -> None:
    silent = replace(imperial(48).sheet(NOTE), words=())
    (scale,) = prove_scales(silent, Drawing(scale=48.0, scale_text="1/4in = 1ft"))
    assert (scale.status, scale.tolerance) == ("single", 0.03)


def test_short_equal_strings_that_agree_with_any_scale_hold_no_measured_scale_back() -> None:
    texts = [feet_and_inches(length) for length in LENGTHS_FT]
    plan = Plan(51.06).chain(texts, LENGTHS_FT).chain(['3 1/2"'] * 2, (3.5 / 12,) * 2, y=900.0)
    (scale,) = prove_scales(plan.sheet(NOTE), Drawing())
    assert scale.status == "single"
    assert scale.ratio == pytest.approx(51.06, rel=0.004)


def test_one_drawing_that_disproves_its_note_disproves_those_of_the_whole_print() -> None:
    read = imperial(96).sheet(NOTE)
    one, other = replace(read.views[0], box=(0, 0, 2000, 1000)), View("v2", "B", (0, 1000, 2000, 2000), NOTE)
    measured, unmeasured = prove_scales(replace(read, views=(one, other)), Drawing())
    assert (measured.status, measured.source) == ("single", "dimension")
    assert (unmeasured.status, unmeasured.ratio) == ("conflict", None)
    read = imperial(48).sheet(NOTE)
    scales = prove_scales(replace(read, views=(one, other)), Drawing())
    assert [scale.status for scale in scales] == ["proved", "single"]


@pytest.mark.parametrize(("other_note", "ratio"), [('1/8" = 1\'-0"', 192.0), (NOTE, None)])
def test_drawings_that_agree_on_the_size_of_a_print_correct_the_notes_of_the_others(
    other_note: str, ratio: float | None
) -> None:
    """Two drawings at half size, of 1/4 in. and of 1/8 in.; the second also with a note that tells another size."""
    texts, feet = [feet_and_inches(length) for length in LENGTHS_FT], LENGTHS_FT
    plan = Plan(96.0).chain(texts, feet)
    plan.point /= 2
    read = plan.chain([f"{text} " for text in texts], feet, y=900.0).sheet(NOTE)
    views = (
        View("v1", "A", (0, 0, 2000, 600), NOTE),
        View("v2", "B", (0, 600, 2000, 1200), other_note),
        View("v3", "C", (0, 1200, 2000, 2000), '1/8" = 1\'-0"'),
    )
    first, second, third = prove_scales(replace(read, views=views), Drawing())
    assert (first.source, second.source) == ("dimension", "dimension")
    assert first.ratio == pytest.approx(96, rel=0.004)
    assert second.ratio == pytest.approx(192, rel=0.004)
    assert (third.status, third.ratio) == (
        ("single", pytest.approx(ratio, rel=0.004)) if ratio else ("conflict", None)
    )
    if ratio:
        assert third.why is not None
        assert "50 %" in third.why
        assert third.tolerance == pytest.approx(0.03)


def test_where_one_drawing_has_the_scale_of_its_note_the_size_of_others_corrects_no_note() -> None:
    """Two drawings at half size, one as its note says, and one that shows nothing: its size is not known."""
    texts, feet = [feet_and_inches(length) for length in LENGTHS_FT], LENGTHS_FT
    plan = Plan(96.0).chain(texts, feet)
    plan.chain([f"{text} " for text in texts], feet, y=800.0)
    plan.point *= 2
    read = plan.chain([f"{text}  " for text in texts], feet, y=1300.0).sheet(NOTE)
    edges = (0, 600, 1100, 1600, 2000)
    views = tuple(
        View(f"v{k}", "PLAN", (0, top, 2000, foot), NOTE) for k, (top, foot) in enumerate(pairwise(edges))
    )
    *_, right, silent = prove_scales(replace(read, views=views), Drawing())
    assert (right.status, right.ratio) == ("proved", 48.0)
    assert (silent.status, silent.ratio) == ("conflict", None)


def test_a_scale_for_the_sheet_number() -> None:
    drawing = Drawing(scale_text="by sheet", sheet_scales=(("a-1", 50.0), ("A-2", 20.0)))
    (scale,) = prove_scales(imperial(50).sheet(None), drawing)
    assert (scale.status, scale.ratio) == ("proved", 50.0)


def test_bare_millimetres_on_a_metric_sheet() -> None:
    millimetres = (4200, 2400, 3600, 1850, 6100)
    feet = tuple(mm / 304.8 for mm in millimetres)
    sheet = Plan(50).chain([str(mm) for mm in millimetres], feet).sheet("1:50")
    (scale,) = prove_scales(sheet, Drawing())
    assert (scale.status, scale.ratio) == ("proved", 50)


@pytest.mark.parametrize("form", ["{:.0f}", "{:.2f}", "{:.2f} m", "({:.0f})"])
def test_centimetres_and_metres_on_a_metric_sheet(form: str) -> None:
    metres = (4.2, 2.4, 3.6, 1.85, 6.1)
    texts = [form.format(100 * m if form.count("0f") else m) for m in metres]
    sheet = Plan(50).chain(texts, tuple(m / 0.3048 for m in metres)).sheet("1:50")
    (scale,) = prove_scales(sheet, Drawing())
    assert (scale.status, scale.ratio) == ("proved", 50)
    read = read_dimensions(sheet, sheet.views[0], scale)
    assert [d.length_ft for d in read] == pytest.approx([m / 0.3048 for m in metres])


TENTHS = [f"{length:.2f}" for length in LENGTHS_FT]  # of feet, as surveyors write them
INCHES = [f"{12 * length:.0f}" for length in LENGTHS_FT]


@pytest.mark.parametrize("texts", [TENTHS, INCHES])
def test_feet_and_inches_without_a_unit_beside_a_note_in_feet(texts: list[str]) -> None:
    """Feet in tenths were taken for metres, and made a scale of 1:157 that replaced the note: all distances were
    three times too long."""
    (scale,) = prove_scales(Plan(48).chain(texts, LENGTHS_FT).sheet(NOTE), Drawing())
    assert (scale.status, scale.ratio) == ("proved", 48)


@pytest.mark.parametrize("texts", [TENTHS, INCHES])
def test_lengths_without_a_unit_replace_no_note_in_feet(texts: list[str]) -> None:
    """A print at half size, or a note that is false: which unit the lengths have is not known."""
    (scale,) = prove_scales(Plan(96).chain(texts, LENGTHS_FT).sheet(NOTE), Drawing())
    assert (scale.status, scale.ratio) == ("conflict", None)


@pytest.mark.parametrize("texts", [TENTHS, INCHES])
def test_lengths_without_a_unit_alone_tell_a_usual_scale_in_metres_or_none(texts: list[str]) -> None:
    (scale,) = prove_scales(Plan(48).chain(texts, LENGTHS_FT).sheet(None), Drawing())
    assert (scale.status, scale.ratio) == ("unknown", None)
    assert scale.why is not None and "unit" in scale.why
    metres = Plan(50).chain([f"{0.3048 * length:.3f}" for length in LENGTHS_FT], LENGTHS_FT)
    (scale,) = prove_scales(metres.sheet(None), Drawing())
    assert (scale.status, scale.ratio) == ("single", pytest.approx(50, rel=0.002))


@pytest.mark.parametrize("form", ["±{}", "({})", "{}±", "[{}]", "~{}", "{}*"])
def test_marks_written_round_a_length(form: str) -> None:
    texts = [form.format(feet_and_inches(length)) for length in LENGTHS_FT]
    (scale,) = prove_scales(Plan(48).chain(texts, LENGTHS_FT).sheet(NOTE), Drawing())
    assert (scale.status, scale.ratio) == ("proved", 48)


def test_split_words_of_one_string() -> None:
    sheet = imperial(48).sheet(NOTE)
    words: list[Word] = []
    for word in sheet.words:
        feet, _, rest = word.text.partition("-")
        x0, y0, x1, y1 = word.box
        cut = x0 + (x1 - x0) * 0.4
        words.append(replace(word, text=feet, box=(x0, y0, cut, y1)))
        words.append(replace(word, text="-", box=(cut, y0, cut + 2, y1)))
        words.append(replace(word, text=rest, box=(cut + 2, y0, x1, y1)))
    (scale,) = prove_scales(replace(sheet, words=tuple(words)), Drawing())
    assert scale.status == "proved"


def test_the_real_sheet_proves_both_views() -> None:
    sheet = real_plan()
    scales = prove_scales(sheet, Drawing())
    assert [scale.status for scale in scales] == ["proved", "proved"]
    for scale in scales:
        assert scale.ratio == 48
        dimension = next(e for e in scale.evidence if e.source == "dimension")
        assert dimension.count >= 5
        assert dimension.ratio == pytest.approx(48, rel=0.005)


@pytest.mark.parametrize("factor", [0.5, 0.647])
def test_a_shrunk_print_has_the_same_drawings_and_its_own_scale(factor: float, tmp_path: Path) -> None:
    """Half size, and 42 x 30 in. fitted to the width of 27.2 in.: lettering and white paper shrink alike."""
    with pymupdf.open(REAL) as whole, pymupdf.open() as printed:
        width, height = whole[0].rect.width * factor, whole[0].rect.height * factor
        page = printed.new_page(width=width, height=height)
        page.show_pdf_page(page.rect, whole, 0)
        printed.save(tmp_path / "print.pdf")
    first, second = real_plan(), read_sheet(tmp_path / "print.pdf", 1)
    for view, other in zip(first.views, second.views, strict=True):
        assert np.array(other.box) / factor == pytest.approx(np.array(view.box), abs=12)
    for scale in prove_scales(second, Drawing()):
        assert scale.ratio == pytest.approx(48 / factor, rel=0.005)
        assert scale.why is not None
        assert "false on this print" in scale.why


@settings(deadline=None, max_examples=25)
@given(
    ratio=st.sampled_from([24.0, 48.0, 64.0, 96.0, 120.0, 240.0, 50.0, 100.0]),
    noted=st.sampled_from([None, 0.5, 1.0, 1.5, 2.0]),
    slips=st.lists(st.tuples(st.integers(0, 4), st.floats(2, 40)), max_size=3),
)
def test_slips_in_dimension_strings_make_no_wrong_scale(
    ratio: float, noted: float | None, slips: list[tuple[int, float]]
) -> None:
    """Whatever is written wrong, a right note or none leads to the right scale or to no scale; a wrong note does
    unless most strings say what nobody drew."""
    said = list(LENGTHS_FT)
    for k, feet in slips:
        said[k] = round(feet * 12) / 12
    plan = Plan(ratio).chain([feet_and_inches(feet) for feet in said], LENGTHS_FT)
    (scale,) = prove_scales(plan.sheet(None if noted is None else f"1:{ratio * noted:g}"), Drawing())
    if noted in (None, 1.0) or sum(a != b for a, b in zip(said, LENGTHS_FT, strict=True)) < 2:
        assert scale.ratio is None or scale.ratio == pytest.approx(ratio, rel=0.011)


def _stamped(sheet: Sheet, text: str) -> Sheet:
    words = tuple(Word(part, (900.0 + 40 * k, 20, 938.0 + 40 * k, 30), 0, 9, 9999, "Helv")
                  for k, part in enumerate(text.split()))  # fmt: skip
    return replace(sheet, words=(*sheet.words, *words))


@pytest.mark.parametrize("stamp", ["HALF SIZE", "1/2 SIZE PRINT", "REDUCED DRAWING", "THIS PRINT IS HALF SCALE",
                                   "50% SIZE REDUCTION", "PRINT IS NOT TO SCALE"])  # fmt: skip
def test_a_stamp_of_a_smaller_print_takes_a_note_back_that_nothing_measures(stamp: str) -> None:
    """A half-size print kept the note of its original, and every distance on it was half as long."""
    (scale,) = prove_scales(_stamped(Plan(96.0).sheet(NOTE), stamp), Drawing())
    assert (scale.status, scale.ratio) == ("conflict", None)
    assert scale.why is not None and stamp in scale.why
    (scale,) = prove_scales(_stamped(imperial(96).sheet('1/8" = 1\'-0"'), stamp), Drawing())
    assert (scale.status, scale.ratio) == ("proved", 96)  # its dimensions confirm the note


@pytest.mark.parametrize("text", ["HALF SIZE BEDS BY OWNER", "REDUCED VOLTAGE STARTER", "1/2 BATH", "FULL SIZE"])
def test_other_words_are_no_stamps(text: str) -> None:
    (scale,) = prove_scales(_stamped(Plan(48.0).sheet(NOTE), text), Drawing())
    assert (scale.status, scale.ratio) == ("single", 48)
