"""The marked PDF as two programs see it that had no part in writing it.

pikepdf (the qpdf library) reads the structure; pypdfium2 (the pdfium renderer) shows the pixels.  Where a point of
a page shows is worked out here by hand (ISO 32000-2:2020, table 31: Rotate turns the page clockwise in degrees,
UserUnit is the size of a unit in points; 14.11.2: the crop box is what shows), not with the program's transform.
"""

from __future__ import annotations

import ctypes
from pathlib import Path

import numpy as np
import pikepdf
import pypdfium2
import pypdfium2.raw as raw
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from pikepdf import Array, Dictionary, Name
from shapely import box as shapely_box
from shapely.geometry import Polygon

from cordpath.model import (
    Answer,
    Fills,
    Finding,
    Outlet,
    Protection,
    Reading,
    Requirement,
    Run,
    Sheet,
    SheetResult,
    Spotting,
    Standing,
    Strokes,
    Symbol,
    SymbolEntry,
    Verdict,
    View,
)
from cordpath.report import write_marked

RUN = Run("0.1.0", "2023", (), "symbols.yaml")
ENTRY = SymbolEntry("duplex receptacle", "receptacle")
PIXELS_A_POINT = 2.0


def shown_at(x: float, y: float, crop: list[float], rotate: int, unit: float) -> tuple[float, float]:
    """Where a point of user space shows, points from the top left corner, turning the sheet of paper by hand."""
    right, up = (x - crop[0]) * unit, (y - crop[1]) * unit
    wide, high = (crop[2] - crop[0]) * unit, (crop[3] - crop[1]) * unit
    for _ in range(rotate // 90):  # a quarter turn clockwise: what was up points right
        right, up = up, wide - right
        wide, high = high, wide
    return right, high - up


def finding(number: str, verdict: Verdict, at: tuple[float, float], half: float) -> Finding:
    x, y = at
    symbol = Symbol(
        ENTRY, at, 0.0, False, 1.0, 1.0, True, "v1", shapely_box(x - half, y - half, x + half, y + half),
        np.zeros(0, np.int64),
    )  # fmt: skip
    outlet = Outlet(number, symbol, Standing(at, None, None, 0.1))
    holds = Answer.YES if verdict == "missing" else Answer.UNKNOWN
    asks = (Requirement("210.8(A)(6)", "it stands in the kitchen", holds),)
    return Finding(
        outlet, verdict, asks, Protection(Answer.NO, None, None), ("No protection is shown.",), None, 1.0
    )


def result(findings: tuple[Finding, ...], size: tuple[float, float]) -> SheetResult:
    sheet = Sheet(
        "plan.pdf", 1, "E-101", None, *size, Strokes.of(np.zeros((0, 4))), Fills.none(), (), (),
        (View("v1", "PLAN", (0.0, 0.0, *size)),), (),
    )  # fmt: skip
    reading = Reading(sheet, (), Spotting(()), (), tuple(f.outlet for f in findings), (), (), ())
    return SheetResult("plan.pdf", 1, "checked", None, reading, findings)


def draw(path: Path, spots: list[tuple[float, float]], half: float, entries: dict[str, object]) -> None:
    pdf = pikepdf.new()
    squares = " ".join(f"{x - half:.4f} {y - half:.4f} {2 * half:.4f} {2 * half:.4f} re f" for x, y in spots)
    page = Dictionary(
        Type=Name.Page, Resources=Dictionary(), Contents=pdf.make_stream(f"0 0.8 0 rg {squares}".encode())
    )
    for key, value in entries.items():
        page[key] = value
    pdf.pages.append(pikepdf.Page(pdf.make_indirect(page)))
    pdf.save(path)


def rendered(path: Path, width: float, height: float) -> NDArray[np.int16]:
    """RGB of the first page, PIXELS_A_POINT pixels to a point of paper."""
    document = pypdfium2.PdfDocument(path)
    page = document[0]
    scale = PIXELS_A_POINT * max(width, height) / max(page.get_size())
    picture = page.render(scale=scale).to_numpy()[:, :, :3].astype(np.int16)
    page.close()
    document.close()
    return picture[:, :, ::-1]  # pdfium gives blue first


def boxes_of(where: NDArray[np.bool_]) -> tuple[float, float, float, float]:
    rows, columns = np.nonzero(where)
    return tuple(v / PIXELS_A_POINT for v in (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1))


def is_vermilion(rgb: NDArray[np.int16]) -> NDArray[np.bool_]:
    return (rgb[..., 0] > 140) & (rgb[..., 1] < 110) & (rgb[..., 2] < 60)


def is_blue(rgb: NDArray[np.int16]) -> NDArray[np.bool_]:
    return (rgb[..., 0] < 60) & (rgb[..., 2] > 120) & (rgb[..., 1] < 130)


def is_green(rgb: NDArray[np.int16]) -> NDArray[np.bool_]:
    return (rgb[..., 1] > 150) & (rgb[..., 0] < 90) & (rgb[..., 2] < 90)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    rotate=st.sampled_from([0, 90, 180, 270]),
    unit=st.sampled_from([1.0, 2.0, 0.5, 10.0]),
    origin=st.tuples(st.integers(-500, 500), st.integers(-500, 500)),
    inset=st.tuples(*[st.integers(0, 60)] * 4),
    spot=st.tuples(st.floats(0.25, 0.75), st.floats(0.25, 0.75)),
)
def test_a_cloud_surrounds_its_mark_however_the_page_is_shown(
    tmp_path: Path, rotate, unit, origin, inset, spot
) -> None:
    paper = (520.0, 400.0)  # points of paper before the crop
    media = [origin[0], origin[1], origin[0] + paper[0] / unit, origin[1] + paper[1] / unit]
    crop = [
        media[0] + inset[0] / unit,
        media[1] + inset[1] / unit,
        media[2] - inset[2] / unit,
        media[3] - inset[3] / unit,
    ]
    x = crop[0] + spot[0] * (crop[2] - crop[0])
    y = crop[1] + spot[1] * (crop[3] - crop[1])
    half = 6.0  # points of paper
    entries = {"/MediaBox": Array(media), "/CropBox": Array(crop), "/Rotate": rotate, "/UserUnit": unit}
    draw(tmp_path / "plan.pdf", [(x, y)], half / unit, entries)
    at = shown_at(x, y, crop, rotate, unit)
    size = ((crop[2] - crop[0]) * unit, (crop[3] - crop[1]) * unit)
    size = size[::-1] if rotate in (90, 270) else size
    write_marked(
        tmp_path / "plan.pdf", tmp_path / "out.pdf", (result((finding("7", "missing", at, half),), size),), RUN
    )

    rgb = rendered(tmp_path / "out.pdf", *size)
    assert abs(rgb.shape[1] / PIXELS_A_POINT - size[0]) < 2 and abs(rgb.shape[0] / PIXELS_A_POINT - size[1]) < 2
    mark = boxes_of(is_green(rgb))
    assert mark == pytest.approx((at[0] - half, at[1] - half, at[0] + half, at[1] + half), abs=1.0)
    # On each ray from the middle of the mark the cloud is met outside the mark and within 16 pt of it.
    pen = is_vermilion(rgb)
    for angle in np.radians(np.arange(0, 360, 10)):
        reach = np.arange(half * 1.05, half + 16.0, 0.25)
        columns = ((at[0] + reach * np.cos(angle)) * PIXELS_A_POINT).astype(int)
        rows = ((at[1] + reach * np.sin(angle)) * PIXELS_A_POINT).astype(int)
        inside = (rows >= 0) & (rows < pen.shape[0]) & (columns >= 0) & (columns < pen.shape[1])
        assert pen[rows[inside], columns[inside]].any(), f"no cloud at {np.degrees(angle):.0f} degrees"
    assert pen.sum() < 6000  # a cloud and a tag, and not the page painted over


