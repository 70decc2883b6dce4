"""Who protects an outlet, as far as the drawing shows, with the evidence.

Strongest first: the device itself (its symbol or a label), its breaker (circuit tag and panel schedule); what other
outlets tell is added in ``shown``.  NO means *protection not shown*, never *violation*.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from functools import reduce
from operator import and_

from cordpath.circuits.panels.headings import panel_name
from cordpath.circuits.panels.marks import MOST_POLES
from cordpath.circuits.tags import Tag, bare_name, readings, run_on
from cordpath.model import CIRCUIT_WORD, Answer, Outlet, Panel, PanelRow, Protection
from cordpath.units import plain

UNTAGGED = Protection(Answer.NO, None, None, None, ("no GFCI symbol, label or circuit tag is drawn at the outlet",))

# A circuit that feeds nothing; a SPARE BEDROOM is fed.
_IDLE = re.compile(
    r"\(?SPARES?(?: (?:BREAKER|BRKR|CIRCUIT|CKT\.?|GFC?I))*\)?|UNUSED|NOT (?:IN )?USED?|NOT CONNECTED"
    r"|DISCONNECTED|ABANDONED"
)
_UNSIGNED = re.compile(rf"(?:{CIRCUIT_WORD})?\(?([A-Z]+\d+)\)?")


def protection_of(outlet: Outlet, panels: tuple[Panel, ...], unread: str | None = None) -> Protection:
    """The protection shown for one outlet.  ``panels``: those of the whole set of sheets.

    ``unread``: the name of a panel that other tags speak of and whose schedule was not read.
    """
    tags = tuple(_as_written(tag, outlet) for tag in circuit_tags(outlet))
    circuit = circuit_of(tags, panels)
    own = _device(outlet, circuit)
    if own is not None and own.shown is Answer.YES and not (own.by == "breaker" and tags and panels):
        return own
    breaker = _breaker(tags, panels, circuit)
    plain = breaker.shown is Answer.NO and bool(tags and panels) and not _known(tags[0], panels)[0]
    if (plain or breaker.shown is Answer.YES) and (doubt := _other_panel(tags[0], panels, unread)):
        breaker = Protection(Answer.UNKNOWN, None, None, circuit, (doubt, breaker.evidence or ""))
    if own is not None and own.shown is Answer.YES:
        return own if breaker.shown is not Answer.NO else _against_schedule(own, breaker)
    if not tags and (doubtful := circuit_tags(outlet, "circuit_unsure")):
        breaker = _doubted(doubtful, panels)
    if breaker.shown is Answer.YES:
        return breaker
    if own is not None:  # that nothing is drawn there is not said where something is that was not understood
        told = () if breaker == UNTAGGED else breaker.reasons
        return Protection(Answer.UNKNOWN, None, None, circuit, (*own.reasons, *told))
    return breaker


def _against_schedule(own: Protection, breaker: Protection) -> Protection:
    """A label that tells of a GFCI breaker, where the schedule has a plain one for the circuit."""
    why = f"{own.evidence} tells of a GFCI breaker, and the panel schedule does not"
    return Protection(Answer.UNKNOWN, None, None, own.circuit, (why, *breaker.reasons))


def _device(outlet: Outlet, circuit: str | None) -> Protection | None:
    """What symbol and labels say about protection, None where they are silent."""
    symbol = outlet.symbol
    for label in symbol.labels:
        said = dict(label.sets).get("protection")
        if said in ("device", "breaker", "feed-through"):
            return Protection(Answer.YES, said, f"label '{label.text}' beside the symbol", circuit)
    drawn = symbol.entry.protection == "device"
    if drawn and symbol.found:
        return Protection(Answer.YES, "device", f"drawn as '{symbol.entry.name}'", circuit)
    unsure = symbol.fact("protection_unsure")
    if unsure:
        plain = unsure in (True, "device", "breaker", "feed-through")
        why = "a text near the symbol may mean GFCI protection" if plain else str(unsure)
        return Protection(Answer.UNKNOWN, None, None, circuit, (why,))
    if drawn:
        why = f"it may be a '{symbol.entry.name}', but its shape could not be settled"
        return Protection(Answer.UNKNOWN, None, None, circuit, (why, *symbol.reasons))
    return None


def circuit_tags(outlet: Outlet, fact: str = "circuit") -> tuple[str, ...]:
    """Every circuit tag at the symbol, once each; with ``circuit_unsure`` those that may belong to a neighbour."""
    told = [str(value) for label in outlet.symbol.labels for key, value in label.sets if key == fact]
    if not told and (value := outlet.symbol.fact(fact)) is not None:
        told = [str(value)]
    return tuple(dict.fromkeys(told))


def _as_written(tag: str, outlet: Outlet) -> str:
    """The tag as its label has it where no sign parts panel and circuit: A18 may be 18 of A, or 8 of A1."""
    for label in outlet.symbol.labels:
        found = _UNSIGNED.fullmatch(plain(label.text))
        if found and ("circuit", tag) in label.sets and found[1] == bare_name(tag):
            return found[1]
    return tag


def circuit_of(tags: tuple[str, ...], panels: tuple[Panel, ...]) -> str | None:
    """The circuit in one spelling, None without a tag or with several; as written where it fits several panels."""
    if len(tags) != 1:
        return None
    known, options = _known(tags[0], panels)
    if len(known) > 1:
        return tags[0]
    best = known or options
    return str(best[0]) if best else tags[0]


def _known(text: str, panels: tuple[Panel, ...]) -> tuple[tuple[Tag, ...], tuple[Tag, ...]]:
    """Readings of a tag that name a panel on the sheets, and all readings."""
    names = {bare_name(panel.name) for panel in panels if panel.name}
    options = readings(text)
    known = [tag for tag in options if tag.panel in names]
    plain = [tag for tag in options if tag.panel is None]
    if not known and plain and len({bare_name(panel.name) for panel in panels}) == 1:
        known = [*run_on(text, names), Tag(bare_name(panels[0].name) or None, plain[0].numbers)]
    return tuple(known), options


def _other_panel(text: str, panels: tuple[Panel, ...], unread: str | None) -> str | None:
    """Why a tag may be of a panel whose schedule was not read: ``3`` beside ``B-5``, ``L17`` where L1 was read."""
    known, options = _known(text, panels)
    if any(tag.panel is None for tag in options):
        if unread is None:
            return None
        return f"circuit tag '{text}' names no panel, and other tags name {unread}, which was not read"
    if known and known[0] != options[0] and text.strip(" ()[]#.").isalnum():
        return f"circuit tag '{text}' may mean {options[0]}, of a panel that was not read, or {known[0]}"
    return None


def unread_panel(tags: Iterable[str], panels: tuple[Panel, ...]) -> str | None:
    """A panel that tags name and of which there is no schedule; None where all are known or named by nobody."""
    names = {bare_name(panel.name) for panel in panels}
    ways = [readings(text) for text in tags]
    foreign = (each[0].panel for each in ways if each and not {way.panel for way in each} & {None, *names})
    return next(foreign, None)


def _breaker(tags: tuple[str, ...], panels: tuple[Panel, ...], circuit: str | None) -> Protection:
    if not tags:
        return UNTAGGED
    if len(tags) > 1:
        why = f"several circuit tags stand beside it: {', '.join(tags)}"
        return Protection(Answer.UNKNOWN, None, None, None, (why,))
    text = tags[0]
    if not panels:
        why = f"no panel schedule was read, so the breaker of circuit {circuit or text} cannot be seen"
        return Protection(Answer.NO, None, None, circuit, (why,))
    known, options = _known(text, panels)
    found = [(tag, rows) for tag in known if (rows := _rows(tag, panels)) is not None]
    if len(found) > 1 and any(_judged(*way, panels, circuit).shown is not Answer.NO for way in found):
        ways = " or ".join(str(tag) for tag, _ in found)
        return Protection(Answer.UNKNOWN, None, None, circuit, (f"circuit tag '{text}' may mean {ways}",))
    if not found:
        lost = _lost(text, known, options, panels)
        shown = Answer.NO if _is_plain_everywhere(options, panels) else Answer.UNKNOWN
        return Protection(shown, None, None, circuit, (lost,))
    tag, rows = found[0]
    told = _judged(tag, rows, panels, circuit)
    feeder = _feeder(tag, panels) if told.shown is Answer.NO else None
    if feeder is None:
        return told
    why = f"panel {tag.panel} may be fed from a GFCI breaker, which protects all of its circuits: {feeder.text}"
    return Protection(Answer.UNKNOWN, None, None, circuit, (why, *told.reasons))


def _is_plain_everywhere(options: tuple[Tag, ...], panels: tuple[Panel, ...]) -> bool:
    """Is a tag without a panel in one of several at least, and its breaker a plain one in each that has it?"""
    if {tag.panel for tag in options} != {None} or not all(panel.rows and not panel.problems for panel in panels):
        return False
    names = dict.fromkeys(bare_name(panel.name) for panel in panels)
    ways = [*(replace(options[0], panel=name) for name in names), *run_on(",".join(options[0].numbers), names)]
    found = [(tag, rows) for tag in ways if (rows := _rows(tag, panels)) is not None]
    told = [Answer.YES if _feeder(tag, panels) else _judged(tag, rows, panels, None).shown for tag, rows in found]
    return set(told) == {Answer.NO}


def _feeder(tag: Tag, panels: tuple[Panel, ...]) -> PanelRow | None:
    """A row of another panel with a GFCI breaker, whose load is the tag's panel: SUB-PANEL B."""
    others = (panel for panel in panels if bare_name(panel.name) != (tag.panel or ""))
    feeders = (row for panel in others for row in panel.rows if row.gfci is Answer.YES)
    named = ((row, panel_name(plain(row.description))) for row in feeders)
    return next((row for row, name in named if name and bare_name(name) == tag.panel), None)


