"""Laying a local amendment over an edition: drop, change, add and exempt, with dates.

An undated amendment rewrites the rules.  A dated one must hold on some days and not on others, so the edition's
own rule stays, is exempted for the days of the amendment, and the changed rule is added for those days; without a
permit date such an outlet ends as a question.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from typing import Any, TypeVar

from cordpath.errors import ConfigurationRefused, Fault
from cordpath.model import Policy
from cordpath.rules.edition import Amendment, Change, Clause, Edition, Exemption, Rule, dated, is_within

ALWAYS = (Clause(()),)
# Fields and values of Policy in words; these are all that an amendment may write.
_SAME = "an outlet on the circuit of a GFCI device without a drawn order of feeding"
POLICY_WORDS = {
    ("same_circuit", "ask"): f"{_SAME} is a question",
    ("same_circuit", "missing"): f"{_SAME} counts as not shown protected",
    ("general_note", "ask"): "a general note that claims protection makes an outlet a question",
    ("general_note", "missing"): "a general note that claims protection counts for nothing at an outlet",
}


def amend(edition: Edition, amendment: Amendment, permit_date: dt.date | None = None) -> Edition:
    """The edition with the amendment laid over it; several may follow each other, later ones win.

    ``permit_date`` is kept in the edition and decides what is dated.  Raises ConfigurationRefused, with line and
    column, where the amendment names a rule that is not there or an edition that it is not for.
    """
    _refuse(edition, amendment)
    changed = _drop(edition, amendment)
    for change in amendment.change:
        changed = _change(changed, change, amendment)
    amended = replace(
        changed,
        measure=replace(changed.measure, **dict(amendment.measure)),
        rules=(*changed.rules, *(_within(rule, amendment) for rule in amendment.add)),
        exemptions=(*changed.exemptions, *(_within(each, amendment) for each in amendment.exempt)),
        amendments=(*edition.amendments, amendment.name),
        dialect=(*amendment.dialect, *edition.dialect),
        cautions=(*edition.cautions, *_cautions(amendment)),
        withdrawn=(*edition.withdrawn, *_withdrawn(edition, amendment)),
        policy=_policy(changed.policy, amendment),
    )
    return dated(amended, permit_date) if permit_date is not None else amended


def _cautions(amendment: Amendment) -> tuple[str, ...]:
    said = [f"{amendment.name}: {amendment.status}"] if amendment.status else []
    does = (
        ("drops", [cite for cite, _, _ in amendment.drop]),
        ("changes", [each.cite for each in amendment.change]),
        ("exempts from", [cite for each in amendment.exempt for cite in each.to]),
        ("measures by another", [f"{name} ({value})" for name, value in amendment.measure if name != "says"]),
    )
    done = "; ".join(f"{verb} {', '.join(dict.fromkeys(cites))}" for verb, cites in does if cites)
    days = (f"from {amendment.effective}", amendment.effective), (f"until {amendment.sunset}", amendment.sunset)
    span = " ".join(words for words, day in days if day is not None)
    said += [f"{amendment.name} {done}" + (f" ({span})" if span else "")] if done else []
    said += [f"policy of {amendment.name}: {POLICY_WORDS[name, value]}" for name, value in amendment.policy]
    return tuple(said)


def _withdrawn(edition: Edition, amendment: Amendment) -> Iterator[tuple[Rule, str]]:
    """The rules that are no longer as they were on any day: an outlet that they would ask is told so."""
    if amendment.effective is None and amendment.sunset is None:
        changed = {change.cite for change in amendment.change}
        for rule in edition.rules:
            if rule.cite in changed or _is_dropped(rule.cite, amendment):
                yield rule, amendment.name


def _policy(policy: Policy, amendment: Amendment) -> Policy:
    said: dict[str, Any] = dict(amendment.policy)
    return replace(policy, **said)


Dated = TypeVar("Dated", Rule, Exemption)


def _within(entry: Dated, amendment: Amendment) -> Dated:
    """An entry of an amendment, in force on days of both."""
    days = entry.effective or amendment.effective, entry.sunset or amendment.sunset
    return replace(entry, effective=days[0], sunset=days[1])


def _refuse(edition: Edition, amendment: Amendment) -> None:
    told = (
        *_unknown(edition, amendment),
        *_twice(amendment),
        *_added_again(edition, amendment),
        *_from_nothing(edition, amendment),
        *_numbered_anew(edition, amendment),
    )
    if told:
        raise ConfigurationRefused(tuple(Fault(amendment.file, *at, what) for at, what in told))


_Faults = Iterator[tuple[tuple[int, int], str]]  # line and column, and what is wrong there


def _unknown(edition: Edition, amendment: Amendment) -> _Faults:
    """Another edition than it is for; what it drops or changes and the edition has not."""
    cites = [rule.cite for rule in edition.rules] + [each.cite for each in edition.exemptions]
    if amendment.editions and edition.year not in amendment.editions:
        what = f"is for the editions {', '.join(amendment.editions)}, not for {edition.year}"
        yield amendment.editions_at, what
    for cite, line, column in amendment.drop:
        if not any(is_within(each, cite) for each in cites):
            yield (line, column), f"drops {cite}, which edition {edition.year} has not"
    for change in amendment.change:
        if edition.rule(change.cite) is None:
            yield (change.line, change.column), f"changes {change.cite}, which edition {edition.year} has not"


def _twice(amendment: Amendment) -> _Faults:
    """Changes of what the file drops or has changed already: which of the two holds is not said."""
    for k, change in enumerate(amendment.change):
        at = change.line, change.column
        if _is_dropped(change.cite, amendment):
            yield at, f"changes {change.cite}, which the file drops as well; write one of the two"
        elif again := _changed_before(change, amendment.change[:k]):
            yield at, f"changes {', '.join(again)} of {change.cite} a second time; write it once"


def _added_again(edition: Edition, amendment: Amendment) -> _Faults:
    present = {rule.cite for rule in edition.rules if not _is_dropped(rule.cite, amendment)}
    for rule in amendment.add:
        if rule.cite in present:
            yield (rule.line, 1), f"adds {rule.cite}, which edition {edition.year} has already; use change"


def _from_nothing(edition: Edition, amendment: Amendment) -> _Faults:
    """Exemptions from rules that are not there."""
    rules = (*edition.rules, *amendment.add)
    for each in amendment.exempt:
        for cite in each.to:
            if not any(is_within(rule.cite, cite) for rule in rules):
                yield (each.line, 1), f"exempts from {cite}, which edition {edition.year} has not"


def _numbered_anew(edition: Edition, amendment: Amendment) -> _Faults:
    """Numbers of a state's own for sections that are not there."""
    rules = (*edition.rules, *amendment.add, *(rule for column in edition.columns for rule in column.rules))
    known = {rule.cite for rule in rules} | {each.cite for each in (*edition.exemptions, *amendment.exempt)}
    known |= {edition.device.cite} if edition.device is not None else set()
    for (nec, _), at in zip(amendment.dialect, amendment.dialect_at, strict=True):
        if nec not in known:
            yield at, f"numbers {nec} anew, which edition {edition.year} has not"


