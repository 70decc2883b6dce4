"""What can be asked about drawn letters at a symbol, where these can be read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeVar

import numpy as np
from shapely.geometry.base import BaseGeometry

from cordpath.model import Box, FloatArray, IntArray, Word
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.templates.template import Template

T = TypeVar("T")


class Over(Protocol):
    """Gives segments of drawn words across a template at a pose; or of those anywhere about it that have no letter
    of ``but``."""

    def __call__(
        self, template: Template, pose: FloatArray, ink: Ink, but: str | None = None, known: IntArray = NOBODYS
    ) -> IntArray: ...


# Painted areas of outlined words across a template at a pose.
AreasOver = Callable[[Template, FloatArray], IntArray]
# Are there outlined letters at a text mark of a template at a pose that none of the words is made of, nor a shape?
Painted = Callable[[Template, FloatArray, Ink, list[Word], BaseGeometry], bool]
# Do drawn letters at a text mark of a template at a pose look like the mark's, read at its own turn too?
Turned = Callable[[Template, FloatArray, Ink], bool]
# Segments of drawn letters at a text mark of a template at a pose that surely are others than the mark's.
OtherLetter = Callable[[Template, FloatArray, Ink], IntArray]
# What outlined letters about a template at a pose say, the box of each text, and the numbers of its areas.
Rows = Callable[[Template, FloatArray], list[tuple[str, Box, IntArray]]]


def asked_once(answer: Callable[..., T]) -> Callable[..., T]:
    """The same answers, each worked out once: candidates are weighed, calmed and compared in several rounds."""
    known: dict[tuple[object, ...], T] = {}

    def ask(*question: object) -> T:
        key = tuple(_named(part) for part in question)
        if key not in known:
            known[key] = answer(*question)
        return known[key]

    return ask


def _named(part: object) -> object:
    """What stands for a part of a question among known ones: templates and inks are told by which they are."""
    if isinstance(part, np.ndarray):
        return part.tobytes()
    return tuple(part) if isinstance(part, list) else part
