"""What on the drawing contradicts itself about circuits: tags that lead nowhere, wiring that joins two circuits."""

from __future__ import annotations

from collections.abc import Iterator

from cordpath.circuits.protection import circuit_tags
from cordpath.circuits.sets import serving
from cordpath.circuits.tags import Tag, alike, bare_name, readings
from cordpath.model import Answer, Conflict, Outlet, Panel, Protection, Wiring


def conflicts(
    outlets: tuple[Outlet, ...],
    panels: tuple[Panel, ...],
    protections: tuple[Protection, ...],
    wiring: tuple[Wiring, ...] = (),
    elsewhere: tuple[Panel, ...] = (),
) -> tuple[Conflict, ...]:
    """Conflicts of a sheet, each once with all its outlets.  ``protections``: one an outlet, same order."""
    by_id = {outlet.id: outlet for outlet in outlets}
    found: dict[str, list[str]] = {}
    for what, who in (
        *_lost(outlets, panels, elsewhere),
        *_two_panels(outlets, panels),
        *_joined(wiring, by_id),
        *_twice(outlets, protections, panels),
    ):
        found.setdefault(what, []).extend(who)
    return tuple(Conflict(what, tuple(dict.fromkeys(who))) for what, who in found.items())


Told = tuple[str, tuple[str, ...]]


def _lost(outlets: tuple[Outlet, ...], panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...]) -> Iterator[Told]:
    """Tags that no panel schedule has, where schedules were read at all."""
    for outlet in outlets:
        for text in circuit_tags(outlet):
            serves = [panel for panel in serving((text,), panels, elsewhere) if panel.rows]
            ways = readings(text)
            if not serves or any(_held(way, serves) for way in ways):
                continue
            unread = [p.name for p in panels if not p.rows and any(w.panel == bare_name(p.name) for w in ways)]
            if not unread:
                yield f"circuit tag {text} is in no panel schedule that was read", (outlet.id,)


def _held(tag: Tag, panels: list[Panel]) -> bool:
    fit = [p for p in panels if tag.panel is None or bare_name(p.name) == tag.panel]
    return all(any(number in row.circuits for p in fit for row in p.rows) for number in tag.numbers)


def _two_panels(outlets: tuple[Outlet, ...], panels: tuple[Panel, ...]) -> Iterator[Told]:
    """A number tagged without a panel, while several panels have it."""
    for outlet in outlets:
        for text in circuit_tags(outlet):
            ways = readings(text)
            if not ways or any(way.panel is not None for way in ways):
                continue
            names = {p.name for p in panels if any(n in row.circuits for row in p.rows for n in ways[0].numbers)}
            if len(names) > 1:
                yield f"circuit {text} is in panels {', '.join(sorted(names))}: the tag names none", (outlet.id,)


def _joined(wiring: tuple[Wiring, ...], by_id: dict[str, Outlet]) -> Iterator[Told]:
    """Outlets of one drawn wiring whose tags differ from each other or from the homerun's."""
    for each in wiring:
        tags = {name: text for name in each.outlets if name in by_id for text in circuit_tags(by_id[name])}
        said = dict.fromkeys([*([each.tag] if each.tag else []), *tags.values()])
        distinct: list[str] = []
        for text in said:
            if not any(alike(text, other) for other in distinct):
                distinct.append(text)
        if len(distinct) > 1 and tags:
            who = tuple(each.outlets)
            yield f"drawn wiring joins outlets of different circuits: {', '.join(distinct)}", who


def _twice(
    outlets: tuple[Outlet, ...], protections: tuple[Protection, ...], panels: tuple[Panel, ...]
) -> Iterator[Told]:
    """Circuits that stand twice in a schedule with different marks."""
    for outlet, protection in zip(outlets, protections, strict=True):
        for text in circuit_tags(outlet):
            for way in readings(text)[:1]:
                rows = [
                    row
                    for panel in panels
                    if way.panel is None or bare_name(panel.name) == way.panel
                    for row in panel.rows
                    if way.numbers[0] in row.circuits
                ]
                if len({row.gfci for row in rows}) > 1 and protection.shown is Answer.UNKNOWN and way.panel:
                    yield f"the schedules differ about the breaker of circuit {way}", (outlet.id,)
