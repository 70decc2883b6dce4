"""One drawing through many PDF writers: true curves, polylines, nested forms, streams by hand, plotter strokes."""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path
from random import Random

import pikepdf
import pymupdf
from fpdf import FPDF
from house_ink import Arc, Item, Note, Paper, Poly, Pt
from pikepdf import Array, Dictionary, Name
from reportlab.pdfgen import canvas

GRID = 0.12  # pt, 1/600 in


def by_reportlab(paper: Paper, path: Path, r: Random) -> None:
    """True Bezier curves, y upwards."""
    c = canvas.Canvas(str(path), pagesize=(paper.width, paper.height), invariant=1, pageCompression=1)
    h = paper.height
    for item in paper.items:
        if isinstance(item, Note):
            c.saveState()
            c.translate(item.base[0], h - item.base[1])
            c.rotate(item.angle)
            c.setFont("Helvetica-Bold" if item.bold else "Helvetica", item.size)
            c.drawString(0, 0, item.text)
            c.restoreState()
            continue
        if item.pen is not None:
            c.setLineWidth(item.pen.width)
            c.setStrokeColorRGB(*item.pen.colour)
            c.setDash(*([list(item.pen.dash)] if item.pen.dash else []))
        if isinstance(item, Arc):
            x, y = item.centre
            if item.whole:
                c.circle(x, h - y, item.radius, stroke=1, fill=0)
            else:
                box = (x - item.radius, h - y - item.radius, x + item.radius, h - y + item.radius)
                p = c.beginPath()
                p.arc(*box, startAng=item.start, extent=item.end - item.start)
                c.drawPath(p, stroke=1, fill=0)
            continue
        p = c.beginPath()
        for ring in (item.points, *item.holes):
            p.moveTo(ring[0][0], h - ring[0][1])
            for x, y in ring[1:]:
                p.lineTo(x, h - y)
            if item.closed:
                p.close()
        if item.fill is not None:
            c.setFillColorRGB(*item.fill)
        c.drawPath(p, stroke=int(item.pen is not None), fill=int(item.fill is not None), fillMode=0)
        if item.fill is not None:
            c.setFillColorRGB(0, 0, 0)
    c.showPage()
    c.save()


def by_fpdf(paper: Paper, path: Path, r: Random) -> None:
    """Every curve a polyline of a fixed number of chords."""
    count = r.choice((16, 24, 36, 48))
    pdf = FPDF(unit="pt", format=(paper.width, paper.height))
    pdf.set_auto_page_break(False)
    pdf.add_page()
    for item in paper.items:
        if isinstance(item, Note):
            pdf.set_font("Helvetica", "B" if item.bold else "", item.size)
            with pdf.rotation(item.angle, *item.base):
                pdf.text(*item.base, item.text)
            continue
        if item.pen is not None:
            pdf.set_line_width(item.pen.width)
            pdf.set_draw_color(*(round(255 * v) for v in item.pen.colour))
            dash = item.pen.dash or (0, 0)
            pdf.set_dash_pattern(*dash)
        if isinstance(item, Arc):
            n = max(4, round(count * (item.end - item.start) / 360)) if not item.whole else count
            pdf.polyline(list(item.chords(n)))
            continue
        if item.holes or item.fill is not None:
            _fpdf_area(pdf, item)
        elif item.closed:
            pdf.polygon(list(item.points))
        else:
            pdf.polyline(list(item.points))
    pdf.output(str(path))


def _fpdf_area(pdf: FPDF, item: Poly) -> None:
    with pdf.new_path() as p:
        p.style.fill_color = "#" + "".join(f"{round(255 * v):02x}" for v in item.fill) if item.fill else None
        p.style.stroke_color = "#000000" if item.pen is not None else None
        p.style.stroke_width = item.pen.width if item.pen is not None else None
        p.style.intersection_rule = "evenodd"
        for ring in (item.points, *item.holes):
            p.move_to(*ring[0])
            for q in ring[1:]:
                p.line_to(*q)
            p.close()


