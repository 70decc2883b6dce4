"""Review marks as annotations of a page, each with its own appearance, on the review layer.

The appearance is a form in page coordinates whose matrix carries it to user space, so rotation, crop box, shifted
origin and UserUnit are all dealt with by the one transform of the program, and text stands upright as displayed.
Entries: ISO 32000-2:2020, 12.5.6 (types, FreeText callouts, PolyLine, Polygon clouds), tables 166 and 172 (markup
annotations: T, Subj, IRT, RT), 12.5.5 (how an appearance is placed).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from cordpath.frame import PageFrame, inverse
from cordpath.model import Box, Point, Run, SheetResult
from cordpath.report.pdf.canvas import GREY, VERMILION, Canvas, Colour, numbers
from cordpath.report.pdf.layout import ROW_KEY, SchedulePage
from cordpath.report.pdf.mark_drawings import PATH_PEN, draw_banner, draw_cloud, draw_path, draw_tag, draw_unnamed
from cordpath.report.pdf.marks import CLOUD_PEN, TAG_SIZE, OutletMark, PathMark, cloud_unit, mark_unit
from cordpath.report.pdf.pdffile import PdfFile, literal
from cordpath.report.pdf.signing import REVIEW_COPY
from cordpath.report.rows import full_stop, may_ask, sentence, shorten
from cordpath.report.summary import unexplained_of

AUTHOR = "cordpath"
NAME = "cordpath-p"  # how the names (NM) of all our annotations begin; the page number follows
SUBJECTS = {"missing": "GFCI protection not shown", "unresolved": "GFCI protection unresolved"}
DIGITS = 4  # of a user space coordinate: finer than any device, even with a UserUnit of 100
VIEW_AROUND = 140.0  # pt around a cloud that a link from the schedule brings into view
UNNAMED_MOST = 20  # shapes marked on a sheet
BANNER_MOST = 160  # characters of the banner on a sheet that was not checked


@dataclass(frozen=True)
class Placed:
    """Where annotations of one page go: the file, the page, its frame, the review layer (None without one)."""

    pdf: PdfFile
    index: int
    frame: PageFrame
    layer: int | None
    made_on: str | None = None  # ISO 8601 day

    @property
    def dated(self) -> str:
        """The day of the review, and nothing finer: the same findings give the same bytes all day."""
        day = f"(D:{self.made_on.replace('-', '')})" if self.made_on else ""
        return f"/M{day}/CreationDate{day}" if day else ""

    @property
    def on_layer(self) -> str:
        return "" if self.layer is None else f"/OC {self.layer} 0 R"

    def rect(self, box: Box) -> str:
        return f"[{numbers(*self.frame.box_to_user(box), digits=DIGITS)}]"

    def points(self, points: Sequence[Point]) -> str:
        user = self.frame.to_user(np.asarray(points, float)).ravel()
        return f"[{numbers(*(float(v) for v in user), digits=DIGITS)}]"

    def length(self, points: float) -> float:
        return points / self.frame.user_unit

    def form(self, canvas: Canvas, box: Box) -> int:
        matrix = numbers(*inverse(self.frame.matrix), digits=6)
        return self.pdf.add(
            f"<</Type/XObject/Subtype/Form/BBox[{numbers(*box)}]/Matrix[{matrix}]/Resources{self.pdf.resources()}>>",
            canvas.bytes(),
        )

    def annotation(
        self,
        kind: str,
        name: str,
        canvas: Canvas,
        box: Box,
        colour: Colour,
        note: str,
        subject: str,
        more: str = "",
    ) -> int:
        """A markup annotation."""
        form = self.form(canvas, box)
        return self.pdf.add(
            f"<</Type/Annot/Subtype/{kind}/Rect{self.rect(box)}/P {self.pdf.page_xref(self.index)} 0 R/F 4"
            f"/NM{literal(name)}/T{literal(AUTHOR)}/Subj{literal(subject)}/Contents{literal(note)}"
            f"/C[{numbers(*colour)}]{self.dated}{self.on_layer}/AP<</N {form} 0 R>>{more}>>"
        )

    def link(self, box: Box, destination: str, name: str, on_layer: bool = False) -> int:
        layer = self.on_layer if on_layer else ""
        return self.pdf.add(
            f"<</Type/Annot/Subtype/Link/Rect{self.rect(box)}/P {self.pdf.page_xref(self.index)} 0 R"
            f"/F 4/NM{literal(name)}/Border[0 0 0]/Dest {destination}{layer}>>"
        )

    def view_of(self, box: Box) -> str:
        """A destination that brings a mark into view."""
        wide, high = self.frame.size
        around = (max(box[0] - VIEW_AROUND, 0), max(box[1] - VIEW_AROUND, 0),
                  min(box[2] + VIEW_AROUND, wide), min(box[3] + VIEW_AROUND, high))  # fmt: skip
        corners = numbers(*self.frame.box_to_user(around), digits=DIGITS)
        return f"[{self.pdf.page_xref(self.index)} 0 R/FitR {corners}]"


def fill_schedule(
    pdf: PdfFile, indices: list[int], pages: list[SchedulePage], views: Mapping[ROW_KEY, str],
    link: Callable[[Placed, Box, str, str], int],
) -> None:  # fmt: skip
    """Draw the pages of a schedule; the row of an outlet that has a destination in ``views`` gets a link to it."""
    for index, page in zip(indices, pages, strict=True):
        pdf.fill_page(index, page.canvas)
        placed = Placed(pdf, index, pdf.frame(index), None)
        rows = [(key, box) for key, box in page.row_boxes.items() if key in views]
        links = [link(placed, box, views[key], f"{NAME}{index + 1}-{key[1]}-row") for key, box in rows]
        pdf.add_annotations(index, links, replacing=NAME)


@dataclass
class Marks:
    """Annotations of one page by what lies over what: paths at the bottom, tags and their links on top."""

    paths: list[int] = field(default_factory=list)
    clouds: list[int] = field(default_factory=list)
    tags: list[int] = field(default_factory=list)

    @property
    def in_order(self) -> list[int]:
        return [*self.paths, *self.clouds, *self.tags]


def annotate_outlet(placed: Placed, mark: OutletMark, run: Run, back: str | None, marks: Marks) -> None:
    """Cloud, tag and paths of an outlet as one group; ``back`` is the destination of its row in the schedule."""
    finding = mark.finding
    subject = SUBJECTS[finding.verdict]
    name = f"{NAME}{placed.index + 1}-{finding.outlet.id}"
    canvas, box = draw_cloud(mark)
    x0, y0, x1, y1 = mark.cloud
    corners = placed.points([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    pen = numbers(placed.length(CLOUD_PEN * cloud_unit(mark.unit)))
    style = f"/BS<</W {pen}{'/S/S' if mark.missing else '/S/D/D[4 3]'}>>"
    more = f"/IT/PolygonCloud/Vertices{corners}/BE<</S/C/I 1>>{style}"
    note = note_text(mark, run)
    cloud = placed.annotation("Polygon", f"{name}-cloud", canvas, box, mark.colour, note, subject, more)
    marks.clouds.append(cloud)
    group = f"/IRT {cloud} 0 R/RT/Group"
    canvas, box = draw_tag(mark)
    more = f"{_look(placed, mark.colour, mark.unit)}/RD{_inset(placed, box, mark.tag)}{group}"
    marks.tags.append(
        placed.annotation("FreeText", f"{name}-tag", canvas, box, mark.colour, mark.text, subject, more)
    )
    if back:
        marks.tags.append(placed.link(mark.tag, back, f"{name}-back", on_layer=True))
    for k, path in enumerate(mark.paths, 1):
        marks.paths.append(_annotate_path(placed, mark, path, f"{name}-path-{k}", group))


def _annotate_path(placed: Placed, mark: OutletMark, path: PathMark, name: str, group: str) -> int:
    canvas, box = draw_path(path, mark.colour, mark.unit)
    note = f"Cord path from {mark.finding.outlet.id}: {path.label}, measured in the plan"
    more = (
        f"/Vertices{placed.points(path.points)}/BS<</W {numbers(placed.length(PATH_PEN * mark.unit))}/S/S>>{group}"
    )
    return placed.annotation("PolyLine", name, canvas, box, mark.colour, note, "Cord path", more)


def _look(placed: Placed, colour: Colour, unit: float = 1.0) -> str:
    """How an editor would set the text anew; the appearance stream is what viewers show."""
    return f"/DA({numbers(*colour)} rg /Helv {numbers(placed.length(TAG_SIZE * unit))} Tf)/Q 0"


def annotate_failure(placed: Placed, result: SheetResult) -> list[int]:
    """A banner on a sheet that could not be checked."""
    text = shorten(f"NOT CHECKED: {' '.join((result.why or 'no reason was given').split())}", BANNER_MOST)
    return _banner(placed, "not-checked", text, f"Not checked: {result.why}", "Sheet not checked")


def annotate_copy(placed: Placed) -> list[int]:
    """A banner that says what the copy is, where no page of ours can say it."""
    text = f"{REVIEW_COPY[:1].upper()}{REVIEW_COPY[1:]}"
    return _banner(placed, "copy", text, text, "Review copy")


def _banner(placed: Placed, ending: str, text: str, note: str, subject: str) -> list[int]:
    canvas, box = draw_banner(text, placed.frame.size[0], mark_unit(*placed.frame.size))
    name, look = f"{NAME}{placed.index + 1}-{ending}", _look(placed, VERMILION)
    return [placed.annotation("FreeText", name, canvas, box, VERMILION, note, subject, look)]


def annotate_unnamed(placed: Placed, result: SheetResult, drawn: Sequence[OutletMark] = ()) -> list[int]:
    """A light dashed box at the first place of each repeated shape that the mapping file does not name.

    Its text keeps off words, and off the marks that are ``drawn``.
    """
    items = [item for item in unexplained_of(result) if item.marks and item.box][:UNNAMED_MOST]
    made = []
    unit = mark_unit(*placed.frame.size)
    avoid = [word.box for word in result.reading.sheet.words] if result.reading else []
    avoid += [box for mark in drawn for box in (mark.extent, mark.tag, *(path.label_box for path in mark.paths))]
    for k, item in enumerate(items, 1):
        text = f"not named: drawn {item.count} times"
        canvas, box, label = draw_unnamed(item.box or (0.0, 0.0, 0.0, 0.0), text, avoid, unit)
        avoid.append(label)
        name = f"{NAME}{placed.index + 1}-unnamed-{k}"
        made.append(placed.annotation("Square", name, canvas, box, GREY, item.what, "Shape not named"))
    return made


def _inset(placed: Placed, outer: Box, inner: Box) -> str:
    """RD: how far the text's box lies inside the annotation's: left, bottom, right, top in user space."""
    a, b = placed.frame.box_to_user(outer), placed.frame.box_to_user(inner)
    return f"[{numbers(b[0] - a[0], b[1] - a[1], a[2] - b[2], a[3] - b[3])}]"


def note_text(mark: OutletMark, run: Run) -> str:
    """What the reader of the cloud is told: verdict, what and where, each rule and why, evidence, edition."""
    finding = mark.finding
    symbol, protection = finding.outlet.symbol, finding.protection
    place = f" in {finding.room.name or finding.room.kind}" if finding.room else ", room not settled"
    circuit = f", circuit {protection.circuit}" if protection.circuit else ""
    lines = [
        f"{finding.outlet.id}: {SUBJECTS[finding.verdict]}.",
        full_stop(f"{symbol.entry.name}{place}{circuit}"),
    ]
    lines += [sentence(reason) for reason in finding.reasons]
    told = " ".join(lines)
    for requirement in finding.requirements:
        if requirement.holds.value != "no" and not (
            requirement.cite in told and requirement.because.partition(", ")[0] in told
        ):
            may = "" if requirement.holds.value == "yes" else " (may apply)"
            lines.append(f"{requirement.cite}{may}: {sentence(requirement.because)}")
    asked = (sentence(r.question) for r in may_ask(finding) if r.question)
    lines += [f"Question: {question}" for question in asked if question not in told]
    if protection.evidence and protection.evidence not in told:
        lines.append(f"Protection: {sentence(protection.evidence)}")
    lines += [sentence(reason) for reason in (*protection.reasons, *symbol.reasons)]
    amended = f", amended by {', '.join(run.amendments)}" if run.amendments else ""
    amended += f", permit date {run.permit_date}" if run.permit_date else ""
    lines.append(f"Code: NEC {run.edition}{amended}. Confidence {finding.confidence:.2f}.")
    return "\n".join(dict.fromkeys(lines))
