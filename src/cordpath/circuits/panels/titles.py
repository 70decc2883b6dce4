"""Which headings are whose: a panel schedule has its title over it, or under it as a view has.

A title between two tables is the upper one's where that has none over it and the title stands much nearer to it;
where neither is much nearer, titles under all tables of a stack settle it.  Otherwise both tables get the title,
and a circuit counts only where both say the same.  That titles stand over or under is common practice, no source.
"""

from __future__ import annotations

import re
from itertools import pairwise

from cordpath.circuits.panels.headings import Column, column, is_strong, is_titled
from cordpath.circuits.panels.tables import ASIDE, Half
from cordpath.circuits.panels.words import Reading, Text, lines, phrases, top_under

LEAST_ROWS = 4  # rows with circuit numbers under a heading: fewer may be anything
REACH = 14.0  # a panel's heading stands at most this many font sizes above its table, or below it
CLOSE = 6.0  # font sizes under a table within which its name, come again, is its own title and no other's
NEARER = 2.0  # times as near to one table as to another: the title is the nearer one's

LEAST_LETTERS = 3  # of a word that is looked at by itself: its neighbours may have been read wrong
MOST_WORDS = 4  # of a header, as DESCRIPTION OF LOAD SERVED; a sentence has more
_OF_BREAKERS = frozenset({"amperes", "poles", "notes", "gfci", "circuit"})  # columns that tell of breakers
Heading = tuple[Text, str]  # with the panel's name
Table = tuple[list[Text], list[Half]]  # the headers of a band, and its halves


def titles_of(headings: list[Heading], tables: list[Table]) -> tuple[list[list[int]], frozenset[int]]:
    """The headings of each table, left to right, and those that may be of two tables."""
    over = [above(headings, heads) for heads, _ in tables]
    under = [_under(headings, *table) for table in tables]
    under = [[i for i in mine if not _beside(headings[i][0], k, tables)] for k, mine in enumerate(under)]
    found: list[list[int]] = []
    taken: set[int] = set()
    shared: set[int] = set()
    for k, (_, parts) in enumerate(tables):
        own = [i for i in over[k] if i not in taken]
        if parts and not any(headings[i][1] for i in own):
            own = [i for i in under[k] if _may_title(i, k, headings, tables, over, taken)] or own
            for i in set(own) & set(under[k]):
                below = next((j for j in range(k + 1, len(tables)) if i in over[j]), None)
                if below is None or under[below] or _nearer(headings[i][0], parts, tables[below][0]):
                    taken.add(i)
                else:
                    shared.add(i)
        found.append(own)
    return found, frozenset(shared)


def _may_title(
    i: int, k: int, headings: list[Heading], tables: list[Table], over: list[list[int]], taken: set[int]
) -> bool:
    """May a heading under a table be its title, and not surely that of a table further down?"""
    text = headings[i][0]
    below = [tables[j][0] for j in range(k + 1, len(tables)) if i in over[j]]
    if not below:
        close = text.y - max(half.bottom for half in tables[k][1]) <= CLOSE * text.size
        return close or is_titled(text.text) or bool(taken)
    return not _nearer(text, tables[k][1], below[0], lower=True)


def _nearer(title: Text, upper: list[Half], lower_heads: list[Text], *, lower: bool = False) -> bool:
    """Is a title between two tables much nearer to the upper one, or to the lower one?"""
    up = max(title.y0 - max(half.bottom for half in upper), 0.0)
    down = max(top_under(title, lower_heads) - title.y1, 0.0)
    return NEARER * down <= up if lower else NEARER * up <= down


def above(headings: list[Heading], heads: list[Text]) -> list[int]:
    """Headings that stand over a band, left to right; of stacked ones the named, then the nearest."""
    margin = ASIDE * heads[0].size
    tops = [max(heads[0].y0, top_under(text, heads)) for text, _ in headings]
    x0, x1 = heads[0].x0 - margin, heads[-1].x1 + margin
    near = [
        i for i, (text, _) in enumerate(headings)
        if 0 <= tops[i] - text.y <= REACH * max(text.size, heads[0].size) and text.x1 > x0 and text.x0 < x1
    ]  # fmt: skip
    near.sort(key=lambda i: (not headings[i][1], tops[i] - headings[i][0].y))
    return _side_by_side(near, headings)


def _under(headings: list[Heading], heads: list[Text], parts: list[Half]) -> list[int]:
    """Named headings that stand under a table, left to right; of stacked ones the nearest."""
    if not parts:
        return []
    bottom = max(half.bottom for half in parts)
    margin = ASIDE * heads[0].size
    near = [
        i for i, (text, name) in enumerate(headings)
        if name and 0 <= text.y - bottom <= REACH * max(text.size, heads[0].size)
        and text.x1 > heads[0].x0 - margin and text.x0 < heads[-1].x1 + margin
    ]  # fmt: skip
    near.sort(key=lambda i: headings[i][0].y)
    return _side_by_side(near, headings)


def _beside(text: Text, k: int, tables: list[Table]) -> bool:
    """Does a heading stand beside the headers of a table, and under those of another?"""
    spans = [(heads[0].x0, heads[-1].x1) if parts else (0.0, 0.0) for heads, parts in tables]
    over = [x0 < text.x1 and x1 > text.x0 for x0, x1 in spans]
    return not over[k] and any(over)


