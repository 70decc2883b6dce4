"""A starter mapping file from samples: valid as it stands, with everything that is a guess said in a comment."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from cordpath.model import OUTLET_KINDS, CircleMark, LineMark, Mark, Point, PolylineMark, TextMark
from cordpath.symbols.examples.doubts import doubt_of
from cordpath.symbols.examples.example_pens import clearly_other
from cordpath.symbols.examples.likeness import alike, same_lines
from cordpath.symbols.examples.outlined_letters import UNREAD, unread_letters
from cordpath.symbols.labels.words import read
from cordpath.symbols.learning.samples import Sample
from cordpath.symbols.learning.sides import Side, shown_side
from cordpath.symbols.learning.trade_words import Guess, guess, is_told
from cordpath.symbols.mapping_file.entries import USUAL_SCALES
from cordpath.symbols.mapping_file.marks import LEAST_INCHES, MOST_MARKS

NAME_LETTERS = 72  # a name may have 80; the rest is for a running number
PLACES_TOLD = 3
SMALLER, LARGER = 0.9, 1.1  # times the size drawn, at which a fixture is still looked for: makes differ by a size
PENS = "its pen tells it, dashed or paler; no shape says so, and both are taken from the legend at each run"
NO_SIDES: Mapping[str, Side] = {}
ABBREVIATIONS = re.compile(r"\b(gfc?i|afci|wp|\d*[va]|tv|usb|ev|led|hvac|ac|co|nema)\b")
FILLING = re.compile(
    r"^[^\w\"'+(]+|(?:\.{2,}|\s\.|[\s\-=:_*\u2013\u2014\u2022])+$"
)  # dots, dashes and bullets about a text
HEAD = """\
# Starter mapping file, drawn from the sheets by cordpath learn.  The contact sheet beside it shows each entry.
# Look over every entry: its kind, volts and protection are guesses from the legend's words.
# Shapes are inches on the plotted sheet, x right, y down; with size: real they are inches of the building.
#
# Entries with proposed: true settle nothing as they stand:
#   shapes that no legend names ("shape 1"): give a name and a kind (receptacle, switch, light, ...), or leave the
#     kind at other if they are of no interest, and delete the line proposed: true;
#   fixtures (sinks, tubs, showers, water closets, appliances): distances to them are questions until you have
#     looked over the kind and deleted the line proposed: true.
# A fixture that is missing here has to be added, as an entry of its kind with size: real: without it no distance to
# it can be measured.  The usual labels (GFI, GFCI, WP, +42", A-12, DW, REF, ...) are known without an entry.
cordpath: 1
drawing:
  scale: auto
