"""Protection of all outlets of a sheet: device, breaker, drawn order of feeding, and what only raises a question.

Terms: *wired*, on drawn wiring.  *Fed through*, after a GFCI device on a way from the homerun that is sure.
"""

from __future__ import annotations

import re
from dataclasses import replace

from cordpath.circuits.protection import circuit_of, circuit_tags, protection_of, single_circuits, unread_panel
from cordpath.circuits.sets import serving
from cordpath.circuits.tags import Tag, alike, bare_name, readings
from cordpath.model import Answer, Label, Outlet, Panel, Policy, Protection, Wiring
from cordpath.units import plain

STAYS = frozenset(
    {"new", "existing", "existing to remain"}
)  # a device of another status may not be there to feed on
LEAST_SURE = 0.5  # confidence of a symbol, as the rules have it: below it, it is more likely misread than read
DEVICE_VOLTS = 130.0  # V: GFCI receptacles feed 120 V circuits; 125 V is their rating

_DEVICE = re.compile(r"\b(?:GFCI|GFI|GROUND[- ]?FAULT)\b")

ByOutlet = dict[str, Protection]


def shown_protections(
    outlets: tuple[Outlet, ...],
    panels: tuple[Panel, ...],
    wiring: tuple[Wiring, ...] = (),
    policy: Policy | None = None,
    elsewhere: tuple[Panel, ...] = (),
) -> tuple[Protection, ...]:
    """One an outlet, same order.  ``panels``: of the file; ``elsewhere``: of other files, see ``sets``."""
    policy = policy or Policy()
    outlets = tuple(_without_homeruns(outlet, wiring) for outlet in outlets)
    on = {name: each for each in wiring for name in each.outlets}
    tags = [text for outlet in outlets for text in circuit_tags(outlet)]
    unread = unread_panel([*tags, *(each.tag for each in wiring if each.tag)], (*panels, *elsewhere))
    first = {outlet.id: _one(outlet, on.get(outlet.id), panels, elsewhere, unread) for outlet in outlets}
    by_id = {outlet.id: outlet for outlet in outlets}
    fed = {name: _fed(by_id[name], first, on.get(name), by_id) for name in first}
    devices = _devices(first)
    perhaps = {outlet.id: _perhaps(outlet, panels) for outlet in outlets}
    asked = {name: _asked(name, fed[name], devices, perhaps, on.get(name), policy) for name in first}
    named = frozenset(o.symbol.entry.name for o in outlets if o.symbol.entry.protection == "device")
    doubtful = [outlet.id for outlet in outlets if outlet.id not in devices and _may_be_device(outlet, named)]
    return tuple(_asked_of_doubtful(o.id, asked[o.id], doubtful, first, on.get(o.id), policy) for o in outlets)


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
    return _question(found, f"its drawn wiring leads to the homerun of circuit {wiring.tag}")


def _perhaps_wired(
    outlet: Outlet, found: Protection, wiring: Wiring, panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...]
) -> Protection:
    """Not shown, as a question where its wiring may lead to a circuit whose breaker may be GFCI."""
    ways = {tag: _wired(outlet, wiring, tag, panels, elsewhere) for tag in wiring.perhaps}
    marked = next((tag for tag, way in ways.items() if way.shown is not Answer.NO), None)
    if found.shown is not Answer.NO or marked is None:
        return found
    return _question(
        found, f"circuit {marked} is written at an end of its drawn wiring: show which circuit it is on"
    )


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
    return _question(
        found, f"its drawn wiring leads to the homerun of circuit {tag}, whose breaker is not shown as GFCI"
    )


def _wired(
    outlet: Outlet, wiring: Wiring, tag: str, panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...],
    unread: str | None = None,
) -> Protection:  # fmt: skip
    """By the circuits at the homerun; where they answer differently, which of them feeds the outlet is open."""
    ways = [_by_homerun(outlet, text, wiring, panels, elsewhere, unread) for text in _alone(tag)]
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


def _alone(tag: str) -> tuple[str, ...]:
    ways = readings(tag)
    return tuple(str(Tag(ways[0].panel, (number,))) for number in ways[0].numbers) if ways else (tag,)


# ------------------------------------------------------------------------------------------- feed-through


def _devices(first: ByOutlet) -> dict[str, Protection]:
    return {name: each for name, each in first.items() if each.by == "device" and each.shown is Answer.YES}


