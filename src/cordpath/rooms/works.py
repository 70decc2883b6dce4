"""The works of a room: counters and what is cooked and washed up with, and laundry machines.  They tell where it
is, whatever its name's reach."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import Symbol

IN_ROW_IN = 6.0  # between an appliance and the counter beside it: its place is some inches wider than it is
COOKING = frozenset(
    {"sink", "range", "cooktop", "wall oven", "microwave", "refrigerator", "dishwasher", "disposer", "countertop"}
)
MACHINES = frozenset({"washer", "dryer"})


def works_of(symbols: tuple[Symbol, ...], counters: BaseGeometry | None) -> BaseGeometry:
    drawn = [symbol.footprint for symbol in symbols if symbol.kind in COOKING]
    return shapely.union_all([*drawn, *([] if counters is None else [counters])])


def worked_at(symbols: tuple[Symbol, ...], counters: BaseGeometry | None, inch: float) -> BaseGeometry:
    """What rooms are told by that lie open to others: the works in rows with an appliance, and laundry machines."""
    machines = [s.footprint for s in symbols if s.kind in MACHINES]
    return shapely.union_all([_in_rows(works_of(symbols, counters), symbols, inch), *machines])


def sure_works(works: BaseGeometry, symbols: tuple[Symbol, ...], inch: float) -> BaseGeometry:
    """The rows of works that an appliance stands in; all works, where no appliance is drawn."""
    sure = _in_rows(works, symbols, inch)
    return works if sure.is_empty else sure


def _in_rows(works: BaseGeometry, symbols: tuple[Symbol, ...], inch: float) -> BaseGeometry:
    """The rows of works that an appliance or a sink stands in: a rectangle without one may be a table or a bed."""
    drawn = shapely.union_all([s.footprint for s in symbols if s.kind in COOKING - {"countertop"}])
    rows = [row for row in shapely.get_parts(works.buffer(IN_ROW_IN / 2 * inch)) if row.intersects(drawn)]
    return works.intersection(shapely.union_all(rows))
