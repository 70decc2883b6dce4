"""At what size symbols are drawn: in views of their scale, on prints that were reduced, in parts that are enlarged.

A reduced print is the worst silent failure of spotting: no symbol has the size of the mapping file.  So it is in an
enlarged part of a plan whose symbols were enlarged with it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from cordpath.geometry import box_area, in_box
from cordpath.model import (
    FIXTURE_KINDS,
    OUTLET_KINDS,
    POINTS_PER_INCH,
    FloatArray,
    Mapping,
    Point,
    Scale,
    Sheet,
    View,
)  # fmt: skip
from cordpath.symbols.examples.examples import Examples
from cordpath.symbols.letters.scribbles import scribbled
from cordpath.symbols.matching.compete import RIVAL, compete
from cordpath.symbols.matching.evidence import CERTAIN, Candidate, Doubt, weigh, weighed
from cordpath.symbols.matching.plain import ENOUGH
from cordpath.symbols.matching.verify import verified
from cordpath.symbols.pose import SCALE
from cordpath.symbols.search import Search
from cordpath.symbols.templates.template import Template
from cordpath.symbols.templates.templates import FREE, free_templates

OTHER_SIZE = "drawn at"  # how the doubt about a symbol of another size begins
ONE_PRINT, SAME_PRINT = 0.15, 0.03  # relative: sizes of one print about their median, and how sure each is
SAME_SCALE = 0.01  # relative; views whose ratios agree within this share their templates


def ratios_of(scales: tuple[Scale, ...]) -> tuple[float, ...]:
    """Ratios of the measurable views, each once."""
    found: list[float] = []
    for scale in scales:
        if scale.measurable and scale.ratio is not None and not any(_same(scale.ratio, r) for r in found):
            found.append(scale.ratio)
    return tuple(found)


def _same(a: float, b: float) -> bool:
    return abs(a / b - 1) <= SAME_SCALE


def in_scale(c: Candidate, sheet: Sheet, scales: tuple[Scale, ...]) -> bool:
    """A symbol in its real size belongs to views of its scale; samples outside views are kept for the count."""
    view = view_around(c.pose, sheet)
    if c.template.ratio is None or view is None:
        return True
    ratio = next((s.ratio for s in scales if s.view == view.id and s.measurable), None)
    return ratio is not None and _same(ratio, c.template.ratio)


def view_around(at: FloatArray, sheet: Sheet) -> View | None:
    """The smallest view around a point."""
    around = [v for v in sheet.views if in_box((float(at[0]), float(at[1])), v.box)]
    return min(around, key=lambda v: box_area(v.box), default=None)


def in_legend(at: FloatArray | Point, sheet: Sheet) -> bool:
    return any(r.kind == "legend" and in_box((float(at[0]), float(at[1])), r.box) for r in sheet.regions)


def with_free_scale(
    search: Search, mapping: Mapping, examples: Examples, candidates: list[Candidate], sheet: Sheet
) -> tuple[tuple[Candidate, ...], list[Candidate]]:
    """The winners, and candidates of any size for plotted entries that none was found of.

    A reduced print is the worst silent failure of spotting: no symbol has the size of the mapping file.  Samples of
    a legend have the size that they were learnt at, whatever that of the plans is.
    """
    of_plans = [c for c in candidates if not in_legend(c.centre, sheet)]
    reduced = not any(c.found and c.template.entry.kind in OUTLET_KINDS and not _at_an_end(c) for c in of_plans)
    seen = {c.template.name for c in (of_plans if reduced else candidates) if all(d.weak for d in c.doubts)}
    free: list[Candidate] = []
    unsure: list[Candidate] = []
    least = RIVAL if reduced else CERTAIN
    for template in free_templates(mapping, examples, seen):
        for c in _drawn(search, template, least):
            (free if c.found else unsure).append(_of_other_size(c))
    sizes = print_sizes([c for c in free if not in_legend(c.centre, sheet)])
    if sizes and reduced:
        # on a reduced print what is disturbed is as much of a question as on a full one
        matters = OUTLET_KINDS | FIXTURE_KINDS
        alike = [c for c in unsure if sizes[0] <= drawn_size(c) <= sizes[1]]
        free += [c for c in alike if c.template.entry.kind in matters or drawn_small(c)]
        sure = {c.template.name for c in of_plans if c.found}  # a plain circle of the usual size may be anything
        free += _plain_of_that_size(search, mapping, examples, sure, sizes)
    return compete(candidates, search.letters), free


def _at_an_end(c: Candidate) -> bool:
    """Is it as small or as large as its entry may be?  Then it may be smaller or larger still: others, of which
    less is covered at that size, are not found at all."""
    return any(_same(drawn_size(c), end) and not _same(end, 1.0) for end in c.template.entry.scales)


def as_enlarged(
    search: Search, mapping: Mapping, examples: Examples, candidates: list[Candidate], sheet: Sheet,
    scales: tuple[Scale, ...],
) -> list[Candidate]:  # fmt: skip
    """Candidates for outlets as large as the scale of their view makes them, in views in which hardly any is found.

    A part that is shown enlarged has symbols of the usual size, or those of the plan as much larger as all of it.
    """
    out: list[Candidate] = []
    for view, factor in _enlarged_views(candidates, sheet, scales):
        templates = outlets_at(factor, mapping, examples, plain=True)
        if templates:
            drawn = drawn_at(search.within(view.box, sheet, factor), templates)
            out += [c for c in drawn if view_around(c.pose, sheet) is view]
    return out


def _enlarged_views(
    candidates: list[Candidate], sheet: Sheet, scales: tuple[Scale, ...]
) -> Iterator[tuple[View, float]]:
    """Views in which hardly any outlet is found, and how much larger they are drawn than the one that has most."""
    sure = [c for c in candidates if c.found and c.template.entry.kind in OUTLET_KINDS]
    around = [view_around(c.pose, sheet) for c in sure if not in_legend(c.centre, sheet)]
    homes = Counter(view.id for view in around if view is not None)
    ratio = {s.view: s.ratio for s in scales if s.measurable and s.ratio is not None}
    usual = next((ratio[name] for name, _ in homes.most_common() if name in ratio), None)
    for view in sheet.views:
        if usual is not None and view.id in ratio and homes[view.id] < ENOUGH:
            factor = usual / ratio[view.id]
            if FREE[0] <= factor <= FREE[1]:
                yield view, factor


def drawn_at(search: Search, templates: list[Template]) -> list[Candidate]:
    """What is drawn in full of templates of another size than the mapping file's."""
    drawn = (_of_other_size(c) for template in templates for c in _drawn(search, template, CERTAIN))
    return [c for c in drawn if drawn_small(c)]


