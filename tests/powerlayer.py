"""Draw a power plan over the real house plan of tests/data, for tests: a layer of outlets with their truth.

The sheet itself has no outlets.  The layer is drawn with fpdf2 and laid over with pikepdf as a form object, so that
two writers and two manners stand on one page: the plan in loose strokes, the devices in Bezier circles.
Outlets were set by hand on wall faces of the sheet (places in points, page as displayed); what the edition asks
of each follows from its room.  No basin is mapped, though the plan shows some; outlets of bedrooms, halls and
living rooms were kept more than 8 ft of way from every basin, tub and shower of the plan, but a reader of the
mapping file cannot know: those near the open door of a bath (2020, 2023), and the one in the kitchen away from the
counters, where no sink was named, are questions.

The plan is CC BY-SA 4.0 (tests/data/README.md); so are files made with this module.
"""

from __future__ import annotations

import io
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pikepdf
from fpdf import FPDF

WIDTH, HEIGHT = 3024.0, 2160.0  # page of the plan, pt
RADIUS, SPREAD, STEM, TAIL = 5.4, 2.0, 10.1, 7.6  # pt: circle, half gap of the lines, wall to middle, far end
SPREAD_240 = 3.0
SIZE = 7.0  # lettering, pt
LEADING = 7.8
SCALE_NOTE = '1/4" = 1\'-0"'
LEGEND_AT = (2640.0, 140.0)
SCHEDULE_AT = (2640.0, 330.0)
EDITIONS = ("2017", "2020", "2023")
LETTERS = {"M": "missing", "P": "protected", "N": "not required", "U": "unresolved"}
MAPPING = """\
cordpath: 1
drawing:
  scale: auto
symbols:
  - name: duplex receptacle
    kind: receptacle
    shape:
      - circle: {center: [0, 0], radius: 0.075}
      - line: {from: [-0.0278, -0.1403], to: [-0.0278, 0.1056]}
      - line: {from: [0.0278, -0.1403], to: [0.0278, 0.1056]}
    wall_side: [0, -1]
  - name: 240 V receptacle
    kind: receptacle
    volts: 240
    shape:
      - circle: {center: [0, 0], radius: 0.075}
      - line: {from: [-0.0417, -0.1403], to: [-0.0417, 0.1056]}
      - line: {from: [0, -0.1403], to: [0, 0.1056]}
      - line: {from: [0.0417, -0.1403], to: [0.0417, 0.1056]}
    wall_side: [0, -1]
  - name: wall light
    kind: light
    shape:
      - circle: {center: [0, 0], radius: 0.075}
      - line: {from: [0, -0.1403], to: [0, -0.075]}
    wall_side: [0, -1]
  - name: ceiling light
    kind: light
    shape:
      - circle: {center: [0, 0], radius: 0.075}
      - line: {from: [-0.1056, 0], to: [0.1056, 0]}
      - line: {from: [0, -0.1056], to: [0, 0.1056]}
  - name: junction box
    kind: other
    shape:
      - circle: {center: [0, 0], radius: 0.075}
      - text: {value: J, at: [0, 0]}
labels:
  - {text: GFI, sets: {protection: device}}
  - {text: WP, sets: {weatherproof: true}}
  - {text: '\\+42"', sets: {height_in: 42}}
  - {text: W, sets: {serves: washer}}
  - {text: DRYER, sets: {serves: dryer}}
"""

E, W, N, S = (1.0, 0.0), (-1.0, 0.0), (0.0, -1.0), (0.0, 1.0)  # directions away from the wall
XY = tuple[float, float]


@dataclass(frozen=True)
class Spot:
    """An outlet: room, place on the wall face (pt), direction away from the wall, circuit, labels, verdicts."""

    room: str
    wall: XY
    out: XY
    circuit: str
    labels: tuple[str, ...]
    verdicts: str
    volts: int = 125

    @property
    def middle(self) -> XY:
        return (self.wall[0] + self.out[0] * STEM, self.wall[1] + self.out[1] * STEM)


