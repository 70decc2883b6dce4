"""The words of a rule file: from YAML nodes to rules, exceptions and clauses.

The same words serve editions and amendments.  A clause may use:

    room: bathroom              the room is of one of these kinds
    named: [UTILITY*]           the room's name matches one of these patterns (* stands for anything)
    view: [BASEMENT*]           the title of the drawing matches
    finished: false             the room is finished, or not
    at_counter: true            it serves a countertop
    serves: [dishwasher]        it serves one of these, as a label or the mapping file says
    holds: washer               such a fixture stands in the same room
    around: sink                such a fixture stands in the same room, at most 12 ft away
    beside: dishwasher          it stands at such a fixture
    within: sink                within the edition's reach of a sink, or of a tub (tub or shower)
    weatherproof, readily_accessible, dedicated_circuit, single_receptacle, hard_wired: true or false
    higher_than_in: 66          its height above the floor, in inches
    status: [existing]          its status, as a label or the mapping file says
    ask: Is it ...?             even if all this holds, only ask
    takes: its floor ...        what is taken for granted, because a plan seldom shows it; said with the verdict
"""

from __future__ import annotations

import re
from typing import Any, cast, get_args

import yaml

from cordpath.model import FIXTURE_KINDS, RoomKind
from cordpath.rules.edition import Clause, Condition, Exemption, Measure, Rule, Span, Spot
from cordpath.rules.nodes import Entry, Faults, is_number, items_of, scalar, text_of, texts_of

ROOM_KINDS: tuple[str, ...] = tuple(kind for kind in get_args(RoomKind) if kind != "unknown")
TARGETS = ("sink", "tub")
DOORS = ("open", "blocking", "unsettled")
WINDOWS = ("blocking", "unsettled")
_WORDS = ("serves", "status", "named", "view")
_TRUTHS = ("finished", "at_counter", "weatherproof", "readily_accessible", "dedicated_circuit", "single_receptacle",
           "hard_wired")  # fmt: skip
_NUMBERS = ("higher_than_in",)
APPLIES_TO = ("receptacle", "hardwired outlet", "light")
_CHOICES: dict[str, tuple[str, ...]] = {
    "room": ROOM_KINDS,
    "holds": tuple(sorted(FIXTURE_KINDS)),
    "around": tuple(sorted(FIXTURE_KINDS)),
    "beside": tuple(sorted(FIXTURE_KINDS)),
    "within": TARGETS,
}
CONDITIONS: tuple[str, ...] = (*_CHOICES, *_WORDS, *_TRUTHS, *_NUMBERS)
_SPAN = re.compile(r"^(?P<low>\d+(?:\.\d+)?)\s+to\s+(?P<high>\d+(?:\.\d+)?)$")
_UP_TO = re.compile(r"^up to\s+(?P<high>\d+(?:\.\d+)?)$")
RULE_FIELDS = ("title", "says", "for", "volts", "amperes", "where", "changed", "sources", "verify",
               "effective", "sunset")  # fmt: skip

MOST_LIMIT_FT = 11.0  # cord paths are measured to 12 ft, their uncertainty included


def clauses(node: yaml.Node | None, faults: Faults, what: str) -> tuple[Clause, ...]:
    """``where:`` or ``claim:``, one clause or a list of which any will do."""
    if node is None:
        return ()
    items = tuple(items_of(node))
    if not items:
        faults.add(node, f"{what} must not be empty")
    return tuple(_clause(item, faults, what) for item in items)


def _clause(node: yaml.Node, faults: Faults, what: str) -> Clause:
    entry = Entry(node, faults, what)
    conditions = [found for name in CONDITIONS if (found := _condition(name, entry, faults)) is not None]
    ask, takes = entry.text("ask"), entry.text("takes")
    entry.close()
    if not conditions and isinstance(node, yaml.MappingNode):
        faults.add(node, f"{what} has no condition; expected one of {', '.join(CONDITIONS)}")
    return Clause(tuple(conditions), ask, takes)


def _condition(name: str, entry: Entry, faults: Faults) -> Condition | None:
    node = entry.get(name)
    if node is None:
        return None
    if name in _TRUTHS:
        value = scalar(node)
        if not isinstance(value, bool):
            faults.add(node, f"{name!r} must be true or false")
            return None
        return Condition(name, (value,))
    if name in _NUMBERS:
        number = scalar(node)
        if not is_number(number) or not 0 < number < 1000:
            faults.add(node, f"{name!r} must be a number of inches")
            return None
        return Condition(name, (float(number),))
    words = texts_of(node, faults, f"{name!r}")
    for word in words if name in _CHOICES else ():
        if word not in _CHOICES[name]:
            faults.add(node, f"{name!r} has {word!r}; expected one of {', '.join(_CHOICES[name])}")
    if name == "within" and len(words) > 1:
        faults.add(node, "'within' takes one word: sink or tub")
    return Condition(name, words)


