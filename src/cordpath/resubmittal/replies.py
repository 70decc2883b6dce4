"""Which drawing of the old review a marked copy with answers was made of.

A copy goes through mail and viewers and comes back under another name; its marks bear page and outlet.  It is known
by its name, or else by being the only drawing with all the outlets that were answered; what is neither is told.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path, PurePath

from cordpath.report import Answer, marked_stem
from cordpath.resubmittal.sheets import Json, sheets_of

OUTLET = re.compile(r".+\.\d+")  # other marks (unnamed shapes, what was not checked) are answered in words only


def of_drawings(
    copies: Iterable[tuple[Path, Sequence[Answer]]], before: Json
) -> tuple[tuple[Answer, ...], tuple[str, ...]]:
    """Answers with the file of the old review that they are about, and notes of copies without one."""
    outlets: dict[str, set[tuple[int, str]]] = {}
    for sheet in sheets_of(before):
        outlets.setdefault(sheet.data["file"], set()).update((place.page, place.outlet) for place in sheet.places)
    answers: list[Answer] = []
    notes: list[str] = []
    for path, said in copies:
        asked = {(answer.page, answer.outlet) for answer in said if OUTLET.fullmatch(answer.outlet)}
        named = [file for file in outlets if marked_stem(path.name) in _names(file)]
        fits = [file for file in named or outlets if asked <= outlets[file]]
        if len(fits) == 1:
            answers += [replace(answer, file=fits[0]) for answer in said]
            continue
        answers += said
        if asked:
            fit = f"fit {len(fits)} drawings" if fits else "fit no drawing"
            notes.append(f"the states in {path.name} {fit} of the old review and stand beside no finding; give the "
                         "copy that lies beside the old results, under its name there")  # fmt: skip
    return tuple(answers), tuple(notes)


def _names(file: str) -> tuple[str, str]:
    """Of its marked copy: its own, or with the folder in front where files are named alike."""
    stem, folder = marked_stem(file), PurePath(file.replace("\\", "/")).parent.name
    return stem, f"{folder.casefold()} {stem}"
