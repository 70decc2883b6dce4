"""Letters of a symbol that were turned with it: a block with its text in it, put in at any angle.

Elsewhere letters are read upright or up the sheet.  A W or an R at a free angle is then no word at all, and two
letters upside down may be sure as two others: WP is read as dM.  What is read at the symbol's own turn is enough
for a doubt and not for a name: an upright M under a symbol is a W to who stands on his head.
"""

from __future__ import annotations

import math

import numpy as np

from cordpath.model import FloatArray, IntArray
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.letters.drawn_letters import SHAPES, SURE_ALONE, UPRIGHT, least_chance
from cordpath.symbols.letters.glyphs import (
    GlyphReader,
    Glyphs,
    area_glyphs,
    letter_height,
    rows_at,
    stroke_glyphs,
    turned,
)
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.pose import SCALE, TURN, place
from cordpath.symbols.templates.orbits import orbit
from cordpath.symbols.templates.template import Template

LIKELY = 0.5  # chance of each letter from which it is more likely the mark's than any other


def may_be_turned(template: Template, pose: FloatArray, ink: Ink, *, paint: Paint, read: GlyphReader) -> bool:
    """Do drawn letters at a text mark, read upright or at the turn of the symbol there, look like the mark's?"""
    height = letter_height(template, pose)
    radius = template.radius * float(pose[SCALE])
    for value, x, y in template.drawn.texts:
        if not value.isalnum():
            continue
        reach = height * (0.5 + 0.45 * len(value))
        for each in orbit(template, pose):
            spot = place(each[None], np.array([[x, y]]))[0, 0]
            drawn = [stroke_glyphs(template, each, ink, spot, reach, height, marks) for marks in (False, True)]
            areas = area_glyphs(paint, spot, reach, height, but=paint.on_marks(template, each))
            for glyphs in (*drawn, areas):
                if glyphs is not None and _reads(value.upper(), glyphs, spot, radius, _angles(each), read):
                    return True
    return False


def other_letter(template: Template, pose: FloatArray, ink: Ink, *, read: GlyphReader) -> IntArray:
    """Segments of a drawn letter by itself at a text mark that surely is none of the mark's, whichever of the usual
    ways it is read.  Rows of several letters that say something else are told by ``words_over``."""
    height = letter_height(template, pose)
    radius = template.radius * float(pose[SCALE])
    found = [NOBODYS]
    for value, x, y in template.drawn.texts:
        mine = {like for letter in value.upper() for like in SHAPES.get(letter, letter)}
        for each in orbit(template, pose):
            spot = place(each[None], np.array([[x, y]]))[0, 0]
            glyphs = stroke_glyphs(template, each, ink, spot, 0.5 * height, height)
            for angle in _angles(each) if glyphs is not None else ():
                seen = glyphs.seen(angle)  # type: ignore[union-attr]
                for (k,) in rows_at(seen, 1, spot @ turned(angle), radius):
                    letter, share = max(
                        read([seen.xy[k]], False)[0].items(), key=lambda one: one[1], default=("", 0)
                    )
                    if share >= SURE_ALONE and letter.isalnum() and letter not in mine:
                        found.append(seen.segments[k])
    return np.unique(np.concatenate(found))


def _angles(pose: FloatArray) -> tuple[float, ...]:
    """Degrees in which letters at a pose may be read: upright, at its turn, and that half a turn on where they
    would be upside down, as drafters keep them readable."""
    own = -math.degrees(float(pose[TURN])) % 360
    return tuple(dict.fromkeys((*UPRIGHT, own, (own + 90) % 180 - 90)))


def _reads(
    value: str, glyphs: Glyphs, spot: FloatArray, radius: float, angles: tuple[float, ...], read: GlyphReader
) -> bool:
    for angle in angles:
        seen = glyphs.seen(angle)
        for row in rows_at(seen, len(value), spot @ turned(angle), radius):
            chance = least_chance(value, [seen.xy[k] for k in row], seen.filled, read)
            if chance is not None and chance >= LIKELY:
                return True
    return False
