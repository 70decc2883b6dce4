"""The comment letter: causes grouped, numbers kept, nothing of a drawing read as markup."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import docx
import pytest
from hypothesis import given
from hypothesis import strategies as st
from report_builder import RUN, failed, free, kitchen, missing, result, unresolved

from cordpath.errors import UnreadableFile
from cordpath.model import Answer, Decision, Requirement, SheetResult
from cordpath.report.comments import Register, comments_of, load_register, write_register
from cordpath.report.letter import write_letters
from cordpath.report.rows import rows_of

SINK = (300.0, 150.0)


def sheet(*numbers: str, asks: tuple[str, ...] = (), **more: object) -> SheetResult:
    room = kitchen()
    found = [missing(number, (60.0 + 30 * k, 80.0), SINK, room) for k, number in enumerate(numbers)]
    found += [unresolved(number, (60.0 + 30 * k, 200.0), SINK, room) for k, number in enumerate(asks)]
    return result(found, **more)  # type: ignore[arg-type]


def test_the_same_cause_is_one_comment_with_every_outlet() -> None:
    both = (
        sheet("E-101.1", "E-101.2", asks=("E-101.3",)),
        sheet("E-102.1", number="E-102", page=2),
        failed(page=3),
    )
    comments, _ = comments_of(both, Register())
    assert [[row.number for row in comment.rows] for comment in comments] == [
        ["E-101.1", "E-101.2", "E-102.1"], ["E-101.3"], [],
    ]  # fmt: skip
    assert [comment.number for comment in comments] == [1, 2, 3]
    assert "210.8(A)(6)" in comments[0].cites
    assert "could not be checked" in comments[2].text and comments[2].sheets[0].page == 3


def test_numbers_stay_and_are_never_given_twice() -> None:
    first, register = comments_of([sheet("E-101.1", asks=("E-101.2",))], Register())
    second, register = comments_of([sheet(asks=("E-101.7",))], register)  # the first was corrected
    assert [(c.number, c.cause) for c in second] == [(2, first[1].cause)]
    assert [kept.state for kept in register.kept] == ["withdrawn", "open"]
    other, register = comments_of([sheet(asks=("E-101.7",)), failed(page=2)], register)
    assert [c.number for c in other] == [2, 3], "1 is not given to another cause"
    back, _ = comments_of([sheet("E-101.9")], register)
    assert [(c.number, c.cause) for c in back] == [(1, first[0].cause)], "a cause that returns has its old number"


def test_a_comment_is_not_withdrawn_for_a_sheet_that_could_not_be_checked(tmp_path: Path) -> None:
    _, register = comments_of([sheet("E-101.1")], Register())
    (text, _), register = write_letters(tmp_path, ((failed(why="damaged"),),), RUN, register)
    assert [kept.state for kept in register.kept] == ["not checked", "open"]
    assert "Still open, for not all sheets of this review could be checked: 1." in text.read_text("utf-8")


@given(st.lists(st.lists(st.sampled_from("abcdef"), max_size=4, unique=True), max_size=6))
def test_in_any_history_a_number_means_one_cause(history: list[list[str]]) -> None:
    register, meaning = Register(), {}
    for causes in history:
        comments, register = comments_of(
            [failed(page=k + 1, why=f"why {c}") for k, c in enumerate(causes)], register
        )
        assert len({c.number for c in comments}) == len(causes)
        for comment in comments:
            assert meaning.setdefault(comment.number, comment.cause) == comment.cause
            assert [n for n, cause in meaning.items() if cause == comment.cause] == [comment.number]


def test_the_register_comes_back_as_it_was_written(tmp_path: Path) -> None:
    _, register = comments_of([sheet("E-101.1", asks=("E-101.2",)), failed(page=2)], Register())
    write_register(tmp_path / "comments.json", register)
    assert load_register(tmp_path / "comments.json") == register
    assert load_register(tmp_path / "none.json") == Register()


ENTRY = '{"number":4,"cause":"a","text":"b","state":"open","places":[]}'


@pytest.mark.parametrize(
    "text",
    ["", "{}", *(f'{{"format":"cordpath-comments/1","next":1,"comments":[{e}]}}' for e in (ENTRY, "{}", "4"))],
)
def test_a_damaged_register_is_refused_before_numbers_are_given_again(tmp_path: Path, text: str) -> None:
    (tmp_path / "comments.json").write_text(text)
    with pytest.raises(UnreadableFile, match="numbers of earlier comments"):
        load_register(tmp_path / "comments.json")


def test_both_letters_say_the_same(tmp_path: Path) -> None:
    both = (sheet("E-101.1", "E-101.2", asks=("E-101.3",)),)
    (text, document), _ = write_letters(tmp_path, (both,), RUN, Register())
    opened = docx.Document(str(document))
    rows = [[cell.text for cell in row.cells] for row in opened.tables[0].rows]
    assert rows[0] == ["No.", "Comment", "Where", "Section", "Response"]
    assert [row[0] for row in rows[1:]] == ["1", "2"] and all(row[-1] == "" for row in rows[1:])
    assert rows[1][2] == "E-101, KITCHEN 101: E-101.1, E-101.2"
    where = opened.tables[0].rows[1].cells[2]._tc.xml
    assert where.count("<w:noBreakHyphen/>") == 3 and "E-" not in where, "no number is parted at the end of a line"
    lines = [line for line in text.read_text("utf-8").splitlines() if line.startswith("| ")]
    assert len(lines) == 2 + 2 and all(cell in lines[2] for cell in rows[1])
    (_, second), _ = write_letters(tmp_path / "again", (both,), RUN, Register())
    assert second.read_bytes() == document.read_bytes(), "the same findings give the same bytes"


def test_places_of_a_comment_stand_on_lines_of_their_own(tmp_path: Path) -> None:
    """Word processors showed "E-101.1 E-102, KITCHEN": a line feed inside of w:t is a space to them."""
    both = (sheet("E-101.1"), sheet("E-102.1", number="E-102", page=2))
    (_, document), _ = write_letters(tmp_path, (both,), RUN, Register())
    where = docx.Document(str(document)).tables[0].rows[1].cells[2]
    assert where.text == "E-101, KITCHEN 101: E-101.1\nE-102, KITCHEN 101: E-102.1"
    assert where._tc.xml.count("<w:br/>") == 1, "as ECMA-376 part 1, 17.3.3.1 has it"


def test_a_comment_tells_each_reason_of_its_section() -> None:
    """210.8(D) was asked of a dishwasher, a range and a dryer "because it serves: dishwasher"."""
    reasons = ("it serves: dishwasher", "it serves: range", "it serves: range")
    asks = [(Requirement("210.8(D)", why, Answer.YES),) for why in reasons]
    drawn = [missing(f"E-101.{k}", (60.0 + 30 * k, 80.0), SINK) for k in range(3)]
    serving = [replace(each, requirements=ask) for each, ask in zip(drawn, asks, strict=True)]
    (comment,), _ = comments_of([result(serving)], Register())
    assert comment.text.endswith("schedule. Required: it serves: dishwasher; it serves: range.")
    (before,), _ = comments_of([result(serving[1:])], Register())
    assert before.cause == comment.cause, "the number stays when one of them is mended"


def test_many_items_of_one_list_stand_together_where_people_read(tmp_path: Path) -> None:
    """Thirteen sections stood one by one in one cell of the letter, the schedule in the PDF and the page."""
    unsure = unresolved("E-101.1", (60.0, 80.0), SINK, kitchen())
    asks = tuple(
        replace(unsure.requirements[0], cite=c) for c in ("210.8(E)", *(f"210.8(A)({n})" for n in (1, 2, 3, 4, 9)))
    )
    found = result([replace(unsure, requirements=asks)])
    (text, _), _ = write_letters(tmp_path, ((found,),), RUN, Register())
    assert "| 210.8(E), 210.8(A) items 1 to 4 and 9 |" in text.read_text("utf-8")
    (row,) = rows_of([found])
    assert row.required_told == "210.8(E) ?, 210.8(A) items 1 to 4 and 9 ?"
    assert row.required_by.count(" ?") == 6, "tables for programs keep each"


def test_text_of_a_drawing_is_no_markup(tmp_path: Path) -> None:
    room = replace(kitchen(), name="<script>|[x](javascript:y)\x01\n# A*")
    odd = result([missing("E-101.1", (60.0, 80.0), SINK, room)])
    (text, document), _ = write_letters(tmp_path, ((odd,),), RUN, Register())
    row = next(line for line in text.read_text("utf-8").splitlines() if line.startswith("| 1 |"))
    assert row.replace("\\|", "").count("|") == 6 and "\\<script\\>" in row and "](" not in row.replace("\\](", "")
    assert "<script>|[x](javascript:y)" in docx.Document(str(document)).tables[0].rows[1].cells[2].text


def test_what_the_reviewer_ruled_on_is_listed_and_not_asked(tmp_path: Path) -> None:
    ruling = Decision("E-101", "KITCHEN", "duplex receptacle", (0.1, 0.1), "accept", "shown on the elevation")
    plain = sheet("E-101.1", "E-101.2")
    ruled = replace(plain, findings=(replace(plain.findings[0], decision=ruling), plain.findings[1]))
    (text, _), _ = write_letters(tmp_path, ((ruled,),), RUN, Register())
    said = text.read_text("utf-8")
    assert "KITCHEN 101: E-101.2 |" in said
    assert "- E-101.1 (KITCHEN 101, missing): Accept: shown on the elevation." in said


def test_nothing_to_say_is_said(tmp_path: Path) -> None:
    (text, _), _ = write_letters(tmp_path, ((result([free("E-101.1", (60.0, 80.0))]),),), RUN, Register())
    assert "No comment" in text.read_text("utf-8")


@pytest.mark.parametrize(
    ("because", "says"),
    [
        ("4.8 ft along the cord path from the edge of the bathtub f16, unless an elevation shows a longer way",
         "a cord reaches the edge of the bathtub within the limit"),
        ("1.2 ft along the cord path from the bowl of the lavatory f1",
         "a cord reaches the bowl of the lavatory within the limit"),
    ],
)  # fmt: skip
def test_a_reach_is_told_in_plain_words(because: str, says: str) -> None:
    far = missing("E-101.1", (60.0, 80.0), SINK, kitchen())
    far = replace(far, requirements=tuple(replace(r, because=because) for r in far.requirements))
    comments, _ = comments_of([result([far])], Register())
    assert says in comments[0].text


def test_a_symbol_that_could_not_be_told_is_asked_about_and_not_its_panel() -> None:
    """Protection that is plainly not shown is no doubt: the doubt is what the symbol is."""
    open_ = missing("E-101.1", (60.0, 80.0), SINK, kitchen())
    shown = replace(open_.protection, reasons=("no panel schedule was read",))
    open_ = replace(
        open_, verdict="unresolved", protection=shown, reasons=("it may be a quad receptacle",), requirements=()
    )
    comments, _ = comments_of([result([open_])], Register())
    assert "quad receptacle" in comments[0].text and "panel" not in comments[0].text


def test_outlets_of_one_cause_on_several_circuits_are_told_with_all_of_them() -> None:
    """Four outlets on four circuits stood behind the first one's: circuit L1-37 is in no panel schedule."""
    found = []
    for number, circuit in (("E-101.1", "L1-31"), ("E-101.2", "L1-37"), ("E-101.3", "L1-31")):
        one = missing(number, (60.0, 80.0), SINK, kitchen())
        shown = replace(
            one.protection, shown=Answer.UNKNOWN, reasons=(f"circuit {circuit} is in no panel schedule",)
        )
        found.append(replace(one, verdict="unresolved", protection=shown))
    (comment,) = comments_of([result(found)], Register())[0]
    assert comment.text == "Circuit L1-31/L1-37 is in no panel schedule."


