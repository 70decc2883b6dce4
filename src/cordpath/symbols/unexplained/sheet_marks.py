"""Large circles that are marks of the sheet itself and no devices: the north arrow and the bubbles of view titles.

Terms: *title line*, the line that runs from a bubble under the name of its view.
"""

from __future__ import annotations

import re

import numpy as np

from cordpath import geometry, units
from cordpath.model import BoolArray, FloatArray, LabelEntry, Sheet
from cordpath.symbols.labels.words import read

# Common practice, no source: how a north arrow and a view's title are lettered and drawn.
_NORTH = re.compile(r"N|NORTH")
_TITLE = re.compile(r"SCALE[:=]?|PLAN|SECTION|ELEVATION|DETAIL")
NORTH = 2.2  # radii from the middle of a north arrow to its letter
TITLE_LINE = 4.0  # radii, the least length of a title line; stems of devices are shorter
TITLE_REACH = 16.0  # radii along a title line within which a word of the title stands
TITLE_BESIDE = 1.5  # radii across it: the name over the line and the scale under it
RIM = 0.15  # of the radius, from the circle to the end of its title line, and from that line to the middle
DEVICE = 3.0  # radii within which a device's label shows that the circle is one


def sheet_marks(circles: FloatArray, sheet: Sheet, labels: tuple[LabelEntry, ...]) -> BoolArray:
    """(n,) True for those of the circles (n, 3), middle and radius, that are marks of the sheet.

    Of several circles with the letter of a north arrow none is one: a plan has one.
    """
    north = _beside(circles, sheet, _NORTH, NORTH)
    titles = np.flatnonzero(_beside(circles, sheet, _TITLE, TITLE_REACH))
    found = north & (north.sum() == 1)
    for k in titles.tolist():
        found[k] |= _is_titled(circles[k], sheet)
    for k in np.flatnonzero(found).tolist():
        found[k] = not _labelled(circles[k], sheet, labels)
    return found


def _beside(circles: FloatArray, sheet: Sheet, said: re.Pattern[str], radii: float) -> BoolArray:
    """(n,) circles with such a word so near."""
    at = _places(sheet, said)
    away = np.hypot(*(circles[:, None, :2] - at[None]).transpose(2, 0, 1))
    return np.asarray((away <= radii * circles[:, 2:3]).any(axis=1), bool)


def _places(sheet: Sheet, said: re.Pattern[str]) -> FloatArray:
    at = [word.at for word in sheet.words if said.fullmatch(units.plain(word.text))]
    return np.array(at, float).reshape(-1, 2)


def _is_titled(circle: FloatArray, sheet: Sheet) -> bool:
    """Does a long line run from the circle, away from its middle, with a word of a title at it?"""
    radius = float(circle[2])
    xy = sheet.strokes.xy[geometry.lengths(sheet.strokes.xy) >= TITLE_LINE * radius]
    ends = xy.reshape(-1, 2, 2) - circle[:2]
    away = np.hypot(ends[..., 0], ends[..., 1])
    ends = np.where((away[:, 0] > away[:, 1])[:, None, None], ends[:, ::-1], ends)
    unit = (ends[:, 1] - ends[:, 0]) / geometry.lengths(xy)[:, None]
    aside = np.abs(unit[:, 0] * ends[:, 0, 1] - unit[:, 1] * ends[:, 0, 0])
    fit = (aside <= RIM * radius) & (np.abs(away.min(axis=1) - radius) <= RIM * radius)
    words = _places(sheet, _TITLE) - circle[:2]
    along = words @ unit[fit].T
    across = np.abs(words @ np.c_[-unit[fit][:, 1], unit[fit][:, 0]].T)
    beside = (along > radius) & (along <= away.max(axis=1)[fit][None]) & (across <= TITLE_BESIDE * radius)
    return bool(beside.any())


def _labelled(circle: FloatArray, sheet: Sheet, labels: tuple[LabelEntry, ...]) -> bool:
    """Is a circuit tag or a mark of protection beside it?"""
    near = np.flatnonzero(np.hypot(*(sheet.words_at - circle[:2]).T) <= DEVICE * circle[2])
    said = [read(sheet.words[k].text, labels) for k in near.tolist()]
    return any(each is not None and each.kind in ("circuit", "protection") for each in said)
