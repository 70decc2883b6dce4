"""Protection of all outlets of a sheet: device, breaker, drawn order of feeding, and what only raises a question.

Terms: *wired*, on drawn wiring.  *Fed through*, after a GFCI device on a way from the homerun that is sure.
"""

from __future__ import annotations

import re
from dataclasses import replace

from cordpath.circuits.feed_through import ByOutlet, sure_devices, with_feeding
from cordpath.circuits.protection import (
    circuit_of,
    circuit_tags,
    protection_of,
    question,
    single_circuits,
    unread_panel,
)
from cordpath.circuits.sets import serving
from cordpath.circuits.tags import alike, bare_name, each_alone, misread, places_of, readings, run_on
from cordpath.circuits.taken_back import taken_back
from cordpath.model import Answer, Label, Outlet, Panel, Policy, Protection, Reading, Wiring
from cordpath.units import plain

_CLOSED_UP = re.compile(r"(?<=\d) (?=\d)")  # drawn ones stand apart: B/1 1
_SIGNED = re.compile(r"[A-Z0-9][:/.-]\d")
_DEVICE = re.compile(r"\b(?:GFCI|GFI|GROUND[- ]?FAULT)\b")


def shown_protections(
    outlets: tuple[Outlet, ...],
    panels: tuple[Panel, ...],
    wiring: tuple[Wiring, ...] = (),
    policy: Policy | None = None,
    elsewhere: tuple[Panel, ...] = (),
    others: ByOutlet | None = None,
) -> tuple[Protection, ...]:
    """One an outlet, same order.  ``panels``: of the file; ``elsewhere``: of other files, see ``sets``; ``others``:
    the sure GFCI devices of the file's other sheets."""
    policy = policy or Policy()
    outlets = tuple(_without_homeruns(outlet, wiring) for outlet in outlets)
    outlets = tuple(_with_odd_tags(outlet, (*panels, *elsewhere)) for outlet in outlets)
    on = {name: each for each in wiring for name in each.outlets}
    first = _first(outlets, wiring, panels, elsewhere)
    by_id = {outlet.id: outlet for outlet in outlets}
    devices = sure_devices(first)
    fed = {name: with_feeding(by_id[name], first, devices, on.get(name), by_id) for name in first}
    perhaps = {outlet.id: _perhaps(outlet, panels) for outlet in outlets}
    near = {**(others or {}), **devices}
    asked = {name: _asked(name, fed[name], near, perhaps, on.get(name), policy) for name in first}
    named = frozenset(o.symbol.entry.name for o in outlets if o.symbol.entry.protection == "device")
    doubtful = [outlet.id for outlet in outlets if outlet.id not in devices and _may_be_device(outlet, named)]
    bare = [by_id[d] for d in (*devices, *doubtful) if not first[d].circuit and not perhaps[d]]
    asked = {o.id: _asked_of_untagged(o, asked[o.id], bare, policy) for o in outlets}
    return tuple(_asked_of_doubtful(o.id, asked[o.id], doubtful, first, on.get(o.id), policy) for o in outlets)


def devices_on(reading: Reading, panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...] = ()) -> ByOutlet:
    """The outlets of a sheet that are GFCI devices for certain, with their circuits."""
    outlets = taken_back(reading.outlets, reading.sheet)
    outlets = tuple(_without_homeruns(outlet, reading.wiring) for outlet in outlets)
    return sure_devices(_first(outlets, reading.wiring, panels, elsewhere))


def _first(
    outlets: tuple[Outlet, ...], wiring: tuple[Wiring, ...], panels: tuple[Panel, ...],
    elsewhere: tuple[Panel, ...],
) -> ByOutlet:  # fmt: skip
    """The protection of each outlet by device or breaker."""
    on = {name: each for each in wiring for name in each.outlets}
    tags = [text for outlet in outlets for text in circuit_tags(outlet)]
    unread = unread_panel([*tags, *(each.tag for each in wiring if each.tag)], (*panels, *elsewhere))
    return {outlet.id: _one(outlet, on.get(outlet.id), panels, elsewhere, unread) for outlet in outlets}


def _may_be_device(outlet: Outlet, named: frozenset[str]) -> bool:
    """Is it open whether the outlet is a GFCI device: by a label that may be another's, or by its shape?

    ``named``: names of symbols of the sheet that are GFCI devices; of one that it lacks only the name tells.
    """
    symbol = outlet.symbol
    unsure = symbol.fact("protection_unsure")
    rival = any(name in named or _DEVICE.search(plain(name)) for name in symbol.rivals)
    return unsure in (True, "device", "feed-through") or symbol.entry.protection == "device" or rival


def _perhaps(outlet: Outlet, panels: tuple[Panel, ...]) -> frozenset[str]:
    """Circuits of tags that may be the outlet's, in one spelling; none where it has a tag of its own."""
    if circuit_tags(outlet):
        return frozenset()
    found = (circuit_of((tag,), panels) for tag in circuit_tags(outlet, "circuit_unsure"))
    return frozenset(circuit for each in found for circuit in single_circuits(each))


