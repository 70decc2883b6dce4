"""Panel schedules in the styles that offices draw them in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.circuits import read_panels
from cordpath.model import Answer, Fills, Region, Word

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
LOADS = [
    ("BATH RECEPTACLES", "1", "20", "GFCI"), ("KITCHEN COUNTER", "1", "20", "DF"), ("LIGHTING", "1", "15", "AFCI"),
    ("GARAGE", "1", "20", "GFI"), ("RANGE", "2", "50", ""), ("", "", "", ""), ("DISHWASHER", "1", "20",
    "AFCI/GFCI"),
    ("SPARE", "1", "20", ""),
]  # fmt: skip
WANT = [YES, YES, NO, YES, NO, NO, YES, NO]


def by_circuit(panel):
    return {number: row for row in panel.rows for number in row.circuits}


def only(trade, *drawn, **more):
    panels = read_panels(trade.sheet(*drawn, **more))
    assert len(panels) == 1
    return panels[0]


@pytest.mark.parametrize("ruled", [True, False])
@pytest.mark.parametrize("align", ["left", "middle"])
def test_one_table_circuits_in_order(trade, ruled, align):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("POLES", 50), ("AMPS", 50), ("TYPE", 90)]
    rows = [[str(2 * i + 1), *load] for i, load in enumerate(LOADS)]
    panel = only(trade, trade.draw(columns, rows, "PANEL A", ruled=ruled, align=align))
    assert (panel.name, panel.sheet, panel.problems) == ("A", "E-201", ())
    got = by_circuit(panel)
    assert [got[str(2 * i + 1)].gfci for i in range(8)] == WANT
    assert got["9"].circuits == ("9", "11") and got["9"].poles == 2 and got["9"].amperes == 50
    assert got["1"].description == "BATH RECEPTACLES" and got["3"].afci is YES and got["5"].afci is YES


MIRRORED = [
    ("CKT|NO.", 35), ("LOAD DESCRIPTION", 140), ("BKR|TYPE", 70), ("P", 20), ("TRIP", 35),
    ("TRIP", 35), ("P", 20), ("BKR|TYPE", 70), ("LOAD DESCRIPTION", 140), ("CKT|NO.", 35),
]  # fmt: skip


def _mirrored():
    rows = []
    for i, (name, poles, amps, mark) in enumerate(LOADS):
        left = [str(2 * i + 1), name, mark, poles, amps]
        right = [str(2 * i + 2), f"R{name}" if name else "", mark, poles, amps]
        rows.append([*left, *reversed(right)])
    return rows


@pytest.mark.parametrize("ruled", [True, False])
def test_two_halves_mirrored_with_stacked_headers(trade, ruled):
    panel = only(trade, trade.draw(MIRRORED, _mirrored(), "PANELBOARD 'LP1' SCHEDULE", ruled=ruled, heads=2))
    got = by_circuit(panel)
    assert panel.name == "LP1" and panel.problems == () and len(got) == 16
    assert [got[str(2 * i + 1)].gfci for i in range(8)] == WANT
    assert [got[str(2 * i + 2)].gfci for i in range(8)] == WANT
    assert got["10"].circuits == ("10", "12") and got["2"].description == "RBATH RECEPTACLES"
    assert got["1"].amperes == 20 and got["1"].poles == 1


def test_two_halves_alike_with_breaker_written_as_amperes_and_poles(trade):
    columns = [("CIRCUIT", 50), ("SERVES", 130), ("BREAKER", 80), ("VA", 40)] * 2
    rows = [
        ["1", "BATH", "20A/1P GFCI", "180", "2", "HALL", "20A/1P", "180"],
        ["3", "DRYER", "30A-2P", "5000", "4", "KITCHEN", "20/1 GFI", "1500"],
        ["5", '"', "", "", "6", "LIGHTS", "1P-15A", "600"],
    ]
    panel = only(trade, trade.draw(columns, rows, "PANEL SCHEDULE: LP-2   120/240V 1PH 3W"))
    got = by_circuit(panel)
    assert panel.name == "LP-2"
    assert (got["1"].amperes, got["1"].poles, got["1"].gfci) == (20, 1, YES)
    assert (got["6"].amperes, got["6"].poles, got["6"].gfci) == (15, 1, NO)
    assert got["3"].circuits == ("3", "5") and got["3"].poles == 2
    assert got["4"].gfci is YES and got["2"].gfci is NO


def test_a_column_of_its_own_for_gfci_with_crosses(trade):
    columns = [("NO.", 30), ("DESCRIPTION", 140), ("GFCI", 40), ("AFCI", 40), ("AMP", 40)]
    rows = [["1", "BATH", "X", "", "20"], ["2", "BEDROOM", "", "X", "15"], ["3", "KITCHEN", "YES", "YES", "20"],
            ["4", "LAUNDRY", "?", "", "20"]]  # fmt: skip
    got = by_circuit(only(trade, trade.draw(columns, rows, "PANEL: B", align="middle")))
    assert [got[n].gfci for n in "1234"] == [YES, NO, YES, UNKNOWN]
    assert [got[n].afci for n in "1234"] == [NO, YES, YES, NO]


def test_two_poles_in_one_cell_and_remarks(trade):
    columns = [("CKT #", 45), ("LOAD", 140), ("BKR", 50), ("REMARKS", 150)]
    rows = [["1,3", "HOT TUB", "50/2", "GFCI BREAKER"], ["5-7", "RANGE", "50/2", ""], ["9", "BATH", "20/1",
    "NON-GFCI"],
            ["11", "DEN", "15/1", "1"], ["13", "WASHER", "20/1", "VERIFY WITH OWNER"]]  # fmt: skip
    panel = only(trade, trade.draw(columns, rows, "MAIN PANEL", ruled=False))
    got = by_circuit(panel)
    assert panel.name == "MAIN"
    assert got["3"].circuits == ("1", "3") and got["1"].gfci is YES
    assert got["7"].circuits == ("5", "7") and got["5"].gfci is NO
    assert got["9"].gfci is UNKNOWN and got["11"].gfci is UNKNOWN and got["13"].gfci is NO
    assert any("'1' is not explained" in problem for problem in panel.problems)


def test_merged_cells_of_a_two_pole_breaker_stand_between_the_rows(trade):
    words, strokes = [], []
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("P", 30), ("A", 40), ("NOTES", 80)]
    base, lines = trade.draw(columns, [["1", "", "", "", ""], ["3", "", "", "", ""], ["5", "BATH", "1", "20",
    "GF"]],
                             "PANEL A", ruled=False)  # fmt: skip
    for x, cell in ((142, "RANGE"), (292, "2"), (322, "50")):
        trade.text(words, 50, x, 100 + 14 + 14, cell)
    got = by_circuit(only(trade, (base + words, lines + strokes)))
    assert got["1"].circuits == ("1", "3") and got["1"].description == "RANGE" and got["1"].amperes == 50
    assert got["5"].gfci is YES


def test_a_parent_header_over_two_columns(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("|AMP", 40), ("|POLE", 40), ("PROT.", 60)]
    words, strokes = trade.draw(columns, [["2", "BATH", "20", "1", "GFCI"], ["4", "HALL", "15", "1", ""]],
    "PANEL C",
                                heads=2, ruled=False)  # fmt: skip
    trade.text(words, 1, 330, 107, "CIRCUIT BREAKER", align="middle")
    got = by_circuit(only(trade, (words, strokes)))
    assert got["2"].gfci is YES and got["2"].amperes == 20 and got["2"].poles == 1 and got["4"].gfci is NO


def test_a_description_that_speaks_of_receptacles_is_no_breaker(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 220), ("AMPS", 40)]
    rows = [["1", "BATH GFCI RECEPTACLES", "20"], ["2", "BATH (GFCI BREAKER)", "20"], ["3", "HALL", "15"]]
    got = by_circuit(only(trade, trade.draw(columns, rows, "PANEL A")))
    assert [got[n].gfci for n in "123"] == [UNKNOWN, YES, NO]


def test_two_panels_side_by_side_and_one_below(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 120), ("AMPS", 40), ("NOTES", 60)]
    a = trade.draw(columns, [["1", "BATH", "20", "GFCI"], ["3", "HALL", "20", ""]], "PANEL A")
    b = trade.draw(columns, [["1", "SHOP", "20", ""], ["3", "POOL", "20", "GFCI"]], "PANEL B", origin=(420, 100))
    c = trade.draw(columns, [["1", "BARN", "20", "GFCI"], ["3", "WELL", "20", ""]], "PANEL C", origin=(100, 260))
    panels = {panel.name: by_circuit(panel) for panel in read_panels(trade.sheet(a, b, c))}
    assert set(panels) == {"A", "B", "C"}
    marks = {name: (rows["1"].gfci, rows["3"].gfci) for name, rows in panels.items()}
    assert marks == {"A": (YES, NO), "B": (NO, YES), "C": (YES, NO)}


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_a_schedule_turned_on_the_sheet(trade, turn):
    words, strokes = trade.draw(MIRRORED, _mirrored(), "PANEL A", heads=2)
    c, s = {90: (0, 1), 180: (-1, 0), 270: (0, -1)}[turn]
    turned = np.array([[c, s], [-s, c]], float)  # counter-clockwise as seen, y down
    middle = np.array([500.0, 500.0])

    def move(points):
        return (np.reshape(points, (-1, 2)) - middle) @ turned.T + middle

    def word(w):
        p = move(w.box)
        low, high = p.min(axis=0), p.max(axis=0)
        return Word(w.text, (*low, *high), float(turn), w.size, w.line)

    lines = [tuple(move(s).ravel()) for s in strokes]
    panel = only(trade, ([word(w) for w in words], lines))
    assert panel.name == "A" and [by_circuit(panel)[str(2 * i + 1)].gfci for i in range(8)] == WANT


def test_a_heading_without_a_readable_table_is_said(trade):
    words = []
    trade.text(words, 0, 100, 100, "PANEL A SCHEDULE")
    trade.text(words, 1, 100, 115, "SEE ATTACHED")
    panels = read_panels(trade.sheet((words, [])))
    assert [(p.name, p.rows) for p in panels] == [("A", ())] and "no table" in panels[0].problems[0]


def test_names_and_sentences_on_the_plan_are_no_schedules(trade):
    words = []
    for i, said in enumerate(["PANEL A", "SEE PANEL SCHEDULE ON SHEET E-201",
    "PROVIDE NEW PANEL BOARD AT GARAGE WALL",
                              "CIRCUIT NUMBERS AND LOAD DESCRIPTION BY OTHERS", "ACCESS PANEL"]):  # fmt: skip
        trade.text(words, i, 100, 100 + 30 * i, said)
    assert read_panels(trade.sheet((words, []))) == ()


def test_other_schedules_are_no_panels(trade):
    doors = trade.draw([("NO.", 40), ("DESCRIPTION", 120), ("SIZE", 60), ("REMARKS", 60)],
                       [[str(i), "DOOR", "30", ""] for i in range(1, 9)], "DOOR SCHEDULE")  # fmt: skip
    equipment = trade.draw([("EQUIPMENT", 120), ("VOLTS", 50), ("AMPS", 50), ("CKT", 50)],
                           [["FAN", "120", "5", "A-1"], ["HEATER", "240", "20", "A-3"]], "EQUIPMENT SCHEDULE",
                           origin=(100, 400))  # fmt: skip
    assert read_panels(trade.sheet(doors, equipment)) == ()


def test_a_schedule_region_with_a_name_only(trade):
    words = []
    trade.text(words, 0, 110, 110, "PANEL B")
    region = Region("schedule", (100, 100, 300, 300), "PANEL B SCHEDULE")
    assert [p.name for p in read_panels(trade.sheet((words, []), regions=[region]))] == ["B"]
    elsewhere = Region("schedule", (500, 100, 800, 300), "PANEL B SCHEDULE")
    assert read_panels(trade.sheet((words, []), regions=[elsewhere])) == ()


def test_a_circuit_that_stands_twice_is_a_problem(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 120), ("AMPS", 40), ("NOTES", 60)]
    panel = only(trade, trade.draw(columns, [["1", "BATH", "20", "GFCI"], ["1", "HALL", "20", ""]], "PANEL A"))
    assert any("circuit 1 stands" in problem for problem in panel.problems)


def test_a_mark_in_a_column_without_a_header_is_a_question(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("", 50), ("AMPS", 50)]
    panel = only(trade, trade.draw(columns, [["1", "BATH", "GFCI", "20"], ["3", "HALL", "", "20"]], "PANEL A"))
    got = by_circuit(panel)
    assert got["1"].gfci is UNKNOWN and got["3"].gfci is NO
    assert any("no row or column" in problem for problem in panel.problems)


@pytest.mark.parametrize("ruled", [True, False])
@pytest.mark.parametrize("head", ["", "CLR"])
def test_numbers_that_run_on_under_a_heading_are_circuits_without_a_header(trade, ruled, head):
    """Drawn letters: a # over them was not read, or CIR was misread, and no outlet's breaker could be seen."""
    columns = [(head, 35), ("DESCRIPTION", 150), ("POLES", 50), ("AMPS", 50), ("TYPE", 90)]
    rows = [[str(2 * i + 1), *load] for i, load in enumerate(LOADS)]
    panel = only(trade, trade.draw(columns, rows, "PANEL A", ruled=ruled))
    assert [by_circuit(panel)[str(2 * i + 1)].gfci for i in range(8)] == WANT
    assert read_panels(trade.sheet(trade.draw(columns, rows, "WINDOW SCHEDULE", ruled=ruled))) == ()


