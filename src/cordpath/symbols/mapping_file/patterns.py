"""Regular expressions that a user writes: checked before use, so that none of them can take for ever.

Python's matcher backtracks: ``(a+)+`` on a few dozen letters takes longer than anyone waits.  Two guards together
bound the work: a pattern may not repeat a group that itself repeats or branches (more than a few times) and may
hold only a few open-ended repeats; and it is only ever matched against short texts.
"""

from __future__ import annotations

import re
import warnings
from functools import lru_cache

LONGEST_PATTERN = 200  # characters
LONGEST_TEXT = 48  # characters of a label that is compared at all; a label of a drawing has under 20
MOST_OPEN = 4  # open-ended repeats in a pattern: work grows with this power of the text's length
FEW = 4  # a group that repeats or branches inside may itself be repeated up to so often


@lru_cache(maxsize=4096)
def _compiled(pattern: str) -> re.Pattern[str]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # doubtful but valid syntax is judged by fault()
        return re.compile(pattern, re.IGNORECASE)


def matches(pattern: str, text: str) -> bool:
    """Does the pattern match the whole text, case ignored?  Long texts never match."""
    return len(text) <= LONGEST_TEXT and _compiled(pattern).fullmatch(text) is not None


def fault(pattern: str) -> str | None:
    """What is wrong with the pattern and what was expected, or None."""
    if len(pattern) > LONGEST_PATTERN:
        return f"the pattern has {len(pattern)} characters, and at most {LONGEST_PATTERN} were expected"
    try:
        _compiled(pattern)
    except (re.error, OverflowError, RecursionError) as error:
        return f"not a regular expression ({error}), and one was expected"
    if _compiled(pattern).fullmatch(""):
        return "the pattern matches an empty text, and one that asks for at least a letter was expected"
    return _too_open(pattern)


_TOKEN = re.compile(
    r"(?P<escape>\\.)|(?P<set>\[\^?\]?(?:\\.|[^\]\\])*\])|(?P<open>\((?:\?(?:P?<?[=!]|P<\w+>|[aiLmsux-]*:|[^)]))?)"
    r"|(?P<close>\))|(?P<bar>\|)|(?P<repeat>[*+?]|\{\d*,?\d*\})|(?P<other>.)",
    re.DOTALL,
)


def _most(repeat: str) -> float:
    """How often a repeat may run at most."""
    if repeat in "*+":
        return float("inf")
    if repeat == "?":
        return 1
    low, comma, high = repeat.strip("{}").partition(",")
    if comma:
        return float(high) if high else float("inf")
    return float(low) if low else 1


def _varies(repeat: str) -> bool:
    low, comma, high = repeat.strip("{}").partition(",")
    return repeat in ("*", "+", "?") or (bool(comma) and low != high)


def _too_open(pattern: str) -> str | None:
    """Walks the pattern once; ``inside`` says for each open group whether it holds a repeat or a branch."""
    inside = [False]
    closed: bool | None = None  # the group that was just closed varies inside; None: the last atom was no group
    opened = 0
    last = ""
    for token in _TOKEN.finditer(pattern):
        kind, text = token.lastgroup, token.group()
        if kind == "repeat" and last != "repeat":
            most = _most(text)
            opened += most > FEW and _varies(text)
            if closed and most > FEW:
                return (
                    f"the pattern repeats a group that itself repeats or branches, and a count such as {{0,{FEW}}} "
                    "was expected there"
                )
            inside[-1] = inside[-1] or _varies(text)
        elif kind == "open":
            inside.append(False)
        elif kind == "bar":
            inside[-1] = True
        closed = None
        if kind == "close" and len(inside) > 1:
            closed = inside.pop()
            inside[-1] = inside[-1] or closed
        last = kind or ""
    if opened > MOST_OPEN:
        return f"the pattern has {opened} open-ended repeats, and at most {MOST_OPEN} were expected"
    return None
