"""Weak shapes: what must hold before a wall, a label or a layer may settle a circle with a line."""

from __future__ import annotations

import numpy as np

from cordpath.model import OUTLET_KINDS, POINTS_PER_INCH, FloatArray
from cordpath.symbols.borrowed import borrowed_lines, ends_meet
from cordpath.symbols.evidence import Candidate
from cordpath.symbols.pose import SCALE

ENOUGH = 3  # outlets without doubt that tell at what size a sheet is plotted
ONE_SIZE, SIZE_SLACK = 0.04, 0.12  # relative, and pt of radius (a step of the plotter's grid): of one size


def plain_checked(winners: tuple[Candidate, ...]) -> tuple[Candidate, ...]:
    """Weak shapes that are not quite what the mapping file draws: no wall, label or layer settles those.

    Their lines must be their own and end where the marks end, and they must have the size of the outlets about
    which there is no doubt, where there are some: a sheet is plotted at one size.
    """
    sure = [c for c in winners if c.found and c.template.entry.kind in OUTLET_KINDS and c.template.ratio is None]
    sizes = np.array([_plotted(c) for c in sure])
    return tuple(_plain(c, sizes) if c.doubts and all(d.weak for d in c.doubts) else c for c in winners)


def _plain(c: Candidate, sizes: FloatArray) -> Candidate:
    if c.template.text_only:
        return c
    if borrowed_lines(c).any():
        return c.doubted("its line runs on or may belong to something else")
    if not ends_meet(c):
        return c.doubted("its line is longer or shorter than in the mapping file")
    slack = max(ONE_SIZE, SIZE_SLACK / c.radius)
    if c.template.ratio is None and len(sizes) >= ENOUGH and (np.abs(sizes / _plotted(c) - 1) > slack).all():
        size, usual = _plotted(c), float(np.median(sizes))
        return c.doubted(
            f"it is drawn at {size:.2f} of the size in the mapping file, and other outlets at {usual:.2f}"
        )
    return c


def _plotted(c: Candidate) -> float:
    """Drawn size over the size in the mapping file."""
    return float(c.pose[SCALE]) * c.template.unit / POINTS_PER_INCH
