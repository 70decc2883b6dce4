"""Letters of a symbol that are drawn and that nobody could read: strokes or paint of a letter's size there.

A circle with nothing in it is no junction box; a circle with something in it that may be a J is a question.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import among, sorted_unique, within
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.letters.glyphs import on_own_marks
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.templates.template import Template

SCRIBBLE = 5.0  # pt around a text mark, and pt of short strokes there, that may be its letters
ONE_PLACE = 1e-4  # pt; places that agree so far differ by the rounding of numbers only
GLYPH = 9.0  # pt; longer strokes are no letters of a symbol
CLOSED = 295.0  # degrees of a circle: what is drawn so far round is one, as of a device, and no C, G or S
INNER = 0.5  # of the body's radius: letters whose middle is so near its own stand in it
INSIDE = 0.85  # of the body's radius: what reaches farther touches its rim, as letters do not
QUARTER = 16  # segments of a quarter circle about a body
LOOSE = 0.05  # pt of clutter for each pt of ink from which letters may stand inside
LEAST_PAINT, MOST_PAINT = 0.02, 0.5  # share of the body that the paint of its letters covers


def unread(
    template: Template, ink: Ink, poses: Sequence[FloatArray], clutter: FloatArray, letters: Letters, paint: Paint
) -> BoolArray:
    """(n,) Is something drawn that may be the letters of each symbol, in one of its poses?  ``clutter``: pt in it
    for each pt of its ink.  Those of a plain body, which would be lost without them, may be likely and not sure."""
    out = np.zeros(len(poses), bool)
    k = np.flatnonzero(clutter > LOOSE).tolist()
    out[k] = scribbled(template, ink, [poses[i] for i in k])
    k = np.flatnonzero(~out).tolist()
    out[k] = unread_inside(template, ink, [poses[i] for i in k], letters, paint)
    away = np.array([[x, y] for _, x, y in template.drawn.texts]).reshape(-1, 2) - template.centre
    beside = (np.hypot(*away.T) >= INNER * template.radius).any()  # what lies in the body was told by its strokes
    # a circle alone has its letters on any side: some letter stands about many a column
    if letters.turned is not None and template.weak_body and beside and not template.round:
        k = np.flatnonzero(~out).tolist()
        out[k] = [letters.turned(template, poses[i][0], ink) for i in k]
    return out


def scribbled(
    template: Template, ink: Ink, poses: Sequence[FloatArray], known: IntArray = NOBODYS, bent: bool = False
) -> BoolArray:
    """(n,) Are there short strokes at a text mark, in one of the poses of each symbol, that may be its letters,
    drawn and not read?

    ``known``: segments that are no letters, or letters that say something else.  What lies on the template's own
    marks (short stems of a small symbol) is no letter, nor can one line write several.  ``bent``: bows as small as
    those of letters are counted too.
    """
    at, of = text_places(template, poses)
    spot, k = ink.grid.near(at, SCRIBBLE)
    glyph = (k < ink.count) & ~among(k, known) & ~ink.hatch[k]
    glyph &= np.where(ink.curved[k], bent, ink.run[k] < GLYPH)
    spot, k = spot[glyph], k[glyph]
    if bent:
        small = ~ink.curved[k] | small_bows(ink, k)
        spot, k = spot[small], k[small]
    if len(k):
        first = np.array([each[0] for each in poses])
        strange = ~on_own_marks(template, first, ink.xy[k], of[spot])
        spot, k = spot[strange], k[strange]
    drawn = np.bincount(spot, ink.lengths[k], len(at)) > SCRIBBLE
    least = min((len(value) for value, _, _ in template.drawn.texts), default=1)
    runs = len(ink.run_lengths)
    lines = sorted_unique(spot * runs + ink.run_of[k]) // max(1, runs)
    drawn &= np.bincount(lines, minlength=len(at)) >= least
    return np.asarray(np.bincount(of[drawn], minlength=len(poses)) > 0, bool)


def small_bows(ink: Ink, k: IntArray) -> BoolArray:
    """(n,) segments of arcs that a letter may have: not larger, and no whole circles."""
    of = ink.arcs.circle_of(k)
    _, _, radius, degrees = ink.arcs.circles[of].T if len(ink.arcs.circles) else np.zeros((4, len(k)))
    return np.asarray((of >= 0) & (radius <= GLYPH / 2) & (degrees < CLOSED), bool)


def unread_inside(
    template: Template, ink: Ink, poses: Sequence[FloatArray], letters: Letters, paint: Paint
) -> BoolArray:
    """(n,) The same for letters inside a body: strokes or paint that lie wholly in it and off its rim, at a text
    mark that stands in it, or a place of lettering that could not be read."""
    out = np.zeros(len(poses), bool)
    at, of = text_places(template, poses)
    if not len(at):
        return out
    first = np.array([each[0] for each in poses])
    centre = place(first, template.centre[None])[:, 0]
    radius = template.radius * first[:, SCALE]
    inner = np.hypot(*(at - centre[of]).T) < INNER * radius[of]
    at, of = at[inner], of[inner]
    if not len(at):
        return out
    near = letters.run_into([value for value, _, _ in template.drawn.texts], at)
    if len(letters.unread):
        near |= cKDTree(letters.unread).query(at)[0] < 0.6 * radius[of]
    out[of[near]] = True
    out[of[_strokes_inside(ink, at, centre[of], radius[of])]] = True
    return out | _paint_inside(paint, at, of, centre, radius)


def _strokes_inside(ink: Ink, at: FloatArray, centre: FloatArray, radius: FloatArray) -> BoolArray:
    """(n,) places with strokes enough for a letter about them that lie in the circles and off their rims."""
    scale = np.minimum(1.0, radius / 9.0)
    of, k = ink.grid.near(at, SCRIBBLE * float(scale.max()))
    ends = np.hypot(*(ink.xy[k].reshape(-1, 2, 2) - centre[of, None]).transpose(2, 0, 1)).max(1)
    glyph = (k < ink.count) & ~ink.hatch[k] & (ink.run[k] < GLYPH) & (ends < INSIDE * radius[of])
    of, k = of[glyph], k[glyph]
    about = within(ink.xy[k], at[of], SCRIBBLE * scale[of])
    of, k = of[about], k[about]
    return np.asarray(np.bincount(of, ink.lengths[k], len(at)) > SCRIBBLE * scale, bool)


def _paint_inside(paint: Paint, at: FloatArray, of: IntArray, centre: FloatArray, radius: FloatArray) -> BoolArray:
    """(n,) circles with paint enough for letters in them, near one of their places ``at``; ``of``: whose."""
    out = np.zeros(len(centre), bool)
    if not len(paint.shapes):
        return out
    inner = shapely.buffer(shapely.points(centre), INSIDE * radius, quad_segs=QUARTER)
    circle, piece = paint.tree.query(inner)
    # most bodies have nothing painted in them
    covered = shapely.covered_by(paint.shapes[piece], inner[circle])
    circle, piece = circle[covered], piece[covered]
    for k in np.unique(circle):
        mine = piece[circle == k]
        marks = shapely.MultiPoint(at[of == k]) if (of == k).any() else None
        if marks is not None:
            mine = mine[shapely.distance(paint.shapes[mine], marks) < 0.4 * radius[k]]
            share = float(paint.area[mine].sum()) / (np.pi * radius[k] ** 2)
            out[k] = LEAST_PAINT < share < MOST_PAINT
    return out


def text_places(template: Template, poses: Sequence[FloatArray]) -> tuple[FloatArray, IntArray]:
    """(m, 2) the text marks at the poses of each symbol, and whose they are; each place once: a round body has many
    poses and one middle."""
    marks = np.array([[x, y] for _, x, y in template.drawn.texts], float).reshape(-1, 2)
    if not len(poses):
        return np.zeros((0, 2)), NOBODYS
    at = place(np.concatenate(poses), marks).reshape(-1, 2)
    of = np.repeat(np.arange(len(poses)), [len(each) * len(marks) for each in poses])
    key = np.c_[of, np.round(at / ONE_PLACE).astype(np.int64)]
    order = np.lexsort(key.T[::-1])  # stable: of equal places the first comes first
    new = np.r_[True, (key[order][1:] != key[order][:-1]).any(1)] if len(order) else np.zeros(0, bool)
    first = np.sort(order[new])
    return at[first], of[first]
