"""Words inside a symbol that neither its marks nor the labels of the mapping file explain.

A circle with another letter in it is not a bare circle: such a word, a *stranger*, puts the symbol in doubt.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import FloatArray, IntArray
from cordpath.symbols.ink.grid import among
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.labels.words import read
from cordpath.symbols.letters.glyphs import CAP
from cordpath.symbols.letters.letters import INNER, SURE, Letters
from cordpath.symbols.mapping_file.patterns import matches
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.templates.template import Template

STRANGER = "the text {!r} inside belongs to no mark of it"  # the doubt that it raises
ROOMY_BODY = 15.0  # pt; larger or rich bodies hold notes that are nobody's mark: only known marks count there
RICH, RICH_BODY = 8, 10.0  # lines and arcs of a rich body, and pt of its reach
TALLER = 1.3  # of a body's reach: higher letters are no marks of it
MISREAD = 0.6  # share of a word's ink on marks of a symbol from which those were taken for letters
LONGEST_MARK = 4  # letters of a mark in a device; a longer word that reaches out of it is a note over it
MIDDLE = 0.3  # of a body's reach: how far from its middle a word may be that reaches out of it and is a mark
STRUCK, THROUGH = 2, 0.8  # lines that run through a word that is no mark, and how far, of its letters' height
DESCENDERS = 0.15  # of its height: a box of a word holds room for them
RING, RING_OFF = 0.2, 0.35  # of its radius: size and middle of a letter O that is a circle of the symbol


def strangers_in(
    letters: Letters,
    template: Template,
    pose: FloatArray,
    used: tuple[int, ...],
    own: IntArray | None = None,
    ink: Ink | None = None,
) -> list[int]:
    """Words inside the body that are neither used nor labels, nor made of its ``own`` segments."""
    centre = place(pose[None], template.centre[None])[0, 0]
    reach = template.radius * float(pose[SCALE])
    near = [k for k in letters.near(centre, INNER * reach) if k not in used]
    if not near or len(template.outline) <= 3:
        return []
    body = shapely.Polygon(place(pose[None], template.outline)[0])
    inner = body.buffer(-template.small)
    out = []
    for k in near:
        word = letters.words[k]
        if CAP * word.size > TALLER * reach or not shapely.contains_xy(inner, *word.at):
            continue
        if _may_label(k, letters, template) or _is_circle(k, letters, template, pose):
            continue
        if own is not None and ink is not None and _made_of(k, letters, own, ink):
            continue
        if not (letters.text[k] in letters.marks and word.confidence >= SURE):
            roomy = reach > ROOMY_BODY or (template.elements >= RICH and reach > RICH_BODY)
            if roomy or _laid_across(k, letters, body, template, pose):
                continue
        out.append(k)
    return out


def _may_label(k: int, letters: Letters, template: Template) -> bool:
    """Is the word a label that may lie on a symbol?  A plain shape with a code in it may be another one."""
    text = letters.text[k]
    if any(matches(label.pattern, text) for label in letters.labels) or not any(ch.isalnum() for ch in text):
        return True
    if template.weak_body or len(text) < 2:
        return False
    reading = read(text, letters.labels)
    return reading is not None and reading.kind in ("protection", "circuit", "fact")


def _made_of(k: int, letters: Letters, segments: IntArray, ink: Ink) -> bool:
    """Was the word read from these segments, in the main, rather than from letters?"""
    own = letters.strokes_of((k,), ink)
    mine = ink.lengths[own[among(own, segments)]].sum()
    return len(own) > 0 and bool(mine >= MISREAD * ink.lengths[own].sum())


def _is_circle(k: int, letters: Letters, template: Template, pose: FloatArray) -> bool:
    """Is a drawn letter O one of the symbol's circles, taken for a letter?"""
    word = letters.words[k]
    if letters.text[k].upper() not in ("O", "0") or not word.is_drawn:
        return False
    for x, y, r, _ in template.circles.tolist():
        at, radius = place(pose[None], np.array([[x, y]]))[0, 0], r * float(pose[SCALE])
        size = (word.box[2] - word.box[0]) / (2 * radius)
        if abs(size - 1) < RING and float(np.hypot(*(letters.at[k] - at))) < RING_OFF * radius:
            return True
    return False


def _laid_across(k: int, letters: Letters, body: BaseGeometry, template: Template, pose: FloatArray) -> bool:
    """Does the word reach out of the body, and is too long or too far from its middle for a mark, or lies over the
    lines of the symbol, where no mark could be read?"""
    x0, y0, x1, y1 = letters.run_box(k)
    room = (y1 - y0) * DESCENDERS
    core = shapely.box(x0, y0 + room, x1, y1 - room)
    if body.buffer(0.6).contains(core):
        return False
    rings = np.vstack([[*template.centre, template.radius], template.circles[:, :3]])
    off = np.hypot(*(place(pose[None], rings[:, :2])[0] - [(x0 + x1) / 2, (y0 + y1) / 2]).T)
    if len(letters.run_text(k)) > LONGEST_MARK or not (off <= MIDDLE * float(pose[SCALE]) * rings[:, 2]).any():
        return True
    own = place(pose[None], template.drawn.lines[template.drawn.penned].reshape(-1, 2))[0].reshape(-1, 2, 2)
    through = shapely.length(shapely.intersection(shapely.linestrings(own), core))
    return int((through > THROUGH * (y1 - y0 - 2 * room)).sum()) >= STRUCK
