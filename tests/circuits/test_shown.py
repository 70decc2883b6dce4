"""Breaker by homerun, feeding through, the same circuit, panels of other files."""

from __future__ import annotations

import dataclasses
import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.rules.records import reading, room

from cordpath.check import judge_file
from cordpath.circuits import is_one_set, lent, shown_protections
from cordpath.model import Answer, Label, Policy, Region, SymbolEntry, Wiring, Word
from cordpath.rules import load_edition

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN


def chain(count=4, tag="A-12", **more):
    names = tuple(f"E.{k}" for k in range(1, count + 1))
    return Wiring("v1", names, tag, tuple((n, names[:k]) for k, n in enumerate(names)), **more)


def outlets(trade, device=2, tags=(None, None, None, None)):
    return tuple(
        trade.outlet(tag, f"E.{k}", protection="device" if k == device else None) for k, tag in enumerate(tags, 1)
    )


def test_downstream_of_a_device_is_fed_through_and_upstream_is_not(trade):
    got = shown_protections(outlets(trade), (), (chain(),))
    assert [p.shown for p in got] == [NO, YES, YES, YES]
    assert [p.by for p in got] == [None, "device", "feed-through", "feed-through"]
    assert "E.2" in got[3].evidence and "A-12" in got[3].evidence and got[3].circuit == "A-12"
    assert "not between it and the homerun" in " ".join(got[0].reasons)


def test_a_doubt_about_the_order_is_a_question_for_all(trade):
    doubts = tuple((f"E.{k}", "the drawn wiring closes a ring") for k in range(1, 5))
    got = shown_protections(outlets(trade), (), (Wiring("v1", ("E.1", "E.2", "E.3", "E.4"), "A-12", (), doubts),))
    assert [p.shown for p in got] == [UNKNOWN, YES, UNKNOWN, UNKNOWN]
    assert "ring" in got[0].reasons[0]


def test_a_device_with_a_doubtful_place_asks_about_the_others(trade):
    wiring = Wiring(
        "v1", ("E.1", "E.2"), "A-12", (("E.1", ()),), (("E.2", "the drawn wiring branches at outlet E.1"),)
    )
    got = shown_protections(outlets(trade)[:2], (), (wiring,))
    assert got[0].shown is UNKNOWN and "branches" in got[0].reasons[0]


@pytest.mark.parametrize(
    "tags",
    [("A-12", "A-12", "A-14", None), (None, "A-14", None, None), ("A-12", "A-12", "B-12", None),
     (None, None, "B-12", None)],
)  # fmt: skip
def test_circuits_that_differ_feed_nothing_through(trade, tags):
    got = shown_protections(outlets(trade, tags=tags), (), (chain(),))
    assert got[2].shown is UNKNOWN and "differ" in got[2].reasons[0]


def test_the_same_circuit_in_two_spellings_agrees(trade):
    got = shown_protections(outlets(trade, tags=("12", "A12", "(A-12)", "12")), (), (chain(),))
    assert [p.shown for p in got] == [NO, YES, YES, YES]


def test_an_outlet_without_a_tag_has_the_breaker_of_its_homerun(trade):
    panels = (trade.panel("A", {"12": YES}),)
    got = shown_protections(outlets(trade, device=0), panels, (chain(),))
    assert {(p.shown, p.by) for p in got} == {(YES, "breaker")} and "homerun" in got[0].evidence
    loose = chain(whole=False)
    assert {p.shown for p in shown_protections(outlets(trade, device=0), panels, (loose,))} == {UNKNOWN}
    got = shown_protections(outlets(trade, device=0, tags=("A-14", None, None, None)), panels, (chain(),))
    assert got[0].shown is UNKNOWN  # its own tag counts, and no panel has it


def test_a_homerun_of_two_circuits(trade):
    two = chain(tag="A-12,14")
    mixed = shown_protections(outlets(trade, device=0), (trade.panel("A", {"12": YES, "14": NO}),), (two,))
    assert {p.shown for p in mixed} == {UNKNOWN} and "which of them" in mixed[0].reasons[0]
    both = shown_protections(outlets(trade, device=0), (trade.panel("A", {"12": YES, "14": YES}),), (two,))
    assert {p.shown for p in both} == {YES}


