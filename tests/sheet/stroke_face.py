"""A plain single-stroke alphabet for tests, drawn here on a grid 4 wide and 6 high; not one that was trained on.

Strokes are polylines of grid points, ``xy`` pairs of digits, y upwards; the base is 0, capitals reach 6.
"""

from __future__ import annotations

import numpy as np

LETTERS = {
    "A": "002640 1232", "B": "00063645443303 3342413000", "C": "45361605011030 3041",
    "D": "000626454120 2000", "E": "40000646 0333", "F": "000646 0333", "G": "45361605011030414323",
    "H": "0006 4046 0343", "I": "2026", "J": "4641301001", "K": "0006 460340", "L": "060040",
    "M": "0006234640", "N": "00064046", "O": "1605011030414536 3616", "P": "00063645443303",
    "Q": "1605011030414536 3616 2240", "R": "00063645443303 2340", "S": "45361605041333424130 301001",
    "T": "2026 0646", "U": "060110304146", "V": "062046", "W": "0610233046", "X": "0046 0640",
    "Y": "062346 2320", "Z": "06460040", "0": "1605011030414536 3616", "1": "152620",
    "2": "051636454400 0040", "3": "05163645443323 334241301001", "4": "303602 0242",
    "5": "46060333424130 301001", "6": "36160501103041423303", "7": "0646 4610",
    "8": "1304051636454433 1333 334241301001 010213", "9": "10304145361605041343", "'": "2624",
    '"': "1614 3634", "-": "0343", "/": "0046", "=": "0444 0242", ".": "2021", ",": "2110", ":": "2021 2324",
    "+": "2125 0343",
}  # fmt: skip
ADVANCE = 1.0  # of the cap height


def strokes(text: str, at: tuple[float, float], cap: float, angle: float = 0.0) -> np.ndarray:
    """(n, 4) loose strokes of a text, page coordinates, its base starting at ``at``."""
    parts = [np.zeros((0, 4))]
    for place, letter in enumerate(text):
        for line in LETTERS.get(letter, "").split():
            grid = np.array([int(c) for c in line], float).reshape(-1, 2) / 6
            points = np.column_stack([grid[:, 0] + place * ADVANCE, -grid[:, 1]]) * cap
            parts.append(np.column_stack([points[:-1], points[1:]]))
    xy = np.concatenate(parts).reshape(-1, 2)
    t = np.radians(angle)
    c, s = np.cos(t), np.sin(t)
    turned = np.column_stack([xy[:, 0] * c + xy[:, 1] * s, xy[:, 1] * c - xy[:, 0] * s])
    return (turned + np.array(at)).reshape(-1, 4)
