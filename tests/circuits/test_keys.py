"""Keyed notes of schedules: looked up where the legend is clear, open everywhere else."""

from __future__ import annotations

import pytest

from cordpath.circuits import read_panels
from cordpath.circuits.panels.keys import keys_in
from cordpath.model import Answer

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
COLUMNS = [("CKT", 40), ("DESCRIPTION", 160), ("AMPS", 50), ("POLES", 50), ("NOTES", 60)]


def read(trade, keys, legend, gap=20.0, x=102.0, ruled=True):
    rows = [[str(2 * i + 1), "LOAD", "20", "1", key] for i, key in enumerate(keys)]
    words, strokes = trade.draw(COLUMNS, rows, "PANEL A", ruled=ruled)
    bottom = 100.0 + 14.0 * (len(rows) + 1)
    for k, line in enumerate(legend):
        trade.text(
            words, 200 + k, x + (14.0 if line.startswith(" ") else 0.0), bottom + gap + 13.0 * k, line.strip()
        )
    (panel,) = read_panels(trade.sheet((words, strokes)))
    return [row.gfci for row in panel.rows], panel


@pytest.mark.parametrize("ruled", [True, False])
@pytest.mark.parametrize("mark", ["{}.", "({})", "{})", "{} -", "{}:"])
def test_numbers_are_looked_up(trade, mark, ruled):
    legend = [f"{mark.format(1)} PROVIDE GFCI BREAKER", f"{mark.format(2)} PROVIDE LOCK-ON DEVICE"]
    got, panel = read(trade, ["1", "2", "", "1, 2", "(1)"], legend, ruled=ruled)
    assert got == [YES, NO, NO, YES, YES] and panel.problems == ()
    assert "1: PROVIDE GFCI BREAKER" in panel.rows[0].text


def test_a_heading_over_the_legend_and_lines_that_run_on(trade):
    legend = [
        "NOTES:",
        "1. PROVIDE CLASS A GFCI",
        "  CIRCUIT BREAKER FOR THIS CIRCUIT",
        "2. SPARE CONDUIT TO ATTIC",
    ]
    got, _ = read(trade, ["1", "2", "", ""], legend)
    assert got == [YES, NO, NO, NO]


@pytest.mark.parametrize(
    "note",
    [
        "PROVIDE GFCI RECEPTACLE", "GFCI BREAKER WHERE REQUIRED BY CODE", "NO GFCI BREAKER REQUIRED",
        "GFCI BREAKER OR RECEPTACLE", "GROUND FAULT PROTECTION OF EQUIPMENT", "SEE DETAIL 4", "GFCI",
    ],
)  # fmt: skip
def test_a_note_that_does_not_plainly_ask_for_the_breaker_is_open(trade, note):
    got, _ = read(trade, ["1", "", "", ""], [f"1. {note}"])
    assert got[0] is UNKNOWN


def test_a_key_without_an_entry_or_with_two_is_open(trade):
    got, panel = read(trade, ["3", "1", "", "1,3"], ["1. GFCI BREAKER", "1. LOCK-ON DEVICE", "2. SPARE"])
    assert got == [UNKNOWN, UNKNOWN, NO, UNKNOWN] and panel.problems


def test_a_legend_far_off_is_another_things(trade):
    got, _ = read(trade, ["1", "", "", ""], ["1. PROVIDE GFCI BREAKER"], gap=120.0)
    assert got[0] is UNKNOWN
    got, _ = read(trade, ["1", "", "", ""], ["1. PROVIDE GFCI BREAKER"], x=700.0)
    assert got[0] is UNKNOWN


def test_signs(trade):
    got, _ = read(trade, ["*", "", "", ""], ["* GFCI TYPE CIRCUIT BREAKER"])
    assert got == [YES, NO, NO, NO]


@pytest.mark.parametrize(
    ("cell", "want"),
    [("1", ("1",)), ("(1)", ("1",)), ("1, 3", ("1", "3")), ("NOTE 2", ("2",)), ("GFCI", ()), ("", ())],
)
def test_keys(cell, want):
    assert keys_in(cell) == want


def test_a_note_to_a_mark_may_take_it_back(trade):
    legend = ["(1) GFCI RECEPTACLE IN LIEU OF BREAKER", "(2) PROVIDE LOCK-ON DEVICE"]
    got, panel = read(trade, ["GFCI (1)", "GFCI (2)", "GFCI (3)", "GFCI*", "GFCI"], legend)
    assert got == [UNKNOWN, YES, UNKNOWN, UNKNOWN, YES]
    assert sum("of its GFCI mark is not clear" in problem for problem in panel.problems) == 3