def test_both_halves_may_lack_the_header_of_their_numbers(trade):
    head = [("", 35), ("DESCRIPTION", 150), ("AMPS", 50), ("TYPE", 70)]
    rows = [[str(2 * i + 1), f"L{i}", "20", "", str(2 * i + 2), f"R{i}", "20", "GFCI"] for i in range(6)]
    got = by_circuit(only(trade, trade.draw([*head, *head], rows, "PANEL A")))
    assert [got[str(k)].gfci for k in range(1, 13)] == [NO, YES] * 6


def test_numbers_of_the_table_below_are_none_of_this_one(trade):
    head = [("", 35), ("DESCRIPTION", 150), ("AMPS", 50), ("TYPE", 70)]
    rows = [[str(2 * i + 1), f"L{i}", "20", "", f"R{i}", "20", mark, str(2 * i + 2)]
            for i, mark in enumerate(["GFCI", "", "", "", "", ""])]  # fmt: skip
    one = trade.draw([*head, *head[1:], ("", 35)], rows, "PANEL A")
    below = [["1", "X", "", str(k)] for k in (2, 4, 6, 8)]
    two = trade.draw([("", 35), ("UNKNOWN", 555), ("", 20), ("", 40)], below,
                     "PANEL B", origin=(100, 260))  # fmt: skip
    for panel in read_panels(trade.sheet(one, two)):
        got = by_circuit(panel)
        assert panel.name == "B" or [got[str(k)].gfci for k in range(1, 13)] == [NO, YES, *[NO] * 10]


