"""Prove the scale of every view from independent evidence.

Terms: *statement*, a scale that somebody wrote down: the note under a drawing or in the title block, the mapping
file (an *override*), a viewport of the file.  *Measurement*, a scale that the print itself shows: dimension
strings, a graphic bar.

A print that was fitted to other paper keeps its statements but loses its scale, so a statement alone is believed
less than one that a measurement confirms, and a strong measurement outweighs a note.  A scale that the user
stated is never outweighed: where the drawing contradicts it, nothing is measured and the user is asked.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

from cordpath.model import Dimension, Drawing, Scale, ScaleEvidence, Sheet, View
from cordpath.scale.bars import find_bars
from cordpath.scale.camps import favoured
from cordpath.scale.consensus import AGREE, FEWEST, FEWEST_ALONE, agreeing
from cordpath.scale.gather import METRIC_RATIOS, Witnesses, gather, strings_of
from cordpath.scale.leaves import leaf_widths
from cordpath.scale.originals import find_original
from cordpath.scale.stamps import size_stamp

NOTE_ALONE = 0.03  # relative; prints fitted to a page's margins shrink by 2 to 3 %, which a note does not show
FEWEST_VIEWS = 2  # that show the size of a print by the same false factor
FINEST = 0.002  # relative; the least tolerance that is ever claimed, from rounding over a 5 in. long string
MEASURED = ("dimension", "bar")  # what shrinks with the print
SAID = {"override": "the mapping file says", "note": "the note says", "viewport": "a viewport of the file says",
        "bar": "the scale bar says"}  # fmt: skip


def prove_scales(sheet: Sheet, drawing: Drawing) -> tuple[Scale, ...]:
    """One scale a view, in the order of ``sheet.views``."""
    bars, original = find_bars(sheet), find_original(sheet)
    return _whole_print(tuple(_proved(gather(sheet, view, drawing, bars, original), sheet) for view in sheet.views))


def _whole_print(scales: tuple[Scale, ...]) -> tuple[Scale, ...]:
    """A print is fitted to its paper as a whole: where one drawing shows that its note is false, the notes of the
    others that nothing confirms are not believed, and where several show the same size of the print they are
    corrected by it."""
    false = [s for s in scales if s.source in MEASURED and _noted(s) is not None and not _right(s)]
    if not false:
        return scales
    size = _size_of_print(scales, false)
    return tuple(_on_this_print(s, size) if _only_said(s) else s for s in scales)


def _only_said(scale: Scale) -> bool:
    said = scale.measurable and scale.source in ("note", "viewport")
    return said and not any(e.source in MEASURED for e in scale.evidence)


def _size_of_print(scales: tuple[Scale, ...], false: list[Scale]) -> float | None:
    """The factor by which drawings show their notes to be false, where two or more agree on it and none is right:
    one alone may have a note that is wrong on the original too."""
    sizes = [s.ratio / noted for s in false if s.ratio is not None and (noted := _noted(s)) is not None]
    confirmed = any(_right(s) and any(e.source in MEASURED for e in s.evidence) for s in scales)
    if len(sizes) < FEWEST_VIEWS or confirmed or max(sizes) > (1 + AGREE) * min(sizes):
        return None
    return sum(sizes) / len(sizes)


def _on_this_print(scale: Scale, size: float | None) -> Scale:
    """A drawing whose note nothing confirms, on a print that has not the scale of its notes."""
    why = "another drawing on this sheet shows that this print has not the scale of its notes"
    noted = _noted(scale)
    if size is None or noted is None or scale.source != "note":
        return replace(scale, ratio=None, status="conflict", why=f"{why}, and nothing else confirms this one's")
    told = (
        f"the note {scale.text} (1:{noted:.4g}) is false on this print: other drawings on the sheet show "
        f"that it is at {100 / size:.3g} %, and 1:{noted * size:.4g} was used"
    )
    return replace(scale, ratio=noted * size, status="single", tolerance=NOTE_ALONE, why=told)


def _noted(scale: Scale) -> float | None:
    return next((e.ratio for e in scale.evidence if e.source == "note"), None)


def _right(scale: Scale) -> bool:
    noted = _noted(scale)
    return noted is not None and scale.ratio is not None and abs(noted / scale.ratio - 1) <= AGREE


def read_dimensions(sheet: Sheet, view: View, scale: Scale) -> tuple[Dimension, ...]:
    """The dimension strings of a view, each with the points on its line that it runs between.

    A string that can be read to agree with the scale is read so, any other one at its nearest marks: what is
    figured on a drawing counts even where it was not drawn to scale, and the reader of the result compares both.
    """
    if scale.ratio is None:
        return ()
    found, read = strings_of(sheet, view, find_bars(sheet), scale.ratio)
    chosen = {r.string: r for r in read if r.rank == 0}
    if read:
        chosen.update((r.string, r) for r in agreeing(found, read, scale.ratio))
    return tuple(
        Dimension(found[k].text, found[k].length_in / 12.0, r.start, r.end) for k, r in sorted(chosen.items())
    )


def _proved(seen: Witnesses, sheet: Sheet) -> Scale:
    barred = seen.note is not None and seen.note.kind == "not to scale" and seen.override is None
    if barred:
        text = seen.view.note or ""
        return Scale(seen.view.id, None, "note", text, "not to scale", seen.all, why=f"the drawing says {text}")
    measured = _measured(seen)
    apart = _apart(measured)
    if apart is not None:
        return _conflict(seen, *apart)
    stated = seen.stated
    if stated is None:
        return _without_statement(seen, measured)
    if not measured:
        stamp = size_stamp(sheet) if stated.source != "override" else None
        return _statements_only(seen, stated) if stamp is None else _stamped(seen, stated, stamp)
    if all(_agree(e, stated) for e in measured):
        return _confirmed(seen, stated)
    if stated.source != "override" and _outweighs(seen, measured):
        return _outweighed(seen, measured)
    camps = _by_doors(seen, sheet, stated, measured)
    return camps if camps is not None else _conflict(seen, stated, measured[0])


def _measured(seen: Witnesses) -> list[ScaleEvidence]:
    """Measurements that count: strings that confirm what is stated, or that are many enough to contradict it."""
    dimension = seen.dimension
    if dimension is not None and seen.consensus is not None and not seen.consensus.believed:
        confirms = any(_agree(dimension, other) for other in (seen.stated, *seen.bars) if other is not None)
        dimension = dimension if confirms else None
    return ([dimension] if dimension is not None else []) + list(seen.bars)


def _apart(measured: list[ScaleEvidence]) -> tuple[ScaleEvidence, ScaleEvidence] | None:
    """Two measurements that contradict each other."""
    return next(((a, b) for a, b in combinations(measured, 2) if not _agree(a, b)), None)


def _agree(a: ScaleEvidence, b: ScaleEvidence) -> bool:
    return abs(a.ratio / b.ratio - 1) <= AGREE


def _spread(seen: Witnesses) -> float:
    return seen.consensus.spread if seen.consensus is not None and seen.dimension is not None else 0.0


# ----------------------------------------------------------------------------------- with a statement


def _confirmed(seen: Witnesses, stated: ScaleEvidence) -> Scale:
    """A statement that every measurement confirms; other statements that it contradicts are named."""
    off = max([abs(e.ratio / stated.ratio - 1) for e in _measured(seen)] + [_spread(seen), FINEST])
    others = [e for e in (seen.written, *seen.viewports) if e is not None and not _agree(e, stated)]
    why = f"{_wrong(others, stated.ratio)}: the drawing itself confirms {_say(stated)}" if others else None
    return Scale(seen.view.id, stated.ratio, stated.source, stated.text, "proved", seen.all, off, why)


def _outweighs(seen: Witnesses, measured: list[ScaleEvidence]) -> bool:
    """May measurements replace a note: strings of three lengths or more, or strings and a bar that agree; and not
    where other strings agree with the note, as when two drawings were taken for one view.  Strings of one short
    length agree with many ratios and speak for none; nor do strings without a unit beside a note in feet."""
    if seen.original and all(e in seen.bars for e in measured):
        return True  # the mark says itself that the note holds for the original and not for this print
    if seen.consensus is None or seen.dimension is None or measured[0] is not seen.dimension or seen.foreign:
        return False
    support = seen.support
    torn = support is not None and support.first >= FEWEST
    torn = torn and support is not None and (support.lengths > 1 or 2 * support.first >= seen.consensus.first)
    return not torn and (seen.consensus.strong or (seen.consensus.believed and len(measured) > 1))


def _by_doors(seen: Witnesses, sheet: Sheet, stated: ScaleEvidence, measured: list[ScaleEvidence]) -> Scale | None:
    """A note against a few dimension strings, where the doors speak clearly for one of the two; both are said."""
    if stated.source != "note" or any(e.source != "dimension" for e in measured):
        return None
    decided = favoured(leaf_widths(sheet, seen.view.box), stated, measured[0])
    if decided is None:
        return None
    right, wrong, said = decided
    why = f"{_say(right)}, but {_say(wrong)}; {said}, and the first was used"
    return Scale(seen.view.id, right.ratio, right.source, right.text, "single", seen.all, NOTE_ALONE, why)


def _outweighed(seen: Witnesses, measured: list[ScaleEvidence]) -> Scale:
    """The print has another scale than its note: the measured one is used, loudly."""
    found = measured[0]
    wrong = [e for e in (seen.written, *seen.viewports) if e is not None and not _agree(e, found)]
    right = [e for e in seen.viewports if _agree(e, found)]
    witnesses = [*measured, *right]
    why = f"{_wrong(wrong, found.ratio)}: {' and '.join(_say(e) for e in witnesses)}, and that was used"
    tolerance = max(AGREE, _spread(seen))
    status = "proved" if len({e.source for e in witnesses}) > 1 else "single"
    return Scale(seen.view.id, found.ratio, found.source, found.text, status, seen.all, tolerance, why)  # type: ignore[arg-type]


def _wrong(wrong: list[ScaleEvidence], ratio: float) -> str:
    """Statements that are false, and at what share of the stated size the print shows the drawing."""
    said = []
    for e in wrong:
        drawn = 100 * e.ratio / ratio
        subject = "the note" if e.source == "note" else "the file's viewport"
        said.append(f"{subject} {e.text} (1:{e.ratio:.4g}) is false on this print, drawn at {drawn:.3g} % of it")
    return ", ".join(said)


def _statements_only(seen: Witnesses, stated: ScaleEvidence) -> Scale:
    """Nothing measures this print.  Statements may all survive a print on smaller paper, so the tolerance stays
    wide even where a note and the file's viewport agree."""
    others = [e for e in (seen.written, *seen.viewports) if e is not None and e is not stated]
    against = [e for e in others if not _agree(e, stated)]
    if against and not (seen.own and stated.source == "override"):
        return _conflict(seen, stated, against[0])
    kinds = {stated.source, *(e.source for e in others)}
    proved = "viewport" in kinds and len(kinds) > 1 and not against
    status = "proved" if proved else "single"
    why = _unconfirmed(stated, others, against)
    if seen.dimension is not None and not _agree(seen.dimension, stated):
        why = f"{why}; {_say(seen.dimension)}, too few of different lengths to be sure"
    return Scale(seen.view.id, stated.ratio, stated.source, stated.text, status, seen.all, NOTE_ALONE, why)  # type: ignore[arg-type]


