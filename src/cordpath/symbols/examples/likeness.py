"""Are two examples the same drawing, whichever way they are turned and however their curves are cut?

Terms: *profile*, the distances from the middle of the ink within which 5, 15, ... 95 % of it lies; turning and
mirroring do not change it.  Two drawings of one profile need not be one: a bar across and a bar along may have it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from scipy.spatial import cKDTree

from cordpath.model import POINTS_PER_INCH, ArcMark, CircleMark, FloatArray, LineMark, Mark, PolylineMark, TextMark

STEP = 0.004  # in, 0.3 pt: between samples of a mark
LEVELS = np.linspace(0.05, 0.95, 10)
APART = 0.9 / POINTS_PER_INCH  # in, of a profile: pens round to 1/600 in and chords cut corners
INK = 0.08  # relative: chords are shorter than their arcs, a line may be drawn in pieces that lap
MOST_SAMPLES = 20_000
TURNS = 72  # five degrees apart: half a step moves what is 1/8 in from the middle by 0.4 pt, within APART
FEW_SAMPLES = 400  # of a drawing are laid on the other's lines
STRAY = 98.0  # percent of the ink that must lie on the other's


def alike(one: tuple[Mark, ...], other: tuple[Mark, ...]) -> bool:
    """The same letters, fills in both or in neither, about the same ink (8 %), and profiles within 0.9 pt for a
    symbol on paper; larger drawings may differ in proportion."""
    if _told_apart(one) != _told_apart(other):
        return False
    (ink, profile), (ink_other, profile_other) = profile_of(one), profile_of(other)
    if not ink or not ink_other:
        return ink == ink_other
    return abs(math.log(ink / ink_other)) <= INK and _same_profile(profile, profile_other)


def same_lines(one: tuple[Mark, ...], other: tuple[Mark, ...]) -> bool:
    """Are drawings that are :func:`alike` one drawing, turned or mirrored: 98 % of the ink of each within 0.9 pt of
    the other's in one and the same pose, for a symbol on paper?"""
    each = (_samples(marks)[0] for marks in (one, other))
    here, there = (at[:: max(1, len(at) // FEW_SAMPLES)] for at in each)
    if not len(here) or not len(there):
        return len(here) == len(there)
    here, there = here - here.mean(axis=0), there - there.mean(axis=0)
    reach = APART * max(1.0, float(np.hypot(*here.T).max()) / 0.25)
    lines = cKDTree(there)
    for mirror in (1.0, -1.0):
        for turn in np.arange(TURNS) * 2 * math.pi / TURNS:
            c, s = math.cos(turn), math.sin(turn)
            posed = here * [mirror, 1.0] @ np.array([[c, s], [-s, c]])
            away = np.percentile(lines.query(posed)[0], STRAY)
            if away <= reach and np.percentile(cKDTree(posed).query(there)[0], STRAY) <= reach:
                return True
    return False


def pairs_alike(drawings: Sequence[tuple[Mark, ...]]) -> list[tuple[int, int]]:
    """Pairs of drawings that are :func:`alike`, each measured once and compared with those of about its ink."""
    measured = [(_told_apart(marks), *profile_of(marks)) for marks in drawings]
    order = sorted(range(len(drawings)), key=lambda k: (measured[k][0], measured[k][1]))
    pairs = []
    for n, one in enumerate(order):
        said, ink, _ = measured[one]
        for other in order[n + 1 :]:
            said_other, ink_other, _ = measured[other]
            if said_other != said or ink_other > ink * math.exp(INK):
                break
            first, second = min(one, other), max(one, other)
            if _same_profile(measured[first][2], measured[second][2]):
                pairs.append((first, second))
    return sorted(pairs)


def unlike(drawings: Sequence[tuple[Mark, ...]]) -> int:
    """How many of the drawings, those that are :func:`alike` counted once: heights and check marks of a table's
    column repeat, and signs do not."""
    drawn = [marks for marks in drawings if marks]
    return len(drawn) - len({second for _, second in pairs_alike(drawn)})


def _same_profile(profile: FloatArray, other: FloatArray) -> bool:
    size = max(1.0, float(profile.max()) / 0.25)  # a quarter inch: half of the largest symbol on paper
    return float(np.abs(profile - other).max()) <= APART * size


def _told_apart(marks: tuple[Mark, ...]) -> tuple[tuple[str, ...], bool]:
    """What tells drawings apart whatever their lines: letters, and something filled."""
    return letters(marks), any(isinstance(mark, PolylineMark) and mark.filled for mark in marks)


def letters(marks: tuple[Mark, ...]) -> tuple[str, ...]:
    return tuple(sorted(mark.value.upper() for mark in marks if isinstance(mark, TextMark)))


def profile_of(marks: tuple[Mark, ...]) -> tuple[float, FloatArray]:
    """Length of the ink, in, and the (10,) profile of it; zeros where the marks are letters alone."""
    at, weight = _samples(marks)
    ink = float(weight.sum())
    if not len(at):
        return 0.0, np.zeros(len(LEVELS))
    middle = (at * weight[:, None]).sum(axis=0) / ink
    away = np.hypot(*(at - middle).T)
    order = np.argsort(away, kind="stable")
    return ink, np.interp(LEVELS * ink, np.cumsum(weight[order]), away[order])


def _samples(marks: tuple[Mark, ...]) -> tuple[FloatArray, FloatArray]:
    """(n, 2) places along the lines of the marks, and (n,) the length of ink that each stands for."""
    lines = [outline(mark) for mark in marks if not isinstance(mark, TextMark)]
    pieces = np.concatenate([np.c_[line[:-1], line[1:]] for line in lines]) if lines else np.zeros((0, 4))
    length = np.hypot(pieces[:, 2] - pieces[:, 0], pieces[:, 3] - pieces[:, 1])
    ink = float(length.sum())
    if ink <= 0:
        return np.zeros((0, 2)), np.zeros(0)
    step = max(STEP, ink / MOST_SAMPLES)
    count = np.maximum(np.ceil(length / step).astype(np.int64), 1)
    piece = np.repeat(np.arange(len(pieces)), count)
    place = np.arange(len(piece)) - np.repeat(np.cumsum(count) - count, count)
    part = ((place + 0.5) / count[piece])[:, None]
    at = pieces[piece, :2] * (1 - part) + pieces[piece, 2:] * part
    return at, (length / count)[piece]


def outline(mark: Mark) -> FloatArray:
    """(p, 2) points of a mark's line; a text is its place."""
    if isinstance(mark, LineMark):
        return np.array([mark.start, mark.end], float)
    if isinstance(mark, PolylineMark):
        points = np.array(mark.points, float)
        return np.concatenate([points, points[:1]]) if mark.closed else points
    if isinstance(mark, TextMark):
        return np.array([mark.at], float)
    start, end = (mark.start, mark.end) if isinstance(mark, ArcMark) else (0.0, 360.0)
    turn = (end - start) % 360.0 or 360.0
    angle = np.radians(start + np.linspace(0.0, turn, max(3, int(turn / 7.5) + 2)))
    return np.c_[mark.center[0] + mark.radius * np.cos(angle), mark.center[1] - mark.radius * np.sin(angle)]


def counted(marks: tuple[Mark, ...]) -> str:
    """How many marks of each kind: as told of what was learnt."""
    names = {LineMark: "line", CircleMark: "circle", PolylineMark: "filled shape", TextMark: "text"}
    counts = [(sum(isinstance(mark, kind) for mark in marks), name) for kind, name in names.items()]
    return ", ".join(f"{count} {name}{'s' if count > 1 else ''}" for count, name in counts if count)