def test_tag_text_stands_upright_as_displayed(tmp_path: Path) -> None:
    """The tag of a turned page shows the same pixels as that of an upright one."""
    tags = []
    for rotate in (0, 90, 180, 270):
        crop = [0.0, 0.0, 300.0, 300.0]
        draw(tmp_path / "plan.pdf", [(150.0, 150.0)], 6.0, {"/MediaBox": Array(crop), "/Rotate": rotate})
        found = result((finding("E-101.7", "missing", (150.0, 150.0), 6.0),), (300.0, 300.0))
        write_marked(tmp_path / "plan.pdf", tmp_path / "out.pdf", (found,), RUN)
        tags.append(is_vermilion(rendered(tmp_path / "out.pdf", 300.0, 300.0)))
    for tag in tags[1:]:
        # Pixels at the edge of a stroke may fall either way.
        assert (tag ^ tags[0]).sum() < 0.1 * tags[0].sum()


def test_missing_is_solid_and_unresolved_is_dashed(tmp_path: Path) -> None:
    crop = [0.0, 0.0, 400.0, 300.0]
    draw(tmp_path / "plan.pdf", [(100.0, 150.0), (300.0, 150.0)], 6.0, {"/MediaBox": Array(crop)})
    both = (finding("1", "missing", (100.0, 150.0), 6.0), finding("2", "unresolved", (300.0, 150.0), 6.0))
    write_marked(tmp_path / "plan.pdf", tmp_path / "out.pdf", (result(both, (400.0, 300.0)),), RUN)
    rgb = rendered(tmp_path / "out.pdf", 400.0, 300.0)
    left, right = rgb[:, :400], rgb[:, 400:]
    assert is_vermilion(left).any() and not is_vermilion(right).any()
    assert is_blue(right).any() and not is_blue(left).any()
    around = {}
    for name, pen, centre in (("solid", is_vermilion(rgb), 200), ("dashed", is_blue(rgb), 600)):
        met = []
        for angle in np.radians(np.arange(0, 360, 2)):
            reach = np.arange(16.0, 36.0)
            columns = (centre + reach * np.cos(angle)).astype(int)
            met.append(pen[(300 - reach * np.sin(angle)).astype(int), columns].any())
        around[name] = float(np.mean(met))
    assert around["solid"] > 0.97
    assert around["dashed"] < 0.85


