"""Evidence beyond coverage: what else is drawn at the place, and would the shape be found there by chance?

Terms: *candidate*, a template at a fitted pose; *clutter*, ink inside the body that lies on no mark; *run-on*, a
free end of the template beyond which the line goes on; *decoy*, the template laid beside the true place: coverage
there tells what chance would give; *doubt*, a reason why a candidate is not found for certain.  A *soft* doubt
says that ink is missing or disturbed, a hard one that something speaks for another meaning.

Strokes of hatch, and walls or wires that run through, are neutral as clutter.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.letters import SURE, Letters
from cordpath.symbols.normalise import Ink
from cordpath.symbols.paint import PAINTED, UNEXPECTED, Paint
from cordpath.symbols.pose import SCALE, TURN, place
from cordpath.symbols.scribbles import scribbled, unread_inside
from cordpath.symbols.template import Template
from cordpath.symbols.verify import coverage, orbit, pieces, spread, touching

CERTAIN = 0.92  # coverage
ELEMENT = 0.75  # coverage of every element that has at least SHARE of the ink
SHARE = 0.025
CLUTTER = 0.15  # pt of clutter for each pt of the template's ink
MARK, LEAST_MARK = 0.04, 2.5  # the same for lines wholly inside, and pt at full size: a tick makes another symbol
ROUGH = 0.15  # coverage by which the raster may fall short of it
CHANCE = 0.30  # coverage must exceed that of decoys by this
WITHOUT_HATCH = 0.85
UNPAINTED = 0.3  # painted share of a filled mark under which it is not filled at all
LOOSE = 0.05  # pt of clutter for each pt of ink from which letters may stand inside
NOBODYS: IntArray = np.zeros(0, np.int64)
OWN = 0.6  # share of a stroke on the marks from which the symbol explains it


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


@dataclass(frozen=True, eq=False)
class _Measured:
    element: FloatArray  # (n, elements) coverage of each
    covered: FloatArray  # (n,)
    quiet: FloatArray  # (n,) coverage without hatch
    run_on: FloatArray  # (n,) share of free ends
    clutter: FloatArray  # (n,) over the template's ink
    borrowed: FloatArray  # (n,) pt of the template's ink
    marks: FloatArray  # (n,) pt of clutter that begins and ends inside the body
    owned: tuple[tuple[IntArray, FloatArray, IntArray], ...]  # segments, lengths on marks, whole ones


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
    placed = [_placed(template, ink, pose, letters, paint) for pose in poses]
    poses = np.array([p.pose for p in placed])
    m = _measure(template, ink, poses, strokes)
    chance = _chance(template, ink, poses, m.covered)
    centres = place(poses, template.centre[None])[:, 0]
    out: list[Candidate] = []
    bare: list[Candidate] = []
    whole = m
    for k, place_ in enumerate(placed):
        m, i = _without_letters(template, ink, place_, letters, strokes) or (whole, k)
        lettered = not template.drawn.texts or bool(place_.words)
        unread = not lettered and (
            (m.clutter[i] > LOOSE and scribbled(template, ink, place_.alike))
            or unread_inside(template, ink, place_.alike, letters, paint)
        )
        # without its letters a plain body is another symbol, or none
        into = bare if template.weak_body and not lettered and not unread else out
        if template.weak_body and place_.painted is not None and place_.painted < UNPAINTED:
            continue  # nor is every small rectangle a panel that nobody has filled
        by_chance = 0.0 if place_.words else float(chance[k])
        doubts = _doubts(template, m, i, by_chance, place_, letters, paint, words, ink)
        told = lettered or not template.weak_body
        if told and any(d.inside or d.what == FILLED for d in doubts):
            m, i, doubts = _without_words_over(
                template, (m, i, doubts), by_chance, place_, letters, paint, strokes, words, ink
            )
        segments, on, covered = m.owned[i]
        ink_here = template.ink * float(m.covered[i]) * float(place_.pose[SCALE]) + place_.ink
        into.append(Candidate(template, ink, place_.pose, centres[k], float(m.covered[i]), ink_here,
                              float(m.clutter[i]), float(m.borrowed[i] * place_.pose[SCALE]), segments, on,
                              covered, place_.words, place_.alike, tuple(doubts)))  # fmt: skip
    return tuple(out), tuple(bare)


def _doubts(
    template: Template, m: _Measured, i: int, by_chance: float, placed: _Placed, letters: Letters, paint: Paint,
    words: frozenset[int], ink: Ink, areas: IntArray = NOBODYS,
) -> list[Doubt]:  # fmt: skip
    own = m.owned[i][2]
    return [
        *_shape_doubts(template, m, i, by_chance),
        *_mark_doubts(template, placed, letters, paint, words, own, ink, areas),
    ]


def _without_words_over(
    template: Template, first: tuple[_Measured, int, list[Doubt]], by_chance: float, placed: _Placed,
    letters: Letters, paint: Paint, strokes: IntArray, words: frozenset[int], ink: Ink,
) -> tuple[_Measured, int, list[Doubt]]:  # fmt: skip
    """Measured again without the drawn words that lie across the symbol, which are no marks in it."""
    over, areas = (NOBODYS, NOBODYS) if letters.over is None else letters.over(template, placed.pose, ink)
    if not len(over) and not len(areas):
        return first
    others = np.r_[strokes, letters.strokes_of(placed.words, ink), over]
    m = _measure(template, ink, placed.pose[None], others)
    return m, 0, _doubts(template, m, 0, by_chance, placed, letters, paint, words, ink, areas)


def _without_letters(
    template: Template, ink: Ink, placed: _Placed, letters: Letters, strokes: IntArray
) -> tuple[_Measured, int] | None:
    """Measured again where the symbol's own letters are drawn as strokes, which are no lines of nobody's."""
    own = letters.strokes_of(placed.words, ink)
    if not len(own):
        return None
    return _measure(template, ink, placed.pose[None], np.r_[strokes, own]), 0


@dataclass(frozen=True, eq=False)
class _Placed:
    """The one of the symmetric poses at which text and paint fit best."""

    pose: FloatArray
    words: tuple[int, ...]
    painted: float | None  # least painted share of the filled marks
    ink: float  # pt of strokes that text and paint stand for
    alike: FloatArray  # poses at which they fit as well


def _placed(template: Template, ink: Ink, pose: FloatArray, letters: Letters, paint: Paint) -> _Placed:
    words: tuple[int, ...] = ()
    extra, painted = 0.0, None
    if template.drawn.texts:
        text = letters.lettering(template, pose)
        pose, words, extra = text.pose, text.words, text.ink
    alike = _alike(template, pose, [np.array([[x, y]]) for _, x, y in template.drawn.texts])
    if template.drawn.fills:
        shares = [paint.marks(template, turned, ink) for turned in alike]
        best = int(np.argmax(np.round(shares, 3)))
        pose, painted = alike[best], shares[best]
        if painted >= PAINTED:
            extra += 2 * math.sqrt(sum(_area(ring) for ring in template.drawn.fills)) * float(pose[SCALE])
        alike = _alike(template, pose, [np.array([[x, y]]) for _, x, y in template.drawn.texts]
                       + [p.mean(0)[None] for p in template.fill_points])  # fmt: skip
    return _Placed(pose, words, painted, extra, alike)


def _alike(template: Template, pose: FloatArray, marks: list[FloatArray]) -> FloatArray:
    """Poses of the orbit that put the given template points where ``pose`` puts them."""
    poses = orbit(template, pose)
    if not marks:
        return poses
    points = np.concatenate(marks)
    gap = np.hypot(*(place(poses, points) - place(pose[None], points)).transpose(2, 0, 1)).max(1)
    return poses[gap < 0.1 * template.radius + 0.3]


def _mark_doubts(
    template: Template, placed: _Placed, letters: Letters, paint: Paint, others: frozenset[int], own: IntArray,
    ink: Ink, areas: IntArray,
) -> list[Doubt]:  # fmt: skip
    doubts = []
    if len(placed.words) < len(template.drawn.texts):
        wanted = " ".join(repr(value) for value, _, _ in template.drawn.texts)
        doubts.append(Doubt(f"the text {wanted} is not readable at its place", grave=True))
    weak = [k for k in placed.words if letters.words[k].confidence < SURE]
    if weak and (template.entry.protection is not None or template.weak_body):  # its letters are what it is told by
        word = letters.words[weak[0]]
        doubts.append(Doubt(f"its text {word.text!r} was read with confidence {word.confidence:.2f} only"))
    strangers = letters.strangers(template, placed.pose, (*placed.words, *others), own, ink)
    if strangers:
        what = f"the text {letters.text[strangers[0]]!r} inside belongs to no mark of it"
        doubts.append(Doubt(what, inside=True))
    if placed.painted is not None and placed.painted < PAINTED:
        doubts.append(Doubt("its filled part is not filled here", grave=True))
    if placed.painted is None and paint.unexpected(template, placed.pose, areas) > UNEXPECTED:
        doubts.append(Doubt(FILLED))
    return doubts


def _area(ring: FloatArray) -> float:
    x, y = ring[:, 0], ring[:, 1]
    return abs(float((x * np.roll(y, -1) - y * np.roll(x, -1)).sum())) / 2


def _shape_doubts(template: Template, m: _Measured, i: int, chance: float) -> list[Doubt]:
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
        doubts.append(Doubt("its lines run on past their ends", soft=True))
    if m.covered[i] - chance < CHANCE:
        doubts.append(Doubt("so many lines are drawn here that it may be chance", soft=True))
    if m.quiet[i] < min(WITHOUT_HATCH, float(m.covered[i]) - 0.05) - template.hatch_share:
        doubts.append(Doubt("hatching makes up part of it", soft=True))
    if template.weak:
        doubts.append(Doubt(f"weak shape: {template.weak}", weak=True))
    return doubts


def _chance(template: Template, ink: Ink, poses: FloatArray, covered: FloatArray) -> FloatArray:
    """(n,) best coverage of six decoys; only where coverage is high enough to matter."""
    out = np.zeros(len(poses))
    k = np.flatnonzero(covered >= CERTAIN)
    if not len(k):
        return out
    shift = max(2.5 * template.small, 0.3 * template.radius)
    for turn, angle in ((0.0, 1.2), (0.48, 3.6), (0.0, 6.3), (1.16, 2.4), (0.0, -3.0), (-0.68, -5.1)):
        decoy = poses[k].copy()
        decoy[:, 0] += shift * math.cos(angle)
        decoy[:, 1] += shift * math.sin(angle)
        decoy[:, TURN] += turn
        # the raster shows more ink than there is: most decoys have so little that they need no closer look
        rough = ink.raster.share(decoy, template.points, template.tangents)
        worth = np.flatnonzero(rough >= covered[k] - CHANCE - ROUGH)
        out[k[worth]] = np.maximum(out[k[worth]], coverage(template, ink, decoy[worth]))
    return out


def _measure(template: Template, ink: Ink, poses: FloatArray, others: IntArray) -> _Measured:
    n, samples = len(poses), len(template.points)
    hit, quiet = np.zeros((n, samples), bool), np.zeros((n, samples), bool)
    probes = template.probes[2]
    past = np.zeros((n, len(probes)), bool)
    clutter, marks = np.zeros(n), np.zeros(n)
    owned: list[tuple[IntArray, FloatArray, IntArray]] = []
    unclaimed = ~_others(ink, others)
    maps = template.maps
    for part, p in pieces(template, ink, poses, 0.5 * template.step):
        size = part.stop - part.start
        k, j = touching(template, p, template.tolerance)
        hit[p.pose[k] + part.start, j] = True
        calm = ~ink.hatch[p.segment[k]]
        quiet[p.pose[k[calm]] + part.start, j[calm]] = True
        if maps.probe is not None:
            q = maps.probe[p.sector, p.px, p.py]
            k = np.flatnonzero(q >= 0)
            q = q[k].astype(np.int64)
            tangent = template.probes[1][q]
            dx, dy = p.x[k] - template.probes[0][q, 0], p.y[k] - template.probes[0][q, 1]
            ok = np.abs(-dx * np.sin(tangent) + dy * np.cos(tangent)) < template.tolerance
            ok &= np.abs(p.ux[k] * np.sin(tangent) - p.uy[k] * np.cos(tangent)) < p.slack[k]
            past[p.pose[k[ok]] + part.start, q[ok]] = True
        near = maps.near[p.px, p.py] | maps.painted[p.px, p.py]
        inside = maps.inside[p.px, p.py]
        clutter[part], marks[part] = _clutter(
            template, ink, p.pose, p.segment, p.weight * unclaimed[p.segment], inside, near, size
        )
        owned += _owned(ink, p.pose, p.segment, p.weight * near, size, poses[part, SCALE])
    hit, quiet = spread(template, hit), spread(template, quiet)
    share = np.bincount(template.element, template.weight, template.elements)
    matters = np.flatnonzero((share >= SHARE * template.ink) & (share > 0))
    element = np.stack([(hit[:, template.element == e] * template.weight[template.element == e]).sum(1) / share[e]
                        for e in matters], 1) if len(matters) else np.ones((n, 1))  # fmt: skip
    ends = np.unique(probes)
    beyond = np.zeros((n, 2 * len(template.drawn.lines)), bool)
    for e in ends:
        beyond[:, e] = past[:, probes == e].all(1)
    run_on = beyond[:, ends].mean(1) if len(ends) else np.zeros(n)
    both = beyond[:, : len(template.drawn.lines)] & beyond[:, len(template.drawn.lines) :]
    borrowed = np.asarray(both @ share[: len(template.drawn.lines)], float)
    weight = template.weight / template.ink
    return _Measured(
        element, hit @ weight, quiet @ weight, run_on, clutter / template.ink, borrowed, marks, tuple(owned)
    )


def _others(ink: Ink, segments: IntArray) -> BoolArray:
    """(m,) True for the given segments, and for the stand-ins of arcs among them."""
    out = np.zeros(len(ink.xy), bool)
    out[segments] = True
    arcs = np.unique(ink.line_of[segments[ink.curved[segments]]])
    return out | (ink.standin & np.isin(ink.line_of, arcs))


def _clutter(
    template: Template, ink: Ink, pose: IntArray, segment: IntArray, weight: FloatArray,
    inside: np.ndarray[tuple[int, ...], np.dtype[np.bool_]], near: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
    size: int,
) -> tuple[FloatArray, FloatArray]:  # fmt: skip
    """(size,) length of unexplained ink inside the body, and of that on lines wholly inside; template points."""
    weight = weight * ink.counts[segment]
    lines = int(ink.line_of.max()) + 2 if len(ink.line_of) else 2
    key = pose * lines + ink.line_of[segment] + 1
    unique, first, inverse = np.unique(key, return_index=True, return_inverse=True)
    inner = np.bincount(inverse, weight * inside, len(unique))
    loose = np.bincount(inverse, weight * (inside & ~near), len(unique))
    run, hatch = ink.run[segment[first]], ink.hatch[segment[first]]
    passing = (run > 2.2 * inner + 4 * max(0.2, template.small)) & (run > 3 * template.radius)
    whole = (run < 1.15 * inner + 0.5 * template.small) & (loose > 0.7 * inner)
    of = unique // lines
    clutter = np.asarray(np.bincount(of, loose * ~(passing | hatch), size), float)
    return clutter, np.asarray(np.bincount(of, loose * (whole & ~hatch), size), float)


def _owned(
    ink: Ink, pose: IntArray, segment: IntArray, on: FloatArray, size: int, scale: FloatArray
) -> list[tuple[IntArray, FloatArray, IntArray]]:
    """For each pose: drawn segments with ink on the marks, how much (page points), and those wholly on them."""
    drawn = segment < ink.count
    key = pose[drawn] * max(1, ink.count) + segment[drawn]
    unique, inverse = np.unique(key, return_inverse=True)
    length = np.bincount(inverse, on[drawn], len(unique))
    of, which = unique // max(1, ink.count), unique % max(1, ink.count)
    length = length * scale[of]
    start = np.searchsorted(of, np.arange(size + 1))
    out = []
    for i in range(size):
        k, on_marks = which[start[i] : start[i + 1]], length[start[i] : start[i + 1]]
        some = on_marks > 0
        k, on_marks = k[some], on_marks[some]
        out.append((k, on_marks, k[on_marks >= OWN * ink.lengths[k]]))
    return out
