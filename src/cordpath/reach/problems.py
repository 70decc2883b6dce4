"""Outlets from which nothing can be measured, with the reason: never to be read as "nothing is near"."""

from __future__ import annotations

from cordpath.model import FloorPlan, Outlet
from cordpath.reach.barriers import fixed_barrier
from cordpath.reach.starts import free_start


def reach_problems(outlets: tuple[Outlet, ...], plan: FloorPlan) -> tuple[tuple[str, str], ...]:
    """(outlet id, why) of every outlet of this plan's view from which :func:`cord_paths` cannot measure."""
    fixed = fixed_barrier(plan)
    found = []
    for outlet in outlets:
        if outlet.symbol.view not in (None, plan.view):
            continue
        _, why = free_start(outlet, fixed)
        if why is not None:
            found.append((outlet.id, why))
    return tuple(found)
