"""Decoys that the page does not show: they must not be read."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import pikepdf
from house_ink import Item, Note, Paper, Poly
from pikepdf import Array, Dictionary, Name
from rewritten_page import (
    WAYS,
    Leaf,
    Way,
    blocks,
    bounds,
    cell,
    moved,
    way,
)


def decoys(paper: Paper) -> list[Item]:
    """What must not be read: GFI beside every symbol, and the symbols once more a little off."""
    out: list[Item] = []
    for is_block, items in blocks(paper):
        if is_block and not any(isinstance(i, Poly) and len(i.points) > 40 for i in items):
            x0, y0, x1, y1 = bounds(items)
            out.append(Note(((x0 + x1) / 2 + 12, (y0 + y1) / 2 + 6), "GFI", 6))
            if x1 - x0 < 30 and y1 - y0 < 30:
                out += [moved(i, 21.0, 47.0) for i in items]
    return out


def hidden(name: str, **more: Any) -> Callable[[Callable[[Leaf, str, Random], str]], None]:
    """A way that hides decoys; the function gets their content and says how it is written."""

    def add(write: Callable[[Leaf, str, Random], str]) -> None:
        def whole(paper: Paper, path: Path, r: Random) -> None:
            leaf = Leaf(paper)
            ghost = write(leaf, leaf.text(decoys(paper)), r)
            first = name.startswith("under")
            leaf.out += [ghost, leaf.text(paper.items)] if first else [leaf.text(paper.items), ghost]
            leaf.finish(path)

        whole.__doc__ = write.__doc__
        WAYS.append(Way("hidden: " + name, whole, **more))

    return add


@hidden("no opacity")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    return f"q /{leaf.state(ca=0, CA=0)} gs {ghost} Q\n"


@hidden("group of no opacity")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    name = leaf.form(ghost, Group=Dictionary(S=Name.Transparency))
    return f"q /{leaf.state(ca=0, CA=0)} gs /{name} Do Q\n"


@hidden("form in a form in a group of no opacity")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    inner = leaf.form(ghost, Group=Dictionary(S=Name.Transparency))
    resources = Dictionary(XObject=Dictionary(**{inner: leaf.named["XObject"].pop(inner)}))
    outer = leaf.form(f"/{inner} Do", Group=Dictionary(S=Name.Transparency), Resources=resources)
    return f"q /{leaf.state(ca=0, CA=0)} gs /{outer} Do Q\n"


@hidden("soft mask that shows nothing")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    w, h = leaf.paper.width, leaf.paper.height
    mask = leaf.stream(
        f"0 g 0 0 {w} {h} re f", Type=Name.XObject, Subtype=Name.Form, BBox=Array([0, 0, w, h]),
        Group=Dictionary(S=Name.Transparency, CS=Name.DeviceGray),
    )  # fmt: skip
    return f"q /{leaf.state(SMask=Dictionary(S=Name.Luminosity, G=mask))} gs {ghost} Q\n"


def _off(name: str, content: Callable[[Leaf, pikepdf.Object, pikepdf.Object], Any], **default: Any) -> None:
    def write(leaf: Leaf, ghost: str, r: Random) -> str:
        """Decoys on a layer that is not shown."""
        off, on = leaf.layer("DEMO"), leaf.layer("POWER")
        made = {"OFF": Array([off])} if not default else {k: v(off, on) for k, v in default.items()}
        leaf.layers([off, on], **made)
        mark = leaf.name("Properties", content(leaf, off, on))
        return f"/OC /{mark} BDC {ghost} EMC\n"

    hidden(name)(write)


_off("layer off", lambda leaf, off, on: off)
_off(
    "base state off", lambda leaf, off, on: off, BaseState=lambda off, on: Name.OFF, ON=lambda off, on: Array([on])
)
_off("membership all on", lambda leaf, off, on: Dictionary(Type=Name.OCMD, OCGs=Array([off, on]), P=Name.AllOn))
_off(
    "membership by expression",
    lambda leaf, off, on: Dictionary(Type=Name.OCMD, VE=Array([Name.And, on, Array([Name.Not, on])])),
)


@hidden("printed layer that is not viewed")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    off = leaf.layer("PRINT ONLY")
    off.Usage = Dictionary(View=Dictionary(ViewState=Name.OFF), Print=Dictionary(PrintState=Name.ON))
    usage = Dictionary(Event=Name.View, OCGs=Array([off]), Category=Array([Name.View]))
    leaf.layers([off], AS=Array([usage]))
    return f"/OC /{leaf.name('Properties', off)} BDC {ghost} EMC\n"


@hidden("on layer within an off layer")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    off, on = leaf.layer("DEMO"), leaf.layer("POWER")
    leaf.layers([off, on], OFF=Array([off]))
    a, b = leaf.name("Properties", off), leaf.name("Properties", on)
    return f"/OC /{a} BDC /OC /{b} BDC {ghost} EMC EMC\n"


@hidden("form of an off layer, nested")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    off = leaf.layer("DEMO")
    leaf.layers([off], OFF=Array([off]))
    inner = leaf.form(ghost)
    resources = Dictionary(XObject=Dictionary(**{inner: leaf.named["XObject"].pop(inner)}))
    outer = leaf.form(f"/{inner} Do", Resources=resources, OC=off)
    return f"q /{outer} Do Q\n"


@hidden("clip away")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    return f"q 1 1 2 2 re W n {ghost} Q\n"


@hidden("clip of another shape")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    """The clip is a thin frame along the sheet's edge: the box around it is the whole sheet."""
    w, h = leaf.paper.width, leaf.paper.height
    return f"q 0 0 {w} {h} re 3 3 {w - 6} {h - 6} re W* n {ghost} Q\n"


