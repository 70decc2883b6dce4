"""Words that may stand beside GFCI BREAKER in a text without changing what it says.

A text that speaks of a GFCI breaker may also say that there is none, none yet, or that it is another circuit's:
SPACE FOR GFCI BREAKER, MOVE GFCI BREAKER TO CKT 7, DOWNSTREAM OF GFCI BREAKER.  Such wordings cannot all be listed,
so a text counts only where every other word in it is known to be harmless: what the circuit feeds, where, and the
breaker's own ratings.  The words are common practice of US panel schedules, no source.
"""

from __future__ import annotations

import re

from cordpath.model import BASEMENT

# The breaker's own: words that leave a mark what it is.
BREAKERS = re.compile(
    r"\d+(?:A|AMPS?|AT|AF|P|POLES?|V|MA|KA|AIC)?|MA|MILLIAMPS?|(?:\d+[AP])+|A|AMPS?|P|POLES?|[SDT]P|TYPE|TYP|BREAKERS?"
    r"|BKRS?|BRKRS?|CB|CIRCUIT|CKT|INTERRUPTERS?|PROVIDE|REQUIRED|REQD|REQ'?D|PROTECT(?:ED|ION)?|PROT|NEW|EXISTING|EXIST"
    r"|CLASS|LISTED|COMBO|COMBINATION|W|WITH|AND|TRIP|HACR|SWD|LO|TANDEM|QUAD"
)
_MOUNTED = re.compile(r"\b(?:PLUG|BOLT|LOCK)[- ]?(?:IN|ON)\b")
# A number that is another circuit's: GFCI CKT 4, GFCI W/ 6; not 5 MA and 20A.
_OTHERS = re.compile(
    r"(?:\b(?:CIRCUITS?|CKTS?|CCTS?|WITH|FROM|W)\b|\bW/)[ .:#]*"
    r"\d+(?![\dA-Z]| ?-?(?:A|AMPS?|P|POLES?|V|MA|KA|AT|AF)\b)"
)
_RATED = re.compile(r"\b(\d+) ?-?(A|AMPS?|P|POLES?|V|MA|KA|AT|AF)\b")
_STATUS = re.compile(r"\((?:N|E)\)")  # new, existing; without brackets N may stand for no

_PLACES = (
    r"M?BATH(?:ROOM|RM)?S?|MASTER|MSTR|PRIMARY|GUEST|HALL|POWDER|PWDR|PDR|TOILET|KITCHEN(?:ETTE)?S?|KIT|ISLAND"
    r"|PENINSULA|COUNTER(?:TOP)?S?|CTR|GARAGE|GAR|EXTERIOR|EXT|OUTDOORS?|OUTSIDE|PATIO|DECK|PORCH|BALCONY"
    rf"|TERRACE|YARD|FRONT|REAR|BACK|{BASEMENT}|CRAWL ?SPACE|LAUNDRY|LAUND|LDRY|UTILITY|UTIL|MECH(?:ANICAL)?"
    r"|POOL|SPA|BAR|WET|PANTRY|DINING|LIVING|FAMILY|FAM|GREAT|BED(?:ROOM)?S?|BEDRMS?|BR|ROOMS?|RM|ATTIC|SHED"
    r"|SHOP|BOAT(?:HOUSE)?|DOCK|CLOSET|OFFICE|STUDY|DEN|NOOK|BREAKFAST|FOYER|ENTRY|MUD|UPPER|LOWER|MAIN|FIRST"
    r"|SECOND|1ST|2ND|FLOOR|FLR|UPSTAIRS|NORTH|SOUTH|EAST|WEST|UNIT|AREA|WALL"
)
_LOADS = (
    r"DISH ?WASHER|DW|DISPOSALS?|DISPOSERS?|DISP|REFRIGERATOR|REFRIG|REF|FRIDGE|FREEZER|RANGE|OVEN|COOK ?TOP"
    r"|MICROWAVE|MICRO|MW|WASHER|DRYER|HOOD|SUMP|PUMP|EV|CHARGER|GDO|DOOR|OPENER|WATER|HEATER|WHIRLPOOL"
    r"|JACUZZI|HYDROMASSAGE|HOT|TUB|FAN|HEAT|TOWEL|BIDET|SMALL|APPLIANCES?|APPL|IRRIGATION|HVAC|AC|A/C"
    r"|CONDENSER|FURNACE|WELL|HOIST|LIFT|SINKS?|LAV|VANITY|RECEPTACLES?|RECEPTS?|RECEP|RECS?|RCPTS?|OUTLETS?"
    r"|PLUGS?|CIRCUITS|CKTS|LIGHTS?|LIGHTING|LTG|LTS|EQUIP(?:MENT)?"
)
_JOINING = (
    r"FOR|IN|AT|ON|OF|THIS|THE|AN|SHALL|BE|IS|ARE|TO|ALL|INDICATES?|DENOTES?|MEANS|USE|FURNISH|INSTALL|PANEL|BRANCH"
)
_KINDS = r"C?AFCI|C?AFI|GFCI|GFI|DUAL|FUNCTION|DF|ARC|GROUND|FAULT"  # what kind of breaker it is, once more
_LOAD = re.compile(rf"(?:{_PLACES}|{_LOADS})")
_WORDS = re.compile(rf"(?:{_PLACES}|{_LOADS}|{_JOINING}|{_KINDS})")
# What stands right before the breaker's name and makes it another's or a wish.
_BEFORE = r"\b(?:FOR|OF|FROM|TO|THAN|IN|AT|ON)(?: AN?| THE)? $"
# A breaker that stands elsewhere, as at the equipment, is not the panel's own.
_ELSEWHERE = re.compile(r"^[^,;]*\b(?:AT|IN|ON|NEAR|INSIDE)\b(?! (?:THIS |THE )?(?:PANEL|CIRCUIT|CKT)\b)")
_BY = re.compile(r"\b(?:PROTECTED|PROT|FED|SERVED) BY(?: AN?)?(?= )")


def is_breakers_own(rest: str) -> bool:
    """Is there nothing in what stands beside a mark but the breaker's own words?"""
    bare = _STATUS.sub(" ", rest)
    if _OTHERS.search(bare):
        return False
    return all(BREAKERS.fullmatch(word) for word in _split(_MOUNTED.sub(" ", bare)))


def is_understood(text: str, breaker: re.Pattern[str]) -> bool:
    """Is every word beside the name of a GFCI breaker understood?  ``breaker`` finds the name in the text."""
    bare = _RATED.sub(r"\1\2", _BY.sub(" ", _STATUS.sub(" ", text)))
    found = breaker.search(bare)
    if found is None or re.search(_BEFORE, bare[: found.start()]) or _OTHERS.search(bare):
        return False
    if _ELSEWHERE.search(bare[found.end() :]):
        return False
    rest = f"{bare[: found.start()]} , {bare[found.end() :]}"
    rest = re.sub(r"\bCRAWL SPACE\b|\bDISH WASHER\b", "BATH", _MOUNTED.sub(" ", rest))
    words = _split(rest)
    return all(_known(word, before) for word, before in zip(words, ["", *words], strict=False))


def _known(word: str, before: str) -> bool:
    if word.isdigit():
        return _LOAD.fullmatch(before) is not None  # BATH 2
    return (BREAKERS.fullmatch(word) or _WORDS.fullmatch(word)) is not None


def _split(text: str) -> list[str]:
    return re.findall(r"[^\s/&+,;:()\[\]*-]+", text)
