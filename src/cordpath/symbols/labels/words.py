"""What a text beside a symbol says: the user's own entries first, then the trade's usual abbreviations.

The abbreviations and their meanings are common practice, no source: offices differ, and a mapping file overrides
each of them.  Nothing here is guessed from part of a text: a run of words sets protection only where every word of
it is understood, so that ``NO GFI`` never counts as protected.

Terms: *run*, words that are read as one text.  *Token*, a part of a run between spaces, commas and slashes.
*Tag*, the circuit that an outlet hangs on, as written: ``A-12``, ``LP1-7``, ``A-12,14``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from cordpath import units
from cordpath.model import CIRCUIT_WORD, LabelEntry
from cordpath.symbols.mapping_file import patterns

Sets = tuple[tuple[str, Any], ...]
Class = Literal["protection", "circuit", "number", "serves", "fact", "known", "other"]

LONGEST_RUN = 28  # characters; a longer text is a note and belongs to no single symbol
LONGEST_RAW = 64  # characters of a text that is remembered: spaces and fractions written out make a run longer
KEPT = 8192  # texts remembered: sheets of a set, and stages that read one text, ask for the same ones again
MOST_TOKENS = 5
LEAST_HEIGHT_IN = 36  # from here on a bare number beside GFI is a height: lists have fewer keys (common practice)
HIGHEST_CIRCUIT = 84  # poles of the largest common panelboard (from memory); greater numbers are something else


@dataclass(frozen=True)
class Reading:
    """A run understood.  ``kind`` is the class of its weightiest fact; ``panel`` the panel part of a circuit tag;
    ``own`` True where the user's own entry explained it; ``doubt`` the words that were not understood; ``loose``
    bare numbers beside other words, each a circuit or the key of a note.
    """

    sets: Sets
    kind: Class
    panel: str | None = None
    own: bool = False
    doubt: tuple[str, ...] = ()
    loose: tuple[str, ...] = ()

    @property
    def mixed(self) -> bool:
        """Two circuits, or two heights: labels of neighbours that stand side by side were read as one."""
        return any(len({v for k, v in self.sets if k == name}) > 1 for name in ("circuit", "height_in"))


_FACTS: tuple[tuple[str, Sets], ...] = (
    (r"GFI|GFCI|GF|G\.F\.I\.?|G\.F\.C\.I\.?", (("protection", "device"),)),
    (r"(?:WP|W\.P\.)[-+.]?GFC?I|GFC?I[-+.]?(?:WP|W\.P\.?)", (("protection", "device"), ("weatherproof", True))),
    (r"(?:TR|WR)[-+.]?GFC?I|GFC?I[-+.]?(?:TR|WR)", (("protection", "device"),)),
    (r"WP|W\.P\.?|WEATHERPROOF", (("weatherproof", True),)),
    (r"DW|D\.W\.?|DISHW\.?|DISH ?WASHER", (("serves", "dishwasher"),)),
    (r"REF|REFR|REFRIG\.?|FRIDGE|REFRIGERATOR|REF\.", (("serves", "refrigerator"),)),
    (r"DISP\.?|GD|DISPOSAL|DISPOSER", (("serves", "disposer"),)),
    (r"W|WASHER|CW", (("serves", "washer"),)),
    (r"D|(?:CLOTHES )?DR[YI]ER", (("serves", "dryer"),)),
    (r"MW|M/W|MWO|M\.W\.?|MICRO|MICROWAVE(?: OVEN)?", (("serves", "microwave"),)),
    (r"WH|W\.H\.?|EWH", (("serves", "water heater"),)),
    (r"GDO|G\.D\.O\.?", (("serves", "garage door opener"),)),
    (r"SP|SUMP|SUMP PUMP", (("serves", "sump pump"),)),
    (r"EV|EVSE|EV CHARGER", (("serves", "electric vehicle"),)),
    (r"AC|A/C|A\.C\.?|COND\.?", (("serves", "air conditioner"),)),
    (r"FURN\.?|FURNACE|FAU", (("serves", "furnace"),)),
    (r"R|RANGE|RNG|STOVE", (("serves", "range"),)),
    # Whatever else the rules ask about: unread, these words would clear an outlet that one of them is about.
    (r"OVEN", (("serves", "oven"),)),
    (r"(?:WALL|DBL\.?|DOUBLE|STEAM|SPEED) OVENS?", (("serves", "wall oven"),)),
    (r"COOK[ -]?TOP|CKTP|RANGE ?TOP", (("serves", "cooktop"),)),
    (r"WARMING DRAWER", (("serves", "warming drawer"),)),
    (r"(?:SEWAGE )?EJECTOR(?: PUMP)?", (("serves", "ejector pump"),)),
    (r"(?:DRINKING )?WATER COOLER", (("serves", "water cooler"),)),
    (r"DRINKING (?:FOUNTAIN|FTN\.?)", (("serves", "drinking fountain"),)),
    (r"WHIRLPOOL(?: TUB)?|JACUZZI|(?:JETTED|HYDRO(?:MASSAGE)?) TUB", (("serves", "whirlpool"),)),
    (r"(?:HEATED|RADIANT) FLOOR|FLOOR HEAT(?:ING)?", (("serves", "heated floor"),)),
    (r"POOL PUMP", (("serves", "pool pump"),)),
    (r"HOT TUB|SPA", (("serves", "hot tub"),)),
    (r"BOAT (?:LIFT|HOIST)", (("serves", "boat lift"),)),
    (r"\(E\)|EXIST\.?|EXISTING", (("status", "existing"),)),
    (r"\(N\)|NEW", (("status", "new"),)),
    (r"\(?DEMO\.?\)?", (("status", "demolished"),)),
    # Receptacle configurations of NEMA WD 6 for 125/250 V and 250 V, from memory.
    (r"L?(?:6|10|14)-(?:15|20|30|50|60)R?", (("volts", 240.0),)),
    (r"L?5-(?:15|20|30)R?", (("volts", 125.0),)),
)  # fmt: skip
_KNOWN = (
    r"WR|TR|W\.R\.?|T\.R\.?|IN USE|IN-USE|TYP\.?|U\.?N\.?O\.?|CTR\.?|@|AT|@ ?(?:CTR\.?|COUNTER)|ABV\.?|ABOVE"
    r"|COUNTER|BELOW"
    r"|U\.?C\.?|FLR\.?|FLOOR|CLG\.?|CEILING|1/2 HOT|HALF HOT|SPLIT|SW\.?|SWITCHED|DED\.?|DEDICATED|AFF|A\.F\.F\.?"
    r"|AFCI|AFI|ARC-?FAULT|DUPLEX|QUAD|USB|TV|RECEPT?\.?|OUTLET|CKT\.?|CIRCUIT|\(2\)|WITH"
)
_INCHES = re.compile(r'(\d{2,3})"')
_VOLTS = re.compile(r"(\d{3})(?:/\d{3})? ?V(?:OLTS?|AC?)?\.?")
_AMPERES = re.compile(r"(\d{2,3}) ?(?:A|AMPS?)\.?")
_HEIGHT = re.compile(
    r"(?:\+|@ ?\+?) ?(?P<signed>[^A-Z+@]{1,12}?) ?(?:A\.?F\.?F\.?)?|(?P<aff>[^A-Z+@]{1,12}?) ?A\.?F\.?F\.?"
)
_TAG = re.compile(
    r"(?P<open>\()?(?P<panel>[A-Z]{1,3}\d{0,2}|\d{1,2}(?=-)) ?(?P<sign>[-/:.]) ?"
    r"(?P<numbers>\d{1,2}(?:[,/](?:(?P=panel)-)?\d{1,2}){0,2})\)?"
)
_SHORT_TAG = re.compile(r"(?P<open>\()?(?P<panel>[A-Z]{1,2})(?P<numbers>\d{1,2}(?:,\d{1,2}){0,2})(?P<close>\))?")
# A circuit of a panel that a digit names, as 2/14, 1.5 or 112: only the panels of the sheets can tell (texts.py)
_OF_DIGIT = re.compile(r"(?P<open>\()?(?P<panel>\d{1,2}(?=[/.:])|\d(?=\d\d\)?$))[/.:]?(?P<numbers>\d{1,2})\)?")
_BARE = re.compile(r"\(?#?(?P<numbers>\d{1,2}(?:,\d{1,2}){0,2})\)?")
_FACT_RE = re.compile("|".join(f"({pattern})" for pattern, _ in _FACTS))  # a group each: no fact has one of its own
_KNOWN_RE = re.compile(_KNOWN)
_HALVES = re.compile(r"\bSPLIT\b|\bHALF\b|(?<!\d )1/2 (?:HOT|SW)")
# Switches (S3), risers, radii, thermostats: panels only where the sheet names them.
SELDOM_PANELS = frozenset({"S", "SD", "R", "T"})
_SELDOM = SELDOM_PANELS.union(map(str, range(100)))  # 1-5 may be notes 1 to 5
# GFI misspelt, or with something to it that may be a note, a plural or a denial: it may protect, a question.
_ODD_MARK = re.compile(
    r"[(\[<]?GFC?I(?:'?S)?[)\]>]?[*?]*(?:[^A-Z0-9\s/,;&][A-Z0-9]+)?|\d{0,2}(?:GFC?I|GCFI|GFIC)\d{0,2}|AF/?GF|GF/?AF"
    r"|(?:[CT]/|[A-Z])GFC?I|AFC?I[^A-Z0-9\s/,;&]GFC?I"  # XGFI may be one that is taken out
    r"|(?:G\.?F\.?(?:C\.?)?I[.,]*){2}"  # of two outlets side by side
    r"|GFC?I[#(\[<{].{1,4}|@ ?GFC?I|DUAL[ -]?FUNC(?:TION)?"
    # with any sign before, after or between: 1-GFI, G-F-I; or one in place of an unknown letter
    r"|\d{0,2}[^A-Z0-9 ]*G[^A-Z0-9 ]?F[^A-Z0-9 ]?(?:C[^A-Z0-9 ]?)?I[^A-Z0-9 ]*\d{0,2}"
    r"|[^A-Z0-9 ]FC?I|G[^A-Z0-9 ]C?I|GFC?[^A-Z0-9 ]|GFC?[L1]|\ufffd{3,4}"  # as many letters as GFI and GFCI have
)
_MARK = re.compile(r"(?:GFC?I|G\.F\.(?:C\.)?I\.?|GF)[.,:;]*")
_PLACE = re.compile(r"BELOW|BLW\.?|ABOVE|ABV\.?")  # of the device or of another, unless of a counter or a floor
_OF_COUNTER = re.compile(r"CTR\.?|COUNTER|CNTR\.?")
_OF_PLACE = re.compile(rf"{_OF_COUNTER.pattern}|FLR\.?|FLOOR|A\.?F\.?F\.?")
_CIRCUIT = re.compile(CIRCUIT_WORD)
_TO = re.compile(r"@|AT")
_SINGLY = re.compile(r"[A-Z](?: [A-Z])+")
_SPOKEN = re.compile("GFC?I")
_STOPS = ".,:;"  # after a label, as after words of a sentence
_WITH = re.compile(r"\bW/(?=\s|(?!DR)[A-Z]{2})")  # W/ USB; not W/D and W/DRYER, washer and dryer, nor W/H, W/O


def read(text: str, entries: tuple[LabelEntry, ...]) -> Reading | None:
    """What the run says, or None where none of its words is understood (or it is too long for a label)."""
    return _known(text, entries) if len(text) <= LONGEST_RAW else _read(text, entries)


@lru_cache(maxsize=KEPT)
def _known(text: str, entries: tuple[LabelEntry, ...]) -> Reading | None:
    return _read(text, entries)


def _read(text: str, entries: tuple[LabelEntry, ...]) -> Reading | None:
    run = units.plain(text)
    if not run or len(run) > LONGEST_RUN:
        return None
    whole = _token(run, text.strip(), entries) or _spaced_out(run, entries)
    if whole is not None:
        return whole
    together = re.sub(r"([@+]) ", r"\1", _WITH.sub("WITH ", run.replace("IN USE", "IN-USE")))
    together = re.sub(r"(?<![A-Z.]) ?(A\.?F\.?F\.?)(?![A-Z])", r"\1", together)
    tokens = [token for token in re.split(r"[\s/,;&]+", together) if token]
    if not 1 < len(tokens) <= MOST_TOKENS:
        return None
    readings = [_token(token, token, entries) for token in tokens]
    if any(reading is not None and reading.kind == "protection" for reading in readings):
        readings = [reading or _height(token) for token, reading in zip(tokens, readings, strict=True)]
    return _joined(tokens, readings)


def _height(token: str) -> Reading | None:
    """Inches beside a mark, GFI 42", are its height; by themselves they are as often a dimension."""
    match = _INCHES.fullmatch(token)
    return Reading((("height_in", float(match[1])),), "fact") if match else None


