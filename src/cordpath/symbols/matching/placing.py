"""Which of a template's symmetric poses is meant: the one at which its text and its paint fit best."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from cordpath.model import BoolArray, FloatArray
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.matching.paint import PAINTED, Paint
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.templates.orbits import orbits
from cordpath.symbols.templates.template import Template

MISFIT = 0.5  # share of a filled mark's ink that paint does not stand for whose edges are as far off as they may be


@dataclass(frozen=True, eq=False)
class Placed:
    """The one of the symmetric poses at which text and paint fit best."""

    pose: FloatArray
    words: tuple[int, ...]
    painted: float | None  # least painted share of the filled marks
    ink: float  # pt of strokes that text and paint stand for
    alike: FloatArray  # poses at which they fit as well
    off: float = 0.0  # how far the edges of the paint are from those of the filled marks, over what they may be


def placed(template: Template, ink: Ink, poses: FloatArray, letters: Letters, paint: Paint) -> list[Placed]:
    """One for each of the poses."""
    extra = np.zeros(len(poses))
    words: list[tuple[int, ...]] = [()] * len(poses)
    if template.drawn.texts:
        texts = letters.letterings(template, poses)
        poses, words = np.array([text.pose for text in texts]), [text.words for text in texts]
        extra = np.array([text.ink for text in texts], float)
    marks = np.array([[x, y] for _, x, y in template.drawn.texts], float).reshape(-1, 2)
    read = np.array([bool(each) for each in words])
    alike = _alike(template, poses, marks, read)
    if not template.drawn.fills:
        return [
            Placed(*each) for each in zip(poses, words, [None] * len(poses), extra.tolist(), alike, strict=True)
        ]
    poses, painted = _best_painted(template, ink, alike, paint)
    filled = zip(poses, painted, strict=True)
    off = [paint.off_edges(template, pose) if share >= PAINTED else 0.0 for pose, share in filled]
    edge = 2 * math.sqrt(sum(_area(ring) for ring in template.drawn.fills)) * (1 - MISFIT * np.square(off))
    extra = np.where(painted >= PAINTED, extra + edge * poses[:, SCALE], extra)
    alike = _alike(template, poses, marks, read, [p.mean(0) for p in template.fill_points])
    rows = zip(poses, words, painted.tolist(), extra.tolist(), alike, off, strict=True)
    return [Placed(*each) for each in rows]


def _best_painted(
    template: Template, ink: Ink, alike: list[FloatArray], paint: Paint
) -> tuple[FloatArray, FloatArray]:
    """The pose of each of some orbits whose filled marks are painted best, and the share that is."""
    start = np.cumsum([0, *(len(turned) for turned in alike)])
    shares = paint.marks(template, np.concatenate(alike), ink)
    best = [int(np.argmax(np.round(shares[a:b], 3))) for a, b in pairwise(start.tolist())]
    poses = np.array([turned[k] for turned, k in zip(alike, best, strict=True)])
    return poses, shares[start[:-1] + best]


def _alike(
    template: Template, poses: FloatArray, letters: FloatArray, read: BoolArray, paint: Sequence[FloatArray] = ()
) -> list[FloatArray]:
    """For each pose, those of its orbit that put the template's letters (m, 2) and paint where it puts them.

    Letters that could not be ``read`` (n,) do not tell which way the symbol is turned: its paint does.
    """
    turned = orbits(template, poses)
    marks = np.array([*letters, *paint], float).reshape(-1, 2)
    if not len(marks):
        return list(turned)
    many = place(turned.reshape(-1, 5), marks).reshape(*turned.shape[:2], len(marks), 2)
    apart = many - place(poses, marks)[:, None]
    gap = np.hypot(apart[..., 0], apart[..., 1])
    gap[~read, :, : len(letters)] = 0.0
    fits = gap.max(2) < 0.1 * template.radius + 0.3
    return [each[mine] for each, mine in zip(turned, fits, strict=True)]


def _area(ring: FloatArray) -> float:
    x, y = ring[:, 0], ring[:, 1]
    return abs(float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum())) / 2