LOWER = (
    Spot("GARAGE", (1060.56, 224), W, "H-17", (), "MMM"),
    Spot("GARAGE", (773, 571.08), N, "H-1", ("GFI",), "PPP"),
    Spot("GARAGE", (908, 571.08), N, "H-17", (), "MMM"),
    Spot("LAUNDRY", (1067.28, 228), E, "H-3", ("W",), "UUU"),
    Spot("LAUNDRY", (1213.68, 240), W, "H-3", ("GFI",), "PPP"),
    Spot("LAUNDRY", (1067.28, 196), E, "H-2,4", ("DRYER",), "NMM", 240),
    Spot("FOYER - GARAGE", (1067.28, 432), E, "H-5", (), "NNN"),
    Spot("FOYER - GARAGE", (1158, 571.08), N, "H-5", (), "NNN"),
    Spot("BATH - FOYER", (1327, 330.84), N, "H-7", ("GFI",), "PPP"),
    Spot("BATH - FOYER", (1440.84, 300), W, "H-10", (), "MMM"),
    Spot("KITCHEN", (1600, 188.88), S, "H-9", ("GFI", '+42"'), "PPP"),
    Spot("KITCHEN", (1685, 188.88), S, "H-11", ('+42"',), "MMM"),
    Spot("KITCHEN", (1680, 568.8), N, "H-11", (), "UUM"),
    Spot("LIVING ROOM", (1325.52, 762), E, "H-5", (), "NNN"),
    Spot("FRONT PATIO", (1132, 580.08), S, "H-13", ("WP",), "UUU"),
    Spot("FRONT PATIO", (1190, 580.08), S, "H-13", ("WP", "GFI"), "PPP"),
)
UPPER = (
    Spot("DEN", (1011.36, 1270), E, "H-15", (), "NNN"),
    Spot("DEN", (1120, 1228.32), S, "H-15", (), "NNN"),
    Spot("DEN", (1213.68, 1318), W, "H-15", (), "NNN"),
    Spot("BATH - UPSTAIRS", (1381.2, 1212), W, "H-8", (), "PPP"),
    Spot("BATH - UPSTAIRS", (1220.52, 1254), E, "H-10", (), "MMM"),
    Spot("UPSTAIRS FOYER", (1451.64, 1390), W, "H-12", (), "NUU"),
    Spot("UPSTAIRS FOYER", (1300, 1361.04), S, "H-12", (), "NUU"),
    Spot("BEDROOM - WEST", (1387.92, 1226), E, "H-14", (), "NUU"),
    Spot("BEDROOM - WEST", (1550, 1308.48), N, "H-14", (), "NNN"),
    Spot("BEDROOM - EAST", (1520, 1556.28), S, "H-16", (), "NNN"),
    Spot("MASTER", (1607.64, 1452), E, "H-16", (), "NNN"),
    Spot("MASTER", (1650, 1342.32), S, "H-16", (), "NUU"),
    Spot("BATH - MASTER", (1846, 1172.76), S, "H-8", ("GFI",), "PPP"),
    Spot("BATH - MASTER", (1784, 1335.48), N, "H-10", (), "MMM"),
)
ROOMS = (
    (("GARAGE", "garage"), ("LAUNDRY", "laundry"), ("FOYER - GARAGE", "hall"), ("BATH - FOYER", "bathroom"),
     ("ENTRY FOYER", "hall"), ("KITCHEN", "kitchen"), ("LIVING ROOM", "living"), ("FRONT PATIO", "outdoors")),
    (("DEN", "living"), ("BATH - UPSTAIRS", "bathroom"), ("BEDROOM - WEST", "bedroom"), ("UPSTAIRS FOYER", "hall"),
     ("CLOSET - WALK-IN", "closet"), ("MASTER", "bedroom"), ("BEDROOM - EAST", "bedroom"),
     ("BATH - MASTER", "bathroom")),
)  # fmt: skip
LIGHTS = ((830.0, 270.0), (1150.0, 222.0), (1420.0, 690.0), (1080.0, 1330.0), (1340.0, 1300.0), (1500.0, 1270.0),
          (1560.0, 1650.0))  # fmt: skip