def _side_by_side(near: list[int], headings: list[Heading]) -> list[int]:
    """Of headings, likeliest first, those that do not stand over each other."""
    kept: list[int] = []
    for i in near:
        text = headings[i][0]
        if not headings[i][1] and kept:
            continue
        if all(text.x0 > headings[j][0].x1 or text.x1 < headings[j][0].x0 for j in kept):
            kept.append(i)
    return sorted(kept, key=lambda i: headings[i][0].x0)


def all_over(i: int, headings: list[Heading], heads: list[Text]) -> set[int]:
    """The heading that named a table, with others of the same name or none stacked over it."""
    text, name = headings[i]
    top = heads[0].y0
    return {i} | {
        j for j, (other, said) in enumerate(headings)
        if said in ("", name) and 0 <= top - other.y <= REACH * max(other.size, heads[0].size)
        and other.x1 > text.x0 - REACH * text.size and other.x0 < text.x1 + REACH * text.size
    }  # fmt: skip


def named_under(i: int, headings: list[Heading], heads: list[Text], parts: list[Half]) -> set[int]:
    """Headings of the same name close under the table that one named."""
    bottom = max(half.bottom for half in parts)
    return {
        j for j in _under(headings, heads, parts)
        if headings[j][1] == headings[i][1] and headings[j][0].y - bottom <= CLOSE * headings[j][0].size
    }  # fmt: skip


def stands_over_headers(text: Text, reading: Reading, read: list[list[Text]]) -> bool:
    """Do headers stand under a heading, of circuits or of loads and more, that none of the tables ``read`` has?"""
    margin, depth = ASIDE * text.size, REACH * text.size
    near = [w for w in reading.words if 0 < w.y - text.y <= depth and text.x0 - margin < w.x < text.x1 + margin]
    known = [head for heads in read for head in heads]
    return any(_are_headers(_columns_of(line, reading, known)) for line in lines(near))


def _columns_of(line: list[Text], reading: Reading, known: list[Text]) -> dict[Column | None, str]:
    """The kinds of columns that a line's phrases, or words of them by themselves, head; not those of ``known``."""
    parts = [part for part in phrases(line, reading) if len(part.text.split()) <= MOST_WORDS]
    alone = [w for w in line if len(w.text) >= LEAST_LETTERS and any(p.x0 <= w.x <= p.x1 for p in parts)]
    return {
        column(part.text): part.text for part in (*alone, *parts)
        if not any(h.x0 <= part.x <= h.x1 and h.y0 - 1 <= part.y <= h.y1 + 1 for h in known)
    }  # fmt: skip


def _are_headers(kinds: dict[Column | None, str]) -> bool:
    """Are they the columns of a panel schedule: circuits, loads and something of breakers, or two of breakers?"""
    words = {kind for kind, said in kinds.items() if len(said) >= LEAST_LETTERS}
    loads = "description" in kinds and bool(kinds.keys() & _OF_BREAKERS)
    return is_strong(kinds.get("circuit", "")) or loads or len(words & _OF_BREAKERS) > 1


def stands_over_rows(text: Text, reading: Reading, read: list[Half]) -> bool:
    """Do lines that begin with circuit numbers stand under a heading, in no table that was read?

    The numbers run on by one or two, with other words behind each: notes have a full stop behind theirs.
    """
    margin, depth = ASIDE * text.size, REACH * text.size
    near = [
        w for w in reading.words
        if 0 < w.y - text.y <= depth and w.x > text.x0 - margin
        and not any(half.x0 <= w.x <= half.x1 and half.anchors[0].y0 <= w.y <= half.bottom for half in read)
    ]  # fmt: skip
    heads = [line[0] for line in lines(near) if len(line) > 1 and line[0].x0 < text.x1 + margin]
    numbers = [int(head.text) for head in heads if re.fullmatch(r"[1-9]\d?", head.text)]
    steps = {after - before for before, after in pairwise(numbers)}
    return len(numbers) >= LEAST_ROWS and steps <= {1, 2}


def shared_out(parts: list[Half], over: list[int], headings: list[Heading]) -> list[tuple[int | None, list[Half]]]:
    """Halves by heading: with several headings over one band a new panel begins where circuits repeat."""
    if not parts:
        return []
    if len(over) <= 1:
        return [(over[0] if over else None, parts)]
    panels: list[list[Half]] = []
    seen: set[str] = set()
    for half in parts:
        numbers = {anchor.text for anchor in half.anchors}
        if not panels or numbers & seen:
            panels.append([])
            seen = set()
        panels[-1].append(half)
        seen |= numbers
    if len(panels) == len(over):
        return list(zip(over, panels, strict=True))
    nearest = [min(over, key=lambda i: _apart(headings[i][0], members)) for members in panels]
    return list(zip(nearest, panels, strict=True))


def _apart(heading: Text, members: list[Half]) -> tuple[float, float]:
    """How far a heading stands beside the headers of a table, then from their middle, in points.

    By the headers: a last column reaches over the paper to its right, and there the next table's heading stands.
    """
    heads = [field.head for half in members for field in half.fields]
    x0, x1 = min(head.x0 for head in heads), max(head.x1 for head in heads)
    return max(0.0, heading.x0 - x1, x0 - heading.x1), abs(heading.x - (x0 + x1) / 2)


def rival_of(i: int, members: list[Half], over: list[int], headings: list[Heading]) -> Text | None:
    """A heading of another panel that stands over the same headers as the one which named them."""
    others = [headings[j][0] for j in over if headings[j][1] not in ("", headings[i][1])]
    return next((text for text in others if _apart(text, members)[0] == 0), None)