def test_a_letter_of_several_says_why_numbers_are_not_in_it(tmp_path: Path) -> None:
    one, two = sheet("E-101.1", file="a.pdf"), sheet("E-102.1", file="b.pdf")
    write_letters(tmp_path, ((one,), (two,)), RUN, Register())
    assert (tmp_path / "comments.md").read_text().count("not every number is in each") == 2
    write_letters(tmp_path, ((one,),), RUN, Register())
    assert "not every number" not in (tmp_path / "comments.md").read_text()


def test_each_applicant_gets_a_letter_of_their_own(tmp_path: Path) -> None:
    """Houses of different applicants bear the same sheet numbers and rooms: in one table nobody could tell them."""
    first = replace(sheet("E-101.1", "E-101.2"), file="a/E-101.pdf")
    second = replace(sheet("E-101.7", asks=("E-101.8",)), file="b/E-101.pdf")
    third = (replace(result([]), file="c/specs.pdf", status="skipped", why="no outlets"),)
    (text, document), register = write_letters(tmp_path, ((first,), (second,), third), RUN, Register())
    letters = text.read_text("utf-8").split("# Plan review comments")[1:]
    assert ["For: a/E-101.pdf" in letters[0], "For: b/E-101.pdf" in letters[1]] == [True, True]
    assert "E-101.7" not in letters[0] and "E-101.1" not in letters[1] and "E-101.7" in letters[1]
    assert "none of its sheets was checked" in letters[2] and "nothing is missing" not in letters[2]
    assert all("licensed practice decide" in each for each in letters)
    opened = docx.Document(str(document))
    assert [[row.cells[0].text for row in table.rows[1:]] for table in opened.tables] == [["1"], ["1", "2"]]
    heads = [p for p in opened.paragraphs if p.text.startswith("Plan review comments")]
    assert [bool(p.paragraph_format.page_break_before) for p in heads] == [False, True, True]
    assert [kept.number for kept in register.kept] == [1, 2], "one register: a cause has one number in all letters"


