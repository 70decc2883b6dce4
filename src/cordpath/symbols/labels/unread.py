"""Drawn letters beside an outlet that nobody read: they may be the GFI that it seems to lack.

The reader of lettering tells rows of letters that it cannot read; a label of two or three letters in an odd face,
or one whose line runs into its outlet's circle, is no row to it.  Here it is known where outlets are and what
their own lines are.  Terms: *glyph* and *row* as in letters/glyphs.py; *column*, glyphs one under the other, with
no glyph beside them: G over F over I.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely

from cordpath.geometry import directions, lengths
from cordpath.model import BoolArray, FloatArray, IntArray, Label, Point, Sheet, Symbol, Word
from cordpath.symbols.ink.grid import within
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.labels.branching import lost_at_braces
from cordpath.symbols.labels.leaders import Leaders, Loose
from cordpath.symbols.labels.nearness import unowned
from cordpath.symbols.labels.turns import on_page, reading_boxes
from cordpath.symbols.letters.drawn_letters import UPRIGHT
from cordpath.symbols.letters.glyphs import JOINED, TALLEST, WIDE, Glyphs, joined, turned, whole_rows
from cordpath.symbols.letters.scribbles import CLOSED, small_bows
from cordpath.symbols.matching.paint import Paint, has_bays

BESIDE = 14.0  # pt from an outlet to a label: most are within 1/8 in, and drawn letters are no wider than a label
LONGEST = 8  # letters, as in GFCI with a height or a tag; longer texts are names and notes
LOWEST = 2.5  # pt: letters under 1/28 in cannot be read on paper
TURNS, CROSSED = 3, 2  # directions of the strokes of a letter; of an E, F or H, which has as many strokes as that
SAME_WAY = np.radians(20.0)  # strokes whose directions agree so far are drawn in one
SAME_TURN = 3.0  # degrees: rows are found when seen as much askew; the base of four letters rises by a seventh
LIFTED = 0.8  # pt between strokes of a letter by a pen that is lifted at its corners; letters lie farther apart
LEAST_STROKE = 1.2  # pt, half the height of the lowest letters: shorter strokes are chords of bows
TRIED = 3  # turns of a quarter that most ink at an outlet is drawn in: its wall's, a label's and a neighbour's
PAPER = 0.25  # of the row's height: white paper around a label
PASSED, ALONG = 0.15, np.radians(5.0)  # the same to a line longer than the label that runs along it
DOT = 0.3  # of the row's height: the outline of a period
ALIKE = 0.15  # of the row's height: glyphs whose sizes agree so far are one mark, repeated
LOW, TALL = 0.7, 1.4  # of the row's height: how high a letter is that overlaps its neighbours, as slanted ones do
PITCH, ASTRAY = 1.0, 0.35  # of a letter's height: between letters of a column, and by which their middles differ
LOST = 24.0  # pt from a leader's end to the middle of what the reader of lettering lost, half a long label
AMISS = 2  # letters that were left out: one by itself is as often a letter that is drawn in two parts
LOWER = 20.0  # pt that a column of four letters, or a label with a tag, reaches farther than letters alone
COLUMN = 3  # letters of a column at least, as in GFI: two are a fraction or the ends of two labels
OF_MARK = frozenset("GFCI6OQ1LTJ0")  # what single letters of GFI are read as
TURNED = frozenset("UN")  # what a C is read as when seen from its side
WHY = "letters drawn beside it that could not be read"


def unread_beside(symbols: tuple[Symbol, ...], sheet: Sheet, ink: Ink, paint: Paint) -> tuple[Symbol, ...]:
    """The symbols; outlets of which nothing tells whether they are protected, with what may be letters at them or
    where a leader ends that begins at them."""
    asked = [k for k, symbol in enumerate(symbols) if symbol.found and symbol.is_outlet and not _told(symbol)]
    if not asked:
        return symbols
    strokes = np.concatenate([NOBODYS, *(symbol.strokes for symbol in symbols)])
    own = ink.segment_of[strokes]
    free = np.ones(len(ink.xy), bool)
    free[ink.count :] = False
    free[own[own >= 0]] = False
    bodies = shapely.STRtree([symbol.footprint for symbol in symbols])
    words = shapely.STRtree(on_page(*reading_boxes(sheet.words, np.arange(len(sheet.words)))))
    outlets, loose = [symbols[k].footprint for k in asked], Loose.of(sheet, unowned(symbols, sheet))
    unread = np.array(sheet.unread_at).reshape(-1, 2)
    led, lost = _led(outlets, loose), shapely.multipoints(unread)
    for outlet, place in lost_at_braces(unread, np.array(outlets, dtype=object), loose):
        led[outlet].append(place)

    def written(place: shapely.Geometry, angle: float) -> Point | None:
        """The middle of what may be letters beside a place."""
        for row, area, letters, column in _rows(place, angle, ink, paint, free, bodies):
            over = [sheet.words[n] for n in words.query(area, "intersects").tolist()]
            if (not over or _lacks(over, letters, column)) and _on_paper(row, area, ink, free):
                x, y = area.centroid.coords[0]
                return x, y
        return None

    out = list(symbols)
    for k, ends in zip(asked, led, strict=True):
        lost_at = (end.coords[0] for end in ends if lost.distance(end) <= LOST)
        at = next(lost_at, None) or next(
            filter(None, (written(place, symbols[k].angle) for place in (symbols[k].footprint, *ends))), None
        )
        if at is not None:
            label = Label("?", (at[0], at[1]), (("protection_unsure", WHY),))
            out[k] = replace(symbols[k], labels=(*symbols[k].labels, label))
    return tuple(out)


def _led(outlets: list[shapely.Polygon], loose: Loose) -> list[list[shapely.Point]]:
    """For each outlet where the leaders end that begin at it."""
    ends: list[list[shapely.Point]] = [[] for _ in outlets]
    which, at = Leaders.of(np.array(outlets, dtype=object), loose).far_ends()
    for outlet, end in zip(which.tolist(), at.tolist(), strict=True):
        ends[outlet].append(shapely.Point(end))
    return ends


def _told(symbol: Symbol) -> bool:
    said = {name for label in symbol.labels for name, _ in label.sets}
    return symbol.entry.protection is not None or any(name.startswith("protection") for name in said)


def _lacks(words: list[Word], letters: int, column: bool) -> bool:
    """Do the words over so many letters leave out what may be a mark's?  Drawn ones do that are fewer letters, all
    of them of those that GFI is read as, or two letters fewer: GFI A-12 read as GA-12.  Who reads each letter of a
    column reads none from its side."""
    said = [letter for word in words for letter in word.text.upper() if letter.isalnum()]
    if not all(word.is_drawn for word in words):
        return False
    if column:
        return len(said) == len(words) and set(said) <= (OF_MARK | TURNED if len(said) < letters else OF_MARK)
    return len(said) < letters and (set(said) <= OF_MARK or len(said) + AMISS <= letters)


def _rows(
    place: shapely.Geometry, angle: float, ink: Ink, paint: Paint, free: BoolArray, bodies: shapely.STRtree
) -> Iterator[tuple[IntArray, shapely.Polygon, int, bool]]:
    """Segments (none, of areas) of each row or column of what looks like letters beside a place, with those of
    letters that overlap them, the box around it, of how many glyphs it is, and whether a column.  ``angle``: the
    symbol's."""
    x0, y0, x1, y1 = place.bounds
    centre, reach = np.array([(x0 + x1) / 2, (y0 + y1) / 2]), max(x1 - x0, y1 - y0) / 2 + BESIDE + TALLEST
    lower = _short(ink, free, centre, reach + LOWER)
    k = lower[within(ink.xy[lower], centre[None], reach)]
    found = _with_lifted(joined(ink, k, TALLEST), joined(ink, k, TALLEST, LIFTED))
    filled = painted_glyphs(centre, reach, paint, bodies)
    whole = joined(ink, lower, TALLEST)
    for glyphs in (*found, filled, whole if len(lower) > len(k) else None):  # GFI A-12 reaches far
        if glyphs is None or not _may_be_letters(glyphs, ink):
            continue
        for turn in _angles(angle, glyphs):
            seen = glyphs.seen(turn)
            for row in whole_rows(seen):
                if (area := _area(seen, row, turn, place, ink, paint)) is not None:
                    own = [seen.segments[n] for n in _overlapping(seen, row)]
                    yield (NOBODYS if seen.filled else np.concatenate(own)), area, len(row), False
    for glyphs in (whole, filled):
        if glyphs is None or len(glyphs.xy) < COLUMN or not _may_be_letters(glyphs, ink):
            continue
        seen = glyphs.seen(0.0)  # whoever turns a label writes it in a row
        for row in _columns(seen):
            if (area := _area(seen, row, 0.0, place, ink, paint)) is not None:
                own = [seen.segments[n] for n in row]
                yield (NOBODYS if seen.filled else np.concatenate(own)), area, len(row), True