def test_a_row_of_the_table_beside_that_stands_as_high_as_the_headers_is_none_of_them(trade):
    """Its phase A was taken for a header of amperes, and the other panel's heading for the title of this table."""
    columns = [("CKT", 30), ("DESCRIPTION", 140), ("AMPS", 40), ("POLES", 40), ("TYPE", 70)]
    rows = [[str(2 * i + 1), "GARAGE", "20", "1", "GFCI"] for i in range(5)]
    one = trade.draw(columns, rows, None, ruled=False, origin=(100, 114))
    other = [("NO.", 30), ("DESCRIPTION", 140), ("WIRE", 40), ("C/B", 60), ("PH", 40), ("TYPE", 70)]
    two = trade.draw(other, [[n, "BATH", "12", "20/1", "A", ""] for n, *_ in rows], "PANEL B SCHEDULE",
                     origin=(445, 100), ruled=False)  # fmt: skip
    marked = {p.name: [r.gfci for r in p.rows] for p in read_panels(trade.sheet(one, two))}
    assert marked["B"] == [NO] * 5


def test_a_header_word_alone_above_the_others(trade):
    columns = [("CKT|", 40), ("|DESCRIPTION", 150), ("|AMPS", 50), ("|NOTES", 50)]
    panel = only(
        trade, trade.draw(columns, [["1", "BATH", "20", "GFCI"], ["3", "HALL", "20", ""]], "PANEL A", heads=2)
    )
    assert by_circuit(panel)["1"].gfci is YES and by_circuit(panel)["3"].gfci is NO


