"""The three-valued logic: tables, and that knowledge never reverses an answer."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.model import Answer
from cordpath.rules.judge import verdict
from cordpath.rules.told import Told, agree, all_of, any_of

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
answers = st.sampled_from([YES, NO, UNKNOWN])
parts = st.lists(answers, min_size=1, max_size=6)


def told(values: list[Answer]) -> list[Told]:
    return [Told(value, question="?" if value is UNKNOWN else None) for value in values]


def filled(values: list[Answer]) -> list[list[Answer]]:
    """Every way in which the unknown values may turn out."""
    return [list(each) for each in itertools.product(*[[v] if v is not UNKNOWN else [YES, NO] for v in values])]


TABLE = {
    (YES, YES): "protected",
    (YES, NO): "missing",
    (YES, UNKNOWN): "unresolved",
    (UNKNOWN, YES): "protected",
    (UNKNOWN, NO): "unresolved",
    (UNKNOWN, UNKNOWN): "unresolved",
    (NO, YES): "not required",
    (NO, NO): "not required",
    (NO, UNKNOWN): "not required",
}


@pytest.mark.parametrize(("required", "shown"), list(TABLE))
def test_verdicts_follow_the_table(required: Answer, shown: Answer) -> None:
    assert verdict(required, shown) == TABLE[required, shown]


@given(answers, answers, answers)
def test_learning_never_reverses_a_verdict(required: Answer, shown: Answer, learned: Answer) -> None:
    before = verdict(UNKNOWN, shown)
    after = verdict(learned, shown)
    assert before == "unresolved" or after in (before, "not required")
    if verdict(required, UNKNOWN) == "not required":
        assert verdict(required, shown) == "not required"


@given(parts)
def test_and_or_are_what_every_outcome_agrees_on(values: list[Answer]) -> None:
    outcomes_and = {all(v is YES for v in each) for each in filled(values)}
    outcomes_or = {any(v is YES for v in each) for each in filled(values)}
    expect_and = UNKNOWN if len(outcomes_and) == 2 else (YES if True in outcomes_and else NO)
    expect_or = UNKNOWN if len(outcomes_or) == 2 else (YES if True in outcomes_or else NO)
    assert all_of(told(values)).answer is expect_and
    assert any_of(told(values)).answer is expect_or


@given(parts, st.integers(0, 5))
def test_an_unknown_more_never_gives_not_required(values: list[Answer], at: int) -> None:
    before = any_of(told(values)).answer
    veiled = [UNKNOWN if i == at % len(values) else v for i, v in enumerate(values)]
    after = any_of(told(veiled)).answer
    assert not (before is not NO and after is NO)
    assert any_of(told([*values, UNKNOWN])).answer is not NO


@given(parts, st.booleans())
def test_places_settle_only_what_all_of_them_say(values: list[Answer], whole: bool) -> None:
    found = agree(tuple(told(values)), doubt="it may be in either", whole=whole)
    agreed = len(values) > 1 and len(set(values)) == 1 and (values[0] is YES or (values[0] is NO and whole))
    assert found.answer is (values[0] if agreed else UNKNOWN)
    assert bool(found.question) == (found.answer is UNKNOWN)


def test_an_unknown_always_carries_its_question() -> None:
    assert any_of(told([NO, UNKNOWN])).question == "?"
    assert all_of(told([YES, UNKNOWN])).question == "?"
