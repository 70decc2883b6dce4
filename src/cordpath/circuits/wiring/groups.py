"""Groups: symbols that wires join, and the groups that may be one."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from cordpath.circuits.wiring.line import Line
from cordpath.circuits.wiring.meeting import ends_near, meetings
from cordpath.geometry import components
from cordpath.model import Symbol


@dataclass
class Group:
    members: list[int]
    wires: list[Line] = field(default_factory=list)
    homeruns: list[Line] = field(default_factory=list)
    loose: list[Line] = field(default_factory=list)
    led: list[Line] = field(default_factory=list)  # lines that end at a text
    near: list[Line] = field(default_factory=list)  # loose lines of others that end short of one of its symbols
    beside: set[int] = field(default_factory=set)  # numbers of groups that may be one with it

    @property
    def drawn(self) -> tuple[Line, ...]:
        """Its wires and homeruns."""
        return (*self.wires, *self.homeruns)


def joined(lines: list[Line], count: int) -> list[Group]:
    """The groups of ``count`` symbols, each with the lines that begin in it."""
    wires = [line for line in lines if line.b is not None]
    _, number = components(np.array([w.a for w in wires], int), np.array([w.b for w in wires], int), count)
    groups: dict[int, Group] = {}
    for k, of in enumerate(number.tolist()):
        groups.setdefault(of, Group([])).members.append(k)
    for line in lines:
        group = groups[int(number[line.a])]
        end = group.led if line.text is not None else group.loose
        (group.wires if line.b is not None else group.homeruns if line.tip is not None else end).append(line)
    return list(groups.values())


def meet(groups: list[Group], devices: tuple[Symbol, ...]) -> None:
    """Notes for each group the others that it may be one with, by their lines, and the lines that end near it."""
    of = {id(line): k for k, group in enumerate(groups) for line in (*group.loose, *group.drawn)}
    owner = {member: k for k, group in enumerate(groups) for member in group.members}
    loose = [line for group in groups for line in group.loose]
    pairs = [(of[id(one)], of[id(two)]) for one, two in meetings(loose, [x for g in groups for x in g.drawn])]
    for line, device in ends_near(loose, devices):
        group = groups[owner[device]]
        if device != line.a and any(line.pen == own.pen for own in group.drawn):
            group.near.append(line)
            pairs.append((of[id(line)], owner[device]))
    for a, b in pairs:
        if a != b:
            groups[a].beside.add(b)
            groups[b].beside.add(a)
