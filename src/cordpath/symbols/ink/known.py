"""What has been found out about templates and candidates on one sheet's ink: several rounds ask the same again.

The keys are templates, told by which they are, and poses and segments as bytes.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from shapely.geometry.base import BaseGeometry

from cordpath.model import BoolArray, FloatArray, IntArray


@dataclass(frozen=True, eq=False)
class Known:
    # poses fitted to the ink, and their coverage, by the lines that they are of: verify
    fits: dict[bytes, tuple[FloatArray, FloatArray]] = field(default_factory=dict)
    # numbers of the runs drawn on the lines of candidates: borrowed
    drawn_on: dict[tuple[object, bytes, bytes, bytes], list[list[int]]] = field(default_factory=dict)
    # lines of candidates that may be somebody else's: borrowed
    borrowed: dict[tuple[object, ...], BoolArray] = field(default_factory=dict)
    # lines of candidates that are not drawn from end to end and no farther: borrowed
    ends_elsewhere: dict[tuple[object, ...], BoolArray] = field(default_factory=dict)
    # segments of rows of hatch across candidates: hatch_rows
    rows: dict[tuple[object, bytes, bytes], IntArray] = field(default_factory=dict)
    # marks of candidates that are none of another's: in_common
    off: dict[tuple[object, ...], BoolArray] = field(default_factory=dict)
    # filled marks of candidates as one shape: in_common
    painted: dict[tuple[object, bytes], BaseGeometry] = field(default_factory=dict)