def _doubted(tags: tuple[str, ...], panels: tuple[Panel, ...]) -> Protection:
    """Tags that may belong to a neighbour: they protect nothing, and clear up nothing unless no breaker is GFCI."""
    ways = [_breaker((tag,), panels, None) for tag in tags]
    why = f"whether its circuit tag is {' or '.join(tags)} is not sure"
    shown = Answer.NO if all(way.shown is Answer.NO for way in ways) else Answer.UNKNOWN
    return Protection(shown, None, None, None, (why, *(reason for way in ways for reason in way.reasons)))


def _of_name(tag: Tag, panels: tuple[Panel, ...]) -> list[Panel]:
    return [panel for panel in panels if bare_name(panel.name) == (tag.panel or "")]


def _rows(tag: Tag, panels: tuple[Panel, ...]) -> tuple[tuple[PanelRow, ...], ...] | None:
    """For each number of the tag the rows that hold it, in panels of that name; None where one has no row."""
    named = _of_name(tag, panels)
    rows = tuple(tuple(r for panel in named for r in panel.rows if number in r.circuits) for number in tag.numbers)
    return rows if all(rows) else None


def _lost(text: str, known: tuple[Tag, ...], options: tuple[Tag, ...], panels: tuple[Panel, ...]) -> str:
    if not options:
        return f"circuit tag '{text}' could not be read"
    if not known and all(tag.panel is None for tag in options):
        return f"circuit tag '{text}' names no panel, and there are several"
    best = known[0] if known else options[0]
    problems = [
        problem for panel in panels if bare_name(panel.name) == best.panel for problem in panel.problems
        if _explains(problem, best)
    ]  # fmt: skip
    note = f" ({problems[0]})" if problems else ""
    return f"circuit {best} is in no panel schedule{note}"


