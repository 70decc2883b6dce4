"""The texts of a random house drawn as strokes or as outlines, in the face of a font, as some plots have them.

Letters are as wide as the note asks (drafters squeeze them to fit), their capitals 0.72 of its size.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tools"))

from house_ink import Item, Note, Paper, Pen, Poly
from lettering_fonts import Glyph, engraved, outline

CAP = 0.72  # of the size of a note
BLANK = 0.55  # of the cap height
LABEL = re.compile(r"[A-Z0-9$,/#+\"-]{1,7}")  # what stands at devices: GFI, WP, A-12, $3; no room's name


def face_of(font: Path) -> tuple[Callable[[str], Glyph | None], bool]:
    """(letters, are they filled) of an SVG font of single lines, or of an outline font."""
    if font.suffix == ".svg":
        return lambda letter: engraved(font, letter), False
    return lambda letter: outline(font, letter), True


def lettered(paper: Paper, font: Path, labels_alone: bool = False) -> Paper:
    """The sheet with its notes drawn; ``labels_alone``: the device labels only."""
    face, filled = face_of(font)
    items: list[Item] = []
    for item in paper.items:
        if isinstance(item, Note) and (not labels_alone or LABEL.fullmatch(item.text)):
            items += _drawn(item, face, filled)
        else:
            items.append(item)
    return replace(paper, items=items)


def _drawn(note: Note, face: Callable[[str], Glyph | None], filled: bool) -> list[Item]:
    cap = CAP * note.size
    glyphs = [(letter, face(letter) if letter != " " else None) for letter in note.text]
    long = sum(glyph.advance if glyph is not None else BLANK for _, glyph in glyphs) * cap
    wide = min(note.width / max(long, 1e-6), 1.2)
    t = np.radians(note.angle)
    turn = np.array([[np.cos(t), -np.sin(t)], [np.sin(t), np.cos(t)]])

    def move(points: np.ndarray, at: float) -> tuple[tuple[float, float], ...]:
        moved = (points + np.array([at, 0.0])) * np.array([cap * wide, cap]) @ turn + np.array(note.base)
        return tuple(map(tuple, moved.tolist()))

    out: list[Item] = []
    at = 0.0
    for _, glyph in glyphs:
        if glyph is not None and filled and glyph.rings:
            outer, *inner = (move(ring, at) for ring in glyph.rings)
            out.append(Poly(outer, None, True, (0.0, 0.0, 0.0), tuple(inner), note.layer))
        elif glyph is not None:
            pen = Pen(0.07 * note.size)
            out += [Poly(move(stroke.reshape(2, 2), at), pen, layer=note.layer) for stroke in glyph.xy]
        at += glyph.advance if glyph is not None else BLANK
    return out
