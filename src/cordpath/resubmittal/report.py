"""The outputs of a recheck: recheck.json, recheck.md, a table for the console; and the old review, read back."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict
from math import isfinite
from pathlib import Path
from typing import Any

from rich.box import SIMPLE_HEAD
from rich.table import Table
from rich.text import Text

from cordpath.errors import UnreadableFile
from cordpath.report import (
    CAUTIONS,
    REGISTER,
    Answer,
    last_states,
    load_register,
    plain_markdown,
    write_text_whole,
)
from cordpath.resubmittal.recheck import STATUSES, Item, Rechecked
from cordpath.resubmittal.sheets import Place

FORMAT = "cordpath-recheck/1"
MOST_BYTES = 500_000_000  # of an old results file: a batch of some thousand sheets
States = Mapping[tuple[str, int, str], dict[str, str]]


def load_old(path: Path) -> tuple[dict[str, Any], dict[tuple[str, int, str], int]]:
    """The old results document, and the numbers of the comment that each outlet was in.

    ``path``: a results file, or the folder that holds it.  Raises UnreadableFile.
    """
    path = path / "results.json" if path.is_dir() else path
    cure = "name the results.json of an earlier run, or its folder"
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ValueError("it is too large")
        document = json.loads(path.read_bytes(), parse_constant=_no_number, parse_float=_finite)
        if not str(document["format"]).startswith("cordpath-results/"):
            raise ValueError("it is no results file of cordpath")
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise UnreadableFile(f"the old results cannot be read ({why})", where=str(path), cure=cure) from error
    return document, numbers_in(path.parent)


def _no_number(word: str) -> float:
    raise ValueError(f"it holds {word} for a number")


def _finite(text: str) -> float:
    """JSON lets a number be as large as it likes; one that is infinite here is no coordinate."""
    value = float(text)
    return value if isfinite(value) else _no_number(text[:20])


def numbers_in(folder: Path) -> dict[tuple[str, int, str], int]:
    """The number of the open comment that each outlet is in, by file, page and outlet.  Raises UnreadableFile."""
    register = load_register(folder / REGISTER)
    return {place: kept.number for kept in register.kept if kept.state == "open" for place in kept.places}


def comment_states(items: Iterable[Item]) -> dict[int, str]:
    """The worst status among the outlets that were or are in each comment."""
    worst: dict[int, str] = {}
    for item in items:
        for number in dict.fromkeys((item.comment, item.comment_now)):
            if number is not None and item.status is not None:
                worst[number] = min(worst.get(number, item.status), item.status, key=STATUSES.index)
    return dict(sorted(worst.items()))


def recheck_document(done: Rechecked, answers: tuple[Answer, ...]) -> dict[str, Any]:
    states = last_states(answers)
    return {
        "format": FORMAT,
        "totals": {status: done.count(status) for status in STATUSES} | {"unclouded": len(done.unclouded)},
        "comments": [{"number": n, "status": status} for n, status in comment_states(done.items).items()],
        "sheets": [{"old": old, "new": new, "support": support} for old, new, support in done.sheets],
        "items": [_item(item, states) for item in done.items],
        "answers": [asdict(answer) for answer in answers],
        "notes": list(done.notes),
        "cautions": list(CAUTIONS),
    }


def _said(item: Item, states: States) -> dict[str, str]:
    """The last state that each author gave to the old mark."""
    old = item.old
    return states.get((old.file, old.page, old.outlet), {}) if old else {}


def _item(item: Item, states: States) -> dict[str, Any]:
    return {
        "status": item.status,
        "comment": item.comment,
        "comment_now": item.comment_now,
        "old": _place(item.old),
        "new": _place(item.new),
        "changes": list(item.changes),
        "clouded": item.clouded,
        "why": item.why,
        "review": _said(item, states),
    }


def _place(place: Place | None) -> dict[str, Any] | None:
    if place is None:
        return None
    data = asdict(place)
    return {**data, "at": [round(v, 2) for v in place.at], "labels": list(place.labels)}


def write_recheck(folder: Path, done: Rechecked, answers: tuple[Answer, ...]) -> list[Path]:
    """Raises OutputRefused where a file cannot be written."""
    document = recheck_document(done, answers)
    text = json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    write_text_whole(folder / "recheck.json", text)
    write_text_whole(folder / "recheck.md", markdown(done, answers))
    return [folder / "recheck.json", folder / "recheck.md"]


# ------------------------------------------------------------------------------------------------ reading

HEAD = ("Comment", "Status", "Was", "Is now", "Room", "Changes", "Ruling", "Review")
# The word of recheck.json means another thing beside verdicts: an outlet that was still missing read "unresolved".
SHOWN = {"unresolved": "still open"}
VERDICT_AT = ("Was", "Is now")  # columns with verdicts
SELDOM = ("Changes", "Ruling", "Review")  # columns that may stay empty


def _rows(done: Rechecked, answers: tuple[Answer, ...]) -> Iterator[tuple[str, ...]]:
    states = last_states(answers)
    for item in done.items:
        if item.status is None:
            continue
        place = item.new or item.old
        yield (
            _comment(item), _shown(item.status), _named(item.old), _named(item.new), place.room if place else "",
            "; ".join((*item.changes, item.why) if item.why else item.changes),
            place.ruling if place else "",
            "; ".join(f"{author}: {state}" for author, state in _said(item, states).items()),
        )  # fmt: skip


def _comment(item: Item) -> str:
    """The old number; after an arrow the new one where it is another."""
    numbers = [str(number) for number in dict.fromkeys((item.comment, item.comment_now)) if number is not None]
    return " → ".join(numbers)


def _shown(status: str) -> str:
    return SHOWN.get(status, status)


def _named(place: Place | None) -> str:
    return f"{place.outlet} ({place.verdict})" if place else ""


def markdown(done: Rechecked, answers: tuple[Answer, ...]) -> str:
    counts = ", ".join(f"{done.count(status)} {_shown(status)}" for status in STATUSES if done.count(status))
    lines = ["# Recheck of GFCI findings", "", counts or "Nothing was open before, and nothing is now.", ""]
    paired = ", ".join(old if old == new else f"{old} by {new}" for old, new, _ in done.sheets)
    lines += [f"Sheets compared with what replaces them: {plain_markdown(paired)}.", ""] if paired else []
    rows = list(_rows(done, answers))
    if rows:
        lines += [f"| {' | '.join(HEAD)} |", "|" + " --- |" * len(HEAD)]
        lines += [f"| {' | '.join(map(plain_markdown, row))} |" for row in rows]
    states = comment_states(done.items)
    if states:
        lines += ["", "## Comments", "", *(f"- {number}: {_shown(status)}" for number, status in states.items())]
    if done.unclouded:
        lines += ["", "## Changed without a revision cloud", "", CLOUDS, ""]
        lines += [f"- {plain_markdown(line)}" for line in unclouded_lines(done)]
    replies = [a for a in answers if not a.state]
    if replies:
        lines += ["", "## Replies in the marked copy", ""]
        lines += [f"- {plain_markdown(f'{a.outlet}, {a.author}: {a.text}')}" for a in replies]
    lines += ["", *(f"- {plain_markdown(note)}" for note in done.notes)] if done.notes else []
    lines += ["", "---", "", *(f"{caution}  " for caution in CAUTIONS)]
    return "\n".join(lines).rstrip() + "\n"


CLOUDS = "Clouds are looked for as arcs that join at cusps; one that is drawn otherwise is not seen."


def unclouded_lines(done: Rechecked) -> Iterator[str]:
    for item in done.unclouded:
        place = item.new or item.old
        if place is not None:
            yield f"{place.outlet} ({place.room or 'no room'}): {'; '.join(item.changes)}"


def recheck_table(done: Rechecked, answers: tuple[Answer, ...]) -> Table:
    """For the console.  Text of a drawing is never read as markup."""
    table = Table(box=SIMPLE_HEAD, show_edge=False, header_style="bold", padding=(0, 1, 0, 0))
    rows = list(_rows(done, answers))
    shown = [k for k, name in enumerate(HEAD) if name not in SELDOM or any(row[k] for row in rows)]
    for k in shown:
        table.add_column(HEAD[k], overflow="fold", min_width=len("(unresolved)") if HEAD[k] in VERDICT_AT else None)
    for row in rows:
        table.add_row(*(Text(row[k]) for k in shown))
    return table
