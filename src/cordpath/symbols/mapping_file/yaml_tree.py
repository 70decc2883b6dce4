"""YAML as a tree in which every node knows its line and column, and a desk that checks it and collects faults.

The tree is built from the parser's events, never from constructed objects: nothing in the file can run code,
and nothing is read as a date, a base-60 number or a boolean that the user wrote as text (``value: NO``).

Terms: *node*, a scalar, a list or a table of the file.  *Desk*, the place where faults are laid down, so that all
of them come out at once.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from typing import Literal

import yaml

from cordpath.errors import Fault
from cordpath.model import Point

MOST_BYTES = (
    512 * 1024
)  # a mapping file of a whole office is some 50 kB; the worst of this size takes 1 s (measured)
MOST_DEPTH = 24  # tables and lists inside each other; the format needs 6
MOST_NODES = 60_000  # about the number that MOST_BYTES can hold in earnest

_NUMBER = re.compile(r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d{1,3})?")
_TRUTH = {"true": True, "yes": True, "on": True, "false": False, "no": False, "off": False}


@dataclass(frozen=True)
class Node:
    """A piece of the file.  ``line`` and ``column`` count from 1; ``plain`` is a scalar without quotes."""

    kind: Literal["text", "list", "table"]
    line: int
    column: int
    text: str = ""
    plain: bool = True
    items: tuple[Node, ...] = ()
    pairs: tuple[tuple[Node, Node], ...] = ()

    @property
    def empty(self) -> bool:
        """A scalar with nothing in it: ``key:``, ``key: ~`` or ``key: null``."""
        return self.kind == "text" and self.plain and self.text.lower() in ("", "~", "null")

    @property
    def said(self) -> str:
        """The node in a few words, for messages."""
        if self.kind == "text":
            if self.empty:
                return "nothing"
            return f"'{self.text}'" if len(self.text) <= 40 else f"'{self.text[:37]}...'"
        return "a list" if self.kind == "list" else "a table of keys"


TAB = r"character '\t'"  # how PyYAML names it


class _Refused(Exception):
    def __init__(self, line: int, column: int, what: str) -> None:
        super().__init__(what)
        self.line, self.column, self.what = line, column, what


def parse(data: bytes, file: str) -> tuple[Node | None, Fault | None]:
    """The tree of a YAML file, or the one fault that keeps it from being read as YAML."""
    try:
        return _tree(_decoded(data)), None
    except _Refused as refused:
        return None, Fault(file, refused.line, refused.column, refused.what)


def _decoded(data: bytes) -> str:
    if len(data) > MOST_BYTES:
        raise _Refused(1, 1, f"the file is too large, and at most {MOST_BYTES} bytes were expected")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8", "replace")
        line, column = _place(before, len(before))
        raise _Refused(line, column, "a byte that is not UTF-8, and UTF-8 text was expected") from None
    return text.replace("\r\n", "\n")


def _place(text: str, position: int) -> tuple[int, int]:
    head = text[:position]
    return head.count("\n") + 1, position - (head.rfind("\n") + 1) + 1


def _tree(text: str) -> Node | None:
    try:
        return _built(yaml.parse(text, Loader=yaml.SafeLoader))
    except yaml.reader.ReaderError as error:
        line, column = _place(text, int(error.position))
        raise _Refused(line, column, "a control character, and plain text was expected") from None
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        what = (error.problem or error.context or "not YAML").replace("\n", " ")
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        if TAB in what:
            raise _Refused(
                line, column, "a tab at the head of a line is not YAML, and spaces were expected"
            ) from None
        raise _Refused(line, column, f"this is not YAML ({what}), and a mapping file was expected") from None
    except (ValueError, OverflowError, RecursionError):
        # PyYAML lets these out for a few malformed escapes and version directives.
        raise _Refused(1, 1, "this is not YAML, and a mapping file was expected") from None


@dataclass
class _Open:
    """A list or table that is still being read."""

    kind: Literal["list", "table"]
    line: int
    column: int
    children: list[Node] = field(default_factory=list)

    def closed(self) -> Node:
        if self.kind == "list":
            return Node("list", self.line, self.column, items=tuple(self.children))
        pairs = tuple(zip(self.children[::2], self.children[1::2], strict=True))
        return Node("table", self.line, self.column, pairs=pairs)


def _built(events: Iterator[yaml.Event]) -> Node | None:
    stack: list[_Open] = []
    root: Node | None = None
    documents = 0
    for count, event in enumerate(events):
        mark = event.start_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        _no_extras(event, line, column)
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents > 1:
                raise _Refused(line, column, "a second document in the file, and one was expected")
        if count > MOST_NODES or len(stack) > MOST_DEPTH:
            raise _Refused(
                line, column, f"over {MOST_NODES} values or {MOST_DEPTH} levels, and fewer were expected"
            )
        node: Node | None = None
        if isinstance(event, yaml.SequenceStartEvent):
            stack.append(_Open("list", line, column))
        elif isinstance(event, yaml.MappingStartEvent):
            stack.append(_Open("table", line, column))
        elif isinstance(event, yaml.ScalarEvent):
            node = Node("text", line, column, text=event.value, plain=event.style is None)
        elif isinstance(event, (yaml.SequenceEndEvent, yaml.MappingEndEvent)):
            node = stack.pop().closed()
        if node is not None:
            if stack:
                stack[-1].children.append(node)
            else:
                root = node
    return root


def _no_extras(event: yaml.Event, line: int, column: int) -> None:
    """Anchors, aliases and tags are refused: a short file could stand for millions of values, or for objects."""
    if isinstance(event, yaml.AliasEvent):
        raise _Refused(line, column, "an alias (*name), and the value written out was expected")
    if getattr(event, "anchor", None) is not None:
        raise _Refused(line, column, "an anchor (&name), and a plain value was expected")
    if getattr(event, "tag", None) is not None:
        raise _Refused(line, column, "a tag (!name), and a plain value was expected")


Table = dict[str, tuple[Node, Node]]  # key -> (node of the key, node of the value)


@dataclass
class Desk:
    """Reads values out of nodes.  A reading that fails lays down a fault and gives None."""

    file: str
    faults: list[Fault] = field(default_factory=list)

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
    near = difflib.get_close_matches(word.lower(), known, n=1, cutoff=0.6) if len(word) <= 40 else []
    if near:
        return f"and '{near[0]}' was perhaps meant"
    return f"and {'one of ' if len(known) > 1 else ''}{_listed(known)} was expected"
