"""The drawings on a sheet.

Terms: *anchor*, the title and scale note of one drawing, level or *turned* with a drawing that lies sideways on its
sheet; *ink raster*, a coarse picture of where anything is drawn;
*cut*, a level or upright line through white paper that parts two drawings.

A drawing's title stands below it, seldom above (common practice).  The drawing area is cut recursively so that each
part holds one anchor, always through the least ink.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import compress, pairwise

import numpy as np

from cordpath.geometry import box_area, hull, middle_in_box
from cordpath.model import BASEMENT, CRAWL_SPACE, Box, FloatArray, Region, Strokes, View, Word
from cordpath.sheet.layout.noted import NO_RULES, is_bare, is_odd, note_of, note_start, title_of, written
from cordpath.sheet.layout.raster import Raster
from cordpath.sheet.layout.untitled import apart
from cordpath.sheet.text.textlines import Run, rows, runs
from cordpath.sheet.upright import Turn
from cordpath.units import ScaleNote, find_scale_note, parse_scale_note

MOST_ANCHORS = 24
LEAST_TAGS = (
    3  # texts as 1:15, which no drawing has for a scale: circuits of panel 1, and 1:4 beside them is one too
)
NOT_PLAN = re.compile(
    r"\b(?:DETAILS?|SECTIONS?|ELEVATIONS?|RISER|DIAGRAM|ISOMETRIC|ONE[- ]LINE|SINGLE[- ]LINE|SCHEMATIC|AXON\w*|"
    r"PERSPECTIVE|KEY ?PLAN|VICINITY|LOCATION MAP)\b"
)
ENLARGED = re.compile(r"\b(?:ENLARGED?|ENLARGEMENT|BLOW[- ]?UP|LARGE[- ]SCALE)\b")
# PLAN - POWER, of which a drawn dash is lost; OPEN PLAN LIVING is a room.
PLAN = re.compile(r".*\b(?:PLAN|LAYOUT)(?:\s*[-:,(].*|\s+[A-Z0-9]{1,2}|\s+(?:ELECTRICAL|POWER|LIGHTING))?")
STOREY = re.compile(r"(?:1ST|2ND|3RD|FIRST|SECOND|THIRD|MAIN|GROUND|LOWER|UPPER|TOP) (?:FLOOR|LEVEL|STOREY|STORY)")
LOWEST = re.compile(rf"{BASEMENT}(?: LEVEL| FLOOR)?|{CRAWL_SPACE}|ATTIC")  # names of rooms as well
SAME_SIZE = 0.1  # titles of one sheet are as large as each other
KEY_PLAN = re.compile(r"\b(?:KEY ?PLAN|VICINITY|LOCATION MAP)\b")
REFERENCE = re.compile(r"\b(?:SEE|PER|REFER)\b")
TITLE_SIZE = 1.15  # of the usual text size: a title without a note is larger than the labels of its plan
CROSSED = 0.02  # of a cut's length: section and grid lines may cross the paper between two drawings
LEAST = 0.01  # of the drawing area: a part with less ink spread than this is no drawing


@dataclass(frozen=True)
class Anchor:
    title: str
    note: ScaleNote | None
    note_text: str | None
    note_box: Box | None
    box: Box
    quarters: int = 0  # of a turn, counter-clockwise as seen, that the text reads at


def find(
    found: list[Run], words: tuple[Word, ...], strokes: Strokes, regions: tuple[Region, ...],
    title: str | None, size: tuple[float, float], level: FloatArray = NO_RULES,
) -> tuple[tuple[View, ...], tuple[Region, ...]]:  # fmt: skip
    """The views of the sheet, top to bottom and left to right, and regions for drawings that are no plans.

    ``level``: (n, 3) y, x0, x1 of level rules."""
    free = [run for run in found if not any(middle_in_box(run.box, region.box) for region in regions)]
    anchors = _anchors(free, level)
    anchors = (anchors + _turned_anchors(words, regions, anchors, size))[:MOST_ANCHORS]
    sheet_note = _sheet_note(found, regions)
    raster = Raster.of(strokes, words, regions, [anchor.box for anchor in anchors], size)
    whole = raster.extent(0, 0, *raster.shape)
    if whole is None:
        return (), ()
    parts = _parts(raster, anchors)
    views, others = [], []
    for anchor, box in parts:
        if anchor is not None and NOT_PLAN.search(anchor.title.upper()):
            drawing, beside = apart(raster, anchor.box, box)
            if len(parts) > 1 or beside is not None:
                kind = "key plan" if KEY_PLAN.search(anchor.title.upper()) else "detail"
                others.append(Region(kind, drawing, anchor.title))  # type: ignore[arg-type]
                views += [View("", title or "", beside, *sheet_note)] if beside is not None else []
                continue
        views.append(_view(anchor, box, title or "", sheet_note, alone=len(parts) == 1))
    views.sort(key=lambda view: (view.box[1], view.box[0]))
    return tuple(replace(view, id=f"v{n}") for n, view in enumerate(views, 1)), tuple(others)


def _view(
    anchor: Anchor | None, box: Box, title: str, sheet_note: tuple[str | None, Box | None], alone: bool
) -> View:
    """A plan with its own title and note, or the sheet's; ``alone``: the only drawing of the sheet."""
    if anchor is None:
        return View("", title, box, *sheet_note)
    note, at = (anchor.note_text, anchor.note_box) if anchor.note_text else sheet_note
    if not (alone or anchor.note_text) and ENLARGED.search(anchor.title.upper()):
        note, at = None, None  # that of the title block is the other drawings'
    return View("", anchor.title or title, box, note, at)


