"""Prove the scale of every view from independent evidence.

Terms: *note*, the scale as written under a drawing or in the title block; *consensus*, the ratio on which the most
dimension strings agree; *override*, the scale that the user's mapping file states.

A print that was fitted to smaller paper keeps its note but loses its scale, so a note alone is believed less than a
note that the drawing's own dimensions confirm.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cordpath.model import POINTS_PER_INCH, Box, Drawing, Scale, ScaleEvidence, Sheet, Strokes, View, Word
from cordpath.scale.dimensions import Reading, String, readings, strings
from cordpath.units import ScaleNote, find_scale_note, parse_scale_note

AGREE = 0.01  # relative: evidence within this is the same scale
ROUNDING = 0.3  # pt on the drawn length of one string: plots round to 1/600 in (0.12 pt), tick and pen width
NOTE_ALONE = 0.03  # relative; prints fitted to a page's margins shrink by 2 to 3 %, which a note does not show
FEWEST = 2  # strings that must agree to confirm or to contradict a note: one may belong to other marks
FEWEST_ALONE = 3  # strings that must agree where they are the only evidence
DOMINANT = 0.5  # of the strings that can be read: a consensus of fewer contradicts nothing
FINEST = 0.002  # relative; the least tolerance that is ever claimed, from rounding over a 5 in. long string
RATIOS = (1.0, 2000.0)  # of building drawings
MARGIN = 40.0  # pt round a view: its outermost dimension strings


@dataclass(frozen=True)
class Consensus:
    ratio: float
    count: int
    of: int  # strings that had a reading
    spread: float  # relative, of the agreeing strings
    text: str
    different: bool  # do strings of different lengths agree

    @property
    def dominant(self) -> bool:
        return self.count >= DOMINANT * self.of


def prove_scales(sheet: Sheet, drawing: Drawing) -> tuple[Scale, ...]:
    """One scale a view, in the order of ``sheet.views``."""
    return tuple(_prove(sheet, view, drawing) for view in sheet.views)


def _prove(sheet: Sheet, view: View, drawing: Drawing) -> Scale:
    note = _note(view)
    size = (sheet.width / POINTS_PER_INCH, sheet.height / POINTS_PER_INCH)
    written = note.at(*size) if note else None
    found, read = _strings_of(sheet, view)
    consensus = best(found, read)
    override, own = _override(sheet, drawing)
    given = override if override is not None else written
    support = around(found, read, given) if given is not None else None
    evidence = []
    if override is not None:
        evidence.append(ScaleEvidence("override", override, f"1:{override:g}" if own else drawing.scale_text))
    if written is not None and view.note:
        evidence.append(ScaleEvidence("note", written, view.note))
    if support is not None and _confirms(support, consensus):
        consensus = support
    if consensus is not None and consensus.count >= FEWEST:
        evidence.append(ScaleEvidence("dimension", consensus.ratio, consensus.text, consensus.count))
    return _combined(view, note, tuple(evidence), consensus, own)


def _override(sheet: Sheet, drawing: Drawing) -> tuple[float | None, bool]:
    """The ratio of the mapping file, and was it given for this very sheet."""
    by_number = {number.upper(): ratio for number, ratio in drawing.sheet_scales}
    own = by_number.get((sheet.number or "").upper())
    return (own, True) if own is not None else (drawing.scale, False)


def _note(view: View) -> ScaleNote | None:
    return (parse_scale_note(view.note) or find_scale_note(view.note)) if view.note else None


# ----------------------------------------------------------------------------------------------- combining


def _combined(
    view: View, note: ScaleNote | None, evidence: tuple[ScaleEvidence, ...], consensus: Consensus | None, own: bool
) -> Scale:
    """The verdict.  A scale given for this very sheet outweighs its note, with the contradiction said and the
    wider tolerance; one given for all sheets does not, nor does any outweigh the drawing's own dimensions."""
    stated = next((e for e in evidence if e.source in ("override", "note")), None)
    measured = next((e for e in evidence if e.source == "dimension"), None)
    believed = consensus is not None and _believed(consensus)
    if stated is None or (note is not None and note.kind == "not to scale" and stated.source != "override"):
        return _without_statement(view, note, evidence, measured if believed else None, consensus)
    if measured is not None and consensus is not None and consensus.count >= FEWEST:
        if _agree(measured, stated):
            off = max(abs(measured.ratio / stated.ratio - 1), consensus.spread, FINEST)
            return Scale(view.id, stated.ratio, stated.source, stated.text, "proved", evidence, off)
        if believed:
            return _conflict(view, stated, measured, evidence)
    written = next((e for e in evidence if e.source == "note"), stated)
    if not _agree(written, stated) and not own:
        return _conflict(view, stated, written, evidence)
    why = _unconfirmed(stated, written)
    return Scale(view.id, stated.ratio, stated.source, stated.text, "single", evidence, NOTE_ALONE, why)