@pytest.mark.parametrize("ruled", [True, False])
def test_a_row_whose_number_cannot_be_read_gives_its_mark_to_nobody(trade, ruled):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("NOTES", 50)]
    rows = [["1", "HALL", "20", ""], ["3", "DEN", "20", ""], ["@", "BATH", "20", "GFCI"], ["7", "SHOP", "20", ""],
            ["9", "POOL", "20", "GFCI"]]  # fmt: skip
    got = by_circuit(only(trade, trade.draw(columns, rows, "PANEL A", ruled=ruled)))
    assert got["1"].gfci is NO and got["9"].gfci is YES
    assert YES not in (got["3"].gfci, got["7"].gfci)


def test_marks_between_two_unruled_halves_go_to_one_half_only(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 120), ("AMPS", 40), ("NOTES", 80)]
    mirrored = columns + columns[::-1]
    rows = [["1", "BATH", "20", "GFCI", "", "20", "HALL", "2"], ["3", "DEN", "20", "", "GFCI", "20", "BATH", "4"]]
    for align in ("left", "middle", "right"):
        got = by_circuit(only(trade, trade.draw(mirrored, rows, "PANEL A", ruled=False, align=align)))
        marks = [got[n].gfci for n in "1234"]
        assert marks == [YES, NO, NO, YES], align


def test_a_row_read_with_doubt_from_drawn_letters_settles_nothing(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("POLES", 50), ("AMPS", 50), ("TYPE", 90)]
    numbers = (1, 3, 4, 7, 11, 13, 15, 17)  # 7 may be 9 as well: nothing but its letters tells
    rows = [[str(n), *load] for n, load in zip(numbers, LOADS, strict=True)]
    words, lines = trade.draw(columns, rows, "PANEL A")
    doubtful = [replace(w, origin="stroke", confidence=0.6) if w.text in ("7", "BATH") else w for w in words]
    panel = only(trade, (doubtful, lines))
    got = by_circuit(panel)
    assert got["1"].gfci is UNKNOWN and got["7"].gfci is UNKNOWN and got["3"].gfci is YES
    assert got["7"].amperes is None and got["3"].amperes is not None  # amperes clear an outlet too: 210.8(F)
    assert any("letters" in problem for problem in panel.problems)


@pytest.mark.parametrize("ruled", [True, False])
@pytest.mark.parametrize("whole", [True, False])
def test_a_row_or_a_mark_that_is_struck_through_protects_nothing(trade, ruled, whole):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("NOTES", 60)]
    rows = [[str(k), "BATH", "20", "GFCI"] for k in (1, 3, 5, 7)]
    words, strokes = trade.draw(columns, rows, "PANEL A", ruled=ruled)
    mark = [w for w in words if w.text == "GFCI"][1]
    start = 101.0 if whole else mark.box[0] - 1
    line = (start, mark.at[1] + 0.5, mark.box[2] + 1, mark.at[1] + 0.5)
    panel = only(trade, (words, [*strokes, line]))
    assert [by_circuit(panel)[c].gfci for c in ("1", "3", "5", "7")] == [YES, UNKNOWN, YES, YES]
    assert "circuit 3: a line runs through its row" in panel.problems


def test_rulings_that_run_through_all_text_strike_none_of_it(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("NOTES", 60)]
    rows = [[str(k), "BATH", "20", "GFCI"] for k in (1, 3, 5, 7)]
    words, strokes = trade.draw(columns, rows, "PANEL A")
    moved = [(x0, y0 + 7, x1, y1 + 7) if y0 == y1 else (x0, y0, x1, y1) for x0, y0, x1, y1 in strokes]
    assert {row.gfci for row in only(trade, (words, moved)).rows} == {YES}


def test_a_row_of_two_circuits_is_no_second_pole(trade):
    """``3,5`` below a two-pole breaker of circuit 1 is a breaker of its own, whose mark is not the first one's."""
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("POLES", 50), ("NOTES", 60)]
    rows = [["1", "RANGE", "50", "2", "GFCI"], ["3,5", "", "", "", ""], ["7", "HALL", "20", "1", ""]]
    got = by_circuit(only(trade, trade.draw(columns, rows, "PANEL A")))
    assert got["1"].circuits == ("1",) and got["3"].gfci is NO and got["5"].gfci is NO


