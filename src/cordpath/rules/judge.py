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

from cordpath.model import Answer, Finding, Panel, Protection, Reading, Requirement, Room, Verdict
from cordpath.rules import conditions
from cordpath.rules.edition import Edition, Exemption, Rule
from cordpath.rules.facts import CONFIDENCE_FLOOR, Facts, Scene
from cordpath.rules.told import WHICH_ROOM, Told, agree, all_of, any_of, no, unknown, yes

GOING = frozenset({"demolished", "to be removed", "removed", "remove", "demolish", "abandoned"})


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
    """The finding of one outlet."""
    told = [(rule, rule_told(rule, facts)) for rule in facts.scene.edition.rules]
    required = overall(facts, told)
    doubts = symbol_doubts(facts)
    found: Verdict = verdict(required, facts.protection.shown)
    if doubts or (found == "missing" and status(facts) in GOING):
        found = "unresolved"
    room = facts.place.rooms[0] if facts.place.settled and facts.place.rooms else facts_room(facts)
    sure = facts.symbol.confidence if room is None else min(facts.symbol.confidence, room.confidence)
    return Finding(
        outlet=facts.outlet,
        verdict=found,
        requirements=requirements(told),
        protection=facts.protection,
        reasons=tuple(dict.fromkeys((*doubts, *reasons(facts, found, required, told)))),
        room=room,
        confidence=float(sure),
    )


def facts_room(facts: Facts) -> Room | None:
    """The room the outlet is said to be in, even if that is in doubt."""
    return facts.plan.room(facts.outlet.standing.room) if facts.plan is not None else None


# ------------------------------------------------------------------------------------------- one rule


def rule_told(rule: Rule, facts: Facts) -> Told:
    """One rule with its exceptions, over every room in which the outlet may stand."""
    held = conditions.scope(rule, facts)
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
    names = facts.place.names
    return f"it may be in {names}: {facts.place.doubt}" if names else facts.place.doubt


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
    if out.answer is Answer.YES:
        return no(f"{exemption.cite} takes it out: {', '.join(out.because) or exemption.says}")
    because = f"{exemption.cite} may take it out"
    return all_of((told, unknown(because, out.question or f"Does {exemption.cite} apply?")))


def exempt(exemption: Exemption, facts: Facts, room: Room | None) -> Told:
    """Does an exception apply?  It must be plainly claimed; after that its unknowns are questions."""
    claim = any_of(conditions.clause(clause, facts, room) for clause in exemption.claim)
    if claim.answer is not Answer.YES:
        return no()
    where = (
        [any_of(conditions.clause(clause, facts, room) for clause in exemption.where)] if exemption.where else []
    )
    asked = [unknown("", exemption.ask)] if exemption.ask else []
    return all_of((claim, *where, in_force(exemption, facts), *asked))


def in_force(entry: Rule | Exemption, facts: Facts) -> Told:
    """Is a dated rule or exception in force on the day of the permit?"""
    start, end = entry.effective, entry.sunset
    if start is None and end is None:
        return yes()
    day = facts.scene.edition.permit_date
    if day is None:
        span = " ".join(part for part in (f"from {start}" if start else "", f"until {end}" if end else "") if part)
        return unknown(f"{entry.cite} is in force only {span}", f"{entry.cite} holds {span}: which date governs?")
    if (start is not None and day < start) or (end is not None and day >= end):
        return no(f"{entry.cite} is not in force on {day}")
    return yes()


def requirements(told: list[tuple[Rule, Told]]) -> tuple[Requirement, ...]:
    """The rules that ask for protection; where none does for sure, those that may."""
    held = [(rule, each) for rule, each in told if each.answer is Answer.YES]
    open_ = [(rule, each) for rule, each in told if each.answer is Answer.UNKNOWN]
    return tuple(requirement(rule, each) for rule, each in held or open_)


def requirement(rule: Rule, told: Told) -> Requirement:
    return Requirement(
        cite=rule.cite,
        because=", ".join(text for text in told.because if text),
        holds=told.answer,
        distance_ft=told.distance_ft,
        to=told.to,
        path=told.path,
        question=told.question if told.answer is Answer.UNKNOWN else None,
    )


# ------------------------------------------------------------------------------------------- all rules


