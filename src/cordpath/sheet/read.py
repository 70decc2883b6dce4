"""One page of a PDF as a :class:`~cordpath.model.Sheet`."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pymupdf

from cordpath.errors import LockedFile, UnreadablePage
from cordpath.frame import Affine, PageFrame, after, inverse
from cordpath.geometry import middle_in_box
from cordpath.model import Fills, FloatArray, Point, Region, Sheet, Strokes, View, Word
from cordpath.sheet import opening, overlaid, pictures, soundness
from cordpath.sheet.cells import COPIED, Painted, painted
from cordpath.sheet.ink.beneath import beneath
from cordpath.sheet.ink.broad_strokes import white_tracks, without_gaps
from cordpath.sheet.ink.clip_shapes import Shapes, clip_shapes
from cordpath.sheet.ink.collect import TooMuch, collect
from cordpath.sheet.ink.dash_areas import dashed_lines
from cordpath.sheet.ink.dash_circles import with_dashed_circles
from cordpath.sheet.ink.fills import covered, dots_and_tracks, fills
from cordpath.sheet.ink.negatives import SAID as NEGATIVE
from cordpath.sheet.ink.negatives import dark_on_light, ground_of, seen_on
from cordpath.sheet.ink.outlined_lines import with_outlined
from cordpath.sheet.ink.painted import Unlisted
from cordpath.sheet.ink.paths import Paths
from cordpath.sheet.ink.pen_areas import as_lines, bars, rows_of_pixels, together
from cordpath.sheet.ink.ring_areas import with_rings
from cordpath.sheet.ink.strokes import Pieces, as_hairlines, page_scissors, pieces, rings, strokes
from cordpath.sheet.ink.unsure import SAID, unsure_boxes
from cordpath.sheet.ink.veils import shades, veiled, veiling
from cordpath.sheet.layers import settle
from cordpath.sheet.layout import regions, titleblock, views
from cordpath.sheet.layout.raster import outlined
from cordpath.sheet.layout.ruled import rules
from cordpath.sheet.layout.viewports import read_viewports
from cordpath.sheet.lettering import lettering
from cordpath.sheet.lettering.trust import DOUBTFUL
from cordpath.sheet.soundness import damaged
from cordpath.sheet.text.around_text import Showings, enclosed, showings, unsaid
from cordpath.sheet.text.ciphers import plain, suspects
from cordpath.sheet.text.font_maps import denied
from cordpath.sheet.text.glyph_outlines import ShownFont
from cordpath.sheet.text.large_letters import large_letters
from cordpath.sheet.text.legible import legible, mute_fonts
from cordpath.sheet.text.said import cut_out, doubtful_text, drawn_text, mute_text, unread_still
from cordpath.sheet.text.stacked import with_fractions
from cordpath.sheet.text.struck import doubt_struck
from cordpath.sheet.text.symbol_fonts import candidates, is_of_signs, letters_of_fonts, symbols_of_fonts
from cordpath.sheet.text.textlines import rows, runs
from cordpath.sheet.text.unseen_text import borne_out
from cordpath.sheet.text.words import words
from cordpath.sheet.upright import upright


def page_count(path: Path, password: str | None = None) -> int:
    """Number of pages; raises UnreadableFile, LockedFile."""
    with opening.opened(path, password) as document:
        return int(document.page_count)


def needs_password(path: Path) -> bool:
    """Is the file locked, so that nobody opens it without a password?  Raises UnreadableFile."""
    try:
        with opening.opened(path):
            return False
    except LockedFile:
        return True


def read_sheet(path: Path, page: int, password: str | None = None) -> Sheet:
    """Read page ``page`` (from 1).  Raises UnreadableFile, LockedFile, UnreadablePage."""
    with opening.opened(path, password) as document:
        over = overlaid.built_anew(document) + overlaid.told(document, page)
        handle = opening.load(document, page, path.name)
        where = f"{path.name}, page {page}"
        opened = opening.complaints()
        soundness.require_whole(document, handle, opened, where)
        with damaged("the page's entries are damaged", where):  # parents in a ring, for one
            cut, sizes = opening.size_doubts(handle)
            frame, to_page, overprint = _prepared(document, handle)
        soundness.require_paper(frame.size, where)
        content = _content(handle, frame, to_page, where, overprint)
        with damaged("the page's fonts are damaged", where):
            silent = suspects(handle)
        text = legible(content.text, silent, content.liars)[0]
        letters = tuple(word for word in content.text if plain(word.font) not in content.of_symbols)
        mute = legible(letters, silent, content.liars)[1]
        mute_ones = mute_fonts(letters, silent, content.liars)
        if mute_ones:  # what they show is read as it is drawn
            content = _content(handle, frame, to_page, where, overprint, mute_ones)
            text = legible(content.text, silent, content.liars)[0]
        marks, areas = content.marks, content.areas
        ports, doubts = read_viewports(handle, frame)
        drawn = opening.complaints()
        with damaged("the page's images are damaged", where):
            images = pictures.images_of(handle, to_page)
        seen = pictures.judge(images, frame.size, marks, areas, text, soundness.faults(drawn), where)
        soundness.require_drawn(drawn, where)
        faults = (cut, COPIED if content.painted.copied else None, _damage(document, opened + drawn))
        damage = "; ".join(said for said in faults if said) or None
        assumptions = ((damage,) if damage else ()) + over + sizes + content.said + seen + doubts
    with damaged("the page's drawn lettering is damaged", where, cure="plot the text as text (fonts)"):
        plotted = lettering(marks, areas, text)
    of_mute, mute = len(mute), unread_still(mute, plotted)
    text = with_fractions(borne_out(text, plotted.words, marks, areas) + plotted.words)
    assumptions += (
        drawn_text(plotted) + mute_text(of_mute, len(mute)) + doubtful_text(text) + cut_out(len(content.stencils))
    )
    mute += content.stencils
    text, struck = doubt_struck(text, marks, areas)
    assumptions += struck
    block, parts, drawings = _layout(marks, areas, text, frame.size)
    telling = np.concatenate([images.telling, content.painted.telling])
    hidden = pictures.in_drawings(telling, drawings, parts)
    assumptions += hidden.said
    return Sheet(
        path.name, page, block.number, block.title, *frame.size, marks, areas, text, content.layers, drawings,
        parts, assumptions, ports, plotted.unread + mute + hidden.labels,
        pictures.small_ones(np.concatenate([telling, content.unsure]), pictures.MARK), damage,
        plotted.lettered, content.gone, bars(areas),
    )  # fmt: skip


def _prepared(document: pymupdf.Document, handle: pymupdf.Page) -> tuple[PageFrame, Affine, bool]:
    """The page's frame, the map from MuPDF's frame to page coordinates, with the handle made ready, and is there
    paint that is printed over what is below it."""
    overprint = settle(document, handle)
    frame, reader = opening.bare(handle)
    return frame, after(inverse(reader), frame.matrix), overprint


def _layout(
    marks: Strokes, areas: Fills, text: tuple[Word, ...], size: tuple[float, float]
) -> tuple[titleblock.TitleBlock, tuple[Region, ...], tuple[View, ...]]:
    """What lies where on the sheet."""
    turn, drawn = upright(text, size), outlined(marks, areas)
    if not turn.quarters:
        return _level_layout(marks, drawn, text, size)
    level = turn.strokes(marks), turn.strokes(drawn), turn.words(text)
    block, parts, drawings = _level_layout(*level, turn.size)
    back = turn.back.box
    return (
        replace(block, box=back(block.box) if block.box else block.box),
        tuple(replace(part, box=back(part.box)) for part in parts),
        tuple(
            replace(view, box=back(view.box), note_box=back(view.note_box) if view.note_box else None)
            for view in drawings
        ),
    )


def _level_layout(
    marks: Strokes, drawn: Strokes, text: tuple[Word, ...], size: tuple[float, float]
) -> tuple[titleblock.TitleBlock, tuple[Region, ...], tuple[View, ...]]:
    """``drawn``: the marks with the outlines of fills."""
    found = rows(runs(text))
    ruled = rules(marks)
    block = titleblock.find(found, ruled, *size)
    blocks = (Region("title block", block.box),) if block.box else ()
    sure = rows(runs(regions.written(text)))
    free = [run for run in sure if not any(middle_in_box(run.box, region.box) for region in blocks)]
    parts = blocks + regions.find(free, ruled, marks, size)
    titled = [run for run in found if run.box not in block.names]
    drawings, others = views.find(titled, text, drawn, parts, block.title, size, ruled.level)
    return block, parts + others, drawings


@dataclass(frozen=True, eq=False)
class _Content:
    """What the page paints.  ``liars``: fonts that draw other letters than they say; ``of_symbols``: plain names of
    fonts whose glyphs are among the marks and areas; ``said``: what was assumed;
    ``stencils``: middles of texts that are only clips, so that no reader knows what is seen of them; ``unsure``
    (m, 4): boxes of paint that may not be seen as it is painted; ``gone`` (n, 4): as ``Sheet.painted_out``."""

    marks: Strokes
    areas: Fills
    text: tuple[Word, ...]
    layers: tuple[str, ...]
    liars: frozenset[str]
    of_symbols: frozenset[str]
    said: tuple[str, ...]
    painted: Painted
    stencils: tuple[Point, ...]
    unsure: FloatArray
    gone: FloatArray


def _content(
    handle: pymupdf.Page, frame: PageFrame, to_page: Affine, where: str, overprint: bool,
    mute: frozenset[str] = frozenset(),
) -> _Content:  # fmt: skip
    """``mute``: plain names of fonts whose glyphs are ink and no text, where they can be drawn."""
    with damaged("the page's text is damaged", where):
        shown = showings(handle)
    with damaged("the page's fonts are damaged", where):
        against = denied(shown.fonts)
        symbols, of_symbols = _symbols(handle, candidates(shown.fonts, against), shown)
        letters, drawn = _letters(handle, mute - of_symbols, shown)
    with damaged("the page's content is damaged", where):
        below = beneath(handle, shown.pens, bool(shown.pictures or shown.stencils or overprint))
        try:
            paths = collect(handle, replace(below, glyphs=(*symbols, *letters)))
        except TooMuch:
            raise UnreadablePage(
                "the page has more lines than any drawing", where=where, cure="plot it without hatch or 3-D shading"
            ) from None
    parts = pieces(paths, to_page)
    paths = as_hairlines(paths, parts)
    scissors, shapes = page_scissors(paths, to_page, frame.size), clip_shapes(paths.clips, to_page)
    veils = shades(paths, to_page, shapes)
    marks, areas, gone = _marks(paths, parts, scissors, shapes)
    with damaged("the page's fonts are damaged", where):
        over = veiling(paths, areas) + large_letters(handle, shown, paths, to_page, shapes)
    backs, ground = areas, ground_of(paths, marks, areas, veils, frame.size)
    if ground is not None:
        marks, areas, gone = _marks(dark_on_light(paths, ground), parts, scissors, shapes)
    pixels = rows_of_pixels(areas)
    lines_drawn = marks  # dashes that are areas are dashed by now
    marks, areas, said = as_lines(marks, areas)
    marks, areas, round_said = with_rings(marks, areas)
    marks, areas, bent_said = with_outlined(marks, areas, lines_drawn)
    backs = areas if ground is None else backs
    with damaged("the page's text is damaged", where):
        text = words(handle, to_page, backs, paths, veils + over, against, shown, shapes)
        text = text if ground is None else seen_on(ground, text)
        stencils = unsaid(shown, below.stencils, text, to_page)
    text = tuple(
        replace(word, confidence=min(word.confidence, DOUBTFUL)) if plain(word.font) in of_symbols else word
        for word in text
        if not ((plain(word.font) in of_symbols and is_of_signs(word.font)) or plain(word.font) in drawn)
    )
    layers, number = _layers(paths)
    marks = Strokes(
        marks.xy, marks.width, marks.colour, number[marks.layer], marks.path, marks.curve,
        marks.dashed, covered(marks, areas, paths.since, frame.size[0] * frame.size[1]),
    )  # fmt: skip
    areas = Fills(areas.shape, areas.colour, areas.opacity, number[areas.layer], areas.path)
    tiled = painted(paths.cells, scissors, shapes, to_page).also(pixels)
    unsure = unsure_boxes(paths.unsure | veiled(paths, veils, over, marks, areas), marks, areas)
    said += round_said + bent_said + _as_text(len(symbols)) + ((SAID,) if len(unsure) else ())
    said += (NEGATIVE,) if ground is not None else ()
    return _Content(marks, areas, text, layers, against.fonts, of_symbols, said, tiled, stencils, unsure, gone)


def _symbols(
    handle: pymupdf.Page, fonts: dict[str, list[ShownFont]], shown: Showings
) -> tuple[tuple[Unlisted, ...], frozenset[str]]:
    return symbols_of_fonts(enclosed(handle.get_texttrace(), shown), fonts) if fonts else ((), frozenset())


def _letters(
    handle: pymupdf.Page, mute: frozenset[str], shown: Showings
) -> tuple[tuple[Unlisted, ...], frozenset[str]]:
    """As :func:`letters_of_fonts`."""
    fonts = {name: [font for font in shown.fonts if plain(font.name) == name] for name in mute}
    return letters_of_fonts(enclosed(handle.get_texttrace(), shown), fonts) if mute else ((), frozenset())


def _as_text(symbols: int) -> tuple[str, ...]:
    if not symbols:
        return ()
    return (f"{symbols} symbols are characters of a font of symbols: the outlines of its letters are read as ink",)


def _marks(paths: Paths, parts: Pieces, scissors: FloatArray, shapes: Shapes) -> tuple[Strokes, Fills, FloatArray]:
    scissor = scissors[paths.clip]
    drawn, dots = strokes(paths, without_gaps(paths, parts), scissor, shapes)
    ring, owner = rings(paths, parts)
    dashed, solid = dashed_lines(paths, ring, owner, scissor)
    pens = dots_and_tracks(paths, dots, white_tracks(paths, parts))
    areas, gone = fills(paths, ring[solid], owner[solid], pens, scissor, shapes)
    return with_dashed_circles(together(drawn, dashed)), areas, gone


def _layers(paths: Paths) -> tuple[tuple[str, ...], np.ndarray]:
    """Layer names, and the map from MuPDF's layer index to ours (-1 where the name is empty)."""
    names = tuple(name for name in paths.layers if name)
    number = np.array([names.index(name) if name else -1 for name in paths.layers] or [-1], np.int64)
    return names, number


def _damage(document: pymupdf.Document, complaints: tuple[str, ...]) -> str | None:
    """What was mended or skipped while reading."""
    said = soundness.faults(complaints)
    if document.is_repaired:
        return "the file was repaired while reading: some of it may be missing"
    if said:
        return f"the page has faults ({'; '.join(said[:3])}): some of it may be missing"
    return None
