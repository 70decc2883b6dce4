"""What lettering on plans can say: dimensions, scales, circuits, heights, sheet numbers, and the trade's words.

Terms: *pattern*, a text in which ``9`` stands for any figure, ``8`` for one that is not 0, ``X`` for a capital
other than I and O (which names of panels and sheets avoid), and a blank only shows how the text is written; *book*,
all patterns and words of one length (without blanks), ready to be compared at once.
The forms are those of common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from importlib import resources

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.sheet.lettering.classify import CLASSES, INDEX

INCHES = (
    *(f'{whole}{part}"' for whole in ("9", "99") for part in ("", " 9/9", " 9/99")), '9/9"', '9/99"',
)  # fmt: skip
FEET = ("9'", "99'", "999'")
LENGTHS = (
    *FEET, *INCHES, '999"',
    *(f"{feet}-{inch}" for feet in FEET for inch in INCHES),
    *(f"{feet} {inch}" for feet in FEET for inch in INCHES[:6]),
)  # fmt: skip
PLAIN_LENGTHS = ("9'-9\"", "99'-9\"", "9'-99\"", "99'-99\"")
SCALES = tuple(
    f'{paper}" = {real}'
    for paper in ("9/9", "9/99", "99/99", "9", "9 9/9")
    for real in ("9'-9\"", "99'-9\"", "9'", "99'")
) + tuple(f"1:{'9' * n}" for n in (1, 2, 3))  # fmt: skip
CIRCUITS = (
    "X8", "X89", "X-8", "X-89", "XX-8", "XX-89", "X-8,8", "X-8,89", "X-89,89", "X8,8", "X8,89", "X89,89",
    "X8-8", "X8-89", "X8-8,8", "X8-8,89", "X8-89,89", "8,8", "8,89", "89,89", "8/8", "8/89", "89/89", "8-8",
    "89-89", "X-8/8", "X-8/89", "X-89/89", "XXX-8", "XXX-89", "X.8", "X.89",
    *(f"{panel}{sign}{number}" for panel in ("X", "X8", "XX", "XXX") for sign in "/:" for number in ("8", "89")),
)  # fmt: skip
SHEETS = ("X8.9", "X8.99", "X-899", "X899", "X8-9", "X-8.9", "X-89.9", "XX-899", "XX8.9")
RATINGS = (
    "89A", "899A", "8P", "8P-89A", "89A/8P", "89A-8P", "89/8", "89A/8", "899V", "899/899V", "8R", "89R", "89AF",
    "89AT", "89 A", "899 A", "899 V",
)  # fmt: skip
PANELS = tuple(f"{sign}{name}{sign}" for sign in "'\"" for name in ("X", "XX", "XXX", "X8", "XX8"))
OTHERS = (
    "9", "89", "899", "8999", "89999", "#8", "#89", "(8)", "(89)", "9.9", "89.9", "9.99", "89.99", "899.9", "+9.9",
    "89/89/89", "8/8/89", "8999-89-89", "89%", "8X", "(8)#89", "8-#89", "8-89", "899SF", "8°", "89°", "89:99", "8.",
    "89.", "8)", "89)",
)  # fmt: skip
PATTERNS = (
    *LENGTHS, *(f"+{length}" for length in (*FEET, *INCHES, *PLAIN_LENGTHS, "99", "9")), *SCALES,
    *(f"SCALE: {scale}" for scale in SCALES), *(f"SCALE {scale}" for scale in SCALES),
    *(f"{a} x {b}" for a in PLAIN_LENGTHS for b in PLAIN_LENGTHS), *CIRCUITS, *PANELS, *SHEETS, *RATINGS,
    *OTHERS,
)  # fmt: skip

# Shapes that fonts share, and how much less likely than its own name a glyph is to be the other (nat): estimates,
# in the order in which drafting fonts draw them alike.
ALIKE = (
    ("O", "0", 0.5), ("I", "1", 0.5), ("I", "l", 0.7), ("1", "l", 0.9), ("o", "0", 1.0), ("S", "5", 2.5),
    ("Z", "2", 2.5), ("B", "8", 3.0), ("G", "6", 3.5), ("'", ",", 2.5), ("-", ".", 4.0), ("D", "0", 4.0),
    ("Q", "0", 4.0), ("x", "×", 0.5), ("X", "×", 1.0), ("X", "x", 0.5), (",", ".", 1.5), ("I", "/", 1.5),
    ("'", "1", 3.0), ("'", '"', 4.0),
)  # fmt: skip
LEAST = -7.0  # nat: what one glyph can cost a word


@dataclass(frozen=True, eq=False)
class Book:
    texts: tuple[str, ...]  # as written, blanks and classes in place
    word: BoolArray  # (t,) from the vocabulary
    column: IntArray  # (t, n) column of the score table


def scores(chance: FloatArray) -> FloatArray:
    """(g, classes + 3) log probabilities with look-alikes shared and lower case folded into capitals; the last
    columns are those of the pattern letters ``9``, ``8`` and ``X``."""
    p = chance.copy()
    for capital in "ABCDEFGHIJKLMNOPQRSTUVWXYZ":
        upper, lower = INDEX[capital], INDEX[capital.lower()]
        p[:, upper] = np.logaddexp(p[:, upper], p[:, lower])
    out = p.copy()
    for a, b, cost in ALIKE:
        i, j = INDEX[a], INDEX[b]
        out[:, i] = np.maximum(out[:, i], p[:, j] - cost)
        out[:, j] = np.maximum(out[:, j], p[:, i] - cost)
    classes = [out[:, CLASS[letter]].max(axis=1) for letter in CLASS]
    return np.maximum(np.column_stack([out, *classes]), LEAST)


FIGURES = np.array([INDEX[c] for c in "0123456789"])
CAPITALS = np.array([INDEX[c] for c in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"])
CLASS = {"9": FIGURES, "8": FIGURES[1:], "X": np.array([INDEX[c] for c in "ABCDEFGHJKLMNPQRSTUVWXYZ"])}
MARKS = np.array([i for i, c in enumerate(CLASSES) if not c.isalnum() and c != "~"])
NUMERIC = np.array([INDEX[c] for c in "0123456789'\"-./:=+"])


# What figures, and letters of panels, look like upside down.
TURNED = dict(zip("0123456789OIZEHSGLTB-", "OIZEHSGLBG0123459778-", strict=True))
TAG = re.compile(r"[A-Z]{1,2}-?\d{1,2}")


def turns_into_a_tag(text: str) -> bool:
    """May a circuit's tag be another one, read from the other side: B-17 is LT-8, E15 is S13."""
    return all(letter in TURNED for letter in text) and bool(
        TAG.fullmatch("".join(TURNED[letter] for letter in reversed(text)))
    )


