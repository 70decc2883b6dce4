"""What the cells of a row say: circuits, poles, amperes, and the marks of GFCI and AFCI breakers.

A mark counts as a GFCI breaker only where it stands with the breaker (type, notes, breaker cells) and every word
beside it is understood, so that ``GFCI AT RECEPTACLE`` or ``GFCI BY OTHERS`` is a question; or where the
description itself speaks of the breaker and nothing in it takes that back (``GFCI BREAKER NOT REQUIRED``).  A
description like ``BATH GFCI RECEPTACLES`` tells of receptacles, not of the breaker, and makes the answer UNKNOWN.
GFPE and EPD (equipment protection) are no Class A protection.
"""

from __future__ import annotations

import re

from cordpath.circuits.denials import denies
from cordpath.circuits.panels.spoken import is_breakers_own, is_understood
from cordpath.model import Answer

_DUAL = r"DUAL[- ]?(?:FUNCTION|FUNC|FCN|FN)(?![A-Z])"
_GFCI = re.compile(rf"(?<![A-Z])(?:GFCI|GFI|GFCB|GF|AFGF|GFAF|DF|DFCI)(?![A-Z])|{_DUAL}|GROUND[- ]?FAULT CIRCUIT")
_AFCI = re.compile(
    rf"(?<![A-Z])(?:C?AFCI|C?AFI|AFGF|GFAF|DF|DFCI)(?![A-Z])|(?<![A-Z0-9])AF(?![A-Z])|{_DUAL}|ARC[- ]?FAULT"
)
# GF and DF alone, in a description, are as often the ground floor and the demand factor.
_SPOKEN = re.compile(
    r"(?<![A-Z])(?:GFCI|GFI|GFCB|AF ?/?GF|GF ?/?AF|DFCI)(?![A-Z])|DUAL[- ]?FUNCTION|GROUND[- ]?FAULT"
)
# May be a mark in a spelling that is not known: GFCIB, SPGFCI, GROUND FAULT, ARC FAULT/GROUND FAULT, DUAL; or GFCI
# of which one letter was read as another, or not at all, or put in: 6FCI, GFC1, GFC, GNFCI.
_MAYBE = re.compile(
    r"GFC?I|GROUND[- ]?FAULT|\bGND[- ]?FA?U?LT|\bDUAL\b"
    r"|\b(?!AFCI)(?:[A-Z0-9]FCI|G[A-Z0-9]CI|GF[A-Z0-9]I|GFC[A-Z0-9]|GFC|GCI|FCI)\b"
    r"|\b(?:G[A-Z0-9]FCI|GF[A-Z0-9]CI|GFC[A-Z0-9]I)\b"
)
_OF_BREAKER = re.compile(
    r"(?:GFCI|GFI|GFCB|DUAL[- ]?FUNCTION)(?: ?[/&] ?C?AFCI)?(?: TYPE)?"
    r"[- ]?(?:CIRCUIT )?(?:BREAKER|BKR|BRKR|CB|C/B)\b"
)
_TRIPS = re.compile(r"(\d+) ?-? ?M(?:ILLI)?A(?:MP\w*)?\b")
_EQUIPMENT = re.compile(r"\bEQUIP\w* (?:GROUND[- ]?FAULT )?PROT|PROT\w* OF EQUIP|\b(?:EPD|GFPE|GFEP|ELCI)\b")
LEAST_MA, MOST_MA = 4, 6  # a Class A device trips from 4 to 6 mA (UL 943); 30 mA protects equipment, not people
_CONDITION = re.compile(r"\b(?:IF|WHERE|WHEN|AS REQ\w*|OR|MAY|OPTION\w*|ALTERNATE|VERIFY|SEE|FUTURE|OTHERS)\b")
_RECEPTACLE = re.compile(
    r"(?:GFCI|GFI|GF)[- ]*(?:RECEPT\w*|REC|RCPT\w*|OUTLETS?|DEVICES?|DUPLEX)"
    r"|(?:RECEPT\w*|OUTLETS?|DEVICES?)\s+GFC?I"
)
_CODE = re.compile(r"\(?(?:\d{1,2}|G|D|X|A ?[/&]? ?G|G ?[/&]? ?A|\*+|†|‡|[•●■◆▲△])[.)]?(?:[, ]+\d{1,2}[.)]?)*")
_LETTERS = re.compile(r"G|D|A ?[/&]? ?G|G ?[/&]? ?A")  # of those, what may head a column of ticks
_FOOTED = re.compile(
    r"(?<=[A-Z)])\s*(?P<key>\(\d{1,2}\)|\[\d{1,2}\]|(?<=\s)\d{1,2}\)|\*{1,3}|†|‡)"
)  # a note to the mark before it
_SIGNS = re.compile(r"\*{1,3}|†|‡")
_NOTED = re.compile(rf"{_SIGNS.pattern}|(?:[(\[]|(?<=\s))\d{{1,2}}[)\]]$")
# A dot, ring or section sign of an office's own behind a size: not of ASCII, and no dash or ditto.
_DOTTED = re.compile(r"(?<=[\dAP]) ?(?:[^\w\s\x00-\x7F\u2010-\u2015\u2026\u2190-\u21FF†‡]|[ºª])$")
# A letter behind a size, or two of them: 20G, 20A-E, 20/1 (G), 20 A/G; A, F, K, P, V, W are units and frames.
_LETTERED = re.compile(
    r"(?P<size>\d+(?:[ /,-]*(?:A(?:MPS?)?|P(?:OLES?)?)|[ /,-]+\d+)*?)"
    r"[ -]*[(\[]?(?P<key>A[/&]?G|G[/&]?A|[B-EG-JL-OQ-UX-Z])[)\]]?"
)
_YES = frozenset({"X", "Y", "YES", "✓", "✔", "•", "●", "■", "√"})
PARTS = frozenset({"DUAL", "FUNCTION", "FAULT"})  # words of DUAL FUNCTION and GROUND FAULT that tell nothing else
_FACTOR = re.compile(r"\d?\.\d+|\d{1,3} ?%")  # of demand, which DF heads as well as dual function
_NO = frozenset({"", "N", "NO", "-", "--", "N/A", "NA", "NONE", "."})
REPEATS = frozenset({'"', "''", "//", "|", "||", "↓", "DITTO", "DO", "^"})  # signs that leave no doubt
DITTO = REPEATS | {"", "-", "--", "---", "----", "'", "...", "/", "\\", "}", "]", ")", ">"}

