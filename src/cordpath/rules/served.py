"""What an outlet serves, as a label or the mapping file says it, against the words of a rule.

Drafters write one appliance in many ways.  Words that are plainly the rule's hold; words that share one with the
rule's are a question; words that say nothing (EQUIPMENT) are as if nothing was said.
"""

from __future__ import annotations

import re

from cordpath.rules.appliances import OFF_COUNTER, WRITTEN, is_unknown_short, parts
from cordpath.rules.facts import Facts
from cordpath.rules.told import Told, no, unknown, yes

ALIKE = 5  # letters at the beginning that words of one thing share; with four, charbroiler is a charger
# Known for others than they sound like: the vacuum machines of the code clean cars.
OTHERS = OFF_COUNTER | {"vacuum", "central vacuum", "central vac", "vac"}
# Words that many appliances have in common; the rest of their names tells them apart.
COMMON = frozenset({
    "water", "pump", "machine", "motor", "tub", "bathtub", "electric", "service", "receptacle", "system", "unit",
    "pressure", "washer", "station", "drinking", "air", "clothes", "wall", "counter", "mounted", "heat", "heated",
    "heating", "heater", "lift", "and", "for", "the",
})  # fmt: skip


def serves(words: tuple[str, ...], facts: Facts) -> Told:
    """Does the outlet serve one of the things that the words of a rule name?"""
    served = facts.serves
    known = {_key(word): word.lower() for word in words}
    if served is None:
        unsure = str(facts.fact("serves_unsure") or "").lower()
        if _key(unsure) in known:
            return unknown(f"it may serve: {unsure}", f"Does it serve: {unsure}?")
        if facts.kind == "receptacle":
            return no()
        return unknown("what it serves is not shown", "What does the fixed wiring serve?")
    if _key(served) in known or any(_key(part) in known for part in parts(served)):
        return yes(f"it serves: {served}")
    near = next((word for word in sorted(known.values()) if _alike(served, word)), None)
    if near is not None and served not in OTHERS:
        return unknown(f"it serves: {served}", f"Is what it serves ({served}) to be taken as: {near}?")
    if is_unknown_short(served):
        return unknown(f"it serves: {served}", f"What is it that it serves: {served}?")
    return no(f"it serves: {served}")


def _key(text: str) -> str:
    """``dish washer``, ``Dish-Washers`` and ``dishwasher`` are one."""
    return "".join(_words(text)).removesuffix("s")


def _words(text: str) -> list[str]:
    """The words of a text, each in the singular and in full (``micro`` of a ``micro hood``)."""
    words = [WRITTEN.get(word, word) for word in re.findall("[a-z0-9]+", text.lower())]
    words = [part for word in words for part in word.split()]
    return [word.removesuffix("s") if len(word) > 3 and not word.endswith("ss") else word for word in words]


def _alike(served: str, word: str) -> bool:
    """Does one of two names hold the other, as ``double oven`` and ``sump``, or has it a telling word of it?"""
    one, two = _words(served), _words(word)
    if not one or not two:
        return False
    within = f" {' '.join(one)} " in f" {' '.join(two)} " or f" {' '.join(two)} " in f" {' '.join(one)} "
    shared = (set(one) & set(two)) - COMMON
    return within or bool(shared) or any(_begin_alike(a, b) for a in one for b in set(two) - COMMON)


def _begin_alike(one: str, two: str) -> bool:
    """Are two words the same as far as a misspelt one, or one with an ending, goes: dishwshr, stovetop?"""
    return min(len(one), len(two)) >= ALIKE and one[:ALIKE] == two[:ALIKE] and one not in COMMON
