"""Weak shapes: what must hold before a wall, a label or a layer may settle a circle with a line."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from scipy.spatial import cKDTree

from cordpath.geometry import lengths, midpoints
from cordpath.model import OUTLET_KINDS, POINTS_PER_INCH, BoolArray, FloatArray
from cordpath.symbols.context import Walls, facing, oriented
from cordpath.symbols.ink.normalise import NOBODYS
from cordpath.symbols.letters.letters import FAR, Letters
from cordpath.symbols.matching.borrowed import (
    JOINT,
    OWN_ENDS,
    borrowed_lines,
    drawn_on,
    drawn_over,
    ends_elsewhere,
    ends_meet,
    passing_lines,
    runs_on_lines,
)
from cordpath.symbols.matching.evidence import RUN_ON, Candidate
from cordpath.symbols.matching.hatch_rows import are_rows, no_siblings, out_of_step, rows_across
from cordpath.symbols.matching.in_step import without_rows
from cordpath.symbols.pose import SCALE, place

ENOUGH = 3  # outlets without doubt that tell at what size a sheet is plotted
# Expected number on a sheet of shapes that lie so by chance: one in twenty sheets.  A line that ends between two
# strokes of others is believed below it if it ends where the mark ends.
MOST_BY_CHANCE = 0.05
# Share of a line, and pt, by which lines that flank it may be off its ends: drawn by eye, rounded, and of one pen.
FLANK = 0.05, 0.35
BESIDE, SAME_LENGTH = 14.0, 0.3  # pt between rows of a hatch, at most, and two roundings of its rows' lengths
# Sines of angles between lines that are parallel, and square to each other, to 3 degrees: see SAME_TICK in ticks.py
SQUARE, ALIGNED = math.sin(math.radians(3.0)), math.cos(math.radians(3.0))
ONE_SIZE, SIZE_SLACK = 0.04, 0.12  # relative, and pt of radius (a step of the plotter's grid): of one size


def settled_by_place(c: Candidate, walls: Walls, device_layer: bool, letters: Letters) -> Candidate:
    """A plain outlet with nothing against it but its plainness is no doubt where it stands on a wall, or on a layer
    of devices, and its line is its own and ends where the mark ends.

    Known before the candidates of one place are compared: a richer design that half the ink of a wall nearby makes
    up must not take the place of one that is drawn in full.
    """
    weak = c.template.entry.kind in OUTLET_KINDS and not c.template.text_only and bool(c.doubts)
    if not weak or not all(d.weak for d in c.doubts):
        return c
    if not (device_layer or oriented(facing(c.template), c.poses, walls)[1]) or _line_in_doubt(c, letters):
        return c
    return replace(c, doubts=())


def plain_checked(winners: tuple[Candidate, ...], letters: Letters) -> tuple[Candidate, ...]:
    """Weak shapes that are not quite what the mapping file draws: no wall, label or layer settles those.

    Their lines must be their own and end where the marks end, and they must have the size of the outlets about
    which there is no doubt, where there are some: a sheet is plotted at one size.
    """
    sure = [c for c in winners if c.found and c.template.entry.kind in OUTLET_KINDS and not c.template.weak]
    sizes = np.array([_plotted(c) for c in sure if c.template.ratio is None])
    winners = without_rows([c.doubted(RUN_ON, soft=True) if _in_passing(c) else c for c in winners])
    plain = [c.template.weak and all(d.weak for d in c.doubts) for c in winners]
    return tuple(_plain(c, sizes, letters) if weak else c for c, weak in zip(winners, plain, strict=True))


def with_passing_lines(c: Candidate) -> Candidate:
    """A painted shape whose lines are all in passing is in doubt before others of its place are heard: paint on a
    wall is not the paint with a stem, and must not take the place of another that is drawn in full."""
    return c.doubted(RUN_ON, soft=True) if c.template.drawn.fills and _in_passing(c) else c


def _in_passing(c: Candidate) -> bool:
    """Is every line of the outlet drawn by one that goes on beyond both its ends, or beyond one of them beside such
    a line, or by a row of hatch that ends elsewhere: two faces of walls over a circle, or one where a hatch ends?

    Evidence looks for that close to the ends only, where a line that is a little off its place is not seen.
    """
    if not c.found or c.template.text_only or c.template.entry.kind not in OUTLET_KINDS:
        return False
    c = _without_rows_along(c)
    penned = c.template.drawn.penned
    passing = passing_lines(c)[penned]
    if passing.any() and not passing.all():
        passing |= passing_lines(c, once=True)[penned] & ends_elsewhere(c)[penned]
    if not passing.all() and not ends_meet(c):
        passing |= drawn_by_hatch(c)[penned]
    return len(passing) > 0 and bool(passing.all())


def drawn_by_hatch(c: Candidate) -> BoolArray:
    """(l,) of the candidate's lines: drawn by rows of a hatch."""
    (rows,) = rows_across([replace(c, whole=NOBODYS)])
    hatch = c.segments[c.ink.hatch[c.segments] & ~c.ink.curved[c.segments]]
    drawn = drawn_on(c, np.r_[rows, hatch[~no_siblings(c, hatch)]])
    return drawn & ~_out_of_step(c) if drawn.any() else drawn


