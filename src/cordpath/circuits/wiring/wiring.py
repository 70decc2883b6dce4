"""Drawn wiring, followed from symbol to symbol to the homerun arrow.

The order of feeding is sure only along a group that is a tree with one homerun, without loose ends, up to the first
outlet at which it branches.  Everything else keeps its doubt, in words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely

from cordpath.circuits.tags import alike
from cordpath.circuits.wiring.arrows import Heads
from cordpath.circuits.wiring.groups import Group, joined, meet
from cordpath.circuits.wiring.homeruns import tag_at, tags_near
from cordpath.circuits.wiring.line import Line, as_point, way_at_end
from cordpath.circuits.wiring.meeting import ends_on
from cordpath.circuits.wiring.order import beyond_legs, order_of
from cordpath.circuits.wiring.unclaimed import Arrow, unclaimed
from cordpath.circuits.wiring.wires import drawn_lines
from cordpath.geometry import components
from cordpath.model import FIXTURE_KINDS, Outlet, Point, Sheet, Symbol, Wiring

_Tag = tuple[str | None, str | None, Point | None, tuple[str, ...]]  # as homeruns.tag_at tells it
_NO_TAG: _Tag = (None, None, None, ())


@dataclass(frozen=True)
class _Drawing:
    """What is drawn around the groups of a sheet.  ``loose``: lines that end at nothing; ``pens`` of the wires."""

    sheet: Sheet
    devices: tuple[Symbol, ...]
    names: dict[int, str]  # of the outlets among the devices
    loose: list[Line]
    tips: list[Point]
    arrows: list[Arrow]
    pens: set[tuple[float, ...]]

    def tag(self, line: Line) -> _Tag:
        """The circuit at the far end of a line, as tag_at tells it."""
        return tag_at(*_far_end(line), self.sheet, self._others(line), self.tips)

    def circuits(self, lines: Iterable[Line]) -> set[str]:
        """The circuits that are written at the far ends of lines that are no wires."""
        ends = (tags_near(*_far_end(line), self.sheet, self._others(line), self.tips) for line in lines)
        return {tag for tags in ends for tag in tags}

    def _others(self, line: Line) -> list[Symbol]:
        return [symbol for k, symbol in enumerate(self.devices) if k != line.a]


def trace(sheet: Sheet, symbols: tuple[Symbol, ...], outlets: tuple[Outlet, ...]) -> tuple[Wiring, ...]:
    """The wiring of a sheet: one entry a group with an outlet that has a homerun, or perhaps one, or joins outlets.

    ``outlets``: those of ``symbols`` that are outlets, under their ids.
    """
    devices = tuple(symbol for symbol in symbols if symbol.kind not in FIXTURE_KINDS)
    ids = {id(outlet.symbol): outlet.id for outlet in outlets}
    names = {k: ids[id(symbol)] for k, symbol in enumerate(devices) if id(symbol) in ids}
    if not names:
        return ()
    heads = Heads.of(sheet, sheet.strokes.xy[sheet.strokes.ink()], devices)
    lines = drawn_lines(sheet, symbols, devices, heads)
    groups = joined(lines, len(devices))
    loose = [line for line in lines if line.b is None and line.tip is None and line.text is None]
    tips = [line.tip for line in lines if line.tip is not None]
    meet(groups, devices)
    pens = {line.pen for group in groups for line in group.drawn}
    read = _without_own_letters(sheet, devices)
    arrows = unclaimed(read, devices, heads, tips)
    drawing = _Drawing(read, devices, names, loose, tips, arrows, pens)
    found = [_wiring(group, drawing) for group in groups]
    links = np.array([(k, j) for k, group in enumerate(groups) for j in group.beside], np.int64).reshape(-1, 2)
    # What may be one with another may be one with all that this one may be one with.
    _, one = components(links[:, 0], links[:, 1], len(groups))
    return tuple(
        part
        for k, wiring in enumerate(found)
        if wiring is not None
        for part in _parted(
            _with_others(wiring, [found[j] for j in np.flatnonzero(one == one[k]).tolist() if j != k]),
            frozenset(names[j] for j in beyond_legs(groups[k], names)) if wiring.tag else frozenset(),
        )
    )


def _without_own_letters(sheet: Sheet, devices: tuple[Symbol, ...]) -> Sheet:
    """The sheet without the letters of its symbols: the S3 of a three-way switch is no circuit."""
    lettered = [symbol for symbol in devices if symbol.found and symbol.letters]
    own = {
        k
        for k, word in enumerate(sheet.words)
        for symbol in lettered
        if word.text in symbol.letters and symbol.footprint.distance(shapely.Point(word.at)) <= word.size
    }
    return replace(sheet, words=tuple(word for k, word in enumerate(sheet.words) if k not in own))


def _with_others(wiring: Wiring, beside: list[Wiring | None]) -> Wiring:
    """Wiring with the outlets and the circuits of others that it may be one with."""
    others = [each for each in beside if each is not None]
    tags = {tag for other in others for tag in (*other.perhaps, *((other.tag,) if other.tag else ()))}
    return replace(
        wiring,
        beside=tuple(name for other in others for name in other.outlets),
        perhaps=wiring.perhaps if wiring.tag is not None else tuple(sorted({*wiring.perhaps, *tags})),
    )


def _wiring(group: Group, drawing: _Drawing) -> Wiring | None:
    """The wiring of a group with an outlet, None where nothing of it tells of a circuit or of another outlet."""
    names, devices = drawing.names, drawing.devices
    members = [k for k in group.members if k in names]
    if not members:
        return None
    told = drawing.tag(group.homeruns[0]) if len(group.homeruns) == 1 else _NO_TAG
    perhaps = _perhaps(group, drawing, told)
    lost = not group.homeruns and _leads_on(group, drawing.pens, bool(perhaps))
    if not (group.homeruns or len(members) > 1 or perhaps or group.beside or lost):
        return None
    view = devices[members[0]].view
    broken = next(_broken(group, drawing), None)
    doubt = broken or _doubt(group, [devices[k] for k in members], drawing, told, bool(perhaps))
    fed, doubts = order_of(group, names, doubt)
    return Wiring(
        view=view,
        outlets=tuple(names[k] for k in members),
        tag=told[0],
        fed=tuple((names[k], tuple(names[j] for j in path)) for k, path in sorted(fed.items())),
        doubts=tuple((names[k], doubts[k]) for k in members if k in doubts),
        whole=broken is None,
        claimed=told[2],
        perhaps=tuple(sorted(perhaps)),
        lost=lost,
        lines=tuple(tuple(as_point(p) for p in line.points) for line in group.drawn),
    )


def _perhaps(group: Group, drawing: _Drawing, told: _Tag) -> set[str]:
    """Without a tag at its homerun, the circuits that a group may be on."""
    tag, _, _, rivals = told
    if tag is not None:
        return set()
    near = {arrow.tag for arrow in drawing.arrows if arrow.near & set(group.members)}
    return drawing.circuits((*group.homeruns, *group.led, *group.loose)) | near | set(rivals)


def _doubt(group: Group, outlets: list[Symbol], drawing: _Drawing, told: _Tag, perhaps: bool) -> str | None:
    """Why the order of a group that is whole is not sure, by what is written at homeruns."""
    tag, unread, claimed, _ = told
    if tag is None:
        return None if _of_one_circuit(group, outlets, claimed is not None or perhaps) else unread
    if any(alike(arrow.tag, tag) and arrow.view == outlets[0].view for arrow in drawing.arrows):
        return f"another arrow of circuit {tag} is drawn, and what leads to it was not found"
    return None


def _parted(wiring: Wiring, beyond: frozenset[str]) -> tuple[Wiring, ...]:
    """Wiring with a tag without the outlets ``beyond`` a leg, and these, which may be of another circuit."""
    if not beyond:
        return (wiring,)
    here = tuple(name for name in wiring.outlets if name not in beyond)
    there = tuple(name for name in wiring.outlets if name in beyond)
    own = replace(
        wiring,
        outlets=here,
        fed=tuple(each for each in wiring.fed if each[0] not in beyond),
        doubts=tuple(each for each in wiring.doubts if each[0] not in beyond),
        beside=(*wiring.beside, *there),
    )
    other = replace(
        wiring,
        outlets=there,
        tag=None,
        fed=(),
        doubts=tuple((name, "only a line like the leg of a switch joins it to the homerun") for name in there),
        whole=False,
        claimed=None,
        perhaps=(wiring.tag or "",),
        beside=(*wiring.beside, *here),
        lines=(),
    )
    return (own, other) if here else (other,)


def _of_one_circuit(group: Group, outlets: list[Symbol], written: bool) -> bool:
    """Do the outlets' own tags tell of one circuit, and are the homeruns lines like the wires?

    ``written``: something is at the arrow that may be its circuits; then each outlet has to tell its own.
    """
    pens = {wire.pen for wire in group.wires}
    own = {outlet.fact("circuit") for outlet in outlets}
    told = len(own - {None}) == 1 and not (written and None in own)
    return told and all(home.pen in pens for home in group.homeruns)


def _leads_on(group: Group, pens: set[tuple[float, ...]], told: bool) -> bool:
    """Has wiring without a homerun a line in one of the ``pens`` of wires of which it is not known where it goes?

    ``told``: circuits are written at ends of its lines, which those that end at texts lead to.
    """
    doubtful = any(line.doubt for line in group.wires) or len(group.wires) >= len(group.members)
    far = group.loose if told else (*group.loose, *group.led)
    return doubtful or any(line.pen in pens for line in far)


def _far_end(line: Line) -> tuple[Point, Point]:
    """Where a line ends that begins at a symbol, and which way it goes there."""
    return line.tip or as_point(line.points[-1]), way_at_end(line.points)


def _broken(group: Group, drawing: _Drawing) -> Iterator[str]:
    """What makes the whole group doubtful."""
    yield from (line.doubt for line in group.drawn if line.doubt)
    if not group.homeruns:
        yield "the drawn wiring leads to no homerun arrow"
    if len(group.homeruns) > 1:
        yield "the drawn wiring leads to more than one homerun arrow"
    pens = {line.pen for line in group.drawn}
    if group.near or any(line.pen in pens for line in group.loose):
        yield "a line like the wires ends at nothing, or short of an outlet"
    if ends_on(drawing.loose, list(group.drawn)):
        yield "a wire ends on another wire"
    if len(group.wires) >= len(group.members):
        yield "the drawn wiring closes a ring"
    if drawing.circuits(line for line in group.led if line.pen in pens):
        yield "a line like the wires ends at a circuit, and may be another homerun"
