"""The mapped symbols of a sheet: from templates and loose strokes to symbols, labels and what is left over."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from cordpath.geometry import in_box
from cordpath.model import (
    FIXTURE_KINDS,
    OUTLET_KINDS,
    POINTS_PER_INCH,
    BoolArray,
    FloatArray,
    IntArray,
    Mapping,
    Mark,
    Scale,
    Sheet,
    Spotting,
    Symbol,
    View,
)  # fmt: skip
from cordpath.symbols import labels, unexplained
from cordpath.symbols.bare import untold
from cordpath.symbols.compete import RIVAL, compete, hull
from cordpath.symbols.context import Walls, layers_matching, oriented, wall_direction
from cordpath.symbols.drawn_letters import with_drawn_words
from cordpath.symbols.edges import edge_of
from cordpath.symbols.evidence import CERTAIN, Candidate, Doubt, weigh, weighed
from cordpath.symbols.examples import NO_EXAMPLES, Examples, unlearnt
from cordpath.symbols.fixture_shapes import unnamed_fixtures
from cordpath.symbols.glyphs import GlyphReader
from cordpath.symbols.hatch_rows import without_rows
from cordpath.symbols.hypothesise import Places
from cordpath.symbols.letters import Letters
from cordpath.symbols.normalise import normalise, outline_segments
from cordpath.symbols.on_plan import on_plan
from cordpath.symbols.overlaid import relieved, settled_by_labels, without_fixture_letters
from cordpath.symbols.page_marks import scaled
from cordpath.symbols.paint import LARGEST, Paint
from cordpath.symbols.plain import ENOUGH, settled_by_place
from cordpath.symbols.pose import MIRROR, SCALE, similarity
from cordpath.symbols.proposals import held_back, untitled
from cordpath.symbols.roaming import without_roaming
from cordpath.symbols.run_together import taken_apart
from cordpath.symbols.same_facts import settled_alike
from cordpath.symbols.stray_labels import doubted_by_shapes
from cordpath.symbols.template import Template
from cordpath.symbols.templates import free_templates, marks_of, plain_templates, templates_of
from cordpath.symbols.unscaled import in_unscaled_views
from cordpath.symbols.verify import verified
from cordpath.symbols.words_over import over_it, painted_letters
from cordpath.symbols.written import written

OTHER_SIZE = "drawn at"  # how the doubt about a symbol of another size begins
ONE_PRINT, SAME_PRINT = 0.15, 0.03  # relative: sizes of one print about their median, and how sure each is
SAME_SCALE = 0.01  # relative; views whose ratios agree within this share their templates


@dataclass(frozen=True, eq=False)
class _Search:
    """The sheet's ink: all of it, and that on the device layers, where the mapping file names them."""

    everywhere: Places
    devices: Places | None
    letters: Letters
    paint: Paint
    walls: Walls

    def places(self, template: Template) -> Places:
        outlet = template.entry.kind in OUTLET_KINDS
        return self.devices if outlet and self.devices is not None else self.everywhere

    def on_device_layer(self, c: Candidate) -> bool:
        return self.devices is not None and c.ink is self.devices.ink


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
    templates, notes = templates_of(mapping, examples, _ratios(scales))
    search, said = _search(sheet, mapping, templates)
    notes += said
    placed = _placed(search, templates)
    if read is not None:
        search = _with_drawn_letters(search, mapping, templates, placed, read)
    sheet = replace(sheet, words=search.letters.words)
    candidates, bare = _candidates(search, templates, placed)
    candidates = [without_rows(c, search.letters, search.paint) for c in candidates]
    candidates = [settled_by_place(c, search.walls, search.on_device_layer(c)) for c in candidates]
    candidates = [c for c in candidates if _in_scale(c, sheet, scales)]
    more, said = in_unscaled_views(sheet, mapping, scales, examples, search.places, search.letters, search.paint)
    candidates, notes = candidates + more, notes + said
    found, free = _with_free_scale(search, mapping, examples, candidates)
    for without in (without_roaming, without_fixture_letters):
        calmer = without(candidates, found, search.letters)
        if calmer is not None:
            candidates, found = calmer, compete(calmer, search.letters)
    free, said = _as_printed(free, sheet, scales)
    notes += said
    winners = compete([*candidates, *free], search.letters) if free else found
    winners = relieved(winners, search.letters, search.paint)
    winners, dropped = _told_apart(winners)
    notes += dropped + _size_notes(winners)
    symbols = tuple(_symbol(c, sheet, search) for c in winners)
    symbols, samples, elsewhere = on_plan(symbols, sheet)
    notes += samples
    symbols, nameless = held_back(settled_alike(symbols, mapping))
    labelled, astray = labels.attach(symbols, sheet, mapping)
    labelled = settled_by_labels(tuple(_settled_by_label(symbol) for symbol in labelled))
    unnamed, said = unnamed_fixtures(sheet, search.everywhere.ink, labelled, scales)
    labelled, notes = labelled + unnamed, notes + said
    drawn = labelled + nameless
    left = unexplained.left_over(sheet, drawn, mapping)
    if left is not None:
        labelled = doubted_by_shapes(labelled, sheet, left.bodies)
    rest = elsewhere + untitled(nameless)
    rest += unexplained.leftovers(sheet, drawn, mapping, _outlet_shapes(mapping, examples, free), left)
    rest += untold(bare, labelled, sheet, search.walls, mapping.labels)
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
    sizes = _print_sizes(free)
    if sizes is None:
        return shapes
    return shapes + tuple((name, scaled(marks, math.sqrt(sizes[0] * sizes[1]))) for name, marks in shapes)


