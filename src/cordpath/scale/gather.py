"""The witnesses of a view's scale: note, mapping file, viewports, dimension strings, graphic bars."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from cordpath.geometry import box_gap, boxes_around, grown, in_box
from cordpath.model import POINTS_PER_INCH, Box, Drawing, ScaleEvidence, Sheet, Strokes, View, Viewport, Word
from cordpath.scale.bars import Bar
from cordpath.scale.consensus import AGREE, FEWEST, Consensus, around, best
from cordpath.scale.dimensions import Reading, readings
from cordpath.scale.originals import Original
from cordpath.scale.written import String, in_other_units, strings
from cordpath.units import INCHES_PER_METRE, ScaleNote, find_scale_note, parse_scale_note, plain

MARGIN = 40.0  # pt round a view: its outermost dimension strings
BAR_REACH = 144.0  # pt, 2 in.: a bar stands under its drawing, beside the title
SAMPLES = 9  # points across and down a view at which its viewport is looked up
KIN = 3.0  # a bar without a unit that is this many times off what is stated is no ruler of the drawing
# Reduction scales of ISO 5455:1979 that are no architect's scales; a plan at one of them is drawn in metres.
METRIC_RATIOS = frozenset({5.0, 10.0, 20.0, 25.0, 50.0, 75.0, 100.0, 125.0, 200.0, 250.0, 500.0})
SHARE = 0.25  # of the samples: a viewport over less of a view is that of a neighbour or of a detail


@dataclass(frozen=True)
class Witnesses:
    """What tells the scale of one view.  ``own``: the mapping file names this very sheet."""

    view: View
    note: ScaleNote | None
    override: ScaleEvidence | None
    written: ScaleEvidence | None
    viewports: tuple[ScaleEvidence, ...]
    dimension: ScaleEvidence | None
    bars: tuple[ScaleEvidence, ...]
    consensus: Consensus | None
    support: Consensus | None  # strings that agree with what is stated, if any is
    own: bool
    original: bool = False  # the bars' evidence is a mark of the size of the print
    foreign: bool = False  # the strings that agree have no unit, and the note is in feet

    @property
    def stated(self) -> ScaleEvidence | None:
        """The statement that counts before the others."""
        return next((e for e in (self.override, self.written, *self.viewports) if e is not None), None)

    @property
    def all(self) -> tuple[ScaleEvidence, ...]:
        single = (self.override, self.written)
        measured = (self.dimension,) if self.dimension else ()
        return (*(e for e in single if e is not None), *self.viewports, *measured, *self.bars)


def gather(
    sheet: Sheet, view: View, drawing: Drawing, bars: tuple[Bar, ...], original: Original | None = None
) -> Witnesses:
    """What tells the scale of a view; ``bars`` and ``original`` are those of the sheet."""
    note = note_of(view)
    size = (sheet.width / POINTS_PER_INCH, sheet.height / POINTS_PER_INCH)
    ratio = note.at(*size) if note else None
    written = ScaleEvidence("note", ratio, view.note) if ratio is not None and view.note else None
    override, own = _override(sheet, drawing)
    ports = _viewports(sheet, view)
    given = next((e.ratio for e in (override, written, *ports) if e is not None), None)
    found, read = strings_of(sheet, view, bars, given)
    consensus = best(found, read)
    support = around(found, read, given) if given is not None else None
    if support is not None and _confirms(support, consensus):
        consensus = support
    dimension = None
    if consensus is not None and consensus.count >= FEWEST:
        dimension = ScaleEvidence("dimension", consensus.ratio, consensus.text, consensus.count)
    mine = [bar for bar in bars if _of_view(bar, view, sheet)]
    rulers = tuple(e for bar in mine if (e := _ruler(bar, note, found, given)) is not None)
    marked = _printed(original, note) if not rulers else None
    if marked is not None:
        rulers = (marked,)
    bare = consensus is not None and consensus.bare
    foreign = bare and _metric(note, ()) is False
    return Witnesses(
        view,
        note,
        override,
        written,
        ports,
        dimension,
        rulers,
        consensus,
        support,
        own,
        marked is not None,
        foreign,
    )


def _ruler(
    bar: Bar, note: ScaleNote | None, found: tuple[String, ...], given: float | None
) -> ScaleEvidence | None:
    """A bar's evidence; one without a unit is read in the unit of the sheet, where it is a ruler of the drawing."""
    if not bar.bare:
        return ScaleEvidence("bar", bar.ratio, bar.text)
    metric = _metric(note, found)
    if metric is None or given is None:
        return None
    ratio = bar.ratio * (INCHES_PER_METRE / 12.0 if metric else 1.0)
    if not 1 / KIN < ratio / given < KIN:
        return None
    return ScaleEvidence("bar", ratio, f"{bar.text} without a unit, taken as {'metres' if metric else 'feet'}")


def _metric(note: ScaleNote | None, found: tuple[String, ...]) -> bool | None:
    """Is the sheet drawn in metres, by its note and else by its dimensions; None where neither tells."""
    said = plain(note.text) if note is not None else ""
    if re.search(r"'|\"|\b(?:FEET|FOOT|FT|INCH)\b", said):
        return False
    if found:
        feet = sum("'" in plain(string.text) or '"' in plain(string.text) for string in found)
        return 2 * feet < len(found)
    return True if note is not None and note.ratio in METRIC_RATIOS else None


