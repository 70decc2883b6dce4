"""Outlets whose voltage contradicts their circuit in the panel schedule: one of the two was read or drawn wrongly.

A 240 V outlet needs both legs, so its breaker has two poles or more; a two-pole breaker above 20 A feeds no 120 V
receptacle.  A two-pole breaker of 15 or 20 A may feed two 120 V circuits with one neutral (NEC 210.4), and tells
nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from cordpath.circuits.panels.marks import DITTO
from cordpath.circuits.sets import serving
from cordpath.circuits.tags import bare_name, readings
from cordpath.model import Outlet, Panel, PanelRow, Protection

ONE_LEG = 150.0  # V to ground of a dwelling's supply is 120 to 127; 208 and 240 V take two legs
MULTIWIRE = 20.0  # A: the largest breaker of circuits for ordinary receptacles (NEC 210.21(B), from memory)


def fitted(
    outlets: tuple[Outlet, ...], protections: tuple[Protection, ...], panels: tuple[Panel, ...],
    elsewhere: tuple[Panel, ...] = (),
) -> tuple[Outlet, ...]:  # fmt: skip
    """The outlets, those in contradiction no longer found, with the reason.  ``protections``: one an outlet."""
    return tuple(
        outlet if why is None else _doubted(outlet, why)
        for outlet, protection in zip(outlets, protections, strict=True)
        for why in [_misfit(outlet, protection.circuit, panels, elsewhere)]
    )


def _doubted(outlet: Outlet, why: str) -> Outlet:
    symbol = outlet.symbol
    return replace(outlet, symbol=replace(symbol, found=False, reasons=(*symbol.reasons, why)))


def _misfit(
    outlet: Outlet, circuit: str | None, panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...]
) -> str | None:
    volts = outlet.symbol.fact("volts")
    if circuit is None or not isinstance(volts, (int, float)):
        return None
    rows = _rows(circuit, serving((circuit,), panels, elsewhere))
    if not rows:
        return None
    if volts > ONE_LEG and all(_one_pole(row, panel) for row, panel in rows):
        needs = f"the breaker of circuit {circuit} has one pole, and a {volts:g} V outlet needs two"
        return f"{needs}: {rows[0][0].text}"
    if volts <= ONE_LEG and all(_two_legs(row) for row, _ in rows):
        row = rows[0][0]
        return f"the breaker of circuit {circuit} has {row.poles} poles of {row.amperes:g} A, which is no circuit "\
            f"of a {volts:g} V outlet: {row.text}"  # fmt: skip
    return None


def _rows(circuit: str, panels: Iterable[Panel]) -> list[tuple[PanelRow, Panel]]:
    """Rows that a tag may mean; of a tag of several circuits those that have all of them: poles of one breaker."""
    ways = readings(circuit)
    return [
        (row, panel)
        for panel in panels
        for way in ways
        if way.panel is None or way.panel == bare_name(panel.name)
        for row in panel.rows
        if set(way.numbers) <= set(row.circuits)
    ]


def _one_pole(row: PanelRow, panel: Panel) -> bool:
    """The schedule says so, or gives the place of a second pole to another circuit."""
    if row.poles is not None or len(row.circuits) != 1 or not row.circuits[0].isdigit():
        return row.poles == 1
    following = str(int(row.circuits[0]) + 2)
    below = next((other for other in panel.rows if following in other.circuits), None)
    ordinary = row.amperes is not None and row.amperes <= MULTIWIRE
    return ordinary and below is not None and below.description.strip() not in DITTO


def _two_legs(row: PanelRow) -> bool:
    return (row.poles or 1) > 1 and row.amperes is not None and row.amperes > MULTIWIRE
