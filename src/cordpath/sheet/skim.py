"""A look at a page's text without reading its drawing, to tell which sheets are worth reading."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from cordpath import units
from cordpath.errors import UnreadablePage
from cordpath.sheet import opening

ENOUGH = 200  # letters of text; a page with fewer may have drawn lettering that only reading tells


def may_say(path: Path, page: int, texts: Iterable[str], password: str | None = None) -> bool:
    """False where the page has text and surely none of ``texts`` (letters and digits are compared).

    Raises UnreadableFile, LockedFile, UnreadablePage.
    """
    with opening.opened(path, password) as document:
        try:
            said = _letters(opening.load(document, page, path.name).get_text())
        except (RuntimeError, ValueError):
            return True
        finally:
            opening.complaints()
    return len(said) < ENOUGH or any(_letters(text) in said for text in texts)


def pages_that_say(
    path: Path, texts: Iterable[str], password: str | None = None, most: int = 200
) -> tuple[int, ...]:
    """Of the first ``most`` pages, those with any of ``texts`` (as :func:`may_say`) in their text.

    Pages that cannot be read, and drawn lettering, say nothing.  Raises UnreadableFile, LockedFile.
    """
    wanted = [_letters(text) for text in texts]
    found = []
    with opening.opened(path, password) as document:
        for page in range(1, min(int(document.page_count), most) + 1):
            try:
                said = _letters(opening.load(document, page, path.name).get_text())
            except (RuntimeError, ValueError, UnreadablePage):
                continue
            finally:
                opening.complaints()
            if any(text in said for text in wanted):
                found.append(page)
    return tuple(found)


def _letters(text: str) -> str:
    return re.sub(r"[^A-Z0-9]", "", units.plain(text))