def outlets_at(factor: float, mapping: Mapping, examples: Examples, *, plain: bool = False) -> list[Template]:
    """Templates for the outlets at ``factor`` times the sizes of their entries, less those that are sought so, and
    those whose shape is no evidence unless they may be ``plain``."""
    out: list[Template] = []
    for usual in {e.scales: None for e in mapping.symbols if e.kind in OUTLET_KINDS}:
        sizes = (usual[0] * factor, usual[1] * factor)
        if usual[0] <= sizes[1] and sizes[0] <= usual[1]:
            continue
        others = {e.name for e in mapping.symbols if e.kind not in OUTLET_KINDS or e.scales != usual}
        bare = free_templates(mapping, examples, others, sizes, weak=True)
        told = [template for template in bare if plain or template.weak is None]  # letters or paint tell them
        out += free_templates(mapping, examples, others, sizes) + told
    return out


def _drawn(search: Search, template: Template, least: float) -> tuple[Candidate, ...]:
    """Where a template is drawn, covered by ``least``."""
    poses = _covered(search, template, least)
    return weigh(template, search.places(template).ink, poses, search.letters, search.paint)


def _covered(search: Search, template: Template, least: float) -> FloatArray:
    """The poses (n, 5) of that."""
    places = search.places(template)
    poses, covered = verified(template, places.ink, places.poses(template))
    return poses[covered >= least]


