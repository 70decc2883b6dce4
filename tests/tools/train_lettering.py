"""Train the glyph classifier:  python tests/tools/train_lettering.py FONT_FOLDER WEIGHTS.npz [HELD_OUT_FOLDER]

FONT_FOLDER holds .ttf, .otf and .woff files; the Hershey fonts come from the package Hershey-Fonts.  Every font is
used three ways: its outline filled, its outline as strokes, and its middle line as strokes.  Which fonts the
shipped weights were made from, and their licences, is told in the README beside the weights.  Seeded: same fonts
and the same versions of numpy, scipy, shapely and scikit-image give the same weights.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from lettering_fonts import Glyph, hershey, outline, skeleton

from cordpath.geometry import group_boxes
from cordpath.sheet.lettering.classify import CLASSES, REJECT
from cordpath.sheet.lettering.features import describe

SEED = 20260
FACES = ("futural", "rowmans", "futuram", "rowmand")
EACH = 22  # examples of each glyph of each face
REJECTS = 14_000
HIDDEN = 200
EPOCHS = 16
BATCH = 256
OFTEN = "'\"-.,:/=+1I0O"  # small or alike: twice the examples
MARKS = "'\"-.,:/=+()&#%*°×@"


class Heap:
    """Examples, gathered as flat arrays."""

    def __init__(self) -> None:
        self.xy: list[np.ndarray] = []
        self.filled: list[bool] = []
        self.base: list[float] = []
        self.cap: list[float] = []
        self.label: list[int] = []

    def add(self, xy: np.ndarray, filled: bool, base: float, cap: float, label: int) -> None:
        self.xy.append(xy)
        self.filled.append(filled)
        self.base.append(base)
        self.cap.append(cap)
        self.label.append(label)

    def features(self) -> tuple[np.ndarray, np.ndarray]:
        parts = []
        for first in range(0, len(self.xy), 4000):
            some = self.xy[first : first + 4000]
            owner = np.repeat(np.arange(len(some)), [len(xy) for xy in some])
            xy = np.concatenate(some)
            cut = slice(first, first + 4000)
            parts.append(
                describe(
                    xy,
                    owner,
                    np.array(self.filled[cut]),
                    np.array(self.base[cut]),
                    np.array(self.cap[cut]),
                    group_boxes(xy, owner, len(some)),
                )
            )
        return np.concatenate(parts), np.array(self.label)


def distort(xy: np.ndarray, rng: np.random.Generator, stroked: bool) -> np.ndarray:
    """Width, slant, turn, bend, rounding, wandering ends, broken and doubled strokes."""
    points = xy.reshape(-1, 2).copy()
    if stroked and rng.random() < 0.35:
        grid = rng.choice([1 / 6, 1 / 8, 1 / 10, 1 / 14])  # coarse plotter letters: corners on a grid
        points = np.round(points / grid) * grid
    if rng.random() < 0.4:
        points += rng.normal(0, rng.choice([0.006, 0.014]), points.shape)
    slant = np.tan(np.radians(rng.choice([0.0, 0.0, 0.0, rng.uniform(-4, 18)])))
    turn, bend = np.radians(rng.normal(0, 1.6)), rng.normal(0, 0.025)
    x = (points[:, 0] - points[:, 1] * slant) * rng.uniform(0.65, 1.3)
    y = points[:, 1] + 0.7 * bend * np.sin(3 * x)
    x = x + bend * np.sin(3 * y)
    c, s = np.cos(turn), np.sin(turn)
    out = np.column_stack([x * c - y * s, x * s + y * c]).reshape(-1, 4)
    if stroked and len(out) > 4 and rng.random() < 0.08:
        out = np.delete(out, rng.integers(len(out)), axis=0)  # a small stroke missing
    return out


def examples(heap: Heap, glyph: Glyph, letter: str, filled: bool, rng: np.random.Generator) -> None:
    number = EACH * (2 if letter in OFTEN else 1)
    number = number if not letter.islower() else number // 2
    for _ in range(number):
        xy = distort(glyph.xy, rng, not filled)
        cap = rng.uniform(0.9, 1.08) if rng.random() < 0.85 else 0.0
        heap.add(xy, filled, rng.normal(0, 0.04), cap, CLASSES.index(letter))


def circle(radius: float, n: int) -> np.ndarray:
    t = np.linspace(0, 2 * np.pi, n + 1)
    p = radius * np.column_stack([np.cos(t), np.sin(t)])
    return np.column_stack([p[:-1], p[1:]])


def no_glyph(rng: np.random.Generator, faces: list[Glyph]) -> np.ndarray:
    """Hatch, boxes, device symbols, ticks, and letters that run together or are cut."""
    kind = rng.random()
    if kind < 0.25:
        n = rng.integers(2, 8)
        at = rng.uniform(0, 1, (n, 2))
        t = rng.choice([0, np.pi / 4, np.pi / 2, rng.uniform(0, 6)], n)
        run = rng.uniform(0.1, 1, (n, 1)) * np.column_stack([np.cos(t), np.sin(t)])
        return np.column_stack([at, at + run])
    if kind < 0.5:
        ring = circle(rng.uniform(0.3, 0.6), int(rng.integers(6, 25)))
        t = rng.uniform(0, np.pi)
        along, up = np.array([np.cos(t), np.sin(t)]), np.array([-np.sin(t), np.cos(t)])
        bars = []
        for shift in rng.choice(np.array([[0.0, 0.0, 0.0], [-0.2, 0.2, 0.2], [-0.3, 0.0, 0.3]])):
            low, high = -rng.uniform(0.2, 1.1), rng.uniform(0.2, 1.1)
            bars.append([*(shift * along + low * up), *(shift * along + high * up)])
        return np.concatenate([ring, bars])
    if kind < 0.65:
        w, h = rng.uniform(0.4, 2), 1.0
        ring = np.array([[0, 0, w, 0], [w, 0, w, h], [w, h, 0, h], [0, h, 0, 0]])
        return np.concatenate([ring, ring * 0.6 + 0.15]) if rng.random() < 0.4 else ring
    a, b = (faces[rng.integers(len(faces))] for _ in range(2))
    joined = np.concatenate([a.xy, b.xy + np.tile([a.advance * rng.uniform(0.75, 1.0), 0.0], 2)])
    if kind < 0.9:
        return joined
    cut = np.sort(rng.uniform(joined[:, [0, 2]].min(), joined[:, [0, 2]].max(), 2))
    part = joined[(joined[:, 0] > cut[0]) & (joined[:, 2] < cut[1])]
    return part if len(part) else joined


def gather(folder: Path, rng: np.random.Generator, each: int | None = None) -> tuple[np.ndarray, np.ndarray]:
    heap = Heap()
    stroked: list[Glyph] = []
    for letter in CLASSES.replace(REJECT, ""):
        for face in FACES if each is None else ():
            glyph = hershey(face, letter)
            if glyph is not None and len(glyph.xy):
                examples(heap, glyph, letter, False, rng)
                if letter.isalnum():
                    stroked.append(glyph)
    for path in sorted(folder.iterdir()):
        for letter in CLASSES.replace(REJECT, ""):
            drawn, thin = outline(path, letter), skeleton(path, letter)
            if drawn is None or thin is None or not len(drawn.xy):
                continue
            examples(heap, drawn, letter, True, rng)
            if rng.random() < 0.5:
                examples(heap, drawn, letter, False, rng)
            examples(heap, thin, letter, False, rng)
            if letter.isalnum():
                stroked.append(thin)
    for _ in range(REJECTS if each is None else 0):
        xy = distort(no_glyph(rng, stroked), rng, False)
        low, high = xy[:, [1, 3]].min(), xy[:, [1, 3]].max()
        cap = (high - low) * rng.uniform(0.5, 1.4) if rng.random() < 0.7 else 0.0
        heap.add(xy, bool(rng.random() < 0.2), high + rng.normal(0, 0.1), cap, CLASSES.index(REJECT))
    return heap.features()


def train(x: np.ndarray, y: np.ndarray, rng: np.random.Generator) -> dict[str, np.ndarray]:
    """Adam (Kingma and Ba 2015) with dropout and a falling step, cross entropy."""
    mean, spread = x.mean(axis=0), x.std(axis=0) + 0.05
    x = ((x - mean) / spread).astype(np.float32)
    k = len(CLASSES)
    layers = [
        rng.normal(0, np.sqrt(2 / x.shape[1]), (x.shape[1], HIDDEN)).astype(np.float32),
        np.zeros(HIDDEN, np.float32),
        rng.normal(0, np.sqrt(1 / HIDDEN), (HIDDEN, k)).astype(np.float32),
        np.zeros(k, np.float32),
    ]
    first = [np.zeros_like(p) for p in layers]
    second = [np.zeros_like(p) for p in layers]
    step = 0
    for epoch in range(EPOCHS):
        rate = 2e-3 * 0.5 * (1 + np.cos(np.pi * epoch / EPOCHS)) + 2e-5
        order = rng.permutation(len(x))
        for start in range(0, len(order) - BATCH + 1, BATCH):
            pick = order[start : start + BATCH]
            seen = x[pick] * (rng.random((BATCH, x.shape[1]), np.float32) > 0.1) * np.float32(1.11)
            hidden = np.maximum(seen @ layers[0] + layers[1], 0)
            kept = (rng.random(hidden.shape, np.float32) > 0.2) / np.float32(0.8)
            score = (hidden * kept) @ layers[2] + layers[3]
            score -= score.max(axis=1, keepdims=True)
            p = np.exp(score)
            p /= p.sum(axis=1, keepdims=True)
            p[np.arange(BATCH), y[pick]] -= 1
            p /= BATCH
            back = (p @ layers[2].T) * kept * (hidden > 0)
            slopes = [seen.T @ back, back.sum(axis=0), (hidden * kept).T @ p, p.sum(axis=0)]
            step += 1
            for q in range(4):
                first[q] = 0.9 * first[q] + 0.1 * slopes[q]
                second[q] = 0.999 * second[q] + 0.001 * slopes[q] ** 2
                move = first[q] / (1 - 0.9**step) / (np.sqrt(second[q] / (1 - 0.999**step)) + 1e-8)
                layers[q] -= (rate * (move + 1e-4 * layers[q])).astype(np.float32)
        print("epoch", epoch, flush=True)
    return {
        "first": layers[0].astype(np.float16), "first_bias": layers[1].astype(np.float16),
        "second": layers[2].astype(np.float16), "second_bias": layers[3].astype(np.float16),
        "mean": mean.astype(np.float16), "spread": spread.astype(np.float16), "temperature": np.float32(1.3),
    }  # fmt: skip


def held_out(folder: Path, weights: dict[str, np.ndarray], rng: np.random.Generator) -> None:
    """Shares of glyphs read right in fonts that were not trained on (case folded)."""
    w = {name: value.astype(np.float32) for name, value in weights.items()}
    fold = np.array([CLASSES.find(c.upper()) if c.upper() in CLASSES else i for i, c in enumerate(CLASSES)])
    for path in sorted(folder.iterdir()):
        for name, maker in (("outline", outline), ("skeleton", skeleton)):
            heap = Heap()
            for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789" + MARKS:
                glyph = maker(path, letter)
                if glyph is not None and len(glyph.xy):
                    for _ in range(6):
                        xy = distort(glyph.xy, rng, name != "outline")
                        heap.add(xy, name == "outline", 0.0, 1.0, CLASSES.index(letter))
            x, y = heap.features()
            hidden = np.maximum((x - w["mean"]) / w["spread"] @ w["first"] + w["first_bias"], 0)
            got = (hidden @ w["second"] + w["second_bias"]).argmax(axis=1)
            wrong = np.flatnonzero(fold[got] != y)
            pairs, number = np.unique([f"{CLASSES[y[i]]}{CLASSES[got[i]]}" for i in wrong], return_counts=True)
            top = [str(pairs[i]) for i in np.argsort(-number)[:8]] if len(wrong) else []
            print(path.name[:24], name, round(1 - len(wrong) / len(y), 3), top, flush=True)


def main() -> None:
    rng = np.random.default_rng(SEED)
    x, y = gather(Path(sys.argv[1]), rng)
    print("examples", x.shape, flush=True)
    weights = train(x, y, rng)
    np.savez_compressed(sys.argv[2], **weights)
    if len(sys.argv) > 3:
        held_out(Path(sys.argv[3]), weights, rng)


if __name__ == "__main__":
    main()
