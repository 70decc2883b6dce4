"""Fixtures of views whose scale nothing measures: they tell themselves at which ratio they are drawn.

Terms: *vote*, a fixture that was found with nothing against it at some ratio; *agreed ratio*, one that votes of
several different entries share: a tub, a water closet and a sink are of one size each, so that chance hardly makes
two of them agree.  At the agreed ratio the other entries are looked for as well.  *Only said*: a scale that was
written down, and that nothing on the print measures; where fixtures do not agree on it they are asked for another.

The ratio serves to find symbols only.  It proves no scale, and nothing is measured with it; but a scale that is
only said is not to be believed beside it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from cordpath.model import (
    FIXTURE_KINDS,
    POINTS_PER_INCH,
    Mapping,
    Mark,
    Scale,
    ScaleEvidence,
    Sheet,
    SymbolEntry,
    View,
)  # fmt: skip
from cordpath.symbols.examples.examples import Examples
from cordpath.symbols.matching.evidence import Candidate, weigh
from cordpath.symbols.matching.print_size import view_around
from cordpath.symbols.matching.verify import verified
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.search import Search
from cordpath.symbols.templates.template import Template
from cordpath.symbols.templates.templates import marks_of, sized

SMALLEST_RATIO, LARGEST_RATIO = 18.0, 210.0  # 3/4" to 1/16" = 1'-0" and 1:20 to 1:200, with a little room
COMMON = 48.0  # 1/4" = 1'-0", the ratio that tries are counted from
LEAST_RADIUS = 5.0  # pt of a voter's body: smaller ones look like the symbols and letters of the sheet
LEAST_ELEMENTS = 3  # lines and arcs of a voter
CLEAR = 0.92  # coverage of a vote
AGREE = 0.02  # relative, between votes: rounding to 1/600 in moves a body of 10 pt by as much
LEAST_KINDS = 2  # entries that must agree
VOTERS = 6  # entries asked first, those with the most lines; the others only if these do not agree
MEASURED = frozenset({"dimension", "bar"})  # what shrinks with the print
# Relative, from which the agreed ratio is another than what is said: prints fitted to a page's margins shrink by
# 3 %, and votes may be off by what they agree within.
ANOTHER_RATIO = 0.03 + AGREE


@dataclass(frozen=True, eq=False)
class ByFixtures:
    """What fixtures tell where nothing measures the scale."""

    candidates: list[Candidate]
    notes: list[str]
    against: tuple[tuple[str, ScaleEvidence], ...]  # views, and the ratio that speaks against what their scale says


def in_unscaled_views(
    sheet: Sheet, mapping: Mapping, scales: tuple[Scale, ...], examples: Examples, search: Search,
    found: Sequence[Candidate],
) -> ByFixtures:  # fmt: skip
    """Candidates of ``size: real`` entries in views whose scale nothing measures, and what is said about them.

    ``found``: the candidates at the scales that there are.
    """
    said = {scale.view: scale.ratio for scale in scales if _only_said(scale)}
    unfit = said.keys() - _fitting(found, sheet)
    blind = {scale.view for scale in scales if not scale.measurable}
    asked = [view for view in sheet.views if view.id in blind | unfit]
    drawn = [(entry, marks) for entry in mapping.symbols
             if entry.size == "real" and (marks := marks_of(entry, examples))]  # fmt: skip
    fixtures = [each for each in drawn if each[0].kind in FIXTURE_KINDS]
    agreed: list[tuple[View, float, int]] = []
    if asked and len(fixtures) >= LEAST_KINDS:
        agreed = _agreed(search, sheet, asked, [_voter(*each) for each in fixtures])
    agreed = [each for each in agreed if _is_another(each[1], said.get(each[0].id))]
    guessed = {view.id for view, _, _ in agreed}
    nowhere = len(blind) == len(scales) and not guessed
    names = [entry.name for entry, _ in drawn]
    notes = _not_looked_for([view for view in asked if view.id in blind - guessed], names, nowhere)
    out: list[Candidate] = []
    for view, ratio, votes in agreed:
        for entry, marks in drawn:
            for template in sized(entry, marks, ratio, entry.scales):
                out += _candidates(search, template, [view])
        doubt = "proves" if view.id in blind else "measures"
        notes.append(
            f"nothing {doubt} the scale of {view.title or view.id}: fixtures were looked for there at about "
            f"1:{ratio:.0f}, a ratio that {votes} of them agree on, and nothing was measured"
        )
    against = tuple((view.id, _evidence(ratio, votes)) for view, ratio, votes in agreed if view.id in said)
    return ByFixtures(out, notes, against)


def _only_said(scale: Scale) -> bool:
    return scale.measurable and not MEASURED & {scale.source, *scale.agrees}


def _fitting(found: Sequence[Candidate], sheet: Sheet) -> set[str]:
    """Views in which fixtures of several entries are found at the scale that there is."""
    kinds: dict[str, set[str]] = {}
    for c in found:
        if c.found and c.template.ratio is not None and c.template.entry.kind in FIXTURE_KINDS:
            view = view_around(c.centre, sheet)
            kinds.setdefault(view.id if view is not None else "", set()).add(c.template.name)
    return {view for view, names in kinds.items() if len(names) >= LEAST_KINDS}


def _is_another(ratio: float, said: float | None) -> bool:
    return said is None or abs(ratio / said - 1) > ANOTHER_RATIO


def _evidence(ratio: float, votes: int) -> ScaleEvidence:
    return ScaleEvidence("fixtures", ratio, f"{votes} fixtures of the sizes in the mapping file", votes)


def _not_looked_for(views: list[View], names: list[str], nowhere: bool) -> list[str]:
    if not names or not (views or nowhere):
        return []
    if nowhere:
        return [f"no view has a proved scale, so nothing drawn in its real size was looked for: {', '.join(names)}"]
    titles = ", ".join(view.title or view.id for view in views)
    return [f"no scale could be proved in {titles}: nothing in its real size was looked for there"]


def _candidates(search: Search, template: Template, views: list[View], least: float = 0.0) -> list[Candidate]:
    """Where a template is drawn in ``views``, covered by ``least``."""
    if template.text_only:
        return []
    places = search.places(template)
    poses = places.poses(template)
    at = place(poses, template.centre[None])[:, 0] if len(poses) else np.zeros((0, 2))
    inside = np.zeros(len(at), bool)
    for view in views:
        x0, y0, x1, y1 = view.box
        inside |= (at[:, 0] >= x0) & (at[:, 0] <= x1) & (at[:, 1] >= y0) & (at[:, 1] <= y1)
    poses, covered = verified(template, places.ink, poses[inside])
    return list(weigh(template, places.ink, poses[covered >= least], search.letters, search.paint))


Voter = tuple[SymbolEntry, tuple[Mark, ...], int]  # an entry, its marks, and how many lines and arcs they are


def _voter(entry: SymbolEntry, marks: tuple[Mark, ...]) -> Voter:
    own = sized(entry, marks, COMMON, (1.0, 1.0))
    usable = own and not own[0].text_only and not own[0].weak_body and own[0].elements >= LEAST_ELEMENTS
    return entry, marks, own[0].elements if usable else 0


def _agreed(search: Search, sheet: Sheet, views: list[View], voters: list[Voter]) -> list[tuple[View, float, int]]:
    """View, ratio and number of votes, for each of the views in which votes agree."""
    voters = sorted((v for v in voters if v[2]), key=lambda v: -v[2])
    votes: dict[str, list[tuple[float, str]]] = {}
    settled: dict[str, tuple[float, int]] = {}
    for first, last in ((0, VOTERS), (VOTERS, len(voters))):
        left = [view for view in views if view.id not in settled]
        for entry, marks, _ in voters[first:last]:
            for template in sized(entry, marks, COMMON, (COMMON / LARGEST_RATIO, COMMON / SMALLEST_RATIO)):
                if template.radius < LEAST_RADIUS:
                    continue
                for c in _candidates(search, template, left, CLEAR):
                    view = view_around(c.centre, sheet)
                    if c.found and view is not None and view in views:
                        ratio = POINTS_PER_INCH / (float(c.pose[SCALE]) * template.unit)
                        votes.setdefault(view.id, []).append((ratio, entry.name))
        for view in left:
            most = _most(votes.get(view.id, []))
            if most is not None:
                settled[view.id] = most
    return [(view, *settled[view.id]) for view in views if view.id in settled]


def _most(votes: list[tuple[float, str]]) -> tuple[float, int] | None:
    """The ratio that the most votes share and how many do; None where too few do, or as many share another."""
    best: list[tuple[float, str]] = []
    for ratio, _ in votes:
        alike = [vote for vote in votes if abs(math.log(vote[0] / ratio)) <= AGREE]
        if len({name for _, name in alike}) >= LEAST_KINDS and len(alike) > len(best):
            best = alike
    if not best:
        return None
    middle = float(np.median([ratio for ratio, _ in best]))
    others = [vote for vote in votes if abs(math.log(vote[0] / middle)) > 2 * AGREE]
    if len(others) >= len(best) and _most(others) is not None:
        return None
    return middle, len(best)
