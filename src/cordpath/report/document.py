"""results.json: everything that was found, for programs.

Coordinates are page coordinates in points, lengths in feet, both rounded to hundredths (0.01 pt is 1/7200 inch on
paper, 0.01 ft an eighth of an inch in the building: finer than any drawing is).  The document holds no time stamp
and no chance order, so the same results give the same bytes.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

from cordpath.model import Learnt, Proposal, Run, SheetResult
from cordpath.report.atomic import write_whole
from cordpath.report.document_sheet import rounded, sheet_of
from cordpath.report.pdf.seals import Seal
from cordpath.report.rows import CAUTIONS
from cordpath.report.summary import Json, learnt_of, totals

FORMAT = "cordpath-results/1"


def results_document(
    results: tuple[SheetResult, ...], run: Run, proposals: tuple[Proposal, ...] = (),
    seals: Mapping[str, tuple[Seal, ...]] | None = None,
) -> Json:  # fmt: skip
    """The whole batch as plain dictionaries, lists, strings, finite numbers and None."""
    return {
        "format": FORMAT,
        "run": {
            **{key: plain(value) for key, value in sorted(run.extra.items())},
            "version": run.version,
            "code": {
                "edition": run.edition,
                "amendments": list(run.amendments),
                "permit_date": run.permit_date,
            },
            "symbols": run.symbols,
        },
        "totals": totals(results),
        "learnt": [_learnt(one) for one in learnt_of(results)],
        "signatures": [{"file": file, **seal.data} for file, each in (seals or {}).items() for seal in each],
        "sheets": [sheet_of(result) for result in results],
        "proposals": [_proposal(proposal) for proposal in proposals],
        "cautions": list(CAUTIONS),
    }


def _learnt(one: Learnt) -> Json:
    return {
        "name": one.name,
        "source": one.source,
        "file": one.file,
        "page": one.page,
        "box": rounded(one.box) if one.box else None,
        "marks": len(one.marks),
    }


def results_schema() -> Json:
    """The JSON Schema (draft 2020-12) that every results document validates against."""
    text = files("cordpath.report").joinpath("results.schema.json").read_text(encoding="utf-8")
    schema: Json = json.loads(text)
    return schema


def write_results(path: Path, document: Json) -> None:
    """Raises OutputRefused where the file cannot be written, ValueError for a number that JSON cannot hold."""

    def fill(part: Path) -> None:
        """In pieces: a thousand sheets are some 100 MB of text, which would lie in memory several times over."""
        with part.open("w", encoding="utf-8", newline="") as file:
            file.writelines(json.JSONEncoder(indent=1, ensure_ascii=False, allow_nan=False).iterencode(document))
            file.write("\n")

    write_whole(path, fill)


def plain(value: Any) -> Any:
    """Anything as JSON holds it: numbers finite and rounded, unknown types as text."""
    if value is None or isinstance(value, (bool, str, int)):
        return value
    if isinstance(value, float):
        return round(value, 4) if math.isfinite(value) else None
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    return str(value)


def _proposal(proposal: Proposal) -> Json:
    return {
        "files": list(proposal.files),
        "steps": [
            {
                "kind": step.kind,
                "at": step.at,
                "protects": list(step.protects),
                "because": step.because,
                "assumes": step.assumes,
            }
            for step in proposal.steps
        ],
        "left": [{"outlet": name, "why": why} for name, why in proposal.left],
    }