WALL_LIGHTS = (((1160.0, 580.08), S), ((1418.0, 330.84), N), ((1255.0, 1361.04), S))
JUNCTIONS = ((900.0, 470.0), (1760.0, 425.0), (1660.0, 1480.0))
CIRCUITS = (
    ("1", "GARAGE", 1, 20, ""), ("2,4", "DRYER", 2, 30, ""), ("3", "LAUNDRY", 1, 20, ""),
    ("5", "FOYERS AND LIVING", 1, 15, "AFCI"), ("7", "LOWER BATH", 1, 20, ""), ("8", "UPPER BATH", 1, 20, "GFCI"),
    ("9", "KITCHEN COUNTER", 1, 20, "AFCI"), ("10", "BATHS", 1, 20, ""), ("11", "KITCHEN COUNTER", 1, 20, "AFCI"),
    ("12", "UPPER FOYER", 1, 15, "AFCI"), ("13", "OUTDOOR", 1, 20, ""), ("14", "BEDROOM", 1, 15, "AFCI"),
    ("15", "DEN", 1, 15, "AFCI"), ("16", "BEDROOMS", 1, 15, "AFCI"), ("17", "GARAGE", 1, 20, ""),
)  # fmt: skip


@dataclass(frozen=True)
class PowerLayer:
    """What was written: the sheet, its mapping file, and the truth of the page."""

    pdf: Path
    mapping: Path
    truth: dict[str, Any]


def write_power_layer(plan: Path, folder: Path) -> PowerLayer:
    """Write ``plan`` with the layer over it, its mapping file and its truth into ``folder``."""
    pdf, mapping = folder / "real_house_power.pdf", folder / "real_house_power.yaml"
    layer = io.BytesIO(_layer())
    with pikepdf.open(plan) as sheet, pikepdf.open(layer) as over:
        sheet.pages[0].add_overlay(over.pages[0])
        sheet.save(pdf, deterministic_id=True)
    mapping.write_text(MAPPING, encoding="utf-8")
    truth = power_truth(pdf.name)
    (folder / "real_house_power.truth.json").write_text(json.dumps(truth, indent=1), encoding="utf-8")
    return PowerLayer(pdf, mapping, truth)


def power_truth(file: str) -> dict[str, Any]:
    """The truth of the page, in the form of the sample plans' truth files (rooms without outlines)."""
    views = []
    for title, spots, rooms in zip(("2nd Floor", "3rd Floor"), (LOWER, UPPER), ROOMS, strict=True):
        views.append({
            "title": title,
            "scale": {"ratio": 48.0, "text": SCALE_NOTE},
            "rooms": [{"name": name, "kind": kind} for name, kind in rooms],
            "fixtures": [],
            "outlets": [_truth(spot) for spot in spots],
        })  # fmt: skip
    return {"file": file, "page": 1, "views": views}


def _truth(spot: Spot) -> dict[str, Any]:
    return {
        "symbol": "240 V receptacle" if spot.volts > 125 else "duplex receptacle",
        "at": [round(v, 2) for v in spot.middle],
        "anchor": list(spot.wall),
        "room": spot.room,
        "labels": list(spot.labels),
        "circuit": spot.circuit,
        "verdict": {e: LETTERS[c] for e, c in zip(EDITIONS, spot.verdicts, strict=True)},
    }


# ------------------------------------------------------------------------------------------ the drawing


def _layer() -> bytes:
    pdf = FPDF(unit="pt", format=(WIDTH, HEIGHT))
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.add_page()
    pdf.set_font("Helvetica", "", SIZE)
    pdf.set_line_width(0.85)
    for spot in (*LOWER, *UPPER):
        _receptacle(pdf, spot.middle, spot.out, spot.volts)
        _label(pdf, spot)
    for at in LIGHTS:
        _light(pdf, at)
    for wall, out in WALL_LIGHTS:
        middle = (wall[0] + out[0] * STEM, wall[1] + out[1] * STEM)
        _sconce(pdf, middle, out)
    for at in JUNCTIONS:
        _junction(pdf, at)
    _legend(pdf)
    _schedule(pdf)
    return bytes(pdf.output())


