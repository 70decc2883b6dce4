"""Draw the sample plan sheets: invented houses, as PDF files with their truth beside them.

    python sample_plans/draw.py [--out FOLDER] [STEM ...]

The same houses give the same bytes.
"""

from __future__ import annotations

import argparse
import json
from functools import partial
from pathlib import Path

from drawing import writers
from drawing.house import House
from drawing.plan import DEMOLISHED
from drawing.sheet import compose
from drawing.truth import truth_of
from houses import HOUSES

HERE = Path(__file__).resolve().parent
WRITERS = {
    "clean": writers.write_clean,
    "chords": writers.write_chords,
    "plotted": writers.write_plotted,
    "layered": partial(writers.write_layered, hidden=frozenset({DEMOLISHED})),
}


def draw(house: House, out: Path) -> tuple[Path, Path]:
    """Write a house's sheet and its truth into ``out``."""
    pdf, truth = draw_sheet(house, out), out / f"{house.stem}.truth.json"
    text = json.dumps(truth_of(house, HERE, pdf.name), indent=1, ensure_ascii=False)
    truth.write_text(text + "\n", encoding="utf-8")
    return pdf, truth


def draw_sheet(house: House, out: Path) -> Path:
    """Write a house's sheet alone."""
    pdf = out / f"{house.stem}.pdf"
    WRITERS[house.writer](compose(house, HERE), pdf, f"{house.project} {house.sheet} {house.title}")
    return pdf


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("stems", nargs="*", help="houses to draw; default all")
    parser.add_argument("--out", type=Path, default=HERE)
    args = parser.parse_args()
    args.out.mkdir(parents=True, exist_ok=True)
    for house in HOUSES:
        if not args.stems or house.stem in args.stems:
            print(*draw(house, args.out))


if __name__ == "__main__":
    main()
