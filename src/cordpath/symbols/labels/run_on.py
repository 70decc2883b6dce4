"""Lines that run on from a label of protection and are not understood: ``LINE SIDE`` over ``GFCI``, ``GFCI`` over
``(ALT. 2)``.

In one text with the mark such words make it a question; so they do in a line of their own, or in the mark's line
after a wide space or in smaller letters, where they are a text of their own: ``NO   GFI``.
Terms: *run on*, said of a text that stands closely under or over another and lined up with it, or in its line.
"""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np

from cordpath import units
from cordpath.model import BoolArray, FloatArray, Mapping
from cordpath.symbols.labels.runs import Run
from cordpath.symbols.labels.stacks import EDGE, LINE_GAP, OVERLAP, SAME_SIZE
from cordpath.symbols.labels.texts import Text, is_room
from cordpath.symbols.labels.words import LONGEST_RUN, closed_up, elsewhere, is_of_halves, read

BESIDE = 1.6  # of the larger text's size: two or three spaces, or one in letters that are spaced out
ABREAST = 0.3  # of the lower line's height that two texts of one line share: NO stands raised before GFI as well
BRACKET = 1.5  # of a letter's height: drawn brackets (Hershey's)
SIZES = 2.0  # ratio of the sizes of a mark and of what is said about it in small or large letters
# N.I.C. too; a letter alone is the mark of a door, a light or a switch as often, but not in brackets, nor is an X,
# or the R or D of what is removed or demolished.  Or a sign that asks or refers to a note, or an arrow, to another
# device.
_WORD = re.compile(r"[A-Z]{2}|[(\[<{][^)\]>}]{1,3}[)\]>}]|^[XRD]$|^[?*#!]+\d{0,2}$|[-=]>|<[-=]|[\u2190-\u21ff]")

_BRACKET = re.compile(r"[()\[\]<>{}]")


def running_on(texts: list[Text], written: tuple[Run, ...], mapping: Mapping) -> list[Text]:
    """The texts, those of protection with the line that runs on from them, if any is not understood."""
    marks = [index for index, text in enumerate(texts) if text.reading.kind == "protection"]
    strange = [run for run in written if _WORD.search(re.sub(r"[./]", "", closed_up(run.text)))] if marks else []
    if not strange:
        return texts
    together = _run_on([texts[index].run for index in marks], strange)
    found = list(texts)
    for index, row in zip(marks, together, strict=True):
        lines = (strange[k].text for k in np.flatnonzero(row).tolist())
        line = next((line for line in lines if _is_strange(line, mapping)), None)
        found[index] = replace(texts[index], runs_on=line)
    return found


def _is_strange(text: str, mapping: Mapping) -> bool:
    """Is a line neither understood as a whole nor a room's name nor a measure, or at odds with the mark?"""
    if is_of_halves(text) or elsewhere(tuple(units.plain(text).split())):
        return True
    if len(text) > LONGEST_RUN or is_room(text, mapping) or units.inches(units.plain(text)) is not None:
        return len(text) > LONGEST_RUN
    reading = read(closed_up(text), mapping.labels)
    return reading is None or bool(reading.doubt) or text.startswith("#")  # GFI over #3, a note as often


def _run_on(marks: list[Run], others: list[Run]) -> BoolArray:
    """(m, n): does the other text run on from the mark, over or under it or in its line?"""
    one, two = _lines(marks)[:, None], _lines(others)[None]
    size, other = _sizes(marks)[:, None], _sizes(others)[None]
    unit = np.minimum(size, other)
    gap = np.maximum(two[..., 1] - one[..., 3], one[..., 1] - two[..., 3])
    near = (gap <= LINE_GAP * unit) & (gap >= -OVERLAP * unit)
    left, right = one[..., 0] - two[..., 0], one[..., 2] - two[..., 2]
    lined = np.minimum(np.minimum(np.abs(left), np.abs(right)), np.abs(left + right) / 2) <= EDGE * unit
    aside = np.maximum(two[..., 0] - one[..., 2], one[..., 0] - two[..., 2])
    lower = np.minimum(one[..., 3] - one[..., 1], two[..., 3] - two[..., 1])
    beside = (aside <= BESIDE * np.maximum(size, other)) & (aside >= -OVERLAP * unit) & (-gap >= ABREAST * lower)
    # Larger words over, under or beside a label are the name of the room or the drawing that it stands in.
    alike = (other <= SAME_SIZE * size) & (size <= SIZES * other)
    alike &= _turns(marks)[:, None] == _turns(others)[None]
    return np.asarray(((near & lined) | beside) & alike, bool)


def _sizes(runs: list[Run]) -> FloatArray:
    """Of drawn texts as their letters tell it, where brackets are the highest."""
    tall = [run.confidence < 1.0 and _BRACKET.search(run.text) is not None for run in runs]
    return np.array([run.size for run in runs]) / np.where(tall, BRACKET, 1.0)


def _lines(runs: list[Run]) -> FloatArray:
    return np.array([run.line for run in runs])


def _turns(runs: list[Run]) -> FloatArray:
    return np.array([run.turn for run in runs])