def test_receptacles_in_the_description_and_a_breaker_in_the_note_are_a_question(trade):
    """The two speak of different devices: which of them is meant is asked."""
    rows = [["1", "BATH GFCI RECEPTS", "20", "1", "1"], ["3", "BATH", "20", "1", "1"], ["5", "DEN", "20", "1", ""],
            ["7", "HALL", "20", "1", ""]]  # fmt: skip
    words, strokes = trade.draw(COLUMNS, rows, "PANEL A")
    trade.text(words, 200, 102.0, 100.0 + 14.0 * 5 + 20.0, "1. PROVIDE GFCI BREAKER")
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert [row.gfci for row in panel.rows] == [UNKNOWN, YES, NO, NO]


BOTH = [("CKT", 40), ("DESCRIPTION", 160), ("TYPE", 60), ("AMPS", 50), ("POLES", 50), ("NOTES", 60)]
TAKES_BACK = (
    "DELETE GFCI BREAKER; PROVIDE STANDARD BREAKER", "NOT GFCI", "CHANGE TO AFCI BREAKER", "DELETED",
    "GFPE 30 MA", "GFCI PROTECTION AT FIRST RECEPTACLE", "EXISTING BREAKER TO BE REPLACED",
)  # fmt: skip


def marked_and_noted(trade, note, key="1", columns=BOTH):
    """A row marked GFCI under TYPE with the key of a note under NOTES, and one without; what is read of both."""
    rows = [["1", "LOAD", "GFCI", "20", "1", key], ["3", "LOAD", "", "20", "1", key], *(
        [str(n), "LOAD", "", "20", "1", ""] for n in (5, 7)
    )]  # fmt: skip
    words, strokes = trade.draw(columns, rows, "PANEL A")
    trade.text(words, 200, 102.0, 100.0 + 14.0 * 5 + 20.0, note)
    (panel,) = read_panels(trade.sheet((words, strokes)))
    return panel


@pytest.mark.parametrize("note", TAKES_BACK)
def test_a_note_in_a_column_beside_the_mark_may_take_it_back(trade, note):
    panel = marked_and_noted(trade, f"1. {note}")
    assert panel.rows[0].gfci is UNKNOWN and panel.rows[0].text.endswith("GFCI 1")
    assert any("of its GFCI mark is not clear" in problem for problem in panel.problems)
    assert panel.rows[2].gfci is NO


@pytest.mark.parametrize(
    "note", ["PROVIDE LOCK-ON DEVICE", "PROVIDE GFCI BREAKER", "SEE SPECIFICATION", "SHARED NEUTRAL"]
)
def test_any_other_note_beside_the_mark_leaves_it(trade, note):
    assert marked_and_noted(trade, f"1. {note}").rows[0].gfci is YES


def test_the_note_that_explains_a_mark_does_not_take_it_back_unless_it_says_so(trade):
    clear = marked_and_noted(trade, "GF = GROUND FAULT CIRCUIT INTERRUPTER", key="GF")
    assert clear.rows[0].gfci is YES
    spoilt = marked_and_noted(trade, "GF = GROUND FAULT, 30 MA, EQUIPMENT PROTECTION", key="GF")
    assert spoilt.rows[0].gfci is UNKNOWN