def closed_up(text: str) -> str:
    """The plain text, without the spaces of letters that stand one by one: N O."""
    run = units.plain(text)
    return run.replace(" ", "") if _SINGLY.fullmatch(run) else run


def _spaced_out(run: str, entries: tuple[LabelEntry, ...]) -> Reading | None:
    """G F I; N O G F I may be a mark, or speak of one.  Of two letters each may be a mark: W D."""
    letters = closed_up(run)
    if letters == run and _SPOKEN.fullmatch(run.replace(" ", "")) and " " in run:
        return _may_protect(run)  # GFC I, as spaced letters come in pieces
    if letters == run or len(letters) < 3:
        return None
    return _token(letters, letters, entries) or (_may_protect(run) if _SPOKEN.search(letters) else None)


def _may_protect(run: str) -> Reading:
    return Reading((("protection", "device"),), "protection", doubt=(run,))


def _joined(tokens: list[str], readings: list[Reading | None]) -> Reading | None:
    understood = [reading for reading in readings if reading is not None and reading.kind != "number"]
    if not any(reading.kind != "known" for reading in understood):
        return None
    doubt = tuple(
        token for token, reading in zip(tokens, readings, strict=True)
        if reading is None or reading.doubt or (reading.kind == "number" and reading.panel in _SELDOM)
    )  # fmt: skip
    sets = tuple(fact for reading in understood for fact in reading.sets)
    if ("protection", "device") in sets:
        doubt += tuple(token for token in tokens if is_of_halves(token)) + elsewhere(tuple(tokens))
    weightiest = min(understood, key=lambda reading: ORDER[reading.kind])
    panel = next((reading.panel for reading in understood if reading.panel), None)
    loose = tuple(token for token in tokens if weightiest.kind != "circuit" and _is_loose(token))
    return Reading(sets, weightiest.kind, panel, any(reading.own for reading in understood), doubt, loose)


