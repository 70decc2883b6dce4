"""Words that take a GFCI mark back, or make it another's: on a plan beside a label, in a panel schedule, in a note.

Terms: *word of denial*, one that says that a thing is not, no longer or not yet there, or not this one.
The words are those of drawings of alterations and of notes: common practice, no source.
"""

from __future__ import annotations

import re

_WORDS = (
    r"NON|NO|NOT|NONE|NEVER|N ?/ ?A|NA|W/O|WITHOUT|EXCEPT|UNLESS|CANNOT|[A-Z]+N['’]T|DONT|CANT|FUTURE|FUT|TBR|TBD"
    r"|(?:DELET|REMOV|OMIT|DEMO|REPLAC|ELIMINAT|CANCEL|CHANG|SWAP|CONVERT|RELOCAT|ABANDON|PROHIBIT|EXEMPT)\w*"
    r"|(?:EXCLUD|DISCONNECT|DISABL|DEFEAT|BYPASS|LACK|AVOID|FAIL|RECOMMEND|CONSIDER|SUGGEST)\w*|DEL|REM|RELOC|PULL"
    r"|ONLY|LIEU|INSTEAD|RATHER|WAS|WERE|FORMER\w*|PREVIOUS\w*|VOID\w*|SUPERSED\w*|NIC|STANDARD|REGULAR|CONVENTIONAL"
    r"|ALT|ALTERNAT\w*|OPT|OPTION\w*"  # what is built only if it is chosen
)
_SIGNS = r"\?|\((?:D|R|RE|RR|X)\)"  # to be demolished, removed, relocated, as drawings of alterations mark it
# Of a note: who has a device to itself, and where it stands, leave it what it is.
_HARMLESS = re.compile(
    r"\bFOR (?:THE )?(?!GFC?I)[A-Z./ ]{2,30}? ONLY\b|\b(?:STANDARD|REGULAR) (?:HEIGHT|MOUNTING|SPACING)\b"
)
_ANYWHERE = re.compile(rf"\b(?:{_WORDS})\b|{_SIGNS}")
_ALONE = re.compile(rf"{_WORDS}|{_SIGNS}")


def denies(text: str) -> bool:
    """Is there a word of denial anywhere in a text of capitals?"""
    return _ANYWHERE.search(text) is not None


def note_denies(text: str) -> bool:
    """Is there a word of denial in a note about a device, but for those of its load and its place?"""
    return denies(_HARMLESS.sub(" ", text))


def is_denial(word: str) -> bool:
    """Is a text of capitals a word of denial and nothing else?"""
    return _ALONE.fullmatch(word) is not None
