"""Stage 2: notes, viewports, dimension strings and bars become a proved :class:`~cordpath.model.Scale` a view."""

from cordpath.scale.enlarged import enlarged_parts
from cordpath.scale.plausible import weigh
from cordpath.scale.prove import prove_scales, read_dimensions
from cordpath.units import ScaleNote, parse_scale_note

__all__ = ["ScaleNote", "enlarged_parts", "parse_scale_note", "prove_scales", "read_dimensions", "weigh"]
