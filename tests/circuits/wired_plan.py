"""A garage with wired receptacles, drawn by reportlab or fpdf2 as the test asks."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

WIDTH, HEIGHT = 1224.0, 792.0
FOOT = 18.0  # pt: 1/4" = 1'-0"
X0, Y0, X1, Y1 = 200.0, 200.0, 740.0, 560.0  # inner faces of the walls, y up
RADIUS, SPREAD, STEM, TAIL = 5.4, 2.0, 10.1, 7.6  # pt
MAPPING = """\
cordpath: 1
drawing: {scale: auto}
symbols:
  - name: duplex receptacle
    kind: receptacle
    shape:
      - circle: {center: [0, 0], radius: 0.075}
      - line: {from: [-0.0278, -0.1403], to: [-0.0278, 0.1056]}
      - line: {from: [0.0278, -0.1403], to: [0.0278, 0.1056]}
    wall_side: [0, -1]
"""
# Receptacles along the upper wall, left to right: the place of the middle of each, y up.
PLACES = [(x, Y1 - STEM) for x in (260.0, 360.0, 460.0, 560.0, 660.0)]


def plan(
    path: Path, wires="arc", dashed=False, filled=True, gfi=1, tag="A-12", number="E-101", skip=(), tags=()
) -> Path:
    """Wires join neighbours but those in ``skip``; the homerun is at the first.  ``gfi``: index of the device.

    ``tags``: circuit tags beside the outlets.
    """
    canvas = Canvas(str(path), pagesize=(WIDTH, HEIGHT))
    canvas.setLineWidth(1.4)
    canvas.rect(X0, Y0, X1 - X0, Y1 - Y0)
    canvas.rect(X0 - 9, Y0 - 9, X1 - X0 + 18, Y1 - Y0 + 18)
    canvas.setFont("Helvetica", 10)
    canvas.drawCentredString((X0 + X1) / 2, 340, "GARAGE")
    canvas.setFont("Helvetica", 9)
    canvas.drawString(X0, 150, "FLOOR PLAN")
    canvas.drawString(X0, 138, 'SCALE: 1/4" = 1\'-0"')
    canvas.setFont("Helvetica-Bold", 18)
    canvas.drawString(1120, 40, number)
    canvas.setFont("Helvetica", 7)
    canvas.setLineWidth(0.7)
    for k, (x, y) in enumerate(PLACES):
        canvas.circle(x, y, RADIUS)
        for dx in (-SPREAD, SPREAD):
            canvas.line(x + dx, y + STEM, x + dx, y - TAIL)
        if k == gfi:
            canvas.drawCentredString(x, y - 18, "GFI")
        if k < len(tags) and tags[k]:
            canvas.drawCentredString(x, y - 26, tags[k])
    canvas.setLineWidth(0.4)
    if dashed:
        canvas.setDash(4, 2.5)
    for k, (a, b) in enumerate(itertools.pairwise(PLACES)):
        if k not in skip:
            _wire(
                canvas,
                (a[0] + RADIUS * 0.8, a[1] - RADIUS * 0.6),
                (b[0] - RADIUS * 0.8, b[1] - RADIUS * 0.6),
                wires,
            )
    canvas.setDash()
    if tag is not None:
        start = (PLACES[0][0] - RADIUS * 0.6, PLACES[0][1] - RADIUS * 0.8)
        tip = (start[0] - 22, start[1] - 40)
        canvas.line(*start, *tip)
        _head(canvas, start, tip, filled)
        canvas.drawCentredString(tip[0] - 4, tip[1] - 12, tag)
    canvas.save()
    return path


def _wire(canvas, a, b, kind):
    if kind == "line":
        canvas.line(*a, *b)
    elif kind == "arc":
        canvas.bezier(*a, a[0] + 25, a[1] - 25, b[0] - 25, b[1] - 25, *b)
    else:  # loose chords
        steps = [
            (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]) - 80 * t * (1 - t))
            for t in (k / 24 for k in range(25))
        ]
        for p, q in itertools.pairwise(steps):
            canvas.line(*p, *q)


def _head(canvas, start, tip, filled):
    length = math.dist(start, tip)
    d = ((tip[0] - start[0]) / length, (tip[1] - start[1]) / length)
    back = (tip[0] - 7 * d[0], tip[1] - 7 * d[1])
    left, right = (back[0] - 2.4 * d[1], back[1] + 2.4 * d[0]), (back[0] + 2.4 * d[1], back[1] - 2.4 * d[0])
    path = canvas.beginPath()
    path.moveTo(*left)
    path.lineTo(*tip)
    path.lineTo(*right)
    if filled:
        path.close()
    canvas.drawPath(path, stroke=1, fill=int(filled))


def schedule(path: Path, name="A", marked=("12",), number="E-601") -> Path:
    canvas = Canvas(str(path), pagesize=(WIDTH, HEIGHT))
    canvas.setFont("Helvetica-Bold", 11)
    canvas.drawString(102, 690, f"PANEL {name} SCHEDULE")
    canvas.setFont("Helvetica", 8)
    edges = (100, 150, 330, 380, 430, 520)
    for k, row in enumerate([("CKT", "DESCRIPTION", "AMPS", "POLES", "TYPE"), *(
        (str(n), "GARAGE RECEPTACLES", "20", "1", "GFCI" if str(n) in marked else "") for n in range(2, 22, 2)
    )]):  # fmt: skip
        for x, cell in zip(edges, row, strict=False):
            canvas.drawString(x + 3, 664 - 14 * k, cell)
        canvas.line(edges[0], 660 - 14 * k, edges[-1], 660 - 14 * k)
    for x in edges:
        canvas.line(x, 674, x, 660 - 14 * 10)
    canvas.setFont("Helvetica-Bold", 18)
    canvas.drawString(1120, 40, number)
    canvas.save()
    return path
