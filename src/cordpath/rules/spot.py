"""Where the GFCI device itself stands: it has to be readily accessible, whatever it protects need not be."""

from __future__ import annotations

from dataclasses import replace

from cordpath.model import Answer
from cordpath.rules import conditions
from cordpath.rules.facts import Facts


def device_place(facts: Facts) -> tuple[bool, tuple[str, ...]]:
    """Is the place of an outlet's own GFCI device in order, as far as the drawing tells, and what to say of it.

    Only what is plainly shown counts: a plan seldom tells whether a place is readily accessible, and silence is
    taken as in order.  A clause with ``ask`` opens the verdict; one with ``takes`` is only a remark.
    """
    device = facts.scene.edition.device
    if device is None or facts.protection.shown is not Answer.YES or facts.protection.by != "device":
        return True, ()
    room = facts.place.rooms[0] if facts.place.settled and facts.place.rooms else None
    for clause in device.where:
        told = conditions.clause(replace(clause, ask=None, takes=None), facts, room)
        if told.answer is not Answer.YES:
            continue
        cite = facts.scene.edition.shown(device.cite)
        head = f"The GFCI device itself must be readily accessible [{cite}]: {', '.join(told.because)}"
        if clause.takes and not clause.ask:
            return True, (f"{head}; {clause.takes}.",)
        return False, (f"{head}.", clause.ask or "Is the GFCI device readily accessible there?")
    return True, ()
