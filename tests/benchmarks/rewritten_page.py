"""A page being rewritten, and the ways of doing it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random
from typing import Any

import pikepdf
from house_ink import Arc, Item, Note, Paper, Pt
from house_writers import Stream, _fonts, _num, _runs
from pikepdf import Array, Dictionary, Name

Box = tuple[float, float, float, float]
Writer = Callable[[Paper, Path, Random], None]


@dataclass(frozen=True)
class Way:
    name: str
    write: Writer
    tells: str = ""  # what the sheet's assumptions have to say
    must_read: bool = True  # a refusal is a fault


WAYS: list[Way] = []


def way(name: str, tells: str = "", must_read: bool = True) -> Callable[[Writer], Writer]:
    def add(write: Writer) -> Writer:
        WAYS.append(Way(name, write, tells, must_read))
        return write

    return add


@dataclass
class Leaf:
    """A page being written: content under ``1 0 0 -1 0 h cm``, resources, entries of page and catalog."""

    paper: Paper
    pdf: pikepdf.Pdf = field(default_factory=pikepdf.new)
    out: list[str] = field(default_factory=list)
    named: dict[str, dict[str, Any]] = field(default_factory=dict)
    page: dict[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.fonts = _fonts(self.pdf)

    def text(self, items: list[Item], cls: type[Stream] = Stream) -> str:
        s = cls(1, False)
        for item in items:
            s.add(item)
        return s.out.getvalue()

    def name(self, kind: str, value: Any) -> str:
        table = self.named.setdefault(kind, {})
        key = f"{kind[0]}{len(table)}"
        table[key] = value
        return key

    def stream(self, content: str | bytes, **entries: Any) -> pikepdf.Object:
        s = self.pdf.make_stream(content.encode("latin-1") if isinstance(content, str) else content)
        for key, value in entries.items():
            s[Name("/" + key)] = value
        return s

    def form(self, content: str, box: Box | None = None, matrix: Any = None, **more: Any) -> str:
        box = box or (0, 0, self.paper.width, self.paper.height)
        more = {"Resources": Dictionary(Font=self.fonts), **more}
        if matrix is not None:
            more["Matrix"] = Array([round(v, 6) for v in matrix])
        s = self.stream(
            content, Type=Name.XObject, Subtype=Name.Form, BBox=Array([round(v, 4) for v in box]), **more
        )
        return self.name("XObject", s)

    def state(self, **entries: Any) -> str:
        return self.name("ExtGState", Dictionary(**entries))

    def layer(self, title: str) -> pikepdf.Object:
        return self.pdf.make_indirect(Dictionary(Type=Name.OCG, Name=title))

    def layers(self, groups: list[pikepdf.Object], **default: Any) -> None:
        self.pdf.Root.OCProperties = Dictionary(OCGs=Array(groups), D=Dictionary(Order=Array(groups), **default))

    def resources(self) -> Dictionary:
        return Dictionary(Font=self.fonts, **{k: Dictionary(**v) for k, v in self.named.items()})

    def finish(self, path: Path, matrix: str | None = None, content: Any = None, **save: Any) -> None:
        h = self.paper.height
        flip = matrix or f"1 0 0 -1 0 {_num(h)}"
        body = content if content is not None else f"q {flip} cm\n{''.join(self.out)}Q\n".encode("latin-1")
        contents = self.pdf.make_stream(body) if isinstance(body, bytes) else body
        page = Dictionary(
            Type=Name.Page,
            MediaBox=Array([0, 0, self.paper.width, h]),
            Resources=self.resources(),
            Contents=contents,
        )
        for key, value in self.page.items():
            page[Name("/" + key)] = value
        self.pdf.pages.append(pikepdf.Page(page))
        self.pdf.save(path, **({"compress_streams": True, "deterministic_id": True} | save))


def points(item: Item) -> list[Pt]:
    if isinstance(item, Note):
        x0, y0, x1, y1 = item.box
        return [(x0, y0), (x1, y1)]
    if isinstance(item, Arc):
        (x, y), r = item.centre, item.radius
        return [(x - r, y - r), (x + r, y + r)]
    return [p for ring in (item.points, *item.holes) for p in ring]


def bounds(items: list[Item], margin: float = 0.0) -> Box:
    xs, ys = zip(*(p for item in items for p in points(item)), strict=True)
    return (min(xs) - margin, min(ys) - margin, max(xs) + margin, max(ys) + margin)


def blocks(paper: Paper) -> list[tuple[bool, list[Item]]]:
    """The items in order, those of one symbol together: (is it a symbol, items)."""
    return [(bool(items[0].block), items) for _, items in _runs(paper.items)]


# --------------------------------------------------------------------------------------------------- the plain one


@way("plain")
def plain(paper: Paper, path: Path, r: Random) -> None:
    """One stream, one operator after the other."""
    leaf = Leaf(paper)
    leaf.out.append(leaf.text(paper.items))
    leaf.finish(path)


def by_block(name: str, **more: Any) -> Callable[[Callable[[Leaf, list[Item], Random], str]], None]:
    """A way that writes each symbol by itself and the rest plainly."""

    def add(write: Callable[[Leaf, list[Item], Random], str]) -> None:
        def whole(paper: Paper, path: Path, r: Random) -> None:
            leaf = Leaf(paper)
            for is_block, items in blocks(paper):
                leaf.out.append(write(leaf, items, r) if is_block else leaf.text(items))
            leaf.finish(path)

        whole.__doc__ = write.__doc__
        WAYS.append(Way(name, whole, **more))

    return add


def moved(item: Item, dx: float, dy: float) -> Item:
    def p(q: Pt) -> Pt:
        return (q[0] + dx, q[1] + dy)

    if isinstance(item, Note):
        return replace(item, at=p(item.at))
    if isinstance(item, Arc):
        return replace(item, centre=p(item.centre))
    return replace(item, points=tuple(map(p, item.points)), holes=tuple(tuple(map(p, ring)) for ring in item.holes))


class Mapped(Stream):
    """Points go through a map first; the curves are mapped by their control points."""

    to: Callable[[Pt], Pt]

    def xy(self, p: Pt) -> str:
        x, y = self.to(p)
        return f"{x:.5f} {y:.5f}"


def mapped(leaf: Leaf, items: list[Item], m: tuple[float, ...]) -> tuple[str, str]:
    """(content in the inverse frame, the matrix that brings it back); texts are left out of skews by the caller."""
    a, b, c, d, e, f = m
    det = a * d - b * c

    def to(p: Pt) -> Pt:
        x, y = p[0] - e, p[1] - f
        return ((d * x - c * y) / det, (a * y - b * x) / det)

    s = Mapped(1, False)
    s.to = to
    for item in items:
        s.add(item)
    return s.out.getvalue(), " ".join(f"{v:.6f}" for v in m)


def by_stream(name: str, **more: Any) -> Callable[[type[Stream]], type[Stream]]:
    def add(cls: type[Stream]) -> type[Stream]:
        def whole(paper: Paper, path: Path, r: Random) -> None:
            leaf = Leaf(paper)
            leaf.out.append(leaf.text(paper.items, cls))
            leaf.finish(path)

        whole.__doc__ = cls.__doc__
        WAYS.append(Way(name, whole, **more))
        return cls

    return add


def escaped(text: str) -> str:
    return text.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")


def cell(leaf: Leaf, content: str, box: Box, step: tuple[float, float], matrix: Any = None, **more: Any) -> str:
    entries = {"Matrix": Array(matrix)} if matrix else {}
    cell = leaf.stream(
        content, Type=Name.Pattern, PatternType=1, PaintType=1, TilingType=1, BBox=Array(list(box)),
        XStep=step[0], YStep=step[1], Resources=Dictionary(Font=leaf.fonts), **entries, **more,
    )  # fmt: skip
    return leaf.name("Pattern", cell)
