"""The reviewer's rulings: read from a file, found again on a resubmittal, and shown beside the verdict.

A ruling never changes or hides a verdict.  It is laid to an outlet by sheet number, room name, symbol, circuit and
place in the room; where two outlets could be meant it is laid to neither, and is told to be unused.

Terms: *place*, where an outlet stands in the box of its room, in shares of its width and height from the upper left
corner; sheets that are plotted anew at another size or place keep it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePath
from typing import cast, get_args

import numpy as np
from scipy.optimize import linear_sum_assignment

from cordpath.errors import ConfigurationRefused, Fault, UnreadableFile
from cordpath.model import Decision, Finding, Point, Ruling, SheetResult
from cordpath.report import CAUTIONS
from cordpath.report.rows import sheet_name
from cordpath.symbols.mapping_file.desk import Desk
from cordpath.symbols.mapping_file.yaml_tree import MOST_BYTES, Node, parse

FORMAT = 1
KEYS = ("cordpath-decisions", "decisions")
ENTRY_KEYS = ("file", "sheet", "room", "symbol", "place", "circuit", "ruling", "reason")
RULINGS: tuple[str, ...] = get_args(Ruling)
MOST_ENTRIES = 5000
NEAR = 0.05  # of the room's box: drawn anew at its place, 8 in in 14 ft; neighbours stand farther apart
OTHER_CIRCUIT = 0.1  # what another circuit counts for, in shares of the room
NOWHERE = "no outlet of that symbol is in that room of that sheet"
NOT_NEAR = "no outlet stands near that place of the room"
Unused = tuple[tuple[Decision, str], ...]  # rulings that found no outlet, with the reason why
TIE = 0.03  # two outlets that differ by less from what is ruled on could each be meant


def load_decisions(path: Path) -> tuple[Decision, ...]:
    """Raises UnreadableFile, or ConfigurationRefused with every fault by line and column."""
    file = path.as_posix()
    try:
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        cure = "name an existing YAML file with --decisions"
        raise UnreadableFile(f"cannot read the decisions ({why})", where=file, cure=cure) from None
    return decisions_of(data, file)


def decisions_of(data: bytes, file: str) -> tuple[Decision, ...]:
    root, fault = parse(data, file)
    if fault is not None:
        raise ConfigurationRefused((replace(fault, what=fault.what.replace("a mapping file", "a decisions file")),))
    desk = Desk(file)
    if root is None or root.empty:
        raise ConfigurationRefused(
            (Fault(file, 1, 1, "the file is empty, and 'cordpath-decisions: 1' was expected"),)
        )
    table = desk.table(root, "the decisions file", KEYS) or {}
    if root.kind == "table":
        version = table.get("cordpath-decisions", (root, root))[1]
        if version is root or version.text != str(FORMAT):
            desk.fault(version, f"the format version is not there, and 'cordpath-decisions: {FORMAT}' was expected")
    found: tuple[Decision | None, ...] = ()
    if "decisions" in table and not (table["decisions"][1].empty or _is_empty_list(table["decisions"][1])):
        items = desk.items(table["decisions"][1], "decisions", MOST_ENTRIES) or ()
        found = tuple(_decision(desk, item) for item in items)
    if desk.faults:
        raise ConfigurationRefused(tuple(dict.fromkeys(desk.faults)))
    return tuple(decision for decision in found if decision is not None)


def _is_empty_list(node: Node) -> bool:
    return node.kind == "list" and not node.items


def _decision(desk: Desk, node: Node) -> Decision | None:
    table = desk.table(node, "a decision", ENTRY_KEYS)
    if table is None:
        return None
    for key in ("sheet", "symbol", "place", "ruling", "reason"):
        if key not in table:
            desk.fault(node, f"a decision without {key}, and '{key}:' was expected")
    texts = {key: desk.text(table[key][1], key, 1000) for key in ("sheet", "symbol", "reason") if key in table}
    spare = {
        key: None if key not in table or _blank(table[key][1]) else desk.text(table[key][1], key)
        for key in ("room", "circuit", "file")
    }
    place = desk.point(table["place"][1], "place", 100.0) if "place" in table else None
    ruling = desk.choice(table["ruling"][1], "ruling", RULINGS) if "ruling" in table else None
    sheet, symbol, reason = (texts.get(key) for key in ("sheet", "symbol", "reason"))
    if sheet is None or symbol is None or reason is None or place is None or ruling is None:
        return None
    return Decision(
        sheet, spare["room"] or "", symbol, place, cast(Ruling, ruling), reason, spare["circuit"], spare["file"],
        node.line,
    )  # fmt: skip


def _blank(node: Node) -> bool:
    return node.empty or (node.kind == "text" and not node.text.strip())


# ------------------------------------------------------------------------------------------------ laying


@dataclass(frozen=True)
class Laid:
    """Results with rulings beside their verdicts, and the rulings that found no outlet with the reason why."""

    results: tuple[SheetResult, ...]
    unused: Unused


def told_of_unused(decisions: Sequence[Decision], unused: Iterable[Unused]) -> list[str]:
    """For the user: rulings that no file had a place for, and those that more than one file had."""
    files = [{id(decision): why for decision, why in each} for each in unused]
    said = []
    for decision in decisions:
        whys = [each[id(decision)] for each in files if id(decision) in each]
        name = f"decisions line {decision.line} ({decision.sheet}, {decision.room or 'no room'}, {decision.symbol})"
        if len(whys) == len(files):
            said.append(f"{name} is not used: {whys[-1] if whys else NOWHERE}")
        elif len(files) - len(whys) > 1:
            said.append(f"{name} is used in {len(files) - len(whys)} files; add 'file:' to name the one it is for")
    return said


@dataclass(frozen=True)
class Spot:
    """An outlet that a ruling may be meant for: by index of its sheet and of its outlet there.

    ``key``: sheet, room and symbol; ``file``: its path as in the results.
    """

    sheet: int
    outlet: int
    key: tuple[str, str, str]
    circuit: str
    place: Point
    file: str


def lay(results: Iterable[SheetResult], decisions: Sequence[Decision]) -> Laid:
    """Each ruling to at most one outlet, each outlet at most one ruling."""
    results = tuple(results)
    spots = [
        Spot(k, j, _key_of(result, finding), plain(finding.protection.circuit or ""), place_of(result, finding),
             result.file)
        for k, result in enumerate(results)
        for j, finding in enumerate(result.findings)
    ]  # fmt: skip
    taken, unused = meant(spots, decisions)
    return Laid(_with_rulings(results, taken), tuple(sorted(unused, key=lambda pair: pair[0].line)))


def meant(spots: Sequence[Spot], decisions: Iterable[Decision]) -> tuple[dict[tuple[int, int], Decision], Unused]:
    """Rulings by sheet and outlet, and those that mean none."""
    taken: dict[tuple[int, int], Decision] = {}
    unused: list[tuple[Decision, str]] = []
    groups: dict[tuple[str, str, str, str], list[Decision]] = {}
    for decision in decisions:
        key = (plain(decision.sheet), plain(decision.room), plain(decision.symbol), decision.file or "")
        groups.setdefault(key, []).append(decision)
    for (*wanted, file), asked in groups.items():
        here = [
            spot for spot in spots
            if spot.key == tuple(wanted) and (spot.sheet, spot.outlet) not in taken
            and of_file(file, spot.file)
        ]  # fmt: skip
        for decision, spot, why in _assigned(asked, here):
            if spot is None:
                unused.append((decision, why))
            else:
                taken[spot.sheet, spot.outlet] = decision
    return taken, tuple(unused)


def _with_rulings(
    results: tuple[SheetResult, ...], taken: dict[tuple[int, int], Decision]
) -> tuple[SheetResult, ...]:
    return tuple(
        replace(result, findings=tuple(
            replace(finding, decision=taken.get((k, j))) if (k, j) in taken else finding
            for j, finding in enumerate(result.findings)
        ))
        for k, result in enumerate(results)
    )  # fmt: skip


def _assigned(asked: list[Decision], here: list[Spot]) -> list[tuple[Decision, Spot | None, str]]:
    if not here:
        return [(d, None, NOWHERE) for d in asked]
    cost = np.array([[_cost(decision, spot) for spot in here] for decision in asked])
    rows, columns = linear_sum_assignment(cost)
    chosen = dict(zip(rows.tolist(), columns.tolist(), strict=True))
    told: list[tuple[Decision, Spot | None, str]] = []
    for k, decision in enumerate(asked):
        j = chosen.get(k)
        if j is None or _away(decision, here[j]) > NEAR:
            told.append((decision, None, NOT_NEAR))
            continue
        rivals = [c for i, c in enumerate(cost[k]) if i != j and i not in chosen.values()]
        if rivals and min(rivals) - cost[k][j] < TIE:
            told.append((decision, None, "two outlets stand equally near that place: one has to be named anew"))
        else:
            told.append((decision, here[j], ""))
    return told


def _away(decision: Decision, spot: Spot) -> float:
    return float(np.hypot(decision.place[0] - spot.place[0], decision.place[1] - spot.place[1]))


def _cost(decision: Decision, spot: Spot) -> float:
    named = plain(decision.circuit or "")
    differs = bool(named) and bool(spot.circuit) and named != spot.circuit
    return _away(decision, spot) + OTHER_CIRCUIT * differs


def plain(text: str) -> str:
    """Letters and figures only: E-101, E101 and e 101 are one sheet."""
    return "".join(letter for letter in text.upper() if letter.isalnum())


def of_file(named: str, file: str) -> bool:
    """``named``: nothing, a file's name, or the end of its path (a/house), in any case, with its suffix or not."""
    return not named or f"/{_bare(file)}".endswith(f"/{_bare(named)}")


