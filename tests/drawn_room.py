"""A room on a page of reportlab: walls with one opening, receptacles on its north wall; mapping entries."""

from __future__ import annotations

from reportlab.pdfgen.canvas import Canvas

FOOT = 18.0  # pt, 1/4" = 1'-0"
THICK = 0.4 * FOOT
DUPLEX = """\
  - name: duplex receptacle
    kind: receptacle
    shape:
      - circle: {center: [0, 0], radius: 0.0625}
      - line: {from: [-0.025, -0.11], to: [-0.025, 0.0573]}
      - line: {from: [0.025, -0.11], to: [0.025, 0.0573]}
    wall_side: [0, -1]
"""
LAMPHOLDER = """\
  - name: lampholder
    kind: light
    volts: 120
    shape:
      - circle: {center: [0, 0], radius: 0.1}
      - line: {from: [-0.1, 0], to: [0.1, 0]}
      - line: {from: [0, -0.1], to: [0, 0.1]}
"""
LAVATORY = """\
  - name: lavatory
    kind: lavatory
    size: real
    shape:
      - polyline: {points: [[-10, -9], [10, -9], [10, 9], [-10, 9]], closed: true}
      - circle: {center: [0, 0], radius: 7}
"""
BATHTUB = """\
  - name: bathtub
    kind: bathtub
    size: real
    shape:
      - polyline: {points: [[-30, -15], [30, -15], [30, 15], [-30, 15]], closed: true}
      - polyline: {points: [[-26, -11], [26, -11], [26, 11], [-26, 11]], closed: true}
"""


def walls(page: Canvas, west: float, south: float, wide: float, deep: float, opening: tuple[float, float]) -> None:
    """``opening``: its two ends along the south wall, pt from the inner corner ``(west, south)``."""
    north, low, high = south + deep, west + opening[0], west + opening[1]
    for x, y, w, h in (
        (west - THICK, north, wide + 2 * THICK, THICK),
        (west - THICK, south - THICK, low - west + THICK, THICK),
        (high, south - THICK, west + wide - high + THICK, THICK),
        (west - THICK, south, THICK, deep),
        (west + wide, south, THICK, deep),
    ):
        page.rect(x, y, w, h, stroke=0, fill=1)


def duplex(page: Canvas, x: float, north: float) -> tuple[float, float]:
    """One on the wall whose face is at ``north``; its centre."""
    y = north - 0.11 * 72
    page.setLineWidth(0.72)
    page.circle(x, y, 0.0625 * 72)
    for side in (-0.025, 0.025):
        page.line(x + side * 72, north, x + side * 72, y - 0.0573 * 72)
    return x, y
