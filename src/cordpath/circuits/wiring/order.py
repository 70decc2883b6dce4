"""The order in which the outlets of a group are fed, from its homerun on, and what lies beyond its legs.

Terms
    *leg*       a wire to a switch or a light: no feed of receptacles.
    *manner*    the pen of a line, and whether it is a broken one.

That legs run to switches, and are often dashed where wires are not, is common practice (no source).
"""

from __future__ import annotations

import numpy as np

from cordpath.circuits.wiring.groups import Group
from cordpath.circuits.wiring.line import Line
from cordpath.geometry import components


def order_of(
    group: Group, names: dict[int, str], broken: str | None
) -> tuple[dict[int, tuple[int, ...]], dict[int, str]]:
    """For outlets with a sure place those before them, and for the others the doubt."""
    outlets = [k for k in group.members if k in names]
    if broken is not None:
        return {}, dict.fromkeys(outlets, broken)
    start = group.homeruns[0].a
    if start not in names:
        return {}, dict.fromkeys(outlets, "the homerun begins at a switch or a light")
    beside: dict[int, list[int]] = {k: [] for k in outlets}
    for line in group.wires:
        if line.a in names and line.b in names:
            assert line.b is not None
            beside[line.a].append(line.b)
            beside[line.b].append(line.a)
    legs = {frozenset((leg.a, leg.b)) for leg in _legs(group, group.homeruns[0], names)}
    fed: dict[int, tuple[int, ...]] = {start: ()}
    doubts: dict[int, str] = {}
    waiting = [start]
    while waiting:
        k = waiting.pop()
        onward = [j for j in beside[k] if j not in fed and j not in doubts]
        for j in onward:
            if k in doubts:
                doubts[j] = doubts[k]
            elif len(onward) > 1:
                doubts[j] = f"the drawn wiring branches at outlet {names[k]}"
            elif frozenset((k, j)) in legs:
                doubts[j] = "only a line like the leg of a switch joins it to the homerun"
            else:
                fed[j] = (*fed[k], k)
            waiting.append(j)
    for k in outlets:
        if k not in fed and k not in doubts:
            doubts[k] = "the drawn wiring reaches it only through a switch or a light"
    return fed, doubts


def beyond_legs(group: Group, names: dict[int, str]) -> set[int]:
    """The outlets of a group with one homerun that only lines drawn otherwise than its wires join to it.

    A dashed line among solid ones is a leg: it tells which switch is whose, and no circuit.  An outlet at its end
    that nothing else is wired to is fed by it all the same, where its other end is joined to the homerun.
    """
    (home,) = group.homeruns
    legs = _legs(group, home, names)
    kept = [wire for wire in group.wires if wire not in legs]
    place = {k: i for i, k in enumerate(group.members)}
    a = np.array([place[wire.a] for wire in kept], int)
    b = np.array([place[wire.b] for wire in kept if wire.b is not None], int)
    _, part = components(a, b, len(group.members))
    ends = np.array([(place[leg.a], place[leg.b]) for leg in legs if leg.b is not None], int).reshape(-1, 2)
    at_hand = part == part[place[home.a]]
    last = np.bincount(part)[part] == 1
    last[[j for one, two in ends.tolist() for j, i in ((one, two), (two, one)) if not at_hand[i]]] = False
    far = ~(at_hand | last)
    return {k for k, away in zip(group.members, far.tolist(), strict=True) if away and k in names}


def _legs(group: Group, home: Line, names: dict[int, str]) -> list[Line]:
    """Wires in another manner than the homerun and the wires between outlets; where some of these are like the
    homerun, all that are not."""
    between = {(w.pen, w.broken) for w in group.wires if w.a in names and w.b in names}
    own = (home.pen, home.broken)
    wires = {own} if own in between or not between else {own} | between
    return [wire for wire in group.wires if (wire.pen, wire.broken) not in wires]
