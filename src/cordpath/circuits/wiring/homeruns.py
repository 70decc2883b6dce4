"""The circuit that is written at a homerun's arrow."""

from __future__ import annotations

import re
from collections.abc import Sequence

import shapely

from cordpath.circuits.tags import readings
from cordpath.geometry import overlap
from cordpath.model import Box, Point, Sheet, Symbol, Word
from cordpath.units import plain

REACH = 26.0  # pt, a bit over 1/3 in, from the tip to the text: labels stand up to 3/8 in off (common practice)
BEHIND = 1.0  # of the reach: the middle of a text farther behind the tip is that of something else
SPACE = 0.7  # font sizes between words of one text
CLEAR = (1.5, 4.0)  # the second text must be this many times, and so many points, farther than the first
HIGHEST = 84  # circuits of the largest common panel; higher numbers are rooms and dimensions
_TAG = re.compile(r"\(?#?(?:[A-Z][A-Z0-9]{0,4}[- .:#/]{0,2})?\d{1,2}(?: ?[,/&] ?(?:[A-Z]{1,3}\d?-)?\d{1,2})*\)?")


# HR A-1, TO PANEL A-1: what a homerun is called, and where it goes.
_CALLED = re.compile(r"(?:(?:H\.?R\.?|HOME ?RUN|TO|PANEL|PNL|CKTS?|CIRCUITS?)\b[ .:#-]*)+(?=\S)")


def tag_at(
    tip: Point, way: Point, sheet: Sheet, others: Sequence[Symbol], tips: Sequence[Point] = ()
) -> tuple[str | None, str | None, Point | None, tuple[str, ...]]:
    """The tag at an arrow's tip, and why there is none: (tag, None, None, ()) or (None, why, claimed, rivals).

    ``way``: the arrow's direction.  ``others``: symbols whose own labels are not the homerun's.  ``claimed``: the
    place of a text that one of them has, though it stands nearer to the arrow than to that symbol.  ``tips``: those
    of all homeruns: a text that is clearly another one's is not this one's.  ``rivals``: the tags that it may be.
    """
    near, claimed = _near(tip, way, sheet, others)
    if claimed and (not near or min(claimed)[0] < near[0][0]):
        return None, "the circuit at the homerun arrow may be that of another symbol", min(claimed)[1], ()
    if not near:
        return None, "no circuit is written at the homerun arrow", None, ()
    gap, text, box = near[0]
    more = any(other != text for _, other, _ in near[1:])
    if any(other != tip and _is_others(box, gap, other, sheet, more) for other in tips):
        return None, "the circuit at the homerun arrow may be that of another homerun", None, ()
    close = max(CLEAR[0] * gap, gap + CLEAR[1])
    # Those of two arrows that end at one place are printed over each other.
    rivals = [other for away, other, its in near[1:] if other != text and (away < close or overlap(its, box))]
    if rivals:
        return None, f"the circuit at the homerun arrow may be {text} or {rivals[0]}", None, (text, *rivals)
    return text, None, None, ()


def tags_near(
    tip: Point, way: Point, sheet: Sheet, others: Sequence[Symbol], tips: Sequence[Point]
) -> tuple[str, ...]:
    """Every tag that may be written at an arrow's tip, those left out that are clearly at another one."""
    return tuple(
        text
        for gap, text, box in _near(tip, way, sheet, others)[0]
        if not any(other != tip and _is_others(box, gap, other, sheet, more=False) for other in tips)
    )


def tag_of(text: str) -> str | None:
    """The circuit that a text at a homerun names, None for other texts: HR A-1 names A-1."""
    found = _CALLED.sub("", plain(text), count=1)
    return found if is_tag(found) else None


def tag_nearest(tip: Point, sheet: Sheet) -> Box | None:
    """The box of the tag that stands nearest to a tip in reach, None without one."""
    gaps = [(_gap(tip, box), box) for text, box in _texts(sheet, tip) if is_tag(text)]
    gap, box = min(gaps, default=(REACH + 1.0, None))
    return box if gap <= REACH else None


def _near(
    tip: Point, way: Point, sheet: Sheet, others: Sequence[Symbol]
) -> tuple[list[tuple[float, str, Box]], list[tuple[float, Point]]]:
    """Tags in reach of a tip, the nearest first, and the places of those that other symbols have as labels, though
    the tip is nearer to them; each with its distance, pt."""
    sure = [(label.at, symbol) for symbol in others for label in symbol.labels if "circuit" in dict(label.sets)]
    near: list[tuple[float, str, Box]] = []
    claimed: list[tuple[float, Point]] = []
    for text, box in _texts(sheet, tip):
        gap = _gap(tip, box)
        ahead = (box[0] + box[2]) / 2 - tip[0], (box[1] + box[3]) / 2 - tip[1]
        along = ahead[0] * way[0] + ahead[1] * way[1]
        if gap > REACH or along < -BEHIND * REACH or not is_tag(text):
            continue
        owners = [(at, symbol) for at, symbol in sure if box[0] <= at[0] <= box[2] and box[1] <= at[1] <= box[3]]
        if not owners:
            near.append((gap, text, box))
        elif gap < min(shapely.distance(symbol.footprint, shapely.box(*box)) for _, symbol in owners):
            claimed.append((gap, owners[0][0]))
    return sorted(near), claimed


def _is_others(box: Box, gap: float, other: Point, sheet: Sheet, more: bool) -> bool:
    """May a text be that of another homerun, by whose tip none stands nearer to it?

    It is where that tip is clearly the nearer one, and may be, where there are ``more`` texts for the two to share
    out, unless this tip is.
    """
    its = _gap(other, box)
    clearly_here = max(CLEAR[0] * gap, gap + CLEAR[1]) <= its
    clearly_there = max(CLEAR[0] * its, its + CLEAR[1]) <= gap
    if its > REACH or clearly_here or not (clearly_there or more):
        return False
    return not any(is_tag(text) and _gap(other, own) < its for text, own in _texts(sheet, other))


def is_tag(text: str) -> bool:
    """May a text be a circuit at a homerun?"""
    if _TAG.fullmatch(text) is None:
        return False
    ways = readings(text)
    return any(all(0 < int(re.sub(r"\D", "", n)) <= HIGHEST for n in tag.numbers) for tag in ways)


def _texts(sheet: Sheet, tip: Point) -> list[tuple[str, Box]]:
    """Texts near the tip: words of one line with no more than a space between, joined."""
    found: list[list[Word]] = []
    reach = 3 * REACH
    close = [w for w in sheet.words if abs(w.at[0] - tip[0]) < reach and abs(w.at[1] - tip[1]) < reach]
    for word in close:
        last = found[-1][-1] if found else None
        if last is not None and last.line == word.line and _gap_between(last, word) <= SPACE * word.size:
            found[-1].append(word)
        else:
            found.append([word])
    return [
        (
            _CALLED.sub("", plain(" ".join(w.text for w in words)), count=1),
            (
                min(w.box[0] for w in words),
                min(w.box[1] for w in words),
                max(w.box[2] for w in words),
                max(w.box[3] for w in words),
            ),
        )
        for words in found
    ]


def _gap_between(a: Word, b: Word) -> float:
    dx = max(b.box[0] - a.box[2], a.box[0] - b.box[2], 0.0)
    dy = max(b.box[1] - a.box[3], a.box[1] - b.box[3], 0.0)
    return float(dx + dy)


def _gap(point: Point, box: Box) -> float:
    dx = max(box[0] - point[0], point[0] - box[2], 0.0)
    dy = max(box[1] - point[1], point[1] - box[3], 0.0)
    return float((dx * dx + dy * dy) ** 0.5)
