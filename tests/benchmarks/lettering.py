"""Figures of the lettering reader on made-up sheets.

    python tests/benchmarks/lettering.py                speed alone: 400 stroked strings among 50,000 strokes
    python tests/benchmarks/lettering.py FONT_FOLDER    how well foreign fonts are read

The first draws its text in a face of the tests, so it needs no font: the strings alone, the strings beside 400
words of fonts (a sheet whose text is plotted in both ways), and words of fonts beside strokes without any string.

FONT_FOLDER holds fonts that the classifier was not trained on (README beside its weights); each is drawn as
outlines and, by its middle lines, as plotter strokes.  Prints, for clean and for crossed sheets: strings read
whole, glyph by glyph and with grammar and vocabulary; words that are believed (0.8 and more) and wrong; words
where nothing is written; CPU seconds.
"""

from __future__ import annotations

import cordpath  # noqa: F401  # before numpy: it sets numpy to one thread, as in the program

# isort: split
import sys
import time
from functools import partial
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1] / "tools"), str(Path(__file__).parents[1] / "sheet")]

from lettering_fonts import Glyph, outline, skeleton  # noqa: E402
from lettering_sheets import SIZE, Drawn, drawn  # noqa: E402
from stroke_face import ADVANCE, LETTERS, strokes  # noqa: E402

from cordpath.model import Word  # noqa: E402
from cordpath.sheet.lettering import choices, lettering  # noqa: E402
from cordpath.sheet.lettering.forms import Forms  # noqa: E402

SEED = 7
SURE = 0.8


def plain(text: str) -> str:
    return text.replace(" ", "").upper()


def compare(sheet: Drawn, words: tuple[Word, ...]) -> tuple[float, int, int]:
    """Share of strings read whole, believed words that are wrong, words where nothing is written."""
    at = np.array([word.at for word in words]).reshape(-1, 2)
    right, wrong, used = 0, 0, set()
    for said in sheet.said:
        slack = 0.3 * said.cap
        low, high = np.array(said.box[:2]) - slack, np.array(said.box[2:]) + slack
        inside = np.flatnonzero(((at > low) & (at < high)).all(axis=1))
        used.update(inside.tolist())
        along = np.array([np.cos(np.radians(said.angle)), -np.sin(np.radians(said.angle))])
        own = [words[k] for k in sorted(inside, key=lambda k: float(at[k] @ along))]
        whole = plain("".join(word.text for word in own)) == plain(said.text)
        right += whole
        if not whole:
            wrong += sum(word.confidence >= SURE and word.text not in said.text.split() for word in own)
    return right / len(sheet.said), wrong, len(words) - len(used)


def plain_face(letter: str) -> Glyph | None:
    return Glyph(strokes(letter, (0.0, 0.0), 1.0), ADVANCE) if letter in LETTERS else None


def typed(number: int) -> tuple[Word, ...]:
    """Words of fonts along the sheet's upper edge, where no drawing is."""
    x = np.linspace(60, SIZE[0] - 60, number)
    return tuple(Word("NOTE", (a, 10.0, a + 4.0, 18.0), 0.0, 8.0, k) for k, a in enumerate(x.tolist()))


def speed() -> None:
    """CPU seconds of reading 400 stroked strings among 50,000 strokes, with and without words of fonts; and of
    finding that there is nothing to read among 50,000 strokes beside words of fonts."""
    full = drawn(plain_face, SEED, number=400, background=61_000, tries=20)
    bare = drawn(plain_face, SEED, number=0, background=64_000)
    for name, sheet, words in (
        ("stroked", full, ()), ("stroked and typed", full, typed(400)), ("typed alone", bare, typed(400))
    ):  # fmt: skip
        start = time.process_time()
        found = lettering(sheet.strokes, sheet.fills, words)
        cpu = time.process_time() - start
        share = compare(sheet, found.words)[0] if sheet.said else 1.0
        print(
            f"{name:18} {len(sheet.said)} strings among {len(sheet.strokes)} strokes: read {share:.3f}, "
            f"{len(found.words)} words, unread {len(found.unread)}; {cpu:.1f} s CPU", flush=True,
        )  # fmt: skip


def no_forms(table: object, first: np.ndarray, last: np.ndarray, spaced: bool) -> Forms:
    """In place of ``best_forms``: no text of the grammar or the vocabulary fits."""
    none = np.full(len(first), -np.inf)
    return Forms(spaced, none, none, np.zeros(len(first), np.int64), np.zeros(len(first)))


def main() -> None:
    if len(sys.argv) < 2:
        speed()
        return
    forms = choices.best_forms
    for path in sorted(Path(sys.argv[1]).iterdir()):
        for name, maker in (("outlined", outline), ("stroked", skeleton)):
            for crossed in (False, True):
                sheet = drawn(partial(maker, path), SEED, filled=name == "outlined", crossed=crossed)
                choices.best_forms = no_forms  # glyph by glyph
                raw, _, _ = compare(sheet, lettering(sheet.strokes, sheet.fills, ()).words)
                choices.best_forms = forms
                start = time.process_time()
                found = lettering(sheet.strokes, sheet.fills, ())
                cpu = time.process_time() - start
                share, wrong, false = compare(sheet, found.words)
                print(
                    f"{path.stem[:24]:24} {name:8} {'crossed' if crossed else 'clean':7} "
                    f"{len(sheet.said)} strings: raw {raw:.3f}, read {share:.3f}; believed and wrong {wrong}, "
                    f"false {false}, unread {len(found.unread)}; {cpu:.1f} s CPU, {len(sheet.strokes)} strokes",
                    flush=True,
                )


if __name__ == "__main__":
    main()
