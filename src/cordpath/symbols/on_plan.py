"""Which symbols are devices of the plan, and which are samples in a legend, a schedule or a note.

No outlet is put aside in silence: one that is no sample for sure stays as a doubt, and those in drawings that are
no plans (elevations, details) are told among what nothing accounts for.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import in_box
from cordpath.model import FloatArray, Point, Region, Sheet, Symbol, Unexplained, Word
from cordpath.symbols.examples.legend import SIDE
from cordpath.symbols.examples.legend_lines import UPRIGHT
from cordpath.symbols.labels.stray import BESIDE_PT
from cordpath.symbols.labels.words import read
from cordpath.symbols.matching.print_size import in_legend
from cordpath.symbols.sample_columns import SampleColumns
from cordpath.symbols.second_signs import without_second_signs

DRAWINGS = ("detail", "key plan")
FEWEST_RULES = 3  # level lines right across a schedule's table
ACROSS = 0.8  # of its width
FEWEST_SAMPLES, MOSTLY = 2, 0.6  # other symbols of a legend, and the part of them that tells the side of its texts
FEWEST_SCATTERED = 4  # outlets of a legend from which those in no column and no row are told from samples
IN_LINE = 6.0  # pt: samples of one column or row do not stand farther apart across it
LEAST_LETTERS = 3  # of a word that describes a sample; shorter ones are letters of signs


def on_plan(
    symbols: tuple[Symbol, ...], sheet: Sheet
) -> tuple[tuple[Symbol, ...], list[str], tuple[Unexplained, ...]]:
    """The symbols without the samples in legends and schedules and without what other parts of the sheet than plans
    show; what is said of those; and the outlets in drawings that are no plans.

    An outlet or a fixture among notes is kept as a doubt, and so is one in a legend that has no description beside
    it, or an outlet there with a circuit: the part may have been taken too large, and a sink that is lost clears
    the outlets around it.  An outlet in a title block is kept as it is: nobody draws samples there.
    """
    symbols, second = without_second_signs(symbols, sheet)
    counts = Counter({"legend": second} if second else {})
    kept: list[Symbol] = []
    elsewhere: dict[Region, list[Symbol]] = {}
    legends = any(region.kind == "legend" for region in sheet.regions)
    circuits = _circuits(sheet) if legends else np.zeros(0, object)  # asked about in legends only
    sampled = legends and any(s.is_outlet and in_legend(s.at, sheet) for s in symbols)
    columns = SampleColumns.of(sheet) if sampled else None
    for symbol in symbols:
        region = next((r for r in sheet.regions if in_box(symbol.at, r.box)), None)
        if region is None or (region.kind == "title block" and symbol.is_outlet):
            kept.append(symbol)
        elif region.kind in DRAWINGS and symbol.is_outlet:
            elsewhere.setdefault(region, []).append(symbol)
        elif (reason := _doubt(symbol, region, sheet, circuits, symbols, columns)) is not None:
            kept.append(replace(symbol, found=False, reasons=(*symbol.reasons, reason)))
        else:
            counts[region.kind] += 1
    notes = [f"{n} symbol{'s' if n > 1 else ''} in the {kind} {'are' if n > 1 else 'is'} no device of the plan: "
             "not counted" for kind, n in sorted(counts.items())]  # fmt: skip
    kept.sort(key=lambda s: (round(s.at[1], 1), round(s.at[0], 1), s.entry.name))
    return tuple(kept), notes, tuple(_told(region, shown) for region, shown in elsewhere.items())


def _told(region: Region, shown: list[Symbol]) -> Unexplained:
    names = Counter(symbol.entry.name for symbol in shown)
    listed = ", ".join(f"{n} x '{name}'" for name, n in sorted(names.items()))
    title = f"'{region.title}'" if region.title else f"a {region.kind}"
    return Unexplained(f"{listed} in {title}, which is taken for no plan: not judged", tuple(s.at for s in shown))


def _doubt(
    symbol: Symbol, region: Region, sheet: Sheet, circuits: NDArray[np.object_], symbols: tuple[Symbol, ...],
    columns: SampleColumns | None,
) -> str | None:  # fmt: skip
    """Why a symbol in a part that is no plan may be a device of the plan all the same; None for a sample."""
    if region.kind == "notes" or (region.kind == "schedule" and not _ruled(region, sheet)):
        if symbol.is_outlet or symbol.is_fixture:
            return f"it stands in what looks like the {region.kind} of the sheet, where no symbols are expected"
        return None
    if region.kind != "legend" or not (symbol.is_outlet or symbol.is_fixture):
        return None
    if (
        symbol.is_outlet
        and len(circuits)
        and float(shapely.distance(circuits, symbol.footprint).min()) <= BESIDE_PT
    ):
        return "it stands in what looks like the legend of the sheet, with a circuit beside it"
    in_grid = columns.in_grid(symbol, region) if columns is not None else None
    if in_grid:
        return None
    if symbol.is_outlet and _scattered([s.at for s in symbols if s.is_outlet and in_box(s.at, region.box)]):
        return "it stands in what looks like the legend of the sheet, among outlets in no column and no row"
    if symbol.is_outlet and (in_grid is False or (columns is not None and columns.lacks(symbol, region))):
        return "it stands in what looks like the legend of the sheet, out of the column of its samples"
    if not _described(symbol, region, sheet, symbols):
        return "it stands in what looks like the legend of the sheet, with no description beside it"
    return None


def _scattered(places: list[Point]) -> bool:
    """Does hardly any of these stand in a column or a row with another, as the samples of a legend do?"""
    if len(places) < FEWEST_SCATTERED:
        return False
    lines = [1 + int((np.diff(np.sort(each)) > IN_LINE).sum()) for each in np.array(places).T]
    return min(lines) > len(places) / 2


def _circuits(sheet: Sheet) -> NDArray[np.object_]:
    """The boxes of the words that are surely circuits."""
    return np.array([shapely.box(*word.box) for word in sheet.words if _is_circuit(word)], dtype=object)


def _is_circuit(word: Word) -> bool:
    said = read(word.text, ())
    return said is not None and said.kind == "circuit"


def _described(symbol: Symbol, region: Region, sheet: Sheet, symbols: tuple[Symbol, ...]) -> bool:
    """Does a text of the legend stand level with the symbol, on the side on which its other samples have theirs?

    Where no text of the legend was read, any symbol may be a sample.
    """
    text = _descriptions(region, sheet)
    if not len(text):
        return True
    before, after = _beside(symbol, text)
    samples = [each for each in symbols if each is not symbol and in_box(each.at, region.box)]
    others = [_beside(each, text) for each in samples]
    if not before and any(left for left, _ in others):  # signs right of their texts stand behind the longest
        column = [left for s, (left, _) in zip(samples, others, strict=True) if _is_under(s, symbol)]
        before = any(column) and _beside(symbol, text, reach=np.inf)[0]
    followed = sum(right for _, right in others)
    if len(others) >= FEWEST_SAMPLES and followed > MOSTLY * len(others):
        return after
    return before or after


def _is_under(one: Symbol, other: Symbol) -> bool:
    return abs(one.at[0] - other.at[0]) <= IN_LINE


def _beside(symbol: Symbol, text: FloatArray, reach: float = SIDE) -> tuple[bool, bool]:
    """Does a text stand level with the symbol, left of it and right of it, within ``reach`` (pt)?"""
    x0, y0, x1, y1 = symbol.footprint.bounds
    level = text[(text[:, 1] < y1) & (text[:, 3] > y0)]
    middle = (level[:, 0] + level[:, 2]) / 2
    left, right = x0 - level[:, 2], level[:, 0] - x1
    return (
        bool(((left <= reach) & (middle < symbol.at[0])).any()),
        bool(((right <= reach) & (middle >= symbol.at[0])).any()),
    )


def _descriptions(region: Region, sheet: Sheet) -> FloatArray:
    """(n, 4) boxes of the words of a legend that may describe a symbol: no circuits, no letters of signs, not its
    heading."""
    heading = set(region.title.upper().split())
    boxes = [
        word.box for word in sheet.words
        if in_box(word.at, region.box) and abs(word.angle) < UPRIGHT
        and sum(letter.isalpha() for letter in word.text) >= LEAST_LETTERS and not _is_circuit(word)
        and not (word.box[1] < region.box[1] + 2 * word.size and word.text.upper().strip(" :") in heading)
    ]  # fmt: skip
    return np.array(boxes, float).reshape(-1, 4)


def _ruled(region: Region, sheet: Sheet) -> bool:
    """Is the part a table: level lines right across it?"""
    x0, y0, x1, y1 = region.box
    xy = sheet.strokes.xy
    flat = (np.abs(xy[:, 3] - xy[:, 1]) < 1.0) & (xy[:, 1] > y0 - 2) & (xy[:, 1] < y1 + 2)
    part = np.minimum(xy[flat][:, [0, 2]].max(1), x1) - np.maximum(xy[flat][:, [0, 2]].min(1), x0)
    rows = np.unique(np.round(xy[flat][part >= ACROSS * (x1 - x0), 1]))
    return len(rows) >= FEWEST_RULES
