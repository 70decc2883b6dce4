"""One error root; every leaf says what happened, where, and what to do next.

Errors of other libraries are translated at the boundary where that library is called, so that the rest of
the program and the user only meet these.
"""

from __future__ import annotations

from dataclasses import dataclass


def printable(text: str) -> str:
    """Names and messages of strangers, without anything that steers a terminal, breaks a line or is no text."""
    return "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)


class CordpathError(Exception):
    """Anything that cordpath tells its user about.

    ``str(error)`` is the whole message on one line; ``cure`` is the part that says what to type or change.
    """

    def __init__(self, what: str, *, where: str = "", cure: str = "") -> None:
        what = "\n".join(map(printable, what.split("\n")))  # other libraries' words may be no text
        self.what, self.where, self.cure = what, where, cure
        head = f"{where}: {what}" if where else what
        super().__init__(f"{head}; {cure}" if cure else head)

    def __reduce__(self) -> tuple[object, tuple[object, ...]]:
        # Exceptions cross process borders; keyword arguments would be lost by the default pickling.
        return _rebuild, (type(self), self.what, self.where, self.cure)


def _rebuild(kind: type[CordpathError], what: str, where: str, cure: str) -> CordpathError:
    return kind(what, where=where, cure=cure)


class UnreadableFile(CordpathError):
    """A file that cannot be opened or parsed: missing, damaged, not a PDF."""


class LockedFile(CordpathError):
    """An encrypted PDF for which no password was given."""


class UnreadablePage(CordpathError):
    """A page with nothing to check in it: empty, raster only, or damaged in its content."""


class NestedTooDeep(UnreadablePage):
    """A page whose parts lie in one another deeper than the PDF library can follow: nothing that the library does
    in this process afterwards is sound."""


class OutputRefused(CordpathError):
    """An output that would overwrite an input, or cannot be written whole."""


class UsageRefused(CordpathError):
    """A call that cannot be carried out as it was typed (exit status 2)."""


@dataclass(frozen=True, order=True)
class Fault:
    """One fault of a configuration file.  ``line`` and ``column`` count from 1."""

    file: str
    line: int
    column: int
    what: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}: {self.what}"


class ConfigurationRefused(CordpathError):
    """A mapping, edition or amendment file with faults: all of them at once, one line each."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = tuple(sorted(faults))
        super().__init__("\n".join(str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[object, tuple[object, ...]]:
        return ConfigurationRefused, (self.faults,)


def unreadable(error: Exception) -> CordpathError:
    """Any exception as an error of ours: a defect of the program is that sheet's failure, not the batch's."""
    if isinstance(error, CordpathError):
        return error
    return UnreadablePage(
        f"the program failed on this sheet ({type(error).__name__}: {error})",
        cure="please report it with the sheet, or with a cut of it that still fails",
    )
