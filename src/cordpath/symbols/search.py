"""The ink that symbols are looked for in: all of the sheet, and the device layers where they are named."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from cordpath.geometry import in_box, midpoints, near_points
from cordpath.model import (
    OUTLET_KINDS,
    BoolArray,
    Box,
    FloatArray,
    IntArray,
    Mapping,
    Sheet,
    layers_like,
)  # fmt: skip
from cordpath.symbols.context import Walls
from cordpath.symbols.ink.normalise import normalise, outline_segments
from cordpath.symbols.ink.row_fills import painted_by_rows
from cordpath.symbols.letters.drawn_letters import with_drawn_words
from cordpath.symbols.letters.drawn_words import Drawn
from cordpath.symbols.letters.glyphs import GlyphReader, remembered
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.letters.near_reading import asked_once
from cordpath.symbols.letters.run_together import taken_apart
from cordpath.symbols.letters.turned_letters import may_be_turned, other_letter
from cordpath.symbols.letters.words_over import areas_over, painted_letters, painted_rows, strokes_over
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.matching.hypothesise import Places
from cordpath.symbols.matching.paint import LARGEST, Paint
from cordpath.symbols.matching.verify import verified
from cordpath.symbols.templates.template import Template

CUT_CORNERS = 1.1  # areas of a body: it is the hull of samples, which cut the corners of what is drawn


@dataclass(frozen=True, eq=False)
class Search:
    """The sheet's ink: all of it, and that on the device layers, where the mapping file names them."""

    everywhere: Places
    devices: Places | None
    letters: Letters
    paint: Paint
    walls: Walls

    def places(self, template: Template) -> Places:
        outlet = template.entry.kind in OUTLET_KINDS
        return self.devices if outlet and self.devices is not None else self.everywhere

    def within(self, box: Box, sheet: Sheet, size: float) -> Search:
        """The ink of a part of the sheet alone, of device layers where the mapping file names them, for symbols
        that are larger by the factor ``size``."""
        ink, strokes, here = (self.devices or self.everywhere).ink, sheet.strokes, np.array([box])
        usable, largest = np.zeros(len(strokes), bool), self.paint.largest_body * size**2
        usable[ink.stroke] = near_points(midpoints(strokes.xy[ink.stroke]), here, 0.0)
        edges = outline_segments(Paint(sheet.fills, largest / LARGEST).shapes)
        edges = edges[near_points(midpoints(edges), here, 0.0)]
        places = Places(normalise(strokes.xy, strokes.curve, usable, edges))
        return replace(self, everywhere=places, devices=None, paint=Paint(sheet.fills, largest))

    def on_device_layer(self, c: Candidate) -> bool:
        return self.devices is not None and c.ink is self.devices.ink


def search_of(sheet: Sheet, mapping: Mapping, templates: tuple[Template, ...]) -> tuple[Search, list[str]]:
    strokes, notes = sheet.strokes, []
    ignored = _on_layers(strokes.layer, layers_like(sheet.layers, mapping.drawing.ignore_layers))
    usable = strokes.ink() & ~ignored
    largest = max((CUT_CORNERS * t.body.area * t.highest**2 for t in templates), default=0.0)
    outlines = _outlines(sheet, usable, templates, largest)
    everywhere = Places(normalise(strokes.xy, strokes.curve, usable, outlines))
    devices = None
    wanted = mapping.drawing.device_layers
    if wanted:
        on = _on_layers(strokes.layer, layers_like(sheet.layers, wanted))
        if (on & usable).any():
            devices = Places(normalise(strokes.xy, strokes.curve, usable & on, outlines))
            notes.append(f"outlets were looked for on layers {', '.join(wanted)} only, as the mapping file asks")
        else:
            notes.append(f"nothing is drawn on layers {', '.join(wanted)}: outlets were looked for on every layer")
    marks = frozenset(value for t in templates for value, _, _ in t.drawn.texts)
    words = taken_apart(sheet.words, marks)
    letters = Letters(words, mapping, marks, sheet.unread_at, drawn=Drawn.of(sheet))
    walls = Walls(sheet, everywhere.ink.runs, mapping.drawing.wall_layers)
    return Search(everywhere, devices, letters, Paint(sheet.fills, largest), walls), notes


def _on_layers(layer: IntArray, hit: BoolArray) -> BoolArray:
    return np.append(hit, False)[layer]  # the last: on no layer


def _outlines(sheet: Sheet, usable: BoolArray, templates: tuple[Template, ...], largest: float) -> FloatArray:
    """Edges of small dark areas: filled marks are often drawn without a pen.

    Of those that rows of strokes paint where a symbol has next to no other lines: elsewhere those tell its place.
    """
    areas = np.zeros(0, object)
    if any(t.drawn.fills for t in templates):
        areas = Paint(sheet.fills, largest / LARGEST).shapes
    bare = [t.radius * t.highest for t in templates if t.drawn.fills and not t.penned.tell]
    if bare:
        areas = np.r_[areas, painted_by_rows(sheet.strokes.xy[usable], 2 * max(bare))]
    return outline_segments(areas)


def placed_lines(search: Search, templates: tuple[Template, ...]) -> dict[int, FloatArray]:
    """The poses at which the lines of each template are drawn, by its place among the templates."""
    out = {}
    for k, template in enumerate(templates):
        if not template.text_only:
            places = search.places(template)
            out[k] = verified(template, places.ink, places.poses(template))[0]
    return out


def with_drawn_letters(
    search: Search,
    mapping: Mapping,
    templates: tuple[Template, ...],
    placed: dict[int, FloatArray],
    read: GlyphReader,
) -> Search:
    """With the templates' own letters among the words, where they are drawn and nobody could read them."""
    letters = search.letters
    read = remembered(read)
    found = [(templates[k], poses, search.places(templates[k]).ink) for k, poses in placed.items()]
    words = with_drawn_words(letters, found, search.paint, read)
    known = set(letters.words)
    boxes = [word.box for word in words if word not in known]
    unread = tuple((float(x), float(y)) for x, y in letters.unread if not any(in_box((x, y), b) for b in boxes))
    turned = asked_once(partial(may_be_turned, read=read, paint=search.paint))
    other = asked_once(partial(other_letter, read=read))
    over = asked_once(partial(strokes_over, read=read))
    areas = asked_once(partial(areas_over, read=read, paint=search.paint))
    painted = asked_once(partial(painted_letters, read=read, paint=search.paint))
    rows = asked_once(partial(painted_rows, read=read, paint=search.paint))
    marks = letters.marks
    return replace(
        search,
        letters=Letters(words, mapping, marks, unread, over, painted, letters.drawn, rows, turned, other, areas),
    )
