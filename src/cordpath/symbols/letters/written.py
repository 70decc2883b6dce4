"""Symbols that are letters and nothing else: ``S`` for a switch, ``S`` and a small ``3`` for a three-way one."""

from __future__ import annotations

import math

import numpy as np

from cordpath.model import FloatArray
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.letters.letters import STROKES_A_LETTER, Letters
from cordpath.symbols.matching.evidence import Candidate, Doubt
from cordpath.symbols.pose import place
from cordpath.symbols.templates.template import Template

NOTHING = np.zeros(0, np.int64)


def written(template: Template, ink: Ink, letters: Letters) -> list[Candidate]:
    """A candidate for every word, or group of words, that spells the template."""
    texts = template.drawn.texts
    first, x, y = texts[0]
    whole = "".join(value for value, _, _ in texts).upper()
    out = []
    for k, text in enumerate(letters.text):
        if not letters.shown[k] or text.upper() not in (first.upper(), whole):
            continue
        pose = np.array([0.0, 0.0, -math.radians(letters.words[k].angle), 0.0, 1.0])
        pose[:2] = letters.at[k] - place(pose[None], np.array([[x, y]]))[0, 0]
        words = [k] if text.upper() == whole else _others(template, pose, k, letters)
        if words and not _in_sentence(words, letters):
            out.append(_candidate(template, ink, pose, tuple(words), letters))
    return out


def _others(template: Template, pose: FloatArray, first: int, letters: Letters) -> list[int]:
    """The words of all text marks, empty where one is missing."""
    words = [first]
    slack = 0.7 * letters.words[first].size
    for value, x, y in template.drawn.texts[1:]:
        at = place(pose[None], np.array([[x, y]]))[0, 0]
        hits = [k for k in letters.near(at, slack) if letters.text[k].upper() == value.upper() and k not in words]
        if not hits:
            return []
        words.append(min(hits, key=lambda k: (float(np.hypot(*(letters.at[k] - at))), k)))
    return words


def _in_sentence(words: list[int], letters: Letters) -> bool:
    """Letters that were shown in one run with other words are part of a note."""
    lines = {letters.words[k].line for k in words}
    first = letters.words[words[0]]
    for k in letters.near(letters.at[words[0]], 3 * first.size):
        if k not in words and letters.words[k].line in lines:
            return True
    return False


def _candidate(
    template: Template, ink: Ink, pose: FloatArray, words: tuple[int, ...], letters: Letters
) -> Candidate:
    size = sum(STROKES_A_LETTER * letters.words[k].size * len(letters.text[k]) for k in words)
    centre = letters.at[list(words)].mean(0)
    doubt = Doubt(f"weak shape: {template.weak}", weak=True)
    return Candidate(template, ink, pose, centre, 1.0, size, 0.0, 0.0, NOTHING, np.zeros(0), NOTHING, words,
                     pose[None], (doubt,))  # fmt: skip
