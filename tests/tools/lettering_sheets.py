"""Sheets of drawn lettering, made up at random, with what is written where: for tests and figures.

``face`` is a function from a letter to a Glyph (see lettering_fonts.py).  Strings do not overlap one another; in a
*crossed* sheet the drawing runs through them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from lettering_fonts import Glyph

from cordpath.model import Fills, Strokes

SIZE = (2592.0, 1728.0)  # 36 x 24 in.
ROOMS = (
    "KITCHEN", "BATH", "M. BATH", "BEDROOM 2", "LIVING ROOM", "DINING", "GARAGE", "CLOSET", "LAUNDRY", "PANTRY",
    "FOYER", "OFFICE", "PORCH", "HALL", "POWDER", "MASTER BEDROOM", "STORAGE", "DECK", "MUD ROOM", "FAMILY RM",
    "UTILITY", "W.I.C.", "ENTRY", "UNFINISHED BASEMENT", "2 CAR GARAGE",
)  # fmt: skip
LABELS = (
    "GFI", "GFCI", "WP", "AFF", "DW", "REF", "WP/GFI", "AFCI", "DISP", '+42"', '+18"', "TV", "SD", "220V", "240V",
    "CO", "MW", "WH",
)  # fmt: skip
NOTES = (
    "PROVIDE GFCI PROTECTION AT ALL COUNTERS", "SMOKE DETECTORS SHALL BE INTERCONNECTED",
    "VERIFY ALL DIMENSIONS IN FIELD", "SEE PANEL SCHEDULE", "LARVIK STEEL BOX NEAR JUNCTION",
    "ALL OUTLETS IN GARAGE ON ONE CIRCUIT", "EXHAUST FAN TO OUTSIDE", "TAMPER RESISTANT RECEPTACLES REQUIRED",
    "MORTIMER GRANITE VAULT AHEAD", "QUIET HEXAGON JUMBLE FROZEN",
)  # fmt: skip
KINDS = ("room", "label", "dim", "circuit", "scale", "note", "panel")
SHARES = (0.2, 0.2, 0.25, 0.12, 0.03, 0.1, 0.1)


@dataclass(frozen=True)
class Said:
    text: str
    kind: str
    box: tuple[float, float, float, float]
    angle: float
    cap: float


@dataclass(frozen=True, eq=False)
class Drawn:
    strokes: Strokes
    fills: Fills
    said: tuple[Said, ...]


def say(kind: str, rng: np.random.Generator) -> str:
    def number(low: int, high: int) -> int:
        return int(rng.integers(low, high))

    if kind == "room":
        return str(rng.choice(ROOMS))
    if kind == "label":
        return str(rng.choice(LABELS))
    if kind == "note":
        return str(rng.choice(NOTES))
    if kind == "dim":
        part = str(rng.choice(["", "", " 1/2", " 1/4", " 3/8", " 7/16"]))
        feet = f"{number(1, 40)}'-" if rng.random() < 0.8 else ""
        return f'{feet}{number(0 if feet else 2, 12)}{part}"'
    if kind == "circuit":
        return f"{rng.choice(list('ABCEHKLP'))}-{number(1, 43)}" + (
            f",{number(2, 30)}" if rng.random() < 0.2 else ""
        )
    if kind == "scale":
        return f'{rng.choice(["SCALE: ", ""])}{rng.choice(["1/4", "1/8", "3/16", "1/2"])}" = 1\'-0"'
    return str(
        rng.choice(["20A/1P", "SMALL APPL.", "LIGHTING", "SPARE", "DRYER", "RANGE", "30A/2P", "15A", "WASHER"])
    )


def string(face: Callable[[str], Glyph | None], text: str) -> tuple[np.ndarray, list[list[np.ndarray]], float]:
    """Strokes (n, 4) of a string on base 0, rings of each letter, and its length in cap heights."""
    at, strokes, letters = 0.0, [np.zeros((0, 4))], []
    for letter in text:
        glyph = face(letter) if letter != " " else None
        if glyph is None:
            at += 0.55
            continue
        strokes.append(glyph.xy + np.array([at, 0, at, 0]))
        letters.append([ring + np.array([at, 0]) for ring in glyph.rings])
        at += glyph.advance
    return np.concatenate(strokes), letters, at


def drawn(
    face: Callable[[str], Glyph | None], seed: int, *, filled: bool = False, number: int = 400,
    crossed: bool = False, background: int = 20_000, angles: tuple[float, ...] = (0, 0, 0, 90, 90, 270, 180, 37),
    tries: int = 2,
) -> Drawn:  # fmt: skip
    """A sheet with about ``number`` strings; strokes are loose, shuffled and rounded to 1/600 in.

    ``tries``: places looked at for each string before the sheet counts as full.
    """
    rng = np.random.default_rng(seed)
    said: list[Said] = []
    strokes: list[np.ndarray] = []
    shapes: list[shapely.Geometry] = []
    taken: list[shapely.Geometry] = []
    for _ in range(number * tries):
        if len(said) == number:
            break
        kind = str(rng.choice(KINDS, p=SHARES))
        text = say(kind, rng)
        cap = float(rng.choice([6.75, 6.75, 9.0, 11.0, 13.5]))
        angle = float(rng.choice(angles))
        wide, slant = rng.uniform(0.8, 1.15), np.tan(np.radians(rng.choice([0, 0, 0, 12])))
        xy, letters, length = string(face, text)
        t = np.radians(angle)
        turn = np.array([[np.cos(t), -np.sin(t)], [np.sin(t), np.cos(t)]])  # row vectors, y down
        place = rng.uniform([150, 150], [SIZE[0] - 150, SIZE[1] - 150])
        middle = np.array([length / 2, -0.5])

        def move(p: np.ndarray) -> np.ndarray:
            q = p - middle  # noqa: B023
            q = np.column_stack([(q[:, 0] - q[:, 1] * slant) * wide, q[:, 1]]) * cap  # noqa: B023
            return q @ turn + place  # noqa: B023

        points = move(xy.reshape(-1, 2))
        low, high = points.min(axis=0), points.max(axis=0)
        box = shapely.box(*(low - cap * 1.6), *(high + cap * 1.6))
        if (low < 40).any() or (high > np.array(SIZE) - 40).any() or any(box.intersects(other) for other in taken):
            continue
        taken.append(box)
        said.append(Said(text, kind, (*low, *high), angle, cap))
        if filled:
            for rings in letters:
                area = shapely.Polygon()
                for ring in rings:
                    area = area.symmetric_difference(shapely.make_valid(shapely.Polygon(move(ring))))
                shapes += [part for part in shapely.get_parts(area) if part.geom_type == "Polygon"]
        else:
            strokes.append(points.reshape(-1, 4))
    strokes.append(_background(rng, background, taken if not crossed else []))
    xy = np.concatenate(strokes)
    xy = xy[rng.permutation(len(xy))]
    turn_round = rng.random(len(xy)) < 0.5
    xy[turn_round] = xy[turn_round][:, [2, 3, 0, 1]]
    xy = np.round(xy / 0.12) * 0.12
    xy = xy[np.hypot(xy[:, 2] - xy[:, 0], xy[:, 3] - xy[:, 1]) > 0]
    marks = Strokes.of(xy)
    n = len(shapes)
    areas = Fills(
        np.array(shapes, object), np.zeros((n, 3)), np.ones(n), np.full(n, -1), np.arange(n) + len(xy)
    )  # fmt: skip
    return Drawn(marks, areas if n else Fills.none(), tuple(said))


def _background(rng: np.random.Generator, number: int, keep_off: list[shapely.Geometry]) -> np.ndarray:
    """Walls, hatch, brick, stipple, dashes, cut arcs and device symbols, about ``number`` strokes."""
    parts: list[np.ndarray] = []
    count = 0
    while count < number:
        kind = rng.random()
        x, y = rng.uniform([50, 50], np.array(SIZE) - 50)
        if kind < 0.25:  # a wall
            length, wide = rng.uniform(80, 600), rng.choice([6.0, 9.0])
            wall = np.array([[0, 0, length, 0], [0, wide, length, wide]])
            part = wall if rng.random() < 0.5 else wall[:, [1, 0, 3, 2]]
        elif kind < 0.45:  # hatch
            n, step, length = int(rng.integers(20, 120)), rng.uniform(2, 6), rng.uniform(6, 60)
            at = np.arange(n) * step
            part = np.column_stack([at, np.zeros(n), at + length * 0.7, np.full(n, length * 0.7)])
        elif kind < 0.55:  # brick
            rows, columns, wide, high = 8, 12, rng.uniform(8, 16), rng.uniform(3, 6)
            j, i = (v.ravel() for v in np.meshgrid(np.arange(rows), np.arange(columns)))
            px, py = (i + 0.5 * (j % 2)) * wide, j * high
            part = np.concatenate([
                np.column_stack([px, py, px + wide, py]), np.column_stack([px, py, px, py + high])])  # fmt: skip
        elif kind < 0.65:  # stipple
            n = 150
            p = rng.uniform(0, 60, (n, 2))
            part = np.column_stack([p, p + rng.uniform(-0.6, 0.6, (n, 2))])
        elif kind < 0.75:  # dashes
            n, dash = int(rng.integers(10, 60)), rng.uniform(3, 9)
            at = np.arange(n) * dash * 1.6
            part = np.column_stack([at, np.zeros(n), at + dash, np.zeros(n)])
        elif kind < 0.87:  # a door swing in chords
            r, n = rng.uniform(30, 60), 24
            t = np.linspace(0, np.pi / 2, n + 1) + rng.integers(4) * np.pi / 2
            p = r * np.column_stack([np.cos(t), np.sin(t)])
            part = np.concatenate([np.column_stack([p[:-1], p[1:]]), [[0, 0, *p[0]]]])
        else:  # a receptacle
            r, n = rng.uniform(4, 6), 16
            t = np.linspace(0, 2 * np.pi, n + 1)
            p = r * np.column_stack([np.cos(t), np.sin(t)])
            bars = np.array([[-0.3 * r, -1.6 * r, -0.3 * r, 1.6 * r], [0.3 * r, -1.6 * r, 0.3 * r, 1.6 * r]])
            part = np.concatenate([np.column_stack([p[:-1], p[1:]]), bars])
        part = part + np.array([x, y, x, y])
        parts.append(part)
        count += len(part)
    xy = np.concatenate(parts)
    inside = ((xy > 20) & (xy < np.tile(SIZE, 2) - 20)).all(axis=1)
    xy = xy[inside]
    if keep_off:
        lines = shapely.linestrings(xy.reshape(-1, 2, 2))
        hit = shapely.STRtree(lines).query(np.array(keep_off, object), predicate="intersects")[1]
        clear = np.ones(len(xy), bool)
        clear[hit] = False
        xy = xy[clear]
    return xy