def test_240_volts_are_not_fed_through(trade):
    made = list(outlets(trade))
    made[2].symbol.entry.__dict__["volts"] = 240.0
    got = shown_protections(tuple(made), (), (chain(),))
    assert got[2].shown is UNKNOWN and "240 V" in got[2].reasons[0]


def test_an_outlet_that_may_be_of_240_volts_is_not_fed_through_for_sure(trade):
    made = outlets(trade)
    doubt = Label("240V?", (0.0, 0.0), (("volts_unsure", 240.0),))
    symbol = dataclasses.replace(made[2].symbol, labels=(*made[2].symbol.labels, doubt))
    got = shown_protections((*made[:2], dataclasses.replace(made[2], symbol=symbol), made[3]), (), (chain(),))
    assert [p.shown for p in got] == [NO, YES, UNKNOWN, YES]
    assert "may be a 240 V outlet" in got[2].reasons[0]


def test_the_policy_for_the_same_circuit(trade):
    made = outlets(trade, device=1, tags=("A-12", "A-12", None, None))
    assert shown_protections(made, ())[1].shown is UNKNOWN
    got = shown_protections(made, (), (), Policy(same_circuit="missing"))[1]
    assert got.shown is NO and "policy" in " ".join(got.reasons)


def test_a_sure_place_before_the_device_is_no_question_of_the_circuit(trade):
    got = shown_protections(outlets(trade, tags=("A-12",) * 4), (), (chain(),))
    assert got[0].shown is NO


@given(st.data())
def test_nothing_is_fed_through_without_a_device_before_it(trade, data):
    """Whatever the wiring: a fed-through outlet has a sure place, and a device on its way from the homerun."""
    names = [f"E.{k}" for k in range(1, 6)]
    order = data.draw(st.permutations(names))
    sure = data.draw(st.integers(0, 5))
    devices = data.draw(st.sets(st.sampled_from(names)))
    fed = tuple((n, tuple(order[:k])) for k, n in enumerate(order[:sure]))
    doubts = tuple((n, "it branches") for n in order[sure:])
    made = tuple(trade.outlet(None, n, protection="device" if n in devices else None) for n in names)
    got = dict(
        zip(names, shown_protections(made, (), (Wiring("v1", tuple(order), None, fed, doubts),)), strict=True)
    )
    for name, protection in got.items():
        before = set(order[: order.index(name)])
        if protection.by == "feed-through":
            assert name in order[:sure] and before & devices
        elif name not in devices:
            doubtful = devices and (name not in order[:sure] or not devices <= set(order[:sure]))
            assert protection.shown is (UNKNOWN if doubtful else NO)


def test_panels_of_other_files(trade):
    made = (trade.outlet("B-3", "E.1"),)
    own = (trade.panel("A", {"3": YES}),)
    other = (trade.panel("B", {"3": YES}),)
    (sure,) = shown_protections(made, own, (), None, lent(other, "E-601.pdf", True))
    assert sure.by == "breaker" and "E-201 of E-601.pdf" in sure.evidence
    (unsure,) = shown_protections(made, own, (), None, lent(other, "E-601.pdf", False))
    assert unsure.shown is UNKNOWN and "another building" in " ".join(unsure.reasons)
    twin = (trade.panel("A", {"3": NO}),)
    (kept,) = shown_protections((trade.outlet("A-3", "E.1"),), own, (), None, lent(twin, "x.pdf", True))
    assert kept.shown is YES  # a panel of the file's own decides alone
    assert lent((trade.panel("", {"3": YES}), *other), "x.pdf", True) == lent(other, "x.pdf", True)  # whose is it?


def numbered(trade, number, block=()):
    words = [Word(text, (1000.0, 900.0 + k, 1030.0, 901.0 + k), 0.0, 8.0, k) for k, text in enumerate(block)]
    region = Region("title block", (990.0, 890.0, 1100.0, 1000.0))
    return dataclasses.replace(trade.sheet((words, [])), number=number, regions=(region,) if block else ())


@pytest.mark.parametrize(
    ("numbers", "want"),
    [
        (["E-101", "E-601"], True), (["E-101", "E-101"], False), (["E-101", None], False), ([], True),
        (["E-101", "A-201"], True), (["E-101", "E1"], False), (["E1.1", "E2.1"], True),
    ],
)  # fmt: skip
def test_what_is_one_set(trade, numbers, want):
    sheets = [numbered(trade, number) for number in numbers]
    assert all(is_one_set(some) is want for some in itertools.permutations(sheets))