def _explains(problem: str, tag: Tag) -> bool:
    """May a problem of a panel be why a circuit was not found in it?  One of a row only, where it is of a breaker
    whose further poles the circuit may be."""
    if problem.startswith("a note "):
        return False
    of_row = re.match(r"circuit (\d+)\b", problem)
    numbers = [int(number) for number in tag.numbers if number.isdigit()]
    return of_row is None or any(0 < number - int(of_row[1]) <= 2 * (MOST_POLES - 1) for number in numbers)


def _judged(
    tag: Tag, rows: tuple[tuple[PanelRow, ...], ...], panels: tuple[Panel, ...], circuit: str | None
) -> Protection:
    """One answer from the rows of every circuit of the tag: all must be marked.

    Circuits of one row, as of a breaker of two poles, are told together.
    """
    together: dict[tuple[Answer, tuple[int, ...]], list[str]] = {}
    for number, same in zip(tag.numbers, rows, strict=True):
        together.setdefault((_agreed(same, tag, number, panels), tuple(map(id, same))), []).append(number)
    rows_of = dict(zip(tag.numbers, rows, strict=True))
    told = [_told(one, numbers, rows_of[numbers[0]], tag, panels) for (one, _), numbers in together.items()]
    answer = reduce(and_, (one for one, _ in told), Answer.YES)
    if answer is Answer.YES:
        return Protection(answer, "breaker", "; ".join(said for _, said in told), circuit)
    return Protection(answer, None, None, circuit, tuple(why for one, why in told if one is not Answer.YES))


