"""Tags, schedules and devices: who protects an outlet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cordpath.circuits import protection_of, shown_protections
from cordpath.model import Answer, Label, Panel, Policy

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN


def test_a_device_by_symbol_or_label(trade):
    by_symbol = protection_of(trade.outlet("A-12", protection="device"), ())
    assert (by_symbol.shown, by_symbol.by, by_symbol.circuit) == (YES, "device", "A-12")
    by_label = protection_of(trade.outlet(labels=[Label("GFI", (0, 0), (("protection", "device"),))]), ())
    assert (by_label.shown, by_label.by) == (YES, "device") and "GFI" in by_label.evidence


def test_an_unsettled_symbol_protects_nobody(trade):
    assert protection_of(trade.outlet(protection="device", found=False), ()).shown is UNKNOWN


def test_an_unsure_label_is_a_question_unless_the_breaker_answers(trade):
    label = Label("GFI", (0, 0), (("protection_unsure", "GFI may belong to either of two symbols"),))
    alone = protection_of(trade.outlet("A-1", labels=[label]), ())
    assert alone.shown is UNKNOWN and "either of two" in alone.reasons[0]
    assert protection_of(trade.outlet("A-1", labels=[label]), (trade.panel("A", {"1": YES}),)).by == "breaker"
    assert protection_of(trade.outlet(labels=[label], protection="device"), ()).by == "device"


@pytest.mark.parametrize(
    ("load", "want"),
    [("SPARE", UNKNOWN), ("(SPARE)", UNKNOWN), ("NOT USED", UNKNOWN), ("DISCONNECTED", UNKNOWN),
     ("SPARE GFCI", UNKNOWN), ("SPARE BEDROOM", YES), ("RECEPTACLES", YES)],
)  # fmt: skip
def test_a_circuit_that_feeds_nothing_protects_no_outlet(trade, load, want):
    """The GFCI breaker of a spare cleared the outlet whose tag, by a slip or an old schedule, names it."""
    panel = trade.panel("A", {"13": YES})
    panel = replace(panel, rows=tuple(replace(row, description=load) for row in panel.rows))
    got = protection_of(trade.outlet("13"), (panel,))
    assert got.shown is want
    assert want is YES or "feeds nothing by its schedule" in got.reasons[0]


@pytest.mark.parametrize("tag", ["A-12", "A12", "(A12)", "A 12", "A#12", "CKT A-12", "a-12", "A.12", "A-012"])
def test_spellings_of_one_tag(trade, tag):
    got = protection_of(trade.outlet(tag), (trade.panel("A", {"12": YES, "2": NO}), trade.panel("B", {"12": NO})))
    assert (got.shown, got.by, got.circuit) == (YES, "breaker", "A-12")
    assert "panel A circuit 12" in got.evidence


@pytest.mark.parametrize(
    ("tag", "rows", "want"),
    [
        ("12", {"12": YES}, YES), ("#12", {"12": YES}, YES), ("A-12", {"12": NO}, NO), ("A-12",
        {"12": UNKNOWN}, UNKNOWN),
        ("A-14", {"12": YES}, UNKNOWN), ("A-12,14", {("12", "14"): YES}, YES), ("A-12,14", {"12": YES,
        "14": YES}, YES),
        ("A-12,14", {"12": YES, "14": NO}, NO), ("A-12/14", {"12": YES}, UNKNOWN), ("A-1,A-3", {"1": YES,
        "3": YES}, YES),
        ("12", [("12", YES), ("12", YES)], UNKNOWN), ("1,3", {("1", "3"): YES}, YES), ("??", {"12": YES}, UNKNOWN),
    ],
)  # fmt: skip
def test_one_panel(trade, tag, rows, want):
    got = protection_of(trade.outlet(tag), (trade.panel("A", rows),))
    assert got.shown is want
    assert got.reasons if want is not YES else got.evidence


def test_the_panels_decide_between_readings(trade):
    one, l1 = trade.panel("L", {"17": YES, "7": NO}), trade.panel("L1", {"7": YES})
    assert protection_of(trade.outlet("L17"), (one,)).circuit == "L-17"
    assert protection_of(trade.outlet("L17"), (l1,)).circuit == "L1-7"
    both = protection_of(trade.outlet("L17"), (one, l1))
    assert both.shown is UNKNOWN and "may mean" in both.reasons[0]
    assert protection_of(trade.outlet("LP-1-7"), (trade.panel("LP1", {"7": YES}),)).shown is YES


@pytest.mark.parametrize("text", ["A18", "(A18)", "CKT A18", "CKT. #A18"])
def test_a_tag_without_a_sign_is_read_as_it_is_written(trade, text):
    """A18 was 18 of panel A for certain, and protected by its breaker: it may be 8 of panel A1, which has none."""
    outlet = trade.outlet(labels=[Label(text, (0, 0), (("circuit", "A-18"),))])
    panels = (trade.panel("A", {"18": YES}), trade.panel("A1", {"8": NO}))
    got = protection_of(outlet, panels)
    assert got.shown is UNKNOWN and "may mean" in got.reasons[0]
    assert protection_of(outlet, panels[:1]).circuit == "A-18"
    signed = trade.outlet(labels=[Label("A-18", (0, 0), (("circuit", "A-18"),))])
    assert protection_of(signed, panels).shown is YES


def test_without_a_panel_in_the_tag_several_panels_leave_it_open(trade):
    got = protection_of(trade.outlet("12"), (trade.panel("A", {"12": YES}), trade.panel("B", {"12": YES})))
    assert got.shown is UNKNOWN and "several" in got.reasons[0]


def test_without_schedule_or_tag_protection_is_not_shown(trade):
    tagged = protection_of(trade.outlet("A-12"), ())
    assert tagged.shown is NO and "no panel schedule" in tagged.reasons[0] and tagged.circuit == "A-12"
    assert protection_of(trade.outlet(), (trade.panel("A", {"12": YES}),)).shown is NO


def test_two_tags_at_one_outlet_are_a_question(trade):
    assert protection_of(trade.outlet(["A-1", "A-2"]), (trade.panel("A", {"1": YES, "2": YES}),)).shown is UNKNOWN


def test_a_schedule_that_could_not_be_read_is_a_question(trade):
    got = protection_of(trade.outlet("A-1"), (trade.panel("A", {}, ["no table could be read"]),))
    assert got.shown is UNKNOWN and "no table could be read" in got.reasons[0]


def test_a_schedule_repeated_must_agree(trade):
    same = trade.panel("A", {"1": YES})
    assert protection_of(trade.outlet("A-1"), (same, trade.panel("A", {"1": YES}))).shown is YES
    assert protection_of(trade.outlet("A-1"), (same, trade.panel("A", {"1": NO}))).shown is UNKNOWN


def test_two_units_with_a_panel_of_one_name_leave_open_whose_circuit_is_meant(trade):
    """Circuit 3 stands in one of the two only: it cleared the tags of the other unit as well."""

    def panel(**loads):
        rows = trade.panel("A", dict.fromkeys((c[1:] for c in loads), YES)).rows
        return Panel("A", tuple(replace(row, description=loads[f"c{row.circuits[0]}"]) for row in rows), "E1")

    first, second = panel(c1="KITCHEN", c3="BATH"), panel(c1="BEDROOM")
    for panels in ((first, second), (second, first)):
        got = protection_of(trade.outlet("A-3"), panels)
        assert got.shown is UNKNOWN and "differ" in got.reasons[0]
    assert protection_of(trade.outlet("A-3"), (first, panel(c1="KITCHEN"))).shown is YES  # repeated in part
    assert protection_of(trade.outlet("A-3"), (first, panel(c5="BEDROOM"))).shown is YES  # it goes on elsewhere


def test_the_same_circuit_as_a_device_is_a_question_and_never_protected(trade):
    outlets = (
        trade.outlet("A-12", "E.1", protection="device"), trade.outlet("A12", "E.2"), trade.outlet("A-14", "E.3"),
        trade.outlet(None, "E.4"), trade.outlet("A-12,14", "E.5"),
    )  # fmt: skip
    for panels in ((), (trade.panel("A", {"12": NO, "14": NO}),)):
        got = shown_protections(outlets, panels)
        assert [p.shown for p in got] == [YES, UNKNOWN, NO, NO, UNKNOWN]
        assert "same circuit as GFCI device E.1" in got[1].reasons[0]


def test_a_doubtful_circuit_tag_neither_protects_nor_clears_a_doubt(trade):
    label = Label("A-12", (0, 0), (("circuit_unsure", "A-12"),))
    marked = protection_of(trade.outlet(labels=[label]), (trade.panel("A", {"12": YES}),))
    assert marked.shown is UNKNOWN and "not sure" in marked.reasons[0]
    assert protection_of(trade.outlet(labels=[label]), (trade.panel("A", {"12": NO}),)).shown is NO
    other = Label("A-14", (0, 0), (("circuit_unsure", "A-14"),))
    either = protection_of(trade.outlet(labels=[label, other]), (trade.panel("A", {"12": NO, "14": YES}),))
    assert either.shown is UNKNOWN


def test_a_tag_that_fits_two_panels_names_the_circuit_of_neither(trade):
    """``L17``: 17 of panel L, or 7 of panel L1; the amperes of either row would say too much."""
    panels = (trade.panel("L", {"17": NO}), trade.panel("L1", {"7": NO}))
    assert protection_of(trade.outlet("L17"), panels).circuit == "L17"
    assert protection_of(trade.outlet("L17"), panels[:1]).circuit == "L-17"


def test_a_label_of_a_breaker_against_the_schedule_is_a_question(trade):
    label = Label("GFCI BKR", (0, 0), (("protection", "breaker"),))
    for answer, want in ((YES, YES), (NO, UNKNOWN), (UNKNOWN, YES)):
        got = protection_of(trade.outlet("A-12", labels=[label]), (trade.panel("A", {"12": answer}),))
        assert got.shown is want
        assert want is YES or ("GFCI BKR" in got.reasons[0] and "circuit 12" in got.reasons[1])
    assert protection_of(trade.outlet("A-12", labels=[label]), ()).by == "breaker"
    assert protection_of(trade.outlet(labels=[label]), (trade.panel("A", {"12": NO}),)).by == "breaker"


def test_schedules_without_a_name_settle_only_what_all_of_them_agree_on(trade):
    one, two = trade.panel("", {"3": YES, "7": YES}), trade.panel("", {"3": NO, "5": YES, "7": YES})
    shown = [protection_of(trade.outlet(tag), (one, two)).shown for tag in ("3", "5", "7", "9")]
    assert shown == [UNKNOWN, YES, YES, UNKNOWN]  # of two with a 3 either may be meant
    assert protection_of(trade.outlet("3"), (one, trade.panel("B", {"3": YES}))).shown is UNKNOWN


def test_the_two_circuits_of_one_breaker_are_told_once(trade):
    plain = protection_of(trade.outlet("A-2,4"), (trade.panel("A", {("2", "4"): NO}),))
    assert len(plain.reasons) == 1 and plain.reasons[0].startswith("panel A circuits 2, 4 show no GFCI breaker: ")
    marked = protection_of(trade.outlet("A-2,4"), (trade.panel("A", {("2", "4"): YES}),))
    assert marked.evidence.startswith("panel A circuits 2, 4: ") and ";" not in marked.evidence
    apart = protection_of(trade.outlet("A-2,4"), (trade.panel("A", {"2": YES, "4": NO}),))
    assert apart.reasons[0].startswith("panel A circuit 4 shows no GFCI breaker: ") and len(apart.reasons) == 1


def test_a_bare_number_on_a_sheet_of_two_panels_is_a_question(trade):
    """Labels of such sheets come as doubts: what they say of the breaker is not that no circuit is drawn."""
    both = (trade.panel("A", {"3": Answer.YES}), trade.panel("B", {"3": Answer.NO}))
    outlet = trade.outlet(labels=(Label("3", (0, 0), (("circuit_unsure", "3"),)),))
    found = protection_of(outlet, both)
    assert found.shown is Answer.UNKNOWN
    assert "names no panel" in " ".join(found.reasons)


@pytest.mark.parametrize("drawn", [True, False])
def test_the_same_circuit_as_what_may_be_a_device_is_a_question_too(trade, drawn):
    """The doubt about the device left the outlet beside it plainly unprotected."""
    unsure = Label("GFI", (0, 0), (("protection_unsure", "device"),))
    maybe = (
        trade.outlet("A-12", "E.1", protection="device", found=False) if drawn
        else trade.outlet("A-12", "E.1", labels=[unsure])
    )  # fmt: skip
    outlets = (maybe, trade.outlet("A12", "E.2"), trade.outlet("A-14", "E.3"))
    panels = (trade.panel("A", {"12": NO, "14": NO}),)
    got = shown_protections(outlets, panels)
    assert [p.shown for p in got] == [UNKNOWN, UNKNOWN, NO]
    assert "same circuit as outlet E.1, which may be a GFCI device" in got[1].reasons[0]
    assert shown_protections(outlets, panels, policy=Policy(same_circuit="missing"))[1].shown is NO


def test_letters_that_nobody_read_are_not_told_as_nothing_drawn(trade):
    why = "letters drawn beside it that could not be read"
    letters = Label("?", (0, 0), (("protection_unsure", why),))
    assert protection_of(trade.outlet(labels=[letters]), (trade.panel("A", {"1": NO}),)).reasons == (why,)
    assert "is drawn" in protection_of(trade.outlet(), ()).reasons[0]


@pytest.mark.parametrize(
    ("load", "answer", "shown"),
    [("SUB-PANEL B", YES, UNKNOWN), ("PANEL B", YES, UNKNOWN), ("PANEL B", NO, NO), ("PANEL C", YES, NO),
     ("B", YES, NO)],
)  # fmt: skip
def test_a_panel_that_a_gfci_breaker_feeds_is_a_question(trade, load, answer, shown):
    """Its outlets were plainly unprotected, though the feeder's breaker protects them all."""
    feeder = replace(trade.panel("A", {("2", "4"): answer}).rows[0], description=load)
    panels = (replace(trade.panel("A", {}), rows=(feeder,)), trade.panel("B", {"5": NO, "7": YES}))
    assert protection_of(trade.outlet("B-5"), panels).shown is shown
    assert protection_of(trade.outlet("B-7"), panels).shown is YES
