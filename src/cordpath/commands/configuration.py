"""What a call is to be judged by: the mapping file, the editions with their amendments, and the run's own data."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

from cordpath import __version__
from cordpath.check import load_mapping
from cordpath.commands.options import day_of
from cordpath.commands.said import complain
from cordpath.errors import CordpathError
from cordpath.model import Mapping, Run
from cordpath.rules import Edition, amend, dated, load_amendment, load_edition


def configuration(
    symbols: str, years: tuple[str, ...], amendments: tuple[str, ...], permit_date: datetime | None
) -> tuple[Mapping, tuple[Edition, ...]]:
    """Mapping and editions in force; the faults of all files are told at once.  Raises CordpathError."""
    faults: dict[str, CordpathError] = {}
    mapping: Mapping | None = None
    try:
        mapping = load_mapping(Path(symbols))
    except CordpathError as error:
        faults[str(error)] = error
    editions = []
    for year in years:
        try:
            edition = _dated(year, permit_date)
        except CordpathError as error:
            faults[str(error)] = error
            continue
        for file in amendments:
            try:
                edition = amend(edition, load_amendment(Path(file)))
            except CordpathError as error:
                faults[str(error)] = error
        editions.append(edition)
    if mapping is None or faults:
        for text in list(faults)[:-1]:
            complain(text)
        raise list(faults.values())[-1]
    return mapping, tuple(editions)


def in_force(code: str, amendments: tuple[str, ...], permit_date: datetime | None) -> Edition:
    """The edition with its amendments; raises what their files are refused for."""
    edition = _dated(code, permit_date)
    for file in amendments:
        edition = amend(edition, load_amendment(Path(file)))
    return edition


def _dated(year: str, permit_date: datetime | None) -> Edition:
    day, edition = day_of(permit_date), load_edition(year)
    return edition if day is None else dated(edition, day)


def run_of(code: str, amendments: tuple[str, ...], symbols: str, permit_date: datetime | None) -> Run:
    day = day_of(permit_date)
    read = {"amendments_sha256": [sha256(Path(file).read_bytes()).hexdigest() for file in amendments]}
    return Run(__version__, code, tuple(amendments), symbols, read, str(day) if day else None, today())


def today() -> str:
    """The day in UTC; that of SOURCE_DATE_EPOCH where outputs are to be made again with the same bytes.

    Source: https://reproducible-builds.org/specs/source-date-epoch/
    """
    stated = os.environ.get("SOURCE_DATE_EPOCH", "")
    fixed = stated.isascii() and stated.isdigit() and len(stated) < 12
    return str((datetime.fromtimestamp(int(stated), UTC) if fixed else datetime.now(UTC)).date())
