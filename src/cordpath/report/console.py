"""The batch at a glance on a terminal: one row a sheet, totals, what to do next."""

from __future__ import annotations

from collections import Counter
from pathlib import PurePath

from rich.box import SIMPLE_HEAD
from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from cordpath.model import Proposal, SheetResult, runs
from cordpath.report.proposals import proposed
from cordpath.report.rows import count_verdicts, sheet_name
from cordpath.report.summary import Json, places_unexplained, scales_told, totals

STATUS_STYLES = {"checked": "", "skipped": "dim", "failed": "bold red"}
SHORT_CAUTIONS = (
    "A check of the drawing only. The adopted code, the authority having jurisdiction and licensed practice decide."
)
COLUMNS = ("sheet", "status", "scale", "outlets", "missing", "protected", "not required", "unresolved")
PROPOSALS_MOST = 5  # lines of them on a terminal; the page has them all
SHEET_MOST = 12  # characters of a file's name that an 80 column terminal has room for; longer ones wrap
SKIPPED_MOST = 5  # rows of skipped pages of one file: a book of specifications has hundreds
NUMBERS = frozenset(COLUMNS[3:])
NEXT_OF_STOPPED = (
    "Next: run the same command with --resume; it reads the sheets that were not reached, and keeps what was done."
)
WHERE = "its last pages, or the schedule beside it, list"


def console_tables(
    results: tuple[SheetResult, ...], proposals: tuple[Proposal, ...] = (), stopped: bool = False
) -> tuple[RenderableType, ...]:
    """Renderables for a rich console, in the order to print them.  Text of a drawing is never read as markup.

    ``stopped``: the batch was interrupted, and the rest of it is still to be done.
    """
    counts = totals(results)
    headings = [Text(f"{heading}; see report.html.") for heading, _ in proposed(proposals)]
    if len(headings) > PROPOSALS_MOST:
        more = len(headings) - PROPOSALS_MOST + 1
        headings[PROPOSALS_MOST - 1 :] = [Text(f"Proposals for {more} more submittals; see report.html.")]
    return (
        _table(results, counts),
        *_reasons(results),
        *headings,
        *(Text(line) for line in open_things(results)),
        Text(NEXT_OF_STOPPED if stopped else next_step(counts)),
        Text(SHORT_CAUTIONS, style="dim"),
    )


def open_things(results: tuple[SheetResult, ...]) -> tuple[str, ...]:
    """One line on what hangs on no outlet that was found, and would not be seen among verdicts."""
    places = sum(map(places_unexplained, results))
    against = sum(len(result.conflicts) for result in results)
    said = [f"{places} place{'s' if places > 1 else ''} that nothing accounts for"] if places else []
    said += [f"{against} contradiction{'s' if against > 1 else ''} about circuits"] if against else []
    return (f"Also: {' and '.join(said)}; see report.html.",) if said else ()


def next_step(counts: Json) -> str:
    """What the reader should do with these totals, worst first."""
    if counts["failed"]:
        return "Next: see why sheets failed, above; outlets on them are not checked, or not all of them."
    if counts["missing"]:
        return f"Next: open the marked PDF; {WHERE} every outlet that is missing protection."
    if counts["unresolved"]:
        return f"Next: open the marked PDF; {WHERE} the questions that a person has to answer."
    if not counts["checked"]:
        return "Next: no sheet was checked; see the reasons above."
    if not counts["outlets"]:
        return "Next: no outlet was found; see whether the mapping file describes the symbols of these sheets."
    if counts["unexplained"]:
        return (
            "Next: look at the shapes that nothing accounts for; they are listed in the marked PDF and the results."
        )
    return "Next: nothing is missing and nothing is open on the sheets that were checked."


def _table(results: tuple[SheetResult, ...], counts: Json) -> Table:
    """Fits a terminal of 80 columns: the counts keep their width, names and scales wrap."""
    table = Table(
        box=SIMPLE_HEAD, show_edge=False, show_footer=True, header_style="bold", footer_style="bold", padding=0
    )
    names = file_names({result.file for result in results})
    long = any(len(name) > SHEET_MOST for name in (*names.values(), *map(sheet_name, results)))
    for name in COLUMNS:
        foot = {"sheet": "total", "status": "", "scale": ""}.get(name, str(counts.get(name, "")))
        table.add_column(
            name.replace(" ", "\n"), foot, justify="right" if name in NUMBERS else "left", overflow="fold",
            no_wrap=name != "scale" and not (name == "sheet" and long), vertical="top",
        )  # fmt: skip
    skipped = Counter(result.file for result in results if result.status == "skipped")
    for result in results:
        if result.status != "skipped" or skipped[result.file] <= SKIPPED_MOST:
            table.add_row(*_cells(result, names[result.file]), style=STATUS_STYLES[result.status])
    for file, count in skipped.items():
        if count > SKIPPED_MOST:
            name = f"{count} pages\n{names[file]}".strip()
            table.add_row(Text(name), Text("skipped"), style=STATUS_STYLES["skipped"])
    return table


def file_names(files: set[str]) -> dict[str, str]:
    """How each file is named in front of its sheets: not at all for one file, by its stem where that tells it."""
    if len(files) < 2:
        return dict.fromkeys(files, "")
    stems = {file: PurePath(file.replace("\\", "/")).stem for file in files}
    often = Counter(stems.values())
    return {file: stem if often[stem] == 1 else file for file, stem in stems.items()}


def _cells(result: SheetResult, file: str) -> tuple[Text, ...]:
    name = f"{sheet_name(result)}\n{file}".strip()
    if result.reading is None or not result.judged:
        return (Text(name), Text(result.status), *(Text("") for _ in COLUMNS[2:]))
    counts = count_verdicts((result,))
    verdicts = [_count(counts["missing"], "bold red"), _count(counts["protected"]), _count(counts["not required"]),
                _count(counts["unresolved"], "bold yellow")]  # fmt: skip
    return (
        Text(name),
        Text(result.status),
        Text(scales_told(result.reading, brief=True)),
        Text(str(sum(counts.values()))),
        *verdicts,
    )


def _count(count: int, style: str = "") -> Text:
    return Text(str(count), style=style if count else "dim")


def _reasons(results: tuple[SheetResult, ...]) -> tuple[Text, ...]:
    """Why sheets were not checked, one line for all pages of a file that share the reason."""
    pages: dict[tuple[str, str, str], list[int]] = {}
    for result in results:
        if result.status != "checked":
            key = (result.file, result.status, result.why or "no reason was given")
            pages.setdefault(key, []).append(result.page)
    return tuple(Text(f"{file} {_pages(each)}: {status}: {why}") for (file, status, why), each in pages.items())


def _pages(numbers: list[int]) -> str:
    """Pages in order as runs: ``pages 1-4, 7``."""
    said = ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs(sorted(numbers)))
    return f"page{'' if len(numbers) == 1 else 's'} {said}"
