"""Stage 2: notes and dimension strings become a proved :class:`~cordpath.model.Scale` for every view."""

from cordpath.scale.prove import prove_scales
from cordpath.units import ScaleNote, parse_scale_note

__all__ = ["ScaleNote", "parse_scale_note", "prove_scales"]
