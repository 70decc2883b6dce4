"""Letters beside a symbol that the end of a dimension line lies on."""

from __future__ import annotations

import numpy as np
import pytest

from symbols.test_drawn_letters import GFI, lettered, reading
from symbols.test_spot import DUPLEX, at, names, strokes_of

DIMENSION = np.array([[30.0, 110.2, 104.4, 110.2], [28.0, 112.2, 32.0, 108.2], [102.4, 112.2, 106.4, 108.2]])


def with_dimension(label: str) -> list[str]:
    return names(reading([strokes_of(DUPLEX, at(100, 100)), lettered(label, 100, 112.0), DIMENSION], GFI))


def test_a_tick_through_letters_does_not_hide_them() -> None:
    assert with_dimension("GFI") == ["gfi"]


@pytest.mark.parametrize("label", ["GF", "CFI", "GEI", "OFL"])
def test_a_tick_makes_no_other_letters_of_a_label(label: str) -> None:
    assert "gfi" not in with_dimension(label)
