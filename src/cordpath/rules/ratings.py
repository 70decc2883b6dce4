"""Is an outlet of the kind, the voltage and the ampere rating that a rule is about?

Terms: *class* of a voltage, the systems whose receptacles carry one rating.  Ratings not shown are questions
unless trade usage or the drawing's own panel schedule settles them.
"""

from __future__ import annotations

from cordpath.rules.edition import Rule, Span
from cordpath.rules.facts import Facts
from cordpath.rules.told import Told, all_of, no, unknown, yes
from cordpath.rules.wording import span as worded

# Systems of 110 to 127 V feed receptacles rated 125 V, those of 208 to 240 V ones rated 250 V; common practice.
VOLTAGE_CLASS = {125.0: (110.0, 130.0), 240.0: (208.0, 250.0)}


def scope(rule: Rule, facts: Facts) -> Told:
    """Kind of outlet, volts and amperes of a rule."""
    if facts.kind not in rule.applies_to:
        return no()
    return all_of((_volts(rule.volts, facts), _amperes(rule, facts)))


def _volts(span: Span, facts: Facts) -> Told:
    if span.any:
        return yes()
    volts = facts.volts
    if volts is None:
        if facts.fact("volts") is None and span.low is None and not span.of and (span.high or 0) >= 240:
            return yes()  # a dwelling's branch circuits are 120 or 240 V
        return unknown("its voltage is not shown", "What is the voltage of the outlet?")
    if _in_span(span, volts):
        return yes()
    return no(f"at {volts:g} V it is outside the rules for {worded(span, 'V')}")


def _in_span(span: Span, value: float) -> bool:
    if span.of:
        return any(low <= value <= high for low, high in (VOLTAGE_CLASS.get(v, (v, v)) for v in span.of))
    low = VOLTAGE_CLASS.get(span.low, (span.low, span.low))[0] if span.low is not None else 0.0
    high = VOLTAGE_CLASS.get(span.high, (0.0, span.high))[1] if span.high is not None else float("inf")
    return low <= value <= high


def _amperes(rule: Rule, facts: Facts) -> Told:
    span = rule.amperes
    if span.any:
        return yes()
    amperes = facts.amperes
    if amperes is None:
        if facts.fact("amperes") is not None:
            return unknown("its amperes cannot be read", "What is the ampere rating of the outlet?")
        if span.of and facts.kind == "receptacle" and (facts.volts or 0.0) > VOLTAGE_CLASS[125.0][1]:
            return unknown("its amperes are not shown", "What is the ampere rating of the outlet?")
        if span.of:
            return yes()  # a 125 V receptacle without a word is a 15 or 20 A one; common practice, no source
        return yes(f"taken as not over {span.high:g} A")
    held = amperes in span.of if span.of else (span.low or 0.0) <= amperes <= (span.high or float("inf"))
    return yes() if held else no(f"at {amperes:g} A it is outside the rules for {worded(span, 'A')}")
