"""The glyph classifier: one hidden layer; weights in ``glyphs.npz`` (README.md beside it: how they were made)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources

import numpy as np

from cordpath.model import FloatArray
from cordpath.sheet.lettering.features import Features

REJECT = "~"  # ink that is no glyph
CLASSES = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789'\"-.,:/=+()&#%*°×@" + REJECT
INDEX = {letter: number for number, letter in enumerate(CLASSES)}
BLOCK = 4096  # glyphs classified at a time


@dataclass(frozen=True, eq=False)
class Network:
    first: Features  # (SIZE, hidden)
    first_bias: Features
    second: Features  # (hidden, classes)
    second_bias: Features
    mean: Features
    spread: Features
    temperature: float

    def log_probabilities(self, features: Features) -> FloatArray:
        """(g, classes) log probabilities of (g, SIZE) features."""
        parts = [self._block(features[i : i + BLOCK]) for i in range(0, len(features), BLOCK)]
        return np.concatenate(parts) if parts else np.zeros((0, len(CLASSES)))

    def _block(self, features: Features) -> FloatArray:
        hidden = np.maximum((features - self.mean) / self.spread @ self.first + self.first_bias, 0)
        score = (hidden @ self.second + self.second_bias).astype(np.float64) / self.temperature
        score -= score.max(axis=1, keepdims=True)
        return score - np.log(np.exp(score).sum(axis=1, keepdims=True))


@cache
def network() -> Network:
    """The shipped weights."""
    file = resources.files("cordpath.sheet.lettering").joinpath("glyphs.npz")
    with file.open("rb") as stream, np.load(stream, allow_pickle=False) as stored:
        names = ("first", "first_bias", "second", "second_bias", "mean", "spread")
        layers = {name: stored[name].astype(np.float32) for name in names}
        return Network(**layers, temperature=float(stored["temperature"]))
