"""Lengths and scale notes as people write them: inches and fractions, feet-and-inches, metres, 1/4" = 1'-0".

Terms: *ratio*, real length over drawn length (48 for 1/4" = 1'-0").  *Paper*, the sheet size for which a note says
it is true (``@ 24x36``): on another size of the same shape the ratio changes with the size.

Every parser returns None for text that is not wholly the thing asked for, so that a caller can try the next
reading; none of them guesses.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

INCHES_PER_METRE = 39.37007874015748  # exact: 1 in = 25.4 mm (international yard and pound agreement, 1959)
INCHES_PER_FOOT = 12.0

_PRIMES = str.maketrans({"’": "'", "‘": "'", "′": "'", "`": "'", "´": "'", "ʹ": "'", "ʼ": "'", "‛": "'",
                         "”": '"', "“": '"', "″": '"', "ʺ": '"', "˝": '"', "‟": '"',
                         "〞": '"', "＂": '"', "＇": "'",
                         "–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "‒": "-", "⁄": "/", "∕": "/",
                         "＝": "=", "×": "X", "\u00a0": " ", "\u2009": " ", "\u202f": " "})  # fmt: skip
# Letters that look like capitals of the alphabet, as full-width forms and other scripts have them, and signs that
# show nothing: one who reads the sheet sees GFI.
_LOOKALIKES = (
    {0xFEE0 + code: chr(code) for code in range(0x21, 0x7F)}
    | str.maketrans("АВЕКМНОРСТУХІЈЅΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEKMHOPCTYXIJSABEZHIKMNOPTYX")
    | dict.fromkeys((0xAD, 0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF))
)
_VULGAR = re.compile("[\u00bc-\u00be\u2150-\u215e\u2189]")
_NUMBER = r"(?:\d+(?:\.\d+)?|\.\d+)"
_FRACTION = r"\d+\s*/\s*\d+"
_MIXED = rf"(?:(?P<whole>{_NUMBER})(?:[\s-]+(?P<part>{_FRACTION}))?|(?P<only>{_FRACTION}))"
_FEET = re.compile(
    rf"^(?P<sign>[-+]?)\s*(?P<feet>{_NUMBER})\s*(?:'|FT\.?|FEET)\s*-?\s*(?:{_MIXED}\s*(?:\"|''|IN\.?|INCH(?:ES)?)?)?$"
)
_INCHES = re.compile(rf"^(?P<sign>[-+]?)\s*{_MIXED}\s*(?:\"|''|IN\.?|INCH(?:ES)?)$")
_METRIC = re.compile(rf"^(?P<value>{_NUMBER})\s*(?P<unit>MM|CM|M)$")


@lru_cache(maxsize=8192)  # every stage asks for the same texts of a sheet, one after the other
def plain(text: str) -> str:
    """Upper case, with one kind of prime, quote, dash and slash, and unicode fractions written out."""

    def written_out(match: re.Match[str]) -> str:
        return " " + unicodedata.normalize("NFKC", match.group()).replace("⁄", "/")

    text = _VULGAR.sub(written_out, text).translate(_PRIMES).replace("''", '"')
    return re.sub(r"\s+", " ", text).strip().upper().translate(_LOOKALIKES)


def _fraction(text: str | None) -> float | None:
    if text is None:
        return 0.0
    top, bottom = (part.strip() for part in text.split("/"))
    if not int(bottom):
        return None
    return int(top) / int(bottom) if int(top) < int(bottom) else _glued(top, int(bottom))


def _glued(top: str, bottom: int) -> float | None:
    """``63/8``: nobody writes eighths beyond one inch, so a whole number was set close before its fraction (6 3/8).
    None where it may be divided in two ways (111/16)."""
    ways = {
        int(top[:cut]) + int(top[cut:]) / bottom
        for cut in range(1, len(top))
        if top[cut] != "0" and 0 < int(top[cut:]) < bottom
    }
    return ways.pop() if len(ways) == 1 else None


def _is_improper(text: str) -> bool:
    top, bottom = text.split("/")
    return int(top) >= int(bottom)


def _mixed(match: re.Match[str]) -> float | None:
    groups = match.groupdict()
    if groups.get("part") is not None and _is_improper(groups["part"]):
        return None  # 6 11/8: neither a length nor one set close
    if groups.get("only") is not None:
        return _fraction(groups["only"])
    if groups.get("whole") is None:
        return 0.0
    part = _fraction(groups.get("part"))
    return None if part is None else float(groups["whole"]) + part


def inches(text: str) -> float | None:
    """Inches of ``42"``, ``1 1/2"``, ``1-1/2 in``, ``3'-4 1/2"``, ``3 FT``, ``2400 mm``, ``2.4 m``; else None.

    A bare number has no unit and gives None.
    """
    text = plain(text)
    if match := _FEET.match(text):
        part = _mixed(match)
        if part is None:
            return None
        total = float(match["feet"]) * INCHES_PER_FOOT + part
        return -total if match["sign"] == "-" else total
    if match := _INCHES.match(text):
        part = _mixed(match)
        return None if part is None else (-part if match["sign"] == "-" else part)
    if match := _METRIC.match(text):
        metres = {"MM": 0.001, "CM": 0.01, "M": 1.0}[match["unit"]] * float(match["value"])
        return metres * INCHES_PER_METRE
    return None


# ------------------------------------------------------------------------------------------------ scale notes
#
# Sources: common practice; ratios as in any drafting table (architect's 3" = 1'-0" to 1/16" = 1'-0", engineer's
# 1" = 10' to 1" = 100', ISO 5455 for 1:n).

NoteKind = Literal["ratio", "not to scale", "as noted", "unclear"]

SMALLEST_RATIO, LARGEST_RATIO = 0.1, 10_000.0  # ratios outside are slips: ten times full size, and 1:10,000 maps
SAME_SIZE = 0.04  # relative; printers trim and pad by less
SAME_SHAPE = 0.015  # relative difference of the aspect ratio; a print fitted to another shape has margins

_SIZE = rf"(?:\d+[\s-]+\d+\s*/\s*\d+|\d+\s*/\s*\d+|{_NUMBER})"
_INCH = r"(?:\"|INCH(?:ES)?\b|IN\b\.?)"
_FOOT = r"(?:'|FEET\b|FOOT\b|FT\b\.?)"
_LENGTH = rf"(?:{_NUMBER}\s*{_FOOT}(?:\s*-?\s*{_SIZE}\s*{_INCH}?)?|{_SIZE}\s*{_INCH}|{_NUMBER}\s*(?:MM|CM|M)\b)"
_US_SIZE = r"(?P<us>(?:ARCH|ANSI)\b\.?\s*-?\s*(?:E1|[A-E])\b)"
_BY_SIDES = r"(?P<a>\d{2,3}(?:\.\d+)?)\s*\"?\s*X\s*(?P<b>\d{2,3}(?:\.\d+)?)\s*\"?"
_PAPER = rf"(?:{_BY_SIDES}|(?:ISO\s*)?(?P<iso>A[0-4])\b|{_US_SIZE})"
_PRINTED = r"(?:(?:WHEN|IF|AS)\s+)?(?:(?:PRINTED|PLOTTED|SHOWN|DRAWN)\s+)?"
_PER = rf"(?P<per>{_SIZE}\s*{_INCH})\s*(?:PER|TO THE)\s*{_FOOT}"
_EQUAL = rf"(?P<left>{_LENGTH})\s*(?:=|TO|EQUALS)\s*(?P<right>{_LENGTH})|{_PER}"
_COLON = r"(?<![\d./:])1\s*:\s*(?P<to>\d+(?:\.\d+)?)(?![\d:/]|\s*[:/]\s*\d)"
_NTS = r"\bN\.?\s?T\.?\s?S\b\.?|\bNOT\s+(?:DRAWN\s+)?TO\s+SCALE\b|\bNO\s+SCALE\b"
_NOTED = r"\b(?:AS\s+(?:NOTED|SHOWN|INDICATED)|VARIES|SEE\s+(?:PLANS?|DRAWINGS?|DETAILS?)|PER\s+PLANS?)\b"
_ANY = re.compile(rf"(?:{_EQUAL}|{_COLON})(?:\s*[(@,;-]*\s*{_PRINTED}(?:@|ON|AT|FOR)?\s*{_PAPER}\s*\)?)?")
# A drawn = is lost where lettering is read from its outlines; behind SCALE the two lengths leave nothing else.
_UNEQUAL = re.compile(rf"(\bSCALES?\s*[:.-]*\s*{_SIZE}\s*{_INCH})\s+(1\s*{_FOOT}\s*-?\s*0\s*{_INCH})")
_WORD = re.compile(rf"{_NTS}|SCALE\s*[:=-]?\s*NONE\b")
_AS_NOTED = re.compile(_NOTED)
_HALF = re.compile(r"(?:\bHALF|\b1\s*/\s*2)[\s-]*(?:SIZE|SCALE)\b|\bREDUCED\b|\bAPPROX")
_SLASH = re.compile(r"\bSCALE\s*[:=-]?\s*1\s*[/=]\s*(?P<to>\d{2,4})(?!\s*(?:\"|'|IN|FT|=|\d))")
_LEAD = r"(?:(?:DRAWING|PLAN|SHEET|PLOT|PRINT)?\s*SCALES?\s*[:=.-]*|M\b)?\s*"
_UNLESS = r"U\.?\s?N\.?\s?O\b\.?|U\.?\s?O\.?\s?N\b\.?|UNLESS\s[A-Z\s]*(?:NOTED|SHOWN|INDICATED)[A-Z\s]*"
_SIZES = r"TYP\b\.?|FULL[\s-]*SIZE|HALF[\s-]*SIZE|HALF[\s-]*SCALE|REDUCED|@|ON\b|AT\b|FOR\b|SHEETS?\b|PAPER\b"
_TAIL = rf"(?:[\s,;.(]*(?:{_UNLESS}|{_SIZES})[\s).]*)*"
_REST = re.compile(rf"^{_LEAD}\x00(?:[\s,;/|]*(?:OR\s*)?\x00)*{_TAIL}[\s.)]*$")
# ISO 216, inches
_ISO_PAPER = {
    "A0": (46.81, 33.11), "A1": (33.11, 23.39), "A2": (23.39, 16.54), "A3": (16.54, 11.69), "A4": (11.69, 8.27),
}  # fmt: skip
# ASME Y14.1, inches: engineering and architectural sizes
_US_PAPER = {
    "ANSI A": (11.0, 8.5), "ANSI B": (17.0, 11.0), "ANSI C": (22.0, 17.0), "ANSI D": (34.0, 22.0),
    "ANSI E": (44.0, 34.0), "ARCH A": (12.0, 9.0), "ARCH B": (18.0, 12.0), "ARCH C": (24.0, 18.0),
    "ARCH D": (36.0, 24.0), "ARCH E": (48.0, 36.0), "ARCH E1": (42.0, 30.0),
}  # fmt: skip
LONGEST_NOTE = 160  # characters; longer text is a paragraph, and slow to search

Paper = tuple[float, float]  # long side, short side, inches


@dataclass(frozen=True)
class ScaleNote:
    """A note, read.  ``options`` are pairs of ratio and the paper it is true for (None: not said).

    ``unclear``: a scale is written, with words (half size) that do not tell whether it is meant for this print.
    """

    kind: NoteKind
    text: str
    options: tuple[tuple[float, Paper | None], ...] = ()

    @property
    def ratio(self) -> float | None:
        """The ratio where the note gives one only."""
        ratios = {ratio for ratio, _ in self.options}
        return self.options[0][0] if self.kind == "ratio" and len(ratios) == 1 else None

    def at(self, width_in: float, height_in: float) -> float | None:
        """The ratio that the note means on a page of this size, inches; None where it does not tell, as for a print
        on paper of another shape than the note's."""
        if self.kind != "ratio":
            return None
        page = (max(width_in, height_in), min(width_in, height_in))
        for ratio, paper in self.options:
            if paper and all(abs(p / q - 1) <= SAME_SIZE for p, q in zip(paper, page, strict=True)):
                return ratio
        if len(self.options) != 1:
            return self.ratio
        ratio, paper = self.options[0]
        if paper is None:
            return ratio
        alike = abs(paper[0] / paper[1] / (page[0] / page[1]) - 1) <= SAME_SHAPE
        return ratio * paper[0] / page[0] if alike else None