def _unconfirmed(stated: ScaleEvidence, written: ScaleEvidence) -> str:
    """Why a scale is not proved.  A note and a mapping file that repeats it measure nothing: both would survive a
    print on smaller paper."""
    if stated.source == "note":
        return "only the note states the scale: no dimension strings on the drawing confirm it"
    if written is stated:
        return "only the mapping file states the scale: nothing on the drawing confirms it"
    if _agree(written, stated):
        return "the mapping file and the note state the scale: no dimension strings on the drawing confirm it"
    return (f"the mapping file's scale for this sheet, 1:{stated.ratio:.4g}, was used although the note says "
            f"{written.text} (1:{written.ratio:.4g}), and no dimension strings tell which is right")  # fmt: skip


def _without_statement(
    view: View, note: ScaleNote | None, evidence: tuple[ScaleEvidence, ...], measured: ScaleEvidence | None,
    consensus: Consensus | None,
) -> Scale:  # fmt: skip
    text = view.note or ""
    if note is not None and note.kind == "not to scale":
        return Scale(view.id, None, "note", text, "not to scale", evidence, why=f"the drawing says {text}")
    enough = consensus is not None and consensus.count >= FEWEST_ALONE and consensus.different
    if measured is not None and consensus is not None and enough:
        why = f"only {consensus.count} dimension strings state the scale: there is no scale note that confirms them"
        tolerance = max(AGREE, consensus.spread)
        return Scale(view.id, measured.ratio, "dimension", measured.text, "single", evidence, tolerance, why)
    why = "no scale note and no dimension strings were found"
    if note is not None and note.kind == "as noted":
        why = f"the title block says {text}, and no scale note was found at the drawing"
    elif note is not None:
        why = f"the note {text} does not tell which scale this print has"
    elif consensus is not None:
        why = "there is no scale note, and too few dimension strings agree"
    return Scale(view.id, None, "none", text, "unknown", evidence, why=why)


def _conflict(
    view: View, stated: ScaleEvidence, other: ScaleEvidence, evidence: tuple[ScaleEvidence, ...]
) -> Scale:
    said = {"override": "the mapping file says", "note": "the note says"}
    measured = f"{other.count} dimension strings say 1:{other.ratio:.4g} ({other.text})"
    against = measured if other.source == "dimension" else f"the note says {other.text} (1:{other.ratio:.4g})"
    why = f"{said[stated.source]} {stated.text} (1:{stated.ratio:.4g}), but {against}"
    return Scale(view.id, None, stated.source, stated.text, "conflict", evidence, why=why)


def _agree(a: ScaleEvidence, b: ScaleEvidence) -> bool:
    return abs(a.ratio / b.ratio - 1) <= AGREE


def _believed(consensus: Consensus) -> bool:
    """Is the consensus strong enough to contradict what is written: several strings of different lengths, and
    most of those that can be read.  A wrong scale makes every distance wrong, so two are enough to ask."""
    return consensus.count >= FEWEST and consensus.different and consensus.dominant


def _confirms(support: Consensus, consensus: Consensus | None) -> bool:
    """Do the strings that agree with the stated scale outweigh the best other ratio."""
    return support.count >= FEWEST and (consensus is None or support.count >= 0.8 * consensus.count)


# ----------------------------------------------------------------------------------------------- consensus