def test_other_title_blocks_are_other_buildings(trade):
    ours = ["MARLOW", "HOUSE", "FERN", "LANE", "ADDITION"]
    other = ["TERN", "COTTAGE", "MILL", "ROAD", "ADDITION"]
    assert is_one_set([numbered(trade, "E-101", [*ours, "POWER"]), numbered(trade, "E-601", [*ours, "PANELS"])])
    assert not is_one_set([numbered(trade, "E-101", ours), numbered(trade, "E-601", other)])
    assert not is_one_set([numbered(trade, "E-101"), None])


@pytest.mark.parametrize("doubtful", [1, 2])
def test_nothing_is_fed_through_to_or_from_a_symbol_in_doubt(trade, doubtful):
    """A GFI label protects the symbol that it stands at; whether that is a device which feeds others is another."""
    gfi = Label("GFI", (0.0, 0.0), (("protection", "device"),))
    made = [trade.outlet(None, f"E.{k}", found=k != doubtful, labels=[gfi] if k == 1 else []) for k in (1, 2)]
    got = shown_protections(tuple(made), (), (chain(2),))
    assert [p.shown for p in got] == [YES, UNKNOWN]
    assert f"symbol of outlet E.{doubtful} could not be settled" in got[1].reasons[0]


def test_a_doubtful_tag_and_the_homerun_must_agree(trade):
    """Neither the breaker of a neighbour's tag nor that of the homerun protects alone; a device does."""
    panels = (trade.panel("A", {"12": YES, "14": NO}),)
    near = Label("A-14?", (0.0, 0.0), (("circuit_unsure", "A-14"),))
    for protection, shown in ((None, UNKNOWN), ("device", YES)):
        made = (trade.outlet(None, "E.1", protection=protection, labels=[near]),)
        assert shown_protections(made, panels, (chain(1),))[0].shown is shown


# ------------------------------------------------------------------- what contradicts the protection that is told


def test_a_tag_whose_wiring_leads_to_another_circuit_s_homerun_is_no_proof(trade):
    """The tag may be a neighbour's: its GFCI breaker protects only what is on its circuit."""
    panels = (trade.panel("A", {"3": YES, "5": NO, "7": YES}),)
    for home, whole, want in (
        ("A-5", True, UNKNOWN), ("A-3", True, YES), ("A-3,5", True, YES), ("A-7", True, YES), ("A-5", False, YES),
        ("A-9", True, UNKNOWN),
    ):  # fmt: skip
        (got,) = shown_protections((trade.outlet("A-3", "E.1"),), panels, (chain(1, home, whole=whole),))
        assert got.shown is want, home
        assert want is YES or f"homerun of circuit {home}" in got.reasons[0]


def test_a_device_on_one_leg_of_a_shared_homerun_feeds_perhaps_the_other_leg(trade):
    """Two circuits may share a neutral and a homerun (NEC 210.4): a device on one protects nothing on the other."""
    got = shown_protections(outlets(trade), (), (chain(tag="A-1,3"),))
    assert [p.shown for p in got] == [NO, YES, UNKNOWN, UNKNOWN]
    assert "A-1,3" in got[2].reasons[0]


@pytest.mark.parametrize("fact", ["status", "status_unsure"])
@pytest.mark.parametrize(("status", "want"), [("demolished", UNKNOWN), ("future", UNKNOWN), ("existing", YES),
                                              ("Existing to remain", YES), ("new", YES)])  # fmt: skip
def test_a_device_that_may_be_taken_away_feeds_nobody(trade, status, want, fact):
    mark = Label("X", (0, 0), ((fact, status),))
    device = trade.outlet(id="E.1", protection="device", labels=[mark])
    got = shown_protections((device, trade.outlet(id="E.2")), (), (chain(2),))
    assert got[1].shown is want
    assert want is YES or f"marked {status}" in got[1].reasons[0]


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"confidence": 0.4}, "could not be settled"),
        ({"entry": SymbolEntry("dishwasher", "hardwired outlet", protection="device")}, "no receptacle"),
        ({"labels": (Label("HW", (0, 0), (("hard_wired", True),)),)}, "no receptacle"),
    ],
)
def test_only_a_receptacle_that_is_read_surely_feeds_others(trade, change, why):
    """The mark at fixed wiring says that it is protected: there are no load terminals to feed on from."""
    device = trade.outlet(id="E.1", protection="device")
    device = dataclasses.replace(device, symbol=dataclasses.replace(device.symbol, **change))
    got = shown_protections((device, trade.outlet(id="E.2")), (), (chain(2),))
    assert [p.shown for p in got] == [YES, UNKNOWN] and why in got[1].reasons[0]


