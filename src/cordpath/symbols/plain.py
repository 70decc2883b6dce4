"""Weak shapes: what must hold before a wall, a label or a layer may settle a circle with a line."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cordpath.model import OUTLET_KINDS, POINTS_PER_INCH, FloatArray
from cordpath.symbols.borrowed import borrowed_lines, ends_meet
from cordpath.symbols.context import Walls, oriented
from cordpath.symbols.evidence import Candidate
from cordpath.symbols.pose import SCALE

ENOUGH = 3  # outlets without doubt that tell at what size a sheet is plotted
ONE_SIZE, SIZE_SLACK = 0.04, 0.12  # relative, and pt of radius (a step of the plotter's grid): of one size


def settled_by_place(c: Candidate, walls: Walls, device_layer: bool) -> Candidate:
    """A plain outlet with nothing against it but its plainness is no doubt where it stands on a wall, or on a layer
    of devices, and its line is its own and ends where the mark ends.

    Known before the candidates of one place are compared: a richer design that half the ink of a wall nearby makes
    up must not take the place of one that is drawn in full.
    """
    weak = c.template.entry.kind in OUTLET_KINDS and not c.template.text_only and bool(c.doubts)
    if not weak or not all(d.weak for d in c.doubts):
        return c
    if not (device_layer or oriented(c.template, c.poses, walls)[1]) or _line_in_doubt(c):
        return c
    return replace(c, doubts=())


def plain_checked(winners: tuple[Candidate, ...]) -> tuple[Candidate, ...]:
    """Weak shapes that are not quite what the mapping file draws: no wall, label or layer settles those.

    Their lines must be their own and end where the marks end, and they must have the size of the outlets about
    which there is no doubt, where there are some: a sheet is plotted at one size.
    """
    sure = [c for c in winners if c.found and c.template.entry.kind in OUTLET_KINDS and not c.template.weak]
    sizes = np.array([_plotted(c) for c in sure if c.template.ratio is None])
    return tuple(_plain(c, sizes) if c.template.weak and all(d.weak for d in c.doubts) else c for c in winners)


def _plain(c: Candidate, sizes: FloatArray) -> Candidate:
    if c.template.text_only:
        return c
    doubt = _line_in_doubt(c)
    if doubt is not None:
        return c.doubted(doubt)
    slack = max(ONE_SIZE, SIZE_SLACK / c.radius)
    if c.template.ratio is None and len(sizes) >= ENOUGH and (np.abs(sizes / _plotted(c) - 1) > slack).all():
        size, usual = _plotted(c), float(np.median(sizes))
        return c.doubted(
            f"it is drawn at {size:.2f} of the size in the mapping file, and other outlets at {usual:.2f}"
        )
    return c


def _line_in_doubt(c: Candidate) -> str | None:
    if borrowed_lines(c).any():
        return "its line runs on or may belong to something else"
    return None if ends_meet(c) else "its line is longer or shorter than in the mapping file"


def _plotted(c: Candidate) -> float:
    """Drawn size over the size in the mapping file."""
    return float(c.pose[SCALE]) * c.template.unit / POINTS_PER_INCH
