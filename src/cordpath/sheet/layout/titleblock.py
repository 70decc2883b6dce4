"""The title block: where it is, and the sheet number and title in it.

Terms: *strip*, a title block that runs the whole right or lower edge of the sheet.  *Label*, the small fixed words
of a title block (SHEET NO., DRAWN BY, DATE).

What title blocks look like is common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from cordpath.geometry import box_area, box_gap, grown, hull, middle_in_box
from cordpath.model import BASEMENT, CRAWL_SPACE, LOWER_LEVEL, Box
from cordpath.sheet.layout.ruled import Rules
from cordpath.sheet.text.textlines import Run, below

LABEL = re.compile(
    r"(?:SHEET|DRAWING|DWG|PROJECT|JOB|DRAWN|CHECKED|DESIGNED|APPROVED|REVISIONS?|REV|ISSUED?|DATE|CLIENT|SCALE|"
    r"PLOT(?:TED)?|PHASE|COMMISSION|CONSULTANT|ARCHITECT|ENGINEER|COPYRIGHT|SEAL|PERMIT)\b"
    r"(?P<what>(?:\s*(?:NO|NUMBER|NUM|#|TITLE|NAME|BY|DATE|SET|FOR|ADDRESS|CONTENTS?|TYPE|DESCRIPTION)\b\.?)*)"
    r"\s*[:#.]?.{0,40}"
)
NUMBER_LABEL = re.compile(r"(?:SHEET|DRAWING|DWG)\.?\s*(?:NO|NUMBER|NUM|#)?\.?\s*:?")
TITLE_LABEL = re.compile(r"(?:(?:SHEET|DRAWING|DWG)\.?\s*)?(?:TITLE|NAME|CONTENTS?|DESCRIPTION)\s*:?")
NUMBER = re.compile(r"[A-Z]{1,3}\s?[-.]?\s?\d{1,4}(?:[.-]\d{1,3})?[A-Z]?")
LABELLED_NUMBER = re.compile(
    r"(?:SHEET|DRAWING|DWG)\.?\s*(?:NO|NUMBER|NUM|#)?\.?\s*:?\s*(?P<number>[A-Z]{1,3}\s?[-.]?\s?\d{1,4}(?:[.-]\d{1,3})?[A-Z]?)"
)
TITLE_WORD = re.compile(
    r"\b(?:PLANS?|ELEVATIONS?|SECTIONS?|DETAILS?|SCHEDULES?|NOTES?|ELECTRICAL|POWER|LIGHTING|FLOOR|LEVEL|DIAGRAM|"
    rf"LAYOUT|{BASEMENT}|FOUNDATION|ROOF|COVER)\b"
)
PLAN_NAME = re.compile(rf"\b(?:PLANS?|LAYOUT|(?<!PER )FLOOR|LEVEL|STOR(?:E?Y|IES)|{BASEMENT}|{CRAWL_SPACE})\b")
BELOW = re.compile(rf"\b(?:{BASEMENT}|{CRAWL_SPACE})\b|{LOWER_LEVEL}")
TITLE_WORDS = 8  # a title block's title; longer is a note
OUTER_X, OUTER_Y = 0.70, 0.75  # of the page: title blocks lie right of, or below, this
NEAR_LARGEST = 0.8  # of the largest lettering: as large, for the eye (common practice, no source)
APART = 0.15  # of the page's longer side: a title block's labels and its scale stand nearer to each other
LARGEST = 0.30  # of the page area; a box that would be larger is not taken
LONG = 0.6  # of the page: a rule this long bounds a strip
FEWEST_LABELS = 2
FEWEST_LABELS_LEFT = 4  # kinds: twice as many, for no device may be hidden there
NOT_NUMBERS = re.compile(r"(?:R|REV|V|NO|PH|JOB|ADD|BR|BLDG|APT)\s?\d+")


@dataclass(frozen=True)
class TitleBlock:
    """``names``: boxes of what names a plan in a strip without labels, which is no title of a drawing."""

    box: Box | None
    number: str | None
    title: str | None
    names: tuple[Box, ...] = ()


def find(found: list[Run], rules: Rules, width: float, height: float) -> TitleBlock:
    """The title block of a page of this size; each part None where it is not there."""
    outer = [run for run in found if run.box[0] > OUTER_X * width or run.box[1] > OUTER_Y * height]
    left = [run for run in found if run.box[2] < (1.0 - OUTER_X) * width]
    box = _box(outer, left, rules, width, height)
    inner = [run for run in found if box is not None and middle_in_box(run.box, box)]
    number = _number(inner, width, height) or _number(_corner(found, width, height), width, height)
    title = _title(inner, number)
    if title is not None:
        return TitleBlock(box, number, title)
    bare, in_strip = _bare(found, rules, number, width, height)
    names = tuple(run.box for run in bare if in_strip and number is not None and _tight(run.said) != number)
    return TitleBlock(box, number, _title(bare, number), names)


def _bare(
    found: list[Run], rules: Rules, number: str | None, width: float, height: float
) -> tuple[list[Run], bool]:
    """The sheet's number and the runs that name a plan beside it, in a title block without labels; is it a strip.

    It is the smallest strip that holds the number, the lower right corner without one.  The floor that a title
    names tells of what rooms are part of: a basement's plan must not pass for another floor's.  A sheet without a
    number may have no title block, and what is written in its corner is believed only where it clears nothing.
    """
    corner = [run for run in found if run.box[0] > OUTER_X * width and run.box[1] > OUTER_Y * height]
    own = [run for run in corner if _tight(run.said) == number]
    strips = [box for box in _edges(rules, width, height) if any(middle_in_box(run.box, box) for run in own)]
    within = [run for run in found if middle_in_box(run.box, min(strips, key=box_area))] if strips else corner
    name = PLAN_NAME if number is not None else BELOW
    named = [run for run in within if name.search(run.said) and len(run.said.split()) <= TITLE_WORDS]
    return (named + own if named else []), bool(strips)


def _box(outer: list[Run], left: list[Run], rules: Rules, width: float, height: float) -> Box | None:
    labels = [run for run in outer if LABEL.fullmatch(run.said)]
    strips = _strips(labels, rules, width, height) or _left_strips(left, rules, width, height)
    if strips:
        return min(strips, key=box_area)
    best: Box | None = None
    for group in (
        [r for r in labels if r.box[0] > OUTER_X * width],
        [r for r in labels if r.box[1] > OUTER_Y * height],
    ):
        group = _one_scale(group, APART * max(width, height))
        if _kinds(group) < FEWEST_LABELS:
            continue
        box = _ruled(hull([run.box for run in group]), rules, width, height)
        if box is None:
            continue
        # The group that lies in both zones gives the smaller box.
        if best is None or box_area(box) < box_area(best):
            best = box
    return best


def _kinds(group: list[Run]) -> int:
    """Of how many kinds the labels are: SHEET TITLE and SHEET NO. are two."""
    return len({(run.said.split()[0].rstrip(":.#"), _asked(run)) for run in group})


def _asked(run: Run) -> str:
    """What a label asks for: TITLE of SHEET TITLE; empty where its first word says all."""
    match = LABEL.fullmatch(run.said)
    return match["what"].strip(" .") if match else ""


def _strips(labels: list[Run], rules: Rules, width: float, height: float) -> list[Box]:
    """Strips between a long rule and the edge of the page that hold labels of several kinds.

    What lies before the rule is drawing, whatever is written there: a drawing's scale note is a label too.
    """
    held = _edges(rules, width, height)
    return [box for box in held if _kinds([r for r in labels if middle_in_box(r.box, box)]) >= FEWEST_LABELS]


def _left_strips(left: list[Run], rules: Rules, width: float, height: float) -> list[Box]:
    """Strips between the left edge of the page and a long rule.

    Seldom used, and a drawing may stand there: more labels tell one, and no scale note, which drawings have.
    """
    labels = [run for run in left if LABEL.fullmatch(run.said)]
    found = []
    for x, y0, y1 in rules.upright[rules.upright[:, 0] < (1.0 - OUTER_X) * width].tolist():
        held = [run for run in labels if middle_in_box(run.box, (0.0, y0, x, y1))]
        noted = any(run.said.startswith("SCALE") for run in held)
        if y1 - y0 >= LONG * height and _kinds(held) >= FEWEST_LABELS_LEFT and not noted:
            found.append((0.0, y0, x, y1))
    return [box for box in found if box_area(box) <= LARGEST * width * height]


def _edges(rules: Rules, width: float, height: float) -> list[Box]:
    """Strips between a long rule and the right or lower edge of the page."""
    right = [
        (float(x), float(y0), width, float(y1)) for x, y0, y1 in rules.upright
        if y1 - y0 >= LONG * height and x > 0.6 * width
    ]  # fmt: skip
    low = [
        (float(x0), float(y), float(x1), height) for y, x0, x1 in rules.level
        if x1 - x0 >= LONG * width and y > 0.6 * height
    ]  # fmt: skip
    return [box for box in (*right, *low) if box_area(box) <= LARGEST * width * height]


def _one_scale(group: list[Run], farthest: float) -> list[Run]:
    """The labels with the one scale note among them that stands next to the others, and nearer than ``farthest``,
    pt: the rest belong to drawings."""
    scales = [run for run in group if run.said.startswith("SCALE")]
    rest = [run for run in group if run not in scales]
    if not scales or not rest:
        return group
    x0, y0, x1, y1 = hull([run.box for run in rest])

    def away(run: Run) -> float:
        return max(x0 - run.box[2], run.box[0] - x1, 0.0) + max(y0 - run.box[3], run.box[1] - y1, 0.0)

    nearest = min(scales, key=away)
    return [*rest, nearest] if away(nearest) < farthest else rest


def _ruled(core: Box, rules: Rules, width: float, height: float) -> Box | None:
    """Widen the hull of the labels to the rules around it."""
    box = grown(core, 3.0)
    tall = rules.upright[:, 2] - rules.upright[:, 1]
    broad = rules.level[:, 2] - rules.level[:, 1]
    left = _next(rules.upright[tall > 0.6 * (core[3] - core[1])], box[0], box[1], box[3])
    top = _next(rules.level[broad > 0.6 * (core[2] - core[0])], box[1], box[0], box[2])
    if left is not None and left[2] - left[1] >= LONG * height and left[0] > 0.6 * width:
        box = (float(left[0]), float(left[1]), width, float(left[2]))
    elif top is not None and top[2] - top[1] >= LONG * width and top[0] > 0.6 * height:
        box = (float(top[1]), float(top[0]), float(top[2]), height)
    else:
        x0 = float(left[0]) if left is not None and box[0] - left[0] < 0.15 * width else box[0]
        y0 = float(top[0]) if top is not None and box[1] - top[0] < 0.15 * height else box[1]
        box = (x0, y0, max(box[2], width) if box[2] > 0.85 * width else box[2],
               max(box[3], height) if box[3] > 0.85 * height else box[3])  # fmt: skip
    return box if box_area(box) <= LARGEST * width * height else None


def _next(lines: np.ndarray, edge: float, low: float, high: float) -> np.ndarray | None:
    """The rule nearest to ``edge``, before it, that runs along at least half of ``low`` to ``high``."""
    shared = np.minimum(lines[:, 2], high) - np.maximum(lines[:, 1], low)
    lines = lines[(shared > 0.5 * (high - low)) & (lines[:, 0] - edge <= 3.0)]
    return lines[np.argmin(np.abs(lines[:, 0] - edge))] if len(lines) else None


def _corner(found: list[Run], width: float, height: float) -> list[Run]:
    """Large text in the lower right corner, for sheets whose title block has no labels."""
    if not found:
        return []
    usual = float(np.median([run.size for run in found]))
    return [
        run for run in found
        if run.size >= 1.5 * usual and run.box[0] > 0.8 * width and run.box[1] > 0.8 * height
    ]  # fmt: skip


def _number(inner: list[Run], width: float, height: float) -> str | None:
    for run in inner:
        if match := LABELLED_NUMBER.fullmatch(run.said):
            return _tight(match["number"])
    candidates = [run for run in inner if NUMBER.fullmatch(run.said) and not NOT_NUMBERS.fullmatch(run.said)]
    if not candidates:
        return None
    labelled = {id(r) for label in inner if NUMBER_LABEL.fullmatch(label.said)
                for r in candidates if _belongs(label, r)}  # fmt: skip

    def rank(run: Run) -> tuple[bool, float, float]:
        return (id(run) in labelled, round(run.size, 1), run.box[0] / width + run.box[1] / height)

    return _tight(max(candidates, key=rank).said)


def _belongs(label: Run, run: Run) -> bool:
    """Does the run stand beside or below the label, within what a title block's cell holds."""
    dx, dy = run.box[0] - label.box[2], run.box[1] - label.box[3]
    beside = abs(run.middle - label.middle) < run.size and -1 < dx < 5 * run.size
    under = -run.size < dy < 3 * run.size and run.box[0] < label.box[2] + 6 * run.size and run.box[2] > label.box[0]
    return beside or under