def parse_scale_note(text: str) -> ScaleNote | None:
    """The note that ``text`` wholly is, with words such as SCALE and U.N.O. allowed around it; else None."""
    return _read(plain(text), text, whole=True)


def find_scale_note(text: str) -> ScaleNote | None:
    """The note that stands somewhere in ``text``, for lines in which it follows a title; else None.

    A bare ``1:12`` inside other words is a slope as often as a scale, so ratios are only taken after SCALE.
    """
    return _read(plain(text), text, whole=False)


def scale_ratio(text: str) -> float | None:
    """48.0 for ``1/4in = 1ft``, 50.0 for ``1:50``; None for anything that is not one scale."""
    note = parse_scale_note(text)
    return note.ratio if note else None


def _read(line: str, text: str, *, whole: bool) -> ScaleNote | None:
    if len(line) > LONGEST_NOTE:
        return None
    line = _UNEQUAL.sub(r"\1 = \2", line)
    matches = [m for m in _ANY.finditer(line) if _option(m) is not None]
    if not whole:
        labelled = re.search(r"\bSCALE\b", line) is not None
        matches = [m for m in matches if m["to"] is None or labelled]
    found = matches or [m for m in [_SLASH.search(line)] if m]
    if not found:
        return _words(line, text, whole)
    if whole and not _is_rest(line, [m.span() for m in found], bool(matches)):
        return None
    if not matches:
        return ScaleNote("ratio", text, ((float(found[0]["to"]), None),))
    options = tuple(option for m in matches if (option := _option(m)) is not None)
    if _HALF.search(line) and len(options) == 1 and options[0][1] is None:
        return ScaleNote("unclear", text, options)
    return ScaleNote("ratio", text, options)


