"""Texts in a room that may name a part of it, or be a line of its own name: unknown ones, and what was not read or
not read for sure.

KITCHEN that was read as IKITCHEN in one space with GALLERY, or KITCHEN over DINING of which nothing was read: the
name that is left would clear what the other one protects.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.model import Point, Sheet, Symbol, View, Word
from cordpath.rooms.names.kinds import DOUBT, LEAST_NAME, SURE_READING, Draft, names_a_part
from cordpath.rooms.names.tags import Tag, in_plan
from cordpath.rooms.names.vocabulary import is_stop, protects

# Of the letters of the room's own name: sizes are read from ink, and those of one sheet's names differ by a tenth;
# labels of devices and figures of dimensions are often smaller.
SIZES = (0.75, 1.35)
LABEL = 36.0  # pt, 1/2 in.: labels stand within 3/8 in. of their symbol (measured); an unread line has no size
LINES = 3.0  # sizes of a name: the next line above or below it, whatever stands beside that
FIGURES = frozenset("0123456789IOQLDZSBG")  # what figures are read as: IOI is the number 101 of a room
UNREAD = "lettering in it that could not be read may name a part of it"


def name_and_doubt(drafts: Sequence[Draft], odd: Sequence[Tag], inch: float) -> None:
    """Unknown names: they name the spaces without a known one, and cast doubt where they stand beside it."""
    shapes = np.array([d.polygon for d in drafts], object)
    for tag in sorted(odd, key=lambda t: (-t.size, t.at)):
        inside = np.flatnonzero(shapely.intersects(shapes, shapely.Point(tag.at))).tolist()
        for k in inside:
            draft = drafts[k]
            if draft.tag is None:
                draft.tag = tag
            elif draft.tag.meaning is not None and draft.tag.style == tag.style:
                away = np.hypot(tag.at[0] - draft.tag.at[0], tag.at[1] - draft.tag.at[1])
                if away > max(60 * inch, 4 * tag.size):
                    draft.doubt(f"'{tag.text}' stands in the same space and is not in the vocabulary",
                                DOUBT if names_a_part(tag, draft.tag.meaning) else 0.75)  # fmt: skip


def doubt_unsure(drafts: Sequence[Draft], sheet: Sheet, view: View, symbols: Sequence[Symbol]) -> None:
    """Doubt the rooms that their name would clear, in place.  Unread lines beside a device are its label."""
    cleared = [draft for draft in drafts if _cleared_by_name(draft)]
    words = [word for word in sheet.words if _may_be_a_name(word)]
    lines = _no_labels(sheet.unread_at, symbols, [draft.tag for draft in cleared if draft.tag is not None])
    places = [word.at for word in words] + lines
    plain = [k for k, at in enumerate(places) if in_plan(at, sheet, view)]
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
    drawn = word.is_drawn and word.confidence < SURE_READING
    named = letters >= LEAST_NAME and 2 * letters > len(word.text) and not is_stop(word.text)
    return drawn and named and not FIGURES.issuperset(word.text.upper())


def _of_its_size(word: Word, draft: Draft) -> bool:
    return draft.tag is not None and SIZES[0] <= word.size / draft.tag.size <= SIZES[1]
