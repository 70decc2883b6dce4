"""Circles with something drawn or written in or at them that nothing explains: devices, however few are drawn.

A bare circle is a column, a burner or a drain.  A circle with a letter in it, with a line through its middle, on a
short stem or with a mark inside is drawn for a device, though it may be a light or an alarm (common practice, no
source): it is told, in one line for all that are drawn, one for each text, and one for all texts that stand once.

Terms: *mark*, ink that lies inside a circle as a whole; *stem* and *bar* as in barred_circles.py.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.geometry import distances, from_the_top
from cordpath.model import BoolArray, FloatArray, IntArray, LabelEntry, Point, Sheet, Unexplained
from cordpath.symbols.context import Walls
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.unexplained.barred_circles import STUB, on_stems, with_bars
from cordpath.symbols.unexplained.circles import ALIKE, RADIUS, Runs, outermost, runs_near
from cordpath.symbols.unexplained.closed_bodies import Bodies
from cordpath.symbols.unexplained.sheet_marks import sheet_marks
from cordpath.symbols.unexplained.unexplained import times_drawn

STEM = 2.0  # radii from the circle to the free end of a stem; leaders of bubbles are longer
CENTRED = 0.6  # of the radius: the middle of a text that is a circle's own
LONGEST_TEXT = 4  # letters, as in GFCI; longer ones are names that stand over a circle
MARK = 1.0  # radii of ink inside: less is a speck, or the end of another thing's line
INSIDE = 1.05  # of the radius: chords cut corners, and marks touch their circle
LEAST_PAINT = 0.02  # share of a circle that a letter's paint covers, of the thinnest face
RIM = 0.85  # of the radius: a line through a circle ends on the circle or beyond it


@dataclass(frozen=True, eq=False)
class Marked:
    """Circles of devices: ``circles`` (n, 3) middle and radius, and the text in each, empty where none is."""

    circles: FloatArray
    texts: tuple[str, ...]


def marked_circles(circles: FloatArray, ink: Ink, paint: Paint, sheet: Sheet, walls: Walls) -> Marked:
    """Those of the (n, 3) circles that have a text, a stem, a line through the middle or a mark."""
    drawn = np.zeros(len(circles), bool)
    texts = _texts(circles, sheet)
    if len(circles):
        runs = runs_near(circles, ink)
        drawn[on_stems(runs, circles, walls)] = True
        drawn[_lined(runs)] = True
        letter = _lettering(circles, sheet)
        texts = ["" if letter[k] else text for k, text in enumerate(texts)]
        inner = (_inner_ink(circles, ink) >= MARK * circles[:, 2]) | _painted(circles, paint)
        drawn = (drawn & ~letter) | inner  # no round letter has any
    may = np.flatnonzero(drawn | np.array([bool(text) for text in texts], bool))
    kept = may[outermost(circles[may])]
    return Marked(circles[kept], tuple(texts[k] for k in kept))


def marked_bodies(bodies: Bodies, ink: Ink, paint: Paint, sheet: Sheet) -> Marked:
    """Those of the bodies that have a text, bars, a line through the middle, a stem, more lines or a filled
    part."""
    rounds = bodies.rounds
    if not len(rounds):
        return Marked(rounds, ())
    runs = runs_near(rounds, ink, STUB)
    drawn = bodies.rich | bodies.painted(paint)
    drawn[np.r_[with_bars(runs), _lined(runs)]] = True
    texts = _texts(rounds, sheet)
    may = np.flatnonzero(drawn & ~_lettering(rounds, sheet) | np.array([bool(text) for text in texts], bool))
    kept = may[outermost(rounds[may])]
    return Marked(rounds[kept], tuple(texts[k] for k in kept))


def told_marked(marked: Marked, known: list[Point], word: str = "circle") -> tuple[Unexplained, ...]:
    """What to say of those that are not told yet; ``known``: places of what is."""
    if not len(marked.circles):
        return ()
    away = distances(marked.circles[:, :2], known)
    places: dict[str, list[Point]] = {}
    for k in np.flatnonzero(away > 1.5 * marked.circles[:, 2]).tolist():
        x, y, _ = marked.circles[k].tolist()
        places.setdefault(marked.texts[k], []).append((x, y))
    once = tuple(sorted(text for text, at in places.items() if text and len(at) == 1))
    groups: dict[tuple[str, ...], list[Point]] = {(text,): at for text, at in places.items() if text not in once}
    groups |= {once: [at for text in once for at in places[text]]} if once else {}
    return tuple(_said(*group, word) for group in sorted(groups.items()))


def larger_note(
    circles: FloatArray, ink: Ink, paint: Paint, sheet: Sheet, walls: Walls, labels: tuple[LabelEntry, ...]
) -> tuple[str, ...]:
    """What is said of (n, 3) circles larger than devices that have bars, a text, a line or a mark: basins, wheels,
    marks of sections and details as a rule, which are no question.  Marks of the sheet itself are left out."""
    if not len(circles):
        return ()
    barred = circles[np.unique(with_bars(runs_near(circles, ink)))]
    every = np.r_[barred, marked_circles(circles, ink, paint, sheet, walls).circles]
    count = len(outermost(every[~sheet_marks(every, sheet, labels)]))
    if not count:
        return ()
    several = f"{count} circles" if count > 1 else "a circle"
    return (
        f"{several} of more than {RADIUS[1]:.0f} pt in radius with letters, bars, a line or a mark: larger than "
        "devices are drawn, nothing was made of them",
    )


def _said(texts: tuple[str, ...], at: list[Point], word: str) -> Unexplained:
    letters = " or ".join(f"'{text}'" for text in texts if text)
    mark = f"the letters {letters}" if letters else "a line or a mark"
    times = f"{times_drawn(len(at))}{', each of them once' if len(texts) > 1 else ''}"
    places = from_the_top(at)
    return Unexplained(f"a {word} with {mark}, drawn {times}, that the mapping file does not name", places)


def _texts(circles: FloatArray, sheet: Sheet) -> list[str]:
    """The letters written in each circle; numbers are those of bubbles."""
    out = [""] * len(circles)
    words = [w for w in sheet.words if w.text.strip().isalpha() and len(w.text.strip()) <= LONGEST_TEXT]
    if not words or not len(circles):
        return out
    tree = cKDTree(np.array([word.at for word in words]))
    for circle, near in enumerate(tree.query_ball_point(circles[:, :2], CENTRED * circles[:, 2])):
        for word in sorted(near):
            out[circle] = words[word].text.strip()
    return out


def _lined(runs: Runs) -> IntArray:
    """Circles with a line through the middle that ends as far out on both sides, or on a short stem."""
    near, far = np.hypot(*runs.near.T), np.hypot(*runs.far.T)
    centred = np.abs(runs.aside) <= ALIKE * runs.radius
    opposite = (runs.near * runs.far).sum(axis=1) < 0
    through = opposite & (near >= RIM * runs.radius) & (far - near <= 2 * ALIKE * runs.radius)
    stem = ~opposite & (np.abs(near - runs.radius) <= 2 * ALIKE * runs.radius)
    stem &= far <= (1 + STEM) * runs.radius
    return runs.of[centred & (through | stem)]


def _inner_ink(circles: FloatArray, ink: Ink) -> FloatArray:
    """(n,) pt of ink that lies inside each circle and is not the circle's own."""
    circle, near = ink.grid.near(circles[:, :2], float(circles[:, 2].max()))
    drawn = near < ink.count
    circle, near = circle[drawn], near[drawn]
    ends = ink.xy[near].reshape(-1, 2, 2) - circles[circle, None, :2]
    away = np.hypot(ends[..., 0], ends[..., 1])
    radius = circles[circle, 2]
    inside = (away <= INSIDE * radius[:, None]).all(axis=1) & (ink.run[near] <= 2 * INSIDE * np.pi * radius)
    inside &= ~ink.hatch[near] & ~(np.abs(away - radius[:, None]) <= ALIKE * radius[:, None]).all(axis=1)
    return np.asarray(np.bincount(circle[inside], ink.lengths[near[inside]], len(circles)), float)


