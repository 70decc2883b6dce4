"""Stamps that tell that a print has not the size of its original: HALF SIZE, REDUCED PRINT.

Terms: *stamp*, a line of text that says this of the whole sheet, and nothing else.  Beside a note of a scale it
leaves open whether the note is meant for the original or for this print (common practice, no source).
"""

from __future__ import annotations

import re

import numpy as np

from cordpath.model import Sheet, Word
from cordpath.units import plain

LONGEST = 60  # characters; longer lines are sentences about something
_OF = r"(?:PRINT(?:ED|S)?|PLOT(?:TED|S)?|COP(?:Y|IES)|SETS?|DRAWINGS?|SHEETS?|PLANS?|REDUCTION|VERSION)"
_HALF = r"(?:(?:1\s*/\s*2|HALF|50\s*%)[\s-]*(?:SIZED?|SCALED?)|REDUCED(?:[\s-]*(?:SIZE|SCALE))?)"
STAMP = re.compile(
    rf"(?:THIS\s+)?(?:{_OF}\s+)?(?:(?:IS|ARE|AT|TO|A)\s+)*{_HALF}(?:\s+{_OF})*[\s.!]*"
    rf"|(?:THIS\s+)?{_OF}\s+(?:IS|ARE)\s+NOT\s+(?:PRINTED\s+|PLOTTED\s+)?TO\s+SCALE[\s.!]*"
)


def size_stamp(sheet: Sheet) -> str | None:
    """The text of the first stamp on the sheet, None where there is none."""
    lines: dict[int, list[Word]] = {}
    for word in sheet.words:
        if word.origin != "hidden":
            lines.setdefault(word.line, []).append(word)
    for line in lines.values():
        turn = np.radians(line[0].angle)
        said = " ".join(w.text for w in sorted(line, key=lambda w: w.at[0] * np.cos(turn) - w.at[1] * np.sin(turn)))
        if len(said) <= LONGEST and STAMP.fullmatch(plain(said).strip("*-–—() ")):
            return said
    return None
