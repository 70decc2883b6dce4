"""How much of a template lies on ink at a pose.

Term: *coverage*, the share of a template's length that has ink within the tolerance and of a like direction
(0 to 1).
"""

from __future__ import annotations

import math

import numpy as np

from cordpath.model import BoolArray, FloatArray
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.pieces import Beside, Near, Pieces, pieces
from cordpath.symbols.templates.template import Template


def coverage(template: Template, ink: Ink, poses: FloatArray, near: Near | None = None) -> FloatArray:
    """(n,) coverage of every pose; ``near``: the ink beside its marks, if it is known."""
    out = np.zeros(len(poses))
    for part, p in pieces(template, ink, poses, 0.5 * template.step, near, marks=True):
        beside = Beside.of(template, p)
        hit = _hit(template, p, beside, beside.touching(template, template.tolerance), part.stop - part.start)
        out[part] = (spread(template, hit) * template.weight).sum(1) / template.ink
    return out


def coarse(template: Template, p: Pieces, beside: Beside, count: int) -> FloatArray:
    """(count,) coverage with the tolerance of a pose that is not fitted yet."""
    hit = _hit(template, p, beside, beside.touching(template, 0.7 * template.reach, 0.5), count)
    return np.asarray((spread(template, hit, coarse=True) * template.weight).sum(1) / template.ink, float)


def _hit(template: Template, p: Pieces, beside: Beside, on: np.ndarray, count: int) -> BoolArray:
    """(count, samples) which of them have ink on them."""
    hit = np.zeros((count, len(template.points)), bool)
    hit[p.of_pose[p.row[beside.piece[on]]], beside.sample[on]] = True
    return hit


def spread(template: Template, hit: BoolArray, coarse: bool = False) -> BoolArray:
    """Samples closer together than the pieces of ink share their hits with neighbours of the same element."""
    fine = (template.weight < 0.6 * template.step) & (template.weight > 0)
    same = template.element[1:] == template.element[:-1]
    rounds = 1 if coarse else 0
    if fine.any():
        need = math.ceil(0.5 * template.step / max(0.02, float(template.weight[fine].min())))
        rounds = max(rounds, min(need, 4))
    wanted = np.ones(len(fine), bool) if coarse else fine
    for _ in range(rounds):
        wider = hit.copy()
        wider[:, 1:] |= hit[:, :-1] & same & wanted[1:]
        wider[:, :-1] |= hit[:, 1:] & same & wanted[:-1]
        hit = wider
    return hit