def test_a_number_alone_is_no_proof_where_other_tags_name_a_panel_that_was_not_read(trade):
    """``3`` beside ``B-5`` may be of panel B, of which no schedule was read."""
    panel = (trade.panel("A", {"3": YES, "5": NO}),)
    mixed = (trade.outlet("3", "E.1"), trade.outlet("B-5", "E.2"), trade.outlet("5", "E.3"))
    got = shown_protections(mixed, panel)
    assert got[0].shown is UNKNOWN and "other tags name B" in got[0].reasons[0]
    assert got[2].shown is NO  # nothing shows a breaker for it either way
    pair = shown_protections((trade.outlet("3-5", "E.1"), mixed[1]), (trade.panel("A", {"3": YES, "5": YES}),))
    assert pair[0].shown is UNKNOWN
    plain = (mixed[0], trade.outlet("A-5", "E.2"), mixed[2])
    assert [each.shown for each in shown_protections(plain, panel)] == [YES, NO, NO]


def test_a_panel_that_only_a_homerun_names_counts_among_the_unread(trade):
    got = shown_protections(
        (trade.outlet("3", "E.1"), *outlets(trade)), (trade.panel("A", {"3": YES}),), (chain(tag="B-5"),)
    )
    assert got[0].shown is UNKNOWN


def test_letters_and_figures_without_a_sign_may_be_of_a_panel_that_was_not_read(trade):
    """``L17`` is circuit 17 of L before it is circuit 7 of L1."""
    l1, one = trade.panel("L1", {"7": YES}), trade.panel("L", {"17": NO})
    (got,) = shown_protections((trade.outlet("L17"),), (l1,))
    assert got.shown is UNKNOWN and "may mean L-17" in got.reasons[0]
    assert shown_protections((trade.outlet("L1-7"),), (l1,))[0].shown is YES
    assert shown_protections((trade.outlet("(L17)"),), (one,))[0].shown is NO
    assert shown_protections((trade.outlet("L17"),), (trade.panel("L1", {"7": NO}),))[0].shown is NO


def test_circuits_of_a_panel_with_a_digit_in_its_name_are_not_one_circuit(trade):
    """Each outlet of panel LP1 was asked about as on circuit 1 of a panel LP, beside any device of LP1."""
    pair = trade.outlet("LP1-4", "E.1", protection="device"), trade.outlet("LP1-7", "E.2")
    assert [each.shown for each in shown_protections(pair, ())] == [YES, NO]


@pytest.mark.parametrize(
    ("own", "homerun", "want"), [(NO, YES, UNKNOWN), (YES, NO, UNKNOWN), (NO, NO, NO), (YES, YES, UNKNOWN)]
)
def test_a_tag_that_may_be_a_neighbour_s_beside_a_homerun_protects_nothing(trade, own, homerun, want):
    """Whichever of the two breakers is GFCI, which of them feeds the outlet is not sure."""
    panels = (trade.panel("A", {"3": own, "5": homerun}),)
    near = trade.outlet(None, "E.1", labels=(Label("A-3?", (0, 0), (("circuit_unsure", "A-3"),)),))
    wired = Wiring("v1", ("E.1",), "A-5", (("E.1", ()),))
    assert shown_protections((near,), panels, (wired,))[0].shown is want


@pytest.mark.parametrize(
    ("rival", "want"), [("GFCI duplex", UNKNOWN), ("ground fault receptacle", UNKNOWN), ("triplex", NO)]
)
def test_an_outlet_on_the_circuit_of_one_whose_rival_is_a_device_asks(trade, rival, want):
    """The neighbour's symbol was in doubt between a plain duplex and a GFCI one, and the outlet was missing."""
    beside, other = trade.outlet("A-8", "E.1", found=False), trade.outlet("A-8", "E.2")
    beside = dataclasses.replace(beside, symbol=dataclasses.replace(beside.symbol, rivals=(rival,)))
    got = shown_protections((beside, other), (trade.panel("A", {"8": NO}),))
    assert got[1].shown is want


