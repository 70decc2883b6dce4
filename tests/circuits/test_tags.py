"""The tag reader: every spelling of a circuit comes back as that circuit."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from cordpath.circuits.tags import Tag, bare_name, readings

panels = st.one_of(st.from_regex(r"[A-Z]{1,3}", fullmatch=True), st.from_regex(r"[A-Z]{1,2}[1-9]", fullmatch=True),
                   st.from_regex(r"[A-Z]{1,2}-[1-9]", fullmatch=True))  # fmt: skip
numbers = st.lists(st.integers(1, 84).map(str), min_size=1, max_size=3, unique=True)


@given(panels, numbers, st.sampled_from(["-", " ", "-0", ".", " - ", "#", ":"]), st.sampled_from([",", ", ",
"/", "&"]),
       st.sampled_from(["{}", "({})", "CKT {}", "#{}", "[{}]"]))  # fmt: skip
def test_a_written_tag_is_among_its_readings(panel, circuits, sign, comma, frame):
    text = frame.format(f"{panel}{sign}{comma.join(circuits)}")
    assert Tag(bare_name(panel), tuple(circuits)) in readings(text)


@given(st.from_regex(r"[A-Z]{1,3}", fullmatch=True), st.integers(1, 84).map(str))
def test_letters_and_number_without_a_sign_read_as_panel_and_circuit_first(panel, circuit):
    if panel not in ("CKT", "CCT", "CIR"):
        assert readings(panel + circuit)[0] == Tag(panel, (circuit,))


@given(numbers)
def test_numbers_alone_name_no_panel(circuits):
    assert Tag(None, tuple(circuits)) in readings(",".join(circuits))


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused_without_fuss(text):
    for tag in readings(text):
        assert tag.numbers and all(number[0].isdigit() for number in tag.numbers)
        assert tag.panel is None or tag.panel.isalnum()


def test_a_number_beside_the_word_for_a_circuit_names_no_panel():
    """CKT12 was circuit 12 of a panel CKT, and asked about."""
    for text in ("CKT12", "CKT-12", "CKT. #12", "CIRCUIT12", "CKTS-12"):
        assert readings(text) == (Tag(None, ("12",)),), text
    assert readings("CKT-A12")[0] == Tag("A", ("12",))


def test_what_is_no_tag():
    for text in ("", "GFI", "WP", '+42"', "A-", "KITCHEN", "1234", "A-1234", "20A/1P GFCI BREAKER FOR BATH"):
        assert readings(text) == ()


def test_a_dash_after_a_panel_s_name_with_a_digit_parts_its_circuit():
    """LP1-7 was read as circuits 1 and 7 of a panel LP before it was circuit 7 of LP1."""
    for text in ("LP1-7", "L1-12"):
        name, number = text.split("-")
        assert readings(text)[0] == Tag(name, (number,))
    assert Tag("A", ("1", "3")) in readings("A1-3") and readings("A-1-3")[0] == Tag("A", ("1", "3"))