def painted_glyphs(centre: FloatArray, reach: float, paint: Paint, bodies: shapely.STRtree) -> Glyphs | None:
    """Painted areas near a place that touch no body of a symbol, each as a glyph; None where nothing is painted."""
    if not len(paint.shapes):
        return None
    near = np.sort(paint.tree.query(shapely.Point(centre), predicate="dwithin", distance=reach)).tolist()
    near = [n for n in near if not len(bodies.query(paint.shapes[n], "intersects"))]
    return Glyphs([paint.edges(n) for n in near], [np.array([n]) for n in near], np.zeros((len(near), 4)), True)


def _with_lifted(drawn: Glyphs | None, lifted: Glyphs | None) -> tuple[Glyphs | None, ...]:
    """Glyphs whose strokes touch, and those of a pen that is lifted, once where they are the same."""
    if drawn is None or lifted is None or len(drawn.xy) != len(lifted.xy):
        return drawn, lifted
    same = all(np.array_equal(a, b) for a, b in zip(drawn.segments, lifted.segments, strict=True))
    return (drawn,) if same else (drawn, lifted)


def _short(ink: Ink, free: BoolArray, centre: FloatArray, reach: float) -> IntArray:
    """The free segments near a place that may be strokes of letters."""
    k = np.unique(ink.grid.near(centre[None], reach)[1])
    k = k[free[k] & ~ink.hatch[k]]
    return k[np.where(ink.curved[k], letter_bows(ink, k), ink.run[k] <= TALLEST)]


