"""Symbols as glyphs of Type 3 fonts, cells of patterns, pictures."""

from __future__ import annotations

import io
import re
from pathlib import Path
from random import Random
from typing import Any

import pymupdf
from house_ink import Item, Note, Paper
from house_writers import _fonts, _num
from pikepdf import Array, Dictionary, Name
from rewritten_page import (
    WAYS,
    Box,
    Leaf,
    Way,
    Writer,
    blocks,
    bounds,
    by_block,
    cell,
    mapped,
    moved,
    way,
)


def _type3(letters: bool) -> Writer:
    def whole(paper: Paper, path: Path, r: Random) -> None:
        """Each symbol a glyph of a Type 3 font."""
        leaf = Leaf(paper)
        glyphs: dict[str, str] = {}
        out: list[str] = []
        fonts: list[Dictionary] = []
        order = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"

        def close() -> None:
            procs = {"/" + n: leaf.stream(c) for n, c in glyphs.items()}
            codes = [ord(order[k]) for k in range(len(glyphs))]
            differences: list[Any] = []
            for code, n in zip(codes, glyphs, strict=True):
                differences += [code, Name("/" + n)]
            fonts.append(
                Dictionary(
                    Type=Name.Font, Subtype=Name.Type3, FontBBox=Array([0, 0, 0, 0]),
                    FontMatrix=Array([1, 0, 0, 1, 0, 0]), CharProcs=Dictionary(procs),
                    Encoding=Dictionary(Type=Name.Encoding, Differences=Array(differences)), FirstChar=48,
                    LastChar=122, Widths=Array([10] * 75), Resources=Dictionary(Font=_fonts(leaf.pdf)),
                )
            )  # fmt: skip
            glyphs.clear()

        for is_block, items in blocks(paper):
            if not is_block:
                out.append(leaf.text(items))
                continue
            x0, y0, _, _ = bounds(items)
            content, _ = mapped(leaf, items, (1, 0, 0, 1, x0, y0))
            letter = order[len(glyphs)]
            glyphs[letter if letters else f"sym{len(glyphs)}"] = f"10 0 d0\n{content}"
            out.append(f"BT /T{len(fonts)} 1 Tf 1 0 0 1 {_num(x0)} {_num(y0)} Tm ({letter}) Tj ET\n")
            if len(glyphs) == len(order):
                close()
        close()
        for k, font in enumerate(fonts):
            leaf.fonts[Name(f"/T{k}")] = leaf.pdf.make_indirect(font)
        leaf.out = out
        leaf.finish(path)

    return whole


WAYS.append(Way("symbols as type 3 glyphs", _type3(False)))
WAYS.append(Way("symbols as type 3 letters", _type3(True)))


@by_block("symbols in pattern cells", tells="image")
def pattern_cells(leaf: Leaf, items: list[Item], r: Random) -> str:
    """Each symbol the cell of a tiling pattern that is painted once."""
    x0, y0, x1, y1 = bounds(items, 2.0)
    w, h = x1 - x0, y1 - y0
    name = cell(leaf, leaf.text(items), (x0, y0, x1, y1), (w, h), (1, 0, 0, -1, 0, leaf.paper.height))
    return f"q /Pattern cs /{name} scn {_num(x0)} {_num(y0)} {_num(w)} {_num(h)} re f Q\n"


@way("the plan in a pattern cell")
def plan_cell(paper: Paper, path: Path, r: Random) -> None:
    """All of the drawing the cell of one pattern, painted once on the page."""
    leaf = Leaf(paper)
    w, h = paper.width, paper.height
    name = cell(leaf, leaf.text(paper.items), (0, 0, w, h), (w, h), (1, 0, 0, -1, 0, h))
    leaf.out.append(f"/Pattern cs /{name} scn 0 0 {w} {h} re f\n")
    leaf.finish(path)


@way("symbols in one pattern cell")
def symbols_cell(paper: Paper, path: Path, r: Random) -> None:
    """The layer of symbols is the cell of one pattern, painted once over the plan."""
    leaf = Leaf(paper)
    w, h = paper.width, paper.height
    parts = blocks(paper)
    name = cell(
        leaf, leaf.text([i for b, items in parts if b for i in items]), (0, 0, w, h), (w, h), (1, 0, 0, -1, 0, h)
    )
    leaf.out.append(leaf.text([i for b, items in parts if not b for i in items]))
    leaf.out.append(f"/Pattern cs /{name} scn 0 0 {w} {h} re f\n")
    leaf.finish(path)