def _told(
    one: Answer, numbers: list[str], rows: tuple[PanelRow, ...], tag: Tag, panels: tuple[Panel, ...]
) -> tuple[Answer, str]:
    """What the rows of some circuits of a tag come to when all schedules of its panel are heard, in words."""
    many, text = len(numbers) > 1, rows[0].text
    where = f"circuit{'s' if many else ''} {', '.join(numbers)}"
    where = f"panel {tag.panel} {where}" if tag.panel else where
    panel = f"panel {tag.panel or 'without a name'}"
    sheets = dict.fromkeys(p.sheet for p in panels for row in rows if any(row is r for r in p.rows))
    on = f" (sheet {', '.join(sheets)})" if sheets else ""
    if any(_of_two(number, tag, panels) for number in numbers):
        return Answer.UNKNOWN, f"{where}: schedules of {panel} differ, and not all have it"
    if one is not Answer.UNKNOWN and any(panel.headed for panel in _of_name(tag, panels)):
        return Answer.UNKNOWN, f"{where}: another schedule of {panel} could not be read: {text}"
    if one is Answer.YES and any(_IDLE.fullmatch(plain(row.description).strip()) for row in rows):
        return (
            Answer.UNKNOWN, f"{where} feeds nothing by its schedule: {text}: show which circuit the outlet is on"
        )  # fmt: skip
    if one is Answer.YES:
        return one, f"{where}: {text}{on}"
    if one is Answer.NO:
        return one, f"{where} show{'' if many else 's'} no GFCI breaker: {text}{on}"
    if len(rows) > 1:
        return one, f"{where} stand{'' if many else 's'} in the schedule more than once"
    return one, f"{where}: whether its breaker is GFCI cannot be read: {text}"


def _agreed(rows: tuple[PanelRow, ...], tag: Tag, number: str, panels: tuple[Panel, ...]) -> Answer:
    """Twice in one panel is unknown; a schedule repeated on another sheet must say the same."""
    if any(sum(number in row.circuits for row in panel.rows) > 1 for panel in _of_name(tag, panels)):
        return Answer.UNKNOWN
    answers = {row.gfci for row in rows}
    return answers.pop() if len(answers) == 1 else Answer.UNKNOWN


def _of_two(number: str, tag: Tag, panels: tuple[Panel, ...]) -> bool:
    """Does a circuit stand in one of two schedules of that name that are not of one panel (two units, old and new)?

    A schedule that goes on elsewhere repeats no circuit, and one that is repeated serves the same loads.
    """
    loads = [{c: row.description for row in p.rows for c in row.circuits} for p in _of_name(tag, panels)]
    holds = [each for each in loads if number in each]
    lacks = [each for each in loads if number not in each]
    return any(one[c] != other[c] for one in holds for other in lacks for c in one.keys() & other.keys())


def single_circuits(circuit: str | None) -> tuple[str, ...]:
    """``A-12,14`` as ``A-12`` and ``A-14``."""
    if circuit is None:
        return ()
    head, dash, numbers = circuit.rpartition("-")
    return tuple(f"{head}{dash}{number}" for number in numbers.split(","))


def question(mine: Protection, why: str) -> Protection:
    """Not known whether it is protected, for a reason that comes before those that there were."""
    return Protection(Answer.UNKNOWN, None, None, mine.circuit, (why, *mine.reasons))
