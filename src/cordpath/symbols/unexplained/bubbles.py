"""Words that are written in bubbles: numbers, and the letters of a building's grid.

A circle with a letter in it is a device as well.  That of a grid line stands at the end of a long line, dashed or
not, that points at its middle, in a row with others of other letters, whose lines run the same way (common
practice, no source).
"""

from __future__ import annotations

import re
from weakref import WeakKeyDictionary

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, IntArray, Sheet
from cordpath.symbols.matching.bodies import counted

_LETTER = re.compile(r"[A-Z]{1,2}(\.\d)?'?")
LINE = 36.0  # pt, half an inch, from the letter to where its line leads: the stem of a device is shorter
DASH = 6.0  # pt: shorter strokes are no dashes of a grid line
RIM = 0.6, 2.5  # text sizes from the middle of the letter to the end of its line, on the bubble or short of it
AIMED = 0.35  # text sizes by which the line may pass the middle: that of a letter is a little above or below
LEVEL = np.cos(np.radians(2.0))  # grid lines are parallel
IN_ROW = 1.0  # text sizes along the lines, from one bubble of a row to another
FEWEST = 3  # letters of a row: two circuits that go home side by side may be drawn alike


_known: WeakKeyDictionary[Sheet, BoolArray] = WeakKeyDictionary()  # asked about circles, groups and bare bodies


def in_bubbles(sheet: Sheet) -> BoolArray:
    """(n,) of the sheet's words, True for those that are a number or the letter of a grid line."""
    if sheet not in _known:
        _known[sheet] = _found(sheet)
        _known[sheet].flags.writeable = False
    return _known[sheet]


def _found(sheet: Sheet) -> BoolArray:
    text = np.array([word.text.strip() for word in sheet.words], object)
    found = np.array([each.isdigit() for each in text], bool)
    letters = np.array([k for k, each in enumerate(text) if _LETTER.fullmatch(each)], int)
    if len(set(text[letters])) < FEWEST:
        return found
    at, size = sheet.words_at[letters], np.array([sheet.words[k].size for k in letters.tolist()])
    which, way = _aimed(sheet, at, size)
    for k, along in zip(which.tolist(), way, strict=True):
        row = (way @ along >= LEVEL) & (np.abs((at[which] - at[k]) @ along) <= IN_ROW * size[k])
        found[letters[k]] |= len(set(text[letters[which[row]]])) >= FEWEST
    return found


def _aimed(sheet: Sheet, at: FloatArray, size: FloatArray) -> tuple[IntArray, FloatArray]:
    """Numbers of the places (n, 2) from whose rim a long line leads away, and (k, 2) its directions."""
    xy = sheet.strokes.xy[sheet.strokes.ink() & (geometry.lengths(sheet.strokes.xy) >= DASH)]
    ends = np.concatenate([xy, xy[:, [2, 3, 0, 1]]]).reshape(-1, 2, 2)
    tree = cKDTree(ends[:, 0])
    first, at_rim, way, _ = _leading(ends, tree, at, size, np.hypot(RIM[1], AIMED) * size)
    near = at_rim <= RIM[1] * size[first]
    first, way = first[near], way[near]
    some, mine = np.unique(first, return_inverse=True)
    # a gap may lie where it is LINE away
    place, _, theirs, reach = _leading(ends, tree, at[some], size[some], np.full(len(some), 2 * LINE))
    place, theirs = place[reach >= LINE], theirs[reach >= LINE]
    one, line = _pairs(mine, place)
    led = np.unique(one[(way[one] * theirs[line]).sum(axis=1) >= LEVEL])
    return first[led], way[led]


def _leading(
    ends: FloatArray, tree: cKDTree, at: FloatArray, size: FloatArray, within: FloatArray
) -> tuple[IntArray, FloatArray, FloatArray, FloatArray]:
    """Lines (m, 2, 2) that begin within so far of places (n, 2), aimed at their middles and away from them: the
    place, in order, how far from it each begins, its direction (k, 2), and how far it leads."""
    near = tree.query_ball_point(at, within)
    which = np.repeat(np.arange(len(at)), [len(each) for each in near])
    lines = ends[np.concatenate([np.zeros(0, int), *(np.array(each, int) for each in near)])]
    way = (lines[:, 1] - lines[:, 0]) / geometry.lengths(lines.reshape(-1, 4))[:, None]
    start = lines[:, 0] - at[which]
    along, size = (start * way).sum(axis=1), size[which]
    off = np.abs(start[:, 0] * way[:, 1] - start[:, 1] * way[:, 0])
    k = np.flatnonzero((along >= RIM[0] * size) & (off <= AIMED * size))
    return which[k], along[k], way[k], ((lines[k, 1] - at[which[k]]) * way[k]).sum(axis=1)


def _pairs(one: IntArray, other: IntArray) -> tuple[IntArray, IntArray]:
    """Pairs of places in two lists of numbers, the other in order, that have the same number there."""
    begin = np.searchsorted(other, one)
    count = np.searchsorted(other, one, side="right") - begin
    first, step = counted(count)
    return first, begin[first] + step


def numbered(box: FloatArray, sheet: Sheet) -> BoolArray:
    """(g,) of the boxes (g, 4) of groups: with a number inside, or a grid's letter, bubbles of keynotes, doors,
    windows and grids."""
    found = np.zeros(len(box), bool)
    at = sheet.words_at[in_bubbles(sheet)]
    if len(at) and len(found):
        _, group = shapely.STRtree(shapely.box(*box.T)).query(shapely.points(at), predicate="within")
        found[group] = True
    return found
