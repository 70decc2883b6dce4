"""The program: which command is called, and how it ends when it is refused or interrupted.

A command is loaded when it is called, inside the guard: the libraries take a second, and Ctrl-C may come then too.
"""

from __future__ import annotations

import errno
import os
import platform
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from difflib import get_close_matches
from importlib import import_module
from typing import Any

import click

from cordpath import __version__
from cordpath.errors import ConfigurationRefused, CordpathError

WRONG_CALL = 2  # exit status: the call or a configuration file is wrong
INTERRUPTED = 130  # exit status after Ctrl-C, by the shells' custom
COMMANDS = {  # in the order in which they are met
    "learn": "cordpath.commands.drawings",
    "check": "cordpath.commands.batches",
    "show": "cordpath.commands.drawings",
    "recheck": "cordpath.commands.batches",
    "compare": "cordpath.commands.batches",
    "rules": "cordpath.commands.rules",
    "explain": "cordpath.commands.rules",
}


class Commands(click.Group):
    """The commands by name; whatever one of them raises ends in one clear line and its exit status."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = getattr(import_module(COMMANDS[cmd_name]), f"{cmd_name}_command")
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            near = get_close_matches(args[0], COMMANDS, 1)
            if not near:
                raise
            told = f"No such command {args[0]!r}. Did you mean {near[0]!r}?"
            raise click.UsageError(told, ctx) from error

    def invoke(self, ctx: click.Context) -> Any:
        with _one_clear_error():
            return super().invoke(ctx)


def _versions(context: click.Context, _: click.Parameter, asked: bool) -> None:
    if asked:
        from cordpath.batch.keep import library_versions

        libraries = ", ".join(f"{name} {version}" for name, version in library_versions().items())
        click.echo(f"cordpath {__version__}\n{libraries}, Python {platform.python_version()}")
        context.exit()


EPILOG = """\b
Start with the sheets of one office:
  cordpath learn plans/ --out office
  cordpath check plans/ --symbols office/symbols.yaml

Each command has examples and its exit statuses under --help.
"""


@click.group(cls=Commands, epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_versions,
    help="Show the version of cordpath and of the libraries that it reads with.",
)
def main() -> None:
    """Find the outlets of house plans whose GFCI protection the code asks for and the drawing does not show."""


@contextmanager
def _one_clear_error() -> Iterator[None]:
    try:
        yield
    except ConfigurationRefused as error:
        _complain(str(error))
        sys.exit(WRONG_CALL)
    except CordpathError as error:
        _complain(f"cordpath: {error}")
        sys.exit(WRONG_CALL)
    except KeyboardInterrupt:
        with _deaf():
            click.echo("cordpath: stopped; nothing half-written was left behind", err=True)
        sys.exit(INTERRUPTED)
    except OSError as error:  # a full disk under standard output, say
        if error.errno == errno.EPIPE:  # whoever read along has enough
            raise
        _complain(f"cordpath: {error}")
        _drop_what_cannot_be_printed()
        sys.exit(WRONG_CALL)


def _complain(text: str) -> None:
    from cordpath.commands.said import complain  # loads rich, which a call that succeeds may not need

    complain(text)


@contextmanager
def _deaf() -> Iterator[None]:
    """Further interrupts are passed over: this one is being told."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _drop_what_cannot_be_printed() -> None:
    """Or Python would try again when it ends, and change the exit status."""
    try:
        sys.stdout.flush()
    except OSError:
        with suppress(OSError, ValueError):
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, sys.stdout.fileno())