def test_a_half_may_have_two_columns_that_marks_stand_in(trade):
    """TYPE and NOTES: the second one was once taken for the next half, and what stands in it was lost."""
    for columns in (BOTH, [*BOTH, *BOTH]):
        rows = [
            [cell for k in range(len(columns) // len(BOTH))
             for cell in (str(4 * i + 2 * k + 1), "LOAD", first, "20", "1", second)]
            for i, (first, second) in enumerate([("GFCI", "TO BE REPLACED"), ("", "GFCI"), ("GFCI", ""), ("", "")])
        ]  # fmt: skip
        (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A")))
        halves = len(columns) // len(BOTH)
        assert [row.gfci for row in panel.rows] == [each for each in (UNKNOWN, YES, YES, NO) for _ in range(halves)]


@pytest.mark.parametrize("key", ["1", "(2)", "1, 3", "*"])
def test_a_key_beside_the_mark_that_no_note_explains_leaves_it_open(trade, key):
    """What stands behind the key may take the mark back; nobody knows."""
    panel = marked_and_noted(trade, "ALL BREAKERS BOLT-ON", key=key)
    assert panel.rows[0].gfci is UNKNOWN and panel.rows[2].gfci is NO
    assert any("of its GFCI mark is not clear" in problem for problem in panel.problems)


@pytest.mark.parametrize(("cell", "want"), [("GFCI (1)", UNKNOWN), ("GFCI*", UNKNOWN), ("GFCI", YES), ("X", YES)])
def test_a_key_at_the_mark_in_a_column_of_its_own_needs_its_note(trade, cell, want):
    columns = [("CKT", 40), ("DESCRIPTION", 160), ("AMPS", 50), ("POLES", 50), ("GFCI", 60)]
    rows = [["1", "LOAD", "20", "1", cell], *([str(n), "LOAD", "20", "1", ""] for n in (3, 5, 7))]
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A")))
    assert panel.rows[0].gfci is want


@pytest.mark.parametrize("note", ["PROVIDE LOCK-ON DEVICE", "PROVIDE GFCI BREAKER"])
def test_a_note_does_not_settle_what_the_row_itself_leaves_open(trade, note):
    """A description that tells of GFCI receptacles, or a mark beside words that are not understood."""
    rows = [["1", "BATH GFCI RECEPTACLES", "", "20", "1", "1"], ["3", "LOAD", "", "20", "1", "1"],
            *([str(n), "LOAD", "", "20", "1", ""] for n in (5, 7))]  # fmt: skip
    words, strokes = trade.draw(BOTH, rows, "PANEL A")
    trade.text(words, 200, 102.0, 100.0 + 14.0 * 5 + 20.0, f"1. {note}")
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert panel.rows[0].gfci is UNKNOWN and panel.rows[2].gfci is NO


@pytest.mark.parametrize(
    ("cell", "want"), [("GFI-30", UNKNOWN), ("GFCI 30", UNKNOWN), ("GFI-20", YES), ("GFCI 20", YES), ("GFCI", YES)]
)
def test_a_number_beside_the_mark_that_is_not_the_breakers_amperes_leaves_it_open(trade, cell, want):
    """GFI-30 at a breaker of 20 A may be one that trips at 30 mA, which protects equipment and not people."""
    columns = [("CKT", 40), ("DESCRIPTION", 160), ("AMPS", 50), ("POLES", 50), ("TYPE", 60)]
    rows = [["1", "LOAD", "20", "1", cell], *([str(n), "LOAD", "20", "1", ""] for n in (3, 5, 7))]
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A")))
    assert panel.rows[0].gfci is want


@pytest.mark.parametrize(("said", "want"), [("GFCI RECEPTACLE", UNKNOWN), ("LOCK-ON DEVICE", NO)])
def test_a_key_behind_a_description_asks_where_its_note_speaks_of_ground_faults(trade, said, want):
    rows = [["1", "BATH (1)", "20", "1", ""], *([str(n), "LOAD", "20", "1", ""] for n in (3, 5, 7))]
    words, strokes = trade.draw(COLUMNS, rows, "PANEL A")
    trade.text(words, 200, 102.0, 100.0 + 14.0 * 5 + 20.0, f"1. {said}")
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert panel.rows[0].gfci is want


@pytest.mark.parametrize(
    ("mark", "said", "want"),
    [("GF", "GROUND FLOOR", UNKNOWN), ("DF", "DEMAND FACTOR", UNKNOWN), ("GF", "GROUND FAULT BREAKER", YES),
     ("GF", "GROUND FAULT PROTECTION OF EQUIPMENT", UNKNOWN), ("DF", "DUAL FUNCTION AFCI/GFCI", YES)],
)  # fmt: skip
def test_a_mark_beside_the_amperes_that_the_legend_explains_as_something_else_is_a_question(
    trade, mark, said, want
):
    """Only a mark in the column of notes was looked up: 20 GF was a GFCI breaker over GF = GROUND FLOOR."""
    rows = [["1", "BATH", f"20 {mark}", "1", ""], *([str(n), "LOAD", "20", "1", ""] for n in (3, 5, 7))]
    words, strokes = trade.draw(COLUMNS, rows, "PANEL A")
    trade.text(words, 200, 102.0, 100.0 + 14.0 * 5 + 20.0, f"{mark} = {said}")
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert panel.rows[0].gfci is want


@pytest.mark.parametrize(
    ("sign", "want"),
    [
        ("(1)", YES),
        ("[1]", YES),
        ("\u00b9", YES),
        ("*", YES),
        ("\u00a7", UNKNOWN),
        ("#", UNKNOWN),
        ("\u25b3", UNKNOWN),
    ],
)
def test_a_sign_behind_the_amperes_that_a_note_explains_is_not_passed_over(trade, sign, want):
    """[1], a raised 1 and signs of an office's own left the size unread, and the breaker plain for certain."""
    rows = [["1", "BATH", f"20{sign}", "1", ""], *([str(n), "LOAD", "20", "1", ""] for n in (3, 5, 7))]
    words, strokes = trade.draw(COLUMNS, rows, "PANEL A")
    trade.text(words, 200, 102.0, 100.0 + 14.0 * 5 + 20.0, f"{sign} GFCI BREAKER")
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert panel.rows[0].gfci is want


def noted(trade, place, cell, notes, gap=20.0):
    """The first row's breaker, with ``cell`` in a column of it, and ``notes`` as far under the table as ``gap``."""
    row = ["1", "BATH", "20", "1", ""]
    row[[head for head, _ in COLUMNS].index(place)] = cell
    words, strokes = trade.draw(COLUMNS, [row, *([str(n), "LOAD", "20", "1", ""] for n in (3, 5, 7))], "PANEL A")
    for k, note in enumerate(notes):
        trade.text(words, 200 + k, 102.0, 100.0 + 14.0 * 5 + gap + 13.0 * k, note)
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert {row.gfci for row in panel.rows[1:]} == {NO}
    return panel.rows[0].gfci, panel.rows[0].amperes


@pytest.mark.parametrize(
    ("cell", "notes", "want"),
    [
        ("20G", [], UNKNOWN), ("20A G", [], UNKNOWN), ("20/1 (G)", [], UNKNOWN), ("20 A/G", [], UNKNOWN),
        ("20 \u25cf", [], UNKNOWN), ("20E", [], NO), ("20", [], NO),
        ("20AMPS G", [], UNKNOWN), ("20A-1P G", [], UNKNOWN),
        ("20G", ["G = GFCI BREAKER"], YES), ("20A E", ["E = GFCI BREAKER"], YES), ("20G", ["G = GENERATOR"], NO),
        ("20E", ["E = GFCI RECEPTACLE"], UNKNOWN), ("20 1)", ["1) GFCI BREAKER"], YES),
    ],
)  # fmt: skip
def test_a_letter_or_a_key_behind_the_size_is_looked_up(trade, cell, notes, want):
    """All were no GFCI breaker for certain, and of no size that was read, whatever the note said."""
    assert noted(trade, "AMPS", cell, notes) == (want, 20.0)


@pytest.mark.parametrize("cell", ["BATH (G)", "BATH G", "BATH 1)"])
def test_a_letter_behind_the_description_asks_where_its_note_speaks_of_ground_faults(trade, cell):
    assert noted(trade, "DESCRIPTION", cell, ["G = GFCI BREAKER", "1) GFCI BREAKER"])[0] is UNKNOWN
    assert noted(trade, "DESCRIPTION", cell, ["G = GENERATOR", "1) LOCK-ON DEVICE"])[0] is NO


def test_a_key_with_one_bracket_at_a_mark_may_take_it_back(trade):
    """20 GFCI 1) was a GFCI breaker for certain over 1) GFCI RECEPTACLE."""
    assert noted(trade, "AMPS", "20 GFCI 1)", ["1) GFCI RECEPTACLE"])[0] is UNKNOWN


def test_a_dot_among_the_notes_is_a_mark_that_nothing_explains(trade):
    assert noted(trade, "NOTES", "\u25cf", [])[0] is UNKNOWN


LISTED = ["NOTES:", "1. LOCK-ON DEVICE", "2. SPARE CONDUIT"]


@pytest.mark.parametrize(
    ("notes", "gap", "want"),
    [
        ([*LISTED, "", "", "LEGEND:", "GF = GROUND FLOOR"], 20.0, UNKNOWN),
        (["GF = GROUND FLOOR"], 400.0, UNKNOWN), (["GF GROUND FLOOR"], 400.0, UNKNOWN),
        (["GF = GROUND FAULT"], 400.0, YES), (["GF - ABOVE COUNTER"], 400.0, YES),
        ([*LISTED, "LEGEND:", "GF = GROUND FLOOR"], 20.0, NO),
        (["GF = GFCI BREAKER", *[""] * 30, "GF = GROUND FLOOR"], 20.0, YES),
    ],
)  # fmt: skip
def test_what_a_list_apart_from_the_notes_says_of_a_mark(trade, notes, gap, want):
    """GF was a GFCI breaker for certain over GF = GROUND FLOOR, where a gap or a heading stood between."""
    assert noted(trade, "NOTES", "GF", notes, gap)[0] is want


@pytest.mark.parametrize("cell", ["20 EX", "20 LO", "120V", "60F", "20A 1P", "1P-20A"])
def test_what_else_stands_behind_a_size_is_no_letter_of_a_note(trade, cell):
    assert noted(trade, "AMPS", cell, [])[0] is NO


@pytest.mark.parametrize("mark", ["GFCI1", "GFI1", "DF1"])
@pytest.mark.parametrize(("note", "want"), [("GFCI RECEPTACLE AT FIRST OUTLET", UNKNOWN), ("PROVIDE LOCK", YES)])
def test_a_digit_right_behind_a_mark_is_the_key_of_its_note(trade, mark, note, want):
    """A key that was raised by hand is one word with its mark: the breaker was a GFCI one, whatever it said."""
    assert read(trade, [mark, "", "", ""], [f"1. {note}"])[0] == [want, NO, NO, NO]
