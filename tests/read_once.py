"""Sheets that are committed, read once in a process: the real plan takes seconds, and many tests look at it."""

from __future__ import annotations

import functools
from pathlib import Path

from cordpath.model import Sheet
from cordpath.sheet import read_sheet

SAMPLES = Path(__file__).parent.parent / "sample_plans"
REAL = Path(__file__).parent / "data" / "real_house_plan.pdf"


@functools.cache
def real_plan() -> Sheet:
    """The real house plan of tests/data."""
    return read_sheet(REAL, 1)


@functools.cache
def sample(stem: str) -> Sheet:
    """The first page of a sample plan."""
    return read_sheet(SAMPLES / f"{stem}.pdf", 1)
