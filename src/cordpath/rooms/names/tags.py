"""Words joined to the names of rooms.

Terms: *run*, words of one line and style next to each other; *tag*, a run or several runs that wrap, which may be
a room's name, with the number that stands below it; *style*, font and size: on a sheet, room names share one.
*Strong* tags are names that the vocabulary or the mapping knows; *odd* ones are in the style of names, unknown.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from cordpath.geometry import in_box
from cordpath.model import FloatArray, Point, RoomEntry, Sheet, View, Word
from cordpath.rooms.names.leaders import Leaders
from cordpath.rooms.names.rings import PLAIN, SHORT, in_ring
from cordpath.rooms.names.turning import turned
from cordpath.rooms.names.vocabulary import Meaning, is_stop, is_weak, meaning, normal

GAP = 0.75  # of the size: widest space between two words of a run
PLOTTED_GAP = 1.25  # the same in drawn lettering: letters of one width part words by a letter, and an I is slim
APART = 0.5  # the same for words that were not shown as one run
LEAD = 1.75  # of the size: widest line distance of a wrapped name
TITLE = 3.0  # of the size: from the title of a drawing to the note of its scale, with a line between
NUMBER = re.compile(r"[A-Z]?-?\d{2,4}[A-Z]?|\d{1,2}-\d{1,3}")
CIRCUIT = re.compile(r"[A-Z]{1,2}-?\d{1,2}(?:[,/]\d{1,2})*")  # A6, LP-12: beside an outlet, no room's name
SWITCH = re.compile(r"[S$][234DKP]?")  # three-way, dimmer, keyed, pilot light (common practice, no source)
SIZE_FACT = re.compile(
    r".*\d\s*['\"′″].*|.*\d\s*(?:SQ\.? ?FT|S\.?F\.?|M2|M²|SQM).*|.*\d\s*[X×]\s*\d.*|[A:\s]*\d+[.,]\d+.*",
    re.IGNORECASE,
)

MOST_NAMED = 60  # letters of a name with its size: longer lines are notes
_SIDE = r"\d[\d\s.,/'\"′″-]*"
NAMED_SIZE = re.compile(  # BEDROOM 12.4 m2, KITCHEN 13'-0" x 12'-6", BATH 60 SF: common practice, no source
    r"(?P<name>[A-Z].*?[A-Z.)](?: #?\d(?=\s))?)[\s:,(-]+(?:"
    r"\d+(?:[.,]\d+)?\s*(?:SQ\.?\s?FT\.?|S\.?F\.?|M2|M²|SQ\.?\s?M)"
    rf"|{_SIDE}\s*[X×]\s*{_SIDE})\)?",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Tag:
    text: str
    at: Point
    size: float
    style: tuple[str, float]
    number: str | None
    meaning: Meaning | None
    weak: bool = False
    confidence: float = (
        1.0  # of its least certain word but figures; lettering that is drawn is read with less than 1
    )
    source: str | None = None  # the schedule that names the room whose number the plan shows
    against: str | None = None  # why the name is none, or not beyond doubt


@dataclass(frozen=True)
class Run:
    text: str
    along: tuple[float, float]  # extent in reading direction
    across: float  # position of the line, growing downwards as read
    size: float
    angle: float
    font: str
    line: int = -1
    confidence: float = 1.0
    figures: float = 1.0  # as confidence, numbers too

    @property
    def middle(self) -> float:
        return (self.along[0] + self.along[1]) / 2

    @property
    def at(self) -> Point:
        """The middle, in page coordinates."""
        return _back((self.middle, self.across), self.angle)

    @property
    def style(self) -> tuple[str, float]:
        return (self.font, round(self.size * 2) / 2)


def _turn(point: Point, angle: float) -> Point:
    """Page to reading frame."""
    x, y = turned(np.array([point]), angle)[0].tolist()
    return (x, y)


def _back(point: Point, angle: float) -> Point:
    return _turn(point, -angle)


def _as_run(word: Word, angle: float) -> Run:
    x0, y0, x1, y1 = word.box
    corners = [_turn(p, angle) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
    xs, ys = [p[0] for p in corners], [p[1] for p in corners]
    if angle % 90 > 1:  # the upright box of slanted text is too large: take the length along its diagonal
        half = max((len(word.text) * 0.3) * word.size, 1e-6)
        middle = (min(xs) + max(xs)) / 2
        xs = [middle - half, middle + half]
    return Run(word.text, (min(xs), max(xs)), (min(ys) + max(ys)) / 2, word.size, angle, word.font, word.line,
                1.0 if word.text.isdigit() else word.confidence, word.confidence)  # fmt: skip


def _runs(words: list[Word]) -> list[Run]:
    """Words of one direction, joined where they follow each other in one style."""
    found: list[Run] = []
    by_angle: dict[float, list[Word]] = {}
    for word in words:
        by_angle.setdefault(float(round(word.angle)) % 360, []).append(word)
    for angle, group in sorted(by_angle.items()):
        pieces = [_as_run(w, angle) for w in group]
        pieces.sort(key=lambda r: (r.font, round(r.size * 2), r.across, r.along))
        lines: list[list[Run]] = []
        for piece in pieces:
            line = lines[-1] if lines else []
            same = line and line[0].style == piece.style and abs(line[0].across - piece.across) < 0.3 * piece.size
            if same:
                line.append(piece)
            else:
                lines.append([piece])
        for line in lines:
            found += _join_line(sorted(line, key=lambda r: r.along))
    return found


def _join_line(line: list[Run]) -> list[Run]:
    out: list[Run] = []
    for piece in line:
        last = out[-1] if out else None
        # Words that were shown apart may be two names side by side: they must follow at a usual word space.
        together = last is not None and last.line == piece.line
        usual = GAP if piece.figures == 1.0 else PLOTTED_GAP
        low, high = (-0.4, usual) if together else (-0.1, APART)
        if last is not None and low * piece.size < piece.along[0] - last.along[1] < high * piece.size:
            joined = (last.along[0], max(last.along[1], piece.along[1]))
            out[-1] = replace(last, text=f"{last.text} {piece.text}", along=joined, line=piece.line,
                              confidence=min(last.confidence, piece.confidence),
                              figures=min(last.figures, piece.figures))  # fmt: skip
        else:
            out.append(piece)
    return out


def _below(upper: Run, lower: Run) -> bool:
    """Is ``lower`` the next line under ``upper``, centred or flush with it?"""
    drop = lower.across - upper.across
    if not 0.3 * upper.size < drop < LEAD * max(upper.size, lower.size) or upper.angle != lower.angle:
        return False
    wide = max(upper.along[1] - upper.along[0], lower.along[1] - lower.along[0])
    centred = abs(upper.middle - lower.middle) < 0.35 * wide
    flush = abs(upper.along[0] - lower.along[0]) < 0.5 * upper.size
    return centred or flush


def _is_number(run: Run) -> bool:
    return bool(NUMBER.fullmatch(run.text.strip()))


def _is_name(run: Run, entries: tuple[RoomEntry, ...]) -> bool:
    if not re.search(r"[A-Za-z]", run.text) or SIZE_FACT.fullmatch(run.text) or _is_number(run):
        return False
    if SWITCH.fullmatch(run.text.strip()):  # drawn among names, in their letters
        return meaning(run.text, entries) is not None
    return CIRCUIT.fullmatch(run.text.strip()) is None or meaning(run.text, entries) is not None


def _without_size(run: Run, entries: tuple[RoomEntry, ...]) -> Run:
    """A room's name without its size or area on the same line; what is no name before it stays as it is."""
    sized = NAMED_SIZE.fullmatch(run.text.strip()) if len(run.text) <= MOST_NAMED else None
    if sized is None or not _is_name(named := replace(run, text=sized["name"]), entries):
        return run
    return run if meaning(named.text, entries) is None else named