def elsewhere(tokens: tuple[str, ...]) -> tuple[str, ...]:
    """Words beside a mark that send it to another place: GFCI BELOW, AT GFI, ON GFI CKT; not GFI ABOVE COUNTER."""
    found: list[str] = []
    for before, token, after in zip(("", *tokens), tokens, (*tokens[1:], ""), strict=False):
        aside = _PLACE.fullmatch(token) and not (_OF_PLACE.fullmatch(after) or _OF_COUNTER.fullmatch(before))
        fed = _CIRCUIT.fullmatch(token) and (_MARK.fullmatch(before) or _MARK.fullmatch(after))
        numbered = after.isdigit() or _tagged(after) is not None
        to_mark = _TO.fullmatch(token) and _MARK.fullmatch(after)
        # R or D beside a mark is removed and demolished as often as a range and a dryer; +1 is one more device.
        going = token in ("R", "D") or re.fullmatch(r"\+\d", token)
        ground = token in ("FLR", "FLR.", "FLOOR") and before == "GF"
        if aside or (fed and not numbered) or to_mark or going or ground:
            found.append(token)
    return tuple(found)


def is_of_halves(text: str) -> bool:
    """Does a text speak of a receptacle whose halves are fed apart?

    A GFCI device cannot be parted so (common practice, no source): its mark there is of one half, or of a breaker.
    """
    return _HALVES.search(units.plain(text)) is not None


