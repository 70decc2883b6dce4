"""Where the blanks of a line are: gaps that are none, may be one, or surely are.

Terms: *unit*, glyphs between two gaps that may be blanks.
"""

from __future__ import annotations

from itertools import accumulate, pairwise

from cordpath.sheet.lettering.classify import INDEX
from cordpath.sheet.lettering.glyph_table import GlyphTable

NO_BLANK = (0.12, 0.25)  # of the cap height: a gap over the usual one by this, and this wide, may be a blank
BLANK = (0.4, 0.45, 0.8)  # of the cap height: over the usual one by this, at least, at most, it is one
SURELY = 0.05  # least chance that a gap between these is, or is not, a blank
MAYBE = 0.9  # greatest chance of a gap up to the widest that words have inside
NARROW, ROOM = 0.35, 0.6  # of the cap height: 1 and I are narrower than this, and may have as much room as this
UPRIGHT = frozenset(INDEX[c] for c in "1Iil")
EVENLY = 0.5  # greatest chance of a blank where the room of a narrow letter explains the gap as well
PITCHES, EVEN, MOSTLY = 4, 0.07, 0.9  # letters of one width: steps at least, how near to the pitch, and how many
GAPS = 0.6  # of the cap height: gaps that count for the usual one
STOPS = frozenset(INDEX[c] for c in ".,:")
AFTER_STOP = 0.9


def units(table: GlyphTable, first: int, last: int, cap: float) -> tuple[list[tuple[int, int]], list[float]]:
    """Glyphs ``first`` to ``last`` in units: (first, last) of each, and the chance that the gap before it is a
    blank."""
    if first == last:
        return [(first, last)], [1.0]
    left, right = table.left[first : last + 1], table.right[first : last + 1]
    gap = [x - end for x, end in zip(left[1:], accumulate(right[:-1], max), strict=True)]
    close = [g for g in gap if g < GAPS * cap]
    usual = _median(close) if close else 0.15 * cap
    low = max(usual + NO_BLANK[0] * cap, NO_BLANK[1] * cap)
    high = min(max(usual + BLANK[0] * cap, BLANK[1] * cap), BLANK[2] * cap)
    chance = [(g - low) / max(high - low, 0.05 * cap) for g in gap]
    if len(gap) >= PITCHES:
        chance = _by_pitch(chance, [(a + b) / 2 for a, b in zip(left, right, strict=True)], cap)
    cuts = [k for k, c in enumerate(chance) if c > 0]
    edges = [first, *(k + first + 1 for k in cuts), last + 1]
    own = [_room(table, first + k, cap) + _room(table, first + k + 1, cap) for k in cuts]
    return [(a, b - 1) for a, b in pairwise(edges)], [
        1.0,
        *(
            min(EVENLY, chance[k])
            if less > 0 and gap[k] - less <= high
            else _blank(table.top[first + k], gap[k], chance[k], cap)
            for k, less in zip(cuts, own, strict=True)
        ),
    ]


def _median(values: list[float]) -> float:
    ranked, half = sorted(values), len(values) // 2
    return ranked[half] if len(values) % 2 else (ranked[half - 1] + ranked[half]) / 2


def _room(table: GlyphTable, glyph: int, cap: float) -> float:
    """White beside a narrow letter that is its own, where all letters have one width."""
    width = table.right[glyph] - table.left[glyph]
    if width > NARROW * cap or table.top[glyph] not in UPRIGHT:
        return 0.0
    return (ROOM * cap - width) / 2


def _by_pitch(chance: list[float], middle: list[float], cap: float) -> list[float]:
    """In letters of one width a blank is a place left out."""
    step = [b - a for a, b in pairwise(middle)]
    pitch = _median(step)
    if pitch <= 0.5 * cap:
        return chance
    places = [round(s / pitch) for s in step]
    even = [abs(s / pitch - p) < EVEN for s, p in zip(step, places, strict=True)]
    if sum(even) / len(even) < MOSTLY:
        return chance
    return [(1.0 if p > 1 else -1.0) if e else c for c, e, p in zip(chance, even, places, strict=True)]


def _blank(before: int, gap: float, chance: float, cap: float) -> float:
    """Chance that the gap after a glyph, likeliest of class ``before``, is a blank; even a wide one may be inside
    a word: I in letters of one width."""
    blank = 1.0 if gap > BLANK[2] * cap else min(max(chance, SURELY), MAYBE)
    return max(blank, AFTER_STOP) if before in STOPS else blank  # a wide gap after : is a blank