def _tight(text: str) -> str:
    return re.sub(r"\s+", "", text)


def _title(inner: list[Run], number: str | None) -> str | None:
    rest = [run for run in inner if _tight(run.said) != number]
    for label in inner:
        if TITLE_LABEL.fullmatch(label.said):
            under = [run for run in below(rest, label, 8.0) if not LABEL.fullmatch(run.said)]
            if under:
                return _stacked(under[0], rest)
        if match := re.fullmatch(r"(?:SHEET|DRAWING|DWG)\.?\s*TITLE\s*:\s*(.+)", label.said):
            return match[1]
    named = [run for run in rest if TITLE_WORD.search(run.said) and not re.match(r"SCALE|DATE", run.said)]
    return _stacked(_name_of_sheet(named, inner, number), rest) if named else None


def _name_of_sheet(named: list[Run], inner: list[Run], number: str | None) -> Run:
    """Of the runs with the words of titles the largest; of those about as large, the one by the sheet's number.

    An office or a project may be named after plans as well, and stands away from the number.
    """
    largest = max(run.size for run in named)
    named = [run for run in named if run.size >= NEAR_LARGEST * largest]
    own = [run for run in inner if _tight(run.said) == number]
    if not own:
        return max(named, key=lambda run: (round(run.size, 1), run.middle))
    return min(named, key=lambda run: min(box_gap(run.box, at.box) for at in own))


def _stacked(run: Run, rest: list[Run]) -> str:
    """The run with the lines of the same size right above and below it."""
    column = [run]
    for step in (-1, 1):
        at = run
        while True:
            near = [
                r for r in rest
                if r not in column and abs(r.size - run.size) < 0.1 * run.size
                and 0.6 * run.size < step * (r.middle - at.middle) < 2.0 * run.size
                and r.box[0] < at.box[2] and r.box[2] > at.box[0] and not LABEL.fullmatch(r.said)
            ]  # fmt: skip
            if not near:
                break
            at = min(near, key=lambda r: abs(r.middle - at.middle))
            column.append(at)
    return " ".join(" ".join(r.text for r in sorted(column, key=lambda r: r.middle)).split())