def by_pymupdf(paper: Paper, path: Path, r: Random) -> None:
    """Shapes on source pages that are placed as forms within forms; layers as optional content."""
    whole = pymupdf.open()
    page = whole.new_page(width=paper.width, height=paper.height)
    layers = sorted({item.layer for item in paper.items})
    devices = [item for item in paper.items if item.block]
    rest = [item for item in paper.items if not item.block]
    for group in (rest, devices):
        inner = pymupdf.open()
        sub = inner.new_page(width=paper.width, height=paper.height)
        ocg = {name: inner.add_ocg(name) for name in layers} if len(layers) > 1 else {}
        shape = sub.new_shape()
        for item in group:
            _shape(shape, item, ocg.get(item.layer, 0))
        shape.commit()
        outer = pymupdf.open()
        mid = outer.new_page(width=paper.width, height=paper.height)
        mid.show_pdf_page(mid.rect, inner, 0)
        page.show_pdf_page(page.rect, outer, 0)
    whole.save(str(path), deflate=True)


def _shape(shape: pymupdf.Shape, item: Item, oc: int) -> None:
    if isinstance(item, Note):
        font = "hebo" if item.bold else "helv"
        shape.insert_text(item.base, item.text, fontsize=item.size, fontname=font, rotate=item.angle, oc=oc)
        return
    if isinstance(item, Arc):
        if item.whole:
            shape.draw_circle(item.centre, item.radius)
        else:
            for piece in item.beziers():
                shape.draw_bezier(*piece)
        pen, fill, close = item.pen, None, False
    else:
        for ring in (item.points, *item.holes):
            shape.draw_polyline([*ring, ring[0]] if item.closed else list(ring))
        pen, fill, close = item.pen, item.fill, item.closed
    dashes = f"[{pen.dash[0]} {pen.dash[1]}] 0" if pen is not None and pen.dash else None
    shape.finish(
        width=pen.width if pen else 0,
        color=pen.colour if pen else None,
        fill=fill,
        closePath=close,
        dashes=dashes,
        even_odd=True,
        oc=oc,
    )


# ---------------------------------------------------------------------------------------- streams by hand


def _num(v: float) -> str:
    return f"{v:.3f}".rstrip("0").rstrip(".")


class Stream:
    """Content of a page in units of ``unit`` points, y down, under one ``cm``."""

    def __init__(self, unit: float, whole: bool) -> None:
        self.unit, self.whole, self.out = unit, whole, io.StringIO()

    def xy(self, p: Pt) -> str:
        x, y = p[0] / self.unit, p[1] / self.unit
        return f"{round(x)} {round(y)}" if self.whole else f"{_num(x)} {_num(y)}"

    def len(self, v: float) -> str:
        return _num(v / self.unit)

    def pen(self, item: Poly | Arc) -> None:
        if item.pen is None:
            return
        dash = f"[{self.len(item.pen.dash[0])} {self.len(item.pen.dash[1])}]" if item.pen.dash else "[]"
        colour = " ".join(_num(v) for v in item.pen.colour)
        self.out.write(f"{self.len(item.pen.width)} w {dash} 0 d {colour} RG\n")

    def curve(self, arc: Arc) -> None:
        self.pen(arc)
        for k, (a, b, c, d) in enumerate(arc.beziers()):
            start = f"{self.xy(a)} m " if k == 0 else ""
            self.out.write(f"{start}{self.xy(b)} {self.xy(c)} {self.xy(d)} c ")
        self.out.write("S\n")

    def poly(self, item: Poly) -> None:
        self.pen(item)
        if item.fill is not None:
            self.out.write(" ".join(_num(v) for v in item.fill) + " rg\n")
        for ring in (item.points, *item.holes):
            self.out.write(f"{self.xy(ring[0])} m " + "".join(f"{self.xy(p)} l " for p in ring[1:]))
            self.out.write("h " if item.closed else "")
        paint = {(True, True): "B*", (True, False): "S", (False, True): "f*", (False, False): "n"}
        self.out.write(paint[item.pen is not None, item.fill is not None] + "\n")

    def note(self, note: Note) -> None:
        s = note.size / self.unit
        a = math.radians(note.angle)
        co, si = math.cos(a), math.sin(a)
        m = (co * s, -si * s, -si * s, -co * s)  # the page is flipped, so the letters are flipped back
        text = note.text.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")
        matrix = " ".join(_num(v) for v in m)
        font = "F2" if note.bold else "F1"
        self.out.write(f"0 0 0 rg BT /{font} 1 Tf {matrix} {self.xy(note.base)} Tm ({text}) Tj ET\n")

    def add(self, item: Item) -> None:
        if isinstance(item, Note):
            self.note(item)
        elif isinstance(item, Arc):
            self.curve(item)
        else:
            self.poly(item)


