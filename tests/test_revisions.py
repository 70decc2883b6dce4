"""Revision clouds are found among curves, and doors, tubs and circles are none."""

from __future__ import annotations

import sys
from pathlib import Path

import pymupdf
import pytest

sys.path.insert(0, str(Path(__file__).parent / "report"))
from cordpath.report.pdf.cloud import cloud_curves
from cordpath.revisions import revision_clouds
from cordpath.sheet import read_sheet


def page_with(path: Path, draw: object, rotate: int = 0) -> Path:
    document = pymupdf.open()
    page = document.new_page(width=792, height=612)
    shape = page.new_shape()
    draw(shape)  # type: ignore[operator]
    shape.draw_line((20, 600), (700, 600))
    shape.finish(width=1)
    shape.commit()
    page.set_rotation(rotate)
    page.insert_text((30, 590), "POWER PLAN")
    document.save(path)
    return path


def cloud(shape: pymupdf.Shape, apart: bool = False) -> None:
    at, curves = cloud_curves((100, 100, 220, 180), 1.0)
    for one, two, end in curves:
        shape.draw_bezier(at, one, two, end)
        if apart:
            shape.finish(width=1)
        at = end
    shape.finish(width=1)


@pytest.mark.parametrize("apart", [False, True])
@pytest.mark.parametrize("rotate", [0, 90])
def test_a_cloud_is_found_whatever_its_paths(tmp_path: Path, apart: bool, rotate: int) -> None:
    (box,) = revision_clouds(read_sheet(page_with(tmp_path / "a.pdf", lambda s: cloud(s, apart), rotate), 1))
    wide, tall = box[2] - box[0], box[3] - box[1]
    assert sorted((wide, tall)) == pytest.approx([80, 120], abs=30)


def test_other_curves_are_no_clouds(tmp_path: Path) -> None:
    def draw(shape: pymupdf.Shape) -> None:
        for k in range(12):
            shape.draw_circle((60 + 50 * k, 80), 20)
            shape.draw_sector((60 + 50 * k, 200), (60 + 50 * k, 170), 90)
        shape.draw_rect((100, 300, 300, 400), radius=0.2)
        shape.draw_oval((400, 300, 600, 400))
        shape.draw_squiggle((100, 450), (500, 450))
        shape.finish(width=1)

    assert revision_clouds(read_sheet(page_with(tmp_path / "a.pdf", draw), 1)) == ()
