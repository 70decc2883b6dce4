"""The strokes that a sheet's own letters are drawn of.

A plotter draws one letter with the same strokes every time: what clear words show of a letter tells, stroke by
stroke, where the same letter lies under other ink.

Terms: *example*, a glyph of a word that was read, without the duplicates of its strokes; *form*, the strokes that
examples of one letter have in common, from the left end of the letter's base, at the sheet's usual size; *alike*,
of forms: the same strokes within what a plotter's grid adds.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, replace

import numpy as np

from cordpath.geometry import forward
from cordpath.model import FloatArray
from cordpath.sheet.lettering.classify import CLASSES, INDEX
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.glyphs import Reading
from cordpath.sheet.lettering.parts import Parts
from cordpath.sheet.lettering.rows import Said
from cordpath.sheet.lettering.runs import turned
from cordpath.sheet.lettering.trust import SETTLED

GRID = 0.12  # pt, 1/600 in: the coarsest grid that plotters were seen to round to
ALIKE = 2 * GRID + 0.01  # pt between ends of one stroke in two examples: each is rounded, and so is its base
CLEAR = 0.95  # least chance of a glyph that is an example though its word is not settled
EXAMPLES, MOST_EXAMPLES = 2, 12  # of a letter: that a form needs, and that are looked at
WORD = 3  # letters of a text that makes sense, from which each of its clear letters is right
SEEDS = 4  # examples that are tried as the form of all
RARE = 0.1  # of the examples of a form, that are read as another letter now and then: misread ones
ONE_SIZE = 0.04  # relative: cap heights of one size of lettering
SIZES = 4  # of lettering on a sheet, the most frequent ones
LEAST_TIMES = 2  # rows of a size
NOISE = 1e-6  # pt between sizes that are one: what divisions leave; a search for the same again finds nothing
TELLING = 4  # strokes of a letter that tells a size


@dataclass(frozen=True, eq=False)
class Form:
    letters: str  # more than one where the sheet draws them alike (O and 0)
    xy: FloatArray  # (k, 4) pt, in the reading frame
    times: int  # examples
    proved: bool  # two words or more that leave no doubt have it, and as no other letter


@dataclass(frozen=True, eq=False)
class Forms:
    """``ratios``: sizes that the sheet letters in, over the size of the forms, the most frequent first."""

    forms: tuple[Form, ...]
    cap: float
    ratios: tuple[float, ...]


def letter_forms(said: list[Said], ink: Parts) -> Forms | None:
    """What the rows show; None where they show no size of lettering."""
    rows = [each for each in said if not each.row.reading.filled]
    size = _sizes([each.row.reading.cap for each in rows if each.kept])
    if not size:
        return None
    start = np.searchsorted(ink.owner, np.arange(len(ink) + 1))
    examples = _examples(rows, ink, start, size[0])
    forms = _distinct([form for letter, own in sorted(examples.items()) for form in _forms(letter, own)])
    others = [each for each in rows if abs(each.row.reading.cap / size[0] - 1) > ONE_SIZE]
    telling: dict[int, list[Form]] = defaultdict(list)
    for form in forms:
        if len(form.xy) >= TELLING:
            telling[len(form.xy)].append(form)
    more = _sizes([cap for each in others for cap in _size_of(each, ink, start, telling, size[0])])
    ratios = [1.0]
    for cap in more[: SIZES - 1]:
        if min(abs(cap - ratio * size[0]) for ratio in ratios) > NOISE:
            ratios.append(cap / size[0])
    return Forms(tuple(forms), size[0], tuple(ratios))


def _sizes(caps: list[float]) -> list[float]:
    """Mean cap height of each size, the most frequent first."""
    groups: list[list[float]] = []
    for cap in sorted(caps):
        if groups and cap <= groups[-1][0] * (1 + 2 * ONE_SIZE):
            groups[-1].append(cap)
        else:
            groups.append([cap])
    groups = [own for own in groups if len(own) >= LEAST_TIMES]
    return [float(np.mean(own)) for own in sorted(groups, key=lambda own: -len(own))]


# -------------------------------------------------------------------------------------------- examples

Example = tuple[FloatArray, bool]  # strokes, and whether its word leaves no doubt about its letters


def _examples(rows: list[Said], ink: Parts, start: np.ndarray, cap: float) -> dict[str, list[Example]]:
    out: dict[str, list[tuple[Reading, int, bool]]] = defaultdict(list)
    for each in rows:
        reading = each.row.reading
        if abs(reading.cap / cap - 1) > ONE_SIZE:
            continue
        for token, sure in each.kept:
            if token.last - token.first + 1 != len(token.text):
                continue
            sound = token.hit and token.least >= CLEAR
            settled = sure.confidence >= SETTLED or without_doubt(token)
            for k, letter in enumerate(token.text, token.first):
                if len(out[letter]) < 4 * MOST_EXAMPLES and (
                    settled or sound or _chance(reading, k, letter) >= CLEAR
                ):
                    out[letter].append((reading, k, settled))
    return {
        letter: [
            (glyph_strokes(reading, k, ink, start), settled)
            for reading, k, settled in sorted(own, key=lambda each: not each[2])[:MOST_EXAMPLES]  # settled first
        ]
        for letter, own in out.items()
    }


def without_doubt(token: Token) -> bool:
    """Makes it sense and is each of its letters clear?  Others may have been cut off of it."""
    return token.hit and token.span >= WORD and token.least >= CLEAR and token.seconded is not False


def _chance(reading: Reading, glyph: int, letter: str) -> float:
    cases = {INDEX[case] for case in (letter.upper(), letter.lower(), letter) if case in CLASSES}
    return float(np.exp(reading.chance[glyph][sorted(cases)]).sum())


def glyph_strokes(reading: Reading, glyph: int, ink: Parts, start: np.ndarray) -> FloatArray:
    """(k, 4) the strokes of a glyph, each once, from the left end of its base."""
    xy = np.concatenate([ink.xy[start[part] : start[part + 1]] for part in reading.parts[glyph]])
    xy = turned(xy.reshape(-1, 2), reading.angle).reshape(-1, 4)
    left = float(xy[:, [0, 2]].min())
    return once(xy - [left, reading.base, left, reading.base])


def once(xy: FloatArray) -> FloatArray:
    """Strokes without those drawn again, and without dots of no length."""
    xy = forward(xy)
    xy = xy[(np.abs(xy[:, 2:] - xy[:, :2]) > 1e-3).any(axis=1)]
    return np.array(sorted(set(map(tuple, np.round(xy, 3).tolist()))), float).reshape(-1, 4)


# ----------------------------------------------------------------------------------------------- forms


def paired(one: FloatArray, other: FloatArray) -> FloatArray | None:
    """The strokes of ``other`` in the order and the sense of those of ``one``; None unless they are alike."""
    if len(one) != len(other) or not len(one):
        return None
    ways = np.stack([other, other[:, [2, 3, 0, 1]]])
    gap = np.abs(one[None, :, None] - ways[:, None]).max(axis=3)  # (2, k, k)
    way = gap.argmin(axis=0)
    least = gap.min(axis=0)
    mate = least.argmin(axis=1)
    fits = least[np.arange(len(one)), mate].max() <= ALIKE and len(set(mate.tolist())) == len(one)
    return ways[way[np.arange(len(one)), mate], mate] if fits else None


def _forms(letter: str, examples: list[Example]) -> list[Form]:
    """The forms of a letter, for lower case and alternates may differ; most letters have one."""
    out: list[Form] = []
    left = examples
    while len(left) >= EXAMPLES and len(out) < 2:
        counts = Counter(len(xy) for xy, _ in left)
        usual = max(counts, key=lambda k: (counts[k], -k))
        own = [each for each in left if len(each[0]) == usual]
        found = max((_same(seed[0], own) for seed in own[:SEEDS]), key=len)
        if len(found) < EXAMPLES:
            break
        mean = np.mean([xy for _, xy, _ in found], axis=0)
        proved = sum(settled for _, _, settled in found) >= EXAMPLES
        out.append(Form(letter, mean, len(found), proved))
        used = {k for k, _, _ in found}
        rest = [each for k, each in enumerate(own) if k not in used]
        left = [each for each in left if len(each[0]) != usual] + rest
    return out


def _same(seed: FloatArray, examples: list[Example]) -> list[tuple[int, FloatArray, bool]]:
    pairs = [(k, paired(seed, xy), settled) for k, (xy, settled) in enumerate(examples)]
    return [(k, xy, settled) for k, xy, settled in pairs if xy is not None]


def _distinct(forms: list[Form]) -> list[Form]:
    """Each form once: of letters drawn alike the one that it nearly always is, or all of them."""
    out: list[Form] = []
    for form in sorted(forms, key=lambda form: -form.times):
        twin = next((k for k, other in enumerate(out) if paired(other.xy, form.xy) is not None), None)
        if twin is None:
            out.append(form)
        elif form.letters not in out[twin].letters and (form.times > RARE * out[twin].times or form.proved):
            out[twin] = replace(out[twin], letters=out[twin].letters + form.letters, proved=False)
    return out


def _size_of(said: Said, ink: Parts, start: np.ndarray, forms: dict[int, list[Form]], cap: float) -> list[float]:
    """The cap height at which the first glyph of a row has one of the ``forms``, by their number of strokes."""
    xy = glyph_strokes(said.row.reading, 0, ink, start)
    for form in forms.get(len(xy), ()):
        high, low = float(form.xy[:, 1::2].max()), float(form.xy[:, 1::2].min())
        ratio = float(np.ptp(xy[:, 1::2])) / max(high - low, 1e-9)
        down = high * ratio - float(xy[:, 1::2].max())
        if paired(form.xy * ratio, xy + np.array([0.0, down, 0.0, down])) is not None:
            return [cap * ratio]
    return []
