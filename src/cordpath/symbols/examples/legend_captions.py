"""Legends whose descriptions stand under their signs, or over them, in a grid: laid out as rows, to be read so.

Which sign a caption belongs to is settled by the order alone: every caption has a sign on the same side, every sign
a caption, and nothing is left over.  Over the first captions there are signs and under the last ones none, or the
other way round; taken by the nearest text instead, each sign could be named by the caption of the next one.

Terms: *caption*, the lines of a description over or under its sign.  *Sign*, what is drawn for it, without gaps.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
import shapely.affinity

from cordpath import geometry, units
from cordpath.geometry import components, hull, misaligned
from cordpath.model import BoolArray, Box, Fills, FloatArray, Region, Sheet, Word
from cordpath.symbols.examples import legend
from cordpath.symbols.examples.legend_frame import COLUMN, CROWDED, LEVEL, shapes
from cordpath.symbols.examples.legend_lines import LINE_PITCH, Row, letters_of, lines_of
from cordpath.symbols.examples.legend_signs import APART

FEWEST = 3  # captions with their signs that are a grid and no accident
LARGEST = 2 * legend.TALLEST  # pt: signs are no larger
MOSTLY = 0.75  # of the texts with a sign over or under them are a grid, even where one has none or one is left over
NOWHERE: Box = (0.0, 0.0, 0.0, 0.0)
GAP = legend.TALLEST  # pt from a sign to its caption, at most
FROM_SIGN = 2 * APART  # pt from a sign to its letters, at most
LAP = 1.0  # pt: boxes of words are higher than their letters, and reach into what is drawn over them
PITCH = 3 * LARGEST  # pt from row to row as they are laid out: none reaches into another
TEXT = 200.0  # pt, where the descriptions begin as they are laid out
FROM_TEXT = 15.0  # pt from a sign to its description, farther than a leader's gap


@dataclass(frozen=True, eq=False)
class Cell:
    """A caption and its sign.  ``words``: numbers of the caption's words in Sheet.words, ``letters`` those in its
    sign; ``strokes`` and ``fills`` numbers of what is drawn there."""

    caption: Box
    sign: Box
    words: tuple[int, ...]
    letters: tuple[int, ...]
    strokes: tuple[int, ...]
    fills: tuple[int, ...]


@dataclass
class _Piece:
    """Something drawn, or a short text, that is part of a sign."""

    box: Box
    strokes: list[int]
    fills: list[int]
    letters: list[int]


def cells_in(sheet: Sheet, region: Region) -> tuple[Cell, ...]:
    """The cells of a captioned legend, row by row; none where the region is no such legend.

    Of one in which it is not certain whose each sign is the cells are without signs.
    """
    texts = _texts(sheet, region)
    drawn = _drawn(sheet, region.box, texts)
    if drawn is None:
        return ()
    texts, letters = _parted(texts, drawn)
    signs = _signs([*drawn, *(_Piece(text.box, [], [], list(text.words)) for text in letters)])
    if len(texts) < FEWEST or not signs:
        return ()
    served = []
    for under in (True, False):
        whose = [_caption_of(sign, texts, under) for sign in signs]
        served.append(len(set(whose) - {None}))
        if None not in whose and served[-1] == len(texts):
            return tuple(
                _cell(text, [sign for sign, k in zip(signs, whose, strict=True) if k == n])
                for n, text in enumerate(texts)
            )
    level = sum(any(_is_level(sign, text) for sign in signs) for text in texts)
    is_grid = max(served) >= MOSTLY * len(texts) and level < (1 - MOSTLY) * len(texts)
    return tuple(Cell(text.box, NOWHERE, text.words, (), (), ()) for text in texts) if is_grid else ()


def _is_level(sign: _Piece, text: Row) -> bool:
    """Does a sign stand beside a text, as in a legend of rows?"""
    beside = max(text.box[0] - sign.box[2], sign.box[0] - text.box[2])
    return sign.box[1] <= text.middle <= sign.box[3] and 0 <= beside <= legend.SIDE


def laid_out(sheet: Sheet, cells: tuple[Cell, ...]) -> Sheet:
    """A sheet that shows the cells as the rows of one legend, each sign left of its description."""
    words: list[Word] = []
    strokes = [np.array(cell.strokes, np.int64) for cell in cells]
    fills = [np.array(cell.fills, np.int64) for cell in cells]
    steps = []
    for k, cell in enumerate(cells):
        _, y0, x1, y1 = cell.sign
        steps.append((TEXT - FROM_TEXT - x1, row_at(k) - (y0 + y1) / 2))
        words += [_moved(sheet.words[i], *steps[-1], k) for i in cell.letters]
        words += _in_line([sheet.words[i] for i in cell.words], row_at(k), len(cells) + k)
    ink = sheet.strokes.take(np.concatenate(strokes))
    step = np.repeat(np.array(steps), [len(each) for each in strokes], axis=0)
    ink = replace(ink, xy=ink.xy + np.c_[step, step])
    paint = np.concatenate(fills)
    by = np.repeat(np.array(steps), [len(each) for each in fills], axis=0)
    f = sheet.fills
    moved = [shapely.affinity.translate(one, *at) for one, at in zip(f.shape[paint], by.tolist(), strict=True)]
    shape = np.empty(len(moved), object)
    shape[:] = moved
    area = Fills(shape, f.colour[paint], f.opacity[paint], f.layer[paint], f.path[paint])
    right = max(word.box[2] for word in words)
    region = Region("legend", (0.0, 0.0, right + COLUMN, row_at(len(cells))))
    return replace(
        sheet, words=tuple(words), strokes=ink, fills=area, regions=(region,), views=(),
        lettered=sheet.lettered[:0], width=region.box[2], height=region.box[3],
    )  # fmt: skip


def row_at(k: int) -> float:
    """The height of a row as it is laid out."""
    return PITCH * (k + 0.5)


def _texts(sheet: Sheet, region: Region) -> list[Row]:
    """The texts of a legend, those of several lines as one; a caption's lines have one middle or begin alike."""
    texts: list[Row] = []
    for line in sorted(lines_of(sheet, region.box), key=lambda row: (row.middle, row.box[0])):
        if legend.HEADING.search(units.plain(line.text)) or line.text.strip(" :") == region.title:
            continue
        over = next((k for k, text in enumerate(texts) if _goes_on(sheet, text, line)), None)
        if over is None:
            texts.append(line)
        else:
            one = texts[over]
            texts[over] = replace(
                one, text=f"{one.text} {line.text}", box=hull([one.box, line.box]), words=(*one.words, *line.words)
            )
    return texts