_CIRCUITS = re.compile(
    r"(?:(?P<panel>[A-Z][A-Z0-9]{0,3})[-.:])?(?P<first>\d{1,3}[A-Z]?)(?P<more>(?: ?[,/&+-] ?\d{1,3}[A-Z]?)*)"
)
_PAIR = re.compile(
    r"(?P<a>\d{1,4}) ?(?P<au>A|AMPS?|AT|P|POLES?)? ?[-/, ] ?(?P<b>\d{1,4}) ?(?P<bu>A|AMPS?|AT|P|POLES?)?"
)
_SINGLE = re.compile(r"(?P<v>\d{1,4}(?:\.\d)?) ?(?P<u>A|AMPS?|AT|P|POLES?)?")
_SIZE = re.compile(r"\d{2,3} ?(?:A|AMPS?)? ?[/-] ?[1-3] ?(?:P|POLES?)?(?![\dA-Z])")
_TWO_POLES = re.compile(r"[1-3] ?P? +[1-3] ?P?")
MOST_POLES = 3


def circuits(cell: str) -> tuple[str, ...]:
    """``("12",)``, ``("1", "3")`` of ``1,3`` or ``1-3``; empty where the cell names no circuit."""
    match = _CIRCUITS.fullmatch(_SIGNS.sub("", cell).strip(" ()[]#.,&/+-"))
    if match is None:
        return ()
    found = (match["first"], *re.findall(r"\d{1,3}[A-Z]?", match["more"]))
    return tuple(number.lstrip("0") or "0" for number in found)


def panel_of(cell: str) -> str | None:
    """The panel that a circuit number names: ``B`` of ``B-1``."""
    match = _CIRCUITS.fullmatch(cell.strip(" ()[]#.,&/+-"))
    return match["panel"] if match is not None else None


def breaker(amperes: str, poles: str) -> tuple[float | None, int | None]:
    """Amperes and poles of the two cells, also of ``20/1``, ``1P-20A``, ``20A-2P`` in one of them."""
    first, first_poles = _numbers(amperes)
    second, second_poles = _numbers(poles)
    if second_poles is None and second is not None and second <= MOST_POLES:
        second_poles = int(second)
    return first, second_poles if second_poles is not None else first_poles