def overall(facts: Facts, told: list[tuple[Rule, Told]]) -> Answer:
    """Is protection required?  Also yes where every candidate room asks for it, each by its own rule."""
    if not any(facts.symbol.kind in rule.applies_to for rule, _ in told):
        return Answer.UNKNOWN
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
        held = conditions.scope(rule, facts)
        if held.answer is not Answer.NO:
            answer = answer | rule_in(rule, facts, room, held).answer
    return answer


def symbol_doubts(facts: Facts) -> tuple[str, ...]:
    """Why the symbol itself cannot be trusted: then the verdict is unresolved whatever the rules say."""
    symbol = facts.symbol
    if not symbol.found:
        names = " or ".join(dict.fromkeys((symbol.entry.name, *symbol.rivals)))
        head = f"It could not be told whether this is {names}." if symbol.rivals else f"It may be a {names}."
        return (head, *(sentence(reason) for reason in symbol.reasons))
    if symbol.confidence < CONFIDENCE_FLOOR:
        return (f"The symbol is read as {symbol.entry.name} with too little confidence ({symbol.confidence:.2f}).",)
    return ()


def sentence(text: str) -> str:
    """A phrase as a sentence."""
    text = text.strip()
    if not text:
        return text
    return text[0].upper() + text[1:] + ("" if text[-1] in ".?!" else ".")


def reasons(facts: Facts, found: Verdict, required: Answer, told: list[tuple[Rule, Told]]) -> tuple[str, ...]:
    """Whole sentences, most important first."""
    edition, protection = facts.scene.edition, facts.protection
    held = [(rule, each) for rule, each in told if each.answer is Answer.YES]
    open_ = [(rule, each) for rule, each in told if each.answer is Answer.UNKNOWN]
    lines: list[str] = []
    if not any(facts.symbol.kind in rule.applies_to for rule, _ in told):
        lines.append(f"Rules for hard-wired outlets are not in this edition file ({edition.name}).")
    for rule, each in held:
        lines.append(f"{rule.cite} asks for GFCI protection: {', '.join(t for t in each.because if t)}.")
    if required is Answer.YES and not held:
        lines.append(f"Whichever of {facts.place.names} it is in, protection is asked for.")
    if required is not Answer.NO:
        lines.extend(_protection_lines(protection))
    if required is not Answer.YES:
        lines.extend(_open_lines(open_))
    if required is Answer.NO:
        lines.append(_not_required(facts, told))
    lines.extend(_status_lines(facts, found))
    return tuple(line for line in lines if line)


def status(facts: Facts) -> str:
    return " ".join(str(facts.fact("status") or "").lower().split())


def _status_lines(facts: Facts, found: Verdict) -> list[str]:
    word = status(facts)
    if not word or word == "new":
        return []
    if word in GOING and found == "unresolved":
        return [f"It is marked {word}.", "Is it to be taken away?"]
    return [f"It is marked {word}; it is judged like a new outlet."]


def _open_lines(open_: list[tuple[Rule, Told]]) -> list[str]:
    """One sentence and one question for all the rules that wait for the same answer."""
    groups: dict[tuple[str, str], list[str]] = {}
    for rule, each in open_:
        because = ", ".join(text for text in each.because if text)
        groups.setdefault((because, each.question or ""), []).append(rule.cite)
    lines: list[str] = []
    for (because, question), cites in groups.items():
        head = f"{', '.join(cites)} may ask for protection"
        lines += [f"{head}: {because}." if because else f"{head}.", question]
    return lines


def _protection_lines(protection: Protection) -> list[str]:
    if protection.shown is Answer.YES:
        by = f" by a {protection.by}" if protection.by else ""
        evidence = f": {protection.evidence}" if protection.evidence else ""
        head = f"Protection is shown{by}{evidence}."
    elif protection.shown is Answer.NO:
        head = "Protection is not shown."
    else:
        head = "Whether it is protected cannot be told from the drawing."
    return [head, *(sentence(reason) for reason in protection.reasons)]


def _not_required(facts: Facts, told: list[tuple[Rule, Told]]) -> str:
    """Why no rule reaches the outlet: its room, and what was near."""
    name = facts.scene.edition.name
    against = list(dict.fromkeys(text for _, each in told for text in each.against))
    grounds = "; ".join(text for text in against if not text.startswith("210.8") or "takes it out" in text)
    return f"No rule of the {name} edition asks for protection here: {grounds or 'nothing speaks for it'}."
