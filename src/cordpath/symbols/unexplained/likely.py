"""Which of what is left over is likely a symbol: its size, its ink, and what it is no part of."""

from __future__ import annotations

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.model import BoolArray, FloatArray
from cordpath.symbols.unexplained.groups import Groups, Profiled

SMALLEST, LARGEST = 3.6, 28.8  # pt, 0.05 and 0.4 in: sizes of symbols on paper (common practice, no source)
LEAST_INK = 12.0  # pt of stroke length: less is a tick, a dash or a speck
ARROW = 10.0  # pt: larger things at the end of a line are no arrowheads or ticks
TIP_TO_TIP = 5.0  # pt across: two arrowheads where dimensions meet are twice as long, and no wider than one
STRAIGHT = 0.8  # of the ink of a rectangle, cross or corner lies in its one or two directions
RECTANGLE = 1.15  # of the way around a box: the ink of a rectangle has so much, with a little to spare
PLAIN_LINES = SIDES = 4  # of a rectangle; one with stems, as receptacles of some offices are, has more
ASLANT = 0.2  # of each side of a box that a slash in it reaches over: panes of windows lie along a side
ROW_GAP, ROW_HEIGHT = 0.9, 1.5  # letters of a row: gap and ratio of heights


def sized(box: FloatArray, ink: FloatArray) -> BoolArray:
    """(g,) groups with the size and the ink of a symbol."""
    size = np.maximum(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1])
    return np.asarray((size >= SMALLEST) & (size <= LARGEST) & (ink >= LEAST_INK), bool)


def like_symbols(groups: Groups, bearing: BoolArray | None = None) -> BoolArray:
    """Size and ink of a symbol, no plain figure but those ``bearing`` a mark, and no letter of a row."""
    none = plain(groups) if bearing is None else plain(groups) & ~bearing
    return sized(groups.box, groups.ink) & ~none & ~in_rows(groups)


def plain(groups: Groups) -> BoolArray:
    """(g,) no more than a rectangle, cross or corner."""
    return angular(groups) & (groups.lines <= PLAIN_LINES)


def slashed(groups: Groups) -> BoolArray:
    """(g,) boxes with one other group in them, a slash."""
    size = groups.box[:, 2:] - groups.box[:, :2]
    boxes = np.flatnonzero(plain(groups) & (groups.lines == SIDES) & (size.max(axis=1) <= LARGEST))
    found = np.zeros(len(groups), bool)
    inner, box = shapely.STRtree(shapely.box(*groups.box[boxes].T)).query(
        shapely.box(*groups.box.T), predicate="within"
    )
    box = boxes[box]
    inner, box = inner[inner != box], box[inner != box]
    once = np.bincount(box, minlength=len(groups))[box] == 1
    aslant = (
        (size[inner] >= ASLANT * size[box]).all(axis=1) & (groups.lines[inner] == 1) & (groups.ways[inner] == 1)
    )
    found[box[once & aslant]] = True
    return found


def angular(groups: Groups) -> BoolArray:
    """(g,) in one or two directions, and with no more ink than a rectangle has."""
    straight = (groups.ways <= 2) & (groups.straight >= STRAIGHT)
    return np.asarray(straight & (groups.ink <= RECTANGLE * groups.around), bool)


def in_rows(groups: Groups) -> BoolArray:
    """Groups that stand in a row with groups of about their height, as letters do."""
    size = groups.box[:, 2:] - groups.box[:, :2]
    letter = np.zeros(len(size), bool)
    small = np.flatnonzero((size.max(axis=1) <= LARGEST / 2) & (size.max(axis=1) >= SMALLEST / 2))
    if len(small) < 3:
        return letter
    middle = (groups.box[small, :2] + groups.box[small, 2:]) / 2
    pairs = cKDTree(middle).query_pairs(LARGEST * 0.75, output_type="ndarray")
    one, two = small[pairs[:, 0]], small[pairs[:, 1]]
    in_row = np.zeros(len(one), bool)
    for along, across in ((0, 1), (1, 0)):
        tall = size[one, across], size[two, across]
        alike = np.maximum(*tall) <= ROW_HEIGHT * np.minimum(*tall)
        shift = np.abs(groups.box[one, across] - groups.box[two, across])
        shift = np.minimum(shift, np.abs(groups.box[one, across + 2] - groups.box[two, across + 2]))
        low = np.maximum(groups.box[one, along], groups.box[two, along])
        high = np.minimum(groups.box[one, along + 2], groups.box[two, along + 2])
        in_row |= alike & (shift <= 0.25 * tall[0]) & (low - high <= ROW_GAP * np.maximum(*tall))
    # One neighbour is not enough for small things: a symbol and its twin can stand side by side.
    near = np.bincount(np.r_[one[in_row], two[in_row]], minlength=len(size))
    letter = near >= 2
    beside = np.zeros(len(size), bool)
    beside[one[in_row & letter[two]]] = True
    beside[two[in_row & letter[one]]] = True
    return letter | beside


def arrows(groups: Profiled, long: FloatArray) -> BoolArray:
    """Small simple groups at the end of a line: ticks and arrowheads of dimensions and leaders."""
    found = np.zeros(len(groups), bool)
    across = (groups.box[:, 2:] - groups.box[:, :2]).min(axis=1, initial=np.inf)
    small = (groups.size <= ARROW) | ((groups.size <= 2 * ARROW) & (across <= TIP_TO_TIP))
    simple = small & (groups.ways <= 4)
    if simple.any() and len(long):
        near, _ = cKDTree(long.reshape(-1, 2)).query(groups.middle[simple])
        found[simple] = near <= groups.size[simple] * 0.75
    return found