def tell_of_two(amperes: str, poles: str) -> bool:
    """Are there two breakers in the cells: ``20/1 15/1``, or ``1 1`` under POLES?"""
    return len(_SIZE.findall(amperes)) > 1 or _TWO_POLES.fullmatch(poles) is not None


def _numbers(cell: str) -> tuple[float | None, int | None]:
    text = re.sub(_GFCI, " ", re.sub(_AFCI, " ", _NOTED.sub(" ", cell))).strip(" -/,")
    text = _DOTTED.sub("", text)
    text = found["size"].strip(" -/,") if (found := _LETTERED.fullmatch(text)) else text
    if match := _PAIR.fullmatch(text):
        a, b = int(match["a"]), int(match["b"])
        a_is_poles = (match["au"] or "").startswith("P") or (match["bu"] or "").startswith("A")
        if a_is_poles or (a <= MOST_POLES < b):
            a, b = b, a
        # 100/50: frame and trip, and no frame is smaller than its trip (common practice, no source).
        return float(min(a, b) if b > MOST_POLES else a), b if 1 <= b <= MOST_POLES else None
    if match := _SINGLE.fullmatch(text):
        value = float(match["v"])
        return (None, int(value)) if (match["u"] or "").startswith("P") else (value, None)
    return None, None


def gfci(breaker_cells: str, notes: str, description: str, column: str | None) -> Answer:
    """Is the breaker of the row marked GFCI?  ``column`` is the cell of a column headed GFCI, None without one."""
    beside = f"{breaker_cells} {notes}".replace(".", "")
    if column is not None:
        ticked = _ticked(column, _GFCI)
        if ticked is not Answer.NO:
            return ticked
        if says_no(column) and _GFCI.search(beside):
            return Answer.UNKNOWN  # the two cells contradict each other
    if _GFCI.search(beside):
        return Answer.YES if _is_plain(beside) or speaks_of_breaker(beside) else Answer.UNKNOWN
    if _MAYBE.search(beside) and not _EQUIPMENT.search(beside):
        return Answer.UNKNOWN
    if _SPOKEN.search(description.replace(".", "")):
        return Answer.YES if speaks_of_breaker(description) else Answer.UNKNOWN
    return Answer.UNKNOWN if is_code(notes) else Answer.NO


def afci(breaker_cells: str, notes: str, description: str, column: str | None) -> Answer:
    """Is the breaker of the row marked AFCI?"""
    if column is not None and (ticked := _ticked(column, _AFCI)) is not Answer.NO:
        return ticked
    if _AFCI.search(f"{breaker_cells} {notes}".replace(".", "")):
        return Answer.YES
    if re.search(r"(?<![A-Z])C?AFCI(?![A-Z])|ARC[- ]?FAULT", description):
        return Answer.UNKNOWN
    return Answer.UNKNOWN if is_code(notes) else Answer.NO


def speaks_of_gfci(text: str) -> bool:
    """Is there anything in a text that may be a GFCI mark?"""
    return _GFCI.search(text.replace(".", "")) is not None


def may_be_mark(text: str, *, ticked: bool) -> bool:
    """May a word be a GFCI mark or a part of one?  ``ticked``: ticks are, in a table with a column headed GFCI."""
    return speaks_of_gfci(text) or text in PARTS or (ticked and is_yes(text))


def is_yes(cell: str) -> bool:
    """Is a cell a tick?"""
    return cell.strip(" ()").replace(".", "") in _YES


def is_mark(text: str) -> bool:
    """Is a text nothing but marks of GFCI and AFCI breakers?"""
    bare = text.upper().replace(".", "")
    return bool(_GFCI.search(bare) or _AFCI.search(bare)) and not re.search("[A-Z0-9]", beside_mark(bare))


def is_tick(cell: str) -> bool:
    """Is a cell of a column of its own ticked or left out, without a word of what the column is for?"""
    return cell.strip(" ()").replace(".", "") in _YES | _NO


def speaks_of_breaker(text: str) -> bool:
    """Does a note plainly ask for a GFCI breaker, without condition, denial or words that are not understood?"""
    bare = text.replace(".", "")
    return (
        _OF_BREAKER.search(bare) is not None
        and not _spoilt(bare)
        and _RECEPTACLE.search(bare) is None
        and _CONDITION.search(bare) is None
        and is_understood(bare, _OF_BREAKER)
    )


