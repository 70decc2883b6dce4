"""The commands about the code itself: rules and explain."""

from __future__ import annotations

import sys
from datetime import datetime

import click
from rich.console import Console

from cordpath import rulebook
from cordpath.commands.calls import Call
from cordpath.commands.configuration import in_force
from cordpath.commands.options import amend_option, code_option, permit_date_option, put_on
from cordpath.rules import edition_notes, explain, find_lines, load_edition, rule_lines

RULES_EPILOG = """\b
Examples:
  cordpath rules --code 2020
  cordpath rules --code 2023 --amend configs/amendments/utah-2023.yaml
  cordpath rules --code 2023 --permit-date 2026-10-15 | grep -i outdoor

Entries that an amendment changed, added or dropped are marked. Piped, the table is tab-separated.

\b
Exit status:
  0  told       2  the call or an amendment file is wrong
"""
EXPLAIN_EPILOG = """\b
Examples:
  cordpath explain "210.8(A)(8)"
  cordpath explain "210.8(F)" --code 2020 --permit-date 2026-10-15
  cordpath explain E3902.6 --code 2017 --amend configs/amendments/residential-numbering.yaml

\b
Exit status:
  0  told       2  no rule is cited so, or the call or an amendment file is wrong
"""


_code_options = put_on(code_option, amend_option, permit_date_option)


@click.command(
    "rules", cls=Call, epilog=RULES_EPILOG,
    short_help="List the rules in force, with their citations.",
)  # fmt: skip
@_code_options
def rules_command(code: str, amendments: tuple[str, ...], permit_date: datetime | None) -> None:
    """Print the rules in force, with their citations."""
    edition = in_force(code, amendments, permit_date)
    lines = rule_lines(edition, load_edition(code))
    if sys.stdout.isatty():
        Console(highlight=False).print(rulebook.table(lines, edition, edition_notes(edition)))
        return
    for line in rulebook.plain_table(lines):
        click.echo(line)
    for note in edition_notes(edition):
        click.echo(f"note: {note}", err=True)


@click.command(
    "explain", cls=Call, epilog=EXPLAIN_EPILOG,
    short_help="Tell one rule in full.",
)  # fmt: skip
@click.argument("citation")
@_code_options
def explain_command(citation: str, code: str, amendments: tuple[str, ...], permit_date: datetime | None) -> None:
    """Tell one rule: when it holds, its exceptions, how it is decided, and what the program cannot see."""
    edition = in_force(code, amendments, permit_date)
    lines = find_lines(citation, rule_lines(edition, load_edition(code)))
    for line in lines:
        told = explain(line, edition)
        if sys.stdout.isatty():
            Console(highlight=False).print(rulebook.entry(line, told, edition))
        else:
            click.echo("\n".join(rulebook.plain_entry(line, told, edition)))
