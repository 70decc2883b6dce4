"""Nouns of circuits: panel schedules, drawn wiring, and the protection that a drawing shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from cordpath.model.basic import Answer, Point

# What may stand before the number of a circuit: CKT 4, CIRCUIT #12.  Common practice, no source.
CIRCUIT_WORD = r"(?:CKT|CCT|CIRCUIT|CIRC?)S?(?![A-Z])[ .:#-]*"


@dataclass(frozen=True)
class PanelRow:
    circuits: tuple[str, ...]  # ("12",) or ("1", "3") for two poles
    description: str
    poles: int | None
    amperes: float | None
    gfci: Answer
    afci: Answer
    text: str  # the row as read


@dataclass(frozen=True)
class Panel:
    """``headed``: without rows, though the headers of a table stand under its heading.  ``notes``: those under it
    that speak of many of its breakers."""

    name: str
    rows: tuple[PanelRow, ...]
    sheet: str
    problems: tuple[str, ...] = ()
    headed: bool = False
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Wiring:
    """Outlets that drawn wiring joins, with the homerun arrow that it leads to, where there is one.

    ``fed``: for every outlet whose place in the order of feeding is sure, the outlets between the homerun and it,
    nearest to the homerun first.  ``doubts``: for every other outlet why it is not.  ``perhaps``: without a tag,
    the circuits that stand at ends of its lines.  ``beside``: outlets of other wiring of which a loose
    end meets one of this: the two may be one.  ``lost``: it leads to no homerun, and where one of its lines
    goes was not found.
    """

    view: str | None
    outlets: tuple[str, ...]  # ids
    tag: str | None  # the circuit as written at the homerun
    fed: tuple[tuple[str, tuple[str, ...]], ...] = ()
    doubts: tuple[tuple[str, str], ...] = ()
    whole: bool = True  # one homerun and no loose end: the tag holds for all of its outlets
    claimed: Point | None = None  # a text nearer to the arrow than to the symbol of other wiring that it labels
    perhaps: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    lost: bool = False
    lines: tuple[tuple[Point, ...], ...] = ()  # the wires as drawn, page coordinates


@dataclass(frozen=True)
class Policy:
    """What a claim without proof counts for; ``ask`` makes it a question, ``missing`` nothing.

    ``same_circuit``: the outlet is on the circuit of a GFCI device, and the order of feeding is not drawn.
    ``general_note``: a note of the sheet claims protection for outlets of its kind.
    """

    same_circuit: Literal["ask", "missing"] = "ask"
    general_note: Literal["ask", "missing"] = "ask"


@dataclass(frozen=True)
class Conflict:
    """Two things on the drawing that cannot both be right, or a tag that leads nowhere."""

    what: str
    outlets: tuple[str, ...]  # ids


@dataclass(frozen=True)
class Step:
    """One device or breaker that a designer may choose.  ``at``: an outlet's id, or a circuit for a breaker."""

    kind: Literal["device", "breaker"]
    at: str
    protects: tuple[str, ...]  # ids of outlets, in reading order
    because: str
    assumes: str | None = None


@dataclass(frozen=True)
class Proposal:
    """The fewest devices and breakers for the outlets that miss protection; ``left``: (outlet id, why not)."""

    files: tuple[str, ...]
    steps: tuple[Step, ...]
    left: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Protection:
    """Is the outlet shown protected?  NO means *protection not shown*, never *violation*."""

    shown: Answer
    by: Literal["device", "breaker", "feed-through"] | None
    evidence: str | None
    circuit: str | None = None
    reasons: tuple[str, ...] = ()
