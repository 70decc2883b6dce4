"""What every noun is made of: points, boxes, arrays, and the answer that may be unknown."""

from __future__ import annotations

from enum import Enum

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]
Point = tuple[float, float]
Box = tuple[float, float, float, float]  # x0, y0, x1, y1 with x0 <= x1 and y0 <= y1

POINTS_PER_INCH = 72.0
INCHES_PER_FOOT = 12.0
LUMINANCE = (0.299, 0.587, 0.114)  # of red, green and blue (ITU-R BT.601)
WHITE = 0.95  # luminance from which a stroke or fill counts as paper, not ink (plots use pure white)


class Answer(Enum):
    """Three-valued truth.  Unknown travels to the verdict as ``unresolved``; it is never rounded to no."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"

    @staticmethod
    def of(value: bool | None) -> Answer:
        return Answer.UNKNOWN if value is None else (Answer.YES if value else Answer.NO)

    def __and__(self, other: Answer) -> Answer:
        if Answer.NO in (self, other):
            return Answer.NO
        return Answer.UNKNOWN if Answer.UNKNOWN in (self, other) else Answer.YES

    def __or__(self, other: Answer) -> Answer:
        if Answer.YES in (self, other):
            return Answer.YES
        return Answer.UNKNOWN if Answer.UNKNOWN in (self, other) else Answer.NO

    def __invert__(self) -> Answer:
        return {Answer.YES: Answer.NO, Answer.NO: Answer.YES}.get(self, self)
