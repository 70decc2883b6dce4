"""Rows of a hatch: parallel lines at even gaps, and how many follow each other without one missing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray

EVEN_PT, EVEN = 0.15, 0.02  # pt, two roundings to 1/600 in, and of the gap a row: by which a row is off its place


@dataclass(frozen=True, eq=False)
class Rows:
    """Lines beside one that may be a row itself, under each of g gaps: ``number`` (g, n) the row that each line is,
    counted from that one, negative on one side; ``even`` (g, n) whether it lies at its place; ``before``,
    ``beyond`` (g,) rows that follow each other without one missing, from the row -1 down and from the row 1 up."""

    number: IntArray
    even: BoolArray
    before: IntArray
    beyond: IntArray


def rows_beside(aside: FloatArray, gaps: FloatArray) -> Rows:
    """Lines (n,) ``aside`` from another one, pt, as rows at ``gaps`` (g,), pt."""
    number = np.round(aside / gaps[:, None]).astype(np.int64)
    even = np.abs(aside - number * gaps[:, None]) < EVEN_PT + EVEN * gaps[:, None] * np.abs(number)
    even &= number != 0
    most = int(np.abs(number).max(initial=0))
    here = np.zeros((len(gaps), 2 * most + 1), bool)
    which, line = np.nonzero(even)
    here[which, most + number[which, line]] = True
    beyond = np.cumprod(here[:, most + 1 :], axis=1).sum(1)
    before = np.cumprod(here[:, :most][:, ::-1], axis=1).sum(1)
    return Rows(number, even, before, beyond)