def _printed(original: Original | None, note: ScaleNote | None) -> ScaleEvidence | None:
    """The scale of a note that holds for the original, on a print of the size that the sheet's mark shows."""
    if original is None or note is None or note.ratio is None or note.kind != "ratio":
        return None
    text = f"{note.text} on a print at {100 * original.size:.3g} % by '{original.text}'"
    return ScaleEvidence("bar", note.ratio / original.size, text)


def note_of(view: View) -> ScaleNote | None:
    return (parse_scale_note(view.note) or find_scale_note(view.note)) if view.note else None


def _override(sheet: Sheet, drawing: Drawing) -> tuple[ScaleEvidence | None, bool]:
    """The scale of the mapping file, and was it given for this very sheet."""
    by_number = {number.upper(): ratio for number, ratio in drawing.sheet_scales}
    own = by_number.get((sheet.number or "").upper())
    if own is not None:
        return ScaleEvidence("override", own, f"1:{own:g}"), True
    if drawing.scale is None:
        return None, False
    return ScaleEvidence("override", drawing.scale, drawing.scale_text), False


def _confirms(support: Consensus, consensus: Consensus | None) -> bool:
    """Do the strings that agree with the stated scale outweigh the best other ratio.

    Strings that agree by second readings only do not: equal bays seen two at a time agree with half the scale.
    Nor do they where strings of several lengths tell another scale by their nearest marks: the view holds two
    drawings, and which of them has the stated scale is not known.
    """
    if support.count < FEWEST:
        return False
    if consensus is None:
        return True
    if consensus.strong and abs(consensus.ratio / support.ratio - 1) > AGREE:
        return False
    return support.count >= 0.8 * consensus.count and 2 * support.first >= consensus.first


# --------------------------------------------------------------------------------------- viewports and bars


def _viewports(sheet: Sheet, view: View) -> tuple[ScaleEvidence, ...]:
    """The viewports that lie over a good part of the view, those over most of it first.  Where they overlap the
    last in the file's order counts (ISO 32000-2:2020, 12.9.1)."""
    x = np.linspace(view.box[0], view.box[2], SAMPLES + 2)[1:-1]
    y = np.linspace(view.box[1], view.box[3], SAMPLES + 2)[1:-1]
    spots = np.array([(a, b) for a in x for b in y])
    top = np.full(len(spots), -1)
    for number, port in enumerate(sheet.viewports):
        box = np.array(port.box)
        top[((spots >= box[:2]) & (spots <= box[2:])).all(axis=1)] = number
    share = {k: float((top == k).mean()) for k in range(len(sheet.viewports))}
    over = sorted((k for k in share if share[k] >= SHARE), key=lambda k: (-share[k], -k))
    found = [sheet.viewports[k] for k in over]
    return tuple(ScaleEvidence("viewport", p.ratio, _named(p)) for p in found if p.ratio is not None)


def _named(port: Viewport) -> str:
    return f"{port.text} ({port.name})" if port.name else port.text


def _of_view(bar: Bar, view: View, sheet: Sheet) -> bool:
    """A bar belongs to the drawing in which it stands, else to the nearest; on a sheet of one drawing, to it."""
    if len(sheet.views) == 1:
        return True
    away = [box_gap(bar.box, other.box) for other in sheet.views]
    nearest = int(np.argmin(away))
    return sheet.views[nearest].id == view.id and away[nearest] <= BAR_REACH


# ---------------------------------------------------------------------------------------- dimension strings


def strings_of(
    sheet: Sheet, view: View, bars: tuple[Bar, ...], given: float | None
) -> tuple[tuple[String, ...], tuple[Reading, ...]]:
    """The written lengths of a view with their possible drawn lengths; figures of scale bars are none.

    Numbers without a unit are millimetres or metres, or of another unit where that agrees with the scale ``given``.
    """
    box = view.box
    note = view.note_box
    ruled = {id(word) for bar in bars for word in bar.words}
    words = tuple(
        word for word in sheet.words
        if in_box(word.at, box) and id(word) not in ruled and not _in_region(word, sheet)
        and not (note and in_box(word.at, note))
    )  # fmt: skip
    found = strings(words)
    if not found:
        return (), ()
    wide = grown(box, MARGIN)
    read = readings(found, _near(sheet.strokes, wide), sheet.fills)
    agreed = best(found, read) if given is not None and any(string.bare for string in found) else None
    if agreed is not None and agreed.bare and given is not None:
        return in_other_units(found, given / agreed.ratio, AGREE), read
    return found, read


def _near(strokes: Strokes, box: Box) -> Strokes:
    own = boxes_around(strokes.xy)
    inside = (own[:, :2] <= box[2:]).all(axis=1) & (own[:, 2:] >= box[:2]).all(axis=1)
    return strokes.take(np.asarray(inside, bool))


def _in_region(word: Word, sheet: Sheet) -> bool:
    return any(in_box(word.at, region.box) for region in sheet.regions)
