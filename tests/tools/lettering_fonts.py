"""Glyphs of fonts as strokes: for training the lettering reader and for drawing sheets to test it on.

A *glyph* is an (n, 4) array of strokes, y down, base 0, cap height 1, with its advance.  ``outline`` glyphs are the
edges of filled areas; ``skeleton`` glyphs are the middle lines of an outline font, like plotter lettering;
``hershey`` glyphs come from the Hershey fonts (public domain data of the US National Bureau of Standards) in the
package Hershey-Fonts; ``engraved`` glyphs from single-line fonts of SVG 1.1, as pen plotters and engravers use.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import shapely
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont
from skimage.draw import polygon2mask
from skimage.morphology import skeletonize

RASTER = 96  # pixels a cap height, for skeletons
CHORDS = 5  # pieces of a curve


@dataclass(frozen=True, eq=False)
class Glyph:
    xy: np.ndarray  # (n, 4)
    advance: float
    rings: tuple[np.ndarray, ...] = ()  # of outlines


@cache
def _font(path: Path) -> TTFont:
    return TTFont(path)


@cache
def outline(path: Path, letter: str) -> Glyph | None:
    font = _font(path)
    glyphs, names = font.getGlyphSet(), font.getBestCmap()
    if ord(letter) not in names or ord("H") not in names:
        return None
    cap = max(ring[:, 1].max() for ring in _rings(glyphs, names[ord("H")]))
    rings = [ring * [1 / cap, -1 / cap] for ring in _rings(glyphs, names[ord(letter)])]
    advance = glyphs[names[ord(letter)]].width / cap
    if not rings:
        return Glyph(np.zeros((0, 4)), advance)
    xy = np.concatenate([np.column_stack([ring, np.roll(ring, -1, axis=0)]) for ring in rings])
    return Glyph(xy, advance, tuple(rings))


def _rings(glyphs: object, name: str) -> list[np.ndarray]:
    pen = DecomposingRecordingPen(glyphs)
    glyphs[name].draw(pen)
    rings: list[list[tuple[float, float]]] = []
    for command, points in pen.value:
        if command == "moveTo":
            rings.append([points[0]])
        elif command == "lineTo":
            rings[-1].append(points[0])
        elif command == "curveTo":
            rings[-1] += _cubic(rings[-1][-1], *points)
        elif command == "qCurveTo":
            if points[-1] is None:  # no point of the ring lies on the curve
                points = (*points[:-1], tuple((np.array(points[0]) + np.array(points[-2])) / 2))
                rings.append([points[-1]])
            rings[-1] += _quadratics(rings[-1][-1], points)
    return [np.array(ring, float) for ring in rings if len(ring) > 2]


def _cubic(a: tuple[float, float], *rest: tuple[float, float]) -> list[tuple[float, float]]:
    p = np.array([a, *rest], float)
    t = np.linspace(0, 1, CHORDS + 1)[1:, None]
    s = 1 - t
    return [tuple(q) for q in s**3 * p[0] + 3 * s * s * t * p[1] + 3 * s * t * t * p[2] + t**3 * p[3]]


def _quadratics(a: tuple[float, float], points: tuple) -> list[tuple[float, float]]:
    """TrueType: between two control points lies an implied point on the curve."""
    out: list[tuple[float, float]] = []
    control, last = list(points[:-1]), points[-1]
    for i, c in enumerate(control):
        following = last if i + 1 == len(control) else tuple((np.array(c) + np.array(control[i + 1])) / 2)
        p = np.array([a, c, following], float)
        t = np.linspace(0, 1, 4)[1:, None]
        out += [tuple(q) for q in (1 - t) ** 2 * p[0] + 2 * t * (1 - t) * p[1] + t * t * p[2]]
        a = following
    return out


@cache
def skeleton(path: Path, letter: str) -> Glyph | None:
    drawn = outline(path, letter)
    if drawn is None or not len(drawn.rings):
        return drawn
    points = np.concatenate(drawn.rings)
    low = points.min(axis=0) - 0.1
    shape = tuple(np.ceil((points.max(axis=0) - low + 0.1) * RASTER).astype(int))
    mask = np.zeros(shape, bool)
    for ring in drawn.rings:
        mask ^= polygon2mask(shape, (ring - low) * RASTER)
    thin = skeletonize(mask)
    at = np.argwhere(thin)
    if len(at) < 3:
        middle = (points.min(axis=0) + points.max(axis=0)) / 2
        return Glyph(np.array([[*middle, *(middle + np.array([0.02, 0.0]))]]), drawn.advance)
    number = -np.ones(shape, int)
    number[tuple(at.T)] = np.arange(len(at))
    pairs = []
    for step in ((0, 1), (1, 0), (1, 1), (1, -1)):
        to = at + step
        sound = ((to >= 0) & (to < shape)).all(axis=1)
        other = np.where(sound, number[tuple(np.clip(to, 0, np.array(shape) - 1).T)], -1)
        if all(step):  # a diagonal is drawn only where no two straight links join the same pixels
            corner_a, corner_b = at + np.array([step[0], 0]), at + np.array([0, step[1]])
            for corner in (corner_a, corner_b):
                ok = ((corner >= 0) & (corner < shape)).all(axis=1)
                taken = number[tuple(np.clip(corner, 0, np.array(shape) - 1).T)] >= 0
                other = np.where(ok & taken, -1, other)
        pairs.append(np.column_stack([np.flatnonzero(other >= 0), other[other >= 0]]))
    links = np.concatenate(pairs)
    paths = shapely.line_merge(shapely.multilinestrings(np.stack([at[links[:, 0]], at[links[:, 1]]], axis=1)))
    lines = shapely.simplify(shapely.get_parts(paths), 1.2)
    xy = [np.column_stack([c[:-1], c[1:]]) for c in (shapely.get_coordinates(one) for one in lines)]
    return Glyph(np.concatenate(xy) / RASTER + np.tile(low, 2), drawn.advance)


@cache
def hershey(face: str, letter: str) -> Glyph | None:
    from HersheyFonts import HersheyFonts

    fonts = HersheyFonts()
    fonts.load_default_font(face)
    strokes = [np.array(s, float) for s in fonts.strokes_for_text(letter)]
    advance = sum(g.char_width for g in fonts.glyphs_for_text(letter)) / 21
    if not strokes:
        return Glyph(np.zeros((0, 4)), advance)
    xy = np.concatenate([np.column_stack([s[:-1], s[1:]]) if len(s) > 1 else np.hstack([s, s]) for s in strokes])
    return Glyph((xy - [0, 9, 0, 9]) / 21, advance)


@cache
def _engraving(path: Path) -> tuple[float, dict[str, tuple[str, float]]]:
    """Height of H, and path and advance of each letter of an SVG font (units of the font, y upwards)."""
    font = next(each for each in ElementTree.parse(path).getroot().iter() if each.tag.endswith("}font"))
    usual = font.get("horiz-adv-x", "0")
    found = {
        each.get("unicode", ""): (each.get("d", ""), float(each.get("horiz-adv-x", usual)))
        for each in font
        if each.tag.endswith("}glyph")
    }
    return max(y for line in _pen_lines(found["H"][0]) for _, y in line), found


def _pen_lines(path: str) -> list[list[tuple[float, float]]]:
    """The lines of a path of moves and lines (M, L), which is all that such fonts have."""
    lines: list[list[tuple[float, float]]] = []
    number = r"-?[\d.]+(?:e-?\d+)?"
    for command, x, y in re.findall(rf"([ML]?)\s*({number})[\s,]+({number})", path):
        if command == "M" or not lines:
            lines.append([])
        lines[-1].append((float(x), float(y)))
    return lines


@cache
def engraved(path: Path, letter: str) -> Glyph | None:
    cap, letters = _engraving(path)
    if letter not in letters:
        return None
    drawn, advance = letters[letter]
    lines = [np.array(line) * [1 / cap, -1 / cap] for line in _pen_lines(drawn)]
    xy = [np.column_stack([line[:-1], line[1:]]) if len(line) > 1 else np.hstack([line, line]) for line in lines]
    return Glyph(np.concatenate([np.zeros((0, 4)), *xy]), advance / cap)
