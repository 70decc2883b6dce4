"""Feeding through: outlets drawn after a GFCI device on the way from the homerun.

Only an order that is sure protects; wiring that may lead through a device raises a question.
"""

from __future__ import annotations

from dataclasses import replace

from cordpath.circuits.protection import circuit_tags, question
from cordpath.circuits.tags import Tag, bare_name, each_alone, readings
from cordpath.model import Answer, Outlet, Protection, Wiring

STAYS = frozenset(
    {"new", "existing", "existing to remain"}
)  # a device of another status may not be there to feed on
LEAST_SURE = 0.5  # confidence of a symbol, as the rules have it: below it, it is more likely misread than read
DEVICE_VOLTS = 130.0  # V: GFCI receptacles feed 120 V circuits; 125 V is their rating

ByOutlet = dict[str, Protection]


def sure_devices(first: ByOutlet) -> ByOutlet:
    """Of the outlets those that are GFCI devices for certain."""
    return {name: each for name, each in first.items() if each.by == "device" and each.shown is Answer.YES}


def with_feeding(
    outlet: Outlet, first: ByOutlet, sure: ByOutlet, wiring: Wiring | None, by_id: dict[str, Outlet]
) -> Protection:
    """The protection of an outlet with what the drawn wiring tells about it; ``sure``: the sure devices."""
    mine = first[outlet.id]
    if mine.shown is Answer.YES or wiring is None:
        return mine
    devices = [name for name in wiring.outlets if name in sure and name != outlet.id]
    if not devices:
        return _perhaps_fed(mine, sure, wiring)
    order = dict(wiring.fed)
    if outlet.id not in order:
        why = dict(wiring.doubts).get(outlet.id, "its place on the drawn wiring is not clear")
        return question(mine, f"GFCI device {devices[0]} is on the same drawn wiring, but {why}: show the order")
    before = [name for name in order[outlet.id] if name in devices]
    if not before:
        if all(name in order for name in devices):
            why = f"GFCI device {devices[0]} is not between it and the homerun of the drawn wiring"
            return replace(mine, reasons=(*mine.reasons, why))
        doubt = next(dict(wiring.doubts)[name] for name in devices if name not in order)
        return question(mine, f"GFCI device {devices[0]} is on the same drawn wiring, but {doubt}: show the order")
    device = before[-1]
    against = _against(outlet, by_id[device], wiring)
    if against:
        return question(mine, f"it is drawn after GFCI device {device}, but {against}")
    at = f" of circuit {wiring.tag}" if wiring.tag else ""
    said = f"drawn after GFCI device {device} on the wiring from the homerun{at}"
    return Protection(Answer.YES, "feed-through", said, mine.circuit or first[device].circuit)


def _perhaps_fed(mine: Protection, sure: ByOutlet, wiring: Wiring) -> Protection:
    """Not shown, as a question where its wiring may be one with that of a GFCI device."""
    device = next((name for name in wiring.beside if name in sure), None)
    if mine.shown is not Answer.NO or device is None:
        return mine
    return question(mine, f"its drawn wiring may be one with that of GFCI device {device}: show the order")


def _against(outlet: Outlet, device: Outlet, wiring: Wiring) -> str | None:
    """What on the drawing speaks against feeding through."""
    tags = [*circuit_tags(outlet), *circuit_tags(device), *([wiring.tag] if wiring.tag else [])]
    if not _agree([readings(text) for text in tags]):
        return f"their circuits differ: {', '.join(dict.fromkeys(tags))}"
    for fact, said in (("volts", "is"), ("volts_unsure", "may be")):
        volts = outlet.symbol.fact(fact)
        if isinstance(volts, (int, float)) and volts > DEVICE_VOLTS:
            return f"it {said} a {volts:g} V outlet, which is not fed through a receptacle"
    if len(each_alone(wiring.tag or "")) > 1 and not (circuit_tags(outlet) and circuit_tags(device)):
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


def _agree(tags: list[tuple[Tag, ...]]) -> bool:
    """Can all tags be read as one circuit?  A tag without a panel agrees with any panel."""
    if any(not ways for ways in tags):
        return False
    choices = [{(bare_name(way.panel or ""), way.numbers) for way in ways} for ways in tags]

    def fits(a: set[tuple[str, tuple[str, ...]]], b: set[tuple[str, tuple[str, ...]]]) -> bool:
        return any(m == n and (p == q or not p or not q) for p, m in a for q, n in b)

    return all(fits(a, b) for k, a in enumerate(choices) for b in choices[k + 1 :])
