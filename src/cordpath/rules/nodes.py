"""YAML as nodes that know their place, so that a fault can be told by line and column.

A rule file is read by people and may come from anywhere: it is bounded in size and depth, aliases and repeated
keys are faults, and nothing but plain scalars, lists and mappings is built from it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import yaml

from cordpath.errors import ConfigurationRefused, Fault, UnreadableFile

MOST_BYTES = 1_000_000  # a long edition file is 40 kB
MOST_DEPTH = 12  # the language itself needs 6


class Faults:
    """Collects the faults of one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.all: list[Fault] = []

    def add(self, node: yaml.Node, what: str) -> None:
        self.all.append(Fault(self.file, node.start_mark.line + 1, node.start_mark.column + 1, what))

    def refuse(self) -> None:
        if self.all:
            raise ConfigurationRefused(tuple(self.all))


def read_text(path: Path) -> str:
    """The text of a file, at most MOST_BYTES; raises UnreadableFile."""
    try:
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except OSError as error:
        raise UnreadableFile(
            f"cannot be read ({error.strerror or error})", where=str(path), cure="check the path"
        ) from None
    if len(data) > MOST_BYTES:
        raise UnreadableFile(f"is larger than {MOST_BYTES} bytes", where=str(path), cure="give a YAML rule file")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise UnreadableFile("is not UTF-8 text", where=str(path), cure="save it as UTF-8") from None


def compose(text: str, file: str) -> yaml.MappingNode:
    """The top mapping of a YAML text; raises ConfigurationRefused with the place of the fault."""
    try:
        node = _Bounded(text, file).get_single_node()
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        raise ConfigurationRefused((Fault(file, line, column, f"is not YAML: {error.problem}"),)) from None
    except (yaml.YAMLError, ValueError) as error:
        raise ConfigurationRefused((Fault(file, 1, 1, f"is not YAML: {str(error).splitlines()[0]}"),)) from None
    if not isinstance(node, yaml.MappingNode):
        raise ConfigurationRefused((Fault(file, 1, 1, "is not a rule file: expected keys such as rules:"),))
    return node


class _Bounded(yaml.SafeLoader):
    """Composes nodes event by event, so that what is too deep, or an alias, is refused before it is read on."""

    def __init__(self, text: str, file: str) -> None:
        super().__init__(text)
        self.file, self.depth = file, 0

    def compose_node(self, parent: yaml.Node | None, index: int) -> yaml.Node | None:
        event: yaml.Event = self.peek_event()  # type: ignore[no-untyped-call]  # the stubs leave it out
        if isinstance(event, yaml.AliasEvent):
            raise self._refused(event, "has a YAML alias (*name): write the value out")
        nested = isinstance(event, yaml.CollectionStartEvent)
        self.depth += nested
        if self.depth > MOST_DEPTH:
            raise self._refused(event, f"is nested deeper than {MOST_DEPTH} levels")
        node = super().compose_node(parent, index)
        self.depth -= nested
        return node

    def _refused(self, event: yaml.Event, what: str) -> ConfigurationRefused:
        mark = event.start_mark
        place = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        return ConfigurationRefused((Fault(self.file, *place, what),))