def _bitmap(items: list[Item], box: Box, dpi: float = 300) -> tuple[int, int, bytes]:
    """The items, drawn by MuPDF as one bit a pixel, 1 where there is ink."""
    paper = Paper(box[2] - box[0], box[3] - box[1], [moved(i, -box[0], -box[1]) for i in items])
    leaf = Leaf(paper)
    leaf.out.append(leaf.text(paper.items))

    target = io.BytesIO()
    leaf.finish(target)  # type: ignore[arg-type]
    pixels = pymupdf.open(stream=target.getvalue()).load_page(0).get_pixmap(dpi=int(dpi), colorspace=pymupdf.csGRAY)
    rows = []
    for y in range(pixels.height):
        row = pixels.samples[y * pixels.stride : y * pixels.stride + pixels.width]
        bits = "".join("1" if v < 160 else "0" for v in row).ljust(-(-pixels.width // 8) * 8, "0")
        rows.append(int(bits, 2).to_bytes(len(bits) // 8, "big"))
    return pixels.width, pixels.height, b"".join(rows)


def _mask(leaf: Leaf, items: list[Item], inline: bool) -> str:
    x0, y0, x1, y1 = box = bounds(items, 2.0)
    w, h, data = _bitmap(items, box)
    place = f"q 0 g {_num(x1 - x0)} 0 0 {_num(-(y1 - y0))} {_num(x0)} {_num(y1)} cm"
    if inline:
        text = data.hex()
        return f"{place} BI /W {w} /H {h} /IM true /D [1 0] /F /AHx ID {text}> EI Q\n"
    mask = leaf.stream(
        data, Type=Name.XObject, Subtype=Name.Image, Width=w, Height=h, ImageMask=True, Decode=Array([1, 0]),
        BitsPerComponent=1,
    )  # fmt: skip
    return f"{place} /{leaf.name('XObject', mask)} Do Q\n"


@by_block("symbols as stencils", tells="image")
def stencils(leaf: Leaf, items: list[Item], r: Random) -> str:
    """Each symbol an image mask."""
    return _mask(leaf, items, False)


@by_block("symbols as inline stencils", tells="image")
def inline_stencils(leaf: Leaf, items: list[Item], r: Random) -> str:
    """Each symbol an inline image mask."""
    return _mask(leaf, items, True)


@by_block("symbols as stencils in forms", tells="image")
def form_stencils(leaf: Leaf, items: list[Item], r: Random) -> str:
    """Each symbol an image mask in a form."""
    inner = _mask(leaf, items, False)
    key = re.search(r"/(X\d+) Do", inner).group(1)  # type: ignore[union-attr]
    resources = Dictionary(XObject=Dictionary(**{key: leaf.named["XObject"].pop(key)}))
    leaf.named["XObject"][f"gone{key}"] = resources.XObject[Name("/" + key)]
    return f"q /{leaf.form(inner, Resources=resources)} Do Q\n"


@by_block("symbols as stencils in patterns", tells="image")
def pattern_stencils(leaf: Leaf, items: list[Item], r: Random) -> str:
    """Each symbol an image mask in a pattern's cell, as some graphics libraries paint images."""
    inner = _mask(leaf, items, False)
    key = re.search(r"/(X\d+) Do", inner).group(1)  # type: ignore[union-attr]
    image = leaf.named["XObject"][key]
    x0, y0, x1, y1 = bounds(items, 2.0)
    cell = leaf.stream(
        inner, Type=Name.Pattern, PatternType=1, PaintType=1, TilingType=1, BBox=Array([x0, y0, x1, y1]),
        XStep=x1 - x0, YStep=y1 - y0, Resources=Dictionary(XObject=Dictionary(**{key: image})),
        Matrix=Array([1, 0, 0, -1, 0, leaf.paper.height]),
    )  # fmt: skip
    name = leaf.name("Pattern", cell)
    return f"q /Pattern cs /{name} scn {_num(x0)} {_num(y0)} {_num(x1 - x0)} {_num(y1 - y0)} re f Q\n"


@by_block("symbols as soft masks", tells="image")
def mask_symbols(leaf: Leaf, items: list[Item], r: Random) -> str:
    """Each symbol a black rectangle under a soft mask that is an image."""
    x0, y0, x1, y1 = box = bounds(items, 2.0)
    w, h, data = _bitmap(items, box)
    soft = leaf.stream(
        data,
        Type=Name.XObject,
        Subtype=Name.Image,
        Width=w,
        Height=h,
        BitsPerComponent=1,
        ColorSpace=Name.DeviceGray,
    )
    black = leaf.stream(
        b"\x00", Type=Name.XObject, Subtype=Name.Image, Width=1, Height=1, BitsPerComponent=8,
        ColorSpace=Name.DeviceGray, SMask=soft,
    )  # fmt: skip
    key = leaf.name("XObject", black)
    return f"q {_num(x1 - x0)} 0 0 {_num(-(y1 - y0))} {_num(x0)} {_num(y1)} cm /{key} Do Q\n"


@way("labels as stencils", tells="image")
def label_stencils(paper: Paper, path: Path, r: Random) -> None:
    """Device labels (short texts that are no figures) as image masks."""
    leaf = Leaf(paper)
    for item in paper.items:
        label = isinstance(item, Note) and re.fullmatch(r"(WP/)?GFC?I?|WP", item.text)
        leaf.out.append(_mask(leaf, [item], False) if label else leaf.text([item]))
    leaf.finish(path)


@way("the plan as one stencil", must_read=False)
def plan_stencil(paper: Paper, path: Path, r: Random) -> None:
    """All of the plan as one picture, the title block as strokes."""
    leaf = Leaf(paper)
    w, h, data = _bitmap(paper.items, (0, 0, paper.width, paper.height), 150)
    mask = leaf.stream(
        data, Type=Name.XObject, Subtype=Name.Image, Width=w, Height=h, ImageMask=True, Decode=Array([1, 0]),
        BitsPerComponent=1,
    )  # fmt: skip
    leaf.out.append(
        f"q 0 g {paper.width} 0 0 {-paper.height} 0 {paper.height} cm /{leaf.name('XObject', mask)} Do Q\n"
    )
    leaf.finish(path)
