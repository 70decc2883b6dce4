"""The protection of a sheet's outlets with what its own drawing, its panels and its file's other sheets tell."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from cordpath.circuits.feed_through import ByOutlet
from cordpath.circuits.misfits import fitted
from cordpath.circuits.shown import devices_on, shown_protections
from cordpath.circuits.taken_back import taken_back
from cordpath.circuits.unread import doubt_unread
from cordpath.model import Panel, Policy, Protection, Reading


def devices_beside(
    readings: Mapping[int, Reading], panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...]
) -> dict[int, ByOutlet]:
    """For each page of a file the outlets of its other pages that are GFCI devices for certain: they may feed on to
    another floor."""
    own = {page: devices_on(each, panels, elsewhere) for page, each in readings.items() if each.outlets}
    return {
        page: {name: each for other, devices in own.items() if other != page for name, each in devices.items()}
        for page in own
    }


def protect(
    reading: Reading, panels: tuple[Panel, ...], policy: Policy, elsewhere: tuple[Panel, ...], others: ByOutlet
) -> tuple[Reading, tuple[Protection, ...]]:
    """A sheet with its outlets as the circuits leave them, and the protection of each, in order."""
    reading = replace(reading, outlets=taken_back(reading.outlets, reading.sheet))
    shown = shown_protections(reading.outlets, panels, reading.wiring, policy, elsewhere, others)
    outlets = fitted(reading.outlets, shown, panels, elsewhere)
    if any(not now.symbol.found and was.symbol.found for now, was in zip(outlets, reading.outlets, strict=True)):
        reading = replace(reading, outlets=outlets)
        shown = shown_protections(outlets, panels, reading.wiring, policy, elsewhere, others)
    return reading, doubt_unread(reading.outlets, shown, reading.sheet)
