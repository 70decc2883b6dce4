"""Lays out schedule pages: a head, paragraphs and tables that run over as many pages as they need, and a foot.

Terms: *schedule page*, an appended page; *unit*, the factor by which the layout grows with the page, so that it
can still be read when a 36 x 24 in. set is printed at half size; *row box*, where an outlet's row stands.
Laying out is pure: it knows sizes and text, and nothing of the file that the pages go into.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from cordpath.model import Box, Run
from cordpath.report.pdf.canvas import (
    GREY,
    INK,
    NAVY,
    PALE,
    PAPER,
    VERMILION,
    Canvas,
    Colour,
    FaceName,
    text_width,
    wrap,
)
from cordpath.report.rows import CAUTIONS

TABLOID = (1224.0, 792.0)  # pt, 17 x 11 in: the layout's own size
LETTER_WIDE = (792.0, 612.0)
BODY = 9.0  # pt of the text on a page of the layout's own size
SMALLEST = 8.0  # pt of the text on any page; plan text is at least 3/32 in (6.75 pt)
LARGEST_UNIT = 2.5  # beyond 42 in the text is large enough
LINES_MOST = 14  # lines of a cell; the whole text is in the results file and in the note of the cloud
TITLE = "Schedule of outlets missing protection"
ROW_KEY = tuple[int, str]  # page of the drawing, number of the outlet


@dataclass(frozen=True)
class Column:
    title: str
    share: float  # of the width of the table


@dataclass(frozen=True)
class Cells:
    """One row of a table, and the outlet it is about."""

    texts: tuple[str, ...]
    key: ROW_KEY | None = None
    colour: Colour = INK


@dataclass
class SchedulePage:
    canvas: Canvas = field(default_factory=Canvas)
    row_boxes: dict[ROW_KEY, Box] = field(default_factory=dict)


@dataclass(frozen=True)
class Look:
    """Sizes of one page layout, points."""

    width: float
    height: float

    @property
    def unit(self) -> float:
        return min(max(self.width / TABLOID[0], SMALLEST / BODY), LARGEST_UNIT)

    def size(self, points: float) -> float:
        """A length of the layout on this page."""
        return points * self.unit

    @property
    def body(self) -> float:
        return self.size(BODY)

    @property
    def margin(self) -> float:
        return self.size(36.0)

    @property
    def foot(self) -> float:
        """Where the foot of the page begins."""
        return self.height - self.margin - self.size(34.0)


def page_size(last: tuple[float, float]) -> tuple[float, float]:
    """The size of the file's last sheet where a table fits on it, else letter paper laid wide."""
    fits = min(last) >= 600.0 and max(last) >= 780.0 and max(last) < 14_400.0  # 200 in: the usual limit of viewers
    return (max(last), min(last)) if fits else LETTER_WIDE


