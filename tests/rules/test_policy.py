"""The policy of an amendment: what claims without proof count for."""

from __future__ import annotations

import pytest

from cordpath.errors import ConfigurationRefused
from cordpath.model import Policy
from cordpath.rules import amend, load_edition
from cordpath.rules.load import parse_amendment

HEAD = "cordpath: 1\namendment: Millbrook order 3\n"


def test_the_default_asks() -> None:
    assert load_edition("2023").policy == Policy("ask", "ask")


def test_a_policy_is_kept_and_told() -> None:
    text = HEAD + "policy: {same_circuit: missing}\n"
    edition = amend(load_edition("2023"), parse_amendment(text, "a.yaml"))
    assert edition.policy == Policy("missing", "ask")
    assert any("Millbrook order 3" in said and "not shown protected" in said for said in edition.cautions)


def test_a_later_amendment_wins_by_the_key() -> None:
    first = parse_amendment(HEAD + "policy: {same_circuit: missing, general_note: missing}\n", "a.yaml")
    later = parse_amendment(HEAD + "policy: {general_note: ask}\n", "b.yaml")
    assert amend(amend(load_edition("2020"), first), later).policy == Policy("missing", "ask")


@pytest.mark.parametrize("policy", ["{same_circuit: never}", "{same: ask}", "ask", "{general_note: [ask]}"])
def test_anything_else_is_refused(policy: str) -> None:
    with pytest.raises(ConfigurationRefused) as caught:
        parse_amendment(HEAD + f"policy: {policy}\n", "a.yaml")
    assert "policy" in str(caught.value)