def _is_loose(token: str) -> bool:
    """Is a token a bare number that may be a key as well as a circuit, and no height in inches?"""
    match = _BARE.fullmatch(token)
    return match is not None and token != "(2)" and int(match["numbers"].split(",")[0]) < LEAST_HEIGHT_IN


ORDER: dict[Class, int] = {
    "protection": 0, "circuit": 1, "serves": 2, "fact": 3, "number": 4, "known": 5, "other": 6,
}  # fmt: skip


def class_of(sets: Sets) -> Class:
    """The weightiest thing that a set of facts tells: what the label competes for."""
    names = {name for name, _ in sets}
    for name in ("protection", "circuit", "serves"):
        if name in names:
            return name
    return "fact" if names else "known"


def _token(run: str, raw: str, entries: tuple[LabelEntry, ...]) -> Reading | None:
    for entry in entries:
        if patterns.matches(entry.pattern, raw) or patterns.matches(entry.pattern, run):
            return Reading(entry.sets, class_of(entry.sets), own=True)
    if (match := _FACT_RE.fullmatch(run) or _FACT_RE.fullmatch(run.rstrip(_STOPS))) and match.lastindex:
        sets = _FACTS[match.lastindex - 1][1]
        return Reading(sets, class_of(sets))
    if _KNOWN_RE.fullmatch(run):
        return Reading((), "known")
    if _ODD_MARK.fullmatch(run.rstrip(_STOPS)):
        return Reading((("protection", "device"),), "protection", doubt=(run,))
    return _measured(run) or _tagged(run)


