"""Lengths as people write them: inches and fractions, feet-and-inches, metres; scale notes are in scale/.

Every parser returns None for text that is not wholly the thing asked for, so that a caller can try the next
reading; none of them guesses.
"""

from __future__ import annotations

import re
import unicodedata

INCHES_PER_METRE = 39.37007874015748  # exact: 1 in = 25.4 mm (international yard and pound agreement, 1959)
INCHES_PER_FOOT = 12.0

_PRIMES = str.maketrans({"’": "'", "‘": "'", "′": "'", "`": "'", "”": '"', "“": '"', "″": '"',
                         "–": "-", "—": "-", "−": "-", "⁄": "/", "\u00a0": " "})  # fmt: skip
_VULGAR = re.compile("[\u00bc-\u00be\u2150-\u215e\u2189]")
_NUMBER = r"(?:\d+(?:\.\d+)?|\.\d+)"
_FRACTION = r"\d+\s*/\s*\d+"
_MIXED = rf"(?:(?P<whole>{_NUMBER})(?:[\s-]+(?P<part>{_FRACTION}))?|(?P<only>{_FRACTION}))"
_FEET = re.compile(
    rf"^(?P<sign>[-+]?)\s*(?P<feet>{_NUMBER})\s*(?:'|FT\.?|FEET)\s*-?\s*(?:{_MIXED}\s*(?:\"|''|IN\.?|INCH(?:ES)?)?)?$"
)
_INCHES = re.compile(rf"^(?P<sign>[-+]?)\s*{_MIXED}\s*(?:\"|''|IN\.?|INCH(?:ES)?)$")
_METRIC = re.compile(rf"^(?P<value>{_NUMBER})\s*(?P<unit>MM|CM|M)$")


def plain(text: str) -> str:
    """Upper case, with one kind of prime, quote, dash and slash, and unicode fractions written out."""

    def written_out(match: re.Match[str]) -> str:
        return " " + unicodedata.normalize("NFKC", match.group()).replace("⁄", "/")

    text = _VULGAR.sub(written_out, text).translate(_PRIMES).replace("''", '"')
    return re.sub(r"\s+", " ", text).strip().upper()


def _fraction(text: str | None) -> float | None:
    if text is None:
        return 0.0
    top, bottom = (int(part) for part in text.split("/"))
    return top / bottom if bottom else None


def _mixed(match: re.Match[str]) -> float | None:
    groups = match.groupdict()
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


def feet_and_inches(feet: float) -> str:
    """``4'-3"`` to the nearest inch: for people; results for programs keep the decimal feet."""
    total = round(abs(feet) * INCHES_PER_FOOT)
    return f"{'-' if feet < 0 and total else ''}{total // 12}'-{total % 12}\""
