"""The texts of a plan that may be labels, and which doubtful ones the sheet uses as circuit tags.

Terms: *tag*, a circuit as written beside an outlet.  *Style*, how a sheet writes tags: ``A-12``, ``A12``, ``12``.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

import numpy as np

from cordpath import units
from cordpath.model import CIRCUIT_WORD, Mapping, Sheet, Symbol, Word
from cordpath.symbols.labels.nearness import Pairs
from cordpath.symbols.labels.rings import unringed
from cordpath.symbols.labels.runs import Run
from cordpath.symbols.labels.words import LONGEST_RUN, SELDOM_PANELS, Class, Reading, read
from cordpath.symbols.mapping_file import patterns

BESIDE = 18.0  # pt, 1/4 in: a text counts as standing beside an outlet within this gap
LONGEST_OTHER = 6  # characters of a label that no entry explains; longer ones are names and notes
LEAST_TAGS = 3  # outlets with a tag of a doubtful style before the style counts as circuit tags
# Drawn letters of GFI and GFCI as readers of lettering take them in odd faces, FCI under a G of its own line, and a
# circuit's tag that a narrow blank parts from them: GFIA-12.
_LIKE_MARK = re.compile(
    r"(?<![A-Z0-9])(?:[GC6OQS][FPEKR][CGOQ0]?/|(?:[GC6OQS][FPEKR][CGOQ0]?[I1JL]|FC?I|[GCS]CJ)"
    r"(?![A-Z0-9](?![A-Z]?-\d)))"
)
# Confidence of drawn texts that nobody has heard of, of which half are exact (sheet/lettering/trust.py)
UNHEARD = 0.6
_APART: tuple[Class, ...] = ("protection", "circuit", "number")  # what is looked for in words shown apart
_OF_MARK = re.compile("[A-Z0-9/]{3,4}")  # as many glyphs as GFI and GFCI have
_BEGUN = "GF"  # of marks laid over each other, which are read as one text: GFGIFWWP
# A circuit of a panel that a digit names, as PANEL 1-5 or CKT 1.5: only the panel schedules can tell
_OF_DIGIT = re.compile(rf"(?:{CIRCUIT_WORD}|(?:PNL|PANEL)\.? )?\(?\d{{1,2}}[-/.:]\d{{1,2}}\)?")
# Short names of rooms, as drawn; longer ones are no labels by their length.  Common practice, no source.
_ROOMY = frozenset({
    "BATH", "HALL", "DEN", "CLO", "CLOS", "CL.", "LAV", "ENTRY", "FOYER", "PORCH", "DECK", "PATIO", "ATTIC",
    "BED", "BR", "BR.", "MBR", "LDRY", "UTIL", "PDR", "PWDR", "W.I.C.", "WIC", "NOOK", "LOFT", "STUDY",
    "STAIR", "UP", "DN", "DN.", "PAN.", "PANT.", "LIN", "LIN.", "MUD", "MECH", "STOR", "STOR.", "STO.",
    "NICHE", "LIVING", "DINING", "GARAGE", "KITCH.", "NURSRY", "POWDER", "CLOSET", "OFFICE", "PANTRY",
    "FAMILY", "STUDIO", "SUITE", "GUEST", "MASTER", "STAIRS", "COATS", "LINEN", "BATHS", "LOBBY", "SHOP",
})  # fmt: skip


@dataclass(frozen=True)
class Text:
    """A text and what it says.  ``plain`` False: a circuit tag only by the style of the sheet; ``runs_on``: a line
    that runs on from a mark of protection and is not understood; ``apart``: what it may say as several labels.
    """

    run: Run
    reading: Reading
    plain: bool = True
    runs_on: str | None = None
    apart: Reading | None = None


def texts_of(runs: tuple[Run, ...], words: tuple[Word, ...], mapping: Mapping) -> list[Text]:
    """Runs that say something about a device, or that are short enough to be a label nobody explained.

    ``words``: the sheet's.
    """
    known: dict[str, Reading | None] = {}
    texts = []
    for run in runs:
        if run.text not in known:
            known[run.text] = read(run.text, mapping.labels) or _other(run.text, mapping)
        reading = known[run.text]
        if run.confidence < 1.0:
            reading = _drawn_mark(run, reading) or reading
        apart = None
        if len(run.words) > 1 and (reading is None or reading.kind in ("number", "other")):
            apart = _apart([words[k] for k in run.words], mapping)
        if apart is not None and (reading is None or reading.kind == "other"):
            reading = apart
        if reading is not None:
            texts.append(Text(run, reading, apart=apart))
    return texts


def _apart(words: list[Word], mapping: Mapping) -> Reading | None:
    """What words that stand as near as those of one text may say if they are labels by themselves: the W of a
    washer that touches the 6 of a circuit.  None where all were shown as one, and where none is a tag or a mark."""
    parts = [" ".join(word.text for word in part) for _, part in groupby(words, key=lambda word: word.line)]
    if len(parts) == 1 or sum(map(len, parts)) > LONGEST_RUN:
        return None
    said = [read(part, mapping.labels) for part in parts]
    told = [one for one in said if one is not None]
    first = next((one for kind in _APART for one in told if one.kind == kind), None)
    labels = (one or _other(part, mapping) for part, one in zip(parts, said, strict=True))
    if first is None or (first.kind == "number" and not all(labels)):  # BATH 2 names a room
        return None
    return Reading(tuple(fact for one in told for fact in one.sets), first.kind, first.panel, doubt=tuple(parts))


def _other(text: str, mapping: Mapping) -> Reading | None:
    """A short text that is no dimension, no note and no room name: it may be a label of the office's own."""
    plain = units.plain(text)
    if _OF_DIGIT.fullmatch(plain):
        return Reading((), "other")
    if not 1 <= len(plain) <= LONGEST_OTHER or not re.search(r"[A-Z]", plain):
        return None
    if units.inches(plain) is not None or "'" in plain or '"' in plain or is_room(text, mapping):
        return None
    return Reading((), "other")


