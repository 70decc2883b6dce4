"""What the columns of a panel schedule are called, and what the panel is called.

The vocabulary is common practice of US panel schedules, no single source: circuit, description, poles, breaker
amperes, type or notes; panel identification above.
"""

from __future__ import annotations

import re
from typing import Literal

Column = Literal["circuit", "description", "poles", "amperes", "notes", "gfci", "afci", "ignore"]

_OF_CIRCUIT = r"(?:CKT|CCT|CIR|CIRC|CIRCUIT|BRANCH CIRCUIT)S?"
_CIRCUIT = rf"{_OF_CIRCUIT}(?: ?(?:NO|NUM|NUMBER|NOS))?"
_BREAKER = r"(?:BKR|BRKR|BREAKER|CIRCUIT BREAKER|CB|C/B|OCP|OCPD|OVERCURRENT|DEVICE)"
_AMPS = r"(?:A|AMPS?|AMPERES?|TRIP|TRIP AMPS?|RATING|SIZE|FRAME/TRIP)"
_POLES = r"(?:P|POLES?)"
_GF, _AF = r"(?:GFCI|GFI|GF)", r"(?:C?AFCI|AFI|AF)"
_IGNORED = (
    r"(?:CONN(?:ECTED)? )?(?:LOAD )?(?:K?VA|WATTS?|W|KW)(?: LOAD)?|LOAD (?:IN )?(?:K?VA|WATTS?|TYPE|CLASS|CODE)"
    r"|(?:WIRE|COND|CONDUIT|CONDUCTORS?|FEEDER|NEUT|NEUTRAL|GND|GRD|GROUND|BUS|DEMAND)\b.*"
    r"|PH|PHASE|PH?(?:ASE)? ?[ABC]|L[123]|VOLTS?|V|QTY|AWG|VOLTAGE|LENGTH|VD"
)
_NOTES = (
    r"(?:NOTES?|REMARKS?|COMMENTS?|OPTIONS?|ACCESS(?:ORIES)?|FEATURES?)|PROT(?:ECT(?:ION)?)?(?: TYPE)?"
    rf"|(?:(?!DEVICE){_BREAKER} )?(?:TYPE|NOTES?|{_GF} ?[/&] ?{_AF}|{_AF} ?[/&] ?{_GF})"
)
_AMPERES = rf"{_BREAKER}(?: ?{_AMPS})?(?: ?[/-] ?{_POLES})?|{_AMPS}(?: ?[/-] ?{_POLES})?|{_POLES} ?[/-] ?{_AMPS}"
_DESCRIPTION = (
    rf"(?:(?:{_OF_CIRCUIT}|LOAD) )?(?:DESCRIPTION|DESC|DESIGNATION)S?(?: OF (?:LOADS?|CIRCUITS?))?"
    r"|LOADS?(?: SERVED)?|SERV(?:ES|ING|ED|ICE)|AREAS? SERVED|USE|OUTLETS?|EQUIPMENT(?: SERVED)?"
    rf"|{_OF_CIRCUIT} (?:NAME|USE|LOAD)|NAME"
)
_KINDS: tuple[tuple[Column, str], ...] = (
    ("ignore", _IGNORED),
    ("gfci", rf"(?:{_GF}|DF|DUAL[- ]?FUNC(?:TION)?)(?: (?!DEVICE){_BREAKER})?"),
    ("afci", rf"{_AF}(?: {_BREAKER})?"),
    ("notes", _NOTES),
    ("amperes", _AMPERES),
    ("poles", rf"(?:(?:NO|NUM|NUMBER)? ?(?:OF )?|{_BREAKER} ){_POLES}"),
    ("description", _DESCRIPTION),
    ("circuit", rf"{_CIRCUIT}|NO|NUM|NUMBER"),
)
_PATTERNS = tuple((kind, re.compile(pattern)) for kind, pattern in _KINDS)

