"""Writes ``marked.png``, the picture in the project's README, from the marked copy of a sample sheet.

cordpath check sample_plans/marlow-court.pdf --symbols sample_plans/symbols.yaml --out review
python sample_plans/picture.py review/marlow-court.marked.pdf
"""

from __future__ import annotations

import sys
from pathlib import Path

import pymupdf
from PIL import Image

PLAN = pymupdf.Rect(275, 420, 1590, 1140)  # pt on the page as displayed: the plan with its marks
ZOOM = 1.35  # pixels a point: tags can be read where the picture is as wide as a page of text
COLOURS = 48  # lines of a few colours and their edges
TARGET = Path(__file__).parent / "marked.png"


def main(marked: str) -> None:
    with pymupdf.open(marked) as document:
        picture = document[0].get_pixmap(matrix=pymupdf.Matrix(ZOOM, ZOOM), clip=PLAN, annots=True)
    image = Image.frombytes("RGB", (picture.width, picture.height), picture.samples)
    image.quantize(COLOURS, dither=Image.Dither.NONE).save(TARGET, optimize=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
