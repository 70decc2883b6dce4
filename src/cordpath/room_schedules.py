"""The room schedule that serves a sheet: its own, and those on other pages of its file."""

from __future__ import annotations

from pathlib import Path

from cordpath.errors import CordpathError
from cordpath.model import ScheduledRoom, Sheet
from cordpath.rooms import TITLES, merged, read_schedule, shows_marks
from cordpath.sheet import pages_that_say, read_sheet


def schedule_for(sheet: Sheet, path: Path, password: str | None = None) -> tuple[ScheduledRoom, ...]:
    """What the room schedules of the file list; other pages are read only for a sheet that shows numbers.

    A page that cannot be read is told where it is read for itself.
    """
    own = read_schedule(sheet)
    if not shows_marks(sheet):
        return own
    others = []
    for page in pages_that_say(path, TITLES, password):
        if page != sheet.page:
            try:
                others.append(read_schedule(read_sheet(path, page, password)))
            except CordpathError:
                continue
    return merged(own, *others)