def _without_homeruns(outlet: Outlet, wiring: tuple[Wiring, ...]) -> Outlet:
    """The outlet with circuit labels that stand at the homerun of other wiring as unsure ones.

    The breaker of such a label protects what the homerun leads to, and perhaps not this outlet.
    """
    theirs = {each.claimed for each in wiring if each.claimed is not None and outlet.id not in each.outlets}
    if not any(label.at in theirs for label in outlet.symbol.labels):
        return outlet
    labels = tuple(_unsure(label) if label.at in theirs else label for label in outlet.symbol.labels)
    return replace(outlet, symbol=replace(outlet.symbol, labels=labels))


def _with_odd_tags(outlet: Outlet, panels: tuple[Panel, ...]) -> Outlet:
    """The outlet; one without a tag, with labels that nobody explained as tags that are not sure, where they name a
    circuit of a panel: A/1, A.1, 1-5 of a panel 1; or 12 in a ring or by itself, of any panel.  A panel whose
    schedule could not be read may have any circuit."""
    if circuit_tags(outlet) or circuit_tags(outlet, "circuit_unsure"):
        return outlet
    rows = places_of(panels)
    numbers = {number for _, number in rows}
    names = {bare_name(panel.name) for panel in panels if panel.name}
    unread = {bare_name(panel.name) for panel in panels if panel.headed}
    nameless = any(not panel.name for panel in panels)

    def odd(label: Label) -> Label:
        if label.sets:
            return label
        said = _CLOSED_UP.sub("", label.text)
        ways = readings(said)
        known = len(ways) == 1 and ways[0].panel is None and (bool(unread) or numbers.issuperset(ways[0].numbers))
        ways += run_on(label.text, names) if ways else ()
        known |= any((way.panel, number) in rows for way in ways if way.panel for number in way.numbers)
        # A:12 is of panel A, also where the half of its schedule with circuit 12 was not read; A12 may be a mark.
        signed = _SIGNED.search(label.text) is not None
        known |= signed and any(nameless or way.panel in names for way in ways if way.panel)
        others = (
            str(way) for way in misread(said, names) if way.panel in unread or (way.panel, *way.numbers) in rows
        )
        meant = said if known else next(others, None)
        return label if meant is None else replace(label, sets=(("circuit_unsure", meant),))

    return replace(outlet, symbol=replace(outlet.symbol, labels=tuple(map(odd, outlet.symbol.labels))))


def _unsure(label: Label) -> Label:
    return replace(label, sets=tuple(("circuit_unsure" if k == "circuit" else k, v) for k, v in label.sets))


# ------------------------------------------------------------------------------------ device and breaker


def _one(
    outlet: Outlet, wiring: Wiring | None, panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...],
    unread: str | None,
) -> Protection:  # fmt: skip
    """Device or breaker; an outlet without a circuit tag has the one that is written at its homerun."""
    own = circuit_tags(outlet) or circuit_tags(outlet, "circuit_unsure")
    found = protection_of(outlet, serving(own, panels, elsewhere), unread)
    if wiring is None:
        return found
    if wiring.tag is None:
        return found if own else _perhaps_wired(outlet, found, wiring, panels, elsewhere)
    if circuit_tags(outlet):
        return _against_homerun(outlet, found, wiring, panels, elsewhere)
    wired = _wired(outlet, wiring, wiring.tag, panels, elsewhere, unread)
    if not own or found.shown is Answer.YES:
        return found if own else wired
    if found.shown is wired.shown:
        return found
    return question(found, f"its drawn wiring leads to the homerun of circuit {wiring.tag}")


def _perhaps_wired(
    outlet: Outlet, found: Protection, wiring: Wiring, panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...]
) -> Protection:
    """Not shown, as a question where its wiring may lead to a circuit whose breaker may be GFCI."""
    ways = {tag: _wired(outlet, wiring, tag, panels, elsewhere) for tag in wiring.perhaps}
    marked = next((tag for tag, way in ways.items() if way.shown is not Answer.NO), None)
    if found.shown is not Answer.NO:
        return found
    if marked is not None:
        why = f"circuit {marked} is written at an end of its drawn wiring or at an arrow near it"
    elif wiring.lost and any(row.gfci is not Answer.NO for panel in panels for row in panel.rows):
        why = "its drawn wiring leads to no homerun, and where one of its lines goes was not found"
    else:
        return found
    return question(found, f"{why}: show which circuit it is on")