def _measured(run: str) -> Reading | None:
    if (match := _VOLTS.fullmatch(run)) and 100 <= float(match[1]) <= 600:
        return Reading((("volts", float(match[1])),), "fact")
    if (match := _AMPERES.fullmatch(run)) and 10 <= float(match[1]) <= 200:
        return Reading((("amperes", float(match[1])),), "fact")
    if match := _HEIGHT.fullmatch(run):
        written = (match["signed"] or match["aff"]).strip()
        height = units.inches(written)
        if height is None and re.fullmatch(r"\d{1,3}", written):
            height = float(written)  # +42: inches are understood
        if height is not None and 0 <= height <= 240:
            return Reading((("height_in", height),), "fact")
    return None


def _tagged(run: str) -> Reading | None:
    called = _CIRCUIT.match(run)
    run = run[called.end() :] if called else run
    match = _TAG.fullmatch(run) or _SHORT_TAG.fullmatch(run) or _BARE.fullmatch(run) or _OF_DIGIT.fullmatch(run)
    if match is None:
        return None
    panel = match.groupdict().get("panel")
    dashed = match.re is _TAG and match["sign"] == "-"
    numbers = [int(part) for part in re.findall(r"\d+", match["numbers"].replace(f"{panel}-", ""))]
    if (panel in SELDOM_PANELS and not dashed) or not all(0 < number <= HIGHEST_CIRCUIT for number in numbers):
        return None
    circuits = ",".join(str(number) for number in numbers)
    tag = f"{panel}-{circuits}" if panel else circuits
    tag = run.strip("()") if match.re is _OF_DIGIT and run.strip("()").isdigit() else tag
    # Letters with digits and no dash (B2, W1) are as often door, window or fixture marks: see texts.py.
    alone = match.re is _SHORT_TAG and match["open"] and match["close"]
    sure = (called or dashed or alone) and panel not in _SELDOM
    return Reading((("circuit", tag),), "circuit" if sure else "number", panel)
