"""What the outputs for people say of results alike: totals, the scale of a sheet, what is left over."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from cordpath.model import Conflict, Learnt, Reading, Scale, SheetResult, Unexplained
from cordpath.report.rows import count_verdicts, names_apart

Json = dict[str, Any]
LED_BY = re.compile(r"^SCALE\s*[:=]?\s*", re.IGNORECASE)  # says nothing in a column of scales
FOUND_BY = {"dimension": "by dimensions", "bar": "by a bar", "viewport": "by the PDF's own measure"}
STANDING = {"single": "one kind of witness"}
LEFTOVERS_MOST = 40  # lines a sheet in the tables for people; a badly mapped sheet may have thousands


def learnt_of(results: Iterable[SheetResult]) -> tuple[Learnt, ...]:
    """Symbols that were taken from drawings, each shape of each place once, by name."""
    found: dict[Any, Learnt] = {}
    for result in results:
        for one in result.reading.spotting.learnt if result.reading else ():
            found.setdefault((one.name, one.file, one.page, one.box), one)
    return tuple(sorted(found.values(), key=lambda one: (one.name, one.file, one.page, one.box or ())))


def totals(results: Iterable[SheetResult]) -> Json:
    results = tuple(results)
    verdicts = count_verdicts(results)
    statuses = [result.status for result in results]
    return {
        "sheets": len(results),
        "checked": statuses.count("checked"),
        "skipped": statuses.count("skipped"),
        "failed": statuses.count("failed"),
        "outlets": sum(verdicts.values()),
        **{str(verdict): count for verdict, count in verdicts.items()},
        "unexplained": sum(map(places_unexplained, results)),
    }


def places_unexplained(result: SheetResult) -> int:
    """How many places of a sheet nothing accounts for, without furniture and tags."""
    return sum(item.count for item in unexplained_of(result) if not item.minor)


def counted(name: str, count: int) -> str:
    """The word under a figure: ``1 sheet``, ``2 sheets``."""
    return name.removesuffix("s") if count == 1 and name in ("sheets", "outlets") else name


def unexplained_of(result: SheetResult) -> tuple[Unexplained, ...]:
    """What nothing accounts for, each once, whether the reading or its spotting named it; the least likely last."""
    if result.reading is None:
        return ()
    both = (*result.reading.unexplained, *result.reading.spotting.unexplained)
    return tuple(sorted({(item.what, item.at): item for item in both}.values(), key=lambda item: item.minor))


def leftovers(results: Iterable[SheetResult]) -> list[tuple[str, list[str]]]:
    """For people: what nothing accounts for and what was taken for granted, as headings with lines; none empty."""
    things, said, against = [], [], []
    results = tuple(results)
    names = names_apart(results)
    for result in results:
        name = names[result.file, result.page]
        things += _at_most([f"{name}: {item.what} ({item.count})" for item in unexplained_of(result)])
        against += [f"{name}: {each.what}{_who(each)}" for each in result.conflicts]
        said += _at_most([f"{name}: {text}" for text in dict.fromkeys(result.assumptions)])
    both = (
        ("Contradictions about circuits", against),
        ("Drawn, and not accounted for", things),
        ("Taken for granted", said),
    )
    return [(heading, lines) for heading, lines in both if lines]


def _who(conflict: Conflict) -> str:
    return f" ({', '.join(conflict.outlets)})" if conflict.outlets else ""


def _at_most(lines: list[str]) -> list[str]:
    more = len(lines) - LEFTOVERS_MOST
    rest = [f"… and {more} more on this sheet; all are in the results file"] if more > 0 else []
    return lines[:LEFTOVERS_MOST] + rest


def main_scale(reading: Reading) -> Scale | None:
    """The scale of the view that holds the most outlets; among equals, the first that can be measured in."""
    outlets = [outlet.symbol.view for outlet in reading.outlets]
    return max(reading.scales, key=lambda s: (outlets.count(s.view), s.measurable), default=None)


def scales_of(reading: Reading | None) -> tuple[Scale, ...]:
    """The scales of all views that hold outlets, the main one first; the main one alone where none does."""
    main = main_scale(reading) if reading else None
    if reading is None or main is None:
        return ()
    held = {outlet.symbol.view for outlet in reading.outlets}
    return (main, *(scale for scale in reading.scales if scale is not main and scale.view in held))


def scales_told(reading: Reading | None, brief: bool = False) -> str:
    """The scales of a sheet in the words of :func:`scale_words`, each once: outlets are measured in any of them."""
    return ", ".join(dict.fromkeys(filter(None, (scale_words(scale, brief) for scale in scales_of(reading)))))


def scale_remarks(result: SheetResult) -> str:
    """Why a sheet was not checked, and what is wrong with its scales."""
    whys = (result.why, *(scale.why for scale in scales_of(result.reading)))
    return "; ".join(dict.fromkeys(why for why in whys if why))


def scale_words(scale: Scale | None, brief: bool = False) -> str:
    """A scale for people, and its standing; ``brief`` leaves out that it is proved.

    As it is written, where it is written; else as a ratio with what it was taken from: the text of a dimension
    alone is no scale.
    """
    if scale is None:
        return ""
    written = LED_BY.sub("", scale.text).strip() or scale.source
    if scale.source in FOUND_BY and scale.ratio:
        written = f"1:{scale.ratio:.4g}, {FOUND_BY[scale.source]}"
    standing = STANDING.get(scale.status, scale.status)
    if written == "none" or written.casefold() == standing:
        return standing
    return written if brief and scale.status == "proved" else f"{written} ({standing})"
