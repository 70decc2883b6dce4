"""Panel schedules that are not what will be built: ``PANEL A - DEMOLITION``, ``(TO BE REMOVED)`` under ``PANEL A``.

Their breakers protect nothing for sure.  The words are those of alterations and bids: common practice, no source.
"""

from __future__ import annotations

import re

from cordpath.circuits.panels.words import Reading, Text, lines, phrases, top_under

MOST_WORDS = 5  # of a line under the heading that says so; a longer one is a note about something in the panel
SAME_LINE = 0.5  # font sizes
NEAR = 6.0  # font sizes over the headers: a title of the table, of twice their size at the most
# NO alone is the number of a panel; NEW, EXISTING and TO REMAIN leave a panel what it is.
_WITHDRAWN = re.compile(
    r"\b(?:DEMO\w*|REMOV\w*|TBR|VOID\w*|SUPERSED\w*|REPLAC\w*|ALT|ALTERNAT\w*|OPTION\w*|FUTURE|OBSOLETE|ABANDON\w*"
    r"|DELET\w*|CANCEL\w*|OMIT\w*|RELOCAT\w*|PRELIM\w*|ONLY|NOT|N\.?I\.?C|WAS|FORMER\w*|PREVIOUS\w*|EXAMPLE|SAMPLE)\b|\((?:D|R|X)\)"
)

_TITLE = re.compile(r"\b(?:PANEL|PNL|SUB-?PANEL|LOAD ?CENTER|SCHED)")


def withdrawn(heading: Text | None, heads: list[Text], reading: Reading) -> str | None:
    """What a heading, or a short line between it and the headers of its table, says against the schedule.

    Without a heading that is understood, what a line over the headers says that speaks of a panel or schedule.
    """
    size = max(head.size for head in heads)
    top, x0, x1 = min(head.y0 for head in heads), heads[0].x0, heads[-1].x1
    low = top - NEAR * size
    if heading is not None:
        top = max(top, top_under(heading, heads))
        low, x0, x1 = heading.y - SAME_LINE * heading.size, min(x0, heading.x0), max(x1, heading.x1)
    over = [w for w in reading.words if low <= w.y < top and w.x1 > x0 and w.x0 < x1]
    said = [part.text for line in lines(over) for part in phrases(line, reading)]
    return next((t for t in said if _WITHDRAWN.search(t) and _is_of_schedule(t, named=heading is not None)), None)


def _is_of_schedule(text: str, *, named: bool) -> bool:
    return _TITLE.search(text) is not None or (named and len(text.split()) <= MOST_WORDS)
