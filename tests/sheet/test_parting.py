"""Where a part without a frame ends: at lines of the drawing, not at the rules of its own table."""

from __future__ import annotations

import numpy as np

from cordpath.sheet.layout.parting import parted
from cordpath.sheet.text.textlines import Run

HEADING = (500.0, 120.0, 530.0, 130.0)
ROW = Run("DOUBLE DUPLEX", (440.0, 180.0, 500.0, 188.0), 8.0)
COLUMN = (440.0, 120.0, 530.0, 158.0)  # the heading and the first row


def test_a_rule_of_a_wide_table_parts_no_rows_of_it() -> None:
    table = np.array([[138.0 + 32 * k, 400.0, 700.0] for k in range(4)])
    assert not parted(158.0, ROW, COLUMN, table)


def test_a_line_of_the_drawing_parts_rows() -> None:
    face = np.array([[170.0, 400.0, 700.0]])
    assert parted(158.0, ROW, COLUMN, face)
    wall = np.array([[170.0, 400.0, 700.0], [176.0, 400.0, 700.0], [138.0, 400.0, 560.0]])
    assert parted(158.0, ROW, COLUMN, wall)
