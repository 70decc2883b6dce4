"""Plain geometry that several stages use."""

from cordpath.geometry.boxes import box_area, box_gap, grown, hull, in_box, middle_in_box, misaligned, overlap
from cordpath.geometry.groups import (
    bent_chains,
    components,
    distinct_rows,
    first_equals,
    first_of_equal,
    hanging_together,
    nodes,
    pairs_within,
)
from cordpath.geometry.nearness import near_boxes, near_points, segments_near
from cordpath.geometry.rectangles import middle_line, sides_around
from cordpath.geometry.rows import EVEN, EVEN_PT, rows_beside
from cordpath.geometry.segments import (
    OFF_SQUARE_PT,
    SAGITTA_PT,
    boxes_around,
    chords,
    circle,
    cubic,
    directions,
    forward,
    lengths,
    lines,
    midpoints,
    rulings,
    segments_in_box,
)
from cordpath.geometry.similarity import Similarity

__all__ = [
    "EVEN",
    "EVEN_PT",
    "OFF_SQUARE_PT",
    "SAGITTA_PT",
    "Similarity",
    "bent_chains",
    "box_area",
    "box_gap",
    "boxes_around",
    "chords",
    "circle",
    "components",
    "cubic",
    "directions",
    "distinct_rows",
    "first_equals",
    "first_of_equal",
    "forward",
    "grown",
    "hanging_together",
    "hull",
    "in_box",
    "lengths",
    "lines",
    "middle_in_box",
    "middle_line",
    "midpoints",
    "misaligned",
    "near_boxes",
    "near_points",
    "nodes",
    "overlap",
    "pairs_within",
    "rows_beside",
    "rulings",
    "segments_in_box",
    "segments_near",
    "sides_around",
]
