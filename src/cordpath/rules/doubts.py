"""Labels that may be a neighbour's, or were read with doubt: an outlet is judged in every way they may be meant.

Terms
    *doubtful*  a fact that a label tells under a name such as ``serves_unsure``; or one of several values where
                two labels of one outlet tell different ones.
    *variant*   the outlet with each of its doubtful labels either its own or not.

A verdict stands where all variants have it.  Where they differ the outlet is unresolved; only between *protected*
and *not required* it is protected, as it is wherever protection is shown and the requirement is open.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace

from cordpath.model import Answer, Companion, Finding, Label, Requirement, Symbol

SUFFIX = "_unsure"
OTHERS = frozenset({"protection", "circuit"})  # what these may be is weighed where protection is told
MOST = 4  # doubtful labels that are taken in every combination; of more, one by one and all together


def variants(symbol: Symbol) -> tuple[Symbol, ...]:
    """Every other way in which the labels of a symbol may be meant; empty where none is in doubt."""
    doubtful = [k for k, label in enumerate(symbol.labels) if _doubts(label)]
    if not doubtful:
        return tuple(_contradicting(symbol))
    every: Iterator[tuple[int, ...]] = itertools.chain.from_iterable(
        itertools.combinations(doubtful, n) for n in range(len(doubtful) + 1)
    )
    if len(doubtful) > MOST:
        every = iter([(), *((k,) for k in doubtful), tuple(doubtful)])
    found = [_meant(symbol, own) for own in every]
    return tuple(each for one in found for each in (one, *_contradicting(one)))


def names(symbol: Symbol) -> tuple[str, ...]:
    """The texts of the labels in doubt, as written."""
    said = [label.text.rstrip("?") for label in symbol.labels if _doubts(label)]
    return tuple(dict.fromkeys(said or _disputed(symbol)))


def _doubts(label: Label) -> bool:
    return any(name.endswith(SUFFIX) and name.removesuffix(SUFFIX) not in OTHERS for name, _ in label.sets)


def _meant(symbol: Symbol, own: tuple[int, ...]) -> Symbol:
    """The symbol with those of its doubtful labels as its own, before all others, and without the rest."""
    ours = [_sure(symbol.labels[k]) for k in own]
    rest = [_silent(label) for label in symbol.labels]
    return replace(symbol, labels=(*ours, *rest))


def _sure(label: Label) -> Label:
    """The label with what it tells in doubt as facts."""
    sets = tuple((name.removesuffix(SUFFIX), value) for name, value in label.sets if _weighed(name))
    return replace(label, sets=sets)


def _silent(label: Label) -> Label:
    return replace(label, sets=tuple((name, value) for name, value in label.sets if not _weighed(name)))


def _weighed(name: str) -> bool:
    return name.endswith(SUFFIX) and name.removesuffix(SUFFIX) not in OTHERS


def _told(symbol: Symbol) -> dict[str, dict[object, Label]]:
    """What its labels tell for sure: by fact and value, the first label that has it."""
    told: dict[str, dict[object, Label]] = {}
    for label in symbol.labels:
        for name, value in label.sets:
            if not name.endswith(SUFFIX) and name not in OTHERS:
                told.setdefault(name, {}).setdefault(value, label)
    return told


def _disputed(symbol: Symbol) -> list[str]:
    return [label.text for values in _told(symbol).values() if len(values) > 1 for label in values.values()]


def _contradicting(symbol: Symbol) -> Iterator[Symbol]:
    """The symbol with each other value of a fact that its labels tell differently."""
    for name, values in _told(symbol).items():
        for value, label in list(values.items())[1:]:
            yield replace(symbol, labels=(replace(label, sets=((name, value),)), *symbol.labels))


# ---------------------------------------------------------------------------------------------- the verdict


def weighed(found: Finding, others: tuple[Finding, ...]) -> Finding:
    """The finding of an outlet as far as the findings of its variants bear it out."""
    held = {each.verdict for each in (found, *others)}
    said = " or ".join(f"'{name}'" for name in names(found.outlet.symbol)) or "beside it"
    columns = _columns(found.companions, others, said)
    if len(held) == 1 or found.verdict == "unresolved":
        return replace(found, companions=columns)
    if held == {"protected", "not required"}:
        shown = next((each for each in (found, *others) if each.verdict == "protected"), found)
        asked = replace(shown, outlet=found.outlet)
        return replace(asked, requirements=_requirements(asked, others, _question(said)), companions=columns)
    by_label = " or ".join(f"'{verdict}'" for verdict in dict.fromkeys(e.verdict for e in (found, *others)))
    return replace(
        found,
        verdict="unresolved",
        requirements=_requirements(found, others, _question(said)),
        reasons=(f"By what label {said} is taken for, the outlet is {by_label}.", _question(said), *found.reasons),
        companions=columns,
    )


def _question(said: str) -> str:
    return f"Is label {said} read rightly and meant for this outlet?"


def _requirements(found: Finding, others: tuple[Finding, ...], question: str) -> tuple[Requirement, ...]:
    """Every requirement that holds in some way; one that does not hold in all of them is open."""
    every = {each.cite: each for one in (*others[::-1], found) for each in one.requirements}
    whole = (found, *others)
    kept = []
    for cite, each in every.items():
        sure = all(any(r.cite == cite and r.holds is Answer.YES for r in one.requirements) for one in whole)
        kept.append(each if sure else replace(each, holds=Answer.UNKNOWN, question=each.question or question))
    return tuple(kept)


def _columns(mine: tuple[Companion, ...], others: tuple[Finding, ...], said: str) -> tuple[Companion, ...]:
    """The companion columns, those that a variant answers otherwise as a question."""
    found = []
    for k, column in enumerate(mine):
        every = [column, *(other.companions[k] for other in others)]
        cited = next((each for each in every if each.cite is not None), column)
        same = len({each.asked for each in every}) == 1
        found.append(column if same else Companion(column.name, Answer.UNKNOWN, cited.cite, _question(said)))
    return tuple(found)
