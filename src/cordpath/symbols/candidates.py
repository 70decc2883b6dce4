"""Where symbols may be: what is looked for on a sheet, and all candidates for it, several at one place."""

from __future__ import annotations

from dataclasses import dataclass, replace

from cordpath.model import FloatArray, Mapping, Scale, ScaleEvidence, Sheet
from cordpath.symbols.examples.examples import Examples
from cordpath.symbols.letters.glyphs import GlyphReader
from cordpath.symbols.letters.written import written
from cordpath.symbols.matching.evidence import Candidate, weighed
from cordpath.symbols.matching.others_ink import without_others
from cordpath.symbols.matching.plain import settled_by_place
from cordpath.symbols.matching.print_size import in_scale, ratios_of
from cordpath.symbols.matching.sides_of_areas import without_sides_of_areas
from cordpath.symbols.matching.unscaled import in_unscaled_views
from cordpath.symbols.search import Search, placed_lines, search_of, with_drawn_letters
from cordpath.symbols.templates.template import Template
from cordpath.symbols.templates.templates import templates_of


@dataclass(frozen=True, eq=False)
class Sought:
    """What is looked for on a sheet, and in which of its ink."""

    sheet: Sheet  # its words with the symbols' own letters, where those are drawn and could be read
    mapping: Mapping
    scales: tuple[Scale, ...]  # one a view
    examples: Examples
    templates: tuple[Template, ...]
    placed: dict[int, FloatArray]  # poses at which the lines of each template are drawn, by its place among them
    search: Search
    notes: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Candidates:
    """What may be drawn on a sheet."""

    likely: list[Candidate]
    bare: list[Candidate]  # plain bodies without their letters: no symbols, see bare.py
    notes: tuple[str, ...]
    against: tuple[tuple[str, ScaleEvidence], ...] = ()  # views, and at which other ratio their fixtures are drawn


def sought_on(
    sheet: Sheet, mapping: Mapping, scales: tuple[Scale, ...], examples: Examples, read: GlyphReader | None
) -> Sought:
    """Templates of the mapping file, the sheet's ink made ready for them, and where their lines are drawn."""
    templates, sizes = templates_of(mapping, examples, ratios_of(scales))
    search, layers = search_of(sheet, mapping, templates)
    placed = placed_lines(search, templates)
    if read is not None:
        search = with_drawn_letters(search, mapping, templates, placed, read)
    sheet = replace(sheet, words=search.letters.words)
    return Sought(sheet, mapping, scales, examples, templates, placed, search, (*sizes, *layers))


def candidates_of(sought: Sought) -> Candidates:
    """What the ink at the poses speaks for, with the doubts that others' ink, walls and layers leave."""
    search = sought.search
    drawn, bare = _drawn(sought)
    drawn = without_others(drawn, search.letters, search.paint)
    drawn = [without_sides_of_areas(c, search.paint) for c in drawn]
    drawn = [settled_by_place(c, search.walls, search.on_device_layer(c), search.letters) for c in drawn]
    drawn = [c for c in drawn if in_scale(c, sought.sheet, sought.scales)]
    more = in_unscaled_views(sought.sheet, sought.mapping, sought.scales, sought.examples, search, drawn)
    return Candidates(drawn + more.candidates, bare, tuple(more.notes), more.against)


def _drawn(sought: Sought) -> tuple[list[Candidate], list[Candidate]]:
    """The candidates of all templates, and the plain bodies without their letters."""
    search = sought.search
    likely: list[Candidate] = []
    bare: list[Candidate] = []
    for k, template in enumerate(sought.templates):
        ink = search.places(template).ink
        if template.text_only:
            likely += written(template, ink, search.letters)
            continue
        lettered, unlettered = weighed(template, ink, sought.placed[k], search.letters, search.paint)
        likely += lettered
        bare += unlettered
    return likely, bare