def test_a_blank_row_of_a_far_circuit_is_no_second_pole(trade):
    """The row of circuit 3 is missing: the two-pole breaker's mark is not that of circuit 9."""
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("POLES", 50), ("NOTES", 60)]
    rows = [["1", "RANGE", "50", "2", "GFCI"], ["9", "", "", "", ""], ["11", "HALL", "20", "1", ""]]
    panel = only(trade, trade.draw(columns, rows, "PANEL A"))
    got = by_circuit(panel)
    assert got["1"].circuits == ("1",) and got["1"].gfci is YES and got["9"].gfci is NO
    assert any("2 poles" in problem for problem in panel.problems)


@pytest.mark.parametrize("ruled", [True, False])
def test_tandem_breakers_have_marks_of_their_own(trade, ruled):
    columns = [("CKT", 40), ("DESCRIPTION", 140), ("AMPS", 50), ("POLES", 50), ("NOTES", 80)]
    rows = [["1A", "BATH", "20", "1", "GFCI"], ["1B", "HALL", "20", "1", ""], ["3A", "DEN", "15", "1", ""],
            ["3B", "BED", "15", "1", "DF"], ["5", "RANGE", "50", "2", ""], ["7", "", "", "", ""],
            ["9", "POOL", "20", "1", "NON-GFCI"]]  # fmt: skip
    got = by_circuit(only(trade, trade.draw(columns, rows, "PANEL A", ruled=ruled)))
    assert [got[c].gfci for c in ("1A", "1B", "3A", "3B", "5", "7", "9")] == [YES, NO, NO, YES, NO, NO, UNKNOWN]
    assert got["7"].circuits == ("5", "7")


def test_a_table_without_a_heading_counts_only_if_all_of_it_speaks_of_circuits(trade):
    """``NO.`` alone numbers anything: a list of doors beside a list of circuits is no panel."""
    halves = [("CKT", 40), ("DESCRIPTION", 120), ("AMPS", 50), ("NO.", 40), ("DESCRIPTION", 120), ("AMPS", 50)]
    rows = [[str(k), "BATH", "20", str(k + 1), "DOOR", "30"] for k in (1, 3, 5, 7)]
    assert read_panels(trade.sheet(trade.draw(halves, rows))) == ()
    halves[3] = ("CKT", 40)
    assert len(only(trade, trade.draw(halves, rows)).rows) == 8


@pytest.mark.parametrize("mark_in", ["TYPE", "GFCI"])
def test_a_mark_in_a_cell_over_several_rows_is_a_question_for_the_rows_beside_its_own(trade, mark_in):
    """Without the rulings between them the cell is one for circuits 3, 5 and 7; its text stands at 5."""
    columns = [("CKT", 40), ("DESCRIPTION", 160), ("AMPS", 50), ("POLES", 50), (mark_in, 60)]
    rows = [[str(n), "LOAD", "20", "1", "GFCI" if n == 5 else ""] for n in (1, 3, 5, 7, 9, 11, 13)]
    words, strokes = trade.draw(columns, rows, "PANEL A")
    x0, top, pitch = 400.0, 114.0, 14.0  # left side of the last column, top of the rows
    within = {top + k * pitch for k in (2, 3)}
    cut = [(a, y, x0, b) if y == b and y in within else (a, y, c, b) for a, y, c, b in strokes]
    assert cut != strokes
    (panel,) = read_panels(trade.sheet((words, cut)))
    assert [row.gfci for row in panel.rows] == [NO, UNKNOWN, YES, UNKNOWN, NO, NO, NO]
    assert sum("cell of several rows" in problem for problem in panel.problems) == 2
    (whole,) = read_panels(trade.sheet((words, strokes)))
    assert [row.gfci for row in whole.rows] == [NO, NO, YES, NO, NO, NO, NO]


@pytest.mark.parametrize(("mark", "want"), [("DF", UNKNOWN), ("GFCI", UNKNOWN), ("X", NO), ("AFCI", NO)])
def test_a_gfci_mark_in_the_column_for_afci_is_no_plain_breaker(trade, mark, want):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("POLES", 50), ("AMPS", 50), ("AFCI", 60)]
    rows = [[str(2 * i + 1), "BATH RECEPTACLES", "1", "20", mark if i == 2 else ""] for i in range(6)]
    panel = only(trade, trade.draw(columns, rows, "PANEL A"))
    assert [by_circuit(panel)[n].gfci for n in ("1", "3", "5", "7")] == [NO, NO, want, NO]
    assert bool(panel.problems) is (want is UNKNOWN)


@pytest.mark.parametrize("high", [0.0, 6.3])
def test_a_mark_set_higher_than_its_first_row_is_no_header(trade, high):
    """As header it parted the two halves elsewhere, and the right half's marks were those of the left breakers."""
    columns = [("CKT", 30), ("DESCRIPTION", 140), ("AMPS", 40), ("POLES", 40), ("TYPE", 70)]
    left = [[str(2 * i + 1), "LIGHTING", "20", "1", ""] for i in range(6)]
    right = [[str(2 * i + 2), "GARAGE", "20", "1", "GFCI"][::-1] for i in range(6)]
    rows = [a + b for a, b in zip(left, right, strict=True)]
    words, strokes = trade.draw(columns + columns[::-1], rows, "PANEL A", ruled=False)
    moved = [
        replace(w, box=(w.box[0], w.box[1] - high, w.box[2], w.box[3] - high), line=500 + k)
        if w.text == "GFCI" else w for k, w in enumerate(words)
    ]  # fmt: skip
    got = by_circuit(only(trade, (moved, strokes)))
    assert [got[str(n)].gfci for n in range(1, 13)] == [NO, YES] * 6


