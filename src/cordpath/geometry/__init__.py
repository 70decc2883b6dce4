"""Plain geometry that several stages use."""

from cordpath.geometry.boxes import (
    box_area,
    box_around,
    box_gap,
    from_the_top,
    grown,
    hull,
    in_box,
    middle_in_box,
    misaligned,
    overlap,
)
from cordpath.geometry.groups import (
    bent_chains,
    components,
    distinct_rows,
    first_equals,
    first_of_equal,
    group_boxes,
    hanging_together,
    nodes,
    pairs_within,
)
from cordpath.geometry.nearness import distances, near_boxes, near_points, segments_near
from cordpath.geometry.rectangles import middle_line, sides_around
from cordpath.geometry.rows import EVEN, EVEN_PT, rows_beside
from cordpath.geometry.segments import (
    OFF_SQUARE_PT,
    SAGITTA_PT,
    arc,
    boxes_around,
    chords,
    circle,
    cubic,
    directions,
    forward,
    lengths,
    lines,
    midpoints,
    points_in_box,
    rulings,
    segments_in_box,
)
from cordpath.geometry.similarity import Similarity
