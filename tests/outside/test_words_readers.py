"""Words of all sample plans against two readers that share no code with ours.

- pdfplumber (pdfminer underneath): its letters inside the box of each level word of ours spell that word, and the
  first and the last of them end within a point of the box; no letter is left over.
- PDFium: over the page, level and turned text together, both have the same letters as often.
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import numpy as np
import pdfplumber
import pikepdf
import pypdfium2
import pytest

from cordpath.model import Word
from cordpath.sheet import read_sheet

SAMPLES = sorted((Path(__file__).resolve().parents[2] / "sample_plans").glob("*.pdf"))
# On the layer E-DEMO, which is off when the file is opened: both readers pass over layers, no viewer shows it.
UNSEEN = {"quarry-yard": "G"}
NEAR = 1.0  # pt between the middles of one word as two readers place it


def words_of(path: Path) -> list[Word]:
    return [word for word in read_sheet(path, 1).words if word.origin == "font"]


def _level(matrix: tuple[float, ...]) -> bool:
    return matrix[0] > 0 and abs(matrix[1]) < 1e-3 * matrix[0]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_pdfplumber_places_the_same_letters(path: Path) -> None:
    with pdfplumber.open(path) as document:
        letters = [c for c in document.pages[0].chars if _level(c["matrix"]) and c["text"].strip()]
    ours = [word for word in words_of(path) if word.angle == 0]
    assert len(ours) > 60
    x = np.array([(c["x0"] + c["x1"]) / 2 for c in letters])
    y = np.array([(c["top"] + c["bottom"]) / 2 for c in letters])
    other = []
    for word in ours:
        x0, y0, x1, y1 = word.box
        inside = np.flatnonzero((x > x0) & (x < x1) & (y > y0) & (y < y1))
        own = sorted((letters[k] for k in inside), key=lambda c: c["x0"])
        text = "".join(c["text"] for c in own)
        first = text.find(word.text)  # a neighbour's letter may reach into the box
        last = first + len(word.text) - 1
        if first < 0 or abs(own[first]["x0"] - x0) > NEAR or abs(own[last]["x1"] - x1) > NEAR:
            other.append((word.text, text))
    assert not other
    seen = Counter("".join(word.text for word in ours))
    assert Counter("".join(c["text"] for c in letters)) - seen == Counter(UNSEEN.get(path.stem, ""))
    assert not seen - Counter("".join(c["text"] for c in letters))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_pdfium_reads_the_same_letters(path: Path) -> None:
    document = pypdfium2.PdfDocument(path)
    page = document[0]
    text = page.get_textpage()
    everything = Counter(re.sub(r"\s+", "", text.get_text_range()))
    text.close()
    page.close()
    document.close()
    ours = Counter("".join(word.text for word in words_of(path)))
    assert everything - ours == Counter(UNSEEN.get(path.stem, ""))
    assert not ours - everything


@pytest.mark.parametrize("stem", UNSEEN)
def test_what_the_others_read_more_is_on_a_layer_that_is_off(stem: str, tmp_path: Path) -> None:
    with pikepdf.open(next(path for path in SAMPLES if path.stem == stem)) as document:
        order = document.Root.OCProperties.D
        assert [str(layer.Name) for layer in order.OFF] == ["E-DEMO"]
        del order.OFF
        document.save(tmp_path / "on.pdf")
    seen = Counter("".join(word.text for word in words_of(tmp_path / "on.pdf")))
    usual = Counter("".join(word.text for word in words_of(next(p for p in SAMPLES if p.stem == stem))))
    assert seen - usual == Counter(UNSEEN[stem])