def _drawn_mark(run: Run, reading: Reading | None) -> Reading | None:
    """A drawn text that nobody explained as a whole and of which a word differs from GFI by letters that are read
    for each other, or that is as long as a mark and hardly read."""
    plain = units.plain(run.text)
    is_label = reading is not None and reading.kind == "other"
    if reading is not None and not is_label and (reading.kind == "protection" or not reading.doubt):
        return None
    unheard = run.confidence <= UNHEARD
    odd = unheard and ((is_label and _OF_MARK.fullmatch(plain) is not None) or _BEGUN in plain)
    if len(plain) > LONGEST_RUN or not (odd or _LIKE_MARK.search(plain)):
        return None
    also = reading.sets if reading is not None else ()
    return Reading((("protection", "device"), *also), "protection", doubt=(run.text,))


def is_room(text: str, mapping: Mapping) -> bool:
    """Is a text the short name of a room, or one that the mapping file names?"""
    if units.plain(text) in _ROOMY:
        return True
    return any(patterns.matches(room.pattern, text.strip()) for room in mapping.rooms)


# ------------------------------------------------------------------------------------------- circuit tags


def settled_numbers(texts: list[Text], pairs: Pairs, symbols: tuple[Symbol, ...], sheet: Sheet) -> list[Text]:
    """``A12``, ``A/12``, ``1-5``, ``T-5`` and ``12`` are circuit tags only where the sheet uses that style; else
    they say nothing.

    ``A12`` counts where ``A`` is a panel that a plain tag (``A-3``) or the words ``PANEL A`` name, or where three
    outlets have such a text beside them; of ``T-5``, where no such words name the panel, three are a doubt and no
    tag.  A bare ``12`` counts where three outlets have one, none has a tag with a panel's letters, and the sheet
    names one panel at the most; never inside a ring or box (a keynote), and as a doubt only where lines of several
    things happen to run on all its sides, as in the corner of an appliance's box.  On a sheet of several panels
    such numbers are circuits of one that they do not name: a doubt, and no tag.  So are they at three outlets
    without a tag where others have tags with letters.
    """
    beside = _outlets_beside(pairs, symbols)
    here = {i: texts[i].reading for i in sorted(beside)}
    tags = [i for i, reading in here.items() if reading.kind == "circuit"]
    numbers = [i for i, reading in here.items() if reading.kind == "number"]
    named = _named_panels(sheet)
    odd = _of_digits(texts, named, beside)
    plainly = (here[i].panel for i in numbers if not is_of_digit(texts[i]))
    often = {panel for panel, count in Counter(plainly).items() if count >= LEAST_TAGS}
    used = ({here[i].panel for i in tags} | often - SELDOM_PANELS) - {None}
    sure, doubtful = named | used, often & SELDOM_PANELS - named
    alike = {i: texts[i].run for i in numbers if here[i].panel is None or texts[i].apart}
    bare, perhaps = unringed(alike, symbols, sheet)
    several = {i for i in bare if texts[i].apart}
    bare, perhaps = bare - several, perhaps | several
    if used:
        tagged = {symbol for i in tags for symbol in beside[i]}
        bare, perhaps = ({i for i in each if beside[i] - tagged} for each in (bare, perhaps))
    beside_marks = {i for i, reading in here.items() if reading.loose and reading.kind == "protection"}
    in_use = bool(bare) and len(bare | beside_marks) >= LEAST_TAGS
    texts = [_with_loose(text, in_use) for text in texts]
    if len(bare) < LEAST_TAGS:
        bare = perhaps = set()
    alone = not used and len(named) <= 1
    return [
        _settled(text, index in bare | perhaps,
                 text.reading.panel in (odd if is_of_digit(text) else sure), alone and index not in perhaps,
                 text.reading.panel in doubtful)
        if text.reading.kind == "number" else text
        for index, text in enumerate(texts)
    ]  # fmt: skip


