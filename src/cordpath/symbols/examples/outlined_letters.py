"""Letters of an example that its writer turned into outlines are letters: on the plan they stand upright at
whatever wall the symbol stands, and an R is no G.

Terms: *bridge*, an edge of a filled ring that is run to and fro, between its outer edge and that of a hole.
"""

from __future__ import annotations

import numpy as np

from cordpath.geometry import lengths
from cordpath.model import POINTS_PER_INCH, FloatArray, Mark, PolylineMark, TextMark
from cordpath.symbols.letters.drawn_letters import SHAPES, SURE, SURE_ALONE
from cordpath.symbols.letters.glyphs import TALLEST, GlyphReader, Glyphs, whole_rows
from cordpath.symbols.letters.words_over import BARS

# Of its height, how wide the pen is that draws a letter at most: bold ones are a fifth; of a solid triangle, whose
# width is measured likewise as twice its area by its edge, it is 0.29 and more.
BOLDEST = 0.26
# Letters of a word: middles apart and gaps, of the height of a capital; and how high the lower one is, at least.
# Gaps between words are wider (a third of the height and more), so GFI beside a circuit's tag stays a mark.
OFF_LINE, APART, AS_HIGH = 0.15, 0.2, 0.75
FEWEST_UNREAD = 4  # GFI and W/P are of three letters: more that are not read are a text and no mark
UNREAD = "a text that could not be read stands beside its sign in the legend"
OPEN = "C"  # the one bar or ring that by itself is more likely a letter; a closed one is seldom an O
BARE = {"I": "|'"}  # signs that are drawn as a letter, and stand in no symbol


def read_as_text(marks: tuple[Mark, ...], read: GlyphReader) -> tuple[Mark, ...]:
    """The marks with the filled ones that are surely letters as texts, those side by side as one."""
    rings = [
        (k, np.asarray(mark.points, float) * POINTS_PER_INCH)
        for k, mark in enumerate(marks)
        if isinstance(mark, PolylineMark) and mark.filled and len(mark.points) > 2
    ]
    thin = [(k, _edges(ring)) for k, ring in rings if letter_like(ring)]
    if not thin:
        return marks
    numbers = [np.array([k]) for k, _ in thin]
    glyphs = Glyphs([edges for _, edges in thin], numbers, np.zeros((len(thin), 4)), True).seen(0.0)
    rows = list(whole_rows(glyphs))
    rows += [[k] for k in range(len(glyphs.xy)) if not any(k in row for row in rows)]
    gone: set[int] = set()
    texts: list[Mark] = []
    for row in rows:
        text = _said(glyphs, row, read)
        if text:
            gone.update(int(glyphs.segments[k][0]) for k in row)
            middle = (glyphs.box[row][:, :2].min(0) + glyphs.box[row][:, 2:].max(0)) / (2 * POINTS_PER_INCH)
            texts.append(TextMark(text, (float(middle[0]), float(middle[1]))))
    return (*(mark for k, mark in enumerate(marks) if k not in gone), *texts)


def unread_letters(marks: tuple[Mark, ...]) -> bool:
    """Are so many marks letters that nobody could read, that a text beside the symbol was taken with it?"""
    rings = [np.asarray(m.points, float) for m in marks if isinstance(m, PolylineMark) and m.filled]
    return sum(letter_like(ring * POINTS_PER_INCH) for ring in rings if len(ring) > 2) >= FEWEST_UNREAD


def _said(glyphs: Glyphs, row: list[int], read: GlyphReader) -> str:
    """The letters of a row, "" where one of them is not sure or all may be bars and rings."""
    least = SURE if len(row) > 1 else SURE_ALONE
    told = read([glyphs.xy[k] for k in row], True)
    best = [likeliest(chances) for chances in told]
    if not all(share >= least and letter.isalnum() for letter, share in best):
        return ""
    text = "".join(letter for letter, _ in best).upper()
    return "" if text != OPEN and all(letter in BARS for letter in text) else text


def likeliest(chances: dict[str, float]) -> tuple[str, float]:
    """A glyph's likeliest letter and its chance.  A bar is an I with the chances of all that is drawn as a bar: by
    its looks alone no I was ever sure, and IG and GFI were no letters."""
    letter, share = max(chances.items(), key=lambda each: each[1], default=("", 0.0))
    like = next(((known, same) for known, same in SHAPES.items() if letter in (known, *BARE.get(known, ""))), None)
    return (letter, share) if like is None else (like[0], sum(chances.get(each, 0.0) for each in like[1]))


def running_out(inner: list[FloatArray], around: list[FloatArray]) -> set[int]:
    """Which of the rings (p, 2) in a box, pt, are letters of a label that runs out of it: side by side with one of
    those ``around`` the box, or with another that is.  The W of WALL lay outside, and its A was taken for a mark.
    """
    letters = {k: _box(ring) for k, ring in enumerate(inner) if letter_like(ring)}
    out = [_box(ring) for ring in around if letter_like(ring)]
    gone: set[int] = set()
    while out:
        other = out.pop()
        beside = {k for k, box in letters.items() if k not in gone and _is_beside(box, other)}
        gone |= beside
        out += [letters[k] for k in beside]
    return gone


def _box(ring: FloatArray) -> FloatArray:
    return np.r_[ring.min(axis=0), ring.max(axis=0)]


def _is_beside(one: FloatArray, two: FloatArray) -> bool:
    """About as high as each other, on one line and a letter's gap apart?"""
    high = (one[3] - one[1], two[3] - two[1])
    level = abs((one[3] + one[1]) - (two[3] + two[1])) / 2 <= OFF_LINE * max(high)
    gap = max(one[0], two[0]) - min(one[2], two[2])
    return bool(level and min(high) >= AS_HIGH * max(high) and -max(high) / 2 <= gap <= APART * max(high))


def letter_like(ring: FloatArray) -> bool:
    """Is it of a letter's size, and drawn as with a pen?"""
    edges = _edges(ring)
    high = float(np.ptp(edges.reshape(-1, 2), axis=0).max())
    if not 0 < high <= TALLEST:
        return False
    x, y = ring.T
    area = abs(float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum())) / 2
    return 2 * area <= BOLDEST * high * float(lengths(edges).sum())


def _edges(ring: FloatArray) -> FloatArray:
    """(n, 4) edges of the closed ring (p, 2), without bridges."""
    edges = np.c_[ring, np.roll(ring, -1, axis=0)]
    back = (edges[:, 0] > edges[:, 2]) | ((edges[:, 0] == edges[:, 2]) & (edges[:, 1] > edges[:, 3]))
    one_way = np.where(back[:, None], edges[:, [2, 3, 0, 1]], edges)
    _, of, count = np.unique(one_way, axis=0, return_inverse=True, return_counts=True)
    kept = (count[of.ravel()] == 1) & (lengths(edges) > 0)
    return edges[kept]
