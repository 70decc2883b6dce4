"""Comments of the letter: findings of the same cause under one number that stays from one submittal to the next.

Terms: *comment*, one cause with everything that it was found at; *cause*, what a comment is recognised by;
*register*, the small file beside the letter that keeps which number belongs to which cause.  A number is given
once: a comment that is withdrawn keeps it, and gets it back should its cause return.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Literal

from cordpath.errors import UnreadableFile
from cordpath.model import Answer, Requirement, SheetResult
from cordpath.report.atomic import write_text_whole
from cordpath.report.rows import Row, asking, may_ask, rows_of, sentence, sheet_name

FORMAT = "cordpath-comments/1"
REGISTER = "comments.json"
MOST_BYTES = 20_000_000  # of a register: some 100 000 comments
MARKED = ("missing", "unresolved")
RULED_OUT = ("accept", "not applicable")  # rulings after which the applicant is asked for nothing
MOST_NAMED = 6  # words of one place that are told side by side
DEMAND = "Show the GFCI protection of these outlets: at each device, or at its breaker in the schedule."
NUMBERS = re.compile(r"\d+(?:[.,/-]\d+)*")
OUTLET = re.compile(r"\b[\w.-]+\.\d+\b(?! ft)")
FIXTURE = re.compile(r"\bf\d+\b")
DISTANCE = re.compile(r"^[\d.]+ ft along the cord path from (.+?)(?: of)?(?: f\d+)?(?:,.*)?$")

State = Literal["open", "withdrawn", "not checked"]
Place = tuple[str, int, str]  # file, page, number of the outlet ("" for the sheet as a whole)


@dataclass(frozen=True)
class Comment:
    """``number`` 0: not numbered yet.  ``rows``: the outlets; ``sheets``: sheets that could not be checked."""

    cause: str
    text: str
    cites: tuple[str, ...]
    rows: tuple[Row, ...] = ()
    sheets: tuple[SheetResult, ...] = ()
    number: int = 0

    @property
    def places(self) -> tuple[Place, ...]:
        return (*((row.file, row.page, row.number) for row in self.rows),
                *((result.file, result.page, "") for result in self.sheets))  # fmt: skip


@dataclass(frozen=True)
class Kept:
    """A comment as the register keeps it."""

    number: int
    cause: str
    text: str
    state: State = "open"
    places: tuple[Place, ...] = ()


@dataclass(frozen=True)
class Register:
    kept: tuple[Kept, ...] = ()
    next: int = 1

    def number(self, cause: str) -> int | None:
        return next((kept.number for kept in self.kept if kept.cause == cause), None)


@dataclass
class _Group:
    text: str
    rows: list[Row] = field(default_factory=list)
    sheets: list[SheetResult] = field(default_factory=list)


def comments_of(results: Iterable[SheetResult], register: Register) -> tuple[tuple[Comment, ...], Register]:
    """The numbered comments, in the order of their numbers, and the register that remembers them."""
    results = tuple(results)
    whole = not any(result.status == "failed" for result in results)
    made = [_comment(cause, group) for cause, group in _grouped(results).items()]
    numbered, following = [], register.next
    for comment in made:
        number = register.number(comment.cause)
        if number is None:
            number, following = following, following + 1
        numbered.append(replace(comment, number=number))
    numbered.sort(key=lambda comment: comment.number)
    return tuple(numbered), _remembered(register, numbered, following, whole)


def _remembered(register: Register, comments: list[Comment], following: int, whole: bool) -> Register:
    """A cause that was not found again is withdrawn, unless sheets of this run failed: it may be on one of them."""
    now = {c.number: Kept(c.number, c.cause, c.text, "open", c.places) for c in comments}
    for kept in register.kept:
        if kept.number not in now:
            gone = whole or kept.state == "withdrawn"
            now[kept.number] = replace(kept, state="withdrawn" if gone else "not checked")
    return Register(tuple(now[number] for number in sorted(now)), following)


# ------------------------------------------------------------------------------------------------- causes


def _grouped(results: tuple[SheetResult, ...]) -> dict[str, _Group]:
    """By cause: missing first, then unresolved, then sheets that were not checked; each in the order of sheets."""
    groups: dict[str, _Group] = {}
    rows = tuple(rows_of(results))
    for verdict in MARKED:
        for row in rows:
            if row.verdict == verdict and row.ruling not in RULED_OUT:
                cause, text = cause_of(row)
                groups.setdefault(cause, _Group(text)).rows.append(row)
    for result in results:
        if result.status == "failed":
            why = result.why or "no reason was given"
            group = groups.setdefault(
                f"not checked|{general(why)}", _Group(f"The sheet could not be checked: {why}")
            )
            group.sheets.append(result)
    return groups


def cause_of(row: Row) -> tuple[str, str]:
    """What the finding is grouped by, and the text of its comment.

    Distances, circuits and numbers of outlets are no part of a cause: they change from one submittal to the next.
    """
    finding = row.finding
    if row.verdict == "missing":
        lead = leading(asking(finding))
        return f"missing|{(lead.cite_nec or lead.cite) if lead else 'none'}", _demand([row])
    lead = leading(asking(finding))
    if lead is not None and finding.protection.shown is not Answer.NO:
        doubt = next(iter(finding.protection.reasons), "it cannot be told from the drawing whether it is protected")
        return f"unresolved|protection|{general(doubt)}", sentence(_generally(doubt))
    question = next((r.question for r in may_ask(finding) if r.question), None)
    doubt = question or next(iter(finding.reasons), "it could not be judged")
    return f"unresolved|{general(doubt)}", sentence(_generally(doubt))


def _demand(rows: Iterable[Row]) -> str:
    """One section may ask for several reasons, such as the seven appliances of 210.8(D): each is told."""
    leads = (leading(asking(row.finding)) for row in rows)
    reasons = "; ".join(dict.fromkeys(_plainly(lead) for lead in leads if lead is not None))
    return f"{DEMAND} {sentence(f'required: {reasons}') if reasons else ''}".strip()


def leading(requirements: tuple[Requirement, ...]) -> Requirement | None:
    """The requirement that a comment is about: one of the room before one of a distance, which needs no scale."""
    return min(requirements, key=lambda r: r.distance_ft is not None, default=None)


def _plainly(requirement: Requirement) -> str:
    """Why it is required, without what differs from outlet to outlet."""
    measured = DISTANCE.match(requirement.because)
    if measured:
        whose = "" if " of " in measured[1] else " of a fixture"
        return f"a cord reaches {_generally(measured[1])}{whose} within the limit"
    return re.sub(r"\s*\([^()]*\)", "", requirement.because).strip() or requirement.because


def _generally(text: str) -> str:
    """Without numbers of outlets and fixtures, and with measured lengths left out."""
    text = re.sub(rf"\bGFCI device {OUTLET.pattern}", "a GFCI device", text)
    text = FIXTURE.sub("a fixture", OUTLET.sub("another outlet", text))
    return " ".join(re.sub(r"\b\d+\.\d+\b", "…", text).split())


def general(text: str) -> str:
    """The text as a part of a key: lower case, no numbers, one line."""
    return " ".join(NUMBERS.sub("#", OUTLET.sub("#", FIXTURE.sub("#", text))).lower().split())[:300]


def _comment(cause: str, group: _Group) -> Comment:
    cites = dict.fromkeys(
        cite for row in group.rows
        for cite in (r.cite for r in (*asking(row.finding), *may_ask(row.finding)))
    )  # fmt: skip
    texts = list(dict.fromkeys(_own_text(row) for row in group.rows))
    text = group.text
    if cause.startswith("unresolved"):
        text = texts[0] if len(texts) == 1 else _together([_generally(each) for each in texts]) or group.text
    if cause.startswith("missing"):
        text = _demand(group.rows)
    return Comment(cause, text, tuple(cites), tuple(group.rows), tuple(group.sheets))


def _together(texts: list[str]) -> str | None:
    """One text for several that differ in single words: all of these, as in ``Circuit A-1/A-3 is in no list``."""
    words = [text.split() for text in texts]
    if len({len(each) for each in words}) > 1:
        return None
    columns = [list(dict.fromkeys(column)) for column in zip(*words, strict=True)]
    return " ".join("/".join(column[:MOST_NAMED]) + "/…" * (len(column) > MOST_NAMED) for column in columns)


def _own_text(row: Row) -> str:
    shown = row.finding.protection
    doubt = shown.reasons[0] if shown.reasons and shown.shown is not Answer.NO else ""  # else it is no doubt
    return row.question or sentence(doubt) or row.reason


def places_in_words(comment: Comment) -> Iterator[str]:
    """``E-101, KITCHEN: E-101.3, E-101.4``, one line a room."""
    rooms: dict[tuple[str, str], list[str]] = {}
    for row in comment.rows:
        rooms.setdefault((row.sheet, row.room or "no room"), []).append(row.number)
    yield from (f"{sheet}, {room}: {', '.join(numbers)}" for (sheet, room), numbers in rooms.items())
    yield from (f"{result.file}, page {result.page} ({sheet_name(result)})" for result in comment.sheets)


# ----------------------------------------------------------------------------------------------- register


def load_register(path: Path) -> Register:
    """The register of an earlier run; an empty one where there is none.

    Raises UnreadableFile where there is one that cannot be read: going on would give its numbers a second time.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
        if len(data) > MOST_BYTES:
            raise ValueError("it is too large")
        return _register(json.loads(data))
    except FileNotFoundError:
        return Register()
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise UnreadableFile(
            f"the numbers of earlier comments cannot be read ({error})", where=str(path),
            cure="restore the file from a copy, or delete it to number comments from 1 again",
        ) from error  # fmt: skip


def _register(document: Any) -> Register:
    if document["format"] != FORMAT:
        raise ValueError(f"its format is not {FORMAT}")
    kept = tuple(_kept(item) for item in document["comments"])
    numbers = [each.number for each in kept]
    following = document["next"]
    if not isinstance(following, int) or len(set(numbers)) < len(numbers) or any(n >= following for n in numbers):
        raise ValueError("its numbers contradict each other")
    return Register(kept, following)


def _kept(item: Any) -> Kept:
    number, state = item["number"], item["state"]
    if not isinstance(number, int) or number < 1 or state not in ("open", "withdrawn", "not checked"):
        raise ValueError("an entry is damaged")
    places = tuple((str(file), int(page), str(outlet)) for file, page, outlet in item["places"])
    return Kept(number, str(item["cause"]), str(item["text"]), state, places)


def write_register(path: Path, register: Register) -> None:
    document = {
        "format": FORMAT,
        "next": register.next,
        "comments": [
            {"number": k.number, "cause": k.cause, "text": k.text, "state": k.state,
             "places": [list(p) for p in k.places]}
            for k in register.kept
        ],
    }  # fmt: skip
    write_text_whole(path, json.dumps(document, indent=1, ensure_ascii=False) + "\n")