@cache
def vocabulary() -> frozenset[str]:
    text = resources.files("cordpath.sheet.lettering").joinpath("vocabulary.txt").read_text(encoding="utf-8")
    return frozenset(
        word for line in text.splitlines() if not line.startswith("#") for word in line.split()
        if all(letter in INDEX for letter in word)
    )  # fmt: skip


@cache
def book(length: int, spaced: bool) -> Book | None:
    """Patterns and words of ``length`` glyphs; ``spaced``: those written with blanks, else those without."""
    patterns = sorted({p for p in PATTERNS if (" " in p) == spaced and len(p.replace(" ", "")) == length})
    words = sorted(w for w in vocabulary() if len(w) == length) if not spaced else []
    texts = (*patterns, *words)
    if not texts:
        return None
    plain = [p.replace(" ", "") for p in patterns]
    columns = [[_column(c) for c in p] for p in plain] + [[INDEX[c] for c in w] for w in words]
    return Book(texts, np.arange(len(texts)) >= len(patterns), np.array(columns))


def _column(letter: str) -> int:
    return len(CLASSES) + list(CLASS).index(letter) if letter in CLASS else INDEX[letter]


def filled_in(text: str, score: FloatArray, is_word: bool) -> str:
    """A pattern with its classes replaced by the likeliest figures and capitals."""
    if is_word:
        return text
    out, at = [], 0
    for letter in text:
        if letter == " ":
            out.append(letter)
            continue
        if letter in CLASS:
            columns = CLASS[letter]
            letter = CLASSES[columns[score[at, columns].argmax()]]
        out.append(letter)
        at += 1
    return "".join(out)
