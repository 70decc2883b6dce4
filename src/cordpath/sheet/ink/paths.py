"""The painted paths of a page as typed arrays, in MuPDF's own frame.

Terms: *edge*, a straight piece of a path; *bend*, a cubic Bezier piece; *scissor*, the rectangle around a clip
path, cut to the clips that enclose it; *veil*, a group that is blended with what was painted before it so that this
shows through.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from cordpath.model import BoolArray, Box, FloatArray, IntArray
from cordpath.sheet.cells import Cell
from cordpath.sheet.ink.clip_shapes import Clip
from cordpath.sheet.ink.painted import Overlay

COVERS = 1.5  # pt; thinner white lines leave something of every mark and letter (the smallest are 4 pt high)


@dataclass(frozen=True, eq=False)
class Paths:
    """Everything painted by path operators, in paint order.  p paths, e edges, b bends, c scissors."""

    edge: FloatArray  # (e, 4)
    edge_path: IntArray  # (e,)
    bend: FloatArray  # (b, 8)
    bend_path: IntArray  # (b,)
    bend_before: IntArray  # (b,) how many edges came before the bend
    stroked: BoolArray  # (p,) the pen was used, and was not fully transparent
    filled: BoolArray  # (p,)
    even_odd: BoolArray  # (p,) fill rule; else nonzero
    dashed: BoolArray  # (p,)
    butt: BoolArray  # (p,) line cap: butt; else round or projecting
    round_cap: BoolArray  # (p,)
    mitred: BoolArray  # (p,) line join: corners; else round or cut off
    hiding: BoolArray  # (p,) the pen was used, and nothing shows through it
    width: FloatArray  # (p,)
    pen: FloatArray  # (p, 3)
    paint: FloatArray  # (p, 3) fill colour
    opacity: FloatArray  # (p,) of the fill
    unsure: BoolArray  # (p,) seen through a soft mask, or blended so that what is seen depends on what is below
    veiling: BoolArray  # (p,) it is not sure that it hides what was painted before: a soft mask, or overprint
    since: IntArray  # (p,) first path within the veil around it: a fill hides no earlier one; -1 for no veil
    order: IntArray  # (p,) number in MuPDF's paint order, shared with text
    layer: IntArray  # (p,) index into layers
    clip: IntArray  # (p,) index into scissors, -1 for none
    scissors: FloatArray  # (c, 4)
    clips: tuple[Clip, ...]  # (c,) what else is known of each clip
    cells: tuple[Cell, ...]  # areas painted with copies of a pattern's cell
    layers: tuple[str, ...]
    dashes: Mapping[int, tuple[tuple[float, ...], float]]  # lengths and phase, pt, of the broad white dashed paths
    gaps: Mapping[int, tuple[tuple[float, ...], float]]  # the same of dashed paths with wide gaps
    shadings: tuple[tuple[int, Box], ...]  # where one may hide what was painted before it, and its number in order
    overlays: tuple[Overlay, ...]  # pictures and stencils that may hide what was painted before them

    def __len__(self) -> int:
        return len(self.width)