def _fonts(pdf: pikepdf.Pdf) -> Dictionary:
    def font(name: str) -> pikepdf.Object:
        return pdf.make_indirect(
            Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name("/" + name), Encoding=Name.WinAnsiEncoding)
        )

    return Dictionary(F1=font("Helvetica"), F2=font("Helvetica-Bold"))


def by_hand(paper: Paper, path: Path, r: Random) -> None:
    """UserUnit 2, media box off the origin, /Rotate, cm 0.12 with flipped y, clips, blocks as forms, layers."""
    unit, rotate, user = 0.12, r.choice((0, 90, 180, 270)), r.choice((1, 2, 2))
    pdf = pikepdf.new()
    layers = sorted({item.layer for item in paper.items})
    groups: dict[str, pikepdf.Object] = {}
    if len(layers) > 1:
        groups = {name: pdf.make_indirect(Dictionary(Type=Name.OCG, Name=name)) for name in layers}
        pdf.Root.OCProperties = Dictionary(
            OCGs=Array(list(groups.values())), D=Dictionary(Order=Array(list(groups.values())))
        )
    named = {f"L{k}": groups[name] for k, name in enumerate(layers)} if groups else {}
    by_name = {name: f"L{k}" for k, name in enumerate(layers)} if groups else {}
    w, h = paper.width / user, paper.height / user
    size = (w, h) if rotate in (0, 180) else (h, w)
    ox, oy = r.choice(((0, 0), (-306, 144.5), (1000, -50)))
    main = Stream(unit, True)
    k = unit / user
    flip = {0: (k, 0, 0, -k, 0, h), 90: (0, k, k, 0, 0, 0), 180: (-k, 0, 0, k, w, 0), 270: (0, -k, -k, 0, h, w)}
    a, b, c, d, e, f = flip[rotate]
    main.out.write(f"q {a} {b} {c} {d} {_num(e + ox)} {_num(f + oy)} cm\n")
    main.out.write(f"0 0 {round(paper.width / unit)} {round(paper.height / unit)} re W n\n")
    fonts = _fonts(pdf)
    forms: dict[str, pikepdf.Object] = {}
    for layer, items in _runs(paper.items):
        mark = by_name.get(layer)
        main.out.write(f"/OC /{mark} BDC\n" if mark else "")
        if items[0].block and len(items) > 1:
            form = Stream(unit, False)
            for item in items:
                form.add(item)
            name = f"B{len(forms)}"
            box = [0, 0, paper.width / unit, paper.height / unit]
            stream = pdf.make_stream(form.out.getvalue().encode("latin-1"))
            stream.Type, stream.Subtype, stream.BBox = Name.XObject, Name.Form, Array(box)
            stream.Resources = Dictionary(Font=fonts)
            forms[name] = stream
            main.out.write(f"q /{name} Do Q\n")
        else:
            main.out.write("q\n")
            for item in items:
                main.add(item)
            main.out.write("Q\n")
        main.out.write("EMC\n" if mark else "")
    main.out.write("Q\n")
    resources = Dictionary(Font=fonts, XObject=Dictionary(**forms), Properties=Dictionary(**named))
    page = Dictionary(
        Type=Name.Page,
        MediaBox=Array([ox, oy, ox + size[0], oy + size[1]]),
        Rotate=rotate,
        Resources=resources,
        Contents=pdf.make_stream(main.out.getvalue().encode("latin-1")),
    )
    if user != 1:
        page.UserUnit = user
    pdf.pages.append(pikepdf.Page(page))
    pdf.save(path, compress_streams=True, deterministic_id=True)


def _runs(items: list[Item]) -> Iterator[tuple[str, list[Item]]]:
    """Neighbours of one layer and block."""
    run: list[Item] = []
    for item in items:
        if run and (item.layer, item.block) != (run[0].layer, run[0].block):
            yield run[0].layer, run
            run = []
        run.append(item)
    if run:
        yield run[0].layer, run


