"""The mapped symbols of a sheet: from templates and loose strokes to symbols, labels and what is left over."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import numpy as np

from cordpath.model import (
    FIXTURE_KINDS,
    OUTLET_KINDS,
    FloatArray,
    Mapping,
    Mark,
    Scale,
    Sheet,
    Spotting,
    Symbol,
)  # fmt: skip
from cordpath.symbols import labels, unexplained
from cordpath.symbols.bare import untold
from cordpath.symbols.barred_circles import barred_circles, boxes_of, told_circles
from cordpath.symbols.compete import RIVAL, compete, hull
from cordpath.symbols.context import oriented, wall_direction
from cordpath.symbols.edges import edge_of
from cordpath.symbols.evidence import Candidate, weighed
from cordpath.symbols.examples import NO_EXAMPLES, Examples, unlearnt
from cordpath.symbols.fixture_shapes import unnamed_fixtures
from cordpath.symbols.glyphs import GlyphReader
from cordpath.symbols.on_plan import on_plan
from cordpath.symbols.others_ink import without_others
from cordpath.symbols.overlaid import relieved, settled_by_labels, without_fixture_letters
from cordpath.symbols.page_marks import scaled
from cordpath.symbols.plain import settled_by_place
from cordpath.symbols.pose import MIRROR, similarity
from cordpath.symbols.print_size import (
    as_printed,
    drawn_size,
    drawn_small,
    in_scale,
    print_sizes,
    ratios_of,
    size_notes,
    view_around,
    with_free_scale,
)
from cordpath.symbols.proposals import held_back, untitled
from cordpath.symbols.roaming import without_roaming
from cordpath.symbols.same_facts import settled_alike
from cordpath.symbols.search import Search, placed_lines, search_of, with_drawn_letters
from cordpath.symbols.stray_labels import doubted_by_shapes
from cordpath.symbols.template import Template
from cordpath.symbols.templates import marks_of, templates_of
from cordpath.symbols.unfed import unfed
from cordpath.symbols.unmapped import NO_VIEW, drawn_of_rows, lacking, told_of_rows, unmapped_rows, with_hidden
from cordpath.symbols.unscaled import in_unscaled_views
from cordpath.symbols.usual_symbols import usual_basins, usual_boxes
from cordpath.symbols.written import written


def spot(
    sheet: Sheet,
    mapping: Mapping,
    scales: tuple[Scale, ...],
    examples: Examples = NO_EXAMPLES,
    read: GlyphReader | None = None,
) -> Spotting:
    """All mapped symbols of the sheet, settled or not, with their labels and edges.

    ``scales``: one a view; symbols in their real size are looked for in views that can be measured, and elsewhere
    at a ratio that fixtures agree on.
    ``examples``: marks of entries that are ``picked`` or taken from a ``legend``.
    ``read`` tells letters from their strokes; without it letters that are drawn and not among the words are doubts.
    """
    templates, notes = templates_of(mapping, examples, ratios_of(scales))
    search, said = search_of(sheet, mapping, templates)
    notes += said
    placed = placed_lines(search, templates)
    if read is not None:
        search = with_drawn_letters(search, mapping, templates, placed, read)
    sheet = replace(sheet, words=search.letters.words)
    candidates, bare = _candidates(search, templates, placed)
    candidates = [without_others(c, search.letters, search.paint) for c in candidates]
    candidates = [settled_by_place(c, search.walls, search.on_device_layer(c)) for c in candidates]
    candidates = [c for c in candidates if in_scale(c, sheet, scales)]
    more, said = in_unscaled_views(sheet, mapping, scales, examples, search.places, search.letters, search.paint)
    candidates, notes = candidates + more, notes + said
    found, free = with_free_scale(search, mapping, examples, candidates)
    for without in (without_roaming, without_fixture_letters):
        calmer = without(candidates, found, search.letters)
        if calmer is not None:
            candidates, found = calmer, compete(calmer, search.letters)
    free, said = as_printed(free, sheet, scales)
    notes += said
    winners = compete([*candidates, *free], search.letters) if free else found
    winners = relieved(winners, search.letters, search.paint)
    winners, dropped = _told_apart(winners)
    notes += dropped + size_notes(winners)
    symbols = tuple(_symbol(c, sheet, search) for c in winners)
    rows = unmapped_rows(sheet, symbols)
    symbols, samples, elsewhere = on_plan(symbols, sheet)
    notes += samples
    symbols, nameless = held_back(settled_alike(symbols, mapping))
    symbols += usual_boxes(sheet, search.everywhere.ink, symbols, scales, mapping)
    lost = lacking(tuple(_symbol(c, sheet, search) for c in drawn_of_rows(search, rows, symbols)), sheet)
    labelled, astray = labels.attach(symbols + lost, sheet, mapping)  # a lost outlet's label is no neighbour's
    labelled = labelled[: len(symbols)]
    labelled = settled_by_labels(tuple(_settled_by_label(symbol) for symbol in labelled))
    labelled = usual_basins(sheet, search.everywhere.ink, labelled, scales, mapping)
    unnamed, said = unnamed_fixtures(sheet, search.everywhere.ink, labelled, scales)
    labelled, notes = labelled + unnamed, notes + said
    drawn = labelled + nameless + lost
    left = unexplained.left_over(sheet, drawn, mapping)
    circles = barred_circles(search.everywhere.ink, sheet, drawn, search.walls, mapping.labels)
    bodies = boxes_of(circles) if left is None else np.r_[left.bodies, boxes_of(circles)]
    labelled = doubted_by_shapes(labelled, sheet, bodies)
    rest = elsewhere + untitled(nameless) + told_of_rows(lost)
    shapes = unexplained.leftovers(sheet, drawn, mapping, _outlet_shapes(mapping, examples, free), left)
    rest += with_hidden(shapes, search, drawn, sheet)
    rest += told_circles(circles, [at for item in rest for at in item.at])
    rest += untold(bare, labelled, sheet, search.walls, mapping.labels)
    rest += unfed(labelled, scales, (*astray, *rest))
    told = tuple(dict.fromkeys((*examples.notes, *notes)))
    for places in (search.everywhere, search.devices):
        rest += places.ink.crowding.told() if places is not None else ()
    return Spotting(labelled, (*astray, *rest), told, examples.learnt, unlearnt(mapping, examples))


def _outlet_shapes(
    mapping: Mapping, examples: Examples, free: list[Candidate]
) -> tuple[tuple[str, tuple[Mark, ...]], ...]:
    """Name and marks of the plotted outlets, for what was drawn like them and not matched: as large as the mapping
    file has them, and as a reduced print does."""
    outlets = [e for e in mapping.symbols if e.kind in OUTLET_KINDS and e.size == "plotted"]
    shapes = tuple((entry.name, marks) for entry in outlets if (marks := marks_of(entry, examples)))
    sizes = print_sizes(free)
    if sizes is None:
        return shapes
    return shapes + tuple((name, scaled(marks, math.sqrt(sizes[0] * sizes[1]))) for name, marks in shapes)


def _candidates(
    search: Search, templates: tuple[Template, ...], placed: dict[int, FloatArray]
) -> tuple[list[Candidate], list[Candidate]]:
    """The candidates, and the plain bodies without their letters."""
    out: list[Candidate] = []
    bare: list[Candidate] = []
    for k, template in enumerate(templates):
        places = search.places(template)
        if template.text_only:
            out += written(template, places.ink, search.letters)
            continue
        poses = placed[k]
        more, unlettered = weighed(template, places.ink, poses, search.letters, search.paint)
        out += more
        bare += unlettered
    return out, bare


def _told_apart(winners: tuple[Candidate, ...]) -> tuple[tuple[Candidate, ...], list[str]]:
    """Without weak shapes that are disturbed as well: a few lines among others are no sign of anything.

    Outlets and fixtures are kept all the same where enough of them is drawn; what is dropped is counted.
    """
    kept, dropped = [], Counter[str]()
    for c in winners:
        doubts = [d for d in c.doubts if not d.weak]
        matters = c.template.entry.kind in OUTLET_KINDS | FIXTURE_KINDS
        told = c.template.text_only or not c.template.weak_body or bool(c.words)
        if told or not doubts or drawn_small(c) or (matters and c.coverage >= RIVAL):
            kept.append(c)
        else:
            dropped[c.template.name] += 1
    notes = [
        f"{n} place{'s' if n > 1 else ''} where lines like those of {name} are drawn among others: "
        "too plain a shape to tell, nothing was made of it"
        for name, n in sorted(dropped.items())
    ]
    return tuple(kept), notes


def _symbol(c: Candidate, sheet: Sheet, search: Search) -> Symbol:
    template = c.template
    pose, touches = oriented(template, c.poses, search.walls)
    doubts = c.doubts
    if doubts and all(d.weak for d in doubts) and not c.rivals and (touches or search.on_device_layer(c)):
        doubts = ()  # its wall or its layer tells what the shape alone does not
    view = view_around(pose, sheet)
    edge, remark = edge_of(template)
    reasons = [d.what for d in doubts] + ([remark] if remark else [])
    if view is None:
        reasons.append(NO_VIEW)
    map_ = similarity(pose)
    confidence = c.coverage * (1 - 0.5 * min(c.clutter, 0.4)) * (0.5 if doubts else 1.0)
    return Symbol(
        entry=template.entry,
        at=map_.shift,
        angle=map_.angle,
        mirrored=bool(pose[MIRROR]),
        drawn_size=drawn_size(c),
        confidence=round(confidence, 4),
        found=not doubts and view is not None,
        view=view.id if view else None,
        footprint=hull(c),
        strokes=c.ink.strokes_of(c.whole),
        edge=None if edge is None else map_.shape(edge),
        wall_direction=wall_direction(template, pose),
        reasons=tuple(reasons),
        rivals=c.rivals,
    )


def _settled_by_label(symbol: Symbol) -> Symbol:
    """A weak shape with a label that tells something is what the label says it belongs to."""
    weak = [r for r in symbol.reasons if r.startswith("weak shape")]
    if symbol.found or symbol.rivals or symbol.view is None or not weak:
        return symbol
    if len(weak) != len(symbol.reasons) or not any(label.sets for label in symbol.labels):
        return symbol
    return replace(symbol, found=True, reasons=(), confidence=min(1.0, 2 * symbol.confidence))
