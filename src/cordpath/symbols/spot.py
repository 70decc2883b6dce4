"""The mapped symbols of a sheet: from templates and loose strokes to symbols, labels and what is left over.

Each step takes what the steps before it found, adds to it and keeps its own notes for the reader of the report:
where symbols may be (``candidates.py``), which is meant (``winners.py``), which of them are devices of the plan
(``devices.py``), what is written beside them (``labels.py``) and what nothing accounts for (``remainder.py``).
"""

from __future__ import annotations

from cordpath.model import Mapping, Scale, Sheet, Spotting
from cordpath.symbols.candidates import candidates_of, sought_on
from cordpath.symbols.devices import devices_of, labelled
from cordpath.symbols.examples.examples import NO_EXAMPLES, Examples, unlearnt
from cordpath.symbols.letters.glyphs import GlyphReader
from cordpath.symbols.remainder import remainder_of
from cordpath.symbols.winners import winners_of


def spot(
    sheet: Sheet,
    mapping: Mapping,
    scales: tuple[Scale, ...],
    examples: Examples = NO_EXAMPLES,
    read: GlyphReader | None = None,
) -> Spotting:
    """All mapped symbols of the sheet, settled or not, with their labels and edges.

    ``scales``: one a view; symbols in their real size are looked for in views that can be measured, and elsewhere
    at a ratio that fixtures agree on.
    ``examples``: marks of entries that are ``picked`` or taken from a ``legend``.
    ``read`` tells letters from their strokes; without it letters that are drawn and not among the words are doubts.
    """
    sought = sought_on(sheet, mapping, scales, examples, read)
    candidates = candidates_of(sought)
    winners = winners_of(candidates, sought)
    devices = devices_of(winners, sought)
    symbols = labelled(devices, sought)
    rest = remainder_of(symbols, devices, winners, candidates, sought)
    steps = (examples, sought, candidates, winners, devices, symbols, rest)
    notes = tuple(dict.fromkeys(note for step in steps for note in step.notes))
    return Spotting(rest.symbols, rest.told, notes, examples.learnt, unlearnt(mapping, examples),
                    candidates.against)  # fmt: skip