def _out_of_step(c: Candidate) -> BoolArray:
    """(l,) of the candidate's lines: they lie where a hatch nearby may have a row, and end where the mark ends and
    no row would.  Where a hatch ends anyhow, some of its rows do by chance."""
    hatch = c.segments[c.ink.hatch[c.segments] & ~c.ink.curved[c.segments]]
    if not len(hatch) or not ends_meet(c, OWN_ENDS) or by_chance(c, ragged=True) >= MOST_BY_CHANCE:
        return np.zeros(len(c.template.drawn.lines), bool)
    return drawn_on(c, hatch[out_of_step(c, hatch)])


def _plain(c: Candidate, sizes: FloatArray, letters: Letters) -> Candidate:
    if c.template.text_only:
        return c
    doubt = _line_in_doubt(c, letters)
    if doubt is not None:
        return c.doubted(doubt)
    slack = max(ONE_SIZE, SIZE_SLACK / c.radius)
    if c.template.ratio is None and len(sizes) >= ENOUGH and (np.abs(sizes / _plotted(c) - 1) > slack).all():
        size, usual = _plotted(c), float(np.median(sizes))
        return c.doubted(
            f"it is drawn at {size:.2f} of the size in the mapping file, and other outlets at {usual:.2f}"
        )
    return c


def _line_in_doubt(c: Candidate, letters: Letters) -> str | None:
    c = _without_rows_along(c)
    if borrowed_lines(c).any() and not _surely_own(c) and _held_by_others(c, letters):
        return "its line runs on or may belong to something else"
    hatch = drawn_by_hatch(c)
    if _flanked(c):
        return "lines like its own are drawn on both sides of it"
    if len(hatch) and hatch.all():  # its ends meet the mark's only because the whole hatch is as wide
        return "its line may be a row of hatch"
    return None if ends_meet(c) else "its line is longer or shorter than in the mapping file"


def _without_rows_along(c: Candidate) -> Candidate:
    """The candidate without rows of hatch that lie along its lines, where others draw these from end to end."""
    over = drawn_over(c)
    own = np.setdiff1d(runs_on_lines(c), over)
    if not len(over) or not are_rows(c, over, own).all() or are_rows(c, own).any():
        return c
    rows = ~c.ink.curved[c.segments] & np.isin(c.ink.run_of[c.segments], over)
    return replace(c, segments=c.segments[~rows], lengths=c.lengths[~rows])


def _flanked(c: Candidate) -> bool:
    """Do two lines more lie beside the one of a circle, as far from it on both sides, level with it at their far
    end and with the other end level or on the circle: a receptacle of three lines that are written nearer to each
    other?  Rows of a hatch are none of them."""
    template, ink = c.template, c.ink
    if len(template.drawn.penned) != 1 or len(template.circles) != 1:
        return False
    (middle,) = place(c.pose[None], template.circles[:, :2])[0]
    line = place(c.pose[None], template.drawn.lines[template.drawn.penned[0]].reshape(2, 2))[0]
    near_end, far_end = line[np.argsort(np.hypot(*(line - middle).T))]
    length, radius = float(np.hypot(*(far_end - near_end))), float(template.circles[0, 2] * c.pose[SCALE])
    along = (far_end - near_end) / length
    slack = FLANK[0] * length + FLANK[1]
    _, segment = ink.grid.near(((near_end + far_end) / 2)[None], length / 2 + radius)
    own = runs_on_lines(c)
    straight = segment[segment < ink.count]
    run = np.setdiff1d(ink.run_of[straight[~ink.curved[straight]]], own)
    ends = ink.runs[run].reshape(-1, 2, 2) - near_end
    at, off = ends @ along, ends @ np.array([-along[1], along[0]])
    level = (np.abs(at.max(1, initial=-np.inf) - length) < slack) & (np.abs(off[:, 0] - off[:, 1]) < slack)
    low = ends[np.arange(len(run)), at.argmin(1)] + near_end - middle if len(run) else np.zeros((0, 2))
    level &= (np.abs(at.min(1, initial=np.inf)) < slack) | (np.abs(np.hypot(*low.T) - radius) < slack)
    beside = off.mean(1)
    level &= (np.abs(beside) > slack) & (np.abs(beside) < radius + slack)
    two = np.flatnonzero(level)[(np.abs(beside[level][:, None] + beside[level]) < slack).any(1)]
    return len(two) > 0 and not bool(are_rows(c, run[two], own).all())


def _surely_own(c: Candidate) -> bool:
    """Do its lines end where the marks end, turning no corner, on a sheet that hardly shows the like by chance?

    Nobody's line turns into a row of hatch, but a row may end where a bar does: both end on the wall.
    """
    if not ends_meet(c, OWN_ENDS) or by_chance(c) >= MOST_BY_CHANCE:
        return False
    return not borrowed_lines(c, between=False, letters=rows_across([c])[0]).any()


