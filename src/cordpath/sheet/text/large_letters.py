"""Letters so large that they hide what was painted before them: a white I, the stamp across a plan."""

from __future__ import annotations

import math
from copy import deepcopy
from typing import Any

import numpy as np
import pymupdf
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.frame import Affine, apply
from cordpath.model import FloatArray
from cordpath.sheet.ink.blends import OPAQUE, may_hide
from cordpath.sheet.ink.clip_shapes import Shapes
from cordpath.sheet.ink.paths import COVERS, Paths
from cordpath.sheet.ink.veils import Veils, within_clip
from cordpath.sheet.text.around_text import CLIP, MASKED, Showings, enclosed
from cordpath.sheet.text.ciphers import plain
from cordpath.sheet.text.symbol_fonts import glyph_parts, is_shown, placed

LARGE = 12.0  # pt: the bold letters of text that is smaller have lines of a pen
STEM = 2 * COVERS  # pt: of a letter with no part as broad, something of every mark is seen beside its lines
AGAIN = 0.12  # of the size: the same letter this close to one before is the same ink, as of false bold
MOST = 5_000  # letters; more are no titles


def large_letters(page: pymupdf.Page, shown: Showings, paths: Paths, to_page: Affine, shapes: Shapes) -> Veils:
    """The areas of large letters that are no see-through ink."""
    spans = [span for span in enclosed(page.get_texttrace(), shown) if span["size"] >= LARGE and _hides(span)]
    large = [(span, letter) for span in spans for letter in span["chars"] if chr(letter[0]).strip()]
    drawn: dict[tuple[str, int], BaseGeometry | None] = {}
    before: dict[tuple[str, int], list[tuple[float, float]]] = {}
    shape, order = [], []
    for span, (code, glyph, at, _) in large[:MOST]:
        key, near = (plain(span["font"]), glyph), AGAIN * span["size"]
        if key not in drawn:
            drawn[key] = _area(glyph_parts([f for f in shown.fonts if plain(f.name) == key[0]], glyph, code)[0])
        area, others = drawn[key], before.setdefault(key, [])
        if area is None or any(math.dist(at, other) <= near for other in others):
            continue
        others.append(at)
        if not shapely.buffer(area, -STEM / 2 / span["size"]).is_empty:
            xy = placed(np.tile(shapely.get_coordinates(area), 2), span, at)[:, :2]
            its = shapely.set_coordinates(deepcopy(area), apply(to_page, xy))
            shape.append(within_clip(its, span.get(CLIP, -1), paths, to_page, shapes))
            order.append(int(span["seqno"]))
    return Veils(np.array(shape, object), np.array(order, np.int64))


def _hides(span: dict[str, Any]) -> bool:
    return is_shown(span) and (span["opacity"] >= OPAQUE or may_hide(span["opacity"]) or bool(span.get(MASKED)))


def _area(outline: tuple[FloatArray, bool]) -> BaseGeometry | None:
    """Of a glyph, size 1; None for one of lines, and for a blank."""
    xy, areas = outline
    if not areas or not len(xy) or not np.isfinite(xy).all():
        return None
    area: BaseGeometry = shapely.build_area(shapely.node(shapely.MultiLineString([*xy.reshape(-1, 2, 2)])))
    return area
