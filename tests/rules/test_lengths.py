"""Lengths that a dimension states, and lengths in space, as the judge takes them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.rules.records import NOT_SHOWN, fixture, reading

from cordpath.model import Finding
from cordpath.rules import judge, load_edition


def judged(feet: float, loose: float = 0.1, **told: object) -> Finding:
    read = reading(fixtures=(fixture("sink", feet),), loose=loose)
    path = replace(read.paths[0], **told)  # type: ignore[arg-type]
    (found,) = judge(replace(read, paths=(path,)), (), (NOT_SHOWN,), load_edition("2023"))
    return found


@pytest.mark.parametrize(("space", "verdict"), [(5.5, "missing"), (6.05, "unresolved"), (6.5, "not required")])
def test_the_length_in_space_decides_where_it_is_known(space: float, verdict: str) -> None:
    found = judged(5.4, length_3d_ft=space)
    assert found.verdict == verdict
    for asked in found.requirements:
        assert asked.distance_ft == space
        assert "heights counted" in asked.because
        assert "unless an elevation" not in asked.because


def test_a_figured_length_is_named_as_such() -> None:
    (asked,) = judged(4.0, figured=True).requirements
    assert "by a dimension on the drawing" in asked.because
    (asked,) = judged(6.0, figured=True).requirements
    assert asked.question is not None
    assert asked.question.startswith("Confirm the dimension")
