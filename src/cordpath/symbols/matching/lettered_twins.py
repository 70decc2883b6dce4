"""Symbols that only letters tell apart: a circle with two bars, and the same with GFI beside it.

A winner without letters is in doubt where the letters of its twin stand nearby and no other symbol uses them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from scipy.spatial import cKDTree

from cordpath.model import FIXTURE_KINDS, FloatArray, Word
from cordpath.symbols.letters.letters import SURE, Letters
from cordpath.symbols.letters.no_letters import no_letters
from cordpath.symbols.letters.scribbles import scribbled, text_places
from cordpath.symbols.matching.evidence import CERTAIN, FILLED, Candidate
from cordpath.symbols.matching.in_common import OWN_INK, own_share, painted
from cordpath.symbols.matching.in_passing import passes
from cordpath.symbols.pose import place
from cordpath.symbols.templates.orbits import orbits
from cordpath.symbols.templates.same_lines import laid_on, on_the_other
from cordpath.symbols.templates.template import Template

BESIDE = 2.0  # of a letter's size: how far from a mark's place a word may be that is the mark
AT_ITS_PLACE = 0.75  # the same for letters in the midst of a longer word, which are not all equally wide
RUN_TOGETHER = 3  # letters of a mark from which it is looked for inside longer words
# of a word's size, for each letter: the mean of a mark's, in the narrowest face with a second text above or below
# that makes the word taller, and in the broadest
NARROW, BROAD = 0.25, 0.9
CAP = 0.7  # of a word's size: how high its capitals are; no mark is higher than its symbol
SAME_PLACE = 0.5  # of the body's radius: how far from its middle that of a body at one place with it may be
WITHOUT_TEXT = "{!r} without its text explains lines that {!r} does not"


def with_twins(
    winners: tuple[Candidate, ...], candidates: list[Candidate], letters: Letters
) -> tuple[Candidate, ...]:
    """The winners, in doubt where letters that would make one its lettered twin stand nearby, used by nobody."""
    templates = {id(c.template): c.template for c in candidates}.values()
    lettered = [t for t in templates if t.drawn.texts and not t.text_only]
    if not lettered:
        return winners
    used = {word for c in winners for word in c.words}
    return tuple(_twin_checked(c, lettered, used, letters) if c.found and not c.template.drawn.texts else c
                 for c in winners)  # fmt: skip


def _twin_checked(c: Candidate, lettered: list[Template], used: set[int], letters: Letters) -> Candidate:
    for other in lettered:
        if other.name == c.template.name or not laid_on(c.template, other):
            continue
        value, x, y = other.drawn.texts[0]
        poses, first = on_the_other(c.template, other, c.poses), on_the_other(c.template, other, c.poses[:1])
        if _may_be_drawn(value, other, poses, first, c, letters):
            return c.doubted(f"strokes beside it may be the letters {value!r} of {other.name!r}", other.name)
        if letters.turned is not None and any(letters.turned(other, pose, c.ink) for pose in first):
            return c.doubted(f"letters beside it may be {value!r} of {other.name!r}, turned with it", other.name)
        if letters.unread_areas(other, poses, c.ink, painted(c)):
            return c.doubted(
                f"outlined letters beside it may be the letters {value!r} of {other.name!r}", other.name
            )
        spots = place(orbits(other, first).reshape(-1, 5), np.array([[x, y]]))[:, 0]
        for k in letters.near(c.centre, c.radius + 30.0):
            mark = value.upper()
            if k in used:
                continue
            if _says(letters.text[k], mark):
                at, slack = _place_of(mark, k, letters)
                told = float(np.hypot(*(spots - at).T).min()) < slack
            else:
                word = letters.words[k]
                told = CAP * word.size <= 2 * c.radius and _may_say(word, mark, spots)
            if told:
                return c.doubted(f"{letters.text[k]!r} beside it may make it {other.name!r}", other.name)
    return c


def _may_be_drawn(
    value: str, other: Template, poses: FloatArray, first: FloatArray, c: Candidate, letters: Letters
) -> bool:
    """Are there strokes beside a winner that may be the letters of its twin, and none of its own lines, however a
    plotter has rounded them?  ``first``: one pose for each turn.

    Whatever the sheet's other words are: many a sheet has typed notes, and its devices' letters as strokes.
    """
    ink = c.ink
    known = np.unique(np.concatenate([c.whole, *(letters.of_others(other, pose, ink, value) for pose in first)]))
    if not scribbled(other, ink, [poses], known, bent=True).any():
        return False
    known = np.union1d(known, no_letters(ink, text_places(other, [poses])[0], len(value)))
    if letters.other_letter is not None and scribbled(other, ink, [poses], known, bent=True).any():
        for pose in first:
            known = np.union1d(known, letters.other_letter(other, pose, ink))
    return bool(scribbled(other, ink, [poses], known, bent=True).any())


def _says(text: str, value: str) -> bool:
    """Two texts laid over each other are read as one word: letters that mean something are looked for within."""
    tokens = _tokens(text)
    return value in tokens or (len(value) >= RUN_TOGETHER and any(value in token for token in tokens))


def _place_of(value: str, k: int, letters: Letters) -> tuple[FloatArray, float]:
    """Where the letters of a value stand that a word says, and how far from a mark's place they may be that are it.

    Two texts laid over each other are read one after the other.  Letters in the midst of a word are of neither: by
    chance they may be those of the mark, and then stand where it has them.
    """
    word, text = letters.words[k], letters.text[k].upper()
    first = text.find(value)
    if value in _tokens(text) or first <= 0 or text.endswith(value):
        return letters.at[k], BESIDE * word.size
    way, long = _line_of(word)
    return letters.at[k] + way * long * ((first + len(value) / 2) / len(text) - 0.5), AT_ITS_PLACE * word.size


def _line_of(word: Word) -> tuple[FloatArray, float]:
    """(2,) the direction in which a word is read, on the page, and how long it is, pt."""
    x0, y0, x1, y1 = word.box
    turn = math.radians(word.angle)
    long = max((x1 - x0) * abs(math.cos(turn)), (y1 - y0) * abs(math.sin(turn)))
    return np.array([math.cos(turn), -math.sin(turn)]), long


def _may_say(word: Word, value: str, spots: FloatArray) -> bool:
    """May a word hold a mark with its middle at one of the (n, 2) spots?

    Two drawn texts laid over each other are read with doubt, as the beginning of the one and the end of the other.
    The mark's own end of the word is then where the mark has it; its breadth is not known, as its face is not.
    """
    text = word.text.upper()
    if word.origin == "font" or word.confidence >= SURE or len(text) < len(value):
        return False
    way, long = _line_of(word)
    away = spots - np.array(word.at)
    along, slack = away @ way, AT_ITS_PLACE * word.size
    level = np.abs(away @ np.array([-way[1], way[0]])) < slack
    least, most = (each * len(value) * word.size / 2 for each in (NARROW, BROAD))
    ends = ((text.startswith(value[0]), along + long / 2), (text.endswith(value[-1]), long / 2 - along))
    return any(bool((level & (gap > least - slack) & (gap < most + slack)).any()) for same, gap in ends if same)


def _tokens(text: str) -> set[str]:
    return set("".join(ch if ch.isalnum() else " " for ch in text.upper()).split())


def explains_more_without_letters(rival: Candidate, winner: Candidate) -> bool:
    """Are the rival's lines drawn in full, lines of the symbol that the winner lacks among them, and is nothing
    against it but that its letters could not be read?  A winner that has its own letters needs no others."""
    grave = [d for d in rival.doubts if d.grave]
    if winner.words or len(rival.words) == len(rival.template.drawn.texts) or len(grave) > 1:
        return False
    if winner.template.drawn.fills and any(d.what == FILLED for d in rival.doubts):
        return False  # the paint there is the winner's own
    lettered = replace(rival, doubts=tuple(d for d in rival.doubts if not d.grave))
    return rival.coverage > CERTAIN and own_share(rival, winner) > OWN_INK and not passes(lettered, winner)


def beside_bare(winners: tuple[Candidate, ...], bare: Sequence[Candidate]) -> tuple[Candidate, ...]:
    """The winners, in doubt where a richer body is drawn in full whose letters alone are not there: they may be
    misread, or be written elsewhere.  Fixtures are told by their letters, and do without this."""
    bare = [c for c in bare if c.template.entry.kind not in FIXTURE_KINDS]
    if not bare:
        return winners
    tree = cKDTree(np.array([c.centre for c in bare]))
    out = list(winners)
    for k, c in enumerate(winners):
        if c.found and c.template.entry.kind not in FIXTURE_KINDS:
            near = sorted(tree.query_ball_point(c.centre, SAME_PLACE * c.radius))
            out[k] = _beside(c, [bare[n] for n in near if bare[n].template.name != c.template.name])
    return tuple(out)


def _beside(c: Candidate, bare: Sequence[Candidate]) -> Candidate:
    for rival in bare:
        if all(d.grave or d.weak for d in rival.doubts) and explains_more_without_letters(rival, c):
            return c.doubted(WITHOUT_TEXT.format(rival.template.name, c.template.name), rival.template.name)
    return c
