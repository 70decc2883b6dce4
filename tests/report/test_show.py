"""The picture of what was understood: its colours are explained, and doubt about words is shown."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import report_builder as build
from PIL import Image

from cordpath.model import Unexplained, Word
from cordpath.report import show
from cordpath.report.page.show import KEY, OUTLET, UNEXPLAINED, UNSURE


def picture(*words: Word, dpi: float = 100.0, **more: object) -> Image.Image:
    at = (100.0, 100.0)
    found = build.result([build.free("E-101.1", at)], words=words, **more)  # type: ignore[arg-type]
    assert found.reading is not None
    return show(found.reading, dpi=dpi)


def pixels(image: Image.Image, colour: tuple[int, ...], box: tuple[int, int, int, int]) -> int:
    near = np.abs(np.asarray(image.crop(box), int) - np.array(colour[:3])).max(axis=2) <= 8
    return int(near.sum())


@pytest.mark.parametrize("dpi", [20.0, 100.0])
def test_key_and_cautions_stand_below_the_sheet_and_hide_nothing_of_it(dpi: float) -> None:
    image = picture(dpi=dpi)
    wide, high = round(612 * dpi / 72), round(396 * dpi / 72)
    assert image.width == wide if dpi == 100.0 else 200 < image.width < 300, "the longest word of the key fits"
    assert all(pixels(image, colour, (0, high + 2, image.width, image.height)) > 40 for colour, _ in KEY)
    assert pixels(image, UNSURE, (0, 0, wide, high)) == 0
    strip = np.asarray(image.convert("L").crop((0, high, image.width, image.height)), int)
    ink = (strip < 128).any(axis=1)
    assert ink[-40:-4].any() and not ink[-2:].any() and not (strip[8:, -2:] < 128).any(), "no letter is cut off"


def test_words_read_with_doubt_are_red_and_sure_ones_are_not() -> None:
    sure = Word("KITCHEN", (300.0, 50.0, 340.0, 58.0), 0.0, 8.0, 0)
    place = (590, 90, 840, 130)  # pixels at 144 dpi
    assert reddish(picture(sure, dpi=144.0), place) == 0
    assert reddish(picture(replace(sure, origin="stroke", confidence=0.7), dpi=144.0), place) > 20


def reddish(image: Image.Image, box: tuple[int, int, int, int]) -> int:
    """Pixels of thin red letters, which are paler than their colour."""
    part = np.asarray(image.crop(box), int)
    return int((part[:, :, 0] - part[:, :, 1] > 60).sum())


def test_outlets_and_what_is_not_accounted_for_are_boxed() -> None:
    rest = Unexplained("a shape drawn 3 times that the mapping file does not name", ((450.0, 60.0),) * 3)
    image = picture(unexplained=(rest,))
    assert pixels(image, UNEXPLAINED, (600, 60, 660, 110)) > 40
    assert pixels(image, OUTLET, (125, 125, 150, 150)) > 20