def test_the_heading_of_the_table_beside_names_no_other(trade):
    """The last column reaches over the paper to its right: the middle of a table lies right of its headers."""
    columns = [("CKT", 30), ("DESCRIPTION", 140), ("AMPS", 40), ("POLES", 40), ("TYPE", 70)]
    rows = [[str(2 * i + 1), "GARAGE", "20", "1", "GFCI" if i == 2 else ""] for i in range(5)]
    one = trade.draw(columns, rows, "PANEL A - 200A", ruled=False, pitch=11)
    other = [("NO.", 30), ("DESCRIPTION", 140), ("GFCI", 40), ("AMPS", 40), ("POLES", 40)]
    two = trade.draw(other, [[n, d, "", "20", "1"] for n, d, *_ in rows], "PANEL B SCHEDULE",
                     origin=(445, 100), pitch=18, ruled=False)  # fmt: skip
    marked = {p.name: [r.gfci for r in p.rows if r.circuits == ("5",)] for p in read_panels(trade.sheet(one, two))}
    assert YES not in marked.get("B", [])
    assert marked["A"] == [YES]


@pytest.mark.parametrize(
    ("sign", "want"), [('"', YES), ("|", YES), ("DITTO", YES), ("", UNKNOWN), ("--", UNKNOWN), ("SPARE", NO)]
)
def test_the_next_pole_of_a_marked_breaker_where_no_column_tells_poles(trade, sign, want):
    """A sign of repetition and nothing else is the breaker's next pole; an empty row may be it, or a space."""
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("TYPE", 90)]
    rows = [["1", "RANGE", "50", "GFCI"], ["3", sign, "", ""], ["5", "HALL", "15", ""], ["7", "", "", ""]]
    got = by_circuit(only(trade, trade.draw(columns, rows, "PANEL A")))
    assert [got[number].gfci for number in "1357"] == [YES, want, NO, NO]


def test_a_mark_that_is_repeated_by_a_sign_is_a_question(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("POLES", 40), ("AMPS", 50), ("TYPE", 90)]
    rows = [["1", "BATH", "1", "20", "GFCI"], ["3", "KITCHEN", "1", "20", '"'], ["5", "HALL", "1", "15", ""]]
    got = by_circuit(only(trade, trade.draw(columns, rows, "PANEL A")))
    assert [got[number].gfci for number in "135"] == [YES, UNKNOWN, NO]


def test_the_second_circuit_of_a_marked_two_pole_breaker_with_a_description_of_its_own_is_a_question(trade):
    """A multiwire branch circuit: the breaker stands once, and its second circuit was plainly without GFCI."""
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("POLES", 40), ("AMPS", 50), ("TYPE", 90)]
    rows = [["1", "KITCHEN", "2", "20", "GFCI"], ["3", "DISHWASHER", "", "", ""], ["5", "HALL", "1", "15", ""]]
    got = by_circuit(only(trade, trade.draw(columns, rows, "PANEL A")))
    assert [got[number].gfci for number in "135"] == [YES, UNKNOWN, NO]


def test_a_picture_in_a_row_may_be_its_breaker_s_gfci(trade):
    """GFCI drawn as a stencil: outlets tagged with the row were missing protection."""
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("POLES", 50), ("AMPS", 50), ("TYPE", 90)]
    rows = [[str(2 * i + 1), *load] for i, load in enumerate(LOADS)]
    sheet = trade.sheet(trade.draw(columns, rows, "PANEL A"))
    middle = 100 + 14.0 * 3.5  # of the third row, LIGHTING
    pictures = ((300.0, middle - 4, 320.0, middle + 4), (900.0, 100.0, 920.0, 400.0))
    (panel,) = read_panels(replace(sheet, unread_areas=pictures))
    assert [by_circuit(panel)[str(2 * i + 1)].gfci for i in range(8)] == [*WANT[:2], UNKNOWN, *WANT[3:]]
    assert panel.problems == ("circuit 5: a picture in its row was not read",)


def laid(sheet, turn):
    """A sheet whose words are read at ``turn`` degrees, with all that is drawn on it."""
    c, s = {0: (1, 0), 90: (0, -1), 180: (-1, 0), 270: (0, 1)}[turn]
    matrix = np.array([[c, s], [-s, c]], float)  # y down

    def move(boxes):
        ends = np.reshape(boxes, (-1, 2, 2)) @ matrix + 2000.0
        return np.concatenate([ends.min(axis=1), ends.max(axis=1)], axis=1)

    words = tuple(replace(w, box=tuple(move(w.box)[0].tolist()), angle=float(turn)) for w in sheet.words)
    strokes = replace(sheet.strokes, xy=(sheet.strokes.xy.reshape(-1, 2, 2) @ matrix + 2000.0).reshape(-1, 4))
    shape = shapely.transform(sheet.fills.shape, lambda xy: xy @ matrix + 2000.0)
    pictures = tuple(tuple(each) for each in move(np.array(sheet.unread_areas, float)).tolist())
    fills = replace(sheet.fills, shape=shape)
    return replace(sheet, words=words, strokes=strokes, fills=fills, unread_areas=pictures)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("kind", ["dot", "tick", "frame", "rule", "shade", "picture"])
