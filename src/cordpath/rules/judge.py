"""Requirement and protection become a verdict, with the reasons for it.

    required   protection shown   verdict
    yes        yes                protected
    yes        no                 missing
    yes        unknown            unresolved
    unknown    yes                protected
    unknown    no or unknown      unresolved
    no         any                not required

"Missing" says that protection is not shown on the drawing; it does not say that the wiring is wrong.
"""

from __future__ import annotations

from dataclasses import replace

from cordpath.model import Answer, Companion, Finding, Panel, Protection, Reading, Requirement, Room, Verdict
from cordpath.rules import conditions
from cordpath.rules.apply import Outcome, apply_all, overall
from cordpath.rules.doubts import variants, weighed
from cordpath.rules.edition import Column, Edition, Rule
from cordpath.rules.facts import Facts, Scene
from cordpath.rules.reasons import GOING, grounds, lacks_rules, open_names, reasons, status, symbol_doubts
from cordpath.rules.told import Told


def judge(
    reading: Reading,
    panels: tuple[Panel, ...],
    protections: tuple[Protection, ...],
    edition: Edition,
    problems: tuple[tuple[str, str], ...] = (),
) -> tuple[Finding, ...]:
    """One finding an outlet of the reading, in the same order.

    ``protections``: one an outlet, same order (ValueError otherwise).  ``problems``: (outlet id, why) for outlets
    whose cord paths could not be measured, beside those that the reading names; their distance rules end as
    questions.
    """
    if len(protections) != len(reading.outlets):
        raise ValueError(f"{len(reading.outlets)} outlets but {len(protections)} protections")
    scene = Scene.of(reading, edition, panels, (*reading.reach_problems, *problems))
    pairs = zip(reading.outlets, protections, strict=True)
    return tuple(judge_outlet(Facts.of(scene, outlet, protection)) for outlet, protection in pairs)


def verdict(required: Answer, shown: Answer) -> Verdict:
    """The table at the head of this module."""
    if required is Answer.NO:
        return "not required"
    if shown is Answer.YES:
        return "protected"
    if required is Answer.YES and shown is Answer.NO:
        return "missing"
    return "unresolved"


def judge_outlet(facts: Facts) -> Finding:
    """The finding of one outlet: what holds however its doubtful labels are meant."""
    found, symbol = _judged(facts), facts.symbol
    others = (replace(facts, outlet=replace(facts.outlet, symbol=each)) for each in variants(symbol))
    findings = tuple(_judged(other) for other in others)
    return weighed(found, findings) if findings else found


def _judged(facts: Facts) -> Finding:
    """The finding of one outlet by its sure facts."""
    told = apply_all(facts)
    required = Answer.UNKNOWN if lacks_rules(facts, told) else overall(facts, told)
    doubts = symbol_doubts(facts)
    found: Verdict = verdict(required, facts.protection.shown)
    settled, place = device_place(facts) if found == "protected" else (True, ())
    if doubts or not settled or (found == "missing" and status(facts) in GOING):
        found = "unresolved"
    room = facts.place.rooms[0] if facts.place.settled and facts.place.rooms else facts_room(facts)
    sure = facts.symbol.confidence if room is None else min(facts.symbol.confidence, room.confidence)
    return Finding(
        outlet=facts.outlet,
        verdict=found,
        requirements=requirements(told, facts.scene.edition),
        protection=facts.protection,
        reasons=tuple(dict.fromkeys((*doubts, *reasons(facts, found, required, told), *place, *open_names(facts)))),
        room=room,
        confidence=float(sure),
        companions=companions(facts),
    )


def facts_room(facts: Facts) -> Room | None:
    """The room the outlet is said to be in, even if that is in doubt."""
    return facts.plan.room(facts.outlet.standing.room) if facts.plan is not None else None


def requirements(told: list[Outcome], edition: Edition) -> tuple[Requirement, ...]:
    """The rules that ask for protection; where none does for sure, those that may."""
    held = [(rule, each) for rule, each in told if each.answer is Answer.YES]
    open_ = [(rule, each) for rule, each in told if each.answer is Answer.UNKNOWN]
    return tuple(requirement(rule, each, edition) for rule, each in held or open_)


def requirement(rule: Rule, told: Told, edition: Edition) -> Requirement:
    shown = edition.shown(rule.cite)
    return Requirement(
        cite=shown,
        because=", ".join(text for text in told.because if text),
        holds=told.answer,
        distance_ft=told.distance_ft,
        to=told.to,
        path=told.path,
        question=told.question if told.answer is Answer.UNKNOWN else None,
        cite_nec=rule.cite if shown != rule.cite else None,
    )


def companions(facts: Facts) -> tuple[Companion, ...]:
    """What other sections ask of the same outlet: one answer a column of the edition, in the order of the columns.

    Each column is a file of rules in the language of the editions; it is told beside the finding and never bears on
    it.
    """
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


def device_place(facts: Facts) -> tuple[bool, tuple[str, ...]]:
    """Is the place of an outlet's own GFCI device in order, as far as the drawing tells, and what to say of it.

    Only what is plainly shown counts: a plan seldom tells whether a place is readily accessible, and silence is
    taken as in order.  A clause with ``ask`` opens the verdict; one with ``takes`` is only a remark.
    """
    device = facts.scene.edition.device
    if device is None or facts.protection.shown is not Answer.YES or facts.protection.by != "device":
        return True, ()
    room = facts.place.rooms[0] if facts.place.settled and facts.place.rooms else None
    for clause in device.where:
        told = conditions.clause(replace(clause, ask=None, takes=None), facts, room)
        if told.answer is not Answer.YES:
            continue
        cite = facts.scene.edition.shown(device.cite)
        head = f"The GFCI device itself must be readily accessible [{cite}]: {', '.join(told.because)}"
        if clause.takes and not clause.ask:
            return True, (f"{head}; {clause.takes}.",)
        return False, (f"{head}.", clause.ask or "Is the GFCI device readily accessible there?")
    return True, ()
