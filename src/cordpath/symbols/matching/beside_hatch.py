"""Lines of a fixture that lie where a hatch over it may have a row, and so are taken for rows: sides of a tub or a
sink beside which the hatch runs.

A side is the fixture's own where one line is drawn on it from end to end and no farther, and the rows about it end
elsewhere.  Bars of outlets are not asked: one more or less makes another outlet, a side of a tub does not.
"""

from __future__ import annotations

import numpy as np

from cordpath.model import FIXTURE_KINDS
from cordpath.symbols.ink.grid import square_gaps
from cordpath.symbols.matching.borrowed import drawn_by_one_of
from cordpath.symbols.matching.evidence import Candidate, hatch_in
from cordpath.symbols.matching.hatch_rows import out_of_step
from cordpath.symbols.pose import SCALE, place


def drawn_beside_hatch(c: Candidate) -> bool:
    """Is enough of a fixture drawn without hatch, if lines of its own that lie about where rows would are none?

    Shapes of straight lines alone are not told so: a strip of hatch between two other lines is a rectangle.
    """
    template, ink = c.template, c.ink
    if c.by is None or template.entry.kind not in FIXTURE_KINDS or not len(template.circles):
        return False
    hatch = c.segments[ink.hatch[c.segments] & ~ink.curved[c.segments]]
    own = np.flatnonzero(drawn_by_one_of(c, ink.run_of[hatch[out_of_step(c, hatch, among_own=False)]]))
    mine = np.isin(template.element, own)
    calm = ink.xy[c.segments[~ink.hatch[c.segments]]]
    if not mine.any() or not len(calm):
        return False
    gaps = square_gaps(calm, place(c.pose[None], template.points[mine])[0][:, None]).min(1)
    more = template.weight[mine][gaps > (template.tolerance * float(c.pose[SCALE])) ** 2].sum() / template.ink
    return not hatch_in(template, c.by.measured, float(c.by.measured.quiet[0] + more))