def _fed(outlet: Outlet, first: ByOutlet, wiring: Wiring | None, by_id: dict[str, Outlet]) -> Protection:
    """The protection of an outlet with what the drawn wiring tells about it."""
    mine = first[outlet.id]
    if mine.shown is Answer.YES or wiring is None:
        return mine
    devices = [name for name in wiring.outlets if name in _devices(first) and name != outlet.id]
    if not devices:
        return mine
    order = dict(wiring.fed)
    if outlet.id not in order:
        why = dict(wiring.doubts).get(outlet.id, "its place on the drawn wiring is not clear")
        return _question(mine, f"GFCI device {devices[0]} is on the same drawn wiring, but {why}: show the order")
    before = [name for name in order[outlet.id] if name in devices]
    if not before:
        sure = all(name in order for name in devices)
        if sure:
            why = f"GFCI device {devices[0]} is not between it and the homerun of the drawn wiring"
            return replace(mine, reasons=(*mine.reasons, why))
        doubt = next(dict(wiring.doubts)[name] for name in devices if name not in order)
        return _question(mine, f"GFCI device {devices[0]} is on the same drawn wiring, but {doubt}: show the order")
    device = before[-1]
    against = _against(outlet, by_id[device], wiring)
    if against:
        return _question(mine, f"it is drawn after GFCI device {device}, but {against}")
    at = f" of circuit {wiring.tag}" if wiring.tag else ""
    said = f"drawn after GFCI device {device} on the wiring from the homerun{at}"
    return Protection(Answer.YES, "feed-through", said, mine.circuit or first[device].circuit)


def _against(outlet: Outlet, device: Outlet, wiring: Wiring) -> str | None:
    """What on the drawing speaks against feeding through."""
    tags = [_same_spelling(text) for each in (outlet, device) for text in circuit_tags(each)]
    tags += [_same_spelling(wiring.tag)] if wiring.tag else []
    if not _agree(tags):
        return f"their circuits differ: {', '.join(dict.fromkeys(_written(outlet, device, wiring)))}"
    for fact, said in (("volts", "is"), ("volts_unsure", "may be")):
        volts = outlet.symbol.fact(fact)
        if isinstance(volts, (int, float)) and volts > DEVICE_VOLTS:
            return f"it {said} a {volts:g} V outlet, which is not fed through a receptacle"
    if len(_alone(wiring.tag or "")) > 1 and not (circuit_tags(outlet) and circuit_tags(device)):
        return f"the homerun is of circuits {wiring.tag}, and which of them feeds each is not drawn"
    status = str(device.symbol.fact("status") or device.symbol.fact("status_unsure") or "new").strip().lower()
    if status not in STAYS:
        return f"that device is marked {status}"
    if device.symbol.kind != "receptacle" or device.symbol.fact("hard_wired") is True:
        return "that device is no receptacle with terminals to feed on from"
    unsure = [e.id for e in (outlet, device) if not e.symbol.found or e.symbol.confidence < LEAST_SURE]
    if unsure:
        return f"the symbol of outlet {unsure[0]} could not be settled"
    if circuit_tags(outlet, "circuit_unsure") and not circuit_tags(outlet):
        return "whether a circuit tag near it is its own is not sure"
    return None


def _written(outlet: Outlet, device: Outlet, wiring: Wiring) -> list[str]:
    return [*circuit_tags(outlet), *circuit_tags(device), *([wiring.tag] if wiring.tag else [])]


def _same_spelling(text: str) -> tuple[Tag, ...]:
    return readings(text)


def _agree(tags: list[tuple[Tag, ...]]) -> bool:
    """Can all tags be read as one circuit?  A tag without a panel agrees with any panel."""
    if any(not ways for ways in tags):
        return False
    choices = [{(bare_name(way.panel or ""), way.numbers) for way in ways} for ways in tags]

    def fits(a: set[tuple[str, tuple[str, ...]]], b: set[tuple[str, tuple[str, ...]]]) -> bool:
        return any(m == n and (p == q or not p or not q) for p, m in a for q, n in b)

    return all(fits(a, b) for k, a in enumerate(choices) for b in choices[k + 1 :])


def _question(mine: Protection, why: str) -> Protection:
    return Protection(Answer.UNKNOWN, None, None, mine.circuit, (why, *mine.reasons))


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
        alike = [d for d, circuits in its.items() if (circuits | perhaps[d]) & (sure | perhaps[name])]
        if not alike or policy.same_circuit == "missing":
            return mine
        return _question(mine, f"perhaps the same circuit as GFCI device {alike[0]}: show which circuit it is on")
    if policy.same_circuit == "missing":
        why = f"same circuit as GFCI device {same[0]}, which without the order counts for nothing by the policy"
        return replace(mine, reasons=(*mine.reasons, why))
    return _question(mine, f"same circuit as GFCI device {same[0]}: show the order of feeding or label it")


def _asked_of_doubtful(
    name: str, mine: Protection, doubtful: list[str], first: ByOutlet, wiring: Wiring | None, policy: Policy
) -> Protection:
    """An outlet on the circuit of one that may be a GFCI device, or after it: a question as beside a sure one."""
    if mine.shown is not Answer.NO:
        return mine
    feeding = [] if wiring is None else dict(wiring.fed).get(name, wiring.outlets)
    before = [d for d in doubtful if d != name and d in feeding]
    if before:
        return _question(mine, f"outlet {before[0]} on its drawn wiring may be a GFCI device: show which it is")
    sure = frozenset(single_circuits(mine.circuit))
    same = [d for d in doubtful if d != name and sure & frozenset(single_circuits(first[d].circuit))]
    if not same or policy.same_circuit == "missing":
        return mine
    return _question(mine, f"same circuit as outlet {same[0]}, which may be a GFCI device: show which it is")
