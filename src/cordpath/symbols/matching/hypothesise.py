"""Where may a template lie?  Poses from pairs of features that are cheap to find and hard to lose.

Terms: *base*, a pair of features that fixes a pose: a circle and a line near it, two circles, a corner, or a lone
run.  The features of the template are found by the same normalising as the sheet's, so that what merges there
merges here.  Radius and offset windows are points on paper, scaled with the template; measured on plots that are
rounded to 1/600 in.
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from scipy.spatial import cKDTree

from cordpath.geometry import lengths
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.about_circles import AboutCircles
from cordpath.symbols.pose import NO_POSES, about
from cordpath.symbols.templates.features import LEAST_LINE, Features
from cordpath.symbols.templates.template import Template

TRIED = 200  # circles of the sheet that show first whether there are too many poses
TURNS = 72  # directions tried where nothing tells the direction: the fit does not find a stem from 5 degrees off
SPLINTERED = 3.0  # times the least piece: a line this long is a line, however short the pieces it is drawn in


class Places:
    """Poses of templates on one sheet's ink."""

    def __init__(self, ink: Ink) -> None:
        self.ink = ink
        self._about = AboutCircles(ink)

    def poses(self, template: Template) -> FloatArray:
        """(n, 5) poses worth a closer look; the same place may come several times."""
        if template.text_only or not self.ink.count:
            return NO_POSES
        found: list[FloatArray] = []
        for own, places in self._sought(template):
            found += places._from_circles(template, own) + places._from_lines(template, own)
        return self._allowed(template, found)

    def _sought(self, template: Template) -> list[tuple[Features, Places]]:
        """By which of its features the template is looked for, and among whose.

        Paint needs no pen: edges of fills are lines of the sheet only where they are drawn as well, and are looked
        for among the edges of its paint.
        """
        sought = [(template.angular, self)] if template.angular else []
        if not template.drawn.fills:
            return [(template.features, self), *sought]
        # Of equal poses the first is kept.  The stem of a solid shape alone is drawn all over the sheet.
        pen = template.penned if template.penned.tell else template.features
        edges = [each for each in (template.cornered, template.painted) if each is not None]
        return [*sought, *((own, self.painted) for own in edges), (pen, self)]

    @cached_property
    def painted(self) -> Places:
        """Places among the edges of the sheet's small fills alone."""
        return Places(self.ink.painted)

    def few_poses(self, template: Template, most: int) -> FloatArray | None:
        """The poses, None where they are more than ``most``.  The circles that a shape may have on a lettered sheet
        are many, and the first of them show that they are too many."""
        own = template.features
        circles = max((len(self._circles(template, *anchor[2:4])[0]) for anchor in own.anchors), default=0)
        tried = TRIED
        while tried < circles:
            count = len(self._allowed(template, self._from_circles(template, own, tried)))
            if count > most:
                return None
            if count * circles <= most * tried:
                break  # all of them hardly make too many
            tried *= 4
        poses = self.poses(template)
        return poses if len(poses) <= most else None

    def _allowed(self, template: Template, found: list[FloatArray]) -> FloatArray:
        """Those at a size that the template may have."""
        poses = np.concatenate(found) if found else NO_POSES
        scale = poses[:, 4]
        return poses[(scale > 0.97 * template.lowest) & (scale < 1.03 * template.highest)]

    def _from_lines(self, template: Template, own: Features) -> list[FloatArray]:
        found: list[FloatArray] = []
        if own.by_lines or template.radius > 12:
            found += [self._from_corner(template, own.ink, a, b) for a, b in own.corners]
        if own.by_lines:  # corners may be broken: lines of the right length are tried as well
            found += self._from_runs(template, own.lines)
        return found

    def _circles(self, template: Template, radius: float, degrees: float) -> tuple[IntArray, FloatArray]:
        """Circles of the sheet that may be one of the template, and the scale that they tell."""
        circles = self.ink.arcs.circles
        slack = min(0.12 + 0.02 * radius, 0.04 + 0.04 * radius)
        ok = (circles[:, 2] >= radius * template.lowest - slack) & (
            circles[:, 2] <= radius * template.highest + slack
        )
        k = np.flatnonzero(ok & (circles[:, 3] >= min(0.6 * degrees, 250)))
        return k, np.clip(circles[k, 2] / radius, template.lowest, template.highest)

    def _from_circles(self, template: Template, own: Features, first: int | None = None) -> list[FloatArray]:
        """``first``: only from as many of the sheet's circles."""
        found: list[FloatArray] = []
        for anchor in own.anchors:
            k, scale = self._circles(template, anchor[2], anchor[3])
            k, scale = k[:first], scale[:first]
            if not len(k):
                continue
            at = self.ink.arcs.circles[k, :2]
            if template.round:
                poses = np.c_[np.zeros((len(k), 4)), scale]
                found.append(about(poses, anchor[:2], at))
                continue
            lines = own.partner_lines(anchor)
            others = own.partner_circles(anchor)
            found += [self._circle_line(template, anchor, k, scale, line) for line in lines]
            if len(lines) < 2:
                found += [self._two_circles(template, anchor, k, scale, other) for other in others]
            if not len(lines) and not len(others):
                found.append(_every_turn(anchor[:2], at, scale))
        return found

    def _circle_line(
        self, template: Template, anchor: FloatArray, k: IntArray, scale: FloatArray, line: FloatArray
    ) -> FloatArray:
        """Poses from circles ``k`` and lines as far from their centres as ``line`` is from the anchor's."""
        small = template.small
        unit = (line[2:] - line[:2]) / float(np.hypot(*(line[2:] - line[:2])))
        offset = float(-(line[0] - anchor[0]) * unit[1] + (line[1] - anchor[1]) * unit[0])
        length = float(np.hypot(*(line[2:] - line[:2])))
        away = _distance(anchor[:2], line)
        c, s = self._about.within(k, 2.0 * math.ceil((away + 1.0) * template.highest / 2))
        ink = self.ink
        long = ink.run[s] >= 0.35 * length * scale[c]
        c, s = c[long], s[long]
        turn = ink.heading[s]
        centre = ink.arcs.circles[k[c], :2]
        gap = -(ink.xy[s, 0] - centre[:, 0]) * np.sin(turn) + (ink.xy[s, 1] - centre[:, 1]) * np.cos(turn)
        z = scale[c]
        window = 0.35 * small + 0.1 + abs(offset) * 0.06 / max(anchor[2], 1.0)  # the radius tells the scale roughly
        ok = np.abs(np.abs(gap) - abs(offset) * z) < window
        ok &= (ink.lengths[s] > LEAST_LINE * small) | _of_splinters(ink, c, s, small)
        turn, centre, gap, z = turn[ok], centre[ok], gap[ok], z[ok]
        if abs(offset) > 1.5 * anchor[2]:  # a line far from the centre tells it better
            z = np.clip(np.abs(gap) / abs(offset), template.lowest, template.highest)
        out = []
        for mirror in (0, 1):
            own = math.atan2(unit[1], -unit[0] if mirror else unit[0])
            want = -offset if mirror else offset
            for back in (0, 1):
                fits = np.abs(want * z - (-gap if back else gap)) < 0.4 * small + 0.1
                m = int(fits.sum())
                pose = np.c_[np.zeros((m, 2)), turn[fits] - own + np.pi * back, np.full(m, mirror), z[fits]]
                out.append(about(pose, anchor[:2], centre[fits]))
        return np.concatenate(out)

    def _two_circles(
        self, template: Template, anchor: FloatArray, k: IntArray, scale: FloatArray, other: FloatArray
    ) -> FloatArray:
        j, _ = self._circles(template, other[2], other[3])
        if not len(j):
            return NO_POSES
        between = other[:2] - anchor[:2]
        distance = float(np.hypot(*between))
        circles = self.ink.arcs.circles
        slack = 0.5 * template.small + 0.15
        near = cKDTree(circles[k, :2]).sparse_distance_matrix(
            cKDTree(circles[j, :2]), distance * template.highest + slack, output_type="ndarray"
        )
        near = near[np.lexsort((near["j"], near["i"]))]
        c, partner = near["i"], j[near["j"]]
        step = circles[partner, :2] - circles[k[c], :2]
        ok = np.abs(np.hypot(step[:, 0], step[:, 1]) - distance * scale[c]) < slack
        c, step = c[ok], step[ok]
        turn = np.arctan2(step[:, 1], step[:, 0])
        out = []
        for mirror in (0, 1):
            own = math.atan2(between[1], -between[0] if mirror else between[0])
            pose = np.c_[np.zeros((len(c), 2)), turn - own, np.full(len(c), mirror), scale[c]]
            out.append(about(pose, anchor[:2], circles[k[c], :2]))
        return np.concatenate(out)

    def _from_corner(self, template: Template, own: Ink, a: int, b: int) -> FloatArray:
        """Poses that lay the template's corner of half-edges a, b on corners of the sheet."""
        ink = self.ink
        corner = own.ends[a]
        la, lb = float(own.run[a % own.count]), float(own.run[b % own.count])
        bend = _wrapped(own.heading[b] - own.heading[a])
        first, ra, rb, seen, slack = self._corners
        long = np.flatnonzero((ra > 0.8 * la * template.lowest) & (rb > 0.8 * lb * template.lowest))
        first, ra, rb, seen, slack = first[long], ra[long], rb[long], seen[long], slack[long]
        out = []
        for mirror in (0, 1):
            fits = np.abs(_wrapped(seen - (-bend if mirror else bend))) < slack
            turn_own = math.atan2(math.sin(own.heading[a]), (-1 if mirror else 1) * math.cos(own.heading[a]))
            for which, scale in _scales(ra[fits] / la, rb[fits] / lb, template.lowest, template.highest):
                half = first[fits][which]
                turn = ink.heading[half] - turn_own
                pose = np.c_[np.zeros((len(half), 2)), turn, np.full(len(half), mirror), scale]
                out.append(about(pose, corner, ink.ends[half]))
        return np.concatenate(out) if out else NO_POSES

    @cached_property
    def _corners(self) -> tuple[IntArray, FloatArray, FloatArray, FloatArray, FloatArray]:
        """Every corner of the sheet from either side: its first half-edge, the lengths of both runs, and the bend
        between them with how far it may be off, radians."""
        ink = self.ink
        first, second = ink.corners.T.ravel(), ink.corners[:, ::-1].T.ravel()
        ra, rb = ink.run[first % max(1, ink.count)], ink.run[second % max(1, ink.count)]
        slack = math.radians(3) + 0.1 / np.maximum(1.5, ra) + 0.1 / np.maximum(1.5, rb)
        return first, ra, rb, _wrapped(ink.heading[second] - ink.heading[first]), slack

    def _from_runs(self, template: Template, lines: FloatArray) -> list[FloatArray]:
        """Lay the longest of ``lines`` on runs of its length, whatever happens at its ends."""
        if not len(lines):
            return []
        line = lines[int(np.argmax(lengths(lines)))]
        long = float(np.hypot(*(line[2:] - line[:2])))
        runs = self.ink.runs
        size = lengths(runs)
        ok = (size > long * template.lowest - 0.5) & (size < long * template.highest + 0.5)
        runs, scale = runs[ok], np.clip(size[ok] / long, template.lowest, template.highest)
        turn = np.arctan2(runs[:, 3] - runs[:, 1], runs[:, 2] - runs[:, 0])
        middle, unit = (line[:2] + line[2:]) / 2, line[2:] - line[:2]
        out = []
        for mirror in (0, 1):
            own = math.atan2(unit[1], -unit[0] if mirror else unit[0])
            for back in (0.0, np.pi):
                pose = np.c_[np.zeros((len(runs), 2)), turn - own + back, np.full(len(runs), mirror), scale]
                out.append(about(pose, middle, (runs[:, :2] + runs[:, 2:]) / 2))
        return out