def _strings_of(sheet: Sheet, view: View) -> tuple[tuple[String, ...], tuple[Reading, ...]]:
    box = view.box
    note = view.note_box
    words = tuple(
        word for word in sheet.words
        if _in(word.at, box) and not _in_region(word, sheet) and not (note and _in(word.at, note))
    )  # fmt: skip
    found = strings(words)
    if not found:
        return (), ()
    wide = (box[0] - MARGIN, box[1] - MARGIN, box[2] + MARGIN, box[3] + MARGIN)
    return found, readings(found, _near(sheet.strokes, wide), sheet.fills)


def _near(strokes: Strokes, box: Box) -> Strokes:
    xy = strokes.xy
    low, high = np.minimum(xy[:, :2], xy[:, 2:]), np.maximum(xy[:, :2], xy[:, 2:])
    inside = (low <= box[2:]).all(axis=1) & (high >= box[:2]).all(axis=1)
    return strokes.take(np.asarray(inside, bool))


def _in(point: tuple[float, float], box: Box) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


def _in_region(word: Word, sheet: Sheet) -> bool:
    return any(_in(word.at, region.box) for region in sheet.regions)


def best(found: tuple[String, ...], read: tuple[Reading, ...]) -> Consensus | None:
    """The ratio on which the most strings agree, best readings counting more; None without readings."""
    ratio, slack, weight, owner = _table(found, read)
    if not len(ratio):
        return None
    close = np.abs(ratio[None, :] / ratio[:, None] - 1) <= slack[None, :]
    votes = [_votes(close[i], weight, owner) for i in range(len(ratio))]
    drawn = np.array([r.drawn for r in read])[_usable(found, read)]
    pick = max(range(len(ratio)), key=lambda i: (round(votes[i], 6), weight[i], drawn[i]))
    return around(found, read, float(ratio[pick]))


def around(found: tuple[String, ...], read: tuple[Reading, ...], ratio: float) -> Consensus | None:
    """The strings that agree with ``ratio``, and the ratio that they give together."""
    ratios, slack, _, owner = _table(found, read)
    agree = np.flatnonzero(np.abs(ratios / ratio - 1) <= slack)
    if not len(agree):
        return None
    drawn = (np.array([r.drawn for r in read])[_usable(found, read)])[agree]
    nearest: dict[int, int] = {}
    for k, row in sorted(enumerate(agree), key=lambda item: abs(ratios[item[1]] / ratio - 1)):
        nearest.setdefault(int(owner[row]), k)
    rows = np.array(sorted(nearest.values()))
    together, weights = ratios[agree][rows], drawn[rows]
    middle = float((together * weights).sum() / weights.sum())
    spread = float((np.abs(together / middle - 1) * weights).sum() / weights.sum())
    members = [found[number] for number in sorted(nearest)]
    longest = max(members, key=lambda string: string.length_in)
    lengths = {round(string.length_in, 3) for string in members}
    readable = len(set(owner.tolist()))
    return Consensus(middle, len(members), readable, spread, longest.text, len(lengths) > 1)


def _usable(found: tuple[String, ...], read: tuple[Reading, ...]) -> np.ndarray:
    ratio = np.array([found[r.string].length_in * POINTS_PER_INCH / r.drawn for r in read])
    return (ratio >= RATIOS[0]) & (ratio <= RATIOS[1]) if len(ratio) else np.zeros(0, bool)


def _table(
    found: tuple[String, ...], read: tuple[Reading, ...]
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Ratio, relative slack, weight (1, 1/2, 1/4 by rank) and string of every usable reading."""
    usable = _usable(found, read)
    rows = [r for r, ok in zip(read, usable, strict=True) if ok]
    drawn = np.array([r.drawn for r in rows])
    ratio = np.array([found[r.string].length_in * POINTS_PER_INCH for r in rows]) / drawn
    slack = np.maximum(AGREE / 2, ROUNDING / drawn).clip(max=0.05)
    weight = 0.5 ** np.array([r.rank for r in rows], float)
    return ratio, slack, weight, np.array([r.string for r in rows], np.int64)


def _votes(close: np.ndarray, weight: np.ndarray, owner: np.ndarray) -> float:
    """Sum over strings of the best weight among their close readings."""
    if not close.any():
        return 0.0
    top = np.zeros(int(owner.max()) + 1)
    np.maximum.at(top, owner[close], weight[close])
    return float(top.sum())
