"""Words in a sheet's own letter forms, under whatever other ink crosses them.

The reader of rows takes ink that hangs together for one letter: a word over a symbol or a wall is a tangle to it.
Here each letter is looked for stroke by stroke: where every stroke of a form is drawn from end to end at its place,
the letter is drawn.

Terms: *hit*, a form found among the strokes; *broad*, of forms: of three strokes or more, which nothing else shows
by chance; *chain*, hits side by side on one base, as near each other as letters of a word.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.spatial import cKDTree

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.sheet.lettering.letter_forms import GRID, Form, Forms

BROAD = 3  # strokes
PLACED = GRID + 0.04  # pt: the end's rounding and that of the stroke that gives the letter's place, and the form's
EXACT = 0.5 * GRID + 0.05  # pt: the same when the place is the mean of all ends
VECTOR = GRID + 0.02  # pt: two roundings and the form's
LEVEL = 0.5 * GRID + 0.06  # pt between the bases of letters of one word
CLOSE, LAP = 0.8, 0.15  # of the cap height: widest gap between letters of a word, and how far they may overlap
LEAST_CAP = 3.0  # pt: under it a plotter's grid is too coarse for strokes to tell anything
CELL = 0.4  # pt: of the table of ends
TABLE = 1 << 22  # entries: it only spares exact looks, and one of this size stays near the processor


@dataclass(frozen=True, eq=False)
class Hit:
    form: Form
    at: tuple[float, float]  # left end of its base, in the reading frame
    wide: float
    strokes: frozenset[int]


@dataclass(frozen=True, eq=False)
class Chain:
    """``xy``: everything that may be letters, in the reading frame, each stroke once."""

    hits: tuple[Hit, ...]
    angle: float
    cap: float
    strokes: frozenset[int]

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Around its letters, in the reading frame."""
        x0, y = self.hits[0].at
        last = self.hits[-1]
        return (x0, y - self.cap, last.at[0] + last.wide, y)


class Ends:
    """Strokes in a reading frame, found by their ends."""

    def __init__(self, xy: FloatArray) -> None:
        self.xy = xy
        self.both = np.concatenate([xy, xy[:, [2, 3, 0, 1]]])
        self.vectors = cKDTree(self.both[:, 2:] - self.both[:, :2])
        self._places: dict[bytes, FloatArray] = {}
        self.table = np.zeros(TABLE, bool)
        for dx in (-PLACED, PLACED):
            for dy in (-PLACED, PLACED):
                self.table[_cells(self.both[:, :2] + [dx, dy])] = True

    @cached_property
    def tree(self) -> cKDTree:
        """Of both ends together: most directions show no place that is worth an exact look."""
        return cKDTree(self.both)

    @cached_property
    def tips(self) -> cKDTree:
        """Of the first ends of ``both``."""
        return cKDTree(self.both[:, :2])

    def places(
        self, form: FloatArray, near: cKDTree | None = None, reach: FloatArray | None = None
    ) -> tuple[FloatArray, IntArray]:
        """(m, 2) where all k strokes of the form are drawn, and (m, k) the strokes that are those of the form; with
        ``near``, only places within ``reach`` (x, y) of one of its points."""
        at = self._rarest(form)
        if near is not None and reach is not None and len(at):
            at = at[np.isfinite(near.query(at / reach, p=np.inf, distance_upper_bound=1.0)[0])]
        for end in form.reshape(-1, 2):
            if not len(at):
                break
            at = at[self.table[_cells(at + end)]]
        return self._exact(form, at)

    def _rarest(self, form: FloatArray) -> FloatArray:
        """(m, 2) where the stroke of the form that is drawn the least is drawn: it may be asked for again."""
        key = form.tobytes()
        if key not in self._places:
            vector = form[:, 2:] - form[:, :2]
            count = self.vectors.query_ball_point(vector, VECTOR, p=np.inf, return_length=True)
            anchor = int(np.argmin(count))
            own = np.array(self.vectors.query_ball_point(vector[anchor], VECTOR, p=np.inf), np.int64)
            self._places[key] = self.both[own, :2] - form[anchor, :2]
        return self._places[key]

    def _exact(self, form: FloatArray, at: FloatArray) -> tuple[FloatArray, IntArray]:
        if len(at):
            at, k = self._all_near(form, at, PLACED)
        if not len(at):
            return at, np.zeros((0, len(form)), np.int64)
        off = self.both[k] - form - np.tile(at, 2)[:, None]
        at, k = self._all_near(form, at + off.reshape(len(at), -1, 2).mean(axis=1), EXACT)
        return at, k % len(self.xy)

    def _all_near(self, form: FloatArray, at: FloatArray, bound: float) -> tuple[FloatArray, IntArray]:
        """(m, 2) those places that have a stroke within ``bound`` of where each of the k of the form would be, and
        (m, k) which of ``both`` is the nearest."""
        ends = np.tile(at, 2)[:, None] + form
        away, k = self.tree.query(ends, p=np.inf, distance_upper_bound=bound)
        there = np.isfinite(away).all(axis=1)
        return at[there], k[there]


