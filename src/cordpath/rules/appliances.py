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
    "d/washer": "dishwasher", "drier": "dryer", "clothes drier": "dryer", "ck top": "cooktop",
    "micro wave": "microwave", "power washer": "pressure washer", "spray washer": "pressure washer",
    "high pressure washer": "pressure washer", "high-pressure washer": "pressure washer",
    "otr micro": "microwave",
    "indoor grill": "cooktop grill", "cw": "washer", "d.w": "dishwasher", "dishw": "dishwasher",
    "mwo": "microwave oven", "mic": "microwave", "m.w": "microwave", "m.w.": "microwave", "m/o": "microwave oven",
    "microhood": "microwave/hood", "s.p.": "sump pump", "tesla": "ev charger",
    "laundry center": "washer/dryer",
    "w/d": "washer/dryer", "w & d": "washer/dryer", "w&d": "washer/dryer", "w+d": "washer/dryer",
}  # fmt: skip
# Names that may be of a thing that a rule speaks of, by the name that it has there; common practice, no source.
_PERHAPS = {
    "sump pump": ("effluent pump", "crock pump", "pit pump", "drain pump", "drainage pump", "dewatering pump",
                  "basement pump", "utility pump"),
    "water cooler": ("water dispenser", "chilled water dispenser", "bubbler", "water station"),
    "vending machine": ("snack machine", "soda machine", "beverage machine"),
    "tire inflation machine": ("air machine", "air station", "tire air", "air pump"),
    "vacuum machine": ("automotive vac", "car vac", "auto vac"),
    "oven": ("smoker", "barbecue", "bbq", "rotisserie", "steamer", "kamado"),
    "cooktop": ("teppanyaki", "hot plate", "surface unit", "cook surface", "burner", "wok"),
    "dryer": ("drying cabinet", "drying machine", "tumbler", "all-in-one washer", "laundry combo"),
    "whirlpool": ("air tub", "air bath", "bubble tub", "therapy tub", "massage tub", "walk-in tub", "tub heater",
                  "tub motor", "tub blower", "bath pump", "tub equipment", "soaking tub heater"),
    "spa": ("cold plunge", "plunge", "plunge tub"),
    "pool pump": ("filter pump",),
    "fountain pump": ("water feature", "waterfall", "waterfall pump", "pond", "pond pump", "fish pond"),
    "platform lift": ("stair lift", "stairlift", "chair lift", "chairlift", "wheelchair lift", "stair chair lift"),
    "boat lift": ("dock lift", "watercraft lift", "pwc lift"),
    "heated floor": ("tile heat", "heated tile", "tile warming", "heat mat", "heating mat", "infloor heat",
                     "underfloor heat", "underfloor heating"),
    "ev charger": ("electric car", "wall connector"),
    "heat pump": ("hp",),
    "condensing unit": ("cu", "cond", "cond.", "cond unit", "condensor"),
}  # fmt: skip
WRITTEN |= {name: f"{name} (perhaps {thing})" for thing, names in _PERHAPS.items() for name in names}
WRITTEN |= dict.fromkeys(
    ("pressure washing machine", "high-pressure spray washing machine", "high pressure spray washer"),
    "pressure washer",
)
# And where nothing stands beside it; within other words such a letter says nothing.
ALONE = {
    "r": "range", "d": "dryer", "w": "washer", "sp": "sump pump", "dish": "dishwasher", "dry": "dryer",
    "sump": "sump pump",
}  # fmt: skip
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
_SPELT = re.compile(r"[a-z](?:[. -]+[a-z]){1,2}\.?")
# Words that say nothing of what is served.
VAGUE = frozenset({
    "appliance", "appliances", "appl", "appl.", "equipment", "equip", "equip.", "unit", "load", "device", "outlet",
    "misc", "misc.", "other", "others", "owner", "by owner", "tbd", "future", "special", "special purpose", "?",
    "-", "dedicated", "n/a", "connection", "hardwired", "hard-wired", "direct", "unknown", "motor", "power",
})  # fmt: skip


def named(said: str) -> str | None:
    """The usual name of what an outlet is said to serve; None for words that say nothing of it."""
    plain = _SLASHED.sub(lambda found: WRITTEN[found[0]], " ".join(said.lower().split()))
    if not plain or plain in VAGUE:
        return None
    # D W, M.W.O.: letters one by one are the abbreviation that they spell
    letters = re.sub("[^a-z]", "", plain) if _SPELT.fullmatch(plain) else plain
    return ALONE.get(plain) or WRITTEN.get(plain) or WRITTEN.get(letters, plain)


def parts(served: str) -> tuple[str, ...]:
    """The things that an outlet serves, one by one: ``dishwasher`` and ``disposer`` of ``dw/disp``."""
    found = (part for part in _BETWEEN.split(served) if part)
    return tuple(WRITTEN.get(part, part) for part in found)


def is_unknown_short(served: str) -> bool:
    """Is what is served written as an abbreviation that is not known, such as ``c/t`` or ``wo``?"""
    letters = re.sub("[^a-z]", "", served)
    return 0 < len(letters) <= SHORT and " " not in served and letters not in SHORT_OTHERS