def _is_dropped(cite: str, amendment: Amendment) -> bool:
    return any(is_within(cite, dropped) for dropped, _, _ in amendment.drop)


def _changed_before(change: Change, earlier: tuple[Change, ...]) -> list[str]:
    """The fields that an earlier change of the same rule writes as well."""
    before = {name for other in earlier if other.cite == change.cite for name, _ in other.fields}
    return [name for name, _ in change.fields if name in before]


def _drop(edition: Edition, amendment: Amendment) -> Edition:
    dropped = [cite for cite, _, _ in amendment.drop]
    if not dropped:
        return edition
    if amendment.effective is None and amendment.sunset is None:
        return replace(
            edition,
            rules=tuple(r for r in edition.rules if not _is_dropped(r.cite, amendment)),
            exemptions=tuple(e for e in edition.exemptions if not _is_dropped(e.cite, amendment)),
        )
    return replace(edition, exemptions=(*edition.exemptions, *(_suspend(cite, amendment) for cite in dropped)))


def _suspend(cite: str, amendment: Amendment) -> Exemption:
    return Exemption(
        cite=amendment.name,
        says=f"{cite} is not in force",
        to=(cite,),
        claim=ALWAYS,
        effective=amendment.effective,
        sunset=amendment.sunset,
    )


def _change(edition: Edition, change: Change, amendment: Amendment) -> Edition:
    old = edition.rule(change.cite)
    assert old is not None  # _refuse saw to it
    new = replace(old, **dict(change.fields))
    if amendment.effective is None and amendment.sunset is None:
        return replace(edition, rules=tuple(new if rule is old else rule for rule in edition.rules))
    new = replace(_within(new, amendment), cite=f"{old.cite} as amended by {amendment.name}")
    suspended = replace(_suspend(old.cite, amendment), exactly=True)
    at = edition.rules.index(old) + 1
    return replace(
        edition,
        rules=(*edition.rules[:at], new, *edition.rules[at:]),
        exemptions=(*edition.exemptions, suspended),
    )
