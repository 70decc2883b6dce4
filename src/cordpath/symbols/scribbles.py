"""Letters of a symbol that are drawn and that nobody could read: strokes or paint of a letter's size there.

A circle with nothing in it is no junction box; a circle with something in it that may be a J is a question.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.model import FloatArray, IntArray
from cordpath.symbols.glyphs import on_own_marks
from cordpath.symbols.letters import Letters
from cordpath.symbols.normalise import Ink
from cordpath.symbols.paint import NOBODYS, Paint
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.template import Template

SCRIBBLE = 5.0  # pt around a text mark, and pt of short strokes there, that may be its letters
ONE_PLACE = 1e-4  # pt; places that agree so far differ by the rounding of numbers only
GLYPH = 9.0  # pt; longer strokes are no letters of a symbol
INSIDE = 0.85  # of the body's radius: what reaches farther touches its rim, as letters do not
LEAST_PAINT, MOST_PAINT = 0.02, 0.5  # share of the body that the paint of its letters covers


def scribbled(template: Template, ink: Ink, poses: FloatArray, known: IntArray = NOBODYS) -> bool:
    """Are there short strokes at a text mark, in one of the poses, that may be its letters, drawn and not read?

    ``known``: segments of letters that say something else.  What lies on the template's own marks (short stems of a
    small symbol) is no letter.
    """
    at = _places(template, poses)
    of, k = ink.grid.near(at, SCRIBBLE)
    glyph = (k < ink.count) & ~np.isin(k, known) & ~ink.curved[k] & ~ink.hatch[k] & (ink.run[k] < GLYPH)
    glyph[glyph] = ~on_own_marks(template, poses[:1], ink.xy[k[glyph]], np.zeros(int(glyph.sum()), np.int64))
    return bool((np.bincount(of[glyph], ink.lengths[k[glyph]], len(at)) > SCRIBBLE).any())


def unread_inside(template: Template, ink: Ink, poses: FloatArray, letters: Letters, paint: Paint) -> bool:
    """The same for letters inside a body: strokes or paint that lie wholly in it and off its rim, at a text mark
    that stands in it, or a place of lettering that could not be read."""
    centre = place(poses[:1], template.centre[None])[0, 0]
    radius = template.radius * float(poses[0, SCALE])
    at = _places(template, poses)
    at = at[np.hypot(*(at - centre).T) < 0.5 * radius]
    if not len(at):
        return False
    if letters.run_into([value for value, _, _ in template.drawn.texts], at):
        return True
    if len(letters.unread) and float(np.hypot(*(letters.unread[:, None] - at[None]).T).min()) < 0.6 * radius:
        return True
    return _strokes_inside(template, ink, at, centre, radius) or _paint_inside(paint, at, centre, radius)


def _strokes_inside(template: Template, ink: Ink, at: FloatArray, centre: FloatArray, radius: float) -> bool:
    scale = min(1.0, radius / 9.0)
    of, k = ink.grid.near(at, SCRIBBLE * scale)
    ends = np.hypot(*(ink.xy[k].reshape(-1, 2, 2) - centre).transpose(2, 0, 1)).max(1) if len(k) else np.zeros(0)
    glyph = (k < ink.count) & ~ink.hatch[k] & (ink.run[k] < GLYPH) & (ends < INSIDE * radius)
    return bool((np.bincount(of[glyph], ink.lengths[k[glyph]], len(at)) > SCRIBBLE * scale).any())


def _paint_inside(paint: Paint, at: FloatArray, centre: FloatArray, radius: float) -> bool:
    if not len(paint.shapes):
        return False
    inner = shapely.Point(centre).buffer(INSIDE * radius)
    near = paint.tree.query(inner)
    near = near[shapely.covered_by(paint.shapes[near], inner)]
    near = near[shapely.distance(paint.shapes[near], shapely.MultiPoint(at)) < 0.4 * radius]
    share = float(paint.area[near].sum()) / (np.pi * radius**2)
    return LEAST_PAINT < share < MOST_PAINT


def _places(template: Template, poses: FloatArray) -> FloatArray:
    """(n, 2) the text marks at the poses, each place once: a round body has many poses and one middle."""
    marks = np.array([[x, y] for _, x, y in template.drawn.texts])
    at = place(poses, marks).reshape(-1, 2)
    _, first = np.unique(np.round(at / ONE_PLACE), axis=0, return_index=True)
    return at[np.sort(first)]