def _stamped(seen: Witnesses, stated: ScaleEvidence, stamp: str) -> Scale:
    """A sheet that says that it was printed smaller, and nothing on it that measures the print."""
    why = f"{_say(stated)}, but the sheet is stamped {stamp}: nothing measures which scale this print has"
    return Scale(seen.view.id, None, stated.source, stated.text, "conflict", seen.all, why=why)


def _unconfirmed(stated: ScaleEvidence, others: list[ScaleEvidence], against: list[ScaleEvidence]) -> str:
    """What no measurement confirms."""
    names = {"override": "the mapping file", "note": "the note", "viewport": "a viewport of the file"}
    if against:
        other = against[0]
        return (
            f"the mapping file's scale for this sheet, 1:{stated.ratio:.4g}, was used although {_say(other)}, "
            "and no dimension strings tell which is right"
        )
    sources = list(dict.fromkeys(e.source for e in (stated, *others)))
    if len(sources) > 1:
        said = " and ".join(names[source] for source in sources)
        return f"{said} state the scale: no dimension strings on the drawing confirm it"
    return f"only {names[stated.source]} states the scale: no dimension strings on the drawing confirm it"


def _conflict(seen: Witnesses, one: ScaleEvidence, other: ScaleEvidence) -> Scale:
    why = f"{_say(one)}, but {_say(other)}"
    return Scale(seen.view.id, None, one.source, one.text, "conflict", seen.all, why=why)


