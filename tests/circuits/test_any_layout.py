"""Schedules of any layout: a ruled one is read right; an unruled one never gives a mark to the wrong circuit."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.circuits import read_panels
from cordpath.model import Answer

HEADS = {
    "circuit": ["CKT", "CKT NO", "CIRCUIT", "CKT #"],
    "description": ["DESCRIPTION", "LOAD", "LOAD SERVED", "CIRCUIT DESCRIPTION"],
    "amperes": ["AMPS", "BKR", "TRIP", "BREAKER SIZE"],
    "poles": ["P", "POLES", "POLE"],
    "notes": ["NOTES", "TYPE", "REMARKS", "PROT."],
    "va": ["VA", "LOAD (VA)", "WIRE", "PH"],
}
MARKS = {"GFCI": Answer.YES, "GFI": Answer.YES, "DF": Answer.YES, "AFCI/GFCI": Answer.YES, "AFCI": Answer.NO,
         "": Answer.NO, "STANDARD": Answer.NO}  # fmt: skip
LOADS = ["BATH", "KITCHEN COUNTER WEST", "HALL LIGHTS", "RANGE HOOD", "GARAGE DOOR OPENER", "DW", "SPARE"]


@st.composite
def schedules(draw):
    """Columns, rows, drawing options, and the answer for each circuit."""
    kinds = draw(
        st.permutations(["description", "amperes", "notes", *draw(st.sets(st.sampled_from(["poles", "va"])))])
    )
    kinds = draw(st.sampled_from([["circuit", *kinds], [*kinds, "circuit"]]))
    heads = {kind: draw(st.sampled_from(HEADS[kind])) for kind in kinds}
    size = {"description": 150, "notes": 80}
    wide = {k: max(size.get(k, 36), int(len(heads[k]) * 4.4) + 10) + draw(st.integers(0, 20)) for k in kinds}
    second = draw(st.sampled_from([None, kinds, kinds[::-1]]))
    step = 2 if second else draw(st.sampled_from([1, 2]))
    n = draw(st.integers(3, 9))
    want, rows = {}, []
    for r in range(n):
        row = []
        for half, order in enumerate([kinds, second] if second else [kinds]):
            number = str(1 + step * r + half)
            mark = draw(st.sampled_from(list(MARKS)))
            cells = {"circuit": number, "description": draw(st.sampled_from(LOADS)), "amperes": "20", "poles": "1",
                     "notes": mark, "va": "180"}  # fmt: skip
            want[number] = MARKS[mark]
            row += [cells[kind] for kind in order]
        rows.append(row)
    columns = [(heads[kind], wide[kind]) for kind in (*kinds, *(second or ()))]
    options = {"align": draw(st.sampled_from(["left", "middle", "right"])), "pitch": draw(st.integers(11, 20))}
    return columns, rows, options, want


def read(trade, schedule, ruled):
    columns, rows, options, want = schedule
    (panel,) = read_panels(trade.sheet(trade.draw(columns, rows, "PANEL A", ruled=ruled, **options)))
    return {number: row.gfci for row in panel.rows for number in row.circuits}, want


@settings(max_examples=120, deadline=None)
@given(schedules())
def test_ruled_is_read_right(trade, schedule):
    got, want = read(trade, schedule, True)
    assert got == want


@settings(max_examples=120, deadline=None)
@given(schedules())
def test_unruled_gives_no_mark_to_the_wrong_circuit(trade, schedule):
    got, want = read(trade, schedule, False)
    assert got.keys() == want.keys()
    wrong = {number for number in want if got[number] is Answer.YES and want[number] is Answer.NO}
    assert not wrong
