"""The day of a review is today's, or the one that a reproducible build states."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from cordpath.commands.configuration import today


def test_the_day_is_that_of_the_clock_in_utc(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    before, day, after = datetime.now(UTC).date(), today(), datetime.now(UTC).date()
    assert day in (str(before), str(after))


@pytest.mark.parametrize(("stated", "day"), [("0", "1970-01-01"), ("1770076800", "2026-02-03")])
def test_a_stated_day_is_taken(monkeypatch: pytest.MonkeyPatch, stated: str, day: str) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", stated)
    assert today() == day


@pytest.mark.parametrize("stated", ["", "-5", "soon", "9" * 40, "²"])
def test_what_is_no_time_is_passed_over(monkeypatch: pytest.MonkeyPatch, stated: str) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", stated)
    assert today() >= "2026"