def _goes_on(sheet: Sheet, text: Row, line: Row) -> bool:
    """Is a line the next one of a text?"""
    step = line.middle - max(sheet.words[i].at[1] for i in text.words)
    return line.size / 2 < step <= LINE_PITCH * line.size and misaligned(text.box, line.box) <= line.size


def _drawn(sheet: Sheet, region: Box, texts: list[Row]) -> list[_Piece] | None:
    """What may be a part of signs: no rules, no frames about texts, no drawn letters.  None where it is much."""
    told = {i for text in texts if len(letters_of(text.text)) >= legend.LEAST_LETTERS for i in text.words}
    letters = np.array([sheet.words[i].box for i in told if sheet.words[i].origin != "font"]).reshape(-1, 4)
    middles = np.array([sheet.words[i].at for i in told]).reshape(-1, 2)
    near = np.flatnonzero(geometry.segments_in_box(sheet.strokes.xy, region) & sheet.strokes.ink())
    xy = sheet.strokes.xy[near]
    if len(xy) > CROWDED:
        return None
    own = ~_inside(geometry.boxes_around(xy), letters)
    near, xy = near[own], xy[own]
    shape = shapes(xy) if len(xy) else np.zeros(0, np.int64)
    pieces = []
    for k in range(int(shape.max(initial=-1)) + 1):
        own = shape == k
        if not _is_rule(xy[own]).all():
            pieces.append(_Piece(_around(geometry.boxes_around(xy[own])), near[own].tolist(), [], []))
    bounds = shapely.bounds(sheet.fills.shape).reshape(-1, 4)
    held = ((bounds[:, :2] >= region[:2]) & (bounds[:, 2:] <= region[2:])).all(axis=1) & ~_inside(bounds, letters)
    for k in np.flatnonzero(held).tolist():
        pieces.append(_Piece(_around(bounds[k : k + 1]), [], [k], []))
    return [piece for piece in pieces if _is_small(piece.box) and not _holds(piece.box, middles)]


def _is_rule(xy: FloatArray) -> BoolArray:
    """(n,) level lines as long as a column of signs is wide."""
    return np.asarray((np.abs(xy[:, 3] - xy[:, 1]) <= LEVEL) & (np.abs(xy[:, 2] - xy[:, 0]) > COLUMN), bool)