def is_of_digit(text: Text) -> bool:
    """Is it a number that may be of a panel that a digit names, as 112 or 1.12, and no tag with a dash?"""
    panel = text.reading.panel
    return text.reading.kind == "number" and panel is not None and panel.isdigit() and "-" not in text.run.text


def _of_digits(texts: list[Text], named: set[str | None], beside: Iterable[int]) -> set[str | None]:
    """Panels of which such numbers are circuits: three outlets or more have different ones, of panels that the
    sheet names.  Those with a sign are fractions otherwise; others rooms, also where the plan has a 101."""
    told = {texts[i].run.text.strip("()"): texts[i].reading.panel for i in beside if is_of_digit(texts[i])}
    joined = [text.run.text.strip("()") for text in texts if is_of_digit(text)]
    rooms = any(text[0] not in named or text[1] == "0" for text in joined if text.isdigit())
    here = {text: panel for text, panel in told.items() if not (rooms and text.isdigit())}
    return set(here.values()) if len(here) >= LEAST_TAGS and named.issuperset(here.values()) else set()


def _outlets_beside(pairs: Pairs, symbols: tuple[Symbol, ...]) -> dict[int, set[int]]:
    """The outlets beside each text, or that a line leads to from it; texts without one are left out."""
    outlet = np.array([symbol.is_outlet for symbol in symbols])
    near = outlet[pairs.symbol] & ((pairs.gap <= BESIDE) | pairs.leader)
    beside: dict[int, set[int]] = {}
    for run, symbol in zip(pairs.run[near].tolist(), pairs.symbol[near].tolist(), strict=True):
        beside.setdefault(run, set()).add(symbol)
    return beside


def _with_loose(text: Text, in_use: bool) -> Text:
    """GFI 3 on a sheet where bare numbers are no circuits: 3 may be a note, which may take the mark back.  REF 3
    where they are (``in_use``): 3 may be the circuit."""
    reading = text.reading
    if reading.kind == "protection":
        return text if in_use else replace(text, reading=replace(reading, doubt=(*reading.doubt, *reading.loose)))
    tags = tuple(("circuit_unsure", tag.strip("()#")) for tag in reading.loose if in_use)
    return replace(text, reading=replace(reading, sets=(*reading.sets, *tags))) if tags else text


def _settled(text: Text, bare: bool, named: bool, alone: bool, doubtful: bool) -> Text:
    """A doubtful tag as a tag, as a doubt, or as no tag.

    ``bare``: a number that counts as a tag, ``alone``: of the only panel; ``named``: its letters are a panel's,
    ``doubtful``: or perhaps.
    """
    if text.apart is not None and not (named or doubtful):
        text = replace(text, reading=text.apart)
    lettered = text.reading.panel is not None
    if not (bare or (lettered and (named or doubtful))):
        return Text(text.run, Reading((), "other"), plain=False)
    reading = replace(text.reading, kind="circuit")
    if not (named if lettered else alone):
        unsure = ((f"{name}_unsure" if name == "circuit" else name, value) for name, value in reading.sets)
        reading = replace(reading, sets=tuple(unsure))
    return Text(text.run, reading, plain=False)


def _named_panels(sheet: Sheet) -> set[str | None]:
    """Names after the word PANEL, or its schedule, anywhere on the sheet."""
    found: set[str | None] = set()
    words = [word for word in sheet.words if units.plain(word.text).strip(":-") not in ("", "SCHEDULE")]
    for one, two in pairwise(words):
        if units.plain(one.text).rstrip(":") in ("PANEL", "PNL", "PNL.", "PANELBOARD", "CENTER", "LOADCENTER"):
            name = units.plain(two.text).strip("'\".,:")
            if re.fullmatch(r"[A-Z]{1,3}\d{0,2}|\d{1,2}", name) and one.line == two.line:
                found.add(name)
    return found
