"""The rule language back in plain words: what a clause asks, how the program decides it, and what it cannot see.

Every condition of the language has one entry in each of the three tables; a test walks them.
"""

from __future__ import annotations

import datetime as dt

from cordpath.rules.edition import Clause, Condition, Edition, Exemption, Measure, Rule, Span

DECIDES = {
    "room": "The room that the outlet faces: its name on the plan, the fixtures drawn in it, and the mapping file.",
    "named": "The room's name as written on the plan.",
    "view": "The title of the drawing that the outlet is in.",
    "finished": "FINISHED or UNFINISHED in the room's name, or 'finished' in the mapping file.",
    "at_counter": "Counter edges drawn before the wall where it stands; an appliance below a counter serves none.",
    "serves": "A label beside the outlet (REF, DW, ...), or 'serves' in the mapping file.",
    "holds": "Fixture symbols drawn in the same room.",
    "around": "Fixture symbols drawn in the same room, at most 12 ft from the outlet in a straight line.",
    "beside": "Fixture symbols drawn where the outlet stands, within half a foot.",
    "within": "The shortest way of a cord in the plan, from the outlet to the fixture's edge, against the limit.",
    "weatherproof": "A label such as WP beside the outlet, or 'weatherproof' in the mapping file.",
    "readily_accessible": "'readily_accessible' in the mapping file, at the symbol or at a label.",
    "dedicated_circuit": "'dedicated_circuit' in the mapping file, at the symbol or at a label.",
    "single_receptacle": "'single_receptacle' in the mapping file, at the symbol or at a label.",
    "hard_wired": "The kind of the symbol, or 'hard_wired' in the mapping file.",
    "higher_than_in": "A height beside the outlet (+42), or 'height_in' in the mapping file.",
    "status": "A label such as (E), or 'status' in the mapping file.",
}
BLIND = {
    "room": "What a room is used for where neither its name nor its fixtures tell.",
    "named": "Rooms without a name.",
    "view": "The level of a drawing without a title; where the ground lies.",
    "finished": "Whether an unnamed part of a room is finished: it asks.",
    "at_counter": "Counters that are not drawn; what an outlet below a counter is for.",
    "serves": "What is plugged in: without a label a receptacle is taken to serve nothing in particular.",
    "holds": "Appliances that are not drawn or not in the mapping file.",
    "around": "How far an area about a fixture reaches: it asks.",
    "beside": "Whether the outlet really feeds the appliance at its side: it asks.",
    "within": "Heights: they only make the real way longer. Fixtures that are not drawn are asked about.",
    "weatherproof": "Unmarked weatherproof devices: silence means not weatherproof.",
    "readily_accessible": "A plan seldom tells it: silence is a question.",
    "dedicated_circuit": "A plan seldom tells it: silence is a question.",
    "single_receptacle": "A plan seldom tells it: silence is a question.",
    "hard_wired": "A cord at equipment that is drawn as fixed wiring.",
    "higher_than_in": "Heights given only in elevations or notes.",
    "status": "Existing work that is not marked: it is judged like new.",
}
PLURALS = {"receptacle": "receptacles", "hardwired outlet": "hard-wired outlets", "light": "lights"}
_VERBS = {
    "serves": "it serves",
    "holds": "the room holds a",
    "around": "the room has, at most 12 ft away, a",
    "beside": "it stands at a",
    "status": "it is marked",
}


def listing(words: tuple[str, ...]) -> str:
    """``a``, ``a or b``, ``a, b or c``."""
    return " or ".join((", ".join(words[:-1]), words[-1])) if len(words) > 1 else "".join(words)


def decides(names: tuple[str, ...]) -> tuple[str, ...]:
    """How each of these conditions is decided, with its word in the rule language."""
    return tuple(f"{name.replace('_', ' ')}: {DECIDES[name]}" for name in names)


def condition(found: Condition, measure: Measure) -> str:
    """One condition: ``in a bathroom or kitchen``, ``within 6 ft of a sink along the cord path``."""
    name, values = found.name, found.value
    either = listing(tuple(str(value) for value in values))
    if name == "room":
        return f"the room is of the kind {either}"
    if name == "named":
        return f"the room is named {either}"
    if name == "view":
        return f"the drawing is titled {either}"
    if name == "within":
        target = "tub or shower" if values[0] == "tub" else values[0]
        return f"within {measure.limit_ft:g} ft of a {target} along the cord path"
    if name == "higher_than_in":
        return f"it is higher than {values[0]:g} in above the floor"
    if name in _VERBS:
        return f"{_VERBS[name]} {either}"
    text = {
        "finished": "the room is finished", "at_counter": "it serves a countertop",
        "hard_wired": "it is hard-wired",
        "single_receptacle": "it is a single receptacle", "dedicated_circuit": "its circuit is its own",
    }.get(name, f"it is {name.replace('_', ' ')}")  # fmt: skip
    return text if values[0] else text.replace(" is ", " is not ", 1).replace("serves a", "serves no")


def clause(found: Clause, measure: Measure) -> str:
    """All conditions of a clause, what is taken for granted, and what is asked."""
    words = " and ".join(condition(each, measure) for each in found.conditions)
    words += f"; {found.takes}" if found.takes else ""
    return f"{words}; then it asks: {found.ask}" if found.ask else words


def span(found: Span, unit: str) -> str:
    if found.any:
        return "any"
    if found.of:
        return f"{', '.join(f'{value:g}' for value in found.of)} {unit}"
    if found.low is None:
        return f"up to {found.high:g} {unit}"
    return f"{found.low:g} to {found.high:g} {unit}" if found.high is not None else f"{found.low:g} {unit} and more"


def applies_to(rule: Rule) -> str:
    return ", ".join(PLURALS[word] for word in rule.applies_to)


def dates(entry: Rule | Exemption, day: dt.date | None) -> str:
    """When a dated entry is in force; empty for one without dates."""
    start, end = entry.effective, entry.sunset
    if start is None and end is None:
        return ""
    words = " ".join(part for part in (f"from {start}" if start else "", f"until {end}" if end else "") if part)
    if day is None:
        return f"in force {words}: give --permit-date"
    held = (start is None or day >= start) and (end is None or day < end)
    return f"in force {words}" if held else f"not in force on {day} ({words})"


def names_of(edition: Edition, rule: Rule) -> tuple[str, ...]:
    """Every condition name that bears on a rule, its own first, then those of its exceptions."""
    clauses = [*rule.where]
    for each in edition.exemptions:
        if each.reaches(rule):
            clauses += [*each.claim, *each.where]
    return tuple(dict.fromkeys(found.name for each in clauses for found in each.conditions))