@hidden("two clips that share nothing")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    w, h = leaf.paper.width, leaf.paper.height
    return f"q 0 0 {w / 2} {h} re W n {2 * w / 3} 0 {w / 3} {h} re W n {ghost} Q\n"


@hidden("white")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    return "q " + re.sub(r"[\d.]+ [\d.]+ [\d.]+ (rg|RG)", r"1 1 1 \1", ghost) + " Q\n"


def _paint_all(leaf: Leaf) -> str:
    w, h = leaf.paper.width, leaf.paper.height
    return f"0 0 {w} {h} re"


@hidden("under white")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    return f"q {ghost} 1 1 1 rg {_paint_all(leaf)} f Q\n"


@hidden("under white of a form")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    name = leaf.form(f"1 g {_paint_all(leaf)} f", Group=Dictionary(S=Name.Transparency))
    return f"q {ghost} /{name} Do Q\n"


@hidden("under a wide white stroke")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    w, h = leaf.paper.width, leaf.paper.height
    return f"q {ghost} 1 G {h} w 0 {h / 2} m {w} {h / 2} l S Q\n"


@hidden("under a shading", tells="image")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    w = leaf.paper.width
    white = Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=Array([1]), C1=Array([1]), N=1)
    shade = Dictionary(
        ShadingType=2, ColorSpace=Name.DeviceGray, Coords=Array([0, 0, w, 0]), Function=white,
        Extend=Array([True, True]),
    )  # fmt: skip
    return f"q {ghost} /{leaf.name('Shading', shade)} sh Q\n"


@hidden("under an image")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    w, h = leaf.paper.width, leaf.paper.height
    image = leaf.stream(
        b"\xff", Type=Name.XObject, Subtype=Name.Image, Width=1, Height=1, BitsPerComponent=8,
        ColorSpace=Name.DeviceGray,
    )  # fmt: skip
    return f"q {ghost} {w} 0 0 {h} 0 0 cm /{leaf.name('XObject', image)} Do Q\n"


@hidden("under a tiled white")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    cell = leaf.stream(
        "1 g 0 0 20 20 re f", Type=Name.Pattern, PatternType=1, PaintType=1, TilingType=1,
        BBox=Array([0, 0, 20, 20]), XStep=20, YStep=20, Resources=Dictionary(),
    )  # fmt: skip
    return f"q {ghost} /Pattern cs /{leaf.name('Pattern', cell)} scn {_paint_all(leaf)} f Q\n"


@hidden("under a line of white pattern")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    w, h = leaf.paper.width, leaf.paper.height
    name = cell(leaf, "1 g 0 0 20 20 re f", (0, 0, 20, 20), (20, 20))
    return f"q {ghost} /Pattern CS /{name} SCN {h} w 0 {h / 2} m {w} {h / 2} l S Q\n"


@hidden("under all, black that lightens a white page", tells="depends on what lies below")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    """On bare paper it would be seen."""
    return f"1 g {_paint_all(leaf)} f q /{leaf.state(BM=Name.Screen)} gs {ghost} Q\n"


@hidden("seen through a letter elsewhere")
def _(leaf: Leaf, ghost: str, r: Random) -> str:
    return f"q BT /F1 1 Tf 7 Tr 8 0 0 -8 20 20 Tm (X) Tj ET {ghost} Q\n"


def _text_mode(name: str, mode: int, tells: str = "") -> None:
    def whole(paper: Paper, path: Path, r: Random) -> None:
        """GFI in a text mode that shows nothing."""
        leaf = Leaf(paper)
        ghost = leaf.text([i for i in decoys(paper) if isinstance(i, Note)]).replace("BT", f"q BT {mode} Tr")
        leaf.out += [leaf.text(paper.items), ghost.replace("ET", "ET Q")]
        leaf.finish(path)

    WAYS.append(Way("hidden: " + name, whole, tells))


_text_mode("text mode 3", 3)
_text_mode("text mode 7", 7)


@way("hidden: annotations")
def annotations(paper: Paper, path: Path, r: Random) -> None:
    """Decoys as the looks of annotations: they are told."""
    leaf = Leaf(paper)
    w, h = paper.width, paper.height
    look = leaf.stream(
        f"1 0 0 -1 0 {h} cm " + leaf.text(decoys(paper)), Type=Name.XObject, Subtype=Name.Form,
        BBox=Array([0, 0, w, h]), Resources=Dictionary(Font=leaf.fonts),
    )  # fmt: skip
    mark = Dictionary(Type=Name.Annot, Subtype=Name.Stamp, Rect=Array([0, 0, w, h]), AP=Dictionary(N=look), F=4)
    leaf.page["Annots"] = Array([leaf.pdf.make_indirect(mark)])
    leaf.out.append(leaf.text(paper.items))
    leaf.finish(path)
