"""Texts in other operators."""

from __future__ import annotations

import math
import random
from pathlib import Path
from random import Random

import pymupdf
from house_ink import Note, Paper
from house_writers import Stream, _num
from rewritten_page import (
    Leaf,
    by_stream,
    escaped,
    way,
)


class Texted(Stream):
    def show(self, text: str) -> str:
        return f"({escaped(text)}) Tj"

    def note(self, note: Note) -> None:
        s, a = note.size, math.radians(note.angle)
        co, si = math.cos(a), math.sin(a)
        matrix = " ".join(_num(v) for v in (co * s, -si * s, -si * s, -co * s))
        font = "F2" if note.bold else "F1"
        self.out.write(
            f"q 0 0 0 rg 0 0 0 RG BT /{font} 1 Tf {matrix} {self.xy(note.base)} Tm {self.show(note.text)} ET Q\n"
        )


@by_stream("text with kerns")
class Kerned(Texted):
    """TJ with a kern after every letter."""

    def show(self, text: str) -> str:
        return "[" + " ".join(f"({escaped(c)}) {-35 + 23 * (k % 4)}" for k, c in enumerate(text)) + "] TJ"


@by_stream("text with spaces as moves")
class Spaced(Texted):
    """No space is shown: the next word is moved to."""

    def show(self, text: str) -> str:
        words = text.split(" ")
        return "[" + " -278 ".join(f"({escaped(w)})" for w in words) + "] TJ"


@by_stream("text narrowed, spaced and raised")
class Narrow(Texted):
    """Tz, Tc and Ts."""

    def show(self, text: str) -> str:
        return f"85 Tz 0.03 Tc 0.05 Ts ({escaped(text)}) Tj"


@by_stream("text filled and stroked")
class Bold(Texted):
    """Text mode 2."""

    def show(self, text: str) -> str:
        return f"2 Tr 0.02 w ({escaped(text)}) Tj"


@by_stream("text hollow")
class Hollow(Texted):
    """Text mode 2, filled with white."""

    def show(self, text: str) -> str:
        return f"1 1 1 rg 2 Tr 0.03 w ({escaped(text)}) Tj"


@by_stream("text stroked")
class Outline(Texted):
    """Text mode 1."""

    def show(self, text: str) -> str:
        return f"1 Tr 0.02 w ({escaped(text)}) Tj"


@by_stream("text filled and clipped")
class FillClip(Texted):
    """Text mode 4, without restoring what it clips away but by Q."""

    def show(self, text: str) -> str:
        return f"4 Tr ({escaped(text)}) Tj"


@by_stream("text by clip", tells="stencils")
class ByClip(Texted):
    """Text mode 7 and a rectangle painted through it."""

    def note(self, note: Note) -> None:
        s, a = note.size, math.radians(note.angle)
        co, si = math.cos(a), math.sin(a)
        matrix = " ".join(_num(v) for v in (co * s, -si * s, -si * s, -co * s))
        x0, y0, x1, y1 = note.box
        self.out.write(
            f"q 0 0 0 rg BT /{'F2' if note.bold else 'F1'} 1 Tf {matrix} {self.xy(note.base)} Tm 7 Tr "
            f"({escaped(note.text)}) Tj ET {x0 - 2} {y0 - 2} {x1 - x0 + 4} {y1 - y0 + 4} re f Q\n"
        )


@by_stream("text with other actual text")
class Actual(Texted):
    """Every text said to be GFI for screen readers."""

    def show(self, text: str) -> str:
        return f"/Span <</ActualText (GFI)>> BDC ({escaped(text)}) Tj EMC"


@by_stream("letters one by one")
class Letters(Texted):
    """Each letter placed by itself, from the last one to the first."""

    def note(self, note: Note) -> None:
        s, a = note.size, math.radians(note.angle)
        co, si = math.cos(a), math.sin(a)
        matrix = " ".join(_num(v) for v in (co * s, -si * s, -si * s, -co * s))
        font, face = ("F2", "hebo") if note.bold else ("F1", "helv")
        for k in range(len(note.text) - 1, -1, -1):
            d = pymupdf.get_text_length(note.text[:k], face, s)
            at = (note.base[0] + d * co, note.base[1] - d * si)
            if note.text[k] != " ":
                self.out.write(
                    f"0 0 0 rg BT /{font} 1 Tf {matrix} {self.xy(at)} Tm ({escaped(note.text[k])}) Tj ET\n"
                )


@way("letters of the page shuffled")
def shuffled(paper: Paper, path: Path, r: Random) -> None:
    """All texts in any order at the end of the page, letter by letter."""
    leaf = Leaf(paper)
    notes = [i for i in paper.items if isinstance(i, Note)]
    random.Random(1).shuffle(notes)
    leaf.out += [leaf.text([i for i in paper.items if not isinstance(i, Note)]), leaf.text(notes, Kerned)]
    leaf.finish(path)
