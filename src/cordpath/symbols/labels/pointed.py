"""Texts with lines to several outlets, or too long for a label, that speak of ground faults: GFI (TYP. OF 3).

They may protect each outlet that a line leads to, which is a question there; they clear none of them.

Terms: *leader* as in leaders.py.  *Fan*, leaders that begin at one point.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath import units
from cordpath.model import FloatArray, IntArray, Label, Symbol
from cordpath.symbols.labels.astray import ends_at
from cordpath.symbols.labels.branching import branching, embraced
from cordpath.symbols.labels.in_one import lines_at
from cordpath.symbols.labels.leaders import AIMED, Leaders, Loose
from cordpath.symbols.labels.nearness import Pairs
from cordpath.symbols.labels.runs import Run
from cordpath.symbols.labels.texts import Text

_SPOKEN = re.compile(r"(?<![A-Z])(?:GFCI|GFI)(?![A-Z])|GROUND[- ]?FAULT")
_PROTECTS = ("protection", "device")
# Of the text size: from a word of drawn lettering to the next, of which an I may stand in the middle of its width
SPACED, LEVEL = 1.25, 0.3
_SEVERAL = re.compile(r"\b(?:TYP|TYPICAL|ALL|EACH|EVERY)\b")


def fans(texts: list[Text], symbols: tuple[Symbol, ...], loose: Loose) -> dict[int, frozenset[int]]:
    """The outlets to which lines lead from each label of protection, where they are several, all by index.

    A line that ends at an outlet on either side is wiring: the label stands at it by chance.
    """
    marks = [index for index, text in enumerate(texts) if _PROTECTS in text.reading.sets]
    outlets = np.flatnonzero([symbol.is_outlet for symbol in symbols])
    if not marks or len(outlets) < 2:
        return {}
    outlines = _outlines(symbols, outlets)
    areas = np.array([texts[index].run.block_area for index in marks], dtype=object)
    loose = loose.of_any_length()
    fan = Leaders.of(areas, loose, fans=True).off(outlines).to(outlines)
    led: dict[int, set[int]] = {}
    for mark, outlet in (*zip(*fan, strict=True), *zip(*branching(areas, outlines, loose), strict=True)):
        led.setdefault(marks[int(mark)], set()).add(int(outlets[outlet]))
    for mark, outlet in zip(*embraced(areas, outlines, loose), strict=True):
        led.setdefault(marks[int(mark)], set()).add(int(outlets[outlet]))
    return {index: frozenset(there) for index, there in led.items() if len(there) > 1}


def shared(
    texts: list[Text], pairs: Pairs, symbols: tuple[Symbol, ...], fanned: dict[int, frozenset[int]]
) -> Iterator[tuple[int, Label]]:
    """Outlets, as indices, that share a label of protection by its leaders, and what may be said of them.

    ``fanned``: those of ``fans``.  One line from a label that has its outlet already leads astray.
    """
    led = {run: set(there) for run, there in fanned.items()}
    for run, symbol in zip(pairs.run[pairs.leader].tolist(), pairs.symbol[pairs.leader].tolist(), strict=True):
        if _PROTECTS in texts[run].reading.sets and symbols[symbol].is_outlet:
            led.setdefault(run, set()).add(symbol)
    for run, there in led.items():
        if len(there) > 1:
            yield from ((symbol, _label(texts[run].run)) for symbol in sorted(there))


def at_ends(
    texts: list[Text], away: dict[int, FloatArray], symbols: tuple[Symbol, ...]
) -> Iterator[tuple[int, Label]]:
    """Outlets, as indices, at which lines that lead ``away`` from a label end; see astray.py."""
    for index, ends in away.items():
        for outlet in {ends_at(end[None], symbols) for end in ends}:
            if outlet is not None:
                yield outlet, _label(texts[index].run)


def spoken_of(
    runs: tuple[Run, ...], texts: list[Text], symbols: tuple[Symbol, ...], loose: Loose, curve: IntArray
) -> Iterator[tuple[int, Label]]:
    """Outlets, as indices, to which a line or one of a fan leads from a text that is more than a plain label.

    ``texts``: those of the ``runs`` that are labels and were given to a symbol; a plain one that was not may be of
    all those that its lines lead to.
    """
    plain = {text.run.words for text in texts if not (text.reading.doubt or _SEVERAL.search(_bare(text.run.text)))}
    odd = [run for run in runs if run.words not in plain and _SPOKEN.search(_bare(run.text))]
    outlets = np.flatnonzero([symbol.is_outlet for symbol in symbols])
    if not odd or not len(outlets):
        return
    areas = np.array([_line_of(run, runs) for run in odd], dtype=object)
    outlines = _outlines(symbols, outlets)
    around, lines, _, _ = lines_at(areas, loose, curve)
    fan = Leaders.of(around, lines, fans=True, reach=AIMED).to(outlines)
    for run, outlet in (*zip(*fan, strict=True), *zip(*branching(areas, outlines, loose), strict=True)):
        yield int(outlets[outlet]), _label(odd[int(run)])


def _line_of(run: Run, runs: tuple[Run, ...]) -> shapely.Geometry:
    """The area of a run and, in drawn lettering, of all that stand in its line: lettering whose letters have one
    width parts its words by as much as a letter, and the line may lead from another word of the note."""
    if run.confidence == 1.0:
        return run.area
    level = [one for one in runs if one.turn == run.turn and abs(one.line[3] - run.line[3]) < LEVEL * run.size]
    level.sort(key=lambda one: one.line[0])
    at, most = level.index(run), SPACED * run.size
    apart = [k for k, (one, two) in enumerate(pairwise(level), 1) if two.line[0] - one.line[2] > most]
    first, last = (
        max((k for k in apart if k <= at), default=0),
        min((k for k in apart if k > at), default=len(level)),
    )
    return shapely.union_all([one.area for one in level[first:last]]).convex_hull


def _outlines(symbols: tuple[Symbol, ...], which: IntArray) -> NDArray[np.object_]:
    return np.array([symbols[index].footprint for index in which.tolist()], dtype=object)


def _bare(text: str) -> str:
    return units.plain(text).replace(".", "")


def _label(run: Run) -> Label:
    return Label(f"{run.text}?", run.at, (("protection_unsure", f"a line leads to it from '{run.text}'"),))
