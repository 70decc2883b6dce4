"""The mapping file: what the user's symbols, labels and rooms mean.  Read strictly, all faults at once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from cordpath import units
from cordpath.errors import ConfigurationRefused, Fault, UnreadableFile
from cordpath.model import Box, Drawing, LabelEntry, Mapping, SymbolEntry
from cordpath.symbols.mapping_file import patterns
from cordpath.symbols.mapping_file.desk import Desk
from cordpath.symbols.mapping_file.entries import read_fact, read_symbols
from cordpath.symbols.mapping_file.rooms import read_rooms
from cordpath.symbols.mapping_file.yaml_tree import MOST_BYTES, WANTED, Node, parse

FORMAT = 1  # the version of the format that this program reads
KEYS = ("cordpath", "drawing", "symbols", "labels", "rooms")
LABEL_FACTS = (
    "protection", "volts", "amperes", "weatherproof", "serves", "status", "height_in",
    "readily_accessible", "dedicated_circuit", "single_receptacle", "hard_wired",
)  # fmt: skip
LAYER_KEYS = ("wall_layers", "device_layers", "ignore_layers")
MOST_AREAS = 40  # kept clear on a sheet
MOST_POINTS = 20_000.0  # pt: no page is larger than 200 in
MOST_ENTRIES = 2000  # labels, rooms, layer patterns


def load_mapping(path: Path) -> Mapping:
    """Reads and checks a mapping file (UTF-8 YAML, format version 1).

    Raises UnreadableFile where the file cannot be read at all, and ConfigurationRefused with one Fault (file, line,
    column, what is wrong and what was expected) for everything that is wrong in it, sorted by place.
    """
    file = path.as_posix()
    try:
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise UnreadableFile(f"cannot read the mapping file ({reason})", where=file,
                             cure="name an existing YAML file with --symbols") from None  # fmt: skip
    return mapping_of(data, file, path.parent)


def mapping_of(data: bytes, file: str, folder: Path | None = None) -> Mapping:
    """The checked mapping of a file's bytes; raises ConfigurationRefused.  ``file`` is its name in messages,
    ``folder`` where the drawings are that it picks from; None: they are not looked for."""
    root, fault = parse(data, file)
    if fault is not None:
        cure = "; 'cordpath learn' writes a mapping file from plan sheets" if fault.what.endswith(WANTED) else ""
        raise ConfigurationRefused((replace(fault, what=fault.what + cure),))
    if root is None or root.empty:
        raise ConfigurationRefused((Fault(file, 1, 1, "the file is empty, and 'cordpath: 1' was expected"),))
    desk = Desk(file, folder=folder)
    mapping = _mapping(desk, root)
    if desk.faults or mapping is None:
        raise ConfigurationRefused(tuple(dict.fromkeys(desk.faults)))
    return mapping


def _mapping(desk: Desk, root: Node) -> Mapping | None:
    table = desk.table(root, "the mapping file", KEYS)
    if table is None:
        return None
    if "cordpath" not in table:
        desk.fault(root, f"the format version is missing, and 'cordpath: {FORMAT}' was expected")
    else:
        node = table["cordpath"][1]
        if node.kind != "text" or node.text != str(FORMAT):
            desk.fault(node, f"the format version is {node.said}, and {FORMAT} was expected")
    drawing = _drawing(desk, table["drawing"][1]) if "drawing" in table else Drawing()
    symbols: tuple[SymbolEntry, ...] = ()
    if "symbols" in table:
        symbols = read_symbols(desk, table["symbols"][1])
    else:
        desk.fault(root, "no symbols, and a list 'symbols:' with at least one entry was expected")
    labels = _labels(desk, table["labels"][1]) if "labels" in table else ()
    rooms = read_rooms(desk, table["rooms"][1], MOST_ENTRIES, _pattern) if "rooms" in table else ()
    return Mapping(desk.file, drawing, symbols, labels, rooms)


# ----------------------------------------------------------------------------------------------- drawing


def _drawing(desk: Desk, node: Node) -> Drawing:
    table = desk.table(node, "drawing", ("scale", *LAYER_KEYS, "keep_clear"))
    if table is None:
        return Drawing()
    scale, text, by_sheet = _scale(desk, table["scale"][1]) if "scale" in table else (None, "auto", ())
    layers = {key: _layers(desk, table[key][1], key) for key in LAYER_KEYS if key in table}
    keep_clear = _boxes(desk, table["keep_clear"][1]) if "keep_clear" in table else ()
    return Drawing(scale, text, by_sheet, **layers, keep_clear=keep_clear)


def _boxes(desk: Desk, node: Node) -> tuple[Box, ...]:
    """Areas of the page that no review mark may stand in, in points from its top left corner."""
    boxes: list[Box] = []
    for item in desk.items(node, "keep_clear", MOST_AREAS) or ():
        numbers = desk.numbers(item, "an area of keep_clear", 4, "[x0, y0, x1, y1]", MOST_POINTS)
        if numbers is not None:
            x0, y0, x1, y1 = numbers
            if not (x0 < x1 and y0 < y1):
                desk.fault(item, "an area of keep_clear is empty, and its upper left corner first was expected")
            else:
                boxes.append((x0, y0, x1, y1))
    return tuple(boxes)


def _scale(desk: Desk, node: Node) -> tuple[float | None, str, tuple[tuple[str, float], ...]]:
    """One scale for every sheet, or one a sheet.  Taken from the text as written: YAML reads 1:50 as 110."""
    if node.kind == "table":
        found: dict[str, tuple[str, float]] = {}
        lines: dict[str, int] = {}
        for key, value in node.pairs:
            sheet = desk.text(key, "a sheet number", 40)
            ratio = _ratio(desk, value)
            if sheet is not None and sheet.upper() in lines:
                desk.fault(key, f"sheet '{sheet}' a second time, first on line {lines[sheet.upper()]}")
            elif sheet is not None:
                lines[sheet.upper()] = key.line
                if ratio is not None:
                    found[sheet.upper()] = (sheet, ratio)
        if not node.pairs:
            desk.fault(node, "scale is an empty table, and sheet numbers with scales were expected")
        return None, "by sheet", tuple(found.values())
    if node.kind == "text" and node.text.strip().lower() == "auto":
        return None, "auto", ()
    ratio = _ratio(desk, node)
    return ratio, node.text.strip() if ratio is not None else "auto", ()


def _ratio(desk: Desk, node: Node) -> float | None:
    ratio = units.scale_ratio(node.text) if node.kind == "text" and len(node.text) <= 60 else None
    if ratio is None or not ratio > 0:
        desk.fault(node, f"scale is {node.said}, and auto, '1/4in = 1ft' or '1:50' was expected")
    return ratio


def _layers(desk: Desk, node: Node, key: str) -> tuple[str, ...]:
    items = desk.items(node, key, MOST_ENTRIES) or ()
    read = [desk.text(item, f"a layer name of {key}") for item in items]
    return tuple(text for text in read if text is not None)


# ------------------------------------------------------------------------------------------ labels, rooms


def _pattern(desk: Desk, node: Node, what: str, seen: dict[str, int]) -> str | None:
    text = desk.text(node, f"text of {what}", 10 * patterns.LONGEST_PATTERN)
    if text is None:
        return None
    if (wrong := patterns.fault(text)) is not None:
        desk.fault(node, wrong)
        return None
    if text.lower() in seen:
        desk.fault(node, f"text '{text}' a second time, first on line {seen[text.lower()]}; it would never be used")
        return None
    seen[text.lower()] = node.line
    return text


def _labels(desk: Desk, node: Node) -> tuple[LabelEntry, ...]:
    entries: list[LabelEntry] = []
    seen: dict[str, int] = {}
    for item in desk.items(node, "labels", MOST_ENTRIES) or ():
        table = desk.table(item, "a label", ("text", "sets"))
        if table is None:
            continue
        pattern = None
        if "text" in table:
            pattern = _pattern(desk, table["text"][1], "a label", seen)
        else:
            desk.fault(item, "a label without text, and 'text:' with a regular expression was expected")
        sets = _sets(desk, table["sets"][1]) if "sets" in table else ()
        if "sets" not in table:
            desk.fault(item, f"a label without sets, and 'sets:' with one of {', '.join(LABEL_FACTS)} was expected")
        if pattern is not None:
            entries.append(LabelEntry(pattern, sets))
    return tuple(entries)


def _sets(desk: Desk, node: Node) -> tuple[tuple[str, Any], ...]:
    table = desk.table(node, "sets", LABEL_FACTS)
    if table is None:
        return ()
    if not node.pairs:
        desk.fault(node, f"sets is empty, and one of {', '.join(LABEL_FACTS)} was expected")
    read = {key: read_fact(desk, key, value) for key, (_, value) in table.items()}
    return tuple((key, value) for key, value in read.items() if value is not None)
