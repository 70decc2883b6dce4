"""The ``symbols:`` of a mapping file: each entry, how it is drawn, and the facts that it tells."""

from __future__ import annotations

import math
import os
from collections.abc import Callable
from typing import Any, Literal, cast, get_args

from cordpath.model import (
    FIXTURE_KINDS,
    USUAL_KINDS,
    Kind,
    Mark,
    Picked,
    Point,
    SymbolEntry,
)
from cordpath.symbols.mapping_file.desk import Desk, Table
from cordpath.symbols.mapping_file.marks import MOST_INCHES, read_shape
from cordpath.symbols.mapping_file.yaml_tree import Node

KINDS: tuple[str, ...] = get_args(Kind)
KEYS = (
    "name", "kind", "shape", "legend", "picked", "size", "scales", "wall_side", "volts", "amperes", "protection",
    "weatherproof", "serves", "height_in", "status", "edge", "rim_in",
    "readily_accessible", "dedicated_circuit", "single_receptacle", "hard_wired", "proposed", "usual",
)  # fmt: skip
SOURCES = ("shape", "legend", "picked", "usual")
MOST_SYMBOLS = 500
USUAL_VOLTS = 125.0  # rating of the ordinary 15 A and 20 A receptacle of a dwelling (NEMA 5-15, 5-20; from memory)
USUAL_SCALES = (0.95, 1.05)


def read_symbols(desk: Desk, node: Node) -> tuple[SymbolEntry, ...]:
    entries: list[SymbolEntry] = []
    names: dict[str, int] = {}
    for item in desk.items(node, "symbols", MOST_SYMBOLS) or ():
        table = desk.table(item, "a symbol", KEYS)
        if table is not None:
            entry = _symbol(desk, item, table, names)
            if entry is not None:
                entries.append(entry)
    return tuple(entries)


def _symbol(desk: Desk, item: Node, table: Table, names: dict[str, int]) -> SymbolEntry | None:
    name = _name(desk, item, table, names)
    kind = desk.choice(table["kind"][1], "kind", KINDS) if "kind" in table else None
    if "kind" not in table:
        desk.fault(item, "a symbol without kind, and 'kind:' (receptacle, sink, other, ...) was expected")
    shape, legend, picked = _drawn(desk, item, table)
    size = desk.choice(table["size"][1], "size", ("plotted", "real")) if "size" in table else "plotted"
    edge = desk.choice(table["edge"][1], "edge", ("inner", "outer")) if "edge" in table else None
    scales = _scales(desk, table["scales"][1]) if "scales" in table else USUAL_SCALES
    side = _side(desk, table["wall_side"][1]) if "wall_side" in table else None
    proposed = "proposed" in table and bool(desk.truth(table["proposed"][1], "proposed"))
    usual = "usual" in table and _usual(desk, table["usual"][1], kind)
    facts = {key: read_fact(desk, key, table[key][1]) for key in FACTS if key in table}
    if "rim_in" in table and kind is not None and kind not in FIXTURE_KINDS:
        desk.fault(table["rim_in"][0], f"rim_in at a {kind}, and a fixture was expected to have a rim")
    if kind == "receptacle":
        facts.setdefault("volts", USUAL_VOLTS)
    if name is None or kind is None or size is None:
        return None
    return SymbolEntry(
        name=name, kind=cast(Kind, kind), shape=shape, legend=legend, picked=picked,
        size="real" if usual else cast(Literal["plotted", "real"], size), scales=scales or USUAL_SCALES,
        wall_side=side,
        edge=cast(Literal["inner", "outer"] | None, edge), line=item.line, proposed=proposed,
        usual=usual, **facts,
    )  # fmt: skip


def _name(desk: Desk, item: Node, table: Table, names: dict[str, int]) -> str | None:
    if "name" not in table:
        desk.fault(item, "a symbol without name, and 'name:' in your own words was expected")
        return None
    node = table["name"][1]
    name = desk.text(node, "name", 80)
    if name is None:
        return None
    if name.lower() in names:
        desk.fault(node, f"name '{name}' is taken by line {names[name.lower()]}, and another was expected")
    names.setdefault(name.lower(), node.line)
    return name


# ----------------------------------------------------------------------------------------------- the facts


def _volts(desk: Desk, node: Node) -> float | None:
    return desk.positive(node, "volts", 1000)


def _amperes(desk: Desk, node: Node) -> float | None:
    return desk.positive(node, "amperes", 1000)


def _height(desk: Desk, node: Node) -> float | None:
    return desk.number(node, "height_in", -240, 600)


