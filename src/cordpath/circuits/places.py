"""Places where a GFCI device could not be reached without moving or climbing on something.

The device itself must be readily accessible (NEC 210.8, the text before its list); an ordinary receptacle there
that is protected from elsewhere is fine.  Which places those are is common practice, no source.
"""

from __future__ import annotations

import re

import shapely

from cordpath.model import Outlet, Reading, Symbol

BEHIND = frozenset({"refrigerator", "range", "wall oven", "cooktop", "washer", "dryer", "dishwasher", "disposer",
                    "microwave", "freezer"})  # fmt: skip
ABOVE_IN = 79.0  # in., 6 ft 7 in.: the height to which switches may stand (from memory, NEC 404.8(A))
CLOSE_PT = 3.0  # pt round an appliance: symbols of outlets behind it are drawn at its edge
_CEILING = re.compile(r"\b(?:CLG|CEILING|SOFFIT|ATTIC|GDO|GARAGE DOOR OP\w*)\b", re.IGNORECASE)


def hard_to_reach(reading: Reading) -> dict[str, str]:
    """Outlet id to why a GFCI device would not be readily accessible there."""
    bulky = [fixture.symbol for fixture in reading.fixtures if fixture.symbol.kind in BEHIND]
    found = {outlet.id: _why(outlet, bulky) for outlet in reading.outlets}
    return {name: why for name, why in found.items() if why is not None}


def _why(outlet: Outlet, bulky: list[Symbol]) -> str | None:
    symbol = outlet.symbol
    if symbol.fact("readily_accessible") is False:
        return "it is said not to be readily accessible"
    serves = str(symbol.fact("serves") or symbol.fact("serves_unsure") or "").lower()
    if any(name in serves for name in BEHIND):
        return f"it serves a {serves}"
    texts = (symbol.entry.name, serves, *(label.text for label in symbol.labels))
    if any(_CEILING.search(text) for text in texts):
        return "it is on a ceiling or the like"
    height = symbol.fact("height_in")
    if isinstance(height, (int, float)) and height > ABOVE_IN:
        return f"it is {height:g} in. above the floor"
    place = shapely.MultiPoint([symbol.at, outlet.standing.anchor])
    for other in bulky:
        if other.view == symbol.view and other.footprint.distance(place) <= CLOSE_PT:
            return f"a {other.kind} stands before it"
    return None
