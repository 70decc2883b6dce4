"""How well a random house was read: what truth and results say, counted.

A *silent pass*: an outlet that truth holds missing or unresolved and that the results clear, or that is not found
and that no unexplained mark points to.  *Needless*: unresolved where a careful reader can tell.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from house_truth import EDITIONS

from cordpath.model import Reading, SheetResult

NEAR_PT = 6.0
ROUNDING_IN = 0.25  # plots round to 1/600 in. and outlines are chords
# Why a verdict is open, in the order asked: what stands first in the finding's reasons hides nothing behind it.
WHYS = (
    (
        "the symbol was not settled",
        r"could not be told whether this|^It may be a|inside (?:it )?(?:that are not|belongs)",
    ),
    ("a label was not settled", r"Label .* may (?:belong|name)|A text near the symbol"),
    ("no scale", r"no rooms without a scale|cannot be measured|has no scale"),
    ("the room was not settled", r"which of the two it stands in|is not settled|no wall divides|stands in no room"),
    ("perhaps at a countertop", r"countertop"),
    ("within the uncertainty of the limit", r"within its uncertainty"),
    ("a fixture was not found or settled", r"was found in .*, though it must|perhaps within|Is f\d+ a "),
    ("no path could be measured", r"no door or opening was found|could not be measured"),
    ("a breaker was not read", r"whether its breaker is GFCI cannot be read"),
    ("the order of feeding is not drawn", r"show the order of feeding"),
    ("the code leaves it open", r"does not say|may take it out|Is it|Does it"),
)
CLEARED = ("protected", "not required")


@dataclass
class Tally:
    outlets: int = 0
    found: int = 0
    extra: int = 0
    fixtures: int = 0
    fixtures_found: int = 0
    rooms: int = 0
    named: int = 0
    kinds: int = 0
    scale_right: int = 0
    sheets: int = 0
    verdicts: int = 0
    right: int = 0
    silent: int = 0
    needless: int = 0
    errors_in: list[float] = field(default_factory=list)
    within: int = 0  # of the errors: not larger than the uncertainty that the path states
    unresolved: int = 0  # verdicts, rightly or not
    whys: Counter[str] = field(default_factory=Counter)  # why they are: one count a verdict
    seconds: float = 0.0
    said: list[str] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        for name in self.__dataclass_fields__:
            setattr(self, name, getattr(self, name) + getattr(other, name))


def score(truth: dict[str, Any], results: dict[str, SheetResult]) -> Tally:
    """``results``: the sheet judged under each edition."""
    t = Tally(sheets=1)
    (view,) = truth["views"]
    reading = next(iter(results.values())).reading
    if reading is None:
        t.outlets, t.rooms, t.fixtures = len(view["outlets"]), len(view["rooms"]), len(view["fixtures"])
        t.said.append(f"not checked: {next(iter(results.values())).why}")
        return t
    _scale(t, view, reading)
    names = {room.id: room for plan in reading.plans for room in plan.rooms}
    _rooms(t, view, list(names.values()))
    for wanted in view["fixtures"]:
        t.fixtures += 1
        hits = [f for f in reading.fixtures if f.symbol.kind == wanted["kind"]]
        hit = any(math.dist(f.symbol.at, wanted["at"]) < 3 * NEAR_PT and f.symbol.found for f in hits)
        t.fixtures_found += hit
        if not hit:
            t.said.append(f"fixture lost: {wanted['symbol']} in {wanted['room']} at {wanted['at']}")
    pairs = _match(view["outlets"], reading)
    t.extra = len(reading.outlets) - sum(got is not None for _, got in pairs)
    matched = {got for _, got in pairs if got is not None}
    for k, o in enumerate(reading.outlets):
        if k not in matched:
            t.said.append(
                f"extra: {o.symbol.entry.name} at {[round(v) for v in o.symbol.at]} found={o.symbol.found}"
            )
    marks = [p for item in reading.unexplained for p in item.at]
    for wanted, got in pairs:
        t.outlets += 1
        t.found += got is not None
        _outlet(t, wanted, got, reading, results, names, marks)
    _distances(t, view, pairs, reading)
    return t


def _scale(t: Tally, view: dict[str, Any], reading: Reading) -> None:
    wanted = view["scale"]["ratio"]
    got = [s.ratio if s.measurable else None for s in reading.scales]
    right = len(got) == 1 and (got[0] is None if wanted is None else got[0] and abs(got[0] / wanted - 1) < 0.01)
    right = right or (view["scale"]["false"] and got == [None])
    t.scale_right += bool(right)
    if not right:
        said = [(s.status, s.ratio, s.text, s.why) for s in reading.scales]
        t.said.append(f"scale: wanted {wanted}, got {said}")


def _plain(name: str) -> str:
    return re.sub(r"[^A-Z0-9]+", " ", name.upper()).strip()


def _rooms(t: Tally, view: dict[str, Any], rooms: list[Any]) -> None:
    left = [(_plain(room.name), room.kind) for room in rooms]
    for wanted in view["rooms"]:
        t.rooms += 1
        pair = (_plain(wanted["name"]), wanted["kind"])
        names = [name for name, _ in left]
        t.named += pair[0] in names
        if pair in left:
            t.kinds += 1
            left.remove(pair)
        else:
            alike = [p for p in left if p[0] == pair[0]]
            t.said.append(f"room {wanted['name']} [{wanted['kind']}]: {alike}")
    for name, kind in left:
        t.said.append(f"room extra: {name} [{kind}]")


def _match(wanted: list[dict[str, Any]], reading: Reading) -> list[tuple[dict[str, Any], int | None]]:
    left = set(range(len(reading.outlets)))
    pairs: list[tuple[dict[str, Any], int | None]] = []
    for w in wanted:
        best = min(left, key=lambda k: math.dist(reading.outlets[k].symbol.at, w["at"]), default=None)
        if best is not None and math.dist(reading.outlets[best].symbol.at, w["at"]) > NEAR_PT:
            best = None
        left.discard(best)  # type: ignore[arg-type]
        pairs.append((w, best))
    return pairs


def _outlet(
    t: Tally,
    wanted: dict[str, Any],
    got: int | None,
    reading: Reading,
    results: dict[str, SheetResult],
    names: dict[str, Any],
    marks: list[Any],
) -> None:
    place = f"{wanted['symbol']} in {wanted['room']} at {wanted['at']}"
    if got is None:
        marked = any(math.dist(p, wanted["at"]) < 14 for p in marks)
        t.said.append(f"outlet lost{' (marked)' if marked else ''}: {place}")
        t.silent += not marked and any(v not in CLEARED for v in wanted["verdict"].values())
        return
    outlet = reading.outlets[got]
    if outlet.symbol.entry.name != wanted["symbol"] or not outlet.symbol.found:
        t.said.append(
            f"outlet read as {outlet.symbol.entry.name} found={outlet.symbol.found}: {place}; "
            f"{'; '.join(outlet.symbol.reasons)}"
        )
    room = names.get(outlet.standing.room or "")
    if (_plain(room.name) if room else None) != (_plain(wanted["room"]) if wanted["room"] else None):
        outside = wanted["room"] is None and (room is None or room.kind == "outdoors")
        if not outside:
            t.said.append(f"outlet room: {place}: {room.name if room else outlet.standing.why}")
    for edition in EDITIONS:
        finding = results[edition].findings[got]
        if finding.verdict == "unresolved":
            t.unresolved += 1
            t.whys[_why(" ".join(finding.reasons))] += 1
        expected, also = wanted["verdict"][edition], wanted["also"].get(edition, [])
        t.verdicts += 1
        if finding.verdict == expected or finding.verdict in also:
            t.right += 1
            continue
        silent = finding.verdict in CLEARED and expected not in CLEARED and finding.verdict != "unresolved"
        t.silent += silent
        t.needless += finding.verdict == "unresolved"
        head = "SILENT" if silent else "needless" if finding.verdict == "unresolved" else "wrong"
        t.said.append(
            f"{head} {edition}: {place}: {finding.verdict}, expected {expected}; "
            f"labels {[x.text for x in outlet.symbol.labels]}; near {wanted['near']}; "
            f"{' '.join(finding.reasons)}"
        )


def _why(said: str) -> str:
    return next((name for name, pattern in WHYS if re.search(pattern, said)), "other")


def _distances(t: Tally, view: dict[str, Any], pairs: list[Any], reading: Reading) -> None:
    if view["scale"]["ratio"] is None:
        return
    fixed = {}
    for k, wanted in enumerate(view["fixtures"]):
        alike = [f for f in reading.fixtures if f.symbol.kind == wanted["kind"]]
        best = min(alike, key=lambda f: math.dist(f.symbol.at, wanted["at"]), default=None)
        if best is not None and math.dist(best.symbol.at, wanted["at"]) < 3 * NEAR_PT:
            fixed[k] = best.id
    lengths = {(p.outlet, p.fixture): (p.length_ft, p.uncertainty_ft) for p in reading.paths if p.doors == "open"}
    for wanted, got in pairs:
        if got is None:
            continue
        for near in wanted["near"]:
            key = (reading.outlets[got].id, fixed.get(near["fixture"]))
            if key in lengths:
                length, loose = lengths[key]
                error = length * 12 - near["open_in"]
                t.errors_in.append(error)
                inside = abs(error) <= loose * 12 + ROUNDING_IN
                t.within += inside
                if abs(error) > 4 or not inside:
                    t.said.append(
                        f"distance off by {error:.1f} in (uncertainty {loose * 12:.1f}): {wanted['symbol']} in "
                        f"{wanted['room']} at {wanted['at']} to {key[1]} true {near['open_in']:.1f}"
                    )
            elif key[1] is not None and near["open_in"] < 80:
                t.said.append(
                    f"no path: {wanted['symbol']} in {wanted['room']} at {wanted['at']} to {key[1]}, "
                    f"true {near['open_in']:.1f} in"
                )
