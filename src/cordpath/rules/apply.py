"""One rule, and all rules, applied to one outlet: over every room in which it may stand, less the exceptions."""

from __future__ import annotations

from cordpath.model import Answer, Room
from cordpath.rules import conditions
from cordpath.rules.edition import Exemption, Rule
from cordpath.rules.facts import Facts
from cordpath.rules.ratings import scope
from cordpath.rules.served import nearly, serves_only
from cordpath.rules.told import WHICH_ROOM, Told, agree, all_of, any_of, no, unknown, yes

Outcome = tuple[Rule, Told]
NOT_SEEN = "its wording was not seen in a source, see the printed code"


def apply_all(facts: Facts) -> list[Outcome]:
    """Every rule of the edition with what it tells about the outlet, in the order of the edition file."""
    return [(rule, rule_told(rule, facts)) for rule in facts.scene.edition.rules]


def rule_told(rule: Rule, facts: Facts) -> Told:
    """One rule with its exceptions, over every room in which the outlet may stand."""
    held = scope(rule, facts)
    if held.answer is Answer.NO:
        return held
    place = facts.place
    if place.settled:
        return rule_in(rule, facts, place.rooms[0] if place.rooms else None, held)
    here = rule_in(rule, facts, None, held)
    if here.answer is not Answer.UNKNOWN or not uses_room(rule):
        return here
    if not place.rooms:
        return all_of((unknown(place.doubt, WHICH_ROOM), here)) if here.question else here
    parts = tuple(rule_in(rule, facts, room, held) for room in place.rooms)
    return agree(parts, doubt=_in_doubt(facts), whole=place.whole)


def _in_doubt(facts: Facts) -> str:
    doubt, names = facts.place.doubt, facts.place.names
    told = all(name in doubt for name in names.split(" or "))
    return f"it may be in {names}: {doubt}" if names and not told else doubt


def uses_room(rule: Rule) -> bool:
    names = {condition.name for clause in rule.where for condition in clause.conditions}
    return bool(names & conditions.ROOM_CONDITIONS)


def rule_in(rule: Rule, facts: Facts, room: Room | None, held: Told) -> Told:
    """One rule in one room: where it holds, less its exceptions, within its dates."""
    where = any_of(conditions.clause(clause, facts, room) for clause in rule.where)
    told = all_of((where, held, in_force(rule, facts)))
    if told.answer is Answer.NO:
        return told
    for exemption in facts.scene.edition.exemptions:
        if exemption.reaches(rule):
            told = less(told, exemption, facts, room)
    return told


def less(told: Told, exemption: Exemption, facts: Facts, room: Room | None) -> Told:
    """What remains of a rule after an exception."""
    if told.answer is Answer.NO:
        return told
    out = exempt(exemption, facts, room)
    if out.answer is Answer.NO:
        return told
    cite = facts.scene.edition.shown(exemption.cite)
    if out.answer is Answer.YES:
        unseen = f" ({NOT_SEEN})" if exemption.verify else ""
        return no(f"{cite} takes it out: {', '.join(out.because) or exemption.says}{unseen}")
    return all_of((told, unknown(f"{cite} may take it out", out.question or f"Does {cite} apply?")))


def exempt(exemption: Exemption, facts: Facts, room: Room | None) -> Told:
    """Does an exception apply?  It must be plainly claimed; after that its unknowns are questions.

    Fixed wiring always serves something: while the drawing does not say what, it may be what the exception names.
    So may an outlet that serves it by a name with other words about it.
    """
    claim = any_of(conditions.clause(clause, facts, room) for clause in exemption.claim)
    if claim.answer is Answer.YES and not _claims_all(exemption, facts):
        claim = no()
    untold = facts.kind == "hardwired outlet" and facts.serves is None
    open_claim = claim.answer is Answer.UNKNOWN and (untold or _nearly_claims(exemption, facts, room))
    if claim.answer is not Answer.YES and not open_claim:
        return no()
    where = (
        [any_of(conditions.clause(clause, facts, room) for clause in exemption.where)] if exemption.where else []
    )
    asked = [unknown("", exemption.ask)] if exemption.ask else []
    return all_of((claim, *where, in_force(exemption, facts), *asked))


def _nearly_claims(exemption: Exemption, facts: Facts, room: Room | None) -> bool:
    """Does an outlet lack nothing of a claim but the very name of what it serves?"""
    return any(
        all(
            nearly(tuple(str(word) for word in each.value), facts)
            if each.name == "serves"
            else conditions.ask(each, facts, room).answer is Answer.YES
            for each in clause.conditions
        )
        and any(each.name == "serves" for each in clause.conditions)
        for clause in exemption.claim
    )


def _claims_all(exemption: Exemption, facts: Facts) -> bool:
    """Does an exception claim all that an outlet serves?  What it leaves out is not taken out of a rule."""
    served = [c for clause in exemption.claim for c in clause.conditions if c.name == "serves"]
    return not served or any(serves_only(tuple(str(word) for word in c.value), facts) for c in served)


def in_force(entry: Rule | Exemption, facts: Facts) -> Told:
    """Is a dated rule or exception in force on the day of the permit?"""
    start, end = entry.effective, entry.sunset
    if start is None and end is None:
        return yes()
    cite = facts.scene.edition.shown(entry.cite)
    day = facts.scene.edition.permit_date
    if day is None:
        span = " ".join(part for part in (f"from {start}" if start else "", f"until {end}" if end else "") if part)
        question = f"{cite} holds {span}: which date governs? Give it with --permit-date."
        return unknown(f"{cite} is in force only {span}", question)
    if (start is not None and day < start) or (end is not None and day >= end):
        return no(f"{cite} is not in force on {day}")
    return yes()


def overall(facts: Facts, told: list[Outcome]) -> Answer:
    """Does any rule ask?  Also yes where every candidate room asks for it, each by its own rule."""
    whole = Answer.NO
    for _, each in told:
        whole = whole | each.answer
    if whole is not Answer.UNKNOWN or len(facts.place.rooms) < 2:
        return whole
    every = [_in_room(facts, room) for room in facts.place.rooms]
    return Answer.YES if all(answer is Answer.YES for answer in every) else whole


def _in_room(facts: Facts, room: Room) -> Answer:
    answer = Answer.NO
    for rule in facts.scene.edition.rules:
        held = scope(rule, facts)
        if held.answer is not Answer.NO:
            answer = answer | rule_in(rule, facts, room, held).answer
    return answer
