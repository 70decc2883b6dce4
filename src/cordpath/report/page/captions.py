"""Captions of a picture: each beside its mark and apart from the others, on paper of its own to be legible."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from cordpath.model import Box, FloatArray
from cordpath.report.pdf.place import Crowd

SMALLEST = 9.0  # pixels: smaller letters are not read on a screen
GAPS = 5  # of the distances that are tried: farther off nobody knows whose caption it is
LEADER = 6.0  # pt from its mark at which a caption gets a line to it
PAPER = (255, 255, 255, 215)  # what is beneath a caption shines through
PADDING = 1.0  # pixels of paper around the letters
Colour = tuple[int, int, int, int]


@dataclass(frozen=True)
class Caption:
    """``mark`` in points from the picture's top left; ``size`` of the letters in points."""

    text: str
    mark: Box
    colour: Colour
    size: float


def with_captions(
    image: Image.Image, captions: Sequence[Caption], words: Sequence[Box], scale: float
) -> Image.Image:
    """The picture (RGBA) with its captions; those named first choose their places first.

    ``words``: boxes that stay readable, in points like the marks; ``scale``: pixels a point.
    """
    crowd = Crowd(image.width / scale, image.height / scale, words=words)
    for caption in captions:
        crowd.take(caption.mark)
    layer = Image.new("RGBA", image.size, (0, 0, 0, 0))
    draw = ImageDraw.Draw(layer)
    for caption in captions:
        font = ImageFont.load_default(max(SMALLEST, caption.size * scale))
        _, _, wide, tall = font.getbbox(caption.text)
        size = (wide + 2 * PADDING) / scale, (tall + 2 * PADDING) / scale
        box = np.array(crowd.place([caption.mark], *size, gaps=GAPS))
        leader = _leader(np.array(caption.mark), box)
        if np.hypot(*(leader[1] - leader[0])) > LEADER:
            draw.line([(x, y) for x, y in (leader * scale).tolist()], fill=caption.colour)
        draw.rectangle((box * scale).tolist(), fill=PAPER)
        draw.text(tuple((box[:2] * scale + PADDING).tolist()), caption.text, fill=caption.colour, font=font)
    return Image.alpha_composite(image, layer)


def _leader(mark: FloatArray, box: FloatArray) -> FloatArray:
    """(2, 2) the shortest line from the mark to the box."""
    low, high = np.maximum(mark[:2], box[:2]), np.minimum(mark[2:], box[2:])
    both = (low + high) / 2  # the middle of what they share of an axis
    apart = low > high
    ends = np.where(apart, np.stack([high, low]), both)
    start_on_mark = np.where(mark[:2] > box[:2], ends[::-1], ends)
    return np.where(apart, start_on_mark, ends)
