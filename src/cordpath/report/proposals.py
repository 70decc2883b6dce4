"""The proposal for the designer in words: headings with lines, for the page and the console."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import PurePath

from cordpath.model import Proposal, Step

DRAW_IT = "A proposal, for the designer to weigh and draw; nothing is protected by it."
MOST_NAMED = 12  # outlets named one by one in a line


def proposed(proposals: Iterable[Proposal]) -> list[tuple[str, list[str]]]:
    """One heading a set of sheets; empty where nothing is missing."""
    proposals = tuple(proposals)
    often = Counter(map(_files, proposals))
    return [
        (
            f"Proposal: {_counted(p)} ({_files(p) if often[_files(p)] == 1 else _files(p, whole=True)})",
            [*map(_said, p.steps), *_left(p), DRAW_IT],
        )
        for p in proposals
    ]


def _counted(proposal: Proposal) -> str:
    kinds = [step.kind for step in proposal.steps]
    parts = [_number(kinds.count("device"), "GFCI device"), _number(kinds.count("breaker"), "GFCI breaker")]
    said = " and ".join(part for part in parts if part) or "no device or breaker"
    count = len({name for step in proposal.steps for name in step.protects})
    if proposal.left and not count:
        return f"nothing can be proposed for {_number(len(proposal.left), 'outlet')}"
    if proposal.left:
        return f"{said} would protect {count} of {_number(count + len(proposal.left), 'outlet')}"
    return f"{said} would protect {_number(count, 'outlet') or 'no outlet'}"


def _number(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}" if count else ""


def _files(proposal: Proposal, whole: bool = False) -> str:
    """The files by their names; ``whole``: with their folders, where files of several houses are named alike."""
    names = [file if whole else PurePath(file.replace("\\", "/")).name for file in proposal.files]
    return names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"


def _said(step: Step) -> str:
    given = f", given that {step.assumes}" if step.assumes else ""
    return f"{step.because[:1].upper()}{step.because[1:]}, for {_named(step.protects)}{given}."


def _named(names: tuple[str, ...]) -> str:
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _left(proposal: Proposal) -> list[str]:
    reasons: dict[str, list[str]] = {}
    for name, why in proposal.left:
        reasons.setdefault(why, []).append(name)
    return [f"Nothing can be proposed for {_named(tuple(names))}: {why}." for why, names in reasons.items()]
