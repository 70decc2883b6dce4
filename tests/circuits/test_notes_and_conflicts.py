"""General notes that claim protection; contradictions about circuits."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.rules.records import reading

from cordpath.circuits import claimed, claims, conflicts, shown_protections
from cordpath.circuits.notes import claim_of, sheet_claims
from cordpath.model import Answer, Finding, Label, Policy, Protection, Region, Requirement, Room, Wiring

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN


def finding(trade, kind="bathroom", verdict="missing", to=None):
    room = Room("r1", kind.upper(), kind, None, 1.0, "v1")
    asks = (Requirement("210.8(A)(1)", "it is there", YES, 3.0 if to else None, to),)
    shown = Protection(NO, None, None, None, ("no tag",))
    return Finding(trade.outlet(None, "E.1"), verdict, asks, shown, ("Protection is not shown.",), room, 1.0)


@pytest.mark.parametrize(
    ("note", "kinds", "not_kinds"),
    [
        ("ALL RECEPTACLES WITHIN 6'-0\" OF WATER SHALL BE GFCI PROTECTED", ["bathroom", "kitchen"], ["garage"]),
        ("PROVIDE GFCI PROTECTION FOR ALL RECEPTACLES PER NEC 210.8", ["bathroom", "garage", "outdoors"], []),
        ("ALL RECEPTACLES SHALL BE GFCI PROTECTED", ["garage", "basement"], []),
        ("EXTERIOR AND GARAGE OUTLETS TO BE GFI", ["garage", "outdoors"], ["bathroom"]),
        ("ALL KITCHEN COUNTERTOP RECEPTACLES SHALL BE GROUND-FAULT PROTECTED", ["kitchen"], ["garage"]),
        ("GFCI RECEPTACLES SHALL BE MOUNTED AT 42\"", [], []),
        ("RECEPTACLES IN THE POOL EQUIPMENT ROOM SHALL BE GFCI", [], ["garage"]),
        ("BATHROOM RECEPTACLES ARE NOT REQUIRED TO BE GFCI", [], ["bathroom"]),
        ("ALL RECEPTACLES SHALL BE TAMPER RESISTANT", [], ["garage"]),
        ("VERIFY LOCATION OF GFCI DEVICES", [], ["garage"]),
        ("ALL RECEPTACLES GFCI U.N.O.", ["garage", "bathroom"], []),
        ("ALL BATH RECEPTS ON GFCI BREAKER", ["bathroom"], ["garage"]),
        ("BATH GFCI BY BREAKER", ["bathroom"], ["garage"]),
        ("GFCI PROTECT ALL KITCHEN COUNTER RECEPTACLES", ["kitchen"], ["bathroom"]),
        ("KITCHEN COUNTER RECEPT. GFCI EXCEPT DEDICATED REFR.", ["kitchen"], ["bathroom"]),
        ("BATH RECEPTS ON GFCI, TYP. U.N.O.", ["bathroom"], ["kitchen"]),
        ("EXTERIOR OUTLETS GFCI/WP", ["outdoors"], ["garage"]),
        ("GFCI RECEPTACLES AT KITCHEN, BATHS, GARAGE AND EXTERIOR", ["kitchen", "bathroom"], ["basement"]),
        ("GFCI DUPLEX RECEPTACLE, TYP.", [], ["garage"]),
        ("NO GFCI RECEPTACLES IN GARAGE", [], ["garage"]),
        ("GFCI RECEPTACLES WHERE SHOWN", [], ["garage"]),
        ("REPLACE EXISTING BATH RECEPTACLES WITH GFCI TYPE", ["bathroom"], ["kitchen"]),
        ("ALL KITCHEN CKTS TO BE DF BREAKERS", ["kitchen"], ["bathroom"]),
        ("CONTRACTOR SHALL PROVIDE GFCI PROTECTION PER NEC 210.8(A)", ["bathroom", "garage"], []),
        ("GFCI AS REQ'D BY CODE", ["bathroom", "garage"], []),
        ("ALL RECEPTACLES IN THIS DWELLING UNIT TO BE GFCI PROTECTED", ["bathroom", "garage"], []),
        ("ALL RECEPTACLES ON THIS SHEET SHALL BE GFCI", ["bathroom", "garage"], []),
        ("ALL RECEPTACLES IN UNIT B BATHROOMS SHALL BE GFCI", ["bathroom"], ["kitchen"]),
        ("OUTLETS IN GARAGE SHALL BE GFCI PROTECTED, EXCEPT GARAGE DOOR OPENER", ["garage"], ["kitchen"]),
        ("KITCHEN, BATH, EXT. & LAUNDRY OUTLETS TO BE GFCI PROT.", ["kitchen", "outdoors"], ["bedroom"]),
        ("GFI ALL BATH & EXT. PLUGS", ["bathroom", "outdoors"], ["kitchen"]),
        ("ALL BSMT. OUTLETS TO BE GFI", ["basement"], ["kitchen"]),
        ("ALL BSM'T RECEPTACLES SHALL BE GFCI PROTECTED", ["basement"], ["kitchen"]),
        ("RECEPTACLES IN LOWER LEVEL TO BE GFCI PROTECTED", ["basement"], ["kitchen"]),
        ("ALL RECEPTACLES SHALL BE TAMPER RESISTANT. GFCI IN BATHS.", ["bathroom"], ["bedroom"]),
        ("GFI = GROUND FAULT INTERRUPTER", [], ["bathroom", "garage"]),
        ("OMIT GFCI RECEPTACLES IN GARAGE", [], ["garage"]),
        ("ALTERNATE: PROVIDE GFCI RECEPTACLES IN GARAGE", [], ["garage"]),
        ("GARAGE RECEPTACLES ARE EXEMPT FROM GFCI REQUIREMENTS", [], ["garage"]),
        ("IN LIEU OF GFCI RECEPTACLES PROVIDE BLANK COVERS IN GARAGE", [], ["garage"]),
        ("GFCI RECEPTACLES SHALL BE WHITE", [], ["bathroom", "garage"]),
        ("2 GFCI RECEPTACLES SHALL COMPLY WITH UL 943", [], ["bathroom", "garage"]),  # the full stop was not read
        ("TEST ALL GFCI DEVICES.", [], ["bathroom", "garage"]),
        ("TEST ALL GFCI DEVICES PRIOR TO FINAL INSPECTION", [], ["bathroom", "garage"]),
        ("ALL POOL EQUIPMENT RECEPTACLES SHALL BE GFCI PROTECTED", [], ["bathroom", "garage"]),
        ("ALL ROOFTOP RECEPTACLES SHALL BE GFCI PROTECTED", [], ["bathroom", "garage"]),
        ("FURNISH GFCI PROTECTION AT ALL WET AREAS", ["bathroom", "kitchen"], ["bedroom"]),
        ("GROUND FAULT PROTECTION SHALL BE PROVIDED PER ARTICLE 210", ["bathroom", "garage"], []),
        ("PROVIDE GFCI WHERE APPLICABLE", ["bathroom", "garage"], []),
        ("PROVIDE G.F.I. OUTLETS AS PER N.E.C. LATEST EDITION", ["bathroom", "garage"], []),
        ("ANY OUTLET WITHIN SIX FEET OF A SINK IS TO BE GFI", ["bathroom", "kitchen"], ["garage"]),
        ("PROVIDE GFI PROTECTION AT ALL LAVATORIES", ["bathroom"], ["garage"]),
        ("RECEPTACLES BY ANY PLUMBING FIXTURE SHALL BE GFCI", ["bathroom"], ["garage"]),
        ("WHERE INDICATED 'GFI' PROVIDE A GROUND FAULT RECEPTACLE", [], ["bathroom", "garage"]),
        ("GFCI BREAKERS SHALL BE TESTED BEFORE FINAL INSPECTION", [], ["bathroom", "garage"]),
        ("GROUND FAULT PROTECTION OF EQUIPMENT SHALL BE PROVIDED AT SERVICE", [], ["bathroom", "garage"]),
    ],
)  # fmt: skip
def test_what_a_note_claims(trade, note, kinds, not_kinds):
    claim = claim_of(note, "E-001")
    for kind in kinds:
        assert claim is not None and claim.reaches(finding(trade, kind)), kind
    for kind in not_kinds:
        assert claim is None or not claim.reaches(finding(trade, kind)), kind


@pytest.mark.parametrize(
    ("but", "serves", "kind", "reached"),
    [("EXCEPT THE REFRIGERATOR", "refrigerator", "kitchen", False),
     ("EXCEPT REF. AND DISP.", "disposer", "kitchen", False),
     ("EXCEPT THE REFRIGERATOR", "dishwasher", "kitchen", True), ("EXCEPT AT FREEZER", "", "kitchen", True),
     ("EXCLUDING GARAGE", "", "garage", False), ("EXCLUDING GARAGE", "", "bathroom", True),
     ("OTHER THAN SUMP PUMP", "sump pump", "basement", False), ("", "refrigerator", "kitchen", True)],
)  # fmt: skip
def test_what_a_note_leaves_out_it_does_not_claim(trade, but, serves, kind, reached):
    """Its missing protection was a question by a note that says that it has none."""
    claim = claim_of(f"ALL RECEPTACLES SHALL BE GFCI PROTECTED {but}".strip(), "E-001")
    found = finding(trade, kind)
    symbol = replace(found.outlet.symbol, labels=(Label(serves, (0, 0), (("serves", serves),)),) if serves else ())
    assert claim.reaches(replace(found, outlet=replace(found.outlet, symbol=symbol))) is reached


@pytest.mark.parametrize(
    ("note", "serves", "kind", "reached"),
    [("DISHWASHER RECEPTACLE SHALL BE GFCI", "", "bathroom", False),
     ("DISHWASHER RECEPTACLE SHALL BE GFCI", "", "kitchen", True),
     ("DISHWASHER RECEPTACLE SHALL BE GFCI", "", "unknown", True),
     ("DISHWASHER RECEPTACLE SHALL BE GFCI", "dishwasher", "other", True),
     ("DISHWASHER RECEPTACLE SHALL BE GFCI", "range", "kitchen", False),
     ("DISHWASHER AND DISPOSER RECEPTACLES SHALL BE GFCI", "dishwasher", "kitchen", True),
     ("RECEPTACLES AND DISHWASHER OUTLETS SHALL BE GFCI", "", "bathroom", True),
     ("ALL RECEPTACLES, ALSO DISHWASHER, SHALL BE GFCI", "", "bathroom", True)],
)  # fmt: skip
def test_a_note_on_the_outlet_of_an_appliance_speaks_of_no_other(trade, note, serves, kind, reached):
    """Missing protection in every room of the house was a question by a note on the dishwasher."""
    claim = claim_of(note, "E-001")
    assert claim is not None
    found = finding(trade, kind)
    symbol = replace(found.outlet.symbol, labels=(Label("x", (0, 0), (("serves", serves),)),) if serves else ())
    assert claim.reaches(replace(found, outlet=replace(found.outlet, symbol=symbol))) is reached


def test_a_note_on_circuits_speaks_of_their_outlets(trade):
    """Outlets on them were missing protection, though a note promises a breaker of both kinds for them."""
    claim = claim_of("AFCI/GFCI DUAL FUNCTION BREAKERS FOR CKTS 1,3,5", "E-001")
    assert claim is not None
    found = finding(trade, "kitchen")
    for circuit, reached in (("A-3", True), ("5", True), ("A-7", False), (None, False)):
        assert claim.reaches(replace(found, protection=replace(found.protection, circuit=circuit))) is reached


def test_a_note_on_counters_claims_nothing_away_from_them(trade):
    claim = claim_of("ALL KITCHEN COUNTERTOP RECEPTACLES SHALL BE GFCI PROTECTED", "E-001")
    for at_counter, reached in ((YES, True), (UNKNOWN, True), (NO, False)):
        found = finding(trade, "kitchen")
        standing = replace(found.outlet.standing, at_counter=at_counter)
        assert claim.reaches(replace(found, outlet=replace(found.outlet, standing=standing))) is reached


def sheet(trade, rows):
    words = []
    for k, row in enumerate(rows):
        trade.text(words, k, 50.0, 60.0 + 14 * k, row)
    return trade.sheet((words, []), regions=[Region("notes", (40, 50, 600, 400), "GENERAL NOTES")])


def test_notes_run_on_over_lines(trade):
    rows = ["1. VERIFY ALL DIMENSIONS.", "2. ALL RECEPTACLES WITHIN 6' OF WATER", "SHALL BE GFCI PROTECTED."]
    made = sheet(trade, [*rows, "3. PROVIDE SMOKE ALARMS."])
    (claim,) = sheet_claims(made)
    assert claim.text == "ALL RECEPTACLES WITHIN 6' OF WATER SHALL BE GFCI PROTECTED" and claim.sheet == "E-201"


@pytest.mark.parametrize(
    ("title", "note", "claimed"),
    [
        ("KEYED NOTES", "PROVIDE GFCI RECEPTACLE.", False),
        ("KEYNOTES:", "PROVIDE GFCI RECEPTACLE PER CODE.", False),
        ("POWER PLAN KEY NOTES", "ALL RECEPTACLES SHALL BE GFCI PROTECTED.", True),
        ("KEYED NOTES", "PROVIDE GFCI RECEPTACLES IN BATHROOM.", True),
        ("NOTES", "PROVIDE GFCI RECEPTACLES.", True),
    ],
)
def test_a_keyed_note_speaks_of_the_outlets_beside_its_key(trade, title, note, claimed):
    """Read as a general note, one keyed outlet made a question of every outlet of the file."""
    page = sheet(trade, [f"1. {note}", "2. MOUNT AT +42 IN."])
    page = replace(page, regions=tuple(replace(region, title=title) for region in page.regions))
    assert bool(sheet_claims(page)) is claimed


@pytest.mark.parametrize(
    ("note", "claimed"), [("PROVIDE GFCI TYPE CIRCUIT BREAKER", False), ("ALL BREAKERS SHALL BE GFCI", True)]
)
def test_a_note_that_rows_of_a_panel_schedule_have_the_key_of_speaks_of_their_breakers(trade, note, claimed):
    """The list NOTES under a schedule was one of general notes, and every outlet of the file a question."""
    page = sheet(trade, [f"1. {note}", "2. MOUNT AT +42 IN."])
    panel = trade.panel("A", {"1": YES})
    row = replace(panel.rows[0], text=f"1 | BATH | 20 | 1 | 1 (1: {note})")
    told = replace(reading(), sheet=page, panels=(replace(panel, rows=(row,)),))
    assert bool(claims((told,))) is claimed
    assert claims((replace(told, panels=()),))


def test_text_outside_the_notes_claims_nothing(trade):
    made = sheet(trade, ["ALL RECEPTACLES SHALL BE GFCI PROTECTED"])
    assert sheet_claims(made)
    bare = trade.sheet((list(made.words), []))
    assert sheet_claims(bare) == () and claims(()) == ()


def test_a_claim_makes_missing_a_question_and_nothing_else(trade):
    told = (claim_of("ALL RECEPTACLES SHALL BE GFCI PROTECTED", "E-001"),)
    asked, kept = claimed((finding(trade), finding(trade, verdict="not required")), told, Policy())
    assert asked.verdict == "unresolved" and asked.protection.shown is UNKNOWN
    assert "'ALL RECEPTACLES SHALL BE GFCI PROTECTED'" in asked.reasons[0] and "E-001" in asked.reasons[0]
    assert kept.verdict == "not required" and kept.protection.shown is NO
    (still,) = claimed((finding(trade),), told, Policy(general_note="missing"))
    assert still.verdict == "missing" and "policy" in still.reasons[-1]


def told(trade, outlets, panels, wiring=()):
    return [c.what for c in conflicts(outlets, panels, shown_protections(outlets, panels, wiring), wiring)]


def test_a_tag_that_no_panel_has(trade):
    made = (trade.outlet("A-40", "E.1"), trade.outlet("A-40", "E.2"), trade.outlet("A-1", "E.3"))
    panels = (trade.panel("A", {"1": YES}),)
    (one,) = conflicts(made, panels, shown_protections(made, panels))
    assert "A-40" in one.what and one.outlets == ("E.1", "E.2")
    assert told(trade, made, ()) == []  # without schedules nothing contradicts
    unread = (*panels, trade.panel("B", {}, ("no table could be read",)))
    assert told(trade, (trade.outlet("B-2", "E.1"),), unread) == []


def test_a_number_in_two_panels(trade):
    panels = (trade.panel("A", {"12": YES}), trade.panel("B", {"12": NO}))
    (what,) = told(trade, (trade.outlet("12", "E.1"),), panels)
    assert "A, B" in what


def test_wiring_that_joins_two_circuits(trade):
    made = (trade.outlet("A-1", "E.1"), trade.outlet("A-3", "E.2"))
    wiring = (Wiring("v1", ("E.1", "E.2"), "A-1"),)
    assert any("different circuits: A-1, A-3" in what for what in told(trade, made, (), wiring))
    same = (trade.outlet("A-1", "E.1"), trade.outlet("1", "E.2"))
    assert told(trade, same, (), wiring) == []


def test_a_device_on_a_gfci_breaker_is_no_conflict(trade):
    assert told(trade, (trade.outlet("A-1", "E.1", protection="device"),), (trade.panel("A", {"1": YES}),)) == []
