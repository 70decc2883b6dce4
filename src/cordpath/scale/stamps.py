"""Stamps that tell that a print has not the size of its original: HALF SIZE, REDUCED PRINT.

Terms: *stamp*, a line of text that says this of the whole sheet, and nothing else.  Beside a note of a scale it
leaves open whether the note is meant for the original or for this print (common practice, no source).
"""

from __future__ import annotations

import re

from cordpath.model import Sheet, lines_of
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
    for line in lines_of(word for word in sheet.words if word.origin != "hidden"):
        said = " ".join(word.text for word in line)
        if len(said) <= LONGEST and STAMP.fullmatch(plain(said).strip("*-–—() ")):
            return said
    return None
