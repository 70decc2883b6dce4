"""A look at a page's text without reading its drawing, to tell which sheets are worth reading."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from cordpath import units
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


def _letters(text: str) -> str:
    return re.sub(r"[^A-Z0-9]", "", units.plain(text))
