"""The companion columns of a device schedule: what other sections ask of the same outlet.

Arc-fault protection by room, tamper-resistant and weather-resistant receptacles: each is a file of rules in the
language of the editions, with groups by edition.  They are told beside the finding and never bear on it.
"""

from __future__ import annotations

from dataclasses import replace

from cordpath.model import Answer, Companion
from cordpath.rules.apply import apply_all, overall
from cordpath.rules.edition import Column
from cordpath.rules.facts import Facts
from cordpath.rules.reasons import grounds


def companions(facts: Facts) -> tuple[Companion, ...]:
    """One answer a column of the edition, in the order of the columns."""
    return tuple(_companion(column, facts) for column in facts.scene.edition.columns)


def _companion(column: Column, facts: Facts) -> Companion:
    edition = replace(facts.scene.edition, rules=column.rules, exemptions=column.exemptions, columns=())
    seen = replace(facts, scene=replace(facts.scene, edition=edition))
    told = apply_all(seen)
    asked = overall(seen, told)
    if asked is Answer.NO:
        return Companion(column.name, Answer.NO)
    deciding = [each for each in told if each[1].answer is asked] or [
        each for each in told if each[1].answer is Answer.UNKNOWN
    ]
    rule, each = deciding[0]
    because = grounds((rule, each)) if asked is Answer.YES else each.question or grounds((rule, each))
    return Companion(column.name, asked, edition.shown(rule.cite), because)
