"""Text as a reader takes it: runs, and what stands above, below and beside them.

Terms: *run*, words of one line number joined by spaces.  *Size*, font size in points.  Only level text (reading
left to right as displayed) is used to find titles, headings and notes: plan sheets write them so.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

from cordpath.geometry import hull
from cordpath.model import Box, Word
from cordpath.units import plain

LEVEL = 2.0  # degrees
TOGETHER = 3.0  # of the size: runs on one baseline closer than this are one row (SCALE:   1/4" = 1'-0")
MOST_OPEN = 400  # rows that may still go on; a sheet's text is no taller
OFF_LEVEL = 0.35  # of the smaller size: baselines of one row differ by less
BAND, MOST_BANDS = 4.0, 50  # pt of height by which rows are looked up; letters too large for it look at all rows


@dataclass(frozen=True)
class Run:
    """Level text on one baseline; ``others``: where the runs begin that were joined to it, and their sizes."""

    text: str
    box: Box
    size: float
    others: tuple[tuple[float, float], ...] = field(default=(), compare=False)

    @property
    def starts(self) -> tuple[tuple[float, float], ...]:
        """Where it and each of the runs in it begin, pt from the left, with their sizes."""
        return ((self.box[0], self.size), *self.others)

    @property
    def said(self) -> str:
        """Upper case, one kind of prime and space."""
        return plain(self.text)

    @property
    def middle(self) -> float:
        return (self.box[1] + self.box[3]) / 2


def runs(words: tuple[Word, ...]) -> list[Run]:
    """The level runs of the sheet, top to bottom, then left to right.  Hidden words are left out."""
    lines: dict[int, list[Word]] = {}
    for word in words:
        level = min(word.angle, 360.0 - word.angle) <= LEVEL
        if level and word.origin != "hidden":
            lines.setdefault(word.line, []).append(word)
    found = [_run(line) for line in lines.values()]
    return sorted(found, key=lambda run: (round(run.box[1], 1), run.box[0]))


def _run(line: list[Word]) -> Run:
    line = sorted(line, key=lambda word: word.box[0])
    return Run(" ".join(word.text for word in line), hull([word.box for word in line]), max(w.size for w in line))


def rows(found: list[Run]) -> list[Run]:
    """Runs that share a baseline and are close, joined."""
    joined: list[Run] = []
    open_rows = _Open()
    for run in sorted(found, key=lambda run: run.box[0]):
        match = open_rows.last_before(run)
        if match is not None:
            open_rows.remove(match)
            text, others = f"{match.text} {run.text}", (*match.others, *run.starts)
            run = Run(text, hull([match.box, run.box]), max(match.size, run.size), others)
        open_rows.append(run)
        if len(open_rows) > MOST_OPEN:
            joined.extend(open_rows.closed(MOST_OPEN // 2))
    joined.extend(open_rows.closed(len(open_rows)))
    return sorted(joined, key=lambda run: (round(run.box[1], 1), run.box[0]))


class _Open:
    """Rows that may still go on, in the order in which they came, and by the band of the page of their baseline."""

    def __init__(self) -> None:
        self.rows: dict[int, Run] = {}
        self.bands: dict[int, dict[int, Run]] = {}
        self.came = 0

    def __len__(self) -> int:
        return len(self.rows)

    def append(self, row: Run) -> None:
        self.rows[self.came] = row
        self.bands.setdefault(_band(row.box[3]), {})[self.came] = row
        self.came += 1

    def last_before(self, run: Run) -> Run | None:
        """The one of the rows that the run continues that came last."""
        slack = OFF_LEVEL * run.size
        if slack < MOST_BANDS * BAND:
            near = range(_band(run.box[3] - slack), _band(run.box[3] + slack) + 1)
            bands = [self.bands[band] for band in near if band in self.bands]
        else:
            bands = list(self.bands.values())
        last = max((k for band in bands for k, row in band.items() if _continues(row, run)), default=None)
        return None if last is None else self.rows[last]

    def remove(self, row: Run) -> None:
        """The first row that is equal to this one."""
        self._take(min(k for k, other in self.bands[_band(row.box[3])].items() if other == row))

    def closed(self, count: int) -> list[Run]:
        """The first rows, which are taken out."""
        return [self._take(k) for k in list(self.rows)[:count]]

    def _take(self, k: int) -> Run:
        row = self.rows.pop(k)
        del self.bands[_band(row.box[3])][k]
        return row


def _band(y: float) -> int:
    return int(y // BAND) if math.isfinite(y) else 0


def _continues(row: Run, run: Run) -> bool:
    small = min(row.size, run.size)
    level = abs(row.box[3] - run.box[3]) < OFF_LEVEL * small and max(row.size, run.size) < 1.6 * small
    return level and -0.5 * small < run.box[0] - row.box[2] < TOGETHER * small


def above(found: list[Run], run: Run, reach: float) -> list[Run]:
    """Runs above ``run`` within ``reach`` times its size, that share some of its width; nearest first."""
    near = [
        other for other in found
        if other is not run and other.middle < run.middle and _is_under(run, other, run.size, reach)
    ]  # fmt: skip
    return sorted(near, key=lambda other: run.middle - other.middle)


def below(found: list[Run], run: Run, reach: float) -> list[Run]:
    """Runs below, as :func:`above`."""
    near = [
        other for other in found
        if other is not run and other.middle > run.middle and _is_under(other, run, run.size, reach)
    ]  # fmt: skip
    return sorted(near, key=lambda other: other.middle - run.middle)


def _is_under(lower: Run, upper: Run, size: float, reach: float) -> bool:
    near = 0 <= lower.box[1] - upper.box[3] + 0.4 * size <= reach * size
    return near and _shares(upper.box, lower.box, size)


def _shares(a: Box, b: Box, slack: float) -> bool:
    return a[0] < b[2] + slack and b[0] < a[2] + slack


def matches(pattern: re.Pattern[str], run: Run) -> bool:
    return pattern.fullmatch(run.said.strip(" :.-")) is not None
