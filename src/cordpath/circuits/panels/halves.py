"""Which headers of a band belong to one half of a schedule.

Terms: *band*, *half* as in tables.py.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations

from cordpath.circuits.panels.headings import Column, column
from cordpath.circuits.panels.words import Text

REPEATED = frozenset({"notes", "amperes"})  # kinds of which one half may have two columns
MOST_LISTS = 3  # lists beside and between tables side by side that begin at the height of the header
MOST_HALVES = 6  # three tables side by side that differ; the ways to cut grow with each


def circuit_head(group: list[Text]) -> Text:
    return next(head for head in group if column(head.text) == "circuit")


def in_halves(heads: list[Text]) -> list[list[Text]]:
    """Columns by half; headers that are lists' left out, where without them the halves are alike.

    Of tables side by side that differ, the halves of each are.
    """
    if _alike(groups := _by_half(heads)):
        return groups
    if (tables := _in_tables(heads)) is not None:
        return tables
    found = (groups for some in _fewer(heads) if _alike(groups := _by_half(some)))
    return next(found, None) or _with_circuits(_by_half(heads))


def _in_tables(heads: list[Text]) -> list[list[Text]] | None:
    """The halves of tables side by side, each of one half or of two that are alike; None where it stays open.

    Each half has one circuit column; of all ways to cut between two of them the one that pairs most halves counts.
    """
    at = [k for k, head in enumerate(heads) if column(head.text) == "circuit"]
    if not 2 < len(at) <= MOST_HALVES:
        return None
    ways = [(_pairs([_kinds(group) for group in way]), way) for way in _cuts(heads, at)]
    most = max((pairs for pairs, _ in ways), default=0)
    best = [way for pairs, way in ways if pairs == most]
    return best[0] if len(best) == 1 and 2 * most >= len(at) - 1 else None


def _cuts(heads: list[Text], at: list[int]) -> Iterator[list[list[Text]]]:
    """Every way to cut the headers into halves, each with one of the circuit columns that stand ``at`` places."""
    if len(at) == 1:
        if _is_half(heads):
            yield [heads]
        return
    for cut in range(at[0] + 1, at[1] + 1):
        if _is_half(heads[:cut]):
            yield from ([heads[:cut], *rest] for rest in _cuts(heads[cut:], [k - cut for k in at[1:]]))


def _is_half(group: list[Text]) -> bool:
    count = Counter(_kinds(group))
    return count["description"] == 1 and all(n == 1 or kind in REPEATED for kind, n in count.items())


def _pairs(kinds: list[list[Column]]) -> int:
    """How many pairs of neighbours are alike, or mirrored, each half in one pair."""
    found = k = 0
    while k + 1 < len(kinds):
        alike = kinds[k + 1] in (kinds[k], kinds[k][::-1])
        found, k = found + alike, k + 1 + alike
    return found


def _kinds(group: list[Text]) -> list[Column]:
    return [kind for head in group if (kind := column(head.text)) is not None and kind != "ignore"]


def _fewer(heads: list[Text]) -> Iterator[list[Text]]:
    """The headers without those at the ends; without some GFCI or AFCI, with which lists begin, fewest first."""
    yield from (heads[1:], heads[:-1], heads[1:-1])
    marks = [head for head in heads if column(head.text) in ("gfci", "afci")]
    for n in range(1, MOST_LISTS + 1):
        for some in combinations(marks, n):
            yield [head for head in heads if not any(head is one for one in some)]


def _alike(groups: list[list[Text]]) -> bool:
    """Do all halves have the same columns, in the same order or mirrored, circuits among them?"""
    kinds = [_kinds(group) for group in groups]
    return all("circuit" in each and each in (kinds[0], kinds[0][::-1]) for each in kinds)


def _with_circuits(groups: list[list[Text]]) -> list[list[Text]]:
    return [group for group in groups if any(column(head.text) == "circuit" for head in group)]


def _by_half(heads: list[Text]) -> list[list[Text]]:
    """A new half begins where a kind of column comes once more than a half has of it."""
    groups: list[list[Text]] = [[]]
    each = _in_each_half(heads)
    seen: Counter[Column] = Counter()
    for head in heads:
        kind = column(head.text)
        if kind not in (None, "ignore") and seen[kind] >= each.get(kind, 1):
            groups.append([])
            seen = Counter()
        groups[-1].append(head)
        if kind is not None:
            seen[kind] += 1
    return groups


def _in_each_half(heads: list[Text]) -> dict[Column, int]:
    """How often each half has a kind of column: TYPE and NOTES may both hold marks, BKR and AMPS both amperes.

    Only where every half has one circuit and one description, so that no half was overlooked.
    """
    count = Counter(kind for head in heads if (kind := column(head.text)) is not None)
    halves = count["circuit"]
    if not halves or count["description"] != halves:
        return {}
    return {kind: n // halves for kind, n in count.items() if kind in REPEATED and n % halves == 0}
