"""Ways to put a picture into a PDF: two PDF libraries, a plotter's manner, layers.

- ``clean``: reportlab, true Bezier curves, paths kept whole.
- ``chords``: fpdf2, curves as polylines of short chords.
- ``plotted``: reportlab, every stroke a loose two-point path in shuffled order, curves in chords, coordinates
  on a grid of 600 to the inch, some strokes drawn twice, page stored upright and turned by /Rotate 90.
- ``layered``: as ``clean``, then pikepdf adds optional content, some of it off.

All write the same bytes for the same picture.
"""

from __future__ import annotations

import datetime
import io
import math
import random
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path as FilePath

import pikepdf
from fpdf import FPDF
from reportlab.pdfgen.canvas import Canvas

from .marks import XY, Arc, Line, Path, Pen, Picture, Text

DATE = datetime.datetime(2024, 3, 4, 9, 0, 0, tzinfo=datetime.UTC)
PLOT_STEP = 0.12  # points; 1/600 in, a common plotter grid
PLOT_SEED = 20240304
DOUBLED = 0.06  # part of the strokes that the plotted manner draws twice


def _canvas(path: FilePath, width: float, height: float, title: str) -> Canvas:
    canvas = Canvas(str(path), pagesize=(width, height), invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setCreator("sample_plans/draw.py")
    return canvas


# ------------------------------------------------------------------------------------------------ clean


def write_clean(picture: Picture, path: FilePath, title: str) -> None:
    """reportlab, one path a mark, circles and arcs as Bezier curves."""
    canvas = _canvas(path, picture.width, picture.height, title)
    draw_marks(canvas, picture)
    canvas.showPage()
    canvas.save()


def draw_marks(canvas: Canvas, picture: Picture) -> None:
    """Put the picture on the canvas' current page.  Marks of a layer become marked content of that name."""
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    pen: Pen | None = None
    for mark, wanted in picture.marks:
        if wanted != pen:
            if pen is not None and pen.layer:
                canvas._code.append("EMC")
            if wanted.layer:
                canvas._code.append(f"/OC /{layer_key(wanted.layer)} BDC")
            pen = wanted
            canvas.setLineWidth(pen.width)
            canvas.setStrokeGray(pen.grey)
            canvas.setDash(list(pen.dash))
        _draw(canvas, mark, pen, picture.height)
    if pen is not None and pen.layer:
        canvas._code.append("EMC")


def layer_key(name: str) -> str:
    """Name of a layer in the page's property list."""
    return "L" + "".join(c for c in name if c.isalnum())


def _draw(canvas: Canvas, mark: Line | Arc | Path | Text, pen: Pen, height: float) -> None:
    if isinstance(mark, Line):
        canvas.line(mark.a[0], height - mark.a[1], mark.b[0], height - mark.b[1])
    elif isinstance(mark, Arc):
        x, y, r = mark.centre[0], height - mark.centre[1], mark.radius
        if abs(mark.sweep) >= 360:
            canvas.circle(x, y, r, stroke=1, fill=0)
        else:
            canvas.arc(x - r, y - r, x + r, y + r, mark.start, mark.sweep)
    elif isinstance(mark, Path):
        outline = canvas.beginPath()
        outline.moveTo(mark.points[0][0], height - mark.points[0][1])
        for px, py in mark.points[1:]:
            outline.lineTo(px, height - py)
        if mark.closed:
            outline.close()
        if mark.fill is not None:
            canvas.setFillGray(mark.fill)
        canvas.drawPath(outline, stroke=int(mark.stroke), fill=int(mark.fill is not None))
    else:
        x, y = mark.baseline()
        _text(canvas, mark, pen, (x, height - y), mark.angle)


def _text(canvas: Canvas, mark: Text, pen: Pen, at: XY, angle: float) -> None:
    t = math.radians(angle)
    text = canvas.beginText()
    text.setFont(mark.font, mark.size)
    text.setFillGray(pen.grey)
    text.setTextTransform(math.cos(t), math.sin(t), -math.sin(t), math.cos(t), at[0], at[1])
    text.textOut(mark.value)
    canvas.drawText(text)


# ----------------------------------------------------------------------------------------------- chords


def write_chords(picture: Picture, path: FilePath, title: str) -> None:
    """fpdf2, curves as polylines (chords of 10 degrees)."""
    pdf = FPDF(unit="pt", format=(picture.width, picture.height))
    pdf.set_creation_date(DATE)
    pdf.set_title(title)
    pdf.set_creator("sample_plans/draw.py")
    pdf.set_producer("fpdf2")  # without its version
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.add_page()
    for mark, pen in picture.marks:
        pdf.set_line_width(pen.width)
        pdf.set_draw_color(round(pen.grey * 255))
        pdf.set_dash_pattern(dash=pen.dash[0], gap=pen.dash[-1]) if pen.dash else pdf.set_dash_pattern()
        if isinstance(mark, Line):
            pdf.line(*mark.a, *mark.b)
        elif isinstance(mark, Arc):
            count = max(4, round(abs(mark.sweep) / 10))
            pdf.polyline(mark.chords(count))
        elif isinstance(mark, Path):
            if mark.fill is not None:
                pdf.set_fill_color(round(mark.fill * 255))
            style = ("D" if mark.stroke else "") + ("F" if mark.fill is not None else "")
            pdf.polyline(list(mark.points), polygon=mark.closed, style=style)
        else:
            _fpdf_text(pdf, mark, pen)
    pdf.output(str(path))


def _fpdf_text(pdf: FPDF, mark: Text, pen: Pen) -> None:
    pdf.set_font("Helvetica", "B" if mark.bold else "", mark.size)
    pdf.set_text_color(round(pen.grey * 255))
    x, y = mark.baseline()
    if mark.angle:
        with pdf.rotation(mark.angle, x, y):
            pdf.text(x, y, mark.value)
    else:
        pdf.text(x, y, mark.value)


# ---------------------------------------------------------------------------------------------- plotted


def write_plotted(picture: Picture, path: FilePath, title: str) -> None:
    """reportlab, loose shuffled strokes on the plotter's grid, page /Rotate 90.

    A point displayed at (x, y) lies at (y, x) on the upright page: turned clockwise, up becomes right and
    right becomes down.
    """
    canvas = _canvas(path, picture.width, picture.height, title)  # reportlab itself swaps them for /Rotate
    canvas.setPageRotation(90)
    shuffle = random.Random(PLOT_SEED)
    for mark, _pen in picture.marks:
        if isinstance(mark, Path) and mark.fill is not None:
            _plot_fill(canvas, mark)
    strokes = [(stroke, pen.width) for mark, pen in picture.marks for stroke in _loose(mark, pen)]
    strokes += [stroke for stroke in strokes if shuffle.random() < DOUBLED]
    shuffle.shuffle(strokes)
    canvas.saveState()
    canvas.scale(PLOT_STEP, PLOT_STEP)
    canvas.setLineCap(1)
    width = -1.0
    for (a, b), wanted in strokes:
        if wanted != width:
            width = wanted
            canvas.setLineWidth(round(width / PLOT_STEP))
        canvas.line(*_grid(a), *_grid(b))
    canvas.restoreState()
    for mark, pen in picture.marks:
        if isinstance(mark, Text):
            x, y = mark.baseline()
            _text(canvas, mark, pen, (y, x), mark.angle + 90)
    canvas.showPage()
    canvas.save()


def _grid(point: XY) -> tuple[int, int]:
    return (round(point[1] / PLOT_STEP), round(point[0] / PLOT_STEP))


def _plot_fill(canvas: Canvas, mark: Path) -> None:
    outline = canvas.beginPath()
    outline.moveTo(mark.points[0][1], mark.points[0][0])
    for x, y in mark.points[1:]:
        outline.lineTo(y, x)
    outline.close()
    canvas.setFillGray(mark.fill)
    canvas.drawPath(outline, stroke=0, fill=1)


def _loose(mark: Line | Arc | Path | Text, pen: Pen) -> Iterator[tuple[XY, XY]]:
    """The mark as two-point strokes; dashes are drawn one by one, as plotters do."""
    if isinstance(mark, Text) or (isinstance(mark, Path) and not mark.stroke):
        return
    if isinstance(mark, Line):
        points: list[XY] = [mark.a, mark.b]
    elif isinstance(mark, Arc):
        length = math.radians(abs(mark.sweep)) * mark.radius
        points = mark.chords(max(5, min(40, round(length / 2.4))))
    else:
        points = [*mark.points, mark.points[0]] if mark.closed else list(mark.points)
    yield from _dashes(points, pen.dash) if pen.dash else pairwise(points)


def _dashes(points: list[XY], dash: tuple[float, ...]) -> Iterator[tuple[XY, XY]]:
    """The pieces of a polyline that a dash pattern leaves, running on round its corners."""
    on, off = dash[0], dash[-1]
    at = 0.0  # length walked so far
    for a, b in pairwise(points):
        length = math.dist(a, b)
        first = math.floor(at / (on + off))
        for k in range(first, math.ceil((at + length) / (on + off))):
            s, e = max(k * (on + off), at) - at, min(k * (on + off) + on, at + length) - at
            if e - s > 0.05:
                yield (_along(a, b, s / length), _along(a, b, e / length))
        at += length


def _along(a: XY, b: XY, t: float) -> XY:
    return (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)


# ---------------------------------------------------------------------------------------------- layered


def write_layered(picture: Picture, path: FilePath, title: str, hidden: frozenset[str]) -> None:
    """As ``clean``, with the marks on layers (optional content); ``hidden`` layers are off on opening."""
    plain = io.BytesIO()
    canvas = Canvas(plain, pagesize=(picture.width, picture.height), invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setCreator("sample_plans/draw.py")
    draw_marks(canvas, picture)
    canvas.showPage()
    canvas.save()
    plain.seek(0)
    with pikepdf.open(plain) as pdf:
        names = sorted({pen.layer for _, pen in picture.marks if pen.layer})
        groups = {
            name: pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.OCG, Name=pikepdf.String(name)))
            for name in names
        }
        keys = {f"/{layer_key(name)}": group for name, group in groups.items()}
        pdf.pages[0].Resources.Properties = pikepdf.Dictionary(keys)
        pdf.Root.OCProperties = pikepdf.Dictionary(
            OCGs=pikepdf.Array(groups.values()),
            D=pikepdf.Dictionary(
                Order=pikepdf.Array(groups.values()),
                OFF=pikepdf.Array(group for name, group in groups.items() if name in hidden),
            ),
        )
        pdf.save(path, deterministic_id=True)
