"""How far each column of a half table reaches, ruled or not.

Terms
    *cluster*   phrases of the body whose extents along the text overlap: as a rule the cells of one column.
    *river*     an empty strip between two columns.

Where rulings stand between two headers they decide.  Elsewhere clusters are given to headers in order, so that each
lies near its header and no header that could have cells goes without: a short text at the left of a wide column
may lie nearer to the neighbour's header than to its own.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from cordpath.circuits.panels.headings import Column, column
from cordpath.circuits.panels.strangers import DOUBTFUL, limit
from cordpath.circuits.panels.words import Reading, Text, columns_of, lines, phrases
from cordpath.model import FloatArray

# How far an unruled outer column runs on, in font sizes; ticks may stand at one side of one whose header stands in
# its middle.
REACH = {"description": 30.0, "notes": 20.0, "gfci": 4.0, "afci": 4.0}
OUTER = 2.0  # the same for number columns
WIDEST = 30.0  # font sizes from the header of a ruled outer column to its ruling
INSIDE = 2.0  # pt from the ruling of an outer column to where the lines between its rows are looked for
EMPTY = 8.0  # what a header without cells weighs, as a distance in font sizes: wider than most number columns

Span = tuple[float, float]


@dataclass(frozen=True)
class Field:
    """One column: what it holds, its header, and its extent along the text in points."""

    kind: Column
    head: Text
    x0: float
    x1: float


def extents(
    group: list[Text], body: list[Text], reading: Reading, rows: Span, at: tuple[Sequence[float], Sequence[float]]
) -> tuple[Field, ...]:
    """The columns under all headers of a band, left to right.

    ``group``: headers; ``body``: words of the rows; ``rows``: heights that rulings must run along; ``at``: heights
    of the circuit numbers of the first half and of the last.
    """
    rulings = _long_rulings(reading, *rows)
    low, high = group[0].x0 - _reach(group[0]), group[-1].x1 + _reach(group[-1])
    low = _outer(rulings[rulings < group[0].x][-1:], low, group[0], reading, rows)
    high = _outer(rulings[rulings > group[-1].x][:1], high, group[-1], reading, rows)
    low = limit(group[0], -1, low, body, reading, at[0])
    high = limit(group[-1], 1, high, body, reading, at[1])
    rivers = _rivers(group, [w for w in body if low <= w.x <= high], reading)
    fields = []
    for i, head in enumerate(group):
        x0 = low if i == 0 else _edge(group[i - 1], head, rulings, rivers[i - 1], nearest=head)
        x1 = high if i + 1 == len(group) else _edge(head, group[i + 1], rulings, rivers[i], nearest=head)
        fields.append(Field(column(head.text) or "ignore", head, float(x0), float(x1)))
    return tuple(fields)


def _outer(ruling: FloatArray, end: float, head: Text, reading: Reading, rows: Span) -> float:
    """Where an outer column ends: at the nearest ruling beside its header, if its rows are ruled up to there."""
    if not len(ruling):
        return end
    at, side = float(ruling[0]), 1 if ruling[0] > head.x else -1
    ruled = reading.levels_between(at - side * INSIDE, *rows) > 0 and reading.levels_between(head.x, *rows) > 0
    near = abs(at - head.x) <= WIDEST * head.size
    return at if (ruled and near) or side * (at - end) < 0 else end


def _reach(head: Text) -> float:
    return REACH.get(column(head.text.removeprefix(DOUBTFUL)) or "ignore", OUTER) * head.size


def _edge(a: Text, b: Text, rulings: FloatArray, river: float, *, nearest: Text) -> float:
    """The border between two headers as ``nearest`` sees it: unheaded ruled columns between belong to neither."""
    between = rulings[(rulings > a.x) & (rulings < b.x)]
    if not len(between):
        return river
    return float(between.min() if nearest is a else between.max())


def _long_rulings(reading: Reading, top: float, bottom: float) -> FloatArray:
    """x of upright rulings that run along at least half of the rows, in one piece or many, in order."""
    u = reading.upright
    cover = np.minimum(u[:, 2], bottom) - np.maximum(u[:, 1], top)
    u, cover = u[cover > 0], cover[cover > 0]
    xs, which = np.unique(np.round(u[:, 0]), return_inverse=True)
    total = np.bincount(which, weights=cover, minlength=len(xs))
    return np.asarray(xs[total >= 0.5 * (bottom - top)], float)


def _rivers(group: list[Text], body: list[Text], reading: Reading) -> list[float]:
    """One border between each pair of neighbouring headers."""
    cells = [p for line in lines(body) for p in phrases(line, reading)]
    spans = [(each[0].x0, max(cell.x1 for cell in each)) for each in columns_of(cells)]
    clusters = _split(spans, group, cells)
    owner = _owners(clusters, group)
    borders = []
    for i in range(len(group) - 1):
        mine = [c for c, o in zip(clusters, owner, strict=True) if o == i]
        other = [c for c, o in zip(clusters, owner, strict=True) if o == i + 1]
        end = max((c[1] for c in mine), default=group[i].x1)
        start = min((c[0] for c in other), default=group[i + 1].x0)
        borders.append((end + start) / 2)
    return borders


def _split(clusters: list[Span], group: list[Text], cells: list[Text]) -> list[Span]:
    """A cluster under several headers, cut at the widest river that cells leave between each two of them."""
    found: list[Span] = []
    for x0, x1 in clusters:
        over = [head for head in group if x0 < head.x < x1]
        cuts = [_river(a, b, cells) for a, b in itertools.pairwise(over)]
        edges = [x0, *cuts, x1]
        found += [(a, b) for a, b in itertools.pairwise(edges) if b > a]
    return found


def _river(a: Text, b: Text, cells: list[Text]) -> float:
    """Where between the middles of two headers the fewest cells stand; the middle of the widest such strip."""
    inner = [c for c in cells if c.x1 > a.x and c.x0 < b.x]
    marks = np.unique([a.x, b.x, *(np.clip([c.x0 for c in inner] + [c.x1 for c in inner], a.x, b.x))])
    middles = (marks[:-1] + marks[1:]) / 2
    if not len(middles):
        return (a.x1 + b.x0) / 2
    crowd = np.array([sum(c.x0 < m < c.x1 for c in inner) for m in middles])
    widths = np.where(crowd == crowd.min(), np.diff(marks), -1.0)
    return float(middles[int(widths.argmax())])


def _owners(clusters: list[Span], group: list[Text]) -> list[int]:
    """The header of each cluster, in order, by least total distance (dynamic programming)."""
    n, m = len(clusters), len(group)
    if not n:
        return []
    away = np.array([[max(0.0, c[0] - h.x1, h.x0 - c[1]) for h in group] for c in clusters])
    empty = EMPTY * float(np.mean([h.size for h in group]))
    best = np.full((n + 1, m + 1), np.inf)  # best[i, j]: the first i clusters given to the first j headers
    best[0, 0] = 0.0
    first = np.zeros((n + 1, m + 1), int)
    for j in range(1, m + 1):
        for i in range(n + 1):
            run = [best[k, j - 1] + (away[k:i, j - 1].sum() if k < i else empty) for k in range(i + 1)]
            first[i, j] = int(np.argmin(run))
            best[i, j] = run[first[i, j]]
    owner = [0] * n
    i = n
    for j in range(m, 0, -1):
        owner[first[i, j] : i] = [j - 1] * (i - first[i, j])
        i = int(first[i, j])
    return owner
