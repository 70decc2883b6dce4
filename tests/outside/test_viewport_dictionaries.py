"""Scales that a PDF states for parts of a page: written by pikepdf, read by ours.

Source of the entries: ISO 32000-2:2020, 12.9.1 and 12.9.2 (from memory).  A quarter inch to the foot is 18 pt to
the foot: its factor is 1/18 ft for a unit of user space of 1 pt.
"""

from __future__ import annotations

from pathlib import Path

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Array, Dictionary, Name, String

from cordpath.model import Drawing, Sheet
from cordpath.scale import prove_scales
from cordpath.sheet import read_sheet

PLAN = b"1 w 100 100 400 400 re S 300 100 m 300 500 l S"
HEIGHT = 792.0


def measure(factor: float = 1 / 18, unit: str = "ft", said: str = "", **more: object) -> Dictionary:
    found = Dictionary(Type=Name.Measure, Subtype=Name.RL, X=Array([Dictionary(C=factor, U=String(unit))]))
    if said:
        found.R = String(said)
    for key, value in more.items():
        found[f"/{key}"] = value
    return found


def viewport(box: tuple[float, float, float, float], what: Dictionary, name: str = "plan") -> Dictionary:
    return Dictionary(Type=Name.Viewport, BBox=Array(list(box)), Name=String(name), Measure=what)


def sheet_of(folder: Path, ports: list[object], rotate: int = 0, unit: float = 1.0) -> Sheet:
    pdf = pikepdf.new()
    page = pdf.add_blank_page(page_size=(612, HEIGHT))
    page.Contents = pdf.make_stream(PLAN)
    page.VP = Array(ports)
    page.Rotate = rotate
    page.UserUnit = unit
    pdf.save(folder / "t.pdf")
    return read_sheet(folder / "t.pdf", 1)


@settings(deadline=None, max_examples=20)
@given(st.sampled_from([0, 90, 180, 270]), st.sampled_from([1.0, 2.0, 10.0]), st.sampled_from([12.0, 48.0, 96.0]))
def test_box_and_ratio_whatever_the_page_does(
    tmp_path_factory: pytest.TempPathFactory, rotate: int, unit: float, ratio: float
) -> None:
    folder = tmp_path_factory.mktemp("v")
    sheet = sheet_of(folder, [viewport((90, 80, 510, 520), measure(unit * ratio / 864))], rotate, unit)
    (port,) = sheet.viewports
    assert port.ratio == pytest.approx(ratio, rel=1e-4)
    assert port.name == "plan"
    assert (port.box[2] - port.box[0]) * (port.box[3] - port.box[1]) == pytest.approx(420 * 440 * unit**2)
    inked = sheet.strokes.xy.reshape(-1, 2)
    assert (inked >= port.box[:2]).all()
    assert (inked <= port.box[2:]).all()


@pytest.mark.parametrize(
    ("what", "ratio"),
    [
        (measure(), 48.0),
        (measure(1 / 1.5, "in"), 48.0),
        (measure(50 * 0.0254 / 72, "m"), 50.0),
        (measure(D=Array([Dictionary(C=12.0, U=String("in"))])), 48.0),
        (measure(1.0, "units", D=Array([Dictionary(C=1 / 18, U=String("ft"))])), 48.0),
        (measure(said='1/4" = 1\'-0"'), 48.0),
        (measure(Y=Array([Dictionary(C=1 / 18, U=String("ft"))])), 48.0),
    ],
)
def test_figures_that_make_a_ratio(tmp_path: Path, what: Dictionary, ratio: float) -> None:
    (port,) = sheet_of(tmp_path, [viewport((90, 80, 510, 520), what)]).viewports
    assert port.ratio == pytest.approx(ratio, rel=1e-4)
    assert port.problem is None


@pytest.mark.parametrize(
    "what",
    [
        measure(said="1:50"),
        measure(Y=Array([Dictionary(C=1 / 9, U=String("ft"))])),
        measure(D=Array([Dictionary(C=1.0, U=String("in"))])),
        measure(unit="cubits"),
        measure(0.0),
        Dictionary(Type=Name.Measure, Subtype=Name.RL),
    ],
)
def test_figures_that_contradict_each_other_make_none_and_are_said(tmp_path: Path, what: Dictionary) -> None:
    sheet = sheet_of(tmp_path, [viewport((90, 80, 510, 520), what)])
    (port,) = sheet.viewports
    assert port.ratio is None
    assert port.problem
    assert any(port.problem in said for said in sheet.assumptions)
    assert not prove_scales(sheet, Drawing())[0].measurable


@pytest.mark.parametrize(
    "junk",
    [3, Name.X, Dictionary(), Dictionary(BBox=Array([1]), Measure=Array([])), Dictionary(Measure=Dictionary())],
)
def test_junk_is_passed_over(tmp_path: Path, junk: object) -> None:
    sheet = sheet_of(tmp_path, [junk, viewport((90, 80, 510, 520), measure())])
    assert sheet.viewports[-1].ratio == pytest.approx(48, rel=1e-4)


def test_geographic_measures_are_not_lengths(tmp_path: Path) -> None:
    what = Dictionary(Type=Name.Measure, Subtype=Name.GEO)
    assert sheet_of(tmp_path, [viewport((90, 80, 510, 520), what)]).viewports == ()


def test_the_last_viewport_over_the_drawing_counts(tmp_path: Path) -> None:
    ports = [viewport((0, 0, 612, 792), measure(1 / 9)), viewport((90, 80, 510, 520), measure())]
    (scale,) = prove_scales(sheet_of(tmp_path, ports), Drawing())
    assert (scale.source, scale.status) == ("viewport", "single")
    assert scale.ratio == pytest.approx(48, rel=1e-4)
    assert scale.tolerance == 0.03, "nothing on the drawing measures this print"
    (scale,) = prove_scales(sheet_of(tmp_path, ports[::-1]), Drawing())
    assert scale.ratio == pytest.approx(96, rel=1e-4)


def test_two_viewports_over_one_drawing_contradict_each_other(tmp_path: Path) -> None:
    ports = [viewport((0, 0, 300, 792), measure(1 / 9)), viewport((300, 0, 612, 792), measure())]
    (scale,) = prove_scales(sheet_of(tmp_path, ports), Drawing())
    assert scale.status == "conflict"
    assert scale.why is not None
    assert "1:48" in scale.why
    assert "1:96" in scale.why


def test_a_small_viewport_beside_the_drawing_is_nobodys(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path, [viewport((0, 600, 100, 700), measure())])
    assert prove_scales(sheet, Drawing())[0].status == "unknown"
