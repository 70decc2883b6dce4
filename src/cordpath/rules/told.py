"""What a condition, a clause or a rule tells about an outlet, and how such answers combine.

The logic is Kleene's strong three-valued logic (from memory: S. C. Kleene, Introduction to Metamathematics, 1952,
section 64): unknown stays unknown unless the known parts decide alone.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from cordpath.model import Answer, Point

WHICH_ROOM = "Which room is it in?"


@dataclass(frozen=True)
class Told:
    """An answer and its grounds.  ``because`` holds short phrases for YES and UNKNOWN, ``against`` for NO."""

    answer: Answer
    because: tuple[str, ...] = ()
    against: tuple[str, ...] = ()
    question: str | None = None
    distance_ft: float | None = None
    to: str | None = None
    path: tuple[Point, ...] = ()


def yes(because: str = "") -> Told:
    return Told(Answer.YES, (because,) if because else ())


def no(against: str = "") -> Told:
    return Told(Answer.NO, (), (against,) if against else ())


def unknown(because: str, question: str) -> Told:
    return Told(Answer.UNKNOWN, (because,) if because else (), (), question)


def all_of(parts: Iterable[Told]) -> Told:
    """AND: the first NO decides; otherwise grounds add up and the first question is asked."""
    whole = Told(Answer.YES)
    for part in parts:
        if part.answer is Answer.NO:
            return part
        whole = Told(
            whole.answer & part.answer,
            whole.because + part.because,
            (),
            whole.question or part.question,
            part.distance_ft if whole.distance_ft is None else whole.distance_ft,
            whole.to or part.to,
            whole.path or part.path,
        )
    return whole


def any_of(parts: Iterable[Told]) -> Told:
    """OR: the first YES, else the first UNKNOWN, else a NO with all that speaks against."""
    parts = tuple(parts)
    for answer in (Answer.YES, Answer.UNKNOWN):
        for part in parts:
            if part.answer is answer:
                return part
    against = tuple(dict.fromkeys(text for part in parts for text in part.against))
    nearest = min((p for p in parts if p.distance_ft is not None), key=lambda p: p.distance_ft or 0.0, default=None)
    if nearest is None:
        return Told(Answer.NO, (), against)
    return replace(nearest, because=(), against=against)


def agree(parts: tuple[Told, ...], *, doubt: str, whole: bool) -> Told:
    """One answer for an outlet that may stand in several places: only what holds in every one of them.

    ``whole``: the places are all there are; otherwise even an agreed NO stays unknown.
    """
    answers = {part.answer for part in parts}
    if len(parts) > 1 and answers == {Answer.YES}:
        return all_of(parts[:1])
    if len(parts) > 1 and answers == {Answer.NO} and whole:
        return any_of(parts)
    held = next((part for part in parts if part.answer is not Answer.NO), None)
    question = held.question if held is not None and held.question else WHICH_ROOM
    return Told(Answer.UNKNOWN, (doubt,), (), question)