def _say(e: ScaleEvidence) -> str:
    if e.source == "dimension":
        return f"{e.count} dimension strings say 1:{e.ratio:.4g} ({e.text})"
    return f"{SAID[e.source]} {e.text} (1:{e.ratio:.4g})"


# -------------------------------------------------------------------------------- without a statement


def _usual_in_metres(ratio: float) -> bool:
    return any(abs(ratio / usual - 1) <= AGREE for usual in METRIC_RATIOS)


def _without_statement(seen: Witnesses, measured: list[ScaleEvidence]) -> Scale:
    """Measurements alone: two kinds that agree prove a scale."""
    view, note, text = seen.view, seen.note, seen.view.note or ""
    tolerance = max(AGREE, _spread(seen))
    if len({e.source for e in measured}) > 1:
        found = measured[0]
        return Scale(view.id, found.ratio, found.source, found.text, "proved", seen.all, tolerance)
    if measured and measured[0].source == "bar":
        why = "only the scale bar states the scale: no note or dimension strings confirm it"
        return Scale(view.id, measured[0].ratio, "bar", measured[0].text, "single", seen.all, tolerance, why)
    enough = seen.consensus is not None and seen.consensus.count >= FEWEST_ALONE and seen.consensus.lengths > 1
    unit = seen.consensus is None or not seen.consensus.bare or _usual_in_metres(seen.consensus.ratio)
    if measured and enough and not unit:
        why = f"{_say(measured[0])} if they are metric, which is no usual scale: their unit is not written"
        return Scale(view.id, None, "dimension", measured[0].text, "unknown", seen.all, why=why)
    if measured and enough:
        found = measured[0]
        why = f"only {found.count} dimension strings state the scale: there is no scale note that confirms them"
        return Scale(view.id, found.ratio, "dimension", found.text, "single", seen.all, tolerance, why)
    why = "no scale note, no scale bar and no dimension strings were found"
    if note is not None and note.kind == "as noted":
        why = f"the title block says {text}, and no scale note was found at the drawing"
    elif note is not None:
        why = f"the note {text} does not tell which scale this print has"
    elif seen.consensus is not None:
        why = "there is no scale note, and too few dimension strings agree"
    return Scale(view.id, None, "none", text, "unknown", seen.all, why=why)