def _area(
    seen: Glyphs, row: list[int], angle: float, place: shapely.Geometry, ink: Ink, paint: Paint
) -> shapely.Polygon | None:
    """The box around a row of what looks like letters; None for others, and for one too far from the place."""
    if len(row) > LONGEST or not _letters(seen, row, ink, paint):
        return None
    low, high = seen.box[row][:, :2].min(0), seen.box[row][:, 2:].max(0)
    corners = np.array([low, (low[0], high[1]), high, (high[0], low[1])]) @ turned(angle).T
    area = shapely.Polygon(corners)
    return area if shapely.distance(area, place) <= BESIDE else None


def letter_bows(ink: Ink, k: IntArray) -> BoolArray:
    """(n,) segments of bows that a letter may have: small ones, and however flat those that are no longer than a
    letter is large: the back of a large G, a bracket."""
    of = ink.arcs.circle_of(k)
    degrees = ink.arcs.circles[of, 3] if len(ink.arcs.circles) else np.zeros(len(k))
    slight = (of >= 0) & (degrees < CLOSED) & (ink.run[k] <= WIDE * TALLEST)
    return np.asarray(small_bows(ink, k) | slight, bool)


def _overlapping(seen: Glyphs, row: list[int]) -> list[int]:
    """The row with the glyphs as high as it that stand in it and overlap others, as those of slanted faces do."""
    low, high = seen.box[row].min(0), seen.box[row].max(0)
    tall = high[3] - low[1]
    own = seen.box[:, 3] - seen.box[:, 1]
    within = (seen.box[:, 0] > low[0] - tall) & (seen.box[:, 2] < high[2] + tall)
    within &= np.minimum(seen.box[:, 3], high[3]) - np.maximum(seen.box[:, 1], low[1]) >= LOW * tall
    more = np.flatnonzero(within & (own >= LOW * tall) & (own <= TALL * tall)).tolist()
    return sorted({*row, *more})


def _columns(seen: Glyphs) -> Iterator[list[int]]:
    """Columns of COLUMN glyphs or more, from top to bottom: closely one under the other, with nothing beside."""
    box, high = seen.box, seen.box[:, 3] - seen.box[:, 1]
    middle = (box[:, :2] + box[:, 2:]) / 2
    across, down = middle[None, :, 0] - middle[:, None, 0], middle[None, :, 1] - middle[:, None, 1]
    unit = np.maximum(high[:, None], high[None])
    beside = (np.abs(down) < ASTRAY * unit) & (np.abs(across) < 2 * unit) & ~np.eye(len(box), dtype=bool)
    alone = ~np.asarray(beside.any(1), bool)
    under = (
        (np.abs(across) <= ASTRAY * unit)
        & (box[None, :, 1] - box[:, None, 3] <= PITCH * unit)
        & (down > 0.5 * unit)
    )
    under &= (np.abs(high[:, None] - high[None]) <= ALIKE * unit) & alone & alone[:, None]
    after = np.where(under.any(1), np.argmin(np.where(under, down, np.inf), axis=1), -1)
    for first in np.flatnonzero(~under.any(0)).tolist():
        column = [first]
        while after[column[-1]] >= 0:
            column.append(int(after[column[-1]]))
        if len(column) >= COLUMN:
            yield column