def test_a_closed_number_is_told_to_whom_it_was_given(tmp_path: Path) -> None:
    both, plain = sheet("E-101.1", asks=("E-101.2",)), sheet("E-101.1")
    before = [(replace(each, file=f"{k}/E-101.pdf"),) for k, each in enumerate((both, both, plain))]
    _, register = write_letters(tmp_path, tuple(before), RUN, Register())
    after = [(replace(plain, file=f"{k}/E-101.pdf"),) for k in range(3)]
    (text, _), _ = write_letters(tmp_path, tuple(after), RUN, register)
    letters = text.read_text("utf-8").split("# Plan review comments")[1:]
    assert ["and closed: 2." in each for each in letters] == [True, True, False]


def test_several_files_of_one_submittal_share_a_letter(tmp_path: Path) -> None:
    files = tuple(replace(sheet(f"{n}.1", number=n), file=f"a/{n}.pdf") for n in ("E-101", "E-102"))
    other = (replace(sheet("E-101.9"), file="b/x.pdf"),)
    (text, _), _ = write_letters(tmp_path, (files, other), RUN, Register())
    first, second = text.read_text("utf-8").split("# Plan review comments")[1:]
    assert "For: a\n" in first and "E-101.1<br>E-102" in first and "For: b/x.pdf" in second


def test_an_empty_batch_still_has_a_letter(tmp_path: Path) -> None:
    (text, document), _ = write_letters(tmp_path, (), RUN, Register())
    assert "No comment" in text.read_text("utf-8") and document.exists()