def by_plotter(paper: Paper, path: Path, r: Random) -> None:
    """Every stroke a loose path of two points in any order, on the 1/600 in grid; arcs of few chords; dashes
    drawn out; some strokes twice; some of no length; text last."""
    count = r.choice((12, 16, 24))
    strokes: list[tuple[Pt, Pt, float, tuple[float, ...]]] = []
    areas: list[Poly] = []
    for item in paper.items:
        if isinstance(item, Note):
            continue
        if isinstance(item, Poly) and item.fill is not None:
            areas.append(Poly(item.points, None, True, item.fill, item.holes))
        if item.pen is None:
            continue
        if isinstance(item, Arc):
            n = max(5, round(count * (item.end - item.start) / 360))
            rings = [item.chords(n)]
        else:
            rings = [(*ring, ring[0]) if item.closed else ring for ring in (item.points, *item.holes)]
        for ring in rings:
            for a, b in _pieces(ring, item.pen.dash):
                strokes.append((a, b, item.pen.width, item.pen.colour))
                if r.random() < 0.03:
                    strokes.append((b, a, item.pen.width, item.pen.colour))
                if r.random() < 0.01:
                    strokes.append((a, a, item.pen.width, item.pen.colour))
    r.shuffle(strokes)
    s = Stream(GRID, True)
    s.out.write(f"q {GRID} 0 0 -{GRID} 0 {_num(paper.height)} cm 1 J 1 j\n")
    for area in areas:
        s.poly(area)
    for a, b, width, colour in strokes:
        s.out.write(f"{s.len(width)} w {' '.join(_num(v) for v in colour)} RG {s.xy(a)} m {s.xy(b)} l S\n")
    for item in paper.items:
        if isinstance(item, Note):
            s.note(item)
    s.out.write("Q\n")
    pdf = pikepdf.new()
    page = Dictionary(
        Type=Name.Page,
        MediaBox=Array([0, 0, paper.width, paper.height]),
        Resources=Dictionary(Font=_fonts(pdf)),
        Contents=pdf.make_stream(s.out.getvalue().encode("latin-1")),
    )
    pdf.pages.append(pikepdf.Page(page))
    pdf.save(path, compress_streams=True, deterministic_id=True)


def _pieces(ring: tuple[Pt, ...], dash: tuple[float, float] | None) -> Iterator[tuple[Pt, Pt]]:
    for a, b in pairwise(ring):
        length = math.dist(a, b)
        if dash is None or length == 0:
            yield a, b
            continue
        s = 0.0
        while s < length:
            e = min(s + dash[0], length)
            yield _along(a, b, s / length), _along(a, b, e / length)
            s = e + dash[1]


def _along(a: Pt, b: Pt, t: float) -> Pt:
    return (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)


def by_matplotlib(paper: Paper, path: Path, r: Random) -> None:
    """The PDF backend of a plotting library: its own fonts (Type 3), curves and clips.  Needs matplotlib."""
    import matplotlib

    matplotlib.use("pdf")
    from matplotlib import pyplot
    from matplotlib.patches import Arc as MplArc
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path as MplPath

    figure = pyplot.figure(figsize=(paper.width / 72, paper.height / 72))
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, paper.width)
    axes.set_ylim(paper.height, 0)
    axes.axis("off")
    for item in paper.items:
        if isinstance(item, Note):
            axes.text(
                *item.at,
                item.text.replace("$", r"\$"),
                size=item.size * 0.92,
                rotation=item.angle,
                ha="center",
                va="center",
                weight="bold" if item.bold else "normal",
            )
            continue
        style = {
            "linewidth": item.pen.width if item.pen else 0,
            "edgecolor": item.pen.colour if item.pen else "none",
        }
        if item.pen and item.pen.dash:
            style["linestyle"] = (0, tuple(v / max(item.pen.width, 0.1) for v in item.pen.dash))
        if isinstance(item, Arc):
            d = 2 * item.radius
            patch = MplArc(item.centre, d, d, theta1=-item.end, theta2=-item.start, fill=False, **style)
            axes.add_patch(patch)
            continue
        points: list[Pt] = []
        codes: list[int] = []
        for ring in (item.points, *item.holes):
            points += [*ring, ring[0]] if item.closed else ring
            codes += [MplPath.MOVETO, *[MplPath.LINETO] * (len(ring) - 1)]
            codes += [MplPath.CLOSEPOLY] if item.closed else []
        axes.add_patch(
            PathPatch(
                MplPath(points, codes),
                facecolor=item.fill or "none",
                fill=item.fill is not None,
                capstyle="butt",
                **style,
            )
        )
    figure.savefig(path, metadata={"CreationDate": None})
    pyplot.close(figure)


WRITERS: dict[str, Callable[[Paper, Path, Random], None]] = {
    "reportlab": by_reportlab,
    "fpdf2": by_fpdf,
    "pymupdf": by_pymupdf,
    "by hand": by_hand,
    "plotter": by_plotter,
    "matplotlib": by_matplotlib,
}
