"""Captions of the picture of what was understood: apart from one another, and led to their marks."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from cordpath.report.page.captions import PAPER, Caption, _leader, with_captions

RED, BLUE = (200, 0, 0, 255), (0, 0, 200, 255)
boxes = st.tuples(*[st.integers(0, 50)] * 4).map(
    lambda b: (float(min(b[0], b[2])), float(min(b[1], b[3])), float(max(b[0], b[2])), float(max(b[1], b[3])))
)


@given(boxes, boxes)
def test_a_leader_is_as_long_as_mark_and_caption_are_apart(mark: tuple[float, ...], box: tuple[float, ...]) -> None:
    start, end = _leader(np.array(mark), np.array(box))
    assert np.hypot(*(end - start)) == pytest.approx(shapely.distance(shapely.box(*mark), shapely.box(*box)))
    assert shapely.box(*mark).distance(shapely.Point(start)) == pytest.approx(0)
    assert shapely.box(*box).distance(shapely.Point(end)) == pytest.approx(0)


def test_captions_of_marks_at_one_place_can_all_be_read() -> None:
    """Two captions on one another had the colours of neither: each has all the paper it has when alone."""
    dark = Image.new("RGBA", (400, 300), (0, 0, 0, 255))
    mark = (95.0, 70.0, 105.0, 80.0)
    captions = [Caption("E-101.1 A-10", mark, RED, 5.0), Caption("lavatory", mark, BLUE, 5.0)]
    alone = [paper(with_captions(dark, [one], (), 2.0)) for one in captions]
    assert min(alone) > 200
    assert paper(with_captions(dark, captions, (), 2.0)) == sum(alone)


def paper(image: Image.Image) -> int:
    """Pixels of untouched paper on a black picture."""
    return int((np.asarray(image)[:, :, :3] == PAPER[3]).all(axis=2).sum())