def _ratios(scales: tuple[Scale, ...]) -> tuple[float, ...]:
    """Ratios of the measurable views, each once."""
    found: list[float] = []
    for scale in scales:
        if scale.measurable and scale.ratio is not None and not any(_same(scale.ratio, r) for r in found):
            found.append(scale.ratio)
    return tuple(found)


def _same(a: float, b: float) -> bool:
    return abs(a / b - 1) <= SAME_SCALE


def _search(sheet: Sheet, mapping: Mapping, templates: tuple[Template, ...]) -> tuple[_Search, list[str]]:
    strokes, notes = sheet.strokes, []
    ignored = _on_layers(strokes.layer, layers_matching(sheet.layers, mapping.drawing.ignore_layers))
    usable = strokes.ink() & ~ignored
    largest = max((t.body.area for t in templates), default=0.0)
    outlines = _outlines(sheet, templates, largest)
    everywhere = Places(normalise(strokes.xy, strokes.curve, usable, outlines))
    devices = None
    wanted = mapping.drawing.device_layers
    if wanted:
        on = _on_layers(strokes.layer, layers_matching(sheet.layers, wanted))
        if (on & usable).any():
            devices = Places(normalise(strokes.xy, strokes.curve, usable & on, outlines))
            notes.append(f"outlets were looked for on layers {', '.join(wanted)} only, as the mapping file asks")
        else:
            notes.append(f"nothing is drawn on layers {', '.join(wanted)}: outlets were looked for on every layer")
    marks = frozenset(value for t in templates for value, _, _ in t.drawn.texts)
    letters = Letters(taken_apart(sheet.words, marks), mapping, marks, sheet.unread_at)
    walls = Walls(sheet, everywhere.ink.runs, mapping.drawing.wall_layers)
    return _Search(everywhere, devices, letters, Paint(sheet.fills, largest), walls), notes


def _on_layers(layer: IntArray, hit: BoolArray) -> BoolArray:
    return (layer >= 0) & hit[np.clip(layer, 0, len(hit) - 1)]


def _outlines(sheet: Sheet, templates: tuple[Template, ...], largest: float) -> FloatArray:
    """Edges of small dark fills: filled marks are often drawn without a pen."""
    if not any(t.drawn.fills for t in templates) or not len(sheet.fills):
        return np.zeros((0, 4))
    return outline_segments(Paint(sheet.fills, largest / LARGEST).shapes)


def _placed(search: _Search, templates: tuple[Template, ...]) -> dict[int, FloatArray]:
    """The poses at which the lines of each template are drawn, by its place among the templates."""
    out = {}
    for k, template in enumerate(templates):
        if not template.text_only:
            places = search.places(template)
            out[k] = verified(template, places.ink, places.poses(template))[0]
    return out


