"""One row an outlet: what every table of the report shows, worked out once from the findings.

Terms: *row*, an outlet with its verdict in words; *asking*, requirements that hold; *open*, requirements that may
hold.  An outlet that was read but not judged gets a row of its own, as unresolved: nothing passes silently.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from cordpath.model import Answer, Finding, Protection, Requirement, SheetResult, Verdict, cites_together

VERDICTS: tuple[Verdict, ...] = ("missing", "unresolved", "protected", "not required")  # worst first
NOT_JUDGED = "This outlet was read but not judged."
CAUTIONS = (
    "This is a check of the drawing only: it says what the drawing shows, not what is or will be built.",
    "The adopted code, the authority having jurisdiction and licensed practice decide.",
    "Do not scale where a dimension is given.",
    "Turn the power off and test before touching anything.",
)


@dataclass(frozen=True, eq=False)
class Row:
    """An outlet of a schedule.  ``kind`` is a word of the program, ``symbol`` the name that the mapping file gives.
    ``distance_ft`` is the shortest cord path that a requirement names."""

    file: str
    page: int
    sheet: str
    number: str
    room: str
    kind: str
    symbol: str
    circuit: str
    required_by: str
    protected_by: str
    verdict: Verdict
    distance_ft: float | None
    reason: str
    question: str
    finding: Finding

    @property
    def required_told(self) -> str:
        """``required_by`` for people: many items of one list together, not thirteen citations in one cell."""
        sure, perhaps = _cites(self.finding)
        return _listed(cites_together(sure), cites_together(perhaps))

    @property
    def told(self) -> str:
        """The reason, what a person has to answer where the outlet is unresolved, and what the reviewer ruled."""
        return f"{self.said} Reviewer's decision: {self.decision}".strip() if self.decision else self.said

    @property
    def said(self) -> str:
        """The reason, and what a person has to answer where the outlet is unresolved."""
        ask = self.question and self.verdict == "unresolved" and self.question not in self.reason
        return f"{self.reason} Question: {self.question}".strip() if ask else self.reason

    @property
    def ruling(self) -> str:
        """The reviewer's ruling on the outlet, empty without one."""
        return self.finding.decision.ruling if self.finding.decision else ""

    @property
    def decision(self) -> str:
        """The ruling with its reason."""
        found = self.finding.decision
        return sentence(f"{found.ruling}: {found.reason}") if found else ""


def sheet_name(result: SheetResult) -> str:
    """The sheet number as drawn, else its page."""
    number = result.reading.sheet.number if result.reading else None
    return number or f"p{result.page}"


def names_apart(results: Iterable[SheetResult]) -> dict[tuple[str, int], str]:
    """By file and page, the sheet's number; with its file where sheets of other files bear the same number."""
    results = tuple(results)
    files: dict[str, set[str]] = {}
    for result in results:
        files.setdefault(sheet_name(result), set()).add(result.file)
    return {
        (each.file, each.page): name if len(files[name]) == 1 else f"{name} ({each.file})"
        for each in results
        for name in (sheet_name(each),)
    }


def sheet_title(result: SheetResult) -> str:
    return (result.reading.sheet.title if result.reading else None) or ""


def findings_of(result: SheetResult) -> tuple[Finding, ...]:
    """The findings of a sheet, with one of "unresolved" for every outlet that was read but not judged.

    Settled requirements that do not hold are no reason for anything and are kept in the results only.
    """
    judged = {finding.outlet.id for finding in result.findings}
    outlets = result.reading.outlets if result.reading else ()
    left = tuple(
        Finding(outlet, "unresolved", (), Protection(Answer.UNKNOWN, None, None), (NOT_JUDGED,), None, 0.0)
        for outlet in outlets
        if outlet.id not in judged
    )
    return result.findings + left


def rows_of(results: Iterable[SheetResult]) -> Iterator[Row]:
    """Rows in the order of the sheets and of the findings on them."""
    for result in results:
        for finding in findings_of(result):
            yield _row(result, finding)


