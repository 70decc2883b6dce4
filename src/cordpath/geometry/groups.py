"""What belongs together: things in groups by their links, and points in *nodes* where they meet."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from cordpath.model import BoolArray, FloatArray, IntArray

FEW_LINKS = 100  # from about so many on a sparse matrix is faster (measured)
SQUARE = 1 / 6  # of the reach: see nodes
MIX = 0x9E3779B97F4A7C15  # odd: its powers spread numbers over 64 bits (multiplicative hashing, Knuth)


def components(a: IntArray, b: IntArray, count: int) -> tuple[int, IntArray]:
    """How many groups ``count`` things form by their links a-b, and (count,) the group of each, numbered by their
    first members."""
    if len(a) <= FEW_LINKS:
        return _few_components(a, b, count)
    graph = coo_matrix((np.ones(len(a), np.int8), (a, b)), shape=(count, count))
    total, label = connected_components(graph, directed=False)
    return int(total), label.astype(np.int64)


def _few_components(a: IntArray, b: IntArray, count: int) -> tuple[int, IntArray]:
    """The same without a sparse matrix, whose making takes longer than to follow a few links."""
    first = np.arange(count)
    for one, two in zip(a.tolist(), b.tolist(), strict=True):
        while first[one] != one:
            one = int(first[one])
        while first[two] != two:
            two = int(first[two])
        first[max(one, two)] = min(one, two)
    for k in np.flatnonzero(first != np.arange(count)).tolist():  # ascending: what it leads to is settled
        first[k] = first[first[k]]
    roots = first == np.arange(count)
    return int(roots.sum()), (np.cumsum(roots) - 1)[first]


def nodes(points: FloatArray, reach: float) -> IntArray:
    """(n,) number of the node of each point (n, 2): points that lie within ``reach`` pt of each other meet, and so
    do those between which others lie in steps as short.

    Points of a square of a sixth of the reach stand as one, or a crowd in one place would make pairs without end:
    any two within half the reach meet, and no step is longer than one and a half.
    """
    if not len(points):
        return np.zeros(0, np.int64)
    square = np.round(points / (SQUARE * reach)).astype(np.int64)
    key = (square[:, 0] << 32) + square[:, 1]
    order = np.argsort(key, kind="stable")
    new = np.r_[True, key[order][1:] != key[order][:-1]]
    which = np.empty(len(points), np.int64)
    which[order] = np.cumsum(new) - 1
    first = order[new]
    pairs = pairs_within(points[first], reach)
    return components(pairs[:, 0], pairs[:, 1], len(first))[1][which]


def hanging_together(node: IntArray) -> IntArray:
    """(n,) group of each stroke, by the nodes (2n,) of its ends, as ``nodes`` gives them for strokes (n, 4): those
    that meet, or that others join, are of one."""
    return components(node[::2], node[1::2], int(node.max(initial=-1)) + 1)[1][node[::2]]


def pairs_within(points: FloatArray, reach: float) -> IntArray:
    """(p, 2) pairs of the points (n, k) within ``reach`` of each other, the lower number first, in no order.

    For one question a tree that is not balanced is made faster than it answers slower.
    """
    tree = cKDTree(points, balanced_tree=False, compact_nodes=False)
    return np.asarray(tree.query_pairs(reach, output_type="ndarray"))


def distinct_rows(rows: FloatArray) -> tuple[FloatArray, IntArray]:
    """The different rows of (n, k) in ascending order, and (n,) which of them each is.

    As ``numpy.unique`` along the first axis; that sorts whole rows as records, which takes several times as long.
    """
    order = np.lexsort(rows.T[::-1])
    ordered = rows[order]
    new = np.ones(len(rows), bool)
    new[1:] = (ordered[1:] != ordered[:-1]).any(axis=1)
    which = np.empty(len(rows), np.int64)
    which[order] = np.cumsum(new) - 1
    return ordered[new], which


def first_equals(rows: IntArray) -> IntArray:
    """(n,) index of the first of the rows (n, k) of integers that each equals: its own for most of them.

    Only rows of one mixed number are compared, since to sort all of them by each column takes several times as
    long.
    """
    first = np.arange(len(rows))
    powers = np.array([pow(MIX, 1 + n, 1 << 64) for n in range(rows.shape[1])], np.uint64)
    mixed = (rows.astype(np.uint64) * powers).sum(axis=1)
    order = np.argsort(mixed)
    same = mixed[order[1:]] == mixed[order[:-1]]
    perhaps = np.sort(order[np.r_[False, same] | np.r_[same, False]]) if len(rows) else order
    perhaps = perhaps[np.lexsort(rows[perhaps].T)]  # stable: of equal rows the first comes first
    new = np.ones(len(perhaps), bool)
    new[1:] = (rows[perhaps[1:]] != rows[perhaps[:-1]]).any(axis=1)
    first[perhaps] = perhaps[np.maximum.accumulate(np.where(new, np.arange(len(perhaps)), 0))]
    return first


def first_of_equal(rows: IntArray) -> BoolArray:
    """(n,) False for those of the rows (n, k) of integers that one before them equals."""
    return np.asarray(first_equals(rows) == np.arange(len(rows)))


def bent_chains(xy: FloatArray, reach: float, turn: tuple[float, float], noisy: float = 0.0) -> IntArray:
    """(n,) number of the chain of each stroke (n, 4): strokes whose ends lie within ``reach`` pt and that turn
    there by no less and no more than ``turn``, radians; pieces shorter than ``noisy`` pt may also go straight on.
    """
    count = len(xy)
    ends, other = np.concatenate([xy[:, :2], xy[:, 2:]]), np.concatenate([xy[:, 2:], xy[:, :2]])
    i, j = cKDTree(ends).query_pairs(reach, output_type="ndarray").T
    out_i, out_j = other[i] - ends[i], other[j] - ends[j]
    cross = out_i[:, 1] * out_j[:, 0] - out_i[:, 0] * out_j[:, 1]
    angle = np.abs(np.arctan2(cross, -(out_i * out_j).sum(1)))  # straight on: one leaves where the other came from
    short = np.minimum(np.hypot(*out_i.T), np.hypot(*out_j.T)) < noisy
    keep = ((angle >= turn[0]) | short) & (angle <= turn[1]) & (i % count != j % count)
    return components(i[keep] % count, j[keep] % count, count)[1]


def group_boxes(xy: FloatArray, owner: IntArray, count: int) -> FloatArray:
    """(count, 4) boxes of the strokes (n, 4) of each ``owner``; those without strokes get inf."""
    box = np.full((count, 4), np.inf)
    box[:, 2:] = -np.inf
    if len(owner) and (owner[1:] >= owner[:-1]).all():  # sorted, as most are: no need to look each owner up
        start = np.flatnonzero(np.diff(owner, prepend=owner[0] - 1))
        own = owner[start]
        box[own, :2] = np.minimum.reduceat(np.minimum(xy[:, :2], xy[:, 2:]), start)
        box[own, 2:] = np.maximum.reduceat(np.maximum(xy[:, :2], xy[:, 2:]), start)
        return box
    for column in range(4):
        np.minimum.at(box[:, column % 2], owner, xy[:, column])
        np.maximum.at(box[:, 2 + column % 2], owner, xy[:, column])
    return box