def _receptacle(pdf: FPDF, at: XY, out: XY, volts: int) -> None:
    pdf.circle(at[0], at[1], RADIUS)
    for side in (-SPREAD_240, 0, SPREAD_240) if volts > 125 else (-SPREAD, SPREAD):
        x, y = at[0] - out[1] * side, at[1] + out[0] * side
        pdf.line(x - out[0] * STEM, y - out[1] * STEM, x + out[0] * TAIL, y + out[1] * TAIL)


def _sconce(pdf: FPDF, at: XY, out: XY) -> None:
    pdf.circle(at[0], at[1], RADIUS)
    pdf.line(at[0] - out[0] * STEM, at[1] - out[1] * STEM, at[0] - out[0] * RADIUS, at[1] - out[1] * RADIUS)


def _light(pdf: FPDF, at: XY) -> None:
    pdf.circle(at[0], at[1], RADIUS)
    pdf.line(at[0] - TAIL, at[1], at[0] + TAIL, at[1])
    pdf.line(at[0], at[1] - TAIL, at[0], at[1] + TAIL)


def _junction(pdf: FPDF, at: XY) -> None:
    pdf.circle(at[0], at[1], RADIUS)
    _text(pdf, at, "J")


def _text(pdf: FPDF, at: XY, value: str, start: bool = False) -> None:
    """Middle of the text at ``at`` (or its start)."""
    back = 0.0 if start else pdf.get_string_width(value) / 2
    pdf.text(at[0] - back, at[1] + 0.36 * SIZE, value)


def _label(pdf: FPDF, spot: Spot) -> None:
    lines = (spot.circuit, *spot.labels)
    wide = max(pdf.get_string_width(line) for line in lines)
    high = LEADING * (len(lines) - 1)
    far = TAIL + 3 + (wide / 2 if spot.out[0] else high / 2 + SIZE * 0.36)
    x, y = spot.middle[0] + spot.out[0] * far, spot.middle[1] + spot.out[1] * far
    for i, line in enumerate(lines):
        _text(pdf, (x, y - high / 2 + i * LEADING), line)


def _legend(pdf: FPDF) -> None:
    x, y = LEGEND_AT
    rows = ("DUPLEX RECEPTACLE", "240 V RECEPTACLE", "WALL LIGHT", "CEILING LIGHT", "JUNCTION BOX")
    pdf.rect(x, y, 300, 24 + 26 * len(rows))
    pdf.line(x, y + 24, x + 300, y + 24)
    _text(pdf, (x + 150, y + 12), "POWER LEGEND")
    for i, row in enumerate(rows):
        at = (x + 28, y + 24 + 26 * i + 13)
        if i < 2:
            _receptacle(pdf, at, S, 240 if i else 125)
        else:
            (lambda p, a: _sconce(p, a, S), _light, _junction)[i - 2](pdf, at)
        _text(pdf, (x + 60, at[1]), row, start=True)


def _schedule(pdf: FPDF) -> None:
    x, y = SCHEDULE_AT
    lefts = (0.0, 45.0, 175.0, 215.0, 250.0, 300.0)
    heads = ("CKT", "DESCRIPTION", "POLES", "AMPS", "PROT.")
    bottom = y + 36 + 14 * len(CIRCUITS)
    pdf.rect(x, y, 300, bottom - y)
    _text(pdf, (x + 150, y + 11), "PANEL H SCHEDULE")
    for left in lefts[1:-1]:
        pdf.line(x + left, y + 20, x + left, bottom)
    for i, row in enumerate((heads, *CIRCUITS)):
        top = y + 20 + (16 + 14 * (i - 1) if i else 0)
        pdf.line(x, top, x + 300, top)
        for j, cell in enumerate(row):
            if str(cell):
                _text(pdf, (x + (lefts[j] + lefts[j + 1]) / 2, top + (8 if i == 0 else 7)), str(cell))