def count_verdicts(results: Iterable[SheetResult]) -> dict[Verdict, int]:
    counts = Counter(finding.verdict for result in results for finding in findings_of(result))
    return {verdict: counts.get(verdict, 0) for verdict in VERDICTS}


def asking(finding: Finding) -> tuple[Requirement, ...]:
    return tuple(r for r in finding.requirements if r.holds is Answer.YES)


def may_ask(finding: Finding) -> tuple[Requirement, ...]:
    return tuple(r for r in finding.requirements if r.holds is Answer.UNKNOWN)


def number_or_none(value: Any) -> float | None:
    """A finite number, rounded to hundredths, or None: a label's fact may be anything that a user wrote."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    return round(float(value), 2) + 0.0 if abs(float(value)) < 1e9 else None  # adding 0.0 turns -0.0 into 0.0


def sentence(text: str) -> str:
    """The text as a sentence: one line, capital letter, full stop."""
    text = " ".join(text.split())
    if not text:
        return ""
    return full_stop(text[0].upper() + text[1:])


def full_stop(text: str) -> str:
    """With a full stop, unless it ends as a sentence does or with a name that is cut short: ``RECEPT.``"""
    return text if text[-1:] in (".", "?", "!") else f"{text}."


def told_once(reasons: tuple[str, ...]) -> list[str]:
    """The reasons, each once: a phrase and the sentence made of it are one."""
    told: dict[str, str] = {}
    for reason in reasons:
        told.setdefault(sentence(reason), reason)
    return list(told.values())


def _row(result: SheetResult, finding: Finding) -> Row:
    symbol = finding.outlet.symbol
    return Row(
        file=result.file,
        page=result.page,
        sheet=sheet_name(result),
        number=finding.outlet.id,
        room=_room_name(finding),
        kind=symbol.kind,
        symbol=symbol.entry.name,
        circuit=finding.protection.circuit or "",
        required_by=required_by(finding),
        protected_by=finding.protection.by or "",
        verdict=finding.verdict,
        distance_ft=_distance(finding),
        reason=reason(finding),
        question=" ".join(dict.fromkeys(sentence(r.question) for r in may_ask(finding) if r.question)),
        finding=finding,
    )


def _room_name(finding: Finding) -> str:
    if finding.room is None:
        return ""
    named = " ".join(part for part in (finding.room.name, finding.room.number) if part)
    return named or finding.room.kind


def required_by(finding: Finding) -> str:
    """Citations, each once; those that may apply carry a question mark."""
    return _listed(*_cites(finding))


def _listed(sure: Iterable[str], perhaps: Iterable[str]) -> str:
    return ", ".join([*sure, *(f"{cite} ?" for cite in perhaps)])


def _cites(finding: Finding) -> tuple[list[str], list[str]]:
    sure = list(dict.fromkeys(r.cite for r in asking(finding)))
    return sure, [cite for cite in dict.fromkeys(r.cite for r in may_ask(finding)) if cite not in sure]


def reason(finding: Finding) -> str:
    """The finding's own sentences; where it has none, what its requirements say."""
    said = finding.reasons or tuple(r.because for r in asking(finding) + may_ask(finding))
    return " ".join(dict.fromkeys(sentence(text) for text in said if text.strip()))


def _distance(finding: Finding) -> float | None:
    for group in (asking(finding), may_ask(finding), finding.requirements):
        known = [d for d in (number_or_none(r.distance_ft) for r in group) if d is not None]
        if known:
            return min(known)
    return None


def with_verdict(rows: Iterable[Row], verdict: Verdict) -> tuple[Row, ...]:
    return tuple(row for row in rows if row.verdict == verdict)


def shorten(text: str, most: int) -> str:
    """At most ``most`` characters, cut at a word, with an ellipsis where something was left out."""
    if len(text) <= most:
        return text
    return text[: most - 1].rsplit(" ", 1)[0].rstrip(" ,;.") + "…"