class Entry:
    """A mapping node read key by key; keys that nobody asked for are faults."""

    def __init__(self, node: yaml.Node, faults: Faults, what: str) -> None:
        self.node, self.faults, self.what = node, faults, what
        self.items: dict[str, yaml.Node] = {}
        self.asked: set[str] = set()
        if not isinstance(node, yaml.MappingNode):
            faults.add(node, f"{what} must be a mapping of keys and values")
            return
        for key, value in node.value:
            name = key.value if isinstance(key, yaml.ScalarNode) else ""
            if name in self.items:
                faults.add(key, f"{what} has the key {name!r} twice")
            self.items[name] = value

    def get(self, key: str) -> yaml.Node | None:
        self.asked.add(key)
        return self.items.get(key)

    def need(self, key: str) -> yaml.Node | None:
        node = self.get(key)
        if node is None and isinstance(self.node, yaml.MappingNode):
            self.faults.add(self.node, f"{self.what} lacks {key!r}")
        return node

    def close(self) -> None:
        if not isinstance(self.node, yaml.MappingNode):
            return
        for key, _ in self.node.value:
            name = key.value if isinstance(key, yaml.ScalarNode) else "(not a word)"
            if name not in self.asked:
                expected = ", ".join(sorted(self.asked))
                self.faults.add(key, f"{self.what} has the unknown key {name!r}; expected {expected}")

    # ------------------------------------------------------------------------------------ typed values

    def text(self, key: str, *, need: bool = False) -> str | None:
        node = self.need(key) if need else self.get(key)
        return None if node is None else text_of(node, self.faults, f"{key!r} of {self.what}")

    def texts(self, key: str, *, need: bool = False) -> tuple[str, ...]:
        node = self.need(key) if need else self.get(key)
        return () if node is None else texts_of(node, self.faults, f"{key!r} of {self.what}")

    def truth(self, key: str, default: bool) -> bool:
        return self._plain(key, default, lambda value: isinstance(value, bool), "true or false")

    def number(self, key: str, default: float) -> float:
        return float(self._plain(key, default, lambda v: is_number(v) and 0 < v < 1e6, "a number above 0"))

    def date(self, key: str) -> dt.date | None:
        return self._plain(key, None, _is_day, "a date such as 2026-09-01")

    def _plain(self, key: str, default: Any, fits: Callable[[Any], bool], what: str) -> Any:
        """A plain value that ``fits``; any other is a fault, and the default stands for it."""
        node = self.get(key)
        if node is None:
            return default
        value = scalar(node)
        if fits(value):
            return value
        self.faults.add(node, f"{key!r} of {self.what} must be {what}")
        return default

    def days(self) -> tuple[dt.date | None, dt.date | None]:
        """``effective`` and ``sunset``; a sunset that is not after the other is a fault: such days never come."""
        effective, sunset = self.date("effective"), self.date("sunset")
        if effective is not None and sunset is not None and sunset <= effective:
            self.faults.add(self.items["sunset"], f"'sunset' of {self.what} must be after its 'effective'")
        return effective, sunset

    def choice(self, key: str, allowed: tuple[str, ...], default: str) -> str:
        node = self.get(key)
        if node is None:
            return default
        value = text_of(node, self.faults, f"{key!r} of {self.what}")
        if value not in allowed:
            self.faults.add(node, f"{key!r} of {self.what} must be one of {', '.join(allowed)}")
            return default
        return value


def scalar(node: yaml.Node) -> Any:
    """The plain value of a scalar node (text, number, truth, date, None); the node's text if it is odd."""
    if not isinstance(node, yaml.ScalarNode):
        return None
    constructor = yaml.constructor.SafeConstructor()
    try:
        return constructor.construct_object(node)
    except (yaml.YAMLError, ValueError, OverflowError, ArithmeticError):
        return node.value


def is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _is_day(value: Any) -> bool:
    return isinstance(value, dt.date) and not isinstance(value, dt.datetime)


def text_of(node: yaml.Node, faults: Faults, what: str) -> str | None:
    if not isinstance(node, yaml.ScalarNode) or not str(node.value).strip():
        faults.add(node, f"{what} must be text")
        return None
    return " ".join(str(node.value).split())


def items_of(node: yaml.Node) -> Iterator[yaml.Node]:
    """The items of a list; a single value is a list of one."""
    if isinstance(node, yaml.SequenceNode):
        yield from node.value
    else:
        yield node


def texts_of(node: yaml.Node, faults: Faults, what: str) -> tuple[str, ...]:
    found = tuple(text for item in items_of(node) if (text := text_of(item, faults, what)) is not None)
    if not found:
        faults.add(node, f"{what} must not be empty")
    return found
