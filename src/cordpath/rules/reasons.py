"""What a finding says of itself: whole sentences, most important first, each thing once."""

from __future__ import annotations

from cordpath.model import NOT_SHOWN, Answer, Protection, Verdict, cites_together
from cordpath.rules.apply import NOT_SEEN, Outcome, rule_told
from cordpath.rules.conditions import in_kind
from cordpath.rules.facts import CONFIDENCE_FLOOR, Facts

GOING = frozenset({"demolished", "to be removed", "removed", "remove", "demolish", "abandoned"})
NO_SINK, NO_TUB = "no sink is within reach of a cord", "no tub or shower is within reach of a cord"
IN_PLAN = ", unless an elevation shows a longer way"  # said once, after the last length
NO_BASIN = "no sink, tub or shower is within reach of a cord"


def reasons(facts: Facts, found: Verdict, required: Answer, told: list[Outcome]) -> tuple[str, ...]:
    """The reasons of one outlet."""
    held = [(rule, each) for rule, each in told if each.answer is Answer.YES]
    open_ = [(rule, each) for rule, each in told if each.answer is Answer.UNKNOWN]
    lines: list[str] = []
    if lacks_rules(facts, told):
        lines.append(f"Rules for hard-wired outlets are not in this edition file ({facts.scene.edition.name}).")
    if held:
        lines.append(f"Required: {_grounds(facts, held)}.")
    if required is Answer.YES and not held:
        lines.append(f"Whichever of {facts.place.names} it is in, protection is asked for.")
    if required is not Answer.NO:
        lines.extend(_protection_lines(facts.protection))
    if required is not Answer.YES:
        lines.extend(_open_lines(facts, open_))
    if required is Answer.NO:
        lines += [_not_required(facts, told), *_withdrawn(facts)]
    lines.extend(_unseen(facts, held or open_))
    lines.extend(_status_lines(facts, found))
    return tuple(line for line in lines if line)


def lacks_rules(facts: Facts, told: list[Outcome]) -> bool:
    """No rule of the edition is about hard-wired outlets: then silence proves nothing."""
    return facts.kind == "hardwired outlet" and not any(facts.kind in rule.applies_to for rule, _ in told)


def grounds(told: Outcome) -> str:
    """The phrases of one rule, or its title where it has none."""
    rule, each = told
    return ", ".join(text for text in each.because if text) or rule.title.lower()


def _grounds(facts: Facts, told: list[Outcome]) -> str:
    """``in a kitchen (KIT.) [210.8(A)(6)]; it serves: range [210.8(D)]``; rules with the same grounds together."""
    groups: dict[str, list[str]] = {}
    for rule, each in told:
        groups.setdefault(grounds((rule, each)), []).append(facts.scene.edition.shown(rule.cite))
    scaled = [because for because in groups if because.endswith(IN_PLAN)]
    parts = []
    for because, cites in groups.items():
        once = because.removesuffix(IN_PLAN) if because in scaled[:-1] else because
        parts.append(f"{once} [{', '.join(cites_together(cites))}]")
    return "; ".join(parts)


def sentence(text: str) -> str:
    """A phrase as a sentence.  A single word says nothing alone and is told as a word of the drawing."""
    text = " ".join(text.split())
    if not text:
        return text
    if " " not in text:
        return f"The drawing says '{text}' there, which does not settle it."
    return text[0].upper() + text[1:] + ("" if text[-1] in ".?!" else ".")


def symbol_doubts(facts: Facts) -> tuple[str, ...]:
    """Why the symbol itself cannot be trusted: then the verdict is unresolved whatever the rules say."""
    symbol = facts.symbol
    if not symbol.found:
        names = " or ".join(dict.fromkeys((symbol.entry.name, *symbol.rivals)))
        head = f"It could not be told whether this is {names}" if symbol.rivals else f"It may be a {names}"
        return (sentence(head), *(sentence(reason) for reason in symbol.reasons))
    if symbol.confidence < CONFIDENCE_FLOOR:
        return (f"The symbol is read as {symbol.entry.name} with too little confidence ({symbol.confidence:.2f}).",)
    return ()


def open_names(facts: Facts) -> tuple[str, ...]:
    """Which design of the mapping file it is may be open where all of them tell the same."""
    symbol = facts.symbol
    if not symbol.found or not symbol.rivals:
        return ()
    names = " or ".join(dict.fromkeys((symbol.entry.name, *symbol.rivals)))
    return (
        f"Whether it is {names} was not told: the mapping file says the same of them, and nothing hangs on it.",
    )


def status(facts: Facts) -> str:
    return " ".join(str(facts.fact("status") or "").lower().split())


def _status_lines(facts: Facts, found: Verdict) -> list[str]:
    word = status(facts)
    if not word or word == "new":
        return []
    if word in GOING and found == "unresolved":
        return [f"It is marked {word}.", "Is it to be taken away?"]
    return [f"It is marked {word}; it is judged like a new outlet."]


def _open_lines(facts: Facts, open_: list[Outcome]) -> list[str]:
    """One sentence for all the rules that wait for an answer, then the questions, each once."""
    if not open_:
        return []
    questions = dict.fromkeys(each.question for _, each in open_ if each.question)
    return [f"Perhaps required: {_grounds(facts, open_)}.", *questions]


def _unseen(facts: Facts, told: list[Outcome]) -> list[str]:
    """Rules that decide and that no source was seen for."""
    cites = [facts.scene.edition.shown(rule.cite) for rule, _ in told if rule.verify]
    return [f"Of {', '.join(cites)} in the {facts.scene.edition.brief}: {NOT_SEEN}."] if cites else []


def _protection_lines(protection: Protection) -> list[str]:
    if protection.shown is Answer.YES:
        by = f" by a {protection.by}" if protection.by else ""
        evidence = f": {protection.evidence}" if protection.evidence else ""
        head = f"Protection is shown{by}{evidence}."
    elif protection.shown is Answer.NO:
        head = NOT_SHOWN
    else:
        head = "Whether it is protected cannot be told from the drawing."
    return [head, *(sentence(reason) for reason in protection.reasons)]


def _not_required(facts: Facts, told: list[Outcome]) -> str:
    """Why no rule reaches the outlet: its room, and what was near."""
    against = dict.fromkeys(text for _, each in told for text in each.against)
    if NO_SINK in against and NO_TUB in against:
        against = dict.fromkeys(NO_BASIN if text == NO_SINK else text for text in against if text != NO_TUB)
    places = [place for room in facts.place.rooms if (place := f"it is {in_kind(room)}") in against]
    if len(places) > 1:  # it may stand in either room, and neither asks
        either = " or ".join(place.removeprefix("it is ") for place in dict.fromkeys(places))
        against = dict.fromkeys([f"it is {either}", *(text for text in against if text not in places)])
    name = facts.scene.edition.brief
    return f"No rule of the {name} asks for protection: {'; '.join(against) or 'nothing speaks for it'}."


def _withdrawn(facts: Facts) -> list[str]:
    """Which amendments took back rules that would ask for protection as they are printed, or might."""
    by: dict[tuple[str, str], list[str]] = {}
    for rule, name in facts.scene.edition.withdrawn:
        answer = rule_told(rule, facts).answer
        if answer is not Answer.NO:
            word = "would" if answer is Answer.YES else "might"
            by.setdefault((name, word), []).append(facts.scene.edition.shown(rule.cite))
    return [
        f"{name} drops or changes {', '.join(cites_together(cites))}, which as printed {word} ask here."
        for (name, word), cites in by.items()
    ]
