"""Which candidate is meant at each place of a sheet, once all of them are known."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import partial

from cordpath.model import FIXTURE_KINDS, OUTLET_KINDS
from cordpath.symbols.candidates import Candidates, Sought
from cordpath.symbols.letters.roaming import without_roaming
from cordpath.symbols.matching.compete import RIVAL, compete
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.matching.framed import in_frames
from cordpath.symbols.matching.further_marks import with_further_marks
from cordpath.symbols.matching.lettered_twins import beside_bare
from cordpath.symbols.matching.overlaid import relieved, without_fixture_letters
from cordpath.symbols.matching.pens import in_their_pens, with_pens
from cordpath.symbols.matching.plain import settled_by_place
from cordpath.symbols.matching.print_size import as_enlarged, as_printed, drawn_small, size_notes, with_free_scale
from cordpath.symbols.matching.white_marks import with_white_marks
from cordpath.symbols.search import Search


@dataclass(frozen=True, eq=False)
class Winners:
    """At most one candidate a place."""

    meant: tuple[Candidate, ...]
    other_size: list[Candidate]  # candidates of entries that none was found of in the size of the mapping file
    notes: tuple[str, ...]


def winners_of(candidates: Candidates, sought: Sought) -> Winners:
    """The candidates that win their places, among them those of another size where the sheet is a reduced print."""
    search = sought.search
    likely = in_their_pens(candidates.likely, sought.sheet, sought.examples, sought.mapping)
    meant, other_size = with_free_scale(search, sought.mapping, sought.examples, likely, sought.sheet)
    for without in (
        partial(without_roaming, paint=search.paint),
        without_fixture_letters,
    ):  # doubts that only the winners' letters can take
        calmer = without(likely, meant, search.letters)
        if calmer is not None:
            # a plain outlet that lost its only other doubt is no less on its wall than one that never had it
            likely = [new if new is old else _placed(new, search) for old, new in zip(likely, calmer, strict=True)]
            meant = compete(likely, search.letters)
    other_size += as_enlarged(search, sought.mapping, sought.examples, likely, sought.sheet, sought.scales)
    other_size, printed = as_printed(other_size, sought.sheet, sought.scales)
    if other_size:
        both = in_their_pens([*likely, *other_size], sought.sheet, sought.examples, sought.mapping)
        meant = compete(both, search.letters)
    meant = beside_bare(meant, candidates.bare)
    meant = with_white_marks(relieved(meant, search.letters, search.paint), sought.sheet)
    meant, pens = with_pens(meant, sought.sheet, sought.examples)
    meant, dropped = _told_apart(meant)
    meant = with_further_marks(in_frames(meant), search.letters)
    return Winners(meant, other_size, (*printed, *dropped, *pens, *size_notes(meant)))


def _placed(c: Candidate, search: Search) -> Candidate:
    return settled_by_place(c, search.walls, search.on_device_layer(c), search.letters)


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
