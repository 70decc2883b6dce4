"""Repeated shapes that are most likely furniture, or tags of doors and windows: told together, after the others.

Nothing is left out: an outlet of a design that no entry names may be among them.  What is as small as a device, and
bears no letter or always the same, is told by itself.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import BoolArray, IntArray, Sheet
from cordpath.symbols.unexplained.circles import RADIUS
from cordpath.symbols.unexplained.groups import Groups

FURNITURE = "larger than devices are drawn, as furniture is"
TAGS = "with a letter that is another from place to place, as in tags"
LARGE = 2 * RADIUS[1]  # pt, across the narrower way: no device's body is larger, and its stem is on one side
LONGEST_TAG = 2  # letters
FEWEST = 3  # letters: devices bear one that tells what they are, and two designs may be drawn alike
MOST_OF_ONE = 0.5  # of the places of a tag: a device's letter is that of nearly all


def letters_in(groups: Groups, sheet: Sheet) -> NDArray[np.object_]:
    """(g,) the letters written in each group, '' where there is no word as short as a tag's."""
    found = np.full(len(groups), "", object)
    words = [w for w in sheet.words if w.text.strip().isalnum() and len(w.text.strip()) <= LONGEST_TAG]
    if words and len(groups):
        points = shapely.points(np.array([word.at for word in words]))
        word, group = shapely.STRtree(shapely.box(*groups.box.T)).query(points, predicate="within")
        found[group] = np.array([each.text.strip() for each in words], object)[word]
    return found


def lettered(groups: Groups, sheet: Sheet) -> BoolArray:
    """(g,) with letters alone written in each: a room's number is no device's."""
    return np.array([each.isalpha() for each in letters_in(groups, sheet)], bool)


def minor(groups: Groups, which: IntArray, letters: NDArray[np.object_]) -> str | None:
    """What the groups of one shape are most likely, None where they may be a device."""
    size = groups.box[which, 2:] - groups.box[which, :2]
    if float(np.median(size.min(axis=1))) > LARGE:
        return FURNITURE
    return TAGS if of_tags(letters[which].tolist()) else None


def of_tags(letters: Sequence[str]) -> bool:
    """Are these letters of like shapes those of tags?"""
    counts = Counter(letters)
    differ = len(counts) - ("" in counts) >= FEWEST
    return differ and max(counts.values()) <= MOST_OF_ONE * len(letters)
