"""Sets of triangles that grow together, each with the names in it."""

from __future__ import annotations

from dataclasses import dataclass, field

from cordpath.rooms.spaces.mesh import Mesh


@dataclass
class Merge:
    """Union-find over triangles, with the seeds, area and width of every set; ``ground``: the width without that of
    the doorways that lead out of it."""

    parent: list[int]
    seeds: list[frozenset[int]]
    area: list[float]
    width: list[float]
    ground: list[float]

    def find(self, x: int) -> int:
        while self.parent[x] != x:
            self.parent[x] = self.parent[self.parent[x]]
            x = self.parent[x]
        return x

    def join(self, a: int, b: int) -> None:
        a, b = self.find(a), self.find(b)
        if a != b:
            self.parent[b] = a
            self.seeds[a] |= self.seeds[b]
            self.area[a] += self.area[b]
            self.width[a] = max(self.width[a], self.width[b])
            self.ground[a] = max(self.ground[a], self.ground[b])


@dataclass
class State:
    mesh: Mesh
    inch: float
    merge: Merge
    start: dict[int, int] = field(default_factory=dict)
    near: list[list[tuple[int, int]]] = field(default_factory=list)
    reach: dict[int, float] = field(default_factory=dict)  # how far a name reaches in an open plan, pt

    @property
    def foot(self) -> float:
        return 12 * self.inch


def neighbours(mesh: Mesh) -> list[list[tuple[int, int]]]:
    near: list[list[tuple[int, int]]] = [[] for _ in range(len(mesh.area))]
    for x, (a, b) in enumerate(zip(mesh.left.tolist(), mesh.right.tolist(), strict=True)):
        near[a].append((b, x))
        near[b].append((a, x))
    return near
