"""Which lights are judged as outlets: those of crawl spaces, the only lighting that 210.8 asks protection for.

A light is otherwise no outlet of this program.  One whose room is not settled is judged where its drawing shows a
crawl space at all, so that its question is asked and it does not pass silently.
"""

from __future__ import annotations

import re

from cordpath.model import FloorPlan, Standing, Symbol, View
from cordpath.rules.facts import is_unenclosed

CRAWL = re.compile(r"\bCRAWL", re.IGNORECASE)


def is_judged_light(symbol: Symbol, standing: Standing, plan: FloorPlan | None, view: View | None) -> bool:
    """Is the symbol a light in a crawl space, or one that may be in one?"""
    if symbol.kind != "light" or view is None:
        return False
    crawl_title = bool(CRAWL.search(view.title))
    room = plan.room(standing.room) if plan is not None else None
    if room is not None and room.kind == "crawl space":
        return True
    if room is None or standing.why or room.kind == "unknown" or (plan is not None and is_unenclosed(plan)):
        return crawl_title or (plan is not None and any(each.kind == "crawl space" for each in plan.rooms))
    return False
