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
    "rng": "range", "rangetop": "cooktop", "range top": "cooktop", "cktp": "cooktop",
    "indoor grill": "cooktop grill", "cw": "washer", "d.w": "dishwasher", "dishw": "dishwasher",
    "mwo": "microwave oven", "mic": "microwave", "m.w": "microwave", "m.w.": "microwave", "m/o": "microwave oven",
    "microhood": "microwave/hood", "s.p.": "sump pump", "tesla": "ev charger",
    "laundry center": "washer/dryer",
    "w/d": "washer/dryer", "w & d": "washer/dryer", "w&d": "washer/dryer", "w+d": "washer/dryer",
}  # fmt: skip
# And where nothing stands beside it; within other words such a letter says nothing.
ALONE = {"r": "range", "d": "dryer", "w": "washer", "sp": "sump pump", "dish": "dishwasher", "dry": "dryer"}
_SLASHED = re.compile(  # d/w within DW & DISPOSAL written as D/W & DISPOSAL; the longest name first
    "|".join(rf"(?<![a-z]){re.escape(each)}(?![a-z])" for each in sorted(WRITTEN, key=len)[::-1] if "/" in each)
)
# Short names of loads that no rule speaks of; any other short name may be one of those that it does.
SHORT_OTHERS = frozenset({
    "tv", "ref", "gd", "wh", "hwh", "tc", "rh", "cv", "av", "pc", "wap", "nvr", "dvr", "sec", "fan", "ice", "bar",
    "usb", "tub", "spa", "hot", "gas", "fau", "ac", "ah", "ahu", "fcu", "cu", "hp", "ev", "bed", "rec", "gdo",
    "vac", "lav", "hood", "heat", "desk", "sink", "wall", "lamp", "door", "bell", "tank", "well", "pool", "gate",
    "sign", "shop", "hvac", "data", "lift", "safe", "iron", "saw", "clk", "tele", "elev", "bath", "kit", "gar",
    "ext", "evse", "sump", "oven",
})  # fmt: skip
SHORT = 4  # letters of an abbreviation at most; common practice, no source
_BETWEEN = re.compile(r"\s*(?:[/&+,]|\band\b)\s*")  # of the things that one outlet serves: DW/DISP, REF & ICE MAKER
# Words that say nothing of what is served.
VAGUE = frozenset({
    "appliance", "appliances", "appl", "appl.", "equipment", "equip", "equip.", "unit", "load", "device", "outlet",
    "misc", "misc.", "other", "others", "owner", "by owner", "tbd", "future", "special", "special purpose", "?",
    "-", "dedicated", "n/a", "connection", "hardwired", "hard-wired", "direct", "unknown", "motor", "power",
})  # fmt: skip


def named(said: str) -> str | None:
    """The usual name of what an outlet is said to serve; None for words that say nothing of it."""
    plain = _SLASHED.sub(lambda found: WRITTEN[found[0]], " ".join(said.lower().split()))
    return {**WRITTEN, **ALONE}.get(plain, plain) if plain and plain not in VAGUE else None


def parts(served: str) -> tuple[str, ...]:
    """The things that an outlet serves, one by one: ``dishwasher`` and ``disposer`` of ``dw/disp``."""
    found = (part for part in _BETWEEN.split(served) if part)
    return tuple(WRITTEN.get(part, part) for part in found)


def is_unknown_short(served: str) -> bool:
    """Is what is served written as an abbreviation that is not known, such as ``c/t`` or ``wo``?"""
    letters = re.sub("[^a-z]", "", served)
    return 0 < len(letters) <= SHORT and " " not in served and letters not in SHORT_OTHERS