def span(node: yaml.Node | None, faults: Faults, what: str) -> Span:
    """``any``, ``125``, ``[15, 20]``, ``125 to 250`` or ``up to 50``."""
    if node is None:
        return Span()
    if isinstance(node, yaml.ScalarNode):
        text = str(node.value).strip()
        if text == "any":
            return Span()
        if match := _SPAN.match(text):
            low, high = float(match["low"]), float(match["high"])
            if low > high:
                faults.add(node, f"{what} runs from high to low")
            return Span(low, high)
        if match := _UP_TO.match(text):
            return Span(None, float(match["high"]))
    values = [scalar(item) for item in items_of(node)]
    if values and all(is_number(value) and value > 0 for value in values):
        return Span(of=tuple(float(value) for value in values))
    faults.add(node, f"{what} must be any, a number, a list of numbers, '125 to 250' or 'up to 50'")
    return Span()


def applies_to(node: yaml.Node | None, faults: Faults) -> tuple[str, ...]:
    words = () if node is None else texts_of(node, faults, "'for'")
    for word in words:
        if word not in APPLIES_TO and node is not None:
            faults.add(node, f"'for' has {word!r}; expected {', '.join(APPLIES_TO)}")
    return words


def rule(node: yaml.Node, faults: Faults) -> Rule:
    """One entry of ``rules:`` (or of ``add:`` in an amendment)."""
    cite = _cite(node)
    entry = Entry(node, faults, f"rule {cite}" if cite else "a rule")
    found = Rule(
        cite=entry.text("cite", need=True) or "",
        title=entry.text("title", need=True) or "",
        says=entry.text("says", need=True) or "",
        applies_to=applies_to(entry.need("for"), faults),
        volts=span(entry.get("volts"), faults, "'volts'"),
        amperes=span(entry.get("amperes"), faults, "'amperes'"),
        where=clauses(entry.need("where"), faults, f"'where' of {entry.what}"),
        **_kept(entry, node),
    )
    entry.close()
    return found


def exemption(node: yaml.Node, faults: Faults) -> Exemption:
    """One entry of ``exceptions:`` (or of ``exempt:`` in an amendment)."""
    cite = _cite(node)
    entry = Entry(node, faults, f"exception {cite}" if cite else "an exception")
    found = Exemption(
        cite=entry.text("cite", need=True) or "",
        says=entry.text("says", need=True) or "",
        to=entry.texts("to", need=True),
        claim=clauses(entry.need("claim"), faults, f"'claim' of {entry.what}"),
        where=clauses(entry.get("where"), faults, f"'where' of {entry.what}"),
        ask=entry.text("ask"),
        **_kept(entry, node),
    )
    entry.close()
    return found


def _kept(entry: Entry, node: yaml.Node) -> dict[str, Any]:
    """What rules and exceptions tell alike: their history, their sources and their days."""
    effective, sunset = entry.days()
    return {
        "changed": entry.text("changed"),
        "sources": entry.texts("sources"),
        "verify": entry.truth("verify", False),
        "effective": effective,
        "sunset": sunset,
        "line": node.start_mark.line + 1,
    }


def device(node: yaml.Node | None, faults: Faults) -> Spot | None:
    """``device:``: where the GFCI device itself would not be readily accessible."""
    if node is None:
        return None
    entry = Entry(node, faults, "'device'")
    found = Spot(
        cite=entry.text("cite", need=True) or "",
        says=entry.text("says", need=True) or "",
        where=clauses(entry.need("where"), faults, "'where' of 'device'"),
        sources=entry.texts("sources"),
    )
    entry.close()
    return found


def measure(node: yaml.Node | None, faults: Faults) -> Measure:
    if node is None:
        return Measure()
    entry = Entry(node, faults, "'measure'")
    doors = entry.choice("doors", DOORS, "open")
    found = Measure(
        doors=cast(Any, doors),
        windows=cast(Any, entry.choice("windows", WINDOWS, "blocking")),
        limit_ft=entry.number("limit_ft", 6.0),
        sink_edge=entry.choice("sink_edge", ("inner", "outer"), "inner"),
        tub_edge=entry.choice("tub_edge", ("inner", "outer"), "outer"),
        says=entry.text("says") or "",
    )
    if found.limit_ft > MOST_LIMIT_FT:
        at = entry.get("limit_ft")
        faults.add(
            at if at is not None else node, f"'limit_ft' is above {MOST_LIMIT_FT:g} ft, as far as is measured"
        )
    entry.close()
    return found


def _cite(node: yaml.Node) -> str | None:
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            if isinstance(key, yaml.ScalarNode) and key.value == "cite":
                return text_of(value, Faults(""), "cite")
    return None


def listed(node: yaml.Node | None, faults: Faults, what: str) -> tuple[yaml.Node, ...]:
    """The items of a list of entries; anything else is a fault."""
    if node is None:
        return ()
    if not isinstance(node, yaml.SequenceNode):
        faults.add(node, f"{what} must be a list of entries, each beginning with '- '")
        return ()
    return tuple(node.value)
