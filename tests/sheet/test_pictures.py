"""Images in a drawing: a label, or a whole plan, may be in them, and it is said that nobody read them."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen import canvas

from cordpath.model import Region, Sheet, View
from cordpath.sheet import read_sheet
from cordpath.sheet.pictures import in_drawings

VIEW = View("v1", "FIRST FLOOR PLAN", (100.0, 100.0, 700.0, 500.0))


def noise(high: int = 20, wide: int = 40) -> ImageReader:
    rng = np.random.default_rng(1)
    stream = io.BytesIO()
    Image.fromarray(rng.integers(0, 255, (high, wide), dtype=np.uint8)).save(stream, "png")
    stream.seek(0)
    return ImageReader(stream)


def plan(path: Path) -> canvas.Canvas:
    """A plan in its border."""
    page = canvas.Canvas(str(path), pagesize=(792, 612), invariant=1)
    for inset in (0, 8):
        page.rect(100 + inset, 150 + inset, 400 - 2 * inset, 300 - 2 * inset)
    page.line(300, 158, 300, 442)
    page.setFont("Helvetica", 12)
    page.drawString(230, 110, "FIRST FLOOR PLAN")
    page.drawString(230, 92, 'SCALE: 1/4" = 1\'-0"')
    return page


def sheet_with(tmp_path: Path, *boxes: tuple[float, float, float, float], rows: int = 20) -> Sheet:
    """A plan in its border with pictures (left, bottom, width, height) of so many rows of pixels on it."""
    path = tmp_path / "a.pdf"
    page = plan(path)
    for box in boxes:
        page.drawImage(noise(rows), *box)
    page.save()
    return read_sheet(path, 1)


def test_a_small_image_in_a_plan_may_be_a_label(tmp_path: Path) -> None:
    sheet = sheet_with(tmp_path, (200, 300, 20, 9))
    assert sheet.unread_at == (pytest.approx((210, 612 - 304.5), abs=0.5),)
    said = [line for line in sheet.assumptions if "may be a label" in line]
    assert said == ["image at 2.9 in from the left and 4.3 in from the top, not read: it may be a label"]


def test_a_scan_under_a_plan_is_told(tmp_path: Path) -> None:
    sheet = sheet_with(tmp_path, (100, 150, 200, 300))
    assert any("an image covers" in line and "FIRST FLOOR PLAN" in line for line in sheet.assumptions)
    assert not sheet.unread_at


def test_a_plan_without_images_says_nothing_of_them(tmp_path: Path) -> None:
    assert not any("image" in line for line in sheet_with(tmp_path).assumptions)


def test_tiles_are_one_picture_and_what_is_elsewhere_is_no_label() -> None:
    tiles = np.array([[200 + 8 * k, 200, 208 + 8 * k, 400] for k in range(25)], float)
    assert in_drawings(tiles, (VIEW,), ()).labels == ()
    assert len(in_drawings(tiles, (VIEW,), ()).said) == 1
    logo = np.array([[600.0, 450, 640, 490]])
    assert in_drawings(logo, (VIEW,), (Region("title block", (550, 400, 700, 500)),)).said == ()
    assert in_drawings(logo + 300, (VIEW,), ()).said == ()
    assert in_drawings(np.array([[300.0, 300, 302, 302]]), (VIEW,), ()).said == ()


def test_pictures_of_symbols_that_touch_have_each_its_place() -> None:
    """Their boxes overlap along a wall: all of them were one picture, too large for a label."""
    row = np.array([[200 + 15 * k, 200 + 5 * (k % 2), 218 + 15 * k, 218 + 5 * (k % 2)] for k in range(8)], float)
    found = in_drawings(row, (VIEW,), ())
    assert sorted(found.labels) == [(209 + 15 * k, 209 + 5 * (k % 2)) for k in range(8)]
    assert len(found.said) == 1


def test_many_images_are_counted_and_each_may_be_a_label() -> None:
    many = np.array([[150.0 + 60 * k, 200, 170 + 60 * k, 212] for k in range(8)])
    found = in_drawings(many, (VIEW,), ())
    assert len(found.labels) == 8
    assert found.said[-1] == "5 more images in drawings, not read"


def test_pictures_as_small_as_marks_are_told_each_by_itself(tmp_path: Path) -> None:
    """Paint of a symbol as a shading touches that of its wall, and both were one large picture; a dot was none."""
    sheet = sheet_with(tmp_path, (150, 200, 12, 6), (120, 206, 110, 4), (400, 300, 2, 2), (420, 300, 0.9, 0.9))
    assert [tuple(map(round, box)) for box in sheet.unread_areas] == [(150, 406, 162, 412), (400, 310, 402, 312)]
    assert len(sheet.unread_at) == 1


@pytest.mark.parametrize("rows", [1, 2, 5])
def test_a_picture_that_is_written_in_bands_is_told(tmp_path: Path, rows: int) -> None:
    """Printer drivers do so; each band was too thin to show something, and symbols of them were lost in silence."""
    bands = [(200.0, 300.0 + k * rows / 2, 20.0, rows / 2) for k in range(20 // rows)]
    sheet = sheet_with(tmp_path, *bands, rows=rows)
    assert any("it may be a label" in said for said in sheet.assumptions)
    assert [tuple(map(round, box)) for box in sheet.unread_areas] == [(200, 302, 220, 312)]


def test_a_row_of_pixels_alone_shows_nothing(tmp_path: Path) -> None:
    assert not sheet_with(tmp_path, (200, 300, 20, 3), (300, 300, 20, 3), rows=1).unread_at


@pytest.mark.parametrize(("rows", "wide"), [(20, 1.0), (5, 1.0), (20, 1.2)])
def test_a_picture_that_is_written_in_rectangles_row_by_row_is_told(tmp_path: Path, rows: int, wide: float) -> None:
    """Each row was a line, or an area, and symbols of them were lost with nothing said; rows apart are hatch."""
    path = tmp_path / "rows.pdf"
    page = plan(path)
    for k in range(rows):
        page.rect(200 + k % 3, 300 + 0.5 * wide * k, 16 - k % 5, 0.5, stroke=0, fill=1)
    page.save()
    told = [tuple(map(round, box)) for box in read_sheet(path, 1).unread_areas]
    assert told == ([(200, 302, 218, 312)] if (rows, wide) == (20, 1.0) else [])
