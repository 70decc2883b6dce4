"""What MuPDF says of the pen of a painted path."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from cordpath.sheet.ink.blends import OPAQUE

BUTT = (0, 0, 0)  # line caps of a path: start, end, dashes
ROUND = 1
WIDE_GAP = 28.8  # pt, 0.4 in.: a symbol goes into it whole; that of a dashed spaced line of a broad pen (ISO 128-2,
# 18 times 0.5 mm) is 25.5
WHOLE = 5184.0  # pt, 6 ft: a dash as long as the longest sheet is the whole of every line


def flags_of(item: dict[str, Any]) -> int:
    """The flags of a pen, as ``Paths`` has them from the fifth on: of its caps and joins, and does it hide."""
    cap = item.get("lineCap", BUTT)
    hides = item.get("stroke_opacity", 1.0) >= OPAQUE
    return (cap == BUTT) << 4 | (cap[0] == ROUND) << 5 | (item.get("lineJoin", 0) == 0) << 6 | hides << 7


def pattern(dashes: str) -> tuple[tuple[float, ...], float]:
    """Of ``[3 2] 1``: (lengths of dashes and gaps, phase)."""
    lengths, _, phase = dashes.strip().lstrip("[").partition("]")
    return tuple(float(length) for length in lengths.split()), float(phase)


@dataclass(frozen=True)
class Dashes:
    """``broken``: has the line a dash in it at all; ``blank``: of no length, which only round and projecting caps
    make visible; ``wide``: with gaps that hide a thing as large as a symbol."""

    broken: bool
    blank: bool
    wide: bool


@lru_cache(maxsize=256)  # few different patterns are used on a page
def dashes_of(stated: str | None) -> Dashes:
    """Of ``[3 2] 1``."""
    if not any(c.isdigit() and c != "0" for c in (stated or "").partition("]")[0]):
        return Dashes(False, False, False)
    lengths, phase = pattern(stated or "")
    turns = lengths * (1 + len(lengths) % 2)
    on, off = turns[::2], turns[1::2]
    if max(off) <= 0 or (min(on) >= WHOLE and not phase):
        return Dashes(False, False, False)
    return Dashes(True, max(on) <= 0, min(on) > 0 and max(off) >= WIDE_GAP)
