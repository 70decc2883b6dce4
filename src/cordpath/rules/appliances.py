"""Names of appliances and other loads, as labels and mapping files write them; common practice, no source."""

from __future__ import annotations

import re

# Appliances that stand on the floor or in a cabinet: a receptacle that serves one serves no countertop.
OFF_COUNTER = frozenset({
    "refrigerator", "freezer", "range", "electric range", "wall oven", "oven", "cooktop", "dishwasher", "disposer",
    "disposal", "range hood", "hood", "washer", "dryer", "water heater", "trash compactor",
})  # fmt: skip
# What drafters write for an appliance; common practice, no source.
WRITTEN = {
    "d/w": "dishwasher", "dw": "dishwasher", "d.w.": "dishwasher", "ref": "refrigerator", "ref.": "refrigerator",
    "refrig": "refrigerator", "refrig.": "refrigerator", "fridge": "refrigerator", "frz": "freezer",
    "mw": "microwave", "m/w": "microwave", "micro": "microwave", "disp": "disposer", "disp.": "disposer",
    "gd": "disposer", "g.d.": "disposer", "garbage disposal": "disposer", "garbage disposer": "disposer",
    "wh": "water heater", "w.h.": "water heater", "w/h": "water heater", "hob": "cooktop", "cooker": "range",
    "ac": "air conditioner", "a/c": "air conditioner", "a.c.": "air conditioner", "w.m.": "washer",
    "gdo": "garage door opener", "g.d.o.": "garage door opener",
    "w/d": "washer/dryer", "w & d": "washer/dryer", "w&d": "washer/dryer", "w+d": "washer/dryer",
}  # fmt: skip
_BETWEEN = re.compile(r"\s*(?:[/&+,]|\band\b)\s*")  # of the things that one outlet serves: DW/DISP, REF & ICE MAKER
# Words that say nothing of what is served.
VAGUE = frozenset({
    "appliance", "appliances", "appl", "appl.", "equipment", "equip", "equip.", "unit", "load", "device", "outlet",
    "misc", "misc.", "other", "others", "owner", "by owner", "tbd", "future", "special", "special purpose", "?",
    "-", "dedicated", "n/a", "connection", "hardwired", "hard-wired", "direct", "unknown", "motor", "power",
})  # fmt: skip


def named(said: str) -> str | None:
    """The usual name of what an outlet is said to serve; None for words that say nothing of it."""
    plain = " ".join(said.lower().split())
    return WRITTEN.get(plain, plain) if plain and plain not in VAGUE else None


def parts(served: str) -> tuple[str, ...]:
    """The things that an outlet serves, one by one: ``dishwasher`` and ``disposer`` of ``dw/disp``."""
    found = (part for part in _BETWEEN.split(served) if part)
    return tuple(WRITTEN.get(part, part) for part in found)