def _inside(boxes: FloatArray, others: FloatArray) -> BoolArray:
    """(n,) whose middles lie in one of the others."""
    middle = (boxes[:, None, :2] + boxes[:, None, 2:]) / 2
    within = (middle >= others[:, :2]) & (middle <= others[:, 2:])
    return np.asarray(np.any(np.all(within, axis=2), axis=1), bool)


def _around(boxes: FloatArray) -> Box:
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    return (float(low[0]), float(low[1]), float(high[0]), float(high[1]))


def _is_small(box: Box) -> bool:
    return max(box[2] - box[0], box[3] - box[1]) <= LARGEST


def _holds(box: Box, points: FloatArray) -> bool:
    return bool(((points >= np.array(box[:2])) & (points <= np.array(box[2:]))).all(axis=1).any())


def _parted(texts: list[Row], drawn: list[_Piece]) -> tuple[list[Row], list[Row]]:
    """The captions, and the texts that are letters of signs."""
    of_signs = [_is_letters(text, drawn) for text in texts]
    each = list(zip(texts, of_signs, strict=True))
    return [text for text, is_letters in each if not is_letters], [text for text, is_letters in each if is_letters]


def _is_letters(text: Row, drawn: list[_Piece]) -> bool:
    """Is a text too short for a description, within a sign, or a label beside one?"""
    if len(letters_of(text.text)) < legend.LEAST_LETTERS:
        return True
    x0, _, x1, _ = text.box
    level = [piece.box for piece in drawn if piece.box[1] <= text.middle <= piece.box[3]]
    if any(box[0] <= x0 and box[2] >= x1 for box in level):
        return True
    label = legend.LABEL.fullmatch(units.plain(text.text)) is not None
    return label and any(max(box[0] - x1, x0 - box[2]) <= FROM_SIGN for box in level)


def _signs(pieces: list[_Piece]) -> list[_Piece]:
    """The pieces that stand nearer to one another than two signs do, as one; letters may stand farther."""
    boxes = shapely.box(*np.array([piece.box for piece in pieces], float).reshape(-1, 4).T)
    drawn = np.array([not piece.letters for piece in pieces], bool)
    one, two = shapely.STRtree(boxes).query(boxes, predicate="dwithin", distance=FROM_SIGN)
    near = (shapely.distance(boxes[one], boxes[two]) <= APART) | (drawn[one] != drawn[two])
    count, group = components(one[near], two[near], len(boxes))
    return [_together([pieces[i] for i in np.flatnonzero(group == k).tolist()]) for k in range(count)]


def _together(pieces: list[_Piece]) -> _Piece:
    return _Piece(
        hull([piece.box for piece in pieces]),
        [i for piece in pieces for i in piece.strokes],
        [i for piece in pieces for i in piece.fills],
        [i for piece in pieces for i in piece.letters],
    )


def _caption_of(sign: _Piece, texts: list[Row], under: bool) -> int | None:
    """The number of the one text that is next under a sign, or over it; None where there is none, or two."""
    x0, y0, x1, y1 = sign.box
    gaps = {
        k: text.box[1] - y1 if under else y0 - text.box[3]
        for k, text in enumerate(texts) if text.box[0] < x1 and text.box[2] > x0
    }  # fmt: skip
    near = sorted((gap, k) for k, gap in gaps.items() if -LAP - texts[k].size / 2 <= gap <= GAP)
    if not near or (len(near) > 1 and near[1][0] - near[0][0] <= texts[near[0][1]].size):
        return None
    return near[0][1]


def _cell(text: Row, signs: list[_Piece]) -> Cell:
    sign = _together(signs)
    return Cell(text.box, sign.box, text.words, tuple(sign.letters), tuple(sign.strokes), tuple(sign.fills))


def _moved(word: Word, dx: float, dy: float, line: int) -> Word:
    x0, y0, x1, y1 = word.box
    return replace(word, box=(x0 + dx, y0 + dy, x1 + dx, y1 + dy), line=line)


def _in_line(words: list[Word], y: float, line: int) -> Iterator[Word]:
    """The words of a caption one behind the other, on one line."""
    x = TEXT
    for word in words:
        yield _moved(word, x - word.box[0], y - word.at[1], line)
        x += word.box[2] - word.box[0] + word.size / 3