def test_a_mark_drawn_in_the_column_of_gfci_is_not_read_as_none(trade, kind, turn):
    """Dots of a symbol font, and ticks drawn as lines: the circuits were missing a GFCI breaker for certain, and
    still where the table is turned."""
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("POLES", 50), ("AMPS", 50), ("GFCI", 40)]
    rows = [[str(2 * i + 1), load[0], "1", "20", "NO" if i == 3 else ""] for i, load in enumerate(LOADS)]
    words, strokes = trade.draw(columns, rows, "PANEL A")
    x, y = 410.0, 100 + 14.0 * 3.5  # of the third row, LIGHTING
    drawn = {"tick": [(x - 4, y, x - 1, y + 4), (x - 1, y + 4, x + 5, y - 4)],
             "frame": [(x - 10, y + 9, x + 10, y + 9), (x - 10, y + 18, x + 10, y + 18)],
             "rule": [(x - 20, y + 7, x + 20, y + 7)]}.get(kind, [])  # fmt: skip
    shape = {"dot": shapely.Point(x, y).buffer(3), "shade": shapely.box(x - 19, y - 6, x + 19, y + 6)}.get(kind)
    inked = np.array([shape, None], object)[:1]
    fills = Fills(inked, np.zeros((1, 3)), np.ones(1), np.zeros(1, np.int64), np.zeros(1, np.int64))
    sheet = trade.sheet((words, [*strokes, *drawn]))
    sheet = replace(sheet, unread_areas=((x - 5, y - 4, x + 5, y + 4),) if kind == "picture" else ())
    (panel,) = read_panels(laid(replace(sheet, fills=fills) if shape is not None else sheet, turn))
    want = UNKNOWN if kind in ("dot", "tick", "picture") else NO
    assert [by_circuit(panel)[str(2 * i + 1)].gfci for i in range(4)] == [NO, NO, want, NO]


def test_a_mark_that_was_not_read_under_a_header_of_two_columns_is_not_read_as_none(trade):
    """C/B over the sizes was not read, so that the header beside it was taken for theirs; the marks of its own
    column were outlines that were not read.  Words at the other side told that nothing was drawn there."""
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("", 50), ("TYPE", 60)]
    rows = [[str(2 * i + 1), load[0], "20A/1P", ""] for i, load in enumerate(LOADS)]
    words, strokes = trade.draw(columns, rows, "PANEL A", ruled=False, align="middle")
    y = 100 + 14.0 * 3.5
    shape = np.array([shapely.Point(370.0, y).buffer(3), None], object)[:1]
    fills = Fills(shape, np.zeros((1, 3)), np.ones(1), np.zeros(1, np.int64), np.zeros(1, np.int64))
    (panel,) = read_panels(replace(trade.sheet((words, strokes)), fills=fills))
    assert [by_circuit(panel)[str(2 * i + 1)].gfci for i in range(4)] == [NO, NO, UNKNOWN, NO]


def test_a_space_of_two_poles_waits_for_no_second_one(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("POLES", 50)]
    rows = [["1", "SPACE", "", "2"], ["3", "HALL", "20", "1"], ["5", "DEN", "20", "1"], ["7", "SHOP", "20", "1"]]
    assert only(trade, trade.draw(columns, rows, "PANEL A")).problems == ()
    rows[0][1] = "RANGE"
    assert len(only(trade, trade.draw(columns, rows, "PANEL A")).problems) == 1