_PANEL = r"(?:PANEL(?: ?BOARD)?S?|PNL|LOAD ?CENTER|SUB-?PANEL|DB|D/B|DISTRIBUTION BOARD)"
_BEFORE = (
    r"(?:(?:NEW|EXISTING|EXIST|N|E|MAIN|SUB|ELECTRICAL|ELEC|DISTRIBUTION|SERVICE|LIGHTING|SCHEDULE|OF|FOR|THE) )*"
)
_HEADING = re.compile(rf"(?P<before>{_BEFORE}){_PANEL}\b ?(?P<after>.*)")
_FILLER = frozenset((
    "SCHEDULE", "SCHED", "SCHED.", "NAME", "ID", "DESIGNATION", "MARK", "NO", "NUMBER", "TAG", "FOR", "OF", "THE",
    "PANEL", "PANELBOARD", "IS", "NO.",
))  # fmt: skip
_CONTINUED = re.compile(r"\bCONT(?:['’ ]?D|INUED|\.)?(?![A-Z0-9])(?: (?:FROM|ON) \S+)?")
_RATING = re.compile(
    r"\d{2,4} ?(?:A|AMPS?|V|VOLTS?)|\d ?(?:P|PH|W|PHASE|WIRE)|\d+/\d+V?|MCB|MLO|VOLT\w*|LOCATION|MAINS?|BUS"
    r"|MOUNT\w*|SURFACE|FLUSH|RECESSED|LOC|PHASE|WIRE|NEW|EXISTING|SPACES?|CIRCUITS?"
)
_RATED = re.compile(
    r"(?:\d[\d/,.]* ?(?:K?A|K|AMPS?|V|VOLTS?|PH|PHASE|W|WIRE)\b[ ,]*)+(?:(?:K?AIC|MCB|MLO|MAINS?|BUS|SYM)[ ,]*)*"
)
_NAME = re.compile(r"[A-Z0-9]{1,6}(?:[-.][A-Z0-9]{1,4})?")
_SEVERAL = re.compile(rf"{_NAME.pattern}(?: ?(?:&|AND|\+|/) ?{_NAME.pattern})+(?!\S)")  # one table for A & B
_BESIDE = frozenset({"NOTE", "NOTES", "LEGEND", "KEY"})  # PANEL SCHEDULE NOTES: of no panel
_TITLE_WORDS = 14  # a heading with ratings behind the name still has fewer words; a sentence has more


def column(text: str) -> Column | None:
    """The kind of column that a header text names, or None."""
    bare = re.sub(r"\b([A-Z])\.(?=[A-Z]\b)", r"\1", text)  # G.F.C.I. is GFCI
    bare = re.sub(r"[.:()\[\]]", " ", bare).replace("#", " NO ")
    bare = re.sub(r"\s+", " ", bare).strip()
    return next((kind for kind, pattern in _PATTERNS if pattern.fullmatch(bare)), None)


def is_strong(text: str) -> bool:
    """Does the header name circuits outright, and not only ``NO.``?"""
    return re.search(r"\b(?:CKT|CCT|CIR|CIRC|CIRCUIT)", text) is not None


def panel_name(text: str) -> str | None:
    """The name in a panel heading, "" for a heading without one, None for any other text.

    Of several panels all names: it is none of them alone.

    ``PANEL A``, ``PANEL 'LP1' SCHEDULE``, ``PANEL SCHEDULE: A``, ``PANELBOARD LP-1  120/240V``, ``MAIN PANEL``.
    """
    bare = re.sub(r"[\"'“”():;,#]|(?<!\w)[-–]|[-–](?!\w)|(?<=\bPNL)\.", " ", _CONTINUED.sub(" ", text))
    bare = re.sub(r"\s+", " ", bare).strip()
    match = _HEADING.fullmatch(bare)
    if match is None or len(bare.split()) > _TITLE_WORDS:
        return None
    tokens = [token for token in match["after"].split() if token not in _FILLER]
    if tokens and tokens[0] in _BESIDE:
        return None
    if tokens and not _RATING.fullmatch(tokens[0]):
        names = " ".join(tokens)
        if (several := _SEVERAL.match(names)) is not None:
            return several[0]
        return tokens[0] if _NAME.fullmatch(tokens[0]) else None
    before = match["before"].split()
    return next((word for word in ("MAIN", "SUB") if word in before), "")


def is_rating(text: str) -> bool:
    """Does the text say what the panel is rated, as a line between its title and its headers: 200A MCB, 22K AIC?"""
    return _RATED.fullmatch(text) is not None


def is_titled(text: str) -> bool:
    """A heading that promises a table, and not a name beside a panel on the plan."""
    return "SCHED" in text and panel_name(text) is not None
