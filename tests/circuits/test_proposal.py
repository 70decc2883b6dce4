"""The fewest devices and breakers: against all choices tried, and what must never be proposed."""

from __future__ import annotations

import itertools
from types import SimpleNamespace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.circuits.proposal import Option, cover, propose
from cordpath.model import Answer, Finding, Fixture, Protection, SheetResult, Step, Symbol, SymbolEntry, Wiring

NO = Answer.NO
WANTED = tuple(f"E.{k}" for k in range(1, 8))

coverage = st.sets(st.sampled_from(WANTED), min_size=1, max_size=4)


def option(names, rank):
    return Option(Step("device", "x", tuple(sorted(names)), ""), rank)


def tried(options):
    """Least number, then least ranks, over all choices."""
    most = {name for o in options for name in o.step.protects}
    for size in range(len(options) + 1):
        good = [
            sum(o.rank for o in some)
            for some in itertools.combinations(options, size)
            if {name for o in some for name in o.step.protects} == most
        ]
        if good:
            return size, min(good)
    raise AssertionError


@settings(max_examples=120, deadline=None)
@given(st.lists(st.tuples(coverage, st.integers(0, 2)), max_size=9))
def test_the_cover_is_a_least_one(made):
    options = tuple(option(names, rank) for names, rank in made)
    chosen = cover(options, WANTED)
    reached = {name for o in options for name in o.step.protects}
    assert {name for o in chosen for name in o.step.protects} == reached
    assert (len(chosen), sum(o.rank for o in chosen)) == tried(options)
    assert chosen == cover(options, WANTED)


def test_a_hundred_outlets_are_solved():
    wanted = tuple(f"E.{k}" for k in range(100))
    options = tuple(option(wanted[k : k + 3], k % 3) for k in range(98)) + tuple(option([w], 0) for w in wanted)
    assert len(cover(options, wanted)) == 34


# ------------------------------------------------------------------------------------------ whole sheets


def sheet(trade, outlets, wiring=(), fixtures=(), verdicts=None, file="a.pdf", panels=()):
    """``outlets``: (id, circuit, more facts of the symbol)."""
    findings = []
    for name, circuit, facts in outlets:
        made = trade.outlet(None, name)
        facts = dict(facts)
        view = facts.pop("view", "v1")
        at = facts.pop("at", (0.0, 0.0))
        entry = SymbolEntry("duplex receptacle", facts.pop("kind", "receptacle"), **facts)
        symbol = Symbol(**{**made.symbol.__dict__, "entry": entry, "view": view, "at": at})
        made = type(made)(name, symbol, type(made.standing)(at, (0, 1), "r1", 0.0))
        shown = Protection(NO, None, None, circuit)
        findings.append(Finding(made, (verdicts or {}).get(name, "missing"), (), shown, (), None, 1.0))
    reading = SimpleNamespace(
        outlets=tuple(f.outlet for f in findings), wiring=tuple(wiring), fixtures=tuple(fixtures), panels=panels
    )
    return SheetResult(file, 1, "checked", None, reading, tuple(findings))


def steps(*results):
    proposal = propose(results)
    return [(s.kind, s.at, s.protects) for s in proposal.steps], dict(proposal.left), proposal


def test_nothing_missing_proposes_nothing(trade):
    assert propose((sheet(trade, [("E.1", None, {})], verdicts={"E.1": "protected"}),)) is None


def test_one_device_before_all_that_is_drawn_after_it(trade):
    names = ("E.1", "E.2", "E.3")
    wiring = Wiring("v1", names, "A-1", tuple((n, names[:k]) for k, n in enumerate(names)))
    got, _, proposal = steps(sheet(trade, [(n, "A-1", {}) for n in names], [wiring]))
    assert got == [("device", "E.1", names)] and proposal.steps[0].assumes is None


def test_an_outlet_that_needs_nothing_may_carry_the_device(trade):
    names = ("E.1", "E.2", "E.3")
    wiring = Wiring("v1", names, "A-1", tuple((n, names[:k]) for k, n in enumerate(names)))
    result = sheet(trade, [(n, None, {}) for n in names], [wiring], verdicts={"E.1": "not required"})
    got, _, _ = steps(result)
    assert len(got) == 1 and got[0][1] in ("E.1", "E.2") and got[0][2] == ("E.2", "E.3")


def test_a_circuit_over_two_floors_takes_a_breaker(trade):
    got, _, _ = steps(sheet(trade, [("E.1", "A-1", {}), ("E.2", "A-1", {"view": "v2"})]))
    assert got == [("breaker", "A-1", ("E.1", "E.2"))]


@pytest.mark.parametrize("facts", [{"serves": "refrigerator"}, {"height_in": 96.0}, {"readily_accessible": False},
                                   {"serves": "garage door opener"}])  # fmt: skip
def test_no_device_where_it_cannot_be_reached(trade, facts):
    got, left, _ = steps(sheet(trade, [("E.1", None, facts)]))
    assert got == [] and "E.1" in left and "no device fits there" in left["E.1"]
    got, _, _ = steps(sheet(trade, [("E.1", "A-1", facts)]))
    assert got == [("breaker", "A-1", ("E.1",))]


def test_no_device_behind_an_appliance_that_is_drawn_there(trade):
    entry = SymbolEntry("refrigerator", "refrigerator")
    box = shapely.box(-10, -10, 10, 10)
    symbol = Symbol(**{**trade.outlet(None).symbol.__dict__, "entry": entry, "footprint": box, "view": "v1"})
    got, left, _ = steps(sheet(trade, [("E.1", None, {})], fixtures=[Fixture("f1", symbol, None)]))
    assert got == [] and "stands before it" in left["E.1"]


def test_what_takes_no_receptacle_takes_a_breaker_or_is_left(trade):
    outlets = [("E.1", "A-1", {"kind": "hardwired outlet"}), ("E.2", None, {"volts": 240.0})]
    got, left, _ = steps(sheet(trade, outlets))
    assert got == [("breaker", "A-1", ("E.1",))] and "circuit is not shown" in left["E.2"]


def test_a_number_without_a_panel_joins_nothing_where_there_are_several(trade):
    result = sheet(trade, [("E.1", "3", {}), ("E.2", "3", {})], panels=(trade.panel("A", {}), trade.panel("B", {})))
    got, _, _ = steps(result)
    assert got == [("device", "E.1", ("E.1",)), ("device", "E.2", ("E.2",))]


def test_a_device_that_must_come_first_says_so(trade):
    """A breaker and such a device are one each: the breaker takes less for granted."""
    got, _, proposal = steps(sheet(trade, [("E.1", "A-1", {}), ("E.2", "A-1", {})]))
    assert got == [("breaker", "A-1", ("E.1", "E.2"))]
    from cordpath.circuits.proposal import _firsts

    by_id = {f.outlet.id: f for f in sheet(trade, [("E.1", "A-1", {}), ("E.2", "A-1", {})]).findings}
    (first,) = _firsts(by_id, {}, frozenset(by_id), {"E.1": "behind"}, False)
    assert first.step.at == "E.2" and "not drawn" in first.step.assumes and proposal.left == ()
