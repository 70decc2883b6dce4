"""Plain bodies without their letters that stand where a device would: not symbols of the mapping file, but told.

Terms: *bare body*, a circle or an arc, alone or with one line, whose letters are not there; *stem*, its one line;
*foot*, the stem's end away from the circle.

A circle without the J is no junction box, so nothing is made of it.  But a circle on a stem that ends on a wall is
how outlets are drawn, and a circuit tag beside a circle is not written for a column: either is told.  So are the
bodies of a picked example that lack its letters as often as others have them, or whose lines are many: the letters
may be a word that was written there for something else.
"""

from __future__ import annotations

from collections import Counter

import numpy as np
import shapely

from cordpath.geometry import in_box, lengths
from cordpath.model import OUTLET_KINDS, FloatArray, LabelEntry, Point, Sheet, Symbol, Unexplained
from cordpath.symbols.context import ACROSS, BEYOND, BODIES, Walls
from cordpath.symbols.labels.words import read
from cordpath.symbols.letters.strangers import STRANGER
from cordpath.symbols.matching.evidence import CERTAIN, Candidate
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.unexplained.bubbles import in_bubbles

EXPLAINED = 0.5  # share of the body's ink on strokes of symbols from which those explain it
TAG = 3.0  # body radii, and of the text size: a circuit tag stands so near the middle of its device
# Lines of an example's body from which it is told without its letters: fewer are any door tag or column; and more
# than a window has, from which it is told although the letters stand at another place too.
LINES, MANY_LINES = 3, 6
FEWEST = 2  # lines of a body that no other place draws with the letters of its example: they are likely strangers
DEVICE_PT = 14.4  # pt of body radius, 0.2 in: no device is drawn larger on paper (common practice, no source)


def untold(
    bare: list[Candidate], symbols: tuple[Symbol, ...], sheet: Sheet, walls: Walls, labels: tuple[LabelEntry, ...]
) -> tuple[Unexplained, ...]:
    """Bare bodies of the size of a device, with a stem to a wall or a circuit tag, that no symbol explains."""
    mine = np.zeros(len(sheet.strokes), bool)
    for symbol in symbols:
        mine[symbol.strokes] = True
    words = _Words(sheet, labels)
    seen: list[Candidate] = []
    for c in sorted((c for c in bare if _device(c)), key=lambda c: -len(c.template.drawn.lines)):
        if not _explained(c, mine, symbols) and not any(_same(c, o) for o in seen) and _at_home(c, sheet, words):
            seen.append(c)
    lacking = Counter(c.template.name for c in seen)
    told: dict[tuple[str, str], list[Point]] = {}
    for c in seen:
        if len(c.template.drawn.arcs) == 1 and (_on_wall(c, walls) or _tagged(c, words, symbols)):
            where = ", where a device would stand"
        elif _letters_perhaps_strange(c, sheet, symbols, lacking[c.template.name]):
            letters = " ".join(repr(value) for value, _, _ in c.template.drawn.texts)
            where = f", which its box holds: is {letters} its own, or a word of something else"
        else:
            continue
        told.setdefault((c.template.name, where), []).append((float(c.centre[0]), float(c.centre[1])))
    return tuple(_said(*what, sorted(at, key=lambda p: (p[1], p[0]))) for what, at in sorted(told.items()))


def _said(name: str, where: str, at: list[Point]) -> Unexplained:
    times = f", {len(at)} times" if len(at) > 1 else ""
    return Unexplained(f"a shape like '{name}' without its letters{where}{times}", tuple(at))


def _device(c: Candidate) -> bool:
    """An outlet's body of its size on paper, drawn in full and with nothing but its own lines; its own letters may
    stand at another place in it: of an example that took in a word of something else, they do."""
    plotted = c.template.entry.kind in OUTLET_KINDS and c.template.ratio is None
    own = {STRANGER.format(value) for value, _, _ in c.template.drawn.texts}
    disturbed = any((d.inside or d.soft) and d.what not in own for d in c.doubts)
    return plotted and c.coverage >= CERTAIN and not disturbed and c.radius <= DEVICE_PT


