"""Lettering that could not be read may be what shows protection: its lack proves nothing there."""

from __future__ import annotations

import numpy as np
from scipy.spatial import cKDTree

from cordpath.model import Answer, Outlet, Protection, Sheet

# Pt, 1/2 in.: labels stand within 3/8 in. of their symbol (measured), unread lines are told by middles
BESIDE = 36.0
MANY = 0.25  # unread lines over words read from drawn lettering (or, where few are drawn, over all words): the
# sheet as a whole is not readable
LETTERED = 25  # drawn words from which a sheet is lettered so; of a few drawn labels on a sheet of fonts, a quarter
# is one label, which tells nothing of the rest


def doubt_unread(
    outlets: tuple[Outlet, ...], protections: tuple[Protection, ...], sheet: Sheet
) -> tuple[Protection, ...]:
    """The protections, in the order of ``outlets``: *not shown* becomes unknown where lettering was not read."""
    if not sheet.unread_at or not outlets:
        return protections
    seen = [word.origin for word in sheet.words if word.origin != "hidden"]
    drawn = len(seen) - seen.count("font")
    if len(sheet.unread_at) > MANY * (drawn if drawn >= LETTERED else len(seen)):
        why = f"{len(sheet.unread_at)} lines of this sheet's lettering could not be read"
        return tuple(_unknown(each, why) for each in protections)
    far, _ = cKDTree(np.array(sheet.unread_at)).query(np.array([outlet.symbol.at for outlet in outlets]))
    why = "lettering beside it could not be read"
    return tuple(
        _unknown(each, why) if gap <= BESIDE else each for each, gap in zip(protections, far.tolist(), strict=True)
    )


def _unknown(shown: Protection, why: str) -> Protection:
    if shown.shown is not Answer.NO:
        return shown
    return Protection(Answer.UNKNOWN, None, None, shown.circuit, (why, *shown.reasons))
