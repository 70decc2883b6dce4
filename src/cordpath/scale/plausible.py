"""Is a scale plausible, seen from what a house is made of?

Terms: *written size*, the length and width or the area that stands in a room.  *Leaf*, of a door.  These prove no
scale: sizes are rounded and measured between other faces, and leaves come in many widths.  But a scale under which
the rooms are half as large as is written in them, or the doors twice as wide as doors are, is wrong.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely

from cordpath.geometry import hull, in_box, sides_around
from cordpath.model import (
    POINTS_PER_INCH,
    FloatArray,
    FloorPlan,
    Room,
    Scale,
    ScaleEvidence,
    Sheet,
    View,
    Word,
    lines_of,
)
from cordpath.scale.leaves import leaf_widths
from cordpath.units import INCHES_PER_METRE, inches, plain

CONTRADICTS = 0.10  # relative: written sizes are to other faces of the walls, and rounded
SQUARE = 0.9  # of its least rectangle: a room that fills less has no one length and width
SAME_SHAPE = 0.15  # log of the aspect ratio: a written size of another shape was measured elsewhere
FEWEST_ROOMS = 2  # whose sizes contradict a scale alike
MOST_OF = 2 / 3  # of the sizes: how many must agree among themselves
# Doors of dwellings have leaves of 24 to 36 in. (common practice, no source).  Closet leaves are narrower, entrance
# leaves wider: half and double scales put the middle of the leaves outside these limits all the same.
LEAF_IN = (17.0, 46.0)
USUAL_LEAF_IN = 30.0
USUAL_IN = (23.0, 37.0)  # with an inch for drafting: the plan of a dwelling has a door of these somewhere
# Fitted prints (11 x 17 from a larger sheet) shrink doors less: the middle of many leaves, few of them usual.
MIDDLE_IN, FEW_USUAL, FEWEST_ODD = (22.0, 40.0), 0.25, 4
# Too wide leaves make every distance too long, and clear outlets: under a note alone it is enough that most are.
MOSTLY_WIDE = 0.5  # of the leaves are no usual ones, and their middle is wider
FEWEST_LEAVES, FEWEST_AGAINST_PROOF = 2, 3
OUTSIDE = 0.75  # of the leaves
# Walls are 3 1/2 in. (bare studs) to 12 in. thick (common practice, no source); with room for finishes.
WALL_IN = (2.5, 18.0)
LINE_PT = 4.0  # walls drawn thinner than this may be a thick pen, which tells no thickness

_FEET = r"\d{1,3}\s*(?:'|FT\.?)(?:\s*-?\s*\d{1,2}(?:\s+\d+/\d+)?\s*(?:\"|IN\.?)?)?"
_SIDE = rf"(?:{_FEET}|\d{{1,2}}(?:\.\d+)?\s*M\b)"
SIZE = re.compile(rf"({_SIDE})\s*[X×]\s*({_SIDE})")
AREA = re.compile(
    r"(?<![\d.,])(\d{2,4}(?:\.\d+)?|\d,\d{3})\s*"
    r"(?:(SQ\.?\s*(?:FT|FEET)\b|S\.?\s?F\b)|(SQ\.?\s*M(?:ETERS|ETRES)?\b|M2\b|M²))"
)


@dataclass(frozen=True)
class Estimate:
    """A ratio that one room tells by the size written in it."""

    ratio: float
    text: str


def weigh(scale: Scale, sheet: Sheet, view: View, plan: FloorPlan, fixtures: ScaleEvidence | None = None) -> Scale:
    """The scale with what rooms, doors, walls and fixtures tell about it among its evidence.

    ``fixtures``: another ratio that they agree on where nothing measures the scale.

    Where they tell that it cannot be right the status becomes ``conflict`` and the ratio None; lesser doubts are
    said in ``why``.  A scale that may not be measured with is returned as it is.
    """
    if not scale.measurable or scale.ratio is None:
        return scale
    rooms, doubts, refuted = _by_rooms(scale, sheet, view, plan)
    leaves, more, wide = _by_leaves(scale, sheet, view)
    thick, walls = ([], None) if leaves else _by_walls(scale, plan)
    evidence = (*scale.evidence, *rooms, *leaves, *([fixtures] if fixtures is not None else []))
    against = refuted or wide or walls or _by_fixtures(scale.ratio, fixtures)
    if against is not None:
        why = f"scale not plausible: under 1:{scale.ratio:.4g} {against}"
        return replace(scale, ratio=None, status="conflict", evidence=evidence, why=why)
    said = "; ".join(text for text in (scale.why, *doubts, *more, *thick) if text)
    return replace(scale, evidence=evidence, why=said or None)


def _by_fixtures(ratio: float, fixtures: ScaleEvidence | None) -> str | None:
    """What refutes the scale, where fixtures are drawn at another."""
    if fixtures is None:
        return None
    fitting = f"1:{fixtures.ratio:.3g} ({100 * (fixtures.ratio / ratio - 1):+.0f} %)"
    return f"{fixtures.count} fixtures would not have their size in the mapping file: fitting is {fitting}"


def _measured(scale: Scale) -> bool:
    """Is the scale proved by something that shrinks with the print."""
    return scale.status == "proved" and any(e.source in ("dimension", "bar") for e in scale.evidence)


# --------------------------------------------------------------------------------------------------- rooms


def _by_rooms(
    scale: Scale, sheet: Sheet, view: View, plan: FloorPlan
) -> tuple[list[ScaleEvidence], list[str], str | None]:
    """Evidence, doubts to be said, and what refutes the scale."""
    told = room_estimates(sheet, view, plan)
    if not told or scale.ratio is None:
        return [], [], None
    ratios = np.array([estimate.ratio for estimate in told])
    middle = float(np.median(ratios))
    alike = np.abs(ratios / middle - 1) <= CONTRADICTS
    count = int(alike.sum())
    nearest = told[int(np.argmin(np.abs(ratios - middle)))]
    evidence = [ScaleEvidence("rooms", middle, nearest.text, count)]
    off = 100 * (middle / scale.ratio - 1)
    if abs(off) <= 100 * CONTRADICTS:
        return evidence, [], None
    sizes = "size" if count == 1 else "sizes"
    asked = f"1:{middle:.3g} ({off:+.0f} %)"
    against = f"the {sizes} written in {count} of {len(told)} rooms would be false: fitting is {asked}"
    sure = count >= FEWEST_ROOMS and count >= MOST_OF * len(told)
    return (evidence, [], against) if sure and not _measured(scale) else (evidence, [against], None)


def room_estimates(sheet: Sheet, view: View, plan: FloorPlan) -> list[Estimate]:
    """What the sizes tell that are written in rooms, one a room at most, in the order of the rooms."""
    notes = list(_written(sheet.words, view))
    rooms = [room for room in plan.rooms if room.kind != "outdoors" and not room.polygon.is_empty]
    if not notes or not rooms:
        return []
    spots = shapely.points(np.array([at for _, at, _ in notes]))
    found = []
    for room in rooms:
        inside = [notes[k] for k in np.flatnonzero(shapely.contains(room.polygon, spots))]
        ratios = [(ratio, text) for text, _, sides in inside if (ratio := _ratio(room, sides)) is not None]
        if ratios and max(r for r, _ in ratios) / min(r for r, _ in ratios) - 1 <= CONTRADICTS:
            found.append(Estimate(ratios[0][0], f"{room.name} {ratios[0][1]}".strip()))
    return found


def _ratio(room: Room, written: tuple[float, float | None]) -> float | None:
    """The ratio under which a room has the written length and width, or (width None) the written area, inches."""
    if written[1] is None:
        alone = not room.open_to and room.polygon.area > 0
        return float(POINTS_PER_INCH * np.sqrt(written[0] / room.polygon.area)) if alone else None
    drawn = np.array(sides_around(room.polygon)[::-1])
    real: FloatArray = np.sort(np.array([written[0], written[1]], float))
    if drawn[0] <= 0 or room.polygon.area < SQUARE * drawn.prod():
        return None
    if abs(np.log(real[1] / real[0] / (drawn[1] / drawn[0]))) > SAME_SHAPE:
        return None
    return float(POINTS_PER_INCH * np.sqrt(real.prod() / drawn.prod()))


def _written(
    words: tuple[Word, ...], view: View
) -> Iterator[tuple[str, tuple[float, float], tuple[float, float | None]]]:
    """(text, where, (length, width) or (area, None)) of the sizes written in the view; inches."""
    for line in lines_of(word for word in words if in_box(word.at, view.box)):
        text = plain(" ".join(word.text for word in line))
        x0, y0, x1, y1 = hull(word.box for word in line)
        at = ((x0 + x1) / 2, (y0 + y1) / 2)
        if len(text) > 60:
            continue  # a sentence
        if match := SIZE.search(text):
            a, b = inches(match[1].strip()), inches(match[2].strip())
            if a and b:
                yield match.group(), at, (a, b)
        elif match := AREA.search(text):
            value = float(match[1].replace(",", ""))
            yield match.group(), at, (value * (144.0 if match[2] else INCHES_PER_METRE**2), None)


# ----------------------------------------------------------------------------------------- doors and walls


def _by_leaves(scale: Scale, sheet: Sheet, view: View) -> tuple[list[ScaleEvidence], list[str], str | None]:
    if scale.ratio is None:
        return [], [], None
    widths: FloatArray = leaf_widths(sheet, view.box) * scale.ratio / POINTS_PER_INCH
    if len(widths) < FEWEST_LEAVES:
        return [], [], _by_one_leaf(scale, widths)
    middle = float(np.median(widths))
    text = f"{len(widths)} door leaves, {middle:.0f} in. in the middle, taken for {USUAL_LEAF_IN:.0f} in."
    evidence = [ScaleEvidence("doors", scale.ratio * USUAL_LEAF_IN / middle, text, len(widths))]
    outside = (widths < LEAF_IN[0]) | (widths > LEAF_IN[1])
    usual = (widths >= USUAL_IN[0]) & (widths <= USUAL_IN[1])
    against = f"{len(widths)} door leaves would be about {middle:.0f} in. wide"
    if LEAF_IN[0] <= middle <= LEAF_IN[1] or (outside.mean() < OUTSIDE and usual.any()):
        odd = not MIDDLE_IN[0] <= middle <= MIDDLE_IN[1] and usual.mean() < FEW_USUAL
        odd = odd and len(widths) >= FEWEST_ODD
        odd = odd or (middle > USUAL_IN[1] and usual.mean() < MOSTLY_WIDE)
        return evidence, [], against if odd and not _measured(scale) else None
    sure = len(widths) >= FEWEST_AGAINST_PROOF or not _measured(scale)
    return (evidence, [], against) if sure else (evidence, [against], None)


def _by_one_leaf(scale: Scale, widths: FloatArray) -> str | None:
    """What refutes a scale that nothing measures, where one door tells: an enlarged bath has no more."""
    wide = not _measured(scale) and len(widths) == 1 and widths[0] > LEAF_IN[1]
    return f"the one door leaf would be about {widths[0]:.0f} in. wide" if wide else None


def _by_walls(scale: Scale, plan: FloorPlan) -> tuple[list[str], str | None]:
    """Doubts and what refutes the scale, where no doors tell: the usual thickness, 2 area / outline."""
    if scale.ratio is None or plan.walls.is_empty or plan.walls.length <= 0:
        return [], None
    drawn = 2 * plan.walls.area / plan.walls.length
    thick = drawn * scale.ratio / POINTS_PER_INCH
    if drawn < LINE_PT or WALL_IN[0] <= thick <= WALL_IN[1]:
        return [], None
    against = f"the walls would be about {thick:.1f} in. thick"
    return ([against], None) if _measured(scale) else ([], against)
