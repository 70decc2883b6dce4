"""The mapping file's entries as templates, one for each drawn size that they may have."""

from __future__ import annotations

import math

from cordpath.model import POINTS_PER_INCH, Mapping, Mark, SymbolEntry
from cordpath.symbols.examples.examples import Examples
from cordpath.symbols.templates.template import Template, make

STEP = 1.25  # a template serves sizes within this factor; wider ranges are split
FREE = (0.4, 2.5)  # sizes tried for an entry that nothing was found of: prints from a quarter size to A4 on A1
SMALLEST = 1.2  # pt of body radius under which nothing can be told on a plotter's grid


def templates_of(
    mapping: Mapping, examples: Examples, ratios: tuple[float, ...]
) -> tuple[tuple[Template, ...], list[str]]:
    """Templates of all entries with marks, and notes on entries that cannot be looked for."""
    out: list[Template] = []
    notes: list[str] = []
    for entry in mapping.symbols:
        marks = marks_of(entry, examples)
        if not marks:
            continue
        if entry.size == "plotted":
            out += sized(entry, marks, None, entry.scales)
            if entry.shape is None and entry.name in examples.lettered:
                out += sized(entry, examples.lettered[entry.name], None, entry.scales)
            continue
        for ratio in ratios:
            made = sized(entry, marks, ratio, entry.scales)
            if not made:
                notes.append(f"{entry.name} is too small to be told at 1:{ratio:g}")
            out += made
    return tuple(out), notes


def marks_of(entry: SymbolEntry, examples: Examples) -> tuple[Mark, ...]:
    """The entry's shape, or the marks of its example; empty where there is none."""
    return entry.shape if entry.shape is not None else examples.marks(entry.name)


def sized(
    entry: SymbolEntry, marks: tuple[Mark, ...], ratio: float | None, scales: tuple[float, float]
) -> list[Template]:
    """Templates that together serve the sizes ``scales``."""
    base = POINTS_PER_INCH / (ratio or 1.0)
    low, high = scales
    parts = max(1, math.ceil(math.log(high / low) / math.log(STEP) - 1e-9))
    factor = (high / low) ** (1 / parts)
    out = []
    for k in range(parts):
        least, most = low * factor**k, low * factor ** (k + 1)
        middle = 1.0 if least <= 1.0 <= most and most / least < 1.2 else math.sqrt(least * most)
        template = make(entry, marks, base * middle, least / middle, most / middle, ratio)
        if template.text_only and k:
            break  # letters have the size of their font, not of the template
        if template.text_only or template.radius >= SMALLEST:
            out.append(template)
    return out


def free_templates(
    mapping: Mapping, examples: Examples, seen: set[str], sizes: tuple[float, float] = FREE, *, weak: bool = False
) -> list[Template]:
    """Templates for plotted entries that nothing was found of: of any size, weak shapes left out; or of weak shapes
    only, for ``sizes`` that other outlets tell."""
    out = []
    for entry in mapping.symbols:
        lettered = examples.lettered.get(entry.name, ()) if entry.shape is None else ()
        for marks in (marks_of(entry, examples), lettered):
            if entry.size != "plotted" or entry.name in seen or not marks:
                continue
            own = make(entry, marks, POINTS_PER_INCH, 1.0, 1.0, None)
            if not own.text_only and bool(own.weak_body) == weak:
                out += sized(entry, marks, None, sizes)
    return out
