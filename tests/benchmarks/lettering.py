"""Figures of the lettering reader on made-up sheets:  python tests/benchmarks/lettering.py FONT_FOLDER

FONT_FOLDER holds fonts that the classifier was not trained on (README beside its weights); each is drawn as
outlines and, by its middle lines, as plotter strokes.  Prints, for clean and for crossed sheets: strings read
whole, glyph by glyph and with grammar and vocabulary; words that are believed (0.8 and more) and wrong; words where
nothing is written; CPU seconds.
"""

from __future__ import annotations

import sys
import time
from functools import partial
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1] / "tools")]

from lettering_fonts import outline, skeleton  # noqa: E402
from lettering_sheets import Drawn, drawn  # noqa: E402

from cordpath.model import Word  # noqa: E402
from cordpath.sheet.lettering import decode, lettering  # noqa: E402

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


def main() -> None:
    form = decode._form
    for path in sorted(Path(sys.argv[1]).iterdir()):
        for name, maker in (("outlined", outline), ("stroked", skeleton)):
            for crossed in (False, True):
                sheet = drawn(partial(maker, path), SEED, filled=name == "outlined", crossed=crossed)
                decode._form = lambda *args, **kw: None  # glyph by glyph
                raw, _, _ = compare(sheet, lettering(sheet.strokes, sheet.fills, ()).words)
                decode._form = form
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
