"""How far a ruled schedule reaches: what stands beside it on the line of its header is another table's or a list's.

A legend beside a schedule whose first row, GFCI RECEPTACLE, stands at the height of the header would otherwise give
the schedule a column headed GFCI, and its rows marks.

Terms: *frame*, the extent of the level rulings over and under a header and its first rows.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from cordpath.circuits.panels.headings import column
from cordpath.circuits.panels.words import Reading, Text
from cordpath.model import FloatArray

Span = tuple[float, float]

DEPTH = 8.0  # font sizes under the header in which rulings are looked for: a few rows of any pitch
OVER = 2.0  # font sizes over it
JOIN = 2.0  # pt between pieces of one ruling, which many writers draw cell by cell
SAME = 3.0  # pt by which the ends of the rulings of one table differ
LEAST = 2  # rulings of one extent; one alone underlines a title


def in_frames(heads: list[Text], reading: Reading) -> list[Text]:
    """The headers that stand in the frame of a header of circuits; all of them where one of these has no frame."""
    frames = [_frame(head, reading) for head in heads if column(head.text) == "circuit"]
    known = [frame for frame in frames if frame is not None]
    if len(known) < len(frames):
        return heads
    return [head for head in heads if any(x0 <= head.x <= x1 for x0, x1 in known)]


def by_frames(heads: list[Text], reading: Reading) -> list[list[Text]]:
    """The headers by the frame that they stand in, left to right; all together where a circuit header has none."""
    frames = [_frame(head, reading) for head in heads if column(head.text) == "circuit"]
    known = sorted({frame for frame in frames if frame is not None})
    if len(known) < 2 or None in frames or any(two[0] < one[1] - SAME for one, two in pairwise(known)):
        return [heads]
    return [[head for head in heads if x0 <= head.x <= x1] for x0, x1 in known]


def _frame(head: Text, reading: Reading) -> Span | None:
    """The widest extent that some rulings near a header have in common, None without."""
    level = reading.level
    near = level[(level[:, 0] > head.y - OVER * head.size) & (level[:, 0] < head.y + DEPTH * head.size)]
    height = np.round(near[:, 0])
    found = [span for y in np.unique(height) if (span := _through(near[height == y], head.x)) is not None]
    alike = [
        one for one in found
        if sum(abs(one[0] - two[0]) <= SAME and abs(one[1] - two[1]) <= SAME for two in found) >= LEAST
    ]  # fmt: skip
    return max(alike, key=lambda span: span[1] - span[0], default=None)


def _through(pieces: FloatArray, x: float) -> Span | None:
    """The extent of the pieces of one level ruling that run on from each other through ``x``."""
    span: list[float] = []
    for _, x0, x1 in pieces[np.argsort(pieces[:, 1])].tolist():
        if span and x0 <= span[1] + JOIN:
            span[1] = max(span[1], x1)
        elif span and span[0] <= x <= span[1]:
            break
        else:
            span = [x0, x1]
    return (span[0], span[1]) if span and span[0] <= x <= span[1] else None
