"""An edition of the code as data: what a rule file says once it is read and checked.

Glossary
    rule       one place or duty that asks for GFCI protection, with the section number that an inspector cites
    clause     conditions that must all hold; a rule's ``where`` is one clause or several of which any will do
    exception  takes outlets out of one or several rules; it must be *claimed* by something the drawing shows
    measure    how the edition measures distance: what ends a path and where the path ends
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from cordpath.model import Doors, Policy


@dataclass(frozen=True)
class Condition:
    """One condition, for example ``room`` with ``("bathroom",)``.  ``value`` is always a tuple."""

    name: str
    value: tuple[Any, ...]


@dataclass(frozen=True)
class Clause:
    """Conditions that must all hold.  ``ask``: even then the answer is only *unknown*, with this question."""

    conditions: tuple[Condition, ...]
    ask: str | None = None
    takes: str | None = None  # what is taken for granted because a plan seldom shows it


@dataclass(frozen=True)
class Span:
    """A range of volts or amperes, ends included; ``of`` lists single ratings instead.  Both None: any."""

    low: float | None = None
    high: float | None = None
    of: tuple[float, ...] = ()

    @property
    def any(self) -> bool:
        return self.low is None and self.high is None and not self.of


@dataclass(frozen=True)
class Rule:
    """One entry of ``rules:``."""

    cite: str
    title: str
    says: str
    applies_to: tuple[str, ...]  # receptacle, hardwired outlet
    volts: Span
    amperes: Span
    where: tuple[Clause, ...]
    changed: str | None = None
    sources: tuple[str, ...] = ()
    verify: bool = False  # not confirmed in a source; to be proof-read against the printed code
    effective: dt.date | None = None
    sunset: dt.date | None = None
    line: int = 0


def is_within(cite: str, wanted: str) -> bool:
    """``210.8(A)`` names its whole list; ``210.8(A)(1)`` does not name item 10, nor does ``210.8(A)(1``."""
    return cite.startswith(wanted) and cite[len(wanted) : len(wanted) + 1] in ("", "(", " ")


@dataclass(frozen=True)
class Exemption:
    """One entry of ``exceptions:``.

    ``claim`` must be plainly shown (silence is no claim); ``where`` are further conditions, of which an unknown
    one gives a question; ``ask`` makes even a claimed exception a question.
    """

    cite: str
    says: str
    to: tuple[str, ...]  # cites, or beginnings of cites: 210.8(A) is the whole list
    claim: tuple[Clause, ...]
    where: tuple[Clause, ...] = ()
    ask: str | None = None
    changed: str | None = None
    sources: tuple[str, ...] = ()
    verify: bool = False
    effective: dt.date | None = None
    sunset: dt.date | None = None
    line: int = 0
    exactly: bool = False  # ``to`` names whole cites, not beginnings

    def reaches(self, rule: Rule) -> bool:
        if self.exactly:
            return rule.cite in self.to
        return any(is_within(rule.cite, cite) for cite in self.to)


@dataclass(frozen=True)
class Measure:
    """How distance is measured.  ``limit_ft`` is the reach of the distance rules, in feet.

    ``doors``, ``windows``: *unsettled* where the edition has no rule for them; what only a way through one reaches
    is asked.
    """

    doors: Doors | Literal["unsettled"] = "open"
    windows: Literal["blocking", "unsettled"] = "blocking"
    limit_ft: float = 6.0
    sink_edge: str = "inner"
    tub_edge: str = "outer"
    says: str = ""


@dataclass(frozen=True)
class Spot:
    """``device:`` of an edition: places in which the GFCI device itself would not be readily accessible."""

    cite: str
    says: str
    where: tuple[Clause, ...]
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Column:
    """A companion column: what another section asks of the same outlet, for one edition."""

    name: str
    title: str
    rules: tuple[Rule, ...]
    exemptions: tuple[Exemption, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Edition:
    """An edition of the code, with the amendments laid over it so far.

    ``complete``: every location of 210.8(A) and every other section that ``covers`` names is there.
    ``permit_date`` decides dated rules and exceptions; without it they end as questions.
    """

    year: str
    title: str
    complete: bool
    covers: tuple[str, ...]
    leaves_out: tuple[str, ...]
    measure: Measure
    rules: tuple[Rule, ...]
    exemptions: tuple[Exemption, ...] = ()
    amendments: tuple[str, ...] = ()
    permit_date: dt.date | None = None
    notes: tuple[str, ...] = ()
    device: Spot | None = None
    columns: tuple[Column, ...] = ()
    dialect: tuple[tuple[str, str], ...] = ()  # section of the NEC, and how the amendment has it cited
    cautions: tuple[str, ...] = ()  # what amendments say of their own standing
    withdrawn: tuple[tuple[Rule, str], ...] = ()  # rules that undated amendments drop or change, and by which
    policy: Policy = field(default_factory=Policy)  # what claims without proof count for

    @property
    def name(self) -> str:
        """``2023`` or ``2023 as amended by ...``: for sentences."""
        return self.year if not self.amendments else f"{self.year} as amended by {' and '.join(self.amendments)}"

    @property
    def brief(self) -> str:
        """``2023 edition``, ``2023 edition as amended``: for sentences that stand at every outlet."""
        return f"{self.year} edition as amended" if self.amendments else f"{self.year} edition"

    def shown(self, cite: str) -> str:
        """A citation as it is shown: in the numbering of the dialect where it has one.

        ``210.8(A)(3) Exception`` follows ``210.8(A)(3)``; ``210.8(A)(3)`` does not follow ``210.8(A)``.
        """
        for nec, local in self.dialect:
            rest = cite.removeprefix(nec)
            if cite.startswith(nec) and rest[:1] in ("", " ", ","):
                return f"{local}{rest}"
        return cite

    def rule(self, cite: str) -> Rule | None:
        return next((rule for rule in self.rules if rule.cite == cite), None)


def dated(edition: Edition, permit_date: dt.date) -> Edition:
    """The edition with the day that decides which dated rules and exceptions are in force."""
    return replace(edition, permit_date=permit_date)


def edition_cautions(edition: Edition) -> tuple[str, ...]:
    """What a reader has to know of the standing of the edition file and of the amendments laid over it."""
    unseen = [edition.shown(rule.cite) for rule in edition.rules if rule.verify]
    unseen += [edition.shown(each.cite) for each in edition.exemptions if each.verify]
    if edition.complete or not unseen:
        return edition.cautions
    names = ", ".join(unseen)
    said = f"the {edition.year} edition file is not complete: {names} were not seen in a source"
    return (said, *edition.cautions)


def edition_notes(edition: Edition) -> tuple[str, ...]:
    """What a reader of the rules has to know beside them: notes, what is not judged, and the cautions."""
    left = (f"not judged: {', '.join(edition.leaves_out)}",) if edition.leaves_out else ()
    return (*edition.notes, *left, *edition_cautions(edition))


@dataclass(frozen=True)
class Change:
    """One entry of ``change:`` in an amendment: the fields that replace those of the rule ``cite``."""

    cite: str
    fields: tuple[tuple[str, Any], ...]
    line: int = 0
    column: int = 0


@dataclass(frozen=True)
class Amendment:
    """A local amendment, checked.  ``add``, ``drop``, ``change`` and ``exempt`` are in the language of rules."""

    name: str
    file: str
    editions: tuple[str, ...]  # editions it may be laid over; empty: any
    editions_at: tuple[int, int] = (1, 1)  # line and column
    effective: dt.date | None = None
    sunset: dt.date | None = None
    drop: tuple[tuple[str, int, int], ...] = ()  # cite, line, column
    change: tuple[Change, ...] = ()
    add: tuple[Rule, ...] = ()
    exempt: tuple[Exemption, ...] = ()
    measure: tuple[tuple[str, Any], ...] = field(default=())
    dialect: tuple[tuple[str, str], ...] = ()
    dialect_at: tuple[tuple[int, int], ...] = ()  # line and column of each entry of ``dialect``
    says: str = ""
    status: str | None = None
    sources: tuple[str, ...] = ()
    policy: tuple[tuple[str, str], ...] = ()  # fields of Policy and their values