def test_structure_is_sound_and_every_mark_has_an_appearance_on_the_layer(tmp_path: Path) -> None:
    media = [10.0, 20.0, 410.0, 320.0]
    draw(tmp_path / "plan.pdf", [(100.0, 150.0)], 6.0, {"/MediaBox": Array(media)})
    write_marked(
        tmp_path / "plan.pdf",
        tmp_path / "out.pdf",
        (result((finding("1", "missing", (90.0, 170.0), 6.0),), (400.0, 300.0)),),
        RUN,
    )
    assert (tmp_path / "out.pdf").read_bytes().startswith((tmp_path / "plan.pdf").read_bytes())
    with pikepdf.open(tmp_path / "out.pdf") as pdf:
        assert pdf.check_pdf_syntax() == []
        layer = pdf.Root.OCProperties.OCGs[0]
        for annotation in pdf.pages[0].Annots:
            assert annotation.OC.objgen == layer.objgen
            if annotation.Subtype == Name.Link:
                continue
            # ISO 32000-2:2020, 12.5.5: the form's box, carried by its matrix, is fitted to Rect; here it just fits.
            form = annotation.AP.N
            x0, y0, x1, y1 = (float(v) for v in form.BBox)
            a, b, c, d, e, f = (float(v) for v in form.Matrix)
            corners = [(a * x + c * y + e, b * x + d * y + f) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
            assert Polygon(corners).bounds == pytest.approx([float(v) for v in annotation.Rect], abs=0.002)


def link_targets(document: pypdfium2.PdfDocument, index: int) -> list[int]:
    """Page indices that the links of a page lead to, as pdfium resolves them."""
    page = document[index]
    position, link = ctypes.c_int(0), raw.FPDF_LINK()
    targets = []
    while raw.FPDFLink_Enumerate(page.raw, ctypes.byref(position), ctypes.byref(link)):
        targets.append(raw.FPDFDest_GetDestPageIndex(document.raw, raw.FPDFLink_GetDest(document.raw, link)))
    page.close()
    return targets


def test_links_and_bookmarks_lead_where_they_say(tmp_path: Path) -> None:
    draw(tmp_path / "plan.pdf", [(100.0, 150.0)], 6.0, {"/MediaBox": Array([0, 0, 400, 300])})
    both = (finding("1", "missing", (100.0, 150.0), 6.0), finding("2", "unresolved", (300.0, 150.0), 6.0))
    write_marked(tmp_path / "plan.pdf", tmp_path / "out.pdf", (result(both, (400.0, 300.0)),), RUN)
    document = pypdfium2.PdfDocument(tmp_path / "out.pdf")
    assert link_targets(document, 0) == [1, 1]
    assert link_targets(document, 1) == [0, 0]
    marks = [(mark.level, mark.get_title(), mark.get_dest().get_index()) for mark in document.get_toc()]
    assert marks[1:] == [(1, "1 missing", 0), (1, "2 unresolved", 0)]
    assert marks[0][0] == 0 and marks[0][2] == 1
    document.close()
