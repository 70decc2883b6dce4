"""Labels of several lines: ``A-9`` over ``GFI`` over ``+42"`` belong to one symbol together.

Terms: *stack*, labels that stand closely one under the other and tell different things.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.label_runs import Run
from cordpath.symbols.label_words import Class

LINE_GAP = 0.9  # of the text size, between the boxes of two lines
OVERLAP = 0.5  # of the text size, that the boxes of two lines may share
EDGE = 0.5  # of the text size: lines that begin, end or are centred at one place
SAME_SIZE = 1.25  # ratio of text sizes
ONLY_ONE = ("protection", "circuit", "serves")  # two of these in a stack belong to two symbols


def stacked(runs: list[Run], kinds: list[Class]) -> list[Run]:
    """The runs with the number and the box of their stack filled in; a run of its own is a stack of one."""
    n = len(runs)
    if not n:
        return []
    box = np.array([run.box for run in runs])
    size = np.array([run.size for run in runs])
    upper, lower = _pairs(box, size, np.array([kind != "other" for kind in kinds]))
    graph = coo_matrix((np.ones(len(upper)), (upper, lower)), shape=(n, n))
    _, label = connected_components(graph, directed=False)
    members: dict[int, list[int]] = {}
    for index, name in enumerate(label.tolist()):
        members.setdefault(name, []).append(index)
    out = list(runs)
    for group in members.values():
        said = sorted({(kinds[i], runs[i].text.upper()) for i in group})  # a text twice is still one text
        parts = [group] if _differs([kind for kind, _ in said]) else [[i] for i in group]
        for part in parts:
            low, high = box[part, :2].min(axis=0), box[part, 2:].max(axis=0)
            block = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
            for i in part:
                out[i] = replace(runs[i], block=block, stack=min(part))
    return out


def _pairs(box: FloatArray, size: FloatArray, label: BoolArray) -> tuple[IntArray, IntArray]:
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
    fits &= lined & label[upper] & label[lower]
    return upper[fits], lower[fits]


def _differs(kinds: list[Class]) -> bool:
    named: list[str] = ["circuit" if kind == "number" else kind for kind in kinds]
    return all(named.count(kind) <= 1 for kind in ONLY_ONE)