def _letters_perhaps_strange(c: Candidate, sheet: Sheet, symbols: tuple[Symbol, ...], lacking: int) -> bool:
    """Has the body enough lines to be looked at, and are the letters of its example found at no more other places
    of its sheet than lack them, or has it so many lines that it would be a device without?"""
    picked = c.template.entry.picked
    if picked is None or (picked.file, picked.page) != (sheet.file, sheet.page):
        return False
    if c.template.elements >= MANY_LINES:
        return True
    box = shapely.box(*picked.box)
    same = (s for s in symbols if s.found and s.entry.name == c.template.name)
    others = sum(not box.intersects(s.footprint) for s in same)
    return others <= lacking and c.template.elements >= (LINES if others else FEWEST)


def _explained(
    c: Candidate, mine: np.ndarray[tuple[int, ...], np.dtype[np.bool_]], symbols: tuple[Symbol, ...]
) -> bool:
    total = float(c.lengths.sum())
    if total and float(c.lengths[mine[c.ink.stroke[c.segments]]].sum()) >= EXPLAINED * total:
        return True
    middle = shapely.Point(c.centre)
    small = np.array([s.footprint for s in symbols if s.entry.size == "plotted"], dtype=object)
    return bool((shapely.distance(small, middle) < 0.5 * c.radius).any())


def _same(c: Candidate, other: Candidate) -> bool:
    return float(np.hypot(*(c.centre - other.centre))) < max(c.radius, other.radius)


def _at_home(c: Candidate, sheet: Sheet, words: _Words) -> bool:
    """On the plan, and with no number inside: bubbles of keynotes, doors and grids have one."""
    at = (float(c.centre[0]), float(c.centre[1]))
    if any(in_box(at, region.box) for region in sheet.regions):
        return False
    numbered = words.number & (words.away(c) < c.radius)
    return any(in_box(at, view.box) for view in sheet.views) and not numbered.any()


def _on_wall(c: Candidate, walls: Walls) -> bool:
    """Does the foot of its stem stand on something wall-like that runs across it?"""
    lines = c.template.drawn.lines
    if len(lines) != 1 or not len(walls.runs):
        return False
    circle = c.template.drawn.arcs[0, :2]
    ends = lines[0].reshape(2, 2)
    order = np.argsort(np.hypot(*(ends - circle).T))
    near, foot = place(c.pose[None], ends[order])[0]
    stem = (foot - near) / max(1e-9, float(np.hypot(*(foot - near))))
    reach = c.template.radius * float(c.pose[SCALE])
    _, k = walls.grid.near(foot[None], BEYOND)
    k = np.unique(k)
    runs = walls.runs[k][walls.length[k] > BODIES * reach]
    if not len(runs):
        return False
    along = (runs[:, 2:] - runs[:, :2]) / lengths(runs)[:, None]
    gap = shapely.distance(shapely.linestrings(runs.reshape(-1, 2, 2)), shapely.Point(foot))
    return bool(((np.abs(along @ stem) < ACROSS) & (gap < BEYOND)).any())


class _Words:
    """The sheet's words by place; what they say is read where it is asked for, since most stand at no body."""

    def __init__(self, sheet: Sheet, labels: tuple[LabelEntry, ...]) -> None:
        self.labels = labels
        self.text = [word.text.strip() for word in sheet.words]
        self.at: FloatArray = sheet.words_at
        self.size: FloatArray = np.array([word.size for word in sheet.words], float)
        self.number = in_bubbles(sheet)

    def away(self, c: Candidate) -> FloatArray:
        """(n,) pt from the middle of the body to that of each word."""
        return np.hypot(*(self.at - c.centre).T)

    def tags(self, c: Candidate) -> list[int]:
        """Words near the body that are circuit tags whatever the sheet's style."""
        near = np.flatnonzero(self.away(c) <= TAG * np.maximum(c.radius, self.size))
        readings = [(int(k), read(self.text[k], self.labels)) for k in near]
        return [k for k, reading in readings if reading is not None and reading.kind == "circuit"]


def _tagged(c: Candidate, words: _Words, symbols: tuple[Symbol, ...]) -> bool:
    """Is there a circuit tag beside it that stands nearer to it than to any outlet?"""
    away = words.away(c)
    for k in words.tags(c):
        tag = shapely.Point(words.at[k])
        if all(float(shapely.distance(s.footprint, tag)) > away[k] - c.radius for s in symbols if s.is_outlet):
            return True
    return False