@pytest.mark.parametrize(
    ("tag", "sure", "device", "room", "want"),
    [
        ("A-8", False, None, "r1", UNKNOWN),
        ("A-8", True, None, "r1", NO),  # its own circuit is read
        ("A-8", False, "A-3", "r1", NO),  # and here the device's
        ("A-8", False, None, "r2", NO),
        ("A-8,10", False, None, "r1", NO),  # of two poles
    ],
)
def test_an_unsure_tag_in_the_room_of_a_device_without_one_is_a_question(trade, tag, sure, device, room, want):
    """With outlined text the tag beside the device was lost, and an outlet on its circuit missing for certain."""
    fact = "circuit" if sure else "circuit_unsure"
    plain = trade.outlet(None, "E.1", labels=(Label(tag, (0, 0), ((fact, tag),)),))
    gfci = trade.outlet(device, "E.2", protection="device")
    gfci = dataclasses.replace(gfci, standing=dataclasses.replace(gfci.standing, room=room))
    panels = (trade.panel("A", {"3": NO, "8": NO, "10": NO}),)
    assert shown_protections((plain, gfci), panels)[0].shown is want


def test_an_outlet_fed_from_one_that_may_be_a_device_asks(trade):
    """Without a circuit at the homerun it was missing; the one before the doubtful one still is."""
    made = [trade.outlet(None, f"E.{k}", found=k != 2) for k in range(1, 5)]
    made[1] = dataclasses.replace(made[1], symbol=dataclasses.replace(made[1].symbol, rivals=("GFCI duplex",)))
    assert [p.shown for p in shown_protections(tuple(made), (), (chain(tag=None),))] == [NO, NO, UNKNOWN, UNKNOWN]


@pytest.mark.parametrize(("circuit", "want"), [("A-5", "unresolved"), ("A-7", "missing"), (None, "missing")])
def test_a_device_on_another_sheet_of_the_file_may_feed_on_to_this_one(circuit, want):
    """An outlet of the upper floor on the circuit of a GFCI receptacle of the lower one was missing protection for
    certain; on one sheet it was a question."""
    own = {} if circuit is None else {"circuit": circuit}
    lower = reading(rooms=room("bathroom"), protection="device", circuit="A-5")
    upper = reading(rooms=room("bathroom"), **own)
    upper = dataclasses.replace(
        upper,
        sheet=dataclasses.replace(upper.sheet, page=2, number="E2"),
        outlets=tuple(dataclasses.replace(each, id="E2.1") for each in upper.outlets),
    )
    below, above = judge_file("plan.pdf", {1: lower, 2: upper}, load_edition("2023"))
    assert [below.findings[0].verdict, above.findings[0].verdict] == ["protected", want]
    assert want == "missing" or "GFCI device E1.1" in above.findings[0].protection.reasons[0]


@pytest.mark.parametrize("text", ["1-5", "1/5", "(1.5)", "PNL 1-5", "CKT 1-5"])
def test_a_tag_of_a_panel_that_a_digit_names_is_a_tag_that_is_not_sure(trade, text):
    """Its outlet was missing protection for certain, although its breaker is a GFCI one."""
    one = trade.outlet(labels=[Label(text, (0.0, 0.0))])
    for breaker, want in ((YES, UNKNOWN), (NO, NO)):
        (told,) = shown_protections((one,), (trade.panel("1", {"5": breaker}), trade.panel("2", {"5": NO})))
        assert told.shown is want
    (told,) = shown_protections((one,), (trade.panel("A", {"1": YES, "5": YES}),))
    assert told.shown is NO


@pytest.mark.parametrize("text", ["A/1", "A.1", "A:1", "A1", "PANEL"])
def test_a_label_that_nobody_explained_and_that_names_a_circuit_is_a_tag_that_is_not_sure(trade, text):
    """Its outlet was missing protection for certain, although its breaker is a GFCI one."""
    one = trade.outlet(labels=[Label(text, (0.0, 0.0))])
    (told,) = shown_protections((one,), (trade.panel("A", {"1": YES, "3": NO}),))
    assert told.shown is (NO if text == "PANEL" else UNKNOWN)
    (told,) = shown_protections((one,), (trade.panel("A", {"1": NO, "3": YES}),))
    assert told.shown is NO
    (told,) = shown_protections((one,), (trade.panel("A", {"5": NO, "7": NO}),))
    assert told.shown is (UNKNOWN if text[1] in "/.:" else NO)  # half of the schedule may not have been read


