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
from cordpath.model import BoolArray, FloatArray, LabelEntry, Point, Sheet, Unexplained
from cordpath.symbols.context import Walls
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.unexplained.barred_circles import on_wall_stems, with_bars
from cordpath.symbols.unexplained.circles import RADIUS, outermost, runs_near
from cordpath.symbols.unexplained.closed_bodies import AT_CIRCLE, Shapes, heads, holding, on_stems, radii
from cordpath.symbols.unexplained.minor import LONGEST_TAG, TAGS, of_tags
from cordpath.symbols.unexplained.sheet_marks import sheet_marks
from cordpath.symbols.unexplained.unexplained import times_drawn

CENTRED = 0.6  # of the radius: the middle of a text that is a circle's own
LONGEST_TEXT = 4  # letters, as in GFCI; longer ones are names that stand over a circle


@dataclass(frozen=True, eq=False)
class Marked:
    """Circles of devices: ``circles`` (n, 3) middle and radius, and the text in each, empty where none is."""

    circles: FloatArray
    texts: tuple[str, ...]


def marked_circles(circles: FloatArray, ink: Ink, paint: Paint, sheet: Sheet, walls: Walls) -> Marked:
    """Those of the (n, 3) circles that have a text, a stem, a line in them or a filled part."""
    shape = shapely.buffer(shapely.points(circles[:, :2]), circles[:, 2])
    stems = on_stems(shape, ink, AT_CIRCLE)
    stems[on_wall_stems(runs_near(circles, ink), circles, walls)] = True
    return _marked(circles, stems | holding(shape, ink, paint), sheet)


def marked_bodies(shape: Shapes, ink: Ink, paint: Paint, sheet: Sheet) -> Marked:
    """Those of the bodies that have one; of triangles as small as arrowheads those with a text."""
    middle = shapely.get_coordinates(shapely.centroid(shape)).reshape(-1, 2)
    rounds = np.c_[middle, radii(shape)]
    drawn = (on_stems(shape, ink) | holding(shape, ink, paint)) & ~heads(shape)
    return _marked(rounds, drawn, sheet)


def _marked(rounds: FloatArray, drawn: BoolArray, sheet: Sheet) -> Marked:
    letter = _lettering(rounds, sheet)
    texts = ["" if letter[k] else text for k, text in enumerate(_texts(rounds, sheet))]
    may = np.flatnonzero(drawn & ~letter | np.array([bool(text) for text in texts], bool))
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
    short = {text: at for text, at in places.items() if 0 < len(text) <= LONGEST_TAG}
    if word != "circle" and of_tags([text for text, at in short.items() for _ in at]):
        at = from_the_top([place for text in short for place in places.pop(text)])
        what = f"{len(at)} shapes {TAGS}, that the mapping file does not name"
        return (*_by_texts(places, word), Unexplained(what, at, minor=True))
    return _by_texts(places, word)


def _by_texts(places: dict[str, list[Point]], word: str) -> tuple[Unexplained, ...]:
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
