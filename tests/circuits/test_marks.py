"""What the cells beside a breaker say: only what is understood to its last word marks a GFCI breaker."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.circuits.panels.marks import afci, breaker, gfci, speaks_of_breaker
from cordpath.model import Answer

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
# The trade's words for a marked breaker, and words that make a mark speak of something else; common practice.
PLAIN = ("GFCI", "G.F.C.I.", "GFI/AFCI", "AFCI + GFCI", "DF", "(GF)", "DUAL FUNCTION", "GFCI BREAKER",
         "1P-20A GFCI", "20A/1P GFCI BKR", "PROVIDE GFCI", "GFCI REQ'D", "EXISTING GFCI",
         "GFCI PROTECTED", "COMBO AFCI/GFCI", "GROUND FAULT CIRCUIT INTERRUPTER", "GFCI, CLASS A, 5 MA",
         "20AF/20AT GFCI")  # fmt: skip
OPEN = ("GFCI AT RECEPTACLE", "GFCI RECEPTACLES", "GFCI @ OUTLET", "LOCAL GFCI", "GFCI OR AFCI", "GFCI IF REQUIRED",
        "GFCI WHERE REQ'D", "GFCI BY OTHERS", "SEE NOTE 3 FOR GFCI", "VERIFY GFCI", "FUTURE GFCI", "DEADFRONT GFCI",
        "NO GFCI", "GFCI BREAKER BY OTHERS", "GFCI PER PLAN",
        "GFI RECEPT OR BREAKER", "AFCI BREAKER, GFCI DEVICE")  # fmt: skip


@pytest.mark.parametrize("text", PLAIN)
def test_a_mark_alone_is_the_breaker_s(text: str) -> None:
    assert gfci("20 1", text, "BATH RECEPTS", None) is YES
    assert gfci(f"20 1 {text}", "", "BATH RECEPTS", None) is YES


@pytest.mark.parametrize("text", OPEN)
def test_a_mark_among_other_words_is_a_question(text: str) -> None:
    assert gfci("20 1", text, "BATH RECEPTS", None) is UNKNOWN
    assert gfci(f"20 1 {text}", "", "BATH RECEPTS", None) is UNKNOWN
    assert gfci("20 1", "", "BATH RECEPTS", text) is UNKNOWN


@pytest.mark.parametrize("text", ["GFCD", "6FCI", "GECI", "GFC1", "GFC", "FCI", "GNFCI", "GFCLI"])
def test_a_mark_with_one_letter_read_wrong_is_a_question(text: str) -> None:
    """Each was no mark for certain, and the outlets of its breaker were missing protection."""
    assert gfci("20 1", text, "BATH RECEPTS", None) is UNKNOWN
    assert gfci("20 1", "AFCI", "BATH RECEPTS", None) is NO


@given(
    st.sampled_from([text for text in PLAIN if "BREAKER" not in text and "BKR" not in text]),
    st.text("BDGHJMOQRUXYZ", min_size=3, max_size=9),
    st.booleans(),
)
def test_no_word_that_is_not_known_stands_beside_a_marked_breaker(mark: str, word: str, before: bool) -> None:
    text = f"{word} {mark}" if before else f"{mark} {word}"
    assert gfci("20 1", text, "BATH RECEPTS", None) is UNKNOWN


def test_the_description_counts_only_where_it_speaks_of_the_breaker() -> None:
    for load in ("BATH RECEPTS (GFCI BREAKER)", "CELLAR RECEPTS - GFCI BREAKER", "BSM'T GFCI BREAKER"):
        assert gfci("20 1", "", load, None) is YES
    for said in (
        "BATH GFCI",
        "BATH AF/GF",
        "BATH DFCI",
        "BATH GFCI BREAKER OR RECEPT.",
        "GFCI BREAKER WHERE REQUIRED",
        "NO GFCI BREAKER",
    ):
        assert gfci("20 1", "", said, None) is UNKNOWN, said
    assert gfci("20 1", "", "BATH RECEPTS", None) is NO


@pytest.mark.parametrize(
    ("cell", "ground", "arc"),
    [
        ("X", YES, YES), ("YES", YES, YES), ("GFCI", YES, UNKNOWN), ("AFCI", UNKNOWN, YES), ("AF", UNKNOWN, YES),
        ("DF", YES, YES), ("GF/AF", YES, YES), ("", NO, NO), ("-", NO, NO), ("N/A", NO, NO),
        ("1", UNKNOWN, UNKNOWN), ("NOT GFCI", UNKNOWN, UNKNOWN),
    ],
)  # fmt: skip
def test_a_column_of_its_own_is_ticked_or_named_for_what_it_is(cell: str, ground: Answer, arc: Answer) -> None:
    """An AFCI in the column for GFCI is no tick."""
    assert gfci("20 1", "", "BATH RECEPTS", cell) is ground
    assert afci("20 1", "", "BATH RECEPTS", cell) is arc


TAKEN_BACK = ("GFCI N/A", "GFCI: N", "N GFCI", "GFCI - NONE", "GFCI NOT REQ'D", "GFCI TO BE REMOVED", "WAS GFCI",
              "NON-GFCI", "NO GFI", "GFCI 30MA", "GFCI, 30 MA TRIP", "100 MILLIAMP GFCI", "GFCI?")  # fmt: skip
OF_NO_BREAKER = (
    "GFCI BREAKER NOT REQUIRED", "GFCI BREAKER TO BE REMOVED", "REPLACE GFCI BREAKER WITH STANDARD BREAKER",
    "GFCI BREAKER N/A", "STANDARD BREAKER IN LIEU OF GFCI BREAKER", "GFCI BREAKER DELETED", "OMIT GFCI BREAKER",
    "CHANGE GFCI BREAKER TO AFCI", "SWAP GFCI BREAKER FOR AFCI", "GFCI BREAKER ABANDONED", "GFCI BREAKER DISABLED",
    "GFCI BREAKER PROHIBITED", "BYPASS GFCI BREAKER", "LACKS GFCI BREAKER", "CAN'T USE GFCI BREAKER",
    "RELOCATE GFCI BREAKER TO 12", "GFCI BREAKER RECOMMENDED", "GFCI BREAKER, CKT 14 ONLY", "(D) GFCI BREAKER",
    "GFCI BKR - NONE", "GFCI CB 30MA", "GFCI BREAKER (EQUIPMENT PROTECTION)", "GFCI BREAKER (NIC)", "GFCI BREAKER?",
)  # fmt: skip


@pytest.mark.parametrize("text", (*TAKEN_BACK, *OF_NO_BREAKER))
def test_a_mark_that_is_taken_back_protects_nothing(text: str) -> None:
    """N alone may be no or new; 30 mA protects equipment (UL 943: Class A trips at 4 to 6 mA)."""
    for answer in (gfci("20 1", text, "BATH", None), gfci(f"20 1 {text}", "", "BATH", None),
                   gfci("20 1", "", text, None), gfci("20 1", "", "BATH", text)):  # fmt: skip
        assert answer is UNKNOWN


@given(st.sampled_from(PLAIN), st.sampled_from(("NOT REQ'D", "N/A", "- NONE", "DELETED", "NIC", "REMOVED")))
def test_whatever_the_mark_words_after_it_take_it_back(mark: str, after: str) -> None:
    assert gfci("20 1", f"{mark} {after}", "BATH", None) is UNKNOWN


def test_new_and_existing_stand_in_brackets() -> None:
    for text in ("(N) GFCI", "(E) GFCI", "NEW GFCI"):
        assert gfci("20 1", text, "BATH", None) is YES
        assert gfci("20 1", "", "BATH", text) is YES


def test_two_cells_that_contradict_each_other_are_a_question() -> None:
    for cell in ("NO", "N", "N/A", "NONE"):
        assert gfci("20 1 GFCI", "", "BATH", cell) is UNKNOWN
        assert gfci("20 1", "", "BATH", cell) is NO
    assert gfci("20 1 GFCI", "", "BATH", "-") is YES


@pytest.mark.parametrize("text", ["CAFI", "CAFCI", "AFI", "DUAL FUNC", "DUAL FCN"])
def test_the_trade_s_short_words_for_arc_faults(text: str) -> None:
    assert afci("20 1", text, "BATH", None) is YES
    assert gfci("20 1", f"{text}/GFCI", "BATH", None) is YES


@pytest.mark.parametrize(
    ("cell", "amperes", "poles"),
    [("100/50", 50.0, None), ("225/60", 60.0, None), ("100A/50A", 50.0, None), ("20/1", 20.0, 1), ("2/30", 30.0, 2),
     ("60A-2P", 60.0, 2), ("3P 100A", 100.0, 3)],
)  # fmt: skip
def test_of_frame_and_trip_the_trip_counts(cell: str, amperes: float, poles: int | None) -> None:
    """A breaker of 50 A in a frame of 100 A feeds a circuit of 50 A: the frame would clear outlets up to 60 A."""
    assert breaker(cell, "") == (amperes, poles)


@pytest.mark.parametrize("text", ["GROUND FAULT DELETED", "NO GROUND FAULT PROTECTION", "DUAL TYPE NOT USED"])
def test_words_that_take_back_what_is_no_mark_in_full_are_a_question(text: str) -> None:
    assert gfci("20 1", text, "BATH", None) is UNKNOWN
    assert gfci("20 1", "LOCK NOT USED", "BATH", None) is NO


@pytest.mark.parametrize("text", ["GROUND FAULT", "ARC FAULT/GROUND FAULT", "GFCIB", "SPGFCI", "GND FLT", "DUAL"])
def test_a_mark_in_a_spelling_that_is_not_known_is_a_question(text: str) -> None:
    """It was taken for a plain breaker without a word."""
    assert gfci("20 1", text, "BATH", None) is UNKNOWN
    assert gfci("20 1", "GFPE", "BATH", None) is NO
    assert gfci("20 1", "PROTECTION OF EQUIPMENT GROUND FAULT", "BATH", None) is NO


NOT_THIS_BREAKER = (
    "SPACE FOR GFCI BREAKER", "PROVISION FOR GFCI BREAKER", "ROOM FOR A GFCI BREAKER", "GFCI BREAKER READY",
    "GFCI BREAKER CAPABLE", "SPARE GFCI BREAKER", "GFCI BREAKER PENDING", "GFCI BREAKER ON HOLD",
    "MOVE GFCI BREAKER TO CKT 7", "USE GFCI BREAKER FROM CKT 7", "GFCI BREAKER FOR CKT 9", "GFCI BREAKER ON CKT 5",
    "SALVAGE GFCI BREAKER", "RETURN GFCI BREAKER TO OWNER", "DOWNSTREAM OF GFCI BREAKER",
    "SEPARATE FROM GFCI BREAKER", "INTERLOCK WITH GFCI BREAKER", "GFCI BREAKER AT SUBPANEL",
    "GFCI BREAKER TO BE PRICED",
    "GFCI BREAKER UNAVAILABLE",    "AVAILABLE WITH GFCI BREAKER", "PROVIDE GFCI BREAKER UPON REQUEST",
    "GFCI BREAKER NUISANCE TRIPS", "GFCI BREAKER ON CKTS 7", "GFCI BREAKER ALL CIRCUITS 7",
)  # fmt: skip


@pytest.mark.parametrize("text", NOT_THIS_BREAKER)
def test_a_breaker_that_may_not_be_there_or_not_be_the_circuits_protects_nothing(text: str) -> None:
    """What can be said of a breaker has no end: a text counts only where all of it is understood."""
    assert gfci("20 1", "", text, None) is UNKNOWN
    assert gfci("20 1", text, "BATH", None) is UNKNOWN
    assert not speaks_of_breaker(text)


@pytest.mark.parametrize(
    "note", ["GFCI CKT 4", "GFCI W/ 6", "GFCI WITH 12", "GFCI PLUG", "GFCI IN PLUG", "GF CIRCUIT #3"]
)
def test_a_mark_beside_another_circuits_number_or_on_a_plug_is_a_question(note: str) -> None:
    assert gfci("20/1", note, "BATH", None) is UNKNOWN


@pytest.mark.parametrize(
    "text",
    ["BATH 2 RECEPTS (GFCI BREAKER)", "DISHWASHER - GFCI BKR", "GFCI BREAKER FOR LAUNDRY CIRCUIT",
     "HOT TUB, 50A 2P GFCI BREAKER",      "GFCI BREAKER, CLASS A, 5 MA TRIP",
     "KITCHEN COUNTER PROTECTED BY GFCI BREAKER",
     "CRAWL SPACE RECEPT W/ GFCI BREAKER",
     "1 POLE 20 AMP GFCI BREAKER", "(E) GFCI BREAKER",
     "DUAL FUNCTION AFCI/GFCI BREAKER",
     "COMBINATION AFCI/GFCI CIRCUIT BREAKER"],
)  # fmt: skip
def test_what_a_circuit_feeds_may_stand_beside_its_breaker(text: str) -> None:
    assert gfci("20 1", "", text, None) is YES


@pytest.mark.parametrize(
    "said", ["SPA GFCI BREAKER AT EQUIPMENT", "GFCI BREAKER AT SPA PANEL", "TUB GFCI BKR IN UNIT"]
)
def test_a_breaker_that_stands_elsewhere_is_not_the_panels(said):
    assert gfci("50 2", "", said, None) is UNKNOWN
    assert gfci("50 2", "", "RECEPT AT SPA, GFCI BREAKER", None) is YES
    assert gfci("50 2", "", "GFCI BREAKER AT PANEL", None) is YES
