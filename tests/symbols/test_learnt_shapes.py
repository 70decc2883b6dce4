"""Signs of a legend that the plans draw at another size, and framed labels that are no signs."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from reportlab.pdfgen import canvas

from cordpath.learn import learn
from cordpath.model import CircleMark, LineMark, TextMark
from cordpath.symbols.learning.samples import Sample
from cordpath.symbols.learning.sizes import plan_sizes
from cordpath.symbols.learning.starter import entries
from cordpath.symbols.mapping_file.mapping import mapping_of

NAMES = ("duplex", "quad", "light")


@pytest.mark.parametrize(
    ("sizes", "told"),
    [
        ([1.3] * 6, {"duplex": 1.3, "quad": 1.3}),
        ([1.0] * 6, {}),
        ([1.3] * 4, {}),  # too few to tell
        ([1.3] * 5 + [1.0] * 2, {}),  # two sizes: a person has to say
    ],
)
def test_the_size_of_the_plans_is_told_where_their_outlets_agree(
    sizes: list[float], told: dict[str, float]
) -> None:
    """What the plans draw at the sign's own size keeps it; what they do not draw goes with the outlets."""
    found = [("duplex", size, True) for size in sizes] + [("light", 1.0, False)] * 9
    assert plan_sizes(found, NAMES) == told


def test_a_legend_drawn_smaller_than_its_plans_teaches_the_size_of_the_plans(tmp_path: Path) -> None:
    """Each of 41 outlets was asked about, for none has the size of the mapping file."""
    page = canvas.Canvas(str(tmp_path / "plan.pdf"), pagesize=(1000, 700), invariant=1)

    def outlet(x: float, y: float, size: float) -> None:
        page.circle(x, y, 4.5 * size)
        for bar in (-1.6, 1.6):
            page.line(x + bar * size, y - 6 * size, x + bar * size, y + 9 * size)

    page.rect(60, 300, 500, 300)
    for k in range(6):
        outlet(100 + 70 * k, 600 - 9 * 1.3, 1.3)
    page.setFont("Helvetica", 8)
    for text, y in (("ELECTRICAL LEGEND", 240), ("DUPLEX RECEPTACLE", 210), ("CEILING LIGHT", 185)):
        page.drawString(700, y, text)
    outlet(680, 212, 1.0)
    page.circle(680, 188, 5)
    page.line(672, 188, 688, 188)
    page.save()
    lesson = learn((str(tmp_path / "plan.pdf"),), tmp_path / "out", 0)
    mapping = mapping_of(lesson.text.encode(), "m.yaml")
    (duplex,) = (entry for entry in mapping.symbols if entry.kind == "receptacle")
    (circle,) = (mark for mark in duplex.shape or () if type(mark).__name__ == "CircleMark")
    assert circle.radius == pytest.approx(4.5 * 1.3 / 72, rel=0.01)
    assert "the plans draw it at 1.30 of its size in the legend" in lesson.text


@pytest.mark.parametrize(("body", "left_out"), [((), True), ((CircleMark((0.0, 0.0), 0.08),), False)])
def test_a_label_in_a_frame_that_the_plans_repeat_is_no_shape_to_be_named(body: tuple, left_out: bool) -> None:
    """Who left it at kind other had 15 outlets with GFI in a tag missing it.  In a circle it may be an outlet."""
    corners = ((-0.15, 0.0), (-0.11, -0.06), (0.11, -0.06), (0.15, 0.0), (0.11, 0.06), (-0.11, 0.06))
    frame = tuple(LineMark(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True))
    marks = (*frame, *body, TextMark("GFI", (0.0, 0.0)))
    shape = Sample("", "a.pdf", 1, (0.0, 0.0, 9.0, 9.0), marks, np.zeros((0, 4)), ((1.0, 1.0),) * 3)
    (entry,) = entries((), (shape,))
    assert (entry.refused is not None) == left_out