def _held_by_others(c: Candidate, letters: Letters) -> bool:
    """Does a line run on, turn a corner or end between others, which are no rows of hatch nor letters of words?"""
    known = [own for _, own in letters.drawn_about(c.template, c.pose, c.ink)]
    words = tuple(k for k in letters.near(c.centre, c.radius + FAR) if letters.small(k))
    written = np.concatenate([*known, letters.strokes_of(words, c.ink)])
    return bool(borrowed_lines(c, but=rows_across([c])[0], letters=written).any())


def by_chance(c: Candidate, ragged: bool = False) -> float:
    """How many shapes like the candidate the sheet would show if its straight lines lay anywhere on it.

    The expected number of pairs of a circle of its radius and a line of its length, the line's middle falling where
    the mark has it: within ``OWN_ENDS`` along the line, within the tolerance across.  A circle has no direction of
    its own, so that any line will do; for more than one line this is an upper bound.  Rows of hatch are none of
    those lines: a mark that is one is doubted for that.  With ``ragged``, those without another of their length
    beside them are.
    """
    ink, scale = c.ink, float(c.pose[SCALE])
    anchor = c.template.circles[:1]
    if not len(anchor) or not len(c.template.drawn.lines):
        return math.inf
    length = float(lengths(c.template.drawn.lines).max()) * scale
    slack = OWN_ENDS[0] * length + OWN_ENDS[1]
    near = np.flatnonzero(np.abs(ink.run_lengths - length) < 2 * slack)
    hatch = ink.hatch_runs[near]
    lines = ink.runs[near[~hatch]]
    if ragged:
        lines = np.r_[lines, _alone(ink.runs[near[hatch]])]
    if (own := _square_line(c)) is not None:
        off = _sines(lines, own)
        lines = lines[(off < SQUARE) | (off > ALIGNED)]
    radius = float(anchor[0, 2]) * scale
    circles = ink.arcs.circles[np.abs(ink.arcs.circles[:, 2] / radius - 1) < max(ONE_SIZE, SIZE_SLACK / radius)]
    there = 2 * slack * 2 * c.template.tolerance
    return _elsewhere(c, lines, circles, slack) * len(circles) * there / max(1.0, ink.extent)


def _square_line(c: Candidate) -> FloatArray | None:
    """(4,) its longest line, where that ends on one that goes on to both sides of it, square to it; else None."""
    ink, lines = c.ink, c.template.drawn.lines
    longest = place(c.pose[None], lines[np.argmax(lengths(lines))].reshape(2, 2))[0]
    end, k = ink.grid.near(longest, JOINT)
    end, k = end[k < ink.count], k[k < ink.count]
    run = ink.runs[ink.run_of[k[~ink.curved[k]]]]
    at, way = longest[end[~ink.curved[k]]], run[:, 2:] - run[:, :2]
    size = np.maximum(lengths(run), 1e-9)
    before = ((at - run[:, :2]) * way).sum(1) / size
    both = np.minimum(before, size - before) >= c.radius
    line = longest.reshape(-1)
    return line if bool((both & (_sines(run, line) > ALIGNED)).any()) else None


def _sines(lines: FloatArray, other: FloatArray) -> FloatArray:
    """(n,) of the angles between lines (n, 4) and another (4,)."""
    way, own = lines[:, 2:] - lines[:, :2], other[2:] - other[:2]
    size = np.maximum(lengths(lines) * np.hypot(*own), 1e-9)
    return np.asarray(np.abs(way[:, 0] * own[1] - way[:, 1] * own[0]) / size)


def _alone(rows: FloatArray) -> FloatArray:
    """Those of the rows of hatch (n, 4) that have none of their length beside them."""
    if not len(rows):
        return rows
    apart = np.c_[midpoints(rows), lengths(rows) * (BESIDE / SAME_LENGTH)]
    nearest = cKDTree(apart).query(apart, k=2, distance_upper_bound=BESIDE)[0][:, 1]
    return rows[~np.isfinite(nearest)]


def _elsewhere(c: Candidate, lines: FloatArray, circles: FloatArray, slack: float) -> int:
    """How many of the lines do not lie at one of the circles, with their middle in it or no farther from its middle
    than that of the candidate's line: those are bars of its like and of other outlets, and no accidents that would
    happen elsewhere as often."""
    if not len(lines) or not len(circles):
        return len(lines)
    longest = c.template.drawn.lines[np.argmax(lengths(c.template.drawn.lines))]
    off = float(np.hypot(*(longest.reshape(2, 2).mean(0) - c.template.circles[0, :2]))) * float(c.pose[SCALE])
    within = max(off + slack, float(c.template.circles[0, 2] * c.pose[SCALE]))
    nearest = cKDTree(circles[:, :2]).query(midpoints(lines), distance_upper_bound=within)[0]
    return int(np.isinf(nearest).sum())


def _plotted(c: Candidate) -> float:
    """Drawn size over the size in the mapping file."""
    return float(c.pose[SCALE]) * c.template.unit / POINTS_PER_INCH
