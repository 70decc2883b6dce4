"""The scale notes of drawings, and the titles that they belong to."""

from __future__ import annotations

import re

import numpy as np

from cordpath.model import FloatArray
from cordpath.sheet.text.textlines import Run, above
from cordpath.units import ScaleNote, find_scale_note, parse_scale_note

NO_RULES = np.zeros((0, 3))
SLOPES = frozenset({8.0, 10.0, 12.0, 16.0, 20.0})  # 1:n that is a ramp or roof slope as often as a scale
STEPS = (4.0, 6.0, 2.5)  # 1:n is a multiple of one, as of drawings in inches and in meters, but for 1:1 and 1:2
TITLE_REACH = 2.5  # of the note's size: from a note up to its title


def note_of(run: Run) -> ScaleNote | None:
    """The scale note that a run is or has in it."""
    note = parse_scale_note(run.text)
    if note is not None:
        labelled = "SCALE" in run.said
        if is_bare(run, note) and note.ratio in SLOPES:
            return None
        return None if note.kind == "as noted" and not labelled else note
    return find_scale_note(run.text) if len(run.text) <= 80 and not re.match(r"\d+[.)]\s", run.said) else None


def is_bare(run: Run, note: ScaleNote) -> bool:
    """Is a note nothing but 1:n, and does not say that it is a scale?"""
    return note.kind == "ratio" and ":" in run.said and "SCALE" not in run.said


def is_odd(note: ScaleNote) -> bool:
    """Is a ratio none that drawings have?"""
    ratio = note.ratio or 1.0
    return ratio > 2.0 and all(ratio % step for step in STEPS)


def note_start(run: Run) -> int:
    """Where in it the note begins."""
    match = re.search(r"\bSCALE\b|\d+\s*/\s*\d+\s*\"|\d+\s*\"?\s*=|\bN\.?T\.?S\b|\bNOT TO", run.said)
    return match.start() if match else 0


def written(run: Run, own: str) -> str:
    """The note as it is written; ``own``: the title in the same run."""
    return run.text.strip() if not own else run.said[note_start(run) :].strip()


def title_of(run: Run, note: ScaleNote, free: list[Run], level: FloatArray) -> list[Run]:
    """The title lines above a note, beside it on its left, or at the other end of one underline; nearest first."""
    if note.text == run.text:
        near = [r for r in above(free, run, TITLE_REACH) if r.size >= 0.9 * run.size and not _is_mark(r)]
        near = [r for r in near if abs(r.box[0] - run.box[0]) < 12 * run.size or _centred(r, run)]
        if near:
            return [near[0]]
        beside = [r for r in free if r is not run and abs(r.middle - run.middle) < run.size
                  and 0 < run.box[0] - r.box[2] < 8 * run.size and not _is_mark(r)]  # fmt: skip
        if beside:
            return [max(beside, key=lambda r: r.box[2])]
        ends = [r for r in free if r.size >= run.size and not _is_mark(r) and _on_one_line(r, run, level)]
        return [min(ends, key=lambda r: abs(r.middle - run.middle))] if ends else []
    return []


def _on_one_line(title: Run, note: Run, level: FloatArray) -> bool:
    """Does a title stand on the left end of a rule at whose right end the note stands?"""
    y, x0, x1 = level.T
    under = (y > title.middle) & (y < title.box[3] + title.size) & (abs(x0 - title.box[0]) < 2 * title.size)
    return bool((under & (abs(x1 - note.box[2]) < 2 * title.size) & (abs(y - note.middle) < 2 * note.size)).any())


def _is_mark(run: Run) -> bool:
    """The number in a drawing's bubble, a sheet reference, a bare scale: no title."""
    return len(re.sub(r"[^A-Z]", "", run.said)) < 3 or parse_scale_note(run.text) is not None


def _centred(a: Run, b: Run) -> bool:
    return abs((a.box[0] + a.box[2]) - (b.box[0] + b.box[2])) < 6 * b.size
