"""Labels of protection that another text beside them takes back: REMOVE over GFI, GFI over NOT REQ'D.

In one line such words are read together; stacked or in a label of their own they stand alone, and the GFI between
them would protect.  Terms: *word of denial*, as in denials.py.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from cordpath.circuits.denials import is_denial
from cordpath.model import BoolArray, Label, Outlet, Sheet
from cordpath.units import plain

STEP = 1.7  # text sizes between the lines of one label
GAP = 1.0  # text sizes between words of one line
STAMP = 36.0  # pt, 1/2 in: a line of such words says something of the sheet, as NOT FOR CONSTRUCTION across it


def taken_back(outlets: tuple[Outlet, ...], sheet: Sheet) -> tuple[Outlet, ...]:
    """The outlets; labels of protection beside a word of denial as doubtful ones, with the reason."""
    denials = _Denials(sheet)
    return tuple(_one(outlet, denials) for outlet in outlets)


class _Denials:
    """Words of denial of a sheet, by place."""

    def __init__(self, sheet: Sheet) -> None:
        lines = Counter(word.line for word in sheet.words if word.size >= STAMP)
        words = [
            word for word in sheet.words if _denies(word.text) and (word.size < STAMP or lines[word.line] == 1)
        ]
        self.text = [word.text for word in words]
        self.box = np.array([word.box for word in words], float).reshape(-1, 4)
        self.size = np.array([word.size for word in words], float)
        # By the angle: the box of a single sign, as of ?, is taller than wide however it is read.
        self.turned = np.abs(np.sin(np.radians([word.angle for word in words]))) > np.sin(np.pi / 4)

    def beside(self, label: Label) -> str | None:
        """The first such word in the lines above, below or beside a label, None without one."""
        if not self.text:
            return None
        near = np.flatnonzero(self._near(label))
        return self.text[int(near[0])] if len(near) else None

    def _near(self, label: Label) -> BoolArray:
        (x, y), size = label.at, self.size
        middle = (self.box[:, :2] + self.box[:, 2:]) / 2
        half = (self.box[:, 2:] - self.box[:, :2]) / 2
        own = 0.3 * size * len(label.text)  # half of the label's length: letters are about .6 of their size wide
        across, along = np.abs(middle - (x, y)).T[::-1]
        turned = self.turned
        across, along = np.where(turned, along, across), np.where(turned, across, along)
        reach = np.where(turned, half[:, 1], half[:, 0]) + own
        stacked = (across <= STEP * size) & (along <= reach)
        same_line = (across <= 0.5 * size) & (along <= reach + GAP * size)
        return np.asarray(stacked | same_line, bool)


def _denies(text: str) -> bool:
    return is_denial(plain(text).strip(" .,:;=/-–—"))


def _one(outlet: Outlet, denials: _Denials) -> Outlet:
    symbol = outlet.symbol
    labels = tuple(_doubted(label, symbol.labels, denials) for label in symbol.labels)
    if labels == symbol.labels:
        return outlet
    return replace(outlet, symbol=replace(symbol, labels=labels))


def _doubted(label: Label, labels: Iterable[Label], denials: _Denials) -> Label:
    if not any(name == "protection" for name, _ in label.sets):
        return label
    own = (other.text for other in labels if other is not label and _denies(other.text))
    # DEMO GFI, where DEMO tells the status; what a mapping file takes as one text (REPLACE W/ GFI) is its affair.
    parted = any(name == "status" for name, _ in label.sets)
    within = (word for word in label.text.split() if parted and _denies(word))
    word = next(within, None) or next(own, None) or denials.beside(label)
    if word is None:
        return label
    where = "is part of" if word in label.text.split() else "stands beside"
    why = f"'{word}' {where} the label '{label.text}'"
    return replace(label, sets=tuple(_unsure(name, value, why) for name, value in label.sets))


def _unsure(name: str, value: object, why: str) -> tuple[str, object]:
    return ("protection_unsure", why) if name == "protection" else (name, value)