def _bare(file: str) -> str:
    return file.replace("\\", "/").casefold().removesuffix(".pdf")


def _key_of(result: SheetResult, finding: Finding) -> tuple[str, str, str]:
    return plain(sheet_name(result)), plain(_room(finding)), plain(finding.outlet.symbol.entry.name)


def _room(finding: Finding) -> str:
    room = finding.room
    return (room.name or room.kind) if room else ""


def place_of(result: SheetResult, finding: Finding) -> Point:
    """The place of an outlet; of the sheet where it is in no room."""
    x, y = finding.outlet.symbol.at
    sheet = result.reading.sheet if result.reading else None
    x0, y0, x1, y1 = 0.0, 0.0, (sheet.width if sheet else 1.0), (sheet.height if sheet else 1.0)
    if finding.room is not None and not finding.room.polygon.is_empty:
        x0, y0, x1, y1 = map(float, finding.room.polygon.bounds)
    return (x - x0) / max(x1 - x0, 1e-6), (y - y0) / max(y1 - y0, 1e-6)


# ------------------------------------------------------------------------------------------------- blank


def blank(results: Iterable[SheetResult]) -> str:
    """A decisions file to fill in: what is missing or unresolved and not ruled on, each with ``ruling: ask``."""
    lines = [
        "# Copy the entries that you rule on into your decisions file and give it with --decisions.",
        f"# ruling: {', '.join(RULINGS)}.  A ruling is shown beside the verdict and never changes it.",
        *(f"# {caution}" for caution in CAUTIONS),
        f"cordpath-decisions: {FORMAT}",
        "decisions:",
    ]
    before, results = len(lines), tuple(results)
    several = len({result.file for result in results}) > 1
    for result in results:
        for finding in result.findings:
            if finding.verdict in ("missing", "unresolved") and finding.decision is None:
                lines += _entry(result, finding, several)
    if len(lines) == before:
        lines[-1] = "decisions: []"
    return "\n".join(lines) + "\n"


def _entry(result: SheetResult, finding: Finding, several: bool) -> list[str]:
    """``several``: other files may have an outlet at the same place, as submittals of one model have."""
    x, y = place_of(result, finding)
    said = " ".join(f"{finding.outlet.id} {finding.verdict}".split())
    circuit = finding.protection.circuit
    return [
        f"- sheet: {_quoted(sheet_name(result))}  # {_quoted(said)}",
        *([f"  file: {_quoted('/'.join(PurePath(_bare(result.file)).parts[-2:]))}"] if several else []),
        f"  room: {_quoted(_room(finding))}",
        f"  symbol: {_quoted(finding.outlet.symbol.entry.name)}",
        *([f"  circuit: {_quoted(circuit)}"] if circuit else []),
        f"  place: [{x:.3f}, {y:.3f}]",
        "  ruling: ask",
        '  reason: "to be looked at"',
    ]


def _quoted(text: str) -> str:
    """A JSON string is a YAML string; line ends that only YAML knows are written as escapes."""
    return json.dumps(text)
