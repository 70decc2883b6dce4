"""Texts beside symbols: which belongs to which, and what it says about it.

A label that may as well be its neighbour's is kept, but what it says is then only a doubt: the fact
``protection`` becomes ``protection_unsure`` (``circuit_unsure`` and ``serves_unsure`` likewise) and both symbols
carry the reason.  The distances are labels/nearness.py's, the assignment labels/matching.py's.

Terms: *run*, a text of one or more words.  *Class*, the weightiest fact that a run tells; a symbol has at most one
run of each class.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from cordpath.model import (
    FIXTURE_KINDS,
    OUTLET_KINDS,
    BoolArray,
    FloatArray,
    IntArray,
    Label,
    Mapping,
    Sheet,
    Symbol,
    Unexplained,
)  # fmt: skip
from cordpath.symbols.labels.astray import astray, ends_at, pushed_off
from cordpath.symbols.labels.doubts import SETTLES, SURE_READING, UNSURE, low_stacks, passed_over, weighed
from cordpath.symbols.labels.leaders import Loose
from cordpath.symbols.labels.matching import MARGIN, MARGIN_SHARE, Match, matched
from cordpath.symbols.labels.nearness import Pairs, pairs_of, unowned
from cordpath.symbols.labels.pointed import at_ends, fans, shared, spoken_of
from cordpath.symbols.labels.run_on import running_on
from cordpath.symbols.labels.runs import runs_of
from cordpath.symbols.labels.scattered import scattered
from cordpath.symbols.labels.stacks import stacked
from cordpath.symbols.labels.texts import BESIDE, Text, settled_numbers, texts_of
from cordpath.symbols.labels.unclaimed import unclaimed
from cordpath.symbols.labels.words import Class, Sets, is_of_halves

NAMED_BESIDE = 9.0  # pt, 1/8 in: a built-in appliance code further off may name the appliance, not the outlet
NO_OUTLET = 2.0, 12.0  # factor and points by which the cost of a light or a switch grows
DEVICES = frozenset({*OUTLET_KINDS, "switch", "light", "panel", "other"})
ONE_LEG = 130.0  # V: receptacles of up to 125 V, most of which serve nothing in particular
PROTECTION = frozenset({"protection"})
# Circuit tags are given first: nearly every outlet has one, so they tell which symbol a stack of lines belongs to.
GIVEN: tuple[Class, ...] = ("circuit", "protection", "serves", "fact", "known", "other")


def attach(
    symbols: tuple[Symbol, ...], sheet: Sheet, mapping: Mapping
) -> tuple[tuple[Symbol, ...], tuple[Unexplained, ...]]:
    """The symbols, in the same order, with their labels; and the labels that belong to no symbol."""
    written = runs_of(sheet, symbols)
    texts = texts_of(written, sheet.words, mapping)
    readings = [text.reading for text in texts]
    runs = stacked(
        [text.run for text in texts], [each.kind for each in readings], [each.mixed for each in readings]
    )
    texts = [replace(text, run=run) for text, run in zip(texts, runs, strict=True)]
    texts = running_on(texts, written, mapping)
    loose = Loose.of(sheet, unowned(symbols, sheet))
    if not texts:
        return _led(symbols, {}, {}, spoken_of(written, texts, symbols, loose, sheet.strokes.curve)), ()
    if not symbols:
        return symbols, unclaimed(texts, set(), frozenset(), sheet)
    pairs = pairs_of(tuple(text.run for text in texts), symbols, sheet, loose)
    texts = settled_numbers(texts, pairs, symbols, sheet)
    stacks, low = _device_stacks(texts), low_stacks(texts)
    fanned, away = fans(texts, symbols, loose), astray(texts, symbols, loose, sheet.strokes.curve)
    home: dict[int, int] = {}  # symbol of each stack, once a line of it is surely given
    doubted: dict[int, Match] = {}  # and where a line was given with doubt, the others share it
    given: dict[int, list[Label]] = {}
    reasons: dict[int, list[str]] = {}
    taken: set[int] = set()
    at_panel: set[int] = set()
    for kind in GIVEN:
        matches = list(_of_class(kind, texts, pairs, symbols, home))
        lost = {m.symbol for m in matches if m.run in away and ends_at(away[m.run], symbols) != m.symbol}
        for match in matches:
            text = texts[match.run]
            taken.add(match.run)
            if symbols[match.symbol].kind == "panel" and not _is_led(match, pairs):
                at_panel.add(match.run)
            match = weighed(match, text, pairs, symbols, text.run.stack in low)
            meant = ends_at(away[match.run], symbols) if match.run in away else match.symbol
            if (match.run in fanned or meant != match.symbol) and not _is_led(match, pairs):
                match = replace(match, unsure=True, rival=match.rival if meant == match.symbol else meant)
            match = pushed_off(match, lost, pairs)
            match = _sharing(match, doubted.get(text.run.stack), kind, text)
            if match.unsure:
                doubted.setdefault(text.run.stack, match)
            elif kind != "other":
                home.setdefault(text.run.stack, match.symbol)
            label, doubts = _label(text, match, pairs, symbols, text.run.stack in stacks)
            given.setdefault(match.symbol, []).append(label)
            doubtful = _doubtful(label)
            for other in (match.rival, passed_over(match, text, pairs, symbols)):
                if other is not None and symbols[other].is_outlet and doubtful.sets:
                    given.setdefault(other, []).append(doubtful)
            for index, doubt in doubts:
                reasons.setdefault(index, []).append(doubt)
    has = [texts[run] for run in sorted(taken)]
    led = (
        *shared(texts, pairs, symbols, fanned),
        *at_ends(texts, away, symbols),
        *spoken_of(written, has, symbols, loose, sheet.strokes.curve),
        *scattered(written, symbols),
    )
    done = _led(symbols, given, reasons, led)
    return done, unclaimed(texts, taken, frozenset(pairs.run.tolist()), sheet, frozenset(at_panel))


def _led(
    symbols: tuple[Symbol, ...], given: dict[int, list[Label]], reasons: dict[int, list[str]],
    led: Iterable[tuple[int, Label]],
) -> tuple[Symbol, ...]:  # fmt: skip
    """The symbols with what they were given; where nothing tells of protection, with what lines lead to them."""
    for index, label in led:
        if not any(name.startswith("protection") for each in given.get(index, ()) for name, _ in each.sets):
            given.setdefault(index, []).append(label)
    return tuple(
        _with(symbol, given.get(index, []), reasons.get(index, [])) for index, symbol in enumerate(symbols)
    )


def _with(symbol: Symbol, labels: list[Label], reasons: list[str]) -> Symbol:
    if not labels and not reasons:
        return symbol
    fresh = tuple(dict.fromkeys(reason for reason in reasons if reason not in symbol.reasons))
    return replace(symbol, labels=(*symbol.labels, *labels), reasons=(*symbol.reasons, *fresh))


# ------------------------------------------------------------------------------------------- assignment


def _is_led(match: Match, pairs: Pairs) -> bool:
    """Does a line lead from the text to its symbol?"""
    return bool(pairs.leader[(pairs.run == match.run) & (pairs.symbol == match.symbol)].any())


def _sharing(match: Match, doubt: Match | None, kind: Class, text: Text) -> Match:
    """A line of a stack is no surer than the lines before it, nor than its place among other labels."""
    if doubt is not None and kind != "other":
        return replace(doubt, run=match.run)
    return replace(match, unsure=match.unsure or (text.run.tangled and kind in UNSURE))


def _device_stacks(texts: list[Text]) -> set[int]:
    """Stacks that a circuit tag, a protection or a height shows to be labels of a device."""
    return {text.run.stack for text in texts if text.reading.kind in ("protection", "circuit", "fact")}


def _of_class(
    kind: Class, texts: list[Text], pairs: Pairs, symbols: tuple[Symbol, ...], home: dict[int, int]
) -> Iterable[Match]:
    """Matches of the texts of one class.  Texts of class ``other`` and ``known`` are not one-to-one: a symbol may
    have several, each text goes to the nearest."""
    chosen = np.array([text.reading.kind == kind for text in texts])[pairs.run]
    chosen &= _eligible(kind, texts, pairs, symbols)
    chosen &= _at_home(chosen, texts, pairs, home)
    run, symbol, cost = pairs.run[chosen], pairs.symbol[chosen], pairs.cost[chosen]
    if kind in ("protection", "circuit"):
        # Lights and switches have such labels too, but on a power plan far seldomer than outlets.
        outlet = np.array([s.is_outlet for s in symbols])[symbol]
        cost = np.where(outlet | pairs.leader[chosen], cost, cost * NO_OUTLET[0] + NO_OUTLET[1])
    if kind in ("known", "other", "fact"):
        order = np.lexsort((symbol, cost, run))
        first_of = np.r_[True, np.diff(run[order]) != 0] if len(order) else np.zeros(0, bool)
        first = order[first_of]
        second = order[np.r_[False, first_of[:-1]] & ~first_of] if len(order) else order
        close = {int(run[i]): (float(cost[i]), int(symbol[i])) for i in second}
        return [_nearest(int(run[i]), int(symbol[i]), float(cost[i]), close, kind) for i in first]
    sets = [
        texts[i].reading.sets if kind != "protection" else _protects(texts[i].reading.sets) for i in run.tolist()
    ]
    told = {said: number for number, said in enumerate(dict.fromkeys(sets))}
    says = np.array([told[said] for said in sets], np.int64)
    found = matched(run, symbol, cost, says, single=kind == "circuit")
    return [_off_outlet(match, run, symbol, pairs.gap[chosen], symbols) for match in found] if found else ()


def _nearest(run: int, symbol: int, cost: float, close: dict[int, tuple[float, int]], kind: Class) -> Match:
    """A text that several symbols may have alike goes to the nearest; with doubt where the next is as near."""
    next_cost, rival = close.get(run, (float("inf"), -1))
    unsure = kind == "fact" and next_cost < cost * (1 + MARGIN_SHARE) + MARGIN
    return Match(run, symbol, unsure, rival if unsure else None)


def _at_home(chosen: BoolArray, texts: list[Text], pairs: Pairs, home: dict[int, int]) -> BoolArray:
    """Where one line of a stack has its symbol, the other lines go to that symbol as well, if they may."""
    wanted = np.array([home.get(text.run.stack, -1) for text in texts], np.int64)[pairs.run]
    here = chosen & (pairs.symbol == wanted)
    bound = np.bincount(pairs.run[here], minlength=len(texts)) > 0
    return np.asarray(~bound[pairs.run] | here, bool)


def _off_outlet(
    match: Match, run: IntArray, symbol: IntArray, gap: FloatArray, symbols: tuple[Symbol, ...]
) -> Match:
    """A label that went to a light or a switch although an outlet is beside it: the outlet may be meant."""
    if symbols[match.symbol].is_outlet or match.unsure:
        return match
    beside = [(float(g), int(s)) for r, s, g in zip(run, symbol, gap, strict=True)
              if r == match.run and g <= BESIDE and symbols[int(s)].is_outlet]  # fmt: skip
    return replace(match, unsure=True, rival=min(beside)[1]) if beside else match


def _protects(sets: Sets) -> bool:
    return ("protection", "device") in sets


def _eligible(kind: Class, texts: list[Text], pairs: Pairs, symbols: tuple[Symbol, ...]) -> BoolArray:
    outlet = np.array([symbol.is_outlet for symbol in symbols])[pairs.symbol]
    device = np.array([symbol.kind in DEVICES for symbol in symbols])[pairs.symbol]
    if kind == "circuit":  # two poles feed no light and no switch, unless a line leads from the tag to it
        loads = np.array([symbol.is_outlet or symbol.kind == "panel" for symbol in symbols])[pairs.symbol]
        device &= loads | pairs.leader | ~np.array([_two_pole(text.reading.sets) for text in texts])[pairs.run]
    if kind == "other":
        return outlet & (pairs.gap <= BESIDE) & ~pairs.parted
    if kind == "serves":
        # The name of an appliance inside its own outline is the appliance's, whatever stands near.
        fixture = np.array([symbol.kind in FIXTURE_KINDS for symbol in symbols])[pairs.symbol]
        return outlet | (fixture & (pairs.gap <= 0))
    return device


def _two_pole(sets: Sets) -> bool:
    """A tag of two places of one side of a panel, one under the other: a breaker of two poles takes them."""
    numbers = [int(n) for name, tag in sets if name == "circuit" for n in re.findall(r"\d+", tag.split("-")[-1])]
    return len(numbers) == 2 and numbers[1] - numbers[0] == 2


def _label(
    text: Text, match: Match, pairs: Pairs, symbols: tuple[Symbol, ...], of_device: bool
) -> tuple[Label, list[tuple[int, str]]]:
    """The label, its facts turned to doubts where they are not sure, and the reasons by symbol."""
    symbol = symbols[match.symbol]
    said, sets = text.run.text, text.reading.sets
    if symbol.kind in FIXTURE_KINDS:
        return Label(said, text.run.at), []
    doubts = list(_doubts_of_text(text, symbol))
    serves = text.reading.kind == "serves"
    if serves and (match.unsure or _may_name_appliance(text, match, pairs, symbol, of_device)):
        doubts.append((frozenset({"serves"}), f"label {said} may name the appliance beside it"))
    reasons = [(match.symbol, why) for _, why in doubts]
    doubted = frozenset[str]().union(UNSURE if match.unsure else (), *(names for names, _ in doubts))
    if match.unsure and any(name in UNSURE for name, _ in sets):
        reasons.insert(0, (match.symbol, f"label {said} may belong to a neighbour"))
        if match.rival is not None:
            reasons.append((match.rival, f"label {said} of a neighbour may belong to this symbol"))
    sets = tuple((f"{name}_unsure" if name in doubted else name, value) for name, value in sets)
    return Label(said, text.run.at, sets), reasons


def _doubts_of_text(text: Text, symbol: Symbol) -> Iterator[tuple[frozenset[str], str]]:
    """Which facts of a text are not sure at its symbol, wherever it stands, and why."""
    said, reading = text.run.text, text.reading
    if reading.doubt:  # +3'-6" read as +3 6" is no height of 3 in
        yield SETTLES, f"label {said} is not understood as a whole"
    elif text.runs_on:
        yield PROTECTION, f"'{text.runs_on}' runs on from the label {said} and is not understood"
    elif reading.kind == "protection" and is_of_halves(symbol.entry.name):
        yield PROTECTION, f"label {said} may be of one half only of a {symbol.entry.name}"
    settles = SETTLES.intersection(name for name, _ in reading.sets)
    if text.run.confidence < SURE_READING and settles:
        yield settles, f"label {said} was read with confidence {text.run.confidence:.2f} only"


def _may_name_appliance(text: Text, match: Match, pairs: Pairs, symbol: Symbol, of_device: bool) -> bool:
    """May the name of an appliance be that of one beside the outlet, and no fact about the outlet?"""
    # R, W or D beside an ordinary receptacle is as often relocated, switched or dedicated as an appliance.
    if len(text.run.text) == 1 and not text.reading.own and (symbol.entry.volts or ONE_LEG) <= ONE_LEG:
        return True
    at = np.flatnonzero((pairs.run == match.run) & (pairs.symbol == match.symbol))[0]
    far = pairs.gap[at] > (BESIDE if text.reading.own else NAMED_BESIDE)
    return not (of_device or pairs.leader[at]) and bool(far or pairs.parted[at])


def _doubtful(label: Label) -> Label:
    """The same text at the symbol that it may belong to as well: shown there with a question mark, never a fact."""
    sets = tuple((name, value) for name, value in label.sets if name.endswith("_unsure"))
    return Label(f"{label.text}?", label.at, sets)
