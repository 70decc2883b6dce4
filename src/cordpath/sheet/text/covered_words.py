"""Words that a reader sees, and those of which something is painted out.

Terms: *core*, the part of a word's box in which its capitals and figures stand; *cover*, a later opaque fill;
*veil*, see :mod:`cordpath.sheet.ink.veils`.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import BoolArray, Fills, FloatArray, IntArray, Word
from cordpath.sheet.ink.blends import OPAQUE
from cordpath.sheet.ink.paths import Paths
from cordpath.sheet.ink.veils import Veils
from cordpath.sheet.text.colours import is_white

DARK_BACK = 0.75  # luminance of a fill below which white words on it are read
CAPITAL = 0.72  # of the size, height of capitals and figures (Helvetica's 718 of 1000, Adobe font metrics)
WHOLE = 0.98  # of the core: what shows of a word beyond is the rounding of letters
BROAD = 0.2  # of the size: covers narrower than twice a letter's pen leave it readable, as a line across it does
LETTER = 0.1  # of the size squared: a quarter of the field of a letter
MOST = 20_000  # words under fills that are asked; more are no drawing


def shown(
    found: list[Word], order: list[int], reach: FloatArray, fills: Fills, paths: Paths, veils: Veils
) -> tuple[BoolArray, BoolArray]:
    """(w,) is the word seen: no under a cover, nor white on no dark fill; and (w,) is a part of it painted out, or
    under a veil.

    ``order`` in MuPDF's paint order, ``reach`` (w, 2) above and below the baseline in sizes, of each word."""
    seen, veiled = np.ones(len(found), bool), _veiled(found, np.array(order), reach, veils)
    white = np.array([is_white(word.colour) for word in found], bool)
    if not len(fills):
        return seen & ~white, veiled
    boxes = shapely.box(*np.array([word.box for word in found]).T)
    when = np.array(order)
    fill_when, veil = paths.order[fills.path], paths.since[fills.path]
    since = np.where(veil < 0, -1, paths.order[veil])
    tree = shapely.STRtree(fills.shape)
    word, fill = tree.query(boxes, predicate="intersects")
    later = (since[fill] <= when[word]) & (when[word] < fill_when[fill]) & (fills.opacity[fill] >= OPAQUE)
    word, fill = word[later], fill[later]
    seen[word[shapely.covers(fills.shape[fill], boxes[word])]] = False
    left = seen[word]
    gone, partly = _parts(found, reach, fills.shape, word[left], fill[left])
    seen &= ~gone
    on_dark, off_dark = _on_dark(found, reach, white, boxes, tree, (fills.luminance < DARK_BACK, fill_when, when))
    return seen & (~white | on_dark), partly | veiled | off_dark


def _on_dark(
    found: list[Word], reach: FloatArray, white: BoolArray, boxes: NDArray[np.object_], tree: shapely.STRtree,
    dark: tuple[BoolArray, IntArray, IntArray],
) -> tuple[BoolArray, BoolArray]:  # fmt: skip
    """(w,) white words that stand on fills painted before them, and (w,) those with a part beside them that was a
    letter's: it is not seen.  ``dark``: which fills are, and when they and the words are painted."""
    is_dark, fill_when, when = dark
    on, off = np.zeros(len(found), bool), np.zeros(len(found), bool)
    own = np.flatnonzero(white)
    word, fill = tree.query(boxes[own], predicate="intersects")
    below = is_dark[fill] & (fill_when[fill] < when[own[word]])
    word, fill = own[word[below]], fill[below]
    on[word[shapely.contains(tree.geometries[fill], shapely.centroid(boxes[word]))]] = True
    asked = np.flatnonzero(on)
    if len(asked):
        core = cores([found[k] for k in asked], reach[asked])
        back = np.array([shapely.union_all(tree.geometries[fill[word == k]]) for k in asked], object)
        size = np.array([found[k].size for k in asked])
        off[asked] = shapely.area(shapely.difference(core, back)) >= LETTER * size**2
    return on, off


def _veiled(found: list[Word], order: IntArray, reach: FloatArray, veils: Veils) -> BoolArray:
    """(w,) is a part of the word, as large as a part of a letter, under a veil."""
    out = np.zeros(len(found), bool)
    if len(veils) and len(found):
        core = cores(found, reach)
        veil, word = shapely.STRtree(core).query(veils.shape, predicate="intersects")
        later = order[word] < veils.order[veil]
        veil, word = veil[later], word[later]
        size = np.array([each.size for each in found])
        under = shapely.area(shapely.intersection(core[word], veils.shape[veil]))
        out[word[under >= LETTER * size[word] ** 2]] = True
    return out


def _parts(
    found: list[Word], reach: FloatArray, shape: NDArray[np.object_], word: IntArray, fill: IntArray
) -> tuple[BoolArray, BoolArray]:
    """(w,) words wholly under their covers together, and (w,) those with a part under them that was a letter's."""
    gone, partly = np.zeros(len(found), bool), np.zeros(len(found), bool)
    asked, of = np.unique(word, return_inverse=True)
    if not len(asked) or len(asked) > MOST:
        return gone, partly
    core = cores([found[k] for k in asked], reach[asked])
    under = shapely.intersection(core[of], shape[fill])
    hidden = np.array([shapely.union_all(under[of == k]) for k in range(len(asked))], object)
    size = np.array([found[k].size for k in asked])
    gone[asked] = shapely.area(hidden) >= WHOLE * shapely.area(core)
    half = BROAD * size / 2
    broad = shapely.intersection(shapely.buffer(shapely.buffer(hidden, -half), half), core)
    partly[asked] = shapely.area(broad) >= LETTER * size**2
    return gone, partly & ~gone


def cores(words: list[Word], reach: FloatArray) -> NDArray[np.object_]:
    """(w,) turned rectangles.  The box of a turned word is w |cos| + h |sin| wide and w |sin| + h |cos| high, and
    its height h is known."""
    box = np.array([word.box for word in words], float)
    size = np.array([word.size for word in words])
    turn = np.radians([word.angle for word in words])
    cos, sin = np.cos(turn), np.sin(turn)
    top, bottom = size * reach[:, 0], size * reach[:, 1]
    side = box[:, 2:] - box[:, :2]
    level = np.abs(cos) >= np.abs(sin)
    other, own = np.where(level, np.abs(sin), np.abs(cos)), np.where(level, np.abs(cos), np.abs(sin))
    half = np.maximum(np.where(level, side[:, 0], side[:, 1]) - (top - bottom) * other, 0.0) / own / 2
    along, up = np.column_stack([cos, -sin]), np.column_stack([-sin, -cos])
    base = (box[:, :2] + box[:, 2:]) / 2 - up * ((top + bottom) / 2)[:, None]
    ends = [base - along * half[:, None], base + along * half[:, None]]
    high = up * (CAPITAL * size)[:, None]
    corners = np.stack([ends[0], ends[1], ends[1] + high, ends[0] + high], axis=1)
    polygons: NDArray[np.object_] = shapely.polygons(corners)
    return polygons
