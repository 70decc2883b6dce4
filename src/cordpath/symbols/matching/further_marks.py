"""Devices that have a mark more than their entry, at the same place as others of it: another design, of which the
mapping file has only a part.  What looks like a light with a stem may be an outlet.

Clutter lies anywhere about a symbol; a mark lies where the drafter put it, in every symbol of its design.

Terms: *line*, a straight run or a whole circle that no symbol explains; *chain* as in ``others_ink.py``; *finds*,
the winners of one template; *further mark*, a line at some finds' bodies, at one place in the template's frame.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.geometry import lines, midpoints
from cordpath.model import FIXTURE_KINDS, BoolArray, FloatArray, IntArray
from cordpath.symbols.letters.letters import Letters
from cordpath.symbols.matching.bodies import Bodies, together
from cordpath.symbols.matching.borrowed import JOINT
from cordpath.symbols.matching.chained import OUT, chains
from cordpath.symbols.matching.evidence import CERTAIN, LEAST_MARK, Candidate
from cordpath.symbols.matching.measuring import CLOSED
from cordpath.symbols.pose import SCALE, into_frame
from cordpath.symbols.templates.orbits import orbits

FOLLOWED = 3.5  # body radii within which chains are followed: one that goes beyond OUT leads elsewhere
AS_DRAWN = 0.9  # of the finds: a mark that more of them have is how the office draws the entry
EXPLAINED = 0.8  # share of a straight stroke on its marks from which it is a symbol's own
FURTHER = "a line that its entry does not have is drawn at the same place of others of it: another design?"


def with_further_marks(winners: tuple[Candidate, ...], letters: Letters) -> tuple[Candidate, ...]:
    """The winners, devices in doubt that have further marks; strokes of letters are none."""
    out = list(winners)
    inks = {id(c.ink): c.ink for c in winners}
    word = np.append(letters.drawn.line, -1)  # the last: of no stroke, where no words are known
    free = {k: word[np.minimum(ink.stroke, len(word) - 1)] < 0 for k, ink in inks.items()}
    finds: dict[tuple[int, int], list[int]] = {}
    for k, c in enumerate(winners):
        free[id(c.ink)][np.r_[_own(c), letters.strokes_of(c.words, c.ink)]] = False
        if c.coverage >= CERTAIN and c.template.entry.kind not in FIXTURE_KINDS and not c.template.text_only:
            finds.setdefault((id(c.ink), id(c.template)), []).append(k)
    for (ink, _), which in finds.items():
        some = [winners[k] for k in which]
        for k, marked in zip(which, _marked(some, free[ink]), strict=True):
            if marked and out[k].found:
                out[k] = out[k].doubted(FURTHER)
    return tuple(out)


def _own(c: Candidate) -> IntArray:
    """Segments that the candidate explains nearly from end to end: a bar along the edge of its paint goes on."""
    on = c.ink.curved[c.segments] | (c.lengths >= EXPLAINED * c.ink.lengths[c.segments])
    return np.intersect1d(c.segments[on], c.whole)


@dataclass(frozen=True, eq=False)
class _Lines:
    """``of``: the find that each is at; ``xy`` (l, 4) its ends on the page, the middle of a circle twice;
    ``radius`` (l,) pt, of a circle."""

    of: IntArray
    xy: FloatArray
    radius: FloatArray

    def where(self, kept: BoolArray) -> _Lines:
        return _Lines(self.of[kept], self.xy[kept], self.radius[kept])


def _marked(finds: Sequence[Candidate], free: BoolArray) -> BoolArray:
    """(n,) finds that have further marks, of ``free`` segments."""
    out, most = np.zeros(len(finds), bool), AS_DRAWN * len(finds)
    if most < 2:
        return out
    loose = [_lines_at(finds, which, bodies, free) for which, bodies in together(finds)]
    if not loose:
        return out
    every = _Lines(*(np.concatenate([getattr(each, name) for each in loose]) for name in ("of", "xy", "radius")))
    again = every.where(_finds_with(finds, every) > 1)
    again = again.where(~_behind(finds, again))
    times = _finds_with(finds, again)
    out[again.of[(times > 1) & (times <= most)]] = True
    return out


def _finds_with(finds: Sequence[Candidate], some: _Lines) -> IntArray:
    """(l,) at how many of the finds each of the lines is drawn, at whatever of the template's symmetric poses."""
    if not len(some.of):
        return some.of
    template = finds[0].template
    poses = orbits(template, np.array([c.pose for c in finds]))
    size = some.radius / poses[some.of, 0, SCALE]
    frames = [into_frame(poses[:, k], some.xy, some.of) for k in range(poses.shape[1])]
    turned = [np.c_[frame[:, order], size] for frame in frames for order in ([0, 1, 2, 3], [2, 3, 0, 1])]
    near = cKDTree(turned[0]).sparse_distance_matrix(
        cKDTree(np.concatenate(turned)), template.tolerance, p=np.inf, output_type="ndarray"
    )
    line, other = near["i"].astype(np.int64), some.of[near["j"] % len(some.of)]
    return np.bincount(np.unique(line * len(finds) + other) // len(finds), minlength=len(some.of))


def _lines_at(finds: Sequence[Candidate], which: Sequence[int], bodies: Bodies, free: BoolArray) -> _Lines:
    """The lines at ``bodies``, those of the finds numbered ``which``, of chains that lead nowhere else."""
    ink, radii = bodies.ink, bodies.radii
    around = bodies.near(FOLLOWED * radii)
    around = around.where((free & ~ink.hatch[: ink.count])[around.item])
    count, chain = chains(ink, around)
    xy, body = ink.xy[around.item], around.body
    far, held = np.zeros(count), np.zeros(count, bool)
    away = np.hypot(*(xy.reshape(-1, 2, 2) - bodies.centres[body, None]).transpose(2, 0, 1)).max(1)
    np.maximum.at(far, chain, away / radii[body])
    held[chain[shapely.distance(lines(xy), bodies.shapes[body]) < JOINT]] = True
    each = around.where((held & (far <= OUT))[chain]).by(ink.line_of).once()
    round_ = each.item >= len(ink.runs)
    circles = ink.arcs.circles[each.item[round_] - len(ink.runs)]
    out = _Lines(np.array(which)[each.body], np.zeros((len(each), 4)), np.zeros(len(each)))
    out.xy[~round_] = ink.runs[each.item[~round_]]
    out.xy[round_], out.radius[round_] = circles[:, [0, 1, 0, 1]], circles[:, 2]
    least = np.array([LEAST_MARK * c.template.small * float(c.pose[SCALE]) for c in finds])[out.of]
    kept = shapely.length(lines(out.xy)) + 2 * np.pi * out.radius >= least
    kept[round_] &= circles[:, 3] >= CLOSED
    return out.where(kept)


def _behind(finds: Sequence[Candidate], some: _Lines) -> BoolArray:
    """(l,) lines behind a longer one, as seen from the middle of their finds: hatch of the wall that an outlet
    stands on."""
    out = np.zeros(len(some.of), bool)
    for k in np.unique(some.of).tolist():
        c, mine = finds[k], np.flatnonzero(some.of == k)
        _, near = c.ink.grid.near(c.centre[None], OUT * c.radius)
        long = near[~c.ink.curved[near] & (c.ink.run[near] > 2 * OUT * c.radius)]
        sight = np.c_[np.broadcast_to(c.centre, (len(mine), 2)), midpoints(some.xy[mine])]
        out[mine] = shapely.intersects(lines(sight)[:, None], lines(c.ink.xy[long])).any(1)
    return out