def find_tags(sheet: Sheet, view: View, entries: tuple[RoomEntry, ...]) -> tuple[list[Tag], list[Tag]]:
    """(strong, odd) tags of the view, top to bottom.  Regions that are not plan hold none."""
    runs = [_without_size(run, entries) for run in plan_runs(sheet, view)]
    ink = sheet.strokes.xy[sheet.strokes.ink()]
    leaders = Leaders(ink)
    tags = [_led(tag, lines, leaders)
            for lines in _wraps(runs, entries) if (tag := _tag(lines, runs, entries)) is not None]  # fmt: skip
    strong, odd = _by_style([tag for tag in tags if not _letters_of_a_device(tag, ink)])
    return strong, odd


def _led(tag: Tag, lines: list[Run], leaders: Leaders) -> Tag:
    """The tag at the place that a leader points to from an end of its lines, or from the middle below or above."""
    ends = [(end, run.across) for run in lines for end in run.along]
    ends += [(run.middle, run.across + side * run.size / 2) for run, side in ((lines[0], -1), (lines[-1], 1))]
    tip = leaders.tip(tuple(_back(end, lines[0].angle) for end in ends), tag.size)
    return tag if tip is None else replace(tag, at=tip)


def _letters_of_a_device(tag: Tag, ink: FloatArray) -> bool:
    """Short words only: the walls of an even room stand around a long name as a ring does around REC.

    Of single letters also those that ask for something: B in a ring is a grid line's or a window's and no bath.
    """
    if tag.meaning is None or len(tag.text) > (SHORT if tag.meaning.kind in PLAIN else 1):
        return False
    return in_ring(tag.at, tag.text, tag.size, ink)


