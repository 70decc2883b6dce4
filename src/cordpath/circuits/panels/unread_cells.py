"""Pictures in the rows of a panel schedule: what one shows was not read, and it may be the breaker's GFCI."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from cordpath.circuits.panels.anchors import pitch
from cordpath.circuits.panels.tables import Half
from cordpath.model import Answer, Panel, PanelRow, Sheet

IN_ROW = 0.6  # row pitches from the circuit's number to the middle of a picture in its row, as of its cells


def with_unread(panel: Panel, halves: Sequence[Half], sheet: Sheet) -> Panel:
    """The panel; a row that shows no GFCI breaker and has a picture in it is not known to lack one.

    ``halves`` of the panel, level on the sheet."""
    asked = {name for half in halves for name in _beside_pictures(half, sheet)}
    rows = tuple(_asked(row) if asked & set(row.circuits) else row for row in panel.rows)
    told = (
        f"circuit {'/'.join(now.circuits)}: a picture in its row was not read"
        for now, before in zip(rows, panel.rows, strict=True)
        if now is not before
    )
    return replace(panel, rows=rows, problems=(*panel.problems, *told))


def _beside_pictures(half: Half, sheet: Sheet) -> set[str]:
    """Numbers of the circuits in whose row a picture stands."""
    x0, y0, x1, y1 = np.array(sheet.unread_areas, float).reshape(-1, 4).T
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    rows = np.array([anchor.y for anchor in half.anchors])
    apart = np.abs(rows[:, None] - y[None, (x >= half.x0) & (x <= half.x1)])
    near = (apart <= IN_ROW * pitch(half.anchors)) & (apart == apart.min(axis=0, initial=np.inf))
    return {half.anchors[k].text for k in np.flatnonzero(near.any(axis=1))}


def _asked(row: PanelRow) -> PanelRow:
    if row.gfci is not Answer.NO:
        return row
    return replace(row, gfci=Answer.UNKNOWN, text=f"{row.text} (and a picture that was not read)")
