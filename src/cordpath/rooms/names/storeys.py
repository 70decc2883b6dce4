"""What the floor that a plan shows says of its rooms: basements and crawl spaces.

Terms: *storey*, the floor that the title of a view names.  *Neighbours*, rooms of one building on one drawing, and
so of one floor.
"""

from __future__ import annotations

import re

import numpy as np

from cordpath.model import BASEMENT, CRAWL_SPACE, OTHER_STOREY, RoomKind
from cordpath.rooms.names.kinds import DOUBT, LIVING_KINDS, SOFT_KINDS, Draft
from cordpath.rooms.walls.bands import groups

# A lower level may stand on a slope, with no floor below grade: the rules ask about it.
BASEMENT_TITLE = re.compile(rf"\b{BASEMENT}\b")
CRAWL_TITLE = re.compile(rf"\b{CRAWL_SPACE}\b")
OTHER_TITLE = re.compile(OTHER_STOREY)
WALL_FT = 2.0  # between rooms of one building; separate drawings and buildings stand farther apart
NAMELESS = 0.85  # confidence of a space that only the title of its plan names


def settle_storey(drafts: list[Draft], title: str, inch: float) -> None:
    """Take the floor that the title tells into account, in place.

    Rooms of a basement's plan are parts of the basement, spaces without a name in a crawl space's plan crawl space.
    Where a room is named a basement and no title says which floor it is, or a title names a basement and another
    floor, its neighbours may be basement as well.
    """
    said = title.upper()
    crawl, basement = CRAWL_TITLE.search(said), BASEMENT_TITLE.search(said)
    if OTHER_TITLE.search(said):
        if basement:
            _doubt(drafts, f"the title {title} names a basement and another floor")
        return
    if basement:
        for draft in drafts:
            _below(draft)
    else:
        _beside_a_basement(drafts, inch)
    if basement or crawl:
        _name_by_title(drafts, basement is not None, crawl is not None)


def _below(draft: Draft) -> None:
    """Rooms named for living are finished parts of the basement."""
    if draft.kind not in LIVING_KINDS | SOFT_KINDS or draft.kind == "unknown":
        return
    if draft.finished is None and draft.kind in LIVING_KINDS:
        draft.finished = True
    draft.reasons.append(f"it lies in the plan of a basement, and is named for use as {draft.kind}")
    draft.kind = "basement"


def _name_by_title(drafts: list[Draft], basement: bool, crawl: bool) -> None:
    """Spaces without a name; a title of both does not tell which."""
    kind: RoomKind = "crawl space" if crawl else "basement"
    for draft in drafts:
        if draft.tag is None and draft.kind == "unknown" and not (basement and crawl):
            draft.kind = kind
            draft.reasons.append(f"it has no name on the drawing, and lies in the plan of a {kind}")
            draft.confidence = NAMELESS


def _beside_a_basement(drafts: list[Draft], inch: float) -> None:
    building = groups(np.array([draft.polygon for draft in drafts], object), WALL_FT * 12 * inch)
    for number in np.unique(building):
        mine = [draft for draft, at in zip(drafts, building, strict=True) if at == number]
        named = [draft.name for draft in mine if _named(draft)]
        if named:
            _doubt(mine, f"{named[0]} is on the same floor, and no title says which floor that is")


def _doubt(drafts: list[Draft], why: str) -> None:
    for draft in drafts:
        if draft.kind in LIVING_KINDS | SOFT_KINDS and draft.kind != "unknown":
            draft.doubt(f"{why}: it may be a part of the basement", DOUBT)


def _named(draft: Draft) -> bool:
    return draft.kind == "basement" and draft.tag is not None
