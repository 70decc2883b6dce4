"""Circuit tags: ``A-12``, ``A12``, ``(A12)``, ``L1-7``, ``12``, ``A-12,14``: a panel and circuit numbers.

A tag may be read in more than one way (``L17`` is circuit 17 of panel L, or 7 of panel L1); the panels on the
sheets decide, and where they do not, the tag stays open.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from cordpath.model import CIRCUIT_WORD, Panel
from cordpath.units import plain

_NUMBERS = r"\d{1,3}[A-Z]?(?:[,/&+-](?:PANEL[- .:#]?)?\d{1,3}[A-Z]?)*"  # PANEL: the name may come again
_BEFORE = re.compile(rf"^(?:{CIRCUIT_WORD}|(?:PNL|PANEL)S?(?![A-Z])[ .:#-]*)")
_DRAWN_ALIKE = str.maketrans("IOSB", "1058")
_LEAST = 3  # letters without a figure that may be a panel's name and a circuit
_MOST = 24  # characters; anything longer is no tag


@dataclass(frozen=True)
class Tag:
    """``panel`` without punctuation, None where the tag names none; ``numbers`` in the order written."""

    panel: str | None
    numbers: tuple[str, ...]

    def __str__(self) -> str:
        numbers = ",".join(self.numbers)
        return f"{self.panel}-{numbers}" if self.panel else numbers


def bare_name(name: str) -> str:
    """A panel's name for comparing: LP-1, LP1 and "LP 1" are one."""
    return re.sub(r"[^A-Z0-9]", "", plain(name))


def places_of(panels: Iterable[Panel]) -> set[tuple[str, str]]:
    """The circuits that the schedules have, each with the bare name of its panel."""
    return {(bare_name(panel.name), number) for panel in panels for row in panel.rows for number in row.circuits}


def readings(text: str) -> tuple[Tag, ...]:
    """Every way to read a tag, the likeliest first; empty for text that is no circuit tag."""
    text = _BEFORE.sub("", plain(text).strip(" ()[]<>#.,;"))
    text = re.sub(r"\s*([,/&+-])\s*", r"\1", text.strip(" ()[]<>#.,;"))
    if not text or len(text) > _MOST:
        return ()
    found: list[Tag] = []
    for cut in range(len(text)):
        panel, rest = text[:cut], text[cut:]
        tag = _tag(panel, rest)
        if tag is not None and tag not in found:
            found.append(tag)
    return tuple(sorted(found, key=lambda tag: _rank(text, tag)))


def run_on(text: str, names: Iterable[str]) -> tuple[Tag, ...]:
    """Digits alone as circuits of the panels that digits name: 112 as 12 of panel 1."""
    digits = text.strip(" ()[]#")
    found = ((name, digits.removeprefix(name)) for name in sorted(names) if name.isdigit() and digits.isdigit())
    return tuple(Tag(name, (rest,)) for name, rest in found if rest not in ("", digits) and rest[0] != "0")


def misread(text: str, names: Iterable[str]) -> tuple[Tag, ...]:
    """Circuits of the panels that a text may mean if letters and figures that are drawn alike were taken for each
    other: MDPI 1 as 11 of panel MDP, LPI7 as 7 of LP1, MDPIO as 10 of MDP; AS is no circuit 5 of a panel A."""
    bare = bare_name(text)
    said = bare.translate(_DRAWN_ALIKE) if len(bare) >= _LEAST or not bare.isalpha() else ""
    found = (
        (name, said.removeprefix(head))
        for name in sorted(names)
        if said.startswith(head := name.translate(_DRAWN_ALIKE))
    )
    return tuple(Tag(name, (rest.lstrip("0"),)) for name, rest in found if rest.isdigit() and rest.strip("0"))


def _tag(panel: str, rest: str) -> Tag | None:
    name = panel.rstrip(" -.:#/")
    if panel and not re.fullmatch(r"[A-Z0-9](?:[A-Z0-9 .-]{0,6}[A-Z0-9])?", name):
        return None
    if panel and name == panel and not _runs_on(name):
        return None
    again = f"(?:{re.escape(name)})" if name else "(?:)"
    if not re.fullmatch(_NUMBERS.replace("PANEL", again), rest):
        return None
    numbers = re.split(r"[,/&+-]", re.sub(rf"(?<=[,/&+-]){again}[- .:#]?(?=\d)", "", rest) if name else rest)
    clean = tuple(n.strip().lstrip("0") or "0" for n in numbers if n.strip())
    return Tag(bare_name(name) or None, clean) if clean else None


def _runs_on(name: str) -> bool:
    """May a number follow the name without a sign between?  ``A12`` and ``L17``; not ``LP-1`` 7, nor 1 2."""
    return name[0].isalpha() and name.isalnum()


def _rank(text: str, tag: Tag) -> tuple[int, int]:
    """Letters then numbers, with the shortest name; then numbers alone; then names that hold digits.  In ``LP1-7``
    the one dash parts circuit 7 from its panel: last comes that it parts two circuits of a panel LP."""
    if tag.panel is None:
        return (0 if text.isdigit() or not text[0].isalpha() else 2, 0)
    if "-" in text and text[len(tag.panel)].isdigit():
        return (4, 0)
    return (1 if tag.panel.isalpha() else 3, len(tag.panel))


def alike(a: str, b: str) -> bool:
    """Can the tags share a circuit: one number in common under panels that may be one?"""
    return any(
        set(x.numbers) & set(y.numbers) and (x.panel == y.panel or None in (x.panel, y.panel))
        for x in readings(a)
        for y in readings(b)
    )


def each_alone(text: str) -> tuple[str, ...]:
    """The circuits of a tag one by one, by its likeliest reading: ``A-1,3`` is A-1 and A-3."""
    ways = readings(text)
    return tuple(str(Tag(ways[0].panel, (number,))) for number in ways[0].numbers) if ways else (text,)
