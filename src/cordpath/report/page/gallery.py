"""Pictures of what was learnt from drawings, and of repeated shapes that nothing names, for the report page."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator
from html import escape

from cordpath.model import Mark, SheetResult
from cordpath.report.document_sheet import near
from cordpath.report.page.samples import picture, png
from cordpath.report.rows import names_apart
from cordpath.report.summary import learnt_of, unexplained_of

MOST = 60  # pictures of a kind: a report of hundreds of sheets stays readable; the results name all of them


def learnt_gallery(results: tuple[SheetResult, ...]) -> list[str]:
    """Symbols taken from legends and boxes, as they were looked for; empty where there are none."""
    items = [
        (one.marks, one.name, f"{'legend' if one.source == 'legend' else 'picked'}, {one.file} page {one.page}")
        for one in learnt_of(results)
    ]
    return _gallery("Symbols taken from drawings, as they were looked for", items)


def shape_gallery(results: tuple[SheetResult, ...]) -> list[str]:
    """Repeated shapes that the mapping file does not name, most frequent first on each sheet."""
    names = names_apart(results)
    items = [
        (
            item.marks,
            f"{names[result.file, result.page]}: drawn {item.count} times",
            ", ".join(near(item, result.reading)),
        )
        for result in results
        if result.reading is not None
        for item in unexplained_of(result)
        if item.marks
    ]
    return _gallery("Shapes that the mapping file does not name", items)


def _gallery(heading: str, items: list[tuple[tuple[Mark, ...], str, str]]) -> list[str]:
    if not items:
        return []
    more = f"<p>… and {len(items) - MOST} more; all are in the results file</p>" if len(items) > MOST else ""
    return [f"<h2>{escape(heading)}</h2>", "<div class=gallery>", *_figures(items[:MOST]), f"</div>{more}"]


def _figures(items: list[tuple[tuple[Mark, ...], str, str]]) -> Iterator[str]:
    for marks, name, where in items:
        data = b64encode(png(picture(marks))).decode("ascii")
        yield (
            f'<figure><img alt="{escape(name)}" src="data:image/png;base64,{data}">'
            f"<figcaption><b>{escape(name)}</b><br><small>{escape(where)}</small></figcaption></figure>"
        )
