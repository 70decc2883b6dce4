"""The ratio on which the dimension strings of a view agree.

Terms: *consensus*, the ratio on which the most strings agree.  *Readable*, a string that has a possible drawn
length.  *Slack*, how far one string's ratio may be off from rounding of the plot.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cordpath.model import POINTS_PER_INCH
from cordpath.scale.dimensions import Reading
from cordpath.scale.written import String

AGREE = 0.01  # relative: evidence within this is the same scale
ROUNDING = 0.3  # pt on the drawn length of one string: plots round to 1/600 in (0.12 pt), tick and pen width
FEWEST = 2  # strings that must agree to confirm or to contradict a note: one may belong to other marks
FEWEST_ALONE = 3  # strings of different lengths that must agree to outweigh a note, or to stand without one
DOMINANT = 0.5  # of the strings that can be read: a consensus of fewer contradicts nothing
RATIOS = (1.0, 2000.0)  # of building drawings


@dataclass(frozen=True)
class Consensus:
    ratio: float
    count: int
    of: int  # strings that had a reading
    spread: float  # relative, of the agreeing strings
    text: str
    lengths: int  # how many different lengths agree
    first: int  # how many agree by their best reading
    bare: bool = False  # none of them has a unit: which one is meant is taken for granted

    @property
    def dominant(self) -> bool:
        return self.count >= DOMINANT * self.of

    @property
    def believed(self) -> bool:
        """Strong enough to ask: most of the strings that can be read, two of different lengths or three of one
        length at their nearest marks.  A wrong scale makes every distance wrong, so few are enough to contradict
        what is written."""
        varied = self.count >= FEWEST and self.lengths > 1
        return (varied or self.first >= FEWEST_ALONE) and self.dominant

    @property
    def strong(self) -> bool:
        """Strong enough to measure with: three lengths or more, most of them read at their nearest marks."""
        return self.believed and self.lengths >= FEWEST_ALONE and 2 * self.first > self.count


def best(found: tuple[String, ...], read: tuple[Reading, ...]) -> Consensus | None:
    """The ratio on which the most strings agree, best readings counting more; None without readings."""
    ratio, slack, weight, owner = _table(found, read)
    if not len(ratio):
        return None
    # one at a time: a table of all pairs of a dense sheet's readings takes gigabytes
    votes = [_votes(np.abs(ratio / one - 1) <= slack, weight, owner) for one in ratio]
    drawn = np.array([r.drawn for r in read])[_usable(found, read)]
    pick = max(range(len(ratio)), key=lambda i: (round(votes[i], 6), weight[i], drawn[i]))
    return around(found, read, float(ratio[pick]))


def around(found: tuple[String, ...], read: tuple[Reading, ...], ratio: float) -> Consensus | None:
    """The strings that agree with ``ratio``, and the ratio that they give together."""
    ratios, slack, weight, owner = _table(found, read)
    agree = np.flatnonzero(np.abs(ratios / ratio - 1) <= slack)
    if not len(agree):
        return None
    drawn = (np.array([r.drawn for r in read])[_usable(found, read)])[agree]
    nearest: dict[int, int] = {}
    for k, row in sorted(enumerate(agree), key=lambda item: abs(ratios[item[1]] / ratio - 1)):
        nearest.setdefault(int(owner[row]), k)
    rows = np.array(sorted(nearest.values()))
    together, weights = ratios[agree][rows], drawn[rows]
    middle = float((together * weights).sum() / weights.sum())
    spread = float((np.abs(together / middle - 1) * weights).sum() / weights.sum())
    members = [found[number] for number in sorted(nearest)]
    longest = max(members, key=lambda string: string.length_in)
    lengths = {round(string.length_in, 3) for string in members}
    readable = len(set(owner.tolist()))
    first = int((weight[agree][rows] == 1.0).sum())
    bare = all(string.bare for string in members)
    return Consensus(middle, len(members), readable, spread, longest.text, len(lengths), first, bare)


def agreeing(found: tuple[String, ...], read: tuple[Reading, ...], ratio: float) -> tuple[Reading, ...]:
    """The readings that agree with ``ratio``, the nearest of each string, in the order of the strings."""
    ratios, slack, _, owner = _table(found, read)
    rows = [r for r, ok in zip(read, _usable(found, read), strict=True) if ok]
    nearest: dict[int, int] = {}
    for row in sorted(
        np.flatnonzero(np.abs(ratios / ratio - 1) <= slack), key=lambda k: abs(ratios[k] / ratio - 1)
    ):
        nearest.setdefault(int(owner[row]), int(row))
    return tuple(rows[nearest[number]] for number in sorted(nearest))


def _usable(found: tuple[String, ...], read: tuple[Reading, ...]) -> np.ndarray:
    ratio = np.array([found[r.string].length_in * POINTS_PER_INCH / r.drawn for r in read])
    return (ratio >= RATIOS[0]) & (ratio <= RATIOS[1]) if len(ratio) else np.zeros(0, bool)


def _table(
    found: tuple[String, ...], read: tuple[Reading, ...]
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Ratio, relative slack, weight (1, 1/2, 1/4 by rank) and string of every usable reading."""
    usable = _usable(found, read)
    rows = [r for r, ok in zip(read, usable, strict=True) if ok]
    drawn = np.array([r.drawn for r in rows])
    ratio = np.array([found[r.string].length_in * POINTS_PER_INCH for r in rows]) / drawn
    slack = np.maximum(AGREE / 2, ROUNDING / drawn).clip(max=0.05)
    weight = 0.5 ** np.array([r.rank for r in rows], float)
    return ratio, slack, weight, np.array([r.string for r in rows], np.int64)


def _votes(close: np.ndarray, weight: np.ndarray, owner: np.ndarray) -> float:
    """Sum over strings of the best weight among their close readings."""
    if not close.any():
        return 0.0
    top = np.zeros(int(owner.max()) + 1)
    np.maximum.at(top, owner[close], weight[close])
    return float(top.sum())
