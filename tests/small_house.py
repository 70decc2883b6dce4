"""A small house on one sheet, for tests of what is around the reading: a bath with a lavatory, and a bedroom.

Reading and marking it takes a fifth of the time of a sample plan.  In every edition one outlet is missing
protection, one is protected by a label, and two need none.
"""

from __future__ import annotations

import atexit
import tempfile
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from drawn_room import DUPLEX, FOOT, LAVATORY

SYMBOLS = "cordpath: 1\nsymbols:\n" + DUPLEX + LAVATORY + "labels:\n  - text: GFI\n    sets: {protection: device}\n"
WEST, NORTH, THICK = 150.0, 250.0, 0.5 * FOOT  # page coordinates, y down: the inner corner of the bath
BATH, BEDROOM, DEEP = 10 * FOOT, 12 * FOOT, 11 * FOOT
HALF = 7.92  # pt from the middle of a receptacle to its wall: 0.11 in
HIGH = 792.0
PLACES = {  # middle of a receptacle and its turn, counter-clockwise as seen from one on a north wall
    "west": ((WEST + HALF, NORTH + 5 * FOOT), 90.0),
    "south": ((WEST + 3 * FOOT, NORTH + DEEP - HALF), 180.0),
    "north": ((WEST + BATH + THICK + 6 * FOOT, NORTH + HALF), 0.0),
    "east": ((WEST + BATH + THICK + BEDROOM - HALF, NORTH + 5 * FOOT), 270.0),
}
LAVATORY_AT = (WEST + 6 * FOOT, NORTH + 9 * 1.5)


def draw(path: Path) -> None:
    """A bath with a lavatory and a bedroom beside it; the label at the receptacle on the south wall says GFI."""
    page = Canvas(str(path), pagesize=(1000, HIGH), invariant=1)
    page.saveState()
    page.transform(1, 0, 0, -1, 0, HIGH)  # strokes are drawn in page coordinates
    page.setLineWidth(1)
    page.rect(WEST - THICK, NORTH - THICK, BATH + BEDROOM + 3 * THICK, DEEP + 2 * THICK)
    page.rect(WEST, NORTH, BATH, DEEP)
    page.rect(WEST + BATH + THICK, NORTH, BEDROOM, DEEP)
    page.setLineWidth(0.6)
    for (x, y), turn in PLACES.values():
        page.saveState()
        page.translate(x, y)
        page.rotate(-turn)  # the frame is mirrored
        page.circle(0, 0, 4.5)
        for side in (-1.8, 1.8):
            page.line(side, -HALF, side, 4.1256)
        page.restoreState()
    page.rect(800, 20, 180, HIGH - 40)  # the title block
    x, y = LAVATORY_AT
    page.rect(x - 15, y - 13.5, 30, 27)
    page.circle(x, y, 10.5)
    page.restoreState()
    for x, y, size, text in (
        (WEST + 2 * FOOT, NORTH + 8 * FOOT, 8, "BATH"),
        (WEST + BATH + 4 * FOOT, NORTH + 8 * FOOT, 8, "BEDROOM"),
        (PLACES["south"][0][0] + 9, PLACES["south"][0][1] + 2, 7, "GFI"),
        (WEST, NORTH + DEEP + 60, 12, "POWER PLAN"),
        (WEST, NORTH + DEEP + 74, 8, 'SCALE: 1/4" = 1\'-0"'),
        (810, HIGH - 190, 6, "DATE"),
        (810, HIGH - 150, 6, "SHEET TITLE"),
        (810, HIGH - 130, 12, "POWER PLAN"),
        (810, HIGH - 70, 6, "SHEET NO."),
        (810, HIGH - 40, 24, "E-101"),
    ):
        page.setFont("Helvetica", size)
        page.drawString(x, HIGH - y, text)
    page.save()


def files() -> tuple[Path, Path]:
    """The sheet and its mapping file, in a folder that is there until Python ends."""
    folder = tempfile.TemporaryDirectory(prefix="small-house-")
    atexit.register(folder.cleanup)
    sheet, symbols = Path(folder.name) / "small-house.pdf", Path(folder.name) / "symbols.yaml"
    draw(sheet)
    symbols.write_text(SYMBOLS, encoding="utf-8")
    return sheet, symbols
