"""Evidence beyond coverage: what else is drawn at the place, and would the shape be found there by chance?

Terms: *candidate*, a template at a fitted pose; *clutter*, *run-on* and *decoy* as in measuring.py; *doubt*, a
reason why a candidate is not found for certain.  A *soft* doubt says that ink is missing or disturbed, a hard one
that something speaks for another meaning.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.letters import SURE, Letters
from cordpath.symbols.measuring import CHANCE, Measured, chance, measure
from cordpath.symbols.normalise import Ink
from cordpath.symbols.paint import PAINTED, UNEXPECTED, Paint
from cordpath.symbols.placing import Placed, placed
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.scribbles import scribbled, unread_inside
from cordpath.symbols.strangers import STRANGER, strangers_in
from cordpath.symbols.template import Template

CERTAIN = 0.92  # coverage
ELEMENT = 0.75  # coverage of every element that has at least SHARE of the ink
CLUTTER = 0.15  # pt of clutter for each pt of the template's ink
MARK, LEAST_MARK = 0.04, 2.5  # the same for lines wholly inside, and pt at full size: a tick makes another symbol
WITHOUT_HATCH = 0.85
UNPAINTED = 0.3  # painted share of a filled mark under which it is not filled at all
LOOSE = 0.05  # pt of clutter for each pt of ink from which letters may stand inside
NOBODYS: IntArray = np.zeros(0, np.int64)


RUN_ON = "its lines run on past their ends"
FILLED = "part of it is filled, and the mapping file draws it unfilled"


@dataclass(frozen=True)
class Doubt:
    what: str
    soft: bool = False
    weak: bool = False  # the shape alone is no evidence: a label or a wall may settle it
    grave: bool = False  # a mark that makes the symbol what it is has not been found
    inside: bool = False  # strokes or letters inside the body, which may turn out to be another symbol's


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


def weigh(
    template: Template, ink: Ink, poses: FloatArray, letters: Letters, paint: Paint,
    strokes: IntArray = NOBODYS, words: frozenset[int] = frozenset(),
) -> tuple[Candidate, ...]:  # fmt: skip
    """Candidates at the fitted poses, with every doubt that the drawing itself raises.

    ``strokes``: segments, ``words``: numbers of words that are known to belong to other symbols.
    """
    return weighed(template, ink, poses, letters, paint, strokes, words)[0]


def weighed(
    template: Template, ink: Ink, poses: FloatArray, letters: Letters, paint: Paint,
    strokes: IntArray = NOBODYS, words: frozenset[int] = frozenset(),
) -> tuple[tuple[Candidate, ...], tuple[Candidate, ...]]:  # fmt: skip
    """The candidates of ``weigh``, and apart from them the plain bodies whose letters are not there: no symbols,
    but something that is drawn."""
    if not len(poses):
        return (), ()
    drawn = placed(template, ink, poses, letters, paint)
    poses = np.array([each.pose for each in drawn])
    m = measure(template, ink, poses, strokes)
    by_chance = chance(template, ink, poses, m.covered, m.covered >= CERTAIN)
    by_chance = np.where([bool(each.words) for each in drawn], 0.0, by_chance)
    centres = place(poses, template.centre[None])[:, 0]
    unread = _unread(template, m, drawn, ink, letters, paint)
    seen = _Seen.of(template, poses, letters, paint)
    out: list[Candidate] = []
    bare: list[Candidate] = []
    whole = m
    for k, here in enumerate(drawn):
        m, i = _without_letters(template, ink, here, letters, strokes) or (whole, k)
        lettered = not template.drawn.texts or bool(here.words)
        # without its letters a plain body is another symbol, or none
        into = bare if template.weak_body and not lettered and not unread[k] else out
        if template.weak_body and here.painted is not None and here.painted < UNPAINTED:
            continue  # nor is every small rectangle a panel that nobody has filled
        seldom = float(by_chance[k])
        doubts = _doubts(template, m, i, seldom, here, letters, words, ink, seen.take(k))
        told = lettered or not template.weak_body
        if told and any(d.inside or d.what == FILLED for d in doubts):
            m, i, doubts = _without_words_over(
                template, (m, i, doubts), seldom, here, letters, paint, strokes, words, ink
            )
        segments, on, covered = m.owned[i]
        ink_here = template.ink * float(m.covered[i]) * float(here.pose[SCALE]) + here.ink
        into.append(Candidate(template, ink, here.pose, centres[k], float(m.covered[i]), ink_here,
                              float(m.clutter[i]), float(m.borrowed[i] * here.pose[SCALE]), segments, on,
                              covered, here.words, here.alike, tuple(doubts)))  # fmt: skip
    return tuple(out), tuple(bare)


def _unread(
    template: Template, m: Measured, drawn: list[Placed], ink: Ink, letters: Letters, paint: Paint
) -> BoolArray:
    """(n,) symbols whose letters were not found, with something drawn that may be them."""
    out = np.zeros(len(drawn), bool)
    without = np.array([bool(template.drawn.texts) and not each.words for each in drawn])
    k = np.flatnonzero(without & (m.clutter > LOOSE))
    out[k] = scribbled(template, ink, [drawn[i].alike for i in k])
    k = np.flatnonzero(without & ~out)
    out[k] = unread_inside(template, ink, [drawn[i].alike for i in k], letters, paint)
    return out


@dataclass(frozen=True, eq=False)
class _Seen:
    """What else may be in the bodies at some poses: looked at for all of them at once, since most have nothing."""

    words: BoolArray  # (n,) a word stands there that may be a stranger
    filled: FloatArray  # (n,) share of the body under fills

    @staticmethod
    def of(
        template: Template, poses: FloatArray, letters: Letters, paint: Paint, areas: IntArray = NOBODYS
    ) -> _Seen:
        filled = np.zeros(len(poses)) if template.drawn.fills else paint.unexpected(template, poses, areas)
        return _Seen(letters.inside(template, poses), filled)

    def take(self, k: int) -> _Seen:
        return _Seen(self.words[k : k + 1], self.filled[k : k + 1])


def _doubts(
    template: Template, m: Measured, i: int, by_chance: float, here: Placed, letters: Letters,
    words: frozenset[int], ink: Ink, seen: _Seen,
) -> list[Doubt]:  # fmt: skip
    own = m.owned[i][2]
    return [
        *_shape_doubts(template, m, i, by_chance),
        *_mark_doubts(template, here, letters, words, own, ink, seen),
    ]


def _without_words_over(
    template: Template, first: tuple[Measured, int, list[Doubt]], by_chance: float, here: Placed,
    letters: Letters, paint: Paint, strokes: IntArray, words: frozenset[int], ink: Ink,
) -> tuple[Measured, int, list[Doubt]]:  # fmt: skip
    """Measured again without the drawn words that lie across the symbol, which are no marks in it."""
    over, areas = (NOBODYS, NOBODYS) if letters.over is None else letters.over(template, here.pose, ink)
    over = np.concatenate(
        [over, *(own for k, own in letters.drawn_about(template, here.pose, ink) if k not in here.words)]
    )
    if not len(over) and not len(areas):
        return first
    others = np.r_[strokes, letters.strokes_of(here.words, ink), over]
    m = measure(template, ink, here.pose[None], others)
    seen = _Seen.of(template, here.pose[None], letters, paint, areas)
    return m, 0, _doubts(template, m, 0, by_chance, here, letters, words, ink, seen)


def _without_letters(
    template: Template, ink: Ink, here: Placed, letters: Letters, strokes: IntArray
) -> tuple[Measured, int] | None:
    """Measured again where the symbol's own letters are drawn as strokes, which are no lines of nobody's."""
    own = letters.strokes_of(here.words, ink)
    if not len(own):
        return None
    return measure(template, ink, here.pose[None], np.r_[strokes, own]), 0


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
        doubts.append(Doubt("its filled part is not filled here", grave=True))
    if here.painted is None and seen.filled[0] > UNEXPECTED:
        doubts.append(Doubt(FILLED))
    return doubts


def _shape_doubts(template: Template, m: Measured, i: int, chance: float) -> list[Doubt]:
    doubts = []
    large = template.ink > 130 and m.covered[i] > 0.97
    sturdy = template.radius > 10 and template.elements >= 5 and m.covered[i] > 0.97
    if m.covered[i] < CERTAIN:
        doubts.append(Doubt(f"only {m.covered[i]:.0%} of its lines are drawn here", soft=True))
    elif m.element[i].min() < ELEMENT:
        doubts.append(Doubt("one of its lines is missing here"))
    rich = large or sturdy or template.radius > 15
    mark = m.marks[i] > max(MARK * template.ink, LEAST_MARK * template.small) and not rich
    if mark or m.clutter[i] > (3.0 if large else 1.5 if sturdy or template.radius > 15 else CLUTTER):
        doubts.append(Doubt("there are lines inside it that are not its own", inside=True))
    if m.run_on[i] > (0.75 if large else 0.5 if template.elements > 2 else 0.01):
        doubts.append(Doubt(RUN_ON, soft=True))
    if m.covered[i] - chance < CHANCE:
        doubts.append(Doubt("so many lines are drawn here that it may be chance", soft=True))
    if m.quiet[i] < min(WITHOUT_HATCH, float(m.covered[i]) - 0.05) - template.hatch_share:
        doubts.append(Doubt("hatching makes up part of it", soft=True))
    if template.weak:
        doubts.append(Doubt(f"weak shape: {template.weak}", weak=True))
    return doubts