@pytest.mark.parametrize("headed", [True, False])
def test_a_tag_may_be_of_a_schedule_whose_name_could_not_be_read(trade, headed):
    """The outlet was missing protection for certain."""
    one = trade.outlet(labels=[Label("3/1", (0.0, 0.0))])
    nameless = trade.panel("", {} if headed else {"1": YES})
    (told,) = shown_protections((one,), (trade.panel("1", {"1": NO}), dataclasses.replace(nameless, headed=headed)))
    assert told.shown is UNKNOWN


def test_drawn_ones_that_stand_apart_are_of_one_number(trade):
    """The outlet was missing protection for certain."""
    one = trade.outlet(labels=[Label("B/1 1", (0.0, 0.0))])
    (told,) = shown_protections((one,), (trade.panel("B", {"1": NO, "11": YES}),))
    assert told.shown is UNKNOWN and "B/11" in told.reasons[0]


@pytest.mark.parametrize(
    ("text", "want"),
    [
        ("MDPI 1", UNKNOWN),
        ("MDP1I", UNKNOWN),
        ("LPI-7", UNKNOWN),
        ("MDPI 3", NO),
        ("LPT7", NO),
        ("MDPII", UNKNOWN),
        ("MDP", NO),
    ],
)
def test_letters_and_figures_that_are_drawn_alike_may_be_a_tag(trade, text, want):
    """The outlet was missing protection for certain: of MDP11 and LP1-7, drawn, an I had been read for a 1."""
    one = trade.outlet(labels=[Label(text, (0.0, 0.0))])
    (told,) = shown_protections((one,), (trade.panel("MDP", {"11": YES, "13": NO}), trade.panel("LP1", {"7": YES})))
    assert told.shown is want


def test_letters_that_may_be_a_circuit_of_a_panel_whose_schedule_was_not_read(trade):
    """MDP10, drawn, was read as MDPIO: the outlet was missing protection for certain."""
    one = trade.outlet(labels=[Label("MDPIO", (0.0, 0.0))])
    (told,) = shown_protections(
        (one,), (dataclasses.replace(trade.panel("MDP", {}), headed=True), trade.panel("L", {"10": NO}))
    )
    assert told.shown is UNKNOWN


@pytest.mark.parametrize(("gfci", "want"), [(YES, UNKNOWN), (NO, NO)])
def test_a_number_that_nobody_explained_is_a_tag_that_is_not_sure(trade, gfci, want):
    """In a ring, at too few outlets or beside several panels it was no tag, and its outlet was missing protection
    for certain, although its breaker is a GFCI one."""
    one = trade.outlet(labels=[Label("12", (0.0, 0.0))])
    panels = (trade.panel("A", {"12": NO}), trade.panel("B", {"12": gfci, "14": YES}))
    (told,) = shown_protections((one,), panels)
    assert told.shown is want
    (told,) = shown_protections((trade.outlet(labels=[Label("16", (0.0, 0.0))]),), panels)
    assert told.shown is NO


@pytest.mark.parametrize(("text", "want"), [("12", UNKNOWN), ("A.12", UNKNOWN), ("WP", NO), ("B.12", NO)])
@pytest.mark.parametrize("headed", [True, False])
def test_a_number_may_be_of_a_schedule_that_could_not_be_read(trade, text, want, headed):
    """With outlined text no table could be read, and circuits in rings were keys of notes for certain."""
    one = trade.outlet(labels=[Label(text, (0.0, 0.0))])
    panel = dataclasses.replace(trade.panel("A", {}, ("no table could be read",)), headed=headed)
    (told,) = shown_protections((one,), (panel,))
    assert told.shown is (NO if text == "12" and not headed else want)


def test_a_tag_without_a_panel_is_open_only_where_the_panels_differ(trade):
    """It was asked which of two panels it is of, although neither has a GFCI breaker there."""
    panels = (trade.panel("A", {"12": NO, "14": NO}), trade.panel("B", {"12": NO, "14": YES, "16": NO}))
    for tag, want in (("12", NO), ("14", UNKNOWN), ("16", NO)):
        (told,) = shown_protections((trade.outlet(tag),), panels)
        assert told.shown is want, tag