class Layout:
    """Fills pages from the top; begins a new one when the next row does not fit."""

    def __init__(self, size: tuple[float, float], run: Run, name: str, banner: str) -> None:
        self.look = Look(*size)
        self.run, self.name, self.banner = run, name, banner
        self.pages: list[SchedulePage] = []
        self.y = 0.0
        self.begin_page()

    @property
    def canvas(self) -> Canvas:
        return self.pages[-1].canvas

    def begin_page(self) -> None:
        self.pages.append(SchedulePage())
        look, canvas = self.look, self.canvas
        x, y = look.margin, look.margin
        canvas.box((x, y, look.width - x, y + look.size(3)), fill=NAVY)
        y += look.size(26)
        size = look.size(17)
        canvas.text((x, y), TITLE if len(self.pages) == 1 else f"{TITLE}, continued", size, NAVY, "CpB")
        right = f"cordpath {self.run.version}"
        canvas.text((look.width - x - text_width(right, look.body), y), right, look.body, GREY)
        y += look.size(15)
        if self.banner:
            canvas.text((x, y), self.banner.upper(), look.size(10), VERMILION, "CpB")
            y += look.size(15)
        self.y = y
        for line in self._terms():
            self.paragraph(line, GREY)
        self.y += look.size(6)

    def _terms(self) -> list[str]:
        amended = "; ".join(self.run.amendments) or "none"
        dated = f"Permit date: {self.run.permit_date}.  " if self.run.permit_date else ""
        dated += f"Reviewed on {self.run.made_on}.  " if self.run.made_on else ""
        return [
            f"File: {self.name}.  Code: National Electrical Code, {self.run.edition} edition, 210.8.  "
            f"Local amendments: {amended}.  {dated}Symbols: {self.run.symbols}."
        ]

    def need(self, height: float) -> bool:
        """Make room for that height; True where a new page was begun."""
        if self.y + height <= self.look.foot:
            return False
        self.begin_page()
        return True

    def paragraph(self, text: str, colour: Colour = INK, name: FaceName = "CpR") -> None:
        look = self.look
        for line in wrap(text, look.width - 2 * look.margin, look.body, name):
            if self.y + look.body * 1.35 > look.foot and len(self.canvas.operators) > 12:
                self.begin_page()
            self.canvas.text((look.margin, self.y), line, look.body, colour, name)
            self.y += look.body * 1.35

    def heading(self, text: str, room_for: float = 60.0) -> None:
        look = self.look
        self.need(look.size(24 + room_for))
        self.y += look.size(17)
        self.canvas.text((look.margin, self.y), text, look.size(12), NAVY, "CpB")
        self.y += look.size(7)

    # ------------------------------------------------------------------------------------------- tables

    def table(self, columns: Sequence[Column], rows: Sequence[Cells]) -> None:
        self._table_head(columns)
        for k, row in enumerate(rows):
            lines = self._lines(columns, row)
            height = self._row_height(lines)
            if self.need(height):
                self._table_head(columns)
            self._row(columns, row, lines, height, shaded=k % 2 == 1)
        self.y += self.look.size(8)

    def _edges(self, columns: Sequence[Column]) -> list[float]:
        look = self.look
        wide, x = look.width - 2 * look.margin, look.margin
        edges = [x]
        for column in columns:
            edges.append(edges[-1] + wide * column.share)
        return edges

    def _lines(self, columns: Sequence[Column], row: Cells) -> list[list[str]]:
        look = self.look
        wide = look.width - 2 * look.margin
        cells = []
        for k, (column, text) in enumerate(zip(columns, row.texts, strict=True)):
            lines = wrap(text, wide * column.share - look.size(8), look.body, _face_of(k))
            cells.append(
                lines if len(lines) <= LINES_MOST else [*lines[: LINES_MOST - 1], "… (see the cloud's note)"]
            )
        return cells

    def _row_height(self, lines: list[list[str]]) -> float:
        return max(len(cell) for cell in lines) * self.look.body * 1.25 + self.look.size(6)

    def _table_head(self, columns: Sequence[Column]) -> None:
        look, edges = self.look, self._edges(columns)
        height = look.body * 1.25 + look.size(6)
        self.canvas.box((edges[0], self.y, edges[-1], self.y + height), fill=NAVY)
        for x, column in zip(edges, columns, strict=False):
            self.canvas.text(
                (x + look.size(4), self.y + height - look.size(5)), column.title, look.body, PAPER, "CpB"
            )
        self.y += height

    def _row(
        self, columns: Sequence[Column], row: Cells, lines: list[list[str]], height: float, shaded: bool
    ) -> None:
        look, edges, canvas = self.look, self._edges(columns), self.canvas
        box = (edges[0], self.y, edges[-1], self.y + height)
        if shaded:
            canvas.box(box, fill=PALE)
        for k, (x, cell) in enumerate(zip(edges, lines, strict=False)):
            colour = row.colour if k in (0, len(columns) - 1) else INK
            for j, line in enumerate(cell):
                baseline = self.y + look.size(3) + look.body * (0.95 + 1.25 * j)
                canvas.text((x + look.size(4), baseline), line, look.body, colour, _face_of(k))
        canvas.line([(box[0], box[3]), (box[2], box[3])], (0.7, 0.72, 0.75), look.size(0.5))
        if row.key is not None:
            self.pages[-1].row_boxes.setdefault(row.key, box)
        self.y += height

    # --------------------------------------------------------------------------------------------- foot

    def finish(self) -> list[SchedulePage]:
        look = self.look
        for k, page in enumerate(self.pages, 1):
            canvas = page.canvas
            top = look.foot + look.size(8)
            canvas.line([(look.margin, top), (look.width - look.margin, top)], GREY, look.size(0.5))
            size = max(look.size(8.0), SMALLEST * 0.95)
            paging = f"Schedule page {k} of {len(self.pages)}"
            wide = look.width - 2 * look.margin - text_width(paging, size) - look.size(20)
            for j, line in enumerate(wrap(" ".join(CAUTIONS), wide, size)):
                canvas.text((look.margin, top + size * (1.5 + 1.25 * j)), line, size, GREY)
            canvas.text(
                (look.width - look.margin - text_width(paging, size), top + size * 1.5), paging, size, INK, "CpR"
            )
        return self.pages


def _face_of(column: int) -> FaceName:
    return "CpB" if column == 0 else "CpR"
