"""Keyed notes of the plan that speak of ground-fault protection."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cordpath.circuits.keynotes import KeyedNote, by_keyed_notes, keyed_notes
from cordpath.model import Answer, Finding, Label, Protection, Room

NOTES = (KeyedNote("3", "GFCI TYPE RECEPTACLE.", "E-201"),)


def sheet(trade, rows, heading="KEYED NOTES", gap=14.0):
    words = []
    trade.text(words, 0, 50.0, 60.0, heading)
    for k, (key, text) in enumerate(rows, 1):
        trade.text(words, 2 * k, 50.0, 60.0 + gap * k, key)
        trade.text(words, 2 * k + 1, 50.0 + 18, 60.0 + gap * k, text)
    return trade.sheet((words, []))


@pytest.mark.parametrize("heading", ["KEYED NOTES", "KEYNOTES:", "POWER PLAN KEYNOTES", "SHEET KEYED NOTES"])
def test_entries_that_speak_of_ground_faults(trade, heading):
    rows = [("1", "MOUNT AT +42 IN. A.F.F."), ("2", "NOT USED."), ("3", "GFCI TYPE RECEPTACLE.")]
    assert keyed_notes([sheet(trade, rows, heading)]) == NOTES


@pytest.mark.parametrize("off", [-4.0, 4.0])
@pytest.mark.parametrize("said", ["GFCI TYPE RECEPTACLE.", "3 GFCI TYPE RECEPTACLE."])
def test_keys_in_frames_stand_a_little_off_their_lines(trade, off, said):
    """A hexagon is seldom set to the baseline; some lists show the key in a frame and before the text as well."""
    words = []
    trade.text(words, 0, 50.0, 60.0, "KEYED NOTES")
    rows = [("1", "MOUNT AT +42 IN. A.F.F."), ("2", "NOT USED."), ("3", said)]
    for k, (key, text) in enumerate(rows, 1):
        trade.text(words, 2 * k, 40.0, 60.0 + 14.0 * k + off, key, 5.0)
        trade.text(words, 2 * k + 1, 50.0, 60.0 + 14.0 * k, text)
    assert keyed_notes([trade.sheet((words, []))]) == NOTES


def test_other_lists_and_what_stands_far_below_are_no_entries(trade):
    rows = [("3", "GFCI TYPE RECEPTACLE.")]
    assert keyed_notes([sheet(trade, rows, "DOOR SCHEDULE")]) == ()
    assert keyed_notes([sheet(trade, rows, gap=90.0)]) == ()


def test_a_key_beside_an_outlet_makes_missing_a_question_and_nothing_else(trade):
    room = Room("r1", "BATH", "bathroom", None, 1.0, "v1")
    shown = Protection(Answer.NO, None, None, None, ("no tag",))

    def finding(text, verdict):
        outlet = trade.outlet(None, "E.1")
        labels = (Label(text, (0.0, 0.0), ()),)
        outlet = replace(outlet, symbol=replace(outlet.symbol, labels=labels))
        return Finding(outlet, verdict, (), shown, ("Protection is not shown.",), room, 1.0)

    asked, other, clear = by_keyed_notes(
        (finding("3", "missing"), finding("4", "missing"), finding("3", "not required")), NOTES
    )
    assert asked.verdict == "unresolved" and asked.protection.shown is Answer.UNKNOWN
    assert asked.protection.by is None and "GFCI TYPE RECEPTACLE" in asked.reasons[0]
    assert (other.verdict, clear.verdict) == ("missing", "not required")


@pytest.mark.parametrize(
    ("said", "asks"),
    [
        ("REPLACE GFCI WITH STANDARD DUPLEX.", True), ("NON-GFCI, SINGLE RECEPTACLE FOR REFRIGERATOR.", True),
        ("REMOVE EXISTING RECEPTACLE.", True), ("GFCI TYPE RECEPTACLE.", False), ("MOUNT AT +42 IN.", False),
        ("DO NOT SCALE.", False), ("RECEPTACLE FOR DISHWASHER ONLY.", False),
        ("DUPLEX RECEPTACLE AT STANDARD HEIGHT.", False), ("STANDARD DUPLEX RECEPTACLE.", True),
        ("RECEPTACLE FOR THE REFRIGERATOR ONLY, NO GFCI.", True), ("ALT. 2: PROVIDE GFCI RECEPTACLE.", True),
        ("OPTIONAL RECEPTACLE.", True), ("GFCI RECEPTACLES AT COUNTER ONLY.", True),
    ],
)  # fmt: skip
@pytest.mark.parametrize("label", ["3", "GFI 3", "GFI (3)"])
def test_a_note_that_may_take_protection_back_is_a_question(trade, said, asks, label):
    """The outlet was protected by its symbol, and what the note says of it was not looked at."""
    notes = keyed_notes([sheet(trade, [("1", "SEE E-501."), ("2", "NOT USED."), ("3", said)], "SHEET NOTES")])
    outlet = trade.outlet(None, "E.1", protection="device")
    shown = Protection(Answer.YES, "device", "drawn as 'GFCI'", None)
    for text, wanted in ((label, asks), ("A-3", False), ("+3", False)):
        marked = replace(outlet, symbol=replace(outlet.symbol, labels=(Label(text, (0.0, 0.0), ()),)))
        finding = Finding(marked, "protected", (), shown, (), None, 1.0)
        (got,) = by_keyed_notes((finding,), notes)
        assert got.verdict == ("unresolved" if wanted else "protected")
        assert not wanted or "drawn as 'GFCI'" in got.protection.reasons


def test_a_circuit_number_is_no_key(trade):
    outlet = trade.outlet("3", "E.1", protection="device")
    finding = Finding(outlet, "protected", (), Protection(Answer.YES, "device", "drawn", "3"), (), None, 1.0)
    assert by_keyed_notes((finding,), (KeyedNote("3", "NON-GFCI RECEPTACLE", "E-1"),)) == (finding,)


@pytest.mark.parametrize(
    ("x", "y", "asked"), [(18.0, 12.0, True), (30.0, -15.0, True), (35.0, -35.0, True), (90.0, 0.0, False)]
)
def test_a_key_in_a_hexagon_is_no_label_and_is_looked_for_on_the_plan(trade, x, y, asked):
    """Numbers in frames are never labels, so that the usual drawing of a keyed note told nothing at its outlet;
    with a leader it stands farther off than labels do."""
    words = []
    trade.text(words, 0, 200.0 + x, 200.0 + y, "3")
    page = trade.sheet((words, []))
    shown = Protection(Answer.NO, None, None, None, ("no tag",))

    def finding(at):
        outlet = trade.outlet(None, "E.1")
        outlet = replace(outlet, symbol=replace(outlet.symbol, at=at))
        return Finding(outlet, "missing", (), shown, ("Protection is not shown.",), None, 1.0)

    beside, far = by_keyed_notes((finding((200.0, 200.0)), finding((400.0, 400.0))), NOTES, page)
    assert beside.verdict == ("unresolved" if asked else "missing") and far.verdict == "missing"


def ring(x, y, radius=7.0, bar=True):
    """A hexagon, with the bar of a 1 in it."""
    at = np.radians(np.arange(7) * 60.0)
    corner = np.c_[x + radius * np.cos(at), y + radius * np.sin(at)]
    sides = np.c_[corner[:-1], corner[1:]].tolist()
    return [*map(tuple, sides), *([(x, y - 2.5, x, y + 2.5)] if bar else [])]


@pytest.mark.parametrize(
    ("text", "verdicts"), [("DELETE GFCI DEVICE SHOWN", "protected"), ("GFCI TYPE", "missing")]
)
def test_a_key_that_was_not_read_may_be_that_of_any_bubble_that_was_not(trade, text, verdicts):
    """The 1 of drawn lettering is a bar: the list was none, and the GFI beside the bubble cleared its outlet."""
    words = []
    trade.text(words, 0, 50.0, 60.0, "KEYNOTES")
    for k, (key, said) in enumerate([("", text), ("2", "NOT USED"), ("3", "GFCI BREAKER")], 1):
        trade.text(words, 2 * k, 47.0, 60.0 + 18.0 * k, key)
        trade.text(words, 2 * k + 1, 66.0, 60.0 + 18.0 * k, said)
    drawn = [*ring(50.0, 78.0), *ring(50.0, 96.0, bar=False), *ring(220.0, 210.0), *ring(520.0, 500.0, bar=False)]
    page = trade.sheet((words, drawn))
    notes = keyed_notes([page])
    assert [(note.key, note.text) for note in notes] == [("\ufffd", text), ("3", "GFCI BREAKER")]

    def finding(at):
        outlet = trade.outlet(None, "E.1")
        outlet = replace(outlet, symbol=replace(outlet.symbol, at=at))
        room = Room("r1", "BATH", "bathroom", None, 1.0, "v1")
        shown = Protection(Answer.YES if verdicts == "protected" else Answer.NO, None, None, None, ())
        return Finding(outlet, verdicts, (), shown, (), room, 1.0)

    got = by_keyed_notes((finding((200.0, 200.0)), finding((500.0, 500.0))), notes, page)
    assert [each.verdict for each in got] == ["unresolved", verdicts]
    assert "could not be read" in " ".join(got[0].reasons) or "not read" in " ".join(got[0].reasons)
