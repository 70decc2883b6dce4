"""A second reader of drawn lettering, where the optional extra ``ocr`` is installed: a network that reads pictures.

Two readers that know nothing of each other seldom make the same mistake: what both read is believed sooner, and
nothing else is taken from the second one.  It reads a token by itself, which tells its letters, and between its
neighbours, which tells whether the gaps at its ends are blanks.  Its network is PP-OCRv6 (small, Apache 2.0), a
file of the package ``rapidocr``, run by ``onnxruntime``; of that package nothing else is used, and nothing is
fetched.

Terms: *picture*, the ink of one token, or of some side by side, turned upright, black on white, as high as the
network reads.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.util import find_spec
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageDraw

from cordpath.model import FloatArray, IntArray
from cordpath.sheet.lettering.classify import CLASSES, REJECT
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.glyphs import Reading
from cordpath.sheet.lettering.parts import Parts
from cordpath.sheet.lettering.runs import turned

HIGH = 48  # px, the height of the network's input
CAP, PEN, PAD = 26, 2.6, 11  # px: cap height, width of strokes and white around, as it was measured to read best
FINER = 4  # pictures are drawn that much larger and then reduced, so that edges are smooth
MOST_WIDE = 1200  # px: no token is longer; a picture of it would only take memory
AT_ONCE = 32  # pictures
STEP = 8  # px, of which the widths are multiples: what one picture says must not depend on others beside it, and a
# column of white more made 20 less sure, 0.93 for 1.0
EMPTY = 0  # the network's class of no letter
CLEAR = 0.8  # mean chance of its letters from which it has an opinion
SURE = 0.95  # and from which that opinion adds to another
AGREED = 1.0  # nat a glyph: no other text of the vocabulary is as likely to both readers
ALIKE = str.maketrans({"O": "0", "I": "1", "|": "1"})


@dataclass(frozen=True)
class Second:
    """What the second reader says of a token, and the mean chance of its letters."""

    text: str
    confidence: float


SAYS_NOTHING = Second("", 0.0)


def compared_with(token: Token, other: Second) -> Token:
    """The token with the other reader's opinion.  Where it agrees, what the glyphs are is as sure as either of the
    two says; whether the token is a whole word is another matter, on which it knows no more."""
    if other.confidence < CLEAR:
        return token
    if _plain(other.text) != _plain(token.text):
        return replace(token, seconded=False)
    if other.confidence < SURE:
        return token
    return replace(
        token, seconded=True, confidence=max(token.confidence, other.confidence),
        least=max(token.least, other.confidence), margin=max(token.margin, AGREED),
    )  # fmt: skip


def set_off(token: Token, place: int, count: int, other: Second) -> Token:
    """The token, ``place`` of ``count`` from the left that the other reader read together.  Where it reads as many
    words, and this one alike, the gaps at its ends are blanks."""
    words = other.text.split()
    alone = other.confidence >= SURE and len(words) == count and _plain(words[place]) == _plain(token.text)
    return replace(token, parted=1.0) if alone else token


def is_upright(token: Token, over: Second) -> bool:
    """Is a token that both read alike read from its right side, where the other reader sees it ``over``?"""
    return token.seconded is True and over.confidence < SURE


def _plain(text: str) -> str:
    """In capitals, without blanks, and what faces draw alike (O and 0, I and 1) as one letter: which of the two is
    meant the grammar tells, and not the shape."""
    return text.upper().replace(" ", "").translate(ALIKE)


@dataclass(frozen=True, eq=False)
class _Network:
    """``columns``: (k,) the classes of the network that are no letter, a blank, or a letter that the first reader
    knows as well; ``letters``: what each of them stands for."""

    session: Any
    columns: IntArray
    letters: tuple[str, ...]


@cache
def _network() -> _Network | None:
    """The network; None where the extra is not installed."""
    found = find_spec("rapidocr")
    if found is None or found.origin is None or find_spec("onnxruntime") is None:
        return None
    models = sorted(Path(found.origin).parent.glob("models/PP-OCRv*_rec_*.onnx"))
    if not models:
        return None
    import onnxruntime  # late: it is not among the packages that cordpath needs

    wanted = onnxruntime.SessionOptions()
    wanted.intra_op_num_threads = wanted.inter_op_num_threads = 1  # sheets are read side by side
    session = onnxruntime.InferenceSession(models[-1], wanted, providers=["CPUExecutionProvider"])
    classes = ("", *session.get_modelmeta().custom_metadata_map["character"].splitlines(), " ")
    own = {"", " ", *CLASSES} - {REJECT}
    columns = [k for k, letter in enumerate(classes) if letter in own]
    return _Network(session, np.array(columns, np.int64), tuple(classes[k] for k in columns))


def is_installed() -> bool:
    return _network() is not None


def second_readings(ink: Parts, spans: Sequence[tuple[Reading, int, int]], over: bool = False) -> list[Second]:
    """What each of the spans (reading, first and last glyph) says by itself; ``over``: upside down."""
    network = _network()
    if network is None or not spans:
        return [SAYS_NOTHING] * len(spans)
    start = np.searchsorted(ink.owner, np.arange(len(ink) + 1))
    pictures = [_picture(ink, start, *span) for span in spans]
    pictures = [picture[::-1, ::-1] for picture in pictures] if over else pictures
    out = [SAYS_NOTHING] * len(spans)
    for some in _of_one_width([picture.shape[1] for picture in pictures]):
        (chance,) = network.session.run(None, {"x": _input([pictures[k] for k in some])})
        for j, said in zip(some, _said(chance[:, :, network.columns], network.letters), strict=True):
            out[j] = said
    return out


def _of_one_width(widths: Sequence[int]) -> Iterator[list[int]]:
    """The numbers of pictures that are read at once."""
    order = sorted(range(len(widths)), key=widths.__getitem__)
    for _, group in groupby(order, key=lambda k: -(-widths[k] // STEP)):
        alike = list(group)
        yield from (alike[k : k + AT_ONCE] for k in range(0, len(alike), AT_ONCE))


def _input(pictures: Sequence[FloatArray]) -> np.ndarray[Any, np.dtype[np.float32]]:
    """(n, 3, HIGH, width) the pictures from -1, black, to 1, one behind the other on white."""
    wide = -(-max(picture.shape[1] for picture in pictures) // STEP) * STEP
    out = np.ones((len(pictures), HIGH, wide), np.float32)
    for own, picture in zip(out, pictures, strict=True):
        own[:, : picture.shape[1]] = picture
    return np.repeat(out[:, None], 3, axis=1)


def _said(chance: FloatArray, letters: Sequence[str]) -> list[Second]:
    """``chance`` (n, steps, letters) read from left to right: a letter once for as long as it lasts."""
    top, sure = chance.argmax(axis=2), chance.max(axis=2) / np.maximum(chance.sum(axis=2), 1e-9)
    new = top != EMPTY
    new[:, 1:] &= top[:, 1:] != top[:, :-1]
    out = []
    for own, which, likely in zip(top, new, sure, strict=True):
        text = "".join(letters[k] for k in own[which])
        out.append(Second(text, float(likely[which].mean())) if text else SAYS_NOTHING)
    return out


def _picture(ink: Parts, start: np.ndarray[Any, Any], reading: Reading, first: int, last: int) -> FloatArray:
    """(HIGH, width) the glyphs of a reading, from -1, black, to 1."""
    own = sorted({part for group in reading.parts[first : last + 1] for part in group})
    xy = np.concatenate([ink.xy[start[part] : start[part + 1]] for part in own])
    scale = FINER * CAP / reading.cap
    left = float(reading.box[first : last + 1, 0].min())
    at = turned(xy.reshape(-1, 2), reading.angle).reshape(-1, 4) - np.array([left, reading.base] * 2)
    at = at * scale + FINER * np.array([PAD, PAD + CAP] * 2)
    width = min(int(at[:, 0::2].max() / FINER) + PAD + 1, MOST_WIDE)
    size = (width * FINER, HIGH * FINER)
    drawn = _areas(at, size) if reading.filled else _lines(at, size)
    return np.asarray(drawn.resize((width, HIGH), Image.Resampling.BOX), float) / 127.5 - 1.0


def _lines(at: FloatArray, size: tuple[int, int]) -> Image.Image:
    image = Image.new("L", size, 255)
    pen = ImageDraw.Draw(image)
    wide = round(FINER * PEN)
    for x0, y0, x1, y1 in at.tolist():
        pen.line((x0, y0, x1, y1), 0, wide)
        pen.ellipse((x0 - wide / 2, y0 - wide / 2, x0 + wide / 2, y0 + wide / 2), 0)
        pen.ellipse((x1 - wide / 2, y1 - wide / 2, x1 + wide / 2, y1 + wide / 2), 0)
    return image


def _areas(at: FloatArray, size: tuple[int, int]) -> Image.Image:
    """Areas by their edges, in whatever order: a point is inside where a line to its left crosses an odd number."""
    wide, high = size
    rows = np.arange(high) + 0.5
    low, top = np.minimum(at[:, 1], at[:, 3]), np.maximum(at[:, 1], at[:, 3])
    edge, row = np.nonzero((low[:, None] <= rows) & (rows < top[:, None]))
    x0, y0, x1, y1 = at[edge].T
    across = x0 + (rows[row] - y0) / (y1 - y0) * (x1 - x0)
    column = np.clip(np.ceil(across - 0.5), 0, wide).astype(np.int64)
    crossings = np.zeros((high, wide + 1), np.int64)
    np.add.at(crossings, (row, column), 1)
    inside = crossings[:, :wide].cumsum(axis=1) % 2 == 1
    return Image.fromarray(np.where(inside, 0, 255).astype(np.uint8))