def may_take_back(note: str, *, its_own: bool = False) -> bool:
    """May a note to a row take back the GFCI mark of its breaker, or speak of it in a way that is not clear?

    ``its_own``: the note explains the mark itself, as in ``GF: GROUND FAULT CIRCUIT INTERRUPTER``; one that speaks
    of no ground fault has another meaning for it, as ``GF: GROUND FLOOR`` and ``DF: DEMAND FACTOR``.
    """
    bare = note.replace(".", "")
    if its_own:
        return _spoilt(bare) or not (speaks_of_gfci(bare) or _MAYBE.search(bare))
    return _spoilt(bare) or (speaks_of_gfci(bare) and not speaks_of_breaker(bare))


def explains_mark(mark: str, note: str) -> bool:
    """Does a note say no more than a mark of GFCI breakers: ``GF: GROUND FAULT CIRCUIT INTERRUPTER``?"""
    return is_mark(mark) and speaks_of_gfci(mark) and speaks_of_gfci(note) and _is_plain(note.replace(".", ""))


def may_head_ticks(head: str) -> bool:
    """May the header of a column that is not known be for GFCI: ``G``, ``DF``, ``DUAL FUNCTION``?"""
    bare = head.strip(" ()[]#").replace(".", "")
    return speaks_of_gfci(bare) or _MAYBE.search(bare) is not None or _LETTERS.fullmatch(bare) is not None


def is_code(notes: str) -> bool:
    """A key to a note or an unexplained letter: may stand for GFCI or for anything else."""
    return bool(notes.strip()) and _CODE.fullmatch(notes.strip()) is not None


def beside_mark(text: str) -> str:
    """What stands beside the GFCI and AFCI marks of a cell."""
    return _AFCI.sub(" ", _GFCI.sub(" ", text.replace(".", ""))).strip()


def foot_keys(text: str) -> tuple[str, ...]:
    """The keys of notes to a mark, as in ``GFCI (1)`` and ``GFCI*``: such a note may take the mark back."""
    return tuple(match["key"].strip("()[]") for match in _FOOTED.finditer(text))


def signs(text: str) -> tuple[str, ...]:
    """The signs of notes in a cell: ``*`` of ``BATH RECEPTS *``, ``20*`` and ``7*``."""
    return tuple(_SIGNS.findall(text))


def behind_size(cell: str) -> str:
    """The letter or sign of an office's own behind the size of a breaker: ``G`` of ``20G``, ``●`` of ``20 ●``."""
    if dot := _DOTTED.search(cell.strip()):
        return dot[0].strip()
    found = _LETTERED.fullmatch(cell.strip())
    return found["key"] if found is not None else ""


def may_be_sign(key: str) -> bool:
    """May a mark behind a size be GFCI: no letter but those of a code, or an ``O``, as which a ring is read?"""
    return not key.isalpha() or key in "Oº" or is_code(key)


def is_no(cell: str) -> bool:
    """Is a cell of a column of its own left out, in a word or in none?"""
    return cell.strip(" ()").replace(".", "") in _NO


def says_no(cell: str) -> bool:
    """Does the cell of a column say no outright, rather than nothing?"""
    return bool(re.search("[A-Z]", cell)) and is_no(cell)


def _spoilt(text: str) -> bool:
    """Does a text take its mark back, or speak of another trip than that of Class A?"""
    trips = any(not LEAST_MA <= int(found[1]) <= MOST_MA for found in _TRIPS.finditer(text))
    return trips or denies(text) or _EQUIPMENT.search(text) is not None


def _is_plain(text: str) -> bool:
    """Is there nothing beside the marks but words that leave them what they are?"""
    if _spoilt(text):
        return False
    return is_breakers_own(_AFCI.sub(" ", _GFCI.sub(" ", text)))


def _ticked(cell: str, mark: re.Pattern[str]) -> Answer:
    """Is a cell of a column of its own ticked, or does it name what the column is for?"""
    text = cell.strip(" ()").replace(".", "")
    if text in _YES or (mark.search(text) and _is_plain(cell.replace(".", ""))):
        return Answer.YES
    return Answer.NO if text in _NO or _FACTOR.fullmatch(cell.strip()) else Answer.UNKNOWN