def _painted(circles: FloatArray, paint: Paint) -> BoolArray:
    """(n,) True for circles with something painted in them that does not fill them: outlined letters, for one."""
    share = np.zeros(len(circles))
    if len(paint.shapes):
        inner = shapely.buffer(shapely.points(circles[:, :2]), circles[:, 2])
        circle, piece = paint.tree.query(inner, predicate="covers")
        area = np.bincount(circle, paint.area[piece], len(circles))
        share = area / (np.pi * np.maximum(circles[:, 2], 1e-9) ** 2)
    return np.asarray((share >= LEAST_PAINT) & (share <= RIM**2), bool)


def _lettering(circles: FloatArray, sheet: Sheet) -> BoolArray:
    """(n,) True for round letters of words that are drawn."""
    drawn = [word for word in sheet.words if word.origin != "font" and len(word.text) > 1]  # what is read alone is
    # as often a circle with a line
    if not drawn:
        return np.zeros(len(circles), bool)
    boxes = shapely.box(*np.array([word.box for word in drawn]).T)
    boxes = shapely.buffer(boxes, np.array([0.15 * word.size for word in drawn]), join_style="mitre")
    middle, radius = circles[:, :2], circles[:, 2:3]
    bodies = shapely.box(*np.c_[middle - radius, middle + radius].T)
    circle, _ = shapely.STRtree(boxes).query(bodies, predicate="within")
    found = np.zeros(len(circles), bool)
    found[circle] = True
    return found