def _words(line: str, text: str, whole: bool) -> ScaleNote | None:
    kinds: tuple[tuple[NoteKind, re.Pattern[str]], ...] = (("not to scale", _WORD), ("as noted", _AS_NOTED))
    for kind, pattern in kinds:
        match = pattern.search(line)
        if match is None:
            continue
        if whole and not _is_rest(line, [match.span()], True):
            continue
        if not whole and kind == "as noted" and "SCALE" not in line:
            continue
        return ScaleNote(kind, text)
    return None


def _is_rest(line: str, spans: list[tuple[int, int]], keep_lead: bool) -> bool:
    """Is there nothing around the scales but the usual words."""
    for start, end in reversed(spans):
        line = line[:start] + "\x00" + line[end:]
    return _REST.match(line.strip()) is not None or (not keep_lead and line.strip(" .)") == "\x00")


def _option(match: re.Match[str]) -> tuple[float, Paper | None] | None:
    ratio = _ratio(match)
    if ratio is None or not SMALLEST_RATIO <= ratio <= LARGEST_RATIO:
        return None
    if match["iso"]:
        return ratio, _ISO_PAPER[match["iso"]]
    if match["us"]:
        named = _US_PAPER.get(" ".join(re.findall("[A-Z]+1?", match["us"])))
        return (ratio, named) if named else None
    if match["a"]:
        sides = sorted((float(match["a"]), float(match["b"])))
        return ratio, (sides[1], sides[0])
    return ratio, None


def _ratio(match: re.Match[str]) -> float | None:
    if match["to"]:
        return float(match["to"])
    if match["per"]:
        drawn = _inches(match["per"])
        return 12.0 / drawn if drawn else None
    left, right = _inches(match["left"]), _inches(match["right"])
    if not left or not right:
        return None
    # Written either way round (1'-0" = 1/4"): no plan is drawn larger than the house.
    return max(left, right) / min(left, right)


def _inches(text: str) -> float | None:
    return inches(re.sub(r"\bFOOT\b", "FT", text))
