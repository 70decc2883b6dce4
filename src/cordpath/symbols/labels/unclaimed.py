"""Labels of devices that belong to no symbol: something was missed, drawn or read wrongly."""

from __future__ import annotations

import re
from collections.abc import Iterable

from cordpath import geometry, units
from cordpath.model import Sheet, Unexplained, Word
from cordpath.symbols.labels.nearness import REACH
from cordpath.symbols.labels.rings import ringed
from cordpath.symbols.labels.runs import Run
from cordpath.symbols.labels.texts import Text
from cordpath.symbols.labels.words import Sets

TITLE_SIZE = 1.2  # of a number's text size: names of rooms are lettered larger (common practice, no source)
TITLE_GAP = 2.0  # of a number's text size: from the name of a room to the number in a box under it
BOXED = 1.5  # text sizes from a room's number to its box, which is wide enough for three digits
LEVEL = 0.4  # of the text size: texts of one line
EXPLAINED = 108.0  # pt, 1.5 in: what an abbreviation stands for begins and ends its first words within this
MEANING = re.compile(r"[-=:. ]*GROUND.FAULT")
CIRCUITS = frozenset({"circuit", "circuit_unsure"})


def unclaimed(
    texts: list[Text], taken: set[int], near: frozenset[int], sheet: Sheet, at_panel: frozenset[int] = frozenset()
) -> tuple[Unexplained, ...]:
    """Texts that speak of a device and were given to none.

    ``taken``: texts that were given to a symbol, ``near``: those near one, as indices; ``at_panel``: those of
    ``taken`` that a panel has and no line leads to.  They may be the panel's name, unless outlets have such tags.
    """
    lost: dict[tuple[str, str], list[Run]] = {}
    at_device = taken - at_panel
    tags = {tag for index, text in enumerate(texts) if index in at_device for tag in _tags(text.reading.sets)}
    panels = {tag.rpartition("-")[0] for tag in tags}
    taken = {i for i in taken if i not in at_panel or panels.isdisjoint(_panels(texts[i].reading.sets))}
    taken |= _sheet_number(texts, sheet)
    for index, text in enumerate(texts):
        if index not in taken and _is_lost_label(text, tags, index in near, sheet):
            where = "more than the symbols near it need" if index in near else "with no symbol near"
            lost.setdefault((units.plain(text.run.text), where), []).append(text.run)
    return tuple(
        Unexplained(f"{_article(said)} {said} label {where}", tuple(run.at for run in runs), is_label=True)
        for (said, where), runs in sorted(lost.items())
    )


def _is_lost_label(text: Text, tags: set[str], near: bool, sheet: Sheet) -> bool:
    """Does a text that no symbol has speak of a device?  ``tags``: those of devices; ``near``: is a symbol near."""
    names = {name for name, _ in text.reading.sets}
    told = names & {"protection", "weatherproof"} or text.reading.kind == "circuit"
    # A tag that an outlet has as well is the end of a homerun or of a wire, not a lost label.
    homerun = names <= CIRCUITS and _is_of(text.reading.sets, tags)
    if not told or homerun or text.reading.doubt or not _drawn(text.run, sheet) or _is_explained(text.run, sheet):
        return False
    # Letters and digits far from any symbol are marks of grids, doors and windows more often than tags.
    return text.plain or (near and not _is_room_number(text.run, sheet))


def _is_explained(run: Run, sheet: Sheet) -> bool:
    """Does a text right of it, on its line, begin with what it stands for, as in a list of abbreviations?"""
    half = LEVEL * run.size
    level = sheet.words_in((run.box[2], run.at[1] - half, run.box[2] + EXPLAINED, run.at[1] + half)).tolist()
    words = sorted((sheet.words[i] for i in level), key=lambda word: word.box[0])
    return MEANING.match(units.plain(" ".join(word.text for word in words))) is not None


def _tags(sets: Sets) -> Iterable[str]:
    """Circuit tags among what a label says."""
    return (str(tag) for name, tag in sets if name in CIRCUITS)


def _panels(sets: Sets) -> Iterable[str]:
    """Panels of the circuit tags among what a label says."""
    return (tag.rpartition("-")[0] for tag in _tags(sets))


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


def _is_room_number(run: Run, sheet: Sheet) -> bool:
    """Is the text in a box of its own, under a larger name?"""
    if not any(_is_over(word, run) for word in sheet.words):
        return False
    ink = sheet.strokes.xy[sheet.strokes.ink()]
    return ringed(run, ink, geometry.boxes_around(ink), BOXED)


def _is_over(word: Word, run: Run) -> bool:
    """Is a word of a larger text right over the text, on a page as displayed?"""
    (x, _), (left, _, right, bottom) = run.at, word.box
    is_near = -run.size / 2 <= run.box[1] - bottom <= TITLE_GAP * run.size
    return is_near and left <= x <= right and word.size >= TITLE_SIZE * run.size and word.text.isalpha()


def _drawn(run: Run, sheet: Sheet) -> bool:
    """Is the text in one of the sheet's drawings?  Elsewhere are notes and tables."""
    views = [view.box for view in sheet.views]
    reach = [(x0 - REACH, y0 - REACH, x1 + REACH, y1 + REACH) for x0, y0, x1, y1 in views]
    return not views or any(geometry.in_box(run.at, box) for box in reach)


def _article(said: str) -> str:
    """``a`` or ``an`` as the letters are read out; G, W, D: a; A, R, MW: an."""
    return "an" if said[:1] in "AEFHILMNORSX8" else "a"
