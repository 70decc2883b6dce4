"""What is not known of circuits protects nothing, and denies nothing: each answer under an unknown is that of every
way in which it may turn out, or unknown."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.circuits import read_panels, shown_protections
from cordpath.model import Answer, Label, Outlet, Panel, Wiring

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
NAMES = tuple(f"E.{k}" for k in range(1, 5))
DOUBT = "the drawn wiring branches"


def chain(tag: str | None, unsure: frozenset[str] = frozenset(), whole: bool = True) -> Wiring:
    """Four outlets one after the other; what comes after one whose place is not sure is not sure either."""
    fed, doubts, lost = [], [], False
    for k, name in enumerate(NAMES):
        lost = lost or name in unsure
        if lost:
            doubts.append((name, DOUBT))
        else:
            fed.append((name, NAMES[:k]))
    return Wiring("v1", NAMES, tag, tuple(fed), tuple(doubts), whole)


@st.composite
def circuits(draw: st.DrawFn) -> dict[str, object]:
    tags = st.sampled_from([None, "A-12", "A-14"])
    return {
        "tags": draw(st.tuples(tags, tags, tags, tags)),
        "device": draw(st.sampled_from([None, 0, 1, 2])),
        "rows": {"12": draw(st.sampled_from([YES, NO])), "14": draw(st.sampled_from([YES, NO]))},
        "homerun": draw(st.sampled_from([None, "A-12", "A-14"])),
        "wired": draw(st.booleans()),
    }


def answers(trade, case, *, rows=None, tags=None, labels=(), wiring=None, device=-1) -> list[Answer]:
    panels: tuple[Panel, ...] = (trade.panel("A", rows or case["rows"]),)
    at = case["device"] if device == -1 else device
    outlets: tuple[Outlet, ...] = tuple(
        trade.outlet(tag, name, protection="device" if k == at else None, labels=[la for j, la in labels if j == k])
        for k, (name, tag) in enumerate(zip(NAMES, tags or case["tags"], strict=True))
    )
    drawn = (wiring or chain(case["homerun"]),) if case["wired"] else ()
    return [each.shown for each in shown_protections(outlets, panels, drawn)]


def borne_out(less: list[Answer], *completions: list[Answer]) -> bool:
    every = zip(*completions, strict=True)
    return all(one is UNKNOWN or set(ways) == {one} for one, ways in zip(less, every, strict=True))


@settings(max_examples=150, deadline=None)
@given(case=circuits(), circuit=st.sampled_from(["12", "14"]))
def test_a_row_that_cannot_be_read_settles_nothing(trade, case, circuit) -> None:
    ways = [answers(trade, case, rows={**case["rows"], circuit: answer}) for answer in (YES, NO)]
    assert borne_out(answers(trade, case, rows={**case["rows"], circuit: UNKNOWN}), *ways)


@settings(max_examples=150, deadline=None)
@given(case=circuits(), which=st.integers(0, 3), doubtful=st.sampled_from(["A-12", "A-14"]))
def test_a_tag_that_may_be_a_neighbour_s_settles_nothing(trade, case, which, doubtful) -> None:
    bare = tuple(None if k == which else tag for k, tag in enumerate(case["tags"]))
    own = tuple(doubtful if k == which else tag for k, tag in enumerate(case["tags"]))
    label = Label(f"{doubtful}?", (0.0, 0.0), (("circuit_unsure", doubtful),))
    less = answers(trade, case, tags=bare, labels=[(which, label)])
    assert borne_out(less, answers(trade, case, tags=bare), answers(trade, case, tags=own))


@settings(max_examples=150, deadline=None)
@given(case=circuits(), which=st.integers(0, 3))
def test_a_text_that_may_mean_protection_settles_nothing(trade, case, which) -> None:
    case = {**case, "device": None}
    label = Label("GFI?", (0.0, 0.0), (("protection_unsure", "device"),))
    less = answers(trade, case, labels=[(which, label)])
    without, with_it = answers(trade, case), answers(trade, case, device=which)
    assert less[which] is UNKNOWN or {less[which]} == {without[which], with_it[which]}
    # What hangs on whether it is a device is not told for the others: never protected by it.
    assert all(one is not YES or other is YES for one, other in zip(less, without, strict=True))


@settings(max_examples=150, deadline=None)
@given(case=circuits(), unsure=st.sets(st.sampled_from(NAMES)).map(frozenset))
def test_a_place_on_the_wiring_that_is_not_sure_feeds_nothing(trade, case, unsure) -> None:
    sure, less = answers(trade, case), answers(trade, case, wiring=chain(case["homerun"], unsure))
    assert all(one is UNKNOWN or one is other for one, other in zip(less, sure, strict=True))


@settings(max_examples=150, deadline=None)
@given(case=circuits())
def test_wiring_with_a_loose_end_settles_no_circuit(trade, case) -> None:
    broken = replace(chain(case["homerun"], frozenset(NAMES)), whole=False)
    less, alone = answers(trade, case, wiring=broken), answers(trade, {**case, "wired": False})
    whole = answers(trade, case)
    for one, without, with_it in zip(less, alone, whole, strict=True):
        assert one is UNKNOWN or one is without or one is with_it
        assert one is not YES or without is YES


def pieces(line, count, drawn):
    """A line cut into pieces, of which a part is drawn."""
    x0, y0, x1, y1 = line
    ends = [(k / count, (k + drawn) / count) for k in range(count)]
    return [(x0 + a * (x1 - x0), y0 + a * (y1 - y0), x0 + b * (x1 - x0), y0 + b * (y1 - y0)) for a, b in ends]


CROSSED = [[("CKT", 40), ("DESCRIPTION", 150), ("AMPS", 50), ("TYPE", 90)],
           [["1", "BATH", "20", "GFCI"], ["3", "KITCHEN", "20", "GFCI"], ["5", "HALL", "15", ""]]]  # fmt: skip


@pytest.mark.parametrize(
    ("lines", "unknown"),
    [
        ([(102, 131, 428, 139), (102, 139, 428, 131)], {"3"}),  # a cross over one row
        ([(102, 115, 428, 155), (102, 155, 428, 115)], {"1", "3", "5"}),  # over the whole table
        (pieces((102, 131, 428, 139), 8, 1.0), {"3"}),  # drawn in pieces
        (pieces((102, 131, 428, 139), 60, 0.6), {"3"}),  # and broken
        (pieces((102, 115, 428, 155), 100, 0.5), {"1", "3", "5"}),
        ([(341, 130, 363, 140), (341, 140, 363, 130)], {"3"}),  # over a mark
        ([(340, 128, 430, 142), (340, 142, 430, 128)], {"3"}),  # over its cell
        ([(100, 135, 430, 135)], {"3"}),  # level, from ruling to ruling
        (pieces((102, 128, 428, 128), 60, 0.6), set()),  # a ruling that is drawn broken
        ([(420, 90, 460, 128)], set()),  # a leader to its corner
        ([(102, 131, 112, 131.2), (418, 138.8, 428, 139)], set()),  # two marks that stand in line by chance
        ([(102, 116, 140, 152)], set()),
    ],
)
def test_rows_that_slanting_lines_cross_out_are_questions(trade, lines, unknown):
    """Only level lines through words were told, and crossed-out rows of a revision cleared their circuits."""
    words, strokes = trade.draw(*CROSSED, "PANEL A")
    (panel,) = read_panels(trade.sheet((words, [*strokes, *lines])))
    got = {number: row.gfci for row in panel.rows for number in row.circuits}
    assert {number for number, answer in got.items() if answer is Answer.UNKNOWN} == unknown
