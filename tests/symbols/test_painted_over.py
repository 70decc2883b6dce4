"""Shapes under an area painted over them are told; what masks hide on any sheet is not."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from shapely import Point

from cordpath.model import Drawing, Mapping, Sheet, Symbol, SymbolEntry
from cordpath.sheet import read_sheet
from cordpath.symbols.unexplained.painted_over import told_painted_over
from cordpath.symbols.unexplained.unread_pictures import told_bars
from sheet.conftest import pdf

MAPPING = Mapping("m.yaml", Drawing(), ())
CIRCLE = (
    "55 50 m 55 52.76 52.76 55 50 55 c 47.24 55 45 52.76 45 50 c "
    "45 47.24 47.24 45 50 45 c 52.76 45 55 47.24 55 50 c"
)
OUTLET = f"{CIRCLE} S 48 42 m 48 58 l 52 42 m 52 58 l S "
NOTE = "20 20 70 60 re f 0 g BT /F 8 Tf 25 45 Td (SEE DETAIL) Tj ET "
TILES = " ".join(
    f"{x} {y} m {x + 8} {y} l {x} {y} m {x} {y + 8} l S" for x in range(4, 180, 8) for y in range(4, 90, 8)
)
STAYS = "150 10 m 190 10 l S "


def read(tmp_path: Path, content: str) -> Sheet:
    (tmp_path / "page.pdf").write_bytes(pdf(STAYS + content))
    return read_sheet(tmp_path / "page.pdf", 1)


@pytest.mark.parametrize("content", [
    f"{OUTLET} 1 g {NOTE}",
    f"{OUTLET} 0.9 g {NOTE}",  # a tinted box
    f"{OUTLET} 1 g 20 44 70 12 re f",  # the ends of its bars are seen
    f"{OUTLET} 40 0 120 60 re S 1 g {NOTE}",  # a line runs under the box as well
    f"{CIRCLE} f 1 g {NOTE}",  # a solid one
    f"{OUTLET} q 70 0 0 60 20 20 cm BI /W 1 /H 1 /BPC 8 /CS /G ID \xff EI Q",  # a white picture
])  # fmt: skip
def test_an_outlet_under_an_area_is_told(tmp_path: Path, content: str) -> None:
    """An outlet under the white box of a note was lost, and nothing said so."""
    (told,) = told_painted_over(read(tmp_path, content), (), MAPPING)
    assert told.at == (pytest.approx((50, 50), abs=0.1),) and "painted over it" in told.what


@pytest.mark.parametrize("content", [
    f"{TILES} 1 g {NOTE}",  # hatch goes on beside a text's mask
    f"{OUTLET} 1 g 0 0 200 100 re f {STAYS}",  # the whole page is painted anew
    f"1 g {NOTE} {OUTLET}",  # over the box
    "40 40 20 14 re S 1 g " + NOTE,  # a plain rectangle, as a piece of a wall
])  # fmt: skip
def test_what_masks_hide_on_any_sheet_is_not_told(tmp_path: Path, content: str) -> None:
    assert told_painted_over(read(tmp_path, content), (), MAPPING) == ()


def test_a_symbol_drawn_over_the_area_takes_the_place_of_what_is_under_it(tmp_path: Path) -> None:
    sheet = read(tmp_path, f"{OUTLET} 1 g {NOTE} {OUTLET}")
    entry, body = SymbolEntry("duplex", "receptacle"), Point(50, 50).buffer(8)
    symbol = Symbol(entry, (50, 50), 0.0, False, 1.0, 1.0, True, "v1", body, np.arange(0))
    assert told_painted_over(sheet, (symbol,), MAPPING) == ()


@pytest.mark.parametrize(
    ("bars", "told"), [("47.4 55 1.3 8 re f 51.4 55 1.3 8 re f", True), ("47.4 55 1.3 8 re f", False)]
)
def test_filled_bars_at_a_plain_circle_are_told(tmp_path: Path, bars: str, told: bool) -> None:
    """They were no lines, and the circle was a light for certain: an outlet was lost, and nothing said so."""
    sheet = read(tmp_path, f"{CIRCLE} S {bars}")
    entry, body = SymbolEntry("light", "other"), Point(50, 50).buffer(5)
    light = Symbol(entry, (50, 50), 0.0, False, 1.0, 1.0, True, "v1", body, np.arange(0))
    for symbol in (light, replace(light, found=False)):
        assert [each.at for each in told_bars(sheet, (symbol,))] == ([((50, 50),)] if told else [])
    assert told_bars(sheet, (replace(light, view=None),)) == ()
