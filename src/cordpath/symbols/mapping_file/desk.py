"""The desk at which the nodes of a YAML file are read as values, and where faults are laid down.

All faults of a file come out at once, each with its line and column, what is wrong and what was expected.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path

from cordpath.errors import Fault
from cordpath.model import Point
from cordpath.symbols.mapping_file.yaml_tree import Node

_NUMBER = re.compile(r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d{1,3})?")
# Share of letters that agree (difflib): 'form' for 'from' has 0.75; below it stand words of another meaning, such
# as 'outlet' and 'countertop' with 0.63.
SLIP_OF_THE_PEN = 0.7
_TRUTH = {"true": True, "yes": True, "on": True, "false": False, "no": False, "off": False}

Table = dict[str, tuple[Node, Node]]  # key -> (node of the key, node of the value)


@dataclass
class Desk:
    """Reads values out of nodes.  A reading that fails lays down a fault and gives None."""

    file: str
    faults: list[Fault] = field(default_factory=list)
    folder: Path | None = None  # where the file lies, and what it names beside it; None: on no disk

    def fault(self, node: Node, what: str) -> None:
        self.faults.append(Fault(self.file, node.line, node.column, what))

    def table(self, node: Node, what: str, known: Collection[str]) -> Table | None:
        """The keys of a table; keys that are not known or come twice are faults and are left out."""
        if node.kind != "table":
            self.fault(
                node, f"{what} is {node.said}, and a table with keys ('{next(iter(known))}: ...') was expected"
            )
            return None
        found: Table = {}
        for key, value in node.pairs:
            if key.kind != "text":
                self.fault(key, f"a key that is {key.said}, and a word was expected")
            elif key.text not in known:
                self.fault(key, f"unknown key '{key.text[:40]}' in {what}, {_nearest(key.text, known)}")
            elif key.text in found:
                self.fault(key, f"key '{key.text}' in {what} again, first on line {found[key.text][0].line}")
            else:
                found[key.text] = (key, value)
        return found

    def items(self, node: Node, what: str, most: int) -> tuple[Node, ...] | None:
        if node.kind != "list" or not node.items:
            given = "an empty list" if node.kind == "list" else node.said
            wanted = "at least one entry" if node.kind == "list" else "a list"
            self.fault(node, f"{what} is {given}, and {wanted} was expected")
            return None
        if len(node.items) > most:
            self.fault(node, f"{what} has {len(node.items)} entries, and at most {most} were expected")
            return None
        return node.items

    def text(self, node: Node, what: str, most: int = 200) -> str | None:
        if node.kind != "text" or node.empty or not node.text.strip():
            self.fault(node, f"{what} is {node.said}, and text was expected")
            return None
        if len(node.text) > most:
            self.fault(node, f"{what} has {len(node.text)} characters, and at most {most} were expected")
            return None
        return node.text.strip()

    def number(self, node: Node, what: str, low: float = -math.inf, high: float = math.inf) -> float | None:
        """A number between low and high, both included."""
        if node.kind != "text" or not node.plain or not _NUMBER.fullmatch(node.text):
            self.fault(node, f"{what} is {node.said}, and a number{_between(low, high)} was expected")
            return None
        value = float(node.text)
        if not math.isfinite(value) or not low <= value <= high:
            self.fault(node, f"{what} is {node.text[:40]}, and a number{_between(low, high)} was expected")
            return None
        return value

    def positive(self, node: Node, what: str, high: float = math.inf) -> float | None:
        value = self.number(node, what, high=high)
        if value is not None and value <= 0:
            self.fault(node, f"{what} is {node.text[:40]}, and a number above 0 was expected")
            return None
        return value

    def whole(self, node: Node, what: str, low: int = 1, high: int = 1_000_000) -> int | None:
        value = self.number(node, what, low, high)
        if value is not None and value != int(value):
            self.fault(node, f"{what} is {node.text[:40]}, and a whole number was expected")
            return None
        return None if value is None else int(value)

    def truth(self, node: Node, what: str) -> bool | None:
        if node.kind != "text" or not node.plain or node.text.lower() not in _TRUTH:
            self.fault(node, f"{what} is {node.said}, and true or false was expected")
            return None
        return _TRUTH[node.text.lower()]

    def choice(self, node: Node, what: str, words: Collection[str]) -> str | None:
        if node.kind != "text" or node.text not in words:
            self.fault(node, f"{what} is {node.said}, {_nearest(node.text, words)}")
            return None
        return node.text

    def numbers(
        self, node: Node, what: str, count: int, names: str, most: float = math.inf
    ) -> tuple[float, ...] | None:
        """A list of exactly ``count`` numbers, e.g. ``[x, y]``, none further from 0 than ``most``."""
        if node.kind != "list" or len(node.items) != count:
            given = f"a list of {len(node.items)}" if node.kind == "list" else node.said
            self.fault(node, f"{what} is {given}, and {names} was expected")
            return None
        read = [self.number(item, f"a number of {what}", -most, most) for item in node.items]
        values = tuple(value for value in read if value is not None)
        return values if len(values) == count else None

    def point(self, node: Node, what: str, most: float = math.inf) -> Point | None:
        pair = self.numbers(node, what, 2, "[x, y]", most)
        return None if pair is None else (pair[0], pair[1])


def _between(low: float, high: float) -> str:
    if math.isfinite(low) and math.isfinite(high):
        return f" from {low:g} to {high:g}"
    return f" up to {high:g}" if math.isfinite(high) else f" from {low:g}" if math.isfinite(low) else ""


def _listed(words: Collection[str]) -> str:
    return ", ".join(words) if len(words) > 1 else f"'{next(iter(words))}'"


def _nearest(word: str, known: Collection[str]) -> str:
    """``did you mean 'x'?`` where a known word is near; else the whole list."""
    # The comparison is slow for long words, and nothing that long is a slip of the pen.
    near = difflib.get_close_matches(word.lower(), known, n=1, cutoff=SLIP_OF_THE_PEN) if len(word) <= 40 else []
    if near:
        return f"and '{near[0]}' was perhaps meant"
    return f"and {'one of ' if len(known) > 1 else ''}{_listed(known)} was expected"
