"""What a legend's description says in the trade's words: the kind of a symbol and its facts, as a first guess.

The words are common practice, no source.  A guess is for a person to look over: what a description leaves open
stays open, and nothing is taken for protected that the words do not say.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from cordpath import units
from cordpath.model import Kind

NO_POWER = (
    r"DATA|TELEPHONE|PHONE|TELEVISION|\bTV\b|CABLE|COAX|\bCATV\b|NETWORK|SPEAKER|INTERCOM|\bUSB ONLY\b|\bGAS\b|"
    r"WATER(?!.?(PROOF|TIGHT|HEATER))"
)
POWER = (  # a box for data and power is an outlet
    r"RECEPT|\bRCPT|DUPLEX|QUADRU?PLEX|\bPOWER\b|CONVENIENCE|\bGFC?I\b|\d ?V(OLTS?|AC)?\b"
)
RECEPTACLE = (
    r"RECEPT|\bRECEP?T?\b|\bRCPT|DUPLEX|QUADRU?PLEX|\bQUAD\b|PLUG|\bOUTLETS?\b|\bGFC?I\b|GROUND.FAULT|"
    r"\bFLOOR.?BOX|\bPOKE.?TH(RU|ROUGH)\b"
)
GUARDED = r"\bGFC?I\b|GROUND.FAULT"
DOUBTED = (
    r"\bNON\b|\bNOT\b|\bNO\b|\bWITHOUT\b|EXCEPT|BREAKER|CIRCUIT(?!.INTERRUPT)|UPSTREAM|DOWNSTREAM|FED|IF |WHERE|"
    r"\bREQ|\bPER\b|\bOR\b|\bOPTION|\bFUTURE\b|\bREMOVE|\bDEMO|\bAS (NOTED|SHOWN|INDICATED)|[=:]|INDICATES|DENOTES"
)
# DUPLEX RECEPTACLE, GFI IN BATHS is the plain outlet: GFCI is what the symbol is where its words begin with it, or
# where there is nothing among them but what outlets are made of.
IS_GUARDED = re.compile(
    r"\W*((WP|WR|TR|WEATHER\W?PROOF|EXISTING|NEW|E|N|\d+ ?[AV])\W+)*(GFC?I|GROUND.FAULT)\b.*", re.DOTALL
)
MADE_OF = re.compile(
    r"GFC?I|GROUND|FAULT|CIRCUIT|INTERRUPT\w*|DUPLEX|QUADR?U?PLEX|QUAD|FOURPLEX|TRIPLEX|DOUBLE|SINGLE|SIMPLEX|"
    r"CONVENIENCE|ELECTRICAL|POWER|WALL|FLOOR|EXISTING|NEW|E|N|DEDICATED|EXTERIOR|OUTDOOR|INTERIOR|RECEPT\w*|RECEP|RCPT|"
    r"OUTLETS?|PLUGS?|SOCKETS?|TYPE|DEVICE|PROTECT(ED|ION)|INTEGRAL|BUILT|LISTED|SELF|TEST(ING)?|USB|AFCI|DUAL|FUNCTION|MOUNTED|"
    r"FLUSH|WITH|W|AND|IN|USE|A|COVER|BUBBLE|BOX|WP|WR|TR|WEATHER|PROOF|WEATHERPROOF|WATERPROOF|TAMPER|RESISTANT|NEMA|"
    r"AMPS?|AMPERES?|VOLTS?|VAC|V|PH|PHASE|AFF|ABOVE|FINISH(ED)?|COUNTER(TOP)?|HEIGHT|INCHES|UNO|HALF|SPLIT|SWITCHED|"
    r"HOT|\d+(A|V|VAC|R|AMPS?|VOLTS?)?"
)
BEFORE_WORDS = " =:-\u2013\u2014"  # between a legend's sign and its words; inside of them it is a doubt
PLACED = r"\bIN\b(?!.USE)|\b(RECEPT\w*|OUTLETS?|DUPLEX|PLUGS?)\s*/"  # in baths; OUTLET / GFI is either
LIGHT = r"LIGHT|LUMINAIRE|SCONCE|DOWNLIGHT|LAMP|CHANDELIER|PENDANT|FLUORESCENT|FIXTURE|\bCANS?\b|\bLED\b"
OUTLET_WITH_LIGHT = r"RECEPT|\bRCPT|DUPLEX|PLUG|CONVENIENCE|\bGFC?I\b|GROUND.FAULT|NIGHT.?LIGHT"
SWITCH = r"SWITCH|DIMMER|\b[34].WAY\b|\b(THREE|FOUR).WAY\b|OCCUPANCY|VACANCY"
PANEL = r"PANEL|LOAD.?CENTER|SWITCHBOARD|DISTRIBUTION BOARD"
CONNECTED = (
    r"JUNCTION|\bJ.?BOX|DISCONNECT|DIRECT CONNECTION|MOTOR CONNECTION|EQUIPMENT CONNECTION|\bEVSE\b|"
    r"\b(EV|VEHICLE) CHARG"
)
HARDWIRED = r"HARD.?WIRED"  # said of smoke alarms as well, which feed nothing
SIGNALS = r"SMOKE|CARBON MONOXIDE|\bHEAT (DETECTOR|ALARM)|THERMOSTAT|DOOR.?BELL|CHIME|BUZZER"
WET = r"\bW\.?P\.?\b|WEATHER.?PROOF|\bWEATHER RESISTANT COVER\b|IN.USE COVER"
VOLTS = re.compile(r"(\d{3})(?:\s*/\s*(\d{3}))?\s*-?\s*V(?:OLTS?|AC)?\b")
AMPERES = re.compile(r"\b(\d{2,3})\s*-?\s*(?:A|AMPS?|AMPERES?)\b")
NOT_TOLD = "the kind was not told by its words; look it over"
MAINS = 100.0  # volts: bells and thermostats have less
ORDINARY = 130.0  # volts up to which a receptacle is the ordinary one of a dwelling
FIXTURES: tuple[tuple[str, str], ...] = (
    (r"\bSINK", "sink"), (r"LAVATOR|WASH ?BASIN", "lavatory"), (r"BATH ?TUB|\bTUB\b", "bathtub"),
    (r"SHOWER", "shower"), (r"WATER CLOSET|TOILET", "water closet"), (r"WATER HEATER", "water heater"),
)  # fmt: skip


@dataclass(frozen=True)
class Guess:
    """``facts`` by the names of the mapping file; ``remarks``: what the person should look over."""

    kind: Kind
    facts: tuple[tuple[str, bool | float | str], ...] = ()
    remarks: tuple[str, ...] = ()


def guess(description: str) -> Guess:
    """The kind that the description names; ``other`` with a remark where it names none."""
    said = units.plain(description).lstrip(BEFORE_WORDS)
    if _has(NO_POWER, said) and not _has(POWER, said):
        return Guess("other", remarks=("no outlet for power, by its words",))
    if _has(PANEL, said) and not _has(r"RECEPT|DUPLEX", said):
        return Guess("panel")
    if _has(LIGHT, said) and not _has(OUTLET_WITH_LIGHT, said):
        return Guess("light")
    if _has(RECEPTACLE, said):
        return _receptacle(said)
    if _has(CONNECTED, said) or (_has(HARDWIRED, said) and not _has(SIGNALS, said)):
        # The kind that asks more: an outlet that is none is looked over, one that was missed is not.
        return Guess("hardwired outlet", remarks=("where it feeds no appliance directly, its kind is: other",))
    if _has(SWITCH, said):
        return Guess("switch")
    if _has(SIGNALS, said):
        return Guess("other")
    if any(float(part) > MAINS for match in VOLTS.finditer(said) for part in match.groups() if part):
        return Guess("hardwired outlet", remarks=("a voltage and no kind is written: it may be a receptacle",))
    for words, name in FIXTURES:
        if _has(words, said):
            return Guess(
                "other", remarks=(f"if it is drawn to scale on the plans, set kind: {name} and size: real",)
            )
    return Guess("other", remarks=(NOT_TOLD,))


def is_told(description: str) -> bool:
    """Do the words tell a kind?"""
    return NOT_TOLD not in guess(description).remarks


def _receptacle(said: str) -> Guess:
    facts: list[tuple[str, bool | float | str]] = []
    remarks: list[str] = []
    volts = [float(part) for match in VOLTS.finditer(said) for part in match.groups() if part]
    if volts and max(volts) > ORDINARY:
        facts.append(("volts", max(volts)))
    elif not volts and _has(r"RANGE|DRYER|\bWELDER\b|\bEV\b|VEHICLE", said):
        remarks.append("no voltage is written; if it is 240 V, add volts: 240")
    amperes = AMPERES.search(said)
    if amperes:
        facts.append(("amperes", float(amperes.group(1))))
    bare = said.replace(".", "")  # G.F.I.
    if _has(GUARDED, bare):
        if not _is_device(bare):
            remarks.append(
                "it speaks of GFCI, but not as a device of its own; add protection: device only if it is"
            )
        else:
            facts.append(("protection", "device"))
            remarks.append("protection: device because its words say GFCI")
    if _has(WET, said):
        facts.append(("weatherproof", True))
    return Guess("receptacle", tuple(facts), tuple(remarks))


def _is_device(said: str) -> bool:
    """Is GFCI what the symbol is, and not what some of its outlets have, by words that leave nothing open?"""
    if _has(DOUBTED, said):
        return False
    words = [word for word in re.split(r"[^A-Z0-9]+", said) if word]
    plain = all(MADE_OF.fullmatch(word) for word in words) and not _has(PLACED, said)
    return plain or IS_GUARDED.fullmatch(said) is not None


def _has(words: str, said: str) -> bool:
    return re.search(words, said) is not None
