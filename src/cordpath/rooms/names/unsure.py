"""Lettering in a room that was not read, or not for sure: it may name a part of it, or be a line of its own name.

KITCHEN that was read as IKITCHEN in one space with GALLERY, or KITCHEN over DINING of which nothing was read: the
name that is left would clear what the other one protects.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.geometry import in_box
from cordpath.model import Point, Sheet, Symbol, View, Word
from cordpath.rooms.names.kinds import DOUBT, LEAST_NAME, SURE_READING, Draft
from cordpath.rooms.names.tags import Tag
from cordpath.rooms.names.vocabulary import is_stop, protects

# Of the letters of the room's own name: sizes are read from ink, and those of one sheet's names differ by a tenth;
# labels of devices and figures of dimensions are often smaller.
SIZES = (0.75, 1.35)
LABEL = 36.0  # pt, 1/2 in.: labels stand within 3/8 in. of their symbol (measured); an unread line has no size
LINES = 3.0  # sizes of a name: the next line above or below it, whatever stands beside that
FIGURES = frozenset("0123456789IOQLDZSBG")  # what figures are read as: IOI is the number 101 of a room
UNREAD = "lettering in it that could not be read may name a part of it"


def doubt_unsure(drafts: Sequence[Draft], sheet: Sheet, view: View, symbols: Sequence[Symbol]) -> None:
    """Doubt the rooms that their name would clear, in place.  Unread lines beside a device are its label."""
    cleared = [draft for draft in drafts if _cleared_by_name(draft)]
    words = [word for word in sheet.words if _may_be_a_name(word)]
    lines = _no_labels(sheet.unread_at, symbols, [draft.tag for draft in cleared if draft.tag is not None])
    places = [word.at for word in words] + lines
    plain = [k for k, at in enumerate(places) if _in_plan(at, sheet, view)]
    if not cleared or not plain:
        return
    tree = shapely.STRtree([draft.polygon for draft in cleared])
    found = tree.query(shapely.points(np.array([places[k] for k in plain])), predicate="intersects")
    for k, room in sorted(zip(*found.tolist(), strict=True)):
        draft, place = cleared[room], plain[k]
        if place >= len(words):
            draft.doubt(UNREAD, DOUBT)
        elif _of_its_size(words[place], draft):
            draft.doubt(f"'{words[place].text}' in it was not read for sure and may name a part of it", DOUBT)


def _no_labels(places: Sequence[Point], symbols: Sequence[Symbol], names: Sequence[Tag]) -> list[Point]:
    """The places that are beside no device, or next to a name."""
    devices = [symbol.at for symbol in symbols if not symbol.is_fixture]
    if not places or not devices or not names:
        return list(places)
    at = np.array(places)
    label = cKDTree(np.array(devices)).query(at)[0] <= LABEL
    away = np.abs(at[:, None] - np.array([name.at for name in names]))
    size = np.array([name.size for name in names])
    reach = np.column_stack([np.array([len(name.text) for name in names]) * size / 2, LINES * size])
    return [tuple(place) for place in at[~label | (away <= reach).all(axis=2).any(axis=1)].tolist()]


def _cleared_by_name(draft: Draft) -> bool:
    tag = draft.tag
    if tag is None or tag.meaning is None or tag.confidence < SURE_READING:  # in doubt without this
        return False
    return not protects(tag.meaning.kind)


def _may_be_a_name(word: Word) -> bool:
    letters = sum(map(str.isalpha, word.text))
    drawn = word.origin in ("stroke", "outline") and word.confidence < SURE_READING
    named = letters >= LEAST_NAME and 2 * letters > len(word.text) and not is_stop(word.text)
    return drawn and named and not FIGURES.issuperset(word.text.upper())


def _of_its_size(word: Word, draft: Draft) -> bool:
    return draft.tag is not None and SIZES[0] <= word.size / draft.tag.size <= SIZES[1]


def _in_plan(at: Point, sheet: Sheet, view: View) -> bool:
    return in_box(at, view.box) and not any(in_box(at, region.box) for region in sheet.regions)
