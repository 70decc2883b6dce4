"""Reasons are told once, and no name that is cut short gets a second full stop."""

from __future__ import annotations

from cordpath.report.rows import full_stop, told_once


def test_a_doubt_and_the_sentence_made_of_it_are_one_reason() -> None:
    told = told_once(("Only 87% of it is drawn here.", "Is it new?", "only 87% of it is drawn here"))
    assert told == ["Only 87% of it is drawn here.", "Is it new?"]


def test_a_name_that_ends_in_a_dot_ends_the_sentence() -> None:
    assert full_stop("DUPLEX RECEPT.") == "DUPLEX RECEPT."
    assert full_stop("duplex in KITCHEN") == "duplex in KITCHEN."
