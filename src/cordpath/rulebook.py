"""How the rules in force are shown: a table for people on a terminal, plain lines for everything else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from cordpath.rules import Edition
from cordpath.rules.book import HEAD, Line, Paragraph

MARK_STYLES = {"changed": "bold yellow", "added": "bold green", "dropped": "strike dim"}
PLAIN_HEAD = ("mark", *HEAD[1:])
WIDE = 130  # columns of a terminal from which all columns of the table have room for words


def title(edition: Edition) -> str:
    """Edition, amendments and permit date in one line."""
    dated = f", permit date {edition.permit_date}" if edition.permit_date else ""
    return f"National Electrical Code, {edition.name}{dated}: GFCI protection in dwellings (210.8)"


def table(lines: tuple[Line, ...], edition: Edition, cautions: Iterable[str]) -> RenderableType:
    """The rules in force for a terminal, one table a part."""
    parts: list[RenderableType] = [Text(title(edition), style="bold")]
    for part, group in groupby(lines, key=lambda line: line.part):
        parts += [Text(""), _Part(part, tuple(group))]
    parts += [Text(f"note: {caution}", style="dim") for caution in cautions]
    return Group(*parts)


@dataclass(frozen=True)
class _Part:
    """The rules of one part, as the terminal has room: every fact in a column, or below one another."""

    name: str
    lines: tuple[Line, ...]

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        yield (_wide if options.max_width >= WIDE else _narrow)(self.name, self.lines)


def _narrow(part: str, lines: tuple[Line, ...]) -> Table:
    found = Table(title=part, title_justify="left", title_style="bold", box=None, pad_edge=False, expand=True,
                  show_header=False)  # fmt: skip
    found.add_column(style="bold", no_wrap=True)
    found.add_column(ratio=1, overflow="fold")
    for line in lines:
        scope = "; ".join(filter(None, (line.applies_to, line.volts and f"volts: {line.volts}",
                                        line.amperes and f"amperes: {line.amperes}")))  # fmt: skip
        what = Text.assemble((line.what, "bold"), f" ({line.mark})" if line.mark else "")
        told = [what, *(Text(text) for text in (scope, line.says, line.note) if text)]
        found.add_row(Text(line.cite), Text("\n").join(told), style=MARK_STYLES.get(line.mark, ""))
    return found


def _wide(part: str, lines: tuple[Line, ...]) -> Table:
    found = Table(title=part, title_justify="left", title_style="bold", box=None, pad_edge=False, expand=True)
    shown = [k for k, _ in enumerate(HEAD) if any(line.cells[k] for line in lines)]
    for k in shown:
        long = HEAD[k] in ("says", "what", "note")
        found.add_column(HEAD[k], overflow="fold", ratio={"says": 4, "what": 2, "note": 2}.get(HEAD[k]),
                         min_width=None if long else 8, style="bold" if HEAD[k] == "citation" else "")  # fmt: skip
    for line in lines:
        found.add_row(*(Text(line.cells[k]) for k in shown), style=MARK_STYLES.get(line.mark, ""))
    return found


def plain_table(lines: tuple[Line, ...]) -> Iterator[str]:
    """Tab-separated, with a head: for grep, awk and spreadsheets."""
    yield "\t".join(("part", *PLAIN_HEAD))
    for line in lines:
        yield "\t".join(" ".join(cell.split()) for cell in (line.part, *line.cells))


def entry(line: Line, paragraphs: tuple[Paragraph, ...], edition: Edition) -> RenderableType:
    """One rule in full."""
    what = line.what[:1].upper() + line.what[1:]
    parts: list[RenderableType] = [Text.assemble((f"{line.cite}  {what}", "bold"), f"  (NEC {edition.name})")]
    for paragraph in paragraphs:
        parts.append(Text(paragraph.heading, style="bold cyan"))
        parts += [Padding(Text(text), (0, 0, 0, 2)) for text in paragraph.lines]
    return Group(*parts, Text(""))


def plain_entry(line: Line, paragraphs: tuple[Paragraph, ...], edition: Edition) -> Iterator[str]:
    """The same, one line a thought."""
    yield f"{line.cite}  {line.what[:1].upper() + line.what[1:]}  (NEC {edition.name})"
    for paragraph in paragraphs:
        yield paragraph.heading
        yield from (f"  {text}" for text in paragraph.lines)
    yield ""
