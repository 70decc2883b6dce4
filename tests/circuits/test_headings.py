"""What a panel is called, by the heading over its schedule."""

from __future__ import annotations

import pytest

from cordpath.circuits.panels.headings import is_titled, panel_name


# Headings as US and Canadian schedules have them; DB is a distribution board; common practice, no source.
@pytest.mark.parametrize(
    ("heading", "name"),
    [("PANEL A", "A"), ("PANEL 'LP1' SCHEDULE", "LP1"), ("PANELBOARD LP-1 120/240V", "LP-1"),
     ("MAIN PANEL", "MAIN"),
     ("DB C", "C"), ("DB C SCHEDULE", "C"), ("DISTRIBUTION BOARD 'DB1'", "DB1"), ("PANEL SCHEDULE: B", "B"),
     ("DBL OVEN", None), ("DB", ""), ("KITCHEN", None)],
)  # fmt: skip
def test_the_name_in_a_heading(heading: str, name: str | None) -> None:
    """DB C had no title, and the tags C-1 of its outlets led to no schedule."""
    assert panel_name(heading) == name
    assert is_titled(heading) is ("SCHED" in heading)
