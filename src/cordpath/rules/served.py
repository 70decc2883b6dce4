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
OTHERS = OFF_COUNTER | {
    "vacuum", "central vacuum", "central vac", "vac", "hot water dispenser", "instant hot water dispenser",
    "wine cooler", "beverage cooler", "warming drawer",
}  # fmt: skip
# What tells how or where an appliance is built and not what it is; such a word before the rule's own name changes
# nothing.  Common practice, no source.
BUILT = frozenset({
    "elec", "electric", "double", "dbl", "single", "built", "in", "slide", "freestanding", "under", "undercounter",
    "counter", "kitchen", "new", "existing", "stacked", "ada", "bi", "drop", "unit",
})  # fmt: skip
SKELETON = 4  # consonants in order from which on two words are one, misspelt: dshwshr, mcrwv
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
    if any(_names(part, known) for part in (served, *parts(served))):
        return yes(f"it serves: {served}")
    near = next((word for word in sorted(known.values()) if _alike(served, word)), None)
    if near is not None and served not in OTHERS:
        return unknown(f"it serves: {served}", f"Is what it serves ({served}) to be taken as: {near}?")
    if is_unknown_short(served):
        return unknown(f"it serves: {served}", f"What is it that it serves: {served}?")
    return no(f"it serves: {served}")


def serves_only(words: tuple[str, ...], facts: Facts) -> bool:
    """Is each thing that the outlet serves one that the words name?  A/C & POOL PUMP is not only an A/C."""
    known = {_key(word): word.lower() for word in words}
    return facts.serves is None or all(_names(part, known) for part in parts(facts.serves))


def nearly(words: tuple[str, ...], facts: Facts) -> bool:
    """Is each thing that the outlet serves named by the words, or with more or fewer: AC-1, SOFFIT LIGHTS?"""
    known = {_key(word): word.lower() for word in words}
    return facts.serves is not None and all(
        _names(part, known) or any(_within(_words(part), _words(word)) for word in words)
        for part in parts(facts.serves)
    )


def _names(served: str, known: dict[str, str]) -> bool:
    """Is what is served one of the known names, but for words of how it is built: double oven, slide-in range?"""
    words = re.findall("[a-z0-9]+", served)
    return _key(served) in known or _key(" ".join(word for word in words if word not in BUILT)) in known


def _key(text: str) -> str:
    """``dish washer``, ``Dish-Washers`` and ``dishwasher`` are one."""
    return "".join(_words(text)).removesuffix("s")


def _words(text: str) -> list[str]:
    """The words of a text, each in the singular and in full (``micro`` of a ``micro hood``)."""
    words = [WRITTEN.get(word, word) for word in re.findall("[a-z0-9]+", text.lower())]
    words = [part for word in words for part in re.findall("[a-z0-9]+", word)]
    return [word.removesuffix("s") if len(word) > 3 and not word.endswith("ss") else word for word in words]


def _alike(served: str, word: str) -> bool:
    """Does one of two names hold the other, as ``double oven`` and ``sump``, or has it a telling word of it?"""
    one, two = _words(served), _words(word)
    if not one or not two:
        return False
    shared = (set(one) & set(two)) - COMMON
    return _within(one, two) or bool(shared) or any(_begin_alike(a, b) for a in one for b in set(two) - COMMON)


def _within(one: list[str], two: list[str]) -> bool:
    """Does one of two names stand whole in the other?"""
    return f" {' '.join(one)} " in f" {' '.join(two)} " or f" {' '.join(two)} " in f" {' '.join(one)} "


def _begin_alike(one: str, two: str) -> bool:
    """Are two words the same as far as a misspelt one, or one with an ending, goes: dishwshr, stovetop?"""
    if one in COMMON:
        return False
    alike = min(len(one), len(two)) >= ALIKE and one[:ALIKE] == two[:ALIKE]
    return (
        alike or (len(_consonants(one)) >= SKELETON and _consonants(one) == _consonants(two)) or _one_off(one, two)
    )


def _consonants(word: str) -> str:
    return re.sub("[aeiouy]", "", word)


def _one_off(one: str, two: str) -> bool:
    """Are two long words the same but for one letter that is left out or put in: diswasher?"""
    short, long = sorted((one, two), key=len)
    return len(short) > 2 * SKELETON - 1 and any(long[:k] + long[k + 1 :] == short for k in range(len(long)))
