"""Random designs of symbols: bodies, features at them, and pairs that one small thing tells apart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random

import numpy as np
from spotting import PT, arc, circle, line, rect, rounded, text

from cordpath.model import Mark, PolylineMark

Design = tuple[str, tuple[Mark, ...]]  # kind and marks
KINDS = (*["receptacle"] * 6, "hardwired outlet", "light", "switch", "other")
BODIES = ("circle", "circle", "square", "diamond", "octagon", "star", "two squares", "crossed box", "pill", "arcs",
          "solid disc", "solid triangle", "solid square", "open box", "solid half")  # fmt: skip
MORE_BODIES = ("hexagon", "triangle", "round box", "D", "half circle", "two circles", "solid hexagon", "solid pill",
               "solid D", "cut circle")  # fmt: skip
FEATURES = ("bars", "stems", "inner lines", "cross", "dot", "two dots", "solid corner", "pointer", "tail", "tick",
            "letter in it", "letters beside", "nothing")  # fmt: skip
MORE_FEATURES = ("arrow", "hook", "half filled", "dot at one side", "bar and stem", "open pointer", "two ticks",
                 "two letters in it")  # fmt: skip
OUTSIDE = ("bars", "stems", "pointer", "tail", "tick", "letters beside", "nothing", "arrow", "hook", "open pointer",
           "two ticks", "dot at one side")  # fmt: skip  # seen beside what is solid
TELLING = ("dot", "tick", "pointer", "half filled", "solid corner", "hook", "letter in it", "letters beside", "bar",
           "dot moved", "filled", "around")  # fmt: skip  # what tells the second of a pair from the first


def ring(sides: int, radius: float, first: float = 0.0) -> list[tuple[float, float]]:
    angles = [math.radians(first) + k * 2 * math.pi / sides for k in range(sides)]
    return [(radius * math.cos(a), radius * math.sin(a)) for a in angles]


def polyline(points: Sequence[tuple[float, float]], closed: bool = True, filled: bool = False) -> PolylineMark:
    return PolylineMark(tuple((x * PT, y * PT) for x, y in points), closed=closed, filled=filled)


def _moved(points: Sequence[tuple[float, float]], x: float, y: float) -> list[tuple[float, float]]:
    return [(a + x, b + y) for a, b in points]


def _half(q: float, first: float = 0.0) -> list[tuple[float, float]]:
    """Corners of half a disc; 0: the lower one as seen."""
    return [(q * math.cos(a + first), q * math.sin(a + first)) for a in np.linspace(0, math.pi, 16)]


def body(name: str, q: float) -> tuple[Mark, ...]:
    """Marks about the origin, ``q`` pt large."""
    star = [(r * math.cos(k * math.pi / 5), r * math.sin(k * math.pi / 5)) for k, r in enumerate([q, 0.45 * q] * 5)]
    ends = [*_moved(_half(0.5 * q, -math.pi / 2), 0.6 * q, 0), *_moved(_half(0.5 * q, math.pi / 2), -0.6 * q, 0)]
    made: dict[str, tuple[Mark, ...]] = {
        "circle": (circle(0, 0, q),),
        "square": (rect(1.8 * q, 1.8 * q),),
        "diamond": (polyline(ring(4, q)),),
        "octagon": (polyline(ring(8, q, 22.5)),),
        "star": (polyline(star),),
        "two squares": (rect(2 * q, 2 * q), rect(1.2 * q, 1.2 * q)),
        "crossed box": (rect(2 * q, 1.2 * q), line(-q, -0.6 * q, q, 0.6 * q)),
        "pill": (line(-0.6 * q, -0.5 * q, 0.6 * q, -0.5 * q), line(-0.6 * q, 0.5 * q, 0.6 * q, 0.5 * q),
                 arc(0.6 * q, 0, 0.5 * q, 270, 90), arc(-0.6 * q, 0, 0.5 * q, 90, 270)),
        "arcs": (arc(0, 0, q, 20, 160), arc(0, 0, 0.6 * q, 20, 160)),
        "solid disc": (polyline(ring(24, 0.7 * q), filled=True),),
        "solid triangle": (polyline(ring(3, q), filled=True),),
        "solid square": (polyline(ring(4, q, 45), filled=True),),
        "open box": (polyline([(-q, -0.7 * q), (-q, 0.7 * q), (q, 0.7 * q), (q, -0.7 * q)], closed=False),),
        "solid half": (arc(0, 0, q, 180, 360), polyline([(x, -y) for x, y in _half(q)], filled=True)),
        "hexagon": (polyline(ring(6, q)),),
        "triangle": (polyline(ring(3, q, 90)),),
        "round box": rounded(2 * q, 1.3 * q, 0.35 * q),
        "D": (arc(0, 0, q, 270, 90), line(0, -q, 0, q)),
        "half circle": (arc(0, 0, q, 0, 180), line(-1.4 * q, 0, 1.4 * q, 0)),
        "two circles": (circle(0, 0, q), circle(0, 0, 0.55 * q)),
        "solid hexagon": (polyline(ring(6, 0.8 * q), filled=True),),
        "solid pill": (polyline(ends, filled=True),),
        "solid D": (polyline(_half(q, -math.pi / 2), filled=True),),
        "cut circle": (circle(0, 0, q), line(-q, 0, q, 0)),
    }  # fmt: skip
    return made[name]


def feature(name: str, q: float, rng: Random) -> tuple[Mark, ...]:
    count = rng.randint(1, 3)
    at = [(k - (count - 1) / 2) * 0.6 * q for k in range(count)]
    made: dict[str, tuple[Mark, ...]] = {
        "bars": tuple(line(-1.5 * q, y, 1.5 * q, y) for y in at),
        "stems": tuple(line(0.95 * q, y, 1.6 * q, y) for y in at),
        "inner lines": tuple(line(-0.5 * q, y, 0.5 * q, y) for y in at),
        "cross": (line(-0.6 * q, -0.6 * q, 0.6 * q, 0.6 * q), line(-0.6 * q, 0.6 * q, 0.6 * q, -0.6 * q)),
        "dot": (polyline(ring(16, 0.3 * q), filled=True),),
        "two dots": tuple(polyline(_moved(ring(12, 0.18 * q), dx, 0), filled=True) for dx in (0, 0.5 * q)),
        "solid corner": (polyline([(-0.6 * q, -0.6 * q), (0.6 * q, -0.6 * q), (-0.6 * q, 0.6 * q)], filled=True),),
        "pointer": (polyline([(1.05 * q, -0.4 * q), (1.7 * q, 0), (1.05 * q, 0.4 * q)], filled=True),),
        "tail": (polyline([(q, 0), (1.3 * q, 0.3 * q), (1.6 * q, -0.3 * q), (1.9 * q, 0)], closed=False),),
        "tick": (line(-0.2 * q, -1.3 * q, 0.2 * q, -0.8 * q),),
        "letter in it": (text(rng.choice("GRDFTCMHX"), 0, 0),),
        "letters beside": (text(rng.choice(["WP", "GFI", "C", "D", "IG"]), 0, -1.9 * q),
                           line(-1.5 * q, 0, 1.5 * q, 0)),
        "nothing": (),
        "arrow": (line(q, 0, 2 * q, 0), polyline([(1.65 * q, -0.25 * q), (2 * q, 0), (1.65 * q, 0.25 * q)], False)),
        "hook": (polyline([(q, 0), (1.7 * q, 0), (1.7 * q, 0.5 * q)], closed=False),),
        "half filled": (polyline([(0.97 * x, 0.97 * y) for x, y in _half(q)], filled=True),),
        "dot at one side": (polyline(_moved(ring(16, 0.3 * q), 1.4 * q, 0), filled=True),),
        "bar and stem": (line(-1.5 * q, -0.3 * q, 1.5 * q, -0.3 * q), line(0.95 * q, 0.3 * q, 1.6 * q, 0.3 * q)),
        "open pointer": (polyline([(1.05 * q, -0.4 * q), (1.7 * q, 0), (1.05 * q, 0.4 * q)]),),
        "two ticks": (line(-0.2 * q, -1.3 * q, 0.2 * q, -0.8 * q), line(0.3 * q, -1.3 * q, 0.7 * q, -0.8 * q)),
        "two letters in it": (text(("SD", "TV", "EV")[count - 1], 0, 0),),
    }  # fmt: skip
    return made[name]


def designs(seed: int, wide: bool = False) -> dict[str, Design]:
    """Ten designs, no two of one body with one feature; ``wide``: of more bodies and features."""
    rng = Random(seed)
    q = rng.choice([4.5, 5, 6, 7, 9])
    bodies, features = (BODIES + MORE_BODIES, FEATURES + MORE_FEATURES) if wide else (BODIES, FEATURES)
    out: dict[str, Design] = {}
    while len(out) < len(KINDS):
        one, other = rng.choice(bodies), rng.choice(features)
        hidden = one.startswith("solid") and other not in OUTSIDE
        if not hidden and f"{one} with {other}" not in out:
            out[f"{one} with {other}"] = (KINDS[len(out)], (*body(one, q), *feature(other, q, rng)))
    return out


def twins(seed: int) -> dict[str, Design]:
    """Five pairs; the second of each has one thing more, or has it elsewhere, or is filled."""
    rng = Random(7 * seed + 3)
    q = rng.choice([3, 4.5, 5, 6, 7])
    out: dict[str, Design] = {}
    while len(out) < len(KINDS):
        one, telling = rng.choice(BODIES + MORE_BODIES), rng.choice(TELLING)
        base = rng.choice(["bars", "stems", "inner lines", "tail", "nothing"])
        solid = one.startswith("solid")
        inside = telling in ("dot", "half filled", "solid corner", "letter in it", "dot moved", "filled")
        if (solid and (inside or base == "inner lines")) or any(f"{one} with {base}" in name for name in out):
            continue
        plain = (*body(one, q), *feature(base, q, rng))
        kind = KINDS[len(out)]
        first, second = _told_by(telling, plain, q, rng)
        out[f"{one} with {base}, no {telling}"] = (kind, first)
        out[f"{one} with {base}, {telling}"] = (kind, second)
    return out


def _told_by(
    telling: str, plain: tuple[Mark, ...], q: float, rng: Random
) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    if telling == "dot moved":
        dots = [polyline(_moved(ring(16, 0.25 * q), dx * q, 0), filled=True) for dx in (0.0, 0.5)]
        return (*plain, dots[0]), (*plain, dots[1])
    if telling == "filled":
        small = [(-0.45 * q, -0.45 * q), (0.45 * q, -0.45 * q), (0.0, 0.45 * q)]
        return (*plain, polyline(small)), (*plain, polyline(small), polyline(small, filled=True))
    if telling == "bar":
        return plain, (*plain, line(-1.5 * q, 0.15 * q, 1.5 * q, 0.15 * q))
    if telling == "around":
        return plain, (*plain, circle(0, 0, 1.45 * q))
    if telling == "letters beside":
        return plain, (*plain, text(rng.choice(["WP", "GFI", "IG"]), 0, -1.9 * q - 2))
    return plain, (*plain, *feature(telling, q, rng))
