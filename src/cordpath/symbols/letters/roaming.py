"""Labels that a sheet writes anywhere about its symbols: one that happens to lie on a symbol is no mark of it.

A code inside a symbol may make another symbol of it, so a word that no mark accounts for is a doubt.  But a mark
stands at its own place, the same in every symbol of the design.  A code that stands beside symbols of many designs,
here and there about them, is a label, and where there is no room it lies on its symbol.

Terms: *place*, where a word's middle is from the symbol's middle, turned with the symbol, in body radii.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace

import numpy as np

from cordpath.model import Box, FloatArray
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.letters.strangers import STRANGER, strangers_in
from cordpath.symbols.matching.evidence import CERTAIN, FILLED, Candidate
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.pose import MIRROR, TURN

AROUND = 2.2  # body radii from the middle within which a word is beside a symbol
LEAST_TIMES, LEAST_DESIGNS = 6, 3  # of a code beside symbols before it counts as a label that goes anywhere
SPREAD = 0.35  # body radii: standard deviation of its places across and along, at least
NEAR, MOST_NEAR = 0.3, 0.34  # body radii, and the share of a label's places that are so near to one of them at most
LIKE_SIZE = 2.0  # times the body: in radii, what stands beside a larger one is always near its middle
ONE_WORD = 1.0  # pt between the sides of its boxes in two readings
SAME_PLACE = 0.1  # body radii: two symbols of a design with the code at one place have it as a mark, perhaps


@dataclass(frozen=True, eq=False)
class _Beside:
    """A word beside a symbol."""

    design: str
    radius: float  # pt
    box: Box  # of the word
    place: FloatArray  # (2,) as the page has it
    turned: FloatArray  # (2,) as the symbol has it


def without_roaming(
    candidates: list[Candidate], winners: tuple[Candidate, ...], letters: Letters, paint: Paint
) -> list[Candidate] | None:
    """The candidates, without the doubts that only labels had raised which go anywhere beside the winners; None
    where there is no such doubt."""
    doubted = [k for k, c in enumerate(candidates) if _doubted(c) or _painted(c, letters)]
    outlined = any(_painted(candidates[k], letters) for k in doubted)
    beside = _about(winners, letters, outlined) if doubted else {}
    out, changed = list(candidates), False
    for k in doubted:
        c = candidates[k]
        free = _strangers_that_roam(c, letters, beside) if _doubted(c) else set()
        if _painted(c, letters) and _only_roaming_paint(c, letters, paint, beside):
            free.add(FILLED)
        out[k] = replace(c, doubts=tuple(d for d in c.doubts if d.what not in free))
        changed |= len(out[k].doubts) < len(c.doubts)
    return out if changed else None


def _doubted(c: Candidate) -> bool:
    return any(d.inside and d.what.startswith(STRANGER.split("{")[0]) for d in c.doubts)


def _painted(c: Candidate, letters: Letters) -> bool:
    return letters.rows is not None and c.coverage >= CERTAIN and any(d.what == FILLED for d in c.doubts)


def _strangers_that_roam(c: Candidate, letters: Letters, beside: dict[str, list[_Beside]]) -> set[str]:
    """The doubts of the candidate that such labels had raised."""
    inside = strangers_in(letters, c.template, c.pose, c.words, c.whole, c.ink)
    return {
        STRANGER.format(letters.text[n])
        for n in inside
        if _roams(letters.run_text(n), _beside(letters.run_box(n), c), beside)
    }


def _only_roaming_paint(c: Candidate, letters: Letters, paint: Paint, beside: dict[str, list[_Beside]]) -> bool:
    """Is what is filled in the body nothing but the outlined letters of such labels?"""
    assert letters.rows is not None
    rows = letters.rows(c.template, c.pose)
    free = [areas for text, box, areas in rows if _roams(text, _beside(box, c), beside)]
    if not free:
        return False
    return bool(paint.unexpected(c.template, c.pose[None], np.concatenate(free))[0] <= 1.0)


def _about(winners: tuple[Candidate, ...], letters: Letters, outlined: bool) -> dict[str, list[_Beside]]:
    """Codes of two letters or more that are no marks of the mapping file, beside symbols of their size on paper.

    ``outlined``: among them what outlined letters say that the reader of lettering left alone.
    """
    out: dict[str, dict[int, _Beside]] = defaultdict(dict)
    for n, c in enumerate(winners):
        if c.template.ratio is not None or c.template.text_only:
            continue
        said = [
            (letters.run_text(k), letters.run_box(k))
            for k in letters.near(c.centre, AROUND * c.radius)
            if k not in c.words
        ]
        if outlined and letters.rows is not None:
            said += [(text, box) for text, box, _ in letters.rows(c.template, c.pose)]
        for text, box in said:
            if len(text) >= 2 and text not in letters.marks:
                out[text][n] = _beside(box, c)  # letters of one run are one word of its symbol
    return {text: list(rows.values()) for text, rows in out.items()}


def _beside(box: Box, c: Candidate) -> _Beside:
    x0, y0, x1, y1 = box
    away = (np.array([(x0 + x1) / 2, (y0 + y1) / 2]) - c.centre) / c.radius
    cos, sin = np.cos(c.pose[TURN]), np.sin(c.pose[TURN])
    turned = np.array([[cos, sin], [-sin, cos]]) @ away * (1 - 2 * c.pose[MIRROR], 1)
    return _Beside(c.template.name, c.radius, box, away, turned)


def _roams(text: str, mine: _Beside, beside: dict[str, list[_Beside]]) -> bool:
    others = [row for row in beside.get(text, []) if not _one_word(row.box, mine.box)]
    others = [row for row in others if row.radius <= LIKE_SIZE * mine.radius]
    if len(others) < LEAST_TIMES or len({row.design for row in others}) < LEAST_DESIGNS:
        return False
    for places in (np.array([row.place for row in others]), np.array([row.turned for row in others])):
        if (places.std(0) < SPREAD).any():
            return False
    here = np.mean([float(np.hypot(*(row.turned - mine.turned))) < NEAR for row in others])
    alike = [row for row in others if row.design == mine.design]
    again = any(float(np.hypot(*(row.turned - mine.turned))) < SAME_PLACE for row in alike)
    return bool(here <= MOST_NEAR) and not again


def _one_word(one: Box, other: Box) -> bool:
    """Is it one word, though it was read twice, as letters and as areas?"""
    return all(abs(a - b) <= ONE_WORD for a, b in zip(one, other, strict=True))