symbols:
"""


@dataclass(frozen=True)
class Entry:
    """An entry of the starter file.  ``refused``: why it is written as a comment only."""

    name: str
    sample: Sample
    guess: Guess
    remarks: tuple[str, ...]
    refused: str | None = None
    wall_side: Side | None = None
    side_why: str = ""
    by_row: bool = False  # written as the legend's row, whose pen a shape does not tell

    @property
    def kind(self) -> str:
        return self.guess.kind

    @property
    def proposed(self) -> bool:
        """Guessed from a drawing, with no words of a legend to rest on."""
        return not self.sample.text


def entries(
    rows: tuple[Sample, ...], shapes: tuple[Sample, ...], sides: Mapping[str, Side] = NO_SIDES
) -> tuple[Entry, ...]:
    """Entries of the legends' rows, then of the fixtures and the shapes; each name once.

    ``sides``: wall sides by the names of entries, as they are without ``sides``.
    """
    made: list[Entry] = []
    taken: set[str] = set()
    for sample in rows:
        told = _without_claims(guess(sample.text)) if doubt_of(sample.said) else guess(sample.text)
        name = _name(_words(sample.text), taken)
        entry = Entry(name, sample, told, (*told.remarks, *sample.said), _refused(sample))
        twins = [k for k, old in enumerate(made) if not old.refused and _is_twin(old.sample, sample)]
        by_pen = [_told_by_pen(made[k], entry) for k in twins]
        for k in (k for k, pens in zip(twins, by_pen, strict=True) if pens):
            made[k] = replace(made[k], by_row=True)
        if twins:
            said = PENS if all(by_pen) else "the two cannot be told apart"
            first = made[twins[by_pen.index(all(by_pen))]].name
            entry = replace(entry, by_row=any(by_pen), remarks=(*entry.remarks, f"drawn like '{first}': {said}"))
        made.append(entry)
    fixtures = [sample for sample in shapes if sample.fixture is not None]
    for sample in fixtures:
        remark = f"{sample.why}; drawn {_often(sample)}, such as {_places(sample)}"
        told = Guess(sample.fixture or "other")
        name = _name(f"{told.kind} by its {'letters' if _lettered(sample) else 'shape'}", taken)
        made.append(Entry(name, sample, told, (remark,), _refused(sample)))
    for k, sample in enumerate((sample for sample in shapes if sample.fixture is None), 1):
        remark = f"drawn {sample.times} times, such as {_places(sample)}"
        made.append(Entry(_name(f"shape {k}", taken), sample, Guess("other"), (remark,), _refused(sample)))
    return tuple(_sided(entry, sides.get(entry.name)) for entry in made)


def _sided(entry: Entry, touched: Side | None) -> Entry:
    """With the side on which most of its symbols touch walls, else that to which its sign in the legend leads."""
    if touched is not None:
        return replace(entry, wall_side=touched, side_why="most of them touch a wall there")
    if entry.refused or not entry.sample.text or entry.kind not in OUTLET_KINDS:
        return entry
    return replace(entry, wall_side=shown_side(entry.sample.marks), side_why="the ends of its lines lead there")


def _is_twin(one: Sample, other: Sample) -> bool:
    return alike(one.marks, other.marks) and same_lines(one.marks, other.marks)


def _told_by_pen(one: Entry, other: Entry) -> bool:
    """Are two outlets of one shape told apart by the pens of their signs?  Never protected ones from others."""
    outlets = one.kind in OUTLET_KINDS and other.kind in OUTLET_KINDS
    shields = [dict(entry.guess.facts).get("protection") for entry in (one, other)]
    return outlets and shields[0] == shields[1] and clearly_other(one.sample.pen, other.sample.pen)


def _without_claims(told: Guess) -> Guess:
    """Without protection: a plain outlet that was drawn in the row of one with a mark would protect itself."""
    facts = tuple(fact for fact in told.facts if fact[0] != "protection")
    return replace(told, facts=facts, remarks=tuple(each for each in told.remarks if "protection" not in each))


def _lettered(sample: Sample) -> bool:
    return any(isinstance(mark, TextMark) for mark in sample.marks)


def _often(sample: Sample) -> str:
    return "once" if sample.times == 1 else f"{sample.times} times"


def _words(text: str) -> str:
    """A description as a name: in small letters where it is all capitals, abbreviations left alone."""
    text = FILLING.sub("", " ".join(text.split()))
    return ABBREVIATIONS.sub(lambda match: match.group().upper(), text.lower()) if text == text.upper() else text


def _name(text: str, taken: set[str]) -> str:
    text = "".join(letter for letter in text if letter.isprintable())[:NAME_LETTERS].strip() or "symbol"
    name, count = text, 1
    while name.lower() in taken:
        count += 1
        name = f"{text} ({count})"
    taken.add(name.lower())
    return name


def _places(sample: Sample) -> str:
    where = ", ".join(f"({x:.0f}, {y:.0f})" for x, y in sample.at[:PLACES_TOLD])
    return f"{where} on {_printable(sample.file)} page {sample.page}"


def _refused(sample: Sample) -> str | None:
    if not sample.marks and sample.said:
        return sample.said[0]
    if sample.plain:
        return "a line or two alone cannot be told from other lines"
    if _is_framed_label(sample):
        return "a label in a frame, known without an entry: taken for a symbol of its own it would mark no outlet"
    if sample.text and unread_letters(sample.marks):
        return UNREAD
    letters = bool(sample.marks) and all(isinstance(mark, TextMark) for mark in sample.marks)
    if letters and (not is_told(sample.text) or guess(sample.text).kind in OUTLET_KINDS):
        return "letters alone that stand for its words are a label or an abbreviation, and no symbol"
    count = sum(1 for _ in _marks(sample.marks))
    if not count:
        return "nothing of a size that could be told"
    return f"{count} marks are too many for a symbol" if count > MOST_MARKS else None


def _is_framed_label(sample: Sample) -> bool:
    """GFI in a hexagon with its leader, which the plans repeat; in a circle it may be an outlet."""
    if sample.text or sample.fixture is not None or any(isinstance(mark, CircleMark) for mark in sample.marks):
        return False
    said = [read(mark.value, ()) for mark in sample.marks if isinstance(mark, TextMark)]
    return any(name == "protection" for reading in said if reading is not None for name, _ in reading.sets)


def starter_text(made: tuple[Entry, ...]) -> str:
    """The mapping file.  Raises ValueError where no entry can be looked for: a mapping file needs one."""
    if all(entry.refused for entry in made):
        raise ValueError("no entry")
    return HEAD + "".join(_entry(entry) for entry in made)


def _entry(entry: Entry) -> str:
    lines = [f"  # {_printable(_from(entry.sample))}"]
    lines += [f"  # Look over: {_printable(each)}." for each in entry.remarks if each != entry.refused]
    if entry.refused:
        return "\n".join([*lines, f"  # '{_printable(entry.name)}' is left out: {entry.refused}."]) + "\n"
    lines += [f"  - name: {json.dumps(entry.name, ensure_ascii=False)}", f"    kind: {entry.kind}"]
    if entry.sample.fixture is not None:
        lines += ["    size: real", f"    scales: [{SMALLER:g}, {LARGER:g}]  # of the size that was drawn"]
    lines += ["    proposed: true"] if entry.proposed else []
    lines += [f"    {key}: {shown(value)}" for key, value in entry.guess.facts]
    if entry.wall_side is not None:
        lines += [f"    wall_side: [{entry.wall_side[0]:.3g}, {entry.wall_side[1]:.3g}]  # {entry.side_why}"]
    if entry.by_row:
        least, most = (each * entry.sample.size for each in USUAL_SCALES)
        lines += [f"    scales: [{least:.3g}, {most:.3g}]"] if entry.sample.size != 1 else []
        lines += [f"    legend: {json.dumps(_printable(entry.sample.text), ensure_ascii=False)}"]
    else:
        lines += ["    shape:", *(f"      - {mark}" for mark in _marks(entry.sample.marks))]
    return "\n".join(lines) + "\n"


def _from(sample: Sample) -> str:
    where = f"{sample.file} page {sample.page}"
    more = f" and {len(sample.also)} more" if sample.also else ""
    if sample.text:
        return f"Legend of {where}{more}: {sample.text}"
    return f"A fixture of {where}{more}" if sample.fixture else f"A shape that {where}{more} repeats"


def _printable(text: str) -> str:
    return "".join(letter if letter.isprintable() else " " for letter in text)


def shown(value: bool | float | str) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return f"{value:g}" if isinstance(value, float) else value


def _marks(marks: tuple[Mark, ...]) -> Iterator[str]:
    """Marks as the mapping file writes them, without those too small for it."""
    for mark in marks:
        if isinstance(mark, CircleMark) and mark.radius >= LEAST_INCHES:
            yield f"circle: {{center: {_at(mark.center)}, radius: {_inches(mark.radius)}}}"
        elif isinstance(mark, LineMark) and math.dist(mark.start, mark.end) >= 2 * LEAST_INCHES:
            yield f"line: {{from: {_at(mark.start)}, to: {_at(mark.end)}}}"
        elif isinstance(mark, PolylineMark) and _size(mark.points) >= 2 * LEAST_INCHES:
            points = ", ".join(_at(point) for point in mark.points)
            yield f"polyline: {{points: [{points}], closed: true, filled: {shown(mark.filled)}}}"
        elif isinstance(mark, TextMark) and len(mark.value) <= 24:
            yield f"text: {{value: {json.dumps(mark.value, ensure_ascii=False)}, at: {_at(mark.at)}}}"


def _size(points: tuple[Point, ...]) -> float:
    return max((math.dist(points[0], point) for point in points), default=0.0)


def _at(point: Point) -> str:
    return f"[{_inches(point[0])}, {_inches(point[1])}]"


def _inches(value: float) -> str:
    return f"{round(value, 4) + 0.0:g}"