def _against_homerun(
    outlet: Outlet, found: Protection, wiring: Wiring, panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...]
) -> Protection:
    """A GFCI breaker by the outlet's own tag is a question where its whole wiring leads to another circuit's."""
    tag = wiring.tag or ""
    if found.by != "breaker" or not wiring.whole or any(alike(own, tag) for own in circuit_tags(outlet)):
        return found
    bare = replace(outlet, symbol=replace(outlet.symbol, labels=()))
    if _wired(bare, wiring, tag, panels, elsewhere).shown is Answer.YES:
        return found
    return question(
        found, f"its drawn wiring leads to the homerun of circuit {tag}, whose breaker is not shown as GFCI"
    )


def _wired(
    outlet: Outlet, wiring: Wiring, tag: str, panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...],
    unread: str | None = None,
) -> Protection:  # fmt: skip
    """By the circuits at the homerun; where they answer differently, which of them feeds the outlet is open."""
    ways = [_by_homerun(outlet, text, wiring, panels, elsewhere, unread) for text in each_alone(tag)]
    whole = _by_homerun(outlet, tag, wiring, panels, elsewhere, unread)
    if len(ways) < 2 or len({way.shown for way in ways}) == 1:
        return whole
    why = f"its homerun is of circuits {tag}, and which of them feeds it is not drawn"
    return Protection(Answer.UNKNOWN, None, None, whole.circuit, (why, *whole.reasons))


def _by_homerun(
    outlet: Outlet, text: str, wiring: Wiring, panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...],
    unread: str | None,
) -> Protection:  # fmt: skip
    fact = "circuit" if wiring.whole else "circuit_unsure"
    label = Label(text, outlet.symbol.at, ((fact, text),))
    wired = replace(outlet, symbol=replace(outlet.symbol, labels=(*outlet.symbol.labels, label)))
    found = protection_of(wired, serving((text,), panels, elsewhere), unread)
    said = f"circuit {text} is written at the homerun of its drawn wiring"
    if found.by == "breaker":
        return replace(found, evidence=f"{found.evidence}; {said}")
    return found if found.shown is Answer.YES else replace(found, reasons=(*found.reasons, said))


# ------------------------------------------------------------------------------------------- same circuit


def _asked(
    name: str,
    mine: Protection,
    devices: dict[str, Protection],
    perhaps: dict[str, frozenset[str]],
    wiring: Wiring | None,
    policy: Policy,
) -> Protection:
    """An outlet on the circuit of a GFCI device whose order is not drawn: a question, or nothing by the policy."""
    if mine.shown is not Answer.NO:
        return mine
    settled = set(dict(wiring.fed)) if wiring is not None and name in dict(wiring.fed) else set()
    sure = frozenset(single_circuits(mine.circuit))
    its = {d: frozenset(single_circuits(each.circuit)) for d, each in devices.items() if d not in settled}
    same = [d for d, circuits in its.items() if circuits & sure]
    if not same:
        alike = [
            d for d, circuits in its.items() if (circuits | perhaps.get(d, frozenset())) & (sure | perhaps[name])
        ]
        if not alike or policy.same_circuit == "missing":
            return mine
        return question(mine, f"perhaps the same circuit as GFCI device {alike[0]}: show which circuit it is on")
    if policy.same_circuit == "missing":
        why = f"same circuit as GFCI device {same[0]}, which without the order counts for nothing by the policy"
        return replace(mine, reasons=(*mine.reasons, why))
    return question(mine, f"same circuit as GFCI device {same[0]}: show the order of feeding or label it")


def _asked_of_untagged(outlet: Outlet, mine: Protection, untagged: list[Outlet], policy: Policy) -> Protection:
    """An outlet whose tag is not sure, beside what may be a GFCI device without one in its room: both tags may be
    one.  A device feeds on to no outlet of two poles."""
    one_pole = [each for each in circuit_tags(outlet, "circuit_unsure") if len(single_circuits(each)) == 1]
    if mine.shown is not Answer.NO or mine.circuit or not one_pole:
        return mine
    room = outlet.standing.room
    same = [each.id for each in untagged if room is not None and each.standing.room == room and each is not outlet]
    if not same or policy.same_circuit == "missing":
        return mine
    return question(
        mine, f"no circuit was read at GFCI device {same[0]} in its room: show which circuit each is on"
    )


def _asked_of_doubtful(
    name: str, mine: Protection, doubtful: list[str], first: ByOutlet, wiring: Wiring | None, policy: Policy
) -> Protection:
    """An outlet on the circuit of one that may be a GFCI device, or after it: a question as beside a sure one."""
    if mine.shown is not Answer.NO:
        return mine
    feeding = [] if wiring is None else dict(wiring.fed).get(name, wiring.outlets)
    before = [d for d in doubtful if d != name and d in feeding]
    if before:
        return question(mine, f"outlet {before[0]} on its drawn wiring may be a GFCI device: show which it is")
    sure = frozenset(single_circuits(mine.circuit))
    same = [d for d in doubtful if d != name and sure & frozenset(single_circuits(first[d].circuit))]
    if not same or policy.same_circuit == "missing":
        return mine
    return question(mine, f"same circuit as outlet {same[0]}, which may be a GFCI device: show which it is")
