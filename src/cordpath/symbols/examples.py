"""Shapes taken from a drawing instead of written down: ``picked:`` and ``legend:`` entries of the mapping file."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field

from cordpath.model import Mark


@dataclass(frozen=True)
class Examples:
    """What each ``picked:`` or ``legend:`` entry looks like, by the entry's name.

    ``marks`` are in inches on paper about the middle of the strokes; ``notes`` says what was taken, and from where.
    """

    marks: MappingABC[str, tuple[Mark, ...]] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    def get(self, name: str) -> tuple[Mark, ...] | None:
        """The marks of the entry of that name, or None."""
        return self.marks.get(name)


NO_EXAMPLES = Examples()