# ------------------------------------------------------------------------------------------------- anchors


def _anchors(free: list[Run], level: FloatArray = NO_RULES) -> list[Anchor]:
    """Titles with a scale note, then large titles without one."""
    noted: list[Anchor] = []
    used: set[int] = set()
    largest = 0.0
    notes = [(run, note, title_of(run, note, free, level)) for run in free if (note := note_of(run)) is not None]
    bare = [is_bare(run, note) and not any(_names_drawing(r.said) for r in title) for run, note, title in notes]
    odd = [alone and is_odd(note) for alone, (_, note, _) in zip(bare, notes, strict=True)]
    none = bare if sum(odd) >= LEAST_TAGS else odd
    for run, note, title in compress(notes, (not each for each in none)):
        used.update({id(run)} | {id(r) for r in title})
        largest = max([largest, *[r.size for r in title]])
        own = run.said[: note_start(run)].strip(" -:,") if note.text != run.text else ""
        named = " ".join([*(r.text.strip() for r in reversed(title)), own]).strip()
        boxes = [run.box, *[r.box for r in title]]
        noted.append(Anchor(named, note, written(run, own), run.box, hull(boxes)))
    return noted + _bare_titles([run for run in free if id(run) not in used], free, largest)


def _turned_anchors(
    words: tuple[Word, ...], regions: tuple[Region, ...], level: list[Anchor], size: tuple[float, float]
) -> list[Anchor]:
    """Titles that read upwards, downwards or upside down, of drawings that a level title does not name already."""
    known = {anchor.title.upper() for anchor in level}
    found: list[Anchor] = []
    for quarters in (1, 2, 3):
        turn = Turn(quarters, *size)
        across = tuple(word for word in words if round(word.angle / 90.0) % 4 == quarters)
        boxes = [turn.box(region.box) for region in regions]
        free = [
            run for run in rows(runs(turn.words(across))) if not any(middle_in_box(run.box, box) for box in boxes)
        ]
        back = turn.back.box
        for anchor in _anchors(free):
            said = anchor.title.upper()
            if said in known or not (_names_drawing(said) or LOWEST.fullmatch(said)):
                continue
            note_box = back(anchor.note_box) if anchor.note_box is not None else None
            found.append(replace(anchor, box=back(anchor.box), note_box=note_box, quarters=quarters))
    return found


def _bare_titles(rest: list[Run], free: list[Run], largest: float) -> list[Anchor]:
    """Large lines that name a drawing, about as large as the largest title that has a note."""
    if not free:
        return []
    usual = float(np.median([run.size for run in free]))
    large = [run for run in rest if run.size >= TITLE_SIZE * usual and len(run.text) <= 60]
    titles = [run for run in large if _names_drawing(run.said) and not REFERENCE.search(run.said)]
    if not titles:
        return []
    sizes = [run.size for run in titles if not NOT_PLAN.search(run.said)]
    titles += [
        run for run in large
        if LOWEST.fullmatch(run.said) and any(abs(run.size / size - 1) <= SAME_SIZE for size in sizes)
    ]  # fmt: skip
    largest = max([largest, *[run.size for run in titles]])
    return [Anchor(run.text.strip(), None, None, None, run.box) for run in titles if run.size >= 0.8 * largest]


def _names_drawing(said: str) -> bool:
    return bool(PLAN.fullmatch(said) or STOREY.fullmatch(said) or NOT_PLAN.search(said))


def _sheet_note(found: list[Run], regions: tuple[Region, ...]) -> tuple[str | None, Box | None]:
    """The scale that the title block gives for the whole sheet."""
    blocks = [region.box for region in regions if region.kind == "title block"]
    for run in found:
        if any(middle_in_box(run.box, box) for box in blocks):
            note = parse_scale_note(run.text) or find_scale_note(run.text)
            if note is not None:
                return run.text.strip(), run.box
    return None, None


# ---------------------------------------------------------------------------------------------------- cuts

_Cells = tuple[int, int, int, int]  # top, left, bottom, right