def plan_runs(sheet: Sheet, view: View) -> list[Run]:
    """The runs of the view that stand in no region, in no note of its own and are not its title."""
    words = [w for w in sheet.words if in_plan(w.at, sheet, view) and w.text.strip() and w.origin != "hidden"]
    if view.note_box is not None:
        words = [w for w in words if not in_box(w.at, view.note_box)]
    runs = [run for run in _runs(words) if not _is_title(run, view)]
    return sorted(runs, key=lambda r: (r.angle, r.across, r.along))


def in_plan(at: Point, sheet: Sheet, view: View) -> bool:
    """Is a place in the view, and in no legend, table or block beside its plan?"""
    return in_box(at, view.box) and not any(in_box(at, region.box) for region in sheet.regions)


def _is_title(run: Run, view: View) -> bool:
    """GARAGE - LOWER LEVEL over the note of the scale names the drawing, and no place in it; nor does a part of it
    by itself, where a dash of drawn lettering was lost."""
    if view.note_box is None or run.angle != 0 or f" {normal(run.text)} " not in f" {normal(view.title)} ":
        return False
    x0, y0, x1, y1 = view.note_box
    beside = run.along[0] <= x1 and run.along[1] >= x0
    return beside and y0 - TITLE * run.size <= run.across <= y1 + TITLE * run.size


def _wraps(runs: list[Run], entries: tuple[RoomEntry, ...]) -> list[list[Run]]:
    """Lines of every possible name: a next line of the same style belongs to it where the first line ends open
    (- / &), or where the two together are a name that the first alone is not, or is in a surer way."""
    names = [r for r in runs if _is_name(r, entries)]
    used: set[int] = set()
    out: list[list[Run]] = []
    for i, run in enumerate(names):
        if i in used:
            continue
        used.add(i)
        lines = [run]
        while len(lines) < 3:
            j = next((j for j, r in enumerate(names)
                      if j not in used and r.style == run.style and _below(lines[-1], r)), None)  # fmt: skip
            if j is None or not _goes_on(lines, names[j], entries):
                break
            used.add(j)
            lines.append(names[j])
        out.append(lines)
    return out


def _goes_on(lines: list[Run], after: Run, entries: tuple[RoomEntry, ...]) -> bool:
    text = " ".join(r.text for r in lines)
    if re.search(r"[-/&+]\s*$", text) or re.match(r"\s*[-/&+]", after.text):
        return True
    alone, both, rest = (meaning(t, entries) for t in (text, f"{text} {after.text}", after.text))
    if both is None or not both.sure:
        return False
    return alone is None or not alone.sure or rest is None or rest.kind == both.kind or bool(rest and rest.sure)


def _tag(lines: list[Run], runs: list[Run], entries: tuple[RoomEntry, ...]) -> Tag | None:
    text = " ".join(r.text for r in lines)
    found = meaning(text, entries)
    if found is None and (is_stop(text) or len(text.split()) > 4):
        return None
    low, high = min(r.along[0] for r in lines), max(r.along[1] for r in lines)
    at = _back(((low + high) / 2, (lines[0].across + lines[-1].across) / 2), lines[0].angle)
    return Tag(text, at, lines[0].size, lines[0].style, _number(lines[-1], runs), found, is_weak(text),
               min(run.confidence for run in lines))  # fmt: skip


def _number(last: Run, runs: list[Run]) -> str | None:
    """A room number in a line of its own under the name (a dimension has another form)."""
    for run in runs:
        drop = run.across - last.across
        near = abs(run.middle - last.middle) < 0.6 * (last.along[1] - last.along[0]) + last.size
        if run.angle == last.angle and 0 < drop < 3.2 * last.size and near and _is_number(run):
            return run.text.strip() if abs(run.size - last.size) < 0.25 * last.size else None
    return None


def _by_style(tags: list[Tag]) -> tuple[list[Tag], list[Tag]]:
    """Known names, except those in a small style that is used for notes; unknown text in the style of names."""
    count = Counter(t.style for t in tags if t.meaning is not None and t.meaning.sure and not t.weak)
    usual = {style for style, n in count.items() if n >= 2 and n >= 0.15 * max(count.values())}
    strong = [
        t for t in tags if t.meaning is not None and (t.style in usual or (t.meaning.sure and len(t.text) > 1))
    ]
    share = {s: count[s] / max(1, sum(t.style == s for t in tags)) for s in usual}
    odd = [t for t in tags if t not in strong and (share.get(t.style, 0.0) >= 0.4 or not usual)]
    return strong, odd


def places(tags: list[Tag]) -> FloatArray:
    """(n, 2) where the names stand."""
    return np.array([t.at for t in tags], float).reshape(-1, 2)
