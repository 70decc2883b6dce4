"""How titles and names write the storeys of a house: one list for all that read them, as patterns of upper case.

Common practice, no source.  Words that also mean something else stand only where titles are read.
"""

from __future__ import annotations

BASEMENT = r"(?:BASEMENT|B\W?SM\W?N?T|BASE?M\W?N?T|BMN?T|CELLAR|S[OÓ]TANO)"  # BSM'T, BASMT, BASEM'T
CRAWL_SPACE = "CRAWL ?SPACE"
# May lie below grade or on a slope; LOWER ROOF and LOWER CABINETS are no storeys.
LOWER_LEVEL = (
    r"(?:\b(?:LWR|LOWER)(?: (?:GROUND|STORE?Y|FLOOR|LEVEL|PLAN|POWER))*\b(?! (?:UNIT|ROOF|CABINETS?)\b)|\bLL\b"
    r"|\bSUB[- ]?(?:LEVEL|GRADE)\b|\bBELOW[- ]GRADE\b|\bUNDERGROUND\b|\bUNDERCROFT\b|\bTUCK[- ]UNDER\b"
    r"|\bDOWNSTAIRS\b|\bLEVEL (?:B ?\d|- ?\d)|\bB\d LEVEL\b)"
)
OTHER_STOREY = r"\b(?:FIRST|SECOND|THIRD|1ST|2ND|3RD|MAIN|GROUND|UPPER|TOP|ATTIC|ROOF|LOFT)\b"