def _parts(raster: Raster, anchors: list[Anchor]) -> list[tuple[Anchor | None, Box]]:
    whole: _Cells = (0, 0, *raster.shape)
    under = {quarters: _titles_below(raster, anchors, quarters) for quarters in range(4)}
    cut = _cut(raster, anchors, whole, under)
    parts = [(anchor, box) for anchor, cells in cut if (box := raster.extent(*cells)) is not None]
    return [part for part in parts if _is_drawing(raster, part[1])] or parts[:1]


def _is_drawing(raster: Raster, box: Box | None) -> bool:
    return box is not None and box_area(box) >= LEAST * raster.ink.size * raster.cell**2


def _titles_below(raster: Raster, anchors: list[Anchor], quarters: int) -> bool:
    """Do the drawings whose titles read at this turn stand above them, as seen when they are read.

    Compared: ink above the first title, and below the last.
    """
    mine = [anchor for anchor in anchors if anchor.quarters == quarters]
    if not mine:
        return True
    axis = quarters % 2  # sideways titles stand right or left of their drawings
    ink = raster.ink.T if axis else raster.ink
    first = int(min(anchor.box[1 - axis] for anchor in mine) / raster.cell)
    last = int(max(anchor.box[3 - axis] for anchor in mine) / raster.cell) + 1
    before, after = int((ink[:first] > 0).sum()), int((ink[last:] > 0).sum())
    return before >= after if quarters < 2 else after >= before


def _far_side(one: Anchor, two: Anchor, level: bool, under: dict[int, bool]) -> int:
    """Of two neighbours with the titles that a cut parts: 1 where each stands after its drawing, so that the white
    paper right after the first belongs to neither; -1 where each stands before it; 0 where neither is known."""
    if one.quarters != two.quarters or one.quarters % 2 == level:
        return 0
    return 1 if under[one.quarters] == (one.quarters < 2) else -1


def _cut(
    raster: Raster, anchors: list[Anchor], cells: _Cells, under: dict[int, bool]
) -> list[tuple[Anchor | None, _Cells]]:
    """Split until each part holds one anchor; without one, the part as it is.

    Of cuts through as little ink, those are taken that leave something drawn on both sides, and not a title alone.
    """
    if len(anchors) <= 1:
        return [(anchors[0] if anchors else None, cells)]
    options = [option for level in (True, False) for option in _options(raster, anchors, cells, level, under)]
    if not options:
        return [(anchors[0], cells)]
    (ink, _), *_ = min(options)
    fair = [option for option in options if option[0][0] == ink]
    whole = [
        o for o in fair if all(_is_drawing(raster, raster.extent(*half)) for half in _halves(cells, o[1], o[2]))
    ]
    _, level, at = min(whole or fair)
    first, second = _halves(cells, level, at)
    axis = 1 if level else 0
    before = [a for a in anchors if (a.box[axis] + a.box[axis + 2]) / 2 < at * raster.cell]
    after = [a for a in anchors if a not in before]
    return _cut(raster, before, first, under) + _cut(raster, after, second, under)


def _halves(cells: _Cells, level: bool, at: int) -> tuple[_Cells, _Cells]:
    top, left, bottom, right = cells
    if level:
        return (top, left, at, right), (at, left, bottom, right)
    return (top, left, bottom, at), (top, at, bottom, right)


def _options(
    raster: Raster, anchors: list[Anchor], cells: _Cells, level: bool, under: dict[int, bool]
) -> list[tuple[tuple[float, int], bool, int]]:
    """Cuts that part neighbouring anchors: (ink crossed, minus white width), direction, place."""
    top, left, bottom, right = cells
    part = raster.ink[top:bottom, left:right] > 0
    profile, origin = (part.sum(axis=1), top) if level else (part.sum(axis=0), left)
    axis = 1 if level else 0
    ordered = sorted(anchors, key=lambda anchor: (anchor.box[axis], anchor.box[axis + 2]))
    found = []
    for one, two in pairwise(ordered):
        low, high = (
            int(np.ceil(one.box[axis + 2] / raster.cell - origin)),
            int(two.box[axis] / raster.cell - origin),
        )
        if high <= low:
            continue
        window = profile[max(low, 0) : high + 1]
        if not len(window):
            continue
        across = part.shape[1 - axis]
        white = np.flatnonzero(window <= window.min() + CROSSED * across)
        groups = np.split(white, np.flatnonzero(np.diff(white) > 1) + 1)
        side = _far_side(one, two, level, under)
        if side:
            pick = groups[0] if side > 0 else groups[-1]  # the white paper next to the title, on its far side
        else:
            pick = min(groups, key=lambda group: (int(window[group].min()), -len(group)))
        best = pick[window[pick] == window[pick].min()]
        at = int(best[len(best) // 2]) + max(low, 0) + origin
        found.append(((round(float(window[pick].min()) / across, 2), -len(pick)), level, at))
    return found