def _angles(own: float, glyphs: Glyphs) -> tuple[float, ...]:
    """Degrees in which letters may be read: upright, along the symbol, which is at ``own``, or across it, and as
    most of their own strokes run: nearly every letter has one along its row or straight up from it."""
    xy = np.concatenate(glyphs.xy)
    long = lengths(xy)
    way = np.round(-np.degrees(directions(xy)) / SAME_TURN).astype(np.int64) % round(90.0 / SAME_TURN)
    drawn = np.bincount(way[long >= LEAST_STROKE], long[long >= LEAST_STROKE])
    most = [float(n) * SAME_TURN for n in np.argsort(-drawn, kind="stable")[:TRIED].tolist() if drawn[n] > 0]
    angles = [*UPRIGHT[:2], *(angle + across for angle in (own, *most) for across in (0.0, 90.0))]
    return tuple(dict.fromkeys(round(angle % 180.0, 6) for angle in angles))


def _letters(seen: Glyphs, row: list[int], ink: Ink, paint: Paint) -> bool:
    """Are two of the row shaped as letters are, and not one shape repeated?"""
    size = seen.box[row][:, 2:] - seen.box[row][:, :2]
    high = float(size[:, 1].max())
    if not LOWEST <= high <= TALLEST or (size > 1.7 * high).any():
        return False
    letters = int(are_letters(seen, row, ink, paint).sum())
    return letters >= 2 and bool((np.ptp(size, axis=0) > ALIKE * high).any() or _apart(seen, row))


def are_letters(seen: Glyphs, row: list[int], ink: Ink, paint: Paint, least: int = TURNS) -> BoolArray:
    """(r,) which glyphs of the row are shaped as letters; of strokes, none where none has ``least`` directions."""
    if seen.filled:
        return has_bays(paint.shapes[[int(seen.segments[n][0]) for n in row]])
    ways = np.array([_ways(seen.xy[n], ink.curved[seen.segments[n]]) for n in row], np.int64)
    lines = np.array([len(seen.xy[n]) for n in row], np.int64)
    return ((ways >= TURNS) | ((ways >= CROSSED) & (lines >= TURNS))) & (ways.max(initial=0) >= least)


def _may_be_letters(glyphs: Glyphs, ink: Ink) -> bool:
    """Have two of the glyphs strokes enough for ``are_letters``, from whatever side they are seen?"""
    if glyphs.filled:
        return len(glyphs.xy) >= 2
    return sum(len(k) + bool(ink.curved[k].any()) >= TURNS for k in glyphs.segments) >= 2


def _apart(seen: Glyphs, row: list[int]) -> bool:
    """Are they of different numbers of strokes?"""
    return len({len(seen.xy[n]) for n in row}) > 1


def _ways(xy: FloatArray, curved: BoolArray) -> int:
    """In how many directions its strokes are drawn; a bow counts for one more."""
    way = np.unique(np.floor(directions(xy) / SAME_WAY).astype(np.int64))
    return len(way) + bool(curved.any())


def _on_paper(row: IntArray, area: shapely.Polygon, ink: Ink, free: BoolArray) -> bool:
    """Is the row parted from all other ink by white paper?

    What lies wholly within it are bows of its letters, what is as small as a dot the periods of G.F.I.; and letters
    stand as near to the line of a wall or a counter that runs along them.
    """
    if not len(row):
        return True
    corners = shapely.get_coordinates(area)[:3]
    sides = np.hypot(*np.diff(corners, axis=0).T)
    high = float(sides.min())
    k = np.unique(ink.grid.near(shapely.get_coordinates(area.centroid), float(np.hypot(*sides)))[1])
    k = k[(k < ink.count) & free[k] & ~np.isin(k, row) & (ink.run[k] > DOT * high)]
    lines = shapely.linestrings(ink.xy[k].reshape(-1, 2, 2))
    k, lines = (each[~shapely.covered_by(lines, area.buffer(JOINED))] for each in (k, lines))
    along = directions(np.concatenate([corners[:2], corners[1:]]).reshape(2, 4))[int(np.argmax(sides))]
    off = np.abs((directions(ink.xy[k]) - along + np.pi / 2) % np.pi - np.pi / 2)
    passing = (off < ALONG) & (ink.run[k] > sides.max()) & ~ink.curved[k]
    room = np.where(passing, PASSED, PAPER) * high
    return not (shapely.distance(lines, area) < room).any()
