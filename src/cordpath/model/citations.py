"""How citations of many items are written: in the reasons of a finding, the letter and tables for people."""

from __future__ import annotations

import re
from collections.abc import Iterable


def cites_together(cites: Iterable[str]) -> tuple[str, ...]:
    """Citations one by one; four and more items of one list together: ``210.8(A) items 1 to 7, 9 and 12``."""
    # Under a head and whether it is an item of a list, as 210.8(A)(1) is, or 210.8(A) itself.
    heads: dict[tuple[str, bool], list[int]] = {}
    for cite in dict.fromkeys(cites):
        head, number = _item(cite)
        heads.setdefault((head, number is not None), []).extend([number] if number is not None else [])
    parts: list[str] = []
    for (head, _), numbers in heads.items():
        if len(numbers) >= 4:
            parts.append(f"{head} items {_in_words(sorted(numbers))}")
        else:
            parts += [f"{head}({number})" for number in numbers] or [head]
    return tuple(parts)


def _item(cite: str) -> tuple[str, int | None]:
    match = re.fullmatch(r"(.+)\((\d{1,3})\)", cite)
    return (match[1], int(match[2])) if match else (cite, None)


def runs(numbers: Iterable[int]) -> list[list[int]]:
    """Numbers in order, those that follow each other without a gap together."""
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return found


def _in_words(numbers: list[int]) -> str:
    words: list[str] = []
    for run in runs(numbers):
        words += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return " and ".join((", ".join(words[:-1]), words[-1])) if len(words) > 1 else words[0]
