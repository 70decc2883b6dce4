"""Evidence beyond coverage: what else is drawn at the place, and would the shape be found there by chance?

Terms: *candidate*, a template at a fitted pose; *clutter*, *run-on* and *decoy* as in measuring.py; *doubt*, a
reason why a candidate is not found for certain.  A *soft* doubt says that ink is missing or disturbed, a hard one
that something speaks for another meaning.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from cordpath.model import FIXTURE_KINDS, OUTLET_KINDS, BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.letters.glyphs import letter_height, short_of
from cordpath.symbols.letters.letters import SURE, Letters
from cordpath.symbols.letters.scribbles import unread
from cordpath.symbols.letters.strangers import STRANGER, strangers_in
from cordpath.symbols.letters.text_bands import continued
from cordpath.symbols.matching.measuring import CHANCE, Measured, chance, measure
from cordpath.symbols.matching.paint import PAINTED, Paint
from cordpath.symbols.matching.placing import Placed, placed
from cordpath.symbols.matching.sides import off_sides
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.templates.template import Template

CERTAIN = 0.92  # coverage
ELEMENT = 0.75  # coverage of every element that has at least SHARE of the ink
CLUTTER = 0.15  # pt of clutter for each pt of the template's ink
MARK, LEAST_MARK = 0.04, 2.5  # the same for lines wholly inside, and pt at full size: a tick makes another symbol
RICH_MARK = 0.15  # and of a rich outlet: the second diagonal of a box is a quarter
WITHOUT_HATCH = 0.85
UNPAINTED = 0.3  # painted share of a filled mark under which it is not filled at all

RUN_ON = "its lines run on past their ends"
UNFILLED = "its filled part is not filled here"
MISSING = "one of its lines is missing here"
SHARE = "of its lines are drawn here"
RESHAPED = "its filled part has another shape here"
BENT = "a circle is drawn here, and the mapping file draws a polygon"
FILLED = "part of it is filled, and the mapping file draws it unfilled"


@dataclass(frozen=True)
class Doubt:
    what: str
    soft: bool = False
    weak: bool = False  # the shape alone is no evidence: a label or a wall may settle it
    grave: bool = False  # a mark that makes the symbol what it is has not been found
    inside: bool = False  # strokes or letters inside the body, which may turn out to be another symbol's


@dataclass(frozen=True, eq=False)
class Weighing:
    """What a candidate was judged by."""

    here: Placed
    measured: Measured  # at this one pose, its own letters counted as anybody's
    by_chance: float  # best coverage of its decoys


@dataclass(frozen=True, eq=False)
class Candidate:
    template: Template
    ink: Ink
    pose: FloatArray
    centre: FloatArray
    coverage: float
    explained: float  # pt of ink, letters and paint accounted for
    clutter: float
    borrowed: float  # pt of explained lines that run on past both their ends: they may be somebody else's
    segments: IntArray  # drawn segments that lie on the marks
    lengths: FloatArray  # pt of each that does
    whole: IntArray  # segments that are wholly the symbol's
    words: tuple[int, ...]
    poses: FloatArray  # symmetric poses at which text and paint fit as well
    doubts: tuple[Doubt, ...]
    rivals: tuple[str, ...] = ()
    by: Weighing | None = None  # None: letters alone
    anothers: bool = False  # drawn in the pen of another entry of its shape, which stands here as well

    @property
    def found(self) -> bool:
        return not self.doubts

    @property
    def soft(self) -> bool:
        return all(doubt.soft for doubt in self.doubts)

    @property
    def radius(self) -> float:
        return self.template.radius * float(self.pose[SCALE])

    @property
    def score(self) -> float:
        return self.explained * (1 - min(0.9, self.clutter))

    def with_rivals(self, names: tuple[str, ...]) -> Candidate:
        return replace(self, rivals=tuple(dict.fromkeys(names)))

    def doubted(self, what: str, rival: str | None = None, soft: bool = False) -> Candidate:
        rivals = self.rivals if rival is None or rival in self.rivals else (*self.rivals, rival)
        if any(d.what == what for d in self.doubts):
            return replace(self, rivals=rivals)
        return replace(self, doubts=(*self.doubts, Doubt(what, soft)), rivals=rivals)


def weigh(template: Template, ink: Ink, poses: FloatArray, letters: Letters, paint: Paint) -> tuple[Candidate, ...]:
    """Candidates at the fitted poses, with every doubt that the drawing itself raises."""
    return weighed(template, ink, poses, letters, paint)[0]


def weighed(
    template: Template, ink: Ink, poses: FloatArray, letters: Letters, paint: Paint
) -> tuple[tuple[Candidate, ...], tuple[Candidate, ...]]:
    """The candidates of ``weigh``, and apart from them the plain bodies whose letters are not there: no symbols,
    but something that is drawn."""
    if not len(poses):
        return (), ()
    drawn = placed(template, ink, poses, letters, paint)
    poses = np.array([each.pose for each in drawn])
    m = measure(template, ink, poses)
    unlettered = np.array([not each.words for each in drawn])
    by_chance = chance(template, ink, poses, m.covered, (m.covered >= CERTAIN) & unlettered)
    centres = place(poses, template.centre[None])[:, 0]
    unread = _unread(template, m, drawn, ink, letters, paint)
    seen = _Seen.of(template, poses, letters, paint)
    out: list[Candidate] = []
    bare: list[Candidate] = []
    for k, here in enumerate(drawn):
        if template.weak_body and here.painted is not None and here.painted < UNPAINTED:
            continue  # a small rectangle is no panel that nobody has filled
        by = Weighing(here, m.at(k), float(by_chance[k]))
        own, doubts = _judged(template, by, ink, letters, paint, seen.take(k))
        segments, on, covered = own.owned[0]
        # edges of paint count as the paint, once: a solid disc was as much as the same disc with a stem
        lines = 0.0 if template.solid and here.ink else template.ink * float(own.covered[0])
        ink_here = lines * float(here.pose[SCALE]) + here.ink
        into = bare if _is_bare(template, here) and not unread[k] else out
        into.append(Candidate(template, ink, here.pose, centres[k], float(own.covered[0]), ink_here,
                              float(own.clutter[0]), float(own.borrowed[0] * here.pose[SCALE]), segments, on,
                              covered, here.words, here.alike, tuple(doubts), (), by))  # fmt: skip
    return tuple(out), tuple(bare)


def weighed_again(
    c: Candidate, letters: Letters, paint: Paint, strokes: IntArray, words: frozenset[int]
) -> Candidate | None:
    """The candidate as the drawing alone judges it where segments and words (their numbers) are known to belong to
    others; None where nothing but a plain body without its letters is left of it."""
    template, by = c.template, c.by
    if by is None:
        return c
    m = by.measured.without(template, c.ink, strokes)
    if _is_bare(template, by.here) and not _unread(template, m, [by.here], c.ink, letters, paint)[0]:
        return None
    seen = _Seen.of(template, c.pose[None], letters, paint)
    m, doubts = _judged(template, replace(by, measured=m), c.ink, letters, paint, seen, strokes, words)
    return replace(c, clutter=float(m.clutter[0]), doubts=tuple(doubts), rivals=())


def _is_bare(template: Template, here: Placed) -> bool:
    """Without its letters a plain body is another symbol, or none."""
    return bool(template.weak_body) and bool(template.drawn.texts) and not here.words


def _judged(
    template: Template, by: Weighing, ink: Ink, letters: Letters, paint: Paint, seen: _Seen,
    strokes: IntArray = NOBODYS, words: frozenset[int] = frozenset(),
) -> tuple[Measured, list[Doubt]]:  # fmt: skip
    """What is drawn there but for the letters of words, and the doubts that it raises.

    ``strokes``: segments, ``words``: numbers of words that are known to belong to other symbols.
    """
    m, own = by.measured, letters.strokes_of(by.here.words, ink)
    if len(own):  # letters that are drawn as strokes are no lines of nobody's
        strokes = np.r_[strokes, own]
        m = m.without(template, ink, strokes)
    doubts = _doubts(template, m, by, letters, words, ink, seen)
    told = bool(by.here.words) or not template.drawn.texts or not template.weak_body
    if not told or not any(d.inside or d.what == FILLED for d in doubts):
        return m, doubts
    over, areas = _strokes_over(template, by.here, m, letters, ink), NOBODYS
    if letters.areas_over is not None and any(d.what == FILLED for d in doubts):
        areas = letters.areas_over(template, by.here.pose)
    if not len(over) and not len(areas):
        return m, doubts
    m = m.without(template, ink, np.r_[strokes, over])
    seen = _Seen.of(template, by.here.pose[None], letters, paint, areas)
    return m, _doubts(template, m, by, letters, words, ink, seen)


def _strokes_over(template: Template, here: Placed, m: Measured, letters: Letters, ink: Ink) -> IntArray:
    """Segments of drawn words that lie across the symbol: they are no marks in it."""
    about = [each for each in letters.drawn_about(template, here.pose, ink) if each[0] not in here.words]
    known = np.concatenate([letters.strokes_of(here.words, ink), *(own for _, own in about)])
    more = continued(template, here.pose, ink, [(letters.words[k].angle, own) for k, own in about], known)
    # nobody's letters are looked for where nothing as short as they are lies loose in the body
    if letters.over is None or not len(short_of(ink, m.loose(ink), letter_height(template, here.pose), bows=True)):
        return np.r_[known, more]
    return np.r_[letters.over(template, here.pose, ink, None, known), known, more]


def _unread(
    template: Template, m: Measured, drawn: list[Placed], ink: Ink, letters: Letters, paint: Paint
) -> BoolArray:
    """(n,) symbols whose letters were not found, with something drawn that may be them."""
    out = np.zeros(len(drawn), bool)
    k = np.flatnonzero([bool(template.drawn.texts) and not each.words for each in drawn])
    out[k] = unread(template, ink, [drawn[i].alike for i in k], m.clutter[k], letters, paint)
    return out


@dataclass(frozen=True, eq=False)
class _Seen:
    """What else may be in the bodies at some poses: looked at for all of them at once, since most have nothing."""

    words: BoolArray  # (n,) a word stands there that may be a stranger
    filled: FloatArray  # (n,) how much of the body is painted beside its own marks, over what may be

    @staticmethod
    def of(
        template: Template, poses: FloatArray, letters: Letters, paint: Paint, areas: IntArray = NOBODYS
    ) -> _Seen:
        # no letter makes another fixture, however badly it is read
        known = paint.letters(letters.words, SURE, template.entry.kind in FIXTURE_KINDS)
        filled = paint.unexpected(template, poses, np.r_[areas, known])
        return _Seen(letters.inside(template, poses), filled)

    def take(self, k: int) -> _Seen:
        return _Seen(self.words[k : k + 1], self.filled[k : k + 1])


def _doubts(
    template: Template, m: Measured, by: Weighing, letters: Letters, words: frozenset[int], ink: Ink, seen: _Seen
) -> list[Doubt]:
    segments, on, own = m.owned[0]
    turned = off_sides(template, ink, by.here.pose, (segments, on))
    return [
        *_shape_doubts(template, m, by.by_chance),
        *([Doubt(BENT)] if turned is not None and turned > 1.0 else []),
        *_mark_doubts(template, by.here, letters, words, own, ink, seen),
    ]


def _mark_doubts(
    template: Template, here: Placed, letters: Letters, others: frozenset[int], own: IntArray, ink: Ink,
    seen: _Seen,
) -> list[Doubt]:  # fmt: skip
    doubts = []
    if len(here.words) < len(template.drawn.texts):
        wanted = " ".join(repr(value) for value, _, _ in template.drawn.texts)
        doubts.append(Doubt(f"the text {wanted} is not readable at its place", grave=True))
    weak = [k for k in here.words if letters.words[k].confidence < SURE]
    if weak and (template.entry.protection is not None or template.weak_body):  # its letters are what it is told by
        word = letters.words[weak[0]]
        doubts.append(Doubt(f"its text {word.text!r} was read with confidence {word.confidence:.2f} only"))
    strangers = (
        strangers_in(letters, template, here.pose, (*here.words, *others), own, ink) if seen.words[0] else []
    )
    if strangers:
        doubts.append(Doubt(STRANGER.format(letters.text[strangers[0]]), inside=True))
    if here.painted is not None and here.painted < PAINTED:
        doubts.append(Doubt(UNFILLED, grave=True))
    elif here.off > 1.0:
        doubts.append(Doubt(RESHAPED, grave=True))
    elif seen.filled[0] > 1.0:
        doubts.append(Doubt(FILLED))
    return doubts


def _shape_doubts(template: Template, m: Measured, chance: float) -> list[Doubt]:
    doubts = []
    large = template.ink > 130 and m.covered[0] > 0.97
    sturdy = template.radius > 10 and template.elements >= 5 and m.covered[0] > 0.97
    if m.covered[0] < CERTAIN:
        doubts.append(Doubt(f"only {m.covered[0]:.0%} {SHARE}", soft=True))
    elif m.element[0].min() < ELEMENT:
        doubts.append(Doubt(MISSING))
    rich = large or sturdy or template.radius > 15
    # notes of others lie in large symbols, but a diagonal in an outlet makes another of it, however rich it is
    share = MARK if not rich else RICH_MARK if template.entry.kind in OUTLET_KINDS else np.inf
    mark = m.marks[0] > max(share * template.ink, LEAST_MARK * template.small)
    if mark or m.clutter[0] > (3.0 if large else 1.5 if sturdy or template.radius > 15 else CLUTTER):
        doubts.append(Doubt("there are lines inside it that are not its own", inside=True))
    if m.run_on[0] > (0.75 if large else 0.5 if template.elements > 2 else 0.01):
        doubts.append(Doubt(RUN_ON, soft=True))
    if m.covered[0] - chance < CHANCE:
        doubts.append(Doubt("so many lines are drawn here that it may be chance", soft=True))
    if hatch_in(template, m, float(m.quiet[0])):
        doubts.append(Doubt("hatching makes up part of it", soft=True))
    if template.weak:
        doubts.append(Doubt(f"weak shape: {template.weak}", weak=True))
    return doubts


def hatch_in(template: Template, m: Measured, quiet: float) -> bool:
    """Is too little of the symbol drawn without hatch, ``quiet`` of its ink?"""
    return bool(quiet < min(WITHOUT_HATCH, float(m.covered[0]) - 0.05) - template.hatch_share)