def _cells(points: FloatArray) -> IntArray:
    x, y = np.floor(points / CELL).astype(np.int64).T
    return np.asarray((x * 73_856_093 ^ y * 19_349_663) & (TABLE - 1), np.int64)


def chains(ends: Ends, forms: Forms, angle: float, taken: BoolArray) -> list[Chain]:
    """Words and single letters of the forms among the strokes, as who reads at the angle sees them.

    ``taken`` (n,): strokes that are letters already; those of the chains are added.
    """
    out: list[Chain] = []
    for ratio in forms.ratios:
        cap = forms.cap * ratio
        if cap >= LEAST_CAP:
            hits = _broad(ends, forms, ratio)
            hits += _slim(ends, forms, ratio, hits, cap)
            out += _chained(_apart(hits, taken), cap, angle)
    return out


def _broad(ends: Ends, forms: Forms, ratio: float) -> list[Hit]:
    return [
        hit for form in forms.forms if len(form.xy) >= BROAD
        for hit in _hits(form, ratio, *ends.places(form.xy * ratio))
    ]  # fmt: skip


def _slim(ends: Ends, forms: Forms, ratio: float, hits: list[Hit], cap: float) -> list[Hit]:
    """Letters of one stroke or two beside others: for themselves they are any lines."""
    out: list[Hit] = []
    beside = hits
    reach = np.array([2.5 * cap, LEVEL])
    for _ in range(3):
        if not beside:
            break
        tree = cKDTree(np.array([hit.at for hit in beside]) / reach)
        known = {(hit.form.letters, hit.strokes) for hit in out}
        beside = [
            hit for form in forms.forms if len(form.xy) < BROAD
            for hit in _hits(form, ratio, *ends.places(form.xy * ratio, tree, reach))
            if (hit.form.letters, hit.strokes) not in known
        ]  # fmt: skip
        out += beside
    return out


def _hits(form: Form, ratio: float, at: FloatArray, strokes: IntArray) -> list[Hit]:
    """``at`` (m, 2), ``strokes`` (m, k): see ``Ends.places``."""
    wide = float((form.xy[:, [0, 2]] * ratio).max())
    found = zip(map(frozenset, strokes.tolist()), at.tolist(), strict=True)
    once = {own: (x, y) for own, (x, y) in found if len(own) == len(form.xy)}
    return [Hit(form, place, wide, own) for own, place in once.items()]


def _apart(hits: list[Hit], taken: BoolArray) -> list[Hit]:
    """The hits that share no stroke with one of more strokes: F is drawn in every E, and - in both."""
    out = []
    known = set(np.flatnonzero(taken).tolist())
    for hit in sorted(hits, key=lambda hit: (-len(hit.strokes), -hit.form.times)):
        if known.isdisjoint(hit.strokes):
            out.append(hit)
            known |= hit.strokes
    taken[np.fromiter(known, np.int64)] = True
    return out


def _chained(hits: list[Hit], cap: float, angle: float) -> list[Chain]:
    after = _followers(hits, cap)
    first = set(range(len(hits))) - set(after.values())
    out = []
    for k in sorted(first):
        own = [hits[k]]
        while k in after:
            k = after[k]
            own.append(hits[k])
        strokes = frozenset().union(*(hit.strokes for hit in own))
        out.append(Chain(tuple(own), angle, cap, strokes))
    return out


def _followers(hits: list[Hit], cap: float) -> dict[int, int]:
    """The letter of its word that comes after each hit.  Where two may, or after two one, no word is told."""
    if not hits:
        return {}
    x0 = np.array([hit.at[0] for hit in hits])
    x1 = x0 + [hit.wide for hit in hits]
    y = np.array([hit.at[1] for hit in hits])
    reach = np.array([4 * cap, LEVEL])
    pairs = cKDTree(np.c_[x0, y] / reach).query_pairs(1.0, p=np.inf, output_type="ndarray")
    a, b = np.concatenate([pairs, pairs[:, ::-1]]).T.reshape(2, -1)
    gap = x0[b] - x1[a]
    near = (x0[b] > x0[a]) & (gap > -LAP * cap) & (gap < CLOSE * cap)
    a, b, gap = a[near], b[near], gap[near]
    order = np.lexsort((gap, a))
    out: dict[int, int] = {}
    before: dict[int, list[int]] = defaultdict(list)
    for k in order.tolist():
        one, two = int(a[k]), int(b[k])
        if one not in out:
            out[one] = two
            before[two].append(one)
    rivals = [one for own in before.values() if len(own) > 1 for one in own]
    return {one: two for one, two in out.items() if one not in rivals}
