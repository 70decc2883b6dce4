"""What lies on layers that the mapping file asks to ignore is neither drawn nor written, and that is said."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pymupdf
import pytest

from cordpath.check import understand
from cordpath.model import Drawing, Fills, Mapping, Sheet, Strokes, Word, layers_like
from cordpath.sheet import read_sheet, without_layers


@pytest.fixture(scope="module")
def layered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """GFI and a wire on the layer of what is to be removed, WP and a line on that of the new work."""
    path = tmp_path_factory.mktemp("layers") / "e1.pdf"
    with pymupdf.open() as document:
        page = document.new_page(width=612, height=792)
        old, new = document.add_ocg("E-DEMO-POWR"), document.add_ocg("E-POWR")
        for layer, text, y in ((old, "GFI", 100), (new, "WP", 200)):
            page.insert_text((100, y), text, fontsize=9, oc=layer)
            page.draw_line((150, y), (250, y), width=0.7, oc=layer)
            page.draw_rect((300, y, 310, y + 10), color=None, fill=(0, 0, 0), oc=layer)
        document.save(path)
    return path


def test_words_know_the_layer_that_they_lie_on(layered: Path) -> None:
    assert {word.text: word.layer for word in read_sheet(layered, 1).words} == {
        "GFI": "E-DEMO-POWR",
        "WP": "E-POWR",
    }


def test_a_label_on_an_ignored_layer_is_not_read(layered: Path) -> None:
    sheet = understand(layered, 1, Mapping("symbols.yaml", Drawing(ignore_layers=("e-demo*",)), ())).sheet
    assert [word.text for word in sheet.words] == ["WP"]
    assert sheet.strokes.xy[:, 1].tolist() == [200.0] and [shape.bounds[1] for shape in sheet.fills.shape] == [
        200.0
    ]
    assert any("E-DEMO-POWR" in said for said in sheet.assumptions)
    assert not any("E-POWR" in said for said in sheet.assumptions if "E-DEMO-POWR" not in said)


def test_layers_that_nothing_lies_on_leave_the_sheet_as_it_is(layered: Path) -> None:
    sheet = read_sheet(layered, 1)
    assert without_layers(sheet, ("A-FURN*",)) is sheet and without_layers(sheet, ()) is sheet


@pytest.mark.parametrize(("ignored", "left"), [(("E-DEMO",), []), (("A-WALL",), ["GFI"])])
def test_a_drawn_word_lies_on_the_layers_of_most_of_its_strokes(ignored: tuple[str, ...], left: list[str]) -> None:
    letters = np.array([[100, 100, 104, 108], [106, 100, 106, 108], [111, 100, 111, 108], [90, 104, 130, 104.0]])
    strokes = Strokes.of(letters)
    strokes.layer[:] = [0, 0, 0, 1]
    word = Word("GFI", (99, 99, 113, 109), 0.0, 9.0, 0, origin="stroke")
    sheet = Sheet("e1.pdf", 1, None, None, 612, 792, strokes, Fills.none(), (word,), ("E-DEMO", "A-WALL"), (), ())
    assert [w.text for w in without_layers(sheet, ignored).words] == left


def test_names_of_layers_match_whatever_their_case() -> None:
    assert layers_like(("A-WALL", "e-powr"), ("*-POWR", "a-w?ll")).tolist() == [True, True]
    assert layers_like(("A-WALL",), ()).tolist() == [False] and layers_like((), ("A*",)).shape == (0,)
