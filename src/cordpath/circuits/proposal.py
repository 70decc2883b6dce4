"""The fewest GFCI devices and breakers that would protect every outlet whose protection is missing.

Terms
    *option*   one device at an outlet, or one breaker of a circuit, with the missing outlets that it would protect.
    *cover*    options that together protect every outlet that any option can protect.

A minimum cover is found exactly, as an integer program of each part of the problem that shares no outlet with the
rest.  Among equal numbers the one that takes least for granted is chosen: a device first, then a breaker, then a
device that must come first on a circuit whose order is not drawn.  A proposal is for the designer; it protects
nothing until it is drawn.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_matrix

from cordpath.circuits.feed_through import DEVICE_VOLTS
from cordpath.geometry import components
from cordpath.model import Finding, FloatArray, IntArray, Outlet, Proposal, Reading, SheetResult, Step, Symbol

BEHIND = frozenset({"refrigerator", "range", "wall oven", "cooktop", "washer", "dryer", "dishwasher", "disposer",
                    "microwave", "freezer"})  # fmt: skip
ABOVE_IN = 79.0  # in., 6 ft 7 in.: the height to which switches may stand (from memory, NEC 404.8(A))
CLOSE_PT = 3.0  # pt round an appliance: symbols of outlets behind it are drawn at its edge
_CEILING = re.compile(r"\b(?:CLG|CEILING|SOFFIT|ATTIC|GDO|GARAGE DOOR OP\w*)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Option:
    """``rank``: what it takes for granted, 0 nothing, 1 another breaker, 2 an order that is not drawn."""

    step: Step
    rank: int


def propose(results: tuple[SheetResult, ...]) -> Proposal | None:
    """For the sheets of one set (one building); None where nothing is missing."""
    findings = [finding for result in results for finding in result.findings]
    missing = [finding.outlet.id for finding in findings if finding.verdict == "missing"]
    if not missing:
        return None
    options = _options(results, findings, frozenset(missing))
    chosen = cover(options, tuple(missing))
    reached = {name for option in options for name in option.step.protects}
    blocked = _blocked(results)
    left = tuple((name, _why_left(name, findings, blocked)) for name in missing if name not in reached)
    files = tuple(dict.fromkeys(result.file for result in results))
    return Proposal(files, _shared_out(chosen, missing), left)


def _blocked(results: Iterable[SheetResult]) -> dict[str, str]:
    return {k: v for r in results if r.reading is not None for k, v in hard_to_reach(r.reading).items()}


def _why_left(name: str, findings: list[Finding], blocked: dict[str, str]) -> str:
    finding = next(f for f in findings if f.outlet.id == name)
    circuit = finding.protection.circuit
    parts = ["its circuit is not shown" if circuit is None else f"the panel of circuit {circuit} is not shown"]
    if not _takes_device(finding):
        parts.append("a GFCI receptacle does not fit it")
    elif name in blocked:
        parts.append(f"no device fits there: {blocked[name]}")
    return ", and ".join(parts)


# ----------------------------------------------------------------------------------------------- options


def _options(
    results: tuple[SheetResult, ...], findings: list[Finding], missing: frozenset[str]
) -> tuple[Option, ...]:
    blocked = _blocked(results)
    by_id = {finding.outlet.id: finding for finding in findings}
    fed = {
        name: path
        for result in results
        if result.reading is not None
        for wiring in result.reading.wiring
        for name, path in wiring.fed
        if len(wiring.outlets) > 1
    }
    many = len({panel.name for result in results if result.reading for panel in result.reading.panels}) > 1
    return (
        *_devices(by_id, fed, missing, blocked),
        *_breakers(by_id, missing, many),
        *_firsts(by_id, fed, missing, blocked, many),
    )


def _takes_device(finding: Finding) -> bool:
    symbol = finding.outlet.symbol
    volts = symbol.fact("volts")
    low = not isinstance(volts, (int, float)) or volts <= DEVICE_VOLTS
    return symbol.kind == "receptacle" and symbol.found and low


def _devices(
    by_id: dict[str, Finding], fed: dict[str, tuple[str, ...]], missing: frozenset[str], blocked: dict[str, str]
) -> Iterator[Option]:
    """A device at any plain receptacle: for itself, and for what is drawn after it."""
    after: dict[str, list[str]] = defaultdict(list)
    for name, path in fed.items():
        for before in path:
            after[before].append(name)
    for name, finding in by_id.items():
        if name in blocked or not _takes_device(finding):
            continue
        fits = [k for k in after[name] if k in missing and _takes_device(by_id[k]) and _one_circuit(by_id, name, k)]
        protects = tuple(k for k in by_id if k in fits or (k == name and k in missing))
        if protects:
            more = " and what is drawn after it on the wiring" if fits else ""
            yield Option(Step("device", name, protects, f"a GFCI receptacle at outlet {name}{more}"), 0)


def _one_circuit(by_id: dict[str, Finding], a: str, b: str) -> bool:
    circuits = {by_id[name].protection.circuit for name in (a, b)} - {None}
    return len(circuits) < 2


def _breakers(by_id: dict[str, Finding], missing: frozenset[str], many: bool) -> Iterator[Option]:
    """One breaker for everything on a circuit, on whatever floor."""
    for circuit, names in _by_circuit(by_id, many).items():
        protects = tuple(name for name in names if name in missing)
        if protects:
            yield Option(Step("breaker", circuit, protects, f"a GFCI breaker for circuit {circuit}"), 1)


def _firsts(
    by_id: dict[str, Finding],
    fed: dict[str, tuple[str, ...]],
    missing: frozenset[str],
    blocked: dict[str, str],
    many: bool,
) -> Iterator[Option]:
    """A device that is made the first of its circuit in one drawing, where no order is drawn."""
    for circuit, names in _by_circuit(by_id, many).items():
        if "," in circuit:
            continue  # of several circuits: which of them feeds an outlet is not known
        groups: dict[str, list[str]] = defaultdict(list)
        for name in names:
            symbol = by_id[name].outlet.symbol
            if name not in fed and symbol.view is not None and _takes_device(by_id[name]):
                sheet = name.rpartition(".")[0]
                groups[f"{sheet} {symbol.view}"].append(name)
        for group in groups.values():
            protects = tuple(name for name in group if name in missing)
            at = next((name for name in (*protects, *group) if name not in blocked), None)
            if len(protects) < 2 or at is None:
                continue
            because = f"a GFCI receptacle at outlet {at} that feeds the others of circuit {circuit} in this drawing"
            assumes = f"outlet {at} comes first of them on circuit {circuit}; the order is not drawn"
            yield Option(Step("device", at, protects, because, assumes), 2)


def _by_circuit(by_id: dict[str, Finding], many: bool) -> dict[str, list[str]]:
    """Outlets by circuit; a number alone says nothing where there are several panels."""
    found: dict[str, list[str]] = defaultdict(list)
    for name, finding in by_id.items():
        circuit = finding.protection.circuit
        if circuit is not None and ("-" in circuit or not many):
            found[circuit].append(name)
    return found


# ------------------------------------------------------------------------------------------------- cover


def cover(options: tuple[Option, ...], wanted: tuple[str, ...]) -> tuple[Option, ...]:
    """A minimum cover of the wanted outlets that options can protect, in the order of the options.

    Fewest options first, then the least sum of ranks.
    """
    rows = {name: i for i, name in enumerate(wanted)}
    pairs = [(rows[n], j) for j, option in enumerate(options) for n in option.step.protects if n in rows]
    if not pairs:
        return ()
    i, j = np.array(pairs).T
    n, m = len(wanted), len(options)
    holds = coo_matrix((np.ones(len(i)), (i, j)), (n, m)).tocsr()
    _, part = components(i, n + j, n + m)
    chosen: list[int] = []
    for label in np.unique(part[i]):
        some = np.flatnonzero(part[:n] == label)
        which = np.flatnonzero(part[n:] == label)
        matrix = holds[some][:, which].toarray()
        chosen += which[_least(matrix, np.array([options[k].rank for k in which], float))].tolist()
    return tuple(options[k] for k in sorted(chosen))


def _least(matrix: FloatArray, rank: FloatArray) -> IntArray:
    """Columns of a minimum cover of all rows of a 0/1 matrix; ranks decide among covers of the same size."""
    n, m = matrix.shape
    cost = 1.0 + rank / (2.0 * (1.0 + rank.max()) * (n + 1.0))  # all ranks together weigh less than one option
    found = milp(
        cost, integrality=np.ones(m), bounds=Bounds(0, 1), constraints=LinearConstraint(matrix, 1.0, np.inf),
        options={"mip_rel_gap": 0.0},
    )  # fmt: skip
    if found.x is None:  # the solver gave up: a cover that is sound, though perhaps not the smallest
        return _greedy(matrix)
    return np.flatnonzero(found.x > 0.5)


def _greedy(matrix: FloatArray) -> IntArray:
    open_, chosen = matrix.sum(axis=1) > 0, []
    while open_.any():
        best = int(matrix[open_].sum(axis=0).argmax())
        chosen.append(best)
        open_ &= matrix[:, best] == 0
    return np.array(sorted(chosen), np.int64)


def _shared_out(chosen: tuple[Option, ...], missing: list[str]) -> tuple[Step, ...]:
    """The steps, every outlet named under the first that protects it."""
    told: set[str] = set()
    steps = []
    for option in chosen:
        step = option.step
        mine = tuple(name for name in missing if name in step.protects and name not in told)
        told.update(mine)
        steps.append(Step(step.kind, step.at, mine, step.because, step.assumes))
    return tuple(steps)


# ------------------------------------------------------------------------------------ places that are hard to reach


def hard_to_reach(reading: Reading) -> dict[str, str]:
    """Outlet id to why a GFCI device would not be readily accessible there.

    The device must be so (NEC 210.8, the text before its list); an ordinary receptacle there that is protected from
    elsewhere is fine.  Which places those are is common practice, no source.
    """
    bulky = [fixture.symbol for fixture in reading.fixtures if fixture.symbol.kind in BEHIND]
    found = {outlet.id: _why(outlet, bulky) for outlet in reading.outlets}
    return {name: why for name, why in found.items() if why is not None}


def _why(outlet: Outlet, bulky: list[Symbol]) -> str | None:
    symbol = outlet.symbol
    if symbol.fact("readily_accessible") is False:
        return "it is said not to be readily accessible"
    serves = str(symbol.fact("serves") or symbol.fact("serves_unsure") or "").lower()
    if any(name in serves for name in BEHIND):
        return f"it serves a {serves}"
    texts = (symbol.entry.name, serves, *(label.text for label in symbol.labels))
    if any(_CEILING.search(text) for text in texts):
        return "it is on a ceiling or the like"
    height = symbol.fact("height_in")
    if isinstance(height, (int, float)) and height > ABOVE_IN:
        return f"it is {height:g} in. above the floor"
    place = shapely.MultiPoint([symbol.at, outlet.standing.anchor])
    for other in bulky:
        if other.view == symbol.view and other.footprint.distance(place) <= CLOSE_PT:
            return f"a {other.kind} stands before it"
    return None
