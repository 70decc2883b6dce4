"""Names that end in a dot, as RECEPT. does, end the sentence too."""

from __future__ import annotations

from tests.rules.records import finding, room


def test_a_name_that_ends_in_a_dot_gets_no_second_one() -> None:
    found = finding(rooms=room("bathroom"), found=False, rivals=("GFCI RECEPT.",))
    assert any(reason.endswith("GFCI RECEPT.") for reason in found.reasons)
    assert not any(".." in reason for reason in found.reasons)