def _with_drawn_letters(
    search: _Search,
    mapping: Mapping,
    templates: tuple[Template, ...],
    placed: dict[int, FloatArray],
    read: GlyphReader,
) -> _Search:
    """With the templates' own letters among the words, where they are drawn and nobody could read them."""
    letters = search.letters
    found = [(templates[k], poses, search.places(templates[k]).ink) for k, poses in placed.items()]
    words = with_drawn_words(letters, found, search.paint, read)
    known = set(letters.words)
    boxes = [word.box for word in words if word not in known]
    unread = tuple((float(x), float(y)) for x, y in letters.unread if not any(in_box((x, y), b) for b in boxes))
    if letters.typed:
        return replace(search, letters=Letters(words, mapping, letters.marks, unread))
    over = partial(over_it, read=read, paint=search.paint)
    painted = partial(painted_letters, read=read, paint=search.paint)
    return replace(search, letters=Letters(words, mapping, letters.marks, unread, over, painted))


def _candidates(
    search: _Search, templates: tuple[Template, ...], placed: dict[int, FloatArray]
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


def _in_scale(c: Candidate, sheet: Sheet, scales: tuple[Scale, ...]) -> bool:
    """A symbol in its real size belongs to views of its scale; samples outside views are kept for the count."""
    view = _view(c.pose, sheet)
    if c.template.ratio is None or view is None:
        return True
    ratio = next((s.ratio for s in scales if s.view == view.id and s.measurable), None)
    return ratio is not None and _same(ratio, c.template.ratio)


def _view(at: FloatArray, sheet: Sheet) -> View | None:
    """The smallest view around a point."""
    around = [v for v in sheet.views if in_box((float(at[0]), float(at[1])), v.box)]
    return min(around, key=lambda v: (v.box[2] - v.box[0]) * (v.box[3] - v.box[1]), default=None)


def _with_free_scale(
    search: _Search, mapping: Mapping, examples: Examples, candidates: list[Candidate]
) -> tuple[tuple[Candidate, ...], list[Candidate]]:
    """The winners, and candidates of any size for plotted entries that none was found of.

    A reduced print is the worst silent failure of spotting: no symbol has the size of the mapping file.
    """
    seen = {c.template.name for c in candidates if all(d.weak for d in c.doubts)}
    free: list[Candidate] = []
    unsure: list[Candidate] = []
    reduced = not any(c.found and c.template.entry.kind in OUTLET_KINDS for c in candidates)
    least = RIVAL if reduced else CERTAIN
    for template in free_templates(mapping, examples, seen):
        places = search.places(template)
        poses, covered = verified(template, places.ink, places.poses(template))
        for c in weigh(template, places.ink, poses[covered >= least], search.letters, search.paint):
            (free if c.found else unsure).append(_of_other_size(c))
    sizes = _print_sizes(free)
    if sizes and reduced:
        # on a reduced print what is disturbed is as much of a question as on a full one
        matters = OUTLET_KINDS | FIXTURE_KINDS
        free += [c for c in unsure if c.template.entry.kind in matters and sizes[0] <= _drawn_size(c) <= sizes[1]]
        free += _plain_of_that_size(search, mapping, examples, seen, sizes)
    return compete(candidates, search.letters), free


def _of_other_size(c: Candidate) -> Candidate:
    what = f"{OTHER_SIZE} {_drawn_size(c):.2f} of the size in the mapping file"
    return replace(c, doubts=(*c.doubts, Doubt(what)))


def _print_sizes(free: list[Candidate]) -> tuple[float, float] | None:
    """Least and greatest size of symbols on a reduced print, None unless enough outlets agree on one."""
    drawn = np.array([_drawn_size(c) for c in free if c.template.entry.kind in OUTLET_KINDS])
    if len(drawn) < ENOUGH:
        return None
    drawn = drawn[np.abs(drawn / np.median(drawn) - 1) <= ONE_PRINT]
    if len(drawn) < ENOUGH:
        return None
    return float(drawn.min()) * (1 - SAME_PRINT), float(drawn.max()) * (1 + SAME_PRINT)


def _plain_of_that_size(
    search: _Search, mapping: Mapping, examples: Examples, seen: set[str], sizes: tuple[float, float]
) -> list[Candidate]:
    """Weak shapes, such as a circle with a letter, at the size of the other outlets of a reduced print."""
    out = []
    for template in plain_templates(mapping, examples, seen, sizes):
        places = search.places(template)
        poses, covered = verified(template, places.ink, places.poses(template))
        for c in weigh(template, places.ink, poses[covered >= CERTAIN], search.letters, search.paint):
            if c.template.entry.kind in OUTLET_KINDS or all(d.weak for d in c.doubts):
                out.append(_of_other_size(c))
    return out


def _as_printed(
    free: list[Candidate], sheet: Sheet, scales: tuple[Scale, ...]
) -> tuple[list[Candidate], list[str]]:
    """Candidates of another size that are as large as the print makes them are sound.

    A view whose dimensions prove that its note is false by a factor was plotted again at that factor, and its
    annotation symbols with it: a half-size set shows both.
    """
    factor = {scale.view: _print_factor(scale) for scale in scales}
    sheets = set(factor.values())
    elsewhere = sheets.pop() if len(sheets) == 1 else 1.0
    out, used = [], set()
    for c in free:
        view = _view(c.pose, sheet)
        shrunk = factor.get(view.id, 1.0) if view is not None else elsewhere
        low, high = c.template.entry.scales
        if not _same(shrunk, 1.0) and low <= _drawn_size(c) / shrunk <= high:
            used.add(round(shrunk, 2))
            c = replace(c, doubts=tuple(d for d in c.doubts if not d.what.startswith(OTHER_SIZE)))
        out.append(c)
    return out, [
        f"this is a print at {f:g} of its size, as its dimensions show: so are its symbols" for f in sorted(used)
    ]


def _print_factor(scale: Scale) -> float:
    """Size of the print over the size that the scale note is for; 1 where the note holds or nothing is measured."""
    noted = [e.ratio for e in scale.evidence if e.source == "note"]
    if not scale.measurable or scale.ratio is None or scale.source in ("note", "override") or len(noted) != 1:
        return 1.0
    return noted[0] / scale.ratio


def _drawn_size(c: Candidate) -> float:
    base = POINTS_PER_INCH / (c.template.ratio or 1.0)
    return float(c.pose[SCALE]) * c.template.unit / base


def _size_notes(winners: tuple[Candidate, ...]) -> list[str]:
    sizes: dict[str, list[float]] = {}
    for c in winners:
        if any(d.what.startswith(OTHER_SIZE) for d in c.doubts):
            sizes.setdefault(c.template.name, []).append(_drawn_size(c))
    return [
        f"{name} is drawn at {float(np.median(drawn)):.2f} of the size in the mapping file "
        f"({len(drawn)} times): a reduced print? Nothing of it is counted as found"
        for name, drawn in sorted(sizes.items())
    ]


def _told_apart(winners: tuple[Candidate, ...]) -> tuple[tuple[Candidate, ...], list[str]]:
    """Without weak shapes that are disturbed as well: a few lines among others are no sign of anything.

    Outlets and fixtures are kept all the same where enough of them is drawn; what is dropped is counted.
    """
    kept, dropped = [], Counter[str]()
    for c in winners:
        doubts = [d for d in c.doubts if not d.weak]
        matters = c.template.entry.kind in OUTLET_KINDS | FIXTURE_KINDS
        told = c.template.text_only or not c.template.weak_body or bool(c.words)
        if told or not doubts or (matters and c.coverage >= RIVAL):
            kept.append(c)
        else:
            dropped[c.template.name] += 1
    notes = [
        f"{n} place{'s' if n > 1 else ''} where lines like those of {name} are drawn among others: "
        "too plain a shape to tell, nothing was made of it"
        for name, n in sorted(dropped.items())
    ]
    return tuple(kept), notes


def _symbol(c: Candidate, sheet: Sheet, search: _Search) -> Symbol:
    template = c.template
    pose, touches = oriented(template, c.poses, search.walls)
    doubts = c.doubts
    if doubts and all(d.weak for d in doubts) and not c.rivals and (touches or search.on_device_layer(c)):
        doubts = ()  # its wall or its layer tells what the shape alone does not
    view = _view(pose, sheet)
    edge, remark = edge_of(template)
    reasons = [d.what for d in doubts] + ([remark] if remark else [])
    if view is None:
        reasons.append("it stands in no view of the sheet")
    map_ = similarity(pose)
    confidence = c.coverage * (1 - 0.5 * min(c.clutter, 0.4)) * (0.5 if doubts else 1.0)
    return Symbol(
        entry=template.entry,
        at=map_.shift,
        angle=map_.angle,
        mirrored=bool(pose[MIRROR]),
        drawn_size=_drawn_size(c),
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
