"""YAML as a tree in which every node knows its line and column.

The tree is built from the parser's events, never from constructed objects: nothing in the file can run code,
and nothing is read as a date, a base-60 number or a boolean that the user wrote as text (``value: NO``).
Programs that write YAML name a value that stands twice (``&id001``) and refer to it (``*id001``), so references
are read; what they stand for counts in full, so that a short file cannot stand for millions of values.

Term: *node*, a scalar, a list or a table of the file.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

import yaml

from cordpath.errors import Fault

MOST_BYTES = (
    512 * 1024
)  # a mapping file of a whole office is some 50 kB; the worst of this size takes 1 s (measured)
MOST_DEPTH = 24  # tables and lists inside each other; the format needs 6
MOST_NODES = 60_000  # about the number that MOST_BYTES can hold in earnest

# What the first bytes of a file say that it is: a plan in place of its mapping file was "a byte that is not UTF-8".
NO_TEXT = (
    (b"%PDF-", "a PDF file"), (b"\x89PNG", "a picture"), (b"\xff\xd8\xff", "a picture"),
    (b"PK\x03\x04", "a ZIP or office file"), (b"\xff\xfe", "UTF-16 text"), (b"\xfe\xff", "UTF-16 text"),
)  # fmt: skip
WANTED = "YAML text in UTF-8 was expected"

_CORE = "tag:yaml.org,2002:"
# Tags that say of a value only what its form says as well.  PyYAML tags a Python tuple so, and it is a list.
_HARMLESS: dict[type[yaml.Event], tuple[str | None, ...]] = {
    yaml.ScalarEvent: (None, _CORE + "str"),
    yaml.SequenceStartEvent: (None, _CORE + "seq", _CORE + "python/tuple"),
    yaml.MappingStartEvent: (None, _CORE + "map"),
}


@dataclass(frozen=True)
class Node:
    """A piece of the file.  ``line`` and ``column`` count from 1; ``plain`` is a scalar without quotes or tag.

    ``size`` counts the nodes in it, itself included; ``depth`` the lists and tables inside each other, itself too.
    """

    kind: Literal["text", "list", "table"]
    line: int
    column: int
    text: str = ""
    plain: bool = True
    items: tuple[Node, ...] = ()
    pairs: tuple[tuple[Node, Node], ...] = ()
    size: int = 1
    depth: int = 0

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
    what = next((what for head, what in NO_TEXT if data.startswith(head)), None)
    if what is not None:
        raise _Refused(1, 1, f"this is {what}, and {WANTED}")
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
    anchor: str | None
    children: list[Node] = field(default_factory=list)

    def closed(self) -> Node:
        size = 1 + sum(child.size for child in self.children)
        depth = 1 + max((child.depth for child in self.children), default=0)
        if self.kind == "list":
            return Node("list", self.line, self.column, items=tuple(self.children), size=size, depth=depth)
        pairs = tuple(zip(self.children[::2], self.children[1::2], strict=True))
        return Node("table", self.line, self.column, pairs=pairs, size=size, depth=depth)


@dataclass
class _Builder:
    """Puts the parser's events together to one tree."""

    open: list[_Open] = field(default_factory=list)
    named: dict[str, Node] = field(default_factory=dict)  # what references may stand for, by its anchor
    root: Node | None = None
    documents: int = 0
    nodes: int = 0

    def take(self, event: yaml.Event) -> None:
        mark = event.start_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        if getattr(event, "tag", None) not in _HARMLESS.get(type(event), (None,)):
            raise _Refused(line, column, "a tag (!name), and a plain value was expected")
        if isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                raise _Refused(line, column, "a second document in the file, and one was expected")
        elif isinstance(event, (yaml.SequenceStartEvent, yaml.MappingStartEvent)):
            kind: Literal["list", "table"] = "list" if isinstance(event, yaml.SequenceStartEvent) else "table"
            self.named.pop(event.anchor or "", None)  # its name no longer means what bore it before
            self.open.append(_Open(kind, line, column, event.anchor))
            self._bounded(1, 0, line, column)
        elif isinstance(event, yaml.ScalarEvent):
            plain = event.style is None and event.tag is None
            node = Node("text", line, column, text=event.value, plain=plain)
            self._bounded(1, 0, line, column)
            self._put(node, event.anchor)
        elif isinstance(event, yaml.AliasEvent):
            node = self._referred(event.anchor or "", line, column)
            self._bounded(node.size, node.depth, line, column)
            self._put(node, None)
        elif isinstance(event, (yaml.SequenceEndEvent, yaml.MappingEndEvent)):
            ended = self.open.pop()
            self._put(ended.closed(), ended.anchor)

    def _put(self, node: Node, anchor: str | None) -> None:
        if anchor is not None:
            self.named[anchor] = node
        if self.open:
            self.open[-1].children.append(node)
        else:
            self.root = node

    def _referred(self, anchor: str, line: int, column: int) -> Node:
        """What a reference stands for: a value that ended above it, so that none can hold itself."""
        if anchor not in self.named:
            raise _Refused(
                line,
                column,
                f"a reference (*{anchor[:40]}), and a value marked &{anchor[:40]} above it was expected",
            )
        return self.named[anchor]

    def _bounded(self, nodes: int, depth: int, line: int, column: int) -> None:
        self.nodes += nodes
        if self.nodes > MOST_NODES or len(self.open) + depth > MOST_DEPTH:
            raise _Refused(
                line, column, f"over {MOST_NODES} values or {MOST_DEPTH} levels, and fewer were expected"
            )


def _built(events: Iterator[yaml.Event]) -> Node | None:
    builder = _Builder()
    for event in events:
        builder.take(event)
    return builder.root
