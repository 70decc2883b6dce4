"""Marks of GFCI beside words that send them to another place, or leave them there: common practice, no source."""

from __future__ import annotations

import pytest

from cordpath.symbols.labels.words import elsewhere, read


@pytest.mark.parametrize("text", ["GFCI BELOW", "GFI ABOVE", "GFCI ABV.", "BELOW GFI", "AT GFI", "@ GFI", "GFI CKT",
                                  "CIRCUIT GFI", "A-12 GFI BELOW", "GFI FLR BELOW", "GFI R", "GFI D", "CGFI",
                                  "GFI#2", "AF/GF", "GF FLR", "GF FLOOR"])  # fmt: skip
def test_a_mark_that_may_be_of_another_place_is_a_question(text: str) -> None:
    """Most of them cleared the outlet that they stand beside; the last ones were no marks at all."""
    found = read(text, ())
    assert found is not None and ("protection", "device") in found.sets and found.doubt


@pytest.mark.parametrize("text", ["GFI ABOVE COUNTER", "GFI ABV CTR", "ABV. CTR. GFI", "GFI BELOW COUNTER",
                                  "GFI DED CKT", "GFI CKT A-12", "GFI @ COUNTER", 'GFI @ +42"', "WP-GFI", "GFI/WP",
                                  "GFIWP", "GFI-TR", "GFI WP IN USE", "GFI AFF", "GFI AFF +42",
                                  "GFI FLR"])  # fmt: skip
def test_a_mark_with_the_place_of_its_own_outlet_protects(text: str) -> None:
    found = read(text, ())
    assert found is not None and ("protection", "device") in found.sets and not (found.doubt or found.loose)


@pytest.mark.parametrize("line", ["BELOW", "ABOVE", "ABV."])
def test_so_is_one_whose_line_runs_on_to_another_place(line: str) -> None:
    assert elsewhere((line,)) and not elsewhere((line, "COUNTER")) and not elsewhere(("CTR", line))
