"""Labels of several lines: ``A-9`` over ``GFI`` over ``+42"`` belong to one symbol together.

Terms: *stack*, labels that stand closely one under the other and tell different things.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
from scipy.spatial import cKDTree

from cordpath.geometry import components
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.labels.runs import Run
from cordpath.symbols.labels.turns import around
from cordpath.symbols.labels.words import Class

# Of the text size, between the boxes of two lines: at a pitch of 1.5 the letters of plotters are 0.5 apart
LINE_GAP = 0.6
CLEARLY = 0.2  # of the text size, by which a gap between two labels exceeds the gaps between lines of one
OVERLAP = 0.5  # of the text size, that the boxes of two lines may share
EDGE = 0.5  # of the text size: lines that begin, end or are centred at one place
SAME_SIZE = 1.25  # ratio of text sizes
ONLY_ONE = ("protection", "circuit", "serves")  # two of these in a stack belong to two symbols


def stacked(runs: list[Run], kinds: list[Class], mixed: list[bool]) -> list[Run]:
    """The runs with the number and the box of their stack filled in; a run of its own is a stack of one.

    Lines of a column that tells two things of one kind are parted at its widest gaps; where no gap is clearly the
    widest, each is a stack of its own and ``tangled``.  So is a stack with a line of two labels (``mixed``).
    """
    n = len(runs)
    if not n:
        return []
    box = np.array([run.line for run in runs])
    size, turn = np.array([run.size for run in runs]), np.array([run.turn for run in runs])
    upper, lower = _pairs(box, size, turn, np.array([kind != "other" for kind in kinds]))
    _, label = components(upper, lower, n)
    members: dict[int, list[int]] = {}
    for index in np.lexsort((box[:, 1], label)).tolist():
        members.setdefault(int(label[index]), []).append(index)
    out = list(runs)
    for group in members.values():
        if len(group) == 1:  # most labels are of one line
            i = group[0]
            out[i] = replace(runs[i], block=runs[i].line, stack=i, tangled=mixed[i])
            continue
        parts = _parted(group, box, size, runs, kinds)
        for part in parts or [[i] for i in group]:
            block = around(box[part])
            tangled = parts is None or any(mixed[i] for i in part)
            for i in part:
                out[i] = replace(runs[i], block=block, stack=min(part), tangled=tangled)
    return out


def _parted(
    group: list[int], box: FloatArray, size: FloatArray, runs: list[Run], kinds: list[Class]
) -> list[list[int]] | None:
    """The column of lines cut into labels of one symbol each, or None where it cannot be told where."""
    said = sorted({(kinds[i], runs[i].text.upper()) for i in group})  # a text twice is still one text
    if _differs([kind for kind, _ in said]):
        return [group]
    gaps = [float(box[two, 1] - box[one, 3]) for one, two in pairwise(group)]
    widest = max(range(len(gaps)), key=gaps.__getitem__)
    others = [gap for k, gap in enumerate(gaps) if k != widest]
    if others and gaps[widest] < min(others) + CLEARLY * float(size[group[0]]):
        return None
    one = _parted(group[: widest + 1], box, size, runs, kinds)
    two = _parted(group[widest + 1 :], box, size, runs, kinds)
    return None if one is None or two is None else [*one, *two]


def _pairs(box: FloatArray, size: FloatArray, turn: FloatArray, label: BoolArray) -> tuple[IntArray, IntArray]:
    """Pairs of lines, one directly under the other and lined up with it."""
    middle = (box[:, :2] + box[:, 2:]) / 2
    near = cKDTree(middle).query_pairs(3.0 * float(size.max()), output_type="ndarray")
    one, two = near[:, 0], near[:, 1]
    swap = middle[one, 1] > middle[two, 1]
    upper, lower = np.where(swap, two, one), np.where(swap, one, two)
    unit = np.minimum(size[upper], size[lower])
    gap = box[lower, 1] - box[upper, 3]
    fits = (gap <= LINE_GAP * unit) & (gap >= -OVERLAP * unit)
    fits &= np.maximum(size[upper], size[lower]) <= SAME_SIZE * unit
    lined = np.abs(middle[upper, 0] - middle[lower, 0]) <= EDGE * unit
    for edge in (0, 2):
        lined |= np.abs(box[upper, edge] - box[lower, edge]) <= EDGE * unit
    fits &= lined & (turn[upper] == turn[lower]) & label[upper] & label[lower]
    return upper[fits], lower[fits]


def _differs(kinds: list[Class]) -> bool:
    named: list[str] = ["circuit" if kind == "number" else kind for kind in kinds]
    return all(named.count(kind) <= 1 for kind in ONLY_ONE)