def _rim(desk: Desk, node: Node) -> float | None:
    return desk.number(node, "rim_in", -240, 600)


def _protection(desk: Desk, node: Node) -> str | None:
    return desk.choice(node, "protection", ("device",))


def _weatherproof(desk: Desk, node: Node) -> bool | None:
    return desk.truth(node, "weatherproof")


def _truth(key: str) -> Callable[[Desk, Node], bool | None]:
    return lambda desk, node: desk.truth(node, key)


def _serves(desk: Desk, node: Node) -> str | None:
    text = desk.text(node, "serves", 60)
    return None if text is None else " ".join(text.lower().split())


def _status(desk: Desk, node: Node) -> str | None:
    text = desk.text(node, "status", 60)
    return None if text is None else " ".join(text.lower().split())


FACTS: dict[str, Callable[[Desk, Node], Any]] = {
    "volts": _volts, "amperes": _amperes, "height_in": _height, "rim_in": _rim, "protection": _protection,
    "weatherproof": _weatherproof, "serves": _serves, "status": _status,
    **{key: _truth(key) for key in ("readily_accessible", "dedicated_circuit", "single_receptacle", "hard_wired")},
}  # fmt: skip


def read_fact(desk: Desk, key: str, node: Node) -> Any:
    """A fact about a device as a symbol or a label tells it; None with a fault laid down where it is wrong."""
    return FACTS[key](desk, node)


def _scales(desk: Desk, node: Node) -> tuple[float, float] | None:
    pair = desk.numbers(node, "scales", 2, "[least, most]")
    if pair is None:
        return None
    if not 0 < pair[0] <= pair[1] or pair[1] > 100:
        desk.fault(node, f"scales is [{pair[0]:g}, {pair[1]:g}], and 0 < least <= most was expected")
        return None
    return (pair[0], pair[1])


def _side(desk: Desk, node: Node) -> Point | None:
    side = desk.point(node, "wall_side", MOST_INCHES)
    if side is not None and math.hypot(*side) < 1e-9:
        desk.fault(node, "wall_side is [0, 0], and a direction such as [0, -1] was expected")
        return None
    return side


# --------------------------------------------------------------------------------------- how it is drawn


def _drawn(desk: Desk, item: Node, table: Table) -> tuple[tuple[Mark, ...] | None, str | None, Picked | None]:
    given = [key for key in SOURCES if key in table]
    if not given:
        desk.fault(item, "a symbol that is not drawn, and one of shape, legend, picked, usual was expected")
    for key in given[1:]:
        desk.fault(table[key][0], f"both {given[0]} and {key}, and one of them was expected")
    shape = read_shape(desk, table["shape"][1]) if "shape" in table else None
    legend = desk.text(table["legend"][1], "legend") if "legend" in table else None
    picked = _picked(desk, table["picked"][1]) if "picked" in table else None
    return shape, legend, picked


def _picked(desk: Desk, node: Node) -> Picked | None:
    table = desk.table(node, "picked", ("file", "page", "box"))
    if table is None:
        return None
    for key in ("file", "page", "box"):
        if key not in table:
            desk.fault(node, f"picked without {key}, and file, page and box were expected")
    file = desk.text(table["file"][1], "file", 500) if "file" in table else None
    # Path.exists stumbles over a name that is too long for the disk.
    if file is not None and desk.folder is not None and not os.path.exists(desk.folder / file):  # noqa: PTH110
        desk.fault(table["file"][1], f"there is no {file}, and a PDF beside the mapping file was expected")
    page = desk.whole(table["page"][1], "page") if "page" in table else None
    box = desk.numbers(table["box"][1], "box", 4, "[x0, y0, x1, y1]", 1e6) if "box" in table else None
    if box is not None and not (box[0] < box[2] and box[1] < box[3]):
        desk.fault(table["box"][1], "box has no area, and [left, top, right, bottom] in points was expected")
        box = None
    if file is None or page is None or box is None:
        return None
    return Picked(file, page, (box[0], box[1], box[2], box[3]))


def _usual(desk: Desk, node: Node, kind: str | None) -> bool:
    """Is the entry drawn as the trade usually draws its kind."""
    if desk.truth(node, "usual") is False:
        desk.fault(node, "usual is false, and true was expected, or another way of saying how it is drawn")
    elif kind is not None and kind not in USUAL_KINDS:
        desk.fault(node, f"usual at a {kind}, and one of {', '.join(sorted(USUAL_KINDS))} was expected")
    return True