def _of_other_size(c: Candidate) -> Candidate:
    what = f"{OTHER_SIZE} {drawn_size(c):.2f} of the size in the mapping file"
    return replace(c, doubts=(*c.doubts, Doubt(what)))


def drawn_small(c: Candidate) -> bool:
    """Is it drawn in full, only at another size, where it is too small to be told by its shape alone?

    A door is a leaf and a swing as large as nothing else; on a reduced print it is a line with an arc.  What lies
    over it is no reason to lose its place.
    """
    size = any(d.what.startswith(OTHER_SIZE) for d in c.doubts)
    passing = all(d.weak or d.soft or d.inside or d.what.startswith(OTHER_SIZE) for d in c.doubts)
    return size and passing and c.coverage >= CERTAIN


def print_sizes(free: list[Candidate]) -> tuple[float, float] | None:
    """Least and greatest size of symbols on a reduced print, None unless enough outlets agree on one."""
    drawn = np.array([drawn_size(c) for c in free if c.template.entry.kind in OUTLET_KINDS])
    if len(drawn) < ENOUGH:
        return None
    drawn = drawn[np.abs(drawn / np.median(drawn) - 1) <= ONE_PRINT]
    if len(drawn) < ENOUGH:
        return None
    return float(drawn.min()) * (1 - SAME_PRINT), float(drawn.max()) * (1 + SAME_PRINT)


def _plain_of_that_size(
    search: Search, mapping: Mapping, examples: Examples, seen: set[str], sizes: tuple[float, float]
) -> list[Candidate]:
    """Weak shapes, such as a circle with a letter, at the size of the other outlets of a reduced print.

    Drawn letters were read in symbols of the mapping file's size only: strokes at their place may be theirs.
    """
    out: list[Candidate] = []
    for template in free_templates(mapping, examples, seen, sizes, weak=True):
        outlet = template.entry.kind in OUTLET_KINDS
        ink = search.places(template).ink
        drawn, bare = weighed(template, ink, _covered(search, template, CERTAIN), search.letters, search.paint)
        out += [_of_other_size(c) for c in drawn if outlet or all(d.weak for d in c.doubts)]
        if outlet and bare:
            lettered = scribbled(template, ink, [c.poses for c in bare], bent=True)
            out += [_of_other_size(c) for c, there in zip(bare, lettered, strict=True) if there]
    return out


def as_printed(free: list[Candidate], sheet: Sheet, scales: tuple[Scale, ...]) -> tuple[list[Candidate], list[str]]:
    """Candidates of another size that are as large as the print makes them are sound.

    A view whose dimensions prove that its note is false by a factor was plotted again at that factor, and its
    annotation symbols with it: a half-size set shows both.
    """
    factor = {scale.view: _print_factor(scale) for scale in scales}
    sheets = set(factor.values())
    elsewhere = sheets.pop() if len(sheets) == 1 else 1.0
    out, used = [], set()
    for c in free:
        view = view_around(c.pose, sheet)
        shrunk = factor.get(view.id, 1.0) if view is not None else elsewhere
        low, high = c.template.entry.scales
        if not _same(shrunk, 1.0) and low <= drawn_size(c) / shrunk <= high:
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


def drawn_size(c: Candidate) -> float:
    base = POINTS_PER_INCH / (c.template.ratio or 1.0)
    return float(c.pose[SCALE]) * c.template.unit / base


def size_notes(winners: tuple[Candidate, ...]) -> list[str]:
    sizes: dict[str, list[float]] = {}
    for c in winners:
        if any(d.what.startswith(OTHER_SIZE) for d in c.doubts):
            sizes.setdefault(c.template.name, []).append(drawn_size(c))
    return [
        f"{name} is drawn at {size:.2f} of the size in the mapping file ({len(drawn)} times): "
        f"{'a reduced print' if size < 1 else 'an enlarged print or part'}, or has its entry to be given these "
        "`scales`? None of these is counted as found"
        for name, drawn in sorted(sizes.items())
        for size in (float(np.median(drawn)),)
    ]