def _wrapped(angle: FloatArray | float) -> FloatArray:
    return (np.asarray(angle) + np.pi) % (2 * np.pi) - np.pi


def _distance(point: FloatArray, line: FloatArray) -> float:
    d = line[2:] - line[:2]
    t = float(np.clip(((point - line[:2]) @ d) / max(1e-12, float(d @ d)), 0, 1))
    return float(np.hypot(*(line[:2] + t * d - point)))


def _every_turn(point: FloatArray, at: FloatArray, scale: FloatArray) -> FloatArray:
    turns = np.arange(TURNS) * (2 * np.pi / TURNS)
    n = len(at)
    pose = np.c_[np.zeros((n * TURNS * 2, 2)), np.tile(np.repeat(turns, 2), n), np.tile([0, 1], n * TURNS),
                 np.repeat(scale, TURNS * 2)]  # fmt: skip
    return about(pose, point, np.repeat(at, TURNS * 2, axis=0))


def _scales(
    by_first: FloatArray, by_second: FloatArray, lowest: float, highest: float
) -> list[tuple[IntArray, FloatArray]]:
    """Scales that a corner's two sides tell; a side that runs on into a wall tells none."""
    ok1 = (by_first > lowest * 0.985) & (by_first < highest * 1.015)
    ok2 = (by_second > lowest * 0.985) & (by_second < highest * 1.015)
    agree = ok1 & ok2 & (np.abs(by_first - by_second) < 0.02)
    middle = min(max(1.0, lowest), highest)
    out = [(np.flatnonzero(agree), (by_first + by_second)[agree] / 2),
           (np.flatnonzero(ok1 & ~agree), by_first[ok1 & ~agree]),
           (np.flatnonzero(ok2 & ~agree), by_second[ok2 & ~agree]),
           (np.flatnonzero(~ok1 & ~ok2), np.full(int((~ok1 & ~ok2).sum()), middle))]  # fmt: skip
    return [(k, np.clip(s, lowest, highest)) for k, s in out if len(k)]


def _of_splinters(ink: Ink, circle: IntArray, segment: IntArray, least: float) -> BoolArray:
    """(p,) of pairs of a circle and a piece near it: one for each line that is drawn in pieces up to ``least``."""
    out = np.zeros(len(segment), bool)
    short = np.flatnonzero((ink.lengths[segment] <= least) & (ink.run[segment] > SPLINTERED * least))
    pair = circle[short] * (int(ink.run_of.max(initial=0)) + 1) + ink.run_of[segment[short]]
    out[short[np.unique(pair, return_index=True)[1]]] = True
    return out