@pytest.mark.parametrize(("ruled", "want"), [(True, Answer.YES), (False, Answer.UNKNOWN)])
def test_a_mark_far_under_its_number_is_its_row_s_where_rulings_part_the_rows(trade, ruled, want):
    """The row of circuit 5 is twice as high as the others; without rulings the mark may be of a number unread."""
    columns = [("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("NOTES", 60)]
    rows = [[str(n), "HALL", "20", ""] if n else [""] * 4 for n in (1, 3, 5, 0, 7, 9)]
    words, strokes = trade.draw(columns, rows, "PANEL A", ruled=ruled)
    strokes = [stroke for stroke in strokes if stroke[1::2] != (156.0, 156.0)]
    trade.text(words, 30, 342.0, 149.0 + 10.0, "GFCI")
    got = {number: row.gfci for number, row in by_circuit(only(trade, (words, strokes))).items()}
    assert got == {"1": Answer.NO, "3": Answer.NO, "5": want, "7": Answer.NO, "9": Answer.NO}


def test_a_list_of_circuits_without_breakers_is_no_panel(trade):
    columns = [("CKT", 40), ("DESCRIPTION", 120), ("AMPS", 50)]
    rows = [[str(k), "REMOVED", "" if k > 1 else "20"] for k in (1, 3, 5, 7)]
    assert read_panels(trade.sheet(trade.draw(columns, rows))) == ()


ALONE = [("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("POLES", 50), ("NOTES", 80)]
PLAIN = [[str(n), "LOAD", "20", "1", ""] for n in (1, 3, 5, 7)]


def test_a_mark_low_in_a_last_row_that_is_twice_as_high_is_a_question(trade):
    """It stood below the table's reach under its last number, and was lost."""
    words, strokes = trade.draw(ALONE, [*PLAIN, ["9", "EXTERIOR", "20", "1", ""]], "PANEL A")
    floor = max(line[3] for line in strokes)
    left, right = min(line[0] for line in strokes), max(line[2] for line in strokes)
    strokes = [line for line in strokes if not line[1] == line[3] == floor]
    strokes += [(left, floor + 14.0, right, floor + 14.0)]
    strokes += [(line[0], floor, line[0], floor + 14.0) for line in strokes if line[0] == line[2]]
    trade.text(words, 300, right - 40.0, floor + 7.0, "GFCI", align="middle")
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert [row.gfci for row in panel.rows][-2:] == [Answer.NO, Answer.UNKNOWN]


@pytest.mark.parametrize("off", [-4.0, 0.0, 4.0])
def test_a_mark_without_a_header_beside_a_row_that_is_not_ruled_is_a_question(trade, off):
    """It was lost, and the row's outlets were missing protection for certain."""
    columns = ALONE[:4]
    words, strokes = trade.draw(columns, [row[:4] for row in PLAIN], "PANEL A", ruled=False)
    trade.text(words, 300, 100.0 + sum(wide for _, wide in columns) + 20.0, 135.0 + off, "GFCI")
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert [row.gfci for row in panel.rows] == [Answer.NO, Answer.UNKNOWN, Answer.NO, Answer.NO]


@pytest.mark.parametrize(
    ("title", "sign", "sure"),
    [("PANEL A", "A-", True), ("PANEL LP-A", "A-", True), ("PANEL A", "B-", False), ("PANEL SCHEDULE", "B-", True)],
)  # fmt: skip
def test_circuits_that_name_another_panel_than_the_heading_are_questions(trade, title, sign, sure):
    """B-1 under PANEL A was circuit 1 of panel A: one of the two was left as it was when one copied it."""
    rows = [[f"{sign}{n}", "BATH", "20", "1", "GFCI"] for n in (1, 3, 5, 7)]
    (panel,) = read_panels(trade.sheet(trade.draw(ALONE, rows, title)))
    assert {row.gfci for row in panel.rows} == {Answer.YES if sure else Answer.UNKNOWN}


@pytest.mark.parametrize(("head", "cell"), [("GFCI DEVICE", "X"), ("DEVICE TYPE", "GFCI")])
def test_a_column_of_devices_tells_of_no_breaker_for_certain(trade, head, cell):
    rows = [["1", "BATH", "20", "1", cell], *([str(n), "LOAD", "20", "1", ""] for n in (3, 5, 7))]
    (panel,) = read_panels(trade.sheet(trade.draw([*ALONE[:4], (head, 90)], rows, "PANEL A")))
    assert [row.gfci for row in panel.rows][:2] == [Answer.UNKNOWN, Answer.NO]


@pytest.mark.parametrize("angle", [0.0, 90.0, 270.0])
@pytest.mark.parametrize("tick", ["X", "N"])
def test_a_drawn_tick_that_was_read_down_the_sheet_is_in_its_row(trade, angle, tick):
    """Two outlined X over each other were read at 90 degrees: their rows were without GFCI for certain."""
    columns = [("CKT", 40), ("LOAD", 120), ("BKR", 36), ("GFCI", 36)]
    body = [[str(k), "HALL", "20", "X" if k > 2 else ""] for k in range(1, 5)]
    words, strokes = trade.draw(columns, body, "PANEL A")
    drawn = {"text": tick, "angle": angle, "origin": "outline", "confidence": 0.5}
    words = [replace(w, **drawn) if w.text == "X" else w for w in words]
    sheet = trade.sheet((words, strokes))
    marks = np.array([shapely.box(*w.box) for w in words if w.text == tick], object)
    none = np.zeros(len(marks), int)
    sheet = replace(sheet, fills=Fills(marks, np.zeros((len(marks), 3)), none + 1.0, none, none))
    (panel,) = read_panels(sheet)
    assert [row.gfci for row in panel.rows] == [NO, NO, UNKNOWN, UNKNOWN]


def test_a_half_whose_header_of_circuits_was_not_read_has_not_the_numbers_of_the_other(trade):
    """Circuit 2 had the load and the breaker of circuit 1: without GFCI for certain, or with it."""
    half = [("LOAD", 120), ("BKR", 40), ("TYPE", 50)]
    columns = [("", 24), *half, ("#", 24), *half]
    body = [["", f"L{k}", "20", "" if k else "GFCI", str(2 * k + 2), f"R{k}", "20", ""] for k in range(5)]
    panels = read_panels(trade.sheet(trade.draw(columns, body, "PANEL A")))
    assert not any(row.gfci is YES for panel in panels for row in panel.rows)


@pytest.mark.parametrize(("word", "want"), [("-", NO), ("PLUGS", NO), ("G", UNKNOWN)])
def test_a_dash_of_a_description_that_was_read_with_doubt_is_no_mark(trade, word, want):
    """RECEPT - BASEMENT in outlines: no row with a dash was without GFCI for sure."""
    columns = [("CKT", 40), ("LOAD", 120), ("BKR", 36)]
    words, strokes = trade.draw(columns, [[str(k), "HALL", "20"] for k in range(1, 5)], "PANEL A")
    drawn = {"text": word, "origin": "outline", "confidence": 0.75}
    first = next(w for w in words if w.text == "HALL")
    words = [replace(w, **drawn) if w is first else w for w in words]
    (panel,) = read_panels(trade.sheet((words, strokes)))
    assert [row.gfci for row in panel.rows] == [want, NO, NO, NO]
