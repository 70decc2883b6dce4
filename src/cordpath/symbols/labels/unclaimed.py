"""Labels of devices that belong to no symbol: something was missed, drawn or read wrongly."""

from __future__ import annotations

from collections.abc import Iterable

from cordpath import geometry, units
from cordpath.model import Sheet, Unexplained
from cordpath.symbols.labels.nearness import REACH
from cordpath.symbols.labels.runs import Run
from cordpath.symbols.labels.texts import Text
from cordpath.symbols.labels.words import Sets

CIRCUITS = frozenset({"circuit", "circuit_unsure"})


def unclaimed(texts: list[Text], taken: set[int], near: frozenset[int], sheet: Sheet) -> tuple[Unexplained, ...]:
    """Texts that speak of a device and were given to none.

    ``taken``: texts that were given to a symbol, ``near``: those near one, as indices.
    """
    lost: dict[tuple[str, str], list[Run]] = {}
    tags = {tag for index, text in enumerate(texts) if index in taken for tag in _tags(text.reading.sets)}
    title = _sheet_number(texts, sheet)
    for index, text in enumerate(texts):
        if index in title:
            continue
        names = {name for name, _ in text.reading.sets}
        told = names & {"protection", "weatherproof"} or text.reading.kind == "circuit"
        # A tag that an outlet has as well is the end of a homerun or of a wire, not a lost label.
        homerun = names <= CIRCUITS and _is_of(text.reading.sets, tags)
        lost_here = index not in taken and not text.reading.doubt and not homerun and _drawn(text.run, sheet)
        # Letters and digits far from any symbol are marks of grids, doors and windows more often than tags.
        if told and lost_here and (text.plain or index in near):
            where = "more than the symbols near it need" if index in near else "with no symbol near"
            lost.setdefault((units.plain(text.run.text), where), []).append(text.run)
    return tuple(
        Unexplained(f"{_article(said)} {said} label {where}", tuple(run.at for run in runs), is_label=True)
        for (said, where), runs in sorted(lost.items())
    )


def _tags(sets: Sets) -> Iterable[str]:
    """Circuit tags among what a label says."""
    return (str(tag) for name, tag in sets if name in CIRCUITS)


def _is_of(sets: Sets, tags: set[str]) -> bool:
    """Does a tag, or each of its circuits by itself, stand at outlets?"""
    for tag in _tags(sets):
        panel, dash, numbers = tag.rpartition("-")
        alone = {f"{panel}{dash}{number}" for number in numbers.split(",")}
        if tag not in tags and not alone <= tags:
            return False
    return True


def _sheet_number(texts: list[Text], sheet: Sheet) -> frozenset[int]:
    """The number of the sheet in its title block, which reads as a circuit (E-1): the largest of such texts."""
    wanted = units.plain(sheet.number or "")
    same = [index for index, text in enumerate(texts) if wanted and units.plain(text.run.text) == wanted]
    largest = max((texts[index].run.size for index in same), default=0.0)
    return frozenset(index for index in same if texts[index].run.size == largest)


def _drawn(run: Run, sheet: Sheet) -> bool:
    """Is the text in one of the sheet's drawings?  Elsewhere are notes and tables."""
    views = [view.box for view in sheet.views]
    reach = [(x0 - REACH, y0 - REACH, x1 + REACH, y1 + REACH) for x0, y0, x1, y1 in views]
    return not views or any(geometry.in_box(run.at, box) for box in reach)


def _article(said: str) -> str:
    """``a`` or ``an`` as the letters are read out; G, W, D: a; A, R, MW: an."""
    return "an" if said[:1] in "AEFHILMNORSX8" else "a"
